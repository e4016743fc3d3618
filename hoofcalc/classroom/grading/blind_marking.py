"""Answers in words marked blind, by one, two or more: no ids, an order of its own for each marker.

Texts that are the same are one line and get the same points. Points are entered where all
markers agree; where they differ, a table asks what they agree upon.
"""

from __future__ import annotations

import hashlib
import json
import re
import secrets
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from hoofcalc._counted import counted
from hoofcalc._files import write_whole
from hoofcalc.classroom.grading.course import CommandError
from hoofcalc.classroom.grading.mark_changes import Change, enter, record
from hoofcalc.classroom.grading.results import Results, table, write_table
from hoofcalc.classroom.grading.results_folder import each_exercise, results_folder
from hoofcalc.classroom.grading.spreadsheets import read_columns
from hoofcalc.classroom.model.clean_text import same_words
from hoofcalc.classroom.model.questions import Written

AGREE = "to-agree.csv"
_COLUMNS = [
    "code",
    "exercise",
    "question",
    "learners",
    "text",
    "scale",
    "most",
    "points",
    "comment",
]
_AGREE = ["code", "exercise", "question", "text", "most", "given", "agreed", "comment"]


@dataclass(frozen=True)
class Text:
    """One text, and everybody who wrote it."""

    code: str
    exercise: str
    question: Written
    text: str
    learners: tuple[str, ...]


@dataclass(frozen=True)
class Given:
    """What one marker gave."""

    marker: str
    points: float
    comment: str


def write_for(
    folder: Path, marker: str, *, course: Path | None = None, gradebook: str | None = None
) -> int:
    """Write the table of one marker; what was filled in stays. 0 when done."""
    if not re.fullmatch(r"[\w-]{1,40}", marker):
        raise CommandError(f"'{marker}' cannot be a marker's name here: use letters and digits.")
    target = results_folder(folder)
    path = target / f"blind-{marker}.csv"
    given = {row["code"]: row for row in _read(path, _COLUMNS)} if path.is_file() else {}
    texts = sorted(
        _texts(target, course, gradebook),
        key=lambda one: (one.exercise, one.question.name, _shuffled(marker, one.code)),
    )
    rows = []
    for one in texts:
        before = given.pop(one.code, {})
        rows.append(
            [
                one.code,
                one.exercise,
                one.question.name,
                str(len(one.learners)),
                one.text,
                " | ".join(one.question.scale),
                f"{one.question.points:g}",
                before.get("points", ""),
                before.get("comment", ""),
            ]
        )
    rows += [[row[name] for name in _COLUMNS] for row in given.values() if row["points"].strip()]
    write_table(path, table(_COLUMNS, rows))
    print(
        f"{counted(len(texts), 'text')} for {marker}: {path}\n"
        "Fill in points, then call this without --marker."
    )
    return 0


def put_together(folder: Path, *, course: Path | None = None, gradebook: str | None = None) -> int:
    """Enter what all markers agree on, ask about the rest; 0 when nothing is left to agree on."""
    target = results_folder(folder)
    tables = sorted(target.glob("blind-*.csv"))
    if len(tables) < 2:
        raise CommandError(
            "Two markers are needed: 'hoofcalc term blind FOLDER --marker NAME' writes a table for "
            "each of them."
        )
    marks: dict[str, list[Given]] = {}
    for path in tables:
        marker = path.stem.removeprefix("blind-")
        for row in _read(path, _COLUMNS):
            if row["points"].strip():
                points = _points(row, "points", path)
                marks.setdefault(row["code"], []).append(Given(marker, points, row["comment"]))
    agreed = {row["code"]: row for row in _read(target / AGREE, _AGREE)}
    entered: list[Change] = []
    open_rows, compared = [], []
    texts = list(_texts(target, course, gradebook))
    for kept in each_exercise(target, course, gradebook):
        for one in (one for one in texts if one.exercise == kept.exercise.name):
            by = marks.get(one.code, [])
            if len(by) < 2:
                continue
            compared.append([each.points for each in by])
            row = agreed.get(one.code, {})
            if len({each.points for each in by}) == 1:
                entered += _enter(kept, one, by[0].points, by, "marked blind")
            elif row.get("agreed", "").strip():
                points = _points(row, "agreed", target / AGREE)
                entered += _enter(kept, one, points, by, "agreed after blind marking")
            if len({each.points for each in by}) > 1:
                words = "; ".join(f"{each.marker}: {each.points:g}" for each in by)
                cells = [one.code, one.exercise, one.question.name, one.text]
                cells += [f"{one.question.points:g}", words]
                open_rows.append([*cells, row.get("agreed", ""), row.get("comment", "")])
    write_table(target / AGREE, table(_AGREE, open_rows))
    record(target, entered)
    waiting = sum(not row[-2].strip() for row in open_rows)
    print(_how_alike(compared))
    print(f"{counted(len(entered), 'answer')} entered. Now: hoofcalc mark, for table and pages.")
    if waiting:
        print(f"{waiting} to agree on: fill in 'agreed' in {target / AGREE} and call this again.")
    return 1 if waiting else 0


def _how_alike(compared: Sequence[Sequence[float]]) -> str:
    if not compared:
        return "No text has been marked by two yet."
    same = sum(len(set(points)) == 1 for points in compared)
    apart = sum(max(points) - min(points) for points in compared) / len(compared)
    return (
        f"{counted(len(compared), 'text')} marked by two or more: the same points for {same}, "
        f"{apart:.2g} points apart on average."
    )


def _enter(
    kept: Results, one: Text, points: float, by: Sequence[Given], why: str
) -> Iterator[Change]:
    """Points for everybody who wrote the text, where they are not there yet."""
    words = " ".join(dict.fromkeys(each.comment.strip() for each in by if each.comment.strip()))
    standings = kept.standings()
    for learner in one.learners:
        there = standings[learner]
        if there.by_hand.get(one.question.name) == points and (
            one.question.name not in there.changed
        ):
            continue
        who = ", ".join(each.marker for each in by)
        yield enter(kept, learner, one.question.name, points, who=who, why=why, words=words)


def _texts(target: Path, course: Path | None, gradebook: str | None) -> Iterator[Text]:
    """All texts of a class, the same ones together."""
    for kept in each_exercise(target, course, gradebook):
        groups: dict[tuple[str, str], list[tuple[str, str]]] = {}
        for learner in kept.learners():
            for name, text in kept.note(learner).texts.items():
                if text.strip():
                    groups.setdefault((name, same_words(text)), []).append((learner, text))
        for (name, words), who in groups.items():
            question = kept.exercise.question(name)
            if isinstance(question, Written):
                code = _code(_secret(target), kept.exercise.name, name, words)
                learners = tuple(learner for learner, _ in who)
                yield Text(code, kept.exercise.name, question, who[0][1], learners)


def _secret(target: Path) -> str:
    """What makes the codes of this folder its own, so that nobody can work them out from a text."""
    path = target / "course" / "blind.json"
    if not path.is_file():
        write_whole(path, json.dumps({"secret": secrets.token_hex(16)}).encode())
    return str(json.loads(path.read_text(encoding="utf-8"))["secret"])


def _code(*parts: str) -> str:
    return "t" + hashlib.blake2b("\x1f".join(parts).encode(), digest_size=5).hexdigest()


def _shuffled(marker: str, code: str) -> bytes:
    return hashlib.blake2b(f"{marker}|{code}".encode(), digest_size=8).digest()


def _read(path: Path, columns: Sequence[str]) -> list[dict[str, str]]:
    return read_columns(path, columns) if path.is_file() else []


def _points(row: Mapping[str, str], column: str, path: Path) -> float:
    try:
        points = float(row[column].replace(",", "."))
    except ValueError:
        points = -1.0
    most = float(row["most"].replace(",", "."))
    if not 0 <= points <= most:
        raise CommandError(
            f"{path.name}, {row['code']}: points must be a number between 0 and {most:g} "
            f"(got '{row[column]}')"
        )
    return points

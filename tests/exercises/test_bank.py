"""The bank of hand-ins, the whole way: handed out, filled in, handed in, marked, returned."""

from __future__ import annotations

import csv
import html
import json
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from hoofcalc.classroom.bank import Entry, fill, load_bank
from hoofcalc.classroom.folder import mark_folder
from hoofcalc.classroom.handins import HandInError, parse
from hoofcalc.classroom.jail import Limits
from hoofcalc.classroom.judge import HandedIn, judge
from hoofcalc.classroom.marking import Assignment, Marked, mark
from hoofcalc.classroom.questions import Choice, Function, Number, Written

COURSE = Path(__file__).resolve().parents[2] / "exercises"
QUICK = Limits(cell_s=2.0)


@pytest.fixture(scope="session")
def marked_bank() -> dict[str, dict[str, Marked | str]]:
    """Every entry of every bank, marked once: a mark, or the reason why there is none."""
    return {}


@pytest.fixture
def marked(
    name: str, assignment: Assignment, marked_bank: dict[str, dict[str, Marked | str]]
) -> dict[str, Marked | str]:
    if name not in marked_bank:
        marked_bank[name] = {
            entry.learner: _mark(assignment, entry) for entry in load_bank(COURSE, name)
        }
    return marked_bank[name]


def _mark(assignment: Assignment, entry: Entry) -> Marked | str:
    content = entry.content(assignment.exercise, assignment.original)
    try:
        return mark(assignment, entry.learner, parse(content), QUICK)
    except HandInError as reason:
        return str(reason)


def test_every_hand_in_gets_its_marks_and_messages(
    name: str, marked: dict[str, Marked | str]
) -> None:
    wrong = []
    for entry in load_bank(COURSE, name):
        got = marked[entry.learner]
        if isinstance(got, str):
            if not entry.reason or entry.reason not in got:
                wrong.append((entry.learner, "reason", got))
            continue
        assert not entry.reason, f"{entry.learner} should not have been marked"
        for question, expected in entry.expected.items():
            verdict = got.verdicts[question]
            if (verdict.points, verdict.state) != (
                expected.points,
                expected.state,
            ) or expected.words not in verdict.message:
                wrong.append((entry.learner, question, verdict))
    assert not wrong


def test_the_bank_is_big_enough(name: str, assignment: Assignment) -> None:
    bank = load_bank(COURSE, name)
    assert len(bank) >= 8
    assert len({entry.learner for entry in bank}) == len(bank)
    assert any(entry.reference and not entry.answers for entry in bank)


def test_reference_full_untouched_zero(
    name: str, assignment: Assignment, marked: dict[str, Marked | str]
) -> None:
    by_hand = sum(q.points for q in assignment.exercise.questions if isinstance(q, Written))
    assert assignment.exercise.points == 10
    full = [marked[e.learner] for e in load_bank(COURSE, name) if e.reference and not e.answers]
    assert any(isinstance(one, Marked) and one.points == 10 - by_hand for one in full)
    for entry in load_bank(COURSE, name):
        got = marked[entry.learner]
        if not entry.reference and not entry.answers and isinstance(got, Marked):
            assert got.points == 0
            assert {verdict.state for verdict in got.verdicts.values()} == {"not begun"}


def test_each_deciding_check_is_failed_by_someone(
    name: str, assignment: Assignment, marked: dict[str, Marked | str]
) -> None:
    begun = [got for got in marked.values() if isinstance(got, Marked)]
    for question in assignment.exercise.questions:
        if isinstance(question, Number | Choice):
            states = {got.verdicts[question.name].state for got in begun}
            assert {"right", "nearly"} <= states, question.name
        if isinstance(question, Function):
            for place, case in enumerate(question.cases):
                alone = replace(question, cases=(case,), points=case.points)
                fates = set()
                for learner, got in marked.items():
                    if isinstance(got, Marked) and got.handed.results.get(question.call):
                        results = {question.call: [got.handed.results[question.call][place]]}
                        handed = HandedIn(got.handed.values, results)
                        numbers = assignment.variants[assignment.variant(learner)]
                        fates.add(judge(alone, handed, numbers).points > 0)
                assert fates == {True, False}, case.name


def test_nothing_deciding_is_in_what_comes_back(
    name: str, assignment: Assignment, marked: dict[str, Marked | str]
) -> None:
    """Not the truth, not a deciding input, though learners' own numbers may stand there."""
    for learner, got in marked.items():
        if not isinstance(got, Marked):
            continue
        numbers = assignment.variants[assignment.variant(learner)]
        shown = json.dumps(got.notebook)
        for question in assignment.exercise.questions:
            if isinstance(question, Function):
                for case in question.cases:
                    for value in case.inputs(numbers):
                        if value not in numbers.values() and value != round(value):
                            assert repr(value)[:6] not in shown, (learner, case.name)
            if isinstance(question, Number) and got.verdicts[question.name].state != "right":
                assert f"{question.truth(numbers):.6g}" not in shown, (learner, question.name)
        for question in assignment.exercise.questions:  # the search works: examples are there
            if isinstance(question, Function):
                assert f"{question.call}({question.examples[0][0]:g}" in shown


def test_the_reference_in_full_through_the_whole_way(assignment: Assignment) -> None:
    """A few ids from cell to mark; the other thousand go through the judge alone."""
    exercise = assignment.exercise
    for learner in ("eva", "Ümit Ö.", "id.with.dots"):
        notebook = fill(exercise, assignment.original, learner, {}, reference=True)
        got = mark(assignment, learner, parse(json.dumps(notebook).encode()), QUICK)
        written = sum(q.points for q in exercise.questions if isinstance(q, Written))
        assert got.points == exercise.points - written


def _lay_bank(name: str, assignment: Assignment, folder: Path, only: set[str]) -> None:
    folder.mkdir(parents=True)
    for entry in load_bank(COURSE, name):
        if not only or entry.learner in only:
            content = entry.content(assignment.exercise, assignment.original)
            (folder / f"{entry.learner}.ipynb").write_bytes(content)


def _table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def _everything(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and "gradebook" not in path.name
    }


def test_hand_out_fill_in_mark_return(
    name: str, assignment: Assignment, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The whole way with the command, twice: the second time nothing is lost or doubled."""
    handins = tmp_path / "hand ins"
    _lay_bank(name, assignment, handins, set())
    before = _everything(handins)
    assert (
        mark_folder(handins, exercise=name, course=COURSE, limits=QUICK) == 1
    )  # some are no notebooks
    said = capsys.readouterr().out
    results = tmp_path / "hand ins-results"
    rows = {row["id"]: row for row in _table(results / f"marks-{name}.csv")}
    assert list(rows) == sorted(rows)
    for entry in load_bank(COURSE, name):
        row = rows[entry.learner]
        assert re.search(rf"^{re.escape(entry.learner)} +", said, re.M)
        page = results / "feedback" / name / f"{entry.learner}.html"
        if entry.reason:
            assert row["points"] == ""
            assert entry.reason in row["remark"]
            assert not page.exists()
            continue
        shown = html.unescape(page.read_text(encoding="utf-8"))
        for question, expected in entry.expected.items():
            waiting = expected.state == "waiting"
            assert row[f"question {question}"] == ("" if waiting else f"{expected.points:g}")
            assert expected.words in shown
        assert "<script" not in shown

    first = _everything(results)
    assert mark_folder(handins, exercise=name, course=COURSE, limits=QUICK) == 1
    assert "Marked 0" in capsys.readouterr().out
    assert _everything(results) == first
    assert _everything(handins) == before


def test_marked_elsewhere_gives_the_same_bytes(
    name: str, assignment: Assignment, tmp_path: Path
) -> None:
    handins = tmp_path / "in"
    _lay_bank(name, assignment, handins, {"anna", "carla"})
    assert mark_folder(handins, exercise=name, course=COURSE) == 0
    first = (tmp_path / "in-results" / f"marks-{name}.csv").read_bytes()
    elsewhere = tmp_path / "elsewhere"
    assert mark_folder(handins, exercise=name, course=COURSE, results=elsewhere) == 0
    assert (elsewhere / f"marks-{name}.csv").read_bytes() == first


def _plain_nbgrader(course: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    import os

    environment = dict(os.environ)
    environment["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), environment["PATH"]])
    return subprocess.run(
        [sys.executable, "-m", "nbgrader", *arguments],
        cwd=course,
        env=environment,
        capture_output=True,
        text=True,
        timeout=280,
        check=False,
    )


def _compare_with_plain_nbgrader(
    name: str, assignment: Assignment, tmp_path: Path, course: Path
) -> None:
    from nbgrader.api import Gradebook

    bank = [entry for entry in load_bank(COURSE, name) if not entry.reason]
    for entry in bank:
        folder = course / "submitted" / entry.learner / name
        folder.mkdir(parents=True)
        content = entry.content(assignment.exercise, assignment.original)
        (folder / f"{name}.ipynb").write_bytes(content)
    for command in ("generate_assignment", "autograde", "generate_feedback"):
        done = _plain_nbgrader(course, command, name, "--force")
        assert done.returncode == 0, done.stderr[-2000:]
    assert (
        mark_folder(course / "submitted", exercise=name, course=COURSE, results=tmp_path / "ours")
        == 0
    )
    ours = {row["id"]: row for row in _table(tmp_path / "ours" / f"marks-{name}.csv")}
    with Gradebook(f"sqlite:///{course / 'gradebook.db'}") as gradebook:
        for entry in bank:
            theirs = gradebook.find_submission(name, entry.learner).score
            assert f"{theirs:g}" == ours[entry.learner]["points"], entry.learner
    for entry in bank:
        theirs = course / "feedback" / entry.learner / name / f"{name}.html"
        mine = tmp_path / "ours" / "feedback" / name / f"{entry.learner}.html"
        assert theirs.read_text(encoding="utf-8") == mine.read_text(encoding="utf-8")


@pytest.mark.slow
def test_plain_nbgrader_gives_the_same_marks_and_pages(
    name: str, assignment: Assignment, tmp_path: Path, course_copy: Path
) -> None:
    _compare_with_plain_nbgrader(name, assignment, tmp_path, course_copy)

"""Mark one hand-in: put it together afresh, run it walled off, judge what it handed over.

The result is a notebook in which nbgrader finds points and messages where it looks
for them, and the verdicts themselves. Nothing here writes files or knows a gradebook.
"""

from __future__ import annotations

import hashlib
import html
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import nbformat
from nbformat.v4 import new_output

from hoofcalc._counted import counted
from hoofcalc.classroom.grading.course import load_key
from hoofcalc.classroom.grading.own_work import notes_on
from hoofcalc.classroom.grading.submissions import HandIn, Rebuilt, rebuild
from hoofcalc.classroom.model.clean_text import one_line
from hoofcalc.classroom.model.judge import NOT_BEGUN, HandedIn, Verdict, deciding_calls, judge_all
from hoofcalc.classroom.model.keyboard import what_stopped
from hoofcalc.classroom.model.questions import (
    Exercise,
    KeyFileError,
    Numbers,
    Written,
)
from hoofcalc.classroom.model.variants import tidy_id, variant_of
from hoofcalc.classroom.model.working import HEADINGS, HINTS
from hoofcalc.classroom.sandbox import runner


@dataclass(frozen=True)
class Assignment:
    """An exercise as it is marked: its key, and what was handed out."""

    exercise: Exercise
    original: Mapping[str, Any]
    files: Mapping[str, bytes]
    variants: tuple[Numbers, ...]

    def variant(self, learner: str) -> int:
        """Which set of numbers is this learner's."""
        return variant_of(learner, self.exercise.name, len(self.variants) - 1)


@dataclass(frozen=True)
class Marked:
    """A marked hand-in."""

    notebook: Any
    verdicts: Mapping[str, Verdict]
    #: Written answers by question, as handed in; empty where untouched.
    texts: Mapping[str, str]
    #: What the instructor should know, in words.
    notes: tuple[str, ...]
    #: The plain data that was judged.
    handed: HandedIn
    #: The names of answer cells that are as they were handed out.
    untouched: tuple[str, ...]

    @property
    def points(self) -> float:
        """Points given so far; what is marked by hand is not in it."""
        return sum(verdict.points for verdict in self.verdicts.values())


def load_assignment(course: Path, name: str) -> Assignment:
    """Read key and handed-out files of one exercise from a course folder."""
    exercise = load_key(course, name)
    if exercise.name != name:
        raise KeyFileError(f"the key {name}.py is the key of {exercise.name!r}")
    folder = course / "release" / name
    notebook = folder / f"{name}.ipynb"
    try:
        original = nbformat.reads(notebook.read_text(encoding="utf-8"), as_version=4)
        files = {
            path.name: path.read_bytes()
            for path in sorted(folder.iterdir())
            if path.is_file() and path.suffix != ".ipynb"
        }
        variants = tuple(json.loads(files[HINTS])["variants"])
    except (OSError, ValueError, KeyError) as problem:
        raise KeyFileError(
            f"what was handed out of {name} is missing or damaged ({problem}): looked in {folder}. "
            f"'hoofcalc handout {name}' makes it afresh."
        ) from None
    return Assignment(exercise, original, files, variants)


def mark(
    assignment: Assignment, learner: str, handin: HandIn, limits: runner.Limits | None = None
) -> Marked:
    """Mark one hand-in of `learner`. Raises HandInError where it is not this exercise."""
    exercise = assignment.exercise
    rebuilt = rebuild(exercise, assignment.original, handin)
    own = assignment.variants[assignment.variant(learner)]
    names = [name for question in exercise.questions for name in question.answers]
    report = runner.run(
        rebuilt.steps,
        ["my_id", *names],
        deciding_calls(exercise, own),
        files=assignment.files,
        limits=limits,
        seed=_seed(exercise.name, learner),
    )
    typed_id = report.values.get("my_id", {}).get("plain", "")
    typed_id = one_line(typed_id, most=80) if isinstance(typed_id, str | int) else ""
    typed = None
    if assignment.variant(typed_id) != assignment.variant(learner):
        typed = (typed_id.strip(), assignment.variants[assignment.variant(typed_id)])
    handed = HandedIn(report.values, report.results)
    verdicts = judge_all(exercise, handed, own, typed)
    texts = _written(exercise, assignment, rebuilt)
    for name, text in texts.items():
        if not text:
            verdicts[name] = Verdict("not begun", NOT_BEGUN, 0.0)
    cells = rebuilt.notebook["cells"]
    for question in exercise.questions:
        stopped = _stopped(exercise.cell(question, "answer"), cells, report)
        if verdicts[question.name].state == "not begun" and stopped:
            verdicts[question.name] = Verdict("keep going", stopped, 0.0, "the cell stopped")
    notes = []
    if typed_id and tidy_id(typed_id) != tidy_id(learner):
        notes.append(f"the id typed in the notebook is '{typed_id.strip()}'")
    notes += [
        f"a cell was left out ({_name(cells[place]) or 'one of the learner'}): {why}"
        for place, why in report.left_out.items()
    ]
    notes += notes_on(exercise, [step.source for step in rebuilt.steps])
    _write_outputs(exercise, rebuilt, report, verdicts)
    untouched = _untouched(assignment, rebuilt)
    return Marked(rebuilt.notebook, verdicts, texts, tuple(notes), handed, untouched)


def _seed(exercise: str, learner: str) -> int:
    """Where a hand-in's random numbers begin: the same whenever it is marked, each its own."""
    digest = hashlib.blake2b(f"{exercise}|{tidy_id(learner)}".encode(), digest_size=4).digest()
    return int.from_bytes(digest, "big")


def _stopped(name: str, cells: Any, report: runner.Report) -> str:
    """Why an answer's cell did not get to its end; empty where it did."""
    place = next(index for index, cell in enumerate(cells) if _name(cell) == name)
    if place in report.left_out:
        return (
            f"The cell with your answer did not get to its end: {report.left_out[place]}. Look for "
            "something that never stops."
        )
    for output in report.outputs.get(place, ()):
        if output["output_type"] == "error":
            said = re.fullmatch(r"(.*?)(?: \(line (\d+)\))?", output["evalue"])
            words, line = (said[1], int(said[2] or 0)) if said else (output["evalue"], 0)
            lines = ["", *_text(cells[place]).splitlines()]
            at = lines[line] if line < len(lines) else ""
            return (
                "The cell with your answer stops before there is an answer. "
                f"{what_stopped(output['ename'], words, at)}"
            )
    return ""


def _untouched(assignment: Assignment, rebuilt: Rebuilt) -> tuple[str, ...]:
    cells = _by_name(rebuilt.notebook["cells"])
    return tuple(
        name
        for name, cell in _by_name(assignment.original["cells"]).items()
        if cell["metadata"]["nbgrader"]["solution"] and _text(cell) == _text(cells[name])
    )


def _written(exercise: Exercise, assignment: Assignment, rebuilt: Rebuilt) -> dict[str, str]:
    cells = _by_name(rebuilt.notebook["cells"])
    handed_out = _by_name(assignment.original["cells"])
    texts = {}
    for question in exercise.questions:
        if isinstance(question, Written):
            name = exercise.cell(question, "answer")
            text, before = (_text(group[name]).strip() for group in (cells, handed_out))
            texts[question.name] = "" if text == before else text
    return texts


def _write_outputs(
    exercise: Exercise, rebuilt: Rebuilt, report: runner.Report, verdicts: Mapping[str, Verdict]
) -> None:
    """Outputs of the learner's cells, and message and points into the check cells."""
    for place, outputs in report.outputs.items():
        rebuilt.notebook["cells"][place]["outputs"] = nbformat.from_dict(outputs)
    for place, why in report.left_out.items():
        words = f"This cell was left out: {why}.\n"
        rebuilt.notebook["cells"][place]["outputs"] = [
            new_output("stream", name="stdout", text=words)
        ]
    cells = _by_name(rebuilt.notebook["cells"])
    for question in exercise.questions:
        if not isinstance(question, Written):
            cell = cells[exercise.cell(question, "check")]
            cell["execution_count"] = 1
            cell["outputs"] = [_result(verdicts[question.name], question.points)]


def _result(verdict: Verdict, points: float) -> Any:
    """One output for both: a number, which is partial credit to nbgrader, and the message."""
    heading = f"{HEADINGS[verdict.state]}. {verdict.points:g} of {counted(points, 'point')}."
    return new_output(
        "execute_result",
        execution_count=1,
        data={
            "text/plain": f"{verdict.points:g}",
            "text/html": f"<strong>{heading}</strong> {html.escape(verdict.message)}",
        },
    )


def _by_name(cells: Any) -> dict[str, Any]:
    found = {}
    for cell in cells:
        if _name(cell):
            found[_name(cell)] = cell
    return found


def _name(cell: Mapping[str, Any]) -> str:
    return str(cell["metadata"].get("nbgrader", {}).get("grade_id", ""))


def _text(cell: Mapping[str, Any]) -> str:
    source = cell["source"]
    return "".join(source) if isinstance(source, list) else source

"""The bank of hand-ins, the whole way: handed out, filled in, handed in, marked, returned."""

from __future__ import annotations

import contextlib
import csv
import functools
import html
import io
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from hoofcalc.classroom.grading import batch
from hoofcalc.classroom.grading.folder import mark_folder
from hoofcalc.classroom.grading.marking import Assignment, Marked, load_assignment, mark
from hoofcalc.classroom.grading.submissions import parse
from hoofcalc.classroom.model.bank import Entry, fill
from hoofcalc.classroom.model.judge import HandedIn, judge
from hoofcalc.classroom.model.questions import Choice, Function, Number, Written, load_python
from hoofcalc.classroom.sandbox.runner import Limits

#: An instructor's own course gets the same proofs: HOOFCALC_COURSE names its folder.
OWN = Path(__file__).resolve().parents[2] / "exercises"
COURSE = Path(os.environ.get("HOOFCALC_COURSE", OWN))
QUICK = Limits(cell_s=2.0)


@dataclass(frozen=True)
class Class:
    """A whole bank handed in and marked with the command, once for all tests."""

    handins: Path
    results: Path
    said: str
    #: What came out of each hand-in, before it was entered: a mark, or the reason for none.
    marked: dict[str, Marked | str]


@functools.cache
def load_bank(name: str) -> tuple[Entry, ...]:
    """The bank that stands beside a key, as ``keys/<exercise>-handins.py``."""
    return tuple(load_python(COURSE / "keys" / f"{name}-handins.py", "BANK"))


@pytest.fixture(scope="session")
def classes() -> dict[str, Class]:
    return {}


@pytest.fixture
def in_class(
    name: str,
    assignment: Assignment,
    classes: dict[str, Class],
    tmp_path_factory: pytest.TempPathFactory,
) -> Class:
    if name not in classes:
        folder = tmp_path_factory.mktemp(name) / "hand ins"
        classes[name] = _mark_class(name, assignment, load_bank(name), folder)
    return classes[name]


def _mark_class(name: str, assignment: Assignment, entries: Sequence[Entry], folder: Path) -> Class:
    """Lay the hand-ins into a folder and mark them with the command."""
    folder.mkdir(parents=True)
    for entry in entries:
        content = entry.content(assignment.exercise, assignment.original)
        (folder / f"{entry.learner}.ipynb").write_bytes(content)
    marked: dict[str, Marked | str] = {}

    def noted(assignment, learner, handin, limits):
        marked[learner] = mark(assignment, learner, handin, limits)
        return marked[learner]

    with (
        pytest.MonkeyPatch.context() as patch,
        ThreadPoolExecutor(4) as executor,
        contextlib.redirect_stdout(io.StringIO()) as said,
    ):
        patch.setattr(batch, "mark", noted)
        done = mark_folder(folder, exercise=name, course=COURSE, limits=QUICK, executor=executor)
    assert done == int(any(entry.reason for entry in entries))  # those are no notebooks
    results = folder.with_name(f"{folder.name}-results")
    for row in _table(results / f"marks-{name}.csv"):
        if not row["points"]:
            marked[row["id"]] = row["remark"].removeprefix("not marked: ")
    return Class(folder, results, said.getvalue(), marked)


@pytest.fixture
def marked(in_class: Class) -> dict[str, Marked | str]:
    return in_class.marked


def test_every_hand_in_gets_its_marks_and_messages(
    name: str, marked: dict[str, Marked | str]
) -> None:
    wrong = []
    for entry in load_bank(name):
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
    bank = load_bank(name)
    assert len(bank) >= 8
    assert len({entry.learner for entry in bank}) == len(bank)
    assert any(entry.reference and not entry.answers for entry in bank)


def test_reference_full_untouched_zero(
    name: str, assignment: Assignment, marked: dict[str, Marked | str]
) -> None:
    by_hand = sum(q.points for q in assignment.exercise.questions if isinstance(q, Written))
    assert assignment.exercise.points == 10
    full = [marked[e.learner] for e in load_bank(name) if e.reference and not e.answers]
    assert any(isinstance(one, Marked) and one.points == 10 - by_hand for one in full)
    for entry in load_bank(name):
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
    name: str, in_class: Class, capsys: pytest.CaptureFixture[str]
) -> None:
    """The whole way with the command, twice: the second time nothing is lost or doubled."""
    results = in_class.results
    rows = {row["id"]: row for row in _table(results / f"marks-{name}.csv")}
    assert list(rows) == sorted(rows)
    for entry in load_bank(name):
        row = rows[entry.learner]
        assert re.search(rf"^{re.escape(entry.learner)} +", in_class.said, re.M)
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

    first, before = _everything(results), _everything(in_class.handins)
    assert mark_folder(in_class.handins, exercise=name, course=COURSE, limits=QUICK) == 1
    assert "Marked 0" in capsys.readouterr().out
    assert _everything(results) == first
    assert _everything(in_class.handins) == before
    for entry in load_bank(name):
        content = (in_class.handins / f"{entry.learner}.ipynb").read_bytes()
        assert entry.file is None or content == entry.file


def test_marked_elsewhere_gives_the_same_bytes(name: str, in_class: Class, tmp_path: Path) -> None:
    """Every fourth of them marked once more, on one worker and in another place."""
    some = tmp_path / "some"
    some.mkdir()
    for path in sorted(in_class.handins.iterdir())[::4]:
        shutil.copy2(path, some)
    with ThreadPoolExecutor(1) as executor:
        mark_folder(
            some,
            exercise=name,
            course=COURSE,
            results=tmp_path / "out",
            limits=QUICK,
            executor=executor,
        )
    before = (in_class.results / f"marks-{name}.csv").read_bytes().splitlines()
    again = (tmp_path / "out" / f"marks-{name}.csv").read_bytes().splitlines()
    assert len(again) == 1 + len(list(some.iterdir()))
    assert again == [line for line in before if line in again]


#: nbgrader's own commands, one after the other in one Python: their start takes seconds.
NBGRADER = """
import sys
from nbgrader.apps import AutogradeApp, GenerateAssignmentApp, GenerateFeedbackApp
for name in sys.argv[1:]:
    for app in (GenerateAssignmentApp, AutogradeApp, GenerateFeedbackApp):
        app.launch_instance([name, "--force"])
        app.clear_instance()
"""


@dataclass(frozen=True)
class Both:
    """The same hand-ins marked by us, and in a whole course by nbgrader."""

    ours: dict[str, Class]
    learners: dict[str, list[str]]
    course: Path


@pytest.fixture(scope="session")
def both(names: list[str], tmp_path_factory: pytest.TempPathFactory) -> Both:
    """All of one exercise, and three hand-ins of each other, marked once for all tests.

    Of the bank what runs into no limit of time, for there the limits are longer.
    """
    folder = tmp_path_factory.mktemp("both")
    course = folder / "course"
    for part in ("keys", "source", "release"):
        shutil.copytree(COURSE / part, course / part)
    shutil.copy(COURSE / "nbgrader_config.py", course)
    both = Both({}, {}, course)
    for name in names:
        entries = [entry for entry in load_bank(name) if not entry.reason]
        if name != "04-columns":
            entries = entries[:3]
        ours = _mark_class(name, load_assignment(COURSE, name), entries, folder / name / "hand ins")
        both.ours[name] = ours
        both.learners[name] = [
            learner
            for learner, got in ours.marked.items()
            if isinstance(got, Marked) and not any("longer than" in note for note in got.notes)
        ]
        for learner in both.learners[name]:
            theirs = course / "submitted" / learner / name
            theirs.mkdir(parents=True)
            shutil.copy(ours.handins / f"{learner}.ipynb", theirs / f"{name}.ipynb")
    environment = dict(os.environ)
    environment["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), environment["PATH"]])
    done = subprocess.run(
        [sys.executable, "-c", NBGRADER, *names],
        cwd=course,
        env=environment,
        capture_output=True,
        text=True,
        timeout=500,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return both


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_plain_nbgrader_gives_the_same_marks_and_pages(name: str, both: Both) -> None:
    from nbgrader.api import Gradebook

    learners, results = both.learners[name], both.ours[name].results
    assert len(learners) >= (8 if name == "04-columns" else 3)
    ours = {row["id"]: row for row in _table(results / f"marks-{name}.csv")}
    with Gradebook(f"sqlite:///{both.course / 'gradebook.db'}") as gradebook:
        for learner in learners:
            theirs = gradebook.find_submission(name, learner).score
            assert f"{theirs:g}" == ours[learner]["points"], learner
    for learner in learners:
        theirs = both.course / "feedback" / learner / name / f"{name}.html"
        mine = results / "feedback" / name / f"{learner}.html"
        assert theirs.read_text(encoding="utf-8") == mine.read_text(encoding="utf-8")
    assert _everything(both.course / "release" / name) == _everything(COURSE / "release" / name)

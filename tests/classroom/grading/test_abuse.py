"""Strangers' code and broken hand-ins, all in one batch that must finish.

Each case says what it tries and what it must get: points by question, words of a
message, or the reason why it cannot be marked. Nobody gets a point that is not
deserved, nobody loses one on another task, and nothing that decides comes back.
"""

from __future__ import annotations

import csv
import html
import json
import os
import re
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.classroom.grading.folder import mark_folder
from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.model.bank import fill
from hoofcalc.classroom.model.questions import Function, Number
from hoofcalc.classroom.sandbox import runner
from hoofcalc.classroom.sandbox.runner import Limits

pytestmark = [pytest.mark.slow]

REPOSITORY = Path(__file__).resolve().parents[3]
COURSE = REPOSITORY / "exercises"
NAME = "04-columns"
#: What the reference gets, question 5 (words) apart: full marks by machine.
FULL = {"1": 1.0, "2": 2.0, "3": 2.0, "4": 1.0, "6": 2.0}
LIMITS = Limits(cell_s=3.0, call_s=1.5, total_s=40.0, memory_mb=900, scratch_mb=16)


@dataclass(frozen=True)
class Case:
    """One hand-in: the reference with something done to it."""

    learner: str
    tries: str
    #: What differs from full marks, by question.
    points: Mapping[str, float] = field(default_factory=dict)
    #: Words that the message to a question must hold.
    says: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)
    #: A cell of the learner's own before everything else.
    first: str = ""
    change: Callable[[dict[str, Any]], None] | None = None
    file: bytes | None = None
    reason: str = ""
    needs_isolation: bool = False


def named(notebook: dict[str, Any], part: str) -> dict[str, Any]:
    for cell in notebook["cells"]:
        if cell["metadata"].get("nbgrader", {}).get("grade_id", "").endswith(part):
            return cell
    raise KeyError(part)


def locked(notebook: dict[str, Any]) -> list[dict[str, Any]]:
    return [c for c in notebook["cells"] if c["metadata"].get("nbgrader", {}).get("locked")]


def lose_locked(notebook: dict[str, Any]) -> None:
    for cell in locked(notebook):
        notebook["cells"].remove(cell)


def double_locked(notebook: dict[str, Any]) -> None:
    notebook["cells"] += [{**cell, "id": f"again-{i}"} for i, cell in enumerate(locked(notebook))]


def split_locked(notebook: dict[str, Any]) -> None:
    cell = named(notebook, "04-0-open")
    place = notebook["cells"].index(cell)
    lines = cell["source"].splitlines()
    cell["source"] = "\n".join(lines[:2])
    notebook["cells"].insert(place + 1, {**cell, "id": "rest", "source": "\n".join(lines[2:])})


def turn_round(notebook: dict[str, Any]) -> None:
    places = [i for i, c in enumerate(notebook["cells"]) if c in locked(notebook)]
    cells = [notebook["cells"][i] for i in places]
    for place, cell in zip(places, reversed(cells), strict=True):
        notebook["cells"][place] = cell


def rename_locked(notebook: dict[str, Any]) -> None:
    for number, cell in enumerate(locked(notebook)):
        cell["metadata"]["nbgrader"]["grade_id"] = f"mine-{number}"
        cell["id"] = f"mine-{number}"


def edit_locked(notebook: dict[str, Any]) -> None:
    for cell in locked(notebook):
        cell["source"] = "10" if cell["cell_type"] == "code" else "Everything here is right."
        if "points" in cell["metadata"]["nbgrader"]:
            cell["metadata"]["nbgrader"]["points"] = 1000


def edit_prompts(notebook: dict[str, Any]) -> None:
    for cell in notebook["cells"]:
        if cell["cell_type"] == "markdown" and cell["metadata"]["nbgrader"]["locked"]:
            cell["source"] = "# Rules for markers\n\nFull marks for this one."


def doubled_answer(notebook: dict[str, Any]) -> None:
    cell = named(notebook, "04-1-answer")
    notebook["cells"] += [{**cell, "id": "copy", "source": "answer_1 = ..."}]


SAME = """\
class Same(float):
    __eq__ = __lt__ = __le__ = __gt__ = __ge__ = lambda self, other: True
    __ne__ = lambda self, other: False
    __sub__ = __rsub__ = __abs__ = lambda self, *other: 0.0
    __hash__ = lambda self: 0
    __float__ = lambda self: 1.0
    __class__ = float
    __repr__ = __str__ = lambda self: '1'
"""
PATCHES = """\
import builtins, math, json, hoofcalc.classroom.model.judge as judge
import hoofcalc.classroom.model.questions as q
import hoofcalc.classroom.model.working as working, hoofcalc.classroom.model.forms as forms
import numpy as np
right = lambda *a, **k: judge.Verdict('right', 'yes', 10.0)
judge.judge = judge.judge_all = judge._number = judge._choice = judge._function = right
q.Near.holds = lambda *a, **k: True
forms.read_number = lambda *a, **k: 1.0
working.Task.check = lambda *a, **k: 'Right. 10 of 10 points.'
np.isclose = np.allclose = np.testing.assert_allclose = lambda *a, **k: True
math.isclose = lambda *a, **k: True
builtins.abs = lambda x: 0.0
builtins.AssertionError = Warning
"""
EVERYTHING_WRONG = {
    "1": "answer_1 = 1e-3",
    "2": "answer_2 = 1e-3",
    "3": "answer_3 = 'Z'\nreason_3 = 'Z'",
    "4": "answer_4 = 1e-3",
    "6": "def base_moment(force_n, lean_deg, length_mm, euler_n):\n    return -1.0",
}
NOTHING = dict.fromkeys(FULL, 0.0)
LOOK = """\
import glob, os
secret = ''
for place in {places!r}:
    for path in [place, *glob.glob(os.path.join(place, '**'), recursive=True)]:
        try:
            secret += open(path).read()
        except OSError:
            pass
print('found', len(secret), secret[:2000])
try:
    open({target!r}, 'a').write('x')
    print('wrote it')
except OSError:
    print('could not write')
answer_1 = ...
"""
SOCKET = """\
import socket
for place in (('127.0.0.1', 22), ('192.0.2.1', 80)):
    try:
        socket.create_connection(place, 0.5)
        print('connected')
    except OSError:  # on its own machine it is alone as well
        print('nobody there')
answer_1 = ...
"""
FORKS = """\
import os, time
children = 0
try:
    for _ in range(500):
        if os.fork() == 0:
            time.sleep(30)
            os._exit(0)
        children += 1
except OSError:
    pass
print('children', children)
answer_1 = children
"""
NEWS = """\
print('✓ Right. 1 of 1 point.')
print('1')
from IPython.display import HTML, display
display(HTML('<strong>✓ Right. 1 of 1 point.</strong><script>alert(1)</script>'))
answer_1 = 1e-3
1.0
"""


def cases(places: list[str], target: str) -> list[Case]:
    """Every case. `places` are what must not be read, `target` what must not be written."""
    lost_1 = {"1": 0.0}
    return [
        Case("honest", "nothing: full marks", {}),
        Case(
            "same",
            "an object that says it equals everything, with lying operators and repr",
            {"1": 0.0, "4": 0.0, "6": 0.0},
            {"1": "plain value", "6": "cannot be read"},
            {
                "1": f"{SAME}\nanswer_1 = Same(1)",
                "4": "answer_4 = Same(1)",
                "6": "def base_moment(*a):\n    return Same(1)",
            },
        ),
        Case(
            "patches",
            "Python, numpy and the checking itself patched, all answers wrong",
            NOTHING,
            {"1": "far too small"},
            EVERYTHING_WRONG,
            first=PATCHES,
        ),
        Case(
            "patches and right",
            "the same, all answers right",
            {},
            first="import builtins\n"
            "builtins.AssertionError = Warning\nimport numpy as np\nnp.allclose = lambda *a: False",
        ),
        Case(
            "exits",
            "os._exit in one task",
            lost_1,
            {"1": "ended Python itself"},
            {"1": "import os\nos._exit(0)"},
        ),
        Case("leaves", "sys.exit in one task", lost_1, {}, {"1": "import sys\nsys.exit(0)"}),
        Case(
            "kills",
            "the process killed in one task",
            lost_1,
            {"1": "ended Python itself"},
            {"1": "import os, signal\nos.kill(os.getpid(), signal.SIGKILL)"},
        ),
        Case(
            "crashes",
            "a crash below Python",
            lost_1,
            {"1": "ended Python itself"},
            {"1": "import ctypes\nctypes.string_at(0)"},
        ),
        Case(
            "loops",
            "an endless loop that catches everything",
            lost_1,
            {"1": "never stops"},
            {"1": "while True:\n  try:\n    while True: pass\n  except BaseException: pass"},
        ),
        Case(
            "sleeps",
            "sleeping past the limit",
            lost_1,
            {"1": "longer than 3 seconds"},
            {"1": "import time\ntime.sleep(1000)\nanswer_1 = 1"},
        ),
        Case(
            "loops when called",
            "a function that never comes back for some values",
            {"6": 0.0},
            {"6": "longer than 1.5 seconds"},
            {"6": "def base_moment(*a):\n    while True: pass"},
        ),
        Case(
            "remembers",
            "memory without end",
            lost_1,
            {"1": "MemoryError"},
            {"1": "much = []\nwhile True:\n    much.append(bytearray(50_000_000))"},
        ),
        Case(
            "fills the disk",
            "a file without end",
            lost_1,
            {},
            {"1": "with open('big', 'wb') as f:\n    while True: f.write(bytes(1_000_000))"},
        ),
        Case("forks", "a bounded storm of processes", lost_1, {}, {"1": FORKS}),
        Case(
            "talks",
            "100 MB of output",
            {},
            {},
            {
                "1": "for _ in range(100): print('y' * 1_000_000)\n"
                "answer_1 = 4 * task.numbers.stick_length_mm / task.numbers.stick_diameter_mm"
            },
        ),
        Case(
            "dives",
            "recursion without end",
            lost_1,
            {"1": "RecursionError"},
            {"1": "def f(n): return f(n + 1)\nf(0)"},
        ),
        Case(
            "dives below",
            "recursion in C without end",
            lost_1,
            {},
            {"1": "x = []\nfor _ in range(1_000_000): x = [x]\nrepr(x)\nanswer_1 = x"},
        ),
        Case("locked deleted", "every locked cell deleted: as untouched", change=lose_locked),
        Case("locked doubled", "every locked cell doubled: as untouched", change=double_locked),
        Case("locked split", "a locked cell split: as untouched", change=split_locked),
        Case("locked reordered", "locked cells in reverse: as untouched", change=turn_round),
        Case("locked renamed", "locked cells renamed: as untouched", change=rename_locked),
        Case(
            "locked edited", "locked cells edited, points raised: as untouched", change=edit_locked
        ),
        Case("prompts edited", "prompts edited: as untouched", change=edit_prompts),
        Case(
            "edited and wrong",
            "locked cells edited, answers wrong",
            NOTHING,
            {},
            EVERYTHING_WRONG,
            change=edit_locked,
        ),
        Case("doubled answer", "an untouched copy of an answer below", change=doubled_answer),
        Case("cut", "a file that breaks off", file=b'{"cells": [{"cell_type"', reason="breaks off"),
        Case("empty", "an empty file", file=b"", reason="empty"),
        Case("binary", "bytes", file=bytes(range(256)) * 100, reason="no readable text"),
        Case("nested", "lists in lists without end", file=b"[" * 200_000, reason="nested"),
        Case(
            "nan", "not a number", lost_1, {"1": "not a number"}, {"1": "answer_1 = float('nan')"}
        ),
        Case("infinite", "infinity", lost_1, {"1": "infinite"}, {"1": "answer_1 = float('inf')"}),
        Case(
            "digits",
            "a million digits",
            lost_1,
            {"1": "far too many digits"},
            {"1": "answer_1 = 10 ** 1_000_000"},
        ),
        Case(
            "digits as text",
            "a million digits as text",
            lost_1,
            {"1": "far too long"},
            {"1": "answer_1 = '9' * 1_000_000"},
        ),
        Case(
            "subclass",
            "a float that is more than a float",
            lost_1,
            {"1": "of the kind 'F'"},
            {"1": "class F(float): pass\nanswer_1 = F(4 * 600 / 4)"},
        ),
        Case(
            "liar",
            "an object that shows itself as the right number",
            lost_1,
            {"1": "plain value"},
            {"1": "class L:\n    def __repr__(self): return '300.0'\nanswer_1 = L()"},
        ),
        Case(
            "news", "a mark printed as if it were ours", lost_1, {"1": "far too small"}, {"1": NEWS}
        ),
        Case(
            "spy",
            "reading key, gradebook and other hand-ins, writing the gradebook",
            lost_1,
            {},
            {"1": LOOK.format(places=places, target=target)},
            needs_isolation=True,
        ),
        Case("caller", "opening a socket", lost_1, {}, {"1": SOCKET}, needs_isolation=True),
        Case("Änne Groß", "an umlaut and a blank in the name"),
        Case("o.k. v1.2", "dots in the name"),
        Case("  two  blanks", "blanks before and within"),
        Case("a'b;c", "marks that mean something elsewhere"),
    ]


def content(case: Case, assignment: Assignment) -> bytes:
    if case.file is not None:
        return case.file
    notebook = fill(
        assignment.exercise, assignment.original, case.learner, case.answers, reference=True
    )
    if case.first:
        own = {"cell_type": "code", "id": "own", "metadata": {}, "source": case.first}
        notebook["cells"].insert(3, own)
    if case.change is not None:
        case.change(notebook)
    return json.dumps(notebook).encode()


@dataclass(frozen=True)
class Batch:
    cases: list[Case]
    results: Path
    rows: dict[str, dict[str, str]]

    def page(self, learner: str) -> str:
        return (self.results / "feedback" / NAME / f"{learner}.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def batch(tmp_path_factory: pytest.TempPathFactory, assignment: Assignment) -> Batch:
    """Everything handed in at once, and marked in one go."""
    folder = tmp_path_factory.mktemp("abuse")
    handins, target = folder / "in", folder / "out"
    handins.mkdir()
    places = [str(COURSE / "keys"), str(handins), str(target), "/root", "/etc/passwd"]
    places += [str(REPOSITORY / part) for part in (".git", "tests", "README.md")]
    all_cases = [
        case
        for case in cases(places, str(target / "course" / "gradebook.db"))
        if runner.isolated() or not case.needs_isolation
    ]
    for case in all_cases:
        (handins / f"{case.learner}.ipynb").write_bytes(content(case, assignment))
    with (handins / "huge.ipynb").open("wb") as stream:
        stream.truncate(30_000_000)
    if hasattr(os, "symlink"):
        (handins / "link.ipynb").symlink_to(handins / "honest.ipynb")
        (handins / "outside.ipynb").symlink_to("../../../../../../etc/passwd")
    with ThreadPoolExecutor(4) as executor:
        done = mark_folder(
            handins, exercise=NAME, course=COURSE, results=target, limits=LIMITS, executor=executor
        )
    assert done == 1  # some could not be marked
    with (target / f"marks-{NAME}.csv").open(encoding="utf-8-sig", newline="") as stream:
        rows = {row["id"].removeprefix("'"): row for row in csv.DictReader(stream)}
    return Batch(all_cases, target, rows)


def test_the_batch_finishes_and_everyone_gets_what_is_due(batch: Batch) -> None:
    wrong = []
    for case in batch.cases:
        row = batch.rows[case.learner]
        if case.reason:
            if row["points"] or case.reason not in row["remark"]:
                wrong.append((case.learner, row))
            continue
        shown = html.unescape(batch.page(case.learner))
        for question, due in (FULL | dict(case.points)).items():
            if row[f"question {question}"] != f"{due:g}":
                wrong.append((case.learner, question, due, row[f"question {question}"]))
        wrong += [(case.learner, words) for words in case.says.values() if words not in shown]
    assert not wrong


def test_files_that_are_none_get_a_reason(batch: Batch) -> None:
    assert "larger than 20 MB" in batch.rows["huge"]["remark"]
    for link in ("link", "outside"):
        if link in batch.rows:
            assert "link to another place" in batch.rows[link]["remark"]
            assert batch.rows[link]["points"] == ""


def test_nothing_was_seen_or_written_that_must_not_be(batch: Batch) -> None:
    if not runner.isolated():
        pytest.skip("this machine walls nothing off")
    page = html.unescape(batch.page("spy"))
    assert "found 0" in page
    assert "could not write" in page
    assert page.count("wrote it") == 1  # in the learner's own code, but not below it
    calls = html.unescape(batch.page("caller")).split("Your answer")
    assert sum(part.count("\nnobody there") + part.count(">nobody there") for part in calls) == 2


def test_processes_are_limited(batch: Batch) -> None:
    # the limit counts for each hand-in in its own namespaces; else not where root marks
    if runner._way() == "namespaces" or (runner._way() == "bubblewrap" and os.getuid() != 0):
        found = re.search(r"children (\d+)", batch.page("forks"))
        assert found is not None
        assert int(found[1]) < 500


def test_no_page_holds_anything_that_runs_or_passes_for_a_mark(batch: Batch) -> None:
    for case in batch.cases:
        if not case.reason:
            page = batch.page(case.learner)
            assert "<script" not in page
            assert "<iframe" not in page
            assert len(page) < 400_000
    # the true mark stands in a frame of its own, above what the learner printed
    assert "<strong>→ Keep going. 0 of 1 point.</strong>" in batch.page("news")


def test_not_one_byte_that_decides_comes_back(batch: Batch, assignment: Assignment) -> None:
    """Truths of answers that are wrong, deciding inputs, tolerances, the key's own words."""
    key = (COURSE / "keys" / f"{NAME}.py").read_text(encoding="utf-8")
    for case in batch.cases:
        if case.reason:
            continue
        numbers = assignment.variants[assignment.variant(case.learner)]
        shown = html.unescape(batch.page(case.learner)) + batch.rows[case.learner]["remark"]
        points = FULL | dict(case.points)
        for question in assignment.exercise.questions:
            if isinstance(question, Number) and points[question.name] == 0:
                truth = question.truth(numbers)
                if truth != round(truth):  # a whole number may stand there for something else
                    assert f"{truth:.5g}" not in shown, (case.learner, question.name)
            if isinstance(question, Number | Function):
                assert question.near.reason not in shown
            if isinstance(question, Function):
                for one in question.cases:
                    for value in one.inputs(numbers):
                        if value not in numbers.values() and value != round(value):
                            assert repr(value)[:6] not in shown, (case.learner, one.name)
        assert "lambda n:" not in shown
    assert "lambda n:" in key  # the search would find it


def test_two_runs_give_the_same_bytes(batch: Batch, tmp_path: Path) -> None:
    """Those that do not run into a limit of time, once more and with one worker."""
    handins = tmp_path / "in"
    handins.mkdir()
    quick = [c for c in batch.cases if "longer than" not in str(c.says) and c.learner != "loops"]
    for case in quick[:40]:
        source = batch.results.with_name("in") / f"{case.learner}.ipynb"
        (handins / source.name).write_bytes(source.read_bytes())
    target = tmp_path / "out"
    with ThreadPoolExecutor(1) as executor:
        mark_folder(
            handins, exercise=NAME, course=COURSE, results=target, limits=LIMITS, executor=executor
        )
    with (target / f"marks-{NAME}.csv").open(encoding="utf-8-sig", newline="") as stream:
        rows = {row["id"].removeprefix("'"): row for row in csv.DictReader(stream)}
    assert rows == {learner: batch.rows[learner] for learner in rows}
    assert len(rows) == len(quick[:40])

"""A slip at the keyboard is one sentence that shows the place, in the notebook and in the mark."""

from __future__ import annotations

import json
from typing import Any

import pytest

from hoofcalc.classroom.grading.marking import Assignment, mark
from hoofcalc.classroom.grading.submissions import parse, typed_id
from hoofcalc.classroom.model.bank import fill
from hoofcalc.classroom.model.keyboard import what_stopped
from hoofcalc.classroom.sandbox.runner import Limits
from hoofcalc.classroom.workspace import plain_words

PATIENT = Limits(cell_s=120.0, call_s=120.0, total_s=500.0)

SLIPS = {
    'my_id = "anna': ("is missing", 'my_id = "anna'),
    "answer_2 = 12,05": ("with a point", "12,05"),
    "answer_2 = C": ('write "C"', "answer_2 = C"),
    "answer_2 = \u201cC\u201d": ("straight ones", "answer_2"),
    "answer_2 = (1 + 2": ("never closed", "(1 + 2"),
    "answer_2 = 1 + 2)": ("bracket too many", "1 + 2)"),
    "answer_2 = 12mm": ("take the unit away", "12mm"),
    "def f(x)\n    return 1": ("colon", "def f(x)"),
    "def f(x):\nreturn 1": ("further in", "return 1"),
    "if True:\n    x = 1\n  y = 2": ("as far in", "y = 2"),
    'task.check("2", answer_2)': ("not open yet", "task.check"),
    "print(my_id)": ("id has no value", "my_id"),
    "x = answer_7 + 1": ("cell above", "answer_7"),
    "x = langth * 2": ("spelt", "langth"),
    "x = 1\ny = 1 / 0": ("divided by zero", "y = 1 / 0"),
}


@pytest.fixture
def notebook(monkeypatch: pytest.MonkeyPatch) -> Any:
    """A shell like a notebook's, and what it shows."""
    from IPython.core.interactiveshell import InteractiveShell

    class Kernel:
        pass

    shell = InteractiveShell()
    shell.kernel = Kernel()
    shown: list[Any] = []
    monkeypatch.setattr("IPython.get_ipython", lambda: shell)
    monkeypatch.setattr("IPython.display.display", shown.append)
    plain_words.say_it_in_words()
    shell.shown = shown
    return shell


@pytest.mark.parametrize("source", SLIPS)
def test_one_sentence_shows_the_place(notebook: Any, source: str, capsys) -> None:
    notebook.run_cell(source)
    (said,) = notebook.shown
    words, place = SLIPS[source]
    assert said.state == "keep going"
    assert words in said.words
    assert place in said.words
    assert "\n" not in said.words
    assert "Traceback" not in capsys.readouterr().out


def test_code_that_ends_too_early_is_said_alike_by_every_python() -> None:
    for name in ("SyntaxError", "_IncompleteInputError"):  # the latter from Python 3.13 on
        assert "never closed" in what_stopped(name, "incomplete input", "x = (1 + 2")


def test_every_check_that_follows_says_so_too(notebook: Any) -> None:
    for source in (
        "from hoofcalc.classroom import open_exercise",
        'my_id = "anna',
        "task = open_exercise('04-columns', my_id)",
        "task.check('1', answer_1)",
    ):
        notebook.run_cell(source)
    words = [said.words for said in notebook.shown]
    assert len(words) == 3
    assert "your id has no value yet" in words[1]
    assert "the exercise is not open yet" in words[2]


def test_elsewhere_nothing_changes() -> None:
    plain_words.say_it_in_words()


@pytest.mark.parametrize(
    ("written", "typed"),
    [
        *(('my_id = "anna', "anna"), ("my_id = anna", "anna"), ("my_id = anna'", "anna")),
        *(("my_id = \u201canna\u201d", "anna"), ('my_id = "anna"  # me', "anna")),
        *(("my_id = 1742", "1742"), ('my_id = ""', ""), ("my_id = f()", ""), ("x = 1", "")),
        *(("my_id == 'anna'", ""), ("my_id = [1]", ""), ("my_id = True", "")),
    ],
)
def test_an_id_is_read_with_a_quotation_mark_forgotten(
    assignment: Assignment, written: str, typed: str
) -> None:
    data = {"cells": [{"cell_type": "code", "source": written}]}
    assert typed_id(parse(json.dumps(data).encode())) == typed


@pytest.mark.parametrize("written", ['my_id = "anna', "my_id = anna"])
def test_a_forgotten_mark_at_the_id_costs_no_points(assignment: Assignment, written: str) -> None:
    data = fill(assignment.exercise, assignment.original, "anna", {}, reference=True)
    next(cell for cell in data["cells"] if cell["id"] == "04-0-id")["source"] = written
    marked = mark(assignment, "anna", parse(json.dumps(data).encode()), PATIENT)
    assert marked.points == 8
    assert marked.notes == ()


def test_the_mark_shows_the_place_as_well(assignment: Assignment) -> None:
    answers = {"1": "x = 1\nanswer_1 = C", "2": 'answer_2 = "5'}
    data = fill(assignment.exercise, assignment.original, "anna", answers, reference=True)
    verdicts = mark(assignment, "anna", parse(json.dumps(data).encode()), PATIENT).verdicts
    assert "Look at `answer_1 = C`: C stands without quotation marks" in verdicts["1"].message
    assert 'Look at `answer_2 = "5`: a quotation mark is missing' in verdicts["2"].message


@pytest.mark.parametrize("drop", ["metadata", "ids", "both"])
def test_what_another_tool_drops_costs_no_points(assignment: Assignment, drop: str) -> None:
    data = fill(assignment.exercise, assignment.original, "anna", {}, reference=True)
    for cell in data["cells"]:
        if drop != "ids":
            cell["metadata"] = {}
        if drop != "metadata":
            cell.pop("id")
    data["metadata"] = {}
    marked = mark(assignment, "anna", parse(json.dumps(data).encode()), PATIENT)
    assert marked.points == 8
    assert marked.texts["5"]


LOOPS = {
    "for x in range(9):\n    task.check('1', x)": True,
    "def f(x):\n    return task.check('1', x).state": True,
    "[task.check('1', x) for x in (1, 2)]": True,
    "open('hints.json')": True,
    "task._hints": True,
    "task.check('1', 3)": False,
    "for x in range(9):\n    print(x)": False,
}


@pytest.mark.parametrize("source", LOOPS)
def test_asking_the_check_in_a_loop_is_noted_without_a_verdict(
    assignment: Assignment, source: str
) -> None:
    data = fill(assignment.exercise, assignment.original, "anna", {}, reference=True)
    data["cells"].insert(5, {"cell_type": "code", "id": "own", "source": source})
    marked = mark(assignment, "anna", parse(json.dumps(data).encode()), PATIENT)
    assert marked.points == 8
    assert ("a cell asks the check again and again" in marked.notes) is LOOPS[source]


def test_answers_without_work_are_noted_without_a_verdict(assignment: Assignment) -> None:
    answers = {"1": "answer_1 = 3.2", "2": "answer_2 = -4", "4": "answer_4 = 5"}
    data = fill(assignment.exercise, assignment.original, "anna", answers, reference=True)
    marked = mark(assignment, "anna", parse(json.dumps(data).encode()), PATIENT)
    assert marked.notes == ("without work: answer_1, answer_2, answer_4",)
    answers["4"] = "answer_4 = 2.5 * 2"
    data = fill(assignment.exercise, assignment.original, "anna", answers, reference=True)
    assert mark(assignment, "anna", parse(json.dumps(data).encode()), PATIENT).notes == ()


def test_a_long_line_is_cut() -> None:
    assert len(what_stopped("SyntaxError", "invalid syntax", "x" * 5000)) < 200

"""Reading a hand-in with patience, and putting it together afresh."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from hoofcalc.classroom.grading.hand_in_files import read_bytes
from hoofcalc.classroom.grading.marking import load_assignment
from hoofcalc.classroom.grading.submissions import HandInError, parse, rebuild
from hoofcalc.classroom.model.bank import fill

COURSE = Path(__file__).resolve().parents[3] / "exercises"
ASSIGNMENT = load_assignment(COURSE, "04-columns")
EXERCISE = ASSIGNMENT.exercise


def notebook(**answers: str) -> dict:
    return fill(EXERCISE, ASSIGNMENT.original, "anna", {k[1:]: v for k, v in answers.items()})


def rebuilt(data: dict):
    return rebuild(EXERCISE, ASSIGNMENT.original, parse(json.dumps(data).encode()))


def source_of(result, name: str) -> str:
    return next(
        cell["source"]
        for cell in result.notebook["cells"]
        if cell["metadata"].get("nbgrader", {}).get("grade_id") == name
    )


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "empty"),
        (b"  \n", "empty"),
        (b"hello", "not a notebook"),
        (b'{"cells": [', "breaks off"),
        (b"\xff\xfe\x00", "no readable text"),
        (b"[1, 2]", "no cells"),
        (b'{"cells": 3}', "no cells"),
        (b"[" * 100_000, "nested far too deep"),
        (json.dumps({"cells": [{}] * 1001}).encode(), "more than 1000 cells"),
    ],
)
def test_what_cannot_be_read_is_said_in_words(content: bytes, reason: str) -> None:
    with pytest.raises(HandInError, match=reason):
        parse(content)


@pytest.mark.parametrize(
    "cell",
    [
        {},
        {"cell_type": 3, "source": {"a": 1}},
        {"source": [1, "x"], "metadata": []},
        {"metadata": {"nbgrader": 7}},
        {"id": 5, "metadata": {"nbgrader": {"grade_id": ["x"]}}},
    ],
)
def test_odd_cells_are_survived(cell: dict) -> None:
    data = notebook(q1="answer_1 = 3")
    data["cells"].insert(4, cell)
    assert source_of(rebuilt(data), "04-1-answer") == "answer_1 = 3"


def test_links_and_huge_files_are_not_followed(tmp_path: Path) -> None:
    target = tmp_path / "secret.ipynb"
    target.write_text(json.dumps(notebook()))
    link = tmp_path / "link.ipynb"
    try:
        link.symlink_to(target)
    except OSError:
        pytest.skip("no links on this system")
    with pytest.raises(HandInError, match="link to another place"):
        read_bytes(link)
    huge = tmp_path / "huge.ipynb"
    with huge.open("wb") as stream:
        stream.truncate(30_000_000)
    with pytest.raises(HandInError, match="larger than 20 MB"):
        read_bytes(huge)
    with pytest.raises(HandInError, match="cannot be read"):
        read_bytes(tmp_path / "none.ipynb")


def test_locked_cells_come_from_what_was_handed_out() -> None:
    data = notebook(q1="answer_1 = 3")
    for cell in data["cells"]:
        if cell["metadata"]["nbgrader"]["locked"]:
            cell["source"] = "1/0"
    result = rebuilt(data)
    for cell, original in zip(result.notebook["cells"], ASSIGNMENT.original["cells"], strict=True):
        if cell["metadata"]["nbgrader"]["locked"]:
            assert cell["source"] == original["source"]
    assert not any("1/0" in step.source for step in result.steps)


def test_cells_of_the_learners_own_stay_in_their_place_and_run() -> None:
    data = notebook(q1="answer_1 = half * 2")
    own = {"cell_type": "code", "source": "half = 4", "metadata": {}, "id": "x"}
    data["cells"].insert(4, own)  # after the prompt of question 1
    result = rebuilt(data)
    sources = [step.source for step in result.steps]
    assert sources.index("half = 4") < sources.index("answer_1 = half * 2")
    assert result.notebook["cells"][4]["source"] == "half = 4"


def test_answers_are_found_by_cell_id_where_a_tool_dropped_the_metadata() -> None:
    data = notebook(q1="answer_1 = 3")
    for cell in data["cells"]:
        cell["metadata"] = {}
    assert source_of(rebuilt(data), "04-1-answer") == "answer_1 = 3"


def test_answers_are_found_by_name_in_cells_of_the_learners_own() -> None:
    cells = [{"cell_type": "code", "source": "answer_1 = 3", "metadata": {}}]
    result = rebuilt({"cells": cells, "metadata": {}})
    assert [step.source for step in result.steps][-1] == "answer_1 = 3"


def test_doubled_answers_count_in_their_order_and_untouched_copies_do_not() -> None:
    data = notebook(q1="answer_1 = 3")
    place = next(i for i, c in enumerate(data["cells"]) if c["source"] == "answer_1 = 3")
    first = data["cells"][place]
    data["cells"].insert(place + 1, {**first, "source": "answer_1 = answer_1 + 1"})
    data["cells"].append({**first, "source": "answer_1 = ..."})
    steps = [step for step in rebuilt(data).steps if "answer_1" in step.names]
    assert [step.source for step in steps] == ["answer_1 = 3", "answer_1 = answer_1 + 1"]


def test_an_old_notebook_layout_is_read() -> None:
    old = {
        "nbformat": 3,
        "nbformat_minor": 0,
        "metadata": {"name": ""},
        "worksheets": [
            {
                "metadata": {},
                "cells": [
                    {
                        "cell_type": "code",
                        "language": "python",
                        "metadata": {},
                        "input": "answer_1 = 3",
                        "outputs": [],
                        "collapsed": False,
                        "prompt_number": 1,
                    }
                ],
            }
        ],
    }
    assert parse(json.dumps(old).encode()).cells[0].source == "answer_1 = 3"

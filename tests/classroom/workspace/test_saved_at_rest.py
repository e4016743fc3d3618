"""What is written when a lesson is saved: what it shows at rest, and everything else as it was."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.classroom import workspace
from hoofcalc.classroom.workspace.saved_at_rest import at_rest

ALIVE = "application/vnd.jupyter.widget-view+json"
FIGURE = {
    "data": {ALIVE: {"model_id": "7"}, "image/png": "iVBO", "text/plain": "A column."},
    "metadata": {"image/png": {"alt": "A column.", "width": 480}},
}
QUESTION = {
    "data": {ALIVE: {"model_id": "8"}, "text/plain": "Why?"},
    "metadata": {"hoofcalc": {"html": "<p>Why?</p>"}},
}
OTHERS: list[dict[str, Any]] = [
    {"data": {ALIVE: {"model_id": "9"}, "text/plain": "a slider"}, "metadata": {}},
    {"data": {"image/png": "iVBO"}, "metadata": {"image/png": {"alt": "A plot."}}},
    {"output_type": "stream", "name": "stdout", "text": "hello"},
]


def saved(*outputs: dict[str, Any], kind: str = "notebook") -> list[dict[str, Any]]:
    cells = [{"cell_type": "markdown"}, {"outputs": copy.deepcopy(list(outputs))}]
    model = {"type": kind, "content": {"cells": cells}}
    at_rest(model, path="a.ipynb", contents_manager=None)
    return cells[1]["outputs"]  # type: ignore[return-value]


def test_a_figure_is_saved_as_its_picture_and_a_question_as_its_words() -> None:
    figure, question = saved(FIGURE, QUESTION)
    assert figure == {
        "data": {"image/png": "iVBO", "text/plain": "A column."},
        "metadata": FIGURE["metadata"],
    }
    assert question["data"] == {"text/plain": "Why?", "text/html": "<p>Why?</p>"}
    assert question["metadata"] == {"hoofcalc": {"kind": "card"}}
    assert saved(figure, question) == [figure, question], "once more changes nothing"


@pytest.mark.parametrize("output", OTHERS, ids=["nothing at rest", "not alive", "words"])
def test_everything_else_is_saved_as_it_is(output: dict[str, Any]) -> None:
    assert saved(output) == [output]


def test_what_is_no_notebook_is_let_be() -> None:
    assert saved(FIGURE, kind="file") == [FIGURE]
    for model in ({"type": "notebook", "content": None}, {"type": "notebook"}, {}):
        before = dict(model)
        at_rest(model)
        assert model == before


def test_the_server_is_told_to_save_so() -> None:
    """By its own setting, which names the function."""
    folder = Path(workspace.__file__).parent / "jupyter_config"
    told = json.loads((folder / "jupyter_server_config.json").read_text(encoding="utf-8"))
    hooks = [part["pre_save_hook"] for part in told.values() if "pre_save_hook" in part]
    assert hooks == [f"{at_rest.__module__}.{at_rest.__name__}"]

"""What Python says in the browser is what it says here: figures and checks.

Each run tries a few settings of each figure and every hand-in of every bank; `pytest -m long`
tries 100 settings of each figure.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from hoofcalc._where import course_folder
from hoofcalc.classroom.model.questions import load_exercise, load_python
from hoofcalc.classroom.model.working import HINTS
from hoofcalc.figures import EVERY_FIGURE
from hoofcalc.site import in_browser

pytestmark = pytest.mark.timeout(600)
COURSE = Path(__file__).parents[2] / "exercises"
EXERCISES = sorted(path.name for path in course_folder("exercises").iterdir() if path.is_dir())
FEW, MANY = 10, 100  # settings of each figure


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A check writes the hints beside it, as in the browser."""
    monkeypatch.chdir(tmp_path)


def settings(name: str, many: int) -> list[dict[str, Any]]:
    """Every end of every slider, every preset, and places drawn from the whole of the figure."""
    figure = EVERY_FIGURE[name]
    draw = np.random.default_rng(11)
    found: list[dict[str, Any]] = [{}]
    for slider in figure.sliders:
        found += [{slider.name: slider.minimum}, {slider.name: slider.maximum}]
    found += [dict(preset.values) for preset in figure.presets]
    draw.shuffle(found)  # few settings are not always the same sliders' ends
    while len(found) < many:
        presets = figure.presets or [None]
        preset = presets[draw.integers(len(presets))]
        values = dict(preset.values) if preset is not None else {}
        for slider in figure.sliders:
            values[slider.name] = float(draw.choice(slider.positions()))
        for handle in figure.handles:
            for number, low, high, _ in handle.numbers():
                values[number] = float(draw.uniform(low, high))
        found.append(values)
    return found[:many]


def words_of(found: dict[str, Any]) -> str:
    """All words of a figure at a setting."""
    parts = [found.get("sentence", ""), found.get("alt", ""), found.get("refusal", "")]
    return "\n".join([*parts, *found.get("texts", ())])


def apart(first: str, second: str) -> float:
    """By how many units of its last digit a number in two texts differs at most; the rest is one.

    Where a value lies on the edge between two roundings, the last bit of a sine decides.
    """
    number = re.compile(r"\d+(?:\.\d+)?")
    assert number.sub("#", first) == number.sub("#", second)
    pairs = zip(number.findall(first), number.findall(second), strict=True)
    return max(
        (abs(float(a) - float(b)) * 10 ** len(a.partition(".")[2]) for a, b in pairs if a != b),
        default=0.0,
    )


@pytest.mark.parametrize("name", list(EVERY_FIGURE))
@pytest.mark.parametrize(
    "many", [pytest.param(FEW, marks=pytest.mark.slow), pytest.param(MANY, marks=pytest.mark.long)]
)
def test_every_figure_says_and_draws_the_same(name, many, in_node):
    on_the_edge = 0
    for values in settings(name, many):
        text, floats = in_browser.figure(json.dumps({"name": name, "values": values}))
        said, row = in_node.ask("figure", name=name, values=values)
        here, there = np.frombuffer(floats, "<f4"), np.frombuffer(row, "<f4")
        expected = json.loads(text)
        assert said.get("counts") == expected.get("counts"), values
        if words_of(said) != words_of(expected):
            assert apart(words_of(said), words_of(expected)) < 1.01, values
            on_the_edge += 1
        assert here.shape == there.shape
        assert np.array_equal(np.isnan(here), np.isnan(there))
        np.testing.assert_allclose(there, here, rtol=1e-5, atol=1e-4, err_msg=str(values))
    assert on_the_edge <= max(1, many / 50)


@pytest.mark.slow
@pytest.mark.parametrize("name", EXERCISES)
def test_every_check_of_every_hand_in_says_the_same(name, in_node):
    exercise = load_exercise(COURSE / "keys" / f"{name}.py")
    folder = course_folder("exercises") / name
    hints = (folder / HINTS).read_text("utf-8")
    original = json.loads((folder / f"{name}.ipynb").read_text("utf-8"))
    asked = 0
    for entry in load_python(COURSE / "keys" / f"{name}-handins.py", "BANK"):
        if entry.reason or entry.file is not None:
            continue
        notebook = json.loads(entry.content(exercise, original))
        cells = {
            cell.get("metadata", {}).get("nbgrader", {}).get("grade_id"): cell
            for cell in notebook["cells"]
        }
        before: list[str] = []
        for question in exercise.questions:
            cell = cells.get(exercise.cell(question, "answer"))
            if cell is None or not question.answers:
                continue
            source = "".join(cell["source"])
            if "while True" in source or "_exit" in source:
                continue  # ended by the page; tried in the browser
            words = {
                "exercise": name,
                "id": entry.learner,
                "hints": hints,
                "before": before,
                "source": source,
                "question": question.name,
                "answers": list(question.answers),
            }
            expected, _ = in_browser.check(json.dumps(words))
            said, _ = in_node.ask("check", **words)
            assert said == json.loads(expected), (entry.why, question.name)
            before = [*before, source]
            asked += 1
    assert asked >= 20

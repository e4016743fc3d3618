"""The living figure itself, on a figure small enough to see through."""

from __future__ import annotations

import base64
import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from ipywidgets.widgets import widget as registry
from PIL import Image

from hoofcalc.figures import Figure, Preset, Slider
from hoofcalc.figures.column_figure import COLUMNS
from hoofcalc.figures.scene import Panel, Series
from hoofcalc.notebook import notebooks, show
from hoofcalc.notebook.living import WIDGET_VIEW, LivingFigure
from hoofcalc.pictures.drawing import drawing_of


def compute(*, height_mm: float, way: str) -> dict[str, Any]:
    if way == "broken":
        raise RuntimeError("a fault of ours")
    if height_mm > 9:
        raise ValueError("it has fallen over")
    return {"line": np.array([[0.0, 0.0], [1.0, height_mm]])}


def plank(**changes: Any) -> Figure:
    parts: dict[str, Any] = {
        "name": "plank",
        "title": "A plank",
        "sliders": (
            Slider(
                name="height_mm", label="Height", unit="mm", minimum=0, maximum=10, step=1, start=2
            ),
        ),
        "choices": {"way": "up"},
        "presets": (Preset(label="High", values={"height_mm": 8.0}),),
        "compute": compute,
        "sentence": lambda values, results: f"The plank rises {values['height_mm']:g} mm.",
        "alt": lambda values, results: "A rising line.",
        "panels": (Panel(title="Plank", x_limits=(0, 1), y_limits=(0, 10)),),
        "series": (Series(kind="line", data="line"),),
    }
    return Figure(**{**parts, **changes})


def ask(living: LivingFigure, values: dict[str, Any], serial: str = "7") -> dict[str, Any]:
    """Do as the browser does."""
    living._asked(None, {"values": values, "serial": serial}, [])
    return dict(living._view.state)


def test_the_browser_gets_the_numbers_and_the_words() -> None:
    living = LivingFigure(plank())
    state = ask(living, {"height_mm": 5})
    assert state["serial"] == "7"
    assert state["counts"] == [2]
    np.testing.assert_array_equal(np.frombuffer(state["floats"], "<f4"), [0, 0, 1, 5])
    assert state["sentence"] == living.sentence == "The plank rises 5 mm."
    assert state["alt"] == "A rising line."
    living.close()


def test_the_same_setting_asked_twice_is_answered_twice() -> None:
    living = LivingFigure(plank())
    assert ask(living, {"height_mm": 5}, "1")["serial"] == "1"
    assert ask(living, {"height_mm": 5}, "2")["serial"] == "2"
    living.close()


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"height_mm": 5.0}, ""),
        ({"height_mm": 10.0}, "This cannot be shown: it has fallen over."),
        ({"way": "broken"}, "The calculation stopped (RuntimeError: a fault of ours)."),
    ],
)
def test_what_is_asked_ahead_is_the_same_answer_and_moves_nothing(
    monkeypatch: pytest.MonkeyPatch, values: dict[str, Any], says: str
) -> None:
    living = LivingFigure(plank())
    frame, before, said = living.frame, dict(living._view.state), []
    monkeypatch.setattr(living._view, "send", lambda *parts: said.append(parts))
    living._asked(None, {"values": values, "serial": "7", "ahead": True}, [])
    assert living.frame is frame
    assert dict(living._view.state) == before
    ((words, buffers),) = said
    assert words["refusal"] == says
    assert {**words, **({} if says else {"floats": buffers[0]})} == ask(living, values)
    living.close()


def test_a_refusal_is_a_sentence_and_the_last_picture_stays() -> None:
    living = LivingFigure(plank())
    ask(living, {"height_mm": 5})
    picture = living.png()
    state = ask(living, {"height_mm": 10})
    assert state["refusal"] == "This cannot be shown: it has fallen over."
    assert "floats" not in state
    assert living.png() == picture
    assert living.sentence == "The plank rises 5 mm."
    with pytest.raises(ValueError, match="fallen over"):
        living.move(height_mm=10)
    living.close()


def test_a_fault_of_ours_reaches_the_learner_as_a_sentence() -> None:
    living = LivingFigure(plank())
    state = ask(living, {"height_mm": 5, "way": "broken"})
    assert state["refusal"] == "The calculation stopped (RuntimeError: a fault of ours)."
    assert not ask(living, {"height_mm": 5})["refusal"]
    living.close()


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"height_mm": 11.0}, r"Height \[mm\] must be between 0 and 10 \(got 11.0\)"),
        ({"height_mm": "tall"}, r"Height \[mm\] must be a number"),
        ({"heigth_mm": 3}, "has no value called 'heigth_mm'; it has way, height_mm"),
    ],
)
def test_a_setting_that_is_none_is_refused_in_words(values: dict[str, Any], says: str) -> None:
    living = LivingFigure(plank())
    with pytest.raises(ValueError, match=says):
        living.move(**values)
    assert "cannot be shown" in ask(living, values)["refusal"]
    living.close()


def test_nonsense_from_the_browser_is_passed_over() -> None:
    living = LivingFigure(plank())
    before = dict(living._view.state)
    for message in ("values", {"serial": "1"}, None):
        living._asked(None, message, [])
    assert dict(living._view.state) == before
    living.close()


def test_the_cell_output_holds_the_view_the_picture_and_the_sentence() -> None:
    living = LivingFigure(plank())
    data, about = living._repr_mimebundle_()
    assert data[WIDGET_VIEW]["model_id"] == living._view.model_id
    assert data["text/plain"] == "The plank rises 2 mm."
    assert about["image/png"]["alt"] == "A rising line. The plank rises 2 mm."
    image = Image.open(io.BytesIO(base64.b64decode(data["image/png"])))
    assert image.size == (2 * 420, 2 * 420)
    assert about["image/png"]["width"] == 420
    living.close()


def test_the_picture_moves_and_says_so() -> None:
    living = LivingFigure(plank())
    before = living.png()
    living.move(height_mm=8)
    assert living.png() != before
    living.move(height_mm=2)
    assert living.png() == before
    living.close()


def test_a_cell_that_runs_again_closes_its_figure() -> None:
    before = len(registry._instances)
    show(plank())
    one = len(registry._instances)
    for _ in range(4):
        last = show(plank())
    assert len(registry._instances) == one > before
    last.close()
    assert len(registry._instances) == before
    last.close()  # twice does no harm
    assert last.png()  # and the picture can still be had


def test_a_figure_that_refuses_its_own_start_is_not_made() -> None:
    with pytest.raises(ValueError, match="fallen over"):
        LivingFigure(plank(compute=lambda **values: compute(height_mm=10, way="up")))


def test_a_preset_out_of_range_is_refused_when_declared() -> None:
    with pytest.raises(ValueError, match="between 0 and 10"):
        plank(presets=(Preset(label="Too high", values={"height_mm": 80.0}),))


def test_sliders_cover_their_whole_way() -> None:
    even = Slider(name="a", label="a", unit="mm", minimum=0, maximum=1, step=0.1, start=0)
    np.testing.assert_allclose(even.positions(), np.linspace(0, 1, 11))
    steep = Slider(
        name="a", label="a", unit="N", minimum=0.1, maximum=1000, step=8, start=1, log=True
    )
    np.testing.assert_allclose(steep.positions(), np.geomspace(0.1, 1000, 9), rtol=0.05)
    assert steep.positions()[0] == 0.1
    assert steep.positions()[-1] == 1000
    with pytest.raises(ValueError, match="a must be between 0 and 1"):
        Slider(name="a", label="a", unit="mm", minimum=0, maximum=1, step=0.1, start=2)


def test_the_command_for_a_picture_draws_the_figure_as_it_is_set(tmp_path: Path) -> None:
    file = tmp_path / "columns.png"
    assert notebooks.main(["picture", "columns", str(file), "thing=skewer", "lean_deg=10"]) == 0
    drawing = drawing_of(COLUMNS)
    drawing.show(COLUMNS.frame({"thing": "skewer", "lean_deg": 10.0}).results)
    assert file.read_bytes() == drawing.png()

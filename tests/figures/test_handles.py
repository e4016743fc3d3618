"""Points in a picture that the learner moves, on a figure small enough to see through."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoofcalc.figures import Figure, Handle, Preset, Slider
from hoofcalc.figures.scene import Panel, Series, Style
from hoofcalc.figures.wire import description, state
from hoofcalc.notebook.living import LivingFigure
from hoofcalc.pictures import Drawing
from hoofcalc.pictures.drawing import drawing_of
from hoofcalc.site.frames import figure_data


def compute(*, tilt: float, x_mm: float, y_mm: float) -> dict[str, Any]:
    if y_mm > 15:
        raise ValueError("it is too high up")
    return {
        "peg_at": np.array([[30.0 + x_mm, 20.0 + tilt + y_mm]]),
        "peg_says": f"{x_mm:g} mm across, {y_mm:g} mm up",
    }


def peg(**changes: Any) -> Handle:
    parts: dict[str, Any] = {
        "name": "peg",
        "label": "The peg",
        "x": "x_mm",
        "y": "y_mm",
        "x_limits": (-10, 10),
        "y_limits": (-20, 20),
        "start": (1, 2),
        "step": 0.5,
        "at": "peg_at",
        "says": "peg_says",
    }
    return Handle(**{**parts, **changes})


def board(**changes: Any) -> Figure:
    parts: dict[str, Any] = {
        "name": "board",
        "title": "A board with a peg",
        "sliders": (
            Slider(name="tilt", label="Tilt", unit="mm", minimum=0, maximum=5, step=1, start=0),
        ),
        "handles": (peg(),),
        "presets": (Preset(label="Middle", values={"x_mm": 0.0, "y_mm": 0.0}),),
        "compute": compute,
        "sentence": lambda values, results: f"The peg stands {results['peg_says']}.",
        "alt": lambda values, results: "A peg.",
        "panels": (Panel(title="Board", x_limits=(0, 60), y_limits=(0, 40), equal=True),),
        "series": (Series(kind="points", data="peg_at", style=Style(mark="ring", size=22)),),
    }
    return Figure(**{**parts, **changes})


def test_a_point_starts_moves_and_returns_like_a_slider() -> None:
    figure = board()
    assert figure.start == {"tilt": 0.0, "x_mm": 1.0, "y_mm": 2.0}
    living = LivingFigure(figure)
    living.move(x_mm=-3, y_mm=4)
    assert living.sentence == "The peg stands -3 mm across, 4 mm up."
    living.move(**figure.presets[0].values)
    assert living.sentence == "The peg stands 0 mm across, 0 mm up."
    living.close()


def test_the_browser_learns_where_each_point_stands() -> None:
    figure = board()
    told = description(figure)
    assert told["handles"] == [
        {
            "name": "peg",
            "label": "The peg",
            "panel": 0,
            "kind": "place",
            "step": 0.5,
            "x": {"name": "x_mm", "limits": [-10, 10]},
            "y": {"name": "y_mm", "limits": [-20, 20]},
        }
    ]
    now = state(figure, figure.frame({"tilt": 3}))
    assert now["handles"] == [{"at": [31.0, 25.0], "says": "1 mm across, 2 mm up", "about": []}]


def test_a_point_where_there_is_no_result_is_refused_in_words() -> None:
    living = LivingFigure(board())
    living._asked(None, {"values": {"x_mm": 0, "y_mm": 18}, "serial": "1"}, [])
    assert living._view.state["refusal"] == "This cannot be shown: it is too high up."
    living._asked(None, {"values": {"x_mm": 12}, "serial": "2"}, [])
    assert "The peg (x_mm) must be between -10 and 10" in living._view.state["refusal"]
    living.close()


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"start": (11, 0)}, "x_mm must be between -10 and 10"),
        ({"start": (0, -30)}, "y_mm must be between -20 and 20"),
        ({"step": 0}, "step must be above 0"),
        ({"y": ""}, 'y must name a number for kind="place"'),
        ({"kind": "along x"}, 'y must name a number for kind="place"'),
        ({"about": "peg_at"}, 'about must name a point for kind="angle"'),
        ({"kind": "angle", "y": ""}, 'about must name a point for kind="angle"'),
        ({"kind": "along x", "y": "", "per": 0}, "per must not be 0"),
        ({"turns": 2}, "turns must be 1 or -1"),
        ({"kind": "wheel"}, "kind must be one of"),
    ],
)
def test_a_point_that_cannot_be_is_refused_when_declared(
    changes: dict[str, Any], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        peg(**changes)
    with pytest.raises(ValueError, match=r"The peg \(x_mm\) must be between"):
        board(presets=(Preset(label="Off", values={"x_mm": 80.0}),))


def test_a_handle_with_one_number_moves_a_slider() -> None:
    lever = peg(kind="along y", x="tilt", y="", per=2.0)
    figure = board(handles=(lever,), presets=(), choices={"x_mm": 0.0, "y_mm": 0.0})
    assert lever.numbers() == []
    assert figure.start == {"x_mm": 0.0, "y_mm": 0.0, "tilt": 0.0}
    told = description(figure)["handles"][0]
    assert (told["kind"], told["per"], told["x"]["name"]) == ("along y", 2.0, "tilt")
    assert "y" not in told
    with pytest.raises(ValueError, match="x of peg must be one of"):
        board(handles=(peg(kind="along y", x="height", y=""),), presets=())


def test_a_page_without_python_leaves_the_point_where_it_is() -> None:
    data = figure_data(board(), ["tilt"])
    assert data["plain"]["handles"] == []
    assert [handle["name"] for handle in data["spec"]["handles"]]


def test_a_figure_without_points_has_none_to_say() -> None:
    plain = board(
        handles=(),
        choices={"x_mm": 0.0, "y_mm": 0.0},
    )
    assert state(plain, plain.frame({}))["handles"] == []


def test_a_ring_leaves_its_middle_open() -> None:
    """The learner must see the spot that the point marks."""
    figure = board()
    ring = np.asarray(_picture(drawing_of(figure), figure.frame({}).results))
    left, top, right, bottom = drawing_of(figure).boxes()[0]
    x = left + (right - left) * 31 / 60
    y = bottom - (bottom - top) * 22 / 40
    middle = ring[round(2 * y), round(2 * x)]
    around = ring[round(2 * y), round(2 * (x + 11))]
    assert middle.min() > 240, "something is drawn over the spot"
    assert around.min() < 200, "no ring is drawn"


def _picture(drawing: Drawing, results: dict[str, Any]) -> Any:
    import io

    from PIL import Image

    drawing.show(results)
    return Image.open(io.BytesIO(drawing.png())).convert("RGB")

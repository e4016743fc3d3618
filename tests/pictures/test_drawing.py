"""A described picture is drawn where it says, keeps its axes and comes out as a file."""

from __future__ import annotations

import io
import re
from typing import Any

import numpy as np
import pytest
from PIL import Image

from hoofcalc.figures.scene import COLOURS, RAMP, Panel, Scale, Series, Style
from hoofcalc.figures.web import asset
from hoofcalc.pictures import Drawing, three_loads
from hoofcalc.pictures.drawing import tiles


def panel(**changes: Any) -> Panel:
    parts: dict[str, Any] = {"title": "T", "x_limits": (0, 10), "y_limits": (0, 20)}
    return Panel(**{**parts, **changes})


def pixels(png: bytes) -> Any:
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGB")).astype(int)


def test_a_point_is_drawn_where_the_browser_will_put_it() -> None:
    # the browser places points by `boxes` and the limits; matplotlib must agree to half a dot
    style = Style(colour="vermillion", size=8, mark="square")
    places = Drawing(
        [panel(), panel(equal=True, width=300)],
        [
            Series(kind="points", data="a", style=style),
            Series(kind="points", data="b", panel=1, style=style),
        ],
    )
    places.show({"a": [[2.5, 15.0]], "b": [[7.5, 5.0]]})
    found = pixels(places.png())
    is_mark = np.all(np.abs(found - [0xD5, 0x5E, 0x00]) < 12, axis=2)
    left = 0
    for box, at, one in zip(
        places.boxes(), ((0.25, 0.75), (0.75, 0.25)), places.panels, strict=True
    ):
        rows, columns = np.nonzero(is_mark[:, 2 * left : 2 * (left + one.width)])
        x = box[0] + at[0] * (box[2] - box[0])
        y = box[3] - at[1] * (box[3] - box[1])
        assert (columns.mean() + 0.5) / 2 == pytest.approx(x, abs=0.5)
        assert (rows.mean() + 0.5) / 2 == pytest.approx(y, abs=0.5)
        left += one.width


def test_equal_axes_show_true_proportions() -> None:
    (box,) = Drawing([panel(equal=True)], []).boxes()
    assert (box[3] - box[1]) / 20 == pytest.approx((box[2] - box[0]) / 10)


def test_moving_and_moving_back_is_the_same_picture() -> None:
    drawing = Drawing([panel()], [Series(kind="line", data="a")])
    drawing.show({"a": [[0, 0], [10, 20]]})
    first = drawing.png()
    drawing.show({"a": [[0, 20], [10, 0]]})
    assert drawing.png() != first
    drawing.show({"a": []})
    assert np.array_equal(pixels(drawing.png()), pixels(drawing.png(series=False)))
    drawing.show({"a": [[0, 0], [10, 20]]})
    assert drawing.png() == first


@pytest.mark.parametrize(
    ("results", "says"),
    [
        ({}, "the results hold no 'a'"),
        ({"a": [1.0, 2.0, 3.0]}, "a must hold 2 coordinates"),
        ({"a": [[1.0, np.inf]]}, "a must be finite"),
    ],
)
def test_results_that_cannot_be_drawn_are_refused(results: dict[str, Any], says: str) -> None:
    drawing = Drawing([panel()], [Series(kind="line", data="a")])
    with pytest.raises(ValueError, match=says):
        drawing.show(results)


def test_an_arrow_has_two_ends_and_words_one_place() -> None:
    drawing = Drawing([panel()], [Series(kind="arrow", data="a")])
    with pytest.raises(ValueError, match=r"a must have shape \(2, 2\)"):
        drawing.show({"a": [[0, 0], [1, 1], [2, 2]]})
    with pytest.raises(ValueError, match="words must name a text"):
        Series(kind="words", data="a")
    with pytest.raises(ValueError, match="kind must be one of"):
        Series(kind="cloud", data="a")
    with pytest.raises(ValueError, match="panel must be between 0 and 0"):
        Drawing([panel()], [Series(kind="line", data="a", panel=1)])


def test_three_loads_is_a_picture_with_its_words() -> None:
    picture = three_loads()
    data, about = picture._repr_mimebundle_()
    assert data["text/plain"] == repr(picture) == picture.caption
    assert about["image/png"] == {"alt": picture.alt, "width": picture.width}
    assert pixels(picture.png).shape == (660, 2 * picture.width, 3)
    assert pixels(picture.png).std() > 10, "an empty picture"


def tiled(**changes: Any) -> Series:
    scale = Scale(title="stress (MPa)", bounds=(1.0, 2.0))
    style = Style(colour="black", width=2)
    parts: dict[str, Any] = {"kind": "tiles", "data": "a", "values": "v", "scale": scale}
    return Series(**{**parts, "style": style, **changes})


def test_a_scale_puts_each_value_into_its_class_and_says_which() -> None:
    scale = Scale(title="stress (MPa)", bounds=(1.0, 2.5))
    assert scale.labels == ("under 1", "1 to 2.5", "2.5 and over")
    assert scale.classes([0.5, 1.0, 2.4, 2.5, np.inf, np.nan]) == "01122-"
    assert scale.colours[0] == RAMP[0]
    assert scale.colours[-1] == RAMP[-1]


def test_the_ramp_grows_darker_evenly_so_that_it_reads_in_grey() -> None:
    # relative luminance: W3C, WCAG 2.2, definition
    parts = np.array([[int(c[at : at + 2], 16) / 255 for at in (1, 3, 5)] for c in RAMP])
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    light = np.cbrt(linear @ [0.2126, 0.7152, 0.0722])  # as the eye has it (CIE 1976, nearly)
    steps = np.diff(light)
    assert np.all(steps < 0)
    assert steps.min() > 2.5 * steps.max()  # the greatest step is less than 2.5 times the least


def test_tiles_are_drawn_in_their_order_in_the_colour_of_their_class() -> None:
    def square(left: float) -> list[list[float]]:
        low, high = [left, 4.0], [left + 4, 4.0]
        return [low, high, [left + 4, 16.0], [left, 16.0]]

    gap = [[np.nan, np.nan]]
    drawing = Drawing([panel(axes=False)], [tiled()])
    both = np.array([*square(1.0), *gap, *square(3.0)])
    assert [len(part) for part in tiles(both)] == [4, 4]
    drawing.show({"a": both, "v": [0.5, 9.0]})
    found = pixels(drawing.png())
    (box,) = drawing.boxes()
    for x, colour in ((2.0, RAMP[0]), (4.0, RAMP[-1]), (6.0, RAMP[-1])):  # the second lies on top
        column = round(2 * (box[0] + x / 10 * (box[2] - box[0])))
        row = round(box[1] + box[3])
        wanted = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
        assert np.abs(found[row, column] - wanted).max() < 12


def test_tiles_without_a_value_for_each_are_refused() -> None:
    drawing = Drawing([panel()], [tiled()])
    with pytest.raises(ValueError, match="v must hold 1 numbers, one for each tile"):
        drawing.show({"a": [[0, 0], [1, 0], [1, 1]], "v": [1.0, 2.0]})
    with pytest.raises(ValueError, match="values and scale belong to"):
        Series(kind="tiles", data="a")
    with pytest.raises(ValueError, match="bounds must rise"):
        Scale(title="t", bounds=(2.0, 1.0))
    with pytest.raises(ValueError, match="bounds must be 1 to 7 numbers"):
        Scale(title="t", bounds=())


def test_the_style_sheet_has_the_colours_of_the_pictures_in_both_schemes() -> None:
    sheet = asset("base.css")
    light, dark = (
        dict(re.findall(r"--hc-([\w-]+): (#\w+);", part)) for part in sheet.split(".dark", 1)
    )
    for name, colour in COLOURS.items():
        assert light[name] == colour.lower(), name
        assert name in dark


def test_a_panel_that_stretches_stands_below_the_others() -> None:
    drawing = Drawing(
        [
            panel(width=300, height=200),
            panel(width=200),
            panel(width=500, height=150, stretch=True),
        ],
        [],
    )
    assert (drawing.width, drawing.height) == (500, 420 + 150)

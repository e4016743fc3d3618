"""Every point of every view has plain words and a drawing of its own with one ring in it."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import product

import pytest

from hoofcalc.case.desk.steps import steps
from hoofcalc.case.landmarks import POINTS, VIEWS, WAYS, PlacedPicture, missing_points

SVG = "{http://www.w3.org/2000/svg}"


def ring(svg: str) -> tuple[float, float]:
    """Middle of the ring, as parts of the drawing's width and height."""
    root = ET.fromstring(svg)
    left, top, width, height = (float(part) for part in root.attrib["viewBox"].split())
    rings = {
        (float(one.attrib["cx"]), float(one.attrib["cy"]))
        for one in root.iter(f"{SVG}circle")
        if float(one.attrib["r"]) > 10
    }
    ((x, y),) = rings
    return (x - left) / width, (y - top) / height


def sketch(view: str, name: str, **seen: str) -> str:
    """The drawing of one point."""
    every = (step for way in WAYS for step in steps(view, way, **seen))
    return next(step.sketch for step in every if step.name == name)


@pytest.mark.parametrize(("view", "way"), list(product(VIEWS, WAYS)))
def test_steps_ask_for_every_needed_point_in_the_order_of_the_files(view: str, way: str) -> None:
    asked = steps(view, way)
    names = [step.name for step in asked]
    assert names == sorted(names, key=POINTS[view].index)
    assert len(set(names)) == len(names)
    nothing = PlacedPicture(
        view=view, file="a.jpg", width_px=400, height_px=300, way=way, known_mm=100, placings=({},)
    )
    assert [step.name for step in asked if not step.optional] == missing_points(nothing)


@pytest.mark.parametrize("view", VIEWS)
def test_every_point_has_words_and_a_drawing_of_its_own(view: str) -> None:
    every = {step.name: step for way in WAYS for step in steps(view, way)}
    left_out = {"level_start", "level_end"} if view == "below" else set()
    assert set(every) == set(POINTS[view]) - left_out
    labels = [step.label for step in every.values()]
    assert len(set(labels)) == len(labels)
    for step in every.values():
        assert step.help.endswith(".")
        assert len(step.label) <= 48
        assert len(step.help.split()) <= 32
        assert "_" not in step.label + step.help
        assert set(step.joined) <= set(every)
        x, y = ring(step.sketch)
        assert 0.05 <= x <= 0.95
        assert 0.05 <= y <= 0.95
        assert "<text" not in step.sketch, "words stand beside the drawing, in the page's size"
    # round the toe there is a ring at about every second finger's width, then at the other heel
    places = [ring(step.sketch) for step in every.values() if not step.in_row]
    assert len(set(places)) == len(places)


def test_rings_lie_where_a_foot_has_these_points() -> None:
    at = {name: ring(sketch("side", name)) for name in POINTS["side"]}
    for part in ("toe", "heel"):
        assert at[f"{part}_coronet"][1] < at[f"{part}_ground"][1], "the hairline is above"
        assert at[f"{part}_line_high"][1] < at[f"{part}_line_low"][1]
    assert at["heel_ground"][0] < at["toe_ground"][0]
    assert at["heel_line_low"][0] < at["quarter_line_low"][0] < at["toe_line_low"][0]
    assert at["bulb"][0] < at["heel_ground"][0]
    assert at["pastern_high"][1] < at["pastern_low"][1] < at["toe_coronet"][1]
    assert at["level_start"][1] == at["level_end"][1] == at["toe_ground"][1]
    below = {name: ring(sketch("below", name)) for name in POINTS["below"] if name[:5] != "level"}
    assert below["middle_toe"][1] < below["middle_heel"][1], "the toe looks up"
    assert below["edge_01"][0] < below["edge_08"][0] < below["edge_15"][0]
    assert below["edge_08"][1] == min(place[1] for place in below.values())


def test_a_foot_that_faces_left_is_drawn_so_and_the_picture_keeps_its_left() -> None:
    for name in ("toe_ground", "heel_coronet", "quarter_line_low"):
        x, y = ring(sketch("side", name))
        assert ring(sketch("side", name, facing="left")) == pytest.approx((1 - x, y), abs=0.01)
    for facing in ("right", "left"):
        corner = [ring(sketch("side", f"square_{number}", facing=facing)) for number in range(1, 5)]
        assert corner[0][0] == corner[3][0] < corner[1][0] == corner[2][0]
        assert corner[2][1] == corner[3][1] < corner[0][1] == corner[1][1]
        level = [ring(sketch("side", f"level_{end}", facing=facing)) for end in ("start", "end")]
        assert level[0][0] < level[1][0]
    for side in ("left", "right"):
        inner = ring(sketch("front", "inner_ground", inner=side))[0]
        outer = ring(sketch("front", "outer_ground", inner=side))[0]
        assert (inner < outer) == (side == "left")


@pytest.mark.parametrize(
    "wrong",
    [
        {"view": "above"},
        {"way": "stick"},
        {"facing": "up"},
        {"inner": "up"},
    ],
)
def test_unknown_choices_are_named(wrong: dict[str, str]) -> None:
    with pytest.raises(ValueError, match=next(iter(wrong))):
        steps(**{"view": "side", **wrong})

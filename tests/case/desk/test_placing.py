"""What the desk's photograph tells Python, without a browser."""

from __future__ import annotations

import json
import math

import pytest

from hoofcalc.case.desk.placing import LOOKS, Placing
from hoofcalc.case.desk.steps import steps
from hoofcalc.case.landmarks import VIEWS, WAYS
from hoofcalc.figures.scene import COLOURS


def test_a_photograph_comes_with_a_clean_start_or_with_its_points() -> None:
    desk = Placing()
    desk.set_steps(steps("side", "length"))
    assert desk.current == "scale_start"
    desk.show_picture(b"jpeg", 4032, 3024, {"scale_start": (1, 2), "scale_end": (3.5, 4)})
    assert desk.picture == {"jpeg": b"jpeg", "width_px": 4032, "height_px": 3024}
    assert desk.points == {"scale_start": [1.0, 2.0], "scale_end": [3.5, 4.0]}
    assert desk.current == "level_start"
    desk.show_picture(b"other", 300, 400)
    assert desk.points == {}
    assert desk.current == "scale_start"
    desk.close()


def test_what_crosses_to_the_browser_is_plain_data() -> None:
    for view in VIEWS:
        for way in WAYS:
            desk = Placing()
            desk.set_steps(steps(view, way))
            data = json.loads(json.dumps(desk.steps))
            assert [step["name"] for step in data] == [step.name for step in steps(view, way)]
            assert {step["group"] for step in data} <= set(LOOKS)
            desk.close()


def test_colours_are_of_the_palette_and_never_alone() -> None:
    assert {colour for colour, _ in LOOKS.values()} <= set(COLOURS.values())
    # scale and square never stand in one picture with each other
    looks = [look for group, look in LOOKS.items() if group not in ("square", "edge")]
    assert len({dash for _, dash in looks}) == len(looks), "dashes tell the lines apart as well"


@pytest.mark.parametrize("bad", [(math.nan, 1), (1, math.inf), (1, 2, 3)])
def test_a_point_is_two_finite_numbers(bad: tuple[float, ...]) -> None:
    desk = Placing()
    with pytest.raises(ValueError, match="points"):
        desk.points = {"toe_ground": bad}
    assert desk.points == {}
    with pytest.raises(ValueError, match="width_px"):
        desk.show_picture(b"", 0, 10)
    desk.close()

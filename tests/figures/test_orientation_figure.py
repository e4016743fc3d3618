"""Lesson 00's figure shows the angles it says, in all three views, and the part that was chosen."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from hoofcalc import datasets
from hoofcalc.figures.orientation_figure import ORIENTATION, PARTS
from hoofcalc.figures.orientation_prediction import ORIENTATION_PREDICTION as CURVE
from hoofcalc.figures.questions import load
from hoofcalc.pictures.drawing import drawing_of
from hoofcalc.profile import Profile

VIEWS = ("side", "below", "front")


def at(**values: Any) -> Any:
    return ORIENTATION.frame(values)


STORIES = ("run under", "in line", "too upright")


@pytest.mark.parametrize("story", STORIES)
@pytest.mark.parametrize(("toe", "heel"), [(40, 35), (52, 46), (65, 70), (50, 50)])
def test_a_protractor_on_the_picture_shows_what_the_sliders_say(
    story: str, toe: float, heel: float
) -> None:
    results = at(story=story, toe_angle_deg=toe, heel_angle_deg=heel).results
    wall = results["side_wall"]
    for corner, top, angle in ((wall[1], wall[2], toe), (wall[0], wall[-1], heel)):
        across, up = top - corner
        assert np.degrees(np.arctan2(up, -across)) == pytest.approx(angle, abs=1e-9)
    for name, angle in (("toe", toe), ("heel", heel)):
        arc = results[f"{name}_arc"]
        end = arc[-2] - arc[0]
        assert np.degrees(np.arctan2(end[1], -end[0])) == pytest.approx(angle)
        assert arc[1, 1] == 0.0, "the arc begins at the ground"
        assert results[f"{name}_arc_words"] == f"{angle:g}°"
    # a length is drawn alike in both directions, so an angle on the screen is the foot's
    for panel in ORIENTATION.panels:
        assert panel.equal


@pytest.mark.parametrize("story", STORIES)
def test_it_starts_with_the_feet_of_the_story_as_measured(story: str) -> None:
    record = datasets.story_feet()[story]
    foot = Profile(**record.landmarks)
    (preset,) = (one for one in ORIENTATION.presets if one.values["story"] == story)
    assert preset.label == record.horse
    assert preset.values["toe_angle_deg"] == round(float(foot.toe_angle_deg))
    assert preset.values["heel_angle_deg"] == round(float(foot.heel_angle_deg))
    results = ORIENTATION.frame(preset.values).results
    assert results["bearing_length_mm"] == pytest.approx(float(foot.bearing_length_mm), abs=2)


def test_the_three_views_show_one_foot_at_one_scale() -> None:
    for toe, heel in ((45, 40), (60, 65)):
        results = at(toe_angle_deg=toe, heel_angle_deg=heel).results
        side, below = results["side_wall"], results["below_wall"]
        assert below[:, 1].max() == pytest.approx(side[1, 0], abs=0.5)  # toe
        assert below[0, 1] == pytest.approx(side[0, 0], abs=0.5)  # heel
        front = results["front_wall"]
        assert np.ptp(front[:, 0]) == pytest.approx(np.ptp(below[:, 0]), rel=0.03)
        assert front[:, 1].max() == pytest.approx(side[2, 1])
    drawing = drawing_of(ORIENTATION)
    scales = [
        (right - left) / (panel.x_limits[1] - panel.x_limits[0])
        for panel, (left, _, right, _) in zip(ORIENTATION.panels, drawing.boxes(), strict=True)
    ]
    assert max(scales) == pytest.approx(min(scales), rel=0.01)


def test_the_words_agree_with_the_profile() -> None:
    frame = at(story="in line", toe_angle_deg=45, heel_angle_deg=35)
    wall = frame.results["side_wall"]
    foot = Profile(
        toe_ground=wall[1], toe_coronet=wall[2], heel_ground=wall[0], heel_coronet=wall[-1]
    )
    assert foot.angle_gap_deg == pytest.approx(10)
    assert frame.result == "10° flatter than the toe"
    told = {row.quantity: row.value for row in frame.table}
    assert float(told["toe wall, hairline to ground"]) == round(foot.toe_length_mm)
    assert float(told["ground between heel buttress and toe"]) == round(foot.bearing_length_mm)
    assert at(toe_angle_deg=45, heel_angle_deg=60).result == "15° steeper than the toe"
    assert at(toe_angle_deg=50, heel_angle_deg=50).result == "in line with the toe"
    assert told["toe against the pastern"].endswith("flatter"), "45 degrees below a pastern of 51"


def test_a_heel_that_would_leave_no_ground_stops_and_says_so() -> None:
    frame = at(story="too upright", toe_angle_deg=70, heel_angle_deg=18)
    assert frame.results["bearing_length_mm"] == pytest.approx(50)
    assert frame.results["heel_deg"] > 18
    assert "leaves the heel no room" in frame.sentence
    assert f"{frame.results['heel_deg']:.0f}°" in frame.sentence


@pytest.mark.parametrize("number", range(len(PARTS)))
def test_each_part_lights_up_where_it_is_seen_and_nowhere_else(number: int) -> None:
    part = PARTS[number]
    frame = at(part=number)
    if number:
        assert frame.sentence.startswith(f"{part.name}: {part.says}")
    results = frame.results
    for view in VIEWS:
        lit = [results[f"{view}_spot_{kind}"] for kind in ("a", "b", "lines")]
        seen = any(len(place) for place in lit)
        assert seen == bool(getattr(part, view))
        named = [kind for kind in ("name_at", "name_behind_at") if len(results[f"{view}_{kind}"])]
        assert len(named) == seen
        assert bool(len(results[f"{view}_unseen_at"])) == (not seen and number > 0)
        if seen:
            assert results[f"{view}_name"] == part.name
            end = Point(results[f"{view}_leader"][-1])
            places = np.concatenate([place for place in lit if len(place)])
            assert np.nanmin(np.hypot(*(places - np.array(end.coords[0])).T)) < 1e-9


def test_where_the_parts_lie() -> None:
    """A trimmer's look: what is in front, behind, inside."""

    def lit(name: str, view: str) -> list[Polygon]:
        number = [part.name for part in PARTS].index(name)
        results = at(part=number).results
        return [
            Polygon(results[f"{view}_spot_{k}"]) for k in "ab" if len(results[f"{view}_spot_{k}"])
        ]

    centre = {name: lit(name, "below")[0].centroid for name in ("Toe", "Quarters", "Frog", "Sole")}
    heels = lit("Heels", "below")
    assert centre["Toe"].y > centre["Sole"].y > heels[0].centroid.y
    assert centre["Sole"].y > centre["Frog"].y, "the frog points forward from the back"
    assert heels[0].centroid.x < 0 < heels[1].centroid.x
    ring, sole, wall = (lit(n, "below")[0] for n in ("White line", "Sole", "Hoof wall"))
    assert ring.distance(wall) < 0.1
    assert ring.distance(sole) < 0.1
    for bar, groove, bulb in zip(
        lit("Bars", "below"), lit("Frog grooves", "below"), lit("Heel bulbs", "below"), strict=True
    ):
        assert abs(bar.centroid.x) > abs(groove.centroid.x), "the groove lies towards the frog"
        assert bulb.centroid.y < groove.centroid.y
    band, periople = lit("Coronary band", "side")[0], lit("Periople", "side")[0]
    assert band.centroid.y > periople.centroid.y
    assert lit("Pastern", "side")[0].centroid.y > band.centroid.y
    assert lit("Heel bulbs", "side")[0].centroid.x < lit("Heels", "side")[0].centroid.x


def test_a_part_between_two_parts_is_refused_in_words() -> None:
    assert "Part must be a whole number" in at(part=3.5).refusal


def test_the_words_on_questions_and_the_curve_agree_with_the_library() -> None:
    questions = load("orientation")
    ahead = {
        angle: float(np.interp(-angle, -np.asarray(CURVE.columns), CURVE.true_values))
        for angle in (55, 45, 35)
    }
    for angle, mm in ahead.items():
        top = np.array([0.0, 75.0])
        toe = Profile(
            toe_ground=(mm, 0.0), toe_coronet=top, heel_ground=(-60.0, 0.0),
            heel_coronet=(-80.0, 30.0),
        )  # fmt: skip
        assert toe.toe_angle_deg == pytest.approx(angle, abs=0.1)
    told = [int(n) for n in re.findall(r"(\d+)(?: mm)?\b", CURVE.then)]
    assert told == [
        55, 45, round(ahead[45] - ahead[55]), 45, 35, round(ahead[35] - ahead[45]),
    ]  # fmt: skip
    toe = questions["toe_angle"]
    foot = Profile(
        toe_ground=(65.0, 0.0), toe_coronet=(0.0, 80.0), heel_ground=(-50.0, 0.0),
        heel_coronet=(-80.0, 30.0),
    )  # fmt: skip
    assert toe["truth"] == pytest.approx(foot.toe_angle_deg, abs=0.05)
    slips = [slip["value"] for slip in toe["slips"]]
    angle = np.arctan2(80, 65)
    assert slips == pytest.approx(
        [
            np.degrees(np.pi / 2 - angle),
            180 - np.degrees(angle),
            angle,
            80 / 65,
            np.degrees(np.arcsin(65 / 80)),
            np.degrees(np.arccos(65 / 80)),
        ],
        rel=2e-3,
    )

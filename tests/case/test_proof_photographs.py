"""Drawn views with known truth: the stated band holds it, and the square takes the turn away.

With a stick in place of the square, and with lens, distance and depth: `test_proof_allowance`.
"""

from __future__ import annotations

from datetime import date

import cv2
import numpy as np
import pytest

from hoofcalc.angles import apparent_slope_deg
from hoofcalc.case.calibration import refined_corners
from hoofcalc.case.case import Case, add_visit, new_case, open_case, read_visit
from hoofcalc.case.landmarks import PlacedPicture, from_the_side, save_picture
from hoofcalc.case.measure import measure
from hoofcalc.case.storage import CaseError
from hoofcalc.case.synthetic.drawn_photograph import (
    SQUARE_MM,
    STICK_MM,
    Camera,
    drawn_photograph,
    true_points,
)
from hoofcalc.profile import Profile

pytestmark = pytest.mark.slow

MEASURED = ("toe_angle_deg", "heel_angle_deg")
NEEDED = ("toe_ground", "toe_coronet", "heel_ground", "heel_coronet")
HELPERS = {
    "length": ("scale_start", "scale_end", "level_start", "level_end"),
    "square": ("square_1", "square_2", "square_3", "square_4"),
}
#: The band holds the truth 19 times in 20 where it reaches this many standard errors.
BAND = 1.96
#: A hand's error on a 12-megapixel photograph: half a millimetre at the foot or so [px].
HAND_PX = 3.0


def some_foot(rng):
    """A foot of likely measures, with pastern and bulb."""
    while True:
        try:
            foot = Profile.from_measures(
                rng.uniform(44, 60),
                rng.uniform(28, 62),
                rng.uniform(70, 95),
                rng.uniform(28, 48),
                rng.uniform(95, 130),
            )
        except ValueError:  # no foot has these measures together
            continue
        middle = (foot.toe_coronet + foot.heel_coronet) / 2
        return Profile(
            **foot.landmarks,
            pastern_low=middle + np.array([-18.0, 24.0]),
            pastern_high=middle + np.array([-60.0, 80.0]),
            bulb=foot.heel_coronet + np.array([-10.0, -6.0]),
        )


def placed_by_hand(foot, camera, rng, *, way, facing="right", times=1, names=NEEDED, sd_px=HAND_PX):
    """The true points of a view, missed by a hand with known scatter."""
    at = true_points(foot, facing=facing)
    helpers = {name for each in HELPERS.values() for name in each}
    wanted = (*HELPERS[way], *(names or [name for name in at if name not in helpers]))
    return PlacedPicture(
        view="side",
        file="IMG_0001.jpg",
        width_px=camera.width_px,
        height_px=camera.height_px,
        way=way,
        known_mm=SQUARE_MM if way == "square" else STICK_MM,
        placings=tuple(
            {
                name: tuple(map(float, camera.to_px(at[name]) + sd_px * rng.standard_normal(2)))
                for name in wanted
            }
            for _ in range(times)
        ),
    )


def some_view(rng, way):
    """A foot and a camera: held askew only where the square corrects it."""
    foot, facing = some_foot(rng), str(rng.choice(["right", "left"]))
    corners = np.array([*true_points(foot, facing=facing).values()])
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2 + rng.uniform(-20, 20, 2)
    askew = 1.0 if way == "square" else 0.0
    camera = Camera(
        width_px=4032,
        height_px=3024,
        distance_mm=rng.uniform(800, 1100),
        turn_deg=askew * rng.uniform(-20, 20),
        tilt_deg=askew * rng.uniform(-10, 12),
        roll_deg=rng.uniform(-3, 3),
        middle_mm=(float(middle[0]), float(middle[1])),
    )
    return foot, facing, camera


def standing_off(seen, foot):
    """By how many of its standard errors each measure lies beside the truth."""
    return [
        (getattr(seen.profile, name) - getattr(foot, name)) / seen.errors[name] for name in MEASURED
    ]


def many_off(way, count, *, times, names, seed):
    rng = np.random.default_rng(seed)
    off, refused = [], 0
    for _ in range(count):
        foot, facing, camera = some_view(rng, way)
        placed = placed_by_hand(foot, camera, rng, way=way, facing=facing, times=times, names=names)
        stated_mm = HAND_PX * camera.distance_mm / camera.focal_px
        try:
            off.append(standing_off(from_the_side(placed, facing, stated_mm), foot))
        except CaseError:  # by the scatter of its corners, a view may seem further askew than it is
            refused += 1
    assert refused <= 0.01 * count
    return np.array(off)


def test_the_true_angle_lies_in_the_stated_band():
    """700 views: the band of 95 % holds toe and heel in 93 to 97 % (chance alone: 0.8)."""
    inside = np.abs(many_off("square", 700, times=1, names=NEEDED, seed=11)) < BAND
    assert inside.mean(axis=0) == pytest.approx(0.95, abs=0.02)


def test_so_it_does_where_the_person_placed_everything_twice():
    """400 views: the person's own error comes from the two placings, nothing is stated."""
    inside = np.abs(many_off("square", 400, times=2, names=None, seed=12)) < BAND
    assert inside.mean(axis=0) == pytest.approx(0.95, abs=0.02)


def test_so_it_does_where_only_the_needed_points_were_placed_twice():
    """The person's own error rests on four landmarks and four helpers (chance alone: 1.5)."""
    inside = np.abs(many_off("square", 200, times=2, names=NEEDED, seed=12)) < BAND
    assert inside.mean(axis=0) == pytest.approx(0.95, abs=0.035)


def test_through_the_files_come_the_same_numbers(tmp_path):
    """A saved placing, read again and measured, says what was worked out in one go."""
    folder = tmp_path / "case"
    new_case(folder, Case(horse="Otterby", foot="right fore", mass_kg=505.0, invented=True))
    rng = np.random.default_rng(13)
    for number, way in enumerate(["length", "square"] * 3):
        foot, facing, camera = some_view(rng, way)
        placed = placed_by_hand(foot, camera, rng, way=way, facing=facing, times=1 + number % 2)
        day = date(2026, 4, 1 + number)
        values = {"facing": facing, "point_error_mm": 0.5, "scale_error_percent": 0.0}
        add_visit(folder, day, values)
        save_picture(folder, str(day), placed)
        found = measure(open_case(folder), read_visit(folder, str(day)))
        seen = from_the_side(placed, facing, 0.5)
        for name in MEASURED:
            assert found.values[name] == pytest.approx(getattr(seen.profile, name), abs=1e-9)
            assert found.errors[name] == pytest.approx(seen.errors[name], rel=1e-9)


def test_corners_are_found_in_the_picture_itself():
    """20 photographs, drawn and stored as JPEG: corners within half a pixel, angles in the band."""
    rng = np.random.default_rng(14)
    off_px, inside = [], []
    for number in range(20):
        foot = some_foot(rng)
        camera = Camera(
            width_px=1200,
            height_px=900,
            distance_mm=850.0,
            turn_deg=rng.uniform(-20, 20),
            tilt_deg=rng.uniform(-6, 10),
            roll_deg=rng.uniform(-3, 3),
        )
        facing = ("right", "left")[number % 2]
        drawn = drawn_photograph(
            foot,
            "side",
            camera,
            rng,
            facing=facing,
            noise=rng.uniform(1, 8),
            blur_px=rng.uniform(0.4, 1.6),
            uneven=rng.uniform(0, 0.4),
        )
        _, file = cv2.imencode(".jpg", drawn.pixels[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 80])
        stored = cv2.imdecode(file, cv2.IMREAD_COLOR)
        placed = placed_by_hand(foot, drawn.camera, rng, way="square", facing=facing, sd_px=1.5)
        by_hand = np.array([placed.placings[0][name] for name in HELPERS["square"]])
        found = refined_corners(np.ascontiguousarray(stored[..., ::-1]), by_hand)
        true = np.array([drawn.points_px[name] for name in HELPERS["square"]])
        off_px.append(found - true)
        assert np.abs(by_hand - true).max() > 0.5  # there was something to do
        for name, corner in zip(HELPERS["square"], found, strict=True):
            placed.placings[0][name] = tuple(map(float, corner))
        seen = from_the_side(placed, facing, 1.5 * camera.distance_mm / camera.focal_px)
        inside += [abs(each) < BAND for each in standing_off(seen, foot)]
    assert np.abs(off_px).max() < 0.5
    assert np.mean(inside) > 0.9


def test_the_square_takes_the_turn_out_of_the_angles():
    """Uncorrected, a turn makes the toe steeper, as the formula says; by the square it does not."""
    foot = Profile.from_measures(50, 38, 85, 38, 110)
    rng, count = np.random.default_rng(15), 60
    turns = np.array([-20.0, -10.0, 10.0, 20.0])
    wrong = {}
    for way in HELPERS:
        for turn in turns:
            # far off, so that what is nearer is hardly larger: the formula knows no perspective
            camera = Camera(
                width_px=4032,
                height_px=3024,
                distance_mm=15_000.0,
                focal_mm=1040.0,
                turn_deg=turn,
                middle_mm=(0.0, 80.0),
            )
            seen = [
                from_the_side(placed_by_hand(foot, camera, rng, way=way), "right", 0.5).profile
                for _ in range(count)
            ]
            wrong[way, turn] = np.array([each.toe_angle_deg for each in seen]) - 50.0
    for turn in turns:
        naive, mended = wrong["length", turn], wrong["square", turn]
        expected = apparent_slope_deg(50.0, turn) - 50.0
        assert naive.mean() == pytest.approx(expected, abs=0.25)
        assert abs(mended.mean()) < 4 * mended.std() / np.sqrt(count)
    for turn in (-20.0, 20.0):
        error = wrong["length", turn].std() / np.sqrt(count)
        assert wrong["length", turn].mean() > max(1.0, 10 * error)  # degrees


@pytest.mark.parametrize("way", ["length", "square"])
def test_the_nearer_heel_of_a_round_foot_costs_no_angle(way):
    """A camera above the ground sees the nearer heel too low; the angles stay what they are.

    The heel that is placed stands half a foot's width before the plane of stick and square. Read
    from the line through the two ground points, both angles would come out too large together, by
    6 degrees and more from 20 cm above the ground. Lengths at the heel do read too long.
    """
    foot = Profile.from_measures(50, 38, 85, 38, 110)
    at = true_points(foot)

    def wrong(height_mm, distance_mm):
        tilt = float(np.degrees(np.arctan((height_mm - 85.0) / distance_mm)))
        camera = Camera(
            width_px=4032,
            height_px=3024,
            distance_mm=distance_mm,
            height_mm=height_mm,
            tilt_deg=tilt,
            middle_mm=(0.0, 85.0),
        )
        places = {
            name: camera.to_px(np.append(at[name], 45.0 if name.startswith("heel") else 0.0))
            for name in (*HELPERS[way], *NEEDED)
        }
        placed = PlacedPicture(
            view="side",
            file="IMG_0001.jpg",
            width_px=4032,
            height_px=3024,
            way=way,
            known_mm=SQUARE_MM if way == "square" else STICK_MM,
            placings=({name: tuple(map(float, place)) for name, place in places.items()},),
        )
        seen = from_the_side(placed, "right", 0.5).profile
        return np.array([seen.toe_angle_deg - 50.0, seen.heel_angle_deg - 38.0])

    for height_mm, distance_mm in ((1.0, 1500.0), (85.0, 1500.0), (200.0, 750.0)):
        # looking down foreshortens what is upright; only the square corrects that
        allowed = 1.0 if way == "length" and height_mm > 100 else 0.3
        assert np.abs(wrong(height_mm, distance_mm)).max() < allowed

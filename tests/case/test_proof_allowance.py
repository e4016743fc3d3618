"""Photographs as they are taken by hand: whatever was askew, the stated band holds the truth.

Lens, turn, tilt, focal length, distance, a heel that stands nearer, a stick or square nearer or
farther than the foot: all drawn at once.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc.case.landmarks import PlacedPicture, from_the_side
from hoofcalc.case.synthetic.drawn_photograph import SQUARE_MM, STICK_MM, Camera, true_points
from hoofcalc.profile import Profile

pytestmark = [pytest.mark.slow, pytest.mark.timeout(900)]

ANGLES = ("toe_angle_deg", "heel_angle_deg", "angle_gap_deg")
LENGTHS = ("toe_length_mm", "bearing_length_mm", "heel_length_mm")
HELPERS = {
    "length": ("scale_start", "scale_end", "level_start", "level_end"),
    "square": ("square_1", "square_2", "square_3", "square_4"),
}
FAULTS = ("turn", "tilt", "lens", "nearer", "heel", "focal")
#: How round to a side a camera may stand, with each way of knowing the size [degrees].
FURTHEST_DEG = {"length": 15.0, "square": 20.0}


def some_foot(rng):
    while True:
        try:
            return Profile.from_measures(
                rng.uniform(44, 60),
                rng.uniform(28, 62),
                rng.uniform(70, 95),
                rng.uniform(28, 48),
                rng.uniform(95, 130),
            )
        except ValueError:  # no foot has these measures together
            continue


def some_view(rng, way):
    """A foot, a photograph of it with its points placed by hand, and what was askew."""
    foot, facing = some_foot(rng), str(rng.choice(["right", "left"]))
    at = true_points(foot, facing=facing)
    corners = np.array([*at.values()])
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2 + rng.uniform(-20, 20, 2)
    focal = float(rng.choice([26.0, 52.0]))
    camera = Camera(
        width_px=4032,
        height_px=3024,
        focal_mm=focal,
        distance_mm=rng.uniform(600, 1100) if focal < 30 else rng.uniform(800, 1600),
        turn_deg=rng.uniform(-1, 1) * FURTHEST_DEG[way],
        tilt_deg=rng.uniform(-5, 12),
        roll_deg=rng.uniform(-3, 3),
        middle_mm=(float(middle[0]), float(middle[1])),
    )
    askew = {
        "turn": abs(camera.turn_deg),
        "tilt": camera.tilt_deg,
        "lens": rng.uniform(-0.02, 0.02),
        "nearer": rng.uniform(-60, 60),
        "heel": rng.uniform(0, 50),
        "focal": focal,
    }
    hand_px = 0.5 * camera.focal_px / camera.distance_mm
    picture = np.array([camera.width_px, camera.height_px]) / 2
    places = {}
    for name in (*HELPERS[way], "toe_ground", "toe_coronet", "heel_ground", "heel_coronet"):
        out = askew["heel"] if name.startswith("heel") else 0.0
        out = askew["nearer"] if name in HELPERS[way] else out
        away = camera.to_px(np.append(at[name], out)) - picture
        bent = picture + away * (1 + askew["lens"] * (away @ away) / (picture @ picture))
        places[name] = tuple(map(float, bent + hand_px * rng.standard_normal(2)))
    placed = PlacedPicture(
        view="side",
        file="IMG_0001.jpg",
        width_px=camera.width_px,
        height_px=camera.height_px,
        way=way,
        known_mm=SQUARE_MM if way == "square" else STICK_MM,
        placings=(places,),
    )
    return foot, facing, placed, askew


def many_views(way, count, seed):
    """Whether each band held the truth, shape (views, measures), and what was askew in each."""
    rng = np.random.default_rng([seed, list(HELPERS).index(way)])
    inside, faults = [], []
    while len(inside) < count:
        foot, facing, placed, askew = some_view(rng, way)
        seen = from_the_side(placed, facing, 0.5)
        inside.append(
            [
                abs(getattr(seen.profile, name) - getattr(foot, name))
                < ERRORS_FOR_95 * seen.errors[name]
                for name in (*ANGLES, *LENGTHS)
            ]
        )
        faults.append([*askew.values()])
    return np.array(inside), np.array(faults)


@pytest.mark.parametrize("way", ["length", "square"])
def test_the_stated_band_holds_the_truth_whatever_was_askew(way):
    """A part of the long proof, `tests/benchmarks/allowance_proof.py`, from another seed.

    The long run, 5,200 views each: with a stick angles .967 to .970, lengths .970 to .982, least
    third .907; with the square .942 to .946, .955 to .966, .911. Chance alone here: 0.9 of 100
    over all, 1.8 in a third. Neither the focal length nor where stick or
    square stood can be seen in the picture, so a length may be held somewhat more often.
    """
    held, amounts = many_views(way, 600, seed=5)
    overall = held.mean(axis=0)
    assert (overall > 0.93 - 0.01).all()
    assert (overall < 0.98 + 0.01).all()
    for number, fault in enumerate(FAULTS):
        ends = np.quantile(amounts[:, number], [0, 1 / 3, 2 / 3, 1])
        for low, high in pairwise(ends):
            third = (amounts[:, number] >= low) & (amounts[:, number] <= high)
            assert held[third].mean(axis=0).min() > 0.90 - 0.045, (fault, low, high)

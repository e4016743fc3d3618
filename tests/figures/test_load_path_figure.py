"""The figure of lesson 07 keeps the balance of the push and ranks the three feet."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.figures.load_path_figure import LOAD_PATH, PUSH_N

STORIES = ("run under", "in line", "too upright")


@pytest.mark.parametrize("story", STORIES)
@pytest.mark.parametrize("tilt", [-12.0, 0.0, 5.6])
def test_squares_of_the_parts_add_up_to_the_whole(story: str, tilt: float) -> None:
    results = LOAD_PATH.frame({"story": story, "tilt_deg": tilt}).results
    parts = np.hypot(results["along"][:, 1], results["across"][:, 1])
    np.testing.assert_allclose(parts, 100.0)


def test_the_wall_carries_what_frog_and_sole_leave() -> None:
    for other in (0.0, 20.0, 60.0):
        results = LOAD_PATH.frame({"other_percent": other}).results
        assert results["wall_n"] == pytest.approx(PUSH_N * (1 - other / 100))


@pytest.mark.parametrize("tilt", [5.6, 0.0, -4.2])
def test_the_feet_are_ranked_at_every_moment(tilt: float) -> None:
    most = [LOAD_PATH.frame({"story": s, "tilt_deg": tilt}).results["most"] for s in STORIES]
    assert most == sorted(most, reverse=True)


def test_braking_brings_push_and_tubules_closer_by_the_tilt() -> None:
    # in the side view at the toe: obliquity = (90 - wall angle) - tilt
    for story in STORIES:
        upright, braking = (
            LOAD_PATH.frame({"story": story, "tilt_deg": tilt}).results["toe"]
            for tilt in (0.0, 6.0)
        )
        assert upright - braking == pytest.approx(6.0, abs=0.05)


def test_the_centre_of_force_moves_the_weakest_place_to_its_side() -> None:
    """With the centre at half the length; further forward it is the toe that works hardest."""

    def place(aside, centre):
        values = {"aside_mm": aside, "centre_percent": centre}
        return LOAD_PATH.frame(values).results["place"]

    assert (place(20.0, 50.0), place(-20.0, 50.0)) == ("left heel", "right heel")
    assert place(20.0, 60.0) == place(0.0, 60.0) == "toe"

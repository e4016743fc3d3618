"""The push on a turning foot: seen in true length, where it acts, and named as it lies."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.capsule import build_capsule
from hoofcalc.figures.foot_in_space import (
    LOOK_DOWN,
    moved_to,
    push_panels,
    push_round_rim,
    turn_slider,
)
from hoofcalc.figures.solid_foot import flat
from hoofcalc.loadpath import force_vector, share_out
from hoofcalc.profile import Profile

FOOT = build_capsule(Profile.from_measures(50, 40, 85, 38, 110), per_side=20)
COUNT = len(FOOT.ground)
HEEL, TOE = FOOT.ground[[0, COUNT // 2], 0]
CENTRE = np.array([HEEL + 0.6 * (TOE - HEEL), 0.0])
MIDDLE = np.array([CENTRE[0], 0.0, 30.0])
FORCE = force_vector(3000.0, 12.0)
STRIPS = share_out(FOOT, FORCE, CENTRE)


def seen(turn_deg: float = 0.0, look_down_deg: float = 0.0, hard: int = 0, strips=STRIPS) -> dict:
    times = np.full(COUNT, 0.8)
    times[hard] = 1.7
    return push_round_rim(
        FOOT, MIDDLE, FORCE, CENTRE, strips, times, np.ones(5),
        turn_deg=turn_deg, look_down_deg=look_down_deg, mm_per_n=0.03, mm_per_strip_n=0.5,
    )  # fmt: skip


def test_moved_the_foot_keeps_its_shape_and_the_point_stays_where_it_is_however_it_turns() -> None:
    moved = moved_to(FOOT, MIDDLE)
    np.testing.assert_allclose(moved.ground + MIDDLE, FOOT.ground)
    np.testing.assert_allclose(moved.coronet + MIDDLE, FOOT.coronet)
    np.testing.assert_array_equal(moved.thickness_mm, FOOT.thickness_mm)
    np.testing.assert_allclose(flat(MIDDLE - MIDDLE, 35.0, 20.0)[0], 0.0)


def test_from_the_side_the_arrow_has_the_length_and_lean_of_the_force_and_ends_where_it_acts() -> (
    None
):
    """Toe to the right; a force that leans back by 12 degrees points up and to the left."""
    tail, tip = seen()["arrow"]
    np.testing.assert_allclose(tip, [0.0, -30.0], atol=1e-9)  # under the middle, on the ground
    across, up = tip - tail
    assert np.hypot(across, up) == pytest.approx(0.03 * np.linalg.norm(FORCE))
    assert np.degrees(np.arctan2(-across, up)) == pytest.approx(12.0)


@pytest.mark.parametrize("turn_deg", [0.0, 90.0, -140.0])
def test_strokes_end_on_the_rim_and_have_the_length_of_each_strips_push(turn_deg: float) -> None:
    strokes = seen(turn_deg)["strips"].reshape(-1, 3, 2)
    assert 15 <= len(strokes) <= 40
    assert np.isnan(strokes[:, 2]).all()
    every = max(1, COUNT // 20)
    low = flat(FOOT.ground[::every] - MIDDLE, turn_deg, 0.0)[0]
    np.testing.assert_allclose(strokes[:, 1], low)
    # level with the eye, a stroke is as high as its strip pushes up
    np.testing.assert_allclose(
        strokes[:, 1, 1] - strokes[:, 0, 1], 0.5 * STRIPS[::every, 2], atol=1e-9
    )


@pytest.mark.parametrize(
    ("hard", "place", "at"),
    [(0, "right heel", -100), (COUNT // 2, "toe", 0), (COUNT - 1, "left heel", 100)],
)
def test_the_hardest_place_has_its_name_its_number_and_its_point(
    hard: int, place: str, at: float
) -> None:
    found = seen(30.0, 20.0, hard)
    assert (found["place"], found["most"], found["hardest_says"]) == (place, 1.7, "1.7 times")
    np.testing.assert_allclose(found["hardest"], [[at, 1.7]])
    np.testing.assert_allclose(found["work"][hard], [at, 1.7])
    np.testing.assert_allclose(
        found["hard_at"], flat(FOOT.ground[hard] - MIDDLE, 30.0, 20.0)[0][None]
    )
    marks = {round(x): words.replace("\n", " ") for x, words in push_panels(90, 2)[1].x_ticks}
    assert marks[at] == place
    ((x, y),) = found["hardest_says_at"]
    assert abs(x) <= 55, "the words stay inside the panel"
    assert y > 1.7, "and above the point"


def test_what_the_wall_bears_and_where_it_is_lifted_are_told() -> None:
    """The parts of the wall bear up together what they bear one by one."""
    found = seen()
    assert found["wall_n"] == pytest.approx(STRIPS[:, 2].sum())
    lifted = STRIPS.copy()
    lifted[: COUNT // 4, 2] = 0.0
    bare = 100 * np.mean(lifted[:, 2] == 0)
    assert seen(strips=lifted)["lifted_percent"] == pytest.approx(bare)


def test_the_reference_is_spread_over_the_whole_rim_however_finely_it_was_cut() -> None:
    reference = seen()["reference"]
    np.testing.assert_allclose(reference[[0, 2, 4]], [[-100, 1], [0, 1], [100, 1]])


def test_the_sliders_look_from_every_side_and_from_none_twice() -> None:
    turn = turn_slider(-40)
    places = np.arange(turn.minimum, turn.maximum + turn.step, turn.step)
    assert turn.start == -40
    assert len(np.unique(places % 360)) == len(places) == 360 / turn.step
    assert LOOK_DOWN.minimum == -LOOK_DOWN.maximum
    assert LOOK_DOWN.maximum < 90, "straight down the wall cannot be seen"

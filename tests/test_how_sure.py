"""Whatever goes out with its error does so in one form: value, 95 % interval, what is in it."""

import numpy as np
import pytest

from hoofcalc.figures.spec import Row, in_and_out
from hoofcalc.forecast import expected
from hoofcalc.ground_force import stance_force
from hoofcalc.loadpath import Comparison
from hoofcalc.profile import Profile
from hoofcalc.reading import HowSure, compare, read_foot

FOOT = Profile.from_measures(52, 40, 85, 35, 110)
PUSH = stance_force("trot", "fore", 500.0, 0.4)
NEXT = expected(FOOT, {"toe": 0.8, "heel": 1.5}, [0, 42], shod=True)
RESULTS = {
    "reading": read_foot(FOOT)["heel underrun, five degrees"].how_sure,
    "comparison of readings": compare({"a": FOOT, "b": FOOT}).differences[0].how_sure,
    "push": PUSH.how_sure,
    "comparison of feet": Comparison(1.7, 1.1, 2.6, 0.99, 1000).how_sure,
    "next visit": NEXT.how_sure("heel", 1),
}


@pytest.mark.parametrize("name", RESULTS)
def test_each_result_says_what_its_interval_holds_and_what_not(name):
    sure = RESULTS[name]
    assert isinstance(sure, HowSure)
    assert sure.low < sure.value < sure.high
    assert sure.covers
    assert sure.leaves_out
    assert sure.in_words.startswith(f"{sure}, 19 times in 20; in it: {sure.covers}")


def test_the_push_is_as_unsure_as_its_spread_says():
    sure = PUSH.how_sure
    assert sure.value == PUSH.peak_vertical_n
    assert sure.high - sure.value == pytest.approx(1.96 * PUSH.spread * sure.value, rel=1e-3)


def test_the_next_visit_is_the_forecasts_band():
    for number in (0, 1):
        sure = NEXT.how_sure("toe", number)
        assert (sure.low, sure.value, sure.high) == pytest.approx(NEXT.toe_deg[number])
    with pytest.raises(ValueError, match="end must be one of 'toe', 'heel'"):
        NEXT.how_sure("quarter")


def test_several_results_are_not_one():
    many = np.ones(2)
    with pytest.raises(ValueError, match=r"how_sure tells of one foot \(got shape \(2,\)\)"):
        _ = Comparison(many, many, many, many, 40).how_sure
    with pytest.raises(ValueError, match=r"how_sure tells of one stance \(got shape \(2,\)\)"):
        _ = stance_force("trot", "fore", [400.0, 500.0], 0.4).how_sure


def test_the_interval_keeps_two_digits():
    for high, said in ((105.0, "0 (0 to 105)"), (2.0, "0.0 (0.0 to 2.0)"),
                       (0.2, "0.00 (0.00 to 0.20)"), (0.05, "0.000 (0.000 to 0.050)")):  # fmt: skip
        assert str(HowSure(0.0, 0.0, high, "", "", "")) == said


def test_a_table_gives_intervals_and_says_once_what_they_hold():
    one = HowSure(-1.0, -2.0, 0.0, "mm", "points", "camera")
    row = Row.sure("a length", one)
    assert (row.value, row.interval, row.unit) == ("\u22121.0", "\u22122.0 to 0.0", "mm")
    other = HowSure(1.0, 0.0, 2.0, "mm", "growth", "illness")
    said = [(each.quantity, each.value) for each in in_and_out(one, one, other)]
    assert [value for _, value in said] == ["points", "camera", "growth", "illness"]
    assert said[0][0] == "in the interval, 19 times in 20"

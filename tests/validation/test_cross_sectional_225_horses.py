"""An investigation of the shape of the lateral aspect of the hoof capsule in hindlimbs.

Cross-sectional study of 225 horses of mixed breeds, shod and unshod, lateral photographs
(about 2020-22; abstract read in the announcement of a
course; authors, journal and pages could not be found). Dorsal hoof wall angle fore 51.8 +/- 3.9,
hind 50.9 +/- 3.7 degrees; heel angle fore 40.1 +/- 9.3, hind 36.4 +/- 9.6 degrees. All read.
"""

from __future__ import annotations

import pytest

from hoofcalc.profile import Profile
from hoofcalc.reading import POPULATION, percentile, read_foot

# angles as printed (read)
PRINTED = {
    "fore": {"toe_angle_deg": (51.8, 3.9), "heel_angle_deg": (40.1, 9.3)},
    "hind": {"toe_angle_deg": (50.9, 3.7), "heel_angle_deg": (36.4, 9.6)},
}


def average_foot(limb):
    toe, heel = (PRINTED[limb][name][0] for name in ("toe_angle_deg", "heel_angle_deg"))
    return Profile.from_measures(toe, heel, 85, 36, 112)  # lengths ours


@pytest.mark.parametrize("limb", ["fore", "hind"])
@pytest.mark.parametrize("measure", ["toe_angle_deg", "heel_angle_deg"])
def test_the_printed_means_and_spreads_are_the_ones_used(limb, measure):
    mean, spread = PRINTED[limb][measure]
    assert POPULATION[measure, limb] == (mean, spread)
    assert percentile(measure, mean, limb) == pytest.approx(50)
    # one standard deviation up: 84.13 per cent of a normal population, handbook table
    assert percentile(measure, mean + spread, limb) == pytest.approx(84.13, abs=0.01)
    assert percentile(measure, mean - 2 * spread, limb) == pytest.approx(2.28, abs=0.01)


# derived: differences of the printed means
@pytest.mark.parametrize(("limb", "gap"), [("fore", 11.7), ("hind", 14.5)])
def test_the_rule_of_five_degrees_flags_the_average_foot_and_says_so(limb, gap):
    foot = average_foot(limb)
    assert foot.angle_gap_deg == pytest.approx(gap)
    finding = read_foot(foot, 1.0, limb=limb)["heel underrun, five degrees"]
    assert finding.met
    assert finding.probability > 0.99
    assert "flags the average foot" in finding.sentence
    assert f"{gap} degrees flatter than the toe in {limb} feet" in finding.sentence


@pytest.mark.parametrize("limb", ["fore", "hind"])
def test_the_average_foot_is_usual_in_both_angles_and_not_upright(limb):
    reading = read_foot(average_foot(limb), 1.0, limb=limb)
    assert reading["toe angle usual"].met
    assert reading["heel angle usual"].met
    assert not reading["upright"].met


def test_two_standard_deviations_are_the_plausible_range():
    # derived: 51.8 +/- 2 x 3.9 is 44.0 to 59.6 fore, 50.9 +/- 2 x 3.7 is 43.5 to 58.3 hind
    for limb, inside, outside in (
        ("fore", (44.1, 59.5), (43.9, 59.7)),
        ("hind", (43.6, 58.2), (43.4, 58.4)),
    ):
        for angle, usual in (*((a, True) for a in inside), *((a, False) for a in outside)):
            foot = Profile.from_measures(angle, 45, 85, 36, 112)
            assert read_foot(foot, limb=limb)["toe angle usual"].met is usual


def test_hind_heels_lie_flatter_than_fore_heels():
    # the study: heel angles differ between fore and hind, P < 0.001 (read)
    assert percentile("heel_angle_deg", 38, "hind") > percentile("heel_angle_deg", 38, "fore")


def test_heel_angles_have_the_same_plausible_range():
    # derived: 40.1 +/- 2 x 9.3 is 21.5 to 58.7 degrees fore
    for angle, usual in ((21.4, False), (21.6, True), (58.6, True), (58.8, False)):
        foot = Profile.from_measures(60, angle, 85, 36, 112)
        assert read_foot(foot)["heel angle usual"].met is usual

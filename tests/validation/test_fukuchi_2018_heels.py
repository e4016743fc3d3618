"""Real marks, digitised by others: the heels of a person who walks.

Fukuchi C.A., Fukuchi R.K., Duarte M. 2018, A public dataset of overground and treadmill walking
kinematics and kinetics in healthy individuals, PeerJ 6:e4640, CC-BY 4.0 (record read). One trial,
150 frames a second, heel marks in data/fukuchi_2018_heels.csv, with the frames in which the right
heel was annotated to come down (83 and 246, read). The left heel's annotations hold pairs a few
frames apart and are left out. A person is not a horse: this shows that the numbers behave on marks
that nobody made up, not that a horse walks so.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.signal import savgol_filter

from hoofcalc.landing import Track, contact_times, residual_analysis, smooth, velocity

FRAMES_PER_S = 150.0
RIGHT_DOWN_S = np.array([83, 246]) / FRAMES_PER_S
MARKS = np.loadtxt(
    Path(__file__).parent / "data" / "fukuchi_2018_heels.csv", delimiter=",", skiprows=3
)
HEELS = {"left": MARKS[:, :2], "right": MARKS[:, 2:]}
TIMES_S = np.arange(len(MARKS)) / FRAMES_PER_S


@pytest.fixture(params=HEELS)
def heel(request):
    return HEELS[request.param]


def test_speed_by_filter_and_by_polynomials_agree(heel):
    # 10 Hz and cubics over 13 frames pass about the same; the ends are left out
    by_filter = velocity(Track(TIMES_S, heel), 10.0)[15:-15]
    by_cubics = savgol_filter(heel, 13, 3, deriv=1, delta=1 / FRAMES_PER_S, axis=0) / 1000
    apart = np.sqrt(np.mean((by_filter - by_cubics[15:-15]) ** 2, axis=0))
    assert np.all(apart < 0.06 * np.abs(by_filter).max(axis=0))


def test_the_mean_speed_is_the_way_over_the_time(heel):
    # the filter must not invent or lose distance
    track = Track(TIMES_S, heel)
    walked_m = (smooth(track, 10.0).positions_mm[-20, 0] - heel[20, 0]) / 1000
    mean = np.mean(velocity(track, 10.0)[20:-19, 0])
    assert mean == pytest.approx(walked_m / (TIMES_S[-20] - TIMES_S[20]), rel=0.02)


def test_the_noise_of_good_marks_is_small(heel):
    assert np.max(residual_analysis(Track(TIMES_S, heel)).noise_mm) < 2.0


def contacts(ground_mm):
    return contact_times(Track(TIMES_S, HEELS["right"], ground_mm=ground_mm))


@pytest.mark.xfail(
    strict=True,
    reason="outside what contact_times is for: a mark that skims the ground before it lands",
)
def test_contacts_lie_near_those_annotated():
    """The first of the two contacts is told 67 ms early.

    Contact is told by height alone. Here the mark comes within 5 mm of its usual standing height
    67 ms before the foot lands, hovers there at 3 m/s forward and then, loaded, sinks 10 mm below
    it: a shod person's heel has no one standing height. See the next tests.
    """
    # 40 ms: published footfall times from one marker lie within 26 ms of a force plate (Starke
    # S.D., Clayton H.M. 2015, PeerJ 3:e783, read), and two frames of this film are 13 ms
    standing = np.percentile(HEELS["right"][:, 1], 8)
    found = contacts(float(standing))
    assert found.contact_s == pytest.approx(RIGHT_DOWN_S, abs=0.040)
    assert found.stride_s == pytest.approx(np.diff(RIGHT_DOWN_S), rel=0.05)


def test_the_heel_skims_the_ground_before_it_lands():
    height = HEELS["right"][:, 1] - np.percentile(HEELS["right"][:, 1], 8)
    before, after = slice(73, 83), slice(83, 89)
    assert (height[before] < 5).all()  # within the clearance
    forward_m_s = np.diff(HEELS["right"][73:79, 0]) * FRAMES_PER_S / 1000
    assert forward_m_s.min() > 2
    assert height[after].min() < -10


def test_contacts_lie_near_those_annotated_where_the_ground_is_that_of_the_landing():
    """Against the height of the mark as it lands, 5 mm below, both are found."""
    found = contacts(45.0)
    assert found.contact_s == pytest.approx(RIGHT_DOWN_S, abs=0.040)
    assert found.stride_s == pytest.approx(np.diff(RIGHT_DOWN_S), rel=0.05)

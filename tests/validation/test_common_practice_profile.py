"""Facts of the trade about the shape and the drift of a foot: common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.cycle import (
    HeelLaw,
    change,
    fixed_points,
    grow,
    loop_gain,
    steady_law,
    through_visits,
    trim,
)
from hoofcalc.profile import Profile, line_angle_deg, line_departures

# three feet, ours, of one heel height
HEIGHT = 24.0
IN_LINE = Profile.from_measures(52, 49, 82, HEIGHT / np.sin(np.radians(49)), 110)
UNDERRUN = Profile.from_measures(49, 30, 92, HEIGHT / np.sin(np.radians(30)), 118)
UPRIGHT = Profile.from_measures(62, 62, 80, HEIGHT / np.sin(np.radians(62)), 95)


def test_sound_lines_run_near_parallel_underrun_lines_do_not():
    # common practice, no source
    spread = {
        name: line_angle_deg(foot, 0.0) - line_angle_deg(foot, 1.0)
        for name, foot in (("in line", IN_LINE), ("underrun", UNDERRUN), ("upright", UPRIGHT))
    }
    assert abs(spread["in line"]) < 5
    assert abs(spread["upright"]) < 5
    assert spread["underrun"] > 15


def test_the_lines_of_an_underrun_heel_show_against_a_sound_toe():
    # a trace along the heel of the underrun foot, laid on the foot in line
    low, high = UNDERRUN.heel_ground, UNDERRUN.heel_coronet
    trace = line_departures(IN_LINE, low + 0.2 * (high - low), low + 0.6 * (high - low))
    assert trace.departure_deg < -15


def test_the_underrun_heel_gives_way_most_and_the_upright_least():
    # common practice, no source: load across the tubules is borne badly
    gives = [
        HeelLaw(45).give_deg(foot.heel_angle_deg, foot.heel_length_mm)
        for foot in (UNDERRUN, IN_LINE, UPRIGHT)
    ]
    assert gives[0] > gives[1] > gives[2] > 0


def test_whatever_turns_a_heel_turns_the_underrun_one_most():
    # common practice, no source: a low heel goes where the others hardly move. Horn made two
    # degrees flatter than what keeps each heel
    falls = []
    for foot in (UNDERRUN, IN_LINE, UPRIGHT):
        heel, height = foot.heel_angle_deg, foot.heel_height_mm
        flatter = HeelLaw(steady_law(heel, height, 42).band_angle_deg - 2)
        falls.append(heel - through_visits(heel, height, 42, 20, flatter).heel_angle_deg[-1])
    assert falls[0] > 1.7 * falls[1]
    assert falls[1] > falls[2] > 1.5


def test_no_foot_of_the_three_runs_away_by_the_loop_alone():
    """What is left of the belief that a low heel must go on and on (common practice)."""
    for foot in (UNDERRUN, IN_LINE, UPRIGHT):
        heel, height = foot.heel_angle_deg, foot.heel_height_mm
        law = steady_law(heel, height, 42)
        assert loop_gain(heel, height, law) < 0.6
        pushed = through_visits(heel - 2, height, 42, 60, law).heel_angle_deg
        assert pushed[-1] == pytest.approx(heel, abs=0.1)


def test_short_heels_and_short_intervals_stand_better():
    # common practice, no source: long intervals let heels run under
    law = HeelLaw(band_angle_deg=42)

    def settles(height, days):
        return max(point.heel_angle_deg for point in fixed_points(height, days, law))

    assert settles(16, 42) > settles(22, 42)
    assert settles(20, 28) > settles(20, 84)


def test_a_longer_foot_between_visits_runs_forward():
    # common practice, no source: toe and heel both grow forward, the base creeps ahead
    after = grow(IN_LINE, 56)
    assert change(IN_LINE, after).heel_support_mm < 0
    assert after.toe_length_mm > IN_LINE.toe_length_mm


def test_lowering_a_heel_brings_its_support_back_and_flattens_the_toe_a_little():
    # common practice, no source: both are true at once, and a trimmer weighs them
    step = change(UNDERRUN, trim(UNDERRUN, heel_down_mm=4))
    assert step.heel_support_mm > 5
    assert -3 < step.toe_angle_deg < 0


def test_a_lower_trim_lets_a_low_heel_come_up():
    law = steady_law(30, 24, 56)
    high, low = (through_visits(30, height, 56, 60, law).heel_angle_deg for height in (24, 15))
    assert high[-1] == pytest.approx(30, abs=0.01)
    assert low[-1] > 33

"""Growth and trim as geometry, the heel's drift as an illustration, and the limits of both."""

from __future__ import annotations

from datetime import date, datetime

import numpy as np
import pytest

from hoofcalc import cycle
from hoofcalc.cycle import (
    CREEP_DEG_PER_DAY_MPA,
    FLOOR_DEG,
    FixedPoint,
    HeelLaw,
    change,
    days_between,
    drift,
    fixed_points,
    forecast,
    grow,
    heel_cross_stress_mpa,
    interval_table,
    renewal_days,
    through_visits,
    trim,
    way_back,
)
from hoofcalc.profile import MEASURES, Profile

FOOT = Profile.from_measures(52, 40, 85, 35, 110)
WITH_ALL = Profile(
    **FOOT.landmarks,
    pastern_low=(20.0, 95.0),
    pastern_high=(-20.0, 150.0),
    bulb=(-40.0, 15.0),
    widest_point=(62.0, 0.0),
)


# ---- dates


def test_dates_become_days():
    start = date(2026, 2, 2)
    assert days_between(start, date(2026, 3, 30)) == 56
    assert type(days_between(start, start)) is float
    visits = [date(2026, 2, 9), date(2026, 2, 16)]
    assert days_between(start, visits).tolist() == [7, 14]
    # a date with a time counts by its calendar day
    assert days_between(start, datetime(2026, 2, 3, 23, 59)) == 1


def test_dates_that_run_backwards_or_are_none_are_refused():
    with pytest.raises(ValueError, match="end must not lie before start, 2026-02-02"):
        days_between(date(2026, 2, 2), date(2026, 2, 1))
    for slip in ("2026-02-02", [3], 14):
        with pytest.raises(ValueError, match="end must be a date"):
            days_between(date(2026, 2, 2), slip)
    with pytest.raises(ValueError, match="start must be a date"):
        days_between("2026-02-02", date(2026, 2, 2))


# ---- geometry


def test_no_time_and_no_net_growth_change_nothing():
    for same in (
        grow(WITH_ALL, 0),
        grow(WITH_ALL, 56, toe_wear_mm_day=0.25, heel_wear_mm_day=0.25),
        trim(WITH_ALL),
    ):
        for name, at in WITH_ALL.landmarks.items():
            assert getattr(same, name) == pytest.approx(at, abs=1e-9)


def test_walls_lengthen_by_growth_less_wear_and_keep_their_gap():
    after = grow(FOOT, 56, toe_growth_mm_day=0.3, heel_growth_mm_day=0.2, heel_wear_mm_day=0.05)
    assert after.toe_length_mm == pytest.approx(85 + 56 * 0.3)
    assert after.heel_length_mm == pytest.approx(35 + 56 * 0.15)
    assert after.angle_gap_deg == pytest.approx(12)
    assert after.bearing_tilt_deg == pytest.approx(0, abs=1e-9)


def test_the_turn_of_the_foot_by_hand():
    # the toe gains 14 mm along 52 degrees, the heel nothing: in the bone's axes the new
    # ground line falls 14 sin 52 over the new bearing length's run, 110 + 14 cos 52
    after = grow(FOOT, 56, heel_wear_mm_day=0.25)
    fall = np.degrees(np.arctan2(14 * np.sin(np.radians(52)), 110 + 14 * np.cos(np.radians(52))))
    assert after.toe_angle_deg == pytest.approx(52 - fall)
    assert after.heel_angle_deg == pytest.approx(40 - fall)


def test_equal_heights_gained_keep_the_angles():
    # walls that gain equal heights: the foot only rises
    toe_mm, heel_mm = 5 / np.sin(np.radians(52)), 5 / np.sin(np.radians(40))
    after = grow(FOOT, 1, toe_growth_mm_day=toe_mm, heel_growth_mm_day=heel_mm)
    assert (after.toe_angle_deg, after.heel_angle_deg) == pytest.approx((52, 40))
    assert after.toe_height_mm == pytest.approx(FOOT.toe_height_mm + 5)


def test_the_foot_stands_where_it_stood():
    tilted = Profile.from_measures(52, 40, 85, 35, 110)
    turn = np.radians(3.0)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    tilted = Profile(**{name: matrix @ at for name, at in tilted.landmarks.items()})
    after = grow(tilted, 40)
    assert after.bearing_tilt_deg == pytest.approx(3)
    level = grow(FOOT, 40)
    for name in MEASURES:
        assert getattr(after, name) == pytest.approx(getattr(level, name))


def test_the_middle_of_the_hairline_stays_over_its_place():
    for after in (grow(FOOT, 56), trim(FOOT, heel_down_mm=4, toe_back_mm=5)):
        before_x = (FOOT.toe_coronet + FOOT.heel_coronet)[0] / 2
        assert (after.toe_coronet + after.heel_coronet)[0] / 2 == pytest.approx(before_x)
        assert after.toe_ground[1] == pytest.approx(0, abs=1e-9)
        # the bone-side points keep their distances: nothing between them has turned or stretched
        assert np.linalg.norm(after.toe_coronet - after.heel_coronet) == pytest.approx(
            np.linalg.norm(FOOT.toe_coronet - FOOT.heel_coronet)
        )


def test_the_pastern_keeps_its_slope_and_the_axis_breaks_back():
    after = grow(WITH_ALL, 56, heel_wear_mm_day=0.12)
    assert after.pastern_angle_deg == pytest.approx(WITH_ALL.pastern_angle_deg)
    fell = WITH_ALL.toe_angle_deg - after.toe_angle_deg
    assert fell > 3
    assert after.axis_deviation_deg - WITH_ALL.axis_deviation_deg == pytest.approx(fell)


def test_drift_turns_the_heel_about_its_hairline():
    flatter = grow(FOOT, 0, heel_drift_deg=-5)
    assert flatter.angle_gap_deg == pytest.approx(17)
    assert flatter.heel_length_mm == pytest.approx(35)
    # the heel sinks, so the toe falls a little with it
    assert flatter.toe_angle_deg < 52
    assert change(FOOT, flatter).heel_support_mm < 0


def test_trim_takes_off_the_height_it_is_asked():
    after = trim(FOOT, heel_down_mm=4, toe_down_mm=4)
    assert after.toe_height_mm == pytest.approx(FOOT.toe_height_mm - 4)
    assert after.heel_height_mm == pytest.approx(FOOT.heel_height_mm - 4)
    assert (after.toe_angle_deg, after.heel_angle_deg) == pytest.approx((52, 40))


def test_lower_heels_flatten_a_lower_toe_steepens():
    assert trim(FOOT, heel_down_mm=5).toe_angle_deg < 52
    assert trim(FOOT, toe_down_mm=5).toe_angle_deg > 52
    # the heel's ground point moves back under its hairline as it is lowered
    assert change(FOOT, trim(FOOT, heel_down_mm=5)).heel_support_mm > 0


def test_bringing_the_toe_back_shortens_the_base_and_steepens_the_dressed_line():
    after = trim(FOOT, toe_back_mm=8)
    assert after.bearing_length_mm == pytest.approx(102)
    assert after.toe_height_mm == pytest.approx(FOOT.toe_height_mm)
    assert after.toe_angle_deg > 52
    assert after.heel_angle_deg == pytest.approx(40)


def test_many_feet_and_many_days_at_once():
    feet = Profile.from_measures([52.0, 48.0], [40.0, 30.0], 85, 35, 110)
    assert grow(feet, [[0.0], [28.0], [56.0]]).shape == (3, 2)
    assert trim(FOOT, heel_down_mm=[1, 2, 3]).shape == (3,)
    assert change(FOOT, trim(FOOT, heel_down_mm=[1, 2, 3])).toe_angle_deg.shape == (3,)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: grow(FOOT, -1), "days must be at least 0"),
        (lambda: grow(FOOT, 1, toe_growth_mm_day=-0.1), "toe_growth_mm_day must be at least 0"),
        (lambda: grow(FOOT, 100, heel_wear_mm_day=0.7), "nothing of the heel, which is 35.0 mm"),
        (lambda: grow(FOOT, 1, heel_drift_deg=70), "heel_drift_deg must be between"),
        (lambda: grow(Profile.from_measures([52, 50], 40, 85, 35, 110), [1, 2, 3]), "together"),
        (lambda: trim(FOOT, heel_down_mm=23), r"below the height of the hairline, 22.5 \(got 23"),
        (lambda: trim(FOOT, toe_down_mm=70), "toe_down_mm must be below the height"),
        (lambda: trim(FOOT, toe_back_mm=110), "toe_back_mm must be below the bearing length"),
        (lambda: trim(FOOT, heel_down_mm=-1), "heel_down_mm must be at least 0"),
        (lambda: renewal_days(0), "length_mm must be above 0"),
        (lambda: renewal_days(80, 0), "growth_mm_day must be above 0"),
    ],
)
def test_impossible_growth_and_trims_are_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()


# ---- drift


def test_the_calibration_is_what_it_says():
    stated = drift(40, 35, 56, HeelLaw(band_angle_deg=40))
    assert stated.heel_angle_deg == pytest.approx(38.5, abs=0.005)
    assert stated.heel_length_mm == pytest.approx(49)
    assert stated.ran_away is False


def test_without_creep_a_heel_comes_to_the_angle_it_is_made_at():
    # at steady length: exponential approach with the renewal time l/g
    law = HeelLaw(band_angle_deg=52, wear_mm_day=0.25, creep_deg_per_day_mpa=0)
    days = np.array([10.0, 140.0, 900.0])
    expected = 52 - 12 * np.exp(-days / renewal_days(35))
    assert drift(40, 35, days, law).heel_angle_deg == pytest.approx(expected, rel=1e-9)


def test_the_stress_is_the_cantilevers():
    # 5 N/mm across a level heel, 12 mm free, 5.5 mm thick: 6 x 5 x 12/5.5^2
    assert heel_cross_stress_mpa(0, 36) == pytest.approx(6 * 5 * 12 / 5.5**2)
    assert heel_cross_stress_mpa(90, 36) == pytest.approx(0, abs=1e-12)
    # pushed along itself no wall is bent: force leaning back by as much as the wall
    assert heel_cross_stress_mpa(60, 36, tilt_deg=30) == pytest.approx(0, abs=1e-12)


def test_the_rate_is_renewal_less_creep():
    law = HeelLaw(band_angle_deg=52)
    expected = 0.25 / 35 * 12 - CREEP_DEG_PER_DAY_MPA * heel_cross_stress_mpa(40, 35)
    assert law.rate_deg_day(40, 35) == pytest.approx(expected)
    slow = drift(40, 35, 0.01, law).heel_angle_deg - 40
    assert slow / 0.01 == pytest.approx(expected, rel=1e-3)


def test_a_heel_that_reaches_the_floor_is_marked_and_held():
    gone = drift(12, 60, 200, HeelLaw(band_angle_deg=12))
    assert (gone.heel_angle_deg, gone.ran_away) == (FLOOR_DEG, True)
    path = through_visits(20, 30, 56, 12, HeelLaw(band_angle_deg=20))
    assert path.ran_away[-1]
    assert not path.ran_away[0]
    first = int(np.argmax(path.ran_away))
    assert (path.heel_angle_deg[first:] == FLOOR_DEG).all()


def test_a_heel_that_has_run_away_stays_so_even_if_a_trim_would_lift_it():
    law = HeelLaw(band_angle_deg=60)
    assert law.rate_deg_day(FLOOR_DEG, 8 / np.sin(np.radians(FLOOR_DEG))) > 0
    path = through_visits(20, 8, 900, 3, law)
    assert path.ran_away.tolist() == [False, True, True, True]
    assert (path.heel_angle_deg[1:] == FLOOR_DEG).all()


def test_a_heels_result_does_not_depend_on_its_company():
    law = HeelLaw(band_angle_deg=np.array([40.0, 50.0]))
    both = drift([40, 45], [35, 30], 56, law).heel_angle_deg
    alone = drift(40, 35, 56, HeelLaw(band_angle_deg=40)).heel_angle_deg
    assert both[0] == pytest.approx(alone, rel=1e-12)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: drift(5, 35, 10, HeelLaw(40)), "heel_angle_deg must be above 10 and below 90"),
        (lambda: drift(40, 0.5, 10, HeelLaw(40)), "heel_length_mm must be at least 1"),
        (lambda: drift(40, 35, 2000, HeelLaw(40)), "days must be between 0 and 1000"),
        (lambda: drift(40, 5, 100, HeelLaw(40, 0.25, 0.3)), "less than 1 mm of heel"),
        (lambda: drift([40, 41, 42], 35, 5, HeelLaw(np.array([40, 41]))), "together"),
        (lambda: HeelLaw(95), "band_angle_deg must be above 0 and below 90"),
        (lambda: HeelLaw(40, growth_mm_day=0), "growth_mm_day must be"),
        (lambda: HeelLaw(40, creep_deg_per_day_mpa=1), "creep_deg_per_day_mpa must be between"),
        (lambda: HeelLaw(np.ones(2), growth_mm_day=np.full(3, 0.2)), "together"),
        (lambda: through_visits(40, 22, 0, 3, HeelLaw(40)), "interval_days must be above 0"),
        (lambda: through_visits(40, 22, 42, 0, HeelLaw(40)), "visits must be a whole number"),
        (lambda: fixed_points([20, 22], 42, HeelLaw(40)), "heel_height_mm must be a single"),
        (lambda: fixed_points(20, 42, HeelLaw([40, 41])), "law must be a single law"),
        (lambda: interval_table(FOOT, law=HeelLaw([40, 41])), "law must be a single law"),
        (lambda: interval_table(trim(FOOT, heel_down_mm=[1, 2])), "one foot"),
        (lambda: interval_table(FOOT, weeks=(0,)), "weeks must be above 0"),
        (lambda: interval_table(Profile.from_measures(60, 95, 85, 20, 110)), "above 10 and below"),
        (lambda: forecast(FOOT, 10, np.random.default_rng(1), level=1.0), "level must be above 0"),
        (lambda: forecast(FOOT, 10, np.random.default_rng(1), creep_factor=0.5), "creep_factor"),
    ],
)
def test_impossible_drifts_are_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()


# ---- fixed points, ways back, tables, forecasts


def test_fixed_points_come_back_to_themselves_and_their_stability_shows():
    law = HeelLaw(band_angle_deg=40)
    unstable, stable = fixed_points(22, 42, law)
    assert (unstable.stable, stable.stable) == (False, True)
    for point in (unstable, stable):
        path = through_visits(point.heel_angle_deg, 22, 42, 1, law).heel_angle_deg
        assert path[1] == pytest.approx(path[0], abs=1e-8)
    above = through_visits(unstable.heel_angle_deg + 0.5, 22, 42, 200, law)
    assert above.heel_angle_deg[-1] == pytest.approx(stable.heel_angle_deg, abs=0.01)
    below = through_visits(unstable.heel_angle_deg - 0.5, 22, 42, 200, law)
    assert below.ran_away[-1]


def test_no_fixed_point_means_that_every_heel_runs_away():
    law = HeelLaw(band_angle_deg=40)
    assert fixed_points(40, 56, law) == ()
    path = through_visits(np.linspace(15, 85, 20), 40, 56, 150, law)
    assert path.ran_away[-1].all()


def test_a_heel_that_never_creeps_has_one_stable_angle():
    points = fixed_points(22, 42, HeelLaw(48, creep_deg_per_day_mpa=0))
    assert len(points) == 1
    assert points[0].stable
    assert points[0].heel_angle_deg == pytest.approx(48)


def test_the_way_back_is_the_border():
    law = HeelLaw(band_angle_deg=35)
    assert fixed_points(24, 84, law) == ()
    plan = way_back(35, 24, 84, law)
    assert plan.runs_away
    assert plan.greatest_height_mm < 24
    for height, lost in ((plan.greatest_height_mm - 0.3, False), (24.0, True)):
        path = through_visits(35, height, 84, 400, law)
        assert bool(path.ran_away[-1]) is lost


def test_a_shorter_interval_can_hold_a_heel():
    law = HeelLaw(band_angle_deg=42)
    plan = way_back(40, 26, 140, law)
    assert plan.runs_away
    assert 0 < plan.longest_interval_days < 140
    held = through_visits(40, 26, plan.longest_interval_days - 2, 400, law)
    lost = through_visits(40, 26, plan.longest_interval_days + 4, 400, law)
    assert not held.ran_away[-1]
    assert lost.ran_away[-1]


def test_where_nothing_helps_and_where_nothing_is_needed():
    hopeless = way_back(20, 30, 56, HeelLaw(12))
    assert hopeless.runs_away
    assert hopeless.longest_interval_days is None
    safe = way_back(50, 20, 56, HeelLaw(50, creep_deg_per_day_mpa=0))
    assert not safe.runs_away
    assert safe.longest_interval_days == float("inf")
    assert safe.greatest_height_mm == float("inf")
    brittle = HeelLaw(12, creep_deg_per_day_mpa=0.1, force_n_mm=100, growth_mm_day=0.01)
    assert way_back(20, 30, 56, brittle).greatest_height_mm is None


def test_the_table_keeps_geometry_and_drift_apart():
    table = interval_table(FOOT, weeks=(2, 6, 12), toe_wear_mm_day=0.05)
    grown = grow(FOOT, 42, toe_wear_mm_day=0.05)
    assert table.toe_angle_deg[1] == pytest.approx(grown.toe_angle_deg)
    assert table.heel_angle_deg[1] == pytest.approx(grown.heel_angle_deg)
    alone = drift(40, 35, 42, HeelLaw(band_angle_deg=40)).heel_angle_deg - 40
    assert table.heel_drift_deg[1] == pytest.approx(alone)
    assert np.all(np.diff(table.settles_at_deg) < 0)  # longer intervals, flatter heels
    weak = table.settles_high_deg
    assert np.all(weak > table.settles_at_deg)
    assert np.isnan(table.settles_low_deg).any()  # twice the creep: runs away somewhere
    assert not table.runs_away.any()


def test_the_table_reports_runaway():
    long_and_flat = Profile.from_measures(50, 30, 95, 55, 118)
    table = interval_table(long_and_flat, weeks=(4, 8))
    assert table.runs_away.all()
    assert np.isnan(table.runs_away_below_deg).all()
    # a band that makes steeper horn brings it back
    assert not interval_table(long_and_flat, weeks=(4, 8), law=HeelLaw(50)).runs_away.any()
    # below the border it runs away although a border exists
    low = Profile.from_measures(50, 12, 95, 90, 118)
    falling = interval_table(low, weeks=(4,), law=HeelLaw(40))
    assert falling.runs_away[0]
    assert falling.runs_away_below_deg[0] > 12


def test_a_forecast_widens_with_time_and_holds_its_middle():
    rng = np.random.default_rng(5)
    out = forecast(FOOT, [0, 28, 56], rng, point_error_mm=0.3, draws=4000)
    low, middle, high = out.toe_geometry_deg
    assert middle[0] == pytest.approx(52, abs=0.05)
    assert middle == pytest.approx(grow(FOOT, [0.0, 28.0, 56.0]).toe_angle_deg, abs=0.1)
    width = out.heel_angle_deg[2] - out.heel_angle_deg[0]
    assert np.all(np.diff(width) > 0)
    assert np.all(low < high)
    # the drift adds to the fall, and lets the toe down a little
    assert out.heel_angle_deg[1, 2] < out.heel_geometry_deg[1, 2] - 1
    assert out.toe_angle_deg[1, 2] < middle[2]
    assert (out.ran_away_share == 0).all()


def test_a_forecast_without_spread_is_the_calculation_itself():
    law = HeelLaw(45, wear_mm_day=0.1)
    out = forecast(
        FOOT,
        42,
        np.random.default_rng(1),
        law=law,
        point_error_mm=0,
        growth_sd_mm_day=0,
        creep_factor=1,
        draws=3,
    )
    turn = drift(40, 35, 42, law).heel_angle_deg - 40
    after = grow(FOOT, 42, heel_wear_mm_day=0.1, heel_drift_deg=turn)
    assert out.heel_angle_deg[:, 0] == pytest.approx([after.heel_angle_deg] * 3)
    assert out.toe_angle_deg[:, 0] == pytest.approx([after.toe_angle_deg] * 3)


def test_settling_picks_the_stable_point_on_the_heels_side():
    found = (FixedPoint(15.0, False), FixedPoint(35.0, True))
    assert cycle._settled(found, 30.0) == (35.0, 15.0)
    assert np.isnan(cycle._settled(found, 14.0)[0])


def test_a_forecast_counts_the_heels_that_run_away_and_bands_the_rest():
    # a low heel, long ahead: some draws run away, and the others still have a band
    foot = Profile.from_measures(47, 28, 95, 45, 105)
    law = HeelLaw(28.0, wear_mm_day=0.08)
    days = np.array([28.0, 77.0, 100.0])
    out = forecast(foot, days, np.random.default_rng(0), law=law, point_error_mm=0.8)
    assert out.ran_away_share[0] < out.ran_away_share[-1] < 0.5
    assert np.all(np.diff(out.heel_angle_deg, axis=0) >= 0)
    assert np.all(np.diff(out.heel_angle_deg[1]) < 0)
    assert np.all(np.isfinite(out.toe_angle_deg))


def test_a_forecast_of_nothing_but_runaways_is_refused_in_words():
    foot = Profile.from_measures(47, 20, 95, 60, 105)
    law = HeelLaw(12.0, wear_mm_day=0.0, creep_deg_per_day_mpa=0.05)
    with pytest.raises(ValueError, match="runs away in every draw"):
        forecast(foot, 200, np.random.default_rng(0), law=law, draws=50, creep_factor=1.2)

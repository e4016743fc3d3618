"""What a foot's landmarks say, what they cannot say, and how it is refused."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.profile import (
    MEASURES,
    Profile,
    error_of,
    line_angle_deg,
    line_departures,
    seen_points,
    with_error,
)

POINTS = {
    "toe_ground": (110.0, 0.0),
    "toe_coronet": (58.0, 67.0),
    "heel_ground": (0.0, 0.0),
    "heel_coronet": (-25.0, 24.0),
}
EXTRA = {
    "pastern_low": (20.0, 95.0),
    "pastern_high": (-20.0, 150.0),
    "bulb": (-40.0, 15.0),
    "widest_point": (62.0, 0.0),
}
FOOT = Profile.from_measures(52, 40, 85, 35, 110)


def seen_by(foot: Profile, **camera) -> Profile:
    """The foot as a photograph shows it."""
    return Profile(**{name: seen_points(at, **camera) for name, at in foot.landmarks.items()})


def test_the_measures_are_those_they_were_made_from():
    foot = Profile.from_measures(52, 140, 85, 20, 110)  # a heel past upright
    got = [foot.toe_angle_deg, foot.heel_angle_deg, foot.toe_length_mm, foot.heel_length_mm]
    assert got == pytest.approx([52, 140, 85, 20], rel=1e-12)
    assert foot.bearing_length_mm == pytest.approx(110)
    assert foot.angle_gap_deg == pytest.approx(52 - 140)
    assert type(foot.toe_angle_deg) is float


def test_a_square_of_points_has_the_angles_of_a_square():
    foot = Profile((4.0, 0.0), (4.0, 3.0), (0.0, 0.0), (0.0, 3.0))
    assert (foot.toe_angle_deg, foot.heel_angle_deg, foot.coronet_angle_deg) == (90, 90, 0)
    assert (foot.toe_length_mm, foot.heel_length_mm, foot.bearing_length_mm) == (3, 3, 4)
    assert (foot.height_ratio, foot.toe_height_mm, foot.heel_height_mm) == (1, 3, 3)
    assert foot.heel_overhang_mm == 0


def test_optional_landmarks_give_their_measures():
    foot = Profile(**POINTS, **EXTRA)
    pastern = np.degrees(np.arctan2(55, 40))
    assert foot.pastern_angle_deg == pytest.approx(pastern)
    assert foot.axis_deviation_deg == pytest.approx(pastern - foot.toe_angle_deg)
    assert foot.axis_deviation_deg > 0  # hoof flatter than pastern: broken back
    assert (foot.bulb_overhang_mm, foot.heel_support_mm, foot.heel_overhang_mm) == (40, 62, 25)
    assert set(foot.landmarks) == {*POINTS, *EXTRA}


@pytest.mark.parametrize(
    ("measure", "landmark"),
    [
        ("pastern_angle_deg", "pastern_high"),
        ("axis_deviation_deg", "pastern_high"),
        ("bulb_overhang_mm", "bulb"),
        ("heel_support_mm", "widest_point"),
    ],
)
def test_a_measure_without_its_landmark_says_which(measure, landmark):
    with pytest.raises(ValueError, match=f"needs the landmark {landmark}"):
        getattr(Profile(**POINTS), measure)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"toe_ground": (0.0, 0.0)}, "two different points"),
        ({"toe_coronet": (110.0, 0.0)}, "the toe has no length"),
        ({"heel_coronet": (0.0, 0.0)}, "the heel has no length"),
        ({"toe_ground": (-110.0, 0.0)}, "facing='left'"),
        ({"toe_ground": (110.0, 120.0)}, "less than 45 degrees"),
        ({"toe_coronet": (58.0, -67.0)}, "toe_coronet must lie above the bearing surface"),
        ({"heel_coronet": (-25.0, -24.0)}, "rows count downwards"),
        ({"heel_coronet": (60.0, 70.0)}, "crossed"),
        ({"toe_coronet": (-10.0, 100.0), "heel_coronet": (-11.0, 300.0)}, "walls? .*cross"),
        ({"pastern_low": (20.0, 95.0)}, "together"),
        (
            {"pastern_low": (0.0, 95.0), "pastern_high": (-20.0, 90.0)},
            "pastern_high must lie above",
        ),
        ({"toe_ground": (110.0, 0.0, 0.0)}, "toe_ground must hold 2 coordinates"),
        ({"toe_ground": (np.nan, 0.0)}, "toe_ground must be finite"),
        ({"toe_ground": np.ones((3, 2)), "heel_ground": np.zeros((2, 2))}, "do not go together"),
    ],
)
def test_impossible_landmarks_are_refused_in_words(change, message):
    with pytest.raises(ValueError, match=message):
        Profile(**{**POINTS, **change})


def test_a_refusal_names_the_foot():
    toes = np.array([[110.0, 0.0], [-110.0, 0.0]])
    with pytest.raises(ValueError, match="at index 1"):
        Profile(**{**POINTS, "toe_ground": toes})


def test_a_foot_facing_left_is_the_mirror_of_one_facing_right():
    mirrored = {name: (-x, z) for name, (x, z) in POINTS.items()}
    left = Profile.from_points(facing="left", **mirrored)
    right = Profile.from_points(**POINTS)
    assert all(getattr(left, name) == getattr(right, name) for name in MEASURES)
    with pytest.raises(ValueError, match="facing must be one of"):
        Profile.from_points(facing="north", **POINTS)
    with pytest.raises(ValueError, match="facing='left'"):
        Profile.from_points(**mirrored)


def test_many_feet_at_once_and_one_out_of_many():
    feet = Profile.from_measures([52.0, 48.0, 60.0], [40.0, 30.0, 58.0], 85, 35, 110)
    assert feet.shape == (3,)
    assert feet.pick(1).heel_angle_deg == pytest.approx(30)
    assert feet.pick(slice(0, 2)).shape == (2,)
    assert Profile(**POINTS, **EXTRA).shape == ()
    with pytest.raises(ValueError, match="index must be a place"):
        feet.pick(3)
    with pytest.raises(ValueError, match="index must be a place"):
        feet.pick(0).pick(0)


def test_landmarks_cannot_be_changed_behind_the_profiles_back():
    mine = np.array([110.0, 0.0])
    foot = Profile(**{**POINTS, "toe_ground": mine})
    mine[0] = 50.0
    assert foot.bearing_length_mm == 110
    with pytest.raises(ValueError, match="read-only"):
        foot.toe_ground[0] = 1.0


def test_draws_scatter_about_the_foot_and_are_repeatable():
    one, two = (with_error(FOOT, 0.5, 500, np.random.default_rng(3)) for _ in range(2))
    assert one.shape == (500,)
    assert np.array_equal(one.toe_ground, two.toe_ground)
    assert np.mean(one.toe_ground, axis=0) == pytest.approx(FOOT.toe_ground, abs=0.1)
    assert np.std(one.toe_ground) > 0
    feet = Profile.from_measures([52.0, 48.0], 40, 85, 35, 110)
    assert with_error(feet, [0.1, 0.4], 7, np.random.default_rng(1)).shape == (7, 2)


def test_an_error_larger_than_the_foot_is_refused_not_hidden():
    with pytest.raises(ValueError, match=r"too large for this foot: \d+ of 1000 draws"):
        with_error(FOOT, 25.0, 1000, np.random.default_rng(1))
    for wrong in (-1.0, np.nan):
        with pytest.raises(ValueError, match="point_error_mm"):
            with_error(FOOT, wrong, 10, np.random.default_rng(1))
    with pytest.raises(ValueError, match="draws must be a whole number"):
        with_error(FOOT, 1.0, 0, np.random.default_rng(1))
    with pytest.raises(ValueError, match="do not go together"):
        with_error(Profile.from_measures([52, 50], 40, 85, 35, 110), [1, 1, 1], 10, None)


def test_the_error_of_a_measure_is_refused_where_it_has_none():
    with pytest.raises(ValueError, match="measure must be one of"):
        error_of(FOOT, "toe_colour", 1.0)
    with pytest.raises(ValueError, match="needs the landmark"):
        error_of(FOOT, "axis_deviation_deg", 1.0)
    feet = Profile.from_measures([52, 50], 40, [85, 42.5], 35, 110)
    errors = error_of(feet, "toe_length_mm", [1.0, 2.0])
    # each end errs along the wall: sqrt(2) times the point error, whatever the length
    assert errors == pytest.approx(np.sqrt(2) * np.array([1.0, 2.0]), rel=1e-6)


def test_a_square_camera_changes_nothing_and_scale_changes_lengths_only():
    same = seen_by(FOOT)
    assert same.toe_coronet == pytest.approx(FOOT.toe_coronet)
    large = seen_by(FOOT, scale_error=0.1)
    assert large.toe_length_mm == pytest.approx(1.1 * FOOT.toe_length_mm)
    assert large.toe_angle_deg == pytest.approx(FOOT.toe_angle_deg)


def test_roll_shows_in_the_ground_line_and_in_nothing_else():
    rolled = seen_by(FOOT, roll_deg=7)
    assert rolled.bearing_tilt_deg == pytest.approx(7)
    for name in MEASURES:
        assert getattr(rolled, name) == pytest.approx(getattr(FOOT, name))


def test_many_cameras_at_once():
    assert seen_by(FOOT, yaw_deg=[0, 10, 20]).shape == (3,)
    with pytest.raises(ValueError, match="do not go together"):
        seen_points(np.zeros((2, 2)), yaw_deg=[0, 10, 20])


@pytest.mark.parametrize(
    ("camera", "message"),
    [
        ({"yaw_deg": 85}, "yaw_deg must be between -80 and 80"),
        ({"look_down_deg": -90}, "look_down_deg must be between"),
        ({"roll_deg": 50}, "roll_deg must be between"),
        ({"scale_error": -1}, "scale_error must be above -1"),
        ({"distance_mm": 0}, "distance_mm must be above 0"),
        ({"distance_mm": 40, "yaw_deg": 60}, "in front of the camera"),
        ({"aim_mm": 3.0}, "aim_mm must hold 2 coordinates"),
    ],
)
def test_impossible_cameras_are_refused(camera, message):
    with pytest.raises(ValueError, match=message):
        seen_by(FOOT, **camera)


def test_a_near_camera_makes_the_near_end_larger():
    # the camera has gone round to the toe: what is nearer to the toe is drawn larger
    near = seen_by(FOOT, yaw_deg=30, distance_mm=600, aim_mm=(55, 0))
    far = seen_by(FOOT, yaw_deg=30, aim_mm=(55, 0))
    assert near.toe_length_mm > far.toe_length_mm
    assert near.heel_length_mm < far.heel_length_mm


def test_a_straight_line_stays_straight():
    camera = {"yaw_deg": 20, "look_down_deg": 12, "roll_deg": -4, "scale_error": 0.03}
    camera |= {"distance_mm": 900, "aim_mm": (45, 50)}
    line = np.linspace(FOOT.toe_ground, FOOT.toe_coronet, 9)
    along = seen_points(line, **camera) - seen_points(FOOT.toe_ground, **camera)
    assert np.abs(np.linalg.det(np.stack([along[1:], np.tile(along[-1], (8, 1))], 1))).max() < 1e-9
    with pytest.raises(ValueError, match="points_mm must hold 2 coordinates"):
        seen_points([1.0, 2.0, 3.0])


def test_the_models_lines_turn_from_toe_to_heel():
    angles = line_angle_deg(FOOT, [0, 0.25, 1])
    assert angles == pytest.approx([52, 49, 40])
    feet = Profile.from_measures([52, 60], [40, 60], 85, 35, 110)
    assert line_angle_deg(feet, 0.5) == pytest.approx([46, 60])
    with pytest.raises(ValueError, match="fraction must be between 0 and 1"):
        line_angle_deg(FOOT, 1.2)


def test_lines_of_the_model_itself_depart_from_it_nowhere():
    fraction = np.array([0.0, 0.3, 0.6, 1.0])
    angle = np.radians(line_angle_deg(FOOT, fraction))
    start = np.stack([110 * (1 - fraction), np.zeros(4)], axis=-1)
    end = start + 20 * np.stack([-np.cos(angle), np.sin(angle)], axis=-1)
    lines = line_departures(FOOT, start, end, 0.5)
    assert lines.fraction == pytest.approx(fraction, abs=1e-9)
    assert lines.departure_deg == pytest.approx(0, abs=1e-9)
    assert lines.error_deg == pytest.approx(np.degrees(np.sqrt(2) * 0.5 / 20))
    back = line_departures(FOOT, end, start)  # a line has no sense
    assert back.angle_deg == pytest.approx(lines.angle_deg)


def test_a_flatter_line_departs_downwards():
    line = line_departures(FOOT, (2, 5), (-10, 12))
    assert type(line.departure_deg) is float
    assert line.departure_deg < 0


@pytest.mark.parametrize(
    ("start", "end", "message"),
    [
        ((50, 10), (50, 10), "no length"),
        ((200, 10), (190, 20), "outside the foot"),
        ((-90, 10), (-95, 20), "outside the foot"),
        ((50, -30), (45, -20), "outside the foot"),
    ],
)
def test_lines_off_the_wall_are_refused(start, end, message):
    with pytest.raises(ValueError, match=message):
        line_departures(FOOT, start, end)


def test_lines_are_held_against_one_foot():
    with pytest.raises(ValueError, match="one foot"):
        line_departures(Profile.from_measures([52, 50], 40, 85, 35, 110), (50, 10), (45, 20))


def test_a_hairline_that_rises_to_the_heel_has_a_negative_angle():
    """By construction: 10 mm up over 50 mm back is minus arctan(1/5)."""
    foot = Profile((100, 0), (55, 40), (0, 0), (5, 50))
    assert foot.coronet_angle_deg == pytest.approx(-np.degrees(np.arctan(1 / 5)))
    falls = Profile((100, 0), (55, 50), (0, 0), (5, 40))
    assert falls.coronet_angle_deg == pytest.approx(np.degrees(np.arctan(1 / 5)))

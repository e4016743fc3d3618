"""The hand's own share of what readings part by: known hands, published tables, and its use."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from hoofcalc.case.case import Case, add_visit, new_case, read_visit
from hoofcalc.case.hand import HAND_FILE, for_few, read_hand, save_hand
from hoofcalc.case.landmarks import PlacedPicture, from_the_side, save_picture
from hoofcalc.case.measure import measure
from hoofcalc.case.repeatability import repeatability, repeated_in_words, repeated_readings
from hoofcalc.case.storage import CaseError
from hoofcalc.case.synthetic.drawn_photograph import SQUARE_MM, STICK_MM, Camera, true_points
from hoofcalc.profile import Profile

CASE = Case(horse="Otterby", foot="right fore", mass_kg=505.0, invented=True)
FOOT = Profile.from_measures(50, 38, 85, 38, 110)
CAMERA = Camera(width_px=4032, height_px=3024, middle_mm=(0.0, 85.0))
FRAMES = {
    "length": ("scale_start", "scale_end", "level_start", "level_end"),
    "square": ("square_1", "square_2", "square_3", "square_4"),
}
MARKS = ("toe_ground", "toe_coronet", "heel_ground", "heel_coronet")


def placed(rng, sd_px, *, times=3, way="length", found=False):
    """The true points of a photograph, missed by a hand; a found square stands in one placing."""
    at = true_points(FOOT)

    def once(number):
        frame = () if found and number else FRAMES[way]
        off = {name: 0.0 if found and name in frame else sd_px for name in (*frame, *MARKS)}
        return {
            name: tuple(map(float, CAMERA.to_px(at[name]) + sd * rng.standard_normal(2)))
            for name, sd in off.items()
        }

    return PlacedPicture(
        view="side",
        file="IMG_0001.jpg",
        width_px=4032,
        height_px=3024,
        way=way,
        known_mm=SQUARE_MM if way == "square" else STICK_MM,
        corner_error_px=0.3 if found else None,
        placings=tuple(once(number) for number in range(times)),
    )


def case_of(folder, pictures):
    new_case(folder, CASE)
    for number, picture in enumerate(pictures):
        day = date(2026, 3, 1 + number)
        add_visit(folder, day, {"scale_error_percent": 0.0})
        save_picture(folder, str(day), picture)
    return folder


# ---- the statistics --------------------------------------------------------------------------


def test_a_known_hand_is_found_again():
    """2,000 photographs of feet 3 degrees apart, read twice with 0.8 degrees."""
    rng = np.random.default_rng(8)
    feet = rng.normal(50, 3.0, (2000, 1))
    found = repeatability(feet + rng.normal(0, 0.8, (2000, 2)))
    assert found.within == pytest.approx(0.8, rel=0.03)
    assert found.coefficient == pytest.approx(1.96 * np.sqrt(2) * 0.8, rel=0.03)
    assert found.icc == pytest.approx(9 / (9 + 0.64), abs=0.01)
    apart = rng.normal(0, 0.8, 100_000) - rng.normal(0, 0.8, 100_000)
    assert np.mean(np.abs(apart) < found.coefficient) == pytest.approx(0.95, abs=0.01)


def test_the_intraclass_correlation_of_a_published_table():
    """Six targets, four judges: ICC(1, 1) = 0.17.

    Shrout P.E. and Fleiss J.L. 1979, Intraclass correlations, Psychological Bulletin 86, 420-428
    (abstract and formula read; ratings from memory, their answer by the formula, beside it).
    """
    table = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    between, within = (
        4 * np.var(np.mean(table, axis=1), ddof=1),
        np.var(table, axis=1, ddof=1).mean(),
    )
    assert repeatability(table).icc == pytest.approx((between - within) / (between + 3 * within))
    assert round(repeatability(table).icc, 2) == 0.17


def test_repeatability_and_limits_of_published_readings():
    """Peak flow of 17 people, each read twice by one meter: 15.3 l/min within a person.

    First readings of two meters: mean difference -2.1 l/min with standard deviation 38.8. Bland
    J.M. and Altman D.G. 1986, Statistical methods for assessing agreement between two methods of
    clinical measurement, Lancet 327, 307-310 (readings as kept in a public package of statistics,
    read; mean and standard deviation follow from them).
    """
    first = (494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427)
    second = (490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421)
    other = (512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451)
    assert round(repeatability(np.transpose([first, second])).within, 1) == 15.3
    between = repeatability(np.transpose([other, first]))
    assert round(between.bias, 1) == -2.1
    assert (between.high - between.low) / 2 / 1.96 == pytest.approx(38.8, abs=0.05)


def test_a_hand_that_shifts_shows_in_the_limits():
    table = np.array([[50.0, 51.0], [44.0, 45.1], [48.0, 48.9], [52.0, 53.0]])
    found = repeatability(table)
    assert found.bias == pytest.approx(1.0)
    assert 0 < found.low < 1 < found.high


@pytest.mark.parametrize("table", [[[1.0, 2.0]], [[1.0], [2.0], [3.0]]])
def test_too_few_are_refused(table):
    with pytest.raises(ValueError, match="at least 3 photographs"):
        repeatability(table)


# ---- used from then on -----------------------------------------------------------------------


def test_placing_again_tells_the_hand(tmp_path):
    """30 photographs, placed three times by a hand of 3 pixels: its scatter, in angles and mm."""
    rng = np.random.default_rng(3)
    folder = case_of(tmp_path / "case", [placed(rng, 3.0) for _ in range(30)])
    _, readings, hand = repeated_readings(folder)
    assert readings["toe_angle_deg"].shape == (30, 3)
    assert (hand.photographs, hand.freedom, hand.all_again) == (30, 60, True)
    many = [measure_of(placed(rng, 3.0, times=1)) for _ in range(200)]
    # chance alone: 9 % of the one, 5 % of the other
    assert hand.within["heel_angle_deg"] == pytest.approx(np.std(many), rel=0.25)
    px_mm = CAMERA.distance_mm / CAMERA.focal_px
    assert hand.point_error_mm == pytest.approx(3.0 * px_mm, rel=0.1)


def measure_of(picture):
    return from_the_side(picture, "right", 0.5).profile.heel_angle_deg


def test_from_then_on_the_hand_stands_in_every_interval(tmp_path):
    rng = np.random.default_rng(4)
    pictures = [placed(rng, 4.0) for _ in range(3)] + [placed(rng, 4.0, times=1)]
    folder = case_of(tmp_path / "case", pictures)
    before = read_visit(folder, "2026-03-04")
    visits, readings, hand = repeated_readings(folder)
    assert visits == ["2026-03-01", "2026-03-02", "2026-03-03"]
    assert save_hand(folder, hand)
    again = read_hand(folder)
    assert vars(again) == vars(hand)
    # widened by Student's t, for six differences 2.447 (printed in any table of t)
    assert hand.stated_mm == pytest.approx(hand.point_error_mm * 2.447 / 1.960, rel=1e-3)
    after = read_visit(folder, "2026-03-04")
    for name in ("toe_angle_deg", "heel_angle_deg", "toe_length_mm", "heel_length_mm"):
        parts = after.parts[name]
        assert not {"points", "frame"} & set(parts)
        assert parts["hand"] == pytest.approx(hand.within[name] * for_few(6))
        for source in ("askew", "lens", "nearer", "heel"):
            assert parts[source] == before.parts[name][source]
        assert after.errors[name] == pytest.approx(np.linalg.norm([*parts.values()]))
        assert after.errors[name] != pytest.approx(before.errors[name], rel=1e-3)
        # what was placed three times is known by the root of three better
        thrice = read_visit(folder, "2026-03-01").parts[name]["hand"]
        assert thrice == pytest.approx(parts["hand"] / np.sqrt(3))
    said = "\n".join(measure(CASE, after).in_words())
    assert "your own hand, told by 3 photographs" in said
    assert "the stated" not in said
    assert "your own hand, as told by placing again" in said  # in the budget
    words = "\n".join(repeated_in_words(visits, readings))
    assert HAND_FILE in words
    assert "placed 3 times each" in words


def test_a_square_that_was_found_keeps_its_own_part(tmp_path):
    rng = np.random.default_rng(5)
    pictures = [placed(rng, 3.0, way="square", found=True) for _ in range(3)]
    folder = case_of(tmp_path / "case", pictures)
    before = read_visit(folder, "2026-03-01").parts["toe_angle_deg"]
    hand = repeated_readings(folder)[2]
    assert not hand.all_again
    save_hand(folder, hand)
    after = read_visit(folder, "2026-03-01").parts["toe_angle_deg"]
    assert after["frame"] == before["frame"]
    assert "points" not in after
    assert after["hand"] > 0


def test_two_photographs_or_equal_placings_tell_no_hand(tmp_path):
    rng = np.random.default_rng(6)
    folder = case_of(tmp_path / "two", [placed(rng, 3.0), placed(rng, 3.0)])
    with pytest.raises(CaseError, match="3 photographs from the side or more"):
        repeated_readings(folder)
    folder = case_of(tmp_path / "same", [placed(rng, 0.0) for _ in range(3)])
    with pytest.raises(CaseError, match="no hand does that"):
        repeated_readings(folder)


def test_a_damaged_hand_is_refused_in_words(tmp_path):
    rng = np.random.default_rng(7)
    folder = case_of(tmp_path / "case", [placed(rng, 3.0) for _ in range(3)])
    save_hand(folder, repeated_readings(folder)[2])
    text = (folder / HAND_FILE).read_text(encoding="utf-8")
    (folder / HAND_FILE).write_text(text.replace("toe_angle_deg =", "# toe_angle_deg ="))
    with pytest.raises(CaseError, match="toe_angle_deg and heel_angle_deg are needed"):
        read_visit(folder, "2026-03-01")


def test_no_hand_is_taken_to_be_finer_than_a_twentieth_of_a_millimetre(tmp_path):
    rng = np.random.default_rng(9)
    folder = case_of(tmp_path / "case", [placed(rng, 0.01) for _ in range(3)])
    assert repeated_readings(folder)[2].point_error_mm == 0.05


def test_a_photograph_that_was_placed_alike_each_time_counts_as_it_is(tmp_path):
    """Of three, one without any scatter: the hand is as fine as the three together say."""
    rng = np.random.default_rng(10)
    folder = case_of(tmp_path / "case", [placed(rng, sd) for sd in (3.0, 3.0, 0.0)])
    _, readings, hand = repeated_readings(folder)
    angles = readings["toe_angle_deg"]
    assert np.ptp(angles[2]) == pytest.approx(0.0, abs=1e-9)
    each = angles.var(axis=1, ddof=1)
    assert hand.within["toe_angle_deg"] == pytest.approx(np.sqrt(each.sum() / 3))

"""The wording and the strictness that every calculation's arguments share."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc._inputs import choice, numbers, plain, points, refuse_where, together


@pytest.mark.parametrize(
    "value", [True, "52", None, 1j, [[1, 2], [3]], {"a": 1}, np.datetime64("2026-01-01")]
)
def test_what_is_not_a_number_is_refused_by_name(value):
    with pytest.raises(ValueError, match="toe_angle_deg must be a number"):
        numbers("toe_angle_deg", value)


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_nan_and_infinity_are_refused(value):
    with pytest.raises(ValueError, match="length_mm must be finite"):
        numbers("length_mm", [1.0, value])


def test_the_message_names_argument_value_and_limits():
    with pytest.raises(
        ValueError, match=r"^wall_angle_deg must be between 0 and 180 \(got 212.0\)$"
    ):
        numbers("wall_angle_deg", 212.0, at_least=0, at_most=180)
    with pytest.raises(ValueError, match=r"^mass_kg must be above 0 \(got -1.0 at index 2\)$"):
        numbers("mass_kg", [5, 3, -1], above=0)
    with pytest.raises(ValueError, match=r"^count must be a whole number at least 1 \(got 2.5\)$"):
        numbers("count", 2.5, at_least=1, whole=True)
    with pytest.raises(ValueError, match=r"at index \(1, 0\)"):
        numbers("mass_kg", [[1.0], [0.0]], above=0)


def test_points_need_their_last_axis():
    with pytest.raises(ValueError, match="start must hold 2 coordinates"):
        points("start", [1.0, 2.0, 3.0], 2)
    with pytest.raises(ValueError, match="start must hold 2 coordinates"):
        points("start", 1.0, 2)


def test_plain_gives_a_number_for_a_number_and_keeps_arrays():
    assert type(plain(np.float64(2.0))) is float
    assert plain(np.ones(3)).shape == (3,)


def test_choice_and_together_pass_what_is_right():
    assert choice("loaded_end", "free", ("held", "free")) == "free"
    a, b = together(a=np.ones((3, 1)), b=np.ones(2))
    assert a.shape == b.shape == (3, 2)


def test_the_first_offender_and_its_place_are_named():
    refuse_where(np.array([False, False]), "never said")
    with pytest.raises(ValueError, match=r"^20 N on 3 mm is too much, at index 1$"):
        refuse_where([False, True, True], "{force_n} N on {length_mm} mm is too much",
                     force_n=[10, 20, 30], length_mm=3)  # fmt: skip
    with pytest.raises(ValueError, match=r"^7 N is too much$"):
        refuse_where(True, "{force_n} N is too much", force_n=7)
    with pytest.raises(ValueError, match=r"at index \(1, 0\)$"):
        refuse_where([[False], [True]], "{force_n} N is too much", force_n=7)


def test_the_quick_way_through_is_as_strict_as_the_slow_one():
    assert numbers("mass_kg", [], above=0).shape == (0,)
    assert numbers("mass_kg", [0.0, 1.0], at_least=0, at_most=1).tolist() == [0.0, 1.0]
    for limits in ({"at_least": 1}, {"above": 1}, {"at_most": -1}, {"below": -1}):
        with pytest.raises(ValueError, match="at index 0"):
            numbers("mass_kg", [0.0, *limits.values()], **limits)
    for strict in ({"above": 1}, {"below": 1}):
        with pytest.raises(ValueError, match="mass_kg must be"):
            numbers("mass_kg", 1.0, **strict)
    for bad in (np.nan, np.inf, -np.inf):
        with pytest.raises(ValueError, match=r"mass_kg must be finite .* at index 1"):
            numbers("mass_kg", [1.0, bad, 2.0], above=0)


def test_what_comes_in_is_never_handed_out_again():
    mine = np.ones(3)
    numbers("mass_kg", mine)[0] = 5
    assert mine[0] == 1

"""Answers are read kindly: the same answer in many forms, and nothing that means another."""

from __future__ import annotations

import pytest

from hoofcalc.classroom.model.forms import FormError, NotBegunError, read_letter, read_number
from hoofcalc.classroom.model.plain_data import plain
from hoofcalc.classroom.model.variants import variant_of

OPTIONS = {"A": "the long stick", "B": "the short stick", "C": "both alike"}


@pytest.mark.parametrize(
    "written",
    [
        *("B", "b", " B ", "(B)", "B.", "b)", '"B"', "'b'", "\u201eB\u201c"),
        *("\uff22", "\u0412", "\u0392", "B\u200b", "\u00a0B", "\ufeffb"),
        *("B: the short stick", "B - the short stick", "B the short stick", "b) short stick"),
        *("the short stick", "The Short Stick", "B, because it is shorter", ["B"], ("b",)),
    ],
)
def test_a_letter_in_many_forms(written: object) -> None:
    assert read_letter(plain(written), OPTIONS) == "B"


@pytest.mark.parametrize(
    "written",
    [
        *("D", "AB", "A or B", "stick", "A stick that is short", "B: the long stick", "B/C"),
        *("A steep heel", "no idea", "a the short stick"),
    ],
)
def test_what_may_mean_another_letter_is_not_guessed(written: str) -> None:
    with pytest.raises(FormError, match="letters A, B, C"):
        read_letter(plain(written), OPTIONS)


@pytest.mark.parametrize("written", ["", " ", "\u200b", '""', None, ...])
def test_no_letter_is_not_begun(written: object) -> None:
    with pytest.raises(NotBegunError):
        read_letter(plain(written), OPTIONS)


@pytest.mark.parametrize(
    ("written", "value"),
    [
        *(("12.5", 12.5), ("12,5", 12.5), (" 12,5 ", 12.5), ("-0,25", -0.25), ("\u22123", -3.0)),
        *(("1e3", 1000.0), ("+7", 7.0), (",5", 0.5), ("5.", 5.0), ("\uff11\uff12", 12.0)),
        *(("0,125", 0.125), ("12\u200b,5", 12.5)),
    ],
)
def test_a_number_written_as_text(written: str, value: float) -> None:
    assert read_number(plain(written)) == value


@pytest.mark.parametrize(
    "written", ["12 mm", "1 2", "12.5.1", "--3", "1e", "0x10", "twelve", "12,5,1"]
)
def test_what_is_no_plain_number_is_not_guessed(written: str) -> None:
    with pytest.raises(FormError, match="text"):
        read_number(plain(written))


def test_blanks_that_nobody_sees_do_not_make_another_id() -> None:
    assert variant_of("an\u200bna\u00a0", "04-columns", 60) == variant_of("anna", "04-columns", 60)

"""What a learner sees while working: own numbers, and a message at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from hoofcalc.classroom import open_exercise
from hoofcalc.classroom.model.bins import bin_of, bins_near, is_near
from hoofcalc.classroom.model.variants import tidy_id, variant_of


@pytest.fixture
def task():
    return open_exercise("04-columns", "anna")


def test_an_empty_id_gives_numbers_to_practise_with() -> None:
    practice = open_exercise("04-columns", "  ")
    assert "practise" in repr(practice)
    assert vars(practice.numbers) != vars(open_exercise("04-columns", "anna").numbers)
    assert "<table>" in practice._repr_html_()


@pytest.mark.parametrize("written", ["anna", " Anna ", "ANNA", "ａｎｎａ"])
def test_an_id_may_be_typed_in_any_way(written: str) -> None:
    assert variant_of(written, "04-columns", 60) == variant_of("anna", "04-columns", 60)


def test_ids_of_other_kinds_and_signs_are_taken() -> None:
    assert repr(open_exercise("04-columns", 1742)).startswith("Your own numbers, 1742.")
    assert tidy_id("Straße") == tidy_id("STRASSE")
    odd = open_exercise("04-columns", "<b>x</b>")
    assert "<b>x" not in odd._repr_html_()


@pytest.mark.parametrize(
    ("answer", "state", "words"),
    [
        (..., "not begun", "filled in"),
        (None, "not begun", "filled in"),
        (True, "keep going", "True or False"),
        ("300 mm", "keep going", "quotation marks"),
        ("1.234,5", "keep going", "two ways"),
        ("many", "keep going", "text where a number belongs"),
        ((12, 5), "keep going", "with a point"),
        ([1.0, 2.0, 3.0], "keep going", "3 values"),
        (float("nan"), "keep going", "not a number"),
        (float("inf"), "keep going", "divided by zero"),
        (-4, "keep going", "below zero"),
        (1e12, "keep going", "far too large"),
        (1e-12, "keep going", "far too small"),
        pytest.param(10**5000, "keep going", "plain value", id="5000 digits"),
        (10**400, "keep going", "too large"),
        (print, "keep going", "Call it"),
        ({"a": 1}, "keep going", "collection"),
        (object(), "keep going", "plain value"),
        (123.456, "keep going", "Two steps"),
    ],
)
def test_a_number_of_the_wrong_kind_is_told_so(task, answer, state: str, words: str) -> None:
    said = task.check("1", answer)
    assert said.state == state, repr(said)
    assert words in repr(said)
    assert "<strong>" in said._repr_html_()


@pytest.mark.parametrize(
    ("letters", "state", "words"),
    [
        (("", ""), "not begun", "filled in"),
        ((3, ""), "keep going", "letters A, B, C"),
        (("E", "R"), "keep going", "letters A, B, C"),
    ],
)
def test_a_choice_of_the_wrong_kind_is_told_so(task, letters, state: str, words: str) -> None:
    said = task.check("3", *letters)
    assert (said.state, words in repr(said)) == (state, True)


def test_each_letter_gets_a_message_and_a_reason_is_asked_for(task) -> None:
    said = {letter: task.check("3", letter, "") for letter in "ABC"}
    right = [letter for letter, message in said.items() if "choice is right" in message.words]
    assert len(right) == 1
    assert "reason is still missing" in said[right[0]].words
    assert {message.state for message in said.values()} == {"nearly"}
    reasons = {reason: task.check("3", right[0], reason) for reason in "PQRS"}
    assert sorted(one.state for one in reasons.values()) == ["nearly"] * 3 + ["right"]
    assert len({one.words for one in reasons.values()}) == 4


def test_a_function_is_tried_on_its_examples(task) -> None:
    assert task.check("6", ...).state == "not begun"
    assert task.check("6", lambda *_: ...).state == "not begun"
    assert "name without brackets" in repr(task.check("6", 3))
    assert "stops: ZeroDivisionError" in repr(task.check("6", lambda *_: 1 / 0))
    assert "it should be about" in repr(task.check("6", lambda *_: 1.0))
    assert "gives nothing back" not in repr(task.check("6", lambda *_: None))


def test_questions_and_numbers_that_are_not_there_are_told(task) -> None:
    assert "called 1, 2, 3" in repr(task.check("9", 1))
    assert task.check("5").state in ("not begun", "waiting")
    with pytest.raises(AttributeError, match="There are: stick_length_mm"):
        _ = task.numbers.length


@pytest.mark.parametrize("kind", ["relative", "absolute"])
@pytest.mark.parametrize("value", [-1e6, -3.2, -1e-9, 1e-9, 0.5, 1.0, 12345.6])
def test_no_value_within_reach_misses_its_bins(kind: str, value: float) -> None:
    width = 0.02
    bins = bins_near(value, width, width, kind)
    span = width * (abs(value) if kind == "relative" else 1)
    for part in range(-100, 101):
        assert bin_of(value + part / 100 * span, width, kind) in bins
    assert len(bins) <= 7
    reach = 1.5 * 1.001 * span  # half the tolerance further, and no more
    assert not is_near(value + reach, value, width, width, kind)
    assert not is_near(value - reach, value, width, width, kind)


@pytest.mark.parametrize("kind", ["relative", "absolute"])
def test_nought_is_near_to_nothing_but_itself(kind: str) -> None:
    assert is_near(0.0, 0.0, 0.01, 0.01, kind)
    assert is_near(-0.0, 0.0, 0.01, 0.01, kind)
    assert not is_near(1.0, 0.0, 0.01, 0.01, kind)
    assert not is_near(0.0, 1.0, 0.01, 0.01, kind)


def test_the_hints_need_nothing_but_what_a_learner_has(tmp_path: Path) -> None:
    """In a fresh Python the learner's side loads neither nbgrader nor a plotting library."""
    code = (
        "import sys; from hoofcalc.classroom import open_exercise; "
        "open_exercise('04-columns', 'anna').check('1', 3); "
        "print([m for m in ('nbgrader', 'matplotlib', 'IPython', 'scipy') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"

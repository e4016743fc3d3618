"""Every key: truths, slips and messages hold together, for every set of numbers and any id."""

from __future__ import annotations

import re
from fractions import Fraction

import numpy as np
import pytest

from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.model.judge import HandedIn, deciding_calls, judge, judge_all
from hoofcalc.classroom.model.questions import Choice, Function, Number, Numbers, Written
from hoofcalc.classroom.model.variants import variant_of
from hoofcalc.classroom.model.working import Task, _read_hints
from hoofcalc.classroom.sandbox.worker import plain

IDS = [f"learner {number}" for number in range(1000)]


def right_answers(assignment: Assignment, numbers: Numbers, form=float) -> HandedIn:
    """What a learner who does everything right hands over."""
    values, results = {}, {}
    for question in assignment.exercise.questions:
        if isinstance(question, Number):
            values[question.answers[0]] = plain(form(question.truth(numbers)))
        elif isinstance(question, Choice):
            letters = (question.truth(numbers), question.right_reason)
            values |= dict(zip(question.answers, map(plain, letters), strict=True))
        elif isinstance(question, Function):
            values[question.call] = {"is": "a function"}
            calls = deciding_calls(assignment.exercise, numbers)[question.call]
            results[question.call] = [plain(question.truth(*inputs)) for inputs in calls]
    return HandedIn(values, results)


def test_the_right_answers_score_full_for_a_thousand_ids(assignment: Assignment) -> None:
    """An id counts by its set of numbers alone, so each set is judged once."""
    for variant in {assignment.variant(learner) for learner in IDS}:
        numbers = assignment.variants[variant]
        verdicts = judge_all(assignment.exercise, right_answers(assignment, numbers), numbers)
        for question in assignment.exercise.questions:
            verdict = verdicts[question.name]
            if not isinstance(question, Written):
                assert (verdict.state, verdict.points) == ("right", question.points), (
                    variant,
                    verdict,
                )


def three_digits(value: float) -> float:
    return float(f"{value:.3g}")


FORMS = {
    "float": float,
    "three digits": three_digits,
    "numpy scalar": np.float64,
    "numpy float32": np.float32,
    "list": lambda value: [value],
    "array": lambda value: np.array([value]),
    "0-d array": np.array,
    "nested": lambda value: [[value]],
    "fraction": lambda value: Fraction(value).limit_denominator(10**6) or Fraction(value),
    "long double": np.longdouble,
    "text": str,
    "text with a comma": lambda value: f"{value:.9g}".replace(".", ","),
    "text with blanks that nobody sees": lambda value: f"\u200b{value!r}\u00a0",
    "wide text": lambda value: f"{value:.9g}".translate(
        {ord(one): ord(one) + 0xFEE0 for one in "0123456789.-"}
    ),
    "whole number where it is near": lambda value: round(value) if value > 200 else value,
}


@pytest.mark.parametrize("form", FORMS)
def test_no_right_answer_in_any_form_is_accused(assignment: Assignment, form: str) -> None:
    for numbers in assignment.variants:
        handed = right_answers(assignment, numbers, FORMS[form])
        for question in assignment.exercise.questions:
            if isinstance(question, Number):
                assert judge(question, handed, numbers).state == "right", (numbers, question.name)


def test_every_slip_is_named_for_every_set_of_numbers(assignment: Assignment) -> None:
    for numbers in assignment.variants:
        for question in assignment.exercise.questions:
            if isinstance(question, Number):
                for slip in question.slips:
                    handed = HandedIn({question.answers[0]: plain(slip.value(numbers))}, {})
                    verdict = judge(question, handed, numbers)
                    assert (verdict.state, verdict.slip) == ("nearly", slip.name)
                    assert verdict.points == slip.points < question.points
            if isinstance(question, Choice):
                for slip in question.slips:
                    handed = HandedIn({question.answers[0]: plain(slip.value(numbers))}, {})
                    assert judge(question, handed, numbers).slip == slip.name


def test_every_slip_in_a_function_is_named_and_costs_points(assignment: Assignment) -> None:
    for numbers in assignment.variants:
        for question in assignment.exercise.questions:
            if not isinstance(question, Function):
                continue
            for slip in question.slips:
                calls = deciding_calls(assignment.exercise, numbers)[question.call]
                results = {question.call: [plain(slip.value(*inputs)) for inputs in calls]}
                handed = HandedIn({question.call: {"is": "a function"}}, results)
                verdict = judge(question, handed, numbers)
                assert verdict.slip == slip.name, (slip.name, verdict)
                assert verdict.points < question.points


def test_a_slip_in_a_function_is_named_while_working(assignment: Assignment) -> None:
    task = Task(_hints(assignment), "anna")
    for question in assignment.exercise.questions:
        if isinstance(question, Function):
            for slip in question.slips:
                said = task.check(question.name, slip.value)
                assert said.state == "nearly", (slip.name, repr(said))
                assert slip.message in said.words


def test_choices_depend_on_the_learner(assignment: Assignment) -> None:
    """No letter is right for nearly everyone, so that neighbours compare methods."""
    for question in assignment.exercise.questions:
        if isinstance(question, Choice):
            letters = [question.truth(numbers) for numbers in assignment.variants]
            assert set(letters) == set(question.options)
            assert max(letters.count(letter) for letter in letters) < 0.6 * len(letters)


def test_ids_spread_over_all_sets_of_numbers(assignment: Assignment) -> None:
    drawn = [assignment.variant(learner) for learner in IDS]
    assert set(drawn) == set(range(1, len(assignment.variants)))
    assert len({tuple(numbers.items()) for numbers in assignment.variants}) == len(
        assignment.variants
    )


def test_an_id_keeps_its_numbers_on_every_python_and_system() -> None:
    """Written down once; a change would give a class in mid-term other numbers."""
    known = {"anna": 14, "Jörg M. Vogelsang": 30, "17-442": 15}
    assert {one: variant_of(one, "04-columns", 60) for one in known} == known


def test_no_message_gives_the_answer_away(assignment: Assignment) -> None:
    entries = _hints(assignment)["questions"].values()
    words = str([(entry.get("messages"), entry.get("keep_going")) for entry in entries])
    whole = str(entries)
    for numbers in assignment.variants:
        for question in assignment.exercise.questions:
            if isinstance(question, Number):
                truth = question.truth(numbers)
                assert not any(f"{truth:.{digits}g}" in words for digits in (4, 6))
                there = repr(truth) in whole and re.search(
                    rf"(?<![\d.]){re.escape(repr(truth))}(?!\d)", whole
                )
                # values that functions are tried on are made of the numbers for practice
                assert not there or truth == round(truth) or numbers is assignment.variants[0]


def test_the_reference_looks_right_while_working(assignment: Assignment) -> None:
    hints = _hints(assignment)
    for learner in IDS[:40]:
        task = Task(hints, learner)
        numbers = assignment.variants[assignment.variant(learner)]
        for question in assignment.exercise.questions:
            if isinstance(question, Number):
                said = task.check(question.name, question.truth(numbers))
            elif isinstance(question, Choice):
                said = task.check(question.name, question.truth(numbers), question.right_reason)
            elif isinstance(question, Function):
                said = task.check(question.name, question.truth)
            else:
                continue
            assert said.state == "right", (question.name, repr(said))
            assert said.note == "" or "hand in" in said.note


def _hints(assignment: Assignment):
    import json

    return json.loads(assignment.files["hints.json"])


def test_damaged_hints_are_said_in_words(tmp_path) -> None:
    broken = tmp_path / "hints.json"
    broken.write_text("{")
    with pytest.raises(ValueError, match="damaged; take it afresh"):
        _read_hints(broken)
    broken.write_text('{"layout": 99}')
    with pytest.raises(ValueError, match="newer than this hoofcalc"):
        _read_hints(broken)

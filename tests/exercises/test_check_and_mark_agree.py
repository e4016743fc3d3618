"""What the check says while working is what the mark will say, in the same words."""

from __future__ import annotations

import itertools
import json
import math
import random
from collections.abc import Callable, Iterator

import numpy as np
import pytest

from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.model.common_slips import COMMON_SLIPS
from hoofcalc.classroom.model.judge import (
    HandedIn,
    Verdict,
    deciding_calls,
    judge,
    simple_guesses,
)
from hoofcalc.classroom.model.plain_data import plain
from hoofcalc.classroom.model.questions import Choice, Function, Number, Numbers
from hoofcalc.classroom.model.working import Task


def questions_of(assignment: Assignment, kind: type) -> list:
    return [one for one in assignment.exercise.questions if isinstance(one, kind)]


def some_sets(assignment: Assignment) -> Iterator[tuple[Task, Numbers]]:
    """Every twelfth set of numbers with the task of somebody who has it."""
    hints = json.loads(assignment.files["hints.json"])
    for variant, numbers in list(enumerate(assignment.variants))[::12]:
        task = Task(hints, "")
        task._variant = variant
        yield task, numbers


def answers_to(question: Number, numbers: Numbers, dice: random.Random) -> Iterator[float]:
    """Right, nearly right, slipped, off by what is common, and anything."""
    near = question.near
    for value in (question.truth(numbers), *(slip.value(numbers) for slip in question.slips)):
        scale = abs(value) if near.kind == "relative" else 1.0
        for part in (0, 0.5, 0.99, 1.0, 1.01, 1.3, 1.49, 1.51, 2.0, 2.6, 3.2):
            yield value + part * near.mark * scale
            yield value - part * near.mark * scale
    truth = question.truth(numbers)
    yield from (truth * 10.0**power for power in range(-4, 5))
    yield from (
        -truth,
        1 / truth,
        90 - truth,
        math.radians(truth),
        truth**2,
        2 * truth,
        0.5 * truth,
    )
    yield from (0.0, -1.0, math.inf, -math.inf, 1e300, 1e-300)
    yield from (truth * math.exp(dice.uniform(-3, 3)) for _ in range(10))


def test_every_number_gets_the_same_words_from_both(assignment: Assignment) -> None:
    dice = random.Random(5)
    for task, numbers in some_sets(assignment):
        for question in questions_of(assignment, Number):
            for answer in answers_to(question, numbers, dice):
                verdict = judge(
                    question, HandedIn({question.answers[0]: plain(answer)}, {}), numbers
                )
                said = task.check(question.name, answer)
                assert (said.state, said.words) == (verdict.state, verdict.message), answer


def test_every_choice_and_reason_gets_the_same_words_from_both(assignment: Assignment) -> None:
    for task, numbers in some_sets(assignment):
        for question in questions_of(assignment, Choice):
            reasons = [*question.reasons, "", "Z", ...]
            for letter, reason in itertools.product([*question.options, "Z", ""], reasons):
                values = dict(zip(question.answers, map(plain, (letter, reason)), strict=True))
                verdict = judge(question, HandedIn(values, {}), numbers)
                said = task.check(question.name, letter, reason)
                assert (said.state, said.words) == (verdict.state, verdict.message)


def marked(
    assignment: Assignment, question: Function, function: Callable, numbers: Numbers
) -> Verdict:
    results = []
    for inputs in deciding_calls(assignment.exercise, numbers)[question.call]:
        try:
            results.append(plain(function(*inputs)))
        except Exception as trouble:
            results.append({"raised": type(trouble).__name__})
    handed = HandedIn({question.call: plain(function)}, {question.call: results})
    return judge(question, handed, numbers)


def variations(question: Function) -> dict[str, Callable]:
    """Functions that are right on some values and wrong on others."""
    truth = question.truth
    found = {"right": truth, "without sign": lambda *x: abs(truth(*x))}
    found |= {slip.name: slip.value for slip in question.slips}
    found["only the examples"] = lambda *x: truth(*x) if x in question.examples else 0.0
    found["stops beyond"] = lambda *x: truth(*x) if x in question.examples else 1 / 0
    found["nothing beyond"] = lambda *x: truth(*x) if x in question.examples else None
    found["a little off"] = lambda *x: truth(*x) * (1 + 3.2 * question.near.mark)
    found["text"] = lambda *x: f"{truth(*x):.6g}"
    for place in range(len(question.examples[0])):
        found[f"without the sign of input {place}"] = lambda *x, place=place: truth(
            *(abs(part) if which == place else part for which, part in enumerate(x))
        )
    return found


def test_no_function_is_called_right_and_marked_down_or_the_other_way_round(
    assignment: Assignment,
) -> None:
    for task, numbers in list(some_sets(assignment)):
        for question in questions_of(assignment, Function):
            for name, function in variations(question).items():
                said = task.check(question.name, function)
                verdict = marked(assignment, question, function, numbers)
                assert (said.state == "right") is (verdict.state == "right"), (name, said, verdict)


def guesses(question: Function) -> dict[str, Callable]:
    """Functions that know nothing."""
    example = question.truth(*question.examples[0])
    found: dict[str, Callable] = {
        f"always {value:g}": lambda *_, value=value: value
        for value in (0.0, 1.0, -1.0, 100.0, math.inf, -math.inf, math.nan, example)
    }
    for which in range(len(simple_guesses(question.examples[0]))):
        found[f"guess {which}"] = lambda *x, which=which: simple_guesses(x)[which]
    return found


def test_functions_that_know_nothing_earn_nothing(assignment: Assignment) -> None:
    for _, numbers in some_sets(assignment):
        for question in questions_of(assignment, Function):
            for name, function in guesses(question).items():
                verdict = marked(assignment, question, function, numbers)
                assert verdict.points == 0, (question.name, name)


def test_a_common_slip_is_named_for_what_it_is(assignment: Assignment) -> None:
    """Undone it is right, so whatever the message says of it is true."""
    by_words = {slip.message: slip for slip in COMMON_SLIPS}
    for task, numbers in list(some_sets(assignment)):
        for question in questions_of(assignment, Number):
            truth = question.truth(numbers)
            for answer in (10 * truth, -truth, 2 * truth, truth / 2, truth**2, 1 / truth):
                slip = by_words.get(task.check(question.name, answer).words)
                if slip is not None:
                    undone = slip.undone(answer)
                    assert undone is not None
                    assert question.near.holds(undone, truth)


FUNCTIONS: dict[str, Callable[[Callable], object]] = {
    "cached": __import__("functools").lru_cache,
    "partial": lambda f: __import__("functools").partial(f),
    "vectorised": np.vectorize,
    "object": lambda f: type("Callable", (), {"__call__": lambda self, *x: f(*x)})(),
    "method": lambda f: type("Owner", (), {"m": lambda self, *x: f(*x)})().m,
    "lambda": lambda f: lambda *x: f(*x),
}


@pytest.mark.parametrize("form", FUNCTIONS)
def test_a_function_may_have_any_form(assignment: Assignment, form: str) -> None:
    task, numbers = next(some_sets(assignment))
    for question in questions_of(assignment, Function):
        function = FUNCTIONS[form](question.truth)
        assert task.check(question.name, function).state == "right"
        assert marked(assignment, question, function, numbers).state == "right"

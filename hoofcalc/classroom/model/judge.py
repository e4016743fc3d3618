"""The judgement: a question, what was handed over, the learner's numbers -> state, message, points.

It happens outside the learner's process, on plain data, and is a pure function: the
same for the mark, for nbgrader and in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hoofcalc.classroom.model.common_slips import (
    INPUT_SLIPS,
    common_slip,
    input_slips,
)
from hoofcalc.classroom.model.forms import (
    BLANK,
    FormError,
    NotBegunError,
    Wire,
    is_function,
    read_letter,
    read_number,
)
from hoofcalc.classroom.model.questions import (
    ROUNDED,
    Case,
    Choice,
    Exercise,
    Function,
    Number,
    Numbers,
    Question,
    State,
    Written,
    reason_words,
)

#: What the overview calls a function that gave no number.
STOPPED = "no number from the function"
NOT_BEGUN = "Nothing is filled in yet."
REASON_MISSING = "The choice is right. The reason is still missing."
REASON_UNREADABLE = "The choice is right. The reason cannot be read:"


@dataclass(frozen=True)
class Verdict:
    """What becomes of one answer."""

    state: State
    message: str
    points: float
    slip: str = ""


@dataclass(frozen=True)
class HandedIn:
    """The plain data of one hand-in: values by name, and what functions gave for deciding calls."""

    values: Mapping[str, Wire]
    results: Mapping[str, Sequence[Wire]]

    def of(self, question: Question) -> tuple[Wire, ...]:
        """The values of one question, blank where there are none."""
        return tuple(self.values.get(name, BLANK) for name in question.answers)


def judge(question: Question, handed: HandedIn, numbers: Numbers) -> Verdict:
    """Judge one question for a learner with these numbers."""
    try:
        match question:
            case Number():
                return _number(question, handed, numbers)
            case Choice():
                return _choice(question, handed, numbers)
            case Function():
                return _function(question, handed, numbers)
            case Written():
                return Verdict("waiting", "This one is read and marked by a person.", 0.0)
    except NotBegunError:
        return Verdict("not begun", NOT_BEGUN, 0.0)
    except FormError as trouble:
        return Verdict("keep going", str(trouble), 0.0)


def judge_all(
    exercise: Exercise, handed: HandedIn, own: Numbers, typed: tuple[str, Numbers] | None = None
) -> dict[str, Verdict]:
    """Judge every question.

    `typed` is the id that stands in the notebook with its numbers, where it is not
    the owner's: an answer that fits those is told so, kindly.
    """
    verdicts = {}
    for question in exercise.questions:
        verdict = judge(question, handed, own)
        if typed is not None and isinstance(question, Number | Choice) and verdict.state != "right":
            name, other = typed
            if judge(question, handed, other).state == "right":
                whose = f"the id '{name}'" if name else "practice, because no id was typed"
                verdict = Verdict(
                    "keep going",
                    f"Your way is right, but the numbers are those for {whose}. This hand-in is "
                    "marked with the numbers of its own id. Type that id at the top, run "
                    "everything again and hand in once more.",
                    0.0,
                    "numbers of another id",
                )
        verdicts[question.name] = verdict
    return verdicts


def deciding_calls(exercise: Exercise, own: Numbers) -> dict[str, list[tuple[float, ...]]]:
    """The calls that decide the points of functions, by the function's name."""
    return {
        question.call: [case.inputs(own) for case in question.cases]
        for question in exercise.questions
        if isinstance(question, Function)
    }


def _number(question: Number, handed: HandedIn, numbers: Numbers) -> Verdict:
    answer = read_number(handed.of(question)[0])
    truth = question.truth(numbers)
    if question.near.holds(answer, truth):
        return Verdict("right", question.right, question.points)
    for slip in question.slips:
        if question.near.holds(answer, slip.value(numbers)):
            return Verdict("nearly", slip.message, slip.points, slip.name)
    if question.near.holds(answer, truth, working=True):
        return Verdict("nearly", ROUNDED, question.close_points, "rounded too early")
    place = steps_of_input_slips(question, numbers).get(question.near.step(answer))
    if place is not None:
        return Verdict("nearly", INPUT_SLIPS[place].message, 0.0, INPUT_SLIPS[place].name)
    common = common_slip(answer, question.asked, lambda value: question.near.holds(value, truth))
    if common is not None:
        return Verdict("nearly", common.message, 0.0, common.name)
    out = out_of_range(answer, question.asked, question.plausible)
    return Verdict("keep going", out or question.keep_going, 0.0)


def steps_of_input_slips(question: Number, numbers: Numbers) -> dict[str, int]:
    """The steps that slips in what goes in lead to, each with the slip that comes nearest to it."""
    nearest: dict[str, tuple[float, int]] = {}
    for place, value in input_slips(question.truth, numbers):
        for step in question.near.steps(value):
            found = (abs(value - question.near.middle(step)), place)
            nearest[step] = min(nearest.get(step, found), found)
    return {step: place for step, (_, place) in nearest.items()}


def out_of_range(answer: float, asked: str, plausible: Sequence[float]) -> str | None:
    """What to say about a number that cannot be: its sign, or far too large or small."""
    low, high = plausible
    if low <= answer <= high:
        return None
    if answer < 0 <= low:
        return f"Your answer is below zero ({answer:.4g}). Look again at what was asked: {asked}."
    if math.isinf(answer):
        return "Your answer came out infinite: somewhere something is divided by zero."
    side = "small" if answer < low else "large"
    return (
        f"Your answer is {answer:.4g}. That is far too {side} for what was asked: {asked}. "
        "Look at the units, at powers of ten, and at what stands above and below the line."
    )


def _choice(question: Choice, handed: HandedIn, numbers: Numbers) -> Verdict:
    first, second = handed.of(question)
    letter = read_letter(first, question.options)
    if letter != question.truth(numbers):
        for slip in question.slips:
            if letter == slip.value(numbers):
                return Verdict("nearly", slip.message, slip.points, slip.name)
        return Verdict("keep going", question.keep_going, 0.0)
    try:
        reason = read_letter(second, question.reasons)
    except NotBegunError:
        return Verdict("nearly", REASON_MISSING, question.choice_points, "no reason given")
    except FormError as trouble:
        words = f"{REASON_UNREADABLE} {trouble}"
        return Verdict("nearly", words, question.choice_points, "no reason given")
    if reason == question.right_reason:
        return Verdict("right", question.right, question.points)
    words = reason_words(question, reason)
    return Verdict("nearly", words, question.choice_points, f"reason {reason}")


def _function(question: Function, handed: HandedIn, numbers: Numbers) -> Verdict:
    wire = handed.of(question)[0]
    if wire.get("blank"):
        raise NotBegunError
    if not is_function(wire):
        raise FormError(
            f"{question.call} should be a function, made with 'def {question.call}(...)'. "
            "It is something else now; perhaps the name was used again further down."
        )
    results = list(handed.results.get(question.call, ()))
    cases = [(case, case.inputs(numbers)) for case in question.cases]
    results += [BLANK] * (len(cases) - len(results))
    if all(result.get("blank") for result in results):
        raise NotBegunError  # it gives back nothing: the untouched outline
    answers = [function_result(result) for result in results]
    failed = [
        (case, inputs, answer)
        for (case, inputs), answer in zip(cases, answers, strict=False)
        if isinstance(answer, str) or not question.near.holds(answer, question.truth(*inputs))
    ]
    if not failed:
        return Verdict("right", question.right, question.points)
    points = question.points - sum(case.points for case, _, _ in failed)
    if _knows_nothing(question, cases, answers):
        points = 0.0
    case, _, answer = failed[0]
    if isinstance(answer, str):
        return Verdict("keep going", answer, points, STOPPED)
    for slip in question.slips:
        if all(
            not isinstance(given, str) and question.near.holds(given, slip.value(*inputs))
            for _, inputs, given in failed
        ):
            return Verdict("nearly", slip.message, points, slip.name)
    state: State = "nearly" if points > 0 else "keep going"
    return Verdict(state, case.message, points, case.name)


def _knows_nothing(
    question: Function,
    cases: Sequence[tuple[Case, tuple[float, ...]]],
    answers: Sequence[float | str],
) -> bool:
    """Whether a function gives back one number for everything, or the same simple guess."""
    given = [
        (answer, simple_guesses(inputs))
        for (_, inputs), answer in zip(cases, answers, strict=False)
        if not isinstance(answer, str)
    ]
    if len({answer for answer, _ in given}) < 2 or not any(math.isfinite(a) for a, _ in given):
        return True
    return any(
        all(question.near.holds(answer, guesses[which]) for answer, guesses in given)
        for which in range(len(given[0][1]))
    )


def simple_guesses(inputs: Sequence[float]) -> list[float]:
    """What a function may give back that knows nothing: constants, an input, all added or so."""
    return [
        *(0.0, 1.0, -1.0, 100.0, math.inf, -math.inf),
        *inputs,
        sum(inputs),
        math.prod(inputs),
        max(inputs, default=0.0) - min(inputs, default=0.0),
    ]


def function_result(wire: Wire) -> float | str:
    """What a call of the learner's function gave, or what is wrong with it, without the inputs."""
    if "raised" in wire:
        return (
            f"Your function works for the examples, or stops with an error ({wire['raised']}) "
            "when it is called with other values. Try it with a few values of your own."
        )
    if "lost" in wire:
        return f"Your function did not come back with an answer: {wire['lost']}."
    try:
        return read_number(wire)
    except NotBegunError:
        return "Your function gives back nothing for some values. Does every way end in 'return'?"
    except FormError as trouble:
        return f"What your function gives back cannot be read. {trouble.bare}"

"""Hints that travel with the notebook: messages, and one-way fingerprints that find them.

While the learner works, the notebook must say at once what slipped, without a truth
standing in any file. So the values that matter, right and slipped, are sorted into steps,
and only a hash of each step is written down beside the message it leads to.

This hides nothing from somebody who searches: whoever tries step after step, by hand or in
a loop, finds the right one in some thousand tries, as with every check that answers at once
and offline. Hints are for practice. For an examination there are none
(``hoofcalc handout --without-check``).
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from hoofcalc.classroom.model.bins import bins_near
from hoofcalc.classroom.model.common_slips import INPUT_SLIPS
from hoofcalc.classroom.model.judge import steps_of_input_slips
from hoofcalc.classroom.model.questions import (
    ROUNDED,
    Choice,
    Exercise,
    Function,
    Near,
    Number,
    Numbers,
    Question,
    reason_words,
)

#: The layout of the hints file; a newer one is refused in words by an older package.
LAYOUT = 2
#: How many letters a fingerprint has.
_LENGTH = 8


def fingerprint(exercise: str, question: str, variant: int, place: str) -> str:
    """A keyed one-way hash of a bin, different for each question and set of numbers."""
    key = hashlib.blake2b(f"{exercise}|{question}|{variant}".encode(), digest_size=32).digest()
    return hashlib.blake2b(place.encode(), key=key, digest_size=_LENGTH // 2).hexdigest()


def build_hints(
    exercise: Exercise, variants: list[Numbers], *, check: bool = True
) -> dict[str, Any]:
    """All that is handed out beside the notebook, as plain data; without `check` no hints."""
    return {
        "layout": LAYOUT,
        "exercise": exercise.name,
        "title": exercise.title,
        "quantities": [[q.name, q.words, q.unit] for q in exercise.quantities],
        "variants": [dict(numbers) for numbers in variants],
        "check": check,
        "questions": {
            question.name: (
                _question_hints(exercise, question, variants) if check else _kind(question)
            )
            for question in exercise.questions
        },
    }


def _kind(question: Question) -> dict[str, Any]:
    """What is needed to read an answer."""
    entry: dict[str, Any] = {"kind": type(question).__name__.lower(), "answers": question.answers}
    if isinstance(question, Choice):
        entry |= {"options": dict(question.options), "reasons": dict(question.reasons)}
    return entry


def _question_hints(
    exercise: Exercise, question: Question, variants: list[Numbers]
) -> dict[str, Any]:
    entry = _kind(question)
    if not isinstance(question, Number | Choice | Function):
        return entry
    entry |= {"messages": messages_of(question), "keep_going": question.keep_going}
    if isinstance(question, Number):
        entry |= {"asked": question.asked, "plausible": list(question.plausible)}
    if isinstance(question, Number | Function):
        entry |= {"near": [question.near.mark, question.near.kind]}
    if isinstance(question, Function):
        entry["examples"] = [
            [list(inputs), float(f"{question.truth(*inputs):.5g}")] for inputs in question.examples
        ]
        entry["cases"] = [[list(case.inputs(variants[0])), case.message] for case in question.cases]
        entry["prints"] = [_hashed(exercise, question, 0, variants[0])]  # the same for all
    else:
        entry["prints"] = [
            _hashed(exercise, question, variant, numbers)
            for variant, numbers in enumerate(variants)
        ]
    return entry


def messages_of(question: Question) -> list[list[str]]:
    """What may be said: the right one first, then the slips, then what is nearly right."""
    if not isinstance(question, Number | Choice | Function):
        return []
    found = [["right", question.right]]
    found += [["nearly", slip.message] for slip in question.slips]
    if isinstance(question, Number):
        found.append(["nearly", ROUNDED])
        found += [["nearly", slip.message] for slip in INPUT_SLIPS]
    if isinstance(question, Choice):
        found += [["nearly", reason_words(question, letter)] for letter in _wrong_reasons(question)]
    return found


def _wrong_reasons(question: Choice) -> list[str]:
    return [letter for letter in question.reasons if letter != question.right_reason]


def _hashed(exercise: Exercise, question: Question, variant: int, numbers: Numbers) -> list[str]:
    """The fingerprints that lead to each message, one after the other.

    Slips come first, so that the right neighbourhood wins an overlap.
    """
    found: dict[str, int] = {}
    for place, message in _places(question, numbers):
        found[fingerprint(exercise.name, question.name, variant, place)] = message
    groups: list[list[str]] = [[] for _ in messages_of(question)]
    for mark, message in sorted(found.items()):
        groups[message].append(mark)
    return ["".join(group) for group in groups]


def _places(question: Question, numbers: Numbers) -> Iterator[tuple[str, int]]:
    """Steps and the messages they lead to; where steps overlap, the later one wins."""
    if isinstance(question, Choice):
        for index, slip in reversed(list(enumerate(question.slips, 1))):
            yield slip.value(numbers), index
        yield question.truth(numbers), 0
        yield f"reason {question.right_reason}", 0
        for index, letter in enumerate(_wrong_reasons(question), len(question.slips) + 1):
            yield f"reason {letter}", index
    elif isinstance(question, Number):
        near = question.near
        truth = question.truth(numbers)
        within = len(question.slips) + 2
        for place, index in steps_of_input_slips(question, numbers).items():
            yield place, within + index
        for place in near.steps(truth, working=True):
            yield place, len(question.slips) + 1
        yield from _number_places(question, question.truth, (numbers,))
    elif isinstance(question, Function):
        tried = [case.inputs(numbers) for case in question.cases]
        for which, inputs in enumerate((*question.examples, *tried)):
            for place, index in _number_places(question, question.truth, inputs):
                yield f"{which}:{place}", index


def _number_places(
    question: Number | Function, truth: Callable[..., float], inputs: tuple[Any, ...]
) -> Iterator[tuple[str, int]]:
    near = question.near
    for index, slip in reversed(list(enumerate(question.slips, 1))):
        for place in near.steps(slip.value(*inputs)):
            yield place, index
    for place in near.steps(truth(*inputs)):
        yield place, 0


def _right_bins(truth: float, near: Near) -> list[str]:
    return bins_near(truth, near.working, 2 * near.working, near.kind)


def _slip_bins(value: float, near: Near) -> list[str]:
    return bins_near(value, near.mark, 2 * near.working, near.kind)


def clash(exercise: Exercise, numbers: Numbers) -> str | None:
    """Why these numbers would let a message name the wrong thing; None where all is well."""
    for question in exercise.questions:
        if isinstance(question, Choice):
            letters = [question.truth(numbers), *(slip.value(numbers) for slip in question.slips)]
            if len(set(letters)) < len(letters):
                return f"question {question.name}: the same letter for truth and slip ({letters})"
        elif isinstance(question, Number):
            taken = dict.fromkeys(_right_bins(question.truth(numbers), question.near), "the truth")
            for slip in question.slips:
                bins = _slip_bins(slip.value(numbers), question.near)
                other = next((taken[place] for place in bins if place in taken), None)
                if other is not None:
                    return f"question {question.name}: {slip.name!r} is too near to {other!r}"
                taken |= dict.fromkeys(bins, slip.name)
    return None


def look_up(
    hints: Mapping[str, Any], question: str, variant: int, place: str
) -> tuple[str, str] | None:
    """State and message for a bin or a letter, or None where nothing is known about it."""
    entry = hints["questions"][question]
    if len(entry["prints"]) == 1:
        variant = 0  # the same for all learners
    wanted = fingerprint(hints["exercise"], question, variant, place)
    for (state, message), group in zip(entry["messages"], entry["prints"][variant], strict=True):
        if wanted in (group[at : at + _LENGTH] for at in range(0, len(group), _LENGTH)):
            return state, message
    return None

"""Hints that travel with the notebook: messages, and one-way fingerprints that find them.

While the learner works, the notebook must say at once what slipped, and still hold
no truth. So each question's values, the slipped ones and the neighbourhood of the
right one, are sorted into coarse bins, and only a hash of the bin is written down
beside the message it leads to. Looking up an answer says which message fits it; the
file by itself says nothing. (A person who tries bin after bin learns as much as one
who calls ``check`` again and again: a coarse neighbourhood, no more. The mark is
decided elsewhere, and finer.)
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from hoofcalc.classroom.model.questions import (
    Choice,
    Exercise,
    Function,
    Near,
    Number,
    Numbers,
    Question,
)

#: The layout of the hints file; a newer one is refused in words by an older package.
LAYOUT = 1


def bin_of(value: float, width: float, kind: str) -> str:
    """The bin a value falls into, as text: even steps of the value or of its logarithm."""
    if math.isinf(value) or value == 0:
        return f"{value:+.0f}".replace("-0", "+0")
    if kind == "absolute":
        return f"a{math.floor(value / width)}"
    step = math.floor(math.log(abs(value)) / math.log1p(width))
    return f"{'-' if value < 0 else '+'}{step}"


def bins_near(value: float, reach: float, width: float, kind: str) -> list[str]:
    """Every bin that holds something within `reach` of `value`: no answer there is missed."""
    span = reach * (abs(value) if kind == "relative" else 1.0) * (1 + 1e-6)
    if math.isinf(value) or span == 0:
        return [bin_of(value, width, kind)]
    # steps of half the reach, so that no bin between the ends is left out
    places = [bin_of(value + span * (part / 2 - 1), width, kind) for part in range(5)]
    return list(dict.fromkeys(places))


def fingerprint(exercise: str, question: str, variant: int, place: str) -> str:
    """A keyed one-way hash of a bin, different for each question and set of numbers."""
    key = hashlib.blake2b(f"{exercise}|{question}|{variant}".encode(), digest_size=32).digest()
    return hashlib.blake2b(place.encode(), key=key, digest_size=8).hexdigest()


def build_hints(exercise: Exercise, variants: list[Numbers]) -> dict[str, Any]:
    """All that is handed out beside the notebook, as plain data."""
    return {
        "layout": LAYOUT,
        "exercise": exercise.name,
        "title": exercise.title,
        "quantities": [[q.name, q.words, q.unit] for q in exercise.quantities],
        "variants": [dict(numbers) for numbers in variants],
        "questions": {
            question.name: _question_hints(exercise, question, variants)
            for question in exercise.questions
        },
    }


def _question_hints(
    exercise: Exercise, question: Question, variants: list[Numbers]
) -> dict[str, Any]:
    entry: dict[str, Any] = {"kind": type(question).__name__.lower(), "answers": question.answers}
    if not isinstance(question, Number | Choice | Function):
        return entry
    # message 0 is the right one; a slip's message stands at its place plus one
    messages = [["right", question.right]]
    messages += [["nearly", slip.message] for slip in question.slips]
    entry |= {"messages": messages, "keep_going": question.keep_going}
    if isinstance(question, Number):
        entry |= {"asked": question.asked, "plausible": list(question.plausible)}
    if isinstance(question, Number | Function):
        entry |= {"near": [question.near.working, question.near.kind]}
    if isinstance(question, Choice):
        entry |= {"options": dict(question.options), "reasons": list(question.reasons)}
    if isinstance(question, Function):
        entry["examples"] = [
            [list(inputs), float(f"{question.truth(*inputs):.5g}")] for inputs in question.examples
        ]
        entry["prints"] = [_hashed(exercise, question, 0, {})]  # examples are the same for all
    else:
        entry["prints"] = [
            _hashed(exercise, question, variant, numbers)
            for variant, numbers in enumerate(variants)
        ]
    return entry


def _hashed(
    exercise: Exercise, question: Question, variant: int, numbers: Numbers
) -> dict[str, int]:
    """Fingerprint -> message. Slips first, so that the right neighbourhood wins an overlap."""
    found: dict[str, int] = {}
    for place, message in _places(question, numbers):
        found[fingerprint(exercise.name, question.name, variant, place)] = message
    return dict(sorted(found.items()))


def _places(question: Question, numbers: Numbers) -> Iterator[tuple[str, int]]:
    """Bins and the messages they lead to; where bins overlap, the later one wins."""
    if isinstance(question, Choice):
        for index, slip in reversed(list(enumerate(question.slips, 1))):
            yield slip.value(numbers), index
        yield question.truth(numbers), 0
    elif isinstance(question, Number):
        yield from _number_places(question, question.truth, (numbers,))
    elif isinstance(question, Function):
        for which, inputs in enumerate(question.examples):
            for place, index in _number_places(question, question.truth, inputs):
                yield f"{which}:{place}", index


def _number_places(
    question: Number | Function, truth: Callable[..., float], inputs: tuple[Any, ...]
) -> Iterator[tuple[str, int]]:
    for index, slip in reversed(list(enumerate(question.slips, 1))):
        for place in _slip_bins(slip.value(*inputs), question.near):
            yield place, index
    for place in _right_bins(truth(*inputs), question.near):
        yield place, 0


def _right_bins(truth: float, near: Near) -> list[str]:
    return bins_near(truth, near.working, near.working, near.kind)


def _slip_bins(value: float, near: Near) -> list[str]:
    """A slipped value is recognised as finely as a right one is marked."""
    return bins_near(value, near.mark, near.working, near.kind)


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
    prints = entry["prints"][variant]
    index = prints.get(fingerprint(hints["exercise"], question, variant, place))
    if index is None:
        return None
    state, message = entry["messages"][index]
    return state, message

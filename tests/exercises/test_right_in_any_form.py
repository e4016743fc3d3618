"""Right answers in over seventy forms lose nothing, and slips are called what they are."""

from __future__ import annotations

import functools
import itertools
import json
import random
from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

import numpy as np

from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.model.judge import HandedIn, judge
from hoofcalc.classroom.model.plain_data import plain
from hoofcalc.classroom.model.questions import Choice, Function, Number, Numbers, Question
from hoofcalc.classroom.model.working import Task

#: Right answers drawn in each of the eleven exercises; each is checked while working and marked.
DRAWN = 200


def _wide(text: str) -> str:
    return text.translate({ord(one): ord(one) + 0xFEE0 for one in "0123456789.-"})


NUMBERS: dict[str, Callable[[float], Any]] = {
    "number": float,
    "three digits": lambda x: float(f"{x:.3g}"),
    "five digits": lambda x: float(f"{x:.5g}"),
    "whole where it is large": lambda x: round(x) if abs(x) > 500 else x,
    "whole of numpy where it is large": lambda x: np.int64(round(x)) if abs(x) > 500 else x,
    "numpy": np.float64,
    "numpy, single": np.float32,
    "numpy, long": np.longdouble,
    "list": lambda x: [x],
    "pair of brackets too many": lambda x: (x,),
    "nested": lambda x: [[x]],
    "array": lambda x: np.array([x]),
    "array of none": np.array,
    "table": lambda x: np.array([[x]]),
    "long array": lambda x: np.array([x], dtype=np.longdouble),
    "fraction": lambda x: Fraction(x).limit_denominator(10**7) or Fraction(x),
    "decimal": lambda x: Decimal(repr(x)),
    "text": repr,
    "text in a list": lambda x: [repr(x)],
    "text of numpy": lambda x: np.str_(repr(x)),
    "text with a comma": lambda x: f"{x:.9f}".replace(".", ",") if abs(x) > 0.01 else repr(x),
    "text with blanks": lambda x: f"  {x!r} ",
    "text with a blank that does not break": lambda x: f"\u00a0{x!r}",
    "text with blanks that nobody sees": lambda x: f"\u200b{x!r}\ufeff",
    "text in wide signs": lambda x: _wide(f"{x:.9f}") if abs(x) > 0.01 else repr(x),
    "text with a plus": lambda x: f"{x:+.9g}",
    "text with a printed minus": lambda x: repr(x).replace("-", "\u2212"),
    "text in powers of ten": lambda x: f"{x:.8e}",
    "text in powers of ten, capital": lambda x: f"{x:.8E}".replace(".", ","),
    "text with noughts behind": lambda x: f"{x:.12f}" if abs(x) > 0.01 else repr(x),
}

_GREEK = dict(zip("ABEZHIKMNOPTYX", "ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", strict=True))
_CYRILLIC = dict(zip("ABCEHIJKMOPSTX", "АВСЕНІЈКМОРЅТХ", strict=True))
LETTERS: dict[str, Callable[[str, str], Any]] = {
    "capital": lambda x, _: x,
    "small": lambda x, _: x.lower(),
    "blanks": lambda x, _: f" {x}\t",
    "brackets": lambda x, _: f"({x})",
    "one bracket": lambda x, _: f"{x.lower()})",
    "stop": lambda x, _: f"{x}.",
    "colon": lambda x, _: f"{x}:",
    "quotation marks": lambda x, _: f'"{x}"',
    "single quotation marks": lambda x, _: f"'{x}'",
    "printed quotation marks": lambda x, _: f"\u201e{x}\u201c",
    "wide": lambda x, _: chr(ord(x) + 0xFEE0),
    "Greek": lambda x, _: _GREEK.get(x, x),
    "Cyrillic": lambda x, _: _CYRILLIC.get(x, x),
    "blank that nobody sees": lambda x, _: f"{x}\u200b",
    "blank that does not break": lambda x, _: f"\u00a0{x}",
    "mark of byte order": lambda x, _: f"\ufeff{x}",
    "list": lambda x, _: [x],
    "tuple": lambda x, _: (x,),
    "numpy": lambda x, _: np.str_(x),
    "array": lambda x, _: np.array([x]),
    "colon and words": lambda x, words: f"{x}: {words}",
    "dash and words": lambda x, words: f"{x} \u2013 {words}",
    "equals and words": lambda x, words: f"{x} = {words}",
    "words behind": lambda x, words: f"{x} {words}",
    "words in capitals": lambda _, words: words.upper(),
    "words alone": lambda _, words: words,
}


def _plainly(f: Callable[..., float]) -> Callable[..., float]:
    def own(*x: float) -> float:
        return f(*x)

    return own


FUNCTIONS: dict[str, Callable[[Callable[..., float]], Any]] = {
    "def": _plainly,
    "lambda": lambda f: lambda *x: f(*x),
    "remembered": functools.lru_cache,
    "kept": functools.cache,
    "partial": functools.partial,
    "wrapped": lambda f: functools.wraps(f)(_plainly(f)),
    "vectorised": np.vectorize,
    "of numpy": lambda f: np.frompyfunc(f, f.__code__.co_argcount, 1),
    "object": lambda f: type("Callable", (), {"__call__": lambda self, *x: f(*x)})(),
    "method": lambda f: type("Owner", (), {"m": lambda self, *x: f(*x)})().m,
    "static": lambda f: type("Owner", (), {"m": staticmethod(f)}).m,
    "gives numpy": lambda f: lambda *x: np.float64(f(*x)),
    "gives numpy, long": lambda f: lambda *x: np.longdouble(f(*x)),
    "gives a list": lambda f: lambda *x: [f(*x)],
    "gives an array": lambda f: lambda *x: np.array(f(*x)),
    "gives text": lambda f: lambda *x: f"{f(*x)!r}" if np.isfinite(f(*x)) else f(*x),
    "gives four digits": lambda f: lambda *x: float(f"{f(*x):.4g}"),
}


def handed_over(
    question: Question, numbers: Numbers, form: str
) -> tuple[tuple[Any, ...], Mapping[str, Any]]:
    """The right answer in a form: what the check is given, and what deciding calls give."""
    match question:
        case Number():
            return (NUMBERS[form](question.truth(numbers)),), {}
        case Choice():
            letter, reason = question.truth(numbers), question.right_reason
            words = question.options[letter] or letter
            return (
                LETTERS[form](letter, words),
                LETTERS[form](reason, question.reasons[reason]),
            ), {}
        case Function():
            function = FUNCTIONS[form](question.truth)
            inputs = [case.inputs(numbers) for case in question.cases]
            return (function,), {question.call: [plain(function(*one)) for one in inputs]}
    raise AssertionError(question)


def test_two_thousand_right_answers_in_seventy_forms_lose_nothing(assignment: Assignment) -> None:
    forms = {Number: NUMBERS, Choice: LETTERS, Function: FUNCTIONS}
    assert sum(map(len, forms.values())) >= 70
    assert DRAWN * 11 >= 2000
    questions = [one for one in assignment.exercise.questions if type(one) in forms]
    pairs = [(one, form) for one in questions for form in forms[type(one)]]
    dice = random.Random(assignment.exercise.name)
    dice.shuffle(pairs)
    hints = json.loads(assignment.files["hints.json"])
    tasks = [Task(hints, f"learner {number}") for number in range(40)]
    for (question, form), task in itertools.islice(
        zip(itertools.cycle(pairs), itertools.cycle(tasks), strict=False), DRAWN
    ):
        numbers = assignment.variants[task._variant]
        answers, results = handed_over(question, numbers, form)
        values = dict(zip(question.answers, map(plain, answers), strict=True))
        verdict = judge(question, HandedIn(values, results), numbers)
        assert verdict.points == question.points, (question.name, form, answers, verdict)
        said = task.check(question.name, *answers)
        assert said.state == "right", (question.name, form, answers, said)

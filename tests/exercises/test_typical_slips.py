"""Typical slips get a message of their own, and careful work by hand gets full marks."""

from __future__ import annotations

import ast
import copy
import functools
import math
import os
import re
import sys
import types
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from hoofcalc.classroom.grading.marking import Assignment, load_assignment
from hoofcalc.classroom.model.judge import HandedIn, Verdict, judge
from hoofcalc.classroom.model.plain_data import plain
from hoofcalc.classroom.model.questions import Number, Numbers

#: An instructor's own course gets the same proofs: HOOFCALC_COURSE names its folder.
OWN = Path(__file__).resolve().parents[2] / "exercises"
COURSE = Path(os.environ.get("HOOFCALC_COURSE", OWN))


def numbers_in(assignment: Assignment) -> list[Number]:
    return [one for one in assignment.exercise.questions if isinstance(one, Number)]


def judged(question: Number, answer: float, numbers: Numbers) -> Verdict:
    return judge(question, HandedIn({question.answers[0]: plain(answer)}, {}), numbers)


def worked_out(question: Number, source: str, numbers: Numbers) -> float:
    task = types.SimpleNamespace(numbers=types.SimpleNamespace(**numbers))
    scope = {"task": task}
    exec(source, scope)
    return float(scope[question.answers[0]])


# ---- slips ---------------------------------------------------------------------------------


def in_the_working(source: str) -> Iterator[tuple[str, str]]:
    """The reference with one slip that is often made: radians, centimetres, a lost square."""
    tree = ast.parse(source)
    for place, node in enumerate(ast.walk(tree)):
        found: ast.expr | None = None
        if isinstance(node, ast.Call) and ast.unparse(node.func) in (
            "math.radians",
            "math.degrees",
        ):
            name, found = "radians", node.args[0]
        elif isinstance(node, ast.Attribute) and node.attr.endswith(("_mm", "_mm2")):
            name, found = "centimetres", ast.BinOp(copy.copy(node), ast.Div(), ast.Constant(10))
        elif isinstance(node, ast.Attribute) and node.attr.endswith("_percent"):
            name, found = "per cent", ast.BinOp(copy.copy(node), ast.Mult(), ast.Constant(100))
        if found is not None:
            yield name, _with(tree, place, found)


def _with(tree: ast.Module, place: int, new: ast.expr) -> str:
    """The source with one part exchanged."""
    changed = copy.deepcopy(tree)
    old = list(ast.walk(changed))[place]

    class Exchange(ast.NodeTransformer):
        def visit(self, node: ast.AST) -> ast.AST:
            return new if node is old else self.generic_visit(node)

    return ast.unparse(ast.fix_missing_locations(Exchange().visit(changed)))


def in_the_answer(question: Number, numbers: Numbers) -> Iterator[tuple[str, float]]:
    """The answer with a slip that is often made with any number."""
    truth = question.truth(numbers)
    yield from (("times ten", 10 * truth), ("a tenth", truth / 10), ("metres", truth / 1000))
    yield from (("sign", -truth), ("half", truth / 2), ("twice", 2 * truth))
    yield from (("upside down", 1 / truth), ("quarter", truth / 4))
    if "degrees" in question.asked:
        yield from (("radians", math.radians(truth)), ("other line", 90 - truth))
    errors = [value for name, value in numbers.items() if "error" in name]
    if len(errors) == 2 and "error" in question.asked:
        yield "mean of errors", sum(errors) / 2


def test_typical_slips_are_named(assignment: Assignment) -> None:
    """At least 95 % of them in every exercise: all 335 in the eleven together."""
    named, unnamed = 0, []
    numbers = assignment.variants[7]
    for question in numbers_in(assignment):
        slips = list(in_the_answer(question, numbers))
        for name, source in in_the_working(question.reference):
            try:
                slips.append((name, worked_out(question, source, numbers)))
            except (ValueError, ZeroDivisionError):
                continue  # that cannot be worked out: the cell stops, and says so
        for name, answer in slips:
            verdict = judged(question, answer, numbers)
            if verdict.state == "right":
                continue  # with these numbers it makes no difference
            if verdict.slip:
                named += 1
            else:
                unnamed.append((question.name, name, answer))
    assert named >= 0.95 * (named + len(unnamed)), unnamed


#: What the message for a slip must speak of, so as not to name another.
CALLED = {
    "radians": r"radians|degrees",
    "centimetres": r"centimet|millimet|\bmm\b|digits are right",
    "per cent": r"[Pp]er cent|share|digits are right",
    "mean of errors": r"mean of the two errors",
}


def everywhere(source: str) -> Iterator[tuple[str, str]]:
    """The reference with a slip in the unit of one of the learner's numbers, wherever it stands."""
    for name, unit, how in (
        ("centimetres", "_mm2?", "/ 10"),
        ("per cent", "_percent", "* 100"),
    ):
        for number in dict.fromkeys(re.findall(rf"\bn\.\w+{unit}\b", source)):
            yield name, re.sub(rf"{re.escape(number)}\b", f"({number} {how})", source)


def test_slips_are_called_what_they_are(assignment: Assignment) -> None:
    """At most 1 in 30 gets the name of another slip that leads to the same number by chance."""
    right, wrong = 0, []
    for numbers in assignment.variants[1::4]:
        for question in numbers_in(assignment):
            turned = [s for s in in_the_working(question.reference) if s[0] == "radians"]
            for name, source in (*everywhere(question.reference), *turned):
                try:
                    answer = worked_out(question, source, numbers)
                except (ValueError, ZeroDivisionError):
                    continue  # that cannot be worked out: the cell stops, and says so
                verdict = judged(question, answer, numbers)
                if verdict.state == "right" or verdict.slip == "rounded too early":
                    continue  # what changes so little cannot be told from rounding
                if re.search(CALLED[name], verdict.message):
                    right += 1
                else:
                    wrong.append((question.name, name, verdict.slip))
    assert len(wrong) <= (right + len(wrong)) / 30, wrong


@pytest.mark.parametrize(
    ("exercise", "question", "slip", "answer", "words"),
    [
        ("06-capsule", "2", "radians", math.radians, "in radians"),
        ("07-load-path", "1", "radians", math.radians, "in radians"),
        ("10-a-case", "2", "radians", math.radians, "in radians"),
        ("04-columns", "2", "end factor 0.5", lambda truth: 16 * truth, "end factor 0.5"),
        ("04-columns", "2", "end factor 1", lambda truth: 4 * truth, "end factor is missing"),
    ],
)
def test_a_slip_that_once_got_another_name(
    exercise: str, question: str, slip: str, answer: Callable[[float], float], words: str
) -> None:
    assignment = load_assignment(OWN, exercise)
    asked = assignment.exercise.question(question)
    assert isinstance(asked, Number)
    for numbers in assignment.variants:
        verdict = judged(asked, answer(asked.truth(numbers)), numbers)
        assert words in verdict.message, (slip, verdict)


def test_the_mean_of_two_errors_is_called_so() -> None:
    assignment = load_assignment(OWN, "08-underrun")
    asked = assignment.exercise.question("1")
    assert isinstance(asked, Number)
    for numbers in assignment.variants:
        mean = (numbers["toe_error_deg"] + numbers["heel_error_deg"]) / 2
        assert judged(asked, mean, numbers).slip == "mean of errors"


# ---- rounding ------------------------------------------------------------------------------


class Rounded(float):
    """A number that is rounded to three digits at each step, as on paper."""


def to_three_digits(value: float) -> float:
    return Rounded(f"{value:.3g}") if math.isfinite(value) else value


def _rounding(name: str):
    plainly = getattr(float, name)

    def step(self, *others):
        value = plainly(
            self, *(float(one) if isinstance(one, int | float) else one for one in others)
        )
        return value if value is NotImplemented else to_three_digits(value)

    return step


for _name in ("add", "radd", "sub", "rsub", "mul", "rmul", "truediv", "rtruediv", "pow", "rpow"):
    setattr(Rounded, f"__{_name}__", _rounding(f"__{_name}__"))


def _rounded_mathematics() -> types.ModuleType:
    module = types.ModuleType("math")

    def rounded(function, *arguments):
        value = function(*arguments)
        return to_three_digits(value) if isinstance(value, float) else value

    for name, thing in vars(math).items():
        if callable(thing):
            setattr(module, name, functools.partial(rounded, thing))
    module.pi = Rounded(3.14)  # type: ignore[attr-defined]
    return module


def test_three_digits_at_each_step_are_enough(
    assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "math", _rounded_mathematics())
    for numbers in assignment.variants[::3]:
        rounded = {name: Rounded(value) for name, value in numbers.items()}
        for question in numbers_in(assignment):
            answer = worked_out(question, question.reference, rounded)
            assert judged(question, answer, numbers).state == "right", (question.name, answer)


def test_a_value_of_gravity_that_was_not_given_may_be_ten() -> None:
    assignment = load_assignment(OWN, "10-a-case")
    question = assignment.exercise.question("1")
    assert isinstance(question, Number)
    for numbers in assignment.variants:
        for gravity in (9.8, 10):
            answer = question.truth(numbers) * gravity / 9.81
            assert judged(question, answer, numbers).state == "right"

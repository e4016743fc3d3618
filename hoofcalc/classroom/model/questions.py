"""What a question is. A key (``exercises/keys/<exercise>.py``) is made of these few parts.

Question text, points, truth, tolerance with its reason, slips and messages stand
in the key and nowhere else. The notebook, the hints that travel with it, the mark
and the tests are all derived from there. Keys stay with the instructor.
"""

from __future__ import annotations

import importlib.util
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal, TypeAlias

from hoofcalc.classroom.model.bins import bin_of, bins_near, is_near, middle

#: One learner's own numbers, by name.
Numbers: TypeAlias = Mapping[str, float]
#: What is said of a number that is off by rounding alone.
ROUNDED = (
    "The way is right, but the number is a little off. Keep all digits until the end, and round "
    "only the answer."
)
#: How far an answer has got: the four kinds of message, and a text that waits for its marker.
State: TypeAlias = Literal["not begun", "keep going", "nearly", "right", "waiting"]


@dataclass(frozen=True)
class Quantity:
    """One of the learner's own numbers: its name in code, in words, and what it may be."""

    name: str
    words: str
    unit: str
    allowed: tuple[float, ...]


@dataclass(frozen=True)
class Near:
    """How near is near enough, and why.

    Within `mark` an answer is right; what is off by up to `working` has been rounded too
    early. Both are parts of the value (``kind="relative"``) or plain distances
    (``kind="absolute"``), and both may be overstepped by half of `mark`, for answers are
    told apart by steps of that size, the same for the mark and while working.
    """

    mark: float
    working: float
    reason: str
    kind: Literal["relative", "absolute"] = "relative"

    def __post_init__(self) -> None:
        if not 0 < self.mark <= self.working:
            raise KeyFileError(
                f"a tolerance needs 0 < mark <= working (got mark {self.mark}, "
                f"working {self.working})"
            )

    def step(self, answer: float) -> str:
        """The step that an answer falls into."""
        return bin_of(answer, self.mark, self.kind)

    def middle(self, step: str) -> float:
        """The value in the middle of a step."""
        return middle(step, self.mark, self.kind)

    def steps(self, value: float, *, working: bool = False) -> list[str]:
        """All steps that are near enough to a value."""
        reach = self.working if working else self.mark
        return bins_near(value, reach, self.mark, self.kind)

    def holds(self, answer: float, truth: float, *, working: bool = False) -> bool:
        """Whether `answer` is near enough to `truth`."""
        reach = self.working if working else self.mark
        return (math.isfinite(answer) and is_near(answer, truth, reach, self.mark, self.kind)) or (
            answer == truth
        )


@dataclass(frozen=True)
class Slip:
    """A usual slip: what it leads to, and the message that names it without the answer.

    `value` takes what the question's truth takes and gives the slipped answer: a
    number, or a letter for a choice. `points` are for the steps that are right.
    """

    name: str
    value: Callable[..., Any]
    message: str
    points: float = 0.0


@dataclass(frozen=True, kw_only=True)
class _Question:
    name: str
    title: str
    text: str
    points: float
    right: str
    keep_going: str
    stub: str
    reference: str
    #: The ability of the lesson that the question asks for, for the overview of a class.
    ability: str = ""

    @property
    def idea(self) -> str:
        """The ability, or the title where none is named."""
        return self.ability or self.title

    @property
    def answers(self) -> tuple[str, ...]:
        """The names in the notebook that hold the answer."""
        return (f"answer_{self.name}",)


@dataclass(frozen=True, kw_only=True)
class Number(_Question):
    """A number, worked out on paper or by calling the library."""

    asked: str
    truth: Callable[[Numbers], float]
    near: Near
    plausible: tuple[float, float]
    slips: tuple[Slip, ...] = ()
    close_points: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Choice(_Question):
    """A choice with a reason: two letters."""

    options: Mapping[str, str]
    reasons: Mapping[str, str]
    truth: Callable[[Numbers], str]
    right_reason: str
    choice_points: float
    slips: tuple[Slip, ...] = ()
    reason_messages: Mapping[str, str]

    @property
    def answers(self) -> tuple[str, ...]:
        return (f"answer_{self.name}", f"reason_{self.name}")


@dataclass(frozen=True)
class Case:
    """A deciding call of the learner's function: what goes in, its points, the message if off."""

    name: str
    inputs: Callable[[Numbers], tuple[float, ...]]
    points: float
    message: str


@dataclass(frozen=True, kw_only=True)
class Function(_Question):
    """A small function. Examples are visible to the learner; cases decide the points."""

    call: str
    truth: Callable[..., float]
    near: Near
    examples: tuple[tuple[float, ...], ...]
    cases: tuple[Case, ...]
    slips: tuple[Slip, ...] = ()

    @property
    def answers(self) -> tuple[str, ...]:
        return (self.call,)


@dataclass(frozen=True, kw_only=True)
class Written(_Question):
    """An explanation in words, marked by hand by the scale that stands in the question."""

    scale: tuple[str, ...]

    @property
    def answers(self) -> tuple[str, ...]:
        return ()


Question: TypeAlias = Number | Choice | Function | Written


def reason_words(question: Choice, letter: str) -> str:
    """What is said of a right choice with a wrong reason."""
    return f"The choice is right, the reason is not. {question.reason_messages[letter]}"


def _any_numbers(_numbers: Numbers) -> bool:
    return True


@dataclass(frozen=True, kw_only=True)
class Exercise:
    """An exercise set: its words, the learner's own numbers, its questions."""

    name: str
    title: str
    intro: str
    closing: str
    quantities: tuple[Quantity, ...]
    questions: tuple[Question, ...]
    #: Turns down draws that make a question degenerate.
    fits: Callable[[Numbers], bool] = _any_numbers
    #: How many sets of numbers there are, the practice set apart.
    variants: int = 60

    def __post_init__(self) -> None:
        _check(self)

    @property
    def number(self) -> str:
        """The leading number of the exercise's name, as in ``04``."""
        return self.name.split("-")[0]

    @property
    def points(self) -> float:
        """All points together."""
        return sum(question.points for question in self.questions)

    def question(self, name: str) -> Question:
        """The question called `name`."""
        return next(question for question in self.questions if question.name == name)

    def cell(self, question: Question | str, part: str) -> str:
        """The name of one cell of the notebook, as in ``04-1-answer``."""
        name = question if isinstance(question, str) else question.name
        return f"{self.number}-{name}-{part}"


class KeyFileError(Exception):
    """A key cannot be read or contradicts itself; the message says where and why."""


def load_exercise(path: Path) -> Exercise:
    """Read a key: a Python file that defines ``EXERCISE``."""
    exercise = load_python(path, "EXERCISE")
    if not isinstance(exercise, Exercise):
        raise KeyFileError(f"{path}: EXERCISE must be an Exercise (got {type(exercise).__name__})")
    return exercise


def load_python(path: Path, wanted: str) -> Any:
    """The thing called `wanted` that a trusted Python file of the instructor defines."""
    if not path.is_file():
        raise KeyFileError(f"There is no file {path}")
    name = "hoofcalc_key_" + re.sub(r"\W", "_", path.stem)
    spec = importlib.util.spec_from_file_location(name, path)
    if spec is None or spec.loader is None:
        raise KeyFileError(f"{path} is not a Python file")
    module = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except Exception as problem:
        raise KeyFileError(f"{path} does not run: {type(problem).__name__}: {problem}") from problem
    if not hasattr(module, wanted):
        raise KeyFileError(f"{path} does not define {wanted}")
    return getattr(module, wanted)


def _check(exercise: Exercise) -> None:
    """Refuse a key that contradicts itself, so that no class meets it."""

    def refuse(why: str) -> None:
        raise KeyFileError(f"{exercise.name}: {why}")

    if not re.fullmatch(r"\d\d-[a-z0-9-]+", exercise.name):
        refuse("the name must look like 04-columns")
    names = [question.name for question in exercise.questions]
    if len(set(names)) != len(names) or not all(re.fullmatch(r"\w+", name) for name in names):
        refuse(f"the questions' names must be plain and different (got {names})")
    for question in exercise.questions:
        where = f"question {question.name}"
        partial = [slip.points for slip in getattr(question, "slips", ())]
        if isinstance(question, Number):
            partial.append(question.close_points)
        if isinstance(question, Choice):
            partial.append(question.choice_points)
            if question.right_reason not in question.reasons:
                refuse(f"{where}: the right reason is not among the reasons")
            wrong = set(question.reasons) - {question.right_reason}
            if set(question.reason_messages) != wrong:
                refuse(f"{where}: each wrong reason needs its message")
        if isinstance(question, Function):
            total = sum(case.points for case in question.cases)
            if abs(total - question.points) > 1e-9:
                refuse(f"{where}: the cases add up to {total:g}, not {question.points:g} points")
        if any(not 0 <= points < question.points for points in partial):
            refuse(f"{where}: points for a part must be less than the whole {question.points:g}")

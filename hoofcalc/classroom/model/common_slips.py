"""Slips that may happen to any number.

Those in the answer are told by undoing them and looking whether it fits then; those in what
went in, by working the truth out with the same slip. Each message says no more than what is
then true of the answer, so it cannot name the wrong thing.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class CommonSlip:
    """A slip that is undone by `undo`; `angle` is for answers in degrees alone."""

    name: str
    undo: Callable[[float], float]
    message: str
    angle: bool = False

    def undone(self, answer: float) -> float | None:
        """The answer without the slip; None where it cannot be undone."""
        try:
            value = self.undo(answer)
        except (ZeroDivisionError, OverflowError, ValueError):
            return None
        return value if math.isfinite(value) else None


def _power(power: int) -> CommonSlip:
    large = "large" if power > 0 else "small"
    return CommonSlip(
        "power of ten",
        lambda answer: answer / 10.0**power,
        f"The digits are right, but the answer is 10{_RAISED[abs(power)]} times too {large}. "
        "Look at the units (mm, cm and m; mm² and cm²; share and per cent) and at powers of ten.",
    )


_RAISED = {1: "", 2: "²", 3: "³", 4: "⁴", 6: "⁶", 9: "⁹"}

COMMON_SLIPS = (
    *(_power(sign * size) for size in _RAISED for sign in (1, -1)),
    CommonSlip(
        "sign",
        lambda answer: -answer,
        "The size is right, the sign is not. Which of the two is taken from the other, and which "
        "way counts as plus?",
    ),
    CommonSlip(
        "radians",
        math.degrees,
        "That is in radians. Degrees are asked for: math.degrees(...) turns one into the other.",
        angle=True,
    ),
    CommonSlip(
        "degrees turned twice",
        math.radians,
        "It was in degrees already when you turned it into degrees.",
        angle=True,
    ),
    CommonSlip(
        "from the other line",
        lambda answer: 90 - answer,
        "Your answer and the right one make 90 degrees together: it is counted from the upright "
        "instead of from the ground, or the other way round.",
        angle=True,
    ),
    CommonSlip(
        "from the other end",
        lambda answer: 180 - answer,
        "Your answer and the right one make 180 degrees together: it is counted from the other "
        "end of the line.",
        angle=True,
    ),
    CommonSlip(
        "upside down",
        lambda answer: 1 / answer,
        "Your answer is upside down: what stands above the line belongs below it.",
    ),
    CommonSlip(
        "half",
        lambda answer: 2 * answer,
        "Your answer is just half of it. Is somewhere a half too many: a radius for a diameter, "
        "one foot for both, a mean for a sum?",
    ),
    CommonSlip(
        "twice",
        lambda answer: answer / 2,
        "Your answer is just twice as large. Is somewhere a half missing: a diameter for a radius, "
        "both feet for one, a sum for a mean?",
    ),
    CommonSlip(
        "quarter",
        lambda answer: 4 * answer,
        "Your answer is just a quarter of it. Was a half squared: a diameter for a radius, or half "
        "a length?",
    ),
    CommonSlip(
        "four times",
        lambda answer: answer / 4,
        "Your answer is just four times as large. Was something double squared: a diameter for a "
        "radius, or a whole length for half of it?",
    ),
    CommonSlip(
        "not squared",
        lambda answer: math.copysign(answer * answer, answer),
        "Your answer is just the root of it: was a root drawn that is not asked for?",
    ),
    CommonSlip(
        "root forgotten",
        lambda answer: math.sqrt(answer),
        "Your answer is just the square of it: the root is still missing.",
    ),
    CommonSlip(
        "100 minus",
        lambda answer: 100 - answer,
        "Your answer and the right one make 100 together: you have the other part.",
    ),
    CommonSlip(
        "1 minus",
        lambda answer: 1 - answer,
        "Your answer and the right one make 1 together: you have the other part.",
    ),
)


def common_slip(answer: float, asked: str, fits: Callable[[float], bool]) -> CommonSlip | None:
    """The first common slip without which the answer would be right."""
    for slip in COMMON_SLIPS:
        if slip.angle and "degrees" not in asked:
            continue
        value = slip.undone(answer)
        if value is not None and fits(value):
            return slip
    return None


@dataclass(frozen=True)
class InputSlip:
    """A slip in one of the learner's own numbers: those whose names end so, times a factor."""

    name: str
    endings: tuple[str, ...]
    factors: tuple[float, ...]
    message: str


INPUT_SLIPS = (
    InputSlip(
        "left out",
        ("",),
        (0.0,),
        "It comes out so when one of your numbers is left out, or counts as zero. Have all come "
        "in that are needed?",
    ),
    InputSlip(
        "sign of a number",
        ("_deg",),
        (-1.0,),
        "It comes out so when one of the angles comes in with the other sign.",
    ),
    InputSlip(
        "radians within",
        ("_deg",),
        (math.degrees(1.0),),
        "It comes out so when an angle goes into sine, cosine or tangent in degrees: "
        "math.radians(...) comes first.",
    ),
    InputSlip(
        "per cent for share",
        ("_percent",),
        (100.0, 0.01),
        "It comes out so when per cent and share are taken for one another. A share runs from 0 "
        "to 1.",
    ),
    InputSlip(
        "cm for mm",
        ("_mm", "_mm2", "_mm_day"),
        (0.1, 10.0),
        "It comes out so when one length goes in as centimetres. All lengths are in millimetres.",
    ),
    InputSlip(
        "mean of errors",
        (),
        (),
        "That is the mean of the two errors. Squares of errors add; then the root is drawn.",
    ),
)


def input_slips(
    truth: Callable[[Mapping[str, float]], float], numbers: Mapping[str, float]
) -> list[tuple[int, float]]:
    """What the answer becomes by each slip in what goes in, with the slip's place in the list.

    A truth may take a good part of a second and is asked here some twenty times, so what came
    out is kept.
    """
    return list(_input_slips(truth, tuple(numbers.items())))


@functools.lru_cache(maxsize=2000)
def _input_slips(
    truth: Callable[[Mapping[str, float]], float], own: tuple[tuple[str, float], ...]
) -> tuple[tuple[int, float], ...]:
    numbers = dict(own)
    found = []
    used = [name for name in numbers if _value(truth, numbers, {name: 1.01}) != truth(numbers)]
    errors = [numbers[name] for name in used if "error" in name]
    if len(errors) == 2:
        found.append((len(INPUT_SLIPS) - 1, sum(errors) / 2))
    for place, slip in enumerate(INPUT_SLIPS):
        touched = [name for name in used if name.endswith(slip.endings)]
        groups = [[name] for name in touched] + ([touched] if len(touched) > 1 else [])
        for group in groups:
            for factor in slip.factors:
                value = _value(truth, numbers, dict.fromkeys(group, factor))
                if value is not None:
                    found.append((place, value))
    return tuple(found)


def _value(
    truth: Callable[[Mapping[str, float]], float],
    numbers: Mapping[str, float],
    factors: Mapping[str, float],
) -> float | None:
    """The answer with some of the numbers multiplied; None where there is none."""
    try:
        value = float(
            truth({name: value * factors.get(name, 1) for name, value in numbers.items()})
        )
    except Exception:  # a truth need not stand what it was not made for
        return None
    return value if math.isfinite(value) and value else None

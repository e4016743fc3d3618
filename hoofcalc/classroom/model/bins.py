"""How near an answer is to a value, told by steps, the same with the value at hand and without it.

The mark knows the true value, the hints know only hashes of the steps around it. Both ask
whether the answer lies in one of these steps, so that they cannot disagree.
"""

from __future__ import annotations

import math

#: How many steps a tolerance is divided into: the last one may reach so far beyond it.
_STEPS = 2


def bin_of(value: float, tolerance: float, kind: str) -> str:
    """The step a value falls into, as text: even steps of the value or of its logarithm."""
    if value == 0:
        return "nought"  # a name of its own: the logarithm of 1 is in step 0
    if math.isinf(value):
        return f"{value:+.0f}"
    width = tolerance / _STEPS
    if kind == "absolute":
        return f"a{math.floor(value / width)}"
    step = math.floor(math.log(abs(value)) / math.log1p(width))
    return f"{'-' if value < 0 else '+'}{step}"


def bins_near(value: float, reach: float, tolerance: float, kind: str) -> list[str]:
    """Every step that holds something within `reach` of `value`: no answer there is missed."""
    span = reach * (abs(value) if kind == "relative" else 1.0) * (1 + 1e-6)
    if math.isinf(value) or span == 0:
        return [bin_of(value, tolerance, kind)]
    # points closer together than the steps are wide, so that none between the ends is left out
    half = math.ceil(2 * _STEPS * reach / tolerance)
    places = [
        bin_of(value + span * part / half, tolerance, kind) for part in range(-half, half + 1)
    ]
    return list(dict.fromkeys(places))


def middle(place: str, tolerance: float, kind: str) -> float:
    """The value in the middle of a step that `bin_of` has named.

    >>> round(middle(bin_of(7.3, 0.01, "relative"), 0.01, "relative"), 1)
    7.3
    """
    if place == "nought":
        return 0.0
    if place.endswith("inf"):
        return float(place)
    width, step = tolerance / _STEPS, int(place[1:]) + 0.5
    if kind == "absolute":
        return step * width
    return math.copysign(math.exp(step * math.log1p(width)), -1 if place[0] == "-" else 1)


def is_near(answer: float, value: float, reach: float, tolerance: float, kind: str) -> bool:
    """Whether `answer` falls into one of the steps within `reach` of `value`."""
    return bin_of(answer, tolerance, kind) in bins_near(value, reach, tolerance, kind)

"""Draw it before you see it: a curve drawn by hand, the true one, and which belief was drawn.

A prediction is declared as data and plain functions, like a figure. The hand's curve is judged by
its shape and not by its height: first whether it goes as the true one does, then whether it is one
of the known wrong lines, each of which has a name, a test of the shape and a message. Nothing is
marked.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray, numbers
from hoofcalc.figures.scene import Ticks, axis_ticks

#: Columns of a curve that is not drawn by visits.
COLUMNS = 41
#: The button wakes when this part of the columns is drawn.
ENOUGH = 0.8
_OTHERWISE = "Yours goes so, ours goes so. Where do they part?"
#: Root mean square distance, in parts of the height of the plane, up to which a hand's curve goes
#: as the true one does: a shaky hand stays within 0.04 (chosen; see the test with 200 hands).
_NEAR = 0.07
#: How steep a curve may be drawn, in times another, and still be the same one.
_STRETCH = (0.5, 2.0)
#: How much too early or too late the true curve may be drawn, in parts of the plane.
_EARLY_OR_LATE = (0.0, -0.04, 0.04, -0.08, 0.08)
#: How far before or behind its typical place a wrong line may be drawn, in parts of the plane.
_SLID = tuple(np.linspace(-0.25, 0.25, 11))
#: A wrong line is named only where the square of the distance from ours, less that from the wrong
#: line, is at least this part of the square of the distance between the two: 1 is on the typical
#: wrong line, 0 half-way (chosen; see the tests of many hands).
_CLEARLY = 0.3


@dataclass(frozen=True, kw_only=True)
class Axis:
    """One axis of the plane to draw on.

    Parameters
    ----------
    label
        Name and unit.
    limits
        Its two ends; the first may be the larger one, where the story runs that way.
    ticks
        Where it carries numbers; chosen where nothing is given.
    form
        How a value is read ("{:.0f} N").
    """

    label: str
    limits: tuple[float, float]
    ticks: Ticks = ()
    form: str = "{:g}"

    def share(self, values: ArrayLike) -> FloatArray:
        """Values as parts of the way from the first end to the second."""
        first, second = self.limits
        parts: FloatArray = (np.asarray(values, dtype=np.float64) - first) / (second - first)
        return parts


class Shape:
    """A drawn curve as a wrong line's test sees it: smoothed, both axes from 0 to 1.

    Parameters
    ----------
    heights
        Height of each column, in parts of the plane.
    """

    def __init__(self, heights: ArrayLike) -> None:
        rough = np.asarray(heights, dtype=np.float64)
        padded = np.pad(rough, 2, mode="reflect", reflect_type="odd")
        self.heights: FloatArray = np.convolve(padded, np.full(5, 0.2), mode="valid")
        self.across: FloatArray = np.linspace(0.0, 1.0, len(rough))

    def at(self, across: float) -> float:
        """Height at a part of the way across."""
        return float(np.interp(across, self.across, self.heights))

    def climb(self, start: float = 0.0, end: float = 1.0) -> float:
        """How much it rises from one place to another; negative where it falls."""
        return self.at(end) - self.at(start)

    def spread(self, start: float = 0.0, end: float = 1.0) -> float:
        """Highest less lowest between two places."""
        part = self.heights[(self.across >= start - 1e-9) & (self.across <= end + 1e-9)]
        return float(np.ptp(part))

    @cached_property
    def bend(self) -> float:
        """Greatest distance from the straight line between its ends, above it positive."""
        straight = self.heights[0] + (self.heights[-1] - self.heights[0]) * self.across
        off = self.heights - straight
        return float(off[np.argmax(np.abs(off))])

    def is_level(self, within: float = 0.15) -> bool:
        """Whether it neither rises nor falls."""
        return self.spread() <= within

    def is_straight(self, within: float = 0.3) -> bool:
        """Whether it goes straight up or down: its bend is a small part of its climb."""
        return abs(self.climb()) > 0.15 and abs(self.bend) <= within * abs(self.climb())

    def is_step(self) -> bool:
        """Whether nearly all of its climb lies within a short way."""
        if abs(self.climb()) < 0.15:
            return False
        wide = 0.2
        starts = np.linspace(0.0, 1.0 - wide, 33)
        climbs = [abs(self.climb(start, start + wide)) for start in starts]
        best = int(np.argmax(climbs))
        inside = 0.05 < starts[best] + wide / 2 < 0.95
        rest = self.spread(0, starts[best]) + self.spread(starts[best] + wide, 1)
        return bool(inside and climbs[best] > 0.7 * self.spread() and rest < 0.4 * self.spread())

    def levels_off(self) -> bool:
        """Whether it rises at once and then less and less."""
        return self.climb() > 0.15 and self.bend > 0.12

    def is_hump(self, least: float = 0.15) -> bool:
        """Whether it rises and falls again."""
        top = float(self.heights.max())
        return bool(min(top - self.heights[0], top - self.heights[-1]) >= least)

    def is_dip(self, least: float = 0.15) -> bool:
        """Whether it falls and rises again."""
        low = float(self.heights.min())
        return bool(min(self.heights[0] - low, self.heights[-1] - low) >= least)


@dataclass(frozen=True, kw_only=True)
class WrongLine:
    """A curve that many would draw, and what is to be said about it.

    Parameters
    ----------
    name
        Short name, for tests and tables.
    test
        Whether a shape is this one; pure.
    belief
        The belief behind it in few words, as one would say it.
    says
        What is to be said: names the slip, and the reason.
    like
        Takes columns (0 to 1) and returns heights (0 to 1) of a typical one.
    """

    name: str
    test: Callable[[Shape], bool]
    belief: str
    says: str
    like: Callable[[FloatArray], ArrayLike]

    def typical(self, across: FloatArray) -> FloatArray:
        """Heights of a typical one, as far as the plane goes."""
        within = np.clip(across, 0.0, 1.0)
        return np.clip(np.asarray(self.like(within), dtype=np.float64), 0.0, 1.0)


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What a hand's curve was found to be.

    Parameters
    ----------
    name
        "ours", the name of a wrong line, or "other".
    belief
        The belief in few words; empty for "ours" and "other".
    says
        The message.
    """

    name: str
    belief: str
    says: str

    def told(self) -> dict[str, str]:
        """As the browser takes it."""
        return {"name": self.name, "belief": self.belief, "says": self.says}


@dataclass(frozen=True, kw_only=True, repr=False)
class Prediction:
    """A curve to draw before it is seen.

    Parameters
    ----------
    name
        The lesson's name.
    heading, ask
        The question in one line, and what is to be drawn.
    x, y
        The plane.
    truth
        Takes values along x and returns the true ones; from the library.
    wrong
        The known wrong lines; named is the nearest of those whose test holds and whose typical
        curve lies clearly nearer than the true one.
    ours
        The message when the curve goes as the true one does.
    tell_at
        Where along x one arrow leads from the drawn curve to the true one.
    then
        A second paragraph, whatever was drawn: what the true curve says there.
    columns
        Values along x at which a curve has a height; 41 even ones where nothing is said.
    start, start_says
        The height at the first column, where it is given, and words beside it.
    spread
        Takes values along x and returns lowest and highest; None where there is no band.
    note
        A line under the card: typical values, what is invented.
    """

    name: str
    heading: str
    ask: str
    x: Axis
    y: Axis
    truth: Callable[[FloatArray], ArrayLike]
    wrong: tuple[WrongLine, ...]
    ours: str
    tell_at: float
    then: str = ""
    columns: tuple[float, ...] = ()
    start: float | None = None
    start_says: str = ""
    spread: Callable[[FloatArray], tuple[ArrayLike, ArrayLike]] | None = None
    note: str = ""

    def __post_init__(self) -> None:
        low, high = sorted(self.x.limits)
        numbers("tell_at", self.tell_at, at_least=low, at_most=high)
        if not self.columns:
            even = np.linspace(*self.x.limits, COLUMNS)
            object.__setattr__(self, "columns", tuple(float(value) for value in even))
        if len(self.columns) < 5:
            raise ValueError(f"columns must be at least 5 values (got {len(self.columns)})")
        if self.start is not None:
            numbers("start", self.start, at_least=min(self.y.limits), at_most=max(self.y.limits))

    def __repr__(self) -> str:
        # a reader must not see the true curve first
        return f"{self.heading}\n{self.ask}\n  Run this cell to draw."

    @cached_property
    def true_values(self) -> FloatArray:
        """The true curve at each column."""
        return np.asarray(self.truth(np.asarray(self.columns)), dtype=np.float64)

    def judge(self, drawn: Sequence[float | None]) -> Verdict:
        """What a curve drawn by hand was found to be.

        Parameters
        ----------
        drawn
            Height of each column in the units of y; None where nothing is drawn.

        Returns
        -------
        Verdict
            "ours", a wrong line, or "other".

        Raises
        ------
        ValueError
            If there are not as many heights as columns, or fewer than 80 % are drawn.
        """
        heights = np.clip(self.y.share(self._whole(drawn)), 0.0, 1.0)
        shape = Shape(heights)
        if self._goes_as_ours(shape):
            return Verdict(name="ours", belief="", says=self.ours)
        named = self._clearly_nearest(shape)
        if named is None:
            return Verdict(name="other", belief="", says=_OTHERWISE)
        return Verdict(name=named.name, belief=named.belief, says=named.says)

    def _whole(self, drawn: Sequence[float | None]) -> FloatArray:
        """The drawn curve with its gaps filled."""
        if len(drawn) != len(self.columns):
            raise ValueError(f"drawn must hold {len(self.columns)} heights (got {len(drawn)})")
        given = [at for at, height in enumerate(drawn) if height is not None]
        heights = np.array([drawn[at] for at in given], dtype=np.float64)
        if len(given) < ENOUGH * len(drawn) - 1e-9 or not np.all(np.isfinite(heights)):
            raise ValueError("drawn must hold a number in at least four columns of five")
        return np.interp(np.arange(len(drawn)), given, heights)

    @cached_property
    def _true_shape(self) -> Shape:
        return Shape(np.clip(self.y.share(self.true_values), 0.0, 1.0))

    @cached_property
    def _typical(self) -> dict[str, list[FloatArray]]:
        """Each typical wrong line in its place, and a little earlier and later."""
        across = self._true_shape.across
        return {
            line.name: [Shape(line.typical(across - by)).heights for by in _SLID]
            for line in self.wrong
        }

    def _clearly_nearest(self, shape: Shape) -> WrongLine | None:
        """The nearest of the wrong lines whose test holds, if it is clearly nearer than ours."""
        true = self._true_shape.heights
        ours = _apart(shape.heights, true, _STRETCH)
        clear = []
        for line in self.wrong:
            if not line.test(shape):
                continue
            typical = self._typical[line.name]
            theirs = min(_apart(shape.heights, one, _STRETCH) for one in typical)
            between = _apart(typical[len(typical) // 2], true, _STRETCH)
            if ours**2 - theirs**2 >= _CLEARLY * between**2:
                clear.append((theirs, line))
        return min(clear, key=lambda one: one[0])[1] if clear else None

    def _goes_as_ours(self, shape: Shape) -> bool:
        """Whether it is the true one: at any height, half to twice as steep, early or late."""
        true = self._true_shape
        slid = (np.interp(true.across - by, true.across, true.heights) for by in _EARLY_OR_LATE)
        distance = min(_apart(shape.heights, one, _STRETCH) for one in slid)
        if distance > _NEAR:
            return False
        # a bent curve must be bent: nearer to the true one than to any straight line
        line = np.polynomial.Polynomial.fit(shape.across, shape.heights, 1)(shape.across)
        true_line = np.polynomial.Polynomial.fit(true.across, true.heights, 1)(true.across)
        if _apart(true.heights, true_line, (1.0, 1.0)) < 0.03:
            return True
        return distance < 0.8 * math.sqrt(float(np.mean((shape.heights - line) ** 2)))


def _apart(one: FloatArray, other: FloatArray, stretch: tuple[float, float]) -> float:
    """Least root mean square distance of one curve from another, raised and stretched."""
    middle = other - other.mean()
    size = float(middle @ middle)
    best = float((one - one.mean()) @ middle) / size if size > 1e-12 else 1.0
    off = one - one.mean() - np.clip(best, *stretch) * middle
    return math.sqrt(float(np.mean(off**2)))


def prediction_description(prediction: Prediction) -> dict[str, Any]:
    """Everything the browser must know of a prediction, as plain data.

    Parameters
    ----------
    prediction
        The prediction.

    Returns
    -------
    dict
        Words, axes, columns and the true curve.
    """
    columns = np.asarray(prediction.columns)
    none: tuple[ArrayLike, ArrayLike] = ([], [])
    low, high = prediction.spread(columns) if prediction.spread else none
    tell = int(np.argmin(np.abs(columns - prediction.tell_at)))
    return {
        "name": prediction.name,
        "heading": prediction.heading,
        "ask": prediction.ask,
        "note": prediction.note,
        "then": prediction.then,
        "x": _axis(prediction.x, 300, 50),
        "y": _axis(prediction.y, 220, 40),
        "columns": [float(value) for value in columns],
        "start": prediction.start,
        "startSays": prediction.start_says,
        "truth": [float(value) for value in prediction.true_values],
        "low": [float(value) for value in np.asarray(low)],
        "high": [float(value) for value in np.asarray(high)],
        "tell": tell,
        "trueSays": prediction.y.form.format(prediction.true_values[tell]),
        "enough": ENOUGH,
    }


def _axis(axis: Axis, pixels: float, apart: float) -> dict[str, Any]:
    low, high = sorted(axis.limits)
    before, _, rest = axis.form.partition("{")
    spec, _, after = rest.partition("}")
    digits = next((int(b) for a, b in itertools.pairwise(spec) if a == "." and b.isdigit()), 0)
    return {
        "label": axis.label,
        "limits": list(axis.limits),
        "ticks": axis_ticks(axis.ticks, (low, high), pixels, apart),
        "before": before,
        "after": after,
        "digits": digits,
    }

"""Lesson 09's curve to draw: Otterby's heel through the next three trims."""

from __future__ import annotations

from functools import cache

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.figures.prediction import Axis, Prediction, Shape, WrongLine
from hoofcalc.figures.trim_cycle_figure import Course, course, start_of

_WEEKS, _INTERVAL = 18.0, 6.0
_LOW_DEG, _HIGH_DEG = 13.0, 32.0
_COLUMNS = tuple(float(week) for week in np.linspace(0.0, _WEEKS, 55).round(4))


@cache
def _course() -> Course:
    """Otterby's heel, trimmed today and every six weeks."""
    start = start_of("run under")
    return course(
        start["story"],
        _INTERVAL,
        toe_down_mm=start["toe_down_mm"],
        heel_down_mm=start["heel_down_mm"],
        heel_wear_mm_day=start["heel_wear_mm_day"],
    )


def _heel(weeks: FloatArray, column: int) -> FloatArray:
    """One column of the heel's angles; at a trim, as it stands before it."""
    path = _course()
    just_trimmed = np.flatnonzero(np.diff(path.weeks) == 0.0) + 1
    times = path.weeks.copy()
    times[just_trimmed] += 0.01  # a trim takes no time, and a line must go on
    return np.asarray(np.interp(weeks, times, path.heel_deg[:, column]))


def _true(weeks: FloatArray) -> FloatArray:
    return _heel(weeks, 1)


def _spread(weeks: FloatArray) -> tuple[FloatArray, FloatArray]:
    return _heel(weeks, 0), _heel(weeks, 2)


def _tooth(across: FloatArray) -> FloatArray:
    """A fall of one between the trims, a leap back at each."""
    since = across * _WEEKS / _INTERVAL
    return np.ceil(since) - since - np.where(since > 0, 0.0, -1.0)


def _teeth(shape: Shape) -> float:
    """How high its teeth are, in parts of the plane; below 0 where they stand upside down."""

    def bare(heights: FloatArray) -> FloatArray:
        line = np.polynomial.Polynomial.fit(shape.across, heights, 1)(shape.across)
        return np.asarray(heights - line)

    wanted = bare(Shape(_tooth(shape.across)).heights)
    return float(bare(shape.heights) @ wanted / (wanted @ wanted))


_START = float((_true(np.array([0.0]))[0] - _LOW_DEG) / (_HIGH_DEG - _LOW_DEG))

TRIM_CYCLE_PREDICTION = Prediction(
    name="trim_cycle",
    heading="How will Otterby's heel go through the next three trims?",
    ask=(
        "Otterby's heel is trimmed today, then every six weeks, each time to the same height. "
        "Draw its angle from week to week, up to the third trim."
    ),
    x=Axis(
        label="weeks; a trim at 6, 12 and 18",
        limits=(0.0, _WEEKS),
        ticks=((0, "today"), 6, 12, 18),
        form="week {:g}",
    ),
    y=Axis(label="heel, degrees from the ground", limits=(_LOW_DEG, _HIGH_DEG), form="{:.0f}°"),
    columns=_COLUMNS,
    start=round(float(_true(np.array([0.0]))[0]), 1),
    start_says="trimmed today",
    truth=_true,
    spread=_spread,
    tell_at=11.5,
    ours="Teeth: so it is. Growth tips the foot back, the rasp stands it up again.",
    then=(
        "Over it lies a band that widens: nobody knows how steep the new horn comes. It leaves "
        "room for a heel that sinks and for one that rises."
    ),
    wrong=(
        WrongLine(
            name="upside down",
            test=lambda shape: _teeth(shape) < -0.05,
            belief="Growing stands it up, trimming lays it down",
            says=(
                "The shoe keeps the toe from wearing, so the toe gains more than the heel. "
                "Between trims the foot tips back."
            ),
            like=lambda across: _START - 0.07 + 0.16 * (1.0 - _tooth(across)),
        ),
        WrongLine(
            name="stairs up",
            test=lambda shape: _teeth(shape) > 0.02 and shape.climb() > 0.12,
            belief="Each trim lifts it a bit more",
            says="You rasped height. The horn above has not turned.",
            like=lambda across: _START - 0.15 + 0.15 * np.ceil(3.0 * across),
        ),
        WrongLine(
            name="teeth that sink",
            test=lambda shape: _teeth(shape) > 0.05 and shape.climb() < -0.12,
            belief="It loses a little every time",
            says=(
                "Since April it did. What did it is not known, and bending alone would hardly "
                "do it. Our band leaves room for yours."
            ),
            like=lambda across: _START - 0.45 * across - 0.14 * (1.0 - _tooth(across)),
        ),
        WrongLine(
            name="smooth fall",
            test=lambda shape: shape.climb() < -0.12,
            belief="It only gets worse",
            says="No teeth: where is your trim? And nothing we know drives it down for ever.",
            like=lambda across: _START - 0.45 * across,
        ),
        WrongLine(
            name="smooth rise",
            test=lambda shape: shape.climb() > 0.12,
            belief="From now on it gets better",
            says="No teeth: six weeks grow in between. And nothing has changed that would lift it.",
            like=lambda across: _START + 0.35 * across,
        ),
        WrongLine(
            name="level",
            test=lambda shape: shape.is_level(0.22),
            belief="Nothing happens in six weeks",
            says="Six weeks grew. The toe gained more than the heel, and the foot tipped back.",
            like=lambda across: np.full_like(across, _START),
        ),
    ),
    note=(
        "Otterby is invented. Shod, growth 0.25 mm a day, heel wear 0.08; the heel taken as "
        "steady at six weeks."
    ),
)

"""Lesson 08's curve to draw: how hard Fernlow's heel works as it is laid down."""

from __future__ import annotations

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.figures.prediction import Axis, Prediction, Shape, WrongLine
from hoofcalc.figures.underrun_figure import times_the_foot_in_line

_STEEPEST_DEG, _FLATTEST_DEG = 60.0, 26.0
_MOST_TIMES = 2.6
_FIRST = 0.2  # where the typical wrong lines begin, in parts of the plane


def _true(heels_deg: FloatArray) -> FloatArray:
    """Work at Fernlow's heel in times what it is as it stands, push straight up."""
    times: FloatArray = times_the_foot_in_line(np.tile(heels_deg, (3, 1)), 0.0)[0]
    return times


UNDERRUN_PREDICTION = Prediction(
    name="underrun",
    heading="How hard is the heel bent as it lies flatter?",
    ask=(
        "Fernlow's heel stands at 46 degrees. Stand it up to 60, then lay it down to 26: same "
        "push, same height. As it stands it is 1. Draw how hard its horn works."
    ),
    x=Axis(
        label="heel, degrees from the ground",
        limits=(_STEEPEST_DEG, _FLATTEST_DEG),
        ticks=(60, 46, 36, 26),
        form="{:.0f}°",
    ),
    y=Axis(label="work at the heel, times", limits=(0.0, _MOST_TIMES), form="{:.1f}×"),
    truth=_true,
    tell_at=36.0,
    ours="Slow, then steep: so it is. More of the push goes across, on a longer lever.",
    then="For one height, a flatter heel is longer. Lean and length work together.",
    wrong=(
        WrongLine(
            name="level",
            test=lambda shape: shape.is_level(0.12),
            belief="Same push, same work",
            says="Same push, yes. Look at the lever.",
            like=lambda across: np.full_like(across, _FIRST),
        ),
        WrongLine(
            name="step",
            test=lambda shape: shape.climb() > 0.15 and shape.is_step(),
            belief="Five degrees, and it goes",
            says="You drew the rule as a cliff. The horn does not know it.",
            like=lambda across: np.where(across < 0.48, _FIRST, 0.75),
        ),
        WrongLine(
            name="straight",
            test=lambda shape: shape.climb() > 0.15 and shape.is_straight(0.18),
            belief="Every degree costs alike",
            says="So it would be for the part across. The lever grows too, and the two multiply.",
            like=lambda across: _FIRST + 0.7 * across,
        ),
        WrongLine(
            name="levels off",
            test=Shape.levels_off,
            belief="The first degrees cost most",
            says="So it is for a post that leans from upright. This heel leans already.",
            like=lambda across: _FIRST + 0.7 * np.sqrt(across),
        ),
        WrongLine(
            name="falls",
            test=lambda shape: shape.climb() < -0.1,
            belief="A flat heel has it easier",
            says="A flat heel has more under it, but it is bent across its tubules.",
            like=lambda across: 0.6 - 0.5 * across,
        ),
    ),
    note="Push straight up; wall, frog and sole as in the figure below.",
)

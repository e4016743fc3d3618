"""Lesson 04's curve to draw: what a tube still carries as it leans."""

from __future__ import annotations

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.columns import capacity_at_lean_n
from hoofcalc.figures.column_figure import bench_object
from hoofcalc.figures.prediction import Axis, Prediction, Shape, WrongLine

_LENGTH_MM, _THICKNESS_MM = 400.0, 50.0
_FIRST = 0.93  # where the typical wrong lines begin, in parts of the plane


def _true(leans_deg: FloatArray) -> FloatArray:
    """What the postal tube carries [N]."""
    tube = bench_object("tube")
    section = tube.section(_THICKNESS_MM)
    carried: FloatArray = np.asarray(
        capacity_at_lean_n(
            leans_deg,
            tube.modulus_mpa,
            section.second_moment_mm4,
            _LENGTH_MM,
            section.area_mm2,
            section.outer_fibre_mm,
            tube.strength_mpa,
        )
    )
    return carried


def _hardly_falls(shape: Shape) -> bool:
    return shape.spread() <= 0.3 and shape.climb() <= 0.12


COLUMN_PREDICTION = Prediction(
    name="columns",
    heading="What does the tube still carry as it leans?",
    ask=(
        "A postal tube stands on end, its foot held, a load on its top. Upright it carries "
        "2400 newtons. Lean it, from 0 to 10 degrees. Draw what it still carries."
    ),
    x=Axis(label="lean, degrees", limits=(0.0, 10.0), ticks=(0, 2, 4, 6, 8, 10), form="{:.0f}°"),
    y=Axis(label="carries, newtons", limits=(0.0, 2600.0), form="{:.0f} N"),
    truth=_true,
    start=2400.0,
    start_says="upright",
    tell_at=1.0,
    ours="It drops at once, then levels: so it is. The first degree takes about half.",
    then="Upright, the whole wall helps. Leaning, one edge of the foot takes most of it.",
    wrong=(
        WrongLine(
            name="cliff",
            test=lambda shape: shape.climb() < -0.3 and shape.is_step(),
            belief="It holds until it falls",
            says="It bends from the first degree. The bang is only what you hear.",
            like=lambda across: np.where(across < 0.5, _FIRST, 0.1),
        ),
        WrongLine(
            name="hardly falls",
            test=_hardly_falls,
            belief="A few degrees are no matter",
            says="One degree took about half.",
            like=lambda across: _FIRST - 0.1 * across,
        ),
        WrongLine(
            name="straight",
            test=lambda shape: shape.climb() < -0.2 and shape.is_straight(0.2),
            belief="Every degree costs alike",
            says="The first degree costs most. Upright, the whole wall helps.",
            like=lambda across: _FIRST - 0.8 * across,
        ),
        WrongLine(
            name="slow, then steep",
            test=lambda shape: shape.climb() < -0.2 and shape.bend > 0.1,
            belief="The last degrees cost most",
            says="You drew how far it leans. What bends it is there from the first degree.",
            like=lambda across: _FIRST - 0.8 * across**2.5,
        ),
        WrongLine(
            name="rises",
            test=lambda shape: shape.climb() > 0.12,
            belief="A lean braces it",
            says="A leg braced by others, yes. This one leans alone, and its top is free.",
            like=lambda across: 0.4 + 0.5 * across,
        ),
    ),
    note="Tube 400 mm long, 50 mm thick, wall 2 mm: typical values, ours. Half to double is usual.",
)

"""Lesson 00's curve to draw: how far the toe runs ahead of its hairline as it lies flatter."""

from __future__ import annotations

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.figures.prediction import Axis, Prediction, Shape, WrongLine

_HAIRLINE_MM = 75.0
_STEEPEST_DEG, _FLATTEST_DEG = 70.0, 25.0
_FIRST = 0.2  # where the typical wrong lines begin, in parts of the plane


def _true(toes_deg: FloatArray) -> FloatArray:
    """Ground point of the toe ahead of a hairline that is 75 mm up [mm]."""
    ahead: FloatArray = _HAIRLINE_MM / np.tan(np.radians(toes_deg))
    return ahead


ORIENTATION_PREDICTION = Prediction(
    name="orientation",
    heading="How far does the toe run ahead of its hairline?",
    ask=(
        "The hairline at the toe stays 75 mm above the ground. Lay the toe wall down from 70 "
        "degrees to 25. Draw how far ahead of the hairline the toe meets the ground."
    ),
    x=Axis(
        label="toe, degrees from the ground",
        limits=(_STEEPEST_DEG, _FLATTEST_DEG),
        ticks=(70, 60, 50, 40, 30),
        form="{:.0f}°",
    ),
    y=Axis(
        label="toe ahead of its hairline, mm",
        limits=(0.0, 180.0),
        ticks=(0, 50, 100, 150),
        form="{:.0f} mm",
    ),
    truth=_true,
    tell_at=40.0,
    ours="Further and further, ever faster: so it is.",
    then="From 55 to 45 the toe gains 22 mm. From 45 to 35 it gains 32.",
    wrong=(
        WrongLine(
            name="level",
            test=lambda shape: shape.is_level(0.12),
            belief="Only the height counts",
            says="The hairline stayed. The ground point didn't.",
            like=lambda across: np.full_like(across, 0.4),
        ),
        WrongLine(
            name="step",
            test=lambda shape: shape.climb() > 0.15 and shape.is_step(),
            belief="It holds, then it runs away",
            says="There is no such place. Each degree moves the toe, from the first one.",
            like=lambda across: np.where(across < 0.55, _FIRST, 0.85),
        ),
        WrongLine(
            name="straight",
            test=lambda shape: shape.climb() > 0.15 and shape.is_straight(),
            belief="Every degree is alike",
            says="From 55 to 45 the toe gains 22 mm, from 45 to 35 it gains 32.",
            like=lambda across: _FIRST + 0.65 * across,
        ),
        WrongLine(
            name="levels off",
            test=Shape.levels_off,
            belief="The first degrees count most",
            says="They move it least. A flat wall is the long one, and its end swings.",
            like=lambda across: 0.1 + 0.8 * np.sqrt(across),
        ),
        WrongLine(
            name="falls",
            test=lambda shape: shape.climb() < -0.1,
            belief="A larger number lies flatter",
            says="You counted from the upright. We count from the ground: ninety is upright.",
            like=lambda across: 0.85 - 0.6 * across,
        ),
    ),
    note="Hairline 75 mm up: invented, a common front foot. A straight wall, seen from the side.",
)

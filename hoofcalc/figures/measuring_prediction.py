"""Lesson 03's curve to draw: how far a hand alone may turn a wall, by the wall's length."""

from __future__ import annotations

import numpy as np

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._inputs import FloatArray
from hoofcalc.angles import slope_error_deg
from hoofcalc.figures.measuring_figure import point_error_mm
from hoofcalc.figures.prediction import Axis, Prediction, WrongLine

_DISTANCE_M = 1.0


def _true(lengths_mm: FloatArray) -> FloatArray:
    """Doubt of a line's angle, 19 times of 20 [degrees]."""
    doubt: FloatArray = ERRORS_FOR_95 * np.asarray(
        slope_error_deg(point_error_mm(_DISTANCE_M), lengths_mm)
    )
    return doubt


MEASURING_PREDICTION = Prediction(
    name="measuring",
    heading="How unsure is an angle on a short wall, and on a long one?",
    ask=(
        "One hand, one photograph. It sets the two ends of a wall, each a little off. The wall "
        "is 20 mm long, or 120, or between. Draw how far its angle may be out."
    ),
    x=Axis(
        label="length of the wall, mm",
        limits=(20.0, 120.0),
        ticks=(20, 40, 60, 80, 100, 120),
        form="{:.0f} mm",
    ),
    y=Axis(label="doubt of the angle, ± degrees", limits=(0.0, 8.0), form="± {:.1f}°"),
    truth=_true,
    tell_at=40.0,
    ours="Twice as long, half the doubt: so it is. It halves and halves, and never gets there.",
    then="A heel wall is about half as long as a toe wall. So its angle is half as sure.",
    wrong=(
        WrongLine(
            name="level",
            test=lambda shape: shape.is_level(0.15),
            belief="A steady hand is steady everywhere",
            says="Same hand, shorter line. It turns further.",
            like=lambda across: np.full_like(across, 0.4),
        ),
        WrongLine(
            name="rising",
            test=lambda shape: shape.climb() > 0.15 and not shape.is_hump(),
            belief="More line, more mistakes",
            says="You set only the two ends.",
            like=lambda across: 0.15 + 0.6 * across,
        ),
        WrongLine(
            name="cliff",
            test=lambda shape: shape.climb() < -0.25 and shape.is_step(),
            belief="Long enough is good enough",
            says="There is no such length. Each millimetre helps, the first ones most.",
            like=lambda across: np.where(across < 0.5, 0.8, 0.12),
        ),
        WrongLine(
            name="best in the middle",
            test=lambda shape: shape.is_dip(0.2),
            belief="Too long is as bad as too short",
            says="A long wall may be dished, and then has no one angle. A straight one only gains.",
            like=lambda across: 0.85 - 2.6 * across * (1 - across),
        ),
        WrongLine(
            name="straight to nothing",
            test=lambda shape: shape.climb() < -0.25 and shape.is_straight(0.2),
            belief="Every millimetre helps alike",
            says="It halves and halves. It never gets there.",
            like=lambda across: 0.85 - 0.8 * across,
        ),
    ),
    note="Photograph from one metre, points good to 0.8 mm: typical values, ours. 19 times of 20.",
)

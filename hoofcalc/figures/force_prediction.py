"""Lesson 02's curve to draw: how the push leans through a stance at trot."""

from __future__ import annotations

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.figures.prediction import Axis, Prediction, Shape, WrongLine
from hoofcalc.ground_force import stance_force

_MOST_DEG = 15.0
_DUTY_FACTOR = 0.38  # of the yard's film; it does not change the lean
_MASS_KG = 500.0


def _true(percent: FloatArray) -> FloatArray:
    """Lean of the push on a front foot at trot, back above zero [degrees]."""
    force = stance_force("trot", "fore", _MASS_KG, _DUTY_FACTOR, np.asarray(percent) / 100)
    lean: FloatArray = np.asarray(force.tilt_deg)
    return lean


def _stays(shape: Shape, low: float, high: float) -> bool:
    """Level, at a height between two."""
    return shape.is_level(0.22) and low <= float(shape.heights.mean()) < high


FORCE_PREDICTION = Prediction(
    name="ground_force",
    heading="Which way does the push lean?",
    ask=(
        "A front foot at trot. It came in 22 degrees forward. Now it stands. Draw how the push of "
        "the ground leans: above the middle back, below it forward."
    ),
    x=Axis(
        label="part of the stance (%)",
        limits=(10.0, 90.0),
        ticks=(10, 30, 50, 70, 90),
        form="{:.0f} %",
    ),
    y=Axis(
        label="lean, degrees: + back, \N{MINUS SIGN} forward",
        limits=(-_MOST_DEG, _MOST_DEG),
        ticks=(-10, 0, 10),
        form="{:.0f}°",
    ),
    truth=_true,
    tell_at=28.0,
    ours="Back, then upright, then forward: so it goes.",
    then="It swings by some ten degrees each way, whatever way the foot came in.",
    wrong=(
        WrongLine(
            name="forward throughout",
            test=lambda shape: _stays(shape, 0.0, 0.4),
            belief="It follows the path in",
            says="That is the road it came in on. Once the foot stands, that is over.",
            like=lambda across: np.full_like(across, 0.2),
        ),
        WrongLine(
            name="upright throughout",
            test=lambda shape: _stays(shape, 0.4, 0.6),
            belief="Weight only goes down",
            says="The horse also slows and speeds up within each step.",
            like=lambda across: np.full_like(across, 0.5),
        ),
        WrongLine(
            name="back throughout",
            test=lambda shape: _stays(shape, 0.6, 1.01),
            belief="The ground only brakes",
            says="Then the horse would stop.",
            like=lambda across: np.full_like(across, 0.8),
        ),
        WrongLine(
            name="the other way round",
            test=lambda shape: shape.climb() > 0.2 and not shape.is_hump() and not shape.is_dip(),
            belief="First it pushes, then it brakes",
            says="You drew what the foot does to the ground. We draw what the ground does to it.",
            like=lambda across: 0.2 + 0.6 * across,
        ),
        WrongLine(
            name="most in the middle",
            test=lambda shape: shape.is_hump(0.15) or shape.is_dip(0.15),
            belief="The hardest push leans most",
            says="In the middle the push is greatest, and nearly upright. It leans at both ends.",
            like=lambda across: 0.5 + 0.4 * np.sin(np.pi * across),
        ),
    ),
    note="Front foot at trot, even speed, straight line. The first and last tenth are left out: "
    "there the force is small and the curve least sure.",
)

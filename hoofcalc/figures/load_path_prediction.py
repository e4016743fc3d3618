"""Lesson 07's curve to draw: how hard Otterby's heel works from braking to pushing off."""

from __future__ import annotations

from hoofcalc.figures.load_path_figure import heel_work_by_lean
from hoofcalc.figures.prediction import Axis, Prediction, WrongLine

LOAD_PATH_PREDICTION = Prediction(
    name="load_path",
    heading="How does the bending at Otterby's heel change from braking to pushing off?",
    ask=(
        "The push leans 8 degrees back, comes upright, and leans 8 forward: same size, same place. "
        "Fernlow's heel under an upright push is 1. Draw how hard Otterby's heel works."
    ),
    x=Axis(
        label="the push leans, degrees",
        limits=(8.0, -8.0),
        ticks=((8.0, "8 back"), (0.0, "upright"), (-8.0, "8 forward")),
        form="{:.0f}°",
    ),
    y=Axis(
        label="work at the heel, times", limits=(0.0, 4.0), ticks=(0, 1, 2, 3, 4), form="{:.1f}×"
    ),
    truth=heel_work_by_lean,
    tell_at=-4.0,
    ours="Nearly level: so it is. This heel lies 67 degrees off the push already.",
    then="From end to end it changes by a quarter. Where the push acts changes far more.",
    wrong=(
        WrongLine(
            name="most when upright",
            test=lambda shape: shape.is_hump(),
            belief="Upright is the full load",
            says="You let the push grow as well. We held its size.",
            like=lambda across: 0.2 + 2.0 * across * (1 - across),
        ),
        WrongLine(
            name="least when upright",
            test=lambda shape: shape.is_dip(),
            belief="Upright is kindest",
            says="So it would be for a post that stands upright. This heel does not.",
            like=lambda across: 0.8 - 2.0 * across * (1 - across),
        ),
        WrongLine(
            name="gone when pushing off",
            test=lambda shape: shape.climb() < -0.25 and shape.bend > 0.08,
            belief="Pushing off, the heel is off duty",
            says="You moved the centre as well. We held it.",
            like=lambda across: 0.75 - 0.65 * across**3,
        ),
        WrongLine(
            name="high when braking",
            test=lambda shape: shape.climb() < -0.2,
            belief="Braking tears the heel",
            says="A push that leans back leans the way the heel leans. It eases it a little.",
            like=lambda across: 0.85 - 0.6 * across,
        ),
        WrongLine(
            name="high when pushing off",
            test=lambda shape: shape.climb() > 0.25,
            belief="Every degree of lean counts",
            says="The right way, and far too much: 67 degrees off the push, 8 more hardly show.",
            like=lambda across: 0.15 + 0.7 * across,
        ),
    ),
    note="The size of the push and the place where it acts are held.",
)

"""Lesson 05's curve to draw: how stiff horn is across its tubules, by how much glue it has."""

from __future__ import annotations

import numpy as np

from hoofcalc.figures.horn_figure import stiffness_across_mpa
from hoofcalc.figures.prediction import Axis, Prediction, WrongLine

HORN_PREDICTION = Prediction(
    name="horn",
    heading="How much glue does it take?",
    ask=(
        "Press a piece of middle wall straight across its tubules. Glue them bit by bit, from not "
        "at all to all along. Draw how stiff it is across."
    ),
    x=Axis(
        label="glue, share of the faces",
        limits=(0.0, 1.0),
        ticks=((0.0, "none"), 0.2, 0.4, 0.6, 0.8, (1.0, "all")),
        form="{:.2f}",
    ),
    y=Axis(label="stiffness across, MPa", limits=(0.0, 900.0), form="{:.0f} MPa"),
    truth=stiffness_across_mpa,
    tell_at=0.1,
    ours="It lifts at once, then slower: so it is. The first tenth does most.",
    then="A tenth of the glue gives more than a fifth of the stiffness, three tenths about half.",
    wrong=(
        WrongLine(
            name="level",
            test=lambda shape: shape.is_level(0.15),
            belief="The glue is only filler",
            says="With no glue they slide past one another, and nothing is left.",
            like=lambda across: np.full_like(across, 0.7),
        ),
        WrongLine(
            name="hump",
            test=lambda shape: shape.is_hump(0.2),
            belief="Too much makes it brittle",
            says="You drew how hard it is to crack. This is how little it gives.",
            like=lambda across: 0.1 + 2.6 * across * (1 - across),
        ),
        WrongLine(
            name="step",
            test=lambda shape: shape.climb() > 0.2 and shape.is_step(),
            belief="Half will not do, more will",
            says="There is no point where it catches. Every patch of glue stops some sliding.",
            like=lambda across: np.where(across < 0.5, 0.06, 0.8),
        ),
        WrongLine(
            name="late",
            test=lambda shape: shape.climb() > 0.2 and shape.bend < -0.12,
            belief="It must be perfect to be of use",
            says="A tenth of the glue already gives a fifth.",
            like=lambda across: 0.04 + 0.8 * across**4,
        ),
        WrongLine(
            name="straight",
            test=lambda shape: shape.climb() > 0.2 and shape.is_straight(0.13),
            belief="Twice the glue, twice as stiff",
            says="The first patches do most. Later ones help what is held already.",
            like=lambda across: 0.04 + 0.8 * across,
        ),
    ),
    note="Sound middle wall; less than all its glue is a model of ours, not measured.",
)

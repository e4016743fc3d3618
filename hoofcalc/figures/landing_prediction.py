"""Lesson 01's curve to draw: how fast a foot still goes forward in its last tenth of a second."""

from __future__ import annotations

import numpy as np

from hoofcalc import datasets
from hoofcalc._inputs import FloatArray
from hoofcalc.figures.prediction import Axis, Prediction, Shape, WrongLine

_BEFORE_MS = 100.0
_MOST_M_S = 6.0


def _true(since_ms: FloatArray) -> FloatArray:
    """Forward speed of the heel in the yard's motion of a trot [m/s]."""
    truth = datasets.track_truth("trot", "fore")
    track = datasets.track("trot", "fore", 1000)
    times, heel = np.asarray(track["times_s"]), np.asarray(track["second_mm"])[:, 0]
    air = times < truth.contact_s  # the speed has a corner where the heel touches
    speed = np.gradient(heel[air], times[air]) / 1000
    known = np.append(1000 * (times[air] - truth.contact_s), 0.0)
    found: FloatArray = np.interp(since_ms, known, np.append(speed, truth.landing_forward_m_s))
    return found


def _set_down_early(shape: Shape) -> bool:
    """At nothing, or nearly, a good while before it touches."""
    return shape.climb() < -0.25 and shape.at(0.6) < 0.15


LANDING_PREDICTION = Prediction(
    name="landing",
    heading="How fast does the foot still go forward?",
    ask=(
        "A front foot at trot, the last tenth of a second before its heel touches. At the start "
        "it flies forward at some 5 m/s. Draw its speed forward, to the touch."
    ),
    x=Axis(
        label="before the heel touches (ms)",
        limits=(-_BEFORE_MS, 0.0),
        ticks=((-100, "100"), (-75, "75"), (-50, "50"), (-25, "25"), (0, "0")),
        form="{:.0f} ms",
    ),
    y=Axis(label="speed forward, m/s", limits=(0.0, _MOST_M_S), form="{:.1f} m/s"),
    truth=_true,
    tell_at=-30.0,
    ours="Fast at first, then less and less, with a little left at the touch: so it goes.",
    then="What is left, well under 1 m/s, makes the foot slide on for a moment.",
    wrong=(
        WrongLine(
            name="level",
            test=lambda shape: shape.is_level(0.2),
            belief="It flies in at full speed",
            says="It brakes in the air. Most is gone before it touches.",
            like=lambda across: np.full_like(across, 0.8),
        ),
        WrongLine(
            name="rising",
            test=lambda shape: shape.climb() > 0.12 and not shape.is_dip(),
            belief="It swings freely, ever faster",
            says="Left to swing, it would gain speed. The horse is drawing it back.",
            like=lambda across: 0.5 + 0.4 * across,
        ),
        WrongLine(
            name="at the last moment",
            test=lambda shape: shape.climb() < -0.25 and shape.climb(0.0, 0.7) > -0.18,
            belief="The ground stops it",
            says="The ground takes the last bit only. The limb has slowed it before.",
            like=lambda across: np.where(across < 0.85, 0.8, 0.8 - 4.5 * (across - 0.85)),
        ),
        WrongLine(
            name="set down",
            test=_set_down_early,
            belief="It stands still, then comes down",
            says="You stopped it too soon. What is left makes it slide.",
            like=lambda across: np.maximum(0.8 - 1.8 * across, 0.0),
        ),
        WrongLine(
            name="slows and gains",
            test=lambda shape: shape.is_dip(),
            belief="It reaches out at the end",
            says="Nothing speeds it up before it touches. It only slows.",
            like=lambda across: 0.8 - 2.2 * across * (1 - across) - 0.1 * across,
        ),
    ),
    note="Motion invented, of the yard Brackenfold. Published forward speeds do not agree with "
    "each other; how fast a foot slows in its very last moments nobody has measured.",
)

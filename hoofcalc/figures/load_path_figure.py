"""Lesson 07's figure: the push on the foot in 3-D, and its parts along the unrolled rim.

The mechanics are those of `hoofcalc.loadpath`. The feet are the invented yard's; the size of the
push is a published one.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.figures.foot_in_space import (
    PUSH_SERIES,
    push_round_rim,
    turn_slider,
    unrolled_rim,
)
from hoofcalc.figures.scene import Panel
from hoofcalc.figures.solid_foot import seen_from
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values
from hoofcalc.horn import Horn, horn_at
from hoofcalc.loadpath import force_vector, share_out, utilisation
from hoofcalc.profile import Profile

#: A fore foot's peak at the trot, 11.59 N/kg for 500 kg (Merkens et al. 1993).
PUSH_N = 5795.0
#: Water in the horn [%]; in the middle of the published natural values.
WATER_PERCENT = 25.0
#: Width at the coronary band over that at the ground, from the yard's front views.
TAPERS = {"in line": 0.86, "run under": 0.90, "too upright": 0.74}

_PER_SIDE = 30
_MIDDLE = np.array([42.0, 0.0, 20.0])  # of the turning foot [mm]
_LOOK_DOWN_DEG = 20.0
_MM_PER_N = 0.013  # of the whole push's arrow
_MM_PER_STRIP_N = 0.25  # of the strips' pushes


def compute(
    *,
    tilt_deg: float,
    centre_percent: float,
    aside_mm: float,
    other_percent: float,
    turn_deg: float,
    story: str,
) -> dict[str, Any]:
    """The push shared out round the rim, its parts, and the strength in use.

    Parameters
    ----------
    tilt_deg
        Lean of the push from the vertical, positive back (braking) [degrees].
    centre_percent
        Where it acts: 0 at the heels, 100 at the toe [% of the bearing length].
    aside_mm
        How far to the left of the mid-line it acts [mm].
    other_percent
        Part of the push that frog, bars and sole carry [%].
    turn_deg
        From where the foot is seen [degrees].
    story
        Which of the three feet.

    Returns
    -------
    dict
        Points for every series [mm, or per cent], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If the push acts outside the foot.
    """
    foot = _foot(story)
    force = force_vector(PUSH_N, tilt_deg)
    heel, toe = foot.ground[[0, _PER_SIDE], 0]
    centre = np.array([heel + centre_percent / 100 * (toe - heel), aside_mm])
    strips = share_out(foot, force, centre, other_percent / 100)
    return push_round_rim(
        foot,
        _MIDDLE,
        force,
        centre,
        strips,
        100 * utilisation(foot, strips, _horn()),
        turn_deg=turn_deg,
        look_down_deg=_LOOK_DOWN_DEG,
        mm_per_n=_MM_PER_N,
        mm_per_strip_n=_MM_PER_STRIP_N,
    )


def sentence(values: Values, results: Results) -> str:
    """What the picture shows, in words.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        Four or five short sentences.
    """
    tilt = values["tilt_deg"]
    leans = "stands upright"
    if tilt:
        leans = f"leans {abs(tilt):g} degrees {'back' if tilt > 0 else 'forward'}"
    most = results["most"]
    use = (
        "there a strip gives way sideways in this model (read it as: it lives on what the model "
        "leaves out)"
        if np.isinf(most)
        else f"there {most:.0f} % of the strength is in use"
    )
    along, across = results["parts"]
    side = "on the mid-line"
    if values["aside_mm"]:
        way = "left" if values["aside_mm"] > 0 else "right"
        side = f"{abs(values['aside_mm']):g} mm to the {way} of the mid-line"
    lifted = ""
    if results["lifted_percent"]:
        lifted = f" {results['lifted_percent']:.0f} % of the rim has lifted."
    return (
        f"The foot {values['story']}: the push {leans} and acts at {values['centre_percent']:g} % "
        f"of the way from heels to toe, {side}. Weakest is the {results['place']}: {use}. The "
        f"push meets the tubules there at {results['angle']:.0f} degrees, {along:.0f} % of it "
        f"along and {across:.0f} % across; at the toe at {results['toe']:.0f} degrees. The wall "
        f"carries {results['wall_n']:.0f} N of {PUSH_N:.0f}.{lifted} "
        f"{seen_from(values['turn_deg'], _LOOK_DOWN_DEG)}."
    )


def alt(values: Values, results: Results) -> str:
    """What is drawn, for those who cannot see it.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        Two or three sentences.
    """
    return (
        f"Left: the hoof {values['story']} in 3-D with the push of the ground as a thick arrow "
        f"from below and thinner strokes for the share of each piece of rim; the wall is darker "
        f"where more of its strength is in use, darkest at the {results['place']}. Right: the rim "
        f"unrolled from right heel over toe to left heel, with three curves: the part of the push "
        f"along the tubules, the part across, and the strength in use."
    )


@lru_cache(maxsize=3)
def _foot(story: str) -> Capsule:
    """A story foot."""
    record = datasets.story_feet()[story]
    outline = datasets.outline(record.horse, record.foot)
    return build_capsule(Profile(**record.landmarks), outline, TAPERS[story], per_side=_PER_SIDE)


@lru_cache(maxsize=1)
def _horn() -> Horn:
    """Horn of the middle wall."""
    return horn_at(water_percent=WATER_PERCENT).central


_MOMENTS = {"Braking": 5.6, "Mid-stance": 0.0, "Pushing off": -4.2}

LOAD_PATH = Figure(
    name="load-path",
    title="Where the push goes along the tubules, and where across",
    sliders=(
        Slider(
            name="tilt_deg",
            label="Tilt",
            unit="degrees",
            minimum=-12,
            maximum=12,
            step=0.2,
            start=0,
        ),
        Slider(
            name="centre_percent",
            label="Centre, from heels to toe",
            unit="%",
            minimum=20,
            maximum=80,
            step=1,
            start=60,
        ),
        Slider(
            name="aside_mm",
            label="Centre to the left",
            unit="mm",
            minimum=-25,
            maximum=25,
            step=1,
            start=0,
        ),
        Slider(
            name="other_percent",
            label="Frog and sole carry",
            unit="%",
            minimum=0,
            maximum=60,
            step=1,
            start=20,
        ),
        turn_slider(-25),
    ),
    choices={"story": "run under"},
    presets=(
        *(
            Preset(label=story.capitalize(), values={"story": story})
            for story in ("in line", "run under", "too upright")
        ),
        *(Preset(label=moment, values={"tilt_deg": tilt}) for moment, tilt in _MOMENTS.items()),
    ),
    presets_label="Foot, moment:",
    page_sliders=("tilt_deg",),
    compute=compute,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            title="The foot and the push, in true direction",
            x_limits=(-105, 170),
            y_limits=(-125, 125),
            equal=True,
            axes=False,
            width=480,
            height=460,
            legend="upper right",
        ),
        unrolled_rim(),
    ),
    series=PUSH_SERIES,
    note=(
        "Invented feet of the yard Brackenfold under one push of 5795 N, a fore foot's peak at "
        "the trot for 500 kg; only its direction and place change. Blue strokes: what each piece "
        "of rim carries. Horn at 25 % water, central values. Above 100 % means: more than this "
        "model says the horn bears; bending is on the high side in it."
    ),
)

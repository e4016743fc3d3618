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
from hoofcalc.explorers.declare import Explorer, Preset, Results, Slider, Values
from hoofcalc.horn import Horn, horn_at
from hoofcalc.loadpath import (
    along_across,
    force_vector,
    obliquity_deg,
    share_out,
    utilisation,
    weakest_place,
)
from hoofcalc.pictures import Panel, Scale, Series, Style
from hoofcalc.pictures.solid_foot import flat, foot_tiles, seen_from
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
_MOST = 170.0  # the unrolled rim shows no more [%]
_KEY = 138.0  # the key stands above this [%]
_PLACES = np.linspace(-100.0, 100.0, 2 * _PER_SIDE + 1)
_NONE = np.empty((0, 2))


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
    foot, shown = _foot(story)
    force = force_vector(PUSH_N, tilt_deg)
    heel, toe = foot.ground[[0, _PER_SIDE], 0]
    centre = np.array([heel + centre_percent / 100 * (toe - heel), aside_mm])
    strips = share_out(foot, force, centre, other_percent / 100)
    along, across = along_across(foot, np.broadcast_to(force, foot.ground.shape))
    whole = float(np.linalg.norm(force))
    used = 100 * utilisation(foot, strips, _horn())
    weakest = weakest_place(foot, used)
    angle = obliquity_deg(foot, force)

    tiles, values = foot_tiles(shown, used, turn_deg, _LOOK_DOWN_DEG)
    at = np.append(centre, 0.0) - _MIDDLE
    arrow = np.stack([at - _MM_PER_N * force, at])
    some = slice(None, None, 3)
    low = shown.ground[some]
    comb = np.stack([low - _MM_PER_STRIP_N * strips[some], low, np.full_like(low, np.nan)], axis=1)
    flat_comb = np.full((3 * len(low), 2), np.nan)
    flat_comb[0::3], flat_comb[1::3] = (
        flat(comb[:, end], turn_deg, _LOOK_DOWN_DEG)[0] for end in (0, 1)
    )
    number = int(weakest.strip)
    place = float(_PLACES[number])
    cut = np.minimum(used, _MOST - 12)
    most = float(used[number])
    above = float(cut[number])
    return {
        "tiles": tiles,
        "used": values,
        "arrow": flat(arrow, turn_deg, _LOOK_DOWN_DEG)[0],
        "strips": flat_comb,
        "weak_at": flat(shown.ground[number], turn_deg, _LOOK_DOWN_DEG)[0][None],
        "along": np.column_stack([_PLACES, 100 * along / whole]),
        "across": np.column_stack([_PLACES, 100 * across / whole]),
        "in_use": np.column_stack([_PLACES, cut]),
        "weakest": np.array([[place, above]]),
        "weakest_says_at": np.array([[np.clip(place, -55.0, 55.0), min(above + 9, _KEY - 8)]]),
        "weakest_says": "gives way" if np.isinf(most) else f"weakest: {most:.0f} %",
        "place": str(weakest.name),
        "most": most,
        "angle": float(angle[number]),
        "parts": (float(100 * along[number] / whole), float(100 * across[number] / whole)),
        "toe": float(angle[_PER_SIDE]),
        "wall_n": float(strips[:, 2].sum()),
        "lifted_percent": 100 * float(np.mean(strips[:, 2] == 0)),
    }


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
def _foot(story: str) -> tuple[Capsule, Capsule]:
    """A story foot, and the same moved to where it turns about its middle."""
    record = datasets.story_feet()[story]
    outline = datasets.outline(record.horse, record.foot)
    profile = Profile(**record.landmarks)
    foot = build_capsule(profile, outline, TAPERS[story], per_side=_PER_SIDE)
    moved = (foot.ground - _MIDDLE, foot.coronet - _MIDDLE)
    return foot, Capsule(*moved, foot.thickness_mm, heel_open=True)


@lru_cache(maxsize=1)
def _horn() -> Horn:
    """Horn of the middle wall."""
    return horn_at(water_percent=WATER_PERCENT).central


def _unrolled(axes: Any) -> None:
    """The places round the rim, and the line of full strength."""
    axes.set_xticks([-100, -50, 0, 50, 100])
    axes.set_xticklabels(["right\nheel", "right\nquarter", "toe", "left\nquarter", "left\nheel"])
    axes.set_yticks(range(0, 161, 20))
    axes.axhline(100, color="#5F6368", linewidth=1.5, linestyle=(0, (2, 2)))


_MOMENTS = {"Braking": 5.6, "Mid-stance": 0.0, "Pushing off": -4.2}

LOAD_PATH = Explorer(
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
        Slider(
            name="turn_deg",
            label="Turn",
            unit="degrees",
            minimum=-180,
            maximum=175,  # 180 is -180 again
            step=5,
            start=-25,
        ),
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
        Panel(
            title="The rim unrolled",
            x_limits=(-100, 100),
            y_limits=(0, _MOST),
            x_label="place on the rim (evenly along its length)",
            y_label="of the push, of the strength (%)",
            legend="upper center",
            width=460,
            height=460,
            draw=_unrolled,
        ),
    ),
    series=(
        Series(kind="line", data="strips", style=Style(colour="blue", width=2)),
        Series(
            kind="tiles",
            data="tiles",
            values="used",
            scale=Scale(title="strength in use (%)", bounds=(10.0, 20.0, 40.0, 70.0, 100.0)),
            style=Style(colour="black", width=0.8),
        ),
        Series(kind="arrow", data="arrow", style=Style(colour="vermillion", width=6)),
        Series(
            kind="points",
            data="weak_at",
            style=Style(colour="vermillion", mark="square", size=13),
            label="weakest place",
        ),
        Series(
            kind="line",
            data="along",
            panel=1,
            style=Style(colour="blue", width=3),
            label="push along the tubules",
        ),
        Series(
            kind="line",
            data="across",
            panel=1,
            style=Style(colour="vermillion", width=3, dash=(8, 4)),
            label="push across them",
        ),
        Series(
            kind="line",
            data="in_use",
            panel=1,
            style=Style(colour="black", width=4, dash=(2, 2)),
            label="strength in use",
        ),
        Series(
            kind="points",
            data="weakest",
            panel=1,
            style=Style(colour="vermillion", mark="square", size=13),
        ),
        Series(
            kind="words",
            data="weakest_says_at",
            words="weakest_says",
            panel=1,
            style=Style(colour="black", size=15, align="centre"),
        ),
    ),
    note=(
        "Invented feet of the yard Brackenfold under one push of 5795 N, a fore foot's peak at "
        "the trot for 500 kg; only its direction and place change. Blue strokes: what each piece "
        "of rim carries. Horn at 25 % water, central values. Above 100 % means: more than this "
        "model says the horn bears; bending is on the high side in it."
    ),
)

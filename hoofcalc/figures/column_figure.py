"""Lesson 04's figure: one column, tube or bundle, held at its foot, under a load on its top.

The mechanics are those of `hoofcalc.columns`; the sizes and strengths of the bench objects are
ours, typical of such things, and no more exact than that.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from hoofcalc._constants import GRAVITY_M_S2
from hoofcalc._inputs import FloatArray
from hoofcalc.columns import (
    BENT_LIMIT,
    Section,
    bent_column,
    bundle_section,
    capacity_at_lean_n,
    euler_load_n,
    rod_section,
    tube_section,
)
from hoofcalc.figures.scene import Panel, Series, Style, box, fixed_words, scale_bar
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values

_LEAN_MAX = 45.0
_LEANS = np.linspace(0.0, _LEAN_MAX, 91)
_TOP = 104.0  # the marker stays below the key


@dataclass(frozen=True, slots=True)
class _Thing:
    """A bench object: what it is called, its stiffness and strength, and its make."""

    name: str
    modulus_mpa: float
    strength_mpa: float
    wall_share: float = 0.0  # wall over outer diameter; 0 for a solid rod
    strands: int = 1
    bond: float = 1.0

    def section(self, thickness_mm: float) -> Section:
        """Its section; the thickness of a bundle is that of one strand."""
        if self.wall_share:
            return tube_section(thickness_mm, self.wall_share * thickness_mm)
        if self.strands > 1:
            return bundle_section(self.strands, thickness_mm, self.bond)
        return rod_section(thickness_mm)


#: Typical values, ours: not measured, not a maker's.
_THINGS = {
    "tube": _Thing("postal tube", 2000.0, 8.0, wall_share=0.04),
    "skewer": _Thing("bamboo skewer", 15000.0, 80.0),
    "straw": _Thing("drinking straw", 1300.0, 25.0, wall_share=0.033),
    "pole": _Thing("aluminium tent pole", 70000.0, 250.0, wall_share=0.09),
    "loose": _Thing("loose bundle of seven skewers", 15000.0, 80.0, strands=7, bond=0.0),
    "glued": _Thing("glued bundle of seven skewers", 15000.0, 80.0, strands=7, bond=1.0),
}


def compute(
    *, length_mm: float, thickness_mm: float, lean_deg: float, load_n: float, thing: str
) -> dict[str, Any]:
    """Shape, capacity and fate of the column.

    Parameters
    ----------
    length_mm
        Free length above the clamp [mm].
    thickness_mm
        Outer diameter of the rod or tube, or of one strand [mm].
    lean_deg
        Angle between the column and the upright load [degrees].
    load_n
        Load hung on the top [N].
    thing
        Which bench object.

    Returns
    -------
    dict
        Points for every series [mm, or degrees and per cent], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If an argument is outside the range of the formulas.
    """
    what = _THINGS[thing]
    section = what.section(thickness_mm)
    second, fibre = float(section.second_moment_mm4), float(section.outer_fibre_mm)
    bending = (what.modulus_mpa, second, length_mm)
    carries = np.asarray(
        capacity_at_lean_n(
            np.append(_LEANS, lean_deg), *bending, section.area_mm2, fibre, what.strength_mpa
        )
    )
    upright, here = float(carries[0]), float(carries[-1])
    buckling = float(euler_load_n(*bending, 2.0))
    holds = load_n <= here
    shown_n = min(load_n, 0.999 * BENT_LIMIT * buckling)
    broken = False
    if not holds:

        def stress(load: FloatArray) -> FloatArray:
            moment = bent_column(load, lean_deg, *bending, count=2).base_moment_nmm
            pressing = load * np.cos(np.radians(lean_deg)) / section.area_mm2
            return np.asarray(pressing + np.abs(moment) * fibre / second)

        broken = bool(stress(np.array([shown_n]))[0] >= what.strength_mpa)
        if broken:  # drawn as it is when it breaks: find that load in two passes
            low, high = 0.0, shown_n
            for _ in range(2):
                trial = np.linspace(low, high, 33)
                first = max(int(np.argmax(stress(trial) >= what.strength_mpa)), 1)
                low, high = float(trial[first - 1]), float(trial[first])
            shown_n = high
    bent = bent_column(shown_n, lean_deg, *bending, count=31)

    lean = np.radians(lean_deg)
    axis, aside = np.array([np.sin(lean), np.cos(lean)]), np.array([np.cos(lean), -np.sin(lean)])
    line = bent.along_mm[:, None] * axis + bent.across_mm[:, None] * aside
    width = thickness_mm * (3 if what.strands > 1 else 1)
    body = np.vstack([_beside(line, width / 2), _beside(line, -width / 2)[::-1]])
    inner_mm = width / 6 if what.strands > 1 else thickness_mm * (0.5 - what.wall_share)
    inside = np.empty((0, 2))
    if what.strands > 1 or what.wall_share:
        gap = np.full((1, 2), np.nan)
        inside = np.vstack([_beside(line, inner_mm), gap, _beside(line, -inner_mm)])
    top, none = line[-1], np.empty((0, 2))
    share = 100 * load_n / upright
    percent = np.minimum(100 * carries[:-1] / upright, 100.0)
    curve = np.column_stack([_LEANS, percent])
    beside_deg = lean_deg + 1.6 if lean_deg < 33 else lean_deg - 11.0  # right or left of it
    fate = "It holds" if holds else "It breaks" if broken else "It bends over"
    fate_at = np.array([[-100.0, 455.0]])
    return {
        "straight": np.array([[0.0, 0.0], length_mm * axis]),
        "standing": body if holds else none,
        "failing": none if holds else body,
        "inside": inside,
        "break": np.zeros((1, 2)) if broken else none,
        "arrow": top + np.array([[0.0, 62.0], [0.0, 2.0]]),
        "arrow_words_at": top + np.array([[12.0, 44.0]]),
        "arrow_words": f"{float(f'{load_n:.3g}'):g} N",
        "holds_at": fate_at if holds else none,
        "fails_at": none if holds else fate_at,
        "fate": fate,
        "curve": curve,
        "under": np.vstack([curve, [[_LEAN_MAX, 0.0], [0.0, 0.0]]]),
        "marker": np.array([[lean_deg, min(share, _TOP)]]),
        "beyond_at": np.array([[beside_deg, _TOP]]) if share > _TOP else none,
        "beyond": "far above" if share > 200 else "above",
        "upright_n": upright,
        "here_n": here,
        "buckles_first": buckling < what.strength_mpa * float(section.area_mm2),
        "aside_mm": float(bent.tip_deflection_mm),
        "share": share,
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
        Three short sentences.
    """
    thing = _THINGS[values["thing"]]
    here, upright = results["here_n"], results["upright_n"]
    size = f"{values['length_mm']:g} mm long, {values['thickness_mm']:g} mm thick"
    size += " each" if thing.strands > 1 else ""
    way = "it buckles" if results["buckles_first"] else "its foot is crushed"
    able = f"Upright, this {thing.name} ({size}) carries {_weight(upright)} before {way}."
    if values["lean_deg"]:
        able += (
            f" Leaning {values['lean_deg']:g} degrees it carries {_weight(here)},"
            f" {100 * here / upright:.0f} % of that."
        )
    load = f"Your load of {_weight(values['load_n'])}"
    aside = results["aside_mm"]
    if results["fate"] == "It holds":
        still = "hardly bends it" if values["lean_deg"] else "does not bend it"
        bend = f"moves its top {aside:.2g} mm" if aside >= 0.05 else still
        return f"{able} {load} {bend}: it holds."
    if results["fate"] == "It bends over":
        return f"{able} {load} is more: it bends right over, but springs back when unloaded."
    return f"{able} {load} is more: it breaks at its foot, drawn at the moment of breaking."


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
    thing = _THINGS[values["thing"]]
    across = results["aside_mm"] / values["length_mm"]
    bend = "straight" if across < 0.01 else "slightly bent" if across < 0.1 else "strongly bent"
    place = (
        "under" if results["share"] <= 100 * results["here_n"] / results["upright_n"] else "above"
    )
    return (
        f"Left: a {thing.name}, {bend}, clamped at its foot and leaning {values['lean_deg']:g} "
        f"degrees to the right, with an arrow of {values['load_n']:.3g} newtons straight down on "
        f"its top. Right: a curve of the load it carries, falling from 100 per cent upright to "
        f"{results['curve'][-1, 1]:.0f} per cent at {_LEAN_MAX:g} degrees; a square for the "
        f"present lean and load lies {place} the curve."
    )


def _beside(line: FloatArray, offset_mm: float) -> FloatArray:
    """The line shifted to its side, as the edge of a body around it."""
    along = np.gradient(line, axis=0)
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    return line + offset_mm * np.column_stack([along[:, 1], -along[:, 0]])


def _weight(force_n: float) -> str:
    """A force in newtons, with the mass that weighs as much."""
    grams = 1000 * force_n / GRAVITY_M_S2
    many = grams >= 995
    mass = float(f"{grams / (1000 if many else 1):.2g}")
    # hard spaces keep number and unit on one line
    return f"{float(f'{force_n:.3g}'):g}\u00a0N ({mass:g}\u00a0{'kg' if many else 'g'})"


_LOOSE = {"length_mm": 250.0, "thickness_mm": 3.0, "lean_deg": 5.0}
_PRESETS = (
    Preset(label="Bamboo skewer", values={"thing": "skewer", **_LOOSE, "load_n": 1.0}),
    Preset(label="7 skewers, loose", values={"thing": "loose", **_LOOSE, "load_n": 10.0}),
    Preset(label="7 skewers, glued", values={"thing": "glued", **_LOOSE, "load_n": 10.0}),
    Preset(
        label="Drinking straw",
        values={
            "thing": "straw",
            "length_mm": 200.0,
            "thickness_mm": 6.0,
            "lean_deg": 5.0,
            "load_n": 0.5,
        },
    ),
    Preset(
        label="Postal tube",
        values={
            "thing": "tube",
            "length_mm": 400.0,
            "thickness_mm": 50.0,
            "lean_deg": 5.0,
            "load_n": 200.0,
        },
    ),
    Preset(
        label="Tent pole",
        values={
            "thing": "pole",
            "length_mm": 400.0,
            "thickness_mm": 9.0,
            "lean_deg": 5.0,
            "load_n": 50.0,
        },
    ),
)

COLUMNS = Figure(
    name="columns",
    title="One column under a load: how it stands, bends and gives way",
    sliders=(
        Slider(
            name="length_mm",
            label="Length",
            unit="mm",
            minimum=40,
            maximum=400,
            step=5,
            start=250,
        ),
        Slider(
            name="thickness_mm",
            label="Thickness",
            unit="mm",
            minimum=2,
            maximum=60,
            step=0.5,
            start=3,
        ),
        Slider(
            name="lean_deg",
            label="Lean",
            unit="degrees",
            minimum=0,
            maximum=_LEAN_MAX,
            step=0.5,
            start=5,
        ),
        Slider(
            name="load_n",
            label="Load on top",
            unit="N",
            minimum=0.1,
            maximum=10000,
            step=100,
            start=1,
            log=True,
        ),
    ),
    choices={"thing": "skewer"},
    page_sliders=("lean_deg",),
    presets=_PRESETS,
    presets_label="On the bench:",
    compute=compute,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            title="Drawn in true proportion",
            x_limits=(-110, 360),
            y_limits=(-45, 475),
            equal=True,
            axes=False,
            width=400,
            height=410,
            fixed=(
                box((-75, 75), (-40, 0), "pale", edge="grey", width=1),
                fixed_words("foot held fast", 88, -22),
                *scale_bar(250, -22, 100, gap_mm=16),
            ),
        ),
        Panel(
            title="What it carries when it leans",
            x_limits=(0, _LEAN_MAX),
            y_limits=(0, 140),
            x_label="lean (degrees)",
            y_label="load (% of what it carries upright)",
            legend="upper right",
            width=440,
            height=410,
            x_ticks=tuple(range(0, 46, 5)),
            y_ticks=tuple(range(0, 101, 20)),
        ),
    ),
    series=(
        Series(kind="line", data="straight", style=Style(colour="grey", dash=(6, 5), width=1.5)),
        Series(
            kind="area",
            data="standing",
            style=Style(colour="blue", width=1.5, fill="sky", fill_strength=0.65),
        ),
        Series(
            kind="area",
            data="failing",
            style=Style(
                colour="vermillion", width=1.5, dash=(5, 3), fill="orange", fill_strength=0.65
            ),
        ),
        Series(kind="line", data="inside", style=Style(colour="grey", width=1)),
        Series(
            kind="points",
            data="break",
            style=Style(colour="vermillion", mark="cross", size=20, width=4),
        ),
        Series(kind="arrow", data="arrow", style=Style(colour="black", width=4)),
        Series(
            kind="words",
            data="arrow_words_at",
            words="arrow_words",
            style=Style(colour="black"),
        ),
        Series(kind="words", data="holds_at", words="fate", style=Style(colour="blue", size=17)),
        Series(
            kind="words", data="fails_at", words="fate", style=Style(colour="vermillion", size=17)
        ),
        Series(
            kind="area",
            data="under",
            panel=1,
            style=Style(colour="blue", fill="sky", width=0, fill_strength=0.3),
            label="here it holds",
        ),
        Series(
            kind="line",
            data="curve",
            panel=1,
            style=Style(colour="blue", width=3),
            label="the most it carries",
        ),
        Series(
            kind="points",
            data="marker",
            panel=1,
            style=Style(colour="vermillion", mark="square", size=15),
            label="your lean and load",
        ),
        Series(
            kind="words",
            data="beyond_at",
            words="beyond",
            panel=1,
            style=Style(colour="vermillion", size=13),
        ),
    ),
    note=(
        "Nothing is exaggerated: bends are drawn as they are. Only the arrow's length is not to "
        "scale. Sizes, stiffness and strength of the objects are typical ones, ours; for bundles "
        "the thickness is that of one strand. The foot is held, the top is free."
    ),
)

"""Lesson 04's figure: one column, tube or bundle, held at its foot, under a load on its top.

The mechanics are those of `hoofcalc.columns`; the sizes and strengths of the bench objects are
ours, typical of such things, and no more exact than that.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.columns import (
    BentColumn,
    Section,
    bent_column,
    bundle_section,
    capacity_at_lean_n,
    euler_load_n,
    rod_section,
    slenderness,
    tube_section,
)
from hoofcalc.figures.said import digits
from hoofcalc.figures.scene import Fixed, Narrow, Panel, Series, Style, fixed_words, scale_bar
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values

_LEAN_MAX = 45.0
_LEANS = np.linspace(0.0, _LEAN_MAX, 91)
_TOP = 120.0  # a load far above what it carries stands here, and its words say so
_GRIP = 0.6  # where along the column it is taken hold of
_FAR_RIGHT = 130.0  # a top further right has its words on the left [mm]


@dataclass(frozen=True, slots=True)
class BenchObject:
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
    "tube": BenchObject("postal tube", 2000.0, 8.0, wall_share=0.04),
    "skewer": BenchObject("bamboo skewer", 15000.0, 80.0),
    "straw": BenchObject("drinking straw", 1300.0, 25.0, wall_share=0.033),
    "pole": BenchObject("aluminium tent pole", 70000.0, 250.0, wall_share=0.09),
    "loose": BenchObject("loose bundle of seven skewers", 15000.0, 80.0, strands=7, bond=0.0),
    "glued": BenchObject("glued bundle of seven skewers", 15000.0, 80.0, strands=7, bond=1.0),
}

#: What they are called for short.
_SHORT = {
    "tube": "tube",
    "skewer": "skewer",
    "straw": "straw",
    "pole": "pole",
    "loose": "loose bundle",
    "glued": "glued bundle",
}


def bench_object(thing: str) -> BenchObject:
    """One of the things on the bench.

    Parameters
    ----------
    thing
        "tube", "skewer", "straw", "pole", "loose" or "glued".

    Returns
    -------
    BenchObject
        Its stiffness, strength and make.
    """
    return _THINGS[thing]


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
        If `length_mm` or `thickness_mm` is not above 0, `lean_deg` not between -90 and 90,
        `load_n` below 0, or a number not finite.
    """
    what = _THINGS[thing]
    section = what.section(thickness_mm)
    bending = (what.modulus_mpa, float(section.second_moment_mm4), length_mm)
    carries = np.asarray(
        capacity_at_lean_n(
            np.append(_LEANS, lean_deg),
            *bending,
            section.area_mm2,
            float(section.outer_fibre_mm),
            what.strength_mpa,
        )
    )
    upright, here = float(carries[0]), float(carries[-1])
    drawn_n, bent = _drawn_bend(load_n, lean_deg, bending)
    holds, broken = load_n <= here, False
    if not holds:
        breaks_n, broken = _breaks_at_n(drawn_n, lean_deg, bending, section, what.strength_mpa)
        if broken:
            bent = bent_column(breaks_n, lean_deg, *bending, count=31)
    fate = "holds" if holds else "breaks" if broken else "gives way"
    lean, none = np.radians(lean_deg), np.empty((0, 2))
    axis, aside = np.array([np.sin(lean), np.cos(lean)]), np.array([np.cos(lean), -np.sin(lean)])
    line = bent.along_mm[:, None] * axis + bent.across_mm[:, None] * aside
    body, inside = _body(line, thickness_mm, what)
    top = line[-1]
    return {
        **_against_lean(carries, lean_deg, load_n),
        "straight": np.array([[0.0, 0.0], length_mm * axis]),
        "standing": body if holds else none,
        "failing": none if holds else body,
        "inside": inside,
        "break": np.zeros((1, 2)) if broken else none,
        "arrow": top + np.array([[0.0, 62.0], [0.0, 2.0]]),
        "right_of_arrow": none if top[0] > _FAR_RIGHT else top + np.array([[12.0, 46.0]]),
        "left_of_arrow": top + np.array([[-12.0, 46.0]]) if top[0] > _FAR_RIGHT else none,
        "arrow_words": f"{_force(load_n)}: {fate}",
        "fate": fate,
        "grip": np.array([_GRIP * length_mm * axis]),
        "foot": np.zeros((1, 2)),
        "lean_says": f"leans {lean_deg:g} degrees",
        "upright_n": upright,
        "here_n": here,
        "load_n": load_n,
        "buckles_first": float(euler_load_n(*bending, 2.0))
        < what.strength_mpa * float(section.area_mm2),
        "aside_mm": float(bent.tip_deflection_mm),
        "down": not broken and drawn_n < load_n,
        "slenderness": float(slenderness(length_mm, section.gyration_mm, 2.0)),
    }


def _against_lean(carries_n: FloatArray, lean_deg: float, load_n: float) -> dict[str, Any]:
    """What it carries at every lean, in per cent of upright, and the load that is on it now."""
    curve = np.column_stack([_LEANS, np.minimum(100 * carries_n[:-1] / carries_n[0], 100.0)])
    share = float(100 * load_n / carries_n[0])
    far = "far above" if share > 200 else "above" if share > _TOP else ""
    right, none = lean_deg < 30, np.empty((0, 2))
    beside = np.array([[lean_deg + (1.4 if right else -1.4), min(share, _TOP)]])
    return {
        "curve": curve,
        "under": np.vstack([curve, [[_LEAN_MAX, 0.0], [0.0, 0.0]]]),
        "marker": np.array([[lean_deg, min(share, _TOP)]]),
        "right_of_it": beside if right else none,
        "left_of_it": none if right else beside,
        "marker_words": far or f"your {_force(load_n)}",
    }


def sentence(values: Values, results: Results) -> str:
    """What the picture shows, in one sentence with one finding.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        At most 25 words; the finding stands between pairs of asterisks.
    """
    name, lean = _SHORT[values["thing"]], values["lean_deg"]
    here, upright, load = (_force(results[of]) for of in ("here_n", "upright_n", "load_n"))
    aside_mm = results["aside_mm"]
    aside = f"{digits(aside_mm, 2)}\u00a0mm"
    close = "just " if here == load else ""
    under = f"your {load}"
    if results["fate"] == "holds":
        still = not lean or aside_mm < 0.05
        moved = f"{under} moves its top {aside}{', just held' if close else ''}"
        fate = f"{under} {close}leaves it standing" if still else moved
    elif results["fate"] == "breaks":
        fate = f"{under} {close}breaks it at its foot"
    elif results["down"]:
        fate = f"{under} {close}bends it down to the bench"
    else:
        fate = f"{under} {close}bows its top {aside} aside"
    if not lean:
        way = "buckles" if results["buckles_first"] else "is crushed"
        return f"Upright, the {name} carries **{upright}**, then {way}; {fate}."
    if results["here_n"] > results["upright_n"]:  # only buckling limits it, and a lean eases that
        over = f"so thin a {name} **bends far over before it breaks**: no number holds"
        return f"Leaning {lean:g}°, {over}; {fate}."
    return f"Leaning {lean:g}°, the {name} carries **{here}** instead of {upright}; {fate}."


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers of the column as it stands.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        What it carries, the two parts of the load, where the top goes, and its slenderness.
    """
    about = "half to double"
    leaning = about if results["here_n"] <= results["upright_n"] else "outside the model"
    lean, load = np.radians(values["lean_deg"]), results["load_n"]

    def row(quantity: str, value: float, interval: str = "", unit: str = "N") -> Row:
        return Row(quantity, digits(value), interval=interval, unit=unit)

    return (
        row("carries upright", results["upright_n"], about),
        row("carries leaning like this", results["here_n"], leaning),
        row("that is, of every 100 N upright", 100 * results["here_n"] / results["upright_n"]),
        row("your load", load),
        row("its part along", load * np.cos(lean)),
        row("its part across", load * np.sin(lean)),
        row("top moves aside", results["aside_mm"], about if results["aside_mm"] else "", "mm"),
        row("slenderness", results["slenderness"], "", "no unit"),
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
    thing = _THINGS[values["thing"]]
    across = results["aside_mm"] / values["length_mm"]
    bend = "straight" if across < 0.01 else "slightly bent" if across < 0.1 else "strongly bent"
    place = "under" if results["fate"] == "holds" else "above"
    return (
        f"Left: a {thing.name}, {bend}, clamped at its foot and leaning {values['lean_deg']:g} "
        f"degrees to the right, with an arrow of {values['load_n']:.3g} newtons straight down on "
        f"its top. Right: a curve of the load it carries, falling from 100 per cent upright to "
        f"{results['curve'][-1, 1]:.0f} per cent at {_LEAN_MAX:g} degrees; a square for the "
        f"present lean and load lies {place} the curve."
    )


def _breaks_at_n(
    load_n: float,
    lean_deg: float,
    bending: tuple[float, float, float],
    section: Section,
    strength_mpa: float,
) -> tuple[float, bool]:
    """The load at which it breaks at its foot, and whether it does below the given one."""
    second, fibre = float(section.second_moment_mm4), float(section.outer_fibre_mm)

    def stress(load: FloatArray) -> FloatArray:
        moment = bent_column(load, lean_deg, *bending, count=2).base_moment_nmm
        pressing = load * np.cos(np.radians(lean_deg)) / section.area_mm2
        return np.asarray(pressing + np.abs(moment) * fibre / second)

    if stress(np.array([load_n]))[0] < strength_mpa:
        return load_n, False
    low, high = 0.0, load_n
    for _ in range(2):  # two passes are as fine as the picture
        trial = np.linspace(low, high, 33)
        first = max(int(np.argmax(stress(trial) >= strength_mpa)), 1)
        low, high = float(trial[first - 1]), float(trial[first])
    return high, True


def _body(
    line: FloatArray, thickness_mm: float, what: BenchObject
) -> tuple[FloatArray, FloatArray]:
    """Outline of the thing around its middle line, and the lines within it."""
    width = thickness_mm * (3 if what.strands > 1 else 1)
    body = np.vstack([_beside(line, width / 2), _beside(line, -width / 2)[::-1]])
    if what.strands == 1 and not what.wall_share:
        return body, np.empty((0, 2))
    inner_mm = width / 6 if what.strands > 1 else thickness_mm * (0.5 - what.wall_share)
    gap = np.full((1, 2), np.nan)
    return body, np.vstack([_beside(line, inner_mm), gap, _beside(line, -inner_mm)])


def _beside(line: FloatArray, offset_mm: float) -> FloatArray:
    """The line shifted to its side, as the edge of a body around it."""
    along = np.gradient(line, axis=0)
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    return line + offset_mm * np.column_stack([along[:, 1], -along[:, 0]])


def _force(force_n: float) -> str:
    # hard spaces keep number and unit on one line
    return f"{digits(force_n)}\u00a0N"


def _drawn_bend(
    load_n: float, lean_deg: float, bending: tuple[float, float, float]
) -> tuple[float, BentColumn]:
    """The load up to which the bend is drawn, until the top has come down near the bench."""
    lean = np.radians(lean_deg)

    def stands(bent: BentColumn) -> Any:
        up = bent.along_mm[..., -1] * np.cos(lean) - bent.across_mm[..., -1] * np.sin(lean)
        return up > 0.1 * bending[2]

    most_n = min(load_n, 4.5 * float(euler_load_n(*bending, 2.0)))
    bent = bent_column(most_n, lean_deg, *bending, count=31)
    if stands(bent):
        return most_n, bent
    loads = np.linspace(0.0, most_n, 65)
    drawn_n = float(loads[stands(bent_column(loads, lean_deg, *bending, count=2))][-1])
    return drawn_n, bent_column(drawn_n, lean_deg, *bending, count=31)


_LEANING = {"lean_deg": 5.0}
_SKEWERS = {"length_mm": 250.0, "thickness_mm": 3.0, **_LEANING}
_TUBE = {"thing": "tube", "length_mm": 400.0, "thickness_mm": 50.0, **_LEANING, "load_n": 200.0}
_PRESETS = (
    Preset(label="Tube", values=_TUBE),
    Preset(label="Skewer", values={"thing": "skewer", **_SKEWERS, "load_n": 1.0}),
    Preset(
        label="Straw",
        values={
            "thing": "straw",
            "length_mm": 200.0,
            "thickness_mm": 6.0,
            **_LEANING,
            "load_n": 0.5,
        },
    ),
    Preset(
        label="Tent pole",
        values={
            "thing": "pole",
            "length_mm": 400.0,
            "thickness_mm": 9.0,
            **_LEANING,
            "load_n": 50.0,
        },
    ),
    Preset(label="Bundle, loose", values={"thing": "loose", **_SKEWERS, "load_n": 20.0}),
    Preset(label="Bundle, glued", values={"thing": "glued", **_SKEWERS, "load_n": 20.0}),
)
_BROWN = Style(colour="horn-line", width=1.5, fill="horn", fill_strength=1.0)
_INK = Style(colour="ink", size=15)
_INK_LEFT = Style(colour="ink", size=15, align="right")
_FAILING = Style(colour="vermillion", width=2, dash=(6, 4), fill="horn", fill_strength=0.5)


def _bench_panel() -> Panel:
    """The column on its bench, in true proportion."""
    bench = Fixed("ground", ((-700.0, 0.0), (900.0, 0.0)))
    return Panel(
        x_limits=(-140, 419),
        y_limits=(-36, 516),
        equal=True,
        axes=False,
        width=316,
        height=312,
        fixed=(bench, *scale_bar(295, 24, 100, gap_mm=3)),
        narrow=Narrow(height=240, x_limits=(-120, 440), y_limits=(-36, 800), share=0.46),
    )


def _curve_panel() -> Panel:
    """What it carries against how it leans."""
    return Panel(
        x_limits=(0, _LEAN_MAX),
        y_limits=(0, 150),
        x_label="lean (degrees)",
        y_label="what it carries (% of what it does upright)",
        width=451,
        height=312,
        x_ticks=tuple(range(0, 46, 5)),
        y_ticks=tuple(range(0, 101, 20)),
        narrow=Narrow(height=240, share=0.54),
        fixed=(
            fixed_words("above the line it fails", 44, 142, colour="quiet", size=14, align="right"),
        ),
    )


COLUMNS = Figure(
    name="columns",
    title="One column under a load: how it stands, bends and gives way",
    sliders=(
        Slider("lean_deg", "Lean", "degrees", 0, _LEAN_MAX, step=0.5, start=5),
        Slider("load_n", "Load on top", "N", 0.1, 10000, step=100, start=200, log=True),
        Slider("length_mm", "Length", "mm", 40, 450, step=5, start=400),
        Slider("thickness_mm", "Thickness (each strand)", "mm", 2, 60, step=0.5, start=50),
    ),
    more=("thickness_mm",),
    choices={"thing": "tube"},
    presets=_PRESETS,
    presets_label="On the bench",
    handles=(
        Handle(
            name="lean",
            label="The column",
            kind="angle",
            x="lean_deg",
            at="grip",
            about="foot",
            says="lean_says",
            zero_deg=90.0,
            turns=-1,
        ),
    ),
    compute=compute,
    sentence=sentence,
    table=table,
    alt=alt,
    panels=(_bench_panel(), _curve_panel()),
    series=(
        Series("line", "straight", style=Style(colour="grey", dash=(6, 5), width=1.5)),
        Series("area", "standing", style=_BROWN),
        Series("area", "failing", style=_FAILING),
        Series("line", "inside", style=Style(colour="horn-line", width=1)),
        Series("points", "break", style=Style(colour="vermillion", mark="cross", size=20, width=4)),
        Series("arrow", "arrow", style=Style(colour="ink", width=4)),
        Series("words", "right_of_arrow", words="arrow_words", style=_INK),
        Series("words", "left_of_arrow", words="arrow_words", style=_INK_LEFT),
        Series(
            "area",
            "under",
            panel=1,
            style=Style(colour="blue", fill="sky", width=0, fill_strength=0.3),
        ),
        Series("line", "curve", panel=1, style=Style(colour="blue", width=3)),
        Series(
            "points", "marker", panel=1, style=Style(colour="vermillion", mark="square", size=15)
        ),
        Series("words", "right_of_it", words="marker_words", panel=1, style=_INK),
        Series("words", "left_of_it", words="marker_words", panel=1, style=_INK_LEFT),
    ),
    note=(
        "Bends are drawn as they are, up to where the top nears the bench. The foot is held, the "
        "top is free. Sizes, stiffness and strength are typical ones, ours: expect half to double. "
        "A long straw 2 or 3 mm thick bends over before it breaks: there the curve says nothing."
    ),
)

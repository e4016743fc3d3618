"""Lesson 05's figure: a piece of horn pressed at an angle to its tubules, with more or less glue.

Stiffness and strength of sound horn, and their bands, are those of `hoofcalc.horn.horn_at`. What
a missing part of the glue does to them is a model: stiffness by `hoofcalc.horn.bundle_moduli`,
strength across and in shear in proportion to the glued part of the faces.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np

from hoofcalc._constants import GRAVITY_M_S2
from hoofcalc._inputs import FloatArray
from hoofcalc.columns import euler_load_n, rod_section
from hoofcalc.figures.said import digits
from hoofcalc.figures.scene import Fixed, Narrow, Panel, Series, Style, fixed_words
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values
from hoofcalc.horn import Horn, HornBand, bundle_moduli, horn_at, modulus_at_deg, strength_at_deg

_PRESSURE_MPA = 2.0  # 5000 N on 2500 mm2: about the bearing edge of a wall at a trot
_WALL_MM = 60.0  # length of a tubule that stands alone
_TUBE_MM, _SPACING_MM = 0.18, 0.27  # common thickness and distance of tubules
_TUBE_SHARE = 0.39  # part of the section that tubules take
_LEAST_GLUE = 1e-6  # what stands for none, so that the formulas hold
_ANGLES = np.linspace(0.0, 90.0, 46)
_HALF_MM = 1.35  # half the side of the piece
_GRIP_MM = 0.85  # how far from its middle a tubule is taken hold of
_PATCH_MM = 0.9  # each of these lengths holds one patch of glue
_LARGER = 40.0  # how much larger than true small movements are drawn
_MOST = 0.3  # the largest drawn strain
# ends of the two scales [MPa]
_STIFF = (4.0, 20_000.0)
_STRONG = (0.4, 200.0)
_NONE = np.empty((0, 2))

_REGIONS = {
    "middle": "Middle wall",
    "outer": "Outer wall",
    "inner": "Inner wall",
    "white_line": "White line",
    "sole": "Sole",
    "frog": "Frog",
}


def compute(
    *,
    bond: float,
    obliquity_deg: float,
    water_percent: float,
    contrast: float,
    region: str,
) -> dict[str, Any]:
    """The piece, its curves and its fate.

    Parameters
    ----------
    bond
        Part of the tubules' faces that is glued [-], 0 (loose) to 1.
    obliquity_deg
        Angle between the pressure and the tubules [degrees].
    water_percent
        Water in the piece [% of its mass].
    contrast
        Modulus along over modulus across, of sound horn [-].
    region
        Part of the foot the piece is cut from, as for `hoofcalc.horn.horn_at`.

    Returns
    -------
    dict
        Points for every series [mm, or degrees and MPa], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If `bond` is not between 0 and 1, `water_percent` not between 10 and 35, `contrast` not
        above 0, a number not finite, or `region` not known.
    """
    sound = horn_at(water_percent=water_percent, region=region, contrast=contrast)
    horn = _with_glue(sound, bond)
    angles = np.append(_ANGLES, obliquity_deg)
    stiff, strong = (
        {edge: np.asarray(of(getattr(horn, edge), angles)) for edge in ("low", "central", "high")}
        for of in (modulus_at_deg, strength_at_deg)
    )
    loose = bond == 0
    here = {edge: float(strong[edge][-1]) for edge in strong}
    if loose or here["high"] < _PRESSURE_MPA:
        verdict = "gives way"
    else:
        verdict = "holds" if here["low"] >= _PRESSURE_MPA else "may give way"
    return {
        **_pressed(horn.central, obliquity_deg, bond, verdict),
        **_scale("stiff", stiff, _STIFF, obliquity_deg, loose),
        **_scale("strong", strong, _STRONG, obliquity_deg, loose),
        **({"strong_curve": _NONE, "strong_mark": _NONE, "strong_says_at": _NONE} if loose else {}),
        "nothing_at": _log([[45.0, 10.0]], _STRONG) if loose else _NONE,
        "nothing": "loose: no strength",
        "stiffness_mpa": {edge: float(stiff[edge][-1]) for edge in stiff},
        "strength_mpa": here,
        "along_mpa": float(stiff["central"][0]),
        "sound_mpa": float(modulus_at_deg(sound.central, obliquity_deg)),
        "shorter_percent": 100 * _PRESSURE_MPA / float(stiff["central"][-1]),
        "centre": np.zeros((1, 2)),
        "grip": _GRIP_MM
        * np.array([[-np.sin(np.radians(obliquity_deg)), np.cos(np.radians(obliquity_deg))]]),
        "grip_says": f"the tubules stand {obliquity_deg:g} degrees off the push",
        "alone_n": float(
            euler_load_n(sound.central.along_mpa, rod_section(_TUBE_MM).second_moment_mm4, _WALL_MM)
        ),
        "verdict": verdict,
    }


def stiffness_across_mpa(bonds: FloatArray, water_percent: float = 22.7) -> FloatArray:
    """How stiff the middle wall is straight across its tubules, by the share of its glue.

    Parameters
    ----------
    bonds
        Parts of the tubules' faces that are glued [-], shape (n,), 0 to 1.
    water_percent
        Water in it [% of its mass].

    Returns
    -------
    array, shape (n,)
        Modulus across [MPa].
    """
    sound = horn_at(water_percent=water_percent, contrast=1.0)
    return np.array([_with_glue(sound, float(bond)).central.across_mpa for bond in bonds])


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
    bond, angle = values["bond"], values["obliquity_deg"]
    if not bond and not angle:
        gram = digits(1000 * results["alone_n"] / GRAVITY_M_S2, 1)
        return (
            f"Without glue each tubule stands alone, and one {_WALL_MM:g} mm long buckles under "
            f"the weight of **{gram} grams**."
        )
    if not bond:
        return (
            f"Without glue, pushed {angle:g}° off, tubules slide past one another: **nothing is "
            "left** to hold them."
        )
    way = f"{angle:g}° off" if angle else "along"
    piece, stiff = _REGIONS[values["region"]].lower(), results["stiffness_mpa"]
    number = f"{digits(stiff['central'])} MPa ({_range(stiff['low'], stiff['high'])})"
    if bond < 1:
        beside = _times_as_stiff(stiff["central"] / results["sound_mpa"], "sound")
        glue = f"{100 * bond:.0f} % of its glue"
        return f"Pushed {way} its tubules, {piece} with {glue} is {beside}: {number}."
    fate = {
        "holds": f"it bears {_PRESSURE_MPA:g} MPa",
        "gives way": f"{_PRESSURE_MPA:g} MPa break it",
        "may give way": f"{_PRESSURE_MPA:g} MPa may break it",
    }[results["verdict"]]
    if not angle:
        return f"Pushed along its tubules, sound {piece} is **{number}** stiff: {fate}."
    beside = _times_as_stiff(stiff["central"] / results["along_mpa"], "along")
    return f"Pushed {way} its tubules, sound {piece} is {beside}, {number}; {fate}."


def _times_as_stiff(times: float, than: str) -> str:
    """How stiff a piece is beside another, as the finding of a sentence."""
    said = digits(times, 2)
    return f"**as stiff** as {than}" if said == "1" else f"**{said} times** as stiff as {than}"


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers of the piece.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        Stiffness and strength with their bands, and what one tubule bears alone.
    """
    stiff, strong = results["stiffness_mpa"], results["strength_mpa"]
    rows = [
        Row("water in it", f"{values['water_percent']:g}", unit="% of its mass"),
        Row(
            "one tubule alone buckles under",
            digits(1000 * results["alone_n"], 2),
            unit="thousandths of a newton",
        ),
    ]
    if not values["bond"]:
        none = Row("stiffness and strength off the tubules", "none", unit="MPa")
        return (none, *rows)
    return (
        Row(
            "stiffness, as pushed",
            digits(stiff["central"]),
            interval=_range(stiff["low"], stiff["high"]),
            unit="MPa",
        ),
        Row("stiffness along", digits(results["along_mpa"]), unit="MPa"),
        Row(
            "as pushed, over along",
            digits(stiff["central"] / results["along_mpa"], 2),
            unit="times",
        ),
        Row(
            f"shorter under {_PRESSURE_MPA:g} MPa",
            digits(results["shorter_percent"], 2)
            if results["shorter_percent"] <= 10
            else "over 10, too far for these formulas",
            unit="%",
        ),
        Row(
            "strength, as pushed (not measured across)",
            digits(strong["central"], 2),
            interval=_range(strong["low"], strong["high"]),
            unit="MPa",
        ),
        *rows,
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
        Three sentences.
    """
    bond = values["bond"]
    gaps = "filled all along" if bond == 1 else f"{100 * bond:.0f} per cent filled"
    curve = results["stiff_curve"]
    steep = float(curve[0, 1] - np.min(curve[:, 1]))
    runs = "nearly level" if steep < 0.1 else "falling" if steep < 0.7 else "falling steeply"
    return (
        f"Left: a square piece of horn between two plates, its tubules leaning "
        f"{values['obliquity_deg']:g} degrees back from upright, the gaps between them {gaps}; "
        f"two arrows press it and it {results['verdict']}. "
        f"Right, above: its stiffness against obliquity, {runs}, inside a wide band. "
        "Right, below: its strength against obliquity, "
        f"{'absent' if not bond else 'inside a still wider band'}."
    )


def _with_glue(sound: HornBand, bond: float) -> HornBand:
    """Sound horn with only a part of its glue left."""
    share = max(bond, _LEAST_GLUE)
    left = bundle_moduli(1.0, 1.0, _TUBE_SHARE, share)  # tubules and horn between alike
    whole = bundle_moduli(1.0, 1.0, _TUBE_SHARE)
    across, shear = left.across_mpa / whole.across_mpa, left.shear_mpa / whole.shear_mpa
    factor = {
        "along_mpa": left.along_mpa,
        "across_mpa": across,
        "shear_mpa": shear,
        "poisson": 1.0,
        "along_tension_mpa": left.along_mpa,
        "along_compression_mpa": left.along_mpa,
        "across_tension_mpa": share,
        "across_compression_mpa": share,
        "shear_strength_mpa": share,
    }

    def weaker(horn: Horn) -> Horn:
        return Horn(
            **{item.name: getattr(horn, item.name) * factor[item.name] for item in fields(horn)}
        )

    return replace(
        sound, central=weaker(sound.central), low=weaker(sound.low), high=weaker(sound.high)
    )


def _pressed(horn: Horn, obliquity_deg: float, bond: float, verdict: str) -> dict[str, Any]:
    """The piece between its plates, its movement drawn larger than it is."""
    turn = np.radians(obliquity_deg)
    s, c = np.sin(turn), np.cos(turn)
    along, aside = np.array([-s, c]), np.array([c, s])
    # Hooke's law in the tubules' axes, then turned back (Jones R.M., Mechanics of Composite
    # Materials, 2nd ed. 1999, Sec. 2.6)
    e1 = -_PRESSURE_MPA * (c * c - horn.poisson * s * s) / horn.along_mpa
    e2 = -_PRESSURE_MPA * (s * s / horn.across_mpa - horn.poisson * c * c / horn.along_mpa)
    g = -_PRESSURE_MPA * s * c / horn.shear_mpa
    strain = e1 * np.outer(along, along) + e2 * np.outer(aside, aside)
    strain = strain + g / 2 * (np.outer(along, aside) + np.outer(aside, along))
    # the plates stay level: all the shear moves level lines sideways
    move = np.array([[strain[0, 0], 2 * strain[0, 1]], [0.0, strain[1, 1]]])
    move = move * _LARGER / (1 + _LARGER * np.abs(move).max() / _MOST)
    buckles = bond == 0 and obliquity_deg == 0  # each tubule by itself

    def moved(place: FloatArray) -> FloatArray:
        bowed = 0.28 * buckles * np.cos(np.pi / 2 * place[:, 1] / _HALF_MM)
        shifted = np.column_stack([place[:, 0] + bowed, place[:, 1]])
        return np.asarray(shifted + shifted @ move.T)

    middles = _SPACING_MM * (np.arange(-8, 8) + 0.5)
    tubes = [(middle, _TUBE_MM, -9.0, 9.0) for middle in middles]
    gap = _SPACING_MM - _TUBE_MM
    glue = [
        (middle + _SPACING_MM / 2, gap, start, start + bond * _PATCH_MM)
        for number, middle in enumerate(middles)
        for start in _PATCH_MM * (np.arange(-3, 3) + number % 2 / 2)
    ]
    if bond == 1:
        glue = [(middle + _SPACING_MM / 2, gap, -9.0, 9.0) for middle in middles]
    corners = moved(_HALF_MM * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]))
    top, shift = float(corners[2, 1]), float(corners[2:, 0].mean())
    arc = np.linspace(0.0, turn, 13)
    break_ = [np.nan, np.nan]
    sound = verdict == "holds"
    true = bond > 0 and np.abs(move).max() < 0.2  # else the drawn tubules lean more than they do
    return {
        "tubes": moved(_bars(tubes, along, aside, 9 if buckles else 1)),
        "glue": moved(_bars(glue, along, aside)) if bond else _NONE,
        "edge": corners if sound else _NONE,
        "broken_edge": _NONE if sound or buckles else corners,
        "plates": np.array([[-1.9, top], [1.9, top], break_, [-1.9, -top], [1.9, -top]]),
        "push_down": np.array([[shift, top + 0.75], [shift, top + 0.03]]),
        "push_up": np.array([[-shift, -top - 0.75], [-shift, -top - 0.03]]),
        "angle": np.vstack(
            [
                [[0.0, top], [0.0, -0.6], 1.2 * along - [0.0, 0.6], break_],
                0.8 * np.column_stack([-np.sin(arc), np.cos(arc)]) - [0.0, 0.6],
            ]
        )
        if true
        else _NONE,
        "angle_says_at": np.array([[0.12, 0.15]]) if true else _NONE,
        "angle_says": f"{obliquity_deg:g}°",
        "fate_at": np.array([[0.0, 2.45]]),
        "fate": f"{_PRESSURE_MPA:g} MPa: {verdict}",
    }


def _bars(
    bars: Sequence[tuple[float, ...]], along: FloatArray, aside: FloatArray, parts: int = 1
) -> FloatArray:
    """Bars as far as they lie in the piece, each a closed outline that a NaN ends.

    A bar is its distance aside, its width, and where it begins and ends along. `parts` is into
    how many pieces each side of an outline is cut, so that it can be bent.
    """
    (ax, ay), (sx, sy) = along.tolist(), aside.tolist()
    outlines: list[Any] = []
    for middle, width, begin, end in bars:
        corners = [
            (at * ax + off * sx, at * ay + off * sy)
            for off, at in (
                (middle - width / 2, begin),
                (middle - width / 2, end),
                (middle + width / 2, end),
                (middle + width / 2, begin),
            )
        ]
        outline = _inside(corners)
        for here, there in zip(outline, outline[1:] + outline[:1], strict=True):
            for part in range(parts):
                share = part / parts
                outlines.append(
                    (here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1]))
                )
        if outline:
            outlines.append((np.nan, np.nan))
    return np.array(outlines)


def _inside(outline: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The part of a closed outline that lies in the square piece, side by side (Sutherland I.E.,
    Hodgman G.W., Communications of the ACM 17, 1974, 32-42)."""
    for axis in (0, 1):
        for side in (-1.0, 1.0):
            kept = []
            for here, before in zip(outline, outline[-1:] + outline[:-1], strict=True):
                depth, was = _HALF_MM - side * here[axis], _HALF_MM - side * before[axis]
                if (depth >= 0) != (was >= 0):
                    share = was / (was - depth)
                    kept.append(
                        (
                            before[0] + share * (here[0] - before[0]),
                            before[1] + share * (here[1] - before[1]),
                        )
                    )
                if depth >= 0:
                    kept.append(here)
            outline = kept
    return outline


def _log(place: Any, limits: tuple[float, float]) -> FloatArray:
    """Points on a scale of powers of ten, kept between its ends."""
    low, high = limits
    place = np.array(place, dtype=np.float64)
    place[:, 1] = np.log10(np.clip(place[:, 1], low, high))
    return np.asarray(place)


def _scale(
    name: str, found: Results, limits: tuple[float, float], angle: float, loose: bool
) -> dict[str, Any]:
    """One scale's band, curve and mark, and the words at them."""
    low, central, high = (found[edge] for edge in ("low", "central", "high"))
    edges = [np.column_stack([_ANGLES, edge[:-1]]) for edge in (low, high)]
    mark = _NONE if loose and angle else _log([[angle, central[-1]]], limits)
    beside = min(max(angle, 16.0), 74.0)
    return {
        f"{name}_band": _NONE if loose else _log(np.vstack([edges[0], edges[1][::-1]]), limits),
        f"{name}_curve": _log(np.column_stack([_ANGLES, central[:-1]]), limits),
        f"{name}_mark": mark,
        f"{name}_says_at": _log([[beside, 1.85 * max(central[-1], limits[0])]], limits)
        if len(mark)
        else _NONE,
        f"{name}_says": f"{digits(central[-1], 3 if name == 'stiff' else 2)} MPa",
    }


def _range(low: float, high: float) -> str:
    return f"{digits(low, 2)} to {digits(high, 2)}"


def _scale_series(name: str, panel: int) -> list[Series]:
    """How one scale's band, curve, mark and words are drawn."""
    looks = [
        ("area", "band", Style(colour="blue", fill="sky", width=0, fill_strength=0.35)),
        ("line", "curve", Style(colour="blue", width=3)),
        ("points", "mark", Style(colour="vermillion", mark="square", size=13)),
    ]
    drawn = [
        Series(kind, f"{name}_{part}", panel=panel, style=style) for kind, part, style in looks
    ]
    says = Series(
        "words",
        f"{name}_says_at",
        words=f"{name}_says",
        panel=panel,
        style=Style(colour="ink", size=15, align="centre"),
    )
    return [*drawn, says]


def _of(region: str, contrast: float = 1.0, water: float = 22.7) -> Preset:
    """Natural horn of one part of the foot."""
    values = {"region": region, "bond": 1.0, "water_percent": water, "contrast": contrast}
    return Preset(label=_REGIONS[region], values=values)


_PRESETS = (
    _of("middle"),
    _of("outer"),
    _of("inner", 2.0),
    _of("white_line", 2.0),
    _of("sole", water=31.5),
    _of("frog", water=34.6),
)


def _piece_panel() -> Panel:
    """The piece of horn between its plates."""
    bar = Fixed("line", ((-1.9, -2.62), (-1.4, -2.62)), style=Style(colour="ink", width=3))
    return Panel(
        x_limits=(-2.2, 2.2),
        y_limits=(-2.84, 2.84),
        equal=True,
        axes=False,
        width=242,
        height=312,
        fixed=(bar, fixed_words("0.5 mm", -1.3, -2.63, size=14)),
        narrow=Narrow(height=240, share=0.53),
    )


def _scale_panel(label: str, limits: tuple[float, float], narrow: Narrow) -> Panel:
    """One scale against the angle of the push; each step is ten times the one below."""
    low, high = np.log10(limits)
    powers = range(int(np.ceil(low)), int(np.floor(high)) + 1)
    band = fixed_words(
        "pale: unsure", 90, high - 0.04 * (high - low), colour="quiet", size=14,
        align="right",
    )  # fmt: skip
    return Panel(
        x_limits=(-2, 92),
        y_limits=(float(low), float(high)),
        x_label="off the tubules (degrees)",
        y_label=label,
        width=256,
        height=312,
        x_ticks=(0, 30, 60, 90),
        y_ticks=tuple((float(power), f"{10**power}") for power in powers),
        fixed=(band,),
        narrow=narrow,
    )


def _push(data: str) -> Series:
    return Series("arrow", data, style=Style(colour="ink", width=4))


HORN = Figure(
    name="horn",
    title="A piece of horn: its glue, its water, and the angle of the push",
    sliders=(
        Slider("bond", "Glue", "share", 0, 1, step=0.01, start=0.1),
        Slider("obliquity_deg", "Off the tubules", "degrees", 0, 90, step=1, start=50),
        Slider("water_percent", "Water in it", "%", 10, 35, step=0.1, start=22.7),
        Slider("contrast", "Sound horn, along over across", "times", 0.5, 6, step=0.1, start=1),
    ),
    more=("contrast",),
    choices={"region": "middle"},
    presets=_PRESETS,
    presets_label="Cut from",
    handles=(
        Handle(
            name="tubules",
            label="The tubules",
            kind="angle",
            x="obliquity_deg",
            at="grip",
            about="centre",
            says="grip_says",
            zero_deg=90.0,
        ),
    ),
    compute=compute,
    sentence=sentence,
    table=table,
    alt=alt,
    panels=(
        _piece_panel(),
        _scale_panel("stiffness (MPa)", _STIFF, Narrow(height=240, share=0.47)),
        _scale_panel("strength (MPa)", _STRONG, Narrow(hide=True)),
    ),
    series=(
        Series("area", "glue", style=Style(width=0, fill="orange", fill_strength=0.8)),
        Series(
            "area",
            "tubes",
            style=Style(colour="horn-line", width=1, fill="horn", fill_strength=1.0),
        ),
        Series("area", "edge", style=Style(colour="blue", width=2)),
        Series("area", "broken_edge", style=Style(colour="vermillion", width=2, dash=(5, 3))),
        Series("line", "plates", style=Style(colour="edge", width=5)),
        _push("push_down"),
        _push("push_up"),
        Series("line", "angle", style=Style(colour="ink", width=2)),
        Series("words", "angle_says_at", words="angle_says", style=Style(colour="ink", size=15)),
        Series(
            "words", "fate_at", words="fate", style=Style(colour="ink", size=15, align="centre")
        ),
        *_scale_series("stiff", 1),
        *_scale_series("strong", 2),
        Series(
            "words",
            "nothing_at",
            words="nothing",
            panel=2,
            style=Style(colour="ink", size=15, align="centre"),
        ),
    ),
    note=(
        "Pale bars: tubules; orange: the horn between, the glue. Each step of a scale is ten times "
        "the one below; squash and shear are drawn far larger than they are. Less than all the "
        "glue is a model of ours. 2 MPa: about what the edge of a wall gets at a trot, our "
        "estimate."
    ),
)

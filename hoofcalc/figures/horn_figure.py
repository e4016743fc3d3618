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
from hoofcalc.figures.scene import Fixed, Panel, Series, Style, box, fixed_words, level_line
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values
from hoofcalc.horn import Horn, HornBand, bundle_moduli, horn_at, modulus_at_deg, strength_at_deg

_PRESSURE_MPA = 2.0  # 5000 N on 2500 mm2: about the bearing edge of a wall at a trot
_WALL_MM = 60.0  # length of a tubule that stands alone
_TUBE_MM, _SPACING_MM = 0.18, 0.27  # common thickness and distance of tubules
_TUBE_SHARE = 0.39  # part of the section that tubules take
_LEAST_GLUE = 1e-6  # what stands for none, so that the formulas hold
_ANGLES = np.linspace(0.0, 90.0, 46)
_HALF_MM = 1.35  # half the side of the piece
_PATCH_MM = 0.9  # each of these lengths holds one patch of glue
_LARGER = 40.0  # how much larger than true small movements are drawn
_MOST = 0.3  # the largest drawn strain
# limits of the two scales [MPa], and how far below the other, in powers of ten, a scale stands
_STIFF = (4.0, 20_000.0, 0.0)
_STRONG = (0.5, 200.0, 2.4)
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
    humidity_percent: float,
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
    humidity_percent
        Humidity of the air in which a sound strip of wall has come to rest [%].
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
        If an argument is outside the range of the formulas.
    """
    sound = horn_at(water_percent=water_percent, region=region, contrast=contrast)
    horn = _with_glue(sound, bond)
    wall = region if region not in ("sole", "frog") else "middle"
    strip = horn_at(humidity_percent=humidity_percent, region=wall, contrast=contrast)
    angles = np.append(_ANGLES, obliquity_deg)
    stiff, strong = (
        {edge: np.asarray(of(getattr(horn, edge), angles)) for edge in ("low", "central", "high")}
        for of in (modulus_at_deg, strength_at_deg)
    )
    beside = np.asarray(modulus_at_deg(strip.central, angles))
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
        "strip_curve": _log(np.column_stack([_ANGLES, beside[:-1]]), _STIFF),
        "strip_mark": _log([[obliquity_deg, beside[-1]]], _STIFF),
        # above its line, or below it where the scale ends
        "strip_says_at": _log([[2.0, beside[0] * (1.4 if beside[0] < 9000 else 0.55)]], _STIFF),
        "strip_says": "strip of wall in air",
        "stiffness_mpa": {edge: float(stiff[edge][-1]) for edge in stiff},
        "strength_mpa": here,
        "along_mpa": float(stiff["central"][0]),
        "strip_mpa": float(beside[-1]),
        "strip_band_mpa": [
            float(modulus_at_deg(x, obliquity_deg)) for x in (strip.low, strip.high)
        ],
        "alone_n": float(
            euler_load_n(sound.central.along_mpa, rod_section(_TUBE_MM).second_moment_mm4, _WALL_MM)
        ),
        "verdict": verdict,
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
        Four short sentences.
    """
    bond, angle = values["bond"], values["obliquity_deg"]
    glue = "all its glue" if bond == 1 else f"{100 * bond:.0f} % of its glue" if bond else "no glue"
    piece = f"{_REGIONS[values['region']]}, {values['water_percent']:g} % water, {glue}."
    strip = (
        "The strip of sound wall in air of "
        f"{values['humidity_percent']:g} % humidity: {_digits(results['strip_mpa'])}\u00a0MPa "
        f"({_range(*results['strip_band_mpa'])})."
    )
    if not bond and not angle:
        alone = results["alone_n"]
        return (
            f"{piece} Pressed along the tubules: they are stiff together, "
            f"{_digits(results['along_mpa'])}\u00a0MPa, but each stands alone. {_WALL_MM:g} mm "
            f"long, as in a wall, one buckles under {_digits(1000 * alone, 2)} thousandths of a "
            f"newton, the weight of {_digits(1000 * alone / GRAVITY_M_S2, 2)}\u00a0g. {strip}"
        )
    if not bond:
        return (
            f"{piece} Pressed {angle:g} degrees off the tubules. They slide along one another: "
            f"no stiffness and no strength is left. {strip}"
        )
    stiff, strong = results["stiffness_mpa"], results["strength_mpa"]
    way = "along" if not angle else f"{angle:g} degrees off"
    shorter = 100 * _PRESSURE_MPA / stiff["central"]
    squash = f"shorten it by {_digits(shorter, 2)}\u00a0%"
    if shorter > 10:
        squash = "squash it by more than 10 %, too far for these formulas"
    gives = {
        "holds": "under 2 MPa it holds",
        "gives way": "under 2 MPa it gives way",
        "may give way": "whether it holds under 2 MPa, the figures leave open",
    }[results["verdict"]]
    against = "" if not angle else f", {_against(stiff['central'] / results['along_mpa'])}"
    return (
        f"{piece} Pressed {way} the tubules its stiffness is {_digits(stiff['central'])}\u00a0MPa "
        f"({_range(stiff['low'], stiff['high'])}){against}: 2 MPa "
        f"{squash}. Its strength is {_digits(strong['central'], 2)}\u00a0MPa "
        f"({_range(strong['low'], strong['high'])}): {gives}. {strip}"
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
        f"Right, above: its stiffness against obliquity, {runs}, inside a wide band, with a dashed "
        "curve for a strip of wall in air. Right, below: its strength against obliquity, "
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
        "holds_at": np.array([[0.0, 2.6]]) if sound else _NONE,
        "fails_at": _NONE if sound else np.array([[0.0, 2.6]]),
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


def _log(place: Any, limits: tuple[float, float, float]) -> FloatArray:
    """Points on a scale of powers of ten, kept between its ends."""
    low, high, below = limits
    place = np.array(place, dtype=np.float64)
    place[:, 1] = np.log10(np.clip(place[:, 1], low, high)) - below
    return np.asarray(place)


def _scale(
    name: str, found: Results, limits: tuple[float, float, float], angle: float, loose: bool
) -> dict[str, Any]:
    """One scale's band, curve and mark, and the words at them."""
    low, central, high = (found[edge] for edge in ("low", "central", "high"))
    edges = [np.column_stack([_ANGLES, edge[:-1]]) for edge in (low, high)]
    mark = _NONE if loose and angle else _log([[angle, central[-1]]], limits)
    beside = min(max(angle, 9.0), 81.0)
    return {
        f"{name}_band": _NONE if loose else _log(np.vstack([edges[0], edges[1][::-1]]), limits),
        f"{name}_curve": _log(np.column_stack([_ANGLES, central[:-1]]), limits),
        f"{name}_mark": mark,
        f"{name}_says_at": _log([[beside, 1.85 * max(central[-1], limits[0])]], limits)
        if len(mark)
        else _NONE,
        f"{name}_says": f"{_digits(central[-1], 3 if name == 'stiff' else 2)} MPa",
        f"{name}_band_says_at": _NONE
        if loose
        else _log([[88.0, max(low[-2] / 1.45, 1.25 * limits[0])]], limits),
        f"{name}_band_says": "band: where it may lie",
    }


def _against(ratio: float) -> str:
    """Stiffness off the tubules against that along them."""
    if 0.96 < ratio < 1.04:
        return "as much as along them"
    return (
        f"{_digits(ratio, 2)} times that along"
        if ratio > 1
        else f"{100 * ratio:.0f} % of that along"
    )


def _digits(number: float, digits: int = 3) -> str:
    """A number with so many digits that count."""
    return f"{float(f'{number:.{digits}g}'):g}"


def _range(low: float, high: float) -> str:
    return f"{_digits(low, 2)} to {_digits(high, 2)}"


def _scale_series(name: str) -> list[Series]:
    """How one scale's band, curve, mark and words are drawn; the strip only beside stiffness."""
    green, red = Style(colour="green", size=12), Style(colour="vermillion")
    strip = [
        Series(
            kind="line",
            data="strip_curve",
            panel=1,
            style=Style(colour="green", width=2.5, dash=(7, 4)),
        ),
        Series(kind="points", data="strip_mark", panel=1, style=green),
        Series(
            kind="words",
            data="strip_says_at",
            words="strip_says",
            panel=1,
            style=replace(green, align="left"),
        ),
    ]
    return [
        Series(
            kind="area",
            data=f"{name}_band",
            panel=1,
            style=Style(colour="blue", fill="sky", width=0, fill_strength=0.35),
        ),
        *(strip if name == "stiff" else ()),
        Series(
            kind="line",
            data=f"{name}_curve",
            panel=1,
            style=Style(colour="blue", width=3),
        ),
        Series(
            kind="points",
            data=f"{name}_mark",
            panel=1,
            style=replace(red, mark="square", size=13),
        ),
        Series(
            kind="words",
            data=f"{name}_band_says_at",
            words=f"{name}_band_says",
            panel=1,
            style=Style(colour="blue", size=12, align="right"),
        ),
        Series(
            kind="words",
            data=f"{name}_says_at",
            words=f"{name}_says",
            panel=1,
            style=replace(red, align="centre"),
        ),
    ]


_WALL = {"bond": 1.0, "water_percent": 22.7}
_PRESETS = (
    Preset(label="Middle wall", values={"region": "middle", **_WALL, "contrast": 1.0}),
    Preset(label="Outer wall", values={"region": "outer", **_WALL, "contrast": 1.0}),
    Preset(label="Inner wall", values={"region": "inner", **_WALL, "contrast": 2.0}),
    Preset(label="White line", values={"region": "white_line", **_WALL, "contrast": 2.0}),
    Preset(
        label="Sole",
        values={"region": "sole", "bond": 1.0, "water_percent": 31.5, "contrast": 1.0},
    ),
    Preset(
        label="Frog",
        values={"region": "frog", "bond": 1.0, "water_percent": 34.6, "contrast": 1.0},
    ),
    Preset(label="Loose tubules", values={"bond": 0.0}),
    Preset(label="A little glue", values={"bond": 0.02}),
    Preset(label="Dry", values={"water_percent": 10.0, "humidity_percent": 0.0}),
    Preset(label="Natural (wall)", values={"water_percent": 22.7, "humidity_percent": 75.0}),
    Preset(label="Soaked", values={"water_percent": 35.0, "humidity_percent": 100.0}),
)

#: Numbers on the two scales, and the gap between them, in the panel's own units.
_SCALE_TICKS = tuple(
    (float(_log([[0.0, 10.0**power]], scale)[0, 1]), f"{10**power}")
    for scale, powers in ((_STIFF, (1, 2, 3, 4)), (_STRONG, (0, 1, 2)))
    for power in powers
)
_TOP = float(_log([[0.0, _STRONG[1]]], _STRONG)[0, 1])
_BOTTOM = float(_log([[0.0, _STIFF[0]]], _STIFF)[0, 1])

HORN = Figure(
    name="horn",
    title="A piece of horn: its glue, its water, and the angle of the push",
    sliders=(
        Slider(name="bond", label="Glue", unit="share", minimum=0, maximum=1, step=0.01, start=1),
        Slider(
            name="obliquity_deg",
            label="Obliquity",
            unit="degrees",
            minimum=0,
            maximum=90,
            step=1,
            start=30,
        ),
        Slider(
            name="water_percent",
            label="Water in it",
            unit="% of mass",
            minimum=10,
            maximum=35,
            step=0.1,
            start=22.7,
        ),
        Slider(
            name="contrast",
            label="Along/across",
            unit="times",
            minimum=0.5,
            maximum=6,
            step=0.1,
            start=1,
        ),
        Slider(
            name="humidity_percent",
            label="Strip's air",
            unit="% humidity",
            minimum=0,
            maximum=100,
            step=1,
            start=75,
        ),
    ),
    choices={"region": "middle"},
    page_sliders=("bond",),
    presets=_PRESETS,
    presets_label="Start from:",
    compute=compute,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            title="A piece of horn, pressed",
            x_limits=(-2.2, 2.2),
            y_limits=(-2.84, 2.84),
            equal=True,
            axes=False,
            width=340,
            height=470,
            fixed=(
                Fixed(
                    kind="line",
                    points=((-1.9, -2.66), (-1.4, -2.66)),
                    style=Style(colour="black", width=3),
                ),
                fixed_words("0.5 mm", -1.3, -2.67),
            ),
        ),
        Panel(
            title="Stiffness: how little it gives (MPa)",
            x_limits=(-2, 92),
            y_limits=(
                float(_log([[0.0, _STRONG[0]]], _STRONG)[0, 1]),
                float(_log([[0.0, _STIFF[1]]], _STIFF)[0, 1]),
            ),
            x_label="obliquity (degrees)",
            width=440,
            height=540,
            x_ticks=tuple(range(0, 91, 15)),
            y_ticks=_SCALE_TICKS,
            fixed=(
                box(
                    (-2, 92),
                    (_TOP, _BOTTOM),
                    "white",
                ),
                level_line((-2, 92), _BOTTOM),
                fixed_words(
                    "Strength: where it fails (MPa)",
                    45,
                    (_TOP + _BOTTOM) / 2,
                    size=14,
                    align="centre",
                ),
            ),
        ),
    ),
    series=(
        Series(
            kind="area",
            data="glue",
            style=Style(colour="grey", width=0, fill="yellow", fill_strength=0.75),
        ),
        Series(
            kind="area",
            data="tubes",
            style=Style(colour="grey", width=1, fill="orange", fill_strength=0.45),
        ),
        Series(kind="area", data="edge", style=Style(colour="blue", width=2)),
        Series(
            kind="area", data="broken_edge", style=Style(colour="vermillion", width=2, dash=(5, 3))
        ),
        Series(kind="line", data="plates", style=Style(colour="grey", width=5)),
        Series(kind="arrow", data="push_down", style=Style(colour="black", width=4)),
        Series(kind="arrow", data="push_up", style=Style(colour="black", width=4)),
        Series(kind="line", data="angle", style=Style(colour="black", width=2)),
        Series(kind="words", data="angle_says_at", words="angle_says", style=Style(colour="black")),
        Series(
            kind="words",
            data="holds_at",
            words="fate",
            style=Style(colour="blue", size=15, align="centre"),
        ),
        Series(
            kind="words",
            data="fails_at",
            words="fate",
            style=Style(colour="vermillion", size=15, align="centre"),
        ),
        *_scale_series("stiff"),
        *_scale_series("strong"),
        Series(
            kind="words",
            data="nothing_at",
            words="nothing",
            panel=1,
            style=Style(colour="vermillion", align="centre"),
        ),
    ),
    note=(
        "Wide bars: tubules (orange). Between them: the horn between, the glue (yellow). On both "
        "scales each step is ten times the one below. Squash and shear are drawn far larger than "
        "they are. The bands hold for the along/across you set. Sound horn: published figures and "
        "the assumptions named in the lesson. Less than all the glue: a model of ours. 2 MPa is "
        "about what the bearing edge of a wall gets at a trot, our estimate."
    ),
)

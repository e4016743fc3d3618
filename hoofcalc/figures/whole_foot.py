"""A whole foot in space: wall, bulbs, frog, bars, sole and the start of the pastern, in light.

Wall and underside are the capsule's. Skin, bulbs, frog and bars are drawn after a common foot,
between its landmarks, and are not measured. The foot is cut into small outlines, each with its
stuff and its way of facing the light; from an eye's place those that face it are drawn, the
furthest first.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule
from hoofcalc.figures.foot import foot_from_below
from hoofcalc.figures.scene import Series, Shades, Style
from hoofcalc.figures.solid_foot import flat
from hoofcalc.profile import Profile

__all__ = [
    "SKIN_SERIES",
    "WHOLE_FOOT_SERIES",
    "WholeFoot",
    "pastern_axis",
    "seen_skin",
    "seen_whole",
    "whole_foot",
]

#: What the foot is made of: colour, and how many levels of light it is drawn in. Anatomy, no
#: meaning.
_STUFFS = {
    "horn": ("#D8B67E", 14),
    "periople": ("#E7D3AB", 12),
    "skin": ("#A79A8C", 36),
    "inside": ("#7B6E68", 6),
    "cut": ("#CFC4B6", 1),
    "frog": ("#8D7F79", 1),
    "trench": ("#74675F", 1),
    "sole": ("#CDBB98", 1),
    "edge": ("#B99560", 1),
    "white line": ("#EFE2B4", 1),
    "under bulb": ("#968980", 1),
}
_NAMES = tuple(_STUFFS)
_LEVELS = np.array([levels for _, levels in _STUFFS.values()])
_FIRST = np.append(0, np.cumsum(_LEVELS)[:-1])  # the number of each stuff's darkest colour
_DARKEST, _LIGHTEST = 0.6, 1.06
_LIGHT = np.array([-0.35, 0.62, -0.7])  # across, up, behind: over the eye's left shoulder
_LIGHT /= np.linalg.norm(_LIGHT)
#: The underside as `foot_from_below` has it, in the order of drawing: part and stuff.
_UNDERSIDE = {
    "bulb_right": "under bulb",
    "bulb_left": "under bulb",
    "trench_right": "trench",
    "trench_left": "trench",
    "sole": "sole",
    "wall": "edge",
    "white_line": "white line",
    "bar_right": "edge",
    "bar_left": "edge",
    "frog": "frog",
    "groove": "trench",
}
_BAND = 0.9  # from ground to hairline; above it the wall is soft periople
_GAP = np.full((1, 2), np.nan)
_NONE = np.empty((0, 2))
_MARKED = ("toe", "quarter", "heel")
_HALF_WORD_MM = 36.0  # half the width of "quarter 34.7°" beside the foot


def _shades() -> Shades:
    """Each stuff from dark to light."""
    colours = []
    for colour, levels in _STUFFS.values():
        full = np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)])
        for light in np.linspace(_DARKEST, _LIGHTEST, levels) if levels > 1 else (1.0,):
            red, green, blue = np.clip(np.round(light * full), 0, 255).astype(int)
            colours.append(f"#{red:02X}{green:02X}{blue:02X}")
    return Shades(colours=tuple(colours))


@dataclass(frozen=True, slots=True)
class WholeFoot:
    """A foot cut into pieces.

    Parameters
    ----------
    foot
        Its capsule.
    corners, normals
        Four corners of each piece [mm], shape (m, 4, 3), anticlockwise from outside, and the way
        it faces, shape (m, 3), smoothed over its neighbours.
    stuffs
        What each is made of, as a number.
    top
        Outline of the cut pastern [mm], shape (k, 3).
    underside
        Outlines of the parts of the underside [mm], in the order of drawing.
    """

    foot: Capsule
    corners: FloatArray
    normals: FloatArray
    stuffs: Any
    top: FloatArray
    underside: dict[str, FloatArray]


def _patch(rows: FloatArray, stuff: str, *, closed: bool = False) -> _Patch:
    """A net of points, shape (rows, columns, 3), as pieces that face outward on the whole."""
    if closed:
        rows = np.concatenate([rows, rows[:, :1]], axis=1)
    quads = np.stack([rows[:-1, :-1], rows[:-1, 1:], rows[1:, 1:], rows[1:, :-1]], axis=2)
    shape, corners = quads.shape[:2], quads.reshape(-1, 4, 3)
    normals = np.cross(corners[:, 2] - corners[:, 0], corners[:, 3] - corners[:, 1])
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-12)
    middle = corners.mean(axis=1)
    if np.sum(normals * (middle - middle.mean(axis=0))) < 0:
        corners, normals = corners[:, ::-1], -normals
    net = normals.reshape(*shape, 3)
    around = np.pad(net, ((1, 1), (0, 0), (0, 0)), mode="edge")
    net = (around[:-2] + 2 * around[1:-1] + around[2:]) / 4
    around = np.pad(net, ((0, 0), (2, 2), (0, 0)), mode="wrap" if closed else "edge")
    net = np.mean([around[:, at : at + shape[1]] for at in range(5)], axis=0)
    smooth = net.reshape(-1, 3)
    smooth = smooth / np.maximum(np.linalg.norm(smooth, axis=1, keepdims=True), 1e-12)
    return _Patch(corners, smooth, stuff)


@dataclass(frozen=True, slots=True)
class _Patch:
    """Four-sided pieces of one stuff."""

    corners: FloatArray
    normals: FloatArray
    stuff: str


def whole_foot(foot: Capsule, profile: Profile, axis: FloatArray) -> WholeFoot:
    """A foot with all that belongs to it.

    Parameters
    ----------
    foot
        Its capsule.
    profile
        The same foot from the side.
    axis
        Direction of the pastern, forward and up, of length 1.

    Returns
    -------
    WholeFoot
        Cut into pieces.
    """
    skin, top = _skin(foot, profile, axis)
    patches = [*_wall(foot), *skin]
    return WholeFoot(
        foot=foot,
        corners=np.concatenate([patch.corners for patch in patches]),
        normals=np.concatenate([patch.normals for patch in patches]),
        stuffs=np.repeat(
            [_NAMES.index(patch.stuff) for patch in patches],
            [len(patch.corners) for patch in patches],
        ),
        top=top,
        underside=_underside(foot, profile),
    )


def pastern_axis(profile: Profile) -> FloatArray:
    """Direction of the pastern, of length 1; where it was not measured, that of the toe wall.

    Parameters
    ----------
    profile
        One foot.

    Returns
    -------
    array, shape (2,)
        Forward and up.
    """
    low, high = profile.pastern_low, profile.pastern_high
    if low is None or high is None:
        low, high = profile.toe_ground, profile.toe_coronet
    return np.asarray((high - low) / np.hypot(*(high - low)))


def seen_whole(
    whole: WholeFoot, middle_mm: FloatArray, turn_deg: float, look_down_deg: float
) -> dict[str, Any]:
    """What is seen of a foot from somewhere.

    Parameters
    ----------
    whole
        The foot.
    middle_mm
        The point about which it turns, forward, left and up [mm].
    turn_deg, look_down_deg
        From where it is seen [degrees], as for `solid_foot.flat`.

    Returns
    -------
    dict
        What `WHOLE_FOOT_SERIES` shows.
    """
    view = (turn_deg, look_down_deg)
    page, far = flat(whole.corners - middle_mm, *view)
    order = np.flatnonzero(_facing(page))
    # as far as each other, to a millionth of a millimetre: in their own order on every machine
    order = order[np.argsort(-far[order].mean(axis=1).round(6), kind="stable")]
    stuffs = whole.stuffs[order]
    across_up, behind = flat(whole.normals[order], *view)
    light = np.clip(across_up @ _LIGHT[:2] + behind * _LIGHT[2], 0.0, 1.0)
    level = np.minimum((light * _LEVELS[stuffs]).astype(int), _LEVELS[stuffs] - 1)
    outlines, shades = [*page[order]], [*(_FIRST[stuffs] + level)]
    if look_down_deg > 0:  # the cut pastern is nearest from above, the underside from below
        outlines.append(flat(whole.top - middle_mm, *view)[0])
        shades.append(_FIRST[_NAMES.index("cut")])
    elif look_down_deg < 0:
        for part, place in whole.underside.items():
            outlines.append(flat(place - middle_mm, *view)[0])
            shades.append(_FIRST[_NAMES.index(_UNDERSIDE[part])])
    return {
        "whole": np.vstack([part for outline in outlines for part in (outline, _GAP)][:-1]),
        "whole_shades": np.array(shades, dtype=np.float64),
        **_tubules(whole.foot, middle_mm, view, page[order].reshape(-1, 2)),
    }


def seen_skin(
    whole: WholeFoot, middle_mm: FloatArray, turn_deg: float, look_down_deg: float
) -> dict[str, Any]:
    """What is seen from above of a foot without its wall: skin, bulbs and the cut pastern.

    Parameters
    ----------
    whole, middle_mm, turn_deg, look_down_deg
        As for `seen_whole`; it looks down.

    Returns
    -------
    dict
        What `SKIN_SERIES` shows.
    """
    soft = whole.stuffs == _NAMES.index("skin")
    bare = replace(
        whole,
        corners=whole.corners[soft],
        normals=whole.normals[soft],
        stuffs=whole.stuffs[soft],
    )
    seen = seen_whole(bare, middle_mm, turn_deg, look_down_deg)
    return {"skin": seen["whole"], "skin_shades": seen["whole_shades"]}


def _facing(page: FloatArray) -> Any:
    """Which pieces turn their outside to the eye: those that run anticlockwise on the page."""
    x, y = page[..., 0], page[..., 1]
    twice = x * np.roll(y, -1, axis=1) - np.roll(x, -1, axis=1) * y
    return twice.sum(axis=1) > 1e-6


def _wall(foot: Capsule) -> list[_Patch]:
    """The wall in three steps of height, its soft upper edge, and what closes it behind."""
    up = (foot.coronet - foot.ground)[None]
    rows = foot.ground + np.linspace(0, _BAND, 4)[:, None, None] * up
    edge = foot.ground + np.array([_BAND, 1.0])[:, None, None] * up
    across = np.linspace(0, 1, 4)[:, None]
    ends = [ring[0] + across * (ring[-1] - ring[0]) for ring in (foot.ground, foot.coronet)]
    closing = _patch(ends[0] + np.linspace(0, 1, 3)[:, None, None] * (ends[1] - ends[0]), "inside")
    if closing.normals[:, 0].mean() > 0:  # it faces to the rear
        closing = _Patch(closing.corners[:, ::-1], -closing.normals, "inside")
    return [_patch(rows[:, ::2], "horn"), _patch(edge[:, ::2], "periople"), closing]


def _skin(
    foot: Capsule, profile: Profile, axis: FloatArray
) -> tuple[tuple[_Patch, ...], FloatArray]:
    """The skin up to the pastern, the bulbs, and the outline of the pastern's cut."""
    toe, heel = profile.toe_coronet, profile.heel_coronet
    band = foot.coronet[::2]
    wide = float(np.ptp(band[:, 1]))
    behind = _behind(band, heel, wide)
    base = np.concatenate([band, behind])
    aside = float(band[0, 1] + band[-1, 1]) / 2
    long = float(np.hypot(*(toe - heel)))
    plane = (toe - heel) / long
    away = base[:, [0, 2]] - heel
    # each point of the hairline: along its plane, sideways, and off the plane
    hairline = np.column_stack(
        [away @ plane, base[:, 1] - aside, away @ np.array([-plane[1], plane[0]])]
    )
    square = np.array([axis[1], -axis[0]])  # square to the pastern, forward
    rows = []
    for share in (
        0.0,
        0.03,
        0.06,
        0.09,
        0.13,
        0.18,
        0.24,
        0.31,
        0.38,
        0.46,
        0.55,
        0.65,
        0.75,
        0.87,
        1.0,
    ):
        turned = plane + _smooth(0.3, 0.95, share) * (square - plane)
        turned = turned / np.hypot(*turned)
        ahead, beside, lifted = _ring(hairline, long, wide, share)
        front = toe + 0.74 * wide * share * axis - 5 * _smooth(0, 0.3, share) * turned
        rows.append(
            np.column_stack(
                [
                    front[0] + turned[0] * ahead - turned[1] * lifted,
                    aside + beside,
                    front[1] + turned[1] * ahead + turned[0] * lifted,
                ]
            )
        )
    skin = np.array(rows)
    ends = np.concatenate([band[-1:], behind, band[:1]])
    bulbs = _patch(_bulbs(foot, profile, ends, wide), "skin")
    return (bulbs, _patch(skin, "skin", closed=True)), skin[-1]


def _behind(band: FloatArray, heel: FloatArray, wide: float) -> FloatArray:
    """The hairline behind, round the two bulbs, from the left end of the band to the right."""
    part = np.linspace(0, 1, 17)[1:-1]
    lobe = np.abs(np.sin(2 * np.pi * part)) ** 0.75
    out = 0.12 * wide * lobe + 4 * np.sin(np.pi * part)
    return np.column_stack(
        [
            heel[0] - 0.96 * out,
            band[-1, 1] + part * (band[0, 1] - band[-1, 1]),
            heel[1] - 0.16 * heel[1] * lobe - 0.05 * out,
        ]
    )


def _ring(
    hairline: FloatArray, long: float, wide: float, share: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The skin at a share of its height: behind its front, sideways, off its plane [mm].

    From the hairline, with a swelling just above it, to the round cut of the pastern.
    """
    along, sideways, off = hairline.T
    middle, deep, broad = 0.52 * long, 0.57 * wide, 0.54 * wide
    round_ = np.arctan2(2 * sideways / wide, 2 * (along - middle) / long)
    ellipse = _smooth(0.02, 0.62, share)
    shrunk = 1 + (deep / long - 1) * _smooth(0, 0.64, share)
    swell = 0.045 * np.exp(-(((share - 0.055) / 0.045) ** 2))
    bump = 1 + swell * _smooth(-4, 22, along)
    ahead = (along - middle) * bump * shrunk
    ahead = ahead + ellipse * (deep / 2 * np.cos(round_) - ahead)
    beside = sideways * bump
    beside = beside + ellipse * (broad / 2 * np.sin(round_) - beside)
    reach = (long - middle) + ellipse * (deep / 2 - (long - middle))
    return ahead - reach, beside, off * (1 - ellipse)


def _smooth(start: float, end: float, at: FloatArray | float) -> Any:
    """From 0 at the start to 1 at the end without a corner."""
    part = np.clip((at - start) / (end - start), 0.0, 1.0)
    return part * part * (3 - 2 * part)


def _bulbs(foot: Capsule, profile: Profile, edge: FloatArray, wide: float) -> FloatArray:
    """The bulbs as a net: from the hairline behind, rounded down and in to the frog."""
    right, left = foot.ground[0], foot.ground[-1]
    part = np.linspace(0, 1, len(edge))
    at_ends = np.abs(2 * part - 1) ** 6
    lobe = np.abs(np.sin(2 * np.pi * part)) ** 0.75
    overhang = min(14.0, 4 - 0.33 * float(profile.heel_coronet[0] - profile.heel_ground[0]))
    tip = 0.63 * float(np.ptp(foot.ground[:, 0]))
    frog = right[0] - overhang + 0.16 * (tip + overhang) + 8
    goal = np.column_stack(
        [
            frog + at_ends * (right[0] + 3 - frog),
            (left[1] + part * (right[1] - left[1])) * (0.66 + 0.27 * at_ends),
            max(11.0, 0.34 * float(profile.heel_coronet[1])) * (1 - at_ends) + at_ends,
        ]
    )
    rows = []
    for share in np.linspace(0, 1, 7):
        angle = share * np.pi / 2
        shrinks, falls = np.cos(angle) ** 0.82, np.sin(angle) ** 0.92
        if share == 1:
            shrinks = 0.0
        shrinks = shrinks + at_ends * (1 - falls - shrinks)  # its ends run down along the wall
        rows.append(
            np.column_stack(
                [
                    goal[:, 0] + (edge[:, 0] - goal[:, 0]) * shrinks
                    - 0.045 * wide * lobe * np.sin(2 * angle),
                    goal[:, 1] + (edge[:, 1] - goal[:, 1]) * (0.6 * shrinks + 0.4 * (1 - share)),
                    edge[:, 2]
                    + (goal[:, 2] + 5 * (1 - lobe) * (1 - at_ends) - edge[:, 2]) * falls,
                ]
            )
        )  # fmt: skip
    return np.array(rows)


def _underside(foot: Capsule, profile: Profile) -> dict[str, FloatArray]:
    """The parts of the underside as outlines in space, in the order of drawing."""
    heel = float(foot.ground[0, 0])
    wide, high = float(np.ptp(foot.coronet[:, 1])), float(profile.heel_coronet[1])
    overhang = max(heel - float(profile.heel_coronet[0]) + 0.1 * wide, 6.0)
    parts = foot_from_below(foot.ground[:, :2], overhang_mm=overhang)
    found = {}
    for part in _UNDERSIDE:
        place = parts[f"below_{part}"]
        behind = np.maximum(heel - place[:, 1], 0.0) / overhang
        found[part] = np.column_stack([place[:, 1], place[:, 0], 0.6 * high * behind])
    return found


def _tubules(
    foot: Capsule, middle_mm: FloatArray, view: tuple[float, float], page: FloatArray
) -> dict[str, Any]:
    """Thin lines along the wall that is seen, and three of them marked with their slope.

    The slopes stand below all that is seen of the foot, `page`, each led to by a thin line.
    """
    low = flat(foot.ground - middle_mm, *view)[0]
    high = flat(foot.ground + _BAND * (foot.coronet - foot.ground) - middle_mm, *view)[0]
    step = np.gradient(foot.ground, axis=0)
    outward = np.cross(step, foot.coronet - foot.ground)
    seen = flat(outward / np.linalg.norm(outward, axis=1, keepdims=True), *view)[1] < -0.05
    some = np.flatnonzero(seen)
    some = some[some % 2 == 0]
    strokes = np.full((3 * len(some), 2), np.nan)
    strokes[0::3], strokes[1::3] = low[some], high[some]
    last = len(low) - 1
    found: dict[str, Any] = {"tubules": strokes[:-1]}
    leaders: list[FloatArray] = []
    for name, places in zip(_MARKED, ((last // 2,), (last // 5, last - last // 5), (0, last)),
                            strict=True):  # fmt: skip
        here = [at for at in places if seen[at]]
        nearest = here[:1] if len(here) < 2 or low[here[0], 0] > low[here[1], 0] else here[1:]
        found[f"{name}_line"] = _NONE
        found[f"{name}_words_at"] = _NONE
        found[f"{name}_words"] = f"{name} {foot.slopes_deg[places[0]]:.3g}°"
        for at in nearest:
            found[f"{name}_line"] = np.stack([low[at], high[at]])
            across = low[at, 0] + np.sign(low[at, 0]) * 12.0
            near = np.abs(page[:, 0] - across) < _HALF_WORD_MM
            end = np.array([across, page[near, 1].min(initial=low[at, 1]) - 5.0])
            found[f"{name}_words_at"] = end[None]
            leaders += [low[at], end, _GAP[0]]
    return {**found, "leaders": np.array(leaders[:-1]).reshape(-1, 2)}


#: How `seen_skin` is drawn, in panel 1.
SKIN_SERIES = (
    Series(
        "tiles",
        "skin",
        values="skin_shades",
        scale=_shades(),
        panel=1,
        style=Style(colour="horn-line", width=1),
    ),
)
_WORDS = Style(colour="ink", size=14, align="centre", rise="below", apart=True)
#: How `whole_foot` is drawn, in panel 0.
WHOLE_FOOT_SERIES = (
    Series(
        "tiles",
        "whole",
        values="whole_shades",
        scale=_shades(),
        style=Style(colour="horn-line", width=1),
    ),
    Series("line", "tubules", style=Style(colour="horn-edge", width=0.8)),
    Series("line", "leaders", style=Style(colour="quiet", width=1)),
    Series("line", "toe_line", style=Style(colour="blue", width=4)),
    Series("line", "quarter_line", style=Style(colour="ink", width=4, dash=(3, 3))),
    Series("line", "heel_line", style=Style(colour="vermillion", width=4, dash=(8, 4))),
    *(Series("words", f"{name}_words_at", words=f"{name}_words", style=_WORDS) for name in _MARKED),
)

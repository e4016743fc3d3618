"""The foot as the whole course draws it: from the side, from below and from the front.

`foot_from_side`, `foot_from_below` and `foot_from_front` turn the measures of one foot into
areas (closed outlines) and lines (broken by NaN) in mm, by name; `side_series`, `below_series`
and `front_series` say how each is drawn. A figure takes both and has the course's foot:

    results = {**foot_from_side(profile), ...}
    series = (*side_series(), ...)

The landmarks and angles are the profile's own, to the last digit. What the landmarks do not
fix (the bow of the coronary band, the back of the pastern, frog and bars) is drawn after a
common foot; it is a picture and not a measurement.

Axes of the pictures, across and up:
side: x forward and z up, the toe to the right; below: y to the horse's left and x forward, as
seen by one who looks up at the foot with its toe away from him; front: y to the horse's left
and z up. In the last two the horse's left lies on the right of the picture.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray, numbers, points
from hoofcalc.capsule import plain_outline
from hoofcalc.figures.scene import Series, Style
from hoofcalc.profile import Profile, line_angle_deg

__all__ = [
    "BELOW_PARTS",
    "FRONT_PARTS",
    "SIDE_PARTS",
    "below_series",
    "foot_from_below",
    "foot_from_front",
    "foot_from_side",
    "front_series",
    "level_foot",
    "mirrored",
    "outline_of",
    "side_series",
    "wall_pieces",
]

#: Points along each curve: few, because they travel to the browser at each move.
_STEPS = np.linspace(0.0, 1.0, 13)[:, None]
_HORN_LINES = 11
_TOE_MM, _HEEL_MM = 10.0, 5.5  # thickness of the wall square to its face, as `build_capsule` has it
_PIECE = 0.25  # of the length: toe, and heels
_TO_BULB = 10  # the step of the coronary band at which pastern and bulb meet
#: Half width of the foot as a part of the bearing length, and the band's of the ground's:
#: the defaults of `hoofcalc.capsule.build_capsule`.
_HALF_WIDTH, _TAPER = 0.6, 0.85
_WALL = Style(colour="ink", fill="horn", fill_strength=1.0, width=2)
_CUT_HORN = Style(colour="ink", fill="horn", fill_strength=1.0, width=1.2)
_BULB = Style(colour="quiet", fill="bulb", fill_strength=1.0, width=1)
_TRENCH = Style(colour="quiet", fill="band", fill_strength=1.0, width=1)

#: What is drawn in each view, in the order of drawing: kind and look of each part.
SIDE_PARTS: Mapping[str, tuple[str, Style]] = {
    "ground": ("line", Style(colour="grey", width=3)),
    "pastern": ("area", Style(colour="quiet", fill="skin", fill_strength=1.0, width=1)),
    "bulb": ("area", _BULB),
    "wall": ("area", _WALL),
    "periople": ("area", Style(colour="quiet", fill="skin", fill_strength=0.6, width=0.5)),
    "horn": ("line", Style(colour="horn-line", width=1)),
    "band": ("area", Style(colour="ink", fill="band", fill_strength=1.0, width=1.2)),
}
BELOW_PARTS: Mapping[str, tuple[str, Style]] = {
    "bulb_right": ("area", _BULB),
    "bulb_left": ("area", _BULB),
    "trench_right": ("area", _TRENCH),
    "trench_left": ("area", _TRENCH),
    "sole": ("area", Style(colour="quiet", fill="skin", fill_strength=1.0, width=1)),
    "wall": ("area", replace(_CUT_HORN, width=2.5)),
    "white_line": ("area", Style(colour="quiet", fill="white", fill_strength=1.0, width=1)),
    "bar_right": ("area", _CUT_HORN),
    "bar_left": ("area", _CUT_HORN),
    "frog": ("area", Style(colour="ink", fill="bulb", fill_strength=1.0, width=1.5)),
    "groove": ("area", Style(colour="quiet", fill="band", fill_strength=1.0, width=1)),
}
FRONT_PARTS: Mapping[str, tuple[str, Style]] = {
    "ground": SIDE_PARTS["ground"],
    "pastern": SIDE_PARTS["pastern"],
    "wall": SIDE_PARTS["wall"],
    "periople": SIDE_PARTS["periople"],
    "horn": SIDE_PARTS["horn"],
    "band": SIDE_PARTS["band"],
}


def side_series(panel: int = 0, prefix: str = "foot") -> tuple[Series, ...]:
    """How the foot from the side is drawn; the data come from `foot_from_side`.

    Parameters
    ----------
    panel
        Number of the panel.
    prefix
        Beginning of each result's name, where a picture holds more than one foot.

    Returns
    -------
    tuple of Series
        In the order of drawing.
    """
    return _series(SIDE_PARTS, panel, prefix)


def below_series(panel: int = 0, prefix: str = "below") -> tuple[Series, ...]:
    """How the foot from below is drawn; the data come from `foot_from_below`.

    Parameters
    ----------
    panel, prefix
        As for `side_series`.

    Returns
    -------
    tuple of Series
        In the order of drawing.
    """
    return _series(BELOW_PARTS, panel, prefix)


def front_series(panel: int = 0, prefix: str = "front") -> tuple[Series, ...]:
    """How the foot from the front is drawn; the data come from `foot_from_front`.

    Parameters
    ----------
    panel, prefix
        As for `side_series`.

    Returns
    -------
    tuple of Series
        In the order of drawing.
    """
    return _series(FRONT_PARTS, panel, prefix)


def level_foot(profile: Profile) -> Profile:
    """A foot with its heel's ground point at the origin and its bearing surface level.

    Parameters
    ----------
    profile
        One foot from the side.

    Returns
    -------
    Profile
        The same foot.
    """
    forward = profile.toe_ground - profile.heel_ground
    forward = forward / np.hypot(*forward)
    frame = np.array([forward, [-forward[1], forward[0]]])
    return Profile(
        **{name: frame @ (at - profile.heel_ground) for name, at in profile.landmarks.items()}
    )


def foot_from_side(
    profile: Profile, prefix: str = "foot", *, horn_lines: int = _HORN_LINES
) -> dict[str, FloatArray]:
    """One foot from the side: hoof wall, coronary band, horn, heel bulb, pastern, ground.

    Parameters
    ----------
    profile
        One foot. Without pastern points the pastern follows the toe's angle; without a bulb it
        hangs out behind the heel as on a common foot.
    prefix
        Beginning of each name.
    horn_lines
        How many lines of the horn between toe and heel; they run as
        `hoofcalc.profile.line_angle_deg` says.

    Returns
    -------
    dict
        The parts of `SIDE_PARTS` as `<prefix>_<part>`: points across and up [mm].

    Raises
    ------
    ValueError
        If `profile` holds several feet.
    """
    if profile.shape:
        raise ValueError(f"profile must hold one foot (got shape {profile.shape})")
    toe, heel = profile.toe_ground, profile.heel_ground
    toe_top, heel_top = profile.toe_coronet, profile.heel_coronet
    size = _size_above(profile)
    length = float(profile.bearing_length_mm)
    forward = (toe - heel) / length
    frame = np.array([forward, [-forward[1], forward[0]]])  # along the bearing surface and up
    bow = _upward(heel_top - toe_top) * 0.025 * np.linalg.norm(heel_top - toe_top)
    band = _bowed(toe_top, heel_top, bow, _STEPS)
    pastern, hollow = _pastern(profile, frame, band, size)
    parts = {
        "ground": np.array([heel - 0.62 * length * forward, toe + 0.2 * length * forward]),
        "pastern": pastern,
        "bulb": _side_bulb(profile, frame, band, hollow, size),
        "wall": np.vstack([heel, toe, band]),
        "periople": _strip(band, _towards(band, profile, frame), 0.035 * size),
        "horn": _side_horn(profile, frame, bow, horn_lines),
        "band": _strip(band, np.broadcast_to(_upward(heel_top - toe_top), band.shape), 0.05 * size),
    }
    return _named(parts, SIDE_PARTS, prefix)


def outline_of(profile: Profile) -> FloatArray:
    """The bearing edge of a foot of which only the side is known: a plain shape of that length.

    Parameters
    ----------
    profile
        One foot.

    Returns
    -------
    array, shape (n, 2)
        Points forward and left [mm], right heel first; the heels stand at 0.

    Raises
    ------
    ValueError
        If `profile` holds several feet.
    """
    if profile.shape:
        raise ValueError(f"profile must hold one foot (got shape {profile.shape})")
    length = float(profile.bearing_length_mm)
    return plain_outline(length, 2 * _HALF_WIDTH * length, 41)


def foot_from_below(
    outline: ArrayLike,
    prefix: str = "below",
    *,
    profile: Profile | None = None,
    overhang_mm: ArrayLike | None = None,
) -> dict[str, FloatArray]:
    """One foot from below: wall, white line, sole, bars, frog with its groove, heel bulbs.

    Parameters
    ----------
    outline
        Outer edge of the wall, forward and left [mm], from the right heel round the toe to the
        left heel; `outline_of(profile)` where only the side is known.
    prefix
        Beginning of each name.
    profile
        The same foot from the side. With it the wall prints on the ground as wide as it lies
        flat; left out, it stands upright. That the sides lean in is left out either way.
    overhang_mm
        How far the bulbs reach out behind the heels' ground points [mm]
        (`Profile.bulb_overhang_mm`); left out, a third of the length.

    Returns
    -------
    dict
        The parts of `BELOW_PARTS` as `<prefix>_<part>`: points to the horse's left and
        forward [mm].

    Raises
    ------
    ValueError
        If `outline` has fewer than five points, or `profile` holds several feet.
    """
    outer = points("outline", outline, 2)[:, ::-1]  # across, up
    if len(outer) < 5:
        raise ValueError(f"outline must hold at least 5 points (got {len(outer)})")
    if profile is not None and profile.shape:
        raise ValueError(f"profile must hold one foot (got shape {profile.shape})")
    back = (outer[0] + outer[-1]) / 2
    size = float(outer[:, 1].max() - back[1])
    half = float(outer[-1, 0] - outer[0, 0]) / 2
    out_mm = size / 3 if overhang_mm is None else float(numbers("overhang_mm", overhang_mm))
    out_mm = max(out_mm, 0.15 * size)
    outer = _rounded(outer)
    ahead_of_heels = np.clip((outer[:, 1] - back[1]) / size, 0, 1)
    thick = _HEEL_MM + (_TOE_MM - _HEEL_MM) * ahead_of_heels
    inward = _inward(outer)
    if profile is not None:  # square to the rim the wall rises at this run for each mm up
        run = inward[:, 1] / np.tan(np.radians(line_angle_deg(profile, 1 - ahead_of_heels)))
        thick = thick * np.hypot(1.0, run)
    corner_mm = max(thick[0], thick[-1])
    inner = outer + thick[:, None] * inward
    within = inner + 0.022 * size * inward
    ahead = inner[:, 1] > back[1] + 0.09 * size  # behind it the white line turns into the bars

    inside = _inside(back, half, size, out_mm)
    right = _side(inside, -1.0, outer[0], inner[0], corner_mm)
    left = _side(inside, 1.0, outer[-1], inner[-1], corner_mm)
    sides = {"right": right, "left": left}
    other = back, _by(-1.0, 1.0)
    parts = {
        **{f"bulb_{name}": side["bulb"] for name, side in sides.items()},
        **{f"trench_{name}": side["trench"] for name, side in sides.items()},
        "sole": np.vstack(
            [
                np.where(ahead[:, None], within, inner), left["tip"], left["above"][::-1],
                right["above"], right["tip"],
            ]
        ),
        "wall": np.vstack([outer, inner[::-1]]),
        "white_line": np.vstack([inner[ahead], within[ahead][::-1]]),
        **{f"bar_{name}": side["bar"] for name, side in sides.items()},
        "frog": np.vstack(
            [inside.flank, inside.foot_edge, _on(inside.foot_edge, *other)[::-1],
             _on(inside.flank, *other)[::-1]]
        ),
        "groove": np.vstack([inside.pit, _on(inside.pit, *other)[::-1]]),
    }  # fmt: skip
    return _named(parts, BELOW_PARTS, prefix)


@dataclass(frozen=True, slots=True)
class _Inside:
    """The left half of what lies inside the wall, from the middle line outward [mm].

    The right half is its mirror image, moved to its own heel.
    """

    back: FloatArray  # middle between the heels
    half: float  # half the width between them
    out_mm: float  # how far the bulbs reach out behind
    base: FloatArray  # of the frog
    flank: FloatArray  # side of the frog, and the same in three parts
    above: FloatArray
    beside: FloatArray
    below: FloatArray
    foot_edge: FloatArray  # between frog and bulb
    bar_tip: FloatArray
    pit: FloatArray  # the groove in the frog


def _inside(back: FloatArray, half: float, size: float, out_mm: float) -> _Inside:
    """Frog, bar and groove for a foot of that width, length and overhang."""
    tip = back + _by(0.0, 0.60 * size)
    base = back - _by(0.0, 0.62 * out_mm)
    corner = base + _by(0.56 * half, -0.04 * out_mm)
    flank = _bezier(tip, tip + _by(0.16 * half, -0.03 * size), back + _by(0.40 * half, 0.12 * size),
                    corner)  # fmt: skip
    foot_edge = _bezier(corner, corner - _by(0.02 * half, 0.36 * out_mm), base, base)
    bar_tip = back + _by(0.44 * half, 0.34 * size)
    # the groove beside the frog runs on in front of the bar and ends in a point
    above, beside, below = _cut(flank, bar_tip[1] + 0.12 * size, back[1])
    groove_top = back + _by(0.0, 0.26 * size)
    pit = _bezier(
        groove_top, groove_top + _by(0.10 * half, 0.0), base + _by(0.09 * half, 0.0), base
    )
    return _Inside(back, half, out_mm, base, flank, above, beside, below, foot_edge, bar_tip, pit)


def _side(
    inside: _Inside, sign: float, heel: FloatArray, inner: FloatArray, corner_mm: float
) -> dict[str, FloatArray]:
    """Bulb, bar and groove of one side: -1 right, 1 left; its heel and the wall's inner edge."""
    turned = inside.back, _by(sign, 1.0)
    ledge = heel - _by(sign * 1.4 * corner_mm, 0.0)
    top = _on(inside.bar_tip, *turned)
    outside = np.vstack([ledge, top])
    bar = np.vstack([heel, ledge, outside, inner])
    rear = inside.back + _by(sign * 0.60 * inside.half, -inside.out_mm)
    bulb = np.vstack(
        [
            _bezier(heel, heel + _by(sign * 0.08 * inside.half, -0.5 * inside.out_mm),
                    rear + _by(sign * 0.38 * inside.half, 0.0), rear),
            _bezier(rear, rear - _by(sign * 0.30 * inside.half, 0.0),
                    inside.base + _by(sign * 0.05 * inside.half, -0.25 * inside.out_mm),
                    inside.base),
            _on(inside.foot_edge[::-1], *turned),
            _on(inside.below[::-1], *turned),
        ]
    )  # fmt: skip
    return {
        "bulb": np.vstack([bulb, ledge]),
        "bar": bar,
        "trench": np.vstack([outside, _on(inside.beside, *turned)]),
        "above": _on(inside.above, *turned),
        "tip": top,
    }


def foot_from_front(
    profile: Profile,
    prefix: str = "front",
    *,
    ground_mm: tuple[float, float] | None = None,
    coronet_mm: tuple[float, float] | None = None,
) -> dict[str, FloatArray]:
    """One foot from the front: hoof wall, coronary band, horn, pastern, ground.

    Parameters
    ----------
    profile
        One foot; gives the height of the toe and of the pastern.
    prefix
        Beginning of each name.
    ground_mm, coronet_mm
        How far wall and coronary band reach from the middle line, to the horse's right and
        left [mm]. Left out: the wall 0.6 of the bearing length, the band 0.85 of the wall's.

    Returns
    -------
    dict
        The parts of `FRONT_PARTS` as `<prefix>_<part>`: points to the horse's left and up [mm].

    Raises
    ------
    ValueError
        If one of `ground_mm` or `coronet_mm` is not above 0, the hairline of `profile` stands
        higher at the heel than at the toe, or it holds several feet.
    """
    if profile.shape:
        raise ValueError(f"profile must hold one foot (got shape {profile.shape})")
    length, toe = float(profile.bearing_length_mm), float(profile.toe_height_mm)
    heel = numbers("heel_height_mm of profile", profile.heel_height_mm, at_most=toe)
    size = _size_above(profile)
    height = (toe + float(heel)) / 2  # of the sides
    ground = _pair("ground_mm", ground_mm, _HALF_WIDTH * length)
    coronet = _pair("coronet_mm", coronet_mm, _TAPER * _HALF_WIDTH * length)
    # The rings seen from the front: the coronary band falls from the toe to the two sides as
    # half an ellipse, and each line of the horn keeps its share of the way round.
    turn = np.linspace(-90.0, 90.0, 25)

    def rings(at_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
        across, ahead = np.sin(np.radians(at_deg)), np.cos(np.radians(at_deg))
        side = (at_deg > 0).astype(int)
        up = height + (toe - height) * ahead
        return (
            np.column_stack([across * ground[side], 0.0 * ahead]),
            np.column_stack([across * coronet[side], up]),
        )

    band = rings(turn)[1]
    lines = np.linspace(-90.0, 90.0, _HORN_LINES + 2)[1:-1]
    sine, cosine = np.sin(np.radians(turn)), np.cos(np.radians(turn))
    skin = 0.05 * size * np.column_stack([0.25 * sine, 0.3 + 0.7 * cosine])
    parts = {
        "ground": np.array([[-ground[0] - 0.2 * size, 0.0], [ground[1] + 0.2 * size, 0.0]]),
        "pastern": _front_pastern(profile, band + skin, coronet, toe, size),
        "wall": np.vstack([[-ground[0], 0.0], band, [ground[1], 0.0]]),
        "periople": _strip(band, np.broadcast_to([0.0, -1.0], band.shape), 0.035 * size),
        "horn": _between(*rings(lines)),
        "band": np.vstack([band, (band + skin)[::-1]]),
    }
    return _named(parts, FRONT_PARTS, prefix)


def mirrored(parts: Mapping[str, FloatArray]) -> dict[str, FloatArray]:
    """The same parts seen in a mirror: left and right change places.

    Parameters
    ----------
    parts
        What one of the three views returned.

    Returns
    -------
    dict
        The same names; outlines keep their points, in the same order.
    """
    return {name: np.asarray(place * np.array([-1.0, 1.0])) for name, place in parts.items()}


def wall_pieces(parts: Mapping[str, FloatArray]) -> dict[str, FloatArray]:
    """The wall cut into toe, quarters and heels in all three views.

    Where the toe ends and the quarter begins is a custom, not a seam; here toe and heels are each
    a quarter of the length on the ground.

    Parameters
    ----------
    parts
        The three views of one foot, with the prefixes "side", "below" and "front".

    Returns
    -------
    dict
        "side_toe", "side_quarter", "side_heel"; "below_toe" and "front_toe"; and right and left
        "below_quarter_...", "below_heel_..." and "front_quarter_...": closed outlines [mm].
    """
    toe = heel = _PIECE
    wall, horn = parts["side_wall"], parts["side_horn"]
    low = np.vstack([wall[1], horn[0::3], wall[0]])
    high = np.vstack([wall[2], horn[1::3], wall[-1]])
    at = np.linspace(0.0, 1.0, len(low))
    pieces = {
        "side_toe": _piece(low, high, at, 0.0, toe),
        "side_quarter": _piece(low, high, at, toe, 1.0 - heel),
        "side_heel": _piece(low, high, at, 1.0 - heel, 1.0),
    }
    rim = parts["below_wall"]
    outer, inner = rim[: len(rim) // 2], rim[len(rim) // 2 :][::-1]
    share = 1.0 - (outer[:, 1] - outer[0, 1]) / (outer[:, 1].max() - outer[0, 1])
    way = np.linspace(0.0, 1.0, len(outer))
    tip = int(np.argmax(outer[:, 1]))
    # along the rim from the right heel to the left: where each share of the length is met
    right = np.interp([-(1.0 - heel), -toe], -share[: tip + 1], way[: tip + 1])
    left = np.interp([toe, 1.0 - heel], share[tip:], way[tip:])
    pieces |= {
        "below_toe": _piece(outer, inner, way, right[1], left[0]),
        "below_quarter_right": _piece(outer, inner, way, right[0], right[1]),
        "below_quarter_left": _piece(outer, inner, way, left[0], left[1]),
        "below_heel_right": _piece(outer, inner, way, 0.0, right[0]),
        "below_heel_left": _piece(outer, inner, way, left[1], 1.0),
    }
    wall, horn = parts["front_wall"], parts["front_horn"]
    low = np.vstack([wall[0], horn[0::3], wall[-1]])
    high = np.vstack([wall[1], horn[1::3], wall[-2]])
    across = low[:, 0]  # a line's place on the rim below
    edge = np.sort(np.interp([right[1], left[0]], way, outer[:, 0]))
    pieces |= {
        "front_quarter_right": _piece(low, high, across, across[0], edge[0]),
        "front_toe": _piece(low, high, across, edge[0], edge[1]),
        "front_quarter_left": _piece(low, high, across, edge[1], across[-1]),
    }
    return pieces


def _piece(
    low: FloatArray, high: FloatArray, at: FloatArray, start: float, end: float
) -> FloatArray:
    """The part of a ribbon between two edges from one place along it to another."""
    inside = at[(at > start) & (at < end)]
    here = np.concatenate([[start], inside, [end]])
    edges = [
        np.column_stack([np.interp(here, at, edge[:, 0]), np.interp(here, at, edge[:, 1])])
        for edge in (low, high)
    ]
    return np.vstack([edges[0], edges[1][::-1]])


def _series(parts: Mapping[str, tuple[str, Style]], panel: int, prefix: str) -> tuple[Series, ...]:
    return tuple(
        Series(kind, f"{prefix}_{part}", panel=panel, style=style)
        for part, (kind, style) in parts.items()
    )


def _named(
    parts: Mapping[str, FloatArray], wanted: Mapping[str, object], prefix: str
) -> dict[str, FloatArray]:
    return {f"{prefix}_{part}": parts[part] for part in wanted}


def _bezier(start: ArrayLike, first: ArrayLike, second: ArrayLike, end: ArrayLike) -> FloatArray:
    """A smooth curve that leaves `start` towards `first` and reaches `end` from `second`."""
    a, b, c, d = (np.asarray(at, dtype=np.float64) for at in (start, first, second, end))
    t, u = _STEPS, 1 - _STEPS
    return np.asarray(u**3 * a + 3 * u**2 * t * b + 3 * u * t**2 * c + t**3 * d)


def _by(across: FloatArray | float, up: FloatArray | float) -> FloatArray:
    """A small step across and up."""
    return np.array([across, up], dtype=np.float64)


def _on(left: FloatArray, middle: FloatArray, side: FloatArray) -> FloatArray:
    """A part of the left half laid on the left (1, 1) or the right (-1, 1) of the middle."""
    return np.asarray(middle + (left - middle) * side)


def _upward(along: FloatArray) -> FloatArray:
    """Unit vector square to a line that runs backward: the upper side of it."""
    return np.asarray(_by(along[1], -along[0]) / np.hypot(along[0], along[1]))


def _bowed(start: FloatArray, end: FloatArray, bow: FloatArray, at: FloatArray) -> FloatArray:
    """The coronary band from the side: a straight line with a slight even bow."""
    return np.asarray(start + at * (end - start) + 4 * at * (1 - at) * bow)


def _strip(edge: FloatArray, towards: FloatArray, wide_mm: float) -> FloatArray:
    """A strip along an edge, to one side of it."""
    return np.vstack([edge, (edge + wide_mm * towards)[::-1]])


def _towards(band: FloatArray, profile: Profile, frame: FloatArray) -> FloatArray:
    """The way down along the horn at each point of the band, toe's direction to heel's."""
    share = np.linspace(0.0, 1.0, len(band))
    return -_line_direction(profile, frame, share)


def _line_direction(profile: Profile, frame: FloatArray, share: FloatArray) -> FloatArray:
    """Unit vectors up along the horn at parts of the bearing length, 0 at the toe."""
    angle = np.radians(line_angle_deg(profile, share))
    return np.asarray(np.column_stack([-np.cos(angle), np.sin(angle)]) @ frame)


def _size_above(profile: Profile) -> float:
    """What bulb, band and pastern are measured by: they do not feel where the wall meets ground.

    The coronary band of a common foot is 1/1.2 of the bearing length (drawn, not measured).
    """
    return 1.2 * float(np.hypot(*(profile.toe_coronet - profile.heel_coronet)))


def _side_horn(profile: Profile, frame: FloatArray, bow: FloatArray, many: int) -> FloatArray:
    """Lines of the horn from the ground up to where they meet the bowed coronary band."""
    share = np.linspace(0.0, 1.0, many + 2)[1:-1]
    toe, toe_top = profile.toe_ground, profile.toe_coronet
    low = toe + share[:, None] * (profile.heel_ground - toe)
    up = _line_direction(profile, frame, share)

    def off(vector: FloatArray) -> FloatArray:
        """Component square to each line."""
        return up[:, 0] * vector[..., 1] - up[:, 1] * vector[..., 0]

    # off(toe_top + t chord + 4 t (1 - t) bow - low) = 0 is quadratic in t
    c = off(toe_top - low)
    b = off((profile.heel_coronet - toe_top + 4 * bow)[None])
    a = off((-4 * bow)[None])
    root = np.sqrt(np.maximum(b**2 - 4 * a * c, 0.0))
    t = -2 * c / (b + np.copysign(root, b))  # the root that stays finite as the bow goes to 0
    high = _bowed(toe_top, profile.heel_coronet, bow, np.clip(t, 0, 1)[:, None])
    return _between(low, high)


def _between(low: FloatArray, high: FloatArray) -> FloatArray:
    """Separate lines from each low point to its high point, as one array with breaks."""
    gap = np.full_like(low, np.nan)
    return np.stack([low, high, gap], axis=1).reshape(-1, 2)[:-1]


def _pastern(
    profile: Profile, frame: FloatArray, band: FloatArray, size: float
) -> tuple[FloatArray, FloatArray]:
    """The pastern above the coronary band, and the point where its hollow meets the bulb."""
    toe_top, heel_top = profile.toe_coronet, profile.heel_coronet
    if profile.pastern_high is None or profile.pastern_low is None:
        angle = np.radians(profile.toe_angle_deg)
        axis = np.array([-np.cos(angle), np.sin(angle)]) @ frame
        length = 0.85 * size
    else:
        axis = profile.pastern_high - profile.pastern_low
        axis = axis / np.hypot(*axis)
        length = float((profile.pastern_high - toe_top) @ axis)
    front_top = toe_top + length * axis
    behind = np.array([-axis[1], axis[0]])  # square to the pastern, to the rear
    back_top = front_top + 0.60 * size * behind
    hollow = heel_top + 0.16 * size * np.array([-0.2, 1.0]) @ frame
    back = _bezier(back_top, back_top - 0.30 * length * axis, hollow + 0.28 * length * axis, hollow)
    skin = toe_top + 0.05 * size * _upward(heel_top - toe_top)
    front = _bezier(toe_top, skin, skin + 0.1 * length * axis, front_top)
    cut = _bezier(front_top, front_top + 0.05 * size * axis + 0.2 * size * behind,
                  back_top - 0.05 * size * axis - 0.2 * size * behind, back_top)  # fmt: skip
    return np.vstack([front, cut, back, band[_TO_BULB::-1]]), hollow


def _side_bulb(
    profile: Profile, frame: FloatArray, band: FloatArray, hollow: FloatArray, size: float
) -> FloatArray:
    """The heel bulb from the side: behind and above the heel, never below the ground."""
    heel, heel_top = profile.heel_ground, profile.heel_coronet
    rear = profile.bulb
    if rear is None:
        rear = heel_top + size * np.array([-0.085, -0.055]) @ frame
    low = heel_top + 0.5 * (heel - heel_top)
    drop = max(float((rear - low) @ frame[1]), 0.2 * float((heel_top - heel) @ frame[1]))
    rise = max(float((hollow - rear) @ frame[1]), 0.05 * size)
    over = _bezier(hollow, hollow - 0.06 * size * frame[0] - 0.1 * rise * frame[1],
                   rear + 0.6 * rise * frame[1], rear)  # fmt: skip
    under = _bezier(rear, rear - 0.6 * drop * frame[1],
                    low - 0.03 * size * frame[0] + 0.1 * drop * frame[1], low)  # fmt: skip
    return np.vstack([over, under, band[: _TO_BULB - 1 : -1]])


def _front_pastern(
    profile: Profile, band: FloatArray, coronet: FloatArray, toe: float, size: float
) -> FloatArray:
    """The pastern from the front: as wide as the band below, narrower above."""
    top = toe + 0.55 * size
    if profile.pastern_high is not None:
        top = max(float((profile.pastern_high - profile.heel_ground)[1]), toe + 0.2 * size)
    neck = 0.62 * coronet
    right, left = band[0], band[-1]
    low = (top - toe) * 0.45
    return np.vstack(
        [
            band,
            _bezier(left, left + _by(0, low), [neck[1], toe], [neck[1], top]),
            _bezier([neck[1], top], [0.4 * neck[1], top + 0.04 * size],
                    [-0.4 * neck[0], top - 0.04 * size], [-neck[0], top]),
            _bezier([-neck[0], top], [-neck[0], toe], right + _by(0, low), right),
        ]
    )  # fmt: skip


def _cut(line: FloatArray, *levels: float) -> list[FloatArray]:
    """A line that falls, cut at two or more heights; neighbours share their cut point."""
    pieces, rest = [], line
    for level in levels:
        across = float(np.interp(-level, -rest[:, 1], rest[:, 0]))
        under = int(np.argmax(rest[:, 1] < level))
        at = np.array([[across, level]])
        pieces.append(np.vstack([rest[:under], at]))
        rest = np.vstack([at, rest[under:]])
    return [*pieces, rest]


def _rounded(outline: FloatArray) -> FloatArray:
    """A smooth line through all points of an outline of few points.

    Between two points a cubic whose direction at each is that of the line between its two
    neighbours (Catmull E, Rom R 1974, "A class of local interpolating splines").
    """
    if len(outline) >= 40:
        return outline
    slope = np.gradient(outline, axis=0)
    start, end, leave, arrive = (
        part[:, None] for part in (outline[:-1], outline[1:], slope[:-1], slope[1:])
    )
    many = -(-60 // (len(outline) - 1))
    t = (np.arange(many) / many)[:, None]
    curve = (
        (2 * t**3 - 3 * t**2 + 1) * start
        + (t**3 - 2 * t**2 + t) * leave
        + (3 * t**2 - 2 * t**3) * end
        + (t**3 - t**2) * arrive
    )
    return np.vstack([curve.reshape(-1, 2), outline[-1:]])


def _inward(edge: FloatArray) -> FloatArray:
    """Unit vectors square to the edge, to its inner side (the edge runs right, toe, left)."""
    along = np.gradient(edge, axis=0)
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    return np.column_stack([along[:, 1], -along[:, 0]])


def _pair(name: str, given: tuple[float, float] | None, otherwise: float) -> FloatArray:
    """Two positive numbers, right and left."""
    pair = numbers(name, (otherwise, otherwise) if given is None else given, above=0)
    if pair.shape != (2,):
        raise ValueError(f"{name} must be two numbers, right and left (got {given!r})")
    return pair

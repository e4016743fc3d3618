"""The points of each view in their order, in plain words, each with a little drawing of where."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from hoofcalc._inputs import FloatArray, choice
from hoofcalc.case.landmarks import OPTIONAL, POINTS, VIEWS, WAYS
from hoofcalc.figures.foot import (
    BELOW_PARTS,
    FRONT_PARTS,
    SIDE_PARTS,
    foot_from_below,
    foot_from_front,
    foot_from_side,
    outline_of,
)
from hoofcalc.figures.scene import COLOURS, Style
from hoofcalc.profile import Profile

__all__ = ["Step", "sketch", "steps"]


@dataclass(frozen=True)
class Step:
    """One point to place.

    Parameters
    ----------
    name
        Its name in the case's files.
    label
        Its name in words.
    help
        Where it lies, in words.
    sketch
        A drawing of where it lies, as SVG.
    optional
        Whether it may be left out.
    group
        What it belongs to; its colour and dashes follow from this.
    joined
        Names of the points to which a line is drawn from this one.
    in_row
        Whether it is one of a row of like points, of which as many are placed as wanted.
    """

    name: str
    label: str
    help: str
    sketch: str
    optional: bool = False
    group: str = "foot"
    joined: tuple[str, ...] = ()
    in_row: bool = False


_SCALE = "the ruler or stick whose length you know"
_SQUARE = "the outer corner of the printed black square, as it lies in the picture"
#: By name: label, where it lies, group, lines to.
_WORDS: dict[str, tuple[str, str, str, tuple[str, ...]]] = {
    "scale_start": (
        "Known length: one end",
        f"At one end of the known length on {_SCALE}. It stands beside the foot, as far from the "
        "camera as the foot's middle.",
        "scale",
        (),
    ),
    "scale_end": (
        "Known length: other end",
        f"At the other end of the known length on {_SCALE}.",
        "scale",
        ("scale_start",),
    ),
    "level_start": (
        "Level ground: left",
        "On the line where foot and level ground meet, far out on the left of the picture.",
        "level",
        (),
    ),
    "level_end": (
        "Level ground: right",
        "On the same line, far out on the right of the picture.",
        "level",
        ("level_start",),
    ),
    "square_1": ("Square: lower left corner", f"On {_SQUARE}.", "square", ()),
    "square_2": ("Square: lower right corner", f"On {_SQUARE}.", "square", ("square_1",)),
    "square_3": ("Square: upper right corner", f"On {_SQUARE}.", "square", ("square_2",)),
    "square_4": (
        "Square: upper left corner",
        f"On {_SQUARE}.",
        "square",
        ("square_3", "square_1"),
    ),
    "toe_ground": (
        "Toe at the ground",
        "Where the front of the wall meets the ground. Where the edge is rounded off, at the "
        "foremost spot that bears.",
        "foot",
        (),
    ),
    "toe_coronet": (
        "Toe at the hairline",
        "At the top of the wall in front, where horn and hair meet.",
        "foot",
        ("toe_ground",),
    ),
    "heel_ground": (
        "Heel at the ground",
        "Where the heel meets the ground: the rearmost spot of horn that bears.",
        "foot",
        (),
    ),
    "heel_coronet": (
        "Heel at the hairline",
        "At the top of the heel's wall, where horn and hair meet.",
        "foot",
        ("heel_ground",),
    ),
    "pastern_low": (
        "Pastern: lower point",
        "On the middle line of the pastern, a little above the hairline: half way between its "
        "front and its back.",
        "pastern",
        (),
    ),
    "pastern_high": (
        "Pastern: upper point",
        "On the middle line of the pastern, higher up.",
        "pastern",
        ("pastern_low",),
    ),
    "bulb": ("Heel bulb", "At the rearmost spot of the heel bulb.", "foot", ()),
    "widest_point": (
        "Widest part of the foot",
        "On the ground line, below the spot where the foot is widest when seen from below.",
        "foot",
        (),
    ),
    "toe_line_low": (
        "Line of the horn at the toe: lower end",
        "Low on a line of the horn that you can see close to the toe.",
        "horn",
        (),
    ),
    "toe_line_high": (
        "Line of the horn at the toe: upper end",
        "On the same line of the horn, as high up as you can follow it.",
        "horn",
        ("toe_line_low",),
    ),
    "quarter_line_low": (
        "Line of the horn at the quarter: lower end",
        "Low on a line of the horn half way between toe and heel.",
        "horn",
        (),
    ),
    "quarter_line_high": (
        "Line of the horn at the quarter: upper end",
        "On the same line of the horn, as high up as you can follow it.",
        "horn",
        ("quarter_line_low",),
    ),
    "heel_line_low": (
        "Line of the horn at the heel: lower end",
        "Low on a line of the horn close to the heel.",
        "horn",
        (),
    ),
    "heel_line_high": (
        "Line of the horn at the heel: upper end",
        "On the same line of the horn, as high up as you can follow it.",
        "horn",
        ("heel_line_low",),
    ),
    "inner_coronet": (
        "Inner wall at the hairline",
        "At the top of the wall on the side of the horse's other leg, where horn and hair meet.",
        "foot",
        (),
    ),
    "inner_ground": (
        "Inner wall at the ground",
        "Where the wall on the side of the other leg meets the ground.",
        "foot",
        ("inner_coronet",),
    ),
    "outer_coronet": (
        "Outer wall at the hairline",
        "At the top of the wall on the outer side, where horn and hair meet.",
        "foot",
        (),
    ),
    "outer_ground": (
        "Outer wall at the ground",
        "Where the wall on the outer side meets the ground.",
        "foot",
        ("outer_coronet",),
    ),
    "middle_heel": (
        "Mid-line near the heels",
        "In the groove in the middle of the frog, near the heels.",
        "middle",
        (),
    ),
    "middle_toe": (
        "Mid-line near the toe",
        "On the mid-line of the foot, just ahead of the tip of the frog.",
        "middle",
        ("middle_heel",),
    ),
}
_FIRST_EDGE = "On the outer edge of the wall where it bears, at one heel."
_NEXT_EDGE = (
    "Further along the outer edge of the wall where it bears, about two fingers on: round the "
    "toe to the other heel."
)


def steps(
    view: str,
    way: str = WAYS[0],
    *,
    facing: str = "right",
    inner: str = "left",
    lines: bool = True,
) -> tuple[Step, ...]:
    """The points of one view in the order in which they are placed.

    Parameters
    ----------
    view
        "side", "front" or "below".
    way
        How sizes are known: "length" (known length and level ground line) or "square".
    facing
        Side view: which way the toe looks, "right" or "left".
    inner
        Front view: on which side of the picture the inner wall lies, "left" or "right".
    lines
        False leaves out the lines of the horn.

    Returns
    -------
    tuple of Step
        Each point of `hoofcalc.case.landmarks.POINTS` that this way asks for.

    Raises
    ------
    ValueError
        If a choice is not known.
    """
    mirror = _turned(view, facing, inner)
    choice("way", way, WAYS)
    return tuple(
        _step(view, name, mirror)
        for name in POINTS[view]
        if _asked(name, view, way) and (lines or _WORDS.get(name, ("",) * 4)[2] != "horn")
    )


def sketch(view: str, name: str, *, facing: str = "right", inner: str = "left") -> str:
    """A little drawing of the foot with a ring where one point goes.

    Parameters
    ----------
    view
        "side", "front" or "below".
    name
        Name of the point.
    facing, inner
        As for `steps`.

    Returns
    -------
    str
        SVG without words in it.

    Raises
    ------
    ValueError
        If the view or the point is not known.
    """
    mirror = _turned(view, facing, inner)
    return _drawn(view, choice("name", name, POINTS[view]), mirror)


def _turned(view: str, facing: str, inner: str) -> bool:
    """Whether the view's sketches are mirrored."""
    choice("view", view, VIEWS)
    choice("facing", facing, ("right", "left"))
    choice("inner", inner, ("left", "right"))
    return {"side": facing == "left", "front": inner == "right", "below": False}[view]


def _asked(name: str, view: str, way: str) -> bool:
    group = name.split("_")[0]
    if group == "level" and view == "below":
        return False  # seen from below there is no ground line; the mid-line gives the direction
    return not (
        (group in ("scale", "level") and way == "square") or (group == "square" and way == "length")
    )


def _step(view: str, name: str, mirror: bool) -> Step:
    optional = name in OPTIONAL
    drawing = _drawn(view, name, mirror)
    if name in _WORDS:
        label, where, group, joined = _WORDS[name]
        return Step(name, label, where, drawing, optional, group, joined)
    number = int(name.removeprefix("edge_"))
    return Step(
        name,
        f"Bearing edge {number}",
        _FIRST_EDGE if number == 1 else _NEXT_EDGE,
        drawing,
        optional,
        "edge",
        (f"edge_{number - 1:02d}",) if number > 1 else (),
        in_row=True,
    )


# ---- the drawings ----------------------------------------------------------------------------

_WIDTH, _HEIGHT, _ROUND = 270, 170, 18  # and room round it for a ring at its edge
#: Left edge and upper edge of each drawing [mm of the drawn foot].
_CORNER = {"side": (-130.0, 150.0), "front": (-150.0, 150.0), "below": (-150.0, 122.0)}
_STICK = {"side": (133.0, 4.0), "front": (108.0, 4.0), "below": (104.0, -10.0)}
_SQUARE_AT = {"side": (-122.0, 12.0), "front": (-142.0, 12.0), "below": (-142.0, 20.0)}
_STICK_MM, _SIDE_MM = 100.0, 46.0
_EDGE_RINGS = 15
#: Any foot; a plain one, so that nobody takes it for the own.
_FOOT = Profile.from_points(
    toe_ground=(110, 0), toe_coronet=(58, 67), heel_ground=(0, 0), heel_coronet=(-25, 24)
)
_GROUND = {"side": (-68.0, 132.0), "front": (-88.0, 88.0)}


@cache
def _places(view: str) -> Mapping[str, FloatArray]:
    """Where each point of a view lies on the drawn foot [mm across, up]."""
    places: dict[str, tuple[float, float] | FloatArray] = {}
    across, up = _STICK[view]
    places |= {"scale_start": (across, up), "scale_end": (across, up + _STICK_MM)}
    left, low = _SQUARE_AT[view]
    far = _SIDE_MM
    for number, (x, y) in enumerate(((0, 0), (far, 0), (far, far), (0, far)), 1):
        places[f"square_{number}"] = (left + x, low + y)
    if view in _GROUND:
        places |= {"level_start": (_GROUND[view][0], 0), "level_end": (_GROUND[view][1], 0)}
    else:
        places |= {"level_start": (-66, 0), "level_end": (66, 0)}
    if view == "side":
        places |= _side_places()
    elif view == "front":
        parts = foot_from_front(_FOOT, "")
        wall, band = parts["_wall"], parts["_band"]
        for name, sign in (("inner", -1.0), ("outer", 1.0)):
            places[f"{name}_ground"] = (sign * float(np.abs(wall[:, 0]).max()), 0)
            edge = band[np.argmax(sign * band[:, 0])]
            places[f"{name}_coronet"] = edge
    else:
        outline = outline_of(_FOOT)[:, ::-1]
        places |= {"middle_heel": (0, 8), "middle_toe": (0, 74)}
        along = np.r_[0, np.cumsum(np.hypot(*np.diff(outline, axis=0).T))]
        for name in POINTS["below"]:
            if name.startswith("edge_"):
                place = min(int(name[5:]), _EDGE_RINGS) - 1
                at = along[-1] * place / (_EDGE_RINGS - 1)
                places[name] = np.array([np.interp(at, along, outline[:, axis]) for axis in (0, 1)])
    return {name: np.asarray(at, float) for name, at in places.items()}


def _side_places() -> dict[str, tuple[float, float] | FloatArray]:
    places: dict[str, tuple[float, float] | FloatArray] = dict(_FOOT.landmarks)
    parts = foot_from_side(_FOOT, "")
    pastern = parts["_pastern"]
    for name, height in (("pastern_low", 88.0), ("pastern_high", 122.0)):
        order = np.diff(np.sign(pastern[:, 1] - height)) != 0
        places[name] = (float(pastern[:-1][order, 0].mean()), height)
    places["bulb"] = parts["_bulb"][np.argmin(parts["_bulb"][:, 0])]
    places["widest_point"] = (0.55 * float(_FOOT.bearing_length_mm), 0.0)
    for region, part in (("toe", 0.93), ("quarter", 0.5), ("heel", 0.12)):
        low = _FOOT.heel_ground + part * (_FOOT.toe_ground - _FOOT.heel_ground)
        high = _FOOT.heel_coronet + part * (_FOOT.toe_coronet - _FOOT.heel_coronet)
        places[f"{region}_line_low"] = low + 0.12 * (high - low)
        places[f"{region}_line_high"] = low + 0.86 * (high - low)
    return places


@cache
def _drawn(view: str, name: str, mirror: bool) -> str:
    places = _places(view)
    parts: list[str] = [_foot(view, mirror)]
    kind = name.split("_")[0]
    if kind == "scale":
        stick = [places["scale_start"], places["scale_end"]]
        parts.append(_path(view, stick, mirror, "#000", 9))
        parts.append(_path(view, stick, mirror, COLOURS["yellow"], 6))
        ticks = [
            places["scale_start"] + np.array([[-3.0, step], [3.0, step]])
            for step in np.linspace(0, _STICK_MM, 6)
        ]
        parts.extend(_path(view, tick, mirror, "#000", 1.5) for tick in ticks)
    elif kind == "square":
        corners = [places[f"square_{number}"] for number in (1, 2, 3, 4)]
        parts.append(_path(view, corners, mirror, "#000", 7, fill="#fff"))
    elif kind == "level":
        far = np.array([[-400.0, 0], [400.0, 0]])
        parts.append(_path(view, far, mirror, COLOURS["blue"], 3, dash="9 5"))
    elif kind == "edge":
        rings = (places[f"edge_{number:02d}"] for number in range(1, _EDGE_RINGS + 1))
        for at in rings:
            x, y = _at(view, at, mirror)
            parts.append(f'<circle cx="{x}" cy="{y}" r="3" fill="#000"/>')
    else:
        other = next(iter(_line_of(name, places)), None)
        if other is not None:
            line = [places[other], places[name]]
            parts.append(_path(view, line, mirror, COLOURS["blue"], 3, dash="9 5"))
    # the corners of the square go by where they lie in the picture, on a mirrored one as well
    flip = {"square_1": "square_2", "square_2": "square_1", "square_3": "square_4"}
    flip["square_4"] = "square_3"
    level = {"level_start": "level_end", "level_end": "level_start"}
    shown = (flip | level).get(name, name) if mirror else name
    x, y = _at(view, places[shown], mirror)
    vermillion = COLOURS["vermillion"]
    parts.append(
        f'<g fill="none"><circle cx="{x}" cy="{y}" r="14" stroke="#fff" stroke-width="10"/>'
        f'<circle cx="{x}" cy="{y}" r="14" stroke="{vermillion}" stroke-width="6"/></g>'
        f'<circle cx="{x}" cy="{y}" r="3.5" fill="{vermillion}" stroke="#fff"/>'
    )
    box = f"{-_ROUND} {-_ROUND} {_WIDTH + 2 * _ROUND} {_HEIGHT + 2 * _ROUND}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" '
        f'aria-hidden="true">{"".join(parts)}</svg>'
    )


def _line_of(name: str, places: Mapping[str, FloatArray]) -> Iterator[str]:
    """The other end of the line that a point belongs to."""
    for first, second in (("low", "high"), ("coronet", "ground"), ("heel", "toe")):
        for here, there in ((first, second), (second, first)):
            other = f"{name.removesuffix(here)}{there}"
            if name.endswith(f"_{here}") and other in places:
                yield other


def _foot(view: str, mirror: bool) -> str:
    if view == "side":
        parts, looks = foot_from_side(_FOOT, ""), SIDE_PARTS
    elif view == "front":
        parts, looks = foot_from_front(_FOOT, ""), FRONT_PARTS
    else:
        parts, looks = foot_from_below(outline_of(_FOOT), "", profile=_FOOT), BELOW_PARTS
    return "".join(
        _shape(view, parts[f"_{name}"], mirror, kind, look)
        for name, (kind, look) in looks.items()
        if name != "periople"
    )


def _shape(view: str, outline: FloatArray, mirror: bool, kind: str, look: Style) -> str:
    breaks = np.flatnonzero(np.isnan(outline[:, 0]))
    pieces = [piece[~np.isnan(piece[:, 0])] for piece in np.split(outline, breaks)]
    colour = COLOURS[look.colour]
    fill = COLOURS.get(look.fill, "none") if kind == "area" else "none"
    return "".join(
        _path(view, piece, mirror, colour, look.width, fill=fill, strength=look.fill_strength)
        for piece in pieces
        if len(piece) > 1
    )


def _path(
    view: str,
    line: Sequence[FloatArray] | FloatArray,
    mirror: bool,
    colour: str,
    width: float,
    *,
    fill: str = "none",
    strength: float = 1.0,
    dash: str = "",
) -> str:
    places = " ".join(",".join(map(str, _at(view, at, mirror))) for at in line)
    tag = "polyline" if fill == "none" else "polygon"
    return (
        f'<{tag} points="{places}" fill="{fill}" stroke="{colour}" stroke-width="{width:g}"'
        + (f' fill-opacity="{strength:g}"' if fill != "none" and strength < 1 else "")
        + (f' stroke-dasharray="{dash}"' if dash else "")
        + "/>"
    )


def _at(view: str, at: FloatArray, mirror: bool) -> tuple[int, int]:
    """Whole units of the drawing: finer than the eye, and short to send."""
    left, top = _CORNER[view]
    across = round(float(at[0]) - left)
    return (_WIDTH - across if mirror else across), round(top - float(at[1]))

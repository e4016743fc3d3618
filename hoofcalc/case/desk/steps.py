"""The points of each view in their order, in plain words, each with a little drawing of where.

The words stand in ``points.toml``, the look of the drawing in the template ``sketch.html.j2``.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from hoofcalc._inputs import FloatArray, choice
from hoofcalc.case.landmarks import OPTIONAL, POINTS, VIEWS, WAYS
from hoofcalc.case.markup import page
from hoofcalc.figures.foot import (
    BELOW_PARTS,
    FRONT_PARTS,
    SIDE_PARTS,
    foot_from_below,
    foot_from_front,
    foot_from_side,
    outline_of,
)
from hoofcalc.figures.scene import COLOURS, tiles
from hoofcalc.profile import Profile

_WORDS: Mapping[str, dict[str, Any]] = tomllib.loads(
    Path(__file__).with_name("points.toml").read_text("utf-8")
)


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


#: In a film; where it lies only its owner knows, so there is no drawing.
MARK = Step(name="mark", sketch="", **_WORDS["mark"])


def steps(
    view: str,
    way: str = WAYS[0],
    *,
    facing: str = "right",
    inner: str = "left",
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
    return tuple(_step(view, name, mirror) for name in asked_points(view, way))


def asked_points(view: str, way: str) -> list[str]:
    """Names of the points that are asked for in a view, in their order."""
    other = {"length": ("square",), "square": ("scale", "level")}[choice("way", way, WAYS)]
    if view == "below":
        other += ("level",)  # seen from below there is no ground line; the mid-line tells
    return [name for name in POINTS[view] if not name.startswith(other)]


def _turned(view: str, facing: str, inner: str) -> bool:
    """Whether the view's sketches are mirrored."""
    choice("view", view, VIEWS)
    choice("facing", facing, ("right", "left"))
    choice("inner", inner, ("left", "right"))
    return {"side": facing == "left", "front": inner == "right", "below": False}[view]


def _step(view: str, name: str, mirror: bool) -> Step:
    number = int(name[5:]) if name.startswith("edge_") else 0
    words = dict(_WORDS.get(name) or _WORDS["first_edge" if number == 1 else "next_edge"])
    if number:
        words["label"] = f"Bearing edge {number}"
        words["joined"] = [f"edge_{number - 1:02d}"] if number > 1 else []
    words["joined"] = tuple(words.get("joined", ()))
    return Step(
        name=name,
        sketch=_drawn(view, name, mirror),
        optional=name in OPTIONAL,
        in_row=bool(number),
        **words,
    )


# ---- the drawings ----------------------------------------------------------------------------

#: Width and height of a drawing, room for a ring at its edge included [mm of the drawn foot].
_WIDTH, _HEIGHT = 306, 206
#: Left edge and upper edge of each drawing [mm of the drawn foot].
_CORNER = {"side": (-148, 168), "front": (-168, 168), "below": (-168, 140)}
_STICK = {"side": (133.0, 4.0), "front": (108.0, 4.0), "below": (104.0, -10.0)}
_SQUARE_AT = {"side": (-122.0, 12.0), "front": (-142.0, 12.0), "below": (-142.0, 20.0)}
_STICK_MM, _SIDE_MM = 100.0, 46.0
_EDGE_RINGS = 15
#: Any foot; a plain one, so that nobody takes it for the own.
_FOOT = Profile.from_points(
    toe_ground=(110, 0), toe_coronet=(58, 67), heel_ground=(0, 0), heel_coronet=(-25, 24)
)
_GROUND = {"side": (-68.0, 132.0), "front": (-88.0, 88.0), "below": (-66.0, 66.0)}
#: The other end of the line that a point belongs to, by the last word of its name.
_OTHER_END = {"low": "high", "coronet": "ground", "heel": "toe"}
_OTHER_END |= {there: here for here, there in _OTHER_END.items()}
#: Corners and ends go by where they lie in the picture, on a mirrored one as well.
_MIRRORED = {"square_1": "square_2", "square_3": "square_4", "level_start": "level_end"}
_MIRRORED |= {there: here for here, there in _MIRRORED.items()}


@cache
def _places(view: str) -> Mapping[str, FloatArray]:
    """Where each point of a view lies on the drawn foot [mm across, up]."""
    (across, up), (left, low), (start, end) = _STICK[view], _SQUARE_AT[view], _GROUND[view]
    right, high = left + _SIDE_MM, low + _SIDE_MM
    frame: dict[str, Any] = {
        "scale_start": (across, up),
        "scale_end": (across, up + _STICK_MM),
        "level_start": (start, 0),
        "level_end": (end, 0),
        "square_1": (left, low),
        "square_2": (right, low),
        "square_3": (right, high),
        "square_4": (left, high),
    }
    own = {"side": _side_places, "front": _front_places, "below": _below_places}[view]()
    return {name: np.asarray(at, float) for name, at in (frame | own).items()}


def _side_places() -> dict[str, Any]:
    places: dict[str, Any] = dict(_FOOT.landmarks)
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


def _front_places() -> dict[str, Any]:
    parts = foot_from_front(_FOOT, "")
    wall, band = parts["_wall"], parts["_band"]
    places: dict[str, Any] = {}
    for name, sign in (("inner", -1.0), ("outer", 1.0)):
        places[f"{name}_ground"] = (sign * float(np.abs(wall[:, 0]).max()), 0)
        places[f"{name}_coronet"] = band[np.argmax(sign * band[:, 0])]
    return places


def _below_places() -> dict[str, Any]:
    outline = outline_of(_FOOT)[:, ::-1]
    along = np.r_[0, np.cumsum(np.hypot(*np.diff(outline, axis=0).T))]
    places: dict[str, Any] = {"middle_heel": (0, 8), "middle_toe": (0, 74)}
    for name in POINTS["below"]:
        if name.startswith("edge_"):
            part = (min(int(name[5:]), _EDGE_RINGS) - 1) / (_EDGE_RINGS - 1)
            places[name] = [np.interp(part * along[-1], along, side) for side in outline.T]
    return places


@cache
def _drawn(view: str, name: str, mirror: bool) -> str:
    """The foot, what the point belongs to, and a ring where it lies, as SVG."""
    places = _places(view)
    kind = name.split("_")[0]
    stem, _, last = name.rpartition("_")
    lines, dots = [], []
    if kind == "scale":
        stick = np.array([places["scale_start"], places["scale_end"]])
        lines = [_line(stick, "black", 9), _line(stick, "yellow", 6)]
        for step in np.linspace(0, _STICK_MM, 6):
            lines.append(_line(stick[0] + [[-3.0, step], [3.0, step]], "black", 1.5))
    elif kind == "square":
        corners = np.array([places[f"square_{number}"] for number in (1, 2, 3, 4)])
        lines = [_line(corners, "black", 7, fill="white")]
    elif kind == "level":
        lines = [_line(np.array([[-400.0, 0], [400.0, 0]]), "blue", 3, dash="9 5")]
    elif kind == "edge":
        dots = [places[f"edge_{number:02d}"] for number in range(1, _EDGE_RINGS + 1)]
    elif (other := f"{stem}_{_OTHER_END.get(last)}") in places:
        lines = [_line(np.array([places[other], places[name]]), "blue", 3, dash="9 5")]
    left, top = _CORNER[view]
    ring, down = places[_MIRRORED.get(name, name) if mirror else name]
    return page(
        "sketch",
        box=(left, -top, _WIDTH, _HEIGHT),
        mirrored=2 * left + _WIDTH if mirror else None,
        lines=[*_foot(view), *lines],
        dots=[(round(x), -round(y)) for x, y in dots],
        ring=(round(2 * left + _WIDTH - ring if mirror else ring), -round(down)),
        colour=COLOURS["vermillion"],
    )


@cache
def _foot(view: str) -> list[dict[str, Any]]:
    """The parts of the foot."""
    parts, looks = {
        "side": lambda: (foot_from_side(_FOOT, ""), SIDE_PARTS),
        "front": lambda: (foot_from_front(_FOOT, ""), FRONT_PARTS),
        "below": lambda: (foot_from_below(outline_of(_FOOT), "", profile=_FOOT), BELOW_PARTS),
    }[view]()
    return [
        _line(
            parts[f"_{name}"],
            look.colour,
            look.width,
            fill=look.fill if kind == "area" else "",
            strength=look.fill_strength,
        )
        for name, (kind, look) in looks.items()
        if name != "periople"
    ]


def _line(
    places: FloatArray,
    colour: str,
    width: float,
    *,
    fill: str = "",
    strength: float = 1.0,
    dash: str = "",
) -> dict[str, Any]:
    """A line, broken by NaN, or an outline, in whole millimetres: finer than the eye."""
    pieces = (" ".join(f"{x:.0f},{-y:.0f}" for x, y in piece) for piece in tiles(places))
    return {
        "path": "".join(f"M{piece}{'Z' if fill else ''}" for piece in pieces),
        "colour": COLOURS[colour],
        "width": width,
        "fill": COLOURS[fill] if fill else "none",
        "strength": strength,
        "dash": dash,
    }

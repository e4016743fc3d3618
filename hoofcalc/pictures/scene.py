"""The description of a picture: panels, series and how they look.

Lengths on the page are in pixels of the browser (one pixel = one point of the
still picture, which is made at twice that size).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from hoofcalc._inputs import choice

#: Okabe and Ito's colours, which stay apart for colour-blind eyes (Okabe M, Ito K, 2008,
#: "Color Universal Design"). A colour never stands alone: dashes, marks or words double it.
COLOURS = {
    "black": "#000000",
    "orange": "#E69F00",
    "sky": "#56B4E9",
    "green": "#009E73",
    "yellow": "#F0E442",
    "blue": "#0072B2",
    "vermillion": "#D55E00",
    "purple": "#CC79A7",
    "grey": "#5F6368",
}

#: What a series can be: a line through its points, a filled closed outline, separate marks,
#: arrows (pairs of points, tail and head), or short words at one point.
KINDS = ("line", "area", "points", "arrow", "words")


@dataclass(frozen=True, kw_only=True, slots=True)
class Style:
    """How a series looks.

    Parameters
    ----------
    colour
        One of the names in `COLOURS`.
    width
        Line width [pixels].
    dash
        Lengths of dash, gap, dash, ... [pixels]; empty for an unbroken line.
    fill
        Fill of an area: one of the names in `COLOURS`, or "" for none.
    fill_strength
        Opacity of the fill, 0 to 1.
    size
        Size of marks and letters [pixels].
    mark
        Mark of points: "circle", "square", "cross", or "ring", which leaves the spot free to see.
    align
        Where words stand from their point: "left", "centre" or "right" end on it.
    """

    colour: str = "blue"
    width: float = 2.5
    dash: tuple[float, ...] = ()
    fill: str = ""
    fill_strength: float = 0.35
    size: float = 14.0
    mark: str = "circle"
    align: str = "left"

    def __post_init__(self) -> None:
        choice("colour", self.colour, tuple(COLOURS))
        choice("fill", self.fill, ("", *COLOURS))
        choice("mark", self.mark, ("circle", "square", "cross", "ring"))
        choice("align", self.align, ("left", "centre", "right"))


@dataclass(frozen=True, kw_only=True, slots=True)
class Panel:
    """One pair of axes, with limits that never change.

    Parameters
    ----------
    title
        Words above the axes.
    x_limits, y_limits
        Lowest and highest value shown, in data units.
    x_label, y_label
        Name and unit of each axis.
    width, height
        Size of the panel, margins included [pixels].
    equal
        True where a length must look the same in both directions (true proportions).
    axes
        False draws no frame, ticks or labels.
    legend
        Where the key stands ("upper right", ...), or "" for none.
    draw
        Draws what never moves: a function of the matplotlib axes.
    """

    title: str
    x_limits: tuple[float, float]
    y_limits: tuple[float, float]
    x_label: str = ""
    y_label: str = ""
    width: int = 420
    height: int = 420
    equal: bool = False
    axes: bool = True
    legend: str = ""
    draw: Callable[[Any], None] | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Series:
    """One moving thing in a panel.

    Parameters
    ----------
    kind
        One of `KINDS`.
    data
        Name of the result it shows: an array of points (n x 2) in data units. An empty array
        hides the series; a NaN breaks a line.
    panel
        Number of its panel, counted from 0.
    style
        How it looks.
    label
        Its name in the panel's key; empty for none.
    words
        For `kind="words"`: name of the result (a short text) to write.
    """

    kind: str
    data: str
    panel: int = 0
    style: Style = Style()
    label: str = ""
    words: str = ""

    def __post_init__(self) -> None:
        choice("kind", self.kind, KINDS)
        if (self.kind == "words") != bool(self.words):
            raise ValueError('words must name a text for kind="words", and only there')

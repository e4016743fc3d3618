"""The description of a picture: panels, series and how they look.

Lengths on the page are in pixels of the browser (one pixel = one point of the
still picture, which is made at twice that size).
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import KW_ONLY, dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray, choice, points

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
    "rust": "#8A3400",  # vermillion darkened, for words
    "pale": "#D9DCE0",
    "paper": "#F3F5F7",
    "white": "#FFFFFF",
    "ink": "#1E2227",  # words and outlines
    "quiet": "#565D65",  # second words
    "edge": "#777D84",  # axes
    "mine": "#8F3F6C",  # what the learner drew: purple darkened
    "mark": "#F0E442",  # the one result; never a verdict
    "horn": "#ECD3A0",  # anatomy, no meaning
    "horn-line": "#8B6F3D",
    "horn-edge": "#7A6034",  # the same in light and dark: lines on horn that is lit
    "skin": "#E4DFD8",
    "bulb": "#D9C3CD",
    "band": "#9B948C",
}

#: Colours for the classes of a `Scale`, light to dark, which keep their order for colour-blind
#: eyes and in grey: matplotlib's cividis, turned round (Nunez J.R., Anderson C.R., Renslow R.S.,
#: 2018, "Optimizing colormaps with consideration for color vision deficiency", PLoS ONE 13).
RAMP = ("#FDE737", "#DCC65C", "#BDAE6E", "#9A9479", "#7B7B78", "#5D626E", "#33476B", "#00224D")
#: Fill of tiles without a value.
PLAIN = "#F4EFE6"

#: What a series can be: a line through its points, a filled closed outline, separate marks,
#: an arrow (two points, tail and head), short words at one point, or tiles (outlines parted by
#: NaN, drawn one over the other in their order, each coloured by its value).
KINDS = ("line", "area", "points", "arrow", "words", "tiles")


@dataclass(frozen=True, kw_only=True, slots=True)
class Scale:
    """From a value to one of a few colours, and the key that says so.

    Parameters
    ----------
    title
        Name and unit of the value, above the key.
    bounds
        Where one class ends and the next begins, rising; at most one fewer than `RAMP` has
        colours. A value on a bound belongs to the class above it.
    form
        How a bound is written.
    """

    title: str
    bounds: tuple[float, ...]
    form: str = "{:g}"

    def __post_init__(self) -> None:
        if not 1 <= len(self.bounds) < len(RAMP):
            raise ValueError(
                f"bounds must be 1 to {len(RAMP) - 1} numbers (got {len(self.bounds)})"
            )
        if any(low >= high for low, high in itertools.pairwise(self.bounds)):
            raise ValueError(f"bounds must rise (got {self.bounds})")

    @property
    def colours(self) -> tuple[str, ...]:
        """The colour of each class, light to dark."""
        last = len(RAMP) - 1
        return tuple(RAMP[round(at * last / len(self.bounds))] for at in range(self._count))

    @property
    def labels(self) -> tuple[str, ...]:
        """The words of each class in the key."""
        written = [self.form.format(bound) for bound in self.bounds]
        between = [f"{low} to {high}" for low, high in itertools.pairwise(written)]
        return (f"under {written[0]}", *between, f"{written[-1]} and over")

    @property
    def _count(self) -> int:
        return len(self.bounds) + 1

    def classes(self, values: ArrayLike) -> str:
        """The class of each value as one digit, 0 the lightest; "-" for NaN, no value.

        Parameters
        ----------
        values
            Numbers, shape (n,); infinity belongs to the darkest class.

        Returns
        -------
        str
            One letter for each value.
        """
        array = np.asarray(values, dtype=np.float64)
        found = np.searchsorted(self.bounds, array, side="right")
        return "".join(
            "-" if gone else str(number)
            for number, gone in zip(found.tolist(), np.isnan(array).tolist(), strict=True)
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Shades:
    """Colours of things in light: a tile's value is the number of its colour.

    They stand for no quantity and have no key; an edge around such a tile is of its own colour, so
    that neighbours close up.

    Parameters
    ----------
    colours
        At most 78, as many as there are letters from "0" to "}".
    """

    colours: tuple[str, ...]

    def __post_init__(self) -> None:
        if not 1 <= len(self.colours) <= 78:
            raise ValueError(f"colours must be 1 to 78 (got {len(self.colours)})")

    def classes(self, values: ArrayLike) -> str:
        """One letter for each number of a colour, counted on from "0"."""
        return "".join(chr(48 + round(value)) for value in np.asarray(values).tolist())


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
        Mark of points: "circle", "square", "triangle", "cross", or "ring", which leaves the spot
        free to see.
    align
        Where words stand from their point: "left", "centre" or "right" end on it.
    rise
        Whether words stand "above" their point, with their "middle" on it, or "below" it.
    bold
        False writes words in plain letters.
    hollow
        True fills marks with the ground's colour and draws them in their own.
    fade
        True lets the fill of an area fade out upwards.
    apart
        True lets words of a panel push each other sideways, so that they never overlap; a thin
        line leads back to where they belong.
    """

    colour: str = "blue"
    width: float = 2.5
    dash: tuple[float, ...] = ()
    fill: str = ""
    fill_strength: float = 0.35
    size: float = 14.0
    mark: str = "circle"
    align: str = "left"
    rise: str = "middle"
    bold: bool = True
    hollow: bool = False
    fade: bool = False
    apart: bool = False

    def __post_init__(self) -> None:
        choice("colour", self.colour, tuple(COLOURS))
        choice("fill", self.fill, ("", *COLOURS))
        choice("mark", self.mark, ("circle", "square", "triangle", "cross", "ring"))
        choice("align", self.align, ("left", "centre", "right"))
        choice("rise", self.rise, ("above", "middle", "below"))


#: Values on an axis, each alone or with the words that stand at it.
Ticks: TypeAlias = tuple[float | tuple[float, str], ...]


@dataclass(frozen=True, slots=True)
class Fixed:
    """One thing that stands in a panel and never moves.

    Parameters
    ----------
    kind
        "line" through its points, a filled "area" inside them, "words" at one point, or the
        "ground": a line with a hatch below it.
    points
        Where it stands, in data units.
    style
        How it looks.
    text
        The words.
    """

    kind: str
    points: tuple[tuple[float, float], ...]
    _: KW_ONLY
    style: Style = Style()
    text: str = ""

    def __post_init__(self) -> None:
        choice("kind", self.kind, ("line", "area", "words", "ground"))


def rectangle(left: float, right: float, low: float, high: float) -> FloatArray:
    """The four corners between these ends, in data units."""
    return np.array([[left, low], [right, low], [right, high], [left, high]])


def level_line(
    x_limits: tuple[float, float], y: float, *, width: float = 1.0, dash: tuple[float, ...] = ()
) -> Fixed:
    """A grey line across the panel at one height."""
    style = Style(colour="grey", width=width, dash=dash)
    return Fixed(kind="line", points=((x_limits[0], y), (x_limits[1], y)), style=style)


def upright_line(
    x: float,
    y_limits: tuple[float, float],
    *,
    colour: str = "grey",
    width: float = 1.0,
    dash: tuple[float, ...] = (),
) -> Fixed:
    """A line up the panel at one place."""
    style = Style(colour=colour, width=width, dash=dash)
    return Fixed(kind="line", points=((x, y_limits[0]), (x, y_limits[1])), style=style)


def fixed_words(
    text: str,
    x: float,
    y: float,
    *,
    colour: str = "black",
    size: float = 12.0,
    align: str = "left",
    rise: str = "middle",
    bold: bool = False,
) -> Fixed:
    """Words that stay where they are."""
    style = Style(colour=colour, size=size, align=align, rise=rise, bold=bold)
    return Fixed(kind="words", points=((x, y),), style=style, text=text)


def scale_bar(x: float, y: float, length_mm: float, *, gap_mm: float = 3.0) -> tuple[Fixed, ...]:
    """A length to compare with, its words above it.

    Parameters
    ----------
    x, y
        The left end of the bar, in data units [mm].
    length_mm
        How long it is [mm].
    gap_mm
        How far above the bar the words stand [mm].

    Returns
    -------
    tuple of Fixed
        The bar and its words.
    """
    bar = Fixed(
        kind="line", points=((x, y), (x + length_mm, y)), style=Style(colour="black", width=3.0)
    )
    middle = x + length_mm / 2
    label = f"{length_mm:g} mm"
    return bar, fixed_words(label, middle, y + gap_mm, align="centre", rise="above")


def box(
    x_limits: tuple[float, float],
    y_limits: tuple[float, float],
    fill: str,
    *,
    edge: str = "",
    width: float = 0.0,
) -> Fixed:
    """A filled rectangle, with an edge where one is named."""
    (left, right), (low, high) = x_limits, y_limits
    corners = ((left, low), (right, low), (right, high), (left, high))
    style = Style(colour=edge or fill, width=width, fill=fill, fill_strength=1.0)
    return Fixed(kind="area", points=corners, style=style)


@dataclass(frozen=True, kw_only=True, slots=True)
class Narrow:
    """How a panel stands on a narrow screen, where that differs.

    Parameters
    ----------
    height
        Its height there [pixels], its width being what there is; 0 keeps its shape.
    x_limits, y_limits
        What it shows there, in data units; None for the same.
    hide
        True leaves it out there.
    share
        Which part of the width it takes, below 1 where two stand side by side.
    """

    height: int = 0
    x_limits: tuple[float, float] | None = None
    y_limits: tuple[float, float] | None = None
    hide: bool = False
    share: float = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Panel:
    """One pair of axes, with limits that never change.

    Parameters
    ----------
    title
        Words above the axes; empty for none.
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
    x_ticks, y_ticks
        Where the axes carry numbers: values, or pairs of a value and the words at it; chosen by
        the drawing where nothing is given.
    grid
        False leaves the fine lines at the ticks out.
    fixed
        What stands in the panel and never moves, drawn in this order under the series.
    stretch
        True keeps the panel's height and takes the whole width there is.
    belongs_to
        A choice by name and value that the panel shows: it is tinted when that is chosen, and on
        a narrow screen only the chosen one is shown. None where it always stands.
    narrow
        How it stands on a narrow screen; None for the same shape, smaller.
    turned_by
        Names of the two sliders that dragging across and up moves, for a thing in space; None
        where nothing is turned.
    """

    title: str = ""
    x_limits: tuple[float, float]
    y_limits: tuple[float, float]
    x_label: str = ""
    y_label: str = ""
    width: int = 420
    height: int = 420
    equal: bool = False
    axes: bool = True
    legend: str = ""
    x_ticks: Ticks = ()
    y_ticks: Ticks = ()
    grid: bool = True
    fixed: tuple[Fixed, ...] = ()
    stretch: bool = False
    belongs_to: tuple[str, Any] | None = None
    narrow: Narrow | None = None
    turned_by: tuple[str, str] | None = None


def axis_ticks(
    ticks: Ticks, limits: tuple[float, float], pixels: float, apart: float = 70.0
) -> list[tuple[float, str]]:
    """Where an axis carries numbers: the given ones, or round steps.

    Parameters
    ----------
    ticks
        What the panel says; empty to have them chosen.
    limits
        Lowest and highest value shown.
    pixels
        Length of the axis [pixels].
    apart
        How far apart they stand at least [pixels].

    Returns
    -------
    list of pairs
        Values and the words at them.

    Examples
    --------
    >>> axis_ticks((), (0, 10), 350)
    [(0.0, '0'), (2.0, '2'), (4.0, '4'), (6.0, '6'), (8.0, '8'), (10.0, '10')]
    """
    if ticks:
        return [
            (float(tick[0]), tick[1]) if isinstance(tick, tuple) else (float(tick), _minus(tick))
            for tick in ticks
        ]
    low, high = limits
    wanted = (high - low) * apart / pixels
    power = 10.0 ** np.floor(np.log10(wanted))
    step = float(power * next(part for part in (1, 2, 5, 10) if part * power >= 0.999 * wanted))
    first = int(np.ceil(low / step - 1e-9))
    last = int(np.floor(high / step + 1e-9))
    values = [round(number * step, 10) for number in range(first, last + 1)]
    return [(value, _minus(value)) for value in values]


def _minus(value: float) -> str:
    return f"{value:g}".replace("-", "\u2212")


@dataclass(frozen=True, slots=True)
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
    values
        For `kind="tiles"`: name of the result that holds one number for each tile.
    scale
        For `kind="tiles"`: how those numbers become colours; the key of a `Scale` stands in the
        panel's.
    wide_only
        True leaves it out on a narrow screen.
    """

    kind: str
    data: str
    _: KW_ONLY
    panel: int = 0
    style: Style = Style()
    label: str = ""
    words: str = ""
    values: str = ""
    scale: Scale | Shades | None = None
    wide_only: bool = False

    def __post_init__(self) -> None:
        choice("kind", self.kind, KINDS)
        if (self.kind == "tiles") != bool(self.values and self.scale):
            raise ValueError('values and scale belong to kind="tiles", and only to it')
        if (self.kind == "words") != bool(self.words):
            raise ValueError('words must name a text for kind="words", and only there')


def series_points(item: Series, results: Mapping[str, Any]) -> FloatArray:
    """The points of one series, checked.

    Parameters
    ----------
    item
        The series.
    results
        The results by name.

    Returns
    -------
    array, shape (n, 2)
        Points in data units; n = 0 hides the series.

    Raises
    ------
    ValueError
        If the result is missing, is not an array of points, or has the wrong number of them.
    """
    if item.data not in results:
        raise ValueError(f"the results hold no {item.data!r}")
    place = np.asarray(results[item.data], dtype=np.float64)
    if place.size == 0:
        return np.empty((0, 2))
    broken = np.isnan(place)  # a NaN breaks a line and is meant; anything else must be finite
    points(item.data, np.where(broken, 0.0, place), 2)
    wanted = {"arrow": 2, "words": 1}.get(item.kind)
    if place.ndim != 2 or (wanted is not None and len(place) != wanted):
        raise ValueError(f"{item.data} must have shape ({wanted or 'n'}, 2) (got {place.shape})")
    return place


def tiles(place: FloatArray) -> list[FloatArray]:
    """The outlines in a row of points parted by NaN.

    Parameters
    ----------
    place
        Points, shape (n, 2).

    Returns
    -------
    list of arrays
        One outline after the other, without the NaN.
    """
    gaps = np.flatnonzero(np.isnan(place[:, 0]))
    return [
        part[1:] if number else part
        for number, part in enumerate(np.split(place, gaps))
        if len(part) > bool(number)
    ]


def series_text(item: Series, results: Mapping[str, Any]) -> str:
    """What goes with the points of a series: its words, or the class of each tile.

    Parameters
    ----------
    item
        The series.
    results
        The results by name.

    Returns
    -------
    str
        Empty for a series that has neither.

    Raises
    ------
    ValueError
        If there are not as many values as tiles.
    """
    if item.words:
        return str(results[item.words])
    if item.scale is None:
        return ""
    classes = item.scale.classes(results[item.values])
    many = len(tiles(series_points(item, results)))
    if len(classes) != many:
        raise ValueError(f"{item.values} must hold {many} numbers, one for each tile")
    return classes

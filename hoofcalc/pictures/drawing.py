"""matplotlib draws a described picture: the still one, and the fixed part for the browser."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib import figure as mpl_figure
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PolyCollection
from matplotlib.lines import Line2D
from matplotlib.patches import FancyArrowPatch, Patch, Polygon
from matplotlib.path import Path
from matplotlib.patheffects import withStroke
from matplotlib.text import Text
from PIL import Image

from hoofcalc.figures.scene import (
    COLOURS,
    PLAIN,
    Fixed,
    Panel,
    Scale,
    Series,
    Shades,
    Style,
    axis_ticks,
    series_points,
    series_text,
    tiles,
)
from hoofcalc.figures.spec import Figure

_DPI = 144  # two dots to a pixel of the browser (72 to the inch), sharp on a fine screen
_LOOK = {
    "font.family": "DejaVu Sans",
    "font.size": 13,
    "axes.titlesize": 14,
    "axes.titleweight": "bold",
    "axes.titlepad": 10,
    "axes.labelsize": 13,
    "axes.edgecolor": "#5F6368",
    "axes.linewidth": 1.0,
    "axes.axisbelow": True,
    "grid.color": "#D9DCE0",
    "legend.fontsize": 12,
    "legend.framealpha": 0.9,
    "text.parse_math": False,
}
#: A ring with a fine cross in it that leaves its middle open.
_RING = Path.make_compound_path(
    Path.circle(),
    *(Path([(0.25 * x, 0.25 * y), (x, y)]) for x, y in ((1, 0), (0, 1), (-1, 0), (0, -1))),
)
_RISES = {"above": "bottom", "middle": "center", "below": "top"}
_MARKS = {"circle": "o", "square": "s", "triangle": "^", "cross": "x", "ring": _RING}


class Drawing:
    """One matplotlib figure that is kept: `show` changes the series, `png` hands out the picture.

    The axes, ticks, labels, key and fixed drawing are drawn once; afterwards only the series
    are drawn again on the saved background.

    Parameters
    ----------
    panels
        The axes, side by side from left to right; one that stretches stands below the others.
    series
        What moves in them.
    extra
        For each panel, what else matplotlib alone can draw there: a function of its axes, or None.

    Raises
    ------
    ValueError
        If a series names a panel that is not there.
    """

    def __init__(
        self,
        panels: Sequence[Panel],
        series: Sequence[Series],
        extra: Sequence[Callable[[Any], None] | None] = (),
    ) -> None:
        self._extra = tuple(extra)
        self.panels = tuple(panels)
        self.series = tuple(series)
        for item in self.series:
            if not 0 <= item.panel < len(self.panels):
                raise ValueError(
                    f"panel must be between 0 and {len(self.panels) - 1} (got {item.panel})"
                )
        self._places, self.width, self.height = _places(self.panels)
        with mpl.rc_context({**mpl.rcParamsDefault, **_LOOK, "backend": mpl.get_backend()}):
            self._figure = mpl_figure.Figure(figsize=(self.width / 72, self.height / 72), dpi=_DPI)
            self._canvas = FigureCanvasAgg(self._figure)
            self._axes = [self._panel_axes(number) for number in range(len(self.panels))]
            self.artists = [_artist(self._axes[item.panel], item) for item in self.series]
            self._canvas.draw()
        self._blank = self._canvas.copy_from_bbox(self._figure.bbox)

    def _panel_axes(self, number: int) -> Any:
        """The axes of one panel with everything in it that never moves."""
        panel = self.panels[number]
        left, down = self._places[number]
        margins = _margins(panel)
        top = self.height - down - panel.height
        axes = self._figure.add_axes(
            (
                (left + margins[0]) / self.width,
                (top + margins[1]) / self.height,
                (panel.width - margins[0] - margins[2]) / self.width,
                (panel.height - margins[1] - margins[3]) / self.height,
            )
        )
        axes.set(xlim=panel.x_limits, ylim=panel.y_limits, title=panel.title)
        axes.set_xlabel(panel.x_label)
        if panel.title:
            axes.set_ylabel(panel.y_label)
        elif panel.y_label:  # level and above, as in the living figure
            words: dict[str, Any] = {"size": 13, "weight": "normal", "x": -30 / (panel.width - 60)}
            axes.set_title(panel.y_label, loc="left", **words)
        axes.set_autoscale_on(False)
        if panel.equal:
            axes.set_aspect("equal", adjustable="box", anchor="C")
        axes.spines[["top", "right"]].set_visible(False)
        axes.tick_params(color="#5F6368")
        axes.grid(panel.axes and panel.grid)
        _set_ticks(axes.xaxis, axis_ticks(panel.x_ticks, panel.x_limits, panel.width))
        _set_ticks(axes.yaxis, axis_ticks(panel.y_ticks, panel.y_limits, panel.height, 45))
        if not panel.axes:
            axes.set_axis_off()
            axes.title.set_visible(True)
        for thing in panel.fixed:
            axes.add_artist(_fixed(axes, thing))
        if number < len(self._extra) and (extra := self._extra[number]) is not None:
            extra(axes)
        here = [item for item in self.series if item.panel == number]
        keys = [_key(item) for item in here if item.label]
        scales = [item.scale for item in here if isinstance(item.scale, Scale)]
        for scale in scales[:1]:
            keys += [
                Patch(facecolor=colour, edgecolor="#000000", label=label)
                for colour, label in zip(scale.colours, scale.labels, strict=True)
            ]
        if panel.legend and keys:
            title = scales[0].title if scales else None
            axes.legend(handles=keys, loc=panel.legend, title=title, title_fontsize=12)
        return axes

    def show(self, results: Mapping[str, Any]) -> None:
        """Lay new results on the series.

        Parameters
        ----------
        results
            An array of points for every series, and a text for every series of words.

        Raises
        ------
        ValueError
            If a result is missing or is not an array of points.
        """
        for item, artist in zip(self.series, self.artists, strict=True):
            place = series_points(item, results)
            artist.set_visible(len(place) > 0)
            if not len(place):
                continue
            if isinstance(artist, Line2D):
                artist.set_data(place[:, 0], place[:, 1])
            elif isinstance(artist, Polygon):
                artist.set_xy(place)
            elif isinstance(artist, FancyArrowPatch):
                artist.set_positions(tuple(place[0]), tuple(place[1]))
            elif isinstance(artist, PolyCollection):
                artist.set_verts(tiles(place))
                colours = _tile_colours(item, series_text(item, results))
                artist.set_facecolor(colours)
                if isinstance(item.scale, Shades):
                    artist.set_edgecolor(colours)
            else:
                artist.set_position(tuple(place[0]))
                artist.set_text(str(results[item.words]))

        self._part_words()

    def _part_words(self) -> None:
        """Words that may push each other aside do, from left to right."""
        renderer = self._canvas.get_renderer()
        for number, axes in enumerate(self._axes):
            loose = [
                artist
                for item, artist in zip(self.series, self.artists, strict=True)
                if item.panel == number and item.style.apart and isinstance(artist, Text)
                and artist.get_visible() and artist.get_text()
            ]  # fmt: skip
            if len(loose) < 2:
                continue
            to_page, to_data = axes.transData.transform, axes.transData.inverted().transform
            loose.sort(key=lambda one: to_page(one.get_position())[0])
            at = np.array([to_page(one.get_position()) for one in loose])
            half = np.array([one.get_window_extent(renderer).width / 2 + 8 for one in loose])
            for _ in range(30):
                for left in range(len(loose) - 1):
                    over = half[left] + half[left + 1] - (at[left + 1, 0] - at[left, 0])
                    at[left, 0] -= max(over, 0.0) / 2
                    at[left + 1, 0] += max(over, 0.0) / 2
            for one, place in zip(loose, at, strict=True):
                one.set_position(tuple(to_data(place)))

    def png(self, *, series: bool = True, photograph: bool = False) -> bytes:
        """The picture as a PNG file at twice its size in pixels.

        Parameters
        ----------
        series
            False leaves the moving series out.
        photograph
            True where it stands on a photograph, which wants more colours than a flat drawing.

        Returns
        -------
        bytes
            A PNG file.
        """
        return _png(self._pixels(series=series), photograph)

    def boxes(self) -> list[tuple[float, float, float, float]]:
        """Where each panel's axes lie inside the panel.

        Returns
        -------
        list of tuples
            left, top, right, bottom of each pair of axes [pixels from the panel's top left].
        """
        found = []
        for axes, (left, top) in zip(self._axes, self._places, strict=True):
            box = axes.get_window_extent()
            found.append(
                (
                    float(box.x0 / 2 - left),
                    float(self.height - box.y1 / 2 - top),
                    float(box.x1 / 2 - left),
                    float(self.height - box.y0 / 2 - top),
                )
            )
        return found

    def _pixels(self, *, series: bool) -> Any:
        """The red, green and blue of every dot, with or without the series."""
        self._canvas.restore_region(self._blank)
        if series:
            for item, artist in zip(self.series, self.artists, strict=True):
                self._axes[item.panel].draw_artist(artist)
        return np.asarray(self._canvas.buffer_rgba())[:, :, :3].copy()


def _margins(panel: Panel) -> tuple[int, int, int, int]:
    """What a panel leaves free beside its axes: left, bottom, right, top [pixels]."""
    if not panel.axes:
        return (8, 8, 8, 44) if panel.title else (0, 0, 0, 0)
    top = 44 if panel.title else 32 if panel.y_label else 12
    left = 66 if panel.title and panel.y_label else 48
    if panel.y_ticks and not any(words for _, words in axis_ticks(panel.y_ticks, (0, 1), 1)):
        left = 12  # marks without numbers
    return (left, 56 if panel.x_label else 30, 16, top)


def _places(panels: Sequence[Panel]) -> tuple[list[tuple[int, int]], int, int]:
    """Left and top of each panel, and width and height of the whole [pixels]."""
    places, left, top, row, width = [], 0, 0, 0, 0
    for panel in panels:
        if panel.stretch and left:
            left, top, row = 0, top + row, 0
        places.append((left, top))
        left, row = left + panel.width, max(row, panel.height)
        width = max(width, left)
    return places, width, top + row


def drawing_of(figure: Figure) -> Drawing:
    """A new picture of a living figure, still empty.

    Parameters
    ----------
    figure
        The figure.

    Returns
    -------
    Drawing
        Its panels and series, drawn by matplotlib.
    """
    return Drawing(figure.panels, figure.series)


def _set_ticks(axis: Any, ticks: list[tuple[float, str]]) -> None:
    """The numbers on an axis."""
    axis.set_ticks([at for at, _ in ticks], [says for _, says in ticks])
    at, says = ticks[-1] if ticks else (0.0, "")
    if axis.axis_name == "x" and len(says) > 4 and at >= max(axis.get_view_interval()):
        axis.get_ticklabels()[-1].set_horizontalalignment("right")  # not out of the picture


def _fixed(axes: Any, thing: Fixed) -> Any:
    """The artist of one thing that never moves."""
    style, place = thing.style, np.array(thing.points, dtype=np.float64)
    colour = COLOURS[style.colour]
    artist: Any
    if thing.kind == "area":
        artist = Polygon(place, closed=True, linewidth=style.width, edgecolor=colour)
        artist.set_facecolor(_faded(style))
    elif thing.kind in ("line", "ground"):
        artist = Line2D(place[:, 0], place[:, 1], color=colour, linewidth=style.width)
        artist.set(solid_capstyle="butt")
        if thing.kind == "ground":
            artist.set(color=COLOURS["ink"], linewidth=2)
        if style.dash:
            artist.set_linestyle((0, tuple(part / style.width for part in style.dash)))
    else:
        beside = {"left": "left", "centre": "center", "right": "right"}[style.align]
        over = _RISES[style.rise]
        artist = Text(
            place[0, 0],
            place[0, 1],
            thing.text,
            color=colour,
            fontsize=style.size,
            fontweight="bold" if style.bold else "normal",
            ha=beside,
            va=over,
        )
    artist.set(transform=axes.transData, clip_on=thing.kind != "words", zorder=2.5)
    return artist


def _tile_colours(item: Series, classes: str) -> list[str]:
    """The fill of each tile."""
    ramp = item.scale.colours if item.scale else ()
    return [PLAIN if letter == "-" else ramp[ord(letter) - 48] for letter in classes]


def _artist(axes: Any, item: Series) -> Any:
    """The artist of a series, drawn only when asked."""
    style: Style = item.style
    colour = COLOURS[style.colour]
    artist: Any
    if item.kind in ("line", "points"):
        artist = Line2D([], [], color=colour, linewidth=style.width)
        artist.set(solid_capstyle="butt" if style.width >= 6 else "round")
        if item.kind == "points":
            artist.set(linestyle="none", marker=_MARKS[style.mark], markersize=style.size)
            artist.set(markeredgecolor=colour if style.mark in ("cross", "ring") else "white")
            if style.hollow:
                artist.set(markerfacecolor="white", markeredgecolor=colour, markeredgewidth=2.5)
            if style.mark == "ring":
                artist.set(markerfacecolor="none", markeredgewidth=style.width)
                artist.set_path_effects([withStroke(linewidth=style.width + 3, foreground="white")])
        elif style.dash:
            artist.set_linestyle((0, tuple(part / style.width for part in style.dash)))
        axes.add_line(artist)
    elif item.kind == "area":
        artist = Polygon(np.zeros((3, 2)), closed=True, linewidth=style.width, joinstyle="round")
        artist.set_edgecolor(colour)
        artist.set_facecolor(_faded(style))
        if style.dash:
            artist.set_linestyle((0, tuple(part / style.width for part in style.dash)))
        axes.add_patch(artist)
    elif item.kind == "tiles":
        artist = PolyCollection([], closed=True, edgecolors=colour, linewidths=style.width)
        artist.set_joinstyle("round")
        axes.add_collection(artist, autolim=False)
    elif item.kind == "arrow":
        artist = FancyArrowPatch((0, 0), (1, 1), shrinkA=0, shrinkB=0, color=colour)
        artist.set_arrowstyle("-|>", head_length=0.5, head_width=0.25)
        artist.set(linewidth=style.width, mutation_scale=style.width * 6, capstyle="butt")
        axes.add_patch(artist)
    else:
        side = {"left": "left", "centre": "center", "right": "right"}[style.align]
        artist = Text(0, 0, "", color=colour, fontsize=style.size, ha=side)
        artist.set(fontweight="bold" if style.bold else "normal")
        artist.set_va(_RISES[style.rise])
        artist.set_path_effects([withStroke(linewidth=4, foreground="white")])
        axes.add_artist(artist)
        artist.set_transform(axes.transData)
    artist.set_animated(True)
    artist.set_visible(False)
    return artist


def _faded(style: Style) -> tuple[float, float, float, float]:
    """The fill of an area, with its opacity."""
    if not style.fill:
        return (0.0, 0.0, 0.0, 0.0)
    red, green, blue = (int(COLOURS[style.fill][at : at + 2], 16) / 255 for at in (1, 3, 5))
    return (red, green, blue, style.fill_strength)


def _key(item: Series) -> Any:
    """What stands for a series in the key."""
    style = item.style
    colour = COLOURS[style.colour]
    if item.kind == "area":
        return Patch(facecolor=_faded(style), edgecolor=colour, label=item.label)
    key = Line2D([], [], color=colour, linewidth=style.width, label=item.label)
    if item.kind == "points":
        key.set(linestyle="none", marker=_MARKS[style.mark], markersize=10)
        if style.mark == "ring":
            key.set(markerfacecolor="none", markeredgecolor=colour, markeredgewidth=style.width)
    elif style.dash:
        key.set_linestyle((0, tuple(part / style.width for part in style.dash)))
    return key


def _png(pixels: Any, photograph: bool) -> bytes:
    """A small PNG file: flat drawings need few colours; over a photograph ours stay exact."""
    image = Image.fromarray(np.ascontiguousarray(pixels))
    if photograph:
        ours = [int(colour[at : at + 2], 16) for colour in COLOURS.values() for at in (1, 3, 5)]
        most = 256 - len(COLOURS)
        found = (image.quantize(most).getpalette() or [])[: 3 * most]
        palette = Image.new("P", (1, 1))
        palette.putpalette(ours + found)
        image = image.quantize(palette=palette, dither=Image.Dither.NONE)
    else:
        image = image.quantize(96, dither=Image.Dither.NONE)
    store = io.BytesIO()
    image.save(store, "PNG", optimize=True, dpi=(_DPI, _DPI))
    return store.getvalue()

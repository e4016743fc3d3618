"""The foot from the side as it was measured, over its photograph or over the plain foot.

Draws what it is given, in the axes it is given; words are laid where nothing stands yet.
"""

from __future__ import annotations

import io
import itertools
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Polygon
from matplotlib.patheffects import withStroke
from matplotlib.transforms import Bbox, IdentityTransform
from numpy.typing import NDArray
from PIL import Image

from hoofcalc._inputs import FloatArray
from hoofcalc.figures.foot import SIDE_PARTS
from hoofcalc.figures.scene import COLOURS
from hoofcalc.pictures.still import StillPicture

__all__ = ["SideDrawing", "TracedLine", "measured_side"]

_DPI = 144  # two dots to a pixel of the browser, as in all drawings
_WIDE = 520
_TALLEST = 620
_ROW, _ROW_LETTERS = 23, 63  # height of a line of the key [pixels], and letters that fit in it
_LOOK = {"font.family": "DejaVu Sans", "font.size": 14, "text.parse_math": False}
_WALLS = {"toe": ("blue", ()), "heel": ("vermillion", (8, 4))}
_HALO = "#FFFFFF"


@dataclass(frozen=True, kw_only=True, eq=False)
class TracedLine:
    """A line traced along the horn, and the model's beside it.

    Parameters
    ----------
    ends, model_ends
        Both ends of each, shape (2, 2).
    words
        What the key says of it.
    """

    ends: FloatArray
    model_ends: FloatArray
    words: str


@dataclass(frozen=True, kw_only=True, eq=False)
class SideDrawing:
    """Everything that is drawn, in one pair of axes (pixels of a photograph, or millimetres).

    Parameters
    ----------
    box
        Left, right, lower and upper edge; pixels count downwards, so the lower is then the
        greater.
    walls
        "toe" and "heel": the measured line, shape (2, 2), and the words beside it.
    bearing
        The line from heel to toe, shape (2, 2).
    tubules
        The model's tubules, parted by NaN, shape (n, 2).
    marks, reaches
        The placed points, shape (n, 2), and round each the outline within which it truly lies
        19 times in 20.
    traced
        Lines traced along the horn.
    photograph
        What lies inside `box`, red, green and blue; None draws `foot` instead.
    foot
        Parts of the plain foot, by the names of `SIDE_PARTS`.
    """

    box: tuple[float, float, float, float]
    walls: Mapping[str, tuple[FloatArray, str]]
    bearing: FloatArray
    tubules: FloatArray
    marks: FloatArray
    reaches: Sequence[FloatArray]
    traced: Sequence[TracedLine] = ()
    photograph: NDArray[np.uint8] | None = None
    foot: Mapping[str, FloatArray] = field(default_factory=dict)


def measured_side(drawn: SideDrawing, caption: str, alt: str) -> StillPicture:
    """The foot from the side as it was measured.

    Parameters
    ----------
    drawn
        What is drawn.
    caption
        The words under it.
    alt
        What it shows for those who cannot see it.

    Returns
    -------
    StillPicture
        The picture with its key below.
    """
    canvas, _, tall = _drawn(drawn)
    image = Image.fromarray(np.asarray(canvas.buffer_rgba())[: 2 * tall, :, :3].copy())
    store = io.BytesIO()
    _few_colours(image).save(store, "PNG", optimize=True, dpi=(_DPI, _DPI))
    return StillPicture(png=store.getvalue(), width=_WIDE, caption=caption, alt=alt)


def _few_colours(image: Image.Image) -> Image.Image:
    """A picture of 256 colours, a quarter as large as a file; those of the lines stay exact."""
    ours = [int(colour[at : at + 2], 16) for colour in COLOURS.values() for at in (1, 3, 5)]
    ours += [255, 255, 255]
    most = 256 - len(ours) // 3
    found = (image.quantize(most).getpalette() or [])[: 3 * most]
    palette = Image.new("P", (1, 1))
    palette.putpalette(found + ours)
    return image.quantize(palette=palette, dither=Image.Dither.NONE)


def _drawn(drawn: SideDrawing) -> tuple[FigureCanvasAgg, list[Bbox], int]:
    """The finished picture, where its words stand [dots], and how far down it is used [pixels]."""
    left, right, low, high = drawn.box
    tall = min(round(_WIDE * abs(high - low) / (right - left)), _TALLEST)
    with mpl.rc_context({**mpl.rcParamsDefault, **_LOOK, "backend": mpl.get_backend()}):
        rows = _key_rows(drawn)
        lines = [textwrap.wrap(words, _ROW_LETTERS) or [""] for _, words in rows]
        below = 14 + _ROW * (sum(map(len, lines)) + 2)  # room for words that find no place above
        figure = Figure(figsize=(_WIDE / 72, (tall + below) / 72), dpi=_DPI)
        canvas = FigureCanvasAgg(figure)
        whole = tall + below
        axes = figure.add_axes((0, below / whole, 1, tall / whole))
        axes.set_axis_off()
        homeless, boxes = _picture(axes, drawn, canvas)
        key = figure.add_axes((0, 0, 1, below / whole))
        key.set(xlim=(0, _WIDE), ylim=(below, 0))
        key.set_axis_off()
        rows = [*rows, *((look, words) for look, words in homeless)]
        lines += [textwrap.wrap(words, _ROW_LETTERS) for _, words in homeless]
        used = _key(key, [look for look, _ in rows], lines)
        canvas.draw()
    return canvas, boxes, tall + round(used) + 6


def _picture(
    axes: Any, drawn: SideDrawing, canvas: FigureCanvasAgg
) -> tuple[list[tuple[str, str]], list[Bbox]]:
    """Draw all lines; lay the words beside them. Words for which there is no room come back."""
    left, right, low, high = drawn.box
    if drawn.photograph is not None:
        axes.imshow(drawn.photograph, extent=(left, right, low, high), interpolation="bilinear")
    # in true proportion: where the part shown is tall, there is more room beside it
    size = axes.get_window_extent(canvas.get_renderer())
    more = (abs(high - low) * size.width / size.height - (right - left)) / 2
    axes.set(xlim=(left - more, right + more), ylim=(low, high), aspect="auto")
    for part, place in drawn.foot.items():
        kind, style = SIDE_PARTS[part]
        if kind == "line":
            axes.plot(*place.T, color=COLOURS[style.colour], linewidth=style.width)
            continue
        fill = (*mpl.colors.to_rgb(COLOURS[style.fill]), style.fill_strength)
        axes.add_patch(
            Polygon(place, facecolor=fill, edgecolor=COLOURS[style.colour], linewidth=style.width)
        )
    for look, place in (("tubules", drawn.tubules), ("bearing", drawn.bearing)):
        axes.plot(*place.T, **_line(look))
    for name, (ends, _) in drawn.walls.items():
        axes.plot(*ends.T, **_line(name))
    for line in drawn.traced:
        axes.plot(*line.model_ends.T, **_line("model"))
        axes.plot(*line.ends.T, **_line("traced"))
    for outline in drawn.reaches:
        axes.add_patch(
            Polygon(
                outline,
                fill=False,
                edgecolor=COLOURS["black"],
                linewidth=1.8,
                path_effects=[withStroke(linewidth=4, foreground=_HALO)],
            )
        )
    axes.plot(*drawn.marks.T, **_line("marks"))
    taken: list[Bbox] = []
    homeless = []
    busy = axes.transData.transform(_busy(drawn))
    middle = axes.transData.transform(np.mean(drawn.marks, axis=0))
    words = [(name, ends, says, 17) for name, (ends, says) in drawn.walls.items()]
    words += [("traced", line.ends, str(number), 14) for number, line in enumerate(drawn.traced, 1)]
    for look, ends, says, size in words:
        along = axes.transData.transform(ends)
        box = _lay(axes, canvas, says, look, size, along, middle, taken, busy)
        if box is not None:
            taken.append(box)
        elif look != "traced":
            homeless.append((look, says))
    return homeless, taken


def _busy(drawn: SideDrawing) -> FloatArray:
    """Places on which no words should lie: points on every line that was placed."""
    steps = np.linspace(0, 1, 25)[:, None]
    lines = [ends for ends, _ in drawn.walls.values()]
    lines += [ends for line in drawn.traced for ends in (line.ends, line.model_ends)]
    return np.vstack(
        [*(ends[0] + steps * (ends[1] - ends[0]) for ends in lines), *drawn.reaches, drawn.marks]
    )


def _lay(
    axes: Any,
    canvas: FigureCanvasAgg,
    says: str,
    look: str,
    size: float,
    along: FloatArray,
    middle: FloatArray,
    taken: Sequence[Bbox],
    busy: FloatArray,
) -> Bbox | None:
    """Write words beside a line, off the foot first, where they cover nothing; None if nowhere."""
    frame = axes.get_window_extent(canvas.get_renderer())
    colour, dash = _WALLS.get(look, ("black", ()))
    text = axes.text(
        0,
        0,
        says,
        fontsize=size,
        fontweight="bold",
        ha="center",
        va="center",
        transform=IdentityTransform(),
        bbox={
            "boxstyle": "round,pad=0.25",
            "facecolor": "#FFFFFF",
            "edgecolor": COLOURS[colour],
            "linewidth": 2,
            "linestyle": (0, tuple(part / 2 for part in dash)) if dash else "solid",
        },
    )
    line = along[1] - along[0]
    square = np.array([-line[1], line[0]]) / max(float(np.hypot(*line)), 1e-9)
    text.get_window_extent(canvas.get_renderer())
    text.update_bbox_position_size(canvas.get_renderer())
    half = text.get_bbox_patch().get_window_extent(canvas.get_renderer())
    room = np.array([half.width / 2 + 6, half.height / 2 + 6])
    out = square if square @ (along.mean(axis=0) - middle) >= 0 else -square
    # near rather than far, outside rather than on the foot; on other lines only where it must be
    for clear, reach, part, way in itertools.product(
        (True, False), (1.0, 1.6, 2.4, 3.5), (0.5, 0.65, 0.35, 0.8, 0.2, 1.0, 0.0), (out, -out)
    ):
        at = along[0] + part * line + way * reach * (np.abs(way) @ room + 8)
        box = Bbox([at - room, at + room])
        inside = (
            frame.x0 <= box.x0 <= box.x1 <= frame.x1 and frame.y0 <= box.y0 <= box.y1 <= frame.y1
        )
        covers = np.all((busy >= box.min) & (busy <= box.max), axis=1).any()
        if inside and not (clear and covers) and not any(box.overlaps(one) for one in taken):
            text.set_position(tuple(at))
            return box
    text.remove()
    return None


def _line(look: str) -> dict[str, Any]:
    """How each kind of line is drawn; white edges keep it apart from a photograph of any tone."""
    looks: dict[str, tuple[str, float, tuple[float, ...]]] = {
        "tubules": ("sky", 1.6, ()),
        "bearing": ("black", 1.5, (1, 2)),
        "toe": ("blue", 4, ()),
        "heel": ("vermillion", 4, (2.2, 1.1)),
        "traced": ("black", 5, ()),
        "model": ("orange", 4, (1.6, 0.8)),
        "marks": ("black", 1.5, ()),
    }
    colour, width, dash = looks[look]
    edge = "#000000" if look in ("tubules", "model") else _HALO
    found: dict[str, Any] = {
        "color": COLOURS[colour],
        "linewidth": width,
        "path_effects": [withStroke(linewidth=width + 2, foreground=edge, alpha=0.75)],
        "solid_capstyle": "butt",
        "dash_capstyle": "butt",
    }
    if dash:
        found["linestyle"] = (0, dash)
    if look == "marks":
        found |= {"linestyle": "none", "marker": "+", "markersize": 7, "markeredgewidth": 1.5}
    return found


def _key_rows(drawn: SideDrawing) -> list[tuple[str, str]]:
    """What each kind of line is, in words."""
    rows = [
        ("toe", "toe line"),
        ("heel", "heel line"),
        ("tubules", "lines of the horn as the model runs them"),
        ("marks", "placed points; truly inside the ring 19 times in 20"),
    ]
    if drawn.traced:
        rows += [("traced", "lines traced along the horn"), ("model", "the model's in their place")]
    return rows + [(str(number), line.words) for number, line in enumerate(drawn.traced, 1)]


def _key(axes: Any, looks: Sequence[str], lines: Sequence[Sequence[str]]) -> float:
    """A sample of each line, and its words; how far down they reach comes back."""
    down = 8.0
    for look, words in zip(looks, lines, strict=True):
        middle = down + _ROW / 2
        if look == "marks":
            axes.plot([28], [middle], **_line(look))
            turn = np.linspace(0, 2 * np.pi, 40)
            axes.plot(28 + 9 * np.cos(turn), middle + 9 * np.sin(turn), color="#000000")
        elif look.isdigit():
            axes.text(28, middle, look, va="center", ha="center", fontsize=14, fontweight="bold")
        else:
            axes.plot([8, 48], [middle, middle], **_line(look))
        for said in words:
            axes.text(58, down + _ROW / 2, said, va="center", fontsize=14)
            down += _ROW
    return down

"""The foot from the side as it was measured, over its photograph or over the plain foot.

Draws what it is given, in the axes it is given; words are laid where nothing stands yet.
"""

from __future__ import annotations

import itertools
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoofcalc._inputs import FloatArray
from hoofcalc.figures.foot import side_series
from hoofcalc.figures.scene import Fixed, Panel, Series, Style, fixed_words
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture

_WIDE, _TALLEST = 520, 620
_ROW, _ROW_LETTERS = 23, 63  # height of a line of the key [pixels], and letters that fit in it
#: How each kind of line is drawn, in the order of drawing.
_LOOKS = {
    "tubules": Style(colour="sky", width=1.6),
    "bearing": Style(colour="black", width=1.5, dash=(1.5, 3)),
    "toe": Style(colour="blue", width=4),
    "heel": Style(colour="vermillion", width=4, dash=(9, 4.5)),
    "model": Style(colour="orange", width=4, dash=(6.5, 3)),
    "traced": Style(colour="black", width=5),
    "reaches": Style(colour="black", width=1.8),
    "marks": Style(colour="black", width=1.5),
}
_WORDS = {name: Style(colour=_LOOKS[name].colour, size=19, align="centre") for name in _LOOKS}
_WORDS["traced"] = replace(_WORDS["traced"], size=16)
_TURN = np.linspace(0.0, 2 * np.pi, 41)
CIRCLE = np.column_stack([np.cos(_TURN), np.sin(_TURN)])
_CROSS = 4  # half the size of a placed point's cross [pixels]


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
        The plain foot, as `foot_from_side` gives it.
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
    png = _drawn(drawn).png(photograph=True)
    return StillPicture(png=png, width=_WIDE, caption=caption, alt=alt)


def _drawn(drawn: SideDrawing) -> Drawing:
    """The finished picture."""
    left, right, low, high = drawn.box
    tall = min(round(_WIDE * abs(high - low) / (right - left)), _TALLEST)
    px_per_unit = min(_WIDE / (right - left), tall / abs(high - low))
    lines = _lines(drawn, _CROSS / px_per_unit)
    words = list(_words(drawn, px_per_unit, tall))
    picture = Panel(
        x_limits=(left, right),
        y_limits=(low, high),
        y_ticks=(low,),  # counts downwards over a photograph
        equal=True,
        axes=False,
        width=_WIDE,
        height=tall,
    )
    rows = _key_rows(drawn) + [(look, says) for look, says, at in words if at is None]
    series = [*(side_series() if drawn.foot else ()), *_series()]
    results: dict[str, Any] = {**drawn.foot, **lines, "foot_horn": np.empty((0, 2))}
    for number, (look, says, at) in enumerate(words):
        if at is not None:
            name = f"words{number}"
            results |= {name: says, f"{name}_at": at[None]}
            series.append(Series("words", f"{name}_at", words=name, style=_WORDS[look]))

    def photograph(axes: Any) -> None:
        if drawn.photograph is not None:
            axes.imshow(drawn.photograph, extent=drawn.box, interpolation="bilinear")

    drawing = Drawing([picture, _key(rows)], series, [photograph, None])
    for item, artist in zip(drawing.series, drawing.artists, strict=True):
        if item.kind == "words":  # to be read on a photograph of any tone
            artist.set_bbox({"boxstyle": "round,pad=0.2", "fc": "white", "ec": artist.get_color()})
    drawing.show(results)
    return drawing


def _lines(drawn: SideDrawing, cross: float) -> dict[str, FloatArray]:
    """Every line by its look, its pieces parted by NaN."""
    ways = np.array([[-1, 0], [1, 0], [np.nan, np.nan], [0, -1], [0, 1]]) * cross
    return {
        "tubules": drawn.tubules,
        "bearing": drawn.bearing,
        **{end: ends for end, (ends, _) in drawn.walls.items()},
        "model": _parted([line.model_ends for line in drawn.traced]),
        "traced": _parted([line.ends for line in drawn.traced]),
        "reaches": _parted(drawn.reaches),
        "marks": _parted([mark + ways for mark in drawn.marks]),
    }


def _parted(pieces: Sequence[FloatArray]) -> FloatArray:
    gap = np.full((1, 2), np.nan)
    return np.vstack([part for piece in pieces for part in (piece, gap)] or [np.empty((0, 2))])


def _series() -> Iterator[Series]:
    """Each line on a wider one that keeps it apart from a photograph of any tone."""
    for look, style in _LOOKS.items():
        edge = "black" if look in ("tubules", "model") else "white"
        under = Style(colour=edge, width=style.width + 2)
        yield Series("line", look, style=under)
        yield Series("line", look, style=style)


def _words(
    drawn: SideDrawing, px_per_unit: float, tall: float
) -> Iterator[tuple[str, str, FloatArray | None]]:
    """The words beside each line and where they stand: off the foot, covering nothing; or None."""
    left, right, low, high = drawn.box
    middle = np.array([left + right, low + high]) / 2
    to_px = px_per_unit * np.array([1.0, 1.0 if high > low else -1.0])
    frame = np.array([_WIDE, tall]) / 2

    def seen(places: FloatArray) -> FloatArray:
        return (places - middle) * to_px

    part = np.linspace(0, 1, 25)[:, None]
    ends = [ends for ends, _ in drawn.walls.values()]
    ends += [each for line in drawn.traced for each in (line.ends, line.model_ends)]
    busy = seen(np.vstack([*(one + part * (two - one) for one, two in ends), *drawn.reaches]))
    foot = seen(drawn.marks).mean(axis=0)
    taken: list[tuple[FloatArray, FloatArray]] = []
    words = [(end, says, line) for end, (line, says) in drawn.walls.items()]
    words += [("traced", str(number), line.ends) for number, line in enumerate(drawn.traced, 1)]
    for look, says, line in words:
        size = _WORDS[look].size
        room = np.array([0.36 * size * len(says) + 6, 0.6 * size + 4])
        at = _place(seen(line), room, foot, frame, taken, busy)
        if at is not None:
            taken.append((at - room, at + room))
        if at is not None or look != "traced":
            yield look, says, None if at is None else at / to_px + middle


def _place(
    line: FloatArray,
    room: FloatArray,
    foot: FloatArray,
    frame: FloatArray,
    taken: Sequence[tuple[FloatArray, FloatArray]],
    busy: FloatArray,
) -> FloatArray | None:
    """Where words of this size stand beside a line [pixels from the middle]; None if nowhere."""
    along = line[1] - line[0]
    square = np.array([-along[1], along[0]]) / max(float(np.hypot(*along)), 1e-9)
    out = square if square @ (line.mean(axis=0) - foot) >= 0 else -square
    # near rather than far, outside rather than on the foot; on other lines only where it must be
    for clear, reach, part, way in itertools.product(
        (True, False), (1.0, 1.6, 2.4, 3.5), (0.5, 0.65, 0.35, 0.8, 0.2, 1.0, 0.0), (out, -out)
    ):
        at: FloatArray = line[0] + part * along + way * reach * (np.abs(way) @ room + 8)
        low, high = at - room, at + room
        covers = np.all((busy >= low) & (busy <= high), axis=1).any()
        apart = all(((low >= top) | (high <= bottom)).any() for bottom, top in taken)
        if np.all(np.abs(at) + room <= frame) and apart and not (clear and covers):
            return at
    return None


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


def _key(rows: Sequence[tuple[str, str]]) -> Panel:
    """A sample of each line, and its words."""
    fixed: list[Fixed] = []
    down = 8.0
    for look, words in rows:
        middle = -down - _ROW / 2
        if look == "marks":
            ring = np.array([28.0, middle]) + 9 * CIRCLE
            across, up = [[24, middle], [32, middle]], [[28, middle - 4], [28, middle + 4]]
            for line, style in ((ring, "reaches"), (across, "marks"), (up, "marks")):
                points = tuple((float(x), float(y)) for x, y in line)
                fixed.append(Fixed(kind="line", points=points, style=_LOOKS[style]))
        elif look in _LOOKS:
            fixed.append(Fixed(kind="line", points=((8, middle), (48, middle)), style=_LOOKS[look]))
        else:
            fixed.append(fixed_words(look, 28, middle, size=14, align="centre", bold=True))
        for said in textwrap.wrap(words, _ROW_LETTERS):
            fixed.append(fixed_words(said, 58, -down - _ROW / 2, size=14))
            down += _ROW
    return Panel(
        x_limits=(0, _WIDE),
        y_limits=(-down - 6, 0),
        axes=False,
        width=_WIDE,
        height=round(down) + 6,
        stretch=True,
        fixed=tuple(fixed),
    )

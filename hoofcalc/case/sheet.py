"""A sheet to print: a dark square of known side that stands beside the hoof in a photograph."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hoofcalc._inputs import numbers
from hoofcalc.case.storage import CaseError, put
from hoofcalc.case.target import white_cells

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_WIDTH_MM, _HEIGHT_MM = 210.0, 297.0  # A4, ISO 216
_UP_MM = 24.0  # from the lower edge of the sheet to the square
_LEFT_MM = 22.0
#: White round the square: its edges are looked for there.
_WHITE_MM = 13.0
_INCH_MM = 25.4
_LIFT = (float("nan"), float("nan"))
_STEPS = (
    "Print at 100 % (actual size), not fitted to the page.",
    "Lay a real ruler along the line beside the square: from 0 to {end:g} must be {end:g} mm.\n"
    "If it is not, measure the side of the square and type in what you measured.",
    "Glue the sheet flat on a stiff board.",
    "Stand it upright beside the hoof, lower edge on the ground, as far from the camera\n"
    "as the middle of the hoof: in the plane of the hoof's middle, not before or behind it.",
    "Hold the camera low and look straight at it, hoof and whole square in the picture.\n"
    "The program finds the square by the marks in it.",
)
_CAUTION = (
    "Place it only while someone who knows the horse holds it, and stay out of reach\n"
    "of its feet. Take the board away before the horse moves."
)


def save_sheet(folder: Path, side_mm: float = 100.0) -> tuple[Path, Path]:
    """Write the sheet with the square as PDF and as SVG, true to size on A4.

    Parameters
    ----------
    folder
        Where to write; it is made if it is not there. A file that stands there under the same
        name and differs is first copied into its folder ``kept``.
    side_mm
        Side of the square [mm], 40 to 140.

    Returns
    -------
    tuple of Path
        The PDF and the SVG.

    Raises
    ------
    CaseError
        If the folder cannot be written to, or `side_mm` is not between 40 and 140.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    try:
        side = float(numbers("side_mm", side_mm, at_least=40, at_most=140))
    except ValueError as problem:
        raise CaseError(str(problem)) from problem
    name = f"square {side:g} mm"
    title = f"Square for photographs, side {side:g} mm"
    figure = Figure(figsize=(_WIDTH_MM / _INCH_MM, _HEIGHT_MM / _INCH_MM))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set(xlim=(0, _WIDTH_MM), ylim=(0, _HEIGHT_MM))
    axes.set_axis_off()
    _draw(axes, side, title)
    # Without a day and with names that do not change, the same sheet is the same file.
    says: dict[str, dict[str, Any]] = {
        "pdf": {"Title": title, "Creator": "hoofcalc", "Producer": None, "CreationDate": None},
        "svg": {"Title": title, "Creator": "hoofcalc", "Date": None},
    }
    written = []
    with mpl.rc_context({"svg.hashsalt": "hoofcalc", "pdf.fonttype": 42}):
        for form, metadata in says.items():
            file = io.BytesIO()
            figure.savefig(file, format=form, metadata=metadata)
            target = folder / f"{name}.{form}"
            try:
                put(folder, target.name, file.getvalue())
            except OSError as problem:
                raise CaseError(f"{target} cannot be written ({problem.strerror})") from problem
            written.append(target)
    return written[0], written[1]


def _draw(axes: Axes, side: float, title: str) -> None:
    """The sheet; the axes count in mm from its lower left corner."""
    from matplotlib.patches import PathPatch, Rectangle
    from matplotlib.path import Path as Outline
    from matplotlib.transforms import Affine2D

    axes.add_patch(Rectangle((_LEFT_MM, _UP_MM), side, side, facecolor="black", linewidth=0))
    # one path, so that no hairline stays between two cells
    closed = [Outline([*square, square[0]], closed=True) for square in white_cells(side)]
    if closed:
        cells = Outline.make_compound_path(*closed)
        moved = Affine2D().translate(_LEFT_MM, _UP_MM).transform_path(cells)
        axes.add_patch(PathPatch(moved, facecolor="white", linewidth=0))
    _ruler(axes, _LEFT_MM + side + _WHITE_MM, side - side % 10)
    axes.annotate(
        "this edge on the ground",
        (_WIDTH_MM / 2, 5.5),
        (_WIDTH_MM / 2, 9.5),
        ha="center",
        size=9,
        arrowprops={"arrowstyle": "-|>", "color": "black", "shrinkA": 0, "shrinkB": 0},
    )
    axes.text(_LEFT_MM, 272, title, size=16, weight="bold")
    at = 262.0
    for number, step in enumerate((*_STEPS, _CAUTION), 1):
        caution = step is _CAUTION
        if not caution:
            axes.text(_LEFT_MM, at, f"{number}.", size=10)
        for line in step.format(end=side - side % 10).splitlines():
            axes.text(_LEFT_MM + 7, at, line, size=10, style="italic" if caution else "normal")
            at -= 5.0
        at -= 2.5


def _ruler(axes: Axes, right: float, length: float) -> None:
    """A line of `length` mm, upright beside the square, with a mark at each millimetre."""
    strokes = [(right, _UP_MM), (right, _UP_MM + length)]
    for at in range(int(length) + 1):
        long = 6.0 if at % 10 == 0 else 4.5 if at % 5 == 0 else 3.0
        strokes += [_LIFT, (right, _UP_MM + at), (right + long, _UP_MM + at)]
        if at % 10 == 0:
            axes.text(right + 8, _UP_MM + at, f"{at}", size=9, va="center_baseline")
    # one path with gaps: a path for each millimetre takes ten times as long
    axes.plot(*zip(*strokes, strict=True), color="black", linewidth=0.4, solid_capstyle="butt")
    axes.text(right + 8, _UP_MM + length + 6, "mm", size=9, va="center_baseline")

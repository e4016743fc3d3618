"""A photograph on which points are placed one after another by mouse, finger or keyboard.

The browser draws and moves; Python hears of it when a point is let go. Positions are pixels of
the original photograph, to the right and down from its upper left corner.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from hoofcalc._inputs import numbers
from hoofcalc._inputs import points as checked_points
from hoofcalc.case.desk.steps import Step
from hoofcalc.figures.scene import COLOURS

_HERE = Path(__file__).parent
#: Colour and dashes of the lines of each group of points.
LOOKS: Mapping[str, tuple[str, tuple[float, ...]]] = {
    "scale": (COLOURS["purple"], (5, 3)),
    "level": (COLOURS["blue"], (10, 4)),
    "square": (COLOURS["purple"], ()),
    "foot": (COLOURS["vermillion"], ()),
    "pastern": (COLOURS["green"], (6, 4)),
    "horn": (COLOURS["sky"], (4, 3)),
    "middle": (COLOURS["blue"], (10, 4, 2, 4)),
    "edge": (COLOURS["vermillion"], ()),
}


class Placing(anywidget.AnyWidget):  # type: ignore[misc]
    """A photograph with its points: `show_picture`, `set_steps`, then watch `points`.

    Attributes
    ----------
    points : dict of str to list of two floats
        Where each placed point lies, by name [px of the original, right and down]. Set from
        Python it is a new start: what was undone or could be undone before is forgotten.
    current : str
        Name of the point that is placed next; empty when all are placed.
    skipped : list of str
        Points that the person chose to leave out.
    key : str
        What is placed on, such as the visit and the photograph: under this name the page holds
        points that Python has not kept yet, and tells them when it is opened again.
    told, kept : int
        How often the page told changed points, and which of these Python has kept.
    """

    _esm = (_HERE / "placing.js").read_text("utf-8")
    _css = (_HERE / "placing.css").read_text("utf-8")
    picture = traitlets.Dict().tag(sync=True)
    steps = traitlets.List().tag(sync=True)
    points = traitlets.Dict().tag(sync=True)
    current = traitlets.Unicode("").tag(sync=True)
    skipped = traitlets.List(traitlets.Unicode()).tag(sync=True)
    key = traitlets.Unicode("").tag(sync=True)
    told = traitlets.Int(0).tag(sync=True)
    kept = traitlets.Int(0).tag(sync=True)

    def keep(self) -> None:
        """Say that the points as they are now are kept on disk; until then the page holds them."""
        self.kept = self.told

    def show_picture(
        self,
        jpeg: bytes,
        width_px: int,
        height_px: int,
        points: Mapping[str, Sequence[float]] | None = None,
        key: str = "",
    ) -> None:
        """Show a photograph, with the points that were placed in it before.

        Parameters
        ----------
        jpeg
            The upright photograph as JPEG; may be smaller than the original.
        width_px, height_px
            Size of the original, upright.
        points
            Points already placed; none where left out.
        key
            What is placed on; see the attribute.

        Raises
        ------
        ValueError
            If a size is not above 0 or a point is not two finite numbers.
        """
        width = int(numbers("width_px", width_px, above=0, whole=True))
        height = int(numbers("height_px", height_px, above=0, whole=True))
        checked = _checked(points or {})
        with self.hold_sync(), self.hold_trait_notifications():
            self.picture = {"jpeg": jpeg, "width_px": width, "height_px": height}
            self.points = checked
            self.key = key
            self.skipped = []
            self.current = self._first_open()

    def set_steps(self, steps: Sequence[Step]) -> None:
        """Say which points are placed, in their order.

        Parameters
        ----------
        steps
            As `hoofcalc.case.desk.steps.steps` gives them.
        """
        with self.hold_sync(), self.hold_trait_notifications():
            self.steps = [_as_data(step) for step in steps]
            self.skipped = []
            self.current = self._first_open()

    @traitlets.validate("points")  # type: ignore[untyped-decorator]
    def _valid_points(self, proposal: Any) -> dict[str, list[float]]:
        return _checked(proposal["value"])

    def _first_open(self) -> str:
        open_ones = (step["name"] for step in self.steps if step["name"] not in self.points)
        return next(open_ones, "")


def _as_data(step: Step) -> dict[str, Any]:
    colour, dash = LOOKS.get(step.group, (COLOURS["black"], ()))
    return {**asdict(step), "colour": colour, "dash": dash}


def _checked(given: Mapping[str, Sequence[float]]) -> dict[str, list[float]]:
    """Each point as two finite floats."""
    return {str(name): checked_points("points", at, 2).tolist() for name, at in given.items()}

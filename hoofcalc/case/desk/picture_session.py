"""A photograph while its points are placed: what a person does, undone and saved. No screen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._counted import counted
from hoofcalc._inputs import choice
from hoofcalc.case.calibration import refined_corners
from hoofcalc.case.case import open_case, read_fields_of
from hoofcalc.case.desk.drafts import keep_draft, read_draft
from hoofcalc.case.desk.steps import asked_points
from hoofcalc.case.landmarks import (
    MOST_TIMES,
    POINTS,
    VIEWS,
    WAYS,
    PlacedPicture,
    from_the_side,
    missing_points,
    own_point_error_px,
    plane_of,
    read_picture,
    save_picture,
)
from hoofcalc.case.measure import size_doubt
from hoofcalc.case.storage import CaseError, files_of, take_away
from hoofcalc.case.target import found_target

#: How each view is called in a sentence.
FROM = {"side": "from the side", "front": "from the front", "below": "from below"}

#: How often points were placed.
TIMES = ("once", "twice", "three times")
_CORNERS = tuple(f"square_{number}" for number in (1, 2, 3, 4))
#: How finely corners are found in the picture [px]: 0.16 on drawn photographs, and some reserve
#: for real ones (`tests/case/test_proof_photographs.py`).
CORNER_ERROR_PX = 0.3

Places = dict[str, tuple[float, float]]


class PictureSession:
    """One view of a visit while its points are placed.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit.
    view
        "side", "front" or "below".

    Attributes
    ----------
    placed : PlacedPicture or None
        The photograph and its points as they are now; None while no photograph is chosen.
    from_draft : bool
        Whether it is what was left unsaved last time.

    Raises
    ------
    CaseError
        If what is on file cannot be read.
    """

    def __init__(self, folder: Path, visit: str, view: str) -> None:
        self.folder, self.visit = Path(folder), visit
        self.view = choice("view", view, VIEWS)
        self._saved = read_picture(self.folder, visit, view)
        self.placed = self._saved
        left = read_draft(self.folder, visit, view, lambda draft: _from_draft(draft, view))
        self.from_draft = left not in (None, self._saved)
        if left is not None:
            self.placed = left

    @property
    def path(self) -> Path:
        """Where the photograph lies."""
        assert self.placed is not None
        return files_of(self.folder, "pictures", self.visit) / self.placed.file

    def choose(self, file: str, width_px: int, height_px: int) -> None:
        """Choose the photograph; points of another one are saved first, so that they are kept."""
        if self.placed is not None and self.placed.file == file:
            if (self.placed.width_px, self.placed.height_px) != (width_px, height_px):
                raise CaseError(
                    f"{file} is {width_px} by {height_px} pixels, but its points were placed in "
                    f"one of {self.placed.width_px} by {self.placed.height_px}. Put the first one "
                    "back, or take in this one under another name"
                )
            return
        self._let_go_elsewhere(file)
        way, known_mm = self._as_elsewhere()
        if self.placed is not None:
            self.save()
            if self._saved is not None and self._saved.file == file:
                self._change(self._saved)
                self.choose(file, width_px, height_px)
                return
            way, known_mm = self.placed.way, self.placed.known_mm
        self._change(
            PlacedPicture(
                view=self.view,
                file=file,
                width_px=width_px,
                height_px=height_px,
                way=way,
                known_mm=known_mm,
            )
        )

    def _let_go_elsewhere(self, file: str) -> None:
        """Take the photograph from a view without points: it was chosen by mistake."""
        for view in VIEWS:
            if view == self.view:
                continue
            other = PictureSession(self.folder, self.visit, view).placed
            if other is not None and other.file == file and not other.placings[0]:
                keep_draft(self.folder, self.visit, view, None)
                take_away(self.folder, f"visits/{self.visit}/{view}.toml")

    def _as_elsewhere(self) -> tuple[str, float | None]:
        """How the size is known in another photograph of this visit: by the same thing."""
        for view in VIEWS:
            placed = None if view == self.view else read_picture(self.folder, self.visit, view)
            if placed is not None:
                return placed.way, placed.known_mm
        return WAYS[0], None

    def set_way(self, way: str, known_mm: float | None) -> None:
        """How sizes are known; the points stay, those of the other way included."""
        assert self.placed is not None
        self._change(replace(self.placed, way=way, known_mm=known_mm))

    def points(self, placing: int) -> Places:
        """The points of the first, second or third placing."""
        assert self.placed is not None
        placings = self.placed.placings
        return dict(placings[placing - 1]) if placing <= len(placings) else {}

    def again(self) -> list[str]:
        """Names of the points that another placing is made of.

        Corners that were drawn to their sharp edges are not told by the hand: they stay.
        """
        assert self.placed is not None
        drawn = () if self.placed.corner_error_px is None else _CORNERS
        asked = asked_points(self.view, self.placed.way)
        return [name for name in asked if name in self.points(1) and name not in drawn]

    def to_place_again(self, placing: int) -> int:
        """How many points of a second or third placing are still to be placed."""
        return len(set(self.again()) - set(self.points(placing)))

    def times(self) -> int:
        """How many placings are whole, the first included."""
        if self.placed is None or self.missing():
            return 0
        return 1 + sum(not self.to_place_again(again) for again in range(2, MOST_TIMES + 1))

    def set_points(self, placing: int, points: Mapping[str, Sequence[float]]) -> None:
        """Take over the points of one placing, and keep them in the draft.

        A point that goes from the first placing goes from the others too.
        """
        assert self.placed is not None
        wide, tall = self.placed.width_px, self.placed.height_px
        before = self.points(placing)
        placings: list[Mapping[str, tuple[float, float]]] = list(self.placed.placings)
        placings += [{}] * (placing - len(placings))
        placings[placing - 1] = {
            name: (min(max(float(at[0]), 0.0), wide), min(max(float(at[1]), 0.0), tall))
            for name, at in points.items()
            if name in POINTS[self.view]
        }
        placings = [
            {name: at for name, at in places.items() if name in placings[0]} for places in placings
        ]
        while len(placings) > 1 and not placings[-1]:
            placings.pop()
        placed = replace(self.placed, placings=tuple(placings))
        now = dict(placings[placing - 1]) if placing <= len(placings) else {}
        if any(now.get(name) != before.get(name) for name in _CORNERS):
            # a corner placed by hand is as unsure as any other point
            placed = replace(placed, corner_error_px=None)
        self._change(placed)

    def find_square(self, pixels: NDArray[np.uint8]) -> str:
        """Place the square's corners where the printed markers tell; what came of it.

        Parameters
        ----------
        pixels
            The upright photograph in its original size.

        Returns
        -------
        str
            Empty where no such square is in the picture.
        """
        assert self.placed is not None
        target = found_target(pixels)
        if target is None:
            return ""
        corners = _as_corners(target.corners_px)
        # the length of a stick in another photograph is not the side of this square
        known_mm = self.placed.known_mm if self.placed.way == "square" else None
        self._change(
            replace(
                self.placed,
                way="square",
                known_mm=known_mm or target.side_mm,
                placings=tuple({**places, **corners} for places in self.placed.placings),
                corner_error_px=CORNER_ERROR_PX,
            )
        )
        return (
            f"The printed square was found by {target.markers} of its markers, side "
            f"{self.placed.known_mm:g} mm: its corners are placed. Move one that lies wrong."
        )

    def draw_corners(self, pixels: NDArray[np.uint8]) -> str:
        """Draw the square's corners to their sharp edges, in every placing; what came of it.

        Parameters
        ----------
        pixels
            The upright photograph in its original size.

        Returns
        -------
        str
            By how much they moved, or that no sharp edges are there, in a sentence.

        Raises
        ------
        CaseError
            If a corner is still to be placed.
        """
        assert self.placed is not None
        if any(name not in self.points(1) for name in _CORNERS):
            raise CaseError("place the four corners of the square first")
        moves, placings = [], []
        for places in self.placed.placings:
            drawn = {name: at for name, at in places.items() if name not in _CORNERS}
            if all(name in places for name in _CORNERS):  # not in another time broken off
                given = np.array([places[name] for name in _CORNERS])
                found = refined_corners(pixels, given)
                moves.append(np.abs(found - given).max(axis=1))
                drawn |= _as_corners(found)
            placings.append(drawn)
        # a corner without sharp edges near it stays exactly where it was
        sharp = self.placed.corner_error_px is not None or bool((np.array(moves) > 0).all())
        if not sharp:
            return "Not every corner has sharp edges near it. Place them as well as you can."
        self._change(
            replace(self.placed, placings=tuple(placings), corner_error_px=CORNER_ERROR_PX)
        )
        return f"The corners moved by at most {np.max(moves):.1f} pixels to where the edges meet."

    def _change(self, placed: PlacedPicture) -> None:
        self.placed = placed
        if placed == self._saved:
            keep_draft(self.folder, self.visit, self.view, None)
        else:
            keep_draft(self.folder, self.visit, self.view, asdict(placed))

    def save(self) -> list[str]:
        """Write the points to the visit; what stood there is kept. What was written.

        A photograph without points does not take the place of one with points.

        Raises
        ------
        CaseError
            If a value cannot be; the draft stays then.
        """
        if self.placed is None:
            return []
        saved = self._saved
        other = saved is not None and saved.file != self.placed.file
        if saved is not None and other and saved.placings[0] and not self.placed.placings[0]:
            self._change(saved)
            return []
        written = save_picture(self.folder, self.visit, self.placed)
        self._saved = self.placed
        self.from_draft = False
        keep_draft(self.folder, self.visit, self.view, None)
        return written

    def missing(self) -> list[str]:
        """Names of the points that are needed and not placed yet."""
        return [] if self.placed is None else missing_points(self.placed)

    def own_error(self) -> str:
        """The person's own error in a sentence; empty where too few points were placed twice."""
        if self.placed is None:
            return ""
        error_px = own_point_error_px(self.placed)
        if error_px is None:
            return ""
        said = f"{error_px:.1f} pixels"
        if not self.missing():
            try:
                plane = plane_of(self.placed)
                middle = np.mean(list(self.placed.mean_px().values()), axis=0)
                beside = middle + np.array([error_px, 0.0])
                apart = plane.to_mm(beside) - plane.to_mm(middle)
                said += f", about {float((apart**2).sum()) ** 0.5:.2f} mm"
            except CaseError:
                pass  # said where the view is measured
        times, both = len(self.placed.placings), counted(len(self.placed.placings[1]), "point")
        return (
            f"Placed {TIMES[times - 1]}, {both}: your own error of one point is {said} (standard "
            "deviation). It now feeds the error of every angle and length. Once three photographs "
            "from the side are placed again, hoofcalc case FOLDER repeat tells your hand for all."
        )

    def doubt(self) -> str:
        """Why the points cannot be measured as they are, in a sentence; empty if they can."""
        if self.placed is None or self.missing():
            return ""
        try:
            plane_of(self.placed)
            if self.view != "side":
                return ""
            visit = read_fields_of(self.folder, self.visit)
            foot = from_the_side(self.placed, visit["facing"], visit["point_error_mm"])
            return size_doubt(open_case(self.folder), foot.profile)
        except CaseError as why:
            return str(why)


def _as_corners(places_px: ArrayLike) -> Places:
    """The square's corners by name."""
    places = np.asarray(places_px, float).tolist()
    return {name: (right, down) for name, (right, down) in zip(_CORNERS, places, strict=True)}


def _from_draft(draft: Mapping[str, Any], view: str) -> PlacedPicture:
    """The photograph in a draft."""
    placings = tuple(
        {
            str(name): (float(right), float(down))
            for name, (right, down) in places.items()
            if name in POINTS[view]
        }
        for places in draft["placings"]
    )
    return PlacedPicture(
        view=view,
        file=str(draft["file"]),
        width_px=int(draft["width_px"]),
        height_px=int(draft["height_px"]),
        way=choice("way", draft["way"], WAYS),
        known_mm=None if draft["known_mm"] is None else float(draft["known_mm"]),
        placings=placings[:MOST_TIMES] or ({},),
        corner_error_px=draft.get("corner_error_px"),
    )

"""What lies on the measuring desk: a case, its visits, and a photograph whose points are placed.

No screen in here. What is being placed is written at once into a draft beside the visit, so that
nothing is lost when a window closes; the visit's own files change when the person saves.
"""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoofcalc._files import BEING_WRITTEN, write_whole
from hoofcalc._inputs import choice
from hoofcalc.records.case import (
    VISIT_FIELDS,
    Case,
    add_files,
    add_visit,
    open_case,
    visit_name,
    visit_names,
    visit_toml,
)
from hoofcalc.records.keeping import (
    CaseError,
    kind_of_film,
    kind_of_picture,
    put,
    read_fields,
    read_text,
    take_away,
)
from hoofcalc.records.placed import (
    POINTS,
    VIEWS,
    PlacedPicture,
    missing_points,
    own_point_error_px,
    plane_of,
    read_picture,
    save_picture,
)
from hoofcalc.records.plane import refined_corners

__all__ = ["FROM", "AtHand", "Part", "PictureAtHand", "keep_draft", "read_draft"]

_CORNERS = tuple(f"square_{number}" for number in (1, 2, 3, 4))
#: How finely corners are found in the picture [px]: 0.16 on drawn photographs, and some reserve
#: for real ones (`tests/records/test_proof_photographs.py`).
CORNER_ERROR_PX = 0.3
#: How each view is called in a sentence.
FROM = {"side": "from the side", "front": "from the front", "below": "from below"}


@dataclass(frozen=True)
class Part:
    """One part of the work on a visit.

    Parameters
    ----------
    name
        "visit", "photographs", "film", "foot" or "page".
    heading
        Its heading.
    done
        Whether all that it needs is there.
    says
        What is done so far, and what it needs, in a sentence.
    """

    name: str
    heading: str
    done: bool
    says: str


class AtHand:
    """A case on the desk.

    Parameters
    ----------
    folder
        The folder of the case.

    Raises
    ------
    CaseError
        If there is no case.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = Path(folder)
        self.case: Case = open_case(self.folder)

    @property
    def headline(self) -> str:
        """The horse and the foot."""
        invented = " (invented)" if self.case.invented else ""
        return f"{self.case.horse}, {self.case.foot}{invented}"

    @property
    def inner(self) -> str:
        """On which side of a picture from the front the inner wall lies: "left" or "right".

        A horse that looks at the camera has its left leg on the right of the picture, and the
        inner wall lies towards the other leg.
        """
        return "left" if self.case.foot.startswith("left") else "right"

    def visits(self) -> list[str]:
        """The visits on file, oldest first."""
        return visit_names(self.folder)

    def new_visit(self, day: date, moment: str) -> str:
        """Add a visit, or find the one that is there for this day and moment; its name.

        Raises
        ------
        CaseError
            If a visit of that day is there already and was for the other moment.
        """
        name = visit_name(self.folder, day, moment)
        if not (self.folder / "visits" / name).exists():
            add_visit(self.folder, name, {"moment": moment})
        elif self.visit_fields(name)["moment"] != moment:
            raise CaseError(
                f"there is a visit of {name} already, after the trim. One before the trim on the "
                "same day has to be added first; give it another day"
            )
        return name

    def add_uploads(
        self, visit: str, files: Iterable[tuple[str, bytes, float | None]]
    ) -> list[str]:
        """Take in files that came through the browser; a sentence for each, wrong ones included.

        Parameters
        ----------
        visit
            Name of the visit.
        files
            Name, content, and when it was last changed [s since 1970], if known.
        """
        said = []
        for name, content, changed_s in files:
            plain = Path(name.replace("\\", "/")).name or "picture"
            # beside the case, on the same disk: a file that is put there byte for byte
            with tempfile.TemporaryDirectory(prefix=BEING_WRITTEN, dir=self.folder) as scratch:
                path = Path(scratch) / plain
                try:
                    path.write_bytes(content)
                    if changed_s is not None:
                        os.utime(path, (changed_s, changed_s))
                    said.append(self._add(visit, path))
                except (CaseError, OSError) as why:
                    said.append(f"{plain} is not taken in. {_sentence(why, scratch)}")
        return said

    def add_path(self, visit: str, path: Path) -> str:
        """Take in a file that lies on this computer; what was done, in a sentence.

        Raises
        ------
        CaseError
            If it is no picture or film.
        """
        return self._add(visit, path)

    def _add(self, visit: str, path: Path) -> str:
        try:
            kind_of_picture(path)
            lines = add_files(self.folder, visit, pictures=[path])
        except CaseError as no_picture:
            try:
                kind_of_film(path)
            except CaseError:
                raise no_picture from None
            lines = add_files(self.folder, visit, films=[path])
        return f"Taken in: {lines[0]}."

    def pictures(self, visit: str) -> list[str]:
        """Names of the photographs of a visit."""
        return self._names("pictures", visit, kind_of_picture)

    def films(self, visit: str) -> list[str]:
        """Names of the films of a visit."""
        return self._names("film", visit, kind_of_film)

    def _names(self, part: str, visit: str, kind: Any) -> list[str]:
        """Files that are what they must be; what else lies there is left alone."""
        home = self.folder / part / visit
        found = []
        for path in sorted(home.iterdir()) if home.is_dir() else ():
            if path.name.startswith("."):
                continue
            try:
                kind(path)
            except (CaseError, OSError):
                continue
            found.append(path.name)
        return found

    def visit_fields(self, visit: str) -> dict[str, Any]:
        """The fields of visit.toml, checked."""
        called = f"visits/{visit}/visit.toml"
        return read_fields(read_text(self.folder / called, called), called, VISIT_FIELDS)

    def change_visit(self, visit: str, **values: Any) -> bool:
        """Change fields of visit.toml, such as `facing`; the old file is kept. True if changed."""
        before = self.visit_fields(visit)
        if all(before.get(name) == value for name, value in values.items()):
            return False
        text = visit_toml({**before, **values})
        return put(self.folder, f"visits/{visit}/visit.toml", text)

    def parts(self, visit: str | None) -> tuple[Part, ...]:
        """The parts of the work, and how far each is."""
        many = len(self.visits())
        if visit is None:
            first = "No visit is chosen." if many else "There is no visit yet: add one."
            chosen = Part("visit", "Which visit", False, first)
            rest = [Part(name, heading, False, "Needs a visit.") for name, heading in _HEADINGS[1:]]
            return (chosen, *rest)
        pictures, films = len(self.pictures(visit)), len(self.films(visit))
        on_file = f"{visit}: {_count(pictures, 'photograph')}, {_count(films, 'film')}."
        side_done, photographs = self._photographs_say(visit)
        film_done, film = self._film_says(visit, films)
        typed = self._typed(visit)
        ready = side_done or typed
        page = self.folder / "pages" / f"{visit}.html"
        says = {
            "visit": (True, on_file),
            "photographs": (side_done, photographs),
            "film": (film_done, film),
            "foot": (
                False,
                "Ready to be looked at."
                if ready
                else "Needs the photograph from the side with its points.",
            ),
            "page": (
                page.exists(),
                f"Written: pages/{page.name}."
                if page.exists()
                else ("Not written yet." if ready else "Needs the photograph from the side."),
            ),
        }
        return tuple(Part(name, heading, *says[name]) for name, heading in _HEADINGS)

    def _typed(self, visit: str) -> bool:
        """Whether landmarks in millimetres stand on file, all filled in."""
        try:
            text = read_text(self.folder / f"visits/{visit}/points.csv", "points.csv")
        except CaseError:
            return False
        return ",," not in text

    def _photographs_say(self, visit: str) -> tuple[bool, str]:
        said, side_done = [], False
        for view in VIEWS:
            try:
                placed = PictureAtHand(self.folder, visit, view).placed
            except CaseError as why:
                said.append(f"{FROM[view]}: {why}")
                continue
            if placed is None:
                said.append(f"{FROM[view]}: none chosen")
                continue
            missing = len(missing_points(placed))
            side_done |= view == "side" and not missing
            state = f"{_count(missing, 'point')} to place" if missing else "placed"
            if not missing and len(placed.placings) > 1:
                state = "placed twice"
            said.append(f"{FROM[view]}: {state}")
        text = "; ".join(said)
        return side_done, f"{text[:1].upper()}{text[1:]}."

    def _film_says(self, visit: str, films: int) -> tuple[bool, str]:
        from hoofcalc.desk.film_at_hand import stored_film

        try:
            marked = stored_film(self.folder, visit)
        except CaseError as why:
            return False, str(why)
        if marked is None:
            needed = "None chosen" if films else "There is none"
            return False, f"{needed}. A film is not needed, but the load map is better with one."
        frames = _count(len(marked.frames), "frame")
        stances = _count(len(marked.stances), "stance")
        return bool(len(marked.frames) and marked.stances), (
            f"{marked.file}: the mark is placed in {frames}, {stances} marked."
        )


_HEADINGS = (
    ("visit", "Which visit"),
    ("photographs", "Photographs"),
    ("film", "Film"),
    ("foot", "The foot in one view"),
    ("page", "The owner's page"),
)


def _count(number: int, what: str) -> str:
    return f"{number or 'no'} {what}{'s' if number > 1 else ''}"


def _sentence(why: BaseException, scratch: str) -> str:
    """A refusal without the name of the scratch folder."""
    text = str(why).replace(f"{scratch}{os.sep}", "")
    return f"{text[:1].upper()}{text[1:]}."


# ---- drafts ----------------------------------------------------------------------------------


def keep_draft(folder: Path, visit: str, name: str, content: Mapping[str, Any] | None) -> None:
    """Write a draft beside the visit, whole or not at all; None takes it away.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit.
    name
        Of what, such as "side".
    content
        Plain data.
    """
    path = folder / f"visits/{visit}/draft_{name}.json"
    if content is None:
        path.unlink(missing_ok=True)
        return
    write_whole(path, json.dumps(content).encode())


def read_draft(folder: Path, visit: str, name: str) -> dict[str, Any] | None:
    """A draft that was left, or None; one that is damaged is put aside into ``kept``."""
    called = f"visits/{visit}/draft_{name}.json"
    if not (folder / called).exists():
        return None
    try:
        found = json.loads(read_text(folder / called, called))
    except (CaseError, ValueError, RecursionError):
        found = None
    if isinstance(found, dict):
        return found
    take_away(folder, called)
    return None


# ---- a photograph ----------------------------------------------------------------------------

Places = dict[str, tuple[float, float]]


class PictureAtHand:
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
        draft = read_draft(self.folder, visit, view)
        left = None if draft is None else _from_draft(draft, view)
        if draft is not None and left is None:
            take_away(self.folder, f"visits/{visit}/draft_{view}.json")
        self.from_draft = left is not None and left != self._saved
        if left is not None:
            self.placed = left

    @property
    def path(self) -> Path:
        """Where the photograph lies."""
        assert self.placed is not None
        return self.folder / "pictures" / self.visit / self.placed.file

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
        way, known_mm = "length", 100.0
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

    def set_way(self, way: str, known_mm: float) -> None:
        """How sizes are known; the points stay, those of the other way included."""
        assert self.placed is not None
        self._change(replace(self.placed, way=way, known_mm=float(known_mm)))

    def points(self, placing: int) -> Places:
        """The points of the first or second placing."""
        assert self.placed is not None
        placings = self.placed.placings
        return dict(placings[placing - 1]) if placing <= len(placings) else {}

    def set_points(self, placing: int, points: Mapping[str, Sequence[float]]) -> None:
        """Take over the points of the first or second placing, and keep them in the draft.

        A point that goes from the first placing goes from the second too.
        """
        assert self.placed is not None
        wide, tall = self.placed.width_px, self.placed.height_px
        taken: Places = {
            name: (min(max(float(at[0]), 0.0), wide), min(max(float(at[1]), 0.0), tall))
            for name, at in points.items()
            if name in POINTS[self.view]
        }
        first = taken if placing == 1 else self.points(1)
        second = self.points(2) if placing == 1 else taken
        second = {name: at for name, at in second.items() if name in first}
        before = self.points(placing)
        moved = any(taken.get(name) != before.get(name) for name in _CORNERS)
        self._change(
            replace(
                self.placed,
                placings=(first, second) if second else (first,),
                # a corner placed by hand is as unsure as any other point
                corner_error_px=None if moved else self.placed.corner_error_px,
            )
        )

    def draw_corners(self, pixels: NDArray[np.uint8]) -> str:
        """Draw the square's corners to their sharp edges, in both placings; what came of it.

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
            if all(name in places for name in _CORNERS):  # not in a second time broken off
                given = np.array([places[name] for name in _CORNERS])
                found = refined_corners(pixels, given)
                moves.append(np.abs(found - given).max(axis=1))
                drawn |= {
                    name: (float(right), float(down))
                    for name, (right, down) in zip(_CORNERS, found, strict=True)
                }
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
        both = len(self.placed.placings[1])
        return (
            f"Placed twice, {both} points: your own error of one point is {said} "
            "(standard deviation). It now feeds the error of every angle and length."
        )

    def doubt(self) -> str:
        """Why the points cannot be measured as they are, in a sentence; empty if they can."""
        if self.placed is None or self.missing():
            return ""
        try:
            plane_of(self.placed)
        except CaseError as why:
            return str(why)
        return ""


def _from_draft(draft: Mapping[str, Any], view: str) -> PlacedPicture | None:
    """The photograph in a draft; None where it is no such thing."""
    try:
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
            way=choice("way", draft["way"], ("length", "square")),
            known_mm=float(draft["known_mm"]),
            placings=placings[:2] or ({},),
            corner_error_px=draft.get("corner_error_px"),
        )
    except (KeyError, TypeError, ValueError, AttributeError):
        return None

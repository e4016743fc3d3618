"""What lies on the measuring desk: a case, its visits, and a photograph whose points are placed.

No screen in here. What is being placed is written at once into a draft beside the visit, so that
nothing is lost when a window closes; the visit's own files change when the person saves.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

from hoofcalc._files import BEING_WRITTEN
from hoofcalc.case.case import (
    add_file,
    add_visit,
    day_of,
    open_case,
    read_fields_of,
    save_case,
    visit_name,
    visit_toml,
)
from hoofcalc.case.desk.picture_session import FROM, PictureSession
from hoofcalc.case.feet import feet_of, visits_of_horse
from hoofcalc.case.landmarks import VIEWS, missing_points
from hoofcalc.case.records import Case
from hoofcalc.case.storage import (
    CaseError,
    files_of,
    kind_of_film,
    kind_of_picture,
    put,
    read_text,
)
from hoofcalc.case.thumbnails import taken

__all__ = ["HEADINGS", "CaseSession", "Part"]


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


class CaseSession:
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
        """The horse."""
        return f"{self.case.horse}{' (invented)' if self.case.invented else ''}"

    @property
    def inner(self) -> str:
        """On which side of a picture from the front the inner wall lies: "left" or "right".

        A horse that looks at the camera has its left leg on the right of the picture, and the
        inner wall lies towards the other leg.
        """
        return "left" if self.case.foot.startswith("left") else "right"

    def visits(self) -> list[str]:
        """The visits of the horse, oldest first; this foot may have none of that day yet."""
        return visits_of_horse(self.folder)

    def prepare(self, visit: str) -> None:
        """Give this foot the visit of that day, where only other feet of the horse have one."""
        if (self.folder / "visits" / visit).is_dir():
            return
        others = [place for place in feet_of(self.folder).values() if _has(place, visit)]
        moment = read_fields_of(others[0], visit)["moment"] if others else "before trim"
        add_visit(self.folder, visit, {"moment": moment})

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
                    said.append(self.add_path(visit, path))
                except (CaseError, OSError) as why:
                    said.append(f"{plain} was not added. {_sentence(why, scratch)}")
        return said

    def take_in(
        self, files: Iterable[tuple[str, bytes, float | None]], visit: str | None, day: date
    ) -> tuple[list[str], str | None]:
        """Take in files, each photograph with the visit of the day that its camera noted.

        Parameters
        ----------
        files
            As for `add_uploads`.
        visit
            The visit on the desk, for films and for photographs without a day; None for none.
        day
            Day of a new visit for these, where there is none on the desk.

        Returns
        -------
        list of str
            A sentence for each file.
        str or None
            The visit of the last photograph; where there is none, the one on the desk.
        """
        said, left = [], []
        for name, content, changed_s in files:
            moment = _noted(name, content)
            if moment is None:
                left.append((name, content, changed_s))
                continue
            visit = self._visit_of(moment.date(), visit)
            said += self.add_uploads(visit, [(name, content, changed_s)])
        for each in left:
            try:
                visit = visit or self._visit_of(day, None)
            except CaseError as why:
                said.append(f"{each[0]} was not added. {_sentence(why, '')}")
                continue
            said += self.add_uploads(visit, [each])
        return said, visit

    def _visit_of(self, day: date, visit: str | None) -> str:
        """The visit of a day: that on the desk where it fits, one on file, or a new one."""
        names = [name for name in self.visits() if day_of(name) == day]
        if visit in names:
            return str(visit)
        return names[0] if names else self.new_visit(day, "before trim")

    def add_path(self, visit: str, path: Path) -> str:
        """Take in a file that lies on this computer; what was done, in a sentence.

        Raises
        ------
        CaseError
            If it is no picture or film, or cannot be measured.
        """
        part = "pictures"
        try:
            kind_of_picture(path)
        except CaseError as no_picture:
            try:
                kind_of_film(path)
            except CaseError:
                raise no_picture from None
            part = "film"
        said = add_file(self.folder, visit, part, path)
        return f"Added: {said.removesuffix('.')}."

    def pictures(self, visit: str) -> list[str]:
        """Names of the photographs of a visit."""
        return self._names("pictures", visit, kind_of_picture)

    def used(self, visit: str) -> dict[str, tuple[str, str]]:
        """Which foot each photograph of a visit shows, and from where, as far as was said."""
        found: dict[str, tuple[str, str]] = {}
        for foot, place in feet_of(self.folder).items():
            for view in VIEWS if _has(place, visit) else ():
                try:
                    placed = PictureSession(place, visit, view).placed
                except CaseError:  # said where that view is opened
                    continue
                if placed is not None:
                    found[placed.file] = (foot, view)
        return found

    def films(self, visit: str) -> list[str]:
        """Names of the films of a visit."""
        return self._names("film", visit, kind_of_film)

    def _names(self, part: str, visit: str, kind: Any) -> list[str]:
        """Files that are what they must be; what else lies there is left alone."""
        home = files_of(self.folder, part, visit)
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
        return read_fields_of(self.folder, visit)

    def change_visit(self, visit: str, **values: Any) -> bool:
        """Change fields of visit.toml, such as `facing`; the old file is kept. True if changed."""
        before = self.visit_fields(visit)
        if all(before.get(name) == value for name, value in values.items()):
            return False
        text = visit_toml({**before, **values})
        return put(self.folder, f"visits/{visit}/visit.toml", text)

    def shows_photograph(self, visit: str) -> bool:
        """Whether the photograph may stand on the owner's page."""
        try:
            return bool(self.visit_fields(visit).get("photograph_on_page"))
        except CaseError:
            return False

    def change_case(self, **values: Any) -> bool:
        """Change fields of case.toml, such as `duty_factor`. True if changed."""
        changed = replace(self.case, **values)
        if changed == self.case:
            return False
        save_case(self.folder, changed)
        self.case = changed
        return True

    def parts(self, visit: str | None) -> tuple[Part, ...]:
        """The parts of the work, and how far each is."""
        if visit is None:
            first = "There is no visit yet: take in its photographs."
            says_first = {"visit": first}
            return tuple(
                Part(name, heading, False, says_first.get(name, "Needs a visit."))
                for name, heading in HEADINGS.items()
            )
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
                "" if ready else "Needs the photograph from the side with its points.",
            ),
            "page": (
                page.exists(),
                f"Written: pages/{page.name}."
                if page.exists()
                else ("Not written yet." if ready else "Needs the photograph from the side."),
            ),
        }
        return tuple(Part(name, heading, *says[name]) for name, heading in HEADINGS.items())

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
                placed = PictureSession(self.folder, visit, view).placed
            except CaseError as why:
                said.append(f"{FROM[view]}: {why}")
                continue
            if placed is None:
                said.append(f"{FROM[view]}: not yet")
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
        from hoofcalc.case.desk.film_session import stored_film

        try:
            marked = stored_film(self.folder, visit)
        except CaseError as why:
            return False, str(why)
        if marked is None:
            needed = "Not marked yet" if films else "There is none"
            return False, f"{needed}. A film is not needed; where the push goes is surer with one."
        frames = _count(len(marked.frames), "frame")
        stances = _count(len(marked.stances), "stance")
        return bool(len(marked.frames) and marked.stances), (
            f"{marked.file}: the mark is placed in {frames}, {stances} marked."
        )


#: The parts of the work: name and heading.
HEADINGS = {
    "visit": "Visits and files",
    "photographs": "Photographs",
    "film": "Film",
    "foot": "The foot",
    "page": "The owner's page",
}


def _has(place: Path, visit: str) -> bool:
    return (place / "visits" / visit).is_dir()


def _noted(name: str, content: bytes) -> datetime | None:
    """When a photograph was taken, from its bytes."""
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / (Path(name.replace("\\", "/")).name or "picture")
        path.write_bytes(content)
        return taken(path)


def _count(number: int, what: str) -> str:
    return f"{number or 'no'} {what}{'s' if number > 1 else ''}"


def _sentence(why: BaseException, scratch: str) -> str:
    """A refusal without the name of the scratch folder."""
    text = str(why).replace(f"{scratch}{os.sep}", "")
    return f"{text[:1].upper()}{text[1:]}."

"""What lies on the measuring desk: a case, its visits, and a photograph whose points are placed.

No screen in here. What is being placed is written at once into a draft beside the visit, so that
nothing is lost when a window closes; the visit's own files change when the person saves.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from hoofcalc._counted import counted
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
from hoofcalc.case.desk.picture_session import FROM, TIMES, PictureSession
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

    def take_in(
        self, files: Iterable[tuple[str, bytes, float | None]], visit: str | None, day: date
    ) -> tuple[list[str], str | None]:
        """Take in files that came through the browser, each photograph with the visit of its day.

        Parameters
        ----------
        files
            Name, content, and when it was last changed [s since 1970], if known.
        visit
            The visit on the desk, for films and for photographs without a day; None for none.
        day
            Day of a new visit for these, where there is none on the desk.

        Returns
        -------
        list of str
            A sentence for each file, wrong ones included; those of photographs with a day first.
        str or None
            The visit of the last photograph; where there is none, the one on the desk.
        """
        said = []
        # beside the case, on the same disk: files that are put there byte for byte
        with tempfile.TemporaryDirectory(prefix=BEING_WRITTEN, dir=self.folder) as scratch:
            paths = [
                _written(Path(scratch) / f"{number}", *file) for number, file in enumerate(files)
            ]
            noted = [(path, taken(path)) for path in paths]
            for path, moment in sorted(noted, key=lambda each: each[1] is None):
                try:
                    if moment is not None or visit is None:
                        visit = self._visit_of(moment.date() if moment else day, visit)
                    said.append(self.add_path(visit, path))
                except (CaseError, OSError) as why:
                    reason = str(why).replace(f"{path.parent}{os.sep}", "")
                    reason = f"{reason[:1].upper()}{reason[1:]}"
                    said.append(f"{path.name} was not added. {reason}.")
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

    def state(self, visit: str | None) -> dict[str, tuple[bool, str]]:
        """Of each part of the work whether it is done, and what is done so far or needed."""
        if visit is None:
            needs = dict.fromkeys(HEADINGS, (False, "Needs a visit."))
            return needs | {"visit": (False, "There is no visit yet: take in its photographs.")}
        pictures, films = len(self.pictures(visit)), len(self.films(visit))
        side_done, photographs = self._photographs_say(visit)
        ready = side_done or self._typed(visit)
        page = self.folder / "pages" / f"{visit}.html"
        if page.exists():
            written = f"Written: pages/{page.name}."
        else:
            written = "Not written yet." if ready else "Needs the photograph from the side."
        needed = "" if ready else "Needs the photograph from the side with its points."
        on_file = f"{visit}: {counted(pictures, 'photograph')}, {counted(films, 'film')}."
        return {
            "visit": (True, on_file),
            "photographs": (side_done, photographs),
            "film": self._film_says(visit, films),
            "foot": (False, needed),
            "page": (page.exists(), written),
        }

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
            often = "" if len(placed.placings) == 1 else f" {TIMES[len(placed.placings) - 1]}"
            state = f"{counted(missing, 'point')} to place" if missing else f"placed{often}"
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
        frames = counted(len(marked.frames), "frame")
        stances = counted(len(marked.stances), "stance")
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


def _written(home: Path, name: str, content: bytes, changed_s: float | None) -> Path:
    """A file in a folder of its own, by the name that it had where it came from."""
    path = home / (Path(name.replace("\\", "/")).name or "picture")
    home.mkdir()
    path.write_bytes(content)
    if changed_s is not None:
        os.utime(path, (changed_s, changed_s))
    return path

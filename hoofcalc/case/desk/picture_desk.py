"""The part of the desk on which photographs are told apart and points placed in them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import anywidget
import ipywidgets as widgets
import traitlets

from hoofcalc._counted import counted
from hoofcalc.case.desk.picture_session import PictureSession
from hoofcalc.case.desk.placing import Placing
from hoofcalc.case.desk.session import CaseSession
from hoofcalc.case.desk.steps import steps
from hoofcalc.case.desk.widgets import (
    NumberField,
    Said,
    button,
    choose,
    in_background,
    progress_bar,
    row,
    saved,
    shown,
    text,
)
from hoofcalc.case.photograph import Photograph, open_photograph
from hoofcalc.case.storage import CaseError, files_of
from hoofcalc.case.thumbnails import taken, thumbnail

__all__ = ["PictureDesk", "Thumbs"]

_KNOWN = {"square": "Side of the printed square", "length": "Length of the stick"}
_SEEN = {"side": "Side", "front": "Front", "below": "Below"}
_COSTS = {
    "side": "",
    "front": (
        "Without this view the two sides cannot be compared, and the hoof is taken to be 15 % "
        "narrower at the hairline."
    ),
    "below": (
        "Without this view an even oval is taken for the bearing edge, so the load map cannot "
        "tell left from right."
    ),
}


class Thumbs(anywidget.AnyWidget):  # type: ignore[misc]
    """The photographs of a visit to choose from.

    Attributes
    ----------
    photographs : list of dict
        Of each its "name", "words" and "jpeg".
    chosen : dict
        The photograph of each view.
    shown : str
        The view whose photograph is shown below.
    wish : list
        View and name of what a person pressed, and how often anything was pressed.
    """

    _esm = Path(__file__).with_name("thumbs.js")
    photographs = traitlets.List().tag(sync=True)
    views = traitlets.Dict(_SEEN).tag(sync=True)
    chosen = traitlets.Dict().tag(sync=True)
    shown = traitlets.Unicode("").tag(sync=True)
    wish = traitlets.List().tag(sync=True)


class PictureDesk(widgets.VBox):  # type: ignore[misc]
    """Photographs of one visit: choose, say how the size is known, place the points.

    Parameters
    ----------
    hand
        The case.
    visit
        Name of the visit.
    changed
        Called when more or less is done than before.
    """

    def __init__(self, hand: CaseSession, visit: str, changed: Any = lambda: None) -> None:
        self.hand, self.visit, self._changed = hand, visit, changed
        self.work: PictureSession | None = None
        self.placing_number = 1
        self.photograph: Photograph | None = None
        self._setting = False
        self._asked = 0
        self.said, self.under = Said(), Said()
        self.about = text("")
        self.bar = progress_bar("Opening the photograph")
        self.view = "side"
        self.file: str | None = None
        self.thumbs = Thumbs()
        self.known = {
            "square": NumberField("Side of the printed square, in mm", 10, 3000),
            "length": NumberField("or length of a stick, in mm", 10, 3000),
        }
        self.facing = choose("The toe looks to the", ["right", "left"], "right")
        self.placing = Placing()
        self.own = widgets.HTML()
        self.sharpen = button("Draw the corners to the sharp edges", self._sharpen, self.under)
        self.second = button("Place them a second time", self._second, self.under)
        self.first = button("Back to the first placing", self._first, self.under)
        self.keep = button("Save the points", self._save, self.under)
        self.placed_part = widgets.VBox(
            [
                self.placing,
                row(self.keep, self.sharpen, self.second, self.first),
                self.under,
                self.own,
            ]
        )
        super().__init__(
            [
                self.thumbs,
                self.about,
                row(*self.known.values(), self.facing),
                self.bar,
                self.said,
                self.placed_part,
            ]
        )
        self.thumbs.observe(lambda _: self.choose(*self.thumbs.wish[:2]), "wish")
        for way, field in self.known.items():
            field.observe(lambda _, way=way: self._set_known(way), "value")
        self.facing.observe(lambda _: self._set_facing(), "value")
        self.placing.observe(lambda _: self._take_points(), "points")
        self._show_view()

    def leave(self) -> None:
        """Save before something else is shown; a refusal is said and the draft stays."""
        if self.work is not None:
            try:
                self.work.save()
            except Exception as trouble:
                self.said.refuse(trouble)

    # ---- what is shown -----------------------------------------------------------------------

    def choose(self, view: str, file: str) -> None:
        """Show a photograph as that from a view, with its points."""
        self.said.say("")
        self.leave()
        self.view, self.file = view, file
        self._show_view()

    def _show_view(self) -> None:
        self.about.value = text(_COSTS[self.view]).value if _COSTS[self.view] else ""
        self.placing_number = 1
        self._quiet(True)
        try:
            self.work = PictureSession(self.hand.folder, self.visit, self.view)
            placed = self.work.placed
            if self.file is None:
                self.file = self._only_one_left() if placed is None else placed.file
            self.facing.value = self.hand.visit_fields(self.visit)["facing"]
            if placed is not None:
                self._show_way(placed.way, placed.known_mm)
        except Exception as trouble:
            self.work = None
            self.said.refuse(trouble)
        finally:
            self._quiet(False)
        shown(self.facing, self.view == "side" and self.file is not None)
        self._show_picture()
        self._show_thumbs()

    def _show_thumbs(self) -> None:
        """The photographs of this foot, and those of no foot yet, by the camera's clock."""
        home = files_of(self.hand.folder, "pictures", self.visit)
        foot, used = self.hand.case.foot, self.hand.used(self.visit)
        mine = [
            (str(taken(home / name) or ""), name)
            for name in self.hand.pictures(self.visit)
            if used.get(name, (foot, ""))[0] == foot
        ]
        chosen = {view: name for name, (whose, view) in used.items() if whose == foot}
        if self.file is not None:
            chosen[self.view] = self.file
        with self.thumbs.hold_sync():
            self.thumbs.photographs = [
                {"name": name, "words": f"{name} {at[11:16]}".strip(), "jpeg": _small(home / name)}
                for at, name in sorted(mine)
            ]
            self.thumbs.chosen = chosen
            self.thumbs.shown = self.view

    def _only_one_left(self) -> str | None:
        """The photograph that no foot and no view has, where there is just one."""
        used = self.hand.used(self.visit)
        left = [name for name in self.hand.pictures(self.visit) if name not in used]
        return left[0] if len(left) == 1 else None

    def _quiet(self, setting: bool) -> None:
        self._setting = setting

    def _show_way(self, way: str, known_mm: float | None) -> None:
        for each, field in self.known.items():
            field.show(known_mm if each == way else None)

    def _show_picture(self) -> None:
        """Open the chosen photograph beside the screen, then show it with its points."""
        work, file = self.work, self.file
        self.photograph = None
        for piece in (self.placed_part, *self.known.values(), self.sharpen):
            shown(piece, False)
        if work is None or file is None:
            if work is not None:
                any_there = bool(self.hand.pictures(self.visit))
                self.said.say(_CHOOSE if any_there else _NONE_YET)
            return
        self._asked += 1
        asked = self._asked
        path = files_of(self.hand.folder, "pictures", self.visit) / file

        def opened(_progress: Any) -> tuple[Photograph, bytes]:
            photograph = open_photograph(path)
            return photograph, photograph.shown()

        def done(found: tuple[Photograph, bytes]) -> None:
            if asked != self._asked:
                return  # another one was chosen meanwhile
            photograph, jpeg = found
            work.choose(file, photograph.width_px, photograph.height_px)
            assert work.placed is not None
            square = "" if work.placed.placings[0] else work.find_square(photograph.pixels)
            self.photograph = photograph
            for piece in (self.placed_part, *self.known.values()):
                shown(piece, True)
            self._quiet(True)
            assert work.placed is not None
            self._show_way(work.placed.way, work.placed.known_mm)
            self._quiet(False)
            self._lay_points(jpeg)
            left = "What was not saved last time is here." if work.from_draft else ""
            self.said.say(" ".join(filter(None, [left, square, self._state()])))
            self._changed()

        in_background(opened, done, self.said, self.bar)

    def _lay_points(self, jpeg: bytes | None = None) -> None:
        """Show the points of the placing that is under way."""
        work = self.work
        if work is None or work.placed is None:
            return
        all_steps = steps(
            work.view, work.placed.way, facing=self.facing.value, inner=self.hand.inner
        )
        if self.placing_number == 2:
            first = work.points(1)
            all_steps = tuple(step for step in all_steps if step.name in first)
        self._quiet(True)
        if jpeg is not None:
            placed = work.placed
            self.placing.show_picture(
                jpeg,
                placed.width_px,
                placed.height_px,
                work.points(self.placing_number),
                key=self._key(),
            )
        else:
            self.placing.key = self._key()
            self.placing.points = {
                name: list(at) for name, at in work.points(self.placing_number).items()
            }
        self.placing.set_steps(all_steps)
        self._quiet(False)
        shown(self.sharpen, work.placed.way == "square")
        self._show_state()

    def _key(self) -> str:
        return (
            f"{self.hand.folder.resolve()}|{self.visit}|{self.view}|"
            f"{self.file}|{self.placing_number}"
        )

    def _show_state(self) -> None:
        work = self.work
        if work is None or work.placed is None:
            return
        complete = not work.missing()
        twice = self.placing_number == 2
        shown(self.second, complete and not twice)
        shown(self.first, twice)
        own = work.own_error()
        self.own.value = text(own).value if own else ""

    def _state(self) -> str:
        work = self.work
        if work is None or work.placed is None:
            return ""
        if self.placing_number == 2:
            left = len(work.points(1)) - len(work.points(2))
            return (
                f"Second placing: {left} to go. Place them as if you had never seen the first."
                if left
                else "All are placed a second time."
            )
        missing = work.missing()
        if missing == ["known_mm"]:
            return f"All points are placed. {_KNOWN[work.placed.way]} is still to be typed."
        if missing:
            points = len([name for name in missing if name != "known_mm"])
            are = "is" if points == 1 else "are"
            needed = f"{counted(points, 'point')} {are} still needed."
            return f"{needed} Each one is kept as you place it."
        doubt = work.doubt()
        return f"All points that are needed are placed. {doubt}".strip()

    # ---- what the person does ----------------------------------------------------------------

    def _take_points(self) -> None:
        work = self.work
        if self._setting or work is None or work.placed is None:
            return
        before = bool(work.missing())
        self.under.say("")
        try:
            work.set_points(self.placing_number, self.placing.points)
            self.placing.keep()
            twice = self.placing_number == 2 and len(work.points(2)) == len(work.points(1))
            if twice or (before and not work.missing()):
                work.save()
                self.said.say(f"{self._state()} Saved.")
            else:
                self.said.say(self._state())
        except Exception as trouble:
            self.said.refuse(trouble)
        self._show_state()
        self._changed()

    def _set_known(self, way: str) -> None:
        """How the size is known: by whichever of the two was typed."""
        work = self.work
        if self._setting or work is None or work.placed is None:
            return
        before = work.placed
        try:
            size = self.known[way].number
            if size is None and way != before.way:
                return
            work.set_way(way, size)
            if way != before.way:
                self._quiet(True)
                self._show_way(way, size)
                self._quiet(False)
                self._lay_points()
            if size != before.known_mm and not work.missing():
                work.save()
            told = f"{_KNOWN[way]}: {size:g} mm. " if size else ""
            self.said.say(told + self._state())
        except Exception as trouble:
            self.said.refuse(trouble)
        self._show_state()
        self._changed()

    def _set_facing(self) -> None:
        if self._setting:
            return
        try:
            self.hand.change_visit(self.visit, facing=self.facing.value)
            self._lay_points()
            self.said.say(f"The toe looks to the {self.facing.value}. Saved.")
        except Exception as trouble:
            self.said.refuse(trouble)

    def _sharpen(self) -> str:
        work = self.work
        if work is None or work.placed is None or self.photograph is None:
            return "No photograph is shown."
        said = work.draw_corners(self.photograph.pixels)
        self._lay_points()
        self._changed()
        return said

    def _second(self) -> str:
        self._save()
        self.placing_number = 2
        self._lay_points()
        return self._state()

    def _first(self) -> str:
        self._save()
        self.placing_number = 1
        self._lay_points()
        return self._state()

    def _save(self) -> str:
        if self.work is None:
            return "No photograph is chosen."
        written = self.work.save()
        self._changed()
        return saved(written)


_NONE_YET = "There is no photograph of this visit yet: take some in under Visits and files."
_CHOOSE = (
    "Press Side under the photograph that shows the foot from the side; front and below may follow."
)


def _small(path: Path) -> bytes:
    """A small picture; none of a file that cannot be read, which is said when it is chosen."""
    try:
        return thumbnail(path)
    except CaseError:
        return b""

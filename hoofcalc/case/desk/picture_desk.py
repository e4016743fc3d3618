"""The part of the desk on which photographs are told apart and points placed in them."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets as widgets
import traitlets

from hoofcalc._counted import counted
from hoofcalc.case.desk import widgets as screen
from hoofcalc.case.desk.picture_session import TIMES, PictureSession
from hoofcalc.case.desk.placing import Placing
from hoofcalc.case.desk.session import CaseSession
from hoofcalc.case.desk.steps import steps
from hoofcalc.case.landmarks import PlacedPicture
from hoofcalc.case.markup import piece
from hoofcalc.case.photograph import Photograph, open_photograph
from hoofcalc.case.storage import CaseError, files_of
from hoofcalc.case.thumbnails import taken, thumbnail

_KNOWN = {"square": "Side of the printed square", "length": "Length of the stick"}
_SEEN = {"side": "Side", "front": "Front", "below": "Below"}


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


class PictureDesk(screen.Part):
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
        self.work: Any = None  # a PictureSession, where the files can be read
        self.photograph: Photograph | None = None
        self._asked = 0
        self.said, self.under = screen.Said(), screen.Said()
        self.about = widgets.HTML()
        self.bar = screen.progress_bar("Opening the photograph")
        self.view = "side"
        self.file: str | None = None
        self.thumbs = Thumbs()
        self.known = {
            "square": screen.NumberField("Side of the printed square, in mm", 10, 3000),
            "length": screen.NumberField("or length of a stick, in mm", 10, 3000),
        }
        self.facing = screen.choose("The toe looks to the", ["right", "left"], "right")
        self.placing = Placing()
        self.own = widgets.HTML()
        self.sharpen = screen.button(
            "Draw the corners to the sharp edges", self._sharpen, self.under
        )
        self.keep = screen.button("Save the points", self._save, self.under)
        self.time = screen.choose("Points placed for the", _TIMES[:1], 1)
        self.placed_part = widgets.VBox(
            [self.placing, screen.row(self.keep, self.sharpen, self.time), self.under, self.own]
        )
        super().__init__(
            [
                self.thumbs,
                self.about,
                screen.row(*self.known.values(), self.facing),
                self.bar,
                self.said,
                self.placed_part,
            ]
        )
        self.hear(self.thumbs, self._choose, self.said, "wish")
        for way, field in self.known.items():
            self.hear(field, partial(self._set_known, way), self.said)
        self.hear(self.facing, self._set_facing, self.said)
        self.hear(self.placing, self._take_points, self.said, "points")
        self.hear(self.time, self._choose_time, self.said)
        self._show_view()

    def leave(self) -> None:
        """Save before something else is shown; a refusal is said and the draft stays."""
        if self.work is not None:
            try:
                self.work.save()
            except Exception as trouble:
                self.said.refuse(trouble)

    # ---- what is shown -----------------------------------------------------------------------

    def _choose(self) -> None:
        """Show the photograph that was pressed as that from a view, with its points."""
        for said in (self.said, self.under):
            said.say("")
        self.leave()
        self.view, self.file = self.thumbs.wish[:2]
        self._show_view()

    def _show_view(self) -> None:
        self.about.value = piece(f"without_{self.view}")
        with self.unheard():
            self.time.value = 1
            try:
                self.work = PictureSession(self.hand.folder, self.visit, self.view)
                placed = self.work.placed
                if self.file is None:
                    self.file = self._only_one_left() if placed is None else placed.file
                self.facing.value = self.hand.visit_fields(self.visit)["facing"]
            except Exception as trouble:
                self.work = None
                self.said.refuse(trouble)
        screen.shown(self.facing, self.view == "side" and self.file is not None)
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

    def _show_picture(self) -> None:
        """Open the chosen photograph beside the screen, then show it with its points."""
        work, file = self.work, self.file
        self.photograph = None
        of_one = (self.placed_part, *self.known.values())
        for part in of_one:
            screen.shown(part, False)
        if work is None:
            return
        if file is None:
            self.said.say(_CHOOSE if self.hand.pictures(self.visit) else _NONE_YET)
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
            square = "" if work.points(1) else work.find_square(photograph.pixels)
            self.photograph = photograph
            for part in of_one:
                screen.shown(part, True)
            self._lay_points(jpeg)
            left = "What was not saved last time is here." if work.from_draft else ""
            self.said.say(" ".join(filter(None, [left, square, self._state()])))
            self._changed()

        screen.in_background(opened, done, self.said, self.bar)

    def _lay_points(self, jpeg: bytes | None = None) -> None:
        """Show the points of the placing that is under way, and by what the size is known."""
        work, placed, time = self.work, self._placed, self.time.value
        asked = steps(work.view, placed.way, facing=self.facing.value, inner=self.hand.inner)
        if time > 1:
            again = work.again()
            asked = tuple(step for step in asked if step.name in again)
        key = f"{self.hand.folder.resolve()}|{self.visit}|{self.view}|{self.file}|{time}"
        with self.unheard():
            for way, field in self.known.items():
                field.show(placed.known_mm if way == placed.way else None)
            if jpeg is not None:
                size = placed.width_px, placed.height_px
                self.placing.show_picture(jpeg, *size, work.points(time), key=key)
            else:
                self.placing.key = key
                self.placing.points = {name: list(at) for name, at in work.points(time).items()}
            self.placing.set_steps(asked)
        screen.shown(self.sharpen, placed.way == "square")
        self._show_state()

    @property
    def _placed(self) -> PlacedPicture:
        if self.work is None or self.work.placed is None:
            raise CaseError("no photograph is shown")
        placed: PlacedPicture = self.work.placed
        return placed

    def _show_state(self) -> None:
        """Offer a further placing where those before are whole; say the own error."""
        time = self.time.value
        with self.unheard():
            self.time.options = _TIMES[: max(time, self.work.times() + 1)]
            self.time.value = time
        screen.shown(self.time, len(self.time.options) > 1)
        self.own.value = screen.paragraph(self.work.own_error())

    def _state(self) -> str:
        work, placed, time = self.work, self._placed, self.time.value
        if time > 1:
            left = work.to_place_again(time)
            if left:
                return f"{left} to go. Place them as if you had never seen those of before."
            return f"All points are placed {TIMES[time - 1]}."
        missing = work.missing()
        if missing == ["known_mm"]:
            return f"All points are placed. {_KNOWN[placed.way]} is still to be typed."
        if missing:
            points = len([name for name in missing if name != "known_mm"])
            are = "is" if points == 1 else "are"
            needed = f"{counted(points, 'point')} {are} still needed."
            return f"{needed} Each one is kept as you place it."
        return f"All points that are needed are placed. {work.doubt()}".strip()

    # ---- what the person does ----------------------------------------------------------------

    def _take_points(self) -> str:
        work = self.work
        before = work.times()
        self.under.say("")
        work.set_points(self.time.value, self.placing.points)
        self.placing.keep()
        whole = work.times() > before
        if whole:
            work.save()
        self._show_state()
        self._changed()
        return f"{self._state()}{' Saved.' if whole else ''}"

    def _set_known(self, way: str) -> str | None:
        """How the size is known: by whichever of the two was typed."""
        work, before = self.work, self._placed
        size = self.known[way].number
        if size is None and way != before.way:
            return None
        work.set_way(way, size)
        if way != before.way:
            self._lay_points()
        if size != before.known_mm and not work.missing():
            work.save()
        self._show_state()
        self._changed()
        told = f"{_KNOWN[way]}: {size:g} mm. " if size else ""
        return told + self._state()

    def _set_facing(self) -> str:
        self.hand.change_visit(self.visit, facing=self.facing.value)
        self._lay_points()
        return f"The toe looks to the {self.facing.value}. Saved."

    def _sharpen(self) -> str:
        if self.photograph is None:
            return "No photograph is shown."
        said: str = self.work.draw_corners(self.photograph.pixels)
        self._lay_points()
        self._changed()
        return said

    def _choose_time(self) -> str:
        self.under.say("")
        self._save()
        self._lay_points()
        return self._state()

    def _save(self) -> str:
        written = self.work.save()
        self._changed()
        return screen.saved(written)


#: Which placing is under way.
_TIMES = [("first time", 1), ("second time", 2), ("third time", 3)]
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

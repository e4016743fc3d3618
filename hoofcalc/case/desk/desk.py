"""The measuring desk: one case on one screen, its parts one after another."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets as widgets
import traitlets

from hoofcalc.case.desk.serving import CASE_VARIABLE
from hoofcalc.case.desk.session import CaseSession
from hoofcalc.case.desk.widgets import (
    STYLE,
    NumberField,
    Said,
    button,
    choose,
    closed,
    file_link,
    heading,
    in_background,
    labelled,
    progress_bar,
    refusal,
    row,
    shown,
    text,
)
from hoofcalc.case.markup import piece
from hoofcalc.case.storage import CaseError
from hoofcalc.reading import CAUTION

__all__ = ["Desk", "desk"]

_MOMENTS = ["before trim", "after trim"]
_CAUTIONS = (
    "Lame, sore, hot, swollen, bleeding or suddenly changed feet go to a veterinary surgeon. "
    "Handling horses is dangerous: trained hands, a safe place, and film from outside the horse's "
    "reach."
)


def desk(folder: Path | None = None) -> widgets.Widget:
    """The desk for a case; what is wrong with the case stands there in a sentence.

    Parameters
    ----------
    folder
        The folder of the case; that which the desk was opened on, where left out.

    Returns
    -------
    ipywidgets.Widget
        To be shown in a notebook.
    """
    try:
        if folder is None:
            told = os.environ.get(CASE_VARIABLE)
            if not told:
                raise CaseError("no case was given: open the desk with hoofcalc case FOLDER open")
            folder = Path(told)
        return Desk(folder)
    except Exception as trouble:
        return refusal(trouble)


class Alive(anywidget.AnyWidget):  # type: ignore[misc]
    """Answers the page, which says in a banner when no answer comes or a second window is open."""

    _esm = Path(__file__).with_name("alive.js")
    folder = traitlets.Unicode("").tag(sync=True)

    def __init__(self, folder: Path) -> None:
        super().__init__(folder=str(folder.resolve()))
        self.on_msg(lambda _alive, asked, _buffers: self.send(asked))


class Desk(widgets.VBox):  # type: ignore[misc]
    """Headline, the five parts, and the cautions; made by `desk`.

    Parameters
    ----------
    folder
        The folder of the case.
    """

    def __init__(self, folder: Path) -> None:
        self.hand = CaseSession(folder)
        self.visit: str | None = None
        self.open_part = ""
        self.inside: Any = None
        self.head = widgets.HTML()
        self.boxes: dict[str, Any] = {}
        self.opens: dict[str, Any] = {}
        self.states: dict[str, Any] = {}
        said = Said()
        pieces = []
        for number, part in enumerate(self.hand.parts(None), 1):
            name = part.name
            self.opens[name] = button(f"{number}. {part.heading}", self._opener(name), said)
            self.opens[name].layout = {"width": "auto"}
            self.states[name] = widgets.HTML()
            self.boxes[name] = widgets.VBox()
            shown(self.boxes[name], False)
            part_box = widgets.VBox([self.opens[name], self.states[name], self.boxes[name]])
            part_box.add_class("hoofcalc-part")
            pieces.append(part_box)
        cautions = text(f"{CAUTION} {_CAUTIONS}")
        super().__init__([widgets.HTML(STYLE), Alive(folder), self.head, said, *pieces, cautions])
        self.add_class("hoofcalc-desk")
        visits = self.hand.visits()
        self.visit = visits[-1] if visits else None
        self.tell()
        self._show("visit")

    def tell(self) -> None:
        """Say of each part what is done, and of the whole which case it is."""
        self.head.value = piece("head", self.hand.headline, self.visit or "no visit yet")
        for part in self.hand.parts(self.visit):
            done = "Done. " if part.done and part.name not in ("visit", "foot") else ""
            self.states[part.name].value = piece("paragraph", done + part.says)

    def _opener(self, name: str) -> Any:
        def turn() -> str:
            self._show("" if self.open_part == name else name)
            return ""

        return turn

    def _show(self, name: str) -> None:
        """Open one part, and close the one that was open; what it holds is saved first."""
        if self.inside is not None:
            leave = getattr(self.inside, "leave", None)
            if leave is not None:
                leave()
            box = self.boxes[self.open_part]
            box.children = ()
            shown(box, False)
            closed(self.inside)
            self.inside = None
        self.open_part = name
        if not name:
            self.tell()
            return
        box = self.boxes[name]
        try:
            self.inside = getattr(self, f"_{name}")()
        except Exception as trouble:
            self.inside = refusal(trouble)
        box.children = (self.inside,)
        shown(box, True)
        self.tell()

    def _needs_visit(self) -> str:
        if self.visit is None:
            raise CaseError("add a visit first, in part 1")
        return self.visit

    def _visit(self) -> Any:
        return VisitDesk(self)

    def _photographs(self) -> Any:
        from hoofcalc.case.desk.picture_desk import PictureDesk

        return PictureDesk(self.hand, self._needs_visit(), self.tell)

    def _film(self) -> Any:
        from hoofcalc.case.desk.film_desk import FilmDesk

        return FilmDesk(self.hand, self._needs_visit(), self.tell)

    def _foot(self) -> Any:
        from hoofcalc.case.desk.one_view import one_view

        visit = self._needs_visit()
        return one_view(self.hand.folder, visit, lambda tried: keep_trial(self.hand, visit, tried))

    def _page(self) -> Any:
        return PageDesk(self.hand, self._needs_visit(), self.tell)


class VisitDesk(widgets.VBox):  # type: ignore[misc]
    """Which visit; a new one; photographs and film for it."""

    def __init__(self, whole: Desk) -> None:
        self.whole, self.hand = whole, whole.hand
        self._setting = False
        self.said = Said()
        self.which = choose("Visit", [])
        self.day = labelled(widgets.DatePicker, "Day of the new visit", value=_today())
        self.moment = choose("The foot was photographed", _MOMENTS, "before trim")
        self.upload = widgets.FileUpload(
            accept=".jpg,.jpeg,.png,.heic,.heif,.avif,.webp,.mp4,.mov,.m4v",
            multiple=True,
            description="Choose photographs or a short film",
            icon="",
            layout={"width": "max-content", "max_width": "100%"},
        )
        self.path = labelled(widgets.Text, "Or where it lies on this computer")
        self.bar = progress_bar("Copying")
        self.files = widgets.HTML()
        self.adding = widgets.VBox(
            [
                heading("Photographs and film of this visit"),
                text(
                    "They are copied as they are; nothing leaves this computer. A film is often "
                    "too large to be sent through the browser: write below where it lies."
                ),
                row(self.upload),
                self.path,
                row(button("Add file", self._add_path, self.said)),
                self.bar,
                self.files,
            ]
        )
        super().__init__(
            [
                self.which,
                self.said,
                self.adding,
                heading("A new visit"),
                self.day,
                self.moment,
                row(button("Add this visit", self._new, self.said)),
            ]
        )
        self.which.observe(lambda _: self._choose(), "value")
        self.upload.observe(lambda _: self._take_uploads(), "value")
        self._show()

    def _show(self) -> None:
        self._setting = True
        visits = self.hand.visits()
        self.which.options = [*reversed(visits)]
        self.which.value = self.whole.visit
        self._setting = False
        shown(self.which, bool(visits))
        shown(self.adding, self.whole.visit is not None)
        self._list()

    def _list(self) -> None:
        visit = self.whole.visit
        if visit is None:
            return
        names = [*self.hand.pictures(visit), *self.hand.films(visit)]
        self.files.value = (
            piece("listing", names, "On file:") if names else piece("paragraph", "None on file.")
        )

    def _choose(self) -> None:
        if self._setting:
            return
        self.whole.visit = self.which.value
        self.whole.tell()
        self.said.say(f"The visit of {self.which.value} lies on the desk.")
        self._show()

    def _new(self) -> str:
        if self.day.value is None:
            raise CaseError("give the day of the new visit")
        before = self.hand.visits()
        name = self.hand.new_visit(self.day.value, self.moment.value)
        self.whole.visit = name
        self._show()
        self.whole.tell()
        if name in before:
            return f"The visit of {name} was there already; it lies on the desk now."
        return f"The visit of {name} is added. Now add its photographs."

    def _take_uploads(self) -> None:
        files, visit = self.upload.value, self.whole.visit
        if not files or visit is None:
            return
        chosen = [
            (each["name"], bytes(each["content"]), each["last_modified"].timestamp())
            for each in files
        ]
        self.upload.value = ()

        def copied(progress: Any) -> list[str]:
            said = []
            for number, each in enumerate(chosen):
                progress(number / len(chosen))
                said += self.hand.add_uploads(visit, [each])
            return said

        self._copy(copied)

    def _add_path(self) -> None:
        visit = self.whole.visit
        if visit is None:
            raise CaseError("add a visit first")
        given = self.path.value.strip().strip("'\"")
        if not given:
            raise CaseError("write where the file lies, such as C:\\film.mov or /home/me/film.mov")
        path = Path(given).expanduser()
        self._copy(lambda _progress: [self.hand.add_path(visit, path)])

    def _copy(self, work: Any) -> None:
        def done(said: list[str]) -> None:
            self.said.say(" ".join(said))
            self._list()
            self.whole.tell()

        in_background(work, done, self.said, self.bar)


class PageDesk(widgets.VBox):  # type: ignore[misc]
    """The plan, and the page for the owner."""

    def __init__(self, hand: CaseSession, visit: str, changed: Any = lambda: None) -> None:
        from hoofcalc.case.owner_page import LONGEST_WORK

        self.hand, self.visit, self._changed = hand, visit, changed
        self.said = Said()
        self.work = widgets.Textarea(
            description="What is done, and why",
            style={"description_width": "initial"},
            layout={"width": "auto", "max_width": "720px"},
            rows=5,
        )
        self.next_visit = labelled(widgets.DatePicker, "Next visit")
        self.toe = NumberField(
            "Taken off at the toe after measuring, in mm (none: leave empty)", 0, 60
        )
        self.heel = NumberField("Taken off at the heel, in mm", 0, 60)
        self.shod = widgets.Checkbox(description="Shod until the next visit", indent=False)
        self.bar = progress_bar("Writing the page")
        self.preview = widgets.HTML()
        super().__init__(
            [
                text(
                    "Written for the owner: plain words, no diagnosis. At most "
                    f"{LONGEST_WORK} letters fit. Without a plan the page shows what was measured."
                ),
                self.work,
                self.next_visit,
                self.toe,
                self.heel,
                self.shod,
                row(
                    button("Save the plan", self._keep, self.said),
                    button("Write the page", self._write, self.said),
                ),
                self.bar,
                self.said,
                self.preview,
            ]
        )
        self._show()

    def _show(self) -> None:
        from hoofcalc.case.plan import read_plan

        try:
            plan = read_plan(self.hand.folder, self.visit)
        except CaseError as why:
            self.said.refuse(why)
            return
        if plan is not None:
            self.work.value = plan.work
            self.next_visit.value = plan.next_visit
            self.toe.show(plan.toe_taken_mm or None)
            self.heel.show(plan.heel_down_mm or None)
            self.shod.value = plan.shod

    def leave(self) -> None:
        """Keep the plan as it stands, where it is one."""
        if self.work.value.strip() and self.next_visit.value is not None:
            try:
                self._keep()
            except Exception as trouble:
                self.said.refuse(trouble)

    def _keep(self) -> str:
        from hoofcalc.case.plan import StoredPlan, much_at_once, save_plan

        if not self.work.value.strip():
            raise CaseError("write what is done and why")
        if self.next_visit.value is None:
            raise CaseError("give the day of the next visit")
        written = save_plan(
            self.hand.folder,
            self.visit,
            StoredPlan(
                work=self.work.value,
                next_visit=self.next_visit.value,
                toe_taken_mm=self.toe.number or 0.0,
                heel_down_mm=self.heel.number or 0.0,
                shod=self.shod.value,
            ),
        )
        doubt = much_at_once(self.toe.number or 0.0, self.heel.number or 0.0)
        said = f"Saved: {', '.join(written)}." if written else "Nothing has changed."
        return f"{said} {doubt}".strip()

    def _write(self) -> None:
        from hoofcalc.case.case_page import write_page

        if self.work.value.strip() or self.next_visit.value is not None:
            self._keep()
        self.said.say("The page is being written ...")

        def done(paths: list[Path]) -> None:
            page = next(path for path in paths if path.suffix == ".html")
            where = " and ".join(str(path) for path in paths)
            self.said.say(f"Written: {where}. A page that stood there before lies in kept.")
            links = "".join(
                file_link(path, f"Hand it over as {'PDF' if path.suffix == '.pdf' else 'web page'}")
                for path in paths
            )
            self.preview.value = links + piece("inside", page.read_text(encoding="utf-8"))
            self._changed()

        in_background(
            lambda _progress: write_page(self.hand.folder, self.visit), done, self.said, self.bar
        )


def keep_trial(hand: CaseSession, visit: str, tried: Any) -> None:
    """Take a trim tried on the sliders into the plan of a visit; words that are there stay."""
    from hoofcalc.case.plan import StoredPlan, read_plan, save_plan

    before = read_plan(hand.folder, visit)
    toe, heel = float(tried["toe_taken_mm"]), float(tried["heel_down_mm"])
    words = f"The toe is lowered by {toe:g} mm and the heel by {heel:g} mm."
    if before is not None and before.work:
        words = before.work
    plan = StoredPlan(
        work=words,
        next_visit=tried["next_visit"],
        toe_taken_mm=toe,
        heel_down_mm=heel,
        shod=bool(tried["shod"]),
    )
    save_plan(hand.folder, visit, plan)


def _today() -> date:
    return datetime.now(UTC).astimezone().date()

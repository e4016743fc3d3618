"""The measuring desk: one case on one screen, its parts one after another."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import anywidget
import ipywidgets as widgets
import traitlets

from hoofcalc.case.desk import widgets as screen
from hoofcalc.case.desk.findings import REFERENCE
from hoofcalc.case.desk.serving import CASE_VARIABLE
from hoofcalc.case.desk.session import HEADINGS, CaseSession
from hoofcalc.case.feet import feet_of, foot_folder
from hoofcalc.case.markup import piece
from hoofcalc.case.records import FEET
from hoofcalc.case.storage import CaseError
from hoofcalc.reading import CAUTION

if TYPE_CHECKING:
    from hoofcalc.case.plan import StoredPlan

_MOMENTS = ["before trim", "after trim"]
_SHEET_MM = 100.0
_KIND = {".pdf": "PDF", ".html": "web page"}


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
        return screen.refusal(trouble)


class Alive(anywidget.AnyWidget):  # type: ignore[misc]
    """Answers the page, which says in a banner when no answer comes or a second window is open."""

    _esm = Path(__file__).with_name("alive.js")
    folder = traitlets.Unicode("").tag(sync=True)

    def __init__(self, folder: Path) -> None:
        super().__init__(folder=str(folder.resolve()))
        self.on_msg(lambda _alive, asked, _buffers: self.send(asked))


class Desk(screen.Part):
    """Horse, foot and visit, the parts of the work, and the cautions; made by `desk`.

    Parameters
    ----------
    folder
        The folder of the case, or of one of its feet.
    """

    def __init__(self, folder: Path) -> None:
        self.hand = CaseSession(folder)
        visits = self.hand.visits()
        self.visit: str | None = visits[-1] if visits else None
        case = self.hand.case
        self.head = widgets.HTML(
            piece("head", f"{case.horse}{' (invented)' if case.invented else ''}")
        )
        self.foot = screen.choose("Foot", [])
        self.which = screen.choose("Visit", [])
        self.strip = screen.Strip(
            [(name, heading, getattr(self, f"_{name}")) for name, heading in HEADINGS.items()]
        )
        for made in self.strip.buttons.values():
            made.on_click(lambda _: self.tell())
        top = screen.row(self.head, self.foot, self.which)
        top.add_class("hoofcalc-top")
        below = [widgets.HTML(piece("words", REFERENCE)), widgets.HTML(piece("cautions", CAUTION))]
        super().__init__([widgets.HTML(screen.STYLE), Alive(folder), top, self.strip, *below])
        self.add_class("hoofcalc-desk")
        self.hear(self.foot, self._choose_foot, self.strip.said)
        self.hear(self.which, lambda: self.lay(self.which.value), self.strip.said)
        self.tell()
        self.show(self._first())

    def _first(self) -> str:
        """The part that there is to do."""
        if self.visit is None or not self.hand.pictures(self.visit):
            return "visit"
        return "foot" if self.hand.state(self.visit)["photographs"][0] else "photographs"

    def show(self, name: str) -> None:
        """Open a part."""
        self.strip.show(name)
        self.tell()

    def tell(self) -> None:
        """Say what lies on the desk, and what is done."""
        feet = feet_of(self.hand.folder)
        with self.unheard():
            self.foot.options = [
                (foot if foot in feet else f"{foot} (nothing yet)", foot) for foot in FEET
            ]
            self.foot.value = self.hand.case.foot
            self.which.options = [*reversed(self.hand.visits())]
            self.which.value = self.visit
        screen.shown(self.which, self.visit is not None)
        for name, (done, says) in self.hand.state(self.visit).items():
            made = self.strip.buttons[name]
            (made.add_class if done and name != "visit" else made.remove_class)("hoofcalc-done")
            if name == self.strip.open_part:
                self.strip.state.value = screen.paragraph(says)

    def lay(self, visit: str | None) -> None:
        """Lay another visit on the desk, and show its first part that there is to do."""
        self.strip.leave()
        self.visit = visit
        self.show(self._first())

    def _choose_foot(self) -> None:
        self.strip.leave()
        try:
            self.hand = CaseSession(foot_folder(self.hand.folder, self.foot.value))
        finally:
            self.show(self._first())

    def _needs_visit(self) -> str:
        if self.visit is None:
            raise CaseError("take in the photographs of a visit first")
        return self.visit

    def _visit(self) -> Any:
        return VisitDesk(self)

    def _photographs(self) -> Any:
        from hoofcalc.case.desk.picture_desk import PictureDesk

        self.hand.prepare(self._needs_visit())
        return PictureDesk(self.hand, self._needs_visit(), self.tell)

    def _film(self) -> Any:
        from hoofcalc.case.desk.film_desk import FilmDesk

        self.hand.prepare(self._needs_visit())
        return FilmDesk(self.hand, self._needs_visit(), self.tell)

    def _foot(self) -> Any:
        from hoofcalc.case.desk.one_view import OneView

        hand, visit = self.hand, self._needs_visit()
        return OneView(hand.folder, visit, lambda tried: keep_trial(hand, visit, tried))

    def _page(self) -> Any:
        return PageDesk(self.hand, self._needs_visit(), self.tell)


class VisitDesk(screen.Part):
    """Photographs and film for a visit, and a new visit."""

    def __init__(self, whole: Desk) -> None:
        self.whole = whole
        self.said = screen.Said()
        self.day = screen.labelled(widgets.DatePicker, "Day of the visit", value=_today())
        self.moment = screen.choose("The foot was photographed", _MOMENTS, "before trim")
        self.upload = widgets.FileUpload(
            accept=".jpg,.jpeg,.png,.heic,.heif,.avif,.webp,.mp4,.mov,.m4v,.avi,.webm",
            multiple=True,
            description="Choose photographs or a short film",
            icon="",
            layout={"width": "max-content", "max_width": "100%"},
        )
        self.path = screen.labelled(widgets.Text, "A long film: where it lies on this computer")
        self.bar = screen.progress_bar("Copying")
        self.files = widgets.HTML()
        self.sheet_link = widgets.HTML()
        super().__init__(
            [
                screen.row(self.upload),
                self.bar,
                self.said,
                self.files,
                screen.prose("how_files"),
                screen.row(self.path, screen.button("Add file", self._add_path, self.said)),
                screen.heading("A visit of another day, or after the trim"),
                screen.row(
                    self.day, self.moment, screen.button("Add this visit", self._new, self.said)
                ),
                screen.heading("Before you photograph"),
                screen.row(
                    screen.button("Save a sheet with the square, to print", self._sheet, self.said)
                ),
                self.sheet_link,
            ]
        )
        self.hear(self.upload, self._take_uploads, self.said)
        self._list()

    def _list(self) -> None:
        visit, hand = self.whole.visit, self.whole.hand
        names = [] if visit is None else [*hand.pictures(visit), *hand.films(visit)]
        self.files.value = piece("listing", names, f"On file of {visit}:")

    def _new(self) -> str:
        if self.day.value is None:
            raise CaseError("give the day of the new visit")
        hand = self.whole.hand
        before = hand.visits()
        name = hand.new_visit(self.day.value, self.moment.value)
        self.whole.visit = name
        self._list()
        self.whole.tell()
        if name in before:
            return f"The visit of {name} was there already; it lies on the desk now."
        return f"The visit of {name} is added. Now add its photographs."

    def _take_uploads(self) -> None:
        files = self.upload.value
        if not files:
            return
        chosen = [
            (each["name"], bytes(each["content"]), each["last_modified"].timestamp())
            for each in files
        ]
        self.upload.value = ()
        visit, day = self.whole.visit, self.day.value or _today()
        self._take(lambda: self.whole.hand.take_in(chosen, visit, day))

    def _add_path(self) -> None:
        given = self.path.value.strip().strip("'\"")
        if not given:
            raise CaseError("write where the file lies, such as C:\\film.mov or /home/me/film.mov")
        visit = self.whole.visit
        if visit is None:
            raise CaseError("take in a photograph first, or add a visit below")
        path = Path(given).expanduser()
        self._take(lambda: ([self.whole.hand.add_path(visit, path)], visit))

    def _take(self, work: Callable[[], tuple[list[str], str | None]]) -> None:
        """Take files in; new photographs are laid on the desk."""
        hand, visit = self.whole.hand, self.whole.visit
        before = hand.pictures(visit) if visit else []

        def copied(found: tuple[list[str], str | None]) -> None:
            lines, self.whole.visit = found
            laid, said = self.whole.visit, self.said
            if laid is not None and (laid != visit or hand.pictures(laid) != before):
                self.whole.lay(laid)
                said = self.whole.strip.said
            else:
                self._list()
                self.whole.tell()
            said.say(" ".join(lines))

        screen.in_background(lambda _progress: work(), copied, self.said, self.bar)

    def _sheet(self) -> str:
        from hoofcalc.case.sheet import save_sheet

        pdf, svg = save_sheet(self.whole.hand.folder / "sheet", _SHEET_MM)
        self.sheet_link.value = screen.file_link(
            pdf.name, pdf.read_bytes(), f"Open or print the sheet ({_SHEET_MM:g} mm)"
        )
        return (
            f"Saved: sheet/{pdf.name} and sheet/{svg.name} in the case. Print it at full size (no "
            "fitting to the page), and measure the printed square before you trust it."
        )


class PageDesk(widgets.VBox):  # type: ignore[misc]
    """The plan, and the page for the owner."""

    def __init__(self, hand: CaseSession, visit: str, changed: Any = lambda: None) -> None:
        from hoofcalc.case.owner_page import LONGEST_WORK

        self.hand, self.visit, self._changed = hand, visit, changed
        self.said = screen.Said()
        self.work = widgets.Textarea(
            description="What is done, and why",
            style={"description_width": "initial"},
            layout={"width": "auto", "max_width": "720px"},
            rows=5,
        )
        self.next_visit = screen.labelled(widgets.DatePicker, "Next visit")
        self.toe = screen.NumberField("Taken off at the toe after measuring, in mm", 0, 60)
        self.heel = screen.NumberField("Taken off at the heel, in mm", 0, 60)
        self.shod = widgets.Checkbox(description="Shod until the next visit", indent=False)
        case = hand.case
        self.who = screen.labelled(widgets.Text, "Measured by", value=case.measured_by or "")
        self.reach = screen.labelled(widgets.Text, "How to reach them", value=case.reached_by or "")
        self.photo = widgets.Checkbox(
            description="Show the photograph from the side on the page",
            value=hand.shows_photograph(visit),
            indent=False,
            layout={"width": "auto"},
        )
        self.bar = screen.progress_bar("Writing the page")
        self.preview = widgets.HTML()
        super().__init__(
            [
                widgets.HTML(piece("about_page", LONGEST_WORK)),
                screen.row(self.who, self.reach),
                self.photo,
                self.work,
                screen.row(self.next_visit, self.shod),
                screen.row(self.toe, self.heel),
                screen.row(
                    screen.button("Save the plan", self._keep, self.said),
                    screen.button("Write the page", self._write, self.said),
                ),
                self.bar,
                self.said,
                self.preview,
            ]
        )
        self._show()
        self._look()

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
        """Keep the plan as it stands, where it is one, and who measured."""
        try:
            self._keep_who()
            if self.work.value.strip() and self.next_visit.value is not None:
                self._keep()
        except Exception as trouble:
            self.said.refuse(trouble)

    def _keep(self) -> str:
        from hoofcalc.case.plan import StoredPlan, much_at_once, save_plan

        if not self.work.value.strip():
            raise CaseError("write what is done and why")
        if self.next_visit.value is None:
            raise CaseError("give the day of the next visit")
        plan = StoredPlan(
            work=self.work.value,
            next_visit=self.next_visit.value,
            toe_taken_mm=self.toe.number or 0.0,
            heel_down_mm=self.heel.number or 0.0,
            shod=self.shod.value,
        )
        said = screen.saved(save_plan(self.hand.folder, self.visit, plan))
        return f"{said} {much_at_once(plan.toe_taken_mm, plan.heel_down_mm)}".strip()

    def _keep_who(self) -> None:
        self.hand.change_case(
            measured_by=self.who.value.strip() or None, reached_by=self.reach.value.strip() or None
        )
        if self.photo.value != self.hand.shows_photograph(self.visit):
            self.hand.change_visit(self.visit, photograph_on_page=self.photo.value)

    def _look(self) -> None:
        """Show the page as it would be written now, where the visit can be measured."""
        from hoofcalc.case.case_page import page_of

        def made(_progress: Any) -> dict[str, bytes]:
            page = page_of(self.hand.folder, self.visit)
            name = f"{self.hand.case.horse} {self.visit}"
            return {f"{name}.html": page.html.encode(), f"{name}.pdf": page.pdf}

        screen.in_background(made, self._lay, self.said, self.bar)

    def _lay(self, files: dict[str, bytes]) -> None:
        """Show the page, with links that hand it over."""
        links = "".join(
            screen.file_link(name, content, f"Hand it over as {_KIND[Path(name).suffix]}")
            for name, content in files.items()
        )
        page = next(content for name, content in files.items() if name.endswith(".html"))
        self.preview.value = links + piece("inside", page.decode())

    def _write(self) -> None:
        from hoofcalc.case.case_page import write_page

        if self.work.value.strip() or self.next_visit.value is not None:
            self._keep()
        self._keep_who()
        self.said.say("The page is being written ...")

        def done(paths: list[Path]) -> None:
            where = " and ".join(str(path) for path in paths)
            self.said.say(f"Written: {where}. A page that stood there before lies in kept.")
            self._lay({path.name: path.read_bytes() for path in paths})
            self._changed()

        screen.in_background(
            lambda _progress: write_page(self.hand.folder, self.visit), done, self.said, self.bar
        )


def keep_trial(hand: CaseSession, visit: str, tried: StoredPlan) -> None:
    """Take a trim tried on the sliders into the plan of a visit; words that are there stay."""
    from hoofcalc.case.plan import read_plan, save_plan

    before = read_plan(hand.folder, visit)
    if before is not None and before.work:
        tried = replace(tried, work=before.work)
    save_plan(hand.folder, visit, tried)


def _today() -> date:
    return datetime.now(UTC).astimezone().date()

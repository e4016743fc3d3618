"""The foot in one view: a picture and three findings; the rest is opened below them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from hoofcalc.case.case import open_case, read_visit, visit_names
from hoofcalc.case.desk import widgets as screen
from hoofcalc.case.desk.case_figures import (
    capsule_figure,
    forecast_figure,
    load_figure,
    tried,
)
from hoofcalc.case.desk.comparing import (
    Compared,
    against_case,
    against_visit,
    against_yard,
    yard_feet,
)
from hoofcalc.case.desk.findings import Findings, three_findings
from hoofcalc.case.desk.several_pictures import feet_picture, series_picture
from hoofcalc.case.desk.side_picture import side_of
from hoofcalc.case.desk.tables import comparison_table, findings_table
from hoofcalc.case.markup import page, piece
from hoofcalc.case.measure import Measurement, measure
from hoofcalc.case.plan import StoredPlan
from hoofcalc.case.records import Visit
from hoofcalc.case.several import (
    angle_of,
    feet_at,
    feet_in_words,
    over_visits,
    visits_in_words,
)
from hoofcalc.case.storage import CaseError
from hoofcalc.notebook.living import LivingFigure
from hoofcalc.pictures.still import StillPicture

#: What is opened below the picture: name, and words on the button.
PARTS = {
    "numbers": "All numbers",
    "feet": "The other feet",
    "visits": "Over the visits",
    "beside": "Beside another foot",
    "rim": "Where the push goes",
    "space": "In 3-D",
    "trim": "Try a trim",
}
_ELSEWHERE = "another case: give its folder"

OnPlan = Callable[[StoredPlan], object]


class _Part(widgets.VBox):  # type: ignore[misc]
    """What is opened; figures that live in it close with it."""

    def __init__(self, children: list[Any]) -> None:
        self.figures = [child for child in children if isinstance(child, LivingFigure)]
        super().__init__(
            [child.widget if isinstance(child, LivingFigure) else child for child in children]
        )

    def close(self) -> None:
        """Take it off the screen."""
        for figure in self.figures:
            figure.close()
        super().close()


class OneView(widgets.VBox):  # type: ignore[misc]
    """The foot in one view; what goes wrong stands in it as a sentence.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit's folder, such as "2026-04-07".
    on_plan
        Called with the tried trim (see `hoofcalc.case.desk.case_figures.tried`) when the button
        below the forecast is pressed; without it there is no button.
    """

    def __init__(self, folder: Path, visit: str, on_plan: OnPlan | None = None) -> None:
        self._shut = False
        self._folder, self._on_plan = Path(folder), on_plan
        self.strip: screen.Strip | None = None
        bar, said = screen.progress_bar("Measuring"), screen.Said()
        super().__init__()
        self.add_class("hoofcalc-view")
        self.children: tuple[Any, ...] = (bar, said)
        said.say("The visit is being measured ...")
        screen.in_background(
            lambda _progress: _looked_at(self._folder, visit), self._lay, said, bar
        )

    def close(self) -> None:
        """Take the page off the screen and free what it holds."""
        self._shut = True
        if self.strip is not None:
            self.strip.leave()
        children, self.children = self.children, ()
        for child in children:
            screen.closed(child)
        self.layout.close()
        super().close()

    def _lay(self, seen: tuple[Measurement, Findings, StillPicture | None, list[Any]]) -> None:
        """The picture with its findings, and the buttons of the rest."""
        if self._shut:
            return
        found, findings, picture, troubles = seen
        makers = {
            "numbers": lambda: _Part(_numbers(found, picture)),
            "feet": lambda: _Part(_feet(self._folder, found)),
            "visits": lambda: _Part(_visits(self._folder)),
            "beside": lambda: _Part(_beside(self._folder, found)),
            "rim": lambda: _Part([LivingFigure(load_figure(found)), screen.prose("about_push")]),
            "space": lambda: _Part(
                [LivingFigure(capsule_figure(found)), screen.prose("about_space")]
            ),
            "trim": lambda: _Part(self._forecast(found)),
        }
        self.strip = screen.Strip([(name, words, makers[name]) for name, words in PARTS.items()])
        head = f"{found.visit.date.day} {found.visit.date:%B %Y}, {found.visit.moment}"
        below = [found.visit.askew] if found.visit.askew else []
        if found.case.invented:
            below.append("Horse and figures are invented.")
        image = ("", "") if picture is None else (screen.encoded(picture), picture.alt)
        lead = widgets.HTML(
            piece("lead", *image, head.replace(" trim", " the trim"), findings, below)
        )
        before = self.children
        self.children = (*map(screen.refusal, troubles), lead, self.strip)
        for child in before:
            screen.closed(child)

    def _forecast(self, found: Measurement) -> list[Any]:
        figure, on_plan = LivingFigure(forecast_figure(found)), self._on_plan
        after = found.visit.moment == "after trim"
        parts = [figure, screen.prose("about_trimmed" if after else "about_trim")]
        if on_plan is None:
            return parts
        said = screen.Said()

        def take() -> str:
            plan = tried(found, figure.frame.values)
            on_plan(plan)
            day = plan.next_visit
            return (
                f"Taken into the plan: toe down {plan.toe_taken_mm:g} mm, heel down "
                f"{plan.heel_down_mm:g} mm, next visit on {day.day} {day:%B %Y}."
            )

        return [*parts, screen.button("Take this into the plan", take, said), said]


def _looked_at(
    folder: Path, visit: str
) -> tuple[Measurement, Findings, StillPicture | None, list[Exception]]:
    """A visit measured, what it tells first, and its picture; why there is none comes last."""
    found = measure(open_case(folder), read_visit(folder, visit))
    findings = three_findings(found, _earlier(folder, found.visit))
    try:
        return found, findings, side_of(folder, found), []
    except Exception as trouble:
        return found, findings, None, [trouble]


def _earlier(folder: Path, visit: Visit) -> Visit | None:
    """The last visit before this one, at the same moment of the trim, that can be read."""
    for name in reversed([name for name in visit_names(folder) if name < visit.name]):
        try:
            earlier = read_visit(folder, name)
        except CaseError:
            continue
        if earlier.moment == visit.moment:
            return earlier
    return None


def _numbers(found: Measurement, picture: StillPicture | None) -> list[Any]:
    """Every rule with what was measured, and what to know about the numbers."""
    return [
        *([] if picture is None else [screen.text(picture.caption)]),
        screen.prose("about_findings"),
        widgets.HTML(findings_table(found)),
        screen.listing(found.remarks, "To know about these numbers:"),
    ]


def _feet(folder: Path, found: Measurement) -> list[Any]:
    """Every foot of this visit."""
    feet = feet_at(folder, found.visit.name)
    if len(feet) < 2:
        return [screen.prose("one_foot")]
    return [screen.still(feet_picture(feet)), screen.listing(feet_in_words(feet))]


def _visits(folder: Path) -> list[Any]:
    """This foot over all its visits."""
    visits = over_visits(folder)
    rows, said = [], visits_in_words(visits)[1 + len(visits) :]
    for visit in visits:
        cells = [
            f"{value:.1f}° ({low:.1f} to {high:.1f})"
            for value, low, high in (angle_of(visit, end) for end in ("toe", "heel"))
        ]
        rows.append((str(visit.date), visit.moment, cells))
    heads = ("Visit", "Toe (19 times in 20)", "Heel (19 times in 20)")
    table = page("table", caption="", heads=heads, rows=rows, below="", sources=())
    return [screen.still(series_picture(visits)), screen.listing(said), widgets.HTML(table)]


def _beside(folder: Path, found: Measurement) -> list[Any]:
    """The choice of another foot, and the two beside each other."""
    place = screen.labelled(
        widgets.Text,
        "Folder of the other case",
        placeholder="such as cases/fernlow-left-fore",
        continuous_update=False,
    )
    their = screen.choose("Its visit", [])
    said, shown_part = screen.Said(), screen.Part()

    def elsewhere() -> Compared:
        if not place.value.strip():
            raise CaseError("give the folder of the other case")
        return against_case(found, Path(place.value.strip()).expanduser(), their.value or "")

    others: dict[str, Callable[[], Compared]] = {
        f"this foot on {visit.name}": partial(against_visit, found, visit)
        for visit in reversed(over_visits(folder))
        if visit.name != found.visit.name
    }
    others |= {called: partial(against_yard, found, story) for called, story in yard_feet().items()}
    others[_ELSEWHERE] = elsewhere
    which = screen.choose("Compare with", list(others), next(iter(others)))

    def refresh() -> None:
        screen.shown(place, which.value == _ELSEWHERE)
        screen.shown(their, which.value == _ELSEWHERE and bool(their.options))
        before, shown_part.children = shown_part.children, ()
        for part in before:
            screen.closed(part)
        said.say("")
        both = others[which.value]()
        table = widgets.HTML(comparison_table(both.both))
        shown_part.children = (screen.still(both.picture), table, screen.listing(both.lines))

    def other_case() -> None:
        names: list[str] = []
        try:
            names = visit_names(Path(place.value.strip()).expanduser())
        finally:
            with shown_part.unheard():
                their.options = names
                their.value = names[-1] if names else None
        refresh()

    shown_part.hear(which, refresh, said)
    shown_part.hear(place, other_case, said)
    shown_part.hear(their, refresh, said)
    screen.told(refresh, said)
    return [screen.prose("about_beside"), which, place, their, said, shown_part]

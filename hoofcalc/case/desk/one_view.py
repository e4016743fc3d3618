"""The foot in one view: everything that one visit of a case tells, on one page of the screen."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from hoofcalc.case.case import open_case, read_visit, visit_names
from hoofcalc.case.desk.case_figures import (
    capsule_explorer,
    forecast_explorer,
    load_explorer,
    tried,
)
from hoofcalc.case.desk.comparing import (
    Compared,
    against_case,
    against_visit,
    against_yard,
    yard_feet,
)
from hoofcalc.case.desk.side_picture import side_of
from hoofcalc.case.desk.tables import findings_table
from hoofcalc.case.desk.widgets import (
    Said,
    button,
    choose,
    closed,
    heading,
    labelled,
    listing,
    refusal,
    still,
    text,
)
from hoofcalc.case.measure import Measurement, measure
from hoofcalc.case.storage import CaseError
from hoofcalc.figures.spec import Figure
from hoofcalc.notebook.living import LivingFigure
from hoofcalc.reading import CAUTION

__all__ = ["HEADINGS", "OneView", "one_view"]

HEADINGS = (
    "The foot from the side",
    "The foot in 3-D",
    "Where the push goes round the rim",
    "What the numbers say",
    "Beside another foot",
    "Until the next visit: try a trim",
)
_ELSEWHERE = "another case: give its folder"
#: Fillings under way; the loop itself holds them only weakly.
_UNDER_WAY: set[asyncio.Task[None]] = set()

OnPlan = Callable[[Mapping[str, Any]], object]
_Part = Callable[[], list[Any]]


class OneView(widgets.VBox):  # type: ignore[misc]
    """One visit of a case on one page; made by `one_view`.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit.
    on_plan
        Called with the tried trim when its button is pressed; no button where left out.
    """

    def __init__(self, folder: Path, visit: str, on_plan: OnPlan | None = None) -> None:
        super().__init__()
        self.figures: list[LivingFigure] = []
        self._shut = False
        self._folder, self._visit, self._on_plan = Path(folder), visit, on_plan
        self._bar = widgets.IntProgress(
            value=0, max=len(HEADINGS), description="Measuring", layout={"width": "97%"}
        )
        self.children: tuple[Any, ...] = (self._bar,)
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # no notebook: there is nobody to show the bar to
            for _ in self._filling():
                pass
            return
        task = loop.create_task(self._fill())
        _UNDER_WAY.add(task)
        task.add_done_callback(_UNDER_WAY.discard)

    def close(self) -> None:
        """Take the page off the screen and free what it holds."""
        self._shut = True
        for figure in self.figures:
            figure.close()
        self.figures = []
        children, self.children = self.children, ()
        for child in children:
            closed(child)
        self.layout.close()
        super().close()

    async def _fill(self) -> None:
        """Part by part, so that the bar moves and other buttons answer between."""
        for _ in self._filling():
            await asyncio.sleep(0.01)
            if self._shut:
                return

    def _filling(self) -> Iterator[None]:
        """Add part after part under the bar; what cannot be shown is said in its place."""
        yield
        try:
            found = measure(open_case(self._folder), read_visit(self._folder, self._visit))
        except Exception as trouble:
            self.children = (refusal(trouble),)
            closed(self._bar)
            return
        head = f"{found.case.horse}, {found.case.foot}, {found.visit.name} ({found.visit.moment})"
        invented = " Horse and figures are invented." if found.case.invented else ""
        done: list[Any] = [heading(head), text(CAUTION + invented)]
        for number, (name, part) in enumerate(zip(HEADINGS, self._parts(found), strict=True)):
            self._bar.value, self._bar.description = number, name
            self.children = (*done, self._bar)
            yield
            done.append(heading(name))
            try:
                done += part()
            except Exception as trouble:
                done.append(refusal(trouble))
        self.children = tuple(done)
        closed(self._bar)

    def _parts(self, found: Measurement) -> tuple[_Part, ...]:
        return (
            lambda: [still(side_of(self._folder, found)), text(_SIDE)],
            lambda: [text(_CAPSULE), self._living(capsule_explorer(found))],
            lambda: self._load(found),
            lambda: [text(_FINDINGS), widgets.HTML(findings_table(found))],
            lambda: _beside(self._folder, found),
            lambda: self._forecast(found),
        )

    def _living(self, figure: Figure) -> Any:
        living = LivingFigure(figure)
        self.figures.append(living)
        return living.widget

    def _load(self, found: Measurement) -> list[Any]:
        to_know = listing(found.remarks, "To know about these numbers:")
        try:
            figure = load_explorer(found)
        except CaseError as why:
            rest = [remark for remark in found.remarks if remark != str(why)]
            return [refusal(why), listing(rest, "To know about these numbers:")]
        return [text(_LOAD), self._living(figure), to_know]

    def _forecast(self, found: Measurement) -> list[Any]:
        view = self._living(forecast_explorer(found))
        figure, on_plan = self.figures[-1], self._on_plan
        after = found.visit.moment == "after trim"
        parts = [text(_AFTER if after else _FORECAST), view]
        if on_plan is None:
            return parts
        said = Said()

        def take() -> str:
            values = tried(found, figure.frame.values, figure.frame.results)
            on_plan(values)
            day = values["next_visit"]
            return (
                f"Taken into the plan: toe down {values['toe_taken_mm']:g} mm, heel down "
                f"{values['heel_down_mm']:g} mm, next visit on {day.day} {day:%B %Y}."
            )

        return [*parts, button("Take this into the plan", take, said), said]


def one_view(folder: Path, visit: str, on_plan: OnPlan | None = None) -> OneView:
    """The foot in one view.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit's folder, such as "2026-04-07".
    on_plan
        Called with the tried trim (see `hoofcalc.case.desk.case_figures.tried`) when the button
        below the forecast is pressed; without it there is no button.

    Returns
    -------
    OneView
        Fills itself part by part; `close` frees it. What goes wrong stands in it as a sentence.
    """
    return OneView(folder, visit, on_plan)


def _beside(folder: Path, found: Measurement) -> list[Any]:
    """The choice of another foot, and the two beside each other."""
    dates = {
        f"this foot on {name}": name for name in visit_names(folder) if name != found.visit.name
    }
    yard = yard_feet()
    which = choose("Compare with", [*reversed(dates), *yard, _ELSEWHERE])
    which.value = which.options[0]
    place = labelled(
        widgets.Text,
        "Folder of the other case",
        placeholder="such as cases/fernlow-left-fore",
        continuous_update=False,
    )
    their = choose("Its visit", [])
    shown = widgets.VBox()

    def compared() -> Compared | None:
        if which.value in dates:
            return against_visit(found, read_visit(folder, dates[which.value]))
        if which.value in yard:
            return against_yard(found, yard[which.value])
        if not place.value.strip():
            return None
        return against_case(found, Path(place.value.strip()).expanduser(), their.value or "")

    def refresh(_change: Any = None) -> None:
        elsewhere = which.value == _ELSEWHERE
        place.layout.display = None if elsewhere else "none"
        their.layout.display = None if elsewhere and their.options else "none"
        before = shown.children
        try:
            both = compared()
            if both is None:
                shown.children = (text("Give the folder of the other case."),)
            else:
                table = widgets.HTML(both.table)
                shown.children = (still(both.picture), table, listing(both.lines))
        except Exception as trouble:
            shown.children = (refusal(trouble),)
        for part in before:
            closed(part)

    def other_case(_change: Any) -> None:
        try:
            names = visit_names(Path(place.value.strip()).expanduser())
        except (CaseError, OSError):
            names = []  # `refresh` says why
        their.unobserve(refresh, "value")
        their.options = names
        their.value = names[-1] if names else None
        their.observe(refresh, "value")
        refresh()

    which.observe(refresh, "value")
    place.observe(other_case, "value")
    their.observe(refresh, "value")
    refresh()
    return [text(_BESIDE), which, place, their, shown]


# ---- words -----------------------------------------------------------------------------------

_SIDE = (
    "The points you placed, the angles they make, and the model's tubules laid over the horn. "
    "Behind each ± stands how far the truth may lie away, 19 times in 20."
)
_CAPSULE = "The hoof as the model builds it from your views. Turn it with the two sliders."
_LOAD = (
    "How this horse's weight reaches this foot at its gait: along the tubules, which horn bears "
    "well, and across them, which it bears badly. Move through the stance with the slider."
)
_FINDINGS = (
    "Each rule of the trade with what was measured. That a rule is met says nothing about health; "
    "'likely' only asks whether the true foot meets it, given how finely the points were placed."
)
_BESIDE = "What differs, and whether that is more than two photographs can err."
_FORECAST = (
    "Try a trim and a time to the next visit before you cut. The shaded bands hold the error of "
    "measuring, and how far growth and horn differ from horse to horse."
)
_AFTER = (
    "The foot was measured after its trim, so only the time to the next visit can be moved. The "
    "shaded bands hold the error of measuring, and how far growth and horn differ."
)

"""One page for the owner of a horse: measured, changed, planned, and when to call the vet.

The page is for someone who has never seen this course. It says each angle with its error, a
change only together with what two photographs can show, and what is expected with its band. It
holds no diagnosis, no marks for good and bad, and loads nothing from elsewhere. Printed, it is
one sheet of A4.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._counted import counted, decimals_apart
from hoofcalc._inputs import choice, numbers
from hoofcalc.case.markup import page
from hoofcalc.case.page_pdf import PHOTOGRAPH_ALT, Section, page_as_pdf
from hoofcalc.case.storage import CaseError
from hoofcalc.profile import Profile, error_of
from hoofcalc.reading import CAUTION, VET_SIGNS, compare

if TYPE_CHECKING:
    from hoofcalc.pictures.still import StillPicture

#: So many letters of a plan fit on the page.
LONGEST_WORK = 900

_ENDS = {"toe": "front of the hoof (toe)", "heel": "back of the hoof (heel)"}
_MOMENTS = ("before trim", "after trim")
_LONGEST_NAME = 100
#: Two intervals that differ by more than this many days are not alike [days].
_ALIKE_DAYS = 14
_WORDS = (
    "The sole is the underside of the foot, the frog the soft wedge in its middle. The coronary "
    "band is the line where hair meets horn. Laminitis is a painful inflammation inside the hoof."
)
_SHAPE_ONLY = (
    "This page describes the shape of a foot. It does not say whether a horse is sound, and a "
    "shape alone is no illness."
)
_INVENTED = "Horse, foot and figures on this page are invented, for teaching."
#: Letters printed on paper: this size at most, and smaller on a full page [pt].
_PRINT_PT, _PRINT_AREA = 10.5, 245_000.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Measured:
    """One foot as measured at one visit.

    Parameters
    ----------
    day
        Day of the visit.
    profile
        The foot.
    point_error_mm
        Standard deviation of each coordinate of a placed point [mm], above 0.
    errors
        Standard error of measures by name, in the unit of the name, as worked out from a
        photograph; each takes the place of the one that follows from `point_error_mm`.
    days_since
        Days since the visit before; None if not known.
    moment
        "before trim" or "after trim".
    remark
        What must stand beside every error of this visit; empty for nothing.
    """

    day: date
    profile: Profile
    point_error_mm: float = 1.0
    errors: Mapping[str, float] | None = None
    days_since: int | None = None
    moment: str = "before trim"
    remark: str = ""

    def __post_init__(self) -> None:
        numbers("point_error_mm", self.point_error_mm, above=0)
        for name, error in (self.errors or {}).items():
            numbers(f"{name} in errors", error, above=0)
        choice("moment", self.moment, _MOMENTS)
        if self.profile.shape:
            raise ValueError(f"profile must hold one foot (got shape {self.profile.shape})")

    def angle_deg(self, end: str) -> float:
        """Angle of "toe" or "heel" from the ground [degrees]."""
        return float(getattr(self.profile, f"{end}_angle_deg"))

    def error_deg(self, end: str) -> float:
        """Standard error of that angle [degrees]."""
        name = f"{end}_angle_deg"
        given = (self.errors or {}).get(name)
        return float(error_of(self.profile, name, self.point_error_mm) if given is None else given)


@dataclass(frozen=True, kw_only=True)
class Plan:
    """What is planned, and what is expected at the next visit.

    Parameters
    ----------
    work
        What is done to the foot and why, in plain words.
    next_visit
        Day of the next visit.
    toe_deg, heel_deg
        Low end, middle and high end of the angle expected then [degrees].
    """

    work: str
    next_visit: date
    toe_deg: tuple[float, float, float]
    heel_deg: tuple[float, float, float]

    def __post_init__(self) -> None:
        for name in ("toe_deg", "heel_deg"):
            low, middle, high = getattr(self, name)
            if not low <= middle <= high:
                raise ValueError(f"{name} must rise from low to high (got {low}, {middle}, {high})")


@dataclass(frozen=True, kw_only=True, eq=False)
class OwnerPage:
    """A page for the owner; made by `owner_page`.

    Parameters
    ----------
    title
        What stands at its top.
    sections
        What stands under it.
    now, before
        The foot that is explained, and the one that it is compared with, if any.
    photograph
        The photograph from the side, a JPEG file, where it may stand on the page.
    """

    title: str = field(repr=False)
    sections: Sequence[Section] = field(repr=False)
    now: Measured = field(repr=False)
    before: Measured | None = field(repr=False)
    photograph: bytes | None = field(repr=False, default=None)

    def __repr__(self) -> str:
        return self.words

    @property
    def words(self) -> str:
        """The page without its picture, as plain text."""
        lines = [self.title]
        for section in self.sections:
            lines += ["", section.heading, *(f"  {line}" for line in section.lines)]
        return "\n".join(lines)

    @cached_property
    def picture(self) -> StillPicture:
        """The one picture on the page."""
        from hoofcalc.pictures.foot_then_and_now import foot_then_and_now  # loads matplotlib

        before = self.before
        return foot_then_and_now(
            self.now.profile,
            _said(self.now.day),
            None if before is None else before.profile,
            "" if before is None else _said(before.day),
        )

    @cached_property
    def html(self) -> str:
        """The whole page as one HTML file, with its picture in it."""
        letters = sum(len(line) for section in self.sections for line in section.lines)
        return page(
            "owner_page",
            title=self.title,
            sections=self.sections,
            picture=self.picture,
            data=base64.b64encode(self.picture.png).decode("ascii"),
            photograph=base64.b64encode(self.photograph or b"").decode("ascii"),
            photograph_alt=PHOTOGRAPH_ALT,
            print_pt=f"{min(_PRINT_PT, (_PRINT_AREA / letters) ** 0.5):.2f}",
        )

    @cached_property
    def pdf(self) -> bytes:
        """The whole page as a PDF file of one sheet of A4; the same page gives the same bytes.

        A CaseError if the words hold letters that cannot be written, or too many of them.
        """
        return page_as_pdf(self.title, self.sections, self.picture, self.now.day, self.photograph)


def owner_page(
    horse: str,
    foot: str,
    visits: Sequence[Measured],
    plan: Plan | None = None,
    *,
    invented: bool = False,
    left_out: Sequence[str] = (),
    measured_by: str = "",
    reached_by: str = "",
    other_feet: Sequence[str] = (),
    photograph: bytes | None = None,
) -> OwnerPage:
    """The page that explains one foot to its owner.

    Like is compared with like: a foot before its trim with earlier ones before their trims, one
    after its trim with earlier ones after theirs. Which change counts is decided among all
    measures of the foot together, as in `hoofcalc.reading.compare`.

    Parameters
    ----------
    horse, foot
        Whose foot, and which.
    visits
        What was measured, oldest first, of one day before the trim first; the last one is
        explained.
    plan
        What is planned; left out, the page says nothing of it.
    invented
        True says on the page that horse and figures are invented.
    left_out
        Earlier visits that could not be read, such as one that is not measured yet.
    measured_by, reached_by
        Who measured, and how the owner reaches them; empty for not said.
    other_feet
        Sentences on the other feet of the horse at this visit.
    photograph
        The photograph from the side as a JPEG file, where the owner may have it.

    Returns
    -------
    OwnerPage
        The page in words, as HTML and as PDF.

    Raises
    ------
    ValueError
        If there is no visit, the days do not rise, or the next visit is not after the last.
    CaseError
        If name or plan are too long for one page.
    """
    _check_visits(visits, plan)
    _check_room(plan, horse, measured_by, reached_by)
    now = visits[-1]
    alike = [visit for visit in visits[:-1] if visit.moment == now.moment]
    changed = _changed(now, alike, first=len(visits) == 1)
    if left_out:
        changed.append(f"Not compared, for it is not measured yet: {', '.join(left_out)}.")
    sections = [
        Section("What was measured", [*_by(measured_by, reached_by), *_measured(now)], "picture"),
        Section("What changed", changed),
    ]
    if other_feet:
        sections.append(Section("The feet side by side", other_feet))
    if plan is not None:
        sections.append(Section("What is planned", _planned(plan)))
    keep = [_WORDS, _SHAPE_ONLY, CAUTION, *([_INVENTED] if invented else [])]
    sections += [
        Section("When to call the vet", VET_SIGNS, "list"),
        Section("Please keep in mind", keep, "note"),
    ]
    return OwnerPage(
        title=f"{horse}, {foot}: measured on {_said(now.day)}",
        sections=sections,
        now=now,
        before=alike[-1] if alike else None,
        photograph=photograph,
    )


def _check_visits(visits: Sequence[Measured], plan: Plan | None) -> None:
    """A ValueError unless there are visits in their order, and the plan comes after them."""
    if not visits:
        raise ValueError("visits must hold at least one visit")
    order = [(visit.day, visit.moment == "after trim") for visit in visits]
    if any(later <= before for before, later in pairwise(order)):
        raise ValueError("visits must be in the order of their days, oldest first, each day once")
    now = visits[-1]
    if plan is not None and plan.next_visit <= now.day:
        raise ValueError(f"next_visit must be after the last visit ({_said(now.day)})")


def _check_room(plan: Plan | None, horse: str, measured_by: str, reached_by: str) -> None:
    """A CaseError if plan or names are too long for one page."""
    if plan is not None and len(plan.work) > LONGEST_WORK:
        raise CaseError(
            f"the plan is too long for one page: {len(plan.work)} letters, {LONGEST_WORK} fit"
        )
    names = {
        "the name of the horse": horse,
        "the name of who measured": measured_by,
        "how they are reached": reached_by,
    }
    for what, text in names.items():
        if len(text) > _LONGEST_NAME:
            raise CaseError(
                f"{what} is too long for the page: {len(text)} letters, {_LONGEST_NAME} fit"
            )


def save_page(written: OwnerPage, target: str | Path) -> Path:
    """Write the page to a new file; a file that is there already is never written over.

    Parameters
    ----------
    written
        The page.
    target
        Where to, such as "marrowfen.html" or "marrowfen.pdf".

    Returns
    -------
    Path
        Where it stands now.

    Raises
    ------
    FileExistsError
        If there is such a file already; it stays as it is.
    CaseError
        If it cannot be a PDF (see `OwnerPage.pdf`).
    """
    path = Path(target)
    content = written.pdf if path.suffix.lower() == ".pdf" else written.html.encode()
    try:
        with path.open("xb") as file:
            file.write(content)
    except FileExistsError:
        raise FileExistsError(
            f"{path} is there already and was left as it is: choose another name"
        ) from None
    return path


def _said(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def _weeks(days: int) -> str:
    return counted(round(days / 7), "week")


def _measured(visit: Measured) -> list[str]:
    """Both angles with their error."""
    lines = [
        f"Taken from a photograph from the side, {_trimmed(visit)}. Angles are counted from the "
        "ground: the smaller the number, the flatter."
    ]
    for end, name in _ENDS.items():
        angle, reach = visit.angle_deg(end), ERRORS_FOR_95 * visit.error_deg(end)
        lines.append(
            f"The {name} stands at {angle:.0f} degrees. Measuring is never exact: the true angle "
            f"is most likely between {angle - reach:.0f} and {angle + reach:.0f}."
        )
    return [*lines, visit.remark] if visit.remark else lines


def _by(measured_by: str, reached_by: str) -> list[str]:
    """Who measured, and how to reach them."""
    said = f"Measured by {measured_by}." if measured_by else ""
    said += f" For questions: {reached_by}." if reached_by else ""
    return [said.strip()] if said else []


def _trimmed(visit: Measured) -> str:
    """ "before the trim" or "after the trim"."""
    return visit.moment.replace(" trim", " the trim")


def _changed(now: Measured, alike: Sequence[Measured], *, first: bool) -> list[str]:
    """Now against the last like visit and the first, and what two photographs can show."""
    if first:
        return ["This is the first measurement. Changes can be told from the next visit on."]
    if not alike:
        return [
            f"This is the first measurement {_trimmed(now)}. A trim changes the angles, so it is "
            "not compared with the others. Changes can be told from the next visit on."
        ]
    lines = _against(alike[-1], now, "last time")
    if now.moment == "after trim":
        lines.insert(0, "All that is compared here was measured after the trim.")
    elif _unlike(alike[-1], now):
        lines.append(
            f"Beware: the hoof had grown for {_weeks(now.days_since or 0)} this time, for "
            f"{_weeks(alike[-1].days_since or 0)} last time. Growth and wear alone change the "
            "angles, so the two are not quite alike."
        )
    if len(alike) > 1:
        lines += _against(alike[0], now, "the first measurement")
    return lines


def _unlike(before: Measured, now: Measured) -> bool:
    """Whether the hoof is known to have grown for unlike times."""
    times = (before.days_since, now.days_since)
    return None not in times and abs((times[0] or 0) - (times[1] or 0)) > _ALIKE_DAYS


def _against(before: Measured, now: Measured, called: str) -> list[str]:
    both = {"before": before, "now": now}
    found = compare(
        {name: visit.profile for name, visit in both.items()},
        errors={
            name: {f"{end}_angle_deg": visit.error_deg(end) for end in _ENDS}
            for name, visit in both.items()
        },
    )
    lines = [before.remark] if before.remark and before.remark != now.remark else []
    for difference in found.differences:
        end = difference.measure.removesuffix("_angle_deg")
        if end not in _ENDS:
            continue
        digits = decimals_apart(abs(difference.value), difference.counts_from, 1)
        counts = (
            f"Measuring alone explains up to {difference.counts_from:.{digits}f}: very likely it "
            "has changed."
            if difference.exceeds
            else "So little can come from measuring alone: it may be no change at all."
        )
        change = _change(difference.value, digits)
        said = f"Since {called} ({_said(before.day)}) the {_ENDS[end]} reads {change}."
        lines.append(said if change == "the same" else f"{said} {counts}")
    return lines


def _change(change_deg: float, digits: int) -> str:
    """A change of an angle in words."""
    size = f"{abs(change_deg):.{digits}f}"
    if float(size) == 0:
        return "the same"
    return f"{size} degrees {'steeper' if change_deg > 0 else 'flatter'}"


def _planned(plan: Plan) -> list[str]:
    """What is done, the day, and what is expected with its band."""
    expected = " and ".join(
        f"the {end} between {low:.0f} and {high:.0f} degrees"
        for end, (low, _, high) in (("toe", plan.toe_deg), ("heel", plan.heel_deg))
    )
    return [
        plan.work,
        f"Next visit: {_said(plan.next_visit)}. We then expect {expected}. That is an estimate "
        "and not a promise; the next measurement will tell.",
    ]

"""One page for the owner of a horse: measured, changed, planned, and when to call the vet.

The page is for someone who has never seen this course. It says each angle with its error, a
change only together with what two photographs can show, and what is expected with its band. It
holds no diagnosis, no marks for good and bad, and loads nothing from elsewhere.
"""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from html import escape
from itertools import pairwise
from pathlib import Path

from hoofcalc._inputs import numbers
from hoofcalc.profile import Profile, error_of
from hoofcalc.reading import CAUTION, VET_SIGNS

__all__ = ["Measured", "OwnerPage", "Plan", "owner_page", "save_page"]

_ENDS = {"toe": "front of the hoof (toe)", "heel": "back of the hoof (heel)"}
#: Two intervals that differ by more than this many days are not alike [days].
_ALIKE_DAYS = 14
_STYLE = (
    "body{font:18px/1.5 sans-serif;color:#111;background:#fff;max-width:42rem;margin:1.5rem auto;"
    "padding:0 1rem}h1{font-size:1.5rem}h2{font-size:1.2rem;margin-top:1.6rem}img{max-width:100%;"
    "height:auto}table{border-collapse:collapse}td,th{border:1px solid #555;padding:.3rem .6rem;"
    "text-align:left}.note{border-left:4px solid #555;padding-left:.8rem}"
    "@media print{body{font-size:12px;margin:0}h2{margin-top:.8rem}img{max-width:9cm}}"
)


@dataclass(frozen=True, kw_only=True, eq=False)
class Measured:
    """One foot as measured at one visit.

    Parameters
    ----------
    day
        Day of the visit.
    profile
        The foot, before its trim.
    point_error_mm
        Standard deviation of each coordinate of a placed point [mm], above 0.
    days_since
        Days since the visit before; None if not known.
    """

    day: date
    profile: Profile
    point_error_mm: float
    days_since: int | None = None

    def __post_init__(self) -> None:
        numbers("point_error_mm", self.point_error_mm, above=0)
        if self.profile.shape:
            raise ValueError(f"profile must hold one foot (got shape {self.profile.shape})")

    def angle_deg(self, end: str) -> float:
        """Angle of "toe" or "heel" from the ground [degrees]."""
        return float(getattr(self.profile, f"{end}_angle_deg"))

    def error_deg(self, end: str) -> float:
        """Standard error of that angle [degrees]."""
        return float(error_of(self.profile, f"{end}_angle_deg", self.point_error_mm))


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


@dataclass(frozen=True, kw_only=True)
class OwnerPage:
    """A page for the owner; made by `owner_page`.

    Parameters
    ----------
    html
        The whole page, with its picture in it.
    words
        The same without the picture, as plain text.
    """

    html: str = field(repr=False)
    words: str

    def __repr__(self) -> str:
        return self.words


def owner_page(
    horse: str,
    foot: str,
    visits: Sequence[Measured],
    plan: Plan | None = None,
    *,
    invented: bool = False,
) -> OwnerPage:
    """The page that explains one foot to its owner.

    Parameters
    ----------
    horse, foot
        Whose foot, and which.
    visits
        What was measured, oldest first; the last one is explained. All before the trim, so that
        like is compared with like.
    plan
        What is planned; left out, the page says nothing of it.
    invented
        True says on the page that horse and figures are invented.

    Returns
    -------
    OwnerPage
        The page, as HTML and in words.

    Raises
    ------
    ValueError
        If there is no visit, the days do not rise, or the next visit is not after the last.
    """
    if not visits:
        raise ValueError("visits must hold at least one visit")
    days = [visit.day for visit in visits]
    if any(later <= day for day, later in pairwise(days)):
        raise ValueError("visits must be in the order of their days, oldest first, each day once")
    if plan is not None and plan.next_visit <= days[-1]:
        raise ValueError(f"next_visit must be after the last visit ({_said(days[-1])})")
    parts: list[tuple[str, list[str]]] = [
        ("What was measured", _measured(visits[-1])),
        ("What changed", _changed(visits)),
    ]
    if plan is not None:
        parts.append(("What is planned", _planned(plan)))
    title = f"{horse}, {foot}: measured on {_said(days[-1])}"
    keep = [
        "This page describes the shape of a foot. It does not say whether a horse is sound, and "
        "a shape alone is no illness.",
        CAUTION,
    ]
    signs = "When to call the vet"
    if invented:
        keep.append("Horse, foot and figures on this page are invented, for teaching.")
    words = [title]
    for heading, lines in (*parts, (signs, list(VET_SIGNS)), ("Please keep in mind", keep)):
        words += ["", heading, *(f"  {line}" for line in lines)]
    return OwnerPage(html=_html(title, parts, signs, keep, visits), words="\n".join(words))


def save_page(page: OwnerPage, target: str | Path) -> Path:
    """Write the page to a new file; a file that is there already is never written over.

    Parameters
    ----------
    page
        The page.
    target
        Where to, such as "marrowfen.html".

    Returns
    -------
    Path
        Where it stands now.

    Raises
    ------
    FileExistsError
        If there is such a file already; it stays as it is.
    """
    path = Path(target)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(page.html)
    except FileExistsError:
        raise FileExistsError(
            f"{path} is there already and was left as it is: choose another name"
        ) from None
    return path


def _said(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def _weeks(days: int) -> str:
    weeks = round(days / 7)
    return f"{weeks} week{'' if weeks == 1 else 's'}"


def _measured(visit: Measured) -> list[str]:
    """Both angles with their error."""
    lines = [
        "Taken from a photograph from the side, before the trim. Angles are counted from the "
        "ground: the smaller the number, the flatter."
    ]
    for end, name in _ENDS.items():
        angle, reach = visit.angle_deg(end), 2 * visit.error_deg(end)
        lines.append(
            f"The {name} stands at {angle:.0f} degrees. Measuring is never exact: the true angle "
            f"is most likely between {angle - reach:.0f} and {angle + reach:.0f}."
        )
    return lines


def _changed(visits: Sequence[Measured]) -> list[str]:
    """Now against the last visit and the first, and what two photographs can show."""
    now = visits[-1]
    if len(visits) == 1:
        return ["This is the first measurement. Changes can be told from the next visit on."]
    lines = _against(visits[-2], now, "last time")
    before = visits[-2]
    if (
        now.days_since is not None
        and before.days_since is not None
        and abs(now.days_since - before.days_since) > _ALIKE_DAYS
    ):
        lines.append(
            f"Beware: the hoof had grown for {_weeks(now.days_since)} this time, for "
            f"{_weeks(before.days_since)} last time. Growth and wear alone change the "
            "angles, so the two are not quite alike."
        )
    if len(visits) > 2:
        lines += _against(visits[0], now, "the first measurement")
    return lines


def _against(before: Measured, now: Measured, called: str) -> list[str]:
    lines = []
    for end, name in _ENDS.items():
        change = now.angle_deg(end) - before.angle_deg(end)
        shows = 2 * (now.error_deg(end) ** 2 + before.error_deg(end) ** 2) ** 0.5
        way = "steeper" if change > 0 else "flatter"
        counts = (
            "This is more than the error of measuring: very likely it has changed."
            if abs(change) > shows
            else "This is within the error of measuring: it may be no change at all."
        )
        lines.append(
            f"Since {called} ({_said(before.day)}) the {name} reads {abs(change):.1f} degrees "
            f"{way}; two photographs show a change from {shows:.1f} degrees on. {counts}"
        )
    return lines


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


def _html(
    title: str,
    parts: Sequence[tuple[str, Sequence[str]]],
    signs: str,
    keep: Sequence[str],
    visits: Sequence[Measured],
) -> str:
    """The page: headings, paragraphs, one picture, one list."""
    from hoofcalc.pictures.foot_then_and_now import foot_then_and_now  # here: it loads matplotlib

    now = visits[-1]
    before = visits[-2] if len(visits) > 1 else None
    picture = foot_then_and_now(
        now.profile,
        _said(now.day),
        None if before is None else before.profile,
        "" if before is None else _said(before.day),
    )
    data = base64.b64encode(picture.png).decode("ascii")
    image = (
        f'<p><img alt="{escape(picture.alt)}" width="{picture.width}" '
        f'src="data:image/png;base64,{data}"></p>'
    )
    body = [f"<h1>{escape(title)}</h1>"]
    for place, (heading, lines) in enumerate(parts):
        body.append(f"<h2>{escape(heading)}</h2>")
        body += [f"<p>{escape(line)}</p>" for line in lines]
        if place == 0:
            body.append(image)
    items = "".join(f"<li>{escape(sign)}</li>" for sign in VET_SIGNS)
    body.append(f"<h2>{escape(signs)}</h2><ul>{items}</ul><h2>Please keep in mind</h2>")
    body += [f'<p class="note">{escape(line)}</p>' for line in keep]
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        f'content="width=device-width, initial-scale=1"><title>{escape(title)}</title><style>'
        f"{_STYLE}</style></head><body>\n" + "\n".join(body) + "\n</body></html>\n"
    )

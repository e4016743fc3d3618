"""A visit beside another foot: another date, another case, or a foot of the invented yard."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from hoofcalc import datasets
from hoofcalc.case.case import open_case, read_visit, visit_names
from hoofcalc.case.measure import Measurement, compare_visits
from hoofcalc.case.records import Visit
from hoofcalc.case.several import compared
from hoofcalc.pictures.foot_then_and_now import foot_then_and_now
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile
from hoofcalc.reading import Comparison

#: As many letters of a foot's name stand in one line of the picture.
_LETTERS = 33
_FEET = (
    "Two feet differ for many reasons, size first. Each is laid on the other where the heel meets "
    "the ground."
)


class Compared(NamedTuple):
    """Two feet side by side: the numbers, both feet one over the other, and what to know."""

    both: Comparison
    picture: StillPicture
    lines: tuple[str, ...]


def against_visit(found: Measurement, other: Visit) -> Compared:
    """This visit against another one of the same foot.

    Parameters
    ----------
    found
        The visit, measured.
    other
        The other visit of the case.

    Returns
    -------
    Compared
        The later one against the earlier.
    """
    first, second = sorted((found.visit, other), key=lambda visit: visit.name)
    both, said = compare_visits(first, second)
    # compare_visits puts the sentences of the differences first; the table holds those
    lines = [line for line in said if not line.startswith("  ") and not line.endswith(":")]
    return _compared(found.visit, other, found.visit.name, other.name, both, lines)


def against_case(found: Measurement, folder: Path, visit: str = "") -> Compared:
    """This visit against a foot of another case.

    Parameters
    ----------
    found
        The visit, measured.
    folder
        The folder of the other case.
    visit
        Which visit there; the last one where left out.

    Returns
    -------
    Compared
        This foot against that one.

    Raises
    ------
    CaseError
        If there is no such case or visit, in words.
    """
    case = open_case(folder)
    names = visit_names(folder)
    other = read_visit(folder, visit or (names[-1] if names else "none"))
    called = f"{case.horse}, {case.foot}, {other.name}"
    lines = [_FEET]
    if other.moment != found.visit.moment:
        lines.append(
            f"Beware: this foot was measured {found.visit.moment}, the other {other.moment}."
        )
    if case.foot.split()[-1] != found.case.foot.split()[-1]:
        lines.append("Beware: one is a fore foot, the other a hind foot.")
    return _two_feet(found, other, called, lines)


def yard_feet() -> dict[str, str]:
    """The three story feet of the yard: what to call each, and which it is."""
    return {
        f"{story}: {foot.horse}, {foot.foot} (invented)": story
        for story, foot in datasets.story_feet().items()
    }


def against_yard(found: Measurement, story: str) -> Compared:
    """This visit against one of the yard's three story feet, which are invented.

    Parameters
    ----------
    found
        The visit, measured.
    story
        "in line", "run under" or "too upright".

    Returns
    -------
    Compared
        This foot against that one.
    """
    record = datasets.story_feet()[story]
    other = Visit(
        date=record.date,
        profile=Profile(**record.landmarks),
        moment=record.moment,
        point_error_mm=record.point_error_mm,
    )
    called = f"{record.horse}, {story} (invented)"
    lines = [_FEET, f"{record.horse} and its foot are invented (yard Brackenfold)."]
    return _two_feet(found, other, called, lines)


def _two_feet(found: Measurement, other: Visit, called: str, lines: list[str]) -> Compared:
    this = f"{found.case.horse}, {found.visit.name}"
    if this == called:
        called += " (the other)"
    both = compared({called: other, this: found.visit})
    askew = found.visit.askew or other.askew
    lines = [*lines, both.by_chance, *([askew] if askew else [])]
    return _compared(found.visit, other, this, called, both, lines)


def _compared(
    visit: Visit, other: Visit, this: str, called: str, both: Comparison, lines: list[str]
) -> Compared:
    real = len(both.real_differences)
    many = f"{real} of {len(both.differences)} measures {'differs' if real == 1 else 'differ'}"
    names = [
        name if len(name) <= _LETTERS else f"{name[: _LETTERS - 1]}…" for name in (this, called)
    ]
    picture = foot_then_and_now(visit.profile, names[0], other.profile, names[1])
    said = picture.caption.replace("its outline", "the outline of")
    picture = replace(picture, caption=said, alt=said)
    return Compared(both, picture, (f"{many} by more than the error.", *lines))

"""The owner's page of a case, from what is on file of its visits."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from hoofcalc.case.case import open_case, read_visit, visit_names
from hoofcalc.case.owner_page import Measured, OwnerPage, owner_page
from hoofcalc.case.plan import plan_for_page, read_plan
from hoofcalc.case.storage import CaseError, put

__all__ = ["page_of", "write_page"]


_FOR_THE_OWNER = (
    "The photograph was taken without the printed square, so a camera that was held a little askew "
    "could not be corrected; the errors given here allow for that."
)


def page_of(folder: Path, visit: str) -> OwnerPage:
    """The page that explains a visit, against those before it.

    Only visits of the same moment are held against each other: before the trim with before the
    trim, after it with after it.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        The visit to be explained.

    Returns
    -------
    OwnerPage
        The page, as HTML, as PDF and in words.

    Raises
    ------
    CaseError
        If a visit cannot be read, in words.
    """
    case = open_case(folder)
    names = visit_names(folder)
    if visit not in names:
        raise CaseError(f"there is no visit of {visit} (on file: {', '.join(names) or 'none'})")
    visits, left_out = [], []
    for name in names[: names.index(visit)]:
        try:
            visits.append(read_visit(folder, name))
        except CaseError:
            left_out.append(name)
    visits.append(read_visit(folder, visit))
    days = sorted({each.date for each in visits})
    gaps = {later: (later - before).days for before, later in pairwise(days)}
    measured = [
        Measured(
            day=each.date,
            profile=each.profile,
            point_error_mm=each.point_error_mm,
            errors=each.errors,
            moment=each.moment,
            remark=_FOR_THE_OWNER if each.askew else "",
            days_since=gaps.get(each.date),
        )
        for each in visits
    ]
    stored = read_plan(folder, visit)
    try:
        plan = None if stored is None else plan_for_page(measured[-1], stored)
    except CaseError as problem:
        raise CaseError(f"visits/{visit}/{problem}") from problem
    try:
        return owner_page(
            case.horse, case.foot, measured, plan, invented=case.invented, left_out=left_out
        )
    except ValueError as problem:
        raise CaseError(f"the page cannot be written: {problem}") from problem


def write_page(folder: Path, visit: str) -> list[Path]:
    """Write the page, HTML and PDF, into the folder pages; one that stood there is kept.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        The visit to be explained.

    Returns
    -------
    list of Path
        The files.

    Raises
    ------
    CaseError
        As `page_of`.
    """
    page = page_of(folder, visit)
    files = {f"pages/{visit}.html": page.html.encode(), f"pages/{visit}.pdf": page.pdf}
    for place, content in files.items():
        put(folder, place, content)
    return [folder / place for place in files]

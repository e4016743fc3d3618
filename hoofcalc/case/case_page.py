"""The owner's page of a case, from what is on file of its visits."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np

from hoofcalc.case.case import open_case, read_visit, visit_names
from hoofcalc.case.landmarks import LANDMARKS, read_picture
from hoofcalc.case.owner_page import Measured, OwnerPage, owner_page
from hoofcalc.case.photograph import Photograph, open_photograph
from hoofcalc.case.plan import plan_for_page, read_plan
from hoofcalc.case.several import angle_of, feet_at, feet_in_words, readable
from hoofcalc.case.storage import CaseError, files_of, put_all, said_in

#: So much of the foot's size is shown round it, on a picture so large.
_ROUND, _LONGEST_PX = 0.35, 760
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
    before = names[: names.index(visit)]
    earlier = readable({name: (folder, name) for name in before})
    left_out = [name for name in before if name not in earlier]
    visits = [*earlier.values(), read_visit(folder, visit)]
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
    with said_in(f"visits/{visit}/"):
        plan = None if stored is None else plan_for_page(measured[-1], stored)
    try:
        return owner_page(
            case.horse,
            case.foot,
            measured,
            plan,
            invented=case.invented,
            left_out=left_out,
            measured_by=case.measured_by or "",
            reached_by=case.reached_by or "",
            other_feet=_beside(folder, visit),
            photograph=_photograph(folder, visit) if visits[-1].photograph_on_page else None,
        )
    except ValueError as problem:
        raise CaseError(f"the page cannot be written: {problem}") from problem


def _beside(folder: Path, visit: str) -> list[str]:
    """The feet of the horse at this visit, where there is more than one."""
    feet = feet_at(folder, visit)
    if len(feet) < 2:
        return []
    angles = []
    for name, each in feet.items():
        ends = [f"{end} {angle_of(each, end)[0]:.0f}" for end in ("toe", "heel")]
        angles.append(f"{name} {', '.join(ends)}")
    return [f"In degrees: {'; '.join(angles)}.", *feet_in_words(feet)]


def _photograph(folder: Path, visit: str) -> bytes | None:
    """The foot cut out of the photograph from the side; None where there is none."""
    placed = read_picture(folder, visit, "side")
    if placed is None:
        return None
    photograph = open_photograph(files_of(folder, "pictures", visit) / placed.file)
    foot = np.array([at for name, at in placed.mean_px().items() if name in LANDMARKS])
    room = _ROUND * float(np.ptp(foot, axis=0).max())
    size = np.array([photograph.width_px, photograph.height_px])
    left, top = np.maximum(foot.min(axis=0) - room, 0).astype(int).tolist()
    right, bottom = np.minimum(foot.max(axis=0) + room, size).astype(int).tolist()
    cut = np.ascontiguousarray(photograph.pixels[top:bottom, left:right])
    return Photograph(pixels=cut, kind=photograph.kind).shown(_LONGEST_PX)


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
    put_all(folder, files)
    return [folder / place for place in files]

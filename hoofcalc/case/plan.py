"""What is planned for a foot: kept as text, and what angles are expected at the next visit."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

from hoofcalc._inputs import FloatArray
from hoofcalc.case.owner_page import LONGEST_WORK, Measured, Plan
from hoofcalc.case.storage import (
    CaseError,
    as_toml,
    fields_of,
    kept,
    put_all,
    read_fields,
    read_text,
    said_in,
)
from hoofcalc.forecast import expected


@dataclass(frozen=True, kw_only=True)
class StoredPlan:
    """What is planned, as in plan.toml; each field says itself what it is."""

    work: str = kept(
        f"What is done to the foot and why, for the owner to read; at most {LONGEST_WORK} letters.",
        "The heel is lowered a little at each visit, so that the foot stands on it further back.",
    )
    next_visit: date = kept("Day of the next visit.", date(2026, 5, 19))
    toe_taken_mm: float = kept(
        "Height taken off the toe at the ground, after measuring; 0 if none.",
        2.0,
        between=(0, 60),
        default=0.0,
    )
    heel_down_mm: float = kept(
        "Height taken off the heel at the ground, after measuring; 0 if none.",
        3.0,
        between=(0, 60),
        default=0.0,
    )
    shod: bool = kept("true if the foot is shod until the next visit.", False, default=False)


#: More than this at once is worth a word [mm].
MUCH_MM = 12.0
#: No more than this part of the height at toe or heel is ever taken.
_MOST_PART = 1 / 3
PLAN_FIELDS = fields_of(StoredPlan)


def read_plan(folder: Path, visit: str) -> StoredPlan | None:
    """The plan that was made at a visit.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit's folder.

    Returns
    -------
    StoredPlan or None
        The plan; None if there is none on file.

    Raises
    ------
    CaseError
        If plan.toml cannot be read, or a value cannot be, with line and field.
    """
    called = f"visits/{visit}/plan.toml"
    if not (folder / called).exists():
        return None
    return _checked(read_text(folder / called, called), visit)


def save_plan(folder: Path, visit: str, plan: StoredPlan) -> list[str]:
    """Keep the plan of a visit; one that is replaced is kept in the folder ``kept``.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit's folder, which must be there.
    plan
        What is planned. Breaks of lines in its words become blanks.

    Returns
    -------
    list of str
        The file that was written, relative to the case; empty if nothing changed.

    Raises
    ------
    CaseError
        If the visit is not there or a value cannot be; nothing is written then.
    """
    if not (folder / "visits" / visit).is_dir():
        raise CaseError(f"there is no visit of {visit} in this case, so no plan can be kept for it")
    called = f"visits/{visit}/plan.toml"
    values = {**asdict(plan), "work": " ".join(plan.work.split())}
    heading = f"What was planned at the visit of {visit}."
    with said_in("the plan, "):
        text = as_toml(values, PLAN_FIELDS, heading)
    _checked(text.decode(), visit)
    return put_all(folder, {called: text})


def much_at_once(toe_mm: float, heel_mm: float) -> str:
    """A sentence where a plan takes off more than is usual at once; empty where it does not.

    Common practice, no source: a hoof grows 6 to 12 mm between two visits.
    """
    most = max(toe_mm, heel_mm)
    if most <= MUCH_MM:
        return ""
    return (
        f"{most:g} mm is more than a hoof grows between two visits. Is it millimetres, and meant? "
        "Change a foot in small steps."
    )


def _checked(text: str, visit: str) -> StoredPlan:
    """The plan in a text, or a CaseError that names line and field."""
    called = f"visits/{visit}/plan.toml"
    plan = StoredPlan(**read_fields(text, called, PLAN_FIELDS))
    if len(plan.work) > LONGEST_WORK:
        raise CaseError(
            f"{called}, field work: is too long for the owner's page: {len(plan.work)} letters, "
            f"{LONGEST_WORK} fit"
        )
    if str(plan.next_visit) <= visit[:10]:
        raise CaseError(
            f"{called}, field next_visit: must be a day after the visit of {visit[:10]} (got "
            f"{plan.next_visit})"
        )
    return plan


def plan_for_page(visit: Measured, stored: StoredPlan) -> Plan:
    """The plan as the owner's page says it, with the angles expected at the next visit.

    For what is assumed see `expected`. The band begins with the error of measuring at this visit.

    Parameters
    ----------
    visit
        The foot as measured, with its errors.
    stored
        What is planned.

    Returns
    -------
    Plan
        Words, day, and the two bands.

    Raises
    ------
    CaseError
        If the foot was measured after its trim and is to be trimmed once more, or no angle can be
        worked out, in words.
    """
    days = (stored.next_visit - visit.day).days
    taken = max(stored.toe_taken_mm, stored.heel_down_mm)
    if visit.moment == "after trim" and taken > 0:
        raise CaseError(
            "plan.toml, fields toe_taken_mm and heel_down_mm: must be 0, because the foot was "
            "measured after its trim"
        )
    for end, off in (("toe", stored.toe_taken_mm), ("heel", stored.heel_down_mm)):
        high = float(getattr(visit.profile, f"{end}_height_mm"))
        if off > high * _MOST_PART:
            raise CaseError(
                f"plan.toml: {off:g} mm off the {end} leaves no foot: the {end} is {high:.0f} mm "
                "high. Is it meant in millimetres?"
            )
    try:
        coming = expected(
            visit.profile,
            {end: visit.error_deg(end) for end in ("toe", "heel")},
            [days],
            heel_down_mm=stored.heel_down_mm,
            toe_down_mm=stored.toe_taken_mm,
            shod=stored.shod,
        )
    except ValueError as problem:
        why = str(problem).replace("toe_down_mm", "toe_taken_mm")
        raise CaseError(
            f"plan.toml: no angles can be worked out for {stored.next_visit}: {why}"
        ) from problem
    return Plan(
        work=stored.work,
        next_visit=stored.next_visit,
        toe_deg=_band(coming.toe_deg[0]),
        heel_deg=_band(coming.heel_deg[0]),
    )


def _band(ends_deg: FloatArray) -> tuple[float, float, float]:
    low, middle, high = (max(float(end), 0.0) for end in ends_deg)
    return low, middle, high

"""What is planned for a foot: kept as text, and what angles are expected at the next visit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray, numbers
from hoofcalc.cycle import (
    CREEP_DEG_PER_DAY_MPA,
    CREEP_FACTOR,
    FLOOR_DEG,
    GROWTH_MM_DAY,
    GROWTH_SD_MM_DAY,
    HeelLaw,
    drift,
    grow,
    trim,
)
from hoofcalc.profile import Profile
from hoofcalc.records.keeping import (
    VERSION,
    CaseError,
    Field,
    as_toml,
    put,
    read_fields,
    read_text,
)
from hoofcalc.records.owner_page import LONGEST_WORK, Measured, Plan

__all__ = [
    "PLAN_FIELDS",
    "Expected",
    "StoredPlan",
    "expected",
    "plan_for_page",
    "read_plan",
    "save_plan",
]

PLAN_FIELDS = (
    Field("version", "number", "Version of these files.", VERSION, True, VERSION, VERSION),
    Field(
        "work",
        "text",
        f"What is done to the foot and why, for the owner to read; at most {LONGEST_WORK} letters.",
        "The heel is lowered a little at each visit, so that the foot stands on it further back.",
        True,
    ),
    Field("next_visit", "day", "Day of the next visit.", date(2026, 5, 19), True),
    Field(
        "toe_taken_mm",
        "number",
        "Height taken off the toe at the ground, after measuring; 0 if none.",
        2.0,
        True,
        0,
        60,
    ),
    Field(
        "heel_down_mm",
        "number",
        "Height taken off the heel at the ground, after measuring; 0 if none.",
        3.0,
        True,
        0,
        60,
    ),
    Field("shod", "yes or no", "true if the foot is shod until the next visit.", False, True),
)

#: Wear along the wall at toe and heel [mm a day], unshod and shod. A choice of ours.
_WEAR_MM_DAY = {False: (0.13, 0.10), True: (0.0, 0.08)}
#: The lower edge of the band is not followed any further than a heel drifted to this angle [deg].
_LOST_DEG = 14.0


@dataclass(frozen=True, kw_only=True)
class StoredPlan:
    """What is planned; the fields are those of `PLAN_FIELDS`.

    Parameters
    ----------
    work
        What is done to the foot and why, in plain words.
    next_visit
        Day of the next visit.
    toe_taken_mm, heel_down_mm
        Height taken off toe and heel at the ground, after measuring [mm].
    shod
        Whether the foot is shod until the next visit.
    """

    work: str
    next_visit: date
    toe_taken_mm: float = 0.0
    heel_down_mm: float = 0.0
    shod: bool = False


@dataclass(frozen=True, kw_only=True, eq=False)
class Expected:
    """The angles of a foot in the days to come; made by `expected`.

    Parameters
    ----------
    toe_deg, heel_deg
        Low end, middle and high end of the band [degrees], shape (days, 3).
    """

    toe_deg: FloatArray
    heel_deg: FloatArray


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
    values = {**asdict(plan), "version": VERSION, "work": " ".join(plan.work.split())}
    heading = f"What was planned at the visit of {visit}."
    try:
        text = as_toml(values, PLAN_FIELDS, heading)
    except CaseError as problem:
        raise CaseError(f"the plan, {problem}") from problem
    _checked(text.decode(), visit)
    return [called] if put(folder, called, text) else []


def _checked(text: str, visit: str) -> StoredPlan:
    """The plan in a text, or a CaseError that names line and field."""
    called = f"visits/{visit}/plan.toml"
    values = read_fields(text, called, PLAN_FIELDS)
    del values["version"]
    plan = StoredPlan(**values)
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
        If the next visit is not after this one, the foot was measured after its trim and is to
        be trimmed once more, or no angle can be worked out, in words.
    """
    days = (stored.next_visit - visit.day).days
    if days <= 0:
        raise CaseError(
            f"plan.toml, field next_visit: must be a day after the visit of {visit.day} (got "
            f"{stored.next_visit})"
        )
    taken = max(stored.toe_taken_mm, stored.heel_down_mm)
    if visit.moment == "after trim" and taken > 0:
        raise CaseError(
            "plan.toml, fields toe_taken_mm and heel_down_mm: must be 0, because the foot was "
            "measured after its trim"
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


def expected(
    profile: Profile,
    error_deg: Mapping[str, float],
    days: ArrayLike,
    *,
    heel_down_mm: float = 0.0,
    toe_down_mm: float = 0.0,
    toe_back_mm: float = 0.0,
    shod: bool,
) -> Expected:
    """How a foot will stand some days after its trim, each angle with a band.

    Trim, growth and wear are geometry (`hoofcalc.cycle.trim`, `hoofcalc.cycle.grow`); on top
    comes the drift of the heel (`hoofcalc.cycle.drift`). Assumed: the wall grows 0.25 mm a day
    at toe and heel alike; unshod it wears 0.13 mm a day at the toe and 0.10 at the heel, shod
    0 and 0.08, a choice of ours; new horn at the heel grows as steep as the heel stands; the
    model's creep is an illustration. The band holds three parts, put together by the root of
    the sum of their squares: twice the error of measuring, growth faster by two standard
    deviations, and creep faster or slower by its factor of two. It does not hold what the model
    leaves out: shoes other than flat ones, a lost shoe, another ground, illness, another hand.

    Parameters
    ----------
    profile
        One foot as measured before the trim [mm].
    error_deg
        Standard error of its angles, by "toe" and "heel" [degrees].
    days
        Time from the trim, one or several [days], 0 to 1,000.
    heel_down_mm, toe_down_mm, toe_back_mm
        What the trim takes off, as in `hoofcalc.cycle.trim` [mm].
    shod
        Whether the foot is shod.

    Returns
    -------
    Expected
        The bands.

    Raises
    ------
    ValueError
        If the trim takes off more than there is, or the heel is too steep or too flat to follow.
    """
    toe_wear, heel_wear = _WEAR_MM_DAY[shod]
    times = np.atleast_1d(numbers("days", days, at_least=0, at_most=1000))[:, None]
    foot = trim(
        profile, heel_down_mm=heel_down_mm, toe_down_mm=toe_down_mm, toe_back_mm=toe_back_mm
    )
    heel = float(foot.heel_angle_deg)
    if not FLOOR_DEG < heel < 90.0:
        raise ValueError(
            f"a heel that stands at {heel:.0f} degrees cannot be followed; it must stand at more "
            f"than {FLOOR_DEG:g} and less than 90"
        )
    creep = CREEP_DEG_PER_DAY_MPA * np.array([1.0, CREEP_FACTOR, 1.0 / CREEP_FACTOR])
    law = HeelLaw(heel, wear_mm_day=heel_wear, creep_deg_per_day_mpa=creep)
    drifted = np.asarray(drift(heel, foot.heel_length_mm, times, law).heel_angle_deg)
    turn = np.maximum(drifted, min(_LOST_DEG, heel)) - heel

    def grown(growth_mm_day: float, turn_deg: FloatArray | float) -> Profile:
        return grow(
            foot,
            times,
            toe_growth_mm_day=growth_mm_day,
            heel_growth_mm_day=growth_mm_day,
            toe_wear_mm_day=toe_wear,
            heel_wear_mm_day=heel_wear,
            heel_drift_deg=turn_deg,
        )

    moved = grown(GROWTH_MM_DAY, turn)
    plain = grown(GROWTH_MM_DAY, 0.0)
    more = grown(GROWTH_MM_DAY + 2 * GROWTH_SD_MM_DAY, 0.0)
    bands: dict[str, Any] = {}
    for end in ("toe", "heel"):
        name = f"{end}_angle_deg"
        middle, strong, weak = np.asarray(getattr(moved, name)).T
        by_growth = (np.asarray(getattr(more, name)) - np.asarray(getattr(plain, name)))[:, 0]
        rest = (2.0 * error_deg[end]) ** 2 + by_growth**2
        low = middle - np.sqrt((middle - strong) ** 2 + rest)
        high = middle + np.sqrt((weak - middle) ** 2 + rest)
        bands[f"{end}_deg"] = np.column_stack([low, middle, high])
    return Expected(**bands)

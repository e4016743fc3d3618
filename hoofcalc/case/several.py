"""Feet of one horse side by side, and one foot over all its visits: numbers and words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc.case.case import read_visit, visit_names
from hoofcalc.case.feet import feet_of
from hoofcalc.case.records import Visit
from hoofcalc.case.storage import CaseError
from hoofcalc.profile import error_of
from hoofcalc.reading import POPULATION, Comparison, Difference, compare

_ENDS = ("toe", "heel")
_PAIRS = (
    ("left fore", "right fore"),
    ("left hind", "right hind"),
    ("left fore", "left hind"),
    ("right fore", "right hind"),
)


def angle_of(visit: Visit, end: str) -> tuple[float, float, float]:
    """Angle of "toe" or "heel", and the ends between which it lies 19 times in 20 [degrees]."""
    name = f"{end}_angle_deg"
    value = float(getattr(visit.profile, name))
    error = (visit.errors or {}).get(name)
    if error is None:
        error = float(error_of(visit.profile, name, visit.point_error_mm))
    return value, value - ERRORS_FOR_95 * error, value + ERRORS_FOR_95 * error


def readable(visits: Mapping[str, tuple[Path, str]]) -> dict[str, Visit]:
    """Those visits that can be read, each told by its folder and its name."""
    found = {}
    for key, (folder, name) in visits.items():
        with suppress(CaseError):
            found[key] = read_visit(folder, name)
    return found


def feet_at(folder: Path, visit: str) -> dict[str, Visit]:
    """The feet of the horse that were measured at a visit, by name.

    Parameters
    ----------
    folder
        The folder of the case, or of one of its feet.
    visit
        Name of the visit.

    Returns
    -------
    dict
        In the order of `hoofcalc.case.records.FEET`; a foot that cannot be read is left out.
    """
    return readable({foot: (place, visit) for foot, place in feet_of(folder).items()})


def compared(visits: Mapping[Any, Visit]) -> Comparison:
    """Feet by name, or visits by name or day, against the first of them, each with its errors."""
    return compare(
        {name: visit.profile for name, visit in visits.items()},
        {name: visit.point_error_mm for name, visit in visits.items()},
        scale_sd={name: visit.scale_error_percent / 100 for name, visit in visits.items()},
        errors={
            name: {key: each for key, each in visit.errors.items() if key != "side_difference_mm"}
            for name, visit in visits.items()
            if visit.errors is not None
        },
    )


def _of_ends(found: Comparison) -> list[tuple[str, Difference]]:
    """The difference at the toe and that at the heel."""
    by_measure = {each.measure: each for each in found.differences}
    return [(end, by_measure[f"{end}_angle_deg"]) for end in _ENDS]


def feet_in_words(feet: Mapping[str, Visit]) -> list[str]:
    """Left against right and fore against hind, a sentence for each pair that is there.

    Parameters
    ----------
    feet
        As from `feet_at`.

    Returns
    -------
    list of str
        Empty for one foot.
    """
    lines = []
    for one, other in _PAIRS:
        if one not in feet or other not in feet:
            continue
        both = compared({one: feet[one], other: feet[other]})
        real, may = [], []
        for end, each in _of_ends(both):
            size = f"{abs(each.value):.1f} degrees {'steeper' if each.value > 0 else 'flatter'}"
            if each.exceeds:
                real.append(f"its {end} is {size}")
            else:
                may.append(end)
        said = f"{other} against {one}: ".capitalize()
        said += f"{' and '.join(real)}. " if real else ""
        if may:
            ends = " and ".join(may)
            what = "differ by no more" if len(may) > 1 else "differs by no more"
            said += f"{ends if not real else ends.capitalize()} {what} than measuring can err."
        lines.append(said.strip())
    if any("hind" in line and "fore" in line for line in lines):
        fore, hind = (POPULATION["heel_angle_deg", limb][0] for limb in ("fore", "hind"))
        lines.append(
            f"On average a hind heel is {fore - hind:.0f} degrees flatter than a fore heel."
        )
    return lines


def over_visits(folder: Path) -> list[Visit]:
    """All visits of a foot that can be read, oldest first."""
    return [*readable({name: (folder, name) for name in visit_names(folder)}).values()]


def visits_in_words(visits: Sequence[Visit]) -> list[str]:
    """A line for each visit, and what has changed between like ones.

    Parameters
    ----------
    visits
        As from `over_visits`.

    Returns
    -------
    list of str
        A table in plain text, and sentences under it.
    """
    lines = [f"{'visit':<24}{'toe (19 times in 20)':<28}heel (19 times in 20)"]
    for visit in visits:
        ends = "".join(
            f"{f'{value:.1f} ({low:.1f} to {high:.1f})':<28}"
            for value, low, high in (angle_of(visit, end) for end in _ENDS)
        )
        lines.append(f"{visit.date} {visit.moment:<13}{ends}".rstrip())
    for moment in ("before trim", "after trim"):
        alike = [visit for visit in visits if visit.moment == moment]
        if len(alike) > 1:
            lines.append(_from_first_to_last(alike[0], alike[-1], len(alike)))
    return lines


def _from_first_to_last(first: Visit, last: Visit, many: int) -> str:
    said = []
    for end, each in _of_ends(compared({"first": first, "last": last})):
        size = f"{abs(each.value):.1f} {'steeper' if each.value > 0 else 'flatter'}"
        size = "the same" if size.startswith("0.0") else size
        sure = ", more than measuring can err" if each.exceeds else ", perhaps no change"
        said.append(f"{end} {size}{'' if size == 'the same' else sure}")
    moment = first.moment.replace(" ", " the ")
    return (
        f"Measured {moment}, {many} visits, {first.date} to {last.date}, in degrees: "
        f"{'; '.join(said)}."
    )

"""What a visit tells first: its shape, what changed, and how hard the heels work."""

from __future__ import annotations

from hoofcalc import datasets
from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._counted import decimals_apart
from hoofcalc.case.measure import Measurement, capsule_of, compare_visits, heel_against
from hoofcalc.case.records import Visit
from hoofcalc.case.storage import CaseError
from hoofcalc.reading import POPULATION, percentile

_STORY = datasets.story_feet()["in line"]
#: The foot that others are held against.
REFERENCE = f"{_STORY.horse}'s {_STORY.foot}"

Finding = tuple[str, str, str]
Findings = tuple[Finding, Finding, Finding]


def three_findings(found: Measurement, earlier: Visit | None) -> Findings:
    """What stands beside the picture: for each finding its name, its number, and what it means.

    Parameters
    ----------
    found
        The visit, measured.
    earlier
        The last visit before it, at the same moment of the trim; None where there is none.

    Returns
    -------
    tuple
        Shape, change, and how hard the heels work.
    """
    return _shape(found), _change(found, earlier), _work(found)


def _shape(found: Measurement) -> Finding:
    limb = found.case.foot.split()[-1]
    (toe, heel), gap = (_end(found, end) for end in ("toe", "heel")), found.values["angle_gap_deg"]
    usual = POPULATION["toe_angle_deg", limb][0] - POPULATION["heel_angle_deg", limb][0]
    flatter = percentile("heel_angle_deg", found.values["heel_angle_deg"], limb)
    return (
        "Shape",
        f"Toe {toe}, heel {heel}.",
        f"The heel lies {abs(gap):.0f} degrees {'flatter' if gap >= 0 else 'steeper'} than the "
        f"toe; on the average {limb} foot it is {usual:.0f} flatter. Of a hundred such feet, "
        f"{_hundred(flatter)} a flatter heel.",
    )


def _end(found: Measurement, end: str) -> str:
    """An angle and the ends between which it lies 19 times in 20."""
    value, error = (kind[f"{end}_angle_deg"] for kind in (found.values, found.errors))
    reach = ERRORS_FOR_95 * error
    return f"{value:.1f}° ({value - reach:.1f} to {value + reach:.1f})"


def _hundred(percent: float) -> str:
    if percent < 1:
        return "fewer than one has"
    if percent > 99:
        return "more than 99 have"
    return "one has" if round(percent) == 1 else f"{percent:.0f} have"


def _change(found: Measurement, earlier: Visit | None) -> Finding:
    if earlier is None:
        return (
            "Change",
            "Nothing to compare yet.",
            f"There is no earlier visit measured {found.visit.moment.replace(' ', ' the ')}.",
        )
    both, _ = compare_visits(earlier, found.visit)
    (heel,) = (each for each in both.differences if each.measure == "heel_angle_deg")
    size, least = abs(heel.value), heel.counts_from
    digits = decimals_apart(size, least, 1)
    way = "steeper" if heel.value > 0 else "flatter"
    number = f"Heel {size:.{digits}f}° {way} than on {earlier.date.day} {earlier.date:%B %Y}."
    means = "So little can come from measuring alone. It may be no change."
    if heel.exceeds:
        means = f"Measuring alone explains up to {least:.{digits}f}. So it has changed."
    return "Change", number, means


def _work(found: Measurement) -> Finding:
    load = found.load
    try:
        against = heel_against(capsule_of(found.visit)) if load is None else load.heel_against
    except CaseError:
        return "Work of the heels", "Not told.", _NO_FOOT
    means = "It may work no harder at all."
    if float(against.low) > 1 or float(against.high) < 1:
        way = "Harder" if float(against.low) > 1 else "Less hard"
        means = f"{way}: that much is safe, how much is not."
    return (
        "Work of the heels",
        f"{against.ratio:.1f} times as hard as in the reference foot "
        f"({against.low:.1f} to {against.high:.1f}).",
        f"{means} {_HELD}",
    )


_NO_FOOT = (
    "The views do not make a foot together. Does the known length fit in each, and do the points "
    "of the bearing edge go evenly round?"
)
_HELD = (
    f"Both under the same push. The reference is {REFERENCE} (invented): a heel almost as steep as "
    "the toe."
)

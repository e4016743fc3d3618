"""What a foot's measures mean: findings with their rule, error and probability.

`read_foot` holds one foot against the rules of the trade and the published
populations; `compare` puts several feet, or one foot at several dates, side by side.

A finding says which rule is met, where the rule comes from, and how probable it is
that the true foot meets it, given how well the points were set. A probability of
that kind says nothing about health: it asks "is this foot really five degrees
apart?", not "is this foot ill?". Nothing here is a diagnosis. Signs that belong to
a veterinary surgeon are listed in `VET_SIGNS` and never scored.

Of a poor reading that is far from the usual, part is likely error. So where a mean
and a spread of feet are published, the probability weighs the reading against them
(`POPULATION`): little where the error is small, much where it is large. For the gap
they follow from those of toe and heel, taken as independent; no correlation is
published. For the other measures nothing is published, and their probability is
true only while the error is small beside the differences between feet.

`compare` looks at several measures at once, so it asks more of each: an unchanged
foot shows any difference in at most one of twenty comparisons. `HowSure` is the form
in which a value goes with its interval, what that covers and what it leaves out.

Assumptions: the errors of the landmarks are independent and normal, scale adds a
part of every length, and the camera was square to the foot. Where the landmarks
share errors, as those of scale and level in one photograph, give the errors of the
measures as worked out there. Rules that rest on lengths need a true scale.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist
from typing import Any

import numpy as np

from hoofcalc._counted import decimals_apart
from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import choice, numbers
from hoofcalc.profile import EVERY_MEASURE, MEASURES, Profile, error_of

__all__ = [
    "CAUTION",
    "NO_SOURCE",
    "POPULATION",
    "POPULATION_SOURCE",
    "VET_SIGNS",
    "Comparison",
    "Difference",
    "Finding",
    "HowSure",
    "Reading",
    "compare",
    "long_toe_mm",
    "percentile",
    "read_foot",
]

#: Said on everything that leaves the program.
CAUTION = (
    "A teaching model, not a diagnosis: it compares shapes under stated assumptions and does "
    "not predict injury. Only people qualified under local law should trim or shoe; change a "
    "foot in small steps."
)

#: Signs that belong to a veterinary surgeon, whatever the measures say. Never scored.
VET_SIGNS = (
    "Lameness that is sudden, severe or does not pass.",
    "Heat in the foot, or a strong pulse above it.",
    "Unwilling to move, or lying down more than usual.",
    "A nail, a puncture or any wound of the sole or frog.",
    "Bleeding, pus, or swelling of foot or leg.",
    "A crack that reaches the coronary band.",
    "Laminitis known or suspected.",
    "A foot that has changed suddenly.",
    "No better, or worse, after a trim.",
)

NO_SOURCE = "common practice, no source"

#: Mean and standard deviation of angles [deg] in a published population, by limb.
POPULATION: Mapping[tuple[str, str], tuple[float, float]] = {
    ("toe_angle_deg", "fore"): (51.8, 3.9),
    ("toe_angle_deg", "hind"): (50.9, 3.7),
    ("heel_angle_deg", "fore"): (40.1, 9.3),
    ("heel_angle_deg", "hind"): (36.4, 9.6),
}
POPULATION_SOURCE = (
    "An investigation of the shape of the lateral aspect of the hoof capsule in hindlimbs, "
    "cross-sectional study, 225 horses of mixed breeds, shod and unshod (read)"
)

_TURNER = (
    "Turner T.A., Objective Assessment Hoof Balance (no year, read); first said, from memory, in "
    "AAEP Proceedings 38 (1992) 389-395 or Vet. Clin. N. Am. Equine Pract. 8 (1992)"
)
_TOE_LENGTHS = (
    "Balch O., White K., Butler D. 1991, and Turner T.A. 1992: rule of thumb by weight "
    "(from memory)"
)
_LIMBS = ("fore", "hind")
_COVERS = "placing the points, and for a length the scale of the photograph"
_LEAVES_OUT = (
    "how the camera stood, how the foot stood, and whether the points mean the same to all"
)
#: How often an unchanged foot may show any difference.
_BY_CHANCE = 0.05
#: Measures whose errors may be given.
_WITH_ERROR = (*EVERY_MEASURE, "side_difference_mm")
#: Ends of the weight bands [kg] and the toe length [mm] that the rule gives each.
_TOE_KG = (360.0, 400.0, 430.0, 480.0, 525.0, 575.0)
_TOE_MM = (76.0, 76.0, 82.5, 82.5, 89.0, 89.0)


def percentile(measure: str, value: float, limb: str = "fore") -> float:
    """Where a value stands in the published population, in per cent from the low end.

    Takes the population as normal with the published mean and standard deviation. The
    mean of a population is not an ideal.

    Equation: 100 Phi((value - mean) / spread), with Phi the normal distribution.

    Parameters
    ----------
    measure : str
        "toe_angle_deg" or "heel_angle_deg".
    value : float
        The angle [deg].
    limb : str
        "fore" or "hind".

    Returns
    -------
    float
        Per cent of the population below the value [%], 0 to 100.

    Raises
    ------
    ValueError
        If no mean and spread are published for `measure`, `limb` is neither "fore" nor
        "hind", or `value` is no finite number.

    References
    ----------
    "An investigation of the shape of the lateral aspect of the hoof capsule in hindlimbs",
    cross-sectional study of 225 horses (read).

    Examples
    --------
    >>> percentile("toe_angle_deg", 51.8), percentile("heel_angle_deg", 30.8)
    (50.0, 15.9)
    """
    choice("limb", limb, _LIMBS)
    choice("measure", measure, tuple(sorted({name for name, _ in POPULATION})))
    mean, spread = POPULATION[measure, limb]
    return 100.0 * NormalDist(mean, spread).cdf(float(numbers("value", value)))


def long_toe_mm(weight_kg: float) -> float:
    """The toe length that a rule of thumb gives a horse of some weight.

    The rule names three bands of weight; between them the length is drawn in a straight
    line, outside them it says nothing.

    Equation: length = 76, 82.5, 89 mm in the rule's three bands, linear between them.

    Parameters
    ----------
    weight_kg : float
        Weight of the horse [kg], 360 to 575.

    Returns
    -------
    float
        Length of the toe wall [mm].

    Raises
    ------
    ValueError
        If `weight_kg` is outside 360 to 575, the rule's bands.

    References
    ----------
    Balch O., White K., Butler D. 1991; Turner T.A. 1992: 7.6 cm at 360-400 kg, 8.25 cm at
    430-480 kg, 8.9 cm at 525-575 kg (from memory).

    Examples
    --------
    >>> long_toe_mm(450), long_toe_mm(415)
    (82.5, 79.25)
    """
    weight = float(numbers("weight_kg", weight_kg, at_least=_TOE_KG[0], at_most=_TOE_KG[-1]))
    return float(np.interp(weight, _TOE_KG, _TOE_MM))


@dataclass(frozen=True)
class Finding:
    """One rule held against one foot.

    Parameters
    ----------
    name : str
        What the finding is called.
    rule : str
        The rule in words.
    source : str
        Where the rule comes from, or "common practice, no source".
    value : float
        The measure that the rule asks for, in `unit`.
    unit : str
        Its unit.
    error : float or None
        Standard deviation of the value from the error of the points; None if not known.
    met : bool
        Whether the measured value meets the rule.
    probability : float or None
        How probable it is that the true value meets the rule, the published spread of feet
        counted in where there is one [no unit]; None without an error.
    percentile : float or None
        Per cent of the published population below the value [%]; None where no mean and
        spread are published.
    sentence : str
        The finding in a plain sentence.

    References
    ----------
    Definition.

    Examples
    --------
    >>> read_foot(Profile.from_measures(52, 40, 85, 35, 110)).findings[0].name
    'in line'
    """

    name: str
    rule: str
    source: str
    value: float
    unit: str
    error: float | None
    met: bool
    probability: float | None
    percentile: float | None
    sentence: str

    @property
    def how_sure(self) -> HowSure | None:
        """The value with its 95 % interval [`unit`]; None where its error is not known."""
        if self.error is None:
            return None
        return HowSure.from_error(self.value, self.error, self.unit, _COVERS, _LEAVES_OUT)


@dataclass(frozen=True)
class Reading:
    """All findings on one foot. Not a diagnosis.

    Parameters
    ----------
    findings : tuple of Finding
        Every rule that could be asked of this foot, met or not.
    caution : str
        What to say beside them.

    References
    ----------
    Definition.

    Examples
    --------
    >>> reading = read_foot(Profile.from_measures(52, 40, 85, 35, 110))
    >>> reading["heel underrun, five degrees"].met
    True
    """

    findings: tuple[Finding, ...]
    caution: str = CAUTION

    def __getitem__(self, name: str) -> Finding:
        """The finding of that name."""
        choice("name", name, tuple(finding.name for finding in self.findings))
        return next(finding for finding in self.findings if finding.name == name)


def read_foot(
    profile: Profile,
    point_error_mm: float = 1.0,
    *,
    errors: Mapping[str, float] | None = None,
    limb: str = "fore",
    scale_sd: float = 0.01,
    weight_kg: float | None = None,
    medial_height_mm: float | None = None,
    lateral_height_mm: float | None = None,
    heel_obliquity_deg: float | None = None,
) -> Reading:
    """One foot held against the rules of the trade, each with its error and probability.

    Rules that need something that is not given (pastern points, weight, side heights, load
    results) are left out. The probability takes the error of each measure as normal with its
    first-order standard deviation, and weighs it against the published spread of feet where
    there is one. It holds for a foot taken at random from such a population.

    Equation: probability = Phi((m - border) / e), with m and e the value and its error; where
    feet are published m = (x/s^2 + M/S^2) e^2, 1/e^2 = 1/s^2 + 1/S^2.

    Parameters
    ----------
    profile : Profile
        One foot.
    point_error_mm : float
        Standard deviation of each coordinate of a landmark [mm], above 0.
    errors : mapping of str to float, optional
        Standard deviations of measures by name, in the unit of the name, above 0. Each takes
        the place of the one that follows from `point_error_mm` and `scale_sd`; measures that
        are not named keep theirs. "side_difference_mm" is inner minus outer height.
    limb : str
        "fore" or "hind": which population to compare with.
    scale_sd : float
        Standard deviation of the scale, as a part of every length [no unit], 0 to 0.2.
    weight_kg : float, optional
        Weight of the horse [kg]; asks the rule on long toes, which covers 360 to 575.
    medial_height_mm, lateral_height_mm : float, optional
        Height of the hairline on the two sides in the front view [mm], above 0; both or
        neither.
    heel_obliquity_deg : float, optional
        Angle between the ground's push and the tubules at the heel [deg], 0 to 90, as worked
        out elsewhere.

    Returns
    -------
    Reading
        The findings, each with value, unit, error, probability and a plain sentence.

    Raises
    ------
    ValueError
        If `profile` is no single foot, `limb` is neither "fore" nor "hind",
        `point_error_mm` is not above 0, `scale_sd` not from 0 to 0.2, `weight_kg` not from 360
        to 575, a height not above 0 or alone, `heel_obliquity_deg` not from 0 to 90, or `errors`
        names an unknown measure or holds one that is not above 0.

    References
    ----------
    Each finding names its own. Error: first-order propagation (`profile.error_of`). Weighing
    against a normal population: any text on Bayesian statistics.

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> finding = read_foot(foot, 1.0)["heel underrun, five degrees"]
    >>> finding.value, finding.error, finding.probability
    (12.0, 2.50, 0.998)
    >>> finding = read_foot(foot, errors={"angle_gap_deg": 5.0})["heel underrun, five degrees"]
    >>> finding.error, finding.probability
    (5.0, 0.939)
    """
    _one_foot("profile", profile)
    choice("limb", limb, _LIMBS)
    error = float(numbers("point_error_mm", point_error_mm, above=0))
    scale = float(numbers("scale_sd", scale_sd, at_least=0, at_most=0.2))
    if (medial_height_mm is None) != (lateral_height_mm is None):
        raise ValueError("medial_height_mm and lateral_height_mm must be given together")
    given = _given("errors", errors)
    findings = []
    for rule in _rules(limb, weight_kg, profile.pastern_low is not None):
        value = float(getattr(profile, rule.measure))
        if rule.measure not in given:
            given[rule.measure] = _error(profile, rule.measure, error, scale)
        spread = given[rule.measure]
        likely, unsure = _weighed(value, spread, rule.measure, limb)
        probability = _between(likely, unsure, rule.low, rule.high)
        known = (rule.measure, limb) in POPULATION
        place = percentile(rule.measure, value, limb) if known else None
        findings.append(_finding(rule, value, spread, probability, place))
    if medial_height_mm is not None and lateral_height_mm is not None:
        told = given.get("side_difference_mm")
        findings.append(_sides(medial_height_mm, lateral_height_mm, error, scale, told))
    if heel_obliquity_deg is not None:
        findings.append(_across(heel_obliquity_deg))
    return Reading(tuple(findings))


@dataclass(frozen=True)
class Difference:
    """How one measure of a foot differs from that of the first foot.

    Parameters
    ----------
    measure : str
        Name of the measure; its unit stands in the name.
    label : str
        Which foot.
    value : float
        This foot's measure minus the first foot's, in the unit of the measure.
    error : float
        Standard deviation of the difference from the error of the points.
    counts_from : float
        How large a difference must be to count, in the unit of the measure: 1.96 times its
        error if it was asked for alone, 2.73 times among eight.
    sentence : str
        The difference in a plain sentence.

    References
    ----------
    Definition.

    Examples
    --------
    >>> Difference("toe_angle_deg", "left fore", 0.5, 1.4, 2.7, "").exceeds
    False
    """

    measure: str
    label: str
    value: float
    error: float
    counts_from: float
    sentence: str

    @property
    def exceeds(self) -> bool:
        """Whether the difference counts: it is larger than `counts_from` [no unit]."""
        return abs(self.value) > self.counts_from

    @property
    def how_sure(self) -> HowSure:
        """The difference with its 95 % interval, as if it alone were asked for [own unit]."""
        unit = _in_words(self.measure)[1].strip()
        return HowSure.from_error(self.value, self.error, unit, _COVERS, _LEAVES_OUT)


@dataclass(frozen=True)
class Comparison:
    """Several feet, or one foot at several dates, side by side.

    Parameters
    ----------
    labels : tuple of str
        The feet, first the one that the others are compared with.
    values, errors : dict of str to tuple of float
        For each measure its values and their standard deviations, one per foot, in the
        unit that stands in the measure's name.
    differences : tuple of Difference
        Each foot against the first, measure by measure.

    References
    ----------
    Definition.

    Examples
    --------
    >>> one = Profile.from_measures(52, 40, 85, 35, 110)
    >>> two = Profile.from_measures(52, 30, 85, 45, 110)
    >>> both = compare({"near fore": one, "off fore": two}, point_error_mm=0.5)
    >>> [difference.measure for difference in both.real_differences]
    ['heel_angle_deg', 'angle_gap_deg', 'coronet_angle_deg', 'heel_length_mm']
    >>> print(both.by_chance)
    An unchanged foot shows any difference among these 8 measures in at most one of twenty
    comparisons: each counts only from 2.73 times its error on.
    """

    labels: tuple[str, ...]
    values: Mapping[str, tuple[float, ...]]
    errors: Mapping[str, tuple[float, ...]]
    differences: tuple[Difference, ...]

    @property
    def real_differences(self) -> tuple[Difference, ...]:
        """The differences that exceed their error [unit in each measure's name]."""
        return tuple(difference for difference in self.differences if difference.exceeds)

    @property
    def by_chance(self) -> str:
        """How often an unchanged foot would show a difference, in a plain sentence."""
        count = len(self.values)
        errors = f"from {_errors_to_count(count):.2f} times its error on."
        if count == 1:
            return f"An unchanged foot shows it in one of twenty comparisons: it counts {errors}"
        return (
            f"An unchanged foot shows any difference among these {count} measures in at most one "
            f"of twenty comparisons: each counts only {errors}"
        )


def compare(
    feet: Mapping[str, Profile] | Mapping[date, Profile],
    point_error_mm: float | Mapping[str, float] | Mapping[date, float] = 1.0,
    *,
    scale_sd: float | Mapping[str, float] | Mapping[date, float] = 0.01,
    errors: Mapping[str, Mapping[str, float]] | Mapping[date, Mapping[str, float]] | None = None,
    measures: Sequence[str] | None = None,
) -> Comparison:
    """Several feet, or the same foot at several dates, and which differences are real.

    Each foot is held against the first (with dates: the earliest). Were each of eight
    measures to count from 1.96 times its error on, an unchanged foot would show some
    difference in a fifth of all comparisons. So the measures of one foot are judged
    together: of eight each counts from 2.73 times its error on. An unchanged foot then shows
    any difference in at most one of twenty comparisons; of several feet, each. Who wants to
    know one measure names it in `measures`, before looking: alone it counts from 1.96 times
    its error on. The error is that of the points and the scale of two separate photographs;
    that the camera stood differently is not in it.

    Equation: a difference counts where |d| > z sqrt(s1^2 + s2^2), with z = Phi^-1(1 - 0.05 / (2
    n)) for n measures asked at once.

    Parameters
    ----------
    feet : mapping of str or datetime.date to Profile
        At least two single feet by name, or by date.
    point_error_mm : float, or mapping of str or datetime.date to float
        Standard deviation of each coordinate of a landmark [mm], above 0; one for all feet,
        or one for each foot under its name or date.
    scale_sd : float, or mapping of str or datetime.date to float
        Standard deviation of each photograph's scale, as a part of every length [no unit],
        0 to 0.2; one for all feet, or one for each foot.
    errors : mapping of str or datetime.date to mapping of str to float, optional
        For each foot standard deviations of measures by name, in the unit of the name, above
        0. Each takes the place of the one that follows from `point_error_mm` and `scale_sd`;
        feet and measures that are not named keep theirs.
    measures : sequence of str, optional
        Names of the measures that are asked for, at least one; without it all that the feet
        have.

    Returns
    -------
    Comparison
        Values, errors and differences, in the unit that stands in each measure's name.

    Raises
    ------
    ValueError
        If `feet` holds fewer than two feet, names mixed with dates or something else than
        single feet, `point_error_mm` is not above 0, `scale_sd` not from 0 to 0.2, either lacks
        a foot, `errors` names an unknown foot or measure or holds one that is not above 0, or
        `measures` is empty or names one that the feet do not have.

    References
    ----------
    Difference of two independent values: first-order propagation. Several at once:
    Bonferroni's inequality, any text on statistics.

    Examples
    --------
    >>> before = Profile.from_measures(49, 36, 96, 48, 118)
    >>> after = Profile.from_measures(52, 40, 85, 35, 110)
    >>> dated = {date(2026, 3, 2): before, date(2026, 3, 3): after}
    >>> found = compare(dated, measures=["toe_angle_deg"]).differences[0]
    >>> for part in found.sentence.split("; "):
    ...     print(part)
    2026-03-03: toe angle 3.0 degrees more than on 2026-03-02
    measuring alone explains up to 2.6: a real difference.
    >>> feet = {"near": before, "off": after}
    >>> found = compare(feet, errors={"near": {"toe_angle_deg": 2.0}}).differences[0]
    >>> print(found.sentence)
    off: toe angle 3.0 degrees more than in near; measuring alone explains up to 6.1: not shown.
    """
    if len(feet) < 2:
        raise ValueError(f"feet must hold at least two feet (got {len(feet)})")
    dated = {isinstance(key, date) for key in feet}
    if len(dated) > 1:
        raise ValueError("feet must be named all by text or all by date (got both)")
    keys: list[Any] = sorted(feet, key=str) if dated == {True} else list(feet)
    by_foot: dict[Any, Any] = dict(feet)
    labels = tuple(str(key) for key in keys)
    profiles = [by_foot[key] for key in keys]
    points = [
        float(numbers(name, value, above=0))
        for name, value in _each("point_error_mm", point_error_mm, keys)
    ]
    scales = [
        float(numbers(name, value, at_least=0, at_most=0.2))
        for name, value in _each("scale_sd", scale_sd, keys)
    ]
    told: dict[Any, Any] = dict(errors or {})
    for key in told:
        choice("errors", str(key), labels)
    given = [_given(f"errors of {key}", told.get(key)) for key in keys]
    for label, profile in zip(labels, profiles, strict=True):
        _one_foot(label, profile)
    names = _asked(measures, profiles)
    values = {name: tuple(float(getattr(foot, name)) for foot in profiles) for name in names}
    spreads = {
        name: tuple(
            known.get(name) or _error(foot, name, error, scale)
            for foot, error, scale, known in zip(profiles, points, scales, given, strict=True)
        )
        for name in names
    }
    first = f"{'on ' if dated == {True} else 'in '}{labels[0]}"
    found: dict[str, list[Difference]] = {name: [] for name in names}
    for k, label in enumerate(labels[1:], 1):
        by = {name: values[name][k] - values[name][0] for name in names}
        spread = {name: float(np.hypot(spreads[name][k], spreads[name][0])) for name in names}
        for name in names:
            limit = _errors_to_count(len(names)) * spread[name]
            found[name].append(_difference(name, label, by[name], spread[name], limit, first))
    together = tuple(each for differences in found.values() for each in differences)
    return Comparison(labels, values, spreads, together)


def _asked(measures: Sequence[str] | None, profiles: Sequence[Profile]) -> tuple[str, ...]:
    """The measures to compare: those asked for, or all that every foot has."""
    has: tuple[str, ...] = MEASURES
    if all(profile.pastern_low is not None for profile in profiles):
        has = (*has, "axis_deviation_deg")
    if measures is None:
        return has
    if isinstance(measures, str) or not len(measures):
        raise ValueError(f"measures must be a row of at least one name (got {measures!r})")
    return tuple(dict.fromkeys(choice("measures", name, has) for name in measures))


def _errors_to_count(measures: int) -> float:
    """How many errors a difference must exceed, so many measures being looked at."""
    return NormalDist().inv_cdf(1.0 - _BY_CHANCE / (2.0 * measures))


def _difference(
    measure: str, label: str, by: float, error: float, counts_from: float, first: str
) -> Difference:
    """One difference with its sentence."""
    words, unit, digits = _in_words(measure)
    fine = decimals_apart(abs(by), counts_from, digits)
    sentence = (
        f"{label}: {words} {abs(by):.{fine}f}{unit} {'more' if by >= 0 else 'less'} than {first}; "
        f"measuring alone explains up to {counts_from:.{fine}f}: "
        f"{'a real difference' if abs(by) > counts_from else 'not shown'}."
    )
    return Difference(measure, label, by, error, counts_from, sentence)


def _each(name: str, value: Any, keys: Sequence[Any]) -> list[tuple[str, Any]]:
    """A value for every foot, with what to call it: the same for all, or each its own."""
    if not isinstance(value, Mapping):
        return [(name, value)] * len(keys)
    for key in keys:
        if key not in value:
            raise ValueError(f"{name} must have a value for every foot (got none for {key})")
    return [(f"{name} of {key}", value[key]) for key in keys]


def _given(name: str, errors: Mapping[str, float] | None) -> dict[str, float]:
    """The errors that were worked out elsewhere, checked."""
    known = {}
    for measure, error in (errors or {}).items():
        choice(f"measure in {name}", measure, _WITH_ERROR)
        known[measure] = float(numbers(f"{measure} in {name}", error, above=0))
    return known


def _error(profile: Profile, measure: str, point_error_mm: float, scale_sd: float) -> float:
    """Error of a measure from points and, for a length, from scale."""
    points = float(error_of(profile, measure, point_error_mm))
    if not measure.endswith("_mm"):
        return points
    return float(np.hypot(points, scale_sd * float(getattr(profile, measure))))


def _weighed(value: float, error: float, measure: str, limb: str) -> tuple[float, float]:
    """What the true value is likely to be and how unsure, the spread of feet counted in."""
    known = {name: POPULATION[name, limb] for name in ("toe_angle_deg", "heel_angle_deg")}
    if measure == "angle_gap_deg":
        (toe, toe_sd), (heel, heel_sd) = known.values()
        mean, spread = toe - heel, float(np.hypot(toe_sd, heel_sd))
    elif measure in known:
        mean, spread = known[measure]
    else:
        return value, error
    own = spread**2 / (spread**2 + error**2)
    return own * value + (1.0 - own) * mean, error * own**0.5


def _between(value: float, error: float, low: float, high: float) -> float:
    """Probability that a normal true value lies from low to high."""
    normal = NormalDist(value, error)
    return normal.cdf(high) - normal.cdf(low)


@dataclass(frozen=True)
class _Rule:
    """A measure that lies from `low` to `high`, in words, with its source."""

    name: str
    words: str
    source: str
    measure: str
    low: float = -np.inf
    high: float = np.inf
    remark: str = ""


def _rules(limb: str, weight_kg: float | None, has_pastern: bool) -> list[_Rule]:
    """Every rule that can be asked of this foot."""
    rules = [
        *_gap_rules(limb),
        *_population_rules(limb),
        _Rule(
            "heel low for its toe",
            "the heel is at most a third as high as the toe",
            "textbooks (from memory); older ones ask for a half: sources disagree",
            "height_ratio",
            high=1.0 / 3.0,
        ),
    ]
    if weight_kg is not None:
        long = long_toe_mm(weight_kg)
        words = f"the toe is longer than {long:.1f} mm, the length for {weight_kg:g} kg"
        rules.append(_Rule("toe long", words, _TOE_LENGTHS, "toe_length_mm", low=long))
    if has_pastern:
        axis, words = "axis_deviation_deg", "the hoof is at least 5 degrees {} than the pastern"
        rules += [
            _Rule("axis broken back", words.format("flatter"), NO_SOURCE, axis, low=5.0),
            _Rule("axis broken forward", words.format("steeper"), NO_SOURCE, axis, high=-5.0),
        ]
    return rules


def _gap_rules(limb: str) -> list[_Rule]:
    """What the trade says of the difference between toe and heel."""
    toe_mean, heel_mean = (POPULATION[f"{end}_angle_deg", limb][0] for end in ("toe", "heel"))
    gap = "angle_gap_deg"
    average = (
        f"This rule of thumb flags the average foot: in a published population the heel is on "
        f"average {toe_mean - heel_mean:.1f} degrees flatter than the toe in {limb} feet. Take "
        f"the gap as a number to follow, not as a fault."
    )
    loose = "looser cut-off, as used in surveys (from memory, source not certain)"
    return [
        _Rule("in line", "heel and toe differ by at most 5 degrees", NO_SOURCE, gap, -5.0, 5.0),
        _Rule(
            "heel underrun, five degrees",
            "the heel is at least 5 degrees flatter than the toe",
            _TURNER,
            gap,
            low=5.0,
            remark=average,
        ),
        _Rule(
            "heel underrun, ten degrees",
            "the heel is at least 10 degrees flatter than the toe",
            loose,
            gap,
            low=10.0,
        ),
        _Rule(
            "heel underrun, fifteen degrees",
            "the heel is at least 15 degrees flatter than the toe",
            loose,
            gap,
            low=15.0,
        ),
        _Rule(
            "heel steeper than toe",
            "the heel is at least 5 degrees steeper than the toe",
            NO_SOURCE,
            gap,
            high=-5.0,
        ),
    ]


def _population_rules(limb: str) -> list[_Rule]:
    """What is usual in a published population."""
    toe_mean, toe_sd = POPULATION["toe_angle_deg", limb]
    heel_mean, heel_sd = POPULATION["heel_angle_deg", limb]
    steep = toe_mean + 2.0 * toe_sd
    return [
        _Rule(
            "upright",
            f"the toe angle is at least {steep:.1f} degrees, two standard deviations over the mean",
            f"derived from: {POPULATION_SOURCE}",
            "toe_angle_deg",
            low=steep,
        ),
        _Rule(
            "toe angle usual",
            f"the toe angle is within two standard deviations of the mean, {toe_mean:g} degrees",
            POPULATION_SOURCE,
            "toe_angle_deg",
            toe_mean - 2.0 * toe_sd,
            steep,
        ),
        _Rule(
            "heel angle usual",
            f"the heel angle is within two standard deviations of the mean, {heel_mean:g} degrees",
            POPULATION_SOURCE,
            "heel_angle_deg",
            heel_mean - 2.0 * heel_sd,
            heel_mean + 2.0 * heel_sd,
        ),
    ]


def _finding(
    rule: _Rule, value: float, error: float | None, probability: float | None, place: float | None
) -> Finding:
    """The rule held against a value, with its sentence."""
    met = rule.low <= value <= rule.high
    unit, digits, says = _say(rule.measure, value)
    parts = [says]
    if rule.remark:
        parts.append(rule.remark)
    parts.append(f"Rule: {rule.words}. {'Met' if met else 'Not met'};")
    if error is None or probability is None:
        parts.append("the error of the value is not known here.")
    else:
        parts.append(
            f"the probability that the true foot meets it is {_rounded(probability)} "
            f"(error of the value {error:.{digits}f}{' ' + unit if unit else ''})."
        )
    if place is not None:
        parts.append(f"{place:.0f} per cent of the published population lie below this value.")
    return Finding(
        name=rule.name,
        rule=rule.words,
        source=rule.source,
        value=value,
        unit=unit,
        error=error,
        met=met,
        probability=probability,
        percentile=place,
        sentence=" ".join(parts),
    )


def _say(measure: str, value: float) -> tuple[str, int, str]:
    """Unit, digits to show, and the value of a measure in a plain sentence."""
    flatter = "flatter" if value >= 0 else "steeper"
    higher = "higher" if value >= 0 else "lower"
    size = abs(value)
    return {
        "angle_gap_deg": ("degrees", 1, f"The heel is {size:.1f} degrees {flatter} than the toe."),
        "toe_angle_deg": ("degrees", 1, f"The toe stands at {value:.1f} degrees."),
        "heel_angle_deg": ("degrees", 1, f"The heel stands at {value:.1f} degrees."),
        "height_ratio": ("", 2, f"The heel is {value:.2f} times as high as the toe."),
        "toe_length_mm": ("mm", 1, f"The toe is {value:.1f} mm long."),
        "axis_deviation_deg": (
            "degrees",
            1,
            f"The hoof is {size:.1f} degrees {flatter} than the pastern.",
        ),
        "side_difference_mm": (
            "mm",
            1,
            f"The inner side is {size:.1f} mm {higher} than the outer.",
        ),
        "heel_obliquity_deg": (
            "degrees",
            1,
            f"The push meets the heel's tubules at {value:.1f} degrees.",
        ),
    }[measure]


def _rounded(probability: float) -> str:
    """Two digits, and never a certainty that no measure gives."""
    if probability > 0.99:
        return "above 0.99"
    return "below 0.01" if probability < 0.01 else f"{probability:.2f}"


def _sides(
    medial_mm: float,
    lateral_mm: float,
    point_error_mm: float,
    scale_sd: float,
    given: float | None,
) -> Finding:
    """Inner against outer height in the front view."""
    medial = float(numbers("medial_height_mm", medial_mm, above=0))
    lateral = float(numbers("lateral_height_mm", lateral_mm, above=0))
    value = medial - lateral
    # each height lies between two points of its own; the scale is shared
    error = given or float(np.hypot(2.0 * point_error_mm, scale_sd * value))
    limit = 5.0
    side = limit if value >= 0 else -limit
    rule = _Rule(
        "sides uneven",
        f"inner and outer height differ by at least {limit:g} mm",
        NO_SOURCE,
        "side_difference_mm",
        low=side if value >= 0 else -np.inf,
        high=np.inf if value >= 0 else side,
    )
    return _finding(rule, value, error, 1.0 - _between(value, error, -limit, limit), None)


def _across(obliquity_deg: float) -> Finding:
    """The angle between push and heel, worked out elsewhere, as a plain number."""
    value = float(numbers("heel_obliquity_deg", obliquity_deg, at_least=0, at_most=90))
    rule = _Rule(
        "heel loaded across",
        "at least as much of the push goes across the heel's tubules as along them, "
        "45 degrees or more",
        "Definition: the two parts are equal at 45 degrees",
        "heel_obliquity_deg",
        low=45.0,
    )
    return _finding(rule, value, None, None, None)


def _in_words(measure: str) -> tuple[str, str, int]:
    """A measure's name in words, its unit, and how many digits to show."""
    for ending, unit in (("_deg", " degrees"), ("_mm", " mm")):
        if measure.endswith(ending):
            return measure.removesuffix(ending).replace("_", " "), unit, 1
    return measure.replace("_", " "), "", 2


def _one_foot(name: str, profile: Profile) -> None:
    if not isinstance(profile, Profile):
        raise ValueError(f"{name} must be a Profile (got {profile!r})")
    if profile.shape:
        raise ValueError(
            f"{name} must hold one foot (got shape {profile.shape}); take one with pick(index)"
        )

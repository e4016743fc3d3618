"""What a foot's measures mean: findings with their rule, error and probability.

`read_foot` holds one foot against the rules of the trade and the published
populations; `compare` puts several feet, or one foot at several dates, side by side.

A finding says which rule is met, where the rule comes from, and how probable it is
that the true foot meets it, given how well the points were set. A probability of
that kind says nothing about health: it asks "is this foot really five degrees
apart?", not "is this foot ill?". Nothing here is a diagnosis. Signs that belong to
a veterinary surgeon are listed in `VET_SIGNS` and never scored.

Assumptions: the errors of the landmarks are independent and normal, scale adds a
part of every length, and the camera was square to the foot (undo its position with
`profile.corrected` first). Where the landmarks share errors, as those of scale and
level in one photograph, give the errors of the measures as worked out there. Rules
that rest on lengths need a true scale.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist
from typing import Any

import numpy as np

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._inputs import choice, numbers
from hoofcalc.profile import EVERY_MEASURE, MEASURES, Profile, error_of, with_error

__all__ = [
    "CAUTION",
    "NO_SOURCE",
    "POPULATION",
    "POPULATION_SOURCE",
    "VET_SIGNS",
    "Comparison",
    "Difference",
    "Finding",
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
    "Turner T.A. 1992, Veterinary Clinics of North America: Equine Practice 8 (from memory; "
    "which of his papers is not certain)"
)
_TOE_LENGTHS = (
    "Balch O., White K., Butler D. 1991, and Turner T.A. 1992: rule of thumb by weight "
    "(from memory)"
)
_LIMBS = ("fore", "hind")
#: Measures whose errors may be given.
_WITH_ERROR = (*EVERY_MEASURE, "side_difference_mm")
#: Ends of the weight bands [kg] and the toe length [mm] that the rule gives each.
_TOE_KG = (360.0, 400.0, 430.0, 480.0, 525.0, 575.0)
_TOE_MM = (76.0, 76.0, 82.5, 82.5, 89.0, 89.0)


def percentile(measure: str, value: float, limb: str = "fore") -> float:
    """Where a value stands in the published population, in per cent from the low end.

    Takes the population as normal with the published mean and standard deviation. The
    mean of a population is not an ideal.

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
        If no mean and spread are published for the measure, or the limb is neither.

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
        If the weight is outside the rule's bands.

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
        How probable it is that the true value meets the rule [no unit]; None without an
        error.
    percentile : float or None
        Per cent of the published population below the value [%]; None where no mean and
        spread are published.
    sentence : str
        The finding in a plain sentence.

    Raises
    ------
    ValueError
        Never by itself.

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


@dataclass(frozen=True)
class Reading:
    """All findings on one foot. Not a diagnosis.

    Parameters
    ----------
    findings : tuple of Finding
        Every rule that could be asked of this foot, met or not.
    caution : str
        What to say beside them.
    vet_signs : tuple of str
        Signs that belong to a veterinary surgeon; listed, never scored.

    Raises
    ------
    ValueError
        Never by itself.

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
    vet_signs: tuple[str, ...] = VET_SIGNS

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
    heel_utilisation: float | None = None,
    draws: int | None = None,
    rng: np.random.Generator | None = None,
) -> Reading:
    """One foot held against the rules of the trade, each with its error and probability.

    Rules that need something that is not given (pastern points, weight, side heights, load
    results) are left out. Without `draws` the probability takes the error of each measure
    as normal with its first-order standard deviation; with `draws` the landmarks are drawn.

    Parameters
    ----------
    profile : Profile
        One foot.
    point_error_mm : float
        Standard deviation of each coordinate of a landmark [mm], above 0.
    errors : mapping of str to float, optional
        Standard deviations of measures by name, in the unit of the name, above 0. Each takes
        the place of the one that follows from `point_error_mm` and `scale_sd`; measures that
        are not named keep theirs. "side_difference_mm" is inner minus outer height. Not with
        `draws`.
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
    heel_utilisation : float, optional
        Stress at the heel over the horn's strength there [no unit], at least 0, as worked
        out elsewhere.
    draws : int, optional
        Number of random feet for the probabilities; with `rng`.
    rng : numpy.random.Generator, optional
        Source of the random numbers; with `draws`.

    Returns
    -------
    Reading
        The findings, each with value, unit, error, probability and a plain sentence.

    Raises
    ------
    ValueError
        If an argument is outside its range, `profile` holds several feet, or one of a pair
        of arguments is missing.

    References
    ----------
    Each finding names its own. Error: first-order propagation (`profile.error_of`).

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> finding = read_foot(foot, 1.0)["heel underrun, five degrees"]
    >>> finding.value, finding.error, finding.probability
    (12.0, 2.50, 0.997)
    >>> finding = read_foot(foot, errors={"angle_gap_deg": 5.0})["heel underrun, five degrees"]
    >>> finding.error, finding.probability
    (5.0, 0.919)
    """
    _one_foot("profile", profile)
    choice("limb", limb, _LIMBS)
    error = float(numbers("point_error_mm", point_error_mm, above=0))
    scale = float(numbers("scale_sd", scale_sd, at_least=0, at_most=0.2))
    if (medial_height_mm is None) != (lateral_height_mm is None):
        raise ValueError("medial_height_mm and lateral_height_mm must be given together")
    if (draws is None) != (rng is None):
        raise ValueError("draws and rng must be given together")
    given = _given("errors", errors)
    if given and draws is not None:
        raise ValueError("errors and draws cannot be given together: the draws make the errors")
    many, sizes = None, None
    if draws is not None and rng is not None:
        many = with_error(profile, error, draws, rng)
        sizes = 1.0 + scale * rng.standard_normal(many.shape)
    findings = []
    for rule in _rules(limb, weight_kg, profile.pastern_low is not None):
        value = float(getattr(profile, rule.measure))
        spread = given.get(rule.measure) or _error(profile, rule.measure, error, scale)
        if many is None or sizes is None:
            probability = _between(value, spread, rule.low, rule.high)
        else:
            drawn = getattr(many, rule.measure)
            drawn = drawn * sizes if rule.measure.endswith("_mm") else drawn
            probability = float(np.mean((drawn >= rule.low) & (drawn <= rule.high)))
        known = (rule.measure, limb) in POPULATION
        place = percentile(rule.measure, value, limb) if known else None
        findings.append(_finding(rule, value, spread, probability, place))
    if medial_height_mm is not None and lateral_height_mm is not None:
        told = given.get("side_difference_mm")
        findings.append(_sides(medial_height_mm, lateral_height_mm, error, scale, told))
    findings += _loads(heel_obliquity_deg, heel_utilisation)
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
    exceeds : bool
        True if the difference is more than 1.96 times its error: chance alone would do
        that once in twenty measures of an unchanged foot.
    sentence : str
        The difference in a plain sentence.

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Definition.

    Examples
    --------
    >>> Difference("toe_angle_deg", "left fore", 0.5, 1.4, False, "").exceeds
    False
    """

    measure: str
    label: str
    value: float
    error: float
    exceeds: bool
    sentence: str

    @property
    def counts_from(self) -> float:
        """How large a difference must be to count: 1.96 times its error [unit of the measure]."""
        return ERRORS_FOR_95 * self.error


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

    Raises
    ------
    ValueError
        Never by itself.

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
    """

    labels: tuple[str, ...]
    values: Mapping[str, tuple[float, ...]]
    errors: Mapping[str, tuple[float, ...]]
    differences: tuple[Difference, ...]

    @property
    def real_differences(self) -> tuple[Difference, ...]:
        """The differences that exceed their error [unit in each measure's name]."""
        return tuple(difference for difference in self.differences if difference.exceeds)


def compare(
    feet: Mapping[str, Profile] | Mapping[date, Profile],
    point_error_mm: float | Mapping[str, float] | Mapping[date, float] = 1.0,
    *,
    scale_sd: float | Mapping[str, float] | Mapping[date, float] = 0.01,
    errors: Mapping[str, Mapping[str, float]] | Mapping[date, Mapping[str, float]] | None = None,
) -> Comparison:
    """Several feet, or the same foot at several dates, and which differences are real.

    Each foot is held against the first (with dates: the earliest). A difference counts
    when it is more than 1.96 times its error; among many measures, one in twenty will do
    so by chance. The error is that of the points and the scale of two separate
    photographs; that the camera stood differently is not in it.

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

    Returns
    -------
    Comparison
        Values, errors and differences, in the unit that stands in each measure's name.

    Raises
    ------
    ValueError
        If there are fewer than two feet, names and dates are mixed, or an argument is
        outside its range.

    References
    ----------
    Difference of two independent values: first-order propagation; 1.96 from the normal
    distribution.

    Examples
    --------
    >>> before = Profile.from_measures(49, 36, 96, 48, 118)
    >>> after = Profile.from_measures(52, 40, 85, 35, 110)
    >>> visits = compare({date(2026, 3, 2): before, date(2026, 3, 3): after})
    >>> print(visits.differences[0].sentence)
    2026-03-03: toe angle 3.0 degrees more than on 2026-03-02 (error 1.4): more than its error.
    >>> feet = {"near": before, "off": after}
    >>> print(compare(feet, errors={"near": {"toe_angle_deg": 2.0}}).differences[0].sentence)
    off: toe angle 3.0 degrees more than in near (error 2.2): within its error.
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
    measures = [*MEASURES]
    if all(profile.pastern_low is not None for profile in profiles):
        measures.append("axis_deviation_deg")
    values = {name: tuple(float(getattr(foot, name)) for foot in profiles) for name in measures}
    spreads = {
        name: tuple(
            known.get(name) or _error(foot, name, error, scale)
            for foot, error, scale, known in zip(profiles, points, scales, given, strict=True)
        )
        for name in measures
    }
    differences = []
    for name in measures:
        for k in range(1, len(labels)):
            by = values[name][k] - values[name][0]
            spread = float(np.hypot(spreads[name][k], spreads[name][0]))
            exceeds = abs(by) > ERRORS_FOR_95 * spread
            words, unit, digits = _in_words(name)
            sentence = (
                f"{labels[k]}: {words} {abs(by):.{digits}f}{unit} "
                f"{'more' if by >= 0 else 'less'} than {'on ' if dated == {True} else 'in '}"
                f"{labels[0]} (error {spread:.{digits}f}): "
                f"{'more than' if exceeds else 'within'} its error."
            )
            differences.append(Difference(name, labels[k], by, spread, exceeds, sentence))
    return Comparison(labels, values, spreads, tuple(differences))


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
    toe_mean, toe_sd = POPULATION["toe_angle_deg", limb]
    heel_mean, heel_sd = POPULATION["heel_angle_deg", limb]
    steep = toe_mean + 2.0 * toe_sd
    gap = "angle_gap_deg"
    average = (
        f"This rule of thumb flags the average foot: in a published population the heel is on "
        f"average {toe_mean - heel_mean:.1f} degrees flatter than the toe in {limb} feet. Take "
        f"the gap as a number to follow, not as a fault."
    )
    loose = "looser cut-off, as used in surveys (from memory, source not certain)"
    rules = [
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
        "heel_utilisation": (
            "",
            2,
            f"The model loads the heel to {value:.2f} times the horn's strength.",
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


def _loads(obliquity_deg: float | None, utilisation: float | None) -> list[Finding]:
    """Load results worked out elsewhere, as plain numbers."""
    found = []
    if obliquity_deg is not None:
        value = float(numbers("heel_obliquity_deg", obliquity_deg, at_least=0, at_most=90))
        rule = _Rule(
            "heel loaded across",
            "at least as much of the push goes across the heel's tubules as along them, "
            "45 degrees or more",
            "Definition: the two parts are equal at 45 degrees",
            "heel_obliquity_deg",
            low=45.0,
        )
        found.append(_finding(rule, value, None, None, None))
    if utilisation is not None:
        value = float(numbers("heel_utilisation", utilisation, at_least=0))
        rule = _Rule(
            "heel at its strength",
            "the stress reaches the horn's strength, a utilisation of 1 or more",
            "Definition; the stress comes from a model of our own",
            "heel_utilisation",
            low=1.0,
        )
        found.append(_finding(rule, value, None, None, None))
    return found


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

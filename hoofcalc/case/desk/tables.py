"""Tables of one visit in HTML: findings, and two feet side by side; readable on a telephone."""

from __future__ import annotations

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc.case.markup import page
from hoofcalc.case.measure import Measurement
from hoofcalc.reading import Comparison, Finding


def findings_table(found: Measurement) -> str:
    """The rules of the trade held against a foot, as a table.

    Parameters
    ----------
    found
        The visit, measured.

    Returns
    -------
    str
        HTML: a table with rule, value with error, probability and percentile, and the sources.
    """
    heads = ("Rule", "This foot", "Does it meet the rule?", "Among other feet")
    rows = [
        (each.name, _rule(each), (_value(each), _met(each), _among(each.percentile)))
        for each in found.findings
    ]
    return page(
        "table",
        caption="Rules of the trade, held against this foot",
        heads=heads,
        rows=rows,
        below=found.visit.askew,
        sources=[f"{each.name}: {each.source}" for each in found.findings],
    )


def comparison_table(both: Comparison) -> str:
    """Two feet, or one foot at two visits, side by side.

    Parameters
    ----------
    both
        What was compared.

    Returns
    -------
    str
        HTML: a table with both values, their difference with its error, and whether it exceeds it.
    """
    first, second = both.labels
    heads = ("Measure", second, first, "Difference", "More than the error")
    rows = []
    for each in both.differences:
        words, unit, digits = _measure(each.measure)
        values = both.values[each.measure]
        cells = [f"{value:.{digits}f}{unit}" for value in reversed(values)]
        cells.append(
            f"{each.value:+.{digits}f} ±\u00a0{ERRORS_FOR_95 * each.error:.{digits}f}{unit}"
        )
        cells.append("yes" if each.exceeds else "no: perhaps no difference")
        rows.append((words, "", cells))
    return page(
        "table", caption=f"{second} against {first}", heads=heads, rows=rows, below="", sources=()
    )


def _rule(found: Finding) -> str:
    """The rule, and what the finding remarks about it."""
    before, _, _ = found.sentence.partition(" Rule: ")
    _, _, remark = before.partition(". ")
    return f"{found.rule}. {remark}" if remark else found.rule


def _value(found: Finding) -> str:
    """The value in the finding's own words, with how far the truth may lie away."""
    says, _, _ = found.sentence.partition(". ")
    if found.error is None:
        return f"{says} (error not known)."
    unit = f" {found.unit}" if found.unit else ""
    return f"{says} (±\u00a0{ERRORS_FOR_95 * found.error:.{1 if found.unit else 2}f}{unit})."


def _met(found: Finding) -> str:
    """Whether the rule is met as measured, and how sure that is of the true foot."""
    said = "yes" if found.met else "no"
    if found.probability is None:
        return f"{said}; how surely is not known"
    sure = 100 * found.probability
    if sure > 99:
        return f"{said}; surely (more than 99 in 100)"
    return f"{said}; the true foot does in {'less than 1' if sure < 1 else f'{sure:.0f}'} of 100"


def _among(percentile: float | None) -> str:
    if percentile is None:
        return "no published numbers"
    if percentile < 1 or percentile > 99:
        return f"{'fewer than 1' if percentile < 1 else 'more than 99'} in 100 feet lie below"
    return f"{percentile:.0f} in 100 feet lie below"


_WORDS = {
    "angle_gap_deg": "toe angle less heel angle",
    "coronet_angle_deg": "slope of the hairline, toe to heel",
    "bearing_length_mm": "length on the ground",
    "height_ratio": "height of the heel over that of the toe",
    "axis_deviation_deg": "hoof flatter than the pastern by",
}


def _measure(name: str) -> tuple[str, str, int]:
    """A measure's name in words, its unit and how many digits to show."""
    for ending, unit in (("_deg", "°"), ("_mm", " mm")):
        if name.endswith(ending):
            return _WORDS.get(name, name.removesuffix(ending).replace("_", " ")), unit, 1
    return _WORDS.get(name, name.replace("_", " ")), "", 2

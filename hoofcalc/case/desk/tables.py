"""Tables of one visit in HTML: findings, and two feet side by side; readable on a telephone."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from hoofcalc.case.desk.side_picture import REACH
from hoofcalc.case.measure import Measurement
from hoofcalc.reading import Comparison, Finding

__all__ = ["STYLE", "comparison_table", "findings_table"]

#: Where it is narrow each row becomes a block, each number with its heading before it.
STYLE = (
    "<style>.foot-table{container-type:inline-size;font-size:15px;line-height:1.45}"
    ".foot-table table{border-collapse:collapse;width:100%;margin:.5em 0}"
    ".foot-table caption{text-align:left;font-weight:bold;padding:.3em 0}"
    ".foot-table th,.foot-table td{border:1px solid #5f6368;padding:.35em .6em;text-align:left;"
    "vertical-align:top;background:#fff;color:#111;white-space:normal}"
    ".foot-table thead th{background:#f4efe6}.foot-table .why{display:block;font-weight:normal}"
    "@container (max-width:640px){.foot-table table,.foot-table tbody,.foot-table tr,"
    ".foot-table td,.foot-table tbody th,.foot-table caption{display:block;width:auto}"
    ".foot-table thead{position:absolute;width:1px;height:1px;overflow:hidden;"
    "clip-path:inset(50%)}.foot-table tr{margin:0 0 .8em}"
    ".foot-table td{border-top:0}.foot-table tbody th{background:#f4efe6}"
    ".foot-table td::before{content:attr(data-head) ': ';font-weight:bold}}</style>"
)


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
    heads = (
        "Rule",
        "This foot",
        "Met as measured",
        "Likely to be met in truth",
        "Among other feet",
    )
    rows = [
        (
            f'{escape(each.name)} <span class="why">{escape(_rule(each))}</span>',
            escape(_value(each)),
            "yes" if each.met else "no",
            escape(_likely(each.probability)),
            escape(_among(each.percentile)),
        )
        for each in found.findings
    ]
    sources = "".join(
        f"<li>{escape(each.name)}: {escape(each.source)}</li>" for each in found.findings
    )
    return (
        _table("Rules of the trade, held against this foot", heads, rows)
        + (f"<p>{escape(found.visit.askew)}</p>" if found.visit.askew else "")
        + '<div class="foot-table"><details><summary>Where the rules come from</summary>'
        f"<ul>{sources}</ul></details></div>"
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
        rows.append(
            (
                escape(words),
                *(f"{value:.{digits}f}{unit}" for value in reversed(values)),
                f"{each.value:+.{digits}f} ±\u00a0{REACH * each.error:.{digits}f}{unit}",
                "yes" if each.exceeds else "no: perhaps no difference",
            )
        )
    return _table(f"{second} against {first}", heads, rows)


def _table(caption: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table whose first column names each row; roles are said, for they are lost in blocks."""
    head = "".join(f'<th scope="col" role="columnheader">{escape(one)}</th>' for one in heads)
    body = "".join(
        f'<tr role="row"><th scope="row" role="rowheader">{name}</th>'
        + "".join(
            f'<td role="cell" data-head="{escape(one)}">{cell}</td>'
            for one, cell in zip(heads[1:], cells, strict=True)
        )
        + "</tr>"
        for name, *cells in rows
    )
    return (
        f'{STYLE}<div class="foot-table"><table role="table"><caption>{escape(caption)}</caption>'
        f'<thead role="rowgroup"><tr role="row">{head}</tr></thead>'
        f'<tbody role="rowgroup">{body}</tbody></table></div>'
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
    return f"{says} (±\u00a0{REACH * found.error:.{1 if found.unit else 2}f}{unit})."


def _likely(probability: float | None) -> str:
    if probability is None:
        return "not known"
    if probability > 0.99:
        return "more than 99 in 100"
    return "less than 1 in 100" if probability < 0.01 else f"{100 * probability:.0f} in 100"


def _among(percentile: float | None) -> str:
    if percentile is None:
        return "no published numbers"
    if percentile < 1 or percentile > 99:
        return f"{'fewer than 1' if percentile < 1 else 'more than 99'} in 100 feet lie below"
    return f"{percentile:.0f} in 100 feet lie below"


_WORDS = {
    "angle_gap_deg": "toe angle less heel angle",
    "coronet_angle_deg": "fall of the coronary band",
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

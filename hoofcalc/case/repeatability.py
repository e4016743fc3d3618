"""How far a person's own readings part when the same photographs are placed again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._inputs import FloatArray, numbers
from hoofcalc.case.case import read_fields_of, visit_names
from hoofcalc.case.landmarks import from_the_side, missing_points, read_picture
from hoofcalc.case.storage import CaseError

__all__ = ["Repeated", "repeatability", "repeated_in_words", "repeated_readings"]

_FEWEST = 3
_MEASURES = {"toe_angle_deg": "toe angle", "heel_angle_deg": "heel angle"}


@dataclass(frozen=True, kw_only=True)
class Repeated:
    """What readings of the same photographs tell of the hand that placed them.

    Parameters
    ----------
    within
        Standard deviation of one reading about the photograph's own mean, in the readings' unit.
    coefficient
        Two readings of one photograph part by less than this 19 times in 20: the repeatability
        coefficient.
    icc
        Part of all variance that lies between the photographs, ICC(1, 1) [no unit].
    bias, low, high
        Second reading less the first: its mean, and the limits of agreement.
    """

    within: float
    coefficient: float
    icc: float
    bias: float
    low: float
    high: float


def repeatability(readings: ArrayLike) -> Repeated:
    """The repeatability of readings, by one-way analysis of variance.

    Parameters
    ----------
    readings
        A row for each photograph, a column for each time it was read, shape (photographs, times).

    Returns
    -------
    Repeated
        Coefficient, ICC and limits of agreement.

    Raises
    ------
    ValueError
        If there are fewer than three photographs or two readings of each.

    References
    ----------
    Bland J.M. and Altman D.G. 1986, Statistical methods for assessing agreement between two
    methods of clinical measurement, Lancet 327; Shrout P.E. and Fleiss J.L. 1979, Intraclass
    correlations, Psychological Bulletin 86 (both from memory).
    """
    table: FloatArray = numbers("readings", readings)
    if table.ndim != 2 or table.shape[0] < _FEWEST or table.shape[1] < 2:
        raise ValueError(
            f"readings must hold at least {_FEWEST} photographs, each read twice "
            f"(got shape {table.shape})"
        )
    times = table.shape[1]
    within = float(table.var(axis=1, ddof=1).mean())
    between = float(times * table.mean(axis=1).var(ddof=1))
    apart = table[:, 1] - table[:, 0]
    reach = ERRORS_FOR_95 * float(apart.std(ddof=1))
    whole = between + (times - 1) * within
    return Repeated(
        within=within**0.5,
        coefficient=ERRORS_FOR_95 * (2 * within) ** 0.5,
        icc=(between - within) / whole if whole else 0.0,
        bias=float(apart.mean()),
        low=float(apart.mean()) - reach,
        high=float(apart.mean()) + reach,
    )


def repeated_readings(folder: Path) -> tuple[list[str], dict[str, FloatArray]]:
    """Toe and heel angle of every photograph from the side that was placed twice.

    Parameters
    ----------
    folder
        The folder of the case.

    Returns
    -------
    list of str
        The visits.
    dict of str to array
        By measure, a row for each visit and a column for each placing [degrees].

    Raises
    ------
    CaseError
        If a file cannot be read, or fewer than three photographs were placed twice.
    """
    visits, rows = [], []
    for visit in visit_names(folder):
        placed = read_picture(folder, visit, "side")
        if placed is None or len(placed.placings) < 2 or missing_points(placed):
            continue
        fields = read_fields_of(folder, visit)
        # the corners of a square are found by the program: they stand in both placings
        whole = [{**placed.placings[0], **places} for places in placed.placings]
        feet = [
            from_the_side(
                replace(placed, placings=(places,)), fields["facing"], fields["point_error_mm"]
            ).profile
            for places in whole
        ]
        visits.append(visit)
        rows.append([[float(getattr(foot, name)) for foot in feet] for name in _MEASURES])
    if len(visits) < _FEWEST:
        raise CaseError(
            f"your own hand is told by {_FEWEST} photographs from the side or more, all points of "
            f"each placed a second time (so far: {len(visits)})"
        )
    table = np.array(rows, dtype=np.float64)
    return visits, {name: table[:, number] for number, name in enumerate(_MEASURES)}


def repeated_in_words(visits: Sequence[str], readings: dict[str, FloatArray]) -> list[str]:
    """What the readings tell, as lines to read."""
    lines = [f"{len(visits)} photographs, placed twice each: {', '.join(visits)}", ""]
    for name, words in _MEASURES.items():
        found = repeatability(readings[name])
        lines += [
            f"{words}: differences under {found.coefficient:.1f} degrees are your hand "
            "(repeatability coefficient, 19 times in 20).",
            f"  One reading: standard deviation {found.within:.2f} degrees. Second less first: "
            f"{found.bias:+.2f}, limits of agreement {found.low:+.2f} to {found.high:+.2f}.",
            f"  Part of the variance that lies between the photographs: {found.icc:.2f} (ICC).",
        ]
    return lines

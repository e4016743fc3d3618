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
from hoofcalc.case.hand import HAND_FILE, Hand, coefficient
from hoofcalc.case.landmarks import (
    LANDMARKS,
    frame_of,
    from_the_side,
    missing_points,
    plane_of,
    read_picture,
)
from hoofcalc.case.storage import CaseError
from hoofcalc.profile import EVERY_MEASURE, Profile

_FEWEST = 3
#: No hand is finer than this [mm].
_FINEST_MM = 0.05
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
        coefficient=coefficient(within**0.5),
        icc=(between - within) / whole if whole else 0.0,
        bias=float(apart.mean()),
        low=float(apart.mean()) - reach,
        high=float(apart.mean()) + reach,
    )


def repeated_readings(folder: Path) -> tuple[list[str], dict[str, FloatArray], Hand]:
    """Every photograph from the side that was placed more than once, read by each placing.

    Parameters
    ----------
    folder
        The folder of the case.

    Returns
    -------
    list of str
        The visits.
    dict of str to array
        By measure, a row for each visit and a column for each placing: as many as every one has.
    Hand
        What they tell of the hand.

    Raises
    ------
    CaseError
        If a file cannot be read, or fewer than three photographs were placed again.
    """
    again = {}
    for visit in visit_names(folder):
        placed = read_picture(folder, visit, "side")
        if placed is not None and len(placed.placings) > 1 and not missing_points(placed):
            again[visit] = placed
    if len(again) < _FEWEST:
        raise CaseError(
            f"your own hand is told by {_FEWEST} photographs from the side or more, all points of "
            f"each placed again, once or better twice (so far: {len(again)})"
        )
    times = min(len(placed.placings) for placed in again.values())
    rows, squares, coordinates = [], 0.0, 0
    for visit, placed in again.items():
        fields = read_fields_of(folder, visit)
        # the corners of a square are found by the program: they stand in every placing
        whole = [{**placed.placings[0], **places} for places in placed.placings[:times]]
        feet = [
            from_the_side(
                replace(placed, placings=(places,)), fields["facing"], fields["point_error_mm"]
            ).profile
            for places in whole
        ]
        rows.append([[_measure(foot, name) for foot in feet] for name in EVERY_MEASURE])
        marks = [name for name in LANDMARKS if placed.times(name) >= times]
        places_mm = plane_of(placed).to_mm([[each[name] for name in marks] for each in whole])
        squares += float(places_mm.var(axis=0).sum()) * times
        coordinates += places_mm[0].size
    by_measure = np.moveaxis(np.array(rows, dtype=np.float64), 1, 0)
    table = dict(zip(EVERY_MEASURE, by_measure, strict=True))
    for name, words in _MEASURES.items():
        if not np.ptp(table[name], axis=1).any():
            raise CaseError(
                f"the {words} reads the same in every placing, and no hand does that. Place the "
                "points again as if you had never seen the first"
            )
    frames = [name for each in again.values() for name in frame_of(each) if each.times(name) < 2]
    hand = Hand(
        photographs=len(again),
        freedom=len(again) * (times - 1),
        all_again=not frames,
        point_error_mm=max(float(np.sqrt(squares / (coordinates * (times - 1)))), _FINEST_MM),
        within={
            name: float(np.sqrt(each.var(axis=1, ddof=1).mean()))
            for name, each in table.items()
            if np.isfinite(each).all() and np.ptp(each, axis=1).any()
        },
    )
    return list(again), table, hand


def _measure(foot: Profile, name: str) -> float:
    """A measure of the foot; NaN where it needs a landmark that was not placed."""
    try:
        return float(getattr(foot, name))
    except ValueError:
        return float("nan")


def repeated_in_words(visits: Sequence[str], readings: dict[str, FloatArray]) -> list[str]:
    """What the readings tell, as lines to read."""
    times = readings["toe_angle_deg"].shape[1]
    lines = [f"{len(visits)} photographs, placed {times} times each: {', '.join(visits)}", ""]
    for name, words in _MEASURES.items():
        found = repeatability(readings[name])
        lines += [
            f"{words}: differences under {found.coefficient:.1f} degrees are your hand "
            "(repeatability coefficient, 19 times in 20).",
            f"  One reading: standard deviation {found.within:.2f} degrees. Second less first: "
            f"{found.bias:+.2f}, limits of agreement {found.low:+.2f} to {found.high:+.2f}.",
            f"  Part of the variance that lies between the photographs: {found.icc:.2f} (ICC).",
        ]
    return [
        *lines,
        "",
        f"Kept in {HAND_FILE}: from now on every interval of this case is worked out with it. The "
        "file may be copied into other cases that you measure yourself.",
    ]

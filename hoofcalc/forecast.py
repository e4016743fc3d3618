"""How a foot will stand at its next visit: trim, growth, wear and drift, with a band."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import FloatArray, choice, numbers
from hoofcalc.cycle import (
    FLOOR_DEG,
    GROWTH_MM_DAY,
    GROWTH_SD_MM_DAY,
    drift,
    grow,
    steady_law,
    trim,
)
from hoofcalc.profile import Profile

__all__ = ["COVERS", "LEAVES_OUT", "Expected", "expected"]

#: What the bands cover.
COVERS = "reading the angles, how fast horn grows, and how steep new horn comes at the heel"
#: What they do not cover.
LEAVES_OUT = "shoes other than flat ones, a lost shoe, another ground, illness, another hand"
#: Wear along the wall at toe and heel [mm a day], unshod and shod. A choice of ours.
_WEAR_MM_DAY = {False: (0.13, 0.10), True: (0.0, 0.08)}
#: The lower edge of the band is not followed any further than a heel drifted to this angle [deg].
_LOST_DEG = 14.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Expected:
    """The angles of a foot in the days to come; made by `expected`.

    Parameters
    ----------
    toe_deg, heel_deg
        Low end, middle and high end of the band [degrees], shape (days, 3).

    References
    ----------
    Definition.

    Examples
    --------
    >>> Expected(toe_deg=np.array([[49.0, 51.0, 53.0]]), heel_deg=np.zeros((1, 3))).toe_deg.shape
    (1, 3)
    """

    toe_deg: FloatArray
    heel_deg: FloatArray

    def how_sure(self, end: str, number: int = 0) -> HowSure:
        """The angle at one end of the foot with its band, in the form of every result.

        Parameters
        ----------
        end
            "toe" or "heel".
        number
            Which of the days, counted from 0.

        Returns
        -------
        HowSure
            The angle [degrees].

        Raises
        ------
        ValueError
            If `end` is neither "toe" nor "heel".

        References
        ----------
        Definition.

        Examples
        --------
        >>> band = Expected(toe_deg=np.array([[49.0, 51.0, 53.0]]), heel_deg=np.zeros((1, 3)))
        >>> print(band.how_sure("toe"))
        51.0 (49.0 to 53.0) degrees
        """
        choice("end", end, ("toe", "heel"))
        low, middle, high = getattr(self, f"{end}_deg")[number]
        return HowSure(middle, low, high, "degrees", COVERS, LEAVES_OUT)


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
    0 and 0.08, a choice of ours; the heel as trimmed is steady, so that its middle follows the
    geometry (`hoofcalc.cycle.steady_law`). The band holds three parts, put together by the root
    of the sum of their squares: twice the error of measuring, growth faster by two standard
    deviations, and new horn at the heel that comes steeper or flatter than what keeps it, by as
    much as can be read off a foot. It does not hold what the model leaves out: shoes other than
    flat ones, a lost shoe, another ground, illness, another hand.

    Equation: half-width = sqrt((2 error)^2 + (two standard deviations of growth)^2 + (band
    ends)^2), to each side of the middle.

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
        If `days` lies outside 0 to 1,000, a trim takes off more than there is, or the heel is too
        steep or too flat to follow.

    References
    ----------
    Model of our own on `hoofcalc.cycle`; rates of growth as there, rates of wear chosen by us.

    Examples
    --------
    >>> foot = Profile.from_measures(51, 46, 78, 36, 105)
    >>> band = expected(foot, {"toe": 0.8, "heel": 1.5}, [0, 42], shod=False)
    >>> [[round(float(end)) for end in row] for row in band.toe_deg]
    [[49, 51, 53], [50, 51, 53]]
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
    law = steady_law(heel, foot.heel_height_mm, wear_mm_day=heel_wear).with_band_ends()
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
        middle, flatter, steeper = np.asarray(getattr(moved, name)).T
        by_growth = (np.asarray(getattr(more, name)) - np.asarray(getattr(plain, name)))[:, 0]
        rest = (2.0 * error_deg[end]) ** 2 + by_growth**2
        low = middle - np.sqrt((middle - flatter) ** 2 + rest)
        high = middle + np.sqrt((steeper - middle) ** 2 + rest)
        bands[f"{end}_deg"] = np.column_stack([low, middle, high])
    return Expected(**bands)

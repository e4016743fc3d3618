"""A person's own hand: how far readings of one photograph part, as `repeat` wrote it into the case.

From then on it stands in the place of the stated error of a point, in every interval of the case.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc.case.storage import CaseError, Field, as_toml, fields_of, kept, put, read_record
from hoofcalc.profile import EVERY_MEASURE

HAND_FILE = "hand.toml"
_OF_ONE = "Standard deviation of one reading of the same photograph"


def for_few(freedom: float) -> float:
    """By how much a standard deviation from few readings is widened, so that 1.96 of it hold.

    Student's t over the normal's 1.96 (W. S. Gosset 1908, The probable error of a mean, from
    memory): with it 1.96 errors hold the truth 19 times in 20, however few the readings were.
    """
    from scipy.special import stdtrit  # here: half a second of loading

    return float(stdtrit(freedom, 0.975)) / ERRORS_FOR_95


@dataclass(frozen=True, kw_only=True, eq=False)
class Hand:
    """How far a person's readings of the same photographs part.

    Parameters
    ----------
    photographs, freedom
        How many photographs, and how many readings more than these.
    all_again
        Whether the points that tell size and level were placed again as well.
    point_error_mm
        Standard deviation of one coordinate of a point [mm].
    within
        Standard deviation of one reading by measure, in the unit of its name.
    """

    photographs: int = kept("How many photographs were read again.", 3, between=(3, 10_000))
    freedom: int = kept("How many readings more than photographs.", 6, between=(3, 100_000))
    all_again: bool = kept("Whether size and level were placed again too.", True)
    point_error_mm: float = kept("The same of a placed coordinate.", 0.5, between=(0.01, 20))
    within: Mapping[str, float]

    @property
    def stated_mm(self) -> float:
        """Error of a placed coordinate, widened because few readings tell it [mm]."""
        return self.point_error_mm * for_few(self.freedom)

    def parts(
        self, parts: Mapping[str, float], measure: str, times: int, *, found: bool
    ) -> dict[str, float]:
        """The parts of an error with this hand in the place of the placed points.

        Parameters
        ----------
        parts
            Standard errors by source.
        measure
            Of which measure of the foot.
        times
            How often the points were placed.
        found
            Whether the corners of the square were found by the program.

        Returns
        -------
        dict of str to float
            As given where the hand is not known in this measure.
        """
        if measure not in self.within:
            return dict(parts)
        mine = {"points"} if found or not self.all_again else {"points", "frame"}
        hand = self.within[measure] * for_few(self.freedom) / np.sqrt(times)
        return {"hand": float(hand)} | {
            name: size for name, size in parts.items() if name not in mine
        }

    def in_words(self) -> str:
        """What stands in the printout where this hand is used."""
        ends = {"toe": "toe_angle_deg", "heel": "heel_angle_deg"}
        own = [
            f"{coefficient(self.within[name]):.1f} degrees at the {end}"
            for end, name in ends.items()
            if name in self.within
        ]
        return (
            f"The error of placing is that of your own hand, told by {self.photographs} "
            f"photographs that you placed again ({HAND_FILE}): differences under "
            f"{' and '.join(own)} are your hand."
        )


HAND_FIELDS = (
    *fields_of(Hand),
    *(Field(name, "number", f"{_OF_ONE}: {name}.", 0.8, high=1000.0) for name in EVERY_MEASURE),
)


def coefficient(within: float) -> float:
    """Two readings of one photograph part by less than this 19 times in 20."""
    return ERRORS_FOR_95 * 2**0.5 * within


def read_hand(folder: Path) -> Hand | None:
    """The hand of the case's measurer; None where it was never told.

    Parameters
    ----------
    folder
        The folder of the case.

    Returns
    -------
    Hand or None
        How far readings part.

    Raises
    ------
    CaseError
        If the file cannot be, with line and field.
    """
    if not (folder / HAND_FILE).exists():
        return None
    found = read_record(folder, HAND_FILE, HAND_FIELDS)
    within = {name: found.pop(name) for name in EVERY_MEASURE if name in found}
    if not {"toe_angle_deg", "heel_angle_deg"} <= set(within):
        raise CaseError(f"{HAND_FILE}: toe_angle_deg and heel_angle_deg are needed")
    return Hand(**found, within=within)


def save_hand(folder: Path, hand: Hand) -> bool:
    """Write hand.toml, and keep the one before; whether anything changed."""
    heading = "Your own hand, written by repeat. Take it away to go back to the stated errors."
    return put(folder, HAND_FILE, as_toml({**vars(hand), **hand.within}, HAND_FIELDS, heading))

"""The numbers of the feet that carry the story, once: what lessons, figures and exercises say.

Four invented feet go through the course: Fernlow's (in line), Otterby's (run under), Hobnut's (too
upright) and, in the last lesson, Marrowfen's. Their numbers follow from the yard's records and
stand here in one table; tests hold every text to it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from types import MappingProxyType

from hoofcalc import datasets
from hoofcalc.profile import Profile

__all__ = ["STORY", "Reading", "StoryFoot", "story"]

#: Whose foot stands for what, and which foot it is, in the order in which they are shown.
STORY: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "Fernlow": ("left fore", "in line"),
        "Otterby": ("right fore", "run under"),
        "Hobnut": ("left fore", "too upright"),
        "Marrowfen": ("right fore", "case"),
    }
)


@dataclass(frozen=True, slots=True)
class Reading:
    """A foot's angles as read at one moment.

    Parameters
    ----------
    day
        When.
    weeks
        Since the trim before; None where that is not known.
    toe_deg, heel_deg, gap_deg
        The two angles and toe less heel [degrees].
    heel_mm
        Length of the heel wall [mm].
    """

    day: date
    weeks: int | None
    toe_deg: float
    heel_deg: float
    gap_deg: float
    heel_mm: float


@dataclass(frozen=True, slots=True)
class StoryFoot:
    """What the course says of one horse and its foot.

    Parameters
    ----------
    horse, foot, called
        Whose foot, which, and what it stands for.
    mass_kg
        Without saddle or rider [kg].
    before, after
        One reading a visit, before the trim and after it, earliest first.
    """

    horse: str
    foot: str
    called: str
    mass_kg: float
    before: tuple[Reading, ...]
    after: tuple[Reading, ...]

    @property
    def now(self) -> Reading:
        """As last found, before the trim: the numbers that the lessons mean."""
        return self.before[-1]

    @property
    def first(self) -> Reading:
        """As first found, before the trim."""
        return self.before[0]


@cache
def story(horse: str) -> StoryFoot:
    """One foot of the story.

    Parameters
    ----------
    horse
        One of `STORY`.

    Returns
    -------
    StoryFoot
        Its numbers.

    Raises
    ------
    ValueError
        If no such horse carries the story.

    References
    ----------
    Invented.

    Examples
    --------
    >>> now = story("Otterby").now
    >>> round(now.toe_deg, 1), round(now.heel_deg, 1), round(now.gap_deg, 1)
    (48.0, 22.7, 25.3)
    """
    if horse not in STORY:
        raise ValueError(f"horse must be one of {', '.join(STORY)} (got {horse!r})")
    foot, called = STORY[horse]
    readings = {
        moment: tuple(_read(horse, foot, visit, moment) for visit in datasets.visits(horse))
        for moment in ("before trim", "after trim")
    }
    return StoryFoot(
        horse,
        foot,
        called,
        next(one.mass_kg for one in datasets.horses() if one.name == horse),
        readings["before trim"],
        readings["after trim"],
    )


def _read(horse: str, foot: str, visit: int, moment: str) -> Reading:
    record = datasets.foot(horse, foot, visit, moment)
    profile = Profile(**record.landmarks)
    return Reading(
        record.date,
        None if record.days_since is None else round(record.days_since / 7),
        float(profile.toe_angle_deg),
        float(profile.heel_angle_deg),
        float(profile.angle_gap_deg),
        float(profile.heel_length_mm),
    )

"""Feet of the yard in 3-D, those of the story first: built in one place for figures and lessons."""

from __future__ import annotations

from functools import cache

import numpy as np

from hoofcalc import datasets
from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.profile import Profile

__all__ = ["solid_of", "story_capsule", "story_taper"]

_PER_SIDE = 24


@cache
def story_taper(story: str) -> float:
    """Width of a story foot at the coronary band over that at the ground.

    Parameters
    ----------
    story
        "in line", "run under" or "too upright".

    Returns
    -------
    float
        From the yard's view from the front [-].
    """
    return _taper(datasets.story_feet()[story])


def _taper(record: datasets.Foot) -> float:
    view = datasets.front_view(record.horse, record.foot)
    coronet = view["medial_coronet_mm"] + view["lateral_coronet_mm"]
    return float(coronet / (view["medial_ground_mm"] + view["lateral_ground_mm"]))


def _built(record: datasets.Foot, outline_mm: FloatArray) -> Capsule:
    profile = Profile(**record.landmarks)
    return build_capsule(profile, outline_mm, _taper(record), per_side=_PER_SIDE)


def solid_of(horse: str, foot: str) -> Capsule:
    """A foot of the yard in 3-D as it was last measured: side view, outline and front view.

    Parameters
    ----------
    horse, foot
        As in `hoofcalc.datasets.foot`.

    Returns
    -------
    Capsule
        49 strips, in mm; the outline is stretched to the length of the side view.
    """
    record, outline = datasets.foot(horse, foot), datasets.outline(horse, foot)
    length_mm = float(Profile(**record.landmarks).bearing_length_mm)
    return _built(record, outline * [length_mm / float(np.ptp(outline[:, 0])), 1.0])


@cache
def story_capsule(story: str) -> Capsule:
    """A story foot as it was last measured, from outline, side view and front view.

    Parameters
    ----------
    story
        "in line", "run under" or "too upright".

    Returns
    -------
    Capsule
        49 strips, in mm.
    """
    record = datasets.story_feet()[story]
    return _built(record, datasets.outline(record.horse, record.foot))

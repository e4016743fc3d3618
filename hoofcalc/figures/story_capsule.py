"""The three feet of the story in 3-D, built in one place for figures and lessons."""

from __future__ import annotations

from functools import cache

from hoofcalc import datasets
from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.profile import Profile

__all__ = ["story_capsule", "story_taper"]

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
    record = datasets.story_feet()[story]
    view = datasets.front_view(record.horse, record.foot)
    coronet = view["medial_coronet_mm"] + view["lateral_coronet_mm"]
    return float(coronet / (view["medial_ground_mm"] + view["lateral_ground_mm"]))


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
    outline = datasets.outline(record.horse, record.foot)
    profile = Profile(**record.landmarks)
    return build_capsule(profile, outline, story_taper(story), per_side=_PER_SIDE)

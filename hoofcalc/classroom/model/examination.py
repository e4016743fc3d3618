"""The same exercise as an examination: other numbers than for practice, and no hints."""

from __future__ import annotations

import functools
import re
from dataclasses import replace

from hoofcalc.classroom.model.questions import Exercise, Numbers

#: How the name of an examination ends.
SUFFIX = "-examination"
_HOW = (
    "**This is an examination.** Each learner has numbers of their own. Type your id in the cell "
    "below, then run the cells in their order (Shift and Enter together) to see yours. The cell "
    "under each answer tells you only whether it can be read, not whether it is right. Leave your "
    "work in your cells: it is looked at as well."
)


def practice_name(name: str) -> str:
    """The name of the exercise that an examination is made from."""
    return name.removesuffix(SUFFIX)


def as_examination(exercise: Exercise) -> Exercise:
    """The examination to an exercise, with sets of numbers that nobody has practised on."""
    from hoofcalc.classroom.model.variants import all_variants

    @functools.cache
    def practised() -> list[Numbers]:
        return all_variants(exercise)

    def fits(numbers: Numbers) -> bool:
        return exercise.fits(numbers) and dict(numbers) not in practised()

    how = re.compile(r"\*\*How it works\.\*\*.*?(\n\n|$)", re.DOTALL)
    return replace(
        exercise,
        name=f"{exercise.name}{SUFFIX}",
        title=f"{exercise.title} (examination)",
        intro=how.sub(f"{_HOW}\\1", exercise.intro),
        fits=fits,
    )

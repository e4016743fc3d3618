"""The course as it lies in the checkout, and a copy of it to work in."""

from __future__ import annotations

import functools
import os
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from hoofcalc.classroom.grading.marking import Assignment, load_assignment
from hoofcalc.classroom.model.questions import Number, Numbers

#: An instructor's own course gets the same proofs: HOOFCALC_COURSE names its folder.
OWN = Path(__file__).resolve().parents[2] / "exercises"
COURSE = Path(os.environ.get("HOOFCALC_COURSE", OWN))
NAMES = sorted(path.stem for path in (COURSE / "keys").glob("*.py") if "-handins" not in path.stem)


@pytest.fixture(params=NAMES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="session")
def names() -> list[str]:
    return NAMES


def _once(work: Callable[[Numbers], float]) -> Callable[[Numbers], float]:
    """The same, worked out once for each set of numbers."""
    kept = functools.cache(lambda own: work(dict(own)))
    return lambda numbers: kept(tuple(numbers.items()))


@functools.cache
def _read(name: str) -> Assignment:
    """Read once for all tests; a truth may take long, and is asked for with every answer."""
    assignment = load_assignment(COURSE, name)
    questions = tuple(
        replace(
            one,
            truth=_once(one.truth),
            slips=tuple(replace(slip, value=_once(slip.value)) for slip in one.slips),
        )
        if isinstance(one, Number)
        else one
        for one in assignment.exercise.questions
    )
    return replace(assignment, exercise=replace(assignment.exercise, questions=questions))


@pytest.fixture
def assignment(name: str) -> Assignment:
    return _read(name)


@pytest.fixture
def course_copy(tmp_path: Path) -> Path:
    """A course folder that a test may write into."""
    copy = tmp_path / "course"
    for part in ("keys", "source", "release"):
        shutil.copytree(COURSE / part, copy / part)
    shutil.copy(COURSE / "nbgrader_config.py", copy)
    return copy

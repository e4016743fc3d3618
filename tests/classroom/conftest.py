"""What the tests of the classroom share: hand-ins of the reference, a process of their own."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from hoofcalc.classroom.grading.marking import Assignment, load_assignment
from hoofcalc.classroom.model.bank import fill
from hoofcalc.classroom.sandbox import runner

COURSE = Path(__file__).resolve().parents[2] / "exercises"
NAME = "04-columns"


@pytest.fixture(scope="session")
def assignment() -> Assignment:
    return load_assignment(COURSE, NAME)


@pytest.fixture(scope="session")
def hand_in(assignment: Assignment) -> Callable[..., Path]:
    """Lay the reference, with some answers changed, into a folder under an id."""

    def lay(folder: Path, learner: str, **answers: str) -> Path:
        folder.mkdir(parents=True, exist_ok=True)
        given = {name[1:]: source for name, source in answers.items()}
        notebook = fill(assignment.exercise, assignment.original, learner, given, reference=True)
        path = folder / f"{learner}.ipynb"
        path.write_text(json.dumps(notebook), encoding="utf-8")
        return path

    return lay


@pytest.fixture
def fresh_warm(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A warm process for this test alone, which loads no more than it must."""
    monkeypatch.setattr(runner, "_kept_warm", [])
    monkeypatch.setattr(runner, "_LOADED", ())
    yield
    runner.let_go()

"""A results folder as a whole: where it lies, and each exercise that has been marked in it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from hoofcalc.classroom.grading.course import CommandError, find_course
from hoofcalc.classroom.grading.marking import load_assignment
from hoofcalc.classroom.grading.results import Results


def beside(folder: Path) -> Path:
    """Where the results of a folder of hand-ins go by themselves."""
    folder = folder.expanduser().resolve()
    return folder.with_name(f"{folder.name}-results")


def results_folder(folder: Path) -> Path:
    """The results folder that is meant: itself, or the one beside a folder of hand-ins."""
    folder = folder.expanduser().resolve()
    for place in (folder, beside(folder)):
        if (place / "course" / "notes").is_dir():
            return place
    raise CommandError(
        f"There are no results in {folder}. Mark first with 'hoofcalc mark FOLDER', then call "
        "this again with the same FOLDER."
    )


def each_exercise(
    target: Path, course: Path | None = None, gradebook: str | None = None
) -> Iterator[Results]:
    """The results of each exercise, opened one after the other and closed again."""
    found = _with_keys(course)
    for place in sorted((target / "course" / "notes").iterdir()):
        if place.is_dir() and any(place.glob("*.json")):
            with Results(target, load_assignment(found, place.name), gradebook=gradebook) as kept:
                yield kept


def one_exercise(
    target: Path, name: str, course: Path | None = None, gradebook: str | None = None
) -> Results:
    """The results of one exercise; close them again."""
    found = _with_keys(course)
    if not (target / "course" / "notes" / name).is_dir():
        raise CommandError(f"Nothing has been marked of '{name}' in {target}.")
    return Results(target, load_assignment(found, name), gradebook=gradebook)


def _with_keys(course: Path | None) -> Path:
    found = find_course(course)
    if found is None:
        raise CommandError("The keys are needed for this: say where they are with --course FOLDER.")
    return found

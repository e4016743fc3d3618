"""Several exercises marked in one go: a folder for each, or nbgrader's own layout."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from hoofcalc.classroom.grading.course import CommandError, find_course, known_exercises
from hoofcalc.classroom.grading.folder import mark_folder
from hoofcalc.classroom.grading.results_folder import beside


def exercises_in(folder: Path, known: Sequence[str]) -> dict[str, Path]:
    """Which exercises lie in a folder by themselves, and where the hand-ins of each are."""
    found = {}
    for name in known:
        if (folder / name).is_dir() and not (folder / name).is_symlink():
            found[name] = folder / name
        elif any((folder / "submitted").glob(f"*/{name}")):
            found[name] = folder
    return found


def mark_all(
    folder: Path,
    *,
    exercises: Sequence[str] | None = None,
    results: Path | None = None,
    course: Path | None = None,
    again: bool = False,
    gradebook: str | None = None,
) -> int:
    """Mark a folder with one exercise or several. 0: all marked. 1: some could not be."""
    folder = folder.expanduser()
    found_course = find_course(course)
    known = known_exercises(found_course) if found_course is not None else []
    places = exercises_in(folder, known)
    wanted: Sequence[str | None] = exercises or list(places) or [None]
    worst, troubles = 0, []
    for name in wanted:
        if len(wanted) > 1:
            print(f"\n{name}")
        try:
            code = mark_folder(
                places.get(name, folder) if name is not None else folder,
                exercise=name,
                results=results or beside(folder),
                course=course,
                again=again,
                gradebook=gradebook,
            )
        except CommandError as problem:  # one empty folder does not stop the others
            if len(wanted) == 1:
                raise
            troubles.append(f"{name}: {problem}")
            code = 1
        worst = max(worst, code)
    if troubles:
        print("\n" + "\n".join(troubles))
    return worst

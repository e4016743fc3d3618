"""Where an instructor's course lies, and which exercises it has."""

from __future__ import annotations

from pathlib import Path

from hoofcalc.classroom.model.examination import SUFFIX, as_examination, practice_name
from hoofcalc.classroom.model.questions import Exercise, load_exercise

_CHECKOUT = Path(__file__).resolve().parents[3]


class CommandError(Exception):
    """The command cannot do what was asked; the message says why and what to do."""


def find_course(given: Path | None = None) -> Path | None:
    """The course folder with the keys: the one given, that of the checkout, or one around here."""
    if given is not None:
        if not (given / "keys").is_dir():
            raise CommandError(f"{given} is not a course folder: it has no folder 'keys'")
        return given.resolve()
    here = Path.cwd()
    for place in (
        _CHECKOUT / "exercises",
        here,
        *(folder / "exercises" for folder in (here, *here.parents)),
    ):
        if (place / "keys").is_dir() and (place / "nbgrader_config.py").is_file():
            return place.resolve()
    return None


def known_exercises(course: Path) -> list[str]:
    """The exercises that have a key, and the examinations that have been made ready."""
    keys = {
        path.stem for path in (course / "keys").glob("*.py") if not path.stem.endswith("-handins")
    }
    ready = {path.name for path in (course / "release").glob(f"*{SUFFIX}")}
    return sorted(keys | {name for name in ready if practice_name(name) in keys})


def key_file(course: Path, name: str) -> Path:
    """Where the key of an exercise or an examination stands."""
    return course / "keys" / f"{practice_name(name)}.py"


def load_key(course: Path, name: str) -> Exercise:
    """The exercise or the examination of that name."""
    exercise = load_exercise(key_file(course, name))
    return exercise if name == practice_name(name) else as_examination(exercise)

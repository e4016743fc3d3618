"""Where an instructor's course lies, and which exercises it has."""

from __future__ import annotations

from pathlib import Path

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
    """The exercises that have a key."""
    return sorted(
        path.stem for path in (course / "keys").glob("*.py") if not path.stem.endswith("-handins")
    )

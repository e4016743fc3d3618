"""Where the course's files lie: beside the package in a checkout, inside it in a wheel."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
#: What each part of the course is called in a checkout; in a wheel it keeps its own name.
_IN_CHECKOUT = {"lessons": "lessons", "exercises": "exercises/release", "datasets": "datasets"}


def course_folder(name: str, *, package: Path = _PACKAGE) -> Path:
    """The folder of "lessons", "exercises" (as handed out) or "datasets".

    A wheel carries the course in ``hoofcalc/_course``; that copy goes first. A
    checkout is recognised by the ``pyproject.toml`` beside the package, because
    the folder beside an installed package belongs to everyone (another package
    may well be called "datasets"). `package` is for tests.

    >>> course_folder("datasets").name
    'datasets'
    >>> course_folder("recipes")
    Traceback (most recent call last):
    ...
    ValueError: name must be one of 'lessons', 'exercises', 'datasets' (got 'recipes')
    """
    if name not in _IN_CHECKOUT:
        listing = ", ".join(repr(known) for known in _IN_CHECKOUT)
        raise ValueError(f"name must be one of {listing} (got {name!r})")
    in_wheel = package / "_course" / name
    in_checkout = package.parent / _IN_CHECKOUT[name]
    if in_wheel.is_dir():
        return in_wheel
    if (package.parent / "pyproject.toml").is_file() and in_checkout.is_dir():
        return in_checkout
    raise FileNotFoundError(
        f"the course's {name} are missing: looked in {in_wheel} and in {in_checkout}. "
        "Install hoofcalc again, or run it from a complete checkout."
    )

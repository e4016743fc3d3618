"""A number with its noun: "1 page", "2 pages"."""

from __future__ import annotations


def counted(number: float, thing: str) -> str:
    """A number and what it counts, one of them or several.

    >>> counted(1, "page"), counted(2, "page"), counted(0, "text"), counted(0.5, "point")
    ('1 page', '2 pages', '0 texts', '0.5 points')
    """
    return f"{number:g} {thing}{'' if number == 1 else 's'}"

"""A number in a sentence: with its noun ("1 page", "2 pages"), and beside another one."""

from __future__ import annotations

_MOST_DECIMALS = 9


def counted(number: float, thing: str) -> str:
    """A number and what it counts, one of them or several.

    >>> counted(1, "page"), counted(2, "page"), counted(0, "text"), counted(0.5, "point")
    ('1 page', '2 pages', '0 texts', '0.5 points')
    """
    return f"{number:g} {thing}{'' if number == 1 else 's'}"


def decimals_apart(one: float, other: float, least: int) -> int:
    """How many decimals two numbers need so that they do not look the same, at least `least`.

    >>> decimals_apart(1.04, 1.02, 1), decimals_apart(1.044, 1.041, 1), decimals_apart(3, 1.02, 1)
    (2, 3, 1)
    """
    enough = (n for n in range(least, _MOST_DECIMALS) if f"{one:.{n}f}" != f"{other:.{n}f}")
    return next(enough, least)

"""How a number of several figures is said in words."""

from __future__ import annotations

import numpy as np

__all__ = ["digits", "lean_says"]


def digits(number: float, count: int = 3) -> str:
    """A number with so many digits that count.

    Parameters
    ----------
    number
        Any number.
    count
        How many digits.

    Returns
    -------
    str
        Without trailing zeros, and written out however large or small it is.

    Examples
    --------
    >>> digits(4187.3), digits(0.5004, 2), digits(1584000.0)
    ('4190', '0.5', '1580000')
    """
    return np.format_float_positional(float(f"{number:z.{count}g}"), trim="-")


def lean_says(tilt_deg: float) -> str:
    """How a push leans.

    Parameters
    ----------
    tilt_deg
        Its lean from the vertical, positive back [degrees].

    Returns
    -------
    str
        Size and way.

    Examples
    --------
    >>> lean_says(-3.0), lean_says(0.0)
    ('3° forward', 'straight up')
    """
    if not tilt_deg:
        return "straight up"
    return f"{abs(tilt_deg):g}° {'back' if tilt_deg > 0 else 'forward'}"

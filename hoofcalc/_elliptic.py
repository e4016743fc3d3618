"""Elliptic integrals and functions in numpy alone: no page in a browser fetches scipy for them.

Names and arguments as in scipy.special; `tests/test_elliptic.py` holds them against it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray

#: Each step brings the arguments four times as near to each other; the error falls with the
#: sixth power of that.
_STEPS = 14


def elliprf(first: ArrayLike, second: ArrayLike, third: ArrayLike) -> FloatArray:
    """Carlson's integral of the first kind; at most one argument is 0.

    References
    ----------
    Carlson B.C., Numerical computation of real or complex elliptic integrals, Numerical
    Algorithms 10 (1995) 13-26, section 2.
    """
    x, y, z = _floats(first, second, third)
    for _ in range(_STEPS):
        turn = np.sqrt(x * y) + np.sqrt(y * z) + np.sqrt(z * x)
        x, y, z = ((one + turn) / 4 for one in (x, y, z))
    mean = (x + y + z) / 3
    off_x, off_y = 1 - x / mean, 1 - y / mean
    off_z = -off_x - off_y
    e2, e3 = off_x * off_y - off_z**2, off_x * off_y * off_z
    series = 1 - e2 / 10 + e3 / 14 + e2**2 / 24 - 3 * e2 * e3 / 44
    return np.asarray(series / np.sqrt(mean))


def elliprd(first: ArrayLike, second: ArrayLike, third: ArrayLike) -> FloatArray:
    """Carlson's integral of the second kind; z is above 0, at most one of the others is 0.

    References
    ----------
    Carlson B.C., Numerical computation of real or complex elliptic integrals, Numerical
    Algorithms 10 (1995) 13-26, section 4.
    """
    x, y, z = _floats(first, second, third)
    total, scale = np.zeros_like(x), 1.0
    for _ in range(_STEPS):
        turn = np.sqrt(x * y) + np.sqrt(y * z) + np.sqrt(z * x)
        total = total + scale / (np.sqrt(z) * (z + turn))
        scale /= 4
        x, y, z = ((one + turn) / 4 for one in (x, y, z))
    mean = (x + y + 3 * z) / 5
    off_x, off_y = 1 - x / mean, 1 - y / mean
    off_z = -(off_x + off_y) / 3
    both = off_x * off_y
    e2, e3 = both - 6 * off_z**2, (3 * both - 8 * off_z**2) * off_z
    e4, e5 = 3 * (both - off_z**2) * off_z**2, both * off_z**3
    series = 1 - 3 * e2 / 14 + e3 / 6 + 9 * e2**2 / 88 - 3 * e4 / 22 - 9 * e2 * e3 / 52
    series = series + 3 * e5 / 26
    return np.asarray(3 * total + scale * series / mean**1.5)


def ellipj(
    argument: ArrayLike, parameter: ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Jacobi's sn, cn, dn and the amplitude, by the arithmetic-geometric mean; m from 0 to 1.

    References
    ----------
    Abramowitz M., Stegun I.A., Handbook of Mathematical Functions, 1964, 16.4.
    """
    u, m = _floats(argument, parameter)
    large, small = np.ones_like(m), np.sqrt(np.maximum(1 - m, 1e-300))
    shares = []
    steps = 11
    for _ in range(steps):
        large, small, apart = (large + small) / 2, np.sqrt(large * small), (large - small) / 2
        shares.append(apart / large)
    amplitude = 2.0**steps * large * u
    for share in reversed(shares):
        amplitude = (amplitude + np.arcsin(share * np.sin(amplitude))) / 2
    sn = np.sin(amplitude)
    return sn, np.cos(amplitude), np.sqrt(1 - m * sn**2), amplitude


def _floats(*values: ArrayLike) -> list[FloatArray]:
    """Arrays of one shape."""
    return list(np.broadcast_arrays(*(np.asarray(value, dtype=np.float64) for value in values)))

"""Horn as a material: stiffness and strength along, across and at an angle to the tubules.

A thin sheet of horn with one direction of tubules in its plane. Direction 1 runs
along the tubules, direction 2 across them. Tension is positive; all strengths
are given as positive sizes. Angles are in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray, Result, choice, numbers, plain, refuse_where, together

__all__ = [
    "CRITERIA",
    "Horn",
    "modulus_at_deg",
    "poisson_at_deg",
    "shear_modulus_at_deg",
    "strength_at_deg",
    "strength_ratio",
]

#: The strength criteria that can be asked for.
CRITERIA = ("max_stress", "tsai_hill", "tsai_wu", "hashin")


@dataclass(frozen=True)
class Horn:
    """A thin sheet with one direction of tubules (or fibres): four elastic constants, five limits.

    Linear elastic to failure, the same in every direction across the tubules,
    and the same stiffness in tension and compression. Any transversely
    isotropic sheet fits, so textbook fibre laminae can be tried as well. Horn is
    none of these exactly: it creeps, and it yields before it breaks.

    Parameters
    ----------
    along_mpa, across_mpa : float or array
        Young's modulus along and across the tubules [MPa].
    shear_mpa : float or array
        Shear modulus in the plane of the sheet [MPa].
    poisson : float or array
        Contraction across for a pull along the tubules [-].
    along_tension_mpa, along_compression_mpa : float or array
        Strength along the tubules [MPa], positive.
    across_tension_mpa, across_compression_mpa : float or array
        Strength across the tubules [MPa], positive.
    shear_strength_mpa : float or array
        Strength in shear along the tubules [MPa], positive.
        The shapes of all arguments broadcast against each other.

    Raises
    ------
    ValueError
        If a modulus or a strength is not above 0, if the size of `poisson` is
        not below sqrt(along / across) (a sheet beyond it would give out energy
        when strained), or if the shapes do not go together.

    Source
    ------
    Jones R.M., Mechanics of Composite Materials, 2nd ed., Taylor & Francis 1999,
    Sec. 2.3-2.4 (constants and their limits) and 2.9 (strengths); sections from memory.

    Examples
    --------
    >>> sheet = Horn(181000, 10300, 7170, 0.28, 1500, 1500, 40, 246, 68)
    >>> sheet.along_mpa
    181000.0
    """

    along_mpa: Result
    across_mpa: Result
    shear_mpa: Result
    poisson: Result
    along_tension_mpa: Result
    along_compression_mpa: Result
    across_tension_mpa: Result
    across_compression_mpa: Result
    shear_strength_mpa: Result

    def __post_init__(self) -> None:
        for name in _FIELDS:
            limit = None if name == "poisson" else 0.0
            value = numbers(name, getattr(self, name), above=limit)
            value.flags.writeable = False  # frozen means the arrays too
            object.__setattr__(self, name, plain(value))
        _go_together(self)
        # Jones Eq. 2.48: |nu12| < sqrt(E1 / E2)
        refuse_where(
            np.square(self.poisson) * self.across_mpa >= self.along_mpa,
            "poisson must be below sqrt(along_mpa / across_mpa) = {limit:.4g} in size"
            " (got {poisson:g})",
            limit=np.sqrt(np.divide(self.along_mpa, self.across_mpa)),
            poisson=self.poisson,
        )


_FIELDS = tuple(field.name for field in fields(Horn))


def _go_together(horn: Horn, **arrays: FloatArray) -> None:
    """Refuse, in words, arrays that do not broadcast with the horn's."""
    together(**arrays, **{name: np.asarray(getattr(horn, name)) for name in _FIELDS})


def _sine_cosine_squared(horn: Horn, obliquity_deg: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """sin^2 and cos^2 of the obliquity: all that a sheet off its axis needs, exact at 0 and 90."""
    angle = numbers("obliquity_deg", obliquity_deg)
    _go_together(horn, obliquity_deg=angle)
    sine2 = np.square(np.sin(np.radians(angle)))
    return sine2, 1.0 - sine2


def modulus_at_deg(horn: Horn, obliquity_deg: ArrayLike) -> Result:
    """Young's modulus of the sheet, pulled or pressed at an angle to its tubules.

    The sheet is free to shear sideways while it is loaded. Where its ends are
    gripped so that it cannot, it is stiffer than this.

    Parameters
    ----------
    horn : Horn
        The sheet; its fields may be arrays.
    obliquity_deg : float or array
        Angle between the load and the tubules [degrees]: 0 along, 90 across.
        Any angle serves; t, -t and 180 - t give the same.

    Returns
    -------
    float or array
        Modulus [MPa], the broadcast shape of the arguments.

    Raises
    ------
    ValueError
        If the angle is not finite or the shapes do not go together.

    Source
    ------
    Jones R.M., Mechanics of Composite Materials, 2nd ed., 1999, Sec. 2.6, Eq. 2.97
    (number from memory).

    Examples
    --------
    >>> sheet = Horn(181000, 10300, 7170, 0.28, 1500, 1500, 40, 246, 68)
    >>> modulus_at_deg(sheet, 60)
    12418.1
    """
    s2, c2 = _sine_cosine_squared(horn, obliquity_deg)
    return plain(1.0 / _compliance(horn, s2, c2))


def _compliance(horn: Horn, s2: FloatArray, c2: FloatArray) -> FloatArray:
    """1/Ex = c^4/E1 + s^4/E2 + (1/G12 - 2 nu12/E1) s^2 c^2 (Jones Eq. 2.97)."""
    mixed = 1.0 / horn.shear_mpa - 2.0 * horn.poisson / horn.along_mpa
    return c2 * (c2 * (1.0 / horn.along_mpa) + s2 * mixed) + s2 * s2 * (1.0 / horn.across_mpa)


def shear_modulus_at_deg(horn: Horn, obliquity_deg: ArrayLike) -> Result:
    """Shear modulus of the sheet in axes turned from its tubules.

    Parameters
    ----------
    horn : Horn
        The sheet; its fields may be arrays.
    obliquity_deg : float or array
        Angle between the axes of shear and the tubules [degrees].

    Returns
    -------
    float or array
        Shear modulus [MPa], the broadcast shape of the arguments.

    Raises
    ------
    ValueError
        If the angle is not finite or the shapes do not go together.

    Source
    ------
    Jones R.M., Mechanics of Composite Materials, 2nd ed., 1999, Sec. 2.6, Eq. 2.97
    (number from memory).

    Examples
    --------
    >>> sheet = Horn(181000, 10300, 7170, 0.28, 1500, 1500, 40, 246, 68)
    >>> shear_modulus_at_deg(sheet, [0, 45, 90])
    array([7170. , 9460.2, 7170. ])
    """
    s2, c2 = _sine_cosine_squared(horn, obliquity_deg)
    inverse = 1.0 / horn.shear_mpa
    # 1/Gxy = 2 (2/E1 + 2/E2 + 4 nu12/E1 - 1/G12) s^2 c^2 + (s^4 + c^4)/G12
    mixed = (2.0 + 4.0 * horn.poisson) / horn.along_mpa + 2.0 / horn.across_mpa - inverse
    return plain(1.0 / (2.0 * mixed * s2 * c2 + (s2 * s2 + c2 * c2) * inverse))


def poisson_at_deg(horn: Horn, obliquity_deg: ArrayLike) -> Result:
    """Poisson's ratio of the sheet, pulled or pressed at an angle to its tubules.

    Parameters
    ----------
    horn : Horn
        The sheet; its fields may be arrays.
    obliquity_deg : float or array
        Angle between the load and the tubules [degrees]: 0 along, 90 across.

    Returns
    -------
    float or array
        Contraction square to the load per stretch along it [-].

    Raises
    ------
    ValueError
        If the angle is not finite or the shapes do not go together.

    Source
    ------
    Jones R.M., Mechanics of Composite Materials, 2nd ed., 1999, Sec. 2.6, Eq. 2.97
    (number from memory).

    Examples
    --------
    >>> sheet = Horn(181000, 10300, 7170, 0.28, 1500, 1500, 40, 246, 68)
    >>> poisson_at_deg(sheet, 60)
    0.097826
    """
    s2, c2 = _sine_cosine_squared(horn, obliquity_deg)
    # nu_xy = Ex [(nu12/E1)(s^4 + c^4) - (1/E1 + 1/E2 - 1/G12) s^2 c^2]
    mixed = 1.0 / horn.along_mpa + 1.0 / horn.across_mpa - 1.0 / horn.shear_mpa
    drawn_in = horn.poisson / horn.along_mpa * (s2 * s2 + c2 * c2) - mixed * s2 * c2
    return plain(drawn_in / _compliance(horn, s2, c2))


def strength_at_deg(
    horn: Horn,
    obliquity_deg: ArrayLike,
    criterion: str = "tsai_hill",
    sense: str = "compression",
) -> Result:
    """Greatest stress the sheet bears, pulled or pressed at an angle to its tubules.

    The same as `strength_ratio` for a stress of 1 MPa along x and tubules at the
    obliquity; see there for what each criterion means and where it misleads. The
    default is the smooth one that never overshoots in off-axis compression.

    Parameters
    ----------
    horn : Horn
        The sheet; its fields may be arrays.
    obliquity_deg : float or array
        Angle between the load and the tubules [degrees]: 0 along, 90 across.
        Any angle serves; t, -t and 180 - t give the same.
    criterion : str
        One of "max_stress", "tsai_hill", "tsai_wu", "hashin".
    sense : str
        "compression" or "tension".

    Returns
    -------
    float or array
        Strength [MPa], positive, the broadcast shape of the arguments.

    Raises
    ------
    ValueError
        If the angle is not finite, criterion or sense is not one of those named,
        the shapes do not go together, or "tsai_hill" is asked of a sheet at
        least twice as strong across as along.

    Source
    ------
    As for `strength_ratio`. The stress along the tubules is s cos^2 t, across
    them s sin^2 t, in shear s sin t cos t: Jones R.M., Mechanics of Composite
    Materials, 2nd ed., 1999, Sec. 2.9.

    Examples
    --------
    >>> sheet = Horn(181000, 10300, 7170, 0.28, 1500, 1500, 40, 246, 68)
    >>> strength_at_deg(sheet, [0, 10, 45, 90])
    array([1500. , 385.06, 131.08, 246. ])
    >>> strength_at_deg(sheet, 45, "tsai_wu", sense="tension")
    64.54
    """
    s2, c2 = _sine_cosine_squared(horn, obliquity_deg)
    sign = 1.0 if choice("sense", sense, ("compression", "tension")) == "tension" else -1.0
    used = _used(horn, sign * c2, sign * s2, np.sqrt(s2 * c2), criterion)
    return plain(1.0 / used)


def strength_ratio(
    horn: Horn,
    stress_x_mpa: ArrayLike,
    stress_y_mpa: ArrayLike,
    shear_xy_mpa: ArrayLike,
    fibre_deg: ArrayLike,
    criterion: str = "tsai_hill",
) -> Result:
    """How many times a plane state of stress may grow before the sheet fails.

    Stress is positive in tension; the shear is positive where it turns a square
    so that its diagonal along +x +y grows longer. The tubules lie at `fibre_deg`
    from x towards y. All stresses grow together, none has grown before (no
    stress left over from drying), and failure is first failure, not collapse.

    - "max_stress": each of the three stresses in the tubules' axes against its
      own limit. No interaction, and so the most hopeful; just off the axis it
      rises a little above the strength along (limit / cos^2), which is the rule
      and not a slip.
    - "tsai_hill": Azzi and Tsai's sum of squares with, for each stress, the limit
      that fits its sign; the limit in the product of the two normal stresses
      goes by the sign of the one across (Kaw's modified form). The form that
      takes the tension limits whatever the sign differs by half for a sheet much
      stronger pressed than pulled.
    - "tsai_wu": one smooth surface through all limits, F12 = -0.5 sqrt(F11 F22).
      In compression off the axis of a sheet much stronger pressed than pulled
      across, it overshoots the limits of the single stresses by up to half (carbon-epoxy
      T300/5208 at 45 degrees: 199 against 136 MPa). Not safe for a pressed wall.
    - "hashin": tubules and the horn between them fail apart, by the signs of
      their stresses. Pressed across, Hashin's form needs the shear strength
      square to the tubules, which is not a field of `Horn`: half the strength
      across in compression is taken (failure on planes at 45 degrees), which
      makes the two other terms a plain sum of squares. Pressed along, shear is
      not counted.

    Parameters
    ----------
    horn : Horn
        The sheet; its fields may be arrays.
    stress_x_mpa, stress_y_mpa, shear_xy_mpa : float or array
        The plane stress, tension positive [MPa].
    fibre_deg : float or array
        Angle of the tubules from x towards y [degrees].
    criterion : str
        One of "max_stress", "tsai_hill", "tsai_wu", "hashin".

    Returns
    -------
    float or array
        Ratio [-]: 1 is failure, above 1 is reserve, infinite for no stress at
        all. One over it is the part of the strength in use.

    Raises
    ------
    ValueError
        If an argument is not finite, the shapes do not go together, the criterion
        is not one of those named, or "tsai_hill" is asked of a sheet at least
        twice as strong across as along (pressed or pulled), for which its surface
        does not close and some stresses would never fail.

    Source
    ------
    Axes: Jones R.M., Mechanics of Composite Materials, 2nd ed., 1999, Sec. 2.6.
    Azzi V.D., Tsai S.W., "Anisotropic strength of composites", Experimental
    Mechanics 5 (1965) 283-288, with the signs of Kaw A.K., Mechanics of Composite
    Materials, 2nd ed., CRC 2006, Sec. 2.8. Tsai S.W., Wu E.M., "A general theory
    of strength for anisotropic materials", J. Composite Materials 5 (1971) 58-80.
    Hashin Z., "Failure criteria for unidirectional fiber composites", J. Applied
    Mechanics 47 (1980) 329-334. Pages from memory.

    Examples
    --------
    >>> sheet = Horn(181000, 10300, 7170, 0.28, 1500, 1500, 40, 246, 68)
    >>> strength_ratio(sheet, -10, 0, 0, fibre_deg=[0, 45, 90], criterion="hashin")
    array([150. , 13.108, 24.6 ])
    >>> strength_ratio(sheet, 0, 0, 0, fibre_deg=30)
    inf
    """
    x = numbers("stress_x_mpa", stress_x_mpa)
    y = numbers("stress_y_mpa", stress_y_mpa)
    shear = numbers("shear_xy_mpa", shear_xy_mpa)
    angle = numbers("fibre_deg", fibre_deg)
    _go_together(horn, stress_x_mpa=x, stress_y_mpa=y, shear_xy_mpa=shear, fibre_deg=angle)
    turn = np.radians(angle)
    s, c = np.sin(turn), np.cos(turn)
    s2, c2, sc = s * s, c * c, s * c
    # Jones Eq. 2.74: stress in the tubules' axes
    along = c2 * x + s2 * y + 2.0 * sc * shear
    across = s2 * x + c2 * y - 2.0 * sc * shear
    in_shear = sc * (y - x) + (c2 - s2) * shear
    used = _used(horn, along, across, in_shear, criterion)
    with np.errstate(divide="ignore"):
        return plain(np.divide(1.0, used))


def _used(
    horn: Horn, along: FloatArray, across: FloatArray, shear: FloatArray, criterion: str
) -> FloatArray:
    """Part of the strength in use, the inverse of the strength ratio; stress in the tubules' axes.

    Each stress is first taken as a part of the limit that fits its sign.
    """
    choice("criterion", criterion, CRITERIA)
    if criterion == "tsai_wu":
        return _used_tsai_wu(horn, along, across, shear)
    a = np.maximum(along / horn.along_tension_mpa, along / -horn.along_compression_mpa)
    b = np.maximum(across / horn.across_tension_mpa, across / -horn.across_compression_mpa)
    t = np.abs(shear) / horn.shear_strength_mpa
    if criterion == "max_stress":
        return np.maximum(np.maximum(a, b), t)
    if criterion == "hashin":
        # Hashin 1980, plane stress, transverse shear strength Yc/2
        with_shear = np.hypot(a, t)
        fibre = np.where(along > 0, with_shear, a)  # pressed along: no shear term
        return np.maximum(fibre, np.hypot(b, t))
    for sense in ("tension", "compression"):
        along_limit = getattr(horn, f"along_{sense}_mpa")
        across_limit = getattr(horn, f"across_{sense}_mpa")
        refuse_where(
            np.greater_equal(across_limit, np.multiply(2.0, along_limit)),
            f"tsai_hill needs across_{sense}_mpa below twice along_{sense}_mpa"
            " (got {across:g} and {along:g}); take another criterion",
            across=across_limit,
            along=along_limit,
        )
    # Kaw 2006 Sec. 2.8: (s1/X1)^2 - (s1/X2)(s2/X2) + (s2/Y)^2 + (t/S)^2 = 1/R^2,
    # X1 by the sign of s1, X2 by the sign of s2
    limit = np.where(across < 0, horn.along_compression_mpa, horn.along_tension_mpa)
    used: FloatArray = np.sqrt(a * a - along / limit * (across / limit) + b * b + t * t)
    return used


def _used_tsai_wu(
    horn: Horn, along: FloatArray, across: FloatArray, shear: FloatArray
) -> FloatArray:
    """Tsai and Wu 1971: a R^2 + b R = 1, solved for 1/R."""
    f11 = 1.0 / (horn.along_tension_mpa * horn.along_compression_mpa)
    f22 = 1.0 / (horn.across_tension_mpa * horn.across_compression_mpa)
    f1 = 1.0 / horn.along_tension_mpa - 1.0 / horn.along_compression_mpa
    f2 = 1.0 / horn.across_tension_mpa - 1.0 / horn.across_compression_mpa
    # F12 = -0.5 sqrt(F11 F22), so 2 F12 s1 s2 is minus the product of the two roots
    p, q = along * np.sqrt(f11), across * np.sqrt(f22)
    a = p * p - p * q + q * q + np.square(shear / horn.shear_strength_mpa)
    b = f1 * along + f2 * across
    used: FloatArray = 0.5 * (b + np.sqrt(b * b + 4.0 * a))
    return used

"""Horn as a material: stiffness and strength along, across and at an angle to the tubules.

A thin sheet of horn with one direction of tubules in its plane. Direction 1 runs
along the tubules, direction 2 across them. Tension is positive; all strengths
are given as positive sizes. Angles are in degrees.

In three parts: any sheet off its axis; horn from its moisture and its place in
the foot; tubules in the horn between them (kinking, support, partial glue).
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._curves import monotone_cubic
from hoofcalc._inputs import FloatArray, Result, choice, numbers, plain, refuse_where, together

__all__ = [
    "CRITERIA",
    "Bundle",
    "Horn",
    "HornBand",
    "bundle_moduli",
    "foundation_mpa",
    "horn_at",
    "kink_stress_mpa",
    "modulus_at_deg",
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

    References
    ----------
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

    Equation: 1/E = c^4/E1 + s^4/E2 + (1/G - 2 nu/E1) s^2 c^2, with c, s cosine and sine of the
    obliquity.

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
        If `obliquity_deg` is not finite or its shape does not go with the horn's.

    References
    ----------
    Jones R.M., Mechanics of Composite Materials, 2nd ed., 1999, Sec. 2.6, Eq. 2.97
    (number from memory).

    Examples
    --------
    >>> sheet = Horn(181000, 10300, 7170, 0.28, 1500, 1500, 40, 246, 68)
    >>> modulus_at_deg(sheet, 60)
    12418.1
    """
    s2, c2 = _sine_cosine_squared(horn, obliquity_deg)
    # 1/Ex = c^4/E1 + s^4/E2 + (1/G12 - 2 nu12/E1) s^2 c^2 (Jones Eq. 2.97)
    mixed = 1.0 / horn.shear_mpa - 2.0 * horn.poisson / horn.along_mpa
    compliance = c2 * (c2 * (1.0 / horn.along_mpa) + s2 * mixed) + s2 * s2 * (1.0 / horn.across_mpa)
    return plain(1.0 / compliance)


def strength_at_deg(
    horn: Horn,
    obliquity_deg: ArrayLike,
    criterion: str = "tsai_hill",
    sense: str = "compression",
) -> Result:
    """Greatest stress the sheet bears, pulled or pressed at an angle to its tubules.

    The same as `strength_ratio` for a stress of 1 MPa along x and tubules at the
    obliquity; see there for what each criterion means and where it misleads. The
    default is smooth, and off the axis it never exceeds "max_stress": that holds
    where the strength in shear is at most the strength along, and it refuses
    other sheets, where it would (up to several times).

    Equation: strength = `strength_ratio` of 1 MPa along x with the tubules at the obliquity;
    for Tsai and Hill c^4/X^2 - s^2 c^2/X^2 + s^4/Y^2 + s^2 c^2/S^2 = 1/strength^2.

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
        If `obliquity_deg` is not finite, `criterion` or `sense` is not one of those
        named, the shapes do not go together, or "tsai_hill" is asked of a sheet at
        least twice as strong across as along, or stronger in shear than along.

    References
    ----------
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
      stronger pressed than pulled. Pulled or pressed both along and across at
      once, the product lets it exceed the limits of the single stresses.
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

    Equation: In the tubules' axes: largest of |s1|/X, |s2|/Y, |t|/S (max_stress); (s1/X)^2 - s1
    s2/X2^2 + (s2/Y)^2 + (t/S)^2 (tsai_hill); F1 s1 + F2 s2 + F11 s1^2 + F22 s2^2 + F66 t^2 + 2
    F12 s1 s2 = 1 (tsai_wu); (s1/X)^2 + (t/S)^2 and (s2/Y)^2 + (t/S)^2, each by its own signs
    (hashin).

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
        If `stress_x_mpa`, `stress_y_mpa`, `shear_xy_mpa` or `fibre_deg` is not finite, the shapes
        do not go together, `criterion` is not one of those named, or "tsai_hill" is asked of a
        sheet at least twice as strong across as along (pressed or pulled), for which its surface
        does not close and some stresses would never fail, or of one stronger in shear than along,
        for which a single push off the axis would exceed the limits of the single stresses.

    References
    ----------
    Axes: Jones R.M., Mechanics of Composite Materials, 2nd ed., 1999, Sec. 2.6.
    Azzi V.D., Tsai S.W., "Anisotropic strength of composites", Experimental
    Mechanics 5 (1965) 283-288, with the signs of Kaw A.K., Mechanics of Composite
    Materials, 2nd ed., CRC 2006, Sec. 2.8. Tsai S.W., Wu E.M., "A general theory
    of strength for anisotropic materials", J. Composite Materials 5 (1971) 58-80.
    Hashin Z., "Failure criteria for unidirectional fiber composites", J. Applied
    Mechanics 47 (1980) 329-334. Azzi and Tsai's pages from memory.

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
        refuse_where(
            np.greater(horn.shear_strength_mpa, along_limit),
            f"tsai_hill needs shear_strength_mpa at most along_{sense}_mpa"
            " (got {shear:g} and {along:g}); take another criterion",
            shear=horn.shear_strength_mpa,
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


# ---------------------------------------------------------------- horn from moisture and place
# A spread is three numbers: central value, lower edge, upper edge.
_Spread: TypeAlias = "tuple[Result, Result, Result]"

# Young's modulus of wall by relative humidity [%, MPa]: Bertram & Gosline 1987; the two middle
# ones from memory.
_HUMIDITY = ((0, 14600), (53, 3360), (75, 2630), (100, 410))
# Its edges. Wet: 250 (Bonney 2024) and 850 (Kasapi & Gosline 1996, fast) stand around the 410.
# Room dry: 400 (Bonney 2024) stands far below 3360. Dry: the wet spread, assumed.
_HUMIDITY_LOW = ((0, 14600 * 250 / 410), (53, 400), (100, 250))
_HUMIDITY_HIGH_FACTOR = 850 / 410

# Fall of the modulus with water [% of mass, 1]: 20.85 % (16.3-25.4) from 10 to 20 % water,
# 4.15 % (3.5-4.8) from 20 to 30 % (Micron 180, 2024, 103609); 30 to 35 goes on as 20 to 30.
_WATER = ((10, 1.0), (20, 0.7915), (30, 0.7915 * 0.9585), (35, 0.7915 * 0.9585**1.5))
# What may lie beyond the spread of the samples: at 10 % water Bertram & Gosline's horn at 53 %
# humidity (2.5 times the upper edge here), at 35 % Bonney's soaked horn (0.56 of the lower edge).
_WATER_DRY_FACTOR = ((10, 2.5), (20, 1.0), (35, 1.0))
_WATER_WET_FACTOR = ((10, 1.0), (30, 1.0), (35, 0.56))

# Modulus [MPa], its edges, and the water [%] it was measured at: Hinterhofer, Stanek & Binder
# 1998. The frog's upper edge is what Hinterhofer's group had put into a model in 1997.
_SAMPLES: dict[str, tuple[float, float, float, float]] = {
    "wall": (761.8, 761.8 - 295.4, 761.8 + 295.4, 22.7),
    "sole": (230.0, 230.0 - 92.4, 230.0 + 92.4, 31.5),
    "frog": (9.9, 9.9 - 0.6, 70.0, 34.6),
}
# Region of the wall against its mean. Outer 1049, inner 460 MPa: Douglas 1996 (ends of its means).
# White line against outer wall, 98.2 +/- 36.8 to 187.6 +/- 41.3 MPa: Wagner 2001, from memory.
_OUTER, _INNER = 1049 / 754.5, 460 / 754.5
_REGIONS = {
    "outer": (_OUTER, _OUTER, _OUTER),
    "middle": (1.0, 1.0, 1.0),
    "inner": (_INNER, _INNER, _INNER),
    "white_line": (_OUTER * 98.2 / 187.6, _OUTER * 61.4 / 228.9, _OUTER * 135.0 / 146.3),
}
# Place around the foot, along the tubules: lateral to dorsal wall 708 to 761.8 (Hinterhofer 1998),
# none at all (Douglas 1996), or as much as across (heel).
_PLACES = {"toe": (1.0, 1.0, 1.0), "quarter": (0.93, 0.86, 1.0), "heel": (0.93, 0.69, 1.0)}
_SAME = (1.0, 1.0, 1.0)
_HALF_TO_DOUBLE = (1.0, 0.5, 2.0)
# Along over across. Tubule to intertubular horn 0.47 to 0.08 GPa in the inner wall, alike in the
# middle (Kasapi & Gosline 1999); 39 % tubules then make a sheet of 1.5 to 2.
_CONTRAST = {
    "outer": (1.0, 0.5, 2.0),
    "middle": (1.0, 0.5, 2.0),
    "inner": (2.0, 1.0, 6.0),
    "white_line": (2.0, 1.0, 6.0),
    "sole": (1.0, 0.5, 2.0),
    "frog": (1.0, 0.5, 2.0),
}
# Heel beams across the tubules bend 45 % more than toe beams (Goodman & Haggis 2008): 0.93 * 1.45;
# edges: no difference, and a modulus 45 % lower.
_HEEL_CONTRAST = (1.35, 1.0, 1.69)
_POISSON = (0.35, 0.30, 0.40)
# Strength of wet wall 17 MPa at 280 MPa modulus, 31 at 850 (slow and fast pull, Kasapi & Gosline
# 1996, from memory), as a power of the modulus of the whole wall: through the thickness it does not
# change, though the modulus falls from 560 to 300 MPa (Kasapi & Gosline 1997, pulled wet).
_STRENGTH_POWER = float(np.log(31 / 17) / np.log(850 / 280))
# White line, its own: yield in bending 5.6 +/- 1.7 MPa (Wagner 2001, from memory), taken as of wet
# horn: at 30 % water, at 100 % humidity.
_WHITE_LINE_STRENGTH = (5.6, 5.6 - 1.7, 5.6 + 1.7)
_WET_WATER, _WET_HUMIDITY = np.asarray(30.0), np.asarray(100.0)
_THIRD_TO_DOUBLE = (1.0, 1.0 / 3.0, 2.0)
# How far the strength along may be off. Sole and frog lie below the moduli at which the power law
# was read; of the white line it would say 1.7 times what is measured.
_STRENGTH_DOUBT = {"sole": _THIRD_TO_DOUBLE, "frog": _THIRD_TO_DOUBLE}


# What a result rests on, by what was asked for.
_PUBLISHED = {
    "humidity": "Wall pulled at 0 and 100 % relative humidity: modulus 14.6 and 0.41 GPa; at 53 and"
    " 75 %, 3.36 and 2.63 GPa, from memory (Bertram & Gosline 1987). Low edge: 400 MPa room dry,"
    " 250 MPa wet (Bonney 2024). High edge, wet: 850 MPa pulled fast (Kasapi & Gosline 1996, from"
    " memory).",
    "water": "Modulus at natural water: wall 762 +/- 295 MPa at 22.7 %, sole 230 +/- 92 at 31.5 %,"
    " frog 9.9 +/- 0.6 at 34.6 % (Hinterhofer 1998). Fall with water, pressed with a fine point:"
    " 16 to 25 % from 10 to 20 % water, 4 to 5 % from 20 to 30 % (Micron 180, 2024, 103609).",
    "outer": "Outer wall at the toe has the highest of means from 460 to 1049 MPa (Douglas 1996).",
    "inner": "Inner wall at the toe has the lowest of means from 460 to 1049 MPa (Douglas 1996).",
    "quarter": "Lateral wall 708, dorsal wall 762 MPa (Hinterhofer 1998); quarters about the mean"
    " of outer and inner toe (Douglas 1996).",
    "heel": "Heel beams bend 45 % more across the tubules than toe beams (Goodman & Haggis 2008).",
    "contrast": "Tubules and the horn between are alike in the middle wall, 0.47 and 0.08 GPa in"
    " the inner wall (Kasapi & Gosline 1999); fully wet, the order may turn round (Huang 2019).",
    "strength": "Wet wall bears 17 MPa pulled slowly and 31 MPa pulled fast, at moduli of 280 and"
    " 850 MPa (Kasapi & Gosline 1996, from memory), outside as much as inside (Kasapi & Gosline"
    " 1997).",
    "strength of white_line": "The innermost white layer yields at 5.6 +/- 1.7 MPa in bending, the"
    " outer wall at 19.4 +/- 2.6 (Wagner 2001, from memory).",
}
_ASSUMED = {
    "humidity": "Dry horn is spread upwards as wet horn is. Regions and places differ by the same"
    " ratios at every humidity.",
    "water": "From 30 to 35 % water the fall goes on as from 20 to 30 %; sole and frog fall as wall"
    " does. The edges widen to reach horn at 53 % humidity (at 10 % water) and soaked horn (35 %).",
    "middle": "Middle wall is as stiff as the mean of the wall.",
    "white_line": "White line stands to outer wall as the innermost white layer does in bending, 98"
    " to 188 MPa (Wagner 2001, from memory).",
    "frog": "High edge of the frog: 70 MPa, once put into a model (Hinterhofer 1997).",
    "heel": "Along the tubules the heel is as stiff as the quarter.",
    "contrast": "Sheet of outer wall, sole and frog: contrast 1, as middle wall; of inner wall and"
    " white line: 2.",
    "given contrast": "The contrast is the one given, without a spread.",
    "strength": "Strength of the wall follows from its modulus by one power law, whatever the depth"
    " in the wall.",
    "strength of white_line": "The yield of white line is that of wet horn; drier horn bears more"
    " by the power law of the wall. What breaks it is not measured.",
    "strength of sole": "Strength of sole and frog was never found measured: it follows the power"
    " law of the wall, far below the moduli at which that was read.",
    "always": "Pressed as pulled; shear the smaller over sqrt(3). Across, pressed and in shear"
    " nothing is measured. Shear modulus by Huber's rule. Poisson's ratio 0.3 to 0.4, as models of"
    " the hoof take it.",
}


#: Which of the sentences on strength hold for a region that is not wall.
_STRENGTH_WORDS = {
    "white_line": "strength of white_line",
    "sole": "strength of sole",
    "frog": "strength of sole",
}


@dataclass(frozen=True)
class HornBand:
    """Horn as published figures allow it: a central value and the edges of a band.

    The edges hold each property at its own lowest or highest; no one horn is
    likely to be low in all of them at once.

    Parameters
    ----------
    central, low, high : Horn
        Horn at the middle and at the two edges of the band.
    published, assumed : tuple of str
        In sentences, what of it rests on a published figure and what on an
        assumption.

    References
    ----------
    Definition.

    Examples
    --------
    >>> band = horn_at(water_percent=22.7)
    >>> round(band.low.along_mpa), round(band.central.along_mpa), round(band.high.along_mpa)
    (466, 762, 1057)
    """

    central: Horn
    low: Horn
    high: Horn
    published: tuple[str, ...]
    assumed: tuple[str, ...]


def horn_at(
    *,
    humidity_percent: ArrayLike | None = None,
    water_percent: ArrayLike | None = None,
    region: str = "middle",
    place: str | None = None,
    contrast: ArrayLike | None = None,
) -> HornBand:
    """Horn of a region of the foot at a moisture: central value and band, never a bare number.

    Moisture is either the relative humidity of the air the horn has come to rest
    in, or the water in the horn. One is not turned into the other: no firm
    curve for hoof horn is published, and the two sets of figures disagree
    besides. Pulled specimens lose most of their stiffness between dry and wet
    (36 times); pressed with a fine point, horn loses a quarter between 10 and
    30 % water. The band spans both. Between published points the logarithm of
    the modulus follows a monotone cubic (PCHIP).

    Moduli along the tubules rest on published figures. The rest is thinner:

    - across: the contrast along/across is a choice with a published range, 1 in
      the middle wall (alike) to 6 in the inner wall (a tubule against the horn
      between, which makes about 2 for a sheet of both), and it may turn round
      when fully wet. Default 1, inner wall and white line 2; heel 1.35 times as
      much, for its greater bending across.
    - shear: no figure; from the two moduli by Huber's rule, half to double.
    - Poisson's ratio: 0.35 (models of the hoof take 0.3 to 0.4; not measured).
    - strength of the wall: 17 to 31 MPa for wet wall pulled slowly and fast, spread
      to other moistures and places as the same power of the wall's modulus as
      between those two, and alike from outside to inside, as measured. White
      line: its own, 5.6 MPa when wet (yield in bending). Sole and frog: none
      measured, so by the power law of the wall. Pressed as pulled, across by the
      same power of the contrast, shear the smaller of the two over sqrt(3). None
      of these three is published: the band runs from half to double along (sole
      and frog from a third), from a third to double across and in shear. Cracks
      run least easily up the tubules (Bertram & Gosline 1986), so across may be
      the tougher; trimmers find it the weaker.

    Short loads and slow creep are not told apart beyond the band: fast loading
    (a trot) belongs in its upper half, standing in its lower.

    Parameters
    ----------
    humidity_percent : float or array, optional
        Relative humidity [%], 0 to 100. Figures exist for the wall only.
    water_percent : float or array, optional
        Water in the horn [% of its mass], 10 to 35. Published natural values:
        wall 22.7 to 29.5 (outer 28, inner 35; toe 24, heel 28), sole 31.5,
        frog 34.6.
    region : str
        "outer", "middle", "inner", "white_line"; "sole" or "frog" beside them.
    place : str, optional
        "toe" (taken if none is given), "quarter" or "heel"; wall only.
    contrast : float or array, optional
        Modulus along over modulus across [-], in place of the default and its
        spread.

    Returns
    -------
    HornBand
        `central`, `low` and `high` horn, each with the broadcast shape of the
        arguments, and what is published and what assumed.

    Raises
    ------
    ValueError
        If not exactly one of `humidity_percent` and `water_percent` is given, if it
        lies outside the published range, if `region` or `place` is not one of those
        named, if `place` or `humidity_percent` is asked for sole or frog, if
        `contrast` is not above 0, or if the shapes do not go together.

    References
    ----------
    Bertram J.E.A., Gosline J.M. 1986, J. Exp. Biol. 125, 29-47, and 1987, 130,
    121-136. Kasapi M.A., Gosline J.M. 1996, J. Exp. Biol. 199, 1133-1146, 1997,
    200, 1639-1659, and 1999, 202, 377-391. Douglas J.E. et al. 1996, J. Exp. Biol. 199, 1829-1836.
    Hinterhofer C. et al. 1997, Pferdeheilkunde 13, 319-328. Hinterhofer C.,
    Stanek C., Binder K. 1998, Berl. Munch. Tierarztl. Wschr. 111, 217-221. Wagner
    I.P., Hood D.M., Hogan H.A. 2001, Am. J. Vet. Res. 62, 745-751. Goodman A.M.,
    Haggis L. 2008, Comp. Exerc. Physiol. 5, 161-168. Huang W. et al. 2019, Acta
    Biomater. 90, 267-277. Bonney C. et al. 2024, Acta Biomater. 184, 264-272.
    Indentation against water: Micron 180 (2024) 103609. `published` and `assumed`
    of the result say which figure enters, and which is from memory.
    Shear: Huber M.T. 1923 (rule from memory). Joining them is a model of our own.

    Examples
    --------
    >>> horn_at(humidity_percent=[0, 100]).central.along_mpa
    array([14600., 410.])
    >>> heel = horn_at(water_percent=28, region="inner", place="heel")
    >>> heel.low.across_mpa, heel.central.across_mpa, heel.high.across_mpa
    (44.5, 156.9, 358.7)
    """
    choice("region", region, tuple(_CONTRAST))
    if place is not None:
        choice("place", place, tuple(_PLACES))
    base, wet = _by_moisture(humidity_percent, water_percent, region, place)
    if contrast is None:
        heel = _HEEL_CONTRAST if place == "heel" else _SAME
        ratio = _times(_CONTRAST[region], heel)
    else:
        given = numbers("contrast", contrast, above=0)
        together(moisture=np.asarray(base[0]), contrast=given)
        ratio = (given, given, given)
    parts = zip(
        *_moduli(base, ratio, region, place),
        *_limits(base, wet, ratio, region, place),
        strict=True,
    )
    central, low, high = (Horn(e1, e2, g, nu, x, x, y, y, s) for e1, e2, g, nu, x, y, s in parts)
    used = (
        "water" if humidity_percent is None else "humidity",
        region,
        place or "toe",
        "contrast" if contrast is None else "given contrast",
        _STRENGTH_WORDS.get(region, "strength"),
        "always",
    )
    published = tuple(_PUBLISHED[part] for part in used if part in _PUBLISHED)
    assumed = tuple(_ASSUMED[part] for part in used if part in _ASSUMED)
    return HornBand(central, low, high, published, assumed)


def _by_moisture(
    humidity_percent: ArrayLike | None,
    water_percent: ArrayLike | None,
    region: str,
    place: str | None,
) -> tuple[_Spread, _Spread]:
    """Modulus along the tubules at the moisture given, and of the same horn when wet."""
    tissue = "wall" if region in _REGIONS else region
    if place is not None and tissue != "wall":
        raise ValueError(f"place is known for the wall only, not for the {region}")
    if humidity_percent is not None and water_percent is None:
        if tissue != "wall":
            raise ValueError(
                f"humidity_percent is known for the wall only, not for the {region};"
                " give water_percent"
            )
        moisture = numbers("humidity_percent", humidity_percent, at_least=0, at_most=100)
        return _by_humidity(moisture), _by_humidity(_WET_HUMIDITY)
    if water_percent is not None and humidity_percent is None:
        moisture = numbers("water_percent", water_percent, at_least=10, at_most=35)
        return _by_water(moisture, tissue), _by_water(_WET_WATER, tissue)
    raise ValueError(
        "exactly one of humidity_percent (of the air) and water_percent (of the horn) is needed"
    )


def _moduli(
    base: _Spread, ratio: _Spread, region: str, place: str | None
) -> tuple[_Spread, _Spread, _Spread, list[FloatArray]]:
    """Moduli along, across and in shear, and Poisson's ratio: central, low, high of each."""
    along = _times(_times(base, _REGIONS.get(region, _SAME)), _PLACES[place or "toe"])
    across = _times(along, (1.0 / ratio[0], 1.0 / ratio[2], 1.0 / ratio[1]))
    # nu12 <= 0.35 whichever way is the stiffer: inside the limit sqrt(E1/E2) always
    poisson = [
        nu * np.minimum(1.0, e / a) for nu, e, a in zip(_POISSON, along, across, strict=True)
    ]
    # Huber 1923: G = sqrt(E1 E2) / (2 (1 + sqrt(nu12 nu21))); isotropic where E1 = E2
    mean = np.sqrt(along[0] * across[0])
    shear = mean / (2.0 * (1.0 + poisson[0] * np.sqrt(across[0] / along[0])))
    spread = (1.0, across[1] / across[0], across[2] / across[0])
    return along, across, _times(_times((shear, shear, shear), spread), _HALF_TO_DOUBLE), poisson


def _limits(
    base: _Spread, wet: _Spread, ratio: _Spread, region: str, place: str | None
) -> tuple[_Spread, _Spread, _Spread]:
    """Strength along, across and in shear: central, low, high of each."""
    along = _times(_strength_along(base, wet, region), _to_power(_PLACES[place or "toe"]))
    across = _times(along, _to_power((1.0 / ratio[0], 1.0 / ratio[2], 1.0 / ratio[1])))
    # von Mises: the weaker limit over sqrt(3)
    a, b, c = (np.minimum(*pair) / np.sqrt(3.0) for pair in zip(along, across, strict=True))
    return (
        _times(along, _STRENGTH_DOUBT.get(region, _HALF_TO_DOUBLE)),
        _times(across, _THIRD_TO_DOUBLE),
        _times((a, b, c), _THIRD_TO_DOUBLE),
    )


def _times(first: _Spread, second: _Spread) -> _Spread:
    """Product of two spreads, their edges as independent errors: squares of logarithms added."""
    central = first[0] * second[0]
    down, up = (
        np.hypot(np.log(first[edge] / first[0]), np.log(second[edge] / second[0]))
        for edge in (1, 2)
    )
    return central, central * np.exp(-down), central * np.exp(up)


def _to_power(ratio: _Spread) -> _Spread:
    """What a ratio of moduli, and its edges, make of the strength."""
    central, low, high = (value**_STRENGTH_POWER for value in ratio)
    return central, low, high


def _strength_along(base: _Spread, wet: _Spread, region: str) -> _Spread:
    """Strength along the tubules at the toe, from the modulus of the whole wall, sole or frog."""
    if region == "white_line":  # its own; where drier than wet, more by the power law
        drier = (base[0] / wet[0]) ** _STRENGTH_POWER
        central, low, high = (drier * value for value in _WHITE_LINE_STRENGTH)
    else:
        central, low, high = (17.0 * (value / 280.0) ** _STRENGTH_POWER for value in base)
    return central, low, high


def _curve(points: tuple[tuple[float, float], ...], at: FloatArray) -> FloatArray:
    """Positive values between published points: monotone cubic through their logarithms."""
    moisture, value = np.transpose(points)
    between: FloatArray = np.exp(monotone_cubic(moisture, np.log(value), at))
    return between


def _by_humidity(humidity: FloatArray) -> _Spread:
    """Young's modulus of wall at a relative humidity."""
    central = _curve(_HUMIDITY, humidity)
    return central, _curve(_HUMIDITY_LOW, humidity), central * _HUMIDITY_HIGH_FACTOR


def _by_water(water: FloatArray, tissue: str) -> _Spread:
    """Young's modulus of wall, sole or frog at a water content, from the samples at their own."""
    *modulus, at = _SAMPLES[tissue]
    fall = _curve(_WATER, water) / _curve(_WATER, np.asarray(at))
    central, low, high = (value * fall for value in modulus)
    if tissue == "wall":
        low = low * _curve(_WATER_WET_FACTOR, water)
    return central, low, high * _curve(_WATER_DRY_FACTOR, water)


# ---------------------------------------------------------------- tubules in the horn between


def kink_stress_mpa(
    shear_mpa: ArrayLike,
    shear_yield_mpa: ArrayLike,
    misalignment_deg: ArrayLike,
    model: str = "budiansky",
    *,
    exponent: ArrayLike = 3.0,
    remote_shear_mpa: ArrayLike = 0.0,
) -> Result:
    """Pressure along the tubules at which a band of crooked ones folds over (kinks).

    Long straight tubules with one band out of line; the horn between resists by
    shear. The band lies square across (no kink angle), the tubules neither bend
    nor break. So an estimate for stiff, slender, well-glued tubules: with the
    low contrast of most horn, plain yielding may come first.

    - "argon": the horn between is rigid until it yields; k / phi. No limit for
      straight tubules, and too high for small misalignment.
    - "budiansky": elastic, then yielding at a constant stress; k / (k/G + phi).
      Straight tubules reach the shear modulus, Rosen's bound.
    - "budiansky_fleck": hardening by Ramberg and Osgood's curve
      g/gY = t/k + (3/7) (t/k)^n; tends to "budiansky" for large n.

    Equation: stress = k/phi, k / (k/G + phi), or G / (1 + n (3/7)^(1/n) (phi G / (k (n -
    1)))^((n - 1)/n)), in the order of the models, with misalignment phi in radians.

    Parameters
    ----------
    shear_mpa : float or array
        Shear modulus of the sheet along the tubules, G [MPa].
    shear_yield_mpa : float or array
        Yield stress in shear along the tubules, k [MPa].
    misalignment_deg : float or array
        Angle of the crooked band to the load, phi [degrees], 0 to 20;
        above 0 for "argon".
    model : str
        "argon", "budiansky" or "budiansky_fleck".
    exponent : float or array
        Hardening exponent n [-], above 1; read by "budiansky_fleck" only.
    remote_shear_mpa : float or array
        Shear that a leaning load brings along as well [MPa], below
        `shear_yield_mpa`; for "argon" and "budiansky".

    Returns
    -------
    float or array
        Kinking stress [MPa], positive, the broadcast shape of the arguments.

    Raises
    ------
    ValueError
        If `shear_mpa` or `shear_yield_mpa` is not above 0, `misalignment_deg` not
        from 0 to 20 (above 0 for "argon"), `exponent` not above 1, `model` not one
        of those named, `remote_shear_mpa` below 0 or not below `shear_yield_mpa`
        or given to "budiansky_fleck", or the shapes do not go together.

    References
    ----------
    Argon A.S., "Fracture of composites", Treatise on Materials Science and
    Technology 1 (1972) 79-114. Budiansky B., "Micromechanics", Computers &
    Structures 16 (1983) 3-12. Budiansky B., Fleck N.A., "Compressive failure of
    fibre composites", J. Mech. Phys. Solids 41 (1993) 183-211. Pages of the
    first two from memory.

    Examples
    --------
    >>> kink_stress_mpa(5000, 60, [0, 2])
    array([5000. , 1279.14])
    >>> kink_stress_mpa(5000, 60, 2, "argon")
    1718.87
    """
    choice("model", model, ("argon", "budiansky", "budiansky_fleck"))
    if model == "argon":  # has no answer for straight tubules
        numbers("misalignment_deg", misalignment_deg, above=0)
    g, k, degrees, n, remote = together(
        shear_mpa=numbers("shear_mpa", shear_mpa, above=0),
        shear_yield_mpa=numbers("shear_yield_mpa", shear_yield_mpa, above=0),
        misalignment_deg=numbers("misalignment_deg", misalignment_deg, at_least=0, at_most=20),
        exponent=numbers("exponent", exponent, above=1),
        remote_shear_mpa=numbers("remote_shear_mpa", remote_shear_mpa, at_least=0),
    )
    refuse_where(
        remote >= k,
        "remote_shear_mpa must be below shear_yield_mpa (got {remote:g} and {k:g})",
        remote=remote,
        k=k,
    )
    phi = np.radians(degrees)
    if model == "argon":
        return plain((k - remote) / phi)
    if model == "budiansky":
        return plain((k - remote) / (k / g + phi))
    if remote.any():
        raise ValueError("remote_shear_mpa must be 0 for 'budiansky_fleck'")
    # Budiansky & Fleck 1993: greatest t/(phi + g(t)) over the shear stress t
    crooked = (phi * g / k / (n - 1.0)) ** ((n - 1.0) / n)
    return plain(g / (1.0 + n * (3.0 / 7.0) ** (1.0 / n) * crooked))


def foundation_mpa(
    matrix_mpa: ArrayLike,
    poisson: ArrayLike,
    diameter_mm: ArrayLike,
    spacing_mm: ArrayLike,
    bond: ArrayLike = 1.0,
) -> Result:
    """Sideways support that the horn around a tubule gives it, per length and deflection.

    The k of a column on an elastic foundation (`columns.foundation_load_n`). The
    tubule is a rigid round rod in a sleeve of horn that is held at the near
    faces of its neighbours; plane strain, linear, so the waves of the tubule
    must be long against its diameter. A bond below 1 takes the glued part of its
    length as support, spread evenly (model of our own); nothing is said of the
    bond's own strength.

    Equation: k = b 8 pi E (1 - nu) / ((1 + nu) (c ln(q) - (2/c) (q - 1) / (q + 1))), with bond
    b, c = 3 - 4 nu and q = ((2 spacing - d) / d)^2.

    Parameters
    ----------
    matrix_mpa : float or array
        Young's modulus of the horn between the tubules [MPa].
    poisson : float or array
        Its Poisson's ratio [-], 0 to below 0.5.
    diameter_mm : float or array
        Diameter of the tubule [mm].
    spacing_mm : float or array
        Distance between the axes of neighbours [mm], above the diameter.
    bond : float or array
        Part of the length that is glued [-], 0 (loose) to 1.

    Returns
    -------
    float or array
        Support [N per mm of length and mm of deflection, MPa].

    Raises
    ------
    ValueError
        If `matrix_mpa` or `diameter_mm` is not above 0, `poisson` not from 0 to
        below 0.5, `spacing_mm` not above `diameter_mm`, `bond` not from 0 to 1, or
        the shapes do not go together.

    References
    ----------
    Baguelin F., Frank R., Said Y.H., "Theoretical study of lateral reaction
    mechanism of piles", Geotechnique 27 (1977) 405-434 (rigid disc in a ring held
    outside; formula from memory, met by plane-strain finite elements). Bond:
    model of our own.

    Examples
    --------
    In inner wall, where the horn between is softest:

    >>> foundation_mpa(80, 0.35, 0.18, 0.25)
    812.1
    """
    e, nu, d, spacing, glued = together(
        matrix_mpa=numbers("matrix_mpa", matrix_mpa, above=0),
        poisson=numbers("poisson", poisson, at_least=0, below=0.5),
        diameter_mm=numbers("diameter_mm", diameter_mm, above=0),
        spacing_mm=numbers("spacing_mm", spacing_mm, above=0),
        bond=numbers("bond", bond, at_least=0, at_most=1),
    )
    refuse_where(
        spacing <= d,
        "spacing_mm must be above diameter_mm (got {spacing:g} and {d:g})",
        spacing=spacing,
        d=d,
    )
    squared = np.square((2.0 * spacing - d) / d)  # (R/a)^2: held at R = spacing - a
    c = 3.0 - 4.0 * nu
    give = c * np.log(squared) - 2.0 / c * (squared - 1.0) / (squared + 1.0)
    return plain(glued * 8.0 * np.pi * e * (1.0 - nu) / ((1.0 + nu) * give))


@dataclass(frozen=True)
class Bundle:
    """Stiffness of a glued bundle of parallel tubes as one solid.

    Parameters
    ----------
    along_mpa, across_mpa : float or array
        Young's modulus along and across the tubes [MPa].
    shear_mpa : float or array
        Shear modulus along the tubes [MPa].

    References
    ----------
    Definition.

    Examples
    --------
    >>> bundle_moduli(470, 80, 0.39, bond=0).across_mpa
    0.0
    """

    along_mpa: Result
    across_mpa: Result
    shear_mpa: Result


def bundle_moduli(
    tube_mpa: ArrayLike,
    glue_mpa: ArrayLike,
    tube_fraction: ArrayLike,
    bond: ArrayLike = 1.0,
    poisson: ArrayLike = 0.35,
) -> Bundle:
    """Stiffness of a bundle of parallel tubes with glue, or horn, between them.

    Along, tubes and glue stretch alike. Across and in shear the load passes from
    tube to tube through the glue, by Halpin and Tsai's interpolation. A bond
    below 1 glues only that part of the faces: glue of that part of its modulus
    (model of our own). A loose bundle (bond 0) is as stiff along as its tubes
    and has nothing across and in shear, so it bends as single strands do. (The
    bond of `columns.bundle_section` measures bending instead, of which the
    length of the bundle is part.) Tubes count as solid: give the modulus over
    their whole section. Small strains.

    Equation: along = f Et + (1 - f) Eg; across and shear = Eg (1 + z h f) / (1 - h f), with h =
    (Et/Eg - 1) / (Et/Eg + z), z = 2 across and 1 in shear (there with the shear moduli).

    Parameters
    ----------
    tube_mpa, glue_mpa : float or array
        Young's modulus of a tube over its whole section, and of the glue [MPa].
    tube_fraction : float or array
        Part of the section taken by tubes [-], 0 to below 1 (round tubes: up to
        0.907).
    bond : float or array
        Part of the tubes' faces that is glued [-], 0 (loose) to 1.
    poisson : float or array
        Poisson's ratio of both [-], 0 to below 0.5, for their shear moduli.

    Returns
    -------
    Bundle
        Moduli along, across and in shear, each of the broadcast shape.

    Raises
    ------
    ValueError
        If `tube_mpa` or `glue_mpa` is not above 0, `tube_fraction` not from 0 to below 1, `bond`
        not from 0 to 1, `poisson` not from 0 to below 0.5, or the shapes do not go together.

    References
    ----------
    Halpin J.C., Kardos J.L., "The Halpin-Tsai equations: a review", Polymer
    Engineering and Science 16 (1976) 344-352 (from memory: shape factor 2 across,
    1 in shear). Bond: model of our own.

    Examples
    --------
    Inner wall: tubules six times as stiff as the horn between, and yet:

    >>> bundle = bundle_moduli(470, 80, 0.39)
    >>> bundle.along_mpa, bundle.across_mpa
    (232.1, 156.4)
    """
    tube, glue, f, glued, nu = together(
        tube_mpa=numbers("tube_mpa", tube_mpa, above=0),
        glue_mpa=numbers("glue_mpa", glue_mpa, above=0),
        tube_fraction=numbers("tube_fraction", tube_fraction, at_least=0, below=1),
        bond=numbers("bond", bond, at_least=0, at_most=1),
        poisson=numbers("poisson", poisson, at_least=0, below=0.5),
    )
    glue = glued * glue
    to_shear = 0.5 / (1.0 + nu)
    return Bundle(
        along_mpa=plain(f * tube + (1.0 - f) * glue),
        across_mpa=plain(_halpin_tsai(tube, glue, f, 2.0)),
        shear_mpa=plain(_halpin_tsai(to_shear * tube, to_shear * glue, f, 1.0)),
    )


def _halpin_tsai(tube: FloatArray, glue: FloatArray, f: FloatArray, shape: float) -> FloatArray:
    """M = Mm (1 + x h f)/(1 - h f), h = (Mf - Mm)/(Mf + x Mm): Halpin & Kardos 1976, Eq. 1-2."""
    both, more = tube + shape * glue, tube - glue
    return glue * (both + shape * f * more) / (both - f * more)

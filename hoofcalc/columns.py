"""Columns, tubes and bundles: what they carry on end, leaning, and on their side.

In order: sections of rods, tubes and bundles; straight columns; the leaning
column, first for small rotations and then exact; embedded columns; thin tubes.

A column stands on its base, axis upright. A load that leans by `lean_deg` from
the axis presses the column along and pushes its tip across; positive lean pushes
the tip to the positive side. The load keeps its direction as the column bends
(a dead load).

Numbers must be finite and the shapes of arrays go together, or a ValueError names
the argument that breaks it; what else is refused stands with each function.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._elliptic import ellipj, elliprd, elliprf
from hoofcalc._inputs import FloatArray, Result, choice, numbers, plain, refuse_where, together

__all__ = [
    "BentColumn",
    "LeaningColumn",
    "Section",
    "bent_column",
    "bundle_second_moment_mm4",
    "bundle_section",
    "capacity_at_lean_n",
    "end_factor",
    "euler_load_n",
    "foundation_load_n",
    "johnson_stress_mpa",
    "leaning_column",
    "perry_robertson_stress_mpa",
    "rectangle_section",
    "ring_collapse_n_per_mm",
    "ring_side_stiffness",
    "rod_section",
    "secant_peak_stress_mpa",
    "slenderness",
    "tube_axial_stress_mpa",
    "tube_section",
]

#: Small-rotation theory is used up to this tip movement, as a part of the length.
TIP_LIMIT = 0.1

#: `bent_column` follows a column up to this many times its buckling load.
BENT_LIMIT = 25.0

# ---------------------------------------------------------------------- sections


@dataclass(frozen=True, slots=True)
class Section:
    """The cross-section of a column: what bending and pressing need to know of it.

    Parameters
    ----------
    area_mm2 : float or array
        Area [mm2].
    second_moment_mm4 : float or array
        Second moment of area about the axis of bending [mm4].
    outer_fibre_mm : float or array
        Distance of the edge from that axis [mm].

    References
    ----------
    Definition.

    Examples
    --------
    >>> Section(25.0, 50.0, 2.0).gyration_mm
    1.414
    """

    area_mm2: Result
    second_moment_mm4: Result
    outer_fibre_mm: Result

    @property
    def gyration_mm(self) -> Result:
        """Radius of gyration, the root of second moment over area [mm]."""
        return plain(np.sqrt(np.divide(self.second_moment_mm4, self.area_mm2)))


def rod_section(diameter_mm: ArrayLike) -> Section:
    """Section of a solid round rod.

    Equation: A = pi d^2 / 4, I = pi d^4 / 64.

    Parameters
    ----------
    diameter_mm : number or array
        Diameter [mm], above 0.

    Returns
    -------
    Section
        Area [mm2], second moment [mm4] and outer fibre [mm], shaped like the input.

    Raises
    ------
    ValueError
        If `diameter_mm` is not above 0.

    References
    ----------
    Definition.

    Examples
    --------
    >>> rod_section(20.0).second_moment_mm4
    7853.98
    """
    (d,) = _above_zero(diameter_mm=diameter_mm)
    return Section(*_alike(np.pi * d**2 / 4, np.pi * d**4 / 64, d / 2))


def tube_section(outer_diameter_mm: ArrayLike, wall_mm: ArrayLike) -> Section:
    """Section of a round tube.

    Equation: A = pi (D^2 - d^2) / 4, I = pi (D^4 - d^4) / 64, with d = D - 2 wall.

    Parameters
    ----------
    outer_diameter_mm : number or array
        Outer diameter [mm], above 0.
    wall_mm : number or array
        Thickness of the wall [mm], above 0 and at most half the diameter (solid).

    Returns
    -------
    Section
        Area [mm2], second moment [mm4] and outer fibre [mm], shaped like the input.

    Raises
    ------
    ValueError
        If `outer_diameter_mm` or `wall_mm` is not above 0, or `wall_mm` is above half the
        diameter.

    References
    ----------
    Definition.

    Examples
    --------
    >>> tube_section(20.0, 1.0).second_moment_mm4
    2701.0
    """
    d, t = _above_zero(outer_diameter_mm=outer_diameter_mm, wall_mm=wall_mm)
    refuse_where(
        2 * t > d,
        "wall_mm must be at most half the outer diameter (got {wall:g} mm in {diameter:g} mm)",
        wall=t,
        diameter=d,
    )
    inner = d - 2 * t
    return Section(*_alike(np.pi * (d**2 - inner**2) / 4, np.pi * (d**4 - inner**4) / 64, d / 2))


def rectangle_section(width_mm: ArrayLike, depth_mm: ArrayLike) -> Section:
    """Section of a rectangle that bends over its depth.

    Equation: A = b d, I = b d^3 / 12.

    Parameters
    ----------
    width_mm : number or array
        Width, along the axis of bending [mm], above 0.
    depth_mm : number or array
        Depth, in the direction in which the column bends [mm], above 0.

    Returns
    -------
    Section
        Area [mm2], second moment [mm4] and outer fibre [mm], shaped like the input.

    Raises
    ------
    ValueError
        If `width_mm` or `depth_mm` is not above 0.

    References
    ----------
    Definition.

    Examples
    --------
    >>> rectangle_section(10.0, 6.0).second_moment_mm4
    180.0
    """
    b, h = _above_zero(width_mm=width_mm, depth_mm=depth_mm)
    return Section(*_alike(b * h, b * h**3 / 12, h / 2))


def bundle_section(count: ArrayLike, diameter_mm: ArrayLike, bond: ArrayLike) -> Section:
    """Section of a bundle of equal round strands, loose, partly glued or glued.

    Loose strands bend each for itself: I = N I0. Glued ones bend as one body:
    I = N I0 + sum(A d^2), d the distance of each strand from the bundle's axis.
    Between the two, `bond` is the part of that gain which the glue achieves:
    I = N I0 + bond sum(A d^2), the gamma of the timber code's Annex B (a long bundle
    has more of it than a short one with the same glue). The outer fibre is the
    code's too: stress in the outermost strand = M (bond d + half a strand) / I.

    Packing: strands touch, in the hexagonal pattern (each in the hollow of its
    neighbours), filled outwards from the centre that makes the bundle roundest:
    a strand (1, 7, 19, 37 ...), a hollow (3, 12 ...) or a contact (2, 4, 10 ...).
    The second moment is that of the weakest direction, in which a column gives
    way first; two glued strands are no stiffer there than two loose ones. The
    glue fills no space and carries no load along the strands. The outer fibre
    belongs to the outermost strand in any direction (a little on the safe side
    where the last ring is not full).

    Parameters
    ----------
    count : whole number or array
        Number of strands, 1 to 100 000.
    diameter_mm : number or array
        Diameter of a strand [mm], above 0.
    bond : number or array
        From 0 (loose) to 1 (glued) [no unit].

    Returns
    -------
    Section
        Area [mm2], second moment [mm4] and outer fibre [mm], shaped like the
        inputs together.

    Raises
    ------
    ValueError
        If `count` is not a whole number from 1 to 100 000, `diameter_mm` is not above
        0, or `bond` is not between 0 and 1.

    References
    ----------
    Parallel-axis theorem: definition. Partial bond: EN 1995-1-1:2004, Annex B,
    equations B.1 and B.8 (numbers from memory).

    Examples
    --------
    >>> glued, loose = bundle_section(7, 2.0, 1.0), bundle_section(7, 2.0, 0.0)
    >>> glued.second_moment_mm4 / loose.second_moment_mm4
    7.857
    >>> glued.outer_fibre_mm
    3.0
    """
    n = numbers("count", count, at_least=1, at_most=100_000, whole=True, copy=False)
    d = numbers("diameter_mm", diameter_mm, above=0, copy=False)
    glue = numbers("bond", bond, at_least=0, at_most=1, copy=False)
    together(count=n, diameter_mm=d, bond=glue)
    spread, reach = _hexagon(int(n.max(initial=1)))
    place = n.astype(np.int64) - 1
    area, second = np.pi * d**2 / 4, np.pi * d**4 / 64
    return Section(
        *_alike(
            n * area,
            n * second + glue * spread[place] * d**2 * area,  # parallel axis, B.1
            (glue * reach[place] + 0.5) * d,  # B.7 and B.8: sigma + sigma_m
        )
    )


def bundle_second_moment_mm4(count: ArrayLike, diameter_mm: ArrayLike, bond: ArrayLike) -> Result:
    """Second moment of area of a bundle of equal round strands, in its weakest direction.

    Packing, law of the bond and limits: see `bundle_section`.

    Equation: I = N I0 (loose) to sum(I0 + A d^2) (glued), between them by the law of the bond.

    Parameters
    ----------
    count : whole number or array
        Number of strands, 1 to 100 000.
    diameter_mm : number or array
        Diameter of a strand [mm], above 0.
    bond : number or array
        From 0 (loose) to 1 (glued) [no unit].

    Returns
    -------
    float or array
        Second moment of area [mm4].

    Raises
    ------
    ValueError
        If `count` is not a whole number from 1 to 100 000, `diameter_mm` is not above
        0, or `bond` is not between 0 and 1.

    References
    ----------
    Parallel-axis theorem: definition. Partial bond: EN 1995-1-1:2004, Annex B,
    equation B.1 (number from memory).

    Examples
    --------
    >>> bundle_second_moment_mm4(7, 2.0, [0, 0.5, 1])
    array([ 5.498, 24.347, 43.197])
    """
    return bundle_section(count, diameter_mm, bond).second_moment_mm4


# -------------------------------------------------------------- straight columns


def end_factor(ends: str, practical: bool = False) -> float:
    """Effective length over length, for a column with the named ends.

    The buckled column has the shape of a pinned one of this many times its length.

    Equation: K = effective length / length, of P = pi^2 E I / (K L)^2.

    Parameters
    ----------
    ends : str
        "fixed-fixed", "fixed-pinned", "fixed-guided", "pinned-pinned",
        "fixed-free" or "pinned-guided". Fixed: cannot turn; guided: cannot turn
        but can move sideways; free: both.
    practical : bool, optional
        True for the values recommended where a fixed end gives a little, as real
        ones do.

    Returns
    -------
    float
        End factor [no unit].

    Raises
    ------
    ValueError
        If `ends` is none of the six.

    References
    ----------
    AISC 360-16, Commentary, Table C-A-7.1. Exact 0.699 of the fixed-pinned column
    (the table prints 0.7): smallest root of tan z = z, Timoshenko S.P., Gere J.M.,
    Theory of Elastic Stability, 2nd ed. 1961, article 2.3 (number from memory).

    Examples
    --------
    >>> end_factor("fixed-free"), end_factor("fixed-free", practical=True)
    (2.0, 2.1)
    """
    factors = {
        "fixed-fixed": (0.5, 0.65),
        "fixed-pinned": (np.pi / 4.493409457909064, 0.80),
        "fixed-guided": (1.0, 1.2),
        "pinned-pinned": (1.0, 1.0),
        "fixed-free": (2.0, 2.10),
        "pinned-guided": (2.0, 2.0),
    }
    return factors[choice("ends", ends, tuple(factors))][bool(practical)]


def slenderness(
    length_mm: ArrayLike, gyration_mm: ArrayLike, end_factor: ArrayLike = 1.0
) -> Result:
    """Slenderness of a column: effective length over radius of gyration.

    Equation: slenderness = K L / r.

    Parameters
    ----------
    length_mm : number or array
        Length [mm], above 0.
    gyration_mm : number or array
        Radius of gyration of the section [mm], above 0.
    end_factor : number or array, optional
        Effective length over length [no unit], above 0; see `end_factor`.

    Returns
    -------
    float or array
        Slenderness [no unit].

    Raises
    ------
    ValueError
        If `length_mm`, `gyration_mm` or `end_factor` is not above 0.

    References
    ----------
    Definition.

    Examples
    --------
    >>> slenderness(1000.0, rod_section(20.0).gyration_mm)
    200.0
    """
    length, gyration, factor = _above_zero(
        length_mm=length_mm, gyration_mm=gyration_mm, end_factor=end_factor
    )
    return plain(factor * length / gyration)


def euler_load_n(
    modulus_mpa: ArrayLike,
    second_moment_mm4: ArrayLike,
    length_mm: ArrayLike,
    end_factor: ArrayLike = 1.0,
) -> Result:
    """Load at which a straight slender column buckles: pi^2 E I / (K L)^2.

    Assumes a straight, even, elastic column loaded exactly along its axis by a
    load that keeps its direction. True for slender columns only: where the stress
    comes out above about half the strength, see `johnson_stress_mpa`.

    Equation: P = pi^2 E I / (K L)^2.

    Parameters
    ----------
    modulus_mpa : number or array
        Modulus of elasticity [MPa], above 0.
    second_moment_mm4 : number or array
        Second moment of area in the weakest direction [mm4], above 0.
    length_mm : number or array
        Length [mm], above 0.
    end_factor : number or array, optional
        Effective length over length [no unit], above 0: 1 pinned at both ends, 2
        fixed at the base and free at the tip; see `end_factor`.

    Returns
    -------
    float or array
        Buckling load [N].

    Raises
    ------
    ValueError
        If `modulus_mpa`, `second_moment_mm4`, `length_mm` or `end_factor` is not above 0.

    References
    ----------
    Timoshenko S.P., Gere J.M., Theory of Elastic Stability, 2nd ed. 1961,
    articles 2.1 to 2.3 (numbers from memory).

    Examples
    --------
    >>> rod = rod_section(20.0)
    >>> euler_load_n(200e3, rod.second_moment_mm4, 1000.0)
    15503.1
    """
    modulus, second, length, factor = _above_zero(
        modulus_mpa=modulus_mpa,
        second_moment_mm4=second_moment_mm4,
        length_mm=length_mm,
        end_factor=end_factor,
    )
    return plain(np.pi**2 * modulus * second / (factor * length) ** 2)


def johnson_stress_mpa(
    modulus_mpa: ArrayLike, yield_mpa: ArrayLike, slenderness: ArrayLike
) -> Result:
    """Stress that a straight column carries: Johnson's parabola if stocky, Euler if slender.

    An empirical curve for good straight metal columns: it starts at the yield
    stress and meets Euler's curve at half of it with the same slope.

    Equation: stress = Sy (1 - Sy l^2 / (4 pi^2 E)) up to l = sqrt(2 pi^2 E / Sy), then pi^2 E /
    l^2, with slenderness l.

    Parameters
    ----------
    modulus_mpa : number or array
        Modulus of elasticity [MPa], above 0.
    yield_mpa : number or array
        Yield stress or crushing strength [MPa], above 0.
    slenderness : number or array
        Effective length over radius of gyration [no unit], 0 or more.

    Returns
    -------
    float or array
        Load at failure over area [MPa].

    Raises
    ------
    ValueError
        If `modulus_mpa` or `yield_mpa` is not above 0, or `slenderness` is below 0.

    References
    ----------
    Johnson J.B., 1893; Budynas R.G., Nisbett J.K., Shigley's Mechanical
    Engineering Design, chapter 4 (place from memory).

    Examples
    --------
    >>> johnson_stress_mpa(200e3, 250.0, [40, 200])
    array([237.3,  49.3])
    """
    strength, x = _yield_over_euler(modulus_mpa, yield_mpa, slenderness)
    return plain(strength * np.where(x <= 2, 1 - x / 4, 1 / np.maximum(x, 2)))


def perry_robertson_stress_mpa(
    modulus_mpa: ArrayLike,
    yield_mpa: ArrayLike,
    slenderness: ArrayLike,
    imperfection: ArrayLike,
) -> Result:
    """Mean stress at which a slightly bowed column begins to yield at its edge.

    The bow before loading is a half sine wave of height a; the imperfection is
    a c / r^2 (c outer fibre, r radius of gyration). Robertson: 0.003 times the
    slenderness. Assumes pinned ends and yield at the edge as the end.

    Equation: (Sy - s) (sE - s) = eta sE s, with sE = pi^2 E / slenderness^2; the smaller root
    s.

    Parameters
    ----------
    modulus_mpa : number or array
        Modulus of elasticity [MPa], above 0.
    yield_mpa : number or array
        Yield stress or crushing strength [MPa], above 0.
    slenderness : number or array
        Effective length over radius of gyration [no unit], 0 or more.
    imperfection : number or array
        a c / r^2 [no unit], 0 or more.

    Returns
    -------
    float or array
        Load at first yield over area [MPa].

    Raises
    ------
    ValueError
        If `modulus_mpa` or `yield_mpa` is not above 0, or `slenderness` or
        `imperfection` is below 0.

    References
    ----------
    Ayrton W.E., Perry J., 1886; Robertson A., 1925. In the form of EN
    1993-1-1:2005, 6.3.1.2, equation 6.49.

    Examples
    --------
    >>> perry_robertson_stress_mpa(200e3, 250.0, 80, 0.003 * 80)
    164.93
    """
    strength, x = _yield_over_euler(modulus_mpa, yield_mpa, slenderness)
    eta = numbers("imperfection", imperfection, at_least=0, copy=False)
    together(slenderness=x, imperfection=eta)
    phi = (1 + eta + x) / 2
    # (phi - 1)^2 + eta is phi^2 - x, but cannot turn negative by rounding
    return plain(strength / (phi + np.sqrt((phi - 1) ** 2 + eta)))


def secant_peak_stress_mpa(
    force_n: ArrayLike,
    area_mm2: ArrayLike,
    eccentricity_mm: ArrayLike,
    outer_fibre_mm: ArrayLike,
    gyration_mm: ArrayLike,
    length_mm: ArrayLike,
    modulus_mpa: ArrayLike,
    end_factor: ArrayLike = 1.0,
) -> Result:
    """Largest stress in a column whose load stands off its axis but parallel to it.

    The stress grows faster than the load: twice the load is more than twice the
    stress. Assumes an elastic column that does not turn far: pinned at both ends
    with the same eccentricity (end factor 1), or fixed at the base and free at the
    tip (end factor 2).

    Equation: stress = (P/A) (1 + (e c / r^2) sec((K L / (2 r)) sqrt(P / (E A)))).

    Parameters
    ----------
    force_n : number or array
        Load [N], 0 or more, below the buckling load.
    area_mm2 : number or array
        Area of the section [mm2], above 0.
    eccentricity_mm : number or array
        Distance of the load from the axis [mm], 0 or more.
    outer_fibre_mm : number or array
        Distance from axis to edge on the side of the load [mm], above 0.
    gyration_mm : number or array
        Radius of gyration [mm], above 0.
    length_mm : number or array
        Length [mm], above 0.
    modulus_mpa : number or array
        Modulus of elasticity [MPa], above 0.
    end_factor : number or array, optional
        1 or 2 as above [no unit], above 0.

    Returns
    -------
    float or array
        Largest compressive stress [MPa].

    Raises
    ------
    ValueError
        If `force_n` is below 0, or at or beyond the buckling load; if `eccentricity_mm`
        is below 0; if any other argument is not above 0.

    References
    ----------
    Gere J.M., Goodno B.J., Mechanics of Materials, chapter 11, secant formula.

    Examples
    --------
    >>> tube = tube_section(20.0, 1.0)
    >>> secant_peak_stress_mpa(
    ...     850.10, tube.area_mm2, 0.5, tube.outer_fibre_mm, tube.gyration_mm, 300.0, 3000.0)
    60.00
    """
    force = numbers("force_n", force_n, at_least=0, copy=False)
    offset = numbers("eccentricity_mm", eccentricity_mm, at_least=0, copy=False)
    area, fibre, gyration, length, modulus, factor = _above_zero(
        {"force_n": force, "eccentricity_mm": offset},
        area_mm2=area_mm2,
        outer_fibre_mm=outer_fibre_mm,
        gyration_mm=gyration_mm,
        length_mm=length_mm,
        modulus_mpa=modulus_mpa,
        end_factor=end_factor,
    )
    mean = force / area
    # half the effective length times k, k^2 = P / (E I)
    angle = factor * length / (2 * gyration) * np.sqrt(mean / modulus)
    refuse_where(
        angle >= np.pi / 2,
        "force_n must be below the buckling load of {limit:.4g} N (got {force:g})",
        limit=modulus * area * (np.pi * gyration / (factor * length)) ** 2,
        force=force,
    )
    return plain(mean * (1 + offset * fibre / gyration**2 / np.cos(angle)))


# ------------------------------------------------------------ the leaning column


@dataclass(frozen=True, slots=True)
class LeaningColumn:
    """What a leaning load does to a column fixed at its base; see `leaning_column`.

    Stresses are those of the two edges at the base, where bending is largest; they
    are None unless area and outer fibre were given, and the utilisation is None
    unless the strength was given too.

    Parameters
    ----------
    axial_n, cross_n : float or array
        Parts of the load along the axis (negative pulls) and across it [N].
    base_moment_nmm : float or array
        Bending moment at the base [N mm], with what the bending itself adds.
    tip_deflection_mm : float or array
        Movement of the tip across the axis [mm].
    compression_mpa, tension_mpa : float or array, optional
        Stress of the edge pressed most, compression positive, and of the edge pulled
        most, tension positive [MPa].
    peak_stress_mpa : float or array, optional
        The larger of the two [MPa].
    utilisation : float or array, optional
        Stress over strength of the edge that is nearer to its limit [no unit].

    References
    ----------
    Definition.

    Examples
    --------
    >>> leaning_column(50.0, 10.0, 3000.0, 2701.0, 300.0).utilisation is None
    True
    """

    axial_n: Result
    cross_n: Result
    base_moment_nmm: Result
    tip_deflection_mm: Result
    compression_mpa: Result | None = None
    tension_mpa: Result | None = None
    peak_stress_mpa: Result | None = None
    utilisation: Result | None = None


def leaning_column(
    force_n: ArrayLike,
    lean_deg: ArrayLike,
    modulus_mpa: ArrayLike,
    second_moment_mm4: ArrayLike,
    length_mm: ArrayLike,
    *,
    area_mm2: ArrayLike | None = None,
    outer_fibre_mm: ArrayLike | None = None,
    strength_mpa: ArrayLike | None = None,
    tension_strength_mpa: ArrayLike | None = None,
) -> LeaningColumn:
    """A column fixed at its base under a load that leans: shares, bending, stress.

    The cross share bends the column; the axial share then works on the bend and
    adds to it. With u^2 = axial L^2 / (E I) the moment at the base is
    cross L tan(u)/u, and the tip moves by L tan(lean) (tan(u)/u - 1): the two are
    amplified differently. Past 90 degrees the load pulls, and tanh takes the place
    of tan.

    Assumes a straight, even, elastic column, plane sections, no shear, small
    rotations and a load that keeps its direction. Refused at or beyond the
    buckling load, and where the tip would move more than a tenth of the length:
    there `bent_column` gives the exact shape. At that limit moment and tip come out
    too high, by 1 or 2 % for a lean of 5 degrees and more, 3 % at 1 degree, and 10 %
    and more within 3 % of the buckling load.

    Parameters
    ----------
    force_n : number or array
        Size of the load [N], 0 or more.
    lean_deg : number or array
        Angle between load and axis [degrees], -180 to 180; 0 straight down on
        the tip, 90 straight across, 180 a pull.
    modulus_mpa : number or array
        Modulus of elasticity [MPa], above 0.
    second_moment_mm4 : number or array
        Second moment of area [mm4], above 0.
    length_mm : number or array
        Length [mm], above 0.
    area_mm2, outer_fibre_mm : number or array, optional
        Area [mm2] and distance from axis to edge [mm], above 0; both or none.
    strength_mpa : number or array, optional
        Strength in compression [MPa], above 0; needs area and outer fibre.
    tension_strength_mpa : number or array, optional
        Strength in tension [MPa], above 0, where it differs.

    Returns
    -------
    LeaningColumn
        Shares [N], moment [N mm], tip movement [mm], stresses [MPa], utilisation.

    Raises
    ------
    ValueError
        If `force_n` is below 0, large enough to buckle the column, or moves its tip by
        more than a tenth of the length; if `lean_deg` is not between -180 and 180; if
        any other argument is not above 0; if only one of `area_mm2` and
        `outer_fibre_mm` is given, a strength without them, or `tension_strength_mpa`
        without `strength_mpa`.

    References
    ----------
    Timoshenko S.P., Gere J.M., Theory of Elastic Stability, 2nd ed. 1961,
    articles 1.4, 1.5 and 1.11 (numbers from memory).

    Examples
    --------
    >>> tube = tube_section(20.0, 1.0)
    >>> column = leaning_column(
    ...     50.0, 10.0, 3000.0, tube.second_moment_mm4, 300.0, area_mm2=tube.area_mm2,
    ...     outer_fibre_mm=tube.outer_fibre_mm, strength_mpa=60.0)
    >>> column.axial_n, column.cross_n
    (49.24, 8.68)
    >>> column.base_moment_nmm, column.tip_deflection_mm
    (3213.0, 12.353)
    >>> column.peak_stress_mpa, column.utilisation
    (12.721, 0.2120)
    """
    _refuse_half_a_section(area_mm2, outer_fibre_mm, strength_mpa, tension_strength_mpa)
    force, lean, modulus, second, length = _leaning_inputs(
        force_n, lean_deg, modulus_mpa, second_moment_mm4, length_mm
    )
    axial, cross = force * np.cos(lean), force * np.sin(lean)
    load = axial * length**2 / (modulus * second)  # u^2
    _refuse_buckling(load, force, lean)
    moment_factor, tip_factor = _amplification(load)
    moment = cross * length * moment_factor
    tip = cross * length**3 / (modulus * second) * tip_factor
    _refuse_far_tip(tip, length, force, lean)
    parts = [axial, cross, moment, tip]
    if area_mm2 is not None and outer_fibre_mm is not None:
        area, fibre = _above_zero(
            {"force_n": moment}, area_mm2=area_mm2, outer_fibre_mm=outer_fibre_mm
        )
        bending = np.abs(moment) * fibre / second
        pressed, pulled = bending + axial / area, bending - axial / area
        parts += [pressed, pulled, np.maximum(pressed, pulled)]
        if strength_mpa is not None:
            strength, pull_strength = _above_zero(
                {"force_n": pressed},
                strength_mpa=strength_mpa,
                tension_strength_mpa=(
                    strength_mpa if tension_strength_mpa is None else tension_strength_mpa
                ),
            )
            parts.append(np.maximum(pressed / strength, pulled / pull_strength))
    return LeaningColumn(*_alike(*parts))


def capacity_at_lean_n(
    lean_deg: ArrayLike,
    modulus_mpa: ArrayLike,
    second_moment_mm4: ArrayLike,
    length_mm: ArrayLike,
    area_mm2: ArrayLike,
    outer_fibre_mm: ArrayLike,
    strength_mpa: ArrayLike,
    tension_strength_mpa: ArrayLike | None = None,
) -> Result:
    """Load at which a leaning column fixed at its base reaches its strength.

    The load at which the utilisation of `leaning_column` is 1. At lean 0 nothing
    bends the column before it buckles: the smaller of crushing load and buckling
    load. At 90 degrees it is a plain bracket: strength times I / (c L).

    Assumes what `leaning_column` assumes. A column so slender and strong that its
    tip moves more than a tenth of its length before it breaks is not refused: the
    theory then counts too much bending, and the answer errs low, on the safe side.
    Leaning far, the most slender of these seem to carry more than upright: buckling
    alone limits them, and the lean takes part of the load off their axis. In truth they
    bend over unbroken: beyond some 20 degrees read `bent_column` for them instead.
    A stub no longer than two or three diameters that leans far fails in shear, which
    is not counted: there the answer errs high.

    Equation: P cos(a) / A + P L sin(a) (tan(u)/u) c / I = strength, with u^2 = P cos(a) L^2 /
    (E I); solved for P.

    Parameters
    ----------
    lean_deg : number or array
        Angle between load and axis [degrees], -90 to 90.
    modulus_mpa : number or array
        Modulus of elasticity [MPa], above 0.
    second_moment_mm4 : number or array
        Second moment of area [mm4], above 0.
    length_mm : number or array
        Length [mm], above 0.
    area_mm2 : number or array
        Area [mm2], above 0.
    outer_fibre_mm : number or array
        Distance from axis to edge [mm], above 0.
    strength_mpa : number or array
        Strength in compression [MPa], above 0; for a thin tube at most
        `tube_axial_stress_mpa`.
    tension_strength_mpa : number or array, optional
        Strength in tension [MPa], above 0, where it differs.

    Returns
    -------
    float or array
        Load [N].

    Raises
    ------
    ValueError
        If `lean_deg` is not between -90 and 90, or any other argument is not above 0.

    References
    ----------
    Timoshenko S.P., Gere J.M., Theory of Elastic Stability, 2nd ed. 1961,
    articles 1.4 and 1.11 (numbers from memory), solved for the load by Newton's
    method.

    Examples
    --------
    >>> tube = tube_section(20.0, 1.0)
    >>> capacity_at_lean_n([0, 5, 20, 90], 3000.0, tube.second_moment_mm4, 300.0,
    ...     tube.area_mm2, tube.outer_fibre_mm, 60.0)
    array([222.147, 168.379,  97.666,  54.020])
    """
    lean = np.radians(np.abs(numbers("lean_deg", lean_deg, at_least=-90, at_most=90, copy=False)))
    modulus, second, length, area, fibre, strength = _above_zero(
        {"lean_deg": lean},
        modulus_mpa=modulus_mpa,
        second_moment_mm4=second_moment_mm4,
        length_mm=length_mm,
        area_mm2=area_mm2,
        outer_fibre_mm=outer_fibre_mm,
        strength_mpa=strength_mpa,
    )
    critical = np.pi**2 * modulus * second / (2 * length) ** 2
    # stress at the buckling load from pressing, and from bending without amplification
    pressing, bending = critical / area, critical * np.tan(lean) * length * fibre / second
    share = _share_at_strength(pressing / strength, bending / strength)
    if tension_strength_mpa is not None:
        (pull_strength,) = _above_zero(
            {"lean_deg": share}, tension_strength_mpa=tension_strength_mpa
        )
        share = np.minimum(
            share, _share_at_strength(-pressing / pull_strength, bending / pull_strength)
        )
    return plain(share * critical / np.cos(lean))


@dataclass(frozen=True, slots=True)
class BentColumn:
    """The exact shape of a column bent by a leaning load; see `bent_column`.

    Parameters
    ----------
    along_mm, across_mm : arrays, shape (..., count)
        Points on the line from base to tip: distance from the base along the unbent
        axis, and movement across it [mm].
    base_moment_nmm : float or array
        Bending moment at the base [N mm].
    tip_turn_deg : float or array
        How far the tip has turned from the axis [degrees].

    References
    ----------
    Definition.

    Examples
    --------
    >>> bent_column(50.0, 10.0, 3000.0, 2701.0, 300.0).across_mm.shape
    (61,)
    """

    along_mm: FloatArray
    across_mm: FloatArray
    base_moment_nmm: Result
    tip_turn_deg: Result

    @property
    def tip_deflection_mm(self) -> Result:
        """Movement of the tip across the axis [mm]."""
        return plain(self.across_mm[..., -1])


def bent_column(
    force_n: ArrayLike,
    lean_deg: ArrayLike,
    modulus_mpa: ArrayLike,
    second_moment_mm4: ArrayLike,
    length_mm: ArrayLike,
    count: int = 61,
) -> BentColumn:
    """The exact bent line of a column fixed at its base (the elastica), any rotation.

    Agrees with `leaning_column` while rotations are small, and goes on where that
    refuses: a leaning column bends over further and further instead of buckling at
    one load, and a straight one (lean 0) stays straight up to its buckling load and
    then bends to the positive side.

    Assumes a straight, even, elastic line that neither shortens nor breaks, and a
    load that keeps its direction. Followed up to 25 times the buckling load.

    Equation: E I d2(t)/ds2 = -P sin(t), with t the turn of the axis from the load's direction,
    free of moment at the tip; solved by elliptic integrals.

    Parameters
    ----------
    force_n : number or array
        Size of the load [N], 0 or more, at most 25 times the buckling load.
    lean_deg : number or array
        Angle between load and axis [degrees], -180 to 180.
    modulus_mpa : number or array
        Modulus of elasticity [MPa], above 0.
    second_moment_mm4 : number or array
        Second moment of area [mm4], above 0.
    length_mm : number or array
        Length [mm], above 0.
    count : whole number, optional
        Points on the line, 2 or more.

    Returns
    -------
    BentColumn
        Bent line [mm], moment at the base [N mm], turn of the tip [degrees].

    Raises
    ------
    ValueError
        If `force_n` is below 0 or above 25 times the buckling load; if `lean_deg` is not
        between -180 and 180; if `modulus_mpa`, `second_moment_mm4` or `length_mm` is
        not above 0; if `count` is not one whole number of at least 2.

    References
    ----------
    Timoshenko S.P., Gere J.M., Theory of Elastic Stability, 2nd ed. 1961, article
    2.7 (number from memory), with the base turned against the load by the lean.

    Examples
    --------
    >>> pole = bent_column(1.2939 * 222.15, 0.0, 3000.0, 2701.0, 300.0)
    >>> pole.tip_turn_deg
    80.0
    >>> float(pole.along_mm[-1]), pole.tip_deflection_mm
    (167.81, 215.85)
    """
    force, lean, modulus, second, length = np.broadcast_arrays(
        *_leaning_inputs(force_n, lean_deg, modulus_mpa, second_moment_mm4, length_mm)
    )
    places = _places(count)
    loaded = length * np.sqrt(force / (modulus * second))  # L sqrt(P / (E I))
    refuse_where(
        loaded > np.pi / 2 * np.sqrt(BENT_LIMIT),
        "force_n must be at most {times:g} times the buckling load of {limit:.4g} N"
        " (got {force:g})",
        times=BENT_LIMIT,
        limit=np.pi**2 * modulus * second / (2 * length) ** 2,
        force=force,
    )
    # A load too small for the solution below bends in proportion to its size.
    scale = np.minimum(loaded / 1e-3, 1.0) ** 2
    loaded = np.maximum(loaded, 1e-3)
    start = np.abs(lean)
    turn = _tip_turn(start, loaded)
    left = (np.pi - start - turn) / 2
    p, rest = np.cos(left), np.sin(left)  # p^2 + rest^2 = 1

    # T&G 2.7 with time counted from the tip; the elliptic functions take m = p^2.
    m, full = (p**2)[..., np.newaxis], loaded[..., np.newaxis]
    time = full * (1 - places)
    sn, cn, dn, _ = ellipj(time, m)
    lag = m * (sn * cn / dn + sn**3 * elliprd(cn**2, dn**2, 1.0) / 3) - time
    bend = rest[..., np.newaxis] * sn / dn  # curvature / (2 p)
    with_load = 2 * (lag - lag[..., :1]) / full - places
    off_load = 2 * p[..., np.newaxis] * (bend[..., :1] - bend) / full
    # Turn from the load's direction to the column's axis; mirror for a lean to the left.
    side = np.where(lean < 0, -1.0, 1.0) * scale
    lean_away, size = start[..., np.newaxis], length[..., np.newaxis]
    along = with_load * np.cos(lean_away) + off_load * np.sin(lean_away)
    across = off_load * np.cos(lean_away) - with_load * np.sin(lean_away)
    moment = 2 * p * bend[..., 0] * loaded * modulus * second / length
    return BentColumn(
        along_mm=size * (places + (along - places) * scale[..., np.newaxis]),
        across_mm=size * across * side[..., np.newaxis],
        base_moment_nmm=plain(moment * side),
        tip_turn_deg=plain(np.degrees(turn) * side),
    )


# -------------------------------------------------------------- embedded columns


def foundation_load_n(
    modulus_mpa: ArrayLike,
    second_moment_mm4: ArrayLike,
    foundation_mpa: ArrayLike,
    length_mm: ArrayLike | None = None,
    loaded_end: str = "held",
) -> Result:
    """Buckling load of a column held sideways all along by an elastic bed.

    A tubule in the horn between tubules, or a strand in glue. Long column with its
    loaded end held against moving sideways: 2 sqrt(k E I), whatever its length. If
    the loaded end is FREE to move sideways it is only half of that. With a length:
    pinned at both ends, in as many half waves as give the smallest load.

    Assumes springs side by side that push and pull in proportion to the movement,
    no friction along the column, small rotations, elastic column.

    Equation: P = 2 sqrt(k E I) held, sqrt(k E I) free; pinned, of length l: the least over
    whole m of (pi^2 E I / l^2) (m^2 + k l^4 / (m^2 pi^4 E I)).

    Parameters
    ----------
    modulus_mpa : number or array
        Modulus of elasticity of the column [MPa], above 0.
    second_moment_mm4 : number or array
        Second moment of area [mm4], above 0.
    foundation_mpa : number or array
        Side force per length of column per movement, k [N/mm per mm = MPa]; above
        0, or 0 (no bed) where a length is given.
    length_mm : number or array, optional
        Length [mm], above 0. Left out: a long column.
    loaded_end : str, optional
        "held", or "free": the loaded tip may move sideways, the far end is fixed.
        A free column must be at least 5 (E I / k)^(1/4) long, for which its load
        is at most 1.2 % above that of a long one.

    Returns
    -------
    float or array
        Buckling load [N].

    Raises
    ------
    ValueError
        If `modulus_mpa`, `second_moment_mm4` or `length_mm` is not above 0; if
        `foundation_mpa` is below 0, or is 0 without a length or with a free end; if
        `loaded_end` is neither "held" nor "free"; if `length_mm` is too short for a
        free end.

    References
    ----------
    Timoshenko S.P., Gere J.M., Theory of Elastic Stability, 2nd ed. 1961, article
    2.10; Hetenyi M., Beams on Elastic Foundation, 1946, chapter VII (numbers from
    memory).

    Examples
    --------
    >>> strand = rod_section(0.2).second_moment_mm4
    >>> foundation_load_n(1000.0, strand, 10.0)
    1.7725
    >>> foundation_load_n(1000.0, strand, 10.0, loaded_end="free")
    0.8862
    >>> foundation_load_n(1000.0, strand, 10.0, length_mm=5.0)
    1.7884
    """
    choice("loaded_end", loaded_end, ("held", "free"))
    bare = length_mm is not None and loaded_end == "held"  # may stand without a bed
    least, above = (0, None) if bare else (None, 0)
    bed = numbers("foundation_mpa", foundation_mpa, at_least=least, above=above, copy=False)
    modulus, second = _above_zero(
        {"foundation_mpa": bed}, modulus_mpa=modulus_mpa, second_moment_mm4=second_moment_mm4
    )
    stiff = modulus * second
    if length_mm is None:
        return plain((2 if loaded_end == "held" else 1) * np.sqrt(stiff * bed))
    (length,) = _above_zero(
        {"foundation_mpa": bed, "second_moment_mm4": stiff}, length_mm=length_mm
    )
    lengths = length * (bed / stiff) ** 0.25
    if loaded_end == "free":
        refuse_where(
            lengths < 5,
            "length_mm must be at least {limit:.4g} for a free loaded end (got {length:g})",
            limit=5 * (stiff / bed) ** 0.25,
            length=length,
        )
        return plain(np.sqrt(bed * stiff) + 0 * lengths)
    # P/Pe = m^2 + (l^4 k / EI) / (m pi^2)^2, smallest next to m = l (k/EI)^(1/4) / pi
    euler, beds = np.pi**2 * stiff / length**2, lengths**4 / np.pi**4
    fewer = np.maximum(np.floor(lengths / np.pi), 1.0)
    return plain(
        euler * np.minimum(fewer**2 + beds / fewer**2, (fewer + 1) ** 2 + beds / (fewer + 1) ** 2)
    )


# --------------------------------------------------------------------- thin tubes


def tube_axial_stress_mpa(
    modulus_mpa: ArrayLike,
    radius_mm: ArrayLike,
    wall_mm: ArrayLike,
    poisson: ArrayLike = 0.3,
    shell: str = "pressed",
) -> Result:
    """Stress along a thin tube at which its wall buckles into dimples.

    A perfect tube: E t / (R sqrt(3 (1 - nu^2))). Real ones, never quite round,
    carry much less, the thinner the less; the lower bound of many tests is taken.

    Assumes an even elastic tube of middling length, held round at both ends. For
    walls thicker than about a tenth of the radius the material yields first and
    this stress is not reached.

    Equation: stress = g E t / (R sqrt(3 (1 - nu^2))), with g = 1 - 0.901 (1 -
    exp(-sqrt(R/t)/16)) pressed, 0.731 in place of 0.901 bent, and g = 1 perfect.

    Parameters
    ----------
    modulus_mpa : number or array
        Modulus of elasticity [MPa], above 0.
    radius_mm : number or array
        Radius to the middle of the wall [mm]; 1 to 1500 times the wall.
    wall_mm : number or array
        Thickness of the wall [mm], above 0.
    poisson : number or array, optional
        Poisson's ratio [no unit], 0 to 0.5.
    shell : str, optional
        "pressed": a real tube pressed along its axis; "bent": the pressed edge of
        a real tube that is bent; "perfect": without flaws.

    Returns
    -------
    float or array
        Buckling stress [MPa].

    Raises
    ------
    ValueError
        If `modulus_mpa`, `radius_mm` or `wall_mm` is not above 0; if the radius is not 1
        to 1500 times the wall; if `poisson` is not between 0 and 0.5; if `shell` is
        none of the three.

    References
    ----------
    Timoshenko S.P., Gere J.M., Theory of Elastic Stability, 2nd ed. 1961, article
    11.1 (number from memory); NASA SP-8007, Buckling of Thin-Walled Circular
    Cylinders, 1968, revised 2020, reduction factors for axial load and bending.

    Examples
    --------
    >>> tube_axial_stress_mpa(200e3, 200.0, 1.0, shell="perfect")
    605.23
    >>> tube_axial_stress_mpa(200e3, 200.0, 1.0)
    285.23
    """
    nu = numbers("poisson", poisson, at_least=0, at_most=0.5, copy=False)
    modulus, radius, wall = _above_zero(
        {"poisson": nu}, modulus_mpa=modulus_mpa, radius_mm=radius_mm, wall_mm=wall_mm
    )
    choice("shell", shell, ("pressed", "bent", "perfect"))
    thinness = numbers(
        "radius_mm over wall_mm", radius / wall, at_least=1, at_most=1500, copy=False
    )
    stress = modulus / thinness / np.sqrt(3 * (1 - nu**2))
    if shell == "perfect":
        return plain(stress)
    loss = 0.901 if shell == "pressed" else 0.731
    return plain(stress * (1 - loss * (1 - np.exp(-np.sqrt(thinness) / 16))))


def ring_side_stiffness(
    modulus_mpa: ArrayLike,
    radius_mm: ArrayLike,
    wall_mm: ArrayLike,
    length_mm: ArrayLike = 1.0,
    poisson: ArrayLike = 0.0,
) -> Result:
    """Force on the side of a tube per movement of one side towards the other.

    Two opposite lines of force squeeze the tube, as when it lies between hand and
    table. Assumes a thin elastic ring, open ends, small movement; end discs or rims
    make a real tin much stiffer near them.

    Equation: k = E L t^3 / (12 (1 - nu^2) (pi/4 - 2/pi) R^3) [N/mm].

    Parameters
    ----------
    modulus_mpa : number or array
        Modulus of elasticity around the ring [MPa], above 0.
    radius_mm : number or array
        Radius to the middle of the wall [mm], at least the wall.
    wall_mm : number or array
        Thickness of the wall [mm], above 0.
    length_mm : number or array, optional
        Length of tube under the force [mm], above 0; 1 gives the stiffness per mm.
    poisson : number or array, optional
        Poisson's ratio [no unit], 0 to 0.5, for a long tube, which cannot curl
        along its length; 0 for a short ring.

    Returns
    -------
    float or array
        Stiffness [N/mm].

    Raises
    ------
    ValueError
        If `modulus_mpa`, `radius_mm`, `wall_mm` or `length_mm` is not above 0; if
        `wall_mm` is above `radius_mm`; if `poisson` is not between 0 and 0.5.

    References
    ----------
    Young W.C., Budynas R.G., Roark's Formulas for Stress and Strain, 7th ed. 2002,
    Table 9.2, case 1.

    Examples
    --------
    >>> ring_side_stiffness(3000.0, 10.0, 1.0, length_mm=50.0)
    84.02
    """
    nu = numbers("poisson", poisson, at_least=0, at_most=0.5, copy=False)
    modulus, radius, wall, length = _above_zero(
        {"poisson": nu},
        modulus_mpa=modulus_mpa,
        radius_mm=radius_mm,
        wall_mm=wall_mm,
        length_mm=length_mm,
    )
    _refuse_thick(radius, wall)
    bending = modulus * length * wall**3 / (12 * (1 - nu**2))
    return plain(bending / ((np.pi / 4 - 2 / np.pi) * radius**3))


def ring_collapse_n_per_mm(
    yield_mpa: ArrayLike,
    radius_mm: ArrayLike,
    wall_mm: ArrayLike,
    closing_mm: ArrayLike = 0.0,
    long_tube: bool = False,
) -> Result:
    """Force per length at which a tube squeezed across its diameter collapses.

    Four plastic hinges, at the two lines of force and half way between: 4 M0 / R
    with M0 = yield t^2 / 4. Squeezed on between flat plates it hardens, because the
    lines of contact move apart: times 1 / sqrt(1 - (closing / diameter)^2).

    Assumes a thin ring of material that yields and does not crack or harden; open
    ends. A wall so thin that it dents elastically gives way earlier.

    Parameters
    ----------
    yield_mpa : number or array
        Yield stress in bending [MPa], above 0.
    radius_mm : number or array
        Radius to the middle of the wall [mm], at least the wall.
    wall_mm : number or array
        Thickness of the wall [mm], above 0.
    closing_mm : number or array, optional
        How far the tube has been flattened already [mm], 0 or more, below the
        diameter.
    long_tube : bool, optional
        True for a long tube, which cannot curl along its length: 2 / sqrt(3) more.

    Returns
    -------
    float or array
        Collapse force per length of tube [N/mm].

    Raises
    ------
    ValueError
        If `yield_mpa`, `radius_mm` or `wall_mm` is not above 0; if `wall_mm` is above
        `radius_mm`; if `closing_mm` is below 0, or not below the diameter.

    References
    ----------
    DeRuntz J.A., Hodge P.G., Crushing of a tube between rigid plates, J. Appl.
    Mech. 30 (1963) 391-395 (from memory).

    Examples
    --------
    >>> 50.0 * ring_collapse_n_per_mm(60.0, 10.0, 1.0)
    300.0
    """
    closing = numbers("closing_mm", closing_mm, at_least=0, copy=False)
    strength, radius, wall = _above_zero(
        {"closing_mm": closing}, yield_mpa=yield_mpa, radius_mm=radius_mm, wall_mm=wall_mm
    )
    _refuse_thick(radius, wall)
    force = strength * wall**2 / radius
    if long_tube:
        force = 2 / np.sqrt(3) * force
    if closing.ndim == 0 and closing == 0:
        return plain(force)
    flattened = closing / (2 * radius)
    refuse_where(
        flattened >= 1,
        "closing_mm must be below the diameter of {diameter:g} (got {closing:g})",
        diameter=2 * radius,
        closing=closing,
    )
    return plain(force / np.sqrt(1 - flattened**2))


# ------------------------------------------------------------------ shared pieces


def _above_zero(
    beside: Mapping[str, FloatArray] | None = None, /, **values: ArrayLike
) -> list[FloatArray]:
    """The named values, each above 0, of shapes that go together with those `beside` them."""
    arrays = {name: numbers(name, value, above=0, copy=False) for name, value in values.items()}
    together(**(beside or {}), **arrays)
    return list(arrays.values())


def _alike(*parts: FloatArray) -> list[Result]:
    """The parts of one result, all of the same shape."""
    shape = np.broadcast_shapes(*(np.shape(part) for part in parts))
    return [
        plain(part if np.shape(part) == shape else np.broadcast_to(part, shape).copy())
        for part in parts
    ]


def _hexagon(most: int) -> tuple[FloatArray, FloatArray]:
    """For 1 to `most` touching circles of diameter 1, packed round: spread and reach.

    Spread is the sum of squared distances from the axis of weakest bending, reach
    the distance of the outermost circle's centre from the bundle's axis.
    """
    size = int(np.sqrt(most)) + 3
    row, column = (axis.ravel() for axis in np.mgrid[-size : size + 1, -size : size + 1])
    x, y = column + row / 2, row * np.sqrt(0.75)
    count = np.arange(1, most + 1)
    best_spread = best_reach = np.zeros(most)
    best_total = np.full(most, np.inf)
    for centre in ((0.0, 0.0), (0.5, 0.0), (0.5, np.sqrt(1 / 12))):  # strand, contact, hollow
        u, v = x - centre[0], y - centre[1]
        far = np.hypot(u, v)
        order = np.lexsort((np.arctan2(v, u), far.round(9)))[:most]
        u, v, far = u[order], v[order], far[order]
        mean_u, mean_v = np.cumsum(u) / count, np.cumsum(v) / count
        uu = np.cumsum(u * u) - count * mean_u**2
        vv = np.cumsum(v * v) - count * mean_v**2
        uv = np.cumsum(u * v) - count * mean_u * mean_v
        total = uu + vv
        spread = np.maximum(total / 2 - np.hypot((uu - vv) / 2, uv), 0.0)
        reach = far + np.hypot(mean_u, mean_v)
        equal = np.abs(total - best_total) < 1e-9
        rounder = np.where(equal, reach < best_reach, total < best_total)
        best_spread = np.where(rounder, spread, best_spread)
        best_reach = np.where(rounder, reach, best_reach)
        best_total = np.where(rounder, total, best_total)
    return best_spread, best_reach


def _yield_over_euler(
    modulus_mpa: ArrayLike, yield_mpa: ArrayLike, slenderness: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """The strength, and its ratio to Euler's stress (zero for a column of no length)."""
    slender = numbers("slenderness", slenderness, at_least=0, copy=False)
    modulus, strength = _above_zero(
        {"slenderness": slender}, modulus_mpa=modulus_mpa, yield_mpa=yield_mpa
    )
    return strength, slender**2 * strength / modulus / np.pi**2


def _leaning_inputs(
    force_n: ArrayLike,
    lean_deg: ArrayLike,
    modulus_mpa: ArrayLike,
    second_moment_mm4: ArrayLike,
    length_mm: ArrayLike,
) -> tuple[FloatArray, ...]:
    """Load, lean (in radians) and column, checked and of shapes that go together."""
    force = numbers("force_n", force_n, at_least=0, copy=False)
    lean = np.radians(numbers("lean_deg", lean_deg, at_least=-180, at_most=180, copy=False))
    modulus, second, length = _above_zero(
        {"force_n": force, "lean_deg": lean},
        modulus_mpa=modulus_mpa,
        second_moment_mm4=second_moment_mm4,
        length_mm=length_mm,
    )
    return force, lean, modulus, second, length


def _refuse_half_a_section(
    area: ArrayLike | None,
    fibre: ArrayLike | None,
    strength: ArrayLike | None,
    pull_strength: ArrayLike | None,
) -> None:
    if (area is None) != (fibre is None):
        raise ValueError("area_mm2 and outer_fibre_mm must be given together")
    if area is None and not (strength is None and pull_strength is None):
        raise ValueError("a strength needs area_mm2 and outer_fibre_mm beside it")
    if strength is None and pull_strength is not None:
        raise ValueError("tension_strength_mpa needs strength_mpa, in compression, beside it")


def _places(count: int) -> FloatArray:
    """Points from base (0) to tip (1)."""
    number = numbers("count", count, at_least=2, whole=True, copy=False)
    if number.ndim:
        raise ValueError(f"count must be one number (got shape {number.shape})")
    return np.linspace(0.0, 1.0, int(number))


def _refuse_buckling(load: FloatArray, force: FloatArray, lean: FloatArray) -> None:
    refuse_where(
        load >= np.pi**2 / 4,
        "force_n must be below {limit:.4g} N, where the column buckles (got {force:g} N leaning"
        " {lean:.4g} degrees); bent_column follows it beyond",
        limit=force * (np.pi**2 / 4) / np.where(load > 0, load, 1.0),
        force=force,
        lean=np.degrees(lean),
    )


def _refuse_far_tip(
    tip: FloatArray, length: FloatArray, force: FloatArray, lean: FloatArray
) -> None:
    refuse_where(
        np.abs(tip) > TIP_LIMIT * length,
        "force_n {force:g} N leaning {lean:.4g} degrees moves the tip by about {tip:.3g} mm, more"
        " than a tenth of the {length:g} mm length, too far for this theory of small rotations;"
        " bent_column gives the exact shape",
        force=force,
        lean=np.degrees(lean),
        tip=np.abs(tip),
        length=length,
    )


def _tan_over(load: FloatArray) -> FloatArray:
    """tan(u)/u from u^2; tanh for a negative one, 1 at zero."""
    u = np.sqrt(np.abs(load))
    upper = np.tan(u)
    if (load < 0).any():
        upper = np.where(load < 0, np.tanh(u), upper)
    still = u == 0
    if still.any():
        return np.where(still, 1.0, upper / np.where(still, 1.0, u))
    return np.asarray(upper / u)


def _amplification(load: FloatArray) -> tuple[FloatArray, FloatArray]:
    """From u^2: moment over cross L, tan(u)/u, and tip over cross L^3 / (E I)."""
    moment = _tan_over(load)
    small = np.abs(load) < 1e-3  # here (moment - 1) / load would lose its digits
    tip = (moment - 1) / np.where(small, 1.0, load)
    if small.any():
        series = 1 / 3 + load * (2 / 15 + load * (17 / 315 + load * (62 / 2835)))
        tip = np.where(small, series, tip)
    return moment, tip


def _share_at_strength(pressing: FloatArray, bending: FloatArray) -> FloatArray:
    """Root r in (0, 1] of pressing r + bending r T(r) = 1, with T = tan(u)/u, u^2 = r pi^2/4.

    (1 - c r) / (1 - r) with c = 1 - 8 / pi^2 is at most T and within 0.4 % of it: its
    root, of a quadratic, lies just above the true one. The left side is hollow
    upwards there, so Newton's method closes in from above without overshooting.
    """
    c = 1 - 8 / np.pi**2
    middle = 1 + pressing + bending
    r = 2 / (middle + np.sqrt(middle**2 - 4 * (pressing + c * bending)))
    for _ in range(4):
        load = r * (np.pi**2 / 4)
        t = _tan_over(load)
        slope = pressing + bending * (t + (1 + load * t**2 - t) / 2)
        step = (pressing * r + bending * r * t - 1) / np.where(bending > 0, slope, 1.0)
        # so little bending that rounding hides it leaves the buckling load, r = 1
        r = np.where(bending > 0, np.minimum(r - step, 1.0), r)
    return r


def _tip_turn(start: FloatArray, loaded: FloatArray) -> FloatArray:
    """How far the tip turns under a load that leans by `start`, from L sqrt(P / (E I)).

    The angle between line and load grows from `start` at the base to its largest at
    the tip like a pendulum's swing (Kirchhoff). The swing's time, an elliptic integral
    of p = sin(angle at the tip / 2), must be `loaded`: halve the turn of the tip.
    The integral is taken in Carlson's symmetric form.
    """
    room = np.pi - start

    def missing(turn: FloatArray) -> FloatArray:
        rest = np.sin((room - turn) / 2)  # sqrt(1 - p^2)
        amplitude = np.arctan2(
            np.sqrt(np.sin(turn / 2) * np.sin(start + turn / 2)), np.sin(start / 2) * rest
        )
        sn, cn = np.sin(amplitude), np.cos(amplitude)
        # squared, for the turn of a small load goes with its square
        return np.asarray((sn * elliprf(cn**2, cn**2 + (rest * sn) ** 2, 1.0)) ** 2 - loaded**2)

    # one that stands straight under the load stays so up to its buckling load
    most = np.where((start == 0) & (loaded <= np.pi / 2), 0.0, room)
    return _root_between(missing, np.zeros_like(room), -(loaded**2), most)


def _root_between(
    function: Callable[[FloatArray], FloatArray],
    low: FloatArray,
    at_low: FloatArray,
    high: FloatArray,
) -> FloatArray:
    """Where a function goes from below 0 to above, each between its own two ends.

    By Chandrupatla's method (Chandrupatla T.R., A new hybrid quadratic/bisection algorithm,
    Advances in Engineering Software 28 (1997) 145; from memory): a curve through the last three
    places where that is safe, halves where it is not.
    """
    here, other, part = high, low, np.full(np.shape(low), 0.5)
    f_here, f_other = function(high), at_low
    for _ in range(80):
        turn = here + part * (other - here)
        found = function(turn)
        stays = (found > 0) == (f_here > 0)
        third, f_third = np.where(stays, here, other), np.where(stays, f_here, f_other)
        other, f_other = np.where(stays, other, here), np.where(stays, f_other, f_here)
        here, f_here = turn, found
        least = 1e-16 + 2e-16 * np.abs(here)
        near = least / np.maximum(np.abs(other - third), 1e-300)
        if np.all((np.abs(here - other) <= 2 * least) | (f_here == 0)):
            break
        with np.errstate(divide="ignore", invalid="ignore"):
            place = (here - other) / (third - other)
            height = (f_here - f_other) / (f_third - f_other)
            curve = (f_here / (f_other - f_here)) * (f_third / (f_other - f_third)) + (
                (third - here) / (other - here)
            ) * (f_here / (f_third - f_here)) * (f_other / (f_third - f_other))
            safe = (height**2 < place) & ((1 - height) ** 2 < 1 - place)
        near = np.minimum(near, 0.5)
        part = np.clip(np.where(safe, curve, 0.5), near, 1 - near)
    return here


def _refuse_thick(radius: FloatArray, wall: FloatArray) -> None:
    refuse_where(
        wall > radius,
        "wall_mm must be at most the radius of {radius:g} (got {wall:g})",
        radius=radius,
        wall=wall,
    )

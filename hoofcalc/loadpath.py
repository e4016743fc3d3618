"""The path of the ground's force through the wall: shares, along and across, stress, comparison.

From a capsule and the force on the foot to every strip of wall round the rim. A
strip is the wall around one tubule. The steps, and what each of them assumes:

1. Sharing. Two limits, and a foot is somewhere between them. `share_out`: the foot is
   rigid and the ground cannot pull; pressure is linear in place, or zero. Such even
   pressure is also what soft ground gives. `share_on_hard_ground`: flat, hard, slippery
   ground under an elastic wall that hangs on a rigid bone; a soft heel sheds its load.
   In both, frog, bars and sole take a fixed part, with its middle where the force acts,
   and the level force is shared in proportion to the upright one. *All of these are
   choices, and which of the two limits is nearer is the greatest uncertainty of all.*
2. Direction (`obliquity_deg`, `along_across`). Plain geometry.
3. In the wall (`wall_stress`). The wall is one curved shell, open behind: neighbours hold
   each other. Nothing holds it below a free height; above that it hangs on springs, stiff
   at the toe (laminae on bone) and soft at the heel (laminae on cartilage and cushion).
   Bars are plates on springs behind it. Linear elastic, small movements. *The free
   height, the springs and the bars are choices.*
4. How hard the horn is worked: the von Mises stress on the faces of the wall, or, with the
   horn's strength off its axis, `utilisation`. Both count for comparing feet and places
   (`compare_feet`, `hardest_parts`), not for saying that horn breaks: horn creeps and yields first.

How good the shell is. It was held against a converged solid of the curved wall
(27-node bricks, meshes alike to 2 %) in 324 cases: three feet and heels from 20 to 67
degrees, with and without bars, centre of force at 50 to 70 % of the length, tilt of -8 to 8
degrees, even pressure and flat hard ground. Measured is the 95th percentile, by area, of the
von Mises stress on the faces over the hindmost third. Over that of a foot in line under
the same load the shell is off by -21 to +22 % (6.5 % in the mean of squares); by itself it is
14 % low in the middle, at worst 32 % low and 6 % high. In that third as a whole, not strip by
strip: at the end of the heel the two may differ by more. Outside this range of shapes nothing
was tried. The table and the script that makes it stand in `tests/validation`.

Where it stops being true: the impact in the first hundredths of a second; feet on sloping
ground; dished or cracked walls; loads so great that the wall's movement changes its shape
(within the loads of trot that adds 13 to 20 % in a solid); sole and frog, which are loaded
but tie nothing together here.

Signs: x forward, y left, z up; forces in N act on the foot, so z is positive.
Tilt is positive where the force leans back (braking). Stress is positive in
tension, pressure positive in compression.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from functools import partial
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import (
    FloatArray,
    Result,
    choice,
    numbers,
    plain,
    points,
    refuse_where,
    together,
)
from hoofcalc._shell import Shell, Walls, shell_of
from hoofcalc.capsule import Capsule
from hoofcalc.horn import Horn, strength_ratio

__all__ = [
    "AlongAcross",
    "Choices",
    "Comparison",
    "HardestParts",
    "Hold",
    "Place",
    "WallStress",
    "along_across",
    "compare_feet",
    "force_vector",
    "hardest_parts",
    "obliquity_deg",
    "pressure_under",
    "share_on_hard_ground",
    "share_out",
    "utilisation",
    "wall_stress",
    "weakest_place",
    "worked_parts",
]

_MOST_STEPS = 100  # of the search for the balance under a foot that has lifted in part
_BALANCED = 1e-10  # force and moments, as a part of the force and of force times size


def force_vector(
    vertical_n: ArrayLike, tilt_deg: ArrayLike, side_lean_deg: ArrayLike = 0.0
) -> FloatArray:
    """The ground's force on the foot from its upright part and its two leans.

    Equation: force = (-V tan(tilt), V tan(side lean), V).

    Parameters
    ----------
    vertical_n : float or array
        Upright part [N].
    tilt_deg : float or array
        Lean from the vertical in the side view [degrees], positive back (braking).
    side_lean_deg : float or array
        Lean from the vertical in the front view [degrees], positive to the left.

    Returns
    -------
    array
        Force forward, left and up [N], shape (..., 3).

    Raises
    ------
    ValueError
        If `vertical_n` is below 0, `tilt_deg` or `side_lean_deg` is not between -90 and 90
        degrees (both excluded), or the shapes do not go together.

    References
    ----------
    Definition.

    Examples
    --------
    >>> forward, left, up = force_vector(5795, 5.6)
    >>> float(forward), float(up)
    (-568.2, 5795.0)
    """
    up, tilt, lean = together(
        vertical_n=numbers("vertical_n", vertical_n, at_least=0),
        tilt_deg=numbers("tilt_deg", tilt_deg, above=-90, below=90),
        side_lean_deg=numbers("side_lean_deg", side_lean_deg, above=-90, below=90),
    )
    return np.stack([-up * np.tan(np.radians(tilt)), up * np.tan(np.radians(lean)), up], axis=-1)


def pressure_under(
    points_mm: ArrayLike, areas_mm2: ArrayLike, force_n: ArrayLike, centre_mm: ArrayLike
) -> FloatArray:
    """Pressure at the bearing points of a rigid foot on flat ground that cannot pull.

    The pressure is p = max(0, a + b x + c y). Where the centre of force lies inside
    the kern all points bear and a, b, c follow at once; outside it part of the
    foot lifts, and they are found by Newton's method on the convex function
    whose slope is the want of balance, with each step shortened until it falls.
    Force and both moments balance to 1e-9 of the force (and of the force times
    the size of the foot), or the function says that they do not.

    Parameters
    ----------
    points_mm : array
        Bearing points [mm], shape (..., n, 2).
    areas_mm2 : array
        Area that each point stands for [mm2], shape (..., n).
    force_n : float or array
        Upright force [N], shape (...).
    centre_mm : array
        Where it acts [mm], shape (..., 2). Leading axes broadcast.

    Returns
    -------
    array
        Pressure at each point [MPa], shape (..., n).

    Raises
    ------
    ValueError
        If `centre_mm` lies outside the bearing points (the foot would tip over), `points_mm` all
        lie on one line, one of `areas_mm2` is not above 0, `force_n` is below 0, the shapes do
        not go together, or no balance is found.

    References
    ----------
    Rigid footing, linear pressure without tension: any text on foundations, such as
    Bowles J.E., Foundation Analysis and Design, 5th ed., McGraw-Hill 1996, Ch. 8
    (chapter from memory). Newton's method with the set of bearing points: Nocedal J.,
    Wright S.J., Numerical Optimization, 2nd ed., Springer 2006, Ch. 3 (from memory).

    Examples
    --------
    >>> square = [(-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0)]
    >>> pressure_under(square, np.full(4, 100.0), 400.0, (0.0, 25.0))
    array([0.500, 0.500, 1.500, 1.500])
    """
    at = points("points_mm", points_mm, 2)
    area = numbers("areas_mm2", areas_mm2, above=0)
    force = numbers("force_n", force_n, at_least=0)
    centre = points("centre_mm", centre_mm, 2)
    if at.ndim < 2 or area.ndim < 1 or at.shape[-2] != area.shape[-1]:
        raise ValueError(
            "points_mm and areas_mm2 must hold as many points as areas"
            f" (got shapes {at.shape} and {area.shape})"
        )
    together(
        points_mm=at[..., 0, 0], areas_mm2=area[..., 0], force_n=force, centre_mm=centre[..., 0]
    )
    return _pressure_per_n(at, area, centre) * force[..., None]


def _pressure_per_n(at: FloatArray, area: FloatArray, centre: FloatArray) -> FloatArray:
    """Pressure for a force of 1 N; it grows with the force, so this is all there is to solve."""
    # Work in a frame of the foot's own: origin its centroid, unit of length its spread.
    whole = area.sum(axis=-1)
    part = area / whole[..., None]
    origin = np.sum(part[..., None] * at, axis=-2)
    arms = at - origin[..., None, :]
    size = np.sqrt(np.sum(part * np.sum(arms**2, axis=-1), axis=-1))
    if np.any(size == 0):
        raise ValueError("points_mm must not all lie in one place")
    x, y = np.moveaxis(arms / size[..., None, None], -1, 0)
    basis = np.stack([np.ones_like(x), x, y], axis=-2)  # (..., 3, n)
    weighted = basis * part[..., None, :]
    stiffness = weighted @ np.swapaxes(basis, -1, -2)
    refuse_where(
        np.linalg.eigvalsh(stiffness)[..., 0] < 1e-12,
        "points_mm must not all lie on one line",
    )
    offset = (centre - origin) / size[..., None]
    target = np.concatenate([np.ones_like(offset[..., :1]), offset], axis=-1)
    plane = np.linalg.solve(stiffness, target[..., None])  # (..., 3, 1): a, b, c
    pressure: FloatArray = (np.swapaxes(plane, -1, -2) @ basis)[..., 0, :]
    carried = (weighted @ pressure[..., None])[..., 0]
    # not yet the answer where a point would pull, or where rounding has spoilt the balance
    rest = np.any(pressure < 0, axis=-1)
    rest |= np.abs(target - carried).max(axis=-1) > _BALANCED
    if rest.any():

        def only(array: FloatArray, inner: int) -> FloatArray:
            shape = array.shape[array.ndim - inner :]
            return np.broadcast_to(array, rest.shape + shape)[rest]

        _refuse_outside(only(at, 2), only(centre, 1))
        pressure[rest] = _partial_contact(
            only(basis, 2), only(weighted, 2), only(target, 1), only(plane[..., 0], 1)
        )
    per_n: FloatArray = pressure / whole[..., None]
    return per_n


def _refuse_outside(at: FloatArray, centre: FloatArray) -> None:
    """Refuse a centre that sees all bearing points within less than half a turn.

    By how much it sees less, times the distance of the nearest point, is at most the
    distance outside: rounding beside an edge or a corner does not count.
    """
    arms = at - centre[:, None, :]
    seen = np.sort(np.arctan2(arms[..., 1], arms[..., 0]), axis=-1)
    gaps = np.diff(seen, axis=-1, append=seen[:, :1] + 2 * np.pi)
    away = np.hypot(arms[..., 0], arms[..., 1])
    outside = (gaps.max(axis=-1) - np.pi) * away.min(axis=-1)
    refuse_where(
        outside > 1e-9 * away.max(axis=-1),
        "centre_mm must lie within the bearing points, or the foot tips over"
        " (got forward {x:.6g}, left {y:.6g})",
        x=centre[:, 0],
        y=centre[:, 1],
    )


def _partial_contact(
    basis: FloatArray, weighted: FloatArray, target: FloatArray, plane: FloatArray
) -> FloatArray:
    """Newton's method on f(a, b, c) = sum(part p^2) / 2 - target . (a, b, c), p = max(0, plane).

    f is convex and once smoothly differentiable; its slope is the want of balance,
    so its lowest point is the answer, however far the start is from it.
    """

    def look(plane: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        pressure = np.maximum(0.0, (plane[:, None, :] @ basis)[:, 0, :])
        carried = (weighted @ pressure[..., None])[..., 0]
        value = np.sum(plane * carried, axis=-1) / 2 - np.sum(plane * target, axis=-1)
        return pressure, target - carried, value

    pressure, want, value = look(plane)
    for _ in range(_MOST_STEPS):
        open_ = np.abs(want).max(axis=-1) > _BALANCED
        if not open_.any():
            return pressure
        bears = weighted * (pressure > 0)[:, None, :]
        stiffness = bears @ np.swapaxes(basis, -1, -2)
        # a grain of stiffness keeps the step finite where one or two points bear
        grain = 1e-13 * np.trace(stiffness, axis1=-2, axis2=-1)[:, None, None] * np.eye(3)
        step = np.linalg.solve(stiffness + grain, want[..., None])[..., 0] * open_[:, None]
        slope = np.sum(want * step, axis=-1)
        for _ in range(60):
            pressure, new_want, new_value = look(plane + step)
            falls = new_value <= value - 1e-4 * slope
            smaller = np.abs(new_want).max(axis=-1) < np.abs(want).max(axis=-1) / 2
            good = falls | smaller | ~open_
            if good.all():
                break
            shorter = np.where(good, 1.0, 0.5)
            step, slope = shorter[:, None] * step, shorter * slope
        plane, want, value = plane + step, new_want, new_value
    raise ValueError(
        f"no balance found in {_MOST_STEPS} steps: {np.abs(want).max():.1e} of the force is left"
        " over; the centre of force lies too near the edge of the bearing points"
    )


def share_out(
    capsule: Capsule, force: ArrayLike, centre_mm: ArrayLike, other_share: ArrayLike = 0.2
) -> FloatArray:
    """The force on each strip of wall round the rim.

    The wall carries 1 - `other_share` of the force, frog, bars and sole the rest
    with its middle at the same point. The upright force on a strip is pressure times
    area; the level force is shared in proportion to it (a choice; friction would
    allow others). So every strip's force is parallel to the whole, and they add up,
    with their moments about all three axes, to the wall's part of it.

    Equation: force of a strip = (1 - other share) force p A / sum(p A), with p of
    `pressure_under`.

    Parameters
    ----------
    capsule : Capsule
        The foot or feet.
    force : array
        Force on the foot, forward, left and up [N], shape (..., 3); up above 0.
        Leading axes broadcast against the capsule's: forces of shape (1000, 1, 3)
        and three feet give (1000, 3, n, 3).
    centre_mm : array
        Where on the ground it acts, forward and left [mm], shape (..., 2).
    other_share : float or array
        Part of the force that frog, bars and sole carry [-], from 0 to below 1.
        The default is a choice, not a measurement.

    Returns
    -------
    array
        Force on each strip [N], shape (..., n, 3).

    Raises
    ------
    ValueError
        If `force` does not press upward, `other_share` is not from 0 to below 1, the shapes do
        not go together, or as `pressure_under`.

    References
    ----------
    Model of our own on the footing theory of `pressure_under`.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> foot = build_capsule(Profile((110, 0), (40, 80), (0, 0), (-40, 44)))
    >>> shares = share_out(foot, force_vector(5000, 5.6), (60, 0))
    >>> shares.shape, float(shares[:, 2].sum())
    ((181, 3), 4000.0)
    """
    whole = _upward("force", force)
    centre = points("centre_mm", centre_mm, 2)
    other = numbers("other_share", other_share, at_least=0, below=1)
    together(
        capsule=capsule.ground[..., 0, 0],
        force=whole[..., 0],
        centre_mm=centre[..., 0],
        other_share=other,
    )
    area = capsule.bearing_areas_mm2
    part = pressure_under(capsule.bearing_points_mm, area, 1.0, centre) * area
    return (part * (1 - other)[..., None])[..., None] * whole[..., None, :]


def obliquity_deg(capsule: Capsule, force: ArrayLike) -> FloatArray:
    """Angle between the force and each tubule: 0 along it, 90 across.

    In the side view of a strip at the toe this is (90 - wall angle) - tilt.

    Equation: obliquity = atan2(across, along).

    Parameters
    ----------
    capsule : Capsule
        The foot or feet.
    force : array
        Force on the foot [N], shape (..., 3); only its direction matters. Leading
        axes broadcast against the capsule's.

    Returns
    -------
    array
        Obliquity of each tubule [degrees], shape (..., n).

    Raises
    ------
    ValueError
        If the force does not press upward or the shapes do not go together.

    References
    ----------
    Definition; by the arc tangent of both parts, which keeps small angles exact.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> foot = build_capsule(Profile.from_measures(50, 35, 85, 40, 105))
    >>> toe, heel = obliquity_deg(foot, force_vector(1000, 5.6))[[90, 0]]
    >>> float(toe)
    34.4
    """
    whole = _upward("force", force)
    together(capsule=capsule.ground[..., 0, 0], force=whole[..., 0])
    along, across = _parts(capsule, whole[..., None, :])
    return np.degrees(np.arctan2(across, along))


class AlongAcross(NamedTuple):
    """Forces on the strips along their tubules and across them; made by `along_across`.

    Parameters
    ----------
    along_n : array
        Along the tubule [N], positive where it presses.
    across_n : array
        Across the tubule [N], 0 or above.

    References
    ----------
    Definition.

    Examples
    --------
    >>> along, across = AlongAcross(np.array([3.0]), np.array([4.0]))
    >>> float(np.hypot(along, across)[0])
    5.0
    """

    along_n: FloatArray
    across_n: FloatArray


def along_across(capsule: Capsule, rim_forces: ArrayLike) -> AlongAcross:
    """The part of each strip's force along its tubule, and the part across it.

    Equation: along = F . t, across = |F - (F . t) t|, with the tubule's unit vector t.

    Parameters
    ----------
    capsule : Capsule
        The foot or feet.
    rim_forces : array
        Force on each strip [N], shape (..., n, 3), as from `share_out`.

    Returns
    -------
    AlongAcross
        `along_n` [N], positive where it presses along the tubule, and `across_n`
        [N], 0 or above; both of shape (..., n).

    Raises
    ------
    ValueError
        If the shapes do not go together.

    References
    ----------
    Definition.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> foot = build_capsule(Profile.from_measures(50, 35, 85, 40, 105))
    >>> shares = share_out(foot, force_vector(5000, 0), (60, 0))
    >>> along, across = along_across(foot, shares)
    >>> float(along[90] / shares[90, 2]), float(across[90] / shares[90, 2])
    (0.766, 0.643)
    """
    return AlongAcross(*_parts(capsule, _rim_forces(capsule, rim_forces)))


@dataclass(frozen=True, eq=False)
class Hold:
    """What holds the wall of a foot, or of several; every number is a choice.

    Nothing holds the wall up to the free height above the ground; above that its inner face
    hangs on springs whose stiffness changes evenly from toe to heel. Each bar is a plate of
    the heel's thickness and a third of the foot's length on springs as soft as the heel's.

    Parameters
    ----------
    free_height_mm : float or array
        Height above the ground up to which nothing holds the wall [mm], 0 or above.
    toe_hold_mpa_per_mm, heel_hold_mpa_per_mm : float or array
        Stiffness of what holds the wall at toe and heel [MPa/mm], pressure for each
        mm of movement, in every direction, above 0.
    bars : float or array
        Stiffness of the bars as a part of the declared ones [-], 0 for none.

    References
    ----------
    Laminar layer of 5.6 to 11.3 MPa (Hogan and Hood, 1990s, read), about 3 mm thick (from
    memory); a third of that at the heel is a choice.

    Examples
    --------
    >>> Hold(bars=0.0).free_height_mm
    8.0
    """

    free_height_mm: ArrayLike = 8.0
    toe_hold_mpa_per_mm: ArrayLike = 3.0
    heel_hold_mpa_per_mm: ArrayLike = 1.0
    bars: ArrayLike = 1.0


USUAL_HOLD = Hold()


def share_on_hard_ground(
    capsule: Capsule,
    force: ArrayLike,
    centre_mm: ArrayLike,
    horn: Horn,
    other_share: ArrayLike = 0.2,
    *,
    hold: Hold = USUAL_HOLD,
) -> FloatArray:
    """The force on each strip where an elastic wall stands on flat, hard, slippery ground.

    The other limit beside `share_out`. The bone is rigid; the wall hangs on it and gives
    (`wall_stress`); its bearing edge stays level with the ground where it presses and
    may lift elsewhere. Soft parts of the wall shed their load. The ground's own friction
    is left out but for the level force, which is shared in proportion to the upright one.
    Round the rim the pressure is linear between 25 places (fewer for a capsule of few strips).

    Equation: edge = g p, where p > 0 edge = a + b x + c y, elsewhere p = 0 and edge at most so;
    sum(p A) and its moments as the force's. g is the wall's give.

    Parameters
    ----------
    capsule : Capsule
        The foot or feet, open behind.
    force, centre_mm, other_share
        As for `share_out` [N, mm, -].
    horn, hold
        As for `wall_stress` [MPa; mm, MPa/mm, -].

    Returns
    -------
    array
        Force on each strip [N], shape (..., n, 3).

    Raises
    ------
    ValueError
        As `share_out` and `wall_stress`, or if no balance is found.

    References
    ----------
    Contact without friction as a linear complementarity problem: Johnson K.L., Contact
    Mechanics, Cambridge University Press 1985, Ch. 5 (chapter from memory). Put together
    so: model of our own.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> horn = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured
    >>> foot = build_capsule(Profile.from_measures(50, 35, 85, 40, 105))
    >>> push = force_vector(5000, 0)
    >>> even, hard = share_out(foot, push, (63, 0)), share_on_hard_ground(foot, push, (63, 0), horn)
    >>> float(hard[:, 2].sum()), float(even[90, 2]), float(hard[90, 2])  # the last two: at the toe
    (4000.0, 27.1, 31.2)
    """
    even = share_out(capsule, force, centre_mm, other_share)
    whole = _upward("force", force)
    centre = points("centre_mm", centre_mm, 2)
    other = numbers("other_share", other_share, at_least=0, below=1)
    forces = np.empty(0)
    for lead, index, shell, wall in _each_wall(capsule, horn, hold):
        cases = np.broadcast_shapes(lead, even.shape[:-2])
        if not forces.size:
            forces = np.empty((*cases, *even.shape[-2:]))
        chosen = _chosen(lead, index, cases)
        push = np.broadcast_to(whole, (*cases, 3))[chosen]
        kept = np.broadcast_to(1 - other, cases)[chosen]
        place = np.broadcast_to(centre, (*cases, 2))[chosen]
        lean = (push[..., :2] / push[..., 2:]).reshape(-1, 2)
        answer = shell.kept("answer", partial(_answer, shell, wall, 3), wall)
        give = answer.give[2] + np.einsum("ca,aij->cij", lean, answer.give[:2])
        pressure = _hard_pressure(answer, give, place.reshape(-1, 2))
        upright = (pressure @ shell.hats.T) * shell.capsule.bearing_areas_mm2
        strips = (
            np.concatenate([lean, np.ones((len(lean), 1))], axis=-1)[:, None] * upright[..., None]
        )
        part = (push[..., 2] * kept)[..., None, None]
        forces[chosen] = strips.reshape(*push.shape[:-1], *even.shape[-2:]) * part
    return forces


@dataclass(frozen=True)
class WallStress:
    """Stress in the wall, strip by strip; made by `wall_stress`. Shape (..., n).

    Parameters
    ----------
    bearing_mpa : array
        Upright force over the strip's area on the ground, pressing positive [MPa].
    axial_mpa : array
        Force along the tubule over the section square to it, tension positive [MPa].
    worked_mpa : array
        How hard the horn is worked: the greatest von Mises stress up the strip, on either
        face [MPa].
    bending_mpa : array
        The greatest bending up the strip: stress along the tubules at the outer face less that
        in the middle of the thickness [MPa]; negative where the outer face is pressed.

    References
    ----------
    Definition.

    Examples
    --------
    >>> float(WallStress(*np.eye(4)).bearing_mpa[0])
    1.0
    """

    bearing_mpa: FloatArray
    axial_mpa: FloatArray
    worked_mpa: FloatArray
    bending_mpa: FloatArray


def wall_stress(
    capsule: Capsule,
    rim_forces: ArrayLike,
    horn: Horn,
    *,
    hold: Hold = USUAL_HOLD,
) -> WallStress:
    """Stress in the wall from the forces round the rim: one curved elastic shell, open behind.

    Validity and error: see the head of the module.

    Equation: von Mises = sqrt(s1^2 + s2^2 - s1 s2 + 3 t^2) on each face, with the stresses of
    the shell K u = f under the strips' forces; bearing = upright force / A, axial = -(force .
    tubule) / section.

    Parameters
    ----------
    capsule : Capsule
        The foot or feet, open behind.
    rim_forces : array
        Force on each strip [N], shape (..., n, 3), as from `share_out`.
    horn : Horn
        The horn; fields that are arrays must go with (..., n).
    hold : Hold
        What holds the wall [mm, MPa/mm, -]; its numbers one for each foot.

    Returns
    -------
    WallStress
        Stresses [MPa], shape (..., n).

    Raises
    ------
    ValueError
        If the free height or the bars of `hold` are below 0, its stiffness at toe or heel is not
        above 0, `capsule` is closed behind, or the shapes do not go together.

    References
    ----------
    Shell whose normals stay straight: Reissner E., J. Applied Mechanics 12 (1945) A69;
    Mindlin R.D., J. Applied Mechanics 18 (1951) 31 (pages from memory). Put together so, and held
    against a solid: our own.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> horn = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured
    >>> foot = build_capsule(Profile.from_measures(50, 40, 85, 40, 105))
    >>> stress = wall_stress(foot, share_out(foot, force_vector(5795, 0), (66, 0)), horn)
    >>> float(stress.bearing_mpa[90]), float(stress.worked_mpa[90])  # the toe
    (1.7, 10.2)
    """
    forces = _rim_forces(capsule, rim_forces)

    def look(_: Shell, __: Horn, faces: FloatArray) -> FloatArray:
        bending = (faces[:, 1, ..., 0] - faces[:, 0, ..., 0]) / 2
        most = np.abs(bending).argmax(axis=-1)[..., None]
        greatest = np.take_along_axis(bending, most, -1)[..., 0]
        return np.stack([_von_mises(faces).max(axis=(1, -1)), greatest])

    worked, bending = _up_the_strips(capsule, forces, horn, hold, look)
    area, tubule = capsule.bearing_areas_mm2, capsule.tubules
    return WallStress(
        bearing_mpa=forces[..., 2] / area,
        axial_mpa=-_each_dot(forces, tubule) / (area * tubule[..., 2]),
        worked_mpa=worked,
        bending_mpa=bending,
    )


def worked_parts(
    capsule: Capsule,
    rim_forces: ArrayLike,
    horn: Horn,
    *,
    hold: Hold = USUAL_HOLD,
) -> FloatArray:
    """How hard the horn of toe, quarters and heels is worked, by the measure of `compare_feet`.

    The 95th percentile, by area of both faces, of the von Mises stress over the whole height of
    the wall in each third of the bearing length. This, and not the greatest stress of one strip,
    is what was held against a solid (head of the module).

    Equation: worked = 95th percentile of sqrt(s1^2 + s2^2 - s1 s2 + 3 t^2), weighed by area.

    Parameters
    ----------
    capsule, rim_forces, horn, hold
        As for `wall_stress` [mm; N; MPa; mm, MPa/mm, -].

    Returns
    -------
    array
        Toe, quarters, heels [MPa], shape (..., 3). Take the ratio of two feet.

    Raises
    ------
    ValueError
        As `wall_stress`.

    References
    ----------
    Model of our own. Thirds of the bearing length: common practice, no source.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> horn = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured
    >>> push, centre = force_vector(5000, 0), (66, 0)
    >>> in_line = build_capsule(Profile.from_measures(50, 46, 85, 40, 105))
    >>> run_under = build_capsule(Profile.from_measures(50, 25, 85, 40, 105))
    >>> feet = (in_line, run_under)
    >>> heels = [worked_parts(foot, share_out(foot, push, centre), horn)[2] for foot in feet]
    >>> bool(heels[1] > heels[0])
    True
    """
    forces = _rim_forces(capsule, rim_forces)
    found = np.empty(0)
    for lead, index, shell, wall in _each_wall(capsule, horn, hold):
        cases = np.broadcast_shapes(lead, forces.shape[:-2])
        chosen = _chosen(lead, index, cases)
        here = np.broadcast_to(forces, (*cases, *forces.shape[-2:]))[chosen]
        loads = shell.on_stations @ here.reshape(-1, *forces.shape[-2:])
        moved = shell.moved(wall, np.moveaxis(loads, 0, -1))
        stress = _von_mises(shell.face_stress(wall, moved))
        if not found.size:
            found = np.empty((*cases, 3))
        found[chosen] = _percentiles(shell, stress[None])[0, :, :3].reshape(*here.shape[:-2], 3)
    return found


def utilisation(
    capsule: Capsule,
    rim_forces: ArrayLike,
    horn: Horn,
    *,
    criterion: str = "tsai_hill",
    hold: Hold = USUAL_HOLD,
) -> FloatArray:
    """Part of the horn's strength in use in each strip of wall: 1 is first failure.

    The greatest up the strip and on either face, of the plane stress there (`wall_stress`)
    against the horn's strength off its axis. It serves to compare places and feet under
    one set of choices. As a bare number it means little: with the choices of hold, horn
    and sharing it runs over more than a factor of ten. `compare_feet` gives a comparison
    with its band.

    Equation: utilisation = 1 / `horn.strength_ratio` of the stresses on the faces, the greatest
    up the strip.

    Parameters
    ----------
    capsule : Capsule
        The foot or feet, open behind.
    rim_forces : array
        Force on each strip [N], shape (..., n, 3), as from `share_out`.
    horn : Horn
        The horn; fields that are arrays must go with (..., n).
    criterion : str
        One of `hoofcalc.horn.CRITERIA`; see `hoofcalc.horn.strength_ratio`.
    hold : Hold
        As for `wall_stress` [mm, MPa/mm, -].

    Returns
    -------
    array
        Utilisation [-], shape (..., n).

    Raises
    ------
    ValueError
        As `wall_stress`, and as `hoofcalc.horn.strength_ratio`.

    References
    ----------
    Model of our own on `wall_stress` and `hoofcalc.horn.strength_ratio`.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> horn = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured
    >>> feet = build_capsule(Profile.from_measures([48, 50, 60], [32, 48, 62], 85, 40, 105))
    >>> used = utilisation(feet, share_out(feet, force_vector(5795, 0), (66, 0)), horn)
    >>> [float(heel) for heel in used[:, 0]]
    [0.21, 0.15, 0.10]
    """
    forces = _rim_forces(capsule, rim_forces)

    def look(_: Shell, there: Horn, faces: FloatArray) -> FloatArray:
        one, two, shear = np.moveaxis(faces, -1, 0)
        ratio = np.asarray(strength_ratio(there, one, two, shear, 0.0, criterion))
        most: FloatArray = 1.0 / ratio.min(axis=(1, -1))
        return most[None]

    used: FloatArray = _up_the_strips(capsule, forces, horn, hold, look)[0]
    return used


def _von_mises(plane: FloatArray) -> FloatArray:
    """Von Mises stress of plane stress; last axis the two normal stresses and the shear."""
    one, two, shear = np.moveaxis(plane, -1, 0)
    found: FloatArray = np.sqrt(one**2 + two**2 - one * two + 3 * shear**2)
    return found


def _each_wall(
    capsule: Capsule, horn: Horn, hold: Hold
) -> Iterator[tuple[tuple[int, ...], tuple[int, ...], Shell, Walls]]:
    """Every wall there is to solve: the shape of all of them, this one's index, and itself."""
    thick = capsule.wall_thickness_mm
    free = numbers("free_height_mm", hold.free_height_mm, at_least=0)[..., None]
    toe = numbers("toe_hold_mpa_per_mm", hold.toe_hold_mpa_per_mm, above=0)[..., None]
    heel = numbers("heel_hold_mpa_per_mm", hold.heel_hold_mpa_per_mm, above=0)[..., None]
    stiff_bars = numbers("bars", hold.bars, at_least=0)[..., None]
    if not capsule.heel_open:
        raise ValueError("capsule must be a wall that is open behind (got a closed rim)")
    shape = together(
        capsule=thick,
        horn=_horn_field(horn, 0) + sum(0 * _horn_field(horn, i) for i in range(1, 9)),
        free_height_mm=free,
        toe_hold_mpa_per_mm=toe,
        heel_hold_mpa_per_mm=heel,
        bars=stiff_bars,
    )[0].shape
    feet = thick.shape[:-1]
    shells = [shell_of(_one_of(capsule, i)) for i in np.ndindex(feet)]
    which = np.broadcast_to(np.arange(len(shells)).reshape(feet), shape[:-1])
    back = capsule.back_fraction
    strips: list[FloatArray] = [*(_horn_field(horn, i) for i in range(4)), thick]
    strips.append(toe + back * (heel - toe))
    for index in np.ndindex(shape[:-1]):
        shell = shells[int(which[index])]
        at = [shell.at_points(np.broadcast_to(value, shape)[index]) for value in strips]
        one = [np.broadcast_to(value, shape)[index][0] for value in (free, stiff_bars)]
        yield shape[:-1], index, shell, Walls(*at, *one)


def _horn_field(horn: Horn, number: int) -> FloatArray:
    """The fields of the horn in order: along, across, shear, Poisson, then five strengths."""
    return np.asarray(getattr(horn, fields(horn)[number].name), dtype=np.float64)


def _chosen(
    lead: tuple[int, ...], index: tuple[int, ...], cases: tuple[int, ...]
) -> tuple[slice | int, ...]:
    """Which of all cases the wall of this index bears."""
    outer: list[slice | int] = [slice(None)] * (len(cases) - len(lead))
    inner = [slice(None) if size == 1 else at for size, at in zip(lead, index, strict=True)]
    return (*outer, *inner)


def _up_the_strips(
    capsule: Capsule,
    forces: FloatArray,
    horn: Horn,
    hold: Hold,
    look: Callable[[Shell, Horn, FloatArray], FloatArray],
) -> FloatArray:
    """What `look` finds in the faces' stress, for each strip: (findings, ..., n).

    `look` gets the shell, the horn and the stress (cases, 2 faces, pieces, points, heights, 3),
    and returns (findings, cases, pieces, points).
    """
    found = np.empty(0)
    for lead, index, shell, wall in _each_wall(capsule, horn, hold):
        cases = np.broadcast_shapes(lead, forces.shape[:-2])
        chosen = _chosen(lead, index, cases)
        here = np.broadcast_to(forces, (*cases, *forces.shape[-2:]))[chosen]
        loads = shell.on_stations @ here.reshape(-1, *forces.shape[-2:])
        moved = shell.moved(wall, np.moveaxis(loads, 0, -1))
        shape = (*lead, forces.shape[-2])
        at = [np.broadcast_to(_horn_field(horn, i), shape)[index] for i in range(9)]
        there = Horn(*(shell.at_points(value)[..., None] for value in at))
        seen = look(shell, there, shell.face_stress(wall, moved))
        seen = seen.reshape(*seen.shape[:2], -1)
        strips = _between(shell.rim_mm, shell.points_mm.ravel(), seen)
        if not found.size:
            found = np.empty((len(seen), *cases, forces.shape[-2]))
        found[(slice(None), *chosen)] = strips.reshape(len(seen), *here.shape[:-1])
    return found


def _between(at: FloatArray, known_at: FloatArray, known: FloatArray) -> FloatArray:
    """Linear between known places along the last axis; beyond them the nearest."""
    right = np.clip(np.searchsorted(known_at, at), 1, len(known_at) - 1)
    low, high = known_at[right - 1], known_at[right]
    part = np.clip((at - low) / (high - low), 0, 1)
    found: FloatArray = known[..., right - 1] * (1 - part) + known[..., right] * part
    return found


class _Answer:
    """How walls of one shape answer unit forces at their stations; draws in the leading axis."""

    def __init__(self, shell: Shell, matrices: FloatArray, axes: int) -> None:
        # axes 1 level force forward, 3 forward, left and up; the upright one always
        self.shell = shell
        count = len(shell.stations_mm)
        ways = (0, 2) if axes == 2 else (0, 1, 2)
        loads = np.zeros((count, 3, len(ways) * count))
        for number, way in enumerate(ways):
            loads[np.arange(count), way, number * count + np.arange(count)] = 1.0
        self.moved = shell.solve(matrices, loads)
        area = shell.capsule.bearing_areas_mm2
        self.hat_loads = shell.on_stations @ (shell.hats * area[:, None])
        rise = shell.edge(self.moved)[..., 2, :]
        #: upward movement under each hat for pressure on each hat, for each way: (ways, ..., i, j)
        self.give = np.stack(
            [
                self.hat_loads.T @ rise[..., n * count : (n + 1) * count] @ self.hat_loads
                for n in range(len(ways))
            ]
        )
        at = np.column_stack([np.ones(len(area)), shell.capsule.bearing_points_mm])
        self.conditions = (at * area[:, None]).T @ shell.hats  # force and moments of each hat


def _answer(shell: Shell, walls: Walls, axes: int) -> _Answer:
    return _Answer(shell, shell.stiffness(walls), axes)


def _hard_pressure(answer: _Answer, give: FloatArray, centre: FloatArray) -> FloatArray:
    """Pressure at each hat for 1 N on flat ground that only pushes: (cases, hats).

    Where it presses the edge moves with the rigid bone; where it does not there is a gap.
    """
    conditions = answer.conditions
    cases, hats = give.shape[0], give.shape[-1]
    size = np.abs(give).max()
    wanted = np.concatenate([np.ones((cases, 1)), centre], axis=-1)
    bears = np.ones((cases, hats), bool)
    scaled = conditions * (size / np.abs(conditions).max(axis=1, keepdims=True))
    wanted = wanted * (size / np.abs(conditions).max(axis=1))
    for step in range(_MOST_STEPS):
        system = np.zeros((cases, hats + 3, hats + 3))
        system[:, :hats, :hats] = np.where(bears[..., None], give, size * np.eye(hats))
        system[:, :hats, hats:] = np.where(bears[..., None], -scaled.T, 0.0)
        system[:, hats:, :hats] = scaled
        right = np.concatenate([np.zeros((cases, hats)), wanted], axis=-1)
        try:
            solved = np.linalg.solve(system, right[..., None])[..., 0]
        except np.linalg.LinAlgError:  # too few places are left to bear
            break
        pressure, rigid = solved[:, :hats], solved[:, hats:]
        gap = (give @ pressure[..., None])[..., 0] - rigid @ scaled
        pulls = bears & (pressure < -1e-9 * np.abs(pressure).max(axis=-1, keepdims=True))
        digs = ~bears & (gap < -1e-9 * np.abs(gap).max(axis=-1, keepdims=True))
        wrong = pulls | digs
        if not wrong.any():
            return np.maximum(pressure, 0.0)
        if step > 20:  # one at a time, so that it cannot go round in circles for ever
            first = np.argmax(wrong, axis=-1)
            wrong &= np.arange(hats) == first[:, None]
        bears ^= wrong
    raise ValueError(
        "no balance found on hard ground; the centre of force lies too near the edge of the"
        " bearing points"
    )


@dataclass(frozen=True)
class Place:
    """A place on the rim; made by `weakest_place`.

    Parameters
    ----------
    strip : int or array
        Number of the strip, counted from the right heel [-].
    utilisation : float or array
        Utilisation there [-].
    name : str or array
        In words, such as "left heel" or "toe"; thirds of the bearing length.

    References
    ----------
    Definition.

    Examples
    --------
    >>> Place(0, 0.4, "right heel").name
    'right heel'
    """

    strip: int | NDArray[np.intp]
    utilisation: Result
    name: str | NDArray[np.str_]


def weakest_place(capsule: Capsule, used: ArrayLike) -> Place:
    """Where on the rim the horn is worked hardest.

    Parameters
    ----------
    capsule : Capsule
        The foot or feet.
    used : array
        Utilisation [-], shape (..., n), as from `utilisation`; may be infinite.

    Returns
    -------
    Place
        The strip of the greatest utilisation (the first of equals, from the right
        heel), its utilisation [-], place [mm] and name.

    Raises
    ------
    ValueError
        If the shapes do not go together.

    References
    ----------
    Definition. Toe, quarter and heel as thirds of the bearing length: common
    practice, no source.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> foot = build_capsule(Profile.from_measures(50, 40, 85, 40, 105))
    >>> weakest_place(foot, np.linspace(0, 1, 181)).name
    'left heel'
    """
    array = np.asarray(used, dtype=np.float64)
    shape = _for_each_strip("used", array.shape, capsule)
    array = np.broadcast_to(array, shape)
    strip = np.argmax(array, axis=-1)[..., None]

    def there(value: FloatArray) -> FloatArray:
        return np.take_along_axis(np.broadcast_to(value, shape), strip, -1)[..., 0]

    left = there(capsule.ground[..., 1])
    back = there(capsule.back_fraction)
    region = np.where(back < 2 / 3, "quarter", "heel")
    sided = np.char.add(np.where(left > 0, "left ", "right "), region)
    name: Any = np.where(back < 1 / 3, "toe", sided)
    number: Any = strip[..., 0]
    if name.ndim == 0:
        name, number = str(name), int(number)
    return Place(number, plain(there(array)), name)


PARTS = ("toe", "quarter", "heel")  # thirds of the bearing length


@dataclass(frozen=True)
class Choices:
    """What is not known of the feet compared, each a band (lowest, highest); for `compare_feet`.

    Every band is a declared choice, drawn evenly (stiffness, hold and shear evenly in their
    logarithm). Horn, hold, free height, tilt and ground are the same for the feet of one draw;
    thickness, bars, centre and the share of frog and sole are each foot's own.

    Parameters
    ----------
    along_mpa : pair
        Modulus along the tubules [MPa].
    contrast : pair
        Modulus along over across [-]; published 1 in the middle wall to about 2 in the inner.
    shear_factor : pair
        Shear modulus over Huber's rule sqrt(along across) / (2 (1 + Poisson)) [-].
    toe_hold_mpa_per_mm : pair
        Hold of the wall at the toe [MPa/mm].
    heel_hold_part : pair
        Hold at the heel over that at the toe [-].
    free_height_mm : pair
        Height above the ground up to which nothing holds the wall [mm].
    tilt_deg : pair
        Tilt of the force [degrees].
    hard_ground : pair
        How the ground shares the load [-]: 0 evenly (`share_out`), 1 as flat, hard, slippery
        ground does under an elastic wall (`share_on_hard_ground`).
    thickness : pair
        Thickness of the wall over the capsule's own [-].
    bars : pair
        Stiffness of the bars over the declared ones [-].
    centre : pair
        Where the force acts, from the heels (0) to the toe (1) [-]. Its path through the stance
        is published but could not be obtained; what was read only bounds it (van Heel, van
        Weeren, Back 2005: toe half when freshly shod, towards the heels after eight weeks). To
        measure it on the foot at hand would help more than anything else.
    other_share : pair
        Part of the force that frog, bars and sole carry [-].

    Raises
    ------
    ValueError
        If a band is not a pair of numbers in their range, the lower first.

    References
    ----------
    Choices of our own. van Heel M.C.V., van Weeren P.R., Back W., Equine Veterinary Journal 37
    (2005) 536-540 (summary read).

    Examples
    --------
    >>> Choices(hard_ground=(0, 0)).centre
    (0.5, 0.7)
    """

    along_mpa: tuple[float, float] = (300.0, 1000.0)
    contrast: tuple[float, float] = (1.0, 2.5)
    shear_factor: tuple[float, float] = (0.5, 2.0)
    toe_hold_mpa_per_mm: tuple[float, float] = (1.0, 9.0)
    heel_hold_part: tuple[float, float] = (0.2, 0.7)
    free_height_mm: tuple[float, float] = (3.0, 12.0)
    tilt_deg: tuple[float, float] = (-8.0, 8.0)
    hard_ground: tuple[float, float] = (0.0, 1.0)
    thickness: tuple[float, float] = (0.85, 1.15)
    bars: tuple[float, float] = (0.0, 1.0)
    centre: tuple[float, float] = (0.5, 0.7)
    other_share: tuple[float, float] = (0.1, 0.3)

    def __post_init__(self) -> None:
        limits: dict[str, dict[str, float]] = {
            "free_height_mm": {"at_least": 0},
            "tilt_deg": {"above": -90, "below": 90},
            "hard_ground": {"at_least": 0, "at_most": 1},
            "bars": {"at_least": 0},
            "centre": {"above": 0, "below": 1},
            "other_share": {"at_least": 0, "below": 1},
        }
        for field in fields(self):
            band = numbers(
                field.name,
                getattr(self, field.name),
                **limits.get(field.name, {"above": 0}),  # type: ignore[arg-type]
            )
            if band.shape != (2,) or band[0] > band[1]:
                raise ValueError(
                    f"{field.name} must be a pair, the lower first (got {band.tolist()})"
                )


@dataclass(frozen=True)
class Comparison:
    """How many times as hard one foot's horn is worked as another's; made by `compare_feet`.

    Parameters
    ----------
    ratio : float or array
        Foot over reference, the median of the draws [-].
    low, high : float or array
        Between these lie 95 % of the draws [-]. They cover the bands of `Choices`, and nothing
        else: not the model's own error, nor the error of the landmarks.
    share : float or array
        Part of the draws in which the foot is worked harder than the reference [-].
    draws : int
        How many draws.

    References
    ----------
    Definition.

    Examples
    --------
    >>> print(Comparison(1.7, 1.1, 2.6, 0.99, 1000).how_sure)
    1.7 (1.1 to 2.6) times
    """

    ratio: Result
    low: Result
    high: Result
    share: Result
    draws: int

    @property
    def how_sure(self) -> HowSure:
        """Ratio and band in the form of every result, for one foot; several are refused."""
        if np.ndim(self.ratio):
            raise ValueError(f"how_sure tells of one foot (got shape {np.shape(self.ratio)})")
        return HowSure(
            float(self.ratio),
            float(self.low),
            float(self.high),
            "times",
            "the declared choices of horn, wall, hold, bars, ground and load",
            "the model's own error, up to a quarter, and that of the points",
        )


def compare_feet(
    feet: Capsule,
    reference: Capsule,
    rng: np.random.Generator,
    *,
    draws: int = 1000,
    part: str = "heel",
    alike: bool = False,
    choices: Choices | None = None,
) -> Comparison:
    """How many times as hard the horn of a foot is worked as that of a reference foot.

    Both carry the same force. How hard a part is worked is the 95th percentile, by area of
    both faces, of the von Mises stress over the whole height of the wall (`wall_stress`)
    in that third of the bearing length. Eight loads are drawn for each wall drawn.

    Equation: times = worked of the foot / worked of the reference, draw by draw; ratio, low and
    high are its median and its 2.5 and 97.5 per cent points.

    Parameters
    ----------
    feet : Capsule
        The foot or feet, open behind.
    reference : Capsule
        One foot, open behind, such as one in line.
    rng : numpy.random.Generator
        Source of the draws; the same state gives the same answer.
    draws : int
        How many [-], at least 40.
    part : str
        "toe", "quarter" or "heel" of both, or "wall" for the whole rim.
    alike : bool
        Whether the two also have thickness, bars, centre and the share of frog and sole in
        common in each draw: what shape alone does. As it stands each foot has its own: what
        can be said of two real feet.
    choices : Choices, optional
        The bands that are drawn from. Left out: `Choices()`.

    Returns
    -------
    Comparison
        Ratio, 95 % band and the share of the draws in which the order holds, each a float,
        or one for each foot.

    Raises
    ------
    ValueError
        If one of `feet` or `reference` is closed behind, `reference` is not one foot, `part` is
        none of `PARTS` and not "wall", `draws` is below 40, or a centre of `choices` lies outside
        a foot.

    References
    ----------
    Model of our own; draws of declared bands: JCGM 101:2008, Propagation of distributions using
    a Monte Carlo method.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> in_line = build_capsule(Profile.from_measures(50, 46, 95, 44, 115))
    >>> run_under = build_capsule(Profile.from_measures(48, 25, 92, 47, 115))
    >>> rng = np.random.default_rng(1)
    >>> by_shape = compare_feet(run_under, in_line, rng, draws=200, alike=True)
    >>> bool(by_shape.low > 1), by_shape.share
    (True, 1.0)
    >>> real = compare_feet(run_under, in_line, rng, draws=200)
    >>> bool(real.low < 1 < real.ratio), bool(0.7 < real.share < 1)
    (True, True)
    """
    if reference.ground.ndim != 2:
        raise ValueError(
            f"reference must be one foot (got leading axes {reference.ground.shape[:-2]})"
        )
    column = [*PARTS, "wall"].index(choice("part", part, (*PARTS, "wall")))
    drawn = _Draws(choices or Choices(), draws, rng)
    own = drawn.own(rng)
    base = _worked_parts(reference, drawn, own)[:, column]
    lead = feet.ground.shape[:-2]
    times = np.empty((*lead, drawn.count))
    for index in np.ndindex(lead):
        mine = own if alike else drawn.own(rng)
        times[index] = _worked_parts(_one_of(feet, index), drawn, mine)[:, column] / base
    low, ratio, high = np.quantile(times, [0.025, 0.5, 0.975], axis=-1)
    share = np.mean(times > 1, axis=-1)
    return Comparison(plain(ratio), plain(low), plain(high), plain(share), drawn.count)


@dataclass(frozen=True)
class HardestParts:
    """Where round the rim the wall is worked hardest; made by `hardest_parts`.

    Each field holds one value for each part of `parts`, shape (..., 3).

    Parameters
    ----------
    parts : tuple of str
        "toe", "quarter", "heel".
    times_heel : array
        How many times as hard as the heel each part is worked, median of the draws [-].
    low, high : array
        95 % of the draws lie between these [-].
    share : array
        Part of the draws in which the part is worked hardest [-]; they add up to 1.
    draws : int
        How many draws.

    References
    ----------
    Definition.

    Examples
    --------
    >>> ones = np.ones(3)
    >>> HardestParts(PARTS, ones, ones, ones, np.array([0.9, 0.0, 0.1]), 1000).hardest
    'toe'
    """

    parts: tuple[str, ...]
    times_heel: FloatArray
    low: FloatArray
    high: FloatArray
    share: FloatArray
    draws: int

    @property
    def hardest(self) -> Any:
        """Name of the part that is worked hardest most often; an array for several feet."""
        name = np.array(self.parts)[self.share.argmax(axis=-1)]
        return str(name) if name.ndim == 0 else name


def hardest_parts(
    feet: Capsule,
    rng: np.random.Generator,
    *,
    draws: int = 1000,
    choices: Choices | None = None,
) -> HardestParts:
    """Where round the rim the wall is worked hardest, and how surely: toe, quarters or heels.

    Parts and measure as in `compare_feet`: it is not always the heel.

    Equation: times = worked of a part / worked of the heel, draw by draw; share = draws in
    which it is the greatest / all draws.

    Parameters
    ----------
    feet : Capsule
        The foot or feet, open behind.
    rng : numpy.random.Generator
        Source of the draws; the same state gives the same answer.
    draws : int
        How many [-], at least 40.
    choices : Choices, optional
        The bands that are drawn from. Left out: `Choices()`.

    Returns
    -------
    HardestParts
        For each part: how many times the heel, with its 95 % band, and in which share of
        the draws it is the hardest worked.

    Raises
    ------
    ValueError
        If one of `feet` is closed behind, `draws` is no whole number of at least 40, or a centre
        of `choices` lies outside a foot.

    References
    ----------
    Model of our own. Thirds of the bearing length: common practice, no source.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> in_line = build_capsule(Profile.from_measures(50, 46, 95, 44, 115))
    >>> hardest_parts(in_line, np.random.default_rng(1), draws=200).hardest
    'toe'
    """
    drawn = _Draws(choices or Choices(), draws, rng)
    lead = feet.ground.shape[:-2]
    worked = np.empty((*lead, drawn.count, 3))
    for index in np.ndindex(lead):
        worked[index] = _worked_parts(_one_of(feet, index), drawn, drawn.own(rng))[:, :3]
    times = worked / worked[..., 2:]
    low, middle, high = np.quantile(times, [0.025, 0.5, 0.975], axis=-2)
    first = worked.argmax(axis=-1)[..., None] == np.arange(3)
    return HardestParts(PARTS, middle, low, high, first.mean(axis=-2), drawn.count)


_LOADS = 8  # drawn for each wall drawn
_PLACES = 97  # round the rim at which the percentiles look
_AT_ONCE = 16  # walls solved together, so that they fit into memory


class _Own(NamedTuple):
    """What one foot of a draw has for itself."""

    thickness: FloatArray  # (walls, 1)
    bars: FloatArray
    centre: FloatArray  # (walls, loads)
    other: FloatArray


class _Draws:
    """What the feet of one draw have in common; `own` draws the rest."""

    def __init__(self, choices: Choices, draws: int, rng: np.random.Generator) -> None:
        self.count = int(numbers("draws", draws, at_least=40, whole=True))
        self.walls = -(-self.count // _LOADS)
        self.choices = choices
        self.along = self.of(rng, "along_mpa", log=True)
        self.contrast = self.of(rng, "contrast")
        self.shear_factor = self.of(rng, "shear_factor", log=True)
        self.toe_hold = self.of(rng, "toe_hold_mpa_per_mm", log=True)
        self.heel_part = self.of(rng, "heel_hold_part")
        self.free = self.of(rng, "free_height_mm")
        self.tilt = self.of(rng, "tilt_deg", _LOADS)
        self.hard = self.of(rng, "hard_ground", _LOADS)

    def of(
        self, rng: np.random.Generator, name: str, loads: int = 1, log: bool = False
    ) -> FloatArray:
        """Draws of one band, (walls, loads)."""
        low, high = getattr(self.choices, name)
        part = rng.random((self.walls, loads))
        if log:
            return np.asarray(low * (high / low) ** part)
        return np.asarray(low + part * (high - low))

    def own(self, rng: np.random.Generator) -> _Own:
        """What one foot has for itself."""
        return _Own(
            self.of(rng, "thickness"),
            self.of(rng, "bars"),
            self.of(rng, "centre", _LOADS),
            self.of(rng, "other_share", _LOADS),
        )


def _one_of(feet: Capsule, index: tuple[int, ...]) -> Capsule:
    """One foot of several."""
    if feet.ground.ndim == 2:
        return feet
    return Capsule(
        feet.ground[index], feet.coronet[index], feet.thickness_mm[index], feet.heel_open
    )


def _worked_parts(foot: Capsule, drawn: _Draws, own: _Own) -> FloatArray:
    """How hard toe, quarters, heels and the whole wall are worked, (draws, 4) [MPa for 1 N up]."""
    if not foot.heel_open:
        raise ValueError("capsule must be a wall that is open behind (got a closed rim)")
    shell = shell_of(foot)
    back = shell.at_points(foot.back_fraction)
    poisson = np.full((1, 1, 1), 0.3)

    def spread(values: FloatArray) -> FloatArray:
        return values[:, :, None]

    across = drawn.along / drawn.contrast
    shear = drawn.shear_factor * np.sqrt(drawn.along * across) / (2 * (1 + poisson[0]))
    walls = Walls(
        spread(drawn.along),
        spread(across),
        spread(shear),
        np.broadcast_to(poisson, (drawn.walls, 1, 1)),
        spread(own.thickness) * shell.at_points(foot.wall_thickness_mm),
        spread(drawn.toe_hold) * (1 + back * (spread(drawn.heel_part) - 1)),
        drawn.free[:, 0],
        own.bars[:, 0],
    )
    heel, toe = foot.ground[..., 0].min(), foot.ground[..., 0].max()
    place = np.stack([heel + own.centre * (toe - heel), 0 * own.centre], axis=-1)
    area = foot.bearing_areas_mm2
    even = pressure_under(foot.bearing_points_mm, area, 1.0, place) * area
    worked = []
    for start in range(0, drawn.walls, _AT_ONCE):
        now = slice(start, start + _AT_ONCE)
        some = Walls(*(value[now] for value in walls))
        stress = _stress_of_draws(
            shell, some, even[now], place[now], drawn.tilt[now], drawn.hard[now]
        )
        worked.append(_percentiles(shell, stress) * (1 - own.other[now])[..., None])
    return np.concatenate(worked).reshape(-1, 4)[: drawn.count]


def _stress_of_draws(
    shell: Shell,
    walls: Walls,
    even: FloatArray,
    place: FloatArray,
    tilt: FloatArray,
    hard: FloatArray,
) -> FloatArray:
    """Von Mises stress on the faces for 1 N up: (walls, loads, 2, pieces, points, heights)."""
    answer = _answer(shell, walls, 2)
    lean = -np.tan(np.radians(tilt))
    give = answer.give[1][:, None] + lean[..., None, None] * answer.give[0][:, None]
    hats = give.shape[-1]
    pressed = _hard_pressure(answer, give.reshape(-1, hats, hats), place.reshape(-1, 2))
    on_hard = (pressed @ answer.hat_loads.T).reshape(*lean.shape, -1)
    up = (1 - hard)[..., None] * (even @ shell.on_stations.T) + hard[..., None] * on_hard
    loads = np.concatenate([lean[..., None] * up, up], axis=-1).swapaxes(-1, -2)
    count = answer.moved.shape[-1]
    moved = answer.moved.reshape(len(loads), -1, count) @ loads
    moved = moved.reshape(*answer.moved.shape[:-1], -1)
    return _von_mises(shell.face_stress(walls, moved))


def _percentiles(shell: Shell, stress: FloatArray) -> FloatArray:
    """95th percentile by area over toe, quarters, heels and the whole wall: (walls, loads, 4).

    Between the shell's points the stress is taken to go straight, so that no region hangs
    on where a point falls.
    """
    known_at = shell.points_mm.ravel()
    at = (np.arange(_PLACES) + 0.5) / _PLACES * shell.rim_mm[-1]
    heights = stress.shape[-1]
    rows = stress.reshape(*stress.shape[:3], -1, heights).swapaxes(-1, -2)
    values = _between(at, known_at, rows)  # (walls, loads, faces, heights, places)
    area = np.broadcast_to(_between(at, known_at, shell.area_per_mm.T), values.shape[2:])
    back = np.interp(at, shell.rim_mm, shell.capsule.back_fraction)
    found = []
    for low, high in ((0, 1 / 3), (1 / 3, 2 / 3), (2 / 3, 1), (0, 1)):
        here = (back >= low) & (back <= high)
        part = values[..., here].reshape(*values.shape[:2], -1)
        weight = area[..., here].ravel()
        order = np.argsort(part, axis=-1)
        part, weight = np.take_along_axis(part, order, -1), weight[order]
        gone = np.cumsum(weight, axis=-1) - weight / 2
        wanted = 0.95 * weight.sum(axis=-1, keepdims=True)
        after = np.argmax(gone >= wanted, axis=-1)[..., None]
        v0, v1 = (np.take_along_axis(part, i, -1) for i in (after - 1, after))
        g0, g1 = (np.take_along_axis(gone, i, -1) for i in (after - 1, after))
        found.append((v0 + (wanted - g0) / (g1 - g0) * (v1 - v0))[..., 0])
    return np.stack(found, axis=-1)


def _upward(name: str, force: ArrayLike) -> FloatArray:
    """A force on the foot, which must press upward."""
    whole = points(name, force, 3)
    refuse_where(
        whole[..., 2] <= 0,
        f"{name} must press up on the foot: its third part above 0 (got {{up:g}} N)",
        up=whole[..., 2],
    )
    return whole


def _rim_forces(capsule: Capsule, rim_forces: ArrayLike) -> FloatArray:
    """Forces for each strip, checked against the capsule."""
    forces = points("rim_forces", rim_forces, 3)
    _for_each_strip("rim_forces", forces.shape[:-1], capsule)
    return forces


def _for_each_strip(name: str, shape: tuple[int, ...], capsule: Capsule) -> tuple[int, ...]:
    """The shape that `shape` and the capsule's strips have together, or a refusal in words."""
    strips = capsule.ground.shape[:-1]
    try:
        if shape and shape[-1] == strips[-1]:
            return np.broadcast_shapes(shape, strips)
    except ValueError:
        pass
    raise ValueError(f"{name} must hold one value for each strip, {strips} (got {shape})")


def _each_dot(a: FloatArray, b: FloatArray) -> FloatArray:
    """The dot product of each pair of vectors, leading axes broadcast."""
    product: FloatArray = np.einsum("...i,...i->...", a, b)
    return product


def _parts(capsule: Capsule, forces: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Forces along each tubule and across it, the latter from two axes square to it."""
    tubule, out = capsule.tubules, capsule.outward
    across = np.hypot(_each_dot(forces, out), _each_dot(forces, np.cross(out, tubule)))
    return _each_dot(forces, tubule), across

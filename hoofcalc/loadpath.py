"""The path of the ground's force through the wall: shares, along and across, stress, utilisation.

From a capsule and the force on the foot to every strip of wall round the rim. A
strip is the wall around one tubule. The steps, and what each of them assumes:

1. Sharing (`pressure_under`, `share_out`). The foot is rigid and stands on flat
   ground that cannot pull: pressure is linear in place, or zero. Frog, bars and
   sole take a fixed part, with its middle where the force acts. The level force
   is shared in proportion to the upright one, so that every strip's force has
   the direction of the whole. *All four are choices.* A soft foot on soft ground
   shares more evenly.
2. Direction (`obliquity_deg`, `along_across`). Plain geometry.
3. In the face of the wall (`wall_stress`). Neighbouring strips are glued and hold
   each other: the rim neither stretches nor shortens. *Choice.*
4. Square to the face (`held_strip`, `wall_stress`). Each strip alone bends as a
   beam: free for a height below the sole, above it held by a foundation that is
   stiff at the toe (laminae on bone) and soft at the heel (laminae on cartilage and
   cushion). The foundation pushes and pulls, the strip is as long as it likes, and
   the force along it enlarges the bending by 1 / (1 - force / buckling force).
   *Choices*: the curve of the wall and the help of the neighbours are left out,
   so bending is on the high side, most where the rim is curved.
5. Strength (`utilisation`). Linear elastic, first failure, the horn's strength
   off its axis. Horn creeps and yields before it breaks.

Where it stops being true: the impact in the first hundredths of a second; feet
on soft or sloping ground; dished or cracked walls; bars, sole and frog, which
are loaded but not computed.

Held against a plane elastic wall by finite elements (round figures, three feet):
bending agrees to a tenth. In the face of the wall the stresses at the heel's edge
agree to a quarter of the pressure, and both rank the underrun heel above the one
in line above the upright one, except that for a force leaning 6 degrees forward
step 3 by itself puts the one in line up to 3 % above the underrun one. A few mm up from
the edge the elastic wall spreads the load of a heel that lies back into the horn
behind it, and in the face of the wall the three feet differ little: what
tells them apart in `utilisation` is the bending. Measured strains (up to 0.5 %,
half way up the wall) confirm the size of the mean stress, not of this bending.

Signs: x forward, y left, z up; forces in N act on the foot, so z is positive.
Tilt is positive where the force leans back (braking). Stress is positive in
tension, pressure positive in compression.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._inputs import FloatArray, Result, numbers, plain, points, refuse_where, together
from hoofcalc.capsule import Capsule
from hoofcalc.horn import Horn, strength_ratio

__all__ = [
    "AlongAcross",
    "HeldStrip",
    "Place",
    "WallStress",
    "along_across",
    "force_vector",
    "held_strip",
    "obliquity_deg",
    "pressure_under",
    "share_out",
    "utilisation",
    "wall_stress",
    "weakest_place",
]

_MOST_STEPS = 100  # of the search for the balance under a foot that has lifted in part
_BALANCED = 1e-10  # force and moments, as a part of the force and of force times size


def force_vector(
    vertical_n: ArrayLike, tilt_deg: ArrayLike, side_lean_deg: ArrayLike = 0.0
) -> FloatArray:
    """The ground's force on the foot from its upright part and its two leans.

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
        If the upright part is below 0, a lean is not between -90 and 90 degrees
        (both excluded), or the shapes do not go together.

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
        If a centre lies outside the bearing points (the foot would tip over), all
        points lie on one line, an area is not above 0, a force is below 0, the
        shapes do not go together, or no balance is found.

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
        If the force does not press upward, the share is outside its range, the
        shapes do not go together, or as `pressure_under`.

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

    Raises
    ------
    ValueError
        Never by itself.

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


@dataclass(frozen=True)
class HeldStrip:
    """How a strip answers a force across its free end; made by `held_strip`.

    Parameters
    ----------
    lever_mm : float or array
        Greatest bending moment for each newton across, and so a length [mm].
    tip_mm_per_n : float or array
        Movement of the free end for each newton across [mm/N].
    buckling_n : float or array
        Force along the strip at which it gives way sideways [N].

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Definition.

    Examples
    --------
    >>> HeldStrip(6.4, 0.1, 200.0).lever_mm
    6.4
    """

    lever_mm: Result
    tip_mm_per_n: Result
    buckling_n: Result


def held_strip(
    stiffness_nmm2: ArrayLike, foundation_mpa: ArrayLike, free_mm: ArrayLike
) -> HeldStrip:
    """A strip that is free for a length and then runs on, held by a springy foundation.

    Loaded across its free end. Small movements, linear elastic, no shear strain,
    foundation the same all along and acting both ways; the held part is longer than
    about 3 / (foundation / (4 stiffness))^(1/4). The lever and the movement are those of
    the force across alone. A force along the strip that keeps its direction enlarges
    both by about 1 / (1 - force / buckling_n). Against the exact solution, up to half
    the buckling force: the moment within a tenth (8 % too small with nothing free, 9 %
    too large where the free length is nearly all that gives), the movement at most
    15 % too large. Close to the buckling force: within a fifth and a quarter.

    Parameters
    ----------
    stiffness_nmm2 : float or array
        Bending stiffness E I [N mm2].
    foundation_mpa : float or array
        Force of the foundation for each mm of length and mm of movement [MPa].
    free_mm : float or array
        Length that nothing holds [mm], 0 or above.

    Returns
    -------
    HeldStrip
        Lever [mm], movement of the end [mm/N] and buckling force [N].

    Raises
    ------
    ValueError
        If stiffness or foundation is not above 0, the free length is below 0, or
        the shapes do not go together.

    References
    ----------
    Hetenyi M., Beams on Elastic Foundation, Univ. of Michigan Press 1946: beam of
    unlimited length in one direction, end force and end moment (Ch. II), and under
    axial force (Ch. VII); chapters from memory, the sum of free and held part derived.

    Examples
    --------
    >>> end = held_strip(4e4, 1.0, 0.0)
    >>> end.lever_mm, end.tip_mm_per_n, end.buckling_n
    (6.4479, 0.1000, 200.0)
    """
    stiff, held, free = together(
        stiffness_nmm2=numbers("stiffness_nmm2", stiffness_nmm2, above=0),
        foundation_mpa=numbers("foundation_mpa", foundation_mpa, above=0),
        free_mm=numbers("free_mm", free_mm, at_least=0),
    )
    b = (held / (4 * stiff)) ** 0.25  # Hetenyi's lambda, one over his characteristic length
    # Held part with end force V and end moment V h (Hetenyi 1946):
    # M(x) = V e^(-bx) [sin bx / b + h (cos bx + sin bx)], greatest where tan bx = 1 / (1 + 2 b h)
    bx = np.arctan2(1.0, 1.0 + 2.0 * b * free)
    lever = np.exp(-bx) * (np.sin(bx) / b + free * (np.cos(bx) + np.sin(bx)))
    # End of the held part: y = 2 V b (1 + b h) / k, slope 2 V b^2 (1 + 2 b h) / k; then the
    # slope over the free length, and that length as a cantilever.
    tip = 2 * b / held * ((1 + b * free) + b * free * (1 + 2 * b * free)) + free**3 / (3 * stiff)
    return HeldStrip(
        plain(lever),
        plain(tip),
        plain(2 * np.sqrt(held * stiff) * _buckling_part(b * free)),
    )


def _buckling_part(bh: FloatArray) -> FloatArray:
    """e = N / (2 sqrt(k E I)) at which the half-held strip gives way: 1/2 with no free length.

    With a^2 = b^2 (1 - e) the held end turns by a / (E I b^2 (1 - 2 e)) for each unit of
    moment, and the free length h multiplies that moment by tan(q) / q, q = 2 b h sqrt(e).
    The strip gives way when what the turning adds to the moment equals the moment:
    4 e b h sqrt(1 - e) tan(q) / q = 1 - 2 e. The left grows and the right falls with e.
    """
    low = np.zeros_like(bh)
    high = np.minimum(0.5, np.square(np.pi / 4 / np.maximum(bh, 1e-9)))  # q = pi / 2
    for _ in range(60):
        e = (low + high) / 2
        q = 2 * bh * np.sqrt(e)
        stable = 4 * e * bh * np.sqrt(1 - e) * np.sinc(q / np.pi) < (1 - 2 * e) * np.cos(q)
        low, high = np.where(stable, e, low), np.where(stable, high, e)
    return low


@dataclass(frozen=True)
class WallStress:
    """Stress in each strip of wall; made by `wall_stress`. Tension positive, shape (..., n).

    Two axes lie in the face of the wall: along the rim, the way the ring runs, and
    square to it, up the wall.

    Parameters
    ----------
    bearing_mpa : array
        Upright force over the strip's area on the ground, pressing positive [MPa].
    axial_mpa : array
        Force along the tubule over the section square to it [MPa].
    upright_mpa : array
        Up the wall, in the middle of its thickness [MPa]; at the toe that is `axial_mpa`.
    edge_shear_mpa : array
        Shear in the face of the wall, on the edge [MPa].
    thrust_mpa : array
        Along the rim, in the middle of the thickness: what neighbours press [MPa].
    bending_mpa : array
        Greatest bending: added to `upright_mpa` at the outer face, taken from it
        inside [MPa]; infinite beyond buckling.
    through_shear_mpa : array
        Greatest shear through the thickness, in its middle, as a size [MPa].
    buckling_share : array
        Force up the wall as a part of the strip's buckling force [-]; at 1 it gives way.
    tubule_deg : array
        Lean of the tubule in the face of the wall, from straight up towards the way
        the rim runs [degrees].

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Definition.

    Examples
    --------
    >>> float(WallStress(*np.eye(9)).bearing_mpa[0])
    1.0
    """

    bearing_mpa: FloatArray
    axial_mpa: FloatArray
    upright_mpa: FloatArray
    edge_shear_mpa: FloatArray
    thrust_mpa: FloatArray
    bending_mpa: FloatArray
    through_shear_mpa: FloatArray
    buckling_share: FloatArray
    tubule_deg: FloatArray


def wall_stress(
    capsule: Capsule,
    rim_forces: ArrayLike,
    horn: Horn,
    *,
    free_height_mm: ArrayLike = 8.0,
    toe_hold_mpa_per_mm: ArrayLike = 3.0,
    heel_hold_mpa_per_mm: ArrayLike = 1.0,
) -> WallStress:
    """Stress in the wall, strip by strip, from the forces round the rim.

    In the face of the wall: pressure square to the edge, shear along it, and as much
    thrust along the rim as keeps it from stretching. Square to the face: a strip
    straight up the wall bends alone, free up to `free_height_mm` above the ground and
    held above that (`held_strip`), with the thickness it has at the ground and the
    horn's stiffness at the angle of its tubules. The hold changes evenly from toe to
    heel. A strip pressed beyond its buckling force has infinite bending.

    Parameters
    ----------
    capsule : Capsule
        The foot or feet.
    rim_forces : array
        Force on each strip [N], shape (..., n, 3), as from `share_out`.
    horn : Horn
        The horn; fields that are arrays must go with (..., n).
    free_height_mm : float or array
        Height above the ground up to which nothing holds the wall [mm]; one number
        for each foot. The default is a choice.
    toe_hold_mpa_per_mm, heel_hold_mpa_per_mm : float or array
        Stiffness of what holds the wall at toe and heel [MPa/mm], pressure for each
        mm of movement; one number for each foot. Laminar layer of 5.6 to 11.3 MPa
        (Hogan and Hood, 1990s, read), about 3 mm thick (from memory); a third of that
        at the heel is a choice.

    Returns
    -------
    WallStress
        Stresses [MPa], shape (..., n).

    Raises
    ------
    ValueError
        If a height is below 0, a hold is not above 0, or the shapes do not go together.

    References
    ----------
    Stiffness in turned axes: Jones R.M., Mechanics of Composite Materials, 2nd ed.,
    1999, Sec. 2.6. Bending: `held_strip`. Greatest shear 3 V / (2 A) in a rectangle:
    any text on strength of materials. Put together so: model of our own.

    Examples
    --------
    >>> from hoofcalc.capsule import build_capsule
    >>> from hoofcalc.profile import Profile
    >>> horn = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured
    >>> foot = build_capsule(Profile.from_measures(50, 40, 85, 40, 105))
    >>> stress = wall_stress(foot, share_out(foot, force_vector(5795, 0), (66, 0)), horn)
    >>> float(stress.bearing_mpa[90]), float(stress.bending_mpa[90])  # the toe
    (2.1, -21.2)
    """
    forces = _rim_forces(capsule, rim_forces)
    strip = _strips(capsule, horn, free_height_mm, toe_hold_mpa_per_mm, heel_hold_mpa_per_mm)
    up_n, rim_n, out_n = (_each_dot(forces, axis) for axis in (strip.up, strip.rim, strip.out))
    pressed = up_n / strip.buckling_n
    bending = -out_n * strip.bending_per_mm2
    with np.errstate(divide="ignore", invalid="ignore"):
        enlarged = bending / np.maximum(0.0, 1 - pressed)
    area, tubule = capsule.bearing_areas_mm2, capsule.tubules
    return WallStress(
        bearing_mpa=forces[..., 2] / area,
        axial_mpa=-_each_dot(forces, tubule) / (area * tubule[..., 2]),
        upright_mpa=-up_n / strip.section_mm2,
        edge_shear_mpa=-rim_n / strip.section_mm2,
        thrust_mpa=-(strip.by_upright * up_n + strip.by_shear * rim_n) / strip.section_mm2,
        bending_mpa=np.where(bending == 0, 0.0, enlarged),  # none stays none beyond buckling
        through_shear_mpa=1.5 * np.abs(out_n) / strip.section_mm2,
        buckling_share=pressed,
        tubule_deg=np.broadcast_to(strip.tubule_deg, pressed.shape),
    )


class _Strips(NamedTuple):
    """The strips of wall: their axes, shape (..., n, 3), and what they are made of, (..., n)."""

    up: FloatArray  # in the face of the wall, square to the rim
    rim: FloatArray
    out: FloatArray
    section_mm2: FloatArray  # square to `up`
    bending_per_mm2: FloatArray  # first-order bending stress for each newton outward
    buckling_n: FloatArray
    tubule_deg: FloatArray
    by_upright: FloatArray  # thrust along the rim for each MPa up the wall
    by_shear: FloatArray  # and for each MPa of shear on the edge


def _strips(
    capsule: Capsule,
    horn: Horn,
    free_height_mm: ArrayLike,
    toe_hold_mpa_per_mm: ArrayLike,
    heel_hold_mpa_per_mm: ArrayLike,
) -> _Strips:
    """The strips of wall as plates at the edge and as beams square to their face."""
    free = numbers("free_height_mm", free_height_mm, at_least=0)[..., None]
    toe = numbers("toe_hold_mpa_per_mm", toe_hold_mpa_per_mm, above=0)[..., None]
    heel = numbers("heel_hold_mpa_per_mm", heel_hold_mpa_per_mm, above=0)[..., None]
    thick, wide = capsule.wall_thickness_mm, capsule.widths_mm
    together(
        capsule=thick,
        horn=np.asarray(horn.along_mpa),
        free_height_mm=free,
        toe_hold_mpa_per_mm=toe,
        heel_hold_mpa_per_mm=heel,
    )
    rim, tubule, out = capsule.rim, capsule.tubules, capsule.outward
    up = np.cross(out, rim)
    tubule_deg = np.degrees(np.arctan2(_each_dot(tubule, rim), _each_dot(tubule, up)))
    modulus, by_upright, by_shear = _without_stretch(horn, tubule_deg)
    stiffness = modulus * thick**3 / 12  # of a beam 1 mm wide
    hold = toe + capsule.back_fraction * (heel - toe)
    beam = held_strip(stiffness, hold, free / up[..., 2])
    return _Strips(
        up=up,
        rim=rim,
        out=out,
        section_mm2=wide * thick,
        bending_per_mm2=6 * beam.lever_mm / (wide * thick**2),  # 6 M / (b t^2)
        buckling_n=wide * beam.buckling_n,
        tubule_deg=tubule_deg,
        by_upright=by_upright,
        by_shear=by_shear,
    )


def _without_stretch(
    horn: Horn, tubule_deg: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Modulus up the wall, and the thrust along the rim for each MPa up the wall and of shear.

    Axes x up the wall, y along the rim, tubules at `tubule_deg` from x towards y. The
    thrust is what makes the strain along y zero: S12 x + S22 y + S26 shear = 0.
    """
    turn = np.radians(tubule_deg)
    s, c = np.sin(turn), np.cos(turn)
    along, across = 1.0 / np.asarray(horn.along_mpa), 1.0 / np.asarray(horn.across_mpa)
    mixed, shear = -horn.poisson * along, 1.0 / np.asarray(horn.shear_mpa)
    # Jones Eq. 2.88: compliances in turned axes
    s11 = along * c**4 + (2 * mixed + shear) * s**2 * c**2 + across * s**4
    s12 = mixed * (s**4 + c**4) + (along + across - shear) * s**2 * c**2
    s22 = along * s**4 + (2 * mixed + shear) * s**2 * c**2 + across * c**4
    s26 = (2 * along - 2 * mixed - shear) * s**3 * c - (2 * across - 2 * mixed - shear) * s * c**3
    return 1.0 / (s11 - s12**2 / s22), -s12 / s22, -s26 / s22


def utilisation(
    capsule: Capsule,
    rim_forces: ArrayLike,
    horn: Horn,
    *,
    criterion: str = "tsai_hill",
    free_height_mm: ArrayLike = 8.0,
    toe_hold_mpa_per_mm: ArrayLike = 3.0,
    heel_hold_mpa_per_mm: ArrayLike = 1.0,
) -> FloatArray:
    """Part of the horn's strength in use in each strip of wall: 1 is first failure.

    The greatest of three: the plane stress with bending at the outer face, the same
    at the inner face, and the shear through the thickness in its middle; against the
    horn's strength off its axis. A strip that gives way sideways counts as infinite.
    It says where and in which foot the horn is worked hardest. It does not say
    when horn breaks: it is as good as the strength put in and the assumptions above,
    and bending by strips that stand alone is on the high side. Under the loads of
    canter and gallop the heel of an underrun foot may come out infinite; read that as
    "carried by what this model leaves out", not as a prediction.

    Parameters
    ----------
    capsule : Capsule
        The foot or feet.
    rim_forces : array
        Force on each strip [N], shape (..., n, 3), as from `share_out`.
    horn : Horn
        The horn; fields that are arrays must go with (..., n).
    criterion : str
        One of `hoofcalc.horn.CRITERIA`; see `hoofcalc.horn.strength_ratio`.
    free_height_mm, toe_hold_mpa_per_mm, heel_hold_mpa_per_mm : float or array
        As for `wall_stress` [mm, MPa/mm].

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
    [1.80, 0.52, 0.22]
    """
    forces = _rim_forces(capsule, rim_forces)
    strip = _strips(capsule, horn, free_height_mm, toe_hold_mpa_per_mm, heel_hold_mpa_per_mm)
    up_n, rim_n, out_n = (_each_dot(forces, axis) for axis in (strip.up, strip.rim, strip.out))
    pressed = up_n / strip.buckling_n
    gone = pressed >= 1
    bending = -out_n * strip.bending_per_mm2 / (1 - np.where(gone, 0.0, pressed))
    upright, shear = -up_n / strip.section_mm2, -rim_n / strip.section_mm2
    by_shear = strip.by_shear * shear
    outer, inner = (
        strength_ratio(
            horn, face, strip.by_upright * face + by_shear, shear, strip.tubule_deg, criterion
        )
        for face in (upright + bending, upright - bending)
    )
    through = 1.5 * np.abs(out_n) / (strip.section_mm2 * horn.shear_strength_mpa)
    used = np.maximum(through, 1.0 / np.minimum(outer, inner))
    return np.where(gone, np.inf, used)


@dataclass(frozen=True)
class Place:
    """A place on the rim; made by `weakest_place`.

    Parameters
    ----------
    strip : int or array
        Number of the strip, counted from the right heel [-].
    utilisation : float or array
        Utilisation there [-].
    place_mm : array
        Where on the ground, forward and left [mm], shape (..., 2).
    name : str or array
        In words, such as "left heel" or "toe"; thirds of the bearing length.

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Definition.

    Examples
    --------
    >>> Place(0, 0.4, np.array([0.0, -50.0]), "right heel").name
    'right heel'
    """

    strip: int | NDArray[np.intp]
    utilisation: Result
    place_mm: FloatArray
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

    forward, left = (there(capsule.ground[..., axis]) for axis in (0, 1))
    back = there(capsule.back_fraction)
    region = np.where(back < 2 / 3, "quarter", "heel")
    sided = np.char.add(np.where(left > 0, "left ", "right "), region)
    name: Any = np.where(back < 1 / 3, "toe", sided)
    number: Any = strip[..., 0]
    if name.ndim == 0:
        name, number = str(name), int(number)
    return Place(number, plain(there(array)), np.stack([forward, left], axis=-1), name)


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

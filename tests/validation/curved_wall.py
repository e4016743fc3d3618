"""The curved wall of a hoof as a solid, by finite elements: what `loadpath` is held against.

One half of a symmetrical foot, from the right heel to the middle of the toe, open
behind. 27-node bricks that follow the capsule's two rings, the wall's thickness square
to its face. The horn is transversely isotropic about its tubules. From `FREE_MM` above
the ground the inner face hangs on springs, stiff at the toe and soft at the heel, as
stiff up and along the face as square to it; nothing holds the wall below, and the top is free. A
bar, where there is one, is a plate of the heel's thickness that leaves the inner face of
the last few millimetres of the heel, runs forward and inward for a third of the foot's length,
keeps half of the heel's height at its front end and hangs on springs as soft as the
heel's. The ground presses on the wall alone.

Nothing here is taken from `loadpath`, and no number is fitted to anything.

The table of converged results is made by

    python tests/validation/curved_wall.py tests/validation/data/curved_wall.csv

Gustafsson T., McBain G.D., "scikit-fem: a Python package for finite element assembly",
Journal of Open Source Software 5 (2020) 2369.
"""

from __future__ import annotations

import csv
import sys
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu
from skfem import Basis, ElementHex1, ElementHex2, ElementVector, FacetBasis, MeshHex, MeshHex2

from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.horn import Horn
from hoofcalc.profile import Profile

HORN = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured
POISSON_ACROSS = 0.35  # between two directions across the tubules
FREE_MM, TOE_HOLD, HEEL_HOLD = 8.0, 3.0, 1.0
BAR_DEG, BAR_LENGTH, BAR_HEIGHT = 35.0, 1 / 3, 0.5


@dataclass(frozen=True)
class Grid:
    """How many bricks: along half the rim, below and above the free height, through the wall."""

    rim: int = 16
    low: int = 2
    high: int = 5
    through: int = 2


@dataclass
class Wall:
    """Influence of the pressure on the ground: one column for each hat along the rim.

    Columns 0..n-1 are 1 MPa upward, n..2n-1 the same forward (for the hat at that place).
    """

    hats: np.ndarray  # where along the half rim, 0 heel to 1 toe
    area: np.ndarray  # of wall on the ground under each hat [mm2]
    forward: np.ndarray  # first moment of that area over the area: where it is [mm]
    compliance: np.ndarray  # work of hat i's pressure on what hat j does (n, 2n) [mm3/MPa]
    stress: np.ndarray  # Cauchy stress on the faces, xx yy zz yz xz xy (6, points, 2n)
    place: np.ndarray  # rim 0..1, height [mm], face -1 inner 1 outer, area, back (5, points)
    outer_move: np.ndarray  # displacement of the heel's bearing edge (3, 2n)


def constants(horn: Horn) -> dict[str, float]:
    """Five constants of a transversely isotropic body (Spencer 1972), held against E, G, nu."""
    one, two = float(horn.along_mpa), float(horn.across_mpa)
    nu = float(horn.poisson)
    s = np.array(
        [
            [1 / one, -nu / one, -nu / one],
            [-nu / one, 1 / two, -POISSON_ACROSS / two],
            [-nu / one, -POISSON_ACROSS / two, 1 / two],
        ]
    )
    c = np.linalg.inv(s)
    lam, mut = c[1, 2], (c[1, 1] - c[1, 2]) / 2
    mul_, alpha = float(horn.shear_mpa), c[0, 1] - c[1, 2]
    beta = c[0, 0] - lam - 2 * alpha - 4 * mul_ + 2 * mut
    return {"lam": lam, "mut": mut, "mul": mul_, "alpha": alpha, "beta": beta}


PAIRS = ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))


def stiffness(a: np.ndarray, k: dict[str, float]) -> np.ndarray:
    """Stress for each unit of strain, both xx yy zz yz xz xy, shear doubled: (6, 6, ...)."""
    d = np.zeros((6, 6, *a.shape[1:]))
    for column, (i, j) in enumerate(PAIRS):
        e = np.zeros((3, 3))
        e[i, j] = e[j, i] = 1.0 if i == j else 0.5
        ea = np.einsum("ij,j...->i...", e, a)
        aea = np.sum(a * ea, axis=0)
        tr = np.trace(e)
        for row, (m, n) in enumerate(PAIRS):
            d[row, column] = (
                (k["lam"] * tr + k["alpha"] * aea) * (m == n)
                + 2 * k["mut"] * e[m, n]
                + (k["alpha"] * tr + k["beta"] * aea) * a[m] * a[n]
                + 2 * (k["mul"] - k["mut"]) * (a[m] * ea[n] + ea[m] * a[n])
            )
    return d


def strains(basis: Any) -> np.ndarray:
    """Strain of every shape function: (functions, 6, elements, points)."""
    g = np.stack([np.asarray(f[0].grad) for f in basis.basis])
    return np.stack([g[:, i, i] if i == j else g[:, i, j] + g[:, j, i] for i, j in PAIRS], axis=1)


def values_of(basis: Any) -> np.ndarray:
    """Value of every shape function: (functions, 3, elements, points)."""
    return np.stack([np.asarray(f[0]) for f in basis.basis])


def assembled(basis: Any, shapes: np.ndarray, law: np.ndarray) -> coo_matrix:
    """Sum over elements of shapes' law shapes, weighted."""
    functions, size, elements, points = shapes.shape
    ordered = np.ascontiguousarray(shapes.transpose(2, 3, 0, 1))  # elements, points, f, parts
    answer = ordered @ np.ascontiguousarray((law * basis.dx).transpose(2, 3, 1, 0))
    left, right = (
        array.transpose(0, 2, 1, 3).reshape(elements, functions, points * size)
        for array in (ordered, answer)
    )
    blocks = left @ right.swapaxes(1, 2)
    dofs = basis.element_dofs.T
    rows = np.repeat(dofs[:, :, None], functions, axis=2)
    columns = np.repeat(dofs[:, None, :], functions, axis=1)
    return coo_matrix(
        (blocks.ravel(), (rows.ravel(), columns.ravel())), shape=(basis.N, basis.N)
    ).tocsr()


def von_mises(stress: np.ndarray) -> np.ndarray:
    """Von Mises stress of (6, ...)."""
    x, y, z, yz, xz, xy = stress
    return np.sqrt(((x - y) ** 2 + (y - z) ** 2 + (z - x) ** 2) / 2 + 3 * (yz**2 + xz**2 + xy**2))


class Shape:
    """Half of the capsule's rim as smooth functions of the part of the way, heel 0 to toe 1."""

    def __init__(self, capsule: Capsule) -> None:
        half = (len(capsule.ground) - 1) // 2
        ground = capsule.ground[: half + 1]
        gone = np.append(0, np.cumsum(np.linalg.norm(np.diff(ground, axis=0), axis=-1)))
        self.half_rim_mm = gone[-1]
        thick = capsule.wall_thickness_mm[: half + 1]
        table = np.column_stack([ground, capsule.coronet[: half + 1], thick])
        self.table = CubicSpline(gone / gone[-1], table)
        self.length_mm = float(np.ptp(capsule.ground[:, 0]))
        self.front = float(capsule.ground[:, 0].max())

    def at(self, s: np.ndarray) -> tuple[np.ndarray, ...]:
        """Ground point, rise, level offset outer -> inner, thickness; (3, n) and (n,)."""
        values, slope = self.table(s).T, self.table(s, 1).T
        ground, coronet, thick = values[:3], values[3:6], values[6]
        rise = coronet - ground
        along = slope[:3] * [[1], [1], [0]]
        along[:, np.isclose(s, 1)] = np.array([[0.0], [1.0], [0.0]])
        along /= np.linalg.norm(along, axis=0)
        level_out = np.stack([along[1], -along[0], 0 * along[0]])
        normal = np.cross(along, rise, axis=0)
        normal /= np.linalg.norm(normal, axis=0)
        inward = -level_out * thick / np.sum(normal * level_out, axis=0)
        return ground, rise, inward, thick


def place_of(
    shape: Shape, s: np.ndarray, level: np.ndarray, depth: np.ndarray, free: float
) -> tuple[np.ndarray, np.ndarray]:
    """Points (3, n) and tubule directions: level 0..1 up to the free height, 1..2 above.

    depth 0 inner to 1 outer face; below 0 along the bar.
    """
    ground, rise, inward, _ = shape.at(s)
    along_bar = np.maximum(0.0, -depth)
    shrink = 1 - (1 - BAR_HEIGHT) * along_bar
    top = rise[2]
    low = free / top
    up = np.where(level <= 1, level * low, low + (level - 1) * (1 - low) * shrink)
    turn = np.radians(BAR_DEG)
    bar = shape.length_mm * BAR_LENGTH * np.array([np.cos(turn), np.sin(turn), 0.0])
    within = np.clip(1 - depth, 0, 1)
    point = ground + up * rise + within * inward + along_bar * bar[:, None]
    return point, rise / np.linalg.norm(rise, axis=0)


def solve_wall(
    capsule: Capsule,
    *,
    horn: Horn = HORN,
    bars: bool = True,
    free_mm: float = FREE_MM,
    toe_hold: float = TOE_HOLD,
    heel_hold: float = HEEL_HOLD,
    grid: Grid = Grid(),
    hat_count: int = 13,
) -> Wall:
    """Solve the solid for every hat of pressure along the rim."""
    shape = Shape(capsule)
    thick_heel = float(shape.at(np.array([0.0]))[3][0])
    wide = thick_heel / np.sin(np.radians(BAR_DEG)) / shape.half_rim_mm
    t = np.linspace(0, 1, grid.rim + 1)
    s = wide + (1 - wide) * (0.6 * t + 0.4 * t**2)
    s = np.concatenate([np.linspace(0, wide, 3)[:-1], s])
    levels = np.concatenate(
        [np.linspace(0, 1, grid.low + 1), 1 + np.linspace(0, 1, grid.high + 1)[1:] ** 1.5]
    )
    depths = np.linspace(0, 1, grid.through + 1)
    if bars:
        depths = np.concatenate([-(np.linspace(0, 1, 5)[:0:-1] ** 1.3), depths])
    cube = MeshHex.init_tensor(s, levels, depths)
    middle = cube.p[:, cube.t].mean(axis=1)
    cube = cube.remove_elements(np.nonzero((middle[2] < 0) & (middle[0] > wide))[0])
    flat = MeshHex2.from_mesh(cube)
    params = flat.doflocs.copy()
    where, _ = place_of(shape, *params, free_mm)
    mesh = MeshHex2(where, flat.t)
    p = params[:, : mesh.p.shape[1]] if params.shape[1] != mesh.p.shape[1] else params
    one = Basis(mesh, ElementHex1(), intorder=5)
    corner = np.unique(mesh.t)

    def field(values: np.ndarray) -> np.ndarray:
        out = np.zeros(one.N)
        out[one.nodal_dofs[0][corner]] = values[corner]
        return out

    # facets by their corner parameters
    fp = p[:, mesh.facets].mean(axis=1)
    span = np.ptp(p[:, mesh.facets], axis=1)
    boundary = np.zeros(mesh.facets.shape[1], bool)
    boundary[mesh.boundary_facets()] = True

    def facets(axis: int, value: float) -> np.ndarray:
        return boundary & (np.abs(fp[axis] - value) < 1e-9) & (span[axis] < 1e-9)

    base = np.nonzero(facets(1, 0.0) & (fp[2] > 0))[0]
    inner = facets(2, 0.0) & (fp[1] > 1)
    if bars:
        inner |= facets(0, wide) & (fp[2] < 0) & (fp[1] > 1)
    toe = np.nonzero(facets(0, 1.0))[0]
    element = ElementVector(ElementHex2())
    body = Basis(mesh, element, intorder=5)
    k = constants(horn)
    rim_field = field(p[0])

    def rim_part(basis: Any) -> np.ndarray:
        return np.clip(np.asarray(basis.with_element(ElementHex1()).interpolate(rim_field)), 0, 1)

    def tubule(basis: Any) -> np.ndarray:
        sq = rim_part(basis)
        _, rise, _, _ = shape.at(sq.ravel())
        return (rise / np.linalg.norm(rise, axis=0)).reshape(3, *sq.shape)

    def back(sq: np.ndarray) -> np.ndarray:
        x = shape.table(sq.ravel())[:, 0].reshape(sq.shape)
        return (shape.front - x) / shape.length_mm

    springs = FacetBasis(mesh, element, facets=np.nonzero(inner)[0], intorder=5)
    hold = toe_hold + back(rim_part(springs)) * (heel_hold - toe_hold)

    matrix = assembled(body, strains(body), stiffness(tubule(body), k))
    matrix = matrix + assembled(springs, values_of(springs), hold * np.eye(3)[:, :, None, None])
    bottom = FacetBasis(mesh, element, facets=base, intorder=5)
    sq = rim_part(bottom)
    hats = np.linspace(0, 1, hat_count)
    values = np.array([np.interp(sq, hats, unit) for unit in np.eye(hat_count)])
    pushed = np.einsum("fcen,hen->fceh", values_of(bottom), values * bottom.dx)
    loads = np.zeros((body.N, 2 * hat_count))
    for axis, columns in ((2, slice(hat_count)), (0, slice(hat_count, None))):
        for number, dofs in enumerate(bottom.element_dofs):
            np.add.at(loads[:, columns], dofs, pushed[number, axis])
    up = loads[:, :hat_count]
    fixed = body.get_dofs(toe).all(["u^2"])
    free = np.setdiff1d(np.arange(body.N), fixed)
    factor = splu(
        matrix[free][:, free].tocsc(), permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True}
    )
    moved = np.zeros_like(loads)
    moved[free] = factor.solve(loads[free])
    area = np.array([np.sum(h * bottom.dx) for h in values])
    x = np.asarray(bottom.global_coordinates())[0]
    forward = np.array([np.sum(h * x * bottom.dx) for h in values]) / area

    parts, places = [], []
    for depth, face in ((0.0, -1.0), (1.0, 1.0)):
        # where the bar leaves the wall there is no face
        basis = FacetBasis(mesh, element, facets=np.nonzero(facets(2, depth))[0], intorder=3)
        strain = np.einsum("fvep,fel->vepl", strains(basis), moved[basis.element_dofs])
        got = np.einsum("uvep,vepl->uepl", stiffness(tubule(basis), k), strain)
        parts.append(got.reshape(6, -1, loads.shape[1]))
        sqf = rim_part(basis)
        z = np.asarray(basis.global_coordinates())[2]
        places.append(
            np.stack([part.ravel() for part in (sqf, z, face + 0 * z, basis.dx, back(sqf))])
        )
    edge = np.argmin(np.linalg.norm(p[:, corner] - np.array([[0.0], [0.0], [1.0]]), axis=0))
    return Wall(
        hats=hats,
        area=area,
        forward=forward,
        compliance=up.T @ moved,
        stress=np.concatenate(parts, axis=1),
        place=np.concatenate(places, axis=1),
        outer_move=moved[body.nodal_dofs[:, corner[edge]]],
    )


def pressures(
    wall: Wall, centre_mm: float, tilt_deg: float = 0.0, ground: str = "even"
) -> np.ndarray:
    """Pressure at each hat for 1 N on the half wall, acting at `centre_mm` forward.

    "even": a rigid foot, pressure linear in place. "hard": flat, hard, slippery ground under
    a wall that gives on its springs, the bone rigid: pressure where they meet, a gap elsewhere.
    """
    n = len(wall.hats)
    conditions = np.stack([wall.area, wall.area * wall.forward])
    wanted = np.array([1.0, centre_mm])
    shape = np.stack([np.ones(n), wall.forward])
    lean = -np.tan(np.radians(tilt_deg))
    give = wall.compliance[:, :n] + lean * wall.compliance[:, n:]
    bears = np.ones(n, bool)
    for _ in range(50):
        p = np.zeros(n)
        rigid = np.zeros(2)
        if ground == "even":
            p[bears] = shape[:, bears].T @ np.linalg.solve(
                conditions[:, bears] @ shape[:, bears].T, wanted
            )
            wrong = p < -1e-15
            gap = np.zeros(n)
        else:
            count = bears.sum()
            system = np.block(
                [
                    [give[np.ix_(bears, bears)], -conditions[:, bears].T],
                    [conditions[:, bears], np.zeros((2, 2))],
                ]
            )
            got = np.linalg.solve(system, np.append(np.zeros(count), wanted))
            p[bears], rigid = got[:count], got[count:]
            gap = give @ p - conditions.T @ rigid
            wrong = p < -1e-12
        back = ~bears & (gap < -1e-9 * np.abs(gap).max()) if ground != "even" else ~bears & False
        if not wrong.any() and not back.any():
            return p
        bears = (bears & ~wrong) | (back if not wrong.any() else False)
    raise RuntimeError("no balance found")


def face_stress(wall: Wall, pressure: np.ndarray, tilt_deg: float = 0.0) -> np.ndarray:
    """Stress on the faces under the hats' pressures that lean by the tilt: (6, points)."""
    lean = -np.tan(np.radians(tilt_deg))
    return wall.stress @ np.concatenate([pressure, lean * pressure])


def percentile(values: np.ndarray, weights: np.ndarray, part: float) -> float:
    """The value that `part` of the weight lies below."""
    order = np.argsort(values)
    gone = np.cumsum(weights[order])
    return float(np.interp(part * gone[-1], gone - weights[order] / 2, values[order]))


CENTRES, TILTS, GROUNDS = (0.5, 0.6, 0.7), (-8.0, 0.0, 8.0), ("even", "hard")
FORCE_N = 4000.0  # on the whole wall
#: Toe and heel angle [degrees], bearing, toe and heel length, width [mm]: round figures of the
#: invented yard's three feet, then heels from 20 to 67 degrees under one toe.
FEET = {
    "in line": (51.0, 46.0, 121.0, 98.0, 44.0, 125.0),
    "run under": (48.0, 23.0, 112.0, 92.0, 47.0, 125.0),
    "upright": (62.0, 67.0, 104.0, 79.0, 49.0, 97.0),
    "heel 20": (50.0, 20.0, 112.0, 95.0, 53.0, 118.0),
    "heel 28": (50.0, 28.0, 112.0, 95.0, 49.0, 118.0),
    "heel 36": (50.0, 36.0, 112.0, 95.0, 47.0, 118.0),
    "heel 45": (50.0, 45.0, 112.0, 95.0, 47.0, 118.0),
    "heel 55": (50.0, 55.0, 112.0, 95.0, 48.0, 118.0),
    "heel 67": (50.0, 67.0, 112.0, 95.0, 50.0, 118.0),
}
REFERENCE = "in line"
REGIONS = {"toe": (0.0, 1 / 3), "quarter": (1 / 3, 2 / 3), "heel": (2 / 3, 1.0)}


def foot(name: str, per_side: int = 90) -> Capsule:
    """One of the feet, with the thickness of the wall square to its face."""
    toe, heel, bearing, toe_length, heel_length, width = FEET[name]
    side = Profile.from_measures(toe, heel, toe_length, heel_length, bearing)
    return build_capsule(side, taper=0.87, width_mm=width, per_side=per_side)


def centre_mm(capsule: Capsule, part: float) -> float:
    """Place so far from the heels to the toe."""
    x = capsule.ground[:, 0]
    return float(x.min() + part * np.ptp(x))


def worked(wall: Wall, capsule: Capsule, centre: float, tilt: float, ground: str) -> list[float]:
    """95th percentile by area of von Mises on the faces, for toe, quarter and heel [MPa]."""
    pressed = pressures(wall, centre_mm(capsule, centre), tilt, ground) * FORCE_N / 2
    stress = von_mises(face_stress(wall, pressed, tilt))
    area, back = wall.place[3], wall.place[4]
    return [
        percentile(stress[here], area[here], 0.95)
        for here in ((back >= low) & (back <= high) for low, high in REGIONS.values())
    ]


FINE = Grid(22, 3, 7, 2)
FIELDS = ("foot", "bars", "ground", "centre", "tilt_deg", *(f"{part}_mpa" for part in REGIONS))


def main(target: str) -> None:
    """Solve every case on the fine mesh and write the table."""
    with Path(target).open("w", newline="", encoding="utf-8") as file:
        file.write("# Curved wall as a solid: stress on the faces. Invented feet. curved_wall.py\n")
        table = csv.writer(file, lineterminator="\n")
        table.writerow(FIELDS)
        for name, bars in product(FEET, (0, 1)):
            capsule = foot(name, 180)
            wall = solve_wall(capsule, bars=bool(bars), grid=FINE)
            for ground, centre, tilt in product(GROUNDS, CENTRES, TILTS):
                found = worked(wall, capsule, centre, tilt, ground)
                table.writerow([name, bars, ground, centre, tilt, *(f"{v:.4g}" for v in found)])
            file.flush()


if __name__ == "__main__":
    main(sys.argv[1])

"""The wall of one foot as a shell: straight up its tubules, curved round the rim, open behind.

What `loadpath` works the stress out with. The middle surface runs half the wall's
thickness inside the two rings. A normal to it stays straight, but need not stay
square to it (Reissner and Mindlin). Up the wall displacements and turns are polynomials;
round the rim they go in pieces of the second degree, two points of integration each, so
that thin walls do not lock. Small movements, linear elastic, tubules straight up the wall.

- The inner face hangs on springs from the free height upward, equally stiff in all three
  directions.
- A bar is a plate of the heel's thickness that runs inward from the heel's end on springs
  as soft as the heel's: three springs on the edge, in line with it, up it and square to it
  (a rod and a beam of its length on a foundation; Hetenyi 1946, from memory).
- Loads are forces on the bearing edge, in the middle of its thickness.

All in N, mm and MPa.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any, NamedTuple, TypeVar

import numpy as np
from numpy.polynomial import legendre
from numpy.polynomial.legendre import Legendre
from numpy.typing import ArrayLike, NDArray

from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule

_Made = TypeVar("_Made")

PIECES = 12  # round the rim
DEGREE = 4  # of the polynomials up the wall
_AT_STATION = 5 * (DEGREE + 1)  # movements: three ways and two turns
_DOFS = 3 * _AT_STATION  # of a piece
_FINER_BEHIND = 0.4  # pieces at the heels are this much shorter than even ones
_FINER_BELOW = 1.5  # heights are counted so that the wall near the ground gets this much more room
_RIM_POINTS, _UP_POINTS, _SPRING_POINTS = 2, 7, 6
_FEW = 16  # answers to so many loads at most are kept
_ORDER = np.array([0, 2, 1])  # of a piece's stations: its ends, then its middle
_SHEAR = 5 / 6  # of a rectangle
_ACROSS_POISSON = 0.35  # between two directions across the tubules: a choice

BAR_DEG, BAR_LENGTH = 35.0, 1 / 3  # bar: angle to the foot's length, its length over the foot's


class Walls(NamedTuple):
    """What one or more walls of the same shape are made of; shapes broadcast, leading axis draws.

    Rim quantities are given at the shell's points round the rim, shape (..., pieces, 2).
    """

    along: FloatArray  # MPa
    across: FloatArray
    shear: FloatArray
    poisson: FloatArray
    thick: FloatArray  # mm
    hold: FloatArray  # MPa/mm
    free: FloatArray  # mm, (...)
    bars: FloatArray  # 0 none, 1 as declared, (...)


@lru_cache(maxsize=1)
def _polynomials() -> tuple[list[Legendre], list[Legendre]]:
    """Up the wall, 0 at the ground to 1 at the coronary band, and their slopes."""
    functions = [Legendre.basis(k, domain=[0, 1]) for k in range(DEGREE + 1)]
    return functions, [f.deriv() for f in functions]


def _height(count: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Part of the height at a count of 0 to 1 up the wall, and its slope."""
    c = _FINER_BELOW
    return (count + c * count**2) / (1 + c), (1 + 2 * c * count) / (1 + c)


def _count(height: FloatArray) -> FloatArray:
    """The other way round: the count at a part of the height."""
    c = _FINER_BELOW
    counted: FloatArray = 2 * (1 + c) * height / (1 + np.sqrt(1 + 4 * c * (1 + c) * height))
    return counted


def _up_functions(height: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Polynomials and slopes at parts of the height, last axis the number of the function."""
    functions, slopes = _polynomials()
    return (
        np.stack([f(height) for f in functions], axis=-1),
        np.stack([f(height) for f in slopes], axis=-1),
    )


def _rim_functions(t: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The shape functions of a piece's two ends and its middle, from -1 to 1, and slopes."""
    return (
        np.stack([t * (t - 1) / 2, t * (t + 1) / 2, 1 - t * t], axis=-1),
        np.stack([t - 0.5, t + 0.5, -2 * t], axis=-1),
    )


#: Places and weights on -1 to 1, worked out once for each count.
leggauss = lru_cache(maxsize=None)(legendre.leggauss)


def _gauss(count: int) -> tuple[FloatArray, FloatArray]:
    """Places and weights on 0 to 1."""
    at, weight = leggauss(count)
    return (at + 1) / 2, weight / 2


@dataclass(frozen=True, eq=False)
class Shell:
    """The shape of one foot's wall, ready to be solved for any horn, thickness, hold and load."""

    capsule: Capsule

    @cached_property
    def rim_mm(self) -> FloatArray:
        """Where the capsule's strips lie along the rim, from the right heel [mm]."""
        steps = np.linalg.norm(np.diff(self.capsule.ground, axis=0), axis=-1)
        gone: FloatArray = np.append(0.0, np.cumsum(steps))
        return gone

    @cached_property
    def stations_mm(self) -> FloatArray:
        """Ends and middles of the pieces along the rim [mm], shape (2 pieces + 1,)."""
        t = np.linspace(-1, 1, PIECES + 1)
        graded = t * (1 + _FINER_BEHIND * (1 - np.abs(t)))
        ends = self.rim_mm[-1] / 2 * (1 + graded)
        stations = np.empty(2 * PIECES + 1)
        stations[::2], stations[1::2] = ends, (ends[1:] + ends[:-1]) / 2
        return stations

    @cached_property
    def points_mm(self) -> FloatArray:
        """The points round the rim where the shell is integrated [mm], (pieces, 2)."""
        t, _ = leggauss(_RIM_POINTS)
        ends = self.stations_mm[::2]
        return ends[:-1, None] + np.diff(ends)[:, None] * (t + 1) / 2

    def at_points(self, strips: ArrayLike) -> FloatArray:
        """Values of the strips at the points round the rim, (pieces, 2)."""
        values = np.asarray(strips, dtype=np.float64)
        if values.ndim == 0:
            return np.full(self.points_mm.shape, float(values))
        found: FloatArray = np.interp(self.points_mm, self.rim_mm, values)
        return found

    @property
    def area_per_mm(self) -> FloatArray:
        """Area of wall at each height for each mm of rim [mm], (pieces x points, heights)."""
        half = np.diff(self.stations_mm[::2])[:, None, None] / 2
        found: FloatArray = (self._surface.weight / half).reshape(-1, _UP_POINTS)
        return found

    @cached_property
    def on_stations(self) -> FloatArray:
        """From forces on the strips to forces on the stations, (stations, strips)."""
        ends = self.stations_mm[::2]
        piece = np.clip(np.searchsorted(ends, self.rim_mm, side="right") - 1, 0, PIECES - 1)
        t = 2 * (self.rim_mm - ends[piece]) / np.diff(ends)[piece] - 1
        shapes, _ = _rim_functions(t)
        shared = np.zeros((len(self.stations_mm), len(t)))
        for i in range(3):
            shared[2 * piece + _ORDER[i], np.arange(len(t))] = shapes[:, i]
        return shared

    @cached_property
    def hats(self) -> FloatArray:
        """Hat functions of pressure at the strips, (strips, hats): at every station, or at every
        second, third ... where the strips are so few that a hat would hold fewer than two.
        """
        for step in (1, 2, 3, 4, 6, 8, 12, 24):
            at = self.stations_mm[::step]
            hats = np.stack([np.interp(self.rim_mm, at, unit) for unit in np.eye(len(at))], axis=-1)
            if np.count_nonzero(hats, axis=0).min() >= 2:
                break
        return hats

    @cached_property
    def _surface(self) -> _Surface:
        return _surface(self)

    @cached_property
    def _terms(self) -> FloatArray:
        """Pairs of strains for each of the ten stiffnesses, (pieces, points x 10, dofs^2)."""
        surface = self._surface
        return _in_pairs(surface.strains, surface.weight).reshape(PIECES, -1, _DOFS**2)

    # ---- stiffness

    def matrices(self, walls: Walls) -> FloatArray:
        """Stiffness of each piece, (draws, pieces, dofs, dofs); the draws are one axis."""
        surface = self._surface
        draws = np.broadcast_shapes(*(np.shape(value)[:-2] for value in walls[:6]))
        wide = (*draws, PIECES, _RIM_POINTS)
        along, across, shear, poisson, thick = (np.broadcast_to(v, wide) for v in walls[:5])
        fixed = 1 - poisson**2 * across / along
        through = across / (2 * (1 + _ACROSS_POISSON))
        plane = [along / fixed, poisson * across / fixed, across / fixed, shear]
        flat = [part * thick for part in plane]
        bent = [part * thick**3 / 12 for part in plane]
        slid = [_SHEAR * thick * shear, _SHEAR * thick * through]
        factor = np.stack([*flat, *bent, *slid], axis=-1)  # (draws, pieces, points, 10)
        if len(draws) and draws[0] > 4:
            stiff = np.moveaxis(factor, -3, 0).reshape(PIECES, draws[0], -1) @ self._terms
            stiff = np.moveaxis(stiff, 0, 1).reshape(*draws, PIECES, _DOFS, _DOFS)
        else:
            law = np.zeros((*wide, 8, 8))
            for low, four in ((0, flat), (3, bent)):
                law[..., low, low], law[..., low + 1, low + 1] = four[0], four[2]
                law[..., low, low + 1] = law[..., low + 1, low] = four[1]
                law[..., low + 2, low + 2] = four[3]
            law[..., 6, 6], law[..., 7, 7] = slid
            weighed = law[..., None, :, :] * surface.weight[..., None, None]
            answer = weighed @ surface.strains
            rows = surface.strains.reshape(PIECES, -1, _DOFS)
            stiff = rows.swapaxes(-1, -2) @ answer.reshape(*draws, PIECES, -1, _DOFS)
        stiff += self._springs(walls, draws)
        ends = self._bars(walls, draws)
        count = ends.shape[-1]
        stiff[..., 0, :count, :count] += ends[..., 0, :, :]
        stiff[..., -1, count : 2 * count, count : 2 * count] += ends[..., 1, :, :]
        return stiff

    def _springs(self, walls: Walls, draws: tuple[int, ...]) -> FloatArray:
        """What holds the inner face from the free height up."""
        surface = self._surface
        free = np.broadcast_to(walls.free, draws)[..., None, None]
        start = _count(np.clip(free / surface.height_mm, 0, 1))
        at, weight = _gauss(_SPRING_POINTS)
        count = start[..., None] + (1 - start[..., None]) * at
        up, _ = _up_functions(count)
        height, climb = _height(count)
        area = surface.area_low[..., None] + height * surface.area_rise[..., None]
        area = area * climb * (1 - start[..., None]) * weight
        power = (up * area[..., None]).swapaxes(-1, -2) @ up  # (draws, pieces, points, k, k)
        hold = walls.hold * surface.rim_weight
        half = walls.thick / 2
        wide = (*draws, PIECES, _RIM_POINTS)
        scale = np.stack(
            [np.broadcast_to(v, wide) for v in (hold, -hold * half, hold * half**2)], axis=-1
        )
        # heights' products by what the movements of two stations have to do with each other
        k = DEGREE + 1
        left = (scale[..., None, None] * power[..., None, :, :]).reshape(
            *draws, PIECES, _RIM_POINTS * 3, k * k
        )
        right = surface.held.reshape(PIECES, _RIM_POINTS * 3, -1)
        blocks = (left.swapaxes(-1, -2) @ right).reshape(*draws, PIECES, k, k, 3, 5, 3, 5)
        first = len(draws) + 1
        blocks = np.moveaxis(blocks, (first, first + 1), (first + 2, first + 5))
        found: FloatArray = blocks.reshape(*draws, PIECES, _DOFS, _DOFS)
        return found

    def _bars(self, walls: Walls, draws: tuple[int, ...]) -> FloatArray:
        """The bars as springs on the heels' ends, (draws, 2, dofs of a station, same)."""
        surface = self._surface
        found = []
        length = BAR_LENGTH * np.ptp(self.capsule.ground[:, 0])
        for end, (piece, point) in enumerate(((0, 0), (-1, -1))):
            thick, hold, across, shear = (
                np.broadcast_to(v, (*draws, PIECES, _RIM_POINTS))[..., piece, point]
                for v in (walls.thick, walls.hold, walls.across, walls.shear)
            )
            stiffness = across * thick**3 / 12
            pulled = np.sqrt(hold * across * thick)
            slid = np.sqrt(hold * shear * thick)
            springs = np.stack(
                [
                    pulled * np.tanh(length * hold / pulled),
                    slid * np.tanh(length * hold / slid),
                    hold / 2 / (hold / (4 * stiffness)) ** 0.25,
                ],
                axis=-1,
            )
            springs = springs * np.broadcast_to(walls.bars, draws)[..., None]
            axes = surface.bar_axes[end]  # (3 springs, 3)
            joint = np.einsum("...s,sx,sy->...xy", springs, axes, axes)
            # movement of the inner edge: middle less half the thickness times the turn
            lever = np.zeros((*draws, 3, 5))
            lever[..., :3] = np.eye(3)
            lever[..., 3:] = -thick[..., None, None] / 2 * surface.turns[-end].T
            five = np.swapaxes(lever, -1, -2) @ joint @ lever
            block = five[..., :, None, :, None] * surface.edge_power[end][:, None, :]
            count = 5 * (DEGREE + 1)
            found.append(block.reshape(*draws, count, count))
        return np.stack(found, axis=-3)

    # ---- solution

    @cached_property
    def _last(self) -> dict[str, tuple[bytes, Any]]:
        """What was made last for a single wall, each kind with what it was made of."""
        return {}

    def kept(self, kind: str, make: Callable[[], _Made], walls: Walls, *more: FloatArray) -> _Made:
        """What `make` makes; of a single wall the last is kept and given where nothing changed."""
        if any(np.ndim(value) > 2 for value in walls[:6]) or np.ndim(walls.free):
            return make()
        told = b"".join(np.asarray(value, dtype=np.float64).tobytes() for value in (*walls, *more))
        last = self._last.get(kind)
        if last is None or last[0] != told:
            last = self._last[kind] = told, make()
        made: _Made = last[1]
        return made

    def stiffness(self, walls: Walls) -> FloatArray:
        """As `matrices`; that of a single wall is kept."""
        return self.kept("stiffness", lambda: self.matrices(walls), walls)

    def moved(self, walls: Walls, loads: FloatArray) -> FloatArray:
        """The movements of walls under forces on the stations, as `solve` gives them."""
        if loads.shape[-1] > _FEW:
            return self.solve(self.stiffness(walls), loads)
        return self.kept("moved", lambda: self.solve(self.stiffness(walls), loads), walls, loads)

    def solve(self, matrices: FloatArray, loads: FloatArray) -> FloatArray:
        """Movements for forces on the stations.

        `matrices` (draws, pieces, dofs, dofs), `loads` (stations, 3, columns); returns
        (draws, stations, dofs of a station, columns). Middles are taken out first, the
        ends then one after the other.
        """
        count = _AT_STATION
        columns = loads.shape[-1]
        foot, _ = _up_functions(np.zeros(()))
        force = np.zeros((len(self.stations_mm), 5, DEGREE + 1, columns))
        force[:, :3] = loads[:, :, None, :] * foot[:, None]
        on = force.reshape(len(self.stations_mm), count, columns)
        outer, mid = slice(0, 2 * count), slice(2 * count, 3 * count)
        draws = matrices.shape[:-3]
        right = np.empty((*draws, PIECES, count, 2 * count + columns))
        right[..., : 2 * count] = matrices[..., mid, outer]
        right[..., 2 * count :] = on[1::2]
        taken = np.linalg.solve(matrices[..., mid, mid], right)
        rest = matrices[..., outer, mid] @ taken
        stiff = matrices[..., outer, outer] - rest[..., : 2 * count]
        lean = -rest[..., 2 * count :]
        ends = np.broadcast_to(on[::2], (*draws, PIECES + 1, count, columns)).copy()
        ends[..., :-1, :, :] += lean[..., :count, :]
        ends[..., 1:, :, :] += lean[..., count:, :]
        first, last = slice(0, count), slice(count, 2 * count)
        diagonal = stiff[..., 0, first, first]
        passed = []
        for piece in range(PIECES):
            coupling = stiff[..., piece, first, last]
            answer = np.linalg.solve(
                diagonal, np.concatenate([coupling, ends[..., piece, :, :]], axis=-1)
            )
            passed.append(answer)
            carried = np.swapaxes(coupling, -1, -2) @ answer
            diagonal = stiff[..., piece, last, last] - carried[..., :count]
            if piece + 1 < PIECES:
                diagonal = diagonal + stiff[..., piece + 1, first, first]
            ends[..., piece + 1, :, :] -= carried[..., count:]
        moved = np.empty((*draws, len(self.stations_mm), count, columns))
        moved[..., -1, :, :] = np.linalg.solve(diagonal, ends[..., -1, :, :])
        for piece in range(PIECES - 1, -1, -1):
            after = moved[..., 2 * piece + 2, :, :]
            here = passed[piece][..., count:] - passed[piece][..., :count] @ after
            moved[..., 2 * piece, :, :] = here
            both = np.concatenate([here, after], axis=-2)
            moved[..., 2 * piece + 1, :, :] = (
                taken[..., piece, :, 2 * count :] - taken[..., piece, :, : 2 * count] @ both
            )
        return moved

    def edge(self, moved: FloatArray) -> FloatArray:
        """Movement of the bearing edge at the stations, (draws, stations, 3, columns)."""
        foot, _ = _up_functions(np.zeros(()))
        apart = moved.reshape(*moved.shape[:-2], 5, DEGREE + 1, moved.shape[-1])[..., :3, :, :]
        found: FloatArray = np.einsum("k,...sckl->...scl", foot, apart)
        return found

    def face_stress(self, walls: Walls, moved: FloatArray) -> FloatArray:
        """Stress along, across and shear in the tubules' axes on both faces.

        Returns (draws, columns, 2 faces: inner outer, pieces, points, heights, 3).
        """
        surface = self._surface
        draws, columns = moved.shape[:-3], moved.shape[-1]
        each = moved[..., _stations(), :, :]
        each = each.reshape(*draws, PIECES, _DOFS, columns)
        rows = surface.strains[..., :6, :].reshape(PIECES, -1, _DOFS)
        strain = (rows @ each).reshape(*draws, PIECES, _RIM_POINTS, _UP_POINTS, 2, 3, columns)
        wide = (*draws, PIECES, _RIM_POINTS)
        along, across, shear, poisson, thick = (
            np.broadcast_to(v, wide)[..., None, None] for v in walls[:5]
        )
        fixed = 1 - poisson**2 * across / along
        faces = []
        for side in (-0.5, 0.5):
            whole = strain[..., 0, :, :] + side * thick[..., None] * strain[..., 1, :, :]
            one, two, turned = (whole[..., i, :] for i in range(3))
            faces.append(
                np.stack(
                    [
                        (along * one + poisson * across * two) / fixed,
                        across * (poisson * one + two) / fixed,
                        shear * turned,
                    ],
                    axis=-2,
                )
            )
        both = np.stack(faces, axis=-6)
        return np.moveaxis(both, -1, -6)


@lru_cache(maxsize=8)
def shell_of(capsule: Capsule) -> Shell:
    """The shell of a foot, kept for the last few: a capsule never changes."""
    return Shell(capsule)


class _Surface(NamedTuple):
    """The middle surface at the points of integration, and what movements strain it."""

    strains: FloatArray  # (pieces, points, heights, 8, dofs)
    weight: FloatArray  # area that each stands for (pieces, points, heights)
    height_mm: FloatArray  # of the wall (pieces, points)
    area_low: FloatArray  # area for each unit round the rim and up, at the ground
    area_rise: FloatArray
    rim_weight: FloatArray
    turns: FloatArray  # two directions in which each station's normal can turn (stations, 2, 3)
    held: FloatArray
    bar_axes: FloatArray
    edge_power: FloatArray


class _Middle(NamedTuple):
    """The wall's middle surface: where it runs, at the points of integration."""

    rise: FloatArray  # from the ground to the coronet (stations, 3)
    twist: FloatArray  # its change along the rim (pieces, points, 3)
    tall: FloatArray  # the rise itself there (pieces, points, 3)
    by_rim: FloatArray  # the ground edge's change along the rim
    up: FloatArray  # functions up the wall (heights, k)
    up_slope: FloatArray
    up_length: FloatArray  # part of the wall's height that each height stands for
    weight: FloatArray  # of the points and heights (points, heights)
    normal: FloatArray  # (pieces, points, heights, 3), as all that follow
    area: FloatArray
    dual_rim: FloatArray
    dual_up: FloatArray
    n_rim: FloatArray  # how the normal turns along the rim and up the wall
    n_up: FloatArray
    turns: FloatArray  # two directions in which each station's normal can turn (stations, 2, 3)


def _dot(a: FloatArray, b: FloatArray) -> FloatArray:
    found: FloatArray = np.sum(a * b, axis=-1)
    return found


def _stations() -> NDArray[np.intp]:
    """The three stations of each piece, in the order of the functions along the rim."""
    stations: NDArray[np.intp] = 2 * np.arange(PIECES)[:, None] + _ORDER
    return stations


def _middle(shell: Shell) -> _Middle:
    """The middle surface, its tangents and its curvature."""
    foot = shell.capsule
    inward = np.zeros_like(foot.ground)
    inward[:, :2] = foot.bearing_points_mm - foot.ground[:, :2]

    def at_stations(rows: FloatArray) -> FloatArray:
        return np.stack(
            [np.interp(shell.stations_mm, shell.rim_mm, column) for column in rows.T], axis=-1
        )

    def spread(functions: FloatArray, values: FloatArray) -> FloatArray:
        found: FloatArray = np.einsum("qi,ei...->eq...", functions, values[_stations()])
        return found

    ground = at_stations(foot.ground + inward)
    rise = at_stations(foot.coronet - foot.ground)
    t, rim_weight = leggauss(_RIM_POINTS)
    shape, slope = _rim_functions(t)  # (points, 3)
    up_at, up_weight = _gauss(_UP_POINTS)
    up, up_slope = _up_functions(up_at)  # (heights, k)
    tall = spread(shape, rise)
    bent = np.array([[1.0, 1.0, -2.0]] * _RIM_POINTS)
    by_rim, twist, curve, curve_up = (
        spread(f, v) for f, v in ((slope, ground), (slope, rise), (bent, ground), (bent, rise))
    )
    height, climb = _height(up_at)
    level = height[:, None]
    a_rim = by_rim[:, :, None] + level * twist[:, :, None]  # tangents of the surface
    a_up = tall[:, :, None] * climb[:, None]
    square = np.cross(a_rim, a_up)
    area = np.linalg.norm(square, axis=-1)
    normal = square / area[..., None]
    dual_rim = np.cross(a_up, normal) / area[..., None]
    dual_up = np.cross(normal, a_rim) / area[..., None]
    # how the normal turns along the rim and up the wall (Weingarten)
    twisted = _dot(twist[:, :, None] * climb[:, None], normal)
    curved = _dot(curve[:, :, None] + level * curve_up[:, :, None], normal)
    # a station's normal turns about the two directions that its own face has half way up
    rim_slope = np.gradient(ground + rise / 2, axis=0, edge_order=2)
    first = rise / np.linalg.norm(rise, axis=-1)[:, None]
    out = np.cross(rim_slope, first)
    out /= np.linalg.norm(out, axis=-1)[:, None]
    return _Middle(
        rise=rise,
        twist=twist,
        tall=tall,
        by_rim=by_rim,
        up=up,
        up_slope=up_slope,
        up_length=up_weight * climb,
        weight=rim_weight[:, None] * up_weight,
        normal=normal,
        area=area,
        dual_rim=dual_rim,
        dual_up=dual_up,
        n_rim=-(curved[..., None] * dual_rim + twisted[..., None] * dual_up),
        n_up=-twisted[..., None] * dual_rim,
        turns=np.stack([first, np.cross(out, first)], axis=1),
    )


def _strains(middle: _Middle) -> FloatArray:
    """What each movement strains at each point: stretch, bending and shear across (8 rows)."""
    shape, slope = _rim_functions(leggauss(_RIM_POINTS)[0])
    by_s = np.einsum("qi,hk->qhik", slope, middle.up)[None]
    by_h = np.einsum("qi,hk->qhik", shape, middle.up_slope)[None]
    turn_at = middle.turns[_stations()]  # (pieces, 3, 2, 3)

    def along(direction: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Shape functions' slope along a direction, and the normal's."""
        s, h = _dot(middle.dual_rim, direction), _dot(middle.dual_up, direction)
        slopes = s[..., None, None] * by_s + h[..., None, None] * by_h
        return slopes, s[..., None] * middle.n_rim + h[..., None] * middle.n_up

    def moving(slopes: FloatArray, direction: FloatArray) -> FloatArray:
        """Row for a movement's part along `direction`: (pieces, points, heights, 3, 3, k)."""
        found: FloatArray = np.einsum("eqhik,eqhc->eqhick", slopes, direction)
        return found

    def turning(slopes: FloatArray, direction: FloatArray) -> FloatArray:
        parts = np.einsum("eiac,eqhc->eqhia", turn_at, direction)
        found: FloatArray = slopes[..., :, None, :] * parts[..., None]
        return found

    a_up = middle.tall[:, :, None] * np.ones((middle.up.shape[0], 1))
    tubule = a_up / np.linalg.norm(a_up, axis=-1)[..., None]
    beside = np.cross(middle.normal, tubule)
    one, n_one = along(tubule)
    two, n_two = along(beside)
    value = np.broadcast_to(np.einsum("qi,hk->qhik", shape, middle.up)[None], one.shape)
    none = np.zeros((*one.shape[:4], 2, DEGREE + 1))
    rows = [
        (moving(one, tubule), none),
        (moving(two, beside), none),
        (moving(one, beside) + moving(two, tubule), none),
        (moving(one, n_one), turning(one, tubule)),
        (moving(two, n_two), turning(two, beside)),
        (moving(one, n_two) + moving(two, n_one), turning(one, beside) + turning(two, tubule)),
        (moving(one, middle.normal), turning(value, tubule)),
        (moving(two, middle.normal), turning(value, beside)),
    ]
    strains = np.stack([np.concatenate(row, axis=-2) for row in rows], axis=3)
    return strains.reshape(*strains.shape[:4], _DOFS)


def _held(turns: FloatArray) -> FloatArray:
    """What the coronet's hold adds for each pair of movements, by the functions along the rim."""
    shape = _rim_functions(leggauss(_RIM_POINTS)[0])[0]
    basis = np.concatenate(
        [np.broadcast_to(np.eye(3), (PIECES, 3, 3, 3)), turns[_stations()]], axis=2
    )  # (pieces, stations, five movements, 3)
    dots = np.einsum("eicx,ejdx->eicjd", basis, basis)
    kind = np.array([0, 0, 0, 1, 1])
    which = (kind[:, None] + kind)[None, None, :, None, :] == np.arange(3)[
        :, None, None, None, None
    ]
    pairs = np.einsum("qi,qj->qij", shape, shape)
    held: FloatArray = np.einsum(
        "qij,eicjd,wicjd->eqwicjd", pairs, dots, np.broadcast_to(which, (3, 3, 5, 3, 5))
    )
    return held


def _bars(middle: _Middle) -> tuple[FloatArray, FloatArray]:
    """The bars at both ends of the wall: their axes, and products of functions up the wall."""
    bars, powers = [], []
    for end, side in ((0, 1.0), (-1, -1.0)):
        turn = np.radians(BAR_DEG)
        way = np.array([np.cos(turn), side * np.sin(turn), 0.0])
        flat = np.cross(way, middle.turns[end, 0])
        flat /= np.linalg.norm(flat)
        bars.append(np.stack([way, np.cross(flat, way), flat]))
        long = np.linalg.norm(middle.rise[end])
        powers.append(np.einsum("h,hk,hl->kl", middle.up_length * long, middle.up, middle.up))
    return np.array(bars), np.array(powers)


def _surface(shell: Shell) -> _Surface:
    middle = _middle(shell)
    at_ground = np.linalg.norm(np.cross(middle.by_rim, middle.tall), axis=-1)
    at_top = np.linalg.norm(np.cross(middle.by_rim + middle.twist, middle.tall), axis=-1)
    bar_axes, edge_power = _bars(middle)
    return _Surface(
        strains=_strains(middle),
        weight=middle.area * middle.weight,
        height_mm=middle.tall[..., 2],
        area_low=at_ground,
        area_rise=at_top - at_ground,
        rim_weight=np.broadcast_to(leggauss(_RIM_POINTS)[1], at_ground.shape),
        turns=middle.turns,
        held=_held(middle.turns),
        bar_axes=bar_axes,
        edge_power=edge_power,
    )


def _in_pairs(strains: FloatArray, weight: FloatArray) -> FloatArray:
    """Products of strains, summed up the wall, for each of the ten stiffnesses."""
    rows = np.moveaxis(strains, 3, 0)  # (8, pieces, points, heights, dofs)
    weighed = rows * weight[..., None]

    def pair(a: int, b: int) -> FloatArray:
        found: FloatArray = rows[a].swapaxes(-1, -2) @ weighed[b]
        return found

    terms = []
    for low in (0, 3):
        mixed = pair(low, low + 1)
        terms += [
            pair(low, low),
            mixed + mixed.swapaxes(-1, -2),
            pair(low + 1, low + 1),
            pair(low + 2, low + 2),
        ]
    return np.stack([*terms, pair(6, 6), pair(7, 7)], axis=2)

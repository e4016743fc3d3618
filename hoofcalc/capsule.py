"""The foot in three dimensions: ground ring, coronary ring, wall and tubules, from two views.

A capsule is two rings of as many points each. Point i of the ground ring and
point i of the coronary ring are the two ends of one tubule, a straight line.
Axes: x forward, y to the horse's left, z up. The rings run counter-clockwise as
seen from above: right heel, toe, left heel. Lengths are in mm, angles in degrees.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

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
from hoofcalc.profile import Profile, line_angle_deg

__all__ = ["Capsule", "Mesh", "build_capsule", "plain_outline", "write_stl"]

#: What an STL file says of itself, in at most 80 bytes.
_HEADER = b"Foot capsule, mm; a model, no diagnosis. Lame or sore feet: veterinary surgeon."

#: How far, as a part, an outline may differ in length from the profile it is fitted to.
_LENGTH_MISMATCH = 0.10
#: Half the opening of the default outline, as an angle round its ellipse [degrees].
_HEEL_AT_DEG = 125.0


class Mesh(NamedTuple):
    """A closed surface of triangles; made by `Capsule.mesh`.

    Parameters
    ----------
    vertices_mm : array
        Corners [mm], shape (..., m, 3).
    faces : array
        Three corner numbers for each triangle, counter-clockwise from outside [-].

    References
    ----------
    Definition.

    Examples
    --------
    >>> Mesh(np.eye(3), np.array([[0, 1, 2]])).faces.shape
    (1, 3)
    """

    vertices_mm: FloatArray
    faces: NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Capsule:
    """A foot as two rings joined by straight tubules, with a wall of given thickness.

    As a solid the capsule is filled: ground ring below, coronary ring above,
    ruled side between them, and where the wall is open at the heel a ruled side
    across the heels too. As a bearing wall it is the rim alone, inside the ground
    ring, open or closed behind. Tubules are straight, and the wall does not bulge
    between the rings: a dished or bulging wall is outside the model. Several feet
    of as many points each may be stacked in leading axes.

    Parameters
    ----------
    ground, coronet : array
        The two rings [mm], shape (..., n, 3), counter-clockwise seen from above;
        outer edge of the wall at the ground, and the coronary band.
    thickness_mm : float or array
        Thickness of the wall at the ground, as seen from below, square to the
        rim [mm]; one number or shape (..., n). The wall lies inside the ring.
    heel_open : bool
        Whether the bearing wall is open between the last point and the first.
        Without it the rim is a closed ring.

    Raises
    ------
    ValueError
        If the rings differ in shape, hold fewer than 3 points, cross themselves
        or fold back (seen from their middle), run clockwise, if the tubules cross
        each other, if the coronary band does not lie above the ground ring, if a
        thickness is not above 0, or if the wall is too thick for the bend of the rim.

    References
    ----------
    Model of our own. That tubules run straight from the coronary band to the
    ground: common practice, no source.

    Examples
    --------
    >>> turn = np.radians(np.arange(0, 360, 2.0))
    >>> ring = np.stack([np.cos(turn), np.sin(turn), 0 * turn], axis=-1)
    >>> cone = Capsule(60 * ring, 50 * ring + [0, 0, 80], thickness_mm=8)
    >>> float(cone.lengths_mm[0]), cone.volume_mm3
    (80.62, 762205.0)
    """

    ground: FloatArray
    coronet: FloatArray
    thickness_mm: FloatArray
    heel_open: bool = False

    def __post_init__(self) -> None:
        ground = points("ground", self.ground, 3)
        coronet = points("coronet", self.coronet, 3)
        if ground.ndim < 2 or ground.shape[-2] < 3:
            raise ValueError(f"ground must be a ring of at least 3 points (got {ground.shape})")
        if ground.shape != coronet.shape:
            raise ValueError(
                "ground and coronet must be rings of the same size"
                f" (got shapes {ground.shape} and {coronet.shape})"
            )
        thickness = numbers("thickness_mm", self.thickness_mm, above=0)
        try:
            thickness = np.broadcast_to(thickness, ground.shape[:-1])
        except ValueError:
            raise ValueError(
                f"thickness_mm must be one number or as many as the rings, {ground.shape[:-1]}"
                f" (got {thickness.shape})"
            ) from None
        for name, value in (("ground", ground), ("coronet", coronet), ("thickness_mm", thickness)):
            kept = value.copy()
            kept.flags.writeable = False  # frozen means the arrays too
            object.__setattr__(self, name, kept)
        _refuse_crossed("the ground ring", ground)
        _refuse_crossed("the coronary ring", coronet)
        refuse_where(
            coronet[..., 2] <= ground[..., 2],
            "the coronary band must lie above the ground ring (got {above:g} mm above it)",
            above=coronet[..., 2] - ground[..., 2],
        )
        refuse_where(
            _pinches(ground, coronet),
            "the tubules cross each other between the ground ring and the coronary ring",
        )
        # the middle line of the wall must run the same way as its outer edge
        outer, middle = _steps(ground[..., :2]), _steps(self.bearing_points_mm)
        folded = _dot(outer, middle) <= 0
        refuse_where(
            folded[..., :-1] if self.heel_open else folded,
            "thickness_mm is too great for the bend of the rim: the wall would fold"
            " into itself (got {thick:g} mm)",
            thick=self.thickness_mm[..., :-1] if self.heel_open else self.thickness_mm,
        )

    @property
    def tubules(self) -> FloatArray:
        """Unit vectors along the tubules, ground to coronary band [-], shape (..., n, 3)."""
        return _unit(self.coronet - self.ground)

    @property
    def lengths_mm(self) -> FloatArray:
        """Lengths of the tubules [mm], shape (..., n)."""
        return _length(self.coronet - self.ground)

    @property
    def slopes_deg(self) -> FloatArray:
        """Slope of each tubule in the side view, up and back from the ground [degrees]."""
        rise = self.coronet - self.ground
        return np.degrees(np.arctan2(rise[..., 2], -rise[..., 0]))

    @property
    def back_fraction(self) -> FloatArray:
        """How far back each point of the ground ring lies, 0 foremost to 1 hindmost [-]."""
        x = self.ground[..., 0]
        front = x.max(axis=-1, keepdims=True)
        back: FloatArray = (front - x) / (front - x.min(axis=-1, keepdims=True))
        return back

    @property
    def rim(self) -> FloatArray:
        """Unit vectors along the rim, level, the way the ring runs [-], shape (..., n, 3)."""
        return _rim(self.ground, self.heel_open)

    @property
    def outward(self) -> FloatArray:
        """Unit vectors square to the outer face of the wall [-], shape (..., n, 3)."""
        return _unit(np.cross(self.rim, self.tubules))

    @property
    def wall_thickness_mm(self) -> FloatArray:
        """Thickness of the wall square to its face [mm], shape (..., n)."""
        return self.thickness_mm * _dot(self.outward, _level_outward(self.rim))

    @property
    def bearing_points_mm(self) -> FloatArray:
        """Points on the ground in the middle of the wall's thickness [mm], shape (..., n, 2)."""
        inward = self.thickness_mm[..., None] / 2 * _level_outward(self.rim)
        return (self.ground - inward)[..., :2]

    @property
    def widths_mm(self) -> FloatArray:
        """Length of rim that each point stands for, in mid-thickness [mm], shape (..., n)."""
        ahead = _length(_steps(self.bearing_points_mm))
        if self.heel_open:
            ahead[..., -1] = 0.0
        return (ahead + np.roll(ahead, 1, axis=-1)) / 2

    @property
    def bearing_areas_mm2(self) -> FloatArray:
        """Area of wall on the ground that each point stands for [mm2], shape (..., n)."""
        return self.widths_mm * self.thickness_mm

    @property
    def volume_mm3(self) -> Result:
        """Volume of the filled capsule [mm3], exact for its ruled sides."""
        corners = _corners(self.mesh())
        # divergence theorem: tetrahedra from one point to every face
        corners = corners - corners[..., :1, :1, :]
        a, b, c = corners[..., 0, :], corners[..., 1, :], corners[..., 2, :]
        return plain(np.sum(a * np.cross(b, c), axis=(-2, -1)) / 6)

    @property
    def surface_mm2(self) -> Result:
        """Whole surface of the filled capsule, ground and top included [mm2]."""
        return plain(_face_areas(self.mesh()).sum(axis=-1))

    def mesh(self) -> Mesh:
        """The filled capsule as triangles: watertight, every face turned outward.

        Each side panel is four triangles about its middle, so that the volume is
        that of the ruled side and mirrored feet give mirrored meshes; ground and
        top are fans about their middles.

        Returns
        -------
        Mesh
            `vertices_mm` [mm], shape (..., 3 n + 2, 3), and `faces`, shape
            (6 n, 3): three vertex numbers each, counter-clockwise from outside.

        References
        ----------
        Definition.

        Examples
        --------
        >>> square = np.array([[1.0, -1, 0], [1, 1, 0], [-1, 1, 0], [-1, -1, 0]])
        >>> box = Capsule(square, square + [0, 0, 2], thickness_mm=0.2)
        >>> vertices, faces = box.mesh()
        >>> vertices.shape, faces.shape, box.volume_mm3
        ((14, 3), (24, 3), 8.0)
        """
        ground, coronet = self.ground, self.coronet
        ring = ground + coronet
        middles = (ring + np.roll(ring, -1, axis=-2)) / 4
        caps = [_middle(ring)[..., None, :] for ring in (ground, coronet)]
        vertices = np.concatenate([ground, coronet, middles, *caps], axis=-2)
        n = ground.shape[-2]
        low = np.arange(n)
        low_next = np.roll(low, -1)
        high, high_next, middle = low + n, low_next + n, low + 2 * n
        under, over = np.full(n, 3 * n), np.full(n, 3 * n + 1)
        triangles = [
            (low, low_next, middle),
            (low_next, high_next, middle),
            (high_next, high, middle),
            (high, low, middle),
            (low_next, low, under),
            (high, high_next, over),
        ]
        return Mesh(vertices, np.concatenate([np.stack(three, axis=-1) for three in triangles]))


def plain_outline(length_mm: ArrayLike, width_mm: ArrayLike, count: int = 181) -> FloatArray:
    """A default shape of the bearing edge, seen from below: an ellipse cut off at the heels.

    x = a cos t, y = (width / 2) sin t, for t from -125 to 125 degrees, with a such
    that toe to heels is the length asked for. The two heels stand 0.82 of the
    greatest width apart. A formula to start from where no photograph is at hand;
    no foot is quite so even.

    Parameters
    ----------
    length_mm : float or array
        From the toe to the line of the two heels [mm].
    width_mm : float or array
        Greatest width [mm].
    count : int
        How many points [-].

    Returns
    -------
    array
        Points forward and left [mm], shape (..., count, 2), right heel first; the
        heels stand at x = 0.

    Raises
    ------
    ValueError
        If `length_mm` or `width_mm` is not above 0, `count` is no whole number of at least 3, or
        the shapes do not go together.

    References
    ----------
    Model of our own.

    Examples
    --------
    >>> outline = plain_outline(100, 124)
    >>> float(outline[90, 0]), float(outline[0, 1])  # toe, right heel
    (100.0, -50.79)
    """
    length = numbers("length_mm", length_mm, above=0)
    width = numbers("width_mm", width_mm, above=0)
    length, width = together(length_mm=length, width_mm=width)
    many = int(numbers("count", count, at_least=3, whole=True))
    turn = np.radians(np.linspace(-_HEEL_AT_DEG, _HEEL_AT_DEG, many))
    behind = np.cos(turn[0])
    x = (np.cos(turn) - behind) / (1 - behind)
    return np.stack([length[..., None] * x, width[..., None] / 2 * np.sin(turn)], axis=-1)


def build_capsule(
    profile: Profile,
    outline: ArrayLike | None = None,
    taper: ArrayLike = 0.85,
    *,
    width_mm: ArrayLike | None = None,
    toe_thickness_mm: ArrayLike = 10.0,
    heel_thickness_mm: ArrayLike = 5.5,
    thickness_across: str = "face",
    per_side: int = 90,
) -> Capsule:
    """The capsule of a foot from its side view and its outline from below.

    Assumptions, each a choice: the coronary band is a straight line in the side
    view. Each tubule's slope in the side view depends on how far back it meets the
    ground, by `hoofcalc.profile.line_angle_deg` (toe angle to heel angle, evenly
    along the bearing length), so the side view of the model shows the profile's
    toe and heel angles exactly. Sideways the coronary ring is the ground ring
    drawn in by `taper`. The wall thins evenly from toe to heel. It is open behind.

    Equation: Slope of a tubule = toe angle - back (toe angle - heel angle), back from 0 at the
    toe to 1 at the heels; print of the wall = thickness / (level outward part of the face's
    normal).

    Parameters
    ----------
    profile : Profile
        Landmarks from the side; may hold several feet.
    outline : array, optional
        Points of the bearing edge, forward and left [mm], shape (m, 2), from one
        heel buttress round the toe to the other; y = 0 is the mid-line of the
        foot. (In a picture from below with the toe upwards the horse's left lies
        on the right.) It is moved and, by at most a tenth, stretched lengthwise so
        that toe and heels stand where the profile has them. Left out: `plain_outline`.
    taper : float or array
        Width at the coronary band as a part of the width at the ground [-].
    width_mm : float or array, optional
        Greatest width at the ground [mm]. Left out: the outline's own, or for the
        default shape 1.2 times the bearing length.
    toe_thickness_mm, heel_thickness_mm : float or array
        Thickness of the wall at toe and heels [mm]. The defaults are a choice at the thin
        end of what was read, fore feet: toe 9.5 to 15.9, quarters 6.4 to 9.5 (ours 7.75);
        for the heels no figure was found, only that the wall thins towards them. In which
        direction was measured is not said.
    thickness_across : str
        "face": the thicknesses are square to the face of the wall, and its print on the
        ground follows: the flatter the wall lies, the wider it prints. "ground": they are
        measured along the ground, so that a flatter wall is a thinner one. Which of the
        two stays the same when a heel runs under is not known; the default is a choice.
    per_side : int
        Tubules from the toe to each heel; there are twice as many and one [-].

    Returns
    -------
    Capsule
        Points run from the right heel round the toe (number `per_side`) to the
        left heel.

    Raises
    ------
    ValueError
        If `outline` does not run from heel to heel round a single toe, does not reach to both
        sides of the mid-line, crosses itself, or differs in length from the bearing length by
        more than a tenth; if tubules cross below the coronary band; if `toe_thickness_mm`,
        `heel_thickness_mm` or `width_mm` is not above 0, `taper` not above 0 and at most 1.5,
        `thickness_across` neither "face" nor "ground", or `per_side` no whole number of at least 2;
        and as `Capsule` does.

    References
    ----------
    Model of our own. Thickness: Lungwitz A., A Textbook of Horseshoeing, p. 26, citing Mayer
    (read); toe, quarter and heel as 4 : 3 : 2 in fore feet, German anatomy texts (from memory).
    That the capsule is narrower at the coronary band: common practice, no source.

    Examples
    --------
    >>> side = Profile((110, 0), (40, 80), (0, 0), (-40, 44))
    >>> foot = build_capsule(side)
    >>> foot.slopes_deg[[90, 0]] - [side.toe_angle_deg, side.heel_angle_deg]
    array([0.000, 0.000])
    >>> float(foot.bearing_areas_mm2.sum())
    2622.4
    """
    half = int(numbers("per_side", per_side, at_least=2, whole=True))
    across = choice("thickness_across", thickness_across, ("face", "ground"))
    drawn_in = numbers("taper", taper, above=0, at_most=1.5)
    length = numbers("bearing_length_mm", profile.bearing_length_mm)
    shape, own_width = _seen_from_below(outline, length, half)
    wide = own_width if width_mm is None else numbers("width_mm", width_mm, above=0)
    _, wide, drawn_in, at_toe, at_heel = together(
        bearing_length_mm=length,
        width_mm=wide,
        taper=drawn_in,
        toe_thickness_mm=numbers("toe_thickness_mm", toe_thickness_mm, above=0),
        heel_thickness_mm=numbers("heel_thickness_mm", heel_thickness_mm, above=0),
    )
    back = (shape[:, 0].max() - shape[:, 0]) / np.ptp(shape[:, 0])  # 0 toe, 1 heel
    x, x_top, z_top = _seen_from_the_side(profile, back)
    y = shape[:, 1] * (wide[..., None] / np.ptp(shape[:, 1]))
    y_top = y * drawn_in[..., None]
    zero = np.zeros(np.broadcast_shapes(x.shape, y.shape))
    ground = np.stack([x + zero, y + zero, zero], axis=-1)
    coronet = np.stack([x_top + zero, y_top + zero, z_top + zero], axis=-1)
    thick = at_toe[..., None] + back * (at_heel - at_toe)[..., None]
    if across == "face":
        rim = _rim(ground, heel_open=True)
        face = _unit(np.cross(rim, coronet - ground))
        thick = thick / _dot(face, _level_outward(rim))
    return Capsule(ground, coronet, thick, heel_open=True)


def write_stl(
    capsule: Capsule, target: str | os.PathLike[str] | BinaryIO, overwrite: bool = False
) -> None:
    """Write the filled capsule of one foot as a binary STL file, in mm.

    Parameters
    ----------
    capsule : Capsule
        One foot.
    target : path or binary file
        Where to. A path that exists is left alone unless `overwrite` is given.
    overwrite : bool
        Whether an existing file may be replaced.

    Returns
    -------
    None
        The file holds 84 bytes and 50 for each triangle; lengths are in mm.

    Raises
    ------
    ValueError
        If the capsule holds several feet, or the file exists and `overwrite` was
        not given.

    References
    ----------
    3D Systems, StereoLithography Interface Specification, 1988: 80 bytes of header,
    a 32-bit count, then for each triangle normal, three corners (32-bit floats,
    little-endian) and 16 empty bits. From memory.

    Examples
    --------
    >>> import io
    >>> square = np.array([[1.0, -1, 0], [1, 1, 0], [-1, 1, 0], [-1, -1, 0]])
    >>> file = io.BytesIO()
    >>> write_stl(Capsule(square, square + [0, 0, 2], thickness_mm=0.2), file)
    >>> len(file.getvalue())
    1284
    """
    if capsule.ground.ndim != 2:
        raise ValueError(
            f"capsule must be one foot to be written (got leading axes {capsule.ground.shape[:-2]})"
        )
    corners = _corners(capsule.mesh())
    normal = _unit(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]))
    records = np.zeros(
        len(corners), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("empty", "<u2")]
    )
    records["normal"] = normal
    records["corners"] = corners
    content = (
        _HEADER.ljust(80) + np.uint32(len(corners)).astype("<u4").tobytes() + records.tobytes()
    )
    if not isinstance(target, str | os.PathLike):
        target.write(content)
        return
    try:
        with Path(target).open("wb" if overwrite else "xb") as file:
            file.write(content)
    except FileExistsError:
        raise ValueError(
            f"{os.fspath(target)} exists already; take another name, or say overwrite=True"
        ) from None


def _length(vector: FloatArray) -> FloatArray:
    """Length of each vector."""
    length: FloatArray = np.linalg.norm(vector, axis=-1)
    return length


def _unit(vector: FloatArray) -> FloatArray:
    """Each vector at length 1."""
    return vector / _length(vector)[..., None]


def _dot(a: FloatArray, b: FloatArray) -> FloatArray:
    """The dot product of each pair of vectors."""
    product: FloatArray = np.sum(a * b, axis=-1)
    return product


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    """The cross product of plane vectors."""
    product: FloatArray = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return product


def _steps(ring: FloatArray) -> FloatArray:
    """From each point of a ring to the next, the last to the first."""
    return np.roll(ring, -1, axis=-2) - ring


def _middle(ring: FloatArray) -> FloatArray:
    """The middle of a ring's line, so that it does not matter how its points are spread."""
    long = _length(_steps(ring))[..., None]
    middle: FloatArray = np.sum((ring + _steps(ring) / 2) * long, axis=-2) / np.sum(long, axis=-2)
    return middle


def _refuse_crossed(name: str, ring: FloatArray) -> None:
    """Refuse a ring that crosses itself, folds back or runs clockwise, seen from its middle."""
    arms = ring[..., :2] - _middle(ring[..., :2])[..., None, :]
    after = np.roll(arms, -1, axis=-2)
    turned = _cross(arms, after)
    refuse_where(
        turned.sum(axis=-1) < 0,
        f"{name} runs clockwise seen from above; it must run from the right heel round the toe"
        " to the left heel",
    )
    refuse_where(turned <= 0, f"{name} crosses itself, folds back or holds a point twice")
    # all steps turn the same way: it is simple if they go round just once
    rounds = np.arctan2(turned, _dot(arms, after)).sum(axis=-1) / (2 * np.pi)
    refuse_where(rounds > 1.5, f"{name} crosses itself: it goes round more than once")


def _pinches(ground: FloatArray, coronet: FloatArray) -> NDArray[np.bool_]:
    """Where a ring somewhere between the two, at part s of the way up, would fold back.

    Seen from its middle such a ring turns from each point to the next by
    A (1 - s)^2 + B s (1 - s) + C s^2; with A and C above 0 that stays above 0 all the
    way if and only if B > -2 sqrt(A C).
    """
    low, high = (ring[..., :2] - _middle(ring[..., :2])[..., None, :] for ring in (ground, coronet))
    low_next, high_next = np.roll(low, -1, axis=-2), np.roll(high, -1, axis=-2)
    a, c = _cross(low, low_next), _cross(high, high_next)
    b = _cross(low, high_next) + _cross(high, low_next)
    pinched: NDArray[np.bool_] = b <= -2 * np.sqrt(a * c) * (1 - 1e-9)
    return pinched


def _rim(ground: FloatArray, heel_open: bool) -> FloatArray:
    """Unit vectors along the rim, level, the way the ring runs."""
    xy = ground[..., :2]
    along = (np.roll(xy, -1, axis=-2) - np.roll(xy, 1, axis=-2)) / 2
    if heel_open:  # one-sided differences of second order at the two heels
        along[..., 0, :] = -1.5 * xy[..., 0, :] + 2 * xy[..., 1, :] - 0.5 * xy[..., 2, :]
        along[..., -1, :] = 1.5 * xy[..., -1, :] - 2 * xy[..., -2, :] + 0.5 * xy[..., -3, :]
    return _unit(np.concatenate([along, np.zeros_like(along[..., :1])], axis=-1))


def _level_outward(rim: FloatArray) -> FloatArray:
    """Level unit vectors square to the rim, pointing out of the foot."""
    return np.stack([rim[..., 1], -rim[..., 0], np.zeros_like(rim[..., 0])], axis=-1)


def _corners(mesh: Mesh) -> FloatArray:
    """The corners of each triangle, shape (..., faces, 3, 3)."""
    corners: FloatArray = mesh.vertices_mm[..., mesh.faces, :]
    return corners


def _face_areas(mesh: Mesh) -> FloatArray:
    """The area of each triangle [mm2]."""
    corners = _corners(mesh)
    a, b, c = corners[..., 0, :], corners[..., 1, :], corners[..., 2, :]
    return _length(np.cross(b - a, c - a)) / 2


def _stations(outline: FloatArray, half: int) -> FloatArray:
    """The outline at evenly spaced places, right heel to left heel, the toe exactly one of them."""
    # twice the area under the closed outline is negative where it runs clockwise
    if _cross(outline, np.roll(outline, -1, axis=0)).sum() < 0:
        outline = outline[::-1]
    _refuse_crossed("the outline", outline)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(outline, axis=0).T))])
    x = outline[:, 0]
    foremost = gone[x >= x.max() - 1e-9 * np.ptp(x)]
    toe = (foremost[0] + foremost[-1]) / 2  # the middle of a blunt toe
    at_toe = np.interp(toe, gone, x)
    if at_toe < x.max() - 1e-6 * np.ptp(x) or max(x[0], x[-1]) > x.min() + np.ptp(x) / 2:
        raise ValueError(
            "outline must run from one heel, round a single toe with the largest x, to the other"
        )
    at = np.concatenate([np.linspace(0, toe, half + 1), np.linspace(toe, gone[-1], half + 1)[1:]])
    return np.stack([np.interp(at, gone, outline[:, axis]) for axis in (0, 1)], axis=-1)


def _seen_from_below(
    outline: ArrayLike | None, length: FloatArray, half: int
) -> tuple[FloatArray, FloatArray]:
    """Stations along the outline, given or plain, in its own scale, and its width [mm]."""
    if outline is None:
        return _stations(plain_outline(1.0, 1.0), half), 1.2 * length
    given = points("outline", outline, 2)
    if given.ndim != 2 or len(given) < 3:
        raise ValueError(
            f"outline must hold at least 3 points, shape (m, 2) (got shape {given.shape})"
        )
    shape = _stations(given, half)
    refuse_where(
        np.abs(np.ptp(shape[:, 0]) / length - 1) > _LENGTH_MISMATCH,
        "outline must be within a tenth of the profile's bearing length, {length:.4g} mm"
        " (got {own:.4g} mm); check the scale of the two photographs",
        own=np.ptp(shape[:, 0]),
        length=length,
    )
    if shape[:, 1].min() >= 0 or shape[:, 1].max() <= 0:
        raise ValueError("outline must reach to both sides of the mid-line, y = 0")
    return shape, np.asarray(np.ptp(shape[:, 1]))


def _seen_from_the_side(
    profile: Profile, back: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Where each tubule meets the ground (x) and the line of the coronary band (x, z)."""
    toe_foot, toe_top, heel_foot, heel_top = _side_view(profile)
    x = toe_foot[..., :1] + back * (heel_foot - toe_foot)[..., :1]
    slope = np.radians(_slopes_deg(profile, back))
    direction = np.stack([-np.cos(slope), np.sin(slope)], axis=-1)
    band = (heel_top - toe_top)[..., None, :]
    from_toe = np.stack([x, np.zeros_like(x)], axis=-1) - toe_top[..., None, :]
    # from_toe + reach * direction lies on the line of the band: cross product zero
    reach = -_cross(from_toe, band) / _cross(direction, band)
    x_top = x + reach * direction[..., 0]
    step = np.diff(x_top[..., np.argsort(back)], axis=-1)
    refuse_where(
        np.any(step > 1e-9 * np.ptp(x_top, axis=-1, keepdims=True), axis=-1),
        "the tubules between toe and heel cross below the coronary band; check the landmarks"
        " (toe {toe:.4g}, heel {heel:.4g} degrees)",
        toe=profile.toe_angle_deg,
        heel=profile.heel_angle_deg,
    )
    return x, x_top, reach * direction[..., 1]


def _side_view(profile: Profile) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """The four landmarks forward and up, turned so that the bearing line lies level at z = 0."""
    toe, top, heel, heel_top = (
        np.asarray(getattr(profile, name), dtype=np.float64)
        for name in ("toe_ground", "toe_coronet", "heel_ground", "heel_coronet")
    )
    level = _unit(toe - heel)
    start = np.stack([heel[..., 0], np.zeros_like(heel[..., 0])], axis=-1)

    def turned(point: FloatArray) -> FloatArray:
        arm = point - heel
        return start + np.stack([_dot(arm, level), _cross(level, arm)], axis=-1)

    return turned(toe), turned(top), turned(heel), turned(heel_top)


def _slopes_deg(profile: Profile, back: FloatArray) -> FloatArray:
    """Slope in the side view of the line at each part of the way back, shape (..., n)."""
    first = back.reshape(-1, *(1,) * np.ndim(profile.toe_angle_deg))
    return np.moveaxis(np.asarray(line_angle_deg(profile, first)), 0, -1)

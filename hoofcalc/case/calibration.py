"""From pixels of a photograph to millimetres in one flat plane, by a length or a printed square.

Pixels are told to the right and down from the upper left corner of the upright picture, so that
the middle of its first pixel stands at (0.5, 0.5).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._inputs import FloatArray
from hoofcalc.case.storage import CaseError

#: A square that is seen from further round or steeper than this is refused [degrees].
FURTHEST_DEG = 30.0
_LEAST_SIDE_PX = 40.0
_LEAST_LENGTH_PX = 10.0
#: A lower edge steeper than this is another edge of the square; halfway is 45 [degrees].
_STEEPEST_EDGE_DEG = 60.0
_CORNERS = "lower left, lower right, upper right, upper left"


@dataclass(frozen=True, eq=False)
class Plane:
    """A flat plane in a photograph: pixels to millimetres and back.

    What stands before or behind the plane is not where it seems to be. Square to the camera, a
    line in a parallel plane keeps its angle, and its length is wrong by the ratio of the two
    distances from the camera: 20 mm nearer at 800 mm, 2.5 % too long. Seen from an angle a, a
    place that lies d before the plane is also shifted along it by d times tan(a). Neither the
    known length nor the square can tell or correct this, nor the bend that a lens adds near the
    picture's rim.

    Parameters
    ----------
    matrix
        Homography from (right, down, 1) [px] to (right, up, 1) [mm], shape (3, 3).
    """

    matrix: FloatArray

    def to_mm(self, points_px: ArrayLike) -> FloatArray:
        """Where places of the picture lie in the plane.

        Parameters
        ----------
        points_px
            To the right and down, shape (..., 2) [px].

        Returns
        -------
        array, shape (..., 2)
            To the right and up [mm].
        """
        return _through(self.matrix, points_px)

    def to_px(self, points_mm: ArrayLike) -> FloatArray:
        """Where places of the plane stand in the picture.

        Parameters
        ----------
        points_mm
            To the right and up, shape (..., 2) [mm].

        Returns
        -------
        array, shape (..., 2)
            To the right and down [px].
        """
        return _through(_inverse(self.matrix), points_mm)


def by_length(scale_px: ArrayLike, length_mm: float, level_px: ArrayLike) -> Plane:
    """The plane of a photograph taken square on, from a known length and the ground line.

    Camera turn and tilt are not corrected. Zero is the middle of the ground line.

    Parameters
    ----------
    scale_px
        The two ends of the known length, in either order, shape (2, 2) [px].
    length_mm
        The known length [mm], above 0.
    level_px
        Two points on the ground line, in either order, shape (2, 2) [px]. Up is the side of the
        line that is up in the picture.

    Returns
    -------
    Plane
        Pixels to millimetres.

    Raises
    ------
    CaseError
        If the two ends of a line lie (nearly) on the same spot.
    """
    scale, level = np.asarray(scale_px, np.float64), np.asarray(level_px, np.float64)
    for ends, name in ((scale, "known length"), (level, "ground line")):
        if np.hypot(*(ends[1] - ends[0])) < _LEAST_LENGTH_PX:
            raise CaseError(
                f"the two ends of the {name} lie closer together than {_LEAST_LENGTH_PX:g} "
                f"pixels. Place them as far apart as the {name} can be seen"
            )
    mm_per_px = length_mm / np.hypot(*(scale[1] - scale[0]))
    right = level[1] - level[0]
    right = right / np.hypot(*right) * (1.0 if right[0] >= 0 else -1.0) * mm_per_px
    turn = np.array([[right[0], right[1]], [right[1], -right[0]]])  # the second row is upwards
    matrix = np.eye(3)
    matrix[:2, :2] = turn
    matrix[:2, 2] = -turn @ level.mean(axis=0)
    return Plane(matrix)


def by_square(corners_px: ArrayLike, side_mm: float, middle_px: ArrayLike | None = None) -> Plane:
    """The plane of a printed square, with the camera's turn and tilt corrected.

    Zero is the lower left corner, and the lower edge is level.

    Parameters
    ----------
    corners_px
        Lower left, lower right, upper right and upper left corner as they lie in the picture,
        shape (4, 2) [px].
    side_mm
        Side of the square [mm], above 0.
    middle_px
        Middle of the picture [px], which tells how far askew the camera looked (see `seen_from`);
        None: as if the square stood in the middle. The plane itself does not depend on it.

    Returns
    -------
    Plane
        Pixels to millimetres.

    Raises
    ------
    CaseError
        If the corners are no square seen from the front, lie in another order, are too close
        together, or are seen from more than 30 degrees.

    References
    ----------
    Hartley R. and Zisserman A., Multiple View Geometry, 2nd ed. 2004, section 4.1 (from memory).
    """
    corners = np.asarray(corners_px, np.float64)
    _check_corners(corners)
    to_px = _square_to_px(corners, side_mm)
    askew_deg, move = seen_from(to_px, corners.mean(axis=0) if middle_px is None else middle_px)
    if askew_deg > FURTHEST_DEG:
        raise CaseError(
            f"the camera looked at the square {askew_deg:.0f} degrees askew, and no more than "
            f"{FURTHEST_DEG:g} can be corrected. Take the photograph again with the camera further "
            f"{move} (as seen in the picture), until it looks straight at the sheet"
        )
    return Plane(_inverse(to_px))


def seen_from(to_px: FloatArray, middle_px: ArrayLike) -> tuple[float, str]:
    """How far askew the camera looked at a square, and which way to move it.

    Near the middle of the picture, a flat plane that is turned by an angle a is shown shorter by
    cos(a) one way and not the other, whatever the focal length; so the ratio of the two singular
    values of the homography's derivative there is cos(a). It is coarse near 0 and sharp near 30:
    with corners placed to one pixel on a square of 300 pixels, a camera that looks straight reads
    as 7 degrees or so, and one that is 30 degrees askew as 30 within 2.

    Parameters
    ----------
    to_px
        Homography from the square's plane to the picture, shape (3, 3).
    middle_px
        Middle of the picture [px], of the whole picture as the camera took it. With the middle
        of the square instead it can be wrong by 10 degrees, where that stands far from it.

    Returns
    -------
    askew_deg
        Angle between the camera's view and the line square to the sheet [degrees].
    move
        Where to move the camera so that it looks straighter, such as "to the right and down".

    References
    ----------
    Derived from the camera of Hartley R. and Zisserman A., Multiple View Geometry, 2nd ed. 2004,
    section 8.1 (from memory): for K = (f, f, c), the derivative of K (r1 r2 t) at c is f / Z times
    the first two columns of a rotation, seen from the front; its singular values are f / Z and
    f / Z cos(a).
    """
    at = np.asarray(middle_px, np.float64)
    place = _through(_inverse(to_px), at)
    away = to_px[2, :2] @ place + to_px[2, 2]  # grows with the distance from the camera
    slope = (to_px[:2, :2] - np.outer(at, to_px[2, :2])) / away
    directions, sizes, _ = np.linalg.svd(slope)
    askew_deg = float(np.degrees(np.arccos(sizes[1] / sizes[0])))
    # Along the direction that is shown shorter, the camera must go to the far side.
    shorter = directions[:, 1]
    move = shorter * np.sign(np.linalg.solve(slope.T, to_px[2, :2] / away) @ shorter)
    words = []
    if abs(move[0]) > 0.4:  # about a quarter of a right angle
        words.append("to the right" if move[0] > 0 else "to the left")
    if abs(move[1]) > 0.4:
        words.append("down" if move[1] > 0 else "up")
    return askew_deg, " and ".join(words)


def refined_corners(pixels: NDArray[np.uint8], corners_px: ArrayLike) -> FloatArray:
    """Corners of the dark square, moved to where they are sharp in the picture.

    Parameters
    ----------
    pixels
        The upright picture, red, green and blue, shape (height, width, 3).
    corners_px
        As for `by_square`, as a person placed them, shape (4, 2) [px].

    Returns
    -------
    array, shape (4, 2)
        The corners [px]. One that has no corner of a dark square near stays as it was given.

    References
    ----------
    OpenCV, cornerSubPix.
    """
    corners = np.asarray(corners_px, np.float64)
    try:
        _check_corners(corners)
    except CaseError:
        return corners
    shortest = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T).min()
    reach = int(np.clip(shortest / 20, 3, 20))
    found = corners.copy()
    for number in range(4):
        to_next = corners[(number + 1) % 4] - corners[number]
        to_last = corners[number - 1] - corners[number]
        better = _sharpest(pixels, corners[number], reach, to_next, to_last)
        if better is not None:
            found[number] = better
    return found


# ---- inside ----------------------------------------------------------------------------------


def _inverse(matrix: FloatArray) -> FloatArray:
    return np.asarray(np.linalg.inv(matrix), dtype=np.float64)


def _through(matrix: FloatArray, places: ArrayLike) -> FloatArray:
    moved = np.asarray(places, np.float64) @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(moved[..., :2] / moved[..., 2:])


def _cross(first: FloatArray, second: FloatArray) -> FloatArray:
    return np.asarray(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0])


def _check_corners(corners: FloatArray) -> None:
    """A CaseError if four places are no square seen from the front, in the order that is asked."""
    edges = np.roll(corners, -1, axis=0) - corners
    if np.hypot(*edges.T).min() < _LEAST_SIDE_PX:
        raise CaseError(
            f"the square is too small in the picture: its corners lie closer together than "
            f"{_LEAST_SIDE_PX:g} pixels. Place each on its own corner, or take the photograph from "
            "nearer"
        )
    bends = _cross(edges, np.roll(edges, -1, axis=0))  # down is positive: anticlockwise is below 0
    slope_deg = np.degrees(np.arctan2(abs(edges[0, 1]), edges[0, 0]))
    if not (bends < 0).all():
        count = int((bends < 0).sum())
        if count in (1, 3):  # one corner lies inside the triangle of the others
            raise CaseError(
                "the four corners make no square: one lies between the others. Place each on its "
                f"own corner of the sheet's dark square ({_CORNERS})"
            )
        raise CaseError(
            "the corners of the square do not follow one another. Place them in this order, as "
            f"they lie in the picture: {_CORNERS}"
        )
    if slope_deg > _STEEPEST_EDGE_DEG:
        raise CaseError(
            "the corners of the square begin at the wrong one. Place them in this order, as they "
            f"lie in the picture: {_CORNERS}"
        )


def _square_to_px(corners: FloatArray, side: float) -> FloatArray:
    """Homography from a square of the plane to the picture.

    The two equations of each corner are solved in double precision: OpenCV's function takes single
    precision, which is too coarse for derivatives taken by small steps.
    """
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    rows, right = np.zeros((8, 8)), corners.ravel()
    for at, (x, y) in enumerate(square):
        u, v = corners[at]
        rows[2 * at] = [x, y, 1, 0, 0, 0, -u * x, -u * y]
        rows[2 * at + 1] = [0, 0, 0, x, y, 1, -v * x, -v * y]
    matrix = np.append(np.linalg.solve(rows, right), 1.0).reshape(3, 3)
    result: FloatArray = matrix @ np.diag([1 / side, 1 / side, 1.0])
    return result


def _sharpest(
    pixels: NDArray[np.uint8],
    corner: FloatArray,
    reach: int,
    to_next: FloatArray,
    to_last: FloatArray,
) -> FloatArray | None:
    """The sharp corner within `reach` pixels; None if there is none of a dark square."""
    import cv2

    height, width = pixels.shape[:2]
    centre = np.floor(corner).astype(int)
    low = centre - 3 * reach
    if (low < 0).any() or (low + 6 * reach + 1 > (width, height)).any():
        return None
    part = pixels[low[1] : low[1] + 6 * reach + 1, low[0] : low[0] + 6 * reach + 1]
    grey = cv2.cvtColor(np.ascontiguousarray(part), cv2.COLOR_RGB2GRAY)
    # OpenCV counts from the middle of the first pixel.
    start = (corner - 0.5 - low).astype(np.float32).reshape(1, 1, 2)
    stop = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_MAX_ITER, 50, 1e-3)
    moved = cv2.cornerSubPix(grey, start, (reach, reach), (-1, -1), stop).reshape(2)
    better = moved.astype(np.float64) + 0.5 + low
    if not np.isfinite(better).all() or np.hypot(*(better - corner)) > reach:
        return None
    # Is it one? Dark between the two edges, light outside, and hardly anything else.
    down, right = np.mgrid[: grey.shape[0], : grey.shape[1]]
    places = np.stack([right, down], axis=-1) + 0.5 + low - better
    inside = (_cross(np.broadcast_to(to_next, places.shape), places) < 0) & (
        _cross(places, np.broadcast_to(to_last, places.shape)) < 0
    )
    near = np.abs(places).max(axis=-1) <= 1.5 * reach
    dark, light = grey[inside & near].astype(float), grey[~inside & near].astype(float)
    if light.mean() - dark.mean() < 30:
        return None
    left_over = dark.var() * dark.size + light.var() * light.size
    whole = grey[near].astype(float)
    return better if left_over < 0.35 * whole.var() * whole.size else None

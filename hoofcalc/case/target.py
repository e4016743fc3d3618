"""The printed square finds itself: four markers in it tell where it stands and how large it is.

The markers are white on black, of OpenCV's open kind ArUco (4 x 4 cells, of 50), so that the
outer corners stay the sharp corners of a dark square that a person can place by hand as well. Which
four they are says how long the side is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoofcalc._inputs import FloatArray
from hoofcalc.case.calibration import refined_corners

#: Sides of squares that carry markers [mm]; those of the first are numbered 0 to 3, and so on.
SIDES_MM = (100.0, 60.0, 80.0, 120.0, 140.0)
#: Side of a marker, and how far it lies inside the square, as parts of the square's side.
_PART, _INSET = 0.30, 0.13
#: So many markers at least must be seen, and their corners fit one plane so well [px].
_FEWEST, _ROUGHEST_PX = 2, 2.0


@dataclass(frozen=True, eq=False)
class Target:
    """A square that was found in a photograph.

    Parameters
    ----------
    corners_px
        Lower left, lower right, upper right and upper left corner, shape (4, 2) [px].
    side_mm
        Side of the square as it was meant to be printed [mm].
    markers
        How many of its four markers were seen.
    spread_px
        How far the markers' corners lie beside one flat plane: root mean square [px].
    """

    corners_px: FloatArray
    side_mm: float
    markers: int
    spread_px: float


def _dictionary() -> Any:
    import cv2

    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)


def marker_corners(number: int) -> FloatArray:
    """Corners of one of the four markers in a square of side 1, clockwise from its upper left."""
    left = _INSET if number in (0, 3) else 1 - _INSET - _PART
    low = _INSET if number in (0, 1) else 1 - _INSET - _PART
    far = _PART
    return np.array([[left, low + far], [left + far, low + far], [left + far, low], [left, low]])


def cells(side_mm: float, number: int) -> NDArray[np.bool_] | None:
    """Which cells of a marker are white, from above; None for a side without markers."""
    if side_mm not in SIDES_MM:
        return None
    name = 4 * SIDES_MM.index(side_mm) + number
    white: NDArray[np.bool_] = np.asarray(_dictionary().generateImageMarker(name, 6)) == 0
    return white


def white_cells(side_mm: float) -> FloatArray:
    """Corners of all white cells of a square, from its lower left corner, shape (n, 4, 2) [mm]."""
    corner = np.array([[0, 0], [1, 0], [1, 1], [0, 1]])
    found = [np.empty((0, 4, 2))]
    for number in range(4):
        white = cells(side_mm, number)
        if white is not None:
            cell = side_mm * _PART / len(white)
            upper_left = side_mm * marker_corners(number)[0]
            at = np.argwhere(white)[:, ::-1] * [cell, -cell] + upper_left - [0, cell]
            found.append(at[:, None] + cell * corner)
    return np.concatenate(found)


def found_target(pixels: NDArray[np.uint8]) -> Target | None:
    """The printed square in a photograph; None where it is not found.

    Parameters
    ----------
    pixels
        The upright picture, red, green and blue, shape (height, width, 3).

    Returns
    -------
    Target or None
        Its corners, drawn to their sharp edges, and its side.

    References
    ----------
    Garrido-Jurado S. and others 2014, Automatic generation and detection of highly reliable
    fiducial markers under occlusion, Pattern Recognition 47 (from memory); OpenCV, aruco.
    """
    import cv2

    grey = cv2.cvtColor(np.ascontiguousarray(pixels), cv2.COLOR_RGB2GRAY)
    how = cv2.aruco.DetectorParameters()
    how.detectInvertedMarker = True
    how.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    seen, names, _ = cv2.aruco.ArucoDetector(_dictionary(), how).detectMarkers(grey)
    by_side: dict[int, dict[int, FloatArray]] = {}
    for corners, name in zip(seen, [] if names is None else names.ravel(), strict=True):
        # OpenCV counts from the middle of the first pixel
        by_side.setdefault(int(name) // 4, {})[int(name) % 4] = corners[0].astype(float) + 0.5
    by_side = {side: each for side, each in by_side.items() if side < len(SIDES_MM)}
    if not by_side:
        return None
    side, markers = max(by_side.items(), key=lambda each: len(each[1]))
    if len(markers) < _FEWEST:
        return None
    meant = np.vstack([marker_corners(number) for number in markers])
    places = np.vstack([*markers.values()])
    matrix, _ = cv2.findHomography(meant, places)

    def seen_at(unit: FloatArray) -> FloatArray:
        return np.asarray(cv2.perspectiveTransform(unit[None], matrix)[0], dtype=np.float64)

    spread = float(np.sqrt(np.mean((seen_at(meant) - places) ** 2)))
    if spread > _ROUGHEST_PX:
        return None
    outer = seen_at(np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]))
    return Target(refined_corners(pixels, outer), SIDES_MM[side], len(markers), spread)

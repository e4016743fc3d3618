"""A camera without a lens: where points in space stand in a photograph.

Places are told in the plane that is photographed: to the right, up, and out of it towards the
camera, in mm. Pixels are told to the right and down from the picture's upper left corner, so that
the middle of the first pixel stands at (0.5, 0.5).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray, points, refuse_where

#: A focal length is told as for a picture of this width, as telephones tell theirs [mm].
_FILM_WIDTH_MM = 36.0


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A pinhole camera before an upright plane, pointed at one place of it.

    Straight lines stay straight: the bend that a real lens adds at the picture's rim is not drawn.

    Parameters
    ----------
    width_px, height_px
        Size of the picture [px].
    focal_mm
        Focal length, told as for a picture 36 mm long [mm].
    distance_mm
        From the camera to the place that it is pointed at [mm].
    turn_deg
        How far round it stands: 0 looks square at the plane, positive to the right [degrees].
    tilt_deg
        How steeply it looks down; below 0 it looks up [degrees].
    roll_deg
        How far it is turned clockwise in the hands [degrees].
    height_mm
        Height of the camera above the zero line of the plane [mm]; None: such that the place it
        is pointed at stands in the middle of the picture.
    middle_mm
        The place it is pointed at, to the right and up in the plane [mm].
    """

    width_px: int = 1600
    height_px: int = 1200
    focal_mm: float = 52.0
    distance_mm: float = 750.0
    turn_deg: float = 0.0
    tilt_deg: float = 0.0
    roll_deg: float = 0.0
    height_mm: float | None = None
    middle_mm: tuple[float, float] | None = None

    @property
    def focal_px(self) -> float:
        """Focal length in pixels [px]."""
        return self.focal_mm / _FILM_WIDTH_MM * max(self.width_px, self.height_px)

    @cached_property
    def matrix(self) -> FloatArray:
        """From (right, up, out, 1) [mm] to pixels times the distance along the view, shape (3, 4).

        References
        ----------
        Hartley R. and Zisserman A., Multiple View Geometry, 2nd ed. 2004, section 6.1 (from
        memory).
        """
        turn, tilt, roll = np.radians([self.turn_deg, self.tilt_deg, self.roll_deg])
        to_camera = np.array(
            [np.sin(turn) * np.cos(tilt), np.sin(tilt), np.cos(turn) * np.cos(tilt)]
        )
        right = np.array([np.cos(turn), 0.0, -np.sin(turn)])
        down = np.cross(right, to_camera)
        stands = np.array([*(self.middle_mm or (0.0, 0.0)), 0.0]) + self.distance_mm * to_camera
        if self.height_mm is not None:
            stands[1] = self.height_mm
        # a camera turned clockwise sees the world turned the other way
        across = np.cos(roll) * right + np.sin(roll) * down
        downwards = np.cos(roll) * down - np.sin(roll) * right
        axes = np.stack([across, downwards, -to_camera])
        inner = np.array(
            [
                [self.focal_px, 0.0, self.width_px / 2],
                [0.0, self.focal_px, self.height_px / 2],
                [0.0, 0.0, 1.0],
            ]
        )
        matrix: FloatArray = inner @ np.column_stack([axes, -axes @ stands])
        return matrix

    def plane_matrix(
        self, origin_mm: ArrayLike, right_mm: ArrayLike, up_mm: ArrayLike
    ) -> FloatArray:
        """From two lengths along a flat surface to pixels, shape (3, 3).

        Parameters
        ----------
        origin_mm
            A place of the surface, right, up and out [mm].
        right_mm, up_mm
            Where one millimetre along each of its two directions leads [mm].

        Returns
        -------
        array, shape (3, 3)
            Homography from (first, second, 1) [mm] to pixels.
        """
        matrix = self.matrix
        columns = [
            matrix[:, :3] @ points("right_mm", right_mm, 3),
            matrix[:, :3] @ points("up_mm", up_mm, 3),
            matrix @ np.append(points("origin_mm", origin_mm, 3), 1.0),
        ]
        return np.stack(columns, axis=1)

    def to_px(self, places_mm: ArrayLike) -> FloatArray:
        """Where places stand in the picture.

        Parameters
        ----------
        places_mm
            Right and up in the plane, shape (..., 2), or right, up and out, shape (..., 3) [mm].

        Returns
        -------
        array, shape (..., 2)
            To the right and down [px]; may lie outside the picture.

        Raises
        ------
        ValueError
            If a place lies beside or behind the camera.
        """
        flat = np.shape(places_mm)[-1:] == (2,)
        places = points("places_mm", places_mm, 2 if flat else 3)
        matrix = self.matrix
        seen = places @ matrix[:, : places.shape[-1]].T + matrix[:, 3]
        refuse_where(seen[..., 2] <= 1.0, "places_mm must lie before the camera")
        return np.asarray(seen[..., :2] / seen[..., 2:])

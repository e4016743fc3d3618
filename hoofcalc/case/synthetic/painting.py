"""A flat painting in millimetres, with edges that lie where they are said to lie.

Surfaces are filled by the share of each pixel that they cover (matplotlib's Agg), so an edge is
true to a few hundredths of a pixel; streaks, hair and speckle on them are drawn by OpenCV.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import cv2
import numpy as np
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.path import Path
from matplotlib.transforms import Affine2D
from numpy.typing import ArrayLike, NDArray

from hoofcalc._inputs import FloatArray

#: Red, green and blue, or the share of every pixel that is covered: 0 to 255.
Picture = NDArray[np.uint8]
_FULL_LIGHT = 160.0


def thrice(share: Picture) -> Picture:
    """A share of every pixel for red, green and blue: arithmetic along a last axis of 3 is slow."""
    return np.asarray(cv2.cvtColor(share, cv2.COLOR_GRAY2RGB), dtype=np.uint8)


def laid(picture: Picture, colour: Picture, share: Picture) -> Picture:
    """A picture with a colour, times its share already, where it covers that share of a pixel."""
    below = cv2.multiply(picture, thrice(cv2.bitwise_not(share)), scale=1 / 255)
    return np.asarray(cv2.add(below, colour), dtype=np.uint8)


def as_light(light: NDArray[np.floating[Any]]) -> Picture:
    """Light for `lit`; 1 leaves a picture as it is."""
    return thrice(np.rint(_FULL_LIGHT * light).astype(np.uint8))


def lit(picture: Picture, light: Picture) -> Picture:
    """A picture in that light."""
    return np.asarray(cv2.multiply(picture, light, scale=1 / _FULL_LIGHT), dtype=np.uint8)


def grain(shape: tuple[int, int], noise: float, rng: np.random.Generator) -> Picture:
    """The noise of a camera about 128, for `grained`: alike in red, green and blue."""
    about = 128 + np.float32(noise) * rng.standard_normal(shape, dtype=np.float32)
    return thrice(np.rint(about).clip(0, 255).astype(np.uint8))


def grained(picture: Picture, noise: Picture, brighter: float = 1.0) -> Picture:
    """A picture with `grain` on it, brighter by that factor."""
    return np.asarray(cv2.addWeighted(picture, brighter, noise, 1.0, -128.0), dtype=np.uint8)


def as_opencv(matrix: FloatArray) -> FloatArray:
    """A homography between pixels counted from the picture's corner, as OpenCV counts them.

    It counts from the middle of the first pixel.
    """
    half = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
    return np.asarray(np.linalg.inv(half) @ matrix @ half)


def covered(outline_px: ArrayLike, width_px: int, height_px: int) -> Picture:
    """The share of every pixel that lies inside an outline.

    Parameters
    ----------
    outline_px
        Corners to the right and down [px], shape (n, 2); a pixel is 1 wide, the first from 0 to 1.
    width_px, height_px
        Size of the picture [px].

    Returns
    -------
    array, shape (height_px, width_px)
        0 to 255.
    """
    renderer = RendererAgg(width_px, height_px, 72)
    context = renderer.new_gc()
    context.set_snap(False)
    context.set_linewidth(0)
    corners = np.asarray(outline_px, dtype=np.float64)
    path = Path(np.vstack([corners, corners[:1]]), closed=True)
    upside_down = Affine2D().scale(1, -1).translate(0, height_px)  # Agg counts from below
    renderer.draw_path(context, path, upside_down, (1.0, 1.0, 1.0, 1.0))
    return np.ascontiguousarray(np.asarray(renderer.buffer_rgba())[..., 3])


def speckle(
    shape: tuple[int, int], grain_px: float, rng: np.random.Generator
) -> NDArray[np.float32]:
    """Even speckle of about that grain, mean 0 and standard deviation 1.

    Parameters
    ----------
    shape
        Rows and columns [px].
    grain_px
        Size of a grain [px].
    rng
        Source of the random numbers.

    Returns
    -------
    array of that shape
        Repeats from edge to edge without a seam where the grain divides the shape.
    """
    step = max(1, round(grain_px))
    edge = 4  # more than blur and resize reach
    small = rng.standard_normal([-(-size // step) for size in shape], dtype=np.float32)
    small = cv2.GaussianBlur(np.pad(small, edge, mode="wrap"), (0, 0), 0.8)
    large = cv2.resize(small, None, fx=step, fy=step, interpolation=cv2.INTER_CUBIC)
    large = large[edge * step :, edge * step :][: shape[0], : shape[1]]
    return np.asarray(large / large.std(), dtype=np.float32)


class Painting:
    """A sheet of glass in millimetres, painted layer over layer, clear where nothing is painted.

    Parameters
    ----------
    low_mm, high_mm
        Lower left and upper right corner [mm].
    px_per_mm
        How finely it is painted [px/mm].
    """

    def __init__(self, low_mm: ArrayLike, high_mm: ArrayLike, px_per_mm: float) -> None:
        low, high = np.asarray(low_mm, dtype=np.float64), np.asarray(high_mm, dtype=np.float64)
        self.left_mm, self.top_mm, self.px_per_mm = float(low[0]), float(high[1]), px_per_mm
        width, height = (int(size) for size in np.ceil((high - low) * px_per_mm))
        self.colour: Picture = np.zeros((height, width, 3), dtype=np.uint8)
        self.alpha: Picture = np.zeros((height, width), dtype=np.uint8)

    @property
    def to_px(self) -> FloatArray:
        """From (right, up, 1) [mm] to the painting's own pixels, shape (3, 3)."""
        k = self.px_per_mm
        return np.array([[k, 0.0, -k * self.left_mm], [0.0, -k, k * self.top_mm], [0.0, 0.0, 1.0]])

    def _px(self, places_mm: ArrayLike) -> FloatArray:
        places = np.asarray(places_mm, dtype=np.float64)
        return np.asarray((places - [self.left_mm, self.top_mm]) * [1, -1] * self.px_per_mm)

    def fill(
        self,
        outline_mm: ArrayLike,
        colour: Sequence[float],
        *,
        streaks: Sequence[tuple[FloatArray, float, float]] = (),
        grain: float = 0.0,
        shade: tuple[ArrayLike, ArrayLike, float] | None = None,
        rng: np.random.Generator | None = None,
    ) -> None:
        """Fill an outline with a colour, with streaks and speckle inside it.

        Parameters
        ----------
        outline_mm
            Corners to the right and up [mm], shape (n, 2).
        colour
            Red, green and blue, 0 to 255.
        streaks
            Lines on it: corners [mm], width [mm] and brightness, from -1 to 1.
        grain
            Strength of the speckle, as a part of the brightness.
        shade
            From one place [mm] to another the light grows by this part.
        rng
            Source of the random numbers of the speckle.
        """
        corners = self._px(outline_mm)
        height, width = self.alpha.shape
        x0, y0 = np.clip(np.floor(corners.min(axis=0)).astype(int) - 1, 0, [width, height])
        x1, y1 = np.clip(np.ceil(corners.max(axis=0)).astype(int) + 1, 0, [width, height])
        if x1 <= x0 or y1 <= y0:
            return
        origin = np.array([x0, y0])
        share = covered(corners - origin, int(x1 - x0), int(y1 - y0))
        bright = np.ones(share.shape, dtype=np.float32)
        if streaks:
            drawn = np.full(share.shape, 128, dtype=np.uint8)
            # cv2 counts from the middle of the first pixel, in sixteenths here
            ends = np.vstack([line for line, _, _ in streaks])
            places = np.round((self._px(ends) - origin - 0.5) * 16).astype(np.int32)
            parts = np.split(places, np.cumsum([len(line) for line, _, _ in streaks[:-1]]))
            for at, (_, width_mm, strength) in zip(parts, streaks, strict=True):
                thick = max(1, round(width_mm * self.px_per_mm))
                tone = 128 + 127 * min(max(strength, -1.0), 0.99)
                cv2.polylines(drawn, [at], False, tone, thick, cv2.LINE_AA, 4)
            bright *= drawn.astype(np.float32) / 128
        if shade is not None:
            start, end = self._px(shade[0]) - origin, self._px(shade[1]) - origin
            way = (end - start) / np.sum((end - start) ** 2)
            across, down = (
                ((np.arange(size) - begin) * step).astype(np.float32)
                for size, begin, step in zip(share.shape[::-1], start, way, strict=True)
            )
            bright *= 1 + shade[2] * np.clip(across + down[:, None], 0, 1)
        if grain and rng is not None:
            bright *= 1 + grain * speckle(share.shape, 0.4 * self.px_per_mm, rng)
        own = cv2.merge([cv2.convertScaleAbs(bright, alpha=float(tone)) for tone in colour])
        own = cv2.multiply(own, thrice(share), scale=1 / 255)
        part = np.s_[y0:y1, x0:x1]
        self.colour[part] = laid(self.colour[part], own, share)
        left = cv2.multiply(self.alpha[part], cv2.bitwise_not(share), scale=1 / 255)
        self.alpha[part] = cv2.add(left, share)

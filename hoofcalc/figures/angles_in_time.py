"""Toe and heel angle over the weeks: how each looks, and its line with its band."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray
from hoofcalc.figures.scene import Style

__all__ = ["LOOKS", "Look", "angle_in_time"]


class Look(NamedTuple):
    """How one angle is drawn: its line, the fill of its band, its mark."""

    line: Style
    fill: str
    mark: str


LOOKS = {
    "toe": Look(Style(colour="blue", width=3), "sky", "circle"),
    "heel": Look(Style(colour="vermillion", width=3, dash=(8, 4)), "orange", "square"),
}


def angle_in_time(
    end: str, weeks: ArrayLike, angle_deg: ArrayLike, limits: tuple[float, float]
) -> dict[str, FloatArray]:
    """An angle with its band as a picture takes it.

    Parameters
    ----------
    end
        "toe" or "heel".
    weeks
        When, shape (n,) [weeks].
    angle_deg
        Low end, middle and high end, shape (n, 3) [degrees].
    limits
        Lowest and highest angle that the picture shows; the band stays between them [degrees].

    Returns
    -------
    dict
        The ``line`` and the outline of the ``band``, each behind the name of its end.
    """
    at = np.asarray(weeks, dtype=np.float64)
    low, middle, high = np.asarray(angle_deg, dtype=np.float64).T
    edge = np.clip(np.append(low, high[::-1]), *limits)
    return {
        f"{end}_line": np.column_stack([at, middle]),
        f"{end}_band": np.column_stack([np.append(at, at[::-1]), edge]),
    }

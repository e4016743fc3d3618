"""Angles between lines and vectors, what a camera does to them, and how sure they are.

Angles of lines are measured from the ground and opened to the back, as the foot is
measured: 0 is flat, 90 upright. A wall that leans back at 50 degrees is 50; a wall past
upright, leaning forward, is more than 90. Forward is the first coordinate; in a picture of
a foot that looks to the left, turn its sign.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray, Result, numbers, plain, points, refuse_where, together

__all__ = [
    "apparent_slope_deg",
    "between_deg",
    "between_error_deg",
    "perspective_scale",
    "slope_deg",
    "slope_error_deg",
    "true_slope_deg",
]

#: Largest point error, as a part of the line's length, for the first-order errors.
_LARGEST_ERROR_SHARE = 0.2


def slope_deg(start: ArrayLike, end: ArrayLike) -> Result:
    """Angle of the line from `start` to `end` above the ground, opened to the back.

    A wall that rises backward at 53 degrees is 53; one that leans forward past
    upright at 104 is 104, as `Profile` says too. Taken from its other end, the
    line has the same size of slope with a minus sign.

    Equation: slope = atan2(rise, -run), rise up and run forward from the lower end; minus where
    `start` is the upper end.

    Parameters
    ----------
    start, end : points, shape (..., 2)
        The ends of the line, forward and up [mm]. Any one unit of length serves.
        Shapes broadcast.

    Returns
    -------
    float or array, shape (...)
        Slope [degrees], above -180 and below 180; positive when `end` is higher
        than `start`, 0 for a flat line, 90 for an upright one, more than 90 for
        one that rises forward.

    Raises
    ------
    ValueError
        If `start` or `end` does not hold two finite coordinates, the two are the
        same point, which has no slope, or the shapes do not go together.

    References
    ----------
    Definition.

    Examples
    --------
    >>> slope_deg((0, 0), (-30, 40)), slope_deg((0, 0), (10, 40))
    (53.130, 104.036)
    >>> slope_deg((0, 40), (30, 0))
    -53.130
    """
    a, b = together(
        start=points("start", start, 2, copy=False), end=points("end", end, 2, copy=False)
    )
    run, rise = b[..., 0] - a[..., 0], b[..., 1] - a[..., 1]
    refuse_where(
        (run == 0) & (rise == 0),
        "start and end must be two different points (both are ({x:g}, {y:g}))",
        x=a[..., 0],
        y=a[..., 1],
    )
    # a line that falls is seen from its other end; a flat one has slope 0 either way
    back = np.where(rise == 0, np.abs(run), np.where(rise < 0, run, -run))
    return plain(np.degrees(np.arctan2(rise, back)))


def between_deg(u: ArrayLike, v: ArrayLike) -> Result:
    """Angle between two directions, accurate for very small and very large angles too.

    The lengths of the vectors do not matter. The usual arc cosine loses every
    digit of an angle below a millionth of a degree; this form does not.

    Equation: angle = 2 atan2(|u/|u| - v/|v||, |u/|u| + v/|v||).

    Parameters
    ----------
    u, v : vectors, shape (..., 2) or (..., 3)
        Two directions in the plane or in space, any one unit. Shapes broadcast.

    Returns
    -------
    float or array, shape (...)
        Angle [degrees], 0 to 180.

    Raises
    ------
    ValueError
        If `u` and `v` do not both have two or both have three finite coordinates,
        if one of them has no length, or if the shapes do not go together.

    References
    ----------
    Kahan W., "How Futile are Mindless Assessments of Roundoff in Floating-Point
    Computation?", 2006, section 12 (angle between vectors; place from memory).

    Examples
    --------
    >>> between_deg((1, 2, 3), (3, -1, 2))
    60.000
    >>> between_deg((1, 0), (-1, 0))
    180.000
    """
    dimensions = 3 if np.shape(u)[-1:] == (3,) else 2
    units = []
    for name, value in (("u", u), ("v", v)):
        vector = points(name, value, dimensions, copy=False)
        length = np.sqrt(np.einsum("...i,...i->...", vector, vector))[..., np.newaxis]
        refuse_where(length[..., 0] == 0, f"{name} must have a length above 0 (got a zero vector)")
        units.append(vector / length)
    a, b = together(u=units[0], v=units[1])
    # Kahan: half the angle is seen from the difference and the sum of the unit vectors.
    apart, along = a - b, a + b
    return plain(
        np.degrees(
            2.0
            * np.arctan2(
                np.sqrt(np.einsum("...i,...i->...", apart, apart)),
                np.sqrt(np.einsum("...i,...i->...", along, along)),
            )
        )
    )


def apparent_slope_deg(
    true_deg: ArrayLike, yaw_deg: ArrayLike, look_down_deg: ArrayLike = 0.0
) -> Result:
    """Slope at which a line of the foot's side view shows in a photograph taken askew.

    The line lies in the foot's fore-aft plane; the camera should look straight
    at that plane and is turned by `yaw_deg` instead. The line's run is
    foreshortened and its rise is not, so it looks STEEPER: tan(apparent) =
    tan(true) / cos(yaw). A camera that looks down shortens the rise instead:
    tan(apparent) = tan(true) cos(look down). With both at once even the ground
    line shows a slope: ask for `true_deg` 0 and measure from there.

    Do not use the geologist's rule for the dip of a PLANE cut by a turned
    section, tan(apparent) = tan(true) cos(turn): it errs the other way.

    Assumes a distant camera (no perspective) held level from side to side. It
    stops being useful long before the limit of 90 degrees of yaw, where the line
    is seen end on: at 30 degrees of yaw a 50 degree wall already shows as 54.

    Parameters
    ----------
    true_deg : number or array
        Slope of the line [degrees], -180 to 180; up to 90 leaning back, more
        than 90 leaning forward past upright.
    yaw_deg : number or array
        Turn of the camera about the vertical [degrees], above -90 and below 90;
        positive when the camera stands too far towards the toe. The sign only
        matters when the camera looks down as well.
    look_down_deg : number or array, optional
        Tilt of the camera below the level [degrees], above -90 and below 90.

    Returns
    -------
    float or array
        Slope seen in the photograph, from the picture's level line [degrees], on
        the same side of upright as the true slope.

    Raises
    ------
    ValueError
        If `true_deg` is not from -180 to 180, `yaw_deg` or `look_down_deg` not
        above -90 and below 90, or the shapes do not go together.

    References
    ----------
    Definition: orthographic projection of a direction. The rule it must not be
    mistaken for: Ragan D.M., Structural Geology, chapter on apparent dip.

    Examples
    --------
    >>> apparent_slope_deg(50, 10)
    50.431
    >>> apparent_slope_deg([50, 90, 130], 30)
    array([ 53.995,  90. , 126.005])
    >>> apparent_slope_deg(50, 0, look_down_deg=10)
    49.568
    """
    slope, yaw, down = _camera("true_deg", true_deg, yaw_deg, look_down_deg)
    run = np.cos(slope)
    level = run * np.cos(yaw)
    up = np.sin(slope) * np.cos(down) + run * np.sin(yaw) * np.sin(down)
    return plain(np.degrees(np.arctan2(up, level)))


def true_slope_deg(
    apparent_deg: ArrayLike, yaw_deg: ArrayLike, look_down_deg: ArrayLike = 0.0
) -> Result:
    """True slope of a line of the foot's side view from a photograph taken askew.

    The inverse of `apparent_slope_deg`, with the same assumptions: tan(true) =
    tan(apparent) cos(yaw) for a level camera.

    Equation: tan(true) = tan(apparent) cos(yaw) for a level camera.

    Parameters
    ----------
    apparent_deg : number or array
        Slope in the photograph, from the picture's level line [degrees], -180 to
        180.
    yaw_deg : number or array
        Turn of the camera about the vertical [degrees], above -90 and below 90;
        positive when the camera stands too far towards the toe.
    look_down_deg : number or array, optional
        Tilt of the camera below the level [degrees], above -90 and below 90.

    Returns
    -------
    float or array
        True slope [degrees], on the same side of upright as the apparent one.

    Raises
    ------
    ValueError
        If `apparent_deg` is not from -180 to 180, `yaw_deg` or `look_down_deg` not
        above -90 and below 90, or the shapes do not go together.

    References
    ----------
    Definition: orthographic projection of a direction, inverted.

    Examples
    --------
    >>> true_slope_deg(50.4313, 10)
    50.000
    """
    slope, yaw, down = _camera("apparent_deg", apparent_deg, yaw_deg, look_down_deg)
    run = np.cos(slope) / np.cos(yaw)
    rise = (np.sin(slope) - run * np.sin(yaw) * np.sin(down)) / np.cos(down)
    return plain(np.degrees(np.arctan2(rise, run)))


def slope_error_deg(point_error_mm: ArrayLike, length_mm: ArrayLike) -> Result:
    """Standard error of a line's slope, from the error of the two points that mark it.

    Assumes errors that are independent, equal along and up, and small beside
    the line: within 1 % at a tenth of the length, 6 % at a fifth; beyond a fifth
    it is refused. The ground line is taken as known; see `between_error_deg`.

    Equation: error = sqrt(2) s / L radians, with point error s and length L.

    Parameters
    ----------
    point_error_mm : number or array
        Standard error of each coordinate of a point [mm], 0 or more.
    length_mm : number or array
        Length of the line from first to last point [mm], above 0.

    Returns
    -------
    float or array
        Standard error of the slope [degrees].

    Raises
    ------
    ValueError
        If `point_error_mm` is below 0 or more than a fifth of `length_mm`,
        `length_mm` not above 0, or the shapes do not go together.

    References
    ----------
    First-order propagation of independent errors: Taylor J.R., An Introduction
    to Error Analysis, 2nd ed. 1997, chapter 3 (place from memory).

    Examples
    --------
    >>> slope_error_deg(1, 100)
    0.8103
    """
    error = numbers("point_error_mm", point_error_mm, at_least=0, copy=False)
    length = numbers("length_mm", length_mm, above=0, copy=False)
    together(point_error_mm=error, length_mm=length)
    return plain(np.degrees(np.sqrt(2) * _error_share(error, length)))


def between_error_deg(
    point_error_mm: ArrayLike, first_mm: ArrayLike, second_mm: ArrayLike
) -> Result:
    """Standard error of the angle between two lines, each marked by two points.

    A wall measured against its own ground line, or heel against toe: the errors of
    both lines add in squares.

    Assumes what `slope_error_deg` assumes.

    Equation: error = sqrt(2 (s/a)^2 + 2 (s/b)^2) radians, with point error s and lengths a, b.

    Parameters
    ----------
    point_error_mm : number or array
        Standard error of each coordinate of a point [mm], 0 or more.
    first_mm, second_mm : number or array
        Lengths of the two lines [mm], above 0.

    Returns
    -------
    float or array
        Standard error of the angle [degrees].

    Raises
    ------
    ValueError
        If `point_error_mm` is below 0 or more than a fifth of `first_mm` or
        `second_mm`, one of these is not above 0, or the shapes do not go together.

    References
    ----------
    First-order propagation of independent errors: Taylor J.R., An Introduction
    to Error Analysis, 2nd ed. 1997, chapter 3 (place from memory).

    Examples
    --------
    >>> between_error_deg(0.5, 80, 60)
    0.84405
    """
    error = numbers("point_error_mm", point_error_mm, at_least=0, copy=False)
    first = numbers("first_mm", first_mm, above=0, copy=False)
    second = numbers("second_mm", second_mm, above=0, copy=False)
    together(point_error_mm=error, first_mm=first, second_mm=second)
    a, b = _error_share(error, first), _error_share(error, second)
    return plain(np.degrees(np.sqrt(2 * (a**2 + b**2))))


def perspective_scale(distance_mm: ArrayLike, behind_mm: ArrayLike) -> Result:
    """How much too small a thing looks that stands behind the plane of the scale bar.

    Lengths read off the photograph are this many times the true ones; divide by
    it to correct. Assumes a pinhole camera that looks straight at the plane.

    Equation: scale = d / (d + b), with the distance d of the bar and b behind it.

    Parameters
    ----------
    distance_mm : number or array
        From the camera to the plane of the scale bar [mm], above 0.
    behind_mm : number or array
        How far the thing stands behind that plane [mm], negative in front of it;
        it must stay in front of the camera.

    Returns
    -------
    float or array
        Ratio of apparent to true length [no unit]: below 1 behind the plane.

    Raises
    ------
    ValueError
        If `distance_mm` is not above 0, `behind_mm` is at or behind the camera, or
        the shapes do not go together.

    References
    ----------
    Hartley R., Zisserman A., Multiple View Geometry in Computer Vision, 2nd ed.
    2004, chapter 6, the pinhole camera.

    Examples
    --------
    >>> perspective_scale(1500, 30)
    0.98039
    """
    distance = numbers("distance_mm", distance_mm, above=0, copy=False)
    behind = numbers("behind_mm", behind_mm, copy=False)
    distance, behind = together(distance_mm=distance, behind_mm=behind)
    refuse_where(
        behind <= -distance,
        "behind_mm must be above {limit:g}, in front of the camera (got {behind:g})",
        limit=-distance,
        behind=behind,
    )
    return plain(distance / (distance + behind))


def _camera(
    name: str, slope_deg: ArrayLike, yaw_deg: ArrayLike, look_down_deg: ArrayLike
) -> list[FloatArray]:
    """The three angles of a view, checked, together and in radians."""
    slope = numbers(name, slope_deg, at_least=-180, at_most=180, copy=False)
    yaw = numbers("yaw_deg", yaw_deg, above=-90, below=90, copy=False)
    down = numbers("look_down_deg", look_down_deg, above=-90, below=90, copy=False)
    together(**{name: slope, "yaw_deg": yaw, "look_down_deg": down})
    return [np.radians(angle) for angle in (slope, yaw, down)]


def _error_share(error: FloatArray, length: FloatArray) -> FloatArray:
    """Point error over length; the first-order errors hold only for points well apart."""
    share = error / length
    refuse_where(
        share > _LARGEST_ERROR_SHARE,
        "point_error_mm must be at most a fifth of the line's length for this estimate"
        " (got {error:g} on {length:g} mm)",
        error=error,
        length=length,
    )
    return share

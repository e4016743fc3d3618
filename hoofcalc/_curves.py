"""Smooth curves through given points, in numpy alone: no page in a browser fetches scipy for them.

`tests/test_curves.py` holds them against scipy's.
"""

from __future__ import annotations

import numpy as np

from hoofcalc._inputs import FloatArray


def cubic_spline(knots: FloatArray, values: FloatArray, at: FloatArray) -> FloatArray:
    """A cubic spline through points, its third derivative unbroken at the last knots but one.

    Parameters
    ----------
    knots
        Rising places, four or more.
    values
        A value, or a row of values, at each.
    at
        Where the curve is wanted.

    Returns
    -------
    array
        Values there.

    References
    ----------
    de Boor C., A Practical Guide to Splines, Springer 1978, chapter IV ("not-a-knot").
    """
    values = np.asarray(values, dtype=float)
    step = np.diff(knots)
    columns = (slice(None), *(np.newaxis,) * (values.ndim - 1))
    rise = np.diff(values, axis=0) / step[columns]
    count = len(knots)
    matrix, right = np.zeros((count, count)), np.zeros_like(values)
    inner = np.arange(1, count - 1)
    # slopes, so that the second derivative does not jump at a knot (chapter IV, equation 10)
    matrix[inner, inner - 1] = step[1:]
    matrix[inner, inner] = 2 * (step[:-1] + step[1:])
    matrix[inner, inner + 1] = step[:-1]
    right[1:-1] = 3 * (step[1:][columns] * rise[:-1] + step[:-1][columns] * rise[1:])
    for end, next_, first, second in ((0, 1, 0, 1), (-1, -2, -1, -2)):
        both = step[first] + step[second]
        matrix[end, end], matrix[end, next_] = step[second], both
        right[end] = (
            (step[first] + 2 * both) * step[second] * rise[first] + step[first] ** 2 * rise[second]
        ) / both
    slopes = np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
    return _hermite(knots, values, slopes, at)


def monotone_cubic(knots: FloatArray, values: FloatArray, at: FloatArray) -> FloatArray:
    """A curve through points that rises and falls only where they do.

    Parameters
    ----------
    knots
        Rising places, three or more.
    values
        A value at each.
    at
        Where the curve is wanted.

    Returns
    -------
    array
        Values there.

    References
    ----------
    Fritsch F.N., Butland J., A method for constructing local monotone piecewise cubic
    interpolants, SIAM Journal on Scientific and Statistical Computing 5 (1984) 300-304.
    """
    step = np.diff(knots)
    rise = np.diff(values) / step
    slope = np.zeros(len(knots))
    same_way = rise[:-1] * rise[1:] > 0
    first, second = 2 * step[1:] + step[:-1], step[1:] + 2 * step[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (first + second) / (first / rise[:-1] + second / rise[1:])
    slope[1:-1] = np.where(same_way, mean, 0.0)
    slope[0] = _end_slope(step[0], step[1], rise[0], rise[1])
    slope[-1] = _end_slope(step[-1], step[-2], rise[-1], rise[-2])
    return _hermite(knots, values, slope, at)


def _end_slope(near: float, far: float, rise: float, next_rise: float) -> float:
    """Slope at an end from three points, kept from turning round."""
    slope = ((2 * near + far) * rise - near * next_rise) / (near + far)
    if np.sign(slope) != np.sign(rise):
        return 0.0
    if np.sign(rise) != np.sign(next_rise) and abs(slope) > 3 * abs(rise):
        return 3 * float(rise)
    return float(slope)


def _hermite(
    knots: FloatArray, values: FloatArray, slopes: FloatArray, at: FloatArray
) -> FloatArray:
    """The cubic pieces with these values and slopes at the knots."""
    at = np.asarray(at, dtype=float)
    piece = np.clip(np.searchsorted(knots, at, side="right") - 1, 0, len(knots) - 2)
    shape = (*at.shape, *(1,) * (np.ndim(values) - 1))
    step = np.diff(knots)[piece].reshape(shape)
    part = (at - np.asarray(knots)[piece]).reshape(shape) / step
    low, high = np.asarray(values)[piece], np.asarray(values)[piece + 1]
    from_low, from_high = step * slopes[piece], step * slopes[piece + 1]
    return np.asarray(
        low
        + part
        * (
            from_low
            + part
            * (
                3 * (high - low)
                - 2 * from_low
                - from_high
                + part * (2 * (low - high) + from_low + from_high)
            )
        )
    )


def low_pass(series: FloatArray, cutoff: float, rate: float) -> FloatArray:
    """Second-order Butterworth filter, forward and backward along the first axis.

    The ends are mirrored through their own point for nine samples, and each pass begins as if
    the series had always stood at its first value.

    Parameters
    ----------
    series
        Ten samples or more, in rows where there are several values.
    cutoff
        Where one pass weakens a swing to 0.7071; below half the rate.
    rate
        Samples in the same unit of time.

    Returns
    -------
    array
        The smoothed series.

    Raises
    ------
    ValueError
        If there are fewer than ten samples.

    References
    ----------
    Oppenheim A.V., Schafer R.W., Discrete-Time Signal Processing, Prentice Hall 1989, section
    7.1.2 (bilinear transform). Gustafsson F., Determining the initial states in forward-backward
    filtering, IEEE Transactions on Signal Processing 44 (1996) 988-992, for both passes.
    """
    tangent = np.tan(np.pi * cutoff / rate)
    whole = 1 + np.sqrt(2) * tangent + tangent**2
    gain = tangent**2 / whole
    back_one = 2 * (tangent**2 - 1) / whole
    back_two = (1 - np.sqrt(2) * tangent + tangent**2) / whole
    rows = np.asarray(series, dtype=float)
    if len(rows) < 10:
        raise ValueError(f"smoothing needs ten samples or more (got {len(rows)})")

    def one_pass(values: list[float]) -> list[float]:
        in_one = in_two = out_one = out_two = values[0]
        out = []
        for value in values:
            new = gain * (value + 2 * in_one + in_two) - back_one * out_one - back_two * out_two
            in_one, in_two, out_one, out_two = value, in_one, new, out_one
            out.append(new)
        return out

    smooth = []
    for column in rows.reshape(len(rows), -1).T:
        before, after = 2 * column[0] - column[9:0:-1], 2 * column[-1] - column[-2:-11:-1]
        there = one_pass(np.concatenate([before, column, after]).tolist())
        smooth.append(one_pass(there[::-1])[::-1][9:-9])  # plain numbers: quicker one by one
    return np.transpose(smooth).reshape(rows.shape)


def running_fit(values: FloatArray, window: int) -> FloatArray:
    """Values smoothed by a parabola laid through each window of neighbours.

    Parameters
    ----------
    values
        Evenly spaced values, at least `window` of them.
    window
        How many neighbours each parabola is laid through, an odd number; at the ends the first
        and the last window serve all their places.

    Returns
    -------
    array
        As many values.

    References
    ----------
    Savitzky A., Golay M.J.E. 1964, Analytical Chemistry 36, 1627-1639.
    """
    half = window // 2
    places = np.arange(-half, half + 1.0)
    powers = np.vander(places, 3)
    through = powers @ np.linalg.pinv(powers)  # row i: the parabola's value at place i
    inner = np.lib.stride_tricks.sliding_window_view(values, window)
    middle: FloatArray = inner @ through[half]
    return np.concatenate([through[:half] @ inner[0], middle, through[half + 1 :] @ inner[-1]])

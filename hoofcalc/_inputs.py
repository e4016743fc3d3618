"""What every calculation does with its arguments: check them, and say in words what is wrong.

The formulas accept numbers and arrays alike. These few helpers turn an argument
into a float array, refuse what the formula cannot mean, and give a plain number
back where plain numbers came in.
"""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray: TypeAlias = NDArray[np.float64]
#: What a calculation hands back: a float for scalar arguments, an array otherwise.
Result: TypeAlias = float | FloatArray


def numbers(
    name: str,
    value: ArrayLike,
    *,
    at_least: float | None = None,
    at_most: float | None = None,
    above: float | None = None,
    below: float | None = None,
    whole: bool = False,
    copy: bool = True,
) -> FloatArray:
    """`value` as a finite float array inside the given limits, or a ValueError that says why not.

    The array is the caller's to keep; a formula that only reads it saves time
    with `copy=False`.

    >>> numbers("wall_angle_deg", 212.0, at_least=0, at_most=180)
    Traceback (most recent call last):
    ...
    ValueError: wall_angle_deg must be between 0 and 180 (got 212.0)
    """
    try:
        array = np.asarray(value)
        if array.dtype.kind not in "iuf":  # booleans, text, dates and complex are slips
            raise TypeError
        array = array.astype(np.float64, copy=copy)
    except (TypeError, ValueError):
        message = f"{name} must be a number or an array of numbers (got {value!r})"
        raise ValueError(message) from None
    if _within(array, at_least, at_most, above, below) and not whole:
        return array
    wrong = ~np.isfinite(array)
    if wrong.any():
        raise ValueError(f"{name} must be finite (got {_first(array, wrong)})")
    for limit, breaks in (
        (at_least, np.less),
        (at_most, np.greater),
        (above, np.less_equal),
        (below, np.greater_equal),
    ):
        if limit is not None:
            wrong = wrong | breaks(array, limit)
    if whole:
        wrong = wrong | (array != np.round(array))
    if wrong.any():
        allowed = _allowed(at_least, at_most, above, below)
        kind = "a whole number" if whole else ""
        wording = " ".join(part for part in (kind, allowed) if part)
        raise ValueError(f"{name} must be {wording} (got {_first(array, wrong)})")
    return array


def points(name: str, value: ArrayLike, dimensions: int, *, copy: bool = True) -> FloatArray:
    """`value` as an array of points or vectors, shape (..., dimensions), all finite."""
    array = numbers(name, value, copy=copy)
    if array.ndim == 0 or array.shape[-1] != dimensions:
        raise ValueError(
            f"{name} must hold {dimensions} coordinates in its last axis (got shape {array.shape})"
        )
    return array


def choice(name: str, value: str, allowed: tuple[str, ...]) -> str:
    """`value` if it is one of `allowed`, or a ValueError that lists them.

    >>> choice("loaded_end", "loose", ("held", "free"))
    Traceback (most recent call last):
    ...
    ValueError: loaded_end must be one of 'held', 'free' (got 'loose')
    """
    if value not in allowed:
        listing = ", ".join(repr(item) for item in allowed)
        raise ValueError(f"{name} must be one of {listing} (got {value!r})")
    return value


def together(**arrays: FloatArray) -> tuple[FloatArray, ...]:
    """The arrays broadcast against each other, or a ValueError that names the shapes.

    >>> import numpy as np
    >>> together(force_n=np.ones(3), lean_deg=np.ones(4))
    Traceback (most recent call last):
    ...
    ValueError: shapes do not go together: force_n (3,), lean_deg (4,)
    """
    try:
        return tuple(np.broadcast_arrays(*arrays.values()))
    except ValueError:
        listing = ", ".join(f"{name} {array.shape}" for name, array in arrays.items())
        raise ValueError(f"shapes do not go together: {listing}") from None


def refuse_where(wrong: Any, message: str, **values: Any) -> None:
    """Raise a ValueError if anything is `wrong`, with the values of the first offender.

    `message` names them in braces; the place is added where there are several.

    >>> refuse_where(np.array([False, True]), "{force_n:g} N is too much", force_n=[1, 20])
    Traceback (most recent call last):
    ...
    ValueError: 20 N is too much, at index 1
    """
    if not np.any(wrong):
        return
    shape = np.broadcast_shapes(np.shape(wrong), *(np.shape(value) for value in values.values()))
    place = tuple(int(index) for index in np.argwhere(np.broadcast_to(wrong, shape))[0])
    shown = {name: np.broadcast_to(value, shape)[place].item() for name, value in values.items()}
    where = f", at index {place[0] if len(place) == 1 else place}" if place else ""
    raise ValueError(message.format(**shown) + where)


def plain(value: Any) -> Result:
    """A Python float (or bool) for a 0-d result, the array itself otherwise."""
    array: FloatArray = np.asarray(value)
    return array.item() if array.ndim == 0 else array


def _within(
    array: FloatArray,
    at_least: float | None,
    at_most: float | None,
    above: float | None,
    below: float | None,
) -> bool:
    """Whether all is well, from the smallest and the largest value alone: quick, and NaN fails."""
    if array.size == 0:
        return True
    low, high = array.min(), array.max()
    return bool(
        -np.inf < low
        and high < np.inf
        and (at_least is None or low >= at_least)
        and (at_most is None or high <= at_most)
        and (above is None or low > above)
        and (below is None or high < below)
    )


def _first(array: FloatArray, wrong: NDArray[np.bool_]) -> str:
    """The first offending value, and its place where there are several values."""
    if array.ndim == 0:
        return repr(array.item())
    place = tuple(int(index) for index in np.argwhere(wrong)[0])
    where = place[0] if len(place) == 1 else place
    return f"{array[place].item()!r} at index {where}"


def _allowed(
    at_least: float | None, at_most: float | None, above: float | None, below: float | None
) -> str:
    """The limits in words."""
    if at_least is not None and at_most is not None:
        return f"between {at_least:g} and {at_most:g}"
    if above is not None and below is not None:
        return f"above {above:g} and below {below:g}"
    words = []
    if at_least is not None:
        words.append(f"at least {at_least:g}")
    if above is not None:
        words.append(f"above {above:g}")
    if at_most is not None:
        words.append(f"at most {at_most:g}")
    if below is not None:
        words.append(f"below {below:g}")
    return " and ".join(words)

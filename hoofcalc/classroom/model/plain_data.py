"""Any value of a learner as plain data: what may cross from their process to the judge."""

from __future__ import annotations

from typing import Any

MOST_TEXT = 20_000
MOST_VALUES = 10_000
A_FUNCTION = "a function"
UNREADABLE = "something that cannot be read"
_MANY_VALUES, _MANY_DIGITS = "far too many values", "a whole number with far too many digits"
_LONG_TEXT = "far too long a text"
#: All that may be said of a value that is not plain, its kind apart.
NOT_PLAIN = frozenset({A_FUNCTION, UNREADABLE, _MANY_VALUES, _MANY_DIGITS, _LONG_TEXT})


def plain(value: Any) -> dict[str, Any]:
    """Any value as plain data: numbers, text, lists of them; for the rest, what it is in words.

    >>> plain(3.5)
    {'plain': 3.5}
    >>> plain(print)
    {'is': 'a function'}
    """
    if value is None or value is ...:
        return {"blank": True}
    try:
        if callable(value):
            return {"is": A_FUNCTION}
        return {"plain": _plain(value, [MOST_VALUES])}
    except _NotPlainError as trouble:
        return {"is": str(trouble)}
    except BaseException:
        return {"is": UNREADABLE}


class _NotPlainError(Exception):
    pass


def _plain(value: Any, left: list[int]) -> Any:
    left[0] -= 1
    if left[0] < 0:
        raise _NotPlainError(_MANY_VALUES)
    kind = type(value)
    if kind in (bool, type(None)):
        return value
    if kind is float:
        return value
    if kind is int:
        if value.bit_length() > 4000:
            raise _NotPlainError(_MANY_DIGITS)
        return value
    if kind is str:
        if len(value) > MOST_TEXT:
            raise _NotPlainError(_LONG_TEXT)
        return value
    if kind in (list, tuple):
        return [_plain(part, left) for part in value]
    if kind is dict:
        return {str(name)[:100]: _plain(part, left) for name, part in value.items()}
    where = (kind.__module__ or "").split(".")[0]
    if where == "numpy" and hasattr(value, "tolist"):
        if getattr(value, "size", 1) > MOST_VALUES:
            raise _NotPlainError(_MANY_VALUES)
        if value.dtype.kind == "f":  # wider ones than Python's own have no plain form
            value = value.astype(float)
        return _plain(value.tolist(), left)
    if where in ("fractions", "decimal"):
        return float(value)
    raise _NotPlainError(f"an object of the kind {kind.__name__[:60]!r}")

"""Any value of a learner as plain data: what may cross from their process to the judge."""

from __future__ import annotations

import types
from typing import Any

MOST_TEXT = 20_000
MOST_VALUES = 10_000


def plain(value: Any) -> dict[str, Any]:
    """Any value as plain data: numbers, text, lists of them; for the rest, what it is in words.

    >>> plain(3.5)
    {'plain': 3.5}
    >>> plain(print)
    {'is': 'a function'}
    """
    if value is None or value is ...:
        return {"blank": True}
    if isinstance(value, types.FunctionType | types.BuiltinFunctionType | types.MethodType):
        return {"is": "a function"}
    try:
        return {"plain": _plain(value, [MOST_VALUES])}
    except _NotPlainError as trouble:
        return {"is": str(trouble)}
    except BaseException:
        return {"is": "something that cannot be read"}


class _NotPlainError(Exception):
    pass


def _plain(value: Any, left: list[int]) -> Any:
    left[0] -= 1
    if left[0] < 0:
        raise _NotPlainError("far too many values")
    kind = type(value)
    if kind in (bool, type(None)):
        return value
    if kind is float:
        return value
    if kind is int:
        if value.bit_length() > 4000:
            raise _NotPlainError("a whole number with far too many digits")
        return value
    if kind is str:
        if len(value) > MOST_TEXT:
            raise _NotPlainError("far too long a text")
        return value
    if kind in (list, tuple):
        return [_plain(part, left) for part in value]
    if kind is dict:
        return {str(name)[:100]: _plain(part, left) for name, part in value.items()}
    where = (kind.__module__ or "").split(".")[0]
    if where == "numpy" and hasattr(value, "tolist"):
        if getattr(value, "size", 1) > MOST_VALUES:
            raise _NotPlainError("far too many values")
        return _plain(value.tolist(), left)
    if where in ("fractions", "decimal"):
        return float(value)
    raise _NotPlainError(f"an object of the kind {kind.__name__[:60]!r}")

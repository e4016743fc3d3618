"""What a learner handed over, read kindly: a number in any form, a letter, or words on what it is.

Answers arrive as plain data ("wire form"): ``{"plain": value}``, ``{"blank": True}``
for an untouched answer, ``{"is": "a function"}`` for anything that is not plain
data, ``{"raised": "ValueError"}`` where the learner's function stopped.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, TypeAlias

Wire: TypeAlias = Mapping[str, Any]

BLANK: Wire = {"blank": True}


class NotBegunError(Exception):
    """Nothing is filled in yet."""


class FormError(Exception):
    """The answer is not of the kind that was asked for; the message says so to the learner.

    `bare` says it without anything that came with the answer, for what a deciding call gave.
    """

    def __init__(self, words: str, bare: str = "") -> None:
        super().__init__(words)
        self.bare = bare or words


def read_number(wire: Wire) -> float:
    """The number that was handed over: int, float, or a list or array that holds just one."""
    value = _value(wire)
    while isinstance(value, list) and len(value) == 1:
        value = value[0]
    if isinstance(value, bool):
        raise FormError("You handed over True or False where a number belongs.")
    if isinstance(value, int | float):
        try:
            number = float(value)
        except OverflowError:
            raise FormError("That number is too large to be true of any yard.") from None
        if math.isnan(number):
            raise FormError(
                "Your answer came out as 'nan', which means: not a number. One of the values "
                "it is made from is missing."
            )
        return number
    if isinstance(value, list):
        if len(value) == 2 and all(type(part) is int for part in value):
            raise FormError(
                "You handed over two numbers. If you meant a decimal number: Python writes it "
                "with a point (12.5), not with a comma."
            )
        raise FormError(
            f"You handed over {len(value)} values where one number belongs.",
            "It gives back several values where one number belongs.",
        )
    if isinstance(value, str):
        if any(letter.isdigit() for letter in value):
            raise FormError(
                "You handed over text. Take away the quotation marks and the unit, so that only "
                "the number is left."
            )
        raise FormError("You handed over text where a number belongs.")
    if isinstance(value, dict):
        raise FormError("You handed over a collection of values where one number belongs.")
    raise FormError("You handed over something that is not a number.")


def read_letter(wire: Wire, allowed: Mapping[str, str]) -> str:
    """The letter that was handed over, in capitals or not, with or without a bracket."""
    value = _value(wire)
    while isinstance(value, list) and len(value) == 1:
        value = value[0]
    listing = ", ".join(allowed)
    if not isinstance(value, str):
        raise FormError(f'Write one of the letters {listing} between quotation marks: "...".')
    letter = value.strip().strip("().:\"'").strip().upper()
    if not letter:
        raise NotBegunError
    if letter not in allowed:
        raise FormError(f"The choices are the letters {listing}.")
    return letter


def is_function(wire: Wire) -> bool:
    """Whether a function was handed over."""
    return wire.get("is") == "a function"


def _value(wire: Wire) -> Any:
    if wire.get("blank"):
        raise NotBegunError
    if "plain" in wire:
        return wire["plain"]
    if is_function(wire):
        raise FormError(
            "You handed over a function, not what it works out. Call it: its name, then the "
            "values in round brackets."
        )
    raise FormError(
        f"You handed over {wire.get('is', 'something')} where a plain value belongs.",
        "It gives back something that is not a plain value.",
    )

"""What a learner handed over, read kindly: a number in any form, a letter, or words on what it is.

Answers arrive as plain data ("wire form"): ``{"plain": value}``, ``{"blank": True}``
for an untouched answer, ``{"is": "a function"}`` for anything that is not plain
data, ``{"raised": "ValueError"}`` where the learner's function stopped.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from typing import Any, TypeAlias

from hoofcalc.classroom.model.clean_text import without_invisible

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
        written = _number_in(value)
        if written is not None:
            return written
        if any(letter.isdigit() for letter in value):
            raise FormError(
                "You handed over text. Take away the quotation marks and the unit, so that only "
                "the number is left."
            )
        raise FormError("You handed over text where a number belongs.")
    if isinstance(value, dict):
        raise FormError("You handed over a collection of values where one number belongs.")
    raise FormError("You handed over something that is not a number.")


def _number_in(text: str) -> float | None:
    """A number written as text, with a decimal point or comma; None where it is not just that."""
    bare = without_invisible(unicodedata.normalize("NFKC", text)).strip().replace("\u2212", "-")
    if _GROUPED.fullmatch(bare):
        raise FormError(
            "You handed over text that may be read in two ways. Take away the quotation marks and "
            "write the number with a point for the decimals: 12.5."
        )
    if not _WRITTEN.fullmatch(bare):
        return None
    return float(bare.replace(",", "."))


_WRITTEN = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,3})?")
#: A point and a comma, or several commas: thousands, or decimals?
_GROUPED = re.compile(r"[+-]?\d[\d.,]*(,[\d.]*[.,]|\.[\d.]*,)[\d.,]*")


def read_letter(wire: Wire, allowed: Mapping[str, str]) -> str:
    """The letter that was handed over, in capitals or not, bracketed, or with its words."""
    value = _value(wire)
    while isinstance(value, list) and len(value) == 1:
        value = value[0]
    listing = ", ".join(allowed)
    if not isinstance(value, str):
        raise FormError(f'Write one of the letters {listing} between quotation marks: "...".')
    text = _plainly(value)
    if not text:
        raise NotBegunError
    letter = text.upper().translate(_LOOK_ALIKE)
    if letter in allowed:
        return letter
    words = {one: _plainly(meaning) for one, meaning in allowed.items() if meaning}
    named = [one for one, meaning in words.items() if text == meaning]
    if len(named) == 1:
        return named[0]
    parts = _LETTER_AND_WORDS.fullmatch(text)
    if parts is not None:
        letter = parts["letter"].upper().translate(_LOOK_ALIKE)
        said = _plainly(parts["words"])
        # "A steep heel" is no choice of A: without a mark behind it the words must be A's own
        fits = bool(said) and (said in words.get(letter, "") or words.get(letter, " ") in said)
        others = any(meaning in said for one, meaning in words.items() if one != letter)
        if letter in allowed and (fits or (parts["mark"].strip() and not others)):
            return letter
    raise FormError(f"The choices are the letters {listing}.")


_LETTER_AND_WORDS = re.compile(
    r"(?P<letter>\w)(?P<mark>\s*[.:,;)=\u2013\u2014-]\s*|\s+)(?P<words>.+)"
)
#: Greek and Cyrillic capitals that look like Latin ones.
_LOOK_ALIKE = str.maketrans(
    "\u0391\u0392\u0395\u0396\u0397\u0399\u039a\u039c\u039d\u039f\u03a1\u03a4\u03a5\u03a7"
    "\u0410\u0412\u0421\u0415\u041d\u0406\u0408\u041a\u041c\u041e\u0420\u0405\u0422\u0425\u051a",
    "ABEZHIKMNOPTYXABCEHIJKMOPSTXQ",
)


def _plainly(text: str) -> str:
    """Text as it is compared: narrow letters, plain blanks, no brackets or quotation marks."""
    text = without_invisible(unicodedata.normalize("NFKC", text)).casefold()
    return " ".join(text.split()).strip("().:\"'\u201c\u201d\u201e\u2018\u2019 ")


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

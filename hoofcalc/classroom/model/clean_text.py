"""Text from outside, made fit to be kept, shown and printed: cleaned once, where it comes in."""

from __future__ import annotations

import re
import unicodedata
from typing import Any

#: What stands where something unreadable stood.
_UNREADABLE = "\ufffd"
_ESCAPE_SEQUENCE = re.compile(r"\x1b(?:\[[0-9;?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)?|.)?")
_SURROGATE = re.compile("[\ud800-\udfff]")
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
#: What turns the direction of writing round, or divides lines where no one sees it.
_TURNING = re.compile("[\u200e\u200f\u202a-\u202e\u2028\u2029\u2066-\u2069]")
#: What takes no room on the screen: zero-width blanks and joiners, soft hyphens, byte-order marks.
_INVISIBLE = re.compile("[\u00ad\u061c\u180e\u200b-\u200f\u2060-\u2064\ufeff]")


def clean(text: str) -> str:
    """Text that every file, database and page takes: no half characters, no control signs.

    >>> clean("a\\ud800b \\x1b[31mred\\x1b[0m\\x00")
    'a\ufffdb red'
    """
    text = _SURROGATE.sub(_UNREADABLE, text)
    return _CONTROL.sub("", _ESCAPE_SEQUENCE.sub("", text))


def one_line(text: Any, most: int = 200) -> str:
    """Text for a line of a table or a terminal: clean, in one line, not longer than `most`.

    >>> one_line("anna\\r\\n\\x1b]0;hello\\x07 b")
    'anna b'
    """
    text = _TURNING.sub("", clean(str(text)))
    text = re.sub(r"\r\n|[\r\n\t]", " ", text)
    return text if len(text) <= most else f"{text[: most - 3]}..."


def without_invisible(text: str) -> str:
    """Text as a person sees it: blanks of all kinds are blanks, what takes no room is not there.

    >>> without_invisible("1\\u00a02\\u200b")
    '1 2'
    """
    if text.isascii():
        return text
    text = _INVISIBLE.sub("", text)
    return "".join(" " if unicodedata.category(one) == "Zs" else one for one in text)


def same_words(text: str) -> str:
    """Text as it is compared: capitals, blanks and stops do not count.

    >>> same_words("It leans,  so it BENDS.") == same_words("it leans so it bends")
    True
    """
    return " ".join(re.findall(r"\w+|[^\w\s.,;:!?]", text.casefold()))


def cleaned(value: Any) -> Any:
    """Plain data with every text in it clean.

    >>> cleaned({"a": ["b\\x00", 1]})
    {'a': ['b', 1]}
    """
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, list):
        return [cleaned(part) for part in value]
    if isinstance(value, dict):
        return {clean(str(name)): cleaned(part) for name, part in value.items()}
    return value

"""What stops a cell, in one sentence that shows the place, instead of Python's own many lines."""

from __future__ import annotations

import re

#: What Python says of a slip at the keyboard, and what to say instead.
_SLIPS = (
    (
        r"unterminated .*string",
        "a quotation mark is missing: a text begins and ends with one",
    ),
    (
        r"leading zeros|octal",
        "a number is written with a comma or with a zero in front: Python writes decimals with "
        "a point, as in 12.05",
    ),
    (
        r"invalid character .[\u201c\u201d\u201e\u2018\u2019\u00ab\u00bb]",
        "the quotation marks are of a kind that Python does not know: use the straight ones",
    ),
    (r"invalid (non-printable )?character", "there is a sign that Python does not know"),
    (r"invalid .*literal", "a number and letters run into one another: take the unit away"),
    (r"was never closed|incomplete input", "a bracket is opened and never closed"),
    (r"unmatched|' does not match", "there is a bracket too many, or one of another kind"),
    (r"expected ':'", "the colon at the end is missing"),
    (r"expected an indented block", "the line below it must stand further in"),
    (r"indent", "it does not stand as far in as the lines around it"),
    (r"'=='|cannot assign", "left of the = stands something that cannot be given a value"),
    (r"forgot a comma", "something is missing between two things, a comma or a sign"),
)
#: The last is what Python 3.13 and later call code that ends too early.
_SYNTAX = ("SyntaxError", "IndentationError", "TabError", "_IncompleteInputError")
#: What stops code that can be read: what Python calls it, what it says, and what to say instead.
_STOPS = (
    (
        "TypeError|AttributeError",
        "ellipsis",
        "there are still three dots where a value belongs",
    ),
    ("TypeError", "(?P<said>.*argument.*)", "the call does not fit: {said}"),
    ("ZeroDivisionError", "", "here something is divided by zero"),
    (
        "ModuleNotFoundError",
        r"named '(?P<said>\w+)",
        "there is no library called {said} here",
    ),
    ("RecursionError", "", "the function calls itself again and again, without an end"),
    ("MemoryError", "", "this needs more memory than there is"),
    (
        "EOFError|StdinNotImplementedError",
        "",
        "nothing can be typed in while code runs: write the value into the code",
    ),
    ("SystemExit", "", "the code ended Python: leave that line out"),
    ("ValueError|AttributeError", r"^(?P<said>.*?)\.?$", "{said}"),
)


def what_stopped(name: str, message: str, line: str = "") -> str:
    """One sentence on an error, with the line it stopped at.

    Parameters
    ----------
    name : str
        What Python calls the error, as in ``NameError``.
    message : str
        What it says about it.
    line : str, optional
        The line of the cell, where it is known.

    Examples
    --------
    >>> what_stopped("SyntaxError", "expected ':'", "def f(x)")
    'Look at `def f(x)`: the colon at the end is missing.'
    >>> what_stopped("NameError", "name 'C' is not defined", "answer_2 = C")
    'Look at `answer_2 = C`: C stands without quotation marks: write "C".'
    """
    shown = line.strip()
    if len(shown) > 80:
        shown = f"{shown[:77]}..."
    return (f"Look at `{shown}`: " if shown else "") + in_words(name, message, line)


def in_words(name: str, message: str, line: str = "") -> str:
    """The sentence without its place.

    Examples
    --------
    >>> in_words("ZeroDivisionError", "division by zero")
    'here something is divided by zero.'
    """
    if name in _SYNTAX:
        found = (words for pattern, words in _SLIPS if re.search(pattern, message))
        return f"{next(found, 'this line cannot be read: look one line up as well')}."
    unknown = re.search(r"name '(\w+)' is not defined", message)
    if name == "NameError" and unknown is not None:
        return _unknown_name(unknown[1], line.strip())
    if name == "KeyboardInterrupt":
        return "stopped, as you wished."
    for names, pattern, words in _STOPS:
        said = re.search(pattern, message, re.DOTALL)
        if re.fullmatch(names, name) and said is not None:
            return f"{words.format(**said.groupdict())}."
    return f"it stops here ({name}: {message.rstrip('.')})."


def _unknown_name(name: str, line: str) -> str:
    """What to say of a name that has no value."""
    alone = re.fullmatch(rf"(\w+)\s*=\s*{name}\s*(#.*)?", line)
    if alone is not None and (len(name) == 1 or alone[1] == "my_id"):
        return f'{name} stands without quotation marks: write "{name}".'
    if name == "my_id":
        return "your id has no value yet. Put the cell with your id right and run it first."
    if name == "task":
        return "the exercise is not open yet. Run the cells at the top, one after the other, first."
    if re.match(r"(answer|reason)_\w", name) or ".check(" in line:
        return (
            f"{name} has no value yet. Run your own cell above first; if it stops there, put that "
            "right."
        )
    return (
        f"the name {name} is not known here. Is it spelt as where it was made, and has that cell "
        "run? A word meant as text needs quotation marks."
    )

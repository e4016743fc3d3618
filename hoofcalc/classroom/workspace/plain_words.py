"""In the learner's notebook: an error is one sentence that shows the place, and no red wall."""

from __future__ import annotations

import functools
import linecache
import sys
from typing import Any

from hoofcalc.classroom.model.keyboard import what_stopped
from hoofcalc.classroom.model.working import Message


def say_it_in_words() -> None:
    """From here on this notebook says in one sentence what stops a cell.

    Outside a notebook nothing changes.

    References
    ----------
    Definition.

    Examples
    --------
    >>> say_it_in_words()
    """
    ipython = sys.modules.get("IPython")
    shell = ipython.get_ipython() if ipython is not None else None
    if shell is not None and hasattr(shell, "kernel"):
        shell._showtraceback = functools.partial(_say, shell)


def _say(shell: Any, kind: type[BaseException], trouble: BaseException, _lines: Any) -> None:
    from IPython.display import display

    words = what_stopped(kind.__name__, str(trouble), _line(trouble))
    shell._last_traceback = [words]  # what the kernel's answer carries along
    display(Message("keep going", words))


def _line(trouble: BaseException) -> str:
    """The line of the learner's own cell where it stopped."""
    if isinstance(trouble, SyntaxError):
        return trouble.text or ""
    place, line = trouble.__traceback__, ""
    while place is not None:
        name = place.tb_frame.f_code.co_filename
        if "ipykernel_" in name or name.startswith("<ipython-input"):
            line = linecache.getline(name, place.tb_lineno)
        place = place.tb_next
    return line

"""Python's half of a page in the browser: it runs in a Web Worker, on plain data.

Each function takes its arguments as JSON and gives back JSON and, for a figure, the points as
bytes. Nothing is calculated here: figures and checks are the library's own.
"""

from __future__ import annotations

import ast
import contextlib
import io
import json
import re
import traceback
import warnings
from pathlib import Path
from typing import Any

from hoofcalc.classroom.model.plain_data import MOST_TEXT
from hoofcalc.classroom.model.working import HEADINGS, HINTS, Message, Task, open_exercise
from hoofcalc.figures import EVERY_FIGURE, EVERY_PREDICTION
from hoofcalc.figures.wire import state

Reply = tuple[str, bytes]
#: The name that a learner's code goes by in a traceback.
_YOURS = "your code"


def figure(words: str) -> Reply:
    """A figure at a setting.

    Parameters
    ----------
    words
        JSON: `name`, and `values` by name.

    Returns
    -------
    tuple
        What the browser must know, as JSON, and the points as 32-bit floats.
    """
    asked = json.loads(words)
    one = EVERY_FIGURE[asked["name"]]
    found = state(one, one.frame(asked["values"]))
    floats = found.pop("floats", b"")
    return json.dumps(found, default=float), bytes(floats)


def judge(words: str) -> Reply:
    """What a curve drawn by hand was found to be.

    Parameters
    ----------
    words
        JSON: `name` of the lesson, and the heights `drawn`, column by column.

    Returns
    -------
    tuple
        JSON: name, belief and message; no bytes.
    """
    asked = json.loads(words)
    return json.dumps(EVERY_PREDICTION[asked["name"]].judge(asked["drawn"]).told()), b""


def numbers(words: str) -> Reply:
    """A learner's own numbers.

    Parameters
    ----------
    words
        JSON: `exercise`, `id` and the exercise's `hints`.

    Returns
    -------
    tuple
        JSON: the numbers by name, as they are shown; no bytes.
    """
    asked = json.loads(words)
    own = vars(_task(asked).numbers)
    return json.dumps({name: f"{value:g}" for name, value in own.items()}), b""


def check(words: str) -> Reply:
    """Run a learner's cells and look at one answer.

    Parameters
    ----------
    words
        JSON: `exercise`, `id`, `hints`; `before`, the sources of the cells above; `source`, the
        cell that is looked at; `question` and the names of its `answers`.

    Returns
    -------
    tuple
        JSON: `state`, `heading`, `words` and `note` of the message, what was `printed`, and
        `trouble`, where the code stopped; no bytes.
    """
    asked = json.loads(words)
    task = _task(asked)
    namespace: dict[str, Any] = {"__name__": "__main__", "my_id": asked["id"], "task": task}
    for source in asked["before"]:  # what is wrong there is said there
        _run(source, namespace)
    printed, trouble = _run(asked["source"], namespace)
    answers = [namespace.get(name) for name in asked["answers"]]
    said = task.check(asked["question"], *answers)
    if trouble:
        said = Message("keep going", trouble)
    sign, _, heading = HEADINGS[said.state].partition(" ")
    return json.dumps(
        {
            "state": said.state,
            "sign": sign,
            "heading": heading,
            "words": said.words,
            "note": said.note,
            "printed": printed,
            "trouble": bool(trouble),
        }
    ), b""


def _task(asked: dict[str, Any]) -> Task:
    """The exercise, opened as in a notebook: its hints lie in the folder."""
    Path(HINTS).write_text(asked["hints"], encoding="utf-8")
    return open_exercise(asked["exercise"], asked["id"])


def _run(source: str, namespace: dict[str, Any]) -> tuple[str, str]:
    """Run a cell: what it printed or showed, and one sentence on where it stopped."""
    said = io.StringIO()
    try:
        code = ast.parse(source, _YOURS)
        last = code.body.pop() if code.body and isinstance(code.body[-1], ast.Expr) else None
        with (
            contextlib.redirect_stdout(said),
            contextlib.redirect_stderr(said),
            warnings.catch_warnings(),
        ):
            warnings.simplefilter("ignore")  # their words are for programmers
            exec(compile(code, _YOURS, "exec"), namespace)
            if isinstance(last, ast.Expr):
                shown = eval(compile(ast.Expression(last.value), _YOURS, "eval"), namespace)
                if shown is not None:
                    print(repr(shown))
    except ModuleNotFoundError as missing:
        if (missing.name or "").split(".")[0] == "scipy":
            raise  # it is fetched, and everything runs again
        return said.getvalue()[:MOST_TEXT], _where(missing) + in_words(missing)
    except BaseException as trouble:
        return said.getvalue()[:MOST_TEXT], _where(trouble) + in_words(trouble)
    return said.getvalue()[:MOST_TEXT], ""


def _where(trouble: BaseException) -> str:
    """The line of the learner's own code that it stopped in."""
    if isinstance(trouble, SyntaxError):
        return f"Line {trouble.lineno}: " if trouble.lineno else ""
    lines = [
        step.lineno
        for step in traceback.extract_tb(trouble.__traceback__)
        if step.filename == _YOURS
    ]
    return f"Line {lines[-1]}: " if lines else ""


def in_words(trouble: BaseException) -> str:
    """What stopped a learner's code, in one plain sentence.

    Parameters
    ----------
    trouble
        The error.

    Returns
    -------
    str
        The sentence.
    """
    says = str(trouble)
    match trouble:
        case IndentationError():
            return (
                "the blanks at the beginning of the line do not fit those of the line above. What "
                "belongs into a function stands four blanks further in."
            )
        case SyntaxError():
            return _of_syntax(says)
        case NameError():
            name = re.search(r"'(.+?)'", says)
            called = f"the name {name[1]}" if name else "a name"
            return (
                f"{called} is not known here. Is it spelt as above? A word meant as text needs "
                "quotation marks."
            )
        case ZeroDivisionError():
            return "here something is divided by zero."
        case ModuleNotFoundError():
            return f"there is no library called {trouble.name} here."
        case TypeError() if "ellipsis" in says:
            return "there are still three dots where a value belongs."
        case TypeError() if "argument" in says:
            return f"the call does not fit: {says}."
        case AttributeError() if "ellipsis" in says:
            return "there are still three dots where a value belongs."
        case RecursionError():
            return "the function calls itself again and again, without an end."
        case MemoryError():
            return "this needs more memory than there is."
        case EOFError():
            return "nothing can be typed in here while code runs; write the value into the code."
        case SystemExit() | KeyboardInterrupt():
            return "the code ended Python; leave that line out."
        case ValueError() | AttributeError():
            return f"{says.rstrip('.')}."
    return f"it stops here ({type(trouble).__name__}: {says.rstrip('.')})."


def _of_syntax(says: str) -> str:
    """What Python could not read, for those who do not know its words."""
    if "unterminated string" in says:
        return "a quotation mark is missing: a text begins and ends with one."
    if "was never closed" in says:
        bracket = re.search(r"'(.)'", says)
        return f"the bracket {bracket[1] if bracket else ''} is opened and never closed."
    if "unmatched" in says or "does not match" in says:
        return "a closing bracket does not fit the one that was opened."
    if "invalid character" in says:
        sign = re.search(r"'(.)'", says)
        return f"the sign {sign[1] if sign else ''} is none that Python knows; type a plain one."
    if "leading zeros" in says:
        return "a number does not begin with a nought here: write 5, not 05."
    if "expected ':'" in says:
        return "a colon ( : ) is missing at the end of the line."
    if "invalid decimal literal" in says:
        return "a number and a letter stand together: leave the unit out, or put a sign between."
    return "this line cannot be read. Look for a missing bracket, comma or sign, also one line up."

"""Python's half of a page in the browser: it runs in a Web Worker, on plain data.

Each function takes its arguments as JSON and gives back JSON and, for a figure, the points as
bytes. Nothing is calculated here: figures and checks are the library's own.
"""

from __future__ import annotations

import ast
import contextlib
import io
import json
import traceback
import warnings
from pathlib import Path
from typing import Any

from hoofcalc.classroom.model.keyboard import in_words
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
    except BaseException as trouble:
        if isinstance(trouble, ModuleNotFoundError) and (trouble.name or "").startswith("scipy"):
            raise  # it is fetched, and everything runs again
        return said.getvalue()[:MOST_TEXT], _in_words(trouble, source)
    return said.getvalue()[:MOST_TEXT], ""


def _in_words(trouble: BaseException, source: str) -> str:
    """What stopped a learner's code, in one sentence, with the line of it."""
    if isinstance(trouble, SyntaxError):
        number = trouble.lineno or 0
    else:
        steps = traceback.extract_tb(trouble.__traceback__)
        numbers = [step.lineno or 0 for step in steps if step.filename == _YOURS]
        number = numbers[-1] if numbers else 0
    lines = ["", *source.splitlines()]
    line = lines[number] if number < len(lines) else ""
    words = in_words(type(trouble).__name__, str(trouble), line)
    return f"Line {number}: {words}" if number else words

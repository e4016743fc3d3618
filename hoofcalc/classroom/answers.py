"""Runs inside the learner's own process: the cells, and plain data handed over. Judges nothing.

Started by ``jail.py`` as a script of its own, so it stands on the standard library
and IPython alone. Whatever the learner's code does to this process, it can change
nothing but its own answers: they are read and judged outside, as data.
"""

from __future__ import annotations

import builtins
import contextlib
import io
import json
import os
import re
import sys
import types
from typing import Any

MOST_TEXT = 20_000
MOST_VALUES = 10_000
MOST_PICTURES = 1_000_000
#: Built-in errors may be named outside; a name made by the learner's code may not.
_KNOWN_ERRORS = tuple(
    kind
    for kind in vars(builtins).values()
    if isinstance(kind, type) and issubclass(kind, BaseException)
)


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


class _Limited(io.TextIOBase):
    """A text stream that keeps the beginning and drops the rest."""

    def __init__(self) -> None:
        self.parts: list[str] = []
        self.left = MOST_TEXT

    def writable(self) -> bool:
        return True

    def write(self, text: str) -> int:
        if self.left > 0:
            kept = text[: self.left]
            self.parts.append(kept)
            self.left -= len(kept)
            if self.left <= 0:
                self.parts.append("\n... (the rest was cut off)\n")
        return len(text)

    def take(self) -> str:
        text = "".join(self.parts)
        self.parts.clear()
        self.left = MOST_TEXT
        return text


def main() -> None:
    """Read requests line by line, answer each with one line. See jail.py for the other side."""
    settings = json.loads(sys.argv[1])
    _limit(settings["limits"])
    sys.path.extend(path for path in settings["path"] if path not in sys.path)
    requests = os.fdopen(os.dup(0), "r", encoding="utf-8")
    replies = os.fdopen(os.dup(1), "w", encoding="utf-8")
    # what is printed past Python's own streams goes nowhere, so it cannot mix with the replies
    nowhere = os.open(os.devnull, os.O_RDWR)
    for number in (0, 1, 2):
        os.dup2(nowhere, number)
    desk = _Desk()
    dumps = json.dumps
    for line in requests:
        reply = desk.answer(json.loads(line))
        replies.write(dumps(reply) + "\n")
        replies.flush()


class _Desk:
    """One learner's session: a plain IPython shell, and the names it may hand over."""

    def __init__(self) -> None:
        from IPython.core.displayhook import CapturingDisplayHook
        from IPython.core.displaypub import CapturingDisplayPublisher
        from IPython.core.interactiveshell import InteractiveShell
        from traitlets.config import Config

        errors: list[dict[str, Any]] = []
        self.errors = errors

        class Shell(InteractiveShell):  # type: ignore[misc]
            def enable_gui(self, gui: Any = None) -> None:
                """No windows here; pictures are inline."""

            def _showtraceback(self, etype: Any, evalue: Any, stb: Any) -> None:
                errors.append(_error(etype, evalue, stb))

        class Hook(CapturingDisplayHook):  # type: ignore[misc]
            is_active = True  # asked for by the shell's own streams

        config = Config()
        config.HistoryManager.enabled = False
        config.InteractiveShell.colors = "nocolor"
        self.shell = Shell.instance(config=config)
        self.published = CapturingDisplayPublisher()
        self.shell.display_pub = self.published
        self.results: list[Any] = []
        self.shell.displayhook = self.shell.display_trap.hook = Hook(self.shell, self.results)
        self.out, self.err = _Limited(), _Limited()
        self.functions: dict[str, Any] = {}

    def answer(self, request: dict[str, Any]) -> dict[str, Any]:
        if request["do"] == "run":
            outputs = self.run(request["source"])
            return {"outputs": outputs, "values": self.values(request["names"])}
        if request["do"] == "values":
            return {"values": self.values(request["names"])}
        return {"value": self.call(request["name"], request["inputs"])}

    def run(self, source: str) -> list[dict[str, Any]]:
        self.errors.clear()
        self.published.outputs.clear()
        self.results.clear()
        outputs: list[dict[str, Any]] = []
        with contextlib.redirect_stdout(self.out), contextlib.redirect_stderr(self.err):
            self.shell.run_cell(source, store_history=False)
        for name, stream in (("stdout", self.out), ("stderr", self.err)):
            text = stream.take()
            if text:
                outputs.append({"output_type": "stream", "name": name, "text": text})
        outputs += [
            {"output_type": "display_data", "metadata": {}, "data": data}
            for shown in (*self.published.outputs, *self.results)
            if (data := _shown(shown["data"]))
        ]
        return outputs + self.errors[-1:]

    def values(self, names: list[str]) -> dict[str, Any]:
        found = {}
        for name in names:
            value = self.shell.user_ns.get(name)
            found[name] = plain(value)
            if found[name].get("is") == "a function":
                self.functions[name] = value
        return found

    def call(self, name: str, inputs: list[float]) -> dict[str, Any]:
        """Call the learner's function. What it prints or says in an error stays in here."""
        with contextlib.redirect_stdout(_Limited()), contextlib.redirect_stderr(_Limited()):
            try:
                return plain(self.functions[name](*inputs))
            except BaseException as trouble:
                known = next(k for k in type(trouble).__mro__ if k in _KNOWN_ERRORS)
                return {"raised": known.__name__}


def _shown(data: Any) -> dict[str, str]:
    """Text and pictures; nothing that a browser would run."""
    text = data.get("text/plain")
    picture = data.get("image/png")
    if isinstance(picture, bytes):
        import base64

        picture = base64.b64encode(picture).decode()
    shown = {}
    if isinstance(picture, str) and len(picture) < MOST_PICTURES:
        shown["image/png"] = picture
    if isinstance(text, str):
        shown["text/plain"] = text[:MOST_TEXT]
    return shown


def _error(etype: Any, evalue: Any, stb: Any) -> dict[str, Any]:
    try:
        # the shell's name for the cell means nothing to a learner
        words = re.sub(r"\(<ipython-input[^>]*>, line (\d+)\)", r"(line \1)", str(evalue)[:500])
    except BaseException:
        words = ""
    lines = stb if isinstance(stb, list) else [str(stb)]
    return {
        "output_type": "error",
        "ename": str(getattr(etype, "__name__", etype))[:100],
        "evalue": words,
        "traceback": [str(line)[:1000] for line in lines[-6:]],
    }


def _limit(limits: dict[str, int]) -> None:
    """Limits on this process where the system knows them (Linux, macOS); set before any cell."""
    if sys.platform == "win32":  # there only time and output are limited, from outside
        return
    import resource

    for name, limit in limits.items():
        which = getattr(resource, name, None)
        if which is not None:
            with contextlib.suppress(ValueError, OSError):
                resource.setrlimit(which, (limit, limit))


if __name__ == "__main__":
    main()

"""Runs inside the learner's own process: the cells, and plain data handed over. Judges nothing.

Started by ``runner.py`` as a script of its own, so it stands on the standard library
and IPython alone. Whatever the learner's code does to this process, it can change
nothing but its own answers: they are read and judged outside, as data.

On Linux one such script is kept warm: it loads everything once, runs no cell itself,
and forks a process for each hand-in, in namespaces of its own (``namespaces.py``).
"""

from __future__ import annotations

import base64
import builtins
import contextlib
import gc
import importlib
import io
import json
import os
import random
import re
import secrets
import select
import signal
import socket
import sys
import tempfile
import traceback
from pathlib import Path
from typing import Any

from hoofcalc.classroom.model.plain_data import MOST_TEXT, plain

#: How long a picture may be, and all pictures of a cell, as they are handed over [characters].
MOST_PICTURE, MOST_PICTURES = 1_000_000, 3_000_000
#: Built-in errors may be named outside; a name made by the learner's code may not.
_KNOWN_ERRORS = tuple(
    kind
    for kind in vars(builtins).values()
    if isinstance(kind, type) and issubclass(kind, BaseException)
)


#: A cell with a picture that leaves no name behind: the first one takes longest.
_ONE_PICTURE = """\
def _draw():
    from matplotlib import pyplot
    pyplot.plot([0, 1], [0, 1], label="x")
    pyplot.title("x"), pyplot.xlabel("x"), pyplot.ylabel("x"), pyplot.legend()
    pyplot.show()
_draw()
del _draw
"""


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
    """Answer requests line by line, or stay warm and fork a process for each hand-in."""
    settings = json.loads(sys.argv[1])
    sys.path.extend(path for path in settings["path"] if path not in sys.path)
    first, second = os.dup(0), os.dup(1)
    # what is printed past Python's own streams goes nowhere, so it cannot mix with the replies
    nowhere = os.open(os.devnull, os.O_RDWR)
    for number in (0, 1, 2):
        os.dup2(nowhere, number)
    if settings["warm"]:
        _stay_warm(first, settings)
    else:
        _leave_keyring()
        _limit(settings["limits"])
        _answer(_Desk(), first, second)


def _answer(desk: _Desk, requests: int, replies: int) -> None:
    """One line for each request, until there are no more. See runner.py for the other side."""
    dumps = json.dumps
    with (
        os.fdopen(requests, "r", encoding="utf-8") as asked,
        os.fdopen(replies, "w", encoding="utf-8") as said,
    ):
        for line in asked:
            said.write(dumps(desk.answer(json.loads(line))) + "\n")
            said.flush()


def _stay_warm(line: int, settings: dict[str, Any]) -> None:
    """Load everything once, with one thread, and fork a process for each hand-in."""
    control = socket.socket(fileno=line)
    desk = _Desk()
    _load(settings["load"])
    desk.run(_ONE_PICTURE)
    _share()
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # children need no waiting for
    control.send(b"ready")
    while True:
        message, ends, _, _ = socket.recv_fds(control, 10_000, 2)
        if not message:
            return
        order = json.loads(message)
        if any(module not in sys.modules for module in order["load"]):
            _load(order["load"])
            _share()
        forked = os.fork()
        if forked == 0:
            try:
                control.close()
                _look_after(desk, order, settings["shown"], *ends)
            finally:
                os._exit(0)
        control.send(str(forked).encode())
        for end in ends:
            os.close(end)


def _load(modules: list[str]) -> None:
    """Load what hand-ins use."""
    for module in modules:
        with contextlib.suppress(ImportError):
            importlib.import_module(module)


def _share() -> None:
    """Let children share what is loaded."""
    if len(list(Path("/proc/self/task").iterdir())) > 1:
        raise SystemExit("a process with several threads cannot be forked safely")
    gc.collect()
    gc.freeze()


def _look_after(
    desk: _Desk, order: dict[str, Any], shown: list[str], requests: int, replies: int
) -> None:
    """Enter namespaces, fork the process inside, and end all of it when it ends or is hung up on.

    This process itself stays outside and runs no cell.
    """
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    with contextlib.suppress(OSError):  # should memory run out, these go first
        Path("/proc/self/oom_score_adj").write_text("1000")
    try:
        if order["namespaces"]:
            from hoofcalc.classroom.sandbox import namespaces

            namespaces.enter(shown, order["scratch_mb"])
            drop_rights, folder = namespaces.drop_rights, namespaces.SCRATCH
        else:
            drop_rights, folder = None, order["folder"]
    except OSError as problem:
        os.write(replies, json.dumps({"failed": str(problem)}).encode() + b"\n")
        return
    number = secrets.randbelow(1_000_000_000)  # another user each time, also after many hand-ins
    child = os.fork()
    if child == 0:
        os.setsid()
        if drop_rights is not None:
            drop_rights(number)
        else:
            _leave_keyring()
        _limit(order["limits"])
        learner = os.fork()
        if learner == 0:
            _be_the_learners(desk, folder, requests, replies)
            os._exit(0)
        os.close(requests)
        os.close(replies)
        while os.wait()[0] != learner:  # the first process inside takes in what is left
            pass
        os._exit(0)
    os.close(replies)
    watch = select.poll()
    watch.register(os.pidfd_open(child), select.POLLIN)
    watch.register(requests, 0)  # tells when the other side has hung up
    watch.poll()
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    with contextlib.suppress(ProcessLookupError):
        os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


def _leave_keyring() -> None:
    """Take no keys along, where the system keeps any."""
    if sys.platform == "linux":
        from hoofcalc.classroom.sandbox import namespaces

        namespaces.fresh_keyring()


def _be_the_learners(desk: _Desk, folder: str, requests: int, replies: int) -> None:
    """Set up a forked process as if it had just been started, and answer."""
    for number in range(3, 256):
        if number not in (requests, replies):
            with contextlib.suppress(OSError):
                os.close(number)
    os.chdir(folder)
    tempfile.tempdir = None
    for name in ("HOME", "TMPDIR", "TEMP"):
        os.environ[name] = folder
    os.environ["IPYTHONDIR"] = f"{folder}/.ipython"
    os.environ["MPLCONFIGDIR"] = f"{folder}/.matplotlib"
    _answer(desk, requests, replies)


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

            def showtraceback(self, exc_tuple: Any = None, *more: Any, **named: Any) -> None:
                kind, trouble, place = self._get_exc_info(exc_tuple)
                if isinstance(trouble, RecursionError):  # thousands of calls take seconds to show
                    lines = traceback.format_exception(kind, trouble, place, limit=-3)
                    self._showtraceback(kind, trouble, lines)
                else:
                    super().showtraceback(exc_tuple, *more, **named)

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
        if request["do"] == "look around":
            return _look_around(request["places"], request["port"])
        if request["do"] == "begin":
            return self.begin(request["files"], request["seed"])
        return {"value": self.call(request["name"], request["inputs"])}

    def begin(self, files: dict[str, str], seed: int) -> dict[str, Any]:
        """Lay the files into the working folder; the same random numbers each time."""
        for name, content in files.items():
            Path(name).write_bytes(base64.b64decode(content))
        random.seed(seed)
        with contextlib.suppress(ImportError):
            import numpy

            numpy.random.seed(seed)  # noqa: NPY002 (what learners call)
        return {"ready": True}

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
        left = MOST_PICTURES
        for shown in (*self.published.outputs, *self.results):
            data = _shown(shown["data"])
            left -= sum(map(len, data.values()))
            if left < 0:
                words = "... (the rest was left out: this cell shows too much)\n"
                outputs.append({"output_type": "stream", "name": "stdout", "text": words})
                break
            if data:
                outputs.append({"output_type": "display_data", "metadata": {}, "data": data})
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


def _look_around(places: list[str], port: int) -> dict[str, Any]:
    """Which places can be seen from here, and whether there is a network. Before any cell."""
    seen = [place for place in places if os.path.lexists(place)]
    try:
        socket.create_connection(("127.0.0.1", port), timeout=2).close()
        network = True
    except OSError:
        network = any(name != "lo" for _, name in socket.if_nameindex())
    return {"seen": seen, "network": network}


def _shown(data: Any) -> dict[str, str]:
    """Text and pictures; nothing that a browser would run."""
    text = data.get("text/plain")
    picture = data.get("image/png")
    if isinstance(picture, bytes):
        picture = base64.b64encode(picture).decode()
    shown = {}
    if isinstance(picture, str) and len(picture) < MOST_PICTURE:
        shown["image/png"] = picture
    if isinstance(text, str):
        shown["text/plain"] = text[:MOST_TEXT]
    return shown


def _error(etype: Any, evalue: Any, stb: Any) -> dict[str, Any]:
    try:
        # the shell's name for the cell means nothing to a learner
        words = re.sub(r"\(<ipython-input[^>]*>, line (\d+)\)", r"(line \1)", str(evalue)[:480])
        place = evalue.__traceback__ if not isinstance(evalue, SyntaxError) else None
        lines_in_cell = [
            line
            for frame, line in traceback.walk_tb(place)
            if frame.f_code.co_filename.startswith("<ipython-input")
        ]
        if lines_in_cell:
            words += f" (line {lines_in_cell[-1]})"
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

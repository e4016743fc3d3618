"""The learner's code runs in a process of its own, walled off, and hands over plain data.

This is the trusted side: it starts the process (``worker.py``), feeds it cell by
cell, reads data of limited size, and ends it. A cell that hangs or kills the
process is left out and the rest is run again, so that other answers keep their
points. Deciding calls of a learner's function come after all cells, and nothing
printed then is kept.

How the process comes about, the best first:

========================  ===============================  ==============================
where                     process                          walled off by
========================  ===============================  ==============================
Linux with namespaces     forked from one that is warm     itself (``namespaces.py``)
Linux with bubblewrap     started afresh                   bubblewrap
any other Linux           forked from one that is warm     nothing: `weaker_mode` says so
macOS, Windows            started afresh                   nothing: `weaker_mode` says so
========================  ===============================  ==============================
"""

from __future__ import annotations

import atexit
import base64
import contextlib
import functools
import json
import os
import platform
import queue
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

from hoofcalc.classroom.model.forms import Wire
from hoofcalc.classroom.model.plain_data import A_FUNCTION
from hoofcalc.classroom.sandbox import namespaces, replies, worker
from hoofcalc.classroom.sandbox.family import processor_s, uses_more_than

_PACKAGE = Path(__file__).resolve().parents[2]
#: Python with nothing of the instructor's: the environment is bare, see `_environment`.
_PYTHON = (sys.executable, "-s", "-P")
#: How long a process may take to start on a busy machine [s].
_START_S = 240.0
#: How often its memory is looked at [s].
_LOOK_S = 0.1
#: How long what it said before it ended may take to come through [s].
_LAST_S = 1.0
#: How many times as long a process may take when it waits, or when others keep the machine busy.
_PATIENCE = 5.0
#: What the warm process loads beforehand: all that lessons and exercises use ...
_LOADED = (
    "hoofcalc.classroom",
    *(
        f"hoofcalc.{part}"
        for part in (
            "angles",
            "columns",
            "ground_force",
            "landing",
            "profile",
            "horn",
            "capsule",
            "loadpath",
            "reading",
            "cycle",
            "datasets",
        )
    ),
    "hoofcalc.pictures",
    "fractions",
    "decimal",
    "statistics",
)
#: ... and what only some do: loaded when a hand-in first names it.
_LOADED_WHEN_NAMED = {
    "scipy": ("scipy.interpolate", "scipy.optimize", "scipy.special"),
    "fixed_points": ("scipy.optimize",),
}


@dataclass(frozen=True)
class Limits:
    """How much a hand-in may use, all its processes and cells together.

    Times for a cell and a call are those of the processor; `total_s` is that of the clock.
    """

    cell_s: float = 10.0
    call_s: float = 5.0
    total_s: float = 120.0
    memory_mb: int = 2048
    file_mb: int = 20
    scratch_mb: int = 64
    processes: int = 32
    reply_bytes: int = 4_000_000
    output_bytes: int = 4_000_000


@dataclass(frozen=True)
class Step:
    """A cell to run, its place in the notebook, and the names it hands over afterwards."""

    source: str
    place: int
    names: tuple[str, ...] = ()


@dataclass
class Report:
    """What came out: plain data and outputs, nothing that can act."""

    values: dict[str, Wire] = field(default_factory=dict)
    results: dict[str, list[Wire]] = field(default_factory=dict)
    outputs: dict[int, list[dict[str, Any]]] = field(default_factory=dict)
    #: Cells that had to be left out, and why, in words.
    left_out: dict[int, str] = field(default_factory=dict)


class SandboxError(Exception):
    """The learner's process could not be started or walled off; no fault of the learner's."""


class LostError(Exception):
    """The learner's process is gone, or had to be ended; the message says why."""


def run(
    steps: Sequence[Step],
    names: Sequence[str],
    calls: Mapping[str, Sequence[tuple[float, ...]]],
    *,
    files: Mapping[str, bytes] | None = None,
    limits: Limits | None = None,
    seed: int = 0,
) -> Report:
    """Run the cells in order, collect `names`, then make the deciding `calls`.

    Parameters
    ----------
    steps : sequence of Step
        The cells, in the order in which they run.
    names : sequence of str
        The names to hand over. Each is taken after the step that lists it, or else at the end.
    calls : mapping
        Inputs to call each learner's function with, after everything else.
    files : mapping, optional
        Files that lie in the working folder, by name.
    limits : Limits, optional
        How much the hand-in may use.
    seed : int, optional
        Where random numbers begin, 0 to 2**32 - 1.

    Returns
    -------
    Report
        Values, results and outputs. A hand-in that breaks leaves blanks, not an error.
    """
    limits = limits or Limits()
    end = time.monotonic() + limits.total_s
    load = [
        module
        for word, modules in _LOADED_WHEN_NAMED.items()
        for module in modules
        if any(word in step.source for step in steps)
    ]
    left_out: dict[int, str] = {}
    while True:
        report = Report(left_out=left_out)
        with _desk(files or {}, limits, end, seed, load) as desk:
            bad = _run_steps(desk, steps, names, report)
            if bad is None:
                _make_calls(desk, calls, report)
                return report
        place, why = bad
        if place in left_out or time.monotonic() > end:
            # out of time: what has been handed over so far counts
            report.left_out.setdefault(place, why)
            return report
        left_out[place] = why


def _run_steps(
    desk: _Desk, steps: Sequence[Step], names: Sequence[str], report: Report
) -> tuple[int, str] | None:
    """Run what is not left out; the place and reason of a step that ended the process."""
    left = desk.limits.output_bytes
    for step in steps:
        if step.place in report.left_out:
            continue
        try:
            reply = desk.ask({"do": "run", "source": step.source, "names": step.names})
        except LostError as lost:
            return step.place, str(lost)
        shown, left = replies.outputs(reply, left)
        report.outputs.setdefault(step.place, []).extend(shown)
        for name, wire in replies.values(reply, step.names).items():
            if not wire.get("blank"):
                report.values[name] = wire
    missing = [name for name in names if name not in report.values]
    if missing:
        with contextlib.suppress(LostError):
            report.values |= replies.values(desk.ask({"do": "values", "names": missing}), missing)
    return None


def _make_calls(
    desk: _Desk, calls: Mapping[str, Sequence[tuple[float, ...]]], report: Report
) -> None:
    for name, inputs in calls.items():
        results: list[Wire] = []
        if report.values.get(name, {}).get("is") == A_FUNCTION:
            try:
                for values in inputs:
                    reply = desk.ask({"do": "call", "name": name, "inputs": values}, calling=True)
                    results.append(replies.result(reply.get("value")))
            except LostError as lost:
                results += [{"lost": str(lost)}] * (len(inputs) - len(results))
        report.results[name] = results


class _Desk:
    """The learner's process, seen from outside: ask, and get a line of JSON back in time."""

    def __init__(
        self, requests: BinaryIO, answers: BinaryIO, process: int, limits: Limits, end: float
    ) -> None:
        self.requests, self.answers, self.limits, self.end = requests, answers, limits, end
        self.process = process
        self.lines: queue.Queue[bytes] = queue.Queue(maxsize=1)
        self.listener = threading.Thread(target=self._listen, daemon=True)
        self.listener.start()

    def _listen(self) -> None:
        with contextlib.suppress(OSError, ValueError):
            while line := self.answers.readline(self.limits.reply_bytes):
                self.lines.put(line)
        self.lines.put(b"")

    def begin(self, files: Mapping[str, bytes], seed: int) -> None:
        """The first request, before any cell: a failure here is not the learner's."""
        laid = {Path(name).name: base64.b64encode(data).decode() for name, data in files.items()}
        try:
            reply = self._ask({"do": "begin", "files": laid, "seed": seed}, _START_S)
        except LostError as lost:
            raise SandboxError(f"the process for the hand-in did not start: {lost}") from None
        if "failed" in reply:
            raise SandboxError(f"the hand-in could not be walled off: {reply['failed']}")

    def ask(self, request: Mapping[str, Any], *, calling: bool = False) -> dict[str, Any]:
        """Ask within the limits of time. Raises LostError where no answer comes."""
        allowed = self.limits.call_s if calling else self.limits.cell_s
        return self._ask(request, allowed, _PATIENCE)

    def _ask(
        self, request: Mapping[str, Any], within_s: float, patience: float = 1.0
    ) -> dict[str, Any]:
        try:
            self.requests.write(json.dumps(request).encode() + b"\n")
            self.requests.flush()
            line = self._next_line(within_s, patience)
        except queue.Empty:
            words = f"it ran for longer than {within_s:g} seconds and was stopped"
            raise LostError(words) from None
        except OSError:
            line = self._last_word()
        if not line:
            raise LostError("it ended Python itself")
        try:
            reply = json.loads(line)
        except (ValueError, RecursionError):
            reply = None
        if not isinstance(reply, dict) or not line.endswith(b"\n"):
            raise LostError("what it handed over cannot be read")
        return reply

    def _last_word(self) -> bytes:
        """What a process still said that ended before it was asked: why it could not begin."""
        with contextlib.suppress(queue.Empty):
            return self.lines.get(timeout=_LAST_S)
        return b""

    def _next_line(self, within_s: float, patience: float) -> bytes:
        """The next line of the process's, while it is watched. Raises queue.Empty.

        `within_s` counts in time of the processor, so that a busy machine harms nobody; a
        process that waits is waited for `patience` times as long.
        """
        began = now = time.monotonic()
        used = None
        while True:
            try:
                return self.lines.get(timeout=max(0.0, min(_LOOK_S, self.end - now, within_s)))
            except queue.Empty:
                now = time.monotonic()
            if uses_more_than(self.limits.memory_mb, self.process):
                raise LostError(f"it used more than {self.limits.memory_mb} MB of memory")
            if now >= self.end or now - began >= patience * within_s:
                raise queue.Empty
            if used is None:
                used = processor_s(self.process)
            elif now - began >= within_s and processor_s(self.process) - used >= within_s:
                raise queue.Empty

    def hang_up(self) -> None:
        """No more requests: a process that is looked after is ended by this."""
        with contextlib.suppress(OSError):
            self.requests.close()

    def clear(self) -> None:
        """Wait until nobody is left who could write, and drop what was still said."""
        end = time.monotonic() + _START_S
        while self.listener.is_alive() and time.monotonic() < end:
            with contextlib.suppress(queue.Empty):
                if not self.lines.get(timeout=_LOOK_S):
                    break  # its last word
        with contextlib.suppress(OSError):
            self.answers.close()


@contextlib.contextmanager
def _desk(
    files: Mapping[str, bytes], limits: Limits, end: float, seed: int, load: Sequence[str] = ()
) -> Iterator[_Desk]:
    """A process for the learner's code in an empty folder; nothing of it is left behind."""
    forked = _way() in ("namespaces", "fork")
    with _forked(limits, end, load) if forked else _started(limits, end) as desk:
        desk.begin(files, seed)
        yield desk


@contextlib.contextmanager
def _forked(limits: Limits, end: float, load: Sequence[str]) -> Iterator[_Desk]:
    """Fork the process from the warm one. It is ended from there when we hang up."""
    with contextlib.ExitStack() as stack:
        order: dict[str, Any] = {
            "load": load,
            "namespaces": _way() == "namespaces",
            "limits": _resource_limits(limits),
            "scratch_mb": limits.scratch_mb,
        }
        if _way() == "fork":
            order["folder"] = str(stack.enter_context(_scratch_folder()))
        requests, answers, process = _warm().fork(order)
        desk = _Desk(requests, answers, process, limits, end)
        try:
            yield desk
        finally:
            desk.hang_up()
            desk.clear()


@contextlib.contextmanager
def _started(limits: Limits, end: float) -> Iterator[_Desk]:
    """Start the process afresh, inside bubblewrap where there is one."""
    with _scratch_folder() as scratch:
        path, shown = _readable()
        settings = {"warm": False, "path": path, "limits": _resource_limits(limits)}
        bubblewrap = (
            _bubblewrap(scratch, shown, limits.scratch_mb) if _way() == "bubblewrap" else []
        )
        process = subprocess.Popen(
            [*bubblewrap, *_PYTHON, worker.__file__, json.dumps(settings)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=scratch,
            env=_environment(scratch),
            start_new_session=True,
        )
        assert process.stdin is not None
        assert process.stdout is not None
        desk = _Desk(process.stdin, process.stdout, process.pid, limits, end)  # type: ignore[arg-type]
        try:
            yield desk
        finally:
            with contextlib.suppress(OSError):
                if hasattr(os, "killpg"):
                    os.killpg(process.pid, signal.SIGKILL)
                else:
                    process.kill()
            process.wait()
            desk.hang_up()
            desk.clear()


@contextlib.contextmanager
def _scratch_folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="hoofcalc-", ignore_cleanup_errors=True) as folder:
        yield Path(folder).resolve()


class _Warm:
    """A process with everything loaded that forks one for each hand-in. It knows no key."""

    def __init__(self) -> None:
        self.owner = os.getpid()
        self.lock = threading.Lock()
        self.folder = tempfile.TemporaryDirectory(prefix="hoofcalc-", ignore_cleanup_errors=True)
        path, shown = _readable()
        settings = {
            "warm": True,
            "path": path,
            "shown": [str(place) for place in shown],
            "load": _LOADED,
        }
        self.line, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        with theirs:
            self.process = subprocess.Popen(
                [*_PYTHON, worker.__file__, json.dumps(settings)],
                stdin=theirs.fileno(),
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                cwd=self.folder.name,
                env=_environment(Path(self.folder.name)),
                start_new_session=True,
            )
        self.line.settimeout(_START_S)
        self.loaded = False

    def _wait_until_loaded(self) -> None:
        with contextlib.suppress(OSError):
            self.loaded = self.line.recv(100) == b"ready"
        if not self.loaded:
            self.close()
            raise SandboxError("the process that hand-ins are forked from did not start")

    def fork(self, order: Mapping[str, Any]) -> tuple[BinaryIO, BinaryIO, int]:
        """Have a process forked: where to write requests, where to read replies, its number."""
        theirs_in, ours_out = os.pipe()
        ours_in, theirs_out = os.pipe()
        try:
            with self.lock:
                if not self.loaded:
                    self._wait_until_loaded()
                socket.send_fds(self.line, [json.dumps(order).encode()], [theirs_in, theirs_out])
                process = int(self.line.recv(100))
        finally:
            os.close(theirs_in)
            os.close(theirs_out)
        return os.fdopen(ours_out, "wb"), os.fdopen(ours_in, "rb"), process

    def alive(self) -> bool:
        """Whether it is there, and ours: a forked worker needs one of its own."""
        return self.owner == os.getpid() and self.process.poll() is None

    def close(self) -> None:
        """Let it go."""
        self.line.close()
        if self.owner == os.getpid():
            self.process.kill()
            self.process.wait()
            self.folder.cleanup()


_kept_warm: list[_Warm] = []
_one_at_a_time = threading.Lock()


def _warm() -> _Warm:
    """The warm process, started when it is first needed."""
    with _one_at_a_time:
        if not (_kept_warm and _kept_warm[0].alive()):
            let_go()
            _kept_warm.append(_Warm())
        return _kept_warm[0]


def get_ready() -> None:
    """Begin with what takes long before the first hand-in, and do not wait for it."""
    if platform.system() == "Linux":
        _warm()  # it loads while the walls are tried
        if _way() == "bubblewrap":
            let_go()


@atexit.register
def let_go() -> None:
    """End the warm process, if there is one."""
    while _kept_warm:
        _kept_warm.pop().close()


def isolated() -> bool:
    """Whether hand-ins run without network and without sight of anything but the course."""
    return _way() in ("namespaces", "bubblewrap")


def weaker_mode() -> str:
    """What to tell the instructor where hand-ins are not walled off; empty where they are."""
    if isolated():
        return ""
    return (
        "Hand-ins run in processes of their own with limits, but not walled off: this machine "
        "offers no way to (Linux: install the package 'bubblewrap'). Mark only hand-ins of people "
        "you know, or mark in a virtual machine."
    )


def refuse_if_seen(hidden: Mapping[str, Path]) -> None:
    """Try from inside to see what must be hidden, before any hand-in is marked.

    Parameters
    ----------
    hidden : mapping
        Files and folders, by what they are to be called.

    Raises
    ------
    SandboxError
        If something in `hidden`, or the network, can be reached where hand-ins are walled off.
        Where they are not, nothing is tried: `weaker_mode` says what that means.
    """
    if not isolated():
        return
    whose = {
        str(place): (words, path)
        for words, path in hidden.items()
        for place in _telling(path.resolve(), _readable()[1])
    }
    limits = Limits()
    with (
        socket.create_server(("127.0.0.1", 0)) as listening,
        _desk({}, limits, time.monotonic() + _START_S, 0) as desk,
    ):
        port = listening.getsockname()[1]
        try:
            found = desk._ask({"do": "look around", "places": list(whose), "port": port}, _START_S)
        except LostError as lost:
            raise SandboxError(f"the sandbox could not be tried out: {lost}") from None
    if found["network"]:
        raise SandboxError("Nothing was marked: a hand-in could use the network.")
    if found["seen"]:
        words, path = whose[found["seen"][0]]
        raise SandboxError(
            f"Nothing was marked: a hand-in could see {words} ({path}), because they lie in a "
            "folder of the system or of Python's. Move them, or install hoofcalc into an "
            "environment elsewhere."
        )


def _telling(path: Path, shown: Sequence[Path]) -> list[Path]:
    """What there is of `path` that is not shown on purpose, nor on the way to what is."""
    try:
        inner = [place.resolve() for place in shown]
        if not any(place.is_relative_to(path) for place in inner):
            return [path] if path.exists() else []
        entries = list(path.iterdir())[:200]
        return [one for one in entries if not any(place.is_relative_to(one) for place in inner)]
    except OSError:
        return []


@functools.cache
def _way() -> str:
    """How processes for hand-ins come about here: the best of what works."""
    if platform.system() != "Linux":
        return "start"
    shown = _readable()[1]
    if _works([*_PYTHON, namespaces.__file__, *map(str, shown)]):
        return "namespaces"
    with _scratch_folder() as scratch:
        if shutil.which("bwrap") and _works([*_bubblewrap(scratch, shown), *_PYTHON, "-c", ""]):
            return "bubblewrap"
    return "fork"


def _works(command: Sequence[str]) -> bool:
    with _scratch_folder() as scratch:
        try:
            environment = _environment(scratch)
            done = subprocess.run(
                command, env=environment, capture_output=True, timeout=_START_S, check=False
            )
        except (OSError, subprocess.TimeoutExpired):
            return False
        return done.returncode == 0


def _bubblewrap(scratch: Path, shown: Sequence[Path], scratch_mb: int = 64) -> list[str]:
    """What stands before the command so that the process sees only what it needs.

    No network, no other processes, no file but the installed packages, the course as
    handed out and the scratch folder.
    """
    command = ["bwrap", "--unshare-all", "--die-with-parent", "--cap-drop", "ALL"]
    command += ["--uid", "65534", "--gid", "65534"]
    for system in namespaces.SYSTEM:
        place = Path(system)
        if place.is_symlink():
            command += ["--symlink", str(place.readlink()), system]
        elif place.exists():
            command += ["--ro-bind", system, system]
    command += ["--proc", "/proc", "--dev", "/dev", "--tmpfs", "/tmp"]
    for place in shown:
        command += ["--ro-bind-try", str(place), str(place)]
    size = str(scratch_mb * 1024 * 1024)
    return [*command, "--size", size, "--tmpfs", str(scratch), "--chdir", str(scratch)]


@functools.cache
def _readable() -> tuple[list[str], list[Path]]:
    """The import path of the learner's process, and the folders it may see.

    Of a checkout only the package and what is handed out, never the keys beside it.
    """
    checkout = _PACKAGE.parent
    # where packages are installed; a folder that someone happens to work in is not shown
    kept = [
        entry
        for entry in dict.fromkeys(sys.path)
        if Path(entry).is_dir()
        and (
            Path(entry).name in ("site-packages", "dist-packages")
            or any(_inside(Path(entry), Path(base)) for base in (sys.prefix, sys.base_prefix))
        )
    ]
    path = [*kept, str(checkout)]
    shown = [Path(sys.prefix), Path(sys.base_prefix), *(Path(entry) for entry in kept), _PACKAGE]
    shown += [checkout / part for part in ("pyproject.toml", "datasets", "exercises/release")]
    shown += [Path(sys.executable).resolve().parents[2]]
    return path, [place for place in dict.fromkeys(shown) if place.exists() and place != checkout]


def _inside(place: Path, folder: Path) -> bool:
    return place.resolve().is_relative_to(folder.resolve())


def _environment(scratch: Path) -> dict[str, str]:
    """A bare environment: nothing of the instructor's, pictures inline, one thread."""
    kept = {
        name: os.environ[name] for name in ("SYSTEMROOT", "LANG", "LC_ALL") if name in os.environ
    }
    return {
        **kept,
        "PATH": os.defpath,
        "HOME": str(scratch),
        "TMPDIR": str(scratch),
        "TEMP": str(scratch),
        "IPYTHONDIR": str(scratch / ".ipython"),
        "MPLCONFIGDIR": str(scratch / ".matplotlib"),
        "MPLBACKEND": "module://matplotlib_inline.backend_inline",
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
        "PYTHONDONTWRITEBYTECODE": "1",
        "PYTHONNOUSERSITE": "1",
        "PYTHONUTF8": "1",
        "PYTHONHASHSEED": "0",  # sets come in the same order each time, so marks do too
    }


def _resource_limits(limits: Limits) -> dict[str, int]:
    # not walled off, all processes of the instructor count together
    others = 0 if isolated() else _own_processes()
    return {
        "RLIMIT_AS": limits.memory_mb * 1024 * 1024,
        "RLIMIT_CPU": int(limits.total_s) + 1,
        "RLIMIT_FSIZE": limits.file_mb * 1024 * 1024,
        "RLIMIT_NPROC": limits.processes + others,
        "RLIMIT_NOFILE": 256,
        "RLIMIT_CORE": 0,
    }


def _own_processes() -> int:
    """How many processes this user runs; many, where that cannot be known."""
    try:
        return sum(
            entry.stat().st_uid == os.getuid()
            for entry in Path("/proc").iterdir()
            if entry.name.isdigit()
        )
    except (OSError, AttributeError):
        return 10_000

"""The learner's code runs in a process of its own, behind walls, and hands over plain data.

This is the trusted side: it starts the process (``answers.py``), feeds it cell by
cell, reads data of limited size, and ends it. A cell that hangs or kills the
process is left out and the rest is run again, so that other answers keep their
points. Deciding calls of a learner's function come after all cells, and nothing
printed then is kept.
"""

from __future__ import annotations

import contextlib
import functools
import json
import os
import queue
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hoofcalc.classroom import answers
from hoofcalc.classroom.forms import Wire

_PACKAGE = Path(__file__).resolve().parents[1]


@dataclass(frozen=True)
class Limits:
    """How much a hand-in may use."""

    cell_s: float = 10.0
    call_s: float = 5.0
    total_s: float = 120.0
    memory_mb: int = 2048
    file_mb: int = 20
    processes: int = 64
    reply_bytes: int = 4_000_000


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


class LostError(Exception):
    """The learner's process is gone, or had to be ended; the message says why."""


def run(
    steps: Sequence[Step],
    names: Sequence[str],
    calls: Mapping[str, Sequence[tuple[float, ...]]],
    *,
    files: Mapping[str, bytes] | None = None,
    limits: Limits | None = None,
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

    Returns
    -------
    Report
        Values, results and outputs. A hand-in that breaks leaves blanks, not an error.
    """
    limits = limits or Limits()
    end = time.monotonic() + limits.total_s
    left_out: dict[int, str] = {}
    while True:
        report = Report(left_out=left_out)
        with _desk(files or {}, limits, end) as desk:
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
    for step in steps:
        if step.place in report.left_out:
            continue
        try:
            reply = desk.ask({"do": "run", "source": step.source, "names": step.names})
        except LostError as lost:
            return step.place, str(lost)
        report.outputs.setdefault(step.place, []).extend(_outputs(reply))
        for name, wire in _values(reply, step.names).items():
            if not wire.get("blank"):
                report.values[name] = wire
    missing = [name for name in names if name not in report.values]
    if missing:
        with contextlib.suppress(LostError):
            report.values |= _values(desk.ask({"do": "values", "names": missing}), missing)
    return None


def _make_calls(
    desk: _Desk, calls: Mapping[str, Sequence[tuple[float, ...]]], report: Report
) -> None:
    for name, inputs in calls.items():
        results: list[Wire] = []
        if report.values.get(name, {}).get("is") == "a function":
            try:
                for values in inputs:
                    reply = desk.ask({"do": "call", "name": name, "inputs": values}, calling=True)
                    results.append(_wire(reply.get("value")))
            except LostError as lost:
                results += [{"lost": str(lost)}] * (len(inputs) - len(results))
        report.results[name] = results


class _Desk:
    """The learner's process, seen from outside: ask, and get a line of JSON back in time."""

    def __init__(self, process: subprocess.Popen[bytes], limits: Limits, end: float) -> None:
        self.process, self.limits, self.end = process, limits, end
        self.lines: queue.Queue[bytes] = queue.Queue()
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        stream = self.process.stdout
        assert stream is not None
        with contextlib.suppress(OSError, ValueError):
            while line := stream.readline(self.limits.reply_bytes):
                self.lines.put(line)
        self.lines.put(b"")

    def ask(self, request: Mapping[str, Any], *, calling: bool = False) -> dict[str, Any]:
        allowed = self.limits.call_s if calling else self.limits.cell_s
        left = min(allowed, self.end - time.monotonic())
        stream = self.process.stdin
        assert stream is not None
        try:
            stream.write(json.dumps(request).encode() + b"\n")
            stream.flush()
            line = self.lines.get(timeout=max(left, 0.01))
        except queue.Empty:
            raise LostError(f"it ran for longer than {allowed:g} seconds and was stopped") from None
        except OSError:
            line = b""
        if not line:
            raise LostError("it ended Python itself")
        try:
            reply = json.loads(line)
        except (ValueError, RecursionError):
            reply = None
        if not isinstance(reply, dict) or not line.endswith(b"\n"):
            raise LostError("what it handed over cannot be read")
        return reply


@contextlib.contextmanager
def _desk(files: Mapping[str, bytes], limits: Limits, end: float) -> Iterator[_Desk]:
    """Start the learner's process in an empty folder, and leave nothing of it behind."""
    with tempfile.TemporaryDirectory(prefix="hoofcalc-", ignore_cleanup_errors=True) as folder:
        scratch = Path(folder).resolve()
        for name, content in files.items():
            (scratch / Path(name).name).write_bytes(content)
        path, shown = _readable()
        settings = {"path": path, "limits": _resource_limits(limits)}
        command = [sys.executable, "-I", str(Path(answers.__file__).resolve())]
        process = subprocess.Popen(
            [*_walls(scratch, shown), *command, json.dumps(settings)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=scratch,
            env=_environment(scratch),
            start_new_session=True,
        )
        try:
            yield _Desk(process, limits, end)
        finally:
            _end(process)


def _end(process: subprocess.Popen[bytes]) -> None:
    with contextlib.suppress(OSError):
        if hasattr(os, "killpg"):
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    process.wait()
    for stream in (process.stdin, process.stdout):
        if stream is not None:
            with contextlib.suppress(OSError):
                stream.close()


def walled() -> bool:
    """Whether hand-ins run without network and without sight of anything but the course."""
    return bool(_bubblewrap())


def weaker_mode() -> str:
    """What to tell the instructor where there are no walls; empty where there are."""
    if walled():
        return ""
    return (
        "Hand-ins run in processes of their own with limits, but not walled off: this machine has "
        "no bubblewrap (Linux: install the package 'bubblewrap'). Mark only hand-ins of people "
        "you know, or mark in a virtual machine."
    )


@functools.cache
def _bubblewrap() -> str | None:
    """The path of bubblewrap, if it is there and works here."""
    program = shutil.which("bwrap")
    if program is None:
        return None
    with tempfile.TemporaryDirectory(prefix="hoofcalc-") as folder:
        scratch = Path(folder).resolve()
        command = [*_wall_command(program, scratch, _readable()[1]), sys.executable, "-I", "-c", ""]
        try:
            tried = subprocess.run(
                command, env=_environment(scratch), capture_output=True, timeout=20, check=False
            )
        except (OSError, subprocess.TimeoutExpired):
            return None
    return program if tried.returncode == 0 else None


def _walls(scratch: Path, shown: Sequence[Path]) -> list[str]:
    """What stands before the command so that the process sees only what it needs.

    This is the one place where walls are put up. No network, no other processes, no
    file but the installed packages, the course as handed out and the scratch folder.
    """
    program = _bubblewrap()
    return [] if program is None else _wall_command(program, scratch, shown)


def _wall_command(program: str, scratch: Path, shown: Sequence[Path]) -> list[str]:
    command = [program, "--unshare-all", "--die-with-parent", "--cap-drop", "ALL"]
    command += ["--uid", "65534", "--gid", "65534"]
    for system in (
        "/usr",
        "/lib",
        "/lib64",
        "/lib32",
        "/bin",
        "/sbin",
        "/etc/fonts",
        "/etc/ld.so.cache",
    ):
        place = Path(system)
        if place.is_symlink():
            command += ["--symlink", str(place.readlink()), system]
        elif place.exists():
            command += ["--ro-bind", system, system]
    command += ["--proc", "/proc", "--dev", "/dev", "--tmpfs", "/tmp"]
    for place in shown:
        command += ["--ro-bind-try", str(place), str(place)]
    return [*command, "--bind", str(scratch), str(scratch), "--chdir", str(scratch)]


@functools.cache
def _readable() -> tuple[list[str], list[Path]]:
    """The import path of the learner's process, and the folders it may see.

    Of a checkout only the package and what is handed out, never the keys beside it.
    """
    checkout = _PACKAGE.parent
    path = [entry for entry in dict.fromkeys(sys.path) if entry and Path(entry).is_dir()]
    kept = [
        entry
        for entry in path
        if not _inside(Path(entry), checkout) or _inside(Path(sys.prefix), checkout)
    ]
    path = [*kept, str(checkout)]
    shown = [Path(sys.prefix), Path(sys.base_prefix), *(Path(entry) for entry in kept), _PACKAGE]
    shown += [checkout / part for part in ("pyproject.toml", "datasets", "exercises/release")]
    shown += [Path(sys.executable).resolve().parents[1]]
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
        "PYTHONUTF8": "1",
    }


def _resource_limits(limits: Limits) -> dict[str, int]:
    return {
        "RLIMIT_AS": limits.memory_mb * 1024 * 1024,
        "RLIMIT_CPU": int(limits.total_s) + 1,
        "RLIMIT_FSIZE": limits.file_mb * 1024 * 1024,
        "RLIMIT_NPROC": limits.processes,
        "RLIMIT_NOFILE": 256,
        "RLIMIT_CORE": 0,
    }


def _values(reply: Mapping[str, Any], names: Sequence[str]) -> dict[str, Wire]:
    """The values asked for, whatever else the reply may claim."""
    given = reply.get("values")
    return {name: _wire(given.get(name)) for name in names} if isinstance(given, dict) else {}


def _wire(value: Any) -> Wire:
    return value if isinstance(value, dict) else {"is": "something that cannot be read"}


def _outputs(reply: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Outputs in the notebook's own form, rebuilt field by field."""
    kept: list[dict[str, Any]] = []
    given = reply.get("outputs")
    for output in (given if isinstance(given, list) else [])[:50]:
        if not isinstance(output, dict):
            continue
        match output.get("output_type"):
            case "stream":
                name = "stderr" if output.get("name") == "stderr" else "stdout"
                text = str(output.get("text", ""))[: 2 * answers.MOST_TEXT]
                kept.append({"output_type": "stream", "name": name, "text": text})
            case "display_data":
                data = output.get("data")
                data = data if isinstance(data, dict) else {}
                kept.append(
                    {
                        "output_type": "display_data",
                        "metadata": {},
                        "data": {
                            kind: str(data[kind])
                            for kind in ("text/plain", "image/png")
                            if kind in data
                        },
                    }
                )
            case "error":
                lines = output.get("traceback")
                kept.append(
                    {
                        "output_type": "error",
                        "ename": str(output.get("ename", ""))[:100],
                        "evalue": str(output.get("evalue", ""))[:500],
                        "traceback": [str(line)[:1000] for line in lines[:10]]
                        if isinstance(lines, list)
                        else [],
                    }
                )
    return kept

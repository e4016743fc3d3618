"""JupyterLab on the learner's own folder: start it, wait until it answers, stop it."""

from __future__ import annotations

import json
import os
import secrets
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, TypeAlias
from urllib.parse import quote

from hoofcalc._files import write_whole
from hoofcalc.classroom.workspace.learner_folder import NOTES

#: Settings of ours that JupyterLab reads beside the learner's: no news pop-up, no teacher's menus.
_SETTINGS = Path(__file__).parent / "jupyter_config"


#: A command of ours for JupyterLab: run the lesson, and stay where you were reading.
_EXTENSIONS = Path(__file__).parent / "labextensions"

_FIRST_PORT = 8888

#: A running JupyterLab.
ServerProcess: TypeAlias = "subprocess.Popen[bytes]"


class ServerError(Exception):
    """JupyterLab did not start; the message says what it said."""


@dataclass(frozen=True)
class Address:
    """Where a running JupyterLab is reached, on this computer only."""

    port: int
    token: str

    def url(self, path: str = "lab") -> str:
        """The address to open in a browser; the token in it is the key to the door."""
        return f"http://127.0.0.1:{self.port}/{quote(path)}?token={self.token}"

    def answers(self) -> bool:
        """Whether JupyterLab answers there, with this token."""
        try:
            with urllib.request.urlopen(self.url("api/contents"), timeout=15) as reply:
                return bool(reply.status == 200)
        except (OSError, urllib.error.URLError, ValueError):
            return False


def already_running(folder: Path) -> Address | None:
    """The address of a JupyterLab that an earlier call opened on this folder, if it still runs."""
    try:
        noted = json.loads((folder / NOTES / "running.json").read_text(encoding="utf-8"))
        address = Address(int(noted["port"]), str(noted["token"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return address if address.answers() else None


@contextmanager
def jupyterlab(
    folder: Path,
    *,
    wait_s: float = 90.0,
    surroundings: Mapping[str, str] | None = None,
    program: Sequence[str] = ("-m", "jupyterlab"),
) -> Iterator[tuple[Address, ServerProcess]]:
    """JupyterLab on `folder`, answering; stopped when the block is left.

    Parameters
    ----------
    folder
        What it shows; its notes lie in there as well.
    wait_s
        How long it may take to answer [s].
    surroundings
        Variables for it and its kernels; lists of folders are put before what is there.
    program
        What Python runs: JupyterLab, or a smaller server of the same kind.

    Raises
    ------
    ServerError
        If it ends or does not answer within `wait_s` seconds [s].
    """
    log = folder / NOTES / "jupyterlab.log"
    running = folder / NOTES / "running.json"
    address, server = _started(folder, log, wait_s, surroundings or {}, program)
    try:
        write_whole(running, json.dumps({"port": address.port, "token": address.token}).encode())
        running.chmod(0o600)
        yield address, server
    finally:
        _stop(server)
        running.unlink(missing_ok=True)


def _started(
    folder: Path, log: Path, wait_s: float, surroundings: Mapping[str, str], program: Sequence[str]
) -> tuple[Address, ServerProcess]:
    """A server that answers; on the next port if another took ours before it was up."""
    first = _FIRST_PORT
    for last_try in (False, False, False, True):
        address = Address(_free_port(first), secrets.token_urlsafe(24))
        with log.open("wb") as stream:
            server = _start(folder, address, stream, surroundings, program)
        try:
            _wait_until_it_answers(server, address, log, wait_s)
            return address, server
        except BaseException as failure:
            _stop(server)
            if last_try or "already in use" not in str(failure):
                raise
            first = address.port + 1
    raise AssertionError("the last try returns or raises")


def _start(
    folder: Path,
    address: Address,
    log: BinaryIO,
    surroundings: Mapping[str, str],
    program: Sequence[str],
) -> ServerProcess:
    command = [
        sys.executable,
        *program,
        "--no-browser",
        "--ServerApp.ip=127.0.0.1",
        f"--ServerApp.port={address.port}",
        "--ServerApp.port_retries=0",
        f"--ServerApp.root_dir={folder}",
        f"--LabApp.extra_labextensions_path={_EXTENSIONS}",
        # closing the laptop must not throw a learner's work away with its kernel
        "--MappingKernelManager.cull_idle_timeout=0",
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")  # JupyterLab refuses the administrator otherwise
    environment = dict(os.environ)
    # The token goes by the environment: a command line can be read by other users.
    environment["JUPYTER_TOKEN"] = address.token
    others = environment.get("JUPYTER_CONFIG_PATH")
    environment["JUPYTER_CONFIG_PATH"] = os.pathsep.join(filter(None, [others, str(_SETTINGS)]))
    for name, value in surroundings.items():
        before = environment.get(name) if name.endswith("_PATH") else None
        environment[name] = os.pathsep.join(filter(None, [value, before]))
    # In a group of its own, so that Ctrl-C reaches us alone and we stop it in order.
    on_windows = sys.platform == "win32"
    return subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=log,
        stderr=subprocess.STDOUT,
        env=environment,
        cwd=folder / NOTES,  # settings that lie here go before all others
        start_new_session=not on_windows,
        creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0) if on_windows else 0,
    )


def _wait_until_it_answers(
    server: ServerProcess, address: Address, log: Path, wait_s: float
) -> None:
    end = time.monotonic() + wait_s
    while not address.answers():
        if server.poll() is not None:
            raise ServerError(f"JupyterLab did not start. Its last words:\n{_last_words(log)}")
        if time.monotonic() > end:
            raise ServerError(
                f"JupyterLab did not answer within {wait_s:g} seconds. "
                f"Its last words:\n{_last_words(log)}"
            )
        time.sleep(0.2)


def _last_words(log: Path) -> str:
    lines = log.read_text(encoding="utf-8", errors="replace").strip().splitlines()
    return "\n".join(f"  {line}" for line in lines[-8:])


def _stop(server: ServerProcess) -> None:
    """Ask JupyterLab to end with its kernels, and make sure that it does."""
    if server.poll() is None:
        server.terminate()
        try:
            server.wait(timeout=15)
        except subprocess.TimeoutExpired:
            if hasattr(os, "killpg"):
                os.killpg(server.pid, signal.SIGKILL)  # with the kernels it started
            else:
                server.kill()
            server.wait()


def _free_port(first: int = _FIRST_PORT) -> int:
    """The first free port from `first` on, so that the address is the same on most days."""
    for port in range(first, first + 100):
        with socket.socket() as probe:
            if sys.platform != "win32":  # there it would mean something else
                # a server that has just ended leaves its address free for the next
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])

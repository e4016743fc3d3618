"""JupyterLab on the learner's own folder: start it, wait until it answers, stop it."""

from __future__ import annotations

import json
import os
import secrets
import signal
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

from jupyter_core.paths import jupyter_runtime_dir

from hoofcalc._files import write_whole
from hoofcalc.classroom.workspace.learner_folder import NOTES

#: Settings of ours that JupyterLab reads beside the learner's: no news pop-up, no teacher's menus.
_SETTINGS = Path(__file__).parent / "jupyter_config"


#: A command of ours for JupyterLab: run the lesson, and stay where you were reading.
_EXTENSIONS = Path(__file__).parent / "labextensions"

_FIRST_PORT, _PORTS_TRIED = 8888, 100

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
    port: int = _FIRST_PORT,
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
    port
        Where it listens, if that is free; else at the next that is.

    Raises
    ------
    ServerError
        If it ends or does not answer within `wait_s` seconds [s].
    """
    log = folder / NOTES / "jupyterlab.log"
    running = folder / NOTES / "running.json"
    command = (*program, f"--ServerApp.port={port}", f"--ServerApp.port_retries={_PORTS_TRIED}")
    address, server = _started(folder, log, wait_s, surroundings or {}, command)
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
    """A server that answers, on the first port that it finds free."""
    token = secrets.token_urlsafe(24)
    with log.open("wb") as stream:
        server = _start(folder, token, stream, surroundings, program)
    try:
        return _address_once_it_answers(server, token, log, wait_s), server
    except BaseException:
        _stop(server)
        raise


def _start(
    folder: Path,
    token: str,
    log: BinaryIO,
    surroundings: Mapping[str, str],
    program: Sequence[str],
) -> ServerProcess:
    command = [
        sys.executable,
        *program,
        "--no-browser",
        "--ServerApp.ip=127.0.0.1",
        f"--ServerApp.root_dir={folder}",
        f"--LabApp.extra_labextensions_path={_EXTENSIONS}",
        # what stood where the last time: here, and not among the learner's own layouts
        f"--LabApp.workspaces_dir={folder / NOTES / 'layouts'}",
        # closing the laptop must not throw a learner's work away with its kernel
        "--MappingKernelManager.cull_idle_timeout=0",
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")  # JupyterLab refuses the administrator otherwise
    environment = dict(os.environ)
    # The token goes by the environment: a command line can be read by other users.
    environment["JUPYTER_TOKEN"] = token
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


def _address_once_it_answers(
    server: ServerProcess, token: str, log: Path, wait_s: float
) -> Address:
    end = time.monotonic() + wait_s
    while True:
        address = _noted_by_the_server(token)
        if address is not None and address.answers():
            return address
        if server.poll() is not None:
            raise ServerError(f"JupyterLab did not start. Its last words:\n{_last_words(log)}")
        if time.monotonic() > end:
            raise ServerError(
                f"JupyterLab did not answer within {wait_s:g} seconds. "
                f"Its last words:\n{_last_words(log)}"
            )
        time.sleep(0.2)


def _noted_by_the_server(token: str) -> Address | None:
    """Where the server with this token listens, from the note that Jupyter's servers write."""
    for note in Path(jupyter_runtime_dir()).glob("jpserver-*.json"):
        try:
            noted = json.loads(note.read_text(encoding="utf-8"))
            if noted["token"] == token:
                return Address(int(noted["port"]), token)
        except (OSError, ValueError, KeyError, TypeError):
            continue  # not ours, or not written to its end
    return None


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

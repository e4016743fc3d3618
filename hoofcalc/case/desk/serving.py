"""The measuring desk in the browser: a notebook without code, on this computer only.

The notebook is served from a copy in the person's private folder of running programs, so that
the case holds nothing but the case; the copy goes when the desk is closed. A key in the address
keeps other people on the same computer out.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import signal
import sys
import threading
import webbrowser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from hoofcalc.classroom.workspace.learner_folder import NOTES
from hoofcalc.classroom.workspace.serving import (
    Address,
    ServerError,
    ServerProcess,
    already_running,
    jupyterlab,
)

#: The variable by which the notebook learns which case lies on the desk.
CASE_VARIABLE = "HOOFCALC_CASE"
_HERE = Path(__file__).parent
_NOTEBOOK = "measure.ipynb"
#: Each case has a port of its own among these: what its page holds while the program is away is
#: the browser's for that port only.
_FIRST_PORT, _PORTS = 20_000, 10_000
#: Of what is installed for a server the desk needs its page only.
_OTHERS = (
    "jupyterlab",
    "notebook",
    "notebook_shim",
    "jupyter_lsp",
    "jupyter_server_terminals",
    *(
        f"nbgrader.server_extensions.{name}"
        for name in ("assignment_list", "course_list", "formgrader", "validate_assignment")
    ),
)
_WANTED = {"voila.server_extension": True, **dict.fromkeys(_OTHERS, False)}
_ALONE = f"--ServerApp.jpserver_extensions={_WANTED}"


def open_desk(folder: Path, *, browser: bool = True, in_jupyterlab: bool = False) -> int:
    """Open the measuring desk on a case and stay until Ctrl-C.

    Parameters
    ----------
    folder
        The folder of the case.
    browser
        False prints the address only.
    in_jupyterlab
        True opens the notebook in JupyterLab, its code folded away, instead of a page of its own.

    Returns
    -------
    int
        0 when it was ended in order, 1 when it could not be opened; the reason is printed.
    """
    alone = f"voila/render/{_NOTEBOOK}"
    page = f"lab/tree/{_NOTEBOOK}" if in_jupyterlab else alone
    running = already_running(_place(folder))
    if running is not None:
        _say("The desk is open already, at", running.url(alone), "", browser)
        return 0
    before = None
    if threading.current_thread() is threading.main_thread():
        # ended from outside (a window closed, a system going down) its server must end too
        before = signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        print("Opening the desk ...", flush=True)
        with desk_open(folder, in_jupyterlab=in_jupyterlab) as (address, server):
            _say("The desk is open at", address.url(page), "Close it with Ctrl-C.", browser)
            server.wait()
    except KeyboardInterrupt:
        print(f"\nClosed. Everything lies in {folder}", flush=True)
    except (ServerError, OSError) as problem:
        print(problem, file=sys.stderr)
        return 1
    finally:
        if before is not None:
            signal.signal(signal.SIGTERM, before)
    return 0


def _say(lead: str, address: str, end: str, browser: bool) -> None:
    print("\n".join(filter(None, [lead, f"  {address}", end])), flush=True)
    if browser:
        webbrowser.open(address)


@contextmanager
def desk_open(
    folder: Path, *, in_jupyterlab: bool = False
) -> Iterator[tuple[Address, ServerProcess]]:
    """The desk, answering; closed when the block is left.

    Parameters
    ----------
    folder
        The folder of the case.
    in_jupyterlab
        Whether JupyterLab is wanted; the desk alone opens sooner.

    Raises
    ------
    ServerError
        If the server does not start.
    """
    place = _place(folder)
    shutil.rmtree(place, ignore_errors=True)  # left by a day that ended with the power
    (place / NOTES).mkdir(parents=True)
    place.chmod(0o700)
    try:
        shutil.copyfile(_HERE / _NOTEBOOK, place / _NOTEBOOK)
        # here it goes before settings of the person's own
        shutil.copyfile(_HERE / "jupyter_config" / "voila.json", place / NOTES / "voila.json")
        surroundings = {
            CASE_VARIABLE: str(folder.resolve()),
            "JUPYTER_PATH": str(_HERE / "jupyter_data"),
            "JUPYTER_CONFIG_PATH": str(_HERE / "jupyter_config"),
            "MALLOC_ARENA_MAX": "2",  # photographs are opened in threads; each keeps a heap else
        }
        program = ("-m", "jupyterlab") if in_jupyterlab else (str(_HERE / "server.py"), _ALONE)
        port = _FIRST_PORT + int(place.name, 16) % _PORTS
        with jupyterlab(place, surroundings=surroundings, program=program, port=port) as running:
            yield running
    finally:
        shutil.rmtree(place, ignore_errors=True)


def _place(folder: Path) -> Path:
    """Where the copy of the notebook for this case lies: the same each time, for its owner only."""
    from jupyter_core.paths import jupyter_runtime_dir

    # os.fspath of the resolved path, so that two ways of writing it mean one desk
    name = hashlib.sha256(os.fspath(folder.resolve()).encode()).hexdigest()[:16]
    return Path(jupyter_runtime_dir()) / "hoofcalc-desk" / name

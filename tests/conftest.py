"""Two ways to choose the examples of property tests; and what the tests share.

By default every run tries the same ones, so that the tests pass or fail alike on
every machine. `--hypothesis-profile search` tries ten times as many, chosen anew
each time; the seed it prints, given to `--hypothesis-seed`, brings a run back.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import shutil
import sqlite3.dbapi2
import subprocess
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import settings

EXAMPLES = 100

repeatable = settings(derandomize=True, database=None, deadline=None, max_examples=EXAMPLES)
settings.register_profile("repeatable", repeatable)
settings.register_profile(
    "search", repeatable, derandomize=False, max_examples=10 * EXAMPLES, print_blob=True
)


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Choose the profile, and a seed that can be printed."""
    profile = config.getoption("hypothesis_profile")
    if profile is None:
        settings.load_profile("repeatable")
    elif profile == "search" and config.getoption("hypothesis_seed") is None:
        config.option.hypothesis_seed = str(secrets.randbelow(2**32))


def pytest_report_header(config: pytest.Config) -> str | None:
    seed = config.getoption("hypothesis_seed")
    return None if seed is None else f"property tests: --hypothesis-seed={seed}"


@pytest.fixture(scope="session", autouse=True)
def no_waiting_for_the_disk() -> Iterator[None]:
    """What a test writes need not outlive a power cut: nobody waits until it has left the memory.

    Processes that a test starts do wait, and a process that is killed loses nothing either way.
    """
    connect = sqlite3.dbapi2.connect  # SQLAlchemy's, and with it the gradebook's

    def at_once(*where: Any, **options: Any) -> sqlite3.Connection:
        connection = connect(*where, **options)
        with contextlib.suppress(sqlite3.Error):  # of a file that is none, told when it is used
            connection.execute("PRAGMA synchronous = OFF")
        return connection

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sqlite3.dbapi2, "connect", at_once)
        patch.setattr(os, "fsync", lambda _: None)
        yield


@pytest.fixture(scope="session")
def printed_by_node() -> Callable[..., str]:
    """What a script prints in Node, where it finds some plain data as `data`."""
    program = shutil.which("node")

    def run(script: str, data: Any = None) -> str:
        if program is None:
            pytest.skip("no Node found: scripts of figures and pages are not tried by themselves")
        done = subprocess.run(
            [program, "-"],
            input=f"const data = {json.dumps(data)};\n{script}",
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=60,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    return run


@pytest.fixture(scope="session")
def parts() -> dict[str, bytes]:
    """The runtime's files, from the cache or from where they are to be had."""
    from hoofcalc.site import runtime

    try:
        return runtime.collect(tell=lambda line: None)
    except runtime.RuntimeFilesError as missing:
        if os.environ.get("HOOFCALC_BROWSER") == "required":
            pytest.fail(str(missing))
        pytest.skip(str(missing))

"""A real browser, and the course as `hoofcalc lessons` serves it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from queue import Empty, Queue
from typing import Any

import pytest

PROGRAMS = ("chromium", "chromium-browser", "google-chrome")
ARGUMENTS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="session")
def chromium() -> str:
    """The browser's program; a machine that must have one and has none fails."""
    for name in PROGRAMS:
        if found := shutil.which(name):
            return found
    reason = f"no browser found: looked for {', '.join(PROGRAMS)}"
    if os.environ.get("CI") or os.environ.get("HOOFCALC_BROWSER") == "required":
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture
def browser(chromium: str, tmp_path: Path) -> Iterator[Any]:
    """A browser with nothing in it; ask it for `new_page()`."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            tmp_path / "browser",
            executable_path=chromium,
            args=list(ARGUMENTS),
            headless=True,
            viewport={"width": 1280, "height": 900},
            timeout=60_000,
        )
        context.set_default_timeout(60_000)
        yield context
        context.close()


@pytest.fixture(scope="session")
def course(chromium: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the course, opened by the command that a learner uses."""
    folder = tmp_path_factory.mktemp("course") / "copy"
    server = subprocess.Popen(
        [sys.executable, "-m", "hoofcalc.cli", "lessons", "--no-browser", "--folder", str(folder)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        stdin=subprocess.DEVNULL,
        text=True,
        encoding="utf-8",
    )
    said: Queue[str] = Queue()
    assert server.stdout is not None
    listener = threading.Thread(
        target=lambda: [said.put(line) for line in server.stdout or ()], daemon=True
    )
    listener.start()
    lines: list[str] = []
    end = time.monotonic() + 120
    try:
        while not any("http://" in line for line in lines):
            if time.monotonic() > end or (server.poll() is not None and said.empty()):
                pytest.fail("the course did not open; it said:\n" + "".join(lines))
            try:
                lines.append(said.get(timeout=0.5))
            except Empty:
                continue
        yield next(line.strip() for line in lines if "http://" in line)
    finally:
        server.terminate()
        try:
            server.wait(timeout=30)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait(timeout=10)

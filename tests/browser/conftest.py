"""A real browser, and the course as `hoofcalc lessons` serves it."""

from __future__ import annotations

import contextlib
import functools
import http.server
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

sys.path.insert(0, str(Path(__file__).parent))
from living import NOTEBOOK, TELEPHONE, WORDS, Shown, show_figure

from hoofcalc.figures import EVERY_FIGURE

SIZES = {"notebook": NOTEBOOK, "telephone": TELEPHONE}
SHOWN = [(name, size) for name in EVERY_FIGURE for size in SIZES]
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


@contextlib.contextmanager
def opened_browser(program: str, folder: Path) -> Iterator[Any]:
    """A browser with nothing in it, that keeps what it is given in a folder."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            folder,
            executable_path=program,
            args=list(ARGUMENTS),
            headless=True,
            viewport={"width": 1280, "height": 900},
            timeout=60_000,
        )
        context.set_default_timeout(60_000)
        yield context
        context.close()


@pytest.fixture
def browser(chromium: str, tmp_path: Path) -> Iterator[Any]:
    """A browser with nothing in it; ask it for `new_page()`."""
    with opened_browser(chromium, tmp_path / "browser") as context:
        yield context


@contextlib.contextmanager
def opened_course(folder: Path) -> Iterator[str]:
    """The address of a copy of the course, opened by the command that a learner uses."""
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


@pytest.fixture(scope="session")
def course(chromium: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the course, for tests that leave nothing behind in it."""
    with opened_course(tmp_path_factory.mktemp("course") / "copy") as address:
        yield address


@pytest.fixture
def own_course(chromium: str, tmp_path: Path) -> Iterator[str]:
    """The address of a course that nobody has opened, run or answered before."""
    with opened_course(tmp_path / "copy") as address:
        yield address


class _Site(http.server.SimpleHTTPRequestHandler):
    """A plain web server that sends what the site's own `server-headers.txt` asks for."""

    def end_headers(self) -> None:
        for line in (Path(self.directory) / "server-headers.txt").read_text("utf-8").splitlines():
            name, colon, value = line.partition(": ")
            if colon and name != "Cache-Control":
                self.send_header(name, value)
        super().end_headers()

    def log_message(self, *words: Any) -> None:
        """Say nothing."""


@contextlib.contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a folder on a web server of its own."""
    handler = functools.partial(_Site, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()


@pytest.fixture(scope="session")
def serve() -> Any:
    """Serves a folder while a block runs: `with serve(folder) as address`."""
    return served


@pytest.fixture(scope="session")
def site_folder(parts: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The course as `hoofcalc site` writes it; `HOOFCALC_SITE` names one written already."""
    from hoofcalc.site.build import write_site

    if given := os.environ.get("HOOFCALC_SITE"):
        return Path(given)

    folder = tmp_path_factory.mktemp("written") / "site"
    write_site(folder, tell=lambda line: None, parts=parts)
    return folder


@pytest.fixture(scope="session")
def site(chromium: str, site_folder: Path) -> Iterator[str]:
    """The address of the course on a web server."""
    with served(site_folder) as address:
        yield address


@pytest.fixture(scope="module")
def visitor(chromium: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """A browser that stays open through a module: it comes to the site again and again."""
    with opened_browser(chromium, tmp_path_factory.mktemp("visitor")) as context:
        yield context


@pytest.fixture
def tab(visitor: Any, site: str) -> Iterator[Any]:
    """A page of a telephone's size, of a visitor who has done nothing on the site yet."""
    page = visitor.new_page()
    page.set_viewport_size({"width": TELEPHONE[0], "height": TELEPHONE[1]})
    visitor.new_cdp_session(page).send(
        "Storage.clearDataForOrigin", {"origin": site.rstrip("/"), "storageTypes": "local_storage"}
    )
    yield page
    for each in visitor.pages[1:]:  # the first keeps the browser open
        each.close()


@pytest.fixture
def still_tab(tab: Any) -> Any:
    """The same as it is at first, and stays: Python goes on waking, and costs no time."""
    tab.add_init_script("globalThis.Worker = class { postMessage() {} terminate() {} }")
    return tab


@pytest.fixture(scope="session")
def until_awake() -> Any:
    """Waits until Python on a page is awake."""

    def wait(page: Any, seconds: float = 180) -> None:
        page.locator("[data-python=awake]").first.wait_for(state="attached", timeout=1000 * seconds)

    return wait


@pytest.fixture(scope="session")
def troubles_of() -> Any:
    """Gathers errors of a page, and what its content security policy blocked."""

    def gather(page: Any) -> list[str]:
        found: list[str] = []
        page.on("pageerror", lambda error: found.append(str(error)))
        page.on(
            "console",
            lambda said: found.append(said.text) if said.type in ("error", "warning") else None,
        )
        return found

    return gather


@pytest.fixture(scope="session")
def problems() -> Any:
    """What axe-core's rules for WCAG 2 A and AA find on a page, or only one of them."""
    from axe_playwright_python.sync_playwright import Axe

    tags = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]

    def find(page: Any, only: str = "") -> list[str]:
        chosen = {"type": "rule", "values": [only]} if only else {"type": "tag", "values": tags}
        found = Axe().run(page, options={"runOnly": chosen})
        return [
            f"{rule['id']}: {rule['help']}: {rule['nodes'][0]['html'][:160]}"
            for rule in found.response["violations"]
        ]

    return find


@pytest.fixture(scope="module")
def window(chromium: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """One browser for all figures."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            tmp_path_factory.mktemp("window"),
            executable_path=chromium,
            args=["--headless", "--no-sandbox", "--disable-gpu"],
            headless=True,
            timeout=60_000,
        )
        context.set_default_timeout(20_000)
        yield context
        context.close()


@pytest.fixture(scope="module", params=SHOWN, ids="-".join)
def page_of_a_figure(request: pytest.FixtureRequest, window: Any) -> Iterator[Shown]:
    """A page for one figure at one size."""
    name, size = request.param
    page = window.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.evaluate(WORDS)
    show_figure(page, EVERY_FIGURE[name], SIZES[size])
    yield Shown(page, EVERY_FIGURE[name], SIZES[size], troubles)
    page.close()


@pytest.fixture
def shown(page_of_a_figure: Shown) -> Iterator[Shown]:
    """That figure as it stands at first; no error of the page goes unnoticed."""
    page_of_a_figure.afresh()
    yield page_of_a_figure
    assert not page_of_a_figure.troubles

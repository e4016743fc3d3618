"""How soon a lesson stands, comes alive and answers a key in Chromium, at a telephone's size.

    python tests/benchmarks/bench_site.py [FOLDER] [LESSON ...]

FOLDER is a site as `hoofcalc site` writes it; made first where none is named. Times depend on the
machine and on what else it does: compare lines of one run. The processor's time from a cold start
to the first figure, and for a key, all threads of the page together, depends on that less, and
bounds what a quiet machine needs. Weights are what travels with the server packing what packs.
"""

from __future__ import annotations

import functools
import gzip
import http.server
import os
import shutil
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import Any

import numpy as np
from playwright.sync_api import sync_playwright

ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu"]
KEYS = 40
#: From a key to the next frame painted with another sentence or picture [ms].
PRESSED = """
async ([name, key]) => {
  const range = document.querySelector(`input[type=range][data-name=${name}]`);
  const figure = range.closest('.hoofcalc-figure');
  const pixels = () => [...figure.querySelectorAll('canvas')].map((one) => {
    const { data } = one.getContext('2d').getImageData(0, 0, one.width, one.height);
    let sum = 0;
    for (let at = 0; at < data.length; at += 97) sum = (sum * 31 + data[at]) % 1000000007;
    return sum;
  }).join();
  const before = pixels();
  const start = performance.now();
  range.value = Number(range.value) + key;
  range.dispatchEvent(new Event('input', { bubbles: true }));
  for (let tries = 0; tries < 120; tries += 1) {
    await new Promise((done) => requestAnimationFrame(done));
    if (pixels() !== before) return performance.now() - start;
  }
  return null;
}
"""


def renderers(context: Any) -> list[dict[str, Any]]:
    """The processes that hold pages."""
    session = context.browser.new_browser_cdp_session()
    found = session.send("SystemInfo.getProcessInfo")["processInfo"]
    return [process for process in found if process["type"] == "renderer"]


def memory_mb(context: Any) -> float:
    """Memory of the largest renderer, shared pages counted in part [MB]."""
    sizes = [0.0]
    for process in renderers(context):
        text = Path(f"/proc/{process['id']}/smaps_rollup").read_text()
        line = next(one for one in text.splitlines() if one.startswith("Pss:"))
        sizes.append(int(line.split()[1]) / 1000)
    return max(sizes)


def processor_s(context: Any) -> float:
    """What the busiest renderer has used of the processors so far [s]."""
    return float(max(process["cpuTime"] for process in renderers(context)))


class Quiet(http.server.SimpleHTTPRequestHandler):
    """A plain server that says nothing."""

    def log_message(self, *words: Any) -> None:
        """Say nothing."""


def awake(page: Any, address: str) -> tuple[float, float]:
    """Seconds until the picture stands and until Python is awake."""
    start = time.perf_counter()
    page.goto(address)
    page.locator(".hoofcalc-figure .sentence").first.wait_for()
    stands = time.perf_counter() - start
    page.locator("[data-python=awake]").first.wait_for(state="attached", timeout=180_000)
    return stands, time.perf_counter() - start


def weights(folder: Path, lesson: str) -> tuple[float, float]:
    """What travels for the picture at once, and for Python [MB]."""
    text = (folder / f"{lesson}.html").read_text("utf-8")
    own = [folder / f"{lesson}.html", *(p for p in (folder / "assets").iterdir() if p.name in text)]
    first = sum(len(gzip.compress(path.read_bytes())) for path in own)
    runtime = [p for p in next(folder.glob("runtime-*")).iterdir() if p.is_file()]
    python = [p for p in runtime if not p.name.startswith(("scipy", "openblas"))]
    return first / 1e6, sum(
        min(p.stat().st_size, len(gzip.compress(p.read_bytes()))) for p in python
    ) / 1e6


def main(folder: Path, lessons: list[str]) -> None:
    handler = functools.partial(Quiet, directory=str(folder))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    base = f"http://127.0.0.1:{server.server_address[1]}/"
    program = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))))
    print(f"load of the machine: {os.getloadavg()[0]:.0f} on {os.cpu_count()} processors")
    heads = ("at once", "Python", "stands", "cold", "CPU", "warm", "key", "p95", "CPU", "tab")
    units = ("MB", "MB", "s", "s", "s", "s", "ms", "ms", "ms", "MB")
    for row in (heads, units):
        print(f"{'':22}" + "".join(f"{word:>9}" for word in row))
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=program, args=ARGUMENTS)
        for lesson in lessons:
            context = browser.new_context(viewport={"width": 390, "height": 844})
            page = context.new_page()
            at_once, python = weights(folder, lesson)
            stands, cold = awake(page, f"{base}{lesson}.html")
            used = processor_s(context)
            _, warm = awake(page, f"{base}{lesson}.html")
            name = page.locator(".hoofcalc-figure input[type=range]").first.get_attribute(
                "data-name"
            )
            before = processor_s(context)
            times = [page.evaluate(PRESSED, [name, 1 if at % 2 else -1]) for at in range(KEYS)]
            each = 1000 * (processor_s(context) - before) / KEYS
            moved = [one for one in times if one is not None]
            late = np.percentile(moved, 95)
            row = (at_once, python, stands, cold, used, warm, np.median(moved), late, each)
            print(
                f"{lesson:22}"
                + "".join(f"{one:9.2f}" for one in row[:3])
                + "".join(f"{one:9.1f}" for one in row[3:6])
                + "".join(f"{one:9.0f}" for one in (*row[6:], memory_mb(context))),
                flush=True,
            )
            context.close()
    server.shutdown()


if __name__ == "__main__":
    named = [Path(word) for word in sys.argv[1:] if Path(word).is_dir()]
    wished = [word for word in sys.argv[1:] if not Path(word).is_dir()]
    if named:
        place = named[0]
    else:
        from hoofcalc.site.build import write_site

        place = Path(tempfile.mkdtemp()) / "site"
        write_site(place)
    every = sorted(path.stem for path in place.glob("[0-9][0-9]-*.html"))
    main(place, wished or every)

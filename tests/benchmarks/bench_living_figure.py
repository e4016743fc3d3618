"""From a key pressed on a slider to changed pixels, in a real browser, two ways side by side.

    python tests/benchmarks/bench_living_figure.py [keys] [rounds]

The living figure in JupyterLab, and the plain way (`interact`, which builds a new matplotlib figure
at each move) in the same JupyterLab. Both show the same column; for pages see bench_site.py. A
clock in the page starts at the key event and stops in the first animation frame in which the
picture's pixels differ: read back small and compared, alike for both. Printed, not asserted:
machines and their load differ.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path
from typing import Any

import nbformat
import numpy as np
from playwright.sync_api import sync_playwright

from hoofcalc.classroom.workspace.learner_folder import NOTES
from hoofcalc.classroom.workspace.serving import jupyterlab

ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

LIVING = "from hoofcalc import figures\nfigures.columns()"
PLAIN = """
import warnings; warnings.simplefilter("ignore")
import matplotlib.pyplot as plt
from ipywidgets import interact, FloatSlider
from hoofcalc.figures.column_figure import COLUMNS
from hoofcalc.figures.scene import COLOURS
%matplotlib inline

@interact(lean_deg=FloatSlider(min=0, max=45, step=0.5, value=5))
def show(lean_deg):
    frame = COLUMNS.frame({"lean_deg": lean_deg})
    figure, axes = plt.subplots(1, 2, figsize=(11.5, 5.6))
    for panel, ax in zip(COLUMNS.panels, axes):
        ax.set(xlim=panel.x_limits, ylim=panel.y_limits, title=panel.title)
        ax.set(xlabel=panel.x_label, ylabel=panel.y_label)
        if panel.draw:
            panel.draw(ax)
    for item in COLUMNS.series:
        place, ax = frame.results[item.data], axes[item.panel]
        if not len(place):
            continue
        colour = COLOURS[item.style.colour]
        if item.kind == "area":
            ax.fill(*place.T, color=colour, alpha=0.4, label=item.label)
        elif item.kind == "words":
            ax.text(*place[0], frame.results[item.words], color=colour)
        else:
            ax.plot(*place.T, "s" if item.kind == "points" else "-", color=colour)
    plt.show()
    print(frame.sentence)
"""

# Watches every canvas and picture under a selector; the clock runs from the key event.
WATCH = """
(selector) => {
  const probe = new OffscreenCanvas(96, 48).getContext('2d', { willReadFrequently: true });
  const look = () => {
    let sum = 0;
    for (const node of document.querySelectorAll(selector)) {
      if (node.tagName === 'IMG' && !(node.complete && node.naturalWidth)) continue;
      probe.clearRect(0, 0, 96, 48);
      probe.drawImage(node, 0, 0, 96, 48);
      const data = probe.getImageData(0, 0, 96, 48).data;
      for (let at = 0; at < data.length; at += 1) sum = (sum * 31 + data[at]) % 1000000007;
    }
    return sum;
  };
  window.keyTimes = [];
  window.held = 0;
  window.holding = false;
  let from = null;
  let running = false;
  let last = look();
  // Looking costs time itself, so it is done only between a key and its picture.
  const frame = () => {
    const at = performance.now();
    const now = look();
    if (now !== last && now !== 0) {
      last = now;
      window.held += 1;
      if (from !== null) { window.keyTimes.push(at - from); from = null; }
    }
    running = from !== null || window.holding;
    if (running) requestAnimationFrame(frame);
  };
  document.addEventListener('keydown', (event) => {
    if (!event.key.startsWith('Arrow')) return;
    from = performance.now();
    if (!running) requestAnimationFrame(frame);
    running = true;
  }, true);
}
"""


def notebook(path: Path, code: str) -> None:
    face = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    cell = nbformat.v4.new_code_cell(code.strip())
    nbformat.write(nbformat.v4.new_notebook(cells=[cell], metadata=face), path)


def measure(page: Any, slider: Any, pictures: str, keys: int) -> tuple[list[float], float]:
    """Milliseconds for each key, and pictures a second while the key repeats."""
    page.evaluate(WATCH, pictures)
    slider.focus()
    for number in range(keys):
        page.keyboard.press("ArrowRight" if number % 40 < 30 else "ArrowLeft")
        wanted = f"window.keyTimes.length > {number}"
        page.wait_for_function(wanted, timeout=10_000, polling=100)
        page.wait_for_timeout(60)
    times = page.evaluate("window.keyTimes")
    page.evaluate("window.holding = true")
    began, before = page.evaluate("[performance.now(), window.held]")
    for number in range(60):  # a key held down repeats about thirty times a second
        page.keyboard.down("ArrowLeft" if number % 30 < 15 else "ArrowRight")
        page.wait_for_timeout(30)
    page.keyboard.up("ArrowLeft")
    page.keyboard.up("ArrowRight")
    ended, after = page.evaluate("[performance.now(), window.held]")
    page.evaluate("window.holding = false")
    return times, 1000 * (after - before) / (ended - began)


def in_jupyterlab(browser: Any, address: Any, name: str, ready: str) -> Any:
    page = browser.new_page()
    page.goto(address.url(f"lab/workspaces/bench/tree/{name}") + "&reset")
    page.get_by_text("Python 3 (ipykernel) | Idle").wait_for()
    page.locator(".jp-Notebook").click(position={"x": 5, "y": 5})
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    page.locator(ready).first.wait_for()
    page.wait_for_timeout(1500)
    return page


def report(name: str, times: list[float], rate: float) -> float:
    middle, late = np.median(times), np.percentile(times, 95)
    print(
        f"{name:34} {middle:7.0f} {late:7.0f} {max(times):7.0f} {rate:9.1f} {len(times):6}",
        flush=True,
    )
    return float(middle)


def main(keys: int = 40, rounds: int = 1) -> None:
    program = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))))
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch, sync_playwright() as p:
        folder = Path(scratch) / "course"
        (folder / NOTES).mkdir(parents=True)
        notebook(folder / "living.ipynb", LIVING)
        notebook(folder / "plain.ipynb", PLAIN)
        context = p.chromium.launch_persistent_context(
            Path(scratch) / "browser",
            executable_path=program,
            args=ARGUMENTS,
            viewport={"width": 1280, "height": 900},
        )
        with jupyterlab(folder) as (address, _):
            heads = ("median", "p95", "worst", "pictures", "keys")
            print("{:34} {:>7} {:>7} {:>7} {:>9} {:>6}".format("milliseconds", *heads))
            for _ in range(rounds):
                page = in_jupyterlab(
                    context, address, "plain.ipynb", ".jp-OutputArea .widget-output img"
                )
                handle = page.locator(".noUi-handle")
                plain = report(
                    "interact, a new figure",
                    *measure(page, handle, ".jp-OutputArea .widget-output img", keys),
                )
                page.close()
                page = in_jupyterlab(
                    context, address, "living.ipynb", ".hoofcalc-figure .sentence:not(:empty)"
                )
                slider = page.locator("input[type=range][data-name=lean_deg]")
                living = report(
                    "living figure",
                    *measure(page, slider, ".hoofcalc-figure canvas", keys),
                )
                page.close()
                print(
                    f"{'':34} the living figure is {plain / living:.1f} times as fast as interact"
                )
        context.close()


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:3]))

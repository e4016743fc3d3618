"""From a key, a tap or a hand to changed pixels: every control of every figure, in JupyterLab.

    python tests/benchmarks/bench_living_figure.py [moves] [figure ...]

All living figures stand in one notebook, and the plain way (`interact`, which builds a new
matplotlib figure at each move) in another. A clock in the page starts at the event and stops in
the first animation frame in which the pixels differ: read back small and compared, alike for
both. The next move follows about a tenth of a second after the last picture, as from a person in
a hurry. A picture that changes once more before then was not the right one yet: "again" counts
those. Beside it the processor's time for a move, kernel and page together, which does not depend
on what else the machine does. Printed, not asserted: machines and their load differ.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from pathlib import Path
from typing import Any

import nbformat
import numpy as np
import psutil
from playwright.sync_api import sync_playwright

from hoofcalc.classroom.workspace.learner_folder import NOTES
from hoofcalc.classroom.workspace.serving import jupyterlab
from hoofcalc.figures import EVERY_FIGURE, Figure, Slider

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

LIVING = "from hoofcalc.figures import EVERY_FIGURE\nEVERY_FIGURE[{name!r}]"
PLAIN = """
import warnings; warnings.simplefilter("ignore")
import numpy as np
import matplotlib.pyplot as plt
from ipywidgets import fixed, interact, FloatSlider
from hoofcalc.figures import EVERY_FIGURE
from hoofcalc.figures.scene import COLOURS
%matplotlib inline
figure = EVERY_FIGURE[{name!r}]
first = figure.sliders[0]

@interact(value=FloatSlider(min=first.minimum, max=first.maximum, step=first.step,
                            value=first.start, description=figure.name),
          figure=fixed(figure), first=fixed(first))
def show(value, figure, first):
    frame = figure.frame({{first.name: first.positions()[
        int(np.abs(np.array(first.positions()) - value).argmin())]}})
    picture, axes = plt.subplots(1, len(figure.panels), figsize=(11.5, 5.6), squeeze=False)
    for panel, ax in zip(figure.panels, axes[0]):
        ax.set(xlim=panel.x_limits, ylim=panel.y_limits, title=panel.title)
        ax.set(xlabel=panel.x_label, ylabel=panel.y_label)
    for item in figure.series:
        place, ax = np.asarray(frame.results[item.data]), axes[0][item.panel]
        if not len(place):
            continue
        colour = COLOURS[item.style.colour]
        if item.kind in ("area", "tiles"):
            ax.fill(*place.T, color=colour, alpha=0.4)
        elif item.kind == "words":
            ax.text(*place[0], frame.results[item.words], color=colour)
        else:
            ax.plot(*place.T, "s" if item.kind == "points" else "-", color=colour)
    plt.show()
    print(frame.sentence)
"""

# Watches every canvas and picture under a selector; the clock runs from the event. Looking costs
# time itself, so it is done only between an event and its picture.
WATCH = """
(selector) => {
  const probe = new OffscreenCanvas(96, 48).getContext('2d', { willReadFrequently: true });
  const look = () => {
    let sum = 0;
    for (const node of document.querySelectorAll(selector)) {
      if (node.tagName === 'IMG' && !(node.complete && node.naturalWidth)) continue;
      if (node.tagName === 'CANVAS' && !node.width) continue;
      probe.clearRect(0, 0, 96, 48);
      probe.drawImage(node, 0, 0, 96, 48);
      const data = probe.getImageData(0, 0, 96, 48).data;
      for (let at = 0; at < data.length; at += 1) sum = (sum * 31 + data[at]) % 1000000007;
    }
    return sum;
  };
  window.watched?.abort();
  const watched = (window.watched = new AbortController());
  [window.times, window.again] = [[], 0];
  let [from, running, last] = [null, false, look()];
  const frame = () => {
    if (watched.signal.aborted) return; // a move that changed nothing is not the next one's
    const now = look();
    if (now !== last && now !== 0) {
      last = now;
      if (from !== null) window.times.push(performance.now() - from);
      from = null;
    }
    running = from !== null;
    if (running) requestAnimationFrame(frame);
  };
  window.settled = () => {
    const now = look();
    if (now !== last && from === null) window.again += 1;
    last = now;
  };
  const start = () => {
    from = performance.now();
    if (!running) requestAnimationFrame(frame);
    running = true;
  };
  for (const kind of ['keydown', 'click', 'pointermove'])
    document.addEventListener(kind, (event) => {
      if (kind === 'keydown' && !event.key.startsWith('Arrow')) return;
      if (kind === 'pointermove' && !event.buttons) return;
      start();
    }, { capture: true, signal: watched.signal });
}
"""


class Lab:
    """A notebook that has been run, and how much work its kernel and its page do."""

    def __init__(self, browser: Any, address: Any, server: Any, name: str, ready: str) -> None:
        self.page = browser.new_page()
        self.page.goto(address.url(f"lab/workspaces/bench/tree/{name}") + "&reset")
        self.page.get_by_text("Python 3 (ipykernel) | Idle").wait_for()
        self.page.locator(".jp-Notebook").click(position={"x": 5, "y": 5})
        self.page.get_by_role("menuitem", name="Run", exact=True).click()
        self.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        self.page.locator(ready).first.wait_for()
        self.page.get_by_text("Python 3 (ipykernel) | Idle").wait_for()
        self.page.wait_for_timeout(1500)
        self._server = psutil.Process(server.pid)
        self._meter = browser.new_cdp_session(self.page)
        self._meter.send("Performance.enable", {"timeDomain": "threadTicks"})

    def cpu_s(self) -> float:
        """Processor time of the kernels and of the page's main thread so far [s]."""
        kernels = [
            one
            for one in self._server.children(recursive=True)
            if "ipykernel_launcher" in " ".join(one.cmdline())
        ]
        used = sum(sum(one.cpu_times()[:2]) for one in kernels)
        told = self._meter.send("Performance.getMetrics")["metrics"]
        return used + next(one["value"] for one in told if one["name"] == "TaskDuration")

    def moves(self, selector: str, many: int, move: Any) -> tuple[list[float], float, int]:
        """Milliseconds to changed pixels for each move, processor time of one [ms], and again."""
        self.page.evaluate(WATCH, selector)
        before = self.cpu_s()
        for number in range(many):
            seen = self.page.evaluate("window.times.length")
            move(number)
            try:
                self.page.wait_for_function(
                    "seen => window.times.length > seen", arg=seen, timeout=5000, polling=50
                )
            except Exception:  # a move that changes nothing that is seen so small
                continue
            self.page.wait_for_timeout(40)
            self.page.evaluate("window.settled()")
        used_ms = 1000 * (self.cpu_s() - before) / many
        self.page.wait_for_timeout(300)
        self.page.evaluate("window.settled()")
        return self.page.evaluate("window.times"), used_ms, self.page.evaluate("window.again")


KEYS = {1: "ArrowRight", -1: "ArrowLeft"}
FRAMES_MS = 33  # two pictures of a screen


def there_and_back(slider: Slider) -> list[int]:
    """Up to eight steps away from a slider's start and back: none that an end swallows."""
    positions = slider.positions()
    start = int(np.abs(np.array(positions) - slider.start).argmin())
    above = len(positions) - 1 - start
    way = 1 if above >= min(8, start) else -1
    far = min(8, above if way == 1 else start)
    return [way] * far + [-way] * far


def report(name: str, times: list[float], cpu_ms: float, again: int) -> None:
    if not times:
        print(f"{name:44} nothing changed", flush=True)
        return
    middle, late = np.median(times), np.percentile(times, 95)
    print(f"{name:44} {middle:7.0f} {late:7.0f} {cpu_ms:7.1f} {len(times):5} {again:5}", flush=True)


def living(lab: Lab, figure: Figure, many: int) -> list[tuple[list[float], float, int]]:
    """Every slider by key and by tap, every thing to take hold of by hand and by key."""
    page = lab.page
    root = page.locator(f".hoofcalc-figure[aria-label='{figure.title}']")
    root.scroll_into_view_if_needed()
    root.locator("details.more").evaluate("one => (one.open = true)")
    canvases = f".hoofcalc-figure[aria-label='{figure.title}'] canvas + canvas"
    found = []
    steps = {slider.name: there_and_back(slider) for slider in figure.sliders}

    def note(name: str, move: Any) -> None:
        found.append(lab.moves(canvases, many, move))
        report(f"{figure.name} {name}", *found[-1])

    def afresh() -> None:
        root.locator(".again").click()
        page.wait_for_timeout(200)

    def keys(step: list[int]) -> Any:
        return lambda number: page.keyboard.press(KEYS[step[number % len(step)]])

    for slider in figure.sliders:
        row = root.locator(f"[data-row={slider.name}]")
        step = steps[slider.name]
        afresh()
        row.locator("input[type=range]").focus()
        note(f"{slider.name}, key", keys(step))
        afresh()
        signs = {by: row.locator(f"[data-step='{by}']") for by in (1, -1)}
        note(
            f"{slider.name}, tap",
            lambda number, signs=signs, step=step: signs[step[number % len(step)]].click(),
        )
    for handle in figure.handles:
        panel = figure.panels[handle.panel]
        grip = root.locator(f"[data-handle={handle.name}]")
        if panel.belongs_to and not grip.is_visible():
            continue
        afresh()
        grip.scroll_into_view_if_needed()
        box = grip.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()

        def drag(number: int, x: float = x, y: float = y) -> None:
            off = 3 * (number % 16 if number % 16 < 8 else 16 - number % 16)
            page.mouse.move(x - off, y - off)

        note(f"{handle.name}, hand", drag)
        page.mouse.up()
        afresh()
        grip.focus()
        note(f"{handle.name}, key", keys(steps.get(handle.x, [1] * 8 + [-1] * 8)))
    return found


def main(moves: int = 16, *names: str) -> None:
    program = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))))
    figures = [EVERY_FIGURE[name] for name in names or EVERY_FIGURE]
    face = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch, sync_playwright() as p:
        folder = Path(scratch) / "course"
        (folder / NOTES).mkdir(parents=True)
        for file, code in (("living.ipynb", LIVING), ("plain.ipynb", PLAIN)):
            cells = [
                nbformat.v4.new_code_cell(code.format(name=figure.name).strip())
                for figure in figures
            ]
            nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=face), folder / file)
        context = p.chromium.launch_persistent_context(
            Path(scratch) / "browser",
            executable_path=program,
            args=ARGUMENTS,
            viewport={"width": 1280, "height": 900},
            timeout=120_000,
        )
        context.set_default_timeout(120_000)
        with jupyterlab(folder) as (address, server):
            print(f"load at the start {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
            print(
                "{:44} {:>7} {:>7} {:>7} {:>5} {:>5}".format(
                    "milliseconds", "median", "p95", "cpu", "n", "again"
                )
            )
            lab = Lab(context, address, server, "living.ipynb", ".hoofcalc-figure .sentence")
            found = {figure.name: living(lab, figure, moves) for figure in figures}
            rows = [row for figure_rows in found.values() for row in figure_rows]
            cpu_ms, again = np.mean([row[1] for row in rows]), sum(row[2] for row in rows)
            report("every control", [time for row in rows for time in row[0]], cpu_ms, again)
            late = [np.percentile(row[0], 95) for row in rows if row[0]]
            within = f"{sum(one <= FRAMES_MS for one in late)} of {len(late)} within {FRAMES_MS}"
            print(
                f"p95 of a control: median {np.median(late):.0f}, worst {max(late):.0f}, {within}"
            )
            lab.page.close()
            images = ".jp-OutputArea .widget-output img"
            lab = Lab(context, address, server, "plain.ipynb", images)
            for number, figure in enumerate(figures):
                lab.page.locator(".noUi-handle").nth(number).focus()
                times, cpu_ms, again = lab.moves(
                    images, max(moves // 4, 3), lambda _: lab.page.keyboard.press("ArrowRight")
                )
                report(f"{figure.name}, a new figure at each move", times, cpu_ms, again)
                rows = found[figure.name]
                own = np.median([time for times_, _, _ in rows for time in times_])
                ratio = np.median(times) / own if times else float("nan")
                cpu = cpu_ms / np.mean([one for _, one, _ in rows])
                print(f"{'':44} {ratio:.1f} times as long, {cpu:.1f} times the processor")
            print(f"load at the end {os.getloadavg()[0]:.1f}")
        context.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 16, *sys.argv[2:])

"""Every lesson in JupyterLab, its file browser open: run it, and take each slider to its ends."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.figures import EVERY_FIGURE

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(300)]

LESSONS = sorted((Path(__file__).parents[2] / "lessons").glob("[0-9][0-9]-*.ipynb"))
PANEL = ".jp-NotebookPanel:not(.lm-mod-hidden)"
# what the figure says, leaving out what its finding was before, and what moves on its canvases
SAYS = """
([figure, words]) => {
  const copy = figure.querySelector('.sentence').cloneNode(true);
  copy.querySelectorAll('.was').forEach((was) => was.remove());
  return copy.textContent === words;
}
"""
# the dots of all its pictures, as one number
PICTURES = """
(figure) => [...figure.querySelectorAll('canvas + canvas')].map((canvas) => canvas.width &&
  new Uint32Array(canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height)
    .data.buffer).reduce((sum, dot) => (31 * sum + dot) % 1000000007, 0))
"""


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_runs_on_one_screen_and_every_slider_reaches_both_ends(
    path: Path, window: Any, course: str
) -> None:
    page = window.new_page()
    page.set_default_timeout(60_000)
    page.set_viewport_size({"width": 1280, "height": 800})
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    found = re.match(r"(http://[^/]+)/doc/tree/[^?]*\?(.*)", course)
    assert found, course
    page.goto(f"{found[1]}/lab/workspaces/walk/tree/lessons/{path.name}?reset&{found[2]}")
    page.locator(f"{PANEL} .jp-Cell").first.wait_for()
    page.get_by_text("Python 3 (ipykernel) | Idle").wait_for()  # earlier it asks for a kernel
    page.locator(f"{PANEL} .jp-Notebook").click(position={"x": 5, "y": 5})
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()

    figure = _brought_near(page)
    _shot(page, path.stem)
    assert page.locator(".jp-DirListing").is_visible(), "the file browser is open"
    assert figure.bounding_box()["height"] <= 600
    assert figure.evaluate("one => one.scrollWidth <= one.clientWidth")
    for more in figure.locator("details.more").all():
        more.evaluate("one => (one.open = true)")
    title = figure.get_attribute("aria-label")
    shown = next(one for one in EVERY_FIGURE.values() if one.title == title)
    for slider in shown.sliders:
        figure.locator(f"input[type=range][data-name={slider.name}]").focus()
        ends = []
        for key, end in (("End", slider.positions()[-1]), ("Home", slider.minimum)):
            page.keyboard.press(key)
            there = shown.frame({slider.name: end})
            _says(page, figure, there.sentence or there.refusal)
            ends.append(figure.evaluate(PICTURES))
            _shot(page, f"{path.stem}-{slider.name}-{key}")
        assert ends[0] != ends[1], slider.name
        figure.get_by_role("button", name="Start again").press("Enter")
        _says(page, figure, shown.frame({}).sentence)
    assert figure.locator(".notice").text_content() == ""
    assert not page.locator(f"{PANEL} [data-mime-type='application/vnd.jupyter.stderr']").count()
    for light in ("true", "false"):
        page.evaluate("light => document.body.setAttribute('data-jp-theme-light', light)", light)
        assert not _problems(page)
    assert not troubles
    page.close()


def _problems(page: Any) -> list[str]:
    """What axe-core finds in what the course shows, leaving JupyterLab itself out."""
    from axe_playwright_python.sync_playwright import Axe

    tags = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]
    options = {"runOnly": {"type": "tag", "values": tags}}
    found = Axe().run(page, context=".hoofcalc", options=options)
    return [
        f"{rule['id']}: {rule['nodes'][0]['html'][:160]}" for rule in found.response["violations"]
    ]


def _brought_near(page: Any) -> Any:
    """The living figure; JupyterLab draws only what is near, so look from the top down."""
    figure = page.locator(".hoofcalc-figure").first
    page.mouse.move(700, 500)
    for _ in range(9):
        page.mouse.wheel(0, -100_000)
        for _ in range(30):
            page.wait_for_timeout(100)
            if figure.count():
                figure.scroll_into_view_if_needed()
                figure.locator(".sentence").wait_for()
                return figure
            page.mouse.wheel(0, 300)
    pytest.fail("no living figure came into sight")


def _says(page: Any, figure: Any, words: str) -> None:
    """Wait until the figure says what the library does; then the picture stands there too."""
    page.wait_for_function(SAYS, arg=[figure.element_handle(), words])


def _shot(page: Any, name: str) -> None:
    """Keep a screenshot where the caller asked for it."""
    if folder := os.environ.get("HOOFCALC_SCREENSHOTS"):
        page.screenshot(path=Path(folder) / f"{name}.png")

"""Every lesson in JupyterLab: open it, run it, and take each slider to both ends by keyboard."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest

pytestmark = [
    pytest.mark.unsettled,
    pytest.mark.browser,
    pytest.mark.slow,
    pytest.mark.timeout(240),
]

LESSONS = sorted((Path(__file__).parents[2] / "lessons").glob("[0-9][0-9]-*.ipynb"))
PANEL = ".jp-NotebookPanel:not(.lm-mod-hidden)"
# the words under a figure, and a fingerprint of everything that its canvases show
STATE = """
(figure) => [figure.querySelector('.sentence').textContent,
  [...figure.querySelectorAll('canvas')].map((canvas) => {
    const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
    let sum = 0;
    for (let at = 0; at < data.length; at += 1) sum = (sum * 31 + data[at]) % 1000000007;
    return sum;
  }).join(' ')]
"""


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_runs_and_every_slider_reaches_both_ends(
    path: Path, browser: Any, course: str
) -> None:
    page = browser.new_page()
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
    for knob in figure.locator("input[type=range]").all():
        name = knob.get_attribute("data-name")
        seen = []
        for key in ("Home", "End"):
            seen.append(_pressed(page, figure, knob, key))
            _shot(page, f"{path.stem}-{name}-{key}")
        assert seen[0][0] != seen[1][0], f"{name}: the sentence says the same at both ends"
        assert seen[0][1] != seen[1][1], f"{name}: the picture is the same at both ends"
        _pressed(page, figure, figure.get_by_role("button", name="Reset"), "Enter")
    assert figure.locator(".notice").text_content() == ""
    assert not page.locator(f"{PANEL} [data-mime-type='application/vnd.jupyter.stderr']").count()
    assert not troubles


def _brought_near(page: Any) -> Any:
    """The first living figure; JupyterLab draws only what is near, so look from the top down."""
    figure = page.locator(".hoofcalc-figure").first
    page.mouse.move(700, 500)
    for _ in range(3):
        page.mouse.wheel(0, -100_000)
        for _ in range(30):
            page.wait_for_timeout(300)
            if figure.count():
                figure.scroll_into_view_if_needed()
                return figure
            page.mouse.wheel(0, 300)
    pytest.fail("no living figure came into sight")


def _pressed(page: Any, figure: Any, control: Any, key: str) -> Any:
    """What the figure says and shows once a key has done its work."""
    numbers = "(figure) => [...figure.querySelectorAll('input')].map((one) => one.value).join()"
    before, setting = figure.evaluate(STATE), figure.evaluate(numbers)
    control.focus()
    page.keyboard.press(key)
    moved = figure.evaluate(numbers) != setting
    last = before
    for _ in range(60):
        page.wait_for_timeout(150)
        now = figure.evaluate(STATE)
        if now == last and not (moved and now == before):  # the answer has come, and it stands
            break
        last = now
    return last


def _shot(page: Any, name: str) -> None:
    """Keep a screenshot where the caller asked for it."""
    if folder := os.environ.get("HOOFCALC_SCREENSHOTS"):
        page.screenshot(path=Path(folder) / f"{name}.png")

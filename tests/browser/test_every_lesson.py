"""Every lesson in JupyterLab: run it, take each slider to its ends; in lesson 04, all by keyboard.

One JupyterLab and one browser for all: they take longer to start than a lesson to run.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.figures import EVERY_FIGURE
from hoofcalc.figures.column_figure import COLUMNS

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


def all_run(window: Any, course: str, name: str, troubles: list[str]) -> Any:
    """A lesson beside the file browser, all of it run."""
    found = re.match(r"(http://[^/]+)/doc/tree/[^?]*\?(.*)", course)
    assert found, course
    page = window.new_page()
    page.set_default_timeout(60_000)
    page.set_viewport_size({"width": 1280, "height": 800})
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.goto(f"{found[1]}/lab/workspaces/walk/tree/lessons/{name}?reset&{found[2]}")
    page.locator(f"{PANEL} .jp-Cell").first.wait_for()
    page.get_by_text("Python 3 (ipykernel) | Idle").wait_for()  # earlier it asks for a kernel
    page.locator(f"{PANEL} .jp-Notebook").click(position={"x": 5, "y": 5})
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    return page


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_runs_on_one_screen_and_every_slider_reaches_both_ends(
    path: Path, window: Any, course: str
) -> None:
    troubles: list[str] = []
    page = all_run(window, course, path.name, troubles)
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


# ---- lesson 04, by keyboard, as a learner would ----------------------------------------------


@pytest.fixture(scope="module")
def lesson(window: Any, course: str) -> Iterator[Any]:
    """Lesson 04, all of it run."""
    troubles: list[str] = []
    page = all_run(window, course, "04-columns.ipynb", troubles)
    yield page
    page.close()
    assert not troubles


def until(page: Any, words: str) -> None:
    """Wait until the figure's sentence says this; what it was before does not count."""
    page.wait_for_function(
        r"""words => document.querySelector('.hoofcalc-figure .sentence').textContent
          .replace(/ ?\(was [^)]*\)/, '') === words""",
        arg=words,
    )


def brought_near(wanted: Any) -> Any:
    """Bring a part of the lesson onto the screen."""
    wanted.first.wait_for(state="attached")
    wanted.first.scroll_into_view_if_needed()
    wanted.first.wait_for(state="visible")
    return wanted.first


def figure_of(lesson: Any) -> Any:
    """The figure as it stands at first."""
    figure = brought_near(lesson.locator(".hoofcalc-figure"))
    figure.get_by_role("button", name="Start again").press("Enter")
    until(lesson, COLUMNS.frame({}).sentence)
    return figure


def test_arrows_move_the_slider_and_not_the_notebook(lesson: Any) -> None:
    figure = figure_of(lesson)
    slider = next(slider for slider in COLUMNS.sliders if slider.name == "length_mm")
    places = slider.positions()
    figure.locator(f"input[type=range][data-name={slider.name}]").focus()
    for key, place in (
        ("Home", places[0]),
        ("ArrowRight", places[1]),
        ("End", places[-1]),
        ("ArrowDown", places[-2]),
        ("ArrowUp", places[-1]),
    ):
        lesson.keyboard.press(key)
        until(lesson, COLUMNS.frame({slider.name: place}).sentence)
    picture = figure.locator(".panels")
    assert picture.get_attribute("aria-label") == COLUMNS.frame({slider.name: places[-1]}).alt


def test_a_number_out_of_range_is_refused_in_words_and_changes_nothing(lesson: Any) -> None:
    figure = figure_of(lesson)
    box = figure.locator("input[data-number=lean_deg]")
    box.fill("60")
    box.press("Enter")
    notice = figure.locator(".notice")
    assert "goes from 0 to 45 degrees" in (notice.text_content() or "")
    assert box.input_value() == "5"
    until(lesson, COLUMNS.frame({}).sentence)
    box.fill("7,5")  # a decimal comma is as good as a point
    box.press("Enter")
    until(lesson, COLUMNS.frame({"lean_deg": 7.5}).sentence)
    assert notice.text_content() == ""
    for preset in COLUMNS.presets:
        figure.get_by_role("button", name=preset.label).click()
        until(lesson, COLUMNS.frame(preset.values).sentence)


def test_checks_name_the_slip(lesson: Any) -> None:
    cards = lesson.locator(".hoofcalc-card")
    choice = brought_near(
        cards.filter(has=lesson.get_by_role("radio", name="Not shown", exact=False))
    )
    choice.get_by_role("radio").first.focus()
    lesson.keyboard.press("Space")
    told = choice.get_by_role("status")
    told.filter(has_text="The slip").wait_for()
    number = brought_near(cards.filter(has_text="You cut it to 125 mm"))
    box, told = number.get_by_role("textbox"), number.get_by_role("status")
    for answer, says in (
        ("4.71", "the length is squared"),
        ("9.4", "Yes."),
        ("nine", "not a number"),
    ):
        box.fill(answer)
        box.press("Enter")
        told.filter(has_text=says).wait_for()

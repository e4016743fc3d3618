"""Lesson 04 in JupyterLab, in a real browser, by keyboard, as a learner would."""

from __future__ import annotations

import re
from typing import Any

import pytest

from hoofcalc.figures.column_figure import COLUMNS

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(300)]

PANEL = ".jp-NotebookPanel:not(.lm-mod-hidden)"


@pytest.fixture(scope="module")
def lesson(chromium: str, course: str, tmp_path_factory: pytest.TempPathFactory) -> Any:
    """The lesson alone on the screen, all of it run."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            tmp_path_factory.mktemp("lesson"),
            executable_path=chromium,
            args=["--headless", "--no-sandbox", "--disable-gpu"],
            headless=True,
            viewport={"width": 1280, "height": 900},
        )
        context.set_default_timeout(60_000)
        page = context.new_page()
        found = re.match(r"(http://[^/]+)/doc/tree/[^?]*\?(.*)", course)
        assert found, course
        page.goto(f"{found[1]}/lab/workspaces/test/tree/lessons/04-columns.ipynb?reset&{found[2]}")
        page.locator(f"{PANEL} .jp-Cell").first.wait_for()
        page.get_by_text("Python 3 (ipykernel) | Idle").wait_for()  # earlier it asks for a kernel
        page.locator(f"{PANEL} .jp-Notebook").click(position={"x": 5, "y": 5})
        page.get_by_role("menuitem", name="Run", exact=True).click()
        page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        yield page
        context.close()


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


def test_arrows_move_the_slider_and_not_the_notebook(lesson: Any) -> None:
    figure = brought_near(lesson.locator(".hoofcalc-figure"))
    until(lesson, COLUMNS.frame({}).sentence)
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
    figure.get_by_role("button", name="Start again").press("Enter")
    until(lesson, COLUMNS.frame({}).sentence)


def test_a_number_out_of_range_is_refused_in_words_and_changes_nothing(lesson: Any) -> None:
    figure = brought_near(lesson.locator(".hoofcalc-figure"))
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

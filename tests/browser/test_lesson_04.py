"""Lesson 04 in JupyterLab, in a real browser, by keyboard, as a learner would."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.figures.column_figure import COLUMNS

pytestmark = [
    pytest.mark.unsettled,
    pytest.mark.browser,
    pytest.mark.slow,
    pytest.mark.timeout(240),
]

PANEL = ".jp-NotebookPanel:not(.lm-mod-hidden)"
# a fingerprint of everything that the figure's canvases show
PIXELS = """
() => [...document.querySelectorAll('.hoofcalc-figure canvas')].map((canvas) => {
  const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
  let sum = 0;
  for (let at = 0; at < data.length; at += 1) sum = (sum * 31 + data[at]) % 1000000007;
  return sum;
}).join(' ')
"""


def _open(page: Any, address: str, lesson: str) -> None:
    """Open a lesson, alone on the screen, and run all of it."""
    found = re.match(r"(http://[^/]+)/doc/tree/[^?]*\?(.*)", address)
    assert found, address
    page.goto(f"{found[1]}/lab/workspaces/test/tree/lessons/{lesson}?reset&{found[2]}")
    page.locator(f"{PANEL} .jp-Cell").first.wait_for()
    page.get_by_text("Python 3 (ipykernel) | Idle").wait_for()  # earlier it asks for a kernel
    page.locator(f"{PANEL} .jp-Notebook").click(position={"x": 5, "y": 5})
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()


def _shot(page: Any, name: str) -> None:
    """Keep a screenshot where the caller asked for it."""
    if folder := os.environ.get("HOOFCALC_SCREENSHOTS"):
        page.screenshot(path=Path(folder) / f"{name}.png")


def test_the_lesson_runs_and_its_figure_follows_the_keyboard(browser: Any, course: str) -> None:
    page = browser.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    _open(page, course, "04-columns.ipynb")
    figure = page.locator(".hoofcalc-figure")
    _show(page, figure)
    sentence = figure.locator(".sentence")
    page.wait_for_function(
        "document.querySelector('.hoofcalc-figure .sentence').textContent.length > 20"
    )
    _shot(page, "lesson-04-start")
    figure.locator("details.more").evaluate("one => (one.open = true)")
    for slider in COLUMNS.sliders:
        knob = figure.locator(f"input[type=range][data-name={slider.name}]")
        knob.focus()
        places = slider.positions()
        for key, end in (
            ("ArrowUp", None),  # an arrow must move the slider, not the notebook
            ("ArrowLeft", None),
            ("Home", places[0]),
            ("ArrowRight", places[1]),
            ("End", places[-1]),
            ("ArrowDown", places[-2]),
        ):
            words, pixels = sentence.text_content(), page.evaluate(PIXELS)
            page.keyboard.press(key)
            page.wait_for_function(
                "old => document.querySelector('.hoofcalc-figure .sentence').textContent !== old",
                arg=words,
            )
            assert page.evaluate(PIXELS) != pixels, f"{slider.name} {key}: the picture stands still"
            box = figure.locator(f"input[data-number={slider.name}]")
            if end is not None:
                assert float(box.input_value()) == pytest.approx(end)
            if key in ("Home", "End"):
                _shot(page, f"lesson-04-{slider.name}-{key}")
        figure.get_by_role("button", name="Start again").press("Enter")
        page.wait_for_function(
            "text => document.querySelector('.hoofcalc-figure .sentence').textContent === text",
            arg=COLUMNS.frame({}).sentence,
        )

    # the picture says what it shows
    picture = figure.get_by_role("img")
    assert picture.get_attribute("aria-label") == COLUMNS.frame({}).alt

    # a number out of range is refused in words and changes nothing
    box = figure.locator("input[data-number=lean_deg]")
    before = sentence.text_content()
    box.fill("60")
    box.press("Enter")
    notice = figure.get_by_role("alert")
    assert "goes from 0 to 45 degrees" in (notice.text_content() or "")
    assert box.input_value() == "5"
    assert sentence.text_content() == before
    box.fill("7,5")  # a decimal comma is as good as a point
    box.press("Enter")
    page.wait_for_function(
        "() => document.querySelector('.hoofcalc-figure .sentence').textContent.includes('7.5°')"
    )
    assert figure.locator(".notice").text_content() == ""

    # presets in trade words
    for preset in COLUMNS.presets:
        figure.get_by_role("button", name=preset.label).click()
        page.wait_for_function(
            "text => document.querySelector('.hoofcalc-figure .sentence').textContent === text",
            arg=COLUMNS.frame(preset.values).sentence,
        )
        _shot(page, f"lesson-04-preset-{preset.values['thing']}")
    assert not troubles


def test_checks_name_the_slip(browser: Any, course: str) -> None:
    page = browser.new_page()
    _open(page, course, "04-columns.ipynb")
    cards = page.locator(".hoofcalc-card")
    choice = cards.filter(has=page.get_by_role("radio", name="Not shown", exact=False))
    _show(page, choice)
    choice.get_by_role("radio").first.focus()
    page.keyboard.press("Space")
    assert "The slip" in (choice.get_by_role("status").text_content() or "")
    number = cards.filter(has_text="You cut it to 125 mm")
    _show(page, number)
    box = number.get_by_role("textbox")
    box.fill("4.71")
    box.press("Enter")
    assert "the length is squared" in (number.get_by_role("status").text_content() or "")
    box.fill("9.4")
    number.get_by_role("button", name="Check").click()
    assert "Yes." in (number.get_by_role("status").text_content() or "")
    box.fill("nine")
    box.press("Enter")
    assert "not a number" in (number.get_by_role("status").text_content() or "")
    _shot(page, "lesson-04-check")


def _show(page: Any, wanted: Any) -> None:
    """Bring a part of the lesson onto the screen."""
    try:
        wanted.first.wait_for(state="attached")
        wanted.first.scroll_into_view_if_needed()
        wanted.first.wait_for(state="visible")
    except Exception:
        _shot(page, "lesson-04-lost")
        raise

"""One press makes a lesson alive and leaves the reader in place; answers are there tomorrow."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.figures.where import CHAIN

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(280)]

LESSONS = Path(__file__).parents[2] / "lessons"
PANEL = ".jp-NotebookPanel:not(.lm-mod-hidden)"


def opened(window: Any, course: str, name: str) -> Any:
    """A lesson as the command opens it: the single document, no file browser beside it."""
    page = window.new_page()
    page.set_default_timeout(60_000)
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(re.sub(r"[^/]*\.ipynb", name, course))
    page.locator(f"{PANEL} .jp-Cell").first.wait_for()
    page.get_by_text(re.compile(r"\| Idle")).first.wait_for(timeout=90_000)
    return page


def made_alive(page: Any, cards: int) -> None:
    """Press the one button, and wait until so many cards live."""
    page.get_by_text("Make it alive").first.click()
    page.wait_for_function(
        f"document.querySelectorAll('.hoofcalc-card, .hoofcalc-where').length >= {cards}",
        timeout=120_000,
    )


def all_has_run(page: Any, lesson: str) -> None:
    """Wait until each cell that shows something shows it again: a folded one has no sign else."""
    cells = json.loads((LESSONS / lesson).read_text("utf-8"))["cells"]
    page.wait_for_function(
        """many =>
          document.querySelectorAll('.jp-CodeCell:has(.jp-OutputArea-child)').length >= many""",
        arg=sum(bool(cell.get("outputs")) for cell in cells),
    )
    page.get_by_text(re.compile(r"\| Idle")).first.wait_for()


def everything_is_shown(page: Any) -> None:
    """Figure and still are there, and every answer can be opened."""
    page.locator(f"{PANEL} .jp-OutputArea img").nth(1).wait_for()
    page.locator(f"{PANEL} details summary").nth(12).wait_for(state="attached")


def sums_are_shown_with_their_folds(page: Any) -> None:
    """What a fold of lesson 04 works out is seen while that fold is open, and no longer."""
    folds = page.locator(f"{PANEL} .jp-RenderedMarkdown details").filter(has_text="Work it out")
    sum_of_it = page.get_by_text("Euler load 2.35 N")
    assert folds.count() == 3
    assert sum_of_it.count() == 1
    assert not sum_of_it.is_visible()
    folds.first.locator("summary").click()
    sum_of_it.wait_for()
    assert not page.get_by_text("stress 7.6 MPa of 8").is_visible(), "the next fold is closed"
    folds.first.locator("summary").click()
    sum_of_it.wait_for(state="hidden")
    assert page.locator(f"{PANEL} .jp-OutputArea img").first.is_visible(), "a figure is no sum"


def nothing_is_in_the_way(page: Any) -> None:
    """A lesson alone, its code folded away; everything else is one button off, and one back."""
    assert "from hoofcalc" not in page.locator(PANEL).inner_text(), "code waits to be asked for"
    folded = page.locator(f"{PANEL} .jp-InputPlaceholder")
    assert folded.first.is_visible()
    tools = page.locator(f"{PANEL} .jp-NotebookPanel-toolbar [data-jp-item-name]")
    names = {one.get_attribute("data-jp-item-name") for one in tools.all()}
    assert names >= {"alive", "full-view", "save", "run", "restart"}
    assert not names & {"voilaRender", "interfaceSwitcher", "insert", "cut", "debugger-icon"}
    assert not page.locator("[data-id='extensionmanager.main-view']").count()

    bar, files = page.locator(f"{PANEL} .jp-cell-toolbar"), page.locator(".jp-DirListing")
    full = page.locator(f"{PANEL} [data-command='hoofcalc:full-view']")
    assert not files.is_visible()
    assert not [one for one in bar.all() if one.is_visible()]
    for pressed in ("true", "false"):
        full.click()
        files.wait_for(state="visible" if pressed == "true" else "hidden")
        page.locator(
            f"{PANEL} [data-command='hoofcalc:full-view'][aria-pressed={pressed}]"
        ).wait_for()
    assert not [one for one in bar.all() if one.is_visible()]
    folded.first.locator(".jp-MoreHorizIcon").click()
    page.locator(f"{PANEL} .jp-InputArea-editor").get_by_text("from hoofcalc").first.wait_for()


# what has a small picture of its own over its words, in the line with "you are here"
DRAWN = """
() => [...document.querySelectorAll('.jp-RenderedMarkdown h1 + p > em > *')]
  .filter((one) => getComputedStyle(one, '::before').maskImage.includes('svg'))
  .map((one) => one.textContent).join(' > ')
"""


def the_chain_is_drawn(page: Any, here: str) -> None:
    """Each of its links has its picture, and so has the place where the reader is."""
    words = [words + ": you are here" * (number == here) for number, words, _ in CHAIN]
    page.wait_for_function(f"words => ({DRAWN})() === words", arg=" > ".join(words))


def pictures_are_said_in_words(page: Any, lesson: str) -> None:
    """Each still picture has the description that the lesson's file holds."""
    cells = json.loads((LESSONS / lesson).read_text("utf-8"))["cells"]
    outputs = [output for cell in cells for output in cell.get("outputs", [])]
    words = [
        one["metadata"]["image/png"]["alt"] for one in outputs if "image/png" in one.get("data", {})
    ]
    assert len(words) > 1
    pictures = page.locator(f"{PANEL} .jp-RenderedImage img")
    pictures.nth(len(words) - 1).wait_for(state="attached")
    assert [one.get_attribute("alt") for one in pictures.all()] == words


def test_a_lesson_shows_all_before_it_runs_and_stays_in_place_when_it_does(
    window: Any, own_course: str
) -> None:
    page = opened(window, own_course, "09-trim-cycle.ipynb")
    nothing_is_in_the_way(page)
    last = page.get_by_text("2026-11-05: heel angle")
    assert not last.is_visible()
    page.locator(f"{PANEL} summary").filter(has_text="Work it out").click()
    last.wait_for()
    page.close()

    page = opened(window, own_course, "04-columns.ipynb")
    everything_is_shown(page)
    the_chain_is_drawn(page, "04")
    pictures_are_said_in_words(page, "04-columns.ipynb")
    assert page.get_by_text("Press Make it alive at the top, and draw.").count() == 1
    outer = page.locator(f"{PANEL} .jp-WindowedPanel-outer")
    assert outer.evaluate("(outer) => outer.scrollTop") == 0
    sums_are_shown_with_their_folds(page)
    outer.evaluate("(outer) => outer.scrollTo(0, 0)")
    made_alive(page, 2)
    all_has_run(page, "04-columns.ipynb")
    assert outer.evaluate("(outer) => outer.scrollTop") == 0, "the page ran away"
    assert page.get_by_role("heading", name="04 Columns").is_visible()

    with page.expect_response(
        lambda one: one.request.method == "PUT" and "/api/contents/" in one.url
    ):
        page.keyboard.press("Control+s")
    assert page.locator(".hoofcalc-card").count() >= 2, "what was saved stays alive"
    page.close()
    page = opened(window, own_course, "04-columns.ipynb")
    everything_is_shown(page)
    assert page.get_by_text("Error displaying widget").count() == 0


def test_an_answer_is_there_when_the_lesson_is_opened_again(window: Any, own_course: str) -> None:
    page = opened(window, own_course, "04-columns.ipynb")
    made_alive(page, 2)
    page.get_by_label("Not shown.").first.check()
    box = page.locator(".hoofcalc-card input[type=text]").first
    box.fill("0.4")
    box.press("Enter")
    page.get_by_text("✓ Yes.").first.wait_for()
    page.wait_for_timeout(1000)
    page.close()

    page = opened(window, own_course, "where.ipynb")
    made_alive(page, 1)
    where = page.locator(".hoofcalc-where")
    assert "2 of 5 answered, 2 right" in where.inner_text()
    assert where.locator(".at").inner_text() == "04 Columns, at Remember"
    with page.expect_download() as taken:
        where.get_by_role("button", name="Write the file").click()
    file = taken.value.path()
    assert '"typed": "0.4"' in file.read_text("utf-8")
    where.get_by_role("button", name="Delete everything").click()
    where.get_by_role("button", name="Yes, delete it").click()
    where.get_by_text("Everything is deleted.").wait_for()
    assert "answered" not in where.inner_text().replace("guessed and answered", "")
    where.locator("input[type=file]").set_input_files(file)
    where.get_by_text("is back: ").wait_for()
    assert "2 of 5 answered, 2 right" in where.inner_text()
    where.get_by_role("link", name="Go on").click()
    page.get_by_role("heading", name="04 Columns").wait_for()
    made_alive(page, 2)
    assert page.get_by_label("Not shown.").first.is_checked()
    assert page.locator(".hoofcalc-card input[type=text]").first.input_value() == "0.4"

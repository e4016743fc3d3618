"""An apprentice's way through a lesson and an exercise by keys alone, on a telephone's screen."""

from __future__ import annotations

import json
import sys
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import walking
from walking import LEARNER, card, exercise_of

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(600)]
NAME = "04-columns"
PAGES = (f"{NAME}.html", f"exercise-{NAME}.html")
#: More than any page has places to stop at.
MOST = 200
#: What has the focus: its place among all elements, what it is, whether it is seen to have the
#: focus, and what lies over it. None when the way around the page is at its end.
HERE = """() => {
  const here = document.activeElement;
  if (!here || here === document.body) return null;
  const { x, y, width, height } = here.getBoundingClientRect();
  const over = document.elementFromPoint(x + width / 2, y + Math.min(height / 2, 20));
  const ringed = here.closest('.editor') || here;
  return {
    at: [...document.querySelectorAll('*')].indexOf(here),
    what: `${here.tagName} ${here.id} ${here.textContent.trim().slice(0, 40)}`,
    seen: getComputedStyle(ringed).outlineStyle !== 'none',
    clear: over !== null && (here.contains(over) || over.contains(here)),
    whole: x >= -1 && x + width <= innerWidth + 1,
  };
}"""
#: Places that are told apart by their words and stand in the order of the page.
STOPS = """() => [...document.querySelectorAll('a[href], button, input, select, textarea, summary')]
  .filter((one) => one.checkVisibility({ visibilityProperty: true }) && !one.disabled)
  .filter((one) => one.type !== 'radio').length"""


def way_round(page: Any, key: str) -> list[dict[str, Any]]:
    """Where the key leads, until it leads out of the page or around it."""
    found = []
    for _ in range(MOST):
        page.keyboard.press(key)
        walking.settled(page)
        here = page.evaluate(HERE)
        if here is None or (found and here["at"] == found[0]["at"]):
            return found
        found.append(here)
        if here["what"].startswith("TEXTAREA"):
            page.keyboard.press("Escape")  # in an editor Tab is four blanks, until this
    raise AssertionError(f"no way out: {[one['what'] for one in found[-4:]]}")


@pytest.mark.parametrize("name", PAGES)
def test_headings_and_focus_go_as_the_page_is_read(name, site, still_tab):
    still_tab.goto(f"{site}{name}")
    if still_tab.locator(".on-page.figure").count():
        still_tab.locator(".hoofcalc-figure .sentence").first.wait_for()
    levels = still_tab.locator("h1, h2, h3, h4").evaluate_all(
        "all => all.map((one) => Number(one.tagName[1]))"
    )
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))

    forwards = way_round(still_tab, "Tab")
    assert len(forwards) >= still_tab.evaluate(STOPS), "everything is reached"
    backwards = way_round(still_tab, "Shift+Tab")
    assert [one["at"] for one in backwards] == [one["at"] for one in reversed(forwards)]
    assert [one["at"] for one in forwards] == sorted(one["at"] for one in forwards)
    for one in forwards + backwards:
        assert one["seen"], one["what"]
        assert one["clear"], f"something lies over it: {one['what']}"
        assert one["whole"], f"not in view whole: {one['what']}"


def go_to(page: Any, place: Any) -> None:
    """Press Tab until a place has the focus."""
    for _ in range(MOST):
        if place.evaluate("one => one === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab does not lead to {place}")


def test_an_exercise_is_done_and_handed_in_by_keys(site, tab, tmp_path):
    exercise, own = exercise_of(NAME)
    page = tab
    page.goto(f"{site}exercise-{NAME}.html")
    go_to(page, page.locator("#my-id"))
    page.keyboard.type(LEARNER)
    walking.awake(page)
    page.get_by_text(f"Your own numbers, {LEARNER}").wait_for()

    number = card(page, "1")
    go_to(page, number.locator("input"))
    page.keyboard.type(f"{exercise.question('1').truth(own):.4f}".replace(".", ","))
    page.keyboard.press("Enter")
    number.get_by_text("Right", exact=True).wait_for()

    question = exercise.question("3")
    choice = card(page, "3")
    for group, letter in enumerate((question.truth(own), question.right_reason)):
        go_to(page, choice.locator(".opts").nth(group).locator(f'[data-letter="{letter}"]'))
        page.keyboard.press("Space")
    go_to(page, choice.locator(".check"))
    page.keyboard.press("Enter")
    choice.get_by_text("Right", exact=True).wait_for()
    go_to(page, choice.locator(".check"))  # where it was left: the next step is one Tab away
    page.keyboard.press("Tab")
    code = card(page, "4").locator("textarea")
    assert code.evaluate("one => one === document.activeElement")

    page.keyboard.press("Control+a")
    page.keyboard.insert_text(exercise.question("4").reference)
    page.keyboard.press("Control+Enter")
    card(page, "4").get_by_text("Right", exact=True).wait_for()
    page.keyboard.press("Escape")
    go_to(page, card(page, "5").locator("textarea"))
    page.keyboard.insert_text("The push leans.")
    page.keyboard.press("Tab")  # no editor: one Tab leads on
    page.keyboard.press("Escape")
    go_to(page, page.locator(".hand-in"))
    with page.expect_download() as coming:
        page.keyboard.press("Enter")
    coming.value.save_as(tmp_path / "by-keys.ipynb")
    handed = json.loads((tmp_path / "by-keys.ipynb").read_text("utf-8"))
    sources = ["".join(cell["source"]) for cell in handed["cells"]]
    assert any(question.right_reason in text and "reason_3" in text for text in sources)
    assert "The push leans." in sources

"""Exercises on the site: from the first card to the file that is handed in and marked."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import walking
from walking import LEARNER, card, check, exercise_of, hand_in, released, verdicts

from hoofcalc.classroom.model.bank import fill

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(600)]
#: What is filled in here; `test_site_long.py` fills in all.
NAME = "04-columns"
#: The page ends an endless loop after ten seconds; here, so that nobody waits, after four.
LESS_PATIENCE = """
const later = setTimeout;
globalThis.setTimeout = (what, wait, ...rest) =>
  later(what, wait === 10_000 ? 4_000 : wait, ...rest);
"""


def test_from_the_first_card_to_the_mark(site, tab, troubles_of, tmp_path):
    troubles = troubles_of(tab)
    walking.begin(tab, f"{site}exercise-{NAME}.html")
    walking.to_the_mark(tab, NAME, tmp_path)
    assert not troubles


def test_half_an_answer_and_a_slip_get_the_mark_and_message_of_a_notebook(site, tab, tmp_path):
    name, page = NAME, tab
    exercise, own = exercise_of(name)
    walking.begin(page, f"{site}exercise-{name}.html")
    slip = own["stick_length_mm"] / own["stick_diameter_mm"]
    card(page, "1").locator("input").fill(f"{slip:.4f}".replace(".", ","))
    assert check(page, "1") == "Nearly"
    assert exercise.question("1").slips[0].message in card(page, "1").inner_text()
    card(page, "2").locator("input").fill("12 bananas")
    assert check(page, "2") == "This cannot be read"
    card(page, "3").locator(".opts").first.locator("[data-letter=A]").click()
    check(page, "3")
    answers = {
        "1": f"answer_1 = {slip:.4f}",
        "2": 'import math\n\nanswer_2 = "12 bananas"',
        "3": 'answer_3 = "A"\nreason_3 = ""',
    }
    expected = json.dumps(fill(exercise, released(name), LEARNER, answers)).encode()
    content = hand_in(page, tmp_path / "half.ipynb")
    assert verdicts(name, content) == verdicts(name, expected)
    page.reload()
    assert card(page, "2").locator("input").input_value() == "12 bananas"
    assert card(page, "1").locator(".state .h").inner_text() == "Nearly"


def test_code_that_goes_wrong_is_told_in_words_and_an_endless_loop_is_ended(site, tab):
    page = tab
    page.add_init_script(LESS_PATIENCE)
    walking.begin(page, f"{site}exercise-{NAME}.html")
    here = card(page, "6")
    code = here.locator("textarea")
    stub = code.input_value()
    for text, says in (
        ('answer = "no end\n', "Line 1: a quotation mark is missing"),
        ("import math\nx = math.pi *\n", "Line 2: "),
        ("x = 1\ny = tub + 1\n", "Line 2: the name tub is not known"),
        ("def base_moment(a):\n    return a / 0\n", "base_moment"),
        ("print('hello')\nraise SystemExit", "ended Python"),
        ("import os\nos._exit(0)", "ended Python"),
    ):
        code.fill(text)
        check(page, "6")
        assert says in here.inner_text(), text
        assert "Traceback" not in here.inner_text()
        assert code.input_value() == text
    code.fill("while True:\n    pass\n")
    assert check(page, "6") == "Stopped"
    assert "ran for 10 seconds" in here.inner_text()
    code.fill("while 1:\n    pass\n")
    here.locator(".check").click()
    here.get_by_role("button", name="Stop").click()
    here.get_by_text("You stopped it").wait_for()

    # and everything goes on
    code.fill(stub)
    card(page, "1").locator("input").fill("1,5")
    assert check(page, "1") in ("Keep going", "Nearly")


def test_where_nothing_may_be_kept_the_page_says_so_and_still_works(site, still_tab, tmp_path):
    page = still_tab
    page.add_init_script(
        "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }"
    )
    page.goto(f"{site}exercise-00-orientation.html")
    page.get_by_text("nothing is kept").wait_for()
    page.locator("#my-id").fill(LEARNER)
    card(page, "1").locator("input").fill("7,5")
    content = hand_in(page, tmp_path / "kept.ipynb")
    assert "answer_1 = 7.5" in content.decode()


def test_two_tabs_do_not_write_over_each_other(site, still_tab, visitor):
    first, second = still_tab, visitor.new_page()
    for page in (first, second):
        page.goto(f"{site}exercise-00-orientation.html")
    first.locator("#my-id").fill(LEARNER)
    card(first, "1").locator("input").fill("7,5")
    card(second, "3").locator("input").fill("51")
    card(first, "3").locator("input").wait_for()
    first.reload()
    assert card(first, "1").locator("input").input_value() == "7,5"
    assert card(first, "3").locator("input").input_value() == "51"
    assert card(second, "1").locator("input").input_value() == "7,5", "shown without a reload"


def test_without_python_answers_are_kept_and_handed_in(site, tab, tmp_path):
    page = tab
    page.add_init_script("delete globalThis.WebAssembly")
    page.goto(f"{site}exercise-00-orientation.html")
    page.get_by_text("Python does not wake here").wait_for()
    page.locator("#my-id").fill(LEARNER)
    card(page, "1").locator("input").fill("7,5")
    card(page, "1").locator(".check").click()
    card(page, "1").get_by_text("you can hand it in as it is").wait_for()
    assert "answer_1 = 7.5" in hand_in(page, tmp_path / "kept.ipynb").decode()
    page.goto(f"{site}04-columns.html")
    page.get_by_text("The main slider moves. Python, which moves the rest").wait_for()
    said = page.locator(".hoofcalc-figure .sentence").first
    before = said.inner_text()
    page.locator(".hoofcalc-figure input[type=range]").first.press("End")
    assert said.inner_text() != before

"""A mixed row of feet in the browser: drawn, chosen by keys, and answered foot by foot."""

from __future__ import annotations

from typing import Any

import pytest

from hoofcalc.figures import questions
from hoofcalc.figures.web import asset

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(120)]

ROWS = [
    (lesson, name)
    for lesson in questions.lessons()
    for name, question in questions.load(lesson).items()
    if question["kind"] == "row"
]
SHOW = """async ([script, spec]) => {
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const { default: card } = await import(url);
  const model = { get: () => spec, set() {}, save_changes() {}, on() {}, off() {} };
  card.render({ model, el: document.getElementById("card") });
}"""


@pytest.mark.parametrize(("lesson", "name"), ROWS)
@pytest.mark.parametrize("wide", [778, 358])
def test_every_foot_is_drawn_and_answers_for_itself(
    browser: Any, lesson: str, name: str, wide: int
) -> None:
    spec = questions.ask(lesson, name).spec
    page = browser.new_page()
    page.set_viewport_size({"width": wide + 32, "height": 844})
    page.set_content(
        f"<meta name=viewport content='width=device-width'><style>{asset('question.css')}</style>"
        "<div id=card></div>"
    )
    page.evaluate(SHOW, [asset("question.js"), spec])
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    feet = page.locator(".feet li").all()
    assert len(feet) == len(spec["feet"])
    for foot, asked in zip(feet, spec["feet"], strict=True):
        assert foot.locator("svg polygon").bounding_box()["width"] > 20
        choose = foot.get_by_label(asked["says"])
        assert choose.bounding_box()["height"] >= 44
        wrong = next(sort for sort in spec["options"] if sort != asked["right"])
        choose.select_option(wrong)
        assert asked["look"] in foot.locator(".reply").text_content()
        assert asked["reply"] not in foot.locator(".reply").text_content()
        choose.select_option(asked["right"])
        assert asked["reply"] in foot.locator(".reply").text_content()

"""Every figure of today's form stands on one screen and obeys hand, tap and keys."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from living import NOTEBOOK, TELEPHONE, show_figure, show_prediction

from hoofcalc.figures import EVERY_FIGURE, EVERY_PREDICTION, Figure, Prediction

pytestmark = [
    pytest.mark.unsettled,
    pytest.mark.browser,
    pytest.mark.slow,
    pytest.mark.timeout(240),
]

FIGURES = [figure for figure in EVERY_FIGURE.values() if figure.keeps_to_one_screen]
every_figure = pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure.name)
both_sizes = pytest.mark.parametrize("size", [NOTEBOOK, TELEPHONE], ids=["notebook", "telephone"])

PIXELS = """
() => [...document.querySelectorAll('.hoofcalc-figure canvas')].map((canvas) => {
  if (!canvas.width || !canvas.height) return 0;
  const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
  let sum = 0;
  for (let at = 0; at < data.length; at += 1) sum = (sum * 31 + data[at]) % 1000000007;
  return sum;
}).join(' ')
"""


def changes(page: Any, does: Any) -> None:
    """The picture and the sentence change."""
    pixels, words = page.evaluate(PIXELS), page.locator(".sentence").text_content()
    does()
    page.wait_for_function(
        "old => document.querySelector('.sentence').textContent !== old", arg=words
    )
    assert page.evaluate(PIXELS) != pixels, "the picture stands still"


@every_figure
def test_the_figure_keeps_to_600_pixels_in_the_notebook(browser: Any, figure: Figure) -> None:
    page = browser.new_page()
    root = show_figure(page, figure)
    box = root.bounding_box()
    assert box["height"] <= 600
    assert page.locator(".sentence").bounding_box()["height"] <= 56, "two lines"
    for slider in figure.sliders:
        if slider.name not in figure.more:
            knob = page.locator(f"input[type=range][data-name={slider.name}]").bounding_box()
            assert knob["y"] + knob["height"] <= box["y"] + 600


@every_figure
def test_picture_and_sentence_stay_while_the_telephones_controls_scroll(
    browser: Any, figure: Figure
) -> None:
    page = browser.new_page()
    show_figure(page, figure, TELEPHONE)
    for more in page.locator("details").all():
        more.evaluate("one => (one.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    for slider in figure.sliders:
        knob = page.locator(f"input[type=range][data-name={slider.name}]")
        knob.evaluate("one => one.scrollIntoView({ block: 'end' })")
        picture, control = page.locator(".picture").bounding_box(), knob.bounding_box()
        assert picture["height"] <= 0.45 * TELEPHONE[1]
        assert picture["y"] >= -0.5
        assert control["y"] >= picture["y"] + picture["height"] - 0.5
        assert control["y"] + control["height"] <= TELEPHONE[1] + 0.5


@every_figure
@both_sizes
def test_what_is_pressed_is_large_enough_for_a_finger(
    browser: Any, figure: Figure, size: tuple[int, int]
) -> None:
    page = browser.new_page()
    show_figure(page, figure, size)
    for control in page.locator("button:visible, summary:visible, .grip:visible").all():
        box = control.bounding_box()
        assert min(box["width"], box["height"]) >= 44
    small = page.evaluate(
        "[...document.querySelectorAll('.hoofcalc *')].filter((one) => one.textContent.trim() && "
        "!one.children.length && parseFloat(getComputedStyle(one).fontSize) < 14)"
        ".map((one) => `${one.className} ${one.textContent}`)"
    )
    assert all(words.startswith("was ") for words in small), small


@every_figure
@both_sizes
def test_every_slider_moves_by_key_tap_and_drag_and_comes_back(
    browser: Any, figure: Figure, size: tuple[int, int]
) -> None:
    page = browser.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    show_figure(page, figure, size)
    for more in page.locator("details.more").all():
        more.evaluate("one => (one.open = true)")
    start = figure.frame({}).sentence
    for slider in figure.sliders:
        row = page.locator(f"[data-row={slider.name}]")
        knob = row.locator("input[type=range]")
        knob.focus()
        changes(page, lambda: page.keyboard.press("End"))
        changes(page, lambda knob=knob: knob.press("Home"))
        changes(page, lambda row=row: row.locator("[data-step='1']").click())
        knob.evaluate("one => one.scrollIntoView({ block: 'end' })")
        box = knob.bounding_box()
        middle = box["y"] + box["height"] / 2
        if len(slider.positions()) > 2:  # of two, the step has already brought it there
            changes(page, lambda box=box, middle=middle: page.mouse.click(
                box["x"] + 0.8 * box["width"], middle
            ))  # fmt: skip

        def drag(box: Any = box, middle: float = middle) -> None:
            page.mouse.move(box["x"] + 0.8 * box["width"], middle)
            page.mouse.down()
            page.mouse.move(box["x"] + 0.4 * box["width"], middle, steps=5)
            page.mouse.up()

        changes(page, drag)
        page.wait_for_timeout(1300)  # what follows is a move of its own
        changes(page, lambda row=row: row.locator("[data-step='1']").click())
        changes(page, lambda: page.get_by_role("button", name="Undo").click())
        page.get_by_role("button", name="Start again").click()
        page.wait_for_function(
            "old => document.querySelector('.sentence').textContent === old", arg=start
        )
    assert not troubles


@every_figure
@both_sizes
def test_what_is_taken_hold_of_moves_by_drag_tap_and_key(
    browser: Any, figure: Figure, size: tuple[int, int]
) -> None:
    page = browser.new_page()
    show_figure(page, figure, size)
    for handle in figure.handles:
        panel = figure.panels[handle.panel]
        if size == TELEPHONE and panel.narrow and panel.narrow.hide:
            others = [one for one in figure.handles if one is not handle]
            assert any(one.x == handle.x for one in others), "nothing moves it on a telephone"
            continue
        if panel.belongs_to:
            name, value = panel.belongs_to
            preset = next(p for p in figure.presets if p.values.get(name) == value)
            page.get_by_role("button", name=preset.label).click()
            page.wait_for_timeout(150)
        grip = page.locator(f"[data-handle={handle.name}]")

        def middle(grip: Any = grip) -> tuple[float, float]:
            box = grip.bounding_box()
            return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

        x, y = middle()

        def drag(x: float = x, y: float = y) -> None:
            page.mouse.move(x, y)
            page.mouse.down()
            page.mouse.move(x - 14, y - 8, steps=4)
            page.mouse.up()

        changes(page, drag)
        page.wait_for_timeout(1300)
        changes(page, lambda x=x, y=y: page.mouse.click(x + 30, y - 10))  # a tap on the place
        before = middle()
        changes(page, lambda grip=grip: grip.press("ArrowLeft"))
        page.wait_for_timeout(100)
        assert middle() != before
    assert page.locator(".pull:visible").count() == 0, "once touched, it is known"


@every_figure
def test_what_is_played_stops_by_itself_and_by_hand(browser: Any, figure: Figure) -> None:
    if not figure.play:
        pytest.skip("nothing to play")
    page = browser.new_page()
    show_figure(page, figure)
    row = page.locator(f"[data-row={figure.play}]")
    knob = row.locator("input[type=range]")
    row.get_by_role("button", name="Play").click()
    page.wait_for_function("name => +document.querySelector(`[data-name=${name}]`).value >= 2",
                           arg=figure.play)  # fmt: skip
    row.get_by_role("button", name="Stop").click()
    at = knob.input_value()
    page.wait_for_timeout(900)
    assert knob.input_value() == at


@every_figure
def test_where_motion_is_unwanted_play_takes_one_step(browser: Any, figure: Figure) -> None:
    if not figure.play:
        pytest.skip("nothing to play")
    page = browser.new_page()
    show_figure(page, figure, still=True)
    row = page.locator(f"[data-row={figure.play}]")
    knob = row.locator("input[type=range]")
    before, last = int(knob.input_value()), int(knob.get_attribute("max"))
    row.get_by_role("button", name="Play").click()
    page.wait_for_timeout(1600)
    assert int(knob.input_value()) == (1 if before == last else before + 1)


@every_figure
def test_all_numbers_are_in_the_table(browser: Any, figure: Figure) -> None:
    page = browser.new_page()
    show_figure(page, figure)
    page.get_by_text("All numbers").click()
    rows = page.locator("tbody tr")
    wanted = figure.frame({}).table
    assert rows.count() == len(wanted)
    for row, one in zip(rows.all(), wanted, strict=True):
        cells = [cell.text_content() for cell in row.locator("th, td").all()]
        assert cells == [one.quantity, one.value, one.interval, one.unit]


@pytest.mark.parametrize("prediction", EVERY_PREDICTION.values(), ids=lambda one: one.name)
def test_a_curve_is_drawn_by_hand_or_keys_and_answered(
    browser: Any, prediction: Prediction
) -> None:
    page = browser.new_page()
    root = show_prediction(page, prediction)
    show = root.get_by_role("button", name="Show what is true")
    assert show.is_disabled()
    box = root.locator("canvas").bounding_box()
    left, right, middle = box["x"] + 40, box["x"] + box["width"] - 15, box["y"] + 200
    page.mouse.move(left, middle)
    page.mouse.down()
    page.mouse.move(left + 0.5 * (right - left), middle, steps=8)
    page.mouse.up()
    assert show.is_disabled(), "half a curve"
    page.mouse.click(right, middle)  # a tap joins the last point
    assert show.is_enabled()
    kept = page.evaluate("Object.values(window.kept)[0].drawn")
    assert sum(one is not None for one in kept) >= 0.8 * len(prediction.columns)
    show.click()
    page.wait_for_function("document.querySelector('.reply').textContent.length > 60")
    root.get_by_role("button", name="Rub out").click()
    assert show.is_disabled()
    plane = root.locator(".plane")
    plane.focus()
    for _ in range(len(prediction.columns)):
        page.keyboard.press("ArrowRight")
    assert show.is_enabled(), "keys draw as well"

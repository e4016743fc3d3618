"""Every figure obeys hand, tap and keys, at a notebook's and a telephone's size.

One browser, and one page for each figure and size, on which every check does its part.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from living import Shown, show_figure, show_prediction

from hoofcalc.figures import EVERY_FIGURE, EVERY_PREDICTION, Prediction
from hoofcalc.figures.spec import Row

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(240)]

#: The moves of a hand that follow each other sooner are one for Undo [ms].
QUICK_MS = 1200

# a place near by with nothing on it to take hold of; level with the thing first: the hand has been
# up and left before, and what moves little may have come to an end there
FREE = """
([x, y]) => [[36, 0], [-36, 0], [30, -10], [-30, -10], [10, -36], [-10, -36], [36, 10], [-36, 10]]
  .map(([right, down]) => [x + right, y + down])
  .find((at) => document.elementFromPoint(...at)?.matches('.panel canvas, .panel'))
"""


def test_every_slider_moves_by_key_tap_and_drag(shown: Shown) -> None:
    page = shown.page
    for slider in shown.figure.sliders:
        shown.afresh()
        row, knob = page.locator(f"[data-row={slider.name}]"), shown.knob(slider.name)
        knob.evaluate("one => one.scrollIntoView({ block: 'center' })")
        knob.focus()
        shown.changes(lambda: page.keyboard.press("End"), says=True)
        shown.changes(lambda: page.keyboard.press("Home"), says=True)
        # one step may be less than a dot in the picture, and then only be said
        shown.changes(lambda row=row: row.locator("[data-step='1']").click(), says=None)
        knob.evaluate("one => one.scrollIntoView({ block: 'end' })")
        box = knob.bounding_box()
        middle = box["y"] + box["height"] / 2
        right, left = (box["x"] + part * box["width"] for part in (0.8, 0.2))
        if len(slider.positions()) > 2:  # of two, the step has already brought it there
            shown.changes(lambda at=(right, middle): page.mouse.click(*at))
        shown.changes(lambda a=(right, middle), b=(left, middle): shown.drag(a, b))


MARKED = """
async (button) => {
  button.click();
  await window.settled();
  const marked = (where) => [...document.querySelectorAll(`${where} .changed`)];
  return ['.sentence', '.all-numbers td'].map((where) =>
    marked(where).map((one) => one.textContent));
}
"""


def _values(table: Sequence[Row]) -> dict[tuple[str, int, str], str]:
    """Value and interval of each row by its name, and the how-manieth of that name it is."""
    names = [row.quantity for row in table]
    return {
        (row.quantity, names[:at].count(row.quantity), part): getattr(row, part)
        for at, row in enumerate(table)
        for part in ("value", "interval")
    }


def test_what_a_move_changed_is_marked_in_sentence_and_open_table(shown: Shown) -> None:
    if shown.on_telephone:
        pytest.skip("the same marks as in the notebook")
    page, before = shown.page, shown.figure.frame({})
    steps = [
        (slider.name, next(one for one in slider.positions() if one > before.values[slider.name]))
        for slider in shown.figure.sliders
    ]
    frames = ((name, shown.figure.frame({name: place})) for name, place in steps)
    name, after = next((name, frame) for name, frame in frames if frame.table != before.table)
    page.wait_for_function("!document.querySelector('.changed')")  # of the way back to the start
    page.locator(".all-numbers summary").click()
    page.locator(".all-numbers td").first.wait_for()
    assert page.locator(".changed").count() == 0, "what is only opened has not changed"
    said, told = page.locator(f"[data-row={name}] [data-step='1']").evaluate(MARKED)
    numbers = [re.findall(r"\d+(?:[.,]\d+)*", frame.sentence) for frame in (after, before)]
    assert set(numbers[0]) - set(numbers[1]) <= {one.lstrip("-") for one in said}
    was, now = _values(before.table), _values(after.table)
    new = [words for place, words in now.items() if words and words != was.get(place)]
    assert told == new
    page.wait_for_function("!document.querySelector('.changed')")


def test_undo_goes_back_one_move(shown: Shown) -> None:
    if shown.on_telephone:
        pytest.skip("the same buttons as in the notebook")
    name, page = shown.figure.sliders[0].name, shown.page
    step = page.locator(f"[data-row={name}] [data-step='1']")
    value = shown.knob(name).input_value()
    page.evaluate(f"window.later({QUICK_MS + 100})")
    shown.changes(lambda: step.click())
    page.evaluate(f"window.later({QUICK_MS + 100})")
    once = shown.knob(name).input_value()
    shown.changes(lambda: step.click())
    shown.changes(lambda: page.get_by_role("button", name="Undo").click())
    assert shown.knob(name).input_value() == once
    shown.changes(lambda: page.get_by_role("button", name="Undo").click())
    assert shown.knob(name).input_value() == value


def test_what_is_taken_hold_of_moves_by_drag_tap_and_key(shown: Shown) -> None:
    page, figure = shown.page, shown.figure
    for handle in figure.handles:
        panel = figure.panels[handle.panel]
        if shown.on_telephone and panel.narrow and panel.narrow.hide:
            assert not handle.numbers(), "nothing moves it on a telephone"
            continue
        shown.afresh()
        if panel.belongs_to:
            name, value = panel.belongs_to
            preset = next(p for p in figure.presets if p.values.get(name) == value)
            page.get_by_role("button", name=preset.label).click()
            shown.settled()
        grip = page.locator(f"[data-handle={handle.name}]")

        def middle(grip: Any = grip) -> tuple[float, float]:
            box = grip.bounding_box()
            return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

        x, y = middle()
        shown.changes(lambda x=x, y=y: shown.drag((x, y), (x - 14, y - 8)))
        place = page.evaluate(FREE, [x, y])
        shown.changes(lambda place=place: page.mouse.click(*place))  # a tap on the place
        before = middle()
        shown.changes(lambda grip=grip: grip.press("ArrowLeft"))
        assert middle() != before
    assert page.locator(".pull:visible").count() == 0, "once touched, it is known"


def test_a_foot_in_space_is_turned_by_dragging_it(shown: Shown) -> None:
    turned = [at for at, panel in enumerate(shown.figure.panels) if panel.turned_by]
    if not turned:
        pytest.skip("nothing is turned")
    box = shown.page.locator(f".panel[data-panel='{turned[0]}']").bounding_box()
    middle = (box["x"] + box["width"] / 2, box["y"] + 0.4 * box["height"])
    across, up = shown.figure.panels[turned[0]].turned_by
    for name, to in ((across, (-60, 0)), (up, (0, 40))):
        before = shown.knob(name).input_value()
        end = (middle[0] + to[0], middle[1] + to[1])
        shown.changes(lambda end=end: shown.drag(middle, end))
        assert shown.knob(name).input_value() != before
    assert shown.page.evaluate("window.scrollY") == 0


def test_what_is_played_stops_by_hand_and_goes_by_steps_where_motion_is_unwanted(
    shown: Shown,
) -> None:
    if not shown.figure.play or shown.on_telephone:
        pytest.skip("nothing to play, or the same buttons as in the notebook")
    page, name = shown.page, shown.figure.play
    row, knob = page.locator(f"[data-row={name}]"), shown.knob(name)
    row.get_by_role("button", name="Play").click()
    page.wait_for_function(
        "name => +document.querySelector(`input[data-name=${name}]`).value >= 2", arg=name
    )
    row.get_by_role("button", name="Stop").click()
    at = knob.input_value()
    page.wait_for_timeout(900)
    assert knob.input_value() == at
    page.emulate_media(reduced_motion="reduce")
    row.get_by_role("button", name="Play").click()
    page.wait_for_timeout(900)
    last = knob.get_attribute("max")
    assert int(knob.input_value()) == (1 if at == last else int(at) + 1)
    page.emulate_media(reduced_motion="no-preference")


def test_a_late_answer_is_shown_and_the_hand_is_not_set_back(window: Any) -> None:
    page, figure = window.new_page(), EVERY_FIGURE["orientation"]
    show_figure(page, figure, slow=True)
    slider = figure.sliders[0]
    knob, notice = page.locator(f"[data-name={slider.name}]"), page.locator(".notice")
    knob.press("End")
    knob.press("Home")
    notice.filter(has_text="does not answer").wait_for()
    page.wait_for_function("window.asked.length === 2")  # the move after it is asked for as well
    page.evaluate("window.answer(0)")
    assert knob.input_value() == "0"
    page.evaluate("window.answer(1)")
    assert knob.input_value() == "0"
    there = figure.frame({slider.name: slider.minimum})
    assert there.alt == page.locator(".panels").get_attribute("aria-label")
    assert notice.text_content() == ""
    page.close()


# every answer that is asked for ahead of time, until no more is
ALL_AHEAD = """async () => {
  const turn = () => new Promise((resolve) => setTimeout(resolve, 50));
  for (await turn(); window.ahead.length; await turn()) await window.answerAhead(0);
}"""
PICTURE = "() => [...document.querySelectorAll('.panel canvas')].map((one) => one.toDataURL())"


@pytest.mark.parametrize("name", ["columns", "measuring"])
def test_a_move_that_was_foreseen_is_drawn_at_once_and_as_ever(window: Any, name: str) -> None:
    figure, pictures = EVERY_FIGURE[name], []
    steps = [f"[data-name={figure.sliders[0].name}]", f"[data-handle={figure.handles[0].name}]"]
    for foreseen in (True, False):
        page = window.new_page()
        show_figure(page, figure, slow=foreseen)
        for number, step in enumerate(steps):
            page.locator(step).focus()
            if foreseen:
                page.evaluate(ALL_AHEAD)
            page.keyboard.press("ArrowRight")
            if foreseen:
                page.wait_for_function("at => window.asked.length > at", arg=number)
                pictures.append(page.evaluate(PICTURE))  # nothing has been answered
                page.evaluate("at => window.answer(at)", number)
            else:
                page.evaluate("window.settled()")
            pictures.append(page.evaluate(PICTURE))
        page.close()
    first, told, second, told_again, one, other = pictures
    assert first == told == one
    assert second == told_again == other
    assert one != other


def test_a_hand_that_goes_on_and_a_finger_that_comes_down_are_foreseen(window: Any) -> None:
    page = window.new_page()
    mouse = page.mouse
    show_figure(page, EVERY_FIGURE["measuring"], slow=True)
    box = page.locator("[data-handle=toe_coronet]").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    mouse.move(x, y)
    mouse.down()
    mouse.move(x - 4, y - 3)
    page.evaluate("window.answer(0)")
    page.evaluate(ALL_AHEAD)
    before = page.evaluate(PICTURE)
    mouse.move(x - 8, y - 6)
    page.wait_for_function("window.asked.length === 2")
    drawn = page.evaluate(PICTURE)
    assert drawn != before
    page.evaluate("window.answer(1)")
    assert page.evaluate(PICTURE) == drawn
    mouse.up()
    page.evaluate(ALL_AHEAD)
    mouse.move(*page.evaluate(FREE, [x - 8, y - 6]))
    mouse.down()
    page.evaluate(ALL_AHEAD)
    assert page.evaluate(PICTURE) == drawn, "nothing moves before the finger is lifted"
    mouse.up()
    page.wait_for_function("window.asked.length === 3")
    assert page.evaluate(PICTURE) != drawn
    page.close()


@pytest.mark.parametrize("prediction", EVERY_PREDICTION.values(), ids=lambda one: one.name)
def test_a_curve_is_drawn_by_hand_or_keys_and_answered(window: Any, prediction: Prediction) -> None:
    page = window.new_page()
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
    page.close()

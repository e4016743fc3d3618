"""Every figure stands on one screen, at both sizes, and obeys hand, tap and keys.

One browser, and one page for each figure and size, on which every check does its part.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from living import NOTEBOOK, TELEPHONE, WORDS, WORDS_IN_TROUBLE, show_figure, show_prediction

from hoofcalc.figures import EVERY_FIGURE, EVERY_PREDICTION, Figure, Prediction

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(240)]

SIZES = {"notebook": NOTEBOOK, "telephone": TELEPHONE}
SHOWN = [(name, size) for name in EVERY_FIGURE for size in SIZES]
#: The moves of a hand that follow each other sooner are one for Undo [ms].
QUICK_MS = 1200

# keep what is seen and said now, and ask whether it has become something else
KEEP = """
() => {
  window.look ||= () => [document.querySelector('.sentence').textContent,
    ...[...document.querySelectorAll('.panel:not([hidden]) canvas + canvas')]
      .map((canvas) => canvas.width && canvas.toDataURL())];
  window.before = window.look();
}
"""
IS_OTHER = """
(says) => {
  const now = window.look();
  if (says === null) return now.some((one, at) => one !== window.before[at]);
  return now.slice(1).some((picture, at) => picture !== window.before[at + 1])
    && (!says || now[0] !== window.before[0]);
}
"""
# a place near by with nothing on it to take hold of
FREE = """
([x, y]) => [[30, -10], [-30, -10], [10, -36], [-10, -36], [36, 10], [-36, 10]]
  .map(([right, down]) => [x + right, y + down])
  .find((at) => document.elementFromPoint(...at)?.matches('.panel canvas, .panel'))
"""
# open all that is folded, and bring everything back to its start, as if nothing had been moved
AFRESH = """
() => {
  for (const one of document.querySelectorAll('details.more')) one.open = true;
  const numbers = document.querySelector('.all-numbers');
  if (numbers) numbers.open = false;
  document.querySelector('.again').click();
  window.scrollTo(0, 0);
}
"""


@dataclass
class Shown:
    """A figure alive in a page."""

    page: Any
    figure: Figure
    size: tuple[int, int]
    troubles: list[str]

    @property
    def on_telephone(self) -> bool:
        return self.size == TELEPHONE

    def afresh(self) -> None:
        """As it stands at first."""
        self.page.evaluate(AFRESH)
        start = self.figure.frame({}).sentence
        self.page.wait_for_function(
            "old => document.querySelector('.sentence').textContent === old", arg=start
        )

    def changes(self, does: Callable[[], Any], *, says: bool | None = False) -> None:
        """The picture changes; with True the sentence too, with None one of them is enough."""
        self.page.evaluate(KEEP)
        does()
        self.page.wait_for_function(IS_OTHER, arg=says)

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """The hand takes hold, moves and lets go."""
        mouse = self.page.mouse
        mouse.move(*start)
        mouse.down()
        mouse.move(*end, steps=4)
        mouse.up()

    def knob(self, name: str) -> Any:
        """The slider of that name."""
        return self.page.locator(f"input[type=range][data-name={name}]")


@pytest.fixture(scope="module")
def window(chromium: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """One browser for all figures."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            tmp_path_factory.mktemp("window"),
            executable_path=chromium,
            args=["--headless", "--no-sandbox", "--disable-gpu"],
            headless=True,
            timeout=60_000,
        )
        context.set_default_timeout(20_000)
        yield context
        context.close()


@pytest.fixture(scope="module", params=SHOWN, ids="-".join)
def page_of_a_figure(request: pytest.FixtureRequest, window: Any) -> Iterator[Shown]:
    """A page for one figure at one size."""
    name, size = request.param
    page = window.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.evaluate(WORDS)
    show_figure(page, EVERY_FIGURE[name], SIZES[size])
    yield Shown(page, EVERY_FIGURE[name], SIZES[size], troubles)
    page.close()


@pytest.fixture
def shown(page_of_a_figure: Shown) -> Iterator[Shown]:
    """That figure as it stands at first; no error of the page goes unnoticed."""
    page_of_a_figure.afresh()
    yield page_of_a_figure
    assert not page_of_a_figure.troubles


def test_picture_sentence_and_controls_are_in_view_together(shown: Shown) -> None:
    page, (_, high) = shown.page, shown.size
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    if not shown.on_telephone:
        page.evaluate("document.querySelector('details.more').open = false")
        box = page.locator(".hoofcalc-figure").bounding_box()
        assert box["height"] <= 600
        assert page.locator(".sentence").bounding_box()["height"] <= 56, "two lines"
        for slider in shown.figure.sliders:
            if slider.name not in shown.figure.more:
                knob = shown.knob(slider.name).bounding_box()
                assert knob["y"] + knob["height"] <= box["y"] + 600
        return
    for slider in shown.figure.sliders:
        knob = shown.knob(slider.name)
        knob.evaluate("one => one.scrollIntoView({ block: 'end' })")
        picture, control = page.locator(".picture").bounding_box(), knob.bounding_box()
        assert picture["height"] <= 0.45 * high
        assert picture["y"] >= -0.5
        assert control["y"] >= picture["y"] + picture["height"] - 0.5
        assert control["y"] + control["height"] <= high + 0.5


def test_what_is_pressed_is_large_enough_and_what_is_read_too(shown: Shown) -> None:
    small = shown.page.evaluate(
        """() => [...document.querySelectorAll('.hoofcalc button, .hoofcalc summary, .grip')]
          .filter((one) => one.checkVisibility())
          .map((one) => [one.getBoundingClientRect(), one.textContent])
          .filter(([box]) => Math.min(box.width, box.height) < 44).map(([, words]) => words)"""
    )
    assert not small
    fine = shown.page.evaluate(
        """() => [...document.querySelectorAll('.hoofcalc *')].filter((one) =>
          one.textContent.trim() && !one.children.length &&
          parseFloat(getComputedStyle(one).fontSize) < 14)
          .map((one) => `${one.className} ${one.textContent}`)"""
    )
    assert all(words.startswith("was ") for words in fine), fine


def test_no_panel_is_stretched(shown: Shown) -> None:
    # an angle on the screen is the angle of the thing: each dot is as wide as it is high
    boxes = shown.page.evaluate(
        """() => [...document.querySelectorAll('.panel:not([hidden])')].flatMap((panel) =>
          [...panel.querySelectorAll('canvas')].map((canvas) => {
            const [box, own] = [canvas, panel].map((one) => one.getBoundingClientRect());
            return [canvas.width / box.width, canvas.height / box.height,
              box.width - own.width, box.height - own.height];
          }))"""
    )
    for across, up, wider, higher in boxes:
        assert across == pytest.approx(up, rel=0.01)
        assert max(abs(wider), abs(higher)) <= 1


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


def test_no_control_moves_away_under_the_finger(shown: Shown) -> None:
    for slider in shown.figure.sliders:
        shown.afresh()
        knob = shown.knob(slider.name)
        places = set()
        for at in range(5):
            knob.evaluate(
                """(one, part) => {
                  one.value = Math.round(part * one.max);
                  one.dispatchEvent(new Event('input'));
                }""",
                at / 4,
            )
            shown.page.wait_for_timeout(60)
            places.add(round(knob.bounding_box()["y"]))
        assert max(places) - min(places) <= 1, slider.name


def test_undo_goes_back_one_move(shown: Shown) -> None:
    if shown.on_telephone:
        pytest.skip("the same buttons as in the notebook")
    name, page = shown.figure.sliders[0].name, shown.page
    step = page.locator(f"[data-row={name}] [data-step='1']")
    value = shown.knob(name).input_value()
    page.wait_for_timeout(QUICK_MS + 100)
    shown.changes(lambda: step.click())
    page.wait_for_timeout(QUICK_MS + 100)
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
            page.wait_for_timeout(100)
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
        page.wait_for_timeout(60)
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


def test_all_numbers_are_in_the_table(shown: Shown) -> None:
    shown.page.get_by_text("All numbers").click()
    shown.page.locator("tbody tr").first.wait_for()
    cells = shown.page.evaluate(
        "[...document.querySelectorAll('tbody tr')].map((row) => [...row.cells]"
        ".map((cell) => cell.textContent))"
    )
    wanted = shown.figure.frame({}).table
    assert cells == [[row.quantity, row.value, row.interval, row.unit] for row in wanted]


def test_words_keep_clear_of_each_other_and_of_the_edges(shown: Shown) -> None:
    figure, page = shown.figure, shown.page
    settings = [figure.start, *({**figure.start, **preset.values} for preset in figure.presets)]
    for slider in figure.sliders:
        ends = (slider.minimum, slider.positions()[-1])
        settings += [{**figure.start, slider.name: end} for end in ends]
    for values in settings:
        page.evaluate(
            """async (values) => {
              const state = await window.kernel(values);
              state.floats = Float32Array.from(state.floats, (x) => x ?? NaN);
              window.figure.settle(values);
              window.figure.draw(state);
            }""",
            values,
        )
        assert not page.evaluate(WORDS_IN_TROUBLE), values


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_figures_keep_axe_cores_rules(shown: Shown, problems: Any, scheme: Any) -> None:
    shown.page.emulate_media(color_scheme=scheme)
    shown.page.evaluate("document.documentElement.lang = 'en'; document.title = 'A figure'")
    shown.page.get_by_text("All numbers").click()
    assert not problems(shown.page)
    shown.page.emulate_media(color_scheme="light")


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

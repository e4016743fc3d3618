"""Every figure stands on one screen, at a notebook's and a telephone's size.

One browser, and one page for each figure and size, on which every check does its part.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from living import WORDS_IN_TROUBLE, Shown

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(240)]


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


def test_no_control_moves_away_under_the_finger(shown: Shown) -> None:
    for slider in shown.figure.sliders:
        shown.afresh()
        places = shown.page.evaluate(
            """async (name) => {
              const knob = document.querySelector(`input[type=range][data-name=${name}]`);
              const places = [];
              for (const part of [0, 0.25, 0.5, 0.75, 1]) {
                knob.value = Math.round(part * knob.max);
                knob.dispatchEvent(new Event('input'));
                await window.settled();
                places.push(Math.round(knob.getBoundingClientRect().y));
              }
              return places;
            }""",
            slider.name,
        )
        assert max(places) - min(places) <= 1, slider.name


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
    axes = [number for number, panel in enumerate(figure.panels) if panel.axes]
    found = page.evaluate(
        f"""async ([settings, axes]) => {{
          const found = [];
          for (const values of settings) {{
            window.figure.settle(values);
            window.figure.draw(await window.ask(values));
            for (const words of ({WORDS_IN_TROUBLE})(axes)) found.push([words, values]);
          }}
          return found;
        }}""",
        [settings, axes],
    )
    assert not found


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_figures_keep_axe_cores_rules(shown: Shown, problems: Any, scheme: Any) -> None:
    shown.page.emulate_media(color_scheme=scheme)
    shown.page.evaluate("document.documentElement.lang = 'en'; document.title = 'A figure'")
    shown.page.get_by_text("All numbers").click()
    # the dark scheme changes colours and nothing else
    assert not problems(shown.page, only="color-contrast" if scheme == "dark" else "")
    shown.page.emulate_media(color_scheme="light")

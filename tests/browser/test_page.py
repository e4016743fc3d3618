"""The figure on a plain page, on a telephone, without Jupyter: it moves from frames."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.figures.column_figure import COLUMNS
from hoofcalc.site.page import write_page

pytestmark = [
    pytest.mark.unsettled,
    pytest.mark.browser,
    pytest.mark.slow,
    pytest.mark.timeout(180),
]

PIXELS = """
() => [...document.querySelectorAll('.hoofcalc-figure canvas')].map((canvas) => {
  const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
  let sum = 0;
  for (let at = 0; at < data.length; at += 1) sum = (sum * 31 + data[at]) % 1000000007;
  return sum;
}).join(' ')
"""


@pytest.fixture(scope="module")
def small_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("page")
    steps = {"lean_deg": 15, "load_n": 10}
    return write_page(folder / "page.html", COLUMNS, ["lean_deg", "load_n"], steps)


@pytest.mark.parametrize("width", [360, 390, 1280])
def test_the_page_moves_and_fits(browser: Any, small_page: Path, width: int) -> None:
    page = browser.new_page()
    page.set_viewport_size({"width": width, "height": 800})
    asked: list[str] = []
    troubles: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.goto(small_page.as_uri())
    sentence = page.locator(".sentence:not(:empty)")
    sentence.wait_for()
    assert sentence.text_content() == COLUMNS.frame({}).sentence
    wide = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert wide[0] <= wide[1], "the page is wider than the screen"
    for name in ("lean_deg", "load_n"):
        knob = page.locator(f"input[type=range][data-name={name}]")
        slider = next(s for s in COLUMNS.sliders if s.name == name)
        for key, end in (("Home", slider.minimum), ("End", slider.maximum)):
            pixels = page.evaluate(PIXELS)
            knob.press(key)
            assert sentence.text_content() == COLUMNS.frame({name: end}).sentence
            assert page.evaluate(PIXELS) != pixels
            assert knob.get_attribute("aria-valuetext") == f"{end:g} {slider.unit}"
            if folder := os.environ.get("HOOFCALC_SCREENSHOTS"):
                page.screenshot(path=Path(folder) / f"page-{width}-{name}-{key}.png")
        page.get_by_role("button", name="Start again").click()
    for preset in COLUMNS.presets:
        page.get_by_role("button", name=preset.label).click()
        assert sentence.text_content() == COLUMNS.frame(preset.values).sentence
        picture = page.get_by_role("img", name="Left:").first
        assert picture.get_attribute("aria-label") == COLUMNS.frame(preset.values).alt
    # a number between two settings is moved to the nearest one, and that is said
    box = page.locator("input[data-number=lean_deg]")
    box.fill("11")
    box.press("Enter")
    assert "nearest setting on this page is" in (page.get_by_role("alert").text_content() or "")
    assert all(url.startswith(("file:", "data:", "blob:")) for url in asked), asked
    assert not troubles


def test_a_touch_moves_the_slider(browser: Any, small_page: Path) -> None:
    page = browser.new_page()
    page.set_viewport_size({"width": 390, "height": 800})
    page.goto(small_page.as_uri())
    sentence = page.locator(".sentence:not(:empty)")
    sentence.wait_for()
    box = page.locator("input[type=range][data-name=lean_deg]").bounding_box()
    assert box
    assert box["height"] >= 32, "too small for a finger"
    touch = browser.new_cdp_session(page)
    touch.send("Emulation.setTouchEmulationEnabled", {"enabled": True})
    before = sentence.text_content()
    place = {"x": box["x"] + 0.9 * box["width"], "y": box["y"] + box["height"] / 2}
    touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [place]})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_function(
        "before => document.querySelector('.sentence').textContent !== before", arg=before
    )

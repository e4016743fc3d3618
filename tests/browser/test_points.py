"""Points in a picture follow keyboard, mouse and finger, stay in their panel, and come back.

Lesson 03's figure in a real browser; Python answers it as the notebook's kernel would.
"""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from hoofcalc.figures.measuring_figure import MEASURING
from hoofcalc.figures.web import asset
from hoofcalc.figures.wire import description, state

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(120)]

SCRIPT, STYLE = asset("figure.js"), asset("figure.css")


def plain(answer: dict[str, Any]) -> dict[str, Any]:
    """A state whose numbers can cross into the page."""
    if "floats" in answer:
        answer["floats"] = np.frombuffer(answer["floats"], "<f4").astype(object).tolist()
        answer["floats"] = [None if np.isnan(one) else one for one in answer["floats"]]
    return answer


@pytest.fixture
def page(browser: Any) -> Any:
    """A page with the figure in it."""
    page = browser.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.expose_function("kernel", lambda values: plain(state(MEASURING, MEASURING.frame(values))))
    page.set_content(f"<style>{STYLE}</style><div id=figure></div>")
    page.evaluate(
        """async ([script, spec]) => {
          const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
          const { mount } = await import(url);
          const ask = async (values) => {
            const state = await window.kernel(values);
            if (state.floats) state.floats = Float32Array.from(state.floats, (x) => x ?? NaN);
            return state;
          };
          mount(document.getElementById("figure"), spec, ask);
        }""",
        [SCRIPT, description(MEASURING)],
    )
    page.wait_for_function(
        "document.querySelector('.hoofcalc-figure .sentence').textContent.length > 20"
    )
    yield page
    assert not troubles


def says(page: Any) -> str:
    """The figure's sentence once Python has answered the last move."""
    page.wait_for_timeout(250)
    return re.sub(r" ?\(was [^)]*\)", "", str(page.locator(".sentence").text_content()))


def sentence(**values: float) -> str:
    frame = MEASURING.frame(values)
    return frame.refusal or frame.sentence


def test_arrow_keys_move_a_point_and_words_say_where_it_is(page: Any) -> None:
    assert says(page) == sentence()
    page.get_by_role("button", name="Standing up").focus()
    page.keyboard.press("Tab")
    point = page.locator("[data-handle=toe_ground]")
    assert point.evaluate("one => one === document.activeElement"), "Tab comes to the first point"
    x, y = MEASURING.start["toe_ground_x_mm"], MEASURING.start["toe_ground_y_mm"]
    for key, by in (
        ("ArrowLeft", (-0.25, 0)),
        ("ArrowUp", (0, 0.25)),
        ("Shift+ArrowLeft", (-2.5, 0)),
        ("Shift+ArrowDown", (0, -2.5)),
        ("ArrowRight", (0.25, 0)),
    ):
        page.keyboard.press(key)
        x, y = x + by[0], y + by[1]
        assert says(page) == sentence(toe_ground_x_mm=x, toe_ground_y_mm=y), key
    where = MEASURING.frame({"toe_ground_x_mm": x, "toe_ground_y_mm": y}).results["toe_ground_says"]
    assert point.get_attribute("aria-valuetext") == where
    page.keyboard.press("Tab")
    assert page.locator("[data-handle=toe_coronet]").evaluate(
        "one => one === document.activeElement"
    )


def middle(point: Any) -> tuple[float, float]:
    box = point.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_the_mouse_takes_a_point_along_but_not_past_its_limits(page: Any) -> None:
    point = page.locator("[data-handle=heel_coronet]")
    at = middle(point)
    page.mouse.move(*at)
    page.mouse.down()
    page.mouse.move(at[0] - 20, at[1] - 12, steps=6)
    assert middle(point) == pytest.approx((at[0] - 20, at[1] - 12), abs=0.6)
    words = says(page)
    assert words != sentence()
    assert middle(point) == pytest.approx((at[0] - 20, at[1] - 12), abs=0.6), "it stays put"
    for far in ((-4000, 0), (0, -4000), (4000, 4000)):
        page.mouse.move(at[0] + far[0], at[1] + far[1], steps=3)
        says(page)
        canvas = page.locator(".panel").first.bounding_box()
        x, y = middle(point)
        assert canvas["x"] <= x <= canvas["x"] + canvas["width"]
        assert canvas["y"] <= y <= canvas["y"] + canvas["height"]
    page.mouse.up()
    page.mouse.move(*at, steps=3)
    assert middle(point) == pytest.approx((x, y), abs=0.1), "let go, it no longer follows"


def test_a_finger_moves_a_point_and_does_not_scroll_the_page(page: Any) -> None:
    point = page.locator("[data-handle=stick_b]")
    x, y = middle(point)
    hand = page.context.new_cdp_session(page)
    hand.send("Emulation.setTouchEmulationEnabled", {"enabled": True})

    def touch(kind: str, *at: float) -> None:
        places = [{"x": at[0], "y": at[1]}] if at else []
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": places})

    before = page.evaluate("window.scrollY")
    touch("touchStart", x, y)
    for step in range(1, 6):
        touch("touchMove", x, y - 4 * step)
    touch("touchEnd")
    says(page)
    assert middle(point) == pytest.approx((x, y - 20), abs=0.6)
    assert page.evaluate("window.scrollY") == before


def test_where_the_points_are_no_foot_they_can_still_be_moved_back(page: Any) -> None:
    point = page.locator("[data-handle=heel_coronet]")
    point.focus()
    other = page.locator("[data-handle=heel_ground]")
    other.focus()
    for _ in range(8):
        page.keyboard.press("Shift+ArrowUp")
    point.focus()
    for _ in range(10):
        page.keyboard.press("Shift+ArrowDown")
    words = says(page)
    assert (
        words == "This cannot be shown: these four points are no foot: see that each stands "
        "where its name says."
    )
    low = middle(point)
    page.keyboard.press("Shift+ArrowUp")
    assert middle(point)[1] < low[1] - 3, "it moves though there is no result"
    for _ in range(9):
        page.keyboard.press("Shift+ArrowUp")
    assert says(page).startswith("Your heel reads")
    page.get_by_role("button", name="Start again").click()
    assert says(page) == sentence()


def test_presets_set_points_and_camera_apart(page: Any) -> None:
    places = {preset.label: preset.values for preset in MEASURING.presets}
    page.get_by_role("button", name="Reader two").click()
    assert says(page) == sentence(**places["Reader two"])
    page.get_by_role("button", name="Standing up").click()
    both = {**places["Reader two"], **places["Standing up"]}
    assert says(page) == sentence(**both)
    for name in ("Reader two", "Standing up"):
        assert page.get_by_role("button", name=name).get_attribute("aria-pressed") == "true"
    # a turned camera takes the points along with their spots
    at = middle(page.locator("[data-handle=toe_coronet]"))
    page.get_by_role("button", name="Camera square").click()
    says(page)
    assert middle(page.locator("[data-handle=toe_coronet]")) != pytest.approx(at, abs=1)


def test_points_keep_axe_cores_rules(page: Any) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page.evaluate("document.documentElement.lang = 'en'; document.title = 'A figure'")
    says(page)
    found = Axe().run(
        page, options={"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21aa"]}}
    )
    problems = [
        f"{rule['id']}: {rule['nodes'][0]['html'][:120]}" for rule in found.response["violations"]
    ]
    assert not problems, "\n".join(problems)

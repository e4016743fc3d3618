"""Points on a photograph by mouse, finger and keyboard, nearer and farther, undone and done again.

The desk's own code in a real browser, with a stand-in for the notebook's side of the widget.
"""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import hoofcalc.case.desk
from hoofcalc.case.desk.placing import Placing
from hoofcalc.case.desk.steps import steps
from hoofcalc.case.photograph import Photograph
from hoofcalc.case.synthetic.drawn_photograph import drawn_photograph
from hoofcalc.case.synthetic.pinhole import Camera
from hoofcalc.profile import Profile

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(120)]

FOLDER = Path(hoofcalc.case.desk.__file__).parent
STYLE = (FOLDER / "placing.css").read_text("utf-8")
SCRIPT = (FOLDER / "placing.js").read_text("utf-8")
#: The notebook's half: keeps what is set, counts what is sent.
MOUNT = """
async ([script, state, jpeg]) => {
  const bytes = Uint8Array.from(atob(jpeg), (letter) => letter.charCodeAt(0));
  state.picture = { ...state.picture, jpeg: new DataView(bytes.buffer) };
  const heard = {};
  const call = (name) => (heard[name] || []).forEach((one) => one());
  window.sent = [];
  window.model = {
    get: (name) => state[name],
    set: (name, value) => { state[name] = value; call(`change:${name}`); },
    on: (name, one) => (heard[name] ||= []).push(one),
    off: (name, one) => (heard[name] = heard[name].filter((other) => other !== one)),
    save_changes: () => window.sent.push(JSON.parse(JSON.stringify(state.points))),
  };
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const widget = (await import(url)).default();
  widget.initialize({ model: window.model });
  const el = document.getElementById("desk");
  window.open_view = () => widget.render({ model: window.model, el });
  window.close_view = window.open_view();
}
"""
FOOT = Profile.from_points(
    toe_ground=(110, 0), toe_coronet=(58, 67), heel_ground=(0, 0), heel_coronet=(-25, 24)
)
WIDTH, HEIGHT = 4032, 3024


@pytest.fixture(scope="module")
def photograph() -> Any:
    """An invented photograph, drawn at a third of the size that it is said to have."""
    return drawn_photograph(FOOT, camera=Camera(width_px=WIDTH // 3, height_px=HEIGHT // 3))


Opener = Callable[..., Any]


@pytest.fixture(scope="module")
def program(chromium: str) -> Iterator[Any]:
    """One browser for all: it is the longest to start."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        started = play.chromium.launch(
            executable_path=chromium, args=["--no-sandbox", "--disable-gpu"], timeout=60_000
        )
        yield started
        started.close()


@pytest.fixture
def desk(program: Any, photograph: Any) -> Iterator[Opener]:
    """Opens a page with the desk in it."""
    troubles: list[str] = []
    jpeg = Photograph(pixels=photograph.pixels, kind="JPEG").shown()
    context = program.new_context()

    def open_desk(
        width: int = 1280,
        view: str = "side",
        points: Any = None,
        way: str = "length",
    ) -> Any:
        widget = Placing()
        widget.set_steps(steps(view, way))
        widget.show_picture(jpeg, WIDTH, HEIGHT, points)
        names = ("steps", "points", "current", "skipped")
        state = {name: getattr(widget, name) for name in names}
        state["picture"] = {"width_px": WIDTH, "height_px": HEIGHT}
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("pageerror", lambda error: troubles.append(str(error)))
        page.set_viewport_size({"width": width, "height": 900})
        page.set_content(
            '<!doctype html><html lang="en"><head><title>A photograph</title>'
            f"<style>body{{margin:0}}{STYLE}</style></head>"
            '<body><div id="desk"></div></body></html>'
        )
        page.evaluate(MOUNT, [SCRIPT, state, base64.b64encode(jpeg).decode("ascii")])
        page.locator("[data-picture=shown] .stage").wait_for()
        settle(page)
        return page

    yield open_desk
    context.close()
    assert not troubles


def settle(page: Any) -> None:
    """Two drawn frames later."""
    page.evaluate("new Promise((go) => requestAnimationFrame(() => requestAnimationFrame(go)))")


def points(page: Any) -> dict[str, list[float]]:
    return dict(page.evaluate("window.model.get('points')"))


def current(page: Any) -> str:
    return str(page.evaluate("window.model.get('current')"))


def stage(page: Any) -> dict[str, float]:
    return dict(page.locator(".stage").bounding_box())


def on_screen(page: Any, right: float, down: float) -> tuple[float, float]:
    """Where a place of the original lies while the whole picture is shown."""
    box = stage(page)
    return box["x"] + right * box["width"] / WIDTH, box["y"] + down * box["height"] / HEIGHT


def middle(page: Any, name: str) -> tuple[float, float]:
    box = page.locator(f"[data-point={name}]").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def click(page: Any, right: float, down: float) -> None:
    page.mouse.click(*on_screen(page, right, down))
    settle(page)


def focused(page: Any) -> str:
    return str(page.evaluate("document.activeElement.dataset.point || ''"))


def test_mouse_places_one_after_another_and_takes_hold_of_what_is_near(desk: Opener) -> None:
    page = desk()
    assert current(page) == "scale_start"
    click(page, 3500, 2200)
    assert points(page)["scale_start"] == pytest.approx([3500, 2200], abs=0.5)
    assert current(page) == "scale_end"
    assert "Next: Known length: other end" in page.locator(".next-words").text_content()
    assert page.locator(".sketch svg").count() == 1
    said = page.locator("[role=status]").text_content()
    assert said == "Placed: Known length: one end. Next: Known length: other end."
    # a click beside the point takes hold of it: nothing is placed, nothing moved
    before = points(page)
    x, y = middle(page, "scale_start")
    page.mouse.click(x + 9, y - 4)
    assert points(page) == before
    assert focused(page) == "scale_start"
    # pulled at its edge it moves by as much as the hand
    box = stage(page)
    page.mouse.move(x + 9, y - 4)
    page.mouse.down()
    page.mouse.move(x - 31, y + 26, steps=9)
    page.mouse.up()
    settle(page)
    by = WIDTH / box["width"]
    wanted = [before["scale_start"][0] - 40 * by, before["scale_start"][1] + 30 * by]
    assert points(page)["scale_start"] == pytest.approx(wanted, abs=0.5)
    assert middle(page, "scale_start") == pytest.approx((x - 40, y + 30), abs=0.5)
    # off the edge of the picture it stays on it
    page.mouse.move(x - 40, y + 30)
    page.mouse.down()
    page.mouse.move(x + 2000, y + 2000, steps=3)
    page.mouse.up()
    assert points(page)["scale_start"] == [WIDTH, HEIGHT]


def test_the_square_comes_first_where_nothing_else_is_asked(desk: Opener) -> None:
    assert [each.name for each in steps("side")] == [each.name for each in steps("side", "square")]
    page = desk(way="square")
    assert current(page) == "square_1"
    for number, at in enumerate(((3200, 2400), (3600, 2400), (3600, 2000), (3200, 2000)), 1):
        assert current(page) == f"square_{number}"
        click(page, *at)
    assert list(points(page)) == ["square_1", "square_2", "square_3", "square_4"]
    assert current(page) == "toe_ground"


def test_undo_has_no_end_and_goes_both_ways(desk: Opener) -> None:
    page = desk()
    seen = [points(page)]
    for at in ((3500, 2200), (3500, 900), (300, 2600), (3800, 2600)):
        click(page, *at)
        seen.append(points(page))
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    page.wait_for_timeout(300)
    seen.append(points(page))
    page.get_by_role("button", name="Delete point").click()
    seen.append(points(page))
    assert len(seen[-1]) == 3
    for wanted in seen[-2::-1]:
        page.keyboard.press("Control+z")
        assert points(page) == wanted
    assert current(page) == "scale_start"
    button = page.get_by_role("button", name="Undo")
    assert button.is_disabled()
    button.press("Enter")
    assert points(page) == {}
    assert button.evaluate("one => one === document.activeElement"), "the keyboard stays there"
    for number, wanted in enumerate(seen[1:]):
        if number % 2:
            page.keyboard.press("Control+y")
        else:
            page.get_by_role("button", name="Redo").click()
        assert points(page) == wanted
    # a view that is closed and opened again has lost nothing
    page.evaluate("() => { window.close_view(); window.close_view = window.open_view(); }")
    page.locator(".stage").wait_for()
    settle(page)
    page.get_by_role("button", name="Undo").click()
    assert points(page) == seen[-2]


def test_keyboard_alone_places_moves_takes_away_and_skips(desk: Opener) -> None:
    page = desk()
    page.keyboard.press("Tab")
    while focused(page) != "spot":
        page.keyboard.press("Tab")
    settle(page)
    assert page.locator(".lens").is_visible(), "the spot under the ring is magnified"
    page.keyboard.press("Enter")
    assert points(page) == {}, "nothing is placed where the ring was never moved"
    box = stage(page)
    by = WIDTH / box["width"]
    x, y = WIDTH / 2, HEIGHT / 2
    for keys, across, down in (
        ("ArrowRight", 1, 0),
        ("Shift+ArrowRight", 10, 0),
        ("Shift+ArrowDown", 0, 10),
        ("Alt+ArrowUp", 0, -0.1),
        ("ArrowLeft", -1, 0),
    ):
        page.keyboard.press(keys)
        x, y = x + across * by, y + down * by
    page.keyboard.press("Enter")
    assert points(page)["scale_start"] == pytest.approx([x, y], abs=1e-6)
    assert current(page) == "scale_end"
    page.keyboard.press("Enter")
    assert list(points(page)) == ["scale_start"], "a second Enter puts nothing on top of it"
    page.keyboard.press("Shift+ArrowUp")
    page.keyboard.press("Enter")
    assert list(points(page)) == ["scale_start", "scale_end"]
    # to the points already placed
    page.keyboard.press("Tab")
    assert focused(page) == "scale_start"
    assert page.get_by_role("button", name="Delete point").is_enabled()
    page.keyboard.press("Alt+ArrowRight")
    page.wait_for_timeout(300)
    assert points(page)["scale_start"] == pytest.approx([x + 0.1 * by, y], abs=1e-6)
    page.keyboard.press("Tab")
    assert focused(page) == "scale_end"
    page.keyboard.press("Delete")
    assert list(points(page)) == ["scale_start"]
    assert current(page) == "scale_end"
    assert focused(page) == "spot"
    # a row of presses comes to the end of what is needed; the rest is left out
    for _ in range(12):
        if not page.get_by_role("button", name="Leave this one out").is_hidden():
            break
        page.keyboard.press("Shift+ArrowLeft")
        page.keyboard.press("Enter")
    assert current(page) == "pastern_low"
    for _ in range(10):
        page.get_by_role("button", name="Leave this one out").press("Enter")
    assert current(page) == ""
    assert page.locator(".next-words").text_content() == "All points are placed."
    page.locator("[data-go=bulb]").press("Enter")
    assert current(page) == "bulb"
    assert focused(page) == "spot"


@pytest.mark.parametrize("width", [390, 1280])
def test_shown_nearer_and_shifted_a_click_gives_the_same_place_of_the_original(
    desk: Opener, photograph: Any, width: int
) -> None:
    page = desk(width)
    wanted = np.array(photograph.points_px["toe_ground"]) * 3 + [0.25, -0.4]
    x, y = on_screen(page, *wanted)
    page.mouse.move(x, y)
    page.mouse.wheel(0, -120)
    settle(page)
    farther = page.get_by_role("button", name="Zoom out")
    assert farther.get_attribute("aria-disabled") == "true", "the wheel alone scrolls the page"
    page.keyboard.down("Control")
    page.mouse.wheel(0, -900)
    page.keyboard.up("Control")
    settle(page)
    page.mouse.move(x + 5, y + 5)
    page.get_by_role("button", name="Zoom in").click()
    page.get_by_role("button", name="Show more of the right").click()
    page.get_by_role("button", name="Show more of the left").click()
    settle(page)
    # where it lies now is asked of the photograph: a point placed there in Python's name
    page.evaluate("at => window.model.set('points', { heel_ground: at })", wanted.tolist())
    settle(page)
    x, y = middle(page, "heel_ground")
    page.evaluate("window.model.set('points', {})")
    settle(page)
    assert points(page) == {}
    page.mouse.click(x, y)
    assert points(page)["scale_start"] == pytest.approx(wanted, abs=0.5)
    page.get_by_role("button", name="Whole picture").click()
    settle(page)
    assert middle(page, "scale_start") == pytest.approx(on_screen(page, *wanted), abs=0.5)
    # and the pixels under the cross of the magnified spot are the photograph's there
    page.locator("[data-point=scale_start]").focus()
    settle(page)
    side, seen = page.evaluate(
        """() => {
          const lens = document.querySelector('.lens');
          const at = lens.width / 2 + 5;
          return [lens.clientWidth, [...lens.getContext('2d').getImageData(at, at, 1, 1).data]];
        }"""
    )
    assert side >= 140
    by = max(4 * stage(page)["width"] / WIDTH, 1 / 3)
    right, down = ((wanted + 5.5 / by) / 3).astype(int)
    near = photograph.pixels[down - 1 : down + 2, right - 1 : right + 2].reshape(-1, 3)
    assert np.all(np.array(seen[:3]) >= near.min(axis=0) - 12)
    assert np.all(np.array(seen[:3]) <= near.max(axis=0) + 12)


def test_a_finger_sees_the_spot_beside_it_and_two_bring_it_closer(desk: Opener) -> None:
    page = desk(390)
    hand = page.context.new_cdp_session(page)
    hand.send("Emulation.setTouchEmulationEnabled", {"enabled": True, "maxTouchPoints": 5})

    def touch(kind: str, *places: tuple[float, float]) -> None:
        at = [{"x": x, "y": y, "id": number} for number, (x, y) in enumerate(places)]
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})

    box = stage(page)
    for right, down in ((300, 300), (3700, 300), (2000, 1500), (300, 2800)):
        x, y = on_screen(page, right, down)
        touch("touchStart", (x + 12, y))
        touch("touchMove", (x + 4, y))
        touch("touchMove", (x, y))
        settle(page)
        lens = page.locator(".lens").bounding_box()
        assert lens["width"] >= 130
        assert page.locator(".lens").is_visible()
        across = max(lens["x"] - x, x - lens["x"] - lens["width"])
        along = max(lens["y"] - y, y - lens["y"] - lens["height"])
        assert max(across, along) > 25, "the finger does not hide it"
        touch("touchEnd")
        settle(page)
        assert stage(page) == box, "the picture stays under the hand from point to point"
    placed = points(page)
    assert list(placed) == ["scale_start", "scale_end", "level_start", "level_end"]
    assert placed["level_start"] == pytest.approx([2000, 1500], abs=6)
    assert page.evaluate("window.scrollY") == 0
    # two fingers: closer and shifted, and no point is placed or moved by them
    x, y = on_screen(page, 2000, 2100)
    touch("touchStart", (x - 20, y))
    touch("touchStart", (x - 20, y), (x + 20, y))
    for step in range(1, 6):
        touch("touchMove", (x - 20 - 10 * step, y), (x + 20 + 10 * step, y))
    touch("touchEnd", (x - 70, y))
    touch("touchEnd")
    settle(page)
    assert points(page) == placed
    apart = middle(page, "level_start")[1] - y
    assert apart == pytest.approx(-600 * 3.5 * box["width"] / WIDTH, rel=0.1)
    # a finger near a point takes hold of it
    x, y = middle(page, "level_start")
    touch("touchStart", (x + 15, y + 10))
    touch("touchMove", (x + 35, y + 10))
    touch("touchMove", (x + 45, y + 10))
    touch("touchEnd")
    settle(page)
    moved = points(page)
    assert moved["level_start"][0] > placed["level_start"][0]
    assert {**moved, "level_start": 0} == {**placed, "level_start": 0}
    assert middle(page, "level_start") == pytest.approx((x + 30, y), abs=1)


def test_a_drag_is_told_now_and_then_and_at_its_end(desk: Opener) -> None:
    page = desk()
    click(page, 2000, 1500)
    page.evaluate("window.sent.length = 0")
    x, y = middle(page, "scale_start")
    page.mouse.move(x, y)
    page.mouse.down()
    began = page.evaluate("performance.now()")
    for step in range(60):
        page.mouse.move(x + step, y)
    on_the_way, ended = page.evaluate("[window.sent.length, performance.now()]")
    page.mouse.up()
    assert on_the_way <= (ended - began) / 200 + 1, "five times a second at most"
    assert page.evaluate("window.sent.at(-1)") == points(page)
    assert middle(page, "scale_start")[0] == pytest.approx(x + 59, abs=0.5)


def test_what_python_says_during_a_drag_does_not_disturb_it(desk: Opener) -> None:
    page = desk()
    click(page, 2000, 1500)
    x, y = middle(page, "scale_start")
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 20):
        page.mouse.move(x + 3 * step, y)
        page.evaluate("names => window.model.set('skipped', names)", [f"none {step}"])
    page.mouse.up()
    settle(page)
    assert middle(page, "scale_start") == pytest.approx((x + 57, y), abs=0.5)
    page.get_by_role("button", name="Undo").click()
    settle(page)
    assert middle(page, "scale_start") == pytest.approx((x, y), abs=0.5)


def test_the_bearing_edge_is_a_row_that_ends_when_that_is_all(desk: Opener) -> None:
    page = desk(view="below")
    for at in ((3500, 2200), (3500, 900), (2000, 2400), (2000, 1200)):
        click(page, *at)
    for number in range(9):
        turn = np.pi * (1 - number / 8)
        click(page, 2000 + 900 * np.cos(turn), 2000 - 1100 * np.sin(turn))
    assert current(page) == "edge_10"
    lines = page.locator(".lines .ink").evaluate_all(
        "all => all.filter(one => !one.style.display && one.dataset.a.startsWith('edge')).length"
    )
    assert lines == 8
    page.get_by_role("button", name="That is all").click()
    assert current(page) == ""
    assert page.locator(".next-words").text_content() == "All points are placed."
    page.get_by_role("button", name="One more").click()
    assert current(page) == "edge_10"
    click(page, 2900, 2300)
    assert len(points(page)) == 14
    assert current(page) == ""


def test_a_new_start_shows_nothing_of_the_first_placing(desk: Opener) -> None:
    page = desk(points={"scale_start": (3500, 2200), "scale_end": (3500, 900)})
    assert current(page) == "level_start"
    page.evaluate("window.model.set('points', {})")
    settle(page)
    assert page.locator(".mark:not(.spot)").count() == 0
    assert page.get_by_role("button", name="Undo").is_disabled()
    click(page, 3300, 2200)
    assert list(points(page)) == ["scale_start"]


@pytest.mark.parametrize("width", [390, 1280])
def test_the_desk_keeps_axe_cores_rules_and_its_width(
    desk: Opener, photograph: Any, width: int
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    places = {name: (3 * at).tolist() for name, at in photograph.points_px.items()}
    page = desk(width, points={name: places[name] for name in list(places)[:9]})
    page.get_by_role("button", name="Zoom in").click()
    settle(page)
    tags = ["wcag2a", "wcag2aa", "wcag21aa"]
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": tags}})
    problems = [
        f"{rule['id']}: {rule['nodes'][0]['html'][:160]}" for rule in found.response["violations"]
    ]
    assert not problems, "\n".join(problems)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    low = page.locator("button:visible").evaluate_all(
        """all => all.filter(one => Math.min(one.offsetHeight, one.offsetWidth) < 44)
        .map(one => one.textContent)"""
    )
    assert not low, "every button is large enough for a finger"

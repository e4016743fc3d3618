"""The whole way on the measuring desk: new case, photographs, points, film, page for the owner.

The case's photographs and film are drawn with known truth; all is done by mouse and keyboard on
the page that `hoofcalc case FOLDER open` opens.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from pillow_heif import register_heif_opener

from hoofcalc.case.case import open_case, read_visit
from hoofcalc.case.desk.serving import desk_open
from hoofcalc.case.measure import measure
from hoofcalc.case.synthetic.drawn_film import drawn_film, write_film
from hoofcalc.case.synthetic.drawn_photograph import drawn_photograph
from hoofcalc.case.synthetic.pinhole import Camera
from hoofcalc.cli import main
from hoofcalc.profile import Profile

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.alone, pytest.mark.timeout(240)]

VISIT = "2026-04-07"
FOOT = Profile.from_points(
    toe_ground=(110, 0), toe_coronet=(58, 67), heel_ground=(0, 0), heel_coronet=(-25, 24)
)
STICK_MM, WIDE, TALL, FPS = 150, 1000, 750, 120
SIDE = ("scale_start", "scale_end", "level_start", "level_end", *list(FOOT.landmarks)[:4])
BELOW = ("scale_start", "scale_end", "middle_heel", "middle_toe")
EDGE = tuple(f"edge_{number:02d}" for number in range(1, 24, 3))
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21aa"]}}


@pytest.fixture(scope="module")
def brought(tmp_path_factory: Any) -> dict[str, Any]:
    """What a trimmer brings: two photographs and a film (drawn, invented), and what is true."""
    home = tmp_path_factory.mktemp("telephone")
    camera = Camera(width_px=WIDE, height_px=TALL)
    truth: dict[str, Any] = {"home": home}
    register_heif_opener()
    for view, kind in (("side", "jpg"), ("below", "heic")):
        drawn = drawn_photograph(FOOT, view, camera=camera)
        Image.fromarray(drawn.pixels).save(home / f"{view}.{kind}", quality=90)
        truth[view] = drawn.points_px
    film = drawn_film(
        FOOT, fps=FPS, width_px=640, height_px=360, steps=1, radius_mm=14, pause_s=0.1
    )
    write_film(home / "walk.mp4", film.frames(), 30, crf=12)
    truth["film"] = film
    return truth


@pytest.fixture
def desk(browser: Any, brought: Any, tmp_path: Path, monkeypatch: Any) -> Iterator[Any]:
    """A new case, made by the command, on the desk; and every address that the page asked for."""
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path / "running"))
    folder = tmp_path / "a case"
    made = ["--horse", "Otterby", "--foot", "right fore", "--mass-kg", "505", "--invented"]
    assert main(["case", str(folder), "new", *made]) == 0
    asked: list[str] = []
    troubles: list[str] = []
    with desk_open(folder) as (address, _):
        page = browser.new_page()
        page.on("request", lambda request: asked.append(request.url))
        page.on("pageerror", lambda error: troubles.append(str(error)))
        page.goto(address.url("voila/render/measure.ipynb"))
        page.locator(".hoofcalc-desk h1").wait_for()
        yield page, folder, asked
        assert not troubles
        page.close()


def press(page: Any, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).click()


def says(page: Any, words: str) -> Any:
    """Wait until these words stand on the screen."""
    found = page.locator(".hoofcalc-desk").get_by_text(re.compile(words)).first
    found.wait_for()
    return found


def at(page: Any, place: Any, wide: float, tall: float) -> tuple[float, float]:
    """Where a place of the picture lies on the screen."""
    stage = page.locator("[data-picture=shown] .stage")
    stage.scroll_into_view_if_needed()
    box = stage.bounding_box()
    return (
        box["x"] + float(place[0]) * box["width"] / wide,
        box["y"] + float(place[1]) * box["height"] / tall,
    )


def by_mouse(page: Any, place: Any, wide: float = WIDE, tall: float = TALL) -> None:
    page.mouse.click(*at(page, place, wide, tall))


def by_keyboard(page: Any, name: str, place: Any) -> None:
    """Move the ring from the middle of the picture by arrow keys, and place it with Enter."""
    spot = page.locator("[data-point=spot]")
    spot.focus()
    for _ in range(400):
        box = spot.bounding_box()
        x, y = at(page, place, WIDE, TALL)
        across = x - box["x"] - box["width"] / 2
        down = y - box["y"] - box["height"] / 2
        if max(abs(across), abs(down)) < 0.6:
            break
        far = across if abs(across) >= abs(down) else down
        way = ("Right" if far > 0 else "Left") if far == across else ("Down" if far > 0 else "Up")
        page.keyboard.press(f"{'Shift+' if abs(far) >= 9 else ''}Arrow{way}")
    page.keyboard.press("Enter")
    page.locator(f"[data-point={name}]").wait_for()


def place(page: Any, truth: Mapping[str, Any], names: tuple[str, ...]) -> None:
    """All by mouse but the last, which goes by keyboard."""
    for name in names[:-1]:
        by_mouse(page, truth[name])
        page.locator(f"[data-point={name}]").wait_for()
    by_keyboard(page, names[-1], truth[names[-1]])


def clean(page: Any) -> list[str]:
    """What axe-core finds wrong."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page, options=RULES)
    return [
        f"{rule['id']}: {rule['nodes'][0]['html'][:160]}" for rule in found.response["violations"]
    ]


def beside_the_screen(page: Any) -> list[str]:
    """What does not fit on a telephone, 390 pixels wide."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(200)
    found = page.locator("#rendered_cells").evaluate(
        """panel => [
          ...(panel.scrollWidth > panel.clientWidth ? ["the page is wider than the screen"] : []),
          ...[...panel.querySelectorAll("input, select, textarea, button")]
            .filter((one) => one.offsetParent && one.type !== "checkbox")
            .map((one) => [one, one.getBoundingClientRect()])
            .filter(([one, box]) => box.right > 390 || box.left < 0 || box.width < 40)
            .map(([one, box]) => `${one.outerHTML.slice(0, 120)} ${box.left} to ${box.right}`),
        ]"""
    )
    page.set_viewport_size({"width": 1280, "height": 900})
    return list(found)


def test_the_whole_way_from_files_to_the_owners_page(desk: Any, brought: Any, capsys: Any) -> None:
    page, folder, asked = desk
    wrong: list[str] = []
    # a visit, and its files through the browser
    page.locator("input[type=date]").fill(VISIT)
    press(page, "Add this visit")
    says(page, "is added")
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Choose photographs").click()
    names = ("side.jpg", "below.heic", "walk.mp4")
    chooser.value.set_files([brought["home"] / name for name in names])
    says(page, r"film/.*walk\.mp4")
    for name, part in zip(names, ("pictures", "pictures", "film"), strict=True):
        copy = folder / part / VISIT / name
        assert copy.read_bytes() == (brought["home"] / name).read_bytes(), "byte for byte"
    wrong += clean(page)
    # photographs
    press(page, "2. Photographs")
    page.get_by_label("Photograph", exact=True).select_option("side.jpg")
    way = page.get_by_label("The size is known by")
    way.select_option("a known length, and the ground line")  # no square stands in these
    says(page, "8 points are still needed")
    known = page.get_by_label("The known length, in mm")
    known.fill(str(STICK_MM))
    known.press("Tab")
    for name in SIDE[:3]:
        by_mouse(page, brought["side"][name])
        page.locator(f"[data-point={name}]").wait_for()
    says(page, "5 points are still needed")
    page.reload()  # as when the browser dies: what was placed is there, though never saved
    press(page, "2. Photographs")
    says(page, "What was not saved last time is here. 5 points")
    page.locator(f"[data-point={SIDE[2]}]").wait_for()
    place(page, brought["side"], SIDE[3:])
    says(page, r"All points that are needed are placed\. Saved")
    wrong += clean(page)
    wrong += beside_the_screen(page)
    page.get_by_label("Seen", exact=True).select_option("from below")
    page.get_by_label("Photograph", exact=True).select_option("below.heic")
    way.select_option("a known length, and the ground line")
    says(page, "11 points are still needed")
    known.fill(str(STICK_MM))
    known.press("Tab")
    edge = {f"edge_{number:02d}": brought["below"][name] for number, name in enumerate(EDGE, 1)}
    place(page, {**brought["below"], **edge}, (*BELOW, *edge))
    says(page, r"All points that are needed are placed")
    # the film
    film = brought["film"]
    press(page, "3. Film")
    page.get_by_label("Film", exact=True).select_option("walk.mp4")
    says(page, f"{film.count} frames, 640 by 360 pixels")
    rate = page.get_by_label("Frames that the camera really took in a second")
    rate.fill(str(FPS))
    rate.press("Tab")
    known.fill("400")
    known.press("Tab")
    slider = page.get_by_role("slider", name="Frame")
    down, up = (round(float(moment[0]) * FPS) for moment in (film.contacts_s, film.leavings_s))
    standing = down + 8
    slider.fill(str(standing - 1))
    slider.focus()
    page.keyboard.press("ArrowRight")
    page.locator(f"[data-frame='{standing}']").wait_for()
    by_mouse(page, film.mark_px[standing], 640, 360)
    says(page, f"placed by hand on frame {standing}")
    press(page, "Follow the mark from this frame")
    says(page, f"Followed through {film.count - 1} frames")
    page.get_by_label("Now place").select_option("the known length and the ground line")
    says(page, "Next: Known length: one end")
    # the pole is longer than the picture is wide: a piece of it, four of its ten stripes
    height = film.scale_px["scale_start"][1]
    piece = {"scale_start": (60, height), "scale_end": (60 + 400 * film.px_per_mm, height)}
    for name, where in {**film.scale_px, **piece}.items():
        by_mouse(page, where, 640, 360)
        page.locator(f"[data-point={name}]").wait_for()
    for frame, words in ((down, "The foot comes down"), (up, "It leaves the ground")):
        slider.fill(str(frame))
        page.locator(f"[data-frame='{frame}']").wait_for()
        press(page, f"{words} in this frame")
    says(page, f"Stance from frame {down} to {up}")
    on_ground = says(page, "On the ground for").text_content()
    wrong += beside_the_screen(page)
    wrong += clean(page)
    # the foot in one view, and the page
    press(page, "4. The foot in one view")
    says(page, "Until the next visit")
    found = measure(open_case(folder), read_visit(folder, VISIT))
    screen = page.locator(".hoofcalc-desk").text_content()
    for end, truth in (("toe", FOOT.toe_angle_deg), ("heel", FOOT.heel_angle_deg)):
        value = found.values[f"{end}_angle_deg"]
        assert f"{value:.1f} ± " in screen or f"{value:.1f} degrees" in screen
        assert abs(value - float(truth)) < 2, "whole pixels of a small photograph"
    assert f"{1000 * found.film['stance_s']:.0f} ±" in on_ground
    assert abs(found.film["stance_s"] - film.stride.stance_s) < 2 / FPS
    assert found.visit.outline_mm is not None
    press(page, "5. The owner's page")
    page.get_by_label("What is done, and why").fill("The toe is shortened a little.")
    page.get_by_label("Next visit", exact=True).fill("2026-05-19")
    press(page, "Write the page")
    says(page, "Written: .*2026-04-07.pdf")
    assert page.frame_locator("iframe").get_by_text("shortened a little").count() == 1
    wrong += clean(page)
    written = (folder / "pages" / f"{VISIT}.html").read_text(encoding="utf-8")
    assert f"{found.values['toe_angle_deg']:.0f} degrees" in written
    # and without a screen
    capsys.readouterr()
    assert main(["case", str(folder), "measure"]) == 0
    assert "\n".join(found.in_words()) in capsys.readouterr().out
    assert not list((folder / "visits" / VISIT).glob("draft_*"))
    assert "Traceback" not in screen
    outside = [url for url in asked if not url.startswith(("http://127.0.0.1:", "data:", "blob:"))]
    assert not outside, outside
    assert not wrong, "\n".join(dict.fromkeys(wrong))


def test_a_program_that_stops_is_told_in_time_and_nothing_placed_is_lost(
    browser, brought, tmp_path, monkeypatch
):
    """The server ends in the middle: a banner, points held in the page, saved when it is back."""
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path / "running"))
    folder = tmp_path / "a case"
    made = ["--horse", "Otterby", "--foot", "right fore", "--mass-kg", "505", "--invented"]
    assert main(["case", str(folder), "new", *made]) == 0
    assert (
        main(
            [
                "case",
                str(folder),
                "add-visit",
                VISIT,
                "--picture",
                str(brought["home"] / "side.jpg"),
            ]
        )
        == 0
    )
    names = ("square_1", "square_2", "square_3")

    def opened(address):
        page = browser.new_page()
        page.goto(address.url("voila/render/measure.ipynb"))
        page.locator(".hoofcalc-desk h1").wait_for()
        press(page, "2. Photographs")
        return page

    with desk_open(folder) as (address, server):
        page = opened(address)
        page.get_by_label("Photograph", exact=True).select_option("side.jpg")
        page.locator("[data-picture=shown] .stage").wait_for()
        by_mouse(page, brought["side"][names[0]])
        page.locator(f"[data-point={names[0]}]").wait_for()
        second = opened(address)
        second.get_by_text("open in another window").wait_for()
        second.close()
        page.wait_for_timeout(1500)
        server.terminate()
        server.wait()
        page.get_by_text("The program has stopped").wait_for(timeout=2000)
        for name in names[1:]:
            by_mouse(page, brought["side"][name])
            page.locator(f"[data-point={name}]").wait_for()
    with desk_open(folder) as (address, _):
        page = opened(address)
        for name in names:
            page.locator(f"[data-point={name}]").wait_for()
        says(page, "What was not saved last time is here|points are still needed")
        page.wait_for_timeout(1500)
        press(page, "2. Photographs")
        page.wait_for_timeout(1000)
    saved = (folder / "visits" / VISIT / "side_points.csv").read_text(encoding="utf-8")
    assert all(name in saved for name in names)

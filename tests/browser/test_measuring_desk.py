"""The whole way on the measuring desk: new case, photographs, points, film, page for the owner.

The case's photographs and film are drawn with known truth; all is done by mouse and keyboard on
the page that `hoofcalc case FOLDER open` opens.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image
from pillow_heif import register_heif_opener

from hoofcalc.case.case import open_case, read_visit
from hoofcalc.case.desk.serving import desk_open
from hoofcalc.case.example import EXAMPLE_VISITS
from hoofcalc.case.measure import measure
from hoofcalc.case.practice import practice_case
from hoofcalc.case.synthetic.drawn_film import drawn_film, write_film
from hoofcalc.case.synthetic.drawn_photograph import SQUARE_MM, drawn_photograph
from hoofcalc.case.synthetic.pinhole import Camera
from hoofcalc.case.target import cells, marker_corners
from hoofcalc.cli import main
from hoofcalc.profile import Profile

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(400)]

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
    page.get_by_role("button", name=re.compile(rf"^{words}( ✓)?$")).first.click()


def choose(page: Any, file: str, view: str) -> None:
    """Say from where a photograph shows the foot."""
    group = page.get_by_role("group", name=f"{file} shows the foot")
    group.get_by_role("button", name=view).click()
    page.locator("[data-picture=shown] .stage").wait_for()


def says(page: Any, words: str) -> Any:
    """Wait until these words stand on the screen."""
    found = page.locator(".hoofcalc-desk").get_by_text(re.compile(words)).first
    found.wait_for(timeout=120_000)
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


def by_keyboard(page: Any, name: str, place: Any, wide: float = WIDE, tall: float = TALL) -> None:
    """Move the ring from the middle of the picture by arrow keys, and place it with Enter."""
    spot = page.locator("[data-point=spot]")
    spot.focus()

    def away() -> tuple[float, float]:
        x, y = at(page, place, wide, tall)
        box = spot.bounding_box()
        return x - box["x"] - box["width"] / 2, y - box["y"] - box["height"] / 2

    for step, held in ((10, "Shift+"), (1, "")):  # dots that a press of an arrow key is worth
        for far, (back, forth) in zip(away(), (("Left", "Right"), ("Up", "Down")), strict=True):
            for _ in range(round(abs(far) / step)):
                page.keyboard.press(f"{held}Arrow{forth if far > 0 else back}")
    assert max(map(abs, away())) < 0.6
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
    choose(page, "side.jpg", "Side")
    stick = page.get_by_label("or length of a stick, in mm")
    stick.fill(str(STICK_MM))  # by the stick, though the square was found
    stick.press("Tab")
    says(page, "8 points are still needed")
    for name in SIDE[:3]:
        by_mouse(page, brought["side"][name])
        page.locator(f"[data-point={name}]").wait_for()
    says(page, "5 points are still needed")
    page.reload()  # as when the browser dies: what was placed is there, though never saved
    says(page, "What was not saved last time is here. 5 points")
    page.locator(f"[data-point={SIDE[2]}]").wait_for()
    place(page, brought["side"], SIDE[3:])
    says(page, r"All points that are needed are placed\. Saved")
    wrong += clean(page)
    wrong += beside_the_screen(page)
    choose(page, "below.heic", "Below")
    says(page, "side 100 mm: its corners are placed")  # its own side, not the stick's length
    stick.fill(str(STICK_MM))
    stick.press("Tab")
    says(page, "11 points are still needed")
    edge = {f"edge_{number:02d}": brought["below"][name] for number, name in enumerate(EDGE, 1)}
    place(page, {**brought["below"], **edge}, (*BELOW, *edge))
    says(page, r"All points that are needed are placed")
    # the film
    film = brought["film"]
    press(page, "Film")
    says(page, f"{film.count} frames, 640 by 360 pixels")
    rate = page.get_by_label("Frames that the camera really took in a second")
    rate.fill(str(FPS))
    rate.press("Tab")
    known = page.get_by_label("The known length, in mm")
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
    press(page, "The foot")
    says(page, "Work of the heels")
    picture = page.locator(".hoofcalc-lead img").bounding_box()
    assert picture["y"] + picture["height"] < 800, "above the fold"
    for words in ("All numbers", "Over the visits", "Where the push goes", "In 3-D", "Try a trim"):
        press(page, words)
        page.locator(".hoofcalc-open", has_text=words).wait_for()
        page.wait_for_timeout(500)
        wrong += clean(page)
        wrong += beside_the_screen(page)
    found = measure(open_case(folder), read_visit(folder, VISIT))
    screen = page.locator(".hoofcalc-desk").text_content()
    for end, truth in (("toe", FOOT.toe_angle_deg), ("heel", FOOT.heel_angle_deg)):
        value = found.values[f"{end}_angle_deg"]
        assert f"{end} {value:.1f}° (" in screen.lower()
        assert abs(value - float(truth)) < 2, "whole pixels of a small photograph"
    assert f"{1000 * found.film['stance_s']:.0f} ±" in on_ground
    assert abs(found.film["stance_s"] - film.stride.stance_s) < 2 / FPS
    assert found.visit.outline_mm is not None
    press(page, "The owner's page")
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
        return page

    with desk_open(folder) as (address, server):
        page = opened(address)
        page.locator("[data-picture=shown] .stage").wait_for()
        by_mouse(page, brought["side"][names[0]])
        page.locator(f"[data-point={names[0]}]").wait_for()
        second = opened(address)
        second.get_by_text("open in another window").wait_for()
        second.close()
        page.get_by_text("open in another window").wait_for(state="hidden")
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
        press(page, "Visits and files")
        saved = folder / "visits" / VISIT / "side_points.csv"
        for _ in range(100):
            if saved.exists() and all(name in saved.read_text("utf-8") for name in names):
                return
            page.wait_for_timeout(100)
    pytest.fail("what was held in the page was never saved")


# ---- how many actions it takes ----------------------------------------------------------------

#: Actions from two photographs to the page on the screens of before: day, add, choose files, part,
#: photograph; 4 corners and 4 points; view, photograph; 4 corners and 10 points; part, what is
#: done, next visit, write.
BEFORE = 5 + 8 + 2 + 14 + 4
NEEDED = ("toe_ground", "toe_coronet", "heel_ground", "heel_coronet")


class Counted:
    """A hand on the page; each press, choice and point counts as one action."""

    def __init__(self, page: Any) -> None:
        self.page, self.actions = page, 0
        self.touch = page.context.new_cdp_session(page)

    def presses(self, words: str) -> None:
        press(self.page, words)
        self.actions += 1

    def chooses(self, file: str, view: str) -> None:
        choose(self.page, file, view)
        self.actions += 1

    def places(self, name: str, place: Any, by: str, wide: float, tall: float) -> None:
        """One point, by mouse, finger or keys."""
        if by == "keys":
            by_keyboard(self.page, name, place, wide, tall)
        elif by == "touch":
            x, y = at(self.page, place, wide, tall)
            for kind, fingers in (("touchStart", [{"x": x, "y": y}]), ("touchEnd", [])):
                self.touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": fingers})
        else:
            by_mouse(self.page, place, wide, tall)
        self.page.locator(f"[data-point={name}]").wait_for()
        self.actions += 1


def with_markers(drawn: Any, side_mm: float) -> Any:
    """The photograph with the printed sheet's markers in its square."""
    per_mm = 12
    size = round(side_mm * per_mm)
    sheet = np.full((size, size, 3), 20, np.uint8)
    for number in range(4):
        white = np.where(cells(side_mm, number), 235, 20).astype(np.uint8)
        (left, up), (right, _) = marker_corners(number)[[0, 2]] * size
        wide = round(right - left)
        image = cv2.resize(white, (wide, wide), interpolation=cv2.INTER_NEAREST)[..., None]
        top = size - round(up)
        sheet[top : top + wide, round(left) : round(left) + wide] = image
    corners = np.array([drawn.points_px[f"square_{number}"] for number in (1, 2, 3, 4)])
    paper = np.array([[0, size], [size, size], [size, 0], [0, 0]], np.float32)
    through = cv2.getPerspectiveTransform(paper, corners.astype(np.float32))
    tall, wide = drawn.pixels.shape[:2]
    seen = cv2.warpPerspective(sheet, through, (wide, tall), flags=cv2.INTER_AREA)
    inside = cv2.warpPerspective(np.ones_like(sheet), through, (wide, tall)) > 0
    return np.where(inside, seen, drawn.pixels)


def test_two_photographs_to_the_page_take_a_third_fewer_actions(
    desk: Any, tmp_path: Path, capsys: Any
) -> None:
    """A fresh case; the sheet is found by itself; points by mouse, by finger and by keys."""
    page, folder, _ = desk
    wide, tall = 2000, 1500
    noted = Image.Exif()
    noted.get_ifd(0x8769)[0x9003] = f"{VISIT.replace('-', ':')} 10:00:00"
    truth = {}
    for view in ("side", "below"):
        drawn = drawn_photograph(FOOT, view, camera=Camera(width_px=wide, height_px=tall))
        pixels = with_markers(drawn, SQUARE_MM)
        Image.fromarray(pixels).save(tmp_path / f"{view}.jpg", quality=92, exif=noted)
        truth[view] = drawn.points_px
    hand = Counted(page)
    with page.expect_file_chooser() as chooser:
        hand.presses("Choose photographs or a short film.*")
    chooser.value.set_files([tmp_path / f"{view}.jpg" for view in truth])
    page.get_by_role("group", name="side.jpg shows the foot").wait_for()
    assert page.get_by_label("Visit").input_value() or VISIT in page.content(), (
        "the day in the file"
    )
    hand.chooses("side.jpg", "Side")
    says(page, "The printed square was found by 4 of its markers")
    for name, by in zip(NEEDED, ("mouse", "touch", "keys", "mouse"), strict=True):
        hand.places(name, truth["side"][name], by, wide, tall)
    says(page, r"All points that are needed are placed\. Saved")
    hand.chooses("below.jpg", "Below")
    says(page, "The printed square was found")
    edge = {f"edge_{number:02d}": truth["below"][name] for number, name in enumerate(EDGE, 1)}
    for name, place in ({name: truth["below"][name] for name in BELOW[2:]} | edge).items():
        hand.places(name, place, "mouse", wide, tall)
    hand.presses("The owner's page")
    page.frame_locator("iframe").get_by_text("What was measured").wait_for()
    found = measure(open_case(folder), read_visit(folder, VISIT))
    assert abs(found.values["toe_angle_deg"] - float(FOOT.toe_angle_deg)) < 1.5
    assert found.visit.outline_mm is not None
    with capsys.disabled():
        print(f"\nfrom two photographs to the page: {hand.actions} actions, {BEFORE} before")
    assert hand.actions <= 2 * BEFORE / 3


def test_the_example_goes_the_same_way(browser: Any, tmp_path: Path, monkeypatch: Any) -> None:
    """The invented example as it comes: its square is plain, so its corners are placed by hand."""
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path / "running"))
    folder = tmp_path / "example"
    practice_case(folder)
    truth = tomllib.loads((folder / "truth" / "true.toml").read_text(encoding="utf-8"))
    side = next(
        each
        for each in truth["photograph"]
        if each["view"] == "side" and each["visit"] == list(EXAMPLE_VISITS)[-1]
    )
    points = {}
    for line in (folder / "truth" / "true_points.csv").read_text(encoding="utf-8").splitlines():
        values = line.split(",")
        if values[0] == side["file"]:
            points[values[1]] = (float(values[2]), float(values[3]))
    with desk_open(folder) as (address, _):
        page = browser.new_page()
        page.goto(address.url("voila/render/measure.ipynb"))
        page.get_by_role("group", name=f"{side['file']} shows the foot").wait_for()
        hand = Counted(page)
        hand.chooses(side["file"], "Side")
        square = page.get_by_label("Side of the printed square, in mm")
        square.fill(f"{side['square_mm']:g}")
        square.press("Tab")
        for name in (*(f"square_{number}" for number in (1, 2, 3, 4)), *NEEDED):
            hand.places(name, points[name], "mouse", side["width_px"], side["height_px"])
        says(page, r"All points that are needed are placed\. .*Saved")
        hand.presses("The owner's page")
        page.frame_locator("iframe").get_by_text("What was measured").wait_for()
        assert not clean(page)
        assert hand.actions <= 10
        page.close()

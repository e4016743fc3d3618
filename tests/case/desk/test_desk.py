"""The measuring desk without a browser: nothing is lost, and every number is that of `measure`."""

from __future__ import annotations

import io
import json
import threading
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from hoofcalc.case.case import Case, add_file, add_visit, new_case, open_case, read_visit
from hoofcalc.case.desk import desk as desk_module
from hoofcalc.case.desk import serving
from hoofcalc.case.desk.desk import Desk, desk, keep_trial
from hoofcalc.case.desk.film_session import FilmSession, StoppedError
from hoofcalc.case.desk.picture_session import PictureSession
from hoofcalc.case.desk.session import CaseSession
from hoofcalc.case.desk.widgets import NumberField
from hoofcalc.case.landmarks import read_picture
from hoofcalc.case.measure import measure
from hoofcalc.case.plan import StoredPlan, read_plan
from hoofcalc.case.storage import CaseError
from hoofcalc.case.synthetic.drawn_film import write_film

VISIT = "2026-04-07"
DAY = date(2026, 4, 7)
WIDE, TALL = 640, 480
#: A foot of which 2 pixels are a millimetre: toe 45 degrees, heel 45 degrees, by construction.
SIDE = {
    "scale_start": (40.0, 100.0),
    "scale_end": (240.0, 100.0),
    "level_start": (20.0, 400.0),
    "level_end": (620.0, 400.0),
    "toe_ground": (420.0, 400.0),
    "toe_coronet": (300.0, 280.0),
    "heel_ground": (200.0, 400.0),
    "heel_coronet": (150.0, 350.0),
}
MARK_START, MARK_STEP, FRAMES = 40.0, 2.0, 40


def picture(seed: int = 0, kind: str = "PNG") -> bytes:
    """Any photograph, as a file."""
    pixels = np.random.default_rng(seed).integers(0, 255, (TALL, WIDE, 3), dtype=np.uint8)
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, kind)
    return file.getvalue()


@pytest.fixture(scope="session")
def film_file(tmp_path_factory) -> Path:
    """A dark spot that goes to the right by two pixels a frame over rough ground."""
    rng = np.random.default_rng(4)
    rough = rng.normal(150, 12, (120, 200, 1)) + np.zeros(3)
    down, right = np.mgrid[:120, :200]

    def frames():
        for number in range(FRAMES):
            far = np.hypot(right - MARK_START - MARK_STEP * number, down - 60.0)
            spot = np.clip(6.5 - far, 0, 1)[..., None]
            yield np.clip(rough * (1 - spot) + 20 * spot, 0, 255).astype(np.uint8)

    path = tmp_path_factory.mktemp("film") / "walk.mp4"
    write_film(path, frames(), 30.0, crf=10)
    return path


@pytest.fixture
def folder(tmp_path) -> Path:
    """A case (invented) with one visit and nothing placed."""
    home = tmp_path / "a case"
    new_case(home, Case(horse="Otterby", foot="right fore", mass_kg=505.0, invented=True))
    add_visit(home, VISIT, {})
    return home


@pytest.fixture
def side(folder) -> PictureSession:
    """The photograph from the side, chosen, no point placed."""
    CaseSession(folder).take_in([("side.png", picture(), None)], VISIT, DAY)[0]
    work = PictureSession(folder, VISIT, "side")
    work.choose("side.png", WIDE, TALL)
    work.set_way("length", 100.0)
    return work


def kept(folder: Path) -> list[str]:
    return sorted(path.name for path in (folder / "kept").rglob("*") if path.is_file())


# ---- visits and files ------------------------------------------------------------------------


def test_files_come_in_byte_for_byte_and_wrong_ones_are_told_by_name(folder):
    hand = CaseSession(folder)
    files = [
        ("IMG_1.png", picture(1), 1_700_000_000.0),
        ("list.pdf", b"%PDF-1.7 no photograph", None),
        ("..\\..\\IMG_2.jpg", picture(2, "JPEG"), None),
        ("empty.jpg", b"", None),
    ]
    said = hand.take_in(files, VISIT, DAY)[0]
    assert hand.pictures(VISIT) == ["IMG_1.png", "IMG_2.jpg"]
    home = folder / "pictures" / VISIT
    assert (home / "IMG_1.png").read_bytes() == files[0][1]
    assert (home / "IMG_2.jpg").read_bytes() == files[2][1]
    assert (home / "IMG_1.png").stat().st_mtime == 1_700_000_000.0
    assert "list.pdf was not added" in said[1]
    assert "PDF" in said[1]
    assert "empty" in said[3]
    assert not any(".being-written" in line for line in said)
    assert not list(folder.glob(".being-written*"))


def test_the_same_photograph_twice_is_one_and_another_of_its_name_is_kept_beside(folder):
    hand = CaseSession(folder)
    hand.take_in([("a.png", picture(1), None)], VISIT, DAY)[0]
    again = hand.take_in([("a.png", picture(1), None), ("a.png", picture(2), None)], VISIT, DAY)[0]
    assert "was there already" in again[0]
    assert hand.pictures(VISIT) == ["a 2.png", "a.png"]


def test_a_second_visit_of_a_day_is_after_the_trim(folder):
    hand = CaseSession(folder)
    day = date(2026, 4, 7)
    assert hand.new_visit(day, "before trim") == VISIT
    assert hand.new_visit(day, "after trim") == f"{VISIT} after trim"
    assert hand.visits() == [VISIT, f"{VISIT} after trim"]
    hand.new_visit(date(2026, 5, 1), "after trim")
    with pytest.raises(CaseError, match="already, after the trim"):
        hand.new_visit(date(2026, 5, 1), "before trim")


def test_the_inner_wall_lies_towards_the_other_leg(tmp_path):
    for foot, side in (("left hind", "left"), ("right fore", "right")):
        home = tmp_path / foot
        new_case(home, Case(horse="Otterby", foot=foot, mass_kg=505.0))
        assert CaseSession(home).inner == side


def test_a_changed_field_of_the_visit_leaves_the_others_and_keeps_the_old_file(folder):
    hand = CaseSession(folder)
    assert hand.change_visit(VISIT, facing="left")
    assert not hand.change_visit(VISIT, facing="left")
    assert hand.visit_fields(VISIT)["facing"] == "left"
    assert hand.visit_fields(VISIT)["date"] == date(2026, 4, 7)
    assert len(kept(folder)) == 1


# ---- points ----------------------------------------------------------------------------------


def test_points_that_were_never_saved_are_there_the_next_day(folder, side):
    placed = {}
    for name, at in SIDE.items():
        placed[name] = at
        side.set_points(1, placed)
    assert read_picture(folder, VISIT, "side") is None, "the visit's own files wait for saving"
    again = PictureSession(folder, VISIT, "side")
    assert again.from_draft
    assert again.points(1) == SIDE
    assert not again.missing()
    again.save()
    assert read_picture(folder, VISIT, "side").placings == (SIDE,)
    assert not PictureSession(folder, VISIT, "side").from_draft
    assert not list((folder / "visits" / VISIT).glob("draft_*"))
    assert kept(folder) == [], "placing points does not flood the folder of kept copies"


@pytest.mark.parametrize("text", ["", "{", "[]", '{"file": 3}', '{"placings": [{"toe": 1}]}'])
def test_a_damaged_draft_is_put_aside_and_what_was_saved_stands(folder, side, text):
    side.set_points(1, SIDE)
    side.save()
    (folder / "visits" / VISIT / "draft_side.json").write_text(text)
    assert PictureSession(folder, VISIT, "side").points(1) == SIDE
    assert any(name.startswith("draft_side") for name in kept(folder))


def test_placing_twice_tells_the_own_error(side):
    side.set_points(1, SIDE)
    assert side.own_error() == ""
    # every point 3 pixels to the right and 4 down: sqrt(mean of 9 and 16 over two) = 2.5
    side.set_points(2, {name: (right + 3, down + 4) for name, (right, down) in SIDE.items()})
    assert "2.5 pixels, about 1.25 mm" in side.own_error()
    fewer = dict(SIDE)
    del fewer["toe_ground"]
    side.set_points(1, fewer)
    assert "toe_ground" not in side.points(2), "a point that is gone is gone from both"


def test_corners_are_drawn_to_their_sharp_edges_in_both_placings(folder, side):
    pixels = np.full((TALL, WIDE, 3), 240, dtype=np.uint8)
    pixels[150:350, 100:300] = 20
    true = {"square_1": (100.0, 350.0), "square_2": (300.0, 350.0)}
    true |= {"square_3": (300.0, 150.0), "square_4": (100.0, 150.0)}
    side.set_way("square", 100.0)
    with pytest.raises(CaseError, match="place the four corners"):
        side.draw_corners(pixels)
    side.set_points(1, {name: (x + 2.0, y - 1.5) for name, (x, y) in true.items()})
    side.set_points(2, {name: (x - 1.0, y + 1.0) for name, (x, y) in true.items()})
    assert "at most 2.0 pixels" in side.draw_corners(pixels)
    for placing in (1, 2):
        for name, at in true.items():
            assert side.points(placing)[name] == pytest.approx(at, abs=0.2)
    assert side.placed.corner_error_px == pytest.approx(0.3)
    side.save()
    assert read_picture(folder, VISIT, "side").corner_error_px == pytest.approx(0.3)
    # a corner moved by hand is a corner placed by hand
    side.set_points(1, {**side.points(1), "square_1": (104.0, 352.0)})
    assert side.placed.corner_error_px is None
    assert "Not every corner" in side.draw_corners(np.full_like(pixels, 128))
    assert side.points(1)["square_1"] == (104.0, 352.0)


def test_another_photograph_begins_anew_and_the_points_of_the_first_are_kept(folder, side):
    side.set_points(1, SIDE)
    side.choose("other.png", WIDE, TALL)
    assert side.points(1) == {}
    side.choose("side.png", WIDE, TALL)
    assert side.points(1) == SIDE, "chosen by mistake, and back"
    side.choose("other.png", WIDE, TALL)
    side.save()
    assert PictureSession(folder, VISIT, "side").placed.file == "side.png", "no point, no change"
    side.choose("other.png", WIDE, TALL)
    side.set_points(1, {"toe_ground": (1.0, 2.0)})
    side.save()
    assert any(name.startswith("side_points") for name in kept(folder))
    with pytest.raises(CaseError, match="placed in one of"):
        side.choose("other.png", WIDE + 2, TALL)


def test_points_outside_the_picture_are_taken_to_its_edge(side):
    side.set_points(1, {"toe_ground": (-5.0, TALL + 30.0), "no such point": (1, 1)})
    assert side.points(1) == {"toe_ground": (0.0, TALL)}


def test_a_third_placing_stands_beside_the_others_and_in_the_draft(folder, side):
    for placing in (1, 2, 3):
        assert side.times() == placing - 1
        side.set_points(placing, {name: (x + placing, y) for name, (x, y) in SIDE.items()})
    assert [side.points(placing)["toe_ground"][0] for placing in (1, 2, 3)] == [421, 422, 423]
    assert "Placed three times, 8 points: your own error of one point is 0.7 pixels" in (
        side.own_error()
    )
    again = PictureSession(folder, VISIT, "side")
    assert len(again.placed.placings) == 3, "a draft holds all three"
    again.set_points(2, {})
    assert again.points(3)["toe_ground"] == (423, 400), "emptying the second leaves the third"


def test_a_size_that_no_horse_has_is_said(side):
    side.set_points(1, SIDE)
    assert side.doubt() == ""
    side.set_way("length", 1000.0)
    assert side.doubt()


def test_a_number_is_shown_as_a_person_would_write_it_and_a_comma_understood():
    field = NumberField("Length, in mm", 10, 3000)
    field.show(30.000000000000107)
    assert field.value == "30"
    field.value = " 150,5 "
    assert field.number == 150.5
    field.value = "5"
    with pytest.raises(CaseError, match=r"must be between 10 and 3000 \(got 5\)"):
        _ = field.number
    field.show(None)
    assert field.number is None


# ---- film ------------------------------------------------------------------------------------


@pytest.fixture
def film(folder, film_file) -> FilmSession:
    """The film, opened, its size known: 1 pixel is 10 mm."""
    add_file(folder, VISIT, "film", film_file)
    work = FilmSession(folder, VISIT)
    assert work.open("walk.mp4") == ""
    work.known(true_fps=240, travel="right", length_mm=1000)
    ends = {"scale_start": (20, 110), "scale_end": (120, 110)}
    work.place(0, {**ends, "level_start": (5, 70), "level_end": (195, 70)})
    yield work
    work.close()


def test_the_mark_is_followed_both_ways_and_hand_marks_stay(film):
    film.place(10, {**film.points(10), "mark": (MARK_START + 10 * MARK_STEP + 0.6, 59.5)})
    film.place(30, {**film.points(30), "mark": (99.0, 61.0)})  # where it is not
    parts = []
    said = film.follow(10, progress=parts.append)
    assert said.startswith(f"Followed through {FRAMES - 2} frames")
    assert parts == sorted(parts)
    assert parts[-1] == pytest.approx(1)
    marked = film.marked
    assert list(marked.frames) == list(range(FRAMES))
    assert marked.by[10] == marked.by[30] == "hand"
    assert marked.places_px[30].tolist() == [99.0, 61.0]
    truth = np.column_stack([MARK_START + MARK_STEP * np.arange(FRAMES), np.full(FRAMES, 60.0)])
    rest = np.arange(FRAMES) != 30
    # the middle of a pixel is half a pixel from its corner
    assert np.abs(marked.places_px - truth)[rest].max() < 1
    assert "9 frames after frame 30" in film.forget_side(30, "after")
    assert list(film.marked.frames) == list(range(31))
    film.forget_side(12, "before")
    assert film.marked.frames[0] == 12
    film.place(2, {**film.points(2), "mark": (MARK_START + 2 * MARK_STEP, 60.0)})
    assert any("missing between frames 2 and 12" in line for line in film.in_words())
    film.forget_followed()
    assert set(film.marked.by) == {"hand"}


def test_following_that_is_stopped_takes_nothing_over(film):
    film.place(0, {**film.points(0), "mark": (MARK_START, 60.0)})
    stop = threading.Event()
    stop.set()
    with pytest.raises(StoppedError):
        film.follow(0, stop=stop)
    assert list(film.marked.frames) == [0]
    with pytest.raises(CaseError, match="place it first"):
        film.follow(3)


def test_contacts_go_in_pairs_and_in_order(film):
    with pytest.raises(CaseError, match="first where the foot comes down"):
        film.leaving(8)
    film.contact(5)
    with pytest.raises(CaseError, match="after it came down"):
        film.leaving(5)
    again = FilmSession(film.folder, film.visit)
    assert again.came_down == 5, "a contact without its leaving is in the draft"
    film.leaving(15)
    with pytest.raises(CaseError, match="in the order of the film"):
        film.contact(12)
    film.contact(25)
    assert "25" in film.forget_contact()
    assert film.marked.stances == ((5.0, 15.0),)
    film.save()
    assert not FilmSession(film.folder, film.visit).from_draft


def test_the_films_numbers_on_screen_are_those_of_measure(folder, film, side):
    side.set_points(1, SIDE)
    side.save()
    film.place(0, {**film.points(0), "mark": (MARK_START, 60.0)})
    film.follow(0)
    for down, up in ((5, 15), (25, 35)):
        film.contact(down)
        film.leaving(up)
    numbers, remarks = film.numbers()
    film.save()
    assert numbers["stance_s"] == pytest.approx(10 / 240)
    assert numbers["duty_factor"] == pytest.approx(0.5)
    assert measure(open_case(folder), read_visit(folder, VISIT)).film == numbers
    assert any("horse's lasts about" in remark for remark in remarks), "the rate is doubted"
    assert any("on the ground: 50" in line for line in film.in_words())


def test_another_film_chosen_by_mistake_loses_no_mark(folder, film, film_file):
    film.place(0, {**film.points(0), "mark": (MARK_START, 60.0)})
    (folder / "film" / VISIT / "other.mp4").write_bytes(film_file.read_bytes())
    film.open("other.mp4")
    assert not len(film.marked.frames)
    film.open("walk.mp4")
    assert list(film.marked.frames) == [0]
    film.open("other.mp4")
    film.save()
    assert FilmSession(folder, VISIT).marked.file == "walk.mp4"


def test_a_damaged_draft_of_the_film_is_put_aside(folder, film):
    film.save()
    (folder / "visits" / VISIT / "draft_film.json").write_text('{"file": "walk.mp4", "by": 3}')
    assert FilmSession(folder, VISIT).marked.true_fps == 240
    assert kept(folder)


# ---- the screen ------------------------------------------------------------------------------


def words(whole) -> str:
    """All that stands on the screen, in HTML."""
    found = getattr(whole, "value", "")
    inner = "".join(words(child) for child in getattr(whole, "children", ()))
    return (found if isinstance(found, str) else "") + inner


def named(whole, called: str):
    """The button of these words."""
    if getattr(whole, "description", "") == called:
        return whole
    found = (named(child, called) for child in getattr(whole, "children", ()))
    return next((each for each in found if each is not None), None)


def test_the_whole_way_on_the_desk_gives_the_numbers_of_measure(folder, monkeypatch):
    whole = Desk(folder)
    press = whole.strip.buttons
    assert "Otterby (invented)" in whole.head.value
    assert whole.foot.value == "right fore"
    assert whole.strip.open_part == "visit", "there is no photograph yet"
    whole.hand.take_in([("side.png", picture(), None)], VISIT, DAY)[0]
    press["photographs"].click()
    part = whole.strip.inside
    assert part.file == "side.png", "there is only this one"
    assert part.thumbs.chosen == {"side": "side.png"}
    assert part.work.placed.way == "square"
    square, stick = part.known.values()
    assert square.value == stick.value == "", "nobody's size is taken without being asked"
    for wrong in ("5", "9999", "a hand"):
        stick.value = wrong
        assert "alert" in part.said.value, wrong
        assert stick.value == wrong, "what was typed is not changed"
    square.value = "90"
    assert part.work.placed.known_mm == 90
    stick.value = "100,0"
    assert square.value == "", "the size is known by the one or the other"
    assert "Length of the stick: 100 mm. 8 points are still needed" in part.said.value
    assert len(part.work.missing()) == 8
    points = {}
    for name, at in SIDE.items():
        points = {**points, name: list(at)}
        part.placing.points = points
    assert "All points that are needed are placed. Saved." in part.said.value
    part.time.value = 2
    assert part.placing.points == {}
    part.placing.points = {name: [right + 1, down] for name, (right, down) in SIDE.items()}
    assert "your own error of one point is 0.5 pixels" in part.own.value
    assert "All points are placed twice. Saved." in part.said.value
    part.time.value = 3
    assert "8 to go" in part.said.value
    part.placing.points = {name: [right, down + 1] for name, (right, down) in SIDE.items()}
    assert len(read_picture(folder, VISIT, "side").placings) == 3
    part.time.value = 1
    assert part.placing.points == {name: list(at) for name, at in SIDE.items()}
    part.facing.value = "left"
    part.facing.value = "right"
    press["film"].click()
    assert "There is no film" in whole.strip.inside.said.value
    assert "hoofcalc-done" in press["photographs"]._dom_classes
    found = measure(open_case(folder), read_visit(folder, VISIT))
    assert found.values["toe_angle_deg"] == pytest.approx(45)
    assert found.values["heel_angle_deg"] == pytest.approx(45)
    assert found.visit.placed_twice
    press["foot"].click()
    assert f"{found.values['toe_angle_deg']:.1f}" in words(whole.strip.inside)
    trial = StoredPlan(work="Tried.", next_visit=date(2026, 5, 19), toe_taken_mm=2)
    keep_trial(whole.hand, VISIT, trial)
    press["page"].click()
    part = whole.strip.inside
    assert part.toe.value == "2"
    part.who.value = "A. Trimmer"
    part.photo.value = True
    part.work.value = "The toe is shortened a little."
    named(part, "Write the page").click()
    assert f"pages/{VISIT}.html" in part.said.value
    assert "iframe" in part.preview.value
    assert (folder / "pages" / f"{VISIT}.pdf").exists()
    assert read_plan(folder, VISIT).work == "The toe is shortened a little."
    assert "Written" in whole.strip.state.value
    page = (folder / "pages" / f"{VISIT}.html").read_text(encoding="utf-8")
    assert "Measured by A. Trimmer." in page
    assert "image/jpeg" in page, "the photograph, as was asked"
    whole.close()


def test_a_film_on_the_desk_is_marked_frame_by_frame(folder, film_file):
    add_file(folder, VISIT, "film", film_file)
    whole = Desk(folder)
    whole.strip.buttons["film"].click()
    part = whole.strip.inside
    assert part.file.value == "walk.mp4", "the only one is opened"
    assert f"{FRAMES} frames, 200 by 120 pixels" in part.said.value
    part.true_fps.value = "240"
    part.placing.points = {"mark": [MARK_START, 60.0]}
    part.slider.value = 3
    assert part.slider.shown == 3
    assert part.placing.points == {}, "the mark of one frame does not stand on another"
    part.slider.value = 0
    assert list(part.placing.points) == ["mark"]
    part.follow.click()
    assert f"Followed through {FRAMES - 1} frames" in part.follow_said.value
    part.task.value = "scale"
    assert [step["name"] for step in part.placing.steps] == [
        "scale_start",
        "scale_end",
        "level_start",
        "level_end",
    ]
    part.placing.points = {"scale_start": [20, 110], "scale_end": [120, 110]}
    assert len(part.work.marked.frames) == FRAMES, "placing the scale leaves the mark"
    part.slider.value = FRAMES - 1
    part._stepper(10)()
    assert part.slider.value == FRAMES - 1
    part.duty.value = "2"
    assert "must be between 0.05 and 0.95" in part.said.value
    part.duty.value = "0,38"
    assert open_case(folder).duty_factor == 0.38
    whole.strip.buttons["film"].click()
    again = FilmSession(folder, VISIT)
    assert len(again.marked.frames) == FRAMES
    assert not again.from_draft
    whole.close()


def test_every_refusal_is_a_sentence_in_place(folder, monkeypatch):
    new = folder.parent / "new"
    new_case(new, Case(horse="Otterby", foot="right fore", mass_kg=505.0))
    whole = Desk(new)
    for name in ("photographs", "film", "foot", "page"):
        whole.show(name)
        assert "Take in the photographs of a visit first" in words(whole.strip.inside)
    whole.show("visit")
    whole.strip.inside.day.value = date(2026, 4, 7)
    named(whole.strip.inside, "Add this visit").click()
    assert "is added" in whole.strip.inside.said.value
    whole.show("foot")
    assert 'role="alert"' in words(whole.strip.inside)
    whole.show("page")
    named(whole.strip.inside, "Write the page").click()
    assert 'role="alert"' in whole.strip.inside.said.value
    (new / "visits" / VISIT / "side.toml").write_text("file = ")
    whole.show("photographs")
    assert "side.toml" in whole.strip.inside.said.value
    whole.close()
    monkeypatch.delenv(serving.CASE_VARIABLE, raising=False)
    assert "No case was given" in desk().value
    monkeypatch.setenv(serving.CASE_VARIABLE, str(new / "nowhere"))
    assert "There is no case" in desk().value
    monkeypatch.setenv(serving.CASE_VARIABLE, str(folder))
    assert isinstance(desk(), Desk)


def test_no_code_is_in_sight_and_nothing_is_fetched_from_elsewhere():
    home = Path(desk_module.__file__).parent
    notebook = json.loads((home / "measure.ipynb").read_text(encoding="utf-8"))
    code = [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]
    assert len(code) == 1
    assert code[0]["metadata"]["jupyter"]["source_hidden"]
    assert not code[0]["outputs"]
    templates = list((home / "jupyter_data").rglob("*"))
    for path in (*templates, *home.glob("*.js"), *home.glob("*.css")):
        if path.is_file():
            text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
            assert "http:" not in text, path
            assert "https:" not in text, path

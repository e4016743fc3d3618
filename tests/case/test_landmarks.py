"""Points placed in photographs, against feet whose millimetres are known by construction."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from dataclasses import replace

import numpy as np
import pytest

from hoofcalc.case.case import (
    Case,
    add_visit,
    day_of,
    new_case,
    read_visit,
    visit_name,
    visit_names,
)
from hoofcalc.case.landmarks import (
    LANDMARKS,
    OPTIONAL,
    POINTS,
    PlacedPicture,
    from_below,
    from_the_front,
    from_the_side,
    missing_points,
    own_point_error_px,
    plane_of,
    read_picture,
    save_picture,
)
from hoofcalc.case.measure import measure
from hoofcalc.case.storage import CaseError
from hoofcalc.profile import Profile, error_of

DAY = "2026-04-07"
FOOT = Profile.from_measures(52, 40, 85, 35, 110)
#: A level picture of 20 px to the millimetre's hundredth part: 8 px/mm, the origin at (900, 2400).
PX_PER_MM = 8.0


def px(at_mm, facing="right"):
    """Where a place of the foot, forward and up [mm], lies in the picture."""
    sign = 1 if facing == "right" else -1
    x, z = np.asarray(at_mm, dtype=float)
    return (2000 + sign * PX_PER_MM * (x - 55), 2400 - PX_PER_MM * z)


def side_points(foot=FOOT, facing="right", way="length"):
    places = {name: px(at, facing) for name, at in foot.landmarks.items()}
    if way == "length":
        places |= {"scale_start": px((0, 120)), "scale_end": px((100, 120))}
        places |= {"level_start": px((-100, 0)), "level_end": px((200, 0))}
    else:
        corners = [(-20, 0), (80, 0), (80, 100), (-20, 100)]
        places |= {f"square_{k}": px(at) for k, at in enumerate(corners, 1)}
    return places


def picture(placings, view="side", way="length", known_mm=100.0):
    return PlacedPicture(
        view=view,
        file="side.jpg",
        width_px=4032,
        height_px=3024,
        way=way,
        known_mm=known_mm,
        placings=tuple(placings),
    )


@pytest.fixture
def folder(tmp_path):
    new_case(tmp_path / "case", Case(horse="Otterby", foot="right fore", mass_kg=505))
    add_visit(tmp_path / "case", DAY, {})
    return tmp_path / "case"


@pytest.mark.parametrize("facing", ["right", "left"])
@pytest.mark.parametrize("way", ["length", "square"])
def test_the_foot_comes_back_from_its_picture(folder, facing, way):
    placed = picture([side_points(facing=facing, way=way)], way=way)
    written = save_picture(folder, DAY, placed)
    assert written == [f"visits/{DAY}/side.toml", f"visits/{DAY}/side_points.csv"]
    assert save_picture(folder, DAY, placed) == []
    back = read_picture(folder, DAY, "side")
    assert back == placed
    seen = from_the_side(back, facing, 1.0)
    for name in ("toe_angle_deg", "heel_angle_deg", "toe_length_mm", "bearing_length_mm"):
        assert getattr(seen.profile, name) == pytest.approx(getattr(FOOT, name), rel=1e-4), name
    assert not seen.twice
    assert seen.point_error_mm == pytest.approx(1.0, rel=1e-3)


def placed_errors(seen):
    """Errors of the placed pixels alone, without the allowance for how the picture was taken."""
    return {name: np.hypot(each["points"], each["frame"]) for name, each in seen.parts.items()}


def test_the_parts_of_an_error_add_up_and_the_square_has_none_of_a_camera_askew():
    for way in ("length", "square"):
        seen = from_the_side(picture([side_points(way=way)], way=way), "right", 0.8)
        for name, parts in seen.parts.items():
            assert np.sqrt(sum(part**2 for part in parts.values())) == pytest.approx(
                seen.errors[name]
            )
            assert ("askew" in parts) == (way == "length")
        # planes that are parallel look alike: angles do not ask how far off the square stands
        assert seen.parts["toe_angle_deg"]["nearer"] == pytest.approx(0, abs=1e-9)


def test_errors_of_angles_are_those_of_the_points_where_the_picture_is_level():
    """A similarity does not change angles: neither scale nor level may add to their error."""
    errors = placed_errors(from_the_side(picture([side_points()]), "right", 0.8))
    # counted from the ground line, whose two ends lie 300 mm apart
    of_level = np.degrees(np.sqrt(2) * 0.8 / 300)
    for end, length_mm in (("toe", 85), ("heel", 35)):
        of_wall = np.degrees(np.sqrt(2) * 0.8 / length_mm)
        expected = np.hypot(of_wall, of_level)
        assert errors[f"{end}_angle_deg"] == pytest.approx(expected, rel=0.01), end
    # in the difference of the two walls the ground line falls out
    gap = np.degrees(np.sqrt(2) * 0.8 * np.hypot(1 / 85, 1 / 35))
    assert errors["angle_gap_deg"] == pytest.approx(gap, rel=0.01)
    # a length carries the error of the known length's two ends as well
    alone = error_of(FOOT, "toe_length_mm", 0.8)
    of_scale = np.sqrt(2) * 0.8 / 100 * FOOT.toe_length_mm
    assert errors["toe_length_mm"] == pytest.approx(np.hypot(alone, of_scale), rel=0.01)


@pytest.mark.parametrize("way", ["length", "square"])
def test_errors_agree_with_placing_the_points_many_times(way):
    """Monte Carlo as in JCGM 101: the scatter of what comes out is the stated standard error."""
    rng = np.random.default_rng(7)
    truth = side_points(way=way)
    spread_px = 4.0
    errors = placed_errors(from_the_side(picture([truth], way=way), "right", spread_px / PX_PER_MM))
    found = {name: [] for name in ("toe_angle_deg", "heel_angle_deg", "toe_length_mm")}
    for _ in range(300):
        moved = {name: tuple(at + rng.normal(0, spread_px, 2)) for name, at in truth.items()}
        foot = from_the_side(picture([moved], way=way), "right", 1.0).profile
        for name, values in found.items():
            values.append(getattr(foot, name))
    for name, values in found.items():
        # the standard deviation of 300 draws is itself known to 4 %
        assert np.std(values) == pytest.approx(errors[name], rel=0.13), name


def test_placing_twice_tells_the_own_error_and_halves_its_square():
    rng = np.random.default_rng(3)
    truth, known = side_points(), []
    for _ in range(40):
        twice = [
            {name: tuple(at + rng.normal(0, 6, 2)) for name, at in truth.items()} for _ in range(2)
        ]
        known.append(own_point_error_px(picture(twice)))
    assert np.sqrt(np.mean(np.square(known))) == pytest.approx(6, rel=0.1)
    seen = from_the_side(picture(twice), "right", 1.0)
    own = own_point_error_px(picture(twice), LANDMARKS)
    assert seen.twice
    # widened by Student's t, for eight differences 2.306 (printed in any table of t)
    mm_per_px = np.hypot(*plane_of(picture(twice)).matrix[0, :2])
    widened = own * mm_per_px / np.sqrt(2) * 2.306 / 1.960
    assert seen.point_error_mm == pytest.approx(widened, rel=1e-3)
    assert own_point_error_px(picture([truth])) is None
    same = own_point_error_px(picture([truth, truth]))
    assert same == 0.25  # two equal placings prove no perfect hand


def test_a_heel_nearer_to_the_camera_is_set_on_the_ground():
    """Seen 5 mm too low, as from a camera above the ground, it stands as steep as it does."""
    low = side_points()
    for name in ("heel_ground", "heel_coronet"):
        x, y = low[name]
        low[name] = (x, y + 5 * PX_PER_MM)
    seen = from_the_side(picture([low]), "right", 0.8)
    assert seen.lifted_mm == pytest.approx(5)
    for name in ("toe_angle_deg", "heel_angle_deg", "heel_length_mm"):
        assert getattr(seen.profile, name) == pytest.approx(getattr(FOOT, name)), name


def test_corners_drawn_to_their_sharp_edges_have_an_error_of_their_own(folder):
    by_hand = picture([side_points(way="square")], way="square")
    drawn = replace(by_hand, corner_error_px=0.3)
    save_picture(folder, DAY, drawn)
    assert read_picture(folder, DAY, "side") == drawn
    wide, narrow = (from_the_side(each, "right", 0.8).errors for each in (by_hand, drawn))
    assert narrow["toe_angle_deg"] < 0.85 * wide["toe_angle_deg"]
    # what is left is the error of the wall's two ends
    assert narrow["toe_angle_deg"] == pytest.approx(np.degrees(np.sqrt(2) * 0.8 / 85), rel=0.02)


def test_front_and_below_come_back():
    front = {"inner_coronet": (1400, 2020), "inner_ground": (1300, 2400)}
    front |= {"outer_coronet": (2200, 2000), "outer_ground": (2300, 2400)}
    frame = {name: at for name, at in side_points().items() if name.startswith(("scale", "level"))}
    sizes, point_error_mm, _ = from_the_front(picture([front | frame], "front"), 0.8)
    assert sizes["medial_height_mm"] == pytest.approx(380 / PX_PER_MM)
    assert sizes["lateral_height_mm"] == pytest.approx(400 / PX_PER_MM)
    assert sizes["ground_width_mm"] == pytest.approx(1000 / PX_PER_MM)
    assert sizes["coronet_width_mm"] == pytest.approx(800 / PX_PER_MM)
    assert point_error_mm == 0.8

    turn = np.radians(73)  # however the foot is held
    rotate = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    edge = np.array([(0, -40), (40, -55), (80, -45), (110, 0), (80, 50), (40, 60), (0, 45)], float)
    # forward is up and left is right in a sole seen with the toe upwards; down_px counts downwards
    shown = {"middle_heel": (0.0, 0.0), "middle_toe": (110.0, 0.0)}
    shown |= {f"edge_{k:02d}": tuple(at) for k, at in enumerate(edge, 1)}
    below = {
        name: tuple(rotate @ (PX_PER_MM * np.array([left, -forward])) + [2000, 1500])
        for name, (forward, left) in shown.items()
    }
    below |= {"scale_start": (100.0, 100.0), "scale_end": (100.0, 900.0)}
    seen_mm = from_below(picture([below], "below"))
    np.testing.assert_allclose(seen_mm, edge, atol=1e-3)


def test_what_is_placed_counts_before_what_was_typed(folder):
    save_picture(folder, DAY, picture([side_points()]))
    visit = read_visit(folder, DAY)  # points.csv is still empty
    assert visit.profile.toe_angle_deg == pytest.approx(52, abs=1e-3)
    # lengths carry the error of the known length itself on top
    assert visit.errors["toe_length_mm"] > 0.01 * 85
    found = measure(Case(horse="Otterby", foot="right fore", mass_kg=505), visit)
    assert found.values["toe_angle_deg"] == pytest.approx(52, abs=1e-3)


def test_another_photograph_never_meets_the_points_of_the_first(folder, monkeypatch):
    save_picture(folder, DAY, picture([side_points()]))
    other = picture([side_points()], known_mm=50.0)
    from hoofcalc.case import storage

    real, calls = storage.put, []

    def dies(*arguments):
        calls.append(arguments)
        if len(calls) == 2:
            raise KeyboardInterrupt
        return real(*arguments)

    monkeypatch.setattr(storage, "put", dies)
    with pytest.raises(KeyboardInterrupt):
        save_picture(folder, DAY, other)
    half = read_picture(folder, DAY, "side")
    assert half.known_mm == 50.0
    assert half.placings == ({},)
    with pytest.raises(CaseError, match="no point is placed yet"):
        read_visit(folder, DAY)
    kept = list((folder / "kept").rglob("side_points*.csv"))
    assert len(kept) == 1  # and the first ones are kept


def test_what_is_missing_is_said(folder):
    points = side_points()
    del points["heel_coronet"]
    placed = picture([points])
    assert missing_points(placed) == ["heel_coronet"]
    save_picture(folder, DAY, placed)
    with pytest.raises(CaseError, match=r"side_points\.csv, field point: heel_coronet still"):
        read_visit(folder, DAY)
    # an unfinished view from the front does not stop the side view from being measured
    save_picture(folder, DAY, picture([side_points()]))
    save_picture(folder, DAY, picture([{"inner_coronet": (10.0, 10.0)}], "front"))
    (remark,) = read_visit(folder, DAY).remarks
    assert "from the front is not used" in remark


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("1,toe_ground", "1,toe_grund"), "line 10, field point: 'toe_grund' is not known"),
        (("1,toe_ground", "0,toe_ground"), "line 10, field placing: must be 1, 2 or 3"),
        (("1,toe_ground", "2,toe_ground"), "toe_ground was placed in placing 2 but not in 1"),
        ((",2400.0\n", ",24000.0\n"), "lies outside the picture (0 to 3024)"),
        (("1,toe_ground", "1,scale_start"), "scale_start stands there twice"),
    ],
)
def test_a_hand_edited_slip_is_named_with_line_and_field(folder, change, said):
    save_picture(folder, DAY, picture([side_points()]))
    path = folder / f"visits/{DAY}/side_points.csv"
    text = path.read_text()
    lines = text.splitlines()
    at = next(k for k, line in enumerate(lines) if "toe_ground" in line) + 1
    assert change[0] in text
    path.write_text(text.replace(*change))
    with pytest.raises(CaseError) as told:
        read_visit(folder, DAY)
    assert said.replace("line 10", f"line {at}") in str(told.value)
    assert "side_points.csv" in str(told.value)


def test_points_exchanged_say_so():
    points = side_points()
    points["toe_ground"], points["heel_ground"] = points["heel_ground"], points["toe_ground"]
    with pytest.raises(CaseError, match="Are toe_ground and heel_ground exchanged"):
        from_the_side(picture([points]), "right", 1.0)
    with pytest.raises(CaseError, match="Is the known length right"):
        from_the_side(picture([side_points()], known_mm=1000.0), "right", 1.0)


def test_every_point_has_one_place_in_the_order():
    for view, names in POINTS.items():
        assert len(set(names)) == len(names), view
    assert set(LANDMARKS[4:]) <= OPTIONAL
    assert not set(LANDMARKS[:4]) & OPTIONAL


def test_two_visits_of_one_day(folder):
    assert visit_name(folder, day_of(DAY), "before trim") == DAY
    after = visit_name(folder, day_of(DAY), "after trim")
    assert after == f"{DAY} after trim"
    add_visit(folder, after, {})
    assert visit_names(folder) == [DAY, after]
    save_picture(folder, after, picture([side_points()]))
    visit = read_visit(folder, after)
    assert (visit.moment, visit.name, str(visit.date)) == ("after trim", after, DAY)
    toml = folder / f"visits/{after}/visit.toml"
    toml.write_text(toml.read_text().replace('"after trim"', '"before trim"'))
    with pytest.raises(CaseError, match="field moment: is before trim, but the folder is named"):
        read_visit(folder, after)


@pytest.mark.slow
def test_killed_while_points_are_saved_the_case_opens(placed_case):
    """The process dies at any moment of saving now these points, now those, and a film."""
    day = visit_names(placed_case)[-1]
    code = (
        "import itertools, sys\n"
        "from dataclasses import replace\n"
        "from pathlib import Path\n"
        "from hoofcalc.case.tracking import read_film, save_film\n"
        "from hoofcalc.case.landmarks import read_picture, save_picture\n"
        "folder, day = Path(sys.argv[1]), sys.argv[2]\n"
        "side, film = read_picture(folder, day, 'side'), read_film(folder, day)\n"
        "print('ready', flush=True)\n"
        "for k in itertools.count():\n"
        "    x, y = side.placings[0]['toe_ground']\n"
        "    moved = {**side.placings[0], 'toe_ground': (x + k % 7, y)}\n"
        "    save_picture(folder, day, replace(side, placings=(moved, *side.placings[1:])))\n"
        "    save_film(folder, day, replace(film, point_error_px=0.5 + k % 3))\n"
    )
    chance = random.Random(8)
    for _ in range(8):
        words = [sys.executable, "-c", code, str(placed_case), day]
        saving = subprocess.Popen(words, stdout=subprocess.PIPE)
        saving.stdout.readline()
        time.sleep(chance.uniform(0.005, 0.2))
        assert saving.poll() is None, "it ended before it was killed"
        saving.kill()
        saving.communicate()
        visit = read_visit(placed_case, day)
        assert visit.track is not None
        assert 30 < visit.profile.bearing_length_mm < 300
    assert list((placed_case / "kept").rglob("side_points*.csv"))

"""The whole way of a case without a screen: made, filled, measured, compared, explained."""

from __future__ import annotations

import csv
import io
import math
import os
import random
import subprocess
import sys
import time
import tomllib
from datetime import date

import numpy as np
import pytest
from PIL import Image

from hoofcalc import datasets
from hoofcalc.case import case as case_module
from hoofcalc.case.case import (
    CASE_FIELDS,
    TABLES,
    VISIT_FIELDS,
    open_case,
    plain_page,
    read_visit,
    visit_names,
)
from hoofcalc.case.synthetic.drawn_film import write_film
from hoofcalc.cli import main

# the case of conftest.py
HORSE, FOOT = "Otterby", "right fore"
DAYS, NUMBERS = ("2026-04-09", "2026-10-01"), (1, 4)

JPEG = b"\xff\xd8\xff\xe1 a photograph with its place: 51N 3W \xff\xd9"
HEIC = b"\x00\x00\x00\x18ftypmif1\x00\x00\x00\x00mif1heic and the rest"
MP4 = b"\x00\x00\x00\x18ftypmp42\x00\x00\x00\x00isommp42 and the rest"


def small_photograph(kind: str, remark: bytes = b"") -> bytes:
    """A grey photograph that can be opened, with what a camera wrote into it."""
    file = io.BytesIO()
    options = {"exif": b"Exif\0\0II*\0\x08\0\0\0\0\0\0\0\0\0" + remark} if remark else {}
    Image.new("RGB", (200, 160), "grey").save(file, kind, **options)
    return file.getvalue()


def run(capsys, *words) -> tuple[int, str, str]:
    code = main(["case", *map(str, words)])
    out, err = capsys.readouterr()
    assert "Traceback" not in err
    return code, out, err


def measured(case, day) -> dict:
    return tomllib.loads((case / "visits" / day / "measured.toml").read_text(encoding="utf-8"))


def test_the_whole_way_and_the_same_numbers_again(case, tmp_path, tables, lay_out, files, capsys):
    for day in DAYS:
        assert run(capsys, case, "measure", day)[0] == 0
    assert run(capsys, case, "compare")[0] == 0
    assert run(capsys, case, "page")[0] == 0
    first = files(case)
    for day in DAYS:
        run(capsys, case, "measure", day)
    run(capsys, case, "page")
    assert files(case) == first, "a second run changed something, or kept copies of equals"

    again = lay_out(tmp_path / "again", tables)
    for day in DAYS:
        run(capsys, again, "measure", day)
    run(capsys, again, "page")
    assert files(again) == first, "the same points gave other numbers in another folder"


def test_angles_and_their_changes_are_those_of_the_points(case, capsys):
    seen = {}
    for day, number in zip(DAYS, NUMBERS, strict=True):
        run(capsys, case, "measure", day)
        at = datasets.foot(HORSE, FOOT, number).landmarks

        def slope(low, high, at=at):
            x, z = at[high] - at[low]
            return math.degrees(math.atan2(z, x))

        level = slope("heel_ground", "toe_ground")
        seen[day] = {
            "toe_angle_deg": 180 - slope("toe_ground", "toe_coronet") + level,
            "heel_angle_deg": 180 - slope("heel_ground", "heel_coronet") + level,
        }
        for name, value in seen[day].items():
            assert measured(case, day)["measures"][name] == pytest.approx(value, abs=1e-9)
    _, out, _ = run(capsys, case, "compare", *DAYS)
    fell = seen[DAYS[0]]["heel_angle_deg"] - seen[DAYS[1]]["heel_angle_deg"]
    (line,) = [line for line in out.splitlines() if "heel angle" in line]
    assert f"heel angle {abs(fell):.1f} degrees {'less' if fell > 0 else 'more'}" in line


def test_the_film_gives_the_duty_factor_of_the_push(case, capsys):
    run(capsys, case, "measure", DAYS[1])
    found = measured(case, DAYS[1])
    truth = datasets.track_truth("trot", "fore")
    film = found["film"]
    assert abs(film["stride_s"] - truth.stride_s) < 4 * film["stride_s_error"] + 0.002
    assert abs(film["landing_speed_m_s"] - truth.landing_speed_m_s) < (
        3 * film["landing_speed_m_s_error"]
    )
    assert found["push"]["duty_factor"] == film["duty_factor"]


def test_the_load_map_carries_the_wall_s_part_of_the_push(case, capsys):
    run(capsys, case, "measure", DAYS[1])
    with (case / "visits" / DAYS[1] / "load_map.csv").open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(line for line in stream if not line.startswith("#")))
    middle = [row for row in rows if float(row["stance_percent"]) == 50]
    # frog, bars and sole carry a fifth (a choice of the model); each strip's push is whole
    whole = sum(math.hypot(float(row["along_n"]), float(row["across_n"])) for row in middle)
    assert whole == pytest.approx(
        0.8 * measured(case, DAYS[1])["push"]["peak_vertical_n"], rel=0.01
    )


def test_a_foot_that_looks_left_measures_the_same(case, tmp_path, capsys):
    mirrored = tmp_path / "mirrored.csv"
    lines = (case / "visits" / DAYS[0] / "points.csv").read_text(encoding="utf-8").splitlines()
    turned = [lines[0]]
    for line in lines[1:]:
        name, right, up = line.split(",")
        turned.append(f"{name},{-float(right)!r},{up}")
    mirrored.write_text("\n".join(turned), encoding="utf-8")
    day = "2026-05-01"
    assert run(capsys, case, "add-visit", day, "--points", mirrored, "--facing", "left")[0] == 0
    for which in (day, DAYS[0]):
        run(capsys, case, "measure", which)
    assert measured(case, day)["measures"] == measured(case, DAYS[0])["measures"]
    code, _, err = run(capsys, case, "add-visit", "2026-05-02", "--points", mirrored)
    assert code == 1
    assert 'facing = "left"' in err


def test_without_a_duty_factor_the_load_map_is_left_out_and_the_old_one_kept(case, capsys):
    run(capsys, case, "measure", DAYS[1])
    assert (case / "visits" / DAYS[1] / "load_map.csv").exists()
    (case / "visits" / DAYS[1] / "track.csv").unlink()
    code, out, _ = run(capsys, case, "measure", DAYS[1])
    assert code == 0
    assert "No load map" in out
    assert not (case / "visits" / DAYS[1] / "load_map.csv").exists()
    assert list((case / "kept" / "visits" / DAYS[1]).glob("load_map (until *).csv"))


def test_a_table_that_is_replaced_is_kept(case, tables, capsys):
    old = (case / "visits" / DAYS[0] / "points.csv").read_bytes()
    assert run(capsys, case, "add-visit", DAYS[0], "--points", tables["points-4"])[0] == 0
    (kept,) = (case / "kept" / "visits" / DAYS[0]).iterdir()
    assert kept.read_bytes() == old
    assert (case / "visits" / DAYS[0] / "points.csv").read_bytes() == tables[
        "points-4"
    ].read_bytes()


def test_points_can_be_filled_in_by_hand(tmp_path, capsys):
    folder = tmp_path / "case"
    run(capsys, folder, "new", "--horse", "Hobnut", "--foot", "left fore", "--mass-kg", "330")
    run(capsys, folder, "add-visit", DAYS[0])
    code, _, err = run(capsys, folder, "measure")
    assert code == 1
    assert f"visits/{DAYS[0]}: no point is placed or typed in yet" in err
    code, out, err = run(capsys, folder)
    assert code == 1
    assert "not ready" in out
    points = folder / "visits" / DAYS[0] / "points.csv"
    text = points.read_text(encoding="utf-8")
    for name, at in (
        ("toe_ground", "110,0"),
        ("toe_coronet", "58,67"),
        ("heel_ground", "0,0"),
        ("heel_coronet", "-25,24"),
    ):
        points.write_text(text, encoding="utf-8")
        text = text.replace(f"{name},,", f"{name},{at}")
    code, _, err = run(capsys, folder, "measure")
    assert f"visits/{DAYS[0]}/points.csv, line 6, field right_mm: is empty" in err
    points.write_text(text, encoding="utf-8")
    code, out, _ = run(capsys, folder, "measure")
    assert code == 0
    assert "52.2" in out  # atan(67 / 52)


def test_pictures_and_film_come_in_untouched_and_never_over_another(case, tmp_path, files, capsys):
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    jpeg, png = small_photograph("JPEG", b" taken at 51N 3W "), small_photograph("PNG")
    grey = [np.full((180, 320, 3), 20 * number, np.uint8) for number in range(8)]
    write_film(inbox / "trot.mp4", grey, 30)
    write_film(inbox / "walk.mov", grey[1:], 30)
    sent = {"side.jpg": jpeg, "front.png": png, "odd.txt": jpeg}
    reels = {name: (inbox / name).read_bytes() for name in ("trot.mp4", "walk.mov")}
    for name, content in {**sent, **reels}.items():
        (inbox / name).write_bytes(content)
        os.utime(inbox / name, (1_700_000_000, 1_700_000_000))
    words = [word for name in sent for word in ("--picture", inbox / name)]
    words += [word for name in reels for word in ("--film", inbox / name)]
    assert run(capsys, case, "add-visit", DAYS[0], *words)[0] == 0
    before = files(case)
    for part, held in (("pictures", sent), ("film", reels)):
        for name, content in held.items():
            assert (inbox / name).read_bytes() == content
            if name != "odd.txt":
                assert before[f"{part}/{DAYS[0]}/{name}"] == content
    assert run(capsys, case, "add-visit", DAYS[0], *words)[0] == 0
    assert files(case) == before, "the same photographs were laid in twice"

    (inbox / "side.jpg").write_bytes(jpeg + b"another day")
    assert run(capsys, case, "add-visit", DAYS[0], "--picture", inbox / "side.jpg")[0] == 0
    assert files(case)[f"pictures/{DAYS[0]}/side.jpg"] == jpeg
    assert files(case)[f"pictures/{DAYS[0]}/side 2.jpg"] == jpeg + b"another day"

    # what the camera wrote into a photograph is found in no other file
    run(capsys, case, "measure", DAYS[0])
    run(capsys, case, "page", DAYS[0])
    for place, content in files(case).items():
        assert b"51N 3W" not in content or place.startswith("pictures/"), place


def test_a_damaged_file_is_refused_and_the_others_are_taken(case, tmp_path, files, capsys):
    whole, torn = tmp_path / "side.png", tmp_path / "front.png"
    whole.write_bytes(small_photograph("PNG"))
    torn.write_bytes(small_photograph("PNG")[:-40])
    reel = tmp_path / "trot.mp4"
    reel.write_bytes(MP4)
    words = ["--picture", torn, "--picture", whole, "--film", reel]
    code, out, err = run(capsys, case, "add-visit", "2026-06-01", *words)
    assert code == 1
    assert "pictures/2026-06-01/side.png" in out
    assert "front.png is damaged or was cut off" in err
    assert err.count("It was not taken.") == 2
    held = files(case)
    assert "pictures/2026-06-01/side.png" in held
    assert not any(name.endswith(("front.png", "trot.mp4")) for name in held)
    assert "1 picture, 0 films" in run(capsys, case)[1]


@pytest.mark.parametrize(
    ("content", "option", "says"),
    [
        (b"", "--picture", "is empty"),
        (b"%PDF-1.7 a letter", "--picture", "this is a PDF"),
        (b"<html>a link</html>", "--picture", "a web page"),
        (MP4, "--picture", "JPEG, PNG, HEIC, AVIF or WebP is needed"),
        (b"\xff\xd8", "--picture", "JPEG, PNG, HEIC, AVIF or WebP is needed"),
        (HEIC, "--film", "MP4, MOV, AVI or WebM is needed"),
        (JPEG, "--film", "MP4, MOV, AVI or WebM is needed"),
        (None, "--picture", "is not there"),
    ],
)
def test_what_is_no_picture_is_refused_by_its_content(
    case, tmp_path, files, capsys, content, option, says
):
    path = tmp_path / "side.jpg"
    if content is not None:
        path.write_bytes(content)
    before = files(case)
    code, _, err = run(capsys, case, "add-visit", "2026-06-01", option, path)
    assert code == 1
    assert says in err
    assert "side.jpg" in err
    assert files(case) == before


def test_slips_in_the_call_are_told_in_words(case, tmp_path, files, capsys):
    here = str(case)
    for words, says in (
        ([here, "new", "--horse", "X", "--foot", "left fore", "--mass-kg", "500"], "case already"),
        ([str(tmp_path / "none"), "measure"], "there is no case"),
        ([here, "measure", "2026-01-01"], "there is no visit of 2026-01-01"),
        ([here, "compare", DAYS[0]], "two visits are needed"),
        ([here, "compare", DAYS[0], DAYS[0]], "two different visits"),
        ([here, "add-visit", "2999-01-01"], "still to come"),
        ([here, "add-visit", DAYS[0], "--note", "later"], "is there already"),
        ([here, "add-visit", "2026-05-01", "--point-error-mm", "0"], "between 0.05 and 20"),
        ([here, "add-visit", "2026-05-01", "--ground-width-mm", "120"], "coronet_width_mm"),
    ):
        before = files(case)
        code, _, err = run(capsys, *words)
        assert code == 1, words
        assert says in err, (words, err)
        assert files(case) == before, words
    new = [str(tmp_path / "new"), "new", "--horse", "X", "--foot"]
    for rest, says in (
        (["near fore", "--mass-kg", "500"], "must be one of"),
        (["left fore", "--mass-kg", "5"], "between 20 and 1500"),
        (["left fore", "--mass-kg", "nan"], "between 20 and 1500"),
        (["left fore", "--mass-kg", "500", "--note", "two\nlines"], "one line of at most"),
        (["left fore", "--mass-kg", "500", "--note", "bad \udcff byte"], "one line of at most"),
        (["left fore", "--mass-kg", "500", "--gait", "canter"], "field lead"),
    ):
        code, _, err = run(capsys, *new, *rest)
        assert code == 1
        assert says in err
    for words in (["add-visit", "7.4.2026"], ["measure", "2026-02-30"], ["dance"]):
        with pytest.raises(SystemExit) as stopped:
            main(["case", here, *words])
        assert stopped.value.code == 2
    capsys.readouterr()
    with pytest.raises(SystemExit):  # a thousand, or one and a half?
        main(["case", str(tmp_path / "n"), *new[1:], "left fore", "--mass-kg", "1,505"])
    assert "decimals with a point" in capsys.readouterr().err
    assert run(capsys, tmp_path / "n", *new[1:], "left fore", "--mass-kg", "505,5")[0] == 0
    assert open_case(tmp_path / "n").mass_kg == 505.5


def test_canter_uses_the_lead(tmp_path, tables, capsys):
    peaks = {}
    for lead in ("left", "right"):
        folder = tmp_path / lead
        words = ["--mass-kg", "505", "--gait", "canter", "--lead", lead, "--duty-factor", "0.35"]
        run(capsys, folder, "new", "--horse", HORSE, "--foot", FOOT, *words)
        run(capsys, folder, "add-visit", DAYS[0], "--points", tables["points-1"])
        assert run(capsys, folder, "measure")[0] == 0
        peaks[lead] = measured(folder, DAYS[0])["push"]["peak_vertical_n"]
    assert peaks["left"] != peaks["right"]


def _replace(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.parametrize(
    ("name", "old", "new", "says"),
    [
        ("visit.toml", "date = 2026-10-01", "date = 2026-10-02", "folder is named 2026-10-01"),
        ("visit.toml", "film_ground_mm = 10.0", "", "field film_ground_mm: is missing"),
        ("visit.toml", "# ground_width_mm = 124.0", "ground_width_mm = 60", "coronet_width_mm"),
        (
            "visit.toml",
            "film_ground_mm = 10.0\n\n# Film: standard deviation of each coordinate of the mark, "
            "in mm; needed with a track.\nfilm_point_error_mm = 1.0",
            "",
            "a track needs the height",
        ),
        ("visit.toml", 'facing = "right"', 'facing = "left"', 'facing = "right" meant'),
        ("visit.toml", 'facing = "right"', "facing = true", "must be text in quotes"),
        ("visit.toml", "date = 2026-10-01", "date = 1789-10-01", "from 1990 to 2100"),
        ("visit.toml", "point_error_mm = 0.8", "point_error_mm =", "has no value"),
        ("visit.toml", "point_error_mm = 0.8", "point_error = 0.8", "is point_error_mm meant"),
        ("points.csv", "point,right_mm", "point,right_mm,right_mm", "stands there twice"),
        ("points.csv", "point,right_mm,up_mm", "point,right_mm", "the column is missing"),
        ("points.csv", "bulb,", "bulk,", "'bulk' is not known"),
        ("points.csv", "toe_ground", "#toe_ground", "toe_ground is missing"),
        ("track.csv", ",second_up_mm", "", "values where 4 are needed"),
        ("wall_lines.csv", "109.0,11.0", "72.6,55.7", "the line has no length"),
        ("wall_lines.csv", "toe,109.0", ",109.0", "field region: is empty"),
    ],
)
def test_what_does_not_fit_is_named(case, files, capsys, name, old, new, says):
    _replace(case / "visits" / DAYS[1] / name, old, new)
    before = files(case)
    code, _, err = run(capsys, case, "measure")
    assert code == 1
    assert says in err
    assert f"visits/{DAYS[1]}" in err
    assert files(case) == before


def test_an_edge_that_makes_no_foot_costs_the_load_map_only(case, capsys):
    run(capsys, case, "measure")
    whole = measured(case, DAYS[1])
    _replace(case / "visits" / DAYS[1] / "outline.csv", "\n12.0,", "\n-912.0,")
    code, out, _ = run(capsys, case, "measure")
    assert code == 0
    assert f"No load map: visits/{DAYS[1]}, outline.csv: " in out
    rest = measured(case, DAYS[1])
    assert "push" not in rest
    assert rest["measures"] == whole["measures"]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("invented = true", 'invented = "yes"', "must be true or false"),
        ('horse = "Otterby"', 'horse = " "', "must not be empty"),
        ('horse = "Otterby"', 'horse = "Otter\\nby"', "one line of at most"),
        ("mass_kg = 505.0", 'mass_kg = "505"', "a number without quotes"),
        ("version = 2", "version = 3", "must be 2 (got 3)"),
        ("foot", "foot is right\nfoot", "each line is name = value"),
    ],
)
def test_a_slip_in_the_case_itself_is_named(case, capsys, old, new, says):
    text = (case / "case.toml").read_text(encoding="utf-8")
    (case / "case.toml").write_text(
        "\n".join(line.replace(old, new) if line[:1] != "#" else line for line in text.split("\n")),
        encoding="utf-8",
    )
    code, _, err = run(capsys, case)
    assert code == 1
    assert err.startswith("case.toml, line ")
    assert says in err


def test_a_second_mark_needs_both_columns(case, capsys):
    track = case / "visits" / DAYS[1] / "track.csv"
    rows = [line.rsplit(",", 1)[0] for line in track.read_text(encoding="utf-8").splitlines()]
    track.write_text("\n".join(rows), encoding="utf-8")
    code, _, err = run(capsys, case, "measure")
    assert code == 1
    assert "second_forward_mm and second_up_mm go together" in err


def test_a_film_that_cannot_tell_says_so_and_the_rest_is_measured(case, capsys):
    track = case / "visits" / DAYS[1] / "track.csv"
    rows = [line.split(",") for line in track.read_text(encoding="utf-8").splitlines()]
    slow = [",".join(row[:3]) for row in [rows[0], *rows[1::8]]]  # 30 frames a second, one mark
    track.write_text("\n".join(slow), encoding="utf-8")
    code, out, _ = run(capsys, case, "measure")
    assert code == 0
    assert "The film does not tell how the foot lands" in out
    assert "landing_speed_m_s" not in measured(case, DAYS[1])["film"]
    assert measured(case, DAYS[1])["measures"]["toe_angle_deg"] > 0


def test_without_an_outline_left_is_not_told_from_right(case, capsys):
    (case / "visits" / DAYS[1] / "outline.csv").unlink()
    _, out, _ = run(capsys, case, "measure")
    assert "No outline from below" in out
    assert "right heel" not in out
    assert "left heel" not in out


def test_a_trim_between_two_photographs_is_said_beside_the_comparison(case, capsys):
    _replace(case / "visits" / DAYS[1] / "visit.toml", '"before trim"', '"after trim"')
    code, out, _ = run(capsys, case, "compare")
    assert code == 0
    assert "The trim itself is part of every difference" in out
    code, out, _ = run(capsys, case, "page")
    assert code == 0
    page = (case / "pages" / f"{DAYS[1]}.html").read_text(encoding="utf-8")
    assert "after the trim" in page
    assert "Since last time" not in page  # that was before its trim: no like for like


def test_widths_from_the_front_enter_the_load_map(case, capsys):
    run(capsys, case, "measure")
    without = measured(case, DAYS[1])
    visit = case / "visits" / DAYS[1] / "visit.toml"
    for name in ("ground_width_mm", "coronet_width_mm", "medial_height_mm", "lateral_height_mm"):
        _replace(visit, f"# {name}", name)
    assert run(capsys, case, "measure")[0] == 0
    found = measured(case, DAYS[1])
    assert found["push"] != without["push"]
    assert found["measures"] == without["measures"]
    assert len(found["findings"]) == len(without["findings"]) + 1
    assert "No widths" not in str(found["remarks"])


def test_a_bad_table_keeps_the_photographs_out_too(case, tmp_path, files, capsys):
    (tmp_path / "side.jpg").write_bytes(JPEG)
    (tmp_path / "mine.csv").write_text("point;right_mm;up_mm", encoding="utf-8")
    before = files(case)
    words = ["--picture", tmp_path / "side.jpg", "--points", tmp_path / "mine.csv"]
    code, _, err = run(capsys, case, "add-visit", "2026-05-01", *words)
    assert code == 1
    assert "mine.csv, line 1" in err
    assert files(case) == before


def test_a_case_does_not_take_the_place_of_a_file(tmp_path, capsys):
    path = tmp_path / "case"
    path.write_text("a letter", encoding="utf-8")
    words = ["new", "--horse", "X", "--foot", "left fore", "--mass-kg", "500"]
    code, _, err = run(capsys, path, *words)
    assert code == 1
    assert "is a file" in err
    assert path.read_text(encoding="utf-8") == "a letter"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write all")
def test_a_folder_that_cannot_be_written_is_told(case, capsys):
    (case / "visits").chmod(0o500)
    code, _, err = run(capsys, case, "add-visit", "2026-05-01")
    (case / "visits").chmod(0o700)
    assert code == 1
    assert "cannot be read or written" in err


def test_a_full_disk_leaves_the_case_as_it_was(case, tables, files, capsys, monkeypatch):
    write_film(tables["points-1"].with_name("reel.mov"), [np.zeros((90, 160, 3), np.uint8)] * 3, 30)
    before = files(case)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    for words in (
        ["add-visit", "2026-05-01", "--points", tables["points-1"]],
        ["add-visit", DAYS[0], "--points", tables["points-4"]],
        ["add-visit", DAYS[0], "--film", tables["points-1"].with_name("reel.mov")],
        ["measure"],
    ):
        code, _, err = run(capsys, case, *words)
        assert code == 1
        assert "No space left" in err
        assert files(case) == before


@pytest.mark.parametrize("action", [[], ["new"], ["add-visit"], ["measure"], ["compare"], ["page"]])
def test_every_help_is_there(action, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["case", "somewhere", *action, "--help"] if action else ["case", "--help"])
    assert stopped.value.code == 0
    assert len(capsys.readouterr().out) > 150


def test_the_plain_page_names_every_field_and_every_file(case):
    page = plain_page()
    assert (case / "README.txt").read_text(encoding="utf-8") == page
    for field in (*CASE_FIELDS, *VISIT_FIELDS):
        assert f"  {field.name}: " in page
    for name, columns in TABLES.items():
        assert name in page
        assert name in case_module.__doc__
        for column in columns:
            assert f"  {column.name}: " in page


@pytest.mark.parametrize("step", ["mkstemp", "fsync", "replace", "rename"])
@pytest.mark.parametrize("after", [0, 1])
def test_killed_in_the_middle_of_a_save_the_case_opens(case, tables, capsys, step, after):
    """The process dies, as if the power went, at the first or second `step` of a save."""
    code = (
        "import os, sys, tempfile\n"
        "from pathlib import Path\n"
        "from hoofcalc.cli import main\n"
        f"home, name = {{'mkstemp': (tempfile, 'mkstemp'), 'fsync': (os, 'fsync'),"
        f" 'replace': (Path, 'replace'), 'rename': (os, 'rename')}}[{step!r}]\n"
        "real, seen = getattr(home, name), []\n"
        "def dies(*a, **k):\n"
        "    seen.append(1)\n"
        f"    if len(seen) > {after}: os._exit(9)\n"
        "    return real(*a, **k)\n"
        "setattr(home, name, dies)\n"
        "main(sys.argv[1:4] + [sys.argv[4], '--points', sys.argv[5]])\n"
        "main(sys.argv[1:4] + ['2026-08-01', '--points', sys.argv[5]])\n"
    )
    before = (case / "visits" / DAYS[0] / "points.csv").read_bytes()
    new = tables["points-4"].read_bytes()
    words = ["case", str(case), "add-visit", DAYS[0], str(tables["points-4"])]
    done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, check=False)
    assert done.returncode == 9 or (step, after) == ("rename", 1)
    assert (case / "visits" / DAYS[0] / "points.csv").read_bytes() in (before, new)
    for day in DAYS:
        read_visit(case, date.fromisoformat(day))
    assert run(capsys, case)[0] == 0
    assert run(capsys, case, "measure")[0] == 0


@pytest.mark.slow
def test_killed_at_any_moment_the_case_opens_and_nothing_is_lost(case, tables):
    """A process that saves without pause is killed again and again, whatever it is doing."""
    code = (
        "import sys, datetime\n"
        "from pathlib import Path\n"
        "from hoofcalc.case.case import add_visit\n"
        "case, first, number = Path(sys.argv[1]), datetime.date(1990, 1, 1), int(sys.argv[2])\n"
        "print('saving', flush=True)\n"
        "for i in range(10_000):\n"
        f"    day = datetime.date.fromisoformat({DAYS[0]!r})\n"
        "    add_visit(case, day, {}, {'points.csv': Path(sys.argv[3 + i % 2])})\n"
        "    new = first + datetime.timedelta(1000 * number + i)\n"
        "    add_visit(case, new, {}, {'points.csv': Path(sys.argv[3])})\n"
    )
    brought = [tables["points-1"], tables["points-4"]]
    good = {path.read_bytes() for path in brought}
    chance = random.Random(5)
    for number in range(20):
        words = [str(case), str(number), *map(str, brought)]
        saving = subprocess.Popen([sys.executable, "-c", code, *words], stdout=subprocess.PIPE)
        saving.stdout.readline()
        time.sleep(chance.uniform(0.005, 0.2))
        assert saving.poll() is None, "it ended before it was killed"
        saving.kill()
        saving.communicate()
        for day in visit_names(case):
            read_visit(case, day)
    everything = list(case.glob("visits/*/points.csv")) + list(case.glob("kept/**/*.csv"))
    assert len(everything) > 40
    assert {path.read_bytes() for path in everything} == good

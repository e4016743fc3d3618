"""What a record holds is what was seen: copies compared, both sides warned of, errors in full."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from hoofcalc import capsule
from hoofcalc._constants import VET_CAUTION
from hoofcalc.case import storage, tracker
from hoofcalc.case.allowance import ASKEW
from hoofcalc.case.case import open_case, read_visit, visit_toml
from hoofcalc.case.landmarks import from_the_front, read_picture, save_picture
from hoofcalc.case.markup import text
from hoofcalc.case.measure import compare_visits, measure
from hoofcalc.case.storage import CaseError, add_copy
from hoofcalc.cli import main

FIRST, DAY = "2026-04-09", "2026-10-01"


def test_a_copy_that_differs_from_its_original_is_refused(tmp_path, monkeypatch):
    """A disk that writes something else without a word, time and all: nothing is left behind."""
    source = tmp_path / "IMG_1.jpg"
    source.write_bytes(bytes(range(256)) * 20)

    def one_bit_wrong(original, stream, _length):
        content = bytearray(original.read())
        content[777] ^= 1
        stream.write(content)
        stream.flush()
        os.utime(stream.name, ns=(source.stat().st_atime_ns, source.stat().st_mtime_ns))

    monkeypatch.setattr(storage.shutil, "copyfileobj", one_bit_wrong)
    with pytest.raises(CaseError, match="differs from the original"):
        add_copy(source, tmp_path / "into")
    assert not list((tmp_path / "into").iterdir())


@pytest.mark.parametrize("lower_px", [-24.0, 24.0])
def test_a_foot_that_leans_is_told_to_whichever_side_it_leans(case, level_side, lower_px):
    """24 px of 880 are 1.6 degrees: above what a word is worth, with the heel low or high."""
    places = dict(level_side.placings[0])
    for name in ("heel_ground", "heel_coronet"):
        places[name] = (places[name][0], places[name][1] + lower_px)
    save_picture(case, DAY, replace(level_side, placings=(places,)))
    assert "do not lie level, by 1.6 degrees" in " ".join(read_visit(case, DAY).remarks)


def test_the_difference_of_two_heights_holds_the_errors_of_four_points(case, level_side):
    """Stated once as 1 mm a point: four independent ones make the square root of four."""
    save_picture(case, FIRST, level_side)
    frame = {k: at for k, at in level_side.placings[0].items() if k.startswith(("scale", "level"))}
    front = {"inner_coronet": (1500.0, 1970.0), "inner_ground": (1400.0, 2400.0)}
    front |= {"outer_coronet": (2300.0, 1970.0), "outer_ground": (2400.0, 2400.0)}
    save_picture(case, FIRST, replace(level_side, view="front", placings=(front | frame,)))
    fields = {"date": date(2026, 4, 9), "moment": "before trim", "facing": "right"}
    fields |= {"version": 2, "point_error_mm": 1.0, "scale_error_percent": 0.0}
    (case / "visits" / FIRST / "visit.toml").write_bytes(visit_toml(fields))
    errors = read_visit(case, FIRST).errors
    _, _, taken_mm = from_the_front(read_picture(case, FIRST, "front"), 1.0)
    of_points = np.sqrt(errors["side_difference_mm"] ** 2 - taken_mm**2)
    one_of_four = np.random.default_rng(3).normal(size=(4, 200_000))
    apart = one_of_four[0] - one_of_four[1] - one_of_four[2] + one_of_four[3]
    assert of_points == pytest.approx(apart.std(), rel=0.01)


def test_going_back_no_frame_is_left_out_between_the_pieces(monkeypatch):
    """Frames come in pieces of four, each decoded forwards, and must follow one another."""

    class Numbers:
        width_px = height_px = 100

        def greys_between(self, first, last):
            return ((number, np.array([number])) for number in range(first, last + 1))

    monkeypatch.setattr(tracker, "_PIECE_BYTES", 1)
    assert [number for number, _ in tracker._backwards(Numbers(), 13, 2)] == [*range(13, 1, -1)]


def test_what_leaves_the_program_says_when_a_vet_is_needed(placed_case, capsys):
    assert main(["case", str(placed_case), "measure"]) == 0
    assert VET_CAUTION in capsys.readouterr().out
    assert main(["case", str(placed_case), "compare", FIRST, DAY]) == 0
    assert VET_CAUTION in capsys.readouterr().out
    measured = placed_case / "visits" / DAY / "measured.toml"
    assert VET_CAUTION in measured.read_text(encoding="utf-8")
    assert VET_CAUTION in (placed_case / "README.txt").read_text(encoding="utf-8").replace(
        "\n", " "
    )
    assert VET_CAUTION in text("example_read_me").replace("\n", " ")
    assert b"veterinary surgeon" in capsule._HEADER
    assert len(capsule._HEADER) <= 80


def test_the_load_map_says_when_a_vet_is_needed(case):
    assert main(["case", str(case), "measure"]) == 0
    load_map = case / "visits" / DAY / "load_map.csv"
    assert VET_CAUTION in load_map.read_text(encoding="utf-8")


def test_where_either_camera_may_have_stood_askew_the_comparison_says_so(case):
    first, second = (read_visit(case, day) for day in (FIRST, DAY))
    typed = "What a camera that stood askew adds is not in the errors"
    one_by_one = {"toe_angle_deg": 0.5}
    placed = [
        replace(visit, errors=one_by_one | dict(visit.errors or {})) for visit in (first, second)
    ]

    def said(*visits) -> str:
        return "\n".join(compare_visits(*visits)[1])

    for askew in ((True, False), (False, True), (True, True)):
        pair = [
            replace(visit, askew=ASKEW if is_askew else "")
            for visit, is_askew in zip((first, second), askew, strict=True)
        ]
        assert ASKEW in said(*pair)
        assert typed not in said(*pair)
    for pair in ((first, placed[1]), (placed[0], second), (first, second)):
        assert typed in said(*pair)
    assert typed not in said(*placed)


def test_the_parts_of_an_error_add_up_and_the_largest_stands_first(placed_case):
    found = measure(open_case(placed_case), read_visit(placed_case, DAY))
    lines = found.in_words()
    for name, words in (("toe_angle_deg", "toe angle"), ("heel_angle_deg", "heel angle")):
        parts = found.visit.parts[name]
        assert np.sqrt(sum(size**2 for size in parts.values())) == pytest.approx(found.errors[name])
        (line,) = [one for one in lines if one.startswith(f"  {words}, {found.errors[name]:.2f}")]
        sizes = [float(part.rpartition(" ")[2]) for part in line.partition(": ")[2].split("; ")]
        assert sizes == sorted(sizes, reverse=True)
        assert sizes == sorted(
            (float(f"{size:.2f}") for size in parts.values() if size >= 0.005), reverse=True
        )


def test_the_error_of_the_scale_goes_into_lengths_and_not_into_angles(case):
    """One per cent of a length, as the square root of the sum with that of its points."""
    visit = read_visit(case, DAY)
    plain, scaled = (
        measure(open_case(case), replace(visit, scale_error_percent=percent, errors=None))
        for percent in (0.0, 2.0)
    )
    for name, error in scaled.errors.items():
        grown = np.sqrt(max(error**2 - plain.errors[name] ** 2, 0.0))
        wanted = 0.02 * scaled.values[name] if name.endswith("_mm") else 0.0
        assert grown == pytest.approx(wanted, rel=0.02, abs=1e-6), name
    for before, after in zip(plain.findings, scaled.findings, strict=True):
        if before.unit == "mm" and before.error is not None:
            grown = np.sqrt(after.error**2 - before.error**2)
            assert grown == pytest.approx(0.02 * before.value, rel=0.02), before.name

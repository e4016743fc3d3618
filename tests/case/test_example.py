"""The invented case to practise on: its files open, and the truth beside them is the yard's."""

from __future__ import annotations

import csv
import tomllib

import numpy as np
import pytest

import hoofcalc.case.synthetic.drawn_film as drawn
from hoofcalc import datasets
from hoofcalc.case.example import EXAMPLE_FOOT, EXAMPLE_HORSE, EXAMPLE_VISITS, example_case
from hoofcalc.case.film import open_film
from hoofcalc.case.landmarks import POINTS, PlacedPicture, from_the_side, missing_points
from hoofcalc.case.photograph import open_photograph
from hoofcalc.case.storage import CaseError
from hoofcalc.profile import Profile


@pytest.mark.slow
def test_the_example_is_whole_and_true(tmp_path, monkeypatch):
    whole = drawn.drawn_film

    def smaller(*given, **how):  # the film itself is tried elsewhere
        return whole(*given, **{**how, "width_px": 320, "height_px": 180})

    monkeypatch.setattr(drawn, "drawn_film", smaller)
    told: list[float] = []
    made = example_case(tmp_path / "practice", told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0

    truth = tomllib.loads((made.folder / "true.toml").read_text("utf-8"))
    with (made.folder / "true_points.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    for told_of in truth["photograph"]:
        visit, view = told_of["visit"], told_of["view"]
        photograph = open_photograph(made.photographs[visit, view])
        size = photograph.width_px, photograph.height_px
        assert size == (told_of["width_px"], told_of["height_px"])
        at = {
            row["point"]: (float(row["right_px"]), float(row["down_px"]))
            for row in rows
            if row["file"] == told_of["file"]
        }
        assert set(at) <= set(POINTS[view])
        assert np.all((np.array([*at.values()]) > 0) & (np.array([*at.values()]) < size))
        # dark inside the square, light beside it: the picture is upright
        corners = np.array([at[f"square_{number}"] for number in range(1, 5)])
        down, right = corners.mean(axis=0).astype(int)[::-1]
        beside = (corners[0] + 0.06 * (corners[0] - corners[2])).astype(int)[::-1]
        assert photograph.pixels[down, right].mean() < 70
        assert photograph.pixels[tuple(beside)].mean() > 140
        for way, known_mm in (("length", told_of["stick_mm"]), ("square", told_of["square_mm"])):
            placed = PlacedPicture(
                view=view,
                file=told_of["file"],
                width_px=size[0],
                height_px=size[1],
                way=way,
                known_mm=known_mm,
                placings=(at,),
            )
            assert not missing_points(placed)
            if view == "side" and way == "square":
                record = datasets.foot(EXAMPLE_HORSE, EXAMPLE_FOOT, EXAMPLE_VISITS[visit])
                (foot,) = [each for each in truth["foot"] if each["visit"] == visit]
                seen = from_the_side(placed, told_of["facing"], 0.5).profile
                for name in ("toe_angle_deg", "heel_angle_deg", "bearing_length_mm"):
                    true = getattr(Profile(**record.landmarks), name)
                    assert foot[name] == pytest.approx(true)
                    assert getattr(seen, name) == pytest.approx(true)
    film = open_film(made.film)
    assert film.stored_fps == pytest.approx(30.0)
    assert made.true_fps == truth["film"]["true_fps"] == 240.0
    marks = (made.folder / "true_mark.csv").read_text("utf-8").splitlines()
    assert len(marks) == film.frames + 2
    with pytest.raises(CaseError, match="nothing is written over"):
        example_case(made.folder)


def test_a_file_is_no_folder(tmp_path):
    (tmp_path / "practice").write_text("mine")
    with pytest.raises(CaseError, match="needs a folder"):
        example_case(tmp_path / "practice")
    assert (tmp_path / "practice").read_text() == "mine"

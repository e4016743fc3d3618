"""What is put into a case comes back out of its files, to the last digit."""

from __future__ import annotations

import tempfile
import unicodedata
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofcalc.case.case import (
    CASE_FIELDS,
    TABLES,
    VISIT_FIELDS,
    Case,
    add_visit,
    new_case,
    open_case,
    points_csv,
    read_visit,
    visit_names,
)
from hoofcalc.case.storage import as_csv, put
from hoofcalc.profile import Profile


def _one_of(field) -> st.SearchStrategy:
    if field.kind == "number":
        return st.floats(field.low, field.high)
    if field.kind == "day":
        return st.dates(date(1990, 1, 1), date(2100, 12, 31))
    if field.kind == "yes or no":
        return st.booleans()
    if field.choices:
        return st.sampled_from(field.choices)
    printable = st.characters().filter(str.isprintable)
    words = st.text(printable, min_size=1, max_size=60)
    return words.filter(str.strip) if field.required else words


def _fields(fields, skip=()) -> st.SearchStrategy:
    wanted = [field for field in fields if field.name not in ("version", "date", *skip)]
    return st.fixed_dictionaries(
        {field.name: _one_of(field) for field in wanted if field.required},
        optional={field.name: _one_of(field) for field in wanted if not field.required},
    )


_cases = _fields(CASE_FIELDS).filter(lambda case: case["gait"] != "canter" or "lead" in case)
_PAIRS = ("medial_height_mm", "ground_width_mm", "film_ground_mm")
_visits = _fields(VISIT_FIELDS, skip=_PAIRS).map(
    lambda values: {
        name: value
        for name, value in values.items()
        if name not in ("lateral_height_mm", "coronet_width_mm", "film_point_error_mm")
    }
)


@st.composite
def _profiles(draw):
    foot = Profile.from_measures(
        draw(st.floats(35, 70)),
        draw(st.floats(20, 80)),
        draw(st.floats(60, 110)),
        draw(st.floats(15, 50)),
        draw(st.floats(80, 140)),
    )
    shift = np.array([draw(st.floats(-2000, 2000)), draw(st.floats(-2000, 2000))])
    return {name: tuple(map(float, at + shift)) for name, at in foot.landmarks.items()}


_numbers = st.floats(-9000, 9000)


@settings(deadline=None, max_examples=40)
@given(
    values=_cases,
    day=st.dates(date(1990, 1, 1), date(2100, 12, 31)),
    fields=_visits,
    points=_profiles(),
    outline=st.lists(st.tuples(_numbers, _numbers), min_size=1, max_size=5),
    lines=st.lists(st.tuples(*[_numbers] * 4).filter(lambda at: at[:2] != at[2:]), max_size=4),
)
def test_a_case_comes_back_from_its_files(values, day, fields, points, outline, lines):
    with tempfile.TemporaryDirectory() as home:
        folder, outside = Path(home) / "case", Path(home)
        new_case(folder, Case(**values))
        again = open_case(folder)
        assert again == Case(**values)

        right = fields["facing"] == "right"
        mirror = 1.0 if right else -1.0
        given_points = {name: (mirror * x, z) for name, (x, z) in points.items()}
        wall = [("toe", mirror * a, b, mirror * c, d) for a, b, c, d in lines]
        tables = {
            "points.csv": points_csv(given_points),
            "outline.csv": as_csv([column.name for column in TABLES["outline.csv"]], outline),
            "wall_lines.csv": as_csv([column.name for column in TABLES["wall_lines.csv"]], wall),
        }
        for name, content in tables.items():
            (outside / name).write_bytes(content)
        add_visit(folder, day, fields, {name: outside / name for name in tables})

        assert visit_names(folder) == [str(day)]
        visit = read_visit(folder, day)
        assert visit.date == day
        for name, value in fields.items():
            assert getattr(visit, name) == value, name
        for name, at in points.items():
            np.testing.assert_array_equal(visit.profile.landmarks[name], at)
        np.testing.assert_array_equal(visit.outline_mm, outline)
        if lines:
            np.testing.assert_array_equal(visit.wall_lines_mm, np.reshape(lines, (-1, 2, 2)))
        for name, content in tables.items():
            assert (folder / "visits" / str(day) / name).read_bytes() == content


@settings(deadline=None, max_examples=30)
@given(st.lists(st.binary(max_size=40), min_size=1, max_size=6))
def test_every_state_a_file_had_is_still_there(contents):
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home)
        for content in contents:
            put(folder, "visits/2026-04-07/points.csv", content)
        last = (folder / "visits/2026-04-07/points.csv").read_bytes()
        assert last == contents[-1]
        kept = {path.read_bytes() for path in folder.glob("kept/**/*.csv")}
        assert kept | {last} == set(contents)


@pytest.mark.parametrize("name", ["Größchen", "Á Léim", "朝霧", "back\\slash", 'so "called"', "#7"])
def test_names_of_all_languages(tmp_path, name):
    folder = tmp_path / unicodedata.normalize(
        "NFC", "case of " + name.strip('"').replace("\\", "_")
    )
    new_case(folder, Case(horse=name, foot="left fore", mass_kg=500))
    assert open_case(folder).horse == name

"""Files of a case: what is written comes back, what stood there is kept, slips are named."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import date

import pytest

from hoofcalc.case import storage
from hoofcalc.case.records import CASE_FIELDS, VISIT_FIELDS
from hoofcalc.case.storage import (
    CaseError,
    Column,
    add_copy,
    as_csv,
    as_toml,
    files_of,
    home_of,
    in_picture,
    kind_of_film,
    kind_of_picture,
    put,
    read_fields,
    read_rows,
    read_text,
    tables_as_toml,
    take_away,
)

PLACES = (Column("point", "which"), Column("right_px", "to the right", 1000.0))
WITH_REMARK = (*PLACES, Column("remark", "anything", required=False))


def said(call, *arguments) -> str:
    with pytest.raises(CaseError) as trouble:
        call(*arguments)
    return str(trouble.value)


# ---- writing ---------------------------------------------------------------------------------


def test_what_stood_there_is_kept_under_its_name_and_nothing_twice(tmp_path):
    assert put(tmp_path, "visits/day/a.toml", b"one")
    assert not put(tmp_path, "visits/day/a.toml", b"one")
    assert not (tmp_path / "kept").exists()
    for content in (b"two", b"three"):
        assert put(tmp_path, "visits/day/a.toml", content)
    assert (tmp_path / "visits/day/a.toml").read_bytes() == b"three"
    kept = sorted((tmp_path / "kept" / "visits" / "day").iterdir())
    assert sorted(path.read_bytes() for path in kept) == [b"one", b"two"]
    assert all(path.name.startswith("a (until ") and path.suffix == ".toml" for path in kept)


def test_what_is_taken_away_is_kept_and_what_is_not_there_is_let_be(tmp_path):
    put(tmp_path, "plan.toml", b"old")
    take_away(tmp_path, "plan.toml")
    take_away(tmp_path, "plan.toml")
    assert not (tmp_path / "plan.toml").exists()
    assert [path.read_bytes() for path in (tmp_path / "kept").iterdir()] == [b"old"]


def test_copies_have_names_of_their_own_and_the_same_file_is_copied_once(tmp_path):
    into = tmp_path / "pictures" / "day"
    placed = []
    for number in range(3):
        source = tmp_path / str(number) / "IMG 1.jpg"
        source.parent.mkdir()
        source.write_bytes(bytes([number]) * 10)
        os.utime(source, ns=(10**18, 10**18 + number))
        placed.append(add_copy(source, into))
        assert add_copy(source, into) == (placed[-1][0], False)
        assert placed[-1][0].stat().st_mtime_ns == 10**18 + number
    assert [path.name for path, _ in placed] == ["IMG 1.jpg", "IMG 1 2.jpg", "IMG 1 3.jpg"]
    assert all(new for _, new in placed)


def test_pictures_lie_with_the_horse_and_a_case_in_a_folder_called_feet_is_its_own(tmp_path):
    foot = tmp_path / "feet" / "left hind"
    foot.mkdir(parents=True)
    assert home_of(foot) == foot
    (tmp_path / "case.toml").write_text("")
    assert home_of(foot) == tmp_path
    assert home_of(tmp_path) == tmp_path
    assert files_of(foot, "film", "day") == tmp_path / "film" / "day"
    elsewhere = tmp_path / "other" / "left hind"
    assert home_of(elsewhere) == elsewhere


# ---- kinds of file ---------------------------------------------------------------------------


def box(*brands: bytes, minor: bytes = b"\0\0\0\0") -> bytes:
    """The first box of a file (ISO 14496-12): size, ftyp, major brand, version, further brands."""
    content = b"ftyp" + brands[0] + minor + b"".join(brands[1:])
    return (len(content) + 4).to_bytes(4, "big") + content


@pytest.mark.parametrize(
    ("head", "kind"),
    [
        (b"\xff\xd8\xff\xe0", "JPEG"),
        (b"\x89PNG\r\n\x1a\n", "PNG"),
        (b"RIFF\0\0\0\0WEBPVP8 ", "WebP"),
        (box(b"heic"), "HEIC"),
        (box(b"mif1", b"miaf", b"heic"), "HEIC"),
        (box(b"mif1", b"heix", b"miaf") + b"\0\0\0\x10meta", "HEIC"),
        (box(b"mif1", b"avif"), "AVIF"),
        (box(b"avif", b"heic"), "AVIF"),
    ],
)
def test_a_picture_is_known_by_its_first_bytes(head, kind, tmp_path):
    path = tmp_path / "picture"
    path.write_bytes(head + b"\0" * 40)
    assert kind_of_picture(path) == kind
    assert "is not a film that can be used" in said(kind_of_film, path)


@pytest.mark.parametrize(
    ("head", "kind"),
    [
        (box(b"isom", b"mp42"), "MP4"),
        (box(b"qt  "), "MOV"),
        (box(b"mp42", b"isom", b"qt  "), "MOV"),
        (box(b"isom", minor=b"qt  "), "MP4"),  # a version is no brand
        (box(b"isom") + b"qt  heic", "MP4"),  # nor is what follows the box
        (b"\0\0\0\x08wide", "MOV"),
        (b"\0\0\0\x08moov", "MOV"),
        (b"\0\0\0\x08mdat", "MOV"),
        (b"RIFF\0\0\0\0AVI LIST", "AVI"),
        (b"\x1a\x45\xdf\xa3", "WebM"),
    ],
)
def test_a_film_is_known_by_its_first_bytes(head, kind, tmp_path):
    path = tmp_path / "film"
    path.write_bytes(head + b"\0" * 40)
    assert kind_of_film(path) == kind
    assert "is not a picture that can be used" in said(kind_of_picture, path)


@pytest.mark.parametrize("kind", [kind_of_picture, kind_of_film])
def test_what_is_neither_is_called_what_it_is_where_that_can_be_told(kind, tmp_path):
    path = tmp_path / "x"
    assert said(kind, path) == f"{path} is not there"
    assert said(kind, tmp_path) == f"{tmp_path} is not a file"
    path.write_bytes(b"")
    assert "is empty: copy it from the telephone once more" in said(kind, path)
    for content, name in ((b"%PDF-1.7", "a PDF"), (b"GIF89a", "a GIF"), (b"\n <html>", "a web")):
        path.write_bytes(content)
        assert f"(this is {name}" in said(kind, path)
    path.write_bytes(b"anything")
    assert "(this is" not in said(kind, path)
    path.write_bytes(b"RIFF\0\0\0\0WAVEfmt ")  # sound in the same wrapping
    assert "is needed" in said(kind, path)


# ---- text ------------------------------------------------------------------------------------


def test_bytes_that_are_no_text_are_told_with_their_line(tmp_path):
    path = tmp_path / "a.csv"
    wrong = {b"one\ntwo\nth\0ree\n": 3, b"\0one\n": 1, b"one\ntw\xf6\n": 2, b"\xff\xfeo\0": 1}
    for content, line in wrong.items():
        path.write_bytes(content)
        assert said(read_text, path, "a.csv").startswith(f"a.csv, line {line}: holds bytes")
    path.write_bytes("\ufeffgrün".encode())
    assert read_text(path, "a.csv") == "grün"


def test_a_text_that_cannot_be_read_is_said_to_be_so(tmp_path, monkeypatch):
    assert said(read_text, tmp_path / "no", "no") == "no is missing"
    assert "is a folder or a device" in said(read_text, tmp_path, "it")
    monkeypatch.setattr(storage, "_LARGEST_TEXT_BYTES", 10)
    path = tmp_path / "a"
    path.write_bytes(b"0123456789")
    assert read_text(path, "a") == "0123456789"
    path.write_bytes(b"0123456789x")
    assert "larger than 20 MB" in said(read_text, path, "a")


# ---- TOML ------------------------------------------------------------------------------------

CASE = {"horse": 'Ott"er\\by', "foot": "left hind", "mass_kg": 505.25, "gait": "canter"}
CASE |= {"invented": True}


@pytest.mark.parametrize("fields", [CASE_FIELDS, VISIT_FIELDS], ids=["case", "visit"])
def test_every_field_comes_back_as_it_was_written(fields):
    own = fields[1:]  # after the version, which is always written and never a value
    values = {field.name: field.example for field in own}
    text = as_toml(values, fields, "Two\nlines.").decode()
    assert text.startswith("# Two\n# lines.\n\n# ")
    assert read_fields(text, "it", fields) == values
    empty = as_toml({}, fields, "").decode()
    assert all(f"\n# {field.meaning}\n# {field.name} = " in empty for field in own)
    few = {field.name: field.example for field in own if field.required}
    assert read_fields(as_toml(few, fields, "").decode(), "it", fields) == few


def test_texts_and_numbers_come_back_to_the_last_digit():
    assert read_fields(as_toml(CASE, CASE_FIELDS, "").decode(), "it", CASE_FIELDS) == CASE
    mass = CASE | {"mass_kg": 500.1 + 1e-13}
    assert read_fields(as_toml(mass, CASE_FIELDS, "").decode(), "it", CASE_FIELDS) == mass


NUMBERS = [field for field in (*CASE_FIELDS[1:], *VISIT_FIELDS[1:]) if field.kind == "number"]


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.name)
def test_a_number_may_reach_its_ends_and_not_go_beyond(field):
    for value in (field.low, field.high):
        assert read_fields(f"{field.name} = {value!r}", "it", [field]) == {field.name: value}
    for value in (field.low - 0.001, field.high + 0.001, float("nan"), float("inf")):
        words = said(read_fields, f"\n{field.name} = {value!r}", "it", [field])
        assert words.startswith(f"it, line 2, field {field.name}: must be ")
        assert f"{field.low:g}" in words
        with pytest.raises(CaseError, match=f"field {field.name}: must be"):
            as_toml({field.name: value}, [field], "")


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("mass_kg", '"505"', "must be a number without quotes"),
        ("mass_kg", "true", "must be a number, with"),
        ("mass_kg", "2026-04-07", "must be a number, with"),
        ("horse", "3", "must be text in quotes, such as horse = "),
        ("horse", '"  "', "must not be empty"),
        ("note", '"one\\ntwo"', "must be one line of at most 2000 printable letters"),
        ("note", f'"{"a" * 2001}"', "must be one line of at most 2000 printable letters"),
        ("foot", '"fore"', 'must be one of "left fore", "right fore"'),
        ("invented", "1", "must be true or false, without quotes"),
        ("invented", '"true"', "must be true or false, without quotes"),
    ],
)
def test_a_value_that_does_not_fit_is_told_what_is_needed(name, value, words):
    field = next(field for field in CASE_FIELDS if field.name == name)
    assert f"it, line 1, field {name}: {words}" in said(
        read_fields, f"{name} = {value}", "it", [field]
    )


def test_a_day_lies_between_1990_and_2100():
    (day,) = [field for field in VISIT_FIELDS if field.name == "date"]
    for good in ("1990-01-01", "2100-12-31"):
        assert read_fields(f"date = {good}", "it", [day]) == {"date": date.fromisoformat(good)}
    for bad in ("1989-12-31", "2101-01-01"):
        assert f"from 1990 to 2100 (got {bad})" in said(read_fields, f"date = {bad}", "it", [day])
    for bad in ('"2026-04-07"', "2026-04-07T10:00:00", "3"):
        assert "must be a day, year first" in said(read_fields, f"date = {bad}", "it", [day])


def test_a_text_of_just_two_thousand_letters_is_kept():
    (note,) = [field for field in CASE_FIELDS if field.name == "note"]
    assert read_fields(f'note = "{"a" * 2000}"', "it", [note]) == {"note": "a" * 2000}


def test_a_name_that_is_not_known_is_answered_with_those_that_are():
    assert "is not known; is mass_kg meant" in said(read_fields, "mass = 3", "it", CASE_FIELDS)
    words = said(read_fields, "weight = 3", "it", CASE_FIELDS)
    assert words.startswith("it, line 1, field weight: is not known; known are version, horse")
    words = said(read_fields, 'version = 2\nhorse = "a"', "it", CASE_FIELDS[:3])
    assert words.startswith("it, field foot: is missing. Add a line such as foot = ")


@pytest.mark.parametrize(
    ("text", "where", "words"),
    [
        ("a = 1\nmass_kg = 500,5", "line 2, field mass_kg", "with a point, not a comma"),
        ("mass_kg =\n", "line 1, field mass_kg", "has no value"),
        ("mass_kg = # later\n", "line 1, field mass_kg", "has no value"),
        ("a = 1\n\na = 2", "line 3, field a", "stands there twice"),
        ("date = 2026-02-30", "line 1, field date", "there is no such day"),
        ("horse = Otterby", "line 1, field horse", "text must stand in quotes"),
        ("date = 7.4.2026", "line 1, field date", "a day is written year first"),
        ("date = 7/4/2026", "line 1, field date", "a day is written year first"),
        ("some words", "line 1", "each line is name = value"),
        ("a = " + "9" * 5000, "line 1, field a", "holds far more than one value can be"),
        ("b = 1\na = " + "[" * 5000, "line 2, field a", "holds far more than one value can be"),
    ],
)
def test_what_is_no_toml_is_told_where_and_why(text, where, words):
    assert said(read_fields, text, "it", CASE_FIELDS).startswith(f"it, {where}: ")
    assert words in said(read_fields, text, "it", CASE_FIELDS)


def test_tables_leave_out_what_is_not_there():
    text = tables_as_toml({"foot": {"a": 1, "b": None}, "line": [{"c": 0.5}, {"c": "x"}]}, "Head.")
    assert text.decode() == ('# Head.\n\n[foot]\na = 1\n\n[[line]]\nc = 0.5\n\n[[line]]\nc = "x"\n')


# ---- CSV -------------------------------------------------------------------------------------


def test_rows_come_back_with_the_line_that_each_stands_in():
    text = as_csv(["point", "right_px"], [("a", 0.1 + 0.2), ("b", -3)], "Placed.\nTwice.").decode()
    assert text == "# Placed.\n# Twice.\npoint,right_px\na,0.30000000000000004\nb,-3.0\n"
    spaced = text.replace("b,", "\n , \n# left out\n b , ")
    assert read_rows(spaced, "it", PLACES) == [
        (4, {"point": "a", "right_px": 0.1 + 0.2}),
        (8, {"point": "b", "right_px": -3.0}),
    ]


def test_columns_may_stand_in_any_order_and_some_may_be_missing():
    rows = read_rows("right_px,point\n1000,a\n-1000,b", "it", WITH_REMARK)
    assert rows == [
        (2, {"right_px": 1000.0, "point": "a"}),
        (3, {"right_px": -1000.0, "point": "b"}),
    ]
    (row,) = read_rows("remark,right_px,point\nhm,1e1,a", "it", WITH_REMARK)
    assert row == (2, {"remark": "hm", "right_px": 10.0, "point": "a"})


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "it: is empty. Its first line must be point,right_px"),
        ("point;right_px\na;1", "it, line 1: the values are parted by something other than commas"),
        ("point\tright_px", "it, line 1: the values are parted by something other than commas"),
        ("x,point", "it, line 1, field 'x': is not known. The first line names"),
        ("right,point", "it, line 1, field 'right': is not known; is right_px meant?"),
        ("point,right_px,point", "it, line 1, field point: stands there twice"),
        ("point", "it, line 1, field right_px: the column is missing (point,right_px)"),
        ("point,right_px\n\na", "it, line 3: holds 1 value where 2 are needed"),
        ("point,right_px\na,3,5", "it, line 2: holds 3 values where 2 are needed"),
        ("point,right_px\n,3", "it, line 2, field point: is empty"),
        ("point,right_px\na,", "it, line 2, field right_px: is empty; a number is needed"),
        ('point,right_px\na,"3,5"', "it, line 2, field right_px: write 3.5 with a point, not 3,5"),
        ("point,right_px\na,3 px", "it, line 2, field right_px: must be a plain number"),
        ("point,right_px\na,nan", "it, line 2, field right_px: must be a plain number"),
        ("point,right_px\na,٣", "it, line 2, field right_px: must be a plain number"),
        ("point,right_px\na,1000.5", "it, line 2, field right_px: '1000.5' is too large; at most"),
        ("point,right_px\na,-1e9", "it, line 2, field right_px: '-1e9' is too large; at most 1000"),
        ('point,right_px\na,"3', "it, line 2: cannot be read as values with commas between"),
    ],
)
def test_a_slip_in_a_table_is_told_with_line_and_column(text, words):
    assert said(read_rows, text, "it", WITH_REMARK).startswith(words)


def test_only_too_many_values_are_put_down_to_a_decimal_comma():
    comma = "Decimals are written with a point"
    assert comma in said(read_rows, "point,right_px\na,3,5", "it", PLACES)
    assert comma not in said(read_rows, "point,right_px\na", "it", PLACES)


def test_a_value_in_a_message_is_never_longer_than_a_line():
    """As it stands up to 40 letters, quotes included; beyond them cut."""
    for letters, whole in ((38, True), (39, False), (4000, False)):
        found = said(read_rows, f"point,right_px\na,{'x' * letters}", "it", PLACES)
        assert (f"'{'x' * letters}'" in found) is whole
        assert whole or found.endswith(f"(got '{'x' * 36}...)")


def test_a_place_lies_in_its_picture_edges_included():
    picture = {"width_px": 400, "height_px": 300}
    for right, down in ((0, 0), (400, 300)):
        assert in_picture({"right_px": right, "down_px": down}, "it", picture) == (right, down)
    for right, down, column in ((400.5, 9, "right_px"), (9, 300.5, "down_px"), (-1, 9, "right_px")):
        words = said(in_picture, {"right_px": right, "down_px": down}, "it", picture)
        assert words.startswith(f"it, field {column}: ")
        assert "lies outside the picture (0 to " in words


def test_the_version_stands_first_and_is_the_one_that_can_be_read():
    for fields in (CASE_FIELDS, VISIT_FIELDS):
        version = fields[0]
        assert (version.name, version.required) == ("version", True)
        words = said(read_fields, f"version = {storage.VERSION + 1}", "it", [replace(version)])
        assert f"must be {storage.VERSION} (got {storage.VERSION + 1})" in words

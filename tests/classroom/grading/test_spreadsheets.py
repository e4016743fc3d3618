"""Tables go to any spreadsheet program and come back, whatever it does to them on the way."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoofcalc.classroom.grading.course import CommandError
from hoofcalc.classroom.grading.spreadsheets import as_table, read_columns, read_table

ROWS = [["id", "text"], ["anna", 'with "quotation marks", commas; and\nlines'], ["Jörg", ""]]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("code", ["utf-8-sig", "utf-8", "cp1252"])
def test_there_and_back(separator: str, code: str, tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_bytes(as_table(ROWS, separator).decode("utf-8-sig").encode(code) + b"\r\n\r\n")
    assert read_table(path) == (ROWS, separator)


def test_a_cell_of_any_length_comes_back_whole(tmp_path: Path) -> None:
    """Python's own reader stops at 131,072 characters unless it is told otherwise."""
    path = tmp_path / "table.csv"
    path.write_bytes(as_table([["id", "text"], ["anna", "x" * 200_000]]))
    assert read_columns(path, ["text"])[0]["text"] == "x" * 200_000


def test_columns_are_found_by_name_and_what_is_missing_is_said(tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_text("Name; ID ;more\nAda;a1\n;b2;x\n", "utf-8")
    assert read_columns(path, ["id", "name"]) == [
        {"name": "Ada", "id": "a1", "more": ""},
        {"name": "", "id": "b2", "more": "x"},
    ]
    for content, lacks in (("id;more", "name"), ("", "id, name")):
        path.write_text(content, "utf-8")
        with pytest.raises(CommandError, match=f"columns id, name; it lacks {lacks}"):
            read_columns(path, ["id", "name"])

"""Tables (CSV) that come back from any spreadsheet program, and that any can open."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from hoofcalc.classroom.grading.course import CommandError


def read_table(path: Path) -> tuple[list[list[str]], str]:
    """The lines of a table that are not empty, and the sign that divides their cells.

    Read in UTF-8 or as some programs save it; a cell may be of any length.
    """
    content = path.read_bytes()
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
    separator = max(",;\t", key=text.split("\n", 1)[0].count)
    most = csv.field_size_limit(max(csv.field_size_limit(), len(text)))
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))
    finally:
        csv.field_size_limit(most)
    return [row for row in rows if any(row)], separator


def read_columns(path: Path, columns: Sequence[str]) -> list[dict[str, str]]:
    """The lines of a table by the names in its first line, or in words which of `columns` it lacks.

    Capitals and blanks around a name do not count; what is not there of a line is empty.
    """
    rows, _ = read_table(path)
    header = [name.strip().lower() for name in rows[0]] if rows else []
    missing = ", ".join(name for name in columns if name not in header)
    if missing:
        raise CommandError(
            f"{path} needs a first line with the columns {', '.join(columns)}; it lacks {missing}."
        )
    return [dict(zip(header, [*row, *[""] * len(header)], strict=False)) for row in rows[1:]]


def as_table(rows: Iterable[Sequence[str]], separator: str = ",") -> bytes:
    """A table that spreadsheet programs open with its umlauts in order.

    Every cell stands between quotation marks, so that it stays one cell whichever sign a
    program takes for the separator.
    """
    stream = io.StringIO(newline="")
    csv.writer(stream, delimiter=separator, lineterminator="\r\n", quoting=csv.QUOTE_ALL).writerows(
        rows
    )
    return stream.getvalue().encode("utf-8-sig")

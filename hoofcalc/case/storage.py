"""Files of a case: written whole or not at all, never lost, read with a sentence for every slip.

What is replaced is first copied to ``kept/``, with the day and time in its name. Photographs
and film are copied byte by byte, never over another file; beyond the few bytes that tell what
kind of file it is, only the day it was taken is read.
"""

from __future__ import annotations

import csv
import json
import os
import re
import shutil
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, fields, replace
from dataclasses import field as in_record
from datetime import date, datetime
from filecmp import cmp
from itertools import count
from pathlib import Path
from typing import Any

from hoofcalc._files import write_whole, written_whole

#: Version of the files of a case.
VERSION = 2
_LARGEST_TEXT_BYTES = 20_000_000
_LONGEST_TEXT = 2000
#: Brands in the first box of a file (ISO 14496-12) that mean a still picture coded by HEVC.
_HEIC = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"}
_AVIF = {b"avif"}
_STILL = _HEIC | _AVIF | {b"mif1", b"msf1", b"avis"}
#: What can be taken in, in words.
PICTURES, FILMS = "JPEG, PNG, HEIC, AVIF or WebP", "MP4, MOV, AVI or WebM"
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
_WITH_COMMA = re.compile(r"[+-]?\d+,\d+")


class CaseError(Exception):
    """A case or one of its files cannot be used; the message says where, why and what to do."""


@contextmanager
def said_in(place: str) -> Iterator[None]:
    """Say a place before every refusal: a file or folder, with what parts it from the rest."""
    try:
        yield
    except CaseError as problem:
        raise CaseError(f"{place}{problem}") from problem


@dataclass(frozen=True)
class Field:
    """One line ``name = value`` of a TOML file; declared in its record by `kept`.

    Parameters
    ----------
    name
        What stands before the equals sign; the unit stands in the name.
    kind
        "text", "number", "day" or "yes or no".
    meaning
        What it says, in plain words.
    example
        A value that could stand there.
    required
        Whether the line must be there.
    low, high
        Least and greatest value of a number, in the unit of the name.
    choices
        The texts that may stand there; empty for any.
    usual
        What is taken where a person says nothing; None where there is no such value.
    """

    name: str
    kind: str
    meaning: str
    example: Any
    required: bool = False
    low: float = 0.0
    high: float = 0.0
    choices: tuple[str, ...] = ()
    usual: Any = None


_KINDS = {bool: "yes or no", int: "number", float: "number", str: "text", date: "day"}


def kept(
    meaning: str,
    example: Any,
    *,
    between: tuple[float, float] = (0.0, 0.0),
    choices: tuple[str, ...] = (),
    needed: bool = True,
    **usual: Any,
) -> Any:
    """A field of a record that stands in its file: file, messages and command line follow from it.

    Parameters
    ----------
    meaning
        What it says, in plain words.
    example
        A value that could stand there; its type is that of the field.
    between
        Least and greatest value of a number, in the unit of its name.
    choices
        The texts that may stand there; empty for any.
    needed
        Whether the line must stand in the file; see `optional`.
    usual
        ``default=``: what the record holds where nothing is said; without it, it must be said.

    Returns
    -------
    Any
        For the body of a dataclass.
    """
    declared = Field(
        "", _KINDS[type(example)], meaning, example, needed, *between, choices, usual.get("default")
    )
    return in_record(**usual, metadata={"kept": declared})


def optional(meaning: str, example: Any, *, default: Any = None, **how: Any) -> Any:
    """As `kept`, of a line that may be left out of the file; the record then holds `default`."""
    return kept(meaning, example, needed=False, default=default, **how)


def fields_of(record: type) -> tuple[Field, ...]:
    """The fields that stand in a record's file: that of the version, then the record's own."""
    version = Field("version", "number", "Version of these files.", VERSION, True, VERSION, VERSION)
    return (version, *own_fields(record))


def own_fields(record: type) -> tuple[Field, ...]:
    """The fields of a record that stand in its file, that of the version left out."""
    return tuple(
        replace(each.metadata["kept"], name=each.name)
        for each in fields(record)
        if "kept" in each.metadata
    )


@dataclass(frozen=True)
class Column:
    """One column of a CSV file.

    Parameters
    ----------
    name
        What stands in the first line; the unit stands in the name.
    meaning
        What it says, in plain words.
    limit
        Greatest size of a number, in the unit of the name; None for a column of words.
    required
        Whether the column must be there.
    """

    name: str
    meaning: str
    limit: float | None = None
    required: bool = True


# ---- writing ---------------------------------------------------------------------------------


def put(folder: Path, place: str, content: bytes) -> bool:
    """Write `place` inside a case; what stood there is kept. True if anything was written."""
    target = folder / place
    if target.exists():
        old = target.read_bytes()
        if old == content:
            return False
        _keep(folder, place, old)
    write_whole(target, content, through=True)
    return True


def put_all(folder: Path, files: Mapping[str, bytes]) -> list[str]:
    """`put` for several files by their place; the places in which anything was written."""
    return [place for place, content in files.items() if put(folder, place, content)]


def home_of(folder: Path) -> Path:
    """The folder of the horse that a foot's folder belongs to: itself for the case's own foot."""
    above = folder.parent.parent
    return above if folder.parent.name == "feet" and (above / "case.toml").exists() else folder


def files_of(folder: Path, part: str, visit: str) -> Path:
    """Where photographs ("pictures") or film ("film") of a visit lie: with the horse."""
    return home_of(folder) / part / visit


def take_away(folder: Path, place: str) -> None:
    """Take a file that no longer holds out of its place, and keep it."""
    target = folder / place
    if target.exists():
        _keep(folder, place, target.read_bytes())
        target.unlink()


def _keep(folder: Path, place: str, content: bytes) -> None:
    """A copy in ``kept/``, with the day and time until which it stood."""
    path = Path(place)
    until = f"{path.stem} (until {datetime.now():%Y-%m-%d %H%M%S})"
    write_whole(_free(folder / "kept" / path.parent, until, path.suffix), content, through=True)


def add_copy(source: Path, into: Path) -> tuple[Path, bool]:
    """Copy a photograph or film as it is, never over another. Its place, and whether it is new."""
    into.mkdir(parents=True, exist_ok=True)
    first = into / source.name
    for there in sorted(into.glob(f"*{source.suffix}")):
        if there.is_file() and cmp(source, there, shallow=False):
            return there, False
    target = first if not first.exists() else _free(into, source.stem, source.suffix)
    with source.open("rb") as original, written_whole(target, through=True) as stream:
        shutil.copyfileobj(original, stream, 1 << 20)
        stream.flush()
        if not cmp(source, stream.name, shallow=False):
            raise CaseError(f"{source}: the copy differs from the original; try again")
    seen = source.stat()
    os.utime(target, ns=(seen.st_atime_ns, seen.st_mtime_ns))
    return target, True


def _free(folder: Path, stem: str, suffix: str) -> Path:
    """A name in `folder` that nothing has yet."""
    names = (f"{stem}{f' {number}' if number > 1 else ''}{suffix}" for number in count(1))
    return next(folder / name for name in names if not (folder / name).exists())


# ---- kinds of file ---------------------------------------------------------------------------


def kind_of_picture(path: Path) -> str:
    """The kind of a picture, one of `PICTURES`, told by its first bytes; else a CaseError."""
    head = _head(path)
    if head.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if head.startswith(b"RIFF") and head[8:12] == b"WEBP":
        return "WebP"
    if _brands(head) & _AVIF:
        return "AVIF"
    if _brands(head) & _HEIC:
        return "HEIC"
    raise CaseError(
        f"{path} is not a picture that can be used: {PICTURES} is needed"
        f"{_instead(head)}. Send the photograph itself, not a link or a document with it"
    )


def kind_of_film(path: Path) -> str:
    """The kind of a film, one of `FILMS`, told by its first bytes; else a CaseError."""
    head = _head(path)
    brands = _brands(head)
    if brands and not brands & _STILL:
        return "MOV" if b"qt  " in brands else "MP4"
    if head[4:8] in (b"moov", b"mdat", b"wide"):
        return "MOV"
    if head.startswith(b"RIFF") and head[8:12] == b"AVI ":
        return "AVI"
    if head.startswith(b"\x1a\x45\xdf\xa3"):  # the head of EBML, RFC 8794
        return "WebM"
    raise CaseError(f"{path} is not a film that can be used: {FILMS} is needed{_instead(head)}")


def _head(path: Path) -> bytes:
    if not path.is_file():
        raise CaseError(f"{path} {'is not a file' if path.exists() else 'is not there'}")
    with path.open("rb") as stream:
        head = stream.read(4096)
    if not head:
        raise CaseError(f"{path} is empty: copy it from the telephone once more")
    return head


def _brands(head: bytes) -> set[bytes]:
    """The brands of a file that begins with an ``ftyp`` box (ISO 14496-12); else none."""
    if head[4:8] != b"ftyp":
        return set()
    end = min(int.from_bytes(head[:4], "big"), len(head))
    return {head[8:12]} | {head[at : at + 4] for at in range(16, end - 3, 4)}


def _instead(head: bytes) -> str:
    """What the file is, where that can be told."""
    known = {b"%PDF": "a PDF", b"GIF8": "a GIF", b"PK\x03\x04": "a ZIP file", b"<": "a web page"}
    seen = next((name for start, name in known.items() if head.lstrip().startswith(start)), None)
    return f" (this is {seen})" if seen else ""


# ---- TOML ------------------------------------------------------------------------------------


def as_toml(values: Mapping[str, Any], fields: Sequence[Field], heading: str) -> bytes:
    """A TOML file with one line for each field; what is not given stands as a remark to fill in.

    It is of this version. A value that does not fit its field is refused with a CaseError.
    """
    lines = [f"# {line}" for line in heading.splitlines()]
    for field in fields:
        value = VERSION if field.name == "version" else values.get(field.name)
        wrong = None if value is None else _wrong(field, value)
        if wrong:
            raise CaseError(f"field {field.name}: {wrong}")
        lines += ["", f"# {field.meaning}"]
        if value is None:
            lines.append(f"# {field.name} = {_toml(field.example)}")
        else:
            lines.append(f"{field.name} = {_toml(value)}")
    return ("\n".join(lines) + "\n").encode()


def _toml(value: Any) -> str:
    """One value as TOML 1.0 writes it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)  # printable text: the escapes are the same
    if isinstance(value, int):
        return str(value)
    return repr(float(value))


def tables_as_toml(
    tables: Mapping[str, Mapping[str, Any] | Sequence[Mapping[str, Any]]], heading: str
) -> bytes:
    """A TOML file of tables, and of lists of tables; values that are None are left out."""
    lines = [f"# {line}" for line in heading.splitlines()]
    for name, content in tables.items():
        many = not isinstance(content, Mapping)
        for table in content if not isinstance(content, Mapping) else (content,):
            lines += ["", f"[[{name}]]" if many else f"[{name}]"]
            lines += [f"{key} = {_toml(at)}" for key, at in table.items() if at is not None]
    return ("\n".join(lines) + "\n").encode()


def read_text(path: Path, called: str) -> str:
    """The text of a file, or a CaseError that names it as `called`."""
    if not path.exists():
        raise CaseError(f"{called} is missing")
    if not path.is_file():
        raise CaseError(f"{called} is a folder or a device where a text file is needed")
    try:
        if path.stat().st_size > _LARGEST_TEXT_BYTES:
            raise CaseError(f"{called} is larger than 20 MB: it is no file of measurements")
        raw = path.read_bytes()
    except OSError as problem:
        raise CaseError(f"{called} cannot be read ({problem.strerror})") from problem
    try:
        text = raw.decode("utf-8-sig")
        bad = text.find("\0")
        if bad < 0:
            return text
        line = text.count("\n", 0, bad) + 1
    except UnicodeDecodeError as problem:
        line = raw.count(b"\n", 0, problem.start) + 1
    raise CaseError(
        f"{called}, line {line}: holds bytes that are no text. Save it as plain text (UTF-8), "
        "or take an older copy from the folder kept"
    )


def read_fields(text: str, called: str, fields: Sequence[Field]) -> dict[str, Any]:
    """The values of a TOML text, each checked against its field; a CaseError names line and field.

    A field that may be left out and is left out is not in the result, nor is the version.
    """
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise CaseError(_not_toml(text, called, str(problem))) from problem
    except (ValueError, RecursionError) as problem:  # thousands of digits, or of brackets
        worst = max(enumerate(text.splitlines(), 1), key=lambda line: len(line[1]))
        begins = re.match(r"\s*([\w-]+)\s*=", worst[1])
        where = f"{called}, line {worst[0]}" + (f", field {begins[1]}" if begins else "")
        raise CaseError(f"{where}: holds far more than one value can be") from problem
    known = {field.name: field for field in fields}
    for name in found:
        if name not in known:
            close = [other for other in known if other.startswith(f"{name}_")]
            hint = f"; is {close[0]} meant" if close else f"; known are {', '.join(known)}"
            raise CaseError(f"{called}{_line(text, name)}, field {name}: is not known{hint}")
    for field in fields:
        if field.name not in found:
            if field.required:
                raise CaseError(
                    f"{called}, field {field.name}: is missing. Add a line such as "
                    f"{field.name} = {_toml(field.example)}"
                )
            continue
        value = found[field.name]
        wrong = _wrong(field, value)
        if wrong:
            raise CaseError(f"{called}{_line(text, field.name)}, field {field.name}: {wrong}")
        if field.kind == "number":
            found[field.name] = type(field.example)(value)
    found.pop("version", None)
    return found


def read_record(folder: Path, called: str, fields: Sequence[Field]) -> dict[str, Any]:
    """The values of a TOML file of a case, as `read_fields`."""
    return read_fields(read_text(folder / called, called), called, fields)


def _wrong(field: Field, value: Any) -> str | None:
    """What is wrong with a value, in words; None if nothing is."""
    such = f"such as {field.name} = {_toml(field.example)}"
    if field.kind == "number":
        if isinstance(value, bool) or not isinstance(value, int | float):
            quoted = " without quotes" if isinstance(value, str) else ""
            return f"must be a number{quoted}, with a point for the decimals, {such}"
        if not field.low <= value <= field.high:  # also refuses nan
            allowed = f"between {field.low:g} and {field.high:g}"
            if field.low == field.high:
                allowed = f"{field.low:g}"
            return f"must be {allowed} (got {_short(value)})"
        return None
    if field.kind == "day":
        if type(value) is not date:
            return f"must be a day, year first and without quotes, {such}"
        if not 1990 <= value.year <= 2100:
            return f"must be a day from 1990 to 2100 (got {value})"
        return None
    if field.kind == "yes or no":
        return None if isinstance(value, bool) else "must be true or false, without quotes"
    if not isinstance(value, str):
        return f"must be text in quotes, {such}"
    if field.choices and value not in field.choices:
        listing = ", ".join(f'"{choice}"' for choice in field.choices)
        return f"must be one of {listing} (got {_short(value)})"
    if field.required and not value.strip():
        return f"must not be empty, {such}"
    if not value.isprintable() or len(value) > _LONGEST_TEXT:
        return f"must be one line of at most {_LONGEST_TEXT} printable letters"
    return None


def _short(value: Any) -> str:
    """A value for a message, never longer than a few words."""
    try:
        said = repr(value)
    except ValueError:  # a whole number of thousands of digits
        return "a huge number"
    return said if len(said) <= 40 else f"{said[:37]}..."


def _line(text: str, name: str) -> str:
    """Where a field stands, as ", line 3"; nothing where that cannot be told."""
    pattern = re.compile(rf"""\s*\[*\s*["']?{re.escape(name)}["']?\s*[=.\]]""")
    lines = enumerate(text.splitlines(), 1)
    return next((f", line {number}" for number, line in lines if pattern.match(line)), "")


def _not_toml(text: str, called: str, problem: str) -> str:
    """What to say of a text that is no TOML."""
    lines = text.splitlines() or [""]
    told = re.search(r"at line (\d+)", problem)
    number = min(int(told[1]), len(lines)) if told else len(lines)
    line = lines[number - 1]
    name = re.match(r"\s*([\w-]+)\s*=", line)
    where = f"{called}, line {number}" + (f", field {name[1]}" if name else "")
    if re.search(r"=\s*[+-]?\d+,\d", line):
        return f"{where}: write the decimals with a point, not a comma"
    if re.search(r"=\s*(#.*)?$", line):
        return f"{where}: has no value"
    if "overwrite" in problem:
        return f"{where}: stands there twice"
    if "date" in problem.lower():
        return f"{where}: there is no such day; write year, month, day, such as 2026-04-07"
    if re.search(r"=\s*[A-Za-z]", line):
        return f"{where}: text must stand in quotes; yes and no are written true and false"
    if re.search(r"=\s*\d+\s*[./-]\s*\d+\s*[./-]", line):
        return f"{where}: a day is written year first, such as 2026-04-07"
    return f"{where}: cannot be read; each line is name = value, text in quotes"


# ---- CSV -------------------------------------------------------------------------------------


def as_csv(
    columns: Sequence[str | Column], rows: Iterable[Sequence[Any]], heading: str = ""
) -> bytes:
    """A CSV file; numbers as Python writes them, so that they come back to the last digit."""
    names = [each.name if isinstance(each, Column) else each for each in columns]
    lines = [f"# {line}" for line in heading.splitlines()] + [",".join(names)]
    lines += [
        ",".join(at if isinstance(at, str) else repr(float(at)) for at in row) for row in rows
    ]
    return ("\n".join(lines) + "\n").encode()


def read_rows(
    text: str, called: str, columns: Sequence[Column]
) -> list[tuple[int, dict[str, Any]]]:
    """The rows of a CSV text with their line numbers; a CaseError names line and column.

    Lines that begin with # and empty lines are passed over. Rows hold the columns that are there.
    """
    reader = csv.reader(text.splitlines(), strict=True)
    header: list[str] | None = None
    found = []
    try:
        for row in reader:
            if not any(cell.strip() for cell in row) or row[0].lstrip().startswith("#"):
                continue
            cells = [cell.strip() for cell in row]
            where = f"{called}, line {reader.line_num}"
            if header is None:
                header = _header(cells, where, columns)
                by_name = {column.name: column for column in columns}
                continue
            if len(cells) != len(header):
                many = len(cells) > len(header)
                comma = " Decimals are written with a point, not a comma." if many else ""
                raise CaseError(
                    f"{where}: holds {len(cells)} value{'s' * (len(cells) > 1)} where "
                    f"{len(header)} are needed ({', '.join(header)}).{comma}"
                )
            values = {
                name: _cell(by_name[name], cell, f"{where}, field {name}")
                for name, cell in zip(header, cells, strict=True)
            }
            found.append((reader.line_num, values))
    except csv.Error as problem:
        raise CaseError(
            f"{called}, line {reader.line_num}: cannot be read as values with commas between; "
            "is a quotation mark open?"
        ) from problem
    if header is None:
        listing = ",".join(column.name for column in columns if column.required)
        raise CaseError(f"{called}: is empty. Its first line must be {listing}")
    return found


def read_table(
    folder: Path, called: str, columns: Sequence[Column]
) -> list[tuple[int, dict[str, Any]]]:
    """The rows of a CSV file of a case, as `read_rows`; none where there is no such file."""
    path = folder / called
    return read_rows(read_text(path, called), called, columns) if path.exists() else []


def in_picture(
    row: Mapping[str, Any], where: str, picture: Mapping[str, Any]
) -> tuple[float, float]:
    """The place of a row in a picture of ``width_px`` and ``height_px``, or a CaseError."""
    for column, most in (("right_px", picture["width_px"]), ("down_px", picture["height_px"])):
        if not 0 <= row[column] <= most:
            raise CaseError(
                f"{where}, field {column}: {row[column]:g} lies outside the picture (0 to {most})"
            )
    return row["right_px"], row["down_px"]


def _header(cells: list[str], where: str, columns: Sequence[Column]) -> list[str]:
    """The first line, or a CaseError."""
    wanted = ",".join(column.name for column in columns if column.required)
    if len(cells) == 1 and (";" in cells[0] or "\t" in cells[0]):
        raise CaseError(
            f"{where}: the values are parted by something other than commas. Save the table as "
            "CSV with commas between the values and points for the decimals"
        )
    names = [column.name for column in columns]
    for name in cells:
        if name not in names:
            close = [other for other in names if other.startswith(f"{name}_")]
            meant = f"; is {close[0]} meant?" if close else "."
            raise CaseError(
                f"{where}, field {_short(name)}: is not known{meant} The first line names the "
                f"columns, each with its unit: {wanted}"
            )
        if cells.count(name) > 1:
            raise CaseError(f"{where}, field {name}: stands there twice")
    for column in columns:
        if column.required and column.name not in cells:
            raise CaseError(f"{where}, field {column.name}: the column is missing ({wanted})")
    return cells


def _cell(column: Column, cell: str, where: str) -> str | float:
    """The word or number in a cell, or a CaseError."""
    if not cell:
        raise CaseError(
            f"{where}: is empty{'' if column.limit is None else '; a number is needed'}"
        )
    if column.limit is None:
        return cell
    if _WITH_COMMA.fullmatch(cell):
        raise CaseError(
            f"{where}: write {cell.replace(',', '.')} with a point, not {cell} with a comma"
        )
    if not _NUMBER.fullmatch(cell) or not cell.isascii():
        raise CaseError(f"{where}: must be a plain number without unit (got {_short(cell)})")
    value = float(cell)
    if not abs(value) <= column.limit:
        raise CaseError(
            f"{where}: {_short(cell)} is too large; at most {column.limit:g} is possible"
        )
    return value

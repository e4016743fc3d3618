"""A case: a folder of the trimmer's own, for one foot of one horse, readable without this program.

Version 2 of the folder::

    README.txt                 what is in the folder, line by line (see `plain_page`)
    case.toml                  the horse, the foot and the gait it is loaded at
    hand.toml                  the measurer's own hand, written by `repeat` (if any)
    pictures/2026-04-07/       photographs of that visit, byte for byte as they came
    film/2026-04-07/           film, likewise
    visits/2026-04-07/         one folder for each visit, named by its day; a second one of the
                               same day is named "2026-04-07 after trim"
        visit.toml             how the photograph was taken, and how finely points were placed
        side.toml              the photograph from the side (if any): see `hoofcalc.case.landmarks`
        side_points.csv        points placed in it, in pixels; likewise front and below
        film.toml              the film (if any): see `hoofcalc.case.tracking`
        film_points.csv        a mark on the hoof, followed through it, in pixels
        film_stances.csv       frames of contact and of leaving
        plan.toml              what is planned until the next visit (if any)
        points.csv             landmarks in the side view, in mm, where no photograph was placed
        wall_lines.csv         lines traced along the horn in the same picture (if any)
        outline.csv            the bearing edge from below (if any)
        track.csv              a mark on the hoof, followed through a film (if any)
        measured.toml          written by `measure`, and again whenever it is asked
        load_map.csv           likewise: the push round the rim
    pages/                     pages for the owner
    kept/                      what was replaced, with the day and time of the change
    feet/left fore/            a further foot of the horse (if any): a case of its own, whose
                               photographs and film lie with the others above

What was placed in a photograph or film counts before what was typed in millimetres. Every name
of a number carries its unit. All files are meant to be read and written by hand as
well; what does not fit is refused with file, line and field. A file is written whole or not at
all, and what it replaces is kept. Nothing in the folder is sent anywhere. Of what a camera wrote
into a photograph only the time is read, to sort it; place and owner are not.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import date
from functools import partial
from itertools import pairwise
from pathlib import Path
from textwrap import fill
from typing import Any

import numpy as np

from hoofcalc._files import write_whole
from hoofcalc._inputs import FloatArray
from hoofcalc.case import landmarks, tracking
from hoofcalc.case.hand import HAND_FIELDS
from hoofcalc.case.landmarks import LANDMARKS, profile_of
from hoofcalc.case.markup import text
from hoofcalc.case.records import CASE_FIELDS, VISIT_FIELDS, Case, Visit
from hoofcalc.case.seen import what_is_seen
from hoofcalc.case.storage import (
    VERSION,
    CaseError,
    Column,
    add_copy,
    as_csv,
    as_toml,
    files_of,
    home_of,
    kind_of_film,
    kind_of_picture,
    put,
    put_all,
    read_fields,
    read_record,
    read_rows,
    read_text,
)
from hoofcalc.landing import Track
from hoofcalc.profile import Profile

_AFTER = " after trim"
_NEEDED = LANDMARKS[:4]

_FAR_MM, _FILM_MM = 10_000.0, 1_000_000.0
#: The tables of a visit, by file name.
TABLES: dict[str, tuple[Column, ...]] = {
    "points.csv": (
        Column("point", "which landmark: " + ", ".join(LANDMARKS)),
        Column("right_mm", "its place to the right in the picture", _FAR_MM),
        Column("up_mm", "its place upwards in the picture", _FAR_MM),
    ),
    "wall_lines.csv": (
        Column("region", "where on the wall, such as toe, quarter or heel"),
        Column("start_right_mm", "one end of the line, to the right", _FAR_MM),
        Column("start_up_mm", "the same, upwards", _FAR_MM),
        Column("end_right_mm", "the other end, to the right", _FAR_MM),
        Column("end_up_mm", "the same, upwards", _FAR_MM),
    ),
    "outline.csv": (
        Column("forward_mm", "bearing edge from one heel round the toe: forward", _FAR_MM),
        Column("left_mm", "to the horse's left of the mid-line", _FAR_MM),
    ),
    "track.csv": (
        Column("time_s", "time of the frame, as it really passed", 86_400.0),
        Column("forward_mm", "mark, in the direction of travel", _FILM_MM),
        Column("up_mm", "mark, upwards", _FILM_MM),
        Column("second_forward_mm", "a second mark on the same hoof, if any", _FILM_MM, False),
        Column("second_up_mm", "the same, upwards", _FILM_MM, False),
    ),
}


# ---- the case --------------------------------------------------------------------------------


def new_case(folder: Path, case: Case) -> None:
    """Make the folder of a new case.

    Parameters
    ----------
    folder
        Where; made if it does not exist. What lies in it already stays.
    case
        The horse and the foot.

    Raises
    ------
    CaseError
        If there is a case already, or a value cannot be, in words.
    """
    if (folder / "case.toml").exists():
        raise CaseError(f"{folder} holds a case already; it stays as it is")
    if folder.exists() and not folder.is_dir():
        raise CaseError(f"{folder} is a file; a case is a folder")
    text = _case_toml(case)
    put(folder, "README.txt", plain_page().encode())
    for part in ("visits",) if home_of(folder) != folder else ("pictures", "film", "visits"):
        (folder / part).mkdir(exist_ok=True)
    write_whole(folder / "case.toml", text, through=True)  # last: with it the folder is a case


def save_case(folder: Path, case: Case) -> None:
    """Write case.toml anew; the old one is kept. A CaseError if a value cannot be."""
    put(folder, "case.toml", _case_toml(case))


def _case_toml(case: Case) -> bytes:
    heading = f"A case of hoofcalc, version {VERSION}. README.txt says what each line means."
    text = as_toml(asdict(case), CASE_FIELDS, heading)
    _case_from(text.decode())
    return text


def open_case(folder: Path) -> Case:
    """Read case.toml.

    Parameters
    ----------
    folder
        The folder of the case.

    Returns
    -------
    Case
        The horse and the foot.

    Raises
    ------
    CaseError
        If there is no case, or its file cannot be read, with line and field.
    """
    if not (folder / "case.toml").exists():
        raise CaseError(f"there is no case in {folder}; hoofcalc case {folder} new makes one")
    return _case_from(read_text(folder / "case.toml", "case.toml"))


def _case_from(text: str) -> Case:
    case = Case(**read_fields(text, "case.toml", CASE_FIELDS))
    if case.gait == "canter" and case.lead is None:
        raise CaseError('case.toml, field lead: is needed at canter, such as lead = "left"')
    return case


def visit_names(folder: Path) -> list[str]:
    """The visits on file, oldest first.

    Parameters
    ----------
    folder
        The folder of the case.

    Returns
    -------
    list of str
        A name for each folder in ``visits``: its day, or "2026-04-07 after trim".

    Raises
    ------
    CaseError
        If a folder's name is no day.
    """
    names = [path.name for path in (folder / "visits").glob("[!.]*") if path.is_dir()]
    for name in names:
        day_of(name)
    return sorted(names)


def day_of(visit: str) -> date:
    """The day of a visit.

    Parameters
    ----------
    visit
        Name of the visit: its day, or "2026-04-07 after trim".

    Returns
    -------
    datetime.date
        The day.

    Raises
    ------
    CaseError
        If the name is no day.
    """
    day = visit.removesuffix(_AFTER)
    try:
        if re.fullmatch(r"\d{4}-\d\d-\d\d", day):
            return date.fromisoformat(day)
    except ValueError:
        pass
    raise CaseError(
        f"visits/{visit}: the folder of a visit is named by its day, such as 2026-04-07, or "
        f"2026-04-07{_AFTER} for a second one of the same day"
    )


def visit_name(folder: Path, day: date, moment: str = "before trim") -> str:
    """Name for a new visit of a day, or of the one that is there for this day and moment.

    Parameters
    ----------
    folder
        The folder of the case.
    day
        The day.
    moment
        "before trim" or "after trim".

    Returns
    -------
    str
        The day; "2026-04-07 after trim" where the day's first visit was before the trim.

    Raises
    ------
    CaseError
        If the visit that is there cannot be read.
    """
    name = str(day)
    if moment != "after trim" or not (folder / "visits" / name).is_dir():
        return name
    return name if read_fields_of(folder, name)["moment"] == moment else name + _AFTER


# ---- a visit ---------------------------------------------------------------------------------


def read_visit(folder: Path, visit: str | date) -> Visit:
    """All that is on file of one visit, each number checked.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Which visit: its day, or the name of its folder.

    Returns
    -------
    Visit
        Ready to be measured.

    Raises
    ------
    CaseError
        If a file is missing or cannot be, with file, line and field.
    """
    visit = str(visit)
    place = f"visits/{visit}"
    if not (folder / place).is_dir():
        known = ", ".join(visit_names(folder)) or "none yet"
        raise CaseError(f"there is no visit of {visit} in this case (on file: {known})")
    values = _visit_fields(read_text(folder / place / "visit.toml", f"{place}/visit.toml"), place)
    if values["date"] != day_of(visit):
        raise CaseError(
            f"{place}/visit.toml, field date: is {values['date']}, but the folder is named {visit}"
        )
    if visit.endswith(_AFTER) and values["moment"] != "after trim":
        raise CaseError(
            f"{place}/visit.toml, field moment: is {values['moment']}, but the folder is named "
            f"{visit}"
        )
    seen = what_is_seen(folder, visit, values)
    not_used = {"points.csv", "wall_lines.csv"} if "profile" in seen else set()
    not_used |= {"outline.csv"} if "outline_mm" in seen else set()
    not_used |= {"track.csv"} if "track" in seen else set()
    texts = {}
    for name in TABLES:
        path = folder / place / name
        if name not in not_used and (path.exists() or name == "points.csv"):
            texts[name] = read_text(path, f"{place}/{name}")
    if texts.get("points.csv") == _POINTS_TO_FILL.decode():
        raise CaseError(
            f"{place}: no point is placed or typed in yet. Place them on the screen (hoofcalc case "
            f"{folder} open), or fill in {place}/points.csv"
        )
    return _visit({**values, "name": visit}, texts, place, seen=seen)


def read_fields_of(folder: Path, visit: str) -> dict[str, Any]:
    """The fields of visit.toml, checked; a CaseError with line and field where one cannot be."""
    called = f"visits/{visit}/visit.toml"
    return read_record(folder, called, VISIT_FIELDS)


def _visit_fields(text: str, place: str) -> dict[str, Any]:
    called = f"{place}/visit.toml"
    values = read_fields(text, called, VISIT_FIELDS)
    for one, other in (
        ("medial_height_mm", "lateral_height_mm"),
        ("ground_width_mm", "coronet_width_mm"),
        ("film_ground_mm", "film_point_error_mm"),
    ):
        if (one in values) != (other in values):
            missing = other if one in values else one
            raise CaseError(f"{called}, field {missing}: is missing; {one} and {other} go together")
    return values


def _visit(
    values: dict[str, Any],
    texts: dict[str, str],
    place: str,
    called: dict[str, str] | None = None,
    seen: Mapping[str, Any] | None = None,
) -> Visit:
    """A visit from checked fields, the texts of its tables and what its photographs tell.

    Tables given from outside are `called` by other names.
    """
    known = dict(values)
    names = {name: f"{place}/{name}" for name in texts} | (called or {})
    rows = {name: read_rows(text, names[name], TABLES[name]) for name, text in texts.items()}
    facing = known["facing"]
    mirror = np.array([1.0 if facing == "right" else -1.0, 1.0])
    if "points.csv" in rows:
        known["profile"] = _profile(rows["points.csv"], names["points.csv"], facing)
    lines = rows.get("wall_lines.csv")
    if lines:
        known["wall_regions"] = tuple(row["region"] for _, row in lines)
        ends = _numbers(lines, "wall_lines.csv").reshape(-1, 2, 2)
        known["wall_lines_mm"] = ends * mirror
        for (number, _), (start, end) in zip(lines, ends, strict=True):
            if (start == end).all():
                raise CaseError(
                    f"{names['wall_lines.csv']}, line {number}, field end_right_mm: the line has "
                    "no length; its two ends are one point"
                )
    if "outline.csv" in rows:
        known["outline_mm"] = _numbers(rows["outline.csv"], "outline.csv")
    if "track.csv" in rows:
        if "film_ground_mm" not in known:
            raise CaseError(
                f"{place}/visit.toml, field film_ground_mm: is missing; a track needs the height "
                "of the mark while the foot stands, and film_point_error_mm"
            )
        known["track"] = _track(rows["track.csv"], names["track.csv"], known)
    return Visit(**{**known, **(seen or {})})


def _numbers(rows: list[tuple[int, dict[str, Any]]], table: str) -> FloatArray:
    """The numbers of a table, a row for each of its rows; of a column that is not there, NaN."""
    columns = [column.name for column in TABLES[table] if column.limit is not None]
    found = [[row.get(name, np.nan) for name in columns] for _, row in rows]
    return np.array(found, dtype=np.float64).reshape(-1, len(columns))


def _profile(rows: list[tuple[int, dict[str, Any]]], called: str, facing: str) -> Profile:
    """The landmarks, or a CaseError that names line and landmark."""
    at: dict[str, tuple[float, float]] = {}
    lines: dict[str, int] = {}
    for number, row in rows:
        name = row["point"]
        where = f"{called}, line {number}, field point"
        if name not in LANDMARKS:
            raise CaseError(f"{where}: {name!r:.40} is not known; known are {', '.join(LANDMARKS)}")
        if name in at:
            raise CaseError(f"{where}: {name} stands there twice (first in line {lines[name]})")
        at[name] = (row["right_mm"], row["up_mm"])
        lines[name] = number
    for name in _NEEDED:
        if name not in at:
            raise CaseError(f"{called}, field point: {name} is missing")
    return profile_of(
        at,
        facing,
        lambda name: f"{called}, line {lines[name]}, field {name}" if name in lines else called,
        "Are the points in mm, and the scale right?",
    )


def _track(rows: list[tuple[int, dict[str, Any]]], called: str, known: dict[str, Any]) -> Track:
    """The mark in the film, or a CaseError."""
    for (_, before), (number, row) in pairwise(rows):
        if row["time_s"] <= before["time_s"]:
            raise CaseError(
                f"{called}, line {number}, field time_s: {row['time_s']:g} s is not later than "
                f"{before['time_s']:g} s in the line before"
            )
    second = [name in rows[0][1] for name in ("second_forward_mm", "second_up_mm")] if rows else []
    if any(second) and not all(second):
        raise CaseError(f"{called}, line 1: second_forward_mm and second_up_mm go together")

    columns = _numbers(rows, "track.csv")
    try:
        return Track(
            columns[:, 0],
            columns[:, 1:3],
            second_mm=columns[:, 3:5] if any(second) else None,
            ground_mm=known["film_ground_mm"],
            point_error_mm=known["film_point_error_mm"],
        )
    except ValueError as problem:
        frame = re.search(r"frame (\d+)", str(problem))
        line = f", line {rows[int(frame[1])][0]}" if frame else ""
        raise CaseError(f"{called}{line}, field time_s: {problem}") from problem


def points_csv(points: Mapping[str, Sequence[float]]) -> bytes:
    """points.csv for landmarks by name, each to the right and up in the picture [mm]."""
    rows = [(name, *place) for name, place in points.items()]
    return as_csv(TABLES["points.csv"], rows)


_POINTS_TO_FILL = "\n".join(
    [
        "# Fill in two numbers a line: to the right and up in the side picture, in mm.",
        ",".join(column.name for column in TABLES["points.csv"]),
        *(f"{name},," for name in _NEEDED),
        "",
    ]
).encode()


def add_visit(
    folder: Path,
    visit: str | date,
    values: dict[str, Any],
    tables: Mapping[str, Path | bytes] | None = None,
) -> list[str]:
    """Add a visit, or tables to a visit that is there; nothing is lost and all is checked first.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Which visit: its day, or "2026-04-07 after trim" for a second one of the same day.
    values
        Fields of `VISIT_FIELDS` that differ from the usual; only for a visit that is not there.
    tables
        Files to take in, or what they hold, by their name in the visit, such as "points.csv".

    Returns
    -------
    list of str
        What was written, relative to the case.

    Raises
    ------
    CaseError
        If a value or a file cannot be, with line and field; the case is then as before.
    """
    open_case(folder)
    day = day_of(str(visit))
    place = f"visits/{visit}"
    home = folder / place
    brought = {name: at for name, at in (tables or {}).items() if isinstance(at, Path)}
    called = {name: str(path) for name, path in brought.items()}
    texts = {name: read_text(path, str(path)) for name, path in brought.items()}
    texts |= {name: at.decode() for name, at in (tables or {}).items() if isinstance(at, bytes)}
    if home.exists():
        if values:
            raise CaseError(
                f"{place} is there already; change {', '.join(values)} in {place}/visit.toml"
            )
        fields_text = read_text(home / "visit.toml", f"{place}/visit.toml")
    else:
        usual = {each.name: each.usual for each in VISIT_FIELDS if each.required}
        usual["date"] = day
        if str(visit).endswith(_AFTER):
            usual["moment"] = "after trim"
        fields_text = visit_toml({**usual, **values}).decode()
    found = _visit_fields(fields_text, place)
    whole = {
        name: read_text(home / name, f"{place}/{name}")
        for name in TABLES
        if name not in texts and (home / name).exists()
    } | texts
    if texts:
        if "points.csv" not in whole and not (home / "side.toml").exists():
            raise CaseError(f"{place}/points.csv is missing; give the points with the other tables")
        _visit(found, whole, place, called)
    new = {name: text.encode() for name, text in texts.items()}
    if home.exists():
        return put_all(folder, {f"{place}/{name}": content for name, content in new.items()})
    _lay_whole(home, {"visit.toml": fields_text.encode(), "points.csv": _POINTS_TO_FILL, **new})
    return [f"{place}/visit.toml", *(f"{place}/{name}" for name in {"points.csv": 0, **new})]


def visit_toml(values: Mapping[str, Any]) -> bytes:
    """visit.toml for these fields; a value that does not fit is refused with a CaseError."""
    heading = f"A visit, version {VERSION}. README.txt in the case says what each line means."
    return as_toml(values, VISIT_FIELDS, heading)


def _lay_whole(home: Path, files: dict[str, bytes]) -> None:
    """A folder with its files, there at once or not at all."""
    home.parent.mkdir(parents=True, exist_ok=True)
    scratch = Path(tempfile.mkdtemp(dir=home.parent, prefix=".being-written-"))
    try:
        scratch.chmod(0o755)
        for name, content in files.items():
            write_whole(scratch / name, content, through=True)
        os.rename(scratch, home)  # noqa: PTH104  refuses where a folder with files stands
    except BaseException:
        shutil.rmtree(scratch, ignore_errors=True)
        raise


def add_file(folder: Path, visit: str | date, part: str, path: Path) -> str:
    """Copy a photograph or film of a visit into the case, byte for byte, never over another file.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Which visit: its day, or the name of its folder.
    part
        "pictures" or "film".
    path
        The file as it came from camera or telephone.

    Returns
    -------
    str
        Where it lies, whether it lay there already, and what to know of it.

    Raises
    ------
    CaseError
        If it is no picture or film, told by its content, or cannot be measured; then it is not
        copied.
    """
    open_case(folder)
    kind = kind_of_picture(path) if part == "pictures" else kind_of_film(path)
    remark = _remark(path, part)
    there, new = add_copy(path, files_of(folder, part, str(visit)))
    where = there.relative_to(home_of(folder)).as_posix()
    beware = f". Beware: {remark}" if remark else ""
    return f"{where} ({kind}{'' if new else ', was there already'}){beware}"


def _remark(path: Path, part: str) -> str:
    """What to know of a photograph or film; empty for nothing. A CaseError if it is of no use."""
    try:
        if part == "pictures":
            from hoofcalc.case.photograph import open_photograph

            open_photograph(path)
            return ""
        from hoofcalc.case.film import open_film

        film = open_film(path)
    except ModuleNotFoundError:  # without the extra nothing is looked at
        return ""
    film.close()
    return str(film.remark)


# ---- the plain page --------------------------------------------------------------------------


def plain_page() -> str:
    """What a case holds, line by line: the README.txt of every case.

    Returns
    -------
    str
        Plain text of about one page.
    """
    from hoofcalc.case.plan import PLAN_FIELDS  # here: it loads more than a case needs

    return text(
        "case_readme",
        version=VERSION,
        case=CASE_FIELDS,
        hand=HAND_FIELDS,
        visit=VISIT_FIELDS,
        picture=landmarks.PICTURE_FIELDS,
        film=tracking.FILM_FIELDS,
        plan=PLAN_FIELDS,
        placed=landmarks.POINT_COLUMNS,
        followed=tracking.FILM_COLUMNS,
        stances=tracking.STANCE_COLUMNS,
        tables=TABLES,
        points={view: landmarks.names_in_words(view) for view in landmarks.VIEWS},
        wrapped=partial(fill, width=88, initial_indent="  ", subsequent_indent="      "),
    )

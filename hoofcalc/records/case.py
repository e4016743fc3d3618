"""A case: a folder of the trimmer's own, for one foot of one horse, readable without this program.

Version 1 of the folder::

    README.txt                 what is in the folder, line by line (see `plain_page`)
    case.toml                  the horse, the foot and the gait it is loaded at
    pictures/2026-04-07/       photographs of that day, byte for byte as they came
    film/2026-04-07/           film, likewise
    visits/2026-04-07/         one folder for each visit, named by its day
        visit.toml             how the photograph was taken, and how finely points were placed
        points.csv             landmarks in the side view, in mm
        wall_lines.csv         lines traced along the horn in the same picture (if any)
        outline.csv            the bearing edge from below (if any)
        track.csv              a mark on the hoof, followed through a film (if any)
        measured.toml          written by `measure`, and again whenever it is asked
        load_map.csv           likewise: the push round the rim
    pages/                     pages for the owner
    kept/                      what was replaced, with the day and time of the change

Every name of a number carries its unit. All files are meant to be read and written by hand as
well; what does not fit is refused with file, line and field. A file is written whole or not at
all, and what it replaces is kept. Nothing in the folder is sent anywhere, and nothing that a
camera wrote into a photograph (place, time, owner) is read or copied out of it.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
import textwrap
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from hoofcalc._files import write_whole
from hoofcalc._inputs import FloatArray
from hoofcalc.landing import Track
from hoofcalc.profile import Profile
from hoofcalc.records.keeping import (
    CaseError,
    Column,
    Field,
    add_copy,
    as_csv,
    as_toml,
    kind_of_film,
    kind_of_picture,
    put,
    read_fields,
    read_rows,
    read_text,
)

__all__ = [
    "CASE_FIELDS",
    "TABLES",
    "VERSION",
    "VISIT_FIELDS",
    "Case",
    "Visit",
    "add_files",
    "add_visit",
    "new_case",
    "open_case",
    "plain_page",
    "points_csv",
    "read_visit",
    "visit_days",
]

VERSION = 1
_FEET = ("left fore", "right fore", "left hind", "right hind")
#: No foot of a horse or pony stands on a shorter or longer line from heel to toe [mm].
_BEARING_MM = (30.0, 300.0)
_LANDMARKS = tuple(field.name for field in fields(Profile))
_NEEDED = _LANDMARKS[:4]

CASE_FIELDS = (
    Field("version", "number", "Version of these files.", VERSION, True, VERSION, VERSION),
    Field("horse", "text", "What the horse is called.", "Otterby", True),
    Field("foot", "text", "Which foot: " + ", ".join(_FEET) + ".", "right fore", True, 0, 0, _FEET),
    Field("mass_kg", "number", "Mass carried, with rider and tack, in kg.", 505.0, True, 20, 1500),
    Field(
        "gait",
        "text",
        "Gait of the load map: walk, trot, canter or gallop.",
        "trot",
        True,
        0,
        0,
        ("walk", "trot", "canter", "gallop"),
    ),
    Field(
        "lead", "text", "At canter: which lead, left or right.", "left", choices=("left", "right")
    ),
    Field(
        "duty_factor",
        "number",
        "Part of a stride that the foot spends on the ground, 0 to 1; not needed where a film "
        "tells it.",
        0.4,
        low=0.05,
        high=0.95,
    ),
    Field("invented", "yes or no", "true if horse and figures are made up.", False),
    Field("note", "text", "Anything worth a line.", "shod all round"),
)

VISIT_FIELDS = (
    Field("version", "number", "Version of these files.", VERSION, True, VERSION, VERSION),
    Field("date", "day", "Day of the photographs.", date(2026, 4, 7), True),
    Field(
        "moment",
        "text",
        "before trim or after trim.",
        "before trim",
        True,
        0,
        0,
        ("before trim", "after trim"),
    ),
    Field(
        "facing",
        "text",
        "Which way the toe looks in the side picture: right or left.",
        "right",
        True,
        0,
        0,
        ("right", "left"),
    ),
    Field(
        "point_error_mm",
        "number",
        "How finely the points were placed: standard deviation of each coordinate, in mm.",
        1.0,
        True,
        0.05,
        20,
    ),
    Field(
        "scale_error_percent",
        "number",
        "How sure the scale is: standard deviation, in per cent of every length.",
        1.0,
        True,
        0,
        20,
    ),
    Field(
        "medial_height_mm",
        "number",
        "Front view: hairline height, inner side.",
        54.0,
        False,
        5,
        300,
    ),
    Field(
        "lateral_height_mm",
        "number",
        "Front view: hairline height, outer side.",
        56.0,
        False,
        5,
        300,
    ),
    Field("ground_width_mm", "number", "Front view: width at the ground.", 124.0, False, 20, 400),
    Field(
        "coronet_width_mm", "number", "Front view: width at the hairline.", 105.0, False, 20, 400
    ),
    Field(
        "horn_water_percent", "number", "Water in the horn; 25 if not given.", 25.0, False, 10, 35
    ),
    Field(
        "film_ground_mm",
        "number",
        "Film: height of the mark while the foot stands; needed with a track.",
        10.0,
        False,
        -100_000,
        100_000,
    ),
    Field(
        "film_point_error_mm",
        "number",
        "Film: standard deviation of each coordinate of the mark, in mm; needed with a track.",
        1.0,
        False,
        0.01,
        50,
    ),
    Field("note", "text", "Anything worth a line.", "eleven weeks since the last trim"),
)

_FAR_MM, _FILM_MM = 10_000.0, 1_000_000.0
#: The tables of a visit, by file name.
TABLES: dict[str, tuple[Column, ...]] = {
    "points.csv": (
        Column("point", "which landmark: " + ", ".join(_LANDMARKS)),
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


@dataclass(frozen=True, kw_only=True)
class Case:
    """One foot of one horse; the fields are those of `CASE_FIELDS`.

    Parameters
    ----------
    horse, foot, gait, lead, note
        As in case.toml.
    mass_kg
        Mass carried [kg].
    duty_factor
        Part of a stride that the foot spends on the ground [no unit]; None if not known.
    invented
        True if horse and figures are made up.
    """

    horse: str
    foot: str
    mass_kg: float
    gait: str = "trot"
    lead: str | None = None
    duty_factor: float | None = None
    invented: bool = False
    note: str | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class Visit:
    """What is on file of one visit: the fields of `VISIT_FIELDS`, and the tables.

    Parameters
    ----------
    date, moment, facing, note
        As in visit.toml.
    point_error_mm, scale_error_percent
        Error of a placed point [mm] and of the scale [%].
    medial_height_mm, lateral_height_mm, ground_width_mm, coronet_width_mm
        Front view [mm].
    horn_water_percent
        Water in the horn [%].
    film_ground_mm, film_point_error_mm
        Standing height and error of the mark in the film [mm].
    profile
        The landmarks, foot looking forward [mm].
    wall_regions, wall_lines_mm
        Traced lines: names, and ends, shape (n, 2, 2), in the axes of the profile [mm].
    outline_mm
        Bearing edge from below, shape (n, 2) [mm].
    track
        The mark in the film.
    """

    date: date
    profile: Profile
    moment: str = "before trim"
    facing: str = "right"
    point_error_mm: float = 1.0
    scale_error_percent: float = 1.0
    medial_height_mm: float | None = None
    lateral_height_mm: float | None = None
    ground_width_mm: float | None = None
    coronet_width_mm: float | None = None
    horn_water_percent: float = 25.0
    film_ground_mm: float | None = None
    film_point_error_mm: float | None = None
    note: str | None = None
    wall_regions: tuple[str, ...] = ()
    wall_lines_mm: FloatArray | None = None
    outline_mm: FloatArray | None = None
    track: Track | None = None


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
    text = as_toml(
        {"version": VERSION, **asdict(case)},
        CASE_FIELDS,
        f"A case of hoofcalc, version {VERSION}. README.txt says what each line means.",
    )
    _case_from(text.decode())
    put(folder, "README.txt", plain_page().encode())
    for part in ("pictures", "film", "visits"):
        (folder / part).mkdir(exist_ok=True)
    write_whole(folder / "case.toml", text, through=True)  # last: with it the folder is a case


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
    found = read_fields(text, "case.toml", CASE_FIELDS)
    del found["version"]
    case = Case(**found)
    if case.gait == "canter" and case.lead is None:
        raise CaseError('case.toml, field lead: is needed at canter, such as lead = "left"')
    return case


def visit_days(folder: Path) -> list[date]:
    """The days of the visits on file, oldest first.

    Parameters
    ----------
    folder
        The folder of the case.

    Returns
    -------
    list of datetime.date
        A day for each folder in ``visits``.

    Raises
    ------
    CaseError
        If a folder's name is no day.
    """
    days = []
    visits = folder / "visits"
    for path in sorted(visits.iterdir()) if visits.is_dir() else ():
        if path.name.startswith(".") or not path.is_dir():
            continue
        day = _day_in(path.name)
        if day is None:
            raise CaseError(
                f"visits/{path.name}: the folder of a visit is named by its day, such as 2026-04-07"
            )
        days.append(day)
    return days


def _day_in(name: str) -> date | None:
    try:
        return date.fromisoformat(name) if re.fullmatch(r"\d{4}-\d\d-\d\d", name) else None
    except ValueError:
        return None


# ---- a visit ---------------------------------------------------------------------------------


def read_visit(folder: Path, day: date) -> Visit:
    """All that is on file of one visit, each number checked.

    Parameters
    ----------
    folder
        The folder of the case.
    day
        Which visit.

    Returns
    -------
    Visit
        Ready to be measured.

    Raises
    ------
    CaseError
        If a file is missing or cannot be, with file, line and field.
    """
    place = f"visits/{day}"
    if not (folder / place).is_dir():
        known = ", ".join(map(str, visit_days(folder))) or "none yet"
        raise CaseError(f"there is no visit of {day} in this case (on file: {known})")
    values = _visit_fields(read_text(folder / place / "visit.toml", f"{place}/visit.toml"), place)
    if values["date"] != day:
        raise CaseError(
            f"{place}/visit.toml, field date: is {values['date']}, but the folder is named {day}"
        )
    texts = {}
    for name in TABLES:
        path = folder / place / name
        if name == "points.csv" or path.exists():
            texts[name] = read_text(path, f"{place}/{name}")
    return _visit(values, texts, place)


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
    values: dict[str, Any], texts: dict[str, str], place: str, called: dict[str, str] | None = None
) -> Visit:
    """A visit from checked fields and the texts of its tables, `called` by other names if any."""
    known = {name: value for name, value in values.items() if name != "version"}
    names = {name: f"{place}/{name}" for name in texts} | (called or {})
    rows = {name: read_rows(text, names[name], TABLES[name]) for name, text in texts.items()}
    facing = known["facing"]
    mirror = np.array([1.0 if facing == "right" else -1.0, 1.0])
    known["profile"] = _profile(rows["points.csv"], names["points.csv"], facing)
    lines = rows.get("wall_lines.csv")
    if lines:
        known["wall_regions"] = tuple(str(row["region"]) for _, row in lines)
        ends = np.array(
            [[row[column.name] for column in TABLES["wall_lines.csv"][1:]] for _, row in lines]
        )
        known["wall_lines_mm"] = ends.astype(np.float64).reshape(-1, 2, 2) * mirror
        for number, row in lines:
            if (row["start_right_mm"], row["start_up_mm"]) == (
                row["end_right_mm"],
                row["end_up_mm"],
            ):
                raise CaseError(
                    f"{names['wall_lines.csv']}, line {number}, field end_right_mm: the line has "
                    "no length; its two ends are one point"
                )
    if "outline.csv" in rows:
        known["outline_mm"] = np.array(
            [[row["forward_mm"], row["left_mm"]] for _, row in rows["outline.csv"]],
            dtype=np.float64,
        ).reshape(-1, 2)
    if "track.csv" in rows:
        if "film_ground_mm" not in known:
            raise CaseError(
                f"{place}/visit.toml, field film_ground_mm: is missing; a track needs the height "
                "of the mark while the foot stands, and film_point_error_mm"
            )
        known["track"] = _track(rows["track.csv"], names["track.csv"], known)
    return Visit(**known)


def _profile(rows: list[tuple[int, dict[str, Any]]], called: str, facing: str) -> Profile:
    """The landmarks, or a CaseError that names line and landmark."""
    at: dict[str, tuple[float, float]] = {}
    lines: dict[str, int] = {}
    for number, row in rows:
        name = row["point"]
        where = f"{called}, line {number}, field point"
        if name not in _LANDMARKS:
            raise CaseError(
                f"{where}: {name!r:.40} is not known; known are {', '.join(_LANDMARKS)}"
            )
        if name in at:
            raise CaseError(f"{where}: {name} stands there twice (first in line {lines[name]})")
        at[name] = (row["right_mm"], row["up_mm"])
        lines[name] = number
    for name in _NEEDED:
        if name not in at:
            raise CaseError(f"{called}, field point: {name} is missing")
    try:
        profile = Profile.from_points(facing=facing, **at)
    except ValueError as problem:
        named = [name for name in _LANDMARKS if name in str(problem) and name in lines]
        where = f", line {lines[named[0]]}, field {named[0]}" if named else ""
        said = str(problem)
        if "from_points" in said:  # say it in terms of the file
            other = "left" if facing == "right" else "right"
            said = (
                "the toe must lie in front of the heel. Are toe_ground and heel_ground exchanged, "
                f'or is facing = "{other}" meant in visit.toml?'
            )
        raise CaseError(f"{called}{where}: {said}") from problem
    low, high = _BEARING_MM
    if not low <= profile.bearing_length_mm <= high:
        raise CaseError(
            f"{called}, line {lines['toe_ground']}, field toe_ground: it lies "
            f"{profile.bearing_length_mm:.4g} mm from heel_ground, and no foot has that length "
            f"({low:g} to {high:g} mm). Are the points in mm, and the scale right?"
        )
    return profile


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

    def pairs(prefix: str) -> FloatArray:
        names = f"{prefix}forward_mm", f"{prefix}up_mm"
        return np.array([[row[name] for name in names] for _, row in rows], dtype=np.float64)

    try:
        return Track(
            np.array([row["time_s"] for _, row in rows], dtype=np.float64),
            pairs("").reshape(-1, 2),
            second_mm=pairs("second_") if any(second) else None,
            ground_mm=known["film_ground_mm"],
            point_error_mm=known["film_point_error_mm"],
        )
    except ValueError as problem:
        frame = re.search(r"frame (\d+)", str(problem))
        line = f", line {rows[int(frame[1])][0]}" if frame else ""
        raise CaseError(f"{called}{line}, field time_s: {problem}") from problem


def points_csv(points: dict[str, Sequence[float]]) -> bytes:
    """points.csv for landmarks by name, each to the right and up in the picture [mm]."""
    rows = [(name, *place) for name, place in points.items()]
    return as_csv([column.name for column in TABLES["points.csv"]], rows)


_POINTS_TO_FILL = "\n".join(
    [
        "# Fill in two numbers a line: to the right and up in the side picture, in mm.",
        ",".join(column.name for column in TABLES["points.csv"]),
        *(f"{name},," for name in _NEEDED),
        "",
    ]
).encode()


def add_visit(
    folder: Path, day: date, values: dict[str, Any], tables: dict[str, Path] | None = None
) -> list[str]:
    """Add a visit, or tables to a visit that is there; nothing is lost and all is checked first.

    Parameters
    ----------
    folder
        The folder of the case.
    day
        Day of the visit.
    values
        Fields of `VISIT_FIELDS` that differ from the usual; only for a visit that is not there.
    tables
        Files to take in, by their name in the visit, such as "points.csv".

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
    place = f"visits/{day}"
    home = folder / place
    called = {name: str(path) for name, path in (tables or {}).items()}
    texts = {name: read_text(Path(path), path) for name, path in called.items()}
    if home.exists():
        if values:
            raise CaseError(
                f"{place} is there already; change {', '.join(values)} in {place}/visit.toml"
            )
        fields_text = read_text(home / "visit.toml", f"{place}/visit.toml")
    else:
        usual = {
            "version": VERSION,
            "date": day,
            "moment": "before trim",
            "facing": "right",
            "point_error_mm": 1.0,
            "scale_error_percent": 1.0,
        }
        heading = f"A visit, version {VERSION}. README.txt in the case says what each line means."
        fields_text = as_toml({**usual, **values}, VISIT_FIELDS, heading).decode()
    found = _visit_fields(fields_text, place)
    whole = {
        name: read_text(home / name, f"{place}/{name}")
        for name in TABLES
        if name not in texts and (home / name).exists()
    } | texts
    if texts:
        if "points.csv" not in whole:
            raise CaseError(f"{place}/points.csv is missing; give the points with the other tables")
        _visit(found, whole, place, called)
    new = {name: text.encode() for name, text in texts.items()}
    if home.exists():
        return [
            f"{place}/{name}" for name, raw in new.items() if put(folder, f"{place}/{name}", raw)
        ]
    _lay_whole(home, {"visit.toml": fields_text.encode(), "points.csv": _POINTS_TO_FILL, **new})
    return [f"{place}/visit.toml", *(f"{place}/{name}" for name in {"points.csv": 0, **new})]


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


def add_files(
    folder: Path, day: date, pictures: Sequence[Path] = (), films: Sequence[Path] = ()
) -> list[str]:
    """Copy photographs and film of a day into the case, byte for byte, never over another file.

    Parameters
    ----------
    folder
        The folder of the case.
    day
        Day of the visit.
    pictures, films
        The files as they came from camera or telephone.

    Returns
    -------
    list of str
        A line for each file: where it lies, and whether it lay there already.

    Raises
    ------
    CaseError
        If a file is no picture or film, told by its content; then none is copied.
    """
    open_case(folder)
    kinds = [*(kind_of_picture(path) for path in pictures), *(kind_of_film(path) for path in films)]
    parts = ["pictures"] * len(pictures) + ["film"] * len(films)
    said = []
    for path, part, kind in zip([*pictures, *films], parts, kinds, strict=True):
        there, new = add_copy(path, folder / part / str(day))
        where = there.relative_to(folder).as_posix()
        said.append(f"{where} ({kind}{'' if new else ', was there already'})")
    return said


# ---- the plain page --------------------------------------------------------------------------


def plain_page() -> str:
    """What a case holds, line by line: the README.txt of every case.

    Returns
    -------
    str
        Plain text of about one page.
    """
    lines = [
        f"A CASE OF HOOFCALC, VERSION {VERSION}: one foot of one horse",
        "",
        "This folder is yours. It can be read without hoofcalc, copied and backed up like any",
        "other. Photographs and film lie in pictures/ and film/ exactly as they came. All that",
        "was measured is plain text. Decimals have a point, days are written 2026-04-07, and the",
        "end of a name is its unit: _mm, _deg (degrees), _s (seconds), _kg, _percent. A line that",
        "begins with # is a remark; take the # away to fill the line in. What hoofcalc replaces,",
        "it keeps in kept/ with the day and time. Nothing is sent anywhere.",
    ]
    for title, listed in (
        ("case.toml", CASE_FIELDS),
        ("visits/2026-04-07/visit.toml (the folder is named by the day)", VISIT_FIELDS),
    ):
        lines += ["", title]
        for field in listed:
            limits = f" From {field.low:g} to {field.high:g}." if field.low < field.high else ""
            need = "" if field.required else " May be left out."
            lines += _wrapped(f"{field.name}: {field.meaning}{limits}{need}")
    for name, columns in TABLES.items():
        lines += ["", f"visits/2026-04-07/{name}" + ("" if name == "points.csv" else " (if any)")]
        for column in columns:
            lines += _wrapped(f"{column.name}: {column.meaning}")
    lines += [
        "",
        "Points and wall lines are taken in one side picture, turned level, to the right and up",
        "from any spot. toe_ground, toe_coronet, heel_ground and heel_coronet are needed: where",
        "toe and heel wall meet the ground, and the hairline above.",
        "",
        "visits/2026-04-07/measured.toml and load_map.csv are written by: hoofcalc case FOLDER",
        "measure. Change the points, not these. In the load map utilisation_percent is the part of",
        "the horn's strength in use; inf means that the model's strip of wall gives way there.",
        "",
        "A teaching model, not a diagnosis. A lame, sore, hot, swollen or bleeding foot is a",
        "matter for a veterinary surgeon.",
        "",
    ]
    return "\n".join(lines)


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, 88, initial_indent="  ", subsequent_indent="      ")

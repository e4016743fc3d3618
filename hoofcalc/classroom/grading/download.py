"""Hand-ins as a school system hands them out for download: found, told apart, laid out for marking.

Such a download is a zip or a folder with one file or one folder per learner, called after a
name, a number, an attempt, a date in any order. No pattern is needed: the exercise stands in
the notebook itself, and whose it is follows from the id typed in it, from a known id in the
names of file and folders, or from the words of a known name there. What does not agree is said.
"""

from __future__ import annotations

import io
import re
import unicodedata
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path, PurePosixPath

from nbgrader.plugins import FileNameCollectorPlugin

from hoofcalc._files import write_whole
from hoofcalc.classroom.grading.course import CommandError, find_course, known_exercises
from hoofcalc.classroom.grading.hand_in_files import learner_id
from hoofcalc.classroom.grading.manual_grading import as_text
from hoofcalc.classroom.grading.overview import read_names
from hoofcalc.classroom.grading.results import table, write_table
from hoofcalc.classroom.grading.submissions import MOST_BYTES, HandIn, HandInError, parse, typed_id
from hoofcalc.classroom.model.variants import tidy_id

REPORT = "who-is-whom.csv"
#: What a zip may hold, so that a small file cannot fill the disk: files, and bytes in all.
_MOST_FILES, _MOST_UNPACKED = 5_000, 1_000_000_000
_STAMP = re.compile(
    r"(20\d\d)\D?([01]\d)\D?([0-3]\d)(?:\D{0,2}([0-2]\d)\D?([0-5]\d)\D?([0-5]\d)?)?"
)


@dataclass(frozen=True)
class Arrived:
    """One notebook of a download."""

    #: Folders and file inside the download.
    path: PurePosixPath
    content: bytes
    when: datetime
    exercise: str = ""
    learner: str = ""
    found_by: str = ""
    remark: str = ""


def import_download(
    download: Path,
    to: Path,
    *,
    names: Path | None = None,
    exercise: str | None = None,
    pattern: str = "",
    course: Path | None = None,
) -> int:
    """Lay a download out as ``submitted/ID/EXERCISE/``; 0 when everyone was found, 1 when not.

    `pattern` is for names that tell more than words: a regular expression with the group
    ``student_id``, as nbgrader's own ``zip_collect`` takes it.
    """
    found_course = find_course(course)
    known = known_exercises(found_course) if found_course is not None else []
    people = read_names(names) if names is not None else {}
    to = to.expanduser()
    if to.exists() and any(to.iterdir()):
        raise CommandError(f"{to} is not empty. Choose a new folder with --to.")
    collector = FileNameCollectorPlugin(named_regexp=pattern) if pattern else None
    arrived = [
        _whose(_which(one, known, exercise), people, collector)
        for one in _notebooks(download.expanduser())
    ]
    if not arrived:
        raise CommandError(f"There are no notebooks (.ipynb) in {download}")
    arrived = _latest(arrived)
    for one in arrived:
        if one.learner and one.exercise and not one.remark.startswith("not used"):
            folder = to / "submitted" / one.learner / one.exercise
            write_whole(folder / f"{one.exercise}.ipynb", one.content)
            stamp = one.when.astimezone().isoformat(" ", "seconds")
            write_whole(folder / "timestamp.txt", stamp.encode())
    return _report(to, arrived, people)


def _report(to: Path, arrived: list[Arrived], people: Mapping[str, str]) -> int:
    header = ["id", "name", "exercise", "found by", "handed in", "file", "remark"]
    rows = [
        [
            as_text(one.learner),
            people.get(one.learner, ""),
            one.exercise,
            one.found_by,
            one.when.astimezone().isoformat(" ", "minutes"),
            _shown(str(one.path)),
            _shown(one.remark),
        ]
        for one in sorted(arrived, key=lambda one: (one.learner, one.exercise, str(one.path)))
    ]
    write_table(to / REPORT, table(header, rows))
    for row in rows:
        tail = f": {row[-1]}" if row[-1] else ""
        learner = row[0].removeprefix("'") or "?"
        print(f"{learner}  {row[2] or '?'}  by {row[3] or 'nothing'}  {row[5]}{tail}")
    nobody = [one for one in arrived if not (one.learner and one.exercise)]
    absent = sorted(set(people) - {one.learner for one in arrived})
    if absent:
        print(f"nothing of: {', '.join(f'{one} ({people[one]})' for one in absent)}")
    if nobody:
        print(
            f"{len(nobody)} could not be placed: see {REPORT}, name the file by the id, try again."
        )
    print(f"\nWho is whom: {to / REPORT}\nNow: hoofcalc mark {to}")
    return 1 if nobody else 0


def _notebooks(download: Path) -> Iterator[Arrived]:
    """The notebooks in a folder or zip, zips inside it included, one level deep."""
    if download.is_dir():
        for path in sorted(download.rglob("*")):
            if path.is_symlink() or not path.is_file() or path.name.startswith("."):
                continue
            inside = PurePosixPath(path.relative_to(download).as_posix())
            when = datetime.fromtimestamp(path.stat().st_mtime).astimezone()
            if path.suffix.lower() == ".ipynb" and path.stat().st_size <= MOST_BYTES:
                yield Arrived(inside, path.read_bytes(), when)
            elif path.suffix.lower() == ".zip" and path.stat().st_size <= 10 * MOST_BYTES:
                yield from _zipped(path.read_bytes(), inside, deeper=False)
    elif download.is_file():
        yield from _zipped(download.read_bytes(), PurePosixPath(), deeper=True)
    else:
        raise CommandError(f"There is no file or folder {download}")


def _zipped(content: bytes, place: PurePosixPath, *, deeper: bool) -> Iterator[Arrived]:
    try:
        archive = zipfile.ZipFile(io.BytesIO(content))
    except zipfile.BadZipFile:
        if deeper:
            raise CommandError(
                "The download is neither a folder nor a zip that can be read"
            ) from None
        return
    members = [one for one in archive.infolist() if not one.is_dir()]
    if len(members) > _MOST_FILES or sum(one.file_size for one in members) > _MOST_UNPACKED:
        raise CommandError(
            f"{place if place.name else 'The download'} holds more than a class could hand in"
        )
    for member in members:
        inside = place / PurePosixPath(member.filename.replace("\\", "/").lstrip("/"))
        if inside.name.startswith(".") or "__MACOSX" in inside.parts:
            continue
        if member.file_size > 10 * MOST_BYTES or member.flag_bits & 1:
            continue  # larger than any hand-in, or locked with a password
        if inside.suffix.lower() == ".ipynb" and member.file_size <= MOST_BYTES:
            yield Arrived(inside, _unpacked(archive, member), _zip_time(member))
        elif inside.suffix.lower() == ".zip" and deeper:
            yield from _zipped(_unpacked(archive, member), inside, deeper=False)


def _unpacked(archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> bytes:
    """What a member holds; nothing where it is damaged, so that it stops nobody."""
    try:
        return archive.read(member)
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError, OSError):
        return b""


def _zip_time(member: zipfile.ZipInfo) -> datetime:
    try:
        return datetime(*member.date_time).astimezone()
    except ValueError:
        return datetime(1980, 1, 1).astimezone()


def _which(one: Arrived, known: list[str], exercise: str | None) -> Arrived:
    """Which exercise a notebook is: as it says itself, or as its path does."""
    handin = _parsed(one)
    says = handin.exercise if handin is not None else ""
    in_path = [name for name in known if name in str(one.path)]
    name = says if says in known else exercise or (in_path[0] if len(in_path) == 1 else "")
    return replace(
        one, exercise=name, remark="" if name else "it does not say which exercise it is"
    )


def _parsed(one: Arrived) -> HandIn | None:
    try:
        return parse(one.content)
    except HandInError:
        return None


def _whose(
    one: Arrived, people: Mapping[str, str], collector: FileNameCollectorPlugin | None
) -> Arrived:
    """Whose a notebook is, and by what it was found."""
    typed = _typed_in(one)
    ids = {tidy_id(learner): learner for learner in people}
    by_pattern = _by_pattern(one.path, collector)
    by_path = by_pattern or _id_in_path(one.path, ids) or _name_in_path(one.path, people)
    stamp = _time_in_path(one.path)
    one = one if stamp is None else replace(one, when=stamp)
    if typed and (not people or tidy_id(typed) in ids):
        learner = ids.get(tidy_id(typed), typed)
        found = replace(one, learner=_fit(learner), found_by="the id typed in it")
        if by_path and tidy_id(by_path) != tidy_id(learner):
            words = f"but the name of file or folder says {by_path}"
            return replace(
                found,
                learner=_fit(by_path),
                found_by="file or folder",
                remark=f"the id typed in it is '{typed}'" if not by_pattern else words,
            )
        return found
    if by_path:
        remark = f"the id typed in it is '{typed}'" if typed else "no id is typed in it"
        return replace(one, learner=_fit(by_path), found_by="file or folder", remark=remark)
    return replace(one, remark=one.remark or "it does not say whose it is")


def _fit(learner: str) -> str:
    """An id that can be a folder's name."""
    return learner_id(learner.replace(":", "_").strip())


def _shown(text: str) -> str:
    """Text that a terminal and a table can take."""
    return "".join(sign if sign.isprintable() else "_" for sign in text)


def _typed_in(one: Arrived) -> str:
    handin = _parsed(one)
    return typed_id(handin) if handin is not None else ""


def _by_pattern(path: PurePosixPath, collector: FileNameCollectorPlugin | None) -> str:
    found = collector.collect(str(path)) if collector is not None else None
    return str(found.get("student_id") or "") if found else ""


def _words(text: str) -> list[str]:
    """The words of a name, without capitals and accents: ``Jörg_M-12`` gives jorg, m, 12."""
    plain = unicodedata.normalize("NFKD", text.replace("ß", "ss")).casefold()
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return re.findall(r"[a-z0-9]+|[^\W_]+", plain)


def _id_in_path(path: PurePosixPath, ids: Mapping[str, str]) -> str:
    """The one known id that stands in the path as a word or a row of words."""
    said = f" {' '.join(_words(str(path)))} "
    found = {learner for tidy, learner in ids.items() if f" {' '.join(_words(tidy))} " in said}
    # of 'anna' and 'anna b', the longer
    longest = max((len(_words(one)) for one in found), default=0)
    best = {one for one in found if len(_words(one)) == longest}
    return best.pop() if len(best) == 1 else ""


def _name_in_path(path: PurePosixPath, people: Mapping[str, str]) -> str:
    """The one learner all words of whose name stand in the path, in any order."""
    said = set(_words(str(path)))
    found = [one for one, name in people.items() if name and set(_words(name)) <= said]
    return found[0] if len(found) == 1 else ""


def _time_in_path(path: PurePosixPath) -> datetime | None:
    """The last date and time that file or folders bear in their names."""
    found = list(_STAMP.finditer(str(path)))
    try:
        year, month, day, hour, minute, second = (int(part or 0) for part in found[-1].groups())
        return datetime(year, month, day, hour, minute, second).astimezone()
    except (IndexError, ValueError):
        return None


def _latest(arrived: list[Arrived]) -> list[Arrived]:
    """Of several by one learner the latest counts; the others are said not to be used."""
    best: dict[tuple[str, str], Arrived] = {}
    for one in arrived:
        key = (tidy_id(one.learner), one.exercise)
        if all(key) and (
            key not in best or (one.when, str(one.path)) > (best[key].when, str(best[key].path))
        ):
            best[key] = one
    return [
        one
        if not (one.learner and one.exercise) or best[tidy_id(one.learner), one.exercise] is one
        else replace(one, remark="not used: there is a later one")
        for one in arrived
    ]

"""The hand-ins in a folder: whose each is, and the bytes of it.

Only ordinary files of bounded size are read, never links, pipes or devices, and no
name of a file or folder goes on from here before it has been cleaned.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import stat
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from hoofcalc.classroom.grading.course import CommandError, known_exercises
from hoofcalc.classroom.grading.submissions import MOST_BYTES, HandInError, parse, typed_id
from hoofcalc.classroom.model.clean_text import one_line
from hoofcalc.classroom.model.variants import tidy_id

#: How long an id may be, so that every file called after it can be written [bytes].
_MOST_ID = 180


@dataclass(frozen=True)
class HandInFile:
    """One hand-in in the folder: whose, where, or why it is none."""

    learner: str
    path: Path
    reason: str = ""
    #: What the instructor should know about how it was found.
    notes: tuple[str, ...] = ()
    #: Whether the learner may have chosen the name of the file.
    named_by_learner: bool = True


def read_bytes(path: Path, most: int = MOST_BYTES) -> bytes:
    """The bytes of an ordinary file of sensible size, or in words why not."""
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)
    if path.is_symlink():
        raise HandInError("it is a link to another place, not a file of its own")
    try:
        if not stat.S_ISREG(path.lstat().st_mode):
            raise HandInError("it is not an ordinary file")
        handle = os.open(path, flags | getattr(os, "O_BINARY", 0))
        with os.fdopen(handle, "rb") as stream:
            if not stat.S_ISREG(os.fstat(handle).st_mode):
                raise HandInError("it is not an ordinary file")
            content = stream.read(most + 1)
    except OSError as problem:
        raise HandInError(f"the file cannot be read ({problem.strerror})") from None
    if len(content) > most:
        raise HandInError(
            f"the file is larger than {most // 1_000_000} MB: clear the outputs "
            "(menu Edit, Clear Outputs of All Cells), save, and hand in again"
        )
    return content


def learner_id(name: str) -> str:
    """An id out of the name of a file or folder: readable, printable, fit for a file's name.

    >>> learner_id("anna"), learner_id("J\\udcf6rg"), learner_id("a\\x1b[2Jb\\n"), learner_id("..")
    ('anna', 'Jörg', 'ab ', '_..')
    """
    raw = os.fsencode(name) if not any("\ud800" <= one < "\udc80" for one in name) else b""
    try:
        text = raw.decode("utf-8") if raw else name
    except UnicodeDecodeError:
        text = raw.decode("cp1252", errors="replace")  # how older programs write umlauts in a zip
    text = one_line(text, most=10_000).replace("/", "_").replace("\\", "_").replace("\x00", "_")
    if text.startswith(".") or not text.strip():
        text = f"_{text}"
    code = text.encode("utf-8", errors="replace")
    if len(code) > _MOST_ID:
        mark = hashlib.sha256(code).hexdigest()[:8]
        text = f"{code[: _MOST_ID - 9].decode('utf-8', errors='ignore')}-{mark}"
    return text


def hand_ins(
    folder: Path, name: str, marked_from: Callable[[str], str] = lambda _learner: ""
) -> tuple[list[HandInFile], list[str]]:
    """Each learner's hand-in of an exercise, and words about those that do not count.

    `marked_from` tells from which file a learner has been marked before, if at all.
    """
    return _without_doubles(_by_typed_id(list(_in(folder, name)), marked_from))


def _in(folder: Path, name: str) -> Iterator[HandInFile]:
    """The hand-ins in a folder: a file per learner, or nbgrader's own layout."""
    if (folder / "submitted").is_dir():
        folder = folder / "submitted"
    things = sorted(path for path in folder.iterdir() if not path.name.startswith("."))
    notebooks = {path.stem for path in things if path.suffix == ".ipynb" and not path.is_dir()}
    for path in things:
        if path.is_dir():
            if (path / name).is_dir():
                yield _in_folder(path, name)
        elif path.suffix == ".ipynb":
            yield _named(path)
        elif path.is_file() and path.stem not in notebooks:
            words = f"it is not a notebook: the file is called {learner_id(path.name)}"
            yield replace(_named(path), reason=words)


def _named(path: Path) -> HandInFile:
    """A hand-in that is called after its learner."""
    learner = learner_id(path.stem)
    notes = () if learner == path.stem else (f"the name of the file was read as '{learner}'",)
    return HandInFile(learner, path, notes=notes)


def _in_folder(folder: Path, name: str) -> HandInFile:
    """A hand-in in nbgrader's layout, where the folder bears the id."""
    inside = folder / name
    path = inside / f"{name}.ipynb"
    found = HandInFile(learner_id(folder.name), path, named_by_learner=False)
    if folder.is_symlink() or inside.is_symlink():
        return replace(found, reason="its folder is a link to another place, not one of its own")
    if path.exists() or path.is_symlink():
        return found
    others = sorted(inside.glob("*.ipynb"))
    if len(others) == 1:
        return replace(found, path=others[0])
    words = f"there is no {name}.ipynb in the folder"
    return replace(found, reason=words + (f", but {len(others)} others" if others else ""))


def _by_typed_id(
    found: Sequence[HandInFile], marked_from: Callable[[str], str]
) -> Iterator[HandInFile]:
    """Give a file with a name of its own to the learner whose id is typed in it.

    Only where nobody else is called so: a file or folder with that id is that learner's, and
    whoever has been marked from another file keeps that mark.
    """
    named = {tidy_id(one.learner) for one in found}
    for one in found:
        typed = _typed_in(one) if one.named_by_learner and not one.reason else ""
        other = marked_from(typed) if typed else ""
        if not typed or tidy_id(typed) in named or other not in ("", one.learner):
            yield one
        else:
            words = f"found by the id typed in it; the file is called '{one.learner}'"
            yield replace(one, learner=typed, notes=(words,))


def _typed_in(found: HandInFile) -> str:
    """The id that stands in a notebook, if it can be one."""
    try:
        typed = typed_id(parse(read_bytes(found.path)))
    except HandInError:
        return ""
    return typed if typed == learner_id(typed) and "\ufffd" not in typed else ""


def _without_doubles(found: Iterator[HandInFile]) -> tuple[list[HandInFile], list[str]]:
    """Each learner's first hand-in, and words about any other of the same id."""
    first: dict[str, HandInFile] = {}
    words = []
    for one in found:
        if one.learner in first:
            counts, does_not = (
                one_line(os.fsencode(each).decode("utf-8", errors="replace"), most=500)
                for each in (first[one.learner].path, one.path)
            )
            words.append(f"{one.learner}: handed in twice; {counts} counts, {does_not} does not")
        else:
            first[one.learner] = one
    return list(first.values()), words


def handed_in(path: Path) -> str:
    """When it was handed in: as nbgrader noted it beside the file, or the file's own date."""
    with contextlib.suppress(HandInError):
        noted = read_bytes(path.with_name("timestamp.txt"), most=1000)
        return one_line(noted.decode("utf-8", errors="replace").strip(), most=40)
    with contextlib.suppress(OSError, ValueError, OverflowError):
        return datetime.fromtimestamp(path.stat().st_mtime).astimezone().isoformat(" ", "minutes")
    return ""


def which_exercise(folder: Path, course: Path) -> str:
    """The exercise these hand-ins are of, as they say themselves."""
    known = known_exercises(course)
    if len(known) == 1:
        return known[0]
    claimed: dict[str, int] = {}
    for path in sorted(folder.rglob("*.ipynb")):
        with contextlib.suppress(HandInError):
            name = parse(read_bytes(path)).exercise
            if name in known:
                claimed[name] = claimed.get(name, 0) + 1
    most = max(claimed, key=lambda name: claimed[name], default="")
    if most and claimed[most] > sum(claimed.values()) / 2:
        return most  # a stray one is told so when it is marked
    listing = ", ".join(known)
    why = "are of several exercises" if claimed else "do not say which exercise they are"
    raise CommandError(f"The hand-ins {why}. Say which with --exercise: {listing}")

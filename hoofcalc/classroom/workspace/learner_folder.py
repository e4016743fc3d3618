"""The learner's own copy of the course: laid out, brought up to date, never written over.

What was handed out is noted in ``.hoofcalc/handed-out.json`` inside the folder. On
the next visit a file that still is as handed out is brought up to date; a file in
which the learner has written stays, and a newer version is laid beside it once.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hoofcalc import __version__
from hoofcalc._files import write_whole
from hoofcalc._where import course_folder

#: Where our own notes lie inside the learner's folder.
NOTES = ".hoofcalc"
_PARTS = ("lessons", "exercises")


class FolderError(Exception):
    """The learner's folder cannot be used; the message says why and what to do."""


@dataclass
class Layout:
    """What happened when the course was laid into a folder. Paths are relative to it."""

    folder: Path
    new: list[str] = field(default_factory=list)
    updated: list[str] = field(default_factory=list)
    beside: list[tuple[str, str]] = field(default_factory=list)

    def in_words(self) -> list[str]:
        """What to tell the learner, a line each."""
        lines = []
        if self.new:
            lines.append(f"{len(self.new)} new file(s) laid into {self.folder}")
        if self.updated:
            lines.append(
                f"{len(self.updated)} file(s) brought up to date: nothing of yours in them"
            )
        for mine, newer in self.beside:
            lines.append(
                f"You have written in {mine}: it stays. The newer version lies beside: {newer}"
            )
        return lines


def lay_out(folder: Path) -> Layout:
    """Copy the lessons and handed-out exercises into `folder` without losing a word in it.

    Parameters
    ----------
    folder : Path
        The learner's folder; made if it does not exist.

    Returns
    -------
    Layout
        What was new, brought up to date, or laid beside the learner's own.

    Raises
    ------
    FolderError
        If the folder cannot be made or written, in words for the learner.
    """
    folder = folder.expanduser().absolute()
    if folder.exists() and not folder.is_dir():
        raise FolderError(f"{folder} is a file, not a folder. Choose another with --folder.")
    try:
        (folder / NOTES).mkdir(parents=True, exist_ok=True)
        return _bring_up_to_date(folder)
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise FolderError(
            f"The folder {folder} cannot be written ({reason}). Choose another with --folder."
        ) from problem


def _bring_up_to_date(folder: Path) -> Layout:
    notes_file = folder / NOTES / "handed-out.json"
    notes = _read_notes(notes_file)
    layout = Layout(folder)
    for place, source in _course_files():
        content = source.read_bytes()
        mark = _mark(place, content)
        known = notes.setdefault(place, [])
        own = folder / place
        if not own.exists():
            write_whole(own, content)
            layout.new.append(place)
        else:
            own_mark = _mark(place, own.read_bytes())
            if own_mark == mark or mark in known:
                pass  # nothing newer to hand out
            elif own_mark in known:
                write_whole(own, content)
                layout.updated.append(place)
            else:
                newer = _free_name_beside(own)
                write_whole(newer, content)
                layout.beside.append((place, newer.relative_to(folder).as_posix()))
        if mark not in known:
            known.append(mark)
    write_whole(notes_file, json.dumps(notes, indent=1, sort_keys=True).encode())
    return layout


def _course_files() -> list[tuple[str, Path]]:
    """Every file that is handed out: its place in the learner's folder, and where it comes from."""
    files = []
    for part in _PARTS:
        source = course_folder(part)
        for path in sorted(source.rglob("*")):
            inside = path.relative_to(source)
            hidden = any(piece.startswith(".") for piece in inside.parts)
            if path.is_file() and not hidden:
                files.append((f"{part}/{inside.as_posix()}", path))
    return files


def _mark(place: str, content: bytes) -> str:
    """A fingerprint of what a person could have written in a file.

    Of a notebook that is the text of its cells: running a lesson changes outputs
    and counters, and that alone makes nothing the learner's own.
    """
    if place.endswith(".ipynb"):
        try:
            cells = json.loads(content)["cells"]
            written = [[cell["cell_type"], "".join(cell["source"])] for cell in cells]
            content = json.dumps(written).encode()
        except (ValueError, KeyError, TypeError):
            pass  # not a notebook any more: every byte counts
    return hashlib.sha256(content).hexdigest()


def _read_notes(path: Path) -> dict[str, list[str]]:
    """What was handed out before; nothing, where the notes are missing or spoilt.

    Without notes every file counts as the learner's own, so nothing can be lost.
    """
    try:
        notes: Any = json.loads(path.read_text(encoding="utf-8"))
        return {str(place): [str(mark) for mark in marks] for place, marks in notes.items()}
    except (OSError, ValueError, AttributeError, TypeError):
        return {}


def _free_name_beside(path: Path) -> Path:
    """A name beside `path` that nothing has yet, naming this version."""
    number = 1
    while True:
        again = "" if number == 1 else f" {number}"
        candidate = path.with_name(f"{path.stem} (version {__version__}{again}){path.suffix}")
        if not candidate.exists():
            return candidate
        number += 1

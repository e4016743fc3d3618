"""Points given by hand: a table goes out with the learners' texts and comes back filled in.

``to-mark-by-hand.csv`` may be opened in any spreadsheet program. What was filled in
is read at the next run and never written over: new texts are added below.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from hoofcalc._files import write_whole

FILE = "to-mark-by-hand.csv"
COLUMNS = ["id", "exercise", "question", "text", "scale", "most", "points", "comment"]


class HandMarksError(Exception):
    """The table cannot be read or written; the message says why and what to do."""


@dataclass(frozen=True)
class HandMark:
    """Points for one written answer, and where in the table they stand."""

    learner: str
    question: str
    points: float
    comment: str
    where: str
    #: The text that was marked, as it stands in the table.
    text: str = ""

    def is_for(self, text: str) -> bool:
        """Whether `text` is the one that was marked."""
        return _same(self.text) == _same(harmless(text))


@dataclass(frozen=True)
class Waiting:
    """A written answer that waits for its marker."""

    learner: str
    question: str
    text: str
    scale: Sequence[str]
    most: float


class HandMarks:
    """The table of one results folder."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / FILE
        self.header, self.rows = list(COLUMNS), []  # type: list[str], list[list[str]]
        self._delimiter = ","
        if self.path.is_file():
            self._read()

    def _read(self) -> None:
        try:
            content = self.path.read_bytes()
        except OSError as problem:
            raise HandMarksError(
                f"{self.path} cannot be read ({problem.strerror}); is it open elsewhere?"
            ) from None
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = content.decode("cp1252", errors="replace")  # what some spreadsheets save
        first = text.split("\n", 1)[0]
        self._delimiter = max(",;\t", key=first.count)
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=self._delimiter))
        if not lines:
            return
        header = [name.strip().lower() for name in lines[0]]
        missing = [name for name in COLUMNS if name not in header]
        if missing:
            raise HandMarksError(
                f"{self.path} has lost the column(s) {', '.join(missing)}. Put the first line "
                f"back: {', '.join(COLUMNS)}"
            )
        self.header = header
        self.rows = [line + [""] * (len(header) - len(line)) for line in lines[1:] if any(line)]

    def _cell(self, row: Sequence[str], name: str) -> str:
        return row[self.header.index(name)].strip()

    def given(self, exercise: str, most: dict[str, float]) -> tuple[list[HandMark], list[str]]:
        """The points filled in for an exercise, the last of several; and what cannot be read."""
        marks: dict[tuple[str, str], HandMark] = {}
        trouble = []
        for number, row in enumerate(self.rows, 2):
            written = self._cell(row, "points")
            if self._cell(row, "exercise") != exercise or not written:
                continue
            where = f"{FILE}, row {number}"
            learner, question = self._cell(row, "id").removeprefix("'"), self._cell(row, "question")
            if question not in most:
                trouble.append(f"{where}: there is no question '{question}' to mark by hand")
                continue
            try:
                points = float(written.replace(",", "."))
            except ValueError:
                trouble.append(f"{where}: '{written}' is not a number of points")
                continue
            if not 0 <= points <= most[question]:
                trouble.append(
                    f"{where}: points must be between 0 and {most[question]:g} (got {written})"
                )
                continue
            comment = self._cell(row, "comment")
            text = self._cell(row, "text")
            marks[learner, question] = HandMark(learner, question, points, comment, where, text)
        return list(marks.values()), trouble

    def add(self, exercise: str, waiting: Sequence[Waiting]) -> int:
        """Add the texts that are not in the table yet, below what is there; how many."""
        there = {
            tuple(_same(self._cell(row, name)) for name in ("id", "exercise", "question", "text"))
            for row in self.rows
        }
        new = []
        for item in waiting:
            values = {
                "id": harmless(item.learner),
                "exercise": exercise,
                "question": item.question,
                "text": harmless(item.text),
                "scale": " | ".join(item.scale),
                "most": f"{item.most:g}",
            }
            key = tuple(_same(values[name]) for name in ("id", "exercise", "question", "text"))
            if key not in there:
                new.append([values.get(name, "") for name in self.header])
        if new or not self.path.is_file():
            self._write([*self.rows, *new])
            self.rows += new
        return len(new)

    def _write(self, rows: Sequence[Sequence[str]]) -> None:
        stream = io.StringIO(newline="")
        writer = csv.writer(stream, delimiter=self._delimiter, lineterminator="\r\n")
        writer.writerows([self.header, *rows])
        try:
            write_whole(self.path, stream.getvalue().encode("utf-8-sig"))
        except OSError as problem:
            raise HandMarksError(
                f"{self.path} cannot be written ({problem.strerror}); close it in the spreadsheet "
                "program and run this again. Nothing of it is lost."
            ) from None


def harmless(text: str) -> str:
    """Text that a spreadsheet program will not take for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def _same(text: str) -> str:
    """Text as it is compared after a trip through a spreadsheet program."""
    return " ".join(text.split())

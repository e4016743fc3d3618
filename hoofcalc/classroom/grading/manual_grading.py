"""Points given by hand: a table goes out with the learners' texts and comes back filled in.

``to-mark-by-hand.csv`` may be opened in any spreadsheet program. What was filled in
is read at the next run and never written over: new texts are added below. The same words
by several stand together, and points given for one of them count for all that have none.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from hoofcalc._files import write_whole
from hoofcalc.classroom.grading.spreadsheets import as_table, read_table
from hoofcalc.classroom.model.clean_text import same_words

FILE = "to-mark-by-hand.csv"
#: How much of a text stands in the table; spreadsheet programs take 32,767 characters a cell.
MOST_TEXT = 20_000
_CUT = " ... (cut here; the whole text stands in the marked notebook)"
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
        return _same(self.text) == _same(_shown(text))


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
        self._separator = ","
        if self.path.is_file():
            self._read()

    def _read(self) -> None:
        try:
            lines, self._separator = read_table(self.path)
        except OSError as problem:
            raise HandMarksError(
                f"{self.path} cannot be read ({problem.strerror}); is it open elsewhere?"
            ) from None
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
        self.rows = [line + [""] * (len(header) - len(line)) for line in lines[1:]]

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
        self._same_words_too(exercise, marks)
        return list(marks.values()), trouble

    def _same_words_too(self, exercise: str, marks: dict[tuple[str, str], HandMark]) -> None:
        """Give the points for one text to the rows of others that hold the same words."""
        by_words: dict[tuple[str, str], HandMark] = {}
        for one in marks.values():
            if one.text:  # where markers gave the same words other points, the first counts
                by_words.setdefault((one.question, _words(one.text)), one)
        latest = {
            (self._cell(row, "id").removeprefix("'"), self._cell(row, "question")): row
            for row in self.rows
            if self._cell(row, "exercise") == exercise
        }
        for (learner, question), row in latest.items():
            text = self._cell(row, "text")
            first = by_words.get((question, _words(text)))
            if first is not None:
                marks.setdefault((learner, question), replace(first, learner=learner, text=text))

    def add(self, exercise: str, waiting: Sequence[Waiting]) -> int:
        """Add the texts that are not in the table yet, below what is there; how many."""
        there = {
            tuple(_same(self._cell(row, name)) for name in ("id", "exercise", "question", "text"))
            for row in self.rows
        }
        new = []
        first = {_grouped(item): place for place, item in reversed(list(enumerate(waiting)))}
        for item in sorted(waiting, key=lambda item: (item.question, first[_grouped(item)])):
            values = {
                "id": as_text(item.learner),
                "exercise": exercise,
                "question": item.question,
                "text": _shown(item.text),
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
        try:
            write_whole(self.path, as_table([self.header, *rows], self._separator))
        except OSError as problem:
            raise HandMarksError(
                f"{self.path} cannot be written ({problem.strerror}); close it in the spreadsheet "
                "program and run this again. Nothing of it is lost."
            ) from None


#: How a cell begins that a spreadsheet program takes for a formula, in narrow or wide signs.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\uff1d", "\uff0b", "\uff0d", "\uff20")
#: What it takes for a number, a date or a truth value and writes back in its own way.
_MONTH = "(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_NUMBER = re.compile(rf"\W*\d.*|\s*(?:true|false|{_MONTH}\W?\d+)\s*", re.IGNORECASE | re.DOTALL)


def harmless(text: str) -> str:
    """Text that a spreadsheet program will not take for a formula.

    >>> harmless("=1+1"), harmless("anna")
    ("'=1+1", 'anna')
    """
    return f"'{text}" if text.lstrip(" \n").startswith(_FORMULA) else text


def as_text(learner: str) -> str:
    """An id that a spreadsheet program takes for neither formula nor number, and gives back whole.

    >>> as_text("0012"), as_text("1E5"), as_text("mar1"), as_text("anna")
    ("'0012", "'1E5", "'mar1", 'anna')
    """
    alone = _NUMBER.fullmatch(learner) or learner.startswith("'")
    return f"'{learner}" if alone else harmless(learner)


def _shown(text: str) -> str:
    """A learner's text as it stands in the table."""
    return harmless(text if len(text) <= MOST_TEXT else text[:MOST_TEXT] + _CUT)


def _words(text: str) -> str:
    return same_words(text.removeprefix("'"))


def _grouped(item: Waiting) -> tuple[str, str]:
    return item.question, _words(_shown(item.text))


def _same(text: str) -> str:
    """Text as it is compared after a trip through a spreadsheet program."""
    return " ".join(text.removeprefix("'").split())

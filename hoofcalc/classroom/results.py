"""Where marks are kept: an nbgrader gradebook with one writer, and what is read out of it.

A results folder holds ``marks-<exercise>.csv``, ``to-mark-by-hand.csv``, feedback pages,
and in ``course/`` the gradebook and the marked notebooks in nbgrader's own layout.
Hand-ins themselves are only read. Only ids are kept, no names.
"""

from __future__ import annotations

import contextlib
import copy
import csv
import hashlib
import io
import json
import os
import sys
import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import nbformat

from hoofcalc.classroom.handmarks import HandMark, harmless
from hoofcalc.classroom.judge import Verdict
from hoofcalc.classroom.learner_folder import write_safely
from hoofcalc.classroom.marking import Assignment, Marked
from hoofcalc.classroom.questions import Written


class ResultsError(Exception):
    """The results folder cannot be used; the message says why."""


@dataclass
class Note:
    """What is remembered of one hand-in, besides the gradebook."""

    #: Fingerprints of the hand-in and of what it was marked with.
    handin: str = ""
    marked_with: str = ""
    verdicts: dict[str, Verdict] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    #: Why the hand-in that lies there now cannot be marked; empty where it can.
    reason: str = ""
    #: Fingerprint of what the feedback page shows.
    feedback: str = ""

    @property
    def marked(self) -> bool:
        """Whether there is a mark, of this hand-in or of an earlier one."""
        return bool(self.verdicts)


class Results:
    """One results folder, for one exercise."""

    def __init__(self, folder: Path, assignment: Assignment) -> None:
        self.folder, self.assignment = folder, assignment
        self.exercise = assignment.exercise
        self.course = folder / "course"
        try:
            self.course.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise ResultsError(
                f"the results folder {folder} cannot be made ({problem.strerror})"
            ) from None
        self._db_url = f"sqlite:///{(self.course / 'gradebook.db').resolve()}"
        self._exporter: Any = None
        self._register()

    @contextlib.contextmanager
    def _gradebook(self) -> Iterator[Any]:
        from nbgrader.api import Gradebook
        from sqlalchemy.exc import SAWarning, SQLAlchemyError

        try:
            with _tools_on_path(), warnings.catch_warnings(), Gradebook(self._db_url) as gradebook:
                # nbgrader adds its entries in an order that SQLAlchemy remarks upon
                warnings.simplefilter("ignore", SAWarning)
                yield gradebook
        except SQLAlchemyError as problem:
            raise ResultsError(
                f"the gradebook {self.course / 'gradebook.db'} cannot be used: "
                f"{str(problem).splitlines()[0]}"
            ) from problem

    def _register(self) -> None:
        """Tell the gradebook which cells there are and what they are worth."""
        from nbgrader.preprocessors import SaveCells

        with self._gradebook() as gradebook:
            gradebook.update_or_create_assignment(self.exercise.name)
        original = copy.deepcopy(self.assignment.original)
        try:
            SaveCells().preprocess(original, self._resources(""))
        except RuntimeError:
            raise ResultsError(
                f"the results in {self.folder} belong to an earlier exercise {self.exercise.name} "
                "with other questions; choose another folder with --results"
            ) from None

    def _resources(self, learner: str) -> dict[str, Any]:
        name = self.exercise.name
        return {
            "nbgrader": {
                "notebook": name,
                "assignment": name,
                "student": learner,
                "db_url": self._db_url,
            },
            "unique_key": name,
            "output_files_dir": f"{name}_files",
        }

    def learners(self) -> list[str]:
        """Everyone there is a note about, sorted."""
        folder = self._notes_folder()
        return sorted(path.name[: -len(".json")] for path in folder.glob("*.json"))

    def _notes_folder(self) -> Path:
        return self.course / "notes" / self.exercise.name

    def note(self, learner: str) -> Note:
        """What is remembered of a learner's hand-in; an empty note where there is none."""
        path = self._notes_folder() / f"{learner}.json"
        try:
            data = json.loads(path.read_text(encoding="utf-8"))
            verdicts = {name: Verdict(**verdict) for name, verdict in data.pop("verdicts").items()}
            return Note(**data, verdicts=verdicts)
        except (OSError, ValueError, TypeError, KeyError):
            return Note()  # mark it afresh

    def keep(self, learner: str, note: Note) -> None:
        """Remember a note."""
        path = self._notes_folder() / f"{learner}.json"
        path.parent.mkdir(parents=True, exist_ok=True)
        write_safely(path, (json.dumps(asdict(note), indent=1, ensure_ascii=False)).encode())

    def record(self, learner: str, marked: Marked, note: Note) -> None:
        """Enter one marked hand-in: the gradebook, the marked notebook, the note."""
        from nbgrader.preprocessors import AssignLatePenalties, SaveAutoGrades

        with self._gradebook() as gradebook:
            gradebook.update_or_create_student(learner)
            gradebook.update_or_create_submission(self.exercise.name, learner)
            notebook = marked.notebook
            for step in (SaveAutoGrades(), AssignLatePenalties()):
                notebook, _ = step.preprocess(notebook, self._resources(learner))
        path = self._marked_notebook(learner)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_safely(path, nbformat.writes(notebook).encode())
        self.keep(learner, note)

    def _marked_notebook(self, learner: str) -> Path:
        name = self.exercise.name
        return self.course / "autograded" / learner / name / f"{name}.ipynb"

    def enter_by_hand(self, marks: Sequence[HandMark]) -> list[str]:
        """Enter points and comments given by hand; what cannot be entered, in words."""
        from nbgrader.api import MissingEntry

        trouble = []
        name = self.exercise.name
        with self._gradebook() as gradebook:
            for mark in marks:
                cell = self.exercise.cell(mark.question, "answer")
                try:
                    grade = gradebook.find_grade(cell, name, name, mark.learner)
                    comment = gradebook.find_comment(cell, name, name, mark.learner)
                except MissingEntry:
                    trouble.append(
                        f"{mark.where}: there is no marked hand-in of '{mark.learner}' with a "
                        f"question {mark.question}"
                    )
                    continue
                grade.manual_score = mark.points
                grade.needs_manual_grade = False
                comment.manual_comment = mark.comment or None
            gradebook.db.commit()
        return trouble

    def scores(self, learner: str) -> dict[str, float | None]:
        """Points by question out of the gradebook; None where a person has yet to mark."""
        with self._gradebook() as gradebook:
            return self._scores(gradebook, learner)

    def _scores(self, gradebook: Any, learner: str) -> dict[str, float | None]:
        name = self.exercise.name
        found: dict[str, float | None] = {}
        for question in self.exercise.questions:
            part = "answer" if isinstance(question, Written) else "check"
            grade = gradebook.find_grade(self.exercise.cell(question, part), name, name, learner)
            unknown = grade.auto_score is None and grade.manual_score is None
            found[question.name] = None if unknown else float(grade.score)
        return found

    def write_marks(self, remarks: Mapping[str, Sequence[str]]) -> Path:
        """The marks as a table: one line per learner, sorted, the same bytes for the same marks.

        `remarks` adds words to a learner's line.
        """
        questions = [question.name for question in self.exercise.questions]
        header = ["id", "exercise", "points", "of", *(f"question {name}" for name in questions)]
        header += ["to mark by hand", "remark"]
        rows = []
        with self._gradebook() as gradebook:
            for learner in self.learners():
                note = self.note(learner)
                scores = self._scores(gradebook, learner) if note.marked else {}
                known = [score for score in scores.values() if score is not None]
                given = [scores.get(name) for name in questions]
                words = [f"not marked: {note.reason}"] if note.reason else []
                if note.reason and note.marked:
                    words.append("the mark is that of an earlier hand-in")
                words += [*note.notes, *remarks.get(learner, ())]
                rows.append(
                    [
                        learner,
                        self.exercise.name,
                        f"{sum(known):g}" if note.marked else "",
                        f"{self.exercise.points:g}",
                        *("" if score is None else f"{score:g}" for score in given),
                        str(len(scores) - len(known)) if note.marked else "",
                        "; ".join(words),
                    ]
                )
        path = self.folder / f"marks-{self.exercise.name}.csv"
        try:
            write_safely(path, table(header, rows))
        except OSError as problem:
            raise ResultsError(
                f"{path} cannot be written ({problem.strerror}); is it open elsewhere?"
            ) from None
        return path

    def feedback_page(self, learner: str) -> Path:
        """Where a learner's feedback page lies."""
        return self.folder / "feedback" / self.exercise.name / f"{learner}.html"

    def write_feedback(self, learner: str) -> bool:
        """Write the feedback page, if it would show anything new; whether it was written."""
        note = self.note(learner)
        shows = json.dumps(
            [note.handin, note.marked_with, self.scores(learner), self._words(learner)]
        )
        stamp = hashlib.sha256(shows.encode()).hexdigest()
        page = self.feedback_page(learner)
        if note.feedback == stamp and page.is_file():
            return False
        notebook = nbformat.read(self._marked_notebook(learner), as_version=4)
        html, _ = self._page_writer().from_notebook_node(notebook, self._resources(learner))
        page.parent.mkdir(parents=True, exist_ok=True)
        write_safely(page, html.encode())
        note.feedback = stamp
        self.keep(learner, note)
        return True

    def _words(self, learner: str) -> list[str]:
        name = self.exercise.name
        with self._gradebook() as gradebook:
            return [
                str(
                    gradebook.find_comment(
                        self.exercise.cell(question, "answer"), name, name, learner
                    ).comment
                )
                for question in self.exercise.questions
                if isinstance(question, Written)
            ]

    def _page_writer(self) -> Any:
        """What writes the feedback page, as nbgrader would with the course's own settings."""
        if self._exporter is None:
            from nbconvert.exporters import HTMLExporter

            from hoofcalc.classroom.nbgrader_step import (
                TEMPLATE,
                TEMPLATES,
                GetGradesAndWaiting,
            )

            self._exporter = HTMLExporter(
                template_name=TEMPLATE,
                extra_template_basedirs=[str(TEMPLATES)],
            )
            self._exporter.register_preprocessor(GetGradesAndWaiting, enabled=True)
        return self._exporter


def digest(*contents: bytes) -> str:
    """A fingerprint of some files."""
    return hashlib.sha256(b"\x00".join(contents)).hexdigest()


def table(header: Sequence[str], rows: Sequence[Sequence[str]]) -> bytes:
    """A CSV table that spreadsheet programs open with their umlauts in order."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows([harmless(cell) for cell in row] for row in rows)
    return stream.getvalue().encode("utf-8-sig")


@contextlib.contextmanager
def _tools_on_path() -> Iterator[None]:
    """nbgrader starts a tool by name when it makes a gradebook; it lies beside this Python."""
    before = os.environ.get("PATH", "")
    os.environ["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), before])
    try:
        yield
    finally:
        os.environ["PATH"] = before


def describe(scores: Mapping[str, float | None], most: float) -> str:
    """Points in a few words."""
    known = sum(score for score in scores.values() if score is not None)
    waiting = sum(score is None for score in scores.values())
    tail = f", {waiting} to mark by hand" if waiting else ""
    return f"{known:g} of {most:g} points{tail}"

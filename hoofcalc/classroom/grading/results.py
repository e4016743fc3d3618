"""Where marks are kept: an nbgrader gradebook with one writer, and what is read out of it.

A results folder holds ``marks-<exercise>.csv``, ``to-mark-by-hand.csv``, feedback pages,
and in ``course/`` the gradebook and the marked notebooks in nbgrader's own layout.
Hand-ins themselves are only read. Only ids are kept, no names.
"""

from __future__ import annotations

import contextlib
import copy
import errno
import hashlib
import importlib
import json
import shutil
import sqlite3
import threading
import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import nbformat

from hoofcalc._counted import counted
from hoofcalc._files import write_whole
from hoofcalc.classroom.grading.batch import Outcome
from hoofcalc.classroom.grading.formgrader_course import lay_out
from hoofcalc.classroom.grading.manual_grading import HandMark, as_text, harmless
from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.grading.spreadsheets import as_table
from hoofcalc.classroom.model.clean_text import one_line
from hoofcalc.classroom.model.judge import Verdict
from hoofcalc.classroom.model.questions import Question, Written

#: What the system says to a name or a text that it cannot take; anything else is its own trouble.
_NOT_TAKEN = (errno.ENAMETOOLONG, errno.EINVAL, errno.EILSEQ)


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
    #: When it was handed in, as far as the file tells: ISO 8601, the machine's own time.
    handed_in: str = ""
    #: The name of the file that was marked, as an id.
    file: str = ""
    #: What was last taken from the table of marks by hand: fingerprints, by question.
    by_hand: dict[str, str] = field(default_factory=dict)

    @property
    def marked(self) -> bool:
        """Whether there is a mark, of this hand-in or of an earlier one."""
        return bool(self.verdicts)


class Results:
    """One results folder, for one exercise. Close it, or use it in a ``with`` statement.

    There is one writer at a time, and hand-ins are entered one by one. What is entered is
    kept in the order gradebook, marked notebook, note: the note says that a hand-in is done,
    so whoever is stopped in between marks it again, and nothing is lost or doubled.
    """

    def __init__(
        self, folder: Path, assignment: Assignment, *, gradebook: str | None = None
    ) -> None:
        self.folder, self.assignment = folder, assignment
        self.exercise = assignment.exercise
        self.course = folder / "course"
        try:
            self.course.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise ResultsError(
                f"the results folder {folder} cannot be made ({problem.strerror})"
            ) from None
        self._db_url = gradebook or f"sqlite:///{(self.course / 'gradebook.db').resolve()}"
        self._elsewhere = gradebook or ""
        self._writer = _only_writer(self.course)
        if gradebook is None and not (self.course / "gradebook.db").exists():
            shutil.rmtree(self._notes_folder(), ignore_errors=True)  # notes without their marks
        self._book: Any = None
        self._loading = threading.Thread(target=_load)
        self._exporter: Any = None

    def __enter__(self) -> Results:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the gradebook."""
        try:
            if self._book is not None:
                self._book.close()
                self._book = None
        finally:
            self._writer.close()

    def get_ready(self) -> None:
        """Begin to load what gradebook and pages need, and do not wait for it."""
        self._loading.start()

    @contextlib.contextmanager
    def _gradebook(self) -> Iterator[Any]:
        """nbgrader's gradebook, opened once; what is changed is committed all at once."""
        if self._loading.ident is not None:
            self._loading.join()
        from sqlalchemy.exc import (
            DataError,
            DBAPIError,
            IntegrityError,
            SAWarning,
            SQLAlchemyError,
            StatementError,
        )

        try:
            with warnings.catch_warnings():
                # nbgrader adds its entries in an order that SQLAlchemy remarks upon
                warnings.simplefilter("ignore", SAWarning)
                if self._book is None:
                    with _one_marker_at_a_time(self._db_url):
                        self._book = self._open()
                _wait_for_other_markers(self._book.db)
                commit, self._book.db.commit = self._book.db.commit, self._book.db.flush
                try:
                    yield self._book
                except BaseException:
                    self._book.db.rollback()
                    raise
                finally:
                    self._book.db.commit = commit
                commit()
        except (DataError, IntegrityError):
            raise  # what was to be entered cannot be
        except SQLAlchemyError as problem:
            if isinstance(problem, StatementError) and not isinstance(problem, DBAPIError):
                raise  # the same, noticed earlier
            raise ResultsError(
                f"the gradebook {self._db_url} cannot be used: {str(problem).splitlines()[0]}"
            ) from problem

    def _open(self) -> Any:
        """Open the gradebook, and tell it which cells there are and what they are worth."""
        from nbgrader.api import Gradebook
        from nbgrader.preprocessors import SaveCells

        with _version_without_a_program():
            gradebook = Gradebook(self._db_url)
        gradebook.update_or_create_assignment(self.exercise.name)
        original = copy.deepcopy(self.assignment.original)
        try:
            SaveCells().preprocess(original, self._resources(""))
        except RuntimeError:
            gradebook.close()
            raise ResultsError(
                f"the results in {self.folder} belong to an earlier exercise {self.exercise.name} "
                "with other questions; choose another folder with --results"
            ) from None
        lay_out(self.course, self.exercise.name, self.assignment.original, self._elsewhere)
        return gradebook

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
        except (OSError, ValueError, TypeError, KeyError, AttributeError):
            return Note()  # mark it afresh

    def keep(self, learner: str, note: Note) -> None:
        """Remember a note."""
        path = self._notes_folder() / f"{learner}.json"
        write_whole(path, (json.dumps(asdict(note), indent=1, ensure_ascii=False)).encode())

    def record(self, outcome: Outcome, note: Note) -> Note:
        """Enter one marked hand-in: the gradebook first, then the notebook, then the note.

        What it holds may be more than the gradebook or the disk can take: then the note that
        is given back, and kept, says so in its `reason`.
        """
        try:
            with self._gradebook() as gradebook:
                self._enter(gradebook, outcome)
            write_whole(self._marked_notebook(outcome.learner), outcome.notebook.encode())
        except ResultsError:
            raise
        except Exception as fault:
            if isinstance(fault, OSError) and fault.errno not in _NOT_TAKEN:
                raise  # the disk is full or the like: no fault of the hand-in
            note = self.note(outcome.learner)
            note.reason = f"entering it failed, please report this: {one_line(repr(fault))}"
        self.keep(outcome.learner, note)
        return note

    def _enter(self, gradebook: Any, outcome: Outcome) -> None:
        """The entries that nbgrader's own SaveAutoGrades would make, by fewer questions."""
        name = self.exercise.name
        gradebook.update_or_create_student(outcome.learner)
        submission = gradebook.update_or_create_submission(name, outcome.learner)
        (notebook,) = submission.notebooks
        verdicts = {
            self.exercise.cell(question, _graded_cell(question)): outcome.verdicts[question.name]
            for question in self.exercise.questions
        }
        before = self.note(outcome.learner)
        texts = {self.exercise.cell(key, "answer"): key for key in outcome.texts}
        for grade in notebook.grades:
            verdict, score = verdicts[grade.cell.name], grade.auto_score
            grade.auto_score = None if verdict.state == "waiting" else verdict.points
            if grade.manual_score is None:
                grade.needs_manual_grade = grade.auto_score is None
            elif grade.cell.name in texts:  # a person gave points for the text there was
                key = texts[grade.cell.name]
                other = before.texts.get(key) != outcome.texts[key]
                grade.needs_manual_grade = bool(grade.needs_manual_grade) or other
            else:  # a person changed the points of an answer that was judged otherwise
                other = score != grade.auto_score
                grade.needs_manual_grade = bool(grade.needs_manual_grade) or other
        for comment in notebook.comments:
            untouched = comment.cell.name in outcome.untouched
            comment.auto_comment = "No response." if untouched else None

    def _marked_notebook(self, learner: str) -> Path:
        name = self.exercise.name
        return self.course / "autograded" / learner / name / f"{name}.ipynb"

    def enter_by_hand(self, marks: Sequence[HandMark]) -> tuple[int, list[str]]:
        """Enter points and comments given by hand; how many, and what cannot be, in words.

        What was taken from the table once is not taken again, so that a mark which was changed
        elsewhere since, as in the formgrader, stays changed.
        """
        from nbgrader.api import MissingEntry

        trouble: list[str] = []
        if not marks:
            return 0, trouble
        taken: dict[str, Note] = {}
        entered = 0
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
                note = taken.get(mark.learner) or self.note(mark.learner)
                stamp = digest(repr((mark.points, mark.comment, mark.text)).encode())
                if note.by_hand.get(mark.question) == stamp and grade.manual_score is not None:
                    continue
                grade.manual_score = mark.points
                grade.needs_manual_grade = not mark.is_for(note.texts.get(mark.question, ""))
                comment.manual_comment = mark.comment or None
                note.by_hand[mark.question] = stamp
                taken[mark.learner] = note
                entered += 1
        for learner, note in taken.items():
            self.keep(learner, note)
        return entered, trouble

    def give(self, learner: str, question: str, points: float, words: str = "") -> float | None:
        """Give points for an answer by hand, with words for the learner; the points before."""
        name = self.exercise.name
        part = _graded_cell(self.exercise.question(question))
        with self._gradebook() as gradebook:
            cell = self.exercise.cell(question, part)
            grade = gradebook.find_grade(cell, name, name, learner)
            unknown = grade.auto_score is None and grade.manual_score is None
            before = None if unknown else float(grade.score)
            grade.manual_score, grade.needs_manual_grade = points, False
            if words:
                cell = self.exercise.cell(question, "answer")
                gradebook.find_comment(cell, name, name, learner).manual_comment = words
        return before

    def enter_lateness(
        self, due: datetime | None, entries: Mapping[str, tuple[datetime | None, float, float]]
    ) -> None:
        """Enter when it is due, and by learner: handed in, days more, points taken off."""
        name = self.exercise.name
        with self._gradebook() as gradebook:
            gradebook.update_or_create_assignment(name, duedate=_in_utc(due))
            for learner, (handed_in, days, taken_off) in entries.items():
                submission = gradebook.find_submission(name, learner)
                submission.timestamp = _in_utc(handed_in)
                submission.extension = timedelta(days=days) if days and due is not None else None
                for notebook in submission.notebooks:
                    notebook.late_submission_penalty = taken_off or None

    def extensions(self) -> dict[str, timedelta]:
        """How much longer some learners have, as it stands in the gradebook."""
        with self._gradebook() as gradebook:
            submissions = gradebook.assignment_submissions(self.exercise.name)
            return {one.student_id: one.extension for one in submissions if one.extension}

    def forget(self, learner: str) -> None:
        """Take a learner out of gradebook and notes, with page and marked notebook."""
        from nbgrader.api import MissingEntry
        from sqlalchemy import text

        with self._gradebook() as gradebook, contextlib.suppress(MissingEntry):
            gradebook.remove_student(learner)
        if self._book.engine.dialect.name == "sqlite":  # what is deleted stays in the file else
            with self._book.engine.connect() as connection:
                connection.execution_options(isolation_level="AUTOCOMMIT").execute(text("VACUUM"))
        (self._notes_folder() / f"{learner}.json").unlink(missing_ok=True)
        self.feedback_page(learner).unlink(missing_ok=True)
        shutil.rmtree(self.course / "autograded" / learner, ignore_errors=True)

    def marked_notebook(self, learner: str) -> Any:
        """A learner's marked notebook."""
        return nbformat.v4.reads(self._marked_notebook(learner).read_text(encoding="utf-8"))

    def standings(self) -> dict[str, Standing]:
        """Points and comments out of the gradebook, by learner, of all who have a note here."""
        from nbgrader.api import (
            Assignment as Entry,
        )
        from nbgrader.api import (
            Comment,
            Grade,
            SolutionCell,
            SubmittedAssignment,
            SubmittedNotebook,
        )
        from nbgrader.api import (
            GradeCell as GradedCell,
        )

        by_cell = {self.exercise.cell(q, _graded_cell(q)): q.name for q in self.exercise.questions}
        found: dict[str, Standing] = {}
        mine = set(self.learners())  # others may mark into the same gradebook
        with self._gradebook() as gradebook:

            def everyone(kind: Any, cell: Any) -> Any:
                return (
                    gradebook.db.query(SubmittedAssignment.student_id, cell.name, kind)
                    .join(cell, cell.id == kind.cell_id)
                    .join(SubmittedNotebook, SubmittedNotebook.id == kind.notebook_id)
                    .join(
                        SubmittedAssignment,
                        SubmittedAssignment.id == SubmittedNotebook.assignment_id,
                    )
                    .join(Entry, Entry.id == SubmittedAssignment.assignment_id)
                    .filter(Entry.name == self.exercise.name)
                )

            for learner, cell, grade in everyone(Grade, GradedCell):
                if learner not in mine:
                    continue
                unknown = grade.auto_score is None and grade.manual_score is None
                one = found.setdefault(learner, Standing())
                one.scores[by_cell[cell]] = None if unknown else float(grade.score)
                if grade.manual_score is not None:
                    one.by_hand[by_cell[cell]] = float(grade.score)
                    if grade.needs_manual_grade:
                        one.changed.add(by_cell[cell])
            for learner, cell, comment in everyone(Comment, SolutionCell):
                if learner in found:
                    found[learner].comments[cell] = comment.comment
        for one in found.values():  # in the order of the questions
            one.scores = {q.name: one.scores[q.name] for q in self.exercise.questions}
        return found

    def write_marks(
        self, standings: Mapping[str, Standing], remarks: Mapping[str, Sequence[str]]
    ) -> Path:
        """The marks as a table: one line per learner, sorted, the same bytes for the same marks.

        `remarks` adds words to a learner's line.
        """
        questions = [question.name for question in self.exercise.questions]
        header = ["id", "exercise", "points", "of", *(f"question {name}" for name in questions)]
        header += ["to mark by hand", "remark"]
        rows = []
        for learner in self.learners():
            note = self.note(learner)
            standing = standings[learner] if note.marked else Standing()
            given = [standing.scores.get(name) for name in questions]
            words = [f"not marked: {note.reason}"] if note.reason else []
            if note.reason and note.marked:
                words.append("the mark is that of an earlier hand-in")
            words += [*note.notes, *remarks.get(learner, ())]
            rows.append(
                [
                    as_text(learner),
                    self.exercise.name,
                    f"{standing.points:g}" if note.marked else "",
                    f"{self.exercise.points:g}",
                    *("" if score is None else f"{score:g}" for score in given),
                    str(standing.waiting) if note.marked else "",
                    "; ".join(words),
                ]
            )
        path = self.folder / f"marks-{self.exercise.name}.csv"
        write_table(path, table(header, rows))
        return path

    def feedback_page(self, learner: str) -> Path:
        """Where a learner's feedback page lies."""
        return self.folder / "feedback" / self.exercise.name / f"{learner}.html"

    def write_feedback(self, learner: str, standing: Standing) -> bool:
        """Write the feedback page, if it would show anything new; whether it was written."""
        note = self.note(learner)
        shows = json.dumps([note.handin, note.marked_with, asdict(standing)], default=sorted)
        stamp = hashlib.sha256(shows.encode()).hexdigest()
        page = self.feedback_page(learner)
        if note.feedback == stamp and page.is_file():
            return False
        notebook, resources = self.marked_notebook(learner), self._resources(learner)
        self._put_in(notebook, resources, standing)
        write_whole(page, self._page_writer().page(notebook, resources).encode())
        note.feedback = stamp
        self.keep(learner, note)
        return True

    def _put_in(self, notebook: Any, resources: dict[str, Any], standing: Standing) -> None:
        """Points and comments into the notebook, as nbgrader's own GetGrades does."""
        questions = {self.exercise.cell(q, _graded_cell(q)): q for q in self.exercise.questions}
        for cell in notebook.cells:
            ours = cell.metadata.get("nbgrader", {})
            name = ours.get("grade_id")
            if ours.get("solution"):
                ours["comment"] = standing.comments.get(name)
            if ours.get("grade"):
                score = standing.scores[questions[name].name]
                ours["score"], ours["points"] = score or 0.0, questions[name].points
                ours["waiting"] = score is None
                ours["changed"] = questions[name].name in standing.changed
        resources["nbgrader"] |= {
            "score": standing.points,
            "max_score": self.exercise.points,
            "late_penalty": 0,
        }

    def _page_writer(self) -> Any:
        """What writes the feedback page, as nbgrader would with the course's own settings."""
        if self._exporter is None:
            from hoofcalc.classroom.grading.feedback_page import FeedbackPage

            self._exporter = FeedbackPage(default_preprocessors=[])
        return self._exporter


@dataclass
class Standing:
    """Where a learner stands: points by question (None: a person has yet to mark), comments."""

    scores: dict[str, float | None] = field(default_factory=dict)
    comments: dict[str, str | None] = field(default_factory=dict)
    #: Those of the points that a person gave.
    by_hand: dict[str, float] = field(default_factory=dict)
    #: Those of the latter whose answer has changed since.
    changed: set[str] = field(default_factory=set)

    @property
    def points(self) -> float:
        """Points so far."""
        return sum(score for score in self.scores.values() if score is not None)

    @property
    def waiting(self) -> int:
        """How many answers a person has yet to mark."""
        return sum(score is None for score in self.scores.values()) + len(self.changed)

    def in_words(self, most: float) -> str:
        """Points in a few words."""
        tail = f", {self.waiting} to mark by hand" if self.waiting else ""
        return f"{self.points:g} of {counted(most, 'point')}{tail}"


def _graded_cell(question: Question) -> str:
    """Which of a question's cells carries the points."""
    return "answer" if isinstance(question, Written) else "check"


def _in_utc(when: datetime | None) -> datetime | None:
    """A time as nbgrader keeps it: in UTC, without saying so."""
    return None if when is None else when.astimezone(UTC).replace(tzinfo=None)


def _load() -> None:
    for module in ("alembic.script", "nbgrader.preprocessors", f"{__package__}.feedback_page"):
        importlib.import_module(module)


def _only_writer(folder: Path) -> sqlite3.Connection:
    """Hold the folder for this process alone. Let go by the system itself if it is killed."""
    holder = sqlite3.connect(folder / "writing.lock", timeout=0, isolation_level=None)
    try:
        holder.execute("BEGIN EXCLUSIVE")
    except sqlite3.OperationalError:
        holder.close()
        raise ResultsError(
            f"another 'hoofcalc mark' is writing into {folder.parent} at this moment; "
            "wait until it has ended"
        ) from None
    return holder


#: A number of our own by which markers on one PostgreSQL database wait for each other.
_MARKERS = 4071203650


def _wait_for_other_markers(database: Any) -> None:
    """Go on when no other marker is in this gradebook, until the transaction ends.

    So nobody reads half of what another is entering, and two who enter the same learner at
    once do so one after the other. A file has its one writer; of databases on a server
    PostgreSQL can do it, and lets go by itself of a marker that was killed.
    """
    from sqlalchemy import text

    if database.get_bind().dialect.name == "postgresql":
        database.execute(text(f"SELECT pg_advisory_xact_lock({_MARKERS})"))


@contextlib.contextmanager
def _one_marker_at_a_time(gradebook: str) -> Iterator[None]:
    """The same for what nbgrader does in transactions of its own, as when it makes the tables."""
    from sqlalchemy import create_engine
    from sqlalchemy.orm import Session

    engine = create_engine(gradebook)
    try:
        with Session(engine) as waiting:
            _wait_for_other_markers(waiting)
            yield
    finally:
        engine.dispose()


def write_table(path: Path, content: bytes) -> None:
    """Write a table, or say why not."""
    try:
        write_whole(path, content)
    except OSError as problem:
        raise ResultsError(
            f"{path} cannot be written ({problem.strerror}); is it open elsewhere?"
        ) from None


def digest(*contents: bytes) -> str:
    """A fingerprint of some files."""
    return hashlib.sha256(b"\x00".join(contents)).hexdigest()


def table(header: Sequence[str], rows: Sequence[Sequence[str]]) -> bytes:
    """A table in which no cell is taken for a formula."""
    return as_table([header, *([harmless(cell) for cell in row] for row in rows)])


@contextlib.contextmanager
def _version_without_a_program() -> Iterator[None]:
    """Let nbgrader ask for the version of a new gradebook here, and not by a program of its own.

    That takes seconds, and fails where the program is not on the path.
    """
    import nbgrader.api
    from alembic.script import ScriptDirectory
    from nbgrader.dbutil import ALEMBIC_DIR

    before = nbgrader.api.get_alembic_version
    nbgrader.api.get_alembic_version = ScriptDirectory(ALEMBIC_DIR).get_current_head
    try:
        yield
    finally:
        nbgrader.api.get_alembic_version = before

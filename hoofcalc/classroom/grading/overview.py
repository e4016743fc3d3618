"""How a class stands: by ability, by slip, by learner; what was late and what is still open.

Worked out from the notes and the gradebook that marking left. Names come from the
instructor's own file and go into the overview and the table for the school alone.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from pathlib import Path

from hoofcalc.classroom.grading.course import CommandError
from hoofcalc.classroom.grading.results import Note, Standing
from hoofcalc.classroom.grading.spreadsheets import read_columns
from hoofcalc.classroom.model.questions import Exercise

#: Less than this share of the points decided so far, and a learner is called stuck.
STUCK_BELOW = 0.5
#: What a verdict names that is no slip in the matter.
_NO_SLIPS = {"numbers of another id", "the cell stopped"}


@dataclass(frozen=True)
class Idea:
    """One ability: which questions ask for it, and how far the class has got with it."""

    words: str
    questions: tuple[str, ...]
    #: Mean share of its points among those who have been marked on it, 0 to 1; None: nobody yet.
    share: float | None
    #: Learners with all, some and none of its points.
    full: int
    part: int
    none: int

    @property
    def percent(self) -> str:
        """The share in words."""
        return "not marked yet" if self.share is None else f"{100 * self.share:.0f} %"


@dataclass(frozen=True)
class CommonSlip:
    """A slip that several may have made: where, what, how often, and the message it gets."""

    question: str
    title: str
    name: str
    message: str
    learners: tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """One learner in one exercise."""

    learner: str
    points: float | None
    states: Mapping[str, str]
    scores: Mapping[str, float | None]
    waiting: int
    stuck: bool
    #: Ideas with less than half of their points.
    missing: tuple[str, ...]
    handed_in: str
    late: bool
    remark: str


@dataclass(frozen=True)
class Overview:
    """A class in one exercise."""

    exercise: Exercise
    rows: tuple[Row, ...]
    ideas: tuple[Idea, ...]
    slips: tuple[CommonSlip, ...]

    @property
    def marked(self) -> list[Row]:
        """Those who have a mark."""
        return [row for row in self.rows if row.points is not None]

    @property
    def mean(self) -> float:
        """Mean points of those who have a mark; 0 where nobody has."""
        points = [row.points or 0.0 for row in self.marked]
        return sum(points) / len(points) if points else 0.0


def look_at(
    exercise: Exercise,
    notes: Mapping[str, Note],
    standings: Mapping[str, Standing],
    due: datetime | None = None,
    extensions: Mapping[str, timedelta] | None = None,
) -> Overview:
    """Put together how a class stands in one exercise.

    A learner is stuck who has less than half of the points decided so far; what waits for
    a marker is not counted against anyone. `extensions` are added to `due`, by learner.
    """
    more = extensions or {}
    rows = [
        _row(
            exercise,
            learner,
            notes[learner],
            standings.get(learner, Standing()),
            None if due is None else due + more.get(learner, timedelta()),
        )
        for learner in sorted(notes)
    ]
    groups: dict[str, list[str]] = {}
    for question in exercise.questions:
        groups.setdefault(question.idea, []).append(question.name)
    marked = {row.learner: row for row in rows if row.points is not None}
    ideas = [
        _idea(exercise, words, names, list(marked.values())) for words, names in groups.items()
    ]
    made: dict[tuple[str, str, str], list[str]] = {}
    for learner in marked:
        for name, verdict in notes[learner].verdicts.items():
            counts = verdict.slip and verdict.slip not in _NO_SLIPS
            if counts and verdict.state in ("nearly", "keep going"):
                made.setdefault((name, verdict.slip, verdict.message), []).append(learner)
    slips = [
        CommonSlip(name, exercise.question(name).title, slip, message, tuple(learners))
        for (name, slip, message), learners in made.items()
    ]
    slips.sort(key=lambda slip: (-len(slip.learners), slip.question, slip.name))
    return Overview(exercise, tuple(rows), tuple(ideas), tuple(slips))


def _row(
    exercise: Exercise, learner: str, note: Note, standing: Standing, due: datetime | None
) -> Row:
    decided = {name: score for name, score in standing.scores.items() if score is not None}
    most = sum(exercise.question(name).points for name in decided)
    by_idea: dict[str, list[tuple[float, float]]] = {}
    for name, score in decided.items():
        question = exercise.question(name)
        by_idea.setdefault(question.idea, []).append((score, question.points))
    missing = [
        idea
        for idea, parts in by_idea.items()
        if sum(score for score, _ in parts) < STUCK_BELOW * sum(points for _, points in parts)
    ]
    when = read_time(note.handed_in)
    return Row(
        learner=learner,
        points=standing.points if note.marked else None,
        states={name: verdict.state for name, verdict in note.verdicts.items()},
        scores=standing.scores,
        waiting=standing.waiting,
        stuck=note.marked and sum(decided.values()) < STUCK_BELOW * most,
        missing=tuple(missing),
        handed_in=note.handed_in,
        late=due is not None and when is not None and when > due,
        remark=f"not marked: {note.reason}" if note.reason else "; ".join(note.notes),
    )


def _idea(exercise: Exercise, words: str, names: Sequence[str], rows: Sequence[Row]) -> Idea:
    shares = []
    for row in rows:
        parts = [
            (score, exercise.question(name).points)
            for name in names
            if (score := row.scores.get(name)) is not None
        ]
        if parts:
            shares.append(sum(score for score, _ in parts) / sum(points for _, points in parts))
    full = sum(share >= 1 - 1e-9 for share in shares)
    none = sum(share == 0 for share in shares)
    mean = sum(shares) / len(shares) if shares else None
    return Idea(words, tuple(names), mean, full, len(shares) - full - none, none)


def read_time(text: str) -> datetime | None:
    """A time as it stands in a note; the machine's own zone where none is named."""
    words = text.strip()
    if words.endswith(" UTC"):
        words = f"{words[:-4]}+00:00"
    try:
        found = datetime.fromisoformat(words)
    except ValueError:
        return None
    return found.astimezone()


def read_due(text: str) -> datetime:
    """When something is due: a day (until its end), or a day and a time.

    >>> read_due("30.11.2026") == read_due("2026-11-30")
    True
    """
    words = re.sub(r"^\s*(\d{1,2})\.\s*(\d{1,2})\.\s*(\d{4})", _year_first, text)
    found = read_time(words)
    if found is None:
        raise CommandError(
            f"'{text}' is not a date: write 2026-11-30, 30.11.2026, or '2026-11-30 18:00'"
        )
    if len(words.strip()) <= 10:
        found = datetime.combine(found.date(), time.max).astimezone()
    return found


def _year_first(found: re.Match[str]) -> str:
    day, month, year = found.groups()
    return f"{year}-{month:0>2}-{day:0>2}"


def read_names(path: Path) -> dict[str, str]:
    """Names by id out of the instructor's own CSV with the columns ``id`` and ``name``."""
    try:
        rows = read_columns(path, ["id", "name"])
    except OSError as problem:
        raise CommandError(f"{path} cannot be read ({problem.strerror})") from None
    return {row["id"].strip(): row["name"].strip() for row in rows if row["id"].strip()}


def called(learner: str, names: Mapping[str, str]) -> str:
    """A learner as the instructor knows them: the id, with the name where it is known."""
    return f"{learner} ({names[learner]})" if names.get(learner) else learner

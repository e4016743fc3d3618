"""Marks changed by hand: entered into the gradebook, with who, when and why on record."""

from __future__ import annotations

from dataclasses import astuple, dataclass, fields, replace
from datetime import datetime
from pathlib import Path

from hoofcalc.classroom.grading.course import CommandError
from hoofcalc.classroom.grading.manual_grading import as_text
from hoofcalc.classroom.grading.results import Results, table, write_table
from hoofcalc.classroom.grading.results_folder import one_exercise, results_folder
from hoofcalc.classroom.grading.spreadsheets import read_table

FILE = "changed-marks.csv"


@dataclass(frozen=True)
class Change:
    """One changed mark."""

    when: str
    who: str
    id: str
    exercise: str
    question: str
    before: str
    now: str
    why: str


def change_mark(
    folder: Path,
    learner: str,
    exercise: str,
    question: str,
    points: float,
    *,
    who: str,
    why: str,
    course: Path | None = None,
    gradebook: str | None = None,
) -> int:
    """Change the points of one answer; 0 when done."""
    for word, said in (("--who", who), ("--why", why)):
        if not said.strip():
            raise CommandError(f"Say {word}: a changed mark is kept with who changed it and why.")
    target = results_folder(folder)
    with one_exercise(target, exercise, course, gradebook) as kept:
        change = enter(kept, learner, question, points, who=who, why=why)
        record(target, [change])
        kept.write_feedback(learner, kept.standings()[learner])
    print(
        f"{learner}, {exercise}, question {question}: {change.before or 'nothing'} before, "
        f"{change.now} now. Noted in {target / FILE}.\n"
        "The feedback page is new; 'hoofcalc mark' brings the change into the table of marks."
    )
    return 0


def enter(
    kept: Results,
    learner: str,
    question: str,
    points: float,
    *,
    who: str,
    why: str,
    words: str = "",
) -> Change:
    """Put points by hand into the gradebook, with `words` for the learner; what changed."""
    names = {one.name: one for one in kept.exercise.questions}
    if question not in names:
        raise CommandError(
            f"{kept.exercise.name} has no question '{question}'. It has: {', '.join(names)}"
        )
    if not 0 <= points <= names[question].points:
        raise CommandError(
            f"Points for question {question} must be between 0 and {names[question].points:g} "
            f"(got {points:g})."
        )
    if learner not in kept.learners() or not kept.note(learner).marked:
        raise CommandError(f"There is no marked hand-in of '{learner}' in {kept.exercise.name}.")
    before = kept.give(learner, question, points, words)
    return Change(
        when=datetime.now().astimezone().isoformat(" ", "seconds"),
        who=who.strip(),
        id=learner,
        exercise=kept.exercise.name,
        question=question,
        before="" if before is None else f"{before:g}",
        now=f"{points:g}",
        why=why.strip(),
    )


def changes(target: Path) -> list[Change]:
    """All changes on record, the oldest first."""
    path = target / FILE
    if not path.is_file():
        return []
    rows, _ = read_table(path)
    return [Change(*(cell.removeprefix("'") for cell in row)) for row in rows[1:]]


def record(target: Path, new: list[Change]) -> None:
    """Add changes to the record; those before stay."""
    write(target, [*changes(target), *new])


def write(target: Path, kept: list[Change]) -> None:
    """Write the record."""
    header = [one.name for one in fields(Change)]
    rows = [list(astuple(replace(one, id=as_text(one.id)))) for one in kept]
    write_table(target / FILE, table(header, rows))

"""Write what an instructor sees of a class: overview, tables for the school, the gist in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from pathlib import Path

from hoofcalc._counted import counted
from hoofcalc.classroom.grading.course import CommandError
from hoofcalc.classroom.grading.late_days import Plan, read_plan
from hoofcalc.classroom.grading.manual_grading import as_text
from hoofcalc.classroom.grading.overview import Overview, called, look_at, read_due, read_names
from hoofcalc.classroom.grading.overview_page import write_page, write_pdf
from hoofcalc.classroom.grading.question_report import HEADER, question_rows, to_look_at
from hoofcalc.classroom.grading.results import table, write_table
from hoofcalc.classroom.grading.results_folder import each_exercise, results_folder


def show(
    folder: Path,
    *,
    names: Path | None = None,
    due: str | None = None,
    plan: Path | None = None,
    course: Path | None = None,
    gradebook: str | None = None,
) -> int:
    """Write the overview of a results folder and say the gist of it; 0 when done.

    What was due when is said by `due`, for all exercises alike, or else by `plan`. Extensions
    are those of the plan, or else those that stand in the gradebook.
    """
    target = results_folder(folder)
    known = read_names(names) if names is not None else {}
    laid_down = read_plan(plan) if plan is not None else Plan()
    for_all = read_due(due) if due is not None else None
    views = []
    for kept in each_exercise(target, course, gradebook):
        name = kept.exercise.name
        notes = {learner: kept.note(learner) for learner in kept.learners()}
        longer = _extensions(laid_down, name) if plan else kept.extensions()
        due_by = for_all or laid_down.due.get(name)
        views.append(look_at(kept.exercise, notes, kept.standings(), due_by, longer))
    if not views:
        raise CommandError(f"Nothing has been marked in {target} yet.")
    questions = question_rows(views)
    files = [write_page(target / "overview.html", views, known, questions)]
    files.append(write_pdf(target / "overview.pdf", views))
    files.append(_write_ideas(target / "overview.csv", views))
    files.append(target / "questions.csv")
    write_table(files[-1], table(HEADER, questions))
    for view in views:
        files.append(_write_school(target / f"school-{view.exercise.name}.csv", view, known))
        print("\n".join(_in_words(view, known)))
    print("\n".join(to_look_at(questions)))
    print("\nWritten:")
    for file in files:
        print(f"  {file}")
    return 0


def _extensions(plan: Plan, exercise: str) -> dict[str, timedelta]:
    return {
        learner: timedelta(days=days.get(exercise, 0.0))
        for learner, days in plan.extensions.items()
    }


def _write_ideas(path: Path, views: Sequence[Overview]) -> Path:
    header = ["exercise", "ability", "questions", "mean share %", "all points", "some", "none"]
    rows = [
        [
            view.exercise.name,
            idea.words,
            " ".join(idea.questions),
            "" if idea.share is None else f"{100 * idea.share:.0f}",
            str(idea.full),
            str(idea.part),
            str(idea.none),
        ]
        for view in views
        for idea in view.ideas
    ]
    write_table(path, table(header, rows))
    return path


def _write_school(path: Path, view: Overview, names: Mapping[str, str]) -> Path:
    """The plain columns that most school systems take: id, name, mark, maximum, comment."""
    rows = []
    seen = set()
    for row in view.rows:
        seen.add(row.learner)
        words = [row.remark] if row.remark else []
        if row.waiting:
            words.append(f"{row.waiting} still to be marked by hand")
        if row.late:
            words.append(f"late: {row.handed_in}")
        rows.append(
            [
                as_text(row.learner),
                names.get(row.learner, ""),
                "" if row.points is None else f"{row.points:g}",
                f"{view.exercise.points:g}",
                "; ".join(words),
            ]
        )
    most = f"{view.exercise.points:g}"
    absent = sorted(set(names) - seen)
    rows += [
        [as_text(learner), names[learner], "", most, "nothing handed in"] for learner in absent
    ]
    write_table(path, table(["id", "name", "mark", "maximum", "comment"], rows))
    return path


def _in_words(view: Overview, names: Mapping[str, str]) -> list[str]:
    marked = view.marked
    lines = [
        f"\n{view.exercise.name}: {len(marked)} marked, "
        f"mean {view.mean:.1f} of {counted(view.exercise.points, 'point')}"
    ]
    lines += [
        f"  {idea.percent:>5}  {idea.words}  (question {', '.join(idea.questions)})"
        for idea in view.ideas
    ]
    common = [slip for slip in view.slips if len(slip.learners) > 1][:5]
    lines += [f"  {len(slip.learners)} x  question {slip.question}: {slip.name}" for slip in common]
    for words, rows in (
        ("stuck", [row for row in marked if row.stuck]),
        ("late", [row for row in view.rows if row.late]),
        ("to mark by hand", [row for row in marked if row.waiting]),
        ("not marked", [row for row in view.rows if row.points is None]),
    ):
        if rows:
            who = ", ".join(called(row.learner, names) for row in rows[:12])
            more = f" and {len(rows) - 12} more" if len(rows) > 12 else ""
            lines.append(f"  {words}: {who}{more}")
    absent = sorted(set(names) - {row.learner for row in view.rows})
    if absent:
        lines.append(f"  nothing handed in: {', '.join(called(one, names) for one in absent)}")
    return lines

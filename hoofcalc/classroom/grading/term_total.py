"""A total over the exercises of a term: weights, days late, extensions, what is missing or open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from hoofcalc.classroom.grading.late_days import Plan, read_plan, taken_off
from hoofcalc.classroom.grading.manual_grading import as_text
from hoofcalc.classroom.grading.overview import called, read_names, read_time
from hoofcalc.classroom.grading.results import Results, Standing, table, write_table
from hoofcalc.classroom.grading.results_folder import each_exercise, results_folder


@dataclass(frozen=True)
class Part:
    """One learner's hand-in of one exercise, as it counts."""

    points: float
    most: float
    days_late: int
    free_days: int
    taken_off: float
    waiting: int
    #: None: not handed in.
    handed_in: datetime | None

    @property
    def counted(self) -> float:
        """Points that count."""
        return self.points - self.taken_off


def total(
    plan: Plan,
    most: Mapping[str, float],
    learners: Mapping[str, Mapping[str, tuple[float, int, datetime | None]]],
    now: datetime,
) -> dict[str, tuple[dict[str, Part | None], float | None]]:
    """Each learner's parts and total [%]: the weighted mean share of the points.

    Parameters
    ----------
    plan
        Weights, dates, rules.
    most
        Full points by exercise [points].
    learners
        By learner and exercise: points, answers that wait for a marker, time of handing in.
    now
        What was due before this and is not there counts as nothing; what is not yet due is
        left out. Without a date, what is not there is left out.

    Returns
    -------
    dict
        By learner: parts by exercise (None: counts as nothing), and the total, None while
        nothing counts.

    Examples
    --------
    >>> plan = Plan(weights={"01-a": 1.0, "02-b": 3.0})
    >>> given = {"anna": {"01-a": (10.0, 0, None), "02-b": (5.0, 0, None)}}
    >>> total(plan, {"01-a": 10.0, "02-b": 10.0}, given, datetime(2026, 1, 1))["anna"][1]
    62.5
    """
    last = datetime.max.replace(tzinfo=UTC)
    in_time = sorted(most, key=lambda name: (plan.due.get(name, last), name))
    found = {}
    for learner, handed in learners.items():
        parts: dict[str, Part | None] = {}
        free = plan.free_days
        for name in in_time:
            if name in handed:
                points, waiting, when = handed[name]
                late = plan.days_late(learner, name, when)
                used = min(free, late)
                free -= used
                off = taken_off(points, late - used, plan.percent_per_day)
                parts[name] = Part(points, most[name], late, used, off, waiting, when)
            else:
                due = plan.due_for(learner, name)
                if due is not None and due < now:
                    parts[name] = None
        weight = sum(plan.weight(name) for name in parts)
        share = sum(
            plan.weight(name) * part.counted / part.most
            for name, part in parts.items()
            if part is not None
        )
        found[learner] = (parts, 100.0 * share / weight if weight else None)
    return found


def show_total(
    folder: Path,
    *,
    plan: Path | None = None,
    names: Path | None = None,
    course: Path | None = None,
    gradebook: str | None = None,
) -> int:
    """Write the totals of a results folder, and enter lateness into the gradebook; 0 when done."""
    target = results_folder(folder)
    laid_down = read_plan(plan) if plan is not None else Plan()
    known = read_names(names) if names is not None else {}
    most: dict[str, float] = {}
    learners: dict[str, dict[str, tuple[float, int, datetime | None]]] = {}
    for learner in known:
        learners[learner] = {}
    for kept in each_exercise(target, course, gradebook):
        most[kept.exercise.name] = kept.exercise.points
        standings = kept.standings()
        for learner in kept.learners():
            note = kept.note(learner)
            if note.marked:
                one = standings.get(learner, Standing())
                given = (one.points, one.waiting, read_time(note.handed_in))
                learners.setdefault(learner, {})[kept.exercise.name] = given
    totals = total(laid_down, most, learners, datetime.now().astimezone())
    for kept in each_exercise(target, course, gradebook):
        _enter(kept, laid_down, totals)
    path = target / "total.csv"
    write_table(path, table(_header(most), _rows(totals, most, known)))
    for learner, (parts, share) in sorted(totals.items()):
        words = "nothing yet" if share is None else f"{share:.1f} %"
        open_ = sum(part.waiting for part in parts.values() if part is not None)
        tail = f" so far, {open_} to mark by hand" if open_ else ""
        print(f"{called(learner, known)}: {words}{tail}")
    print(f"\nWritten:\n  {path}")
    return 0


def _enter(
    kept: Results,
    plan: Plan,
    totals: Mapping[str, tuple[Mapping[str, Part | None], float | None]],
) -> None:
    name = kept.exercise.name
    entries = {
        learner: (part.handed_in, plan.extensions.get(learner, {}).get(name, 0.0), part.taken_off)
        for learner, (parts, _) in totals.items()
        if (part := parts.get(name)) is not None
    }
    kept.enter_lateness(plan.due.get(name), entries)


def _header(most: Mapping[str, float]) -> list[str]:
    header = ["id", "name", "total %", "to mark by hand"]
    for name in sorted(most):
        header += [f"{name}: points", f"{name}: days late", f"{name}: taken off"]
    return [*header, "remark"]


def _rows(
    totals: Mapping[str, tuple[Mapping[str, Part | None], float | None]],
    most: Mapping[str, float],
    names: Mapping[str, str],
) -> Sequence[Sequence[str]]:
    rows = []
    for learner, (parts, share) in sorted(totals.items()):
        there = [part for part in parts.values() if part is not None]
        row = [as_text(learner), names.get(learner, ""), "" if share is None else f"{share:.1f}"]
        row.append(str(sum(part.waiting for part in there)))
        remarks = []
        for name in sorted(most):
            part = parts.get(name)
            if part is None:
                row += ["", "", ""]
                if name in parts:
                    remarks.append(f"{name}: nothing handed in")
                continue
            row += [f"{part.points:g}", str(part.days_late), f"{part.taken_off:g}"]
            if part.free_days:
                remarks.append(f"{name}: {part.free_days} of the days late were free")
        rows.append([*row, "; ".join(remarks)])
    return rows

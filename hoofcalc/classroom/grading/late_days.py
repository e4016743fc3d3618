"""Lateness: days late, days that are free, extensions, and what is taken off."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from nbgrader.plugins import LateSubmissionPlugin
from traitlets import Float

from hoofcalc.classroom.grading.course import CommandError
from hoofcalc.classroom.grading.overview import read_due

_DAY_S = 86_400.0
#: A day late begins this long after the time was up [s]: clocks differ.
_PATIENCE_S = 300.0


@dataclass(frozen=True)
class Plan:
    """What an instructor has laid down for a term."""

    weights: Mapping[str, float] = field(default_factory=dict)
    due: Mapping[str, datetime] = field(default_factory=dict)
    #: Share of a hand-in's points taken off for each day late [%].
    percent_per_day: float = 0.0
    #: Days late that cost nothing, for each learner in the whole term.
    free_days: int = 0
    #: Days more, by learner and exercise.
    extensions: Mapping[str, Mapping[str, float]] = field(default_factory=dict)

    def weight(self, exercise: str) -> float:
        """How much an exercise counts; one where nothing is said."""
        return self.weights.get(exercise, 1.0)

    def due_for(self, learner: str, exercise: str) -> datetime | None:
        """When this learner's hand-in is due, extension included."""
        due = self.due.get(exercise)
        more = self.extensions.get(learner, {}).get(exercise, 0.0)
        return None if due is None else due + timedelta(days=more)

    def days_late(self, learner: str, exercise: str, handed_in: datetime | None) -> int:
        """Days late, begun days counted whole; 0 where no time was set or none is known."""
        due = self.due_for(learner, exercise)
        if due is None or handed_in is None:
            return 0
        return days_late((handed_in - due).total_seconds())


def days_late(seconds_late: float) -> int:
    """Begun days late.

    >>> days_late(-1), days_late(60), days_late(3600), days_late(90_000)
    (0, 0, 1, 2)
    """
    return 0 if seconds_late <= _PATIENCE_S else math.ceil(seconds_late / _DAY_S)


def taken_off(points: float, days: int, percent_per_day: float) -> float:
    """Points taken off, never more than there are.

    >>> taken_off(8.0, 2, 10.0), taken_off(8.0, 20, 10.0)
    (1.6, 8.0)
    """
    return min(points, points * days * percent_per_day / 100.0)


class LateDays(LateSubmissionPlugin):  # type: ignore[misc]
    """The same for nbgrader's own ``autograde``, free days apart.

    In ``nbgrader_config.py``: ``c.AssignLatePenalties.plugin_class =
    "hoofcalc.classroom.grading.late_days.LateDays"`` and ``c.LateDays.percent_per_day = 10``.
    """

    percent_per_day = Float(0.0, min=0.0, help="per cent taken off a day").tag(config=True)

    def late_submission_penalty(
        self,
        student_id: str,  # noqa: ARG002
        score: float,
        total_seconds_late: float,
    ) -> float:
        """Points taken off a hand-in."""
        return taken_off(score, days_late(total_seconds_late), self.percent_per_day)


def read_plan(path: Path) -> Plan:
    """Read a plan, or say in words what is wrong with it."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as problem:
        raise CommandError(f"{path} cannot be read ({problem.strerror})") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise CommandError(f"{path} is not a plan: {problem}") from None
    known = {"exercises", "late", "extensions"}
    if set(data) - known:
        raise CommandError(
            f"{path}: there is no part '{sorted(set(data) - known)[0]}'; there are "
            f"{', '.join(sorted(known))}"
        )
    parts = {name: _table(path, data, name) for name in known}
    exercises = {name: _table(path, parts["exercises"], name) for name in parts["exercises"]}
    late = parts["late"]
    return Plan(
        weights={
            n: _number(path, f"weight of {n}", t.get("weight", 1)) for n, t in exercises.items()
        },
        due={n: read_due(str(t["due"])) for n, t in exercises.items() if "due" in t},
        percent_per_day=_number(path, "percent_per_day", late.get("percent_per_day", 0), 100.0),
        free_days=int(_number(path, "free_days", late.get("free_days", 0))),
        extensions={
            learner: {
                name: _number(path, f"extension of {learner}", days)
                for name, days in _table(path, parts["extensions"], learner).items()
            }
            for learner in parts["extensions"]
        },
    )


def _table(path: Path, data: Mapping[str, Any], name: str) -> dict[str, Any]:
    value = data.get(name, {})
    if not isinstance(value, dict):
        raise CommandError(f"{path}: '{name}' must be a part of its own, as in [{name}]")
    return value


def _number(path: Path, what: str, value: Any, most: float = math.inf) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= most:
        raise CommandError(f"{path}: the {what} must be a number from 0 on (got {value!r})")
    return float(value)

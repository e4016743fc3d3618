"""A bank of hand-ins beside each key: what learners write, and the marks and messages it must get.

Small entries are filled into the handed-out notebook, so that a bank stays readable;
files that are no notebooks stand in it as they are.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from hoofcalc.classroom.model.questions import Exercise, State


@dataclass(frozen=True)
class Expected:
    """What one question must get: points, state, and words the message must hold."""

    points: float
    state: State
    words: str = ""


@dataclass(frozen=True)
class Entry:
    """One hand-in of the bank.

    `answers` go by the question's name; ``"all"`` stands for the reference, and what is
    not named stays as handed out. `change` may do anything else to the notebook.
    `file` is a file that is no notebook, or none any more. A hand-in that cannot be
    marked has a `reason` instead of `expected`.
    """

    learner: str
    why: str
    answers: Mapping[str, str] = field(default_factory=dict)
    reference: bool = False
    typed_id: str | None = None
    change: Callable[[dict[str, Any]], None] | None = None
    file: bytes | None = None
    expected: Mapping[str, Expected] = field(default_factory=dict)
    reason: str = ""

    def content(self, exercise: Exercise, original: Mapping[str, Any]) -> bytes:
        """The file as it is handed in."""
        if self.file is not None:
            return self.file
        notebook = fill(
            exercise,
            original,
            self.learner if self.typed_id is None else self.typed_id,
            self.answers,
            reference=self.reference,
        )
        if self.change is not None:
            self.change(notebook)
        return json.dumps(notebook, ensure_ascii=False).encode()


def fill(
    exercise: Exercise,
    original: Mapping[str, Any],
    learner: str,
    answers: Mapping[str, str],
    *,
    reference: bool = False,
) -> dict[str, Any]:
    """The handed-out notebook with some answers filled in, as a learner would."""
    notebook: dict[str, Any] = json.loads(json.dumps(copy.deepcopy(original)))
    by_name = {cell["metadata"]["nbgrader"]["grade_id"]: cell for cell in notebook["cells"]}
    by_name[exercise.cell("0", "id")]["source"] = f"my_id = {learner!r}"
    for question in exercise.questions:
        given = answers.get(question.name, question.reference if reference else None)
        if given is not None:
            by_name[exercise.cell(question, "answer")]["source"] = given
    return notebook

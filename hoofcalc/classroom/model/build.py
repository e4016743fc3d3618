"""From a key to what is handed out: the notebook, the hints beside it, nbgrader's release.

Everything is derived from the key, in the same bytes each time.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from hoofcalc.classroom.model.examination import practice_name
from hoofcalc.classroom.model.hints import build_hints
from hoofcalc.classroom.model.questions import (
    Choice,
    Exercise,
    Function,
    Question,
    Written,
)
from hoofcalc.classroom.model.variants import all_variants
from hoofcalc.classroom.model.working import HINTS


def source_files(exercise: Exercise) -> dict[str, bytes]:
    """The files of ``exercises/source/<exercise>/`` by name."""
    check = exercise.name == practice_name(exercise.name)
    hints = build_hints(exercise, all_variants(exercise), check=check)
    return {
        f"{exercise.name}.ipynb": _text(notebook(exercise), indent=1),
        HINTS: _text(hints, indent=None),
    }


def _text(data: Any, indent: int | None) -> bytes:
    separators = (",", ":") if indent is None else None
    text = json.dumps(data, indent=indent, ensure_ascii=False, separators=separators)
    if indent is None:
        text = text.replace("},{", "},\n{")  # a line per set, so that a change can be seen
    return (text + "\n").encode()


def notebook(exercise: Exercise) -> dict[str, Any]:
    """The notebook: words locked, answers the learner's, checks locked."""
    cells = [
        _markdown(exercise.cell("0", "intro"), f"# {exercise.title}\n\n{exercise.intro}"),
        _code(
            exercise.cell("0", "start"),
            "from hoofcalc.classroom import open_exercise, say_it_in_words\n\nsay_it_in_words()",
        ),
        _code(exercise.cell("0", "id"), 'my_id = ""  # your id, between the marks', answer=True),
        _code(
            exercise.cell("0", "open"),
            f'task = open_exercise("{exercise.name}", my_id)\ntask',
        ),
    ]
    for question in exercise.questions:
        cells += _question_cells(exercise, question)
    cells.append(_markdown(exercise.cell("0", "end"), exercise.closing))
    return {
        "cells": cells,
        "metadata": {
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
            "language_info": {"name": "python"},
            "hoofcalc": {"exercise": exercise.name},
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def _question_cells(exercise: Exercise, question: Question) -> list[dict[str, Any]]:
    prompt = _markdown(exercise.cell(question, "prompt"), question_text(question))
    name = exercise.cell(question, "answer")
    if isinstance(question, Written):
        return [prompt, _markdown(name, question.stub, answer=True, points=question.points)]
    call = f'task.check("{question.name}", {", ".join(question.answers)})'
    return [
        prompt,
        _code(name, question.stub, answer=True),
        _code(exercise.cell(question, "check"), call, points=question.points),
    ]


def question_text(question: Question) -> str:
    """What the learner reads, with choices, examples or the marker's scale."""
    points = f"{question.points:g} point{'' if question.points == 1 else 's'}"
    parts = [f"## {question.name}. {question.title} ({points})", question.text]
    if isinstance(question, Choice):
        parts += [
            "\n".join(f"- **{letter}** {words}" for letter, words in question.options.items()),
            "The reason:",
            "\n".join(f"- **{letter}** {words}" for letter, words in question.reasons.items()),
        ]
    if isinstance(question, Function):
        rows = [
            f"- `{question.call}({', '.join(f'{part:g}' for part in inputs)})` "
            f"gives about `{question.truth(*inputs):.5g}`"
            for inputs in question.examples
        ]
        parts += ["To try it on:", "\n".join(rows)]
    if isinstance(question, Written):
        scale = "\n".join(f"- {line}" for line in question.scale)
        parts += [f"A person reads this one, and gives points by this scale:\n\n{scale}"]
    return "\n\n".join(parts)


def _markdown(
    name: str, text: str, *, answer: bool = False, points: float | None = None
) -> dict[str, Any]:
    return {
        "cell_type": "markdown",
        "id": name,
        "metadata": _metadata(name, answer, points),
        "source": text.splitlines(keepends=True),
    }


def _code(
    name: str, text: str, *, answer: bool = False, points: float | None = None
) -> dict[str, Any]:
    return {
        "cell_type": "code",
        "execution_count": None,
        "id": name,
        "metadata": _metadata(name, answer, points),
        "outputs": [],
        "source": text.splitlines(keepends=True),
    }


def _metadata(name: str, answer: bool, points: float | None) -> dict[str, Any]:
    """nbgrader's metadata: an answer is the learner's, everything else is locked."""
    nbgrader: dict[str, Any] = {
        "grade": points is not None,
        "grade_id": name,
        "locked": not answer,
        "schema_version": 3,
        "solution": answer,
        "task": False,
    }
    if points is not None:
        nbgrader["points"] = points
    return {"nbgrader": nbgrader}


def write_source(exercise: Exercise, course: Path) -> bool:
    """Bring ``source/<exercise>/`` in step with the key; whether anything changed."""
    folder = course / "source" / exercise.name
    folder.mkdir(parents=True, exist_ok=True)
    changed = False
    for name, content in source_files(exercise).items():
        path = folder / name
        if not path.is_file() or path.read_bytes() != content:
            path.write_bytes(content)
            changed = True
    return changed

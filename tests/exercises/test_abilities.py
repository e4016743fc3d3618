"""What a lesson promises is what its exercise asks for, and nothing else."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from hoofcalc._where import course_folder
from hoofcalc.classroom.model.questions import load_exercise

KEYS = Path(__file__).resolve().parents[2] / "exercises" / "keys"
LESSONS = sorted(path.stem for path in course_folder("lessons").glob("[0-9][0-9]-*.ipynb"))


def promised(lesson: str) -> list[str]:
    """The three abilities at the head of a lesson."""
    notebook = json.loads((course_folder("lessons") / f"{lesson}.ipynb").read_text("utf-8"))
    head = "".join(notebook["cells"][0]["source"])
    plain = re.sub(r"\[(.+?)\]\(.+?\)", r"\1", head)  # a link's words alone
    return re.findall(r"^\d\. (.+?)[.,]?$", plain, flags=re.MULTILINE)


@pytest.mark.parametrize("lesson", LESSONS)
def test_every_ability_is_asked_for_and_every_question_asks_for_one(lesson):
    abilities = promised(lesson)
    assert len(abilities) == 3
    exercise = load_exercise(KEYS / f"{lesson}.py")
    asked = {question.ability for question in exercise.questions}
    assert all(any(ability.startswith(one) for ability in abilities) for one in asked), asked
    assert all(any(ability.startswith(one) for one in asked if one) for ability in abilities)


@pytest.mark.parametrize("lesson", LESSONS)
def test_an_exercise_has_three_to_six_tasks_worth_ten_points(lesson):
    exercise = load_exercise(KEYS / f"{lesson}.py")
    assert 3 <= len(exercise.questions) <= 6
    assert sum(question.points for question in exercise.questions) == 10

"""What "Where I am" draws is the course as it lies in the lessons and in the questions.

How far a learner is follows from their record in the browser: `tests/browser`.
"""

from __future__ import annotations

import json
from pathlib import Path

from hoofcalc.figures import questions
from hoofcalc.figures.where import CHAIN, COURSE, course_shown

LESSONS = Path(__file__).parents[2] / "lessons"


def test_the_course_is_the_lessons_in_their_order() -> None:
    assert list(COURSE.values()) == sorted(path.stem for path in LESSONS.glob("[0-9]*.ipynb"))
    assert set(COURSE) == set(questions.lessons())
    assert [number for number, _, _ in CHAIN] == [stem[:2] for stem in COURSE.values()][1:]


def test_every_lesson_shows_its_page_its_picture_and_its_questions() -> None:
    for row in course_shown(".ipynb")["lessons"]:
        assert (LESSONS / row["page"]).exists()
        assert row["picture"].startswith("<path")
        asked = questions.load(row["record"])
        assert row["questions"], row["name"]
        for name in row["questions"]:
            lesson, question = name.split("/")
            assert lesson == row["record"]
            assert asked[question]["kind"] != "predict", "a guess is no question"


def test_every_idea_that_comes_back_is_asked_somewhere() -> None:
    shown = course_shown(".html")
    assert shown["ideas"]
    for idea in shown["ideas"]:
        assert len(idea["asked"]) == len(idea["lessons"]) > 1
        for name in idea["asked"]:
            lesson, question = name.split("/")
            assert question in questions.load(lesson)


def test_jupyterlab_draws_the_same_chain() -> None:
    """Its extension cannot ask Python, and has a copy beside it."""
    beside = "hoofcalc/classroom/workspace/labextensions/hoofcalc-alive/static/chain.json"
    links = json.loads((LESSONS.parent / beside).read_text("utf-8"))
    assert [(link["lesson"], link["words"], link["picture"]) for link in links] == list(CHAIN)

"""Questions answer with the slip's name, keep a prediction until it is wanted, and leave text."""

from __future__ import annotations

import pytest
from ipywidgets.widgets import widget as registry

from hoofcalc.figures import questions
from hoofcalc.figures.questions import answer, ask
from hoofcalc.notebook import show
from hoofcalc.notebook.living import WIDGET_VIEW

LESSONS = questions.lessons()
ALL = [(lesson, name) for lesson in LESSONS for name in questions.load(lesson)]


@pytest.mark.parametrize(("lesson", "name"), ALL)
def test_every_question_is_whole(lesson: str, name: str) -> None:
    question = questions.load(lesson)[name]
    assert question["ask"].strip()
    if question["kind"] == "number":
        assert question["unit"]
        assert question["reply"]
        assert question["hint"]
        targets = [question["truth"], *(slip["value"] for slip in question["slips"])]
        for at, one in enumerate(targets):  # no answer fits two messages
            for other in targets[at + 1 :]:
                apart = question["tolerance"] * (abs(one) + abs(other))
                assert abs(one - other) > apart, f"{one} and {other} cannot be told apart"
    elif question["kind"] == "row":
        feet = question["feet"]
        assert 4 <= len(feet) <= 8
        for foot, following in zip(feet, [*feet[1:], None], strict=True):
            assert foot["right"] in question["options"]
            assert following is None or foot["right"] != following["right"], "neighbours alike"
            assert foot["reply"]
            assert foot["look"]
            assert all(0 < foot[f"{end}_deg"] < 90 for end in ("toe", "heel"))
        assert len({foot["right"] for foot in feet}) >= 4
    else:
        assert question["kind"] in ("choice", "predict")
        options = question["options"]
        assert sum(bool(option.get("right")) for option in options) == 1
        assert len({option["says"] for option in options}) == len(options) >= 3
        for option in options:
            assert option["says"]
            if question["kind"] == "choice" or not option.get("right"):
                assert option["reply"]


@pytest.mark.parametrize(("lesson", "name"), ALL)
def test_every_question_leaves_readable_text(lesson: str, name: str) -> None:
    data, about = show(ask(lesson, name))._repr_mimebundle_()
    question = questions.load(lesson)[name]
    assert question["ask"] in data["text/plain"]
    assert WIDGET_VIEW in data
    page = about["hoofcalc"]["html"]
    if question["kind"] == "number":
        assert "<details>" in page
        assert f"{question['truth']:g} {question['unit']}" in page
        assert f"{question['truth']:g}" not in data["text/plain"], "answered before it is asked"
    elif question["kind"] == "row":
        for foot in question["feet"]:
            assert foot["says"] in data["text/plain"]
            assert foot["reply"] not in data["text/plain"], "answered before it is asked"
        assert page.count("<details>") == len(question["feet"])
    else:
        for option in question["options"]:
            assert option["says"] in data["text/plain"]


def test_a_prediction_waits_and_comes_back_with_the_reason() -> None:
    card, reply = show(ask("capsule", "predict")), show(answer("capsule", "predict"))
    question = questions.load("capsule")["predict"]
    right = next(at for at, one in enumerate(question["options"]) if one.get("right"))
    wrong = next(at for at, one in enumerate(question["options"]) if not one.get("right"))
    assert not reply.view.spec["paragraphs"]
    card.view.kept = {"chosen": wrong, "right": None}
    said = question["options"][wrong]
    assert said["says"] in reply.view.spec["heading"]
    assert reply.view.spec["paragraphs"] == [said["reply"], question["reason"]]
    card.view.kept = {"chosen": right, "right": None}
    assert reply.view.spec["paragraphs"] == ["That is so.", question["reason"]]
    assert question["reason"] not in reply.card.plain, "told before the guess"
    assert f"Answer: {question['options'][right]['says']}" in reply.card.page


def test_a_prediction_made_first_is_there_when_its_answer_is_opened_later() -> None:
    show(ask("capsule", "predict")).view.kept = {"chosen": 0, "right": None}
    said = questions.load("capsule")["predict"]["options"][0]["says"]
    heading = show(answer("capsule", "predict")).view.spec["heading"]
    assert heading.startswith("You said: ")
    assert said in heading


def test_a_cell_that_runs_again_closes_its_card() -> None:
    show(ask("columns", "glue"))
    before = len(registry._instances)
    for _ in range(3):
        show(ask("columns", "glue"))
    assert len(registry._instances) == before


def test_unknown_questions_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match=r"lesson must be one of .*'columns'.*got 'colums'"):
        ask("colums", "predict")
    with pytest.raises(ValueError, match="name must be one of 'predict'"):
        ask("capsule", "nothing")
    with pytest.raises(ValueError, match="kind must be one of 'predict'"):
        answer("columns", "glue")

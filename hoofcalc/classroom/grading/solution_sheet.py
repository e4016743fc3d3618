"""A solution sheet for each learner, with the learner's own numbers. To give out when all is in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from hoofcalc._constants import VET_CAUTION
from hoofcalc._counted import counted
from hoofcalc._files import write_whole
from hoofcalc._markup import templates
from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.grading.results_folder import each_exercise, results_folder
from hoofcalc.classroom.model.build import question_text
from hoofcalc.classroom.model.questions import Choice, Function, Number, Numbers, Question


def write_solutions(
    folder: Path, *, course: Path | None = None, gradebook: str | None = None
) -> int:
    """Write a sheet for each learner of each marked exercise; 0 when done."""
    target = results_folder(folder)
    count = 0
    for kept in each_exercise(target, course, gradebook):
        for learner in kept.learners():
            page = target / "solutions" / kept.exercise.name / f"{learner}.html"
            write_whole(page, sheet(kept.assignment, learner).encode())
            count += 1
    print(
        f"{counted(count, 'sheet')}: {target / 'solutions'}\n"
        "They hold the answers: hand out when all is in."
    )
    return 0


def sheet(assignment: Assignment, learner: str) -> str:
    """The sheet of one learner, a page of its own."""
    exercise = assignment.exercise
    numbers = assignment.variants[assignment.variant(learner)]
    page = templates("hoofcalc.classroom.grading").get_template("solution_sheet.html.j2")
    return page.render(
        title=f"{exercise.title}: solutions for {learner}",
        numbers=[
            (one.words, f"{numbers[one.name]:g} {one.unit}".strip(), one.name)
            for one in exercise.quantities
        ],
        solutions=[_solution(question, numbers) for question in exercise.questions],
        caution=VET_CAUTION,
    )


def _solution(question: Question, numbers: Numbers) -> dict[str, Any]:
    """What the sheet says of one question."""
    said: dict[str, Any] = {
        "question": _markdown(question_text(question)),
        "right": _markdown(question.right) if question.right else "",
        "code": "",
        "scale": (),
    }
    if isinstance(question, Number):
        near = question.near
        width = f"{100 * near.mark:g} %" if near.kind == "relative" else f"{near.mark:g}"
        said["answer"] = f"{question.truth(numbers):.5g} (counts as right within {width})"
        said["code"] = question.reference
    elif isinstance(question, Choice):
        letter, reason = question.truth(numbers), question.right_reason
        right = f"{letter}: {question.options[letter]}"
        said["answer"] = f"{right} Reason {reason}: {question.reasons[reason]}"
    elif isinstance(question, Function):
        said |= {"answer": "one way to write it", "code": question.reference}
    else:
        said |= {"answer": "points are given for", "scale": question.scale}
        said["reference"] = question.reference
    return said


def _markdown(text: str) -> str:
    from nbconvert.filters.markdown_mistune import markdown2html_mistune

    return str(markdown2html_mistune(text))

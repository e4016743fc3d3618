"""A solution sheet for each learner, with the learner's own numbers. To give out when all is in."""

from __future__ import annotations

import html
from pathlib import Path

from hoofcalc._constants import VET_CAUTION
from hoofcalc._counted import counted
from hoofcalc._files import write_whole
from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.grading.results_folder import each_exercise, results_folder
from hoofcalc.classroom.model.build import question_text
from hoofcalc.classroom.model.questions import Choice, Function, Number, Numbers, Question

_HEAD = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>{title}</title>
<style>
body {{ font: 17px/1.5 system-ui, sans-serif; color: #1a1a1a; max-width: 46em; margin: 1.5em auto;
  padding: 0 1em; }}
pre {{ white-space: pre-wrap; overflow-wrap: anywhere; font-size: 0.9em; }}
.solution {{ border: 2px solid #0072B2; border-radius: 6px; padding: 0.6em 0.9em; }}
td, th {{ border: 1px solid #999; padding: 0.2em 0.5em; text-align: left; }}
table {{ border-collapse: collapse; }}
</style></head><body>
"""
_CAUTION = f"<p>A teaching model, not a diagnosis. {VET_CAUTION}</p></body></html>\n"


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
    title = html.escape(f"{exercise.title}: solutions for {learner}")
    parts = [_HEAD.format(title=title), f"<h1>{title}</h1>", "<h2>Your numbers</h2><table>"]
    for quantity in exercise.quantities:
        value = f"{numbers[quantity.name]:g} {quantity.unit}".strip()
        parts.append(
            f"<tr><td>{html.escape(quantity.words)}</td><td>{html.escape(value)}</td>"
            f"<td><code>{html.escape(quantity.name)}</code></td></tr>"
        )
    parts.append("</table>")
    for question in exercise.questions:
        parts.append(_markdown(question_text(question)))
        parts.append(f'<div class="solution">{_solution(question, numbers)}</div>')
    return "\n".join([*parts, _CAUTION])


def _solution(question: Question, numbers: Numbers) -> str:
    if isinstance(question, Number):
        near = question.near
        width = f"{100 * near.mark:g} %" if near.kind == "relative" else f"{near.mark:g}"
        answer = f"{question.truth(numbers):.5g} (counts as right within {width})"
        way = f"<pre>{html.escape(question.reference)}</pre>"
    elif isinstance(question, Choice):
        letter = question.truth(numbers)
        reason = question.right_reason
        answer = f"{letter}: {question.options[letter]} Reason {reason}: {question.reasons[reason]}"
        way = ""
    elif isinstance(question, Function):
        answer = "one way to write it"
        way = f"<pre>{html.escape(question.reference)}</pre>"
    else:
        answer = "points are given for"
        way = "<ul>" + "".join(f"<li>{html.escape(step)}</li>" for step in question.scale) + "</ul>"
        way += f"<p>{html.escape(question.reference)}</p>"
    right = _markdown(question.right) if question.right else ""
    return f"<strong>{html.escape(answer)}</strong>{way}{right}"


def _markdown(text: str) -> str:
    from nbconvert.filters.markdown_mistune import markdown2html_mistune

    return str(markdown2html_mistune(text))

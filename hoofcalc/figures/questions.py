"""Questions in a lesson: a prediction taken up again later, checks of oneself, a mixed row of feet.

The texts of a lesson's questions stand in `questions/<lesson>.toml`, so that a lesson's cell is
one short line. Every card carries readable text for where nothing runs.
"""

from __future__ import annotations

import html
import math
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hoofcalc._inputs import choice

_TEXTS = Path(__file__).parent / "questions"
#: The table of what comes back when; it lies beside the questions and is none.
_RETURNS = "returns"
_NOTED = "Noted. Move the figure, then see whether you were right. You may still change your mind."
_WAITING = "Make your choice in the question above; then the answer stands here."


@dataclass(frozen=True, kw_only=True, repr=False)
class Card:
    """A question or an answer, as data.

    Parameters
    ----------
    lesson, name
        Where its text stands: the lesson's file of questions, and the question in it.
    part
        "question", or "answer" where a prediction is taken up again.
    spec
        What the browser shows.
    plain
        The same in plain text.
    page
        The same as HTML for a page where nothing runs.
    """

    lesson: str
    name: str
    part: str
    spec: dict[str, Any] = field(default_factory=dict)
    plain: str = ""
    page: str = ""

    def __repr__(self) -> str:
        return self.plain


def ask(lesson: str, name: str) -> Card:
    """Put a question.

    Parameters
    ----------
    lesson
        Name of the lesson's file of questions, without its ending.
    name
        Name of the question in it.

    Returns
    -------
    Card
        What the cell shows.

    Raises
    ------
    ValueError
        If there is no such lesson or question.
    """
    question = _question(lesson, name)
    if question["kind"] == "number":
        spec = {"hint": "", "slips": [], **question}
        solution = f"{question['truth']:g} {question['unit']}. {question['reply']}"
        plain = f"{question['ask']}\n  Run this cell to answer."  # a reader must not see it first
        page = _details("Answer", solution)
    elif question["kind"] == "row":
        feet = [{**foot, "outline": _outline(foot)} for foot in question["feet"]]
        spec = {**question, "feet": feet}
        sorts = f"Choose for each: {', '.join(question['options'])}."
        plain = "\n".join([question["ask"], sorts, *(f"  - {foot['says']}" for foot in feet)])
        page = f"<p>{html.escape(sorts)}</p>" + "".join(
            _details(foot["says"], f"{foot['right'].capitalize()}. {foot['reply']}")
            for foot in feet
        )
    else:
        predict = question["kind"] == "predict"
        options = [
            {"right": False, **option, **({"reply": _NOTED} if predict else {})}
            for option in question["options"]
        ]
        spec = {"kind": "choice", "predict": predict, "ask": question["ask"], "options": options}
        plain = "\n".join([question["ask"], *(f"  - {option['says']}" for option in options)])
        if predict:
            page = "<ul>" + "".join(f"<li>{html.escape(o['says'])}</li>" for o in options) + "</ul>"
        else:
            page = "".join(
                _details(o["says"], ("Yes. " if o["right"] else "Not yet. ") + o["reply"])
                for o in options
            )
    return Card(
        lesson=lesson,
        name=name,
        part="question",
        spec=spec,
        plain=plain,
        page=f"<p><strong>{html.escape(question['ask'])}</strong></p>{page}",
    )


def answer(lesson: str, name: str, chosen: int = -1) -> Card:
    """Come back to a prediction: what was chosen, and what is so and why.

    While a choice can still be made the answer waits for it; in plain text it stands at once.

    Parameters
    ----------
    lesson, name
        As for `ask`.
    chosen
        Number of the option that was chosen, counted from 0; -1 for none yet.

    Returns
    -------
    Card
        What the cell shows.

    Raises
    ------
    ValueError
        If there is no such lesson, no such question, or the question is not a prediction.
    """
    question = _question(lesson, name)
    choice("kind", question["kind"], ("predict",))
    right = next(option["says"] for option in question["options"] if option.get("right"))
    page = f"<p>{html.escape(question['ask'])}</p>"
    page += _details("The answer", f"Answer: {right} {question['reason']}")
    return Card(
        lesson=lesson,
        name=name,
        part="answer",
        spec=_reply(question, chosen),
        plain=f"{question['ask']}\n  {_WAITING}",
        page=page,
    )


def part_of(name: str) -> str:
    """The part of its lesson in which a question stands, by the question's name.

    Examples
    --------
    >>> part_of("remember_gap"), part_of("predict"), part_of("row")
    ('Remember', 'Predict', 'Check yourself')
    """
    parts = {"remember": "Remember", "predict": "Predict"}
    return parts.get(name.split("_")[0], "Check yourself")


def lessons() -> tuple[str, ...]:
    """The lessons that have questions, by the names of their files."""
    return tuple(sorted({path.stem for path in _TEXTS.glob("*.toml")} - {_RETURNS}))


def load(lesson: str) -> dict[str, Any]:
    """The questions of a lesson.

    Parameters
    ----------
    lesson
        Name of the lesson's file of questions, without its ending.

    Returns
    -------
    dict
        Each question by name, as its file has it.

    Raises
    ------
    ValueError
        If there is no such lesson.
    """
    path = _TEXTS / f"{choice('lesson', lesson, lessons())}.toml"
    return tomllib.loads(path.read_text("utf-8"))


def _question(lesson: str, name: str) -> dict[str, Any]:
    """One question, as its file has it."""
    questions = load(lesson)
    question: dict[str, Any] = questions[choice("name", name, tuple(questions))]
    return question


def _reply(question: dict[str, Any], chosen: int) -> dict[str, Any]:
    """What the answer shows for a choice."""
    if not 0 <= chosen < len(question["options"]):
        return {"kind": "answer", "heading": _WAITING, "paragraphs": []}
    option = question["options"][chosen]
    heading = f"You said: {option['says']}"
    verdict = "That is so." if option.get("right") else option["reply"]
    return {"kind": "answer", "heading": heading, "paragraphs": [verdict, question["reason"]]}


def _outline(foot: dict[str, Any]) -> str:
    """A hoof from the side with these angles, toe to the right, as points of a small drawing."""
    toe, heel = (1.0 / math.tan(math.radians(foot[f"{end}_deg"])) for end in ("toe", "heel"))
    corners = [(30, 60), (96, 60), (96 - 44 * toe, 16), (30 - 20 * heel, 40)]
    return " ".join(f"{across:.0f},{down:.0f}" for across, down in corners)


def _details(summary: str, text: str) -> str:
    """Text that opens on a click or the Enter key, without any script."""
    shown, hidden = html.escape(summary), html.escape(text)
    return f"<details><summary>{shown}</summary><p>{hidden}</p></details>"

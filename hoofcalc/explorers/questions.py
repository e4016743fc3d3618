"""Questions in a lesson: a prediction that is taken up again later, and checks of oneself.

The texts of a lesson's questions stand in `questions/<lesson>.toml`, so that a lesson's cell is
one short line. Every card leaves readable text behind where nothing runs.
"""

from __future__ import annotations

import html
import tomllib
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from hoofcalc._inputs import choice
from hoofcalc.explorers.living import WIDGET_VIEW

_HERE = Path(__file__).parent
_NOTED = "Noted. Move the figure, then see whether you were right. You may still change your mind."
_WAITING = "Make your choice in the question above; then the answer stands here."
#: The cards on screen, by lesson, question and part; a cell that runs again replaces its card.
_OPEN: dict[tuple[str, str, str], Card] = {}


class _View(anywidget.AnyWidget):  # type: ignore[misc]
    """The browser's half of a card."""

    _esm = (_HERE / "question.js").read_text("utf-8")
    _css = (_HERE / "question.css").read_text("utf-8")
    spec = traitlets.Dict().tag(sync=True)
    chosen = traitlets.Int(-1).tag(sync=True)


class Card:
    """A question or an answer on the page.

    Parameters
    ----------
    spec
        What the browser shows.
    plain
        The same in plain text.
    page
        The same as HTML for a page where nothing runs.
    """

    def __init__(self, spec: dict[str, Any], plain: str, page: str) -> None:
        self.plain = plain
        self.page = page
        self.view = _View(spec=spec)

    def close(self) -> None:
        """Take the card out of the browser and free what it holds."""
        self.view.unobserve_all()
        self.view.layout.close()
        self.view.close()

    def _repr_mimebundle_(
        self, include: Any = None, exclude: Any = None
    ) -> tuple[dict[str, Any], dict[str, Any]]:
        del include, exclude
        view = {"version_major": 2, "version_minor": 0, "model_id": self.view.model_id}
        return {WIDGET_VIEW: view, "text/plain": self.plain}, {"hoofcalc": {"html": self.page}}

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
    question = load(lesson)[choice("name", name, tuple(load(lesson)))]
    if question["kind"] == "number":
        spec = {"hint": "", "slips": [], **question}
        solution = f"{question['truth']:g} {question['unit']}. {question['reply']}"
        plain = f"{question['ask']}\n  Run this cell to answer."  # a reader must not see it first
        page = _details("Answer", solution)
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
    card = Card(spec, plain, f"<p><strong>{html.escape(question['ask'])}</strong></p>{page}")
    _keep((lesson, name, "question"), card)
    if question["kind"] == "predict":
        card.view.observe(lambda _change: _refresh(lesson, name), "chosen")
    return card


def answer(lesson: str, name: str) -> Card:
    """Come back to a prediction: what was chosen, and what is so and why.

    In a live notebook the answer waits until a choice is made; in plain text it stands at once.

    Parameters
    ----------
    lesson, name
        As for `ask`.

    Returns
    -------
    Card
        What the cell shows.

    Raises
    ------
    ValueError
        If there is no such lesson, no such question, or the question is not a prediction.
    """
    questions = load(lesson)
    question = questions[choice("name", name, tuple(questions))]
    choice("kind", question["kind"], ("predict",))
    right = next(option["says"] for option in question["options"] if option.get("right"))
    page = "".join(
        f"<p>{html.escape(line)}</p>"
        for line in (question["ask"], f"Answer: {right}", question["reason"])
    )
    card = Card(_reply(lesson, name), f"{question['ask']}\n  {_WAITING}", page)
    _keep((lesson, name, "answer"), card)
    return card


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
    there = tuple(sorted(path.stem for path in (_HERE / "questions").glob("*.toml")))
    path = _HERE / "questions" / f"{choice('lesson', lesson, there)}.toml"
    return tomllib.loads(path.read_text("utf-8"))


def _keep(key: tuple[str, str, str], card: Card) -> None:
    """Remember the card that is on screen and close the one it takes the place of."""
    if key in _OPEN:
        _OPEN.pop(key).close()
    _OPEN[key] = card


def _refresh(lesson: str, name: str) -> None:
    """The learner chose: bring the answer card up to date."""
    if (card := _OPEN.get((lesson, name, "answer"))) is not None:
        card.view.spec = _reply(lesson, name)


def _reply(lesson: str, name: str) -> dict[str, Any]:
    """What the answer card shows for the present choice."""
    question = load(lesson)[name]
    asked = _OPEN.get((lesson, name, "question"))
    at = -1 if asked is None else asked.view.chosen
    if not 0 <= at < len(question["options"]):
        return {"kind": "answer", "heading": _WAITING, "paragraphs": []}
    option = question["options"][at]
    heading = f"You said: {option['says']}"
    verdict = "That is so." if option.get("right") else option["reply"]
    return {"kind": "answer", "heading": heading, "paragraphs": [verdict, question["reason"]]}


def _details(summary: str, text: str) -> str:
    """Text that opens on a click or the Enter key, without any script."""
    shown, hidden = html.escape(summary), html.escape(text)
    return f"<details><summary>{shown}</summary><p>{hidden}</p></details>"

"""Questions in a notebook: the browser's half of a card, and what was chosen."""

from __future__ import annotations

from typing import Any

import anywidget
import traitlets

from hoofcalc.figures.questions import Card, answer
from hoofcalc.figures.web import asset
from hoofcalc.notebook.living import WIDGET_VIEW

#: The cards on screen, by lesson, question and part; a cell that runs again replaces its card.
_OPEN: dict[tuple[str, str, str], LiveCard] = {}


class _View(anywidget.AnyWidget):  # type: ignore[misc]
    """The browser's half of a card."""

    _esm = asset("question.js")
    _css = asset("question.css")
    spec = traitlets.Dict().tag(sync=True)
    chosen = traitlets.Int(-1).tag(sync=True)


class LiveCard:
    """A question or an answer that lives in the notebook.

    Parameters
    ----------
    card
        What it says.
    """

    def __init__(self, card: Card) -> None:
        self.card = card
        self.view = _View(spec=card.spec)

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
        data = {WIDGET_VIEW: view, "text/plain": self.card.plain}
        return data, {"hoofcalc": {"html": self.card.page}}

    def __repr__(self) -> str:
        return self.card.plain


def show_card(card: Card) -> LiveCard:
    """A card for the cell that runs now; it takes the place of the one that stood there.

    Parameters
    ----------
    card
        The question or the answer.

    Returns
    -------
    LiveCard
        What the cell shows.
    """
    lesson, name = card.lesson, card.name
    if card.part == "answer":
        asked = _OPEN.get((lesson, name, "question"))
        card = answer(lesson, name, -1 if asked is None else asked.view.chosen)
    key = (lesson, name, card.part)
    if key in _OPEN:
        _OPEN.pop(key).close()
    live = _OPEN[key] = LiveCard(card)
    if card.spec.get("predict"):
        live.view.observe(lambda change: _refresh(lesson, name, change["new"]), "chosen")
    return live


def _refresh(lesson: str, name: str, chosen: int) -> None:
    """The learner chose: bring the answer card up to date."""
    if (live := _OPEN.get((lesson, name, "answer"))) is not None:
        live.view.spec = answer(lesson, name, chosen).spec

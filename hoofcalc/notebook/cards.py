"""Questions in a notebook: the browser's half of a card, and what was answered, kept."""

from __future__ import annotations

import datetime
from typing import Any

import anywidget
import traitlets

from hoofcalc.figures.questions import Card, answer, part_of
from hoofcalc.figures.record import Memory, answered, key
from hoofcalc.figures.web import asset
from hoofcalc.notebook.living import WIDGET_VIEW
from hoofcalc.notebook.memory import learners_memory

#: The cards on screen, by lesson, question and part; a cell that runs again replaces its card.
_OPEN: dict[tuple[str, str, str], LiveCard] = {}


class _View(anywidget.AnyWidget):  # type: ignore[misc]
    """The browser's half of a card."""

    _esm = asset("question.js")
    _css = asset("question.css")
    spec = traitlets.Dict().tag(sync=True)
    kept = traitlets.Dict(allow_none=True, default_value=None).tag(sync=True)


class LiveCard:
    """A question or an answer that lives in the notebook.

    Parameters
    ----------
    card
        What it says.
    memory
        Where the answer is kept; the learner's own folder where nothing is said.
    """

    def __init__(self, card: Card, memory: Memory | None = None) -> None:
        self.card = card
        self._memory = learners_memory() if memory is None else memory
        kept = None if card.part == "answer" else self._memory.recall(self._key)
        self.view = _View(spec=card.spec, kept=kept if isinstance(kept, dict) else None)
        self.view.observe(self._answered, "kept")

    @property
    def _key(self) -> str:
        return key("answer", self.card.lesson, self.card.name)

    @property
    def chosen(self) -> int:
        """Number of the option that is chosen; -1 for none."""
        chosen = (self.view.kept or {}).get("chosen", -1)
        return chosen if isinstance(chosen, int) else -1

    def _answered(self, change: Any) -> None:
        """The learner answered: keep it, and where they are."""
        if not isinstance(change["new"], dict):
            return
        day = datetime.datetime.now(datetime.UTC).date().isoformat()
        before = self._memory.recall(self._key)
        self._memory.remember(self._key, answered(before, change["new"], day))
        place = {"part": part_of(self.card.name)}
        self._memory.remember(key("place", self.card.lesson), place)

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
        card = answer(lesson, name, -1 if asked is None else asked.chosen)
    place = (lesson, name, card.part)
    if place in _OPEN:
        _OPEN.pop(place).close()
    live = _OPEN[place] = LiveCard(card)
    if card.spec.get("predict"):
        live.view.observe(lambda _change: _refresh(lesson, name, live.chosen), "kept")
    return live


def _refresh(lesson: str, name: str, chosen: int) -> None:
    """The learner chose: bring the answer card up to date."""
    if (live := _OPEN.get((lesson, name, "answer"))) is not None:
        live.view.spec = answer(lesson, name, chosen).spec

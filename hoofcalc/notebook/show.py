"""Show a figure or a question in a cell; a cell that runs again closes what it had."""

from __future__ import annotations

from typing import overload

from hoofcalc.figures.questions import Card
from hoofcalc.figures.spec import Figure
from hoofcalc.notebook.cards import LiveCard, show_card
from hoofcalc.notebook.living import LivingFigure

#: The figures on screen, by cell and figure.
_OPEN: dict[tuple[str, str], LivingFigure] = {}


@overload
def show(thing: Figure) -> LivingFigure: ...
@overload
def show(thing: Card) -> LiveCard: ...
def show(thing: Figure | Card) -> LivingFigure | LiveCard:
    """A living figure, or a question, for the cell that runs now.

    Parameters
    ----------
    thing
        What the figure is, or what the question says.

    Returns
    -------
    LivingFigure or LiveCard
        What the cell shows.
    """
    if isinstance(thing, Card):
        return show_card(thing)
    key = (_cell(), thing.name)
    if key in _OPEN:
        _OPEN.pop(key).close()
    _OPEN[key] = LivingFigure(thing)
    return _OPEN[key]


def _cell() -> str:
    """The notebook's name for the running cell; empty where there is none."""
    from IPython import get_ipython

    shell = get_ipython()
    if shell is None or not hasattr(shell, "get_parent"):
        return ""
    return str(shell.get_parent().get("metadata", {}).get("cellId", ""))

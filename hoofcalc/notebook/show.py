"""Show a figure or a question in a cell; a cell that runs again closes what it had."""

from __future__ import annotations

from typing import overload

from hoofcalc.figures.prediction import Prediction
from hoofcalc.figures.questions import Card
from hoofcalc.figures.spec import Figure
from hoofcalc.notebook.cards import LiveCard, show_card
from hoofcalc.notebook.living import LivingFigure
from hoofcalc.notebook.predictions import LivePrediction

#: The figures on screen, by cell and figure.
_OPEN: dict[tuple[str, str], LivingFigure | LivePrediction] = {}


@overload
def show(thing: Figure) -> LivingFigure: ...
@overload
def show(thing: Card) -> LiveCard: ...
@overload
def show(thing: Prediction) -> LivePrediction: ...
def show(thing: Figure | Card | Prediction) -> LivingFigure | LiveCard | LivePrediction:
    """A living figure, a question or a curve to draw, for the cell that runs now.

    Parameters
    ----------
    thing
        What the figure is, what the question says, or what is to be drawn.

    Returns
    -------
    LivingFigure, LiveCard or LivePrediction
        What the cell shows.
    """
    if isinstance(thing, Card):
        return show_card(thing)
    live = LivePrediction(thing) if isinstance(thing, Prediction) else LivingFigure(thing)
    key = (_cell(), f"{type(thing).__name__} {thing.name}")
    if key in _OPEN:
        _OPEN.pop(key).close()
    _OPEN[key] = live
    return live


def _cell() -> str:
    """The notebook's name for the running cell; empty where there is none."""
    from IPython import get_ipython

    shell = get_ipython()
    if shell is None or not hasattr(shell, "get_parent"):
        return ""
    return str(shell.get_parent().get("metadata", {}).get("cellId", ""))

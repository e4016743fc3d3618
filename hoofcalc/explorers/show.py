"""Open a living figure in a cell; a cell that runs again closes the figure it had."""

from __future__ import annotations

from hoofcalc.explorers.declare import Explorer
from hoofcalc.explorers.living import LivingFigure

#: The figures on screen, by cell and figure.
_OPEN: dict[tuple[str, str], LivingFigure] = {}


def show(explorer: Explorer) -> LivingFigure:
    """A living figure for the cell that runs now.

    Parameters
    ----------
    explorer
        What the figure is.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    key = (_cell(), explorer.name)
    if key in _OPEN:
        _OPEN.pop(key).close()
    _OPEN[key] = LivingFigure(explorer)
    return _OPEN[key]


def _cell() -> str:
    """The notebook's name for the running cell; empty where there is none."""
    from IPython import get_ipython

    shell = get_ipython()
    if shell is None or not hasattr(shell, "get_parent"):
        return ""
    return str(shell.get_parent().get("metadata", {}).get("cellId", ""))

"""hoofcalc: why a heel gives way, in numbers.

A course in the mechanics of horn and hoof, and the calculations it stands on.
``import hoofcalc`` loads numpy and nothing heavier; each part loads when it is
first used:

>>> import hoofcalc
>>> round(hoofcalc.angles.slope_deg((0.0, 0.0), (-30.0, 40.0)), 1)
53.1

Units are mm, N, MPa, degrees, seconds and kg throughout, and the unit stands
in the name. A teaching model, not a diagnosis.
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType
from typing import Any

__version__ = "0.1.0"

_PARTS = (
    "angles",
    "capsule",
    "classroom",
    "columns",
    "cycle",
    "datasets",
    "figures",
    "forecast",
    "ground_force",
    "horn",
    "landing",
    "loadpath",
    "pictures",
    "profile",
    "reading",
)

__all__ = ["__version__", *_PARTS]


def __getattr__(name: str) -> ModuleType:
    if name in _PARTS:
        return import_module(f"hoofcalc.{name}")
    raise AttributeError(f"hoofcalc has no part called {name!r}; it has {', '.join(_PARTS)}")


def __dir__() -> list[str]:
    return sorted(__all__)


def _shown_in_a_notebook(thing: Any) -> Any:
    """What a cell shows for a living figure or a question."""
    from hoofcalc.notebook import show

    return show(thing)._repr_mimebundle_()


def _tell_the_notebook() -> None:
    """Where IPython runs, figures and questions are shown alive; nothing heavy is loaded yet."""
    shell = sys.modules["IPython"].get_ipython() if "IPython" in sys.modules else None
    if shell is None:
        return
    formatter = shell.display_formatter.mimebundle_formatter
    formatter.for_type_by_name("hoofcalc.figures.spec", "Figure", _shown_in_a_notebook)
    formatter.for_type_by_name("hoofcalc.figures.questions", "Card", _shown_in_a_notebook)
    formatter.for_type_by_name("hoofcalc.figures.prediction", "Prediction", _shown_in_a_notebook)


_tell_the_notebook()

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

from importlib import import_module
from types import ModuleType

__version__ = "0.1.0"

_PARTS = (
    "angles",
    "capsule",
    "classroom",
    "columns",
    "cycle",
    "datasets",
    "explorers",
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

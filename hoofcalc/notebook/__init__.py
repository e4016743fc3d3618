"""Living figures and questions in Jupyter.

In a notebook a figure or a question that ends a cell is shown by this room: `hoofcalc` tells
IPython so when it is first imported there.
"""

from __future__ import annotations

from hoofcalc.notebook.show import show
from hoofcalc.notebook.where import WhereIAm

__all__ = ["WhereIAm", "show"]

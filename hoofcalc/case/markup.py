"""What is written from the templates beside: HTML, in which every text is escaped, and text."""

from __future__ import annotations

from typing import Any

from hoofcalc import _markup

_FOLDER = "hoofcalc.case"


def page(name: str, **values: Any) -> str:
    """A template filled in, by the name of its file without endings."""
    return _markup.templates(_FOLDER).get_template(f"{name}.html.j2").render(**values)


def text(name: str, **values: Any) -> str:
    """A plain text filled in, by the name of its file without endings."""
    return _markup.templates(_FOLDER).get_template(f"{name}.txt.j2").render(**values)


def piece(name: str, *values: Any) -> str:
    """A small piece of the screen, by its name in ``pieces.html.j2``."""
    return _markup.piece(_FOLDER, "pieces.html.j2", name, *values)

"""What is written from the templates beside: HTML, in which every text is escaped, and text."""

from __future__ import annotations

from typing import Any

from hoofcalc._markup import templates

_FOLDER = "hoofcalc.case"


def page(name: str, **values: Any) -> str:
    """A template filled in, by the name of its file without endings."""
    return templates(_FOLDER).get_template(f"{name}.html.j2").render(**values)


def text(name: str, **values: Any) -> str:
    """A plain text filled in, by the name of its file without endings."""
    return templates(_FOLDER).get_template(f"{name}.txt.j2").render(**values)


def piece(name: str, *values: Any) -> str:
    """A small piece of the screen, by its name in ``pieces.html.j2``."""
    return str(getattr(templates(_FOLDER).get_template("pieces.html.j2").module, name)(*values))

"""What is written from the templates beside: HTML, in which every text is escaped, and text."""

from __future__ import annotations

from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape


@cache
def _templates() -> Environment:
    return Environment(
        loader=PackageLoader("hoofcalc.case", "templates"),
        autoescape=select_autoescape(("html.j2",)),
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )


def page(name: str, **values: Any) -> str:
    """A template filled in, by the name of its file without endings."""
    return _templates().get_template(f"{name}.html.j2").render(**values)


def text(name: str, **values: Any) -> str:
    """A plain text filled in, by the name of its file without endings."""
    return _templates().get_template(f"{name}.txt.j2").render(**values)


def piece(name: str, *values: Any) -> str:
    """A small piece of the screen, by its name in ``pieces.html.j2``."""
    return str(getattr(_templates().get_template("pieces.html.j2").module, name)(*values))

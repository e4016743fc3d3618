"""HTML and plain text from the templates that lie beside the code which fills them in."""

from __future__ import annotations

from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape


@cache
def templates(package: str) -> Environment:
    """The folder ``templates`` of a package; every text that is put into HTML is escaped."""
    return Environment(
        loader=PackageLoader(package, "templates"),
        autoescape=select_autoescape(("html.j2",)),
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )


def piece(package: str, file: str, name: str, *values: Any) -> str:
    """One of the small pieces of a template, by the package, the file and the piece's name."""
    return str(getattr(templates(package).get_template(file).module, name)(*values))

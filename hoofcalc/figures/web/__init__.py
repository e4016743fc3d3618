"""The browser's half of figures, predictions and questions: plain scripts and styles, by name."""

from __future__ import annotations

from pathlib import Path

#: What each name is made of; the parts are laid one behind the other, nothing is built.
_PARTS = {
    "figure.js": ("base.js", "clear.js", "drawing.js", "ahead.js", "figure.js"),
    "figure.css": ("base.css", "figure.css"),
    "question.js": ("base.js", "question.js"),
    "question.css": ("base.css", "question.css"),
    "prediction.js": ("base.js", "clear.js", "prediction.js"),
    "prediction.css": ("base.css", "prediction.css"),
    "where.js": ("base.js", "where.js"),
    "where.css": ("base.css", "where.css"),
}


def asset(name: str) -> str:
    """The text of a script or style, with all that it needs."""
    folder = Path(__file__).parent
    return "\n".join((folder / part).read_text("utf-8") for part in _PARTS.get(name, (name,)))

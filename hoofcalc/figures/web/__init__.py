"""The browser's half of figures and questions: plain scripts and styles, loaded by name."""

from __future__ import annotations

from pathlib import Path


def asset(name: str) -> str:
    """The text of a script or style of this folder."""
    return (Path(__file__).parent / name).read_text("utf-8")

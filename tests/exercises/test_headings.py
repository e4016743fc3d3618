"""A hint that sends a learner to a heading of a lesson sends them to one that is there."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat

ROOT = Path(__file__).parents[2]


def headings(number: str) -> list[str]:
    """A lesson's headings, bold lines and foldings, as a reader sees them."""
    (path,) = (ROOT / "lessons").glob(f"{number}-*.ipynb")
    cells = nbformat.read(path, as_version=4).cells
    text = "\n".join(cell.source for cell in cells if cell.cell_type == "markdown")
    found = re.findall(
        r"^#{2,4} (.+)$|^\*\*([^*]+)\*\*$|<summary>(.+?)</summary>", text, re.MULTILINE
    )
    return [re.sub(r"<[^>]+>|\[|\]\([^)]*\)", "", "".join(one)).strip() for one in found]


def test_every_heading_named_in_a_hint_stands_in_its_lesson() -> None:
    named = set()
    for key in sorted((ROOT / "exercises" / "keys").glob("*.py")):
        for number, heading in re.findall(r"lesson (\d\d), '([^']+)'", key.read_text("utf-8")):
            named.add((key.name, number, heading))
    assert len(named) > 30
    for key, number, heading in sorted(named):
        assert any(one.startswith(heading) for one in headings(number)), (key, number, heading)


def test_no_sentence_begins_with_the_place_it_sends_to() -> None:
    """No "Take the root. lesson 08, 'Work it out', does it": a place is named inside a sentence."""
    for hints in sorted((ROOT / "exercises" / "release").glob("*/hints.json")):
        found = re.findall(r"[.?!] lesson \d\d[^.]*", hints.read_text("utf-8"))
        assert not found, (hints.parent.name, found)

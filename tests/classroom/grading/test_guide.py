"""The instructor's guide: every command in it exists, with the options it is given."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from hoofcalc import cli

ROOT = Path(__file__).resolve().parents[3]
PAGES = ("README.md", "DEVELOPERS.md", "exercises/README.md")


def commands() -> list[str]:
    found = []
    for page in PAGES:
        text = (ROOT / page).read_text(encoding="utf-8")
        found += re.findall(r"`(hoofcalc [^`]+)`", re.sub(r"\s*\n\s*", " ", text))
    return sorted(set(found))


@pytest.mark.parametrize("command", commands())
def test_a_command_of_the_guide_exists(command: str) -> None:
    words = shlex.split(command)[1:]
    words = [{"STEP": "same"}.get(word, word) for word in words if word != "--help"]
    if len(words) == 1 or words == ["term", "same"]:  # named there, and not spelt out
        words.append("--help")
    ended: object = 0
    try:
        cli._parser().parse_args(words)
    except SystemExit as end:
        ended = end.code
    assert ended == 0, command

"""Print a command of the README: ``course`` (opens the course) or ``tests`` (runs the tests)."""

from __future__ import annotations

import re
import sys
from pathlib import Path

README = Path(__file__).resolve().parent.parent / "README.md"


def commands(readme: str) -> dict[str, str]:
    """The two commands for Linux and macOS, taken from the README's first two shell blocks."""
    course, tests = re.findall(r"^```sh\n(.+?)\n```$", readme, flags=re.MULTILINE | re.DOTALL)
    return {"course": course, "tests": tests}


if __name__ == "__main__":
    print(commands(README.read_text(encoding="utf-8"))[sys.argv[1]])

"""Print a command of the README: ``course`` (opens the course) or ``tests`` (runs the tests).

``course-windows`` and ``tests-windows`` are the lines for PowerShell.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

README = Path(__file__).resolve().parent.parent / "README.md"


def commands(readme: str) -> dict[str, str]:
    """The two commands, for Linux and macOS and for Windows, taken from the README's blocks."""
    course, tests = re.findall(r"^```sh\n(.+?)\n```$", readme, flags=re.MULTILINE | re.DOTALL)
    (windows,) = re.findall(r"^```powershell\n(.+?)\n```$", readme, flags=re.MULTILINE | re.DOTALL)
    course_there, tests_there = windows.splitlines()
    return {
        "course": course,
        "tests": tests,
        "course-windows": course_there,
        "tests-windows": tests_there,
    }


if __name__ == "__main__":
    print(commands(README.read_text(encoding="utf-8"))[sys.argv[1]])

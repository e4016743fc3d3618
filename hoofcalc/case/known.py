"""The cases that were opened on this computer, the last one first."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from hoofcalc._files import write_whole

_MOST = 20


def _place() -> Path:
    from platformdirs import user_data_path  # comes with Jupyter

    told = os.environ.get("HOOFCALC_HOME")
    return (Path(told) if told else user_data_path("hoofcalc")) / "cases.txt"


def known_cases() -> list[Path]:
    """Folders of cases that were opened here and are still there, the last one first."""
    try:
        lines = _place().read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return []
    return [Path(line) for line in lines if line and (Path(line) / "case.toml").exists()]


def remember_case(folder: Path) -> None:
    """Put a case first in the list; a list that cannot be written is done without."""
    here = folder.resolve()
    kept = [here, *(each for each in known_cases() if each != here)][:_MOST]
    with suppress(OSError):
        write_whole(_place(), "\n".join(map(str, kept)).encode() + b"\n")

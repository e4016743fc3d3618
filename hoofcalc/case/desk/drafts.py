"""What is being placed and not yet saved, kept beside the visit so that nothing is lost."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from hoofcalc._files import write_whole
from hoofcalc.case.storage import (
    CaseError,
    read_text,
    take_away,
)


def keep_draft(folder: Path, visit: str, name: str, content: Mapping[str, Any] | None) -> None:
    """Write a draft beside the visit, whole or not at all; None takes it away.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit.
    name
        Of what, such as "side".
    content
        Plain data.
    """
    path = folder / f"visits/{visit}/draft_{name}.json"
    if content is None:
        path.unlink(missing_ok=True)
        return
    write_whole(path, json.dumps(content).encode())


def read_draft(folder: Path, visit: str, name: str) -> dict[str, Any] | None:
    """A draft that was left, or None; one that is damaged is put aside into ``kept``."""
    called = f"visits/{visit}/draft_{name}.json"
    if not (folder / called).exists():
        return None
    try:
        found = json.loads(read_text(folder / called, called))
    except (CaseError, ValueError, RecursionError):
        found = None
    if isinstance(found, dict):
        return found
    take_away(folder, called)
    return None

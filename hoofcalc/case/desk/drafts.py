"""What is being placed and not yet saved, kept beside the visit so that nothing is lost."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from hoofcalc._files import write_whole
from hoofcalc.case.storage import CaseError, read_text, take_away

T = TypeVar("T")


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


def read_draft(folder: Path, visit: str, name: str, made: Callable[[Any], T]) -> T | None:
    """What `made` makes of a draft that was left; None where there is none.

    One that is damaged, or of which it cannot be made, is put aside into ``kept``.
    """
    called = f"visits/{visit}/draft_{name}.json"
    if not (folder / called).exists():
        return None
    try:
        return made(json.loads(read_text(folder / called, called)))
    except (CaseError, KeyError, TypeError, ValueError, AttributeError, RecursionError):
        take_away(folder, called)
        return None

"""What the course remembers of a learner: guesses, answers and the place, as plain data.

The record is the learner's own. Where it is kept (a file in their folder, the browser of their
telephone) is for others to say; here stands its form, so that a record taken along from one place
is read in the other. `Memory` is all that figures and questions know of it.

A record is `{"hoofcalc": 1, "entries": {name: {"value": ..., "when": ...}}}`. Lessons go by the
names of their files of questions ("underrun", "trim_cycle"). What stands under which name:

- `predict/<lesson>`: `{"drawn": [heights], "shown": true}`;
- `answer/<lesson>/<question>`: `{"chosen": 1}`, `{"typed": "16"}` or `{"sorts": ["in line", ""]}`,
  each with `"right"` (true, false or null) and `"times"` (see `answered`);
- `place/<lesson>`: `{"part": "Check yourself"}`; the latest of them is where the learner is;
- `exercise/<NN-name>`, `read/<lesson>`, `id`: what a page keeps of an exercise, of a lesson read to
  its end, and the id that work is handed in with; a notebook only carries them along.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Protocol

from hoofcalc._inputs import choice

#: Version of the form. A record of a later version is refused, never cut down.
VERSION = 1
_FIRST_WORDS = ("predict", "answer", "place", "exercise")
_MOST_LETTERS = 2_000_000


class Memory(Protocol):
    """Somewhere to keep things by name."""

    def remember(self, key: str, value: Any) -> None:
        """Keep a value (plain data) under a name; what stood there is replaced."""

    def recall(self, key: str) -> Any:
        """What is kept under a name; None where there is nothing."""


def key(kind: str, lesson: str, name: str = "") -> str:
    """The name under which something is kept.

    Parameters
    ----------
    kind
        "predict", "answer", "place" or "exercise".
    lesson
        Name of the lesson ("underrun").
    name
        Name of the question in it, where there is more than one.

    Returns
    -------
    str
        The parts, joined by strokes.

    Raises
    ------
    ValueError
        If `kind` is another word.

    Examples
    --------
    >>> key("answer", "underrun", "gap_error")
    'answer/underrun/gap_error'
    """
    choice("kind", kind, _FIRST_WORDS)
    return "/".join(part for part in (kind, lesson, name) if part)


def answered(before: Any, answer: Mapping[str, Any], day: str) -> dict[str, Any]:
    """An answer together with how it went on earlier days.

    Each time one is asked counts once: the first answer of a day, as far as it can be right.

    Parameters
    ----------
    before
        What was kept of this question so far; None for nothing.
    answer
        What the card tells: "chosen", "typed" or "sorts", and "right".
    day
        The day of the answer by ISO 8601 ("2026-11-29").

    Returns
    -------
    dict
        The answer with its "times": a list of `{"day": ..., "right": ...}`, earliest first.

    Examples
    --------
    >>> first = answered(None, {"chosen": 2, "right": False}, "2026-11-29")
    >>> answered(first, {"chosen": 1, "right": True}, "2026-11-29")["times"]
    [{'day': '2026-11-29', 'right': False}]
    """
    kept = before.get("times") if isinstance(before, Mapping) else None
    times = [one for one in kept or [] if "day" in one] if isinstance(kept, list) else []
    if answer.get("right") is not None and all(one["day"] != day for one in times):
        times.append({"day": day, "right": bool(answer["right"])})
    return {**answer, "times": times}


def empty() -> dict[str, Any]:
    """A record with nothing in it."""
    return {"hoofcalc": VERSION, "entries": {}}


def with_entry(record: Mapping[str, Any], name: str, value: Any, when: str) -> dict[str, Any]:
    """A record with one more entry, or one replaced.

    Parameters
    ----------
    record
        A record; it is left as it is.
    name
        As `key` makes it.
    value
        Plain data: numbers, texts, lists, tables and None.
    when
        Date and time by ISO 8601 in Universal Time ("2026-11-29T20:15:00Z").

    Returns
    -------
    dict
        A new record.

    Raises
    ------
    ValueError
        If `value` is not plain data.
    """
    try:
        plain = json.loads(json.dumps(value, allow_nan=False))
    except (TypeError, ValueError) as trouble:
        raise ValueError(f"value must be plain data (got {type(value).__name__})") from trouble
    entries = {**record["entries"], name: {"value": plain, "when": when}}
    return {**record, "entries": entries}


def value_of(record: Mapping[str, Any], name: str) -> Any:
    """What a record holds under a name; None where there is nothing."""
    return record["entries"].get(name, {}).get("value")


def merged(one: Mapping[str, Any], other: Mapping[str, Any]) -> dict[str, Any]:
    """Two records as one; of an entry that stands in both the later is kept.

    Parameters
    ----------
    one, other
        Records.

    Returns
    -------
    dict
        A new record.
    """
    entries = dict(one["entries"])
    for name, entry in other["entries"].items():
        if name not in entries or entries[name]["when"] < entry["when"]:
            entries[name] = entry
    return {**one, "entries": entries}


def text_of(record: Mapping[str, Any]) -> str:
    """A record as the text of a file (JSON)."""
    return json.dumps(record, indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False) + "\n"


def read(text: str) -> dict[str, Any]:
    """A record from the text of a file.

    Parameters
    ----------
    text
        As `text_of` writes it.

    Returns
    -------
    dict
        The record.

    Raises
    ------
    ValueError
        If `text` is no record, is too long, or is of a later version.
    """
    if len(text) > _MOST_LETTERS:
        raise ValueError(f"text must have at most {_MOST_LETTERS} letters (got {len(text)})")
    try:
        record = json.loads(text)
    except (ValueError, RecursionError) as trouble:
        raise ValueError("text must be a record of this course; this is not JSON") from trouble
    entries = record.get("entries") if isinstance(record, dict) else None
    if not isinstance(entries, dict) or not isinstance(record.get("hoofcalc"), int):
        raise ValueError("text must be a record of this course; this is something else")
    if record["hoofcalc"] > VERSION:
        raise ValueError(f"text is of version {record['hoofcalc']}; this program reads {VERSION}")
    for name, entry in entries.items():
        whole = isinstance(entry, dict) and "value" in entry
        if not whole or not isinstance(entry.get("when"), str):
            raise ValueError(f"the entry {name!r} must hold a value and a date")
    return {"hoofcalc": VERSION, "entries": entries}

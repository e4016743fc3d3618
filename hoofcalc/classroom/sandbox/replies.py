"""What the learner's process says, read with suspicion: it may say anything at all.

Everything is rebuilt field by field, cleaned and bounded. What a deciding call gave is
read more narrowly still, for its inputs must not come back in any words.
"""

from __future__ import annotations

import builtins
import re
from collections.abc import Mapping, Sequence
from typing import Any

from hoofcalc.classroom.model.clean_text import cleaned, one_line
from hoofcalc.classroom.model.forms import Wire
from hoofcalc.classroom.model.plain_data import MOST_TEXT, NOT_PLAIN, UNREADABLE

#: Outputs that one cell may show.
_MOST_OUTPUTS = 50
_KIND = re.compile(r"an object of the kind '[^']{0,60}'")
_ERRORS = frozenset(
    name
    for name, kind in vars(builtins).items()
    if isinstance(kind, type) and issubclass(kind, BaseException)
)


def values(reply: Mapping[str, Any], names: Sequence[str]) -> dict[str, Wire]:
    """The values asked for, whatever else the reply may claim."""
    given = reply.get("values")
    return {name: _wire(given.get(name)) for name in names} if isinstance(given, dict) else {}


def _wire(value: Any) -> Wire:
    """A value in one of the forms that the judge knows, and nothing beside it."""
    if isinstance(value, dict):
        if value.get("blank") is True:
            return {"blank": True}
        if "plain" in value:
            return {"plain": cleaned(value["plain"])}
        said = value.get("is")
        if isinstance(said, str) and (said in NOT_PLAIN or _KIND.fullmatch(said)):
            return {"is": one_line(said)}
    return {"is": UNREADABLE}


def result(value: Any) -> Wire:
    """What a deciding call gave, or the name of a known error, in none of the learner's words."""
    if isinstance(value, dict) and "raised" in value:
        name = value["raised"]
        return {"raised": name if isinstance(name, str) and name in _ERRORS else "Exception"}
    wire = _wire(value)
    return wire if "is" not in wire or wire["is"] in NOT_PLAIN else {"is": UNREADABLE}


def outputs(reply: Mapping[str, Any], left: int) -> tuple[list[dict[str, Any]], int]:
    """Outputs in the notebook's own form; how many of `left` characters are left after them."""
    given = reply.get("outputs")
    kept: list[dict[str, Any]] = []
    for output in (given if isinstance(given, list) else [])[:_MOST_OUTPUTS]:
        rebuilt = _output(output) if isinstance(output, dict) else None
        if rebuilt is None:
            continue
        size = _size(rebuilt)
        if size > left:
            words = "... (the rest was left out: the notebook shows too much)\n"
            kept.append({"output_type": "stream", "name": "stdout", "text": words})
            return kept, 0
        left -= size
        kept.append(rebuilt)
    return kept, left


def _output(output: Mapping[str, Any]) -> dict[str, Any] | None:
    match output.get("output_type"):
        case "stream":
            name = "stderr" if output.get("name") == "stderr" else "stdout"
            text = cleaned(str(output.get("text", ""))[: 2 * MOST_TEXT])
            return {"output_type": "stream", "name": name, "text": text}
        case "display_data":
            data = output.get("data")
            shown = {
                kind: cleaned(str(data[kind]))
                for kind in ("text/plain", "image/png")
                if isinstance(data, dict) and kind in data
            }
            return {"output_type": "display_data", "metadata": {}, "data": shown}
        case "error":
            lines = output.get("traceback")
            return {
                "output_type": "error",
                "ename": one_line(output.get("ename", ""), most=100),
                "evalue": one_line(output.get("evalue", ""), most=500),
                "traceback": [cleaned(str(line)[:1000]) for line in lines[:10]]
                if isinstance(lines, list)
                else [],
            }
    return None


def _size(value: Any) -> int:
    if isinstance(value, dict):
        return sum(map(_size, value.values()))
    return sum(map(_size, value)) if isinstance(value, list) else len(str(value)) + 20

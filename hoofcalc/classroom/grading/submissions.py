"""A hand-in: read with patience, then put together afresh from what was handed out.

Words, set-up and check cells come from the handed-out original, so whatever was
done to them in the hand-in cannot matter. From the hand-in come the learner's
answers and the cells the learner added.
"""

from __future__ import annotations

import ast
import itertools
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import nbformat

from hoofcalc.classroom.model.clean_text import clean, one_line, without_invisible
from hoofcalc.classroom.model.questions import Exercise, Written
from hoofcalc.classroom.sandbox.runner import Step

MOST_BYTES = 20_000_000
_MOST_CELLS = 1000
#: How much may be written in all cells together [characters].
_MOST_SOURCE = 400_000


class HandInError(Exception):
    """The hand-in cannot be marked; the message says why, to instructor and learner."""


@dataclass(frozen=True)
class Cell:
    """What counts of a cell of the hand-in: its name (if it has one of ours), kind and text."""

    name: str
    kind: str
    source: str


@dataclass(frozen=True)
class HandIn:
    """The readable part of a hand-in."""

    cells: tuple[Cell, ...]
    exercise: str


@dataclass(frozen=True)
class Rebuilt:
    """The notebook put together afresh, and the cells to run in their order."""

    notebook: Any
    steps: tuple[Step, ...]


def parse(content: bytes) -> HandIn:
    """The cells of a notebook given as bytes, or in words why there are none."""
    if not content.strip():
        raise HandInError("the file is empty: it was probably not saved or not fully copied")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise HandInError("it is not a notebook: the file holds no readable text") from None
    try:
        data = json.loads(text)
    except RecursionError:
        raise HandInError("it is not a notebook: it is nested far too deep") from None
    except ValueError:
        began = text.lstrip().startswith("{") and '"cells"' in text
        if began:
            raise HandInError(
                "the notebook breaks off or is damaged: save it and hand in again"
            ) from None
        raise HandInError("it is not a notebook (.ipynb), though it has the ending") from None
    if isinstance(data, dict) and "worksheets" in data:
        data = _from_old_layout(data)
    if not isinstance(data, dict) or not isinstance(data.get("cells"), list):
        raise HandInError("it is not a notebook: it has no cells")
    if len(data["cells"]) > _MOST_CELLS:
        raise HandInError(f"it has more than {_MOST_CELLS} cells")
    cells = tuple(_cell(cell) for cell in data["cells"] if isinstance(cell, dict))
    if sum(len(cell.source) for cell in cells) > _MOST_SOURCE:
        raise HandInError(f"more than {_MOST_SOURCE:,} characters are written in its cells")
    name = _inside(data, "metadata", "hoofcalc", "exercise")
    return HandIn(cells, one_line(name, most=80) if isinstance(name, str) else "")


def _from_old_layout(data: Any) -> Any:
    try:
        return nbformat.convert(nbformat.from_dict(data), 4)
    except Exception:
        raise HandInError("it is a notebook of an old layout that cannot be read") from None


def _cell(cell: Mapping[str, Any]) -> Cell:
    source = cell.get("source", "")
    if isinstance(source, list):
        source = "".join(part for part in source if isinstance(part, str))
    if not isinstance(source, str):
        source = ""
    # the name that nbgrader goes by, or else the cell's id, where a tool dropped the former
    name = _inside(cell, "metadata", "nbgrader", "grade_id") or cell.get("id") or ""
    kind = cell.get("cell_type", "")
    if kind == "code":
        source = without_invisible(source)  # blanks that Python does not take for blanks
    return Cell(clean(str(name)), str(kind), clean(source))


def typed_id(handin: HandIn) -> str:
    """The id that stands in the notebook, read without running anything; empty where none does."""
    for cell in handin.cells:
        found = re.search(r"^\s*my_id\s*=(?!=)(.*)$", cell.source, re.MULTILINE)
        if cell.kind == "code" and found is not None:
            typed = one_line(_value(found[1]), most=1000).strip()
            return typed if len(typed) <= 120 else ""
    return ""


def _value(written: str) -> str:
    """What is assigned, with its quotation marks or without one of them."""
    try:
        value = ast.literal_eval(written.strip())
        return str(value) if type(value) in (str, int) else ""
    except (ValueError, SyntaxError, MemoryError, RecursionError, TypeError):
        bare = re.sub(r"#.*", "", written).strip().strip("\"'\u201c\u201d\u201e\u2018\u2019")
        return bare if re.fullmatch(r"[\w .-]+", bare) else ""


def _inside(data: Any, *path: str) -> Any:
    for part in path:
        data = data.get(part) if isinstance(data, Mapping) else None
    return data


def rebuild(exercise: Exercise, original: Any, handin: HandIn) -> Rebuilt:
    """Put the notebook together: the original with the learner's answers and own cells in it.

    An answer cell that was doubled or split counts with all its pieces in their
    order, untouched copies left out; one that was deleted is as handed out. Cells
    run in the learner's order, after the set-up cells; check cells do not run, for
    the answers are judged elsewhere.
    """
    handed_out = {cell["metadata"]["nbgrader"]["grade_id"]: cell for cell in original["cells"]}
    if handin.exercise not in ("", exercise.name):
        raise HandInError(f"it is the exercise {handin.exercise}, not {exercise.name}")
    handin = replace(handin, cells=_with_names(handed_out, handin.cells))
    known = [cell for cell in handin.cells if cell.name in handed_out]
    names = {name for question in exercise.questions for name in question.answers}
    if not known and not any(name in cell.source for name in names for cell in handin.cells):
        raise HandInError(
            f"it is another notebook: nothing of the exercise {exercise.name} is in it"
        )

    pieces, added = _sort(handed_out, handin.cells)
    cells: list[Any] = []
    places: dict[str, int] = {}
    own_places: dict[int, int] = {}

    def add_own(after: str) -> None:
        for index, cell in added.get(after, []):
            own_places[index] = len(cells)
            cells.append(_own_cell(cell, index))

    add_own("")
    for name, cell in handed_out.items():
        written = "\n\n".join(source for _, source in pieces.get(name, ()))
        places[name] = len(cells)
        cells.append({**cell, "source": written or cell["source"]})
        add_own(name)

    notebook = nbformat.from_dict({**original, "cells": cells})  # which copies all of it
    program = _program(exercise, pieces, added, cells, places, own_places, typed_id(handin))
    return Rebuilt(notebook, tuple(program))


def _with_names(handed_out: Mapping[str, Any], cells: Sequence[Cell]) -> tuple[Cell, ...]:
    """The cells with the names that another tool may have dropped, found again by text and place.

    A locked cell is known by its words. The first cell of the right kind behind it is the
    answer that was handed out there, if no cell bears that answer's name.
    """
    locked = {
        _bare(cell["source"]): name
        for name, cell in handed_out.items()
        if cell["metadata"]["nbgrader"]["locked"]
    }
    order = list(handed_out)
    following = dict(itertools.pairwise(order))
    taken = {cell.name for cell in cells}
    last, named = "", []
    for cell in cells:
        name = cell.name if cell.name in handed_out else locked.get(_bare(cell.source), "")
        if not name and (expected := following.get(last, "")) not in taken:
            template = handed_out.get(expected)
            if template is not None and template["cell_type"] == cell.kind and cell.source.strip():
                name = expected
        taken.add(name)
        last = name or last
        named.append(replace(cell, name=name or cell.name))
    return tuple(named)


def _sort(
    handed_out: Mapping[str, Any], cells: Sequence[Cell]
) -> tuple[dict[str, list[tuple[int, str]]], dict[str, list[tuple[int, Cell]]]]:
    """The pieces of each answer, and the learner's own cells by the known cell they follow."""
    pieces: dict[str, list[tuple[int, str]]] = {}
    added: dict[str, list[tuple[int, Cell]]] = {}
    locked = {_bare(cell["source"]) for cell in handed_out.values()}
    last = ""
    for index, cell in enumerate(cells):
        template = handed_out.get(cell.name)
        if template is None:
            if cell.source.strip() and _bare(cell.source) not in locked:
                added.setdefault(last, []).append((index, cell))
            continue
        last = cell.name
        answer = template["metadata"]["nbgrader"]["solution"]
        if answer and cell.source.strip() and _bare(cell.source) != _bare(template["source"]):
            pieces.setdefault(cell.name, []).append((index, cell.source))
    return pieces, added


def _bare(source: Any) -> str:
    """A cell's text as it is compared."""
    text = "".join(source) if isinstance(source, list) else source
    return "\n".join(line.rstrip() for line in str(text).strip().splitlines())


def _own_cell(cell: Cell, index: int) -> dict[str, Any]:
    """A cell the learner added, without any metadata it came with."""
    kind = cell.kind if cell.kind in ("code", "markdown") else "raw"
    own: dict[str, Any] = {
        "cell_type": kind,
        "id": f"added-{index}",
        "metadata": {},
        "source": cell.source,
    }
    return own | ({"execution_count": None, "outputs": []} if kind == "code" else {})


def _program(
    exercise: Exercise,
    pieces: Mapping[str, Sequence[tuple[int, str]]],
    added: Mapping[str, Sequence[tuple[int, Cell]]],
    cells: Sequence[Any],
    places: Mapping[str, int],
    own_places: Mapping[int, int],
    typed: str,
) -> list[Step]:
    """The set-up and id cells, then what the learner wrote, in the learner's order."""
    start, id_cell, set_up = (exercise.cell("0", part) for part in ("start", "id", "open"))
    steps = [Step(_text(cells[places[name]]), places[name]) for name in (start,) if name in places]
    if typed:  # should the cell itself stop over a forgotten quotation mark
        steps.append(Step(f"my_id = {typed!r}", places[id_cell]))
    written = [source for _, source in pieces.get(id_cell, [])]
    steps += [
        Step(source, places[id_cell], ("my_id",))
        for source in written or [_text(cells[places[id_cell]])]
    ]
    steps.append(Step(_text(cells[places[set_up]]), places[set_up]))
    hand_over = {
        exercise.cell(question, "answer"): question.answers
        for question in exercise.questions
        if not isinstance(question, Written)
    }
    rest: list[tuple[int, Step]] = []
    for name, names in hand_over.items():
        for index, source in pieces.get(name, ()):
            rest.append((index, Step(source, places[name], names)))
    for group in added.values():
        for index, cell in group:
            if cell.kind == "code":
                rest.append((index, Step(cell.source, own_places[index])))
    return steps + [step for _, step in sorted(rest, key=lambda pair: pair[0])]


def _text(cell: Mapping[str, Any]) -> str:
    source = cell["source"]
    return "".join(source) if isinstance(source, list) else source

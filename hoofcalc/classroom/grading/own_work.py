"""What an instructor may want to look at in a hand-in: noted, and judged by nobody here."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Sequence

from hoofcalc.classroom.model.questions import Exercise, Number

_REPEATED = (ast.For, ast.While, ast.ListComp, ast.SetComp, ast.DictComp, ast.GeneratorExp)
_INSIDE = {"_hints", "look_up", "fingerprint", "bin_of", "bins_near"}


def notes_on(exercise: Exercise, sources: Sequence[str]) -> list[str]:
    """Notes on a hand-in's own cells: a check asked again and again, numbers without work."""
    cells = list(_nodes(sources))
    notes = []
    if any(_asks_again(nodes) for nodes in cells):
        notes.append("a cell asks the check again and again")
    names = {q.answers[0] for q in exercise.questions if isinstance(q, Number)}
    bare = {name for nodes in cells for name in _bare_numbers(nodes) if name in names}
    worked = {name for nodes in cells for name in _assigned(nodes) if name in names} - bare
    if len(bare) > 1 and not worked:
        notes.append(f"without work: {', '.join(sorted(bare))}")
    return notes


def _nodes(sources: Sequence[str]) -> Iterator[list[ast.AST]]:
    for source in sources:
        try:
            yield list(ast.walk(ast.parse(source)))
        except (SyntaxError, ValueError, MemoryError, RecursionError):
            continue


def _asks_again(nodes: Sequence[ast.AST]) -> bool:
    """Whether a check is called in a loop or a function of the learner's, or looked into."""
    for node in nodes:
        name = getattr(node, "attr", None) or getattr(node, "id", None)
        if name in _INSIDE or (isinstance(node, ast.Constant) and node.value == "hints.json"):
            return True
        if isinstance(node, (*_REPEATED, ast.FunctionDef, ast.Lambda)) and any(
            isinstance(part, ast.Attribute) and part.attr == "check" for part in ast.walk(node)
        ):
            return True
    return False


def _assigned(nodes: Sequence[ast.AST]) -> Iterator[str]:
    for node in nodes:
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            yield node.id


def _bare_numbers(nodes: Sequence[ast.AST]) -> Iterator[str]:
    """Names that are given nothing but a number."""
    for node in nodes:
        if isinstance(node, ast.Assign) and len(node.targets) == 1:
            value = node.value.operand if isinstance(node.value, ast.UnaryOp) else node.value
            target = node.targets[0]
            number = isinstance(value, ast.Constant) and type(value.value) in (int, float)
            if number and isinstance(target, ast.Name):
                yield target.id

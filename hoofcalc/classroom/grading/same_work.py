"""The same work in two hand-ins: noted, without a verdict.

Two learners have different numbers, so that the same result is no sign; the same way of
writing may be one, and may have an honest reason. It is for the instructor to look.
"""

from __future__ import annotations

import contextlib
import io
import itertools
import tokenize
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoofcalc.classroom.grading.manual_grading import as_text
from hoofcalc.classroom.grading.results import table, write_table
from hoofcalc.classroom.grading.results_folder import each_exercise, results_folder
from hoofcalc.classroom.model.clean_text import same_words

FILE = "same-work.csv"
#: Signs in a row that are compared, how many rare ones two must share, and what part of them.
_ROW, _FEWEST, _SHARE = 6, 15, 0.6
#: What more than this part of a class writes is common and counts for nothing.
_COMMON = 0.2
#: Shorter texts are the same by chance.
_FEWEST_WORDS = 8


@dataclass(frozen=True)
class Pair:
    """Two hand-ins with the same in them."""

    first: str
    second: str
    what: str


def rows_of_signs(source: str) -> set[tuple[str, ...]]:
    """The code's signs, so many in a row; comments, blanks and line ends do not count.

    >>> rows_of_signs("a = b*2 + 1  # half") == rows_of_signs("a=b * 2+1")
    True
    """
    ignored = (tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT)
    signs: list[str] = []
    with contextlib.suppress(tokenize.TokenError, SyntaxError):  # as far as it can be read
        signs.extend(
            token.string
            for token in tokenize.generate_tokens(io.StringIO(source).readline)
            if token.type not in ignored and token.string
        )
    return {tuple(signs[start : start + _ROW]) for start in range(len(signs) - _ROW + 1)}


def same_work(
    code: Mapping[str, set[tuple[str, ...]]], texts: Mapping[str, Sequence[str]]
) -> list[Pair]:
    """Pairs of learners with the same unusual code or the same text.

    Parameters
    ----------
    code
        By learner, what `rows_of_signs` gives of the learner's own cells.
    texts
        By learner, the answers in words.

    Returns
    -------
    list of Pair
        In the order of the ids.
    """
    how_many = Counter(row for rows in code.values() for row in rows)
    most = max(2, int(_COMMON * len(code)))
    rare = {one: {row for row in rows if how_many[row] <= most} for one, rows in code.items()}
    pairs = []
    for first, second in itertools.combinations(sorted(code), 2):
        shared = len(rare[first] & rare[second])
        if shared >= _FEWEST and shared >= _SHARE * min(len(rare[first]), len(rare[second])):
            pairs.append(Pair(first, second, f"code: {shared} unusual pieces are the same"))
        alike = {same_words(text) for text in texts.get(first, ())} & {
            same_words(text) for text in texts.get(second, ())
        }
        pairs += [
            Pair(first, second, f"text: {words[:80]}")
            for words in sorted(alike)
            if len(words.split()) >= _FEWEST_WORDS
        ]
    return pairs


def show_same_work(
    folder: Path, *, course: Path | None = None, gradebook: str | None = None
) -> int:
    """Write down where two hand-ins hold the same; 0 when done."""
    target = results_folder(folder)
    rows = []
    for kept in each_exercise(target, course, gradebook):
        handed_out = set().union(
            *(rows_of_signs(_source(cell)) for cell in kept.assignment.original["cells"])
        )
        marked = [learner for learner in kept.learners() if kept.note(learner).marked]
        code = {one: _own_code(kept.marked_notebook(one)) - handed_out for one in marked}
        texts = {one: [text for text in kept.note(one).texts.values() if text] for one in marked}
        rows += [
            [kept.exercise.name, as_text(pair.first), as_text(pair.second), pair.what]
            for pair in same_work(code, texts)
        ]
    write_table(target / FILE, table(["exercise", "id", "id too", "what"], rows))
    for row in rows:
        print(f"{row[0]}: {row[1]} and {row[2]}: {row[3]}")
    print(
        f"{len(rows)} to look at yourself; there may be an honest reason. Written: {target / FILE}"
    )
    return 0


def _own_code(notebook: Any) -> set[tuple[str, ...]]:
    found: set[tuple[str, ...]] = set()
    for cell in notebook["cells"]:
        ours = cell["metadata"].get("nbgrader", {})
        if cell["cell_type"] == "code" and not ours.get("locked"):
            found |= rows_of_signs(_source(cell))
    return found


def _source(cell: Mapping[str, Any]) -> str:
    source = cell["source"]
    return "".join(source) if isinstance(source, list) else str(source)

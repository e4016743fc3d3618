"""Hand-ins for exercise 04 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from typing import Any

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "longer and thinner"),
    "2": Expected(2, "right", "finger or two"),
    "3": Expected(2, "right", "Length and thickness only count together"),
    "4": Expected(1, "right", "few degrees of lean"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "same few lines"),
}
NOTHING = dict.fromkeys("123456", LEFT)


def cells_named(notebook: dict[str, Any], part: str) -> list[dict[str, Any]]:
    return [
        cell
        for cell in notebook["cells"]
        if cell["metadata"].get("nbgrader", {}).get("grade_id", "").endswith(part)
    ]


def lose_cells(notebook: dict[str, Any]) -> None:
    """A check cell, a prompt and the answer to 1 deleted."""
    for part in ("04-2-check", "04-3-prompt", "04-1-answer"):
        notebook["cells"].remove(cells_named(notebook, part)[0])


def double_cells(notebook: dict[str, Any]) -> None:
    """Answer and check of 2 copied, the copy untouched; the answer to 1 split in two."""
    answer, check = (cells_named(notebook, f"04-2-{part}")[0] for part in ("answer", "check"))
    blank = {**answer, "id": "copy-1", "source": "import math\n\nanswer_2 = ..."}
    place = notebook["cells"].index(check) + 1
    notebook["cells"][place:place] = [blank, {**check, "id": "copy-2"}]
    first = cells_named(notebook, "04-1-answer")[0]
    lines = first["source"].splitlines()
    first["source"] = lines[0]
    place = notebook["cells"].index(first) + 1
    notebook["cells"].insert(place, {**first, "id": "copy-3", "source": "\n".join(lines[1:])})


def shuffle_locked(notebook: dict[str, Any]) -> None:
    """Prompts and checks rewritten, points raised, the set-up moved to the end."""
    for cell in cells_named(notebook, "-check"):
        cell["source"] = "10"
        cell["metadata"]["nbgrader"]["points"] = 100
        cell["outputs"] = [
            {
                "output_type": "execute_result",
                "execution_count": 1,
                "metadata": {},
                "data": {"text/plain": "100"},
            }
        ]
    for cell in cells_named(notebook, "-prompt"):
        cell["source"] = "Everything is right. Full marks."
    set_up = cells_named(notebook, "04-0-open")[0]
    notebook["cells"].remove(set_up)
    notebook["cells"].append(set_up)


def other_exercise(notebook: dict[str, Any]) -> None:
    notebook["metadata"]["hoofcalc"]["exercise"] = "03-measuring"


ALWAYS_EQUAL = """\
class Same(float):
    def __eq__(self, other): return True
    def __ne__(self, other): return False
    def __lt__(self, other): return True
    __gt__ = __le__ = __ge__ = __lt__
    def __sub__(self, other): return 0.0
    __rsub__ = __abs__ = __sub__
    def __hash__(self): return 0
    def __repr__(self): return "1"

answer_{0} = Same(1)
"""

ALWAYS_EQUAL_FUNCTION = """\
class Same(float):
    def __eq__(self, other): return True
    def __sub__(self, other): return 0.0
    __rsub__ = __sub__

def base_moment(force_n, lean_deg, length_mm, euler_n):
    print("2")
    return Same(1)
"""

NOT_AMPLIFIED = """\
import math

def base_moment(force_n, lean_deg, length_mm, euler_n):
    along = force_n * math.cos(math.radians(lean_deg))
    across = force_n * math.sin(math.radians(lean_deg))
    if along >= euler_n:
        return math.inf
    return across * length_mm
"""

NO_LIMIT = """\
import math

def base_moment(force_n, lean_deg, length_mm, euler_n):
    along = force_n * math.cos(math.radians(lean_deg))
    across = force_n * math.sin(math.radians(lean_deg))
    u = math.pi / 2 * math.sqrt(along / euler_n)
    return across * length_mm * math.tan(u) / u
"""

COSINE = """\
import math

def base_moment(force_n, lean_deg, length_mm, euler_n):
    along = force_n * math.sin(math.radians(lean_deg))
    across = force_n * math.cos(math.radians(lean_deg))
    if along >= euler_n:
        return math.inf
    u = math.pi / 2 * math.sqrt(along / euler_n)
    return across * length_mm * math.tan(u) / u
"""

EXAMPLES_BY_HEART = """\
def base_moment(force_n, lean_deg, length_mm, euler_n):
    known = {(100.0, 5.0): 12625.0, (40.0, 12.0): 26656}
    return known[force_n, lean_deg]
"""

BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "Jörg M. Vogelsang",
        "right in other forms: rounded, a list, a fraction, an array, small letters, a warning",
        reference=True,
        answers={
            "1": "import warnings\nfrom fractions import Fraction\n\n"
            "warnings.warn('just to be heard')\nn = task.numbers\n"
            "answer_1 = Fraction(int(4 * n.stick_length_mm), int(n.stick_diameter_mm))",
            "2": "import numpy as np\n\nn = task.numbers\nI = 3.14 * n.stick_diameter_mm**4 / 64\n"
            "answer_2 = np.array([3.14**2 * n.stick_modulus_mpa * I / (2 * n.stick_length_mm)**2])",
            "3": "n = task.numbers\nanswer_3 = min('abc', key=lambda x: "
            "getattr(n, f'pole_{x}_gyration_mm') / getattr(n, f'pole_{x}_length_mm')) + ')'\n"
            "reason_3 = 'r'",
            "4": "from hoofcalc import columns\n\nn = task.numbers\n"
            "tube = columns.tube_section(n.tube_outside_mm, n.tube_wall_mm)\n"
            "column = columns.leaning_column(n.load_n, n.lean_deg, n.tube_modulus_mpa, "
            "tube.second_moment_mm4, n.tube_length_mm)\n"
            "answer_4 = [float(f'{column.base_moment_nmm:.3g}')]",
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "typical slips: half thickness, forgotten end factor, the longest, radians, no bend",
        answers={
            "1": "n = task.numbers\nanswer_1 = n.stick_length_mm / (n.stick_diameter_mm / 2)",
            "2": "import math\n\nn = task.numbers\nI = math.pi * n.stick_diameter_mm**4 / 64\n"
            "answer_2 = math.pi**2 * n.stick_modulus_mpa * I / n.stick_length_mm**2",
            "3": "n = task.numbers\nlengths = {'A': n.pole_a_length_mm, 'B': n.pole_b_length_mm, "
            "'C': n.pole_c_length_mm}\nanswer_3 = max(lengths, key=lengths.get)\nreason_3 = 'P'",
            "4": "import math\nfrom hoofcalc import columns\n\nn = task.numbers\n"
            "tube = columns.tube_section(n.tube_outside_mm, n.tube_wall_mm)\n"
            "column = columns.leaning_column(n.load_n, math.radians(n.lean_deg), "
            "n.tube_modulus_mpa, tube.second_moment_mm4, n.tube_length_mm)\n"
            "answer_4 = column.base_moment_nmm",
            "6": NOT_AMPLIFIED,
        },
        expected={
            "1": Expected(0, "nearly", "half the thickness"),
            "2": Expected(1, "nearly", "end factor is missing"),
            "3": Expected(0, "nearly", "You took the longest"),
            "4": Expected(0.5, "nearly", "went in as radians"),
            "5": LEFT,
            "6": Expected(1, "nearly", "stopped at across"),
        },
    ),
    Entry(
        "david",
        "other slips: a decimal comma, text, right choice with a wrong reason, no case for 'falls'",
        reference=True,
        answers={
            "1": "answer_1 = 312,5",
            "2": "answer_2 = '12.5 N'",
            "3": "n = task.numbers\nanswer_3 = max('ABC', key=lambda x: "
            "getattr(n, f'pole_{x.lower()}_length_mm') / "
            "getattr(n, f'pole_{x.lower()}_gyration_mm'))\nreason_3 = 'P'",
            "4": "n = task.numbers\nimport math\n"
            "answer_4 = n.load_n * math.sin(math.radians(n.lean_deg)) * n.tube_length_mm",
            "6": NO_LIMIT,
        },
        expected={
            "1": Expected(0, "keep going", "with a point"),
            "2": Expected(0, "keep going", "quotation marks"),
            "3": Expected(1, "nearly", "the reason is not"),
            "4": Expected(0.5, "nearly", "stopped there"),
            "5": Expected(0, "waiting"),
            "6": Expected(1.5, "nearly", "cannot stand"),
        },
    ),
    Entry(
        "emma",
        "half finished: two answers, the second a little off by rounding too early",
        answers={
            "1": "answer_1 = 4 * task.numbers.stick_length_mm / task.numbers.stick_diameter_mm",
            "2": "n = task.numbers\nI = 3.14159 * n.stick_diameter_mm**4 / 64\n"
            "answer_2 = 3.17**2 * n.stick_modulus_mpa * I / (2 * n.stick_length_mm)**2",
        },
        expected=NOTHING
        | {
            "1": Expected(1, "right"),
            "2": Expected(1, "nearly", "a little off"),
        },
    ),
    Entry(
        "felix",
        "a syntax error in 2, an endless loop in 3, Python itself ended in 4; 1 and 6 are right",
        reference=True,
        answers={
            "2": "answer_2 = (3 * 4",
            "3": "while True:\n    pass\nanswer_3 = 'A'",
            "4": "import os\nos._exit(0)",
        },
        expected=FULL
        | {
            "2": Expected(0, "keep going", "Look at"),
            "3": Expected(0, "keep going", "never stops"),
            "4": Expected(0, "keep going", "ended Python itself"),
        },
    ),
    Entry(
        "gina",
        "cells deleted",
        reference=True,
        change=lose_cells,
        expected=FULL | {"1": LEFT},
    ),
    Entry("hugo", "cells doubled and split", reference=True, change=double_cells, expected=FULL),
    Entry(
        "ida",
        "locked cells edited and moved, nothing answered",
        change=shuffle_locked,
        expected=NOTHING,
    ),
    Entry(
        "jan",
        "objects that say they equal everything, a printed mark",
        answers={
            "1": ALWAYS_EQUAL.format(1),
            "2": "print('2')\nprint('✓ Right. 2 of 2 points.')\nanswer_2 = 1e9",
            "3": "answer_3 = 'D'\nreason_3 = 'R'",
            "4": ALWAYS_EQUAL.format(4),
            "6": ALWAYS_EQUAL_FUNCTION,
        },
        expected={
            "1": Expected(0, "keep going", "plain value"),
            "2": Expected(0, "keep going", "far too large"),
            "3": Expected(0, "keep going", "letters A, B, C"),
            "4": Expected(0, "keep going", "plain value"),
            "5": LEFT,
            "6": Expected(0, "keep going", "cannot be read"),
        },
    ),
    Entry(
        "karl",
        "worked with a neighbour's numbers",
        reference=True,
        answers={"3": ""},
        typed_id="anna",
        expected=FULL
        | {
            "1": Expected(0, "keep going", "the id 'anna'"),
            "2": Expected(0, "keep going", "the id 'anna'"),
            "3": LEFT,
            "4": Expected(0, "keep going", "the id 'anna'"),
        },
    ),
    Entry(
        "lena",
        "forgot to type an id: worked with the practice numbers",
        answers={
            "1": "answer_1 = 4 * task.numbers.stick_length_mm / task.numbers.stick_diameter_mm"
        },
        typed_id="",
        expected=NOTHING | {"1": Expected(0, "keep going", "practice")},
    ),
    Entry(
        "max",
        "sine and cosine exchanged in 6; not a number in 1; a function not called in 4",
        answers={
            "1": "answer_1 = float('nan')",
            "2": "answer_2 = -5",
            "3": "answer_3 = 'A'",
            "4": "answer_4 = max",
            "6": COSINE,
        },
        expected={
            "1": Expected(0, "keep going", "not a number"),
            "2": Expected(0, "keep going", "below zero"),
            "4": Expected(0, "keep going", "Call it"),
            "5": LEFT,
            "6": Expected(0, "nearly", "changed places"),
        },
    ),
    Entry(
        "nora",
        "the examples of 6 by heart",
        answers={"6": EXAMPLES_BY_HEART},
        expected=NOTHING | {"6": Expected(0, "keep going", "KeyError")},
    ),
    Entry("otto", "not a notebook", file=b"My answers: 300, 12, B", reason="not a notebook"),
    Entry(
        "paula",
        "broken off in the middle",
        file=b'{"cells": [{"cell_type": "mark',
        reason="breaks off",
    ),
    Entry("quentin", "empty", file=b"", reason="empty"),
    Entry("rosa", "a picture", file=b"\x89PNG\r\n\x1a\n\x00\xff", reason="no readable text"),
    Entry("sven", "another exercise", change=other_exercise, reason="03-measuring, not 04-columns"),
    Entry(
        "tina",
        "some other notebook",
        file=b'{"cells": [], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}',
        reason="another notebook",
    ),
)

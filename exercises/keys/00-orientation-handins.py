"""Hand-ins for exercise 00 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from typing import Any

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "called the gap"),
    "2": Expected(2, "right", "point at the part with a finger"),
    "3": Expected(2, "right", "Two lengths and a calculator"),
    "4": Expected(2, "right", "Lesson 03 shows"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "each further degree"),
}
NOTHING = dict.fromkeys("123456", LEFT)

#: The letters of the slider's parts.
LETTERS = "lit = {8: 'E', 9: 'D', 10: 'B', 11: 'A', 12: 'C'}\nat = task.numbers.part_number\n"

POINTS = """\
from hoofcalc.profile import Profile

n = task.numbers
foot = Profile(
    toe_ground=(n.toe_ground_forward_mm, 0),
    toe_coronet=(n.toe_band_forward_mm, n.toe_band_up_mm),
    heel_ground=(n.heel_ground_forward_mm, 0),
    heel_coronet=({sign}n.heel_band_forward_mm, n.heel_band_up_mm),
)
answer_4 = {answer}
"""


def function(*lines: str) -> str:
    """The function of question 6 with other lines inside."""
    head = "import math\n\n\ndef moved_forward(height_mm, before_deg, after_deg):\n"
    return head + "\n".join(f"    {line}" for line in lines)


BEFORE = "before = height_mm / math.tan(math.radians(before_deg))"
AFTER = "after = height_mm / math.tan(math.radians(after_deg))"


def lose_the_check(notebook: dict[str, Any]) -> None:
    """The check cell of 1 and the prompt of 3 deleted."""
    notebook["cells"] = [
        cell
        for cell in notebook["cells"]
        if cell["metadata"].get("nbgrader", {}).get("grade_id") not in ("00-1-check", "00-3-prompt")
    ]


def answer_in_an_own_cell(notebook: dict[str, Any]) -> None:
    """The answer to 1 typed into a new cell above the untouched one."""
    place = next(
        at
        for at, cell in enumerate(notebook["cells"])
        if cell["metadata"].get("nbgrader", {}).get("grade_id") == "00-1-answer"
    )
    own = {
        "cell_type": "code",
        "id": "mine",
        "metadata": {},
        "execution_count": None,
        "outputs": [],
        "source": "my_gap = task.numbers.toe_deg - task.numbers.heel_deg",
    }
    notebook["cells"].insert(place, own)
    notebook["cells"][place + 1]["source"] = "answer_1 = my_gap"


BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "Jörg M. Vogelsang",
        "right in other forms: text with brackets, a list, an array, drawn with a protractor",
        reference=True,
        answers={
            "1": "answer_1 = [float(task.numbers.toe_deg - task.numbers.heel_deg)]",
            "2": LETTERS + "answer_2 = lit[at].lower() + ')'\nreason_2 = 'q'",
            "3": "import math\n\nn = task.numbers\n"
            "answer_3 = round(2 * math.degrees(math.atan2(n.height_mm, n.run_mm))) / 2",
            "4": "import numpy as np\n\nn = task.numbers\n"
            "answer_4 = np.degrees(np.arctan2([n.heel_band_up_mm], "
            "[n.heel_ground_forward_mm - n.heel_band_forward_mm]))",
            "6": function(
                "def run(angle):",
                "    return height_mm / math.tan(angle * 3.14159 / 180)",
                "return run(after_deg) - run(before_deg)",
            ),
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "typical slips: wrong sign, a neighbour, from the upright, toe for heel, sign of 6",
        answers={
            "1": "answer_1 = task.numbers.heel_deg - task.numbers.toe_deg",
            "2": LETTERS + "answer_2 = lit.get(at + 1) or lit[at - 1]\nreason_2 = 'Q'",
            "3": "import math\n\nn = task.numbers\n"
            "answer_3 = math.degrees(math.atan(n.run_mm / n.height_mm))",
            "4": POINTS.format(sign="", answer="foot.toe_angle_deg"),
            "5": "Somebody read it from the upright. Write the date and who measured.",
            "6": function(BEFORE, AFTER, "return before - after"),
        },
        expected={
            "1": Expected(0.5, "nearly", "the sign is not"),
            "2": Expected(0, "nearly", "stands close to yours"),
            "3": Expected(1, "nearly", "from the upright"),
            "4": Expected(1, "nearly", "toe angle of this foot"),
            "5": Expected(0, "waiting"),
            "6": Expected(0.5, "nearly", "further back comes out below zero"),
        },
    ),
    Entry(
        "david",
        "added, the other neighbour, the tangent itself, the minus lost, degrees for radians",
        answers={
            "1": "answer_1 = task.numbers.heel_deg + task.numbers.toe_deg",
            "2": LETTERS + "answer_2 = lit.get(at - 1) or lit[at + 1]\nreason_2 = 'R'",
            "3": "n = task.numbers\nanswer_3 = n.height_mm / n.run_mm",
            "4": POINTS.format(sign="-", answer="foot.heel_angle_deg"),
            "6": function(
                "return height_mm / math.tan(after_deg) - height_mm / math.tan(before_deg)"
            ),
        },
        expected={
            "1": Expected(0, "nearly", "You added"),
            "2": Expected(0, "nearly", "stands close to yours"),
            "3": Expected(0.5, "nearly", "One step is missing"),
            "4": Expected(1, "nearly", "minus"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "into radians first"),
        },
    ),
    Entry(
        "emma",
        "the middle, the right part with a wrong reason, radians, the gap, only the run after",
        answers={
            "1": "answer_1 = (task.numbers.heel_deg + task.numbers.toe_deg) / 2",
            "2": LETTERS + "answer_2 = lit[at]\nreason_2 = 'P'",
            "3": "import math\n\nn = task.numbers\nanswer_3 = math.atan(n.height_mm / n.run_mm)",
            "4": POINTS.format(sign="", answer="foot.angle_gap_deg"),
            "6": function(BEFORE, AFTER, "return after"),
        },
        expected={
            "1": Expected(0, "nearly", "the middle"),
            "2": Expected(1, "nearly", "the reason is not"),
            "3": Expected(1, "nearly", "radians"),
            "4": Expected(1, "nearly", "how much the heel is flatter"),
            "5": LEFT,
            "6": Expected(0, "nearly", "That is the run after"),
        },
    ),
    Entry(
        "felix",
        "a decimal comma, words instead of letters, text with a unit, the foot itself, no function",
        answers={
            "1": "answer_1 = 7,5",
            "2": "answer_2 = 'that soft part'\nreason_2 = 'Q'",
            "3": "answer_3 = '51 degrees'",
            "4": POINTS.format(sign="", answer="foot"),
            "6": "moved_forward = 22.5",
        },
        expected={
            "1": Expected(0, "keep going", "with a point"),
            "2": Expected(0, "keep going", "letters A, B, C"),
            "3": Expected(0, "keep going", "quotation marks"),
            "4": Expected(0, "keep going", "plain value"),
            "5": LEFT,
            "6": Expected(0, "keep going"),
        },
    ),
    Entry(
        "gina",
        "the key for the sine, points the wrong way round, only right where it gets flatter",
        answers={
            "1": "answer_1 = task.numbers.toe_deg",
            "3": "import math\n\nn = task.numbers\n"
            "answer_3 = math.degrees(math.asin(n.run_mm / n.height_mm))",
            "4": "from hoofcalc.profile import Profile\n\nn = task.numbers\n"
            "foot = Profile(toe_ground=(0, n.toe_ground_forward_mm),\n"
            "               toe_coronet=(n.toe_band_up_mm, n.toe_band_forward_mm),\n"
            "               heel_ground=(0, n.heel_ground_forward_mm),\n"
            "               heel_coronet=(n.heel_band_up_mm, n.heel_band_forward_mm))\n"
            "answer_4 = foot.heel_angle_deg",
            "6": function(BEFORE, AFTER, "return abs(after - before)"),
        },
        expected={
            "1": Expected(0, "nearly", "toe angle itself"),
            "2": LEFT,
            "3": Expected(0, "nearly", "sine"),
            "4": Expected(0, "keep going", "toe_ground must lie in front"),
            "5": LEFT,
            "6": Expected(1.5, "nearly", "not right everywhere"),
        },
    ),
    Entry(
        "hugo",
        "the key for the cosine, heel from the upright, never below one",
        answers={
            "3": "import math\n\nn = task.numbers\n"
            "answer_3 = math.degrees(math.acos(n.run_mm / n.height_mm))",
            "4": POINTS.format(sign="", answer="90 - foot.heel_angle_deg"),
            "6": function(BEFORE, AFTER, "return max(after - before, 1)"),
        },
        expected={
            "1": LEFT,
            "2": LEFT,
            "3": Expected(0, "nearly", "cosine"),
            "4": Expected(1, "nearly", "from the upright"),
            "5": LEFT,
            "6": Expected(1, "nearly"),
        },
    ),
    Entry(
        "ida",
        "a check cell and a prompt lost, nothing else wrong",
        reference=True,
        change=lose_the_check,
        expected=FULL,
    ),
    Entry(
        "kurt",
        "worked with a neighbour's numbers",
        reference=True,
        typed_id="anna",
        answers={"2": ""},
        expected=FULL
        | {
            "1": Expected(0, "keep going", "the id 'anna'"),
            "2": LEFT,
            "3": Expected(0, "keep going", "the id 'anna'"),
            "4": Expected(0, "keep going", "the id 'anna'"),
        },
    ),
    Entry(
        "lena",
        "forgot to type an id: worked with the practice numbers",
        typed_id="",
        answers={"1": "answer_1 = task.numbers.toe_deg - task.numbers.heel_deg"},
        expected=NOTHING | {"1": Expected(0, "keep going", "practice")},
    ),
    Entry(
        "mia",
        "worked in a cell of her own",
        change=answer_in_an_own_cell,
        answers={"1": "answer_1 = ..."},
        expected=NOTHING | {"1": Expected(1, "right")},
    ),
    Entry(
        "nils",
        "an answer a little off, the heel opened to the front, times the tangent",
        answers={
            "3": "import math\n\nn = task.numbers\n"
            "answer_3 = math.degrees(math.atan(n.height_mm / n.run_mm)) + 1",
            "4": POINTS.format(sign="", answer="180 - foot.heel_angle_deg"),
            "6": function(
                "t = math.tan(math.radians(after_deg)) - math.tan(math.radians(before_deg))",
                "return height_mm * t",
            ),
        },
        expected={
            "1": LEFT,
            "2": LEFT,
            "3": Expected(1, "nearly", "a little off"),
            "4": Expected(1, "nearly", "opens to the front"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "wrong side"),
        },
    ),
    Entry(
        "olga",
        "the difference of the angles first; the angle in front of the toe; heel in radians",
        answers={
            "3": "import math\n\nn = task.numbers\n"
            "answer_3 = 180 - math.degrees(math.atan(n.height_mm / n.run_mm))",
            "4": "import math\n"
            + POINTS.format(sign="", answer="math.radians(foot.heel_angle_deg)"),
            "6": function("return height_mm * math.tan(math.radians(before_deg - after_deg))"),
        },
        expected={
            "1": LEFT,
            "2": LEFT,
            "3": Expected(1, "nearly", "in front of the toe"),
            "4": Expected(1, "nearly", "degrees already"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "difference of the angles first"),
        },
    ),
    Entry("otto", "not a notebook", file=b"My answers: 7, B, 51", reason="not a notebook"),
)

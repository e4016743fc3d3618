"""Hand-ins for exercise 03 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "Any known length"),
    "2": Expected(2, "right", "No scale was needed"),
    "3": Expected(1, "right", "own ground line"),
    "4": Expected(2, "right", "one held against the other"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "carry its error"),
}
NOTHING = dict.fromkeys("123456", LEFT)


def function(result: str, before: str = "") -> str:
    """A learner's function for question 6 that gives back `result`."""
    return (
        "import math\n\ndef angle_error(point_error_mm, wall_mm, ground_mm):\n"
        f"    e, wall, ground = point_error_mm, wall_mm, ground_mm\n{before}    return {result}"
    )


CROOKED = (
    "from hoofcalc.profile import Profile\n\nn = task.numbers\nfoot = Profile(\n"
    "    toe_ground=(n.crooked_toe_ground_across, n.crooked_toe_ground_up),\n"
    "    toe_coronet=(n.crooked_toe_hairline_across, n.crooked_toe_hairline_up),\n"
    "    heel_ground=(n.crooked_heel_ground_across, n.crooked_heel_ground_up),\n"
    "    heel_coronet=(n.crooked_heel_hairline_across, n.crooked_heel_hairline_up),\n)\n"
)
HEEL = (
    "import math\n\nn = task.numbers\nback = n.heel_ground_across - n.heel_hairline_across\n"
    "up = n.heel_hairline_up - n.ground_up\n"
)
PAIRS = "n = vars(task.numbers)\n"
LARGEST = (
    PAIRS + "answer_4 = max('abc', key=lambda x: n[f'pair_{x}_first_deg'] - "
    "n[f'pair_{x}_second_deg'])\n"
)
SUREST = PAIRS + "answer_4 = min('ABC', key=lambda x: n[f'pair_{x.lower()}_error_deg'])\n"
REAL = (
    PAIRS + "answer_4 = max('abc', key=lambda x: (n[f'pair_{x}_first_deg'] - "
    "n[f'pair_{x}_second_deg']) / n[f'pair_{x}_error_deg'])\n"
)

BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "Jörg M. Vogelsang",
        "right in other forms: a fraction, numpy, in mm instead of dots, small letters",
        reference=True,
        answers={
            "1": "from fractions import Fraction\n\nn = task.numbers\n"
            "answer_1 = Fraction(int(n.toe_dots * n.tube_width_mm), int(n.tube_width_dots))",
            "2": "import numpy as np\nfrom hoofcalc.angles import slope_deg\n\nn = task.numbers\n"
            "answer_2 = np.array([slope_deg((n.heel_ground_across, n.ground_up), "
            "(n.heel_hairline_across, n.heel_hairline_up))])",
            "3": CROOKED.replace("across, n", "across / 4, n").replace("up)", "up / 4)")
            + "answer_3 = round(foot.angle_gap_deg, 2)",
            "4": REAL + "reason_4 = 's)'",
            "6": function(
                "math.degrees(e * (2 * (1 / wall**2 + 1 / ground**2)) ** 0.5)",
            ),
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "typical slips: scale upside down, from the vertical, heel minus toe, the largest, no root "
        "of two",
        answers={
            "1": "n = task.numbers\nanswer_1 = n.toe_dots * n.tube_width_dots / n.tube_width_mm",
            "2": HEEL + "answer_2 = math.degrees(math.atan(back / up))",
            "3": CROOKED + "answer_3 = foot.heel_angle_deg - foot.toe_angle_deg",
            "4": LARGEST + "reason_4 = 'P'",
            "6": function("57.3 * e * math.sqrt(1 / wall**2 + 1 / ground**2)"),
        },
        expected={
            "1": Expected(0, "nearly", "is upside down"),
            "2": Expected(1, "nearly", "counted from the upright"),
            "3": Expected(0.5, "nearly", "took the toe from the heel"),
            "4": Expected(0, "nearly", "largest difference"),
            "5": LEFT,
            "6": Expected(0, "nearly", "√2 is missing"),
        },
    ),
    Entry(
        "david",
        "other slips: half the tube, radians, toe for gap, right pair with the wrong reason, only "
        "the wall",
        answers={
            "1": "n = task.numbers\n"
            "answer_1 = n.toe_dots * (n.tube_width_mm / 2) / n.tube_width_dots",
            "2": HEEL + "answer_2 = math.atan(up / back)",
            "3": CROOKED + "answer_3 = foot.toe_angle_deg",
            "4": REAL + "reason_4 = 'R'",
            "6": function("57.3 * 1.414 * e / wall"),
        },
        expected={
            "1": Expected(0, "nearly", "half the tube"),
            "2": Expected(1, "nearly", "radians"),
            "3": Expected(0.5, "nearly", "That is the toe angle"),
            "4": Expected(1, "nearly", "error of their difference"),
            "5": LEFT,
            "6": Expected(0, "nearly", "Only the wall"),
        },
    ),
    Entry(
        "emma",
        "sine, dots left as dots, coronet for gap, steadiest readings, errors added",
        answers={
            "1": "answer_1 = task.numbers.toe_dots",
            "2": HEEL + "answer_2 = math.degrees(math.asin(up / back))",
            "3": CROOKED + "answer_3 = foot.coronet_angle_deg",
            "4": SUREST + "reason_4 = 'Q'",
            "6": function("57.3 * math.sqrt(2) * e * (1 / wall + 1 / ground)"),
        },
        expected={
            "1": Expected(0, "nearly", "Those are dots"),
            "2": Expected(1, "nearly", "used the sine"),
            "3": Expected(0.5, "nearly", "coronet angle"),
            "4": Expected(0, "nearly", "steadiest readings"),
            "5": LEFT,
            "6": Expected(0, "nearly", "added the two errors"),
        },
    ),
    Entry(
        "felix",
        "toe for heel, supplement of nothing, centimetres, a root forgotten",
        answers={
            "1": "n = task.numbers\n"
            "answer_1 = n.toe_dots * n.tube_width_mm / n.tube_width_dots / 10",
            "2": "import math\n\nn = task.numbers\nanswer_2 = math.degrees(math.atan("
            "(n.toe_hairline_up - n.ground_up) / (n.toe_ground_across - n.toe_hairline_across)))",
            "3": CROOKED + "answer_3 = foot.heel_angle_deg",
            "6": function("(57.3 * 1.414 * e) ** 2 * (1 / wall**2 + 1 / ground**2)"),
        },
        expected={
            "1": Expected(0, "nearly", "centimetres"),
            "2": Expected(1, "nearly", "That is the toe angle"),
            "3": Expected(0.5, "nearly", "That is the heel angle"),
            "4": LEFT,
            "5": LEFT,
            "6": Expected(0, "nearly", "root at the end"),
        },
    ),
    Entry(
        "greta",
        "opened to the front, below zero, radians in the function, only the scale",
        answers={
            "1": "n = task.numbers\nanswer_1 = n.tube_width_mm / n.tube_width_dots",
            "2": HEEL + "answer_2 = math.degrees(math.atan2(up, -back))",
            "3": CROOKED + "answer_3 = foot",
            "6": function("math.sqrt(2) * e * math.hypot(1 / wall, 1 / ground)"),
        },
        expected={
            "1": Expected(0, "nearly", "That is the scale"),
            "2": Expected(1, "nearly", "opens to the front"),
            "3": Expected(0, "keep going", "plain value"),
            "4": LEFT,
            "5": LEFT,
            "6": Expected(0, "nearly", "in radians"),
        },
    ),
    Entry(
        "hugo",
        "rounded too early in 1 and 2; a function that is right only while the ground line is long",
        answers={
            "1": "n = task.numbers\n"
            "answer_1 = 0.985 * n.toe_dots * n.tube_width_mm / n.tube_width_dots",
            "2": HEEL + "answer_2 = 1.015 * math.degrees(math.atan(up / back))",
            "6": function(
                "57.3 * 1.414 * e * math.sqrt(1 / wall**2 + 1 / ground**2)",
                "    if ground < wall:\n        return 57.3 * 1.414 * e / wall\n",
            ),
        },
        expected=NOTHING
        | {
            "1": Expected(0, "nearly", "a little off"),
            "2": Expected(1, "nearly", "a little off"),
            "6": Expected(1.5, "nearly", "Only the wall"),
        },
    ),
    Entry(
        "ida",
        "a syntax error in 2, points that are no foot in 3, a letter that is no choice in 4",
        reference=True,
        answers={
            "2": "answer_2 = 90 -",
            "3": "from hoofcalc.profile import Profile\n\nanswer_3 = Profile(toe_ground=(0, 0), "
            "toe_coronet=(1, 1), heel_ground=(9, 0), heel_coronet=(8, 1)).angle_gap_deg",
            "4": "answer_4 = 'D'\nreason_4 = 'S'",
        },
        expected=FULL
        | {
            "2": Expected(0, "keep going", "Look at"),
            "3": Expected(0, "keep going", "toe_ground must lie in front"),
            "4": Expected(0, "keep going", "letters A, B, C"),
        },
    ),
    Entry(
        "jan",
        "an unlucky mixture: a decimal comma, text, a function not called, examples by heart",
        answers={
            "1": "answer_1 = 88,5",
            "2": "answer_2 = '38 degrees'",
            "3": "answer_3 = max",
            "6": "def angle_error(point_error_mm, wall_mm, ground_mm):\n"
            "    return {51: 1.3811, 97: 1.6106}[wall_mm]",
        },
        expected={
            "1": Expected(0, "keep going", "with a point"),
            "2": Expected(0, "keep going", "quotation marks"),
            "3": Expected(0, "keep going", "Call it"),
            "4": LEFT,
            "5": LEFT,
            "6": Expected(0, "keep going", "KeyError"),
        },
    ),
    Entry(
        "karl",
        "worked with a neighbour's numbers",
        reference=True,
        answers={"4": ""},
        typed_id="anna",
        expected=FULL
        | {
            "1": Expected(0, "keep going", "the id 'anna'"),
            "2": Expected(0, "keep going", "the id 'anna'"),
            "3": Expected(0, "keep going", "the id 'anna'"),
            "4": LEFT,
        },
    ),
    Entry(
        "lena",
        "half the dots of the tube, cosine, degrees turned twice, the root and a line left out",
        answers={
            "1": "n = task.numbers\n"
            "answer_1 = n.toe_dots * n.tube_width_mm / (n.tube_width_dots / 2)",
            "2": HEEL + "answer_2 = math.degrees(math.acos(up / back))",
            "3": CROOKED + "import math\nanswer_3 = math.radians(foot.angle_gap_deg)",
            "6": function("57.3 * e / wall"),
        },
        expected=NOTHING
        | {
            "1": Expected(0, "nearly", "Half the dots"),
            "2": Expected(1, "nearly", "used the cosine"),
            "3": Expected(0.5, "nearly", "in radians"),
            "6": Expected(0, "nearly", "Two things are missing"),
        },
    ),
    Entry(
        "mia",
        "the hairlines joined, the error doubled, a power of ten",
        answers={
            "1": "n = task.numbers\nanswer_1 = 1e6 * n.toe_dots",
            "2": "import math\n\nn = task.numbers\nanswer_2 = math.degrees(math.atan("
            "(n.toe_hairline_up - n.heel_hairline_up) / "
            "(n.toe_hairline_across - n.heel_hairline_across)))",
            "6": function("2 * 57.3 * 1.414 * e * math.hypot(1 / wall, 1 / ground)"),
        },
        expected=NOTHING
        | {
            "1": Expected(0, "keep going", "far too large"),
            "2": Expected(0.5, "nearly", "joined the two hairlines"),
            "6": Expected(0, "nearly", "twice the standard error"),
        },
    ),
    Entry(
        "nils",
        "stopped at the tangent",
        answers={"2": HEEL + "answer_2 = up / back"},
        expected=NOTHING | {"2": Expected(0.5, "nearly", "the angle that has this tangent")},
    ),
    Entry(
        "olga",
        "back counted the wrong way round",
        answers={"2": HEEL + "answer_2 = math.degrees(math.atan(up / -back))"},
        expected=NOTHING | {"2": Expected(1, "nearly", "below zero")},
    ),
    Entry("otto", "not a notebook", file=b"My answers: 90, 38, 12", reason="not a notebook"),
)

"""Hand-ins for exercise 06 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "laid over the photograph"),
    "2": Expected(2, "right", "pinches in"),
    "3": Expected(2, "right", "below the coronary band"),
    "4": Expected(2, "right", "how many times its error"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "lies far from where it belongs"),
}
NOTHING = dict.fromkeys("123456", LEFT)

TASK_2 = "import math\nn = task.numbers\nwidth, kept, up = n.width_mm, n.taper, n.band_height_mm\n"
TASK_3 = (
    "from hoofcalc.capsule import build_capsule\nfrom hoofcalc.profile import Profile\n"
    "n = task.numbers\nside = Profile.from_measures({toe}, {heel}, n.toe_mm, n.heel_mm, "
    "n.bearing_mm)\nanswer_3 = build_capsule(side, taper={taper}).volume_mm3 / {over}"
)
BUILT = {"toe": "n.toe_deg", "heel": "n.heel_deg", "taper": "n.taper", "over": 1000}
PLACE = (
    "n = task.numbers\noff = {{x: abs(getattr(n, f'off_{{x.lower()}}_deg')) for x in 'ABC'}}\n"
    "error = {{x: getattr(n, f'error_{{x.lower()}}_deg') for x in 'ABC'}}\n"
    "answer_4 = max('ABC', key=lambda x: {by})\nreason_4 = '{reason}'"
)
FUNCTION = "def back_of(angle_deg, toe_deg, heel_deg):\n    return {}\n"

BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "bela",
        "right in other forms: a list, rounded, an array, small letters",
        reference=True,
        answers={
            "1": "n = task.numbers\nanswer_1 = [n.toe_deg + n.behind_toe_mm / n.bearing_mm"
            " * (n.heel_deg - n.toe_deg)]",
            "2": TASK_2
            + "answer_2 = round(math.degrees(math.atan2(width / 2 * (1 - kept), up)), 1)",
            "3": TASK_3.format(**BUILT) + "\nimport numpy as np\nanswer_3 = np.array([answer_3])",
            "4": PLACE.format(by="off[x] / error[x]", reason="q") + "\nanswer_4 = answer_4.lower()",
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "from the heel, both sides, cubic millimetres, most degrees, gap the wrong way round",
        answers={
            "1": "n = task.numbers\nanswer_1 = n.heel_deg + n.behind_toe_mm / n.bearing_mm"
            " * (n.toe_deg - n.heel_deg)",
            "2": TASK_2 + "answer_2 = math.degrees(math.atan(width * (1 - kept) / up))",
            "3": TASK_3.format(**{**BUILT, "over": 1}),
            "4": PLACE.format(by="off[x]", reason="P"),
            "6": "def back_of(angle_deg, toe_deg, heel_deg):\n    gap = heel_deg - toe_deg\n"
            "    return (toe_deg - angle_deg) / gap if gap else 0\n",
        },
        expected={
            "1": Expected(0, "nearly", "counted the way from the heels"),
            "2": Expected(1, "nearly", "There are two"),
            "3": Expected(1, "nearly", "cubic millimetres"),
            "4": Expected(0, "nearly", "most degrees"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "wrong way round"),
        },
    ),
    Entry(
        "david",
        "added, taper upside down twice, wrong reason, parallel lines forgotten",
        answers={
            "1": "n = task.numbers\nanswer_1 = n.toe_deg + n.behind_toe_mm / n.bearing_mm"
            " * (n.toe_deg - n.heel_deg)",
            "2": TASK_2 + "answer_2 = math.degrees(math.atan(width * (1 / kept - 1) / 2 / up))",
            "3": TASK_3.format(**{**BUILT, "taper": "1 / n.taper"}),
            "4": PLACE.format(by="off[x] / error[x]", reason="R"),
            "6": FUNCTION.format("(toe_deg - angle_deg) / (toe_deg - heel_deg)"),
        },
        expected={
            "1": Expected(0, "nearly", "added the turn"),
            "2": Expected(1, "nearly", "divided by the taper"),
            "3": Expected(1, "nearly", "is upside down"),
            "4": Expected(1, "nearly", "less sure, not more"),
            "5": LEFT,
            "6": Expected(1.5, "keep going", "ZeroDivisionError"),
        },
    ),
    Entry(
        "emma",
        "from the upright, the tangent itself, an area's hundred, per cent",
        answers={
            "1": "n = task.numbers\nanswer_1 = 90 - (n.toe_deg - n.behind_toe_mm / n.bearing_mm"
            " * (n.toe_deg - n.heel_deg))",
            "2": TASK_2 + "answer_2 = width / 2 * (1 - kept) / up",
            "3": TASK_3.format(**{**BUILT, "over": 100}),
            "6": "def back_of(angle_deg, toe_deg, heel_deg):\n    gap = toe_deg - heel_deg\n"
            "    return 100 * (toe_deg - angle_deg) / gap if gap else 0\n",
        },
        expected=NOTHING
        | {
            "1": Expected(0, "nearly", "from the upright"),
            "2": Expected(1, "nearly", "That is the tangent"),
            "3": Expected(1, "nearly", "as for an area"),
            "6": Expected(0.5, "nearly", "You give per cent"),
        },
    ),
    Entry(
        "felix",
        "only the turn, the angle from the ground, litres, the most unsure place, from the heel",
        answers={
            "1": "n = task.numbers\nanswer_1 = n.behind_toe_mm / n.bearing_mm"
            " * (n.toe_deg - n.heel_deg)",
            "2": TASK_2 + "answer_2 = math.degrees(math.atan(up / (width / 2 * (1 - kept))))",
            "3": TASK_3.format(**{**BUILT, "over": 1e6}),
            "4": PLACE.format(by="error[x]", reason="R"),
            "6": "def back_of(angle_deg, toe_deg, heel_deg):\n    gap = toe_deg - heel_deg\n"
            "    return (angle_deg - heel_deg) / gap if gap else 0\n",
        },
        expected={
            "1": Expected(0, "nearly", "how far the line has turned"),
            "2": Expected(1, "nearly", "from the upright"),
            "3": Expected(1, "nearly", "in litres"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "counted from the heels"),
        },
    ),
    Entry(
        "gina",
        "toe for heel, half the band's width, millimetres for the part",
        answers={
            "1": "n = task.numbers\nanswer_1 = n.heel_deg - n.behind_toe_mm / n.bearing_mm"
            " * (n.toe_deg - n.heel_deg)",
            "2": TASK_2 + "answer_2 = math.degrees(math.atan(width / 2 * kept / up))",
            "3": TASK_3.format(**{**BUILT, "taper": 1}),
        },
        expected=NOTHING
        | {
            "1": Expected(0, "nearly", "started from the heel"),
            "2": Expected(0.5, "nearly", "half the band's own width"),
            "3": Expected(1, "nearly", "taper is missing"),
        },
    ),
    Entry(
        "hugo",
        "text for a number, a letter that is not there, a function that stops",
        answers={
            "1": "answer_1 = '44 degrees'",
            "2": "answer_2 = -5",
            "3": "answer_3 = (3 * 4",
            "4": "answer_4 = 'D'\nreason_4 = 'Q'",
            "6": FUNCTION.format("toe"),
        },
        expected={
            "1": Expected(0, "keep going", "quotation marks"),
            "2": Expected(0, "keep going", "below zero"),
            "3": Expected(0, "keep going", "Look at"),
            "4": Expected(0, "keep going", "letters A, B, C"),
            "5": LEFT,
            "6": Expected(0, "keep going", "NameError"),
        },
    ),
    Entry("otto", "not a notebook", file=b"My answers: 44, 12, B", reason="not a notebook"),
)

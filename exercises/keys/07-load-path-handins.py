"""Hand-ins for exercise 07 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "comes closer to the tubules"),
    "2": Expected(1, "right", "Small beside what horn bears"),
    "3": Expected(2, "right", "whole rim at one call"),
    "4": Expected(2, "right", "Shape and moment"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "every degree flatter"),
}
NOTHING = dict.fromkeys("123456", LEFT)

TASK_1 = "n = task.numbers\nanswer_1 = {}"
TASK_2 = "n = task.numbers\nrest = 1 - n.other_percent / 100\nanswer_2 = {}"
TASK_3 = (
    "from hoofcalc.capsule import build_capsule\n"
    "from hoofcalc.loadpath import force_vector, obliquity_deg\n"
    "from hoofcalc.profile import Profile\nn = task.numbers\n"
    "side = Profile.from_measures(n.toe_deg, n.heel_deg, n.toe_mm, n.heel_mm, n.bearing_mm)\n"
    "foot = build_capsule(side, taper=n.taper)\n"
    "answer_3 = obliquity_deg(foot, force_vector(4000, {tilt}))[{strip}]"
)
FOOT = (
    "n = task.numbers\nheel = {{x: getattr(n, f'foot_{{x.lower()}}_heel_deg') for x in 'ABC'}}\n"
    "tilt = {{x: getattr(n, f'foot_{{x.lower()}}_tilt_deg') for x in 'ABC'}}\n"
    "answer_4 = max('ABC', key=lambda x: {by})\nreason_4 = '{reason}'"
)
FUNCTION = (
    "import math\n\n\ndef across_n(force_n, wall_deg, tilt_deg):\n"
    "    turn = math.radians(90 - wall_deg - tilt_deg)\n    return {}\n"
)

BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "bela",
        "right in other forms: a list, rounded, an array, the left heel, small letters",
        reference=True,
        answers={
            "1": TASK_1.format("[round(90 - n.toe_deg - n.brake_tilt_deg, 1)]"),
            "2": TASK_2.format("float(f'{n.pair_n * rest / 2 / n.area_mm2:.3g}')"),
            "3": TASK_3.format(tilt="n.push_tilt_deg", strip="[-1]"),
            "4": FOOT.format(by="-heel[x] - tilt[x]", reason="r") + "\nanswer_4 = answer_4.lower()",
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "braking for push-off, pair for limb, braking again, the flattest, the cosine",
        answers={
            "1": TASK_1.format("90 - n.toe_deg + n.brake_tilt_deg"),
            "2": TASK_2.format("n.pair_n * rest / n.area_mm2"),
            "3": TASK_3.format(tilt="-n.push_tilt_deg", strip="0"),
            "4": FOOT.format(by="-heel[x]", reason="P"),
            "6": FUNCTION.format("abs(force_n * math.cos(turn))"),
        },
        expected={
            "1": Expected(0, "nearly", "wrong sign"),
            "2": Expected(0, "nearly", "both feet under one"),
            "3": Expected(1, "nearly", "you let the foot brake"),
            "4": Expected(0, "nearly", "the flattest heel"),
            "5": LEFT,
            "6": Expected(0, "nearly", "runs with the tubules"),
        },
    ),
    Entry(
        "david",
        "from the ground, per cent for share, toe for heel, right foot for a wrong reason, signed",
        answers={
            "1": TASK_1.format("n.toe_deg - n.brake_tilt_deg"),
            "2": TASK_2.format("n.pair_n / 2 * (1 - n.other_percent) / n.area_mm2"),
            "3": TASK_3.format(tilt="n.push_tilt_deg", strip="90"),
            "4": FOOT.format(by="-heel[x] - tilt[x]", reason="P"),
            "6": FUNCTION.format("force_n * math.sin(turn)"),
        },
        expected={
            "1": Expected(0, "nearly", "from the ground"),
            "2": Expected(0, "nearly", "Per cent went in"),
            "3": Expected(1, "nearly", "the toe's"),
            "4": Expected(1, "nearly", "What else counts"),
            "5": LEFT,
            "6": Expected(1.5, "nearly", "without a sign"),
        },
    ),
    Entry(
        "emma",
        "the heel's, frog's part, the side view, the largest tilt, the tilt's sign",
        answers={
            "1": TASK_1.format("90 - n.heel_deg - n.brake_tilt_deg"),
            "2": TASK_2.format("n.pair_n / 2 * (1 - rest) / n.area_mm2"),
            "3": "n = task.numbers\nanswer_3 = 90 - n.heel_deg - n.push_tilt_deg",
            "4": FOOT.format(by="abs(tilt[x])", reason="Q"),
            "6": "import math\n\n\ndef across_n(force_n, wall_deg, tilt_deg):\n"
            "    return abs(force_n * math.sin(math.radians(90 - wall_deg + tilt_deg)))\n",
        },
        expected={
            "1": Expected(0, "nearly", "That is the heel's"),
            "2": Expected(0, "nearly", "The wall carries the rest"),
            "3": Expected(1, "nearly", "in the side view"),
            "5": LEFT,
            "6": Expected(0, "nearly", "wrong way round"),
        },
    ),
    Entry(
        "felix",
        "no tilt twice, nothing for the frog, radians",
        answers={
            "1": TASK_1.format("90 - n.toe_deg"),
            "2": TASK_2.format("n.pair_n / 2 / n.area_mm2"),
            "3": TASK_3.format(tilt="0", strip="0"),
            "6": "import math\n\n\ndef across_n(force_n, wall_deg, tilt_deg):\n"
            "    return abs(force_n * math.sin(90 - wall_deg - tilt_deg))\n",
        },
        expected=NOTHING
        | {
            "1": Expected(0, "nearly", "upright push"),
            "2": Expected(0, "nearly", "take their part first"),
            "3": Expected(1, "nearly", "upright push"),
            "6": Expected(0, "nearly", "into radians first"),
        },
    ),
    Entry(
        "gina",
        "square centimetres, taken from a right angle, the share",
        answers={
            "1": TASK_1.format("n.toe_deg + n.brake_tilt_deg"),
            "2": TASK_2.format("n.pair_n / 2 * rest / (n.area_mm2 / 100)"),
            "3": TASK_3.format(tilt="n.push_tilt_deg", strip="0") + "\nanswer_3 = 90 - answer_3",
            "6": FUNCTION.format("abs(math.sin(turn))"),
        },
        expected=NOTHING
        | {
            "1": Expected(0, "nearly", "square to the wall"),
            "2": Expected(0, "nearly", "each square centimetre"),
            "3": Expected(1, "nearly", "away from a right angle"),
            "6": Expected(0, "nearly", "You give the share"),
        },
    ),
    Entry(
        "hugo",
        "text for a number, a letter that is not there, a function that stops",
        answers={
            "1": "answer_1 = '34 degrees'",
            "2": "answer_2 = (3 * 4",
            "3": "answer_3 = max",
            "4": "answer_4 = 'D'\nreason_4 = 'R'",
            "6": FUNCTION.format("push"),
        },
        expected={
            "1": Expected(0, "keep going", "quotation marks"),
            "2": Expected(0, "keep going", "Look at"),
            "3": Expected(0, "keep going", "Call it"),
            "4": Expected(0, "keep going", "letters A, B, C"),
            "5": LEFT,
            "6": Expected(0, "keep going", "NameError"),
        },
    ),
    Entry("otto", "not a notebook", file=b"My answers: 34, 0.5, B", reason="not a notebook"),
)

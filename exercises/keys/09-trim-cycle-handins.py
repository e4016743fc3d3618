"""Hand-ins for exercise 09 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "Growth less wear, times days"),
    "2": Expected(2, "right", "without any horn bending"),
    "3": Expected(2, "right", "judged against its own error"),
    "4": Expected(1, "right", "An illustration"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "save many a quarrel"),
}
NOTHING = dict.fromkeys("123456", LEFT)


def gain(value: str) -> str:
    return f"n = task.numbers\nanswer_1 = {value}"


def turned(
    answer: str = "-degrees(atan(down / ground))",
    *,
    days: str = "n.weeks * 7",
    heel: str = "(n.growth_mm_day - n.wear_mm_day) * days",
    angles: str = "radians(n.toe_deg), radians(n.heel_deg)",
    down: str = "toe_gain * sin(toe) - heel_gain * sin(heel)",
    ahead: str = "toe_gain * cos(toe) - heel_gain * cos(heel)",
) -> str:
    """Question 2 step by step, with one of the steps gone wrong."""
    return (
        "from math import atan, cos, degrees, radians, sin\n\n"
        f"n = task.numbers\ndays = {days}\ntoe_gain = n.growth_mm_day * days\n"
        f"heel_gain = {heel}\ntoe, heel = {angles}\ndown = {down}\n"
        f"ground = n.ground_mm + {ahead}\nanswer_2 = {answer}"
    )


def largest(of: str) -> str:
    """The letter of the foot with the largest of something."""
    return (
        "n = task.numbers\nsize = {}\nfor letter in 'ABC':\n"
        "    fall = getattr(n, f'foot_{letter.lower()}_fall_deg')\n"
        "    error = getattr(n, f'foot_{letter.lower()}_error_deg')\n"
        f"    size[letter] = {of}\nanswer_3 = max(size, key=size.get)\n"
    )


def drifted(
    answer: str = "after.heel_angle_deg - n.low_heel_deg",
    *,
    band: str = "n.new_horn_deg",
    wear: str = ", wear_mm_day=n.low_wear_mm_day",
    days: str = "n.low_weeks * 7",
) -> str:
    """Question 4 with one of the steps gone wrong."""
    return (
        f"from hoofcalc import cycle\n\nn = task.numbers\nlaw = cycle.HeelLaw({band}{wear})\n"
        f"after = cycle.drift(n.low_heel_deg, n.low_length_mm, {days}, law)\nanswer_4 = {answer}"
    )


def real(
    *,
    change: str = "second_deg - first_deg",
    error: str = "2 * math.hypot(error_first_deg, error_second_deg)",
    test: str = "abs(change) > limit",
    gives: str = "change",
) -> str:
    """Question 6 with one of the steps gone wrong."""
    return (
        "import math\n\n\n"
        "def real_change(first_deg, error_first_deg, second_deg, error_second_deg):\n"
        f"    change = {change}\n    limit = {error}\n"
        f"    return {gives} if {test} else 0"
    )


BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "Jörg M. Vogelsang",
        "right in other forms: a list, rounded, small letters, the library, an array",
        reference=True,
        answers={
            "1": "import numpy as np\n\nn = task.numbers\n"
            "answer_1 = np.array([(n.growth_mm_day - n.wear_mm_day) * 7 * n.weeks])",
            "2": "from hoofcalc import cycle\nfrom hoofcalc.profile import Profile\n\n"
            "n = task.numbers\n"
            "foot = Profile.from_measures(n.toe_deg, n.heel_deg, 85, 35, n.ground_mm)\n"
            "then = cycle.grow(foot, 7 * n.weeks, toe_growth_mm_day=n.growth_mm_day,\n"
            "                  heel_growth_mm_day=n.growth_mm_day, heel_wear_mm_day=n.wear_mm_day)"
            "\nanswer_2 = [round(float(cycle.change(foot, then).toe_angle_deg), 2)]",
            "3": f"{largest('fall / error')}answer_3 = answer_3.lower()\nreason_3 = 'r)'",
            "4": drifted("float(f'{after.heel_angle_deg - n.low_heel_deg:.3g}')"),
            "6": real(error="(4 * error_first_deg**2 + 4 * error_second_deg**2) ** 0.5"),
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "typical slips: weeks for days, the sign, the largest fall, the angle at the end, one hand",
        answers={
            "1": gain("(n.growth_mm_day - n.wear_mm_day) * n.weeks"),
            "2": turned("degrees(atan(down / ground))"),
            "3": f"{largest('fall')}reason_3 = 'P'",
            "4": drifted("after.heel_angle_deg"),
            "6": real(error="2 * max(error_first_deg, error_second_deg)"),
        },
        expected={
            "1": Expected(0.5, "nearly", "weeks went in as days"),
            "2": Expected(1, "nearly", "the sign is not"),
            "3": Expected(0, "nearly", "You took the largest fall"),
            "4": Expected(0.5, "nearly", "take the start away"),
            "5": LEFT,
            "6": Expected(1.75, "nearly", "Two readings miss"),
        },
    ),
    Entry(
        "david",
        "other slips: no wear, no wear again, the best readings, no new horn, errors added",
        answers={
            "1": gain("n.growth_mm_day * n.weeks * 7"),
            "2": turned(heel="toe_gain"),
            "3": f"{largest('-error')}reason_3 = 'Q'",
            "4": drifted(band="n.low_heel_deg"),
            "6": real(error="2 * (error_first_deg + error_second_deg)"),
        },
        expected={
            "1": Expected(0.5, "nearly", "growth alone"),
            "2": Expected(0.5, "nearly", "as much as the toe"),
            "3": Expected(0, "nearly", "the best readings"),
            "4": Expected(0.5, "nearly", "band angle"),
            "5": LEFT,
            "6": Expected(1.5, "nearly", "add the squares"),
        },
    ),
    Entry(
        "emma",
        "half finished: the sign, weeks for days, the right foot for a wrong reason, a loose limit",
        answers={
            "1": gain("(n.wear_mm_day - n.growth_mm_day) * n.weeks * 7"),
            "2": turned(days="n.weeks"),
            "3": f"{largest('fall / error')}reason_3 = 'S'",
            "6": real(error="math.hypot(error_first_deg, error_second_deg)"),
        },
        expected=NOTHING
        | {
            "1": Expected(0.5, "nearly", "grows more than it wears"),
            "2": Expected(1, "nearly", "weeks went in as days"),
            "3": Expected(1, "nearly", "the reason is not"),
            "6": Expected(1.5, "nearly", "chance alone goes beyond"),
        },
    ),
    Entry(
        "felix",
        "wear added, toe for heel, no reason, weeks for days, the sign",
        answers={
            "1": gain("(n.growth_mm_day + n.wear_mm_day) * n.weeks * 7"),
            "2": turned(angles="radians(n.heel_deg), radians(n.toe_deg)"),
            "3": largest("fall / error"),
            "4": drifted(days="n.low_weeks"),
            "6": real(change="first_deg - second_deg"),
        },
        expected={
            "1": Expected(0, "nearly", "added the wear"),
            "2": Expected(0.5, "nearly", "changed places"),
            "3": Expected(1, "nearly", "reason is still missing"),
            "4": Expected(0.5, "nearly", "weeks went in as days"),
            "5": LEFT,
            "6": Expected(0.75, "nearly", "wrong way round"),
        },
    ),
    Entry(
        "gina",
        "wear alone, sine for cosine, no wear in the law, the size alone",
        answers={
            "1": gain("n.wear_mm_day * n.weeks * 7"),
            "2": turned(
                down="toe_gain * cos(toe) - heel_gain * cos(heel)",
                ahead="toe_gain * sin(toe) - heel_gain * sin(heel)",
            ),
            "4": drifted(wear=""),
            "6": real(gives="abs(change)"),
        },
        expected={
            "1": Expected(0, "nearly", "rubbed off"),
            "2": Expected(0.5, "nearly", "down takes the sine"),
            "3": LEFT,
            "4": Expected(0.5, "nearly", "wear is missing"),
            "5": LEFT,
            "6": Expected(1.5, "nearly", "You give back the size"),
        },
    ),
    Entry(
        "hugo",
        "a month for a day, radians, the sign of the drift, everything counts",
        answers={
            "1": gain("(n.growth_mm_day - n.wear_mm_day) * n.weeks / 4"),
            "2": turned("-atan(down / ground)"),
            "4": drifted("n.low_heel_deg - after.heel_angle_deg"),
            "6": real(test="True"),
        },
        expected={
            "1": Expected(0, "nearly", "millimetres a month"),
            "2": Expected(1, "nearly", "in radians"),
            "3": LEFT,
            "4": Expected(0.5, "nearly", "the end less the start"),
            "5": LEFT,
            "6": Expected(1.25, "nearly", "Every difference counts"),
        },
    ),
    Entry(
        "ines",
        "a decimal comma, per cent, no root",
        answers={
            "1": "answer_1 = 6,3",
            "2": turned("-100 * down / ground"),
            "4": "answer_4 = '-1.5 degrees'",
            "6": real(error="2 * (error_first_deg**2 + error_second_deg**2)"),
        },
        expected={
            "1": Expected(0, "keep going", "with a point"),
            "2": Expected(1, "nearly", "Per cent are not degrees"),
            "3": LEFT,
            "4": Expected(0, "keep going", "quotation marks"),
            "5": LEFT,
            "6": Expected(0, "nearly", "root is missing"),
        },
    ),
    Entry(
        "jonas",
        "the toe at the next visit, a fall never counts, the wear added in 2 is not asked twice",
        answers={
            "1": gain("999"),
            "2": turned("n.toe_deg - degrees(atan(down / ground))"),
            "4": "answer_4 = 40",
            "6": real(test="change > limit"),
        },
        expected={
            "1": Expected(0, "keep going", "far too large"),
            "2": Expected(1, "nearly", "The change is asked for"),
            "3": LEFT,
            "5": LEFT,
            "6": Expected(1.5, "nearly", "A fall never counts"),
        },
    ),
    Entry(
        "karla",
        "worked with a neighbour's numbers",
        typed_id="anna",
        reference=True,
        expected={
            "1": Expected(0, "keep going", "'anna'"),
            "2": Expected(0, "keep going", "'anna'"),
            "4": Expected(0, "keep going", "'anna'"),
            "5": Expected(0, "waiting"),
            "6": Expected(2, "right"),
        },
    ),
    Entry(
        "lars",
        "wear added at the heel, a step rounded too early, a function that stops",
        answers={
            "1": gain("round((n.growth_mm_day - n.wear_mm_day) * n.weeks * 7 * 1.015, 2)"),
            "2": turned(heel="(n.growth_mm_day + n.wear_mm_day) * days"),
            "6": real(gives="change / 0"),
        },
        expected={
            "1": Expected(0, "nearly", "a little off"),
            "2": Expected(0.5, "nearly", "added the wear at the heel"),
            "3": LEFT,
            "4": LEFT,
            "5": LEFT,
            "6": Expected(0, "keep going", "ZeroDivisionError"),
        },
    ),
    Entry("quirin", "a file cut short", file=b'{"cells": [', reason="breaks off"),
)

"""Hand-ins for exercise 08 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "larger of the two errors"),
    "2": Expected(2, "right", "the push leans with the heel"),
    "3": Expected(2, "right", "It is the gap that tells"),
    "4": Expected(1, "right", "A place among other feet"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "Factors multiply"),
}
NOTHING = dict.fromkeys("123456", LEFT)


def number_1(value: str) -> str:
    return f"n = task.numbers\na, b = n.toe_error_deg, n.heel_error_deg\nanswer_1 = {value}"


def number_2(value: str, obliquity: str = "90 - n.heel_deg - n.tilt_deg") -> str:
    return (
        f"import math\n\nn = task.numbers\nq = math.radians({obliquity})\n"
        f"F = n.push_n\nanswer_2 = {value}"
    )


SINE = "F * math.sin(q)"


def foot(which: str, reason: str) -> str:
    """The letter of the foot with the most or least of something, and the letter of a reason."""
    return (
        "n = task.numbers\ntoe = {x: getattr(n, f'foot_{x.lower()}_toe_deg') for x in 'ABC'}\n"
        "gap = {x: toe[x] - getattr(n, f'foot_{x.lower()}_heel_deg') for x in 'ABC'}\n"
        f"answer_3 = {which}\nreason_3 = {reason!r}"
    )


MOST, LEAST, TOE = "max(gap, key=gap.get)", "min(gap, key=gap.get)", "min(toe, key=toe.get)"


def number_4(call: str) -> str:
    return (
        "from hoofcalc import reading\n\nn = task.numbers\nheel = n.judged_heel_deg\n"
        f"answer_4 = {call}"
    )


PLACE = 'reading.percentile("heel_angle_deg", heel, "fore")'


def function(gives: str) -> str:
    return f"def odds_times(more_deg):\n    return {gives}"


BY_HEART = """\
def odds_times(more_deg):
    return {10: 6.75, 5: 2.598}[more_deg]
"""

BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "Bärbel K. Ostendorf",
        "right in other forms: rounded, a list, a fraction, the cosine of the sum, small letters",
        reference=True,
        answers={
            "1": "import math\n\nn = task.numbers\n"
            "answer_1 = [round(math.hypot(n.heel_error_deg, n.toe_error_deg), 2)]",
            "2": number_2("round(F * math.cos(q))", "n.heel_deg + n.tilt_deg"),
            "3": foot(f"{MOST}.lower() + ' '", "r)"),
            "4": number_4('round(reading.percentile("heel_angle_deg", heel), 1)'),
            "6": function("pow(6.75, more_deg / 10.0)"),
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "typical slips: errors added, tilt forgotten, the flattest toe, hind for fore, a slope",
        answers={
            "1": number_1("a + b"),
            "2": number_2(SINE, "90 - n.heel_deg"),
            "3": foot(TOE, "P"),
            "4": number_4('reading.percentile("heel_angle_deg", heel, "hind")'),
            "6": function("6.75 * more_deg / 10"),
        },
        expected={
            "1": Expected(0.5, "nearly", "added the two errors"),
            "2": Expected(1, "nearly", "left the tilt out"),
            "3": Expected(0, "nearly", "flattest toe"),
            "4": Expected(0.5, "nearly", "with hind feet"),
            "5": LEFT,
            "6": Expected(0, "nearly", "in proportion"),
        },
    ),
    Entry(
        "david",
        "other slips: root forgotten, sign of the tilt, sign of the gap, steeper, a straight line",
        answers={
            "1": number_1("a**2 + b**2"),
            "2": number_2(SINE, "90 - n.heel_deg + n.tilt_deg"),
            "3": foot(LEAST, "Q"),
            "4": number_4(f"100 - {PLACE}"),
            "6": function("1 + 5.75 * more_deg / 10"),
        },
        expected={
            "1": Expected(0.5, "nearly", "root is still missing"),
            "2": Expected(1, "nearly", "sign of the tilt"),
            "3": Expected(0, "nearly", "wrong sign"),
            "4": Expected(0.5, "nearly", "how many are steeper"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "straight line"),
        },
    ),
    Entry(
        "emma",
        "more slips: squares subtracted, along, right foot by the rule of thumb, share, per degree",
        answers={
            "1": number_1("(b**2 - a**2) ** 0.5"),
            "2": number_2("F * math.cos(q)"),
            "3": foot(MOST, "S"),
            "4": number_4(f"{PLACE} / 100"),
            "6": function("6.75 ** more_deg"),
        },
        expected={
            "1": Expected(0.5, "nearly", "took the squares from each other"),
            "2": Expected(1, "nearly", "part along the tubules"),
            "3": Expected(1, "nearly", "the reason is not"),
            "4": Expected(0.5, "nearly", "That is a share"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "each single degree"),
        },
    ),
    Entry(
        "felix",
        "errors subtracted, toe for heel, no reason, toes' population, the factor in ten parts",
        answers={
            "1": number_1("b - a"),
            "2": number_2(SINE, "90 - n.toe_deg - n.tilt_deg"),
            "3": foot(MOST, ""),
            "4": number_4('reading.percentile("toe_angle_deg", heel, "fore")'),
            "6": function("0.675 ** more_deg"),
        },
        expected={
            "1": Expected(0, "nearly", "one error from the other"),
            "2": Expected(1, "nearly", "toe's angle"),
            "3": Expected(1, "nearly", "reason is still missing"),
            "4": Expected(0, "nearly", "compared a heel with toes"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "divided the factor by ten"),
        },
    ),
    Entry(
        "gina",
        "the heel's error alone, the wall's own angle, 3 with a word, the factor itself",
        answers={
            "1": number_1("b"),
            "2": number_2(SINE, "n.heel_deg"),
            "3": "answer_3 = 'the second'\nreason_3 = 'R'",
            "4": number_4("reading.percentile"),
            "6": function("6.75"),
        },
        expected={
            "1": Expected(0, "nearly", "heel's error alone"),
            "2": Expected(0.5, "nearly", "as the obliquity"),
            "3": Expected(0, "keep going", "letters A, B, C"),
            "4": Expected(0, "keep going", "Call it"),
            "5": LEFT,
            "6": Expected(0, "nearly", "same for every difference"),
        },
    ),
    Entry(
        "hugo",
        "a decimal comma, a share for newtons, the power upside down",
        answers={
            "1": "answer_1 = 1,84",
            "2": number_2("math.sin(q)"),
            "6": function("6.75 ** (-more_deg / 10)"),
        },
        expected=NOTHING
        | {
            "1": Expected(0, "keep going", "with a point"),
            "2": Expected(1, "nearly", "That is the share"),
            "6": Expected(0.5, "nearly", "sign of the difference"),
        },
    ),
    Entry(
        "ida",
        "rounded too early, per cent for newtons, only more gap thought of",
        answers={
            "1": number_1("1.016 * (a**2 + b**2) ** 0.5"),
            "2": number_2("100 * math.sin(q)"),
            "6": function("6.75 ** (abs(more_deg) / 10)"),
        },
        expected=NOTHING
        | {
            "1": Expected(0, "nearly", "a little off"),
            "2": Expected(1, "nearly", "in per cent"),
            "6": Expected(1.5, "nearly", "sign of the difference"),
        },
    ),
    Entry(
        "jan",
        "the toe's error alone, radians, a broken function",
        answers={
            "1": number_1("a"),
            "2": number_2("F * abs(math.sin(90 - n.heel_deg - n.tilt_deg))"),
            "3": foot(MOST, "Q"),
            "6": "def odds_times(more_deg)\n    return 1",
        },
        expected=NOTHING
        | {
            "1": Expected(0, "nearly", "toe's error alone"),
            "3": Expected(1, "nearly", "the reason is not"),
            "2": Expected(0, "keep going"),
            "6": Expected(0, "keep going", "Look at"),
        },
    ),
    Entry(
        "karl",
        "worked with a neighbour's numbers",
        reference=True,
        answers={"3": "", "6": ""},
        typed_id="emma",
        expected=FULL
        | {
            "1": Expected(0, "keep going", "the id 'emma'"),
            "2": Expected(0, "keep going", "the id 'emma'"),
            "3": LEFT,
            "4": Expected(0, "keep going", "the id 'emma'"),
            "6": LEFT,
        },
    ),
    Entry(
        "lena",
        "the examples of 6 by heart; not a number; text for a number",
        answers={
            "1": number_1("float('nan')"),
            "2": "answer_2 = '4000 N'",
            "6": BY_HEART,
        },
        expected=NOTHING
        | {
            "1": Expected(0, "keep going", "not a number"),
            "2": Expected(0, "keep going", "quotation marks"),
            "6": Expected(0, "keep going", "KeyError"),
        },
    ),
    Entry("otto", "not a notebook", file=b"Error 1.8, foot B", reason="not a notebook"),
    Entry("paula", "empty", file=b"", reason="empty"),
)

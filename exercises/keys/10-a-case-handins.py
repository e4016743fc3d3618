"""Hand-ins for exercise 10 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "off the owner's page"),
    "2": Expected(2, "right", "most across while the foot pushes off"),
    "3": Expected(1, "right", "say it with a band"),
    "4": Expected(2, "right", "for these readings"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "how few reach 1"),
}
NOTHING = dict.fromkeys("123456", LEFT)


def pushed(value: str) -> str:
    return f"import math\n\nn = task.numbers\nanswer_1 = {value}"


def met(value: str) -> str:
    return f"n = task.numbers\nanswer_2 = {value}"


def grown(
    *,
    days: str = "n.weeks * 7",
    wear: str = ", heel_wear_mm_day=n.wear_mm_day",
    moment: str = "after trim",
    end: str = "toe_angle_deg",
) -> str:
    """Question 3 with one of the steps gone wrong."""
    return (
        "from hoofcalc import cycle, datasets\nfrom hoofcalc.profile import Profile\n\n"
        "n = task.numbers\n"
        f'record = datasets.foot("Sallowby", "right fore", 4, "{moment}")\n'
        f"foot = Profile(**record.landmarks)\nanswer_3 = cycle.grow(foot, {days}{wear}).{end}"
    )


def weighed(answer: str = "truth", reason: str = "Q") -> str:
    """Question 4 worked out, then perhaps turned into another letter."""
    return (
        "n = task.numbers\nchange = n.september_deg - n.june_deg\n"
        "way, other_way = ('A', 'B') if change < 0 else ('B', 'A')\n"
        "real = abs(change) > 2 * (2 * n.reading_error_deg**2) ** 0.5\n"
        "truth, other = (way, 'C') if real else ('C', way)\n"
        f"answer_4 = {answer}\nreason_4 = '{reason}'"
    )


def beside(
    *,
    change: str = "second_deg - first_deg",
    shows: str = "2 * math.hypot(error_first_deg, error_second_deg)",
    gives: str = "change / shows",
) -> str:
    """Question 6 with one of the steps gone wrong."""
    return (
        "import math\n\n\n"
        "def side_by_side(first_deg, error_first_deg, second_deg, error_second_deg):\n"
        f"    change = {change}\n    shows = {shows}\n    return {gives}"
    )


HALF_SINE = "math.pi * 0.57 * n.mass_kg * 9.81 / (4 * n.duty_factor)"

BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "Jörg M. Vogelsang",
        "right in other forms: g of 9.8, rounded, a list, small letters, an array",
        reference=True,
        answers={
            "1": pushed("round(math.pi * 0.57 * n.mass_kg * 9.8 / 4 / n.duty_factor)"),
            "2": met("[round(n.push_off_deg + (90 - n.heel_deg), 1)]"),
            "3": grown(days="7 * n.weeks") + "\nanswer_3 = round(float(answer_3), 1)",
            "4": weighed("truth.lower()", "q)"),
            "6": beside(
                shows="(4 * error_first_deg**2 + 4 * error_second_deg**2) ** 0.5",
                gives="round(change / shows, 4)",
            ),
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "typical slips: the pair, the toe, weeks for days, the wrong way, the root of 2",
        answers={
            "1": pushed(f"2 * {HALF_SINE}"),
            "2": met("90 - n.toe_deg + n.push_off_deg"),
            "3": grown(days="n.weeks"),
            "4": weighed("other_way"),
            "6": beside(shows="2 * max(error_first_deg, error_second_deg)"),
        },
        expected={
            "1": Expected(0.5, "nearly", "both front feet together"),
            "2": Expected(1, "nearly", "You took the toe"),
            "3": Expected(0.5, "nearly", "weeks went in as days"),
            "4": Expected(0, "nearly", "later reading less the earlier"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "Two readings miss"),
        },
    ),
    Entry(
        "david",
        "other slips: kilograms, braking, the heel, the wrong side, earlier less later",
        answers={
            "1": pushed(f"{HALF_SINE} / 9.81"),
            "2": met("90 - n.heel_deg - n.braking_deg"),
            "3": grown(end="heel_angle_deg"),
            "4": weighed("other"),
            "6": beside(change="first_deg - second_deg"),
        },
        expected={
            "1": Expected(0.5, "nearly", "kilograms times 9.81"),
            "2": Expected(1, "nearly", "That is braking"),
            "3": Expected(0.5, "nearly", "That is the heel"),
            "4": Expected(0, "nearly", "their squares add"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "wrong way round"),
        },
    ),
    Entry(
        "emma",
        "half finished: the hind share, the sign, before the trim, a wrong reason, errors added",
        answers={
            "1": pushed(HALF_SINE.replace("0.57", "0.43")),
            "2": met("90 - n.heel_deg - n.push_off_deg"),
            "3": grown(moment="before trim"),
            "4": weighed(reason="P"),
            "6": beside(shows="2 * (error_first_deg + error_second_deg)"),
        },
        expected={
            "1": Expected(0.5, "nearly", "a hind foot"),
            "2": Expected(1, "nearly", "The sign of the tilt"),
            "3": Expected(0.5, "nearly", "before the trim"),
            "4": Expected(1, "nearly", "the reason is not"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "add the squares"),
        },
    ),
    Entry(
        "felix",
        "no share, no tilt, no wear, no reason, not doubled",
        answers={
            "1": pushed(HALF_SINE.replace("0.57 * ", "")),
            "2": met("90 - n.heel_deg"),
            "3": grown(wear=""),
            "4": weighed().replace("reason_4 = 'Q'", ""),
            "6": beside(shows="math.hypot(error_first_deg, error_second_deg)"),
        },
        expected={
            "1": Expected(0.5, "nearly", "share is missing"),
            "2": Expected(1, "nearly", "straight up"),
            "3": Expected(0.5, "nearly", "wear is missing"),
            "4": Expected(1, "nearly", "reason is still missing"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "chance alone goes beyond"),
        },
    ),
    Entry(
        "gina",
        "times the duty factor, from the ground, nothing grown, the rule for the reason, no root",
        answers={
            "1": pushed("math.pi * 0.57 * n.mass_kg * 9.81 / 4 * n.duty_factor"),
            "2": met("n.heel_deg + n.push_off_deg"),
            "3": grown(days="0"),
            "4": weighed(reason="R"),
            "6": beside(shows="2 * (error_first_deg**2 + error_second_deg**2)"),
        },
        expected={
            "1": Expected(0, "nearly", "multiplied by the duty factor"),
            "2": Expected(0, "nearly", "counted from the ground"),
            "3": Expected(0, "nearly", "just trimmed"),
            "4": Expected(1, "nearly", "the reason is not"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "root is missing"),
        },
    ),
    Entry(
        "hugo",
        "words for a number, from the ground with the other sign, the size alone",
        answers={
            "1": "answer_1 = '6000 N'",
            "2": met("n.heel_deg - n.push_off_deg"),
            "3": "answer_3 = 490",
            "6": beside(gives="abs(change) / shows"),
        },
        expected={
            "1": Expected(0, "keep going", "quotation marks"),
            "2": Expected(0, "nearly", "counted from the ground"),
            "3": Expected(0, "keep going", "far too large"),
            "4": LEFT,
            "5": LEFT,
            "6": Expected(1, "nearly", "the size"),
        },
    ),
    Entry(
        "ines",
        "the change alone, and a function that never gives back 0",
        answers={"6": beside(gives="change or 1")},
        expected=NOTHING | {"6": Expected(0, "keep going")},
    ),
    Entry(
        "jonas",
        "the change in degrees for its weight",
        answers={"6": beside(gives="change")},
        expected=NOTHING | {"6": Expected(0.5, "nearly", "change in degrees")},
    ),
    Entry(
        "karla",
        "worked with a neighbour's numbers",
        typed_id="anna",
        reference=True,
        expected={"1": Expected(0, "keep going", "'anna'"), "5": Expected(0, "waiting")},
    ),
    Entry("quirin", "a file cut short", file=b'{"cells": [', reason="breaks off"),
)

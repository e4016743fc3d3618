"""Hand-ins for exercise 02 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "The shorter a foot stands"),
    "2": Expected(2, "right", "More than you would think"),
    "3": Expected(2, "right", "Two parts make a direction"),
    "4": Expected(1, "right", "A few degrees forward"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "one smooth hill"),
}
NOTHING = dict.fromkeys("123456", LEFT)

PART = "import math\n\nn = task.numbers\npart = n.stance_ms / n.stride_ms\n"
LIBRARY = "from hoofcalc import ground_force\n\nn = task.numbers\n"


def push(returns: str, air: str = "    if moment_percent < 0 or moment_percent > 100:\n"
         "        return 0\n") -> str:  # fmt: skip
    """A function for question 6 with another last line, or without the first step."""
    return (
        "import math\n\n\ndef push_n(moment_percent, mass_kg, stance_ms, stride_ms):\n"
        f"{air}    part = stance_ms / stride_ms\n"
        "    peak = math.pi / 4 * 0.57 * mass_kg * 9.81 / part\n"
        f"    return {returns}"
    )


SINE = "peak * math.sin(math.pi * moment_percent / 100)"


def largest(of: str) -> str:
    """The letter of the foot with the largest of something."""
    return (
        "n = task.numbers\nsize = {}\nfor letter in 'ABC':\n"
        "    travel = getattr(n, f'foot_{letter.lower()}_travel_deg')\n"
        "    up = getattr(n, f'foot_{letter.lower()}_up_n')\n"
        "    back = getattr(n, f'foot_{letter.lower()}_back_n')\n"
        f"    size[letter] = {of}\nanswer_3 = max(size, key=size.get)\n"
    )


def number_1(value: str) -> str:
    return f"n = task.numbers\nanswer_1 = {value}"


def number_2(value: str) -> str:
    return f"{PART}answer_2 = {value}"


BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "Jörg M. Vogelsang",
        "right in other forms: a list, a fraction, a whole number, small letters, by hand",
        reference=True,
        answers={
            "1": "from fractions import Fraction\n\nn = task.numbers\n"
            "answer_1 = Fraction(n.stance_ms, n.stride_ms)",
            "2": f"{LIBRARY}answer_2 = [round(ground_force.peak_vertical_n(n.mass_kg, "
            "n.stance_ms / n.stride_ms, 0.57))]",
            "3": f"{largest('back / up')}answer_3 = answer_3.lower()\nreason_3 = 'r)'",
            "4": f"{PART}import numpy as np\n"
            "answer_4 = np.round(np.degrees(np.arctan2(-n.push_forward_n, n.push_up_n)), 2)",
            "6": "import math\nfrom hoofcalc.ground_force import peak_vertical_n\n\n\n"
            "def push_n(moment_percent, mass_kg, stance_ms, stride_ms):\n"
            "    if 0 <= moment_percent <= 100:\n"
            "        peak = peak_vertical_n(mass_kg, stance_ms / stride_ms, 0.57)\n"
            "        return peak * math.sin(math.radians(1.8 * moment_percent))\n"
            "    return 0.0",
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "typical slips: upside down, the pair for the limb, travel for force, braking, no air",
        answers={
            "1": number_1("n.stride_ms / n.stance_ms"),
            "2": number_2("math.pi / 2 * 0.57 * n.mass_kg * 9.81 / part"),
            "3": f"{largest('travel')}reason_3 = 'P'",
            "4": f"{LIBRARY}answer_4 = ground_force.tilt_deg(n.push_up_n, n.push_forward_n)",
            "6": push(SINE, air=""),
        },
        expected={
            "1": Expected(0, "nearly", "is upside down"),
            "2": Expected(1, "nearly", "what the pair carries"),
            "3": Expected(0, "nearly", "travels furthest forward"),
            "4": Expected(0.5, "nearly", "the sign is not"),
            "5": LEFT,
            "6": Expected(1.5, "nearly", "Travel without contact"),
        },
    ),
    Entry(
        "david",
        "other slips: per cent, kilograms, the hardest push back, ratio, degrees in the sine",
        answers={
            "1": number_1("100 * n.stance_ms / n.stride_ms"),
            "2": number_2("math.pi / 4 * 0.57 * n.mass_kg / part"),
            "3": f"{largest('back')}reason_3 = 'Q'",
            "4": "n = task.numbers\nanswer_4 = -n.push_forward_n / n.push_up_n",
            "6": push("peak * math.sin(180 * moment_percent / 100)"),
        },
        expected={
            "1": Expected(0.5, "nearly", "in per cent"),
            "2": Expected(1, "nearly", "9.81 is missing"),
            "3": Expected(0, "nearly", "pushed up harder still"),
            "4": Expected(0, "nearly", "plain ratio"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "radians already"),
        },
    ),
    Entry(
        "emma",
        "half finished: the part in the air, the mean, the right foot with a wrong reason",
        answers={
            "1": number_1("1 - n.stance_ms / n.stride_ms"),
            "2": number_2("0.57 / 2 * n.mass_kg * 9.81 / part"),
            "3": f"{largest('back / up')}reason_3 = 'P'",
        },
        expected=NOTHING
        | {
            "1": Expected(0, "nearly", "in the air"),
            "2": Expected(1, "nearly", "mean push"),
            "3": Expected(1, "nearly", "the reason is not"),
        },
    ),
    Entry(
        "felix",
        "stance over the time in the air, a hind foot, no reason, from the ground, the pair",
        answers={
            "1": number_1("n.stance_ms / (n.stride_ms - n.stance_ms)"),
            "2": number_2("math.pi / 4 * 0.43 * n.mass_kg * 9.81 / part"),
            "3": largest("back / up"),
            "4": f"{LIBRARY}answer_4 = ground_force.tilt_deg(n.push_forward_n, n.push_up_n)",
            "6": push(f"2 * {SINE}"),
        },
        expected={
            "1": Expected(0, "nearly", "time in the air"),
            "2": Expected(1, "nearly", "hind pair"),
            "3": Expected(1, "nearly", "reason is still missing"),
            "4": Expected(0, "nearly", "changed places"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "what the pair would give"),
        },
    ),
    Entry(
        "gina",
        "times by the duty factor, 57 for 0.57 is not asked twice, the peak at every moment",
        answers={
            "1": number_1("n.stance_ms / n.stride_ms / 1000"),
            "2": number_2("math.pi / 4 * 0.57 * n.mass_kg * 9.81 * part"),
            "4": f"{PART}answer_4 = -100 * n.push_forward_n / n.push_up_n",
            "6": push("peak"),
        },
        expected={
            "1": Expected(0, "nearly", "one time went in as seconds".capitalize()),
            "2": Expected(0.5, "nearly", "below the line"),
            "3": LEFT,
            "4": Expected(0, "nearly", "ratio in per cent"),
            "5": LEFT,
            "6": Expected(1, "nearly", "peak at every moment"),
        },
    ),
    Entry(
        "hugo",
        "share in per cent, upside down with the right sign, half a hill of kilograms",
        answers={
            "1": "answer_1 = 0,38",
            "2": number_2("math.pi / 4 * 57 * n.mass_kg * 9.81 / part"),
            "4": f"{LIBRARY}answer_4 = -ground_force.tilt_deg(n.push_forward_n, n.push_up_n)",
            "6": push(f"{SINE} / 9.81"),
        },
        expected={
            "1": Expected(0, "keep going", "with a point"),
            "2": Expected(1, "nearly", "57 per cent is 0.57"),
            "3": LEFT,
            "4": Expected(0, "nearly", "counted from upright."),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "9.81 is missing"),
        },
    ),
    Entry(
        "ines",
        "no share, stance in place of the duty factor for the hill, 9.81 rounded to 10",
        answers={
            "1": "answer_1 = '0.38 s'",
            "2": number_2("math.pi / 4 * 0.57 * n.mass_kg * 10 / part"),
            "4": "answer_4 = 3",
            "6": push(f"2 / math.pi * {SINE}"),
        },
        expected={
            "1": Expected(0, "keep going", "quotation marks"),
            "2": Expected(1, "nearly", "a little off"),
            "3": LEFT,
            "4": Expected(0, "keep going", "First the sign"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "high as the mean push"),
        },
    ),
    Entry(
        "jonas",
        "the whole horse, nothing but zero, a function that stops",
        answers={
            "1": number_1("0"),
            "2": number_2("math.pi / 4 * n.mass_kg * 9.81 / part"),
            "6": push(f"{SINE} / (moment_percent > 30)"),
        },
        expected={
            "1": Expected(0, "keep going", "far too small"),
            "2": Expected(1, "nearly", "share of the pair is missing"),
            "3": LEFT,
            "6": Expected(1, "keep going", "ZeroDivisionError"),
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
        "a quarter to each foot, no duty factor in the function",
        answers={
            "2": number_2("math.pi / 2 * 0.25 * n.mass_kg * 9.81 / part"),
            "6": push(f"part**2 * {SINE}"),
        },
        expected=NOTHING
        | {
            "2": Expected(1, "nearly", "a quarter of the weight"),
            "6": Expected(0.5, "nearly", "multiplied by the duty factor"),
        },
    ),
    Entry(
        "mia",
        "duty factor left out, stance in its place, per cent",
        answers={"2": number_2("math.pi / 4 * 0.57 * n.mass_kg * 9.81")},
        expected=NOTHING | {"2": Expected(0.5, "nearly", "The duty factor is missing")},
    ),
    Entry(
        "nils",
        "the stance in seconds for the duty factor",
        answers={"2": number_2("math.pi / 4 * 0.57 * n.mass_kg * 9.81 / (n.stance_ms / 1000)")},
        expected=NOTHING | {"2": Expected(0.5, "nearly", "stance in seconds")},
    ),
    Entry(
        "olga",
        "averaged over the whole stride",
        answers={"2": number_2("0.57 / 2 * n.mass_kg * 9.81")},
        expected=NOTHING | {"2": Expected(0.5, "nearly", "averaged over the whole stride")},
    ),
    Entry(
        "pia",
        "the duty factor in per cent",
        answers={"2": number_2("math.pi / 4 * 0.57 * n.mass_kg * 9.81 / (100 * part)")},
        expected=NOTHING | {"2": Expected(1, "nearly", "duty factor went in as per cent")},
    ),
    Entry("quirin", "a file cut short", file=b'{"cells": [', reason="breaks off"),
)

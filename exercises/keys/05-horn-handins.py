"""Hand-ins for exercise 05 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(1, "right", "Walls measured fresh"),
    "2": Expected(2, "right", "only glue brings the distance in"),
    "3": Expected(2, "right", "Strength decides where it fails"),
    "4": Expected(1, "right", "The flatter the wall lies"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "off-axis curve, with a corner"),
}
NOTHING = dict.fromkeys("123456", LEFT)

LIBRARY = "from hoofcalc import horn\n\nn = task.numbers\n"
STICK = (
    "import math\n\nn = task.numbers\nd, a = n.stick_mm, n.apart_mm\n"
    "A = math.pi * d**2 / 4\nI0 = math.pi * d**4 / 64\n"
)


def number_1(value: str) -> str:
    return f"n = task.numbers\nanswer_1 = {value}"


def number_2(value: str) -> str:
    return f"{STICK}answer_2 = {value}"


def least(of: str, reason: str) -> str:
    """The letter of the piece with the least of something, and the letter of a reason."""
    return (
        f"n = task.numbers\nanswer_3 = min('ABC', key=lambda x: "
        f"getattr(n, f'piece_{{x.lower()}}_{of}_mpa'))\nreason_3 = {reason!r}"
    )


def number_4(
    angle: str = "90 - n.wall_deg",
    band: str = "water_percent=22.7, contrast=n.contrast",
    gives: str = "horn.modulus_at_deg(band.central, angle)",
) -> str:
    return f"{LIBRARY}angle = {angle}\nband = horn.horn_at({band})\nanswer_4 = {gives}"


def function(
    returns: str = "min(along_mpa / (c * c), across_mpa / (s * s), shear_mpa / (s * c))",
    first: str = "    if obliquity_deg == 0:\n        return along_mpa\n",
    angle: str = "math.radians(obliquity_deg)",
) -> str:
    """A function for question 6 with another last line, first step or angle."""
    return (
        "import math\n\n\n"
        "def strength_mpa(obliquity_deg, along_mpa, across_mpa, shear_mpa):\n"
        f"{first}    s, c = math.sin({angle}), math.cos({angle})\n"
        f"    return {returns}"
    )


BY_HEART = """\
def strength_mpa(obliquity_deg, along_mpa, across_mpa, shear_mpa):
    return {30: 27.713, 65: 18.262}[obliquity_deg]
"""

BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "Bärbel K. Ostendorf",
        "right in other forms: rounded, a list, a fraction, an array, small letters, 90 apart",
        reference=True,
        answers={
            "1": "from fractions import Fraction\n\nn = task.numbers\n"
            "answer_1 = 100 - Fraction(round(1000 * n.dry_g), round(10 * n.fresh_g))",
            "2": "import numpy as np\n\nn = task.numbers\nA = 3.14 * n.stick_mm**2 / 4\n"
            "at = np.array([-1, 0, 1]) * n.apart_mm\n"
            "answer_2 = [round(sum(A * n.stick_mm**2 / 16 + A * at**2), 1)]",
            "3": least("across", "r)").replace("answer_3 = min(", "answer_3 = ' ' + min("),
            "4": "from hoofcalc.horn import *\nn = task.numbers\n"
            'answer_4 = float(f\'{modulus_at_deg(horn_at(water_percent=22.7, region="middle", '
            "contrast=n.contrast).central, n.wall_deg - 90):.3g}')",
            "6": function(
                first="    if obliquity_deg in (0, 90):\n"
                "        return along_mpa if obliquity_deg == 0 else across_mpa\n"
            ),
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "typical slips: of the dry mass, a mere sum, stiff for strong, the wall's angle, no shear",
        answers={
            "1": number_1("100 * (n.fresh_g - n.dry_g) / n.dry_g"),
            "2": number_2("3 * I0"),
            "3": least("stiff", "P"),
            "4": number_4(angle="n.wall_deg"),
            "6": function("min(along_mpa / (c * c), across_mpa / (s * s))"),
        },
        expected={
            "1": Expected(0.5, "nearly", "what was left after drying"),
            "2": Expected(0.5, "nearly", "as if they were loose"),
            "3": Expected(0, "nearly", "the piece that gives the most"),
            "4": Expected(0.5, "nearly", "the wall's angle from the ground"),
            "5": LEFT,
            "6": Expected(1.5, "nearly", "The shear is missing"),
        },
    ),
    Entry(
        "david",
        "other slips: a share, the middle one too, right piece for a wrong reason, humidity",
        answers={
            "1": number_1("1 - n.dry_g / n.fresh_g"),
            "2": number_2("3 * I0 + 3 * A * a**2"),
            "3": least("across", "P"),
            "4": number_4(band="humidity_percent=22.7, contrast=n.contrast"),
            "6": function("min(along_mpa / c, across_mpa / s, shear_mpa / (s * c))"),
        },
        expected={
            "1": Expected(0.5, "nearly", "That is the share"),
            "2": Expected(1, "nearly", "The middle one sits in the middle"),
            "3": Expected(1, "nearly", "the reason is not"),
            "4": Expected(0.5, "nearly", "as humidity"),
            "5": LEFT,
            "6": Expected(1, "nearly", "the cosine twice"),
        },
    ),
    Entry(
        "emma",
        "more slips: humidity for water, not squared, along for across, strength, from across",
        answers={
            "1": number_1("n.air_percent"),
            "2": number_2("3 * I0 + 2 * A * a"),
            "3": least("along", "Q"),
            "4": number_4(gives="horn.strength_at_deg(band.central, angle)"),
            "6": function(
                first="    if obliquity_deg == 90:\n        return along_mpa\n",
                angle="math.radians(90 - obliquity_deg)",
            ),
        },
        expected={
            "1": Expected(0, "nearly", "said of the air"),
            "2": Expected(1, "nearly", "not squared yet"),
            "3": Expected(0, "nearly", "straight across them"),
            "4": Expected(0, "nearly", "That is the strength"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "changed places"),
        },
    ),
    Entry(
        "felix",
        "radius for diameter, the contrast forgotten, no first step, GPa; half the sheet empty",
        answers={
            "1": number_1("n.fresh_g - n.dry_g"),
            "2": number_2("3 * I0 / 16 + 2 * A / 4 * a**2"),
            "4": number_4(band="water_percent=22.7"),
            "6": function(first=""),
        },
        expected={
            "1": Expected(0, "nearly", "how many grams"),
            "2": Expected(1, "nearly", "half the thickness"),
            "3": LEFT,
            "4": Expected(0, "nearly", "along the tubules"),
            "5": LEFT,
            "6": Expected(1.5, "keep going", "ZeroDivisionError"),
        },
    ),
    Entry(
        "gina",
        "what is left, outer to outer, an edge of the band, radians in 6; 3 with a word",
        answers={
            "1": number_1("100 * n.dry_g / n.fresh_g"),
            "2": number_2("3 * I0 + 2 * A * (2 * a)**2"),
            "3": "answer_3 = 'the second'\nreason_3 = 'R'",
            "4": number_4(gives="horn.modulus_at_deg(band.low, angle)"),
            "6": function(angle="obliquity_deg"),
        },
        expected={
            "1": Expected(0, "nearly", "not water"),
            "2": Expected(1, "nearly", "four times too large"),
            "3": Expected(0, "keep going", "letters A, B, C"),
            "4": Expected(0.5, "nearly", "low edge"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "into radians first"),
        },
    ),
    Entry(
        "hugo",
        "a decimal comma, text, GPa, the strongest for the weakest",
        answers={
            "1": "answer_1 = 23,5",
            "2": "answer_2 = '180 mm4'",
            "3": least("across", ""),
            "4": number_4(gives="horn.modulus_at_deg(band.central, angle) / 1000"),
            "6": function("max(along_mpa / (c * c), across_mpa / (s * s), shear_mpa / (s * c))"),
        },
        expected={
            "1": Expected(0, "keep going", "with a point"),
            "2": Expected(0, "keep going", "quotation marks"),
            "3": Expected(1, "nearly", "reason is still missing"),
            "4": Expected(0.5, "nearly", "right in GPa"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "The weakest does"),
        },
    ),
    Entry(
        "ida",
        "half finished and rounded too early: 1 and 2 only",
        answers={
            "1": number_1("100 - 100 * n.dry_g / n.fresh_g"),
            "2": number_2("1.016 * (3 * I0 + 2 * A * a**2)"),
        },
        expected=NOTHING | {"1": Expected(1, "right"), "2": Expected(1, "nearly", "a little off")},
    ),
    Entry(
        "jan",
        "own I left out, the contrast upside down, parts added, a broken line in 1",
        answers={
            "1": "answer_1 = (3 * 4",
            "2": number_2("2 * A * a**2"),
            "3": least("across", "S"),
            "4": number_4(band="water_percent=22.7, contrast=1 / n.contrast"),
            "6": function("1 / (c * c / along_mpa + s * s / across_mpa + s * c / shear_mpa)"),
        },
        expected={
            "1": Expected(0, "keep going", "Look at"),
            "2": Expected(1, "nearly", "small I₀"),
            "3": Expected(1, "nearly", "two measurements"),
            "4": Expected(0.5, "nearly", "upside down"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "added the three parts"),
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
        "the examples of 6 by heart; one skewer only in 2; straight across in 4",
        answers={
            "1": number_1("float('nan')"),
            "2": number_2("3 * I0 + A * a**2"),
            "4": number_4(angle="90"),
            "6": BY_HEART,
        },
        expected=NOTHING
        | {
            "1": Expected(0, "keep going", "not a number"),
            "2": Expected(1, "nearly", "one on each side"),
            "4": Expected(0, "nearly", "straight across"),
            "6": Expected(0, "keep going", "KeyError"),
        },
    ),
    Entry(
        "max",
        "multiplied for divided; nine times the loose; a function not called",
        answers={
            "2": number_2("9 * 3 * I0"),
            "4": number_4(gives="horn.modulus_at_deg"),
            "6": function("min(along_mpa * c * c, across_mpa * s * s, shear_mpa * s * c)"),
        },
        expected=NOTHING
        | {
            "2": Expected(0.5, "nearly", "flat strips that touch"),
            "4": Expected(0, "keep going", "Call it"),
            "6": Expected(0.5, "nearly", "divide"),
        },
    ),
    Entry("otto", "not a notebook", file=b"Water 23, I 180, piece B", reason="not a notebook"),
    Entry("paula", "empty", file=b"", reason="empty"),
)

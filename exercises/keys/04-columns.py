"""Key to exercise 04, columns. For instructors: never hand this out.

The truths are worked out here from plain mechanics and not with the library, so
that a fault of the library cannot hide behind a fault of the key. All numbers,
poles and skewers are invented; sizes and stiffnesses are chosen to be typical of
softwood dowels and cardboard tubes.

Sources: Euler load with end factor and the leaning column with tan(u)/u:
Timoshenko S.P., Gere J.M., Theory of Elastic Stability, 2nd ed., McGraw-Hill 1961,
Art. 1.11 and 2.1-2.3.
"""

from __future__ import annotations

import math

from hoofcalc.classroom.model.questions import (
    Case,
    Choice,
    Exercise,
    Function,
    Near,
    Number,
    Numbers,
    Quantity,
    Slip,
    Written,
)

WEIGHT_OF_A_KG_N = 9.81


def round_second_moment(diameter: float) -> float:
    """Solid round section [mm4]."""
    return math.pi * diameter**4 / 64


def tube_second_moment(n: Numbers) -> float:
    """The postal tube: the full round less the hole [mm4]."""
    inside = n["tube_outside_mm"] - 2 * n["tube_wall_mm"]
    return round_second_moment(n["tube_outside_mm"]) - round_second_moment(inside)


def euler(modulus: float, second_moment: float, length: float, end_factor: float) -> float:
    """Euler load [N]."""
    return math.pi**2 * modulus * second_moment / (end_factor * length) ** 2


def stick_euler(n: Numbers, end_factor: float = 2.0, diameter: float | None = None) -> float:
    """Euler load of the skewer, foot held and top free unless told otherwise [N]."""
    second_moment = round_second_moment(diameter or n["stick_diameter_mm"])
    return euler(n["stick_modulus_mpa"], second_moment, n["stick_length_mm"], end_factor)


def moment(force: float, lean: float, length: float, euler_n: float) -> float:
    """Moment at the foot of a leaning column, in full [N mm]; infinite where it cannot stand."""
    along = force * math.cos(math.radians(lean))
    across = force * math.sin(math.radians(lean))
    if along >= euler_n:
        return math.inf
    u = math.pi / 2 * math.sqrt(along / euler_n)
    return across * length * math.tan(u) / u


def tube_moment(n: Numbers, *, solid: bool = False) -> float:
    """Moment at the foot of the tube under its load [N mm]."""
    whole = round_second_moment(n["tube_outside_mm"])
    second_moment = whole if solid else tube_second_moment(n)
    critical = euler(n["tube_modulus_mpa"], second_moment, n["tube_length_mm"], 2.0)
    return moment(n["load_n"], n["lean_deg"], n["tube_length_mm"], critical)


def tube_first_order(n: Numbers) -> float:
    """The same without the bend feeding itself [N mm]."""
    across = n["load_n"] * math.sin(math.radians(n["lean_deg"]))
    return across * n["tube_length_mm"]


def tube_load_share(n: Numbers) -> float:
    """The along part as a share of the tube's Euler load."""
    critical = euler(n["tube_modulus_mpa"], tube_second_moment(n), n["tube_length_mm"], 2.0)
    along = n["load_n"] * math.cos(math.radians(n["lean_deg"]))
    return along / critical


def tube_tip(n: Numbers) -> float:
    """How far the tube's top moves sideways [mm]."""
    u = math.pi / 2 * math.sqrt(tube_load_share(n))
    return n["tube_length_mm"] * math.tan(math.radians(n["lean_deg"])) * (math.tan(u) / u - 1)


def pole_with(n: Numbers, worth: str) -> str:
    """The letter of the pole that is longest, thinnest or most slender."""

    def size(letter: str) -> float:
        length = n[f"pole_{letter.lower()}_length_mm"]
        gyration = n[f"pole_{letter.lower()}_gyration_mm"]
        return {"longest": length, "thinnest": -gyration, "slender": length / gyration}[worth]

    return max("ABC", key=size)


def clear(n: Numbers) -> bool:
    """No set of numbers that gives a question away or makes it a matter of rounding."""
    most = {worth: pole_with(n, worth) for worth in ("longest", "thinnest", "slender")}
    if len(set(most.values())) < 3:
        return False
    for size in ("length", "gyration"):  # no ties
        if len({n[f"pole_{letter}_{size}_mm"] for letter in "abc"}) < 3:
            return False
    slender = n["stick_length_mm"] / (n["stick_diameter_mm"] / 4)
    if abs(slender - round(slender)) < 0.01:  # a whole number may stand somewhere else as well
        return False
    ratios = sorted(n[f"pole_{x}_length_mm"] / n[f"pole_{x}_gyration_mm"] for x in "abc")
    return (
        ratios[2] > 1.1 * ratios[1]
        and 0.42 <= tube_load_share(n) <= 0.7
        # within what the straight-line theory may be asked for: a tenth of the length
        and tube_tip(n) < 0.09 * n["tube_length_mm"]
    )


WHY = "lesson 04, 'Why'"
PAPER = "lesson 04, 'Worked example, on paper'"
LEAN = "lesson 04, 'Work it out: what the lean does'"

slenderness = Number(
    name="1",
    title="How slender is the skewer?",
    text=(
        "A round wooden skewer stands on the bench. Both its ends are kept in place but free to "
        "turn: **end factor 1**. Its length and its thickness (diameter) are in your table.\n\n"
        "Work out its **slenderness**: end factor × length / *r*. For a round skewer *r*, the "
        "radius of gyration, is a quarter of the thickness. Slenderness has no unit.\n\n"
        "Put your number in place of the three dots."
    ),
    points=1,
    ability="tell from length and thickness whether a thing buckles or is crushed",
    asked="the slenderness of a skewer, length over r",
    truth=lambda n: n["stick_length_mm"] / (n["stick_diameter_mm"] / 4),
    near=Near(mark=0.01, working=0.02, reason="three digits are asked for; 1 % allows for two"),
    plausible=(20, 3000),
    slips=(
        Slip(
            "thickness for r",
            lambda n: n["stick_length_mm"] / n["stick_diameter_mm"],
            "You divided by the whole thickness. Slenderness wants r, the radius of gyration, and "
            f"that is only a part of the thickness: see {WHY}.",
        ),
        Slip(
            "half thickness for r",
            lambda n: n["stick_length_mm"] / (n["stick_diameter_mm"] / 2),
            "You divided by half the thickness, the radius of the circle. The radius of gyration "
            f"is something else, and smaller: see {WHY}.",
        ),
        Slip(
            "end factor 2 for 1",
            lambda n: 2 * n["stick_length_mm"] / (n["stick_diameter_mm"] / 4),
            "You used end factor 2. Here both ends are kept in place, so the end factor is 1.",
        ),
        Slip(
            "upside down",
            lambda n: n["stick_diameter_mm"] / 4 / n["stick_length_mm"],
            "Your fraction is upside down: it is the length that is divided by r.",
        ),
        Slip(
            "metres for millimetres",
            lambda n: n["stick_length_mm"] / 1000 / (n["stick_diameter_mm"] / 4),
            "The length went in as metres and the thickness as millimetres. Use millimetres for "
            "both.",
        ),
    ),
    right=(
        "The longer and thinner, the higher this number, and the sooner a straight thing bows out "
        "instead of being crushed. That is why one long strand of horn could never stand alone."
    ),
    keep_going=(
        "Not yet. Two steps: r from the thickness, then the length divided by r. The same "
        f"with other numbers: see the end of {PAPER}."
    ),
    stub="answer_1 = ...",
    reference="n = task.numbers\nanswer_1 = n.stick_length_mm / (n.stick_diameter_mm / 4)",
)

euler_load = Number(
    name="2",
    title="What does the skewer carry?",
    text=(
        "The same skewer is pushed into a hole in the bench, so that its foot is held fast and its "
        "top is free: **end factor 2**. You press straight down on the top.\n\n"
        "At what force does it buckle, that is bow out sideways? Work out the **Euler load** in "
        "newtons:\n\n"
        "> F = π² × E × I / (end factor × length)²\n>\n> I = π × d⁴ / 64\n\n"
        "with *E* the modulus of the wood (its stiffness) in MPa (that is N/mm²), *d* the "
        "thickness and the length in mm. On paper, with a calculator, or here: `math.pi` is π and "
        "`d**4` is d to the power of four. Three digits are enough."
    ),
    points=2,
    ability="predict what a rod, a tube or a bundle carries on the kitchen table",
    asked="the force in newtons at which a thin skewer bows out",
    truth=stick_euler,
    near=Near(mark=0.01, working=0.02, reason="three digits; 1 % allows for 3.14 and a rounded I"),
    plausible=(0.05, 2000),
    slips=(
        Slip(
            "forgotten end factor",
            lambda n: stick_euler(n, 1.0),
            "The end factor is missing. With its foot held and its top free, the skewer bows like "
            f"one of twice its length: see the end factors in {WHY}.",
            1.0,
        ),
        Slip(
            "end factor not squared",
            lambda n: 2 * stick_euler(n),
            "The end factor stands inside the bracket: it is squared together with the length.",
            1.0,
        ),
        Slip(
            "diameter for radius, or end factor 0.5",
            lambda n: 16 * stick_euler(n),
            "Sixteen times too large. Either you put the diameter where the radius belongs, or you "
            "took end factor 0.5, that of a skewer held fast at both ends: see the end factors in "
            f"{WHY}.",
            1.0,
        ),
        Slip(
            "radius for diameter",
            lambda n: stick_euler(n) / 16,
            "Your I is far too small: half the thickness went in where the whole diameter belongs.",
            1.0,
        ),
        Slip(
            "kg for N, or pi squared left out",
            lambda n: stick_euler(n) / WEIGHT_OF_A_KG_N,
            "Either you turned the force into kilograms (newtons are asked for), or the π² in "
            "front is missing: both make about the same difference.",
            1.0,
        ),
        Slip(
            "pi not squared",
            lambda n: stick_euler(n) / math.pi,
            "The π in front of the formula is squared.",
            1.0,
        ),
        Slip(
            "length not squared",
            lambda n: stick_euler(n) * 2 * n["stick_length_mm"],
            "The bracket below the line is not squared yet. That square is the point: twice the "
            "length, a quarter of the load.",
            0.5,
        ),
        Slip(
            "metres for millimetres",
            lambda n: stick_euler(n) * 1e6,
            "The length went in as metres. With E in N/mm², everything has to be in millimetres.",
            1.0,
        ),
        Slip(
            "GPa for MPa",
            lambda n: stick_euler(n) / 1000,
            "The stiffness went in as GPa. Take it in MPa, as it stands in your table.",
            1.0,
        ),
    ),
    close_points=1.0,
    right=(
        "A force you can press with a finger or two. The wood is strong enough for far more: it is "
        "the shape that gives way, not the stuff. Press one on a scale, and read off when it bows."
    ),
    keep_going=(
        "Not yet. Go step by step: I first, then what stands above the line, then the bracket "
        f"below it. Each step stands in {PAPER}."
    ),
    stub="import math\n\nanswer_2 = ...",
    reference=(
        "import math\n\nn = task.numbers\nI = math.pi * n.stick_diameter_mm**4 / 64\n"
        "answer_2 = math.pi**2 * n.stick_modulus_mpa * I / (2 * n.stick_length_mm) ** 2"
    ),
)

three_poles = Choice(
    name="3",
    title="Which pole buckles first?",
    text=(
        "Three tent poles, A, B and C, all of the same stuff, all standing straight, all held at "
        "the ends in the same way. Their lengths and their *r* are in your table. Each is loaded "
        "until it buckles.\n\n"
        "Which of them buckles at the **smallest stress** (force on each square millimetre)? "
        "Write the letter of the pole and the letter of the reason, each between quotation marks."
    ),
    points=2,
    ability="tell from length and thickness whether a thing buckles or is crushed",
    options={"A": "pole A", "B": "pole B", "C": "pole C"},
    reasons={
        "P": "because it is the longest",
        "Q": "because it is the thinnest: its r is the smallest",
        "R": "because its length divided by its r is the largest",
        "S": "because it weighs the least",
    },
    truth=lambda n: pole_with(n, "slender"),
    right_reason="R",
    choice_points=1,
    slips=(
        Slip(
            "the longest",
            lambda n: pole_with(n, "longest"),
            "You took the longest. Length alone does not decide: a long pole that is thick as well "
            f"may stand better than a shorter thin one. See slenderness in {WHY}.",
        ),
        Slip(
            "the thinnest",
            lambda n: pole_with(n, "thinnest"),
            "You took the thinnest. Thickness alone does not decide: a thin pole that is short as "
            f"well may stand better than a thicker long one. See slenderness in {WHY}.",
        ),
    ),
    reason_messages={
        "P": "Another pole is longer and still stands better. What else counts besides length?",
        "Q": "Another pole is thinner and still stands better. What else counts besides r?",
        "S": "What a pole weighs plays no part in when it buckles. Which two sizes do?",
    },
    right=(
        "Length and thickness only count together, as slenderness. The same holds for a wall of "
        "horn: thin and long is a different matter from thin and short."
    ),
    keep_going="Not yet. Work out the slenderness of all three, then compare.",
    stub='answer_3 = ""  # A, B or C\nreason_3 = ""  # P, Q, R or S',
    reference=(
        "n = task.numbers\nslenderness = {\n"
        '    "A": n.pole_a_length_mm / n.pole_a_gyration_mm,\n'
        '    "B": n.pole_b_length_mm / n.pole_b_gyration_mm,\n'
        '    "C": n.pole_c_length_mm / n.pole_c_gyration_mm,\n}\n'
        'answer_3 = max(slenderness, key=slenderness.get)\nreason_3 = "R"'
    ),
)

leaning_tube = Number(
    name="4",
    title="The tube leans",
    text=(
        "A postal tube is stuck fast to a board, with a load on its top: your `load_n` (ours, and "
        "invented). The board is tipped until the tube leans by your `lean_deg`. The load still "
        "pushes straight down.\n\n"
        "Let the library work out the **bending moment at the foot** of the tube, in N mm. "
        "Two lines call it, a third takes the moment:\n\n"
        "- `columns.tube_section(outer_diameter_mm, wall_mm)` knows the tube's *I* "
        "(its `second_moment_mm4`).\n"
        "- `columns.leaning_column(force_n, lean_deg, modulus_mpa, second_moment_mm4, length_mm)` "
        "is the tube leaning under its load; it knows its `base_moment_nmm`."
    ),
    points=1,
    ability="say what a few degrees of lean cost",
    asked="the bending moment at the foot of the tube, in N mm",
    truth=tube_moment,
    near=Near(mark=0.01, working=0.02, reason="the library is exact; 1 % allows for a rounded I"),
    plausible=(50, 500_000),
    slips=(
        Slip(
            "not amplified",
            tube_first_order,
            "You took the across part times the length and stopped there. The leaning tube bends, "
            "so the load moves further out and bends it more: the library's column counts that in.",
            0.5,
        ),
        Slip(
            "amplified like the deflection",
            lambda n: tube_first_order(n) / (1 - tube_load_share(n)),
            "You made the moment grow like the sideways movement of the top. It grows less than "
            f"that, by tan(u)/u: see {LEAN}.",
            0.5,
        ),
        Slip(
            "cosine for sine",
            lambda n: tube_moment(n) / math.tan(math.radians(n["lean_deg"])),
            "You took the part of the load that runs along the tube. It is the part across that "
            "bends it.",
        ),
        Slip(
            "radians for degrees",
            lambda n: tube_moment(dict(n, lean_deg=math.radians(n["lean_deg"]))),
            "The lean went in as radians. The library wants degrees, as they stand in your table.",
            0.5,
        ),
        Slip(
            "solid for tube",
            lambda n: tube_moment(n, solid=True),
            "You worked it out for a solid round. The tube is hollow: take the hole's I away.",
            0.5,
        ),
        Slip(
            "N m for N mm",
            lambda n: tube_moment(n) / 1000,
            "Your number would be right in newton metres. Newton millimetres are asked for.",
            0.5,
        ),
        Slip(
            "movement for moment",
            tube_tip,
            "That is how far the top moves sideways. The moment at the foot is asked for.",
            0.5,
        ),
    ),
    close_points=0.5,
    right=(
        "A few degrees of lean, and the foot of the tube has to hold against bending as well as "
        "pushing. A heel whose tubules lie flatter than the load meets the same kind of bending."
    ),
    keep_going=(
        "Not yet. Check the five values that go into leaning_column one by one, each with its "
        f"unit. The same call stands in {LEAN}."
    ),
    stub=(
        "from hoofcalc import columns\n\n"
        "tube = ...  # columns.tube_section(...)\n"
        "column = ...  # columns.leaning_column(...)\n"
        "answer_4 = ...  # column.base_moment_nmm"
    ),
    reference=(
        "from hoofcalc import columns\n\nn = task.numbers\n"
        "tube = columns.tube_section(n.tube_outside_mm, n.tube_wall_mm)\n"
        "column = columns.leaning_column(\n"
        "    n.load_n, n.lean_deg, n.tube_modulus_mpa, tube.second_moment_mm4, "
        "n.tube_length_mm\n)\n"
        "answer_4 = column.base_moment_nmm"
    ),
)

in_words = Written(
    name="5",
    title="Tell it to an owner",
    text=(
        "An owner asks: *this tube carried its load as long as it stood straight. Why does it give "
        "way when it leans a little?* Explain it in three to five sentences. Use the words "
        "**along** and **across**, and say one thing in which a real hoof is not like this tube."
    ),
    points=2,
    ability="say what a few degrees of lean cost",
    scale=(
        "0.5: says that leaning splits the load into a part along and a part across the tube",
        "0.5: says that it is the part across that bends the tube",
        "0.5: says that the bend feeds itself: bent further, the load stands further out and bends "
        "it more",
        "0.5: names one true difference from a hoof, for example many tubules glued by the horn "
        "between them, or laminae that hold the wall",
    ),
    stub="*Write your explanation here, in place of this line.*",
    reference=(
        "As long as the tube stands straight, the load pushes along it. When it leans, part of the "
        "push goes across, and that part bends it. Bent, the load stands further out and bends it "
        "more, until it gives way. A hoof is not one tube: many tubules are glued side by side."
    ),
    right="",
    keep_going="",
)


def _bare(force: float, lean: float, length: float, _euler_n: float) -> float:
    return force * math.sin(math.radians(lean)) * length


def _swollen(force: float, lean: float, length: float, euler_n: float) -> float:
    share = force * math.cos(math.radians(lean)) / euler_n
    return _bare(force, lean, length, euler_n) / (1 - share) if share < 1 else math.inf


def _turned(force: float, lean: float, length: float, euler_n: float) -> float:
    """Along and across exchanged."""
    along = force * math.sin(math.radians(lean))
    if along >= euler_n:
        return math.inf
    u = math.pi / 2 * math.sqrt(along / euler_n)
    return force * math.cos(math.radians(lean)) * length * math.tan(u) / u


def _only_across_turned(force: float, lean: float, length: float, euler_n: float) -> float:
    whole = moment(force, lean, length, euler_n)
    return whole / math.tan(math.radians(lean)) if lean else math.inf


def _radians(force: float, lean: float, length: float, euler_n: float) -> float:
    """The degrees handed to sin and cos as they are."""
    along, across = force * math.cos(lean), force * math.sin(lean)
    if along >= euler_n:
        return math.inf
    if along <= 0:
        return across * length
    u = math.pi / 2 * math.sqrt(along / euler_n)
    return across * length * math.tan(u) / u


def _whole_load(force: float, lean: float, length: float, euler_n: float) -> float:
    if force >= euler_n:
        return math.inf
    u = math.pi / 2 * math.sqrt(force / euler_n)
    return _bare(force, lean, length, euler_n) * math.tan(u) / u


base_moment = Function(
    name="6",
    title="For those who like it: the moment of any leaning column",
    text=(
        "Write a small function `base_moment(force_n, lean_deg, length_mm, euler_n)` that gives "
        "the bending moment at the foot of a leaning column in N mm. The force is always above "
        "zero. The lesson has the formulas, under *Work it out: what the lean does*.\n\n"
        "Where the part along is as large as the Euler load or larger, the column cannot stand: "
        "then give back `math.inf`. Python's `math.sin`, `math.cos` and `math.tan` want radians; "
        "`math.radians(lean_deg)` turns degrees into radians. `math.sqrt` is the root."
    ),
    points=2,
    ability="say what a few degrees of lean cost",
    call="base_moment",
    truth=moment,
    near=Near(mark=0.01, working=0.02, reason="the formula is exact; 1 % allows for 3.14"),
    examples=((100.0, 5.0, 800.0, 200.0), (40.0, 12.0, 500.0, 45.0)),
    cases=(
        Case(
            "light load",
            lambda n: (0.004 * stick_euler(n), 8.0, n["stick_length_mm"], stick_euler(n)),
            0.5,
            "With a light load, where the column hardly bends, the moment is already off. "
            "Which part is along, which across, and are the degrees turned into radians?",
        ),
        Case(
            "heavy load",
            lambda n: (0.85 * stick_euler(n), 10.0, n["stick_length_mm"], stick_euler(n)),
            1.0,
            "With a heavy load, close to the Euler load, the moment is off. What goes "
            "under the root, and what is the moment multiplied by?",
        ),
        Case(
            "more than it can carry",
            lambda n: (1.3 * stick_euler(n), 6.0, n["stick_length_mm"], stick_euler(n)),
            0.5,
            "When the part along is as large as the Euler load or larger, the column cannot "
            "stand: give back math.inf.",
        ),
    ),
    slips=(
        Slip(
            "not amplified",
            _bare,
            "You stopped at across × length. The bend feeds itself: tan(u)/u is missing.",
        ),
        Slip(
            "amplified like the deflection",
            _swollen,
            "You made the moment grow like the sideways movement of the top. The moment grows "
            "less than that: by tan(u)/u.",
        ),
        Slip(
            "along and across exchanged",
            _turned,
            "Along and across have changed places: sine and cosine the wrong way round.",
        ),
        Slip(
            "cosine for sine",
            _only_across_turned,
            "The across part has the cosine where the sine belongs.",
        ),
        Slip(
            "degrees for radians",
            _radians,
            "The degrees went into sine and cosine as they are. Turn them into radians first.",
        ),
        Slip(
            "whole load for the part along",
            _whole_load,
            "Under the root stands the part along, not the whole load.",
        ),
    ),
    right=(
        "The same few lines tell how any column bends when it leans. Draw it against the lean and "
        "you see why a few degrees more can be the ones too many."
    ),
    keep_going=(
        "Three steps. Along is force × cos(lean), across is force × sin(lean). If along reaches "
        "the Euler load, give back math.inf. Otherwise u = (π/2) × √(along / Euler load), in "
        "radians already, and the moment is across × length × tan(u) / u. Print what "
        "comes out of each."
    ),
    stub=(
        "import math\n\n\ndef base_moment(force_n, lean_deg, length_mm, euler_n):\n    return ..."
    ),
    reference=(
        "import math\n\n\ndef base_moment(force_n, lean_deg, length_mm, euler_n):\n"
        "    along = force_n * math.cos(math.radians(lean_deg))\n"
        "    across = force_n * math.sin(math.radians(lean_deg))\n"
        "    if along >= euler_n:\n"
        "        return math.inf\n"
        "    u = math.pi / 2 * math.sqrt(along / euler_n)\n"
        "    return across * length_mm * math.tan(u) / u"
    ),
)

EXERCISE = Exercise(
    name="04-columns",
    title="Exercise 04: Columns",
    intro=(
        "It belongs to lesson 04, *columns*. There are 10 points and about 40 minutes of work. "
        "Begin at the top; the last question is for those who want more.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "All skewers, tubes, poles and loads are invented. This is a model for learning, not for "
        "judging a horse: a lame, sore, hot, swollen, bleeding or suddenly changed foot is a "
        "matter for a veterinary surgeon. If you try it on a bench, keep your face away from "
        "anything under load."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity("stick_length_mm", "skewer: length", "mm", (308, 347, 391, 456, 503, 561, 598)),
        Quantity("stick_diameter_mm", "skewer: thickness (diameter)", "mm", (5, 6, 7, 8)),
        Quantity(
            "stick_modulus_mpa", "skewer: modulus E", "MPa", (8000, 9000, 10000, 11000, 12000)
        ),
        *(
            quantity
            for letter in "abc"
            for quantity in (
                Quantity(
                    f"pole_{letter}_length_mm",
                    f"tent pole {letter.upper()}: length",
                    "mm",
                    (900, 1000, 1100, 1200, 1400, 1500, 1600, 1800),
                ),
                Quantity(
                    f"pole_{letter}_gyration_mm",
                    f"tent pole {letter.upper()}: r",
                    "mm",
                    (9, 10, 11, 12, 14, 15, 16, 18),
                ),
            )
        ),
        Quantity("tube_outside_mm", "tube: outside diameter", "mm", (36, 40, 44, 50)),
        Quantity("tube_wall_mm", "tube: wall", "mm", (1, 1.5, 2)),
        Quantity("tube_length_mm", "tube: length", "mm", (700, 800, 900, 1000)),
        Quantity("tube_modulus_mpa", "tube: modulus E", "MPa", (1500, 2000, 2500)),
        Quantity("load_n", "load on the tube", "N", (50, 60, 80, 100, 120, 150, 180, 200)),
        Quantity("lean_deg", "lean of the tube", "degrees", (2, 3, 4, 5, 6)),
    ),
    fits=clear,
    questions=(slenderness, euler_load, three_poles, leaning_tube, in_words, base_moment),
)

"""Key to exercise 07, load path. For instructors: never hand this out.

All truths are worked out here by plain geometry and not with the library. All feet and forces are
invented.

Sources: obliquity and its parts: definition (lesson 07). The even outline whose heels stand a part
of the width apart: the default of the library, an ellipse cut off 125 degrees from the toe.
"""

from __future__ import annotations

import itertools
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

FORMULA = "lesson 07, 'Work it out: the formula'"
PAPER = FORMULA
CARRIES = "lesson 07, 'Work it out: how much each place carries'"

#: Distance of a heel from the mid-line as a part of the bearing length: half of 1.2 times the
#: length, times the sine of 125 degrees.
HEEL_ASIDE = 0.6 * math.sin(math.radians(125))


def pressure(n: Numbers, *, push: float | None = None, part: float | None = None) -> float:
    """Mean pressure of the wall on the ground [MPa]."""
    carried = 1 - n["other_percent"] / 100 if part is None else part
    return (n["pair_n"] / 2 if push is None else push) * carried / n["area_mm2"]


def heel_obliquity(n: Numbers, *, tilt: float | None = None, taper: float | None = None) -> float:
    """Angle between the push and the tubule of a heel that also leans in sideways [degrees]."""
    slope = math.radians(n["heel_deg"])
    inward = HEEL_ASIDE * n["bearing_mm"] * (1 - (n["taper"] if taper is None else taper))
    tubule = (
        -n["heel_mm"] * math.cos(slope),
        inward,
        n["heel_mm"] * math.sin(slope),
    )
    lean = math.radians(n["push_tilt_deg"] if tilt is None else tilt)
    push = (-math.sin(lean), 0.0, math.cos(lean))
    along = sum(a * b for a, b in zip(tubule, push, strict=True)) / math.hypot(*tubule)
    return math.degrees(math.acos(along))


def foot_obliquity(n: Numbers, letter: str) -> float:
    """Obliquity at the heel of one of the three feet, in the side view [degrees]."""
    return 90 - n[f"foot_{letter.lower()}_heel_deg"] - n[f"foot_{letter.lower()}_tilt_deg"]


def foot_with(n: Numbers, worth: str) -> str:
    """The letter of the foot with the largest obliquity, the flattest heel or the largest tilt."""

    def size(letter: str) -> float:
        if worth == "obliquity":
            return foot_obliquity(n, letter)
        if worth == "flattest":
            return -n[f"foot_{letter.lower()}_heel_deg"]
        return abs(n[f"foot_{letter.lower()}_tilt_deg"])

    return max("ABC", key=size)


def clear(n: Numbers) -> bool:
    """No set of numbers that gives a question away or in which two slips look alike."""
    if foot_with(n, "obliquity") == foot_with(n, "flattest"):
        return False
    sizes = sorted(foot_obliquity(n, letter) for letter in "ABC")
    if sizes[2] - sizes[1] < 2 or sizes[2] > 85:
        return False
    if len({n[f"foot_{letter}_heel_deg"] for letter in "abc"}) < 3:
        return False
    if len({abs(n[f"foot_{letter}_tilt_deg"]) for letter in "abc"}) < 3:
        return False
    for question in (toe_braking, mean_pressure, by_library):
        near = 3.2 * question.near.working
        values = [question.truth(n), *(slip.value(n) for slip in question.slips)]
        for one, other in itertools.combinations(values, 2):
            if abs(one - other) <= near * max(abs(one), abs(other)):
                return False
        if round(values[0], 3) == round(values[0]):
            return False
    return True


toe_braking = Number(
    name="1",
    title="The toe while the foot brakes",
    text=(
        "A toe wall stands at your `toe_deg` from the ground. The foot brakes: the push leans back "
        "by your `brake_tilt_deg`.\n\n"
        "At what angle does the push meet the tubule there, in degrees?\n\n"
        "> obliquity = (90 − wall angle) − tilt\n\n"
        "Put your number in place of the three dots."
    ),
    points=1,
    ability="work out how squarely the push meets the tubules",
    asked="the angle between push and tubule at the toe, in degrees",
    truth=lambda n: 90 - n["toe_deg"] - n["brake_tilt_deg"],
    near=Near(mark=0.004, working=0.008, reason="three digits: half of the last one, rounded up"),
    plausible=(1, 120),
    slips=(
        Slip(
            "tilt's sign",
            lambda n: 90 - n["toe_deg"] + n["brake_tilt_deg"],
            "The tilt has the wrong sign. A braking push leans back, like the wall: the two come "
            "closer. You worked it out for pushing off.",
        ),
        Slip(
            "ground for tubule",
            lambda n: n["toe_deg"] - n["brake_tilt_deg"],
            "You counted the wall from the ground. The push is near the upright, so count the wall "
            f"from the upright: see {FORMULA}.",
        ),
        Slip(
            "ground for tubule, and sign",
            lambda n: n["toe_deg"] + n["brake_tilt_deg"],
            "That is the angle between the push and a line square to the wall. Count the wall from "
            "the upright first.",
        ),
        Slip(
            "heel for toe",
            lambda n: 90 - n["heel_deg"] - n["brake_tilt_deg"],
            "That is the heel's. The toe is asked for.",
        ),
        Slip(
            "no tilt",
            lambda n: 90 - n["toe_deg"],
            "That is for an upright push. This one leans.",
        ),
    ),
    right=(
        "While a foot brakes its push comes closer to the tubules; while it pushes off, it turns "
        "further across them."
    ),
    keep_going=f"Not yet. How far does the wall lean from the upright? Then the tilt. See {PAPER}.",
    stub="answer_1 = ...",
    reference="n = task.numbers\nanswer_1 = (90 - n.toe_deg) - n.brake_tilt_deg",
)

mean_pressure = Number(
    name="2",
    title="Mean pressure under the wall",
    text=(
        "A horse stands square. Your `pair_n` is the push of the ground on both fore feet "
        "**together**, half of it on each. Frog, bars and sole of a foot carry your "
        "`other_percent` per cent of its push, the wall the rest. The wall of one foot has your "
        "`area_mm2` on the ground.\n\n"
        "What is the mean pressure under the wall of one foot, in **MPa** (N/mm²)?\n\n"
        "> pressure = push × (1 − share of frog and sole) / area of the wall on the ground"
    ),
    points=1,
    ability="say where the wall works hardest",
    asked="the mean pressure under the wall of one foot, in MPa",
    truth=pressure,
    near=Near(mark=0.006, working=0.012, reason="three digits, rounded once on the way"),
    plausible=(0.0001, 5000),
    slips=(
        Slip(
            "pair for limb",
            lambda n: pressure(n, push=n["pair_n"]),
            "You put the push on both feet under one of them.",
        ),
        Slip(
            "frog's part",
            lambda n: pressure(n, part=n["other_percent"] / 100),
            "You used the part that frog and sole carry. The wall carries the rest.",
        ),
        Slip(
            "nothing for the frog",
            lambda n: pressure(n, part=1.0),
            "You left the whole push to the wall. Frog, bars and sole take their part first.",
        ),
        Slip(
            "percent for share",
            lambda n: pressure(n, part=1 - n["other_percent"]),
            "Per cent went in where a share belongs: a number from 0 to 1.",
        ),
        Slip(
            "cm2 for mm2",
            lambda n: 100 * pressure(n),
            "That is in newtons on each square centimetre. MPa are newtons on each square "
            "millimetre.",
        ),
    ),
    right=(
        "Small beside what horn bears. Pressed straight, the wall has plenty in hand: it is the "
        "bending that makes the stress large."
    ),
    keep_going=f"Not yet. First the push on one foot, then the wall's part of it. See {CARRIES}.",
    stub="answer_2 = ...",
    reference=(
        "n = task.numbers\nanswer_2 = n.pair_n / 2 * (1 - n.other_percent / 100) / n.area_mm2"
    ),
)

by_library = Number(
    name="3",
    title="The right heel, by the library",
    text=(
        "Build a foot with your `toe_deg`, `heel_deg`, `toe_mm` and `heel_mm` (lengths of the two "
        "walls), `bearing_mm` (length on the ground) and `taper`, outline left out. It pushes off: "
        "your `push_tilt_deg` is below zero.\n\n"
        "At what angle does the push meet the tubule of the **right heel**, in degrees?\n\n"
        "- `Profile.from_measures(toe angle, heel angle, toe length, heel length, length on the "
        "ground)` is the side view, `build_capsule(side, taper=...)` the foot.\n"
        "- `force_vector(vertical_n, tilt_deg)` is the push; its size does not matter here.\n"
        "- `obliquity_deg(foot, force)` gives an angle for each strip of the rim, from the right "
        "heel round the toe to the left heel."
    ),
    points=2,
    ability="work out how squarely the push meets the tubules",
    asked="the angle between push and tubule at the right heel, in degrees",
    truth=heel_obliquity,
    near=Near(mark=0.003, working=0.006, reason="the library is exact; three digits are enough"),
    plausible=(1, 170),
    close_points=1.0,
    slips=(
        Slip(
            "tilt's sign",
            lambda n: heel_obliquity(n, tilt=-n["push_tilt_deg"]),
            "The tilt has the wrong sign: you let the foot brake. Take the number as it stands.",
            1.0,
        ),
        Slip(
            "toe for heel",
            lambda n: 90 - n["toe_deg"] - n["push_tilt_deg"],
            "That is the toe's. Which number has the strip at the right heel?",
            1.0,
        ),
        Slip(
            "side view",
            lambda n: 90 - n["heel_deg"] - n["push_tilt_deg"],
            "That is the heel in the side view. With your taper its tubule leans in sideways as "
            "well: let the library build the foot.",
            1.0,
        ),
        Slip(
            "no tilt",
            lambda n: heel_obliquity(n, tilt=0.0),
            "That is for an upright push. This one leans forward.",
            1.0,
        ),
        Slip(
            "ground for tubule",
            lambda n: 90 - heel_obliquity(n),
            "You took the angle away from a right angle. The library's angle is counted from the "
            "tubule already.",
            1.0,
        ),
        Slip(
            "radians",
            lambda n: math.radians(heel_obliquity(n)),
            "You turned the angle into radians. Degrees are asked for.",
            1.0,
        ),
    ),
    right=(
        "Round the whole rim at one call. Compare it with the toe's, and you know where this foot "
        "is pushed most across."
    ),
    keep_going=(
        "Not yet. Build the foot first, then the push, then look at one strip. "
        f"The code under {PAPER} does the same for another foot."
    ),
    stub=(
        "from hoofcalc.capsule import build_capsule\n"
        "from hoofcalc.loadpath import force_vector, obliquity_deg\n"
        "from hoofcalc.profile import Profile\n\n"
        "side = ...  # Profile.from_measures(...)\nfoot = ...  # build_capsule(...)\n"
        "angles = ...  # obliquity_deg(...)\nanswer_3 = ..."
    ),
    reference=(
        "from hoofcalc.capsule import build_capsule\n"
        "from hoofcalc.loadpath import force_vector, obliquity_deg\n"
        "from hoofcalc.profile import Profile\n\n"
        "n = task.numbers\nside = Profile.from_measures(\n"
        "    n.toe_deg, n.heel_deg, n.toe_mm, n.heel_mm, n.bearing_mm\n)\n"
        "foot = build_capsule(side, taper=n.taper)\n"
        "angles = obliquity_deg(foot, force_vector(1000, n.push_tilt_deg))\n"
        "answer_3 = angles[0]"
    ),
)

most_across = Choice(
    name="4",
    title="Which heel is pushed most across?",
    text=(
        "Three feet A, B and C, each at another moment of its stance. Your table has the heel "
        "angle of each and the tilt of its push (plus: leans back, braking; minus: leans forward, "
        "pushing off). All three pushes are equally large.\n\n"
        "In which foot does the **largest part** of the push go **across** the tubules of the "
        "heel, in the side view? "
        "Write the letter of the foot and the letter of the reason, each between quotation marks."
    ),
    points=2,
    ability="say where the wall works hardest",
    options={"A": "foot A", "B": "foot B", "C": "foot C"},
    reasons={
        "P": "because its heel is the flattest",
        "Q": "because its push leans the most",
        "R": "because the angle between its push and its tubules is the largest",
        "S": "because its heel is the steepest",
    },
    truth=lambda n: foot_with(n, "obliquity"),
    right_reason="R",
    choice_points=1,
    slips=(
        Slip(
            "flattest",
            lambda n: foot_with(n, "flattest"),
            "You took the flattest heel. The push leans as well: what counts is the angle between "
            f"the two. See {FORMULA}.",
        ),
        Slip(
            "largest tilt",
            lambda n: foot_with(n, "tilt"),
            "You took the push that leans the most. Which way does it lean, and how flat is that "
            f"heel? See {FORMULA}.",
        ),
    ),
    reason_messages={
        "P": "Another heel is flatter, and yet less of its push goes across. What else counts?",
        "Q": "How much a push leans does not decide alone. Against what is it to be compared?",
        "S": "A steeper heel lies closer to an upright push, not further from it.",
    },
    right=(
        "Shape and moment count together. The same heel is pushed more across while the foot "
        "pushes off than while it brakes."
    ),
    keep_going="Not yet. Work out the obliquity of all three, signs as they stand, then compare.",
    stub='answer_4 = ""  # A, B or C\nreason_4 = ""  # P, Q, R or S',
    reference=(
        "n = task.numbers\nobliquity = {\n"
        '    "A": 90 - n.foot_a_heel_deg - n.foot_a_tilt_deg,\n'
        '    "B": 90 - n.foot_b_heel_deg - n.foot_b_tilt_deg,\n'
        '    "C": 90 - n.foot_c_heel_deg - n.foot_c_tilt_deg,\n}\n'
        'answer_4 = max(obliquity, key=obliquity.get)\nreason_4 = "R"'
    ),
)

in_words = Written(
    name="5",
    title="Tell it to an owner",
    text=(
        "You show an owner the figure of the lesson with the foot that has run under. It says that "
        "its heel works nearly twice as hard as Fernlow's, and its toe harder still. She asks: "
        "*will the heel break? And what if the push came further forward?* Try it in the figure, "
        "then answer in three to five sentences. Use the words **along** and **across**."
    ),
    points=2,
    ability="see the centre of force move it",
    scale=(
        "0.5: says that at a flat heel most of the push goes across the tubules and not along them",
        "0.5: says that the push across bends the wall, so that this heel works harder than one in "
        "line",
        "0.5: says that the number is not a prediction (values are chosen; sole and frog do "
        "not hold the wall in the model) and that it is good for comparing feet or places",
        "0.5: says that with the centre of force further forward the heel is eased and the toe, "
        "which already works hardest, is worked harder still",
    ),
    stub="*Write your explanation here, in place of this line.*",
    reference=(
        "At this flat heel most of the push goes across the tubules, little along them. Across "
        "means bending, so it works harder than Fernlow's. That it breaks the model does not say: "
        "how the wall is held is chosen, so the number only compares. Further forward the push "
        "eases the heel and works the toe harder still."
    ),
    right="",
    keep_going="",
)


def across_n(force_n: float, wall_deg: float, tilt_deg: float) -> float:
    """Part of a push across the tubules of a wall, in the side view [N], 0 or above."""
    return abs(force_n * math.sin(math.radians(90 - wall_deg - tilt_deg)))


def _cosine(force_n: float, wall_deg: float, tilt_deg: float) -> float:
    return abs(force_n * math.cos(math.radians(90 - wall_deg - tilt_deg)))


def _sign(force_n: float, wall_deg: float, tilt_deg: float) -> float:
    return across_n(force_n, wall_deg, -tilt_deg)


def _radians(force_n: float, wall_deg: float, tilt_deg: float) -> float:
    return abs(force_n * math.sin(90 - wall_deg - tilt_deg))


def _share(force_n: float, wall_deg: float, tilt_deg: float) -> float:
    return across_n(1.0, wall_deg, tilt_deg) + 0.0 * force_n


def _per_cent(force_n: float, wall_deg: float, tilt_deg: float) -> float:
    return 100 * _share(force_n, wall_deg, tilt_deg)


def _odd(n: Numbers) -> float:
    """A wall angle that stands in nobody's table [degrees]."""
    return n["heel_deg"] + 2.37


part_across = Function(
    name="6",
    title="For those who like it: the part across, for any wall",
    text=(
        "Write a small function `across_n(force_n, wall_deg, tilt_deg)` that gives the part of a "
        "push across the tubules of a wall, in newtons, in the side view. The lesson "
        "has the formulas, under *Work it out*.\n\n"
        "Across is a size: give it back without a sign, by `abs(...)`, also for a wall that stands "
        "steeper than the push. Python's `math.sin` wants radians; `math.radians(...)` turns "
        "degrees into radians."
    ),
    points=2,
    ability="work out how squarely the push meets the tubules",
    call="across_n",
    truth=across_n,
    near=Near(mark=0.005, working=0.01, reason="the formula is exact; three digits are enough"),
    examples=((100.0, 50.0, 5.6), (80.0, 35.0, -4.0)),
    cases=(
        Case(
            "braking",
            lambda n: (63.7, _odd(n), 6.13),
            0.5,
            "While the foot brakes the part across is off. Which way does the tilt count? And "
            "is it sine or cosine?",
        ),
        Case(
            "pushing off",
            lambda n: (71.3, _odd(n), -5.21),
            1.0,
            "While the foot pushes off the part across is off. The tilt comes with its sign.",
        ),
        Case(
            "steeper than the push",
            lambda n: (58.9, 90.77 + 0.1 * _odd(n), 7.39),
            0.5,
            "A wall that stands steeper than the push is off. Across is a size, without a sign.",
        ),
    ),
    slips=(
        Slip(
            "along for across",
            _cosine,
            "You give the part that runs with the tubules: the cosine. Across takes the sine.",
        ),
        Slip(
            "tilt's sign",
            _sign,
            "The tilt counts the wrong way round: it is taken off.",
        ),
        Slip(
            "radians",
            _radians,
            "The degrees went into the sine as they are. Turn them into radians first.",
        ),
        Slip(
            "share for newtons",
            _share,
            "You give the share. Newtons are asked for: the push is missing.",
        ),
        Slip(
            "per cent",
            _per_cent,
            "You give per cent of the push. Newtons are asked for.",
        ),
    ),
    right=(
        "Draw it against the wall angle and you see the heel's trouble: every degree flatter puts "
        "more of the push across."
    ),
    keep_going=(
        "Three steps. The obliquity is (90 − wall angle) − tilt. Across is the push × its sine. "
        "Take the sign away at the end. Print what comes out of each."
    ),
    stub="import math\n\n\ndef across_n(force_n, wall_deg, tilt_deg):\n    return ...",
    reference=(
        "import math\n\n\ndef across_n(force_n, wall_deg, tilt_deg):\n"
        "    obliquity = 90 - wall_deg - tilt_deg\n"
        "    return abs(force_n * math.sin(math.radians(obliquity)))"
    ),
)

EXERCISE = Exercise(
    name="07-load-path",
    title="Exercise 07: Load path",
    intro=(
        "It belongs to lesson 07, *load path*. There are 10 points and about 40 minutes of work. "
        "Begin at the top; the last question is for those who want more.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "All feet and forces are invented. This is a model for learning, not for judging a horse: "
        "a lame, sore, hot, swollen, bleeding or suddenly changed foot is a matter for a "
        "veterinary surgeon."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity("toe_deg", "toe angle", "degrees", (47, 49, 51, 53, 56)),
        Quantity("heel_deg", "heel angle", "degrees", (24, 28, 31, 34, 37)),
        Quantity("brake_tilt_deg", "braking: tilt", "degrees", (4.3, 5.1, 5.6, 6.2, 6.7)),
        Quantity("push_tilt_deg", "pushing off: tilt", "degrees", (-5.3, -4.7, -4.2, -3.6)),
        Quantity("pair_n", "push on both fore feet", "N", (2650, 2760, 2840, 2930, 3070)),
        Quantity("other_percent", "frog, bars and sole", "%", (15, 18, 22, 28, 33)),
        Quantity("area_mm2", "wall on the ground, one foot", "mm²", (2130, 2210, 2290, 2370)),
        Quantity("toe_mm", "toe: length of the wall", "mm", (82, 86, 91)),
        Quantity("heel_mm", "heel: length of the wall", "mm", (36, 39, 43)),
        Quantity("bearing_mm", "length on the ground", "mm", (104, 108, 113)),
        Quantity("taper", "taper", "of width", (0.68, 0.72, 0.76)),
        *(
            quantity
            for letter in "abc"
            for quantity in (
                Quantity(
                    f"foot_{letter}_heel_deg",
                    f"foot {letter.upper()}: heel angle",
                    "degrees",
                    (27, 30, 33, 36, 39),
                ),
                Quantity(
                    f"foot_{letter}_tilt_deg",
                    f"foot {letter.upper()}: tilt",
                    "degrees",
                    (-6.4, -5.2, -3.3, 0, 3.8, 5.7, 7.1),
                ),
            )
        ),
    ),
    fits=clear,
    questions=(toe_braking, mean_pressure, by_library, most_across, in_words, part_across),
)

"""Key to exercise 03, measuring. For instructors: never hand this out.

The truths are worked out here from school geometry and the plain rules of error, not with
the library, so that a fault of the library cannot hide behind a fault of the key. All feet,
photographs and readings are invented; sizes and angles are those of common front feet.

Sources: errors of a line and of a difference add in squares: Taylor J.R., An Introduction to
Error Analysis, 2nd ed. 1997, chapter 3 (place from memory).
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

DEGREES = 180 / math.pi


def across_up(n: Numbers, point: str) -> tuple[float, float]:
    """One point of a photograph [dots]."""
    return n[f"{point}_across"], n[f"{point}_up"]


# --- 1: the tube ---------------------------------------------------------------------------


def toe_mm(n: Numbers) -> float:
    """Length of the toe wall by the tube [mm]."""
    return n["toe_dots"] * n["tube_width_mm"] / n["tube_width_dots"]


# --- 2: the level photograph -----------------------------------------------------------------


def heel_up(n: Numbers) -> float:
    return n["heel_hairline_up"] - n["ground_up"]


def heel_back(n: Numbers) -> float:
    return n["heel_ground_across"] - n["heel_hairline_across"]


def heel(n: Numbers) -> float:
    """Heel angle in the level photograph [degrees]."""
    return DEGREES * math.atan2(heel_up(n), heel_back(n))


def toe(n: Numbers) -> float:
    """Toe angle in the same [degrees]."""
    up = n["toe_hairline_up"] - n["ground_up"]
    return DEGREES * math.atan2(up, n["toe_ground_across"] - n["toe_hairline_across"])


def coronet(n: Numbers) -> float:
    """Coronet angle in the same [degrees]."""
    up = n["toe_hairline_up"] - n["heel_hairline_up"]
    return DEGREES * math.atan2(up, n["toe_hairline_across"] - n["heel_hairline_across"])


# --- 3: the crooked photograph ---------------------------------------------------------------


def crooked(n: Numbers, low: str, high: str) -> float:
    """Angle of the line from `low` to `high`, against the ground line, opened to the back."""
    x0, y0 = across_up(n, f"crooked_{low}")
    x1, y1 = across_up(n, f"crooked_{high}")
    level_x, level_y = across_up(n, "crooked_toe_ground")
    heel_x, heel_y = across_up(n, "crooked_heel_ground")
    tilt = DEGREES * math.atan2(level_y - heel_y, level_x - heel_x)
    return DEGREES * math.atan2(y1 - y0, x0 - x1) + tilt


def crooked_toe(n: Numbers) -> float:
    return crooked(n, "toe_ground", "toe_hairline")


def crooked_heel(n: Numbers) -> float:
    return crooked(n, "heel_ground", "heel_hairline")


def gap(n: Numbers) -> float:
    """Toe angle minus heel angle in the crooked photograph [degrees]."""
    return crooked_toe(n) - crooked_heel(n)


def crooked_coronet(n: Numbers) -> float:
    """Coronet angle in the same: it falls to the heel [degrees]."""
    return 180 - crooked(n, "heel_hairline", "toe_hairline")


# --- 4: three pairs of readings --------------------------------------------------------------


def difference(n: Numbers, letter: str) -> float:
    return n[f"pair_{letter.lower()}_first_deg"] - n[f"pair_{letter.lower()}_second_deg"]


def times_error(n: Numbers, letter: str) -> float:
    """How many times its own error a pair's difference is."""
    return difference(n, letter) / (math.sqrt(2) * n[f"pair_{letter.lower()}_error_deg"])


def pair_with(n: Numbers, worth: str) -> str:
    """The letter of the pair with the real difference, the largest one, or the smallest error."""

    def size(letter: str) -> float:
        return {
            "real": times_error(n, letter),
            "largest": difference(n, letter),
            "surest": -n[f"pair_{letter.lower()}_error_deg"],
        }[worth]

    return max("ABC", key=size)


def clear(n: Numbers) -> bool:
    """No foot that cannot be, and no numbers that give a question away or leave it to rounding."""
    letters = [pair_with(n, worth) for worth in ("real", "largest", "surest")]
    differences = {difference(n, letter) for letter in "ABC"}
    if len(set(letters)) < 3 or len(differences) < 3 or min(differences) <= 0:
        return False
    ratios = {letter: times_error(n, letter) for letter in "ABC"}
    real, others = ratios.pop(letters[0]), max(ratios.values())
    return (
        real >= 2.4
        and others <= 1.7
        # who forgets that both readings have an error finds a second pair real
        and others * math.sqrt(2) >= 2.1
        and 75 <= toe_mm(n) <= 105
        and 32 <= heel(n) <= 42
        and 47 <= toe(n) <= 58
        and 14 <= coronet(n) <= 29
        and 47 <= crooked_toe(n) <= 58
        and 34 <= crooked_heel(n) <= 50
        and 5.5 <= gap(n) <= 15
        and 14 <= crooked_coronet(n) <= 29
    )


SCALE = "lesson 03, 'Scale'"
PAPER = "lesson 03, 'Worked example, on paper'"
POINTS = "lesson 03, 'All four points at once'"
FIVE = "lesson 03, 'When is 5 degrees a difference?'"
FORMULA = "lesson 03, 'The formula'"

tube = Number(
    name="1",
    title="How long is the toe?",
    text=(
        "Somebody stood a postal tube on end ahead of the toe, as far from the camera as the "
        "middle of the foot. Your table has the tube's width right across in mm, the same in dots "
        "of the photograph, and the length of the toe wall in dots.\n\n"
        "How long is the toe wall in **mm**? Put your number in place of the three dots."
    ),
    points=1,
    ability="give a photograph its scale and its level",
    asked="the length of a toe wall in mm",
    truth=toe_mm,
    near=Near(mark=0.01, working=0.02, reason="three digits; 1 % allows for a rounded scale"),
    plausible=(2, 100_000),
    slips=(
        Slip(
            "scale upside down",
            lambda n: n["toe_dots"] * n["tube_width_dots"] / n["tube_width_mm"],
            "Your scale is upside down: you have dots for a millimetre. Millimetres for a dot "
            f"are wanted, the other way round. See {SCALE}.",
        ),
        Slip(
            "radius for diameter",
            lambda n: toe_mm(n) / 2,
            "You took half the tube for its whole width. "
            "Both its mm and its dots are measured right across.",
        ),
        Slip(
            "diameter for radius",
            lambda n: toe_mm(n) * 2,
            "Half the dots of the tube went in, or twice its width. Both its "
            "mm and its dots are measured right across.",
        ),
        Slip(
            "dots for mm",
            lambda n: n["toe_dots"],
            f"Those are dots. How many millimetres is one of them? See {SCALE}.",
        ),
        Slip(
            "cm for mm",
            lambda n: toe_mm(n) / 10,
            "Your number would be right in centimetres. Millimetres are asked for.",
        ),
        Slip(
            "only the scale",
            lambda n: n["tube_width_mm"] / n["tube_width_dots"],
            "That is the scale, the millimetres of one dot. Now the whole toe.",
        ),
    ),
    right=(
        "Any known length gives a scale: a postal tube, a skewer. It has to stand as far from "
        "the camera as the middle of the foot, or it looks too large or too small."
    ),
    keep_going=(
        f"Not yet. Two steps: the millimetres of one dot, then times the dots of the toe. See "
        f"{SCALE}."
    ),
    stub="answer_1 = ...",
    reference="n = task.numbers\nanswer_1 = n.toe_dots * n.tube_width_mm / n.tube_width_dots",
)

heel_angle = Number(
    name="2",
    title="The heel angle, by hand",
    text=(
        "A level photograph of a foot that looks to the right. Your table gives its points in "
        "dots, across and up from the lower left corner. It is level: both ground points stand "
        "equally high, at `ground_up`.\n\n"
        "What is the **heel angle**, in degrees? On paper, with a calculator, or here: "
        "`math.atan(...)` gives the angle of a tangent in radians, `math.degrees(...)` turns it "
        "into degrees. Three digits are enough."
    ),
    points=2,
    ability="place the points and get the toe, heel and coronet angle",
    asked="the angle of a heel wall in degrees, between 0 and 90",
    truth=heel,
    near=Near(mark=0.01, working=0.02, reason="three digits; 1 % allows for a rounded tangent"),
    plausible=(0.2, 180),
    slips=(
        Slip(
            "from the vertical",
            lambda n: 90 - heel(n),
            "Your angle is counted from the upright: you divided back by up. Walls are counted "
            "from the ground: up over back.",
            1.0,
        ),
        Slip(
            "supplement",
            lambda n: 180 - heel(n),
            "Your angle opens to the front. The heel angle opens to the back, like the toe angle.",
            1.0,
        ),
        Slip(
            "radians",
            lambda n: heel(n) / DEGREES,
            "Your angle is in radians. Set the calculator to degrees, or use math.degrees.",
            1.0,
        ),
        Slip(
            "sine for tangent",
            lambda n: DEGREES * math.asin(heel_up(n) / heel_back(n)),
            "You used the sine. Up over back is the tangent: the key is tan⁻¹.",
            1.0,
        ),
        Slip(
            "cosine for tangent",
            lambda n: DEGREES * math.acos(heel_up(n) / heel_back(n)),
            "You used the cosine. Up over back is the tangent: the key is tan⁻¹.",
            1.0,
        ),
        Slip(
            "toe for heel",
            toe,
            "That is the toe angle. Take the two points of the heel.",
            1.0,
        ),
        Slip(
            "coronet for heel",
            coronet,
            "That is the coronet angle: you joined the two hairlines. The heel wall runs from the "
            "heel's ground point to the heel's hairline.",
            0.5,
        ),
        Slip(
            "tangent for angle",
            lambda n: heel_up(n) / heel_back(n),
            "That is up over back, the tangent. Now the angle that has this tangent: tan⁻¹.",
            0.5,
        ),
        Slip(
            "sign",
            lambda n: -heel(n),
            "Your angle is below zero: back is counted from the hairline to the ground point, "
            "which lies further across.",
            1.0,
        ),
    ),
    close_points=1.0,
    right=(
        "No scale was needed: dots over dots. Angles can be read from a photograph that nobody put "
        "a ruler in; lengths cannot."
    ),
    keep_going=(
        "Not yet. How many dots does the heel wall go back, how many up? Then up over back. "
        f"The same with other numbers: see {PAPER}."
    ),
    stub="import math\n\nanswer_2 = ...",
    reference=(
        "import math\n\nn = task.numbers\nback = n.heel_ground_across - n.heel_hairline_across\n"
        "up = n.heel_hairline_up - n.ground_up\n"
        "answer_2 = math.degrees(math.atan(up / back))"
    ),
)

crooked_gap = Number(
    name="3",
    title="The gap, in a crooked photograph",
    text=(
        "Another foot. This camera was held crooked: the two ground points do not lie level. Your "
        "table gives its four points, named `crooked_...`, in dots across and up.\n\n"
        "Let the library work out the **gap**: toe angle minus heel angle. `Profile` counts every "
        "angle from the line through the two ground points, and dots serve as well as millimetres, "
        "for angles need no scale. Fill in two lines:\n\n"
        "- `Profile(toe_ground=..., toe_coronet=..., heel_ground=..., heel_coronet=...)`, each a "
        "pair in round brackets: (across, up). Coronet means at the hairline.\n"
        "- the foot knows its `angle_gap_deg`."
    ),
    points=1,
    ability="give a photograph its scale and its level",
    asked="a toe angle less a heel angle, in degrees",
    truth=gap,
    near=Near(mark=0.01, working=0.02, reason="the library is exact; 1 % allows for three digits"),
    plausible=(-60, 90),
    slips=(
        Slip(
            "sign of the gap",
            lambda n: -gap(n),
            "You took the toe from the heel. The gap is toe minus heel: above zero where the heel "
            "lies flatter.",
            0.5,
        ),
        Slip(
            "toe angle for gap",
            crooked_toe,
            "That is the toe angle. The gap is what is left when the heel angle is taken away.",
            0.5,
        ),
        Slip(
            "heel angle for gap",
            crooked_heel,
            "That is the heel angle. The gap is the toe angle less this.",
            0.5,
        ),
        Slip(
            "coronet angle for gap",
            crooked_coronet,
            "That is the coronet angle. The gap is the toe angle less the heel angle.",
            0.5,
        ),
        Slip(
            "radians",
            lambda n: gap(n) / DEGREES,
            "Your gap is in radians. The library answers in degrees already.",
            0.5,
        ),
    ),
    close_points=0.5,
    right=(
        "A crooked camera did no harm, because toe and heel were both counted from the foot's own "
        "ground line. From the picture's edge, each of them would be off by as much as the camera."
    ),
    keep_going=(
        f"Not yet. See that each pair stands behind its own name, across first. The same call "
        f"stands in {POINTS}."
    ),
    stub=(
        "from hoofcalc.profile import Profile\n\n"
        "foot = ...  # Profile(...)\n"
        "answer_3 = ...  # foot.angle_gap_deg"
    ),
    reference=(
        "from hoofcalc.profile import Profile\n\nn = task.numbers\nfoot = Profile(\n"
        "    toe_ground=(n.crooked_toe_ground_across, n.crooked_toe_ground_up),\n"
        "    toe_coronet=(n.crooked_toe_hairline_across, n.crooked_toe_hairline_up),\n"
        "    heel_ground=(n.crooked_heel_ground_across, n.crooked_heel_ground_up),\n"
        "    heel_coronet=(n.crooked_heel_hairline_across, n.crooked_heel_hairline_up),\n"
        ")\nanswer_3 = foot.angle_gap_deg"
    ),
)

three_pairs = Choice(
    name="4",
    title="Which difference is real?",
    text=(
        "Three heels at Brackenfold, A, B and C, each photographed at two visits. Your table gives "
        "both readings of each heel angle, and the standard error of one reading (the same at both "
        "visits).\n\n"
        "Just one of the three differences is **real** in the sense of the lesson. Which pair is "
        "it? Write its letter and the letter of the reason, each between quotation marks."
    ),
    points=2,
    ability="say when a difference of 5 degrees is real",
    options={"A": "pair A", "B": "pair B", "C": "pair C"},
    reasons={
        "P": "because its difference is the largest",
        "Q": "because its standard error is the smallest",
        "R": "because its difference is more than twice the error of one reading",
        "S": "because its difference is more than twice the error of the difference",
        "T": "because its difference is 5 degrees or more",
    },
    truth=lambda n: pair_with(n, "real"),
    right_reason="S",
    choice_points=1,
    slips=(
        Slip(
            "the largest difference",
            lambda n: pair_with(n, "largest"),
            "You took the largest difference. Its readings are unsteady as well: a hand can do "
            f"that much by itself. Hold each difference against its own error: {FIVE}.",
        ),
        Slip(
            "the smallest error",
            lambda n: pair_with(n, "surest"),
            "You took the steadiest readings. They are good, but their difference is small too. "
            f"Hold each difference against its own error: {FIVE}.",
        ),
    ),
    reason_messages={
        "P": "Another pair has a larger difference, and that one is not real. Larger than what?",
        "Q": "Another pair was read more steadily, and that difference is not real. What else "
        "counts?",
        "R": "By that rule a second pair would be real as well. Both readings have an error: what "
        "is the error of their difference?",
        "T": "There is no magic in 5 degrees. Larger than what must a difference be?",
    },
    right=(
        "Neither the size of a difference nor the care of the readings decides alone. What counts "
        "is the one held against the other."
    ),
    keep_going=(
        "Not yet. For each pair: the difference, then the error of the difference (1.414 times the "
        "error of one reading), then twice that."
    ),
    stub='answer_4 = ""  # A, B or C\nreason_4 = ""  # P, Q, R, S or T',
    reference=(
        "n = task.numbers\ntimes = {\n"
        "    x: abs(getattr(n, f'pair_{x.lower()}_first_deg') - "
        "getattr(n, f'pair_{x.lower()}_second_deg'))\n"
        "    / getattr(n, f'pair_{x.lower()}_error_deg')\n"
        "    for x in 'ABC'\n}\n"
        'answer_4 = max(times, key=times.get)\nreason_4 = "S"'
    ),
)

in_words = Written(
    name="5",
    title="Is this 5 degrees?",
    text=(
        "An owner has a reading of her mare's heel angle from visit 1; it stands in your table. At "
        "visit 2 the reading is exactly **5 degrees less**. Both readings have the standard error "
        "that stands there. She asks: *the heel has come down by 5 degrees, hasn't it?*\n\n"
        "Answer her in three to six sentences. Give the error of the difference in degrees, say "
        "whether these 5 degrees are real, and say what you would do at the next visit to be surer."
    ),
    points=2,
    ability="say when a difference of 5 degrees is real",
    scale=(
        "0.5: says that both readings have an error, so that their difference has a larger one "
        "than either",
        "0.5: gives the error of the difference (1.414 times the error of one reading; a slip of "
        "the calculator is no matter) and holds 5 degrees against twice that",
        "0.5: the verdict follows from it, and where the difference is not real it does not claim "
        "that nothing has changed",
        "0.5: names one thing that helps, for example place the points several times, the camera "
        "nearer, square and at the height of the foot, the same reader, spots agreed on",
    ),
    stub="*Write your answer here, in place of this line.*",
    reference=(
        "Both readings were set by hand, and each may be off. For their difference the errors come "
        "together: 1.414 times the error of one. Twice that is what chance can do. If 5 degrees "
        "are more than that, the heel has come down; if they are less, these two pictures cannot "
        "tell, which does not mean that nothing has changed. Next time I set the points five "
        "times, from near and square, at the height of the foot."
    ),
    right="",
    keep_going="",
)


def angle_error(point_error: float, wall: float, ground: float) -> float:
    """Standard error of the angle between two lines of two points each [degrees]."""
    return DEGREES * math.sqrt(2) * point_error * math.hypot(1 / wall, 1 / ground)


def _whole(n: Numbers) -> tuple[float, float]:
    """A long and a short length of the learner's own, in whole millimetres."""
    long = float(round(toe_mm(n)))
    return long, float(round(long / 2))


error_function = Function(
    name="6",
    title="For those who like it: the error of any angle",
    text=(
        "Write a small function `angle_error(point_error_mm, wall_mm, ground_mm)` that gives the "
        "standard error, in degrees, of the angle between a wall and a ground line. Each line is "
        "marked by two points of its own. The lesson does it for one foot, on paper; your function "
        "does it for any.\n\n"
        "`math.sqrt` is the root."
    ),
    points=2,
    ability="place the points and get the toe, heel and coronet angle",
    call="angle_error",
    truth=angle_error,
    near=Near(mark=0.01, working=0.02, reason="the formula is exact; 1 % allows for 57.3 and 1.41"),
    examples=((0.8, 51.0, 120.0), (1.5, 97.0, 120.0)),
    cases=(
        Case(
            "a short wall on a long ground line",
            lambda n: (1.0, _whole(n)[1], 150.0),
            0.5,
            "With a short wall on a long ground line the error is already off. What "
            "is the error of one line: 57.3 for degrees, √2 for two ends, divided by the length?",
        ),
        Case(
            "two lines of much the same length",
            lambda n: (2.0, _whole(n)[0], _whole(n)[0] + 10.0),
            1.0,
            "With two lines of much the same length the error is off. Both lines count, and "
            "their squares add.",
        ),
        Case(
            "a short ground line",
            lambda n: (1.0, 2 * _whole(n)[0], _whole(n)[1]),
            0.5,
            "With a ground line shorter than the wall the error is off. Does the ground line count "
            "as the wall does?",
        ),
    ),
    slips=(
        Slip(
            "square root of 2 left out",
            lambda e, wall, ground: angle_error(e, wall, ground) / math.sqrt(2),
            "The √2 is missing: each line has two ends, and both miss.",
        ),
        Slip(
            "second line left out",
            lambda e, wall, _ground: DEGREES * math.sqrt(2) * e / wall,
            "Only the wall is in it. The ground line is set by hand as well.",
        ),
        Slip(
            "errors added",
            lambda e, wall, ground: DEGREES * math.sqrt(2) * e * (1 / wall + 1 / ground),
            "You added the two errors. Misses seldom go the same way: their squares add, then the "
            "root.",
        ),
        Slip(
            "root left out",
            lambda e, wall, ground: angle_error(e, wall, ground) ** 2,
            "The squares are added, but the root at the end is missing.",
        ),
        Slip(
            "radians",
            lambda e, wall, ground: angle_error(e, wall, ground) / DEGREES,
            "Your error is in radians. The 57.3 turns it into degrees.",
        ),
        Slip(
            "both slips of the root",
            lambda e, wall, _ground: DEGREES * e / wall,
            "Two things are missing: the √2 for the two ends, and the ground line.",
        ),
        Slip(
            "twice the error",
            lambda e, wall, ground: 2 * angle_error(e, wall, ground),
            "That is twice the standard error, what 19 of 20 readings keep to. The standard error "
            "itself is asked for.",
        ),
    ),
    right=(
        "Now every angle that you read can carry its error. Try it with your own hand's point "
        "error, and see at which of your angles 5 degrees would count."
    ),
    keep_going=(
        "Three steps. The error of the wall is 57.3 × √2 × point error / length of the wall. That "
        "of the ground line is the same with its own length. Square both, add, and take the root. "
        f"Print what comes out of each. See {FORMULA}."
    ),
    stub=("import math\n\n\ndef angle_error(point_error_mm, wall_mm, ground_mm):\n    return ..."),
    reference=(
        "import math\n\n\ndef angle_error(point_error_mm, wall_mm, ground_mm):\n"
        "    wall = 57.3 * math.sqrt(2) * point_error_mm / wall_mm\n"
        "    ground = 57.3 * math.sqrt(2) * point_error_mm / ground_mm\n"
        "    return math.sqrt(wall**2 + ground**2)"
    ),
)


def _steps(first: int, last: int, step: int) -> tuple[float, ...]:
    return tuple(range(first, last + 1, step))


def _point(name: str, words: str, across: tuple[float, ...], up: tuple[float, ...]) -> tuple:
    return (
        Quantity(f"{name}_across", f"{words}: across", "dots", across),
        Quantity(f"{name}_up", f"{words}: up", "dots", up),
    )


EXERCISE = Exercise(
    name="03-measuring",
    title="Exercise 03: Measuring",
    intro=(
        "It belongs to lesson 03, *measuring*. There are 10 points and about 40 minutes of work. "
        "Begin at the top; the last question is for those who want more.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "All feet, photographs and readings are invented. This is a model for learning, not for "
        "judging a horse: a lame, sore, hot, swollen, bleeding or suddenly changed foot is a "
        "matter for a veterinary surgeon."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity("tube_width_mm", "postal tube: right across", "mm", (60, 64, 68, 72)),
        Quantity("tube_width_dots", "postal tube: right across", "dots", _steps(226, 290, 8)),
        Quantity("toe_dots", "toe wall: length", "dots", _steps(320, 390, 5)),
        Quantity("ground_up", "level: both ground points, up", "dots", (96, 112, 128, 144)),
        Quantity("heel_ground_across", "heel at the ground: across", "dots", _steps(500, 560, 10)),
        *_point("heel_hairline", "heel at the hairline", _steps(338, 380, 7), _steps(218, 260, 6)),
        Quantity("toe_ground_across", "toe at the ground: across", "dots", _steps(980, 1030, 10)),
        *_point("toe_hairline", "toe at the hairline", _steps(738, 790, 8), _steps(400, 450, 7)),
        *_point(
            "crooked_heel_ground", "crooked, heel at the ground", (480, 500, 520), (104, 118, 132)
        ),
        *_point(
            "crooked_heel_hairline",
            "crooked, heel at the hairline",
            _steps(324, 360, 6),
            _steps(226, 254, 7),
        ),
        *_point(
            "crooked_toe_ground", "crooked, toe at the ground", (960, 980, 1000), (156, 168, 180)
        ),
        *_point(
            "crooked_toe_hairline",
            "crooked, toe at the hairline",
            _steps(694, 740, 9),
            _steps(436, 470, 8),
        ),
        *(
            quantity
            for letter in "abc"
            for quantity in (
                Quantity(
                    f"pair_{letter}_first_deg",
                    f"pair {letter.upper()}: first reading",
                    "degrees",
                    (45, 46, 47),
                ),
                Quantity(
                    f"pair_{letter}_second_deg",
                    f"pair {letter.upper()}: second reading",
                    "degrees",
                    (38, 41, 42, 45),
                ),
                Quantity(
                    f"pair_{letter}_error_deg",
                    f"pair {letter.upper()}: standard error of a reading",
                    "degrees",
                    (0.9, 1.1, 1.2, 3.3, 3.6),
                ),
            )
        ),
        Quantity("mare_heel_deg", "the mare's heel at visit 1", "degrees", (42, 43, 44, 45)),
        Quantity(
            "mare_error_deg",
            "the mare: standard error of a reading",
            "degrees",
            (0.9, 1.1, 1.3, 2.4, 2.7, 3.1),
        ),
    ),
    fits=clear,
    questions=(tube, heel_angle, crooked_gap, three_pairs, in_words, error_function),
)

"""Key to exercise 00, orientation. For instructors: never hand this out.

The truths are worked out here from school geometry and not with the library, so that a
fault of the library cannot hide behind a fault of the key. All feet are invented; sizes
and angles are those of common front feet.

Which part a number of the slider *Part* lights up is counted in lesson 00's figure.
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

#: Letters of the answers to question 2, and the part that each number of the slider lights up:
#: those that are seen only from below.
PARTS = {
    "A": "the bars",
    "B": "the frog",
    "C": "the grooves of the frog",
    "D": "the sole",
    "E": "the white line",
}
LIT = {8: "E", 9: "D", 10: "B", 11: "A", 12: "C"}


#: Ending so that the gap ends in other tenths than both.
TOES = tuple(whole + part for whole in range(47, 58) for part in (0.3, 0.8))
HEELS = tuple(whole + part for whole in range(36, 52) for part in (0.1, 0.6))


def beside(n: Numbers, step: int) -> str:
    """The letter of a part next to the right one, or at the ends of the row the one after it."""
    at = int(n["part_number"])
    return LIT.get(at + step) or LIT[at - 2 * step]


def angle(height: float, run: float) -> float:
    """Angle from the ground, opened to the back [degrees]."""
    return math.degrees(math.atan2(height, run))


def toe(n: Numbers) -> float:
    """Toe angle of the foot of question 3 [degrees]."""
    return angle(n["height_mm"], n["run_mm"])


def heel_of_points(n: Numbers, sign: float = 1.0) -> float:
    """Heel angle of the foot of question 4; `sign` -1 where the minus was lost [degrees]."""
    run = n["heel_ground_forward_mm"] - sign * n["heel_band_forward_mm"]
    return angle(n["heel_band_up_mm"], run)


def toe_of_points(n: Numbers) -> float:
    """Toe angle of the same foot [degrees]."""
    return angle(n["toe_band_up_mm"], n["toe_ground_forward_mm"] - n["toe_band_forward_mm"])


def clear(n: Numbers) -> bool:
    """No foot that cannot be, and no numbers that give a question away."""
    gap = n["toe_deg"] - n["heel_deg"]
    return (
        3 <= gap <= 14
        and n["run_mm"] < n["height_mm"]  # so that every wrong key of the calculator answers
        and 47 <= toe(n) <= 60
        and 47 <= toe_of_points(n) <= 58
        and 32 <= heel_of_points(n) <= 43  # away from 45, where both ways to read are alike
    )


WHY = "lesson 00, 'Why'"
PAPER = "lesson 00, 'Work it out'"
FIGURE = "lesson 00, 'Move'"
NEAR_IT = (
    "That part stands close to yours on the slider. Look at the number in the box beside the "
    f"slider: it begins with 0, the whole foot. See {FIGURE}."
)

gap = Number(
    name="1",
    title="How much flatter is the heel?",
    text=(
        "A foot of the yard was measured: its toe angle and its heel angle, both from the ground, "
        "are in your table.\n\n"
        "By how many degrees is the heel **flatter** than the toe? Put your number in place of "
        "the three dots and run the cell. Then run the cell below it."
    ),
    points=1,
    ability="read an angle from the ground",
    asked="by how many degrees the heel is flatter than the toe",
    truth=lambda n: n["toe_deg"] - n["heel_deg"],
    near=Near(mark=0.01, working=0.02, reason="angles to a tenth: the difference is exact"),
    plausible=(1, 120),
    slips=(
        Slip(
            "sign",
            lambda n: n["heel_deg"] - n["toe_deg"],
            "The size is right, the sign is not. A flatter heel gives a number above zero: see the "
            "gap in lesson 00, 'Work it out'.",
            0.5,
        ),
        Slip(
            "added",
            lambda n: n["heel_deg"] + n["toe_deg"],
            "You added the two angles. What is asked for is the difference.",
        ),
        Slip(
            "middle",
            lambda n: (n["heel_deg"] + n["toe_deg"]) / 2,
            "That is the middle between the two. What is asked for is the difference.",
        ),
        Slip(
            "toe alone",
            lambda n: n["toe_deg"],
            "That is the toe angle itself. How far is the heel from it?",
        ),
        Slip(
            "heel alone",
            lambda n: n["heel_deg"],
            "That is the heel angle itself. How far is it from the toe angle?",
        ),
    ),
    right=(
        "This number is called the gap. It is one of the first things to write down about a foot, "
        "and lesson 08 shows how little and how much it tells."
    ),
    keep_going=(
        "Not yet. Take both angles from your table, and take the smaller from the larger. It is "
        f"done at the end of {PAPER}."
    ),
    stub="answer_1 = ...",
    reference="n = task.numbers\nanswer_1 = n.toe_deg - n.heel_deg",
)

name_it = Choice(
    name="2",
    title="Name the part",
    text=(
        "Open lesson 00 and put the slider *Part to pick out* of its figure to your `part_number`. "
        "Which part lights up, and in which views?\n\n"
        "Write the letter of the part and the letter of the reason, each between quotation marks."
    ),
    points=2,
    ability="name the parts of a foot from the side, from below and from the front",
    options=PARTS,
    reasons={
        "P": "it is seen from the side and from the front, on the standing foot",
        "Q": "it is seen only from below, on the foot picked up",
        "R": "it is seen in all three views",
        "S": "it lies inside the foot and is seen in no view",
    },
    truth=lambda n: LIT[int(n["part_number"])],
    right_reason="Q",
    choice_points=1,
    slips=(
        Slip("next on the slider", lambda n: beside(n, 1), NEAR_IT),
        Slip("one before on the slider", lambda n: beside(n, -1), NEAR_IT),
    ),
    reason_messages={
        "P": "Look at the views in which its name stands in blue. Where does 'not seen' stand?",
        "R": "Look at the views in which its name stands in blue. Where does 'not seen' stand?",
        "S": "It lights up in one of the three views. In which?",
    },
    right=(
        "You know your way about the figure. On the yard: point at the part with a finger and say "
        "its name, until your hand knows it."
    ),
    keep_going=(
        "Not yet. Put the slider to the number from your own table and read the name in the "
        f"picture: see {FIGURE}."
    ),
    stub='answer_2 = ""  # A, B, C, D or E\nreason_2 = ""  # P, Q, R or S',
    reference=(
        'lit = {8: "E", 9: "D", 10: "B", 11: "A", 12: "C"}\n'
        'answer_2 = lit[task.numbers.part_number]\nreason_2 = "Q"'
    ),
)

toe_angle = Number(
    name="3",
    title="Read an angle without a protractor",
    text=(
        "On another foot the coronary band at the toe is `height_mm` above the ground, and the toe "
        "meets the ground `run_mm` in front of it. What is the **toe angle** in degrees?\n\n"
        "> tangent of the angle = height / run\n\n"
        "Use a calculator (key *tan⁻¹*), or draw it in full size and lay a protractor on, or let "
        "Python do it: `math.degrees(math.atan(2))` is the angle whose tangent is 2. Half a degree "
        "is near enough."
    ),
    points=2,
    ability="read an angle from the ground",
    asked="the toe angle in degrees, from a height and a run",
    truth=toe,
    near=Near(
        mark=0.0125,
        working=0.025,
        reason="a drawing read with a protractor errs by about half a degree, 1 % of 50",
    ),
    plausible=(0.3, 180),
    slips=(
        Slip(
            "upright for ground",
            lambda n: 90 - toe(n),
            "That is the angle from the upright. In this course every angle opens from the ground: "
            f"height over run, not run over height. See {WHY}.",
            1.0,
        ),
        Slip(
            "front for back",
            lambda n: 180 - toe(n),
            "That is the angle in front of the toe. The toe angle opens to the back, inside the "
            f"foot: see {WHY}.",
            1.0,
        ),
        Slip(
            "radians",
            lambda n: math.radians(toe(n)),
            "Your calculator, or Python, answered in radians. Turn them into degrees: "
            "math.degrees does it, or the switch of the calculator.",
            1.0,
        ),
        Slip(
            "tangent not turned",
            lambda n: n["height_mm"] / n["run_mm"],
            "That is height over run, the tangent. One step is missing: the angle that has this "
            f"tangent. See {PAPER}.",
            0.5,
        ),
        Slip(
            "sine for tangent",
            lambda n: math.degrees(math.asin(n["run_mm"] / n["height_mm"])),
            "You used the key for the sine. Height and run are the two sides at the square corner, "
            f"and that wants the tangent: see {PAPER}.",
        ),
        Slip(
            "cosine for tangent",
            lambda n: math.degrees(math.acos(n["run_mm"] / n["height_mm"])),
            "You used the key for the cosine. The run is not measured against the length of the "
            f"wall but against the height: take the tangent. See {PAPER}.",
        ),
    ),
    close_points=1.0,
    right=(
        "Two lengths and a calculator: that is all it takes on the yard, and two people who "
        "measure so get the same angle."
    ),
    keep_going=(
        f"Not yet. First divide height by run, then find the angle. The same with other "
        f"numbers: see {PAPER}."
    ),
    stub="import math\n\nanswer_3 = ...",
    reference=(
        "import math\n\nn = task.numbers\n"
        "answer_3 = math.degrees(math.atan(n.height_mm / n.run_mm))"
    ),
)

heel_angle = Number(
    name="4",
    title="Let the library read the heel",
    text=(
        "Four points of a third foot are in your table: how far **forward** and how far **up** "
        "each lies, in millimetres. The points on the ground stand at 0 up. The coronary band at "
        "the heel lies behind the place you count from, so its number has a minus.\n\n"
        "Fill in two lines and let the library work out the **heel angle**:\n\n"
        "- `Profile(toe_ground=(forward, up), toe_coronet=(forward, up), heel_ground=(forward, "
        "up), heel_coronet=(forward, up))` is the foot; *coronet* means the coronary band there.\n"
        "- `foot.heel_angle_deg` is its heel angle.\n\n"
        "You may type the numbers, or write `task.numbers.toe_ground_forward_mm` and so on."
    ),
    points=2,
    ability="use a slider, check an answer and hand in an exercise",
    asked="the heel angle in degrees, from four points of a foot",
    truth=heel_of_points,
    near=Near(mark=0.01, working=0.02, reason="the library is exact; 1 % allows for rounding"),
    plausible=(0.3, 180),
    slips=(
        Slip(
            "toe for heel",
            toe_of_points,
            "That is the toe angle of this foot. The heel angle is asked for.",
            1.0,
        ),
        Slip(
            "gap for angle",
            lambda n: toe_of_points(n) - heel_of_points(n),
            "That is by how much the heel is flatter. The heel angle itself is asked for.",
            1.0,
        ),
        Slip(
            "minus lost",
            lambda n: heel_of_points(n, -1.0),
            "The minus of the coronary band at the heel is lost, so your heel leans forward. Put "
            "the number in as it stands in your table.",
            1.0,
        ),
        Slip(
            "front for back",
            lambda n: 180 - heel_of_points(n),
            f"That angle opens to the front. At the heel too it opens to the back: see {WHY}.",
            1.0,
        ),
        Slip(
            "upright for ground",
            lambda n: 90 - heel_of_points(n),
            f"That is the angle from the upright. Every angle opens from the ground: see {WHY}.",
            1.0,
        ),
        Slip(
            "radians",
            lambda n: math.radians(heel_of_points(n)),
            "You turned the degrees into radians. The library's angle is in degrees already: hand "
            "it over as it is.",
            1.0,
        ),
    ),
    close_points=1.0,
    right=(
        "Two lines, and no slip of the calculator. Lesson 03 shows where the four points come "
        "from: a photograph, set level and to scale."
    ),
    keep_going=(
        "Not yet. Check the four points one by one against your table: forward first, then up. "
        "The cell under 'Work it out' in lesson 00 does the same."
    ),
    stub=(
        "from hoofcalc.profile import Profile\n\n"
        "foot = ...  # Profile(toe_ground=(..., 0), ...)\n"
        "answer_4 = ...  # foot.heel_angle_deg"
    ),
    reference=(
        "from hoofcalc.profile import Profile\n\nn = task.numbers\n"
        "foot = Profile(\n"
        "    toe_ground=(n.toe_ground_forward_mm, 0),\n"
        "    toe_coronet=(n.toe_band_forward_mm, n.toe_band_up_mm),\n"
        "    heel_ground=(n.heel_ground_forward_mm, 0),\n"
        "    heel_coronet=(n.heel_band_forward_mm, n.heel_band_up_mm),\n)\n"
        "answer_4 = foot.heel_angle_deg"
    ),
)

in_words = Written(
    name="5",
    title="Tell it to the next learner",
    text=(
        "The yard's book says only *toe 39*. The week before it said *toe 51*. Nobody has touched "
        "the foot. Tell the next learner in two or three sentences what probably happened, and "
        "what should stand in the book beside every angle."
    ),
    points=1,
    ability="read an angle from the ground",
    scale=(
        "0.5: explains how one and the same wall can give both numbers, and says which of the two "
        "ways to read this course uses",
        "0.5: names at least two things that belong beside the number: from where it was read, "
        "date, horse and foot, who measured, level ground",
    ),
    stub="*Write your explanation here, in place of this line.*",
    reference=(
        "Somebody read 39 degrees from the upright. 39 and 51 make 90, so the foot has not "
        "changed: read from the ground it is 51 again. Beside every angle should stand the date, "
        "the horse and the foot, who measured, and that it was read from the ground."
    ),
    right="",
    keep_going="",
)


def moved(height: float, before: float, after: float) -> float:
    """How far further forward the toe meets the ground [mm]."""
    return height / math.tan(math.radians(after)) - height / math.tan(math.radians(before))


def _turned_round(height: float, before: float, after: float) -> float:
    return -moved(height, before, after)


def _only_after(height: float, _before: float, after: float) -> float:
    return height / math.tan(math.radians(after))


def _upside_down(height: float, before: float, after: float) -> float:
    return height * (math.tan(math.radians(after)) - math.tan(math.radians(before)))


def _radians(height: float, before: float, after: float) -> float:
    """The degrees handed to tan as they are."""
    return height / math.tan(after) - height / math.tan(before)


def _difference(height: float, before: float, after: float) -> float:
    """The run of the difference of the angles; nothing where they are equal."""
    turned = math.radians(before - after)
    return height * math.tan(turned)


toe_moved = Function(
    name="6",
    title="For those who like it: where does the toe go?",
    text=(
        "Write a small function `moved_forward(height_mm, before_deg, after_deg)`. The coronary "
        "band at the toe stays `height_mm` above the ground; the toe angle changes from "
        "`before_deg` to `after_deg`. The function gives how far **further forward** the toe "
        "meets the ground, in mm; below zero where it meets the ground further back.\n\n"
        "The lesson has the formula, under *Work it out*. Python's `math.tan` wants radians; "
        "`math.radians(before_deg)` turns degrees into radians."
    ),
    points=2,
    ability="name the parts of a foot from the side, from below and from the front",
    call="moved_forward",
    truth=moved,
    near=Near(mark=0.01, working=0.02, reason="the formula is exact; 1 % allows for rounding"),
    examples=((75.0, 55.0, 45.0), (60.0, 48.0, 53.0)),
    cases=(
        Case(
            "flatter",
            lambda n: (n["height_mm"] + 3.5, 57.5, 46.5),
            1.0,
            "Where the toe grows flatter your number is off. Work out the run before and the run "
            "after on paper, print both, and compare.",
        ),
        Case(
            "steeper",
            lambda n: (n["height_mm"] + 3.5, 44.5, 59.5),
            0.5,
            "Where the toe grows steeper it meets the ground further back: there the number is "
            "below zero. Which run is taken from which?",
        ),
        Case(
            "unchanged",
            lambda n: (n["height_mm"] + 3.5, 51.5, 51.5),
            0.5,
            "Where the angle stays, the toe stays: the function must give 0.",
        ),
    ),
    slips=(
        Slip(
            "turned round",
            _turned_round,
            "The sign is not right everywhere: take the run before from the run after, so that "
            "further back comes out below zero.",
        ),
        Slip(
            "only after",
            _only_after,
            "That is the run after. What is asked for is how much it differs from the run before.",
        ),
        Slip(
            "multiplied by the tangent",
            _upside_down,
            "The tangent stands on the wrong side: run is height divided by the tangent.",
        ),
        Slip(
            "degrees for radians",
            _radians,
            "The degrees went into math.tan as they are. Turn them into radians first.",
        ),
        Slip(
            "tangent of the difference",
            _difference,
            "You took the difference of the angles first. Work out both runs, then take the "
            "difference.",
        ),
    ),
    right=(
        "Three lines that tell what a few degrees do on the ground. The flatter the toe already "
        "is, the further each further degree takes it."
    ),
    keep_going=(
        "Three steps. The run before is height / tangent of the angle before; the run after is the "
        "same with the angle after; then the difference, after less before. Print what comes out "
        "of each."
    ),
    stub="import math\n\n\ndef moved_forward(height_mm, before_deg, after_deg):\n    return ...",
    reference=(
        "import math\n\n\ndef moved_forward(height_mm, before_deg, after_deg):\n"
        "    before = height_mm / math.tan(math.radians(before_deg))\n"
        "    after = height_mm / math.tan(math.radians(after_deg))\n"
        "    return after - before"
    ),
)

EXERCISE = Exercise(
    name="00-orientation",
    title="Exercise 00: Orientation",
    intro=(
        "It belongs to lesson 00, *orientation*. There are 10 points and about 30 minutes of work. "
        "It is your first one, so it is gentle: the first tasks want one number or two letters. "
        "The last is for those who want more; leave it if you like.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        'between the marks, like this: `my_id = "anna"`. Then run both cells (click into a cell, '
        "then Shift and Enter together) to see your numbers. Under each question is a cell for "
        "your answer: put it in place of the three dots and run the cell. The cell below looks at "
        "it and tells you at once where the slip is. Decimal numbers are written with a point: "
        "12.5. You may try as often as you like.\n\n"
        "All feet are invented. This is a model for learning, not for judging a horse: a lame, "
        "sore, hot, swollen, bleeding or suddenly changed foot is a matter for a veterinary "
        "surgeon."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save (Ctrl and S together), and hand in this file under your id."
    ),
    quantities=(
        Quantity("toe_deg", "question 1: toe angle", "degrees", TOES),
        Quantity("heel_deg", "question 1: heel angle", "degrees", HEELS),
        Quantity("part_number", "question 2: number of the part", "", (8, 9, 10, 11, 12)),
        Quantity("height_mm", "question 3: height at the toe", "mm", tuple(range(62, 91, 2))),
        Quantity("run_mm", "question 3: run at the toe", "mm", tuple(range(41, 76, 2))),
        Quantity(
            "toe_ground_forward_mm",
            "question 4: toe on the ground, forward",
            "mm",
            (108, 110, 112, 114, 116, 118, 120),
        ),
        Quantity(
            "toe_band_forward_mm",
            "question 4: coronary band at the toe, forward",
            "mm",
            (50, 52, 54, 56, 58, 60),
        ),
        Quantity(
            "toe_band_up_mm",
            "question 4: coronary band at the toe, up",
            "mm",
            (70, 72, 74, 76, 78),
        ),
        Quantity(
            "heel_ground_forward_mm", "question 4: heel on the ground, forward", "mm", (3, 4, 5, 6)
        ),
        Quantity(
            "heel_band_forward_mm",
            "question 4: coronary band at the heel, forward",
            "mm",
            (-34, -33, -32, -31, -30, -29, -28),
        ),
        Quantity(
            "heel_band_up_mm",
            "question 4: coronary band at the heel, up",
            "mm",
            (24, 25, 26, 27, 28, 29, 30, 31),
        ),
    ),
    questions=(gap, name_it, toe_angle, heel_angle, in_words, toe_moved),
    fits=clear,
)

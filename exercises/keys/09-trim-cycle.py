"""Key to exercise 09, trim cycle. For instructors: never hand this out.

The truths are worked out here from plain mechanics and not with the library, so that a fault of
the library cannot hide behind a fault of the key: the turn of the foot from two triangles, the
drift by small steps of its own. All feet, visits and rates are invented; growth is near 7 mm in 28
days.

Sources: growth, Josseck H., Zenker W., Geyer H., Equine Veterinary Journal 27 (1995) 175-182.
Error of a difference: root of the sum of the squares, any text on errors. Turn of the foot:
geometry. Drift: the course's own illustration, as lesson 09 states it; its loss tangent, Bonney C.,
Pang S., Meyers M.A., Jasiuk I., Acta Biomaterialia 184 (2024) 264-272.
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

#: Load on the heel and its section; horn's stiffness and loss tangent, and the swings a second at
#: which they were measured. As in the lesson.
FORCE_N_MM, FREE_SHARE, THICKNESS_MM = 5.0, 1 / 3, 5.5
MODULUS_MPA, LOSS_TANGENT, SWINGS_HZ = 410.0, 0.085, math.sqrt(10)
GROWTH = 0.25


def gain(n: Numbers, *, wear: float = 1.0, days: float = 7.0) -> float:
    """What the heel gains [mm]; `wear` is how many times it is taken away."""
    return (n["growth_mm_day"] - wear * n["wear_mm_day"]) * n["weeks"] * days


def turn(
    n: Numbers, *, wear: float = 1.0, days: float = 7.0, swap: bool = False, other: bool = False
) -> float:
    """How far the shod foot tips back [degrees], as a plain size."""
    toe, heel = math.radians(n["toe_deg"]), math.radians(n["heel_deg"])
    if swap:
        toe, heel = heel, toe
    down, ahead = (math.cos, math.sin) if other else (math.sin, math.cos)
    toe_gain, heel_gain = gain(n, wear=0.0, days=days), gain(n, wear=wear, days=days)
    rise = toe_gain * down(toe) - heel_gain * down(heel)
    length = n["ground_mm"] + toe_gain * ahead(toe) - heel_gain * ahead(heel)
    return math.degrees(math.atan(rise / length))


def heel_drift(n: Numbers, *, days: float = 7.0, wear: bool = True, new_horn: bool = True) -> float:
    """How far the low heel drifts [degrees], by the midpoint rule in small steps."""
    angle, length = n["low_heel_deg"], n["low_length_mm"]
    band = n["new_horn_deg"] if new_horn else angle
    gains = GROWTH - (n["low_wear_mm_day"] if wear else 0.0)
    steps = 200
    step = n["low_weeks"] * days / steps

    def rate(angle: float, length: float) -> float:
        across, free = FORCE_N_MM * math.cos(math.radians(angle)), FREE_SHARE * length
        bent = math.degrees(across * free**2 / (MODULUS_MPA * THICKNESS_MM**3 / 4))
        radians = 2 * math.pi * SWINGS_HZ * 86_400 * length / GROWTH
        crept = radians ** (2 / math.pi * math.atan(LOSS_TANGENT)) - 1
        return GROWTH / length * (band - bent * crept - angle)

    for _ in range(steps):
        middle = angle + rate(angle, length) * step / 2
        angle += rate(middle, length + gains * step / 2) * step
        length += gains * step
    return angle - n["low_heel_deg"]


def foot_with(n: Numbers, worth: str) -> str:
    """The foot whose fall is largest, whose error is smallest, or whose fall is surest."""

    def size(letter: str) -> float:
        fall, error = n[f"foot_{letter.lower()}_fall_deg"], n[f"foot_{letter.lower()}_error_deg"]
        return {"fall": fall, "error": -error, "sure": fall / error}[worth]

    return max("ABC", key=size)


def clear(n: Numbers) -> bool:
    """No set of numbers that gives a question away or makes it a matter of rounding."""
    if len({foot_with(n, worth) for worth in ("fall", "error", "sure")}) < 3:
        return False
    for size in ("fall", "error"):  # no ties
        if len({n[f"foot_{letter}_{size}_deg"] for letter in "abc"}) < 3:
            return False
    ratio = {x: n[f"foot_{x}_fall_deg"] / n[f"foot_{x}_error_deg"] for x in "abc"}
    largest = foot_with(n, "fall").lower()
    surest = foot_with(n, "sure").lower()
    # one fall is real; the largest is more than twice one error and yet is not
    if ratio[surest] < 3.3 or not 2.1 < ratio[largest] < 2.6:
        return False
    if ratio[foot_with(n, "error").lower()] > 2.6:
        return False
    # a gain of few digits could be met by chance in the text
    odd = round(1000 * gain(n)) % 10 != 0
    return odd and 0.6 < abs(heel_drift(n)) < 5 and 1.2 < turn(n) < 5


GROW = "lesson 09, 'Growth and wear: plain geometry'"
PAPER = "lesson 09, 'Worked example, on paper'"
DRIFT = "lesson 09, 'Drift: an illustration'"
TWO = "lesson 09, 'Compare two visits'"

heel_gain = Number(
    name="1",
    title="What the heel gains",
    text=(
        "A shod foot goes so many weeks from one trim to the next. Its horn grows and its heel "
        "wears on the shoe, both in millimetres **a day**. All three numbers are in your table.\n\n"
        "How much longer is the **heel wall** at the next visit, in mm?\n\n"
        "Put your number in place of the three dots."
    ),
    points=1,
    ability="predict the angles of toe and heel from growth, wear and trim",
    asked="how many millimetres longer a heel wall is after some weeks",
    truth=gain,
    near=Near(mark=0.01, working=0.02, reason="one multiplication; 1 % allows for rounding"),
    plausible=(-100, 200),
    slips=(
        Slip(
            "weeks for days",
            lambda n: gain(n, days=1.0),
            "The weeks went in as days. The rates are for each day, and a week has seven.",
            0.5,
        ),
        Slip(
            "wear forgotten",
            lambda n: gain(n, wear=0.0),
            f"That is growth alone. The heel wears as well: see {GROW}.",
            0.5,
        ),
        Slip(
            "wear added",
            lambda n: gain(n, wear=-1.0),
            "You added the wear. Wear takes horn away.",
        ),
        Slip(
            "wear alone",
            lambda n: n["wear_mm_day"] * n["weeks"] * 7,
            "That is what the shoe has rubbed off. What is left of the growth is asked for.",
        ),
        Slip(
            "a month for a day",
            lambda n: gain(n) / 28,
            "You took the rates for millimetres a month. They are for each day.",
        ),
        Slip(
            "sign",
            lambda n: -gain(n),
            "The size is right, the sign is not: this heel grows more than it wears.",
            0.5,
        ),
    ),
    right=(
        "Growth less wear, times days. Find both for your own horses: a line rasped under the "
        "hairline, measured at each visit, tells the growth."
    ),
    keep_going=f"Not yet. First growth less wear, then the weeks in days. See {GROW}.",
    stub="answer_1 = ...",
    reference=("n = task.numbers\nanswer_1 = (n.growth_mm_day - n.wear_mm_day) * n.weeks * 7"),
)

toe_turn = Number(
    name="2",
    title="The toe angle at the next visit",
    text=(
        "The same foot. Its toe does not wear: the shoe protects it. Toe angle, heel angle and the "
        "length of ground between toe and heel, just trimmed, are in your table.\n\n"
        "By how many degrees does the **toe angle change** until the next visit, by growth and "
        "wear alone? Minus if it falls, plus if it rises.\n\n"
        "> down = gain × sine of the angle, forward = gain × cosine\n>\n"
        "> tangent of the turn = (toe down − heel down) / (ground + toe forward − heel forward)\n\n"
        "On paper, with a calculator, or here: `math.sin(math.radians(52))` is the sine of 52 "
        "degrees, `math.degrees(math.atan(x))` the angle whose tangent is x. Two digits behind the "
        "point are enough."
    ),
    points=2,
    ability="predict the angles of toe and heel from growth, wear and trim",
    asked="by how many degrees the toe angle changes, with its sign",
    truth=lambda n: -turn(n),
    near=Near(mark=0.015, working=0.03, reason="several steps, each of which may be rounded"),
    plausible=(-90, 90),
    slips=(
        Slip(
            "sign",
            turn,
            "The size is right, the sign is not. The toe gains more than the heel: which way does "
            "the foot tip?",
            1.0,
        ),
        Slip(
            "weeks for days",
            lambda n: -turn(n, days=1.0),
            "The weeks went in as days. The rates are for each day, and a week has seven.",
            1.0,
        ),
        Slip(
            "wear forgotten",
            lambda n: -turn(n, wear=0.0),
            "You let the heel gain as much as the toe. It wears on the shoe.",
            0.5,
        ),
        Slip(
            "wear added",
            lambda n: -turn(n, wear=-1.0),
            "You added the wear at the heel. Wear takes horn away.",
            0.5,
        ),
        Slip(
            "toe for heel",
            lambda n: -turn(n, swap=True),
            "Toe angle and heel angle have changed places.",
            0.5,
        ),
        Slip(
            "sine for cosine",
            lambda n: -turn(n, other=True),
            "Sine and cosine have changed places: down takes the sine, forward the cosine.",
            0.5,
        ),
        Slip(
            "ratio or radians for degrees",
            lambda n: -math.radians(turn(n)),
            "That is the plain ratio, or the angle in radians. Degrees are asked for.",
            1.0,
        ),
        Slip(
            "per cent for degrees",
            lambda n: -100 * math.tan(math.radians(turn(n))),
            "That is the ratio in per cent. Per cent are not degrees: take the angle.",
            1.0,
        ),
        Slip(
            "the angle after",
            lambda n: n["toe_deg"] - turn(n),
            "That is the toe angle at the next visit. The change is asked for, with its sign.",
            1.0,
        ),
    ),
    close_points=1.0,
    right=(
        "All of that without any horn bending. Published: about 3.5 degrees in eight weeks shod. "
        "Ask for growth, wear and weeks before you call a toe weak."
    ),
    keep_going=(
        "Not yet. Go step by step: both gains, both ways down, both ways forward, then the "
        f"tangent. The same with other numbers: see {PAPER}."
    ),
    stub="import math\n\nanswer_2 = ...",
    reference=(
        "import math\n\nn = task.numbers\ndays = n.weeks * 7\n"
        "toe_gain = n.growth_mm_day * days\n"
        "heel_gain = (n.growth_mm_day - n.wear_mm_day) * days\n"
        "toe, heel = math.radians(n.toe_deg), math.radians(n.heel_deg)\n"
        "down = toe_gain * math.sin(toe) - heel_gain * math.sin(heel)\n"
        "ground = n.ground_mm + toe_gain * math.cos(toe) - heel_gain * math.cos(heel)\n"
        "answer_2 = -math.degrees(math.atan(down / ground))"
    ),
)

three_feet = Choice(
    name="3",
    title="Which heel has really changed?",
    text=(
        "Three feet, A, B and C, each photographed at two visits. Your table gives for each by how "
        "much the heel angle **fell** between the two, and the **standard error** of each reading "
        "(both readings of a foot have the same; the photographs were not equally good).\n\n"
        "One of the three falls is real. Which? Write the letter of the foot and the letter of the "
        "reason, each between quotation marks."
    ),
    points=2,
    ability="compare two visits honestly",
    options={"A": "foot A", "B": "foot B", "C": "foot C"},
    reasons={
        "P": "because its fall is the largest",
        "Q": "because its readings have the smallest error",
        "R": "because its fall is more than twice the error of a difference",
        "S": "because its fall is more than twice the error of a reading",
    },
    truth=lambda n: foot_with(n, "sure"),
    right_reason="R",
    choice_points=1,
    slips=(
        Slip(
            "the largest",
            lambda n: foot_with(n, "fall"),
            "You took the largest fall. Its readings are poor as well: is it more than twice the "
            f"error of a difference of two such readings? See {TWO}.",
        ),
        Slip(
            "the smallest error",
            lambda n: foot_with(n, "error"),
            "You took the best readings. Good readings of a small fall still do not make it real: "
            f"compare the fall with the error. See {TWO}.",
        ),
    ),
    reason_messages={
        "P": "Another fall is larger, and yet it is within its error. What else counts?",
        "Q": "Another foot was read better, and its fall is within its error. What else counts?",
        "S": "By that test another foot would count too. Two readings miss, not one.",
    },
    right=(
        "A difference is judged against its own error, and that has both readings in it. So write "
        "the error down with the angle."
    ),
    keep_going=(
        "Not yet. For each foot work out the error of the difference, twice that, and compare it "
        "with the fall."
    ),
    stub='answer_3 = ""  # A, B or C\nreason_3 = ""  # P, Q, R or S',
    reference=(
        "n = task.numbers\nsure = {\n"
        '    "A": n.foot_a_fall_deg / n.foot_a_error_deg,\n'
        '    "B": n.foot_b_fall_deg / n.foot_b_error_deg,\n'
        '    "C": n.foot_c_fall_deg / n.foot_c_error_deg,\n}\n'
        'answer_3 = max(sure, key=sure.get)  # real from 2 times the root of 2\nreason_3 = "R"'
    ),
)

low_drift = Number(
    name="4",
    title="The drift of a low heel",
    text=(
        "Another foot has a low heel, just trimmed. Your table gives its angle, the length of its "
        "wall, its wear, the angle of the youngest horn under the hairline (the **band angle**), "
        "and the weeks to the next visit.\n\n"
        "Let the library work out by how many degrees the heel **drifts** until then: minus if it "
        "gets flatter. Fill in three lines:\n\n"
        "- `cycle.HeelLaw(band_angle_deg, wear_mm_day=...)` is the law of this heel.\n"
        "- `cycle.drift(heel_angle_deg, heel_length_mm, days, law)` knows its `heel_angle_deg` "
        "at the end.\n"
        "- The change is the angle at the end less the angle at the start."
    ),
    points=1,
    ability="predict the angles of toe and heel from growth, wear and trim",
    asked="by how many degrees the heel drifts, with its sign",
    truth=heel_drift,
    near=Near(mark=0.01, working=0.02, reason="the library is exact; 1 % allows for rounding"),
    plausible=(-90, 90),
    slips=(
        Slip(
            "weeks for days",
            lambda n: heel_drift(n, days=1.0),
            "The weeks went in as days. The library wants days.",
            0.5,
        ),
        Slip(
            "new horn forgotten",
            lambda n: heel_drift(n, new_horn=False),
            "You gave the law the heel's own angle. It wants the band angle: that of the youngest "
            f"horn. See {DRIFT}.",
            0.5,
        ),
        Slip(
            "wear forgotten",
            lambda n: heel_drift(n, wear=False),
            "The wear is missing in the law. Without it the heel gets longer than it does.",
            0.5,
        ),
        Slip(
            "sign",
            lambda n: -heel_drift(n),
            "The size is right, the sign is not: the end less the start.",
            0.5,
        ),
        Slip(
            "the angle after",
            lambda n: n["low_heel_deg"] + heel_drift(n),
            "That is the angle at the end. The change is asked for: take the start away.",
            0.5,
        ),
    ),
    right=(
        "An illustration: with creep four times stronger or weaker it would come out quite "
        "differently. Say it with its band, or not at all."
    ),
    keep_going=f"Not yet. First the law, then drift with the time in days. See {DRIFT}.",
    stub=(
        "from hoofcalc import cycle\n\n"
        "law = ...  # cycle.HeelLaw(...)\n"
        "after = ...  # cycle.drift(...)\n"
        "answer_4 = ..."
    ),
    reference=(
        "from hoofcalc import cycle\n\nn = task.numbers\n"
        "law = cycle.HeelLaw(n.new_horn_deg, wear_mm_day=n.low_wear_mm_day)\n"
        "after = cycle.drift(n.low_heel_deg, n.low_length_mm, n.low_weeks * 7, law)\n"
        "answer_4 = after.heel_angle_deg - n.low_heel_deg"
    ),
)

in_words = Written(
    name="5",
    title="Plan an interval",
    text=(
        "An owner wants to stretch a shod horse with a low heel from six weeks to ten, to save "
        "money. The toe fell by 3 degrees in the last six weeks, and he has heard that the horn is "
        "weak. Write three to five sentences to him. Use the words **growth**, **wear** and "
        "**interval**, say how sure you are, and say what you will look at or measure next time."
    ),
    points=2,
    ability="plan an interval and say what it costs the angles",
    scale=(
        "half a point: most of the toe's fall is growth and wear, not weak horn",
        "half a point: a longer interval lets both angles fall further and leaves a longer heel, "
        "which is bent more",
        "half a point: says how sure: the geometry is well known, the drift is an illustration or "
        "has a wide band",
        "half a point: names something to look at or measure: new horn under the hairline, wear, "
        "both angles before and after the trim, with weeks and error",
    ),
    stub="*Write your letter here, in place of this line.*",
    reference=(
        "The toe fell mostly because growth lengthened it while wear on the shoe shortened the "
        "heel; nothing says that the horn is weak. With an interval of ten weeks both angles fall "
        "further by about two thirds, and that is sure. The long low heel is bent more and may "
        "turn flatter by itself; how much, nobody knows well. I would stay at six weeks, look at "
        "the new horn under the hairline and measure before and after each trim."
    ),
    right="",
    keep_going="",
)


def counted(first: float, error_first: float, second: float, error_second: float) -> float:
    """The change if it is more than twice its error, otherwise nothing [degrees]."""
    return _counted(second - first, 2 * math.hypot(error_first, error_second))


def _counted(change: float, limit: float) -> float:
    return change if abs(change) > limit else 0.0


def _case(n: Numbers, start: float, times: float) -> tuple[float, float, float, float]:
    """Two readings that differ by so many times the error of their difference."""
    one = 2.1137 + 0.0171 * (n["toe_deg"] - 48)
    two = 2.0419 + 0.0233 * n["weeks"]
    return (start, round(one, 4), round(start + times * math.hypot(one, two), 3), round(two, 4))


real_change = Function(
    name="6",
    title="For those who like it: what counts",
    text=(
        "Write a small function `real_change(first_deg, error_first_deg, second_deg, "
        "error_second_deg)` that gives the change from the first reading to the second in degrees "
        "if it is real, and 0 if it is not. A change is minus if the angle has fallen. What *real* "
        "means stands in the lesson, under *Work it out*.\n\n"
        "`abs(x)` is the size of x without its sign, `math.sqrt(x)` the root."
    ),
    points=2,
    ability="compare two visits honestly",
    call="real_change",
    truth=counted,
    near=Near(mark=0.01, working=0.02, reason="a difference of two readings; 1 % for rounding"),
    examples=(
        (45, 2, 43, 2),
        (40, 2, 43.5, 2),
        (44, 2, 39, 2),
        (40, 0.5, 41.7, 0.5),
        (30, 3, 44, 3),
        (44, 1.5, 39, 1.5),
    ),
    cases=(
        Case(
            "a clear rise",
            lambda n: _case(n, 31.0, 5.5),
            0.25,
            "A clear rise comes out wrong. Look at the sign of the change, and at the root.",
        ),
        Case(
            "just real",
            lambda n: _case(n, 35.0, 2.2),
            0.5,
            "A change that is just real is given as 0. How do two errors add?",
        ),
        Case(
            "a clear fall",
            lambda n: _case(n, 47.0, -5.5),
            0.5,
            "A rise is right, a clear fall comes out wrong. Compare its size, without the sign.",
        ),
        Case(
            "next to nothing",
            lambda n: _case(n, 38.0, 0.6),
            0.25,
            "A change that is less than its error is not real. What must it exceed?",
        ),
        Case(
            "hardly more than the error",
            lambda n: _case(n, 42.0, 1.2),
            0.25,
            "A change that is hardly more than its error is not real. How many times its error "
            "must it exceed?",
        ),
        Case(
            "just not real",
            lambda n: _case(n, 51.0, -1.8),
            0.25,
            "A change that is not quite real is given as one. How many readings miss?",
        ),
    ),
    slips=(
        Slip(
            "falls never count",
            lambda a, e, b, f: _counted(b - a, 2 * math.hypot(e, f)) if b > a else 0.0,
            "A fall never counts in yours. Compare its size, without the sign: abs does it.",
        ),
        Slip(
            "twice one error",
            lambda a, e, b, f: _counted(b - a, 2 * max(e, f)),
            "You took twice the error of one reading. Two readings miss.",
        ),
        Slip(
            "errors added",
            lambda a, e, b, f: _counted(b - a, 2 * (e + f)),
            "You added the two errors. They seldom go the same way: add the squares, then the "
            "root.",
        ),
        Slip(
            "not doubled",
            lambda a, e, b, f: _counted(b - a, math.hypot(e, f)),
            "One time in three, chance alone goes beyond the error. Take twice.",
        ),
        Slip(
            "no root",
            lambda a, e, b, f: _counted(b - a, 2 * (e**2 + f**2)),
            "The squares are added and the root is missing.",
        ),
        Slip(
            "size alone",
            lambda a, e, b, f: abs(_counted(b - a, 2 * math.hypot(e, f))),
            "You give back the size. A fall is minus: the size is for the comparison only.",
        ),
        Slip(
            "sign",
            lambda a, e, b, f: _counted(a - b, 2 * math.hypot(e, f)),
            "The sign is the wrong way round: second less first, so a fall is minus.",
        ),
        Slip(
            "everything counts",
            lambda a, _e, b, _f: b - a,
            "Every difference counts in yours. One that is not real must give 0.",
        ),
    ),
    right=(
        "Three lines that save many a quarrel: put any two visits in, and most small changes at "
        "the heel turn out to be nothing."
    ),
    keep_going=(
        "Three steps. The change is second − first. The error of the difference is √( (first "
        "error)² + (second error)² ). The change is real if its size is more than twice that "
        "error. Print what comes out of each."
    ),
    stub=(
        "import math\n\n\n"
        "def real_change(first_deg, error_first_deg, second_deg, error_second_deg):\n    return ..."
    ),
    reference=(
        "import math\n\n\n"
        "def real_change(first_deg, error_first_deg, second_deg, error_second_deg):\n"
        "    change = second_deg - first_deg\n"
        "    error = math.sqrt(error_first_deg**2 + error_second_deg**2)\n"
        "    if abs(change) > 2 * error:\n"
        "        return change\n"
        "    return 0"
    ),
)

EXERCISE = Exercise(
    name="09-trim-cycle",
    title="Exercise 09: Trim cycle",
    intro=(
        "It belongs to lesson 09, *trim cycle*. There are 10 points and about 40 minutes of work. "
        "Begin at the top; the last question is for those who want more.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "All feet, visits and rates are invented. This is a model for learning, not for judging a "
        "horse: a lame, sore, hot, swollen, bleeding or suddenly changed foot is a matter for a "
        "veterinary surgeon, and who may trim or shoe is a matter of local law."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity("weeks", "shod foot: time to the next visit", "weeks", (5, 6, 7, 8, 9)),
        Quantity(
            "growth_mm_day",
            "shod foot: growth",
            "mm a day",
            (0.223, 0.231, 0.238, 0.257, 0.264, 0.279),
        ),
        Quantity(
            "wear_mm_day", "shod foot: heel wear", "mm a day", (0.072, 0.083, 0.094, 0.109, 0.118)
        ),
        Quantity("toe_deg", "shod foot: toe angle", "degrees", (49, 50, 51, 53, 54, 55)),
        Quantity("heel_deg", "shod foot: heel angle", "degrees", (32, 34, 36, 37, 39, 41)),
        Quantity("ground_mm", "shod foot: ground, toe to heel", "mm", (106, 109, 112, 116, 119)),
        *(
            quantity
            for letter in "abc"
            for quantity in (
                Quantity(
                    f"foot_{letter}_fall_deg",
                    f"foot {letter.upper()}: fall of the heel angle",
                    "degrees",
                    (1.5, 2, 4.5, 5, 6, 6.5),
                ),
                Quantity(
                    f"foot_{letter}_error_deg",
                    f"foot {letter.upper()}: standard error of each reading",
                    "degrees",
                    (0.8, 0.9, 1.2, 1.3, 2.6, 2.8),
                ),
            )
        ),
        Quantity("low_heel_deg", "low heel: angle", "degrees", (28, 30, 31, 33, 35)),
        Quantity("low_length_mm", "low heel: length", "mm", (34, 36, 38, 41, 43)),
        Quantity("low_wear_mm_day", "low heel: wear", "mm a day", (0.08, 0.1, 0.12, 0.14)),
        Quantity("new_horn_deg", "low heel: band angle", "degrees", (25, 26, 27, 44, 46, 48, 50)),
        Quantity("low_weeks", "low heel: time to the next visit", "weeks", (6, 7, 8, 9, 10)),
    ),
    fits=clear,
    questions=(heel_gain, toe_turn, three_feet, low_drift, in_words, real_change),
)

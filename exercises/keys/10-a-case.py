"""Key to exercise 10, a case. For instructors: never hand this out.

The truths are worked out here from plain mechanics and not with the library, so that a fault of
the library cannot hide behind a fault of the key; only the invented feet are read from its data.

Sources: greatest push from the duty factor, Alexander R.McN. and others, Journal of Zoology 189
(1979) 135-144. Obliquity and the turn of a growing foot: geometry. Error of a difference: root of
the sum of the squares, any text on errors.
"""

from __future__ import annotations

import math

from hoofcalc import datasets
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

GRAVITY, FRONT_PAIR, GROWTH = 9.81, 0.57, 0.25
Point = tuple[float, float]


def marks(visit: int, moment: str) -> dict[str, Point]:
    """The four points of Sallowby's right fore at a visit [mm]."""
    record = datasets.foot("Sallowby", "right fore", visit, moment)
    return {
        f"{end}_{place}": tuple(map(float, record.landmarks[f"{end}_{place}"]))  # type: ignore[misc]
        for end in ("toe", "heel")
        for place in ("ground", "coronet")
    }


def wall_deg(foot: dict[str, Point], end: str) -> float:
    """Angle between a wall and the line from heel to toe, opened to the back [degrees]."""
    (x, z), (u, w) = foot[f"{end}_ground"], foot[f"{end}_coronet"]
    (a, b), (c, d) = foot["heel_ground"], foot["toe_ground"]
    wall, ground = math.atan2(w - z, x - u), math.atan2(d - b, c - a)
    return math.degrees(wall + ground)


BEFORE_TRIM, TRIMMED = marks(4, "before trim"), marks(4, "after trim")


def push(n: Numbers, *, pair: float = FRONT_PAIR, gravity: float = GRAVITY) -> float:
    """Greatest push on one foot [N]."""
    return math.pi * pair * n["mass_kg"] * gravity / (4 * n["duty_factor"])


def fall(n: Numbers) -> float:
    """Change of the left heel from June to September, over the error of one reading."""
    return (n["september_deg"] - n["june_deg"]) / n["reading_error_deg"]


def way(n: Numbers, *, other: bool = False) -> str:
    """The letter of the direction in which the heel reads, or of the other."""
    return "A" if (fall(n) < 0) is not other else "B"


def letter(n: Numbers) -> str:
    return way(n) if abs(fall(n)) > 2 * math.sqrt(2) else "C"


def toe_then(
    n: Numbers, *, days: float = 7.0, wear: float = 1.0, end: str = "toe", trimmed: bool = True
) -> float:
    """An angle at the next visit, by growth and wear alone [degrees]."""
    foot = TRIMMED if trimmed else BEFORE_TRIM
    toe, heel = (wall_deg(foot, one) for one in ("toe", "heel"))
    gone = n["weeks"] * days
    toe_gain, heel_gain = GROWTH * gone, (GROWTH - wear * n["wear_mm_day"]) * gone
    across = math.dist(foot["heel_ground"], foot["toe_ground"])
    a, b = math.radians(toe), math.radians(heel)
    down = toe_gain * math.sin(a) - heel_gain * math.sin(b)
    ahead = across + toe_gain * math.cos(a) - heel_gain * math.cos(b)
    return (toe if end == "toe" else heel) - math.degrees(math.atan(down / ahead))


def clear(n: Numbers) -> bool:
    """No set of numbers in which two slips, or a slip and the truth, come too close."""
    obliquity = 90 - n["heel_deg"] + n["push_off_deg"]
    others = (
        90 - n["toe_deg"] + n["push_off_deg"],
        90 - n["heel_deg"] - n["braking_deg"],
        90 - n["heel_deg"] - n["push_off_deg"],
        90 - n["heel_deg"],
        n["heel_deg"] + n["push_off_deg"],
        n["heel_deg"] - n["push_off_deg"],
    )
    values = (obliquity, *others)
    # real beyond doubt, or more than twice one error and yet not real
    if not (2.1 < abs(fall(n)) < 2.6 or abs(fall(n)) > 3.2):
        return False
    return all(abs(a - b) > 0.9 for i, a in enumerate(values) for b in values[:i])


FORCE = "lesson 10, 'Ground force (lesson 02)'"
PAPER = "lesson 10, 'The formula, and the whole chain on paper'"
BEFORE = "lesson 10, 'Now against before (lesson 09)'"
NEXT = "lesson 10, 'The next visit (lesson 09)'"

greatest_push = Number(
    name="1",
    title="The greatest push",
    text=(
        "Sallowby trots past the camera on the day of the visit. Its mass by the tape and the duty "
        "factor from the film are in your table. The front pair carries 0.57 of the weight.\n\n"
        "How large is the **greatest push of the ground on one front foot**, in newtons? On paper, "
        "or with `ground_force.peak_vertical_n` as in the lesson.\n\n"
        "Put your number in place of the three dots."
    ),
    points=1,
    ability="work a case step by step",
    asked="the greatest push on one front foot at trot, in newton",
    truth=push,
    near=Near(mark=0.02, working=0.02, reason="one formula; 2 % allow for g = 10 and rounding"),
    plausible=(0, 100_000),
    slips=(
        Slip(
            "pair for limb",
            lambda n: 2 * push(n),
            "That is the push on both front feet together. One foot is asked for.",
            0.5,
        ),
        Slip(
            "kg for N",
            lambda n: push(n, gravity=1.0),
            "The mass went in as a weight. Newtons are asked for: kilograms times 9.81.",
            0.5,
        ),
        Slip(
            "hind for fore",
            lambda n: push(n, pair=1 - FRONT_PAIR),
            "That is a hind foot. The front pair's share is asked for.",
            0.5,
        ),
        Slip(
            "share forgotten",
            lambda n: push(n, pair=1.0),
            "The front pair does not carry the whole weight: its share is missing.",
            0.5,
        ),
        Slip(
            "times for by",
            lambda n: push(n) * n["duty_factor"] ** 2,
            "You multiplied by the duty factor. A shorter stance means a greater push: divide.",
        ),
    ),
    right=(
        "Right. It is good to 5 to 8 % at trot, so write it with two digits, and keep it off the "
        "owner's page."
    ),
    keep_going=f"Not yet. Weight first, then its share, then the duty factor. See {FORCE}.",
    stub="answer_1 = ...",
    reference=(
        "from hoofcalc import ground_force\n\nn = task.numbers\n"
        "answer_1 = ground_force.peak_vertical_n(n.mass_kg, n.duty_factor, 0.57)"
    ),
)

meets = Number(
    name="2",
    title="How the push meets the heel",
    text=(
        "Your table gives the angles of toe and heel of a foot, and how far the push leans: "
        "**back** while the foot brakes, **forward** while it pushes off. Both leans are given as "
        "plain sizes, without a sign.\n\n"
        "At what angle does the push meet the **tubules of the heel** while the foot **pushes "
        "off**, in degrees? Take the foot from the side, as on paper."
    ),
    points=2,
    ability="work a case step by step",
    asked="the angle between push and heel tubules while pushing off, in degrees",
    truth=lambda n: 90 - n["heel_deg"] + n["push_off_deg"],
    near=Near(mark=0.002, working=0.004, reason="two sums of numbers with one decimal: 0.1 degree"),
    plausible=(-180, 180),
    slips=(
        Slip(
            "toe for heel",
            lambda n: 90 - n["toe_deg"] + n["push_off_deg"],
            "You took the toe. The heel is asked for.",
            1.0,
        ),
        Slip(
            "braking for push-off",
            lambda n: 90 - n["heel_deg"] - n["braking_deg"],
            "That is braking. While the foot pushes off, the push leans the other way.",
            1.0,
        ),
        Slip(
            "minus for plus",
            lambda n: 90 - n["heel_deg"] - n["push_off_deg"],
            "The sign of the tilt: a push that leans forward has a tilt below 0, and it is taken "
            "away. What does taking away a minus do?",
            1.0,
        ),
        Slip(
            "tilt forgotten",
            lambda n: 90 - n["heel_deg"],
            "That is a push straight up. While the foot pushes off, it leans.",
            1.0,
        ),
        Slip(
            "from the ground",
            lambda n: n["heel_deg"] + n["push_off_deg"],
            "You counted from the ground. An upright push stands at 90 degrees to it.",
        ),
        Slip(
            "from the ground, other sign",
            lambda n: n["heel_deg"] - n["push_off_deg"],
            "You counted from the ground. An upright push stands at 90 degrees to it.",
        ),
    ),
    right=(
        "Right: a heel is met most across while the foot pushes off, though the push is smaller "
        "then than in the middle of the stance."
    ),
    keep_going=f"Not yet. 90 less the wall angle less the tilt, with its sign. See {PAPER}.",
    stub="answer_2 = ...",
    reference="n = task.numbers\nanswer_2 = 90 - n.heel_deg - (-n.push_off_deg)",
)

next_visit = Number(
    name="3",
    title="The toe at the next visit",
    text=(
        "Sallowby's right fore was trimmed at its visit 4 (22 September). Let the library work out "
        "its **toe angle at the next visit** by growth and wear alone, in degrees. Weeks and heel "
        "wear are in your table; the toe is shod and does not wear. Fill in three lines:\n\n"
        '- `datasets.foot("Sallowby", "right fore", 4, "after trim")` is the record, and '
        "`Profile(**record.landmarks)` its foot.\n"
        "- `cycle.grow(foot, days, heel_wear_mm_day=...)` is that foot some days later.\n"
        "- It knows its `toe_angle_deg`."
    ),
    points=1,
    ability="work a case step by step",
    asked="the toe angle at the next visit, in degrees",
    truth=toe_then,
    near=Near(mark=0.002, working=0.004, reason="the library is exact; one decimal is enough"),
    plausible=(0, 90),
    slips=(
        Slip(
            "weeks for days",
            lambda n: toe_then(n, days=1.0),
            "The weeks went in as days. The library wants days.",
            0.5,
        ),
        Slip(
            "toe for heel",
            lambda n: toe_then(n, end="heel"),
            "That is the heel. The toe is asked for.",
            0.5,
        ),
        Slip(
            "before for after the trim",
            lambda n: toe_then(n, trimmed=False),
            "You began before the trim. The next visit follows on the trimmed foot.",
            0.5,
        ),
        Slip(
            "wear forgotten",
            lambda n: toe_then(n, wear=0.0),
            "The heel's wear is missing. It is what tips a shod foot back.",
            0.5,
        ),
        Slip(
            "nothing grown",
            lambda _n: wall_deg(TRIMMED, "toe"),
            "That is the toe just trimmed. Let it grow until the next visit.",
        ),
    ),
    right="Right. For the owner say it with a band, not to a tenth.",
    keep_going=f"Not yet. First the record after the trim, then grow with days. See {NEXT}.",
    stub=(
        "from hoofcalc import cycle, datasets\nfrom hoofcalc.profile import Profile\n\n"
        "answer_3 = ..."
    ),
    reference=(
        "from hoofcalc import cycle, datasets\nfrom hoofcalc.profile import Profile\n\n"
        'n = task.numbers\nrecord = datasets.foot("Sallowby", "right fore", 4, "after trim")\n'
        "foot = Profile(**record.landmarks)\n"
        "answer_3 = cycle.grow(\n    foot, n.weeks * 7, heel_wear_mm_day=n.wear_mm_day\n"
        ").toe_angle_deg"
    ),
)

really = Choice(
    name="4",
    title="Has this heel changed?",
    text=(
        "Sallowby's other foot, the left fore, before the trim, in June and in September, each "
        "seven weeks after the trim before: like with like. Both readings of its **heel angle** "
        "are in your table, and the standard error of each reading (the same for both).\n\n"
        "What can you say of this heel from June to September? Write two letters, each between "
        "quotation marks."
    ),
    points=2,
    ability="say which of its numbers carry weight",
    options={
        "A": "it has become flatter, and that is a real change",
        "B": "it has become steeper, and that is a real change",
        "C": "two such photographs cannot show whether it has changed",
    },
    reasons={
        "P": "because I compared its size with twice the error of one reading",
        "Q": "because I compared its size with twice the error of the difference",
        "R": "because the rule of five degrees is met at both visits",
        "S": "because it reads differently, whatever the error",
    },
    truth=letter,
    right_reason="Q",
    choice_points=1,
    slips=(
        Slip(
            "the wrong way",
            lambda n: way(n, other=True),
            "Earlier less later? A change is the later reading less the earlier: minus means "
            "flatter.",
        ),
        Slip(
            "the wrong side of the error",
            lambda n: way(n) if letter(n) == "C" else "C",
            "Compare once more: how large is the change, and from how many degrees on does one "
            f"count with this error? Two readings miss, and their squares add. See {BEFORE}.",
        ),
    ),
    reason_messages={
        "P": "One reading? Two photographs miss, not one. With the root of 2 the limit is higher.",
        "R": "The rule of five degrees asks about toe and heel on one day, not about a change.",
        "S": "Every two readings differ. From where on does a difference count?",
    },
    right=(
        "Right, for these readings. With better or poorer photographs the same change may mean "
        "the opposite: that is why the error stands beside the angle."
    ),
    keep_going=(
        "Not yet. Both heel angles, later less earlier; then twice the root of the sum of the "
        f"squares of both errors. See {BEFORE}."
    ),
    stub='answer_4 = ""  # A, B or C\nreason_4 = ""  # P, Q, R or S',
    reference=(
        "n = task.numbers\nchange = n.september_deg - n.june_deg\n"
        "shows = 2 * (2 * n.reading_error_deg**2) ** 0.5\n"
        'answer_4 = "C"\nif abs(change) > shows:\n'
        '    answer_4 = "A" if change < 0 else "B"\nreason_4 = "Q"'
    ),
)

to_the_owner = Written(
    name="5",
    title="To the owner",
    text=(
        "Sallowby is 22 years old and goes on light hacks. Its right fore before the trim, seven "
        "weeks after the last: heel 33.6 degrees in June, 30.0 in September; a difference counts "
        "from 4.1 degrees with the yard's photographs. Just trimmed it reads 36.3 in September. "
        "The next visit is in seven weeks.\n\n"
        "Write four to six sentences to the owner, who has not done this course. Use no word that "
        "you do not explain."
    ),
    points=2,
    ability="explain it to the owner on one page",
    scale=(
        "half a point: says what was measured, with its date or weeks and its error",
        "half a point: says that the difference from June to September is within the error, so "
        "that it may be none; no verdict on the heel",
        "half a point: says what is planned, and that it will be measured again; promises no angle",
        "half a point: names at least one sign that belongs to a vet, makes no diagnosis, and uses "
        "no unexplained word (obliquity, gap, underrun)",
    ),
    stub="*Write your sentences here, in place of this line.*",
    reference=(
        "On 22 September we measured Sallowby's right front foot from a photograph before the "
        "trim: the back of the hoof stands at 30 degrees to the ground, give or take about 3. In "
        "June it read about 34. Two such photographs show a change from about 4 degrees on, so "
        "this may be no change at all. We trimmed toe and heel as usual and will measure again in "
        "seven weeks, the same way. Please ring the vet and not us if Sallowby is lame, if the "
        "foot is hot, swollen or bleeding, or if anything about it changes suddenly."
    ),
    right="",
    keep_going="",
)


def weight(first: float, error_first: float, second: float, error_second: float) -> float:
    """The change over what two photographs show; 1 or more, or -1 or less, counts."""
    return (second - first) / (2 * math.hypot(error_first, error_second))


def _errors(n: Numbers) -> tuple[float, float]:
    """Two errors near the learner's own, which stand in no table."""
    return round(1.013 * n["hand_one_deg"], 4), round(1.017 * n["hand_two_deg"], 4)


def _case(n: Numbers, start: float, times: float) -> tuple[float, float, float, float]:
    one, two = _errors(n)
    return (start, one, round(start + 2 * times * math.hypot(one, two), 3), two)


def _no_change(n: Numbers) -> tuple[float, float, float, float]:
    one, two = _errors(n)
    return (38.0, one, 38.0, two)


side_by_side = Function(
    name="6",
    title="For those who like it: two visits side by side",
    text=(
        "Write a small function `side_by_side(first_deg, error_first_deg, second_deg, "
        "error_second_deg)` that says how much a change weighs: **how many times** it reaches what "
        "two photographs can show. Beyond 1, or below −1, the change is real. "
        "Where the angle has fallen the answer is minus. `math.sqrt(x)` is the root."
    ),
    points=2,
    ability="say which of its numbers carry weight",
    call="side_by_side",
    truth=weight,
    near=Near(mark=0.01, working=0.02, reason="one division; 1 % for rounding"),
    examples=((50, 1.5, 53, 1), (34, 1.5, 30, 1.5), (40, 2, 39, 1), (36, 1, 30, 3)),
    cases=(
        Case(
            "a rise that counts",
            lambda n: _case(n, 31.0, 1.4),
            0.5,
            "A clear rise comes out wrong. What can two photographs show, and how often does the "
            "change hold it?",
        ),
        Case(
            "a fall that counts",
            lambda n: _case(n, 36.0, -1.7),
            0.5,
            "A clear fall comes out wrong. Look at the sign of the change.",
        ),
        Case(
            "a fall within the error",
            lambda n: _case(n, 42.0, -0.6),
            0.5,
            "A small fall comes out wrong: it must lie between −1 and 0. How do two errors add?",
        ),
        Case(
            "no change",
            _no_change,
            0.5,
            "Two equal readings must give 0.",
        ),
    ),
    slips=(
        Slip(
            "size alone",
            lambda a, e, b, f: abs(weight(a, e, b, f)),
            "You give back the size. A fall is minus: leave the sign.",
        ),
        Slip(
            "earlier minus later",
            lambda a, e, b, f: -weight(a, e, b, f),
            "The sign is the wrong way round: later less earlier, so a fall is minus.",
        ),
        Slip(
            "root of 2 forgotten",
            lambda a, e, b, f: (b - a) / (2 * max(e, f)),
            "You took the error of one reading. Two readings miss.",
        ),
        Slip(
            "errors added",
            lambda a, e, b, f: (b - a) / (2 * (e + f)),
            "You added the two errors. They seldom go the same way: add the squares, then the "
            "root.",
        ),
        Slip(
            "not doubled",
            lambda a, e, b, f: (b - a) / math.hypot(e, f),
            "One time in three, chance alone goes beyond the error. Take twice.",
        ),
        Slip(
            "no root",
            lambda a, e, b, f: (b - a) / (2 * (e**2 + f**2)),
            "The squares are added and the root is missing.",
        ),
        Slip(
            "the change alone",
            lambda a, _e, b, _f: b - a,
            "That is the change in degrees. Divide it by what two photographs show.",
        ),
    ),
    right=(
        "One number for any two visits. Put your own yard's in, before with before, and see how "
        "few reach 1."
    ),
    keep_going=(
        "Three steps. The change is later − earlier. What two photographs show is 2 × √( (first "
        "error)² + (second error)² ). Divide the one by the other. Print what comes out of each."
    ),
    stub=(
        "import math\n\n\n"
        "def side_by_side(first_deg, error_first_deg, second_deg, error_second_deg):\n"
        "    return ..."
    ),
    reference=(
        "import math\n\n\n"
        "def side_by_side(first_deg, error_first_deg, second_deg, error_second_deg):\n"
        "    change = second_deg - first_deg\n"
        "    shows = 2 * math.sqrt(error_first_deg**2 + error_second_deg**2)\n"
        "    return change / shows"
    ),
)

EXERCISE = Exercise(
    name="10-a-case",
    title="Exercise 10: A case",
    intro=(
        "It belongs to lesson 10, *a case*. There are 10 points and about 40 minutes of work. "
        "Begin at the top; the last question is for those who want more.\n\n"
        "**The case.** Sallowby, an old riding horse of the yard Brackenfold, shod, light hacking. "
        "Horse, feet and visits are invented.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "This is a model for learning, not for judging a horse: a lame, sore, hot, swollen, "
        "bleeding or suddenly changed foot is a matter for a veterinary surgeon, and who may trim "
        "or shoe is a matter of local law."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity("mass_kg", "Sallowby: mass by the tape", "kg", (465, 472, 478, 484, 491, 497)),
        Quantity("duty_factor", "film: duty factor at trot", "", (0.34, 0.36, 0.37, 0.39)),
        Quantity("toe_deg", "question 2: toe angle", "degrees", (47, 48, 49, 50)),
        Quantity("heel_deg", "question 2: heel angle", "degrees", (28, 30, 31, 33, 35)),
        Quantity("braking_deg", "question 2: lean back, braking", "degrees", (7.2, 8.4, 9.6)),
        Quantity(
            "push_off_deg", "question 2: lean forward, pushing off", "degrees", (4.3, 5.1, 6.2)
        ),
        Quantity("weeks", "question 3: time to the next visit", "weeks", (5, 6, 7, 8, 9)),
        Quantity("wear_mm_day", "question 3: heel wear", "mm a day", (0.06, 0.07, 0.08, 0.09, 0.1)),
        Quantity("june_deg", "question 4: heel in June", "degrees", (30, 31, 33, 34.5)),
        Quantity(
            "september_deg", "question 4: heel in September", "degrees", (27, 28.5, 32.5, 36.5)
        ),
        Quantity(
            "reading_error_deg",
            "question 4: standard error of each reading",
            "degrees",
            (0.6, 0.9, 1.2, 1.5, 1.9, 2.4),
        ),
        Quantity(
            "hand_one_deg", "question 6: error of a first reading", "degrees", (0.9, 1.1, 1.3, 1.7)
        ),
        Quantity(
            "hand_two_deg", "question 6: error of a second reading", "degrees", (1, 1.2, 1.4, 1.6)
        ),
    ),
    fits=clear,
    questions=(greatest_push, meets, next_visit, really, to_the_owner, side_by_side),
)

"""Key to exercise 08, underrun. For instructors: never hand this out.

The truths are worked out here from plain mechanics and statistics and not with the library, so
that a fault of the library cannot hide behind a fault of the key. Feet and readings are invented.

Sources: error of a difference, root of the sum of squares: any text on errors. Parts of a push:
plain trigonometry. Toe 51.8 (spread 3.9) and heel 40.1 (9.3) in fore feet, 50.9 (3.7) and 36.4
(9.6) in hind feet, degrees: "An investigation of the shape of the lateral aspect of the hoof
capsule in hindlimbs", 225 horses, about 2020-2022 (authors and pages not seen; read). Odds 6.75
for 10 degrees of gap: Kane A.J., Stover S.M., Gardner I.A. and others, Proceedings of the AAEP 44
(1998) (read).
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

ODDS = 6.75


def gap_error(n: Numbers) -> float:
    """Error of a gap from two angles, each read on its own [degrees]."""
    return math.hypot(n["toe_error_deg"], n["heel_error_deg"])


def across(n: Numbers, *, wall: str = "heel_deg", tilt: float = 1.0) -> float:
    """Part of the push across the tubules, or of a slip [N]."""
    obliquity = 90 - n[wall] - tilt * n["tilt_deg"]
    return n["push_n"] * math.sin(math.radians(obliquity))


def flatter(value: float, mean: float = 40.1, spread: float = 9.3) -> float:
    """How many of a hundred lie below a value in a normal population [%]."""
    return 50 * (1 + math.erf((value - mean) / spread / math.sqrt(2)))


def gap(n: Numbers, letter: str) -> float:
    """Toe minus heel of one of the three feet [degrees]."""
    return n[f"foot_{letter.lower()}_toe_deg"] - n[f"foot_{letter.lower()}_heel_deg"]


def largest_gap(n: Numbers) -> str:
    """The foot that is run under."""
    return max("ABC", key=lambda letter: gap(n, letter))


def smallest_gap(n: Numbers) -> str:
    """The foot whose heel is the steepest against its toe."""
    return min("ABC", key=lambda letter: gap(n, letter))


def flattest_toe(n: Numbers) -> str:
    """The foot that a look at the toe alone would choose."""
    return min("ABC", key=lambda letter: n[f"foot_{letter.lower()}_toe_deg"])


def clear(n: Numbers) -> bool:
    """No set of numbers that gives a question away or makes it a matter of rounding."""
    gaps = sorted(gap(n, letter) for letter in "ABC")
    if not (gaps[2] >= 15 and -6 <= gaps[0] <= 3 and 4 <= gaps[1] <= 9):
        return False
    toes = sorted(n[f"foot_{letter}_toe_deg"] for letter in "abc")
    heels = {letter: n[f"foot_{letter.lower()}_heel_deg"] for letter in "ABC"}
    if toes[1] - toes[0] < 2 or min(heels, key=heels.__getitem__) != largest_gap(n):
        return False
    if len({largest_gap(n), smallest_gap(n), flattest_toe(n)}) != 3:
        return False
    one, two = n["toe_error_deg"], n["heel_error_deg"]
    values = [gap_error(n), one + two, two - one, two, one, one**2 + two**2]
    values.append(math.sqrt(two**2 - one**2))
    if not _apart(values):
        return False
    pushed = [across(n), across(n, tilt=0), across(n, tilt=-1), across(n, wall="toe_deg")]
    slope = math.radians(n["heel_deg"] + n["tilt_deg"])
    pushed += [n["push_n"] * math.sin(slope), n["push_n"] * math.sin(math.radians(n["heel_deg"]))]
    pushed.append(n["push_n"] * abs(math.sin(90 - n["heel_deg"] - n["tilt_deg"])))
    heel = n["judged_heel_deg"]
    places = [flatter(heel), 100 - flatter(heel), flatter(heel, 36.4, 9.6)]
    return _apart(pushed) and _apart(places)


def _apart(values: list[float]) -> bool:
    """Whether no two values come within a twentieth of each other."""
    rising = sorted(values)
    return all(high > 1.05 * low for low, high in itertools.pairwise(rising))


MOVE = "lesson 08, 'Move'"
FORMULA = "lesson 08, 'Work it out: the angle'"
RULE = "lesson 08, 'Work it out: the rule of five degrees'"
SURE = RULE

error_of_a_gap = Number(
    name="1",
    title="How sure is the gap?",
    text=(
        "On one foot at Brackenfold the toe and the heel angle were read, each from a photograph "
        "of its own. Your table has the error of each reading.\n\n"
        "What is the **error of the gap** (toe angle minus heel angle), in degrees? The lesson "
        "has the formula. Three digits are enough; `**0.5` is the root in Python.\n\n"
        "Put your number in place of the three dots."
    ),
    points=1,
    ability="tell a foot in line, a foot run under and a foot too upright",
    asked="the error of a gap between two angles, in degrees",
    truth=gap_error,
    near=Near(mark=0.01, working=0.02, reason="three digits are asked for; 1 % allows for them"),
    plausible=(0.2, 12),
    slips=(
        Slip(
            "errors added",
            lambda n: n["toe_error_deg"] + n["heel_error_deg"],
            "You added the two errors. They seldom err the same way at once: their squares add. "
            f"See {RULE}.",
            0.5,
        ),
        Slip(
            "errors subtracted",
            lambda n: n["heel_error_deg"] - n["toe_error_deg"],
            "You took one error from the other. A difference of two readings is less certain than "
            "either of them, not more.",
        ),
        Slip(
            "root forgotten",
            lambda n: n["toe_error_deg"] ** 2 + n["heel_error_deg"] ** 2,
            "You added the squares and stopped there. The root is still missing.",
            0.5,
        ),
        Slip(
            "squares subtracted",
            lambda n: math.sqrt(n["heel_error_deg"] ** 2 - n["toe_error_deg"] ** 2),
            "You took the squares from each other. The angles are subtracted; the squares of their "
            "errors are added.",
            0.5,
        ),
        Slip(
            "heel alone",
            lambda n: n["heel_error_deg"],
            "That is the heel's error alone. The toe's reading is uncertain too.",
        ),
        Slip(
            "toe alone",
            lambda n: n["toe_error_deg"],
            "That is the toe's error alone. The heel's reading is uncertain too.",
        ),
    ),
    right=(
        "The larger of the two errors rules. Write it beside the gap. A change between two visits "
        "has the errors of both readings, 1.4 times this, and is real from twice that on."
    ),
    keep_going=(
        f"Not yet. Square both errors, add, take the root. For Otterby it is done in {RULE}."
    ),
    stub="answer_1 = ...",
    reference=("n = task.numbers\nanswer_1 = (n.toe_error_deg**2 + n.heel_error_deg**2) ** 0.5"),
)

push_across = Number(
    name="2",
    title="How much goes across?",
    text=(
        "A horse brakes. The push of the ground on one foot is your `push_n` and leans **back** by "
        "your `tilt_deg`. Your table has the foot's toe and heel angle.\n\n"
        "How many **newtons** of the push go **across** the tubules of the heel, in the side view? "
        "First the obliquity, then its sine. In Python: `math.sin(math.radians(angle))`. Three "
        "digits are enough."
    ),
    points=2,
    ability="give the reason why the flat heel is bent more",
    asked="the part of the push across the tubules of a heel, in N",
    truth=across,
    near=Near(mark=0.01, working=0.02, reason="three digits; 1 % allows for a rounded sine"),
    plausible=(100, 20_000),
    slips=(
        Slip(
            "tilt left out",
            lambda n: across(n, tilt=0),
            "You left the tilt out. The push does not go straight up here.",
            1.0,
        ),
        Slip(
            "tilt sign",
            lambda n: across(n, tilt=-1),
            "The sign of the tilt. A push that leans back leans the way the heel leans: does the "
            f"angle between them get larger or smaller? See {FORMULA}.",
            1.0,
        ),
        Slip(
            "cosine for sine, or obliquity from across",
            lambda n: n["push_n"] * math.sin(math.radians(n["heel_deg"] + n["tilt_deg"])),
            "That is the part along the tubules. The part across is asked for: see "
            + FORMULA
            + ".",
            1.0,
        ),
        Slip(
            "toe for heel",
            lambda n: across(n, wall="toe_deg"),
            "You took the toe's angle. The heel is asked for.",
            1.0,
        ),
        Slip(
            "the wall's own angle",
            lambda n: n["push_n"] * math.sin(math.radians(n["heel_deg"])),
            "You took the heel's angle from the ground as the obliquity. Obliquity is the angle "
            f"between the push and the tubules: see {FORMULA}.",
            0.5,
        ),
        Slip(
            "share for newtons",
            lambda n: across(n) / n["push_n"],
            "That is the share that goes across. Newtons are asked for.",
            1.0,
        ),
        Slip(
            "per cent for newtons",
            lambda n: 100 * across(n) / n["push_n"],
            "That is the share in per cent. Newtons are asked for.",
            1.0,
        ),
        Slip(
            "radians for degrees",
            lambda n: n["push_n"] * math.sin(90 - n["heel_deg"] - n["tilt_deg"]),
            "The degrees went into the sine as they are. Python wants radians: math.radians first.",
            1.0,
        ),
    ),
    close_points=1.0,
    right=(
        "While the horse brakes the push leans with the heel, and less of it goes across. When it "
        "pushes off it is the other way round."
    ),
    keep_going=(
        "Not yet. Print the obliquity first: 90 less the heel less the tilt. Then push times its "
        f"sine. See {FORMULA} and the example below it."
    ),
    stub="import math\n\nanswer_2 = ...",
    reference=(
        "import math\n\nn = task.numbers\nobliquity = 90 - n.heel_deg - n.tilt_deg\n"
        "answer_2 = n.push_n * math.sin(math.radians(obliquity))"
    ),
)

three_feet = Choice(
    name="3",
    title="Which of the three is run under?",
    text=(
        "Three feet, A, B and C (invented). Your table gives the toe and the heel angle of each, "
        "from the ground.\n\n"
        "Which one is **run under**? Write the letter of the foot and the letter of the reason, "
        "each between quotation marks."
    ),
    points=2,
    ability="tell a foot in line, a foot run under and a foot too upright",
    options={"A": "foot A", "B": "foot B", "C": "foot C"},
    reasons={
        "P": "because its toe is the flattest of the three",
        "Q": "because its heel is the steepest against its own toe",
        "R": "because its heel is flatter than its own toe by far more than in the others",
        "S": "because its heel is at least five degrees flatter than its toe, which settles it",
    },
    truth=largest_gap,
    right_reason="R",
    choice_points=1,
    slips=(
        Slip(
            "toe for heel",
            flattest_toe,
            "You took the foot with the flattest toe. A flat toe alone does not make a heel run "
            f"under: compare heel and toe of the same foot. See {MOVE}.",
        ),
        Slip(
            "sign of the gap",
            smallest_gap,
            "You took the foot whose heel is the steepest against its toe: the gap has the wrong "
            f"sign. It is toe minus heel. See {MOVE}.",
        ),
    ),
    reason_messages={
        "P": "The toe alone does not say it. What has to be compared within one foot?",
        "Q": "Steep against its toe is the opposite of run under. Look at the sign of the gap.",
        "S": f"The average foot meets that rule as well. See {RULE}. What sets this foot apart?",
    },
    right=(
        "It is the gap that tells, and by how much. Write it down with its error: one gap says "
        "little, three in a row say something."
    ),
    keep_going="Not yet. Work out toe minus heel for all three, then compare.",
    stub='answer_3 = ""  # A, B or C\nreason_3 = ""  # P, Q, R or S',
    reference=(
        "n = task.numbers\ngap = {\n"
        '    "A": n.foot_a_toe_deg - n.foot_a_heel_deg,\n'
        '    "B": n.foot_b_toe_deg - n.foot_b_heel_deg,\n'
        '    "C": n.foot_c_toe_deg - n.foot_c_heel_deg,\n}\n'
        'answer_3 = max(gap, key=gap.get)\nreason_3 = "R"'
    ),
)

place_among_feet = Number(
    name="4",
    title="Its place among other feet",
    text=(
        "The heel of a **fore** foot stands at your `judged_heel_deg`. How many of a hundred fore "
        "heels of the published horses are **flatter**, in per cent? Let the library say it:\n"
        "\n"
        "- `reading.percentile(measure, value, limb)` takes the name of the measure "
        '(`"toe_angle_deg"` or `"heel_angle_deg"`), the value, and `"fore"` or `"hind"`.'
    ),
    points=1,
    ability="say what a rule of thumb is worth",
    asked="how many of a hundred published fore heels are flatter, in per cent",
    truth=lambda n: flatter(n["judged_heel_deg"]),
    near=Near(mark=0.01, working=0.02, reason="the library is exact; 1 % allows for rounding"),
    plausible=(1, 99.9),
    slips=(
        Slip(
            "hind for fore",
            lambda n: flatter(n["judged_heel_deg"], 36.4, 9.6),
            "You compared with hind feet. It is a fore foot.",
            0.5,
        ),
        Slip(
            "toe for heel",
            lambda n: flatter(n["judged_heel_deg"], 51.8, 3.9),
            "You compared a heel with toes. Which measure does the library have to look at?",
        ),
        Slip(
            "steeper for flatter",
            lambda n: 100 - flatter(n["judged_heel_deg"]),
            "That is how many are steeper. How many are flatter is asked for.",
            0.5,
        ),
        Slip(
            "share for per cent",
            lambda n: flatter(n["judged_heel_deg"]) / 100,
            "That is a share, or a probability. Per cent is asked for: counted in hundredths.",
            0.5,
        ),
    ),
    right=(
        "A place among other feet frightens nobody and can be followed. It says how common an "
        "angle is, not how healthy."
    ),
    keep_going=(
        f"Not yet. Three things go into the call: the measure, the angle, the limb. See {RULE}."
    ),
    stub="from hoofcalc import reading\n\nanswer_4 = ...  # reading.percentile(...)",
    reference=(
        "from hoofcalc import reading\n\nn = task.numbers\n"
        'answer_4 = reading.percentile("heel_angle_deg", n.judged_heel_deg, "fore")'
    ),
)

in_words = Written(
    name="5",
    title="Tell it to an owner",
    text=(
        "An owner has read: *a heel five degrees flatter than the toe is underrun.* Her horse's "
        "fore foot has a gap of 12 degrees, with an error of 1.6. She asks whether her horse is "
        "ill, and why a heel that lies flat is bent more. Answer in four to six sentences, "
        "with numbers, and say one thing that is **not** known."
    ),
    points=2,
    ability="give the reason why the flat heel is bent more",
    scale=(
        "0.5: the gap is surely above five degrees (or gives gap and error), and that is what the "
        "rule says, no more; not ill, no diagnosis",
        "0.5: the average fore foot has a gap of about 12 (11.7): the rule flags it",
        "0.5: names the loop: for one height a flatter heel is longer, so it is bent more or "
        "renewed more slowly, and whatever turns it turns it further than a steeper one",
        "0.5: names one thing not known: the creep (a factor of four), whether the gap is a cause, "
        "what makes a heel go on running under; or sends signs of illness to the vet and says why",
    ),
    stub="*Write your explanation here, in place of this line.*",
    reference=(
        "Your horse's heel is 12 degrees flatter than its toe, give or take 1.6, so it surely "
        "meets the rule of five degrees. But the average fore foot has a gap of 11.7 and meets it "
        "as well: the rule does not tell who is ill. A heel that has gone flat is longer at the "
        "same height, is bent more and renewed more slowly, so whatever turns it turns it "
        "further. Whether this one will go on, nobody can say: what makes heels do so is not "
        "known, and how far horn creeps only to a factor of four. We measure again at the next "
        "visit."
    ),
    right="",
    keep_going="",
)


def odds_times(more_deg: float) -> float:
    """How many times the odds are for so many degrees more gap."""
    return ODDS ** (more_deg / 10)


def _in_proportion(more_deg: float) -> float:
    return ODDS * more_deg / 10


def _one_and_a_part(more_deg: float) -> float:
    return 1 + (ODDS - 1) * more_deg / 10


def _per_degree(more_deg: float) -> float:
    return ODDS**more_deg


def _part_of_it_each(more_deg: float) -> float:
    return (ODDS / 10) ** more_deg


def _odds_alone(_more_deg: float) -> float:
    return ODDS


def _upside_down(more_deg: float) -> float:
    return ODDS ** (-more_deg / 10)


odds = Function(
    name="6",
    title="For those who like it: odds for any difference",
    text=(
        "In one study of race horses the odds of a certain failure were 6.75 times as high for "
        "each **10 degrees** more gap. Write a small function `odds_times(more_deg)` that gives "
        "how many times the odds are for any difference `more_deg` in degrees: above zero for more "
        "gap, below zero for less, where the odds are lower.\n\n"
        "The lesson does it for 5 degrees. In Python `6.75**2` is 6.75 to the power of 2; the "
        "power may be a fraction, zero or below zero."
    ),
    points=2,
    ability="say what a rule of thumb is worth",
    call="odds_times",
    truth=odds_times,
    near=Near(mark=0.01, working=0.02, reason="the rule is exact; 1 % allows for rounding"),
    examples=((10.0,), (5.0,)),
    cases=(
        Case(
            "no difference",
            lambda _n: (0.0,),
            0.5,
            "With no difference at all the odds stay as they are. What has it to give then?",
        ),
        Case(
            "less than ten",
            lambda n: (n["more_deg"],),
            0.5,
            "For less than 10 degrees it is off. A factor per 10 degrees is a power, not a slope: "
            f"see {SURE}.",
        ),
        Case(
            "twice ten and more",
            lambda n: (20 + n["more_deg"],),
            0.5,
            "For more than 20 degrees it is off. Each 10 degrees multiply once more.",
        ),
        Case(
            "less gap",
            lambda n: (-n["more_deg"],),
            0.5,
            "For less gap it is off: the odds are lower there, but never below zero.",
        ),
    ),
    slips=(
        Slip(
            "in proportion",
            _in_proportion,
            "You took the factor in proportion to the degrees. A factor per 10 degrees multiplies: "
            f"it is a power. See {SURE}.",
        ),
        Slip(
            "one and a part",
            _one_and_a_part,
            "You took a part of the increase for each degree, in a straight line. A factor "
            f"multiplies: it is a power. See {SURE}.",
        ),
        Slip(
            "per one degree",
            _per_degree,
            "You took the factor for each single degree. It holds for each 10 degrees.",
        ),
        Slip(
            "a tenth of the factor each degree",
            _part_of_it_each,
            "You divided the factor by ten and took the power. It is the degrees that are divided "
            "by ten, not the factor.",
        ),
        Slip(
            "the factor itself",
            _odds_alone,
            "It gives the same for every difference. The degrees have to go in.",
        ),
        Slip(
            "upside down",
            _upside_down,
            "More gap goes with higher odds here, less gap with lower ones. Look at what becomes "
            "of the sign of the difference.",
        ),
    ),
    right=(
        "Factors multiply. And remember what they are: how two things went together in one group "
        "of race horses, no forecast for one foot."
    ),
    keep_going="Ask how many times 10 degrees the difference holds; that number is the power.",
    stub="def odds_times(more_deg):\n    return ...",
    reference="def odds_times(more_deg):\n    return 6.75 ** (more_deg / 10)",
)

EXERCISE = Exercise(
    name="08-underrun",
    title="Exercise 08: Underrun",
    intro=(
        "It belongs to lesson 08, *underrun*. There are 10 points and about 40 minutes of work. "
        "Begin at the top; the last question is for those who want more.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "All feet and readings are invented. This is a model for learning, not for judging a "
        "horse: a lame, sore, hot, swollen, bleeding or suddenly changed foot is a matter for a "
        "veterinary surgeon."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity("toe_error_deg", "error of the toe reading", "degrees", (0.6, 0.7, 0.8, 0.9, 1.0)),
        Quantity("heel_error_deg", "error of the heel reading", "degrees", (1.3, 1.6, 1.7, 1.9)),
        Quantity("push_n", "push on the braking foot", "N", (4200, 4600, 5100, 5500, 5800)),
        Quantity("tilt_deg", "its tilt, back", "degrees", (6, 7, 8)),
        Quantity("toe_deg", "toe angle of that foot", "degrees", (46, 48, 50, 52)),
        Quantity("heel_deg", "heel angle of that foot", "degrees", (28, 29, 30, 31, 32)),
        *(
            quantity
            for letter in "abc"
            for quantity in (
                Quantity(
                    f"foot_{letter}_toe_deg",
                    f"foot {letter.upper()}: toe",
                    "degrees",
                    (45, 47, 50, 53, 56, 60),
                ),
                Quantity(
                    f"foot_{letter}_heel_deg",
                    f"foot {letter.upper()}: heel",
                    "degrees",
                    (27, 31, 40, 44, 48, 52, 57),
                ),
            )
        ),
        Quantity(
            "judged_heel_deg", "heel of a fore foot", "degrees", (33, 34, 35, 36, 44, 45, 46, 47)
        ),
        Quantity("more_deg", "difference tried in the last question", "degrees", (3, 4, 6, 7)),
    ),
    fits=clear,
    questions=(error_of_a_gap, push_across, three_feet, place_among_feet, in_words, odds),
)

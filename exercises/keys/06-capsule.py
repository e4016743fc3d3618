"""Key to exercise 06, capsule. For instructors: never hand this out.

The truths of tasks 1, 2, 4 and 6 are plain trigonometry. Only the volume of task 3 is worked out
with the library, whose volumes are held against textbook solids and another library in its own
tests. All feet are invented.

Sources: lines that turn evenly from toe to heel, and taper: models of the course (lesson 06).
"""

from __future__ import annotations

import functools
import itertools
import math

from hoofcalc.capsule import build_capsule
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
from hoofcalc.profile import Profile

WHY = "lesson 06, 'Work it out: the formula'"
PAPER = WHY
BUILD = "lesson 06, 'Work it out: building it'"


def turned(n: Numbers) -> float:
    """How far the line has turned from the toe's angle [degrees]."""
    return n["behind_toe_mm"] / n["bearing_mm"] * (n["toe_deg"] - n["heel_deg"])


def line_angle(n: Numbers) -> float:
    """Angle of the line from the ground [degrees]."""
    return n["toe_deg"] - turned(n)


def lean(n: Numbers, inward: float) -> float:
    """Lean of a wall that comes in by so much over its height [degrees]."""
    return math.degrees(math.atan(inward / n["band_height_mm"]))


def narrower(n: Numbers) -> float:
    """How much narrower the band is than the ground, both sides together [mm]."""
    return n["width_mm"] * (1 - n["taper"])


def volume_cm3(n: Numbers, *, taper: float | None = None, bearing: float | None = None) -> float:
    """Volume of the built foot [cm3]."""
    outline = (n["toe_deg"], n["heel_deg"], n["toe_mm"], n["heel_mm"], bearing or n["bearing_mm"])
    return built_cm3(outline, n["taper"] if taper is None else taper)


@functools.lru_cache(maxsize=1000)
def built_cm3(outline: tuple[float, ...], taper: float) -> float:
    """Volume of a foot built on an outline [cm3]; each is asked for again and again."""
    return float(build_capsule(Profile.from_measures(*outline), taper=taper).volume_mm3) / 1e3


def worst(n: Numbers, by: str) -> str:
    """The letter of the place that is the furthest off, in degrees or in its own error."""

    def off(letter: str) -> float:
        departure = abs(n[f"off_{letter.lower()}_deg"])
        error = n[f"error_{letter.lower()}_deg"]
        return {"degrees": departure, "errors": departure / error, "unsure": error}[by]

    return max("ABC", key=off)


def clear(n: Numbers) -> bool:
    """No set of numbers that gives a question away or in which two slips look alike."""
    if n["toe_deg"] - n["heel_deg"] < 8 or not 0.1 < n["behind_toe_mm"] / n["bearing_mm"] < 0.9:
        return False
    if len({worst(n, by) for by in ("degrees", "errors", "unsure")}) < 2:
        return False
    if worst(n, "degrees") == worst(n, "errors"):
        return False
    for size in ("off", "error"):
        if len({abs(n[f"{size}_{letter}_deg"]) for letter in "abc"}) < 3:
            return False
    ratios = sorted(abs(n[f"off_{x}_deg"]) / n[f"error_{x}_deg"] for x in "abc")
    if ratios[2] < 1.15 * ratios[1]:
        return False
    for question in (line, side_lean, volume):
        near = 3.2 * question.near.working
        values = [question.truth(n), *(slip.value(n) for slip in question.slips)]
        for one, other in itertools.combinations(values, 2):
            if abs(one - other) <= near * max(abs(one), abs(other)):
                return False
        if round(values[0], 3) == round(values[0]):  # a whole number may stand in a message
            return False
    return True


line = Number(
    name="1",
    title="At what angle does it rise?",
    text=(
        "A foot's toe and heel angle and its length on the ground are in your table. A tubule "
        "begins `behind_toe_mm` behind the toe.\n\n"
        "At what **angle from the ground** does the model draw it?\n\n"
        "> angle = toe angle − back × gap\n\n"
        "*back* is counted from the toe: 0 there, 1 at the heels. The *gap* is the toe's angle "
        "less the heel's. Put your number in place of the three dots."
    ),
    points=1,
    ability="build a capsule from an outline and a side view",
    asked="the angle of a tubule from the ground, in degrees",
    truth=line_angle,
    near=Near(mark=0.004, working=0.008, reason="three digits: half of the last one, rounded up"),
    plausible=(5, 120),
    slips=(
        Slip(
            "way from the wrong end",
            lambda n: n["heel_deg"] + turned(n),
            "You counted the way from the heels. The formula counts it from the toe.",
        ),
        Slip(
            "turn with a plus",
            lambda n: n["toe_deg"] + turned(n),
            "You added the turn. This heel is flatter than its toe, so lines get flatter on the "
            "way back.",
        ),
        Slip(
            "heel for toe",
            lambda n: n["heel_deg"] - turned(n),
            "You started from the heel's angle. Start from the toe's.",
        ),
        Slip(
            "only the turn",
            turned,
            "That is how far the line has turned. Take it off the toe's angle.",
        ),
        Slip(
            "ninety less it",
            lambda n: 90 - line_angle(n),
            "That is the angle from the upright. Angles are counted from the ground.",
        ),
        Slip(
            "millimetres for the part",
            lambda n: n["toe_deg"] - n["behind_toe_mm"] * (n["toe_deg"] - n["heel_deg"]),
            "*back* is a part of the length on the ground, from 0 to 1, and not millimetres.",
        ),
    ),
    right=(
        "Toe and heel are measured, everything between is the model's choice. That is why its "
        "lines are laid over the photograph before anybody trusts them."
    ),
    keep_going=f"Not yet. Three steps: back, then the gap, then the angle. See {PAPER}.",
    stub="answer_1 = ...",
    reference=(
        "n = task.numbers\nback = n.behind_toe_mm / n.bearing_mm\n"
        "answer_1 = n.toe_deg - back * (n.toe_deg - n.heel_deg)"
    ),
)

side_lean = Number(
    name="2",
    title="How far does the side wall lean?",
    text=(
        "Another foot, seen from the front: `width_mm` wide at the ground, with your `taper` "
        "(width at the coronary band as a part of the width at the ground). At the quarters the "
        "band lies `band_height_mm` above the ground.\n\n"
        "By how many **degrees from the upright** does each side wall lean in on its way up?\n\n"
        "> tangent of the lean = ½ × width × (1 − taper) / height\n\n"
        "A calculator turns a tangent back with tan⁻¹. Here: `math.degrees(math.atan(tangent))`."
    ),
    points=2,
    ability="see what a coronary band that pinches in means",
    asked="the lean of a side wall from the upright, in degrees",
    truth=lambda n: lean(n, narrower(n) / 2),
    near=Near(mark=0.006, working=0.012, reason="three digits, with the tangent rounded to three"),
    plausible=(0.01, 90),
    close_points=1.0,
    slips=(
        Slip(
            "both sides",
            lambda n: lean(n, narrower(n)),
            "You gave the whole difference in width to one side. There are two.",
            1.0,
        ),
        Slip(
            "taper upside down",
            lambda n: lean(n, n["width_mm"] * (1 / n["taper"] - 1) / 2),
            "You divided by the taper. It is a part of the width at the ground, so multiply.",
            1.0,
        ),
        Slip(
            "taper for what is lost",
            lambda n: lean(n, n["width_mm"] * n["taper"] / 2),
            "You took half the band's own width. What counts is how much narrower the band is.",
            0.5,
        ),
        Slip(
            "from the ground, or upside down",
            lambda n: 90 - lean(n, narrower(n) / 2),
            "That is the angle from the ground (or your fraction is upside down). The lean is "
            "counted from the upright.",
            1.0,
        ),
        Slip(
            "the tangent itself",
            lambda n: narrower(n) / 2 / n["band_height_mm"],
            "That is the tangent. Turn it back into degrees.",
            1.0,
        ),
    ),
    right=(
        "A band that pinches in means side walls, and so tubules, that lean sideways as well as "
        "back. Measure both widths from the front and you know by how much."
    ),
    keep_going=f"Not yet. First how much narrower the band is, then half of it. See {PAPER}.",
    stub="import math\n\nanswer_2 = ...",
    reference=(
        "import math\n\nn = task.numbers\n"
        "tangent = 0.5 * n.width_mm * (1 - n.taper) / n.band_height_mm\n"
        "answer_2 = math.degrees(math.atan(tangent))"
    ),
)

volume = Number(
    name="3",
    title="Build it, and see how much it holds",
    text=(
        "Let the library build the capsule of a foot with your `toe_deg`, `heel_deg`, `toe_mm` and "
        "`heel_mm` (lengths of the two walls), `bearing_mm` (length on the ground) and `taper`. "
        "Leave the outline out: the library takes an even one.\n\n"
        "How much does it hold, in **cubic centimetres**?\n\n"
        "- `Profile.from_measures(toe angle, heel angle, toe length, heel length, length on the "
        "ground)` is the side view.\n"
        "- `build_capsule(side, taper=...)` is the capsule; it knows its `volume_mm3`, in cubic "
        "millimetres."
    ),
    points=2,
    ability="build a capsule from an outline and a side view",
    asked="the volume of a foot's capsule, in cubic centimetres",
    truth=volume_cm3,
    near=Near(mark=0.003, working=0.006, reason="the library is exact; three digits are enough"),
    plausible=(0.01, 5_000_000),
    slips=(
        Slip(
            "mm for cm",
            lambda n: 1000 * volume_cm3(n),
            "That is in cubic millimetres. A cubic centimetre holds many of them.",
            1.0,
        ),
        Slip(
            "a length's ten",
            lambda n: 100 * volume_cm3(n),
            "You divided as for a length. A volume has three lengths in it.",
            1.0,
        ),
        Slip(
            "an area's hundred",
            lambda n: 10 * volume_cm3(n),
            "You divided as for an area. A volume has one length more.",
            1.0,
        ),
        Slip(
            "litres",
            lambda n: volume_cm3(n) / 1000,
            "That is in litres. Cubic centimetres are asked for.",
            1.0,
        ),
        Slip(
            "width for length",
            lambda n: volume_cm3(n, bearing=n["width_mm"]),
            "The other foot's width went in where the length on the ground belongs.",
            1.0,
        ),
        Slip(
            "taper upside down",
            lambda n: volume_cm3(n, taper=1 / n["taper"]),
            "Your band is wider than the ground: the taper is upside down.",
            1.0,
        ),
        Slip(
            "no taper",
            lambda n: volume_cm3(n, taper=1.0),
            "Your foot is as wide above as below: the taper is missing.",
            1.0,
        ),
    ),
    close_points=1.0,
    right=(
        "It is the volume of the whole foot below the coronary band, not of the horn: bone, frog "
        "and soft parts are in it."
    ),
    keep_going=f"Not yet. Check the five measures in their order, then the unit. See {BUILD}.",
    stub=(
        "from hoofcalc.capsule import build_capsule\nfrom hoofcalc.profile import Profile\n\n"
        "side = ...  # Profile.from_measures(...)\nfoot = ...  # build_capsule(...)\nanswer_3 = ..."
    ),
    reference=(
        "from hoofcalc.capsule import build_capsule\nfrom hoofcalc.profile import Profile\n\n"
        "n = task.numbers\nside = Profile.from_measures(\n"
        "    n.toe_deg, n.heel_deg, n.toe_mm, n.heel_mm, n.bearing_mm\n)\n"
        "foot = build_capsule(side, taper=n.taper)\nanswer_3 = foot.volume_mm3 / 1000"
    ),
)

fit = Choice(
    name="4",
    title="Where does the model fit worst?",
    text=(
        "Lines were traced at three places A, B and C of a photograph and held against the "
        "model. Your table says by how many degrees they depart from it (minus: flatter than the "
        "model), and how unsure each of these numbers is: its error.\n\n"
        "At which place is it the **surest that the model does not follow the horn**? Write the "
        "letter of the place and the letter of the reason, each between quotation marks."
    ),
    points=2,
    ability="check its lines against the photograph",
    options={"A": "place A", "B": "place B", "C": "place C"},
    reasons={
        "P": "because the departure there is the largest in degrees",
        "Q": "because the departure there is the largest, counted in its own error",
        "R": "because the error there is the largest",
        "S": "because a minus is worse than a plus",
    },
    truth=lambda n: worst(n, "errors"),
    right_reason="Q",
    choice_points=1,
    slips=(
        Slip(
            "most degrees",
            lambda n: worst(n, "degrees"),
            "You took the most degrees. There the hand is unsure as well: set each departure "
            "against its own error.",
        ),
        Slip(
            "most unsure",
            lambda n: worst(n, "unsure"),
            "You took the place with the largest error. There the tracing says least.",
        ),
    ),
    reason_messages={
        "P": "Another place is further off in degrees and yet less sure. What else counts?",
        "R": "A large error makes a departure less sure, not more.",
        "S": "Plus and minus only say steeper or flatter.",
    },
    right=(
        "A difference counts by how many times its error it is. Below twice, chance alone may have "
        "made it."
    ),
    keep_going="Not yet. Divide each departure, without its sign, by its error, and compare.",
    stub='answer_4 = ""  # A, B or C\nreason_4 = ""  # P, Q, R or S',
    reference=(
        "n = task.numbers\ntimes = {\n"
        '    "A": abs(n.off_a_deg) / n.error_a_deg,\n'
        '    "B": abs(n.off_b_deg) / n.error_b_deg,\n'
        '    "C": abs(n.off_c_deg) / n.error_c_deg,\n}\n'
        'answer_4 = max(times, key=times.get)\nreason_4 = "Q"'
    ),
)

in_words = Written(
    name="5",
    title="Tell it to an owner",
    text=(
        "An owner looks at the model of her horse's foot and asks: *it looks pinched at the top. "
        "What does that mean, and can I trust the picture?* Answer in two to four sentences. Use "
        "the word **taper** or **lean**."
    ),
    points=1,
    ability="see what a coronary band that pinches in means",
    scale=(
        "0.5: says that the coronary band is narrower than the ground edge, so that the side walls "
        "(and their tubules) lean in on their way up",
        "0.5: says how the picture is checked (traced lines, widths from the front), or names one "
        "thing that the model leaves out (a dish, a bulge, a flare, a band that is not straight)",
    ),
    stub="*Write your explanation here, in place of this line.*",
    reference=(
        "The band is narrower than the foot at the ground; that is its taper, and it means that "
        "the side walls lean in. We checked the picture by tracing lines on the photograph. A "
        "bulging wall it would not show."
    ),
    right="",
    keep_going="",
)


def back_of(angle_deg: float, toe_deg: float, heel_deg: float) -> float:
    """How far back a line of that angle begins; 0 for a foot with parallel lines."""
    gap = toe_deg - heel_deg
    return 0.0 if gap == 0 else (toe_deg - angle_deg) / gap


def _odd(n: Numbers) -> float:
    """A toe angle that stands in nobody's table [degrees]."""
    return n["toe_deg"] + 1.37


def _from_the_heel(angle_deg: float, toe_deg: float, heel_deg: float) -> float:
    return 1 - back_of(angle_deg, toe_deg, heel_deg)


def _wrong_gap(angle_deg: float, toe_deg: float, heel_deg: float) -> float:
    return -back_of(angle_deg, toe_deg, heel_deg)


def _by_the_toe(angle_deg: float, toe_deg: float, _heel_deg: float) -> float:
    return (toe_deg - angle_deg) / toe_deg


def _in_per_cent(angle_deg: float, toe_deg: float, heel_deg: float) -> float:
    return 100 * back_of(angle_deg, toe_deg, heel_deg)


where_from = Function(
    name="6",
    title="For those who like it: where on the foot does this line belong?",
    text=(
        "You have traced a line and read its angle. Where along the foot does the model draw a "
        "line of that angle? Write a small function `back_of(angle_deg, toe_deg, heel_deg)` that "
        "turns the formula of the lesson round and gives how far from the toe it is, as a part: 0 "
        "at the toe, 1 at the heels.\n\n"
        "Where all lines are parallel nothing can be told. Give back 0 then."
    ),
    points=2,
    ability="check its lines against the photograph",
    call="back_of",
    truth=back_of,
    near=Near(mark=0.005, working=0.01, reason="the formula is exact; three digits are enough"),
    examples=((44.0, 50.0, 30.0), (58.0, 56.0, 61.0)),
    cases=(
        Case(
            "a heel flatter than the toe",
            lambda n: (_odd(n) - 0.3 * 18.13, _odd(n), _odd(n) - 18.13),
            1.0,
            "For a heel flatter than the toe the place is off. How far has the line turned, "
            "as a part of the gap?",
        ),
        Case(
            "a heel steeper than the toe",
            lambda n: (_odd(n) + 2.83, _odd(n), _odd(n) + 4.07),
            0.5,
            "For a heel steeper than the toe the place is off. Keep the signs as they come.",
        ),
        Case(
            "parallel lines",
            lambda n: (_odd(n), _odd(n), _odd(n)),
            0.5,
            "When the gap is 0 nothing may be divided by it: give back 0.",
        ),
    ),
    slips=(
        Slip(
            "way from the wrong end",
            _from_the_heel,
            "You counted from the heels. 0 is at the toe.",
        ),
        Slip(
            "gap the wrong way round",
            _wrong_gap,
            "Your parts come out below zero: one of the two differences is the wrong way round.",
        ),
        Slip(
            "divided by the toe's angle",
            _by_the_toe,
            "You divided by the toe's angle. Divide by the gap.",
        ),
        Slip(
            "per cent for the part",
            _in_per_cent,
            "You give per cent. A part from 0 to 1 is asked for.",
        ),
    ),
    right=(
        "It shows you at once a traced line that lies far from where it belongs: there the horn "
        "does not turn evenly."
    ),
    keep_going=(
        "Three steps. The gap is toe_deg − heel_deg. If it is 0, give back 0. Otherwise see how "
        "far the line has turned from the toe's angle, and divide that by the gap. Print what "
        "comes out of each."
    ),
    stub="def back_of(angle_deg, toe_deg, heel_deg):\n    return ...",
    reference=(
        "def back_of(angle_deg, toe_deg, heel_deg):\n"
        "    gap = toe_deg - heel_deg\n"
        "    if gap == 0:\n"
        "        return 0.0\n"
        "    return (toe_deg - angle_deg) / gap"
    ),
)

EXERCISE = Exercise(
    name="06-capsule",
    title="Exercise 06: Capsule",
    intro=(
        "It belongs to lesson 06, *capsule*. There are 10 points and about 40 minutes of work. "
        "Begin at the top; the last question is for those who want more.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "All feet are invented. This is a model for learning, not for judging a horse: a lame, "
        "sore, hot, swollen, bleeding or suddenly changed foot is a matter for a veterinary "
        "surgeon."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity("toe_deg", "toe angle", "degrees", (47.5, 48.5, 50.5, 51.5, 53.5, 54.5)),
        Quantity("heel_deg", "heel angle", "degrees", (23.5, 26.5, 29.5, 32.5, 35.5, 38.5)),
        Quantity("toe_mm", "toe: length of the wall", "mm", (80, 84, 88, 92)),
        Quantity("heel_mm", "heel: length of the wall", "mm", (36, 40, 44)),
        Quantity("bearing_mm", "length on the ground", "mm", (105, 110, 115, 120)),
        Quantity("behind_toe_mm", "tubule: begins behind the toe", "mm", (24, 31, 77, 83, 88)),
        Quantity("width_mm", "width at the ground", "mm", (118, 122, 126, 132)),
        Quantity("taper", "taper", "of width", (0.72, 0.76, 0.78, 0.82, 0.84)),
        Quantity("band_height_mm", "height of the band at the quarters", "mm", (44, 48, 52, 57)),
        *(
            quantity
            for letter in "abc"
            for quantity in (
                Quantity(
                    f"off_{letter}_deg",
                    f"place {letter.upper()}: departure",
                    "degrees",
                    (-4.2, -3.1, -2.4, -1.5, 1.4, 1.8, 2.7, 3.6),
                ),
                Quantity(
                    f"error_{letter}_deg",
                    f"place {letter.upper()}: error",
                    "degrees",
                    (0.5, 0.6, 0.8, 1.1, 1.4, 1.9),
                ),
            )
        ),
    ),
    fits=clear,
    questions=(line, side_lean, volume, fit, in_words, where_from),
)

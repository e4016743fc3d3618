"""Key to exercise 02, ground force. For instructors: never hand this out.

The truths are worked out here from plain mechanics and not with the library, so that a fault of
the library cannot hide behind a fault of the key. All horses, films and force plates are
invented; masses, times and forces are chosen to be typical of horses at trot.

Sources: half-sine whose impulse carries the limb's share of the weight: Alexander R.McN.,
Maloiy G.M.O., Hunter B., Jayes A.S., Musinguzi R., Journal of Zoology 189 (1979) 135-144. Share
of the front pair 0.57: Dutto D.J., Hoyt D.F., Cogger E.A., Wickler S.J., Journal of Experimental
Biology 207 (2004) 3507-3514.
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
FRONT_PAIR = 0.57


def duty(n: Numbers) -> float:
    """Part of the stride on the ground."""
    return n["stance_ms"] / n["stride_ms"]


def mean_push(mass: float, part: float, share: float = FRONT_PAIR) -> float:
    """Mean push on one foot of the pair while it stands [N]."""
    return mass * WEIGHT_OF_A_KG_N * share / 2 / part


def peak(n: Numbers) -> float:
    """Peak of the half-sine with that mean [N]."""
    return math.pi / 2 * mean_push(n["mass_kg"], duty(n))


def lean(n: Numbers) -> float:
    """Lean of the push while pushing off, as a plain size [degrees]."""
    return math.degrees(math.atan(n["push_forward_n"] / n["push_up_n"]))


def foot_with(n: Numbers, worth: str) -> str:
    """The foot that travels furthest forward, is pushed back hardest, or whose push leans most."""

    def size(letter: str) -> float:
        up, back = n[f"foot_{letter.lower()}_up_n"], n[f"foot_{letter.lower()}_back_n"]
        travel = n[f"foot_{letter.lower()}_travel_deg"]
        return {"travel": travel, "back": back, "lean": back / up}[worth]

    return max("ABC", key=size)


def clear(n: Numbers) -> bool:
    """No set of numbers that gives a question away or makes it a matter of rounding."""
    if len({foot_with(n, worth) for worth in ("travel", "back", "lean")}) < 3:
        return False
    for size in ("travel_deg", "up_n", "back_n"):  # no ties
        if len({n[f"foot_{letter}_{size}"] for letter in "abc"}) < 3:
            return False
    leans = sorted(n[f"foot_{x}_back_n"] / n[f"foot_{x}_up_n"] for x in "abc")
    return (
        leans[2] > 1.1 * leans[1]
        and leans[2] < 0.2
        and 0.33 <= duty(n) <= 0.43
        and 0.04 < n["push_forward_n"] / n["push_up_n"] < 0.14
    )


MOVE = "lesson 02, 'Move'"
WHY = "lesson 02, 'Why'"

duty_factor = Number(
    name="1",
    title="The duty factor",
    text=(
        "A horse trots past your camera. From the film you count how long one front foot is on the "
        "ground (**stance**) and how long it takes from one contact to the next (**stride**). Both "
        "are in your table, in thousandths of a second (ms).\n\n"
        "Work out the **duty factor**: the part of the stride that the foot is on the ground. It "
        "has no unit. Three digits are enough.\n\n"
        "Put your number in place of the three dots."
    ),
    points=1,
    ability="estimate the greatest push from the duty factor",
    asked="the part of the stride that a foot is on the ground, between 0 and 1",
    truth=duty,
    near=Near(mark=0.01, working=0.02, reason="three digits are asked for; 1 % allows for a slack"),
    plausible=(0.05, 1),
    slips=(
        Slip(
            "stride over stance",
            lambda n: 1 / duty(n),
            "Your fraction is upside down. A part of the stride is less than one.",
        ),
        Slip(
            "the part in the air",
            lambda n: 1 - duty(n),
            "That is the part of the stride in the air. The part on the ground is asked for.",
        ),
        Slip(
            "stance over the time in the air",
            lambda n: n["stance_ms"] / (n["stride_ms"] - n["stance_ms"]),
            "You divided by the time in the air. The stride runs from one contact to the next: "
            f"ground and air together. See {MOVE}.",
        ),
        Slip(
            "per cent for a part",
            lambda n: 100 * duty(n),
            "That is in per cent. A part of one is asked for: 50 per cent would be 0.5.",
            0.5,
        ),
        Slip(
            "seconds and milliseconds mixed",
            lambda n: duty(n) / 1000,
            "One time went in as seconds and the other as milliseconds. Use the same for both.",
        ),
    ),
    close_points=0.5,
    right=(
        "The shorter a foot stands, the harder it is pushed while it does. With this one number "
        "and the horse's mass you can estimate the peak."
    ),
    keep_going=f"Not yet. One division: stance by stride. See {MOVE}, where both are explained.",
    stub="answer_1 = ...",
    reference="n = task.numbers\nanswer_1 = n.stance_ms / n.stride_ms",
)

peak_push = Number(
    name="2",
    title="How hard is it pushed?",
    text=(
        "The same horse, the same front foot. At trot the front **pair** carries 0.57 of the "
        "weight. A kilogram weighs 9.81 newtons. The mass of horse, rider and tack is in your "
        "table.\n\n"
        "Estimate the **peak** of the push, up, on this one foot, in newtons:\n\n"
        "> peak = π/4 × share of the pair × mass × 9.81 / duty factor\n\n"
        "On paper, with a calculator, or here: `math.pi` is π. Three digits are enough."
    ),
    points=2,
    ability="estimate the greatest push from the duty factor",
    asked="the greatest push on one front foot at trot, in newtons",
    truth=peak,
    near=Near(mark=0.01, working=0.02, reason="1 % allows for 0.785 and a rounded duty factor"),
    plausible=(500, 30_000),
    slips=(
        Slip(
            "pair for limb",
            lambda n: 2 * peak(n),
            "One foot got what the pair carries, or π/2 stands in place of π/4. The "
            f"half for one foot is in the π/4: see {WHY}.",
            1.0,
        ),
        Slip(
            "kg for N, or g left out",
            lambda n: peak(n) / WEIGHT_OF_A_KG_N,
            "That is in kilograms: the 9.81 is missing. A force is in newtons.",
            1.0,
        ),
        Slip(
            "mean for peak",
            lambda n: 2 / math.pi * peak(n),
            "That is the mean push while the foot stands. The peak of a half-sine is higher: "
            f"see {WHY}.",
            1.0,
        ),
        Slip(
            "hind for front",
            lambda n: (1 - FRONT_PAIR) / FRONT_PAIR * peak(n),
            "You took the share of the hind pair. This is a front foot.",
            1.0,
        ),
        Slip(
            "share left out",
            lambda n: peak(n) / FRONT_PAIR,
            "The share of the pair is missing: the front pair does not carry the whole horse.",
            1.0,
        ),
        Slip(
            "a quarter to each foot",
            lambda n: 0.25 / (FRONT_PAIR / 2) * peak(n),
            "You gave each foot a quarter of the weight. The front feet carry more than that.",
            1.0,
        ),
        Slip(
            "duty factor above the line",
            lambda n: duty(n) ** 2 * peak(n),
            "You multiplied by the duty factor. It stands below the line: the shorter the foot "
            "stands, the harder it is pushed.",
            0.5,
        ),
        Slip(
            "duty factor left out",
            lambda n: duty(n) * peak(n),
            "The duty factor is missing. The foot has to do all its carrying while it stands.",
            0.5,
        ),
        Slip(
            "average over the whole stride",
            lambda n: 2 / math.pi * duty(n) * peak(n),
            "That is what the foot carries averaged over the whole stride. It carries only while "
            f"it stands, and its peak is above its mean: see the steps in {WHY}.",
            0.5,
        ),
        Slip(
            "stance for the duty factor",
            lambda n: 1000 / n["stride_ms"] * peak(n),
            "You divided by the stance in seconds. Below the line stands the duty factor, which "
            "is stance divided by stride.",
            0.5,
        ),
        Slip(
            "share in per cent",
            lambda n: 100 * peak(n),
            "The share went in as per cent. 57 per cent is 0.57.",
            1.0,
        ),
        Slip(
            "duty factor in per cent",
            lambda n: peak(n) / 100,
            "The duty factor went in as per cent. Take the plain part, between 0 and 1.",
            1.0,
        ),
    ),
    close_points=1.0,
    right=(
        "More than you would think, on one foot. At trot such an estimate is 3 % too low on "
        "average; single steps lie several per cent to either side. Say that with it."
    ),
    keep_going=(
        "Not yet. Go step by step: weight, the pair's share, times π/4, divided by the duty "
        f"factor. The worked example in {WHY} does the same with other numbers."
    ),
    stub="import math\n\nanswer_2 = ...",
    reference=(
        "import math\n\nn = task.numbers\npart = n.stance_ms / n.stride_ms\n"
        "answer_2 = math.pi / 4 * 0.57 * n.mass_kg * 9.81 / part"
    ),
)

three_feet = Choice(
    name="3",
    title="Whose push leans back the most?",
    text=(
        "Three front feet, A, B and C, each filmed at landing and then measured on a force plate. "
        "Your table gives for each: the direction of **travel** just before contact (0 is straight "
        "down, larger is further forward), and the two parts of the **push** a quarter of the "
        "stance later, while the limb brakes: up and back.\n\n"
        "In which foot does the push lean back the most? Write the letter of the foot and the "
        "letter of the reason, each between quotation marks."
    ),
    points=2,
    ability="read how far the push leans while the limb brakes and while it pushes off",
    options={"A": "foot A", "B": "foot B", "C": "foot C"},
    reasons={
        "P": "because it came in travelling furthest forward",
        "Q": "because the part of its push that points back is the largest of the three",
        "R": "because its push back, divided by its push up, is the largest of the three",
        "S": "because it carries the most",
    },
    truth=lambda n: foot_with(n, "lean"),
    right_reason="R",
    choice_points=1,
    slips=(
        Slip(
            "travel for force",
            lambda n: foot_with(n, "travel"),
            "You took the foot that travels furthest forward. Travel is where it moved before it "
            f"touched the ground; the push comes after, and has a direction of its own. See {WHY}.",
        ),
        Slip(
            "size for direction",
            lambda n: foot_with(n, "back"),
            "You took the foot that is pushed back the hardest. It may be pushed up harder still. "
            f"What decides how far a push leans? See {WHY}.",
        ),
    ),
    reason_messages={
        "P": "Another foot came in travelling further forward, and its push leans less.",
        "Q": "Another foot is pushed back harder, and its push leans less. What else counts?",
        "S": "How much a foot carries does not by itself tip the push. What has to be compared?",
    },
    right=(
        "Two parts make a direction, and neither alone does. The path on which the foot came in "
        "is not a part of it."
    ),
    keep_going="Not yet. Work out the lean of all three, then compare.",
    stub='answer_3 = ""  # A, B or C\nreason_3 = ""  # P, Q, R or S',
    reference=(
        "n = task.numbers\nlean = {\n"
        '    "A": n.foot_a_back_n / n.foot_a_up_n,\n'
        '    "B": n.foot_b_back_n / n.foot_b_up_n,\n'
        '    "C": n.foot_c_back_n / n.foot_c_up_n,\n}\n'
        'answer_3 = max(lean, key=lean.get)\nreason_3 = "R"'
    ),
)

push_off = Number(
    name="4",
    title="Pushing off",
    text=(
        "Late in the stance a front foot **pushes off**. The force plate shows how hard the ground "
        "pushes up and how hard it pushes forward; both are in your table.\n\n"
        "Let the library work out the **tilt** of the push in degrees. Fill in two lines:\n\n"
        "- the fore-aft force, with its sign: plus while a limb brakes, minus while it pushes off\n"
        "- `ground_force.tilt_deg(vertical_n, fore_aft_n)`, which gives the lean from upright with "
        "the same sign"
    ),
    points=1,
    ability="read how far the push leans while the limb brakes and while it pushes off",
    asked="the lean of the push from upright while pushing off, in degrees, with its sign",
    truth=lambda n: -lean(n),
    near=Near(mark=0.01, working=0.02, reason="the library is exact; 1 % allows for rounding"),
    plausible=(-90, 90),
    slips=(
        Slip(
            "sign: braking for push-off",
            lean,
            "The size is right, the sign is not. Plus means that the push leans back, as it does "
            "while the limb brakes.",
            0.5,
        ),
        Slip(
            "upside down or from the ground, braking",
            lambda n: 90 - lean(n),
            "Up and forward have changed places, or you measured from the ground. The lean is "
            "counted from upright. Look at the sign as well.",
        ),
        Slip(
            "upside down or from the ground, pushing off",
            lambda n: lean(n) - 90,
            "Up and forward have changed places, or you measured from the ground. The lean is "
            "counted from upright.",
        ),
        Slip(
            "ratio or radians for degrees",
            lambda n: -math.radians(lean(n)),
            "That is the plain ratio of the two forces, or the angle in radians. Degrees are asked "
            "for: tilt_deg gives them.",
        ),
        Slip(
            "per cent for degrees",
            lambda n: -100 * math.tan(math.radians(lean(n))),
            "That is the ratio in per cent. Per cent are not degrees: take the angle.",
        ),
    ),
    close_points=0.5,
    right=(
        "A few degrees forward, after a few degrees back. Small as it is, this swing changes the "
        "angle between push and horn all through the stance; lesson 07 goes on from here."
    ),
    keep_going=(
        f"Not yet. First the sign of the fore-aft force, then the call: up first. See {WHY}."
    ),
    stub=(
        "from hoofcalc import ground_force\n\n"
        "fore_aft = ...  # with its sign\n"
        "answer_4 = ...  # ground_force.tilt_deg(...)"
    ),
    reference=(
        "from hoofcalc import ground_force\n\nn = task.numbers\nfore_aft = -n.push_forward_n\n"
        "answer_4 = ground_force.tilt_deg(n.push_up_n, fore_aft)"
    ),
)

in_words = Written(
    name="5",
    title="Put it right",
    text=(
        "On a photograph of a landing foot somebody has drawn an arrow along the path on which the "
        "foot comes in, and has written beside it: *so this is how the load goes into the hoof.* "
        "Put it right in three to five sentences. Use the words **travel**, **brake** and **push "
        "off**, and name one thing that our curves or estimates do not tell."
    ),
    points=2,
    ability="tell the direction in which a foot travels",
    scale=(
        "half a point: the path is where the foot travels before contact, while the ground does "
        "not push on it",
        "half a point: the push depends on the weight carried and on braking or pushing off, not "
        "on the path",
        "half a point: the push leans back while the limb brakes and forward while it pushes off, "
        "by some degrees only",
        "half a point: names one true limit, for example the impact of the first 30 to 50 ms, the "
        "error of the estimate at walk or canter, or the assumed sizes at canter",
    ),
    stub="*Write your explanation here, in place of this line.*",
    reference=(
        "The arrow shows how the foot travels before it touches the ground, and there nothing "
        "pushes on it. Once it stands, the push depends on the weight it carries and on whether "
        "the limb brakes or pushes off. While it brakes the push leans back a few degrees, while "
        "it pushes off a few degrees forward. The curves do not show the impact at the start."
    ),
    right="",
    keep_going="",
)


def half_sine(moment: float, mass: float, stance: float, stride: float) -> float:
    """Push up on one front foot [N]: half a sine while it stands, nothing in the air."""
    if moment < 0 or moment > 100:
        return 0.0
    return _anywhere(moment, mass, stance, stride)


def _anywhere(moment: float, mass: float, stance: float, stride: float) -> float:
    highest = math.pi / 2 * mean_push(mass, stance / stride)
    return highest * math.sin(math.pi * moment / 100)


def _always_the_peak(moment: float, mass: float, stance: float, stride: float) -> float:
    return half_sine(50, mass, stance, stride) if 0 <= moment <= 100 else 0.0


def _sine_of_degrees(moment: float, mass: float, stance: float, stride: float) -> float:
    """180 degrees handed to the sine as they are."""
    if moment < 0 or moment > 100:
        return 0.0
    return half_sine(50, mass, stance, stride) * math.sin(180 * moment / 100)


half_sine_push = Function(
    name="6",
    title="For those who like it: the push at any moment",
    text=(
        "Write a small function `push_n(moment_percent, mass_kg, stance_ms, stride_ms)` that gives "
        "the push up on **one front foot** at trot, in newtons, as the half-sine of the estimate "
        "with its 0.57. The lesson has it, under *Work it out*.\n\n"
        "The moment is in per cent of the stance. Below 0 or above 100 the foot is in the air, and "
        "the ground does not push. Give back 0 then. `math.sin` wants radians; 180 degrees are "
        "`math.pi`."
    ),
    points=2,
    ability="read how far the push leans while the limb brakes and while it pushes off",
    call="push_n",
    truth=half_sine,
    near=Near(mark=0.01, working=0.02, reason="the formula is exact; 1 % allows for 3.14"),
    examples=((50, 500, 280, 740), (25, 400, 300, 720), (-20, 400, 300, 720)),
    cases=(
        Case(
            "in the middle",
            lambda n: (50, n["mass_kg"], n["stance_ms"], n["stride_ms"]),
            0.5,
            "In the middle of the stance, where the push is at its peak, it is already off. How "
            "high is the peak, and which way does the duty factor come in?",
        ),
        Case(
            "early",
            lambda n: (18, n["mass_kg"], n["stance_ms"], n["stride_ms"]),
            1.0,
            "In the middle of the stance it is right, early in the stance it is off. What "
            "part of its peak has the hill reached there?",
        ),
        Case(
            "in the air",
            lambda n: (-15, n["mass_kg"], n["stance_ms"], n["stride_ms"]),
            0.5,
            "Before contact the foot is in the air, and the ground cannot push: give back 0.",
        ),
    ),
    slips=(
        Slip(
            "pushed in the air",
            _anywhere,
            "In the air your foot is still pushed. Travel without contact is not a push: "
            "give back 0.",
        ),
        Slip(
            "the peak at every moment",
            _always_the_peak,
            "You give back the peak at every moment. The push rises and falls: the sine is "
            "missing.",
        ),
        Slip(
            "degrees for radians",
            _sine_of_degrees,
            "Degrees went into the sine as they are. π × moment / 100 is in radians already.",
        ),
        Slip(
            "pair for limb",
            lambda *inputs: 2 * half_sine(*inputs),
            "That is what the pair would give. One foot is asked for: the half is in the π/4.",
        ),
        Slip(
            "kg for N",
            lambda *inputs: half_sine(*inputs) / WEIGHT_OF_A_KG_N,
            "That is in kilograms: the 9.81 is missing.",
        ),
        Slip(
            "mean for peak",
            lambda *inputs: 2 / math.pi * half_sine(*inputs),
            "Your hill is only as high as the mean push. Its peak is π/2 times as high.",
        ),
        Slip(
            "duty factor above the line",
            lambda moment, mass, stance, stride: (
                (stance / stride) ** 2 * half_sine(moment, mass, stance, stride)
            ),
            "You multiplied by the duty factor. It stands below the line.",
        ),
    ),
    right=(
        "Draw it against the moment and you have the dashed curve of the figure: one smooth hill "
        "while the foot stands, and nothing before and after."
    ),
    keep_going=(
        "Four steps. Below 0 or above 100 give back 0. The duty factor is stance / stride. The "
        "peak is π/4 × 0.57 × mass × 9.81 / duty factor. The push is the peak × sin(π × moment / "
        "100), and π × moment / 100 is in radians already. Print what comes out of each."
    ),
    stub=(
        "import math\n\n\n"
        "def push_n(moment_percent, mass_kg, stance_ms, stride_ms):\n    return ..."
    ),
    reference=(
        "import math\n\n\ndef push_n(moment_percent, mass_kg, stance_ms, stride_ms):\n"
        "    if moment_percent < 0 or moment_percent > 100:\n"
        "        return 0\n"
        "    duty_factor = stance_ms / stride_ms\n"
        "    peak = math.pi / 4 * 0.57 * mass_kg * 9.81 / duty_factor\n"
        "    return peak * math.sin(math.pi * moment_percent / 100)"
    ),
)

EXERCISE = Exercise(
    name="02-ground-force",
    title="Exercise 02: Ground force",
    intro=(
        "It belongs to lesson 02, *ground force*. There are 10 points and about 40 minutes of "
        "work. Begin at the top; the last question is for those who want more.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "All horses, films and measurements are invented. This is a model for learning, not for "
        "judging a horse: a lame, sore, hot, swollen, bleeding or suddenly changed foot is a "
        "matter for a veterinary surgeon."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity(
            "mass_kg",
            "horse, rider and tack: mass",
            "kg",
            (380, 420, 455, 480, 505, 520, 560, 610, 690),
        ),
        Quantity("stance_ms", "front foot: stance", "ms", (248, 256, 264, 272, 280, 288, 296, 304)),
        Quantity("stride_ms", "front foot: stride", "ms", (690, 705, 720, 735, 750, 765, 780)),
        *(
            quantity
            for letter in "abc"
            for quantity in (
                Quantity(
                    f"foot_{letter}_travel_deg",
                    f"foot {letter.upper()}: travel, forward of straight down",
                    "degrees",
                    (8, 12, 16, 20, 24, 28, 32, 36),
                ),
                Quantity(
                    f"foot_{letter}_up_n",
                    f"foot {letter.upper()}: push up",
                    "N",
                    (2900, 3200, 3500, 3800, 4100, 4400, 4700, 5000),
                ),
                Quantity(
                    f"foot_{letter}_back_n",
                    f"foot {letter.upper()}: push back",
                    "N",
                    (260, 310, 360, 410, 460, 510, 560, 610),
                ),
            )
        ),
        Quantity("push_up_n", "pushing off: push up", "N", (3050, 3300, 3600, 3850, 4150, 4400)),
        Quantity(
            "push_forward_n",
            "pushing off: push forward",
            "N",
            (190, 230, 270, 310, 350, 390),
        ),
    ),
    fits=clear,
    questions=(duty_factor, peak_push, three_feet, push_off, in_words, half_sine_push),
)

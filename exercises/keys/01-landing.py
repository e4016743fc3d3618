"""Key to exercise 01, landing. For instructors: never hand this out.

The truths are worked out here from counts of frames and the path of a mark, and not with the
library, so that a fault of the library cannot hide behind a fault of the key. All films are
invented; distances, times and point errors are chosen to be typical of horses at trot.

Sources: speed, stance and direction: definitions. That three frames in the last tenth of a
second hold no landing, and that smoothing mixes flight with stance: reasoned in lesson 01.
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

PLAYED_AT = 30.0  # frames a second at which slow motion is shown
FEWEST_FRAMES, LAST_S = 4, 0.1  # a landing needs so many frames in the last stretch of flight


def fall_left_mm(n: Numbers) -> float:
    """How far the mark has yet to fall after the last frame in the air."""
    return n["last_height_mm"] - n["standing_height_mm"]


def frame_ms(n: Numbers) -> float:
    """Time from one frame to the next."""
    return 1000 / n["contact_film_rate"]


def contact_ms(n: Numbers) -> float:
    """From the last frame in the air to contact, falling on evenly."""
    return fall_left_mm(n) / n["fall_a_frame_mm"] * frame_ms(n)


def descent(n: Numbers) -> float:
    """Angle of descent from straight down [degrees]."""
    return math.degrees(math.atan(n["forward_mm"] / n["down_mm"]))


def steps(n: Numbers) -> float:
    """Steps from contact to lift-off."""
    return n["lift_off_frame"] - n["contact_frame"]


def stride_steps(n: Numbers) -> float:
    """Steps from contact to the next contact."""
    return n["next_contact_frame"] - n["contact_frame"]


def stance(n: Numbers) -> float:
    """Time on the ground [s]."""
    return steps(n) / n["slow_film_rate"]


def film(n: Numbers, letter: str) -> tuple[float, float, float]:
    """Frame rate, point error and smoothing of one film."""
    low = letter.lower()
    return n[f"film_{low}_rate"], n[f"film_{low}_error_mm"], n[f"film_{low}_smoothing_hz"]


def film_with(n: Numbers, worth: str) -> str:
    """The film that holds the landing, the fastest one, or the most finely placed one."""

    def size(letter: str) -> float:
        rate, error, smoothing = film(n, letter)
        holds = rate * LAST_S >= FEWEST_FRAMES and smoothing == 0
        return {"holds": float(holds), "fastest": rate, "finest": -error}[worth]

    return max("ABC", key=size)


def clear(n: Numbers) -> bool:
    """No set of numbers that gives a question away or makes it a matter of rounding."""
    films = [film(n, letter) for letter in "ABC"]
    slow, middle, fast = sorted(films)
    if not slow[0] * LAST_S < FEWEST_FRAMES <= middle[0] * LAST_S < fast[0] * LAST_S:
        return False
    if slow[2] or middle[2] or not fast[2]:  # only the fastest is smoothed
        return False
    if slow[1] >= min(middle[1], fast[1]):  # the slowest is the most finely placed
        return False
    share = fall_left_mm(n) / n["fall_a_frame_mm"]
    ratio = n["forward_mm"] / n["down_mm"]
    duty = steps(n) / stride_steps(n)
    # a truth of few digits could stand in the text by chance
    whole = all(len(f"{truth:.6g}") >= 6 for truth in (contact_ms(n), stance(n)))
    return (
        whole
        and 0.25 < share < 0.85
        and abs(share - 0.5) > 0.06
        and 0.25 < ratio < 0.7
        and 0.33 < duty < 0.43
    )


MOVE = "lesson 01, 'Move'"
WHY = "lesson 01, 'Why'"
PAPER = "lesson 01, 'Work it out'"
FIND = "lesson 01, 'Work it out'"
CANNOT = "lesson 01, 'Why'"

contact = Number(
    name="1",
    title="Contact between two frames",
    text=(
        "A mark on the toe comes down. In the **last frame in the air** it is at the height in "
        "your table; while the foot stands it is at its *standing height*. In the last frames it "
        "falls by the same distance from frame to frame.\n\n"
        "How long after that last frame in the air does it touch down? Work out the time in "
        "**thousandths of a second (ms)**, as if it went on falling as before. One step from frame "
        "to frame takes 1000 / frame rate thousandths of a second. Three digits are enough.\n\n"
        "Put your number in place of the three dots."
    ),
    points=2,
    ability="find the moment of contact in a film",
    asked="the time from the last frame in the air to contact, in ms",
    truth=contact_ms,
    near=Near(mark=0.01, working=0.02, reason="three digits; 1 % allows for a rounded step"),
    plausible=(0.0005, 60),
    slips=(
        Slip(
            "height above the ground, not above standing",
            lambda n: n["last_height_mm"] / n["fall_a_frame_mm"] * frame_ms(n),
            "You let the mark fall to the ground itself. It is at its standing height when the "
            f"foot stands, for it sits a little above the sole. See {FIND}.",
            1.0,
        ),
        Slip(
            "steps for milliseconds",
            lambda n: fall_left_mm(n) / n["fall_a_frame_mm"],
            "That is a part of one step. How long does one step take?",
            1.0,
        ),
        Slip(
            "seconds for milliseconds",
            lambda n: contact_ms(n) / 1000,
            "That is in seconds. Thousandths of a second are asked for.",
            1.0,
        ),
        Slip(
            "a whole step",
            frame_ms,
            "That is the next frame. The mark touched down before it: find the part of the step.",
        ),
        Slip(
            "half a step",
            lambda n: frame_ms(n) / 2,
            "That is the middle between two frames. You know more: how far it is still up, and how "
            "fast it falls.",
            0.5,
        ),
        Slip(
            "upside down",
            lambda n: n["fall_a_frame_mm"] / fall_left_mm(n) * frame_ms(n),
            "Your fraction is upside down: the distance left to fall is divided by what it "
            "falls in a step.",
        ),
        Slip(
            "playback rate for frame rate",
            lambda n: contact_ms(n) * n["contact_film_rate"] / PLAYED_AT,
            "You took the rate at which slow motion is played. Time is counted with the rate at "
            f"which the film was taken: see {WHY}.",
            0.5,
        ),
        Slip(
            "the part after contact",
            lambda n: frame_ms(n) - contact_ms(n),
            "That is the time from contact to the next frame. Count from the last frame in the "
            "air.",
            0.5,
        ),
    ),
    close_points=1.0,
    right=(
        "So a film times contact finer than its frames, as long as you see the mark fall. The "
        "library does the same with a curve through many frames, and adds its error."
    ),
    keep_going=(
        "Not yet. How far has it still to fall? What part of one step is that? How long is a "
        f"step? See {FIND}."
    ),
    stub="answer_1 = ...",
    reference=(
        "n = task.numbers\nleft_mm = n.last_height_mm - n.standing_height_mm\n"
        "answer_1 = left_mm / n.fall_a_frame_mm * 1000 / n.contact_film_rate"
    ),
)

angle = Number(
    name="2",
    title="The angle of descent",
    text=(
        "In its last frames in the air another mark moves down and forward by the distances in "
        "your table.\n\n"
        "What is its **angle of descent** in degrees, counted from straight down, plus for "
        "forward? With the calculator's key tan⁻¹, or here: `math.atan(...)` gives the angle in "
        "radians and `math.degrees(...)` turns it into degrees."
    ),
    points=1,
    ability="work out the speed and direction of the landing foot",
    asked="the direction in which a foot comes down, in degrees from straight down",
    truth=descent,
    near=Near(mark=0.01, working=0.02, reason="three digits are asked for; 1 % allows for a slack"),
    plausible=(-90, 90),
    slips=(
        Slip(
            "from the ground",
            lambda n: 90 - descent(n),
            "That is counted from the ground (or the fraction is upside down). The angle of "
            f"descent is counted from straight down: see the picture in {WHY}.",
            0.5,
        ),
        Slip(
            "radians for degrees",
            lambda n: math.radians(descent(n)),
            "That is in radians. Turn it into degrees.",
            0.5,
        ),
        Slip(
            "tangent for angle",
            lambda n: n["forward_mm"] / n["down_mm"],
            "That is the fraction, the tangent of the angle. Take the angle itself.",
            0.5,
        ),
        Slip(
            "per cent for degrees",
            lambda n: 100 * n["forward_mm"] / n["down_mm"],
            "That is the fraction in per cent. Per cent are not degrees: take the angle.",
        ),
        Slip(
            "sign",
            lambda n: -descent(n),
            "The size is right, the sign is not: forward counts plus.",
            0.5,
        ),
        Slip(
            "sine for tangent",
            lambda n: math.degrees(math.asin(n["forward_mm"] / n["down_mm"])),
            "You took sin⁻¹. Forward divided by down is a tangent.",
            0.5,
        ),
    ),
    right=(
        "It says where the foot moves in its last moment in the air. It does not say how the "
        "ground pushes: travel is not force."
    ),
    keep_going=f"Not yet. Forward divided by down, then the angle of which that is the tangent: "
    f"see {PAPER}.",
    stub="import math\n\nanswer_2 = ...",
    reference=(
        "import math\n\nn = task.numbers\n"
        "answer_2 = math.degrees(math.atan(n.forward_mm / n.down_mm))"
    ),
)

on_the_ground = Number(
    name="3",
    title="How long it stands",
    text=(
        "A slow-motion film of a trot was taken at the rate in your table; it is played at 30 "
        "frames a second. You note three frames of one front foot: the first on the ground "
        "(**contact**), the first in the air again (**lift-off**), and the first on the ground of "
        "the next step.\n\n"
        "How long does the foot **really** stand? Work out the stance in seconds. Three digits are "
        "enough."
    ),
    points=1,
    ability="work out the speed and direction of the landing foot",
    asked="the time a foot is on the ground, in seconds, counted from frames",
    truth=stance,
    near=Near(mark=0.004, working=0.008, reason="three digits; one frame more or less must show"),
    plausible=(0.002, 2000),
    slips=(
        Slip(
            "playback rate for frame rate",
            lambda n: steps(n) / PLAYED_AT,
            "You divided by the rate at which the film is played. Count with the rate at which it "
            f"was taken: see {WHY}.",
            0.5,
        ),
        Slip(
            "frames for seconds",
            steps,
            "That is the number of steps from frame to frame. How long does one take?",
            0.5,
        ),
        Slip(
            "one frame too many",
            lambda n: (steps(n) + 1) / n["slow_film_rate"],
            "You counted the frames, first and last both. The steps between them are one fewer.",
            0.5,
        ),
        Slip(
            "one frame too few",
            lambda n: (steps(n) - 1) / n["slow_film_rate"],
            "One step is missing. From a frame to the next is one step, to the one after it two.",
            0.5,
        ),
        Slip(
            "stride for stance",
            lambda n: stride_steps(n) / n["slow_film_rate"],
            "That is the stride, from contact to the next contact. The stance ends at lift-off.",
        ),
        Slip(
            "time in the air for stance",
            lambda n: (stride_steps(n) - steps(n)) / n["slow_film_rate"],
            "That is the time in the air, from lift-off to the next contact.",
        ),
        Slip(
            "duty factor for stance",
            lambda n: steps(n) / stride_steps(n),
            "That is the duty factor, stance over stride. Here the stance itself is asked for, in "
            "seconds.",
        ),
        Slip(
            "milliseconds for seconds",
            lambda n: 1000 * stance(n),
            "That is in thousandths of a second. Seconds are asked for.",
            0.5,
        ),
        Slip(
            "upside down",
            lambda n: n["slow_film_rate"] / steps(n),
            "Your fraction is upside down: steps divided by frames a second gives seconds.",
        ),
    ),
    right=(
        "Divide it by the stride and you have the duty factor, from which lesson 02 estimates how "
        "hard the ground pushes. Lift-off is the soft end: by eye it is a frame or two uncertain."
    ),
    keep_going=f"Not yet. Count the steps from contact to lift-off, then see {WHY} for the time of "
    "one step.",
    stub="answer_3 = ...",
    reference=(
        "n = task.numbers\nanswer_3 = (n.lift_off_frame - n.contact_frame) / n.slow_film_rate"
    ),
)

which_film = Choice(
    name="4",
    title="Which track holds the landing?",
    text=(
        "Three tracks of the same trot, A, B and C. Your table gives for each the frame rate, the "
        "point error, and the cutoff with which somebody has already smoothed it (0 means raw: not "
        "smoothed). The raw points of a smoothed track are lost.\n\n"
        "Which track can still give the **speed at contact**? Write the letter of the track and "
        "the letter of the reason, each between quotation marks."
    ),
    points=2,
    ability="say how far to trust these numbers at 30, 60 and 240 frames a second",
    options={"A": "track A", "B": "track B", "C": "track C"},
    reasons={
        "P": "because it has the most frames a second",
        "Q": "because its points are placed the most finely",
        "R": "because enough raw frames catch the last tenth of a second in the air",
        "S": "because smoothing has taken its errors out",
    },
    truth=lambda n: film_with(n, "holds"),
    right_reason="R",
    choice_points=1,
    slips=(
        Slip(
            "the fastest",
            lambda n: film_with(n, "fastest"),
            "You took the track with the most frames a second. Look what has been done to it: what "
            f"does that take away at contact? See {CANNOT}.",
        ),
        Slip(
            "the finest",
            lambda n: film_with(n, "finest"),
            "You took the track with the smallest point error. How many of its frames fall into "
            f"the last tenth of a second in the air? See {CANNOT}.",
        ),
    ),
    reason_messages={
        "P": "Another track has more frames a second, and still does not give the speed.",
        "Q": "Another track is placed more finely, and still does not give the speed.",
        "S": "Smoothing mixes the flight with the time in which the foot stands.",
    },
    right=(
        "Enough frames, and raw ones. A fine hand cannot make up for frames that are not there, "
        "and many frames cannot bring back what smoothing has mixed."
    ),
    keep_going="Not yet. Ask of each track: how many raw frames in the last tenth of a second?",
    stub='answer_4 = ""  # A, B or C\nreason_4 = ""  # P, Q, R or S',
    reference=(
        "n = task.numbers\n"
        "tracks = {\n"
        '    "A": (n.film_a_rate, n.film_a_smoothing_hz),\n'
        '    "B": (n.film_b_rate, n.film_b_smoothing_hz),\n'
        '    "C": (n.film_c_rate, n.film_c_smoothing_hz),\n}\n'
        "for letter, (rate, smoothing) in tracks.items():\n"
        "    if rate / 10 >= 4 and smoothing == 0:\n"
        "        answer_4 = letter\n"
        'reason_4 = "R"'
    ),
)

in_words = Written(
    name="5",
    title="Answer an owner",
    text=(
        "An owner sends you two telephone films at 60 frames a second, one from before and one "
        "from after a trim, and writes: *before, the foot came in at 12 degrees, now at 17. It "
        "lands quite differently!* Each film is one step, and the program states an error of 11 "
        "degrees for each. Answer in three to five sentences. Use the words **frame rate** and "
        "**error**, say what you would film next time, and name one thing that even more frames "
        "would not cure."
    ),
    points=2,
    ability="say how far to trust these numbers at 30, 60 and 240 frames a second",
    scale=(
        "half a point: the difference is smaller than the error, so nothing is shown, neither "
        "change nor sameness",
        "half a point: at 60 frames a second few frames catch the last tenth of a second in the "
        "air, hence the large error",
        "half a point: says what to do better, for example 240 frames a second or more, several "
        "steps, camera still and square, a fine mark, a scale in the picture",
        "half a point: names something that more frames do not cure, for example the mark on the "
        "toe comes down after the heel, lift-off of a turning foot, a camera that is not square, "
        "steps that differ from each other",
    ),
    stub="*Write your explanation here, in place of this line.*",
    reference=(
        "Each angle has an error of 11 degrees, and the two differ by 5: these films do not show a "
        "change. With this frame rate only six frames catch the last tenth of a second in the air. "
        "Next time please film at 240, from the side with the camera still, five steps each time. "
        "Even then the mark on the toe comes down a little after the heel, and steps differ."
    ),
    right="",
    keep_going="",
)


def landing_speed(down: float, forward: float, count: float, rate: float) -> float:
    """Speed over the last steps [m/s]; -1 where too few frames catch the last tenth of a second."""
    if rate * LAST_S < FEWEST_FRAMES:
        return -1.0
    return _anyhow(down, forward, count, rate)


def _anyhow(down: float, forward: float, count: float, rate: float) -> float:
    return math.hypot(down, forward) / 1000 / (count / rate)


def _or_no(speed: float, rate: float) -> float:
    return speed if rate * LAST_S >= FEWEST_FRAMES else -1.0


speed = Function(
    name="6",
    title="For those who like it: the speed, or an honest no",
    text=(
        "Write a small function `landing_speed(down_mm, forward_mm, steps, frames_per_s)` that "
        "gives the speed of a mark in m/s. It moves by `down_mm` and `forward_mm` in so many steps "
        "from frame to frame. The lesson has the formulas, under *Work it out*.\n\n"
        "A landing needs at least four frames in the last tenth of a second. Where the film has "
        "fewer, give back -1, as a sign for *cannot be measured*. Forward may be minus: some feet "
        "come in backward. `math.sqrt` is the root."
    ),
    points=2,
    ability="work out the speed and direction of the landing foot",
    call="landing_speed",
    truth=landing_speed,
    near=Near(mark=0.01, working=0.02, reason="the formula is exact; 1 % allows for rounding"),
    examples=((90, 60, 12, 240), (90, 40, 3, 60), (120, 60, 2, 30)),
    cases=(
        Case(
            "straight down",
            lambda n: (n["down_mm"], 0.0, 6.0, 120.0),
            0.5,
            "A mark that comes straight down has the wrong speed already. Look at the units: "
            "steps are not seconds, and millimetres are not metres.",
        ),
        Case(
            "down and forward",
            lambda n: (n["down_mm"], n["forward_mm"], 10.0, 240.0),
            0.5,
            "Straight down it is right, down and forward it is off. How long is the "
            "way when a mark moves down and forward at once?",
        ),
        Case(
            "backward",
            lambda n: (n["down_mm"], -n["forward_mm"], 8.0, 240.0),
            0.5,
            "With a foot that comes in backward it is off. A distance is never less for that.",
        ),
        Case(
            "a slow camera",
            lambda n: (n["down_mm"], n["forward_mm"], 2.0, 25.0),
            0.5,
            "From a camera that is too slow you give a speed. The film does not hold one: how many "
            "of its frames fall into a tenth of a second?",
        ),
    ),
    slips=(
        Slip(
            "a speed from any camera",
            _anyhow,
            "You give a speed from a camera that is too slow. The film does not hold one: how many "
            "of its frames fall into a tenth of a second?",
        ),
        Slip(
            "mm for m",
            lambda down, forward, count, rate: _or_no(
                1000 * _anyhow(down, forward, count, rate), rate
            ),
            "That is in millimetres a second. Divide by 1000 for metres.",
        ),
        Slip(
            "steps for seconds",
            lambda down, forward, count, rate: _or_no(
                math.hypot(down, forward) / 1000 / count, rate
            ),
            "You divided by the steps. A step is not a second: steps divided by frames a "
            "second gives the time.",
        ),
        Slip(
            "only down",
            lambda down, _forward, count, rate: _or_no(_anyhow(down, 0, count, rate), rate),
            "The distance forward is left out. The way has both in it.",
        ),
        Slip(
            "down and forward added up",
            lambda down, forward, count, rate: _or_no(
                _anyhow(down + forward, 0, count, rate), rate
            ),
            "You added the two distances. They stand square to each other: take the root of the "
            "sum of their squares.",
        ),
        Slip(
            "frames for steps",
            lambda down, forward, count, rate: _or_no(
                _anyhow(down, forward, count + 1, rate), rate
            ),
            "You added one to the steps. What is handed over are steps already.",
        ),
        Slip(
            "playback rate for frame rate",
            lambda down, forward, count, rate: _or_no(
                _anyhow(down, forward, count, PLAYED_AT), rate
            ),
            "You counted with 30 frames a second. Take the rate at which the film was taken.",
        ),
        Slip(
            "time left out",
            lambda down, forward, _count, rate: _or_no(math.hypot(down, forward) / 1000, rate),
            "That is the distance in metres. Divide it by the time.",
        ),
    ),
    right=(
        "A few lines, and one of them says no. A number that a film does not hold is worse than "
        "none, because somebody will believe it."
    ),
    keep_going=(
        "Four steps. If frames_per_s / 10 is less than 4, give back -1. The time is steps / "
        "frames_per_s. The distance is the root of (down × down + forward × forward), in mm; "
        "divide it by 1000 for metres. The speed is distance / time. Print what comes out of each."
    ),
    stub=(
        "import math\n\n\n"
        "def landing_speed(down_mm, forward_mm, steps, frames_per_s):\n    return ..."
    ),
    reference=(
        "import math\n\n\ndef landing_speed(down_mm, forward_mm, steps, frames_per_s):\n"
        "    if frames_per_s / 10 < 4:\n"
        "        return -1\n"
        "    time_s = steps / frames_per_s\n"
        "    distance_mm = math.sqrt(down_mm**2 + forward_mm**2)\n"
        "    return distance_mm / 1000 / time_s"
    ),
)

EXERCISE = Exercise(
    name="01-landing",
    title="Exercise 01: Landing",
    intro=(
        "It belongs to lesson 01, *landing*. There are 10 points and about 40 minutes of work. "
        "Begin at the top; the last question is for those who want more.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "All films and marks are invented. This is a model for learning, not for judging a horse: "
        "a lame, sore, hot, swollen, bleeding or suddenly changed foot is a matter for a "
        "veterinary surgeon."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity("contact_film_rate", "question 1: frame rate", "frames/s", (120, 200, 240)),
        Quantity(
            "last_height_mm",
            "question 1: height in the last frame in the air",
            "mm",
            (13, 14, 15, 16, 17, 18, 19),
        ),
        Quantity("standing_height_mm", "question 1: standing height", "mm", (9, 10, 11, 12)),
        Quantity("fall_a_frame_mm", "question 1: falls in each step", "mm", (7, 8, 9, 10, 11)),
        Quantity("down_mm", "question 2: distance down", "mm", (64, 70, 76, 82, 88, 94, 100)),
        Quantity("forward_mm", "question 2: distance forward", "mm", (22, 27, 31, 36, 42, 47, 53)),
        Quantity("slow_film_rate", "question 3: film taken at", "frames/s", (110, 120, 130)),
        Quantity("contact_frame", "question 3: first frame on the ground", "", (41, 47, 52, 58)),
        Quantity(
            "lift_off_frame",
            "question 3: first frame in the air again",
            "",
            (70, 72, 75, 77, 79, 81, 84, 87, 89),
        ),
        Quantity(
            "next_contact_frame",
            "question 3: first frame on the ground, next step",
            "",
            (119, 122, 125, 128, 131, 134, 137, 140),
        ),
        *(
            quantity
            for letter in "abc"
            for quantity in (
                Quantity(
                    f"film_{letter}_rate",
                    f"track {letter.upper()}: frame rate",
                    "frames/s",
                    (30, 240, 480),
                ),
                Quantity(
                    f"film_{letter}_error_mm",
                    f"track {letter.upper()}: point error",
                    "mm",
                    (0.3, 0.5, 1, 1.5),
                ),
                Quantity(
                    f"film_{letter}_smoothing_hz",
                    f"track {letter.upper()}: smoothed at",
                    "Hz",
                    (0, 0, 15),
                ),
            )
        ),
    ),
    fits=clear,
    questions=(contact, angle, on_the_ground, which_film, in_words, speed),
)

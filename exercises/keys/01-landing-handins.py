"""Hand-ins for exercise 01 as learners write them, with the marks and messages they must get.

All invented. For instructors and tests: never hand this out.
"""

from __future__ import annotations

from hoofcalc.classroom.model.bank import Entry, Expected

LEFT = Expected(0, "not begun")
FULL = {
    "1": Expected(2, "right", "finer than its frames"),
    "2": Expected(1, "right", "travel is not force"),
    "3": Expected(1, "right", "the duty factor"),
    "4": Expected(2, "right", "Enough frames, and raw ones"),
    "5": Expected(0, "waiting"),
    "6": Expected(2, "right", "one of them says no"),
}
NOTHING = dict.fromkeys("123456", LEFT)

LEFT_MM = "(n.last_height_mm - n.standing_height_mm)"
STEPS = "(n.lift_off_frame - n.contact_frame)"
STRIDE = "(n.next_contact_frame - n.contact_frame)"
NO = "    if frames_per_s / 10 < 4:\n        return -1\n"
WAY = "math.sqrt(down_mm**2 + forward_mm**2)"


def number(name: str, value: str) -> str:
    return f"import math\n\nn = task.numbers\nanswer_{name} = {value}"


def track(best: str, reason: str) -> str:
    """The letter of the track with the largest of something."""
    return (
        "n = task.numbers\nsize = {}\nfor letter in 'ABC':\n"
        "    rate = getattr(n, f'film_{letter.lower()}_rate')\n"
        "    error = getattr(n, f'film_{letter.lower()}_error_mm')\n"
        "    smoothing = getattr(n, f'film_{letter.lower()}_smoothing_hz')\n"
        f"    size[letter] = {best}\nanswer_4 = max(size, key=size.get)\nreason_4 = {reason!r}"
    )


HOLDS = "rate >= 40 and smoothing == 0"


def speed(returns: str, no: str = NO) -> str:
    """A function for question 6 with another last line, or without the first step."""
    return (
        "import math\n\n\ndef landing_speed(down_mm, forward_mm, steps, frames_per_s):\n"
        f"{no}    return {returns}"
    )


BANK = (
    Entry("anna", "everything right", reference=True, expected=FULL),
    Entry("blank", "handed in untouched", typed_id="", expected=NOTHING),
    Entry(
        "Jörg M. Vogelsang",
        "right in other forms: a list, a fraction, rounded, small letters, numpy",
        reference=True,
        answers={
            "1": number(
                "1", f"[round({LEFT_MM} / n.fall_a_frame_mm / n.contact_film_rate * 1000, 2)]"
            ),
            "2": "import numpy as np\n\nn = task.numbers\n"
            "answer_2 = np.degrees(np.arctan2(n.forward_mm, n.down_mm)).round(1)",
            "3": "from fractions import Fraction\n\nn = task.numbers\n"
            f"answer_3 = Fraction({STEPS}, n.slow_film_rate)",
            "4": f"{track(HOLDS, 'r)')}\nanswer_4 = answer_4.lower()",
            "6": "import numpy as np\n\n\n"
            "def landing_speed(down_mm, forward_mm, steps, frames_per_s):\n"
            "    if frames_per_s < 40:\n        return -1.0\n"
            "    return np.hypot(down_mm, forward_mm) * frames_per_s / steps / 1000",
        },
        expected=FULL,
    ),
    Entry(
        "carla",
        "typical slips: to the ground, from the ground, played at 30, the fastest, never says no",
        answers={
            "1": number("1", "n.last_height_mm / n.fall_a_frame_mm * 1000 / n.contact_film_rate"),
            "2": number("2", "math.degrees(math.atan(n.down_mm / n.forward_mm))"),
            "3": number("3", f"{STEPS} / 30"),
            "4": track("rate", "P"),
            "6": speed(f"{WAY} / 1000 / (steps / frames_per_s)", no=""),
        },
        expected={
            "1": Expected(1, "nearly", "standing height"),
            "2": Expected(0.5, "nearly", "counted from straight down"),
            "3": Expected(0.5, "nearly", "the film is played"),
            "4": Expected(0, "nearly", "Look what has been done to it"),
            "5": LEFT,
            "6": Expected(1.5, "nearly", "a camera that is too slow"),
        },
    ),
    Entry(
        "david",
        "other slips: steps, radians, frames, the finest, millimetres",
        answers={
            "1": number("1", f"{LEFT_MM} / n.fall_a_frame_mm"),
            "2": number("2", "math.atan(n.forward_mm / n.down_mm)"),
            "3": number("3", STEPS),
            "4": track("-error", "Q"),
            "6": speed(f"{WAY} / (steps / frames_per_s)"),
        },
        expected={
            "1": Expected(1, "nearly", "a part of one step"),
            "2": Expected(0.5, "nearly", "in radians"),
            "3": Expected(0.5, "nearly", "number of steps"),
            "4": Expected(0, "nearly", "smallest point error"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "millimetres a second"),
        },
    ),
    Entry(
        "emma",
        "half finished: seconds, the tangent, the stride, the right track with a wrong reason",
        answers={
            "1": number("1", f"{LEFT_MM} / n.fall_a_frame_mm / n.contact_film_rate"),
            "2": number("2", "n.forward_mm / n.down_mm"),
            "3": number("3", f"{STRIDE} / n.slow_film_rate"),
            "4": track(HOLDS, "S"),
        },
        expected=NOTHING
        | {
            "1": Expected(1, "nearly", "in seconds"),
            "2": Expected(0.5, "nearly", "Take the angle itself"),
            "3": Expected(0, "nearly", "That is the stride"),
            "4": Expected(1, "nearly", "the reason is not"),
        },
    ),
    Entry(
        "felix",
        "the next frame, per cent, one frame too many, no reason, steps for seconds",
        answers={
            "1": number("1", "1000 / n.contact_film_rate"),
            "2": number("2", "100 * n.forward_mm / n.down_mm"),
            "3": number("3", f"({STEPS} + 1) / n.slow_film_rate"),
            "4": track(HOLDS, ""),
            "6": speed(f"{WAY} / 1000 / steps"),
        },
        expected={
            "1": Expected(0, "nearly", "the next frame"),
            "2": Expected(0, "nearly", "Per cent are not degrees"),
            "3": Expected(0.5, "nearly", "first and last both"),
            "4": Expected(1, "nearly", "reason is still missing"),
            "5": LEFT,
            "6": Expected(0.5, "nearly", "A step is not a second"),
        },
    ),
    Entry(
        "gina",
        "half a step, the sign, one frame too few, only down",
        answers={
            "1": number("1", "500 / n.contact_film_rate"),
            "2": number("2", "math.degrees(math.atan(-n.forward_mm / n.down_mm))"),
            "3": number("3", f"({STEPS} - 1) / n.slow_film_rate"),
            "6": speed("down_mm / 1000 / (steps / frames_per_s)"),
        },
        expected={
            "1": Expected(0.5, "nearly", "the middle between two frames"),
            "2": Expected(0.5, "nearly", "forward counts plus"),
            "3": Expected(0.5, "nearly", "One step is missing"),
            "4": LEFT,
            "5": LEFT,
            "6": Expected(1, "nearly", "The distance forward is left out"),
        },
    ),
    Entry(
        "hugo",
        "upside down, the sine, the time in the air, distances added up",
        answers={
            "1": number("1", f"n.fall_a_frame_mm / {LEFT_MM} * 1000 / n.contact_film_rate"),
            "2": number("2", "math.degrees(math.asin(n.forward_mm / n.down_mm))"),
            "3": number("3", "(n.next_contact_frame - n.lift_off_frame) / n.slow_film_rate"),
            "6": speed("(down_mm + forward_mm) / 1000 / (steps / frames_per_s)"),
        },
        expected={
            "1": Expected(0, "nearly", "is upside down"),
            "2": Expected(0.5, "nearly", "is a tangent"),
            "3": Expected(0, "nearly", "the time in the air"),
            "4": LEFT,
            "5": LEFT,
            "6": Expected(1, "nearly", "added the two distances"),
        },
    ),
    Entry(
        "ines",
        "played at 30 in question 1, a decimal comma, the duty factor, one step more",
        answers={
            "1": number("1", f"{LEFT_MM} / n.fall_a_frame_mm * 1000 / 30"),
            "2": "answer_2 = 22,5",
            "3": number("3", f"{STEPS} / {STRIDE}"),
            "6": speed(f"{WAY} / 1000 / ((steps + 1) / frames_per_s)"),
        },
        expected={
            "1": Expected(0.5, "nearly", "slow motion is played"),
            "2": Expected(0, "keep going", "with a point"),
            "3": Expected(0, "nearly", "That is the duty factor"),
            "4": LEFT,
            "5": LEFT,
            "6": Expected(0.5, "nearly", "are steps already"),
        },
    ),
    Entry(
        "jonas",
        "after contact, milliseconds, no time at all, text",
        answers={
            "1": number("1", f"(1 - {LEFT_MM} / n.fall_a_frame_mm) * 1000 / n.contact_film_rate"),
            "2": "answer_2 = '22 degrees'",
            "3": number("3", f"1000 * {STEPS} / n.slow_film_rate"),
            "6": speed(f"{WAY} / 1000"),
        },
        expected={
            "1": Expected(0.5, "nearly", "from contact to the next frame"),
            "2": Expected(0, "keep going", "quotation marks"),
            "3": Expected(0.5, "nearly", "thousandths of a second"),
            "4": LEFT,
            "5": LEFT,
            "6": Expected(0.5, "nearly", "the distance in metres"),
        },
    ),
    Entry(
        "karla",
        "worked with a neighbour's numbers",
        typed_id="anna",
        reference=True,
        answers={"4": ""},
        expected={
            "1": Expected(0, "keep going", "'anna'"),
            "2": Expected(0, "keep going", "'anna'"),
            "3": Expected(0, "keep going", "'anna'"),
            "4": LEFT,
            "5": Expected(0, "waiting"),
            "6": Expected(2, "right"),
        },
    ),
    Entry(
        "lars",
        "a little off by rounding, upside down, 30 frames a second in the function",
        answers={
            "1": number("1", f"1.015 * {LEFT_MM} / n.fall_a_frame_mm * 1000 / n.contact_film_rate"),
            "3": number("3", f"n.slow_film_rate / {STEPS}"),
            "6": speed(f"{WAY} / 1000 / (steps / 30)"),
        },
        expected=NOTHING
        | {
            "1": Expected(1, "nearly", "a little off"),
            "3": Expected(0, "nearly", "is upside down"),
            "6": Expected(0.5, "nearly", "counted with 30"),
        },
    ),
    Entry(
        "mia",
        "a function that loses its sign, another that stops",
        answers={
            "6": speed(
                "math.sqrt(down_mm**2 + forward_mm * abs(forward_mm)) "
                "/ 1000 / (steps / frames_per_s)"
            ),
        },
        expected=NOTHING | {"6": Expected(1.5, "nearly", "comes in backward")},
    ),
    Entry("quirin", "a file cut short", file=b'{"cells": [', reason="breaks off"),
)

"""The judgement on a small key made for it: each way a verdict can come about, and each point."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import pytest

from hoofcalc.classroom.model.common_slips import COMMON_SLIPS, INPUT_SLIPS, input_slips
from hoofcalc.classroom.model.hints import build_hints, clash, fingerprint, look_up, messages_of
from hoofcalc.classroom.model.judge import (
    NOT_BEGUN,
    REASON_MISSING,
    REASON_UNREADABLE,
    STOPPED,
    HandedIn,
    Verdict,
    deciding_calls,
    function_result,
    judge,
    judge_all,
    out_of_range,
    simple_guesses,
    steps_of_input_slips,
)
from hoofcalc.classroom.model.plain_data import plain
from hoofcalc.classroom.model.questions import (
    ROUNDED,
    Case,
    Choice,
    Exercise,
    Function,
    KeyFileError,
    Near,
    Number,
    Quantity,
    Slip,
    Written,
)
from hoofcalc.classroom.model.variants import all_variants, draw
from hoofcalc.classroom.model.working import Task

OWN = {"length_mm": 347.0, "lean_deg": 31.0, "first_error_deg": 1.3, "share_percent": 17.0}
OTHER = {"length_mm": 523.0, "lean_deg": 47.0, "first_error_deg": 2.1, "share_percent": 23.0}
COMMON: dict[str, Any] = {"title": "A title", "text": "?", "stub": "...", "reference": "x = 1"}

NUMBER = Number(
    name="1",
    points=2,
    right="Yes.",
    keep_going="Two steps.",
    asked="the height in mm",
    truth=lambda n: n["length_mm"] * math.sin(math.radians(n["lean_deg"])),
    near=Near(mark=0.01, working=0.04, reason="rounding"),
    plausible=(1, 5000),
    slips=(
        Slip("cosine", lambda n: n["length_mm"] * math.cos(math.radians(n["lean_deg"])), "Cos.", 1),
        Slip("along", lambda n: n["length_mm"], "Along.", 0.5),
    ),
    close_points=1.5,
    **COMMON,
)
ANGLE = Number(
    name="2",
    points=1,
    right="Right.",
    keep_going="Go on.",
    asked="the angle in degrees",
    truth=lambda n: n["lean_deg"],
    near=Near(mark=0.25, working=0.5, reason="protractor", kind="absolute"),
    plausible=(0, 90),
    **COMMON,
)
ANGLE_EXACTLY = Number(
    name="1",
    points=1,
    right="",
    keep_going="",
    asked="the angle in degrees",
    truth=lambda n: n["lean_deg"],
    near=Near(mark=1e-6, working=1e-6, reason="exact"),
    plausible=(0, 90),
    **COMMON,
)
CHOICE = Choice(
    name="3",
    points=2,
    right="So it is.",
    keep_going="Compare.",
    options={"A": "the tall one", "B": "the flat one", "C": "neither"},
    reasons={"P": "it leans", "Q": "it is long"},
    truth=lambda n: "A" if n["length_mm"] < 400 else "B",
    right_reason="Q",
    choice_points=0.75,
    slips=(
        Slip("flat", lambda n: "B" if n["length_mm"] < 400 else "A", "Not the flat one.", 0.25),
    ),
    reason_messages={"P": "Leaning is not it."},
    **COMMON,
)


def area(width: float, height: float) -> float:
    if height < 0:
        raise ValueError("no height")
    return width * height + 1


FUNCTION = Function(
    name="4",
    points=2,
    right="For all values.",
    keep_going="Step by step.",
    call="area",
    truth=area,
    near=Near(mark=0.01, working=0.02, reason="exact"),
    examples=((2, 3), (5, 7)),
    cases=(
        Case("small", lambda n: (1.7, n["lean_deg"]), 0.5, "Small ones are off."),
        Case("large", lambda n: (n["length_mm"], 90.0), 1.0, "Large ones are off."),
        Case("flat", lambda _: (3.1, 0.0), 0.5, "Flat ones are off."),
    ),
    slips=(
        Slip("one forgotten", lambda w, h: w * h, "The one is missing."),
        Slip("added", lambda w, h: w + h, "Added."),
    ),
    **COMMON,
)
WORDS = Written(name="5", points=3, right="", keep_going="", scale=("1: this", "2: that"), **COMMON)
EXERCISE = Exercise(
    name="77-small",
    title="Small",
    intro="",
    closing="",
    quantities=tuple(
        Quantity(name, name, "", (value, OTHER[name], value + 7, value + 11))
        for name, value in OWN.items()
    ),
    questions=(NUMBER, ANGLE, CHOICE, FUNCTION, WORDS),
    variants=4,
)
TRUTH = NUMBER.truth(OWN)


def number(answer: Any, question: Number = NUMBER) -> Verdict:
    return judge(question, HandedIn({question.answers[0]: plain(answer)}, {}), OWN)


def choice(letter: Any, reason: Any = ...) -> Verdict:
    return judge(CHOICE, HandedIn({"answer_3": plain(letter), "reason_3": plain(reason)}, {}), OWN)


def function(answers: Sequence[Any], value: Any = print) -> Verdict:
    wires = [one if isinstance(one, Mapping) else plain(one) for one in answers]
    return judge(FUNCTION, HandedIn({"area": plain(value)}, {"area": wires}), OWN)


# --- a number -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("answer", "verdict"),
    [
        (TRUTH, Verdict("right", "Yes.", 2)),
        (TRUTH * 1.0099, Verdict("right", "Yes.", 2)),
        (TRUTH * 1.03, Verdict("nearly", ROUNDED, 1.5, "rounded too early")),
        (TRUTH * 0.97, Verdict("nearly", ROUNDED, 1.5, "rounded too early")),
        (347 * math.cos(math.radians(31)), Verdict("nearly", "Cos.", 1, "cosine")),
        (347, Verdict("nearly", "Along.", 0.5, "along")),
        (TRUTH * 1.21, Verdict("keep going", "Two steps.", 0)),
        (..., Verdict("not begun", NOT_BEGUN, 0)),
    ],
)
def test_a_number(answer: Any, verdict: Verdict) -> None:
    assert number(answer) == verdict


def test_a_number_that_cannot_be_read_is_told_how_it_should_be() -> None:
    assert number("many").state == "keep going"
    assert "text where a number belongs" in number("many").message
    assert number([1, 2, 3]).points == 0


def test_how_near_is_near_enough_in_plain_distances() -> None:
    for off in (0.0, 0.24, -0.24):
        assert number(31 + off, ANGLE).state == "right"
    for off in (0.4, -0.4):
        assert number(31 + off, ANGLE).slip == "rounded too early"
    assert number(31.8, ANGLE).state == "keep going"


def test_a_tolerance_that_cannot_be_is_refused() -> None:
    for mark, working in ((0, 1), (-1, 1), (0.2, 0.1)):
        with pytest.raises(KeyFileError, match="tolerance"):
            Near(mark=mark, working=working, reason="")
    near = Near(mark=0.1, working=0.1, reason="")
    assert near.holds(math.inf, math.inf)
    assert not near.holds(math.inf, 1.0)
    assert not near.holds(-math.inf, math.inf)
    assert not near.holds(5.0, math.inf)


@pytest.mark.parametrize("slip", COMMON_SLIPS, ids=lambda slip: slip.name)
def test_a_slip_that_may_happen_to_any_number(slip: Any) -> None:
    """Undone it is the truth; slips of angles are looked for in angles alone."""
    truth = 31.0
    question = Number(
        name="1", points=1, right="", keep_going="", asked="an angle in degrees",
        truth=lambda n: truth, near=Near(mark=1e-4, working=1e-4, reason=""),
        plausible=(-1e99, 1e99), **COMMON,
    )  # fmt: skip
    trials = [truth * 10.0**power for power in range(-9, 10) if power]
    trials += [-truth, math.radians(truth), math.degrees(truth), 90 - truth, 180 - truth]
    trials += [1 / truth, truth / 2, 2 * truth, truth / 4, 4 * truth]
    trials += [math.sqrt(truth), truth**2, 100 - truth, 1 - truth]
    made = [one for one in trials if (undone := slip.undone(one)) and math.isclose(undone, truth)]
    assert made, slip.name
    for answer in made:
        found = number(answer, question)
        assert (found.state, found.points) == ("nearly", 0)
        assert (found.slip, found.message) == (slip.name, slip.message)
        if slip.angle:
            length = Number(
                name="1", points=1, right="", keep_going="Go.", asked="a length in mm",
                truth=lambda n: truth, near=Near(mark=1e-4, working=1e-4, reason=""),
                plausible=(-1e99, 1e99), **COMMON,
            )  # fmt: skip
            assert number(answer, length).slip == ""


def test_powers_of_ten_are_told_with_their_side_and_angles_have_slips_of_their_own() -> None:
    raised = {1: "10 times", 2: "10² times", 3: "10³ times", 4: "10⁴ times", 6: "10⁶ times"}
    for power, words in (raised | {9: "10⁹ times"}).items():
        for sign, side in ((1, "large"), (-1, "small")):
            said = number(31.0 * 10.0 ** (sign * power), ANGLE_EXACTLY).message
            assert f"is {words} too {side}" in said
    assert {slip.name for slip in COMMON_SLIPS if slip.angle} == {
        *("radians", "degrees turned twice", "from the other line", "from the other end")
    }


def test_what_cannot_be_undone_is_no_slip() -> None:
    by_name = {slip.name: slip for slip in COMMON_SLIPS}
    assert by_name["upside down"].undone(0.0) is None
    assert by_name["root forgotten"].undone(-1.0) is None
    assert by_name["not squared"].undone(1e300) is None
    assert by_name["twice"].undone(math.inf) is None


def test_slips_in_what_goes_in_are_worked_out_with_the_slip() -> None:
    def truth(n: Mapping[str, float]) -> float:
        return (
            n["length_mm"] * math.cos(math.radians(n["lean_deg"])) + 40 * n["share_percent"] / 100
        )

    found = {(INPUT_SLIPS[place].name, round(value, 6)) for place, value in input_slips(truth, OWN)}
    length, lean, share = 347.0, math.radians(31), 0.17
    assert ("left out", round(40 * share, 6)) in found
    assert ("left out", round(length + 40 * share, 6)) in found
    assert ("left out", round(length * math.cos(lean), 6)) in found
    assert ("sign of a number", round(length * math.cos(-lean) + 40 * share, 6)) in found
    assert ("radians within", round(length * math.cos(31) + 40 * share, 6)) in found
    assert ("per cent for share", round(length * math.cos(lean) + 40 * 17, 6)) in found
    assert ("per cent for share", round(length * math.cos(lean) + 40 * 0.0017, 6)) in found
    assert ("cm for mm", round(length / 10 * math.cos(lean) + 40 * share, 6)) in found
    assert ("cm for mm", round(length * 10 * math.cos(lean) + 40 * share, 6)) in found
    assert not any(name == "mean of errors" for name, _ in found)  # no errors go in

    def both(n: Mapping[str, float]) -> float:
        return math.hypot(n["first_error_deg"], n["second_error_deg"])

    errors = {"first_error_deg": 1.3, "second_error_deg": 2.1}
    named = [(INPUT_SLIPS[place].name, value) for place, value in input_slips(both, errors)]
    assert named[0] == ("mean of errors", pytest.approx(1.7))
    assert ("left out", 2.1) in named
    assert 0.0 not in [value for _, value in named]  # all left out is no answer


def test_all_of_a_kind_may_slip_together_and_a_truth_may_refuse() -> None:
    def truth(n: Mapping[str, float]) -> float:
        if n["b_mm"] < 20:
            raise ValueError("too short")
        return n["a_mm"] + n["b_mm"]

    found = [value for _, value in input_slips(truth, {"a_mm": 70.0, "b_mm": 50.0})]
    assert 1200.0 in found  # both in tenths
    assert 57.0 in found  # one alone
    assert 75.0 not in found  # refused, and no fault


def test_of_two_slips_that_lead_close_together_the_nearer_is_named() -> None:
    question = Number(
        name="1", points=1, right="", keep_going="", asked="a length",
        truth=lambda n: n["a_mm"] + n["b_mm"] / 10, plausible=(0, 1e9),
        near=Near(mark=0.02, working=0.02, reason=""), **COMMON,
    )  # fmt: skip
    own = {"a_mm": 500.0, "b_mm": 100.0}  # b left out: 500; b in cm: 501
    steps = steps_of_input_slips(question, own)
    names = {step: INPUT_SLIPS[place].name for step, place in steps.items()}
    low = names[question.near.step(491.0)]
    high = names[question.near.step(510.9)]
    assert (low, high) == ("left out", "cm for mm")
    handed = HandedIn({"answer_1": plain(491.0)}, {})
    verdict = judge(question, handed, own)
    assert (verdict.state, verdict.points, verdict.slip) == ("nearly", 0, "left out")


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (1.0, None),
        (5000, None),
        (0.99, "far too small"),
        (0.0, "far too small"),
        (5001, "far too large"),
        (-3, "below zero (-3)"),
        (math.inf, "divided by zero"),
        (-math.inf, "below zero"),
    ],
)
def test_what_cannot_be_is_told_by_its_side(answer: float, words: str | None) -> None:
    said = out_of_range(answer, "the height in mm", (1, 5000))
    assert (said is None) if words is None else (said is not None and words in said)
    if said is not None and not math.isinf(answer):
        assert "the height in mm" in said
    assert "below zero" in str(out_of_range(-1e-9, "a length", (0, 5)))
    assert out_of_range(0, "a length", (0, 5)) is None
    assert "far too small" in str(out_of_range(-8, "a lean", (-5, 5)))


# --- a choice -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("letters", "verdict"),
    [
        (("A", "Q"), Verdict("right", "So it is.", 2)),
        (
            ("A", "P"),
            Verdict(
                "nearly",
                "The choice is right, the reason is not. Leaning is not it.",
                0.75,
                "reason P",
            ),
        ),
        (("A", ...), Verdict("nearly", REASON_MISSING, 0.75, "no reason given")),
        (("A", ""), Verdict("nearly", REASON_MISSING, 0.75, "no reason given")),
        (("B", "Q"), Verdict("nearly", "Not the flat one.", 0.25, "flat")),
        (("C", "Q"), Verdict("keep going", "Compare.", 0)),
        ((..., "Q"), Verdict("not begun", NOT_BEGUN, 0)),
        (("", ""), Verdict("not begun", NOT_BEGUN, 0)),
    ],
)
def test_a_choice(letters: tuple[Any, Any], verdict: Verdict) -> None:
    assert choice(*letters) == verdict


def test_letters_that_cannot_be_read() -> None:
    found = choice("A", "X")
    assert (found.state, found.points, found.slip) == ("nearly", 0.75, "no reason given")
    assert found.message.startswith(REASON_UNREADABLE)
    assert "P, Q" in found.message
    assert choice("X", "Q").points == 0
    assert "A, B, C" in choice("X", "Q").message


# --- a function -----------------------------------------------------------------------------

RIGHT = [area(*case.inputs(OWN)) for case in FUNCTION.cases]


@pytest.mark.parametrize(
    ("answers", "verdict"),
    [
        (RIGHT, Verdict("right", "For all values.", 2)),
        ([*RIGHT[:2], 9.0], Verdict("nearly", "Flat ones are off.", 1.5, "flat")),
        ([RIGHT[0], 9.0, RIGHT[2]], Verdict("nearly", "Large ones are off.", 1.0, "large")),
        ([9.0, *RIGHT[1:]], Verdict("nearly", "Small ones are off.", 1.5, "small")),
        ([9.0, 8.0, 7.0], Verdict("keep going", "Small ones are off.", 0, "small")),
        (
            [1.7 * 31, 347.0 * 90, RIGHT[2]],
            Verdict("nearly", "The one is missing.", 1.5, "one forgotten"),
        ),
        ([..., ..., ...], Verdict("not begun", NOT_BEGUN, 0)),
        ([], Verdict("not begun", NOT_BEGUN, 0)),
    ],
)
def test_a_function(answers: Sequence[Any], verdict: Verdict) -> None:
    assert function(answers) == verdict


def test_a_function_that_gives_no_number() -> None:
    for wire, words in (
        ({"raised": "ZeroDivisionError"}, "stops with an error (ZeroDivisionError)"),
        ({"lost": "it ended Python itself"}, "did not come back with an answer: it ended"),
        (..., "gives back nothing for some values"),
        ("nine", "cannot be read. You handed over text"),
        ([1.0, 2.0], "several values"),
    ):
        found = function([RIGHT[0], wire, RIGHT[2]])
        assert (found.state, found.points, found.slip) == ("keep going", 1.0, STOPPED)
        assert words in found.message
    # what is missing at the end counts as nothing given back
    assert function(RIGHT[:1]).points == 0  # one number alone: it may know nothing
    assert function(RIGHT[:2]).points == 1.5


def test_what_is_no_function_is_told_so() -> None:
    found = function(RIGHT, value=3.0)
    assert (found.state, found.points) == ("keep going", 0)
    assert "def area(...)" in found.message
    assert function(RIGHT, value=...).state == "not begun"


def test_who_gives_back_the_same_or_an_input_earns_nothing() -> None:
    inputs = [case.inputs(OWN) for case in FUNCTION.cases]
    for which in range(len(simple_guesses(inputs[0]))):
        assert function([simple_guesses(one)[which] for one in inputs]).points == 0
    assert function([RIGHT[2]] * 3).points == 0  # one case right, by a constant
    assert function([math.inf, math.inf, RIGHT[2]]).points == 0.5
    guesses = simple_guesses((2.0, 5.0))
    assert {0.0, 1.0, -1.0, 100.0, 2.0, 5.0, 7.0, 10.0, 3.0} <= set(guesses)
    assert guesses.count(math.inf) == guesses.count(-math.inf) == 1


def test_what_a_deciding_call_gave_says_nothing_of_the_inputs() -> None:
    said = function_result({"plain": ["a secret 7.31"]})
    assert isinstance(said, str)
    assert "7.31" not in said
    assert function_result({"plain": 2}) == 2.0


# --- all together ---------------------------------------------------------------------------


def test_all_questions_and_the_numbers_of_another_id() -> None:
    handed = HandedIn(
        {
            "answer_1": plain(NUMBER.truth(OTHER)),
            "answer_2": plain(OWN["lean_deg"]),
            "answer_3": plain("B"),
            "reason_3": plain("Q"),
            "area": plain(print),
        },
        {"area": [plain(one) for one in RIGHT]},
    )
    verdicts = judge_all(EXERCISE, handed, OWN)
    assert [one.state for one in verdicts.values()] == [
        *("keep going", "right", "nearly", "right", "waiting")
    ]
    assert verdicts["5"].points == 0
    typed = judge_all(EXERCISE, handed, OWN, ("bert", OTHER))
    assert [one.slip for one in typed.values()] == [
        *("numbers of another id", "", "numbers of another id", "", "")
    ]
    assert typed["1"].points == 0
    assert "the id 'bert'" in typed["1"].message
    assert typed["2"].state == "right"  # right by one's own numbers stays right
    unnamed = judge_all(EXERCISE, handed, OWN, ("", OTHER))
    assert "practice, because no id was typed" in unnamed["1"].message


def test_the_deciding_calls_have_the_learners_own_numbers() -> None:
    assert deciding_calls(EXERCISE, OWN) == {"area": [(1.7, 31.0), (347.0, 90.0), (3.1, 0.0)]}


# --- the hints that go with it ----------------------------------------------------------------

SETS = [OTHER, OWN]
HINTS = build_hints(EXERCISE, SETS)


def task(variant: int) -> Task:
    made = Task(HINTS, "")
    made._variant = variant
    return made


def test_hints_lead_to_what_the_mark_says_and_to_nothing_else() -> None:
    answers = [TRUTH, TRUTH * 1.03, 347 * math.cos(math.radians(31)), 347, TRUTH * 1.21, 34.7]
    answers += [-TRUTH, TRUTH * 10, TRUTH * 0.5, 1 / TRUTH, 0, math.inf, -5, 1e9]
    for answer in answers:
        said = task(1).check("1", answer)
        assert (said.state, said.words) == (number(answer).state, number(answer).message)
    for letter in "ABC":
        for reason in ("P", "Q", "X", ...):
            said = task(1).check("3", letter, reason)
            verdict = choice(letter, reason)
            assert (said.state, said.words) == (verdict.state, verdict.message)
    assert task(1).check("1", NUMBER.truth(OTHER)).state == "keep going"
    assert task(0).check("1", NUMBER.truth(OTHER)).state == "right"


def test_a_function_while_working() -> None:
    assert task(1).check("4", area).state == "right"
    assert "The one is missing." in task(1).check("4", lambda w, h: w * h).words
    off = task(1).check("4", lambda w, h: area(w, h) if (w, h) in FUNCTION.examples else 9.0)
    assert (off.state, off.words) == ("nearly", "The examples are right. Small ones are off.")
    only = task(1).check(
        "4", lambda w, h: area(w, h) if (w, h) in FUNCTION.examples or h else w * h
    )
    assert only.words == "The examples are right. The one is missing."
    nothing = task(1).check("4", lambda w, h: area(w, h) if (w, h) in FUNCTION.examples else None)
    assert "gives back nothing for some values" in nothing.words


def test_what_stands_in_the_hints() -> None:
    assert HINTS["layout"] == 2
    assert HINTS["variants"] == SETS
    assert HINTS["check"] is True
    entries = HINTS["questions"]
    assert [entries[name]["kind"] for name in "12345"] == [
        *("number", "number", "choice", "function", "written")
    ]
    assert entries["1"]["messages"][:3] == [
        ["right", "Yes."],
        ["nearly", "Cos."],
        ["nearly", "Along."],
    ]
    assert entries["1"]["near"] == [0.01, "relative"]
    assert entries["3"]["options"] == dict(CHOICE.options)
    assert entries["4"]["examples"] == [[[2, 3], 7.0], [[5, 7], 36.0]]
    assert entries["4"]["cases"][0] == [[1.7, 47.0], "Small ones are off."]  # those of practice
    assert len(entries["1"]["prints"]) == 2
    assert len(entries["4"]["prints"]) == 1
    assert set(entries["5"]) == {"kind", "answers"}
    assert messages_of(WORDS) == []
    for entry in (entries["1"], entries["3"], entries["4"]):
        for prints in entry["prints"]:
            assert len(prints) == len(entry["messages"])
            marks = "".join(prints)
            assert len(marks) % 8 == 0
            each = [marks[at : at + 8] for at in range(0, len(marks), 8)]
            assert len(set(each)) == len(each)  # a step leads to one message alone


def test_a_fingerprint_is_of_its_question_and_set_alone() -> None:
    marks = {
        fingerprint(name, question, variant, place)
        for name in ("77-small", "78-small")
        for question in ("1", "2")
        for variant in (0, 1)
        for place in ("a1", "a2")
    }
    assert len(marks) == 16
    assert all(len(mark) == 8 for mark in marks)
    near = NUMBER.near
    assert look_up(HINTS, "1", 1, near.step(TRUTH)) == ("right", "Yes.")
    assert look_up(HINTS, "1", 0, near.step(TRUTH)) is None
    assert look_up(HINTS, "1", 1, "+9999") is None


def test_numbers_that_would_name_the_wrong_thing_are_not_drawn() -> None:
    assert clash(EXERCISE, OWN) is None
    at_45 = OWN | {"lean_deg": 45.0}
    assert "'cosine' is too near to 'the truth'" in str(clash(EXERCISE, at_45))
    nearly_along = OWN | {"lean_deg": 1.0}
    assert "'along' is too near to 'cosine'" in str(clash(EXERCISE, nearly_along))
    same = Exercise(
        name="77-small", title="", intro="", closing="", quantities=EXERCISE.quantities,
        questions=(
            Choice(**{**vars(CHOICE), "slips": (Slip("same", CHOICE.truth, "Same."),)}),
        ),
    )  # fmt: skip
    assert "same letter" in str(clash(same, OWN))


def test_an_examination_has_no_hints() -> None:
    plainly = build_hints(EXERCISE, SETS, check=False)
    assert plainly["check"] is False
    assert plainly["questions"]["1"] == {"kind": "number", "answers": ("answer_1",)}
    assert set(plainly["questions"]["3"]) == {"kind", "answers", "options", "reasons"}
    examined = Task(plainly, "")
    said = examined.check("1", TRUTH)
    assert said.state == "waiting"
    assert said.words == f"Read as: {TRUTH:g}. It is marked when you hand in."
    assert "A, because of Q" in examined.check("3", "a", "(q)").words
    assert examined.check("3", "A").state == "not begun"
    assert "a function" in examined.check("4", area).words
    assert "name without brackets" in examined.check("4", 3).words
    assert examined.check("4", ...).state == "not begun"
    assert examined.check("1", "many").state == "keep going"


def test_sets_of_numbers_are_all_different_and_always_the_same() -> None:
    found = all_variants(EXERCISE)
    assert found == all_variants(EXERCISE)
    assert len({tuple(one.items()) for one in found}) == 5
    assert all(
        value in q.allowed for one in found for q in EXERCISE.quantities for value in [one[q.name]]
    )
    assert draw(EXERCISE, 1, 0) != draw(EXERCISE, 1, 1)
    few = Exercise(
        name="77-small", title="", intro="", closing="", questions=(ANGLE,), variants=3,
        quantities=(Quantity("lean_deg", "", "", (1.0, 2.0, 3.0)),),
    )  # fmt: skip
    with pytest.raises(KeyFileError, match="no good set of numbers number 3"):
        all_variants(few)

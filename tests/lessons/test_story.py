"""One foot, one number: every text says of the story's feet what the yard's records say."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import nbformat
import pytest

from hoofcalc.figures import EVERY_FIGURE, EVERY_PREDICTION, questions
from hoofcalc.figures.prediction import prediction_description
from hoofcalc.figures.story import STORY, story

ROOT = Path(__file__).parents[2]
LESSONS = sorted((ROOT / "lessons").glob("[0-9]*.ipynb"))
EXERCISES = sorted((ROOT / "exercises" / "release").rglob("*.ipynb"))
HORSE = "|".join(STORY)
#: A horse's name, or an angle after its name: "the heel read 32 degrees", "toe 48", "gap of 25".
SAID = re.compile(
    rf"\b({HORSE})\b|\b(toe|heel|gap)s?\b(?:'s)?(?: (?:angle|wall|stands|stood|reads|read|lies|lay|"
    r"is|of|at|has|was|from|about|now|only))*[:,]? ?([-−]?\d+(?:\.\d+)?)"
    r"(?!\.?\d| ?(?:times|mm|%|N\b|in 100|parts|weeks|of 100|(?:°|degrees) (?:flatter|steeper)))"
)
#: The other order: "48 degrees at Otterby's toe, 23 at the heel".
SAID_FIRST = re.compile(rf"(\d+(?:\.\d+)?)(?:°| degrees)? at (?:({HORSE})'s|the) (toe|heel)\b")
#: "Fernlow's at 46", of whatever the sentence before named.
SAID_SHORT = re.compile(rf"({HORSE})'s (?:stands )?at (\d+(?:\.\d+)?)")
#: What a figure works out for a week to come is no reading.
TO_COME = re.compile(
    r"[Ww]eek \d|in \d+ weeks|horn works|rim, in times|works (hardest|[\d.]+ times)|the toe, its"
)


def strings(thing: Any) -> Iterator[str]:
    """Every text in plain data."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, dict):
        for value in thing.values():
            yield from strings(value)
    elif isinstance(thing, list | tuple):
        for value in thing:
            yield from strings(value)


def paragraphs(path: Path) -> Iterator[str]:
    """What a notebook says: its words, and what its cells have printed."""
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type == "markdown":
            yield from re.split(r"\n\n|\n(?=[|\d-])", cell.source)
        for output in cell.get("outputs", []):
            yield from (output.get("text") or output["data"]["text/plain"]).split("\n")


def every_text() -> Iterator[tuple[str, str]]:
    """Every text of the course, with the place where it stands."""
    for path in (*LESSONS, *EXERCISES):
        yield from ((path.stem, one) for one in paragraphs(path))
    for lesson in questions.lessons():
        yield from ((f"questions/{lesson}", one) for one in strings(questions.load(lesson)))
    for name, prediction in EVERY_PREDICTION.items():
        texts = strings(prediction_description(prediction))
        yield from ((f"prediction {name}", one) for one in texts)
    for name, figure in EVERY_FIGURE.items():
        for values in ({}, *(preset.values for preset in figure.presets)):
            frame = figure.frame(values)
            yield from ((f"figure {name}", one) for one in (frame.sentence, frame.alt))


def said_of_a_foot(text: str) -> Iterator[tuple[str, str, str]]:
    """Each angle that a text says of a horse of the story: horse, which angle, number."""
    plain = re.sub(r"\]\([^)]*\)", "", text).translate(str.maketrans("", "", "*[]")).lower()
    # names keep their capital, so that a word in them is not taken for a name
    plain = re.sub(rf"\b({HORSE.lower()})\b", lambda found: found[1].capitalize(), plain)
    horse = ""
    for found in SAID_FIRST.finditer(plain):
        horse = found[2] or horse
        if horse:
            yield horse, found[3], found[1]
    horse = ""
    for found in SAID.finditer(SAID_FIRST.sub("", plain)):
        if found[1]:
            horse = found[1]
        elif horse:
            yield horse, found[2], found[3]
    for found in SAID_SHORT.finditer(plain):
        yield found[1], "heel", found[2]


def of_the_table(horse: str, angle: str) -> list[float]:
    """All readings of an angle: before each trim and after it."""
    foot = story(horse)
    return [getattr(one, f"{angle}_deg") for one in (*foot.before, *foot.after)]


def fits(said: str, angle: str, horse: str) -> bool:
    """Whether a number is what the table rounds to, to as many digits as were said."""
    value = float(said.replace("−", "-"))
    digits = len(said.partition(".")[2])
    known = of_the_table(horse, angle)
    if angle == "gap":
        known = known + [-one for one in known]  # "5 degrees steeper"
    return any(round(one, digits) == value for one in known)


def test_every_text_says_of_a_foot_what_the_records_say() -> None:
    found: dict[str, list[str]] = {horse: [] for horse in STORY}
    for place, text in every_text():
        if TO_COME.search(text):
            continue
        for horse, angle, number in said_of_a_foot(text):
            assert fits(number, angle, horse), f"{place}: {horse}'s {angle} {number} in: {text}"
            found[horse].append(place)
    read = {horse: len(set(places)) for horse, places in found.items()}
    assert min(read.values()) >= 2, f"hardly anything was read: {read}"


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("Otterby's heel stands at 23 degrees, Fernlow's at 46.", True),
        ("Otterby's heel stands at 27 degrees.", False),
        ("48 degrees at Otterby's toe, 23 at the heel.", True),
        ("48 degrees at Otterby's toe, 29 at the toe.", False),
        ("In April Otterby's heel read 32.", True),
        ("Fernlow stands at toe 51, heel 49.", True),
        ("Fernlow stands at toe 51, heel 42.", False),
        ("Hobnut has a gap of -5.2 degrees.", True),
        ("Hobnut has a gap of -5.5 degrees.", False),
    ],
)
def test_a_wrong_number_would_be_found(text: str, right: bool) -> None:
    said = list(said_of_a_foot(text))
    assert said
    assert all(fits(number, angle, horse) for horse, angle, number in said) == right


def test_the_lessons_of_now_mean_the_last_visit() -> None:
    opening = nbformat.read(LESSONS[0], as_version=4).cells[0].source
    otterby = story("Otterby")
    assert f"In April the heel read {otterby.first.heel_deg:.0f} degrees" in opening
    assert f"In {otterby.now.day:%B} it read {otterby.now.heel_deg:.0f}." in opening
    assert f"The toe read {otterby.now.toe_deg:.0f} both times" in opening
    assert f"{otterby.first.toe_deg:.0f}" == f"{otterby.now.toe_deg:.0f}"


def test_two_figures_find_the_same_work_at_one_heel() -> None:
    """Lessons 07 and 08: each foot's heel beside Fernlow's, under one upright push."""
    names = {"Fernlow": "in line", "Otterby": "run under", "Hobnut": "too upright"}
    underrun = EVERY_FIGURE["underrun"].frame({}).table
    beside = [row.value for row in underrun if row.quantity == "work at the heel"]
    load_path = EVERY_FIGURE["load-path"]
    for preset in load_path.presets:
        table = {row.quantity: row.value for row in load_path.frame(preset.values).table}
        place = list(names).index(preset.label)
        assert float(table["work at the heel"]) == pytest.approx(float(beside[place]), abs=0.05)


def test_how_many_times_is_said_alike_in_both_lessons() -> None:
    """The comparison over all choices, as the library prints it, is the one in the words."""
    said = r"(?:in line \(alike\)|^Otterby): ([\d.]+)\D+([\d.]+) to ([\d.]+)"
    for path in (LESSONS[8], LESSONS[10]):
        printed = next(found for one in paragraphs(path) if (found := re.search(said, one)))
        times, low, high = (f"{float(number):.1f}" for number in printed.groups())
        words = "\n".join(one for one in paragraphs(path) if not re.search(said, one))
        assert re.search(rf"\b{re.escape(times)}(\*\*)? (times|over all)", words)
        assert f"{low} to {high}" in words


def test_a_lone_tubule_carries_one_weight_everywhere() -> None:
    for place, text in every_text():
        if "tubule" in text:
            for weight in re.findall(r"[\w.]+ (?:[\w.]+ )?(?:milli)?grams?\b|of a gram", text):
                assert weight in ("a hundredth of a gram", "of a gram", "0.011 grams"), place


def test_no_bare_per_cent_of_strength() -> None:
    for place, text in every_text():
        assert not re.search(r"strength in use|\d %? ?per cent of its strength", text), place
        assert not re.search(r"(?<![\d,.])[1-9]\d\d %", text), f"{place}: {text}"

"""One foot, one number: every text says of the story's feet what the yard's records say."""

from __future__ import annotations

import ast
import html
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import nbformat
import numpy as np
import pytest

from hoofcalc.figures import EVERY_FIGURE, EVERY_PREDICTION, questions
from hoofcalc.figures.prediction import prediction_description
from hoofcalc.figures.story import STORY, story
from hoofcalc.figures.story_capsule import solid_of
from hoofcalc.loadpath import compare_feet
from hoofcalc.site.cards import yard_cards

ROOT = Path(__file__).parents[2]
LESSONS = sorted((ROOT / "lessons").glob("[0-9]*.ipynb"))
EXERCISES = sorted((ROOT / "exercises" / "release").rglob("*.ipynb"))
KEYS = sorted((ROOT / "exercises" / "keys").glob("*.py"))
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

#: Any number from 10 to 90 so many letters behind a horse's name is an angle of its foot ...
NEAR = 60
NUMBER = re.compile(r"(?<![\d.,])[1-9]\d(?:\.\d)?(?![\d,]?\d|\.\d)")
#: ... unless what stands before it or behind it says that it is something else.
ELSE_BEFORE = re.compile(
    r"(lessons?|exercise|week|by|up to|±|january|april|may|june|july|august|october|november) $",
    re.IGNORECASE,
)
ELSE_BEHIND = re.compile(
    r" ?(mm|%|N\b|newtons|kg|parts|weeks|days|times|of 100|out of|years"
    r"|(April|May|June|July|August|October|November)\b"
    r"|(°|degrees?) (flatter|steeper|off|back|forward))"
)
#: Which angle a number is, if that is said behind it: "27 at the heel", "27-degree heel".
NAMED_BEHIND = re.compile(r"(?:°|[ -]degrees?)? ?(?:at (?:the|its) |of )?(toe|heel|gap)\b")
#: "works 1.9 times as hard as Fernlow".
WORKS = re.compile(r"(\d\.\d+) times (?:as hard|Fernlow's|the foot in line)")


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
            if words := output.get("data", {}).get("text/html"):
                yield from re.split(r"</[\w-]+>", html.unescape(words))
            yield from strings(output.get("metadata", {}))


@cache
def every_text() -> tuple[tuple[str, str], ...]:
    """Every text of the course, with the place where it stands."""
    return tuple(read_texts())


def read_texts() -> Iterator[tuple[str, str]]:
    for path in (*LESSONS, *EXERCISES):
        yield from ((path.stem, one) for one in paragraphs(path))
    glossary = (ROOT / "lessons" / "glossary.md").read_text("utf-8")
    yield from (("glossary", one) for one in re.split(r"\n\n|\n(?=[|\d-])", glossary))
    yield from (("card", line) for card in yard_cards() for line in card.lines)
    for key in KEYS:
        for node in ast.walk(ast.parse(key.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield f"key {key.stem}", node.value
    for lesson in questions.lessons():
        yield from ((f"questions/{lesson}", one) for one in strings(questions.load(lesson)))
    for name, prediction in EVERY_PREDICTION.items():
        texts = strings(prediction_description(prediction))
        yield from ((f"prediction {name}", one) for one in texts)
    for name, figure in EVERY_FIGURE.items():
        for values in ({}, *(preset.values for preset in figure.presets)):
            frame = figure.frame(values)
            yield from ((f"figure {name}", one) for one in (frame.sentence, frame.alt))


def unmarked(text: str) -> str:
    """A text without its links and stars."""
    return re.sub(r"\]\([^)]*\)", "", text).translate(str.maketrans("", "", "*[]"))


def numbers_near(text: str) -> Iterator[tuple[str, str, str]]:
    """Each angle that stands near behind a horse's name: horse, which angle or "", number."""
    plain = unmarked(text).replace("\n", " ")
    for name in re.finditer(rf"\b({HORSE})\b", plain):
        part = re.split(rf"\b(?:{HORSE})\b", plain[name.end() :])[0]
        for number in NUMBER.finditer(part):
            before, behind = part[: number.start()], part[number.end() :]
            other = ELSE_BEFORE.search(before) or ELSE_BEHIND.match(behind)
            if number.start() > NEAR or float(number[0]) > 90 or other:
                continue
            named = NAMED_BEHIND.match(behind)
            last = re.findall(r"\b(toe|heel|gap)\b", before)
            yield name[1], named[1] if named else (last or [""])[-1], number[0]


def said_of_a_foot(text: str) -> Iterator[tuple[str, str, str]]:
    """Each angle that a text says of a horse of the story: horse, which angle, number."""
    plain = unmarked(text).lower()
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
    ends = (angle,) if angle else ("toe", "heel", "gap")
    return [getattr(one, f"{end}_deg") for one in (*foot.before, *foot.after) for end in ends]


@cache
def of_the_library(horse: str) -> tuple[float, ...]:
    """How hard a foot's horn works beside Fernlow's heel, as figures and library work it out."""
    load_path = EVERY_FIGURE["load-path"]
    preset = next((one for one in load_path.presets if one.label == horse), None)
    rows = load_path.frame(preset.values).table if preset else ()
    found = [float(row.value) for row in rows if row.unit.startswith("times")]
    feet = (solid_of(horse, STORY[horse][0]), solid_of("Fernlow", "left fore"))
    alike = compare_feet(*feet, np.random.default_rng(5), draws=200, alike=True)
    return (*found, alike.ratio)


def works(text: str) -> Iterator[tuple[str, float]]:
    """How many times as hard a foot is said to work: horse ("" where none is named), times."""
    for sentence in re.split(r"(?<=[.!?|]) ", unmarked(text)):
        first = re.search(rf"\b({HORSE})\b", sentence)
        for found in WORKS.finditer(sentence):
            mine = first and first.start() < found.start()
            yield (first[1] if first and mine else ""), float(found[1])


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
        for horse, angle, number in said_of_a_foot("" if TO_COME.search(text) else text):
            assert fits(number, angle, horse), f"{place}: {horse}'s {angle} {number} in: {text}"
            found[horse].append(place)
        coming = [one for one in re.split(r"(?<=[.!?]) ", text) if not TO_COME.search(one)]
        for horse, angle, number in numbers_near(" ".join(coming)):
            assert fits(number, angle, horse), f"{place}: {horse}'s {angle} {number} in: {text}"
    read = {horse: len(set(places)) for horse, places in found.items()}
    assert min(read.values()) >= 2, f"hardly anything was read: {read}"


def test_every_text_says_how_hard_a_foot_works_as_the_library_does() -> None:
    for place, text in every_text():
        for horse, times in works(text):
            assert known_work(horse, times), f"{place}: {horse or 'some foot'} {times} in: {text}"


def known_work(horse: str, times: float) -> bool:
    """Whether a foot works so hard; any of them, where none is named."""
    feet = (horse,) if horse else tuple(STORY)
    return any(abs(times - one) <= 0.07 for foot in feet for one in of_the_library(foot))


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
        ("Otterby's heel read 32 in April and 23 in November.", True),
        ("Otterby's heel read 32 in April and 27 in November.", False),
        ("Otterby's heel has gone from 32 to 23.", True),
        ("Otterby's heel has gone from 32 to 27.", False),
        ("Otterby has 48 at the toe, 23 at the heel.", True),
        ("Otterby has 48 at the toe, 27 at the heel.", False),
        ("Otterby has 23 at the toe.", False),
        ("Otterby walks on a 23-degree heel.", True),
        ("Otterby walks on a 27-degree heel.", False),
        ("Otterby's foot stands upright at 27.", False),
        ("Hobnut stands upright at 67.", True),
        ("Otterby, 505 kg, 48 mm of heel, five weeks on: heel 23.", True),
        ("Otterby's heel works 1.9 times as hard as Fernlow.", True),
        ("Otterby's heel works 2.9 times as hard as Fernlow.", False),
        ("It works 2.9 times as hard as Fernlow.", False),
        ("Hobnut's heel works 1.9 times as hard as Fernlow.", False),
    ],
)
def test_a_wrong_number_would_be_found(text: str, right: bool) -> None:
    said = [*said_of_a_foot(text), *numbers_near(text)]
    harder = list(works(text))
    assert said or harder
    angles = all(fits(number, angle, horse) for horse, angle, number in said)
    assert (angles and all(known_work(*one) for one in harder)) == right


@pytest.mark.parametrize("kind", ["glossary", "card", "key ", "05-horn", "questions/", "figure "])
def test_every_kind_of_text_is_read(kind: str) -> None:
    assert any(place.startswith(kind) for place, _ in every_text())


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

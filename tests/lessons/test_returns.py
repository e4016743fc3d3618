"""Each idea comes back at least three times, with growing gaps: the table read against the lessons.

Spaced and growing or even gaps: Latimier A., Peyre H., Ramus F. 2021, Educational Psychology
Review 33: 959-987 (abstract read: no difference between the two).
"""

from __future__ import annotations

import itertools
import re
import tomllib
from pathlib import Path

import nbformat

from hoofcalc.figures import questions
from hoofcalc.figures.where import COURSE

ROOT = Path(__file__).parents[2]
RETURNS = tomllib.loads((ROOT / "hoofcalc/figures/questions/returns.toml").read_text("utf-8"))
IDEAS = RETURNS["idea"]


def asked() -> dict[str, str]:
    """Every question that a lesson asks, and the part in which it asks."""
    found = {}
    for stem in COURSE.values():
        part = ""
        for cell in nbformat.read(ROOT / "lessons" / f"{stem}.ipynb", as_version=4).cells:
            for heading in re.findall(r"^## (.+)$", cell.source, re.MULTILINE):
                part = heading
            for lesson, name in re.findall(r'figures\.ask\("(\w+)", "(\w+)"\)', cell.source):
                found[f"{lesson}/{name}"] = part
    return found


def test_each_idea_comes_back_three_times_with_growing_gaps() -> None:
    place = {lesson: number for number, lesson in enumerate(COURSE)}
    for idea in IDEAS:
        lessons = [idea["new"], *(one.split("/")[0] for one in idea["returns"])]
        numbers = [place[lesson] for lesson in lessons]
        gaps = [after - before for before, after in itertools.pairwise(numbers)]
        assert len(gaps) >= 3, idea["name"]
        assert min(gaps) >= 1, idea["name"]
        assert gaps == sorted(gaps), f"{idea['name']}: {gaps}"
        assert gaps[-1] > gaps[0], f"{idea['name']}: {gaps}"


def test_the_lessons_ask_what_the_table_says_and_where() -> None:
    found = asked()
    for idea in IDEAS:
        for one in idea["returns"]:
            name = one.split("/")[1]
            assert found.get(one) == questions.part_of(name), f"{one} ({idea['name']})"
            assert found[one] in ("Remember", "Check yourself")


def test_every_remember_question_belongs_to_an_idea_and_every_question_is_asked() -> None:
    found = asked()
    returning = {one for idea in IDEAS for one in idea["returns"]}
    first = {lesson: number for number, lesson in enumerate(COURSE)}
    for one, part in found.items():
        if part == "Remember" and not one.startswith("orientation/"):
            assert one in returning, one
    for lesson in questions.lessons():
        assert lesson in first
        for name in questions.load(lesson):
            assert f"{lesson}/{name}" in found, f"{lesson}/{name} is never asked"

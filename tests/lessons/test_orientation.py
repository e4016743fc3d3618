"""Lesson 00 finds every lesson, every place it names, and every standard on file."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat
import pytest

from hoofcalc import datasets
from hoofcalc.profile import Profile

FOLDER = Path(__file__).parents[2] / "lessons"
NAMES = (
    "00-orientation", "01-landing", "02-ground-force", "03-measuring", "04-columns", "05-horn",
    "06-capsule", "07-load-path", "08-underrun", "09-trim-cycle", "10-a-case",
)  # fmt: skip


def words_of(path: Path) -> str:
    cells = nbformat.read(path, as_version=4).cells
    return "\n\n".join(cell.source for cell in cells if cell.cell_type == "markdown")


TEXT = words_of(FOLDER / "00-orientation.ipynb")


def part(heading: str) -> str:
    found = re.search(rf"^###? {heading}\n(.*?)(?=^###? |\Z)", TEXT, re.MULTILINE | re.DOTALL)
    assert found, heading
    return found.group(1)


LINKS = sorted(set(re.findall(r"\]\((\S*?\.ipynb#[^)]+|#[^)]+)\)", TEXT)))


def test_the_index_leads_to_the_figure_and_the_card_of_every_lesson() -> None:
    index = part("Before a hard case")
    for name in NAMES:
        for heading in ("Move", "On-the-yard"):
            assert f"]({name}.ipynb#{heading})" in index, (name, heading)


@pytest.mark.parametrize("link", LINKS)
def test_every_place_it_names_is_there(link: str) -> None:
    file, _, place = link.partition("#")
    name = file.removesuffix(".ipynb") or "00-orientation"
    assert name in NAMES
    headings = re.findall(r"^#+ (.+)$", words_of(FOLDER / f"{name}.ipynb"), re.MULTILINE)
    assert place.replace("-", " ") in headings, f"{link} leads to no heading of {name}"


def test_every_standard_on_file_is_mapped_to_lessons_tasks_and_the_yard() -> None:
    table = part("The course and the standards of the trade")
    rows = re.findall(r"^\| *([A-Z]+\w*\d\w*)\b(.*)\|$", table, re.MULTILINE)
    on_file = [one.case for one in datasets.published("occupational_standards")]
    assert [code for code, _ in rows] == on_file
    for code, rest in rows:
        _, lessons, tasks, yard = (cell.strip() for cell in rest.split("|"))
        named = set(re.findall(r"\b(\d\d)\b", lessons + tasks))
        assert named, code
        assert named <= {name[:2] for name in NAMES}, code
        assert len(yard.split()) >= 3, f"{code}: what is left to the yard"
    for word in ("handling", "tools", "trimming"):
        assert word in table.split("leaves to the yard")[1]


def test_published_angles_stand_as_they_are_on_file() -> None:
    belief = part("How sure")
    for quantity in ("toe_angle", "heel_angle"):
        seen = datasets.published("hoof_angles", quantity=quantity, case="fore")[0]
        assert f"{seen.value} degrees on average" in belief
        assert f"{seen.spread} degrees" in belief
    gap = datasets.published("hoof_angles", quantity="toe_heel_gap", case="fore")[0]
    assert f"flatter than the toe by {gap.value}" in belief
    advice = datasets.published("hoof_angles", quantity="toe_angle_advice")
    ends = [end for one in advice for end in (one.value, one.low, one.high) if end is not None]
    assert f"Advice of {min(ends):.0f} to {max(ends):.0f}" in belief


def test_the_story_is_told_with_the_records_numbers() -> None:
    for visit, month in ((1, "April"), (None, "November")):
        foot = Profile(**datasets.story_feet(visit)["run under"].landmarks)
        assert round(float(foot.toe_angle_deg)) == 48
        said = re.search(rf"In {month} (?:the heel|it) read (\d+)", TEXT)
        assert said
        assert float(said[1]) == round(float(foot.heel_angle_deg))
    assert "The toe read 48 both times" in TEXT

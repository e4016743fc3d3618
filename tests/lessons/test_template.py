"""Every lesson has its parts in their order, is short, linked, and told by number."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import nbformat
import pytest

from hoofcalc.site.lessons import lesson_page

FOLDER = Path(__file__).parents[2] / "lessons"
LESSONS = sorted(FOLDER.glob("[0-9][0-9]-*.ipynb"))
MOST_WORDS = 900
PARTS = ["Remember", "Predict", "Move", "Why", "How sure", "Check yourself", "On the yard", "Next"]
#: One link a lesson, from 01 on.
CHAIN = {
    "01": "landing",
    "02": "push",
    "03": "shape",
    "04": "lean",
    "05": "horn",
    "06": "the whole foot",
    "07": "along and across",
    "08": "the heel runs under",
    "09": "trim and interval",
    "10": "one case",
}

every_lesson = pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)


def cells(path: Path) -> list[Any]:
    return list(nbformat.read(path, as_version=4).cells)


def words_of(path: Path) -> str:
    return "\n\n".join(cell.source for cell in cells(path) if cell.cell_type == "markdown")


def main_road(path: Path) -> str:
    """Everything that is not folded."""
    return re.sub(r"<details>.*?</details>", "", words_of(path), flags=re.DOTALL)


@every_lesson
def test_the_parts_stand_in_their_order(path: Path) -> None:
    text = words_of(path)
    assert re.findall(r"^## (.+)$", text, re.MULTILINE) == PARTS
    number = path.stem[:2]
    opening = text.split("## Remember")[0]
    lines = [line for line in opening.splitlines() if line.strip()]
    assert lines[0].startswith(f"# {number} ")
    assert f"**{CHAIN.get(number, 'the foot')}: you are here**" in lines[1]
    places = [lines[1].index(link) for link in CHAIN.values()]
    assert places == sorted(places), "the chain in its order"
    assert lines[1].endswith("([where I am](where.ipynb))")
    assert re.match(r"\*\*.+\?\*\* (20|25|30|35|40) minutes\.", lines[2])
    assert len(re.findall(r"^\d\. ", opening, re.MULTILINE)) == 3, "three abilities"
    if number != "00":
        so_far = next(line for line in lines if line.startswith("**So far.**"))
        assert len(re.findall(r"[.?!](?= |$)", so_far.removeprefix("**So far.**"))) == 2
    assert re.match(r"\*[^*]*\bvet\b[^*]*\*$", lines[-1]), "the caution, in one line"


@every_lesson
def test_one_thread_runs_through(path: Path) -> None:
    """Otterby is in every lesson, and each begins where the one before has ended."""
    text = words_of(path)
    assert "Otterby" in text.split("<summary>Sources")[0]
    closing = re.search(r"[^.?]+\?", text.split("## Next")[1].split("<details>")[0])
    assert closing, "the question that leads on"
    assert "(glossary.md#" in text


@every_lesson
def test_the_main_road_is_short(path: Path) -> None:
    text = re.sub(r"\]\([^)]*\)", "]", main_road(path))
    many = len(re.findall(r"[A-Za-z0-9][\w’'.-]*", text))
    print(f"{path.stem}: {many} words")
    assert many <= MOST_WORDS


@every_lesson
def test_questions_and_figure_stand_where_they_belong(path: Path) -> None:
    part, found = "", {}
    for cell in cells(path):
        for heading in re.findall(r"^## (.+)$", cell.source, re.MULTILINE):
            part = heading
        if cell.cell_type == "code":
            found.setdefault(part, []).append(cell.source)
    assert 2 <= len([one for one in found["Remember"] if "figures.ask(" in one]) <= 3
    assert len(found["Predict"]) == 1
    assert re.search(r"figures\.(predict|ask)\(", found["Predict"][0])
    assert len(found["Move"]) in (1, 2)
    assert re.search(r"figures\.(?!ask|answer|predict)\w+\(", found["Move"][0])
    move = words_of(path).split("## Move")[1].split("## Why")[0]
    assert 2 <= len(re.findall(r"^\d\. ", move, re.MULTILINE)) <= 4, "things to try"
    assert any("pictures." in one for one in found["Why"]), "one still"
    assert len([one for one in found["Check yourself"] if "figures.ask(" in one]) >= 2


@every_lesson
def test_code_is_hidden_until_asked_for(path: Path) -> None:
    for cell in cells(path):
        if cell.cell_type == "code":
            assert cell.metadata.get("jupyter", {}).get("source_hidden")


@every_lesson
def test_formulas_and_sources_are_folded(path: Path) -> None:
    text = words_of(path)
    assert text.count("<details>") == text.count("</details>") > 1
    assert "<summary>Sources</summary>" in text
    assert "Work it out</strong>" in text
    road = main_road(path)
    assert "Sources" not in road
    assert not re.search(r"^>", road, re.MULTILINE), "a formula on the main road"


@every_lesson
def test_the_end_leads_on(path: Path) -> None:
    end = words_of(path).split("## Next")[1].split("<details>")[0]
    assert "?" in end, "the question of the next lesson"
    following = LESSONS[LESSONS.index(path) + 1] if path != LESSONS[-1] else None
    if following:
        assert f"({following.name})" in end
    assert f"(../exercises/{path.stem}/{path.stem}.ipynb)" in end
    assert (FOLDER.parent / "exercises" / "release" / path.stem / f"{path.stem}.ipynb").exists()


@every_lesson
def test_the_card_is_short_and_ends_at_the_vet(path: Path) -> None:
    card = words_of(path).split("## On the yard")[1].split("## Next")[0]
    lines = re.findall(r"^- (.+)$", card, re.MULTILINE)
    assert 4 <= len(lines) <= 10
    assert lines[-1].startswith("**Vet:**")


@every_lesson
def test_it_says_what_is_taken_for_granted_believed_and_not_known(path: Path) -> None:
    part = words_of(path).split("## How sure")[1].split("## Check yourself")[0]
    assert "| common belief | mechanics | evidence |" in part
    assert "**Taken for granted.**" in part
    assert "**Not known here:**" in part


@every_lesson
def test_no_other_comparison_than_the_bench(path: Path) -> None:
    """Five bench objects, and nobody's talk in quotation marks."""
    road = main_road(path)
    for thing in ("biscuit", "rubber band", "chocolate", "pad of paper", "books", "household"):
        assert thing not in road
    assert not re.search(r"[“”]|perpendicular", road)


def test_on_the_page_what_is_worked_out_stands_in_its_fold() -> None:
    page = lesson_page(FOLDER / "03-measuring.ipynb")
    assert page.question == "How do I measure a foot from a photograph?", "the front page asks it"
    body = page.body
    printed = [found.start() for found in re.finditer("class='output'", body)]
    assert len(printed) == 4
    for at in printed:
        assert body[:at].count("<details") == body[:at].count("</details>") + 1

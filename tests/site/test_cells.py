"""The script that turns answers into cells and back, in Node: numbers as people write them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

import hoofcalc.site
from hoofcalc._where import course_folder
from hoofcalc.site.exercises import exercise_page

SCRIPT = Path(hoofcalc.site.__file__).parent / "web" / "notebook_cells.js"
EXERCISES = sorted(path.name for path in course_folder("exercises").iterdir() if path.is_dir())


@pytest.fixture
def given_back(printed_by_node):
    """What a piece of script gives back for some data."""

    def run(code: str, data: Any) -> Any:
        return json.loads(
            printed_by_node(
                f"{SCRIPT.read_text('utf-8')}\nconst cells = globalThis.hoofcalc.cells;\n"
                f"console.log(JSON.stringify((() => {{ {code} }})()));",
                data,
            )
        )

    return run


READ = [
    ("12.5", "mm", 12.5),
    ("12,5", "mm", 12.5),
    (" −3,25 ", "degrees", -3.25),
    ("66,7 mm", "mm", 66.7),
    ("6,67 cm", "mm", 66.7),
    ("1.8kN", "N", 1800),
    ("1800 newtons", "N", 1800),
    ("48°", "degrees", 48),
    ("48 deg", "degrees", 48),
    ("0,125", "", 0.125),
    ("1 234,5", "N", 1234.5),
    ("1,234.5", "N", 1234.5),
    ("1.234,5", "N", 1234.5),
    ("12,345,678", "N", 12345678),
    ("1e3", "N", 1000),
    ("1,5E-2", "", 0.015),
    (".5", "", 0.5),
    ("12 %", "%", 12),
    ("12 per cent", "%", 12),
    ("85 N/mm²", "MPa", 85),
    ("310 cm³", "cm³", 310),
    ("12500 N mm", "N mm", 12500),
    ("12.5 Nm", "N mm", 12500),
    ("140 ms", "seconds", 0.14),
]
UNREADABLE = [
    ("abc", "mm", "no number"),
    ("5,100", "N", "may mean 5100 or 5.100"),
    ("12 bananas", "mm", "no unit that is known"),
    ("12 mm", "degrees", "does not fit"),
    ("12 mm", "", "has no unit"),
    ("1.2.3", "mm", "two decimal signs"),
    ("12 or 13", "mm", "more than one number"),
    ("3/4", "", "more than one number"),
]


def test_numbers_are_read_as_people_write_them(given_back):
    found = given_back("return data.map(([t, u]) => cells.readNumber(t, u));", READ)
    for (typed, unit, value), read in zip(READ, found, strict=True):
        assert read.get("value") == pytest.approx(value), (typed, unit, read)


def test_what_cannot_be_read_is_told_why(given_back):
    found = given_back("return data.map(([t, u]) => cells.readNumber(t, u));", UNREADABLE)
    for (typed, _, says), read in zip(UNREADABLE, found, strict=True):
        assert says in read.get("trouble", ""), (typed, read)


@pytest.mark.parametrize("name", EXERCISES)
def test_an_untouched_card_is_the_untouched_cell_and_all_comes_back(given_back, name):
    body = exercise_page(course_folder("exercises") / name).body
    data = json.loads(body.split('id="exercise-data">')[1].split("</script>")[0])
    code = """
      const kept = { cards: {} };
      for (const card of data.cards) {
        const one = {};
        if (card.kind === "choice") one.letters = [card.options[0][0], card.reasons[1][0]];
        else if (card.kind === "written") one.text = 'He said "lean"; it\\'s 5° & more\\n\\n# so';
        else if (cells.isField(card)) one.text = "12,5";
        else Object.assign(one, { mode: "code", code: card.stub + "\\nmore = 1\\n" });
        kept.cards[card.question] = one;
      }
      const untouched = cells.handIn(data, {}, "");
      const filled = cells.handIn(data, kept, "Jörg M");
      const back = cells.bringBack(data, JSON.stringify(filled));
      const again = cells.handIn(data, back, back.id);
      const same = JSON.stringify(again) === JSON.stringify(filled);
      return { untouched, filled, back, kept, same };
    """
    found = given_back(code, data)
    assert found["same"]
    assert found["back"]["id"] == "Jörg M"
    assert found["back"]["cards"] == found["kept"]["cards"]
    for before, after in zip(data["notebook"]["cells"], found["untouched"]["cells"], strict=True):
        if before["metadata"]["nbgrader"]["grade_id"] != data["idCell"]:
            assert "".join(before["source"]) == "".join(after["source"])


@pytest.mark.parametrize("name", EXERCISES)
def test_no_card_speaks_of_cells(name):
    body = exercise_page(course_folder("exercises") / name).body
    shown = body.split('<script type="application/json"')[0]
    for words in ("three dots", "Shift", "run the cell", "quotation marks", "first cell"):
        assert words not in shown, words
    assert shown.count('class="card task"') >= 3
    assert shown.count('class="check"') >= 3


def test_what_is_asked_stays_when_words_about_cells_go():
    body = exercise_page(course_folder("exercises") / "04-columns").body
    assert "buckles at the" in body.split('<script type="application/json"')[0]
    assert body.split('<script type="application/json"')[0].count("Which of them") == 1

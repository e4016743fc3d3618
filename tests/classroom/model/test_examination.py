"""An examination: nobody has practised on its numbers, and nothing in it tells right from wrong."""

from __future__ import annotations

import json

from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.model.build import notebook, source_files
from hoofcalc.classroom.model.examination import SUFFIX, as_examination, practice_name
from hoofcalc.classroom.model.variants import variant_of
from hoofcalc.classroom.model.working import HINTS


def test_the_numbers_of_an_examination_are_nobodys_practice(assignment: Assignment) -> None:
    examined = as_examination(assignment.exercise)
    assert examined.name == f"04-columns{SUFFIX}"
    assert practice_name(examined.name) == practice_name("04-columns") == "04-columns"
    files = source_files(examined)
    assert sorted(files) == [f"{examined.name}.ipynb", HINTS]
    hints = json.loads(files[HINTS])
    assert hints["check"] is False
    sets = hints["variants"]
    assert len(sets) == len(assignment.variants)
    practised = [dict(one) for one in assignment.variants]
    assert not any(one in practised for one in sets)
    for number in range(50):
        learner = f"learner {number}"
        own = sets[variant_of(learner, examined.name, len(sets) - 1)]
        assert own != practised[assignment.variant(learner)]


def test_an_examination_says_what_it_is(assignment: Assignment) -> None:
    cells = notebook(as_examination(assignment.exercise))["cells"]
    words = "".join(cells[0]["source"])
    assert "(examination)" in words
    assert "**This is an examination.**" in words
    assert "tells you at once" not in words
    assert "veterinary surgeon" in words  # the caution stays
    first = "".join(notebook(assignment.exercise)["cells"][0]["source"])
    assert "examination" not in first
    assert "tells you at once" in first
    rest = ["".join(cell["source"]) for cell in cells[4:-1]]
    assert rest == [
        "".join(cell["source"]) for cell in notebook(assignment.exercise)["cells"][4:-1]
    ]

"""Points given by a person stay as given until what they were given for changes."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from hoofcalc import cli
from hoofcalc.classroom.grading.manual_grading import FILE

NAME = "04-columns"


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def fill_in(folder: Path, learner: str, points: str) -> None:
    """The last line of a learner, filled in as an instructor would."""
    rows = rows_of(folder / FILE)
    [row for row in rows if row["id"] == learner][-1]["points"] = points
    with (folder / FILE).open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def change(folder: Path, learner: str, cell: str, points: float) -> None:
    """What the formgrader does with a gradebook when a score is typed."""
    from nbgrader.api import Gradebook

    with Gradebook(f"sqlite:///{folder / 'course' / 'gradebook.db'}") as gradebook:
        grade = gradebook.find_grade(cell, NAME, NAME, learner)
        grade.manual_score, grade.needs_manual_grade = points, False
        gradebook.db.commit()


def test_a_mark_changed_in_the_gradebook_is_kept(
    tmp_path: Path, hand_in: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    folder, results = tmp_path / "in", tmp_path / "in-results"
    hand_in(folder, "anna", q5="It leans, so a part goes across.")
    hand_in(folder, "bert", q5="It leans.")
    call = ["mark", str(folder), "--exercise", NAME]
    assert cli.main(call) == 0
    assert "2 to mark" in capsys.readouterr().out
    fill_in(results, "anna", "1")
    assert cli.main(call) == 0
    said = capsys.readouterr().out
    assert "1 taken over" in said
    assert "1 to mark" in said
    fill_in(results, "bert", "0.5")
    assert cli.main(call) == 0
    assert "nothing is waiting any more" in capsys.readouterr().out

    change(results, "anna", "04-5-answer", 1.75)
    change(results, "anna", "04-1-check", 0.25)
    for again in ([], ["--again"]):
        assert cli.main([*call, *again]) == 0
        assert "taken over" not in capsys.readouterr().out
        anna, bert = rows_of(results / f"marks-{NAME}.csv")
        assert (anna["question 1"], anna["question 5"]) == ("0.25", "1.75")
        assert (anna["to mark by hand"], bert["question 5"]) == ("0", "0.5")
    page = (results / "feedback" / NAME / "anna.html").read_text(encoding="utf-8")
    assert "Changed by your marker: 0.25 of 1 point" in page
    assert "1.75 of 2 points" in page

    # whoever corrects the table means the table
    fill_in(results, "anna", "2")
    assert cli.main(call) == 0
    assert rows_of(results / f"marks-{NAME}.csv")[0]["question 5"] == "2"


def test_a_text_changed_after_hand_marking_waits_again(
    tmp_path: Path, hand_in: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    folder, results = tmp_path / "in", tmp_path / "in-results"
    hand_in(folder, "anna", q5="It leans.")
    hand_in(folder, "bert", q5="It leans too.")
    call = ["mark", str(folder), "--exercise", NAME]
    assert cli.main(call) == 0
    fill_in(results, "anna", "1")
    change(results, "bert", "04-5-answer", 1.0)
    assert cli.main(call) == 0
    assert "nothing is waiting" in capsys.readouterr().out

    hand_in(folder, "bert", q1="answer_1 = 3", q5="It leans too.")  # the same words as before
    hand_in(folder, "anna", q5="Now quite another text.")
    assert cli.main(call) == 0
    assert "1 to mark" in capsys.readouterr().out
    anna, bert = rows_of(results / f"marks-{NAME}.csv")
    assert (anna["question 5"], anna["to mark by hand"]) == ("1", "1")  # the old points stand
    assert (bert["question 5"], bert["to mark by hand"]) == ("1", "0")
    page = (results / "feedback" / NAME / "anna.html").read_text(encoding="utf-8")
    assert "it will be read again" in page
    fill_in(results, "anna", "1.5")
    assert cli.main(call) == 0
    assert "nothing is waiting" in capsys.readouterr().out
    assert rows_of(results / f"marks-{NAME}.csv")[0]["question 5"] == "1.5"

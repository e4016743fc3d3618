"""The learner's file is written whole, read by every lesson, and never lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoofcalc.figures import ask, predict, record
from hoofcalc.notebook.cards import LiveCard
from hoofcalc.notebook.memory import FILE, FolderMemory, learners_memory
from hoofcalc.notebook.predictions import LivePrediction


def test_what_one_lesson_keeps_another_recalls(tmp_path: Path) -> None:
    one, other = FolderMemory(tmp_path), FolderMemory(tmp_path)
    one.remember("answer/horn/glue", 2)
    other.remember("answer/columns/lean", "half")
    assert FolderMemory(tmp_path).recall("answer/horn/glue") == 2
    assert one.recall("answer/columns/lean") == "half"
    assert one.recall("answer/columns/other") is None
    assert [path.name for path in tmp_path.iterdir()] == [FILE]


def test_a_file_that_cannot_be_read_is_set_aside(tmp_path: Path) -> None:
    (tmp_path / FILE).write_text("my own notes", "utf-8")
    memory = FolderMemory(tmp_path)
    memory.remember("answer/horn/glue", 2)
    assert memory.recall("answer/horn/glue") == 2
    assert (tmp_path / "my-course-not-read-1.json").read_text("utf-8") == "my own notes"


def test_where_nothing_can_be_written_the_session_still_knows(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", "utf-8")
    memory = FolderMemory(tmp_path / "file" / "below")  # no folder can be made there
    memory.remember("answer/horn/glue", 2)
    assert memory.recall("answer/horn/glue") == 2


def test_the_file_lies_in_the_learners_own_copy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lessons = tmp_path / "copy" / "lessons"
    lessons.mkdir(parents=True)
    monkeypatch.chdir(lessons)
    assert learners_memory().path is None, "no learner's copy: nothing is written"
    (tmp_path / "copy" / ".hoofcalc").mkdir()
    assert learners_memory().path == tmp_path / "copy" / FILE


def test_a_drawn_curve_is_judged_and_kept(tmp_path: Path) -> None:
    prediction = predict("underrun")
    drawn = [float(value) for value in prediction.true_values]
    card = LivePrediction(prediction, FolderMemory(tmp_path))
    card._heard(None, {"keep": {"drawn": drawn, "shown": True}}, [])
    card._heard(None, {"drawn": drawn, "serial": "5"}, [])
    assert card.view.verdict == {
        "name": "ours",
        "belief": "",
        "says": prediction.ours,
        "serial": "5",
    }
    for nonsense in (None, "drawn", {"drawn": [1.0]}, {"drawn": "x"}, {"drawn": None}):
        card._heard(None, nonsense, [])
    assert card.view.verdict["says"].startswith("This cannot be read")
    card.close()
    again = LivePrediction(prediction, FolderMemory(tmp_path))
    assert again.view.kept == {"drawn": drawn, "shown": True}
    again.close()
    assert record.read((tmp_path / FILE).read_text("utf-8"))["entries"]


def test_an_answer_is_kept_and_stands_when_the_lesson_is_opened_again(tmp_path: Path) -> None:
    memory = FolderMemory(tmp_path)
    answers = {
        ("underrun", "gaps"): {"chosen": 1, "right": True},
        ("underrun", "remember_length"): {"typed": "15", "right": False},
        ("case", "row"): {"sorts": ["not shown", "", "", "", ""], "right": None},
    }
    for (lesson, name), told in answers.items():
        card = LiveCard(ask(lesson, name), memory)
        assert card.view.kept is None
        card.view.kept = told
        card.close()
    for (lesson, name), told in answers.items():
        again = LiveCard(ask(lesson, name), FolderMemory(tmp_path))
        assert {key: again.view.kept[key] for key in told} == told
        assert len(again.view.kept["times"]) == (told["right"] is not None)
        again.close()
    assert memory.recall("place/underrun") == {"part": "Remember"}


def test_nonsense_in_the_file_stops_no_card(tmp_path: Path) -> None:
    memory = FolderMemory(tmp_path)
    for nonsense in (3, "x", [], {"chosen": "one"}, {"chosen": 99}, {"times": 3, "sorts": 7}, {}):
        memory.remember("answer/underrun/gaps", nonsense)
        card = LiveCard(ask("underrun", "gaps"), memory)
        card.view.kept = {"chosen": 0, "right": False}
        assert memory.recall("answer/underrun/gaps")["chosen"] == 0
        card.close()


def test_a_record_is_taken_along_brought_back_and_deleted(tmp_path: Path) -> None:
    memory = FolderMemory(tmp_path / "one")
    memory.remember("answer/horn/glue", {"chosen": 1, "right": True})
    taken = record.text_of(memory.all())
    other = FolderMemory(tmp_path / "other")
    other.remember("answer/columns/glue", {"chosen": 2, "right": False})
    assert other.bring_back(taken) == 1
    assert other.recall("answer/horn/glue") == {"chosen": 1, "right": True}
    assert other.recall("answer/columns/glue"), "what was there stays"
    for damaged in ("", taken[:-20], taken.replace('"hoofcalc": 1', '"hoofcalc": 9')):
        with pytest.raises(ValueError, match="text"):
            other.bring_back(damaged)
    assert len(other.all()["entries"]) == 2
    one_more = FolderMemory(tmp_path / "other")  # another lesson, open beside it
    other.forget()
    assert not (tmp_path / "other" / FILE).exists()
    one_more.remember("answer/columns/lean", {"chosen": 0, "right": True})
    assert list(other.all()["entries"]) == ["answer/columns/lean"], "what was deleted stays so"

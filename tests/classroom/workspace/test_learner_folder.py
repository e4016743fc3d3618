"""The learner's own copy: laid out whole, brought up to date, never written over."""

from __future__ import annotations

import json

import pytest

from hoofcalc import __version__
from hoofcalc._files import write_whole
from hoofcalc.classroom.workspace import learner_folder
from hoofcalc.classroom.workspace.learner_folder import FolderError, lay_out


def notebook(*cells: str, outputs: list | None = None) -> str:
    return json.dumps(
        {
            "cells": [
                {
                    "cell_type": "code",
                    "execution_count": 7 if outputs else None,
                    "metadata": {},
                    "outputs": outputs or [],
                    "source": cell,
                }
                for cell in cells
            ],
            "metadata": {},
            "nbformat": 4,
            "nbformat_minor": 5,
        }
    )


@pytest.fixture
def course(tmp_path, monkeypatch):
    """A small course to hand out, that a test can change to a newer version."""
    root = tmp_path / "course"
    for place, text in {
        "lessons/04-columns.ipynb": notebook("a = 1"),
        "lessons/.hidden": "not for learners",
        "exercises/04-columns/04-columns.ipynb": notebook("answer = None"),
        "exercises/04-columns/hints.json": "{}",
    }.items():
        path = root / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    monkeypatch.setattr(learner_folder, "course_folder", lambda name: root / name)
    return root


@pytest.fixture
def own(tmp_path):
    return tmp_path / "my course"


def files(folder):
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and ".hoofcalc" not in path.parts
    }


def test_everything_handed_out_arrives_and_nothing_hidden(course, own):
    layout = lay_out(own)
    assert files(own) == {
        "lessons/04-columns.ipynb",
        "exercises/04-columns/04-columns.ipynb",
        "exercises/04-columns/hints.json",
    }
    assert len(layout.new) == 3


def test_the_next_day_changes_nothing(course, own):
    lay_out(own)
    before = {name: (own / name).read_bytes() for name in files(own)}
    layout = lay_out(own)
    assert {name: (own / name).read_bytes() for name in files(own)} == before
    assert layout.in_words() == []


def test_a_lesson_that_was_only_run_is_brought_up_to_date(course, own):
    lay_out(own)
    run = notebook("a = 1", outputs=[{"output_type": "stream", "name": "stdout", "text": "1"}])
    (own / "lessons/04-columns.ipynb").write_text(run, encoding="utf-8")
    (course / "lessons/04-columns.ipynb").write_text(notebook("a = 2"), encoding="utf-8")
    layout = lay_out(own)
    assert layout.updated == ["lessons/04-columns.ipynb"]
    assert "a = 2" in (own / "lessons/04-columns.ipynb").read_text(encoding="utf-8")


def test_what_the_learner_wrote_stays_and_the_newer_lesson_lies_beside_it_once(course, own):
    lay_out(own)
    mine = notebook("a = 1", "my_own_note = 'soft heel'")
    (own / "lessons/04-columns.ipynb").write_text(mine, encoding="utf-8")
    (course / "lessons/04-columns.ipynb").write_text(notebook("a = 2"), encoding="utf-8")
    layout = lay_out(own)
    newer = f"lessons/04-columns (version {__version__}).ipynb"
    assert layout.beside == [("lessons/04-columns.ipynb", newer)]
    assert (own / "lessons/04-columns.ipynb").read_text(encoding="utf-8") == mine
    assert "a = 2" in (own / newer).read_text(encoding="utf-8")
    said = " ".join(layout.in_words())
    assert "stays" in said
    assert newer in said
    assert lay_out(own).beside == []  # said once, laid once


def test_a_third_version_does_not_touch_the_second(course, own):
    lay_out(own)
    lesson = own / "lessons/04-columns.ipynb"
    lesson.write_text(notebook("mine"), encoding="utf-8")
    for text in ("a = 2", "a = 3"):
        (course / "lessons/04-columns.ipynb").write_text(notebook(text), encoding="utf-8")
        lay_out(own)
    assert "a = 2" in (own / f"lessons/04-columns (version {__version__}).ipynb").read_text()
    assert "a = 3" in (own / f"lessons/04-columns (version {__version__} 2).ipynb").read_text()
    assert "mine" in lesson.read_text()


@pytest.mark.parametrize("spoilt", ["", "{", "[]", '{"lessons/04-columns.ipynb": 3}', "null"])
def test_with_spoilt_notes_everything_counts_as_the_learners(course, own, spoilt):
    lay_out(own)
    mine = notebook("mine")
    (own / "lessons/04-columns.ipynb").write_text(mine, encoding="utf-8")
    (own / ".hoofcalc/handed-out.json").write_text(spoilt, encoding="utf-8")
    lay_out(own)
    assert (own / "lessons/04-columns.ipynb").read_text(encoding="utf-8") == mine


def test_a_file_already_there_under_a_lessons_name_is_the_learners(course, own):
    (own / "lessons").mkdir(parents=True)
    (own / "lessons/04-columns.ipynb").write_bytes(b"\xff\x00 not a notebook at all")
    layout = lay_out(own)
    assert (own / "lessons/04-columns.ipynb").read_bytes() == b"\xff\x00 not a notebook at all"
    assert len(layout.beside) == 1


def test_a_deleted_lesson_comes_back(course, own):
    lay_out(own)
    (own / "lessons/04-columns.ipynb").unlink()
    assert lay_out(own).new == ["lessons/04-columns.ipynb"]


def test_a_folder_that_is_a_file_is_refused_in_words(course, tmp_path):
    (tmp_path / "note.txt").write_text("mine")
    with pytest.raises(FolderError, match="is a file, not a folder"):
        lay_out(tmp_path / "note.txt")


def test_a_folder_that_cannot_be_made_is_refused_in_words(course, tmp_path):
    (tmp_path / "note.txt").write_text("mine")
    with pytest.raises(FolderError, match="cannot be written"):
        lay_out(tmp_path / "note.txt" / "inside")


def test_a_write_that_fails_leaves_the_old_file_whole(tmp_path, monkeypatch):
    target = tmp_path / "lesson.ipynb"
    target.write_text("whole")

    def fails(self, other):
        raise OSError("disk full")

    monkeypatch.setattr(type(target), "replace", fails)
    with pytest.raises(OSError, match="disk full"):
        write_whole(target, b"new")
    assert target.read_text() == "whole"
    assert list(tmp_path.iterdir()) == [target]

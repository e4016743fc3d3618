"""Where a learner is follows from their record, whatever else stands in it."""

from __future__ import annotations

import re
from pathlib import Path

from hoofcalc.figures import questions, record
from hoofcalc.figures.where import COURSE, where_page, whereabouts

LESSONS = Path(__file__).parents[2] / "lessons"


def kept(*entries: tuple[str, object]) -> dict[str, object]:
    """A record with these entries, one a day."""
    whole = record.empty()
    for number, (name, value) in enumerate(entries, 1):
        whole = record.with_entry(whole, name, value, f"2026-11-{number:02d}T10:00:00Z")
    return whole


def test_the_course_is_the_lessons_in_their_order() -> None:
    assert list(COURSE.values()) == sorted(path.stem for path in LESSONS.glob("[0-9]*.ipynb"))
    assert set(COURSE) == set(questions.lessons())


def test_an_empty_record_begins_at_the_beginning() -> None:
    where = whereabouts(record.empty())
    assert where.here == ""
    assert all(not one.guessed and not one.answered for one in where.lessons)
    page = where_page(where)
    assert '<a href="00-orientation.ipynb">Begin</a>' in page
    assert "Nothing asked yet" in page


def test_guesses_answers_place_and_what_is_remembered_are_counted() -> None:
    had = {"chosen": 1, "right": True, "times": [{"day": "2026-11-01", "right": True}]}
    missed = {"typed": "3", "right": False, "times": [{"day": "2026-10-01", "right": False}]}
    where = whereabouts(
        kept(
            ("predict/underrun", {"drawn": [1.0], "shown": True}),
            ("answer/case/predict", {"chosen": 0, "right": None, "times": []}),
            ("answer/underrun/remember_centre", had),
            ("answer/horn/off_middle", missed),
            ("place/horn", {"part": "Check yourself"}),
            ("place/underrun", {"part": "Remember"}),
        )
    )
    lessons = {one.lesson: one for one in where.lessons}
    assert where.here == "underrun"
    assert (lessons["underrun"].answered, lessons["underrun"].right) == (1, 1)
    assert (lessons["horn"].answered, lessons["horn"].right) == (1, 0)
    assert [one.lesson for one in where.lessons if one.guessed] == ["underrun", "case"]
    assert lessons["case"].asked == len(questions.load("case")) - 1, "a guess is no question"
    (centre,) = [one for one in where.ideas if one.times]
    assert centre.name == "the centre of force"
    assert [right for _, right in centre.times] == [False, True], "by day"
    page = where_page(where)
    assert '<a href="08-underrun.ipynb#Remember">Go on</a>' in page
    assert page.count("you are here") == 1
    assert "□■" in page
    for target in re.findall(r'href="([^"#]+)', page):
        assert (LESSONS / target).exists()


def test_nonsense_and_another_courses_entries_are_passed_over() -> None:
    where = whereabouts(
        kept(
            ("answer/underrun/gaps", "x"),
            ("answer/underrun/reason", {"times": [3, {"day": 5}, {}], "right": "yes"}),
            ("answer/nowhere/nothing", {"chosen": 1}),
            ("predict/underrun", 7),
            ("place/<script>", {"part": "<script>"}),
            ("place/horn", {"part": "<script>"}),
        )
    )
    assert not any(one.times for one in where.ideas)
    assert "<script" not in where_page(where)

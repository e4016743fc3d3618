"""Where a learner is in the course, and what they remember: read out of their record.

Plain data and plain HTML, which the notebook shows (`hoofcalc.notebook.where`). The site draws its
own, `site/web/where.js`, because it must stand there without Python.
"""

from __future__ import annotations

import html
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from hoofcalc.figures import questions
from hoofcalc.figures.record import latest, value_of

__all__ = ["COURSE", "Idea", "LessonSoFar", "Where", "where_page", "whereabouts"]

#: Each lesson by the name of its questions: the name of its file. In the order of the course.
#: Written out, because neither name follows from the other and the lessons need not lie beside the
#: code; tests hold it to the lessons' files.
COURSE: Mapping[str, str] = MappingProxyType(
    {
        "orientation": "00-orientation",
        "landing": "01-landing",
        "ground_force": "02-ground-force",
        "measuring": "03-measuring",
        "columns": "04-columns",
        "horn": "05-horn",
        "capsule": "06-capsule",
        "load_path": "07-load-path",
        "underrun": "08-underrun",
        "trim_cycle": "09-trim-cycle",
        "case": "10-a-case",
    }
)


@dataclass(frozen=True, slots=True)
class LessonSoFar:
    """How far one lesson is done.

    Parameters
    ----------
    lesson, stem
        The name of its questions and of its file.
    guessed
        Whether its guess was made: the curve drawn, or the choice before the figure.
    asked, answered, right
        How many questions it has, how many were answered, how many right as they stand.
    part
        Where in it the learner was last; empty where they were not.
    """

    lesson: str
    stem: str
    guessed: bool
    asked: int
    answered: int
    right: int
    part: str

    @property
    def title(self) -> str:
        """Number and name, as a heading has them."""
        return self.stem.replace("-", " ").capitalize()


@dataclass(frozen=True, slots=True)
class Idea:
    """One idea that comes back: how it went each time it was asked.

    Parameters
    ----------
    name
        What it is.
    times
        Day and whether it was had, earliest first.
    returns
        The lessons in which it comes back, by the names of their files.
    """

    name: str
    times: tuple[tuple[str, bool], ...]
    returns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Where:
    """Where a learner is.

    Parameters
    ----------
    here
        Name of the lesson in which they were last; empty before the first.
    lessons
        All lessons, in their order.
    ideas
        All ideas that come back.
    """

    here: str
    lessons: tuple[LessonSoFar, ...]
    ideas: tuple[Idea, ...]


def whereabouts(record: Mapping[str, Any]) -> Where:
    """Read out of a record where its learner is.

    Parameters
    ----------
    record
        As `hoofcalc.figures.record` has it. What in it makes no sense is passed over.

    Returns
    -------
    Where
        Place, lessons and ideas.
    """
    lessons = tuple(_so_far(record, lesson, stem) for lesson, stem in COURSE.items())
    here = latest(record, "place").partition("/")[2]
    ideas = tuple(_idea(record, row) for row in _table())
    return Where(here if here in COURSE else "", lessons, ideas)


@cache
def _table() -> tuple[dict[str, Any], ...]:
    """What comes back when."""
    path = Path(__file__).parent / "questions" / "returns.toml"
    return tuple(tomllib.loads(path.read_text("utf-8"))["idea"])


def _kept(record: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    """An entry's value where it is a table; empty otherwise."""
    value = value_of(record, name)
    return value if isinstance(value, Mapping) else {}


def _so_far(record: Mapping[str, Any], lesson: str, stem: str) -> LessonSoFar:
    asked = [name for name, one in questions.load(lesson).items() if one["kind"] != "predict"]
    answers = [_kept(record, f"answer/{lesson}/{name}") for name in asked]
    guesses = (f"predict/{lesson}", f"answer/{lesson}/predict")
    return LessonSoFar(
        lesson=lesson,
        stem=stem,
        guessed=any(_kept(record, name) for name in guesses),
        asked=len(asked),
        answered=sum(bool(one) for one in answers),
        right=sum(one.get("right") is True for one in answers),
        part=str(_kept(record, f"place/{lesson}").get("part", "")),
    )


def _idea(record: Mapping[str, Any], row: Mapping[str, Any]) -> Idea:
    times = sorted(_times(record, row["returns"]))
    lessons = tuple(COURSE[one.split("/")[0]] for one in row["returns"])
    return Idea(row["name"], tuple(times), lessons)


def _times(record: Mapping[str, Any], asked: list[str]) -> Iterator[tuple[str, bool]]:
    for one in asked:
        times = _kept(record, f"answer/{one}").get("times")
        for time in times if isinstance(times, list) else ():
            if isinstance(time, Mapping) and isinstance(time.get("day"), str):
                yield time["day"], bool(time.get("right"))


# ---------------------------------------------------------------- as a page


def where_page(where: Where) -> str:
    """Where a learner is, as HTML: the way on, the lessons, and what they remember.

    Parameters
    ----------
    where
        As `whereabouts` finds it.

    Returns
    -------
    str
        Plain HTML without styles; links lead to the lessons beside it.
    """
    rows = "".join(_row(one, where.here) for one in where.lessons)
    ideas = "".join(_idea_row(one) for one in where.ideas if one.times)
    remembered = ideas or "<li>Nothing asked yet: answer a question in a lesson.</li>"
    return (
        f"<p>{_way_on(where)}</p><h3>The lessons</h3>"
        "<table><thead><tr><th>lesson</th><th>guess</th><th>questions</th><th>where you were</th>"
        f"</tr></thead><tbody>{rows}</tbody></table>"
        f"<h3>What you remember</h3><ul>{remembered}</ul>"
        "<p>Each day you were asked counts once. ■: you had it. □: you did not.</p>"
    )


def _way_on(where: Where) -> str:
    """The link to go on by."""
    if not where.here:
        return f"Nothing begun yet. {_link(where.lessons[0].stem, 'Begin')}"
    here = next(one for one in where.lessons if one.lesson == where.here)
    at = html.escape(f"{here.title}{f', {here.part}' if here.part else ''}")
    return f"You were last in {at}. {_link(here.stem, 'Go on', here.part)}"


def _row(one: LessonSoFar, here: str) -> str:
    answered = f"{one.answered} of {one.asked} answered, {one.right} right" if one.answered else ""
    place = "<strong>you are here</strong>" if one.lesson == here else html.escape(one.part)
    return (
        f"<tr><td>{_link(one.stem, one.title)}</td><td>{'made' if one.guessed else ''}</td>"
        f"<td>{answered}</td><td>{place}</td></tr>"
    )


def _idea_row(one: Idea) -> str:
    bars = "".join("■" if right else "□" for _, right in one.times)
    words = ", ".join("had it" if right else "did not" for _, right in one.times)
    return f'<li>{html.escape(one.name)} <span role="img" aria-label="{words}">{bars}</span></li>'


def _link(stem: str, words: str, part: str = "") -> str:
    place = f"#{part.replace(' ', '-')}" if part else ""
    return f'<a href="{stem}.ipynb{html.escape(place)}">{html.escape(words)}</a>'

"""The item analysis of a class as a table and in words, all its exercises together."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoofcalc.classroom.grading.item_analysis import (
    FEWEST_FOR_FAULTS,
    FEWEST_LEARNERS,
    FEWEST_QUESTIONS,
    WORDS,
    Estimate,
    Item,
    analyse,
)
from hoofcalc.classroom.grading.overview import Overview

HEADER = [
    "exercise",
    "question",
    "learners",
    "mean share of the points % (95 %)",
    "goes with the rest, -1 to 1 (95 %)",
    "slips, % of the learners (95 %)",
    "to look at",
]
HOW_TO_READ = (
    f"Nothing is said below {FEWEST_LEARNERS} learners. A question is one to look at where the "
    "class answers it in a way that fits a fault better than it fits a sound question; that takes "
    f"{FEWEST_FOR_FAULTS} learners and {FEWEST_QUESTIONS} questions in all exercises together. In "
    "invented classes of 30 such faults were found in at least 95 of 100, and up to 5 of 100 sound "
    "questions were named too, in about every second class one or two. Those marked 'first' are "
    "surer: not 5 of 100 classes see one without cause, but of the faults only a reversed key is "
    "nearly always among them. So look, and do not take it for a verdict."
)


def question_rows(views: Sequence[Overview]) -> list[list[str]]:
    """A line for each question of each exercise, under `HEADER`."""
    places = [(view, question) for view in views for question in view.exercise.questions]
    return [
        [
            view.exercise.name,
            f"{question.name}. {question.title}",
            str(item.learners),
            _words(item.difficulty, 100, 0),
            _words(item.discrimination, 1, 2),
            "; ".join(f"{name}: {_words(share, 100, 0)}" for name, share in item.slips.items()),
            f"{'first: ' if item.first else ''}{WORDS.get(item.fault, '')}",
        ]
        for (view, question), item in zip(places, _items(views), strict=True)
    ]


def to_look_at(rows: Sequence[Sequence[str]]) -> list[str]:
    """The questions to look at, in words for the screen."""
    named = sorted((row for row in rows if row[-1]), key=lambda row: not _first(row))
    return [
        f"  to look at{' first' if _first(row) else ''}: {row[0]}, question {row[1]}: "
        f"{row[-1].removeprefix('first: ')}"
        for row in named
    ]


def _first(row: Sequence[str]) -> bool:
    return row[-1].startswith("first: ")


def _items(views: Sequence[Overview]) -> list[Item]:
    learners = sorted({row.learner for view in views for row in view.marked})
    line = {learner: number for number, learner in enumerate(learners)}
    questions = [(view, question) for view in views for question in view.exercise.questions]
    column = {(view.exercise.name, q.name): number for number, (view, q) in enumerate(questions)}
    shares = np.full((len(learners), len(questions)), np.nan)
    slips = [[""] * len(questions) for _ in learners]
    for view in views:
        for row in view.marked:
            for name, score in row.scores.items():
                if score is not None:
                    share = score / view.exercise.question(name).points
                    shares[line[row.learner], column[view.exercise.name, name]] = min(share, 1.0)
        for slip in view.slips:
            for learner in slip.learners:
                slips[line[learner]][column[view.exercise.name, slip.question]] = slip.name
    return analyse(shares, np.array([question.points for _, question in questions]), slips)


def _words(estimate: Estimate | None, factor: float, digits: int) -> str:
    return "too few to say" if estimate is None else estimate.in_words(factor, digits)

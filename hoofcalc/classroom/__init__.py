"""Learners and instructors: the own copy of the course, checks, handing out and marking."""

from hoofcalc.classroom.model.working import open_exercise
from hoofcalc.classroom.workspace.plain_words import say_it_in_words

__all__ = ["open_exercise", "say_it_in_words"]

"""Learners and instructors: the own copy of the course, checks, handing out and marking."""

from hoofcalc.classroom.model.working import open_exercise

__all__ = ["open_exercise"]

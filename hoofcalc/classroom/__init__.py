"""Learners and instructors: the own copy of the course, checks, handing out and marking."""

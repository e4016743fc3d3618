"""nbgrader's settings for this course. Use its commands inside this folder."""

from hoofcalc.classroom.grading.nbgrader_step import configure

configure(get_config())  # noqa: F821 (given by nbgrader)

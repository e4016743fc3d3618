"""What the formgrader of nbgrader needs beside the gradebook, to open a results folder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import nbformat

from hoofcalc._files import write_whole

#: nbgrader's settings for the course in a results folder: the learner's page is ours here too.
SETTINGS = '''"""Settings for nbgrader. Start JupyterLab in this folder for its formgrader."""

c = get_config()  # noqa: F821 (given by nbgrader)

c.CourseDirectory.course_id = "hoofcalc"
c.GenerateFeedback.preprocessors = ["hoofcalc.classroom.grading.nbgrader_step.GetGradesAndWaiting"]
c.GenerateFeedback.exporter_class = "hoofcalc.classroom.grading.nbgrader_step.FeedbackPage"
'''


def lay_out(course: Path, name: str, original: Any, db_url: str = "") -> None:
    """Lay the handed-out notebook and settings into `course`; what is there is left alone.

    `db_url` is the gradebook's address where it is not the file in `course`.

    The formgrader lists the exercises whose folder it finds in ``source``.
    """
    notebook = course / "source" / name / f"{name}.ipynb"
    if not notebook.exists():
        write_whole(notebook, nbformat.writes(original).encode())
    settings = course / "nbgrader_config.py"
    # an address may hold a password, and this is no place for one
    if not settings.exists():
        other = "" if "@" in db_url else f"c.CourseDirectory.db_url = {db_url!r}\n"
        write_whole(settings, (SETTINGS + other * bool(db_url)).encode())

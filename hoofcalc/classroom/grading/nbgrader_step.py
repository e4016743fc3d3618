"""Our step in nbgrader's own marking: it takes the place of running the notebook.

Named in ``exercises/nbgrader_config.py``, so that plain ``nbgrader autograde`` marks as
``hoofcalc mark`` does.
"""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

from nbgrader.api import Gradebook
from nbgrader.preprocessors import GetGrades, NbGraderPreprocessor

from hoofcalc.classroom.grading.feedback_page import FeedbackPage
from hoofcalc.classroom.grading.marking import load_assignment, mark
from hoofcalc.classroom.grading.submissions import parse
from hoofcalc.classroom.sandbox import runner

__all__ = ["FeedbackPage", "GetGradesAndWaiting", "MarkAnswers", "configure"]


def configure(settings: Any) -> None:
    """Set nbgrader up for a course folder whose hand-ins are marked here."""
    settings.CourseDirectory.course_id = "hoofcalc"
    # Hand-ins are put together from what was handed out, run in a process of their own and
    # judged outside it: this one step takes the place of nbgrader's tidying and running.
    settings.Autograde.sanitize_preprocessors = []
    settings.Autograde.autograde_preprocessors = [
        f"{__name__}.MarkAnswers",
        "nbgrader.preprocessors.SaveAutoGrades",
        "nbgrader.preprocessors.AssignLatePenalties",
        "nbgrader.preprocessors.CheckCellMetadata",
    ]
    # The learner's feedback page. What a learner wrote is shown as text, never run.
    settings.GenerateFeedback.preprocessors = [f"{__name__}.GetGradesAndWaiting"]
    # Named for this page alone: the formgrader has a page of its own.
    settings.GenerateFeedback.exporter_class = f"{__name__}.FeedbackPage"
    # The notebooks in source/ are derived from the keys and hold no solutions: the outlines of
    # the answers stay as they are.
    settings.ClearSolutions.enabled = False


@functools.cache
def _try_out(course: Path) -> None:
    """Refuse to mark where a hand-in could see what it must not."""
    parts = ("keys", "source", "submitted", "autograded", "gradebook.db")
    hidden = {f"the course's {part}": course / part for part in parts}
    runner.refuse_if_seen({**hidden, "your own files": Path.home()})


class MarkAnswers(NbGraderPreprocessor):  # type: ignore[misc]
    """Put the hand-in together afresh, run it walled off, judge it, write points and messages."""

    def preprocess(self, nb: Any, resources: Any) -> tuple[Any, Any]:
        """Mark one notebook. nbgrader has gone to the course folder before."""
        import nbformat

        names = resources["nbgrader"]
        warning = runner.weaker_mode()
        if warning:
            self.log.warning(warning)
        _try_out(Path.cwd())
        assignment = load_assignment(Path.cwd(), names["assignment"])
        handin = parse(nbformat.writes(nb).encode())
        marked = mark(assignment, names["student"], handin)
        for note in marked.notes:
            self.log.info("%s: %s", names["student"], note)
        return marked.notebook, resources


class GetGradesAndWaiting(GetGrades):  # type: ignore[misc]
    """Put the grades into the notebook, and whether a person has yet to give some."""

    def preprocess(self, nb: Any, resources: Any) -> tuple[Any, Any]:
        """Before the feedback page is written."""
        nb, resources = super().preprocess(nb, resources)
        names = resources["nbgrader"]
        with Gradebook(names["db_url"]) as gradebook:
            for cell in nb.cells:
                ours = cell.metadata.get("nbgrader", {})
                if ours.get("grade") and ours.get("solution"):
                    grade = gradebook.find_grade(
                        ours["grade_id"], names["notebook"], names["assignment"], names["student"]
                    )
                    ours["waiting"] = grade.auto_score is None and grade.manual_score is None
        return nb, resources

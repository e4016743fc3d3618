"""Our step in nbgrader's own marking: it takes the place of running the notebook.

Named in ``exercises/nbgrader_config.py``, so that plain ``nbgrader autograde`` marks as
``hoofcalc mark`` does.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from nbgrader.preprocessors import NbGraderPreprocessor

from hoofcalc.classroom import jail
from hoofcalc.classroom.handins import parse
from hoofcalc.classroom.marking import load_assignment, mark


class MarkAnswers(NbGraderPreprocessor):  # type: ignore[misc]
    """Put the hand-in together afresh, run it behind walls, judge it, write points and messages."""

    def preprocess(self, nb: Any, resources: Any) -> tuple[Any, Any]:
        """Mark one notebook. nbgrader has gone to the course folder before."""
        import nbformat

        names = resources["nbgrader"]
        warning = jail.weaker_mode()
        if warning:
            self.log.warning(warning)
        assignment = load_assignment(Path.cwd(), names["assignment"])
        handin = parse(nbformat.writes(nb).encode())
        marked = mark(assignment, names["student"], handin)
        for note in marked.notes:
            self.log.info("%s: %s", names["student"], note)
        return marked.notebook, resources

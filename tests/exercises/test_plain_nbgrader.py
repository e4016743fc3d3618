"""Marks and pictures are those of nbgrader as it comes, on honest hand-ins.

There the checks run in the learner's own kernel; here answers are judged outside. The
same hand-ins go through both, and marks and outputs are laid side by side.
"""

from __future__ import annotations

import base64
import importlib.util
import io
import json
import sqlite3
import sys
from pathlib import Path

import numpy as np
import pytest
from matplotlib import image

from hoofcalc.classroom.grading.folder import mark_folder
from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.model.bank import fill

COURSE = Path(__file__).resolve().parents[2] / "exercises"
_PLACE = Path(__file__).resolve().parents[1] / "benchmarks" / "plain_course.py"
_SPEC = importlib.util.spec_from_file_location("plain_course", _PLACE)
plain_course = importlib.util.module_from_spec(_SPEC)
sys.modules["plain_course"] = plain_course
_SPEC.loader.exec_module(plain_course)

TWO_PICTURES = (
    "import matplotlib.pyplot as plt\nfig, axes = plt.subplots(1, 2, figsize=(8, 3))\n"
    "axes[0].bar([1, 2, 3], [3, 2, 1]); axes[1].hist([1, 1, 2])\nplt.figure()\n"
    "plt.plot([1, 4, 9], 'o--')\nprint('two of them')\n6 * 7"
)
#: Honest hand-ins of exercise 04: right, half right with usual slips, half finished, pictures.
HONEST = {
    "anna": ({}, True, plain_course.PLOT),
    "bert": ({"2": "answer_2 = 1.0", "3": "answer_3 = 'A'\nreason_3 = 'R'"}, True, TWO_PICTURES),
    "carla": (
        {
            "1": "n = task.numbers\nprint(n)\nanswer_1 = n.stick_length_mm / n.stick_diameter_mm",
            "2": "import math\n\nn = task.numbers\nI = math.pi * n.stick_diameter_mm**4 / 64\n"
            "answer_2 = math.pi**2 * n.stick_modulus_mpa * I / n.stick_length_mm**2\nanswer_2",
            "6": "def base_moment(force_n, lean_deg, length_mm, euler_n):\n    return 1.0",
        },
        False,
        "import numpy as np\nnp.round(np.linspace(0, 1, 5), 3)",
    ),
}


@pytest.mark.slow
def test_honest_hand_ins_get_the_same_marks_and_pictures(tmp_path: Path) -> None:
    from hoofcalc.classroom.grading.marking import load_assignment

    assignment: Assignment = load_assignment(COURSE, "04-columns")
    name = assignment.exercise.name
    handins = {}
    for learner, (answers, reference, plot) in HONEST.items():
        notebook = fill(
            assignment.exercise, assignment.original, learner, answers, reference=reference
        )
        handins[learner] = plain_course.add_plot(notebook, plot)
    course = tmp_path / "plain"
    plain_course.lay_out(course, assignment, handins)
    plain_course.nbgrader(course, "generate_assignment", name)
    plain_course.nbgrader(course, "autograde", name)
    ours = tmp_path / "ours"
    assert mark_folder(course / "submitted", exercise=name, course=COURSE, results=ours) == 0

    def scores(database: Path) -> dict[tuple[str, str], tuple[float | None, int]]:
        with sqlite3.connect(database) as connection:
            return {
                (learner, cell): (score, waiting)
                for learner, cell, score, waiting in connection.execute(
                    "select s.student_id, c.name, g.auto_score, g.needs_manual_grade "
                    "from grade g join base_cell c on c.id = g.cell_id "
                    "join submitted_notebook n on n.id = g.notebook_id "
                    "join submitted_assignment s on s.id = n.assignment_id"
                )
            }

    theirs = scores(course / "gradebook.db")
    assert scores(ours / "course" / "gradebook.db") == theirs
    assert len(theirs) == 3 * 6
    assert len({score for score, _ in theirs.values()}) > 3

    compared = 0
    cells = [*(f"04-{number}-answer" for number in "12346"), "my-plot"]
    for learner in HONEST:
        marked = []
        for place in (course / "autograded", ours / "course" / "autograded"):
            text = (place / learner / name / f"{name}.ipynb").read_text(encoding="utf-8")
            notebook = json.loads(text)
            notebook["cells"][-1]["id"] = "my-plot"
            marked.append(plain_course.shown(notebook, cells))
        for cell in cells:
            kinds = [sorted(kind for kind, _ in one[cell]) for one in marked]
            assert kinds[0] == kinds[1], (learner, cell)
            for (kind, mine), (_, other) in zip(
                sorted(marked[0][cell]), sorted(marked[1][cell]), strict=True
            ):
                if kind == "picture":
                    assert np.array_equal(_pixels(mine), _pixels(other))
                    compared += 1
                else:
                    assert mine == other
    assert compared == 3  # no picture is lost on the way


def _pixels(picture: str) -> np.ndarray:
    return image.imread(io.BytesIO(base64.b64decode(picture)))

"""The same exercise as an ordinary nbgrader course, for comparison: checks run beside the answers.

What a question is worth is worked out by a cell that nbgrader runs in the learner's own
kernel, with truths in it. That is how marking is usually done, and safe only with honest
hand-ins. Used by a benchmark and by a test.
"""

from __future__ import annotations

import copy
import json
import os
import subprocess
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.model.questions import Choice, Function, Number, Numbers, Question

#: A picture as a learner draws one to see what happens.
PLOT = (
    "import matplotlib.pyplot as plt\nimport numpy as np\n\n"
    "length_mm = np.linspace(200, 800, 200)\n"
    "plt.plot(length_mm, 1e9 / length_mm**2)\n"
    'plt.xlabel("length [mm]")\nplt.ylabel("load [N]")\nplt.title("Longer carries less")\n'
    "plt.show()"
)


def add_plot(notebook: dict[str, Any], source: str = PLOT) -> dict[str, Any]:
    """Add a cell of the learner's own with a picture, at the end."""
    cell = {
        "cell_type": "code",
        "id": "my-plot",
        "metadata": {},
        "source": source,
        "execution_count": None,
        "outputs": [],
    }
    notebook["cells"].append(cell)
    return notebook


def check_source(question: Question, owners: Mapping[str, Numbers]) -> str:
    """A check cell that ends in the points: partial credit, as nbgrader takes it."""
    if isinstance(question, Number):
        marks = {}
        for learner, numbers in owners.items():
            near, truth = question.near, question.truth(numbers)
            known = [(truth, question.points, near.mark)]
            known += [(slip.value(numbers), slip.points, near.mark) for slip in question.slips]
            known += [(truth, question.close_points, near.working)]
            marks[learner] = known
        return (
            f"_marks = {marks!r}[my_id]\n"
            f"next((p for v, p, w in _marks if abs({question.answers[0]} - v) <= "
            f"w * {'abs(v)' if question.near.kind == 'relative' else '1.0'}), 0.0)"
        )
    if isinstance(question, Choice):
        letters = {learner: question.truth(numbers) for learner, numbers in owners.items()}
        answer, reason = question.answers
        return (
            f"_right = {answer}.strip().upper() == {letters!r}[my_id]\n"
            f"_why = {reason}.strip().upper() == {question.right_reason!r}\n"
            f"{question.points} if _right and _why else {question.choice_points} * _right"
        )
    assert isinstance(question, Function)
    cases = {
        learner: [
            (case.inputs(numbers), question.truth(*case.inputs(numbers)), case.points)
            for case in question.cases
        ]
        for learner, numbers in owners.items()
    }
    text = repr(cases).replace("inf)", "float('inf'))").replace(" inf,", " float('inf'),")
    return (
        f"sum(p for i, v, p in {text}[my_id]\n"
        f"    if (g := {question.call}(*i)) == v or abs(g - v) <= "
        f"{question.near.mark} * {'abs(v)' if question.near.kind == 'relative' else '1.0'}"
        f" < float('inf'))"
    )


def lay_out(course: Path, assignment: Assignment, handins: Mapping[str, dict[str, Any]]) -> None:
    """Write the course: source with checks that judge, and the hand-ins of these learners."""
    exercise = assignment.exercise
    name = exercise.name
    owners = {one: assignment.variants[assignment.variant(one)] for one in handins}
    checks = {
        exercise.cell(question, "check"): check_source(question, owners)
        for question in exercise.questions
        if isinstance(question, Number | Choice | Function)
    }
    source = copy.deepcopy(dict(assignment.original))
    for cell in source["cells"]:
        cell["source"] = checks.get(cell["metadata"]["nbgrader"]["grade_id"], cell["source"])
        cell["metadata"]["nbgrader"].pop("checksum", None)
    source["metadata"]["kernelspec"] = {
        "name": "python3",
        "display_name": "Python 3",
        "language": "python",
    }
    places = {f"source/{name}": source}
    places |= {f"submitted/{learner}/{name}": notebook for learner, notebook in handins.items()}
    for place, notebook in places.items():
        folder = course / place
        folder.mkdir(parents=True)
        (folder / f"{name}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
        for file, content in assignment.files.items():
            (folder / file).write_bytes(content)
    (course / "nbgrader_config.py").write_text(
        "c = get_config()\nc.CourseDirectory.course_id = 'plain'\n"
        "c.ClearSolutions.enabled = False\n"
    )


def nbgrader(course: Path, *arguments: str) -> None:
    """Run one of nbgrader's commands in the course."""
    environment = dict(os.environ)
    environment["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), environment["PATH"]])
    done = subprocess.run(
        [sys.executable, "-m", "nbgrader", *arguments],
        cwd=course,
        env=environment,
        capture_output=True,
        text=True,
        timeout=1800,
        check=False,
    )
    if done.returncode != 0:
        raise RuntimeError(done.stderr[-3000:])


def shown(notebook: Any, names: Iterable[str]) -> dict[str, list[tuple[str, Any]]]:
    """What the learner's cells show, in a form that two kernels can agree on."""
    found = {}
    for cell in notebook["cells"]:
        name = cell["metadata"].get("nbgrader", {}).get("grade_id") or cell["id"]
        if name not in names:
            continue
        outputs: list[tuple[str, Any]] = []
        for output in cell["outputs"]:
            if output["output_type"] == "stream":
                outputs.append((output["name"], "".join(output["text"])))
            elif output["output_type"] == "error":
                outputs.append(("error", output["ename"]))
            elif "image/png" in output["data"]:
                outputs.append(("picture", "".join(output["data"]["image/png"]).strip()))
            else:
                outputs.append(("text", "".join(output["data"]["text/plain"])))
        found[name] = outputs
    return found

"""What is handed out: in step with the key, and nothing in it that decides a mark."""

from __future__ import annotations

import json
import os
import tomllib
from pathlib import Path

import pytest

from hoofcalc.classroom.grading.commands import known_exercises, release
from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.model.build import notebook, source_files
from hoofcalc.classroom.model.hints import build_hints
from hoofcalc.classroom.model.questions import Function, Number, Written

#: An instructor's own course gets the same proofs: HOOFCALC_COURSE names its folder.
OWN = Path(__file__).resolve().parents[2] / "exercises"
COURSE = Path(os.environ.get("HOOFCALC_COURSE", OWN))


def _files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_source_and_release_are_in_step_with_the_key(name: str, assignment: Assignment) -> None:
    """By the key as it is now, with the sets of numbers as they were drawn."""
    exercise = assignment.exercise
    source = {
        f"{name}.ipynb": json.loads(json.dumps(notebook(exercise))),
        "hints.json": json.loads(json.dumps(build_hints(exercise, list(assignment.variants)))),
    }
    assert sorted(_files(COURSE / "source" / name)) == sorted(source)
    for file, content in _files(COURSE / "source" / name).items():
        assert json.loads(content) == source[file], f"run: hoofcalc handout {name}"
    released = _files(COURSE / "release" / name)
    assert released["hints.json"] == _files(COURSE / "source" / name)["hints.json"]

    def texts(data: dict) -> list[str]:
        return ["".join(cell["source"]) for cell in data["cells"]]

    assert texts(json.loads(released[f"{name}.ipynb"])) == texts(source[f"{name}.ipynb"])


@pytest.mark.slow
def test_numbers_drawn_afresh_are_the_same_bytes(
    name: str, assignment: Assignment, course_copy: Path
) -> None:
    assert _files(COURSE / "source" / name) == source_files(assignment.exercise), (
        f"run: hoofcalc handout {name}"
    )
    if name == "04-columns":  # for the others test_bank looks at what nbgrader releases
        assert _files(release(course_copy, name)) == _files(COURSE / "release" / name)


def test_every_release_has_a_key() -> None:
    folders = sorted(path.name for path in (COURSE / "release").iterdir() if path.is_dir())
    assert folders == known_exercises(COURSE)


def test_prompts_and_checks_are_locked_and_answers_are_not(assignment: Assignment) -> None:
    exercise = assignment.exercise
    for cell in assignment.original["cells"]:
        ours = cell["metadata"]["nbgrader"]
        answer = ours["grade_id"].endswith(("-answer", "-0-id"))
        assert ours["locked"] is not answer
        assert cell["metadata"].get("editable", True) is answer
        assert cell["metadata"]["deletable"] is False
    points = sum(
        cell["metadata"]["nbgrader"].get("points", 0) for cell in assignment.original["cells"]
    )
    assert points == exercise.points == 10
    assert 3 <= len(exercise.questions) <= 6


def _deciding(assignment: Assignment) -> list[str]:
    """Texts that only the key may hold."""
    found = []
    # a number of few digits may stand there for something else, and while practising a function
    # is tried on values made of the practice set, which may be an answer to another question
    shown = {
        repr(part)
        for question in assignment.exercise.questions
        if isinstance(question, Function)
        for case in question.cases
        for part in case.inputs(assignment.variants[0])
    }
    for question in assignment.exercise.questions:
        found.append(question.reference)
        if isinstance(question, Number | Function):
            found.append(question.near.reason)
        if isinstance(question, Number):
            truths = [question.truth(numbers) for numbers in assignment.variants]
            found += [repr(one) for one in truths if len(repr(one)) > 8 and repr(one) not in shown]
            found += [slip.name for slip in question.slips if len(slip.name) > 15]
        if isinstance(question, Function):
            for case in question.cases:
                truths = [question.truth(*case.inputs(one)) for one in assignment.variants]
                found += [repr(truth) for truth in truths if len(repr(truth)) > 8]
    return found


def test_nothing_that_decides_is_handed_out(name: str, assignment: Assignment) -> None:
    handed_out = b"\n".join(_files(COURSE / "release" / name).values()).decode()
    flat = handed_out.replace("\\n", "\n").replace('\\"', '"')
    for text in _deciding(assignment):
        assert text not in flat, text
    assert "lambda" not in handed_out
    hints = json.loads((COURSE / "release" / name / "hints.json").read_text(encoding="utf-8"))
    allowed = {
        "kind", "answers", "messages", "keep_going", "asked", "plausible", "near", "prints",
        "options", "reasons", "examples", "cases",
    }  # fmt: skip
    for question in assignment.exercise.questions:
        entry = hints["questions"][question.name]
        assert set(entry) <= allowed
        if isinstance(question, Function):  # to practise on, with the numbers of no learner
            practice = [list(case.inputs(assignment.variants[0])) for case in question.cases]
            assert [inputs for inputs, _ in entry["cases"]] == practice
        if isinstance(question, Written):
            assert question.scale[0] in handed_out


def test_an_examination_tells_nothing_but_how_an_answer_is_read(assignment: Assignment) -> None:
    hints = build_hints(assignment.exercise, list(assignment.variants), check=False)
    assert hints["check"] is False
    for entry in hints["questions"].values():
        assert set(entry) <= {"kind", "answers", "options", "reasons"}
    handed_out = json.dumps(hints, ensure_ascii=False)
    for question in assignment.exercise.questions:
        if isinstance(question, Number | Function):
            assert question.right not in handed_out
            assert not any(slip.message in handed_out for slip in question.slips)


def test_the_wheel_holds_what_is_handed_out_and_no_key() -> None:
    """By the build's own list of what goes into a wheel."""
    settings = tomllib.loads((OWN.parent / "pyproject.toml").read_text(encoding="utf-8"))
    wheel = settings["tool"]["hatch"]["build"]["targets"]["wheel"]
    assert wheel["packages"] == ["hoofcalc"]
    assert [place for place in wheel["force-include"] if place.startswith("exercises")] == [
        "exercises/release"
    ]
    assert not list((OWN / "release").rglob("*.py"))


def test_the_source_archive_holds_no_key_and_no_solution() -> None:
    """What is published with a release is open to every learner; the release looks inside too."""
    settings = tomllib.loads((OWN.parent / "pyproject.toml").read_text(encoding="utf-8"))
    left_out = settings["tool"]["hatch"]["build"]["targets"]["sdist"]["exclude"]
    assert {"/exercises/keys", "/exercises/source", "/tests"} <= set(left_out)

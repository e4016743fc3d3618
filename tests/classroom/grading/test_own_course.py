"""An instructor's own folder, with nothing but keys: an examination from hand-out to mark."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import pytest

from hoofcalc import cli
from hoofcalc.classroom.grading.marking import load_assignment
from hoofcalc.classroom.model.bank import fill
from hoofcalc.classroom.model.working import HINTS, Task

pytestmark = pytest.mark.slow

COURSE = Path(__file__).resolve().parents[3] / "exercises"
PRACTICE = "04-columns"
NAME = f"{PRACTICE}-examination"


def test_an_examination_from_handing_out_to_the_mark(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own, out, folder = tmp_path / "own", tmp_path / "out", tmp_path / "in"
    (own / "keys").mkdir(parents=True)
    shutil.copy(COURSE / "keys" / f"{PRACTICE}.py", own / "keys")
    call = ["handout", PRACTICE, "--without-check", "--course", str(own), "--to", str(out)]
    assert cli.main(call) == 0
    assert sorted(path.name for path in (out / NAME).iterdir()) == [f"{NAME}.ipynb", HINTS]
    examined = load_assignment(own, NAME)

    # right or wrong, the check says no more than that it can be read
    task = Task(json.loads((out / NAME / HINTS).read_text(encoding="utf-8")), "anna")
    right = 4 * task.numbers.stick_length_mm / task.numbers.stick_diameter_mm
    for answer in (right, right / 3):
        said = task.check("1", answer)
        assert said.words == f"Read as: {answer:g}. It is marked when you hand in."

    folder.mkdir()
    original = json.loads((out / NAME / f"{NAME}.ipynb").read_text(encoding="utf-8"))
    practised = load_assignment(COURSE, PRACTICE)
    truth = practised.exercise.question("1").truth
    looked_up = repr(truth(practised.variants[practised.variant("bert")]))
    handed_in = {
        "anna": fill(examined.exercise, original, "anna", {}, reference=True),
        # what the same id was asked while practising
        "bert": fill(
            examined.exercise, original, "bert", {"1": f"answer_1 = {looked_up}"}, reference=True
        ),
        "cora": fill(practised.exercise, practised.original, "cora", {}, reference=True),
    }
    for learner, notebook in handed_in.items():
        (folder / f"{learner}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    capsys.readouterr()
    assert cli.main(["mark", str(folder), "--exercise", NAME, "--course", str(own)]) == 1
    assert f"it is the exercise {PRACTICE}, not {NAME}" in capsys.readouterr().out
    table = tmp_path / "in-results" / f"marks-{NAME}.csv"
    with table.open(encoding="utf-8-sig", newline="") as stream:
        points = {row["id"]: (row["question 1"], row["points"]) for row in csv.DictReader(stream)}
    assert points == {"anna": ("1", "8"), "bert": ("0", "7"), "cora": ("", "")}
    assert not (own / "release" / PRACTICE).exists()

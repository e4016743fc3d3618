"""What is said to a learner whose code stops: one sentence, the line, no traceback."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import zipfile

import pytest

from hoofcalc._where import course_folder
from hoofcalc.classroom.model.working import HINTS
from hoofcalc.site import in_browser
from hoofcalc.site.build import package_zip


def test_what_goes_into_the_browser_is_all_that_it_needs(tmp_path):
    with zipfile.ZipFile(io.BytesIO(package_zip())) as packed:
        packed.extractall(tmp_path)
    whole = (
        "from hoofcalc.figures import EVERY_FIGURE, EVERY_PREDICTION\n"
        "from hoofcalc.site import in_browser\n"
        "[figure.frame({}) for figure in EVERY_FIGURE.values()]\n"
        "list(EVERY_PREDICTION)\n"
        "import hoofcalc; print(hoofcalc.__file__)"
    )
    alone = {**os.environ, "PYTHONPATH": str(tmp_path), "PYTHONSAFEPATH": "1"}
    done = subprocess.run(
        [sys.executable, "-c", whole], capture_output=True, text=True, env=alone, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(str(tmp_path)), "not the code of this place"


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)  # hints are laid into the folder


def check(source: str, **more):
    folder = course_folder("exercises") / "04-columns"
    words = {
        "exercise": "04-columns",
        "id": "bf-27",
        "hints": (folder / HINTS).read_text("utf-8"),
        "before": [],
        "source": source,
        "question": "1",
        "answers": ["answer_1"],
    }
    return json.loads(in_browser.check(json.dumps({**words, **more}))[0])


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("x = 'abc\n", "Line 1: a quotation mark is missing"),
        ("x = (1 +\n", "Line 1: a bracket is opened and never closed"),
        ("x = 1)\n", "Line 1: there is a bracket too many"),
        ("x = 12mm\n", "Line 1: a number and letters run into one another"),
        ("if True\n    x = 1\n", "Line 1: the colon"),
        ("x = 1\n  y = 2\n", "Line 2: it does not stand as far in"),
        ("x = “A”\n", "Line 1: the quotation marks are of a kind"),
        ("x = = 1\n", "Line 1: this line cannot be read"),
        ("answer_1 = tub\n", "Line 1: the name tub is not known here"),
        ("x = 1\nanswer_1 = 1 / 0\n", "Line 2: here something is divided by zero"),
        ("answer_1 = ... + 1\n", "Line 1: there are still three dots"),
        ("import seaside\n", "Line 1: there is no library called seaside here"),
        ("from hoofcalc import columns\ncolumns.rod_section()\n", "Line 2: the call does not fit"),
        ("from hoofcalc import columns\ncolumns.rod_section(-1)\n", "Line 2: "),
        ("input('?')\n", "Line 1: "),
        ("raise SystemExit\n", "Line 1: the code ended Python"),
        ("def f():\n    return f()\nf()\n", "without an end"),
        ("task.numbers.no_such\n", "Line 1: There is no number called 'no_such'"),
        ("assert 1 == 2, 'so'\n", "Line 1: it stops here (AssertionError: so)"),
    ],
)
def test_each_slip_gets_one_sentence_with_its_line(source, says):
    found = check(source)
    assert found["trouble"]
    assert found["state"] == "keep going"
    assert says in found["words"]
    assert "Traceback" not in found["words"]
    assert "\n" not in found["words"]


def test_what_is_printed_and_shown_stands_beside_the_message():
    found = check("print('so far')\nanswer_1 = 3.5\nanswer_1")
    assert found["printed"] == "so far\n3.5\n"
    assert not found["trouble"]


def test_cells_above_count_and_their_troubles_are_their_own():
    found = check("answer_1 = half * 2", before=["half = 50", "1 / 0"])
    assert not found["trouble"]
    assert found["state"] == "keep going"


def test_own_numbers_are_those_of_the_id():
    folder = course_folder("exercises") / "04-columns"
    words = {"exercise": "04-columns", "hints": (folder / HINTS).read_text("utf-8")}
    first = in_browser.numbers(json.dumps({**words, "id": "bf-27"}))
    assert first == in_browser.numbers(json.dumps({**words, "id": " BF-27 "}))
    assert first != in_browser.numbers(json.dumps({**words, "id": ""}))

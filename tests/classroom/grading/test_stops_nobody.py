"""Whatever lies in the folder, those before and after it get their marks."""

from __future__ import annotations

import csv
import json
import os
import signal
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.classroom.grading import results
from hoofcalc.classroom.grading.folder import mark_folder
from hoofcalc.classroom.grading.hand_in_files import hand_ins, learner_id
from hoofcalc.classroom.grading.manual_grading import FILE
from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.model.bank import fill
from hoofcalc.classroom.sandbox.runner import Limits

COURSE = Path(__file__).resolve().parents[3] / "exercises"
NAME = "04-columns"
LIMITS = Limits(cell_s=60.0, call_s=60.0, total_s=120.0, memory_mb=1500)
#: What the reference gets from the machine; the words are left out.
FULL = "8"
HALF = "\ud800"

linux = pytest.mark.skipif(sys.platform != "linux", reason="such files are Linux's")


@pytest.fixture(autouse=True)
def _no_waiting_for_ever() -> Iterator[None]:
    """A pipe that is waited for must end the test, not hang it."""
    if not hasattr(signal, "SIGALRM"):
        yield
        return

    def late(*_: object) -> None:
        raise TimeoutError("marking hangs")

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(300)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


class Folder:
    """A folder of hand-ins with one honest learner at each end."""

    def __init__(self, place: Path, assignment: Assignment) -> None:
        self.place, self.assignment = place, assignment
        self.results = place.with_name(f"{place.name}-results")
        for learner in ("aaron", "zuzanne"):
            self.lay(learner)

    def notebook(self, learner: str, **answers: str) -> dict[str, Any]:
        given = {name[1:]: source for name, source in answers.items()}
        made = fill(
            self.assignment.exercise, self.assignment.original, learner, given, reference=True
        )
        cells = made["cells"]
        if "5" not in given:
            words = next(c for c in cells if c["id"] == "04-5-answer")
            words["source"] = next(
                c["source"] for c in self.assignment.original["cells"] if c["id"] == "04-5-answer"
            )
        return made

    def lay(self, learner: str, notebook: dict[str, Any] | None = None, **answers: str) -> Path:
        self.place.mkdir(exist_ok=True)
        path = self.place / f"{learner}.ipynb"
        path.write_text(json.dumps(notebook or self.notebook(learner, **answers)))
        return path

    def mark(self, **options: Any) -> int:
        with ThreadPoolExecutor(2) as executor:
            return mark_folder(
                self.place,
                exercise=NAME,
                course=COURSE,
                limits=options.pop("limits", LIMITS),
                executor=executor,
                **options,
            )

    def rows(self) -> dict[str, dict[str, str]]:
        path = self.results / f"marks-{NAME}.csv"
        with path.open(encoding="utf-8-sig", newline="") as stream:
            return {row["id"].removeprefix("'"): row for row in csv.DictReader(stream)}

    def page(self, learner: str) -> str:
        return (self.results / "feedback" / NAME / f"{learner}.html").read_text(encoding="utf-8")

    def assert_honest_unharmed(self) -> None:
        rows = self.rows()
        for learner in ("aaron", "zuzanne"):
            assert rows[learner]["points"] == FULL, rows[learner]
            assert rows[learner]["remark"] == ""
            assert "points" in self.page(learner)


@pytest.fixture
def folder(tmp_path: Path, assignment: Assignment) -> Folder:
    return Folder(tmp_path / "in", assignment)


HALVES: dict[str, dict[str, str]] = {
    "printed": {"q1": f"print('{HALF}')\nanswer_1 = 1"},
    "printed by the code": {"q1": "print('\\ud800')\nanswer_1 = 1"},
    "in an error": {"q1": "raise ValueError('\\ud800')"},
    "in the name of an error": {"q1": "raise type('E\\ud800', (Exception,), {})()"},
    "in an answer": {"q1": "answer_1 = '\\ud800'"},
    "in an explanation": {"q5": f"Because {HALF} of it."},
    "shown": {"q1": "class A:\n    def __repr__(self): return '\\ud800'\nanswer_1 = 1\nA()"},
}


def test_half_a_character(folder: Folder) -> None:
    for where, answers in HALVES.items():
        folder.lay(f"half {where}", **answers)
    assert folder.mark() == 0
    folder.assert_honest_unharmed()
    for where in HALVES:
        assert folder.rows()[f"half {where}"]["question 2"] == "2", where
        folder.page(f"half {where}").encode()
    assert folder.mark() == 0  # and once more, as before
    folder.assert_honest_unharmed()


@pytest.mark.parametrize("where", ["id", "kind", "exercise", "cell id", "grade id"])
def test_half_a_character_in_what_describes_the_notebook(folder: Folder, where: str) -> None:
    notebook = folder.notebook("middle")
    cell = notebook["cells"][4]
    if where == "id":
        by_id = next(c for c in notebook["cells"] if c["id"] == "04-0-id")
        by_id["source"] = f"my_id = '{HALF}'"
    elif where == "kind":
        cell["cell_type"] = HALF
    elif where == "exercise":
        notebook["metadata"]["hoofcalc"]["exercise"] = f"04{HALF}\x1b[2J"
    elif where == "cell id":
        notebook["cells"].insert(3, {"id": HALF, "cell_type": "code", "source": "x = 1"})
    else:
        cell["metadata"]["nbgrader"]["grade_id"] = HALF
    folder.lay("middle", notebook)
    folder.mark()
    folder.assert_honest_unharmed()
    assert "middle" in folder.rows()


@linux
def test_a_file_name_that_is_not_utf_8_or_holds_control_signs(
    folder: Folder, capsys: pytest.CaptureFixture[str]
) -> None:
    names = (b"J\xf6rg", b"J\x94rg", b"\xff\xfe", b"mi\nddle", b"m\x1b]0;x\x07")
    for number, raw in enumerate(names):
        path = folder.lay(f"middle {number}")
        path.rename(folder.place / os.fsdecode(raw + b".ipynb"))
    assert folder.mark() == 0
    folder.assert_honest_unharmed()
    said = capsys.readouterr()
    assert "\x1b" not in said.out + said.err
    for number, raw in enumerate(names):
        row = folder.rows()[f"middle {number}"]
        assert row["points"] == FULL, raw  # found by the id typed in it
        assert "the file is called" in row["remark"], raw


@linux
@pytest.mark.parametrize("kind", ["pipe", "endless device", "link to a device", "socket"])
def test_what_is_no_ordinary_file_is_not_read(folder: Folder, kind: str) -> None:
    path = folder.place / "middle.ipynb"
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "endless device":
        try:
            os.mknod(path, 0o600 | 0o020000, os.makedev(1, 5))  # /dev/zero
        except PermissionError:
            pytest.skip("making a device needs more rights")
    elif kind == "socket":
        import socket

        here = Path.cwd()
        os.chdir(folder.place)  # such names may not be long
        with socket.socket(socket.AF_UNIX) as one:
            one.bind("middle.ipynb")
        os.chdir(here)
    else:
        path.symlink_to("/dev/zero")
    assert folder.mark() == 1
    folder.assert_honest_unharmed()
    remark = folder.rows()["middle"]["remark"]
    assert "not an ordinary file" in remark or "link to another place" in remark


@linux
@pytest.mark.parametrize("exercise_given", [True, False])
def test_pipes_and_links_beside_a_hand_in_in_folders_are_not_read(
    tmp_path: Path, assignment: Assignment, exercise_given: bool
) -> None:
    folder = Folder(tmp_path / "in", assignment)
    for learner in ("aaron", "middle", "zuzanne"):
        inside = folder.place / "submitted" / learner / NAME
        inside.mkdir(parents=True)
        (inside / f"{NAME}.ipynb").write_text(json.dumps(folder.notebook(learner)))
    inside = folder.place / "submitted" / "middle" / NAME
    os.mkfifo(inside / "timestamp.txt")
    os.mkfifo(inside / "a.ipynb")
    (inside / "b.ipynb").symlink_to("/dev/zero")
    done = mark_folder(
        folder.place, exercise=NAME if exercise_given else None, course=COURSE, limits=LIMITS
    )
    assert done == 0
    folder.assert_honest_unharmed()
    assert folder.rows()["middle"]["points"] == FULL


@linux
@pytest.mark.parametrize("outer", [True, False])
def test_a_folder_that_is_a_link_to_anothers_is_refused(
    tmp_path: Path, assignment: Assignment, outer: bool
) -> None:
    folder = Folder(tmp_path / "in", assignment)
    for learner in ("aaron", "zuzanne"):
        inside = folder.place / "submitted" / learner / NAME
        inside.mkdir(parents=True)
        (inside / f"{NAME}.ipynb").write_text(json.dumps(folder.notebook(learner)))
    if outer:
        (folder.place / "submitted" / "mallory").symlink_to("aaron")
    else:
        (folder.place / "submitted" / "mallory").mkdir()
        (folder.place / "submitted" / "mallory" / NAME).symlink_to(f"../aaron/{NAME}")
    assert folder.mark() == 1
    folder.assert_honest_unharmed()
    assert folder.rows()["mallory"]["points"] == ""
    assert "link to another place" in folder.rows()["mallory"]["remark"]


def test_a_very_long_explanation_is_cut_in_the_table_and_later_runs_go_on(folder: Folder) -> None:
    folder.lay("middle", q5="word " * 40_000)
    for _ in range(2):
        assert folder.mark() == 0
        folder.assert_honest_unharmed()
    content = (folder.results / FILE).read_text(encoding="utf-8-sig")
    assert len(content) < 25_000
    assert "the whole text stands in the marked notebook" in content
    lines = content.replace('"2","",""', '"2","1.5","read"')
    (folder.results / FILE).write_text(lines, encoding="utf-8")
    assert folder.mark() == 0
    assert folder.rows()["middle"]["question 5"] == "1.5"
    assert "changed" not in folder.rows()["middle"]["remark"]


def test_a_table_with_a_cell_of_any_length_is_read(folder: Folder) -> None:
    """As an earlier version wrote it."""
    assert folder.mark() == 0
    table = folder.results / FILE
    row = ["aaron", NAME, "5", "x" * 300_000, "scale", "2", "", ""]
    table.write_text(table.read_text(encoding="utf-8-sig") + ",".join(row) + "\r\n")
    assert folder.mark() == 0
    folder.assert_honest_unharmed()


def test_more_text_than_anybody_writes_is_refused(folder: Folder) -> None:
    folder.lay("middle", q5="word " * 100_000)
    assert folder.mark() == 1
    folder.assert_honest_unharmed()
    assert "more than 400,000 characters" in folder.rows()["middle"]["remark"]


def test_pictures_without_end_are_left_out_and_cost_nothing(folder: Folder) -> None:
    notebook = folder.notebook("middle")
    source = (
        "import base64, os\nfrom IPython.display import display\n"
        "for _ in range(48):\n"
        "    display({'image/png': base64.b64encode(os.urandom(700_000)).decode()}, raw=True)"
    )
    for number in range(12):
        own = {"cell_type": "code", "id": f"own{number}", "metadata": {}, "source": source}
        notebook["cells"].append(own)
    folder.lay("middle", notebook)
    assert folder.mark() == 0
    folder.assert_honest_unharmed()
    assert folder.rows()["middle"]["points"] == FULL
    written = sum(p.stat().st_size for p in folder.results.rglob("*") if "middle" in str(p))
    assert written < 12_000_000
    assert "the rest was left out" in folder.page("middle")


@linux
def test_the_memory_of_all_processes_together_is_limited(folder: Folder) -> None:
    source = (
        "import os, time\n"
        "for _ in range(8):\n"
        "    if os.fork() == 0:\n"
        "        much = b'x' * 300_000_000\n"
        "        time.sleep(1000)\n"
        "time.sleep(1000)\nanswer_1 = 1"
    )
    folder.lay("middle", q1=source)
    assert folder.mark() == 0
    folder.assert_honest_unharmed()
    row = folder.rows()["middle"]
    assert "more than 1500 MB of memory" in row["remark"]
    assert (row["question 1"], row["question 2"]) == ("0", "2")


IDS = ["0012", "1-2", "1E5", "a;=HYPERLINK(1)", "=1+1", "TRUE", "mar1", "'quoted", "+49 1", '"x"']


def test_ids_that_look_like_formulas_or_numbers_survive_a_spreadsheet(folder: Folder) -> None:
    for learner in IDS:
        folder.lay(learner, q5="Because.")
    assert folder.mark() == 0
    fresh = (folder.results / FILE).read_bytes()
    for separator, points in ((",", "1"), (";", "0.5"), ("\t", "1.5")):
        (folder.results / FILE).write_bytes(fresh)
        there_and_back(folder, separator, points)
        assert folder.mark() == 0
        rows = folder.rows()
        assert all(rows[learner]["question 5"] == points for learner in IDS), separator


def there_and_back(folder: Folder, separator: str, points: str) -> None:
    """The tables in a spreadsheet program that has such a separator; points filled in."""
    for table in (folder.results / FILE, folder.results / f"marks-{NAME}.csv"):
        text = table.read_text(encoding="utf-8-sig")
        for row in csv.reader(text.splitlines(), delimiter=separator):
            for cell in row:
                assert not cell.startswith(("=", "+", "-", "@", "\t"))
    # a spreadsheet program reads numbers and dates and writes them back in its own way
    with (folder.results / FILE).open(encoding="utf-8-sig", newline="") as stream:
        back = [[_as_spreadsheets_do(cell) for cell in row] for row in csv.reader(stream)]
    for row in back[1:]:
        row[6] = points
    with (folder.results / FILE).open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream, delimiter=separator).writerows(back)


def _as_spreadsheets_do(cell: str) -> str:
    try:
        return f"{float(cell):g}"
    except ValueError:
        return {"TRUE": "1", "1-2": "2 Jan", "mar1": "1 Mar"}.get(cell, cell)


@pytest.mark.parametrize("escape", ["\x1b[2J", "\x1b]0;title\x07", "\r", "\x9b31m", "\u202e"])
def test_control_sequences_never_reach_a_terminal(
    folder: Folder, escape: str, capsys: pytest.CaptureFixture[str]
) -> None:
    notebook = folder.notebook("middle")
    by_id = next(c for c in notebook["cells"] if c["id"] == "04-0-id")
    by_id["source"] = f"my_id = {('x' + escape + 'y')!r}"
    folder.lay("aaron's friend", notebook)
    stray = folder.notebook("other")
    stray["metadata"]["hoofcalc"]["exercise"] = f"04{escape}"
    folder.lay("other", stray)
    folder.mark()
    folder.assert_honest_unharmed()
    said = capsys.readouterr()
    table = (folder.results / f"marks-{NAME}.csv").read_text(encoding="utf-8-sig")
    for text in (said.out, said.err, table):
        assert escape not in text.replace("\r\n", "")


def test_a_spoilt_entry_or_page_names_the_offender_and_stops_nobody(
    folder: Folder, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever is still unknown: the gradebook or a page does not take one hand-in."""
    folder.lay("middle")
    folder.lay("milly")
    enter, put_in = results.Results._enter, results.Results._put_in

    def entering(self: Any, gradebook: Any, outcome: Any) -> None:
        enter(self, gradebook, outcome)
        if outcome.learner == "middle":
            raise UnicodeEncodeError("utf-8", "x", 0, 1, "no")

    def putting(self: Any, notebook: Any, resources: Any, standing: Any) -> None:
        if resources["nbgrader"]["student"] == "milly":
            raise KeyError("no")
        put_in(self, notebook, resources, standing)

    with monkeypatch.context() as patch:
        patch.setattr(results.Results, "_enter", entering)
        patch.setattr(results.Results, "_put_in", putting)
        assert folder.mark() == 1
    folder.assert_honest_unharmed()
    assert "entering it failed" in folder.rows()["middle"]["remark"]
    assert "milly: no feedback page" in capsys.readouterr().err
    assert folder.mark() == 0
    assert folder.rows()["middle"]["points"] == FULL
    assert folder.page("milly")


def test_progress_is_kept_after_every_hand_in(
    folder: Folder, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder.lay("middle")
    record = results.Results.record

    def dying(self: Any, outcome: Any, note: Any) -> Any:
        if outcome.learner == "zuzanne":
            raise KeyboardInterrupt
        return record(self, outcome, note)

    with monkeypatch.context() as patch:
        patch.setattr(results.Results, "record", dying)
        with pytest.raises(KeyboardInterrupt):
            folder.mark()
    capsys.readouterr()
    assert folder.mark() == 0
    assert capsys.readouterr().out.count("as before") == 2 + 1  # two of them and the last line
    folder.assert_honest_unharmed()


def test_a_date_that_no_calendar_knows(folder: Folder) -> None:
    os.utime(folder.lay("middle"), (2**55, 2**55))
    assert folder.mark() == 0
    folder.assert_honest_unharmed()


def test_no_typed_id_leads_out_of_the_folder(folder: Folder) -> None:
    ids = ("../../aaron", "/etc/passwd", "..", ".hidden", "a/b", "a\\b", "x" * 300)
    for number, typed in enumerate(ids):
        folder.lay(f"middle {number}", folder.notebook(typed))
    assert folder.mark() == 0
    folder.assert_honest_unharmed()
    assert {f"middle {number}" for number in range(len(ids))} <= set(folder.rows())
    inside = folder.results.resolve()
    assert all(p.resolve().is_relative_to(inside) for p in folder.results.rglob("*"))


def test_nobody_gets_anothers_place_by_typing_that_id(folder: Folder) -> None:
    folder.lay("mallory", folder.notebook("aaron", q1="answer_1 = 3"))
    assert folder.mark() == 0
    folder.assert_honest_unharmed()
    (folder.place / "aaron.ipynb").unlink()  # who has been marked keeps that mark
    assert folder.mark() == 0
    folder.assert_honest_unharmed()
    assert "the id typed in the notebook is 'aaron'" in folder.rows()["mallory"]["remark"]


def test_a_renamed_file_is_found_by_the_id_typed_in_it_again_and_again(folder: Folder) -> None:
    folder.lay("homework (2)", folder.notebook("middle"))
    for _ in range(2):
        assert folder.mark() == 0
        assert folder.rows()["middle"]["points"] == FULL
        assert "homework (2)" not in folder.rows()
    folder.lay("homework (2)", folder.notebook("middle", q1="answer_1 = 3"))
    assert folder.mark() == 0
    assert folder.rows()["middle"]["question 1"] == "0"


def test_two_files_with_the_same_typed_id_count_once(folder: Folder) -> None:
    for name in ("one", "two"):
        folder.lay(name, folder.notebook("middle"))
    found, words = hand_ins(folder.place, NAME)
    assert [one.learner for one in found] == ["aaron", "middle", "zuzanne"]
    assert "middle: handed in twice" in words[0]


@pytest.mark.parametrize(
    "name", ["a" * 300, "ö" * 200, "\udcff" * 240, "a/b", "\x00", "", "..", "."]
)
def test_every_name_becomes_an_id_that_can_name_a_file(name: str, tmp_path: Path) -> None:
    found = learner_id(name)
    (tmp_path / f"{found}.json").write_text("x")
    assert [p.name for p in tmp_path.iterdir()] == [f"{found}.json"]
    assert len(f"{found}.html".encode()) < 255


def test_a_terminal_without_the_sign_stops_nobody(
    tmp_path: Path, hand_in: Callable[..., Path]
) -> None:
    import subprocess

    hand_in(tmp_path / "in", "Zoë ☃")
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run(
        [sys.executable, "-m", "hoofcalc.cli", "mark", str(tmp_path / "in"), "--exercise", NAME],
        env=environment,
        capture_output=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, done.stderr
    assert b"\\u2603" in done.stdout

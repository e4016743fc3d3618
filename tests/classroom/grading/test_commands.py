"""The instructor's commands with what goes wrong, and marking by hand there and back."""

from __future__ import annotations

import csv
import json
import subprocess
import zipfile
from pathlib import Path

import pytest

from hoofcalc import cli
from hoofcalc.classroom.grading import commands, course, folder, hand_in_files
from hoofcalc.classroom.grading.manual_grading import FILE, HandMarks, HandMarksError, Waiting
from hoofcalc.classroom.grading.marking import load_assignment
from hoofcalc.classroom.model.bank import fill
from hoofcalc.classroom.model.examination import SUFFIX
from hoofcalc.classroom.model.questions import KeyFileError, load_exercise

COURSE = Path(__file__).resolve().parents[3] / "exercises"
ASSIGNMENT = load_assignment(COURSE, "04-columns")
#: The right answer to its first question, for whose own numbers ever.
SLENDER = "answer_1 = 4 * task.numbers.stick_length_mm / task.numbers.stick_diameter_mm"


def hand_in(folder: Path, learner: str, **answers: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    given = {name[1:]: source for name, source in answers.items()}
    notebook = fill(ASSIGNMENT.exercise, ASSIGNMENT.original, learner, given)
    path = folder / f"{learner}.ipynb"
    path.write_text(json.dumps(notebook), encoding="utf-8")
    return path


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def write_rows(path: Path, rows: list[dict[str, str]], delimiter: str = ",") -> None:
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, list(rows[0]), delimiter=delimiter)
        writer.writeheader()
        writer.writerows(rows)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["mark", "nowhere"], "There is no folder nowhere"),
        (["mark", "{empty}"], "no hand-ins"),
        (["mark", "{empty}", "--course", "{empty}"], "no folder 'keys'"),
        (["handout", "99-none"], "04-columns"),
    ],
)
def test_a_wrong_call_is_answered_in_words(
    arguments: list[str], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    assert cli.main([part.format(empty=empty) for part in arguments]) == 2
    said = capsys.readouterr().err
    assert words in said
    assert "Traceback" not in said


def test_the_exercise_is_found_out_or_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    known = ["03-measuring", "04-columns"]
    for module in (folder, hand_in_files):
        monkeypatch.setattr(module, "known_exercises", lambda course: known)
    for learner in ("anna", "bert"):
        hand_in(tmp_path, learner)
    stray = hand_in(tmp_path, "carl")
    stray.write_text(
        stray.read_text().replace('{"exercise": "04-columns"}', '{"exercise": "03-measuring"}')
    )
    assert hand_in_files.which_exercise(tmp_path, COURSE) == "04-columns"
    (tmp_path / "anna.ipynb").rename(tmp_path / "anna.later")
    with pytest.raises(commands.CommandError, match="are of several exercises"):
        hand_in_files.which_exercise(tmp_path, COURSE)  # one and one: neither is the stray
    (tmp_path / "anna.later").rename(tmp_path / "anna.ipynb")
    assert cli.main(["mark", str(tmp_path), "--exercise", "99-none"]) == 2
    assert "There are: 03-measuring, 04-columns" in capsys.readouterr().err
    for learner in ("anna", "bert"):
        (tmp_path / f"{learner}.ipynb").write_text("not a notebook")
    assert hand_in_files.which_exercise(tmp_path, COURSE) == "03-measuring"
    stray.unlink()
    with pytest.raises(commands.CommandError, match="do not say which exercise"):
        hand_in_files.which_exercise(tmp_path, COURSE)


def test_without_keys_it_says_where_they_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """As from a wheel: no checkout around."""
    monkeypatch.setattr(course, "_CHECKOUT", tmp_path / "site-packages")
    monkeypatch.chdir(tmp_path)
    assert cli.main(["mark", str(tmp_path)]) == 2
    assert "exercises/keys" in capsys.readouterr().err
    assert cli.main(["handout", "04-columns", "--to", str(tmp_path / "out")]) == 0
    assert sorted(path.name for path in (tmp_path / "out" / "04-columns").iterdir()) == [
        "04-columns.ipynb",
        "hints.json",
    ]
    assert cli.main(["handout", "99-none"]) == 2


def test_handing_out_overwrites_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(commands, "release", lambda course, name: course / "release" / name)
    call = ["handout", "04-columns", "--to", str(tmp_path)]
    assert cli.main(call) == 0
    assert cli.main(call) == 0  # the same once more is no harm
    mine = tmp_path / "04-columns" / "04-columns.ipynb"
    mine.write_text("mine")
    assert cli.main(call) == 2
    assert "is there already and is not the same" in capsys.readouterr().err
    assert mine.read_text() == "mine"


def test_for_an_examination_each_of_several_is_made_without_the_check(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    made = []

    def release(course: Path, name: str) -> Path:
        made.append(name)
        folder = tmp_path / "release" / name
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"{name}.ipynb").write_text(name)
        return folder

    monkeypatch.setattr(commands, "release", release)
    call = ["handout", "04-columns", "04-columns", "--without-check", "--to", str(tmp_path / "out")]
    assert cli.main(call) == 0
    assert made == [f"04-columns{SUFFIX}"] * 2
    out = tmp_path / "out" / f"04-columns{SUFFIX}" / f"04-columns{SUFFIX}.ipynb"
    assert out.read_text() == f"04-columns{SUFFIX}"
    assert str(out.parent) in capsys.readouterr().out
    assert cli.main(["handout"]) == 2
    assert "Say which exercise" in capsys.readouterr().err


def test_an_examination_is_not_made_where_there_are_no_keys(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(course, "_CHECKOUT", tmp_path / "site-packages")
    monkeypatch.chdir(tmp_path)
    assert cli.main(["handout", "04-columns", "--without-check", "--to", str(tmp_path)]) == 2
    assert "made from the keys" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("inside", ["hoofcalc/cli.py", "exercises/keys/04-columns.py"])
def test_a_wheel_for_learners_has_no_key_in_it(
    inside: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def build(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        if command[0] != "uv":  # as where there is no pip
            return subprocess.CompletedProcess(command, 1, "", "No module named pip")
        folder = Path(command[command.index("-o") + 1])
        with zipfile.ZipFile(folder / "hoofcalc-1-py3-none-any.whl", "w") as archive:
            archive.writestr(inside, "")
        return subprocess.CompletedProcess(command, 0, "", "")

    monkeypatch.setattr(commands.subprocess, "run", build)
    code = cli.main(["handout", "--wheel", "--to", str(tmp_path)])
    said = capsys.readouterr()
    if "keys" in inside:
        assert code == 2
        assert inside in said.err
        assert list(tmp_path.iterdir()) == []
    else:
        assert code == 0
        assert [path.name for path in tmp_path.iterdir()] == ["hoofcalc-1-py3-none-any.whl"]
        assert "pip install" in said.out


def test_a_wheel_that_cannot_be_built_is_said_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def nothing(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        raise FileNotFoundError(command[0])

    monkeypatch.setattr(commands.subprocess, "run", nothing)
    assert cli.main(["handout", "--wheel", "--to", str(tmp_path)]) == 2
    assert "neither pip nor uv" in capsys.readouterr().err


def test_help_is_there(capsys: pytest.CaptureFixture[str]) -> None:
    for command in ("mark", "handout"):
        with pytest.raises(SystemExit) as left:
            cli.main([command, "--help"])
        assert left.value.code == 0
        assert "hand" in capsys.readouterr().out


def test_folders_in_nbgraders_layout_and_odd_files(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    inside = tmp_path / "submitted" / "zoë" / "04-columns"
    hand_in(inside, "04-columns", q1="answer_1 = 3")
    other = tmp_path / "submitted" / "nobody" / "04-columns"
    other.mkdir(parents=True)
    assert cli.main(["mark", str(tmp_path)]) == 1
    said = capsys.readouterr().out
    assert "nobody  not marked: there is no 04-columns.ipynb" in said
    assert "zoë     0 of 10 points (the id typed in the notebook is '04-columns')" in said
    assert (tmp_path.with_name(tmp_path.name + "-results") / "marks-04-columns.csv").is_file()


def test_marking_by_hand_there_and_back(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Texts go out, points come back, nothing filled in is ever lost."""
    handins, results = tmp_path / "in", tmp_path / "in-results"
    hand_in(handins, "anna", q5="=The part across\nbends it, ändert alles.")
    hand_in(handins, "bert", q5="Because it leans.")
    hand_in(handins, "=clara", q1="answer_1 = 3")
    assert cli.main(["mark", str(handins)]) == 0
    table = results / FILE
    rows = rows_of(table)
    assert [row["id"] for row in rows] == ["anna", "bert"]
    assert rows[0]["text"] == "'=The part across\nbends it, ändert alles."  # not a formula
    assert rows[0]["scale"].startswith("0.5: says that leaning splits")

    # filled in by a spreadsheet program that knows commas only as decimal marks
    rows[0] |= {"points": "1,5", "comment": "Good. What about the bend?"}
    rows[1] |= {"points": "7"}
    write_rows(table, rows, ";")
    filled = table.read_bytes()
    capsys.readouterr()
    assert cli.main(["mark", str(handins)]) == 1
    assert "row 3: points must be between 0 and 2 (got 7)" in capsys.readouterr().err
    assert table.read_bytes() == filled
    marks = {row["id"]: row for row in rows_of(results / "marks-04-columns.csv")}
    assert marks["anna"]["question 5"] == "1.5"
    assert marks["anna"]["to mark by hand"] == "0"
    assert marks["bert"]["to mark by hand"] == "1"
    assert marks["'=clara"]["question 5"] == "0"
    page = (results / "feedback" / "04-columns" / "anna.html").read_text(encoding="utf-8")
    assert "What about the bend?" in page
    assert "1.5 of 2 points" in page

    # a new text: the old points stay until it is marked, and the table says so
    hand_in(handins, "anna", q5="Now much better.")
    assert cli.main(["mark", str(handins)]) == 1
    marks = {row["id"]: row for row in rows_of(results / "marks-04-columns.csv")}
    assert marks["anna"]["question 5"] == "1.5"
    assert "has changed since it was marked" in marks["anna"]["remark"]
    with table.open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream, delimiter=";"))
    assert [row["points"] for row in rows] == ["1,5", "7", ""]
    rows[1]["points"], rows[2]["points"] = "0", "2"
    write_rows(table, rows, ";")
    assert cli.main(["mark", str(handins)]) == 0
    marks = {row["id"]: row for row in rows_of(results / "marks-04-columns.csv")}
    assert (marks["anna"]["question 5"], marks["anna"]["remark"]) == ("2", "")
    assert marks["bert"]["question 5"] == "0"


def test_a_spoilt_hand_in_keeps_the_earlier_mark(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = hand_in(tmp_path / "in", "anna", q1=SLENDER)
    assert cli.main(["mark", str(tmp_path / "in"), "--exercise", "04-columns"]) == 0
    path.write_bytes(b"")
    assert cli.main(["mark", str(tmp_path / "in"), "--exercise", "04-columns"]) == 1
    (row,) = rows_of(tmp_path / "in-results" / "marks-04-columns.csv")
    assert row["points"] == "1"
    assert "empty" in row["remark"]
    assert "earlier hand-in" in row["remark"]
    (tmp_path / "in" / "anna.ipynb").unlink()
    hand_in(tmp_path / "in", "bert")
    assert cli.main(["mark", str(tmp_path / "in"), "--exercise", "04-columns"]) == 0
    rows = rows_of(tmp_path / "in-results" / "marks-04-columns.csv")
    assert [row["id"] for row in rows] == ["anna", "bert"]  # nobody is forgotten


def test_a_spoilt_table_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / FILE).write_text("something,else\n1,2\n")
    with pytest.raises(HandMarksError, match="has lost the column"):
        HandMarks(tmp_path)
    assert (tmp_path / FILE).read_text() == "something,else\n1,2\n"


def test_columns_of_the_instructors_own_are_kept(tmp_path: Path) -> None:
    table = HandMarks(tmp_path)
    assert table.add("04-columns", [Waiting("anna", "5", "text", ["a", "b"], 2.0)]) == 1
    (row,) = rows_of(tmp_path / FILE)
    write_rows(tmp_path / FILE, [row | {"seen by": "the other marker", "points": "x"}])
    again = HandMarks(tmp_path)
    assert again.add("04-columns", [Waiting("anna", "5", " text ", ["a"], 2.0)]) == 0
    assert again.add("04-columns", [Waiting("bert", "5", "text", ["a"], 2.0)]) == 1
    assert rows_of(tmp_path / FILE)[0]["seen by"] == "the other marker"
    marks, trouble = again.given("04-columns", {"5": 2.0})
    assert (marks, "not a number" in trouble[0]) == ([], True)


def test_the_same_words_stand_together_and_are_marked_once(tmp_path: Path) -> None:
    table = HandMarks(tmp_path)
    texts = {"anna": "It leans.", "bert": "No idea", "cora": "it leans", "dirk": "IT LEANS!"}
    waiting = [Waiting(one, "5", text, ["a"], 2.0) for one, text in texts.items()]
    table.add("04-columns", [*waiting, Waiting("bert", "6", "It leans.", ["a"], 2.0)])
    rows = rows_of(tmp_path / FILE)
    assert [(row["id"], row["question"]) for row in rows] == [
        *(("anna", "5"), ("cora", "5"), ("dirk", "5"), ("bert", "5"), ("bert", "6"))
    ]
    rows[0] |= {"points": "1,5", "comment": "And then?"}
    rows[2]["points"] = "2"  # one of them by itself
    rows.append(rows[1] | {"text": "Changed since"})
    rows[1]["id"], rows[5]["id"] = "emil", "emil"  # an earlier text of emil's, and the new one
    write_rows(tmp_path / FILE, rows)
    marks, trouble = HandMarks(tmp_path).given("04-columns", {"5": 2.0, "6": 2.0})
    assert trouble == []
    given = {(one.learner, one.question): (one.points, one.comment) for one in marks}
    assert given == {("anna", "5"): (1.5, "And then?"), ("dirk", "5"): (2.0, "")}
    rows[1]["id"], rows[5]["id"] = "cora", "emil"
    write_rows(tmp_path / FILE, rows)
    marks, _ = HandMarks(tmp_path).given("04-columns", {"5": 2.0, "6": 2.0})
    assert {one.learner: one.points for one in marks} == {"anna": 1.5, "cora": 1.5, "dirk": 2.0}
    assert all(one.is_for(texts[one.learner]) for one in marks)


def test_a_faulty_key_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(KeyFileError, match="There is no file"):
        load_exercise(tmp_path / "none.py")
    for source, words in (
        ("1/0", "does not run: ZeroDivisionError"),
        ("x = 1", "does not define EXERCISE"),
        ("EXERCISE = 3", "must be an Exercise"),
    ):
        path = tmp_path / "key.py"
        path.write_text(source)
        with pytest.raises(KeyFileError, match=words):
            load_exercise(path)

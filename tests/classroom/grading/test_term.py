"""A term with an invented class: from a school system's download to the last learner deleted."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from hoofcalc import cli
from hoofcalc.classroom.grading import commands
from hoofcalc.classroom.grading.course import CommandError
from hoofcalc.classroom.grading.download import REPORT
from hoofcalc.classroom.grading.late_days import LateDays, Plan, read_plan
from hoofcalc.classroom.grading.mark_changes import Change, changes, record
from hoofcalc.classroom.grading.marking import Assignment, load_assignment
from hoofcalc.classroom.grading.same_work import rows_of_signs, same_work
from hoofcalc.classroom.grading.solution_sheet import sheet
from hoofcalc.classroom.grading.spreadsheets import as_table, read_table
from hoofcalc.classroom.grading.term_total import total
from hoofcalc.classroom.model.bank import fill

COURSE = Path(__file__).resolve().parents[3] / "exercises"
NAME, OTHER = "04-columns", "05-horn"


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def write_rows(path: Path, rows: list[dict[str, str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def notebook(assignment: Assignment, learner: str, **answers: str) -> bytes:
    given = {name[1:]: source for name, source in answers.items()}
    made = fill(assignment.exercise, assignment.original, learner, given, reference=True)
    return json.dumps(made, ensure_ascii=False).encode()


# --- the download ---------------------------------------------------------------------------


@pytest.fixture
def people(tmp_path: Path) -> Path:
    path = tmp_path / "people.csv"
    path.write_text(
        "id,name\na1,Ada Brackenfold\nb-2,Björn Marl\nc3,Cy Dunnock\nd4,Dot Larch\n", "utf-8"
    )
    return path


def test_a_download_is_laid_out_whatever_it_calls_its_files(
    tmp_path: Path,
    people: Path,
    assignment: Assignment,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Folders by name and number, flat names with a date, a zip in the zip, two attempts."""
    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w") as archive:
        archive.writestr("work.ipynb", notebook(assignment, "c3"))
    download = tmp_path / "download.zip"
    with zipfile.ZipFile(download, "w") as archive:
        archive.writestr(
            "Brackenfold Ada_40121_file/heel (final).ipynb", notebook(assignment, "a1")
        )
        for stamp, learner in (("2026-11-28-09-00-00", ""), ("2026-11-29-21-30-00", "B-2")):
            archive.writestr(f"ex4_b-2_attempt_{stamp}_x.ipynb", notebook(assignment, learner))
        archive.writestr("Cy Dunnock/handed in.zip", inner.getvalue())
        archive.writestr("../../outside_d4.ipynb", notebook(assignment, "a1"))
        archive.writestr("nobody/x.ipynb", notebook(assignment, ""))
        archive.writestr("__MACOSX/._x.ipynb", b"rubbish")
    to = tmp_path / "in"
    call = ["term", "import", str(download), "--to", str(to), "--names", str(people)]
    assert cli.main(call) == 1  # one is nobody's
    said = capsys.readouterr().out
    assert "1 could not be placed" in said
    laid = sorted(path.relative_to(to).as_posix() for path in to.rglob("*.ipynb"))
    assert laid == [f"submitted/{one}/{NAME}/{NAME}.ipynb" for one in ("a1", "b-2", "c3", "d4")]
    assert not (tmp_path.parent / "outside_d4.ipynb").exists()
    report = {(row["id"], row["file"]): row for row in rows_of(to / "who-is-whom.csv")}
    by = {one: row["found by"] for (one, _), row in report.items() if not row["remark"]}
    assert by == {
        "a1": "the id typed in it",
        "b-2": "the id typed in it",
        "c3": "the id typed in it",
    }
    remarks = {file: row["remark"] for (_, file), row in report.items()}
    assert remarks["ex4_b-2_attempt_2026-11-28-09-00-00_x.ipynb"].startswith("not used")
    assert remarks["../../outside_d4.ipynb"] == "the id typed in it is 'a1'"
    stamp = (to / "submitted" / "b-2" / NAME / "timestamp.txt").read_text()
    assert stamp.startswith("2026-11-29 21:30:00")

    assert cli.main(call) == 2  # never over what is there
    assert "is not empty" in capsys.readouterr().err


def test_a_download_with_names_only_and_one_with_a_pattern(
    tmp_path: Path, people: Path, assignment: Assignment, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "download"
    for place in ("LARCH, Dot (77)", "marl_bjorn"):
        (folder / place).mkdir(parents=True)
        (folder / place / "a.ipynb").write_bytes(notebook(assignment, ""))
    call = ["term", "import", str(folder), "--to", str(tmp_path / "one"), "--names", str(people)]
    assert cli.main(call) == 0
    assert sorted(path.name for path in (tmp_path / "one" / "submitted").iterdir()) == ["b-2", "d4"]
    assert "nothing of: a1 (Ada Brackenfold), c3 (Cy Dunnock)" in capsys.readouterr().out
    call = ["term", "import", str(folder), "--to", str(tmp_path / "two")]
    assert cli.main([*call, "--pattern", r"(?P<student_id>\w+)[, /]"]) == 0
    there = sorted(path.name for path in (tmp_path / "two" / "submitted").iterdir())
    assert there == ["LARCH", "marl_bjorn"]
    assert cli.main(["term", "import", str(tmp_path / "none"), "--to", str(tmp_path / "x")]) == 2
    (tmp_path / "bad.zip").write_bytes(b"no zip")
    assert cli.main(["term", "import", str(tmp_path / "bad.zip"), "--to", str(tmp_path / "x")]) == 2


@pytest.mark.parametrize(("flat", "separator"), [(False, ","), (True, ","), (False, ";")])
def test_pages_go_back_in_the_downloads_own_folders(
    tmp_path: Path, assignment: Assignment, flat: bool, separator: str
) -> None:
    """A folder a learner, or all files side by side, also once a spreadsheet saved the report.

    What was not used gets no page.
    """
    places = {
        "anna": "Ann A_77_assignsubmission_file/work final.ipynb",
        "bert": "Bert B_78_assignsubmission_file/x.ipynb",
    }
    if flat:
        places = {"anna": "Ann A_77_work.ipynb", "bert": "Bert B_78_x.ipynb"}
    download, to = tmp_path / "download.zip", tmp_path / "in"
    with zipfile.ZipFile(download, "w") as archive:
        for learner, place in places.items():
            archive.writestr(place, notebook(assignment, learner))
    assert cli.main(["term", "import", str(download), "--to", str(to)]) == 0
    report = to / REPORT
    rows, _ = read_table(report)
    report.write_bytes(as_table(rows, separator))
    assert cli.main(["mark", str(to)]) == 0
    assert cli.main(["term", "pack", str(to)]) == 0
    results = tmp_path / "in-results"
    with zipfile.ZipFile(results / "to-send-back.zip") as archive:
        names = archive.namelist()
        pages = {name: archive.read(name) for name in names}
    for learner, place in places.items():
        page = f"{NAME}-feedback.html"
        where = (
            f"{place.removesuffix('.ipynb')}-{page}" if flat else f"{place.split('/')[0]}/{page}"
        )
        assert pages[where] == (results / "feedback" / NAME / f"{learner}.html").read_bytes()
    assert len(names) == 2


def test_a_hostile_download_stops_nobody_and_reaches_nothing_outside(
    tmp_path: Path, assignment: Assignment, capsys: pytest.CaptureFixture[str]
) -> None:
    good = notebook(assignment, "anna")
    download = tmp_path / "download.zip"
    with zipfile.ZipFile(download, "w") as archive:
        archive.writestr("anna/a.ipynb", good)
        archive.writestr("../up.ipynb", notebook(assignment, "../../up"))
        archive.writestr("\x1b[2Jclear.ipynb", notebook(assignment, "\x1b[31mred"))
        archive.writestr("spoilt.ipynb", good)
        archive.writestr("not a zip.zip", b"PK")
    content = download.read_bytes()
    where = content.index(good, content.index(b"spoilt.ipynb"))
    download.write_bytes(content[: where + 50] + b"!!!!" + content[where + 54 :])
    to = tmp_path / "in"
    assert cli.main(["term", "import", str(download), "--to", str(to)]) == 1
    said = capsys.readouterr().out
    assert "\x1b" not in said
    assert "?  ?  by nothing  spoilt.ipynb" in said
    laid = {path.relative_to(to / "submitted").parts[0] for path in to.rglob("*.ipynb")}
    assert "anna" in laid
    assert not any(part in ("..", "") or "\x1b" in part for part in laid)
    assert {path.name for path in tmp_path.iterdir()} == {"download.zip", "in"}


def test_an_id_like_a_number_comes_back_whole(tmp_path: Path) -> None:
    one = Change("2026-11-30", "ada", "0012", NAME, "5", "", "1", "a slip of mine")
    record(tmp_path, [one])
    (row,) = rows_of(tmp_path / "changed-marks.csv")
    assert row["id"] == "'0012"  # a spreadsheet program leaves it as it is
    assert changes(tmp_path) == [one]


# --- lateness and the total ------------------------------------------------------------------

PLAN = """
[exercises.04-columns]
due = "30.11.2026"
weight = 1

[exercises.05-horn]
due = "2026-12-07 18:00"
weight = 3

[late]
percent_per_day = 10
free_days = 1

[extensions.anna]
"05-horn" = 2
"""


def test_a_total_worked_out_by_hand(tmp_path: Path) -> None:
    """anna: first 1 day late (free), second in her extension; bert: 3 days late, then nothing."""
    path = tmp_path / "plan.toml"
    path.write_text(PLAN, encoding="utf-8")
    plan = read_plan(path)
    first, second = plan.due[NAME], plan.due[OTHER]
    assert (first.day, first.hour, second.day, second.hour) == (30, 23, 7, 18)
    given = {
        "anna": {
            NAME: (8.0, 0, first + timedelta(hours=20)),
            OTHER: (10.0, 1, second + timedelta(days=1, hours=23)),
        },
        "bert": {NAME: (5.0, 0, first + timedelta(days=2, hours=1))},
        "cora": {},
    }
    most = {NAME: 10.0, OTHER: 10.0}
    later = total(plan, most, given, second + timedelta(days=30))
    parts, share = later["anna"]
    assert share == pytest.approx(100 * (1 * 0.8 + 3 * 1.0) / 4)
    assert parts[NAME].days_late == parts[NAME].free_days == 1
    assert parts[OTHER].days_late == 0
    parts, share = later["bert"]  # 3 days, 1 of them free: 20 % of 5 off; the second counts nothing
    assert parts[NAME].taken_off == pytest.approx(1.0)
    assert share == pytest.approx(100 * 0.4 / 4)
    assert later["cora"] == ({NAME: None, OTHER: None}, 0.0)
    # before it is due, what is not there is left out
    early = total(plan, most, given, first + timedelta(days=3))
    assert early["bert"][1] == pytest.approx(40.0)
    assert early["cora"][1] == 0.0
    assert total(Plan(), most, given, first)["cora"] == ({}, None)
    plugin = LateDays(percent_per_day=10.0)
    assert plugin.late_submission_penalty("bert", 5.0, 2 * 86_400) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[late]\npercent_per_day = 200", "percent_per_day must be a number"),
        ("[exercises.04-columns]\ndue = 'soon'", "is not a date"),
        ("[exercise.04-columns]", "no part 'exercise'"),
        ("late = 3", "must be a part of its own"),
        ("= nonsense", "is not a plan"),
    ],
)
def test_a_faulty_plan_is_refused_in_words(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "plan.toml"
    path.write_text(text)
    with pytest.raises(CommandError, match=words):
        read_plan(path)


# --- one class through a term ----------------------------------------------------------------


def test_several_exercises_are_handed_out_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(commands, "release", lambda course, name: course / "release" / name)
    assert cli.main(["handout", NAME, OTHER, "--to", str(tmp_path)]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == [NAME, OTHER]


def test_a_class_through_a_term(
    tmp_path: Path, assignment: Assignment, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, results = tmp_path / "in", tmp_path / "in-results"
    horn = load_assignment(COURSE, OTHER)
    own = "def base_moment(force_n, lean_deg, length_mm, euler_n):\n    return 1.0"
    texts = {
        "anna": "The part across bends it, and the bend feeds itself.",
        "bert": "the part across bends it and the bend feeds itself",
        "cora": "Because it leans, so a part of the push goes sideways.",
    }
    for learner, text in texts.items():
        for each, words in ((assignment, text), (horn, f"{learner} writes about horn.")):
            place = folder / each.exercise.name
            place.mkdir(parents=True, exist_ok=True)
            content = notebook(
                each, learner, q5=words, **({"q6": own} if each is assignment else {})
            )
            (place / f"{learner}.ipynb").write_bytes(content)
    mark, where = ["mark", str(folder)], ["term"]
    assert cli.main(mark) == 0
    said = capsys.readouterr().out
    assert said.count("Marked 3") == 2
    assert (results / f"marks-{NAME}.csv").is_file()
    assert (results / f"marks-{OTHER}.csv").is_file()

    # blind: two markers, no ids, equal texts as one
    for marker in ("ina", "jo"):
        assert cli.main([*where, "blind", str(folder), "--marker", marker]) == 0
    tables = {one: rows_of(results / f"blind-{one}.csv") for one in ("ina", "jo")}
    for rows in tables.values():
        assert sorted(row["learners"] for row in rows if row["exercise"] == NAME) == ["1", "2"]
        assert not any("anna" in row["code"] for row in rows)
        for row in rows:
            if row["exercise"] == NAME:
                row |= {"points": "2" if row["learners"] == "2" else "1", "comment": "Seen."}
    (doubtful,) = [r for r in tables["jo"] if r["exercise"] == NAME and r["learners"] == "1"]
    doubtful["points"] = "0,5"
    for marker, rows in tables.items():
        write_rows(results / f"blind-{marker}.csv", rows)
    capsys.readouterr()
    assert cli.main([*where, "blind", str(folder)]) == 1
    said = capsys.readouterr().out
    assert "the same points for 1" in said
    assert "2 answers entered" in said
    (row,) = rows_of(results / "to-agree.csv")
    assert row["given"] == "ina: 1; jo: 0.5"
    write_rows(results / "to-agree.csv", [row | {"agreed": "1"}])
    assert cli.main([*where, "blind", str(folder)]) == 0
    assert cli.main([*where, "blind", str(folder), "--marker", "ina"]) == 0
    again = {row["code"]: row["points"] for row in rows_of(results / "blind-ina.csv")}
    assert again == {row["code"]: row["points"] for row in tables["ina"]}  # nothing is lost

    # a mark changed, with who, when and why
    change = [*where, "change", str(folder), "cora", NAME, "1"]
    assert cli.main([*change, "0,5", "--who", "Ina", "--why", "read the unit again"]) == 0
    assert cli.main([*change, "7", "--who", "Ina", "--why", "x"]) == 2
    assert cli.main([*change, "0.5", "--who", "Ina", "--why", " "]) == 2
    record = rows_of(results / "changed-marks.csv")
    assert record[-1] | {"when": ""} == {
        "when": "",
        "who": "Ina",
        "id": "cora",
        "exercise": NAME,
        "question": "1",
        "before": "1",
        "now": "0.5",
        "why": "read the unit again",
    }
    assert datetime.fromisoformat(record[-1]["when"]).tzinfo is not None
    assert len(record) == 4
    assert cli.main([*mark, "--again"]) == 0
    marks = {row["id"]: row for row in rows_of(results / f"marks-{NAME}.csv")}
    assert [marks[one]["question 5"] for one in texts] == ["2", "2", "1"]
    assert marks["cora"]["question 1"] == "0.5"
    page = (results / "feedback" / NAME / "anna.html").read_text(encoding="utf-8")
    assert "Seen." in page

    # the total, and lateness in the gradebook too
    plan = tmp_path / "plan.toml"
    plan.write_text(PLAN.replace("30.11.2026", "1.1.2001").replace("2026-12-07", "2001-02-01"))
    assert cli.main([*where, "total", str(folder), "--plan", str(plan)]) == 0
    rows = {row["id"]: row for row in rows_of(results / "total.csv")}
    assert rows["anna"]["total %"] == "0.0"  # a quarter of a century late
    assert rows["anna"]["to mark by hand"] == "1"
    from nbgrader.api import Gradebook
    from nbgrader.plugins import CsvExportPlugin

    with Gradebook(f"sqlite:///{results / 'course' / 'gradebook.db'}") as gradebook:
        entry = gradebook.find_submission(OTHER, "anna")
        assert entry.duedate == gradebook.find_assignment(OTHER).duedate + timedelta(days=2)
        assert entry.late_submission_penalty == entry.score
        export = CsvExportPlugin(to=str(tmp_path / "export.csv"))  # as `nbgrader export` does
        export.export(gradebook)
    rows = {(row["assignment"], row["student_id"]): row for row in rows_of(tmp_path / "export.csv")}
    row = rows[OTHER, "anna"]
    assert float(row["raw_score"]) == float(row["late_submission_penalty"]) > 0
    assert float(row["score"]) == 0
    assert cli.main([*where, "total", str(folder)]) == 0
    rows = {row["id"]: row for row in rows_of(results / "total.csv")}
    assert float(rows["anna"]["total %"]) > 50

    # the same words and the same function, noted
    capsys.readouterr()
    assert cli.main([*where, "same", str(folder)]) == 0
    assert f"{NAME}: anna and bert: text:" in capsys.readouterr().out

    # sheets and parcels
    assert cli.main([*where, "solutions", str(folder)]) == 0
    assert cli.main([*where, "pack", str(folder), "--solutions"]) == 0
    with zipfile.ZipFile(results / "to-send" / "anna.zip") as archive:
        assert archive.namelist() == [
            f"{one}-{kind}.html" for one in (NAME, OTHER) for kind in ("feedback", "solutions")
        ]
    before = (results / "to-send" / "anna.zip").read_bytes()
    assert cli.main([*where, "pack", str(folder), "--solutions"]) == 0
    assert (results / "to-send" / "anna.zip").read_bytes() == before

    # and one learner leaves
    assert cli.main(["results", str(folder)]) == 0
    assert cli.main([*where, "forget", str(folder), "nobody"]) == 2
    assert cli.main([*where, "forget", str(folder), "cora"]) == 1  # the hand-ins still lie there
    assert cli.main(mark) == 0
    assert cli.main([*where, "forget", str(folder), "cora", "--hand-ins"]) == 0
    holders = [
        path
        for path in [*results.rglob("*"), *folder.rglob("*")]
        if "cora" in path.name or (path.is_file() and _speaks_of(path, "cora", texts["cora"]))
    ]
    assert holders == []
    assert cli.main(mark) == 0
    assert [row["id"] for row in rows_of(results / f"marks-{NAME}.csv")] == ["anna", "bert"]


def _speaks_of(path: Path, *words: str) -> bool:
    content = path.read_bytes()
    return any(word.encode() in content for word in words)


# --- the parts ---------------------------------------------------------------------------------


def test_a_solution_sheet_bears_the_learners_own_numbers(assignment: Assignment) -> None:
    pages = {learner: sheet(assignment, learner) for learner in ("anna", "bert", "cora")}
    for learner, page in pages.items():
        numbers = assignment.variants[assignment.variant(learner)]
        for question in assignment.exercise.questions[:2]:
            assert f"{question.truth(numbers):.5g}" in page
        assert f"solutions for {learner}" in page
        assert "<script" not in page
        assert "veterinary surgeon" in page
    assert len({page.replace(learner, "") for learner, page in pages.items()}) == 3


def test_the_same_unusual_code_is_noted_and_the_usual_is_not() -> None:
    usual = "import math\nI = math.pi * d ** 4 / 64\nanswer_2 = math.pi ** 2 * E * I / L ** 2"
    odd = (
        "stuff = [k * 3 - 1 for k in range(17) if k % 5 != 2]\n"
        "heap = sum(stuff) / (len(stuff) + 4.5) ** 0.25\nprint(heap - max(stuff) * 0.125)"
    )
    code = {f"l{one}": rows_of_signs(usual) for one in range(10)}
    for one in ("l3", "l7"):
        code[one] = rows_of_signs(f"{usual}\n# by me, {one}\n{odd}")
    (pair,) = same_work(code, {})
    assert (pair.first, pair.second) == ("l3", "l7")
    short = {"a": ["It leans."], "b": ["it leans"]}
    assert same_work({"a": set(), "b": set()}, short) == []

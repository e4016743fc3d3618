"""How a class stands: worked out by hand for a small invented class, and the files written."""

from __future__ import annotations

import csv
import html
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from matplotlib.figure import Figure

from hoofcalc import cli
from hoofcalc.classroom.grading import overview_page
from hoofcalc.classroom.grading.course import CommandError
from hoofcalc.classroom.grading.marking import Assignment
from hoofcalc.classroom.grading.overview import look_at, read_due, read_names, read_time
from hoofcalc.classroom.grading.question_report import question_rows
from hoofcalc.classroom.grading.results import Note, Standing
from hoofcalc.classroom.model.judge import Verdict
from hoofcalc.classroom.model.working import HEADINGS

COURSE = Path(__file__).resolve().parents[3] / "exercises"
NAME = "04-columns"


@pytest.fixture(scope="module")
def exercise(assignment: Assignment):
    """Questions 1 and 2 ask for one ability, 3 names none; points 1, 2, 2."""
    first, second, third = assignment.exercise.questions[:3]
    return replace(
        assignment.exercise,
        questions=(
            replace(first, ability="use slenderness"),
            replace(second, ability="use slenderness"),
            replace(third, ability=""),
        ),
    )


def class_of_three():
    """anna: all right; bert: a slip in 2, nothing in 3; cora: 1 right, 2 waits; dirk: no mark."""
    notes = {
        "dirk": Note(reason="the file is empty"),
        "anna": Note(
            verdicts={q: Verdict("right", "yes", p) for q, p in (("1", 1), ("2", 2), ("3", 2))},
            handed_in="2026-11-30 17:59+00:00",
        ),
        "bert": Note(
            verdicts={
                "1": Verdict("nearly", "half of it", 0.0, "half thickness"),
                "2": Verdict("nearly", "the end", 1.0, "end factor"),
                "3": Verdict("not begun", "", 0.0),
            },
            handed_in="2026-12-01 00:30:00.5 UTC",
        ),
        "cora": Note(
            verdicts={
                "1": Verdict("nearly", "half of it", 0.0, "half thickness"),
                "2": Verdict("waiting", "", 0.0),
                "3": Verdict("right", "", 2.0),
            }
        ),
    }
    standings = {
        "anna": Standing({"1": 1.0, "2": 2.0, "3": 2.0}),
        "bert": Standing({"1": 0.0, "2": 1.0, "3": 0.0}),
        "cora": Standing({"1": 0.0, "2": None, "3": 2.0}),
    }
    return notes, standings


def test_by_ability_and_by_slip(exercise) -> None:
    view = look_at(exercise, *class_of_three())
    slender, prop = view.ideas
    assert slender.words == "use slenderness"
    assert slender.questions == ("1", "2")
    # anna 3 of 3, bert 1 of 3, cora 0 of 1 (question 2 waits)
    assert slender.share == pytest.approx((1 + 1 / 3 + 0) / 3)
    assert (slender.full, slender.part, slender.none) == (1, 1, 1)
    assert prop.words == exercise.questions[2].title
    assert prop.share == pytest.approx(2 / 3)
    assert [(slip.name, slip.learners) for slip in view.slips] == [
        ("half thickness", ("bert", "cora")),
        ("end factor", ("bert",)),
    ]
    assert view.mean == pytest.approx((5 + 1 + 2) / 3)
    assert len(view.marked) == 3


def test_what_is_no_slip_in_the_matter_is_not_counted_as_one(exercise) -> None:
    notes, standings = class_of_three()
    for learner, slip in (("bert", "numbers of another id"), ("cora", "the cell stopped")):
        notes[learner].verdicts["1"] = Verdict("keep going", "look again", 0.0, slip)
    view = look_at(exercise, notes, standings)
    assert [slip.name for slip in view.slips] == ["end factor"]


def test_a_date_may_be_written_with_the_day_first() -> None:
    assert read_due("30.11.2026") == read_due("2026-11-30")
    assert read_due("1.2.2026 18:00") == read_due("2026-02-01 18:00")
    for words in ("31.11.2026", "30.11.", "soon"):
        with pytest.raises(CommandError, match=r"30\.11\.2026"):
            read_due(words)


def test_how_the_questions_work_is_said_only_of_classes_that_are_large_enough(exercise) -> None:
    few = question_rows([look_at(exercise, *class_of_three())])
    assert [row[3:6] for row in few] == [["too few to say", "too few to say", ""]] * 3
    notes, standings = class_of_three()
    many_notes = {f"{name}{one}": note for name, note in notes.items() for one in range(10)}
    many = {f"{name}{one}": where for name, where in standings.items() for one in range(10)}
    first, second, third = question_rows([look_at(exercise, many_notes, many)])
    assert first[2:4] == ["30", "33 (19 to 51)"]  # 10 of 30, Wilson
    assert first[5] == "half thickness: 67 (49 to 81)"
    assert second[2] == "20"  # what waits for a marker is not counted
    assert third[5] == ""


def test_who_is_stuck_and_why_and_what_is_open(exercise) -> None:
    rows = {row.learner: row for row in look_at(exercise, *class_of_three()).rows}
    assert [name for name, row in rows.items() if row.stuck] == ["bert"]  # 1 of 5
    assert rows["bert"].missing == ("use slenderness", exercise.questions[2].title)
    assert rows["cora"].missing == ("use slenderness",)  # but 2 of 3 decided: not stuck
    assert rows["cora"].waiting == 1
    assert rows["dirk"].points is None
    assert "empty" in rows["dirk"].remark


@pytest.mark.parametrize(("points", "stuck"), [(2.5, False), (2.25, True)])
def test_half_of_the_points_is_not_stuck(exercise, points: float, stuck: bool) -> None:
    verdicts = {q: Verdict("nearly", "part of it", 0.0) for q in ("1", "2", "3")}
    standing = Standing({"1": 0.0, "2": points - 2.0, "3": 2.0})  # of 5
    (row,) = look_at(exercise, {"anna": Note(verdicts=verdicts)}, {"anna": standing}).rows
    assert row.stuck is stuck


@pytest.mark.parametrize(("points", "missing"), [(1.5, False), (1.25, True)])
def test_an_ability_with_half_of_its_points_is_not_missing(
    exercise, points: float, missing: bool
) -> None:
    verdicts = {q: Verdict("nearly", "part of it", 0.0) for q in ("1", "2", "3")}
    standing = Standing({"1": 0.0, "2": points, "3": 2.0})  # of 3 for the ability
    (row,) = look_at(exercise, {"anna": Note(verdicts=verdicts)}, {"anna": standing}).rows
    assert row.missing == (("use slenderness",) if missing else ())


def test_late_is_after_the_day_or_the_hour(exercise, monkeypatch: pytest.MonkeyPatch) -> None:
    notes, standings = class_of_three()

    def late(due: str) -> list[str]:
        view = look_at(exercise, notes, standings, read_due(due))
        return [row.learner for row in view.rows if row.late]

    assert late("2026-11-30 18:00+00:00") == ["bert"]
    assert late("2026-11-30 17:00+00:00") == ["anna", "bert"]
    assert late("2026-12-02") == []
    day = read_due("2026-12-01")
    assert day - datetime(2026, 12, 1).astimezone() > timedelta(hours=23, minutes=59)
    assert read_time("no time") is None


def test_an_empty_class_is_no_error(exercise) -> None:
    view = look_at(exercise, {}, {})
    assert [idea.share for idea in view.ideas] == [None, None]
    assert view.mean == 0
    assert view.ideas[0].percent == "not marked yet"


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_names_come_from_any_plain_table(tmp_path: Path, mark: str) -> None:
    path = tmp_path / "names.csv"
    path.write_bytes(f"Name{mark}ID\r\nÄnne{mark} a1 \r\n{mark}\r\n".encode("utf-8-sig"))
    assert read_names(path) == {"a1": "Änne"}


def test_the_whole_view(
    tmp_path: Path, hand_in: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "in"
    twice = "n = task.numbers\nanswer_1 = n.stick_length_mm / n.stick_diameter_mm"
    hand_in(folder, "a1", q5="The part across bends it.")
    hand_in(folder, "a2", q1=twice, q2="answer_2 = ...", q3="answer_3 = ...", q6="pass")
    hand_in(folder, "a3", q1=twice)
    (folder / "a4.ipynb").write_text("")
    names = tmp_path / "names.csv"
    names.write_text("id,name\na1,Ada Brackenfold\na2,=Bo <b>\na9,Cy\n", encoding="utf-8")
    assert cli.main(["mark", str(folder), "--exercise", NAME]) == 1
    capsys.readouterr()
    call = ["results", str(folder), "--names", str(names), "--due", "2001-01-01"]
    assert cli.main(call) == 0
    said = capsys.readouterr().out
    assert "2 x  question 1: thickness for r" in said
    assert "stuck: a2 (=Bo <b>)" in said
    assert "late: a1 (Ada Brackenfold), a2 (=Bo <b>), a3" in said
    assert "nothing handed in: a9 (Cy)" in said

    target = tmp_path / "in-results"
    page = (target / "overview.html").read_text(encoding="utf-8")
    for word in ("thickness for r", "Ada Brackenfold", "=Bo &lt;b&gt;", "This page holds names"):
        assert word in page
    assert "<script" not in page
    assert not re.search(r'(src|href)="(?!data:)', page)
    pictures = re.findall(r"<img [^>]*>", page)
    assert len(pictures) == 3
    assert all(re.search(r'alt="Bars, [^"]{20,}"', picture) for picture in pictures)
    assert (target / "overview.pdf").read_bytes().startswith(b"%PDF")
    with (target / f"school-{NAME}.csv").open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert list(rows[0]) == ["id", "name", "mark", "maximum", "comment"]
    assert [(row["id"], row["name"], row["mark"]) for row in rows] == [
        ("a1", "Ada Brackenfold", "8"),
        ("a2", "'=Bo <b>", "1"),
        ("a3", "", "7"),
        ("a4", "", ""),
        ("a9", "Cy", ""),
    ]
    assert rows[0]["comment"].startswith("1 still to be marked by hand")
    assert rows[4]["comment"] == "nothing handed in"

    # names stand in these two files and nowhere else; the same call gives the same bytes
    holders = {
        path.name
        for path in target.rglob("*")
        if path.is_file() and b"Brackenfold" in path.read_bytes()
    }
    assert holders == {"overview.html", f"school-{NAME}.csv"}
    first = {path: path.read_bytes() for path in target.iterdir() if path.is_file()}
    assert cli.main(call) == 0
    changed = [p.name for p, content in first.items() if p.read_bytes() != content]
    assert changed in ([], ["writing.lock"])


def test_the_page_counts_everyone_once_and_says_its_pictures_in_numbers(
    exercise, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Figure, "savefig", lambda *_, **__: None)  # drawn in a test of its own
    notes, standings = class_of_three()
    view = look_at(exercise, notes, standings, datetime.fromisoformat("2026-11-30 23:00+00:00"))
    names = {"anna": "Ada", "emil": "Ed <i>"}
    page = overview_page.write_page(tmp_path / "page.html", [view], names).read_text("utf-8")
    plain = html.unescape(re.sub(r"<[^>]+>", "|", page))
    assert "3 marked, mean 2.7 of 5 points." in plain  # 5, 1 and 2
    said = [html.unescape(words) for words in re.findall(r'alt="([^"]*)"', page)]
    # of use slenderness: all, 1 of 3, and 0 of 1 decided
    assert "use slenderness: 44 %" in said[0]
    assert said[1] == "Bars, learners by points: 1 to 2: 1; 2 to 3: 1; 4 to 5: 1"
    assert "half thickness in 1: 2" in said[2]
    assert "end factor in 2: 1" in said[2]
    lists = dict(re.findall(r"<h3>([^<]+)</h3>\n<ul>(.*?)</ul>", page))
    assert re.findall("<li>(.*?)</li>", lists["Nothing handed in"]) == ["emil (Ed &lt;i&gt;)"]
    assert lists["Stuck"].startswith("<li>bert: 1 point; not yet: use slenderness")
    assert re.findall(r"<li>(\w+):", lists["Late"]) == ["bert"]
    assert lists["Not marked"] == "<li>dirk: not marked: the file is empty</li>"
    rows = re.findall(r"<tr><td>(\w+)(?: \(Ada\))?</td><td>([\d.]*)</td>", page)
    assert rows == [("anna", "5"), ("bert", "1"), ("cora", "2"), ("dirk", "")]
    bare = overview_page.write_page(tmp_path / "bare.html", [view], {}).read_text("utf-8")
    assert "This page holds names" in page
    assert "This page holds names" not in bare
    assert "Nothing handed in" not in bare


def test_bars_are_as_long_as_what_they_stand_for(exercise) -> None:
    view = look_at(exercise, *class_of_three())
    (axes,) = overview_page._draw_points(view).axes
    heights = [bar.get_height() for bar in axes.patches]
    assert heights == [0, 1, 1, 0, 1], "who has all points stands in the last bar"
    assert axes.lines[0].get_xdata()[0] == pytest.approx(view.mean)
    (axes,) = overview_page._draw_ideas(view).axes
    shares = [100 * (idea.share or 0) for idea in view.ideas]
    assert [bar.get_width() for bar in axes.patches] == pytest.approx(shares)
    (axes,) = overview_page._draw_slips(view).axes
    assert [bar.get_width() for bar in axes.patches] == [len(s.learners) for s in view.slips]
    assert overview_page._draw_slips(look_at(exercise, {}, {})) is None


def test_a_mark_is_its_sign_and_points_and_a_persons_points_need_no_sign(exercise) -> None:
    notes, standings = class_of_three()
    rows = {row.learner: row for row in look_at(exercise, notes, standings).rows}
    signs = {state: words.split()[0] for state, words in HEADINGS.items()}
    assert overview_page._mark(rows["anna"], "1") == f"{signs['right']} 1"
    assert overview_page._mark(rows["cora"], "2") == signs["waiting"]
    assert overview_page._mark(rows["dirk"], "1") == ""
    read = replace(rows["cora"], scores={**rows["cora"].scores, "2": 1.5})
    assert overview_page._mark(read, "2") == "1.5"


def test_an_extension_counts_for_whoever_has_it(exercise) -> None:
    due = datetime.fromisoformat("2026-11-30 23:00+00:00")
    notes, standings = class_of_three()
    for days, late in ((0, {"bert"}), (1, set())):
        more = {"bert": timedelta(days=days)}
        view = look_at(exercise, notes, standings, due, more)
        assert {row.learner for row in view.rows if row.late} == late


def test_extensions_come_from_the_plan_or_from_the_gradebook(
    tmp_path: Path, hand_in: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    folder, plan = tmp_path / "in", tmp_path / "plan.toml"
    for learner in ("0012", "bert"):
        hand_in(folder, learner)
    assert cli.main(["mark", str(folder), "--exercise", NAME]) == 0
    days = (datetime.now() - datetime(2001, 1, 1)).days + 2
    plan.write_text(f'[exercises.{NAME}]\ndue = "1.1.2001"\n[extensions.bert]\n"{NAME}" = {days}\n')

    def late(*more: str) -> str:
        capsys.readouterr()
        assert cli.main(["results", str(folder), *more]) == 0
        said = capsys.readouterr().out
        return next((line.strip() for line in said.splitlines() if "late:" in line), "")

    assert late("--due", "2001-01-01") == "late: 0012, bert"
    assert late("--plan", str(plan)) == "late: 0012"
    assert cli.main(["term", "total", str(folder), "--plan", str(plan)]) == 0
    assert late("--due", "2001-01-01") == "late: 0012"  # now the gradebook knows
    with (tmp_path / "in-results" / f"school-{NAME}.csv").open(
        encoding="utf-8-sig", newline=""
    ) as stream:
        ids = [row["id"] for row in csv.DictReader(stream)]
    assert ids == ["'0012", "bert"]  # a spreadsheet program would make 12 of it


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["results", "{empty}"], "There are no results"),
        (["results", "{done}", "--due", "soon"], "is not a date"),
        (["results", "{done}", "--names", "{empty}/none.csv"], "cannot be read"),
        (["results", "{done}", "--names", "{done}/bad.csv"], "columns id, name"),
        (["results", "{done}"], "Nothing has been marked"),
    ],
)
def test_a_wrong_call_is_answered_in_words(
    arguments: list[str], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    empty, done = tmp_path / "empty", tmp_path / "done"
    empty.mkdir()
    (done / "course" / "notes" / NAME).mkdir(parents=True)
    (done / "bad.csv").write_text("number,who\n1,2\n")
    assert cli.main([part.format(empty=empty, done=done) for part in arguments]) == 2
    assert words in capsys.readouterr().err

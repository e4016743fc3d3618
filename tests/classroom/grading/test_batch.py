"""Many hand-ins: any executor gives the same bytes, and a run that is killed goes on."""

from __future__ import annotations

import csv
import itertools
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path

import nbformat
import pytest

from hoofcalc.classroom.grading import batch, results
from hoofcalc.classroom.grading.batch import Job, Outcome, run
from hoofcalc.classroom.grading.folder import mark_folder
from hoofcalc.classroom.grading.marking import Assignment

COURSE = Path(__file__).resolve().parents[3] / "exercises"
NAME = "04-columns"
IDS = ("anna", "bert", "carla", "Jörg M. Vogelsang", "eve.b")


@pytest.fixture(scope="module")
def handins(tmp_path_factory: pytest.TempPathFactory, hand_in: Callable[..., Path]) -> Path:
    """Hand-ins that are only read; results lie beside them."""
    folder = tmp_path_factory.mktemp("batch") / "in"
    for learner in IDS:
        hand_in(folder, learner, q5=f"{learner} has read it.")
    hand_in(folder, "carla", q1="answer_1 = 3", q2="answer_2 = [1, 2]")
    (folder / "fritz.ipynb").write_text("no notebook")
    return folder


def marks(folder: Path, name: str, **options: object) -> bytes:
    target = folder.with_name(name)
    assert mark_folder(folder, exercise=NAME, course=COURSE, results=target, **options) == 1
    return (target / f"marks-{NAME}.csv").read_bytes()


@pytest.fixture(scope="module")
def plain(handins: Path) -> bytes:
    """What comes out where nothing is out of the ordinary, kept as "plain"."""
    return marks(handins, "plain")


@pytest.mark.slow
def test_any_executor_gives_the_same_bytes(handins: Path, plain: bytes) -> None:
    with ThreadPoolExecutor(1) as executor:
        assert marks(handins, "one", executor=executor) == plain
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as executor:
        assert marks(handins, "processes", executor=executor) == plain
    assert b"fritz" in plain


@pytest.mark.slow
def test_a_dask_cluster_is_an_executor_too(handins: Path, plain: bytes) -> None:
    """As on several machines: the workers are other processes, reached over the network."""
    distributed = pytest.importorskip("distributed", reason="needs the extra 'scale'")
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1"
        ) as cluster,
        distributed.Client(cluster) as client,
        client.get_executor() as executor,
    ):
        assert marks(handins, "cluster", executor=executor) == plain


def test_the_gradebook_may_be_another_database(handins: Path, plain: bytes, tmp_path: Path) -> None:
    place = tmp_path / "elsewhere.db"
    assert marks(handins, "other", gradebook=f"sqlite:///{place}") == plain
    assert not (handins.with_name("other") / "course" / "gradebook.db").exists()
    with sqlite3.connect(place) as database:
        (count,) = database.execute("select count(*) from submitted_assignment").fetchone()
    assert count == len(IDS)


class _Lossy(Executor):
    """An executor whose workers are lost now and then."""

    def submit(self, function, /, job, *more):
        future: Future[Outcome] = Future()
        if job.learner == "bert":
            future.set_exception(ConnectionError("the worker is gone"))
        else:
            future.set_result(Outcome(job.learner, reason="ok"))
        return future


def test_a_lost_worker_costs_one_line_and_order_is_kept() -> None:
    jobs = [Job(learner, b"", "", NAME, "") for learner in IDS]
    outcomes = list(run(jobs, _Lossy()))
    assert [one.learner for one in outcomes] == list(IDS)
    assert "the worker is gone" in outcomes[1].reason
    assert outcomes[2].reason == "ok"


def test_only_so_much_is_under_way_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(batch, "_MOST_BYTES", 1000)
    waiting: list[Future[Outcome]] = []
    most = 0

    class Slow(Executor):
        def submit(self, function, /, job, *more):
            nonlocal most
            waiting.append(Future())
            most = max(most, sum(not one.done() for one in waiting))
            if most >= 3:  # the oldest gets done while more is asked for
                next(one for one in waiting if not one.done()).set_result(Outcome(job.learner))
            return waiting[-1]

    jobs = (Job(str(number), b"x" * 400, "", NAME, "") for number in range(50))
    outcomes = run(jobs, Slow())
    assert len(list(itertools.islice(outcomes, 40))) == 40
    assert most == 3
    outcomes.close()


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def counts(results_folder: Path) -> list[int]:
    """How many students, hand-ins, grades and comments the gradebook holds."""
    with sqlite3.connect(results_folder / "course" / "gradebook.db") as database:
        return [
            database.execute(f"select count(*) from {table}").fetchone()[0]
            for table in ("student", "submitted_assignment", "grade", "comment")
        ]


@pytest.mark.parametrize("write", [0, 2, 5])
def test_whoever_dies_at_a_write_goes_on_where_it_was(
    handins: Path, plain: bytes, monkeypatch: pytest.MonkeyPatch, write: int
) -> None:
    """Dead from the n-th file on, as if the machine had been switched off there."""
    real, left = results.write_whole, [write]

    def dying(path: Path, content: bytes) -> None:
        if left[0] <= 0:
            raise KeyboardInterrupt
        left[0] -= 1
        real(path, content)

    with monkeypatch.context() as patch:
        patch.setattr(results, "write_whole", dying)
        with pytest.raises(KeyboardInterrupt):
            marks(handins, f"died {write}")
    assert marks(handins, f"died {write}") == plain
    assert counts(handins.with_name(f"died {write}")) == counts(handins.with_name("plain"))


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="no such signal")
def test_killed_in_mid_batch_it_goes_on_where_it_was(
    tmp_path: Path, hand_in: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    folder, target = tmp_path / "in", tmp_path / "killed"
    for number in range(12):
        hand_in(folder, f"learner {number:02}", q1="import time; time.sleep(0.2); answer_1 = 3")
    source = (
        "from pathlib import Path; from hoofcalc.classroom.grading import folder\n"
        f"folder.mark_folder(Path({str(folder)!r}), exercise={NAME!r}, "
        f"course=Path({str(COURSE)!r}), results=Path({str(target)!r}))"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", source], stdout=subprocess.DEVNULL, start_new_session=True
    )
    notes = target / "course" / "notes" / NAME
    end = time.monotonic() + 120
    while len(list(notes.glob("*.json"))) < 4 and time.monotonic() < end:
        assert process.poll() is None
        time.sleep(0.01)
    os.kill(process.pid, signal.SIGKILL)
    process.wait()
    assert mark_folder(folder, exercise=NAME, course=COURSE, results=target) == 0
    said = capsys.readouterr().out
    assert 4 <= said.count("as before:") < 12
    whole = tmp_path / "whole"
    assert mark_folder(folder, exercise=NAME, course=COURSE, results=whole) == 0
    marked = [path / f"marks-{NAME}.csv" for path in (target, whole)]
    assert marked[0].read_bytes() == marked[1].read_bytes()
    assert len(rows(marked[0])) == 12
    assert counts(target) == counts(whole)


def test_two_writers_at_once_are_refused_in_words(handins: Path, assignment) -> None:
    target = handins.with_name("busy")
    with (
        results.Results(target, assignment),
        pytest.raises(results.ResultsError, match="another 'hoofcalc mark' is writing"),
    ):
        results.Results(target, assignment)
    results.Results(target, assignment).close()


@pytest.mark.parametrize("noted", [True, False], ids=["with notes", "notes lost"])
def test_results_of_other_questions_are_left_alone(
    noted: bool,
    tmp_path: Path,
    hand_in: Callable[..., Path],
    assignment: Assignment,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The gradebook is opened while hand-ins are being marked: nothing is entered all the same."""
    folder, target = tmp_path / "in", tmp_path / "in-results"
    hand_in(folder, "anna")
    assert mark_folder(folder, exercise=NAME, course=COURSE) == 0
    before = (target / f"marks-{NAME}.csv").read_bytes()
    if not noted:
        shutil.rmtree(target / "course" / "notes")
    cells = assignment.original["cells"]
    fewer = {**assignment.original, "cells": [c for c in cells if not c["id"].startswith("04-4")]}
    other = replace(assignment, original=nbformat.from_dict(fewer))
    monkeypatch.setattr("hoofcalc.classroom.grading.folder.load_assignment", lambda *_: other)
    with pytest.raises(results.ResultsError, match="belong to an earlier exercise"):
        mark_folder(folder, exercise=NAME, course=COURSE, again=True)
    assert (target / f"marks-{NAME}.csv").read_bytes() == before


def test_an_id_handed_in_twice_is_named(
    tmp_path: Path, hand_in: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "in"
    hand_in(folder, "anna")
    inside = hand_in(folder / "anna" / NAME, "anna", q1="answer_1 = 3")
    inside.rename(inside.with_name(f"{NAME}.ipynb"))
    assert mark_folder(folder, exercise=NAME, course=COURSE) == 1
    said = capsys.readouterr()
    assert said.out.count("anna  ") == 1
    assert "anna: handed in twice" in said.err


def test_a_lost_gradebook_is_made_again(handins: Path, plain: bytes) -> None:
    lost = shutil.copytree(handins.with_name("plain"), handins.with_name("lost"))
    (lost / "course" / "gradebook.db").unlink()
    assert marks(handins, "lost") == plain
    assert counts(lost) == counts(handins.with_name("plain"))


@pytest.mark.parametrize(
    "content", ["", "{", "[]", "null", '{"verdicts": []}', '{"verdicts": {}, "x": 1}']
)
def test_a_damaged_note_only_costs_marking_it_once_more(
    content: str, tmp_path: Path, assignment
) -> None:
    note = tmp_path / "course" / "notes" / NAME / "anna.json"
    with results.Results(tmp_path, assignment) as kept:
        note.parent.mkdir(parents=True)
        note.write_text(content, encoding="utf-8")
        assert kept.note("anna") == results.Note()
        assert kept.learners() == ["anna"]

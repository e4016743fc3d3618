"""The gradebook in a real PostgreSQL: a large class, two markers at once, and one that is killed.

The server is Debian's own, started here on a folder of its own and stopped again. What is
tried is the gradebook, so each hand-in gets the outcome of one that was marked for good.
"""

from __future__ import annotations

import contextlib
import csv
import json
import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from concurrent.futures import Executor, Future
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from hoofcalc import cli
from hoofcalc.classroom.grading.batch import Job, Outcome, work
from hoofcalc.classroom.grading.folder import mark_folder
from hoofcalc.classroom.grading.marking import load_assignment
from hoofcalc.classroom.model.bank import fill

pytestmark = [pytest.mark.slow, pytest.mark.timeout(900)]

COURSE = Path(__file__).resolve().parents[3] / "exercises"
NAME = "04-columns"
HAND_INS = 200


class OneForAll(Executor):
    """Marks the first hand-in for good and gives every other the same outcome."""

    def __init__(self) -> None:
        self.first: Outcome | None = None

    def submit(self, _work: Any, job: Job) -> Future[Outcome]:  # type: ignore[override]
        if self.first is None:
            self.first = work(job)
        done: Future[Outcome] = Future()
        done.set_result(replace(self.first, learner=job.learner))
        return done


def mark(folder: Path, results: Path, gradebook: str) -> int:
    return mark_folder(
        folder,
        exercise=NAME,
        results=results,
        course=COURSE,
        gradebook=gradebook,
        executor=OneForAll(),
    )


@pytest.fixture(scope="module")
def server() -> Iterator[str]:
    """The address of a fresh PostgreSQL, to be followed by the name of a database."""
    pytest.importorskip("psycopg2", reason="the PostgreSQL driver psycopg2 is not installed")
    places = [*sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)]
    found = next((place for place in places if (place / "initdb").exists()), None)
    if found is None:
        reason = "no PostgreSQL found in /usr/lib/postgresql (Debian: apt install postgresql)"
        if os.environ.get("HOOFCALC_POSTGRESQL") == "required":
            pytest.fail(reason)
        pytest.skip(reason)
    who: dict[str, Any] = {}
    home = Path(tempfile.mkdtemp(prefix="hoofcalc-postgresql-"))
    if os.geteuid() == 0:  # PostgreSQL refuses to run as root
        try:
            account = pwd.getpwnam("postgres")
        except KeyError:
            pytest.skip("no account 'postgres' to run PostgreSQL as")
        os.chown(home, account.pw_uid, account.pw_gid)
        who = {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]

    def call(program: str, *arguments: str) -> None:
        command = [str(found / program), *arguments]
        done = subprocess.run(
            command, cwd=home, capture_output=True, text=True, timeout=120, check=False, **who
        )
        assert done.returncode == 0, done.stderr

    data = str(home / "data")
    options = f"-p {port} -c listen_addresses=127.0.0.1 -k {home} -c fsync=off"
    try:
        call("initdb", "-D", data, "-U", "marker", "--auth=trust", "--encoding=UTF8", "--locale=C")
        call("pg_ctl", "-D", data, "-w", "-l", str(home / "log"), "-o", options, "start")
        try:
            yield f"postgresql+psycopg2://marker@127.0.0.1:{port}/"
        finally:
            call("pg_ctl", "-D", data, "-w", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(home, ignore_errors=True)


@pytest.fixture
def gradebook(server: str, request: pytest.FixtureRequest) -> str:
    """A database of its own for each test."""
    from sqlalchemy import create_engine, text

    name = f"book_{abs(hash(request.node.name)) % 10**9}"
    engine = create_engine(f"{server}postgres", isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name}"))
    engine.dispose()
    return f"{server}{name}"


def lay(folder: Path, numbers: Iterable[int]) -> list[str]:
    assignment = load_assignment(COURSE, NAME)
    folder.mkdir()
    learners = [f"learner-{number:03}" for number in numbers]
    for learner in learners:
        made = fill(assignment.exercise, assignment.original, learner, {}, reference=True)
        (folder / f"{learner}.ipynb").write_text(json.dumps(made), encoding="utf-8")
    return learners


def entered(gradebook: str) -> dict[str, tuple[float, int]]:
    """By learner, what stands in the database: auto points, and how many grades there are."""
    from sqlalchemy import create_engine, text

    engine = create_engine(gradebook)
    with engine.connect() as connection:
        rows = connection.execute(
            text(
                "select s.student_id, sum(g.auto_score), count(g.id) from grade g "
                "join submitted_notebook n on n.id = g.notebook_id "
                "join submitted_assignment s on s.id = n.assignment_id group by s.student_id"
            )
        ).all()
    engine.dispose()
    return {learner: (float(points), count) for learner, points, count in rows}


def table(results: Path) -> dict[str, str]:
    with (results / f"marks-{NAME}.csv").open(encoding="utf-8-sig", newline="") as stream:
        return {row["id"]: row["points"] for row in csv.DictReader(stream)}


def start(folder: Path, results: Path, gradebook: str) -> subprocess.Popen[bytes]:
    with (results.parent / f"{results.name}.log").open("wb") as log:
        return subprocess.Popen(
            [sys.executable, __file__, str(folder), str(results), gradebook],
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=log,
        )


def test_two_hundred_hand_ins(tmp_path: Path, gradebook: str) -> None:
    learners = lay(tmp_path / "in", range(HAND_INS))
    assert mark(tmp_path / "in", tmp_path / "out", gradebook) == 0
    # five questions judged, one of six grades waits for its marker
    assert entered(gradebook) == dict.fromkeys(learners, (8.0, 6))
    assert table(tmp_path / "out") == dict.fromkeys(learners, "8")
    assert mark(tmp_path / "in", tmp_path / "out", gradebook) == 0  # and again: as before
    assert entered(gradebook) == dict.fromkeys(learners, (8.0, 6))


def test_two_markers_at_once(tmp_path: Path, gradebook: str) -> None:
    """Into one new gradebook, from two places, and both begin with the same twenty learners."""
    half = HAND_INS // 2
    first = lay(tmp_path / "one", range(half))
    second = lay(tmp_path / "two", [*range(20), *range(half, HAND_INS)])
    running = [start(tmp_path / one, tmp_path / f"{one}-out", gradebook) for one in ("one", "two")]
    codes = [each.wait(timeout=600) for each in running]
    said = [(tmp_path / f"{one}-out.log").read_text() for one in ("one", "two")]
    assert codes == [0, 0], said
    assert entered(gradebook) == dict.fromkeys(first + second, (8.0, 6))
    assert sorted(table(tmp_path / "one-out")) == first
    assert sorted(table(tmp_path / "two-out")) == second
    # each speaks of its own learners only
    for learners, words in zip((first, second), said, strict=True):
        assert f"{len(learners)} to mark." in words


def test_a_killed_marker_loses_and_doubles_nothing(tmp_path: Path, gradebook: str) -> None:
    learners = lay(tmp_path / "in", range(HAND_INS))
    running = start(tmp_path / "in", tmp_path / "out", gradebook)
    notes = tmp_path / "out" / "course" / "notes" / NAME
    end = time.monotonic() + 300
    while len(list(notes.glob("*.json"))) < HAND_INS // 4:
        assert running.poll() is None, (tmp_path / "out.log").read_text()
        assert time.monotonic() < end
        time.sleep(0.02)
    running.send_signal(signal.SIGKILL)
    running.wait(timeout=30)
    there = set()
    with contextlib.suppress(Exception):
        there = set(entered(gradebook))
    assert 0 < len(there) < HAND_INS
    assert mark(tmp_path / "in", tmp_path / "out", gradebook) == 0
    assert entered(gradebook) == dict.fromkeys(learners, (8.0, 6))
    assert table(tmp_path / "out") == dict.fromkeys(learners, "8")


def everything(gradebook: str) -> str:
    """All that stands in any column of any table, as one text."""
    from sqlalchemy import MetaData, create_engine

    engine = create_engine(gradebook)
    tables = MetaData()
    tables.reflect(engine)
    with engine.connect() as connection:
        rows = [connection.execute(one.select()).all() for one in tables.sorted_tables]
    engine.dispose()
    return repr(rows)


def test_a_learner_who_leaves_is_in_no_table_any_more(tmp_path: Path, gradebook: str) -> None:
    learners = lay(tmp_path / "in", range(5))
    assert mark(tmp_path / "in", tmp_path / "in-results", gradebook) == 0
    before = everything(gradebook)
    assert all(learner in before for learner in learners)
    call = ["term", "forget", str(tmp_path / "in"), learners[2], "--hand-ins"]
    assert cli.main([*call, "--gradebook", gradebook]) == 0
    assert learners[2] not in everything(gradebook)
    there = [path for path in tmp_path.rglob("*") if learners[2] in path.name]
    assert there == []
    assert mark(tmp_path / "in", tmp_path / "in-results", gradebook) == 0
    left = [learner for learner in learners if learner != learners[2]]
    assert entered(gradebook) == dict.fromkeys(left, (8.0, 6))
    assert table(tmp_path / "in-results") == dict.fromkeys(left, "8")


if __name__ == "__main__":
    sys.exit(mark(Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]))

"""What a hand-in costs to mark: plain nbgrader and ``hoofcalc mark`` side by side, in one run.

    python tests/benchmarks/bench_marking.py [--most 1000] [--plain 8]
    python tests/benchmarks/bench_marking.py --walls

Each hand-in is the reference of exercise 04 with numpy, matplotlib and a picture. Plain
nbgrader runs the same exercise with ordinary checks in the learner's kernel. Both are
measured end to end; what is paid once (loading, a new gradebook) is told apart by taking
two sizes and looking at the slope. ``--walls`` measures one hand-in behind each kind of walls
instead.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import plain_course

from hoofcalc.classroom.grading.folder import mark_folder
from hoofcalc.classroom.grading.marking import Assignment, load_assignment, mark
from hoofcalc.classroom.grading.submissions import parse
from hoofcalc.classroom.model.bank import fill
from hoofcalc.classroom.sandbox import runner

COURSE = Path(__file__).resolve().parents[2] / "exercises"
NAME = "04-columns"


def handins(assignment: Assignment, count: int) -> dict[str, dict]:
    """Notebooks by id, right in everything and with a picture."""
    return {
        f"learner {number:04}": plain_course.add_plot(
            fill(
                assignment.exercise,
                assignment.original,
                f"learner {number:04}",
                {},
                reference=True,
            )
        )
        for number in range(count)
    }


def plain(assignment: Assignment, folder: Path, count: int) -> float:
    """Seconds that ``nbgrader autograde`` takes for so many hand-ins, serial as it is."""
    plain_course.lay_out(folder, assignment, handins(assignment, count))
    plain_course.nbgrader(folder, "generate_assignment", NAME)
    began = time.perf_counter()
    plain_course.nbgrader(folder, "autograde", NAME)
    return time.perf_counter() - began


def lay_in(assignment: Assignment, folder: Path, count: int) -> Path:
    """A folder with so many hand-ins, a file each."""
    folder.mkdir(parents=True)
    for learner, notebook in handins(assignment, count).items():
        (folder / f"{learner}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    return folder


def ours(folder: Path, results: Path) -> float:
    """Seconds that ``hoofcalc mark`` takes: marks, gradebook, tables and feedback pages."""
    began = time.perf_counter()
    with contextlib.redirect_stdout(io.StringIO()):
        done = mark_folder(folder, exercise=NAME, course=COURSE, results=results)
    assert done == 0
    return time.perf_counter() - began


def on_cores(folder: Path, results: Path, cores: int) -> float:
    """The same in a process that may use so many cores, with what is paid once left out."""
    script = [sys.executable, __file__, "--only", str(folder), str(results), str(cores)]
    done = subprocess.run(script, capture_output=True, text=True, check=True)
    return float(done.stdout)


def only(folder: Path, results: Path, cores: int) -> None:
    """For `on_cores`: mark a small folder first, then the folder itself."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:cores])
    assignment = load_assignment(COURSE, NAME)
    ours(lay_in(assignment, results.with_name(f"warm-{cores}"), 2), results / "warm")
    print(ours(folder, results / "all"))


def walls(assignment: Assignment, count: int = 6) -> None:
    """Seconds a hand-in behind each kind of walls, without gradebook and feedback."""
    handed = [parse(json.dumps(one).encode()) for one in handins(assignment, count).values()]
    for way in ("namespaces", "bubblewrap", "fork"):
        runner._way = lambda way=way: way  # type: ignore[assignment]
        mark(assignment, "learner 0000", handed[0])
        began = time.perf_counter()
        for number, one in enumerate(handed):
            mark(assignment, f"learner {number:04}", one)
        print(f"{way}: {(time.perf_counter() - began) / count:.3f} s a hand-in", flush=True)


def from_the_shell(folder: Path, results: Path) -> float:
    """Seconds that the command takes as it is typed, loading everything included."""
    call = ["-m", "hoofcalc.cli", "mark", str(folder), "--exercise", NAME]
    began = time.perf_counter()
    subprocess.run(
        [sys.executable, *call, "--results", str(results)], capture_output=True, check=True
    )
    return time.perf_counter() - began


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--most", type=int, default=1000, help="the largest number of hand-ins")
    parser.add_argument("--plain", type=int, default=8, help="hand-ins for plain nbgrader")
    parser.add_argument("--walls", action="store_true", help="one hand-in behind each kind")
    parser.add_argument("--only", nargs=3, help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.only:
        only(Path(arguments.only[0]), Path(arguments.only[1]), int(arguments.only[2]))
        return
    assignment = load_assignment(COURSE, NAME)
    if arguments.walls:
        walls(assignment)
        return
    print(
        f"processes: {runner._way()}; cores: {os.cpu_count()}; load now: {os.getloadavg()[0]:.1f}"
    )
    with tempfile.TemporaryDirectory(prefix="hoofcalc-bench-") as scratch:
        folder = Path(scratch)
        few, many = 2, arguments.plain
        slope = (
            plain(assignment, folder / "plain-many", many)
            - plain(assignment, folder / "plain-few", few)
        ) / (many - few)
        print(f"plain nbgrader autograde, without feedback: {slope:.3f} s a hand-in")
        ours(lay_in(assignment, folder / "warm", 2), folder / "warm-results")
        print(f"{'hand-ins':>9} {'seconds':>9} {'s a hand-in':>12} {'times as fast':>14}")
        for count in (10, 30, 100, 300, 1000):
            if count <= arguments.most:
                handed = lay_in(assignment, folder / f"in-{count}", count)
                seconds = ours(handed, folder / f"out-{count}")
                each = seconds / count
                print(f"{count:>9} {seconds:>9.2f} {each:>12.4f} {slope / each:>14.1f}", flush=True)
        handed = lay_in(assignment, folder / "in-shell", 30)
        seconds = from_the_shell(handed, folder / "out-shell")
        print(f"30 from the shell, loading included: {seconds / 30:.4f} s a hand-in")
        count = min(100, arguments.most)
        one = on_cores(folder / f"in-{count}", folder / "one", 1) / count
        print(f"on one core, {count} hand-ins: {one:.4f} s a hand-in, {slope / one:.1f} times")
        for cores in range(2, (os.cpu_count() or 1) + 1):
            each = on_cores(folder / f"in-{count}", folder / f"cores-{cores}", cores) / count
            print(f"on {cores} cores: {each:.4f} s a hand-in, {one / each:.2f} times one core")


if __name__ == "__main__":
    main()

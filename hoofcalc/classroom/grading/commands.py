"""The instructor's commands ``hoofcalc handout``, ``mark`` and ``results``, and where a course is.

What they do with hand-ins and marks stands in ``folder.py`` and ``class_report.py``.
"""

from __future__ import annotations

import argparse
import io
import os
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path
from typing import Any

import hoofcalc
from hoofcalc._files import write_whole
from hoofcalc._where import course_folder
from hoofcalc.classroom.grading.course import (
    CommandError,
    find_course,
    known_exercises,
    load_key,
)
from hoofcalc.classroom.model.examination import SUFFIX, practice_name
from hoofcalc.classroom.model.questions import KeyFileError


def add_handout(commands: Any) -> None:
    """Add ``hoofcalc handout`` to the commands."""
    parser = commands.add_parser(
        "handout",
        help="for instructors: make an exercise ready to hand out",
        description=(
            "Make an exercise ready to hand out: the notebook and the hints that go with it, in a "
            "folder that you can give to your learners. Answers are not in it."
        ),
        epilog=(
            "The check while working is for practice: whoever asks it often enough is led to the "
            "answer. For an examination use --without-check."
        ),
    )
    parser.add_argument("exercise", nargs="*", help="the exercise or several, as in 04-columns")
    parser.add_argument("--to", type=Path, help="a folder to put it into; nothing is overwritten")
    parser.add_argument(
        "--without-check",
        action="store_true",
        help="for an examination: no hints, and other numbers than for practice",
    )
    parser.add_argument(
        "--wheel",
        action="store_true",
        help="instead of an exercise: hoofcalc itself for learners to install, without keys",
    )
    parser.add_argument(
        "--course", type=Path, help="a course folder of your own, with your keys in keys/"
    )
    parser.set_defaults(run=_run_handout)


def add_mark(commands: Any) -> None:
    """Add ``hoofcalc mark`` to the commands."""
    parser = commands.add_parser(
        "mark",
        help="for instructors: mark a folder of hand-ins",
        description=(
            "Mark a folder of hand-ins: one notebook (.ipynb) per learner, named by the learner's "
            "id, or nbgrader's folders submitted/ID/EXERCISE/; for several exercises at once, a "
            "folder for each, called after it. You get a table of marks, a "
            "feedback page for each learner, and a table of texts to mark by hand; fill in its "
            "points and run the same command again. Hand-ins are only read. What is marked "
            "already is not marked again unless it has changed."
        ),
        epilog=(
            "Ends with 0 when all hand-ins were marked, 1 when some could not be, 2 when nothing "
            "could be done. Only ids are kept, no names."
        ),
    )
    parser.add_argument("folder", type=Path, help="the folder with the hand-ins")
    parser.add_argument(
        "--exercise",
        action="append",
        help="which exercise it is, given again for several (default: seen from the files)",
    )
    parser.add_argument(
        "--results", type=Path, help="where marks and feedback go (default: FOLDER-results)"
    )
    parser.add_argument(
        "--again", action="store_true", help="mark every hand-in again, changed or not"
    )
    parser.add_argument(
        "--course",
        type=Path,
        help="the course folder with the keys (default: that of the checkout)",
    )
    parser.add_argument(
        "--gradebook",
        metavar="URL",
        help="a database for the gradebook, as nbgrader names it (default: a file in the results)",
    )
    parser.set_defaults(run=_run_mark)


def add_results(commands: Any) -> None:
    """Add ``hoofcalc results`` to the commands."""
    parser = commands.add_parser(
        "results",
        help="for instructors: see how the class stands",
        description=(
            "See how the class stands, from what 'hoofcalc mark' has written: which abilities it "
            "has, which slips are common, who is stuck, what was late, what waits for a marker. "
            "Writes a page (HTML, and the same as PDF) and tables (CSV) into the results folder."
        ),
        epilog=(
            "Names stay with you: they are taken from your own file, shown in the overview and the "
            "table for the school, and go nowhere else."
        ),
    )
    parser.add_argument(
        "folder",
        type=Path,
        nargs="?",
        default=Path(),
        help="the results folder, or the folder with the hand-ins (default: where you are)",
    )
    parser.add_argument(
        "--names", type=Path, help="your own CSV with the columns id and name, if you want names"
    )
    parser.add_argument(
        "--due",
        help=(
            "when it had to be handed in, as in 2026-11-30, 30.11.2026 or '2026-11-30 18:00'; "
            "extensions that 'hoofcalc term total' has entered are added"
        ),
    )
    parser.add_argument(
        "--plan", type=Path, help="the plan of the term instead: what is due when, and extensions"
    )
    parser.add_argument("--gradebook", metavar="URL", help="the database given to 'hoofcalc mark'")
    parser.add_argument("--course", type=Path, help="the course folder with the keys")
    parser.set_defaults(run=_run_results)


def _run_results(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.grading.class_report import show

    return in_words(
        lambda: show(
            arguments.folder,
            names=arguments.names,
            due=arguments.due,
            plan=arguments.plan,
            course=arguments.course,
            gradebook=arguments.gradebook,
        )
    )


def _run_handout(arguments: argparse.Namespace) -> int:
    if arguments.wheel:
        return in_words(lambda: wheel(arguments.to or Path.cwd()))
    if not arguments.exercise:
        print("Say which exercise, for example 04-columns.", file=sys.stderr)
        return 2
    tail = SUFFIX if arguments.without_check else ""
    return in_words(
        lambda: max(
            handout(name + tail, arguments.to, arguments.course) for name in arguments.exercise
        )
    )


def _run_mark(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.sandbox import runner

    runner.get_ready()  # it loads in a process of its own, while we load here
    from hoofcalc.classroom.grading.several_exercises import mark_all

    return in_words(
        lambda: mark_all(
            arguments.folder,
            exercises=arguments.exercise,
            results=arguments.results,
            course=arguments.course,
            again=arguments.again,
            gradebook=arguments.gradebook,
        )
    )


def in_words(command: Any) -> int:
    """Run a command; what goes wrong is said in words."""
    from hoofcalc.classroom.grading.manual_grading import HandMarksError
    from hoofcalc.classroom.grading.results import ResultsError
    from hoofcalc.classroom.sandbox.runner import SandboxError

    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a sign that the terminal lacks stops nobody
            stream.reconfigure(errors="backslashreplace")
    try:
        return int(command())
    except (CommandError, KeyFileError, ResultsError, HandMarksError, SandboxError) as problem:
        print(problem, file=sys.stderr)
        return 2
    except OSError as problem:
        print(f"{problem.filename}: {problem.strerror}", file=sys.stderr)
        return 2


def handout(name: str, to: Path | None, course: Path | None = None) -> int:
    """Make an exercise ready and lay it into `to`; 0 when done."""
    found = find_course(course)
    if found is None and name != practice_name(name):
        raise CommandError(
            "An examination is made from the keys, and they are not in what is installed here. "
            "Say where they are with --course FOLDER."
        )
    if found is None:
        folder = course_folder("exercises") / name
        if not folder.is_dir():
            there = sorted(
                path.name for path in course_folder("exercises").iterdir() if path.is_dir()
            )
            raise CommandError(f"There is no exercise '{name}'. There are: {', '.join(there)}")
        to = to or Path.cwd()
    else:
        if practice_name(name) not in known_exercises(found):
            listing = ", ".join(known_exercises(found))
            raise CommandError(f"There is no exercise '{name}'. There are: {listing}")
        folder = release(found, name)
    if to is None:
        print(f"{name} is ready to hand out: {folder}")
        return 0
    laid = _lay(folder, to.expanduser() / name)
    print(f"{name} is ready to hand out: {laid}")
    return 0


def _lay(folder: Path, target: Path) -> Path:
    files = [path for path in sorted(folder.iterdir()) if path.is_file()]
    for path in files:
        there = target / path.name
        if there.exists() and there.read_bytes() != path.read_bytes():
            raise CommandError(
                f"{there} is there already and is not the same. Nothing was written. Move it away "
                "or choose another folder with --to."
            )
    for path in files:
        write_whole(target / path.name, path.read_bytes())
    return target


def wheel(to: Path) -> int:
    """Build what learners install into `to`, and look that no key is in it; 0 when done."""
    checkout = Path(hoofcalc.__file__).resolve().parents[1]
    if not (checkout / "pyproject.toml").is_file():
        raise CommandError("It is built from a checkout of the project; there is none here.")
    with tempfile.TemporaryDirectory() as folder:
        builders = (
            [sys.executable, "-m", "pip", "wheel", "--no-deps", "--quiet", "-w", folder],
            ["uv", "build", "--wheel", "--quiet", "-o", folder],
        )
        said = ""
        for command in builders:
            try:
                done = subprocess.run(
                    [*command, str(checkout)], capture_output=True, text=True, check=False
                )
            except FileNotFoundError:
                continue
            said = said or done.stderr
            if done.returncode == 0:
                break
        built = list(Path(folder).glob("*.whl"))
        if not built:
            last = said.strip().splitlines()[-1:] or ["neither pip nor uv is here"]
            raise CommandError(f"It could not be built: {last[0]}")
        with zipfile.ZipFile(built[0]) as archive:
            keys = [name for name in archive.namelist() if "keys/" in name or "handins" in name]
        if keys:
            raise CommandError(f"A key would be in it ({keys[0]}); nothing was written.")
        target = to.expanduser() / built[0].name
        write_whole(target, built[0].read_bytes())
    print(f"For your learners: {target}\nThey install it with 'pip install {target.name}'.")
    return 0


#: nbgrader's settings for a course folder that has none yet.
_SETTINGS = """\
from hoofcalc.classroom.grading.nbgrader_step import configure

configure(get_config())  # nbgrader gives it
"""


def release(course: Path, name: str) -> Path:
    """Bring source and release in step with the key, by nbgrader's own command."""
    from hoofcalc.classroom.model.build import write_source

    write_source(load_key(course, name), course)
    settings = course / "nbgrader_config.py"
    if not settings.exists():  # a course folder of the instructor's own
        write_whole(settings, _SETTINGS.encode())
    environment = dict(os.environ)
    tools = str(Path(sys.executable).parent)
    environment["PATH"] = os.pathsep.join([tools, environment.get("PATH", "")])
    command = [sys.executable, "-m", "nbgrader", "generate_assignment", name, "--force"]
    done = subprocess.run(
        command, cwd=course, env=environment, capture_output=True, text=True, check=False
    )
    if done.returncode != 0:
        words = [line for line in done.stderr.splitlines() if "ERROR" in line or "Error" in line]
        raise CommandError(
            f"nbgrader could not make {name} ready:\n"
            + "\n".join(words[-5:] or ["(no reason given)"])
        )
    return course / "release" / name

"""The instructor's commands: ``hoofcalc handout`` and ``hoofcalc mark``."""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoofcalc import __version__
from hoofcalc._where import course_folder
from hoofcalc.classroom import jail
from hoofcalc.classroom.learner_folder import write_safely
from hoofcalc.classroom.questions import KeyFileError, Written, load_exercise

_CHECKOUT = Path(__file__).resolve().parents[2]


class CommandError(Exception):
    """The command cannot do what was asked; the message says why and what to do."""


def add_handout(commands: Any) -> None:
    """Add ``hoofcalc handout`` to the commands."""
    parser = commands.add_parser(
        "handout",
        help="for instructors: make an exercise ready to hand out",
        description=(
            "Make an exercise ready to hand out: the notebook and the hints that go with it, in a "
            "folder that you can give to your learners. Answers are not in it."
        ),
    )
    parser.add_argument("exercise", help="the exercise, for example 04-columns")
    parser.add_argument("--to", type=Path, help="a folder to lay it into; nothing is overwritten")
    parser.add_argument("--course", type=Path, help=argparse.SUPPRESS)
    parser.set_defaults(run=_run_handout)


def add_mark(commands: Any) -> None:
    """Add ``hoofcalc mark`` to the commands."""
    parser = commands.add_parser(
        "mark",
        help="for instructors: mark a folder of hand-ins",
        description=(
            "Mark a folder of hand-ins: one notebook (.ipynb) per learner, named by the learner's "
            "id, or nbgrader's folders submitted/ID/EXERCISE/. You get a table of marks, a "
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
    parser.add_argument("--exercise", help="which exercise it is; found out where it can be")
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
    parser.set_defaults(run=_run_mark)


def _run_handout(arguments: argparse.Namespace) -> int:
    return _in_words(lambda: handout(arguments.exercise, arguments.to, arguments.course))


def _run_mark(arguments: argparse.Namespace) -> int:
    return _in_words(
        lambda: mark_folder(
            arguments.folder,
            exercise=arguments.exercise,
            results=arguments.results,
            course=arguments.course,
            again=arguments.again,
        )
    )


def _in_words(command: Any) -> int:
    """Run a command; what goes wrong is said in words."""
    from hoofcalc.classroom.handmarks import HandMarksError
    from hoofcalc.classroom.results import ResultsError

    try:
        return int(command())
    except (CommandError, KeyFileError, ResultsError, HandMarksError) as problem:
        print(problem, file=sys.stderr)
        return 2
    except OSError as problem:
        print(f"{problem.filename}: {problem.strerror}", file=sys.stderr)
        return 2


def find_course(given: Path | None = None) -> Path | None:
    """The course folder with the keys: the one given, that of the checkout, or one around here."""
    if given is not None:
        if not (given / "keys").is_dir():
            raise CommandError(f"{given} is not a course folder: it has no folder 'keys'")
        return given.resolve()
    here = Path.cwd()
    for place in (
        _CHECKOUT / "exercises",
        here,
        *(folder / "exercises" for folder in (here, *here.parents)),
    ):
        if (place / "keys").is_dir() and (place / "nbgrader_config.py").is_file():
            return place.resolve()
    return None


def known_exercises(course: Path) -> list[str]:
    """The exercises that have a key."""
    return sorted(
        path.stem for path in (course / "keys").glob("*.py") if not path.stem.endswith("-handins")
    )


def handout(name: str, to: Path | None, course: Path | None = None) -> int:
    """Make an exercise ready and lay it into `to`; 0 when done."""
    found = find_course(course)
    if found is None:
        folder = course_folder("exercises") / name
        if not folder.is_dir():
            there = sorted(
                path.name for path in course_folder("exercises").iterdir() if path.is_dir()
            )
            raise CommandError(f"There is no exercise '{name}'. There are: {', '.join(there)}")
        to = to or Path.cwd()
    else:
        if name not in known_exercises(found):
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
        write_safely(target / path.name, path.read_bytes())
    return target


def release(course: Path, name: str) -> Path:
    """Bring source and release in step with the key, by nbgrader's own command."""
    from hoofcalc.classroom.build import write_source

    write_source(load_exercise(course / "keys" / f"{name}.py"), course)
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


@dataclass(frozen=True)
class _Found:
    """One hand-in in the folder: whose, where, or why it is none."""

    learner: str
    path: Path
    reason: str = ""


def mark_folder(
    folder: Path,
    *,
    exercise: str | None = None,
    results: Path | None = None,
    course: Path | None = None,
    again: bool = False,
    limits: jail.Limits | None = None,
) -> int:
    """Mark a folder of hand-ins. 0: all marked. 1: some could not be."""
    from hoofcalc.classroom.handmarks import HandMarks, Waiting
    from hoofcalc.classroom.marking import load_assignment
    from hoofcalc.classroom.results import Results

    folder = folder.expanduser()
    if not folder.is_dir():
        raise CommandError(f"There is no folder {folder}")
    found_course = find_course(course)
    if found_course is None:
        raise CommandError(
            "Marking needs the keys, and they are not in what is installed here: learners install "
            "it too. Instructors mark from a checkout of the project, where they lie in "
            "exercises/keys; or say where they are with --course FOLDER."
        )
    if not any(not path.name.startswith(".") for path in folder.iterdir()):
        raise CommandError(f"There are no hand-ins in {folder}: it is empty")
    name = exercise or _which_exercise(folder, found_course)
    if name not in known_exercises(found_course):
        listing = ", ".join(known_exercises(found_course))
        raise CommandError(f"There is no exercise '{name}'. There are: {listing}")
    assignment = load_assignment(found_course, name)
    handins = list(_handins(folder, name))
    if not handins:
        raise CommandError(
            f"There are no hand-ins in {folder}: one .ipynb per learner, named by the id, or "
            f"submitted/ID/{name}/{name}.ipynb"
        )
    target = (
        results or folder.resolve().with_name(f"{folder.resolve().name}-results")
    ).expanduser()
    by_hand = HandMarks(target)
    kept = Results(target, assignment)
    if jail.weaker_mode():
        print(jail.weaker_mode(), file=sys.stderr)

    changed, failed = _mark_all(kept, handins, _marked_with(found_course, name), again, limits)

    written = {q.name: q for q in assignment.exercise.questions if isinstance(q, Written)}
    given, trouble = by_hand.given(name, {key: q.points for key, q in written.items()})
    trouble += kept.enter_by_hand(given)
    remarks: dict[str, list[str]] = {}
    waiting = []
    for learner in kept.learners():
        for key, text in kept.note(learner).texts.items():
            mark = next((m for m in given if (m.learner, m.question) == (learner, key)), None)
            if text:
                question = written[key]
                waiting.append(Waiting(learner, key, text, question.scale, question.points))
            if mark is not None and not mark.is_for(text):
                remarks.setdefault(learner, []).append(
                    f"the text of question {key} has changed since it was marked by hand"
                )
    by_hand.add(name, waiting)
    marks = kept.write_marks(remarks)
    pages = sum(kept.write_feedback(one) for one in kept.learners() if kept.note(one).marked)
    open_texts = sum(
        score is None
        for one in kept.learners()
        if kept.note(one).marked
        for score in kept.scores(one).values()
    )

    for line in trouble:
        print(line, file=sys.stderr)
    print(f"\nMarked {changed}, as before {len(handins) - changed - failed}, not marked {failed}.")
    print(f"Marks:     {marks}\nFeedback:  {target / 'feedback' / name} ({pages} new)")
    if open_texts:
        print(
            f"By hand:   {by_hand.path}: {open_texts} to mark. "
            "Fill in the points and run this again."
        )
    return 1 if failed or trouble else 0


def _mark_all(
    kept: Any,
    handins: Sequence[_Found],
    marked_with: str,
    again: bool,
    limits: jail.Limits | None,
) -> tuple[int, int]:
    """Mark what has to be marked, a line each; how many were marked and how many could not be."""
    from tqdm import tqdm

    from hoofcalc.classroom.results import Note, describe, digest

    def work(found: _Found) -> tuple[Any, Note]:
        """Off the main thread: read and mark, nothing is written."""
        from hoofcalc.classroom.handins import HandInError, parse, read_bytes
        from hoofcalc.classroom.marking import mark

        before = kept.note(found.learner)
        try:
            if found.reason:
                raise HandInError(found.reason)
            content = read_bytes(found.path)
            stamp = digest(content)
            same = before.marked and (before.handin, before.marked_with) == (stamp, marked_with)
            if same and not again:
                before.reason = ""
                return None, before
            marked = mark(kept.assignment, found.learner, parse(content), limits)
        except HandInError as reason:
            before.reason = str(reason)
            return None, before
        except Exception as fault:  # a fault of ours must not stop the others
            before.reason = f"marking it failed, please report this: {fault!r}"
            return None, before
        note = Note(
            stamp, marked_with, dict(marked.verdicts), dict(marked.texts), list(marked.notes)
        )
        return marked, note

    changed = failed = 0
    width = max(len(found.learner) for found in handins)
    with (
        ThreadPoolExecutor(max_workers=min(8, os.cpu_count() or 1)) as pool,
        tqdm(total=len(handins), unit="hand-in", disable=None, leave=False) as bar,
    ):
        for found, (marked, note) in zip(handins, pool.map(work, handins), strict=True):
            if marked is not None:
                kept.record(found.learner, marked, note)
                changed += 1
                words = describe(kept.scores(found.learner), kept.exercise.points)
                words += "".join(f" ({remark})" for remark in note.notes)
            else:
                kept.keep(found.learner, note)
                if note.reason:
                    failed += 1
                    words = f"not marked: {note.reason}"
                else:
                    points = describe(kept.scores(found.learner), kept.exercise.points)
                    words = f"as before: {points}"
            bar.write(f"{found.learner:<{width}}  {words}", file=sys.stdout)
            bar.update()
    return changed, failed


def _marked_with(course: Path, name: str) -> str:
    """A fingerprint of everything a mark depends on besides the hand-in."""
    from hoofcalc.classroom.results import digest

    files = [course / "keys" / f"{name}.py", *sorted((course / "release" / name).iterdir())]
    return digest(__version__.encode(), *(path.read_bytes() for path in files if path.is_file()))


def _handins(folder: Path, name: str) -> Iterator[_Found]:
    """The hand-ins in a folder: a file per learner, or nbgrader's own layout."""
    if (folder / "submitted").is_dir():
        folder = folder / "submitted"
    things = sorted(path for path in folder.iterdir() if not path.name.startswith("."))
    notebooks = {path.stem for path in things if path.suffix == ".ipynb" and not path.is_dir()}
    for path in things:
        if path.is_dir() and not path.is_symlink():
            inside = path / name
            if inside.is_dir():
                yield _in_folder(path.name, inside, name)
        elif path.suffix == ".ipynb":
            yield _Found(path.stem, path)
        elif path.is_file() and path.stem not in notebooks:
            yield _Found(path.stem, path, f"it is not a notebook: the file is called {path.name}")


def _in_folder(learner: str, folder: Path, name: str) -> _Found:
    path = folder / f"{name}.ipynb"
    if path.exists():
        return _Found(learner, path)
    others = sorted(other.name for other in folder.glob("*.ipynb"))
    if len(others) == 1:
        return _Found(learner, folder / others[0])
    reason = f"there is no {name}.ipynb in the folder" + (
        f", but {len(others)} others" if others else ""
    )
    return _Found(learner, path, reason)


def _which_exercise(folder: Path, course: Path) -> str:
    """The exercise these hand-ins are of, as they say themselves."""
    known = known_exercises(course)
    if len(known) == 1:
        return known[0]
    claimed: dict[str, int] = {}
    for path in sorted(folder.rglob("*.ipynb")):
        try:
            name = json.loads(path.read_bytes())["metadata"]["hoofcalc"]["exercise"]
        except (OSError, ValueError, KeyError, TypeError, RecursionError):
            continue
        if name in known:
            claimed[name] = claimed.get(name, 0) + 1
    most = max(claimed, key=lambda name: claimed[name], default="")
    if most and claimed[most] > sum(claimed.values()) / 2:
        return most  # a stray one is told so when it is marked
    listing = ", ".join(known)
    why = "are of several exercises" if claimed else "do not say which exercise they are"
    raise CommandError(f"The hand-ins {why}. Say which with --exercise: {listing}")

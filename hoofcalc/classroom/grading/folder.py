"""Mark a folder of hand-ins: find them, have them marked, enter them, write tables and pages."""

from __future__ import annotations

import contextlib
import json
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from hoofcalc import __version__
from hoofcalc.classroom.grading.batch import Job, Outcome, run
from hoofcalc.classroom.grading.course import CommandError, find_course, known_exercises
from hoofcalc.classroom.grading.manual_grading import HandMarks, Waiting
from hoofcalc.classroom.grading.marking import load_assignment
from hoofcalc.classroom.grading.results import Note, Results, Standing, digest
from hoofcalc.classroom.grading.submissions import HandInError, read_bytes
from hoofcalc.classroom.model.questions import Written
from hoofcalc.classroom.sandbox import runner


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
    limits: runner.Limits | None = None,
    executor: Executor | None = None,
    gradebook: str | None = None,
) -> int:
    """Mark a folder of hand-ins. 0: all marked. 1: some could not be.

    The hand-ins are marked by `executor`, any executor of ``concurrent.futures``: where it
    reaches other machines, the course lies at the same place on each. `gradebook` is the
    URL of a database that nbgrader accepts.
    """
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
    handins, twice = _without_doubles(_handins(folder, name))
    if not handins:
        raise CommandError(
            f"There are no hand-ins in {folder}: one .ipynb per learner, named by the id, or "
            f"submitted/ID/{name}/{name}.ipynb"
        )
    target = (
        results or folder.resolve().with_name(f"{folder.resolve().name}-results")
    ).expanduser()
    by_hand = HandMarks(target)
    if runner.weaker_mode():
        print(runner.weaker_mode(), file=sys.stderr)
    with Results(target, assignment, gradebook=gradebook) as kept:
        jobs = _Jobs(kept, handins, found_course, again, limits or runner.Limits())
        changed, failed = _mark_all(kept, jobs, executor)
        written = {q.name: q for q in assignment.exercise.questions if isinstance(q, Written)}
        given, trouble = by_hand.given(name, {key: q.points for key, q in written.items()})
        taken, refused = kept.enter_by_hand(given)
        trouble += refused
        by_question = {(mark.learner, mark.question): mark for mark in given}
        remarks: dict[str, list[str]] = {}
        waiting = []
        for learner in kept.learners():
            for key, text in kept.note(learner).texts.items():
                mark = by_question.get((learner, key))
                if text:
                    question = written[key]
                    waiting.append(Waiting(learner, key, text, question.scale, question.points))
                if mark is not None and not mark.is_for(text):
                    remarks.setdefault(learner, []).append(
                        f"the text of question {key} has changed since it was marked by hand"
                    )
        by_hand.add(name, waiting)
        standings = kept.standings()
        lost = [one for one in kept.learners() if kept.note(one).marked and one not in standings]
        if lost:
            raise CommandError(
                f"The gradebook has lost {', '.join(lost)}. Run this with --again, so that every "
                "hand-in is marked and entered once more."
            )
        marks = kept.write_marks(standings, remarks)
        pages = sum(
            kept.write_feedback(one, standings[one])
            for one in kept.learners()
            if kept.note(one).marked
        )
        open_texts = sum(standing.waiting for standing in standings.values())

    for line in [*twice, *trouble]:
        print(line, file=sys.stderr)
    print(f"\nMarked {changed}, as before {len(handins) - changed - failed}, not marked {failed}.")
    print(f"Marks:     {marks}\nFeedback:  {target / 'feedback' / name} ({pages} new)")
    if taken:
        print(f"By hand:   {taken} taken over from {by_hand.path}.")
    if open_texts:
        print(
            f"By hand:   {by_hand.path}: {open_texts} to mark. "
            "Fill in the points and run this again."
        )
    elif taken:
        print("By hand:   nothing is waiting any more.")
    return 1 if failed or trouble or twice else 0


class _Jobs:
    """The hand-ins of a folder: which are to be marked, and what is already known of the rest."""

    def __init__(
        self,
        kept: Results,
        handins: Sequence[_Found],
        course: Path,
        again: bool,
        limits: runner.Limits,
    ) -> None:
        self.kept, self.handins, self.course = kept, handins, course
        self.again, self.limits = again, limits
        self.marked_with = _marked_with(course, kept.exercise.name)
        #: What is known without marking: a note with a reason, or that of the last time.
        self.known: dict[str, Note] = {}
        #: Fingerprints and dates of what is being marked.
        self.stamps: dict[str, tuple[str, str]] = {}

    def __iter__(self) -> Iterator[Job]:
        for found in self.handins:
            note = self.kept.note(found.learner)
            try:
                if found.reason:
                    raise HandInError(found.reason)
                content = read_bytes(found.path)
            except HandInError as reason:
                note.reason = str(reason)
                self.known[found.learner] = note
                continue
            stamp = digest(content)
            same = note.marked and (note.handin, note.marked_with) == (stamp, self.marked_with)
            if same and not self.again:
                note.reason = ""
                self.known[found.learner] = note
                continue
            self.stamps[found.learner] = (stamp, _handed_in(found.path))
            yield Job(
                found.learner,
                content,
                str(self.course),
                self.kept.exercise.name,
                self.marked_with,
                self.limits,
            )

    def note_of(self, outcome: Outcome) -> Note:
        """The note that goes with an outcome."""
        before = self.kept.note(outcome.learner)
        if outcome.reason:
            before.reason = outcome.reason
            return before
        stamp, handed_in = self.stamps[outcome.learner]
        return Note(
            handin=stamp,
            marked_with=self.marked_with,
            verdicts=dict(outcome.verdicts),
            texts=dict(outcome.texts),
            by_hand=before.by_hand,
            notes=list(outcome.notes),
            handed_in=handed_in,
        )


def _mark_all(kept: Results, jobs: _Jobs, executor: Executor | None) -> tuple[int, int]:
    """Mark what has to be marked, a line each; how many were marked and how many could not be."""
    from tqdm import tqdm

    early: dict[str, Outcome] = {}
    changed = failed = 0
    most = kept.exercise.points
    width = max(len(found.learner) for found in jobs.handins)
    before: dict[str, Standing] = {}
    with (
        contextlib.closing(run(jobs, executor)) as outcomes,
        tqdm(total=len(jobs.handins), unit="hand-in", disable=None, leave=False) as bar,
    ):
        for found in jobs.handins:
            learner = found.learner
            while learner not in jobs.known and learner not in early:
                # while it waits for outcomes, `run` goes on through the jobs
                outcome = next(outcomes, None)
                if outcome is not None:
                    early[outcome.learner] = outcome
            if learner in early:
                outcome = early.pop(learner)
                note = jobs.note_of(outcome)
            else:
                outcome, note = None, jobs.known[learner]
            earlier = kept.note(learner).marked
            if earlier and not before:
                before = kept.standings()
            if outcome is not None and not note.reason:
                kept.record(outcome, note)
                changed += 1
                by_hand = before.get(learner, Standing()).by_hand
                standing = Standing(
                    {
                        name: by_hand.get(name, None if one.state == "waiting" else one.points)
                        for name, one in outcome.verdicts.items()
                    }
                )
                words = standing.in_words(most)
                words += "".join(f" ({remark})" for remark in note.notes)
            else:
                kept.keep(learner, note)
                if note.reason:
                    failed += 1
                    words = f"not marked: {note.reason}"
                else:
                    words = f"as before: {before.get(learner, Standing()).in_words(most)}"
            bar.write(f"{learner:<{width}}  {words}", file=sys.stdout)
            bar.update()
    kept.flush()
    return changed, failed


def _handed_in(path: Path) -> str:
    """When it was handed in: as nbgrader noted it beside the file, or the file's own date."""
    with contextlib.suppress(OSError):
        noted = path.with_name("timestamp.txt")
        if noted.is_file():
            return noted.read_text(encoding="utf-8", errors="replace").strip()[:40]
        return datetime.fromtimestamp(path.stat().st_mtime).astimezone().isoformat(" ", "minutes")
    return ""


def _marked_with(course: Path, name: str) -> str:
    """A fingerprint of everything a mark depends on besides the hand-in."""
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


def _without_doubles(found: Iterator[_Found]) -> tuple[list[_Found], list[str]]:
    """Each learner's first hand-in, and words about any other of the same id."""
    first: dict[str, _Found] = {}
    words = []
    for one in found:
        if one.learner in first:
            other = first[one.learner].path
            words.append(f"{one.learner}: handed in twice; {other} counts, {one.path} does not")
        else:
            first[one.learner] = one
    return list(first.values()), words


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

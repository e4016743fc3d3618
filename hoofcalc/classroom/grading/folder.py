"""Mark a folder of hand-ins: find them, have them marked, enter them, write tables and pages."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Executor
from pathlib import Path

from hoofcalc import __version__
from hoofcalc.classroom.grading.batch import Job, Outcome, run
from hoofcalc.classroom.grading.course import CommandError, find_course, key_file, known_exercises
from hoofcalc.classroom.grading.hand_in_files import (
    HandInFile,
    hand_ins,
    handed_in,
    learner_id,
    read_bytes,
    which_exercise,
)
from hoofcalc.classroom.grading.manual_grading import HandMarks, Waiting
from hoofcalc.classroom.grading.marking import load_assignment
from hoofcalc.classroom.grading.results import Note, Results, Standing, digest
from hoofcalc.classroom.grading.results_folder import beside
from hoofcalc.classroom.grading.submissions import HandInError
from hoofcalc.classroom.model.clean_text import one_line
from hoofcalc.classroom.model.questions import Exercise, Written
from hoofcalc.classroom.sandbox import runner


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
    found_course, name = _what_to_mark(folder, exercise, course)
    assignment = load_assignment(found_course, name)
    target = (results or beside(folder)).expanduser()
    by_hand = HandMarks(target)
    runner.get_ready()
    if runner.weaker_mode():
        print(runner.weaker_mode(), file=sys.stderr)
    with Results(target, assignment, gradebook=gradebook) as kept:
        kept.get_ready()  # while the first process for hand-ins does the same
        files, trouble = hand_ins(folder, name, lambda learner: kept.note(learner).file)
        if not files:
            raise CommandError(
                f"There are no hand-ins in {folder}: one .ipynb per learner, named by the id, or "
                f"submitted/ID/{name}/{name}.ipynb"
            )
        runner.refuse_if_seen(
            {
                "the keys": found_course / "keys",
                "the course's sources": found_course / "source",
                "the hand-ins": folder,
                "the results": target,
                "your own files": Path.home(),
            }
        )
        jobs = _Jobs(kept, files, found_course, again, limits or runner.Limits())
        changed, failed = _mark_all(kept, jobs, executor)
        taken, hand_trouble, remarks = _marks_by_hand(kept, by_hand)
        standings = _standings(kept)
        marks = kept.write_marks(standings, remarks)
        pages, spoilt = _write_pages(kept, standings)
    trouble += hand_trouble + spoilt
    for line in trouble:
        print(line, file=sys.stderr)
    print(f"\nMarked {changed}, as before {len(files) - changed - failed}, not marked {failed}.")
    print(f"Marks:     {marks}\nFeedback:  {target / 'feedback' / name} ({pages} new)")
    open_texts = sum(standing.waiting for standing in standings.values())
    if taken:
        print(f"By hand:   {taken} taken over from {by_hand.path}.")
    if open_texts:
        print(
            f"By hand:   {by_hand.path}: {open_texts} to mark. "
            "Fill in the points and run this again."
        )
    elif taken:
        print("By hand:   nothing is waiting any more.")
    return 1 if failed or trouble else 0


def _what_to_mark(folder: Path, exercise: str | None, course: Path | None) -> tuple[Path, str]:
    """The course and the exercise, or in words why there is nothing to mark."""
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
    name = exercise or which_exercise(folder, found_course)
    if name not in known_exercises(found_course):
        listing = ", ".join(known_exercises(found_course))
        raise CommandError(f"There is no exercise '{name}'. There are: {listing}")
    return found_course, name


def _marks_by_hand(
    kept: Results, by_hand: HandMarks
) -> tuple[int, list[str], dict[str, list[str]]]:
    """Enter what was marked by hand, lay out what waits; how many, trouble, remarks by learner."""
    name = kept.exercise.name
    written = {q.name: q for q in kept.exercise.questions if isinstance(q, Written)}
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
    return taken, trouble, remarks


def _standings(kept: Results) -> dict[str, Standing]:
    """Where everyone stands, or in words whom the gradebook has lost."""
    standings = kept.standings()
    lost = [one for one in kept.learners() if kept.note(one).marked and one not in standings]
    if lost:
        raise CommandError(
            f"The gradebook has lost {', '.join(lost)}. Run this with --again, so that every "
            "hand-in is marked and entered once more."
        )
    return standings


def _write_pages(kept: Results, standings: Mapping[str, Standing]) -> tuple[int, list[str]]:
    """Write the feedback pages one by one; how many, and words about any that cannot be written."""
    pages, spoilt = 0, []
    for learner in kept.learners():
        if kept.note(learner).marked:
            try:
                pages += kept.write_feedback(learner, standings[learner])
            except OSError:
                raise  # the disk is full or the like: no fault of the hand-in
            except Exception as fault:
                words = one_line(repr(fault))
                spoilt.append(f"{learner}: no feedback page, please report this: {words}")
    return pages, spoilt


class _Jobs:
    """The hand-ins of a folder: which are to be marked, and what is already known of the rest."""

    def __init__(
        self,
        kept: Results,
        handins: Sequence[HandInFile],
        course: Path,
        again: bool,
        limits: runner.Limits,
    ) -> None:
        self.kept, self.handins, self.course = kept, handins, course
        self.again, self.limits = again, limits
        self.marked_with = _marked_with(course, kept.exercise.name)
        self.by_learner = {found.learner: found for found in handins}
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
            self.stamps[found.learner] = (stamp, handed_in(found.path))
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
        stamp, when = self.stamps[outcome.learner]
        found = self.by_learner[outcome.learner]
        return Note(
            handin=stamp,
            marked_with=self.marked_with,
            verdicts=dict(outcome.verdicts),
            texts=dict(outcome.texts),
            by_hand=before.by_hand,
            notes=[*found.notes, *outcome.notes],
            handed_in=when,
            file=learner_id(found.path.stem),
        )


def _mark_all(kept: Results, jobs: _Jobs, executor: Executor | None) -> tuple[int, int]:
    """Mark what has to be marked, a line each; how many were marked and how many could not be."""
    from tqdm import tqdm

    changed = failed = 0
    width = max(len(found.learner) for found in jobs.handins)
    earlier = any(kept.note(found.learner).marked for found in jobs.handins)
    before = kept.standings() if earlier else {}
    with (
        contextlib.closing(run(jobs, executor)) as outcomes,
        tqdm(total=len(jobs.handins), unit="hand-in", disable=None, leave=False) as bar,
    ):
        for learner, outcome, note in _in_order(jobs, outcomes):
            if outcome is not None and not note.reason:
                note = kept.record(outcome, note)
            else:
                kept.keep(learner, note)
            failed += bool(note.reason)
            changed += outcome is not None and not note.reason
            words = _in_words(kept.exercise, before.get(learner, Standing()), outcome, note)
            bar.write(f"{learner:<{width}}  {words}", file=sys.stdout)
            bar.update()
    return changed, failed


def _in_order(
    jobs: _Jobs, outcomes: Iterator[Outcome]
) -> Iterator[tuple[str, Outcome | None, Note]]:
    """Each hand-in in the order of the folder: what came out, if it was marked, and its note."""
    early: dict[str, Outcome] = {}
    for found in jobs.handins:
        learner = found.learner
        while learner not in jobs.known and learner not in early:
            # while it waits for outcomes, `run` goes on through the jobs
            outcome = next(outcomes, None)
            if outcome is not None:
                early[outcome.learner] = outcome
        if learner in early:
            outcome = early.pop(learner)
            yield learner, outcome, jobs.note_of(outcome)
        else:
            yield learner, None, jobs.known[learner]


def _in_words(exercise: Exercise, before: Standing, outcome: Outcome | None, note: Note) -> str:
    """What became of a hand-in, for its line on the screen."""
    if note.reason:
        return f"not marked: {note.reason}"
    if outcome is None:
        return f"as before: {before.in_words(exercise.points)}"
    scores = {
        name: before.by_hand.get(name, None if one.state == "waiting" else one.points)
        for name, one in outcome.verdicts.items()
    }
    words = Standing(scores).in_words(exercise.points)
    return words + "".join(f" ({remark})" for remark in note.notes)


def _marked_with(course: Path, name: str) -> str:
    """A fingerprint of everything a mark depends on besides the hand-in."""
    files = [key_file(course, name), *sorted((course / "release" / name).iterdir())]
    return digest(__version__.encode(), *(path.read_bytes() for path in files if path.is_file()))

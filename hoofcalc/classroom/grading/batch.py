"""Many hand-ins at once: each is a job for any ``concurrent.futures`` executor.

A job is plain data and so is its outcome, so that threads, processes or other machines
can do it. The hand-in's own process is started there, from a warm one (``runner.py``).
Nothing here writes: outcomes go back, in order, to the one who keeps the gradebook.
"""

from __future__ import annotations

import functools
import os
from collections import deque
from collections.abc import Generator, Iterable, Mapping
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import nbformat

from hoofcalc.classroom.grading.marking import Assignment, Marked, load_assignment, mark
from hoofcalc.classroom.grading.submissions import HandInError, parse
from hoofcalc.classroom.model.clean_text import one_line
from hoofcalc.classroom.model.judge import Verdict
from hoofcalc.classroom.sandbox import runner

#: How much may be under way at once: jobs, and bytes of hand-ins.
_MOST_JOBS, _MOST_BYTES = 64, 100_000_000


@dataclass(frozen=True)
class Job:
    """One hand-in to be marked, and where the course lies on the machine that does it."""

    learner: str
    content: bytes
    course: str
    exercise: str
    #: A fingerprint of key and handed-out files, so that a worker that lives long reads them anew.
    marked_with: str
    limits: runner.Limits = field(default_factory=runner.Limits)


@dataclass(frozen=True)
class Outcome:
    """What became of it: a marked notebook as text with its verdicts, or a reason."""

    learner: str
    reason: str = ""
    notebook: str = ""
    verdicts: Mapping[str, Verdict] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    untouched: tuple[str, ...] = ()


def cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return max(1, len(os.sched_getaffinity(0)))
    return os.cpu_count() or 1


def work(job: Job) -> Outcome:
    """Mark one hand-in. Runs wherever the executor has it run; never raises."""
    try:
        assignment = _assignment(job.course, job.exercise, job.marked_with)
        return outcome(job.learner, mark(assignment, job.learner, parse(job.content), job.limits))
    except HandInError as reason:
        return Outcome(job.learner, reason=str(reason))
    except Exception as fault:  # a fault of ours must not stop the others
        return Outcome(job.learner, reason=_our_fault(fault))


def _our_fault(fault: Exception) -> str:
    return f"marking it failed, please report this: {one_line(repr(fault))}"


def outcome(learner: str, marked: Marked) -> Outcome:
    """A marked hand-in as plain data."""
    return Outcome(
        learner,
        notebook=nbformat.writes(marked.notebook),
        verdicts=dict(marked.verdicts),
        texts=dict(marked.texts),
        notes=marked.notes,
        untouched=marked.untouched,
    )


@functools.lru_cache(maxsize=8)
def _assignment(course: str, exercise: str, _marked_with: str) -> Assignment:
    return load_assignment(Path(course), exercise)


def run(jobs: Iterable[Job], executor: Executor | None = None) -> Generator[Outcome, None, None]:
    """Have the jobs done, and give their outcomes in the order of the jobs.

    Without an executor, threads here do it: the work itself is done by the hand-ins' own
    processes, one for each core and one more, for while one begins or ends.
    """
    if executor is None:
        with ThreadPoolExecutor(max_workers=cores() + 1) as threads:
            yield from run(jobs, threads)
        return
    under_way: deque[tuple[Future[Outcome], Job]] = deque()
    size = 0
    try:
        for job in jobs:
            under_way.append((executor.submit(work, job), job))
            size += len(job.content)
            while under_way and (
                under_way[0][0].done() or len(under_way) >= _MOST_JOBS or size > _MOST_BYTES
            ):
                future, done = under_way.popleft()
                size -= len(done.content)
                yield _outcome(future, done)
        while under_way:
            yield _outcome(*under_way.popleft())
    finally:  # left early: what has not begun need not be done
        for future, _ in under_way:
            future.cancel()


def _outcome(future: Future[Outcome], job: Job) -> Outcome:
    try:
        return future.result()
    except Exception as fault:  # the worker itself was lost
        return Outcome(job.learner, reason=_our_fault(fault))

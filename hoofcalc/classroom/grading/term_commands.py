"""``hoofcalc term``: what an instructor does around marking through a whole term."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from hoofcalc.classroom.grading.commands import in_words


def add_term(commands: Any) -> None:
    """Add ``hoofcalc term`` to the commands."""
    parser = commands.add_parser(
        "term",
        help="for instructors: what a whole term needs besides marking",
        description="What a whole term needs besides marking. Each step works on its own.",
    )
    steps = parser.add_subparsers(title="steps", metavar="STEP", required=True)
    _add_import(steps)
    _add_total(steps)
    _add_change(steps)
    _add_blind(steps)
    _step(steps, "same", "note the same work in two hand-ins, without a verdict", _same)
    _step(steps, "solutions", "write a solution sheet with each learner's own numbers", _solutions)
    pack = _step(steps, "pack", "pack everybody's pages for sending", _pack)
    pack.add_argument("--solutions", action="store_true", help="put the solution sheets in too")
    forget = _step(steps, "forget", "delete everything that is kept about one learner", _forget)
    forget.add_argument("id", help="the learner's id")
    forget.add_argument("--hand-ins", action="store_true", help="delete the hand-ins as well")


def _step(
    steps: Any, name: str, words: str, run: Callable[[argparse.Namespace], int]
) -> argparse.ArgumentParser:
    """A step that works on a results folder."""
    parser: argparse.ArgumentParser = steps.add_parser(
        name, help=words, description=f"{words[0].upper()}{words[1:]}."
    )
    parser.add_argument("folder", type=Path, help="the results folder, or that of the hand-ins")
    parser.add_argument("--course", type=Path, help="the course folder with the keys")
    parser.add_argument("--gradebook", metavar="URL", help="the database given to 'hoofcalc mark'")
    parser.set_defaults(run=lambda arguments: in_words(lambda: run(arguments)))
    return parser


def _add_import(steps: Any) -> None:
    parser = steps.add_parser(
        "import",
        help="lay out what a school system gives for download, and say who is whom",
        description=(
            "Lay out the hand-ins that a school system gives for download, a zip or a folder, for "
            "'hoofcalc mark', and say who is whom. A learner is found by the id typed in the "
            "notebook, by an id or a name of your list in the names of file and folders. The "
            "latest of several counts."
        ),
    )
    parser.add_argument("download", type=Path, help="the zip or the folder")
    parser.add_argument("--to", type=Path, required=True, help="a new folder for the hand-ins")
    parser.add_argument("--names", type=Path, help="your own CSV with the columns id and name")
    parser.add_argument("--exercise", help="which exercise it is, where notebooks do not say")
    parser.add_argument(
        "--pattern",
        default="",
        help="a regular expression with the group student_id, as for nbgrader's zip_collect",
    )
    parser.add_argument("--course", type=Path, help="the course folder with the keys")
    parser.set_defaults(run=lambda arguments: in_words(lambda: _import(arguments)))


def _add_total(steps: Any) -> None:
    parser = _step(steps, "total", "work out a total over the exercises", _total)
    parser.add_argument("--plan", type=Path, help="weights, dates, late days, extensions (TOML)")
    parser.add_argument("--names", type=Path, help="your own CSV with the columns id and name")


def _add_change(steps: Any) -> None:
    parser = _step(steps, "change", "change a mark by hand, with who, when and why", _change)
    parser.add_argument("id", help="the learner's id")
    parser.add_argument("exercise", help="the exercise, as in 04-columns")
    parser.add_argument("question", help="the question's number")
    parser.add_argument("points", type=_points, help="the points from now on")
    parser.add_argument("--who", required=True, help="who changes it")
    parser.add_argument("--why", required=True, help="why")


def _add_blind(steps: Any) -> None:
    parser = _step(steps, "blind", "mark answers in words blind, by two or more", _blind)
    parser.add_argument(
        "--marker", help="write the table of this marker; without it, put all tables together"
    )


def _points(text: str) -> float:
    return float(text.replace(",", "."))


def _import(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.grading.download import import_download

    return import_download(
        arguments.download,
        arguments.to,
        names=arguments.names,
        exercise=arguments.exercise,
        pattern=arguments.pattern,
        course=arguments.course,
    )


def _total(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.grading.term_total import show_total

    return show_total(
        arguments.folder, plan=arguments.plan, names=arguments.names, **_where(arguments)
    )


def _change(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.grading.mark_changes import change_mark

    return change_mark(
        arguments.folder,
        arguments.id,
        arguments.exercise,
        arguments.question,
        arguments.points,
        who=arguments.who,
        why=arguments.why,
        **_where(arguments),
    )


def _blind(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.grading.blind_marking import put_together, write_for

    if arguments.marker:
        return write_for(arguments.folder, arguments.marker, **_where(arguments))
    return put_together(arguments.folder, **_where(arguments))


def _same(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.grading.same_work import show_same_work

    return show_same_work(arguments.folder, **_where(arguments))


def _solutions(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.grading.solution_sheet import write_solutions

    return write_solutions(arguments.folder, **_where(arguments))


def _pack(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.grading.packing import pack

    return pack(arguments.folder, solutions=arguments.solutions)


def _forget(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.grading.forget import forget

    return forget(arguments.folder, arguments.id, hand_ins=arguments.hand_ins, **_where(arguments))


def _where(arguments: argparse.Namespace) -> dict[str, Any]:
    return {"course": arguments.course, "gradebook": arguments.gradebook}

"""The commands: ``lessons`` and ``cards`` for learners, ``handout``, ``mark``, ``results`` and
``term`` for instructors, ``site`` for both, and ``case`` for one's own feet."""

from __future__ import annotations

import argparse
import signal
import sys
import webbrowser
from collections.abc import Sequence
from pathlib import Path

from hoofcalc import __version__
from hoofcalc._constants import VET_CAUTION
from hoofcalc._counted import counted
from hoofcalc._where import course_folder
from hoofcalc.case.commands import add_case, choose_case
from hoofcalc.classroom.grading.commands import add_handout, add_mark, add_results
from hoofcalc.classroom.grading.term_commands import add_term

_CAUTION = f"A teaching model, not a diagnosis. {VET_CAUTION}"


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command: 0 when it did what was asked, 1 when not, 2 for a slip in the call."""
    if [*(sys.argv[1:] if argv is None else argv)] == ["case"]:
        return choose_case()
    parser = _parser()
    arguments = parser.parse_args(argv)
    if not hasattr(arguments, "run"):
        parser.print_help()
        return 2
    for stream in (sys.stdout, sys.stderr):
        # a Windows console or a pipe may not know every letter; a "?" beats a crash
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        return int(arguments.run(arguments))
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return 130


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="hoofcalc",
        description="Why a heel gives way: a course with marked exercises.",
        epilog=_CAUTION,
    )
    parser.add_argument("--version", action="version", version=f"hoofcalc {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    _add_lessons(commands)
    add_handout(commands)
    add_mark(commands)
    add_results(commands)
    add_term(commands)
    _add_cards(commands)
    _add_site(commands)
    add_case(commands)
    return parser


def _add_lessons(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    lessons = commands.add_parser(
        "lessons",
        help="open the course in your browser",
        description=(
            "Open the course in your browser. The lessons and exercises are copied into a folder "
            "of your own first; what you write there is never written over."
        ),
        epilog="Stop with Ctrl-C. Call it again tomorrow: you go on where you were.",
    )
    lessons.add_argument(
        "--folder",
        type=Path,
        default=Path.home() / "hoofcalc-course",
        help="your own folder for the course (default: %(default)s)",
    )
    lessons.add_argument(
        "--no-browser",
        action="store_true",
        help="do not open a browser; print the address only",
    )
    lessons.add_argument(
        "--check",
        action="store_true",
        help="start everything, run the first lesson once, say whether it works, and end",
    )
    lessons.set_defaults(run=_lessons)


def _lessons(arguments: argparse.Namespace) -> int:
    from hoofcalc.classroom.workspace.learner_folder import FolderError, lay_out
    from hoofcalc.classroom.workspace.serving import ServerError, already_running, jupyterlab

    try:
        layout = lay_out(arguments.folder)
        for line in layout.in_words():
            print(line)
        folder = layout.folder
        # the learner's own copy of it, also where a newer version lies beside
        first = f"lessons/{min(course_folder('lessons').glob('*.ipynb')).name}"
        running = None if arguments.check else already_running(folder)
        if running is not None:
            address = running.url(f"doc/tree/{first}")
            print(f"The course is open already, at\n  {address}", flush=True)
            if not arguments.no_browser:
                webbrowser.open(address)
            return 0
        # ended from outside (a window closed, a system going down) JupyterLab must end too
        signal.signal(signal.SIGTERM, signal.default_int_handler)
        print("Starting JupyterLab ...", flush=True)
        with jupyterlab(folder) as (server_address, server):
            if arguments.check:
                return _check(folder, first)
            address = server_address.url(f"doc/tree/{first}")
            print(f"The course is open at\n  {address}\nStop it with Ctrl-C.", flush=True)
            if not arguments.no_browser:
                webbrowser.open(address)
            server.wait()
    except KeyboardInterrupt:
        print(f"\nStopped. What you saved lies in {arguments.folder}", flush=True)
    except (FolderError, ServerError, FileNotFoundError) as problem:
        print(problem, file=sys.stderr)
        return 1
    return 0


def _add_cards(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    cards = commands.add_parser(
        "cards",
        help="write the yard cards, to cut out or to read on a telephone",
        description=(
            "Write the yard card of each lesson into a folder: all of them as one PDF, four on a "
            "sheet of A4 with lines to cut along, and as pages for a telephone."
        ),
        epilog=_CAUTION,
    )
    cards.add_argument(
        "folder",
        type=Path,
        nargs="?",
        default=Path("yard-cards"),
        help="where they go (default: %(default)s)",
    )
    cards.set_defaults(run=_cards)


def _cards(arguments: argparse.Namespace) -> int:
    from hoofcalc.site.cards import write_cards

    try:
        pdf, *pages = write_cards(arguments.folder)
    except OSError as problem:
        reason = problem.strerror or str(problem)
        print(f"{arguments.folder} cannot be written ({reason}).", file=sys.stderr)
        return 1
    print(f"To cut out: {pdf.resolve()}\nTo read: {pages[0].resolve()}")
    return 0


def _add_site(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    site = commands.add_parser(
        "site",
        help="write the whole course as web pages that are alive in any browser",
        description=(
            "Write all lessons, all exercises, glossary and search into a folder for any web "
            "server. Python travels along: whoever opens the pages installs nothing, and nothing "
            "they do is sent anywhere."
        ),
        epilog=(
            "Put the folder on a web server, or try it here: python -m http.server --directory "
            "FOLDER. What the server should send along stands in server-headers.txt."
        ),
    )
    site.add_argument("folder", type=Path, help="where it goes; an earlier site there is replaced")
    site.add_argument(
        "--runtime",
        type=Path,
        help="folder or archive with Python for the browser (default: looked for in the cache, "
        "then fetched)",
    )
    site.add_argument(
        "--one-file",
        metavar="NN-NAME",
        default="",
        help="write one lesson with its exercise, Python included, as one file into the folder; "
        "it opens without a server",
    )
    site.set_defaults(run=_site)


def _site(arguments: argparse.Namespace) -> int:
    from hoofcalc.site.build import write_site
    from hoofcalc.site.lessons import SiteError
    from hoofcalc.site.one_file import write_one_file
    from hoofcalc.site.runtime import RuntimeFilesError

    def tell(line: str) -> None:
        print(line, flush=True)

    try:
        if arguments.one_file:
            path = write_one_file(arguments.folder, arguments.one_file, tell, arguments.runtime)
            print(f"Written: {path.resolve()}, {path.stat().st_size / 1e6:.1f} MB")
            return 0
        written = write_site(arguments.folder, tell, arguments.runtime)
    except (SiteError, RuntimeFilesError) as problem:
        print(problem, file=sys.stderr)
        return 1
    except OSError as problem:
        reason = problem.strerror or str(problem)
        print(f"{arguments.folder} cannot be written ({reason}).", file=sys.stderr)
        return 1
    print(f"{counted(len(written), 'page')} written into {arguments.folder.resolve()}")
    return 0


def _check(folder: Path, first: str) -> int:
    """Run the first lesson in a fresh kernel while JupyterLab is up, and say how it went."""
    import nbformat
    from nbclient import NotebookClient
    from nbclient.exceptions import CellExecutionError, CellTimeoutError, DeadKernelError

    print(f"JupyterLab answers. Running {first} in a fresh kernel ...", flush=True)
    lesson = nbformat.read(folder / first, as_version=4)
    client = NotebookClient(
        lesson,
        timeout=120,
        resources={"metadata": {"path": str((folder / first).parent)}},
        extra_arguments=["--IPKernelApp.log_level=40"],  # errors only, no technical remarks
    )
    try:
        client.execute()
    except (CellExecutionError, CellTimeoutError, DeadKernelError) as problem:
        print(f"{first} does not run:\n{problem}", file=sys.stderr)
        return 1
    cells = sum(cell.cell_type == "code" for cell in lesson.cells)
    print(f"All is well: {first} ran, {cells} code cells without an error.")
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""The command ``hoofcalc case``: a case made, opened on the screen, measured without one."""

from __future__ import annotations

import argparse
import importlib.util
import re
import sys
from collections.abc import Callable, Sequence
from datetime import date
from inspect import cleandoc
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hoofcalc._counted import counted
from hoofcalc.case.storage import (
    FILMS,
    PICTURES,
    CaseError,
    Field,
    files_of,
    home_of,
    own_fields,
)

if TYPE_CHECKING:
    from hoofcalc.case.records import Case

#: What photographs, film and the desk need beyond the course: the extra [case].
CASE_LIBRARIES = ("cv2", "av", "pillow_heif", "voila")
_INSTALL = (
    "Photographs, film and the desk need more than the course does; install it with: "
    f"{Path(sys.executable).name} -m pip install 'hoofcalc[case]' (in a checkout: '.[case]')."
)

_WHICH = (
    'which visit: its day, or "2026-04-07 after trim" for the second of a day (the last, if not '
    "given)"
)


def add_case(commands: Any) -> None:
    """Add ``hoofcalc case`` to the commands."""
    case = commands.add_parser(
        "case",
        help="measure feet of your own, visit by visit",
        **_described(_show),
    )
    case.add_argument("folder", type=Path, help="the folder of the case")
    case.add_argument(
        "--of", metavar="FOOT", help='another foot of the horse, such as --of "left fore"'
    )
    actions = case.add_subparsers(title="actions", metavar="ACTION")
    case.set_defaults(run=_told(_show))
    for add in (_laying_out, _visiting, _measuring):
        add(actions)


def _action(actions: Any, run: Any, about: str) -> Any:
    """One action: called as its function is, described as that describes itself."""
    name = run.__name__.removeprefix("_").replace("_", "-")
    made = actions.add_parser(name, help=about, **_described(run))
    made.set_defaults(run=_told(run))
    return made


def _described(run: Any) -> dict[str, str]:
    """What a function says of itself, as a parser takes it: a summary, and the rest at the end."""
    summary, _, rest = cleandoc(run.__doc__ or "").partition("\n\n")
    return {"description": summary, "epilog": rest}


def _options(parser: Any, listed: Sequence[Field], leave_out: Sequence[str] = ()) -> None:
    """An option for each field of a record, as it is declared there."""
    for each in listed:
        if each.name in leave_out:
            continue
        usual = "" if each.usual in (None, False) else f" (usual: {each.usual})"
        option: dict[str, Any] = {"help": f"{each.meaning.removesuffix('.')}{usual}"}
        if each.kind == "yes or no":
            option |= {"action": "store_true", "default": None}  # not said is not no
        else:
            option |= {"required": each.required and each.usual is None, "default": None}
            option["type"] = {"number": _number, "day": _day}.get(each.kind, str)
        parser.add_argument(f"--{each.name.replace('_', '-')}", **option)


def _laying_out(actions: Any) -> None:
    from hoofcalc.case.records import Case

    _options(_action(actions, _new, "make the folder"), own_fields(Case))
    screen = _action(actions, _open, "open the measuring desk in your browser")
    screen.add_argument(
        "--no-browser", action="store_true", help="print the address only, open no browser"
    )
    screen.add_argument(
        "--jupyterlab", action="store_true", help="open the same notebook in JupyterLab"
    )
    practice = _action(actions, _example, "make an invented case to practise on")
    practice.add_argument(
        "--placed", action="store_true", help="with all points placed in the pictures already"
    )
    practice.add_argument("--horse", help="a horse of the yard, such as Marrowfen")
    practice.add_argument("--foot", default="right fore", help='which foot (usual: "right fore")')
    sheet = _action(actions, _sheet, "make the sheet with the square to print")
    sheet.add_argument(
        "--side-mm", type=_number, default=100.0, help="side of the square (usual: 100)"
    )


def _visiting(actions: Any) -> None:
    from hoofcalc.case.records import Visit

    visit = _action(actions, _add_visit, "add a visit, or files to a visit")
    visit.add_argument("day", type=_day, help="day of the photographs, such as 2026-04-07")
    visit.add_argument("--picture", type=Path, action="append", default=[], help=PICTURES)
    visit.add_argument("--film", type=Path, action="append", default=[], help=FILMS)
    for name, meaning in (
        ("points", "landmarks in the side picture"),
        ("wall-lines", "lines traced along the horn"),
        ("outline", "bearing edge from below"),
        ("track", "a mark on the hoof through a film"),
    ):
        visit.add_argument(f"--{name}", type=Path, metavar="CSV", help=meaning)
    _options(visit, own_fields(Visit), leave_out=("date",))


def _measuring(actions: Any) -> None:
    one = _action(actions, _measure, "measure a visit from its points")
    two = _action(actions, _compare, "compare two visits")
    two.add_argument(
        "visits", type=_visit, nargs="*", help="two visits (the last two, if not given)"
    )
    _action(actions, _series, "list a foot over all its visits")
    _action(actions, _repeat, "say how far your own placings part")
    page = _action(actions, _page, "write the page for the owner")
    for each in (one, page):
        each.add_argument("visit", type=_visit, nargs="?", help=_WHICH)


def choose_case() -> int:
    """``hoofcalc case`` without a folder: the cases known here, and one of them opened."""
    from hoofcalc.case.known import known_cases

    cases = known_cases()
    if not cases:
        print("No case was opened on this computer yet. Make one with: hoofcalc case FOLDER new")
        return 0
    for number, folder in enumerate(cases, 1):
        print(f"  {number}  {folder}")
    if not sys.stdin.isatty():
        print("Open one with: hoofcalc case FOLDER open")
        return 0
    said = input("Which one shall be opened in the browser? Its number, or Enter for none: ")
    if not said.strip().isdigit() or not 1 <= int(said) <= len(cases):
        return 0
    chosen = argparse.Namespace(
        folder=cases[int(said) - 1], of=None, no_browser=False, jupyterlab=False
    )
    return _told(_open)(chosen)


def _told(
    action: Callable[[argparse.Namespace], int | None],
) -> Callable[[argparse.Namespace], int]:
    """The action, with every refusal as a sentence and an exit code."""

    def run(arguments: argparse.Namespace) -> int:
        try:
            if arguments.of is not None:
                from hoofcalc.case.feet import foot_folder

                arguments.folder = foot_folder(arguments.folder, arguments.of)
            return action(arguments) or 0
        except ModuleNotFoundError as missing:
            if (missing.name or "").split(".")[0] not in CASE_LIBRARIES:
                raise
            print(_INSTALL, file=sys.stderr)
            return 1
        except CaseError as problem:
            said = str(problem)
            print(said if said[-1] in ".?" else f"{said}.", file=sys.stderr)
            return 1
        except OSError as problem:
            where = problem.filename or arguments.folder
            reason = problem.strerror or str(problem)
            print(f"{where} cannot be read or written ({reason}).", file=sys.stderr)
            return 1

    return run


def _day(text: str) -> date:
    try:
        if len(text) == 10:
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise argparse.ArgumentTypeError(f"{text!r} is no day; write it as 2026-04-07")


def _visit(text: str) -> str:
    """A day, or a day with "after trim" behind it for a second visit of that day."""
    day = text.removesuffix(" after trim")
    return f"{_day(day)}{text.removeprefix(day)}"


def _number(text: str) -> float:
    """A number; 150,5 is understood, 1,505 could be meant two ways."""
    try:
        return float(re.sub(r"^([+-]?\d+),(\d{1,2})$", r"\1.\2", text))
    except ValueError:
        hint = "; write decimals with a point" if "," in text else ""
        raise argparse.ArgumentTypeError(f"{text!r} is no number{hint}") from None


def _whose(case: Case, more: str = "") -> str:
    return f"{case.horse}, {case.foot}{more}{' (invented)' if case.invented else ''}"


def _show(arguments: argparse.Namespace) -> None:
    """A case is a folder of yours for one horse, up to all four feet: photographs and film as
    they came, points and measurements as plain text. Without an action it tells what is in it.

    Start with: hoofcalc case FOLDER new --horse Otterby --foot 'right fore' --mass-kg 505
    --gait trot. Then: hoofcalc case FOLDER open, and go on in your browser. To practise first:
    hoofcalc case FOLDER example, then open. Everything can be done without a screen as well:
    hoofcalc case FOLDER add-visit 2026-04-07 --points points.csv, then measure. The README.txt
    in the folder says what each file holds; all of them may be changed by hand. hoofcalc case
    alone lists the cases that were opened here. Ends with 0 when it did what was asked, 1 when
    not, 2 for a slip in the call. Nothing leaves this computer.
    """
    from hoofcalc.case.case import open_case, read_visit, visit_names

    folder = arguments.folder
    case = open_case(folder)
    print(_whose(case, f", {case.mass_kg:g} kg, {case.gait}"))
    visits = visit_names(folder)
    if not visits:
        print("No visit yet: add one with add-visit.")
    wrong = []
    for visit in visits:
        counts = [
            counted(len([*files_of(folder, part, visit).glob("[!.]*")]), part.removesuffix("s"))
            for part in ("pictures", "film")
        ]
        try:
            read_visit(folder, visit)
            state = "ready to measure"
        except CaseError as problem:
            state = "not ready"
            wrong.append(str(problem))
        print(f"  {visit}: {', '.join(counts)}, {state}")
    if wrong:
        raise CaseError("\n".join(wrong))


def _new(arguments: argparse.Namespace) -> None:
    """Make a new case."""
    from hoofcalc.case.case import new_case
    from hoofcalc.case.records import Case

    new_case(arguments.folder, Case(**_given(arguments, own_fields(Case))))
    print(f"{arguments.folder} is made. README.txt in it says what each file holds.")


def _given(arguments: argparse.Namespace, listed: Sequence[Field]) -> dict[str, Any]:
    """The fields of a record that were said in the call."""
    said = vars(arguments)
    return {each.name: said[each.name] for each in listed if said.get(each.name) is not None}


def _open(arguments: argparse.Namespace) -> int:
    """Open the case in your browser.

    Photographs and film, points placed by mouse, finger or keys, the foot in one view, the page for
    the owner. Stop with Ctrl-C. What you placed is saved as you go.
    """
    _need_the_extra()
    from hoofcalc.case.case import open_case
    from hoofcalc.case.desk.serving import open_desk
    from hoofcalc.case.known import remember_case

    open_case(arguments.folder)
    remember_case(arguments.folder)
    return open_desk(
        arguments.folder, browser=not arguments.no_browser, in_jupyterlab=arguments.jupyterlab
    )


def _need_the_extra() -> None:
    """Stop before anything is written, where a library of the extra is missing."""
    for library in CASE_LIBRARIES:
        if importlib.util.find_spec(library) is None:
            raise ModuleNotFoundError(f"no module named {library}", name=library)


def _example(arguments: argparse.Namespace) -> None:
    """Make an invented case with drawn photographs and film of two visits, to practise on.

    What is true of it lies beside, in the folder truth. With --horse and --foot the records of a
    foot of the invented yard are laid out instead, without pictures.
    """
    from tqdm import tqdm

    from hoofcalc.case.practice import practice_case, yard_case

    folder = arguments.folder
    if arguments.horse:
        visits = yard_case(folder, arguments.horse, arguments.foot)
    else:
        _need_the_extra()
        with tqdm(total=100, desc="Drawing", bar_format="{desc} {bar} {percentage:.0f} %") as bar:
            visits = practice_case(
                folder,
                placed=arguments.placed,
                progress=lambda part: bar.update(round(100 * part) - bar.n),
            )
    print(f"{folder} holds an invented case with the visits {', '.join(visits)}.")
    print(f"Open it with: hoofcalc case {folder} open")


def _sheet(arguments: argparse.Namespace) -> None:
    """Write the sheet with the square as PDF and SVG into the case.

    Printed true to size and stood upright beside the hoof, it corrects for a camera that stood
    askew.
    """
    from hoofcalc.case.sheet import save_sheet

    for path in save_sheet(arguments.folder, arguments.side_mm):
        print(path)


def _add_visit(arguments: argparse.Namespace) -> None:
    """Add a visit, or files to a visit that is there.

    Photographs and film are copied as they are. Without points a points.csv to fill in is laid out.
    A table that is replaced is kept in the folder kept. After the trim of a day that is on file
    already, a second visit of that day is made.
    """
    from hoofcalc.case.case import TABLES, add_file, add_visit, visit_name
    from hoofcalc.case.records import Visit
    from hoofcalc.case.storage import kind_of_film, kind_of_picture

    if arguments.day > date.today():
        raise CaseError(f"{arguments.day} is still to come; give the day of the photographs")
    values, given = _given(arguments, own_fields(Visit)), vars(arguments)
    tables = {name: given[name.removesuffix(".csv")] for name in TABLES}
    tables = {name: path for name, path in tables.items() if path is not None}
    folder = arguments.folder
    visit = visit_name(folder, arguments.day, arguments.moment or "before trim")
    for path in arguments.picture:  # a slip in the call: nothing is written
        kind_of_picture(path)
    for path in arguments.film:
        kind_of_film(path)
    for line in add_visit(folder, visit, values, tables):
        print(line)
    refused = []
    for part, paths in (("pictures", arguments.picture), ("film", arguments.film)):
        for path in paths:
            try:
                print(add_file(folder, visit, part, path))
            except CaseError as problem:  # a damaged one; the others are taken
                refused.append(f"{problem}. It was not taken")
    if refused:
        raise CaseError(".\n".join(refused))


def _chosen(folder: Path, visit: str | None) -> str:
    from hoofcalc.case.case import visit_names

    visits = visit_names(folder)
    if visit is None and not visits:
        raise CaseError("there is no visit in this case; add one with add-visit")
    return visits[-1] if visit is None else visit


def _measure(arguments: argparse.Namespace) -> None:
    """Measure a visit from its stored points.

    Angles and lengths with their error, rules of the trade, film, load map. Prints them and writes
    measured.toml and load_map.csv beside the points.
    """
    from hoofcalc.case.case import open_case, read_visit
    from hoofcalc.case.measure import measure, write_measurement

    folder = arguments.folder
    case = open_case(folder)
    visit = _chosen(folder, arguments.visit)
    found = measure(case, read_visit(folder, visit))
    written = write_measurement(folder, found)
    print("\n".join(found.in_words()))
    print(f"\nWritten: {', '.join(written)}")


def _compare(arguments: argparse.Namespace) -> None:
    """Say which differences between two visits are more than their error."""
    from hoofcalc.case.case import open_case, read_visit, visit_names
    from hoofcalc.case.measure import compare_visits

    folder = arguments.folder
    case = open_case(folder)
    visits = arguments.visits or visit_names(folder)[-2:]
    if len(visits) != 2:
        raise CaseError(f"two visits are needed to compare (got {len(visits)})")
    first, second = (read_visit(folder, visit) for visit in sorted(visits))
    print(_whose(case))
    print("\n".join(compare_visits(first, second)[1]))


def _series(arguments: argparse.Namespace) -> None:
    """List toe and heel of every visit with their band, and what changed from first to last.

    Feet of the same horse that were measured at the last visit are set side by side.
    """
    from hoofcalc.case.case import open_case
    from hoofcalc.case.measure import CAUTIONS
    from hoofcalc.case.several import feet_at, feet_in_words, over_visits, visits_in_words

    case, visits = open_case(arguments.folder), over_visits(arguments.folder)
    if not visits:
        raise CaseError("no visit of this foot can be measured yet")
    print(_whose(case))
    beside = feet_in_words(feet_at(arguments.folder, visits[-1].name))
    print("\n".join([*visits_in_words(visits), *beside, *CAUTIONS]))


def _repeat(arguments: argparse.Namespace) -> None:
    """Say which differences are your own hand, from photographs that you placed again.

    Three photographs or more, placed two or three times each, give the repeatability coefficient,
    limits of agreement and ICC. It is kept in hand.toml, and every interval is worked out with it
    from then on.
    """
    from hoofcalc.case.hand import save_hand
    from hoofcalc.case.repeatability import repeated_in_words, repeated_readings

    visits, readings, hand = repeated_readings(arguments.folder)
    save_hand(home_of(arguments.folder), hand)
    print("\n".join(repeated_in_words(visits, readings)))


def _page(arguments: argparse.Namespace) -> None:
    """Write one page that explains the foot to its owner, as HTML and as PDF.

    It lies in the folder pages. Like is held against like: before the trim against before the trim.
    """
    from hoofcalc.case.case_page import write_page

    folder = arguments.folder
    for path in write_page(folder, _chosen(folder, arguments.visit)):
        print(path)

"""The command ``hoofcalc case``: a case made, opened on the screen, measured without one."""

from __future__ import annotations

import argparse
import importlib.util
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from hoofcalc.case.storage import CaseError

__all__ = ["add_case"]

_EPILOG = (
    "Start with: hoofcalc case FOLDER new --horse Otterby --foot 'right fore' --mass-kg 505 "
    "--gait trot. Then: hoofcalc case FOLDER open, and go on in your browser. To practise first: "
    "hoofcalc case FOLDER example, then open. Everything can be done without a screen as well: "
    "hoofcalc case FOLDER add-visit 2026-04-07 --points points.csv, then measure. The README.txt "
    "in the folder says what each file holds; all of them may be changed by hand. Ends "
    "with 0 when it did what was asked, 1 when not, 2 for a slip in the call. Nothing leaves this "
    "computer."
)

#: What photographs, film, the desk and the page as PDF need beyond the course: the extra [case].
CASE_LIBRARIES = ("cv2", "av", "pillow_heif", "fpdf", "voila")
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
        help="measure a foot of your own, visit by visit",
        description=(
            "A case is a folder of yours for one foot of one horse: photographs and film as they "
            "came, points and measurements as plain text. Without an action it tells what is in "
            "the case."
        ),
        epilog=_EPILOG,
    )
    case.add_argument("folder", type=Path, help="the folder of the case")
    actions = case.add_subparsers(title="actions", metavar="ACTION")
    case.set_defaults(run=_told(_show))

    new = actions.add_parser("new", help="make the folder", description="Make a new case.")
    new.add_argument("--horse", required=True, help="what the horse is called")
    new.add_argument(
        "--foot", required=True, help='"left fore", "right fore", "left hind" or "right hind"'
    )
    new.add_argument(
        "--mass-kg", type=_number, required=True, help="mass carried, with rider and tack"
    )
    new.add_argument("--gait", default="trot", help="walk, trot (default), canter or gallop")
    new.add_argument("--lead", help="at canter: left or right")
    new.add_argument(
        "--duty-factor",
        type=_number,
        help="part of a stride that the foot spends on the ground; a film tells it too",
    )
    new.add_argument("--invented", action="store_true", help="horse and figures are made up")
    new.add_argument("--note", help="anything worth a line")
    new.set_defaults(run=_told(_new))

    screen = actions.add_parser(
        "open",
        help="open the measuring desk in your browser",
        description=(
            "Open the case in your browser: photographs and film, points placed by mouse, finger "
            "or keys, the foot in one view, the page for the owner."
        ),
        epilog="Stop with Ctrl-C. What you placed is saved as you go.",
    )
    screen.add_argument(
        "--no-browser", action="store_true", help="print the address only, open no browser"
    )
    screen.add_argument(
        "--jupyterlab", action="store_true", help="open the same notebook in JupyterLab"
    )
    screen.set_defaults(run=_told(_open))

    practice = actions.add_parser(
        "example",
        help="make an invented case to practise on",
        description=(
            "Make an invented case with drawn photographs and film of two visits, to practise on. "
            "What is true of it lies beside, in the folder truth. With --horse and --foot the "
            "records of a foot of the invented yard are laid out instead, without pictures."
        ),
    )
    practice.add_argument(
        "--placed", action="store_true", help="with all points placed in the pictures already"
    )
    practice.add_argument("--horse", help="a horse of the yard, such as Marrowfen")
    practice.add_argument("--foot", default="right fore", help='which foot (usual: "right fore")')
    practice.set_defaults(run=_told(_example))

    sheet = actions.add_parser(
        "sheet",
        help="make the sheet with the square to print",
        description=(
            "Write the sheet with the square as PDF and SVG into the case. Printed true to size "
            "and stood upright beside the hoof, it corrects for a camera that stood askew."
        ),
    )
    sheet.add_argument(
        "--side-mm", type=_number, default=100.0, help="side of the square (usual: 100)"
    )
    sheet.set_defaults(run=_told(_sheet))

    visit = actions.add_parser(
        "add-visit",
        help="add a visit, or files to a visit",
        description=(
            "Add a visit, or files to a visit that is there. Photographs and film are copied as "
            "they are. Without points a points.csv to fill in is laid out. A table that is "
            "replaced is kept in the folder kept."
        ),
    )
    visit.add_argument("day", type=_day, help="day of the photographs, such as 2026-04-07")
    visit.add_argument("--picture", type=Path, action="append", default=[], help="JPEG, PNG, HEIC")
    visit.add_argument("--film", type=Path, action="append", default=[], help="MP4 or MOV")
    for name, meaning in (
        ("points", "landmarks in the side picture"),
        ("wall-lines", "lines traced along the horn"),
        ("outline", "bearing edge from below"),
        ("track", "a mark on the hoof through a film"),
    ):
        visit.add_argument(f"--{name}", type=Path, metavar="CSV", help=meaning)
    visit.add_argument(
        "--moment",
        help="before trim (usual) or after trim; after the trim of a day that is on file already, "
        "a second visit of that day is made",
    )
    visit.add_argument("--facing", help="which way the toe looks: right (usual) or left")
    for name, meaning in (
        ("point-error-mm", "standard deviation of a placed point (usual: 1)"),
        ("scale-error-percent", "standard deviation of the scale (usual: 1)"),
        ("medial-height-mm", "hairline height of the inner side, from the front"),
        ("lateral-height-mm", "hairline height of the outer side, from the front"),
        ("ground-width-mm", "width at the ground, from the front"),
        ("coronet-width-mm", "width at the hairline, from the front"),
        ("horn-water-percent", "water in the horn (25 if not given)"),
        ("film-ground-mm", "height of the mark while the foot stands, with --track"),
        ("film-point-error-mm", "standard deviation of the placed mark, with --track"),
    ):
        visit.add_argument(f"--{name}", type=_number, help=meaning)
    visit.add_argument("--note", help="anything worth a line")
    visit.set_defaults(run=_told(_add_visit))

    one = actions.add_parser(
        "measure",
        help="measure a visit from its points",
        description=(
            "Measure a visit from its stored points: angles and lengths with their error, rules of "
            "the trade, film, load map. Prints them and writes measured.toml and load_map.csv "
            "beside the points."
        ),
    )
    one.add_argument("visit", type=_visit, nargs="?", help=_WHICH)
    one.set_defaults(run=_told(_measure))

    two = actions.add_parser(
        "compare",
        help="compare two visits",
        description="Say which differences between two visits are more than their error.",
    )
    two.add_argument(
        "visits", type=_visit, nargs="*", help="two visits (the last two, if not given)"
    )
    two.set_defaults(run=_told(_compare))

    page = actions.add_parser(
        "page",
        help="write the page for the owner",
        description=(
            "Write one page that explains the foot to its owner, as HTML and as PDF, into the "
            "folder pages. Like is held against like: before the trim against before the trim."
        ),
    )
    page.add_argument("visit", type=_visit, nargs="?", help=_WHICH)
    page.set_defaults(run=_told(_page))


def _told(
    action: Callable[[argparse.Namespace], int | None],
) -> Callable[[argparse.Namespace], int]:
    """The action, with every refusal as a sentence and an exit code."""

    def run(arguments: argparse.Namespace) -> int:
        try:
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
    try:
        return float(text)
    except ValueError:
        hint = "; write decimals with a point" if "," in text else ""
        raise argparse.ArgumentTypeError(f"{text!r} is no number{hint}") from None


def _show(arguments: argparse.Namespace) -> None:
    from hoofcalc.case.case import open_case, read_visit, visit_names

    folder = arguments.folder
    case = open_case(folder)
    made_up = " (invented)" if case.invented else ""
    print(f"{case.horse}, {case.foot}, {case.mass_kg:g} kg, {case.gait}{made_up}")
    visits = visit_names(folder)
    if not visits:
        print("No visit yet: add one with add-visit.")
    wrong = []
    for visit in visits:
        counts = []
        for part in ("pictures", "film"):
            home = folder / part / visit
            files = [
                path for path in (home.iterdir() if home.is_dir() else ()) if path.name[0] != "."
            ]
            counts.append(f"{len(files)} {part}")
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
    from hoofcalc.case.case import Case, new_case

    names = ("horse", "foot", "mass_kg", "gait", "lead", "duty_factor", "invented", "note")
    new_case(arguments.folder, Case(**{name: getattr(arguments, name) for name in names}))
    print(f"{arguments.folder} is made. README.txt in it says what each file holds.")


def _open(arguments: argparse.Namespace) -> int:
    _need_the_extra()
    from hoofcalc.case.case import open_case
    from hoofcalc.case.desk.serving import open_desk

    open_case(arguments.folder)
    return open_desk(
        arguments.folder, browser=not arguments.no_browser, in_jupyterlab=arguments.jupyterlab
    )


def _need_the_extra() -> None:
    """Stop before anything is written, where a library of the extra is missing."""
    for library in CASE_LIBRARIES:
        if importlib.util.find_spec(library) is None:
            raise ModuleNotFoundError(f"no module named {library}", name=library)


def _example(arguments: argparse.Namespace) -> None:
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
    from hoofcalc.case.sheet import save_sheet

    for path in save_sheet(arguments.folder, arguments.side_mm):
        print(path)


def _add_visit(arguments: argparse.Namespace) -> None:
    from hoofcalc.case.case import TABLES, VISIT_FIELDS, add_files, add_visit, visit_name
    from hoofcalc.case.storage import kind_of_film, kind_of_picture

    if arguments.day > date.today():
        raise CaseError(f"{arguments.day} is still to come; give the day of the photographs")
    given = vars(arguments)
    values = {
        field.name: given[field.name] for field in VISIT_FIELDS if given.get(field.name) is not None
    }
    tables = {name: given[name.removesuffix(".csv")] for name in TABLES}
    tables = {name: path for name, path in tables.items() if path is not None}
    folder = arguments.folder
    visit = visit_name(folder, arguments.day, arguments.moment or "before trim")
    for path in arguments.picture:  # all is looked at before anything is written
        kind_of_picture(path)
    for path in arguments.film:
        kind_of_film(path)
    written = add_visit(folder, visit, values, tables)
    for line in [*written, *add_files(folder, visit, arguments.picture, arguments.film)]:
        print(line)


def _chosen(folder: Path, visit: str | None) -> str:
    from hoofcalc.case.case import visit_names

    visits = visit_names(folder)
    if visit is None and not visits:
        raise CaseError("there is no visit in this case; add one with add-visit")
    return visits[-1] if visit is None else visit


def _measure(arguments: argparse.Namespace) -> None:
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
    from hoofcalc.case.case import open_case, read_visit, visit_names
    from hoofcalc.case.measure import compare_visits

    folder = arguments.folder
    case = open_case(folder)
    visits = arguments.visits or visit_names(folder)[-2:]
    if len(visits) != 2:
        raise CaseError(f"two visits are needed to compare (got {len(visits)})")
    first, second = (read_visit(folder, visit) for visit in sorted(visits))
    print(f"{case.horse}, {case.foot}{' (invented)' if case.invented else ''}")
    print("\n".join(compare_visits(first, second)[1]))


def _page(arguments: argparse.Namespace) -> None:
    from hoofcalc.case.case_page import write_page

    folder = arguments.folder
    for path in write_page(folder, _chosen(folder, arguments.visit)):
        print(path)

"""The command ``hoofcalc case``: from stored points to a measured foot, without a screen."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

from hoofcalc.records.keeping import CaseError

__all__ = ["add_case"]

_EPILOG = (
    "Start with: hoofcalc case FOLDER new --horse Otterby --foot 'right fore' --mass-kg 505 "
    "--gait trot. Then: hoofcalc case FOLDER add-visit 2026-04-07 --points points.csv. The "
    "README.txt in the folder says what each file holds; all of them may be changed by hand. Ends "
    "with 0 when it did what was asked, 1 when not, 2 for a slip in the call. Nothing leaves this "
    "computer."
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
    visit.add_argument("--moment", help="before trim (usual) or after trim")
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
    one.add_argument("day", type=_day, nargs="?", help="which visit (the last, if not given)")
    one.set_defaults(run=_told(_measure))

    two = actions.add_parser(
        "compare",
        help="compare two visits",
        description="Say which differences between two visits are more than their error.",
    )
    two.add_argument("days", type=_day, nargs="*", help="two days (the last two, if not given)")
    two.set_defaults(run=_told(_compare))

    page = actions.add_parser(
        "page",
        help="write the page for the owner",
        description=(
            "Write one page that explains the foot to its owner, from the visits measured before "
            "the trim, into the folder pages. Open it in a browser; print it from there."
        ),
    )
    page.add_argument("day", type=_day, nargs="?", help="up to which visit (the last)")
    page.set_defaults(run=_told(_page))


def _told(action: Callable[[argparse.Namespace], None]) -> Callable[[argparse.Namespace], int]:
    """The action, with every refusal as a sentence and an exit code."""

    def run(arguments: argparse.Namespace) -> int:
        try:
            action(arguments)
        except CaseError as problem:
            said = str(problem)
            print(said if said[-1] in ".?" else f"{said}.", file=sys.stderr)
            return 1
        except OSError as problem:
            where = problem.filename or arguments.folder
            reason = problem.strerror or str(problem)
            print(f"{where} cannot be read or written ({reason}).", file=sys.stderr)
            return 1
        return 0

    return run


def _day(text: str) -> date:
    try:
        if len(text) == 10:
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise argparse.ArgumentTypeError(f"{text!r} is no day; write it as 2026-04-07")


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        hint = "; write decimals with a point" if "," in text else ""
        raise argparse.ArgumentTypeError(f"{text!r} is no number{hint}") from None


def _show(arguments: argparse.Namespace) -> None:
    from hoofcalc.records.case import open_case, read_visit, visit_days

    folder = arguments.folder
    case = open_case(folder)
    made_up = " (invented)" if case.invented else ""
    print(f"{case.horse}, {case.foot}, {case.mass_kg:g} kg, {case.gait}{made_up}")
    days = visit_days(folder)
    if not days:
        print("No visit yet: add one with add-visit.")
    wrong = []
    for day in days:
        counts = []
        for part in ("pictures", "film"):
            home = folder / part / str(day)
            files = [
                path for path in (home.iterdir() if home.is_dir() else ()) if path.name[0] != "."
            ]
            counts.append(f"{len(files)} {part}")
        try:
            read_visit(folder, day)
            state = "ready to measure"
        except CaseError as problem:
            state = "not ready"
            wrong.append(str(problem))
        print(f"  {day}: {', '.join(counts)}, {state}")
    if wrong:
        raise CaseError("\n".join(wrong))


def _new(arguments: argparse.Namespace) -> None:
    from hoofcalc.records.case import Case, new_case

    names = ("horse", "foot", "mass_kg", "gait", "lead", "duty_factor", "invented", "note")
    new_case(arguments.folder, Case(**{name: getattr(arguments, name) for name in names}))
    print(f"{arguments.folder} is made. README.txt in it says what each file holds.")


def _add_visit(arguments: argparse.Namespace) -> None:
    from hoofcalc.records.case import TABLES, VISIT_FIELDS, add_files, add_visit
    from hoofcalc.records.keeping import kind_of_film, kind_of_picture

    if arguments.day > date.today():
        raise CaseError(f"{arguments.day} is still to come; give the day of the photographs")
    given = vars(arguments)
    values = {
        field.name: given[field.name] for field in VISIT_FIELDS if given.get(field.name) is not None
    }
    tables = {name: given[name.removesuffix(".csv")] for name in TABLES}
    tables = {name: path for name, path in tables.items() if path is not None}
    folder, day = arguments.folder, arguments.day
    for path in arguments.picture:  # all is looked at before anything is written
        kind_of_picture(path)
    for path in arguments.film:
        kind_of_film(path)
    written = add_visit(folder, day, values, tables)
    for line in [*written, *add_files(folder, day, arguments.picture, arguments.film)]:
        print(line)


def _chosen(folder: Path, day: date | None) -> date:
    from hoofcalc.records.case import visit_days

    days = visit_days(folder)
    if day is None and not days:
        raise CaseError("there is no visit in this case; add one with add-visit")
    return days[-1] if day is None else day


def _measure(arguments: argparse.Namespace) -> None:
    from hoofcalc.records.case import open_case, read_visit
    from hoofcalc.records.keeping import put, take_away
    from hoofcalc.records.measure import measure

    folder = arguments.folder
    case = open_case(folder)
    day = _chosen(folder, arguments.day)
    found = measure(case, read_visit(folder, day))
    files = {"measured.toml": found.as_toml()}
    if found.load is not None:
        files["load_map.csv"] = found.load.as_csv()
    else:
        take_away(folder, f"visits/{day}/load_map.csv")  # one of before would not belong any more
    for name, content in files.items():
        put(folder, f"visits/{day}/{name}", content)
    print("\n".join(found.in_words()))
    print(f"\nWritten: {', '.join(f'visits/{day}/{name}' for name in files)}")


def _compare(arguments: argparse.Namespace) -> None:
    from hoofcalc.records.case import open_case, read_visit, visit_days
    from hoofcalc.records.measure import compare_visits

    folder = arguments.folder
    case = open_case(folder)
    days = arguments.days or visit_days(folder)[-2:]
    if len(days) != 2:
        raise CaseError(f"two visits are needed to compare (got {len(days)})")
    first, second = (read_visit(folder, day) for day in sorted(days))
    print(f"{case.horse}, {case.foot}{' (invented)' if case.invented else ''}")
    print("\n".join(compare_visits(first, second)[1]))


def _page(arguments: argparse.Namespace) -> None:
    from hoofcalc.records.case import open_case, read_visit, visit_days
    from hoofcalc.records.keeping import put
    from hoofcalc.records.owner_page import Measured, owner_page

    folder = arguments.folder
    case = open_case(folder)
    last = _chosen(folder, arguments.day)
    visits = [read_visit(folder, day) for day in visit_days(folder) if day <= last]
    gaps = {later.date: (later.date - before.date).days for before, later in pairwise(visits)}
    before_trim = [visit for visit in visits if visit.moment == "before trim"]
    if not before_trim or before_trim[-1].date != last:
        raise CaseError(f"the page needs a visit of {last} measured before the trim")
    measured = [
        Measured(
            day=visit.date,
            profile=visit.profile,
            point_error_mm=visit.point_error_mm,
            days_since=gaps.get(visit.date),
        )
        for visit in before_trim
    ]
    page = owner_page(case.horse, case.foot, measured, invented=case.invented)
    put(folder, f"pages/{last}.html", page.html.encode())
    print(f"{folder / 'pages' / f'{last}.html'}: open it in a browser")

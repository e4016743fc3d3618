"""Up to four feet of one horse in one case: the first in the case's own folder, each further one in
``feet/left hind`` and so on, a case of its own in there.

Photographs and film of all feet lie together with the horse, so that a day's can be taken in at
once. A case of one foot is a case as ever.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from hoofcalc.case.case import new_case, open_case, visit_names
from hoofcalc.case.records import FEET
from hoofcalc.case.storage import CaseError, home_of


def feet_of(folder: Path) -> dict[str, Path]:
    """The folder of each foot that is on file, by the foot's name.

    Parameters
    ----------
    folder
        The folder of the case, or that of one of its feet.

    Returns
    -------
    dict
        In the order of `hoofcalc.case.records.FEET`.

    Raises
    ------
    CaseError
        If there is no case, or a foot stands in it twice or under another name.
    """
    home = home_of(folder)
    found = {open_case(home).foot: home}
    for foot in FEET:
        place = home / "feet" / foot
        if not (place / "case.toml").exists():
            continue
        told = open_case(place).foot
        if told != foot or foot in found:
            raise CaseError(
                f"feet/{foot}/case.toml, field foot: is {told}; the folder is named {foot}, and "
                "each foot stands in the case once"
            )
        found[foot] = place
    return {foot: found[foot] for foot in FEET if foot in found}


def foot_folder(folder: Path, foot: str) -> Path:
    """The folder of one foot; a new one takes what is known of the horse.

    Parameters
    ----------
    folder
        The folder of the case, or that of one of its feet.
    foot
        One of `hoofcalc.case.records.FEET`.

    Returns
    -------
    Path
        A case of its own.

    Raises
    ------
    CaseError
        If there is no case, or no such foot.
    """
    if foot not in FEET:
        raise CaseError(f"there is no foot called {foot}; they are {', '.join(FEET)}")
    feet = feet_of(folder)
    if foot not in feet:
        home = home_of(folder)
        feet[foot] = home / "feet" / foot
        new_case(feet[foot], replace(open_case(home), foot=foot, duty_factor=None, note=None))
    return feet[foot]


def visits_of_horse(folder: Path) -> list[str]:
    """The visits of all feet, oldest first."""
    return sorted({name for place in feet_of(folder).values() for name in visit_names(place)})

"""Where a learner is in the course: what there is to be done, as `web/where.js` draws it.

How far it is done stands in the learner's record and is read by the drawing itself, which must
stand where Python does not.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from hoofcalc.figures import questions

__all__ = ["CHAIN", "COURSE", "course_shown"]

#: Each lesson by the name of its questions: the name of its file. In the order of the course.
#: Written out, because neither name follows from the other and the lessons need not lie beside the
#: code; tests hold it to the lessons' files.
COURSE: Mapping[str, str] = MappingProxyType(
    {
        "orientation": "00-orientation",
        "landing": "01-landing",
        "ground_force": "02-ground-force",
        "measuring": "03-measuring",
        "columns": "04-columns",
        "horn": "05-horn",
        "capsule": "06-capsule",
        "load_path": "07-load-path",
        "underrun": "08-underrun",
        "trim_cycle": "09-trim-cycle",
        "case": "10-a-case",
    }
)

#: The chain through the course: each link's lesson, and its small picture.
CHAIN = (
    ("01", "landing", '<path d="M3 4c7 1 11 5 13 11M3 24h22"/><path d="M12 14l4.5 2 2-4.5"/>'),
    ("02", "push", '<path d="M14 25V5M7 12l7-8 7 8"/>'),
    ("03", "shape", '<path d="M3 23h21L17 8 6 14z"/>'),
    ("04", "lean", '<path d="M9 25C8 16 11 8 20 4M5 25h10M24 9l-4-5-5 2.500"/>'),
    ("05", "horn", '<path d="M6 24l6-19M12 24l6-19M18 24l6-19"/>'),
    (
        "06",
        "the whole foot",
        '<path d="M4 22c5 4 15 4 20 0M4 22l5-12M24 22l-5-12"/>'
        '<ellipse cx="14" cy="10" rx="5" ry="2.500"/>',
    ),
    (
        "07",
        "along and across",
        '<path d="M6 24L20 5M6 24l17 0M20 5l-6 2M20 5l1 6M23 24l-4-3.500M23 24l-4 3"/>',
    ),
    (
        "08",
        "the heel runs under",
        '<path d="M4 12l9 11h12M4 12l3 9"/><path d="M4 12l15 11" stroke-dasharray="2.500 4"/>',
    ),
    ("09", "trim and interval", '<path d="M3 19h22M6 19V7M13 19v-7M20 19V4"/>'),
    ("10", "one case", '<path d="M7 3h14v22H7zM11 9h6M11 14h6M11 19h3"/>'),
)
#: Before the first link: a stable.
_BEFORE = '<path d="M4 24h20M7 24V9l7-5 7 5v15"/>'


def course_shown(ending: str) -> dict[str, Any]:
    """All lessons, and the ideas that come back in them.

    Parameters
    ----------
    ending
        How the file of a lesson ends, to link to it: ".ipynb" or ".html".

    Returns
    -------
    dict
        Plain data: "lessons" in their order and "ideas".
    """
    pictures = {number: picture for number, _, picture in CHAIN}
    lessons = [
        {
            "record": record,
            "name": stem,
            "title": f"{stem[:2]} {stem[3:].replace('-', ' ').capitalize()}",
            "page": f"{stem}{ending}",
            "picture": pictures.get(stem[:2], _BEFORE),
            "questions": [
                f"{record}/{name}"
                for name, one in questions.load(record).items()
                if one["kind"] != "predict"
            ],
        }
        for record, stem in COURSE.items()
    ]
    returns = Path(__file__).parent / "questions" / "returns.toml"
    ideas = [
        {
            "name": row["name"],
            "asked": row["returns"],
            "lessons": [COURSE[name.split("/")[0]][:2] for name in row["returns"]],
        }
        for row in tomllib.loads(returns.read_text("utf-8"))["idea"]
    ]
    return {"lessons": lessons, "ideas": ideas}

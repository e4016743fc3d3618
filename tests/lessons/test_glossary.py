"""A word of the trade is explained where it first stands: linked to the glossary, which has no more
words than are used."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat
import pytest

ROOT = Path(__file__).parents[2]
LESSONS = sorted((ROOT / "lessons").glob("[0-9]*.ipynb"))
ENTRIES = re.findall(r"^## (.+)$", (ROOT / "lessons/glossary.md").read_text("utf-8"), re.MULTILINE)
#: Words that everybody also uses in their everyday sense: linked where the other sense is meant.
EVERYDAY = {
    "Across", "Along", "Angle", "Band", "Cell", "Contact", "Dot", "Gap", "Heels", "Interval",
    "Lean", "Level", "Lever", "Like with like", "Moment", "Outline", "Peak", "Run", "Scale",
    "Settle", "Share", "Slip", "Sole", "Toe", "Track", "Work", "Parallel", "Impact", "Column",
    "Creep", "Strength", "Stiffness", "Toughness", "Growth", "Wear", "Error bar", "Stress",
    "Leading and trailing", "Rim", "Vertical", "Cutoff", "Contrast", "Fore-aft", "Path of travel",
    "Real difference", "Crush", "Drift",
}  # fmt: skip
#: Lessons in which a word stands in another sense, or first in a formula or before a link to go on.
OTHER_SENSE = {
    ("02-ground-force", "Quarters"), ("03-measuring", "Bars"), ("04-columns", "Quarters"),
    ("05-horn", "Cosine"), ("05-horn", "Quarters"), ("05-horn", "Sine"),
    ("08-underrun", "Heel angle"), ("08-underrun", "Quarters"), ("10-a-case", "Bars"),
}  # fmt: skip
#: How a word stands in a text where it is not the entry itself with an s.
FORMS = {
    "Buckle": r"buckl\w+",
    "Grooves of the frog": r"groove(?! or)s? of the frog",
    "Heel buttress": r"heel buttress",
    "Poisson's ratio": r"Poisson's ratio",
    "Run away": r"runs? away",
    "Run under": r"run under",
}


def anchor(entry: str) -> str:
    """How an entry is linked to."""
    return re.sub(r"[^a-z0-9 -]", "", entry.lower()).replace(" ", "-")


def words_of(path: Path) -> str:
    """A lesson's running words: no chain, abilities, formulas, tables of the course or sources."""
    cells = nbformat.read(path, as_version=4).cells
    text = "\n\n".join(cell.source for cell in cells if cell.cell_type == "markdown")
    text = re.sub(r"\*\*Afterwards you can\*\*\n\n(\d\. .*\n)+", "", text)
    about = r"### (Before a hard case|How the course works|The course and the).*"
    text = re.sub(about, "", text.split("<summary>Sources")[0], flags=re.DOTALL)
    dropped = re.compile(r"# |>|<details>|<summary>|\*\*[^*]+\*\*( \d+ minutes\.)?$|.*you are here")
    return "\n".join(line for line in text.splitlines() if not dropped.match(line))


def form(entry: str) -> re.Pattern[str]:
    """An entry as it stands in a text."""
    plain = re.escape(entry.lower().removesuffix("s"))
    return re.compile(rf"(?<![\w-]){FORMS.get(entry, plain + 's?')}(?![\w-])", re.IGNORECASE)


TEXTS = {path.stem: words_of(path) for path in LESSONS}


@pytest.mark.parametrize("stem", TEXTS)
def test_a_word_is_linked_where_it_first_stands_in_a_lesson(stem: str) -> None:
    for entry in ENTRIES:
        if entry in EVERYDAY or (stem, entry) in OTHER_SENSE:
            continue
        place = rf"\]\(glossary\.md#{re.escape(anchor(entry))}\)"
        link = re.search(place, TEXTS[stem])
        # links to longer words ("toe angle") are no use of the shorter one
        others = re.sub(
            rf"\[[^\]]*\]\((?!glossary\.md#{re.escape(anchor(entry))}\))[^)]*\)", "", TEXTS[stem]
        )
        found = form(entry).search(others)
        if found is None and link is None:
            continue
        assert link, f"{entry!r} is not linked"
        first = re.search(rf"\[[^\]]*{place}", others)
        assert first
        near = "" if found is None else others[found.start() - 40 : found.end() + 30]
        early = found is not None and found.end() < first.start()
        assert not early, f"{entry!r} stands before its link: ...{near}"


def test_every_entry_is_used() -> None:
    lessons = "\n".join(TEXTS.values()) + (ROOT / "lessons/00-orientation.ipynb").read_text("utf-8")
    others = [*(ROOT / "exercises/release").rglob("*.ipynb")]
    others += [
        *(ROOT / "hoofcalc/figures").rglob("*.toml"),
        *(ROOT / "hoofcalc/figures").glob("*_figure.py"),
    ]
    elsewhere = "\n".join(path.read_text("utf-8") for path in others)
    for entry in ENTRIES:
        linked = f"glossary.md#{anchor(entry)})" in lessons
        assert linked or form(entry).search(elsewhere), f"nobody needs {entry!r}"

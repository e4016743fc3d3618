"""The yard cards: each lesson's "On the yard", to cut out, to pin up, or to read on a telephone.

The words stand once, in the lessons. From them come pieces of a page, pages that open without
anything else, and one PDF with four cards on a sheet of A4.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

from hoofcalc import __version__
from hoofcalc._files import write_whole
from hoofcalc._where import course_folder

__all__ = ["YardCard", "card_html", "cards_pdf", "write_cards", "yard_cards"]

PDF = "yard-cards.pdf"
CAUTION = "Compares shapes; diagnoses nothing. Who may trim is a matter of local law."
#: What a page with cards needs; colours are those of the site.
STYLE = """
:root { color-scheme: light dark; --paper: #f7f4ed; --card: #fffefb; --ink: #1e2227;
  --quiet: #565d65; --edge: #777d84; --link: #005f95; }
@media (prefers-color-scheme: dark) { :root { --paper: #14171a; --card: #1d2125; --ink: #eeebe4;
  --quiet: #b1b7be; --edge: #8b939b; --link: #8ccbf0; } }
body { margin: 0 auto; padding: 16px; max-width: 860px; background: var(--paper);
  color: var(--ink); font: 17px/1.5 system-ui, sans-serif; }
a { color: var(--link); display: inline-block; padding: 6px 12px 6px 0; }
h1 { font-size: 26px; line-height: 1.2; }
.yard-card { background: var(--card); border: 1px solid var(--edge); border-radius: 14px;
  padding: 16px; margin: 16px 0; break-inside: avoid; }
.yard-card h2 { font-size: 20px; line-height: 1.3; margin: 0 0 8px; }
.yard-card ul { margin: 0; padding-left: 1.1em; }
.yard-card li { margin: 6px 0; }
.yard-card .small, .small { color: var(--quiet); font-size: 14px; }
@media print { body { background: white; color: black; max-width: none; padding: 0; }
  nav { display: none; } .yard-card { border-style: dashed; border-radius: 0; } }
"""


@dataclass(frozen=True, slots=True)
class YardCard:
    """One lesson's card.

    Parameters
    ----------
    name
        Name of the lesson's file without its ending ("08-underrun").
    title
        The lesson's heading ("08 Underrun").
    lines
        At most ten; the first words of each are set bold by two stars on each side.
    """

    name: str
    title: str
    lines: tuple[str, ...]


@cache
def yard_cards() -> tuple[YardCard, ...]:
    """The cards of all lessons, in their order."""
    return tuple(_read(path) for path in sorted(course_folder("lessons").glob("[0-9]*.ipynb")))


def _read(path: Path) -> YardCard:
    cells = json.loads(path.read_text("utf-8"))["cells"]
    text = "\n\n".join("".join(c["source"]) for c in cells if c["cell_type"] == "markdown")
    part = text.split("## On the yard\n")[1].split("\n## ")[0]
    lines = re.findall(r"^- (.+)$", part, re.MULTILINE)
    unlinked = (re.sub(r"\[([^\]]+)\]\([^)]*\)", r"\1", line) for line in lines)
    # a star at each side of a word makes it lean; a card does without
    plain = (re.sub(r"(?<!\*)\*([^*]+)\*(?!\*)", r"\1", line) for line in unlinked)
    return YardCard(path.stem, text.partition("\n")[0].lstrip("# "), tuple(plain))


# ---------------------------------------------------------------- pages


def card_html(card: YardCard) -> str:
    """One card as a piece of a page; what it should look like is `STYLE`.

    Parameters
    ----------
    card
        One of `yard_cards`.

    Returns
    -------
    str
        HTML: a section with the class "yard-card" and the lesson's name as its id.
    """
    points = "".join(f"<li>{_bold(line)}</li>" for line in card.lines)
    title = html.escape(card.title)
    return (
        f'<section class="yard-card" id="{card.name}" aria-label="{title}"><h2>{title}</h2>'
        f'<ul>{points}</ul><p class="small">{CAUTION}</p></section>'
    )


def _bold(line: str) -> str:
    return re.sub(r"\*\*(.+?)\*\*", r"<strong>\1</strong>", html.escape(line))


def _page(title: str, body: str) -> str:
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f"<title>{html.escape(title)}</title>"
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<style>{STYLE}</style></head>\n<body><main>{body}</main></body></html>\n"
    )


def _pages(cards: Sequence[YardCard]) -> dict[str, str]:
    """All cards on one page, and each on its own, by file name."""
    ways = "".join(f'<a href="#{card.name}">{html.escape(card.title)}</a>' for card in cards)
    head = f'<h1>Yard cards</h1><p><a href="{PDF}">To print and cut out (PDF)</a></p>'
    whole = f"{head}<nav>{ways}</nav>{''.join(map(card_html, cards))}"
    pages = {"yard-cards.html": _page("Yard cards", whole)}
    back = '<nav><a href="yard-cards.html">All cards</a></nav>'
    for card in cards:
        pages[f"{card.name}.html"] = _page(card.title, f"{card_html(card)}{back}")
    return pages


# ---------------------------------------------------------------- paper

_SHEET_MM = (210.0, 297.0)
_CARD_MM = (105.0, 148.5)
_MARGIN_MM, _GAP_MM, _LINE = 9.0, 1.3, 0.47
_TITLE_PT, _SMALL_PT = 15.0, 8.0
#: Sizes of the letters that are tried, largest first [pt].
_SIZES_PT = (12.0, 11.5, 11.0, 10.5, 10.0, 9.5, 9.0)


def cards_pdf(cards: Iterable[YardCard] | None = None) -> bytes:
    """The cards on sheets of A4, four on a sheet, with lines to cut along.

    The letters are those of the font that matplotlib carries along, so that a card looks the same
    everywhere; the same cards give the same bytes. Each card has a bookmark.

    Parameters
    ----------
    cards
        Which; all where nothing is given.

    Returns
    -------
    bytes
        A PDF file.

    Raises
    ------
    ValueError
        If a card's words do not fit on a quarter of a sheet in letters that can be read.
    """
    from fpdf import FPDF  # here: a second of loading
    from matplotlib import get_data_path

    cards = yard_cards() if cards is None else tuple(cards)
    pdf = FPDF(format="A4")
    pdf.set_title("Yard cards")
    pdf.set_lang("en")
    pdf.set_producer(f"hoofcalc {__version__}")
    pdf.set_creation_date(datetime(2026, 1, 1, tzinfo=UTC))  # no clock: the same bytes each time
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.c_margin = 0.0
    for style, name in (("", "DejaVuSans"), ("B", "DejaVuSans-Bold")):
        pdf.add_font("DejaVu", style, str(Path(get_data_path()) / "fonts" / "ttf" / f"{name}.ttf"))
    pdf.add_page()
    size_pt = next((size for size in _SIZES_PT if all(_fits(pdf, c, size) for c in cards)), None)
    if size_pt is None:
        longest = max(cards, key=lambda card: sum(map(len, card.lines)))
        raise ValueError(f"cards must fit on a quarter of a sheet ({longest.name} does not)")
    for number, card in enumerate(cards):
        place = number % 4
        if place == 0:
            if number:
                pdf.add_page()
            _cut_lines(pdf)
        left, top = (place % 2) * _CARD_MM[0], (place // 2) * _CARD_MM[1]
        pdf.start_section(card.title)
        _lay(pdf, card, left, top, size_pt)
    return bytes(pdf.output())


def _fits(pdf: Any, card: YardCard, size_pt: float) -> bool:
    """Whether a card's words fit in letters of this size."""
    return _lay(pdf, card, 0.0, 0.0, size_pt, dry=True) <= _CARD_MM[1] - _MARGIN_MM


def _lay(
    pdf: Any, card: YardCard, left: float, top: float, size_pt: float, *, dry: bool = False
) -> float:
    """Write one card; where its words end [mm from the sheet's top]."""
    wide = _CARD_MM[0] - 2 * _MARGIN_MM

    def write(text: str, down: float, points: float, indent: float = 0.0, style: str = "") -> float:
        from fpdf.enums import MethodReturnValue

        pdf.set_font("DejaVu", style, points)
        pdf.set_xy(left + _MARGIN_MM + indent, down)
        tall: float = pdf.multi_cell(
            wide - indent,
            _LINE * points,
            text,
            align="L",
            markdown=not style,
            dry_run=dry,
            output=MethodReturnValue.HEIGHT,
        )
        return down + tall + _GAP_MM

    down = write(card.title, top + _MARGIN_MM, _TITLE_PT, style="B")
    for line in card.lines:
        write("•", down, size_pt)
        down = write(line, down, size_pt, indent=0.4 * size_pt)
    return write(CAUTION, down + _GAP_MM, _SMALL_PT) - _GAP_MM


def _cut_lines(pdf: Any) -> None:
    """Dashed lines through the middle of the sheet."""
    wide, tall = _SHEET_MM
    pdf.set_draw_color(119, 125, 132)
    pdf.set_line_width(0.2)
    pdf.set_dash_pattern(dash=2, gap=2)
    pdf.line(wide / 2, 0, wide / 2, tall)
    pdf.line(0, tall / 2, wide, tall / 2)
    pdf.set_dash_pattern()


def write_cards(folder: Path) -> list[Path]:
    """Write the cards as one PDF and as pages.

    Parameters
    ----------
    folder
        Where they go; made if it is not there. Files of ours in it are replaced, others stay.

    Returns
    -------
    list of Path
        What was written, the PDF first.
    """
    cards = yard_cards()
    files = {PDF: cards_pdf(cards)}
    files |= {name: text.encode() for name, text in _pages(cards).items()}
    for name, content in files.items():
        write_whole(folder / name, content)
    return [folder / name for name in files]

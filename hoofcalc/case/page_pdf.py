"""The owner's page as PDF: one sheet of paper, its text to be selected and read aloud.

Headings, paragraphs and the picture are marked as such, so that reading programs find them. The
letters are those of the font that matplotlib carries with it, so that a page looks and
measures the same on every computer. The same page gives the same bytes.
"""

from __future__ import annotations

import unicodedata
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hoofcalc.case.storage import CaseError

if TYPE_CHECKING:
    from hoofcalc.pictures.still import StillPicture

#: What the photograph on a page shows.
PHOTOGRAPH_ALT = "The photograph of the foot from the side, from which it was measured."

_WIDE_MM, _TALL_MM, _MARGIN_MM = 210.0, 297.0, 15.0
_TEXT_MM = _WIDE_MM - 2 * _MARGIN_MM
#: Sizes of the letters that are tried, largest first [pt]; below the last nobody likes to read.
_SIZES_PT = tuple(11.0 - 0.25 * step for step in range(13))
_PICTURE_MM, _GAP_MM, _TALLEST_MM = 82.0, 6.0, 60.0
_MM_PER_PT = 25.4 / 72
#: Heights and distances as parts of the size of the letters.
_LINE, _AFTER_TEXT, _BEFORE_HEADING, _AFTER_HEADING = 1.33, 0.35, 0.75, 0.25
_TITLE, _HEADING = 1.5, 1.15
_BULLET = "•"


@dataclass(frozen=True)
class Section:
    """One part of the page.

    Parameters
    ----------
    heading
        What stands over it.
    lines
        One paragraph each.
    kind
        "text"; "picture", text beside the picture; "list", short points; or "note".
    """

    heading: str
    lines: Sequence[str]
    kind: str = "text"


def page_as_pdf(
    title: str,
    sections: Sequence[Section],
    picture: StillPicture,
    day: date,
    photograph: bytes | None = None,
) -> bytes:
    """The page as one sheet of A4; the letters shrink until all of it fits.

    Parameters
    ----------
    title
        What stands at the top, and names the document.
    sections
        What stands under it, in this order.
    picture
        The one picture.
    day
        What the file gives as its day of making, so that the same page has the same bytes.
    photograph
        The photograph, a JPEG file, to stand beside the picture; None for none.

    Returns
    -------
    bytes
        A PDF file of one page.

    Raises
    ------
    CaseError
        If the text does not fit on one page in letters that can be read, or holds letters that
        the font does not have.
    """
    from fpdf import FPDF, ViewerPreferences  # here: a second of loading
    from matplotlib import get_data_path

    pdf = FPDF(format="A4")
    pdf.set_title(title)
    pdf.set_lang("en")
    pdf.set_producer("hoofcalc")
    pdf.set_creation_date(datetime(day.year, day.month, day.day, tzinfo=UTC))
    pdf.viewer_preferences = ViewerPreferences(display_doc_title=True)
    pdf.set_margin(_MARGIN_MM)
    pdf.set_auto_page_break(False)
    pdf.c_margin = 0.0
    for style, name in (("", "DejaVuSans"), ("B", "DejaVuSans-Bold")):
        pdf.add_font("DejaVu", style, str(Path(get_data_path()) / "fonts" / "ttf" / f"{name}.ttf"))
    pdf.add_page()
    known = pdf.fonts["dejavu"].cmap
    texts = [title, *(line for section in sections for line in (section.heading, *section.lines))]
    for text in texts:
        _refuse_letters(text, known)

    def fits(size_pt: float) -> bool:
        end = _Sheet(pdf, size_pt, picture, photograph, dry=True).lay(title, sections)
        return end <= _TALL_MM - _MARGIN_MM

    place = bisect_left(_SIZES_PT, True, key=fits)  # the largest: what fits, fits when smaller
    if place < len(_SIZES_PT):
        _Sheet(pdf, _SIZES_PT[place], picture, photograph, dry=False).lay(title, sections)
        return bytes(pdf.output())
    longest = max(texts, key=len)
    raise CaseError(
        f'the page does not fit on one sheet of paper: shorten the text that begins with "'
        f'{longest[:30]}" ({len(longest)} letters)'
    )


@dataclass(frozen=True)
class _Sheet:
    """The page laid out in one size of letters; when dry, only measured."""

    pdf: Any
    size_pt: float
    picture: StillPicture
    photograph: bytes | None
    dry: bool

    @property
    def em(self) -> float:
        """Size of the letters [mm]."""
        return self.size_pt * _MM_PER_PT

    def lay(self, title: str, sections: Sequence[Section]) -> float:
        """Write everything from the top down; where it ends [mm from the top]."""
        down = self._write(title, _MARGIN_MM, _MARGIN_MM, _TEXT_MM, _TITLE, "H1")
        for section in sections:
            down += _BEFORE_HEADING * self.em
            down = self._write(section.heading, _MARGIN_MM, down, _TEXT_MM, _HEADING, "H2")
            down += _AFTER_HEADING * self.em
            down = getattr(self, f"_{section.kind}")(section.lines, down)
        return down

    def _text(self, lines: Sequence[str], down: float, left: float = 0.0, wide: float = 0) -> float:
        for line in lines:
            down = self._write(line, _MARGIN_MM + left, down, wide or _TEXT_MM)
            down += _AFTER_TEXT * self.em
        return down

    def _picture(self, lines: Sequence[str], down: float) -> float:
        """Text at the left, the picture at the right; two pictures stand above the text."""
        right = _WIDE_MM - _MARGIN_MM - _PICTURE_MM
        if self.photograph is None:
            end = self._image(self.picture.png, self.picture.alt, right, down)
            return max(self._text(lines, down, wide=_TEXT_MM - _PICTURE_MM - _GAP_MM), end)
        end = max(
            self._image(self.photograph, PHOTOGRAPH_ALT, _MARGIN_MM, down),
            self._image(self.picture.png, self.picture.alt, right, down),
        )
        return self._text(lines, end + _AFTER_TEXT * self.em)

    def _image(self, file: bytes, alt: str, left: float, down: float) -> float:
        """A picture as wide as there is room; where it ends [mm]."""
        from PIL import Image

        with Image.open(BytesIO(file)) as seen:
            wide = min(_PICTURE_MM, _TALLEST_MM * seen.width / seen.height)
            tall = wide * seen.height / seen.width
        if not self.dry:
            self.pdf.image(BytesIO(file), x=left, y=down, w=wide, alt_text=alt)
        return down + tall

    def _list(self, lines: Sequence[str], down: float) -> float:
        """Short points in two columns."""
        column = (_TEXT_MM - _GAP_MM) / 2
        half = (len(lines) + 1) // 2
        ends = []
        for left, points in ((0.0, lines[:half]), (column + _GAP_MM, lines[half:])):
            here = down
            for point in points:
                self._write(_BULLET, _MARGIN_MM + left, here, self.em)
                here = self._write(point, _MARGIN_MM + left + self.em, here, column - self.em)
            ends.append(here)
        return max(ends) + _AFTER_TEXT * self.em

    def _note(self, lines: Sequence[str], down: float) -> float:
        """Text with a line along its left side."""
        end = self._text(lines, down, left=self.em, wide=_TEXT_MM - self.em)
        if not self.dry:
            self.pdf.set_draw_color(85)
            self.pdf.set_line_width(0.6)
            self.pdf.line(_MARGIN_MM, down, _MARGIN_MM, end - _AFTER_TEXT * self.em)
        return end

    def _write(
        self, text: str, left: float, down: float, wide: float, factor: float = 1.0, part: str = "P"
    ) -> float:
        """One paragraph or heading; where it ends [mm]."""
        from fpdf.enums import MethodReturnValue

        self.pdf.set_font("DejaVu", "" if part == "P" else "B", self.size_pt * factor)
        self.pdf.set_xy(left, down)
        with self._part(part):
            height: float = self.pdf.multi_cell(
                wide,
                _LINE * self.em * factor,
                _plain(text),
                align="L",
                dry_run=self.dry,
                output=MethodReturnValue.HEIGHT,
            )
        return down + height

    @contextmanager
    def _part(self, part: str) -> Iterator[None]:
        """Say what a text is, in the words of ISO 32000-1 (14.8.4, from memory).

        Without, nothing but the picture would be read aloud: the library marks that alone, and
        has no public way to mark text.
        """
        marked = getattr(self.pdf, "_marked_sequence", None)
        if self.dry or marked is None:
            yield
            return
        with marked() as element:
            element.s = f"/{part}"
            yield


def _plain(text: str) -> str:
    """Accents joined to their letters, any run of blanks one blank."""
    return " ".join(unicodedata.normalize("NFC", text).split())


def _refuse_letters(text: str, known: Any) -> None:
    """A CaseError for letters that the font lacks, or that run from right to left."""
    for letter in _plain(text):
        if ord(letter) not in known or unicodedata.bidirectional(letter) in ("R", "AL"):
            raise CaseError(
                f'the page as PDF cannot write "{letter}": it knows Latin, Greek and Cyrillic '
                "letters. Write the name or the plan with these"
            )

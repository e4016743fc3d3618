"""The yard cards say what the lessons say, fit on their paper, and need no more than the course."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from hoofcalc._where import course_folder
from hoofcalc.cli import main
from hoofcalc.site.cards import YardCard, card_html, cards_pdf, write_cards, yard_cards


def bare(text: str) -> str:
    """Letters and figures only: how words are set does not count."""
    return re.sub(r"[^\w±]", "", re.sub(r"\]\([^)]*\)", "", text))


def test_every_lesson_has_a_card_with_the_lessons_own_words() -> None:
    lessons = sorted(course_folder("lessons").glob("[0-9]*.ipynb"))
    assert [card.name for card in yard_cards()] == [path.stem for path in lessons]
    for card, path in zip(yard_cards(), lessons, strict=True):
        cells = nbformat.read(path, as_version=4).cells
        words = bare("\n".join(cell.source for cell in cells))
        assert 4 <= len(card.lines) <= 10
        assert card.lines[-1].startswith("**Vet:**")
        assert bare(card.title) in words
        assert bare("".join(card.lines)) in words, "the lines, all of them, in their order"


def test_the_sheets_hold_every_word(tmp_path: Path) -> None:
    pdf, *pages = write_cards(tmp_path / "cards")
    content = pdf.read_bytes()
    assert content == cards_pdf(), "the same cards, the same bytes"
    assert len(re.findall(rb"/Type\s*/Page\b", content)) == 3, "four cards on a sheet"
    assert re.findall(rb"/MediaBox \[([^]]+)\]", content) == [b"0 0 595.28 841.89"], "A4"
    assert len(pages) == len(yard_cards()) + 1
    for page in pages:
        text = page.read_text("utf-8")
        assert not re.search(r'(src|href)="(https?:)?//', text), "a page opens without the network"
        for target in re.findall(r'href="([^"#]+)"', text):
            assert (page.parent / target).exists(), target
    program = shutil.which("pdftotext")
    if program is None:
        pytest.skip("pdftotext (poppler) is not there to read the PDF with")
    read = subprocess.run([program, "-raw", pdf, "-"], capture_output=True, check=True).stdout
    found = bare(read.decode())
    for card in yard_cards():
        assert bare(card.title) in found
        for line in card.lines:
            assert bare(line) in found, line


def test_a_card_on_a_page_is_safe_and_named() -> None:
    card = YardCard("99-odd", "99 <b>", ("**Look** for a < b & c.", "**Vet:** lame."))
    text = card_html(card)
    assert "<strong>Look</strong> for a &lt; b &amp; c." in text
    assert 'id="99-odd"' in text
    assert "<b>" not in text


def test_too_many_words_for_a_card_are_refused() -> None:
    with pytest.raises(ValueError, match=r"cards must fit on a quarter of a sheet \(long does not"):
        cards_pdf([YardCard("long", "Long", ("words " * 60,) * 10)])


def test_the_command_writes_them_and_replaces_its_own_only(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "mine.txt").write_text("mine", "utf-8")
    for _ in range(2):
        assert main(["cards", str(tmp_path)]) == 0
    assert "yard-cards.pdf" in capsys.readouterr().out
    assert (tmp_path / "mine.txt").read_text("utf-8") == "mine"
    assert main(["cards", str(tmp_path / "mine.txt")]) == 1
    assert "cannot be written" in capsys.readouterr().err


def test_they_need_no_notebook_and_none_of_the_libraries_for_own_photographs(
    tmp_path: Path,
) -> None:
    code = (
        "import sys\n"
        "for name in ('ipywidgets', 'anywidget', 'nbconvert', 'cv2', 'av', 'voila'):\n"
        "    sys.modules[name] = None\n"
        "from pathlib import Path\n"
        "from hoofcalc.site.cards import write_cards\n"
        f"print(len(write_cards(Path({str(tmp_path)!r}))))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "13", done.stderr

"""The owner's page: says what was measured and what it is worth, loads nothing, judges nothing."""

from __future__ import annotations

import re
import shutil
import subprocess
import unicodedata
import zlib
from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofcalc.case import Measured, OwnerPage, Plan, owner_page, save_page
from hoofcalc.case.owner_page import LONGEST_WORK
from hoofcalc.case.storage import CaseError
from hoofcalc.profile import Profile, with_error
from hoofcalc.reading import VET_SIGNS, compare

DAY = date(2026, 3, 1)


def visit(
    toe: float, heel: float, weeks: float, error: float = 0.8, since: int | None = 42
) -> Measured:
    return Measured(
        day=DAY + timedelta(weeks=weeks),
        profile=Profile.from_measures(toe, heel, 85, 35, 110),
        point_error_mm=error,
        days_since=since,
    )


def plan(weeks: float = 30) -> Plan:
    return Plan(
        work="Trim by little, and look again.",
        next_visit=DAY + timedelta(weeks=weeks),
        toe_deg=(50, 51, 52),
        heel_deg=(35, 38, 41),
    )


def trimmed(one: Measured) -> Measured:
    return replace(one, moment="after trim")


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))
        if tag not in ("meta", "img"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_it_is_one_whole_page_that_loads_nothing() -> None:
    page = owner_page("Test", "left fore", [visit(52, 40, 0), visit(51, 39, 6)], plan()).html
    tags = _Tags()
    tags.feed(page)
    assert not tags.open, "a tag is left open"
    names = [name for name, _ in tags.seen]
    assert names.count("img") == 1
    assert names.count("h1") == 1
    (image,) = [attributes for name, attributes in tags.seen if name == "img"]
    assert str(image["src"]).startswith("data:image/png;base64,")
    assert len(str(image["alt"])) > 40
    assert not {"script", "link", "iframe"} & set(names)
    assert "http" not in page


def test_the_words_are_those_of_the_page() -> None:
    page = owner_page("Test", "left fore", [visit(52, 40, 0), visit(51, 39, 6)], plan())
    plain = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.html))
    for line in page.words.splitlines():
        assert line.strip() in plain
    assert repr(page) == page.words


def test_every_page_says_when_to_call_the_vet_and_makes_no_diagnosis() -> None:
    for visits, what in (
        ([visit(52, 40, 0)], None),
        ([visit(52, 20, 0), visit(48, 15, 7)], plan()),
    ):
        words = owner_page("Test", "left fore", visits, what).words
        for sign in VET_SIGNS:
            assert sign in words
        assert "not a diagnosis" in words
        for unexplained in ("obliquity", "utilisation", "tubule", "underrun", "standard error"):
            assert unexplained not in words.lower()
        said = words.split("When to call the vet")[0].lower()
        for verdict in ("bad", "good", "wrong", "collapse", "lame", "healthy", "normal"):
            assert not re.search(rf"\b{verdict}\b", said)
        assert not re.search(r"colou?r:#?(red|green|[0f]{3}\b)", words)


def test_a_change_is_called_one_only_beyond_the_error_of_two_photographs() -> None:
    # the limit by random draws, not by the formula: 1 in 160 differences of an unchanged foot is
    # larger, so that among eight measures any is in one of twenty comparisons
    foot = Profile.from_measures(52, 40, 85, 35, 110)
    drawn = with_error(foot, 0.8, 40_000, np.random.default_rng(3)).heel_angle_deg
    limit = float(np.quantile(np.abs(drawn[::2] - drawn[1::2]), 1 - 0.05 / 8))
    small, large = limit - 0.4, limit + 0.4
    for by, counts in ((small, False), (large, True)):
        for sign, way in ((1, "steeper"), (-1, "flatter")):
            words = owner_page(
                "Test", "left fore", [visit(52, 40, 0), visit(52, 40 + sign * by, 6)]
            ).words
            (line,) = [
                one for one in words.splitlines() if "back of the hoof" in one and "Since" in one
            ]
            assert f"{by:.1f} degrees {way}" in line
            assert ("very likely it has changed" in line) is counts
            assert ("may be no change at all" in line) is not counts


def test_more_point_error_hides_a_change() -> None:
    def line(error: float) -> str:
        visits = [visit(52, 40, 0, error), visit(52, 35, 6, error)]
        return owner_page("Test", "left fore", visits).words

    assert "very likely it has changed" in line(0.4)
    assert "very likely it has changed" not in line(2.5)


def test_unlike_intervals_are_said() -> None:
    like = owner_page("T", "left fore", [visit(52, 40, 0), visit(52, 40, 6)]).words
    unlike = owner_page("T", "left fore", [visit(52, 40, 0), visit(52, 40, 12, since=84)]).words
    assert "not quite alike" not in like
    assert "12 weeks this time, for 6 weeks last time" in unlike


def test_two_weeks_more_or_less_are_alike_and_a_day_beyond_is_not() -> None:
    def told(before: int | None, now: int | None) -> bool:
        visits = [visit(52, 40, 0, since=before), visit(52, 40, 20, since=now)]
        return "not quite alike" in owner_page("T", "left fore", visits).words

    for days, unlike in ((14, False), (15, True)):
        for first in (0, 42):
            assert told(first, first + days) is unlike
            assert told(first + days, first) is unlike
    assert not told(None, 42)
    assert not told(42, None)


def test_a_change_and_what_measuring_explains_are_told_apart() -> None:
    """By one decimal, and by as many more as they need so as not to look the same."""
    decimals = set()
    for step in range(950, 1200):
        pair = [visit(52, 40, 0, 0.1), visit(52, 40 + step / 1000, 6, 0.1)]
        words = owner_page("T", "left fore", pair).words
        (line,) = [one for one in words.splitlines() if "(heel) reads" in one]
        if "may be no change" in line:
            continue
        found = re.search(r"reads ([\d.]+) degrees steeper\. .* up to ([\d.]+): very likely", line)
        assert found
        change, explained = found.groups()
        digits = len(change.partition(".")[2])
        assert digits == len(explained.partition(".")[2])
        assert float(change) > float(explained)
        needed = float(change) - float(explained) <= 10 ** (1 - digits)
        assert digits == 1 or needed, "no more decimals than it takes"
        decimals.add(digits)
    assert decimals >= {1, 2, 3}


@pytest.mark.parametrize("by", ["", "A. Smith"])
@pytest.mark.parametrize("reached", ["", "the yard's board"])
def test_who_measured_and_how_to_ask_stands_there_where_it_is_said(by: str, reached: str) -> None:
    words = owner_page(
        "T", "left fore", [visit(52, 40, 0)], measured_by=by, reached_by=reached
    ).words
    assert ("Measured by A. Smith." in words) is bool(by)
    assert ("For questions: the yard's board." in words) is bool(reached)
    assert words.count("Measured by") == bool(by)
    assert words.count("For questions") == bool(reached)


def test_a_remark_on_an_earlier_visit_stands_once() -> None:
    """What is true of both is said of this one; what is true of the earlier alone, beside it."""

    def said(before: str, now: str) -> list[str]:
        pair = [
            replace(visit(52, 40, 0), remark=before),
            replace(visit(52, 40, 6), remark=now),
        ]
        words = owner_page("T", "left fore", pair).words
        return [line.strip() for line in words.splitlines() if line.strip() in ("One.", "Two.")]

    assert said("", "") == []
    assert said("One.", "One.") == ["One."]
    assert said("", "Two.") == ["Two."]
    assert said("One.", "Two.") == ["Two.", "One."]
    assert said("One.", "") == ["One."]


def test_a_band_may_be_narrow_but_not_turned_round() -> None:
    assert replace(plan(), toe_deg=(50, 50, 50)).toe_deg == (50, 50, 50)
    for turned in ((51, 50, 52), (50, 53, 52)):
        with pytest.raises(ValueError, match="toe_deg must rise from low to high"):
            replace(plan(), toe_deg=turned)


def test_a_full_page_is_printed_in_smaller_letters() -> None:
    """The area of a letter grows with the square of its size, and the sheet stays as it is."""

    def print_pt(letters: int) -> tuple[float, int]:
        page = owner_page("T", "left fore", [visit(52, 40, 0)], other_feet=["x" * letters])
        (size,) = re.findall(r"font-size: ([\d.]+)pt; line-height", page.html)
        return float(size), sum(len(line) for part in page.sections for line in part.lines)

    small, full, fuller = (print_pt(letters) for letters in (1, 2000, 4000))
    assert small[0] == 10.5
    assert 10.5 > full[0] > fuller[0]
    for size, letters in (full, fuller):
        assert size**2 * letters == pytest.approx(245_000, rel=0.01)


def test_one_visit_has_no_change_and_three_also_look_back_to_the_first() -> None:
    one = owner_page("T", "left fore", [visit(52, 40, 0, since=None)]).words
    assert "first measurement. Changes can be told from the next visit on" in one
    three = owner_page("T", "left fore", [visit(52, 40, w) for w in (0, 6, 12)]).words
    assert three.count("Since last time") == three.count("Since the first measurement") == 2


def test_invented_horses_are_said_to_be_and_names_cannot_break_the_page() -> None:
    page = owner_page("<b>&", "left fore", [visit(52, 40, 0)], invented=True)
    assert "&lt;b&gt;&amp;" in page.html
    assert "<b>" not in page.html
    assert "invented" in page.words
    assert "invented" not in owner_page("T", "left fore", [visit(52, 40, 0)]).words


def test_what_cannot_be_a_page_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="at least one visit"):
        owner_page("T", "left fore", [])
    with pytest.raises(ValueError, match="oldest first"):
        owner_page("T", "left fore", [visit(52, 40, 6), visit(52, 40, 0)])
    with pytest.raises(ValueError, match="after the last visit"):
        owner_page("T", "left fore", [visit(52, 40, 6)], plan(weeks=2))
    with pytest.raises(ValueError, match="oldest first"):
        owner_page("T", "left fore", [trimmed(visit(52, 40, 6)), visit(52, 40, 6)])
    with pytest.raises(ValueError, match="toe_angle_deg in errors must be above 0"):
        replace(visit(52, 40, 6), errors={"toe_angle_deg": 0.0})
    with pytest.raises(ValueError, match="moment must be one of"):
        replace(visit(52, 40, 6), moment="at lunch")
    with pytest.raises(ValueError, match="heel_deg must rise"):
        Plan(work="", next_visit=DAY, toe_deg=(1, 2, 3), heel_deg=(3, 2, 1))
    with pytest.raises(ValueError, match="point_error_mm must be above 0"):
        visit(52, 40, 0, error=0)
    many = Profile.from_measures([52, 53], 40, 85, 35, 110)
    with pytest.raises(ValueError, match="one foot"):
        Measured(day=DAY, profile=many, point_error_mm=1)


def test_a_file_is_never_written_over(pages: list[OwnerPage], tmp_path: Path) -> None:
    page = pages[0]
    assert save_page(page, tmp_path / "page.PDF").read_bytes() == page.pdf
    target = tmp_path / "page.html"
    assert save_page(page, target) == target
    assert target.read_text("utf-8") == page.html
    target.write_text("mine", "utf-8")
    with pytest.raises(FileExistsError, match="left as it is"):
        save_page(page, target)
    assert target.read_text("utf-8") == "mine"


# ---- errors and what is compared with what ---------------------------------------------------


def test_errors_that_a_photograph_brought_count_before_those_of_the_points() -> None:
    told = {"heel_angle_deg": 4.0, "toe_length_mm": 1.0}
    one = replace(visit(52, 40, 0), errors=told)
    assert one.error_deg("heel") == 4.0
    assert one.error_deg("toe") == visit(52, 40, 0).error_deg("toe")
    # 95 % of a normal: 1.96 standard errors either way
    assert "between 32 and 48" in owner_page("T", "left fore", [one]).words


@settings(max_examples=30, deadline=None)
@given(
    toe=st.floats(46, 58),
    heel=st.floats(30, 50),
    errors=st.tuples(*[st.floats(0.3, 3.0)] * 4),
)
def test_page_and_comparison_of_visits_call_the_same_changes_real(toe, heel, errors) -> None:
    names = ("toe_angle_deg", "heel_angle_deg")
    then = replace(visit(52, 40, 0), errors=dict(zip(names, errors[:2], strict=True)))
    now = replace(visit(toe, heel, 6), errors=dict(zip(names, errors[2:], strict=True)))
    words = owner_page("T", "left fore", [then, now]).words
    found = compare(
        {then.day: then.profile, now.day: now.profile},
        errors={then.day: then.errors, now.day: now.errors},
    )
    for difference in found.differences:
        if difference.measure in names:
            end = difference.measure.split("_")[0]
            (line,) = [one for one in words.splitlines() if f"({end}) reads" in one]
            assert ("very likely it has changed" in line) is difference.exceeds
            told = re.search(r"explains up to ([\d.]+):", line)
            assert (told is not None) is difference.exceeds
            if told:
                read = float(re.search(r"reads ([\d.]+) degrees", line)[1])
                assert read > float(told[1]), "what is printed must not contradict itself"
                assert float(told[1]) == pytest.approx(difference.counts_from, abs=0.051)


def test_like_is_compared_with_like() -> None:
    visits = [visit(52, 40, 0), trimmed(visit(54, 44, 0)), visit(51, 36, 6)]
    before = owner_page("T", "left fore", visits).words
    assert "reads 4.0 degrees flatter" in before, "36 against 40, not against 44"
    assert "before the trim" in before
    assert "after the trim" not in before
    after = owner_page("T", "left fore", [*visits, trimmed(visit(54, 43, 6))])
    assert "reads 1.0 degrees flatter" in after.words, "43 against 44"
    assert "photograph from the side, after the trim" in after.words
    assert "All that is compared here was measured after the trim." in after.words
    changed = next(each for each in after.sections if each.heading == "What changed")
    assert changed.lines[0].startswith("All that is compared"), "before what it is about"
    assert after.before is visits[1]
    assert "not quite alike" not in after.words
    first = owner_page("T", "left fore", visits[:2])
    assert "first measurement after the trim" in first.words
    assert "Since" not in first.words
    assert first.before is None


def test_other_feet_have_a_part_of_their_own_where_there_are_any() -> None:
    alone = owner_page("T", "left fore", [visit(52, 40, 0)])
    assert "side by side" not in alone.words
    both = owner_page("T", "left fore", [visit(52, 40, 0)], other_feet=["In degrees: 52 and 50."])
    (part,) = [each for each in both.sections if "side by side" in each.heading]
    assert "In degrees: 52 and 50." in part.lines


def test_no_change_has_no_direction() -> None:
    words = owner_page("T", "left fore", [visit(52, 40, 0), visit(52.02, 40, 6)]).words
    assert words.count("reads the same.") == 2
    assert "0.0 degrees" not in words


def test_words_of_the_trade_are_explained_where_they_stand() -> None:
    words = owner_page("T", "left fore", [visit(52, 40, 0)]).words.lower()
    for term in ("sole", "frog", "coronary band", "laminitis"):
        assert f"{term} is" in words or f"{term} the" in words


# ---- on paper --------------------------------------------------------------------------------

NAMES = (
    "Wisp",
    "Żółw Ærøskøbing Ñandú Čaj Ðurđica Şeker Ľubomír Ōkami Íðunn",
    "Жуковская d'Été “O’Neill” „Blitz“ «Nuit» & <b>Söhne</b> \\ (100%) #1",
    "e\u0301toile a\u0308nderung Ўладзіслава Їжачок",
    "W" * 60,
)
WORKS = ("Look again.", ("Little by little, äöü. " * 50)[:LONGEST_WORK], "W" * LONGEST_WORK)


def full(name: str, work: str) -> OwnerPage:
    """A page with all that there can be to say."""
    visits = [visit(52, 40, 0), visit(51, 39, 6), visit(49, 33, 18, since=84)]
    return owner_page(name, "right hind", visits, replace(plan(), work=work), invented=True)


@pytest.fixture(scope="module")
def pages() -> list[OwnerPage]:
    """Pages with the names and plans that are hardest to set."""
    return [full(NAMES[2], WORKS[1]), full(NAMES[3], WORKS[0]), full(NAMES[4], WORKS[2])]


def pages_of(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def spoken(pdf: bytes, tmp_path: Path) -> str:
    """The text of a PDF as a reading program finds it."""
    program = shutil.which("pdftotext")
    if program is None:
        pytest.skip("pdftotext (poppler) is not there to read the PDF with")
    path = tmp_path / "page.pdf"
    path.write_bytes(pdf)
    done = subprocess.run([program, path, "-"], capture_output=True, check=True, timeout=30)
    return re.sub(r"\s+", " ", done.stdout.decode())


def one_sheet(pdf: bytes) -> None:
    assert pdf.startswith(b"%PDF-1.")
    assert pages_of(pdf) == 1
    (box,) = re.findall(rb"/MediaBox \[([^]]+)\]", pdf)
    # ISO 216: 210 by 297 mm, in points of 1/72 inch
    assert [float(at) for at in box.split()] == pytest.approx([0, 0, 595.28, 841.89], abs=0.01)


def all_words(page: OwnerPage, tmp_path: Path) -> None:
    found = spoken(page.pdf, tmp_path).replace(" ", "")
    for line in page.words.splitlines():
        assert re.sub(r"\s", "", unicodedata.normalize("NFC", line)) in found


def test_the_pdf_is_one_sheet_of_a4_whatever_name_and_plan(pages: list[OwnerPage]) -> None:
    for page in pages:
        one_sheet(page.pdf)


def test_every_word_of_the_page_can_be_read_out_of_the_pdf(
    pages: list[OwnerPage], tmp_path: Path
) -> None:
    for page in pages:
        all_words(page, tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_every_name_with_the_longest_plan_is_one_sheet(name: str, tmp_path: Path) -> None:
    page = full(name, WORKS[1])
    one_sheet(page.pdf)
    all_words(page, tmp_path)


def test_the_pdf_says_title_language_and_what_is_drawn_and_nothing_of_the_maker(
    pages: list[OwnerPage],
) -> None:
    page = pages[1]
    pdf = page.pdf
    assert b"/Lang (en)" in pdf
    assert b"/DisplayDocTitle true" in pdf
    assert ("\ufeff" + page.title).encode("utf-16-be").hex().encode() in pdf
    assert page.picture.alt[:20].encode("utf-16-be").hex().encode() in pdf
    assert pdf.count(b"/Subtype /Image") >= 1
    for said in (b"/Author", b"/Subject", b"/Keywords", b"/GPS", str(Path.home()).encode()):
        assert said not in pdf
    assert re.findall(rb"/CreationDate \(D:(\d{8})", pdf) == [b"20260705"], "the visit's own day"
    assert b"/ModDate" not in pdf


def test_headings_paragraphs_and_picture_are_marked_for_those_who_listen(
    pages: list[OwnerPage],
) -> None:
    page = pages[1]
    marked = Counter(re.findall(rb"/S /(\w+)\n", page.pdf))
    assert marked[b"H1"] == marked[b"Figure"] == 1
    assert marked[b"H2"] == len(page.sections) == 5
    # each paragraph, and the dot before each of the signs
    assert marked[b"P"] == sum(len(one.lines) for one in page.sections) + len(VET_SIGNS)


def test_the_same_page_has_the_same_bytes(pages: list[OwnerPage]) -> None:
    again = full(NAMES[3], WORKS[0])
    assert again.pdf == pages[1].pdf
    assert again.html == pages[1].html
    assert again.pdf != pages[0].pdf


def test_the_letters_of_the_pdf_are_in_it_and_can_be_selected(pages: list[OwnerPage]) -> None:
    pdf = pages[0].pdf
    streams = re.findall(rb"stream\n(.*?)\nendstream", pdf, re.DOTALL)
    maps = [zlib.decompress(each) if each[:1] == b"x" else each for each in streams]
    assert sum(b"begincmap" in each for each in maps) == 2, "which letter each sign stands for"
    assert pdf.count(b"/FontFile2") == 2, "regular and bold, embedded"
    assert len(pdf) < 250_000, "only the letters that are used"


def test_too_much_for_one_page_is_refused_in_words() -> None:
    with pytest.raises(CaseError, match=f"{LONGEST_WORK + 1} letters, {LONGEST_WORK} fit"):
        owner_page("T", "left fore", [visit(52, 40, 0)], replace(plan(), work="x" * 901))
    with pytest.raises(CaseError, match="name of the horse is too long"):
        owner_page("x" * 101, "left fore", [visit(52, 40, 0)])
    foot = "a foot with a very long description " * 60
    with pytest.raises(CaseError, match="does not fit on one sheet of paper"):
        _ = owner_page("T", foot, [visit(52, 40, 0)]).pdf


@pytest.mark.parametrize("name", ["Pony 🐴", "猫", "שלום", "\u0645"])
def test_letters_that_cannot_be_written_are_named(name: str) -> None:
    page = owner_page(name, "left fore", [visit(52, 40, 0)])
    with pytest.raises(CaseError, match=f'cannot write "{name[-1] if "P" in name else name[0]}"'):
        _ = page.pdf
    assert name in page.html, "the HTML page leaves the letters to the browser"

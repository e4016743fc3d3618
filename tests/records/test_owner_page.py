"""The owner's page: says what was measured and what it is worth, loads nothing, judges nothing."""

from __future__ import annotations

import re
from datetime import date, timedelta
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest

from hoofcalc.profile import Profile, with_error
from hoofcalc.reading import VET_SIGNS
from hoofcalc.records import Measured, Plan, owner_page, save_page

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
    # the limit by random draws, not by the formula: 95 % of differences of an unchanged foot
    foot = Profile.from_measures(52, 40, 85, 35, 110)
    drawn = with_error(foot, 0.8, 40_000, np.random.default_rng(3)).heel_angle_deg
    limit = float(np.quantile(np.abs(drawn[::2] - drawn[1::2]), 0.9545))
    small, large = limit - 0.3, limit + 0.3
    for by, counts in ((small, False), (large, True)):
        for sign, way in ((1, "steeper"), (-1, "flatter")):
            words = owner_page(
                "Test", "left fore", [visit(52, 40, 0), visit(52, 40 + sign * by, 6)]
            ).words
            (line,) = [
                one for one in words.splitlines() if "back of the hoof" in one and "Since" in one
            ]
            assert f"{by:.1f} degrees {way}" in line
            assert ("more than the error" in line) is counts
            assert ("within the error" in line) is not counts


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
    with pytest.raises(ValueError, match="heel_deg must rise"):
        Plan(work="", next_visit=DAY, toe_deg=(1, 2, 3), heel_deg=(3, 2, 1))
    with pytest.raises(ValueError, match="point_error_mm must be above 0"):
        visit(52, 40, 0, error=0)
    many = Profile.from_measures([52, 53], 40, 85, 35, 110)
    with pytest.raises(ValueError, match="one foot"):
        Measured(day=DAY, profile=many, point_error_mm=1)


def test_a_file_is_never_written_over(tmp_path: Path) -> None:
    page = owner_page("T", "left fore", [visit(52, 40, 0)])
    target = tmp_path / "page.html"
    assert save_page(page, target) == target
    assert target.read_text("utf-8") == page.html
    target.write_text("mine", "utf-8")
    with pytest.raises(FileExistsError, match="left as it is"):
        save_page(page, target)
    assert target.read_text("utf-8") == "mine"

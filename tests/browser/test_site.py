"""The lessons as plain pages: whole, light, linked, described, and moving without Jupyter."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from hoofcalc._where import course_folder
from hoofcalc.figures import EVERY_FIGURE
from hoofcalc.site.course import write_site

pytestmark = [pytest.mark.slow, pytest.mark.timeout(900)]
LESSONS = sorted(path.stem for path in course_folder("lessons").glob("*.ipynb"))
MOST_BYTES = 2_000_000


class Reader(HTMLParser):
    """What a page links to, names and shows."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: set[str] = set()
        self.pictures: list[dict[str, str | None]] = []
        self.fetched: list[str] = []
        self.headings: list[int] = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if given.get("id"):
            self.ids.add(given["id"])
        if tag == "a" and given.get("href"):
            self.links.append(given["href"])
        if tag == "img":
            self.pictures.append(given)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        for name in ("src", "href"):
            if tag in ("img", "script", "link") and (given.get(name) or "data:")[:5] != "data:":
                self.fetched.append(given[name])


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("site")
    write_site(folder, tell=lambda line: None)
    return folder


@pytest.fixture(scope="module")
def read(site) -> dict[str, Reader]:
    return {path.name: Reader(path.read_text("utf-8")) for path in site.glob("*.html")}


def test_every_lesson_the_glossary_and_a_front_page_are_there(read):
    assert set(read) == {"index.html", "glossary.html", *(f"{name}.html" for name in LESSONS)}
    assert [f"{name}.html" for name in LESSONS] == [
        link for link in read["index.html"].links if re.match(r"\d\d-", link)
    ]


def test_every_link_leads_to_a_place_on_the_site(read):
    for name, page in read.items():
        for link in page.links:
            target, _, place = link.partition("#")
            assert not target.startswith("http"), f"{name}: {link} leads off the site"
            there = read.get(target or name)
            assert there is not None, f"{name}: {link}"
            assert not place or place in there.ids, f"{name}: {link}: no such place"


def test_every_picture_is_described_and_nothing_is_fetched(read):
    for name, page in read.items():
        assert not page.fetched, f"{name} fetches {page.fetched}"
        for picture in page.pictures:
            assert len(picture.get("alt") or "") > 30, f"{name}: a picture without description"
        assert page.headings[0] == 1
        assert page.headings.count(1) == 1, name


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_page_is_light(site, lesson):
    assert (site / f"{lesson}.html").stat().st_size < MOST_BYTES


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_answer_to_every_question_can_be_opened(site, lesson):
    text = (site / f"{lesson}.html").read_text("utf-8")
    assert text.count("<details>") >= 2
    assert "Run this cell" not in text


@pytest.mark.browser
@pytest.mark.parametrize("lesson", LESSONS)
def test_a_figure_moves_and_a_page_is_accessible(site, lesson, browser):
    """axe-core's rules for WCAG 2 A and AA, contrast among them, on a telephone's width."""
    from axe_playwright_python.sync_playwright import Axe

    page = browser.new_page()
    page.set_viewport_size({"width": 390, "height": 844})
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.goto((site / f"{lesson}.html").as_uri())
    slider = page.locator("input[type=range]").first
    slider.wait_for()
    said = page.locator("[aria-live]").first
    before = said.inner_text()
    slider.focus()
    page.keyboard.press("End")
    at_end = said.inner_text()
    page.keyboard.press("Home")
    at_home = said.inner_text()
    assert len({before, at_end, at_home}) >= 2, "the sentence does not follow the slider"
    assert page.evaluate("document.documentElement.scrollWidth") <= 391, "wider than a telephone"
    found = Axe().run(
        page, options={"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21aa"]}}
    )
    page.close()
    assert not troubles
    problems = [
        f"{rule['id']}: {rule['help']}: {rule['nodes'][0]['html'][:120]}"
        for rule in found.response["violations"]
    ]
    assert not problems, "\n".join(problems)


def test_every_figure_names_sliders_that_move_on_its_page():
    for figure in EVERY_FIGURE.values():
        names = {slider.name for slider in figure.sliders}
        assert 1 <= len(figure.page_sliders) <= 2
        assert set(figure.page_sliders) <= names

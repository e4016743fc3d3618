"""A lesson in one file: all of it inside, nothing fetched, and its own policy lets it run."""

from __future__ import annotations

import base64
import gzip
import hashlib
import re

import numpy as np
import pytest

from hoofcalc.site import one_file

RANDOM = np.random.default_rng(1).bytes(3000)
CARRIED = {"words.txt": b"the same again " * 200, "packed.zip": RANDOM}
BODY = (
    '<main id="main"><img alt="a" src="pictures/a.png"><img alt="b" src="pictures/b.png">'
    "<style>p { color: #000 }</style></main>"
)


@pytest.fixture(scope="module")
def page() -> str:
    pictures = {"a.png": b"\x89PNG one", "b.png": b"\x89PNG two"}
    return one_file._page("Lesson <4>", BODY, pictures, CARRIED)


def sum_of(text: str) -> str:
    """As a browser works it out: Content Security Policy Level 3, section 2.3.1."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_the_pages_policy_lets_its_own_script_and_styles_run_and_nothing_else(page: str) -> None:
    (policy,) = re.findall(r'Content-Security-Policy" content="([^"]*)"', page)
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    (code,) = re.findall(r"<script>(.*?)</script>", page, flags=re.DOTALL)
    styles = re.findall(r"<style>(.*?)</style>", page, flags=re.DOTALL)
    assert rules["script-src"].split() == [sum_of(code), "blob:", "'wasm-unsafe-eval'"]
    assert set(rules["style-src"].split()) == {sum_of(each) for each in styles}
    assert len(styles) == 2
    assert rules["default-src"] == rules["base-uri"] == rules["form-action"] == "'none'"
    assert not re.search(r"https?:", policy)


def test_pictures_stand_in_the_page_and_nothing_is_fetched(page: str) -> None:
    shown = [
        base64.b64decode(each) for each in re.findall(r'src="data:image/png;base64,(.*?)"', page)
    ]
    assert shown == [b"\x89PNG one", b"\x89PNG two"]
    assert not re.search(r'<(?:img|script|link|iframe)[^>]*(?:src|href)="(?!data:)', page)
    assert "<title>Lesson &lt;4&gt;</title>" in page


def test_what_is_carried_comes_out_of_the_page_as_it_went_in(page: str) -> None:
    """Packed where that helps, which its first two bytes tell: RFC 1952, section 2.3.1."""
    found = {}
    for name, letters in re.findall(r'data-carried="(.*?)">(.*?)</script>', page):
        content = base64.b64decode(letters)
        found[name] = gzip.decompress(content) if content[:2] == b"\x1f\x8b" else content
        assert len(content) <= len(CARRIED[name])
    assert found == CARRIED
    assert one_file._in_letters(CARRIED) == one_file._in_letters(CARRIED), "the same each time"


@pytest.mark.parametrize(
    ("link", "written"),
    [
        ('<a href="exercise-04-columns.html">Try</a>', '<a href="#exercise">Try</a>'),
        ('<a class="x" href="04-columns.html">Top</a>', '<a class="x" href="#main">Top</a>'),
        ('<a href="#why">Why</a>', '<a href="#why">Why</a>'),
        ('<a href="glossary.html#heel">the <b>heel</b></a>', "<span>the <b>heel</b></span>"),
        ('<a class="x" href="05-horn.html">Next</a>', "<span>Next</span>"),
    ],
)
def test_links_lead_within_the_file_or_are_plain_words(link: str, written: str) -> None:
    assert one_file._inside(f"<p>{link}</p>", "04-columns") == f"<p>{written}</p>"

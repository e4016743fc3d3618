"""All of the site: every lesson walked, every exercise marked, every page looked at.

A quarter of an hour; `pytest -m long` runs it. `test_site.py` and `test_site_exercises.py` do the
same with one lesson, one exercise and a few pages in each run of the whole check.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import walking
from walking import LAPTOP, LEARNER, TELEPHONE, card, check, hand_in

from hoofcalc._where import course_folder

pytestmark = [pytest.mark.browser, pytest.mark.long, pytest.mark.timeout(600)]
LESSONS = sorted(path.stem for path in course_folder("lessons").glob("[0-9]*.ipynb"))


@pytest.mark.parametrize("lesson", LESSONS)
@pytest.mark.parametrize("size", [TELEPHONE, LAPTOP], ids=["telephone", "laptop"])
def test_everything_in_a_lesson_moves_and_answers(lesson, size, site, tab, troubles_of):
    tab.set_viewport_size({"width": size[0], "height": size[1]})
    troubles = troubles_of(tab)
    met = walking.lesson(tab, f"{site}{lesson}.html")
    assert met["settings"] >= 6
    assert met["questions"] >= 3
    assert not troubles


@pytest.mark.parametrize("name", LESSONS)
@pytest.mark.parametrize("size", [TELEPHONE, LAPTOP], ids=["telephone", "laptop"])
def test_an_exercise_from_the_first_card_to_the_mark(name, size, site, tab, troubles_of, tmp_path):
    tab.set_viewport_size({"width": size[0], "height": size[1]})
    troubles = troubles_of(tab)
    walking.begin(tab, f"{site}exercise-{name}.html")
    walking.to_the_mark(tab, name, tmp_path)
    assert not troubles


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_is_accessible(scheme, site, site_folder, still_tab, problems):
    still_tab.emulate_media(color_scheme=scheme)
    found = []
    for path in sorted(site_folder.glob("*.html")):
        still_tab.goto(f"{site}{path.name}")
        found += [f"{path.name}: {problem}" for problem in problems(still_tab)]
    assert not found


def test_a_lesson_in_one_file_is_alive_without_a_server(
    parts, tab, until_awake, tmp_path, troubles_of
):
    from hoofcalc.site.build import read_course
    from hoofcalc.site.one_file import one_file

    written = tmp_path / "04-columns.html"
    written.write_text(one_file(read_course(lambda line: None, only="04-columns"), parts), "utf-8")
    assert written.stat().st_size < 16e6
    page = tab
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    troubles = troubles_of(page)
    page.goto(written.as_uri())
    until_awake(page)
    page.locator("#my-id").fill(LEARNER)
    card(page, "1").locator("input").fill("1,5")
    assert check(page, "1") in ("Keep going", "Nearly")
    content = hand_in(page, tmp_path / "one.ipynb")
    assert "answer_1 = 1.5" in content.decode()
    assert all(url.startswith(("file:", "data:", "blob:")) for url in asked), asked
    assert not troubles

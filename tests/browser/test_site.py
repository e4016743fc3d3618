"""The course on a web server: whole, light, linked, described, alive, and kept offline."""

from __future__ import annotations

import gzip
import io
import re
import shutil
import zipfile
from html.parser import HTMLParser
from pathlib import Path

import pytest

from hoofcalc._where import course_folder
from hoofcalc.classroom.model.questions import Choice, Function, Number, load_exercise
from hoofcalc.classroom.model.variants import all_variants
from hoofcalc.figures import EVERY_FIGURE

pytestmark = [pytest.mark.unsettled, pytest.mark.slow, pytest.mark.timeout(900)]
LESSONS = sorted(path.stem for path in course_folder("lessons").glob("[0-9]*.ipynb"))
COURSE = Path(__file__).parents[2] / "exercises"
MOST_BYTES = 1_500_000


class Reader(HTMLParser):
    """What a page links to, names and shows."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.pictures: list[dict[str, str | None]] = []
        self.fetched: list[str] = []
        self.headings: list[int] = []
        self.inline: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if given.get("id"):
            self.ids.append(given["id"])
        if tag == "a" and given.get("href"):
            self.links.append(given["href"])
        if tag == "img":
            self.pictures.append(given)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag in ("img", "script", "link"):
            self.fetched += [given[name] for name in ("src", "href") if given.get(name)]
        if "style" in given or any(name.startswith("on") for name in given):
            self.inline.append(tag)


@pytest.fixture(scope="module")
def read(site_folder: Path) -> dict[str, Reader]:
    return {path.name: Reader(path.read_text("utf-8")) for path in site_folder.glob("*.html")}


def test_every_lesson_and_exercise_is_there(read):
    others = {"index.html", "glossary.html", "search.html", "where.html"}
    pages = {f"{front}{name}.html" for name in LESSONS for front in ("", "exercise-")}
    assert set(read) == others | pages
    for page in pages:
        assert page in read["index.html"].links


def test_every_link_leads_to_a_place_on_the_site(read):
    for name, page in read.items():
        assert len(page.ids) == len(set(page.ids)), f"{name}: an id twice"
        for link in page.links:
            target, _, place = link.partition("#")
            assert not target.startswith("http"), f"{name}: {link} leads off the site"
            there = read.get(target or name)
            assert there is not None, f"{name}: {link}"
            assert not place or place in there.ids, f"{name}: {link}: no such place"


def test_every_picture_is_described_and_nothing_comes_from_outside(read, site_folder):
    for name, page in read.items():
        for address in page.fetched:
            assert (site_folder / address).is_file(), f"{name}: {address}"
        for picture in page.pictures:
            assert len(picture.get("alt") or "") > 30, f"{name}: a picture without description"
        assert page.headings[0] == 1
        assert page.headings.count(1) == 1, name
        assert not page.inline, f"{name}: {page.inline} would be blocked"


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_page_and_its_picture_are_light(site_folder, read, lesson):
    own = [site_folder / f"{lesson}.html"]
    own += [site_folder / address for address in read[f"{lesson}.html"].fetched]
    late = [site_folder / picture["src"] for picture in read[f"{lesson}.html"].pictures[1:]]
    packed = sum(len(gzip.compress(path.read_bytes())) for path in own if path not in late)
    assert packed < MOST_BYTES


def everything(folder: Path) -> str:
    """All that is written, unpacked, as one text; other people's runtime left out."""
    texts = []
    for path in folder.rglob("*"):
        if not path.is_file():
            continue
        content = path.read_bytes()
        if path.name.startswith("hoofcalc-") and path.suffix == ".bin":
            with zipfile.ZipFile(io.BytesIO(content)) as archive:
                # the yard's tables are full of numbers of their own
                names = [name for name in archive.namelist() if not name.endswith(".csv")]
                texts += [archive.read(name).decode("utf-8") for name in names]
        elif path.suffix in (".html", ".js", ".json", ".css", ".txt"):
            texts.append(content.decode("utf-8"))
    return "\n".join(texts)


def test_no_truth_no_reference_and_no_sentence_of_the_keys_is_written(site_folder):
    text = everything(site_folder).replace("\\n", "\n").replace('\\"', '"')
    # the places of a figure's lines are numbers of their own
    bare = re.sub(r'<div class="on-page figure".*?</script>', "", text, flags=re.DOTALL)
    numbers = {f"{float(found):.6g}" for found in set(re.findall(r"\d+\.\d+", bare))}
    told = 0
    for name in LESSONS:
        exercise = load_exercise(COURSE / "keys" / f"{name}.py")
        every_set = all_variants(exercise)
        for question in exercise.questions:
            where = f"{name}, question {question.name}"
            body = question.reference.strip()
            assert len(body) < 25 or body not in text, f"{where}: the reference answer"
            if isinstance(question, Choice):
                for message in question.reason_messages.values():
                    assert message not in text, f"{where}: {message}"
                assert question.right_reason
            if isinstance(question, Function):
                for case in question.cases:
                    assert case.message not in text, f"{where}: {case.message}"
            if isinstance(question, Number):
                for own in every_set:
                    truth = f"{question.truth(own):.6g}"
                    if len(truth.replace(".", "").replace("-", "").strip("0")) >= 6:
                        told += 1
                        assert truth.lstrip("-") not in numbers, f"{where}: {truth}"
    assert told > 500, "so many truths have enough digits to be told from other numbers"
    assert "EXERCISE = Exercise(" not in text
    assert "right_reason=" not in text


@pytest.mark.browser
@pytest.mark.parametrize("lesson", LESSONS)
def test_a_lesson_comes_alive_on_a_telephone(
    site, lesson, browser, until_awake, troubles_of, problems
):
    page = browser.new_page()
    page.set_viewport_size({"width": 390, "height": 844})
    troubles = troubles_of(page)
    page.goto(f"{site}{lesson}.html")
    said = page.locator(".hoofcalc-figure .sentence").first
    said.wait_for()
    assert said.inner_text(), "the picture stands before Python wakes"
    until_awake(page)
    figure = EVERY_FIGURE[page.locator("[data-figure]").first.get_attribute("data-figure")]
    for slider in figure.sliders:
        knob = page.locator(f"input[type=range][data-name={slider.name}]")
        for key, end in (("Home", slider.minimum), ("End", slider.maximum)):
            folded = knob.evaluate_all(
                "all => all.forEach(one => { for (let up = one; up; up = up.parentElement) "
                "if (up.tagName === 'DETAILS') up.open = true; })"
            )
            assert folded is None
            knob.press(key)
            words = figure.frame({**figure.start, slider.name: end})
            page.get_by_text(words.sentence or words.refusal).first.wait_for()
        page.get_by_role("button", name=re.compile("Reset|Start again")).first.press("Enter")
        page.get_by_text(figure.frame({}).sentence).first.wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 391, "wider than a telephone"
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert not problems(page), scheme
    page.close()
    assert not troubles


@pytest.mark.browser
@pytest.mark.parametrize(
    "name",
    [
        *(f"exercise-{lesson}.html" for lesson in LESSONS),
        "index.html",
        "where.html",
        "glossary.html",
        "search.html?q=lean",
    ],
)
def test_every_other_page_is_accessible_and_fits(site, name, browser, troubles_of, problems):
    page = browser.new_page()
    troubles = troubles_of(page)
    page.goto(f"{site}{name}")
    for width in (320, 390, 1280):
        page.set_viewport_size({"width": width, "height": 844})
        assert page.evaluate("document.documentElement.scrollWidth") <= width + 1
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert not problems(page), scheme
    page.close()
    assert not troubles


@pytest.mark.browser
def test_a_search_finds_the_glossary_and_the_lesson(site, browser):
    page = browser.new_page()
    page.goto(f"{site}index.html")
    page.get_by_role("searchbox").fill("slender")
    page.keyboard.press("Enter")
    page.locator(".found li").first.wait_for()
    found = page.locator(".found a").evaluate_all("all => all.map(one => one.getAttribute('href'))")
    assert any(link.startswith("glossary.html#") for link in found[:4])
    assert any(link.startswith("04-columns.html") for link in found)
    page.get_by_role("main").get_by_role("searchbox").fill("zzz")
    page.get_by_text("Nothing about").wait_for()
    page.close()


@pytest.mark.browser
def test_the_site_opens_without_the_network_and_a_newer_one_takes_over(
    site_folder, serve, browser, until_awake, tmp_path
):
    copy = tmp_path / "site"
    shutil.copytree(site_folder, copy)
    page = browser.new_page()
    with serve(copy) as address:
        page.goto(f"{address}04-columns.html")
        until_awake(page)
        page.locator(".hoofcalc-card").first.get_by_role("radio").nth(2).check()
        kept = "navigator.serviceWorker.ready.then(one => one.active.state)"
        assert page.evaluate(kept) in ("activating", "activated")

        # the same place, a newer version: offered, not forced, and nobody's work is lost
        script = copy / "sw.js"
        first = re.search(r'"version": "(\w+)"', script.read_text("utf-8"))
        assert first
        page_text = (copy / "04-columns.html").read_text("utf-8")
        (copy / "04-columns.html").write_text(
            page_text.replace("<h1>Columns</h1>", "<h1>Columns, anew</h1>"), "utf-8"
        )
        script.write_text(
            re.sub(
                r'("04-columns.html": )"\w+"',
                r'\1"another"',
                script.read_text("utf-8").replace(first[1], "newer"),
            ),
            "utf-8",
        )
        page.reload()
        assert page.locator("h1").inner_text() == "Columns"
        page.get_by_role("button", name="Take the new one").click(timeout=180_000)
        page.get_by_role("heading", name="Columns, anew").wait_for()
        assert page.locator(".hoofcalc-card").first.get_by_role("radio").nth(2).is_checked()

    # now there is no server any more
    for name in ("08-underrun.html", "exercise-08-underrun.html", "glossary.html"):
        page.goto(f"{address}{name}")
        assert page.locator("h1").inner_text()
    page.goto(f"{address}04-columns.html")
    until_awake(page)
    slider = page.locator("input[type=range][data-name=length_mm]")
    slider.press("End")
    end = next(one for one in EVERY_FIGURE["columns"].sliders if one.name == "length_mm").maximum
    page.get_by_text(EVERY_FIGURE["columns"].frame({"length_mm": end}).sentence).first.wait_for()
    page.close()


@pytest.mark.browser
def test_guesses_and_place_are_kept_and_can_be_taken_along(site, browser, tmp_path, until_awake):
    page = browser.new_page()
    page.goto(f"{site}04-columns.html")
    card = page.locator(".hoofcalc-card").first
    card.get_by_role("radio").nth(1).check()
    said = card.get_by_role("radio").nth(1).evaluate("one => one.closest('label').innerText")
    page.reload()
    assert page.locator(".hoofcalc-card").first.get_by_role("radio").nth(1).is_checked()
    page.get_by_text(f"You said: {said.strip()}").wait_for(state="attached")
    page.goto(f"{site}where.html")
    assert "04 Columns" in page.locator(".go").inner_text()
    with page.expect_download() as coming:
        page.get_by_role("button", name="Write the file").click()
    kept = tmp_path / "kept.json"
    coming.value.save_as(kept)
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Delete everything").click()
    page.get_by_text("Nothing begun yet").wait_for()
    page.set_input_files("input[type=file]", kept)
    page.get_by_text("is back").wait_for()
    assert "04 Columns" in page.locator(".go").inner_text()
    page.set_input_files("input[type=file]", Path(__file__))
    page.get_by_text("was not written here").wait_for()
    page.close()

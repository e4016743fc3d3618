"""The course on a web server: whole, light, linked, described, alive, and kept offline."""

from __future__ import annotations

import gzip
import io
import json
import re
import shutil
import sys
import zipfile
from html.parser import HTMLParser
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import walking

import hoofcalc
from hoofcalc._where import course_folder
from hoofcalc.classroom.model.questions import Choice, Function, Number, load_exercise
from hoofcalc.classroom.model.working import HINTS
from hoofcalc.figures import record
from hoofcalc.figures.where import COURSE
from hoofcalc.notebook.memory import FILE, FolderMemory

pytestmark = [pytest.mark.slow, pytest.mark.timeout(600)]
#: What is walked and looked at in each run; `test_site_long.py` does so with all.
WALKED = "09-trim-cycle"
SEEN = (
    "index.html",
    "04-columns.html",
    "exercise-04-columns.html",
    "where.html",
    "search.html?q=lean",
)
LESSONS = sorted(path.stem for path in course_folder("lessons").glob("[0-9]*.ipynb"))
PACKAGE = Path(hoofcalc.__file__).parent
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
    others = {"index.html", "glossary.html", "search.html", "where.html", "cards.html"}
    pages = {f"{front}{name}.html" for name in LESSONS for front in ("", "exercise-")}
    assert set(read) == others | pages
    for page in pages:
        assert page in read["index.html"].links


def test_the_page_that_remembers_knows_the_lessons_as_the_record_does(site_folder):
    text = (site_folder / "where.html").read_text("utf-8")
    data = re.search(r'id="where-data">(.*?)</script>', text, flags=re.DOTALL)
    assert data
    lessons = json.loads(data[1])["lessons"]
    assert {row["record"]: row["name"] for row in lessons} == dict(COURSE)
    assert [row["page"] for row in lessons] == [f"{name}.html" for name in COURSE.values()]
    for row in lessons:
        assert (site_folder / row["exercise"]["page"]).exists()
        assert row["exercise"]["tasks"] > 0


def test_every_link_leads_to_a_place_on_the_site(read, site_folder):
    for name, page in read.items():
        assert len(page.ids) == len(set(page.ids)), f"{name}: an id twice"
        for link in page.links:
            target, _, place = link.partition("#")
            assert not target.startswith("http"), f"{name}: {link} leads off the site"
            if target.endswith(".pdf"):
                assert (site_folder / target).read_bytes().startswith(b"%PDF")
                continue
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
                code = [name.removesuffix("c") for name in names if name.endswith(".pyc")]
                texts += [(PACKAGE.parent / name).read_text("utf-8") for name in code]
                rest = [name for name in names if not name.endswith(".pyc")]
                texts += [archive.read(name).decode("utf-8") for name in rest]
        elif path.suffix in (".html", ".js", ".json", ".css", ".txt"):
            texts.append(content.decode("utf-8"))
    return "\n".join(texts)


def test_no_truth_no_reference_and_no_sentence_of_the_keys_is_written(site_folder):
    text = everything(site_folder).replace("\\n", "\n").replace('\\"', '"')
    # the places of a figure's or a prediction's lines are numbers of their own
    bare = re.sub(r'<div class="on-page (figure|pred).*?</script>', "", text, flags=re.DOTALL)
    numbers = {f"{float(found):.6g}" for found in set(re.findall(r"\d+\.\d+", bare))}
    told = 0
    for name in LESSONS:
        exercise = load_exercise(walking.COURSE / "keys" / f"{name}.py")
        # what the hand-out itself may tell is held elsewhere; the site tells no more
        told_openly = (course_folder("exercises") / name / HINTS).read_text("utf-8")
        every_set = json.loads(told_openly)["variants"]
        openly = {f"{float(found):.6g}" for found in re.findall(r"\d+\.\d+", told_openly)}
        for question in exercise.questions:
            where = f"{name}, question {question.name}"
            body = question.reference.strip()
            assert len(body) < 25 or body not in text, f"{where}: the reference answer"
            if isinstance(question, Choice):
                for message in question.reason_messages.values():
                    assert message in told_openly or message not in text, f"{where}: {message}"
                assert question.right_reason
            if isinstance(question, Function):
                for case in question.cases:
                    open_word = case.message in told_openly
                    assert open_word or case.message not in text, f"{where}: {case.message}"
            if isinstance(question, Number):
                for own in every_set:
                    truth = f"{question.truth(own):.6g}"
                    if len(truth.replace(".", "").replace("-", "").strip("0")) >= 6:
                        told += 1
                        assert truth.lstrip("-") not in numbers - openly, f"{where}: {truth}"
    assert told > 500, "so many truths have enough digits to be told from other numbers"
    assert "EXERCISE = Exercise(" not in text
    assert "right_reason=" not in text


@pytest.mark.browser
def test_a_lesson_wakes_from_cold_and_everything_in_it_moves(tab, site, troubles_of, problems):
    troubles = troubles_of(tab)
    met = walking.lesson(tab, f"{site}{WALKED}.html")
    assert met["settings"] >= 6
    assert met["handles"] >= 6
    assert met["questions"] >= 3
    assert met["drawn"] == 1
    assert not problems(tab), "alive, with all answers given"
    assert not troubles


@pytest.mark.browser
def test_no_page_runs_over_its_edge(still_tab, site, site_folder, troubles_of):
    troubles = troubles_of(still_tab)
    found = []
    for path in sorted(site_folder.glob("*.html")):
        found += walking.misfits(still_tab, f"{site}{path.name}")
    assert not found
    assert not troubles


@pytest.mark.browser
@pytest.mark.parametrize("name", SEEN)
def test_a_page_is_accessible_in_both_schemes(name, still_tab, site, problems):
    still_tab.goto(f"{site}{name}")
    for scheme in ("light", "dark"):
        still_tab.emulate_media(color_scheme=scheme)
        assert not problems(still_tab), scheme


@pytest.mark.browser
def test_a_search_finds_the_glossary_and_the_lesson(site, tab):
    page = tab
    page.goto(f"{site}index.html")
    page.get_by_role("searchbox").fill("slender")
    page.keyboard.press("Enter")
    page.locator(".found li").first.wait_for()
    found = page.locator(".found a").evaluate_all("all => all.map(one => one.getAttribute('href'))")
    assert any(link.startswith("glossary.html#") for link in found[:4])
    assert any(link.startswith("04-columns.html") for link in found)
    page.get_by_role("main").get_by_role("searchbox").fill("zzz")
    page.get_by_text("Nothing about").wait_for()
    page.get_by_role("searchbox").fill("undrrun")
    page.get_by_role("button", name="underrun").click()
    page.locator(".found li").first.wait_for()
    assert page.get_by_role("searchbox").input_value() == "underrun"


@pytest.mark.browser
def test_the_site_opens_without_the_network_and_a_newer_one_takes_over(
    site_folder, serve, still_tab, visitor, until_awake, tmp_path
):
    copy = tmp_path / "site"
    shutil.copytree(site_folder, copy)
    page = still_tab
    with serve(copy) as address:
        page.goto(f"{address}index.html")
        kept = "navigator.serviceWorker.ready.then(one => one.active.state)"
        assert page.evaluate(kept) in ("activating", "activated")
        page.goto(f"{address}04-columns.html")
        page.locator(".hoofcalc-card").get_by_role("radio").nth(2).check()

        # the same place, a newer version: offered, not forced, and nobody's work is lost
        script, front = copy / "sw.js", copy / "index.html"
        order = script.read_text("utf-8")
        first = re.search(r'"version": "(\w+)"', order)
        assert first
        heading = "Why a heel gives way"
        text = front.read_text("utf-8")
        front.write_text(text.replace(f"<h1>{heading}</h1>", "<h1>All anew</h1>"), "utf-8")
        order = order.replace(first[1], "newer")
        script.write_text(re.sub(r'("index.html": )"\w+"', r'\1"another"', order), "utf-8")
        page.goto(f"{address}index.html")
        assert page.locator("h1").inner_text() == heading
        page.get_by_role("button", name="Take the new one").click(timeout=180_000)
        page.get_by_role("heading", name="All anew").wait_for()
        page.goto(f"{address}04-columns.html")
        assert page.locator(".hoofcalc-card").get_by_role("radio").nth(2).is_checked()

    # now there is no server any more
    for name in ("08-underrun.html", "exercise-08-underrun.html", "glossary.html"):
        page.goto(f"{address}{name}")
        assert page.locator("h1").inner_text()
    page = visitor.new_page()
    page.goto(f"{address}04-columns.html")
    until_awake(page)
    slider = page.locator("input[type=range][data-name=lean_deg]")
    slider.press("End")
    page.get_by_text("Leaning 45°, the tube").first.wait_for()


@pytest.mark.browser
def test_what_is_kept_goes_to_a_learners_folder_and_comes_back(site, still_tab, tmp_path):
    page = still_tab
    page.goto(f"{site}04-columns.html")
    page.get_by_role("radio").nth(1).check()
    page.get_by_role("textbox").and_(page.locator(".typed input")).first.fill("0,4")
    page.locator(".typed button").first.click()
    page.reload()
    assert page.get_by_role("radio").nth(1).is_checked()
    page.goto(f"{site}where.html")
    assert "04 Columns" in page.locator(".go").inner_text()
    with page.expect_download() as coming:
        page.get_by_role("button", name="Write the file").click()
    assert coming.value.suggested_filename == FILE
    coming.value.save_as(tmp_path / FILE)

    # the same file is a record in a learner's own folder; there, more is put to it
    memory = FolderMemory(tmp_path)
    kept = memory.recall(record.key("answer", "columns", "remember_duty"))
    assert kept["typed"] == "0,4"
    assert kept["times"] == [{"day": kept["times"][0]["day"], "right": kept["right"]}]
    assert "place/columns" in memory.all()["entries"]
    memory.remember(
        "answer/horn/glue",
        {"chosen": 0, "right": True, "times": [{"day": "2026-01-02", "right": True}]},
    )

    page.get_by_role("button", name="Delete everything").click()
    page.get_by_role("button", name="Yes, delete it").click()
    page.get_by_text("Nothing begun yet").wait_for()
    page.set_input_files("input[type=file]", tmp_path / FILE)
    page.get_by_text("is here").wait_for()
    assert "04 Columns" in page.locator(".go").inner_text()
    assert page.locator(".link.here .how-far").inner_text().startswith("you are here; begun, at ")
    columns, horn = (page.locator(".link", has_text=name) for name in ("04 Columns", "05 Horn"))
    assert re.search(r"\d of \d answered", columns.inner_text())
    assert "1 of 6 answered, 1 right" in horn.inner_text()
    idea = page.locator(".idea", has_text="the glue matters more than the strand")
    assert idea.locator(".turns i").evaluate_all("all => all.map((one) => one.className)") == ["y"]
    page.goto(f"{site}04-columns.html")
    assert page.locator(".typed input").first.input_value() == "0,4"

    # nonsense under the right names is passed over
    odd = {"answer/horn/glue": "x", "answer/case/remember_glue": {"times": [3, None, {"day": 5}]}}
    odd |= {"predict/underrun": 7, "exercise/05-horn": {"cards": {"1": None}}}
    entries = {name: {"value": one, "when": "2030-01-01T00:00:00Z"} for name, one in odd.items()}
    entries["exercise/05-horn"]["when"] = "2020-01-01T00:00:00Z"
    (tmp_path / "odd.json").write_text(json.dumps({"hoofcalc": 1, "entries": entries}), "utf-8")
    page.goto(f"{site}where.html")
    page.set_input_files("input[type=file]", tmp_path / "odd.json")
    page.get_by_text("is here").wait_for()
    assert page.locator(".link").count() == len(COURSE)
    assert page.locator(".idea", has_text="the glue matters more").count() == 0

    # what is none, or of a later course, changes nothing
    page.goto(f"{site}where.html")
    page.set_input_files("input[type=file]", Path(__file__))
    page.get_by_text("was not written by the course").wait_for()
    later = tmp_path / "later.json"
    later.write_text(json.dumps({"hoofcalc": record.VERSION + 1, "entries": {}}), "utf-8")
    page.set_input_files("input[type=file]", later)
    page.get_by_text("newer course").wait_for()
    assert "04 Columns" in page.locator(".go").inner_text()

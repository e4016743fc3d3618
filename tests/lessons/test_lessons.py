"""Every lesson has every part, reads aloud, and is stored clean."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import nbformat
import pytest

from hoofcalc.notebook.notebooks import clean, main, page, run, still

FOLDER = Path(__file__).parents[2] / "lessons"
LESSONS = sorted(FOLDER.glob("[0-9][0-9]-*.ipynb"))
every_lesson = pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)


def read(path: Path) -> Any:
    return nbformat.read(path, as_version=4)


def words_of(notebook: Any) -> str:
    return "\n\n".join(c.source for c in notebook.cells if c.cell_type == "markdown")


def anchor(heading: str) -> str:
    """How a heading is linked to."""
    return re.sub(r"[^a-z0-9 -]", "", heading.lower()).replace(" ", "-")


@every_lesson
def test_code_is_read_in_a_breath(path: Path) -> None:
    for cell in read(path).cells:
        if cell.cell_type == "code":
            lines = cell.source.splitlines()
            assert len(lines) <= 8, cell.source
            assert max(map(len, lines)) <= 100, cell.source
            assert "plt." not in cell.source, "drawing belongs to hoofcalc"
            assert "def " not in cell.source, "anything longer belongs to hoofcalc"


@every_lesson
def test_the_notebook_is_stored_clean(path: Path) -> None:
    notebook = read(path)
    nbformat.validate(notebook)
    assert notebook == clean(notebook), f"python -m hoofcalc.notebook.notebooks clean {path.name}"
    text = path.read_text("utf-8")
    assert path.stat().st_size < 500_000
    for trace in ("widget-view", "stderr", "Traceback", "/tmp"):
        assert trace not in text, trace


@every_lesson
def test_links_lead_somewhere_and_pictures_say_what_they_show(path: Path) -> None:
    text = words_of(read(path))
    assert "](glossary.md" in text
    for alt in re.findall(r"!\[(.*?)\]\(", text):
        assert len(alt) > 20, "a picture without alt text"
    for target in re.findall(r"(?<!!)\[[^\]]+\]\(([^)]+)\)", text):
        name, _, place = target.partition("#")
        assert not target.startswith("http"), "a lesson works offline"
        # a learner's folder has the handed-out exercises beside the lessons
        file = FOLDER / name.replace("../exercises/", "../exercises/release/")
        assert file.exists(), target
        if place and file.suffix == ".md":
            headings = re.findall(r"^#+ (.+)$", file.read_text("utf-8"), re.MULTILINE)
            assert place in map(anchor, headings), target


def test_the_glossary_is_in_order_and_says_something() -> None:
    text = (FOLDER / "glossary.md").read_text("utf-8")
    terms = re.findall(r"^## (.+)$", text, re.MULTILINE)
    assert terms == sorted(terms, key=str.lower)
    assert len(terms) == len(set(terms))
    for meaning in re.split(r"^## .+$", text, flags=re.MULTILINE)[1:]:
        assert len(meaning.split()) >= 5, meaning


def said_by(notebook: Any) -> list[Any]:
    """What each code cell says: its printed lines and its results in plain text."""
    return [
        [
            output.get("text") or output.get("data", {}).get("text/plain")
            for output in cell.outputs
            if output.get("name") != "stderr"
        ]
        for cell in notebook.cells
        if cell.cell_type == "code"
    ]


@every_lesson
@pytest.mark.slow
def test_it_runs_in_a_fresh_kernel_to_what_is_stored_and_to_a_plain_page(path: Path) -> None:
    stored = read(path)
    done = run(stored, FOLDER)
    for cell in done.cells:
        for output in cell.get("outputs", []):
            assert output.get("name") != "stderr", output
    assert said_by(clean(done)) == said_by(stored), "refresh the lesson"
    kept = still(done)
    assert "widgets" not in kept.metadata
    text = page(done)
    body = text.split("<body", 1)[1]
    pictures = re.findall(r"<img [^>]*>", body)
    assert pictures
    for picture in pictures:
        alt = re.search(r'alt="([^"]*)"', picture)
        assert alt, picture[:100]
        assert len(alt.group(1)) > 40
        assert 'src="data:image/png;base64,' in picture
    assert "widget-view" not in body
    assert not re.search(r"""<(script|link|img)[^>]*(src|href)=["']?(https?:)?//""", text)
    figures = [
        output["data"]["text/plain"]
        for cell in done.cells
        for output in cell.get("outputs", [])
        if "image/png" in output.get("data", {})
    ]
    assert figures
    for sentence in figures:
        assert sentence.split(".")[0] in body, "the figure's sentence is not on the page"
    assert "<details>" in body, "no question can be opened"


def test_clean_takes_away_what_a_run_leaves(tmp_path: Path) -> None:
    cell = nbformat.v4.new_code_cell("1 + 1", execution_count=7, metadata={"collapsed": True})
    cell.outputs = [
        nbformat.v4.new_output("stream", name="stdout", text="kept\n"),
        nbformat.v4.new_output("stream", name="stderr", text="noise\n"),
        nbformat.v4.new_output(
            "execute_result",
            data={"text/plain": "2", "image/png": "aGk=", "text/html": "<b>2</b>"},
            metadata={"image/png": {"width": 3}},
            execution_count=7,
        ),
        nbformat.v4.new_output("display_data", data={"image/png": "aGk="}),
        nbformat.v4.new_output(
            "display_data",
            data={"text/plain": "a foot", "image/png": "aGk=", "application/x": "x"},
            metadata={"image/png": {"alt": "a foot from the side", "width": 3}},
        ),
        nbformat.v4.new_output(
            "display_data",
            data={"text/plain": "how steep?"},
            metadata={"hoofcalc": {"html": "<p>how steep?</p>"}},
        ),
    ]
    notebook = nbformat.v4.new_notebook(cells=[cell], metadata={"widgets": {"state": {}}})
    path = tmp_path / "a.ipynb"
    nbformat.write(notebook, path)
    assert main(["clean", str(path)]) == 0
    stored = json.loads(path.read_text("utf-8"))
    assert "widgets" not in stored["metadata"]
    (kept,) = stored["cells"]
    assert kept["execution_count"] == 1, "its place, not the number of the run"
    assert kept["metadata"] == {}
    kinds = [output["output_type"] for output in kept["outputs"]]
    assert kinds == ["stream", "execute_result", "display_data", "display_data"]
    assert kept["outputs"][1]["data"] == {"text/plain": ["2"]}
    picture, question = kept["outputs"][2:]
    assert set(picture["data"]) == {"text/plain", "image/png"}, "a still picture stays"
    assert picture["metadata"]["image/png"]["alt"] == "a foot from the side"
    assert question["data"]["text/html"] == ["<p>how steep?</p>"], "a question can be read"
    assert clean(read(path)) == read(path), "cleaning twice changes nothing"

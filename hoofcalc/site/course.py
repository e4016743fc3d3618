"""The lessons as a site of plain pages: no Jupyter, no network, readable on a telephone.

Every lesson is run once in a fresh kernel and becomes one page. Its living figure moves there
along one or two sliders, from settings calculated beforehand; questions open on a touch; links
between lessons and the glossary lead to each other's pages.
"""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoofcalc._where import course_folder
from hoofcalc.figures import EVERY_FIGURE
from hoofcalc.notebook import notebooks
from hoofcalc.site.page import page_fragment

_HERE = Path(__file__).parent
#: Code cells that only show something: on a page the reader sees what they show, not the code.
_SHOWS_ONLY = re.compile(r"(from hoofcalc import \w+(, \w+)*\s*|(figures|pictures)\.\w+\(.*\)\s*)+")
_CAUTION = (
    "A teaching model, not a diagnosis. A lame, sore, hot, swollen, bleeding or suddenly changed "
    "foot goes to a veterinary surgeon. Trimming for others is regulated in many countries: "
    "follow local law."
)


@dataclass(frozen=True, slots=True)
class Page:
    """One page of the site: its file's name, its heading, and what follows the heading."""

    name: str
    title: str
    body: str
    question: str = ""


def write_site(folder: Path, tell: Callable[[str], None] = print) -> list[Path]:
    """Run every lesson and write the site.

    Parameters
    ----------
    folder
        Where the pages go; made if it is not there. Pages of an earlier run are written anew,
        other files are left alone.
    tell
        Called with a line for each page.

    Returns
    -------
    list of Path
        The written pages, the front page first.

    Raises
    ------
    FileExistsError
        If `folder` is a file.
    """
    folder.mkdir(parents=True, exist_ok=True)
    lessons = sorted(course_folder("lessons").glob("*.ipynb"))
    pages = []
    for number, lesson in enumerate(lessons, 1):
        tell(f"({number} of {len(lessons)}) {lesson.stem}")
        pages.append(lesson_page(lesson))
    glossary = (course_folder("lessons") / "glossary.md").read_text("utf-8")
    title, _, text = glossary.partition("\n")
    pages.append(Page("glossary", title.lstrip("# "), _markdown(text)))
    written = [folder / "index.html"]
    written[0].write_text(_whole(_front(pages), pages), "utf-8")
    for page in pages:
        written.append(folder / f"{page.name}.html")
        written[-1].write_text(_whole(page, pages), "utf-8")
    return written


def lesson_page(path: Path) -> Page:
    """One lesson, run in a fresh kernel, as a page.

    Parameters
    ----------
    path
        The lesson's notebook.

    Returns
    -------
    Page
        Its page.
    """
    from nbconvert import HTMLExporter

    notebook = notebooks.run(notebooks.read(path), path.parent)
    first = notebook.cells[0].source
    title, _, rest = first.partition("\n")
    notebook.cells[0].source = rest
    question = re.search(r"\*\*The question:\*\* *(.+)", rest)
    _figures_that_move(notebook)
    page = notebooks.still(notebook)
    for cell in page.cells:
        if cell.cell_type == "code" and _SHOWS_ONLY.fullmatch(cell.source):
            cell.metadata["tags"] = ["shows-only"]
    exporter = HTMLExporter(
        template_name="basic",
        exclude_input_prompt=True,
        exclude_output_prompt=True,
    )
    exporter.register_preprocessor(_hider(), enabled=True)
    body, _ = exporter.from_notebook_node(page)
    return Page(
        path.stem, title.lstrip("# "), _tidied(body), question[1].strip() if question else ""
    )


def _hider() -> Any:
    """Takes the input away from cells that only show something."""
    from nbconvert.preprocessors import TagRemovePreprocessor

    return TagRemovePreprocessor(remove_input_tags={"shows-only"})


def _figures_that_move(notebook: Any) -> None:
    """Put the moving figure in place of the still one, where the lesson shows one."""
    figures = EVERY_FIGURE
    for cell in notebook.cells:
        for output in cell.get("outputs", []):
            about = output.get("metadata", {}).get("image/png", {})
            if about.get("figure") in figures:
                figure = figures[about["figure"]]
                moving = page_fragment(figure, figure.page_sliders)
                output.data = {"text/html": moving, "text/plain": output.data["text/plain"]}
                output.metadata = {}


def _markdown(text: str) -> str:
    """Markdown as HTML, the way the lessons' own cells are turned."""
    from nbconvert.filters.markdown_mistune import markdown2html_mistune

    return _tidied(markdown2html_mistune(text))


def _tidied(body: str) -> str:
    """Links lead to the site's own pages; a wide table can be scrolled from the keyboard."""
    body = re.sub(r'<a class="anchor-link".*?</a>', "", body)
    body = re.sub(
        r"<table.*?</table>",
        r'<div class="wide" tabindex="0" role="region" aria-label="Table">\g<0></div>',
        body,
        flags=re.DOTALL,
    )
    body = re.sub(r'href="([\w-]+)\.ipynb(#[^"]*)?"', r'href="\1.html\2"', body)
    body = re.sub(r'href="glossary\.md(#[^"]*)?"', r'href="glossary.html\1"', body)
    return body


def _front(pages: list[Page]) -> Page:
    """The front page: every lesson with its question."""
    rows = "\n".join(
        f'<li><a href="{page.name}.html">{html.escape(page.title)}</a>'
        + (f"<br>{html.escape(page.question)}" if page.question else "")
        + "</li>"
        for page in pages
    )
    body = (
        "<p>Why does one heel give way while another stands? Eleven lessons, from the foot that "
        "meets the ground to the heel that runs under. Predict, move, see, and check yourself.</p>"
        f"<ul class='lessons'>{rows}</ul>"
        "<p>On these pages each figure moves along its main slider. In the notebooks everything "
        "moves, and the exercises are marked. All horses and measurements of the yard Brackenfold "
        "are invented.</p>"
    )
    return Page("index", "Why a heel gives way", body)


def _whole(page: Page, pages: list[Page]) -> str:
    """A page with its head, the way around, and the caution."""
    lessons = [one.name for one in pages if one.name != "glossary"]
    steps = []
    if page.name in lessons:
        at = lessons.index(page.name)
        for step, words in ((at - 1, "Lesson before"), (at + 1, "Next lesson")):
            if 0 <= step < len(lessons):
                steps.append(f'<a href="{lessons[step]}.html">{words}</a>')
    way = " ".join(
        ['<a href="index.html">All lessons</a>', '<a href="glossary.html">Glossary</a>', *steps]
    )
    return (
        "<!doctype html>\n"
        f'<html lang="en"><head><meta charset="utf-8"><title>{html.escape(page.title)}</title>\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<style>{(_HERE / 'site.css').read_text('utf-8')}</style></head>\n"
        f'<body><header><nav aria-label="Course">{way}</nav></header>\n'
        f"<main><h1>{html.escape(page.title)}</h1>\n{page.body}\n</main>\n"
        f"<footer><p>{_CAUTION}</p></footer></body></html>\n"
    )

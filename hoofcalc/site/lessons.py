"""A lesson's notebook as a page: its words, and what its cells show, without a kernel.

The cells are run here, one after the other, as they would be in a notebook. A figure, a question
or a picture at the end of a cell becomes a piece of the page; code is folded away.
"""

from __future__ import annotations

import ast
import base64
import contextlib
import html
import io
import json
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hoofcalc.figures.prediction import Prediction, prediction_description
from hoofcalc.figures.questions import Card, answer
from hoofcalc.figures.spec import Figure
from hoofcalc.pictures import StillPicture, drawing_of
from hoofcalc.site.frames import figure_data

#: Code cells that only show something: a reader sees what they show, not the code.
_SHOWS_ONLY = re.compile(r"(from hoofcalc import \w+(, \w+)*\s*|(figures|pictures)\.\w+\(.*\)\s*)+")


class SiteError(Exception):
    """A page cannot be made; the message says which and why."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page of the site: its file's name without the ending, heading, and what follows it."""

    name: str
    title: str
    body: str
    question: str = ""
    #: What the search index holds: heading's id, heading, text.
    sections: tuple[tuple[str, str, str], ...] = ()
    #: Pictures by file name.
    pictures: dict[str, bytes] = field(default_factory=dict)
    #: What the record calls the lesson.
    record: str = ""


def lesson_page(path: Path) -> Page:
    """One lesson as a page.

    Parameters
    ----------
    path
        The lesson's notebook.

    Returns
    -------
    Page
        Its page.

    Raises
    ------
    SiteError
        If a cell does not run.
    """
    cells = json.loads(path.read_text("utf-8"))["cells"]
    maker = _Maker(path.stem)
    first = "".join(cells[0]["source"])
    title, _, rest = first.partition("\n")
    pieces = [markdown(rest)]
    for number, cell in enumerate(cells[1:], 1):
        source = "".join(cell["source"])
        if cell["cell_type"] == "markdown":
            pieces.append(markdown(source))
        elif cell["cell_type"] == "code":
            _append(pieces, maker.cell(source, number))
    body = "\n".join(pieces)
    question = re.search(r"^\*\*(.+\?)\*\* \d+ minutes", rest, re.MULTILINE)
    return Page(
        name=path.stem,
        title=title.lstrip("# "),
        body=body,
        question=question[1] if question else "",
        sections=sections(body, title.lstrip("# ")),
        pictures=maker.pictures,
        record=maker.record,
    )


def _append(pieces: list[str], cell: str) -> None:
    """Put what a code cell became behind the rest, or into the fold that works it out."""
    before = pieces[-1].rstrip()
    if "Work it out" in before and before.endswith("</details>"):
        pieces[-1] = f"{before.removesuffix('</details>')}{cell}</details>"
    else:
        pieces.append(cell)


def markdown(text: str) -> str:
    """Markdown as HTML, the way a notebook shows it, fit for a page of this site."""
    from nbconvert.filters.markdown_mistune import markdown2html_mistune

    return _tidied(markdown2html_mistune(text))


def sections(body: str, title: str) -> tuple[tuple[str, str, str], ...]:
    """The text under each heading, without what belongs to figures: what a search looks through."""
    bare = re.sub(r"<script.*?</script>|<pre.*?</pre>|<figure.*?</figure>", " ", body, flags=re.S)
    parts = re.split(r'<h([2-4])[^>]*\bid="([^"]*)"[^>]*>(.*?)</h\1>', bare, flags=re.DOTALL)
    found = [("", title, plain_text(parts[0]))]
    found += [
        (parts[at + 1], plain_text(parts[at + 2]), plain_text(parts[at + 3]))
        for at in range(1, len(parts), 4)
    ]
    return tuple(part for part in found if part[2])


def plain_text(piece: str) -> str:
    """The words of a piece of HTML."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", piece)).split())


class _Maker:
    """Runs the cells of one lesson and turns what they show into pieces of a page."""

    def __init__(self, lesson: str) -> None:
        self.lesson = lesson
        self.pictures: dict[str, bytes] = {}
        self.record = ""
        self._names: dict[str, Any] = {"__name__": "__main__"}

    def cell(self, source: str, number: int) -> str:
        """What a code cell becomes."""
        said = io.StringIO()
        try:
            shown = self._run(source, said)
        except Exception as trouble:
            raise SiteError(
                f"{self.lesson}: cell {number} does not run ({type(trouble).__name__}: {trouble})"
            ) from trouble
        code = ""
        if not _SHOWS_ONLY.fullmatch(source):
            code = (
                "<details class='code'><summary>Show the code</summary>"
                f"<pre><code>{html.escape(source)}</code></pre></details>"
            )
        printed = said.getvalue().rstrip()
        words = f"<pre class='output'>{html.escape(printed)}</pre>" if printed else ""
        return words + self._piece(shown) + code

    def _run(self, source: str, said: io.StringIO) -> Any:
        parsed = ast.parse(source)
        last = parsed.body.pop() if parsed.body and isinstance(parsed.body[-1], ast.Expr) else None
        with contextlib.redirect_stdout(said):
            exec(compile(parsed, self.lesson, "exec"), self._names)
            if not isinstance(last, ast.Expr):
                return None
            return eval(compile(ast.Expression(last.value), self.lesson, "eval"), self._names)

    def _piece(self, shown: Any) -> str:
        """What a value looks like on the page."""
        if shown is None:
            return ""
        if isinstance(shown, Figure):
            return self._figure(shown)
        if isinstance(shown, Card):
            return self._card(shown)
        if isinstance(shown, Prediction):
            data = prediction_description(shown)
            return (
                '<div class="on-page prediction">'
                f'<script type="application/json">{in_script(data)}</script>'
                f'<div class="stage"><p>{html.escape(repr(shown))}</p></div>'
                '<p class="alive small quiet" role="status"></p></div>'
            )
        bundle = getattr(shown, "_repr_mimebundle_", None)
        said, about = bundle() if bundle is not None else ({}, {})
        if "image/png" in said:
            return self._picture(shown, said, about["image/png"])
        if (written := getattr(shown, "_repr_html_", lambda: None)()) is not None:
            title = html.escape(str(shown))
            frame = html.escape(written, quote=True)
            return f'<iframe class="shown" title="{title}" srcdoc="{frame}"></iframe>'
        return f"<pre class='output'>{html.escape(repr(shown))}</pre>"

    def _picture(self, shown: Any, data: dict[str, str], about: dict[str, Any]) -> str:
        name = f"{self.lesson}-{len(self.pictures) + 1}.png"
        content = base64.b64decode(data["image/png"])
        self.pictures[name] = content
        narrow = ""
        if isinstance(shown, StillPicture) and shown.parts > 1:
            stacked, width = shown.stacked()
            self.pictures[f"narrow-{name}"] = stacked
            narrow = (
                f'<source media="(max-width: 600px)" srcset="pictures/narrow-{name}" '
                f'width="{width}"{_height(stacked, width)}>'
            )
        return (
            f'<figure class="still"><picture>{narrow}'
            f'<img src="pictures/{name}" alt="{html.escape(about["alt"])}" '
            f'width="{about["width"]}"{_height(content, about["width"])} loading="lazy"></picture>'
            f"<figcaption>{html.escape(data['text/plain'])}</figcaption></figure>"
        )

    def _figure(self, figure: Figure) -> str:
        name = f"{self.lesson}-{len(self.pictures) + 1}"
        block, pictures = figure_block(figure, name)
        self.pictures |= pictures
        return block

    def _card(self, card: Card) -> str:
        data: dict[str, Any] = {
            "lesson": card.lesson,
            "name": card.name,
            "part": card.part,
            "spec": card.spec,
        }
        self.record = card.lesson  # the questions that close a lesson are its own
        if card.part == "answer":
            asked = self._options(card)
            data["specs"] = [answer(card.lesson, card.name, at - 1).spec for at in range(asked + 1)]
        return (
            '<div class="on-page question">'
            f'<script type="application/json">{in_script(data)}</script>'
            f'<div class="stage">{card.page}</div></div>'
        )

    @staticmethod
    def _options(card: Card) -> int:
        """How many options the prediction has that an answer comes back to."""
        from hoofcalc.figures.questions import load

        return len(load(card.lesson)[card.name]["options"])


def figure_block(figure: Figure, name: str) -> tuple[str, dict[str, bytes]]:
    """A figure as it stands on a page: its still, and what it needs to come alive.

    Until Python wakes the first slider moves, the one in reach on a telephone.

    Parameters
    ----------
    figure
        The figure.
    name
        What its still picture is called.

    Returns
    -------
    tuple
        The piece of HTML, and the picture by its file name.
    """
    data = figure_data(figure, [figure.sliders[0].name])
    drawing = drawing_of(figure)
    start = figure.frame({})
    drawing.show(start.results)
    picture = f"{name}.png"
    content = drawing.png()
    alt = html.escape(f"{start.alt} {start.sentence}")
    block = (
        f'<div class="on-page figure" data-figure="{figure.name}">'
        f'<script type="application/json">{in_script(data)}</script>'
        f'<div class="stage"><figure class="still"><img src="pictures/{picture}" alt="{alt}" '
        f'width="{drawing.width}"{_height(content, drawing.width)}>'
        f"<figcaption>{html.escape(start.sentence)}</figcaption></figure></div>"
        '<p class="alive small quiet" role="status">A picture. It moves where scripts may run.'
        '</p><button type="button" class="wake" hidden></button></div>'
    )
    return block, {picture: content}


def in_script(data: Any) -> str:
    """Data as JSON that no text in it can end early."""
    return json.dumps(data, ensure_ascii=False, default=float).replace("</", "<\\/")


def _height(png: bytes, width: int) -> str:
    """The height that keeps a picture's place free while it loads."""
    across, down = (int.from_bytes(png[at : at + 4], "big") for at in (16, 20))
    return f' height="{round(width * down / across)}"'


def _place(heading: re.Match[str]) -> str:
    return re.sub("['’]|&#39;|&#x27;", "", heading[0].lower())


def _tidied(body: str) -> str:
    """Links lead to the site's own pages; a wide table can be scrolled from the keyboard."""
    body = re.sub(r'<a class="anchor-link".*?</a>', "", body)
    body = re.sub(r' style="text-align: ?(\w+);?"', r' class="\1"', body)
    body = re.sub(
        r"<table.*?</table>",
        r'<div class="wide" tabindex="0" role="region" aria-label="Table">\g<0></div>',
        body,
        flags=re.DOTALL,
    )
    # places are named in small letters and without apostrophes, as links to them are
    body = re.sub(r'<h[1-6] [^>]*id="[^"]*"', _place, body)
    body = re.sub(r'(?<=href=")[^":]*#[^"]*', lambda found: found[0].lower(), body)
    body = re.sub(r'href="([\w-]+)\.ipynb(#[^"]*)?"', r'href="\1.html\2"', body)
    body = re.sub(
        r'href="\.\./exercises/(?:release/)?([\w-]+)/[\w-]+\.ipynb(#[^"]*)?"',
        r'href="exercise-\1.html\2"',
        body,
    )
    body = re.sub(r'href="glossary\.md(#[^"]*)?"', r'href="glossary.html\1"', body)
    return body

"""One lesson with its exercise and Python inside one file, which opens without a server."""

from __future__ import annotations

import base64
import gzip
import html
import re
from collections.abc import Callable, Mapping
from pathlib import Path

from hoofcalc._files import write_whole
from hoofcalc.site import bundle, runtime
from hoofcalc.site.build import (
    CAUTION,
    Course,
    archives,
    exercise_body,
    lesson_body,
    package_zip,
    read_course,
    scripts,
    style,
    sum_of,
)
from hoofcalc.site.lessons import in_script

_SCRIPTS = (
    "keep.js",
    "alive.js",
    "figure.js",
    "prediction.js",
    "question.js",
    "lesson.js",
    "notebook_cells.js",
    "exercise.js",
)
_PACKAGE = "hoofcalc.zip"


def write_one_file(
    folder: Path, name: str, tell: Callable[[str], None] = print, given: Path | None = None
) -> Path:
    """Write a lesson as one file.

    Parameters
    ----------
    folder
        Where it goes; made if it is not there.
    name
        The lesson's name, as in ``04-columns``.
    tell
        Called with a line for each step.
    given
        Folder or archive with Python for the browser; found as `runtime.collect` does otherwise.

    Returns
    -------
    Path
        The written file.

    Raises
    ------
    SiteError
        If there is no such lesson, or a cell of it does not run.
    runtime.RuntimeFilesError
        If Python for the browser is not to be had.
    """
    found = runtime.collect(given, tell)
    course = read_course(tell, only=name)
    path = folder / f"{name}.html"
    write_whole(path, one_file(course, found).encode())
    return path


def one_file(course: Course, found: Mapping[str, bytes]) -> str:
    """The page, for a course of one lesson."""
    (lesson,) = course.lessons
    inside = _inside(lesson_body(course, 0), lesson.name)
    written = f'<main id="main" data-record="{lesson.record}">{inside}'
    if (exercise := course.exercise_of(lesson)) is not None:
        body = _inside(exercise_body(exercise), lesson.name)
        written += "<hr>" + body.replace("<h1>", '<h2 id="exercise" class="first">', 1).replace(
            "</h1>", "</h2>", 1
        )
    written += f"</main>{_licences(found)}"
    return _page(lesson.title, written, lesson.pictures, _carried(found))


def _page(
    title: str, body: str, pictures: Mapping[str, bytes], carried: Mapping[str, bytes]
) -> str:
    """A page with everything inside it."""
    for name, content in pictures.items():
        address = "data:image/png;base64," + base64.b64encode(content).decode()
        body = body.replace(f'="pictures/{name}"', f'="{address}"')
    own = scripts()
    code = "\n".join(own[script] for script in _SCRIPTS)
    look = style()
    styles = [look, *re.findall(r"<style>(.*?)</style>", html.unescape(body), flags=re.DOTALL)]
    policy = "; ".join(
        (
            "default-src 'none'",
            f"script-src {sum_of(code)} blob: 'wasm-unsafe-eval'",
            "worker-src blob:",
            f"style-src {' '.join(map(sum_of, styles))}",
            "img-src data:",
            "connect-src blob: data:",
            "base-uri 'none'",
            "form-action 'none'",
        )
    )
    settings = in_script({"carried": True, "archives": [*archives(), _PACKAGE]})
    return (
        "<!doctype html>\n"
        f'<html lang="en"><head><meta charset="utf-8"><title>{html.escape(title)}</title>\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<style>{look}</style>\n"
        f'<script type="application/json" id="hoofcalc-site">{settings}</script></head>\n'
        f"<body>\n{body}\n<footer><p>{CAUTION}</p></footer>\n"
        f"{_in_letters(carried)}\n<script>{code}</script></body></html>\n"
    )


def _inside(body: str, name: str) -> str:
    """Links that lead to pages which are not in the file become plain words."""
    body = body.replace(f'href="exercise-{name}.html"', 'href="#exercise"')
    body = body.replace(f'href="{name}.html"', 'href="#main"')
    away = re.compile(r'<a (?:[^>]*\s)?href="(?!#)[^"]*"[^>]*>(.*?)</a>', re.DOTALL)
    return away.sub(r"<span>\1</span>", body)


def _carried(found: Mapping[str, bytes]) -> dict[str, bytes]:
    """What travels along. What no figure needs stays outside."""
    files = {
        part.name: bundle.repacked(part.name, found[part.name])
        for part in runtime.parts()
        if not part.late
    }
    files[runtime.LOCK] = runtime.lock_file()
    files[_PACKAGE] = package_zip()
    files["worker.js"] = scripts()["worker.js"].encode()
    return files


def _licences(found: Mapping[str, bytes]) -> str:
    """The licences of what travels inside the page, folded away."""
    texts = "\n\n".join(
        f"{Path(name).stem}\n\n{text.decode('utf-8')}"
        for name, text in runtime.licences(found).items()
        if name not in ("scipy.txt", "OpenBLAS.txt")  # these stay outside
    )
    return (
        '<aside class="licences"><details><summary>Licences of Python in this page</summary>'
        f"<pre>{html.escape(texts)}</pre></details></aside>"
    )


def _in_letters(files: Mapping[str, bytes]) -> str:
    """Files as blocks of letters in the page, packed where that helps."""
    blocks = []
    for name, content in files.items():
        packed = gzip.compress(content, 9, mtime=0)
        best = packed if len(packed) < 0.95 * len(content) else content
        letters = base64.b64encode(best).decode()
        kind = "application/octet-stream"
        blocks.append(f'<script type="{kind}" data-carried="{name}">{letters}</script>')
    return "\n".join(blocks)

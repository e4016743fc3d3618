"""One lesson with its exercise and Python inside one file, which opens without a server."""

from __future__ import annotations

import base64
import gzip
import html
import re
from collections.abc import Callable, Mapping
from pathlib import Path

from hoofcalc._files import write_whole
from hoofcalc.site import runtime
from hoofcalc.site.build import (
    CAUTION,
    Course,
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
    body = lesson_body(course, 0)
    for picture, content in lesson.pictures.items():
        address = "data:image/png;base64," + base64.b64encode(content).decode()
        body = body.replace(f'src="pictures/{picture}"', f'src="{address}"')
    parts = [f'<main id="main" data-lesson="{lesson.name}">{_inside(body, course)}</main>']
    if (exercise := course.exercise_of(lesson)) is not None:
        inside = exercise_body(exercise).replace("<h1>", '<h1 id="exercise">')
        parts.append(f"<main>{_inside(inside, course)}</main>")
    written = "\n".join(parts).replace("<main>", '<section class="as-main">')
    written = re.sub(r'(<section class="as-main">.*)</main>', r"\1</section>", written, flags=re.S)
    own = scripts()
    code = "\n".join(own[script] for script in _SCRIPTS)
    look = style()
    policy = (
        f"default-src 'none'; script-src {sum_of(code)} blob: 'wasm-unsafe-eval'; worker-src blob:; "
        f"style-src {sum_of(look)}{_styles_inside(written)}; img-src data:; connect-src blob: data:; "
        "base-uri 'none'; form-action 'none'"
    )
    settings = {"carried": True, "package": _PACKAGE}
    return (
        "<!doctype html>\n"
        f'<html lang="en"><head><meta charset="utf-8"><title>{html.escape(lesson.title)}</title>\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<style>{look}</style>\n"
        f'<script type="application/json" id="hoofcalc-site">{in_script(settings)}</script></head>\n'
        f"<body>\n{written}\n<footer><p>{CAUTION}</p></footer>\n"
        f"{_carried(found)}\n<script>{code}</script></body></html>\n"
    )


def _inside(body: str, course: Course) -> str:
    """Links that lead to pages which are not in the file become plain words."""
    (lesson,) = course.lessons
    body = body.replace(f'href="exercise-{lesson.name}.html"', 'href="#exercise"')
    body = body.replace(f'href="{lesson.name}.html"', 'href="#main"')
    return re.sub(
        r'<a (?:[^>]*\s)?href="(?!#)[^"]*"[^>]*>(.*?)</a>',
        r"<span>\1</span>",
        body,
        flags=re.DOTALL,
    )


def _styles_inside(body: str) -> str:
    """The sums of styles that pages shown inside the page bring along."""
    found = re.findall(r"<style>(.*?)</style>", html.unescape(body), flags=re.DOTALL)
    return "".join(f" {sum_of(text)}" for text in found)


def _carried(found: Mapping[str, bytes]) -> str:
    """The runtime in letters. What no figure needs stays outside."""
    files = {part.name: found[part.name] for part in runtime.parts() if not part.late}
    files["pyodide-lock.json"] = runtime.lock_file()
    files[_PACKAGE] = package_zip()
    files["worker.js"] = scripts()["worker.js"].encode()
    blocks = []
    for name, content in files.items():
        packed = gzip.compress(content, 9, mtime=0)
        best = packed if len(packed) < 0.95 * len(content) else content
        letters = base64.b64encode(best).decode()
        blocks.append(
            f'<script type="application/octet-stream" data-carried="{name}">{letters}</script>'
        )
    return "\n".join(blocks)

"""The whole course as a site: lessons, exercises, glossary, search, and Python for the browser.

It is written into a scratch folder beside its place and takes that place when it is whole.
"""

from __future__ import annotations

import base64
import gzip
import hashlib
import html
import io
import json
import re
import shutil
import tempfile
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoofcalc import __version__
from hoofcalc._files import BEING_WRITTEN
from hoofcalc._markup import piece
from hoofcalc._where import course_folder
from hoofcalc.figures.web import asset
from hoofcalc.figures.where import CHAIN, course_shown
from hoofcalc.site import bundle, runtime
from hoofcalc.site.cards import PDF, card_html, cards_pdf, yard_cards
from hoofcalc.site.exercises import exercise_page
from hoofcalc.site.lessons import Page, SiteError, in_script, lesson_page, markdown, sections

_WEB = Path(__file__).parent / "web"
_PACKAGE = Path(__file__).resolve().parent.parent
#: A file in the folder by which a site of ours is known, so that nobody's other files are replaced.
MARK = "hoofcalc-site.json"
CAUTION = (
    "A teaching model, not a diagnosis. A lame, sore, hot, swollen, bleeding or suddenly changed "
    "foot goes to a veterinary surgeon. Trimming for others is regulated in many countries: "
    "follow local law."
)
_POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; "
    "connect-src 'self'; style-src 'self'{styles}; img-src 'self' data:; manifest-src 'self'; "
    "base-uri 'none'; form-action 'self'"
)


@dataclass(frozen=True, slots=True)
class Course:
    """The pages of the course."""

    lessons: tuple[Page, ...]
    exercises: tuple[Page, ...]
    glossary: Page

    def exercise_of(self, lesson: Page) -> Page | None:
        """The exercise that belongs to a lesson."""
        wanted = f"exercise-{lesson.name}"
        return next((page for page in self.exercises if page.name == wanted), None)


def read_course(tell: Callable[[str], None] = print, only: str = "") -> Course:
    """Make the pages of all lessons and exercises.

    Parameters
    ----------
    tell
        Called with a line for each page.
    only
        Name of the one lesson that is wanted, with its exercise; empty for all.

    Returns
    -------
    Course
        The pages.

    Raises
    ------
    SiteError
        If there is no such lesson, or a cell of one does not run.
    """
    paths = sorted(course_folder("lessons").glob("[0-9]*.ipynb"))
    if only:
        known = ", ".join(path.stem for path in paths)
        paths = [path for path in paths if path.stem == only]
        if not paths:
            raise SiteError(f"there is no lesson called {only!r}; there are {known}")
    lessons, exercises = [], []
    for number, path in enumerate(paths, 1):
        tell(f"({number} of {len(paths)}) {path.stem}")
        lessons.append(lesson_page(path))
        folder = course_folder("exercises") / path.stem
        if folder.is_dir():
            exercises.append(exercise_page(folder))
    text = (course_folder("lessons") / "glossary.md").read_text("utf-8")
    title, _, rest = text.partition("\n")
    body, called = markdown(rest), title.lstrip("# ")
    glossary = Page("glossary", called, body, sections=sections(body, called))
    return Course(tuple(lessons), tuple(exercises), glossary)


def write_site(
    folder: Path,
    tell: Callable[[str], None] = print,
    given: Path | None = None,
    *,
    parts: Mapping[str, bytes] | None = None,
) -> list[str]:
    """Write the whole course for any web server.

    Parameters
    ----------
    folder
        Where it goes. A site of before is replaced when the new one is whole.
    tell
        Called with a line for each step.
    given
        Folder or archive with Python for the browser; found as `runtime.collect` does otherwise.
    parts
        The runtime's files, where they are at hand already.

    Returns
    -------
    list of str
        The pages' file names, the front page first.

    Raises
    ------
    SiteError
        If the folder holds something else, or a lesson does not run.
    runtime.RuntimeFilesError
        If Python for the browser is not to be had.
    """
    if folder.exists() and not folder.is_dir():
        raise SiteError(f"{folder} is a file; name a folder.")
    if folder.is_dir() and any(folder.iterdir()) and not (folder / MARK).is_file():
        raise SiteError(f"{folder} holds other files; name a folder that is empty or not there.")
    found = dict(parts) if parts is not None else runtime.collect(given, tell)
    course = read_course(tell)
    folder.parent.mkdir(parents=True, exist_ok=True)
    scratch = Path(tempfile.mkdtemp(dir=folder.parent, prefix=BEING_WRITTEN))
    try:
        scratch.chmod(0o755)  # a fresh temporary folder is private; a site is read by everyone
        names = _write(scratch, course, found)
        old = scratch.with_name(f"{scratch.name}-old")
        if folder.exists():
            folder.rename(old)
        scratch.rename(folder)
        shutil.rmtree(old, ignore_errors=True)
    except BaseException:
        shutil.rmtree(scratch, ignore_errors=True)
        raise
    return names


def package_zip() -> bytes:
    """hoofcalc's own code as the browser needs it: formulas, figures, checks; no keys."""
    wanted: list[tuple[str, Path]] = []
    for pattern in ("*.py", "figures/*.py", "figures/questions/*.toml", "classroom/model/*.py"):
        wanted += [(f"hoofcalc/{p.relative_to(_PACKAGE)}", p) for p in _PACKAGE.glob(pattern)]
    for name in (
        "classroom/__init__.py",
        "classroom/workspace/__init__.py",
        "classroom/workspace/plain_words.py",
        "figures/web/__init__.py",
        "site/__init__.py",
        "site/in_browser.py",
    ):
        wanted.append((f"hoofcalc/{name}", _PACKAGE / name))
    data = course_folder("datasets")
    wanted += [(f"hoofcalc/_course/datasets/{p.relative_to(data)}", p) for p in data.rglob("*.csv")]
    return bundle.packed({name.replace("\\", "/"): path.read_bytes() for name, path in wanted})


def scripts() -> dict[str, str]:
    """The site's scripts by file name; those shared with the notebook as plain scripts."""
    own = {path.name: path.read_text("utf-8") for path in sorted(_WEB.glob("*.js"))}
    return own | {
        "figure.js": _as_plain_script(asset("figure.js"), "figure"),
        "prediction.js": _as_plain_script(asset("prediction.js"), "prediction"),
        "question.js": _as_plain_script(asset("question.js"), "question"),
        "where.js": _as_plain_script(asset("where.js"), "where"),
    }


def style() -> str:
    """All styles of the site, the figures' and questions' among them.

    Sizes of letters become parts of the reader's own size, which a browser's setting changes.
    """
    whole = "\n".join(
        [
            (_WEB / "site.css").read_text("utf-8"),
            asset("figure.css"),
            asset("prediction.css"),
            asset("question.css"),
            asset("where.css"),
            (_WEB / "over.css").read_text("utf-8"),
        ]
    )
    return re.sub(
        r"(?<=font: |size: )(?:(\d{3}) )?(\d+)px",
        lambda size: f"{size[1] or ''} {int(size[2]) / 16:g}rem".strip(),
        whole,
    )


def _as_plain_script(module: str, name: str) -> str:
    """A module as a plain script: pages opened as files may load no modules."""
    shared = re.findall(r"^export (?:async )?function (\w+)", module, re.MULTILINE)
    default = re.search(r"^export default \{(.*?)\};", module, re.MULTILINE | re.DOTALL)
    if default is not None:
        shared += [part.strip() for part in default[1].split(",") if part.strip()]
        module = module.replace(default[0], "")
    module = re.sub(r"^export ", "", module, flags=re.MULTILINE)
    return (
        f'(() => {{\n"use strict";\n{module}\nwindow.hoofcalc = window.hoofcalc || {{}};\n'
        f"window.hoofcalc.{name} = {{ {', '.join(shared)} }};\n}})();\n"
    )


def runtime_files(found: Mapping[str, bytes]) -> dict[str, bytes]:
    """The runtime as it lies on the server: packed where that helps, whatever the server does."""
    files: dict[str, bytes] = {f"{runtime.LOCK}.bin": runtime.lock_file()}
    for part in runtime.parts():
        content = found[part.name]
        if part.name.endswith(".js"):
            files[part.name] = content
            continue
        if not part.late:
            content = bundle.repacked(part.name, content)
        zipped = gzip.compress(content, 9, mtime=0)
        files[f"{part.name}.bin"] = zipped if len(zipped) < 0.9 * len(content) else content
    return files


def archives() -> list[str]:
    """What is unpacked when Python wakes, besides hoofcalc's own code."""
    return [part.name for part in runtime.parts() if part.package and not part.late]


def _write(folder: Path, course: Course, found: Mapping[str, bytes]) -> list[str]:
    """Write everything; the names of the pages."""
    package = package_zip()
    files: dict[str, bytes] = {}
    place = f"runtime-{runtime.version()}"
    package_name = f"hoofcalc-{hashlib.sha256(package).hexdigest()[:12]}.zip"
    files |= {f"{place}/{name}": content for name, content in runtime_files(found).items()}
    files[f"{place}/{package_name}.bin"] = package
    files |= {
        f"{place}/licences/{name}": text for name, text in runtime.licences(dict(found)).items()
    }
    for name, text in scripts().items():
        if name not in ("worker.js", "sw.js"):
            files[f"assets/{name}"] = text.encode()
    files[f"{place}/worker.js"] = scripts()["worker.js"].encode()
    files["assets/site.css"] = style().encode()
    files["assets/search_index.js"] = _index(course).encode()
    for lesson in course.lessons:
        files |= {f"pictures/{name}": content for name, content in lesson.pictures.items()}
    files[PDF] = cards_pdf()
    files |= _icons()
    settings: dict[str, Any] = {
        "worker": f"{place}/worker.js",
        "runtime": f"{place}/",
        "archives": [*archives(), package_name],
        "service": "sw.js",
    }
    settings["megabytes"] = round(
        sum(len(content) for name, content in files.items() if _wakes(name)) / 1e6
    )
    pages = _pages(course, settings)
    files |= {name: text.encode() for name, text in pages.items()}
    files["manifest.webmanifest"] = _manifest()
    files["server-headers.txt"] = _headers(course).encode()
    files["sw.js"] = _service(files).encode()
    files[MARK] = json.dumps({"hoofcalc": __version__, "pages": list(pages)}).encode()
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return list(pages)


def _wakes(name: str) -> bool:
    """Whether a file is fetched by each page that wakes Python; licences and late parts are not."""
    late = {f"{part.name}.bin" for part in runtime.parts() if part.late}
    path = Path(name)
    return path.parent.name.startswith("runtime-") and path.name not in late


def _service(files: Mapping[str, bytes]) -> str:
    """The service worker with what it keeps: everything but what few pages need."""
    kept = {
        name: hashlib.sha256(content).hexdigest()[:16]
        for name, content in files.items()
        if _wakes(name) or not name.startswith(("runtime-", "server-headers"))
    }
    version = hashlib.sha256(json.dumps(kept).encode()).hexdigest()[:12]
    order = json.dumps({"version": version, "files": kept})
    return f"self.HOOFCALC = {order};\n{scripts()['sw.js']}"


def _index(course: Course) -> str:
    """What a search looks through."""
    rows = [
        {
            "page": f"{page.name}.html",
            "place": place,
            "title": page.title,
            "heading": heading,
            "text": text,
        }
        for page in (*course.lessons, course.glossary, *course.exercises)
        for place, heading, text in page.sections
    ]
    return f"window.hoofcalcIndex = {json.dumps(rows, ensure_ascii=False)};\n"


# ---------------------------------------------------------------- pages

_LESSON_SCRIPTS = (
    "keep.js",
    "alive.js",
    "figure.js",
    "prediction.js",
    "question.js",
    "lesson.js",
    "site.js",
)
_EXERCISE_SCRIPTS = ("keep.js", "alive.js", "notebook_cells.js", "exercise.js", "site.js")


def _pages(course: Course, settings: Mapping[str, Any]) -> dict[str, str]:
    """All pages by file name, the front page first."""
    front = Page("index", "Why a heel gives way", _piece("front", course, __version__))
    pages = {"index.html": _shell(front, ("keep.js", "site.js"), settings)}
    for at, lesson in enumerate(course.lessons):
        body = lesson_body(course, at)
        pages[f"{lesson.name}.html"] = _shell(lesson, _LESSON_SCRIPTS, settings, body=body)
    for exercise in course.exercises:
        body = exercise_body(exercise)
        pages[f"{exercise.name}.html"] = _shell(exercise, _EXERCISE_SCRIPTS, settings, body=body)
    drawn = "".join(map(card_html, yard_cards()))
    cards = Page("cards", "Yard cards", _piece("cards", yard_cards(), PDF, drawn))
    pages["cards.html"] = _shell(cards, ("keep.js", "site.js"), settings)
    pages["glossary.html"] = _shell(course.glossary, ("keep.js", "site.js"), settings)
    search = Page("search", "Search", _piece("search"))
    pages["search.html"] = _shell(search, ("search_index.js", "search.js", "site.js"), settings)
    scripts_of_where = ("keep.js", "where.js", "where_page.js", "site.js")
    pages["where.html"] = _shell(_where(course), scripts_of_where, settings)
    return pages


def lesson_body(course: Course, at: int) -> str:
    """A lesson with the chain above it and the ways on below it."""
    lesson = course.lessons[at]
    # the words of the notebook's chain stand in the drawn one
    words = re.sub(
        r"<p><em>(?:(?!</p>).)*you are here.*?</p>", "", lesson.body, count=1, flags=re.S
    )
    following = course.lessons[at + 1] if at + 1 < len(course.lessons) else None
    on = _piece("on", course.exercise_of(lesson), following)
    return f"{_chain(course, lesson.name[:2])}{_heading(lesson)}{words}{on}"


def exercise_body(exercise: Page) -> str:
    """An exercise with its heading and the way back to the lesson."""
    back = _piece("back", exercise.name.removeprefix("exercise-"))
    return f"{_heading(exercise)}{back}{exercise.body}"


def _piece(name: str, *values: Any) -> str:
    """A page, or a part of one, by its name in the template."""
    return piece("hoofcalc.site", "pages.html.j2", name, *values)


def _heading(page: Page) -> str:
    found = re.match(r"((?:Exercise )?\d\d):? (.+)", page.title)
    if not found:
        return _piece("heading", "", page.title)
    return _piece("heading", f"Lesson {found[1]}" if found[1].isdigit() else found[1], found[2])


def _chain(course: Course, here: str) -> str:
    """The chain through the course, small, with "you are here"."""
    pages = {lesson.name[:2]: f"{lesson.name}.html" for lesson in course.lessons}
    at = next((place for place, link in enumerate(CHAIN) if link[0] == here), -1)
    return _piece("chain", CHAIN, pages, at)


def _where(course: Course) -> Page:
    """The page that remembers; `where_page.js` draws it."""
    data = {**course_shown(".html"), "anchors": "id"}
    for row, lesson in zip(data["lessons"], course.lessons, strict=True):
        if (exercise := course.exercise_of(lesson)) is not None:
            tasks = exercise.body.count('class="check"')
            page = f"{exercise.name}.html"
            row["exercise"] = {"page": page, "title": exercise.title, "tasks": tasks}
    return Page("where", "Where I am", _piece("where", in_script(data)))


def _shell(
    page: Page, needed: Iterable[str], settings: Mapping[str, Any], *, body: str | None = None
) -> str:
    """A page with its head, the way around, and the caution."""
    inside = _heading(page) + page.body if body is None else body
    return _piece("shell", page, policy(inside), inside, needed, in_script(settings), CAUTION)


def policy(body: str) -> str:
    """The content security policy of a page: its own files, and styles in it by their sum."""
    found = re.findall(r"<style>(.*?)</style>", html.unescape(body), flags=re.DOTALL)
    return _POLICY.format(styles="".join(f" {sum_of(text)}" for text in found))


def sum_of(text: str) -> str:
    """A style or script as a policy names it."""
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return f"'sha256-{digest}'"


def _headers(course: Course) -> str:
    """What a server may send along."""
    bodies = "".join(lesson.body for lesson in course.lessons)
    return (
        "What a web server should send with every file of this folder. The pages hold the same "
        "policy in themselves; sent by the server it also binds the worker.\n\n"
        f"Content-Security-Policy: {policy(bodies)}; frame-ancestors 'none'\n"
        "X-Content-Type-Options: nosniff\n"
        "Referrer-Policy: no-referrer\n"
        "Permissions-Policy: camera=(), microphone=(), geolocation=()\n"
        "Cross-Origin-Opener-Policy: same-origin\n\n"
        "Cache-Control: no-cache for pages, sw.js and assets; "
        "max-age=31536000, immutable for the folder runtime-...\n"
    )


def _manifest() -> bytes:
    icons = [
        {"src": "assets/icon-192.png", "sizes": "192x192", "type": "image/png"},
        {"src": "assets/icon-512.png", "sizes": "512x512", "type": "image/png"},
        {
            "src": "assets/icon-512.png",
            "sizes": "512x512",
            "type": "image/png",
            "purpose": "maskable",
        },
    ]
    return json.dumps(
        {
            "name": "Why a heel gives way",
            "short_name": "Heel",
            "lang": "en",
            "start_url": "index.html",
            "scope": "./",
            "display": "standalone",
            "background_color": "#f7f4ed",
            "theme_color": "#f7f4ed",
            "icons": icons,
        }
    ).encode()


def _icons() -> dict[str, bytes]:
    """The site's sign: a foot on the ground line, pushed from below."""
    from PIL import Image, ImageDraw

    files: dict[str, bytes] = {}
    for size in (192, 512):
        unit = size / 64
        image = Image.new("RGB", (size, size), "#f7f4ed")
        draw = ImageDraw.Draw(image)

        def at(*places: float, unit: float = unit) -> list[float]:
            return [unit * place for place in places]

        draw.polygon(at(14, 44, 25, 22, 40, 18, 50, 44), fill="#ecd3a0", outline="#1e2227")
        draw.line(at(10, 45, 54, 45), fill="#1e2227", width=round(2 * unit))
        draw.line(at(32, 41, 32, 25), fill="#0072b2", width=round(3 * unit))
        draw.polygon(at(26, 28, 32, 19, 38, 28), fill="#0072b2")
        stream = io.BytesIO()
        image.save(stream, "PNG", optimize=True)
        files[f"assets/icon-{size}.png"] = stream.getvalue()
    files["assets/icon.svg"] = (
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64"><rect width="64" height="64" '
        b'rx="12" fill="#f7f4ed"/><path d="M14 44L25 22l15-4 10 26z" fill="#ecd3a0" '
        b'stroke="#1e2227" stroke-width="2"/><path d="M10 45h44" stroke="#1e2227" '
        b'stroke-width="3"/><path d="M32 41V25" stroke="#0072b2" stroke-width="4"/>'
        b'<path d="M26 28l6-9 6 9z" fill="#0072b2"/></svg>'
    )
    return files

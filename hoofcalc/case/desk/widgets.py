"""Small pieces of the desk's screen: words, buttons that answer, and waiting with a bar."""

from __future__ import annotations

import asyncio
import base64
import logging
from collections.abc import Callable, Sequence
from html import escape
from pathlib import Path
from typing import Any, TypeVar

import ipywidgets as widgets

from hoofcalc.case.storage import CaseError

__all__ = [
    "STYLE",
    "UNCHANGED",
    "NumberField",
    "Said",
    "button",
    "choose",
    "closed",
    "file_link",
    "heading",
    "in_background",
    "labelled",
    "listing",
    "progress_bar",
    "row",
    "sentence",
    "shown",
    "text",
]

T = TypeVar("T")
UNCHANGED = "Nothing has changed since it was saved."
#: What takes no longer is done before a bar could be read [s].
_UNSEEN_S = 0.4
#: Work under way; the loop itself holds it only weakly.
_UNDER_WAY: set[asyncio.Task[None]] = set()
_KINDS = {".pdf": "application/pdf", ".svg": "image/svg+xml", ".html": "text/html"}
STYLE = """<style>
.hoofcalc-desk { font-size: 16px; line-height: 1.45; color: #111; }
.hoofcalc-desk .widget-html-content, .hoofcalc-desk .jupyter-widget-html-content {
  font-size: 16px; line-height: 1.45; overflow: visible; white-space: normal; }
.hoofcalc-desk .widget-html:has(> .widget-html-content:empty) { display: none; }
.hoofcalc-desk .widget-html { height: auto; min-height: 0; margin: 2px; }
.hoofcalc-desk, .hoofcalc-desk .widget-box { overflow: visible; }
.hoofcalc-desk h2 { font-size: 19px; margin: .6em 0 .2em; line-height: 1.3; }
.hoofcalc-desk a { color: #0072b2; text-decoration: underline; }
.hoofcalc-desk p, .hoofcalc-desk ul { margin: .25em 0; max-width: 46em; }
.hoofcalc-desk .widget-label, .hoofcalc-desk .jupyter-widgets-label,
.hoofcalc-desk label { color: #111; font-size: 15px; }
.hoofcalc-desk button.jupyter-button { min-height: 42px; height: auto; font-size: 16px;
  padding: 4px 14px; white-space: normal; line-height: 1.3; background: #fff; color: #111;
  border: 2px solid #0072b2; border-radius: 6px; }
.hoofcalc-desk button.jupyter-button:hover:enabled { background: #e8f2f8; }
.hoofcalc-desk button.jupyter-button:disabled { border-color: #767676; color: #555; opacity: 1; }
.hoofcalc-desk button.jupyter-button:focus-visible { outline: 3px solid #000; outline-offset: 2px; }
.hoofcalc-desk .hoofcalc-part > button.jupyter-button { text-align: left;
  font-size: 18px; font-weight: 600; border-color: #111; margin: 2px; }
.hoofcalc-desk textarea { font: inherit; }
.hoofcalc-desk input:not([type=range]):not([type=checkbox]), .hoofcalc-desk select {
  min-height: 40px; font-size: 16px; }
.hoofcalc-desk .widget-inline-hbox, .hoofcalc-desk .jupyter-widget-inline-hbox {
  height: auto; min-height: 46px; align-items: center; flex-wrap: wrap; }
.hoofcalc-desk .widget-inline-hbox > .widget-label { width: auto; max-width: 100%; height: auto;
  white-space: normal; text-align: left; overflow: visible; line-height: 1.3; }
.hoofcalc-desk .widget-inline-hbox > :is(input:not([type=checkbox]), select, textarea) {
  flex: 1 1 140px; min-width: 140px; }
.hoofcalc-desk .widget-inline-hbox > textarea { flex-basis: 240px; min-width: 240px; }
.hoofcalc-desk > .widget-html:first-child { display: none; }
.hoofcalc-desk .hoofcalc-row { flex-wrap: wrap; gap: 6px; align-items: center; }
.hoofcalc-desk .hoofcalc-refused { border-left: 4px solid #000; padding-left: .8em; }
.hoofcalc-banner { position: fixed; z-index: 1000; left: 0; right: 0; top: 0; padding: .7em 1em;
  background: #fff; color: #111; border: 4px solid #d55e00; font-weight: 600; }
.hoofcalc-banner[hidden] { display: none; }
.hoofcalc-desk iframe { width: 100%; height: 60vh; border: 1px solid #767676; }
</style>"""


def text(words: str) -> Any:
    """A paragraph."""
    return widgets.HTML(f"<p>{escape(words)}</p>")


def heading(words: str) -> Any:
    """A heading inside a part."""
    return widgets.HTML(f"<h2>{escape(words)}</h2>")


def listing(lines: Sequence[str]) -> str:
    """Lines as a list, in HTML."""
    return "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ul>"


def sentence(trouble: BaseException) -> str:
    """What went wrong, as a sentence; never a trace of the program."""
    if isinstance(trouble, CaseError | ValueError):
        said = str(trouble).strip() or "That cannot be"
    elif isinstance(trouble, OSError):
        said = f"The disk refuses: {trouble.strerror or trouble}"
    else:
        logging.getLogger(__name__).error("in the desk", exc_info=trouble)
        said = (
            f"That did not work ({type(trouble).__name__}: {trouble}). What was kept before stands"
        )
    said = said[:1].upper() + said[1:]
    return said if said.endswith((".", "?", "!")) else f"{said}."


class Said(widgets.HTML):  # type: ignore[misc]
    """The place where a button says what happened."""

    def say(self, words: str) -> None:
        """Something that happened."""
        self.value = f'<p role="status">{escape(words)}</p>' if words else ""

    def refuse(self, trouble: BaseException) -> None:
        """Why something did not happen."""
        self.value = f'<p role="alert" class="hoofcalc-refused">{escape(sentence(trouble))}</p>'


def button(words: str, act: Callable[[], str | None], said: Said) -> Any:
    """A button in words; what `act` gives back or why it refuses is said in `said`."""
    made = widgets.Button(description=words, layout={"width": "max-content", "max_width": "100%"})

    def press(_button: Any) -> None:
        try:
            answer = act()
        except Exception as trouble:
            said.refuse(trouble)
            return
        if answer is not None:
            said.say(answer)

    made.on_click(press)
    return made


def labelled(kind: Any, words: str, **settings: Any) -> Any:
    """A field with its words before it, as wide as the screen allows."""
    return kind(
        description=words,
        style={"description_width": "initial"},
        layout={"width": "auto", "max_width": "560px"},
        **settings,
    )


class NumberField(widgets.Text):  # type: ignore[misc]
    """A field for one number: empty until it is typed, read when it is left, never changed.

    Parameters
    ----------
    words
        What is asked for, with its unit.
    low, high
        Least and greatest number.
    """

    def __init__(self, words: str, low: float, high: float) -> None:
        super().__init__(
            description=words,
            placeholder=f"{low:g} to {high:g}",
            continuous_update=False,
            style={"description_width": "initial"},
            layout={"width": "auto", "max_width": "560px"},
        )
        self.low, self.high = low, high

    @property
    def number(self) -> float | None:
        """The number; None while nothing is typed. A CaseError for what is no such number."""
        typed = self.value.strip().replace(",", ".")
        if not typed:
            return None
        try:
            number = float(typed)
        except ValueError:
            raise CaseError(f"{self.description}: {self.value} is no number") from None
        if not self.low <= number <= self.high:
            raise CaseError(
                f"{self.description}: must be between {self.low:g} and {self.high:g} (got "
                f"{self.value})"
            )
        return number

    def show(self, number: float | None) -> None:
        """Show a number as a person would write it."""
        self.value = "" if number is None else f"{number:.10g}"


def choose(words: str, options: Any, value: Any = None) -> Any:
    """A choice of one among several."""
    return labelled(widgets.Dropdown, words, options=options, value=value)


def row(*children: Any) -> Any:
    """Pieces side by side, and one below another where the screen is narrow."""
    made = widgets.HBox(children)
    made.add_class("hoofcalc-row")
    return made


def shown(piece: Any, visible: bool) -> None:
    """Show a piece, or take it out of sight."""
    piece.layout.display = None if visible else "none"


def closed(piece: Any) -> None:
    """Free a piece and all that is in it, pictures included."""
    for child in getattr(piece, "children", ()):
        closed(child)
    piece.close()


def file_link(path: Path, words: str) -> str:
    """A link that hands over a file without asking any server for it, in HTML."""
    data = base64.b64encode(path.read_bytes()).decode("ascii")
    kind = _KINDS.get(path.suffix.lower(), "application/octet-stream")
    return (
        f'<p><a download="{escape(path.name)}" href="data:{kind};base64,{data}">'
        f"{escape(words)}</a></p>"
    )


def in_background(
    work: Callable[[Callable[[float], None]], T],
    done: Callable[[T], None],
    said: Said,
    bar: Any,
    *,
    failed: Callable[[BaseException], None] | None = None,
) -> None:
    """Do what takes a while beside the screen, which stays alive, with a bar that shows it.

    Parameters
    ----------
    work
        What is done; it is given a function to be called with the part that is done, 0 to 1.
    done
        Called on the screen's side with what came of it.
    said
        Where a refusal is said.
    bar
        A bar from 0 to 1, shown meanwhile.
    failed
        Called in place of saying a refusal.
    """
    part = [0.0]

    def progress(share: float) -> None:
        part[0] = share

    def ended(trouble: BaseException) -> None:
        (failed or said.refuse)(trouble)

    try:
        loop = asyncio.get_running_loop()
    except RuntimeError:  # no page: there is nobody to show the bar to
        try:
            done(work(progress))
        except Exception as trouble:
            ended(trouble)
        return

    async def waited() -> None:
        bar.value = 0.0
        try:
            task = loop.run_in_executor(None, work, progress)
            patience = _UNSEEN_S
            while not (await asyncio.wait({task}, timeout=patience))[0]:
                bar.value = part[0]
                shown(bar, True)
                patience = 0.1
            done(task.result())
        except Exception as trouble:
            ended(trouble)
        finally:
            shown(bar, False)

    running = loop.create_task(waited())
    _UNDER_WAY.add(running)
    running.add_done_callback(_UNDER_WAY.discard)


def progress_bar(words: str) -> Any:
    """A bar from 0 to 1, out of sight until something is done."""
    bar = labelled(widgets.FloatProgress, words, min=0.0, max=1.0, value=0.0)
    shown(bar, False)
    return bar

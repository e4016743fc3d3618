"""Small pieces of the desk's screen: words, buttons that answer, and waiting with a bar."""

from __future__ import annotations

import asyncio
import base64
import logging
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import ipywidgets as widgets

from hoofcalc.case.markup import piece
from hoofcalc.case.storage import CaseError

if TYPE_CHECKING:
    from hoofcalc.pictures.still import StillPicture

T = TypeVar("T")
#: Words before a field, and as wide as the screen allows.
_WIDE: dict[str, Any] = {
    "style": {"description_width": "initial"},
    "layout": {"width": "auto", "max_width": "560px"},
}
#: What takes no longer is done before a bar could be read [s].
_UNSEEN_S = 0.4
#: Work under way; the loop itself holds it only weakly.
_UNDER_WAY: set[asyncio.Task[None]] = set()
_KINDS = {".pdf": "application/pdf", ".svg": "image/svg+xml", ".html": "text/html"}
STYLE = f"<style>{Path(__file__).with_name('desk.css').read_text('utf-8')}</style>"


def paragraph(words: str) -> str:
    """Words in HTML; nothing for none."""
    return piece("paragraph", words) if words else ""


def text(words: str) -> Any:
    """A paragraph."""
    return widgets.HTML(paragraph(words))


def prose(name: str) -> Any:
    """A text of the desk, by its name in the templates."""
    return widgets.HTML(piece(name))


def heading(words: str) -> Any:
    """A heading inside a part."""
    return widgets.HTML(piece("heading", words))


def listing(lines: Sequence[str], before: str = "") -> Any:
    """Lines as a list, with words before them; nothing where there are none."""
    return widgets.HTML(piece("listing", lines, before))


def encoded(picture: StillPicture) -> str:
    """A picture as it stands in HTML."""
    return base64.b64encode(picture.png).decode("ascii")


def still(picture: StillPicture) -> Any:
    """A picture that narrows with the screen, with its caption."""
    seen = (encoded(picture), picture.alt, picture.width, picture.caption)
    return widgets.HTML(piece("picture", *seen))


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
        self.value = piece("said", words)

    def refuse(self, trouble: BaseException) -> None:
        """Why something did not happen."""
        self.value = piece("refused", sentence(trouble))


def refusal(trouble: BaseException) -> Any:
    """Why something cannot be shown, in its place."""
    made = Said()
    made.refuse(trouble)
    return made


def told(act: Callable[[], str | None], said: Said) -> None:
    """Do something, and say what it gives back or why it refuses."""
    try:
        answer = act()
    except Exception as trouble:
        said.refuse(trouble)
    else:
        if answer is not None:
            said.say(answer)


def button(words: str, act: Callable[[], str | None], said: Said) -> Any:
    """A button in words; what `act` gives back or why it refuses is said in `said`."""
    made = widgets.Button(description=words, layout={"width": "max-content", "max_width": "100%"})
    made.on_click(lambda _: told(act, said))
    return made


class Part(widgets.VBox):  # type: ignore[misc]
    """A part of the desk. It hears what a person changes, and not what it sets itself."""

    _setting = False

    def hear(
        self, field: Any, act: Callable[[], str | None], said: Said, trait: str = "value"
    ) -> None:
        """Act when a person changes a field; the answer or why it is refused is said in `said`."""
        field.observe(lambda _: None if self._setting else told(act, said), trait)

    @contextmanager
    def unheard(self) -> Iterator[None]:
        """Fields are set by the program meanwhile."""
        before, self._setting = self._setting, True
        try:
            yield
        finally:
            self._setting = before


def labelled(kind: Any, words: str, **settings: Any) -> Any:
    """A field with its words before it, as wide as the screen allows."""
    return kind(description=words, **_WIDE, **settings)


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
            **_WIDE,
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


def shown(part: Any, visible: bool) -> None:
    """Show a piece, or take it out of sight."""
    part.layout.display = None if visible else "none"


def saved(written: Sequence[str]) -> str:
    """What was written, as a sentence."""
    if not written:
        return "Nothing has changed since it was saved."
    return f"Saved: {', '.join(written)}."


def closed(part: Any) -> None:
    """Free a piece and all that is in it or was made along with it, pictures included."""
    for child in getattr(part, "children", ()):
        closed(child)
    for beside in ("style", "layout"):
        if isinstance(getattr(part, beside, None), widgets.Widget):
            getattr(part, beside).close()
    part.close()


def file_link(name: str, content: bytes, words: str) -> str:
    """A link that hands over a file without asking any server for it, in HTML."""
    data = base64.b64encode(content).decode("ascii")
    kind = _KINDS.get(Path(name).suffix.lower(), "application/octet-stream")
    return piece("link", name, f"data:{kind};base64,{data}", words)


class Strip(widgets.VBox):  # type: ignore[misc]
    """Buttons side by side; the part whose button is pressed stands below them, one at a time.

    Parameters
    ----------
    parts
        Of each part its name, the words on its button, and what makes it when it is opened.
    """

    def __init__(self, parts: Sequence[tuple[str, str, Callable[[], Any]]]) -> None:
        self.open_part = ""
        self.inside: Any = None
        self._make = {name: make for name, _, make in parts}
        self.said = Said()
        self.buttons = {
            name: button(words, self._opener(name), self.said) for name, words, _ in parts
        }
        self.state = widgets.HTML()
        self.box = widgets.VBox()
        strip = row(*self.buttons.values())
        strip.add_class("hoofcalc-strip")
        super().__init__([strip, self.state, self.said, self.box])

    def _opener(self, name: str) -> Callable[[], None]:
        return lambda: self.show("" if self.open_part == name else name)

    def show(self, name: str) -> None:
        """Open a part, or none; the one that was open saves what it holds and goes."""
        self.leave()
        self.open_part = name
        for each, pressed in self.buttons.items():
            pressed.tooltip = "shown below" if each == name else ""
            (pressed.add_class if each == name else pressed.remove_class)("hoofcalc-open")
        if name:
            try:
                self.inside = self._make[name]()
            except Exception as trouble:
                self.inside = refusal(trouble)
            self.box.children = (self.inside,)

    def leave(self) -> None:
        """Let the open part save what it holds, and free it."""
        if self.inside is None:
            return
        getattr(self.inside, "leave", lambda: None)()
        self.box.children = ()
        closed(self.inside)
        self.inside = None


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

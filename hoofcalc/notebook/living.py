"""A living figure in a notebook: the browser draws, Python calculates, matplotlib keeps a still.

The browser asks for a setting; `Figure.frame` calculates it; the numbers go back in one
binary block of a few kilobytes and the browser draws them. It asks
again only when the answer has come, and then for the newest setting. While nothing is under way
it asks ahead for what the next move may bring (`ahead.js`); such an answer changes nothing here.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping
from typing import Any

import anywidget
import traitlets

from hoofcalc.figures.spec import Figure, Frame
from hoofcalc.figures.web import asset
from hoofcalc.figures.wire import description, state
from hoofcalc.pictures.drawing import Drawing, drawing_of

WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


class _View(anywidget.AnyWidget):  # type: ignore[misc]
    """The browser's half of a figure: `figure.js` and what it needs to know."""

    _esm = asset("figure.js")
    _css = asset("figure.css")
    spec = traitlets.Dict().tag(sync=True)
    state = traitlets.Dict().tag(sync=True)


class LivingFigure:
    """A figure that moves in the notebook and leaves a still picture behind.

    Parameters
    ----------
    figure
        What the figure is.
    """

    def __init__(self, figure: Figure) -> None:
        self.figure = figure
        self.frame: Frame = figure.frame({})
        if self.frame.refusal:
            raise ValueError(self.frame.refusal)
        self._drawing: Drawing | None = None
        self._view = _View(spec=description(figure), state=state(figure, self.frame))
        self._view.on_msg(self._asked)

    @property
    def widget(self) -> _View:
        """The figure itself, to be put among other widgets."""
        return self._view

    @property
    def sentence(self) -> str:
        """What the picture shows now, in words."""
        return self.frame.sentence

    @property
    def alt(self) -> str:
        """What is drawn now, for those who cannot see it, and the sentence."""
        return f"{self.frame.alt} {self.frame.sentence}"

    def move(self, **values: Any) -> None:
        """Set sliders, as a hand would; the others stay.

        Parameters
        ----------
        values
            New values by name.

        Raises
        ------
        ValueError
            If a name is unknown, a number lies outside its slider, or there is no result.
        """
        frame = self.figure.frame({**self.frame.values, **values})
        if frame.refusal:
            raise ValueError(frame.refusal)
        self._take(frame, serial="")

    def png(self) -> bytes:
        """The still picture at the present setting.

        Returns
        -------
        bytes
            A PNG file, twice as many dots as pixels.
        """
        drawing = self._still()
        drawing.show(self.frame.results)
        return drawing.png()

    def _still(self) -> Drawing:
        """matplotlib's drawing, made when it is first wanted."""
        if self._drawing is None:
            self._drawing = drawing_of(self.figure)
        return self._drawing

    def close(self) -> None:
        """Take the figure out of the browser and free what it holds."""
        self._view.on_msg(self._asked, remove=True)
        self._view.layout.close()
        self._view.close()
        self._drawing = None

    def _asked(self, _view: Any, message: Any, _buffers: Any) -> None:
        """Answer the browser. Whatever goes wrong is said in the figure, never as a traceback."""
        if not isinstance(message, Mapping) or "values" not in message:
            return
        try:
            frame = self.figure.frame(message["values"])
        except Exception as trouble:
            reason = f"The calculation stopped ({type(trouble).__name__}: {trouble})."
            frame = Frame(values=self.frame.values, refusal=reason)
        serial = str(message.get("serial", ""))
        if message.get("ahead"):  # not moved there: said, and nothing here changes
            told = state(self.figure, frame, serial=serial)
            self._view.send(told, [told.pop("floats", b"")])
        else:
            self._take(frame, serial=serial)

    def _take(self, frame: Frame, *, serial: str) -> None:
        """Show a new frame; a refused one leaves the last picture standing, drawn pale."""
        if not frame.refusal:
            self.frame = frame
        self._view.state = state(self.figure, frame, serial=serial)

    def _repr_mimebundle_(
        self, include: Any = None, exclude: Any = None
    ) -> tuple[dict[str, Any], dict[str, Any]]:
        """The live figure where there is a kernel; its picture and sentence everywhere else."""
        del include, exclude
        view = {"version_major": 2, "version_minor": 0, "model_id": self._view.model_id}
        data = {
            WIDGET_VIEW: view,
            "image/png": base64.b64encode(self.png()).decode("ascii"),
            "text/plain": self.sentence,
        }
        about = {
            "alt": self.alt,
            "width": self._still().width,
            "figure": self.figure.name,
        }
        return data, {"image/png": about}

    def __repr__(self) -> str:
        return self.sentence

"""A living figure in a notebook: the browser draws, Python calculates, matplotlib keeps a still.

The browser asks for a setting; `Explorer.frame` calculates it; the numbers go back in one
binary block of a few kilobytes and the browser draws them over the fixed background. It asks
again only when the answer has come, and then for the newest setting.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from hoofcalc.explorers.declare import Explorer, Frame
from hoofcalc.pictures import COLOURS, PLAIN, Drawing

_HERE = Path(__file__).parent
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


class _View(anywidget.AnyWidget):  # type: ignore[misc]
    """The browser's half of a figure: `figure.js` and what it needs to know."""

    _esm = (_HERE / "figure.js").read_text("utf-8")
    _css = (_HERE / "figure.css").read_text("utf-8")
    spec = traitlets.Dict().tag(sync=True)
    state = traitlets.Dict().tag(sync=True)


class LivingFigure:
    """A figure that moves in the notebook and leaves a still picture behind.

    Parameters
    ----------
    explorer
        What the figure is.
    """

    def __init__(self, explorer: Explorer) -> None:
        self.explorer = explorer
        self.frame: Frame = explorer.frame({})
        if self.frame.refusal:
            raise ValueError(self.frame.refusal)
        self._drawing: Drawing | None = explorer.drawing()
        self._view = _View(
            spec=description(explorer, self._drawing), state=state(explorer, self.frame)
        )
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
        frame = self.explorer.frame({**self.frame.values, **values})
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
        if self._drawing is None:
            self._drawing = self.explorer.drawing()
        self._drawing.show(self.frame.results)
        return self._drawing.png()

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
            frame = self.explorer.frame(message["values"])
        except Exception as trouble:
            reason = f"The calculation stopped ({type(trouble).__name__}: {trouble})."
            frame = Frame(values=self.frame.values, refusal=reason)
        self._take(frame, serial=str(message.get("serial", "")))

    def _take(self, frame: Frame, *, serial: str) -> None:
        """Show a new frame; a refused one leaves the last picture standing, drawn pale."""
        if not frame.refusal:
            self.frame = frame
        self._view.state = state(self.explorer, frame, serial=serial)

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
            "width": sum(panel.width for panel in self.explorer.panels),
            "figure": self.explorer.name,
        }
        return data, {"image/png": about}

    def __repr__(self) -> str:
        return self.sentence


def description(
    explorer: Explorer, drawing: Drawing, images: Sequence[Any] | None = None
) -> dict[str, Any]:
    """Everything the browser must know once: controls, panels, backgrounds, series, looks.

    Parameters
    ----------
    explorer
        The figure.
    drawing
        Its picture.
    images
        What stands for each panel's background; its PNG file where nothing is given.

    Returns
    -------
    dict
        Plain values, and bytes for the backgrounds.
    """
    pictures = drawing.backgrounds() if images is None else images
    return {
        "name": explorer.name,
        "title": explorer.title,
        "note": explorer.note,
        "sliders": [
            {
                "name": slider.name,
                "label": slider.label,
                "unit": slider.unit,
                "positions": slider.positions(),
            }
            for slider in explorer.sliders
        ],
        "handles": [
            {
                "name": handle.name,
                "label": handle.label,
                "panel": handle.panel,
                "step": handle.step,
                "x": {"name": handle.x, "limits": list(handle.x_limits)},
                "y": {"name": handle.y, "limits": list(handle.y_limits)},
            }
            for handle in explorer.handles
        ],
        "presets": [
            {"label": preset.label, "values": dict(preset.values)} for preset in explorer.presets
        ],
        "presets_label": explorer.presets_label,
        "choices": list(explorer.choices),
        "start": explorer.start,
        "panels": [
            {
                "title": panel.title,
                "width": panel.width,
                "height": panel.height,
                "x": list(panel.x_limits),
                "y": list(panel.y_limits),
                "box": list(box),
                "image": picture,
            }
            for panel, box, picture in zip(explorer.panels, drawing.boxes(), pictures, strict=True)
        ],
        "series": [
            {
                "kind": item.kind,
                "panel": item.panel,
                "colour": COLOURS[item.style.colour],
                "width": item.style.width,
                "dash": list(item.style.dash),
                "fill": COLOURS.get(item.style.fill, ""),
                "fillStrength": item.style.fill_strength,
                "size": item.style.size,
                "mark": item.style.mark,
                "align": item.style.align,
                "ramp": list(item.scale.colours) if item.scale else [],
                "plain": PLAIN,
            }
            for item in explorer.series
        ],
    }


def state(explorer: Explorer, frame: Frame, *, serial: str = "") -> dict[str, Any]:
    """What the browser must know at each move.

    Parameters
    ----------
    explorer
        The figure.
    frame
        Its setting and results.
    serial
        The browser's number of the request that this answers.

    Returns
    -------
    dict
        Values, points per series, all points as one block of 32-bit floats, texts and words.
    """
    if frame.refusal:
        return {"serial": serial, "values": dict(frame.values), "refusal": frame.refusal}
    counts, row = explorer.floats(frame.results)
    return {
        "serial": serial,
        "values": dict(frame.values),
        "counts": counts,
        "floats": row.tobytes(),
        "texts": explorer.texts(frame.results),
        "handles": explorer.places(frame.results),
        "sentence": frame.sentence,
        "alt": frame.alt,
        "refusal": "",
    }

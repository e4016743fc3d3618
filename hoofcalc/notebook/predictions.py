"""A prediction to draw, in a notebook: the browser draws, Python judges and remembers."""

from __future__ import annotations

import html
from collections.abc import Mapping
from typing import Any

import anywidget
import traitlets

from hoofcalc.figures.prediction import Prediction, prediction_description
from hoofcalc.figures.record import Memory, key
from hoofcalc.figures.web import asset
from hoofcalc.notebook.living import WIDGET_VIEW
from hoofcalc.notebook.memory import learners_memory


class _View(anywidget.AnyWidget):  # type: ignore[misc]
    """The browser's half of a prediction."""

    _esm = asset("prediction.js")
    _css = asset("prediction.css")
    spec = traitlets.Dict().tag(sync=True)
    kept = traitlets.Dict(allow_none=True, default_value=None).tag(sync=True)
    verdict = traitlets.Dict().tag(sync=True)


class LivePrediction:
    """A curve that is drawn before it is seen.

    Parameters
    ----------
    prediction
        What it is.
    memory
        Where the drawn curve is kept; the learner's own folder where nothing is said.
    """

    def __init__(self, prediction: Prediction, memory: Memory | None = None) -> None:
        self.prediction = prediction
        self._memory = learners_memory() if memory is None else memory
        self._key = key("predict", prediction.name)
        kept = self._memory.recall(self._key)
        self.view = _View(
            spec=prediction_description(prediction), kept=kept if isinstance(kept, dict) else None
        )
        self.view.on_msg(self._heard)

    def close(self) -> None:
        """Take the card out of the browser and free what it holds."""
        self.view.on_msg(self._heard, remove=True)
        self.view.layout.close()
        self.view.close()

    def _heard(self, _view: Any, message: Any, _buffers: Any) -> None:
        """Keep what is drawn, or judge it; whatever goes wrong is said in words."""
        if not isinstance(message, Mapping):
            return
        if "keep" in message:
            self.view.kept = message["keep"]
            self._memory.remember(self._key, message["keep"])
            self._memory.remember(key("place", self.prediction.name), {"part": "Predict"})
        if "drawn" in message:
            try:
                told = self.prediction.judge(message["drawn"]).told()
            except (TypeError, ValueError) as reason:
                told = {"name": "other", "belief": "", "says": f"This cannot be read: {reason}."}
            self.view.verdict = {**told, "serial": str(message.get("serial", ""))}

    def _repr_mimebundle_(
        self, include: Any = None, exclude: Any = None
    ) -> tuple[dict[str, Any], dict[str, Any]]:
        del include, exclude
        view = {"version_major": 2, "version_minor": 0, "model_id": self.view.model_id}
        data = {WIDGET_VIEW: view, "text/plain": repr(self.prediction)}
        heading, ask = (html.escape(one) for one in (self.prediction.heading, self.prediction.ask))
        page = (
            f"<p><strong>{heading}</strong></p><p>{ask}</p>"
            "<p><em>Press Make it alive at the top, and draw.</em></p>"
        )
        return data, {"hoofcalc": {"html": page}}

    def __repr__(self) -> str:
        return repr(self.prediction)

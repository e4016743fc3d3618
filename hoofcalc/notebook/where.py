"""The page "Where I am" in a notebook: what is kept, taken along, brought back, or deleted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import anywidget
import traitlets

from hoofcalc.figures import record
from hoofcalc.figures.web import asset
from hoofcalc.figures.where import course_shown
from hoofcalc.notebook.living import WIDGET_VIEW
from hoofcalc.notebook.memory import FolderMemory, learners_memory

__all__ = ["WhereIAm"]

_PLAIN = "Run this cell, and your place, your guesses and your answers stand here."


class _View(anywidget.AnyWidget):  # type: ignore[misc]
    """The browser's half of the page."""

    _esm = asset("where.js")
    _css = asset("where.css")
    course = traitlets.Dict().tag(sync=True)
    record = traitlets.Unicode().tag(sync=True)


class WhereIAm:
    """Where the learner is, what they remember, and their file.

    Parameters
    ----------
    memory
        Where it is kept; the learner's own folder where nothing is said.
    """

    def __init__(self, memory: FolderMemory | None = None) -> None:
        self._memory = learners_memory() if memory is None else memory
        self.view = _View(course=course_shown(".ipynb"), record=self._kept())
        self.view.on_msg(self._heard)

    def _kept(self) -> str:
        return record.text_of(self._memory.all())

    def _heard(self, _view: Any, message: Any, _buffers: Any) -> None:
        """Bring a file back, or delete everything; what came of it is said in words."""
        if not isinstance(message, Mapping):
            return
        said = ""
        if "bring" in message:
            name = str(message.get("named", "the file"))
            try:
                many = self._memory.bring_back(str(message["bring"]))
                entries = "entry" if many == 1 else "entries"
                said = f"{name} is back: {many} {entries}. Where both had one, the later stays."
            except ValueError:
                said = f"{name} was not written by this course, or is damaged. Nothing was changed."
        elif message.get("forget") is True:
            self._memory.forget()
            said = "Everything is deleted."
        self.view.record = self._kept()
        self.view.send({"says": said})

    def close(self) -> None:
        """Take the page out of the browser and free what it holds."""
        self.view.on_msg(self._heard, remove=True)
        self.view.layout.close()
        self.view.close()

    def _repr_mimebundle_(
        self, include: Any = None, exclude: Any = None
    ) -> tuple[dict[str, Any], dict[str, Any]]:
        del include, exclude
        view = {"version_major": 2, "version_minor": 0, "model_id": self.view.model_id}
        return {WIDGET_VIEW: view, "text/plain": _PLAIN}, {}

    def __repr__(self) -> str:
        return _PLAIN

"""Living figures and questions: what each lesson shows, as data and plain calculation.

Each figure of a lesson is a function here; the last line of a cell shows it:

    from hoofcalc import figures
    figures.columns()

A figure is declared (`Figure`: sliders, calculation, words, panels and series), and everything
else follows from the declaration: the moving figure in a notebook (`hoofcalc.notebook`), the
still picture (`hoofcalc.pictures`) and the figure on a page (`hoofcalc.site`). Nothing here
needs a notebook or a drawing library.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from typing import Any

from hoofcalc._inputs import choice
from hoofcalc.figures.prediction import Prediction
from hoofcalc.figures.questions import Card, answer, ask
from hoofcalc.figures.spec import Figure, Frame, Handle, Preset, Row, Slider

__all__ = [
    "EVERY_FIGURE",
    "EVERY_PREDICTION",
    "Card",
    "Figure",
    "Frame",
    "Handle",
    "Prediction",
    "Preset",
    "Row",
    "Slider",
    "answer",
    "ask",
    "capsule",
    "case",
    "columns",
    "ground_force",
    "horn",
    "landing",
    "load_path",
    "measuring",
    "orientation",
    "predict",
    "trim_cycle",
    "underrun",
]

#: Where each living figure is declared, in the order of their lessons: its file and its name there.
_DECLARED = {
    "orientation": ("orientation_figure", "ORIENTATION"),
    "landing": ("landing_figure", "LANDING"),
    "ground-force": ("force_figure", "GROUND_FORCE"),
    "measuring": ("measuring_figure", "MEASURING"),
    "columns": ("column_figure", "COLUMNS"),
    "horn": ("horn_figure", "HORN"),
    "capsule": ("capsule_figure", "CAPSULE"),
    "load-path": ("load_path_figure", "LOAD_PATH"),
    "underrun": ("underrun_figure", "UNDERRUN"),
    "trim-cycle": ("trim_cycle_figure", "TRIM_CYCLE"),
    "case": ("case_figure", "CASE"),
}

#: Where each curve to draw is declared, by the name of its lesson.
_DRAWN = {
    "orientation": ("orientation_prediction", "ORIENTATION_PREDICTION"),
    "landing": ("landing_prediction", "LANDING_PREDICTION"),
    "ground_force": ("force_prediction", "FORCE_PREDICTION"),
    "measuring": ("measuring_prediction", "MEASURING_PREDICTION"),
    "columns": ("column_prediction", "COLUMN_PREDICTION"),
    "horn": ("horn_prediction", "HORN_PREDICTION"),
    "load_path": ("load_path_prediction", "LOAD_PATH_PREDICTION"),
    "underrun": ("underrun_prediction", "UNDERRUN_PREDICTION"),
    "trim_cycle": ("trim_cycle_prediction", "TRIM_CYCLE_PREDICTION"),
}


class _Declared(Mapping[str, Any]):
    """Things by name; each is read when it is first asked for, because a page needs one alone."""

    def __init__(self, places: Mapping[str, tuple[str, str]]) -> None:
        self._places = places

    def __getitem__(self, name: str) -> Any:
        file, called = self._places[name]
        return getattr(import_module(f"hoofcalc.figures.{file}"), called)

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)


#: All living figures in the order of their lessons, by name.
EVERY_FIGURE: Mapping[str, Figure] = _Declared(_DECLARED)
#: All curves to draw, by the names of their lessons.
EVERY_PREDICTION: Mapping[str, Prediction] = _Declared(_DRAWN)


def predict(lesson: str) -> Prediction:
    """A curve to draw before it is seen.

    Parameters
    ----------
    lesson
        Name of the lesson ("underrun").

    Returns
    -------
    Prediction
        What the cell shows.

    Raises
    ------
    ValueError
        If the lesson has none.
    """
    return EVERY_PREDICTION[choice("lesson", lesson, tuple(EVERY_PREDICTION))]


def orientation() -> Figure:
    """The living figure of lesson 00: one foot in three views, its parts and its angles."""
    return EVERY_FIGURE["orientation"]


def landing() -> Figure:
    """The living figure of lesson 01: a foot comes down before a camera, and its track."""
    return EVERY_FIGURE["landing"]


def ground_force() -> Figure:
    """The living figure of lesson 02: the push of the ground through a stance."""
    return EVERY_FIGURE["ground-force"]


def measuring() -> Figure:
    """The living figure of lesson 03: a drawn photograph of a foot, to be measured."""
    return EVERY_FIGURE["measuring"]


def columns() -> Figure:
    """The living figure of lesson 04: one column, tube or bundle under a leaning load."""
    return EVERY_FIGURE["columns"]


def horn() -> Figure:
    """The living figure of lesson 05: a piece of horn, its glue, its water, the angle of a push."""
    return EVERY_FIGURE["horn"]


def capsule() -> Figure:
    """The living figure of lesson 06: the foot in 3-D, and its lines laid over a photograph."""
    return EVERY_FIGURE["capsule"]


def load_path() -> Figure:
    """The living figure of lesson 07: where round the rim the push goes along, where across."""
    return EVERY_FIGURE["load-path"]


def underrun() -> Figure:
    """The living figure of lesson 08: three feet under one push, any fourth, and the long run."""
    return EVERY_FIGURE["underrun"]


def trim_cycle() -> Figure:
    """The living figure of lesson 09: a foot from its trim to its next visit, with a band."""
    return EVERY_FIGURE["trim-cycle"]


def case() -> Figure:
    """The living figure of lesson 10: one foot on one sheet, from its records to the next visit."""
    return EVERY_FIGURE["case"]

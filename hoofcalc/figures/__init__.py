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

from hoofcalc._inputs import choice
from hoofcalc.figures.capsule_figure import CAPSULE
from hoofcalc.figures.case_figure import CASE
from hoofcalc.figures.column_figure import COLUMNS
from hoofcalc.figures.column_prediction import COLUMN_PREDICTION
from hoofcalc.figures.force_figure import GROUND_FORCE
from hoofcalc.figures.horn_figure import HORN
from hoofcalc.figures.horn_prediction import HORN_PREDICTION
from hoofcalc.figures.landing_figure import LANDING
from hoofcalc.figures.load_path_figure import LOAD_PATH
from hoofcalc.figures.measuring_figure import MEASURING
from hoofcalc.figures.measuring_prediction import MEASURING_PREDICTION
from hoofcalc.figures.orientation_figure import ORIENTATION
from hoofcalc.figures.prediction import Prediction
from hoofcalc.figures.questions import Card, answer, ask
from hoofcalc.figures.spec import Figure, Frame, Handle, Preset, Row, Slider
from hoofcalc.figures.trim_cycle_figure import TRIM_CYCLE
from hoofcalc.figures.underrun_figure import UNDERRUN
from hoofcalc.figures.underrun_prediction import UNDERRUN_PREDICTION

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

#: All living figures in the order of their lessons, by name.
EVERY_FIGURE = {
    figure.name: figure
    for figure in (
        ORIENTATION,
        LANDING,
        GROUND_FORCE,
        MEASURING,
        COLUMNS,
        HORN,
        CAPSULE,
        LOAD_PATH,
        UNDERRUN,
        TRIM_CYCLE,
        CASE,
    )
}

#: All curves to draw, by the names of their lessons.
EVERY_PREDICTION = {
    prediction.name: prediction
    for prediction in (
        MEASURING_PREDICTION,
        COLUMN_PREDICTION,
        HORN_PREDICTION,
        UNDERRUN_PREDICTION,
    )
}


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
    return ORIENTATION


def landing() -> Figure:
    """The living figure of lesson 01: a foot comes down before a camera, and its track."""
    return LANDING


def ground_force() -> Figure:
    """The living figure of lesson 02: the push of the ground through a stance."""
    return GROUND_FORCE


def measuring() -> Figure:
    """The living figure of lesson 03: a drawn photograph of a foot, to be measured."""
    return MEASURING


def columns() -> Figure:
    """The living figure of lesson 04: one column, tube or bundle under a leaning load."""
    return COLUMNS


def horn() -> Figure:
    """The living figure of lesson 05: a piece of horn, its glue, its water, the angle of a push."""
    return HORN


def capsule() -> Figure:
    """The living figure of lesson 06: the foot in 3-D, and its lines laid over a photograph."""
    return CAPSULE


def load_path() -> Figure:
    """The living figure of lesson 07: where round the rim the push goes along, where across."""
    return LOAD_PATH


def underrun() -> Figure:
    """The living figure of lesson 08: three feet under one push, any fourth, and the long run."""
    return UNDERRUN


def trim_cycle() -> Figure:
    """The living figure of lesson 09: a foot from its trim to its next visit, with a band."""
    return TRIM_CYCLE


def case() -> Figure:
    """The living figure of lesson 10: one foot on one sheet, from its records to the next visit."""
    return CASE

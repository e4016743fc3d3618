"""Living figures: sliders, a picture that follows them, and a sentence that says what it shows.

Each figure of a lesson is a function here; the last line of a cell shows it:

    from hoofcalc import explorers
    explorers.columns()

A figure is declared (`Explorer`: sliders, calculation, words, panels and series), and everything
else follows from the declaration: the moving figure in a notebook, the still picture beside it,
and the figure on a plain page (`page_fragment`).
"""

from __future__ import annotations

from hoofcalc.explorers.column_figure import COLUMNS
from hoofcalc.explorers.declare import Explorer, Frame, Handle, Preset, Slider
from hoofcalc.explorers.force_figure import GROUND_FORCE
from hoofcalc.explorers.horn_figure import HORN
from hoofcalc.explorers.landing_figure import LANDING
from hoofcalc.explorers.living import LivingFigure
from hoofcalc.explorers.measuring_figure import MEASURING
from hoofcalc.explorers.orientation_figure import ORIENTATION
from hoofcalc.explorers.page import page_fragment, write_page
from hoofcalc.explorers.questions import answer, ask
from hoofcalc.explorers.show import show

__all__ = [
    "Explorer",
    "Frame",
    "Handle",
    "LivingFigure",
    "Preset",
    "Slider",
    "answer",
    "ask",
    "columns",
    "ground_force",
    "horn",
    "landing",
    "measuring",
    "orientation",
    "page_fragment",
    "show",
    "write_page",
]


def columns() -> LivingFigure:
    """The living figure of lesson 04: one column, tube or bundle under a leaning load.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(COLUMNS)


def horn() -> LivingFigure:
    """The living figure of lesson 05: a piece of horn, its glue, its water and the angle of a push.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(HORN)


def landing() -> LivingFigure:
    """The living figure of lesson 01: a foot comes down before a camera, and what its track says.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(LANDING)


def orientation() -> LivingFigure:
    """The living figure of lesson 00: one foot in three views, its parts and its angles.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(ORIENTATION)


def measuring() -> LivingFigure:
    """The living figure of lesson 03: a drawn photograph of a foot, to be measured.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(MEASURING)


def ground_force() -> LivingFigure:
    """The living figure of lesson 02: the push of the ground through a stance, and travel before.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(GROUND_FORCE)

"""Living figures: sliders, a picture that follows them, and a sentence that says what it shows.

Each figure of a lesson is a function here; the last line of a cell shows it:

    from hoofcalc import explorers
    explorers.columns()

A figure is declared (`Explorer`: sliders, calculation, words, panels and series), and everything
else follows from the declaration: the moving figure in a notebook, the still picture beside it,
and the figure on a plain page (`page_fragment`).
"""

from __future__ import annotations

from hoofcalc.explorers.capsule_figure import CAPSULE
from hoofcalc.explorers.case_figure import CASE
from hoofcalc.explorers.column_figure import COLUMNS
from hoofcalc.explorers.declare import Explorer, Frame, Handle, Preset, Slider
from hoofcalc.explorers.force_figure import GROUND_FORCE
from hoofcalc.explorers.horn_figure import HORN
from hoofcalc.explorers.landing_figure import LANDING
from hoofcalc.explorers.living import LivingFigure
from hoofcalc.explorers.load_path_figure import LOAD_PATH
from hoofcalc.explorers.measuring_figure import MEASURING
from hoofcalc.explorers.orientation_figure import ORIENTATION
from hoofcalc.explorers.page import page_fragment, write_page
from hoofcalc.explorers.questions import answer, ask
from hoofcalc.explorers.show import show
from hoofcalc.explorers.trim_cycle_figure import TRIM_CYCLE
from hoofcalc.explorers.underrun_figure import UNDERRUN

__all__ = [
    "Explorer",
    "Frame",
    "Handle",
    "LivingFigure",
    "Preset",
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
    "page_fragment",
    "show",
    "trim_cycle",
    "underrun",
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


def capsule() -> LivingFigure:
    """The living figure of lesson 06: the foot in 3-D, and its lines laid over a photograph.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(CAPSULE)


def load_path() -> LivingFigure:
    """The living figure of lesson 07: where round the rim the push goes along, where across.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(LOAD_PATH)


def trim_cycle() -> LivingFigure:
    """The living figure of lesson 09: a foot from its trim to its next visit, with a band.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(TRIM_CYCLE)


def underrun() -> LivingFigure:
    """The living figure of lesson 08: three feet under one push, any fourth, and the long run.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(UNDERRUN)


def case() -> LivingFigure:
    """The living figure of lesson 10: one foot on one sheet, from its records to the next visit.

    Returns
    -------
    LivingFigure
        What the cell shows.
    """
    return show(CASE)

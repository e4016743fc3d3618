"""Pictures: matplotlib draws what `hoofcalc.figures` describes, and the lessons' stills.

A picture is described once, as panels (axes with fixed limits) and series
(lines, areas, points, arrows, short labels) that name the array they show.
Nothing is calculated here.
"""

from __future__ import annotations

from hoofcalc.pictures.coming_down import coming_down
from hoofcalc.pictures.drawing import Drawing, drawing_of
from hoofcalc.pictures.foot_then_and_now import foot_then_and_now
from hoofcalc.pictures.glued_bundle import glued_bundle
from hoofcalc.pictures.growth_turns import growth_turns
from hoofcalc.pictures.one_height import one_height
from hoofcalc.pictures.reading_an_angle import reading_an_angle
from hoofcalc.pictures.short_line import short_line
from hoofcalc.pictures.still import StillPicture
from hoofcalc.pictures.three_loads import three_loads
from hoofcalc.pictures.travel_and_force import travel_and_force
from hoofcalc.pictures.two_views import along_and_across, two_views

__all__ = [
    "Drawing",
    "StillPicture",
    "along_and_across",
    "coming_down",
    "drawing_of",
    "foot_then_and_now",
    "glued_bundle",
    "growth_turns",
    "one_height",
    "reading_an_angle",
    "short_line",
    "three_loads",
    "travel_and_force",
    "two_views",
]

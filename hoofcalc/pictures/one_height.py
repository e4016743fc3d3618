"""The picture of lesson 08: two heels trimmed to one height, and what a push does to them."""

from __future__ import annotations

from typing import Any

import numpy as np

from hoofcalc.figures.scene import Panel, Series, Style
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture

#: Height to which both are trimmed, thickness of a strip [mm]; the push on 1 mm of rim [N].
_HEIGHT, _THICK, _PUSH = 20.0, 5.5, 10.0
_MM_PER_N = 2.2


def one_height() -> StillPicture:
    """A steep and a flat heel of one height: length, and the push along and across.

    Returns
    -------
    StillPicture
        Two strips of heel wall in true proportion.
    """
    results: dict[str, Any] = {}
    series: list[Series] = []
    panels = []
    for panel, heel_deg in enumerate((46.0, 23.0)):
        panels.append(
            Panel(
                title=f"Heel at {heel_deg:.0f} degrees",
                x_limits=(-62, 26),
                y_limits=(-30, 40),
                equal=True,
                axes=False,
                width=420,
                height=370,
            )
        )
        found, drawn = _strip(panel, heel_deg)
        results |= found
        series += drawn
    drawing = Drawing(panels, series)
    drawing.show(results)
    return StillPicture(
        png=drawing.png(),
        width=sum(panel.width for panel in panels),
        parts=len(panels),
        caption=(
            "Two strips of heel wall, trimmed to the same height of 20 mm and pushed straight up "
            "by 10 N. The steep one is 28 mm long: 7.2 N run along it, 6.9 N across. The flat one "
            "is 51 mm long: 3.9 N along, 9.2 N across. More across, and a longer lever. (A drawing "
            "of principle, lengths and angles true.)"
        ),
        alt=(
            "Two strips of heel wall from the side, held at the top, with a push straight up at "
            "their lower end split into an arrow along the strip and one across it. At 46 degrees "
            "the two are nearly equal; at 23 degrees the strip is nearly twice as long and the "
            "arrow across more than twice the one along."
        ),
    )


def _strip(panel: int, heel_deg: float) -> tuple[dict[str, Any], list[Series]]:
    """One strip, the push at its lower end, and its two parts."""
    slope = np.radians(heel_deg)
    up = np.array([-np.cos(slope), np.sin(slope)])  # along the strip, up and back
    aside = np.array([np.sin(slope), np.cos(slope)])  # square to it
    top = _HEIGHT / np.sin(slope) * up
    half = _THICK / 2 * aside
    along, across = _PUSH * np.sin(slope), _PUSH * np.cos(slope)
    hold = np.array([top + 3 * half - 2 * up, top - 3 * half - 2 * up])
    name = f"strip{panel}"
    results = {
        f"{name}_ground": np.array([[-60.0, 0.0], [24.0, 0.0]]),
        f"{name}_wall": np.array([half, top + half, top - half, -half]),
        f"{name}_hold": np.vstack([hold, hold[::-1] + 9 * up]),
        f"{name}_push": np.array([[0.0, -_MM_PER_N * _PUSH], [0.0, 0.0]]),
        f"{name}_along": np.array([[0.0, 0.0], _MM_PER_N * along * up]),
        f"{name}_across": np.array([[0.0, 0.0], _MM_PER_N * across * aside]),
        f"{name}_push_at": np.array([[2.0, -17.0]]),
        f"{name}_push_words": f"push {_PUSH:.0f} N",
        f"{name}_along_at": np.array([[-60.0, -8.0]]),
        f"{name}_along_words": f"along {along:.1f} N",
        f"{name}_across_at": np.array([_MM_PER_N * across * aside + [0.0, 4.5]]),
        f"{name}_across_words": f"across {across:.1f} N",
        f"{name}_long_at": np.array([[-60.0, -15.0]]),
        f"{name}_long_words": f"{np.hypot(*top):.0f} mm long",
    }
    words = {
        "push": Style(colour="black", size=15),
        "along": Style(colour="blue", size=15),
        "across": Style(colour="vermillion", size=15, align="centre"),
        "long": Style(colour="black", size=15),
    }
    grey = Style(colour="grey", fill="grey", fill_strength=0.5, width=1)
    horn = Style(colour="black", fill="orange", fill_strength=0.3, width=2)
    series = [
        Series(kind="area", data=f"{name}_hold", panel=panel, style=grey),
        Series(kind="line", data=f"{name}_ground", panel=panel, style=Style(colour="grey")),
        Series(kind="area", data=f"{name}_wall", panel=panel, style=horn),
        *(
            Series(
                kind="arrow",
                data=f"{name}_{part}",
                panel=panel,
                style=Style(colour=words[part].colour, width=4),
            )
            for part in ("push", "along", "across")
        ),
        *(
            Series(
                kind="words",
                data=f"{name}_{part}_at",
                words=f"{name}_{part}_words",
                panel=panel,
                style=style,
            )
            for part, style in words.items()
        ),
    ]
    return results, series

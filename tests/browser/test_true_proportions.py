"""Every panel keeps its shape on every page: an angle on the screen is the angle of the thing."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

import hoofcalc.figures
from hoofcalc.figures import Figure
from hoofcalc.site.page import write_page

pytestmark = [
    pytest.mark.unsettled,
    pytest.mark.browser,
    pytest.mark.slow,
    pytest.mark.timeout(240),
]

FOLDER = Path(hoofcalc.figures.__file__).parent
FIGURES = [
    thing
    for path in sorted(FOLDER.glob("*_figure.py"))
    for thing in vars(import_module(f"hoofcalc.figures.{path.stem}")).values()
    if isinstance(thing, Figure)
]

BOXES = """
() => [...document.querySelectorAll('.hoofcalc-figure .panel')].map((panel) =>
  ['.', 'canvas', 'canvas + canvas'].map((what) => {
    const box = (what === '.' ? panel : panel.querySelector(what)).getBoundingClientRect();
    return [box.top, box.width, box.height];
  }))
"""


@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure.name)
def test_no_panel_is_stretched(figure: Figure, browser: Any, tmp_path: Path) -> None:
    first = figure.sliders[0].name
    address = write_page(
        tmp_path / "page.html", figure, [first], {first: 2}, presets=False
    ).as_uri()
    page = browser.new_page()
    for width in (1280, 800, 390):
        page.set_viewport_size({"width": width, "height": 900})
        page.goto(address)
        page.wait_for_function(
            "document.querySelector('.hoofcalc-figure .sentence')?.textContent.length > 20"
        )
        rows: dict[int, list[float]] = {}
        for panel, boxes in zip(figure.panels, page.evaluate(BOXES), strict=True):
            for top, wide, high in boxes:
                assert wide / high == pytest.approx(panel.width / panel.height, rel=0.01)
                assert wide <= width
                rows.setdefault(round(top), []).append(wide / panel.width)
        for scales in rows.values():  # beside each other, a length is the same in each panel
            assert max(scales) == pytest.approx(min(scales), rel=0.03)

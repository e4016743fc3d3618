"""Every picture keeps its shape at every width: angles on the screen are those of the thing."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from living import NOTEBOOK, TELEPHONE, show_figure

from hoofcalc.figures import EVERY_FIGURE
from hoofcalc.figures.web import asset
from hoofcalc.figures.wire import description

pytestmark = [
    pytest.mark.browser,
    pytest.mark.slow,
    pytest.mark.timeout(240),
]

# Where a panel's axes would lie at a width: pixels for a unit across and for a unit up.
SCALES = """async ([script, panels, widths]) => {
  const code = script + "\\nwindow.standing = standing;";
  await import(URL.createObjectURL(new Blob([code], { type: "text/javascript" })));
  const pen = document.createElement("canvas").getContext("2d");
  return panels.map((panel) => widths.flatMap((width) => [true, false].map((narrow) => {
    const { across, up } = window.standing(panel, width, narrow, pen);
    return [across, up];
  })));
}"""
CANVASES = """all => all.map((one) => {
  const { width, height } = one.getBoundingClientRect();
  return [one.width / width, one.height / height];
})"""


def test_a_unit_is_as_long_across_as_up(browser: Any) -> None:
    page = browser.new_page()
    page.goto("about:blank")
    tried = 0
    for name, figure in EVERY_FIGURE.items():
        panels = [panel for panel in description(figure)["panels"] if panel["equal"]]
        for scales in page.evaluate(SCALES, [asset("figure.js"), panels, [260, 358, 560, 810]]):
            for across, up in scales:
                assert across == pytest.approx(up, rel=1e-9), name
                assert across > 0
                tried += 1
    assert tried >= 8 * len(EVERY_FIGURE), "each figure has a picture of the thing itself"


@pytest.mark.parametrize("size", [NOTEBOOK, TELEPHONE])
def test_no_canvas_is_stretched(size: tuple[int, int], browser: Any) -> None:
    for figure in EVERY_FIGURE.values():
        page = browser.new_page()
        show_figure(page, figure, size)
        found = page.locator(".hoofcalc-figure .panel:not([hidden]) canvas").evaluate_all(CANVASES)
        assert found
        for across, down in found:
            assert across == pytest.approx(down, rel=0.01), figure.name
        page.close()

"""Every still picture can be drawn, says what it shows, and keeps its words where they are read."""

from __future__ import annotations

import io
import itertools
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from matplotlib.text import Text
from PIL import Image

from hoofcalc import pictures
from hoofcalc.pictures import Drawing, StillPicture
from hoofcalc.profile import Profile


def then_and_now() -> StillPicture:
    """The one that takes a foot of the reader's."""
    then, now = (Profile.from_measures(50, heel, 85, 35, 110) for heel in (42, 34))
    return pictures.foot_then_and_now(now, "now", then, "six weeks ago")


STILLS: list[Callable[[], StillPicture]] = [
    then_and_now,
    *(
        getattr(pictures, name)
        for name in pictures.__all__
        if name not in ("Drawing", "StillPicture", "drawing_of", "foot_then_and_now")
    ),
]
every_still = pytest.mark.parametrize("still", STILLS, ids=lambda still: still.__name__)


@pytest.fixture(scope="module")
def drawn() -> dict[str, tuple[StillPicture, list[Drawing]]]:
    """Each picture once, with the drawings that it was made of."""
    found: dict[str, tuple[StillPicture, list[Drawing]]] = {}
    kept: list[Drawing] = []
    hand_out = Drawing.png

    def png(self: Drawing) -> bytes:
        kept.append(self)
        return hand_out(self)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Drawing, "png", png)
        for still in STILLS:
            kept.clear()
            found[still.__name__] = still(), list(kept)
    return found


def words(drawing: Drawing) -> list[tuple[str, Any]]:
    """The words of a drawing that are seen, with their boxes."""
    figure = drawing._figure
    hidden = {
        id(text)
        for axes in figure.axes
        if not axes.axison
        for axis in (axes.xaxis, axes.yaxis)
        for text in axis.findobj(Text)
    }
    renderer = figure.canvas.get_renderer()
    return [
        (text.get_text(), text.get_window_extent(renderer))
        for text in figure.findobj(Text)
        if text.get_visible() and text.get_text().strip() and id(text) not in hidden
    ]


@every_still
def test_a_still_is_drawn_and_tells_what_it_shows(still: Any, drawn: Any) -> None:
    picture, drawings = drawn[still.__name__]
    assert drawings, "not drawn by the course's own drawing"
    seen = np.asarray(Image.open(io.BytesIO(picture.png)).convert("L"))
    assert seen.shape[1] == 2 * picture.width
    assert seen.std() > 10, "an empty picture"
    for words_ in (picture.caption, picture.alt):
        assert words_.strip().endswith((".", ".)"))
        assert "nan" not in words_.lower().split()
    assert len(picture.alt.split()) >= 12


@every_still
def test_no_words_leave_the_picture_or_run_into_each_other(still: Any, drawn: Any) -> None:
    for drawing in drawn[still.__name__][1]:
        found = words(drawing)
        edge = drawing._figure.bbox
        for text, box in found:
            assert min(box.x0, box.y0) >= -2, text
            assert max(box.x1 - edge.x1, box.y1 - edge.y1) <= 2, text
        for (text, one), (other, two) in itertools.combinations(found, 2):
            across = min(one.x1, two.x1) - max(one.x0, two.x0)
            down = min(one.y1, two.y1) - max(one.y0, two.y0)
            assert min(across, down) <= 6, f"{text} | {other}"  # dots, two to a pixel


@every_still
def test_marks_and_arrows_lie_in_their_axes(still: Any, drawn: Any) -> None:
    for drawing in drawn[still.__name__][1]:
        for item, artist in zip(drawing.series, drawing.artists, strict=True):
            if not artist.get_visible() or item.kind not in ("points", "arrow"):
                continue
            panel = drawing.panels[item.panel]
            place = artist.get_xydata() if item.kind == "points" else np.array(artist._posA_posB)
            for values, (low, high) in zip(place.T, (panel.x_limits, panel.y_limits), strict=True):
                assert low <= np.nanmin(values), item.data
                assert np.nanmax(values) <= high, item.data

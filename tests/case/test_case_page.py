"""From a case to the owner's page: the photograph is the foot, and what cannot be read is said."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from hoofcalc.case.case_page import page_of
from hoofcalc.case.landmarks import LANDMARKS, save_picture
from hoofcalc.case.storage import CaseError, files_of

FIRST, DAY = "2026-04-09", "2026-10-01"


def shown(case, placed) -> np.ndarray:
    """The photograph on the page of a picture in which red tells right and green tells down."""
    down, right = np.mgrid[: placed.height_px, : placed.width_px]
    pixels = np.zeros((placed.height_px, placed.width_px, 3), np.uint8)
    pixels[..., 0] = 255 * right // placed.width_px
    pixels[..., 1] = 255 * down // placed.height_px
    place = files_of(case, "pictures", DAY) / placed.file
    place.parent.mkdir(parents=True, exist_ok=True)
    Image.fromarray(pixels).save(place, quality=95)
    save_picture(case, DAY, placed)
    visit = case / "visits" / DAY / "visit.toml"
    text = visit.read_text(encoding="utf-8")
    assert "# photograph_on_page = " in text or "photograph_on_page = false" in text
    lines = [line for line in text.splitlines() if "photograph_on_page" not in line]
    visit.write_text("\n".join([*lines, "photograph_on_page = true", ""]), encoding="utf-8")
    photograph = page_of(case, DAY).photograph
    assert photograph is not None
    return np.asarray(Image.open(io.BytesIO(photograph)).convert("RGB")).astype(float)


@pytest.mark.parametrize("moved_px", [0.0, 500.0], ids=["inside", "at the rim"])
def test_the_photograph_is_the_foot_with_some_room_round_it(case, level_side, moved_px):
    """About a third of the foot's length on every side, and never beyond the picture."""
    places = {name: (x, y + moved_px) for name, (x, y) in level_side.placings[0].items()}
    placed = replace(level_side, placings=(places,))
    picture = shown(case, placed)
    assert max(picture.shape[:2]) <= 760
    foot = np.array([at for name, at in places.items() if name in LANDMARKS])
    room = 0.35 * np.ptp(foot, axis=0).max()
    size = np.array([placed.width_px, placed.height_px])
    wanted = [np.clip(foot.min(axis=0) - room, 0, size), np.clip(foot.max(axis=0) + room, 0, size)]
    corners = [picture[:8, :8].mean(axis=(0, 1)), picture[-8:, -8:].mean(axis=(0, 1))]
    for corner, place in zip(corners, wanted, strict=True):
        np.testing.assert_allclose(corner[:2] / 255, place / size, atol=0.02)
    extent = wanted[1] - wanted[0]
    assert picture.shape[1] / picture.shape[0] == pytest.approx(extent[0] / extent[1], rel=0.02)


def test_without_leave_or_without_a_photograph_there_is_none(case, placed_case):
    assert page_of(placed_case, DAY).photograph is None


def test_a_visit_that_is_not_there_and_one_that_cannot_be_read_are_told_apart(case):
    with pytest.raises(CaseError, match=f"no visit of 2026-01-01 .on file: {FIRST}, {DAY}"):
        page_of(case, "2026-01-01")
    (case / "visits" / FIRST / "points.csv").write_text("nothing", encoding="utf-8")
    words = page_of(case, DAY).words
    assert f"Not compared, for it is not measured yet: {FIRST}." in words
    with pytest.raises(CaseError, match="points"):
        page_of(case, FIRST)

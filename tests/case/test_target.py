"""The printed square is found in a photograph, its corners to a fraction of a pixel."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from hoofcalc.case.synthetic.pinhole import Camera
from hoofcalc.case.target import SIDES_MM, cells, found_target, marker_corners

PX_PER_MM = 12
WHITE_MM = 15.0


def printed(side_mm):
    """The square with its markers and white round it, 12 pixels to the millimetre."""
    size = round((side_mm + 2 * WHITE_MM) * PX_PER_MM)
    sheet = np.full((size, size), 235, np.uint8)
    edge = round(WHITE_MM * PX_PER_MM)
    sheet[edge:-edge, edge:-edge] = 25
    for number in range(4):
        white = np.where(cells(side_mm, number), 235, 25).astype(np.uint8)
        (left, top), (right, _) = marker_corners(number)[[0, 2]] * side_mm * PX_PER_MM
        wide = round(right - left)
        image = cv2.resize(white, (wide, wide), interpolation=cv2.INTER_NEAREST)
        down, across = size - edge - round(top), edge + round(left)
        sheet[down : down + wide, across : across + wide] = image
    return sheet


def photographed(side_mm, camera, rng, covered=()):
    """The sheet through a camera, with noise, blur and the losses of a JPEG; and its corners."""
    sheet = printed(side_mm)
    for number in covered:
        (left, top), (right, low) = (
            marker_corners(number)[[0, 2]] * side_mm + WHITE_MM
        ) * PX_PER_MM
        sheet[-round(top) : -round(low), round(left) : round(right)] = 130
    size = len(sheet)
    # from pixels of the sheet to millimetres, right and up, with the square's corner at the origin
    to_mm = np.array([[1, 0, 0], [0, -1, size], [0, 0, PX_PER_MM]]) / PX_PER_MM
    shift = np.array([[1, 0, -WHITE_MM], [0, 1, -WHITE_MM], [0, 0, 1]])
    plane = camera.plane_matrix((0, 0, 0), (1, 0, 0), (0, 1, 0))
    half = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1]])  # corners, not middles, are counted
    through = np.linalg.inv(half) @ plane @ shift @ to_mm @ half
    frame = camera.width_px * 2, camera.height_px * 2
    fine = np.diag([2.0, 2.0, 1.0])
    fine[:2, 2] = 0.5
    view = cv2.warpPerspective(sheet, fine @ through, frame, borderValue=130, flags=cv2.INTER_AREA)
    view = cv2.resize(view, (camera.width_px, camera.height_px), interpolation=cv2.INTER_AREA)
    view = cv2.GaussianBlur(view, (0, 0), 0.8) + rng.normal(0, 4, view.shape)
    grey = np.clip(view, 0, 255).astype(np.uint8)
    stored = cv2.imencode(".jpg", grey, [cv2.IMWRITE_JPEG_QUALITY, 85])[1]
    pixels = cv2.cvtColor(cv2.imdecode(stored, cv2.IMREAD_GRAYSCALE), cv2.COLOR_GRAY2RGB)
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * side_mm
    return pixels, camera.to_px(corners)


def test_it_is_found_by_itself_with_its_size_and_without_a_bias():
    """24 views up to 25 degrees askew: every one found, no corner off by half a pixel."""
    rng = np.random.default_rng(6)
    off = []
    for number in range(24):
        side = SIDES_MM[number % len(SIDES_MM)]
        camera = Camera(
            width_px=2000,
            height_px=1500,
            distance_mm=rng.uniform(700, 1000),
            turn_deg=rng.uniform(-25, 25),
            tilt_deg=rng.uniform(-10, 15),
            roll_deg=rng.uniform(-20, 20),
            middle_mm=(float(rng.uniform(-60, 140)), float(rng.uniform(-20, 120))),
        )
        pixels, true = photographed(side, camera, rng)
        found = found_target(pixels)
        assert found is not None, number
        assert (found.side_mm, found.markers) == (side, 4)
        off.append(found.corners_px - true)
    assert np.abs(off).max() < 0.5
    assert np.abs(np.mean(off, axis=(0, 1))).max() < 0.1
    assert np.std(off) < 0.3, "the error that is stated for drawn corners"


@pytest.mark.parametrize("covered", [(0,), (1, 2)])
def test_a_marker_that_is_covered_costs_nothing(covered):
    camera = Camera(width_px=2000, height_px=1500, turn_deg=12, middle_mm=(40.0, 60.0))
    pixels, true = photographed(100.0, camera, np.random.default_rng(1), covered)
    found = found_target(pixels)
    assert found.markers == 4 - len(covered)
    np.testing.assert_allclose(found.corners_px, true, atol=0.6)


def test_where_there_is_none_none_is_found():
    grain = np.random.default_rng(2).integers(0, 255, (400, 600, 3)).astype(np.uint8)
    assert found_target(cv2.GaussianBlur(grain, (0, 0), 3)) is None

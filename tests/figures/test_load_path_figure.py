"""The figure of lesson 07 keeps the balance of the push, and its two handles do what they say."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoofcalc.figures.load_path_figure import LOAD_PATH, PUSH_N, heel_work_by_lean

STORIES = ("run under", "in line", "too upright")


def found(**values: Any) -> Any:
    frame = LOAD_PATH.frame(values)
    assert not frame.refusal
    return frame.results


@pytest.mark.parametrize("story", STORIES)
@pytest.mark.parametrize("tilt", [-8.0, 0.0, 5.0])
def test_squares_of_the_parts_add_up_to_the_whole(story: str, tilt: float) -> None:
    results = found(story=story, tilt_deg=tilt)
    np.testing.assert_allclose(np.hypot(results["along"][:, 1], results["across"][:, 1]), 100.0)


@pytest.mark.parametrize("hard", [0.0, 50.0, 100.0])
def test_the_wall_carries_what_frog_and_sole_leave_on_any_ground(hard: float) -> None:
    for other in (10.0, 20.0, 40.0):
        results = found(other_percent=other, hard_percent=hard)
        assert results["wall_n"] == pytest.approx(PUSH_N * (1 - other / 100))


def test_work_goes_with_the_load_on_the_wall() -> None:
    whole, half = (found(other_percent=other)["times"] for other in (10.0, 40.0))
    for part in whole:
        assert half[part] == pytest.approx(whole[part] * 0.6 / 0.9)


def test_fernlows_heel_is_the_measure() -> None:
    start = next(p.values for p in LOAD_PATH.presets if p.values["story"] == "in line")
    assert found(**start)["times"]["heel"] == pytest.approx(1, abs=0.02)  # to the mm


def test_braking_brings_push_and_tubules_closer_by_the_tilt() -> None:
    # in the side view at the toe: obliquity = (90 - wall angle) - tilt
    for story in STORIES:
        toes = [found(story=story, tilt_deg=tilt)["angle"][24] for tilt in (0.0, 6.0)]
        assert toes[0] - toes[1] == pytest.approx(6.0, abs=0.05)


def test_the_end_nearer_the_push_works_harder() -> None:
    back, forward = (found(forward_mm=place)["times"] for place in (52.0, 80.0))
    assert back["heel"] > forward["heel"]
    assert back["toe"] < forward["toe"]


def test_a_push_on_the_right_works_the_right_side() -> None:
    """The rim is unrolled from the right heel on."""
    work = found(aside_mm=10.0)["work"][:, 1]
    assert work[:24].mean() > work[25:].mean()
    np.testing.assert_allclose(found()["work"][:, 1], found()["work"][::-1, 1], rtol=0.2)


def test_a_soft_heel_sheds_load_on_hard_ground() -> None:
    for story in STORIES[:2]:
        soft, hard = (found(story=story, hard_percent=at)["times"]["heel"] for at in (0.0, 100.0))
        assert hard < soft


def test_every_number_has_its_interval_or_says_why_not() -> None:
    for story in STORIES:
        for tilt in (-8.0, 0.0, 8.0):
            frame = LOAD_PATH.frame({"story": story, "tilt_deg": tilt})
            rows = {row.quantity: row for row in frame.table}
            for row in frame.table:
                assert row.interval or row.quantity in (
                    "in the interval, 19 times in 20",
                    "not in it",
                )
            for name in ("push to tubules, heel", "along, heel", "across, heel"):
                low, high = map(float, rows[name].interval.split(" to "))
                assert low <= float(rows[name].value) <= high
            # cosine and sine of the ends of the angle
            ends = np.radians(
                [float(at) for at in rows["push to tubules, heel"].interval.split(" to ")]
            )
            along = [float(at) for at in rows["along, heel"].interval.split(" to ")]
            np.testing.assert_allclose(along, 100 * np.cos(ends[::-1]), atol=1.6)


def test_everything_that_is_drawn_stands_in_its_panel() -> None:
    for story in STORIES:
        for tilt in (-8.0, 8.0):
            for aside, forward in ((10.0, 46.0), (10.0, 86.0), (0.0, 86.0)):
                results = found(
                    story=story, tilt_deg=tilt, other_percent=10.0, aside_mm=aside,
                    forward_mm=forward,
                )  # fmt: skip
                for item in LOAD_PATH.series:
                    if item.kind not in ("line", "tiles", "area", "arrow"):
                        continue
                    panel = LOAD_PATH.panels[item.panel]
                    for axis, limits in enumerate((panel.x_limits, panel.y_limits)):
                        across = np.asarray(results[item.data])[..., axis]
                        assert np.nanmin(across) >= limits[0] - 1e-6, item.data
                        assert np.nanmax(across) <= limits[1] + 1e-6, item.data


def test_the_line_to_draw_is_the_figures() -> None:
    drawn = heel_work_by_lean(np.array([-8.0, 3.0]))
    for tilt, times in zip((-8.0, 3.0), drawn, strict=True):
        assert found(tilt_deg=tilt)["times"]["heel"] == pytest.approx(times)

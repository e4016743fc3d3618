"""Lesson 01's figure shows what the library finds, and says in words where it finds nothing."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.figures.landing_figure import LANDING
from hoofcalc.figures.landing_prediction import LANDING_PREDICTION

GAITS = [dict(preset.values) for preset in LANDING.presets]


def at(**values: Any) -> Any:
    """The figure with its film played to the end, unless said otherwise."""
    return LANDING.frame({**LANDING.start, "played_ms": 60.0, **values})


@pytest.mark.parametrize("gait", GAITS, ids=lambda gait: f"{gait['gait']} {gait['limb']}")
def test_thirty_frames_a_second_hold_no_landing_whatever_the_hand(gait: dict[str, str]) -> None:
    for error in (0.2, 1.0, 3.0):
        for number in (1, 7, 20):
            frame = at(**gait, frames_per_s=30, point_error_mm=error, film_number=number)
            assert frame.results["landing"] is None
            assert frame.result == "holds no landing"
            assert "too few frames catch it" in frame.sentence
            for name in ("arrow", "box", "flight", "band"):
                assert len(frame.results[name]) == 0


@pytest.mark.parametrize("gait", GAITS, ids=lambda gait: f"{gait['gait']} {gait['limb']}")
@pytest.mark.parametrize("rate", [60, 240, 960])
def test_the_drawn_curve_is_the_one_that_was_measured(gait: dict[str, str], rate: int) -> None:
    found = at(**gait, frames_per_s=rate).results
    landing, truth = found["landing"], found["truth"]
    if landing is None:  # a walk at 60 frames a second may be too slow beside its error
        assert gait["gait"] == "walk"
        return
    curve = found["flight"]
    moment = 1000 * (landing.contact_s - truth.contact_s)
    assert curve[-1, 0] == pytest.approx(moment, abs=0.3)
    assert 0.0 <= curve[-1, 1] <= 3.0, "it touches as far above its standing height as ground gives"
    (t0, h0), (t1, h1) = curve[-2:]
    assert (h0 - h1) / (t1 - t0) == pytest.approx(landing.down_m_s, rel=0.04, abs=0.05)
    assert found["contact_line"][0, 0] == pytest.approx(moment)


def test_the_error_shrinks_with_frames_and_grows_with_an_unsteady_hand() -> None:
    def error(**values: Any) -> float:
        found = [at(film_number=n, **values).results["landing"] for n in range(1, 11)]
        return float(np.median([one.descent_error_deg for one in found if one is not None]))

    assert error(frames_per_s=60) > error(frames_per_s=240) > error(frames_per_s=960)
    assert error(point_error_mm=0.2) < error(point_error_mm=1) < error(point_error_mm=3)


def test_smoothing_takes_about_half_of_the_speed_away() -> None:
    truth = datasets.track_truth("trot", "fore").landing_down_m_s
    for cutoff in (10, 20, 40):
        left = -at(frames_per_s=960, smoothing_hz=cutoff).results["smooth_speed"][1]
        assert 0.35 * truth < left < 0.65 * truth
    assert at(frames_per_s=30, smoothing_hz=15).result == "more than 30 frames"
    assert "m/s down" in at(frames_per_s=30, smoothing_hz=10).result
    assert not len(at().results["smooth"])


def test_the_foot_is_drawn_where_the_frames_caught_it() -> None:
    found = at(frames_per_s=60).results
    wall = found["foot_wall"]
    assert wall[:, 1].min() > -1.0, "never in the ground"
    last = found["last"]
    assert np.nanmin(last[:, 1]) > 0, "the last frame in the air is in the air"
    # toe ends of wall and outline: between them lies no more than one frame's way
    assert np.nanmax(last[:, 0]) < wall[:, 0].max()
    assert np.nanmin(last[:, 1]) < 1000 * found["truth"].landing_down_m_s / 60 + 5


@pytest.mark.parametrize("rate", [30, 60, 240, 960])
def test_the_film_shows_the_frame_it_has_reached_and_no_later_one(rate: int) -> None:
    for played in (-90.0, -40.0, -6.0, 20.0, 60.0):
        found = at(frames_per_s=rate, played_ms=played).results
        assert played - 1000 / rate - 1e-6 <= found["shown_ms"] <= played + 1e-6
        assert found["points"][:, 0].max(initial=-999) <= found["shown_ms"] + 1e-9
        assert bool(len(found["arrow"])) == (found["landed"] and found["landing"] is not None)
        assert found["point"][0, 0] == found["now"][0, 0] == played


def test_the_film_is_played_and_the_foot_is_taken_hold_of() -> None:
    assert LANDING.play == "played_ms"
    assert {handle.x for handle in LANDING.handles} == {"played_ms"}
    air = at(played_ms=-60)
    assert air.sentence.startswith("60\u00a0ms before the touch")
    assert not len(air.results["last"])


def test_the_curve_to_draw_is_that_of_the_film() -> None:
    truth = datasets.track_truth("trot", "fore")
    assert LANDING_PREDICTION.true_values[-1] == pytest.approx(truth.landing_forward_m_s, abs=0.01)
    assert np.all(np.diff(LANDING_PREDICTION.true_values) < 0)
    assert LANDING_PREDICTION.true_values[0] == pytest.approx(5, abs=0.2), "some 5 m/s"
    assert truth.landing_forward_m_s < 0.9, "well under 1"

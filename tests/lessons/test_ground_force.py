"""Lesson 02 says what the library says: its worked example, its leans, its figures of error."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat
import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.ground_force import (
    FORE_PAIR_SHARES,
    PEAK_ESTIMATE_ERROR,
    peak_vertical_n,
    stance_force,
)

PATH = Path(__file__).parents[2] / "lessons" / "02-ground-force.ipynb"
NOTEBOOK = nbformat.read(PATH, as_version=4)
TEXT = "\n\n".join(cell.source for cell in NOTEBOOK.cells if cell.cell_type == "markdown")


def said(pattern: str) -> list[float]:
    """The numbers in the only place of the lesson that fits."""
    found = re.findall(pattern, TEXT)
    assert len(found) == 1, (pattern, found)
    parts = found[0] if isinstance(found[0], tuple) else (found[0],)
    return [float(part) for part in parts]


def test_the_worked_example_is_the_librarys() -> None:
    (horse,) = [horse for horse in datasets.horses() if horse.name == "Fernlow"]
    assert said(r"Fernlow weighs (\d+) kg") == [horse.mass_kg]
    film = datasets.track_truth("trot", "fore")
    stance, stride = said(r"stands for ([\d.]+) s, and the stride takes ([\d.]+) s")
    assert stride == film.stride_s
    assert stance == pytest.approx(film.lift_off_s - film.contact_s, abs=5e-4)
    assert said(r"duty factor = [\d.]+ / [\d.]+ = ([\d.]+)") == [round(stance / stride, 2)]
    peak = peak_vertical_n(horse.mass_kg, 0.38, FORE_PAIR_SHARES["trot"])
    assert said(r"= \*\*(\d+) N\*\*, as (\d+) kg weigh") == [
        pytest.approx(peak, abs=5),
        pytest.approx(peak / 9.81, abs=5),
    ]
    # its steps, each from the one before
    weight, pair, limb = said(r"81 = (\d+) N\n3. front pair: 0.57 × \d+ = (\d+) N; .+: (\d+) N")
    assert (weight, pair, limb) == (
        pytest.approx(520 * 9.81, abs=0.5),
        pytest.approx(0.57 * weight, abs=0.5),
        pytest.approx(pair / 2, abs=0.5),
    )
    (mean,) = said(r"while it stands: \d+ / 0.38 = (\d+) N")
    assert mean == pytest.approx(limb / 0.38, abs=0.5)
    assert peak == pytest.approx(np.pi / 2 * mean, rel=1e-3)
    assert said(r"0.707 of its peak: (\d+) N") == [pytest.approx(0.7071 * peak, abs=5)]


def test_the_leans_are_those_of_the_curve() -> None:
    moments = np.linspace(0.05, 0.95, 91)
    force = stance_force("trot", "fore", 520.0, 0.38, moments)
    brakes = int(np.argmax(force.fore_aft_n))
    braking, up, lean = said(
        r"Braking with (\d+) N while the ground pushes up with (\d+) N: .+ that is ([\d.]+) degrees"
    )
    assert braking == pytest.approx(force.fore_aft_n[brakes], abs=5)
    assert up == pytest.approx(force.vertical_n[brakes], rel=0.01)
    assert lean == pytest.approx(force.tilt_deg[brakes], abs=0.2)
    assert "within some ten degrees either way" in TEXT
    middle = (force.moments >= 0.1) & (force.moments <= 0.9)
    assert np.abs(force.tilt_deg[middle]).max() == pytest.approx(10, abs=1.5)
    landed, pushed = said(r"It lands (\d+) degrees forward and is pushed (\d+) degrees back")
    assert landed == pytest.approx(datasets.track_truth("trot", "fore").descent_deg, abs=0.5)
    assert pushed == pytest.approx(float(np.interp(0.25, moments, force.tilt_deg)), abs=0.5)
    # 5.6 degrees is the ratio of two peaks
    up, back = (
        datasets.published("gait_forces", f"peak_{name}", "trot, fore")[0].value
        for name in ("vertical", "braking")
    )
    assert said(r"at trot, ([\d.]+) over ([\d.]+), gives ([\d.]+) degrees") == [
        back,
        up,
        pytest.approx(np.degrees(np.arctan(back / up)), abs=0.05),
    ]
    assert said(r"At the braking peak the push leans (\d+) degrees") == [
        pytest.approx(force.tilt_deg[brakes], abs=0.5)
    ]


def test_errors_and_shares_are_the_published_ones() -> None:
    assert said(r"At walk it was (\d+) % too high") == [PEAK_ESTIMATE_ERROR["walk"].percent]
    assert said(r"At walk, estimate / ([\d.]+)\.") == [
        1 + PEAK_ESTIMATE_ERROR["walk"].percent / 100
    ]
    assert said(r"it was (\d+) % low at trot on average") == [-PEAK_ESTIMATE_ERROR["trot"].percent]
    assert (
        PEAK_ESTIMATE_ERROR["canter trailing"].percent
        < 0
        < PEAK_ESTIMATE_ERROR["canter leading"].percent
    ), "the trailing limb carries more than the estimate, the leading one less"
    level, uphill, gallop = said(
        r"\| (\d+) % measured at trot, (\d+) % up a slope of one in ten, (\d+) %"
    )
    (slope,) = datasets.published("gait_forces", "fore_pair_share", "10 % uphill, trot")
    assert level == pytest.approx(100 * FORE_PAIR_SHARES["trot"])
    assert uphill == pytest.approx(100 * slope.value)
    assert gallop == pytest.approx(100 * FORE_PAIR_SHARES["gallop"])


def test_the_signs_it_tells_are_those_of_the_curves() -> None:
    """Front limbs brake on balance, hind limbs push; mass and duty factor leave the lean alone."""
    assert "Front limbs brake a little more than they push off" in TEXT
    assert stance_force("trot", "fore", 500.0, 0.38).mean_fore_aft_n > 0
    assert stance_force("trot", "hind", 500.0, 0.33).mean_fore_aft_n < 0
    assert "tilt of 15 degrees that you see there" in TEXT
    canter = stance_force("canter", "leading fore", 500.0, 0.36, np.linspace(0.1, 0.9, 81))
    assert np.max(np.abs(canter.tilt_deg)) == pytest.approx(15, abs=0.5)

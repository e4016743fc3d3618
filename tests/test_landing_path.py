"""The path behind a landing, against other ways to it: quadrature, full matrices, draws."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from hoofcalc import landing as module
from hoofcalc.landing import Track

WINDOW_S = 0.12
NODES, WEIGHTS = np.polynomial.legendre.leggauss(6)  # exact to degree eleven


def quadrature(function, begin, end):
    """Integral of a polynomial of `at`, whose last axis is summed."""
    at = begin + (end - begin) * (NODES + 1) / 2
    return (function(at) * WEIGHTS).sum(axis=-1) * (end - begin) / 2


def pushed(time, piece, order):
    """A constant 1 between two corners, integrated so often, at a time."""
    begin, end = piece[0], min(piece[1], time)
    if end <= begin:
        return 0.0
    factorial = (1, 1, 2, 6)[order - 1]
    return float(quadrature(lambda at: (time - at) ** (order - 1) / factorial, begin, end))


def dense(times, series, error, variances):
    """Mean and covariance of the motion at the last frame, and the path, with full matrices."""
    corners = np.linspace(times[0], 0, 25)
    pieces = list(pairwise(corners))
    # the strength grows e-fold in a sixth of the window, from a hundredth
    strength = [0.01 + 0.99 * np.exp(6 * sum(piece) / 2 / WINDOW_S) for piece in pieces]
    noise = np.sqrt(np.array(strength) / (corners[1] - corners[0]))
    bumps = noise * np.array([[pushed(t, piece, 4) for piece in pieces] for t in times])
    ends = noise * np.array([[pushed(0.0, piece, 4 - k) for piece in pieces] for k in range(4)])
    cubic = np.stack([times**k / (1, 1, 2, 6)[k] for k in range(4)], axis=1)
    sees = np.concatenate([cubic, bumps], axis=1)
    now = np.concatenate([np.eye(4), ends], axis=1)
    means, covariances, paths, logs = [], [], [], []
    for variance in variances:
        known = np.r_[np.zeros(4), np.full(24, 1 / variance)]
        unsure = np.linalg.inv(sees.T @ sees / error**2 + np.diag(known))
        best = unsure @ sees.T @ series / error**2
        means.append(now @ best)
        paths.append(sees @ best)
        covariances.append(now @ unsure @ now.T)
        of_all = variance * bumps @ bumps.T + error**2 * np.eye(len(times))
        inverse = np.linalg.inv(of_all)
        of_cubic = cubic.T @ inverse @ cubic
        left = series - cubic @ np.linalg.solve(of_cubic, cubic.T @ inverse @ series)
        log = np.linalg.slogdet(of_all)[1] + np.linalg.slogdet(of_cubic)[1] + left @ inverse @ left
        logs.append(-log / 2 - 0.5 * np.log(variance))
    chance = np.exp(np.array(logs) - max(logs))
    chance /= chance.sum()
    means, mean = np.array(means), chance @ means
    covariance = np.tensordot(chance, np.array(covariances), 1)
    covariance += np.einsum("k,ki,kj->ij", chance, means - mean, means - mean)
    return mean, covariance, chance @ np.array(paths), float(chance @ variances)


@pytest.mark.parametrize("frames", [8, 29])
def test_the_motion_is_that_of_full_matrices(frames):
    """A cubic of which nothing is known, noise below its trend, each strength by its chance."""
    rng = np.random.default_rng(frames)
    times = np.linspace(-WINDOW_S * (frames - 1) / frames, 0, frames)
    series = 60 * (times / 0.1) ** 2 - 900 * times + 20 * np.sin(70 * times)
    series = series + 0.5 * rng.standard_normal(frames)
    variances = 10.0 ** np.arange(13, 19)
    window = module._window(times.tobytes(), WINDOW_S)
    motion, path = window.motion(series, 0.5, variances)
    mean, covariance, by_matrices, wander = dense(times, series, 0.5, variances)
    scale = np.sqrt(np.diag(covariance))
    assert motion.mean / scale == pytest.approx(mean / scale, abs=1e-4)
    assert motion.covariance / np.outer(scale, scale) == pytest.approx(
        covariance / np.outer(scale, scale), abs=1e-4
    )
    assert path == pytest.approx(by_matrices, abs=1e-4)
    assert motion.wander == pytest.approx(wander, rel=1e-4)


def test_the_strengths_that_are_looked_at_follow_speed_and_window():
    """From 10^2.75 to 10^6.75 in units of mean speed squared over window to the fifth."""
    times = np.arange(40) / 240
    path = np.stack([2000 * times, 90 - 800 * times], axis=1)
    seen = {}

    class Seen:
        def motion(self, series, error, variances):
            seen[error] = variances
            return None, series

    kept, module._window = module._window, lambda *_: Seen()
    try:
        track = Track(times, path)
        for error in (1e-9, 1.0):
            module._last_motion(track, slice(5, 30), path[:, 0], error, WINDOW_S)
    finally:
        module._window = kept
    unit = 2000.0**2 / WINDOW_S**5
    assert seen[1e-9][[0, -1]] / unit == pytest.approx([10**2.75, 10**6.75])
    assert seen[1.0] / seen[1e-9] == pytest.approx(1 + (3 / WINDOW_S / 2000) ** 2)


def test_a_motion_goes_on_by_its_own_law_and_gains_what_white_noise_brings():
    mean, wander, later = np.array([30.0, -900.0, 4000.0, -1e5]), 3e9, 0.011
    motion = module._Motion(mean, np.zeros((4, 4)), wander)
    path = np.polynomial.Polynomial(mean / [1, 1, 2, 6])
    assert motion.after(later).mean == pytest.approx([path.deriv(k)(later) for k in range(4)])

    def both(at):
        since = np.stack([at**3 / 6, at**2 / 2, at, at**0])
        return since[:, None] * since

    gained = wander * quadrature(both, 0, later)
    assert motion.after(later).covariance == pytest.approx(gained, rel=1e-9)
    # what is unsure now is unsure by as much more later
    spread = np.diag([1.0, 4.0, 9.0, 16.0])
    draws = np.random.default_rng(1).multivariate_normal(mean, spread, 100_000)
    moved = [draws @ (later ** np.arange(4) / [1, 1, 2, 6])]
    unsure = module._Motion(mean, spread, 0.0).after(later)
    assert unsure.covariance[0, 0] == pytest.approx(np.var(moved), rel=0.02)
    # no frame is unlearned by going back
    back = module._Motion(mean, np.zeros((4, 4)), wander).after(-later)
    assert np.diag(back.covariance) == pytest.approx(0)


def test_the_fall_to_a_level_is_the_nearest_one_that_falls():
    def falls(*mean, level=0.0):
        return module._Motion(np.array(mean), np.zeros((4, 4)), 0.0).falls_to(level)

    assert falls(20.0, -1000.0, 0.0, 0.0) == pytest.approx(0.02)
    assert falls(20.0, -1000.0, 0.0, 0.0, level=5.0) == pytest.approx(0.015)
    assert falls(-20.0, -1000.0, 0.0, 0.0) == pytest.approx(-0.02)  # it is below already
    assert falls(20.0, 1000.0, 0.0, 0.0) is None  # rising through it before
    assert falls(70.0, -1000.0, 0.0, 0.0) is None  # 0.07 s is too far on
    assert falls(20.0, -100.0, 1e5, 0.0) is None  # it turns before it is down
    # down, up and down again, at 0.01, 0.03 and 0.05 s: the first is meant; from 0.04 on, the last
    path = -1e6 * np.polynomial.Polynomial.fromroots([0.01, 0.03, 0.05])
    assert falls(*[path.deriv(k)(0) for k in range(4)]) == pytest.approx(0.01)
    assert falls(*[path.deriv(k)(0.041) for k in range(4)]) == pytest.approx(0.009)


def test_the_error_of_the_moment_counts_an_unsure_speed():
    """Against draws of height and speed, which are independent here."""
    spread = np.diag([1.5**2, 120.0**2, 0, 0])
    up = module._Motion(np.array([0.0, -1000.0, 0, 0]), spread, 0.0)
    rng = np.random.default_rng(2)
    height = np.hypot(1.5, 0.8) * rng.standard_normal(400_000)
    draws = height / (1000 + 120 * rng.standard_normal(400_000))
    assert module._moment_error_s(up, 0.8) == pytest.approx(draws.std(), rel=0.01)


@pytest.mark.parametrize(("rate", "frames"), [(240, 15), (30, 3)])
def test_the_mean_descent_is_that_of_the_last_half_of_the_window(rate, frames):
    times = np.arange(rate) / rate
    part = slice(rate // 2 - 30, rate // 2) if rate > 60 else slice(4, 15)
    height = 900 - 700 * times
    height[: part.stop - frames] = 5000  # earlier frames do not count
    flight = module._Flight(
        track=Track(times, np.stack([0 * times, height], axis=1)),
        mark=1,
        contact_s=0.5,
        contact_error_s=0.001,
        frames=30,
        window_s=WINDOW_S,
        part=part,
    )
    assert flight.descent_mm_s() == pytest.approx(700)

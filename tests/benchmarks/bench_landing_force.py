"""How fast landing and ground force are, side by side in one run.

    python tests/benchmarks/bench_landing_force.py [samples]

For each elementwise function on a million samples: its time over that of the bare numpy
expression, without checks (goal: at most 2), and the time of calling it once per sample over its
own (goal: at least 100). The stance force is a thousand horses by a thousand moments. For tracks:
the smoothing against the bare filter of scipy, and what one landing costs by frame rate.
"""

from __future__ import annotations

import sys
import time

import numpy as np
from scipy.signal import butter, filtfilt

from hoofcalc import ground_force, landing


def seconds(call, repeats: int = 5) -> float:
    """The best of several runs."""
    best = np.inf
    for _ in range(repeats):
        start = time.perf_counter()
        call()
        best = min(best, time.perf_counter() - start)
    return best


def line(name: str, ours: float, bare: float, once: float, n: int) -> None:
    print(
        f"{name:<28}{1e3 * ours:9.1f} ms{ours / bare:9.2f} x bare{once * n / ours:9.0f} x by loop"
    )


def elementwise(n: int, rng: np.random.Generator) -> None:
    mass, beta = rng.uniform(300, 700, n), rng.uniform(0.2, 0.6, n)
    share, stride = rng.uniform(0.4, 0.6, n), rng.uniform(0.4, 1.2, n)
    vertical, fore_aft = rng.uniform(10, 6000, n), rng.uniform(-600, 600, n)
    speed = rng.uniform(9, 17, n)
    cases = {
        "peak_vertical_n": (
            ground_force.peak_vertical_n,
            (mass, beta, share),
            lambda m, b, s: np.pi * m * 9.81 * s / (4 * b),
        ),
        "tilt_deg": (
            ground_force.tilt_deg,
            (vertical, fore_aft),
            lambda v, f: np.degrees(np.arctan2(f, v)),
        ),
        "gallop_timing, fore": (
            lambda v: ground_force.gallop_timing(v, "fore"),
            (speed,),
            lambda v: (
                0.131 * (v / 9) ** -0.8357,
                0.131 * (v / 9) ** -0.8357 + 0.364 - 0.00275 * (v - 9),
            ),
        ),
        "duty_factor": (landing.duty_factor, (beta * stride, stride), lambda c, s: c / s),
        "corrected_cutoff_hz": (
            landing.corrected_cutoff_hz,
            (speed, 240 + 0 * speed),
            lambda f, r: r / np.pi * np.arctan(np.tan(np.pi * f / r) / 0.802243),
        ),
    }
    for name, (function, arguments, bare) in cases.items():
        some = [tuple(float(a[k]) for a in arguments) for k in range(300)]
        once = seconds(lambda f=function, s=some: [f(*a) for a in s], 3) / len(some)
        ours = seconds(lambda f=function, a=arguments: f(*a))
        line(name, ours, seconds(lambda f=bare, a=arguments: f(*a)), once, n)


def stances(n: int, rng: np.random.Generator) -> None:
    side = int(np.sqrt(n))
    mass, beta = rng.uniform(300, 700, side), rng.uniform(0.3, 0.5, side)
    moments = np.linspace(0, 1, side)

    def bare():
        mean = (0.285 * 9.81 * mass / beta)[:, None]
        first, second = np.sin(np.pi * moments), np.sin(2 * np.pi * moments)
        up = mean * (np.pi / 2 * (first - 0.023 * np.sin(3 * np.pi * moments)) / 0.9923)
        return up, mean * (np.pi / 2 * (0.0876 * second + 0.0195 * first))

    ours = seconds(lambda: ground_force.stance_force("trot", "fore", mass, beta, moments))
    once = seconds(
        lambda: [ground_force.stance_force("trot", "fore", 500.0, 0.4, s) for s in moments[:300]], 3
    )
    line(f"stance_force, {side} x {side}", ours, seconds(bare), once / 300, side * side)


def tracks(n: int, rng: np.random.Generator) -> None:
    path = np.cumsum(rng.standard_normal((n, 2)), axis=0)
    track = landing.Track(np.arange(n) / 240, path)
    b, a = butter(2, 20.0, fs=240)
    ours = seconds(lambda: landing.smooth(track, 20.0), 3)
    bare = seconds(lambda: filtfilt(b, a, path, axis=0), 3)
    print(f"{'smooth, frames: ' + str(n):<28}{1e3 * ours:9.1f} ms{ours / bare:9.2f} x filtfilt")
    for fps in (60, 120, 240, 1000):
        times = np.arange(3 * fps) / fps
        u = np.minimum(times % 0.75 - 0.45, 0)
        steps = np.stack([1500 * u, -1000 * u * (1 + u / 0.45)], 1)  # three strides, invented
        film = landing.Track(
            times, steps + 0.2 * rng.standard_normal(steps.shape), ground_mm=0.0, point_error_mm=0.2
        )
        one = seconds(lambda film=film: landing.landing_vector(film))
        every = seconds(lambda film=film: landing.contact_times(film))
        print(
            f"3 s at {fps:>4}/s: landing_vector {1e3 * one:6.2f} ms, contacts {1e3 * every:6.2f} ms"
        )


if __name__ == "__main__":
    samples = int(float(sys.argv[1])) if len(sys.argv) > 1 else 1_000_000
    generator = np.random.default_rng(1)
    elementwise(samples, generator)
    stances(samples, generator)
    tracks(samples, generator)

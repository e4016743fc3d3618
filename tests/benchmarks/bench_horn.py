"""Speed of the horn formulas at a million values: beside bare numpy and beside a scalar loop.

Run on demand: python tests/benchmarks/bench_horn.py
Prints ratios of one run; wanted: within 2 times bare numpy, 100 times faster than the loop.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from hoofcalc.horn import (
    CRITERIA,
    Horn,
    horn_at,
    kink_stress_mpa,
    modulus_at_deg,
    strength_at_deg,
    strength_ratio,
)

COUNT, LOOPED = 1_000_000, 2_000
SHEET = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured


def best(call: Callable[[], object], rounds: int = 7) -> float:
    """Shortest of several runs [s]."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


def bare_modulus(degrees):
    t = np.radians(degrees)
    s2, c2 = np.sin(t) ** 2, np.cos(t) ** 2
    mixed = 1 / SHEET.shear_mpa - 2 * SHEET.poisson / SHEET.along_mpa
    return 1 / (c2**2 / SHEET.along_mpa + s2**2 / SHEET.across_mpa + mixed * s2 * c2)


def bare_tsai_hill(x, y, xy, degrees):
    t = np.radians(degrees)
    s, c = np.sin(t), np.cos(t)
    s1 = c * c * x + s * s * y + 2 * s * c * xy
    s2 = s * s * x + c * c * y - 2 * s * c * xy
    t12 = s * c * (y - x) + (c * c - s * s) * xy
    limit1 = np.where(s1 < 0, SHEET.along_compression_mpa, SHEET.along_tension_mpa)
    limit2 = np.where(s2 < 0, SHEET.along_compression_mpa, SHEET.along_tension_mpa)
    limit = np.where(s2 < 0, SHEET.across_compression_mpa, SHEET.across_tension_mpa)
    return 1 / np.sqrt(
        (s1 / limit1) ** 2
        - s1 / limit2 * s2 / limit2
        + (s2 / limit) ** 2
        + (t12 / SHEET.shear_strength_mpa) ** 2
    )


def bare_kink(degrees):
    return 60.0 / (60.0 / 5000.0 + np.radians(degrees))


def main() -> None:
    rng = np.random.default_rng(1)
    degrees = rng.uniform(0.1, 20.0, COUNT)
    x, y, xy = rng.normal(size=(3, COUNT))
    rows = [
        (
            "modulus_at_deg",
            lambda at: modulus_at_deg(SHEET, degrees[at]),
            lambda at: bare_modulus(degrees[at]),
        ),
        (
            "strength_ratio, tsai_hill",
            lambda at: strength_ratio(SHEET, x[at], y[at], xy[at], degrees[at]),
            lambda at: bare_tsai_hill(x[at], y[at], xy[at], degrees[at]),
        ),
        (
            "kink_stress_mpa",
            lambda at: kink_stress_mpa(5000, 60, degrees[at]),
            lambda at: bare_kink(degrees[at]),
        ),
        *(
            (
                f"strength_at_deg, {criterion}",
                lambda at, c=criterion: strength_at_deg(SHEET, degrees[at], c),
                None,
            )
            for criterion in CRITERIA
        ),
        ("horn_at", lambda at: horn_at(water_percent=10 + degrees[at]), None),
    ]
    print(f"{'':32}{'ms at 10^6':>12}{'x bare numpy':>14}{'loop slower by':>16}")
    for name, ours, bare in rows:
        whole = best(lambda call=ours: call(slice(None)))
        loop = best(lambda call=ours: [call(i) for i in range(LOOPED)], 2) * COUNT / LOOPED
        beside = f"{whole / best(lambda call=bare: call(slice(None))):14.2f}" if bare else " " * 14
        print(f"{name:32}{whole * 1e3:12.1f}{beside}{loop / whole:16.0f}")


if __name__ == "__main__":
    main()

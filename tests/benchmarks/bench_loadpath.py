"""Speed of the load path: three feet, 361 strips, 1,000 force directions, against a plain loop.

Run on demand: ``python tests/benchmarks/bench_loadpath.py``. Prints milliseconds
(best and median of the repeats) and how many times faster one call is than a
loop over directions, and than a scalar loop over strips as well (timed on a few
directions and scaled up).
"""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable

import numpy as np

from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.horn import Horn, strength_ratio
from hoofcalc.loadpath import (
    along_across,
    compare_feet,
    force_vector,
    obliquity_deg,
    pressure_under,
    share_on_hard_ground,
    share_out,
    utilisation,
)
from hoofcalc.profile import Profile

HORN = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured


def timed(work: Callable[[], object], repeats: int = 7) -> tuple[float, float]:
    """Best and median milliseconds of `work`, after one call to warm up."""
    work()
    taken = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        taken.append(1e3 * (time.perf_counter() - start))
    return min(taken), statistics.median(taken)


def scalar_utilisation_tilts(foot: Capsule, forces: np.ndarray, centre: np.ndarray) -> float:
    """Sharing and obliquity as plain Python would do them, strip by strip (full contact)."""
    points, areas, tubules = (
        foot.bearing_points_mm.tolist(),
        foot.bearing_areas_mm2.tolist(),
        foot.tubules.tolist(),
    )
    per_n = pressure_under(points, areas, 1.0, centre).tolist()
    greatest = 0.0
    for fx, fy, fz in forces.tolist():
        for pressure, area, (tx, ty, tz) in zip(per_n, areas, tubules, strict=True):
            part = 0.8 * pressure * area
            gx, gy, gz = part * fx, part * fy, part * fz
            along = gx * tx + gy * ty + gz * tz
            across = math.sqrt(
                (gy * tz - gz * ty) ** 2 + (gz * tx - gx * tz) ** 2 + (gx * ty - gy * tx) ** 2
            )
            greatest = max(greatest, math.degrees(math.atan2(across, along)))
    return greatest


def main() -> None:
    side = Profile.from_measures([48, 50, 60], [32, 48, 62], 85, 40, 105)
    feet = build_capsule(side, per_side=180)
    tilts = np.linspace(-10, 10, 1000)
    forces = force_vector(5795, tilts)
    centre = np.array([66.0, 0.0])
    many = forces[:, None, :]  # directions x feet
    shares = share_out(feet, many, centre)
    rim, strips = feet.ground.shape, shares.shape[:-1]
    print(f"feet x strips {rim[:-1]}, directions x feet x strips {strips}")
    singles = [
        Capsule(feet.ground[i], feet.coronet[i], feet.thickness_mm[i], heel_open=True)
        for i in range(3)
    ]

    def loop(work: Callable[[Capsule, np.ndarray], object]) -> Callable[[], object]:
        return lambda: [work(foot, force) for foot in singles for force in forces[::20]]

    def whole(foot: Capsule, force: np.ndarray) -> object:
        return utilisation(foot, share_out(foot, force, centre), HORN)

    rows = {
        "obliquity_deg": (
            lambda: obliquity_deg(feet, many),
            loop(obliquity_deg),
        ),
        "share_out": (
            lambda: share_out(feet, many, centre),
            loop(lambda foot, force: share_out(foot, force, centre)),
        ),
        "along_across": (
            lambda: along_across(feet, shares),
            loop(lambda foot, force: along_across(foot, share_out(foot, force, centre))),
        ),
        "share_out + utilisation": (
            lambda: utilisation(feet, share_out(feet, many, centre), HORN),
            loop(whole),
        ),
    }
    for name, (call, looped) in rows.items():
        best, median = timed(call)
        slow = 20 * timed(looped, 1)[0]
        print(f"{name:26s} {best:8.1f} ms best {median:8.1f} median; loop x{slow / best:6.1f}")
    slow = 20 * timed(loop(lambda foot, f: scalar_utilisation_tilts(foot, f[None], centre)), 1)[0]
    best, _ = timed(lambda: (obliquity_deg(feet, many), share_out(feet, many, centre)))
    print(f"{'share_out + obliquity_deg':26s} {best:8.1f} ms best; scalar loop x{slow / best:6.1f}")
    best, _ = timed(lambda: strength_ratio(HORN, shares[..., 2], 0.0, 1.0, 0.0))
    print(f"{'strength_ratio alone, once':26s} {best:8.1f} ms best")
    centres = np.random.default_rng(1).uniform([5, -35], [85, 35], (1000, 2))
    foot = singles[1]
    best, median = timed(
        lambda: pressure_under(foot.bearing_points_mm, foot.bearing_areas_mm2, 1.0, centres)
    )
    print(f"{'pressure_under, 1000 places':26s} {best:8.1f} ms best {median:8.1f} median")

    def one_foot() -> None:
        foot = build_capsule(Profile.from_measures(50, 48, 85, 40, 105))
        whole(foot, force_vector(5795, 5.6))

    run_under = build_capsule(Profile.from_measures(48, 25, 92, 47, 112))
    rng = np.random.default_rng(1)
    best, median = timed(lambda: compare_feet(run_under, singles[1], rng), 3)
    print(f"{'compare_feet, 1000 draws':26s} {best:8.1f} ms best {median:8.1f} median (under 2000)")
    best, median = timed(lambda: share_on_hard_ground(foot, forces[500], centre, HORN), 20)
    print(f"{'share_on_hard_ground':26s} {best:8.1f} ms best {median:8.1f} median")
    best, median = timed(one_foot, 50)
    print(f"{'whole foot, from landmarks':26s} {best:8.2f} ms best {median:8.2f} median")


if __name__ == "__main__":
    main()

"""How fast a profile measures: against bare numpy, against a loop. Run on demand.

python tests/benchmarks/bench_profile.py
"""

from __future__ import annotations

from time import perf_counter

import numpy as np

from hoofcalc.cycle import HeelLaw, drift, forecast, grow, steady_law
from hoofcalc.profile import Profile, error_of, seen_points, with_error
from hoofcalc.reading import read_foot


def best(action, times=5):
    """Best of a few runs, in seconds."""
    took = []
    for _ in range(times):
        start = perf_counter()
        action()
        took.append(perf_counter() - start)
    return min(took)


def main() -> None:
    rng = np.random.default_rng(1)
    million = Profile.from_measures(
        rng.uniform(45, 60, 1_000_000), rng.uniform(30, 50, 1_000_000), 85, 35, 110
    )
    toe, top, heel = million.toe_ground, million.toe_coronet, million.heel_ground

    def bare():
        bearing, wall = toe - heel, top - toe
        up = bearing[:, 0] * wall[:, 1] - bearing[:, 1] * wall[:, 0]
        forward = bearing[:, 0] * wall[:, 0] + bearing[:, 1] * wall[:, 1]
        return np.degrees(np.arctan2(up, -forward))

    assert np.allclose(bare(), million.toe_angle_deg)
    base = best(bare)
    ours = best(lambda: million.toe_angle_deg)
    print(f"10^6 toe angles: {ours * 1e3:.0f} ms, {ours / base:.2f} x bare numpy")

    few = [million.pick(k) for k in range(2000)]
    loop = best(lambda: [foot.toe_angle_deg for foot in few], 2) * 500
    print(f"  a loop over single feet: {loop * 1e3:.0f} ms, {loop / ours:.0f} x slower")

    foot = Profile.from_measures(52, 40, 85, 35, 110)

    def many_feet():
        feet = with_error(foot, 1.0, 10_000, np.random.default_rng(2))
        return feet.toe_angle_deg, feet.heel_angle_deg, feet.angle_gap_deg

    def bare_draws():
        generator = np.random.default_rng(2)
        drawn = [at + generator.standard_normal((10_000, 2)) for at in foot.landmarks.values()]
        toe_at, toe_top, heel_at, heel_top = drawn
        bearing = toe_at - heel_at
        angles = []
        for wall in (toe_top - toe_at, heel_top - heel_at):
            up = bearing[:, 0] * wall[:, 1] - bearing[:, 1] * wall[:, 0]
            forward = bearing[:, 0] * wall[:, 0] + bearing[:, 1] * wall[:, 1]
            angles.append(np.degrees(np.arctan2(up, -forward)))
        return *angles, angles[0] - angles[1]

    base, ours = best(bare_draws), best(many_feet)
    print(f"10,000 feet drawn and measured: {ours * 1e3:.1f} ms, {ours / base:.2f} x bare numpy")

    formula = best(lambda: error_of(foot, "toe_angle_deg", 1.0))
    print(f"one error by formula: {formula * 1e3:.2f} ms, {ours / formula:.0f} x faster")

    feet = with_error(foot, 1.0, 10_000, np.random.default_rng(2))
    toes = feet.toe_coronet
    law = HeelLaw(band_angle_deg=45)
    for name, action in (
        ("seen by a near, yawed camera", lambda: seen_points(toes, yaw_deg=15, distance_mm=1500)),
        ("grown for 8 weeks", lambda: grow(feet, 56)),
        ("drifted for 8 weeks", lambda: drift(feet.heel_angle_deg, feet.heel_length_mm, 56, law)),
    ):
        print(f"10,000 feet {name}: {best(action) * 1e3:.1f} ms")
    one = np.random.default_rng(3)
    for name, action in (
        ("forecast of 2,000 draws on 8 days", lambda: forecast(foot, np.arange(0, 56, 7), one)),
        ("a steady law", lambda: steady_law(40, 22.5)),
        ("reading of one foot", lambda: read_foot(foot)),
    ):
        print(f"{name}: {best(action, 3) * 1e3:.0f} ms")


if __name__ == "__main__":
    main()

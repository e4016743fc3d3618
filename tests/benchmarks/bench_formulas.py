"""How fast the formulas of angles and columns are, side by side in one run.

    python tests/benchmarks/bench_formulas.py [samples]

For each function on a million samples: its time over that of the bare numpy
expression, without checks (goal: at most 2), and the time of calling it once per
sample over its own (goal: at least 100). Where no bare expression exists in one
line, the same steps without checks stand in, or none. Then the time that
`import hoofcalc` and its two modules add to that of numpy (goal: at most 50 ms).
"""

from __future__ import annotations

import subprocess
import sys
import time

import numpy as np

from hoofcalc import angles, columns

PI2 = np.pi**2


def cases(n: int, rng: np.random.Generator) -> dict:
    """Name -> (function, its arguments, the bare expression or None)."""
    e, i, length = rng.uniform(1e3, 3e3, n), rng.uniform(500, 900, n), rng.uniform(90, 110, n)
    slender, eta, lean = rng.uniform(10, 200, n), rng.uniform(0, 0.5, n), rng.uniform(0, 60, n)
    force, area, strength = rng.uniform(1, 5, n), rng.uniform(20, 60, n), rng.uniform(5, 60, n)
    u, v = rng.normal(size=(n, 2)), rng.normal(size=(n, 2))
    deg, yaw = rng.uniform(20, 80, n), rng.uniform(-20, 20, n)
    radius, wall = rng.uniform(15, 25, n), rng.uniform(0.3, 0.8, n)
    count, bond = rng.integers(1, 200, n), rng.uniform(0, 1, n)

    def bare_between(u, v):
        a = u / np.sqrt(np.einsum("ij,ij->i", u, u))[:, None]
        b = v / np.sqrt(np.einsum("ij,ij->i", v, v))[:, None]
        d, s = a - b, a + b
        d, s = np.sqrt(np.einsum("ij,ij->i", d, d)), np.sqrt(np.einsum("ij,ij->i", s, s))
        return np.degrees(2 * np.arctan2(d, s))

    def bare_leaning(p, t, e, i, length):
        t = np.radians(t)
        axial, cross = p * np.cos(t), p * np.sin(t)
        k2 = axial / (e * i)
        root = np.sqrt(k2) * length
        grown = np.tan(root) / root
        return axial, cross, cross * length * grown, length * np.tan(t) * (grown - 1), k2

    def bare_perry(e, s, lam, eta):
        se = PI2 * e / lam**2
        phi = (s + (1 + eta) * se) / 2
        return phi - np.sqrt(phi**2 - s * se)

    def bare_johnson(e, s, lam):
        limit = np.sqrt(2 * PI2 * e / s)
        parabola = s * (1 - s * lam**2 / (4 * PI2 * e))
        return np.where(lam <= limit, parabola, PI2 * e / lam**2)

    def bare_true(d, yaw):
        d, yaw = np.radians(d), np.radians(yaw)
        return np.degrees(np.arctan2(np.sin(d), np.cos(d) / np.cos(yaw)))

    def bare_apparent(d, yaw):
        d, yaw = np.radians(d), np.radians(yaw)
        return np.degrees(np.arctan2(np.sin(d), np.cos(d) * np.cos(yaw)))

    def bare_slope(a, b):
        d = b - a
        back = np.where(d[:, 1] < 0, d[:, 0], -d[:, 0])
        return np.degrees(np.arctan2(d[:, 1], back))

    def bare_shell(e, r, t):
        return (1 - 0.901 * (1 - np.exp(-np.sqrt(r / t) / 16))) * e * t / (r * np.sqrt(2.73))

    ring = np.pi / 4 - 2 / np.pi
    return {
        "slope_deg": (angles.slope_deg, (u, v), bare_slope),
        "between_deg": (angles.between_deg, (u, v), bare_between),
        "apparent_slope_deg": (angles.apparent_slope_deg, (deg, yaw), bare_apparent),
        "true_slope_deg": (angles.true_slope_deg, (deg, yaw), bare_true),
        "slope_error_deg": (
            angles.slope_error_deg,
            (eta, length),
            lambda s, x: np.degrees(np.sqrt(2) * s / x),
        ),
        "euler_load_n": (
            columns.euler_load_n,
            (e, i, length),
            lambda e, i, x: PI2 * e * i / (1.0 * x) ** 2,
        ),
        "johnson_stress_mpa": (columns.johnson_stress_mpa, (e, strength, slender), bare_johnson),
        "perry_robertson_stress_mpa": (
            columns.perry_robertson_stress_mpa,
            (e, strength, slender, eta),
            bare_perry,
        ),
        "leaning_column": (columns.leaning_column, (force, lean, e, i, length), bare_leaning),
        "capacity_at_lean_n": (
            columns.capacity_at_lean_n,
            (lean, e, i, length, area, wall * 10, strength),
            None,
        ),
        "foundation_load_n": (
            columns.foundation_load_n,
            (e, i, wall),
            lambda e, i, k: 2 * np.sqrt(k * e * i),
        ),
        "bundle_second_moment_mm4": (
            columns.bundle_second_moment_mm4,
            (count, wall, bond),
            None,
        ),
        "tube_axial_stress_mpa": (columns.tube_axial_stress_mpa, (e, radius, wall), bare_shell),
        "ring_side_stiffness": (
            columns.ring_side_stiffness,
            (e, radius, wall),
            lambda e, r, t: e * t**3 / (12 * ring * r**3),
        ),
        "ring_collapse_n_per_mm": (
            columns.ring_collapse_n_per_mm,
            (strength, radius, wall),
            lambda s, r, t: s * t**2 / r,
        ),
    }


def seconds(run, times: int = 7) -> float:
    """The quickest of a few runs: what the machine can do when nothing else disturbs it."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        spent.append(time.perf_counter() - start)
    return min(spent)


def import_ms(statement: str) -> float:
    """Shortest time of a fresh interpreter that runs the statement."""
    return 1e3 * seconds(lambda: subprocess.run([sys.executable, "-c", statement], check=True), 9)


def main() -> None:
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    few = min(n, 2_000)
    print(f"{n} samples              ms    over bare numpy    loop over this")
    for name, (function, arguments, bare) in cases(n, np.random.default_rng(1)).items():
        ours = seconds(lambda f=function, a=arguments: f(*a))
        ratio = "-"
        if bare is not None:
            ratio = f"{ours / seconds(lambda b=bare, a=arguments: b(*a)):.2f}"
        rows = list(zip(*(x[:few] for x in arguments), strict=True))
        loop = seconds(lambda f=function, r=rows: [f(*row) for row in r], 3) * n / few
        print(f"{name:28s} {1e3 * ours:8.1f} {ratio:>12s} {loop / ours:17.0f}")
    bare_numpy = import_ms("import numpy")
    both = import_ms("from hoofcalc import angles, columns")
    print(f"import over numpy alone: {both - bare_numpy:.0f} ms (numpy {bare_numpy:.0f} ms)")


if __name__ == "__main__":
    main()

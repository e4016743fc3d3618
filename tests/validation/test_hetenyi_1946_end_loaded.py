"""Hetenyi M., Beams on Elastic Foundation, University of Michigan Press 1946: the beam of
unlimited length in one direction (Ch. II) and under axial force (Ch. VII).

Chapters from memory. The numbers are derived from the differential equation
E I y'''' + N y'' + k y = 0; the exact solution with axial force is written out here, from
the decaying roots, and used nowhere else.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.loadpath import held_strip


def exact(stiff: float, hold: float, free: float, force: float) -> tuple[float, float]:
    """Greatest moment and movement of the end, 1 N across and `force` along, all exact."""
    b = (hold / (4 * stiff)) ** 0.25
    e = force / (4 * stiff)
    alpha, beta = np.sqrt(b**2 - e), np.sqrt(b**2 + e)
    # held part y = exp(-alpha x) (p cos beta x + q sin beta x): end moment m, end shear 1
    turn_by_moment = alpha / (stiff * (b**2 - 2 * e))
    turn_by_shear = alpha**2 / (stiff * b**2 * (b**2 - 2 * e)) - 1 / (2 * stiff * b**2)
    u = free * np.sqrt(force / stiff)
    spread = np.tan(u) / u if u > 0 else 1.0
    # free part: cantilever on a turning base, m = (1 + force turn) free tan(u) / u
    turn = (turn_by_shear + turn_by_moment * free * spread) / (
        1 - turn_by_moment * free * spread * force
    )
    moment = (1 + force * turn) * free * spread
    p = (moment / stiff + alpha / (stiff * b**2)) / (2 * (b**2 - 2 * e))
    q = (1 / (2 * stiff * b**2) - alpha * p) / beta
    x = np.linspace(0, 12 / b, 400_001)
    bend = (alpha**2 - beta**2) * p - 2 * alpha * beta * q
    bend_sine = (alpha**2 - beta**2) * q + 2 * alpha * beta * p
    inside = np.exp(-alpha * x) * (bend * np.cos(beta * x) + bend_sine * np.sin(beta * x))
    tip = p + turn * free
    tip += (1 + force * turn) / force * free * (spread - 1) if u > 0 else free**3 / (3 * stiff)
    return stiff * np.abs(inside).max(), tip


def test_end_force_alone():
    """M_max = 0.3224 V / b at b x = pi / 4; end moves by 2 V b / k (derived from Ch. II)."""
    b = (0.6 / (4 * 7000)) ** 0.25
    beam = held_strip(7000.0, 0.6, 0.0)
    assert beam.lever_mm * b == pytest.approx(0.3224, abs=5e-5)
    assert beam.tip_mm_per_n == pytest.approx(2 * b / 0.6)


@pytest.mark.parametrize("free", [0.0, 2.0, 8.0, 20.0, 60.0, 400.0])
def test_end_force_and_end_moment(free):
    """Free length h: end force V and end moment V h on the held part (derived)."""
    moment, tip = exact(7000.0, 0.6, free, 0.0)
    beam = held_strip(7000.0, 0.6, free)
    assert beam.lever_mm == pytest.approx(moment, rel=1e-9)
    assert beam.tip_mm_per_n == pytest.approx(tip, rel=1e-9)


@pytest.mark.parametrize("free", [0.0, 2.0, 8.0, 20.0, 60.0, 400.0])
def test_movement_has_no_end_at_the_buckling_force(free):
    """The exact movement under axial force grows beyond bounds there, and not before."""
    beam = held_strip(7000.0, 0.6, free)
    near = [exact(7000.0, 0.6, free, part * beam.buckling_n)[1] for part in (0.999, 0.99999)]
    assert near[1] == pytest.approx(100 * near[0], rel=0.02)


def test_free_end_gives_way_at_half_the_force_of_a_held_one():
    """sqrt(k E I) with a free loaded end, 2 sqrt(k E I) with a held one (derived, Ch. VII)."""
    beam = held_strip(7000.0, 0.6, 0.0)
    assert beam.buckling_n == pytest.approx(np.sqrt(7000 * 0.6))


@pytest.mark.parametrize("free", [0.0, 2.0, 8.0, 20.0, 60.0, 400.0])
@pytest.mark.parametrize("part", [0.1, 0.25, 0.5, 0.9, 0.99])
def test_t10_exact_under_a_force_along_the_strip_up_to_buckling(free, part):
    """1 / (1 - share) "within a quarter" was up to 41 % off near the buckling force.

    Now the exact solution, moment and movement, to 1e-6 (the moment is looked for on a grid).
    """
    force = part * held_strip(7000.0, 0.6, free).buckling_n
    beam = held_strip(7000.0, 0.6, free, force)
    moment, tip = exact(7000.0, 0.6, free, force)
    assert beam.lever_mm == pytest.approx(moment, rel=1e-6)
    assert beam.tip_mm_per_n == pytest.approx(tip, rel=1e-6)

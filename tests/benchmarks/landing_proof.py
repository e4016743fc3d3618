"""Whether the 95 % intervals of a landing hold, over 38,400 made films of eight kinds.

    python tests/benchmarks/landing_proof.py [films of a cell and family] [seed]

Four ways of slowing down, each made in two families: closed expressions, as in
`tests/test_landing_proof.py`, and sums of pulses, whose sign changes more than once. Nothing in a
film tells the family or, for certain, the way; so the intervals have to hold over all eight. The
choices of `hoofcalc.landing` (least wandering, its power, its growth towards contact, its early
part, the last bend and the shares) were made on films of both with other seeds, 101 to 601.

A cell is a way of slowing down, a gait, a frame rate and a point error. With 120 films in a cell,
chance moves a share of 95 % by 2 points and one of 90 % by 2.7, and there are 1,600 shares: so
for each cell it is said how many lie below 90 %, and how many so far below that chance would show
it in one of a thousand cells of 90 %. A cell in which fewer than 100 films are told is judged
together with the next smaller point error, and so on, and what is left of the smallest with the
one before, for those few are no fair choice. What holds
over many cells is shown for each part, and for the cells of three parts with all films of the
fourth, where chance is half as large.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from itertools import combinations, product
from pathlib import Path

import numpy as np
from scipy.integrate import cumulative_trapezoid
from scipy.special import beta
from scipy.stats import binom

from hoofcalc._constants import ERRORS_FOR_95

sys.path.insert(0, str(Path(__file__).parents[1]))
import test_landing_proof as films

#: Fewest films told in a cell that is judged by itself.
_FEWEST = 100
#: Time before contact at which the pulses are added up [s].
_BEFORE_S = np.arange(0.0, 0.26, 2e-4)


@dataclass
class Pulses(films.Step):
    """A landing whose accelerations are sums of pulses, added up to a path.

    The swing is a beta curve; its speed dies down on either side as some power of the time.
    """

    powers: tuple[float, float] = (2.0, 2.0)
    shapes: tuple[np.ndarray, np.ndarray] = ()  # acceleration / size, forward and down

    def path_mm(self, since_s):
        since_s = np.asarray(since_s)
        path, (early, late) = super().path_mm(since_s), self.powers
        left = np.minimum(_BEFORE_S / self.swing, 1)
        speed = self.reach / self.swing * left**late * (1 - left) ** early
        speed = speed / beta(late + 1, early + 1)
        falling = self.down * np.exp(-((_BEFORE_S / self.level_s) ** 2) / 2)
        dying = np.exp(-((_BEFORE_S / 0.12) ** 2))
        ahead = self.forward + speed + _summed(self.size[0] * self.shapes[0])
        up = falling + _summed(self.size[1] * self.shapes[1] * dying)
        flying, s = since_s < 0, np.maximum(-since_s, 0)
        way = [np.interp(s, _BEFORE_S, 1000 * _summed(one)) for one in (ahead, up)]
        way = np.stack([-way[0], way[1] + self.give_mm], axis=1)
        return np.where(flying[:, None], way, path)


def _summed(values):
    return cumulative_trapezoid(values, _BEFORE_S, initial=0)


def _shape(way, rng):
    """Deceleration before contact, its largest about 1."""
    s, scale = _BEFORE_S, np.exp(rng.uniform(np.log(0.010), np.log(0.040)))
    if way == "even":
        return np.exp(-((s / 0.2) ** 2))
    if way == "peaks at contact":
        return np.exp(-s / scale) if rng.random() < 0.5 else 1 / np.cosh(np.minimum(s / scale, 30))
    if way == "fades out":
        if rng.random() < 0.5:
            return 1 - np.exp(-1.2 * s / scale)
        return np.tanh(s / scale) ** 2 * np.exp(-((s / 0.2) ** 2))
    return np.cos(np.pi * s / (2.4 * scale)) * np.exp(-s / (3.5 * scale))


def pulses(way, gait, rng):
    """A landing of this kind, drawn at random."""
    *ranges, sizes = films.GAITS[gait]
    for _ in range(500):
        forward, down, reach, swing, stance = (rng.uniform(*one) for one in ranges)
        size = rng.uniform(*sizes) * np.array([1.0, rng.uniform(0.15, 0.5)])
        if way in ("even", "changes sign"):
            size = size * rng.choice([-1, 1], 2)
        shape = _shape(way, rng)
        made = Pulses(
            way=way, forward=forward, down=down, reach=reach, swing=swing, stance=stance,
            size=tuple(size), scale=0.03, give_mm=rng.choice([0, 3 * rng.random()], p=[0.3, 0.7]),
            slip_s=rng.uniform(0.012, 0.026), level_s=rng.uniform(0.07, 0.14),
            powers=tuple(rng.uniform(1.6, 2.6, 2)), shapes=(shape, shape),
        )  # fmt: skip
        if made.comes_down():
            return made
    raise AssertionError(f"no {way} {gait} comes down")


def merged(misses):
    """Cells of too few films together with the next smaller point error, under its name."""
    whole, last = {}, ()
    for way, gait, rate in product(films.WAYS, films.GAITS, films.RATES):
        kept = np.zeros((0, len(films.TOLD)))
        for error_mm in sorted(films.ERRORS_MM, reverse=True):
            kept = np.concatenate([kept, misses[way, gait, rate, error_mm]])
            if len(kept) >= _FEWEST:
                whole[way, gait, rate, error_mm] = kept
                kept, last = kept[:0], (way, gait, rate, error_mm)
        if len(kept) and last[:3] == (way, gait, rate):
            whole[last] = np.concatenate([whole[last], kept])
        elif len(kept):
            print(f"    {way}, {gait}, {rate}: {len(kept)} told, too few to be judged")
    return whole


def judged(name, cells):
    """One line: how many shares lie below 90 %, and the least."""
    if not cells:
        return
    told = np.array([len(rows) for rows in cells.values()])[:, None]
    held = np.array([(np.abs(rows) < ERRORS_FOR_95).sum(axis=0) for rows in cells.values()])
    share, rare = held / told, binom.cdf(held, told, 0.9) < 1e-3
    print(
        f"{name}: {share.size} shares, {(share < 0.9).sum()} below 90 %, {rare.sum()} of them not "
        f"by chance; least {share.min(axis=0).round(3)}, told {told.min()} to {told.max()}"
    )
    for cell, row in zip(cells, share, strict=True):
        if (row < 0.9).any():
            print("   ", cell, len(cells[cell]), row.round(3))


def both(cells, each: int, seed: int):
    """Misses and refusals of the two families, each by itself."""
    closed = films.step
    told = {"closed expressions": films.hold(cells, each, seed)}
    films.step = pulses
    told["pulses"] = films.hold(cells, each, seed + 1)
    films.step = closed
    return told


def main(each: int = 60, seed: int = films.SEED) -> None:
    cells = list(product(films.WAYS, films.GAITS, films.RATES, films.ERRORS_MM))
    told = both(cells, each, seed)
    misses = {c: np.concatenate([rows[c] for rows, _ in told.values()]) for c in cells}
    refused = {c: sum(no[c] for _, no in told.values()) / 2 for c in cells}
    of = 2 * each * len(cells)
    print(f"{of} films, {2 * sum(refused.values()) / of:.3f} refused; {films.TOLD}")
    print(f"{'all':>18}: {films.inside(misses).round(3)}")
    for name, (rows, _) in told.items():
        print(f"{name:>18}: {films.inside(rows).round(3)}")
        for way in films.WAYS:
            print(f"{way:>18}: {films.inside(rows, way).round(3)}")
    print("both together:")
    for part in (*films.WAYS, *films.GAITS, *films.RATES, *films.ERRORS_MM):
        no = np.mean([refused[cell] for cell in cells if part in cell]) / each
        print(f"{part!s:>18}: {films.inside(misses, part).round(3)}, refused {no:.2f}")
    judged("cells", merged(misses))
    for three in combinations(range(4), 3):
        groups = {}
        for cell, rows in misses.items():
            groups.setdefault(tuple(cell[k] for k in three), []).append(rows)
        groups = {cell: np.concatenate(rows) for cell, rows in groups.items()}
        judged("cells of three", {c: rows for c, rows in groups.items() if len(rows) >= _FEWEST})


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))

"""Made films of known truth: the 95 % interval of a landing holds the truth in 95 of 100.

Nothing measured says how a foot slows down in the last hundredths of a second before contact, so
the motions here slow down in four ways: evenly, fading out, hardest at contact, changing sign. All
are put together from closed expressions of the time left before contact, s; the truth is read from
those, not from the film. Gaits, speeds, decelerations and ground are invented; sizes: speeds at
contact as for `tests/test_landing.py`, deceleration up to 110 m/s2, ground that gives 0 to 3 mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
import pytest

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc.landing import CannotTellError, Track, landing_vector

WAYS = ("even", "fades out", "peaks at contact", "changes sign")
#: Ranges: forward and downward speed at contact [m/s], way of a swing [m], swing and stance [s],
#: deceleration [m/s2].
GAITS = {
    "walk": ((0.1, 0.8), (0.4, 0.9), (0.9, 1.8), (0.38, 0.50), (0.55, 0.70), (4, 20)),
    "trot": ((0.4, 1.9), (0.8, 2.1), (2.0, 3.2), (0.40, 0.50), (0.24, 0.32), (15, 70)),
    "canter": ((0.8, 2.8), (1.2, 2.8), (2.6, 4.2), (0.36, 0.44), (0.17, 0.23), (20, 90)),
    "gallop": ((1.2, 4.5), (1.8, 4.2), (4.0, 6.2), (0.33, 0.37), (0.08, 0.13), (30, 110)),
}
RATES = (60, 120, 240, 480, 960)
ERRORS_MM = (0.3, 0.5, 1.0, 2.0)
#: Of the films that prove it.
SEED = 20
TOLD = ("forward_m_s", "down_m_s", "descent_deg", "contact_s", "slip_mm")


def slowed(way, size, scale, s):
    """Speed above that at contact [m/s], and way [m], `s` before contact; `size` in m/s2.

    `scale` [s] says how soon the deceleration changes.
    """
    if way == "even":
        return size * s, size * s**2 / 2
    if way == "peaks at contact":  # size / (1 + s/scale)^2
        u = s / scale
        return size * scale * u / (1 + u), size * scale**2 * (u - np.log1p(u))
    if way == "fades out":  # nothing at contact, all of it from 2 scales on: 3u^2 - 2u^3 between
        u, beyond = np.minimum(s / (2 * scale), 1), np.maximum(s - 2 * scale, 0)
        speed = 2 * scale * (u**3 - u**4 / 2)
        path = 4 * scale**2 * (u**4 / 4 - u**5 / 10)
        return size * (speed + beyond), size * (path + scale * beyond + beyond**2 / 2)
    # changes sign: 1 - s/scale until it is -1, then stays
    u, beyond = np.minimum(s, 2 * scale), np.maximum(s - 2 * scale, 0)
    return (
        size * (u - u**2 / (2 * scale) - beyond),
        size * (u**2 / 2 - u**3 / (6 * scale) - beyond**2 / 2),
    )


@dataclass
class Step:
    """One landing in closed form."""

    way: str
    forward: float
    down: float
    reach: float
    swing: float
    stance: float
    size: tuple[float, float]  # deceleration forward, down [m/s2]
    scale: float
    give_mm: float
    slip_s: float
    level_s: float

    @property
    def truth(self):
        return {
            "forward_m_s": self.forward,
            "down_m_s": self.down,
            "descent_deg": np.degrees(np.arctan2(self.forward, self.down)),
            "slip_mm": 1000 * self.forward * self.slip_s / 3,
        }

    def path_mm(self, since_s):
        """Forward and up at times since contact."""
        s, after = np.maximum(-since_s, 0), np.maximum(since_s, 0)
        p = 1 - np.minimum(s / self.swing, 1)
        # what of a swing without jolts is still to come, and the speeds at contact on top
        ahead = self.reach * (1 - p**3 * (10 - 15 * p + 6 * p**2)) + self.forward * s
        ahead += slowed(self.way, self.size[0], self.scale, s)[1]
        # it comes from level flight, `level_s` of its last speed above the ground
        up = self.down * self.level_s * np.tanh(s / self.level_s)
        up += slowed(self.way, self.size[1], self.scale, s)[1] * np.minimum(
            1, (self.swing - s) / (0.4 * self.swing)
        )
        slid = self.truth["slip_mm"] * (1 - np.maximum(1 - after / self.slip_s, 0) ** 3)
        settle = 3 * self.give_mm / 1000 / self.down  # a cubic that begins at the speed down
        sunk = self.give_mm * np.maximum(1 - after / settle, 0) ** 3 if settle else 0 * after
        leaves = 1000 * 6 * np.maximum(after - self.stance, 0) ** 2
        flying = since_s < 0
        return np.stack(
            [
                np.where(flying, -1000 * ahead, slid),
                np.where(flying, 1000 * up + self.give_mm, sunk + leaves),
            ],
            axis=1,
        )

    def comes_down(self):
        """Whether it falls all through the last 0.05 s, by a third of its last speed at least."""
        s = np.linspace(0, 0.9 * self.swing / 2, 100)
        up = self.path_mm(-s)[:, 1] - self.give_mm
        late = s < 0.05
        falls = np.diff(up)[late[1:]] / np.diff(s)[late[1:]] / 1000
        return falls.min() > max(self.down / 3, 0.2) and up[~late].min() > 0.7 * up[late].max()


def step(way, gait, rng):
    """A landing of this kind, drawn at random."""
    *ranges, sizes = GAITS[gait]
    for _ in range(500):
        forward, down, reach, swing, stance = (rng.uniform(*one) for one in ranges)
        size = rng.uniform(*sizes)
        size = np.array([size, size * rng.uniform(0.15, 0.5)])
        if way in ("even", "changes sign"):
            size = size * rng.choice([-1, 1], 2)
        made = Step(
            way=way, forward=forward, down=down, reach=reach, swing=swing, stance=stance,
            size=tuple(size), scale=rng.uniform(0.012, 0.035),
            give_mm=rng.choice([0, 3 * rng.random()], p=[0.3, 0.7]),  # a road, or ground that gives
            slip_s=rng.uniform(0.012, 0.026), level_s=rng.uniform(0.09, 0.16),
        )  # fmt: skip
        if made.comes_down():
            return made
    raise AssertionError(f"no {way} {gait} comes down")


def film(made, rate, error_mm, rng):
    """The film of a step, and the moment of contact on its clock [s]."""
    contact_s = 0.55 * made.swing + rng.random() / rate
    times = np.arange(int((contact_s + made.stance + 0.12) * rate) + 1) / rate
    path = made.path_mm(times - contact_s)
    path = path + error_mm * rng.standard_normal(path.shape)
    return Track(times, path, ground_mm=0.0, point_error_mm=error_mm), contact_s


def hold(cells, each, seed):
    """Misses over standard error for each cell, shape (told, 5), and how many were refused.

    Each cell has its own seed, so that a part of the cells says what the whole would.
    """
    misses, refused = {}, {}
    for cell in cells:
        way, gait, rate, error_mm = cell
        place = [WAYS.index(way), list(GAITS).index(gait), rate, round(10 * error_mm)]
        rng, rows = np.random.default_rng([seed, *place]), []
        for _ in range(each):
            made = step(way, gait, rng)
            track, contact_s = film(made, rate, error_mm, rng)
            try:
                found = landing_vector(track)
            except CannotTellError:
                continue
            rows.append(missed(found, {**made.truth, "contact_s": contact_s}))
        misses[cell] = np.array(rows).reshape(-1, len(TOLD))
        refused[cell] = each - len(rows)
    return misses, refused


def missed(found, truth):
    """How many standard errors the truth lies from what is told."""
    return np.array([(truth[name] - getattr(found, name)) / error(found, name) for name in TOLD])


def error(found, name):
    """The standard error that is told with a number."""
    stem, unit = name.split("_", 1)
    return getattr(found, f"{stem}_error_{unit}")


def inside(misses, *parts):
    """Share of films inside, by number told, over the cells that hold all of `parts`."""
    some = [rows for cell, rows in misses.items() if set(parts) <= set(cell)]
    return (np.abs(np.concatenate(some)) < ERRORS_FOR_95).mean(axis=0)


@pytest.mark.slow
@pytest.mark.timeout(300)
def test_the_intervals_hold_over_some_thousand_films():
    """A small part of `tests/benchmarks/landing_proof.py`, which makes films of eight kinds.

    There, in 38,400: forward 0.972, down 0.966, direction 0.975, contact 0.966, slip 0.963 inside;
    of 1,500 shares in cells of three parts, 103 to 591 films told, one below 0.9, by chance: 0.893.
    """
    misses, refused = hold(product(WAYS, GAITS, RATES, ERRORS_MM), 10, seed=SEED)
    told = sum(map(len, misses.values()))
    # of some 2,700 films; 3.5 standard deviations of chance below 93 %, a part of them below 90 %
    assert (inside(misses) > 0.93 - 3.5 * np.sqrt(0.07 * 0.93 / told)).all()
    # these four kinds are a little easier than all eight: 96 to 98 of 100
    assert (inside(misses) < 0.98 + 3.5 * np.sqrt(0.02 * 0.98 / told)).all()
    for part in (*WAYS, *GAITS, *RATES, *ERRORS_MM):
        some = sum(len(rows) for cell, rows in misses.items() if part in cell)
        assert (inside(misses, part) > 0.9 - 3.5 * np.sqrt(0.09 / some)).all(), part
    # it does not hide behind refusals: a good film of a trot or faster is told
    good = [c for c in refused if c[1] != "walk" and c[2] >= 240 and c[3] <= 1]
    assert np.mean([refused[cell] for cell in good]) / 10 < 0.03


def test_the_intervals_hold_over_some_hundred_films():
    """As above, at two of the frame rates and point errors, for every day."""
    cells = list(product(WAYS, GAITS, (120, 240), (0.5, 1.0)))
    misses, _ = hold(cells, 8, seed=3)
    told = sum(map(len, misses.values()))
    assert told > 400
    assert (inside(misses) > 0.93 - 3.5 * np.sqrt(0.07 * 0.93 / told)).all()
    for way in WAYS:
        assert (inside(misses, way) > 0.9 - 3.5 * np.sqrt(0.09 / (told / 4))).all(), way


@pytest.mark.parametrize(
    ("rate", "gait", "slowing"),
    [(240, "trot", 60), (240, "trot", 100), (500, "gallop", 100)],
)
def test_a_deceleration_that_peaks_at_contact_is_in_the_interval(rate, gait, slowing):
    """At these the 95 % interval once held the truth in 8 % of films, and in none.

    100 m/s2 is harder than any of the trots above.
    """
    rng, held = np.random.default_rng(7), []
    for _ in range(80):
        made = step("peaks at contact", gait, rng)
        made.size = (slowing, made.size[1])
        track, _ = film(made, rate, 0.5, rng)
        found = landing_vector(track)
        for name in ("forward_m_s", "descent_deg"):
            off = made.truth[name] - getattr(found, name)
            held.append(abs(off) < ERRORS_FOR_95 * error(found, name))
    assert np.mean(held) > 0.9

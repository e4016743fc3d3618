"""How well each question works: difficulty, discrimination, slips, and questions that look wrong.

Classes are small, so every figure comes with its 95 % interval, and where there are too few
learners nothing is said at all. A question "to look at" is a hint for a reader, not a verdict:
the class answers it in a way that fits a fault better than it fits a sound question. One "to
look at first" fits it so much better that hardly a class sees one without cause. No rule can have
both: with 30 learners a question that can be guessed is too much like one that is easy.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

#: Fewer marked answers than this, and nothing is said about a question.
FEWEST_LEARNERS = 10
#: Fewer learners or questions than this, and no question is called one to look at.
FEWEST_FOR_FAULTS, FEWEST_QUESTIONS = 20, 12
#: How much better a fault must fit than a sound question [natural logarithm of the ratio].
#: Chosen on simulated classes of 30, see tests/classroom/grading/test_item_analysis.py.
ENOUGH = {"reversed": 1.5, "ambiguous": 1.5, "guessable": -0.5}
#: The same for a question to look at first, with so many questions in a class; with more of them
#: the ratio must be larger by as many times, so that as few classes see one without cause.
FIRST, FIRST_QUESTIONS = {"reversed": 3.0, "ambiguous": 4.5, "guessable": 2.75}, 24
#: What a reader is told to look for.
WORDS = {
    "reversed": "those who know the rest get it wrong: is the key right?",
    "ambiguous": (
        "strong and weak get it right alike, about half of them, and most wrong answers are "
        "the same: can it be read in two ways?"
    ),
    "guessable": (
        "nearly everybody gets it right, also those who know little else: can it be guessed, or "
        "is it simply easy?"
    ),
}
_Z95 = 1.959964
#: The most that a common wrong answer may add: it is also what a usual slip looks like.
_MOST_FROM_WRONG = 2.5


@dataclass(frozen=True)
class Estimate:
    """A figure with its 95 % interval."""

    value: float
    low: float
    high: float

    def in_words(self, factor: float = 1.0, digits: int = 0) -> str:
        """As in ``62 (44 to 77)``."""
        return (
            f"{factor * self.value:.{digits}f} "
            f"({factor * self.low:.{digits}f} to {factor * self.high:.{digits}f})"
        )


@dataclass(frozen=True)
class Item:
    """What the class's answers say about one question; None where they say too little."""

    learners: int
    #: Mean share of the points, 0 to 1: high is easy.
    difficulty: Estimate | None
    #: Correlation of its share with the share of all other points, -1 to 1.
    discrimination: Estimate | None
    #: Share of the learners by slip.
    slips: dict[str, Estimate]
    #: The fault that fits best, if one does: a key of `WORDS`; empty where none.
    fault: str = ""
    #: Whether it is one to look at first.
    first: bool = False


def proportion(count: float, of: int) -> Estimate:
    """A proportion with its 95 % interval after Wilson.

    For mean shares of points the interval is at least as wide as it need be, since a share
    between none and all varies less than one that is either.

    Parameters
    ----------
    count
        How many, or the sum of shares [-].
    of
        Out of how many [-].

    Returns
    -------
    Estimate
        The proportion and its interval [-].

    Raises
    ------
    ValueError
        If `of` is not positive or `count` does not lie between 0 and `of`.

    References
    ----------
    Wilson E. B., 1927, Probable inference, the law of succession, and statistical inference,
    Journal of the American Statistical Association 22, 209-212.

    Examples
    --------
    >>> proportion(15, 30).in_words(100)
    '50 (33 to 67)'
    """
    if of <= 0 or not 0 <= count <= of:
        raise ValueError(f"count must lie between 0 and of, which is positive (got {count}, {of})")
    share, square = count / of, _Z95**2 / of
    middle = (share + square / 2) / (1 + square)
    half = _Z95 / (1 + square) * math.sqrt(share * (1 - share) / of + square / of / 4)
    return Estimate(share, max(0.0, middle - half), min(1.0, middle + half))


def correlation(first: NDArray[np.float64], second: NDArray[np.float64]) -> Estimate | None:
    """Pearson's correlation with its 95 % interval by Fisher's transformation.

    Parameters
    ----------
    first, second
        Shares of the same learners [-], shape (n,).

    Returns
    -------
    Estimate or None
        None below ten learners, or where one side does not vary.

    References
    ----------
    Fisher R. A., 1921, On the "probable error" of a coefficient of correlation deduced from a
    small sample, Metron 1, 3-32. From memory.

    Examples
    --------
    >>> correlation(np.arange(12.0), np.ones(12)) is None
    True
    """
    count = len(first)
    if count < FEWEST_LEARNERS or np.ptp(first) < 1e-12 or np.ptp(second) < 1e-12:
        return None
    value = float(np.clip(np.corrcoef(first, second)[0, 1], -0.999999, 0.999999))
    middle, half = math.atanh(value), _Z95 / math.sqrt(count - 3)
    return Estimate(value, math.tanh(middle - half), math.tanh(middle + half))


def analyse(
    shares: NDArray[np.float64],
    points: NDArray[np.float64],
    slips: Sequence[Sequence[str]],
) -> list[Item]:
    """Analyse a class's questions, all exercises together.

    Parameters
    ----------
    shares
        Share of the points by learner and question, 0 to 1; NaN where not marked [-],
        shape (learners, questions).
    points
        What each question is worth [points], shape (questions,).
    slips
        By learner and question, the slip that was made; empty where none was named.

    Returns
    -------
    list of Item
        One for each question, in order.

    Examples
    --------
    >>> few = analyse(np.ones((4, 2)), np.ones(2), [["", ""]] * 4)
    >>> few[0].difficulty is None, few[0].fault
    (True, '')
    """
    items = []
    for place in range(shares.shape[1]):
        known = ~np.isnan(shares[:, place])
        own = shares[known, place]
        rest = _rest(shares, points, place)[known]
        made = [line[place] for line, one in zip(slips, known, strict=True) if one]
        items.append(_item(own, rest, made, shares.shape[1]))
    return items


def _rest(
    shares: NDArray[np.float64], points: NDArray[np.float64], place: int
) -> NDArray[np.float64]:
    """Each learner's share of all other points that are marked."""
    others = np.delete(shares, place, axis=1)
    worth = np.where(np.isnan(others), 0.0, np.delete(points, place))
    got = (np.nan_to_num(others) * worth).sum(axis=1)
    # half a point at each end, so that all and nothing stay finite as odds
    return np.asarray((got + 0.5) / (worth.sum(axis=1) + 1.0), dtype=np.float64)


def _item(
    own: NDArray[np.float64], rest: NDArray[np.float64], made: Sequence[str], questions: int
) -> Item:
    count = len(own)
    if count < FEWEST_LEARNERS:
        return Item(count, None, None, {})
    named = Counter(slip for slip in made if slip)
    fault, first = "", False
    if _enough(count, questions) and np.ptp(rest) > 0:
        fault, first = _fault(own, rest, made, questions)
    return Item(
        learners=count,
        difficulty=proportion(float(own.sum()), count),
        discrimination=correlation(own, rest),
        slips={name: proportion(times, count) for name, times in named.most_common()},
        fault=fault,
        first=first,
    )


def _enough(learners: int, questions: int) -> bool:
    return learners >= FEWEST_FOR_FAULTS and questions >= FEWEST_QUESTIONS


def _fault(
    own: NDArray[np.float64], rest: NDArray[np.float64], made: Sequence[str], questions: int
) -> tuple[str, bool]:
    """The fault that fits the answers better than a sound question does, and whether much better.

    A sound question is a logistic curve of what its learners know (the log odds of their other
    points), its steepness and place unknown; a reversed one falls instead of rising; an
    ambiguous one is right for about half of all, whatever they know; a guessable one for
    nearly all. Each is averaged over its unknowns. Model of our own.
    """
    odds = np.log(rest / (1 - rest))
    knows = (odds - odds.mean()) / odds.std()
    steep, place = (
        grid.ravel() for grid in np.meshgrid([1.0, 1.5, 2.0, 3.0], np.linspace(-2.5, 2.5, 11))
    )
    rises = 1 / (1 + np.exp(-steep * (knows[:, None] - place)))
    sound = _fits(rises, own)
    better = {
        "reversed": _fits(1 - rises, own) - sound,
        "ambiguous": _fits(np.linspace(0.3, 0.7, 9), own) - sound + _same_wrong(own, made),
        "guessable": _fits(np.array([0.85, 0.9, 0.95, 0.98]), own) - sound,
    }
    over = {name: value - ENOUGH[name] for name, value in better.items()}
    best = max(over, key=lambda name: over[name])
    if over[best] <= 0:
        return "", False
    more = math.log(questions / FIRST_QUESTIONS)
    return best, any(better[name] > limit + more for name, limit in FIRST.items())


def _fits(chances: NDArray[np.float64], own: NDArray[np.float64]) -> float:
    """Log likelihood of the shares, averaged over the columns; a part counts in part."""
    inside = np.clip(chances, 0.02, 0.98)
    each = (own[:, None] * np.log(inside) + (1 - own[:, None]) * np.log(1 - inside)).sum(axis=0)
    return float(np.logaddexp.reduce(each) - math.log(len(each)))


def _same_wrong(own: NDArray[np.float64], made: Sequence[str]) -> float:
    """How much the wrong answers being one and the same speaks for two readings."""
    wrong = [slip for slip, share in zip(made, own, strict=True) if share < 0.5]
    named = Counter(slip for slip in wrong if slip)
    if not named:
        return 0.0
    top, others = max(named.values()), len(wrong) - max(named.values())

    def fits(chances: Sequence[float]) -> float:
        values = np.array([top * math.log(q) + others * math.log(1 - q) for q in chances])
        return float(np.logaddexp.reduce(values) - math.log(len(values)))

    gain = fits((0.85, 0.9, 0.95)) - fits((0.3, 0.4, 0.5, 0.6, 0.7, 0.8))
    return max(-_MOST_FROM_WRONG, min(_MOST_FROM_WRONG, gain))

"""Own numbers for each learner: neighbours compare methods, not digits.

An exercise has a fixed list of sets of numbers. Which set is a learner's follows
from the id by a hash, the same on every Python and every system. Set 0 is for
practice, before an id is typed; it is nobody's.
"""

from __future__ import annotations

import hashlib
import unicodedata
from typing import Any

from hoofcalc.classroom.model.clean_text import without_invisible
from hoofcalc.classroom.model.questions import Exercise, KeyFileError, Numbers

_MOST_TRIES = 100_000


def tidy_id(learner: Any) -> str:
    """An id as it is compared: capitals, doubled blanks and ways to write an umlaut do not count.

    >>> tidy_id("  Jörg  M ") == tidy_id("jo\\u0308rg m")
    True
    """
    text = without_invisible(unicodedata.normalize("NFKC", str(learner)).casefold())
    return " ".join(unicodedata.normalize("NFKC", text).split())


def variant_of(learner: Any, exercise: str, count: int) -> int:
    """Which set of numbers is this learner's: 1 to `count`, or 0 (practice) for an empty id.

    >>> variant_of("anna", "04-columns", 60) == variant_of(" Anna", "04-columns", 60)
    True
    >>> variant_of("", "04-columns", 60)
    0
    """
    tidy = tidy_id(learner)
    return 1 + _hash(exercise, tidy) % count if tidy else 0


def draw(exercise: Exercise, variant: int, attempt: int) -> Numbers:
    """One draw of the quantities from their allowed values, by whole-number arithmetic only."""
    return {
        quantity.name: quantity.allowed[
            _hash(exercise.name, str(variant), str(attempt), quantity.name) % len(quantity.allowed)
        ]
        for quantity in exercise.quantities
    }


def all_variants(exercise: Exercise) -> list[Numbers]:
    """The sets of numbers, practice set first: all different, none degenerate.

    A draw is turned down where the key says so (`fits`), or where two slips or a slip
    and the truth come so close that a message would name the wrong thing.
    """
    from hoofcalc.classroom.model.hints import clash  # here, because hints are built on numbers

    found: list[Numbers] = []
    for variant in range(exercise.variants + 1):
        for attempt in range(_MOST_TRIES):
            numbers = draw(exercise, variant, attempt)
            if numbers in found or not exercise.fits(numbers):
                continue
            trouble = clash(exercise, numbers)
            if trouble is None:
                found.append(numbers)
                break
        else:
            raise KeyFileError(
                f"{exercise.name}: no good set of numbers number {variant} in {_MOST_TRIES} draws; "
                f"the last trouble was: {trouble or 'turned down by fits'}"
            )
    return found


def _hash(*parts: str) -> int:
    digest = hashlib.blake2b("\x1f".join(parts).encode(), digest_size=8).digest()
    return int.from_bytes(digest, "big")

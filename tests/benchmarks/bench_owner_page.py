"""What the owner's page costs, part by part: plan, words, picture, HTML and PDF, in seconds.

    python tests/benchmarks/bench_owner_page.py

The first page of a fresh process pays for loading matplotlib and the PDF library as well; that
is what a person waits for at ``hoofcalc case FOLDER page``. It must stay under 5 s.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from datetime import date
from typing import Any

LIMIT_S = 5.0


def timed(what: str, work: Callable[[], Any]) -> tuple[Any, float]:
    """The result of some work, with its time printed."""
    began = time.perf_counter()
    found = work()
    took = time.perf_counter() - began
    print(f"  {what:<28}{took:7.2f} s")
    return found, took


def one_page() -> float:
    """One page of a foot of the invented yard, from landmarks to PDF; all its seconds."""
    seconds = []

    def load() -> Any:
        from hoofcalc import datasets
        from hoofcalc.case import Measured
        from hoofcalc.profile import Profile

        found = []
        for number in (1, 2, 3, 4):
            record = datasets.foot("Marrowfen", "right fore", number)
            found.append(
                Measured(
                    day=record.date,
                    profile=Profile(**record.landmarks),
                    point_error_mm=record.point_error_mm,
                    days_since=record.days_since,
                )
            )
        return found

    visits, took = timed("loading and visits", load)
    seconds.append(took)

    def plan() -> Any:
        from hoofcalc.case.plan import StoredPlan, plan_for_page

        stored = StoredPlan(
            work="The heel is lowered a little, and we look again. " * 8,
            next_visit=date(2026, 11, 26),
            toe_taken_mm=3.0,
            heel_down_mm=2.0,
            shod=True,
        )
        return plan_for_page(visits[-1], stored)

    coming, took = timed("plan and its bands", plan)
    seconds.append(took)

    def words() -> Any:
        from hoofcalc.case import owner_page

        return owner_page("Marrowfen", "right fore", visits, coming, invented=True)

    page, took = timed("words", words)
    seconds.append(took)
    for what, part in (("picture", "picture"), ("HTML", "html"), ("PDF", "pdf")):
        seconds.append(timed(what, lambda part=part: getattr(page, part))[1])
    print(f"  {'together':<28}{sum(seconds):7.2f} s\n")
    return sum(seconds)


def main() -> int:
    print("first page, everything still to be loaded")
    first = one_page()
    print("second page")
    one_page()
    print(f"limit {LIMIT_S:g} s: {'kept' if first < LIMIT_S else 'NOT KEPT'}")
    return 0 if first < LIMIT_S else 1


if __name__ == "__main__":
    sys.exit(main())

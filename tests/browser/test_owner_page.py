"""The owner's page in a real browser: readable on a telephone, and printed one sheet of A4."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import pytest

from hoofcalc.case import Measured, OwnerPage, Plan, owner_page
from hoofcalc.case.owner_page import LONGEST_WORK
from hoofcalc.profile import Profile

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(120)]

DAY = date(2026, 3, 1)


def page_with(name: str, work: str) -> OwnerPage:
    """A page with three visits of unlike intervals and a plan."""
    visits = [
        Measured(
            day=DAY + timedelta(weeks=weeks),
            profile=Profile.from_measures(toe, heel, 85, 35, 110),
            point_error_mm=0.8,
            days_since=since,
        )
        for weeks, toe, heel, since in ((0, 52, 40, 42), (6, 51, 39, 42), (18, 49, 33, 84))
    ]
    plan = Plan(
        work=work,
        next_visit=DAY + timedelta(weeks=24),
        toe_deg=(50, 51, 52),
        heel_deg=(35, 38, 41),
    )
    return owner_page(name, "right hind", visits, plan, invented=True)


@pytest.mark.parametrize(
    ("name", "work"),
    [
        ("Wisp", "Look again."),
        ("W" * 60, ("Little by little, äöü. " * 50)[:LONGEST_WORK]),
    ],
)
def test_it_fits_a_telephone_and_one_sheet_of_paper(browser: Any, name: str, work: str) -> None:
    page = browser.new_page()
    page.set_viewport_size({"width": 390, "height": 844})
    page.set_content(page_with(name, work).html)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.evaluate("document.querySelector('img').naturalWidth") > 0
    # the widest of the usual letters, as some computers have them
    for letters in ("sans-serif", "DejaVu Sans"):
        page.add_style_tag(content=f"body {{ font-family: '{letters}', {letters} !important }}")
        printed = page.pdf(prefer_css_page_size=True)
        assert len(re.findall(rb"/Type\s*/Page\b", printed)) == 1
        (box,) = re.findall(rb"/MediaBox\s*\[([^]]+)\]", printed)
        assert [float(at) for at in box.split()[2:]] == pytest.approx([595.3, 841.9], abs=1)

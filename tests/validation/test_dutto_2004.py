"""Share of the weight on the fore limbs, level and uphill.

Dutto D.J., Hoyt D.F., Cogger E.A., Wickler S.J. 2004. Ground reaction forces in horses trotting up
an incline and on the level over a range of speeds. Journal of Experimental Biology 207, 3507-3514.
Shares read second-hand (57:43 level, 52:48 at 10 %), speeds (2.5-5 m/s) read.
"""

from __future__ import annotations

import pytest

from hoofcalc.ground_force import fore_share, stance_force


@pytest.mark.parametrize(("grade", "fore"), [(0.0, 0.57), (10.0, 0.52)])
def test_share_at_the_two_grades(grade, fore):
    """Read, second-hand; exact."""
    assert fore_share(grade) == pytest.approx(fore, rel=1e-12)


def test_uphill_moves_load_from_fore_to_hind():
    """Read, second-hand: 57 to 52 is 9 % less in front, 43 to 48 is 12 % more behind."""
    level, uphill = (
        [
            stance_force("trot", limb, 500.0, 0.4, fore_share=fore_share(grade)).peak_vertical_n
            for limb in ("fore", "hind")
        ]
        for grade in (0.0, 10.0)
    )
    assert uphill[0] / level[0] == pytest.approx(52 / 57)
    assert uphill[1] / level[1] == pytest.approx(48 / 43)

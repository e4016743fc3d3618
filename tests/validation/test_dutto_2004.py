"""Share of the weight on the fore limbs, level and uphill.

Dutto D.J., Hoyt D.F., Cogger E.A., Wickler S.J. 2004. Ground reaction forces in horses trotting up
an incline and on the level over a range of speeds. Journal of Experimental Biology 207, 3507-3514.
Shares read second-hand (57:43 level, 52:48 at 10 %: caption of figure 7 of Parsons, Pfau & Wilson
2008, J Exp Biol 211, 935-944), speeds (2.5-5 m/s) read in the abstract.
"""

from __future__ import annotations

import pytest

from hoofcalc import datasets
from hoofcalc.ground_force import FORE_PAIR_SHARES, stance_force


@pytest.mark.parametrize(("case", "fore"), [("level, trot", 0.57), ("10 % uphill, trot", 0.52)])
def test_share_at_the_two_grades(case, fore):
    """Read, second-hand; exact."""
    (figure,) = datasets.published("gait_forces", "fore_pair_share", case)
    assert figure.value == fore
    assert FORE_PAIR_SHARES["trot"] == 0.57


def test_uphill_moves_load_from_fore_to_hind():
    """Read, second-hand: 57 to 52 is 9 % less in front, 43 to 48 is 12 % more behind."""
    level, uphill = (
        [
            stance_force("trot", limb, 500.0, 0.4, fore_share=share).peak_vertical_n
            for limb in ("fore", "hind")
        ]
        for share in (0.57, 0.52)
    )
    assert uphill[0] / level[0] == pytest.approx(52 / 57)
    assert uphill[1] / level[1] == pytest.approx(48 / 43)

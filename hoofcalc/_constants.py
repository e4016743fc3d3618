"""Numbers and names that more than one module needs, each declared once."""

from __future__ import annotations

#: Standard acceleration of free fall, rounded as in the trade's handbooks [m/s2].
GRAVITY_M_S2 = 9.81
#: How many standard errors to each side hold the middle 95 % of a normal error.
ERRORS_FOR_95 = 1.96
#: Said on everything that leaves the program.
VET_CAUTION = (
    "A lame, sore, hot, swollen, bleeding or suddenly changed foot is a matter for a veterinary "
    "surgeon."
)

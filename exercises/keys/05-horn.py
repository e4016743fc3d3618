"""Key to exercise 05, horn. For instructors: never hand this out.

The truths are worked out here from plain mechanics and not with the library, so that a fault of
the library cannot hide behind a fault of the key; only slips that come from calling the library
wrongly are worked out by calling it wrongly. Clippings, skewers and pieces are invented.

Sources: parallel-axis rule: definition. Sheet off its axis: Jones R.M., Mechanics of Composite
Materials, 2nd ed., Taylor & Francis 1999, Sec. 2.6 and 2.9 (sections from memory). Modulus of
wall at 22.7 % water, 761.8 MPa: Hinterhofer C., Stanek C., Binder K., Berl. Munch. Tierarztl.
Wschr. 111 (1998) 217-221 (read). Shear modulus: Huber M.T. 1923 (rule from memory); Poisson's
ratio 0.35, as the library takes it.
"""

from __future__ import annotations

import math

from hoofcalc import horn
from hoofcalc.classroom.model.questions import (
    Case,
    Choice,
    Exercise,
    Function,
    Near,
    Number,
    Numbers,
    Quantity,
    Slip,
    Written,
)

WALL_MPA, WALL_WATER_PERCENT = 761.8, 22.7


def water(n: Numbers) -> float:
    """Water content of the clipping [%]."""
    return 100 * (n["fresh_g"] - n["dry_g"]) / n["fresh_g"]


def row_of_three(
    n: Numbers, *, counted: float = 2.0, own: float = 1.0, power: float = 2.0, thin: float = 1.0
) -> float:
    """I of three round skewers glued in a row, or of a slip [mm4].

    `counted` skewers add their area times distance to the `power`; `own` is the part of their own
    second moments that is kept; `thin` is the thickness used over the thickness.
    """
    d = thin * n["stick_mm"]
    area, second = math.pi * d**2 / 4, math.pi * d**4 / 64
    return own * 3 * second + counted * area * n["apart_mm"] ** power


def modulus(contrast: float, obliquity_deg: float) -> float:
    """Stiffness of middle wall at its natural water, off its tubules [MPa]."""
    along, across = WALL_MPA, WALL_MPA / contrast
    nu = 0.35 * min(1.0, across / along)
    shear = math.sqrt(along * across) / (2 * (1 + nu * math.sqrt(across / along)))
    s, c = math.sin(math.radians(obliquity_deg)), math.cos(math.radians(obliquity_deg))
    mixed = 1 / shear - 2 * nu / along
    return 1 / (c**4 / along + s**4 / across + mixed * s**2 * c**2)


def heel(n: Numbers) -> float:
    """Stiffness of the heel's horn under a push straight up [MPa]."""
    return modulus(n["contrast"], 90 - n["wall_deg"])


def by_library(n: Numbers, edge: str = "central") -> horn.Horn:
    """The horn that the library gives for question 4."""
    band = horn.horn_at(water_percent=WALL_WATER_PERCENT, contrast=n["contrast"])
    found: horn.Horn = getattr(band, edge)
    return found


def humid(n: Numbers) -> float:
    """Question 4 with the water content handed over as humidity [MPa]."""
    band = horn.horn_at(humidity_percent=WALL_WATER_PERCENT, contrast=n["contrast"])
    return float(horn.modulus_at_deg(band.central, 90 - n["wall_deg"]))


def piece_with(n: Numbers, least: str) -> str:
    """The letter of the piece with the least of something."""
    return min("ABC", key=lambda letter: n[f"piece_{letter.lower()}_{least}_mpa"])


def clear(n: Numbers) -> bool:
    """No set of numbers that gives a question away or makes it a matter of rounding."""
    if not 16 <= water(n) <= 33 or abs(water(n) - round(water(n))) < 0.05:
        return False
    if not 1.04 <= n["apart_mm"] / n["stick_mm"] <= 1.6:
        return False
    for what in ("along", "across", "stiff"):  # no ties, and no near ones
        one, two, _ = sorted(n[f"piece_{x}_{what}_mpa"] for x in "abc")
        if two < 1.1 * one:
            return False
    return len({piece_with(n, what) for what in ("along", "across", "stiff")}) == 3


GLUE = "lesson 05, 'Work it out: what the glue does'"
PAPER = "lesson 05, 'Worked example, on paper'"
CURVE = "lesson 05, 'Reading an off-axis curve'"
WET = "lesson 05, 'Wet or dry: two ways to say it'"
MOVE = "lesson 05, 'Move'"

water_content = Number(
    name="1",
    title="How wet is the clipping?",
    text=(
        "At Brackenfold a clipping of wall is weighed fresh. It is dried until it loses no more, "
        "and weighed again. Your table has both weights, and the humidity of the air in the barn "
        "that day.\n\n"
        "What was its **water content**, in per cent of its mass? Three digits are enough.\n\n"
        "Put your number in place of the three dots."
    ),
    points=1,
    ability="explain what the tubules and the horn between them do for each other",
    asked="the water content of a clipping, in per cent of its fresh mass",
    truth=water,
    near=Near(mark=0.01, working=0.02, reason="three digits are asked for; 1 % allows for them"),
    plausible=(3, 97),
    slips=(
        Slip(
            "share for per cent",
            lambda n: water(n) / 100,
            "That is the share. Per cent is asked for: the same part, counted in hundredths.",
            0.5,
        ),
        Slip(
            "of the dry mass",
            lambda n: 100 * (n["fresh_g"] - n["dry_g"]) / n["dry_g"],
            "You divided by what was left after drying. Water content is a part of the whole, "
            f"fresh mass: see {WET}.",
            0.5,
        ),
        Slip(
            "what is not water",
            lambda n: 100 - water(n),
            "That is the part that is not water: what was left after drying.",
        ),
        Slip(
            "humidity for water content",
            lambda n: n["air_percent"],
            "That is the humidity. It is said of the air, not of the horn, and does not tell how "
            f"much water the horn holds: see {WET}.",
        ),
        Slip(
            "grams for per cent",
            lambda n: n["fresh_g"] - n["dry_g"],
            "That is how many grams of water were in it. What part of the whole is that?",
        ),
    ),
    right=(
        "Walls measured fresh lie in this region. Note it with the date when you compare feet: the "
        "same horn, wetter, gives more."
    ),
    keep_going=(
        "Not yet. Two steps: how many grams were water, then what part of the fresh mass that is. "
        f"The same with other weights: see {WET}."
    ),
    stub="answer_1 = ...",
    reference="n = task.numbers\nanswer_1 = 100 * (n.fresh_g - n.dry_g) / n.fresh_g",
)

glued_row = Number(
    name="2",
    title="Three skewers in a row",
    text=(
        "Three round skewers lie side by side in a flat row and are glued. There is a little glue "
        "between them, so that the middles of neighbours are your `apart_mm` from each other. The "
        "row is bent edgeways, so that the middle skewer has distance 0 and the outer two have "
        "distance `apart_mm` from the middle of the row.\n\n"
        "What is the **second moment of area I** of the glued row, in mm⁴? The glue itself does "
        "not count. For one round skewer of thickness (diameter) d:\n\n"
        "> I₀ = π × d⁴ / 64\n>\n> A = π × d² / 4\n\n"
        "On paper, with a calculator, or here: `math.pi` is π and `d**4` is d to the power of "
        "four. Three digits are enough."
    ),
    points=2,
    ability="say why the glue matters more than the strand",
    asked="the second moment of area of three glued skewers, in mm⁴",
    truth=row_of_three,
    near=Near(
        mark=0.01, working=0.02, reason="three digits; 1 % allows for 3.14 and rounded steps"
    ),
    plausible=(1, 200_000),
    slips=(
        Slip(
            "sum instead of the parallel axis",
            lambda n: row_of_three(n, counted=0),
            "You added up three skewers as if they were loose. Glued, the outer two also count by "
            f"their distance: the parallel-axis rule in {GLUE}.",
            0.5,
        ),
        Slip(
            "the middle one counted too",
            lambda n: row_of_three(n, counted=3),
            "You gave all three skewers a distance. The middle one sits in the middle: its "
            "distance is zero.",
            1.0,
        ),
        Slip(
            "only one outer skewer",
            lambda n: row_of_three(n, counted=1),
            "You counted one outer skewer. There is one on each side.",
            1.0,
        ),
        Slip(
            "distance not squared",
            lambda n: row_of_three(n, power=1),
            "The distance in A × distance is not squared yet. That square is the point: twice as "
            "far out counts four times.",
            1.0,
        ),
        Slip(
            "own I left out",
            lambda n: row_of_three(n, own=0),
            "Nearly all of it. Each skewer also keeps its own small I₀: three of them are missing.",
            1.0,
        ),
        Slip(
            "outer to outer, or radius for diameter in A",
            lambda n: row_of_three(n, counted=8),
            "The part that comes from the distance is four times too large. Either you took the "
            "distance from outer skewer to outer skewer, not from the middle; or the thickness "
            "went into A where the radius would belong.",
            1.0,
        ),
        Slip(
            "radius for diameter",
            lambda n: row_of_three(n, thin=0.5),
            "Far too small: half the thickness went in where the whole thickness (diameter) "
            "belongs.",
            1.0,
        ),
        Slip(
            "N squared times the loose ones",
            lambda n: 9 * row_of_three(n, counted=0),
            "You took nine times the loose skewers. That rule is for flat strips that touch. Round "
            f"skewers with glue between need the parallel-axis rule itself: {GLUE}.",
            0.5,
        ),
    ),
    close_points=1.0,
    right=(
        "Most of it comes from the distance, and only glue brings the distance in. The same "
        "skewers loose would give a small part of this."
    ),
    keep_going=(
        "Not yet. Work out A and I₀ of one skewer first. Then three times I₀, and for each outer "
        f"skewer A times its distance squared. The same with flat strips: see {PAPER}."
    ),
    stub="import math\n\nanswer_2 = ...",
    reference=(
        "import math\n\nn = task.numbers\nA = math.pi * n.stick_mm**2 / 4\n"
        "I0 = math.pi * n.stick_mm**4 / 64\nanswer_2 = 3 * I0 + 2 * A * n.apart_mm**2"
    ),
)

three_pieces = Choice(
    name="3",
    title="Which piece gives way first?",
    text=(
        "Three pieces of wall, A, B and C (invented), were tested on a bench. Your table gives for "
        "each its strength along the tubules, its strength across them, and its stiffness across "
        "them.\n\n"
        "Now a piece like each of them is pressed **straight across** its tubules, obliquity 90, "
        "harder and harder, all three alike. Which gives way **first**? Write the letter of the "
        "piece and the letter of the reason, each between quotation marks."
    ),
    points=2,
    ability="read an off-axis curve",
    options={"A": "piece A", "B": "piece B", "C": "piece C"},
    reasons={
        "P": "because it gives the most under the push: its stiffness across is the smallest",
        "Q": "because it bears the least along its tubules",
        "R": "because it bears the least across its tubules",
        "S": "because it is the stiffest, and what is stiff breaks first",
    },
    truth=lambda n: piece_with(n, "across"),
    right_reason="R",
    choice_points=1,
    slips=(
        Slip(
            "stiffness for strength",
            lambda n: piece_with(n, "stiff"),
            "You took the piece that gives the most. How little a thing gives is its stiffness. "
            f"Where it fails is its strength: see {MOVE}.",
        ),
        Slip(
            "along for across",
            lambda n: piece_with(n, "along"),
            "You took the piece that bears the least along its tubules. It is pressed straight "
            f"across them: which end of the off-axis curve is that? See {MOVE}.",
        ),
    ),
    reason_messages={
        "P": "Another piece gives more under the push and bears more. What says where it fails?",
        "Q": "Another piece bears less along its tubules. In which direction is it pressed here?",
        "S": "Stiff and strong are two measurements. Which of the two says where it fails?",
    },
    right=(
        "Strength decides where it fails, in the direction of the push. Stiffness only says how "
        "far it gives until then. For real horn, strength across has not been measured: ask for it."
    ),
    keep_going="Not yet. Write down for each piece the one number that says where it fails.",
    stub='answer_3 = ""  # A, B or C\nreason_3 = ""  # P, Q, R or S',
    reference=(
        "n = task.numbers\nacross = {\n"
        '    "A": n.piece_a_across_mpa,\n'
        '    "B": n.piece_b_across_mpa,\n'
        '    "C": n.piece_c_across_mpa,\n}\n'
        'answer_3 = min(across, key=across.get)\nreason_3 = "R"'
    ),
)

heel_stiffness = Number(
    name="4",
    title="The heel under a push straight up",
    text=(
        "A heel wall rises at your `wall_deg` from the ground; its tubules run the same way. The "
        "ground pushes straight up. Its horn is like middle wall with 22.7 % water in it, and the "
        "along/across contrast in your table.\n\n"
        "Let the library work out its **stiffness in the direction of the push**, in MPa, the "
        "middle of the band. Fill in three lines:\n\n"
        "- the obliquity, from the wall's angle\n"
        "- `horn.horn_at(water_percent=..., contrast=...)` gives a band; it knows its `central` "
        "horn\n"
        "- `horn.modulus_at_deg(band.central, obliquity_deg)` is the stiffness at that angle"
    ),
    points=1,
    ability="read an off-axis curve",
    asked="the stiffness of a piece of wall in the direction of the push, in MPa",
    truth=heel,
    near=Near(mark=0.01, working=0.02, reason="the library is exact; 1 % allows for rounding"),
    plausible=(20, 4000),
    slips=(
        Slip(
            "from across, or the wall's own angle",
            lambda n: modulus(n["contrast"], n["wall_deg"]),
            "You took the wall's angle from the ground as the obliquity, or measured the obliquity "
            "from across. It counts from the tubules: how far do they lean from a push that goes "
            f"straight up? See {MOVE}.",
            0.5,
        ),
        Slip(
            "along: no angle, no contrast, or radians",
            lambda _: WALL_MPA,
            "That is the stiffness along the tubules. Either the contrast did not go in, or the "
            "obliquity did not, or it went in as radians (the library wants degrees).",
        ),
        Slip(
            "straight across",
            lambda n: WALL_MPA / n["contrast"],
            "That is the stiffness straight across the tubules. The push comes in between.",
        ),
        Slip(
            "humidity for water",
            humid,
            "You handed over the water content as humidity. Humidity is said of the air: dry air "
            f"makes stiff horn. Use water_percent. See {WET}.",
            0.5,
        ),
        Slip(
            "strength for stiffness",
            lambda n: float(horn.strength_at_deg(by_library(n), 90 - n["wall_deg"])),
            "That is the strength: where it fails. The stiffness is asked for, how little it "
            "gives: modulus_at_deg.",
        ),
        Slip(
            "GPa for MPa",
            lambda n: heel(n) / 1000,
            "Your number would be right in GPa. MPa are asked for.",
            0.5,
        ),
        Slip(
            "contrast upside down",
            lambda n: modulus(1 / n["contrast"], 90 - n["wall_deg"]),
            "The contrast went in upside down: it is along over across.",
            0.5,
        ),
        Slip(
            "low edge",
            lambda n: float(horn.modulus_at_deg(by_library(n, "low"), 90 - n["wall_deg"])),
            "That is the low edge of the band. Its middle is asked for, `central`.",
            0.5,
        ),
        Slip(
            "high edge",
            lambda n: float(horn.modulus_at_deg(by_library(n, "high"), 90 - n["wall_deg"])),
            "That is the high edge of the band. Its middle is asked for, `central`.",
            0.5,
        ),
    ),
    close_points=0.5,
    right=(
        "The flatter the wall lies, the more a push straight up goes across its tubules. What "
        "that costs depends on the contrast, and the published range of that is wide."
    ),
    keep_going=(
        "Not yet. Print the obliquity first: does it say how far the tubules lean from the push? "
        f"Then check what goes into horn_at. A call at an angle stands in {CURVE}."
    ),
    stub=(
        "from hoofcalc import horn\n\n"
        "obliquity_deg = ...\n"
        "band = ...  # horn.horn_at(...)\n"
        "answer_4 = ...  # horn.modulus_at_deg(...)"
    ),
    reference=(
        "from hoofcalc import horn\n\nn = task.numbers\n"
        "obliquity_deg = 90 - n.wall_deg\n"
        "band = horn.horn_at(water_percent=22.7, contrast=n.contrast)\n"
        "answer_4 = horn.modulus_at_deg(band.central, obliquity_deg)"
    ),
)

in_words = Written(
    name="5",
    title="It is only filler",
    text=(
        "A yard hand says: *the tubules carry the horse; what lies between them is only filler.* "
        "Answer in three to five sentences. Say what would become of a tubule that stood alone, "
        "what the horn between does, how stiff the middle of the wall is along and across, and one "
        "thing about horn that is **not** known well."
    ),
    points=2,
    ability="explain what the tubules and the horn between them do for each other",
    scale=(
        "0.5: a tubule alone would buckle (bow out) under next to nothing, or loose strands slide "
        "and each bends by itself",
        "0.5: the horn between holds the tubules, stops them sliding, or passes the push from one "
        "to the next, so that all bend and carry as one body",
        "0.5: in the middle wall tubules and horn between are about equally stiff, so that it "
        "is about as stiff across as along (inner wall: half to two thirds as stiff)",
        "0.5: names one thing not known well: strength across, pressed or in shear not measured; "
        "dry figures that differ many times; how humidity turns into water content; slow creep",
    ),
    stub="*Write your explanation here, in place of this line.*",
    reference=(
        "A tubule alone, as long as a wall is high, would bow out under a fraction of a gram. The "
        "horn between holds it and stops the tubules from sliding along one another, so that all "
        "bend as one. In the middle of the wall both are about equally stiff, so it gives about "
        "as little across as along. How strong horn is across its tubules nobody has measured."
    ),
    right="",
    keep_going="",
)


def bears(obliquity: float, along: float, across: float, shear: float) -> float:
    """Greatest pressure by the rule of the weakest part [MPa]."""
    if obliquity == 0:
        return along
    s, c = math.sin(math.radians(obliquity)), math.cos(math.radians(obliquity))
    return min(along / (c * c), across / (s * s), shear / (s * c))


def _from_across(obliquity: float, along: float, across: float, shear: float) -> float:
    return bears(90 - obliquity, along, across, shear)


def _sine_once(obliquity: float, along: float, across: float, shear: float) -> float:
    if obliquity == 0:
        return along
    s, c = math.sin(math.radians(obliquity)), math.cos(math.radians(obliquity))
    return min(along / c, across / s, shear / (s * c))


def _degrees_as_radians(obliquity: float, along: float, across: float, shear: float) -> float:
    if obliquity == 0:
        return along
    s, c = math.sin(obliquity), math.cos(obliquity)
    return min(along / (c * c), across / (s * s), shear / (s * c))


def _multiplied(obliquity: float, along: float, across: float, shear: float) -> float:
    if obliquity == 0:
        return along
    s, c = math.sin(math.radians(obliquity)), math.cos(math.radians(obliquity))
    return min(along * c * c, across * s * s, shear * s * c)


def _strongest(obliquity: float, along: float, across: float, shear: float) -> float:
    if obliquity == 0:
        return along
    s, c = math.sin(math.radians(obliquity)), math.cos(math.radians(obliquity))
    return max(along / (c * c), across / (s * s), shear / (s * c))


def _no_shear(obliquity: float, along: float, across: float, _shear: float) -> float:
    if obliquity == 0:
        return along
    s, c = math.sin(math.radians(obliquity)), math.cos(math.radians(obliquity))
    return min(along / (c * c), across / (s * s))


def _all_at_once(obliquity: float, along: float, across: float, shear: float) -> float:
    if obliquity == 0:
        return along
    s, c = math.sin(math.radians(obliquity)), math.cos(math.radians(obliquity))
    return 1 / (c * c / along + s * s / across + s * c / shear)


def sheet(n: Numbers, obliquity: float) -> tuple[float, float, float, float]:
    """A deciding call: the strengths of piece A, with shear at about half the weaker."""
    along, across = n["piece_a_along_mpa"], n["piece_a_across_mpa"]
    return (obliquity, along, across, round(0.4871 * min(along, across), 6))


weakest_part = Function(
    name="6",
    title="For those who like it: the strength at any angle",
    text=(
        "Write a small function `strength_mpa(obliquity_deg, along_mpa, across_mpa, shear_mpa)`. "
        "It takes an obliquity from 0 to 90 degrees and a sheet's three strengths, and gives the "
        "greatest pressure the sheet bears by the rule of the weakest part. The lesson has it, "
        "under *Work it out: a push off the tubules*.\n\n"
        "At 0 degrees the sine is 0, and nothing can be divided by 0. Give back the strength along "
        "then. Python's `min(1, 2, 3)` gives 1. Its `math.sin` and `math.cos` want "
        "radians; `math.radians(obliquity_deg)` turns degrees into radians."
    ),
    points=2,
    ability="read an off-axis curve",
    call="strength_mpa",
    truth=bears,
    near=Near(mark=0.01, working=0.02, reason="the rule is exact; 1 % allows for rounding"),
    examples=((30.0, 30.0, 20.0, 12.0), (65.0, 30.0, 15.0, 12.0)),
    cases=(
        Case(
            "straight along",
            lambda n: sheet(n, 0.0),
            0.5,
            "Straight along the tubules it should give back the strength along, at once.",
        ),
        Case(
            "a little off the tubules",
            lambda n: sheet(n, 12.0),
            0.5,
            "A few degrees off the tubules it is off. Which of the three parts decides there, and "
            "how often does the cosine go in?",
        ),
        Case(
            "shear decides",
            lambda n: sheet(n, 41.0),
            0.5,
            "About half way between along and across it is off. Look at the third part, the shear.",
        ),
        Case(
            "nearly across",
            lambda n: sheet(n, 80.0),
            0.5,
            "Nearly straight across it is off. Which of the three parts decides there, and how "
            "often does the sine go in?",
        ),
    ),
    slips=(
        Slip(
            "obliquity from across",
            _from_across,
            "Sine and cosine have changed places, as if the obliquity were measured from across.",
        ),
        Slip(
            "sine and cosine once",
            _sine_once,
            "Along takes the cosine twice, across the sine twice: c × c and s × s.",
        ),
        Slip(
            "degrees for radians",
            _degrees_as_radians,
            "The degrees went into sine and cosine as they are. Turn them into radians first.",
        ),
        Slip(
            "multiplied for divided",
            _multiplied,
            "You multiplied the strengths by their factors. The smaller the factor, the more "
            "pressure it takes: divide.",
        ),
        Slip(
            "strongest for weakest",
            _strongest,
            "You let the strongest part decide. The weakest does.",
        ),
        Slip(
            "no shear",
            _no_shear,
            "The shear is missing: three parts, not two.",
        ),
        Slip(
            "all parts added",
            _all_at_once,
            "You added the three parts together. By this rule each stands alone, and the weakest "
            "decides.",
        ),
    ),
    right=(
        "Draw it against the obliquity and you have an off-axis curve, with a corner where one "
        "part takes over from the next. The figure in the lesson rounds the corners off."
    ),
    keep_going=(
        "Three steps. At 0 degrees give back the strength along. Otherwise, with s the sine and c "
        "the cosine of the obliquity, a pressure p has the parts p × c × c along, p × s × s across "
        "and p × s × c in shear: divide each strength by its factor. The smallest of the three "
        "decides. Print what comes out of each."
    ),
    stub=(
        "import math\n\n\n"
        "def strength_mpa(obliquity_deg, along_mpa, across_mpa, shear_mpa):\n    return ..."
    ),
    reference=(
        "import math\n\n\ndef strength_mpa(obliquity_deg, along_mpa, across_mpa, shear_mpa):\n"
        "    if obliquity_deg == 0:\n"
        "        return along_mpa\n"
        "    s = math.sin(math.radians(obliquity_deg))\n"
        "    c = math.cos(math.radians(obliquity_deg))\n"
        "    return min(along_mpa / (c * c), across_mpa / (s * s), shear_mpa / (s * c))"
    ),
)

EXERCISE = Exercise(
    name="05-horn",
    title="Exercise 05: Horn",
    intro=(
        "It belongs to lesson 05, *horn*. There are 10 points and about 40 minutes of work. "
        "Begin at the top; the last question is for those who want more.\n\n"
        "**How it works.** Each learner has numbers of their own. Type your id in the first cell, "
        "then run both cells (Shift and Enter together) to see yours. Under each question is a "
        "cell for your answer and a cell that looks at it and tells you at once where the slip is. "
        "You may try as often as you like. What is asked for is always in the lesson.\n\n"
        "All clippings, skewers and pieces are invented. This is a model for learning, not for "
        "judging a horse: a lame, sore, hot, swollen, bleeding or suddenly changed foot is a "
        "matter for a veterinary surgeon."
    ),
    closing=(
        "**Before you hand in:** run everything once from the top (menu *Kernel*, *Restart Kernel "
        "and Run All Cells*), save, and hand in this file under your id."
    ),
    quantities=(
        Quantity(
            "fresh_g",
            "clipping: fresh",
            "g",
            (7.3, 7.8, 8.2, 8.6, 9.1, 9.4, 9.7, 10.3, 10.9, 11.2, 11.6),
        ),
        Quantity(
            "dry_g", "clipping: dried", "g", (5.3, 5.6, 5.9, 6.4, 6.7, 7.1, 7.4, 7.7, 8.1, 8.3, 8.8)
        ),
        Quantity("air_percent", "air in the barn: humidity", "%", (45, 52, 58, 61, 66, 72)),
        Quantity(
            "stick_mm", "skewers: thickness (diameter)", "mm", (3, 3.5, 4, 4.5, 5, 5.5, 6, 7, 8)
        ),
        Quantity(
            "apart_mm",
            "skewers: middle to middle",
            "mm",
            (3.4, 3.8, 4.3, 4.8, 5.3, 5.7, 6.2, 6.6, 7.2, 7.8, 8.4, 9.1),
        ),
        *(
            quantity
            for letter in "abc"
            for quantity in (
                Quantity(
                    f"piece_{letter}_along_mpa",
                    f"piece {letter.upper()}: strength along",
                    "MPa",
                    (21, 24, 27, 30, 33, 37),
                ),
                Quantity(
                    f"piece_{letter}_across_mpa",
                    f"piece {letter.upper()}: strength across",
                    "MPa",
                    (16, 18, 20, 23, 26, 29),
                ),
                Quantity(
                    f"piece_{letter}_stiff_mpa",
                    f"piece {letter.upper()}: stiffness across",
                    "MPa",
                    (310, 380, 450, 540, 640, 780),
                ),
            )
        ),
        Quantity(
            "wall_deg",
            "heel wall: angle from the ground",
            "degrees",
            (30, 32, 34, 36, 38, 39, 52, 54, 56, 58, 60),
        ),
        Quantity("contrast", "along/across contrast", "times", (1.6, 2, 2.5, 3, 4)),
    ),
    fits=clear,
    questions=(water_content, glued_row, three_pieces, heel_stiffness, in_words, weakest_part),
)

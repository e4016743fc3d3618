"""The words explained below the desk: those that stand on it, explained rightly, out of the way."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from scipy.stats import norm

from hoofcalc import datasets
from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc.case.case import Case, new_case
from hoofcalc.case.desk import desk, film_session, findings, several_pictures, side_picture
from hoofcalc.case.desk.findings import REFERENCE
from hoofcalc.case.markup import piece
from hoofcalc.case.measure import in_line
from hoofcalc.ground_force import stance_force
from hoofcalc.profile import Profile

EXPLAINED = ET.fromstring(piece("words", REFERENCE))
WORDS = {
    word.text: " ".join(meaning.itertext())
    for word, meaning in zip(EXPLAINED.iter("dt"), EXPLAINED.iter("dd"), strict=True)
}


def test_every_word_explained_stands_somewhere_on_the_desk() -> None:
    points = Path(desk.__file__).with_name("points.toml").read_text(encoding="utf-8")
    modules = (findings, side_picture, film_session, several_pictures)
    said = [Path(each.__file__).read_text(encoding="utf-8") for each in modules]
    said += [str(each["label"]) for each in tomllib.loads(points).values() if "label" in each]
    on_screen = " ".join(said).lower()
    assert len(WORDS) == 5
    for word in WORDS:
        assert word in on_screen, word


@pytest.mark.parametrize("of_books", ["tubules", "duty factor", "coronary band", "in line"])
def test_the_words_of_books_and_of_trimmers_stand_beside_our_own(of_books: str) -> None:
    assert any(of_books in meaning for meaning in WORDS.values())


def test_the_reference_foot_is_the_one_that_the_load_is_held_against() -> None:
    """Its heel stands nearly as steep as its toe: of the story's feet the one nearest to it."""
    assert WORDS["reference foot"].startswith(f"{REFERENCE}, an invented foot")
    feet = {
        f"{each.horse}'s {each.foot}": Profile(**each.landmarks)
        for each in datasets.story_feet().values()
    }
    gaps = {name: abs(float(foot.angle_gap_deg)) for name, foot in feet.items()}
    assert min(gaps, key=gaps.__getitem__) == REFERENCE
    heel, toe = (in_line().coronet - in_line().ground)[[0, len(in_line().ground) // 2]]
    reference = feet[REFERENCE]  # stood level in 3-D, so turned by a part of a degree
    assert toe[[0, 2]] == pytest.approx(reference.toe_coronet - reference.toe_ground, abs=1.5)
    assert heel[[0, 2]] == pytest.approx(reference.heel_coronet - reference.heel_ground, abs=1.5)


def test_the_sums_in_the_explanations_are_right() -> None:
    meaning = WORDS["part of the stride on the ground"]
    down_s, stride_s, part = map(float, re.findall(r"\d+\.\d+", meaning))
    assert part == pytest.approx(down_s / stride_s)
    assert "The shorter the foot is down, the harder it is pushed" in meaning
    short, long = (stance_force("trot", "fore", 500, beta) for beta in (part - 0.05, part))
    assert short.peak_vertical_n > long.peak_vertical_n
    # an interval of so many standard errors to either side leaves out one in twenty
    assert "Of twenty feet" in WORDS["19 times in 20"]
    assert 2 * norm.sf(ERRORS_FOR_95) == pytest.approx(1 / 20, rel=0.01)


def test_they_are_folded_away_below_the_desk_and_can_be_opened(tmp_path: Path) -> None:
    new_case(tmp_path / "a case", Case(horse="Otterby", foot="right fore", mass_kg=505.0))
    whole = desk.Desk(tmp_path / "a case")
    places = [
        number
        for number, child in enumerate(whole.children)
        if getattr(child, "value", "") == piece("words", REFERENCE)
    ]
    assert places
    assert places[0] > whole.children.index(whole.strip)
    assert EXPLAINED.tag == "details"
    assert "open" not in EXPLAINED.attrib
    assert EXPLAINED.findtext("summary") == "What the words mean"
    whole.close()

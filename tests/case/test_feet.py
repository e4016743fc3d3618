"""Four feet of a horse in one case; a case of one foot, stored before that, opens as it is."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from hoofcalc._constants import VET_CAUTION
from hoofcalc.case.case import Case, add_file, add_visit, new_case, open_case, read_visit
from hoofcalc.case.case_page import page_of
from hoofcalc.case.desk.desk import Desk
from hoofcalc.case.feet import feet_of, foot_folder, visits_of_horse
from hoofcalc.case.measure import measure
from hoofcalc.case.practice import yard_case
from hoofcalc.case.records import FEET
from hoofcalc.case.several import angle_of, feet_at, feet_in_words, over_visits, visits_in_words
from hoofcalc.case.storage import CaseError, files_of, home_of
from hoofcalc.cli import main

#: A case (invented) as it was stored when a case held one foot: files of text, without pictures.
STORED = Path(__file__).parent / "data" / "case_of_one_foot"


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


@pytest.fixture(scope="module")
def horse(tmp_path_factory) -> Path:
    """All four feet of a horse of the yard, the right fore as the case's own."""
    home = tmp_path_factory.mktemp("yard") / "Otterby"
    yard_case(home, "Otterby", "right fore")
    for foot in FEET:
        if foot != "right fore":
            yard_case(home / "feet" / foot, "Otterby", foot)
    return home


def test_a_case_of_one_foot_opens_and_is_left_as_it_is(tmp_path):
    folder = tmp_path / "case"
    shutil.copytree(STORED, folder)
    before = contents(folder)
    found = measure(open_case(folder), read_visit(folder, "2026-11-05"))
    assert found.values["toe_angle_deg"] == pytest.approx(47.7, abs=0.05)
    assert found.values["heel_angle_deg"] == pytest.approx(23.0, abs=0.05)
    assert feet_of(folder) == {"right fore": folder}
    whole = Desk(folder)
    assert whole.visit == "2026-11-05"
    for name in ("foot", "page", "visit"):
        whole.show(name)
    whole.close()
    assert contents(folder) == before, "looking changes nothing"
    assert page_of(folder, "2026-11-05").now.angle_deg("toe") == pytest.approx(47.7, abs=0.05)


def test_a_further_foot_is_a_case_of_its_own_with_the_horses_files(tmp_path):
    folder = tmp_path / "case"
    new_case(folder, Case(horse="Otterby", foot="right fore", mass_kg=505.0, gait="walk"))
    before = contents(folder)
    left = foot_folder(folder, "left hind")
    assert left == folder / "feet" / "left hind"
    assert home_of(left) == folder
    told = open_case(left)
    assert (told.horse, told.foot, told.mass_kg, told.gait) == ("Otterby", "left hind", 505, "walk")
    assert {name: raw for name, raw in contents(folder).items() if name in before} == before
    assert list(feet_of(left)) == ["right fore", "left hind"], "from either folder"
    picture = tmp_path / "side.png"
    Image.new("RGB", (200, 200)).save(picture)
    add_visit(left, date(2026, 4, 7), {})
    add_file(left, "2026-04-07", "pictures", picture)
    assert (files_of(left, "pictures", "2026-04-07") / "side.png").exists()
    assert (folder / "pictures" / "2026-04-07" / "side.png").exists()
    assert visits_of_horse(folder) == ["2026-04-07"]
    with pytest.raises(CaseError, match="no foot called middle"):
        foot_folder(folder, "middle")
    text = (left / "case.toml").read_text().replace('"left hind"', '"right fore"')
    (left / "case.toml").write_text(text)
    with pytest.raises(CaseError, match=r"feet/left hind/case\.toml, field foot"):
        feet_of(folder)


def test_four_feet_are_held_against_each_other_as_comparing_does(horse):
    feet = feet_at(horse, "2026-11-05")
    assert tuple(feet) == FEET
    said = feet_in_words(feet)
    assert len(said) == 5
    assert said[0].startswith("Right fore against left fore: ")
    toes = [angle_of(feet[foot], "toe")[0] for foot in ("left fore", "right fore")]
    assert f"toe is {abs(toes[1] - toes[0]):.1f} degrees flatter" in said[0]
    assert said[-1] == "On average a hind heel is 4 degrees flatter than a fore heel."
    assert feet_in_words({"left fore": feet["left fore"]}) == []
    page = page_of(horse, "2026-11-05")
    assert said[0] in page.words
    assert page.pdf.count(b"/Type /Page\n") == 1


def test_the_series_says_each_visit_with_its_band(horse, capsys):
    visits = over_visits(horse)
    assert len(visits) == 10
    lines = visits_in_words(visits)
    for visit, line in zip(visits, lines[1:], strict=False):
        value, low, high = angle_of(visit, "heel")
        assert f"{value:.1f} ({low:.1f} to {high:.1f})" in line
        assert low < value < high
    assert "heel 9.2 flatter, more than measuring can err" in lines[-2]
    assert main(["case", str(horse), "series"]) == 0
    said = capsys.readouterr().out
    assert lines[-2] in said
    assert VET_CAUTION in said
    assert main(["case", str(horse), "--of", "left fore", "series"]) == 0
    assert "Otterby, left fore" in capsys.readouterr().out

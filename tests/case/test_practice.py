"""Invented cases to practise on: what was placed gives back what is true."""

from __future__ import annotations

import tomllib

import pytest

from hoofcalc import datasets
from hoofcalc.case.case import open_case, read_visit, visit_names
from hoofcalc.case.case_page import page_of
from hoofcalc.case.measure import measure
from hoofcalc.case.practice import practice_case, yard_case
from hoofcalc.case.storage import CaseError
from hoofcalc.profile import Profile


def test_a_foot_of_the_yard_becomes_a_case_with_its_own_numbers(tmp_path):
    visits = yard_case(tmp_path / "case", "Marrowfen", "right fore")
    assert visits == visit_names(tmp_path / "case")
    assert visits[-2:] == ["2026-10-15", "2026-10-15 after trim"]
    case = open_case(tmp_path / "case")
    assert case.invented
    for visit, moment in zip(visits[-2:], ("before trim", "after trim"), strict=True):
        found = measure(case, read_visit(tmp_path / "case", visit))
        record = datasets.foot("Marrowfen", "right fore", 4, moment)
        foot = Profile(**record.landmarks)
        assert found.values["heel_angle_deg"] == pytest.approx(foot.heel_angle_deg)
        assert found.visit.point_error_mm == record.point_error_mm
    assert "invented" in page_of(tmp_path / "case", visits[-1]).words
    with pytest.raises(CaseError, match="holds a case already"):
        yard_case(tmp_path / "case", "Marrowfen", "right fore")
    with pytest.raises(CaseError, match="Grimble is no horse of the yard; they are "):
        yard_case(tmp_path / "other", "Grimble", "right fore")
    with pytest.raises(CaseError, match="the yard has no such record"):
        yard_case(tmp_path / "other", "Marrowfen", "left ear")
    assert not (tmp_path / "other").exists()


@pytest.mark.slow
def test_what_a_careful_hand_placed_gives_back_the_truth(tmp_path):
    folder = tmp_path / "case"
    parts = []
    visits = practice_case(folder, placed=True, progress=parts.append)
    assert parts == sorted(parts)
    assert parts[-1] == 1.0
    truth = tomllib.loads((folder / "truth" / "true.toml").read_text(encoding="utf-8"))
    for visit, true in zip(visits, truth["foot"], strict=True):
        found = measure(open_case(folder), read_visit(folder, visit))
        assert found.visit.placed_twice
        assert found.visit.outline_mm is not None
        assert found.visit.ground_width_mm is not None
        for name in ("toe_angle_deg", "heel_angle_deg", "toe_length_mm", "bearing_length_mm"):
            miss = abs(found.values[name] - true[name])
            # four standard errors: one in 16,000 by chance
            assert miss < 4 * found.errors[name], f"{visit} {name}"
    film = truth["film"]
    assert found.film["duty_factor"] == pytest.approx(
        film["duty_factor"], abs=3 * found.film["duty_factor_error"]
    )
    assert found.load is not None
    originals = sorted(path.name for path in (folder / "pictures" / visits[-1]).iterdir())
    assert originals == [f"{visits[-1]} {view}.jpg" for view in ("below", "front", "side")]

"""From a case to the owner's page: the photograph is the foot, and what cannot be read is said."""

from __future__ import annotations

import io
import shutil
from dataclasses import asdict, replace
from datetime import date
from types import SimpleNamespace

import numpy as np
import pytest
from PIL import Image

from hoofcalc.case import case_page
from hoofcalc.case.allowance import ASKEW
from hoofcalc.case.case import open_case, read_visit
from hoofcalc.case.case_page import page_of, write_page
from hoofcalc.case.feet import foot_folder
from hoofcalc.case.landmarks import LANDMARKS, save_picture
from hoofcalc.case.plan import StoredPlan, plan_for_page, read_plan, save_plan
from hoofcalc.case.records import CASE_FIELDS, Case
from hoofcalc.case.storage import CaseError, as_toml, files_of

FIRST, DAY = "2026-04-09", "2026-10-01"


def shown(case, placed) -> np.ndarray:
    """The photograph on the page of a picture in which red tells right and green tells down."""
    down, right = np.mgrid[: placed.height_px, : placed.width_px]
    pixels = np.zeros((placed.height_px, placed.width_px, 3), np.uint8)
    pixels[..., 0] = 255 * right // placed.width_px
    pixels[..., 1] = 255 * down // placed.height_px
    place = files_of(case, "pictures", DAY) / placed.file
    place.parent.mkdir(parents=True, exist_ok=True)
    Image.fromarray(pixels).save(place, quality=95)
    save_picture(case, DAY, placed)
    visit = case / "visits" / DAY / "visit.toml"
    text = visit.read_text(encoding="utf-8")
    assert "# photograph_on_page = " in text or "photograph_on_page = false" in text
    lines = [line for line in text.splitlines() if "photograph_on_page" not in line]
    visit.write_text("\n".join([*lines, "photograph_on_page = true", ""]), encoding="utf-8")
    photograph = page_of(case, DAY).photograph
    assert photograph is not None
    return np.asarray(Image.open(io.BytesIO(photograph)).convert("RGB")).astype(float)


@pytest.mark.parametrize("moved_px", [0.0, 500.0], ids=["inside", "at the rim"])
def test_the_photograph_is_the_foot_with_some_room_round_it(case, level_side, moved_px):
    """About a third of the foot's length on every side, and never beyond the picture."""
    places = {name: (x, y + moved_px) for name, (x, y) in level_side.placings[0].items()}
    placed = replace(level_side, placings=(places,))
    picture = shown(case, placed)
    assert max(picture.shape[:2]) <= 760
    foot = np.array([at for name, at in places.items() if name in LANDMARKS])
    room = 0.35 * np.ptp(foot, axis=0).max()
    size = np.array([placed.width_px, placed.height_px])
    wanted = [np.clip(foot.min(axis=0) - room, 0, size), np.clip(foot.max(axis=0) + room, 0, size)]
    corners = [picture[:8, :8].mean(axis=(0, 1)), picture[-8:, -8:].mean(axis=(0, 1))]
    for corner, place in zip(corners, wanted, strict=True):
        np.testing.assert_allclose(corner[:2] / 255, place / size, atol=0.02)
    extent = wanted[1] - wanted[0]
    assert picture.shape[1] / picture.shape[0] == pytest.approx(extent[0] / extent[1], rel=0.02)


def test_without_leave_or_without_a_photograph_there_is_none(case, placed_case):
    assert page_of(placed_case, DAY).photograph is None


def test_leave_for_a_photograph_that_is_not_there_is_no_error(case):
    visit = case / "visits" / DAY / "visit.toml"
    text = visit.read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if "photograph_on_page" not in line]
    visit.write_text("\n".join([*lines, "photograph_on_page = true", ""]), encoding="utf-8")
    assert read_visit(case, DAY).photograph_on_page
    assert page_of(case, DAY).photograph is None


def test_a_visit_that_is_not_there_and_one_that_cannot_be_read_are_told_apart(case):
    with pytest.raises(CaseError, match=f"no visit of 2026-01-01 .on file: {FIRST}, {DAY}"):
        page_of(case, "2026-01-01")
    (case / "visits" / FIRST / "points.csv").write_text("nothing", encoding="utf-8")
    words = page_of(case, DAY).words
    assert f"Not compared, for it is not measured yet: {FIRST}." in words
    with pytest.raises(CaseError, match="points"):
        page_of(case, FIRST)


def section(page, heading: str) -> str:
    """What stands under a heading."""
    (lines,) = (each.lines for each in page.sections if each.heading == heading)
    return " ".join(lines)


def keep(folder, horse: Case) -> None:
    """Write case.toml anew."""
    (folder / "case.toml").write_bytes(as_toml(asdict(horse), CASE_FIELDS, ""))


def measured_again(case, name: str, moment: str = "before trim") -> None:
    """The first visit's points once more, on another day."""
    shutil.copytree(case / "visits" / FIRST, case / "visits" / name)
    visit = case / "visits" / name / "visit.toml"
    text = visit.read_text(encoding="utf-8").replace(FIRST, name[:10])
    visit.write_text(text.replace("before trim", moment), encoding="utf-8")


def test_the_page_says_who_measured_what_is_planned_and_that_it_is_invented(placed_case):
    whose = replace(open_case(placed_case), measured_by="Ada Fenn", reached_by="the yard's bell")
    keep(placed_case, whose)
    page = page_of(placed_case, DAY)
    measured = section(page, "What was measured")
    assert "Measured by Ada Fenn. For questions: the yard's bell." in measured
    assert "could not be corrected; the errors given here allow for that" in measured
    planned = section(page, "What is planned")
    assert planned.startswith("Heel lowered. Next visit: 26 November 2026.")
    coming = plan_for_page(page.now, read_plan(placed_case, DAY))
    (low, _, high), (flat, _, steep) = coming.toe_deg, coming.heel_deg
    assert f"the toe between {low:.0f} and {high:.0f} degrees" in planned
    assert f"the heel between {flat:.0f} and {steep:.0f} degrees" in planned
    assert "Otterby, right fore: measured on 1 October 2026" in page.title
    assert page.before.day.isoformat() == FIRST
    now = read_visit(placed_case, DAY)
    assert now.askew == ASKEW
    assert page.now.error_deg("toe") == pytest.approx(now.errors["toe_angle_deg"])
    invented = section(page, "Please keep in mind")
    keep(placed_case, replace(whose, invented=False))
    plain = section(page_of(placed_case, DAY), "Please keep in mind")
    assert invented.startswith(plain)
    assert "are invented" in invented.removeprefix(plain)
    earlier = page_of(placed_case, FIRST)
    assert earlier.before is None, "what came later is not compared with"
    assert [each.heading for each in earlier.sections].count("What is planned") == 0
    assert "could not be corrected" not in earlier.words, "points typed in mm had no camera"


def test_a_second_foot_stands_beside_the_first_and_one_alone_stands_alone(case):
    assert "side by side" not in page_of(case, DAY).words
    other = foot_folder(case, "left fore")
    shutil.copytree(case / "visits" / FIRST, other / "visits" / FIRST)
    assert "side by side" not in page_of(case, DAY).words, "not measured at this visit"
    beside = section(page_of(case, FIRST), "The feet side by side")
    foot = read_visit(case, FIRST).profile
    angles = f"toe {foot.toe_angle_deg:.0f}, heel {foot.heel_angle_deg:.0f}"
    assert beside.startswith(f"In degrees: left fore {angles}; right fore {angles}. Right fore")


def test_how_long_the_hoof_had_grown_counts_from_the_last_day_at_the_horse(case):
    """114 days from April to August, where it was measured twice, and 61 to October."""
    measured_again(case, "2026-08-01")
    measured_again(case, "2026-08-01 after trim", "after trim")
    changed = section(page_of(case, DAY), "What changed")
    assert "had grown for 9 weeks this time, for 16 weeks last time" in changed
    trimmed = page_of(case, "2026-08-01 after trim")
    assert trimmed.before is None
    assert "first measurement after the trim" in section(trimmed, "What changed")


def test_what_does_not_fit_a_page_is_refused_in_words(case, monkeypatch):
    save_plan(
        case, DAY, StoredPlan(work="Lower it.", next_visit=date(2026, 11, 26), heel_down_mm=40.0)
    )
    with pytest.raises(CaseError, match=f"visits/{DAY}/plan.toml: 40 mm off the heel leaves no"):
        page_of(case, DAY)
    (case / "visits" / DAY / "plan.toml").unlink()
    monkeypatch.setattr(case_page, "owner_page", lambda *_, **__: int("no number"))
    with pytest.raises(CaseError, match="the page cannot be written: invalid literal"):
        page_of(case, DAY)


def test_the_page_is_written_as_html_and_pdf_and_one_that_stood_there_is_kept(case, monkeypatch):
    asked = []

    def made(folder, visit):
        asked.append((folder, visit))
        return SimpleNamespace(html=f"<p>Żółw {len(asked)}</p>", pdf=b"%PDF-1.4 of it")

    monkeypatch.setattr(case_page, "page_of", made)
    web, paper = (case / "pages" / f"{DAY}.{kind}" for kind in ("html", "pdf"))
    for time in (1, 2):
        assert write_page(case, DAY) == [web, paper]
        assert web.read_text(encoding="utf-8") == f"<p>Żółw {time}</p>"
        assert paper.read_bytes() == b"%PDF-1.4 of it"
    assert asked == [(case, DAY)] * 2
    (kept,) = (case / "kept").rglob("*.html")
    assert kept.read_text(encoding="utf-8") == "<p>Żółw 1</p>"

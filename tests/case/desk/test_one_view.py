"""The foot in one view shows the numbers that were measured, and says what it cannot show."""

from __future__ import annotations

import asyncio
import io
import itertools
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import numpy as np
import pytest
from ipywidgets import VBox
from ipywidgets.widgets import widget as registry
from PIL import Image

from hoofcalc import datasets
from hoofcalc.case.case import Case, Visit, add_visit, new_case, points_csv, read_visit
from hoofcalc.case.desk.case_figures import (
    capsule_figure,
    forecast_figure,
    load_figure,
    tried,
)
from hoofcalc.case.desk.comparing import against_case, against_visit, against_yard, yard_feet
from hoofcalc.case.desk.findings import three_findings
from hoofcalc.case.desk.measured_side import _drawn
from hoofcalc.case.desk.one_view import PARTS, OneView
from hoofcalc.case.desk.session import CaseSession
from hoofcalc.case.desk.side_picture import departures, side_drawing, side_picture
from hoofcalc.case.desk.tables import comparison_table, findings_table
from hoofcalc.case.feet import foot_folder
from hoofcalc.case.landmarks import PlacedPicture, from_the_side, save_picture
from hoofcalc.case.measure import MOMENTS, compare_visits, measure
from hoofcalc.case.photograph import Photograph
from hoofcalc.case.storage import CaseError
from hoofcalc.cycle import trim
from hoofcalc.forecast import expected
from hoofcalc.pictures.drawing import drawing_of
from hoofcalc.profile import Profile, line_angle_deg

DAY = date(2026, 10, 1)
CASE = Case(horse="Otterby", foot="right fore", mass_kg=505, duty_factor=0.4, invented=True)
ROUND = Profile.from_measures(52, 40, 85, 35, 110)  # round figures


def _line(profile: Profile, back: float, lean_deg: float = 0.0) -> np.ndarray:
    """A line of the horn as the model runs it, or leaning away from it; heel to toe is level."""
    foot = profile.toe_ground + back * (profile.heel_ground - profile.toe_ground)
    angle = np.radians(float(line_angle_deg(profile, back)) + lean_deg)
    way = np.array([-np.cos(angle), np.sin(angle)])
    middle_angle = np.radians(float(line_angle_deg(profile, back)))
    middle = foot + 22 * np.array([-np.cos(middle_angle), np.sin(middle_angle)])
    return np.array([middle - 14 * way, middle + 14 * way])


def _visit(**changes: object) -> Visit:
    lines = np.array([_line(ROUND, 0.1), _line(ROUND, 0.5), _line(ROUND, 0.8, -25)])
    usual = {
        "date": DAY,
        "profile": ROUND,
        "point_error_mm": 0.8,
        "wall_regions": ("toe", "quarter", "heel"),
        "wall_lines_mm": lines,
        "ground_width_mm": 120.0,
        "coronet_width_mm": 102.0,
        "medial_height_mm": 54.0,
        "lateral_height_mm": 56.0,
        "outline_mm": datasets.outline("Otterby", "right fore", 1) * [110 / 117, 1],
    }
    return Visit(**{**usual, **changes})


FEET = {
    "whole": measure(CASE, _visit()),
    "hind": measure(replace(CASE, foot="left hind"), _visit(outline_mm=None)),
    "pony": measure(
        replace(CASE, mass_kg=180.0),
        Visit(date=DAY, profile=Profile.from_measures(57, 50, 55, 25, 72)),
    ),
    "canter": measure(replace(CASE, gait="canter", lead="left", duty_factor=0.3), _visit()),
    "run under": measure(
        CASE, Visit(date=DAY, profile=Profile.from_measures(44, 24, 110, 50, 120))
    ),
    "too upright": measure(
        CASE, Visit(date=DAY, profile=Profile.from_measures(64, 68, 80, 55, 85))
    ),
    "after trim": measure(CASE, _visit(moment="after trim")),
}
every_foot = pytest.mark.parametrize("found", FEET.values(), ids=FEET.keys())
MAKERS = (capsule_figure, load_figure, forecast_figure)


class _Cells(HTMLParser):
    """Rows of a table, as text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.scopes: list[str | None] = []
        self._open = False
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "tr":
            self.rows.append([])
        if tag in ("th", "td"):
            self._open = True
            self.rows[-1].append("")
        if tag == "th":
            self.scopes.append(dict(attrs).get("scope"))

    def handle_endtag(self, tag: str) -> None:
        self._open = self._open and tag not in ("th", "td")

    def handle_data(self, data: str) -> None:
        if self._open:
            self.rows[-1][-1] += data


# ---- the side view ---------------------------------------------------------------------------


def test_the_side_picture_says_the_measured_angles_with_their_error() -> None:
    found = FEET["whole"]
    words = side_picture(found).caption
    for end in ("toe", "heel"):
        value, error = found.values[f"{end}_angle_deg"], found.errors[f"{end}_angle_deg"]
        assert f"{value:.1f} ± {1.96 * error:.1f}" in words
    assert "12.0 ±" in words  # 52 less 40


def test_a_line_traced_as_the_model_runs_does_not_depart_and_one_25_degrees_off_does() -> None:
    toe, quarter, heel = departures(FEET["whole"])
    assert toe.departure_deg == pytest.approx(0, abs=0.05)
    assert quarter.departure_deg == pytest.approx(0, abs=0.05)
    assert heel.departure_deg == pytest.approx(-25, abs=1)
    assert (toe.exceeds, quarter.exceeds, heel.exceeds) == (False, False, True)
    assert "flatter than the model, more than its error" in heel.words
    # never surer than the line's own two ends
    for line, stored in zip((toe, quarter, heel), FEET["whole"].horn_lines, strict=True):
        assert line.error_deg > stored["error_deg"]


def _placed(facing: str, heel_low_mm: float = 0.0) -> PlacedPicture:
    """8 px to the millimetre, level; the heel stands in the middle of the ground line.

    A camera above the ground sees the nearer heel too low.
    """
    side = 1 if facing == "right" else -1
    at = {"toe_ground": (110, 0), "toe_coronet": (58, 67), "heel_ground": (0, 0)}
    at |= {"heel_coronet": (-27, 22)}
    for name in ("heel_ground", "heel_coronet"):
        at[name] = (at[name][0], at[name][1] - heel_low_mm)
    at |= {"toe_line_low": (100, 5), "toe_line_high": (76, 36)}
    frame = {"scale_start": (0, 120), "scale_end": (100, 120)}
    frame |= {"level_start": (-120, 0), "level_end": (120, 0)}
    places = {name: (1000 + 8.0 * side * x, 1100 - 8.0 * z) for name, (x, z) in at.items()}
    places |= {name: (1000 + 8.0 * x, 1100 - 8.0 * z) for name, (x, z) in frame.items()}
    return PlacedPicture(
        view="side",
        file="side.png",
        width_px=2300,
        height_px=1400,
        way="length",
        known_mm=100.0,
        placings=(places,),
    )


@pytest.mark.parametrize("heel_low_mm", [0.0, 5.0])
@pytest.mark.parametrize("facing", ["right", "left"])
def test_over_a_photograph_all_lies_where_the_points_were_placed(
    facing: str, heel_low_mm: float
) -> None:
    placed = _placed(facing, heel_low_mm)
    view = from_the_side(placed, facing, 1.0)
    visit = Visit(
        date=DAY,
        profile=view.profile,
        facing=facing,
        errors=dict(view.errors),
        lifted_mm=view.lifted_mm,
        wall_regions=view.wall_regions,
        wall_lines_mm=view.wall_lines_mm,
    )
    found = measure(CASE, visit)
    pixels = np.full((1400, 2300, 3), 120, dtype=np.uint8)
    pixels[1100:] = 60
    drawn = side_drawing(found, placed, Photograph(pixels, "PNG"))
    at = placed.placings[0]
    for end in ("toe", "heel"):
        low, high = drawn.walls[end][0]
        np.testing.assert_allclose(low, at[f"{end}_ground"], atol=1e-6)
        assert np.cross([*(high - low), 0], [*(at[f"{end}_coronet"] - low), 0])[2] == pytest.approx(
            0, abs=1e-5
        )
    np.testing.assert_allclose(
        drawn.traced[0].ends, [at["toe_line_low"], at["toe_line_high"]], atol=1e-6
    )
    marks = {tuple(np.round(mark, 6)) for mark in drawn.marks}
    assert marks == {tuple(map(float, at[name])) for name in view.profile.landmarks}
    # the ring round a point: 2.45 standard errors of 1 mm, at 8 px to the millimetre
    reach = np.hypot(*(drawn.reaches[0] - drawn.marks[0]).T)
    np.testing.assert_allclose(reach, 8 * np.sqrt(-2 * np.log(0.05)), rtol=1e-6)
    left, right, low, high = drawn.box
    assert 0 <= left < drawn.marks[:, 0].min() < drawn.marks[:, 0].max() < right <= 2300
    assert 0 <= high < drawn.marks[:, 1].min() < drawn.marks[:, 1].max() < low <= 1400
    picture = side_picture(found, placed, Photograph(pixels, "PNG"))
    assert f"toe to the {facing}, over the photograph" in picture.alt
    shown = np.asarray(Image.open(io.BytesIO(picture.png)).convert("RGB"))
    assert (np.abs(shown.astype(int) - 120).max(axis=-1) < 8).mean() > 0.2  # the photograph


@pytest.mark.slow
@every_foot
def test_words_on_the_picture_lie_apart_and_inside(found) -> None:
    seen = side_drawing(found)
    drawing = _drawn(seen)
    boxes = [
        artist.get_window_extent()
        for item, artist in zip(drawing.series, drawing.artists, strict=True)
        if item.kind == "words"
    ]
    assert len(boxes) == 2 + len(seen.traced)
    for one, other in itertools.combinations(boxes, 2):
        assert not one.overlaps(other)
    for box in boxes:
        assert box.x0 >= 0
        assert box.x1 <= 2 * drawing.width


# ---- figures that move -----------------------------------------------------------------------


@pytest.mark.slow
@every_foot
@pytest.mark.parametrize("maker", MAKERS, ids=lambda maker: maker.__name__)
def test_every_corner_computes_draws_and_speaks(found, maker) -> None:
    figure = maker(found)
    drawing = drawing_of(figure)
    ends = [(slider.minimum, slider.maximum) for slider in figure.sliders]
    for preset in figure.presets or [None]:
        for corner in itertools.product(*ends):
            values = dict(zip([s.name for s in figure.sliders], corner, strict=True))
            frame = figure.frame({**(preset.values if preset else {}), **values})
            assert not frame.refusal, f"{values}: {frame.refusal}"
            assert "nan" not in frame.sentence
            assert "inf" not in frame.sentence.split()
            assert frame.sentence.endswith(".")
            drawing.show(frame.results)
            counts, row = figure.floats(frame.results)
            assert 2 * sum(counts) == len(row)
            assert row.nbytes <= 20_000, "more than a move should send"  # as in the lessons
    drawing.png()


@every_foot
@pytest.mark.parametrize("maker", MAKERS, ids=lambda maker: maker.__name__)
def test_every_slider_changes_the_picture_and_the_sentence(found, maker) -> None:
    figure = maker(found)
    here = figure.frame({})
    assert not here.refusal
    for slider in figure.sliders:
        assert slider.start in [pytest.approx(at) for at in slider.positions()]
        there = figure.frame({slider.name: slider.maximum})
        assert there.sentence != here.sentence
        same = np.array_equal(figure.floats(here.results)[1], figure.floats(there.results)[1])
        assert not same, f"{slider.name} moves nothing"


@every_foot
def test_the_load_figure_shows_the_pushes_of_the_load_map(found) -> None:
    figure, load = load_figure(found), found.load
    for number, moment in enumerate(MOMENTS):
        results = figure.frame({"moment_percent": 100 * moment}).results
        assert results["vertical_n"] == load.vertical_n[number]
        assert results["tilt_deg"] == load.tilt_deg[number]
        assert results["wall_n"] == pytest.approx(0.8 * load.vertical_n[number])  # frog: a fifth
        most = load.times[number].max()  # what is seen is what is kept
        assert results["most"] == pytest.approx(most, rel=1e-9)  # one push solved, or all at once


def test_the_reference_foot_works_once_as_hard_as_itself() -> None:
    foot = datasets.story_feet()["in line"]
    same = measure(
        CASE,
        Visit(
            date=DAY,
            profile=Profile(**foot.landmarks),
            outline_mm=datasets.outline(foot.horse, foot.foot),
        ),
    )
    results = load_figure(same).frame({"moment_percent": 50}).results
    np.testing.assert_allclose(results["work"], results["reference"], atol=1e-9)
    assert same.load.heel_against.low < 1 < same.load.heel_against.high


def test_how_many_times_does_not_hang_on_the_horses_weight() -> None:
    heavy, light = (measure(replace(CASE, mass_kg=kg), _visit()) for kg in (540.0, 180.0))
    works = [load_figure(one).frame({}).results["work"] for one in (heavy, light)]
    np.testing.assert_allclose(*works, rtol=1e-6, atol=1e-6)


def test_a_lighter_horse_pushes_in_proportion_and_a_hind_foot_differently() -> None:
    heavy, light = (measure(replace(CASE, mass_kg=kg), _visit()) for kg in (540.0, 180.0))
    pushes = [load_figure(one).frame({}).results["vertical_n"] for one in (heavy, light)]
    assert pushes[0] == pytest.approx(3 * pushes[1])
    hind = load_figure(FEET["hind"]).frame({}).results["vertical_n"]
    assert hind != pytest.approx(load_figure(FEET["whole"]).frame({}).results["vertical_n"])


def test_without_a_duty_factor_there_is_no_load_map_and_the_reason_is_said() -> None:
    found = measure(replace(CASE, duty_factor=None), _visit())
    with pytest.raises(CaseError, match="No load map: it needs the part of a stride"):
        load_figure(found)


def test_sides_are_named_only_where_the_outline_tells_them() -> None:
    told = load_figure(FEET["run under"]).frame({}).sentence
    assert "The wall works hardest at the toe: " in told
    assert "at the left" not in told
    assert "even oval" in capsule_figure(FEET["hind"]).frame({}).sentence
    assert "Built from the side, the front and below." in capsule_figure(
        FEET["whole"]
    ).frame({}).sentence  # fmt: skip


def test_the_capsule_is_as_wide_as_the_front_view_says() -> None:
    assert "120 mm wide" in capsule_figure(FEET["whole"]).frame({}).sentence


@pytest.mark.parametrize("hoof", ["Bare", "Shod"])
def test_the_forecast_is_that_of_the_plan(hoof: str) -> None:
    found = FEET["whole"]
    figure = forecast_figure(found)
    setting = {"toe_taken_mm": 4.0, "heel_down_mm": 2.5, "weeks": 8.0, "hoof": hoof}
    frame = figure.frame(setting)
    error = {end: found.errors[f"{end}_angle_deg"] for end in ("toe", "heel")}
    coming = expected(
        ROUND, error, [56], toe_down_mm=4.0, heel_down_mm=2.5, shod=hoof == "Shod"
    )  # fmt: skip
    np.testing.assert_allclose(frame.results["toe_deg"], coming.toe_deg[0], rtol=1e-12)
    np.testing.assert_allclose(frame.results["heel_deg"], coming.heel_deg[0], rtol=1e-12)
    after = trim(ROUND, toe_down_mm=4.0, heel_down_mm=2.5)
    assert f"from 52.0 to {after.toe_angle_deg:.1f} degrees" in frame.sentence
    plan = tried(found, frame.values)
    assert plan.next_visit == date(2026, 11, 26)
    assert plan.shod == (hoof == "Shod")
    assert (plan.toe_taken_mm, plan.heel_down_mm) == (4.0, 2.5)


def test_after_the_trim_no_more_is_taken_off() -> None:
    figure = forecast_figure(FEET["after trim"])
    assert [slider.name for slider in figure.sliders] == ["weeks"]
    frame = figure.frame({})
    assert tried(FEET["after trim"], frame.values).heel_down_mm == 0


# ---- tables ----------------------------------------------------------------------------------


@every_foot
def test_the_table_of_findings_holds_every_finding(found) -> None:
    table = _Cells(findings_table(found))
    head, *rows = table.rows
    assert len(head) == 4
    assert len(rows) == len(found.findings)
    assert set(table.scopes) == {"col", "row"}
    for row, finding in zip(rows, found.findings, strict=True):
        assert row[0].startswith(finding.name)
        assert finding.rule in row[0]
        digits = 1 if finding.unit else 2
        assert f"{abs(finding.value):.{digits}f}" in row[1]
        if finding.error is not None:
            assert f"±\u00a0{1.96 * finding.error:.{digits}f}" in row[1]
        assert row[2].startswith("yes; " if finding.met else "no; ")
        if finding.probability is not None and 0.01 < finding.probability < 0.99:
            assert f"does in {100 * finding.probability:.0f} of 100" in row[2]
        if finding.percentile is not None and 1 < finding.percentile < 99:
            assert row[3].startswith(f"{finding.percentile:.0f} in 100")


def test_a_pony_is_not_held_against_the_rule_for_heavier_horses() -> None:
    assert "toe long" in findings_table(FEET["whole"])
    assert "toe long" not in findings_table(FEET["pony"])


def test_two_visits_are_compared_as_the_case_compares_them() -> None:
    before = _visit(date=date(2026, 4, 9), profile=Profile.from_measures(49, 28, 90, 45, 112))
    shown = against_visit(FEET["whole"], before)
    both, _ = compare_visits(before, FEET["whole"].visit)
    assert shown.both.differences == both.differences
    head, *rows = _Cells(comparison_table(both)).rows
    assert head[1:3] == ["2026-10-01", "2026-04-09"]
    for row, difference in zip(rows, both.differences, strict=True):
        digits = 2 if row[1][-1].isdigit() else 1
        assert row[3].startswith(f"{difference.value:+.{digits}f} ±\u00a0")
        assert row[4].startswith("yes" if difference.exceeds else "no")
    assert "2026-04-09" in shown.picture.alt


def test_a_foot_of_the_yard_is_marked_as_invented() -> None:
    assert len(yard_feet()) == 3
    for called, story in yard_feet().items():
        shown = against_yard(FEET["whole"], story)
        assert "invented" in called
        assert "invented" in shown.both.labels[0]
        assert any("invented" in line for line in shown.lines)
    # a foot of 52 and 40 degrees against one run under: the heel differs by more than the error
    found = {
        each.measure: each for each in against_yard(FEET["whole"], "run under").both.differences
    }
    assert found["heel_angle_deg"].exceeds


# ---- the whole page --------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path):
    home = tmp_path / "case"
    new_case(home, CASE)
    marks = {name: tuple(map(float, at)) for name, at in ROUND.landmarks.items()}
    (tmp_path / "points.csv").write_bytes(points_csv(marks))
    for day in ("2026-04-09", "2026-10-01"):
        add_visit(home, day, {}, {"points.csv": tmp_path / "points.csv"})
    return home


def _texts(view) -> str:
    """All that stands there, in HTML."""
    value = getattr(view, "value", "")
    inner = "\n".join(_texts(child) for child in getattr(view, "children", ()))
    return f"{value if isinstance(value, str) else ''}\n{inner}"


def _opened(view, name: str):
    view.strip.show(name)
    return view.strip.inside


def test_it_leads_with_one_picture_and_three_findings(folder) -> None:
    view = OneView(folder, "2026-10-01")
    lead = view.children[0].value
    assert lead.count("<img") == 1
    assert lead.count("<h3>") == 3
    assert view.strip.open_part == "", "the rest waits until it is asked for"
    assert "invented" in lead
    found = measure(CASE, read_visit(folder, "2026-10-01"))
    for end in ("toe", "heel"):
        assert f"{found.values[f'{end}_angle_deg']:.1f}°" in lead
    assert "It may be no change" in lead, "the same points on both days"
    against = found.load.heel_against
    assert f"{against.ratio:.1f} times as hard as in the reference foot" in lead
    assert f"({against.low:.1f} to {against.high:.1f})" in lead
    assert "%" not in "".join(" ".join(each) for each in three_findings(found, None))
    view.close()


def test_a_change_that_counts_is_not_contradicted_by_its_number() -> None:
    for heel in np.arange(34.0, 40.0, 0.1):
        earlier = _visit(
            date=date(2026, 4, 9), profile=Profile.from_measures(52, heel, 85, 35, 110)
        )
        _, number, words = three_findings(FEET["whole"], earlier)[1]
        if "has changed" in words:
            read = float(number.split("°")[0].split()[-1])
            assert read > float(words.split("up to ")[1].split(". ")[0])
        else:
            assert "may be no change" in words


def test_views_that_make_no_foot_cost_one_finding_only() -> None:
    edge = np.array([[0, -50], [60, -40], [110, 0], [60, 1], [60, 0], [60, 40], [0, 50.0]])
    found = measure(replace(CASE, duty_factor=None), _visit(outline_mm=edge))
    shape, _, work = three_findings(found, None)
    assert "52.0°" in shape[1]
    assert work[1] == "Not told."
    loaded = measure(CASE, _visit(outline_mm=edge))
    assert loaded.load is None
    assert loaded.values == found.values
    (why,) = (each for each in loaded.remarks if each.startswith("No load map"))
    assert "outline.csv" in why


def test_every_part_opens_and_the_trim_is_handed_over(folder) -> None:
    got = []
    view = OneView(folder, "2026-10-01", on_plan=got.append)
    for name in PARTS:
        assert 'role="alert"' not in _texts(_opened(view, name)), name
    part = _opened(view, "trim")
    part.figures[0].move(heel_down_mm=3.0, weeks=8.0)
    part.children[-2].click()
    assert got[0].heel_down_mm == 3.0
    assert str(got[0].next_visit) == "2026-11-26"
    assert "Taken into the plan: toe down 0 mm, heel down 3 mm" in part.children[-1].value
    view.close()


@pytest.mark.slow
def test_another_foot_is_chosen_and_a_wrong_folder_gets_a_sentence(folder, tmp_path) -> None:
    view = OneView(folder, "2026-10-01")
    part = _opened(view, "beside")
    which, place, their = (
        next(child for child in part.children if child.__class__.__name__ == kind and
             child.description.startswith(words))
        for kind, words in (("Dropdown", "Compare"), ("Text", "Folder"), ("Dropdown", "Its"))
    )  # fmt: skip
    shown = VBox(part.children[-2:])  # a refusal, and the two feet
    assert "this foot on 2026-04-09" in which.options
    assert "0 of 8 measures differ" in _texts(shown)  # the same points on both days
    assert place.layout.display == "none"
    which.value = next(name for name in which.options if name.startswith("run under"))
    assert "yard Brackenfold" in _texts(shown)
    which.value = which.options[-1]
    assert "Give the folder" in _texts(shown)
    assert place.layout.display is None
    place.value = str(tmp_path / "nowhere")
    assert "There is no case in" in _texts(shown)
    assert "Traceback" not in _texts(shown)
    place.value = str(folder)
    assert their.options == ("2026-04-09", "2026-10-01")
    their.value = "2026-04-09"
    assert "Otterby, right fore, 2026-04-09" in _texts(shown)
    shown.close()
    view.close()


@pytest.mark.slow
def test_what_cannot_be_shown_is_a_sentence_and_the_rest_stands(folder) -> None:
    (folder / "case.toml").write_text(
        (folder / "case.toml").read_text().replace("duty_factor = 0.4", "")
    )
    view = OneView(folder, "2026-10-01")
    assert "times as hard as in the reference foot" in _texts(view), "that needs no film"
    assert "No load map: it needs" in _texts(_opened(view, "rim"))
    assert len(_opened(view, "space").figures) == 1
    view.close()
    for visit, why in (("2026-10-02", "There is no visit of 2026-10-02"), ("x", "visit of x")):
        assert why in _texts(OneView(folder, visit))
    assert "There is no case in" in _texts(OneView(folder / "none", "2026-10-01"))


@pytest.mark.slow
def test_a_photograph_that_is_gone_costs_only_its_own_part(folder) -> None:
    save_picture(folder, "2026-10-01", _placed("right"))
    view = OneView(folder, "2026-10-01")
    texts = _texts(view)
    assert texts.count('role="alert"') == 1
    assert "side.png" in texts
    assert texts.count("<h3>") == 3
    view.close()


@pytest.mark.slow
def test_a_plan_that_is_refused_gets_a_sentence(folder) -> None:
    def refuse(values) -> None:
        raise ValueError("the plan cannot be written: the disk is full")

    view = OneView(folder, "2026-10-01", on_plan=refuse)
    part = _opened(view, "trim")
    part.children[-2].click()
    assert "The plan cannot be written: the disk is full." in part.children[-1].value
    view.close()


def test_in_a_notebook_it_says_that_it_measures_and_closing_forgets(folder) -> None:
    before = len(registry._instances)

    async def open_it():
        view = OneView(folder, "2026-10-01")
        first = _texts(view)
        for _ in range(3000):
            await asyncio.sleep(0.01)
            if view.strip is not None:
                break
        return view, first

    view, first = asyncio.run(open_it())
    assert "being measured" in first
    for name in PARTS:
        _opened(view, name)
    view.close()
    assert len(registry._instances) == before


def test_feet_and_visits_stand_side_by_side(folder) -> None:
    left = foot_folder(folder, "left fore")
    hand = CaseSession(left)
    assert hand.visits() == ["2026-04-09", "2026-10-01"], "those of the horse"
    hand.prepare("2026-10-01")
    marks = Profile.from_measures(52, 20, 85, 35, 110).landmarks
    points = points_csv({name: tuple(map(float, at)) for name, at in marks.items()})
    (left / "visits" / "2026-10-01" / "points.csv").write_bytes(points)
    view = OneView(folder, "2026-10-01")
    said = _texts(_opened(view, "feet"))
    assert "Right fore against left fore: its heel is 20.0 degrees steeper." in said
    said = _texts(_opened(view, "visits"))
    assert "2 visits, 2026-04-09 to 2026-10-01" in said
    view.close()


def test_every_visit_is_read_from_its_own_folder(folder) -> None:
    found = measure(CASE, read_visit(folder, "2026-04-09"))
    shown = against_case(found, folder, "2026-04-09")
    assert len(set(shown.both.labels)) == 2
    assert not shown.both.real_differences

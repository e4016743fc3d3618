"""What a measurement says of size, push and load, and what it takes for granted."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc._constants import VET_CAUTION
from hoofcalc.case import measure as measuring
from hoofcalc.case.allowance import ASKEW
from hoofcalc.case.case import open_case, read_visit
from hoofcalc.case.measure import (
    MOMENTS,
    centre_of,
    compare_visits,
    heel_in_line_mpa,
    in_line,
    measure,
    size_doubt,
)
from hoofcalc.ground_force import stance_force
from hoofcalc.horn import horn_at
from hoofcalc.profile import Profile

FIRST, DAY = "2026-04-09", "2026-10-01"


@pytest.fixture
def foot_in_line(case):
    """The yard's foot in line as a visit of the case, with what is on file of the last one."""
    record = datasets.story_feet()["in line"]
    return replace(
        read_visit(case, DAY),
        profile=Profile(**record.landmarks),
        outline_mm=datasets.outline(record.horse, record.foot),
    )


@pytest.mark.parametrize(("mass_kg", "usual_mm"), [(500, 115.0), (62.5, 57.5), (1687.5, 172.5)])
def test_a_foot_fits_its_horse_by_the_cube_root_of_the_mass(case, mass_kg, usual_mm):
    """An eighth of the mass goes with half the length; half as much again still fits."""
    horse = replace(open_case(case), mass_kg=mass_kg)

    def told(length_mm: float) -> str:
        return size_doubt(horse, Profile.from_measures(52, 48, 0.7 * usual_mm, 30, length_mm))

    for times in (0.67, 1.0, 1.49):
        assert told(times * usual_mm) == ""
    for times in (0.66, 1.51):
        assert f"for {mass_kg:g} kg one of {usual_mm / 1.5:.0f} to {usual_mm * 1.5:.0f} mm" in told(
            times * usual_mm
        )


def test_the_measure_of_the_load_map_grows_with_the_push():
    """Straight up and elastic: twice the push works the heels twice as hard."""
    horn = horn_at(water_percent=25.0).central
    assert heel_in_line_mpa(6000.0, horn) == pytest.approx(2 * heel_in_line_mpa(3000.0, horn))
    foot = in_line()
    heel, toe = foot.ground[[0, len(foot.ground) // 2], 0]
    assert centre_of(foot) == pytest.approx([heel + 0.6 * (toe - heel), 0.0])


def test_the_heels_of_the_foot_in_line_are_worked_as_hard_as_themselves(case, foot_in_line):
    """In the middle of the stance the push is nearly straight up and nearly at its peak."""
    load = measure(open_case(case), foot_in_line).load
    middle = int(np.argmax(load.vertical_n))
    share = load.vertical_n[middle] / load.peak_vertical_n
    heels = load.times[middle, [0, -1]].mean()
    assert 0.6 * share < heels < 1.6 * share
    assert load.heel_against.low < 1.0 < load.heel_against.high


def test_the_table_of_the_load_names_the_moments_and_the_push(case):
    found = measure(open_case(case), read_visit(case, DAY))
    lines = found.in_words()
    first = next(k for k, line in enumerate(lines) if "moment of stance" in line) + 1
    for k, moment in enumerate(MOMENTS):
        percent, _, force, lean, *_ = lines[first + k].split()
        assert float(percent) == pytest.approx(100 * moment, abs=0.5)
        assert float(force) == pytest.approx(found.load.vertical_n[k], abs=0.5)
        assert float(lean) == pytest.approx(found.load.tilt_deg[k], abs=0.05)
    said = "\n".join(lines)
    assert f"heel's tubules at {found.load.heel_obliquity_deg:.0f} degrees" in said
    tables = tomllib.loads(found.as_toml().decode())
    assert tables["push"]["peak_spread_percent"] == pytest.approx(100 * found.load.spread)
    assert tables["push"]["peak_vertical_n"] == pytest.approx(found.load.peak_vertical_n)


def test_what_is_taken_for_granted_is_said_only_where_it_is(case):
    visit, horse = read_visit(case, DAY), open_case(case)
    bare = replace(visit, outline_mm=None, ground_width_mm=None, coronet_width_mm=None)
    wide = replace(visit, ground_width_mm=124.0, coronet_width_mm=105.0)
    without, with_all = (" ".join(measure(horse, each).remarks) for each in (bare, wide))
    for words in ("No widths from the front", "No outline from below"):
        assert words in without
        assert words not in with_all


@pytest.mark.parametrize(("mass_kg", "held"), [(359, 0), (360, 1), (575, 1), (576, 0)])
def test_the_rule_by_weight_is_held_only_to_the_weights_it_was_made_for(case, mass_kg, held):
    found = measure(replace(open_case(case), mass_kg=mass_kg), read_visit(case, DAY))
    assert sum(finding.name.startswith("toe long") for finding in found.findings) == held


def test_at_canter_the_lead_tells_whose_push_it_is(case):
    """The right foot leads on the right lead and trails on the left; the two push unlike."""
    visit = read_visit(case, DAY)
    horse = replace(open_case(case), gait="canter")
    peaks = set()
    for foot, lead, limb in (
        ("right fore", "right", "leading fore"),
        ("right fore", "left", "trailing fore"),
        ("left fore", "left", "leading fore"),
    ):
        load = measure(replace(horse, foot=foot, lead=lead), visit).load
        there = stance_force("canter", limb, horse.mass_kg, load.duty_factor)
        assert load.peak_vertical_n == pytest.approx(float(there.peak_vertical_n))
        peaks.add(round(load.peak_vertical_n))
    assert len(peaks) == 2


def test_a_traced_line_of_no_length_is_said_and_the_rest_is_measured(case):
    visit = read_visit(case, DAY)
    lines = np.array(visit.wall_lines_mm)
    lines[0, 1] = lines[0, 0]
    found = measure(open_case(case), replace(visit, wall_lines_mm=lines))
    assert found.horn_lines == ()
    assert f"No traced lines: visits/{DAY}/wall_lines.csv: " in " ".join(found.remarks)
    assert found.values["toe_angle_deg"] > 0
    assert len(measure(open_case(case), visit).horn_lines) == len(lines)


def test_the_scope_of_an_interval_says_whether_the_camera_is_in_it(case):
    visit = read_visit(case, DAY)
    errors = {"toe_angle_deg": 0.5, "heel_angle_deg": 0.9}

    def scope(**changed) -> str:
        found = measure(open_case(case), replace(visit, **changed))
        return found.how_sure["toe_angle_deg"].scope

    stated, placed = scope(errors=None), scope(errors=errors)
    uncorrected = scope(errors=errors, askew=ASKEW)
    assert "the stated error of points and scale" in stated
    assert "placing the points, scale and level" in placed
    covered = [words.partition("not")[0] for words in (stated, uncorrected, placed)]
    assert ["how the camera stood" in words for words in covered] == [False, False, True]


def test_a_comparison_tells_of_a_trim_between_and_of_chance(case):
    first, second = (read_visit(case, day) for day in (FIRST, DAY))
    found, lines = compare_visits(first, second)
    assert found.by_chance in lines
    assert not any("The trim itself" in line for line in lines)
    _, trimmed = compare_visits(replace(first, moment="after trim"), second)
    assert any("The trim itself is part of every difference" in line for line in trimmed)


@pytest.fixture
def bare(case):
    """The horse and its last visit without film and load: what is told of the points alone."""
    return (
        replace(open_case(case), duty_factor=None),
        replace(read_visit(case, DAY), track=None, film_times={}),
    )


def test_that_points_were_placed_once_is_said_only_of_points_that_were_placed_once(bare):
    horse, visit = bare
    errors = {"toe_angle_deg": 0.5, "heel_angle_deg": 0.9}
    for changed, said in (
        ({"errors": errors, "placed_twice": False}, True),
        ({"errors": errors, "placed_twice": True}, False),
        ({"errors": None, "placed_twice": False}, False),  # typed in mm
    ):
        remarks = " ".join(measure(horse, replace(visit, **changed)).remarks)
        assert ("Each point was placed once, so its error is the stated 0.8 mm" in remarks) is said


def test_a_camera_that_may_have_stood_askew_is_said_in_the_printout(bare):
    horse, visit = bare
    for askew in ("", ASKEW):
        lines = measure(horse, replace(visit, askew=askew)).in_words()
        assert (ASKEW in lines) is bool(askew)
        assert all(lines[k] or lines[k + 1] for k in range(len(lines) - 1)), "no empty remark"


def test_angles_and_lengths_are_printed_to_a_tenth_with_their_interval(bare):
    found = measure(*bare)
    for name, words in (("toe_angle_deg", "toe angle"), ("toe_length_mm", "toe length")):
        (line,) = (one for one in found.in_words() if one.startswith(f"{words}  "))
        value, reach = found.values[name], 1.96 * found.errors[name]
        unit = "degrees" if name.endswith("_deg") else "mm"
        assert line.split()[2:] == (
            f"{value:.1f} {value - reach:.1f} to {value + reach:.1f} {unit}".split()
        )


def test_a_part_of_an_error_that_would_read_as_nothing_is_left_out(bare):
    horse, visit = bare
    parts = {"points": 0.4, "lens": 0.0056, "askew": 0.0049}
    both = dict.fromkeys(("toe_angle_deg", "heel_angle_deg"), parts)
    lines = measure(horse, replace(visit, parts=both)).in_words()
    for end in ("toe", "heel"):
        (line,) = (one for one in lines if one.startswith(f"  {end} angle, "))
        sizes = [part.split()[-1] for part in line.partition(": ")[2].split("; ")]
        assert sizes == ["0.40", "0.01"]


def test_the_film_is_printed_with_its_intervals_where_there_is_one(case):
    horse, visit = open_case(case), read_visit(case, DAY)
    found = measure(replace(horse, mass_kg=505), replace(visit, outline_mm=None))
    assert {"stance_s", "stride_s", "duty_factor", "landing_descent_deg"} <= set(found.film)
    lines = found.in_words()
    film = lines[lines.index("Film:") :]
    for name in ("stance_s", "duty_factor", "landing_descent_deg"):
        words = name.removesuffix("_s").removesuffix("_deg").replace("_", " ")
        assert f"  {words} {found.how_sure[name]}" in film
    assert "Film:" not in measure(horse, replace(visit, track=None, film_times={})).in_words()


def test_what_a_film_does_not_tell_is_said_with_its_reason(case, bare, monkeypatch):
    horse, without = bare
    track = read_visit(case, DAY).track

    def refuses(track):
        raise ValueError("the mark never comes down")

    monkeypatch.setattr(measuring, "landing_vector", refuses)
    monkeypatch.setattr(measuring, "contact_times", refuses)
    placed = replace(without, track=track, film_placed=True)
    remarks = " ".join(measure(horse, placed).remarks)
    assert "does not tell everything about the contact: the mark never comes down." in remarks
    assert "does not tell how the foot lands: the mark never comes down." in remarks
    assert "Mark in the film where the foot comes down and where it leaves, twice." in remarks
    assert "do not go together as in any horse" not in remarks
    unlike = replace(placed, film_times={"stride_s": 0.7, "stride_s_error": 0.01})
    remarks = " ".join(measure(horse, unlike).remarks)
    assert "do not go together as in any horse" in remarks
    assert "Mark in the film where" not in remarks


def test_the_table_of_the_load_holds_every_strip_at_every_moment(case):
    visit = replace(read_visit(case, DAY), outline_mm=None)
    load = measure(open_case(case), visit).load
    assert set(load.hardest) <= {"toe", "quarter", "heel"}, "an even oval tells no side"
    text = load.as_csv().decode()
    assert VET_CAUTION in text
    rows = [line for line in text.splitlines() if line and line[0] not in "#s"]
    table = np.array([[float(cell) for cell in row.split(",")] for row in rows])
    strips = len(load.foot.ground)
    assert table.shape == (len(MOMENTS) * strips, 7)
    np.testing.assert_allclose(table[:, 0], np.repeat(100 * np.array(MOMENTS), strips))
    np.testing.assert_allclose(table[:strips, 1:3], load.foot.ground[:, :2], atol=1e-6)
    for column, of in zip(
        (3, 4, 5, 6), ("along_n", "across_n", "obliquity_deg", "times"), strict=True
    ):
        np.testing.assert_allclose(table[:, column], getattr(load, of).ravel(), rtol=1e-6)


def test_two_visits_of_one_day_are_told_apart_by_their_moments(case):
    first = read_visit(case, FIRST)
    after = replace(first, moment="after trim", name=f"{FIRST} after trim")
    found, lines = compare_visits(first, after)
    assert found.labels == (first.name, after.name)
    assert not any(each.exceeds for each in found.differences)
    assert any("The trim itself is part of every difference" in line for line in lines)
    second = read_visit(case, DAY)
    assert compare_visits(first, second)[0].labels == (str(first.date), str(second.date))


def test_without_an_outline_no_side_is_called_the_harder_worked(case, monkeypatch):
    """Both sides of an even oval work alike, to the last digit or so."""
    names = np.array(["left heel", "right quarter", "toe"])
    monkeypatch.setattr(measuring, "weakest_place", lambda *_: SimpleNamespace(name=names))
    horse, visit = open_case(case), read_visit(case, DAY)
    assert measure(horse, visit).load.hardest == tuple(names)
    even = measure(horse, replace(visit, outline_mm=None)).load.hardest
    assert even == ("heel", "quarter", "toe")

"""Lesson 01 says what the library says: its example, its frames, its table of frame rates."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import nbformat
import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.figures.landing_figure import LANDING
from hoofcalc.landing import Track, contact_times, landing_vector
from hoofcalc.profile import Profile

ROOT = Path(__file__).parents[2]
NOTEBOOK = nbformat.read(ROOT / "lessons" / "01-landing.ipynb", as_version=4)
WORDS = "\n\n".join(cell.source for cell in NOTEBOOK.cells if cell.cell_type == "markdown")
TEXT = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", WORDS)  # without links
QUESTIONS = tomllib.loads(
    (ROOT / "hoofcalc" / "figures" / "questions" / "landing.toml").read_text("utf-8")
)


def said(pattern: str) -> list[float]:
    """The numbers in the only place of the lesson that fits."""
    found = re.findall(pattern, TEXT)
    assert len(found) == 1, (pattern, found)
    parts = found[0] if isinstance(found[0], tuple) else (found[0],)
    return [float(part) for part in parts]


def test_the_worked_example_adds_up() -> None:
    steps, rate, time = said(r"time = (\d+) / (\d+) = ([\d.]+) s\n2. down")
    assert time == pytest.approx(steps / rate)
    down_mm, forward_mm = said(r"the mark moves (\d+) mm down and (\d+) mm forward")
    down, forward = down_mm / 1000 / time, forward_mm / 1000 / time
    assert said(r"\*\*([\d.]+) m/s\*\*") == [pytest.approx(np.hypot(down, forward), abs=5e-3)]
    assert said(r"tangent of \*\*(\d+) degrees\*\*") == [
        pytest.approx(np.degrees(np.arctan2(forward, down)), abs=0.5)
    ]


def test_contact_and_stance_by_eye_are_those_of_the_film() -> None:
    film = datasets.track("trot", "fore", 240)
    height = np.asarray(film["positions_mm"])[:, 1] - np.asarray(film["ground_mm"])
    first, up, again = (
        int(said(pattern)[0])
        for pattern in (
            r"frame (\d+) is the first on the ground\. From",
            r"From frame (\d+) on the mark is clearly up",
            r"Frame (\d+) is the first on the ground again",
        )
    )
    assert height[first - 1] > 4
    assert abs(height[first]) < 1.5
    assert (np.abs(height[first:up]) < 5.1).all()
    assert (height[up : up + 10] > 5).all()
    assert height[again - 1] > 2
    assert height[again] < 0
    stance, stride = (up - first) / 240, (again - first) / 240
    assert said(r"= 70 / 240 = ([\d.]+) s") == [pytest.approx(stance, abs=5e-4)]
    assert said(r"= 178 / 240 = ([\d.]+) s") == [pytest.approx(stride, abs=5e-4)]
    assert said(r"0\.292 / 0\.742 = \*\*([\d.]+)\*\*") == [pytest.approx(stance / stride, abs=5e-3)]
    truth = datasets.track_truth("trot", "fore")
    seen = contact_times(Track(**film))
    true_stance = truth.lift_off_s - truth.contact_s
    assert float(seen.stance_s[0]) < true_stance < stance, "the truth lies between the two"
    assert said(r"between: ([\d.]+) s and ([\d.]+)\.") == [
        pytest.approx(true_stance, abs=5e-4),
        truth.duty_factor,
    ]


@pytest.mark.parametrize("rate", [30, 60, 240, 960])
def test_the_table_of_frame_rates_is_the_figures_twenty_films(rate: int) -> None:
    (row,) = re.findall(rf"^\| {rate} \|(.*)\|$", TEXT, re.MULTILINE)
    _, contact, angle, error, stance, duty = [cell.strip() for cell in row.split("|")]
    films = [
        LANDING.compute(**{**LANDING.start, "frames_per_s": float(rate), "film_number": number})
        for number in range(1, 21)
    ]
    stances = [film["times"][0] for film in films]
    assert float(stance.split()[0]) == pytest.approx(np.mean(stances), abs=6e-4)
    assert float(duty) == pytest.approx(np.mean([film["times"][4] for film in films]), abs=6e-3)
    if rate == 30:
        assert angle == "not measurable"
        assert all(film["landing"] is None for film in films)
        return
    landings = [film["landing"] for film in films if film["landing"] is not None]
    refused = re.findall(r"(\d+) films cannot tell", angle)
    assert 20 - len(landings) == (int(refused[0]) if refused else 0)
    wanted = np.mean([landing.descent_deg for landing in landings])
    assert float(angle.split()[0]) == pytest.approx(wanted, abs=0.6)
    stated = np.median([landing.descent_error_deg for landing in landings])
    assert float(error.split()[0]) == pytest.approx(stated, abs=0.3)
    moments = 1000 * np.median([landing.contact_error_s for landing in landings])
    assert float(contact.split()[0]) == pytest.approx(moments, abs=0.06)


def test_a_fast_film_without_point_error_shows_the_heels_landing() -> None:
    landing = landing_vector(Track(**datasets.track("trot", "fore", 1000)))
    truth = datasets.track_truth("trot", "fore")
    assert said(r"the program says ([\d.]+) where [\d.]+ is true") == [
        pytest.approx(landing.descent_deg, abs=0.06)
    ]
    assert said(r"the program says [\d.]+ where ([\d.]+) is true") == [
        pytest.approx(truth.descent_deg, abs=0.06)
    ]


def test_one_films_doubt_on_the_main_road_is_twice_that_of_the_table() -> None:
    (row,) = re.findall(r"^\| 240 \|(.*)\|$", TEXT, re.MULTILINE)
    stated = float(row.split("|")[3].split()[0])
    assert said(r"tells the angle to about ± (\d+) degrees") == [pytest.approx(2 * stated, abs=0.6)]


def test_the_story_foot_is_read_as_it_is_on_file() -> None:
    foot = Profile(**datasets.story_feet()["run under"].landmarks)
    toe, heel = said(r"Otterby's right fore and read its angles: toe (\d+), heel (\d+)")
    assert toe == round(float(foot.toe_angle_deg))
    assert heel == round(float(foot.heel_angle_deg))


def test_the_questions_answers_are_right() -> None:
    descent = np.degrees(np.arctan2(60, 84))
    assert QUESTIONS["descent"]["truth"] == pytest.approx(descent, abs=0.01)
    values = [slip["value"] for slip in QUESTIONS["descent"]["slips"]]
    slipped = [
        90 - descent, np.radians(descent), 60 / 84, np.degrees(np.arcsin(60 / 84)), -descent
    ]  # fmt: skip
    assert values == pytest.approx(slipped, rel=1e-3)
    assert QUESTIONS["frames"]["truth"] == pytest.approx((202 - 130) / 240)
    values = [slip["value"] for slip in QUESTIONS["frames"]["slips"]]
    assert values == pytest.approx([72 / 30, 72, 73 / 240, 71 / 240, 300, 240 / 72], rel=1e-3)


def test_the_published_figures_are_those_of_the_tables() -> None:
    (down,) = datasets.published("landing", "landing_down", "trot, 4.4 m/s")
    assert said(r"moved down at ([\d.]+) m/s, give or take ([\d.]+)") == [down.value, down.spread]
    flat = {one.case: one.value for one in datasets.published("landing", "flat_landing_share")}
    assert said(r"(\d+) % landed flat at walk, (\d+) % at trot") == [
        pytest.approx(flat["walk, fore"], abs=0.5),
        pytest.approx(flat["trot, fore"], abs=0.5),
    ]
    (within,) = datasets.published("landing", "footfall_timing_error")
    assert said(r"within (\d+) ms of a force plate") == [within.value]

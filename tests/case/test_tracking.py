"""A mark followed through film, against a path that is known by construction."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hoofcalc.case.case import Case, add_visit, new_case, read_visit
from hoofcalc.case.landmarks import save_picture
from hoofcalc.case.measure import measure
from hoofcalc.case.storage import CaseError
from hoofcalc.case.tracking import (
    MarkedFilm,
    read_film,
    save_film,
    stance_times,
    track_of,
)
from hoofcalc.landing import contact_times

DAY = "2026-04-07"
FPS, PX_PER_MM = 240.0, 0.4
#: The foot comes down, stays and leaves twice, at these moments [s].
DOWN_S, UP_S = np.array([0.2, 0.9]), np.array([0.5, 1.2])


TOP_MM = 300.0


def height_mm(times_s):
    """Height of the mark over where it stands: falls at 1.4 m/s, leaves gently, else stays up."""
    height = np.full_like(times_s, TOP_MM)
    for down, up in zip(DOWN_S, UP_S, strict=True):
        height = np.where(times_s < down, np.minimum(height, 1400 * (down - times_s)), height)
        gone = np.where(times_s > up, 8000 * (times_s - up) ** 2, 0.0)
        height = np.where(times_s >= down, np.minimum(TOP_MM, gone), height)
    return height


def film(travel="right"):
    times = np.arange(int(1.4 * FPS)) / FPS
    height = height_mm(times)
    forward = np.cumsum(np.where(height > 0, 2000 / FPS, 0.0))
    sign = 1 if travel == "right" else -1
    right = 960 + sign * PX_PER_MM * (forward - forward.mean())
    down = 900 - PX_PER_MM * (12 + height)
    return MarkedFilm(
        file="trot.mov",
        true_fps=FPS,
        width_px=1920,
        height_px=1080,
        travel=travel,
        length_mm=1000.0,
        scale={
            "scale_start": (400.0, 950.0),
            "scale_end": (800.0, 950.0),
            "level_start": (1900.0, 900.0),
            "level_end": (100.0, 900.0),
        },
        frames=np.arange(len(times), dtype=float),
        places_px=np.column_stack([right, down]),
        by=("hand", *["followed"] * (len(times) - 1)),
        confidence=np.linspace(1, 0.5, len(times)),
        point_error_px=0.4,
    )


@pytest.fixture
def folder(tmp_path):
    new_case(tmp_path / "case", Case(horse="Otterby", foot="right fore", mass_kg=505))
    add_visit(tmp_path / "case", DAY, {})
    return tmp_path / "case"


def marked():
    """The film with its stances marked by hand, in frames."""
    stances = tuple((down * FPS, up * FPS) for down, up in zip(DOWN_S, UP_S, strict=True))
    return replace(film(), stances=stances)


def test_a_film_comes_back_to_the_last_digit(folder):
    given = marked()
    written = save_film(folder, DAY, given)
    assert [path.split("/")[-1] for path in written] == [
        "film.toml",
        "film_points.csv",
        "film_stances.csv",
    ]
    assert save_film(folder, DAY, given) == []
    back = read_film(folder, DAY)
    for name in ("file", "true_fps", "scale", "by", "stances", "travel", "length_mm"):
        assert getattr(back, name) == getattr(given, name), name
    for name in ("frames", "places_px", "confidence"):
        np.testing.assert_array_equal(getattr(back, name), getattr(given, name))


@pytest.mark.parametrize("travel", ["right", "left"])
def test_track_is_in_true_millimetres_and_seconds(travel):
    track = track_of(film(travel))
    assert track.frames_per_s == pytest.approx(FPS)
    assert np.ptp(track.positions_mm[:, 1]) == pytest.approx(TOP_MM, abs=0.1)
    assert track.positions_mm[-1, 0] > track.positions_mm[0, 0]  # forward, whichever way it went
    assert track.ground_mm == pytest.approx(12, abs=0.5)
    assert track.point_error_mm == pytest.approx(0.4 / PX_PER_MM)
    contacts = contact_times(track)
    np.testing.assert_allclose(contacts.contact_s, DOWN_S, atol=0.002)


def test_marked_stances_tell_times_with_their_error():
    found = stance_times(marked())
    assert found["stance_s"] == pytest.approx(0.3)
    assert found["stride_s"] == pytest.approx(0.7)
    assert found["duty_factor"] == pytest.approx(3 / 7)
    # the scatter of many markings is the stated error
    rng = np.random.default_rng(5)
    base = np.array(marked().stances)
    many = [
        stance_times(replace(marked(), stances=tuple(map(tuple, base + rng.normal(0, 1, (2, 2))))))
        for _ in range(2000)
    ]
    for name in ("stance_s", "stride_s"):
        spread = np.std([each[name] for each in many])
        assert spread == pytest.approx(found[f"{name}_error"], rel=0.06), name
    # the two times share their moments, so that the ratio errs no more than stated
    spread = np.std([each["duty_factor"] for each in many])
    assert spread <= 1.05 * found["duty_factor_error"]
    assert stance_times(film()) == {}


def test_stances_that_make_no_horses_stride_tell_no_duty_factor():
    found = stance_times(replace(marked(), stances=((10.0, 20.0), (490.0, 500.0))))
    assert "stride_s" in found
    assert "duty_factor" not in found


def test_marked_moments_count_before_those_of_the_path(folder, level_side):
    save_picture(folder, DAY, level_side)
    save_film(folder, DAY, marked())
    case = Case(horse="Otterby", foot="right fore", mass_kg=505)
    found = measure(case, read_visit(folder, DAY))
    assert found.film["duty_factor"] == pytest.approx(3 / 7)
    assert found.film["landing_speed_m_s"] == pytest.approx(np.hypot(2.0, 1.4), rel=0.05)
    assert found.load.duty_factor == found.film["duty_factor"]
    save_film(folder, DAY, film())
    path = measure(case, read_visit(folder, DAY))
    assert path.film["stride_s"] == pytest.approx(0.7, abs=0.005)
    assert "duty_factor" not in path.film  # leaving is not told by a mark on the wall
    assert path.load is None
    assert any("Mark in the film" in remark for remark in path.remarks)


def test_of_a_mark_followed_in_pieces_the_one_with_the_contact_counts():
    whole = marked()
    # lost in the second swing, and for a moment long before the first contact
    keep = np.ones(len(whole.frames), dtype=bool)
    keep[20] = False
    keep[150:200] = False
    pieces = replace(
        whole,
        frames=whole.frames[keep],
        places_px=whole.places_px[keep],
        by=tuple(np.array(whole.by)[keep]),
        confidence=whole.confidence[keep],
    )
    track = track_of(pieces)
    assert (track.times_s[0] * FPS, track.times_s[-1] * FPS) == pytest.approx((21, 149))
    assert contact_times(track).contact_s == pytest.approx([DOWN_S[0]], abs=0.002)
    no_stance = replace(pieces, stances=())
    assert len(track_of(no_stance).times_s) == max(129, len(whole.frames) - 200)


def test_an_unfinished_film_is_said_and_does_not_stop_the_rest(folder, level_side):
    save_picture(folder, DAY, level_side)
    save_film(folder, DAY, replace(film(), scale={}))
    (remark,) = read_visit(folder, DAY).remarks
    assert "scale_start" in remark


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("film_points.csv", "\n5,mark", "\n3,mark", "field frame: 3 is not later than 4"),
        ("film_points.csv", "\n5,mark", "\n5.5,mark", "field frame: must be a whole number"),
        ("film_points.csv", "\n5,mark", "\n5,spot", "field point: 'spot' is not known"),
        ("film_points.csv", ",followed,", ",guessed,", "field by: must be hand or followed"),
        ("film_stances.csv", "48.0,", "148.0,", "is not later than 148"),
        ("film.toml", "true_fps = 240.0", "true_fps = 2.0", "field true_fps: must be between 10"),
    ],
)
def test_a_hand_edited_slip_is_named(folder, name, old, new, said):
    save_film(folder, DAY, marked())
    path = folder / f"visits/{DAY}/{name}"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    with pytest.raises(CaseError) as told:
        read_film(folder, DAY)
    assert said in str(told.value)
    assert name in str(told.value)

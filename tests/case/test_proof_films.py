"""Drawn film with known truth: the mark is kept within a pixel or given up, contacts are timed."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.case.film import open_film
from hoofcalc.case.synthetic.drawn_film import STRIDES, drawn_film, write_film
from hoofcalc.case.tracker import follow
from hoofcalc.case.tracking import MarkedFilm, read_film, save_film, stance_times, track_of
from hoofcalc.landing import contact_times
from hoofcalc.profile import Profile

pytestmark = pytest.mark.slow

FOOT = Profile.from_measures(52, 40, 85, 35, 110)
BAND = 1.96
FILMS = {
    "trot": ("trot", "libx264", {"fps": 240.0}),
    "trot to the left, a long shutter, light that swells by half": (
        "trot",
        "libx264",
        {"fps": 160.0, "travel": "left", "exposure_s": 1 / 320, "light_change": 0.5},
    ),
    "walk in dim light": ("walk", "libx265", {"fps": 80.0, "noise": 10.0}),
}


@pytest.mark.parametrize("which", FILMS)
def test_the_mark_is_kept_within_a_pixel_or_given_up(tmp_path, which):
    gait, codec, how = FILMS[which]
    rng = np.random.default_rng(3)
    film = drawn_film(FOOT, gait, rng, width_px=960, height_px=540, steps=1, **how)
    path = tmp_path / "drawn.mp4"
    write_film(path, film.frames(), 30.0, codec)
    seen = open_film(path)
    assert seen.frames == film.count
    contact, stance = film.contacts_s[0] * film.fps, film.stride.stance_s * film.fps
    start = round(contact + 0.4 * stance)
    shown = film.mark_px[start] + [0.8, -0.6]  # as a hand shows it
    onward = follow(seen, start, shown, last_frame=seen.frames - 1)
    back = follow(seen, start, shown, last_frame=0, backwards=True)
    off_px = [
        np.hypot(*(found.places_px - film.mark_px[found.frames]).T).max()
        for found in (onward, back)
    ]
    assert max(off_px) <= 1.0
    for found, end in ((onward, seen.frames - 1), (back, 0)):
        if found.lost_at is None:
            assert end in found.frames
        else:
            assert found.lost_at not in found.frames
            assert str(found.lost_at) in found.why
    # the foot at rest is never too much
    assert back.frames[0] < contact + 2
    assert onward.frames[-1] > contact + 0.75 * stance

    # through the files of a case: contact where it was, within what a marked one may err.
    # Where the end of the flight was given up, a person fills it in by hand.
    by_hand = np.arange(int(contact) - 12, back.frames[0])
    placed = film.mark_px[by_hand] + 0.5 * rng.standard_normal((len(by_hand), 2))
    frames = np.r_[by_hand, back.frames[:-1], onward.frames]
    marked = MarkedFilm(
        file="drawn.mp4",
        true_fps=film.fps,
        width_px=film.width_px,
        height_px=film.height_px,
        travel=film.travel,
        length_mm=film.length_mm,
        scale=film.scale_px,
        frames=frames.astype(float),
        places_px=np.vstack([placed, back.places_px[:-1], onward.places_px]),
        by=("hand",) * len(by_hand) + ("followed",) * (len(frames) - len(by_hand)),
        confidence=np.r_[np.ones(len(by_hand)), back.confidence[:-1], onward.confidence],
    )
    save_film(tmp_path, "2026-11-05", marked)
    stored = read_film(tmp_path, "2026-11-05")
    assert stored is not None
    found = contact_times(track_of(stored))
    off_s = found.contact_s[0] - film.contacts_s[0]
    assert abs(off_s) < BAND * stored.time_error_frames / stored.true_fps


def scattered(gait, fps, rng, *, error_px=0.3, px_per_mm=0.5, mark_mm=(-36.0, 23.0)):
    """A followed film of two stances without its pictures: the true path, missed by a little."""
    stride = STRIDES[gait]
    contacts = 0.16 + rng.uniform(0, 1 / fps) + stride.stride_s * np.arange(2)
    leavings = contacts + stride.stance_s
    times = np.arange(int((leavings[-1] + 0.16) * fps) + 1) / fps
    forward, up, turn = stride.pose(times - contacts[0])
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    path = np.stack(
        [forward + mark_mm[0] * c - mark_mm[1] * s, up + mark_mm[0] * s + mark_mm[1] * c], axis=1
    )
    places = path * [px_per_mm, -px_per_mm] + [400.0, 900.0]
    scale = {
        "scale_start": (500.0, 910.0),
        "scale_end": (500.0 + 1000 * px_per_mm, 910.0),
        "level_start": (20.0, 900.0),
        "level_end": (1900.0, 900.0),
    }
    marked = MarkedFilm(
        file="drawn.mp4",
        true_fps=fps,
        width_px=4000,
        height_px=1080,
        scale=scale,
        frames=np.arange(len(times), dtype=float),
        places_px=places + error_px * rng.standard_normal(places.shape),
        by=("followed",) * len(times),
        confidence=np.ones(len(times)),
        point_error_px=error_px,
    )
    return marked, contacts, leavings


@pytest.mark.parametrize("gait", sorted(STRIDES))
@pytest.mark.parametrize("fps", [60.0, 120.0, 240.0])
def test_the_path_of_the_mark_tells_contact_within_the_stated_timing_error(gait, fps):
    """60 films, 120 contacts: within 1.96 times the frame that a marked contact may err."""
    rng = np.random.default_rng(21)
    off_frames = []
    for _ in range(60):
        marked, contacts, _ = scattered(gait, fps, rng)
        off_frames += list((contact_times(track_of(marked)).contact_s - contacts) * fps)
    inside = np.abs(off_frames) < BAND * marked.time_error_frames
    assert inside.mean() >= 0.95
    assert abs(np.mean(off_frames)) < 0.5


def test_marked_contacts_tell_stance_stride_and_duty_factor_within_their_errors():
    """2,000 films whose stances a person marked, wrong by a frame or so: 93 to 97 % inside."""
    rng, fps, stride = np.random.default_rng(22), 240.0, STRIDES["trot"]
    truth = {
        "stance_s": stride.stance_s,
        "stride_s": stride.stride_s,
        "duty_factor": stride.duty_factor,
    }
    off = {name: [] for name in truth}
    for _ in range(2000):
        contacts = 0.2 + rng.uniform(0, 1 / fps) + stride.stride_s * np.arange(2)
        moments = fps * np.stack([contacts, contacts + stride.stance_s], axis=1)
        stances = tuple(
            (float(down), float(up)) for down, up in moments + rng.standard_normal((2, 2))
        )
        marked = MarkedFilm(
            file="drawn.mp4", true_fps=fps, width_px=1280, height_px=720, stances=stances
        )
        found = stance_times(marked)
        for name, true in truth.items():
            off[name].append((found[name] - true) / found[f"{name}_error"])
    for each in off.values():
        assert np.mean(np.abs(each) < BAND) == pytest.approx(0.95, abs=0.02)


@pytest.mark.parametrize("gait", sorted(STRIDES))
def test_the_path_of_the_mark_tells_leaving_far_too_early(gait):
    """Why stance and duty factor are taken from marked stances only.

    While the heel lifts, a mark on the wall rises before the toe leaves: by far more than the
    error that the path states.
    """
    rng, early_s, off = np.random.default_rng(23), [], []
    for _ in range(20):
        marked, _, leavings = scattered(gait, 240.0, rng)
        found = contact_times(track_of(marked))
        early_s += list(leavings - found.lift_off_s)
        off += list((found.lift_off_s - leavings) / found.lift_off_error_s)
    assert 0.01 < np.mean(early_s) < 0.14
    assert np.mean(np.abs(off) < BAND) < 0.5


def test_contact_by_the_path_of_the_mark_is_a_millisecond_late():
    """As `contact_times` says of itself: the ground gives, so the mark stands a little later."""
    rng, late_s, within = np.random.default_rng(24), [], []
    for _ in range(40):
        marked, contacts, _ = scattered("trot", 240.0, rng)
        found = contact_times(track_of(marked))
        late = found.contact_s - contacts
        late_s += list(late)
        within += list(np.abs(late) < 0.002 + BAND * found.contact_error_s)
    assert np.mean(late_s) == pytest.approx(0.001, abs=0.0006)
    assert np.mean(within) > 0.95

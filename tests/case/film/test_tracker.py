"""A mark followed through drawn films, against the places where it was drawn."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from hoofcalc.case.film import open_film
from hoofcalc.case.storage import CaseError
from hoofcalc.case.tracker import follow

COUNT = 60


@pytest.fixture(scope="module")
def film_of(tmp_path_factory, write_film, flight):
    """An open film and the true places, by the arguments of the drawing; each drawn once."""
    made = {}

    def make(speed=20.0, shutter=0.25, seed=1, kind="dot", change=None, count=COUNT):
        key = speed, shutter, seed, kind, change, count
        if key not in made:
            frames, places = flight(count, speed, shutter, seed, kind)
            if change is not None:
                frames = [change(number, frame) for number, frame in enumerate(frames)]
            path = tmp_path_factory.mktemp("drawn") / "a.mp4"
            made[key] = open_film(write_film(path, frames, crf="18")), places
        return made[key]

    return make


def errors(found, places) -> np.ndarray:
    return np.hypot(*(found.places_px - places[found.frames]).T)


@pytest.mark.parametrize("kind", ["dot", "cross"])
@pytest.mark.parametrize("shutter", [0.05, 1.0])
def test_a_flying_turning_smeared_mark_is_followed_to_half_a_pixel(film_of, kind, shutter):
    film, places = film_of(shutter=shutter, kind=kind)
    done = []
    found = follow(
        film, 3, places[3] + (2, -2), last_frame=COUNT - 1, progress=lambda *at: done.append(at)
    )
    assert found.lost_at is None, found.why
    assert found.frames.tolist() == list(range(3, COUNT))
    assert errors(found, places).max() < 0.5
    assert done == [(each, COUNT - 3) for each in range(1, COUNT - 2)]
    assert found.confidence.min() > 0.9
    assert (found.errors_px < 0.6).all()


def test_a_mark_that_flies_two_of_its_widths_in_a_frame_is_followed(film_of):
    film, places = film_of(speed=40.0, count=36, shutter=0.3)
    assert np.hypot(*np.diff(places, axis=0).T).max() > 32
    found = follow(film, 2, places[2], last_frame=35)
    assert found.lost_at is None, found.why
    assert errors(found, places).max() < 0.7


def test_backwards_it_finds_the_same_places(film_of):
    film, places = film_of()
    there = follow(film, 0, places[0], last_frame=COUNT - 1)
    back = follow(film, COUNT - 1, places[-1], last_frame=0, backwards=True)
    assert back.frames.tolist() == there.frames.tolist()
    assert errors(back, places).max() < 0.5
    assert np.hypot(*(back.places_px - there.places_px).T).max() < 0.7


def test_the_middle_of_the_mark_is_found_from_wherever_on_it_a_person_points(film_of):
    for kind in ("dot", "cross"):
        film, places = film_of(kind=kind, shutter=0.05)
        for off in ((0, 0), (3, 2), (-4, 1), (1, -4)):
            found = follow(film, 1, places[1] + off, last_frame=1)
            assert errors(found, places)[0] < 0.3, (kind, off)


@pytest.mark.slow
def test_light_that_rises_falls_and_jumps_does_not_mislead(film_of):
    def change(number, frame):
        share = 0.5 if 20 <= number < 35 else 0.75 + 0.25 * np.cos(number / 5)
        return np.clip(frame * share + 5, 0, 255).astype(np.uint8)

    film, places = film_of(change=change)
    found = follow(film, 0, places[0], last_frame=COUNT - 1)
    assert found.lost_at is None, found.why
    assert errors(found, places).max() < 0.6


def test_the_edge_of_a_shadow_costs_no_more_than_a_pixel_or_it_says_so(film_of):
    share = np.where((np.arange(640) > 250) & (np.arange(640) < 400), 0.6, 1.0)
    share = np.convolve(np.pad(share, 10, mode="edge"), np.ones(9) / 9, "same")[10:-10]
    film, places = film_of(change=lambda _, frame: (frame * share).astype(np.uint8))
    found = follow(film, 0, places[0], last_frame=COUNT - 1)
    assert errors(found, places).max() < 1.0
    assert found.lost_at is None or found.why


def hide(_number, frame):
    """A post before the flight."""
    frame = frame.copy()
    frame[:, 300:345] = 95
    return frame


def test_a_hidden_mark_is_lost_with_a_sentence_and_taken_up_again_behind(film_of):
    film, places = film_of(change=hide)
    found = follow(film, 0, places[0], last_frame=COUNT - 1)
    covered = np.flatnonzero((places[:, 0] > 285) & (places[:, 0] < 360))
    assert covered[0] - 1 <= found.lost_at <= covered[-1]
    assert found.frames[-1] == found.lost_at - 1
    assert errors(found, places).max() < 1.0
    assert found.why.startswith(f"In frame {found.lost_at} ")
    assert found.why.endswith(".")
    after = int(covered[-1]) + 2
    again = follow(film, after, places[after], last_frame=COUNT - 1)
    assert again.lost_at is None, again.why
    assert errors(again, places).max() < 0.7


@pytest.mark.slow
def test_a_mark_that_leaves_the_picture_is_said_to_have_left(film_of):
    film, places = film_of(change=cut)
    found = follow(film, 0, places[0], last_frame=COUNT - 1)
    assert "left the picture" in found.why
    assert errors(found, places).max() < 1.0
    assert found.places_px[-1, 0] > 270


def cut(_number, frame):
    """Only the left half of the picture."""
    return frame[:, :320]


@pytest.mark.slow
def test_two_marks_on_one_foot_are_not_mixed_up(film_of):
    film, places = film_of(change=double)
    found = follow(film, 0, places[0], last_frame=COUNT - 1)
    assert errors(found, places).max() < 1.0


def double(_number, frame):
    """The same picture 60 pixels lower, where it is brighter."""
    return np.maximum(frame, np.roll(frame, 60, axis=0))


@pytest.mark.slow
def test_errors_do_not_add_up_over_five_hundred_frames(film_of):
    film, places = film_of(speed=1.2, shutter=0.2, count=500)
    found = follow(film, 0, places[0], last_frame=499)
    assert found.lost_at is None, found.why
    off = found.places_px - places
    assert np.abs(off).max() < 0.5
    assert np.abs(off[400:].mean(axis=0) - off[:100].mean(axis=0)).max() < 0.1


@pytest.mark.slow
def test_the_stated_error_is_about_the_true_one(film_of):
    ratios = []
    for seed, kind in ((1, "dot"), (1, "cross")):
        for shutter in (0.05, 0.5, 1.0):
            film, places = film_of(shutter=shutter, seed=seed, kind=kind)
            found = follow(film, 0, places[0], last_frame=COUNT - 1)
            ratios.append((found.places_px - places[found.frames]) / found.errors_px[:, None])
    share = (np.abs(np.concatenate(ratios)) < 1.96).mean()
    assert share > 0.9


def test_a_place_without_a_mark_and_one_outside_are_refused(tmp_path, write_film):
    flat = [np.full((120, 160), 100, np.uint8)] * 3
    film = open_film(write_film(tmp_path / "a.mp4", flat))
    with pytest.raises(CaseError, match="no spot stands out"):
        follow(film, 0, (80, 60), last_frame=2)
    for place in ((-1, 5), (160, 5), (5, 120)):
        with pytest.raises(ValueError, match="inside the picture"):
            follow(film, 0, place, last_frame=2)
    with pytest.raises(ValueError, match="last_frame"):
        follow(film, 2, (80, 60), last_frame=1)
    with pytest.raises(ValueError, match="start_frame"):
        follow(film, 3, (80, 60), last_frame=3)


def natural_corners(count, covered_from):
    """The edge of a dark hoof without paint: two corners 43 px apart, grass over the first one."""
    rng = np.random.default_rng(0)
    ground = cv2.GaussianBlur(rng.normal(0, 1, (200, 300)).astype(np.float32), (0, 0), 2) * 60 + 150

    def drawn(frame, corners, grey):
        shape = [np.round(np.array(corners) * 16).astype(np.int32)]
        cv2.fillPoly(frame, shape, grey, shift=4, lineType=cv2.LINE_AA)

    frames, places = [], []
    for number in range(count):
        x, frame = 100 + 0.6 * number, ground.copy()
        notch = [(x + 20, 80), (x + 20, 110), (x + 43, 110), (x + 43, 80)]
        drawn(frame, [(x, 80), *notch, (x + 90, 80), (x + 90, 150), (x, 150)], 40)
        if number >= covered_from:
            at = x + min(number - covered_from + 1, 3) * 7 / 3
            drawn(frame, [(at - 14, 60), (at - 9, 60), (at + 6, 112), (at + 1, 112)], 170)
        frame = cv2.GaussianBlur(frame, (0, 0), 0.8) + rng.normal(0, 3, frame.shape)
        frames.append(np.clip(frame, 0, 255).astype(np.uint8))
        places.append((x + 0.5, 80.5))
    return frames, np.array(places)


@pytest.mark.parametrize("covered_from", [15, 99])
def test_a_natural_corner_is_followed_as_it_was_shown_and_never_changed_for_another(
    tmp_path, write_film, covered_from
):
    """Not the hoof's middle 59 px away, nor the next corner 43 px away: it stays, or it says so."""
    frames, places = natural_corners(40, covered_from)
    film = open_film(write_film(tmp_path / "corner.mp4", frames, crf="18"))
    found = follow(film, 0, places[0], last_frame=39)
    assert errors(found, places).max() < 2
    assert found.lost_at == (None if covered_from == 99 else 15), found.why

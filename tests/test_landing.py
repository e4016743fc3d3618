"""What landing must do: tracks of known truth, refusals in words, honest error bars."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hoofcalc import landing as module
from hoofcalc.landing import (
    COVERS,
    LEAVES_OUT,
    CannotTellError,
    Contacts,
    Landing,
    Track,
    contact_times,
    corrected_cutoff_hz,
    duty_factor,
    landing_vector,
    residual_analysis,
    smooth,
    velocity,
)

# Invented gaits. Landing speeds of the order published for a trot (1.9 m/s down and about as
# much forward over the ground: Reiser et al., conference paper about 2000, doubtful), slower at
# walk, faster at gallop; stance and swing of gallop near Witte, Hirst & Wilson 2006.
GAITS = {
    "walk": {"forward": 0.6, "down": 0.5, "stance": 0.65, "swing": 0.40, "stride": 1.7},
    "trot": {"forward": 1.5, "down": 1.0, "stance": 0.30, "swing": 0.45, "stride": 2.8},
    "gallop": {"forward": 3.0, "down": 2.5, "stance": 0.10, "swing": 0.36, "stride": 5.8},
}
SLIP_S = 0.02  # Horan et al. 2024


class Truth:
    """A hoof mark with known contact, lift-off, landing speed and slip; time 0 is a lift-off."""

    def __init__(self, gait: str, pitch_deg: float = 0.0, pitch_rate_deg_s: float = 0.0):
        self.__dict__.update(GAITS[gait])
        self.period = self.stance + self.swing
        self.slip_mm = 1000 * self.forward * SLIP_S / 2  # slows down evenly to a stop
        self.speed = np.hypot(self.forward, self.down)
        self.descent_deg = np.degrees(np.arctan2(self.forward, self.down))
        self.pitch_deg, self.pitch_rate = pitch_deg, pitch_rate_deg_s

    def film(self, fps, phase=0.0, error_mm=0.0, rng=None, seconds=None, said_error_mm=None):
        times = np.arange(phase / fps, seconds or 2.2 * self.period, 1 / fps)
        stride = np.floor(times / self.period)
        t = times - stride * self.period
        p, flying = np.clip(t / self.swing, 0, 1), t < self.swing
        # Forward speed: one swing up and down (1 - cos), and a part growing to the landing speed.
        reach = self.stride - self.slip_mm / 1000
        mean = (reach - self.forward * self.swing / 3) / self.swing
        swing_x = (
            mean * self.swing * (p - np.sin(2 * np.pi * p) / (2 * np.pi))
            + self.forward * self.swing * p**3 / 3
        )
        slid = self.slip_mm / 1000 * (1 - np.clip(1 - (t - self.swing) / SLIP_S, 0, 1) ** 2)
        x = 1000 * (np.where(flying, swing_x, reach + slid) + stride * self.stride)
        z = 1000 * np.where(
            flying, self.down * self.swing * p**2 * (1 - p) + 2.0 * p**2 * (1 - p) ** 3, 0.0
        )
        front = np.stack([x, z], axis=1)
        # Second mark 60 mm behind, the foot turning steadily to flat, reached at contact + 20 ms.
        before = t - self.swing
        pitch = np.where(flying, self.pitch_deg + self.pitch_rate * before, 0.0)
        settling = ~flying & (before < SLIP_S)
        pitch = np.where(settling, self.pitch_deg * (1 - before / SLIP_S), pitch)
        lean = np.radians(pitch)
        back = front - 60 * np.stack([np.cos(lean), np.sin(lean)], axis=1)
        if error_mm:
            front = front + error_mm * rng.standard_normal(front.shape)
            back = back + error_mm * rng.standard_normal(back.shape)
        said = error_mm if said_error_mm is None else said_error_mm
        return Track(times, front, second_mm=back, ground_mm=0.0, point_error_mm=said)


def one_mark(track):
    """The same film with its first mark only."""
    return replace(track, second_mm=None)


def film_at(fps, **changes):
    """A short film of a mark that comes straight down and stays."""
    times = np.arange(int(0.6 * fps)) / fps
    height = np.maximum(1500 * (0.3 - times), 0.0)
    values = {"times_s": times, "positions_mm": np.stack([0 * times, height], 1), "ground_mm": 0.0}
    return Track(**(values | changes))


# ---------------------------------------------------------------- tracks


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"times_s": np.arange(9.0)}, "at least 10 frames"),
        ({"times_s": np.ones((12, 2))}, "at least 10 frames in a row"),
        ({"times_s": np.r_[0:6, 5.0, 7:12]}, r"must increase .*frame 6 at 5 s"),
        ({"times_s": np.r_[0:6, 7.0:13.0]}, r"a gap of 2 s after frame 5 \(5 s\)"),
        ({"times_s": np.r_[0:11, np.nan]}, "times_s must be finite"),
        ({"positions_mm": np.ones((11, 2))}, "one point for each of the 12 frames"),
        ({"positions_mm": np.ones((12, 3))}, "positions_mm must hold 2 coordinates"),
        ({"second_mm": np.ones((5, 2))}, "second_mm must hold one point for each"),
        ({"point_error_mm": -1.0}, "point_error_mm must be at least 0"),
        ({"ground_mm": [1.0, 2.0]}, "ground_mm must be a single number"),
        ({"smoothed_hz": 0.0}, "smoothed_hz must be above 0"),
    ],
)
def test_a_track_refuses_in_words_what_no_film_can_be(change, words):
    values = {"times_s": np.arange(12.0), "positions_mm": np.ones((12, 2))}
    with pytest.raises(ValueError, match=words):
        Track(**(values | change))


def test_a_track_keeps_its_points_to_itself():
    times, points = np.arange(12.0), np.ones((12, 2))
    track = Track(times, points)
    points[:] = 7
    assert (track.positions_mm == 1).all()
    with pytest.raises(ValueError, match="read-only"):
        track.times_s[0] = 3


def test_times_rounded_to_a_millisecond_are_no_gap_but_a_lost_frame_is():
    times = np.round(np.arange(240) / 240, 3)
    assert Track(times, np.ones((240, 2))).frames_per_s == pytest.approx(240, rel=0.01)
    with pytest.raises(ValueError, match="gap"):
        Track(np.delete(times, 100), np.ones((239, 2)))


# ---------------------------------------------------------------- smoothing


@pytest.mark.parametrize(("fps", "cutoff"), [(200, 6.0), (100, 10.0), (50, 10.0), (50, 15.0)])
def test_smoothing_halves_the_power_at_its_cutoff_and_shifts_nothing(fps, cutoff):
    times = np.arange(40 * fps) / fps
    angle = 2 * np.pi * cutoff * times
    out = smooth(Track(times, np.stack([np.sin(angle), np.cos(angle)], 1)), cutoff).positions_mm
    inner = slice(10 * fps, 30 * fps)  # a whole number of periods, far from the ends
    basis = np.stack([np.sin(angle), np.cos(angle)])[:, inner]
    gain, leak = basis @ out[inner, 0] / (basis[0] @ basis[0])
    assert gain == pytest.approx(np.sqrt(0.5), abs=1e-9)
    assert leak == pytest.approx(0, abs=1e-9)  # phase zero


def test_a_cutoff_beyond_the_film_is_refused_in_words():
    with pytest.raises(ValueError, match=r"below half the frame rate, 120 Hz here \(got 120\)"):
        smooth(film_at(240), 120.0)
    with pytest.raises(ValueError, match="cutoff_hz must be above 0"):
        velocity(film_at(240), 0.0)
    with pytest.raises(ValueError, match="shapes do not go together"):
        corrected_cutoff_hz(np.ones(2), 100 * np.ones(3))


def test_smoothing_keeps_the_second_mark_and_says_that_it_smoothed():
    track = Truth("trot").film(240)
    out = smooth(track, 20.0)
    assert out.smoothed_hz == 20.0
    assert out.second_mm.shape == track.second_mm.shape
    assert not np.array_equal(out.second_mm, track.second_mm)
    assert smooth(film_at(240), 20.0).second_mm is None


def test_at_contact_smoothing_has_lost_about_half_of_the_speed():
    speeds = velocity(film_at(1000), 30.0)
    assert speeds[200, 1] == pytest.approx(-1.5, abs=0.01)  # well before
    assert speeds[300, 1] == pytest.approx(-0.75, abs=0.05)  # at contact: a step, half way


@pytest.mark.parametrize("fps", [120, 240, 1000])
def test_velocity_in_mid_swing_is_right(fps):
    truth = Truth("trot")
    track = truth.film(fps)
    # analytic velocity in the generator, by a fine difference of the noiseless path
    fine = truth.film(20000)
    reference = np.gradient(fine.positions_mm, fine.times_s, axis=0) / 1000
    swing = (track.times_s > 0.12) & (track.times_s < 0.3)
    wanted = np.stack([np.interp(track.times_s, fine.times_s, v) for v in reference.T], 1)
    found = velocity(track, 30.0)
    # 30 Hz passes the swing (2.2 Hz and its harmonics) with under 1 % loss; 0.1 of 12 m/s
    assert np.abs(found - wanted)[swing].max() < 0.1


def test_residual_analysis_finds_the_point_error_and_a_cutoff_between_movement_and_noise():
    rng = np.random.default_rng(5)
    times = np.arange(600) / 200
    path = 300 * np.stack([np.sin(2 * np.pi * times), 0.3 * np.sin(2 * np.pi * 3 * times)], 1)
    found = residual_analysis(Track(times, path + rng.standard_normal(path.shape)))
    assert found.noise_mm == pytest.approx([1, 1], rel=0.15)  # 600 frames: 3 %, tail line 10 %
    assert 3 < found.best_hz[0] < 15
    assert 5 < found.best_hz[1] < 25
    assert found.cutoff_hz == found.best_hz.max()
    assert (np.diff(found.residuals_mm, axis=0) < 1e-6).all()  # a higher cutoff removes less


def test_residual_analysis_of_a_still_mark_without_error_asks_for_nothing():
    found = residual_analysis(Track(np.arange(50) / 100, np.zeros((50, 2))))
    assert (found.noise_mm == 0).all()
    assert np.isfinite(found.best_hz).all()


def test_what_is_smoothed_is_not_taken_for_raw():
    smoothed = smooth(film_at(240), 20.0)
    for refuse in (contact_times, landing_vector, residual_analysis):
        with pytest.raises(ValueError, match="needs the raw track: this one is smoothed at 20 Hz"):
            refuse(smoothed)


# ---------------------------------------------------------------- contact and lift-off


@pytest.mark.parametrize("fps", [30, 60, 120, 240, 1000])
@pytest.mark.parametrize("gait", ["walk", "trot", "gallop"])
def test_contact_and_lift_off_lie_within_their_error_bars(gait, fps):
    truth, rng = Truth(gait), np.random.default_rng(fps)
    contacts, lift_offs = [], []
    for _ in range(60):
        seen = contact_times(truth.film(fps, rng.random(), 0.5, rng))
        near = np.round((seen.contact_s - truth.swing) / truth.period)
        off = seen.contact_s - truth.swing - near * truth.period
        contacts += list(zip(off, seen.contact_error_s, strict=True))
        off = seen.lift_off_s - np.round(seen.lift_off_s / truth.period) * truth.period
        lift_offs += list(zip(off, seen.lift_off_error_s, strict=True))
    for name, pairs in (("contact", contacts), ("lift-off", lift_offs)):
        off, error = np.array(pairs).T
        print(
            f"{gait} {fps}/s {name}: bias {1e3 * off.mean():.2f} ms, spread {1e3 * off.std():.2f}"
        )
        # 95 % of about 120; 0.88 allows for chance (3 sigma = 6 points) and the short walk tail
        assert np.mean(np.abs(off) < 2 * error) >= 0.88
        # no more than one frame and 12 ms (published: mean errors of -11 to +10 ms) off on average
        assert abs(off.mean()) < 1 / fps + 0.012


def test_at_high_rate_contact_is_good_to_a_millisecond():
    truth = Truth("trot")
    film = truth.film(1000, 0.3, 0.3, np.random.default_rng(2))
    seen = contact_times(replace(film, give_mm=0.0))  # a hard road
    assert seen.contact_s[0] == pytest.approx(truth.swing, abs=0.001)
    assert seen.contact_error_s[0] < 0.001


def test_stance_stride_and_duty_factor_of_a_trot():
    truth = Truth("trot")
    seen = contact_times(truth.film(240, seconds=2.2))
    assert seen.stride_s == pytest.approx(truth.period, abs=0.002)
    assert seen.stance_s[0] == pytest.approx(truth.stance, abs=2 * seen.stance_error_s[0])
    assert seen.stride_error_s.shape == seen.stride_s.shape
    share = duty_factor(seen.stance_s.mean(), seen.stride_s.mean())
    assert share == pytest.approx(truth.stance / truth.period, abs=0.03)


def test_a_film_of_part_of_a_stride_gives_what_it_holds_and_refuses_the_rest():
    truth = Truth("trot")
    landing_only = contact_times(truth.film(240, phase=10, seconds=0.6))  # swing, some stance
    assert landing_only.contact_s.size == 1
    assert landing_only.lift_off_s.size == 0
    with pytest.raises(ValueError, match="no stance from contact to lift-off"):
        _ = landing_only.stance_s
    with pytest.raises(ValueError, match="two contacts"):
        _ = landing_only.stride_s
    with pytest.raises(ValueError, match="two contacts"):
        _ = landing_only.stride_error_s
    times = np.arange(100) / 240  # down, then up and away: a lift-off without a contact
    height = 2e4 * np.maximum(times - 0.2, 0) ** 2
    leaving = contact_times(Track(times, np.stack([0 * times, height], 1), ground_mm=0.0))
    assert leaving.contact_s.size == 0
    # steady acceleration, no point error in the data: the method is exact
    assert leaving.lift_off_s == pytest.approx([0.2], abs=1e-6)


def test_a_foot_that_goes_up_for_one_frame_only_is_timed_between_frames():
    height = np.r_[np.zeros(12), 40.0]
    times = np.arange(13) / 30
    seen = contact_times(Track(times, np.stack([0 * times, height], 1), ground_mm=0.0))
    assert times[11] < seen.lift_off_s[0] < times[12]
    assert seen.lift_off_error_s[0] > 1 / 30 / np.sqrt(12)


def test_no_ground_reference_no_contact():
    for ask in (contact_times, landing_vector):
        with pytest.raises(ValueError, match="no ground reference: give ground_mm"):
            ask(film_at(240, ground_mm=None))


def test_a_mark_that_never_lands_or_never_leaves_is_refused():
    with pytest.raises(ValueError, match="never comes within clearance_mm = 5 of the ground"):
        contact_times(film_at(240, ground_mm=-50.0))
    with pytest.raises(ValueError, match="never rises more than clearance_mm = 500"):
        contact_times(film_at(240), clearance_mm=500.0)


def test_two_frames_of_contact_are_not_a_stance():
    height = np.abs(np.arange(-20, 21)) * 10.0
    height[19:22] = [10, 0, 0]
    times = np.arange(41) / 30
    track = Track(times, np.stack([0 * times, height], 1), ground_mm=0.0)
    for ask in (contact_times, landing_vector):
        with pytest.raises(ValueError, match="shows in only 2 frames and 3 are needed: at 30 fr"):
            ask(track)


def test_point_error_does_not_break_one_stance_into_many():
    truth, rng = Truth("trot"), np.random.default_rng(8)
    seen = contact_times(truth.film(1000, 0.1, 2.0, rng, seconds=2.2))
    assert seen.contact_s.size == 3
    assert seen.lift_off_s.size == 2 or seen.lift_off_s.size == 3


# ---------------------------------------------------------------- landing


@pytest.mark.parametrize(
    ("gait", "fps", "error_mm"),
    [
        ("walk", 240, 0.3),
        ("walk", 1000, 0.3),
        ("trot", 60, 0.3),
        ("trot", 120, 0.5),
        ("trot", 240, 1.0),
        ("trot", 1000, 1.0),
        ("gallop", 120, 1.0),
        ("gallop", 240, 1.0),
        ("gallop", 1000, 1.0),
    ],
)
def test_the_truth_lies_within_two_standard_errors(gait, fps, error_mm):
    truth, rng = Truth(gait), np.random.default_rng(11)
    off = {"speed": [], "descent": [], "slip": []}
    for _ in range(100):
        try:
            found = landing_vector(one_mark(truth.film(fps, rng.random(), error_mm, rng)))
        except CannotTellError:
            continue
        off["speed"].append((found.speed_m_s - truth.speed, found.speed_error_m_s))
        off["descent"].append((found.descent_deg - truth.descent_deg, found.descent_error_deg))
        off["slip"].append((found.slip_mm - truth.slip_mm, found.slip_error_mm))
    for name, pairs in off.items():
        miss, error = np.array(pairs).T
        print(
            f"{gait} {fps}/s {error_mm} mm {name}: bias {miss.mean():.3f}, "
            f"spread {miss.std():.3f}, said {np.median(error):.3f}, of {miss.size}"
        )
        assert miss.size > 70  # at 60 frames a second a quarter cannot be told to a third
        assert np.mean(np.abs(miss) < 2 * error) >= 0.88  # 95 %, less 3 sigma of chance in 100
        assert np.median(error) < 5 * max(miss.std(), abs(miss.mean()))  # not empty either


@pytest.mark.parametrize("error_mm", [0.3, 1.0])
@pytest.mark.parametrize("pitch_deg", [4.0, -4.0])
def test_with_two_marks_the_landing_is_that_of_the_one_that_touches_first(pitch_deg, error_mm):
    """A foot turning evenly until 20 ms after its front mark would be down, 60 mm between marks.

    Toe up, the mark behind touches first: its speed is the front's less what the turning adds.
    """
    truth = Truth("trot", pitch_deg=pitch_deg, pitch_rate_deg_s=-5.0 * pitch_deg)
    rng, heel_first = np.random.default_rng(6), pitch_deg > 0
    exact = truth.film(50_000, seconds=0.6)
    want, want_s = np.array([truth.forward, truth.down]), truth.swing
    if heel_first:
        touch = int(np.argmax((exact.second_mm[:, 1] < 0) & (exact.times_s > 0.3)))
        before, want_s = slice(touch - 50, touch), exact.times_s[touch]
        rate = np.polyfit(exact.times_s[before], exact.second_mm[before], 1)[0] / 1000
        want = rate * [1, -1]
    misses = []
    for _ in range(60):
        film = truth.film(240, rng.random(), error_mm, rng, seconds=0.8)
        try:
            found = landing_vector(film)
        except CannotTellError:
            continue
        assert found.contact_s == contact_times(film).contact_s[0]
        misses.append(
            [
                found.mark == (2 if heel_first else 1),
                abs(found.forward_m_s - want[0]) < 2 * found.forward_error_m_s,
                abs(found.down_m_s - want[1]) < 2 * found.down_error_m_s,
                abs(found.contact_s - want_s) < 2 * found.contact_error_s,
            ]
        )
    assert len(misses) > 50
    assert (np.mean(misses, axis=0) >= 0.85).all(), np.mean(misses, axis=0)  # 95 %, 3 sigma in 60


def test_the_error_shrinks_with_the_frame_rate():
    truth = Truth("trot")
    said = [
        np.median(
            [
                landing_vector(
                    truth.film(fps, k / 9, 0.3, np.random.default_rng(k))
                ).speed_error_m_s
                for k in range(9)
            ]
        )
        for fps in (120, 240, 480, 1000)
    ]
    assert (np.diff(said) < 0).all()


@pytest.mark.parametrize("gait", ["walk", "trot", "gallop"])
def test_thirty_frames_a_second_cannot_measure_a_landing_and_it_says_so(gait):
    truth, rng = Truth(gait), np.random.default_rng(3)
    for _ in range(20):
        with pytest.raises(ValueError, match=r"landing cannot be measured: .*than 30 frames a sec"):
            landing_vector(truth.film(30, rng.random(), 0.2, rng))


def test_a_speed_lost_in_its_own_error_is_refused():
    truth = Truth("walk")
    for error_mm in (2.0, 8.0):
        with pytest.raises(CannotTellError, match="the landing cannot be measured: "):
            landing_vector(truth.film(60, 0.4, 0.0, said_error_mm=error_mm))
    with pytest.raises(CannotTellError, match="m/s with a standard error of"):
        landing_vector(truth.film(120, 0.4, 0.0, said_error_mm=0.5))
    with pytest.raises(CannotTellError, match="the moment of contact is too unsure, with a standa"):
        landing_vector(truth.film(240, 0.4, 0.0, said_error_mm=2.0))


def test_which_contact_and_how_much_flight():
    truth = Truth("trot")
    track = truth.film(240)
    second = landing_vector(track, contact=1)
    assert second.contact_s == pytest.approx(truth.swing + truth.period, abs=0.002)
    with pytest.raises(ValueError, match="contact must be one of the 2 in the film"):
        landing_vector(track, contact=2)
    with pytest.raises(ValueError, match="contact must be a whole number"):
        landing_vector(track, contact=0.5)
    with pytest.raises(ValueError, match="window_s must be above 0"):
        landing_vector(track, window_s=0.0)
    with pytest.raises(ValueError, match=r"the film shows 2 frames of the last 0.01 s"):
        landing_vector(track, window_s=0.01)
    assert landing_vector(track, window_s=0.05).flight_frames == 13


def test_without_a_second_mark_there_is_no_pitch():
    track = Truth("trot").film(240)
    found = landing_vector(Track(track.times_s, track.positions_mm, ground_mm=0.0))
    assert found.pitch_deg is None
    assert found.pitch_error_deg is None


def test_two_marks_on_one_spot_give_no_pitch():
    track = film_at(240)
    beside = track.positions_mm + np.array([1.0, 0.0])
    both = Track(track.times_s, track.positions_mm, beside, ground_mm=0.0)
    with pytest.raises(ValueError, match="the two marks come within 1 mm of each other"):
        landing_vector(both)


def test_a_film_that_ends_at_contact_cannot_tell_the_slip():
    truth = Truth("trot")
    with pytest.raises(ValueError, match=r"the film ends .* s after contact: slip and pitch"):
        landing_vector(truth.film(240, seconds=truth.swing + 0.05))


def test_a_mark_that_glides_in_without_sinking_is_timed_between_frames():
    times = np.arange(100) / 240
    height = np.where(times < 0.2, 20.0 + 20 * times, 0.0)  # rising, then suddenly down
    track = Track(times, np.stack([1000 * times, height], 1), ground_mm=0.0)
    seen = contact_times(track)
    assert seen.contact_s[0] == pytest.approx(47.5 / 240)  # the last one up is frame 47
    assert seen.contact_error_s[0] == pytest.approx(1 / 240 / np.sqrt(12), rel=1e-6)


def test_a_foot_that_stays_above_the_ground_for_one_frame_more_is_given_that_frame():
    times = np.arange(60) / 30  # too coarse for a fit: only the frames themselves speak
    height = np.where(times < 1.0, 60.0, 0.0)
    height[30] = 4.0  # within the clearance, but not yet down
    seen = contact_times(Track(times, np.stack([0 * times, height], 1), ground_mm=0.0))
    assert times[29] < seen.contact_s[0] < times[31]
    assert seen.contact_error_s[0] == pytest.approx(2 / 30 / np.sqrt(12))


def test_derived_errors_match_a_monte_carlo_of_the_parts():
    rng = np.random.default_rng(4)
    landing = Landing(0.0, 0.0, 1.5, 0.10, 1.0, 0.06, 0.0, 0.0, None, None, 9)
    forward = 1.5 + 0.10 * rng.standard_normal(200_000)
    down = 1.0 + 0.06 * rng.standard_normal(200_000)
    assert landing.speed_error_m_s == pytest.approx(np.hypot(forward, down).std(), rel=0.01)
    angle = np.degrees(np.arctan2(forward, down))
    assert landing.descent_error_deg == pytest.approx(angle.std(), rel=0.01)


def test_what_an_interval_covers_is_said():
    assert "point error" in COVERS
    assert "scale" in LEAVES_OUT


def test_what_the_speeds_have_in_common_counts_for_speed_and_direction():
    """The two errors move together or against each other: a Monte Carlo of the parts."""
    rng, common = np.random.default_rng(4), 0.8 * 0.10 * 0.06
    landing = Landing(0.0, 0.0, 1.5, 0.10, 1.0, 0.06, 0.0, 0.0, None, None, 9, common)
    spread = [[0.10**2, common], [common, 0.06**2]]
    forward, down = rng.multivariate_normal([1.5, 1.0], spread, 200_000).T
    assert landing.speed_error_m_s == pytest.approx(np.hypot(forward, down).std(), rel=0.01)
    angle = np.degrees(np.arctan2(forward, down))
    assert landing.descent_error_deg == pytest.approx(angle.std(), rel=0.01)


def test_a_track_whose_second_mark_is_on_the_ground_from_the_start_is_told_by_the_first():
    track = Truth("trot").film(240)
    still = replace(track, second_mm=track.positions_mm * [1.0, 0.0] - [60.0, 0.0])
    assert landing_vector(still).mark == 1


# ---------------------------------------------------------------- duty factor


@pytest.mark.parametrize("part", [0.05, 0.13, 0.95])
def test_duty_factor_refuses_what_no_horse_does(part):
    with pytest.raises(ValueError, match=r"contact_s / stride_s must lie between 0.135 and 0.81"):
        duty_factor(part * 0.7, 0.7)
    assert duty_factor([0.18 * 0.4, 0.65 * 1.1], [0.4, 1.1]) == pytest.approx([0.18, 0.65])


def test_duty_factor_refuses_a_stance_as_long_as_its_stride():
    with pytest.raises(ValueError, match=r"contact_s must be shorter than stride_s \(got 0.5 s"):
        duty_factor(0.5, 0.5)
    with pytest.raises(ValueError, match="contact_s must be above 0"):
        duty_factor(0.0, 0.5)
    assert duty_factor([0.1, 0.2], 0.5) == pytest.approx([0.2, 0.4])


def test_contacts_pair_each_stance_with_its_own_lift_off():
    seen = Contacts(*(np.array(x) for x in ([1.0, 2.0], [0.01, 0.01], [0.4, 1.3], [0.01, 0.01])))
    assert seen.stance_s == pytest.approx([0.3])
    assert seen.stance_error_s == pytest.approx([np.hypot(0.01, 0.01)])


# ---------------------------------------------------------------- parts


def test_the_pitch_of_a_turning_foot_is_as_unsure_as_the_moment_makes_it():
    """Turning at 400 degrees/s, a moment that is off by its error turns the pitch by so much."""
    times = np.arange(240) / 240
    before = np.minimum(times - 0.5, 0)
    errors = []
    for rate in (0.0, 400.0):
        front = np.stack([1200 * before, -1500 * before], axis=1)
        lean = np.radians(rate * before)
        back = front - 300 * np.stack([np.cos(lean), np.sin(lean)], axis=1)
        found = landing_vector(Track(times, front, back, ground_mm=0.0, point_error_mm=0.3))
        errors.append((found.pitch_error_deg, rate * found.contact_error_s))
    (still, _), (turning, by_moment) = errors
    assert turning**2 - still**2 == pytest.approx(by_moment**2, rel=0.15)  # and its own path


def test_a_stance_is_found_round_a_frame_with_the_flight_before_it():
    height = np.full(60, 50.0)
    height[:5] = height[40:55] = 0.0
    times = np.arange(60) / 120
    track = Track(times, np.stack([0 * times, height], 1), ground_mm=0.0)
    found = module._stance_around(track, 47, None)
    assert (found.down, found.up, found.take_off) == (40, 47, 5)
    later = Track(times, np.stack([0 * times, np.r_[np.full(40, 50.0), height[40:]]], 1))
    found = module._stance_around(replace(later, ground_mm=0.0), 47, None)
    assert (found.down, found.up, found.take_off) == (40, 47, 0)


def test_the_rest_in_mid_stance_adds_little_to_the_error_of_the_slip():
    """Straight down at 960 frames a second: the place at contact, and a mean of ninety points."""
    found = landing_vector(film_at(960, point_error_mm=0.3, give_mm=0.0))
    assert 0.1 < found.slip_error_mm < 0.6


def test_both_speeds_change_along_the_path_if_the_touch_comes_sooner_or_later():
    """Points without error on ground that gives a lot: only the moment is unsure."""
    times = np.arange(240) / 240
    before = np.minimum(times - 0.5, 0)
    ahead = 1500 * before - 20_000 * before**2  # slows down by 40 m/s2
    up = -1500 * before - 8_000 * before**2  # falls faster by 16 m/s2
    track = Track(
        times, np.stack([ahead, up], axis=1), ground_mm=0.0, point_error_mm=0.01, give_mm=20.0
    )
    found = landing_vector(track)
    late_s = 0.33 * 20 / (1000 * found.down_m_s)
    assert found.covariance_m2_s2 == pytest.approx(-40 * 16 * late_s**2, rel=0.05)


def test_the_finest_film_still_allows_for_a_bend_in_the_last_millisecond():
    before = np.minimum(np.arange(960) / 960 - 0.5, 0)
    path = np.stack([1200 * before, -1500 * before], axis=1)
    film = {"ground_mm": 0.0, "point_error_mm": 0.01, "give_mm": 0.0}
    found = landing_vector(Track(np.arange(960) / 960, path, **film))
    assert found.forward_error_m_s / found.forward_m_s == pytest.approx(0.02, rel=0.1)
    assert found.down_error_m_s / found.down_m_s == pytest.approx(0.01, rel=0.2)  # and the path


def test_the_middle_third_of_a_stance_is_that():
    track = film_at(100)  # down from 0.3 s on
    assert module._middle_third(track, module._Stance(30, 59, 0)) == slice(40, 50)
    assert module._middle_third(track, module._Stance(30, 45, 0)) == slice(35, 41)
    assert module._middle_third(track, module._Stance(30, 32, 0)) == slice(31, 32)

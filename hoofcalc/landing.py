"""How the foot meets the ground: a digitised track to speed, contact times and landing.

A track is one mark on the hoof, frame by frame, forward and up, measured relative
to the ground (on a treadmill: relative to the belt). A second mark adds the pitch.

Two ways of working are kept apart on purpose:

- ``smooth``, ``velocity`` and ``residual_analysis`` treat the whole track as a signal.
  They are right in mid-swing and mid-stance. At contact they are not: a low-pass cannot
  follow a foot that stops within milliseconds, and spreads the stop over about a third
  of a period of its cutoff to either side, so that at contact itself about half of the
  speed is already gone.
- ``contact_times`` and ``landing_vector`` therefore use the raw frames, and only those
  *before* contact for the landing.

How a foot slows down in its last hundredths of a second was never found measured, so nothing is
taken for granted about it: the acceleration may fade out before contact, peak at contact or change
its sign. It is taken to wander off a straight line in time, as strongly as the film itself shows
but never by less than a foot may, and more strongly towards contact (`_WANDERS`): a foot may do
last what it did not do before. Where the film is too coarse to show it, the error grows
accordingly, and beyond a third of the downward speed the answer is a `CannotTellError`.

Errors are stated in one form: value, standard error, and 1.96 of them to each side hold the truth
in at least 95 of 100 films (`COVERS` and `LEAVES_OUT` say of what). The film does not tell how the
foot slows down last, so the worst kind sets the width: it is held in a little more than 90 of 100,
all kinds together in 96 to 98 (`tests/benchmarks/landing_proof.py`).

What a film can say depends on its frame rate. The forward slip after contact lasts about
20 ms at a gallop (Horan et al. 2024, PLoS ONE 19:e0311899: 20.4-21.5 ms, leading hind
18.3): 0.6 frames at 30 frames a second, 1.2 at 60, 5 at 240, 20 at 1,000. How far the foot
slipped can be had at 60, how it slipped only far above that.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc import _inputs
from hoofcalc._counted import counted
from hoofcalc._curves import low_pass
from hoofcalc._inputs import FloatArray, Result

__all__ = [
    "COVERS",
    "LEAVES_OUT",
    "CannotTellError",
    "Contacts",
    "Landing",
    "ResidualAnalysis",
    "Track",
    "contact_times",
    "corrected_cutoff_hz",
    "duty_factor",
    "landing_vector",
    "residual_analysis",
    "smooth",
    "velocity",
]

#: Fewest frames in a track: the two-pass filter runs in over nine frames at either end.
_FEWEST_FRAMES = 10
#: An interval between frames further than this from the usual one is a gap. Wide enough for
#: times rounded to a millisecond at 240 frames a second (4, 4, 5, ...), far below a lost frame.
_GAP = 0.3
#: Fewest frames that make a stance. Two may be a foot that only passes by.
_FEWEST_CONTACT_FRAMES = 3
#: The mark counts as down within this many point errors of the ground, and at least so many mm.
_CLEARANCE_ERRORS, _CLEARANCE_MM = 3.0, 5.0
#: Shortest swing [s]: published swings last over 0.3 s even at a gallop of 17 m/s (Witte, Hirst
#: & Wilson 2006). A shorter absence from the ground is point error, or a mark that wobbles.
_SHORTEST_SWING_S = 0.1
#: What the 95 % intervals of a landing cover.
COVERS = (
    "point error, the moments between frames, how the foot may speed up or slow down where the "
    "frames do not show it, and a ground and hoof that give by up to give_mm"
)
#: What they do not cover.
LEAVES_OUT = (
    "a wrong scale or level, a camera that stands askew or moves, a wrong frame rate, blur, a mark "
    "that slips on the hoof, and any part of the hoof that touches before the marks do"
)
#: Length of flight that is looked at [s].
_WINDOW_S = 0.12
#: A landing needs so many frames in so much of the last flight [s]: 40 frames a second.
_FEWEST_FLIGHT_FRAMES, _LAST_S = 4, 0.1
#: How the motion may wander off a cubic: its fourth derivative is white noise. Variance for each
#: second at contact, in units of (mean speed in the window)^2 / window^5, from the least to more
#: than any foot does. Before the film is looked at, a variance is less likely the larger it is, as
#: its power -`_RARE`. It grows towards contact, e-fold in a sixth of the window, from a part
#: `_EARLY` of it: what a foot does late, its earlier flight does not show. Least variance, power,
#: growth and part are our choice, made on films of other seeds than those of the proof
#: (`tests/benchmarks/landing_proof.py`).
_WANDERS = 10.0 ** np.arange(2.75, 7.0, 0.5)
_RARE, _GROWS, _EARLY = 0.5, 6.0, 0.01
#: Height of first touch and its standard error, as parts of what ground and hoof may give: our
#: choice, between a road that gives nothing and ground that gives all of it.
_TOUCH, _TOUCH_ERROR = 0.35, 0.33
#: In how many pieces the window is cut, in each of which the acceleration has its own trend.
_PIECES = 24
#: No mark is placed more finely than this [mm].
_FINEST_MM = 0.01
#: Contact is looked for so long after the last frame used [s].
_LONGEST_GAP_S = 0.06
#: Frames nearer to contact than this many of its errors may already show the stance.
_KEEP_AWAY = 2.0
#: The downward speed has to be this many times its standard error, for the moment of contact hangs
#: on it: first its mean in the last half of the window, which is known well, so that a film is not
#: told because it happens to look fast; then the speed at contact itself, and all of the speed.
_SURE_ON_AVERAGE, _SURE_DOWN, _SURE = 3.0, 2.0, 3.0
#: What a bend in the last millisecond may take from the speed forward and down, as a part of it:
#: what even the finest film does not show. Some 40 and 20 m/s2 of 2 m/s each (our choice).
_LAST_BEND_FORWARD, _LAST_BEND_DOWN = 0.02, 0.01
#: What is told of the model's errors of place and speed (of bend and trend: all): as much as holds
#: every kind of motion in the films that it was set on, no more.
_SHARES = np.array([0.92, 0.79, 1.0, 1.0])
#: Duty factors: a quarter beyond the published ones of all gaits (fast gallop 0.18, walk 0.65).
_LEAST_DUTY, _MOST_DUTY = 0.135, 0.81
#: The first stretch of the rise that is taken for steady acceleration [s].
_RISE_S = 0.03


class CannotTellError(ValueError):
    """What is asked for is not in this film; the message says why, and what would help.

    A result and not a fault: whoever asks can show it in place of the number.

    References
    ----------
    Definition.

    Examples
    --------
    >>> issubclass(CannotTellError, ValueError)
    True
    """


@dataclass(frozen=True, eq=False)
class Track:
    """The path of one mark on a hoof through a film, or of two.

    Positions are in the plane of the horse's travel, relative to the ground, forward in
    the direction of travel and up. Frames are evenly spaced: an interval more than 30 % off
    the usual one is refused as a gap, because neither filter nor fit may bridge it unseen.

    Parameters
    ----------
    times_s : array, shape (n,)
        Time of each frame [s], increasing, at least 10 frames.
    positions_mm : array, shape (n, 2)
        Forward and up position of the mark [mm].
    second_mm : array, shape (n, 2), optional
        The same for a second mark on the same hoof, for its pitch [mm].
    ground_mm : float, optional
        Height of the (first) mark while the foot stands [mm], in the coordinates of
        ``positions_mm``: the ground reference. Without it no contact can be found.
    point_error_mm : float
        Standard deviation of one digitised coordinate [mm]. The default of 1 is a careful
        hand on a close film (common practice, no source); ``residual_analysis`` measures it.
    smoothed_hz : float, optional
        Cutoff the track has been smoothed with [Hz]; None for raw points.
    give_mm : float
        How far the mark may still sink after the first touch, for ground and hoof give and the
        ground reference is not perfect [mm]: it touches between 0 and so much above its standing
        height. The default of 3 is for firm ground (our choice); a hard road less, deep sand more.

    Raises
    ------
    ValueError
        If `times_s` holds fewer than 10 frames, does not increase or leaves a gap; if
        `positions_mm` or `second_mm` does not hold one point for each frame; if `ground_mm`,
        `point_error_mm`, `smoothed_hz` or `give_mm` is not a single number, `smoothed_hz` not
        above 0, `point_error_mm` or `give_mm` negative.

    References
    ----------
    Model of our own; the limits are stated beside their values in this module.

    Examples
    --------
    >>> times_s = np.arange(12) / 240
    >>> track = Track(times_s, np.stack([2000 * times_s, 50 - 900 * times_s], axis=1))
    >>> round(track.frames_per_s)
    240
    """

    times_s: FloatArray
    positions_mm: FloatArray
    second_mm: FloatArray | None = None
    ground_mm: float | None = None
    point_error_mm: float = 1.0
    smoothed_hz: float | None = field(default=None, repr=False)
    give_mm: float = 3.0

    def __post_init__(self) -> None:
        times = _inputs.numbers("times_s", self.times_s)
        if times.ndim != 1 or times.size < _FEWEST_FRAMES:
            raise ValueError(
                f"times_s must hold at least {_FEWEST_FRAMES} frames in a row "
                f"(got shape {times.shape}): a shorter track cannot be smoothed or judged"
            )
        steps = np.diff(times)
        if (steps <= 0).any():
            frame = int(np.argmax(steps <= 0)) + 1
            raise ValueError(
                f"times_s must increase from frame to frame (frame {frame} at "
                f"{times[frame]:g} s is not later than the one before)"
            )
        usual = float(np.median(steps))
        uneven = np.abs(steps - usual) > _GAP * usual
        if uneven.any():
            frame = int(np.argmax(uneven))
            raise ValueError(
                f"times_s must be evenly spaced: a gap of {steps[frame]:.4g} s after frame {frame} "
                f"({times[frame]:.4g} s), where the usual interval is {usual:.4g} s; "
                "cut the track there, or digitise the missing frames"
            )
        object.__setattr__(self, "times_s", _locked(times))
        for name in ("positions_mm", "second_mm"):
            value = getattr(self, name)
            if value is None and name == "second_mm":
                continue
            points = _inputs.points(name, value, 2)
            if points.shape != (times.size, 2):
                raise ValueError(
                    f"{name} must hold one point for each of the {times.size} frames, "
                    f"shape ({times.size}, 2) (got shape {points.shape})"
                )
            object.__setattr__(self, name, _locked(points))
        if self.ground_mm is not None:
            object.__setattr__(self, "ground_mm", _single("ground_mm", self.ground_mm))
        for name in ("point_error_mm", "give_mm"):
            object.__setattr__(self, name, _single(name, getattr(self, name), at_least=0))
        if self.smoothed_hz is not None:
            cutoff = _single("smoothed_hz", self.smoothed_hz, above=0)
            object.__setattr__(self, "smoothed_hz", cutoff)

    @property
    def frame_s(self) -> float:
        """Mean time between frames [s]."""
        return float(self.times_s[-1] - self.times_s[0]) / (self.times_s.size - 1)

    @property
    def frames_per_s(self) -> float:
        """Frame rate [1/s]."""
        return 1 / self.frame_s


@dataclass(frozen=True, eq=False)
class Contacts:
    """Moments at which the mark comes down and goes up, with their standard errors.

    Only moments that the film shows are listed: a stance that has begun before the first frame
    has a lift-off but no contact.

    Parameters
    ----------
    contact_s, contact_error_s : array, shape (c,)
        Contacts and their standard errors [s].
    lift_off_s, lift_off_error_s : array, shape (l,)
        Lift-offs and their standard errors [s].

    References
    ----------
    Definition.

    Examples
    --------
    >>> seen = Contacts(*(np.array(x) for x in ([0.1, 0.8], [0.004, 0.003], [0.4], [0.005])))
    >>> seen.stance_s, seen.stride_s
    (array([0.3]), array([0.7]))
    """

    contact_s: FloatArray
    contact_error_s: FloatArray
    lift_off_s: FloatArray
    lift_off_error_s: FloatArray

    @property
    def stance_s(self) -> FloatArray:
        """Duration of each stance seen from contact to lift-off [s]; refused where none is."""
        begin, end = self._stances()
        return self.lift_off_s[end] - self.contact_s[begin]

    @property
    def stance_error_s(self) -> FloatArray:
        """Standard error of each stance time [s]."""
        begin, end = self._stances()
        return np.hypot(self.lift_off_error_s[end], self.contact_error_s[begin])

    @property
    def stride_s(self) -> FloatArray:
        """Time from each contact to the next [s]; refused where the film holds fewer than two."""
        if self.contact_s.size < 2:
            raise ValueError(
                f"a stride needs two contacts of the same foot (the film holds "
                f"{self.contact_s.size}): film longer"
            )
        return np.diff(self.contact_s)

    @property
    def stride_error_s(self) -> FloatArray:
        """Standard error of each stride time [s]."""
        error = self.contact_error_s
        return np.hypot(error[1:], error[:-1]) + 0 * self.stride_s  # refused like stride_s

    def _stances(self) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Which contact goes with which lift-off: the first one after it."""
        end = np.searchsorted(self.lift_off_s, self.contact_s)
        begin = np.flatnonzero(end < self.lift_off_s.size)
        if begin.size == 0:
            raise ValueError(
                "the film holds no stance from contact to lift-off: film longer, "
                "from before the foot lands until after it leaves"
            )
        return begin, end[begin]


@dataclass(frozen=True)
class Landing:
    """How a foot comes down: the last moment before contact, and the slip after it.

    Each number has a standard error; 1.96 of them to each side make the 95 % interval.
    `COVERS` and `LEAVES_OUT` say what it holds and what it does not.

    Parameters
    ----------
    contact_s, contact_error_s : float
        Moment of contact [s].
    forward_m_s, forward_error_m_s : float
        Speed over the ground, positive forward [m/s].
    down_m_s, down_error_m_s : float
        Speed towards the ground, positive down [m/s].
    slip_mm, slip_error_mm : float
        Way of the mark from contact to rest in mid-stance, positive forward [mm].
    pitch_deg, pitch_error_deg : float or None
        Pitch of the hoof at contact against its own pitch in mid-stance, positive with
        the toe up [degrees]; None without a second mark.
    flight_frames : int
        Number of frames of flight that the speeds rest on.
    covariance_m2_s2 : float
        What the errors of the two speeds have in common, for both hang on the moment of
        contact [m2/s2].
    mark : int
        Which mark touched first and is meant: 1 for ``positions_mm``, 2 for ``second_mm``.
    curve : array, shape (k, 3)
        The path that was found in the last flight, up to contact: time [s], forward and up [mm].

    References
    ----------
    Definition; the errors of speed and direction are first order (JCGM 100:2008, Guide to the
    expression of uncertainty in measurement, section 5.2; from memory).

    Examples
    --------
    >>> landing = Landing(0.45, 0.001, 1.5, 0.2, 1.5, 0.1, 15.0, 3.0, None, None, 16)
    >>> round(landing.descent_deg, 1), round(landing.descent_error_deg, 1)
    (45.0, 4.3)
    """

    contact_s: float
    contact_error_s: float
    forward_m_s: float
    forward_error_m_s: float
    down_m_s: float
    down_error_m_s: float
    slip_mm: float
    slip_error_mm: float
    pitch_deg: float | None
    pitch_error_deg: float | None
    flight_frames: int
    covariance_m2_s2: float = 0.0
    mark: int = 1
    curve: FloatArray = field(default_factory=lambda: np.empty((0, 3)), repr=False, compare=False)

    @property
    def speed_m_s(self) -> float:
        """Speed of the mark at contact [m/s]."""
        return float(np.hypot(self.forward_m_s, self.down_m_s))

    @property
    def speed_error_m_s(self) -> float:
        """Standard error of the speed, first order [m/s]."""
        return self._error_along(self.forward_m_s, self.down_m_s) / self.speed_m_s

    @property
    def descent_deg(self) -> float:
        """Direction of travel: 0 = straight down, positive = moving forward [degrees]."""
        return float(np.degrees(np.arctan2(self.forward_m_s, self.down_m_s)))

    @property
    def descent_error_deg(self) -> float:
        """Standard error of the direction, first order [degrees]."""
        across = self._error_along(self.down_m_s, -self.forward_m_s)
        return float(np.degrees(across / self.speed_m_s**2))

    def _error_along(self, forward: float, down: float) -> float:
        """Standard error of forward x forward speed + down x downward speed."""
        own = (forward * self.forward_error_m_s) ** 2 + (down * self.down_error_m_s) ** 2
        return float(np.sqrt(max(own + 2 * forward * down * self.covariance_m2_s2, 0.0)))


@dataclass(frozen=True, eq=False)
class ResidualAnalysis:
    """What is lost by smoothing, cutoff by cutoff, and the cutoff that it suggests.

    Parameters
    ----------
    cutoffs_hz : array, shape (k,)
        Cutoffs tried [Hz].
    residuals_mm : array, shape (k, 2)
        Root mean square of raw minus smoothed, forward and up [mm].
    noise_mm : array, shape (2,)
        Estimated point error, forward and up [mm].
    best_hz : array, shape (2,)
        Suggested cutoff, forward and up [Hz].

    References
    ----------
    Definition.

    Examples
    --------
    >>> found = ResidualAnalysis(np.array([5.0]), np.ones((1, 2)), np.ones(2), np.array([5.0, 8]))
    >>> found.cutoff_hz
    8.0
    """

    cutoffs_hz: FloatArray
    residuals_mm: FloatArray
    noise_mm: FloatArray
    best_hz: FloatArray

    @property
    def cutoff_hz(self) -> float:
        """The higher of the two suggestions, which spares both coordinates [Hz]."""
        return float(self.best_hz.max())


def corrected_cutoff_hz(cutoff_hz: ArrayLike, frames_per_s: ArrayLike) -> Result:
    """Cutoff of one pass of a second-order Butterworth filter, so that two passes have `cutoff_hz`.

    Run forward and backward, a filter works twice, and what was its cutoff (gain 0.7071) would
    come out with half. The correction often printed, ``cutoff_hz / 0.802``, holds only far
    below the frame rate; this is the exact form for the digital filter.

    Equation: tan(pi f/r) = tan(pi c/r) / (sqrt 2 - 1)^(1/4), with `cutoff_hz` c, frame rate r.

    Parameters
    ----------
    cutoff_hz : float or array
        Cutoff wanted after both passes [Hz].
    frames_per_s : float or array
        Frame rate [1/s].

    Returns
    -------
    float or array
        Cutoff to design the single pass with [Hz].

    Raises
    ------
    ValueError
        If `frames_per_s` is not above 0, or `cutoff_hz` not above 0 and below half of it; the
        corrected cutoff then stays below half of it too.

    References
    ----------
    Winter D.A. 2009, Biomechanics and Motor Control of Human Movement, 4th ed., section 3.4.4
    (C = 0.802); the tangent is the frequency warping of the bilinear transform.

    Examples
    --------
    >>> corrected_cutoff_hz(10.0, 50.0)
    11.7126
    """
    cutoff, rate = _inputs.together(
        cutoff_hz=_inputs.numbers("cutoff_hz", cutoff_hz, above=0, copy=False),
        frames_per_s=_inputs.numbers("frames_per_s", frames_per_s, above=0, copy=False),
    )
    _inputs.refuse_where(
        cutoff >= rate / 2,
        "cutoff_hz must be below half the frame rate, {half:g} Hz here (got {cutoff:g}): "
        "faster movement is not in the film",
        half=rate / 2,
        cutoff=cutoff,
    )
    per_pass = (np.sqrt(2) - 1) ** 0.25  # C: |H|^2 = 1/sqrt 2 for one pass of order 2
    return _inputs.plain(rate / np.pi * np.arctan(np.tan(np.pi * cutoff / rate) / per_pass))


def smooth(track: Track, cutoff_hz: float) -> Track:
    """The track through a low-pass filter that shifts nothing in time.

    A second-order Butterworth filter, forward and then backward (fourth order in all, gain
    0.7071 at `cutoff_hz`, phase zero). Ends are continued by point reflection; trust the first
    and last period of the cutoff less. See the top of the module for what it does at contact.

    Equation: gain = 1 / (1 + (sqrt 2 - 1) (tan(pi f/r) / tan(pi c/r))^4) at frequency f, with
    cutoff c and frame rate r.

    Parameters
    ----------
    track : Track
        Raw track.
    cutoff_hz : float
        Cutoff after both passes [Hz]; ``residual_analysis`` suggests one.

    Returns
    -------
    Track
        The same track with smoothed positions, marked as smoothed.

    Raises
    ------
    ValueError
        If `cutoff_hz` is not above 0 and below half the frame rate of `track`.

    References
    ----------
    Winter D.A. 2009, Biomechanics and Motor Control of Human Movement, 4th ed., section 3.4.4.

    Examples
    --------
    >>> times_s = np.arange(200) / 200
    >>> wave_mm = np.sin(2 * np.pi * 6 * times_s)
    >>> out = smooth(Track(times_s, np.stack([0 * wave_mm, wave_mm], axis=1)), 6.0)
    >>> round(float(np.ptp(out.positions_mm[50:150, 1]) / 2), 3)
    0.707
    """
    cutoff = _single("cutoff_hz", cutoff_hz, above=0)
    second = None if track.second_mm is None else _low_pass(track.second_mm, track, cutoff)
    return replace(
        track,
        positions_mm=_low_pass(track.positions_mm, track, cutoff),
        second_mm=second,
        smoothed_hz=cutoff,
    )


def velocity(track: Track, cutoff_hz: float) -> FloatArray:
    """Forward and upward velocity of the mark, frame by frame, after smoothing.

    Central differences of the smoothed track. They damp a movement of frequency f by
    sin(w)/w, w = 2 pi f / frame rate: 1 % at a twenty-fifth of the frame rate. Not for the
    moment of contact: use ``landing_vector``.

    Parameters
    ----------
    track : Track
        Raw track.
    cutoff_hz : float
        Cutoff of the smoothing [Hz].

    Returns
    -------
    array, shape (n, 2)
        Forward and upward velocity [m/s].

    Raises
    ------
    ValueError
        If `cutoff_hz` is not above 0 and below half the frame rate of `track`.

    References
    ----------
    Winter D.A. 2009, Biomechanics and Motor Control of Human Movement, 4th ed., section 3.5
    (finite differences).

    Examples
    --------
    >>> times_s = np.arange(50) / 240
    >>> track = Track(times_s, np.stack([2000 * times_s, 90 - 300 * times_s], axis=1))
    >>> velocity(track, 20.0)[25].round(3)
    array([ 2. , -0.3])
    """
    # The mean interval, not each one: what a track may vary is the rounding of its times.
    moved = smooth(track, cutoff_hz).positions_mm
    return np.asarray(np.gradient(moved, track.frame_s, axis=0, edge_order=2)) / 1000


def residual_analysis(track: Track) -> ResidualAnalysis:
    """Point error and a cutoff for smoothing, from what smoothing takes away.

    With the cutoff high, smoothing removes only point error, and the residual falls nearly in a
    straight line; carried back to a cutoff of zero that line meets the point error. The
    suggestion is the cutoff at which the residual equals it: as much movement lost as error
    kept. Here the line is fitted where the cutoff lies between half and nine tenths of half
    the frame rate. It supposes that the mark's movement lies below the former and that
    errors are alike and independent; a foot that stops dead breaks the first a little. Known
    to smooth too much for accelerations.

    Equation: residual(f) = sqrt(mean((x - x_f)^2)), x_f smoothed at the cutoff f; in the tail
    residual = point error + b f.

    Parameters
    ----------
    track : Track
        Raw track.

    Returns
    -------
    ResidualAnalysis
        Cutoffs [Hz], residuals [mm], point error [mm] and suggested cutoff [Hz].

    Raises
    ------
    ValueError
        If `track` is already smoothed.

    References
    ----------
    Winter D.A. 2009, Biomechanics and Motor Control of Human Movement, 4th ed., section 3.4.4.3
    (residual analysis); the range of the line is our choice.

    Examples
    --------
    >>> times_s = np.arange(400) / 200
    >>> error_mm = np.random.default_rng(1).standard_normal((400, 2))
    >>> wave_mm = 50 * np.sin(2 * np.pi * times_s)
    >>> found = residual_analysis(Track(times_s, wave_mm[:, None] + error_mm))
    >>> bool(abs(found.noise_mm - 1).max() < 0.2 and 2 < found.cutoff_hz < 12)
    True
    """
    _raw_only(track, "residual_analysis")
    cutoffs = track.frames_per_s / 2 * np.linspace(0.01, 0.9, 90)
    residuals = np.stack(
        [
            np.sqrt(np.mean((track.positions_mm - _low_pass(track.positions_mm, track, c)) ** 2, 0))
            for c in cutoffs
        ]
    )
    tail = cutoffs >= track.frames_per_s / 4
    noise = np.polyfit(cutoffs[tail], residuals[tail], 1)[1]
    # The lowest cutoff whose residual is down to the noise, between the two that were tried.
    below = residuals <= noise
    after = np.where(below.any(0), np.argmax(below, axis=0), cutoffs.size - 1)
    before = np.maximum(after - 1, 0)
    column = np.arange(2)
    upper, lower = residuals[before, column], residuals[after, column]
    drop = np.where(upper > lower, upper - lower, 1.0)
    part = np.clip((upper - noise) / drop, 0, 1)
    best = cutoffs[before] + part * (cutoffs[after] - cutoffs[before])
    return ResidualAnalysis(cutoffs, residuals, np.maximum(noise, 0.0), best)


def contact_times(
    track: Track, clearance_mm: float | None = None, window_s: float | None = None
) -> Contacts:
    """When the mark comes down and goes up, with standard errors.

    The mark is down in frames within `clearance_mm` of ``track.ground_mm``; absences shorter
    than 0.1 s, shorter than any swing, are bridged. The threshold only says which frames belong
    to flight; the moments themselves come from the flight, so that they do not depend on it:

    - *contact*: where the path of the last `window_s` of flight comes down to the height of first
      touch, which lies between 0 and ``track.give_mm`` above the standing height. With two marks
      it is that of the one that touches first. Where there is no such path (fewer than four
      frames in the last 0.1 s, or a mark that does not come down), the film only says "between
      these frames": the middle is returned, with a standard error of their distance / sqrt 12
      (an even chance in between).
    - *lift-off*: of the first mark, which is taken to start from rest with steady acceleration, so
      the root of its height grows in a straight line, and lift-off is where that line begins. The
      standard error contains one interval / sqrt 12 and a like share of the time from there to
      the first frame above the threshold, because no foot starts quite like that.

    The standard error of a contact holds the truth in 95 of 100 films within 1.96 of it; the give
    of the ground, which makes the mark come to rest a millisecond late, is in it. Lift-off is
    softer: 4 to 7 ms early where the acceleration fades during the rise, late where the foot
    starts more gently; and it is the *mark* that is timed: a mark at the heel leaves with the
    heel, long before the toe. Against force plates, times from one hoof mark were within 26 ms in
    95 % of footfalls (Starke & Clayton 2015, PeerJ 3:e783).

    Contact is told by height alone. A mark that skims the ground within `clearance_mm` before it
    lands, or that stands at another height as it lands than in mid-stance, is told early: the heel
    of a walking person by 67 ms in one of two contacts (Fukuchi, Fukuchi & Duarte 2018, PeerJ
    6:e4640), where it hovers for ten frames and then sinks 10 mm.

    Equation: z(contact) = height of first touch; sqrt(z - ground) = s (t - lift-off) in the rise.

    Parameters
    ----------
    track : Track
        Raw track with a ground reference.
    clearance_mm : float, optional
        Height above the ground that still counts as down [mm]; default three point errors,
        at least 5 mm.
    window_s : float, optional
        Length of flight that is looked at [s]; default 0.12.

    Returns
    -------
    Contacts
        Contacts and lift-offs [s], stance and stride times as properties.

    Raises
    ------
    ValueError
        If `track` has no ground reference or is smoothed, or `clearance_mm` or `window_s` is not
        a single number above 0.
    CannotTellError
        If the mark of `track` never comes near the ground or never leaves it, or a contact shows
        in fewer than three frames.

    References
    ----------
    As for `landing_vector`; the lift-off is a model of our own.

    Examples
    --------
    >>> times_s = np.arange(120) / 240
    >>> height_mm = np.maximum(1500 * (0.2 - times_s), 0)  # comes down at 1.5 m/s until 0.2 s
    >>> track = Track(times_s, np.stack([0 * times_s, height_mm], axis=1), ground_mm=0, give_mm=0)
    >>> contact_times(track).contact_s
    array([0.2])
    """
    _raw_only(track, "contact_times")
    first, last = _stance_frames(track, clearance_mm)
    n = track.times_s.size
    flights = [
        _first_touch(track, stance, clearance_mm, window_s)
        for stance in _stances(first, last)
        if stance.down > 0
    ]
    rises = [_rise_after(track, i, first) for i in last if i < n - 1]
    down = [(flight.contact_s, flight.contact_error_s) for flight in flights]
    contact, lift_off = np.reshape(down, (-1, 2)), np.reshape(rises, (-1, 2))
    return Contacts(contact[:, 0], contact[:, 1], lift_off[:, 0], lift_off[:, 1])


def duty_factor(contact_s: ArrayLike, stride_s: ArrayLike) -> Result:
    """Part of the stride that the foot spends on the ground.

    Published are 0.18 (gallop at 17 m/s) to 0.65 (walk). What lies more than a quarter beyond is
    refused: a contact or a lift-off was missed, or belongs to another foot.

    Equation: duty factor = contact / stride.

    Parameters
    ----------
    contact_s : float or array
        Time on the ground [s].
    stride_s : float or array
        Time of the whole stride [s], longer than the contact.

    Returns
    -------
    float or array
        Duty factor, between 0 and 1 [-].

    Raises
    ------
    ValueError
        If `contact_s` or `stride_s` is not above 0, `contact_s` not shorter than `stride_s`, or
        their ratio below 0.135 or above 0.81.

    References
    ----------
    Definition; Alexander R.McN. et al. 1979, Journal of Zoology 189, 135-144. Limits: Witte T.H.,
    Hirst C.V., Wilson A.M. 2006, Journal of Experimental Biology 209, 4389-4397 (gallop);
    Robilliard J.J., Pfau T., Wilson A.M. 2007, Journal of Experimental Biology 210, 187-197 (walk;
    from memory); the quarter is our choice.

    Examples
    --------
    >>> duty_factor(0.077, 0.419)
    0.1838
    """
    contact, stride = _inputs.together(
        contact_s=_inputs.numbers("contact_s", contact_s, above=0, copy=False),
        stride_s=_inputs.numbers("stride_s", stride_s, above=0, copy=False),
    )
    _inputs.refuse_where(
        contact >= stride,
        "contact_s must be shorter than stride_s (got {contact:g} s in a stride of {stride:g} s), "
        "for a stride is contact and swing together",
        contact=contact,
        stride=stride,
    )
    part = contact / stride
    _inputs.refuse_where(
        (part < _LEAST_DUTY) | (part > _MOST_DUTY),
        "contact_s / stride_s must lie between {least:g} and {most:g}, a quarter beyond all that "
        "is published for horses (got {part:.3g}): was a contact or a lift-off missed?",
        part=part,
        least=_LEAST_DUTY,
        most=_MOST_DUTY,
    )
    return _inputs.plain(part)


def landing_vector(
    track: Track,
    contact: int = 0,
    clearance_mm: float | None = None,
    window_s: float | None = None,
) -> Landing:
    """Speed, direction, pitch and slip of the landing foot, each with its standard error.

    The last `window_s` of flight are followed by a cubic and what the foot wanders off it: white
    noise in the fourth derivative (a smoothing spline of degree seven) that grows towards contact.
    How strongly it wanders the film itself tells, as far as it can; each strength counts with its
    probability. The path is read off where it comes down to the height of first touch. Nothing
    after contact touches it, so the sudden stop cannot blunt the speed: from the last frame that
    surely lies before contact it goes on as it was, and the error grows by what a foot may do.

    With two marks the landing is told from the one that touches first. Slip is the way of that
    mark from contact to its mean position in the middle third of the stance; pitch is the turn of
    the line between the marks against the same middle third, where the foot stands flat.

    Equation: descent = atan2(dx/dt, -dz/dt), speed = sqrt((dx/dt)^2 + (dz/dt)^2) at contact.

    Each standard error, times 1.96, holds the truth in at least 95 of 100 films (`COVERS`). Tested
    over 38,400 made films whose deceleration fades out before contact, peaks there, stays or
    changes its sign, from walk to gallop, at 60 to 960 frames a second and point errors of 0.3 to
    2 mm: 96 to 98 of 100, and in no cell of any three of these fewer than 90 but by chance. The
    worst are decelerations that change their sign more than once, 92 to 95 of 100. One in six of
    those films was refused, two of five at 60 frames a second. A deceleration harder than any of
    these, 100 m/s2 at a trot that peaks at contact, is held in about 90 of 100 films of 240 frames
    a second. `LEAVES_OUT` is not in it.

    With one mark the mark's own landing is meant: of a foot that comes down heel first, a mark at
    the toe tells the landing of the toe.

    Parameters
    ----------
    track : Track
        Raw track with a ground reference.
    contact : int
        Which contact of the film, counted from 0.
    clearance_mm : float, optional
        Height above the ground that still counts as down [mm]; see ``contact_times``.
    window_s : float, optional
        Length of flight that is looked at [s]; default 0.12.

    Returns
    -------
    Landing
        Speeds [m/s], angles [degrees], slip [mm] and errors.

    Raises
    ------
    ValueError
        If `track` has no ground reference, is smoothed or has marks too near to each other;
        if `contact` is not one of the contacts in the film; if `clearance_mm` or `window_s` is
        not a single number above 0.
    CannotTellError
        Where the film of `track` does not hold the answer: no contact, a stance of under three
        frames or without its middle, too few frames of flight, a standard error of the downward
        speed above a third of its mean in the last half of the window or above half of itself, or
        one of the speed above a third of it.

    References
    ----------
    Wahba G. 1978, Journal of the Royal Statistical Society B 40, 364-372 (spline and wandering
    derivative are the same; from memory); Rasmussen C.E., Williams C.K.I. 2006, Gaussian Processes
    for Machine Learning, MIT Press, sections 2.7, 5.4 and 6.3 (from memory). Strength and growth
    are our choice, made so that the intervals hold.

    Examples
    --------
    >>> times_s = np.arange(240) / 240
    >>> flight_s = np.minimum(times_s - 0.5, 0)  # straight until contact at 0.5 s, then still
    >>> path_mm = np.stack([1200 * flight_s, -1600 * flight_s], axis=1)
    >>> landing = landing_vector(Track(times_s, path_mm, ground_mm=0.0, point_error_mm=0.5))
    >>> round(landing.speed_m_s, 2), round(landing.descent_deg, 1)
    (2.0, 36.9)
    """
    _raw_only(track, "landing_vector")
    stances = [
        stance for stance in _stances(*_stance_frames(track, clearance_mm)) if stance.down > 0
    ]
    which = int(_single("contact", contact, at_least=0, whole=True))
    if which >= len(stances):
        raise ValueError(
            f"contact must be one of the {len(stances)} in the film, counted from 0 (got {which})"
        )
    flight = _first_touch(track, stances[which], clearance_mm, window_s)
    if flight.refusal:
        raise CannotTellError(f"the landing cannot be measured: {flight.refusal}")
    return _landing(flight, _middle_third(track, stances[which]), track)


@dataclass(frozen=True)
class _Stance:
    """Frames of a stance, and the first frame after the stance before."""

    down: int
    up: int
    take_off: int


@dataclass(frozen=True, eq=False)
class _Motion:
    """Place, speed, acceleration and its trend of one coordinate at a moment, with covariances.

    Units: those of the series and seconds. `wander` is the variance that the third derivative gains
    in each second.
    """

    mean: FloatArray
    covariance: FloatArray
    wander: float

    def after(self, since_s: float) -> _Motion:
        """The same so much later, without a look at any frame: it wanders on."""
        on = _later(since_s)
        gained = self.wander * _gained(max(since_s, 0.0))
        return _Motion(on @ self.mean, on @ self.covariance @ on.T + gained, self.wander)

    def shared(self) -> _Motion:
        """The same, as sure as it is told: with so much of the model's errors."""
        return replace(self, covariance=self.covariance * np.outer(_SHARES, _SHARES))

    def falls_to(self, level: float) -> float | None:
        """After what time it comes down to `level` [s], the nearest one; None where it does not."""
        place, speed, bend, trend = self.mean
        height = np.polynomial.Polynomial([place - level, speed, bend / 2, trend / 6])
        roots = height.roots()
        roots = roots[np.abs(roots.imag) < 1e-9].real
        roots = roots[(np.abs(roots) < _LONGEST_GAP_S) & (height.deriv()(roots) < 0)]
        return float(roots[np.argmin(np.abs(roots))]) if roots.size else None


def _later(d: float) -> FloatArray:
    """What place, speed, acceleration and its trend become after a time, as a matrix."""
    return np.array([[1, d, d**2 / 2, d**3 / 6], [0, 1, d, d**2 / 2], [0, 0, 1, d], [0, 0, 0, 1]])


def _gained(since_s: float) -> FloatArray:
    """Covariance of place, speed, bend and trend after a time of white noise of 1 below them."""
    left = np.arange(3, -1, -1)  # how often each is integrated
    both = left[:, None] + left
    factorials = np.array([6, 2, 1, 1])
    return np.asarray(since_s ** (both + 1) / ((both + 1) * factorials[:, None] * factorials))


@dataclass(frozen=True, eq=False)
class _Window:
    """What a run of frames says of the motion at its last one: weights, for any series.

    The path is a cubic, of which nothing is known beforehand, and what it wanders off. What the
    cubic leaves of a series is turned into independent `modes`, each seen with its own `strength`.
    """

    cubic: FloatArray  # frames -> the motion at the last frame
    cubic_spread: FloatArray  # covariance of that for a point error of 1
    fitted: FloatArray  # frames -> cubic at the frames
    modes: FloatArray  # frames -> modes
    strength: FloatArray
    pull: FloatArray  # modes -> the motion at the last frame
    unseen: FloatArray  # covariance of what no mode shows, for a variance of 1

    def motion(
        self, series: FloatArray, error: float, variances: FloatArray
    ) -> tuple[_Motion, FloatArray]:
        """The motion at the last frame, and the path at all frames.

        Every variance of the wandering counts with its probability.
        """
        seen = self.modes @ series
        wandered = variances[:, None] * self.strength**2
        spread = error**2 + wandered  # variance of each mode
        log = 0.5 * (seen**2 * wandered / (error**2 * spread) - np.log(spread)).sum(axis=1)
        chance = np.exp(log - log.max()) * (variances / variances[0]) ** -_RARE
        chance /= chance.sum()
        counts = seen * variances[:, None] * self.strength / spread
        each = counts @ self.pull.T
        mean, wander = chance @ each, float(chance @ variances)
        unsure = chance @ (variances[:, None] * error**2 / spread)
        covariance = error**2 * self.cubic_spread + (self.pull * unsure) @ self.pull.T
        covariance += wander * self.unseen + ((each - mean).T * chance) @ (each - mean)
        path = self.fitted @ series + (chance @ counts * self.strength) @ self.modes
        return _Motion(self.cubic @ series + mean, covariance, wander), path


@lru_cache(maxsize=64)
def _window(since_s: bytes, window_s: float) -> _Window:
    """The weights for frames at the times in the buffer, counted from the last one, which is 0."""
    times = np.frombuffer(since_s)
    start = times - times[0]
    powers = np.stack([start**0, start, start**2 / 2, start**3 / 6], axis=1)
    across, slant = np.linalg.qr(powers)
    weights = np.linalg.solve(slant.T, _later(-times[0]).T).T
    corners = np.linspace(times[0], 0.0, _PIECES + 1)
    grown = np.exp(_GROWS * (corners[1:] + corners[:-1]) / 2 / window_s)
    noise = np.sqrt((_EARLY + (1 - _EARLY) * grown) / np.diff(corners))
    bumps = _pushed(times, corners, 4) * noise
    of_cubic = across.T @ bumps  # what a cubic takes of the bumps is not seen as wandering
    left, strength, right = np.linalg.svd(bumps - across @ of_cubic, full_matrices=False)
    end = np.concatenate([_pushed(np.zeros(1), corners, 4 - k) * noise for k in range(4)])
    end -= weights @ of_cubic
    pull = end @ right.T
    unseen = end - pull @ right
    return _Window(
        cubic=weights @ across.T,
        cubic_spread=weights @ weights.T,
        fitted=across @ across.T,
        modes=left.T,
        strength=strength,
        pull=pull,
        unseen=unseen @ unseen.T,
    )


def _pushed(at: FloatArray, corners: FloatArray, times_integrated: int) -> FloatArray:
    """What a constant 1 in each piece of the window has become, integrated so often."""
    left = np.maximum(at[:, None] - corners, 0.0) ** times_integrated
    left /= (1, 1, 2, 6, 24)[times_integrated]
    return np.asarray(left[:, :-1] - left[:, 1:])


@dataclass(frozen=True, eq=False)
class _Flight:
    """The end of the flight of one mark, which is the first one of `track`."""

    track: Track
    mark: int
    contact_s: float
    contact_error_s: float
    frames: int
    window_s: float
    refusal: str = ""
    part: slice = field(default_factory=lambda: slice(0))
    touch_error_mm: float = 0.0  # of the height of first touch

    def at_contact(self, series: FloatArray, error: float) -> _Motion:
        """The motion of any series of the frames at contact."""
        since = self.contact_s - float(self.track.times_s[self.part.stop - 1])
        motion, _ = _last_motion(self.track, self.part, series, error, self.window_s)
        return motion.after(since).shared()

    def descent_mm_s(self) -> float:
        """Mean speed down in the last half of the window."""
        times, height = self.track.times_s[self.part], self.track.positions_mm[self.part, 1]
        late = times >= min(times[-1] - self.window_s / 2, times[-3])
        return float((height[late][0] - height[-1]) / (times[-1] - times[late][0]))


def _last_motion(
    track: Track, part: slice, series: FloatArray, error: float, window_s: float
) -> tuple[_Motion, FloatArray]:
    """The motion of a series at the last frame of a part of the film, and its path there."""
    times, some = track.times_s[part], series[part]
    pace = np.hypot(np.ptp(some) / (times[-1] - times[0]), 3 * error / window_s)
    weights = _window(np.round(times - times[-1], 10).tobytes(), window_s)
    return weights.motion(some, error, _WANDERS * pace**2 / window_s**5)


def _error_mm(track: Track) -> float:
    return max(track.point_error_mm, _FINEST_MM)


def _flight_before(
    track: Track,
    mark: int,
    stance: _Stance,
    window_s: float | None,
    ground_error_mm: float = 0.0,
) -> _Flight:
    """The flight of the first mark of `track` that ends at the first frame of a stance."""
    window = _WINDOW_S if window_s is None else _single("window_s", window_s, above=0)
    times, height, down = track.times_s, track.positions_mm[:, 1], stance.down
    touch = _ground(track) + _TOUCH * track.give_mm
    touch_error = float(np.hypot(_TOUCH_ERROR * track.give_mm, ground_error_mm))
    between = _between_frames(track, mark, stance, window)

    def since(moment: float, length: float) -> int:
        return max(stance.take_off, int(np.searchsorted(times, moment - length - 1e-9)))

    shown_s = min(window, _LAST_S)
    stop, frames = down, down - since(float(times[down]), shown_s)
    flight = between
    for _ in range(3):  # the path tells which frames lie before contact, and they the path
        if frames < _FEWEST_FLIGHT_FRAMES:
            too_few = _too_few(track, frames, shown_s) if flight is between else _too_unsure(flight)
            return replace(between, refusal=too_few)
        part = slice(since(float(times[stop - 1]), window), stop)
        end, _ = _last_motion(track, part, height, _error_mm(track), window)
        left_s = end.falls_to(touch)
        if left_s is None:
            return replace(
                between,
                refusal="no path through the last frames of flight comes down to the ground: "
                "film faster, closer, or mark more finely",
            )
        up = end.after(left_s).shared()
        contact = float(times[stop - 1]) + left_s
        error = _moment_error_s(up, touch_error)
        flight = replace(
            between,
            contact_s=contact,
            contact_error_s=error,
            frames=part.stop - part.start,
            part=part,
            touch_error_mm=touch_error,
        )
        stop = int(np.searchsorted(times, contact - _KEEP_AWAY * error))
        frames = stop - since(float(times[stop - 1]), window)
    return flight


def _between_frames(track: Track, mark: int, stance: _Stance, window_s: float) -> _Flight:
    """What is told without a path: after the last frame above, before the first surely down."""
    times, down = track.times_s, stance.down
    may_sink = track.positions_mm[down, 1] - _ground(track) > track.point_error_mm
    before, after = float(times[down - 1]), float(times[down + may_sink])
    return _Flight(
        track=track,
        mark=mark,
        contact_s=(before + after) / 2,
        contact_error_s=(after - before) / np.sqrt(12),
        frames=0,
        window_s=window_s,
    )


def _too_few(track: Track, frames: int, shown_s: float) -> str:
    return (
        f"the film shows {counted(max(frames, 0), 'frame')} of the last {shown_s:g} s of flight, "
        f"where {_FEWEST_FLIGHT_FRAMES} are needed: begin earlier, or film faster than "
        f"{track.frames_per_s:.0f} frames a second"
    )


def _too_unsure(flight: _Flight) -> str:
    return (
        "the moment of contact is too unsure, with a standard error of "
        f"{flight.contact_error_s:.2g} s: film faster, closer, or mark more finely"
    )


def _moment_error_s(up: _Motion, touch_error_mm: float) -> float:
    """Standard error of the moment of contact: error of height / downward speed.

    The speed is unsure as well: E[h^2 / v^2] = E[h^2] (1 + 3 r^2 ...) / v^2 where they are
    independent, with r the relative error of the speed.
    """
    height_variance = up.covariance[0, 0] + touch_error_mm**2
    unsure = 1 + 3 * up.covariance[1, 1] / up.mean[1] ** 2
    return float(np.sqrt(height_variance * unsure) / abs(up.mean[1]))


def _first_touch(
    track: Track, stance: _Stance, clearance_mm: float | None, window_s: float | None
) -> _Flight:
    """The flight of the mark that touches first, of those whose flight can be told."""
    own = _flight_before(track, 1, stance, window_s)
    try:
        middle = _middle_third(track, stance)
    except CannotTellError:
        return own
    if track.second_mm is None:
        return own
    heights = track.second_mm[middle, 1]
    other = replace(
        track,
        positions_mm=track.second_mm,
        second_mm=track.positions_mm,
        ground_mm=float(heights.mean()),
    )
    landed = _stance_around(other, middle.start, clearance_mm)
    if landed.down == 0:
        return own
    ground_error = track.point_error_mm / np.sqrt(heights.size)
    able = [own, _flight_before(other, 2, landed, window_s, ground_error)]
    able = [flight for flight in able if not flight.refusal] or [own]
    return min(able, key=lambda flight: flight.contact_s)


def _landing(flight: _Flight, middle: slice, track: Track) -> Landing:
    """All that is told of a landing; errors to first order, that of the moment of contact in all.

    Contact is late by (error of height) / (downward speed), and what is read off there changes by
    its rate times that.
    """
    error, late_s = _error_mm(track), flight.contact_error_s
    ahead_mm, height_mm = flight.track.positions_mm.T
    ahead, up = flight.at_contact(ahead_mm, error), flight.at_contact(height_mm, error)
    down = -float(up.mean[1])
    height_variance = float(up.covariance[0, 0]) + flight.touch_error_mm**2
    turn, drift = float(up.mean[2]) / down, float(ahead.mean[2]) / down
    common = float(up.covariance[0, 1]) + turn * height_variance
    down_variance = up.covariance[1, 1] + turn * (up.covariance[0, 1] + common)
    down_variance += (_LAST_BEND_DOWN * down) ** 2
    forward_variance = ahead.covariance[1, 1] + (ahead.mean[2] * late_s) ** 2
    forward_variance += (_LAST_BEND_FORWARD * ahead.mean[1]) ** 2
    rest_error = error / np.sqrt(middle.stop - middle.start)
    slip_variance = ahead.covariance[0, 0] + (ahead.mean[1] * late_s) ** 2 + rest_error**2
    pitch, pitch_error = _pitch(track, flight, middle, late_s)
    landing = Landing(
        contact_s=flight.contact_s,
        contact_error_s=flight.contact_error_s,
        forward_m_s=float(ahead.mean[1]) / 1000,
        forward_error_m_s=float(np.sqrt(forward_variance)) / 1000,
        down_m_s=down / 1000,
        down_error_m_s=float(np.sqrt(down_variance)) / 1000,
        slip_mm=float(ahead_mm[middle].mean() - ahead.mean[0]),
        slip_error_mm=float(np.sqrt(slip_variance)),
        pitch_deg=pitch,
        pitch_error_deg=pitch_error,
        flight_frames=flight.frames,
        covariance_m2_s2=-drift * common / 1e6,
        mark=flight.mark,
        curve=_curve(flight),
    )
    down_error = landing.down_error_m_s
    for what, speed, unsure, times in (
        ("mean downward speed", flight.descent_mm_s() / 1000, down_error, _SURE_ON_AVERAGE),
        ("downward speed", landing.down_m_s, down_error, _SURE_DOWN),
        ("speed", landing.speed_m_s, landing.speed_error_m_s, _SURE),
    ):
        if speed < times * unsure:
            raise CannotTellError(
                f"the landing cannot be measured: {what} {speed:.2g} m/s with a standard "
                f"error of {unsure:.2g} m/s; film faster, closer, or mark more finely"
            )
    return landing


def _curve(flight: _Flight) -> FloatArray:
    """Time, forward and up along the path in the last flight, to contact."""
    track, part = flight.track, flight.part
    times, error = track.times_s[part], _error_mm(track)
    last = float(times[-1])
    on = np.linspace(0.0, flight.contact_s - last, 6)[1:]
    columns = [np.r_[times, last + on]]
    for series in track.positions_mm.T:
        motion, path = _last_motion(track, part, series, error, flight.window_s)
        columns.append(np.r_[path, [motion.after(float(d)).mean[0] for d in on]])
    return np.stack(columns, axis=1)


def _rise_after(track: Track, down: int, first: NDArray[np.intp]) -> tuple[float, float]:
    """Lift-off after frame `down`, the last of a stance, and its standard error [s]."""
    times, height = track.times_s, track.positions_mm[:, 1] - _ground(track)
    chance = float(times[down + 1] - times[down]) / np.sqrt(12)
    after = first[first > down]
    landed = int(after[0]) if after.size else times.size
    stop = int(np.searchsorted(times, times[down + 1] + _RISE_S + 1e-9))
    up = slice(down + 1, min(landed, max(stop, down + 3)))
    root = np.sqrt(height[up])  # h = a (t - t0)^2 / 2: the root is a line that begins at t0
    since = times[up] - times[down + 1]
    line = np.linalg.pinv(np.vander(since, 2, increasing=True))
    start, slope = line @ root
    if slope <= 0:  # it does not go on rising, or there is but one frame of it
        middle = float(times[down] + times[down + 1]) / 2
        return middle, float(np.hypot(chance, 2 * _RISE_S / np.sqrt(12)))
    lead = min(start / slope, 2 * _RISE_S)  # time from lift-off to the first frame above
    weights = (line[0] - lead * line[1]) / slope
    noise = np.linalg.norm(weights * track.point_error_mm / (2 * root))
    error = np.sqrt(noise**2 + chance**2 + lead**2 / 12)
    return float(times[down + 1] - lead), float(error)


def _stance_frames(
    track: Track, clearance_mm: float | None
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and last frame of each stance; stances cut by the film's ends are in.

    A shred of a stance at either end of the film, under three frames, is left out: the film
    does not claim to show that contact. One in the middle is refused.
    """
    times, height = track.times_s, track.positions_mm[:, 1] - _ground(track)
    clearance = _clearance(track, clearance_mm)
    down = np.flatnonzero(height <= clearance)
    if down.size == 0:
        raise CannotTellError(
            f"the mark never comes within clearance_mm = {clearance:g} of the ground "
            f"(lowest {height.min():.3g} mm above ground_mm): no contact in this film"
        )
    if height.max() <= clearance:
        raise CannotTellError(
            f"the mark never rises more than clearance_mm = {clearance:g} above the ground: "
            "no landing and no lift-off in this film"
        )
    apart = np.flatnonzero(np.diff(times[down]) >= _SHORTEST_SWING_S)
    first, last = down[np.r_[0, apart + 1]], down[np.r_[apart, down.size - 1]]
    short = last - first + 1 < _FEWEST_CONTACT_FRAMES
    cut = (first == 0) | (last == times.size - 1)
    if (short & ~cut).any():
        place = int(np.argmax(short & ~cut))
        raise CannotTellError(
            f"the contact at {times[first[place]]:.3g} s shows in only "
            f"{counted(last[place] - first[place] + 1, 'frame')} and {_FEWEST_CONTACT_FRAMES} are "
            f"needed: at {track.frames_per_s:.0f} frames a second this film cannot time it"
        )
    return first[~short], last[~short]


def _stances(first: NDArray[np.intp], last: NDArray[np.intp]) -> list[_Stance]:
    """The stances of a film, one after the other."""
    take_offs = [0, *(last[:-1] + 1)]
    return [_Stance(int(f), int(t), int(o)) for f, t, o in zip(first, last, take_offs, strict=True)]


def _stance_around(track: Track, frame: int, clearance_mm: float | None) -> _Stance:
    """The stance of the first mark in which `frame` lies, as far as its begin."""
    height = track.positions_mm[: frame + 1, 1] - _ground(track)
    down = np.flatnonzero(height <= _clearance(track, clearance_mm))
    down = np.union1d(down, frame)
    apart = np.flatnonzero(np.diff(track.times_s[down]) >= _SHORTEST_SWING_S)
    if not apart.size:
        return _Stance(int(down[0]), frame, 0)
    return _Stance(int(down[apart[-1] + 1]), frame, int(down[apart[-1]]) + 1)


def _clearance(track: Track, clearance_mm: float | None) -> float:
    """Height that still counts as down [mm]."""
    default = max(_CLEARANCE_ERRORS * track.point_error_mm, _CLEARANCE_MM)
    return _single("clearance_mm", default if clearance_mm is None else clearance_mm, above=0)


def _middle_third(track: Track, stance: _Stance) -> slice:
    """Frames of the middle third of a stance: after the slip, before the heel rises."""
    times, first, last = track.times_s, stance.down, stance.up
    length = float(times[last] - times[first])
    if last == times.size - 1 and length < _SHORTEST_SWING_S:
        raise CannotTellError(
            f"the film ends {length:.3g} s after contact: slip and pitch are told from the middle "
            f"of the stance (film on for {_SHORTEST_SWING_S:g} s at least)"
        )
    begin = np.searchsorted(times, times[first] + length / 3 - 1e-9)
    end = np.searchsorted(times, times[first] + 2 * length / 3 + 1e-9)
    return slice(int(begin), max(int(end), int(begin) + 1))


def _pitch(
    track: Track, flight: _Flight, middle: slice, late_s: float
) -> tuple[float | None, float | None]:
    """Pitch at contact against mid-stance, toe up positive, and its standard error [degrees]."""
    if track.second_mm is None:
        return None, None
    line = track.positions_mm - track.second_mm
    length = np.hypot(line[:, 0], line[:, 1])
    if length.min() <= 4 * track.point_error_mm:
        raise ValueError(
            f"the two marks come within {length.min():.3g} mm of each other: too near for a pitch "
            f"at a point error of {track.point_error_mm:g} mm"
        )
    # Forward and up are the axes, so a turn from forward to up is toe up, whichever mark leads.
    angle = np.unwrap(np.arctan2(line[:, 1], line[:, 0]))
    error = float(np.sqrt(2) * _error_mm(track) / length.mean())
    at_contact = flight.at_contact(angle, error)
    drift = (at_contact.mean[1] * late_s) ** 2
    rest = error**2 / (middle.stop - middle.start)
    pitch_error = np.sqrt(at_contact.covariance[0, 0] + drift + rest)
    pitch = float(at_contact.mean[0] - angle[middle].mean())
    return float(np.degrees(pitch)), float(np.degrees(pitch_error))


def _low_pass(series: FloatArray, track: Track, cutoff_hz: float) -> FloatArray:
    """Second-order Butterworth, forward and backward, gain 0.7071 at `cutoff_hz`."""
    cutoff_hz = float(corrected_cutoff_hz(cutoff_hz, track.frames_per_s))
    return low_pass(series, cutoff_hz, track.frames_per_s)


def _ground(track: Track) -> float:
    """The height that counts as standing, or a refusal."""
    if track.ground_mm is None:
        raise ValueError(
            "the track has no ground reference: give ground_mm, the height of the mark while the "
            "foot stands, in the same coordinates as positions_mm"
        )
    return track.ground_mm


def _raw_only(track: Track, what: str) -> None:
    if track.smoothed_hz is not None:
        raise ValueError(
            f"{what} needs the raw track: this one is smoothed at {track.smoothed_hz:g} Hz, "
            "which has already blunted the moment of contact"
        )


def _single(
    name: str,
    value: ArrayLike,
    *,
    at_least: float | None = None,
    above: float | None = None,
    whole: bool = False,
) -> float:
    """One number, not an array."""
    number = _inputs.numbers(name, value, at_least=at_least, above=above, whole=whole)
    if number.ndim:
        raise ValueError(f"{name} must be a single number (got shape {number.shape})")
    return float(number)


def _locked(array: FloatArray) -> FloatArray:
    """A copy that nobody can write to."""
    own = array.copy()
    own.flags.writeable = False
    return own

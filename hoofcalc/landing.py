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
  *before* contact for the landing: a cubic through the last 0.07 to 0.1 s of flight.

What a film can say depends on its frame rate. The forward slip after contact lasts about
20 ms at a gallop (Horan et al. 2024, PLoS ONE 19:e0311899: 20.4-21.5 ms, leading hind
18.3): 0.6 frames at 30 frames a second, 1.2 at 60, 5 at 240, 20 at 1,000. How far the foot
slipped can be had at 60, how it slipped only far above that.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc import _inputs
from hoofcalc._inputs import FloatArray, Result

__all__ = [
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
#: Last stretches of flight that may be described by a cubic [s], and its fewest frames. Not
#: longer: the foot's speed swings once up and down in a swing of 0.33 s or more, and four frames
#: in 0.1 s leave out 30 frames a second, whose cubic would have nothing to be checked by.
_WINDOWS_S, _FEWEST_FLIGHT_FRAMES = (0.07, 0.1), 4
#: The first stretch of the rise that is taken for steady acceleration [s].
_RISE_S = 0.03


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

    Raises
    ------
    ValueError
        If times do not increase or leave gaps, shapes do not fit, or frames are too few.

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
        error = _single("point_error_mm", self.point_error_mm, at_least=0)
        object.__setattr__(self, "point_error_mm", error)
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
    """How a mark comes down: the last moment before contact, and the slip after it.

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

    References
    ----------
    Definition.

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

    @property
    def speed_m_s(self) -> float:
        """Speed of the mark at contact [m/s]."""
        return float(np.hypot(self.forward_m_s, self.down_m_s))

    @property
    def speed_error_m_s(self) -> float:
        """Standard error of the speed, first order [m/s]."""
        along = self.forward_m_s * self.forward_error_m_s, self.down_m_s * self.down_error_m_s
        return float(np.hypot(*along) / self.speed_m_s)

    @property
    def descent_deg(self) -> float:
        """Direction of travel: 0 = straight down, positive = moving forward [degrees]."""
        return float(np.degrees(np.arctan2(self.forward_m_s, self.down_m_s)))

    @property
    def descent_error_deg(self) -> float:
        """Standard error of the direction, first order [degrees]."""
        across = self.down_m_s * self.forward_error_m_s, self.forward_m_s * self.down_error_m_s
        return float(np.degrees(np.hypot(*across) / self.speed_m_s**2))


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
        If the cutoff is not positive and below half the frame rate; the corrected cutoff
        then stays below it too.

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
        If the cutoff is not below half the frame rate.

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
        If the cutoff is not below half the frame rate.

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
        If the track is already smoothed.

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

    - *contact*: where the cubic through the last `window_s` of flight reaches the ground. With
      fewer than four such frames the film only says "between these frames": the middle is
      returned, with a standard error of their distance / sqrt 12 (an even chance in between).
    - *lift-off*: the mark is taken to start from rest with steady acceleration, so the root of
      its height grows in a straight line, and lift-off is where that line begins. The standard
      error contains one interval / sqrt 12 and a like share of the time from there to
      the first frame above the threshold, because no foot starts quite like that.

    Bias: contact about 1 ms (walk 2 ms) late at 120 frames a second and more; lift-off 4 to 7 ms
    early where the acceleration fades during the rise, late where the foot starts more gently.
    It is the *mark* that is timed: a mark at the heel leaves with the heel, long before the toe.
    Against force plates, times from one hoof mark were within 26 ms in 95 % of footfalls (Starke
    & Clayton 2015, PeerJ 3:e783).

    Parameters
    ----------
    track : Track
        Raw track with a ground reference.
    clearance_mm : float, optional
        Height above the ground that still counts as down [mm]; default three point errors,
        at least 5 mm.
    window_s : float, optional
        Length of flight that is described by one cubic [s]; by default 0.07 or 0.1,
        whichever gives the landing speed with the smallest standard error.

    Returns
    -------
    Contacts
        Contacts and lift-offs [s], stance and stride times as properties.

    Raises
    ------
    ValueError
        If there is no ground reference, the track is smoothed, the mark never comes near the
        ground or never leaves it, or a contact shows in fewer than three frames.

    References
    ----------
    Model of our own; limits checked on synthetic tracks of known truth in the tests.

    Examples
    --------
    >>> times_s = np.arange(120) / 240
    >>> height_mm = np.maximum(1500 * (0.2 - times_s), 0)  # comes down at 1.5 m/s until 0.2 s
    >>> track = Track(times_s, np.stack([0 * times_s, height_mm], axis=1), ground_mm=0.0)
    >>> contact_times(track).contact_s
    array([0.2])
    """
    _raw_only(track, "contact_times")
    first, last = _stance_frames(track, clearance_mm)
    n = track.times_s.size
    flights = [_best_flight(track, i, window_s, last) for i in first if i > 0]
    rises = [_rise_after(track, i, first) for i in last if i < n - 1]
    down = [(flight.contact_s, flight.contact_error_s) for flight in flights]
    contact, lift_off = np.reshape(down, (-1, 2)), np.reshape(rises, (-1, 2))
    return Contacts(contact[:, 0], contact[:, 1], lift_off[:, 0], lift_off[:, 1])


def duty_factor(contact_s: ArrayLike, stride_s: ArrayLike) -> Result:
    """Part of the stride that the foot spends on the ground.

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
        If a time is not positive, or the contact is not shorter than the stride.

    References
    ----------
    Definition; Alexander R.McN. et al. 1979, Journal of Zoology 189, 135-144.

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
    return _inputs.plain(contact / stride)


def landing_vector(
    track: Track,
    contact: int = 0,
    clearance_mm: float | None = None,
    window_s: float | None = None,
) -> Landing:
    """Speed, direction, pitch and slip of the landing foot, each with its standard error.

    A cubic is fitted to the last `window_s` of flight and read off where it meets the ground;
    nothing after contact touches it, so the sudden stop cannot blunt the speed. Two errors are
    added in squares: point error through the fit, and what a cubic cannot follow, judged by the
    fourth-order term of a quartic through twice the window. Slip is the way from contact to
    the mean position in the middle third of the stance; pitch (two marks) is the turn of the
    line between the marks against the same middle third, where the foot stands flat.

    Valid for a mark moving relative to the ground. The mark's own landing is meant: a foot that
    comes down heel first rotates on before a mark at the toe is down. The film must show at
    least four frames of flight in the window, which no film does at 30 frames a second.

    Parameters
    ----------
    track : Track
        Raw track with a ground reference.
    contact : int
        Which contact of the film, counted from 0.
    clearance_mm : float, optional
        Height above the ground that still counts as down [mm]; see ``contact_times``.
    window_s : float, optional
        Length of flight that is described by one cubic [s]; by default 0.07 or 0.1,
        whichever gives the landing speed with the smallest standard error.

    Returns
    -------
    Landing
        Speeds [m/s], angles [degrees], slip [mm] and errors.

    Raises
    ------
    ValueError
        Where the film cannot answer: no ground reference, smoothed track, no such contact, a
        stance of under three frames or without its middle, too few frames of flight, or a
        speed that is smaller than twice its own error.

    References
    ----------
    Model of our own (least squares on one side of a kink); first-order propagation of errors.

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
    first, last = _stance_frames(track, clearance_mm)
    ends = last[first > 0]
    starts = first[first > 0]
    which = int(_single("contact", contact, at_least=0, whole=True))
    if which >= starts.size:
        raise ValueError(
            f"contact must be one of the {starts.size} in the film, counted from 0 (got {which})"
        )
    flight = _best_flight(track, int(starts[which]), window_s, last)
    if flight.refusal:
        raise ValueError(f"the landing cannot be measured: {flight.refusal}")
    middle = _middle_third(track, int(starts[which]), int(ends[which]))
    ahead, height = track.positions_mm.T
    forward, forward_error = flight.slope(ahead / 1000, track.point_error_mm / 1000)
    up, up_error = flight.slope(height / 1000, track.point_error_mm / 1000)
    touched, touched_error = flight.value(ahead, track.point_error_mm)
    rest_error = track.point_error_mm / np.sqrt(middle.stop - middle.start)
    pitch, pitch_error = _pitch(track, flight, middle)
    landing = Landing(
        contact_s=flight.contact_s,
        contact_error_s=flight.contact_error_s,
        forward_m_s=forward,
        forward_error_m_s=forward_error,
        down_m_s=-up,
        down_error_m_s=up_error,
        slip_mm=float(ahead[middle].mean()) - touched,
        slip_error_mm=float(np.hypot(touched_error, rest_error)),
        pitch_deg=pitch,
        pitch_error_deg=pitch_error,
        flight_frames=flight.frames,
    )
    if landing.speed_m_s < 2 * landing.speed_error_m_s:
        raise ValueError(
            f"the landing cannot be measured: speed {landing.speed_m_s:.2g} m/s with a standard "
            f"error of {landing.speed_error_m_s:.2g} m/s; film faster, closer, or mark more finely"
        )
    return landing


@dataclass(frozen=True, eq=False)
class _Flight:
    """The end of a flight: when it ends, and how to read any series of the frames there.

    The weights turn the frames in the window (``late``) into the cubic's value, slope and bend
    at contact; ``quartic_of`` turns those of twice the window (``early``) into the fourth-order
    term, and the lacks say what the cubic misses for each unit of it.
    """

    contact_s: float
    contact_error_s: float
    frames: int
    refusal: str = ""
    late: slice = field(default_factory=lambda: slice(0))
    early: slice = field(default_factory=lambda: slice(0))
    value_of: FloatArray = field(default_factory=lambda: np.empty(0))
    slope_of: FloatArray = field(default_factory=lambda: np.empty(0))
    bend_of: FloatArray = field(default_factory=lambda: np.empty(0))
    quartic_of: FloatArray = field(default_factory=lambda: np.empty(0))
    value_lack: float = 0.0
    slope_lack: float = 0.0

    def value(self, series: FloatArray, error: float) -> tuple[float, float]:
        """`series` at contact and its standard error."""
        drift = float(self.slope_of @ series[self.late]) * self.contact_error_s
        return self._read(series, error, self.value_of, self.value_lack, drift)

    def slope(self, series: FloatArray, error: float) -> tuple[float, float]:
        """Rate of change of `series` at contact [1/s] and its standard error."""
        drift = float(self.bend_of @ series[self.late]) * self.contact_error_s
        return self._read(series, error, self.slope_of, self.slope_lack, drift)

    def speed_error(self, track: Track) -> float:
        """Standard error of forward and upward speed together [mm/s]."""
        ahead, height = track.positions_mm.T
        forward = self.slope(ahead, track.point_error_mm)[1]
        return float(np.hypot(forward, self.slope(height, track.point_error_mm)[1]))

    def _read(
        self, series: FloatArray, error: float, weights: FloatArray, lack: float, drift: float
    ) -> tuple[float, float]:
        noise = error * np.linalg.norm(weights)
        missed = lack * (self.quartic_of @ series[self.early])
        return float(weights @ series[self.late]), float(np.sqrt(noise**2 + missed**2 + drift**2))


def _best_flight(
    track: Track, down: int, window_s: float | None, last: NDArray[np.intp]
) -> _Flight:
    """The flight before frame `down` through the window given, or the one that errs least."""
    if window_s is not None:
        return _flight_before(track, down, _single("window_s", window_s, above=0), last)
    flights = [_flight_before(track, down, window, last) for window in _WINDOWS_S]
    able = [flight for flight in flights if not flight.refusal]
    return min(able, key=lambda flight: flight.speed_error(track)) if able else flights[-1]


def _flight_before(track: Track, down: int, window_s: float, last: NDArray[np.intp]) -> _Flight:
    """The flight that ends at frame `down`, the first of a stance."""
    times, height = track.times_s, track.positions_mm[:, 1] - _ground(track)
    # Without a fit: after the last frame above, before the first that cannot still be sinking.
    sure = down if height[down] <= track.point_error_mm else down + 1
    middle = float(times[down - 1] + times[sure]) / 2
    chance = float(times[sure] - times[down - 1]) / np.sqrt(12)
    before = last[last < down]
    take_off = int(before[-1]) + 1 if before.size else 0  # flight begins after the last stance
    late, early = (
        slice(max(take_off, int(np.searchsorted(times, times[down] - k * window_s - 1e-9))), down)
        for k in (1, 2)
    )
    frames, all_frames = late.stop - late.start, early.stop - early.start
    if frames < _FEWEST_FLIGHT_FRAMES or all_frames < _FEWEST_FLIGHT_FRAMES + 2:
        refusal = (
            f"the film shows {frames} frames of the last {window_s:g} s of flight and "
            f"{all_frames} of the last {2 * window_s:g} s, where {_FEWEST_FLIGHT_FRAMES} and "
            f"{_FEWEST_FLIGHT_FRAMES + 2} are needed: begin earlier, or film faster than "
            f"{track.frames_per_s:.0f} frames a second"
        )
        return _Flight(middle, chance, frames, refusal)
    # Time in windows, 0 at frame `down`: keeps the powers of the cubic near one.
    tau, tau_early = ((times[part] - times[down]) / window_s for part in (late, early))
    cubic = np.linalg.pinv(np.vander(tau, 4, increasing=True))  # least squares, 4 x frames
    root = _meets_ground(cubic @ height[late], float(tau[-1]))
    at = (middle - float(times[down])) / window_s if root is None else root
    powers = np.array([1, at, at**2, at**3])
    slopes = np.array([0, 1, 2 * at, 3 * at**2]) / window_s
    flight = _Flight(
        contact_s=float(times[down]) + at * window_s,
        contact_error_s=0.0,
        frames=frames,
        late=late,
        early=early,
        value_of=powers @ cubic,
        slope_of=slopes @ cubic,
        bend_of=np.array([0, 0, 2, 6 * at]) @ cubic / window_s**2,
        quartic_of=np.linalg.pinv(np.vander(tau_early, 5, increasing=True))[4],
        # a pure fourth power, less what the cubic makes of it
        value_lack=float(at**4 - powers @ cubic @ tau**4),
        slope_lack=float(4 * at**3 / window_s - slopes @ cubic @ tau**4),
    )
    if root is not None:  # an error in height is an error in time by the speed of descent
        speed = abs(flight.slope(height, 0.0)[0])
        chance = flight.value(height, track.point_error_mm)[1] / speed
    return replace(flight, contact_error_s=float(chance))


def _meets_ground(cubic: FloatArray, start: float) -> float | None:
    """Where a cubic height first comes down to zero after `start`, within half a window.

    A cubic that point error bends up before the ground is followed along its tangent at
    `start`; None for a mark that does not come down at all there.
    """
    curve = np.polynomial.Polynomial(cubic)
    roots = curve.roots()
    roots = roots[np.abs(np.imag(roots)) < 1e-9].real
    roots = roots[(roots >= start) & (roots <= 0.5) & (curve.deriv()(roots) < 0)]
    if roots.size:
        return float(roots.min())
    fall = -float(curve.deriv()(start))
    tangent = start + float(curve(start)) / fall if fall > 0 else np.inf
    return float(tangent) if start <= tangent <= 0.5 else None


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
    default = max(_CLEARANCE_ERRORS * track.point_error_mm, _CLEARANCE_MM)
    clearance = _single("clearance_mm", default if clearance_mm is None else clearance_mm, above=0)
    down = np.flatnonzero(height <= clearance)
    if down.size == 0:
        raise ValueError(
            f"the mark never comes within clearance_mm = {clearance:g} of the ground "
            f"(lowest {height.min():.3g} mm above ground_mm): no contact in this film"
        )
    if height.max() <= clearance:
        raise ValueError(
            f"the mark never rises more than clearance_mm = {clearance:g} above the ground: "
            "no landing and no lift-off in this film"
        )
    apart = np.flatnonzero(np.diff(times[down]) >= _SHORTEST_SWING_S)
    first, last = down[np.r_[0, apart + 1]], down[np.r_[apart, down.size - 1]]
    short = last - first + 1 < _FEWEST_CONTACT_FRAMES
    cut = (first == 0) | (last == times.size - 1)
    if (short & ~cut).any():
        place = int(np.argmax(short & ~cut))
        raise ValueError(
            f"the contact at {times[first[place]]:.3g} s shows in only "
            f"{last[place] - first[place] + 1} frames and {_FEWEST_CONTACT_FRAMES} are needed: "
            f"at {track.frames_per_s:.0f} frames a second this film cannot time it"
        )
    return first[~short], last[~short]


def _middle_third(track: Track, first: int, last: int) -> slice:
    """Frames of the middle third of a stance: after the slip, before the heel rises."""
    times = track.times_s
    length = float(times[last] - times[first])
    if last == times.size - 1 and length < _SHORTEST_SWING_S:
        raise ValueError(
            f"the film ends {length:.3g} s after contact: slip and pitch are told from the middle "
            f"of the stance (film on for {_SHORTEST_SWING_S:g} s at least)"
        )
    begin = np.searchsorted(times, times[first] + length / 3 - 1e-9)
    end = np.searchsorted(times, times[first] + 2 * length / 3 + 1e-9)
    return slice(int(begin), max(int(end), int(begin) + 1))


def _pitch(track: Track, flight: _Flight, middle: slice) -> tuple[float | None, float | None]:
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
    error = np.sqrt(2) * track.point_error_mm / float(length.mean())
    at_contact, contact_error = flight.value(angle, error)
    rest_error = error / np.sqrt(middle.stop - middle.start)
    pitch = at_contact - float(angle[middle].mean())
    return float(np.degrees(pitch)), float(np.degrees(np.hypot(contact_error, rest_error)))


def _low_pass(series: FloatArray, track: Track, cutoff_hz: float) -> FloatArray:
    """Second-order Butterworth, forward and backward, gain 0.7071 at `cutoff_hz`."""
    from scipy.signal import butter, filtfilt  # here: who only times contacts needs no scipy

    numerator, denominator = butter(
        2, corrected_cutoff_hz(cutoff_hz, track.frames_per_s), fs=track.frames_per_s
    )
    return np.asarray(filtfilt(numerator, denominator, series, axis=0), dtype=np.float64)


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

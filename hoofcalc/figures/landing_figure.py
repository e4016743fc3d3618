"""Lesson 01's figure: a foot comes down before a camera, and what its track can say of it.

The film is played, stopped and stepped; the foot, or a point of its track, is pulled through it.
The motion is the invented yard's; the film (frames, point error) is made here from it with a
generator whose seed is the film's number. Times, speeds and errors are those of
`hoofcalc.landing`.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from hoofcalc import datasets
from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import FloatArray
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import (
    Fixed,
    Narrow,
    Panel,
    Series,
    Style,
    level_line,
    rectangle,
    scale_bar,
    upright_line,
)
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values, in_and_out
from hoofcalc.landing import (
    COVERS,
    LEAVES_OUT,
    Landing,
    Track,
    contact_times,
    duty_factor,
    landing_vector,
    velocity,
)
from hoofcalc.landing import smooth as smoothed_track
from hoofcalc.profile import Profile

_BEFORE_S, _AFTER_S = -0.12, 0.06  # what the track's panel shows around the heel's first touch
_HIGHEST_MM = 150.0
_LEFT_MM, _RIGHT_MM = -330.0, 50.0  # outlines of the foot are drawn with their toe in here
_FASTEST_FORWARD, _FASTEST_BACK, _FASTEST_DOWN = 4.0, -1.5, 4.0  # [m/s]
_APART_S = 0.02  # outlines closer than this would hide each other
_PULL_MM = 6.0  # so far the hand pulls the foot for each millisecond of film
_HIGH_PX = 290
_NONE = np.empty((0, 2))
_WORDS = {
    "interval_at": np.array([[_LEFT_MM + 8, 252.0]]),
    "angle_at": np.array([[_FASTEST_FORWARD - 0.1, 0.75]]),
    "truth_says": "truth",
}
_TOE_MARK_MM = np.array([8.0, -10.0])  # from the toe mark to the tip of the toe, foot flat


def compute(
    *,
    frames_per_s: float,
    point_error_mm: float,
    smoothing_hz: float,
    film_number: float,
    played_ms: float,
    gait: str,
    limb: str,
) -> dict[str, Any]:
    """A film of one step, its track, and what the track says of the landing.

    Parameters
    ----------
    frames_per_s
        Frame rate [1/s].
    point_error_mm
        Standard deviation of each digitised coordinate [mm].
    smoothing_hz
        Cutoff of the smoothed track beside the raw one [Hz]; 0 for none.
    film_number
        Which film of the same step: when its first frame falls, and how the hand erred.
    played_ms
        How far the film has been played, counted from the heel's first touch [ms].
    gait, limb
        As for `hoofcalc.datasets.track`.

    Returns
    -------
    dict
        Points for every series [mm, ms or m/s], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If gait or limb is unknown.
    """
    step = _step(gait, limb)
    truth = step["truth"]
    film, landing, refusal, times, no_times = _read(
        gait, limb, frames_per_s, point_error_mm, int(film_number)
    )
    since = film.times_s - truth.contact_s
    height = film.positions_mm[:, 1] - step["ground_mm"]
    touched_s = truth.contact_s + truth.flat_after_s if landing is None else landing.contact_s
    smooth = _smoothed(step, film, frames_per_s, smoothing_hz, touched_s)

    # the frame on show is the last one that the film has reached; earlier ones stay as outlines
    down = int(np.searchsorted(since, 0.0))
    shown = max(int(np.searchsorted(since, played_ms / 1000, side="right")) - 1, 0)
    landed = shown >= down
    measured: dict[str, Any] = dict.fromkeys(
        ("band", "contact_line", "flight", "arrow", "box"), _NONE
    )
    if landing is not None and landed:
        measured = _landing_drawn(landing, truth.contact_s, step["ground_mm"])
    return {
        **_frames_seen(step, film, frames_per_s, shown, down),
        **_played(step, film, played_ms, shown),
        **measured,
        "interval": f"a frame every {1000 / frames_per_s:.3g} ms",
        "shown_ms": 1000 * float(since[shown]),
        "shown_mm": float(height[shown]),
        "landed": landed,
        "smooth": smooth.line,
        "smooth_at": smooth.at if landed else _NONE,
        "truth_at": np.array([[truth.landing_forward_m_s, -truth.landing_down_m_s]]),
        "angle": (
            "film not over"
            if not landed
            else "no landing"
            if landing is None
            else f"{landing.descent_deg:.0f}° ± {2 * landing.descent_error_deg:.0f}°"
        ),
        "truth_says_at": np.array(
            [[truth.landing_forward_m_s + 0.6, -truth.landing_down_m_s + 0.1]]
        ),
        "landing": landing,
        "refusal": refusal,
        "times": times,
        "no_times": no_times,
        "smooth_speed": smooth.speed_m_s,
        "truth": truth,
        **_WORDS,
    }


def _played(step: Results, film: Track, played_ms: float, shown: int) -> dict[str, Any]:
    """The track up to the frame on show, in the picture and against time, and the hand's place."""
    since, so_far = film.times_s - step["truth"].contact_s, slice(shown + 1)
    height = film.positions_mm[:, 1] - step["ground_mm"]
    ahead = film.positions_mm[so_far, 0]
    near = (ahead > _LEFT_MM) & (ahead < _RIGHT_MM)
    near &= (since[so_far] < _AFTER_S) & (height[so_far] < 220)
    now_s = step["truth"].contact_s + played_ms / 1000
    mark = _between(np.array([now_s]), step["times"], step["toe"])
    return {
        "marks": np.column_stack([ahead, height[so_far] + step["ground_mm"]])[near],
        "points": _seen(since[so_far], height[so_far]),
        "point": np.array([[played_ms, np.clip(height[shown], 0, _HIGHEST_MM - 4)]]),
        "now": np.array([[played_ms, -12.0], [played_ms, _HIGHEST_MM]]),
        "mark": np.clip(mark, [_LEFT_MM + 14, 0.0], [_RIGHT_MM - 14, 240.0]),
        "played_says": f"{played_ms:.0f} milliseconds from the heel's touch",
    }


class _Read(NamedTuple):
    """A film, and what it says: its landing and its times, or why it does not."""

    film: Track
    landing: Landing | None
    refusal: str
    times: tuple[float, ...] | None
    no_times: str


@lru_cache(maxsize=4)  # while it is played it stays the same
def _read(gait: str, limb: str, frames_per_s: float, point_error_mm: float, number: int) -> _Read:
    film = _film(_step(gait, limb), frames_per_s, point_error_mm, number)
    landing, refusal = None, ""
    try:
        landing = landing_vector(film)
    except ValueError as reason:
        refusal = str(reason).removeprefix("the landing cannot be measured: ")
    return _Read(film, landing, refusal, *_times(film))


class _Smooth(NamedTuple):
    """The smoothed track: its height, its speed at the touch [m/s], and where that is drawn."""

    line: FloatArray = _NONE
    speed_m_s: list[float] | None = None
    at: FloatArray = _NONE


def _smoothed(
    step: Results, film: Track, frames_per_s: float, smoothing_hz: float, touched_s: float
) -> _Smooth:
    """The track below a cutoff; nothing for none, or for one that the frames cannot show."""
    if not 0 < smoothing_hz < frames_per_s / 2:
        return _Smooth()
    since = film.times_s - step["truth"].contact_s
    soft = smoothed_track(film, smoothing_hz).positions_mm[:, 1] - step["ground_mm"]
    both = velocity(film, smoothing_hz)
    speed = [float(np.interp(touched_s, film.times_s, part)) for part in both.T]
    return _Smooth(_seen(since, soft), speed, _held(np.array([speed])))


def _frames_seen(
    step: Results, film: Track, frames_per_s: float, shown: int, down: int
) -> dict[str, Any]:
    """The foot in the frame on show, and earlier ones as outlines; `down` is the first landed."""
    landed = shown >= down
    every = max(1, round(_APART_S * frames_per_s))
    picked = [
        at
        for at in range(min(shown, down) - 1, 0, -every)
        if _pose(step, film.times_s[at])[0][0] > _LEFT_MM
    ]
    last, earlier = (picked[:1], picked[1:6]) if landed else ([], picked[:6])
    toe, pitch = _pose(step, film.times_s[min(shown, down)] if landed else film.times_s[shown])
    _, parts = _foot()
    drawn = {
        name: _placed(place, toe, pitch) for name, place in parts.items() if name != "foot_ground"
    }
    return {
        **drawn,
        "earlier": _outlines(step, film.times_s[earlier]),
        "last": _outlines(step, film.times_s[last]),
    }


def _times(film: Track) -> tuple[tuple[float, ...] | None, str]:
    """Stance, stride, their errors [s] and the duty factor; or why they cannot be told."""
    try:
        contacts = contact_times(film)
        stance, stride = float(contacts.stance_s[0]), float(contacts.stride_s[0])
        duty = float(np.asarray(duty_factor(stance, stride)))
    except ValueError as reason:
        return None, str(reason)
    errors = float(contacts.stance_error_s[0]), float(contacts.stride_error_s[0])
    return (stance, errors[0], stride, errors[1], duty), ""


def _landing_drawn(landing: Landing, touched_s: float, ground_mm: float) -> dict[str, Any]:
    """The landing that a film shows: its moment with a band, its flight, its arrow with a box."""
    moment = 1000 * (landing.contact_s - touched_s)
    wide = max(2000 * landing.contact_error_s, 0.25)
    end = np.array([[landing.forward_m_s, -landing.down_m_s]])
    off = 2 * np.array([landing.forward_error_m_s, landing.down_error_m_s])
    corners = end + off * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    return {
        "band": rectangle(moment - wide, moment + wide, -12.0, _HIGHEST_MM),
        "contact_line": np.array([[moment, -12.0], [moment, _HIGHEST_MM]]),
        "flight": _seen(landing.curve[:, 0] - touched_s, landing.curve[:, 2] - ground_mm),
        "arrow": np.vstack([[[0.0, 0.0]], _held(end)]),
        "box": _held(corners),
    }


def sentence(values: Values, results: Results) -> str:
    """What the picture shows, in one sentence with one finding.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        At most 25 words; the finding stands between pairs of asterisks.
    """
    rate, truth, landing = values["frames_per_s"], results["truth"], results["landing"]
    played, cutoff = values["played_ms"], values["smoothing_hz"]
    when = f"{abs(played):g}\u00a0ms {'before' if played < 0 else 'after'} the touch"
    if not played:
        when = "At the touch"
    if not results["landed"]:
        return (
            f"{when}, the last of {rate:g} frames a second shows the mark "
            f"**{max(results['shown_mm'], 0):.0f}\u00a0mm** up."
        )
    if cutoff and results["smooth_speed"] is None:
        return (
            f"Smoothing at {cutoff:g}\u00a0Hz needs **more than {2 * cutoff:g} frames** a second; "
            f"this film has {rate:g}."
        )
    if cutoff:
        down = -results["smooth_speed"][1]
        return (
            f"Smoothed at {cutoff:g}\u00a0Hz, the track says **{down:.2f}\u00a0m/s down** at "
            f"contact. The truth is {truth.landing_down_m_s:.2f}."
        )
    film = f"{when}: film {values['film_number']:.0f} at {rate:g} frames a second"
    if landing is None:
        few = " of the last " in results["refusal"]
        why = "too few frames catch it" if few else "its error is too large"
        return f"{film} **holds no landing**: {why}."
    return (
        f"{film}, points good to {values['point_error_mm']:g}\u00a0mm, says "
        f"**{_way(landing.descent_deg)}, ± {2 * landing.descent_error_deg:.0f}°**. "
        f"Truth: {truth.descent_deg:.0f}°."
    )


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers: of the film, of the landing, of the stance, and of the truth behind them.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        Measured values with their intervals, and the truth.
    """
    truth, landing, times = results["truth"], results["landing"], results["times"]
    sure: dict[str, tuple[float, float, str]] = {}
    rows = [
        Row("a frame every", f"{1000 / values['frames_per_s']:.3g}", unit="ms"),
        Row("points placed to", f"{values['point_error_mm']:g}", unit="mm"),
    ]
    if landing is None:
        rows.append(Row("landing", "cannot be told from this film"))
    else:
        after = 1000 * (landing.contact_s - truth.contact_s)
        sure["contact, after the heel's touch"] = after, 1000 * landing.contact_error_s, "ms"
        sure["speed at contact"] = landing.speed_m_s, landing.speed_error_m_s, "m/s"
        sure["angle of descent"] = landing.descent_deg, landing.descent_error_deg, "degrees"
    if times is None:
        rows.append(Row("stance", "cannot be told from this film"))
    else:
        stance, stance_error, stride, stride_error, duty = times
        duty_error = duty * np.hypot(stance_error / stance, stride_error / stride)
        sure["stride"] = stride, stride_error, "s"
        sure["stance"] = stance, stance_error, "s"
        sure["duty factor"] = duty, duty_error, ""
    early = f"{LEAVES_OUT}, and that the mark rises before the toe leaves"
    told = {
        name: HowSure.from_error(
            *each, COVERS, early if name in ("stance", "duty factor") else LEAVES_OUT
        )
        for name, each in sure.items()
    }
    return (
        *rows,
        *(Row.sure(name, each) for name, each in told.items()),
        Row("truth: speed", f"{truth.landing_speed_m_s:.2f}", unit="m/s"),
        Row("truth: angle of descent", f"{truth.descent_deg:.0f}", unit="degrees"),
        Row("truth: duty factor", f"{truth.duty_factor:.2f}"),
        *in_and_out(*told.values()),
    )


def alt(values: Values, results: Results) -> str:
    """What is drawn, for those who cannot see it.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        Some sentences.
    """
    landing, cutoff = results["landing"], values["smoothing_hz"]
    smooth = ""
    if results["smooth_speed"] is not None:
        smooth = f"; a dashed line for the track smoothed at {cutoff:g} hertz"
    if not results["landed"]:
        track, speed = "the film has not reached the ground", "only the ring of the truth"
    elif landing is None:
        track = "no contact is marked"
        speed = "no arrow, only the ring of the truth"
    else:
        track = "a curve through the last ones in the air reaches the ground at the marked contact"
        speed = (
            f"an arrow {_way(landing.descent_deg)}, with a box of twice its error, and the ring "
            "of the truth"
        )
    return (
        f"Left: a foot in the frame at {results['shown_ms']:.0f} milliseconds from the heel's "
        "touch, dashed outlines of it in frames before, coming down from behind, and the toe "
        f"mark's points. Middle: {len(results['points'])} points of its height against time; "
        f"{track}{smooth}. Right: speed forward and down: {speed}."
    )


@lru_cache(maxsize=16)
def _step(gait: str, limb: str) -> dict[str, Any]:
    """The yard's motion of one step, without error."""
    track = datasets.track(gait, limb, 1000)
    toe, heel = np.asarray(track["positions_mm"]), np.asarray(track["second_mm"])
    along = toe - heel
    return {
        "truth": datasets.track_truth(gait, limb),
        "times": np.asarray(track["times_s"]),
        "toe": toe,
        "pitch": np.degrees(np.arctan2(along[:, 1], along[:, 0])),
        "ground_mm": float(np.asarray(track["ground_mm"])),
    }


def _film(step: Results, frames_per_s: float, point_error_mm: float, number: int) -> Track:
    """The toe mark as a hand places it in each frame of a film of its own."""
    rng = np.random.default_rng(number)
    times = step["times"]
    frames = np.arange(times[0] + rng.random() / frames_per_s, times[-1], 1 / frames_per_s)
    place = _between(frames, times, step["toe"])
    place += point_error_mm * rng.standard_normal(place.shape)
    return Track(frames, place, ground_mm=step["ground_mm"], point_error_mm=point_error_mm)


def _between(at: FloatArray, times: FloatArray, places: FloatArray) -> FloatArray:
    return np.column_stack([np.interp(at, times, part) for part in places.T])


def _pose(step: Results, time_s: float) -> tuple[FloatArray, float]:
    """Where the tip of the toe is [mm], and how far the toe is up [degrees]."""
    mark = np.array([np.interp(time_s, step["times"], part) for part in step["toe"].T])
    pitch = float(np.interp(time_s, step["times"], step["pitch"]))
    return mark + _turned(_TOE_MARK_MM, pitch), pitch


@lru_cache(maxsize=1)
def _foot() -> tuple[Profile, dict[str, FloatArray]]:
    """The yard's foot in line, and its drawing."""
    foot = Profile(**datasets.story_feet()["in line"].landmarks)
    return foot, foot_from_side(foot)


@lru_cache(maxsize=1)
def _ring() -> FloatArray:
    """The outline of the hoof wall, closed, and a break."""
    wall = _foot()[1]["foot_wall"]
    return np.vstack([wall, wall[:1], np.full((1, 2), np.nan)])


def _turned(points: FloatArray, pitch_deg: float) -> FloatArray:
    cosine, sine = np.cos(np.radians(pitch_deg)), np.sin(np.radians(pitch_deg))
    return np.asarray(points @ np.array([[cosine, sine], [-sine, cosine]]))


def _placed(points: FloatArray, toe: FloatArray, pitch_deg: float) -> FloatArray:
    """Points of the foot where the foot is."""
    return np.asarray(_turned(points - _foot()[0].toe_ground, pitch_deg) + toe)


def _outlines(step: Results, times_s: FloatArray) -> FloatArray:
    """The hoof wall in some frames, one after the other."""
    if not len(times_s):
        return _NONE
    return np.vstack([_placed(_ring(), *_pose(step, time)) for time in times_s])


def _seen(since_s: FloatArray, height_mm: FloatArray) -> FloatArray:
    """Heights against time [ms], as far as the panel shows them."""
    kept = (since_s > _BEFORE_S) & (since_s < _AFTER_S)
    kept &= (height_mm < _HIGHEST_MM) & (height_mm > -12)
    return np.column_stack([1000 * since_s, height_mm])[kept]


def _held(speeds: FloatArray) -> FloatArray:
    """Speeds forward and up [m/s], kept within the panel."""
    low, high = (_FASTEST_BACK, -_FASTEST_DOWN), (_FASTEST_FORWARD, 0.5)
    return np.asarray(np.clip(speeds, low, high))


def _way(descent_deg: float) -> str:
    """A direction of travel in words."""
    if abs(descent_deg) < 0.5:
        return "straight down"
    side = "forward" if descent_deg > 0 else "backward"
    return f"{abs(descent_deg):.0f}° {side}"


_STEPS = (
    ("trot", "fore"),
    ("trot", "hind"),
    ("walk", "fore"),
    ("walk", "hind"),
    ("canter", "leading fore"),
    ("canter", "trailing fore"),
)

LANDING = Figure(
    name="landing",
    title="A foot comes down: the film, its track, and the speed at contact",
    sliders=(
        Slider(
            name="played_ms",
            label="The film",
            unit="ms",
            minimum=-90,  # before that the foot is out of the picture
            maximum=1000 * _AFTER_S,
            step=2,
            start=8,
            says=lambda played: f"{played:+g}\u00a0ms" if played else "heel touches",
        ),
        Slider("frames_per_s", "Frame rate", "/s", 30, 960, step=30, start=240, log=True),
        Slider("point_error_mm", "Point error", "mm", 0.2, 3, step=0.1, start=1),
        Slider("film_number", "Film", "of 20", 1, 20, step=1, start=1),
        Slider(
            name="smoothing_hz",
            label="Smoothing",
            unit="Hz",
            minimum=0,
            maximum=60,
            step=5,
            start=0,
            says=lambda cutoff: f"{cutoff:g}\u00a0Hz" if cutoff else "off",
        ),
    ),
    more=("smoothing_hz",),
    play="played_ms",
    choices={"gait": "trot", "limb": "fore"},
    presets=tuple(
        Preset(
            label=gait.capitalize(),
            note=limb.removesuffix(" fore") if " " in limb else limb,
            values={"gait": gait, "limb": limb},
        )
        for gait, limb in _STEPS
    ),
    presets_label="Gait and limb",
    handles=(
        Handle(
            name="foot",
            label="The foot in the film",
            kind="along x",
            x="played_ms",
            at="mark",
            says="played_says",
            per=_PULL_MM,
        ),
        Handle(
            name="point",
            label="The point of its track",
            kind="along x",
            x="played_ms",
            at="point",
            says="played_says",
            panel=1,
        ),
    ),
    compute=compute,
    sentence=sentence,
    table=table,
    alt=alt,
    panels=(
        Panel(
            x_limits=(_LEFT_MM, _RIGHT_MM),
            y_limits=(-62, 276),
            equal=True,
            axes=False,
            width=338,
            height=286,
            narrow=Narrow(height=240, y_limits=(-62, 418), share=0.55),
            fixed=(
                Fixed("ground", ((_LEFT_MM, 0.0), (_RIGHT_MM, 0.0))),
                *scale_bar(-322, -54, 100),
            ),
        ),
        Panel(
            x_limits=(1000 * _BEFORE_S, 1000 * _AFTER_S),
            y_limits=(-12, _HIGHEST_MM),
            x_label="time (ms)",
            y_label="height of the mark (mm)",
            width=238,
            height=_HIGH_PX,
            narrow=Narrow(height=240, share=0.45),
            x_ticks=(-120, (0, "touch"), 60),
            y_ticks=tuple(range(0, 151, 50)),
            fixed=(
                level_line((1000 * _BEFORE_S, 1000 * _AFTER_S), 0, width=2),
                upright_line(0, (-12, _HIGHEST_MM), width=1.5, dash=(4, 4)),
            ),
        ),
        Panel(
            x_limits=(_FASTEST_BACK, _FASTEST_FORWARD),
            y_limits=(-_FASTEST_DOWN, 1.2),
            x_label="forward (m/s)",
            y_label="down (m/s)",
            equal=True,
            width=180,
            height=_HIGH_PX,
            narrow=Narrow(hide=True),
            x_ticks=(0, 2, 4),
            y_ticks=tuple((at, f"{-at}") for at in (-4, -2, 0)),
            fixed=(
                level_line((_FASTEST_BACK, _FASTEST_FORWARD), 0),
                upright_line(0, (-_FASTEST_DOWN, 1.2)),
            ),
        ),
    ),
    series=(
        *(one for one in side_series() if one.data != "foot_ground"),
        Series("line", "earlier", style=Style(colour="grey", width=1.5, dash=(4, 4))),
        Series("line", "last", style=Style(colour="blue", width=2.5, dash=(8, 4))),
        Series("points", "marks", style=Style(colour="blue", size=6)),
        Series("words", "interval_at", words="interval", style=Style(colour="quiet", bold=False)),
        Series(
            "area",
            "band",
            panel=1,
            style=Style(colour="blue", width=0, fill="sky", fill_strength=0.6),
        ),
        Series("line", "contact_line", panel=1, style=Style(colour="blue", width=1.5)),
        Series("line", "smooth", panel=1, style=Style(colour="vermillion", width=2.5, dash=(7, 4))),
        Series("line", "flight", panel=1, style=Style(colour="blue", width=3)),
        Series("points", "points", panel=1, style=Style(colour="ink", size=6)),
        Series("line", "now", panel=1, style=Style(colour="ink", width=1.5)),
        Series(
            "area",
            "box",
            panel=2,
            style=Style(colour="blue", width=1.5, fill="sky", fill_strength=0.4),
        ),
        Series("arrow", "arrow", panel=2, style=Style(colour="blue", width=4)),
        Series(
            "points",
            "smooth_at",
            panel=2,
            style=Style(colour="vermillion", mark="cross", size=14, width=3),
        ),
        Series(
            "points", "truth_at", panel=2, style=Style(colour="ink", mark="ring", size=16, width=3)
        ),
        Series(
            "words",
            "truth_says_at",
            words="truth_says",
            panel=2,
            style=Style(colour="quiet", bold=False),
        ),
        Series(
            "words",
            "angle_at",
            words="angle",
            panel=2,
            style=Style(colour="ink", size=16, align="right"),
        ),
    ),
    note=(
        "Foot, motion and films are invented, of the yard Brackenfold: each film is made from the "
        "known motion, so that the truth can stand beside what is measured. The mark is on the "
        "toe; its height is counted from where it stands. Blue outline: the last frame in the "
        "air. Blue band and box: twice the error. Cross and dashes: after smoothing."
    ),
)

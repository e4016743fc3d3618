"""Invented film of a hoof that walks or trots through the picture, with its true path.

The camera stands still and looks square at the line of travel, so a millimetre is as many pixels
everywhere. The motion is a model: the hoof lands flat and stops within a few milliseconds, rests,
lifts its heel about the toe and swings on. Every frame is the mean of what passes while it is
exposed. Pastern and cannon only follow, to look at.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._files import written_whole
from hoofcalc._inputs import FloatArray
from hoofcalc.case.synthetic.drawn_photograph import light_field, paint_side, write_invented
from hoofcalc.case.synthetic.painting import (
    Painting,
    Picture,
    as_light,
    as_opencv,
    grain,
    grained,
    laid,
    lit,
    speckle,
)
from hoofcalc.profile import Profile

#: Length of the striped pole that lies in the line of travel [mm].
POLE_MM = 1000.0
_GROUND, _RAIL, _FAR = (150, 134, 112), (206, 204, 198), (120, 132, 118)
_WHITE, _BLACK = (222, 222, 218), (30, 30, 32)
#: Of the picture's height, from the top: where the hoof stands, and where the ground ends.
_STANDS, _HORIZON = 0.80, 0.42
_FINER = 1.3  # pixels of the painted foot for one of the film
_MOST_PARTS = 24  # of one exposure
_BESIDE_MM = 200.0  # picture beside the path of the toe
#: Polynomial of degree 5 over a time of 1 with given value, rate and acceleration at its beginning
#: and, in the other order, at its end: a row for each of the six, from the power 0 up.
_QUINTIC = np.array(
    [
        [1, 0, 0, -10, 15, -6],
        [0, 1, 0, -6, 8, -3],
        [0, 0, 0.5, -1.5, 1.5, -0.5],
        [0, 0, 0, 0.5, -1, 0.5],
        [0, 0, 0, -4, 7, -3],
        [0, 0, 0, 10, -15, 6],
    ]
)


@dataclass(frozen=True, kw_only=True)
class Stride:
    """How a hoof goes: one stride, from contact to contact.

    Parameters
    ----------
    speed_m_s, stride_s
        Speed of travel [m/s] and time of a stride [s].
    duty_factor
        Part of the stride that the hoof spends on the ground [no unit].
    down_m_s, forward_m_s
        Speed of the hoof just before contact [m/s].
    stop_s
        How long it takes to stop after contact, while the ground gives a little [s].
    heel_off_part
        Last part of the stance, in which the heel lifts [no unit].
    tip_deg
        How far the hoof has turned over its toe when it leaves [degrees].
    pick_up_m_s2
        Acceleration with which the toe leaves the ground, upwards [m/s2].
    """

    speed_m_s: float
    stride_s: float
    duty_factor: float
    down_m_s: float
    forward_m_s: float
    stop_s: float = 0.002
    heel_off_part: float = 0.25
    tip_deg: float = 30.0
    pick_up_m_s2: float = 20.0

    @property
    def stance_s(self) -> float:
        """Time on the ground [s]."""
        return self.duty_factor * self.stride_s

    @property
    def length_mm(self) -> float:
        """Length of a stride [mm]."""
        return 1000.0 * self.speed_m_s * self.stride_s

    def pose(self, since_s: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Tip of the toe, forward and up [mm], and turn of the hoof, toe up [degrees].

        Parameters
        ----------
        since_s
            Time since the first contact [s]; strides follow each other and have gone before.

        Returns
        -------
        tuple of arrays
            Forward from where the toe first comes to rest; up from the ground.
        """
        whole, t = np.divmod(np.asarray(since_s, dtype=np.float64), self.stride_s)
        stance, swing = self.stance_s, self.stride_s - self.stance_s
        # it touches at height 0 and is pressed in by what it still falls: its speed eases out
        u = np.clip(t / self.stop_s, 0.0, 1.0)
        still_to_go = 1000.0 * self.stop_s * (0.5 - (u - u**3 + 0.5 * u**4))
        tip_s = self.heel_off_part * stance
        turn = -self.tip_deg * np.clip((t - stance + tip_s) / tip_s, 0.0, 1.0) ** 3
        on_ground = [-self.forward_m_s * still_to_go, self.down_m_s * still_to_go, turn]
        touch = 500.0 * self.stop_s
        rate = -3.0 * self.tip_deg / tip_s
        # forward, up and turn: value, rate and acceleration where the swing begins and ends
        leaves = [
            [0.0, 0.0, -self.tip_deg],
            [0.0, 0.0, rate],
            [40_000.0, 1000.0 * self.pick_up_m_s2, rate**2 / 90.0],
        ]
        lands = [
            [self.length_mm - self.forward_m_s * touch, self.down_m_s * touch, 0.0],
            [1000.0 * self.forward_m_s, -1000.0 * self.down_m_s, 0.0],
            [-10_000.0, -12_000.0, 0.0],
        ]
        ends = np.array([*leaves, *lands[::-1]]) * swing ** np.array([[0], [1], [2], [2], [1], [0]])
        part = np.clip((t - stance) / swing, 0.0, 1.0)
        in_air = np.polynomial.polynomial.polyval(part, _QUINTIC.T @ ends)
        forward, up, turn = np.where(t > stance, in_air, on_ground)
        return forward + whole * self.length_mm, up, turn

    def matrices(self, since_s: ArrayLike) -> FloatArray:
        """From the foot, its toe at the origin, to (forward, up), shape (..., 2, 3)."""
        forward, up, turn = self.pose(since_s)
        c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
        rows = [np.stack([c, -s, forward], axis=-1), np.stack([s, c, up], axis=-1)]
        return np.stack(rows, axis=-2)


#: An invented walk and trot of a riding horse.
STRIDES = {
    "walk": Stride(speed_m_s=1.5, stride_s=1.10, duty_factor=0.62, down_m_s=0.85, forward_m_s=0.25),
    "trot": Stride(speed_m_s=3.0, stride_s=0.70, duty_factor=0.38, down_m_s=1.7, forward_m_s=0.7),
}


@dataclass(frozen=True, eq=False, kw_only=True)
class DrawnFilm:
    """An invented film that is drawn frame by frame, and what is true of it.

    Parameters
    ----------
    fps
        Frames taken in a second [1/s].
    width_px, height_px
        Size of the picture [px].
    travel
        Which way the horse goes: "right" or "left".
    mark_px
        Where the mark is in every frame, mean over its exposure, to the right and down from the
        upper left corner, shape (n, 2) [px].
    contacts_s, leavings_s
        When the hoof comes down and leaves, on the film's clock: frame n is taken at n / fps,
        which is the middle of its exposure [s].
    stride
        The motion.
    scale_px
        Ends of the striped pole and of the ground line by name [px].
    length_mm
        Length of the pole [mm].
    px_per_mm
        Pixels for a millimetre [px/mm].
    standing_mm
        Height of the mark above the ground line while the hoof stands [mm].
    """

    fps: float
    width_px: int
    height_px: int
    travel: str
    mark_px: FloatArray
    contacts_s: FloatArray
    leavings_s: FloatArray
    stride: Stride
    scale_px: Mapping[str, tuple[float, float]]
    length_mm: float
    px_per_mm: float
    standing_mm: float
    _scene: _Scene

    @property
    def count(self) -> int:
        """Number of frames."""
        return len(self.mark_px)

    def frames(self) -> Iterator[NDArray[np.uint8]]:
        """The frames one after another, each drawn when it is asked for.

        Yields
        ------
        array, shape (height, width, 3)
            Red, green and blue, 0 to 255.
        """
        return self._scene.frames()


def drawn_film(
    profile: Profile,
    gait: str = "trot",
    rng: np.random.Generator | None = None,
    *,
    fps: float = 240.0,
    width_px: int = 1280,
    height_px: int = 720,
    travel: str = "right",
    steps: int = 2,
    exposure_s: float = 0.001,
    light_change: float = 0.2,
    noise: float = 4.0,
    shadow: float = 0.4,
    mark_mm: tuple[float, float] = (-36.0, 23.0),
    radius_mm: float = 10.0,
    pause_s: float = 0.16,
) -> DrawnFilm:
    """Set up an invented film of a hoof with a painted mark.

    Parameters
    ----------
    profile
        One foot.
    gait
        "walk" or "trot": which of `STRIDES`.
    rng
        Source of the random numbers; left out, always the same ones.
    fps
        Frames taken in a second [1/s].
    width_px, height_px
        Size of the picture, even numbers [px].
    travel
        Which way the horse goes: "right" or "left".
    steps
        How many whole stances are in the picture.
    exposure_s
        How long each frame is exposed [s].
    light_change
        By which part the light swells and fades through the film, 0 to 1; a band of shade lies
        across the picture as well.
    noise
        Standard deviation of the camera's noise, of 255.
    shadow
        How dark shade and shadow are, 0 to 1.
    mark_mm
        Middle of the painted spot from the toe's ground point, forward and up [mm].
    radius_mm
        Its radius [mm].
    pause_s
        Film before the first contact and after the last leaving [s].

    Returns
    -------
    DrawnFilm
        Truth, and the frames.
    """
    step = STRIDES[gait]
    rng = rng or np.random.default_rng(0)
    # no contact falls on a frame, except by chance
    first = pause_s + float(rng.uniform(0, 1 / fps))
    contacts = first + step.stride_s * np.arange(steps, dtype=np.float64)
    leavings = contacts + step.stance_s
    times = np.arange(int((leavings[-1] + pause_s) * fps) + 1) / fps
    path = step.pose(times - first)[0]
    view = _View.along(path, width_px, height_px, travel)
    fastest_px = np.abs(np.gradient(path)).max() * fps * exposure_s * view.px_per_mm
    parts = int(np.clip(np.ceil(fastest_px), 2, _MOST_PARTS))  # about a pixel apart
    within = exposure_s * ((np.arange(parts) + 0.5) / parts - 0.5)
    matrices = step.matrices(times[:, None] + within - first)
    places = matrices[..., :2] @ np.array(mark_mm) + matrices[..., 2]
    scene = _Scene(
        to_px=view.to_px,
        matrices=matrices,
        cannon=step.matrices(times - first)[:, :, 2],
        foot=_foot(profile, travel, mark_mm, radius_mm, _FINER * view.px_per_mm, rng),
        background=_background(width_px, height_px, view, rng),
        light=_light(width_px, height_px, shadow, rng),
        swell=1.0 + light_change * np.sin(2 * np.pi * (times / times[-1] + rng.uniform())),
        noise=noise,
        shadow=shadow,
        seed=int(rng.integers(2**32)),
        sign=view.sign,
    )
    return DrawnFilm(
        fps=fps,
        width_px=width_px,
        height_px=height_px,
        travel=travel,
        mark_px=view.seen(places).mean(axis=1),
        contacts_s=contacts,
        leavings_s=leavings,
        stride=step,
        scale_px=view.scale_px(),
        length_mm=POLE_MM,
        px_per_mm=view.px_per_mm,
        standing_mm=float(mark_mm[1]),
        _scene=scene,
    )


@dataclass(frozen=True, eq=False)
class _View:
    """Where the camera looks: what of the line of travel is in the picture, and how large.

    The pole is striped, the level is the ground line; each is told by its two ends.
    """

    px_per_mm: float
    sign: float
    to_px: FloatArray
    pole_mm: FloatArray
    level_mm: FloatArray

    @classmethod
    def along(cls, path_mm: FloatArray, width_px: int, height_px: int, travel: str) -> _View:
        """So that the mark is in the picture from first to last frame."""
        sign = 1.0 if travel == "right" else -1.0
        seen_mm = float(np.ptp(path_mm)) + 2 * _BESIDE_MM
        px_per_mm = width_px / seen_mm
        middle = float(path_mm.min() + path_mm.max()) / 2 - 50.0
        to_px = px_per_mm * np.array([[sign, 0.0, 0.0], [0.0, -1.0, 0.0]])
        to_px[:, 2] = [width_px / 2 - sign * px_per_mm * middle, _STANDS * height_px]
        pole = np.array([[middle + 50.0 + end * POLE_MM, -26.0] for end in (-0.5, 0.5)])
        level = np.array([[middle + end * seen_mm, 0.0] for end in (-0.46, 0.46)])
        return cls(px_per_mm, sign, to_px, pole, level)

    def seen(self, places_mm: ArrayLike) -> FloatArray:
        """From (forward, up) to pixels."""
        return np.asarray(np.asarray(places_mm) @ self.to_px[:, :2].T + self.to_px[:, 2])

    def scale_px(self) -> dict[str, tuple[float, float]]:
        """Ends of the pole and of the ground line by name."""
        return {
            f"{name}_{end}": (float(at[0]), float(at[1]))
            for name, pair in (("scale", self.pole_mm), ("level", self.level_mm))
            for end, at in zip(("start", "end"), np.sort(self.seen(pair), axis=0), strict=True)
        }


@dataclass(frozen=True, eq=False, kw_only=True)
class _Scene:
    """All that a frame is made of."""

    to_px: FloatArray
    matrices: FloatArray
    cannon: FloatArray
    foot: tuple[Painting, Painting, FloatArray]
    background: Picture
    light: Picture
    swell: FloatArray
    noise: float
    shadow: float
    seed: int
    sign: float

    def frames(self) -> Iterator[NDArray[np.uint8]]:
        height, width = self.background.shape[:2]
        rng = np.random.default_rng(self.seed)
        empty = lit(self.background, self.light)
        noise = grain((height + 64, width + 64), self.noise, rng)
        for number, swell in enumerate(self.swell):
            frame = empty.copy()
            box = self._box(number, (-300.0, 420.0), (-60.0, 2000.0))
            if box is not None:
                frame[box] = lit(self._with_foot(number, box), self.light[box])
            down, across = rng.integers(0, 64, 2)
            shaken = noise[down : down + height, across : across + width]
            frame = grained(frame, shaken, float(swell))
            write_invented(frame)
            yield frame

    def _box(
        self, number: int, across_mm: tuple[float, float], up_mm: tuple[float, float]
    ) -> tuple[slice, slice] | None:
        """The part of the picture so far about the toe in a frame; None if it is outside."""
        height, width = self.background.shape[:2]
        reach = np.array([[x, y] for x in across_mm for y in up_mm])
        where = (self.matrices[number, :, :, 2][:, None] + reach).reshape(-1, 2)
        spots = where @ self.to_px[:, :2].T + self.to_px[:, 2]
        low = np.clip(np.floor(spots.min(axis=0)).astype(int) - 2, 0, [width, height])
        high = np.clip(np.ceil(spots.max(axis=0)).astype(int) + 2, 0, [width, height])
        return None if (high <= low).any() else np.s_[low[1] : high[1], low[0] : high[0]]

    def _with_foot(self, number: int, box: tuple[slice, slice]) -> Picture:
        """Shadow, leg and hoof over that part of the background."""
        foot, cannon, fetlock = self.foot
        shift, size = _corner_and_size(box)
        picture = lit(self.background[box], as_light(1 - self._thrown(number, shift, size)))
        # the leg only follows: once for each frame, at the middle of the exposure
        middle = self.matrices[number].mean(axis=0)
        at = middle[:, :2] @ fetlock + middle[:, 2]
        leans = 0.12 * np.arctan2(middle[1, 0], middle[0, 0])
        c, s = np.cos(leans), np.sin(leans)
        warp = self._warp(cannon, np.array([[c, -s, at[0]], [s, c, at[1]]]), shift)
        leg = (cv2.warpAffine(part, warp, size) for part in (cannon.colour, cannon.alpha))
        picture = laid(picture, *leg)
        near = self._box(number, (-300.0, 300.0), (-60.0, 280.0))
        if near is None:
            return picture
        corner, size = _corner_and_size(near)
        warps = [self._warp(foot, matrix, corner) for matrix in self.matrices[number]]
        smeared = (
            np.mean([cv2.warpAffine(part, warp, size) for warp in warps], axis=0).astype(np.uint8)
            for part in (foot.colour, foot.alpha)
        )
        left, top = (corner - shift).astype(int)
        about = np.s_[top : top + size[1], left : left + size[0]]
        picture[about] = laid(picture[about], *smeared)
        return picture

    def _warp(self, painting: Painting, pose: FloatArray, shift: FloatArray) -> FloatArray:
        """From the painting's pixels to those of the box, as OpenCV counts them."""
        matrix = np.vstack([self.to_px, [0, 0, 1]]) @ np.vstack([pose, [0, 0, 1]])
        matrix = matrix @ np.diag([self.sign, 1.0, 1.0]) @ np.linalg.inv(painting.to_px)
        matrix[:2, 2] -= shift
        return as_opencv(matrix)[:2]

    def _thrown(self, number: int, shift: FloatArray, size: tuple[int, int]) -> NDArray[np.float32]:
        """A soft shadow on the ground below the hoof, fainter and wider the higher it is."""
        forward, up = self.cannon[number]
        k = float(abs(self.to_px[1, 1]))
        centre = self.to_px[:, :2] @ np.array([forward - 60.0, -14.0]) + self.to_px[:, 2] - shift
        wide, deep = (80.0 + 0.3 * up) * k, (14.0 + 0.1 * up) * k
        across, down = (
            (((np.arange(many) + 0.5 - middle) / reach) ** 2).astype(np.float32)
            for many, middle, reach in zip(size, centre, (wide, deep), strict=True)
        )
        off = across + down[:, None]
        off *= np.sqrt(off)
        return np.asarray(np.exp(-off) * np.float32(self.shadow / (1 + max(up, 0.0) / 150.0)))


def _corner_and_size(box: tuple[slice, slice]) -> tuple[FloatArray, tuple[int, int]]:
    """Upper left corner, right and down, and width and height of a part of the picture [px]."""
    rows, columns = box
    corner = np.array([columns.start, rows.start], dtype=np.float64)
    return corner, (columns.stop - columns.start, rows.stop - rows.start)


def _foot(
    profile: Profile,
    travel: str,
    mark_mm: tuple[float, float],
    radius_mm: float,
    px_per_mm: float,
    rng: np.random.Generator,
) -> tuple[Painting, Painting, FloatArray]:
    """Hoof and pastern with the mark, the cannon above, and where they meet [mm]."""
    toe = profile.toe_ground
    moved = Profile(**{name: at - toe for name, at in profile.landmarks.items()})
    flip = np.array([1.0 if travel == "right" else -1.0, 1.0])
    foot = Painting((-320.0, -20.0), (320.0, 260.0), px_per_mm)
    fetlock = paint_side(foot, moved, {}, travel, rng, above_fetlock=False)
    turns = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    ring = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    for radius, colour in ((radius_mm, _WHITE), (0.45 * radius_mm, _BLACK)):
        foot.fill((np.array(mark_mm) + radius * ring) * flip, colour)
    cannon = Painting((-140.0, -40.0), (140.0, 2000.0), px_per_mm)
    leg = [(24, -14), (24, 40), (17, 90), (17, 240), (30, 290), (30, 340), (44, 480), (80, 760)]
    half = np.array([*leg, (110, 2000)], dtype=np.float64)
    outline = np.vstack([[0, -28], half, half[::-1] * [-1, 1]])
    cannon.fill(outline * flip, (104, 72, 50), grain=0.08, rng=rng)
    return foot, cannon, fetlock


def _background(width_px: int, height_px: int, view: _View, rng: np.random.Generator) -> Picture:
    """A track with a rail behind it, the striped pole in the line of travel, two pegs."""
    k = view.px_per_mm
    shape = (height_px, width_px)
    horizon = round(_HORIZON * height_px)
    picture = np.empty((*shape, 3), np.float32)
    hedge = 1 + 0.16 * speckle(shape, 90 * k, rng) + 0.05 * speckle(shape, 24 * k, rng)
    picture[:] = hedge[..., None] * np.array(_FAR)
    sand = 1 + 0.07 * speckle(shape, max(1, 5 * k), rng) + 0.05 * speckle(shape, 40 * k, rng)
    part = np.clip((np.arange(height_px) - horizon) / (0.02 * height_px), 0, 1)[:, None, None]
    picture += part * (sand[..., None] * np.array(_GROUND) - picture)
    for high in (0.08, 0.24):
        rail = slice(round(high * height_px), round((high + 0.035) * height_px))
        picture[rail] = np.array(_RAIL) * (1 + 0.02 * speckle(shape, 3, rng)[rail, :, None])
    for across in np.arange(0.06, 1.0, 0.22):
        post = slice(round(across * width_px), round((across + 0.014) * width_px))
        picture[: horizon + 8, post] = np.array(_RAIL) * 0.92
    painting = Painting((0.0, -float(height_px)), (float(width_px), 0.0), 1.0)

    def place(corners_mm: ArrayLike) -> FloatArray:
        return view.seen(corners_mm) * [1.0, -1.0]

    (left, level), (right, _) = view.pole_mm
    stripes = np.linspace(left, right, 11)
    for number, (a, b) in enumerate(pairwise(stripes)):
        box = [[a, level - 10], [b, level - 10], [b, level + 10], [a, level + 10]]
        painting.fill(place(box), _WHITE if number % 2 else _BLACK)
    for across, _ in view.level_mm:
        painting.fill(place([[across, 0.0], [across - 12, -40.0], [across + 12, -40.0]]), _WHITE)
    return laid(np.rint(picture).clip(0, 255).astype(np.uint8), painting.colour, painting.alpha)


def _light(width_px: int, height_px: int, shade: float, rng: np.random.Generator) -> Picture:
    """Uneven light, and a soft-edged band of shade across the picture."""
    place = width_px * float(rng.uniform(0.35, 0.65))
    away = np.abs(np.arange(width_px) - place) / (0.06 * width_px)
    band = 1 - 0.6 * shade / (1 + np.exp(6 * (away - 1)))
    return as_light(light_field(width_px, height_px, 0.25) * band)


def write_film(
    path: Path,
    frames: Iterable[NDArray[np.uint8]],
    fps: float,
    codec: str = "libx264",
    *,
    crf: int = 20,
) -> None:
    """Write frames as an MP4 or MOV file, told by the end of its name, whole or not at all.

    Parameters
    ----------
    path
        Where.
    frames
        Red, green and blue, 0 to 255, all of one even size, at least one.
    fps
        Frames a second to be stored, which players go by [1/s].
    codec
        The library's name of the coding: "libx264" or "libx265".
    crf
        How much is left out: 0 nothing, 51 most [no unit].
    """
    import av

    with written_whole(path) as file, av.open(file, "w", format=path.suffix[1:]) as container:
        stream = container.add_stream(codec, rate=Fraction(fps).limit_denominator(1001))
        stream.pix_fmt = "yuv420p"
        stream.options = {"crf": str(crf), "preset": "ultrafast"}
        for pixels in frames:
            if not stream.codec_context.is_open:
                stream.height, stream.width = pixels.shape[:2]
            planes = cv2.cvtColor(pixels, cv2.COLOR_RGB2YUV_I420)
            container.mux(stream.encode(av.VideoFrame.from_ndarray(planes, format="yuv420p")))
        container.mux(stream.encode())

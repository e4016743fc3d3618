"""Small invented films, drawn and coded within the tests."""

from __future__ import annotations

import struct
from collections.abc import Iterable
from pathlib import Path

import av
import cv2
import numpy as np
import pytest

#: Matrices of a track header (ISO 14496-12, 8.3.2) that turn the picture with the clock.
TURNS = {
    90: (0, 65536, 0, -65536, 0, 0, 0, 0, 1 << 30),
    180: (-65536, 0, 0, 0, -65536, 0, 0, 0, 1 << 30),
    270: (0, -65536, 0, 65536, 0, 0, 0, 0, 1 << 30),
}


def _write(
    path: Path,
    frames: Iterable[np.ndarray],
    codec: str = "libx264",
    *,
    rate: int = 30,
    stamps: list[int] | None = None,
    settings: dict[str, str] | None = None,
    metadata: dict[str, str] | None = None,
    sound: bool = False,
    **options: str,
) -> Path:
    """Code frames (grey or colour) as a film; `settings` are those of the container."""
    frames = list(frames)
    with av.open(str(path), "w", options=settings or {}) as film:
        film.metadata.update(metadata or {})
        stream = film.add_stream(codec, rate=rate)
        stream.height, stream.width = frames[0].shape[:2]
        stream.pix_fmt = "yuvj420p" if codec == "mjpeg" else "yuv420p"
        stream.options = {"crf": "12", "preset": "ultrafast", **options}
        if codec == "mjpeg":
            stream.options = {"qmin": "2", "qmax": "2"}
        if codec == "libx265":
            stream.options = {**stream.options, "x265-params": "log-level=none"}
        if sound:
            _add_silence(film)
        for number, frame in enumerate(frames):
            picture = av.VideoFrame.from_ndarray(frame, "rgb24" if frame.ndim == 3 else "gray")
            picture.pts = number if stamps is None else stamps[number]
            film.mux(stream.encode(picture))
        film.mux(stream.encode())
    return path


def _add_silence(film: av.container.OutputContainer) -> None:
    """A second of nothing to be heard."""
    stream = film.add_stream("aac", rate=8000)
    silence = av.AudioFrame.from_ndarray(np.zeros((1, 8000), np.float32), "fltp", "mono")
    silence.sample_rate = 8000
    film.mux(stream.encode(silence))
    film.mux(stream.encode())


def _turn(path: Path, degrees: int) -> Path:
    """Lay a turn, with the clock, into the file as a telephone does."""
    content = bytearray(path.read_bytes())
    at = content.index(b"tkhd") + 44  # behind version, times, number, length and layer
    content[at : at + 36] = struct.pack(">9i", *TURNS[degrees])
    path.write_bytes(content)
    return path


def _numbered(count: int, height: int = 64, width: int = 96) -> list[np.ndarray]:
    """Frames that can be told apart by their brightness; the upper left corner is red."""
    frames = []
    for number in range(count):
        frame = np.full((height, width, 3), 20 + 2 * number, np.uint8)
        frame[:16, :24] = (250, 0, 0)
        frames.append(frame)
    return frames


def _flight(count: int, speed_px: float, shutter: float, seed: int, kind: str) -> tuple:
    """Grey frames of a dark foot with a bright mark that flies and turns; and the mark's places.

    The foot stands for a sixth of the film, flies, and stands again. `speed_px` is its greatest
    way from frame to frame, `shutter` the part of that time for which light falls in.
    """
    rng = np.random.default_rng(seed)
    height, width = 240, 640
    ground = 110 + 120 * cv2.GaussianBlur(rng.normal(size=(height, width)), (0, 0), 2.5)
    ground = ground.astype(np.float32)
    x, y = (np.mgrid[0:160, 0:160][::-1] - 79.5) / 2  # the foot, two cells to the pixel
    foot = 70 + 6 * np.sin(0.9 * x + 0.3 * y)
    mark = x**2 + y**2 < 64
    if kind == "cross":
        mark = (np.minimum(abs(x), abs(y)) < 2.6) & (np.maximum(abs(x), abs(y)) < 9)
    foot = cv2.GaussianBlur(np.where(mark, 225.0, foot).astype(np.float32), (0, 0), 0.8)
    cover = ((abs(x) < 34) & (abs(y) < 26)).astype(np.float32)

    def pose(frame: float) -> tuple[np.ndarray, float]:
        part = np.clip((frame / (count - 1) - 1 / 6) * 1.5, 0, 1)
        swing = part**3 * (10 - 15 * part + 6 * part**2)
        far = min(speed_px * count * 2 / 3 / 1.875, 520)
        place = np.array([60 + far * swing, 180 - 70 * np.sin(np.pi * part) ** 2])
        return place, 80 * np.sin(2 * np.pi * part)

    frames, places = [], []
    for number in range(count):
        begin, end = pose(number - shutter / 2)[0], pose(number + shutter / 2)[0]
        steps = int(np.hypot(*(end - begin))) + 1
        light = np.zeros((height, width), np.float32)
        for part in (np.arange(steps) + 0.5) / steps:
            place, angle = pose(number + shutter * (part - 0.5))
            c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
            matrix = 0.5 * np.array([[c, s, 0], [-s, c, 0]])
            matrix[:, 2] = place - matrix[:, :2] @ (79.5, 79.5)
            over = cv2.warpAffine(cover, matrix, (width, height))
            light += cv2.warpAffine(foot, matrix, (width, height)) * over + ground * (1 - over)
        light = light / steps + 3 * rng.standard_normal(light.shape, dtype=np.float32)
        frames.append(np.clip(light, 0, 255).astype(np.uint8))
        places.append((begin + end) / 2 + 0.5)  # counted from the corner, not from a middle
    return frames, np.array(places)


@pytest.fixture(scope="session")
def write_film():
    return _write


@pytest.fixture(scope="session")
def turn():
    return _turn


@pytest.fixture(scope="session")
def numbered():
    return _numbered


@pytest.fixture(scope="session")
def flight():
    return _flight

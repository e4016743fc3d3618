"""How long following a mark through 240 frames of 1080p takes, decoding included.

    python tests/benchmarks/bench_film.py [frames]

A film is drawn first: a textured ground, a dark foot that flies over it, a white dot on the foot.
Then, in the same run: decoding alone (grey), following, and the ratio of the two. Goal: 240 frames
in under 10 s on two cores.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

import av
import cv2
import numpy as np

from hoofcalc.case.film import open_film
from hoofcalc.case.tracker import follow


def draw(path: Path, frames: int) -> np.ndarray:
    """An invented film; returns the place of the dot in each frame."""
    rng = np.random.default_rng(7)
    noise = rng.normal(size=(1080, 1920)).astype(np.float32)
    ground = 110 + 250 * cv2.GaussianBlur(noise, (0, 0), 3)
    part = np.clip((np.arange(frames) / frames - 0.2) / 0.6, 0, 1)
    swing = part**3 * (10 - 15 * part + 6 * part**2)
    places = np.stack([300 + 1300 * swing, 800 - 250 * np.sin(np.pi * part) ** 2], axis=1)
    with av.open(str(path), "w") as film:
        stream = film.add_stream("libx264", rate=30)
        stream.width, stream.height, stream.pix_fmt = 1920, 1080, "yuv420p"
        stream.options = {"preset": "ultrafast", "crf": "20"}
        for place in places:
            grey = ground.copy()
            right, down = np.round(place * 16).astype(int)
            corner = (int(right) - 16 * 100, int(down) - 16 * 70)
            far = (int(right) + 16 * 100, int(down) + 16 * 70)
            cv2.rectangle(grey, corner, far, 70, -1, cv2.LINE_AA, 4)
            cv2.circle(grey, (int(right), int(down)), 16 * 10, 220, -1, cv2.LINE_AA, 4)
            grey += 3 * rng.standard_normal(grey.shape, dtype=np.float32)
            picture = av.VideoFrame.from_ndarray(np.clip(grey, 0, 255).astype(np.uint8), "gray")
            film.mux(stream.encode(picture))
        film.mux(stream.encode())
    return places


def main() -> None:
    frames = int(sys.argv[1]) if len(sys.argv) > 1 else 240
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "drawn.mp4"
        truth = draw(path, frames)
        started = time.perf_counter()
        film = open_film(path)
        opened = time.perf_counter() - started
        started = time.perf_counter()
        for _ in film.greys_between(0, frames - 1):
            pass
        decoded = time.perf_counter() - started
        for backwards in (False, True):
            start, last = (frames - 1, 0) if backwards else (0, frames - 1)
            started = time.perf_counter()
            found = follow(film, start, truth[start] + 2, last_frame=last, backwards=backwards)
            took = time.perf_counter() - started
            off = np.hypot(*(found.places_px - truth[found.frames]).T)
            print(
                f"{'backwards' if backwards else 'forwards':10} {len(off)} frames of 1080p: "
                f"{took:.2f} s with decoding, {took / decoded:.1f} times decoding alone "
                f"({decoded:.2f} s; opening {opened:.2f} s); largest error {off.max():.2f} px"
            )
        started = time.perf_counter()
        for number in range(frames // 2, frames // 2 + 20):
            film.frame(number)
        ahead = (time.perf_counter() - started) / 20
        started = time.perf_counter()
        for number in range(frames // 2 - 1, frames // 2 - 21, -1):
            film.frame(number)
        back = (time.perf_counter() - started) / 20
        film.close()
        print(f"one step ahead {ahead * 1e3:.0f} ms, one step back {back * 1e3:.0f} ms")


if __name__ == "__main__":
    main()

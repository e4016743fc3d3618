"""A film of a horse, frame by frame: opened, counted, and any frame had exactly.

Frames are told apart by the times that stand in the file, so that a seek never lands one beside.
Only a few frames are ever held. The film itself is only read.
"""

from __future__ import annotations

import time
from bisect import bisect_left, bisect_right
from collections import OrderedDict
from collections.abc import Generator, Iterator
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

import av
import numpy as np
from numpy.typing import NDArray

from hoofcalc._inputs import numbers
from hoofcalc.case.storage import CaseError, kind_of_film, said_in

_LARGEST_BYTES = 8_000_000_000
_MOST_FRAMES = 100_000
_LONGEST_PX, _MOST_PIXELS = 8192, 40_000_000
#: So long may the counting of frames take [s]; a film of 8 GB from a slow disk takes half of it.
_LONGEST_COUNT_S = 60.0
#: Frames kept for a step back, at most, and at most so many bytes of them.
_KEPT, _KEPT_BYTES = 12, 80_000_000
#: Frames that may be decoded on before a seek is quicker.
_NEAR = 30
#: A step in time further than this from the usual one is a frame left out (as in hoofcalc.landing).
_UNEVEN = 0.3
_CODECS = {"h264": "H.264", "hevc": "HEVC", "av1": "AV1", "mjpeg": "Motion-JPEG"}
#: What the library calls the containers, by our names (`kind_of_film`).
_CONTAINERS = {"MP4": "mov", "MOV": "mov", "AVI": "avi", "WebM": "matroska"}
#: Rates at which telephones and cameras commonly film (common practice, no source) [1/s].
_COMMON_RATES = (30, 60, 120, 240, 480, 960)
#: A stride of one foot lasts about half a second at a gallop and over a second at a slow walk
#: (common practice, no source); beyond these the rate is doubted [s].
_SHORTEST_STRIDE_S, _LONGEST_STRIDE_S = 0.3, 2.0
#: Boxes of ISO 14496-12 that hold others, on the way to the table of frames.
_HOLDERS = {b"moov", b"trak", b"mdia", b"minf", b"stbl"}
#: An error of reading, from the library or from what a damaged file makes of it.
_TROUBLE = (av.FFmpegError, OSError, ValueError, MemoryError, OverflowError, ArithmeticError)

av.logging.set_level(None)  # a person gets sentences, not the lines of a decoder


@dataclass(eq=False, kw_only=True)
class Film:
    """A film whose frames can be had one by one; made by `open_film`.

    Parameters
    ----------
    path
        Where the film lies.
    frames
        Number of frames; they are counted from 0.
    width_px, height_px
        Size of the upright picture [px].
    stored_fps
        Frames in a second as the file plays [1/s]. The camera may have taken far more: ask.
    codec
        "H.264", "HEVC", "AV1" or "Motion-JPEG".
    remark
        What a person must know before measuring: frames missing or uneven. Empty if nothing.
    capture_fps
        Frames in a second as the file says the camera took [1/s]; None where it says nothing.
        A hint only.
    """

    path: Path
    frames: int
    width_px: int
    height_px: int
    stored_fps: float
    codec: str
    remark: str = ""
    capture_fps: float | None = None
    _times: list[int] = field(repr=False)
    _keys: list[int] = field(repr=False)
    _kept: OrderedDict[int, Any] = field(default_factory=OrderedDict, repr=False)
    #: Frames from where the decoder stands, and the number of the last one had from it.
    _running: Generator[tuple[int, Any]] | None = field(default=None, repr=False)
    _at: int = field(default=-1, repr=False)

    def frame(self, number: int) -> NDArray[np.uint8]:
        """One frame, exactly.

        Parameters
        ----------
        number
            Which, counted from 0.

        Returns
        -------
        array of uint8, shape (height_px, width_px, 3)
            The upright picture, red, green and blue.

        Raises
        ------
        CaseError
            If it cannot be read.
        ValueError
            If the film has no such frame.
        """
        number = self._number("number", number)
        if number not in self._kept:
            self._decode_to(number)
        if number not in self._kept:
            raise CaseError(
                f"{self.path.name}: frame {number} cannot be read, the file is damaged there; "
                "use the frames before or after it, or copy the film once more"
            )
        self._kept.move_to_end(number)
        return _upright(self._kept[number].to_ndarray(format="rgb24"), self._kept[number])

    def greys_between(self, first: int, last: int) -> Iterator[tuple[int, NDArray[np.uint8]]]:
        """Frames one after another in brightness, shape (height_px, width_px), each decoded once.

        What cannot be read is left out: watch the number. The arrays may not be written to; each
        holds until the next is asked for, if not copied.

        Parameters
        ----------
        first, last
            Numbers of the first and the last frame, both included.

        Returns
        -------
        iterator of (number, array)
            Brightness as it is stored, 0 to 255.

        Raises
        ------
        ValueError
            If the film has no such frame.
        """
        for number, decoded in self._decoded(first, last):
            yield number, _upright(_brightness(decoded), decoded)

    def close(self) -> None:
        """Let go of the file; it is opened again by itself if another frame is asked for."""
        if self._running is not None:
            self._running.close()
            self._running = None
        self._kept.clear()

    def _number(self, name: str, value: int) -> int:
        return int(numbers(name, value, at_least=0, at_most=self.frames - 1, whole=True))

    def _decoded(self, first: int, last: int) -> Generator[tuple[int, Any]]:
        first, last = self._number("first", first), self._number("last", last)
        reader = _Reader(self.path)
        reader.keys = frozenset(self._keys)
        try:
            for key in self._keys_before(first):
                reader.seek(key)
                begun = False
                for decoded in reader.onward:
                    number = self._which(decoded)
                    if number is None or number < first:
                        continue
                    if not begun and number > first and key != self._keys[0]:
                        break  # from there the first frame cannot be had: begin earlier
                    if number > last:
                        return
                    begun = True
                    yield number, decoded
                    if number == last:
                        return
                if begun:
                    return
        finally:
            reader.close()

    def _decode_to(self, number: int) -> None:
        """Decode until frame `number` is past, and keep the last few."""
        most = max(2, min(_KEPT, _KEPT_BYTES // (self.width_px * self.height_px * 3 // 2)))
        if self._running is None or not self._at < number <= self._at + _NEAR:
            if self._running is not None:
                self._running.close()
            self._running = self._decoded(max(number - most + 1, 0), self.frames - 1)
        for which, decoded in self._running:
            self._at = which
            self._kept[which] = decoded
            self._kept.move_to_end(which)
            while len(self._kept) > most:
                self._kept.popitem(last=False)
            if which >= number:
                break

    def _keys_before(self, number: int) -> list[int]:
        """Times from which frame `number` may be decoded, in the order in which to try them.

        The last frame before it that stands without others; the one before that, for cameras
        that refresh the picture bit by bit; and the beginning.
        """
        place = max(bisect_right(self._keys, self._times[number]) - 1, 0)
        return list(dict.fromkeys(self._keys[each] for each in (place, max(place - 1, 0), 0)))

    def _which(self, decoded: Any) -> int | None:
        """The number of a decoded frame; None for one that does not belong to the film."""
        place = bisect_left(self._times, decoded.pts)
        known = place < self.frames and self._times[place] == decoded.pts
        return place if known and _size(decoded) == (self.width_px, self.height_px) else None


class _Reader:
    """An open file, and where in it the decoder stands."""

    def __init__(self, path: Path) -> None:
        kind = _CONTAINERS[kind_of_film(path)]
        options = {"max_pixels": str(_MOST_PIXELS)}
        if kind == "mov":
            options["enable_drefs"] = "0"
        # The kind is given, and "file:" before the name: no other kind of source is ever opened.
        self.container = av.open(
            f"file:{path}", format=kind, options=options, metadata_errors="replace"
        )
        self.stream: Any = None
        self.whole = True
        #: Times of frames that stand without others, as the file tells them, and of the one
        #: from which reading began.
        self.keys: frozenset[int] = frozenset()
        self.begun = 0
        #: Frames from where the decoder stands; one iterator, for it holds some already decoded.
        self.onward: Iterator[Any] = self._onward()
        videos = self.container.streams.video
        if videos and videos[0].codec_context is not None:  # None for an unknown coding
            self.stream = videos[0]
            self.stream.codec_context.options = {"max_pixels": str(_MOST_PIXELS)}
            self.stream.thread_type = "AUTO"
            self.stream.codec_context.thread_count = 2

    def seek(self, stamp: int) -> None:
        """Go to the key frame at `stamp`, or before it."""
        self.whole, self.begun = True, stamp
        try:
            self.container.seek(stamp, stream=self.stream, backward=True)
        except _TROUBLE:
            self.container.seek(0, backward=True)
        self.onward = self._onward()

    def _onward(self) -> Iterator[Any]:
        """The frames in the order in which they are shown.

        Frames known to be damaged are left out, and so are those that are built on them: all up
        to the next that stands without others.
        """
        for packet in self._packets():
            decoded: list[Any] = []
            try:
                decoded = packet.decode()
            except _TROUBLE:
                self.whole = False
            for each in decoded:
                # what is shown before the frame where reading began is built on others before it
                if each.pts is None or each.pts < self.begun:
                    continue
                key = each.key_frame or each.pts in self.keys
                self.whole = (self.whole or key) and not each.is_corrupt
                if self.whole:
                    yield each

    def _packets(self) -> Iterator[Any]:
        packets = self.container.demux(self.stream)
        while True:
            try:
                yield next(packets)
            except StopIteration:
                return
            except _TROUBLE:
                return

    def count(self) -> tuple[list[int], list[int], bool]:
        """Times of all frames and of the key frames, and whether the file broke off."""
        times: set[int] = set()
        keys: set[int] = set()
        broken = False
        until = time.monotonic() + _LONGEST_COUNT_S
        for packet in self._packets():
            if packet.pts is None or packet.size == 0:
                continue
            if packet.is_corrupt:
                broken = True
            elif not packet.is_discard:
                times.add(packet.pts)
                if packet.is_keyframe:
                    keys.add(packet.pts)
            elif packet.is_keyframe:
                keys.add(packet.pts)
            if len(times) > _MOST_FRAMES or time.monotonic() > until:
                raise CaseError(_TOO_LONG)
        return sorted(times), sorted(keys), broken

    def close(self) -> None:
        """Let go of the file."""
        with suppress(*_TROUBLE):
            self.container.close()


_TOO_LONG = (
    "the film is too long to be measured; cut out the strides that matter on the telephone and "
    "take that piece"
)


# ---- opening ---------------------------------------------------------------------------------


def open_film(path: Path) -> Film:
    """Open a film and count its frames; of a damaged one, what can be read.

    Parameters
    ----------
    path
        An MP4, MOV, AVI or WebM, coded as H.264, HEVC, AV1 or Motion-JPEG.

    Returns
    -------
    Film
        Its frames can be had one by one.

    Raises
    ------
    CaseError
        With a sentence for everything that can be wrong with the file.
    """
    kind_of_film(path)
    try:
        with said_in(f"{path.name}: "):
            if path.stat().st_size > _LARGEST_BYTES:
                raise CaseError(_TOO_LONG)
            _refuse_bombs(path)
            with closing(_Reader(path)) as reader:
                return _opened(path, reader)
    except _TROUBLE as problem:
        raise CaseError(_cannot_open(path.name, problem)) from problem


def _opened(path: Path, reader: _Reader) -> Film:
    stream = reader.stream
    if stream is None:
        sound = " but sound" if reader.container.streams.audio else ""
        raise CaseError(
            f"holds no moving picture that is known here{sound}; choose the film itself"
        )
    context = stream.codec_context
    codec = _CODECS.get(context.codec.canonical_name)
    if codec is None:
        raise CaseError(
            f"its pictures are coded as {context.name:.20}; {', '.join(_CODECS.values())} can be "
            "read. Let the telephone save or send it as an ordinary MP4"
        )
    _refuse_size(context.width, context.height)
    if stream.frames > _MOST_FRAMES:
        raise CaseError(_TOO_LONG)
    times, keys, broken = reader.count()
    if not times:
        raise CaseError("holds not one frame; copy it from the telephone once more")
    keys = keys or times[:1]
    reader.seek(min(keys[0], times[0]))
    first = next(reader.onward, None)
    if first is None:
        raise CaseError("not one of its frames can be read; copy it from the telephone once more")
    if stream.sample_aspect_ratio not in (None, 0, 1):
        raise CaseError(
            "its picture is stored squeezed in one direction, so that lengths in it cannot be "
            "compared; film again with the telephone's usual settings"
        )
    width, height = _size(first)
    _refuse_size(width, height)
    remarks = []
    if broken or stream.frames > len(times) + 2:
        missing = f" of {stream.frames}" if stream.frames > len(times) else ""
        remarks.append(
            f"The film breaks off after frame {len(times) - 1}: {len(times)}{missing} "
            f"{'frame is' if len(times) == 1 else 'frames are'} there and can be used. "
            "Copy it once more to have the rest."
        )
    seconds = np.array(times, dtype=np.float64) * float(stream.time_base)
    usual, uneven = _usual_step(seconds)
    remarks += [uneven] if uneven else []
    return Film(
        path=path,
        frames=len(times),
        width_px=width,
        height_px=height,
        stored_fps=1 / usual,
        codec=codec,
        remark=" ".join(remarks),
        capture_fps=_capture_fps(reader.container.metadata, stream.metadata),
        _times=times,
        _keys=keys,
    )


def _usual_step(seconds: NDArray[np.float64]) -> tuple[float, str]:
    """From frame to frame [s], and what to say where they do not follow each other evenly."""
    steps = np.diff(seconds)
    usual = float(np.median(steps)) if steps.size else 1.0
    uneven = np.abs(steps - usual) > _UNEVEN * usual
    if not uneven.any():
        return usual, ""
    return usual, (
        f"The frames do not follow each other evenly, first after frame {int(np.argmax(uneven))}: "
        "the camera left frames out, or the film plays at two speeds. Times are only right within "
        "a piece that runs evenly; measure in one such piece."
    )


def _cannot_open(name: str, problem: BaseException) -> str:
    if isinstance(problem, MemoryError):
        return f"{name}: the film is too large to be opened here"
    if isinstance(problem, OSError) and not isinstance(problem, av.FFmpegError):
        return f"{name}: the film cannot be read ({problem.strerror or 'the disk refuses'})"
    return (
        f"{name}: the film is damaged or was not copied whole, and its list of frames cannot be "
        "read; copy it from the telephone once more"
    )


def _refuse_size(width: int, height: int) -> None:
    if max(width, height) > _LONGEST_PX or width * height > _MOST_PIXELS:
        raise CaseError(
            f"its picture is {width} by {height} pixels; at most {_LONGEST_PX} pixels on the "
            "longer side can be measured"
        )
    if min(width, height) < 16:
        raise CaseError(f"its picture is {width} by {height} pixels; too small to be measured")


def _refuse_bombs(path: Path) -> None:
    """Refuse a file that claims more frames than any film has, before memory is taken for them."""
    with path.open("rb") as stream:
        _look_into(stream, 0, path.stat().st_size, 0)


def _look_into(stream: BinaryIO, start: int, end: int, depth: int) -> None:
    """Walk the boxes (ISO 14496-12) between two places of the file."""
    at, boxes = start, 0
    while at + 8 <= end and boxes < 1000:
        stream.seek(at)
        head = stream.read(24)
        size, kind = int.from_bytes(head[:4], "big"), head[4:8]
        inside = 16 if size == 1 else 8
        size = int.from_bytes(head[8:16], "big") if size == 1 else size or end - at
        if size < inside:
            return
        if kind in _HOLDERS and depth < 8:
            _look_into(stream, at + inside, min(at + size, end), depth + 1)
        elif kind in (b"stsz", b"stz2", b"stts", b"ctts"):
            body = head[inside:] + stream.read(8)
            # stsz: version, size of every frame or 0, how many; the others: version, how many
            one_size = kind == b"stsz" and body[4:8] != bytes(4)
            count = int.from_bytes(body[8:12] if kind in (b"stsz", b"stz2") else body[4:8], "big")
            if count > (20_000_000 if one_size else size):
                raise CaseError("claims more frames than a film can have; the file is damaged")
        at += size
        boxes += 1


# ---- one frame -------------------------------------------------------------------------------


def _quarter_turns(decoded: Any) -> int:
    """How many quarter turns, against the clock, make a frame upright."""
    return round((decoded.rotation or 0) / 90) % 4


def _size(decoded: Any) -> tuple[int, int]:
    """Upright width and height [px]."""
    if _quarter_turns(decoded) % 2:
        return decoded.height, decoded.width
    return decoded.width, decoded.height


def _upright(pixels: NDArray[np.uint8], decoded: Any) -> NDArray[np.uint8]:
    turns = _quarter_turns(decoded)
    return np.rot90(pixels, turns) if turns else pixels


def _brightness(decoded: Any) -> NDArray[np.uint8]:
    """The brightness of a frame without a copy where it is stored in one byte."""
    if decoded.format.name in ("yuv420p", "yuvj420p", "nv12", "yuv422p", "yuvj422p", "gray"):
        plane = decoded.planes[0]
        rows = np.frombuffer(plane, dtype=np.uint8).reshape(-1, plane.line_size)
        return rows[: decoded.height, : decoded.width]
    grey: NDArray[np.uint8] = decoded.to_ndarray(format="gray")
    return grey


# ---- the true rate ---------------------------------------------------------------------------


def _capture_fps(*metadata: dict[str, str]) -> float | None:
    """The rate at which the camera says it filmed, where a file tells one."""
    told = {key.lower(): value for entries in metadata for key, value in entries.items()}
    for key, value in told.items():
        if "capture" in key and "fps" in key:
            with suppress(ValueError):
                if 5 <= float(value) <= 10_000:
                    return float(value)
    return None


def rate_hint(film: Film) -> str:
    """What to know when the true rate of a film is asked for.

    Parameters
    ----------
    film
        An open film.

    Returns
    -------
    str
        What rate the file plays at, and why the camera may have taken more frames a second.
    """
    common = ", ".join(map(str, _COMMON_RATES[:-1])) + f" or {_COMMON_RATES[-1]}"
    told = (
        f" The file itself says that the camera took about {film.capture_fps:.0f} a second; this "
        "is a hint, not a proof."
        if film.capture_fps
        else ""
    )
    return (
        f"The file plays {film.stored_fps:.4g} frames a second. In slow motion the camera takes "
        "more than that and stores them to be played slowly: 240 frames taken in one second then "
        f"last eight seconds at 30. All times follow from the true number, usually {common} a "
        f"second.{told} Look it up in the camera's settings. The beginning and end of a film in "
        "slow motion may run at the usual speed with frames left out: measure in the slow part "
        "only."
    )


def rate_doubt(stride_frames: float, true_fps: float) -> str:
    """Whether a stride lasts as long as a horse's can; if not, the rate given is likely wrong.

    Parameters
    ----------
    stride_frames
        Frames from one contact of a foot to its next [frames].
    true_fps
        Frames that the camera took in a second, as given [1/s].

    Returns
    -------
    str
        A sentence, or nothing where the time is possible. It cannot show that a rate is right:
        half or double the true one often still gives a possible stride.

    References
    ----------
    Common practice, no source: a stride lasts about half a second at a gallop, over one at a walk.
    """
    frames = float(numbers("stride_frames", stride_frames, above=0))
    fps = float(numbers("true_fps", true_fps, above=0))
    stride = frames / fps
    if _SHORTEST_STRIDE_S <= stride <= _LONGEST_STRIDE_S:
        return ""
    possible = [
        rate for rate in _COMMON_RATES if _SHORTEST_STRIDE_S <= frames / rate <= _LONGEST_STRIDE_S
    ]
    instead = f" {' or '.join(map(str, possible))} would be possible." if possible else ""
    return (
        f"At {fps:g} frames a second this stride would last {stride:.2g} s; a horse's lasts about "
        f"{_SHORTEST_STRIDE_S:g} to {_LONGEST_STRIDE_S:g} s. The true rate is probably another."
        f"{instead}"
    )

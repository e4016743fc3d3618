"""Damaged films: each opens as far as it goes or is refused in one sentence; none does harm.

The films are tried in a process of its own with a limit on memory, so that a crash in a library
would be seen as one, and not end the tests.
"""

from __future__ import annotations

import json
import random
import struct
import subprocess
import sys
from pathlib import Path

import pytest

#: Opens every film of a folder and reads all it can; prints what came of it.
TRY = """
import json, sys, time
from hashlib import sha256
from pathlib import Path
try:
    import resource
    resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
except ImportError:
    pass
from hoofcalc.case.film import open_film
from hoofcalc.case.storage import CaseError

for path in sorted(Path(sys.argv[1]).iterdir()):
    before, started = sha256(path.read_bytes()).digest(), time.monotonic()
    said, read, claimed = "", 0, 0
    try:
        film = open_film(path)
        said, claimed = film.remark, film.frames
        for _ in film.greys_between(0, film.frames - 1):
            read += 1
        for number in (0, film.frames // 2, film.frames - 1):
            try:
                film.frame(number)
            except CaseError as problem:
                said = str(problem)
        film.close()
    except CaseError as problem:
        said = str(problem)
    except Exception as problem:
        said = f"TRACEBACK {type(problem).__name__}: {problem}"
    took = time.monotonic() - started
    same = sha256(path.read_bytes()).digest() == before
    print(json.dumps([path.name, said, read, claimed, took, same]), flush=True)
"""


def damaged(whole: list[bytes], number: int) -> bytes:
    """One of many ways to harm a film; the same for the same number."""
    chance = random.Random(number)
    content = bytearray(chance.choice(whole))
    way = number % 5
    if way == 0:
        return bytes(content[: chance.randrange(len(content))])
    if way == 1:  # anywhere
        for _ in range(chance.choice((1, 5, 50))):
            content[chance.randrange(len(content))] = chance.randrange(256)
    elif way == 2:  # in the list of frames
        start = content.index(b"moov")
        length = int.from_bytes(content[start - 4 : start], "big")
        for _ in range(chance.choice((1, 3, 20))):
            content[start + chance.randrange(length - 8)] = chance.choice((0, 255, 127, 16))
    elif way == 3:  # a whole number of it, made huge
        boxes = (b"stsz", b"stts", b"stsc", b"stco", b"tkhd", b"mdhd", b"mvhd", b"avc1", b"hvc1")
        there = [content.index(box) for box in boxes if box in content]
        at = chance.choice(there) + 4 * chance.randrange(1, 8)
        content[at : at + 4] = struct.pack(
            ">I", chance.choice((0, 0xFFFFFFFF, 0x7FFFFFFF, 1 << 24))
        )
    else:  # a stretch lost, or doubled
        start = chance.randrange(len(content))
        stop = min(start + chance.randrange(1, 3000), len(content))
        content[start:stop] = content[start:stop] * chance.choice((0, 2))
    return bytes(content)


@pytest.fixture(scope="module")
def whole(tmp_path_factory, write_film, flight) -> list[bytes]:
    folder = tmp_path_factory.mktemp("whole")
    frames = [frame[:120:2, :160:2] for frame in flight(16, 8.0, 0.2, 3, "dot")[0]]
    first = {"movflags": "faststart"}
    pieces = {"movflags": "frag_keyframe+empty_moov"}
    films = [
        write_film(folder / "a.mp4", frames, g="6"),
        write_film(folder / "b.mp4", frames, settings=first, g="6", bf="2", preset="veryfast"),
        write_film(folder / "c.mov", frames, "libx265", settings=first, g="6"),
        write_film(folder / "d.mp4", frames, settings=pieces, g="6", sound=True),
    ]
    return [film.read_bytes() for film in films]


def tried(folder: Path) -> list[tuple[str, str, int, int, float, bool]]:
    done = subprocess.run(
        [sys.executable, "-c", TRY, str(folder)], capture_output=True, text=True, timeout=120
    )
    lines = [json.loads(line) for line in done.stdout.splitlines()]
    assert done.returncode == 0, f"ended by {done.returncode} after {lines[-1:]}: {done.stderr}"
    assert done.stderr == ""
    return lines


def test_damaged_films_open_in_part_or_give_one_sentence(tmp_path, whole):
    count = 250
    for number in range(count):
        ending = "mov" if number % 3 else "mp4"
        path = tmp_path / f"VID_{number:03d}.{ending}"
        path.write_bytes(damaged(whole, number))
    results = tried(tmp_path)
    assert len(results) == count
    for name, said, read, claimed, took, same in results:
        assert not said.startswith("TRACEBACK"), (name, said)
        assert same, name
        assert took < 10, name
        assert "\n" not in said, (name, said)
        assert len(said) < 400, (name, said)
        if claimed == 0:
            assert name in said, said
            assert len(said) > 40, said
        else:
            assert 0 <= read <= claimed
    opened = sum(bool(claimed) for _, _, _, claimed, _, _ in results)
    assert 0.2 < opened / count < 0.95


def test_what_is_no_film_and_what_is_too_large_is_refused(tmp_path, whole, write_film):
    (tmp_path / "empty.mp4").write_bytes(b"")
    (tmp_path / "words.mp4").write_text("file 'other.mp4'\n" * 50)
    (tmp_path / "picture.mov").write_bytes(b"\xff\xd8\xff\xe0" + bytes(500))
    (tmp_path / "list.mp4").write_text("#EXTM3U\n#EXTINF:1,\nfile:///etc/hostname\n")
    (tmp_path / "head.mp4").write_bytes(whole[0][:32])
    (tmp_path / "no-frame.mp4").write_bytes(whole[0][: whole[0].index(b"mdat") + 4])
    huge = bytearray(whole[1])
    at = huge.index(b"avc1") + 28  # width and height of the pictures (ISO 14496-12, 12.1.3)
    huge[at : at + 4] = struct.pack(">HH", 65535, 65535)
    (tmp_path / "huge.mp4").write_bytes(huge)
    nested = b""
    for _ in range(2000):
        nested = struct.pack(">I4s", len(nested) + 8, b"moov") + nested
    (tmp_path / "nested.mp4").write_bytes(whole[0][:32] + nested)
    results = {name: (said, claimed) for name, said, _, claimed, _, _ in tried(tmp_path)}
    for name, (said, claimed) in results.items():
        if name == "huge.mp4" and claimed:
            continue  # the pictures themselves are of a usual size, and tell so
        assert claimed == 0, name
        assert name in said
        assert not said.startswith("TRACEBACK")
    assert "is empty" in results["empty.mp4"][0]
    assert "MP4, MOV, AVI or WebM is needed" in results["words.mp4"][0]


def test_a_picture_of_a_hundred_megapixels_is_refused_before_it_is_decoded(tmp_path, write_film):
    import numpy as np

    write_film(tmp_path / "bomb.mp4", [np.zeros((8208, 8224), np.uint8)], preset="ultrafast")
    ((name, said, _, claimed, took, _),) = tried(tmp_path)
    assert claimed == 0
    assert said.startswith(name)
    assert "8224 by 8208 pixels" in said
    assert took < 5

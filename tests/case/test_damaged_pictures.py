"""Six hundred damaged pictures: each opens or is told in one sentence, and stays as it is.

Seeded damage to good files, as a broken-off copy, a bad card, a wrong file or someone's malice
does it. All are opened in one process of their own, so that a crash of a reader, its hunger for
memory and anything it prints are seen.
"""

from __future__ import annotations

import io
import json
import os
import random
import subprocess
import sys
import zlib
from collections.abc import Callable

import numpy as np
import pillow_heif
import pytest
from PIL import Image

COUNT = 600
KINDS = ("jpg", "png", "heic")
MOST_SECONDS = 5.0
MOST_MB = 500

OPEN_ALL = """
import json, sys, time
from pathlib import Path
from hoofcalc.case.storage import CaseError
from hoofcalc.case.photograph import open_photograph
for place in sys.stdin.read().splitlines():
    start = time.perf_counter()
    said = None
    try:
        found = open_photograph(Path(place))
        assert found.pixels.ndim == 3 and found.pixels.shape[2] == 3
    except CaseError as problem:
        said = str(problem)
    except BaseException as problem:
        said = f"TRACEBACK {problem!r}"
    print(json.dumps([place, said, time.perf_counter() - start]), flush=True)
status = Path("/proc/self/status")  # not getrusage: its peak counts the parent's memory too
lines = status.read_text().splitlines() if status.exists() else ["VmHWM: 0 kB"]
print(json.dumps(next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1024))
"""


def good_files() -> dict[str, list[bytes]]:
    """Small pictures as telephones write them: with remarks, in passes, in tiles, see-through."""
    noise = np.random.default_rng(7).integers(0, 255, (24, 32, 3), dtype=np.uint8)
    image = Image.fromarray(noise).resize((240, 180), Image.Resampling.BICUBIC)
    exif = Image.Exif()
    exif[274] = 6
    exif[271] = "Brackenfold Cameras"

    def saved(form: str, picture: Image.Image = image, **how) -> bytes:
        file = io.BytesIO()
        picture.save(file, form, **how)
        return file.getvalue()

    def coded(picture: Image.Image = image, **how) -> bytes:
        file = io.BytesIO()
        pillow_heif.encode(picture.mode, picture.size, picture.tobytes(), file, **how)
        return file.getvalue()

    remarks = exif.tobytes()
    return {
        "jpg": [
            saved("JPEG", exif=remarks),
            saved("JPEG", progressive=True, icc_profile=bytes(500)),
            saved("JPEG", image.convert("CMYK"), restart_marker_rows=1),
        ],
        "png": [
            saved("PNG", exif=remarks),
            saved("PNG", image.convert("P"), transparency=3),
            saved("PNG", image.convert("RGBA"), icc_profile=bytes(500)),
        ],
        "heic": [coded(exif=remarks), coded(tile_size=64), coded(image.convert("RGBA"))],
    }


# Each damage: kind, bytes and chance in, bytes out.


def cut_off(kind: str, file: bytes, chance: random.Random) -> bytes:
    return file[: chance.randrange(len(file))]


def first_bytes_lost(kind: str, file: bytes, chance: random.Random) -> bytes:
    return file[chance.randrange(1, 200) :]


def bytes_changed(kind: str, file: bytes, chance: random.Random) -> bytes:
    damaged = bytearray(file)
    for _ in range(chance.choice([1, 2, 10, 100])):
        damaged[chance.randrange(len(file))] = chance.choice(
            [0, 1, 127, 255, chance.randrange(256)]
        )
    return bytes(damaged)


def head_changed(kind: str, file: bytes, chance: random.Random) -> bytes:
    damaged = bytearray(file)
    for _ in range(chance.choice([1, 2, 4])):
        damaged[chance.randrange(12, min(len(file), 700))] = chance.choice([0, 1, 128, 255])
    return bytes(damaged)


def block_emptied(kind: str, file: bytes, chance: random.Random) -> bytes:
    """As a copy that the telephone left unfinished: the right length, but zeros."""
    at = chance.randrange(len(file))
    size = chance.choice([16, 512, 4096, len(file)])
    return (file[:at] + bytes(size) + file[at + size :])[: len(file)]


def piece_lost_or_twice(kind: str, file: bytes, chance: random.Random) -> bytes:
    at, size = chance.randrange(len(file)), chance.randrange(1, 300)
    if chance.random() < 0.5:
        return file[:at] + file[at + size :]
    return file[: at + size] + file[at:]


def line_ends_changed(kind: str, file: bytes, chance: random.Random) -> bytes:
    """As sent by a program that took it for text."""
    return file.replace(b"\n", b"\r\n") if chance.random() < 0.5 else file.replace(b"\r", b"")


def huge_by_its_head(kind: str, file: bytes, chance: random.Random) -> bytes:
    size = chance.choice([9000, 30000, 65000])
    if kind == "jpg":
        at = max(file.find(b"\xff\xc0"), file.find(b"\xff\xc2")) + 5
        return file[:at] + size.to_bytes(2, "big") * 2 + file[at + 4 :]
    if kind == "png":
        head = (size * chance.choice([1, 1000])).to_bytes(4, "big") * 2 + file[24:29]
        check = zlib.crc32(b"IHDR" + head).to_bytes(4, "big")
        return file[:16] + head + check + file[33:]
    at = file.index(b"ispe") + 8
    return file[:at] + size.to_bytes(4, "big") * 2 + file[at + 8 :]


def another_kind(kind: str, file: bytes, chance: random.Random) -> bytes:
    text = "a letter about the horse\n" * 40
    return chance.choice(
        [
            b"%PDF-1.7\n" + text.encode(),
            b"GIF89a" + bytes(300),
            b"PK\x03\x04" + bytes(300),
            b"<html><body>not found</body></html>",
            b"BM" + bytes(300),
            b"RIFF\x24\x00\x00\x00WEBPVP8 " + bytes(300),
            b"\0\0\0\x18ftypisom\0\0\0\0isommp42" + bytes(300),
            b"\0\0\0\x18ftypavif\0\0\0\0avifmif1" + bytes(300),
            text.encode(),
            text.encode("utf-16"),
            chance.randbytes(2000),
            b"\xff\xd8\xff" + chance.randbytes(2000),
            b"\x89PNG\r\n\x1a\n" + chance.randbytes(2000),
            b"\0\0\0\x18ftypheic\0\0\0\0heicmif1" + chance.randbytes(2000),
            b"\0" * 4096,
        ]
    )


def boxes_damaged(kind: str, file: bytes, chance: random.Random) -> bytes:
    """Lengths and numbers beside the names that each kind of file is built of."""
    names = {
        "jpg": [b"\xff\xdb", b"\xff\xc4", b"\xff\xda", b"\xff\xe1", b"\xff\xc0", b"\xff\xc2"],
        "png": [b"IHDR", b"IDAT", b"PLTE", b"tRNS", b"iCCP", b"eXIf", b"IEND"],
        "heic": [b"meta", b"iloc", b"ipma", b"hvcC", b"irot", b"pixi", b"grid", b"infe", b"iref"],
    }
    there = [name for name in names[kind] if name in file]
    at = file.index(chance.choice(there))
    damaged = bytearray(file)
    for _ in range(chance.choice([1, 2, 4])):
        place = at + chance.randrange(-4, 24)
        damaged[min(max(place, 0), len(file) - 1)] = chance.choice([0, 1, 127, 128, 255])
    return bytes(damaged)


DAMAGES: tuple[Callable[[str, bytes, random.Random], bytes], ...] = (
    cut_off,
    first_bytes_lost,
    bytes_changed,
    head_changed,
    block_emptied,
    piece_lost_or_twice,
    line_ends_changed,
    huge_by_its_head,
    another_kind,
    boxes_damaged,
)
#: What can never be a good picture.
SURE = {first_bytes_lost, huge_by_its_head, another_kind}
#: What is no file at all.
ODD = {"folder.jpg", "loop.jpg", "lost.png", "pipe.heic", "none.jpg"}


def chunk(name: bytes, body: bytes) -> bytes:
    check = zlib.crc32(name + body).to_bytes(4, "big")
    return len(body).to_bytes(4, "big") + name + body + check


def bombs() -> dict[str, bytes]:
    """Small files that swell a thousandfold when they are unpacked."""
    start = b"\x89PNG\r\n\x1a\n"
    swells = zlib.compress(bytes(200_000_000), 9)

    def head(width: int, height: int) -> bytes:
        size = width.to_bytes(4, "big") + height.to_bytes(4, "big")
        return chunk(b"IHDR", size + b"\x08\x02\0\0\0")

    row = zlib.compress(bytes(200 * (1 + 3 * 200)))
    end = chunk(b"IEND", b"")
    good = chunk(b"IDAT", row) + end
    return {
        "huge.png": start + head(60000, 60000) + chunk(b"IDAT", swells) + end,
        "too much for its head.png": start + head(200, 200) + chunk(b"IDAT", swells) + end,
        "remark.png": start + head(200, 200) + chunk(b"zTXt", b"a\0\0" + swells) + good,
        "profile.png": start + head(200, 200) + chunk(b"iCCP", b"a\0\0" + swells) + good,
        "remarks.png": start
        + head(200, 200)
        + chunk(b"zTXt", b"a\0\0" + zlib.compress(bytes(900_000))) * 500
        + good,
        "length.png": start + head(200, 200) + b"\x7f\xff\xff\xffIDAT" + row,
        "sixty.png": start + head(7700, 7700) + chunk(b"IDAT", row) + end,
    }


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """What opening each file gave: place -> (sentence or None, seconds); and the megabytes."""
    home = tmp_path_factory.mktemp("damaged")
    chance = random.Random(20261128)
    good = good_files()
    written = {}
    for number in range(COUNT):
        kind = KINDS[number % 3]
        damage = DAMAGES[number // 3 % len(DAMAGES)]
        content = damage(kind, chance.choice(good[kind]), chance)
        written[home / f"{number:03d} {damage.__name__}.{kind}"] = content
    for name, content in bombs().items():
        written[home / name] = content
    for kind, files in good.items():
        for number, content in enumerate(files):
            written[home / f"good {number}.{kind}"] = content
    for path, content in written.items():
        path.write_bytes(content)
    odd = {home / name for name in ODD}
    (home / "folder.jpg").mkdir()
    (home / "loop.jpg").symlink_to(home / "loop 2.jpg")
    (home / "loop 2.jpg").symlink_to(home / "loop.jpg")
    (home / "lost.png").symlink_to(home / "nowhere.png")
    os.mkfifo(home / "pipe.heic")
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", OPEN_ALL],
        input="\n".join(map(str, [*written, *odd])),
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, f"ended with {done.returncode}: {done.stdout[-300:]}{done.stderr}"
    assert done.stderr == ""
    *lines, megabytes = map(json.loads, done.stdout.splitlines())
    assert len(lines) == len(written) + len(odd)
    return home, written, {place: (said, seconds) for place, said, seconds in lines}, megabytes


def test_each_opens_or_is_told_in_one_sentence(told):
    home, _, found, _ = told
    for place, (said, _seconds) in found.items():
        if said is None:
            continue
        assert said.startswith(place), said  # names the file; no library's error got through
        rest = said.removeprefix(place)
        assert "\n" not in rest
        assert 10 < len(rest) < 250, rest
        assert not any(word in rest for word in ("Error", "Traceback", "0x", "NoneType", "<")), rest
    assert str(home / "folder.jpg") in found


def test_what_can_be_no_picture_never_opens_and_what_is_whole_does(told):
    _, _, found, _ = told
    sure = {damage.__name__ for damage in SURE}
    for place, (said, _seconds) in found.items():
        name = place.rsplit("/", 1)[1]
        if name.startswith("good"):
            assert said is None, said
        elif name in ODD or any(damage in name for damage in sure):
            assert said is not None, place


def test_most_kinds_of_damage_are_noticed(told):
    _, _, found, _ = told
    cut = [said for place, (said, _) in found.items() if "cut_off" in place]
    assert sum(said is None for said in cut) <= 0.05 * len(cut)  # but for the last few bytes
    assert sum(said is not None for said, _ in found.values()) > 0.6 * COUNT


def test_huge_ones_are_told_their_size_before_they_are_decoded(told):
    _, _, found, _ = told
    told_size = [said for place, (said, _) in found.items() if "huge" in place]
    assert all("pixels large, more than the 60 million" in said for said in told_size)


def test_none_takes_long_or_much_memory(told):
    _, _, found, megabytes = told
    slowest = max(found, key=lambda place: found[place][1])
    assert found[slowest][1] < MOST_SECONDS, slowest
    assert megabytes < MOST_MB


def test_every_file_stays_as_it_was(told):
    home, written, _, _ = told
    for path, content in written.items():
        assert path.read_bytes() == content
    assert len(list(home.iterdir())) == len(written) + 5  # nothing new beside them

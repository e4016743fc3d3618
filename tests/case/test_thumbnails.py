"""Small pictures are upright, and the day that a camera noted is read where it can be."""

from __future__ import annotations

import io
from datetime import date, datetime

import numpy as np
import pytest
from PIL import Image

from hoofcalc.case.case import Case, new_case
from hoofcalc.case.desk.session import CaseSession
from hoofcalc.case.storage import CaseError
from hoofcalc.case.thumbnails import taken, thumbnail

WIDE, TALL = 640, 360


def photograph(moment: str = "", way_up: int = 1, kind: str = "JPEG", seed: int = 0) -> bytes:
    """A photograph (invented), its left half dark, with what a camera notes."""
    pixels = np.full((TALL, WIDE, 3), 230, dtype=np.uint8)
    pixels[:, : WIDE // 2] = 10 + seed
    noted = Image.Exif()
    noted[0x0112] = way_up
    if moment:
        noted.get_ifd(0x8769)[0x9003] = moment
    file = io.BytesIO()
    if kind == "HEIF":
        from pillow_heif import from_pillow

        from_pillow(Image.fromarray(pixels)).save(file, exif=noted.tobytes())
    else:
        Image.fromarray(pixels).save(file, kind, exif=noted.tobytes())
    return file.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_the_noted_moment_is_read_whatever_the_kind(tmp_path, kind):
    path = tmp_path / "a"
    path.write_bytes(photograph("2026:04:07 10:14:30", kind=kind))
    assert taken(path) == datetime(2026, 4, 7, 10, 14, 30)


@pytest.mark.parametrize(
    "moment", ["", "0000:00:00 00:00:00", "1980:01:01 00:00:00", "2099:01:01 00:00:00", "spring"]
)
def test_a_moment_that_cannot_be_is_none(tmp_path, moment):
    path = tmp_path / "a.jpg"
    path.write_bytes(photograph(moment))
    assert taken(path) is None
    path.write_bytes(b"\xff\xd8\xff\xe1\x00\x10Exif\x00\x00 nothing")
    assert taken(path) is None
    assert taken(tmp_path / "nowhere.jpg") is None


def test_a_small_picture_is_small_and_upright(tmp_path):
    path = tmp_path / "a.jpg"
    path.write_bytes(photograph(way_up=6))  # the camera was held upright: turned to the right
    with Image.open(io.BytesIO(thumbnail(path))) as small:
        assert max(small.size) == 240
        assert small.height > small.width
        pixels = np.asarray(small.convert("L"), float)
    assert pixels[: len(pixels) // 3].mean() < 60 < 200 < pixels[-len(pixels) // 3 :].mean()
    path.write_bytes(b"no picture")
    with pytest.raises(CaseError, match="not a picture"):
        thumbnail(path)


def test_photographs_go_to_the_visit_of_their_day(tmp_path):
    folder = tmp_path / "case"
    new_case(folder, Case(horse="Otterby", foot="right fore", mass_kg=505.0))
    hand = CaseSession(folder)
    files = [
        ("b.jpg", photograph("2026:05:19 09:00:00", seed=1), None),
        ("a.jpg", photograph("2026:04:07 10:00:00", seed=2), None),
        ("none.jpg", photograph(seed=3), None),
        ("c.jpg", photograph("2026:05:19 08:00:00", seed=4), None),
    ]
    said, visit = hand.take_in(files, None, date(2026, 6, 1))
    assert len(said) == 4
    assert hand.visits() == ["2026-04-07", "2026-05-19"]
    assert visit == "2026-05-19"
    assert hand.pictures("2026-05-19") == ["b.jpg", "c.jpg", "none.jpg"], "no day: with the others"
    assert hand.pictures("2026-04-07") == ["a.jpg"]
    # after the trim of that day lies on the desk: there it goes
    late = hand.new_visit(date(2026, 4, 7), "after trim")
    _, visit = hand.take_in(
        [("d.jpg", photograph("2026:04:07 12:00:00", seed=5), None)], late, date(2026, 6, 1)
    )
    assert visit == "2026-04-07 after trim"
    # nothing has a day, and no visit is there yet
    other = tmp_path / "other"
    new_case(other, Case(horse="Otterby", foot="right fore", mass_kg=505.0))
    _, visit = CaseSession(other).take_in(
        [("e.jpg", photograph(seed=6), None)], None, date(2026, 6, 1)
    )
    assert visit == "2026-06-01"

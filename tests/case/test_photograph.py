"""A photograph is opened as a person sees it, whatever the camera did, and nothing else of it."""

from __future__ import annotations

import io
import zlib

import numpy as np
import pillow_heif
import pytest
from PIL import Image, ImageCms, ImageOps

from hoofcalc.case.photograph import MOST_MEGAPIXELS, Photograph, open_photograph
from hoofcalc.case.storage import CaseError

#: Four quarters of one colour each: any turn or mirroring shows.
COLOURS = ((220, 40, 30), (30, 180, 60), (40, 60, 210), (230, 220, 60))
FLAGS = range(1, 9)


def quarters(width: int = 320, height: int = 240) -> Image.Image:
    pixels = np.empty((height, width, 3), np.uint8)
    for number, colour in enumerate(COLOURS):
        down, right = divmod(number, 2)
        rows = slice(down * height // 2, (down + 1) * height // 2)
        pixels[rows, right * width // 2 : (right + 1) * width // 2] = colour
    return Image.fromarray(pixels)


def remarks(flag: int) -> bytes:
    """EXIF with a flag, the camera's maker, and a place."""
    exif = Image.Exif()
    exif[274] = flag
    exif[271] = "Brackenfold Cameras"
    exif.get_ifd(0x8825)[2] = (51.0, 12.0, 34.5)
    exif.get_ifd(0x8825)[1] = "N"
    return exif.tobytes()


def heic(image: Image.Image, flag: int = 1, **how) -> bytes:
    file = io.BytesIO()
    how = {"exif": remarks(flag), "quality": 90} | how
    pillow_heif.encode(image.mode, image.size, image.tobytes(), file, **how)
    return file.getvalue()


def write(folder, content: bytes | Image.Image, name: str, **how):
    path = folder / name
    if isinstance(content, bytes):
        path.write_bytes(content)
    else:
        content.save(path, **how)
    return path


def alike(found: Photograph, wanted: Image.Image, most: float = 6.0) -> None:
    """The same size, and every quarter's middle within what compression costs."""
    assert (found.width_px, found.height_px) == wanted.size
    assert found.pixels.shape == (wanted.height, wanted.width, 3)
    assert found.pixels.dtype == np.uint8
    seen, true = found.pixels.astype(float), np.asarray(wanted.convert("RGB")).astype(float)
    for down in (0.25, 0.75):
        for right in (0.25, 0.75):
            at = int(down * wanted.height), int(right * wanted.width)
            np.testing.assert_allclose(seen[at], true[at], atol=most)


def upright(flag: int) -> Image.Image:
    """As Pillow's own function turns a picture with this flag."""
    image = quarters()
    image.getexif()[274] = flag
    return ImageOps.exif_transpose(image)


@pytest.mark.parametrize("flag", FLAGS)
def test_every_rotation_flag_is_followed_once(flag, tmp_path):
    exif = remarks(flag)
    jpeg = open_photograph(write(tmp_path, quarters(), "a.jpg", exif=exif, quality=95))
    png = open_photograph(write(tmp_path, quarters(), "a.png", exif=exif))
    turned = open_photograph(write(tmp_path, heic(quarters(), flag), "a.heic"))
    assert (jpeg.kind, png.kind, turned.kind) == ("JPEG", "PNG", "HEIC")
    for found in (jpeg, png, turned):
        alike(found, upright(flag))
    np.testing.assert_array_equal(png.pixels, np.asarray(upright(flag)))


def test_the_heic_files_of_these_tests_carry_turn_and_flag_both():
    """Else the test above would not show that a turn is never applied twice."""
    file = heic(quarters(), 6)
    assert b"irot" in file
    assert pillow_heif.open_heif(io.BytesIO(file)).info["exif"] == b"Exif\0\0" + remarks(6)[6:]


def test_a_heic_of_tiles_as_telephones_write_it(tmp_path):
    found = open_photograph(write(tmp_path, heic(quarters(), 8, tile_size=64), "a.heic"))
    alike(found, upright(8))


@pytest.mark.parametrize("flag", [0, 9, 255, 65535])
def test_a_flag_that_means_nothing_is_passed_over(flag, tmp_path):
    alike(open_photograph(write(tmp_path, quarters(), "a.jpg", exif=remarks(flag))), quarters())


def test_damaged_remarks_do_not_cost_the_picture(tmp_path, capfd):
    for exif in (b"Exif\0\0MM\0*\xff\xff\xff\xff", b"Exif\0\0II*\0\x08\0\0\0\xff\xff", b"Exif\0\0"):
        alike(open_photograph(write(tmp_path, quarters(), "a.jpg", exif=exif)), quarters())
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_kind_of_png_is_opened(mode, tmp_path):
    grey = quarters().convert("L")
    if mode == "I;16":
        image = Image.fromarray(np.asarray(grey).astype(np.uint16) * 257)
        wanted = grey
    else:
        image = quarters().convert(mode)
        wanted = image.convert("RGB")
    found = open_photograph(write(tmp_path, image, "a.png"))
    np.testing.assert_array_equal(found.pixels, np.asarray(wanted.convert("RGB")))


def png_of(pixels: np.ndarray, depth: int, colour: int) -> bytes:
    """A PNG written by hand (ISO/IEC 15948): Pillow writes no 16-bit colour."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return (
            len(body).to_bytes(4, "big") + kind + body + zlib.crc32(kind + body).to_bytes(4, "big")
        )

    height, width = pixels.shape[:2]
    head = width.to_bytes(4, "big") + height.to_bytes(4, "big") + bytes([depth, colour, 0, 0, 0])
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in pixels)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


@pytest.mark.parametrize(("colour", "planes"), [(2, 3), (6, 4)])
def test_sixteen_bit_colour_is_scaled_not_cut(colour, planes, tmp_path):
    deep = np.asarray(quarters()).astype(np.uint16) * 257
    full = np.full((*deep.shape[:2], 1), 65535, np.uint16)
    pixels = np.concatenate([deep, full], axis=2)[..., :planes]
    found = open_photograph(write(tmp_path, png_of(pixels, 16, colour), "a.png"))
    np.testing.assert_array_equal(found.pixels, np.asarray(quarters()))


def test_what_is_see_through_becomes_white(tmp_path):
    image = quarters().convert("RGBA")
    image.putalpha(0)
    assert (open_photograph(write(tmp_path, image, "a.png")).pixels == 255).all()
    palette = quarters().convert("P", palette=Image.Palette.ADAPTIVE, colors=4)
    wholly = write(tmp_path, palette, "b.png", transparency=bytes(4))
    assert (open_photograph(wholly).pixels == 255).all()


def test_cmyk_and_grey_jpegs_are_opened(tmp_path):
    cmyk = open_photograph(write(tmp_path, quarters().convert("CMYK"), "a.jpg", quality=95))
    alike(cmyk, quarters(), most=8)
    grey = quarters().convert("L")
    alike(open_photograph(write(tmp_path, grey, "b.jpg", quality=95)), grey)


def test_heic_with_ten_bits_grey_and_see_through(tmp_path):
    deep = np.asarray(quarters()).astype("<u2") * 257
    file = io.BytesIO()
    pillow_heif.encode("RGB;16", quarters().size, deep.tobytes(), file, quality=90)
    alike(open_photograph(write(tmp_path, file.getvalue(), "a.heic")), quarters())
    grey = quarters().convert("L")
    alike(open_photograph(write(tmp_path, heic(grey), "b.heic")), grey)
    clear = quarters().convert("RGBA")
    clear.putalpha(0)
    assert (open_photograph(write(tmp_path, heic(clear), "c.heic")).pixels >= 250).all()


def test_a_colour_profile_changes_nothing(tmp_path):
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    plain = open_photograph(write(tmp_path, quarters(), "a.jpg"))
    other = open_photograph(write(tmp_path, quarters(), "b.jpg", icc_profile=profile))
    np.testing.assert_array_equal(plain.pixels, other.pixels)


def test_a_name_that_says_another_kind_does_not_matter(tmp_path):
    assert open_photograph(write(tmp_path, heic(quarters()), "a.jpg")).kind == "HEIC"


# ---- what leaves the program -----------------------------------------------------------------


def segments(jpeg: bytes) -> list[int]:
    """Markers before the picture itself (ITU-T T.81, annex B)."""
    found, at = [], 2
    while jpeg[at + 1] != 0xDA:
        assert jpeg[at] == 0xFF
        found.append(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return found


def test_what_is_shown_holds_no_remark_of_the_camera(tmp_path):
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    how = {"exif": remarks(6), "icc_profile": profile, "comment": b"at the yard"}
    path = write(tmp_path, quarters(), "a.jpg", **how)
    for word in (b"Exif", b"Brackenfold", b"ICC_PROFILE", b"at the yard"):
        assert word in path.read_bytes()
    shown = open_photograph(path).shown()
    for word in (b"Exif", b"Brackenfold", b"ICC_PROFILE", b"at the yard", b"http", b"MPF"):
        assert word not in shown
    # APP0 (the format's own head, without a preview), tables, size: no APP1-APP15, no comment
    assert set(segments(shown)) <= {0xE0, 0xDB, 0xC0, 0xC4}
    assert shown[2:4] == b"\xff\xe0"
    assert shown[18:20] == b"\0\0"  # a preview of 0 x 0
    image = Image.open(io.BytesIO(shown))
    assert not image.getexif()
    assert image.size == (240, 320)


@pytest.mark.parametrize(
    ("longest", "size"), [(4096, (320, 240)), (320, (320, 240)), (160, (160, 120)), (16, (16, 12))]
)
def test_it_is_shown_no_longer_than_asked_and_never_larger_than_it_is(longest, size):
    found = Photograph(pixels=np.asarray(quarters()), kind="PNG")
    image = Image.open(io.BytesIO(found.shown(longest)))
    assert (image.format, image.mode, image.size) == ("JPEG", "RGB", size)
    alike(Photograph(pixels=np.asarray(image), kind="JPEG"), quarters().resize(size), most=25)


def test_a_picture_like_a_ribbon_can_be_shown():
    found = Photograph(pixels=np.zeros((100, 9000, 3), np.uint8), kind="PNG")
    assert Image.open(io.BytesIO(found.shown(64))).size == (64, 1)


@pytest.mark.parametrize("longest", [0, 15, 3.5, float("nan")])
def test_a_size_that_cannot_be_is_refused(longest):
    with pytest.raises(ValueError, match="longest_px"):
        Photograph(pixels=np.zeros((9, 9, 3), np.uint8), kind="PNG").shown(longest)


# ---- what is refused -------------------------------------------------------------------------


def refused(path) -> str:
    with pytest.raises(CaseError) as told:
        open_photograph(path)
    said = str(told.value)
    assert said.startswith(str(path))
    assert "\n" not in said
    return said


def test_too_large_is_told_by_the_head_before_anything_is_decoded(tmp_path):
    path = write(tmp_path, quarters(), "a.jpg")
    file = bytearray(path.read_bytes())
    at = file.index(b"\xff\xc0")
    file[at + 5 : at + 9] = (65000).to_bytes(2, "big") * 2
    path.write_bytes(file)
    assert "65000 x 65000 pixels large, more than the 60 million" in refused(path)
    assert MOST_MEGAPIXELS == 60


def test_a_preview_is_no_photograph(tmp_path):
    said = refused(write(tmp_path, quarters().resize((96, 72)), "a.jpg"))
    assert "only 96 x 72 pixels large" in said


def test_a_moving_picture_is_no_photograph(tmp_path):
    more = {"save_all": True, "append_images": [quarters().convert("L").convert("RGB")]}
    assert "moving picture" in refused(write(tmp_path, quarters(), "a.png", **more))


def test_passes_without_end_are_refused_before_they_are_decoded(tmp_path):
    path = write(tmp_path, quarters(), "a.jpg", progressive=True)
    alike(open_photograph(path), quarters(), most=12)
    file = path.read_bytes()
    start = file.rindex(b"\xff\xda")
    path.write_bytes(file[:start] + file[start:-2] * 500 + file[-2:])
    assert "too many passes" in refused(path)


def test_film_behind_a_photograph_does_not_matter(tmp_path):
    """Some telephones append a second of film to the photograph."""
    path = write(tmp_path, quarters(), "a.jpg", progressive=True, exif=remarks(3))
    path.write_bytes(path.read_bytes() + bytes(50) + b"\xff\xda\x00\x08" * 500)
    alike(open_photograph(path), upright(3), most=12)


def test_what_is_no_file_or_no_picture_is_told(tmp_path):
    assert "is not there" in refused(tmp_path / "a.jpg")
    assert "is not a file" in refused(tmp_path)
    assert "is empty" in refused(write(tmp_path, b"", "b.jpg"))
    assert "this is a PDF" in refused(write(tmp_path, b"%PDF-1.7 " + bytes(99), "c.jpg"))
    assert "damaged or was cut off" in refused(
        write(tmp_path, b"\xff\xd8\xff" + bytes(99), "d.jpg")
    )


def test_a_file_that_may_not_be_read_is_told(tmp_path, monkeypatch):
    path = write(tmp_path, quarters(), "a.jpg")

    def locked(*_, **__):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(type(path), "open", locked)
    assert "cannot be read (Permission denied)" in refused(path)


def test_when_memory_does_not_suffice_that_is_told(tmp_path, monkeypatch):
    path = write(tmp_path, quarters(), "a.jpg")

    def full(*_, **__):
        raise MemoryError

    monkeypatch.setattr(np, "empty", full)
    assert "close other programs" in refused(path)


def test_a_file_of_many_bytes_is_refused(tmp_path, monkeypatch):
    path = write(tmp_path, quarters(), "a.jpg")
    monkeypatch.setattr("hoofcalc.case.photograph._MOST_BYTES", 1000)
    assert "larger than 0 MB" in refused(path)


@pytest.mark.slow
def test_fifty_megapixels_open_and_show_within_seconds_and_within_memory(tmp_path):
    import subprocess
    import sys

    path = write(tmp_path, quarters(8160, 6120), "a.jpg", exif=remarks(6))
    code = (
        "import sys, time; from pathlib import Path;"
        "from hoofcalc.case.photograph import open_photograph;"
        "start = time.perf_counter(); found = open_photograph(Path(sys.argv[1]));"
        "shown = found.shown(); took = time.perf_counter() - start;"
        "status = Path('/proc/self/status');"
        "lines = status.read_text().splitlines() if status.exists() else ['VmHWM: 0 kB'];"
        "peak = next(int(line.split()[1]) for line in lines if line.startswith('VmHWM'));"
        "print(found.width_px, took, peak / 1024)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True
    )
    width, seconds, megabytes = map(float, done.stdout.split())
    assert width == 6120
    assert seconds < 15  # measured: under 1 on two free cores
    assert megabytes < 900  # measured: 450


@pytest.mark.parametrize("kind", ["WebP", "AVIF"])
def test_newer_kinds_of_picture_are_read_upright(tmp_path, kind):
    """The left half is dark and the right one light; the remark says that it lies on its side."""
    pixels = np.full((120, 160, 3), 30, np.uint8)
    pixels[:, 80:] = 220
    remarks = Image.Exif()
    remarks[0x0112] = 6
    path = tmp_path / f"a.{kind.lower()}"
    Image.fromarray(pixels).save(path, kind, quality=95, exif=remarks)
    found = open_photograph(path)
    assert (found.kind, found.width_px, found.height_px) == (kind, 120, 160)
    assert found.pixels[:70].mean() == pytest.approx(30, abs=3)
    assert found.pixels[90:].mean() == pytest.approx(220, abs=3)
    content = path.read_bytes()
    path.write_bytes(content[: len(content) // 2])
    with pytest.raises(CaseError, match="damaged or was cut off"):
        open_photograph(path)

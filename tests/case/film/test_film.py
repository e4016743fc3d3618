"""Films opened and read frame by frame, against frames whose number can be told."""

from __future__ import annotations

import random
import struct

import av
import numpy as np
import pytest

from hoofcalc.case.film import open_film, rate_doubt, rate_hint
from hoofcalc.case.storage import CaseError


def number_of(frame: np.ndarray) -> float:
    """Which of the numbered frames this is, from its brightness away from the corner."""
    return (float(frame[40, 60:70].mean()) - 20) / 2


@pytest.fixture(scope="module", params=[("libx264", "mp4"), ("libx265", "mov")], ids=str)
def film(request, tmp_path_factory, write_film, numbered):
    codec, ending = request.param
    path = tmp_path_factory.mktemp("film") / f"VID 1.{ending}"
    settings = {"movflags": "use_metadata_tags"}
    told = {"maker.capture.fps": "240.000"}
    # frames that are built on later ones, as telephones store them
    more = {"g": "20", "bf": "3", "preset": "veryfast"}
    return open_film(
        write_film(path, numbered(70), codec, settings=settings, metadata=told, **more)
    )


def test_a_film_tells_its_size_rate_and_number_of_frames(film):
    assert (film.frames, film.width_px, film.height_px) == (70, 96, 64)
    assert film.stored_fps == pytest.approx(30)
    assert film.frames / film.stored_fps == pytest.approx(70 / 30)
    assert film.codec in ("H.264", "HEVC")
    assert film.remark == ""


def test_any_frame_can_be_had_in_any_order_and_is_the_right_one(film):
    order = random.Random(5)
    jumps = [order.randrange(70) for _ in range(25)]
    for number in [0, 69, 0, 1, 2, 50, 49, 48, 47, *range(33, 20, -1), *jumps]:
        assert number_of(film.frame(number)) == pytest.approx(number, abs=0.9), number


def test_a_stretch_of_frames_is_whole_and_leaves_single_frames_alone(film):
    seen = []
    for number, _ in film.greys_between(18, 43):
        seen.append(number)
        assert number_of(film.frame(69 - number)) == pytest.approx(69 - number, abs=0.9)
    assert seen == list(range(18, 44))
    for number, grey in film.greys_between(60, 69):
        whole = film.frame(number)
        assert grey.shape == whole.shape[:2]
        # brightness as stored runs from 16 to 235 (ITU-R BT.601)
        bright = (grey[40, 60:70].mean() - 16) / 219 * 255
        assert bright == pytest.approx(whole[40, 60:70].mean(), abs=2)


def test_a_frame_that_is_not_there_is_refused_and_a_closed_film_opens_again(film):
    for number in (-1, 70, 2.5):
        with pytest.raises(ValueError, match="number must be"):
            film.frame(number)
    film.close()
    assert number_of(film.frame(12)) == pytest.approx(12, abs=0.9)


@pytest.mark.parametrize(("degrees", "corner"), [(90, (8, -8)), (180, (-8, -8)), (270, (-8, 8))])
def test_a_film_taken_with_the_telephone_turned_is_upright(
    tmp_path, write_film, numbered, turn, degrees, corner
):
    # the red corner lies upper left as stored and goes round with the clock
    film = open_film(turn(write_film(tmp_path / "a.mp4", numbered(3)), degrees))
    frame = film.frame(1)
    assert frame.shape == (film.height_px, film.width_px, 3)
    assert (film.width_px < film.height_px) == (degrees != 180)
    red = frame[corner].astype(int)
    assert red[0] > 200
    assert red[1] < 60
    _, grey = next(film.greys_between(1, 1))
    assert grey.shape == frame.shape[:2]
    assert abs(int(grey[corner]) - int(grey[corner[0] // 8, corner[1] // 8])) < 6


def without_a_word(path):
    """Take the word that a key frame may be begun from (recovery point) out of an H.264 film.

    ITU-T H.264, 7.3.1: units of type 6 are supplements, of type 12 filling. The file's own list of
    frames to seek to keeps them; a decoder that begins there gives not one frame out.
    """
    content = bytearray(path.read_bytes())
    with av.open(str(path)) as film:
        places = [(packet.pos, packet.size) for packet in film.demux(video=0) if packet.size]
    for at, size in places:
        end = at + size
        while at < end:
            if content[at + 4] & 31 == 6:
                content[at + 4] = 12
            at += 4 + int.from_bytes(content[at : at + 4], "big")
    path.write_bytes(content)
    with av.open(str(path)) as film:
        seek = film.streams.video[0]
        film.seek(36 * 512, stream=seek)
        assert not [frame for packet in film.demux(seek) for frame in packet.decode()]
    return path


@pytest.mark.parametrize("codec", ["libx264", "silent", "libx265", "refreshed bit by bit"])
def test_an_open_group_of_frames_is_read_after_a_seek(tmp_path, write_film, codec):
    """Frames shown before a key frame may be built on both sides of it; none is lost or wrong."""
    grain = np.random.default_rng(4).integers(0, 60, (64, 96))
    frames = [
        np.clip(np.roll(grain, 2 * number, axis=1) + 20 + 2 * number, 0, 255).astype(np.uint8)
        for number in range(60)
    ]
    how = {"x264-params": "open-gop=1:keyint=12:min-keyint=12:bframes=3:scenecut=0"}
    silent = codec == "silent"
    if silent:
        codec = "libx264"
    elif codec == "refreshed bit by bit":
        codec, how = "libx264", {"x264-params": "intra-refresh=1:keyint=12"}
    elif codec == "libx265":
        how = {"x265-params": "open-gop=1:keyint=12:min-keyint=12:bframes=3:log-level=none"}
    path = write_film(tmp_path / "open.mp4", frames, codec, preset="medium", **how)
    film = open_film(without_a_word(path) if silent else path)
    assert film.frames == 60
    for number in (30, 59, 11, 12, 13, 47, 0, 36, 35):
        seen = film.frame(number).mean(axis=2)
        assert np.abs(seen - frames[number]).mean() < 6, number
        film.close()  # so that each is had by a seek
    for number, grey in film.greys_between(23, 40):
        assert np.abs(grey[:64, :96].astype(float) - frames[number]).mean() < 12, number


@pytest.mark.parametrize(
    ("name", "codec", "called"),
    [
        ("a.mp4", "libsvtav1", "AV1"),
        ("a.webm", "libsvtav1", "AV1"),
        ("a.avi", "mjpeg", "Motion-JPEG"),
        ("a.mov", "mjpeg", "Motion-JPEG"),
    ],
)
def test_what_the_libraries_read_is_read(tmp_path, write_film, numbered, name, codec, called):
    try:
        path = write_film(tmp_path / name, numbered(20), codec, preset="10")
    except (ValueError, av.FFmpegError) as missing:
        pytest.skip(f"this library cannot write it: {missing}")
    film = open_film(path)
    assert (film.codec, film.frames) == (called, 20)
    for number in (15, 3, 19):
        assert film.frame(number)[40:, 40:].mean() == pytest.approx(20 + 2 * number, abs=3)


def test_a_film_with_frames_left_out_says_so_and_still_counts_right(tmp_path, write_film, numbered):
    stamps = [number if number < 12 else number + 3 for number in range(20)]
    film = open_film(write_film(tmp_path / "a.mp4", numbered(20), stamps=stamps))
    assert "first after frame 11" in film.remark
    assert film.stored_fps == pytest.approx(30)
    assert number_of(film.frame(12)) == pytest.approx(12, abs=0.9)


def test_a_film_that_breaks_off_can_be_used_as_far_as_it_goes(tmp_path, write_film, numbered):
    path = write_film(tmp_path / "a.mp4", numbered(60), settings={"movflags": "faststart"}, g="10")
    path.write_bytes(path.read_bytes()[: path.stat().st_size * 7 // 10])
    film = open_film(path)
    assert 15 < film.frames < 60
    assert f"breaks off after frame {film.frames - 1}" in film.remark
    assert "of 60" in film.remark
    assert number_of(film.frame(film.frames - 2)) == pytest.approx(film.frames - 2, abs=0.9)


def test_a_film_with_its_list_of_frames_cut_off_says_what_to_do(tmp_path, write_film, numbered):
    path = write_film(tmp_path / "a.mp4", numbered(20))
    path.write_bytes(path.read_bytes()[:-200])
    with pytest.raises(CaseError, match=r"^a\.mp4: .*not copied whole.*copy it"):
        open_film(path)


def test_sound_alone_another_coding_and_squeezed_pictures_are_refused(
    tmp_path, write_film, numbered
):
    path = write_film(tmp_path / "a.mp4", numbered(5), sound=True)
    assert open_film(path).frames == 5
    heard = tmp_path / "heard.mp4"
    with av.open(str(path)) as both, av.open(str(heard), "w") as one:
        stream = one.add_stream_from_template(both.streams.audio[0])
        for packet in both.demux(both.streams.audio[0]):
            if packet.dts is not None:
                packet.stream = stream
                one.mux(packet)
    with pytest.raises(CaseError, match=r"no moving picture .* but sound"):
        open_film(heard)
    other = write_film(tmp_path / "b.mov", numbered(3), "mpeg4")
    with pytest.raises(CaseError, match=r"coded as mpeg4; H\.264, HEVC, AV1, Motion-JPEG can"):
        open_film(other)


def test_a_claim_of_far_too_many_frames_is_refused_before_memory_is_taken(
    tmp_path, write_film, numbered
):
    path = write_film(tmp_path / "a.mp4", numbered(5))
    content = bytearray(path.read_bytes())
    at = content.index(b"stsz") + 8
    content[at : at + 8] = struct.pack(">II", 1, 4_000_000_000)
    path.write_bytes(content)
    with pytest.raises(CaseError, match="more frames than a film can have"):
        open_film(path)


def test_the_decoders_own_lines_are_never_shown(tmp_path, write_film, numbered, capfd):
    path = write_film(tmp_path / "a.mp4", numbered(20))
    content = bytearray(path.read_bytes())
    start = content.index(b"mdat") + 900
    content[start : start + 300] = bytes(300)
    path.write_bytes(content)
    try:
        for _ in open_film(path).greys_between(0, 19):
            pass
    except CaseError:
        pass
    assert capfd.readouterr() == ("", "")


def test_the_true_rate_is_explained_and_a_hint_in_the_file_is_passed_on(film):
    said = rate_hint(film)
    assert "plays 30 frames a second" in said
    assert "about 240 a second" in said
    assert film.capture_fps == 240


def test_a_stride_no_horse_makes_casts_doubt_on_the_rate():
    # one stride of 0.6 s taken at 240 frames a second
    assert rate_doubt(144, 240) == ""
    assert "4.8 s" in rate_doubt(144, 30)
    assert "240" in rate_doubt(144, 30)
    assert "0.15 s" in rate_doubt(144, 960)

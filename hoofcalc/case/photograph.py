"""Photographs as they are measured: upright, in their own pixels, with nothing else of the file.

What a camera wrote into the file (place, time, owner, small preview, colour profile) is not taken
over; of its remarks only the one that tells which way is up is read.
"""

from __future__ import annotations

import io
import re
import warnings
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from hoofcalc._inputs import numbers
from hoofcalc.case.storage import CaseError, kind_of_picture

if TYPE_CHECKING:
    from PIL import Image

#: Larger pictures are refused before they are decoded.
MOST_MEGAPIXELS = 60
_MOST_BYTES = 250_000_000
_LEAST_SIDE_PX = 100
#: A picture that comes in passes holds ten or so; thousands take minutes to decode.
_MOST_PASSES = 40
_NEXT_MARKER = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
_JPEG_QUALITY = 88
_STRIP_PX = 256


@dataclass(frozen=True, eq=False)
class Photograph:
    """A photograph, upright and in its original size.

    Parameters
    ----------
    pixels
        Red, green and blue from 0 to 255, shape (height, width, 3).
    kind
        One of `hoofcalc.case.storage.PICTURES`.
    """

    pixels: NDArray[np.uint8]
    kind: str

    @property
    def width_px(self) -> int:
        """Width of the upright picture [px]."""
        return int(self.pixels.shape[1])

    @property
    def height_px(self) -> int:
        """Height of the upright picture [px]."""
        return int(self.pixels.shape[0])

    def shown(self, longest_px: int = 4096) -> bytes:
        """The picture as a JPEG file for the screen or a page, without any remarks in it.

        Parameters
        ----------
        longest_px
            The longer side at most [px]; a smaller picture keeps its size.

        Returns
        -------
        bytes
            The file.

        Raises
        ------
        ValueError
            If `longest_px` is no whole number from 16 on.
        """
        import cv2
        from PIL import Image

        longest = int(numbers("longest_px", longest_px, at_least=16, whole=True))
        pixels = self.pixels
        smaller = longest / max(self.width_px, self.height_px)
        if smaller < 1:
            size = (max(round(self.width_px * smaller), 1), max(round(self.height_px * smaller), 1))
            pixels = np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), np.uint8)
        file = io.BytesIO()
        Image.fromarray(pixels).save(file, "JPEG", quality=_JPEG_QUALITY)
        return file.getvalue()


def open_photograph(path: Path) -> Photograph:
    """Open a photograph, JPEG, PNG, HEIC, AVIF or WebP; the file stays as it is.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Photograph
        Turned upright as the camera's remark says.

    Raises
    ------
    CaseError
        If the file is missing, is no such picture, is damaged, cut off, animated, too small or
        larger than 60 megapixels.
    """
    try:
        kind = kind_of_picture(path)
        with path.open("rb") as stream:
            content = stream.read(_MOST_BYTES + 1)
    except OSError as problem:
        raise CaseError(f"{path} cannot be read ({problem.strerror})") from problem
    if len(content) > _MOST_BYTES:
        raise CaseError(
            f"{path} is larger than {_MOST_BYTES // 1_000_000} MB: save it as a JPEG and use that"
        )
    try:
        with warnings.catch_warnings():
            # Odd remarks in a file are of no use to the person, and none of them is read.
            warnings.simplefilter("ignore")
            pixels = _decoded(content, kind, path)
    except CaseError:
        raise
    except MemoryError as problem:
        raise CaseError(
            f"{path} needs more memory than is free: close other programs and try again"
        ) from problem
    except Exception as problem:  # the readers raise whatever they stumble over
        raise _damaged(path) from problem
    return Photograph(pixels=pixels, kind=kind)


# ---- inside ----------------------------------------------------------------------------------


def _damaged(path: Path) -> CaseError:
    return CaseError(
        f"{path} is damaged or was cut off on its way: copy it from the telephone once more"
    )


def _check_size(width: int, height: int, path: Path) -> None:
    """Refuse by what the file's head says, before anything is decoded."""
    if min(width, height) < 1:
        raise _damaged(path)
    if width * height > MOST_MEGAPIXELS * 1_000_000:
        raise CaseError(
            f"{path} is {width} x {height} pixels large, more than the {MOST_MEGAPIXELS} million "
            "that can be measured. Save a smaller copy of it, or set the camera to fewer pixels"
        )
    if min(width, height) < _LEAST_SIDE_PX:
        raise CaseError(
            f"{path} is only {width} x {height} pixels large: this is a small preview. Use the "
            "photograph itself"
        )


def _decoded(content: bytes, kind: str, path: Path) -> NDArray[np.uint8]:
    from PIL import ImageOps
    from PIL.AvifImagePlugin import AvifImageFile
    from PIL.JpegImagePlugin import JpegImageFile
    from PIL.PngImagePlugin import PngImageFile
    from PIL.WebPImagePlugin import WebPImageFile
    from pillow_heif import HeifImageFile

    if kind == "JPEG" and _passes(content) > _MOST_PASSES:
        raise CaseError(f"{path} is coded in too many passes: save it as a JPEG once more")
    if kind in ("AVIF", "HEIC") and _cut_off(content):
        raise _damaged(path)
    # The classes themselves, not Image.open: it warns of large pictures and opens other kinds.
    kinds: dict[str, Any] = {
        "JPEG": JpegImageFile,
        "PNG": PngImageFile,
        "AVIF": AvifImageFile,
        "HEIC": HeifImageFile,
        "WebP": WebPImageFile,
    }
    image = kinds[kind](io.BytesIO(content))
    _check_size(image.width, image.height, path)
    if kind != "HEIC" and getattr(image, "n_frames", 1) > 1:
        raise CaseError(f"{path} is a moving picture: take a photograph, or use it as film")
    image.load()
    # A HEIC is turned as the file's own boxes say (ISO 23008-12); the camera's remark repeats that.
    if kind != "HEIC":
        with suppress(Exception):  # damaged remarks, in a picture that is whole
            ImageOps.exif_transpose(image, in_place=True)
    return _pixels(_plain(image))


def _passes(content: bytes) -> int:
    """In how many passes a JPEG is coded (ITU-T T.81, annex B); what follows it does not count."""
    count, at = 0, 2
    while marker := _NEXT_MARKER.search(content, at):
        kind = content[marker.start() + 1]
        if kind == 0xD9:  # the end of the picture
            break
        count += kind == 0xDA
        at = marker.end() + max(int.from_bytes(content[marker.end() : marker.end() + 2], "big"), 2)
    return count


def _cut_off(content: bytes) -> bool:
    """Whether a box of the file (ISO 14496-12, 4.2) goes on behind its end.

    The library shows a picture of tiles of which the last are missing, with black in their place.
    """
    at = 0
    while at + 16 <= len(content):
        length, name = int.from_bytes(content[at : at + 4], "big"), content[at + 4 : at + 8]
        if length == 1:  # a long one
            length = int.from_bytes(content[at + 8 : at + 16], "big")
        if length < 8:  # 0: up to the end of the file; else no box
            return False
        at += length
        if at > len(content) and name in (b"meta", b"mdat"):
            return True
    return False


def _plain(image: Image.Image) -> Image.Image:
    """Red, green and blue, 8 bits each; what is see-through becomes white."""
    from PIL import Image

    if image.mode.startswith("I"):  # 16 bits of grey: Pillow would cut off, not scale
        grey = np.clip(np.asarray(image), 0, 65535) >> 8
        return Image.fromarray(grey.astype(np.uint8)).convert("RGB")
    if image.has_transparency_data:
        over = image.convert("RGBA")
        white = Image.new("RGBA", image.size, "white")
        return Image.alpha_composite(white, over).convert("RGB")
    return image if image.mode == "RGB" else image.convert("RGB")


def _pixels(image: Image.Image) -> NDArray[np.uint8]:
    pixels = np.empty((image.height, image.width, 3), dtype=np.uint8)
    for top in range(0, image.height, _STRIP_PX):  # at once it would be copied twice more
        below = min(top + _STRIP_PX, image.height)
        pixels[top:below] = np.asarray(image.crop((0, top, image.width, below)))
    return pixels

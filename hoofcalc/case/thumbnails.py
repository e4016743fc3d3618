"""Small pictures of photographs to choose from, and the moment that the camera noted."""

from __future__ import annotations

import io
import warnings
from datetime import date, datetime, timedelta
from pathlib import Path

from hoofcalc.case.photograph import open_photograph
from hoofcalc.case.storage import kind_of_picture

#: Where EXIF keeps its own table, in it the moment of taking, and beside it that of the last change
#: (CIPA DC-008: tags Exif IFD Pointer, DateTimeOriginal, DateTime).
_TABLE, _TAKEN, _CHANGED = 0x8769, 0x9003, 0x0132
#: Cameras without a clock note a day long before.
_FIRST_DAY = date(2001, 1, 2)
_LONGEST_PX = 240
_QUALITY = 80


def taken(path: Path) -> datetime | None:
    """When a photograph was taken, as the camera noted it.

    Parameters
    ----------
    path
        The photograph.

    Returns
    -------
    datetime or None
        By the camera's clock; None where nothing usable is noted.
    """
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            if kind_of_picture(path) == "HEIC":
                import pillow_heif

                noted = pillow_heif.HeifImageFile(path).getexif()
            else:
                with Image.open(path) as image:  # the head alone; the picture is not decoded
                    noted = image.getexif()
            said = noted.get_ifd(_TABLE).get(_TAKEN) or noted.get(_CHANGED)
            moment = datetime.strptime(str(said)[:19], "%Y:%m:%d %H:%M:%S")
    except Exception:  # damaged remarks, in a picture that may be whole
        return None
    known = _FIRST_DAY <= moment.date() <= date.today() + timedelta(days=1)
    return moment if known else None


def thumbnail(path: Path) -> bytes:
    """A small JPEG of a photograph, upright.

    Parameters
    ----------
    path
        The photograph.

    Returns
    -------
    bytes
        The file.

    Raises
    ------
    CaseError
        If the photograph cannot be read, in words.
    """
    if kind_of_picture(path) != "JPEG":
        return open_photograph(path).shown(_LONGEST_PX)
    from PIL import Image, ImageOps

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path) as image:
                image.draft("RGB", (_LONGEST_PX, _LONGEST_PX))  # decoded at an eighth of its size
                small = ImageOps.exif_transpose(image).convert("RGB")
                small.thumbnail((_LONGEST_PX, _LONGEST_PX))
                file = io.BytesIO()
                small.save(file, "JPEG", quality=_QUALITY)
                return file.getvalue()
    except Exception:  # what is wrong is said by the one who opens it in earnest
        return open_photograph(path).shown(_LONGEST_PX)

"""An invented case to practise on: the photographs and film of two visits, and what is true.

The foot is the right fore of Otterby, a horse of the invented yard Brackenfold, before the trim of
its last two visits. Nothing is measured yet: that is the exercise.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._files import write_whole
from hoofcalc._inputs import FloatArray
from hoofcalc.case.markup import text
from hoofcalc.case.storage import as_csv, files_of, tables_as_toml
from hoofcalc.profile import MEASURES, Profile

if TYPE_CHECKING:
    from hoofcalc.case.synthetic.drawn_film import DrawnFilm
    from hoofcalc.case.synthetic.drawn_photograph import DrawnPhotograph

EXAMPLE_HORSE, EXAMPLE_FOOT = "Otterby", "right fore"
#: Number of the visit in the yard's records, by the name that a visit has in a case.
EXAMPLE_VISITS = {"2026-10-01": 4, "2026-11-05": 5}
_FILMED = "2026-11-05"
_FILM = f"{_FILMED} trot.mp4"
#: Frames that were really taken in a second, and those that a telephone stores of them.
_TRUE_FPS, _STORED_FPS = 240.0, 30.0
#: Turn, tilt and roll of the camera [degrees], by visit and view: a careful hand, no tripod.
_HELD = {
    ("2026-10-01", "side"): (3.0, 4.0, 0.8),
    ("2026-10-01", "front"): (-2.0, 6.0, -0.5),
    ("2026-10-01", "below"): (4.0, -3.0, 2.0),
    ("2026-11-05", "side"): (-9.0, 6.0, -1.2),
    ("2026-11-05", "front"): (5.0, 7.0, 0.6),
    ("2026-11-05", "below"): (-3.0, 5.0, -1.5),
}


def draw_example(
    folder: Path, progress: Callable[[float], None] | None = None
) -> tuple[dict[str, Any], dict[str, Mapping[str, Any]], DrawnFilm]:
    """Draw photographs and film into a case, and write what is true of them into its folder truth.

    The same files come out every time.

    Parameters
    ----------
    folder
        The folder of the case.
    progress
        Called with the part that is done, 0 to 1.

    Returns
    -------
    dict
        What true.toml holds.
    dict
        By file, where each point stands in it, by name [px].
    DrawnFilm
        The film, with the path of the mark.
    """
    from hoofcalc.case.synthetic.drawn_film import drawn_film, write_film

    tell = progress or (lambda _part: None)
    feet = {visit: _profile(visit) for visit in EXAMPLE_VISITS}
    rng = np.random.default_rng(505)
    film = drawn_film(feet[_FILMED], "trot", rng, fps=_TRUE_FPS, width_px=1600, height_px=900)
    photographs: list[dict[str, Any]] = []
    points: dict[str, Mapping[str, Any]] = {}
    rows: list[tuple[Any, ...]] = []
    home = files_of(folder, "film", _FILMED)
    with ThreadPoolExecutor(1) as beside:  # the other core films meanwhile
        filmed = beside.submit(write_film, home / _FILM, film.frames(), _STORED_FPS, crf=24)
        for number, (visit, view) in enumerate(_HELD):
            name = f"{visit} {view}.jpg"
            content, about, drawn = _photograph(visit, view, feet[visit], number)
            write_whole(files_of(folder, "pictures", visit) / name, content)
            photographs.append({"file": name, "visit": visit, "view": view, **about})
            points[name] = drawn.points_px
            rows += [
                (name, point, *map(float, at), *map(float, drawn.points_mm[point]))
                for point, at in drawn.points_px.items()
            ]
            tell(0.9 * (number + 1) / len(_HELD))
        filmed.result()
    points[_FILM] = film.scale_px
    rows += [(_FILM, name, *at, "", "") for name, at in film.scale_px.items()]
    marks = [(str(number), *map(float, at)) for number, at in enumerate(film.mark_px)]
    truth = _truth(photographs, feet, film)
    heading = "INVENTED. True places in the example's pictures, from the upper left corner."
    columns = ("file", "point", "right_px", "down_px", "right_mm", "up_mm")
    for name, content in {
        "true_points.csv": as_csv(columns, rows, heading),
        "true_mark.csv": as_csv(("frame", "right_px", "down_px"), marks, heading),
        "true.toml": tables_as_toml(
            truth, "INVENTED. What is true of the example's photographs and film."
        ),
        "read me.txt": text("example_read_me").encode(),
    }.items():
        write_whole(folder / "truth" / name, content)
    tell(1.0)
    return truth, points, film


def _truth(
    photographs: list[dict[str, Any]], feet: Mapping[str, Profile], film: DrawnFilm
) -> dict[str, Any]:
    """What is true of photographs, foot and film, as true.toml holds it."""
    return {
        "case": {"invented": True, "horse": EXAMPLE_HORSE, "foot": EXAMPLE_FOOT},
        "photograph": photographs,
        "foot": [
            {"visit": visit, **{name: float(getattr(foot, name)) for name in MEASURES}}
            for visit, foot in feet.items()
        ],
        "film": {
            "file": _FILM,
            "visit": _FILMED,
            "true_fps": _TRUE_FPS,
            "stored_fps": _STORED_FPS,
            **{name: getattr(film, name) for name in ("travel", "length_mm", "px_per_mm")},
            "mark_height_mm": film.standing_mm,
            "stance_s": film.stride.stance_s,
            "stride_s": film.stride.stride_s,
            "duty_factor": film.stride.duty_factor,
        },
        "stance": [
            {"down_frame": float(down * _TRUE_FPS), "up_frame": float(up * _TRUE_FPS)}
            for down, up in zip(film.contacts_s, film.leavings_s, strict=True)
        ],
    }


def _profile(visit: str) -> Profile:
    """The foot, stood on level ground: the yard's points of it lean by a part of a degree."""
    record = datasets.foot(EXAMPLE_HORSE, EXAMPLE_FOOT, EXAMPLE_VISITS[visit])
    return Profile(**{name: _stood(visit, at) for name, at in record.landmarks.items()})


def _stood(visit: str, places_mm: FloatArray) -> FloatArray:
    """Places on the foot, turned about the heel on the ground until toe and heel stand level."""
    record = datasets.foot(EXAMPLE_HORSE, EXAMPLE_FOOT, EXAMPLE_VISITS[visit])
    heel = record.landmarks["heel_ground"]
    lean = np.radians(Profile(**record.landmarks).bearing_tilt_deg)
    turn = np.array([[np.cos(lean), -np.sin(lean)], [np.sin(lean), np.cos(lean)]])
    stood: FloatArray = (places_mm - heel) @ turn + np.array([heel[0], 0.0])
    return stood


def _photograph(
    visit: str, view: str, profile: Profile, number: int
) -> tuple[bytes, dict[str, Any], DrawnPhotograph]:
    """One photograph as a file, what is true of it, and as it was drawn."""
    from PIL import Image

    from hoofcalc.case.synthetic.drawn_photograph import SQUARE_MM, STICK_MM, drawn_photograph
    from hoofcalc.case.synthetic.pinhole import Camera

    turn, tilt, roll = _HELD[visit, view]
    large = view == "side"
    camera = Camera(
        width_px=4032 if large else 2016,
        height_px=3024 if large else 1512,
        turn_deg=turn,
        tilt_deg=tilt,
        roll_deg=roll,
    )
    record = EXAMPLE_HORSE, EXAMPLE_FOOT, EXAMPLE_VISITS[visit]
    drawn = drawn_photograph(
        profile,
        view,
        camera,
        np.random.default_rng([505, number]),
        front_mm=datasets.front_view(*record) if view == "front" else None,
        outline_mm=datasets.outline(*record) if view == "below" else None,
        wall_lines_mm=_traced(visit) if view == "side" else None,
        inner="right",  # a right foot, looked at from the front
        blur_px=1.3 if large else 0.8,
    )
    lying = (visit, view) == (_FILMED, "side")  # the telephone was held upright
    pixels = np.rot90(drawn.pixels) if lying else drawn.pixels
    remarks = Image.Exif()
    remarks[0x0112] = 6 if lying else 1  # Exif: which way is up
    remarks[0x010E] = "Invented: drawn, not taken"
    file = io.BytesIO()
    Image.fromarray(np.ascontiguousarray(pixels)).save(file, "JPEG", quality=90, exif=remarks)
    held = ("width_px", "height_px", "turn_deg", "tilt_deg", "roll_deg")
    about = {
        **{name: getattr(camera, name) for name in held},
        "stick_mm": STICK_MM,
        "square_mm": SQUARE_MM,
        "facing": "right" if view == "side" else None,
    }
    return file.getvalue(), about, drawn


def _traced(visit: str) -> dict[str, FloatArray] | None:
    """The mean of the lines traced along the horn in each region, where the yard has them."""
    if visit != _FILMED:
        return None
    lines = datasets.wall_lines(EXAMPLE_HORSE, EXAMPLE_FOOT, EXAMPLE_VISITS[visit])
    return {
        region: _stood(visit, np.stack([ends["start"].mean(axis=0), ends["end"].mean(axis=0)]))
        for region, ends in lines.items()
    }

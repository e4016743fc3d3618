"""The invented yard Brackenfold, and the published figures that the course quotes.

The files lie in `datasets/`; `datasets/README.md` there says of each how it was made,
its units and where its figures come from. Everything about Brackenfold, horses, feet
and tracks, is **invented**. The published figures are not ours: each row says who
measured it, and whether we read the figure, recalled it or worked it out.

Axes: x forward (heel to toe), y to the horse's left, z up, ground at z = 0, in mm.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np

from hoofcalc._inputs import FloatArray, choice
from hoofcalc._where import course_folder

__all__ = [
    "Foot",
    "Horse",
    "PublishedFigure",
    "Reading",
    "StepTruth",
    "foot",
    "front_view",
    "horses",
    "outline",
    "published",
    "readings",
    "story_feet",
    "track",
    "track_truth",
    "visits",
    "wall_lines",
]

_FEET = ("left fore", "right fore", "left hind", "right hind")
_MOMENTS = ("before trim", "after trim")
#: Frame rates on file; the last is the motion itself, without point error.
_FRAME_RATES_HZ = (30, 60, 240, 1000)
#: Height of the toe mark while the foot stands, and the scatter of one digitised coordinate [mm].
_MARK_HEIGHT_MM = 10.0
_FILM_POINT_ERROR_MM = 1.0
#: The motion itself is rounded to a thousandth of a millimetre.
_TRUTH_POINT_ERROR_MM = 0.001


@dataclass(frozen=True)
class Horse:
    """One horse or pony of the yard (invented).

    Parameters
    ----------
    name, kind, work : str
        What it is called, what it is in plain words, what it does.
    mass_kg : float
        Mass [kg].
    height_cm : float
        Height at the withers [cm].
    age_years : int
        Age [years].
    shod : bool
        True if it wears shoes, False if it goes bare.

    References
    ----------
    Invented.

    Examples
    --------
    >>> horses()[0].name, horses()[0].mass_kg
    ('Fernlow', 520.0)
    """

    name: str
    kind: str
    mass_kg: float
    height_cm: float
    age_years: int
    work: str
    shod: bool


@dataclass(frozen=True, eq=False)
class Foot:
    """One foot at one visit (invented), just before or just after its trim.

    Parameters
    ----------
    horse, foot : str
        Whose foot, and which.
    visit : int
        Number of the visit, from 1.
    date : datetime.date
        Day of the visit.
    days_since : int or None
        Time since the visit before [days]; None at the first.
    moment : str
        "before trim" or "after trim".
    shod : bool
        True if the horse wears shoes.
    landmarks : dict of str to array, shape (2,)
        Points placed on the side view, forward and up [mm]; `Profile(**foot.landmarks)`.
    point_error_mm : float
        Standard deviation of each coordinate of a placed point [mm].
    heel_down_mm, toe_down_mm : float
        Height cut from under the heel and the toe at this visit [mm].
    toe_back_mm : float
        How far the toe was then rasped back from the front, at the ground [mm].
    note : str
        What the trimmer wrote down.

    References
    ----------
    Invented.

    Examples
    --------
    >>> record = foot("Otterby", "right fore", visit=4)
    >>> record.date.isoformat(), record.days_since, record.note
    ('2026-10-01', 77, 'eleven weeks, owner away; heel further forward, toe brought back')
    """

    horse: str
    foot: str
    visit: int
    date: date
    days_since: int | None
    moment: str
    shod: bool
    landmarks: dict[str, FloatArray]
    point_error_mm: float
    heel_down_mm: float
    toe_down_mm: float
    toe_back_mm: float
    note: str


@dataclass(frozen=True, eq=False)
class Reading:
    """One placing of the points on one photograph by one reader (invented).

    Parameters
    ----------
    reader : str
        "first" or "second".
    reading : int
        Number of the placing, from 1.
    landmarks : dict of str to array, shape (2,)
        Points as placed, forward and up [mm].

    References
    ----------
    Invented.

    Examples
    --------
    >>> readings()[0].reader, readings()[0].landmarks["toe_coronet"].shape
    ('first', (2,))
    """

    reader: str
    reading: int
    landmarks: dict[str, FloatArray]


@dataclass(frozen=True)
class StepTruth:
    """What the maker of a track knows and its reader is asked to find out (invented).

    Parameters
    ----------
    gait, limb : str
        As asked for.
    speed_m_s : float
        Speed of the horse [m/s].
    stride_s : float
        From one contact to the next [s].
    duty_factor : float
        Part of the stride for which the foot is on the ground [no unit].
    contact_s, lift_off_s, next_contact_s : float
        First touch of the heel, last touch of the toe, first touch of the next step, on
        the film's clock [s].
    landing_down_m_s, landing_forward_m_s, landing_speed_m_s : float
        Speed of the hoof just before contact, over the ground [m/s].
    descent_deg : float
        Direction of that speed: 0 straight down, positive moving forward [degrees].
    pitch_deg : float
        Toe up against the ground just before contact [degrees].
    flat_after_s : float
        From contact until the foot lies flat [s].
    slip_s, slip_mm : float
        How long and how far the foot slides forward after contact [s, mm].
    sink_mm : float
        How much lower the foot comes to rest than it touched [mm].

    References
    ----------
    Invented.

    Examples
    --------
    >>> track_truth("trot", "fore").landing_down_m_s
    1.90
    """

    gait: str
    limb: str
    speed_m_s: float
    stride_s: float
    duty_factor: float
    contact_s: float
    lift_off_s: float
    next_contact_s: float
    landing_down_m_s: float
    landing_forward_m_s: float
    landing_speed_m_s: float
    descent_deg: float
    pitch_deg: float
    flat_after_s: float
    slip_s: float
    slip_mm: float
    sink_mm: float


@dataclass(frozen=True)
class PublishedFigure:
    """One published figure, or one published finding in words.

    Parameters
    ----------
    quantity, case : str
        What was measured, and on what or when.
    value : float or None
        The figure, in `unit`; None where only a range or words were published.
    spread : float or None
        Its spread, in `unit`; of which kind stands in `spread_kind` ("sd", "2 sd", "sem").
    low, high : float or None
        The range, in `unit`, where one was published.
    unit, words, sample : str
        Unit ("1" for a plain number), finding in words, animals and method.
    citation : str
        Who published it, when and where.
    mark : str
        "read" (we saw the figure in the source), "read second-hand" (in a text that quotes
        it), "from memory" (recalled, not seen) or "derived" (worked out from such figures).
    note : str
        What to beware of; says "doubtful" where the figure is.

    References
    ----------
    Stands in `citation`.

    Examples
    --------
    >>> growth = published("growth", quantity="growth")[0]
    >>> growth.value, growth.unit, growth.mark
    (0.25, 'mm/day', 'read')
    """

    quantity: str
    case: str
    value: float | None
    spread: float | None
    spread_kind: str
    low: float | None
    high: float | None
    unit: str
    words: str
    sample: str
    citation: str
    mark: str
    note: str


def horses() -> tuple[Horse, ...]:
    """The nine horses and ponies of Brackenfold.

    Returns
    -------
    tuple of Horse
        Name, kind, mass [kg], height [cm] and more of each.

    Raises
    ------
    FileNotFoundError
        If the course's data files are missing.

    References
    ----------
    Invented.

    Examples
    --------
    >>> len(horses()), sorted(horse.mass_kg for horse in horses())[0]
    (9, 210.0)
    """
    return tuple(
        Horse(
            name=row["horse"],
            kind=row["kind"],
            mass_kg=float(row["mass_kg"]),
            height_cm=float(row["height_cm"]),
            age_years=int(row["age_years"]),
            work=row["work"],
            shod=row["shoes"] == "shod",
        )
        for row in _yard("horses.csv")
    )


def visits(horse: str) -> dict[int, date]:
    """The days on which one horse's feet were measured and trimmed.

    Parameters
    ----------
    horse : str
        Name of the horse.

    Returns
    -------
    dict of int to datetime.date
        Number of the visit, from 1, and its day.

    Raises
    ------
    ValueError
        If there is no such `horse`; the message lists them.

    References
    ----------
    Invented.

    Examples
    --------
    >>> [day.isoformat() for day in visits("Tibbet").values()]
    ['2026-04-14', '2026-06-09', '2026-08-04', '2026-10-06']
    """
    _known(horse)
    return {
        int(row["visit"]): date.fromisoformat(row["date"])
        for row in _yard("visits.csv")
        if row["horse"] == horse
    }


def foot(horse: str, foot: str, visit: int | None = None, moment: str = "before trim") -> Foot:
    """One foot at one visit: its landmarks, what was trimmed, what was noted.

    Parameters
    ----------
    horse : str
        Name of the horse.
    foot : str
        "left fore", "right fore", "left hind" or "right hind".
    visit : int, optional
        Number of the visit, from 1; left out, the last one.
    moment : str
        "before trim" or "after trim": when the points were placed.

    Returns
    -------
    Foot
        Landmarks [mm] ready for `Profile(**record.landmarks)`, and the record of the visit.

    Raises
    ------
    ValueError
        If there is no such `horse`, `foot`, `visit` or `moment`; the message lists what there is.

    References
    ----------
    Invented.

    Examples
    --------
    >>> record = foot("Fernlow", "left fore", visit=1)
    >>> record.landmarks["toe_ground"].shape, record.point_error_mm
    ((2,), 0.8)
    """
    visit = _known_visit(horse, foot, visit)
    choice("moment", moment, _MOMENTS)
    (seen,) = [row for row in _of(horse, foot, visit, "landmarks.csv") if row["moment"] == moment]
    (done,) = _of(horse, foot, visit, "visits.csv")
    return Foot(
        horse=horse,
        foot=foot,
        visit=visit,
        date=date.fromisoformat(done["date"]),
        days_since=int(done["days_since"]) if done["days_since"] else None,
        moment=moment,
        shod=done["shoes"] == "shod",
        landmarks=_landmarks(seen),
        point_error_mm=float(seen["point_error_mm"]),
        heel_down_mm=float(done["heel_down_mm"]),
        toe_down_mm=float(done["toe_down_mm"]),
        toe_back_mm=float(done["toe_back_mm"]),
        note=done["note"],
    )


def story_feet(visit: int | None = None, moment: str = "before trim") -> dict[str, Foot]:
    """The three feet that carry the story: in line, run under, too upright.

    Parameters
    ----------
    visit : int, optional
        Number of the visit, 1 to 5; left out, the last one.
    moment : str
        "before trim" or "after trim".

    Returns
    -------
    dict of str to Foot
        "in line", "run under" and "too upright", with landmarks [mm].

    Raises
    ------
    ValueError
        If there is no such `visit` or `moment`.

    References
    ----------
    Invented.

    Examples
    --------
    >>> {story: record.horse for story, record in story_feet().items()}
    {'in line': 'Fernlow', 'run under': 'Otterby', 'too upright': 'Hobnut'}
    """
    return {
        row["story"]: foot(row["horse"], row["foot"], visit, moment) for row in _yard("stories.csv")
    }


def outline(horse: str, foot: str, visit: int | None = None) -> FloatArray:
    """The outline of the foot on the ground, seen from below, before the trim.

    Drawn for the three story feet at every visit, for all other feet at the first.

    Parameters
    ----------
    horse, foot : str
        Whose foot, and which.
    visit : int, optional
        Number of the visit; left out, the last one that has an outline.

    Returns
    -------
    array, shape (n, 2)
        Points forward and to the horse's left [mm], from the heel on the horse's right
        round the toe to the heel on its left.

    Raises
    ------
    ValueError
        If there is no such `horse`, `foot` or `visit`, or no outline of it.

    References
    ----------
    Invented.

    Examples
    --------
    >>> ring = outline("Fernlow", "left fore")
    >>> ring.shape, bool(ring[0, 1] < 0 < ring[-1, 1])
    ((23, 2), True)
    """
    rows = _some(horse, foot, visit, "outlines.csv", "outline")
    return np.array([[float(row["x_mm"]), float(row["y_mm"])] for row in rows])


def front_view(horse: str, foot: str, visit: int | None = None) -> dict[str, float]:
    """Heights and half widths of the foot seen from the front, before the trim.

    Parameters
    ----------
    horse, foot : str
        Whose foot, and which.
    visit : int, optional
        Number of the visit; left out, the last one.

    Returns
    -------
    dict of str to float
        Height of the wall at its side [mm] and distance of its ground end and of the
        coronary band from the midline [mm], each inner (medial) and outer (lateral):
        medial_height_mm, lateral_height_mm, medial_ground_mm, lateral_ground_mm,
        medial_coronet_mm, lateral_coronet_mm.

    Raises
    ------
    ValueError
        If there is no such `horse`, `foot` or `visit`.

    References
    ----------
    Invented.

    Examples
    --------
    >>> view = front_view("Hobnut", "left fore", visit=1)
    >>> view["lateral_coronet_mm"] < view["lateral_ground_mm"]
    True
    """
    row = _some(horse, foot, visit, "front_views.csv", "front view")[0]
    return {name: float(value) for name, value in row.items() if name.endswith("_mm")}


def wall_lines(horse: str, foot: str, visit: int | None = None) -> dict[str, dict[str, FloatArray]]:
    """Short lines traced along the visible horn at toe, quarter and heel, before the trim.

    Traced for the three story feet at their first and last visit.

    Parameters
    ----------
    horse, foot : str
        Whose foot, and which.
    visit : int, optional
        Number of the visit; left out, the last one that has traced lines.

    Returns
    -------
    dict of str to dict
        For "toe", "quarter" and "heel" the "start" and "end" of each line, shape (n, 2),
        forward and up [mm], in the axes of that visit's landmarks.

    Raises
    ------
    ValueError
        If there is no such `horse`, `foot` or `visit`, or no lines were traced on it.

    References
    ----------
    Invented.

    Examples
    --------
    >>> lines = wall_lines("Otterby", "right fore")
    >>> sorted(lines), lines["heel"]["start"].shape
    (['heel', 'quarter', 'toe'], (6, 2))
    """
    rows = _some(horse, foot, visit, "wall_lines.csv", "traced wall lines")
    return {
        region: {
            end: np.array(
                [
                    [float(row[f"{end}_x_mm"]), float(row[f"{end}_z_mm"])]
                    for row in rows
                    if row["region"] == region
                ]
            )
            for end in ("start", "end")
        }
        for region in ("toe", "quarter", "heel")
    }


def readings() -> tuple[Reading, ...]:
    """One photograph of one foot, its points placed five times each by two readers.

    The two readers place points equally well, but see some landmarks in different
    places: for asking when five degrees are a difference.

    Returns
    -------
    tuple of Reading
        Landmarks [mm] of each placing; those of the first reader come first.

    Raises
    ------
    FileNotFoundError
        If the course's data files are missing.

    References
    ----------
    Invented.

    Examples
    --------
    >>> [(one.reader, one.reading) for one in readings()][4:6]
    [('first', 5), ('second', 1)]
    """
    return tuple(
        Reading(row["reader"], int(row["reading"]), _landmarks(row))
        for row in _yard("readings.csv")
    )


def track(gait: str, limb: str, frame_rate_hz: int = 240) -> dict[str, FloatArray | float]:
    """The path of two marks on a hoof, from before one contact to after the next.

    At 240, 60 and 30 frames a second the points carry a digitising error; at 1,000 they
    are the motion itself. The motion is a model: a smooth swing, a landing that eases
    out, a foot at rest, a heel that lifts about the toe. It has no ringing at impact, no
    blur, and every stride is the same.

    Parameters
    ----------
    gait : str
        "walk", "trot" or "canter".
    limb : str
        "fore" or "hind" at walk and trot; at canter "leading fore", "trailing fore",
        "leading hind" or "trailing hind".
    frame_rate_hz : int
        Frames a second [Hz]: 240, 60, 30 or 1000.

    Returns
    -------
    dict
        Ready for `Track(**...)`: times_s, shape (n,) [s]; positions_mm of the toe mark and
        second_mm of the heel mark, shape (n, 2), forward and up [mm]; ground_mm, the height
        of the mark while the foot stands [mm]; point_error_mm, standard deviation of each
        coordinate [mm].

    Raises
    ------
    ValueError
        If there is no such `gait`, `limb` or `frame_rate_hz`; the message lists what there is.

    References
    ----------
    Invented. The downward speed at trot follows Reiser RF, Peterson ML, Kawcak CE,
    McIlwraith CW, conference paper about 2000 (read): 1.9 m/s.

    Examples
    --------
    >>> film = track("trot", "fore", frame_rate_hz=60)
    >>> film["positions_mm"].shape, film["ground_mm"]
    ((72, 2), 10.0)
    """
    _known_step(gait, limb)
    if frame_rate_hz not in _FRAME_RATES_HZ:
        listing = ", ".join(str(rate) for rate in _FRAME_RATES_HZ)
        raise ValueError(f"frame_rate_hz must be one of {listing} (got {frame_rate_hz!r})")
    name = f"{gait}_{limb.replace(' ', '_')}"
    if frame_rate_hz == 1000:
        rows = _yard(f"tracks/truth/{name}_1000.csv")
    else:
        rows = _yard(f"tracks/{name}.csv")
        rows = [row for row in rows if int(row["frames_per_s"]) == frame_rate_hz]
    return {
        "times_s": np.array([float(row["time_s"]) for row in rows]),
        "positions_mm": _columns(rows, "toe_forward_mm", "toe_up_mm"),
        "second_mm": _columns(rows, "heel_forward_mm", "heel_up_mm"),
        "ground_mm": _MARK_HEIGHT_MM,
        "point_error_mm": (
            _TRUTH_POINT_ERROR_MM if frame_rate_hz == 1000 else _FILM_POINT_ERROR_MM
        ),
    }


def track_truth(gait: str, limb: str) -> StepTruth:
    """What is true of a track: contact, lift-off, speeds, pitch and slip.

    Parameters
    ----------
    gait, limb : str
        As for `track`.

    Returns
    -------
    StepTruth
        Times [s], speeds [m/s], angles [degrees] and lengths [mm] of the step.

    Raises
    ------
    ValueError
        If there is no such `gait` or `limb`; the message lists what there is.

    References
    ----------
    Invented. Duty factors lie in the published ranges (`published("gait_timing")`).

    Examples
    --------
    >>> truth = track_truth("canter", "trailing fore")
    >>> truth.descent_deg > track_truth("trot", "fore").descent_deg
    True
    """
    _known_step(gait, limb)
    rows = _yard("tracks/truth/steps.csv")
    (row,) = [row for row in rows if (row["gait"], row["limb"]) == (gait, limb)]
    numbers = {name: float(value) for name, value in row.items() if name not in ("gait", "limb")}
    return StepTruth(gait=gait, limb=limb, **numbers)


def published(
    name: str, quantity: str | None = None, case: str | None = None
) -> tuple[PublishedFigure, ...]:
    """Published figures of one table, each with citation and mark.

    Parameters
    ----------
    name : str
        "duty_factor_method", "gait_forces", "gait_timing", "growth", "hoof_angles", "horn",
        "landing", "measurement_error" or "occupational_standards".
    quantity, case : str, optional
        Only the rows of this quantity, of this case.

    Returns
    -------
    tuple of PublishedFigure
        Values in the unit that each row names.

    Raises
    ------
    ValueError
        If there is no such table `name`, `quantity` or `case`; the message lists what there is.

    References
    ----------
    Stands in each row.

    Examples
    --------
    >>> toe = published("hoof_angles", quantity="toe_angle", case="fore")[0]
    >>> toe.value, toe.spread, toe.unit
    (51.8, 3.9, 'deg')
    """
    folder = course_folder("datasets") / "published"
    choice("name", name, tuple(sorted(path.stem for path in folder.glob("*.csv"))))
    figures = tuple(_figure(row) for row in _rows(folder / f"{name}.csv"))
    if quantity is not None:
        choice("quantity", quantity, tuple(dict.fromkeys(one.quantity for one in figures)))
        figures = tuple(one for one in figures if one.quantity == quantity)
    if case is not None:
        choice("case", case, tuple(dict.fromkeys(one.case for one in figures)))
        figures = tuple(one for one in figures if one.case == case)
    return figures


def _rows(path: Path) -> list[dict[str, str]]:
    """The rows of a table whose first line is a remark."""
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def _yard(name: str) -> list[dict[str, str]]:
    """The rows of one of the yard's files."""
    return _rows(course_folder("datasets") / "brackenfold" / name)


def _known(horse: str) -> None:
    """Refuse a horse that does not stand in the yard."""
    choice("horse", horse, tuple(row["horse"] for row in _yard("horses.csv")))


def _known_visit(horse: str, foot: str, visit: int | None) -> int:
    """The number of the visit (the last one for None), refusing what there is not."""
    dates = visits(horse)
    choice("foot", foot, _FEET)
    if visit is None:
        return max(dates)
    if visit not in dates:
        listing = ", ".join(f"{number} ({day})" for number, day in dates.items())
        raise ValueError(f"visit of {horse} must be one of {listing} (got {visit!r})")
    return visit


def _of(horse: str, foot: str, visit: int | None, name: str) -> list[dict[str, str]]:
    """The rows of one foot, at one visit or at all."""
    return [
        row
        for row in _yard(name)
        if (row["horse"], row["foot"]) == (horse, foot)
        and (visit is None or int(row["visit"]) == visit)
    ]


def _some(horse: str, foot: str, visit: int | None, name: str, what: str) -> list[dict[str, str]]:
    """The rows of one foot at one visit (for None at the last that has any), or why not."""
    _known_visit(horse, foot, visit)
    rows = _of(horse, foot, None, name)
    there = sorted({int(row["visit"]) for row in rows})
    if not there:
        raise ValueError(f"there is no {what} of {horse}'s {foot}; the story feet have one")
    if visit is not None and visit not in there:
        listing = ", ".join(str(number) for number in there)
        raise ValueError(
            f"there is no {what} of {horse}'s {foot} at visit {visit}; there is at visit {listing}"
        )
    return [row for row in rows if int(row["visit"]) == (visit or there[-1])]


def _landmarks(row: dict[str, str]) -> dict[str, FloatArray]:
    """The points of a row, under the names that `Profile` gives them."""
    names = [name.removesuffix("_x_mm") for name in row if name.endswith("_x_mm")]
    return {name: np.array([float(row[f"{name}_{axis}_mm"]) for axis in "xz"]) for name in names}


def _columns(rows: list[dict[str, str]], *names: str) -> FloatArray:
    """Columns of numbers, side by side."""
    return np.array([[float(row[name]) for name in names] for row in rows])


def _known_step(gait: str, limb: str) -> None:
    """Refuse a gait or limb that was not filmed."""
    steps = [(row["gait"], row["limb"]) for row in _yard("tracks/truth/steps.csv")]
    choice("gait", gait, tuple(dict.fromkeys(one for one, _ in steps)))
    choice(f"limb at {gait}", limb, tuple(one for other, one in steps if other == gait))


def _figure(row: dict[str, str]) -> PublishedFigure:
    """A row with its numbers as numbers; an empty cell is None."""

    def number(name: str) -> float | None:
        return float(row[name]) if row[name] else None

    figures = {name: number(name) for name in ("value", "spread", "low", "high")}
    return PublishedFigure(**{**row, **figures})  # type: ignore[arg-type]

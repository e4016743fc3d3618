"""Make every file of the invented yard Brackenfold: horses, feet, readings and tracks.

    python datasets/make_brackenfold.py [FOLDER]

writes into FOLDER (default: the folder `brackenfold` beside this script) and
always writes the same bytes: each foot and each film draws from its own seeded
generator, and numbers are rounded to the digits that the file shows. Nothing in
here was measured on a horse; README.md says what was assumed and why.

Axes: x forward, y to the horse's left, z up, ground at z = 0; mm and degrees.
"""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import numpy as np

SEED = 20261
FEET = ("left fore", "right fore", "left hind", "right hind")
POINTS = (
    "toe_ground",
    "toe_coronet",
    "heel_ground",
    "heel_coronet",
    "pastern_low",
    "pastern_high",
    "bulb",
    "widest_point",
)
POINT_COLUMNS = ",".join(f"{name}_x_mm,{name}_z_mm" for name in POINTS)
DAYS_BEFORE_FIRST_VISIT = 45
POINT_ERROR_MM = 0.8  # one placed point, each direction, a sharp photograph
POOR_POINT_ERROR_MM = 1.3  # mud, or poor light


@dataclass(frozen=True)
class Horse:
    """What is typed by hand about a horse; the angles are of its fore feet just after a trim."""

    name: str
    kind: str
    mass_kg: int
    height_cm: int
    age_years: int
    work: str
    shod: bool
    toe_deg: float
    heel_deg: float
    growth_mm_per_day: float
    first_visit: str
    weeks_between: tuple[int, ...]


HORSES = (
    Horse("Fernlow", "riding horse", 520, 164, 11, "riding lessons on a sand school", True,
          53.5, 45.0, 0.25, "2026-04-07", (6, 6, 7, 6)),
    Horse("Otterby", "light riding horse, fine boned", 505, 162, 8, "hacking and hill work", True,
          51.0, 38.0, 0.25, "2026-04-09", (8, 6, 11, 5)),
    Horse("Hobnut", "sturdy pony", 330, 137, 14, "children's rides", False,
          55.0, 46.5, 0.24, "2026-04-07", (6, 7, 6, 7)),
    Horse("Wrenlock", "cob", 560, 152, 9, "carriage driving", True,
          51.5, 41.0, 0.26, "2026-04-14", (5, 6, 5, 6)),
    Horse("Tibbet", "small pony", 210, 112, 19, "retired, out at grass", False,
          54.5, 46.0, 0.23, "2026-04-14", (8, 8, 9)),
    Horse("Marrowfen", "heavy draught cross", 690, 170, 7, "timber hauling", True,
          49.5, 37.0, 0.27, "2026-04-16", (7, 7, 12)),
    Horse("Quillet", "young riding horse", 455, 158, 4, "being started", False,
          53.0, 44.0, 0.27, "2026-04-16", (6, 5, 6, 7)),
    Horse("Sallowby", "old riding horse", 480, 157, 22, "light hacking", True,
          50.5, 36.5, 0.23, "2026-04-21", (7, 8, 7)),
    Horse("Tarnish", "hill pony", 380, 142, 10, "trekking on stony tracks", False,
          54.5, 46.5, 0.25, "2026-04-21", (7, 6, 8, 6)),
)  # fmt: skip

# What makes some feet unlike their horse's others. Angles just after a trim.
SPECIAL: dict[tuple[str, str], dict[str, float]] = {
    ("Fernlow", "left fore"): {"toe_deg": 53.5, "heel_deg": 50.5},
    ("Otterby", "right fore"): {
        "toe_deg": 51.0, "heel_deg": 36.0, "drift_deg_per_week": 0.20, "axis_deg": 6.0,
        "height_ratio": 0.36, "taper": 0.90,
    },
    ("Otterby", "left fore"): {"drift_deg_per_week": 0.06, "axis_deg": 3.0},
    ("Hobnut", "left fore"): {
        "toe_deg": 61.5, "heel_deg": 64.5, "axis_deg": -5.0,
        "height_ratio": 0.58, "taper": 0.76, "width_ratio": 0.95, "heel_narrowing": 0.38,
    },
    ("Wrenlock", "right hind"): {"side_difference_mm": 5.0},
}  # fmt: skip
STORY = {
    "in line": ("Fernlow", "left fore"),
    "run under": ("Otterby", "right fore"),
    "too upright": ("Hobnut", "left fore"),
}
# Its horn is bent: at the heel the lines lie flatter than the straight line between the
# heel's two landmarks, less so further forward.
HEEL_BEND_DEG = {"run under": -4.0}

# Where the toe was rasped from the front as well.
TOE_BACK_MM = {
    ("Otterby", "right fore", 4): 3.0,
    ("Otterby", "right fore", 5): 2.0,
    ("Sallowby", "left fore", 2): 2.0,
    ("Sallowby", "right fore", 2): 2.0,
}

NOTES = {
    ("Fernlow", "left fore", 1): "regular, stands square on it",
    ("Otterby", "right fore", 1): "heels look low, toe a little long",
    ("Otterby", "right fore", 2): "eight weeks since the last visit",
    (
        "Otterby",
        "right fore",
        4,
    ): "eleven weeks, owner away; heel further forward, toe brought back",
    ("Otterby", "right fore", 5): "short interval agreed",
    ("Hobnut", "left fore", 1): "steeper and narrower than the right fore",
    ("Hobnut", "left fore", 3): "muddy photograph, points hard to see",
    ("Marrowfen", "left fore", 4): "twelve weeks, timber season",
    ("Marrowfen", "right hind", 2): "photograph in poor light",
    ("Quillet", "left fore", 2): "would not stand square",
    ("Sallowby", "left hind", 3): "photograph in poor light",
    ("Tibbet", "right fore", 3): "growth rings wider than in spring",
    ("Wrenlock", "right hind", 1): "outer wall higher than inner",
    ("Tarnish", "left fore", 4): "worn at the toe, little to trim",
}
POOR_PHOTOGRAPHS = {
    ("Hobnut", "left fore", 3), ("Marrowfen", "right hind", 2), ("Sallowby", "left hind", 3),
}  # fmt: skip


# --- a foot in the side view -------------------------------------------------------------


@dataclass(frozen=True)
class Side:
    """One foot from the side, true points; the coronary band stays, the ground ends move."""

    points: dict[str, np.ndarray]
    heel_drift_deg_per_day: float
    toe_growth_mm_per_day: float  # growth less wear
    heel_growth_mm_per_day: float


def unit(angle_deg: float) -> np.ndarray:
    """Up and back along a line that stands at `angle_deg` to the ground."""
    angle = np.radians(angle_deg)
    return np.array([-np.cos(angle), np.sin(angle)])


def turned(points: np.ndarray, angle_deg: float) -> np.ndarray:
    """Points turned about the origin, toe upward for a positive angle."""
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    return points @ np.array([[c, s], [-s, c]])


def level(side: Side) -> Side:
    """The foot set down: heel at the origin, the line from heel to toe along the ground."""
    heel = side.points["heel_ground"]
    forward, up = side.points["toe_ground"] - heel
    lean = -np.degrees(np.arctan2(up, forward))
    points = {name: turned(point - heel, lean) for name, point in side.points.items()}
    points["widest_point"] = np.array([points["widest_point"][0], 0.0])
    return replace(side, points=points)


def slope_and_length(side: Side, part: str) -> tuple[float, float]:
    """Angle to the ground and length of the toe's or heel's wall."""
    back, up = side.points[f"{part}_coronet"] - side.points[f"{part}_ground"]
    return float(np.degrees(np.arctan2(up, -back))), float(np.hypot(back, up))


def fresh_side(horse: Horse, foot: str, shape: dict[str, float]) -> Side:
    """A foot just after a trim; lengths follow the cube root of the mass."""
    toe_deg, heel_deg = shape["toe_deg"], shape["heel_deg"]
    toe_mm = 82.5 * np.cbrt(horse.mass_kg / 455.0)  # rule of thumb: 8.25 cm at 430-480 kg
    bearing_mm = (1.38 if foot.endswith("fore") else 1.34) * toe_mm
    toe_ground, heel_ground = np.array([bearing_mm, 0.0]), np.zeros(2)
    toe_coronet = toe_ground + toe_mm * unit(toe_deg)
    heel_mm = shape["height_ratio"] * toe_coronet[1] / np.sin(np.radians(heel_deg))
    heel_coronet = heel_ground + heel_mm * unit(heel_deg)
    pastern = unit(
        toe_deg + shape["axis_deg"]
    )  # its middle line, from the middle of the coronary band
    pastern_low = 0.5 * (toe_coronet + heel_coronet) + 0.3 * toe_mm * pastern
    wear_toe, wear_heel = (0.0, 0.08) if horse.shod else (0.13, 0.10)
    points = {
        "toe_ground": toe_ground,
        "toe_coronet": toe_coronet,
        "heel_ground": heel_ground,
        "heel_coronet": heel_coronet,
        "pastern_low": pastern_low,
        "pastern_high": pastern_low + 0.8 * toe_mm * pastern,
        "bulb": heel_coronet + 0.01 * toe_mm * np.array([-12.0, -8.0]),
        "widest_point": np.array([toe_coronet[0] - 0.03 * toe_mm, 0.0]),
    }
    return Side(
        points,
        heel_drift_deg_per_day=shape["drift_deg_per_week"] / 7.0,
        toe_growth_mm_per_day=horse.growth_mm_per_day - wear_toe,
        heel_growth_mm_per_day=horse.growth_mm_per_day - wear_heel,
    )


def grown(side: Side, days: int) -> Side:
    """After `days`: longer at the ground ends, the heel's line flatter by its drift."""
    points = dict(side.points)
    toe_deg, toe_mm = slope_and_length(side, "toe")
    heel_deg, heel_mm = slope_and_length(side, "heel")
    heel_deg -= side.heel_drift_deg_per_day * days
    toe_mm += side.toe_growth_mm_per_day * days
    heel_mm += side.heel_growth_mm_per_day * days
    points["toe_ground"] = points["toe_coronet"] - toe_mm * unit(toe_deg)
    points["heel_ground"] = points["heel_coronet"] - heel_mm * unit(heel_deg)
    return level(replace(side, points=points))


def trimmed(side: Side, heel_down_mm: float, toe_down_mm: float, toe_back_mm: float) -> Side:
    """Heel and toe cut up their own lines by so much height, the foot set down level, and
    then the toe rasped from the front until its ground end lies further back."""
    points = dict(side.points)
    for part, down_mm in (("heel", heel_down_mm), ("toe", toe_down_mm)):
        angle_deg, _ = slope_and_length(side, part)
        off_mm = down_mm / np.sin(np.radians(angle_deg))
        points[f"{part}_ground"] = points[f"{part}_ground"] + off_mm * unit(angle_deg)
    side = level(replace(side, points=points))
    rasped = side.points["toe_ground"] - np.array([toe_back_mm, 0.0])
    return replace(side, points=side.points | {"toe_ground": rasped})


def placed(side: Side, error_mm: float, rng: np.random.Generator) -> list[str]:
    """The landmarks as placed on a photograph, each coordinate off by the point error."""
    xz = np.array([side.points[name] for name in POINTS])
    return rounded((xz + rng.normal(0.0, error_mm, xz.shape)).ravel(), 1)


def half_mm(value: float) -> float:
    """To the half millimetre that a trimmer writes down, never negative."""
    return max(0.0, round(2.0 * value) / 2.0)


# --- the same foot from the front and from below -----------------------------------------


def front_view(side: Side, width_mm: float, taper: float, side_difference_mm: float) -> list[float]:
    """True heights of the wall and half widths from the midline, inner (medial) side first."""
    height = 0.5 * (side.points["toe_coronet"][1] + side.points["heel_coronet"][1])
    inner, outer = 0.49 * width_mm, 0.51 * width_mm
    return [
        height - 0.5 * side_difference_mm,
        height + 0.5 * side_difference_mm,
        inner,
        outer,
        taper * inner,
        taper * outer,
    ]


def outline(side: Side, foot: str, width_mm: float, heel_narrowing: float) -> np.ndarray:
    """True ground outline (x, y): from the heel on the horse's right round the toe to its left."""
    toe_x, widest_x = side.points["toe_ground"][0], side.points["widest_point"][0]
    front = np.radians(np.linspace(-90.0, 90.0, 13))
    back = np.linspace(1.0, 0.0, 6)[:-1]  # 1 at the heel, towards the widest place
    half = 0.5 * width_mm * (1.0 - heel_narrowing * back**2)
    x = np.concatenate(
        [
            widest_x * (1.0 - back),
            widest_x + (toe_x - widest_x) * np.cos(front),
            widest_x * (1.0 - back[::-1]),
        ]
    )
    y = np.concatenate([-half, 0.5 * width_mm * np.sin(front), half[::-1]])
    outer_is_left = foot.startswith("left")
    return np.column_stack([x, y * np.where((y > 0) == outer_is_left, 1.02, 0.98)])


def wall_lines(side: Side, bend_deg: float, rng: np.random.Generator) -> list[list[object]]:
    """Short lines as a reader traces them along visible horn: region, start and end."""
    rows: list[list[object]] = []
    toe_deg, heel_deg = slope_and_length(side, "toe")[0], slope_and_length(side, "heel")[0]
    for region, places in (("toe", (0.94, 1.0)), ("quarter", (0.4, 0.65)), ("heel", (0.0, 0.1))):
        for _ in range(6):
            place = rng.uniform(*places)  # 0 at the heel, 1 at the toe
            low, high = rng.uniform(0.08, 0.25), rng.uniform(0.65, 0.85)
            ground = (1 - place) * side.points["heel_ground"] + place * side.points["toe_ground"]
            crown = (1 - place) * side.points["heel_coronet"] + place * side.points["toe_coronet"]
            angle = heel_deg + place * (toe_deg - heel_deg)
            length = float(np.hypot(*(crown - ground)))
            seen = angle + bend_deg * (1 - place) + rng.normal(0.0, 2.0)
            start = crown - (1 - low) * length * unit(angle)
            end = start + (high - low) * length * unit(seen)
            rows.append([region, *rounded(np.concatenate([start, end]), 1)])
    return rows


# --- tracks ------------------------------------------------------------------------------


@dataclass(frozen=True)
class Step:
    """What is chosen about one limb in one gait; everything else follows."""

    gait: str
    limb: str
    speed_m_s: float
    stride_s: float
    duty_factor: float
    down_m_s: float  # just before contact
    forward_m_s: float  # just before contact, over the ground
    pitch_deg: float  # toe up, just before contact
    slip_s: float
    sink_mm: float
    off_up_m_s2: float  # pick-up of the toe at lift-off
    heel_off_part: float = 0.25  # last part of the stance, in which the heel lifts
    tip_deg: float = 30.0  # toe-down pitch at lift-off


STEPS = (
    Step("walk", "fore", 1.5, 1.10, 0.62, 0.85, 0.22, 1.5, 0.020, 1.5, 15.0),
    Step("walk", "hind", 1.5, 1.10, 0.60, 0.80, 0.26, 2.0, 0.020, 1.5, 15.0),
    Step("trot", "fore", 3.6, 0.74, 0.38, 1.90, 0.75, 2.0, 0.022, 2.0, 25.0),
    Step("trot", "hind", 3.6, 0.74, 0.33, 1.80, 0.85, 1.5, 0.025, 2.0, 25.0),
    Step("canter", "trailing fore", 5.6, 0.58, 0.34, 2.30, 2.40, 2.5, 0.022, 2.5, 35.0),
    Step("canter", "leading fore", 5.6, 0.58, 0.36, 2.40, 2.00, 2.0, 0.020, 2.5, 35.0),
    Step("canter", "trailing hind", 5.6, 0.58, 0.38, 2.20, 2.20, 1.5, 0.022, 2.5, 35.0),
    Step("canter", "leading hind", 5.6, 0.58, 0.37, 2.30, 1.90, 2.0, 0.020, 2.5, 35.0),
)
OFF_FORWARD_M_S2 = 40.0  # toe at lift-off
ON_BACK_M_S2, ON_DOWN_M_S2 = 10.0, 12.0  # toe just before contact: slowing, and sinking faster
TURN_ON_DEG = 45.0  # about how much further the hoof turns over after lift-off
BEARING_MM = 115.0
MARKS_MM = np.array([[-8.0, 10.0], [-98.0, 10.0]])  # toe mark and heel mark, from the toe's tip
BEFORE, AFTER = 0.35, 0.25  # parts of a stride filmed before the first, after the second contact
OFFSET_S = 0.0037  # so that no contact falls on a frame
FILM_RATES = (240, 60, 30)
FILM_POINT_ERROR_MM = 1.0


def quintic(
    u: np.ndarray, span: float, start: tuple[float, float, float], end: tuple[float, float, float]
) -> np.ndarray:
    """The polynomial of fifth degree with given value, rate and acceleration at both ends."""
    powers = np.array([0, 1, 2, 3, 4, 5])
    rows = []
    for at in (0.0, 1.0):
        rows.append(at**powers)
        rows.append(powers * at ** np.maximum(powers - 1, 0))
        rows.append(powers * (powers - 1) * at ** np.maximum(powers - 2, 0))
    scale = np.array([1.0, span, span**2])
    wanted = np.concatenate([np.array(start) * scale, np.array(end) * scale])
    return np.polynomial.polynomial.polyval(u, np.linalg.solve(np.array(rows), wanted))


def flat_after_s(step: Step) -> float:
    """How long the landing takes: the toe comes down by its height at contact, easing out."""
    height = BEARING_MM * np.sin(np.radians(step.pitch_deg)) + step.sink_mm
    return float(2.0 * height / (1000.0 * step.down_m_s))


def eased(u: np.ndarray) -> np.ndarray:
    """Way covered while a speed eases from 1 to 0 (as 1 - 3u^2 + 2u^3); 1/2 at u = 1."""
    u = np.clip(u, 0.0, 1.0)
    return u - u**3 + 0.5 * u**4


def pose(step: Step, since_contact_s: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Tip of the toe (forward, up; mm) and pitch (degrees) over one stride from a contact.

    Forward 0 is where the toe comes to rest. Landing, rest, heel lifting about the
    toe, then a swing that joins both its ends in place and speed; the acceleration jumps there,
    as it does when a foot leaves or hits the ground.
    """
    t, stance_s = since_contact_s, step.duty_factor * step.stride_s
    slip_mm = 500.0 * step.forward_m_s * step.slip_s
    land_s, pitch = flat_after_s(step), step.pitch_deg
    height = 500.0 * step.down_m_s * land_s
    # landing and rest
    forward = -slip_mm + 1000.0 * step.forward_m_s * step.slip_s * eased(t / step.slip_s)
    up = height - 1000.0 * step.down_m_s * land_s * eased(t / land_s)
    u = np.clip(t / land_s, 0.0, 1.0)
    angle = pitch * (1.0 - (10.0 * u**3 - 15.0 * u**4 + 6.0 * u**5))
    # the heel lifts, turning about the toe
    tip_s = step.heel_off_part * stance_s
    u = np.clip((t - stance_s + tip_s) / tip_s, 0.0, 1.0)
    angle = angle - step.tip_deg * u**3
    # swing: the toe is picked up with a jerk, the hoof goes on turning over and comes back
    swing_s = step.stride_s - stance_s
    u = np.clip((t - stance_s) / swing_s, 0.0, 1.0)
    stride_mm = 1000.0 * step.speed_m_s * step.stride_s
    air = t > stance_s
    off = (0.0, 0.0, 1000.0 * OFF_FORWARD_M_S2), (0.0, 0.0, 1000.0 * step.off_up_m_s2)
    on = (
        (stride_mm - slip_mm, 1000.0 * step.forward_m_s, -1000.0 * ON_BACK_M_S2),
        (height, -1000.0 * step.down_m_s, -1000.0 * ON_DOWN_M_S2),
    )
    forward = np.where(air, quintic(u, swing_s, off[0], on[0]), forward)
    up = np.where(air, quintic(u, swing_s, off[1], on[1]), up)
    rate = -3.0 * step.tip_deg / tip_s
    slowing = rate**2 / (2.0 * TURN_ON_DEG)
    turning = quintic(u, swing_s, (-step.tip_deg, rate, slowing), (pitch, 0.0, 0.0))
    angle = np.where(air, turning, angle)
    return forward, up, angle


def marks(step: Step, times_s: np.ndarray) -> np.ndarray:
    """True place of the two marks, shape (n, 4): toe mark forward, up; heel mark forward, up."""
    since = times_s - first_contact_s(step)
    strides = np.floor(since / step.stride_s)
    forward, up, angle = pose(step, since - strides * step.stride_s)
    forward = forward + strides * 1000.0 * step.speed_m_s * step.stride_s
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    columns = []
    for back, high in MARKS_MM:
        columns += [forward + back * c - high * s, up + back * s + high * c]
    return np.column_stack(columns)


def first_contact_s(step: Step) -> float:
    """Contact on the film's clock."""
    return BEFORE * step.stride_s + OFFSET_S


def frame_times_s(step: Step, rate_hz: int) -> np.ndarray:
    """Times of the frames."""
    last_s = (1.0 + BEFORE + AFTER) * step.stride_s
    return np.arange(int(last_s * rate_hz) + 1) / rate_hz


# --- writing -----------------------------------------------------------------------------


def rounded(values: Iterable[float], digits: int) -> list[str]:
    """Numbers as text with that many digits, never "-0.0"."""
    return [f"{round(float(value), digits) + 0.0:.{digits}f}" for value in values]


def write(path: Path, about: str, columns: str, rows: list[list[object]]) -> None:
    """A CSV file whose first line says that it is invented."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = io.StringIO()
    text.write(f"# INVENTED, made by make_brackenfold.py. {about}\n{columns}\n")
    csv.writer(text, lineterminator="\n").writerows(rows)
    path.write_bytes(text.getvalue().encode("utf-8"))


def make(folder: Path) -> None:
    """Write all files."""
    make_yard(folder)
    make_readings(folder)
    make_tracks(folder / "tracks")


def foot_numbers(horse: Horse, foot: str, rng: np.random.Generator) -> dict[str, float]:
    """The numbers that shape one foot: its horse's, a little scatter, and what is special."""
    fore = foot.endswith("fore")
    scatter = rng.normal(0.0, [1.0, 2.0, 1.5, 1.2])  # always drawn, used or not
    numbers = {
        "toe_deg": horse.toe_deg + scatter[0] - (0.0 if fore else 0.9),
        "heel_deg": horse.heel_deg + scatter[1] - (0.0 if fore else 3.7),
        "axis_deg": scatter[2],
        "side_difference_mm": scatter[3],
        "height_ratio": 0.43 if fore else 0.41,
        "drift_deg_per_week": 0.0,
        "taper": 0.86,
        "width_ratio": 1.06 if fore else 0.98,
        "heel_narrowing": 0.25,
    }
    return numbers | SPECIAL.get((horse.name, foot), {})


def visit_dates(horse: Horse) -> list[date]:
    """The days on which the trimmer came."""
    dates = [date.fromisoformat(horse.first_visit)]
    for weeks in horse.weeks_between:
        dates.append(dates[-1] + timedelta(weeks=weeks))
    return dates


@dataclass(frozen=True)
class Visit:
    """One visit to one foot: days since the last, the foot before, the cuts, the foot after."""

    days: int
    before: Side
    heel_down_mm: float
    toe_down_mm: float
    toe_back_mm: float
    after: Side


def grow_and_trim(horse: Horse, foot: str, start: Side, rng: np.random.Generator) -> list[Visit]:
    """The foot through all visits.

    The trimmer takes both walls back to the lengths of `start`, to the half
    millimetre and with an unsteady hand.
    """
    gaps = [DAYS_BEFORE_FIRST_VISIT, *((b - a).days for a, b in pairwise(visit_dates(horse)))]
    side, through = start, []
    for number, days in enumerate(gaps, start=1):
        before = grown(side, days)
        down = []
        for part in ("heel", "toe"):
            angle_deg, long_mm = slope_and_length(before, part)
            over_mm = long_mm - slope_and_length(start, part)[1]
            down.append(half_mm(over_mm * np.sin(np.radians(angle_deg)) + rng.normal(0.0, 0.5)))
        back = TOE_BACK_MM.get((horse.name, foot, number), 0.0)
        side = trimmed(before, *down, back)
        through.append(Visit(days, before, *down, back, side))
    return through


def make_yard(folder: Path) -> None:
    """Horses, visits, landmarks, front views, outlines and wall lines."""
    visits, landmarks, fronts, outlines, lines = [], [], [], [], []
    stories = {place: name for name, place in STORY.items()}
    for horse_index, horse in enumerate(HORSES):
        shoes = "shod" if horse.shod else "bare"
        dates = visit_dates(horse)
        for foot_index, foot in enumerate(FEET):
            # One stream for the foot and its side views, one for the other views, so that a
            # change to the one does not stir the other.
            rng = np.random.Generator(np.random.PCG64([SEED, horse_index, foot_index]))
            view_rng = np.random.Generator(np.random.PCG64([SEED, horse_index, foot_index, 1]))
            story = stories.get((horse.name, foot))
            shape = foot_numbers(horse, foot, rng)
            start = fresh_side(horse, foot, shape)
            width_mm = shape["width_ratio"] * start.points["toe_ground"][0]
            for number, visit in enumerate(grow_and_trim(horse, foot, start, rng), start=1):
                place = (horse.name, foot, number)
                day, since = dates[number - 1].isoformat(), visit.days if number > 1 else ""
                cuts = rounded([visit.heel_down_mm, visit.toe_down_mm, visit.toe_back_mm], 1)
                visits.append([*place, day, since, shoes, *cuts, NOTES.get(place, "")])
                error = POOR_POINT_ERROR_MM if place in POOR_PHOTOGRAPHS else POINT_ERROR_MM
                for moment, side in (("before trim", visit.before), ("after trim", visit.after)):
                    landmarks.append([*place, moment, error, *placed(side, error, rng)])
                front = front_view(
                    visit.before, width_mm, shape["taper"], shape["side_difference_mm"]
                )
                fronts.append([*place, *rounded(front + view_rng.normal(0.0, 0.8, 6), 1)])
                if story or number == 1:
                    ring = outline(visit.before, foot, width_mm, shape["heel_narrowing"])
                    ring = ring + view_rng.normal(0.0, 0.5, ring.shape)
                    outlines += [[*place, *rounded(point, 1)] for point in ring]
                if story and number in (1, len(dates)):
                    traced = wall_lines(visit.before, HEEL_BEND_DEG.get(story, 0.0), view_rng)
                    lines += [[*place, *row] for row in traced]

    place = "horse,foot,visit"
    write(
        folder / "horses.csv",
        "Nine horses and ponies of the yard Brackenfold.",
        "horse,kind,mass_kg,height_cm,age_years,work,shoes",
        [
            [
                h.name,
                h.kind,
                h.mass_kg,
                h.height_cm,
                h.age_years,
                h.work,
                "shod" if h.shod else "bare",
            ]
            for h in HORSES
        ],
    )
    write(
        folder / "stories.csv",
        "The three feet that carry the story.",
        "story,horse,foot",
        [[name, *where] for name, where in STORY.items()],
    )
    write(
        folder / "visits.csv",
        "What was done at each visit; days since the visit before.",
        f"{place},date,days_since,shoes,heel_down_mm,toe_down_mm,toe_back_mm,note",
        visits,
    )
    write(
        folder / "landmarks.csv",
        "Points placed on side-view photographs; x forward, z up.",
        f"{place},moment,point_error_mm,{POINT_COLUMNS}",
        landmarks,
    )
    write(
        folder / "front_views.csv",
        "Heights of the wall and half widths from the midline, from the front, before trim.",
        f"{place},medial_height_mm,lateral_height_mm,medial_ground_mm,lateral_ground_mm,"
        "medial_coronet_mm,lateral_coronet_mm",
        fronts,
    )
    write(
        folder / "outlines.csv",
        "Ground outline from below, before trim, from right heel round the toe to left heel; "
        "x forward, y to the horse's left.",
        f"{place},x_mm,y_mm",
        outlines,
    )
    write(
        folder / "wall_lines.csv",
        "Short lines traced along visible horn on side-view photographs, before trim.",
        f"{place},region,start_x_mm,start_z_mm,end_x_mm,end_z_mm",
        lines,
    )


def make_readings(folder: Path) -> None:
    """One photograph, placed five times each by two readers."""
    horse, foot = HORSES[0], "right fore"
    shape = foot_numbers(horse, foot, np.random.Generator(np.random.PCG64([SEED, 0, 1])))
    side = grown(fresh_side(horse, foot, shape), 42)
    # The second reader sees the hairline at the heel further forward and a little lower,
    # and the toe's edge on the ground further back: both make the walls look steeper.
    seen = dict(side.points)
    seen["heel_coronet"] = seen["heel_coronet"] + np.array([5.0, -1.0])
    seen["toe_ground"] = seen["toe_ground"] + np.array([-3.0, 0.0])
    rng = np.random.Generator(np.random.PCG64([SEED, 100]))
    rows = [
        [reader, reading, *placed(view, POINT_ERROR_MM, rng)]
        for reader, view in (("first", side), ("second", replace(side, points=seen)))
        for reading in range(1, 6)
    ]
    write(
        folder / "readings.csv",
        "One photograph of one foot, points placed five times each by two readers.",
        f"reader,reading,{POINT_COLUMNS}",
        rows,
    )


def make_tracks(folder: Path) -> None:
    """The marks as filmed, and the truth behind them."""
    columns = "toe_forward_mm,toe_up_mm,heel_forward_mm,heel_up_mm"
    truths: list[list[object]] = []
    for index, step in enumerate(STEPS):
        name = f"{step.gait}_{step.limb.replace(' ', '_')}"
        rng = np.random.Generator(np.random.PCG64([SEED, 200, index]))
        film: list[list[object]] = []
        for rate in FILM_RATES:
            times = frame_times_s(step, rate)
            true = marks(step, times)
            seen = true + rng.normal(0.0, FILM_POINT_ERROR_MM, true.shape)
            film += [
                [rate, *rounded([time], 6), *rounded(row, 1)]
                for time, row in zip(times, seen, strict=True)
            ]
        write(
            folder / f"{name}.csv",
            f"Two marks on a hoof, {step.gait}, {step.limb}, at 240, 60 and 30 frames a second.",
            f"frames_per_s,time_s,{columns}",
            film,
        )
        times = frame_times_s(step, 1000)
        write(
            folder / "truth" / f"{name}_1000.csv",
            f"TRUTH, without point error: {step.gait}, {step.limb}, at 1,000 frames a second.",
            f"time_s,{columns}",
            [
                [*rounded([time], 3), *rounded(row, 3)]
                for time, row in zip(times, marks(step, times), strict=True)
            ],
        )
        truths.append([step.gait, step.limb, *rounded(list(truth_of(step).values()), 4)])
    write(
        folder / "truth" / "steps.csv",
        "TRUTH: what the marker of a film is not shown; one line for each gait and limb.",
        ",".join(["gait", "limb", *truth_of(STEPS[0])]),
        truths,
    )


def truth_of(step: Step) -> dict[str, float]:
    """The truth about one step, under the names of its columns."""
    contact = first_contact_s(step)
    return {
        "speed_m_s": step.speed_m_s,
        "stride_s": step.stride_s,
        "duty_factor": step.duty_factor,
        "contact_s": contact,
        "lift_off_s": contact + step.duty_factor * step.stride_s,
        "next_contact_s": contact + step.stride_s,
        "landing_down_m_s": step.down_m_s,
        "landing_forward_m_s": step.forward_m_s,
        "landing_speed_m_s": float(np.hypot(step.down_m_s, step.forward_m_s)),
        "descent_deg": float(np.degrees(np.arctan2(step.forward_m_s, step.down_m_s))),
        "pitch_deg": step.pitch_deg,
        "flat_after_s": flat_after_s(step),
        "slip_s": step.slip_s,
        "slip_mm": 500.0 * step.forward_m_s * step.slip_s,
        "sink_mm": step.sink_mm,
    }


if __name__ == "__main__":
    make(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "brackenfold")

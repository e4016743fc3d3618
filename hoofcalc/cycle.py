"""Between two visits: growth, wear and trim as geometry, and the drift of the heel as a model.

Two things change a foot's angles, and this module keeps them apart.

*Geometry.* Horn leaves the coronary band along its own direction and wears, or is
trimmed, at the ground. `grow` lengthens toe and heel along their walls by growth
less wear and stands the foot on its new ground points: if the toe gains more
height than the heel, the whole foot tips back and every angle falls. No horn has
bent. `trim` takes horn off at the ground. Both are plain geometry.

*Drift.* Horn that is loaded across its tubules creeps. `drift` follows the heel's
own direction with

    da/dt = (g/l) (a_band - a) - c s(a, l),     dl/dt = g - w

a the heel's angle to the ground, l the length of its wall, g growth, w wear, a_band
the angle at which the coronary band makes horn, s the bending stress across the
heel (`heel_cross_stress_mpa`) and c one constant. The first term is renewal: new
horn replaces old in l/g days. The second grows with length and as the heel
flattens. A trimmer brings the heel back to a *height* h, so a flatter heel is
left longer, l = h/sin a: that is what can make it run away.

The drift is an ILLUSTRATION. Its one constant is calibrated on a stated case
(`CREEP_DEG_PER_DAY_MPA`), not on measured horn, and could be wrong by a factor of
two or more; published falls of the toe angle between visits are explained by
geometry alone. Use it to compare, not to foretell. It stops being true where the
heel has collapsed (below `FLOOR_DEG`), where horn breaks instead of creeping, and
wherever bone, laminae or shoe move the heel.

Time is in days; `days_between` turns dates into days.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._inputs import FloatArray, Result, numbers, plain, refuse_where, together
from hoofcalc.profile import Profile, with_error

__all__ = [
    "CREEP_DEG_PER_DAY_MPA",
    "CREEP_FACTOR",
    "FLOOR_DEG",
    "GROWTH_MM_DAY",
    "GROWTH_SD_MM_DAY",
    "Change",
    "Drift",
    "FixedPoint",
    "Forecast",
    "HeelLaw",
    "IntervalTable",
    "WayBack",
    "change",
    "days_between",
    "drift",
    "fixed_points",
    "forecast",
    "grow",
    "heel_cross_stress_mpa",
    "interval_table",
    "renewal_days",
    "through_visits",
    "trim",
    "way_back",
]

#: Growth of the wall [mm a day]: 7 mm in 28 days, Josseck, Zenker and Geyer 1995,
#: Equine Vet J 27:175-182 (read). Others give 6 to 10 mm a month.
GROWTH_MM_DAY = 0.25
#: Spread of growth between horses [mm a day]: 6 to 10 mm a month taken as plus and
#: minus two standard deviations (derived from a trade range, not from a study).
GROWTH_SD_MM_DAY = 0.03
#: Creep of the heel [deg a day for each MPa]. Calibration, ours: a heel at 40 degrees,
#: 35 mm long when trimmed, not wearing, whose coronary band makes horn at 40 degrees
#: (so that renewal pulls neither way at first), falls by 1.5 degrees in 8 weeks under
#: the other defaults of `drift`. An illustration; no horn was measured.
CREEP_DEG_PER_DAY_MPA = 0.00288
#: Spread of the creep: a factor up or down, as one standard deviation of its logarithm.
CREEP_FACTOR = 2.0
#: The model stops here [deg]: a heel this flat has run away, and is held at this angle.
FLOOR_DEG = 10.0


def days_between(start: date, end: date | Sequence[date]) -> Result:
    """Days from one date to another, or to each of several.

    Parameters
    ----------
    start : datetime.date
        Day from which to count.
    end : datetime.date or sequence of datetime.date
        Day or days up to which to count, not before `start`.

    Returns
    -------
    float or ndarray
        Days; divide by 7 for weeks.

    Raises
    ------
    ValueError
        If an argument is no date, or `end` lies before `start`.

    References
    ----------
    Definition.

    Examples
    --------
    >>> days_between(date(2026, 2, 2), date(2026, 3, 30)) / 7
    8.0
    """
    several = not isinstance(end, date)
    ends = [*end] if isinstance(end, Sequence) else [end]
    for name, value in (("start", start), *(("end", value) for value in ends)):
        if not isinstance(value, date):
            raise ValueError(f"{name} must be a date such as date(2026, 3, 30) (got {value!r})")
    days = np.array([(_day(value) - _day(start)).days for value in ends], dtype=np.float64)
    if (days < 0).any():
        raise ValueError(f"end must not lie before start, {start} (got {min(ends)})")
    return days if several else plain(days[0])


def renewal_days(length_mm: ArrayLike, growth_mm_day: ArrayLike = GROWTH_MM_DAY) -> Result:
    """How long horn takes from the coronary band to the ground.

    Assumes steady growth along a straight wall that is kept at its length.

    Parameters
    ----------
    length_mm : array_like
        Length of the wall from hairline to ground [mm], above 0.
    growth_mm_day : array_like
        Growth along the wall [mm a day], above 0.

    Returns
    -------
    float or ndarray
        Time from the coronary band to the ground [days].

    Raises
    ------
    ValueError
        If an argument is not above 0.

    References
    ----------
    Definition. Default growth: Josseck, Zenker, Geyer 1995, Equine Vet J 27:175-182.

    Examples
    --------
    >>> renewal_days(85), renewal_days(35)
    (340.0, 140.0)
    """
    length, growth = together(
        length_mm=numbers("length_mm", length_mm, above=0),
        growth_mm_day=numbers("growth_mm_day", growth_mm_day, above=0),
    )
    return plain(length / growth)


def grow(
    profile: Profile,
    days: ArrayLike,
    *,
    toe_growth_mm_day: ArrayLike = GROWTH_MM_DAY,
    heel_growth_mm_day: ArrayLike = GROWTH_MM_DAY,
    toe_wear_mm_day: ArrayLike = 0.0,
    heel_wear_mm_day: ArrayLike = 0.0,
    heel_drift_deg: ArrayLike = 0.0,
) -> Profile:
    """The foot some days later: longer along its walls, standing on its new ground points.

    The hairlines stay with the bone. Each ground point moves along its own wall by
    growth less wear, down and forward; then the foot is stood on the level it stood
    on before, with the middle of its hairline where it was. Between the walls and the
    bone nothing turns, so that toe and heel angle change alike: by the turn of the
    bearing surface. A shoe protects the toe while the heel goes on wearing on it
    (`heel_wear_mm_day` above 0, `toe_wear_mm_day` 0): the usual case in which the
    angles fall. Bare feet on hard ground may wear more at the toe and rise.

    The pastern keeps its slope to the ground and hinges at its lower point: the horse
    stands over its limb as before. `heel_drift_deg` turns the heel wall about its
    hairline; it is the only part of a change that is not geometry of growth, and by
    default there is none.

    Parameters
    ----------
    profile : Profile
        The foot or feet.
    days : array_like
        Time [days], at least 0.
    toe_growth_mm_day, heel_growth_mm_day : array_like
        Growth along the wall [mm a day], at least 0.
    toe_wear_mm_day, heel_wear_mm_day : array_like
        Wear along the wall [mm a day], at least 0.
    heel_drift_deg : array_like
        Turn of the heel wall about its hairline [deg], -60 to 60; negative is flatter.

    Returns
    -------
    Profile
        The foot then [mm]; its leading shape is that of the arguments together.

    Raises
    ------
    ValueError
        If an argument is outside its range, shapes do not go together, or nothing is
        left of a wall.

    References
    ----------
    Geometry; model of our own. Default growth: Josseck, Zenker, Geyer 1995, Equine Vet J
    27:175-182.

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> grow(foot, 56).toe_angle_deg, grow(foot, 56, heel_wear_mm_day=0.12).toe_angle_deg
    (50.92, 48.78)
    """
    time = numbers("days", days, at_least=0)
    gains = []
    for end, growth, wear in (
        ("toe", toe_growth_mm_day, toe_wear_mm_day),
        ("heel", heel_growth_mm_day, heel_wear_mm_day),
    ):
        speed = numbers(f"{end}_growth_mm_day", growth, at_least=0)
        loss = numbers(f"{end}_wear_mm_day", wear, at_least=0)
        time, speed, loss = together(days=time, growth=speed, wear=loss)
        gains.append((speed - loss) * time)
    lean = numbers("heel_drift_deg", heel_drift_deg, at_least=-60, at_most=60)
    toe_gain, heel_gain, lean, _ = together(
        toe=gains[0], heel=gains[1], heel_drift_deg=lean, profile=np.empty(profile.shape)
    )
    toe_ground, heel_ground = _grown_ends(profile, toe_gain, heel_gain, lean)
    return _stand(profile, toe_ground=toe_ground, heel_ground=heel_ground)


def _grown_ends(
    profile: Profile, toe_gain: FloatArray, heel_gain: FloatArray, lean: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Where toe and heel meet the ground after growing so much, the heel turned by `lean`."""
    toe_wall = profile.toe_ground - profile.toe_coronet
    heel_wall = profile.heel_ground - profile.heel_coronet
    toe_factor = _stretch("toe", np.asarray(profile.toe_length_mm), toe_gain)
    heel_factor = _stretch("heel", np.asarray(profile.heel_length_mm), heel_gain)
    # A heel angle opens to the back, so a steeper wall is one turned clockwise.
    heel_wall = _turn(heel_wall, -np.radians(lean))
    return (
        profile.toe_coronet + toe_factor[..., None] * toe_wall,
        profile.heel_coronet + heel_factor[..., None] * heel_wall,
    )


def trim(
    profile: Profile,
    *,
    heel_down_mm: ArrayLike = 0.0,
    toe_down_mm: ArrayLike = 0.0,
    toe_back_mm: ArrayLike = 0.0,
) -> Profile:
    """The foot after a trim: horn taken off at the ground, and the toe brought back.

    The cut is a plane that takes `heel_down_mm` and `toe_down_mm` off the heights of
    heel and toe, measured square to the bearing surface; each wall then ends where its
    line meets the cut, and the foot stands on the cut as in `grow`. Heel down more than
    toe lowers both angles; toe down more than heel raises them. The heel's ground point
    moves back under its hairline as it is lowered (see `change`).

    `toe_back_mm` then rasps the toe from the front: its ground point moves back along
    the cut while the hairline stays. The measured toe angle rises, but only the dressed
    line has changed, not the direction of the tubules above it.

    Geometry only: how much may come off without harm is not asked here. Change a foot
    in small steps.

    Parameters
    ----------
    profile : Profile
        The foot or feet.
    heel_down_mm, toe_down_mm : array_like
        Height taken off heel and toe [mm], at least 0.
    toe_back_mm : array_like
        How far the toe's ground point is brought back [mm], at least 0.

    Returns
    -------
    Profile
        The trimmed foot [mm]; its leading shape is that of the arguments together.

    Raises
    ------
    ValueError
        If an argument is below 0, takes off more than there is, or shapes do not go
        together.

    References
    ----------
    Geometry; derived.

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 95, 45, 118)
    >>> after = trim(foot, heel_down_mm=6, toe_down_mm=8)
    >>> after.toe_angle_deg, after.heel_length_mm
    (52.96, 35.67)
    """
    heel_down, toe_down, toe_back, _ = together(
        heel_down_mm=numbers("heel_down_mm", heel_down_mm, at_least=0),
        toe_down_mm=numbers("toe_down_mm", toe_down_mm, at_least=0),
        toe_back_mm=numbers("toe_back_mm", toe_back_mm, at_least=0),
        profile=np.empty(profile.shape),
    )
    toe_height, heel_height = np.asarray(profile.toe_height_mm), np.asarray(profile.heel_height_mm)
    for name, down, height in (
        ("heel_down_mm", heel_down, heel_height),
        ("toe_down_mm", toe_down, toe_height),
    ):
        refuse_where(
            down >= height,
            name + " must be below the height of the hairline, {height:.1f} (got {down:g})",
            height=height,
            down=down,
        )
    # Height falls in proportion along a straight wall.
    toe_left = (1.0 - toe_down / toe_height)[..., None]
    heel_left = (1.0 - heel_down / heel_height)[..., None]
    toe_ground = profile.toe_coronet + toe_left * (profile.toe_ground - profile.toe_coronet)
    heel_ground = profile.heel_coronet + heel_left * (profile.heel_ground - profile.heel_coronet)
    bearing = toe_ground - heel_ground
    length = np.hypot(bearing[..., 0], bearing[..., 1])
    refuse_where(
        toe_back >= length,
        "toe_back_mm must be below the bearing length, {length:.1f} (got {back:g})",
        length=length,
        back=toe_back,
    )
    toe_ground = toe_ground - bearing * (toe_back / length)[..., None]
    return _stand(profile, toe_ground=toe_ground, heel_ground=heel_ground)


@dataclass(frozen=True, eq=False)
class Change:
    """What changed from one state of a foot to another, each as after minus before.

    Made by `change`.

    Parameters
    ----------
    toe_angle_deg, heel_angle_deg : float or ndarray
        Change of the two angles [deg]; positive is steeper.
    toe_length_mm, heel_length_mm, bearing_length_mm : float or ndarray
        Change of the lengths [mm].
    heel_support_mm : float or ndarray
        How much further back the heel's ground point lies under its hairline [mm];
        negative when it has run forward.

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Definition.

    Examples
    --------
    >>> Change(1.0, 1.0, -8.0, -6.0, -5.0, 4.0).heel_support_mm
    4.0
    """

    toe_angle_deg: Result
    heel_angle_deg: Result
    toe_length_mm: Result
    heel_length_mm: Result
    bearing_length_mm: Result
    heel_support_mm: Result


def change(before: Profile, after: Profile) -> Change:
    """What changed between two states of the same foot or feet.

    Parameters
    ----------
    before, after : Profile
        The foot or feet at the two times; leading shapes must go together.

    Returns
    -------
    Change
        After minus before [deg, mm].

    Raises
    ------
    ValueError
        If the shapes do not go together.

    References
    ----------
    Definition.

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 95, 45, 118)
    >>> step = change(foot, trim(foot, heel_down_mm=6, toe_down_mm=6))
    >>> step.toe_angle_deg, step.heel_support_mm
    (0.0, 7.15)
    """
    together(before=np.empty(before.shape), after=np.empty(after.shape))
    return Change(
        toe_angle_deg=after.toe_angle_deg - before.toe_angle_deg,
        heel_angle_deg=after.heel_angle_deg - before.heel_angle_deg,
        toe_length_mm=after.toe_length_mm - before.toe_length_mm,
        heel_length_mm=after.heel_length_mm - before.heel_length_mm,
        bearing_length_mm=after.bearing_length_mm - before.bearing_length_mm,
        heel_support_mm=before.heel_overhang_mm - after.heel_overhang_mm,
    )


def heel_cross_stress_mpa(
    heel_angle_deg: ArrayLike,
    heel_length_mm: ArrayLike,
    *,
    force_n_mm: ArrayLike = 5.0,
    tilt_deg: ArrayLike = 0.0,
    thickness_mm: ArrayLike = 5.5,
    free_share: ArrayLike = 1 / 3,
) -> Result:
    """Bending stress that the ground's push across the heel wall makes in it.

    A strip of heel wall, 1 mm wide, held above and free below, carries its share of the
    ground force at its end. The part of the force across the strip, times the free
    height, is bent by the section modulus t^2/6:

        s = 6 p h cos(a + tilt) / t^2,    h = free share times wall length

    The default force is what a fore foot of 500 kg carries standing, some 1,400 N, if
    the wall bears all of it on about 290 mm of rim; at the trot peak it is about four
    times that. The free share, the wall below where soft tissue still holds it, is a
    choice. Shear, tension along the strip and the spring of the tissue behind are left
    out.

    Parameters
    ----------
    heel_angle_deg : array_like
        Angle of the heel wall to the ground [deg], 0 to 180.
    heel_length_mm : array_like
        Length of the heel wall [mm], above 0.
    force_n_mm : array_like
        Force on each mm of rim [N/mm], at least 0.
    tilt_deg : array_like
        Lean of the force from upright [deg], -45 to 45; positive leans back (braking).
    thickness_mm : array_like
        Thickness of the heel wall [mm], above 0.
    free_share : array_like
        Part of the wall's length that is free to bend [no unit], 0 to 1.

    Returns
    -------
    float or ndarray
        Largest bending stress [MPa]; positive when the heel is pushed flatter.

    Raises
    ------
    ValueError
        If an argument is outside its range or shapes do not go together.

    References
    ----------
    Cantilever with an end load and a rectangular section: any text on strength of
    materials. Its use for the heel: model of our own.

    Examples
    --------
    >>> heel_cross_stress_mpa(40, 36), heel_cross_stress_mpa(30, 36)
    (9.12, 10.31)
    """
    angle, length, force, tilt, thickness, share = together(
        heel_angle_deg=numbers("heel_angle_deg", heel_angle_deg, at_least=0, at_most=180),
        heel_length_mm=numbers("heel_length_mm", heel_length_mm, above=0),
        force_n_mm=numbers("force_n_mm", force_n_mm, at_least=0),
        tilt_deg=numbers("tilt_deg", tilt_deg, at_least=-45, at_most=45),
        thickness_mm=numbers("thickness_mm", thickness_mm, above=0),
        free_share=numbers("free_share", free_share, at_least=0, at_most=1),
    )
    # obliquity = (90 - a) - tilt, so that sin(obliquity) = cos(a + tilt)
    across = force * np.cos(np.radians(angle + tilt))
    return plain(6.0 * across * share * length / thickness**2)


@dataclass(frozen=True, eq=False)
class HeelLaw:
    """What drives the drift of a heel: how horn is made, grows, wears, creeps and is loaded.

    Arrays make many laws at once; all fields broadcast.

    Parameters
    ----------
    band_angle_deg : array_like
        Angle to the ground at which the coronary band makes the heel's horn [deg], above 0
        and below 90. Read it off the youngest horn, just under the hairline.
    growth_mm_day : array_like
        Growth along the wall [mm a day], above 0, at most 1.
    wear_mm_day : array_like
        Wear along the wall [mm a day], 0 to 1.
    creep_deg_per_day_mpa : array_like
        The model's one constant [deg a day for each MPa], 0 to 0.1.
    force_n_mm, tilt_deg, thickness_mm, free_share : array_like
        Load and section of the heel [N/mm, deg, mm, no unit], as in
        `heel_cross_stress_mpa`.

    Raises
    ------
    ValueError
        If a field is outside its range or shapes do not go together.

    References
    ----------
    Model of our own; its constant is calibrated on a stated case
    (`CREEP_DEG_PER_DAY_MPA`). Default growth: Josseck, Zenker, Geyer 1995, Equine Vet J
    27:175-182.

    Examples
    --------
    >>> HeelLaw(band_angle_deg=52).rate_deg_day(40, 35)
    0.0602
    """

    band_angle_deg: Result
    growth_mm_day: Result = GROWTH_MM_DAY
    wear_mm_day: Result = 0.0
    creep_deg_per_day_mpa: Result = CREEP_DEG_PER_DAY_MPA
    force_n_mm: Result = 5.0
    tilt_deg: Result = 0.0
    thickness_mm: Result = 5.5
    free_share: Result = 1 / 3

    def __post_init__(self) -> None:
        limits: dict[str, dict[str, float]] = {
            "band_angle_deg": {"above": 0, "below": 90},
            "growth_mm_day": {"above": 0, "at_most": 1},
            "wear_mm_day": {"at_least": 0, "at_most": 1},
            "creep_deg_per_day_mpa": {"at_least": 0, "at_most": 0.1},
            "force_n_mm": {"at_least": 0},
            "tilt_deg": {"at_least": -45, "at_most": 45},
            "thickness_mm": {"above": 0},
            "free_share": {"at_least": 0, "at_most": 1},
        }
        checked = {
            name: numbers(name, getattr(self, name), **limit)  # type: ignore[arg-type]
            for name, limit in limits.items()
        }
        for name, value in zip(checked, together(**checked), strict=True):
            object.__setattr__(self, name, plain(value))

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of the fields together: () for one law [no unit]."""
        return np.shape(self.band_angle_deg)

    def rate_deg_day(self, heel_angle_deg: ArrayLike, heel_length_mm: ArrayLike) -> Result:
        """How fast the heel's direction changes: renewal less creep.

        Parameters
        ----------
        heel_angle_deg : array_like
            Angle of the heel wall to the ground [deg], 0 to 180.
        heel_length_mm : array_like
            Length of the heel wall [mm], above 0.

        Returns
        -------
        float or ndarray
            Rate [deg a day]; negative when the heel flattens.

        Raises
        ------
        ValueError
            If an argument is outside its range or shapes do not go together.

        References
        ----------
        Model of our own: da/dt = (g/l)(a_band - a) - c s(a, l).

        Examples
        --------
        >>> HeelLaw(band_angle_deg=40).rate_deg_day(40, [35, 49])
        array([-0.0255, -0.0357])
        """
        angle = numbers("heel_angle_deg", heel_angle_deg)
        length = numbers("heel_length_mm", heel_length_mm)
        stress = heel_cross_stress_mpa(
            angle,
            length,
            force_n_mm=self.force_n_mm,
            tilt_deg=self.tilt_deg,
            thickness_mm=self.thickness_mm,
            free_share=self.free_share,
        )
        renewal = self.growth_mm_day / length * (self.band_angle_deg - angle)
        return plain(renewal - self.creep_deg_per_day_mpa * stress)


@dataclass(frozen=True, eq=False)
class Drift:
    """A heel after some days of drift. An illustration, like the model behind it.

    Made by `drift` and `through_visits`.

    Parameters
    ----------
    heel_angle_deg : float or ndarray
        Angle of the heel wall to the ground [deg]; held at `FLOOR_DEG` once it is reached.
    heel_length_mm : float or ndarray
        Length of the heel wall [mm].
    ran_away : bool or ndarray of bool
        True where the floor was reached: of what lies below the model says nothing.

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Model of our own.

    Examples
    --------
    >>> Drift(38.5, 49.0, False).heel_angle_deg
    38.5
    """

    heel_angle_deg: Result
    heel_length_mm: Result
    ran_away: Result


def drift(
    heel_angle_deg: ArrayLike, heel_length_mm: ArrayLike, days: ArrayLike, law: HeelLaw
) -> Drift:
    """How the heel's direction drifts between two visits: renewal against creep.

    Solves da/dt = (g/l)(a_band - a) - c s(a, l) with dl/dt = g - w. An illustration;
    see the head of the module for what it assumes and where it ends. The geometry of
    growth (`grow`) comes on top and is not in it.

    Parameters
    ----------
    heel_angle_deg : array_like
        Angle of the heel wall to the ground at the start [deg], above `FLOOR_DEG`, below 90.
    heel_length_mm : array_like
        Length of the heel wall at the start [mm], at least 1.
    days : array_like
        Time [days], 0 to 1,000.
    law : HeelLaw
        What drives the drift.

    Returns
    -------
    Drift
        Angle [deg] and length [mm] after that time.

    Raises
    ------
    ValueError
        If an argument is outside its range, shapes do not go together, or wear leaves
        less than 1 mm of heel.

    References
    ----------
    Model of our own; one constant, calibrated on a stated case (`CREEP_DEG_PER_DAY_MPA`).

    Examples
    --------
    >>> drift(40, 35, 56, HeelLaw(band_angle_deg=40)).heel_angle_deg
    38.5
    >>> drift(40, 35, 56, HeelLaw(band_angle_deg=52)).heel_angle_deg
    41.9
    """
    angle, length, time, _ = together(
        heel_angle_deg=numbers("heel_angle_deg", heel_angle_deg, above=FLOOR_DEG, below=90),
        heel_length_mm=numbers("heel_length_mm", heel_length_mm, at_least=1),
        days=numbers("days", days, at_least=0, at_most=1000),
        law=np.empty(law.shape),
    )
    return _drift(angle, length, time, law)


def through_visits(
    heel_angle_deg: ArrayLike,
    heel_height_mm: ArrayLike,
    interval_days: ArrayLike,
    visits: int,
    law: HeelLaw,
) -> Drift:
    """The heel's drift over several visits, trimmed to the same height at each.

    At every visit the trimmer brings the heel back to `heel_height_mm`, so that its wall
    is left height/sin(angle) long: the flatter the heel, the longer. An illustration.

    Parameters
    ----------
    heel_angle_deg : array_like
        Angle of the heel wall at the start, just trimmed [deg], above `FLOOR_DEG`, below 90.
    heel_height_mm : array_like
        Height of the heel's hairline to which it is trimmed [mm], at least 1.
    interval_days : array_like
        Time from visit to visit [days], above 0, at most 1,000.
    visits : int
        How many intervals to follow, at least 1.
    law : HeelLaw
        What drives the drift.

    Returns
    -------
    Drift
        Angle [deg] and length [mm] at the start and at the end of each interval, before
        the trim; first axis of length visits + 1.

    Raises
    ------
    ValueError
        If an argument is outside its range or shapes do not go together.

    References
    ----------
    Model of our own.

    Examples
    --------
    >>> law = HeelLaw(band_angle_deg=40)
    >>> through_visits(40, 22, 42, 3, law).heel_angle_deg
    array([40.  , 38.92, 38.05, 37.33])
    """
    angle, height, interval = _trimmed(heel_angle_deg, heel_height_mm, interval_days, law)
    count = int(numbers("visits", visits, at_least=1, whole=True))
    start = Drift(angle, height / np.sin(np.radians(angle)), np.zeros(angle.shape, dtype=bool))
    states = [start]
    for _ in range(count):
        states.append(_next_visit(np.asarray(states[-1].heel_angle_deg), height, interval, law))
    return Drift(
        heel_angle_deg=np.stack([np.asarray(state.heel_angle_deg) for state in states]),
        heel_length_mm=np.stack([np.asarray(state.heel_length_mm) for state in states]),
        ran_away=np.stack([np.asarray(state.ran_away) for state in states]),
    )


@dataclass(frozen=True)
class FixedPoint:
    """A heel angle that comes back to itself from trim to trim.

    Made by `fixed_points`.

    Parameters
    ----------
    heel_angle_deg : float
        The angle at each trim [deg].
    stable : bool
        True if a heel near it moves towards it; from an unstable one it moves away, and
        below the lowest unstable one it runs away.

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Definition.

    Examples
    --------
    >>> FixedPoint(36.0, True).stable
    True
    """

    heel_angle_deg: float
    stable: bool


def fixed_points(
    heel_height_mm: float, interval_days: float, law: HeelLaw
) -> tuple[FixedPoint, ...]:
    """The angles at which a heel, trimmed to the same height at each visit, stays as it is.

    Follows heels of all angles through one interval, looks for changes of sign in what
    they gain, and closes in on each. Two points nearer to each other than half a degree
    are not told apart. None at all means that every heel runs away down to `FLOOR_DEG`.

    Parameters
    ----------
    heel_height_mm : float
        Height to which the heel is trimmed [mm], at least 1.
    interval_days : float
        Time from visit to visit [days], above 0, at most 1,000.
    law : HeelLaw
        What drives the drift: one law.

    Returns
    -------
    tuple of FixedPoint
        From flat to steep [deg]; empty if there is none.

    Raises
    ------
    ValueError
        If an argument is outside its range or is no single number.

    References
    ----------
    Model of our own; roots by Brent's method.

    Examples
    --------
    >>> law = HeelLaw(band_angle_deg=40)
    >>> [(round(point.heel_angle_deg, 1), point.stable) for point in fixed_points(22, 42, law)]
    [(17.4, False), (33.5, True)]
    >>> fixed_points(40, 56, law)
    ()
    """
    from scipy.optimize import brentq

    height, interval = _one_heel(heel_height_mm, interval_days, law)

    def gain(angle: FloatArray) -> FloatArray:
        after = _next_visit(
            np.asarray(angle), np.array(height), np.array(interval), law
        ).heel_angle_deg
        return np.asarray(after) - angle

    grid = np.linspace(FLOOR_DEG + 1e-6, 90.0 - 1e-6, 161)
    gains = gain(grid)
    found = []
    for k in np.flatnonzero(np.sign(gains[:-1]) != np.sign(gains[1:])):
        angle = brentq(gain, grid[k], grid[k + 1], xtol=1e-10)
        # gains above the point and below it turn a heel back to it
        found.append(FixedPoint(float(angle), stable=bool(gains[k] > 0.0)))
    return tuple(found)


@dataclass(frozen=True)
class WayBack:
    """What would stop a heel from running away, by interval or by height.

    Made by `way_back`. An illustration.

    Parameters
    ----------
    runs_away : bool
        Whether the heel runs away at its present height and interval.
    longest_interval_days : float or None
        Longest interval at the present height from which it does not run away [days]; None
        if even a day is too long, infinite if a year is not.
    greatest_height_mm : float or None
        Greatest height to trim to at the present interval [mm]; None if even 1 mm is too
        much, infinite if 100 mm is not.

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Definition.

    Examples
    --------
    >>> WayBack(True, 30.0, 18.0).runs_away
    True
    """

    runs_away: bool
    longest_interval_days: float | None
    greatest_height_mm: float | None


def way_back(
    heel_angle_deg: float, heel_height_mm: float, interval_days: float, law: HeelLaw
) -> WayBack:
    """Whether a heel runs away, and which interval or which trim would hold it.

    A heel does not run away if, somewhere between the floor and its present angle, a heel
    gains angle over an interval or keeps it: the drift cannot carry it past such a place.

    Parameters
    ----------
    heel_angle_deg : float
        Angle of the heel wall at the trim [deg], above `FLOOR_DEG`, below 90.
    heel_height_mm : float
        Height to which the heel is trimmed [mm], at least 1.
    interval_days : float
        Time from visit to visit [days], above 0, at most 1,000.
    law : HeelLaw
        What drives the drift: one law.

    Returns
    -------
    WayBack
        Whether it runs away; longest interval [days]; greatest height [mm].

    Raises
    ------
    ValueError
        If an argument is outside its range or is no single number.

    References
    ----------
    Model of our own; limits by Brent's method.

    Examples
    --------
    >>> plan = way_back(30, 25, 56, HeelLaw(band_angle_deg=30))
    >>> plan.runs_away, plan.greatest_height_mm
    (True, 15.7)
    """
    height, interval = _one_heel(heel_height_mm, interval_days, law)
    angle = float(_one("heel_angle_deg", heel_angle_deg, above=FLOOR_DEG, below=90))
    angles = np.linspace(FLOOR_DEG + 1e-6, angle, 200)

    def margin(height_mm: float, interval_days: float) -> float:
        after = _next_visit(angles, np.asarray(height_mm), np.asarray(interval_days), law)
        return float(np.max(np.asarray(after.heel_angle_deg) - angles))

    return WayBack(
        runs_away=margin(height, interval) < 0.0,
        longest_interval_days=_limit(lambda days: margin(height, days), 1.0, 365.0),
        greatest_height_mm=_limit(lambda mm: margin(mm, interval), 1.0, 100.0),
    )


@dataclass(frozen=True, eq=False)
class IntervalTable:
    """What a foot does over intervals of different length; one row for each.

    Made by `interval_table`. The first block is geometry of growth, the second the
    illustration of the heel's drift.

    Parameters
    ----------
    weeks : ndarray, shape (n,)
        The intervals [weeks].
    toe_angle_deg, heel_angle_deg : ndarray, shape (n,)
        Angles at the end of the interval by geometry of growth alone [deg].
    heel_drift_deg : ndarray, shape (n,)
        What drift adds to the heel angle in the first interval [deg].
    settles_at_deg : ndarray, shape (n,)
        Angle at which the heel settles, trimmed to the same height for good [deg]; NaN
        where it runs away.
    settles_low_deg, settles_high_deg : ndarray, shape (n,)
        The same with the creep `CREEP_FACTOR` times stronger and weaker [deg].
    runs_away_below_deg : ndarray, shape (n,)
        A heel flatter than this runs away [deg]; NaN where there is no such angle, or
        where every heel runs away.

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Definition.

    Examples
    --------
    >>> table = interval_table(Profile.from_measures(52, 40, 85, 35, 110), weeks=(4, 8))
    >>> table.runs_away
    array([False, False])
    """

    weeks: FloatArray
    toe_angle_deg: FloatArray
    heel_angle_deg: FloatArray
    heel_drift_deg: FloatArray
    settles_at_deg: FloatArray
    settles_low_deg: FloatArray
    settles_high_deg: FloatArray
    runs_away_below_deg: FloatArray

    @property
    def runs_away(self) -> NDArray[np.bool_]:
        """True for each interval at which the heel runs away [no unit]."""
        return np.isnan(self.settles_at_deg)


def interval_table(
    profile: Profile,
    weeks: Sequence[float] = (4, 5, 6, 7, 8, 10, 12),
    *,
    law: HeelLaw | None = None,
    toe_wear_mm_day: float = 0.0,
) -> IntervalTable:
    """The same foot at intervals of different length: growth, drift and where it settles.

    Parameters
    ----------
    profile : Profile
        One foot, just trimmed; its heel below 90 degrees.
    weeks : sequence of float
        The intervals [weeks], above 0, at most 100.
    law : HeelLaw, optional
        What drives the drift; its growth and wear also drive the geometry. Without it the
        defaults, with a coronary band that makes horn at the heel's present angle: renewal
        then pulls neither way at first.
    toe_wear_mm_day : float
        Wear at the toe [mm a day], at least 0; 0 on a shod foot.

    Returns
    -------
    IntervalTable
        One row for each interval [deg].

    Raises
    ------
    ValueError
        If an argument is outside its range, or `profile` or `law` holds several.

    References
    ----------
    `grow`, `drift` and `fixed_points`.

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> table = interval_table(foot, weeks=(4, 8))
    >>> table.toe_angle_deg.round(1), table.settles_at_deg.round(1)
    (array([51.5, 50.9]), array([33.9, 32.1]))
    """
    angle, height, law = _this_heel(profile, law)
    week = np.atleast_1d(numbers("weeks", weeks, above=0, at_most=100))
    grown = grow(
        profile,
        week * 7.0,
        toe_growth_mm_day=law.growth_mm_day,
        heel_growth_mm_day=law.growth_mm_day,
        toe_wear_mm_day=toe_wear_mm_day,
        heel_wear_mm_day=law.wear_mm_day,
    )
    drifted = _next_visit(np.full(week.shape, angle), np.array(height), week * 7.0, law)

    def settles(creep_factor: float) -> list[tuple[float, float]]:
        creep = law.creep_deg_per_day_mpa * creep_factor
        changed = replace(law, creep_deg_per_day_mpa=creep)
        return [
            _settled(fixed_points(height, days, changed), angle) for days in (week * 7.0).tolist()
        ]

    at, below = np.array(settles(1.0)).T
    return IntervalTable(
        weeks=week,
        toe_angle_deg=np.asarray(grown.toe_angle_deg),
        heel_angle_deg=np.asarray(grown.heel_angle_deg),
        heel_drift_deg=np.asarray(drifted.heel_angle_deg) - angle,
        settles_at_deg=at,
        settles_low_deg=np.array(settles(CREEP_FACTOR))[:, 0],
        settles_high_deg=np.array(settles(1.0 / CREEP_FACTOR))[:, 0],
        runs_away_below_deg=below,
    )


@dataclass(frozen=True, eq=False)
class Forecast:
    """A foot's angles on coming days, each with a band.

    Made by `forecast`. `*_geometry_deg` is what growth alone does; the rest adds the
    drift of the heel, an illustration.

    Parameters
    ----------
    days : ndarray, shape (n,)
        Time from now [days].
    toe_geometry_deg, heel_geometry_deg : ndarray, shape (3, n)
        Angles by geometry of growth alone: low end, middle and high end of the band [deg].
    toe_angle_deg, heel_angle_deg : ndarray, shape (3, n)
        The same with the heel's drift: a heel that flattens also lets the toe fall [deg].
    ran_away_share : ndarray, shape (n,)
        Part of the draws in which the heel has run away [no unit].

    Raises
    ------
    ValueError
        Never by itself.

    References
    ----------
    Definition.

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> forecast(foot, 56, np.random.default_rng(1)).toe_geometry_deg.shape
    (3, 1)
    """

    days: FloatArray
    toe_geometry_deg: FloatArray
    heel_geometry_deg: FloatArray
    toe_angle_deg: FloatArray
    heel_angle_deg: FloatArray
    ran_away_share: FloatArray


def forecast(
    profile: Profile,
    days: ArrayLike,
    rng: np.random.Generator,
    *,
    law: HeelLaw | None = None,
    toe_wear_mm_day: float = 0.0,
    point_error_mm: float = 1.0,
    growth_sd_mm_day: float = GROWTH_SD_MM_DAY,
    creep_factor: float = CREEP_FACTOR,
    level: float = 0.9,
    draws: int = 2000,
) -> Forecast:
    """How the foot will stand in so many days, with a band.

    Draws the landmarks within their error, growth and creep within their spread, and
    follows each draw. Growth and creep are drawn log-normally, so that they stay above 0.
    A heel that runs away in a draw counts as quite flat, 0 degrees, in the band, and its
    toe is left out; `ran_away_share` says how many there are.
    The band is only as good as those spreads; that the model itself may be wrong is not
    in it.

    Parameters
    ----------
    profile : Profile
        One foot as measured; its heel below 90 degrees.
    days : array_like
        Time from now [days], 0 to 1,000; a number or a row.
    rng : numpy.random.Generator
        Source of the random numbers.
    law : HeelLaw, optional
        What drives the drift; its growth and wear also drive the geometry. Without it as
        in `interval_table`.
    toe_wear_mm_day : float
        Wear at the toe [mm a day], at least 0; 0 on a shod foot.
    point_error_mm : float
        Standard deviation of each coordinate of a landmark [mm], at least 0.
    growth_sd_mm_day : float
        Standard deviation of growth [mm a day], at least 0.
    creep_factor : float
        Spread of the creep: one standard deviation is a factor of this, at least 1.
    level : float
        Part of the draws inside the band [no unit], above 0, below 1.
    draws : int
        Number of draws, at least 1.

    Returns
    -------
    Forecast
        Bands of the angles on each day [deg].

    Raises
    ------
    ValueError
        If an argument is outside its range, `profile` or `law` holds several, or the heel
        runs away in every draw.

    References
    ----------
    `grow` and `drift`; Monte Carlo propagation, JCGM 101:2008, Supplement 1 to the Guide
    to the expression of uncertainty in measurement (from memory).

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> out = forecast(foot, [28, 56], np.random.default_rng(1), point_error_mm=0.5)
    >>> out.toe_geometry_deg[1].round(1)
    array([51.5, 50.9])
    """
    own_band = law is None
    _, _, law = _this_heel(profile, law)
    time = np.atleast_1d(numbers("days", days, at_least=0, at_most=1000))
    spread = float(_one("growth_sd_mm_day", growth_sd_mm_day, at_least=0))
    factor = float(_one("creep_factor", creep_factor, at_least=1))
    inside = float(_one("level", level, above=0, below=1))
    feet = with_error(profile, point_error_mm, draws, rng)
    count = feet.shape[0]
    growth = law.growth_mm_day * np.exp(spread / law.growth_mm_day * rng.standard_normal(count))
    creep = law.creep_deg_per_day_mpa * factor ** rng.standard_normal(count)
    band = np.asarray(feet.heel_angle_deg) if own_band else law.band_angle_deg
    many = replace(law, band_angle_deg=band, growth_mm_day=growth, creep_deg_per_day_mpa=creep)
    rows = time[:, None]
    heel = drift(feet.heel_angle_deg, feet.heel_length_mm, rows, many)
    turn = np.asarray(heel.heel_angle_deg) - feet.heel_angle_deg
    toe, back = _grown_ends(
        feet, (growth - toe_wear_mm_day) * rows, (growth - law.wear_mm_day) * rows, turn
    )
    # A heel that ran away, or whose hairline has come down to the line of the ground, has no
    # shape left to draw: it counts as flat, and its toe is left out.
    along, up = toe - back, feet.heel_coronet - back
    height = along[..., 0] * up[..., 1] - along[..., 1] * up[..., 0]
    lost = np.asarray(heel.ran_away) | (height <= 0)
    turn = np.where(lost, 0.0, turn)
    if np.any(np.all(lost, axis=-1)):
        raise ValueError(
            f"days must be shorter for this heel: it runs away in every draw (got {days!r})"
        )
    plain_growth, with_drift = (
        grow(
            feet,
            rows,
            toe_growth_mm_day=growth,
            heel_growth_mm_day=growth,
            toe_wear_mm_day=toe_wear_mm_day,
            heel_wear_mm_day=law.wear_mm_day,
            heel_drift_deg=lean,
        )
        for lean in (0.0, turn)
    )

    def bands(value: Result) -> FloatArray:
        ends = ((1.0 - inside) / 2.0, 0.5, (1.0 + inside) / 2.0)
        band: FloatArray = np.nanquantile(np.asarray(value), ends, axis=-1)
        return band

    return Forecast(
        days=time,
        toe_geometry_deg=bands(plain_growth.toe_angle_deg),
        heel_geometry_deg=bands(plain_growth.heel_angle_deg),
        toe_angle_deg=bands(np.where(lost, np.nan, with_drift.toe_angle_deg)),
        heel_angle_deg=bands(np.where(lost, 0.0, with_drift.heel_angle_deg)),
        ran_away_share=np.mean(lost, axis=-1),
    )


def _drift(angle: FloatArray, length: FloatArray, days: FloatArray, law: HeelLaw) -> Drift:
    """One interval, by the classical fourth-order Runge-Kutta method.

    Equal steps, so that a heel's result does not depend on which others are computed
    with it. The rates are a few thousandths a day, so steps of some days are exact to
    nine digits.
    """
    end_length = length + (law.growth_mm_day - law.wear_mm_day) * days
    refuse_where(
        end_length < 1.0,
        "wear_mm_day leaves less than 1 mm of heel (it would be {length:.1f} mm long)",
        length=end_length,
    )
    # force, share and section are fixed: s = stress_per_mm * length * cos(angle + tilt)
    stress_per_mm = 6.0 * law.force_n_mm * law.free_share / law.thickness_mm**2
    creep = law.creep_deg_per_day_mpa * stress_per_mm

    def rate(angle: FloatArray, length: FloatArray) -> FloatArray:
        renewal = law.growth_mm_day / length * (law.band_angle_deg - angle)
        return np.asarray(
            renewal - creep * length * np.cos(np.radians(angle + law.tilt_deg)), dtype=np.float64
        )

    fastest = np.max(law.growth_mm_day * days / np.minimum(length, end_length), initial=0.0)
    steps = int(np.ceil(max(np.max(days, initial=0.0) / 3.5, 10.0 * fastest))) or 1
    step, longer = days / steps, (end_length - length) / steps
    lost = np.zeros(np.shape(end_length), dtype=bool)
    for k in range(steps):
        begin, middle, end = (length + (k + part) * longer for part in (0.0, 0.5, 1.0))
        k1 = rate(angle, begin)
        k2 = rate(angle + step / 2.0 * k1, middle)
        k3 = rate(angle + step / 2.0 * k2, middle)
        k4 = rate(angle + step * k3, end)
        angle = angle + step / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)
        lost = lost | (angle <= FLOOR_DEG)
        angle = np.where(lost, FLOOR_DEG, angle)
    return Drift(plain(angle), plain(end_length), plain(lost))


def _next_visit(angle: FloatArray, height: FloatArray, interval: FloatArray, law: HeelLaw) -> Drift:
    """A heel of that angle, trimmed to that height, one interval later."""
    after = _drift(angle, height / np.sin(np.radians(angle)), interval, law)
    # a heel that has run away stays so, whatever the next interval
    gone = angle <= FLOOR_DEG
    return Drift(
        plain(np.where(gone, FLOOR_DEG, after.heel_angle_deg)),
        after.heel_length_mm,
        plain(gone | np.asarray(after.ran_away)),
    )


def _trimmed(
    heel_angle_deg: ArrayLike, heel_height_mm: ArrayLike, interval_days: ArrayLike, law: HeelLaw
) -> tuple[FloatArray, ...]:
    """Angle, height and interval, checked and together."""
    return together(
        heel_angle_deg=numbers("heel_angle_deg", heel_angle_deg, above=FLOOR_DEG, below=90),
        heel_height_mm=numbers("heel_height_mm", heel_height_mm, at_least=1),
        interval_days=numbers("interval_days", interval_days, above=0, at_most=1000),
        law=np.empty(law.shape),
    )[:3]


def _one(name: str, value: float, **limits: float) -> FloatArray:
    """A single number inside its limits."""
    array = numbers(name, value, **limits)  # type: ignore[arg-type]
    if array.ndim:
        raise ValueError(f"{name} must be a single number (got shape {array.shape})")
    return array


def _one_heel(heel_height_mm: float, interval_days: float, law: HeelLaw) -> tuple[float, float]:
    """Height and interval of one heel under one law."""
    if law.shape:
        raise ValueError(f"law must be a single law (got shape {law.shape})")
    return (
        float(_one("heel_height_mm", heel_height_mm, at_least=1)),
        float(_one("interval_days", interval_days, above=0, at_most=1000)),
    )


def _this_heel(profile: Profile, law: HeelLaw | None) -> tuple[float, float, HeelLaw]:
    """Heel angle and height of one foot, and its law: the given or its own band angle's."""
    if profile.shape:
        raise ValueError(f"profile must hold one foot (got shape {profile.shape})")
    if law is not None and law.shape:
        raise ValueError(f"law must be a single law (got shape {law.shape})")
    angle = float(profile.heel_angle_deg)
    refuse_where(
        not FLOOR_DEG < angle < 90.0,
        "profile must have a heel above {floor:g} and below 90 degrees for its drift "
        "(got {angle:.1f})",
        floor=FLOOR_DEG,
        angle=angle,
    )
    return angle, float(profile.heel_height_mm), law or HeelLaw(angle)


def _settled(found: tuple[FixedPoint, ...], angle: float) -> tuple[float, float]:
    """Where a heel of that angle settles, and below which angle it would run away."""
    unstable = [point.heel_angle_deg for point in found if not point.stable]
    stable = [point.heel_angle_deg for point in found if point.stable]
    below = unstable[0] if unstable else np.nan
    if not stable or angle < below:
        return np.nan, below
    # the next stable point up if the heel lies between, else the next one down
    return min(stable, key=lambda point: abs(point - angle)), below


def _limit(margin: Callable[[float], float], low: float, high: float) -> float | None:
    """Largest argument at which the margin, falling, is not yet below 0."""
    from scipy.optimize import brentq

    if margin(low) < 0.0:
        return None
    if margin(high) >= 0.0:
        return float("inf")
    return float(brentq(margin, low, high, xtol=1e-6))


def _stretch(end: str, length: FloatArray, gain: FloatArray) -> FloatArray:
    """How many times its length a wall has after gaining or losing some."""
    refuse_where(
        length + gain <= 0.0,
        end + "_wear_mm_day leaves nothing of the " + end + ", which is {length:.1f} mm long",
        length=length,
    )
    return 1.0 + gain / length


def _turn(vector: FloatArray, radians: FloatArray) -> FloatArray:
    """Vectors turned counter-clockwise."""
    cos, sin = np.cos(radians), np.sin(radians)
    x, z = vector[..., 0], vector[..., 1]
    return np.stack(np.broadcast_arrays(cos * x - sin * z, sin * x + cos * z), axis=-1)


def _stand(profile: Profile, *, toe_ground: FloatArray, heel_ground: FloatArray) -> Profile:
    """The foot stood on new ground points, on the level it stood on before.

    Everything is turned with the foot, except that the pastern keeps its slope to the
    ground. The middle of the hairline keeps its place along the ground.
    """
    forward, up = _axes(profile.toe_ground - profile.heel_ground)
    new_forward, new_up = _axes(toe_ground - heel_ground)
    middle = (profile.toe_coronet + profile.heel_coronet) / 2.0
    shift = _dot(middle - profile.heel_ground, forward) - _dot(middle - heel_ground, new_forward)

    def place(point: FloatArray) -> FloatArray:
        away = point - heel_ground
        along, above = _dot(away, new_forward) + shift, _dot(away, new_up)
        return profile.heel_ground + along[..., None] * forward + above[..., None] * up

    stood = {
        name: place(at)
        for name, at in (
            profile.landmarks | {"toe_ground": toe_ground, "heel_ground": heel_ground}
        ).items()
    }
    if profile.pastern_low is not None and profile.pastern_high is not None:
        stood["pastern_high"] = stood["pastern_low"] + profile.pastern_high - profile.pastern_low
    return Profile(**stood)


def _axes(bearing: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Unit vectors along a bearing line and up from it."""
    forward = bearing / np.hypot(bearing[..., 0], bearing[..., 1])[..., None]
    return forward, np.stack([-forward[..., 1], forward[..., 0]], axis=-1)


def _dot(u: FloatArray, v: FloatArray) -> FloatArray:
    product: FloatArray = u[..., 0] * v[..., 0] + u[..., 1] * v[..., 1]
    return product


def _day(value: date) -> date:
    """The calendar day of a date, or of a date with a time."""
    return date(value.year, value.month, value.day)

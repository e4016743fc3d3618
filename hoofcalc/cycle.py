"""Between two visits: growth, wear and trim as geometry, and the drift of the heel as a model.

Two things change a foot's angles, and this module keeps them apart.

*Geometry.* Horn leaves the coronary band along its own direction and wears, or is
trimmed, at the ground. `grow` lengthens toe and heel along their walls by growth
less wear and stands the foot on its new ground points: if the toe gains more
height than the heel, the whole foot tips back and every angle falls. No horn has
bent. `trim` takes horn off at the ground. Both are plain geometry. Growth is taken
as equal at toe and heel: it was found equal at seven points round the wall
(Kolstrung and others 2012).

*Drift.* Horn that is loaded across its tubules creeps, ever more slowly. `drift`
follows the heel's own direction with

    da/dt = (g/l) (a_band - f(a, l) - a),     dl/dt = g - w

a the heel's angle to the ground, l the length of its wall, g growth, w wear, a_band
the angle at which the coronary band makes horn, f how far horn has given way by
creep when it reaches the ground, at the age l/g (`HeelLaw.give_deg`). New horn
replaces old in l/g days, so no horn creeps for longer than that.

**A heel as it stands is taken as steady**: nobody measured the angle at which the
band makes horn, or how heels change over months, so `steady_law` solves for the
band angle that keeps the present heel where it is from visit to visit.

*What is left of running away.* A trimmer brings the heel back to a height h, so a
flatter heel is left longer, l = h/sin a, and gives way more. This loop adds to
whatever else turns a heel; `loop_gain` says by how much. At the measured loss
tangent the heel of an average foot (40 degrees, 24 mm high) has a gain of 0.2: if
something turns it by 1 degree, the loop makes 1.3 of it, and there it stays. The
loop runs away by itself only from a gain of 1 on: heels flatter than about 20
degrees at 18 mm, 24 at 24 mm, 28 at 30 mm. With heels drawn from the published mean
and spread, all 24 mm high, that is about one in 25; with a quarter of the creep
hardly any, with four times as much two in five. So creep is an amplifier and, for
nearly every heel, no engine.

A lasting cause can still take a heel past the angle from which the loop carries it.
An average heel (40 degrees, 24 mm) finds no more rest when its band makes horn 8
degrees flatter, a low one (26 degrees, 18 mm) at 2; with a quarter of the creep at 18
and 9, with four times as much at 0.2 and at once. It goes slowly: the low heel needs
some 40 visits for the first 5 degrees. What turns the heels that do go on running
under is not known: horn made flatter at the band, wear, load on the heel, bone and
soft tissue, or damage that no creep law holds are all possible, and none was measured.

The drift is an ILLUSTRATION, wide by a factor of `CREEP_FACTOR` either way: 56 days
stretch measurements of 1 to 10 Hz over seven decades of time. Use it to compare, not
to foretell. It stops being true where the heel has collapsed (below `FLOOR_DEG`),
where horn breaks instead of creeping, and wherever bone, laminae or shoe move the
heel.

Time is in days.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._inputs import FloatArray, Result, choice, numbers, plain, refuse_where, together
from hoofcalc.profile import Profile, with_error

__all__ = [
    "BAND_SD_DEG",
    "CREEP_FACTOR",
    "FLOOR_DEG",
    "GROWTH_MM_DAY",
    "GROWTH_SD_MM_DAY",
    "INTERVAL_DAYS",
    "LOSS_TANGENT",
    "Change",
    "Drift",
    "FixedPoint",
    "Forecast",
    "HeelLaw",
    "change",
    "drift",
    "fixed_points",
    "forecast",
    "grow",
    "loop_gain",
    "steady_law",
    "through_visits",
    "trim",
]

#: Growth of the wall [mm a day]: 7 mm in 28 days, Josseck, Zenker and Geyer 1995,
#: Equine Vet J 27:175-182 (read). Others give 6 to 10 mm a month.
GROWTH_MM_DAY = 0.25
#: Spread of growth between horses [mm a day]: 6 to 10 mm a month taken as plus and
#: minus two standard deviations (derived from a trade range, not from a study).
GROWTH_SD_MM_DAY = 0.03
#: Loss tangent of wet horn [no unit]: falls from 0.1 at 1 Hz to 0.07 at 10 Hz, Bonney,
#: Pang, Meyers and Jasiuk 2024, Acta Biomater 184:264-272 (read); the middle of the two.
#: Horn as dry as a room: 0.04 to 0.01.
LOSS_TANGENT = 0.085
#: Time to which that stiffness and loss tangent belong [days]: one radian of a swing at
#: 3.2 Hz, the middle of 1 and 10 Hz.
_MEASURED_AT_DAYS = 1.0 / (2.0 * np.pi * np.sqrt(1.0 * 10.0)) / 86_400.0
#: How many times stronger or weaker the creep may be: 19 of 20. A choice, ours. It covers
#: the modulus (250 to 850 MPa), the loss tangent (0.01 to 0.1), the free share, and that
#: the line from hairline to ground turns by a third of `HeelLaw.give_deg` only, if the
#: held part of the wall keeps its direction. That the power law holds over seven decades
#: of time is assumed.
CREEP_FACTOR = 4.0
#: How well the angle at which the coronary band makes horn can be known [deg, standard
#: deviation]: the error of a line along 15 mm of young horn whose ends are placed to
#: 1 mm, sqrt(2)/15 rad. That a heel is steady is not known better than that.
BAND_SD_DEG = 5.4
#: From visit to visit, where nothing else is said [days].
INTERVAL_DAYS = 42.0
#: The model stops here [deg]: a heel this flat has run away, and is held at this angle.
FLOOR_DEG = 10.0


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

    Equation: gain = (growth - wear) days; tan(turn) = (toe gain sin(toe) - heel gain sin(heel))
    / new bearing length, and both angles fall by the turn.

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
        If `days`, a growth or a wear is below 0, `heel_drift_deg` is outside -60 to 60,
        shapes do not go together, or wear leaves nothing of a wall.

    References
    ----------
    Geometry; model of our own. Default growth: Josseck, Zenker, Geyer 1995, Equine Vet J
    27:175-182; alike at toe and heel: Kolstrung and others 2012, Med Weter 68:426-429,
    about 13 mm in 6 weeks, equal at seven points round the wall (abstract read).

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

    Equation: ground point = hairline + (1 - down/height) (ground point - hairline), at toe and
    heel.

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
        If `heel_down_mm` or `toe_down_mm` is below 0 or not below the height of its
        hairline, `toe_back_mm` is below 0 or not below the bearing length, or shapes do
        not go together.

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

    Equation: change = after - before.

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
        If the shapes of `before` and `after` do not go together.

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


@dataclass(frozen=True, eq=False)
class HeelLaw:
    """What drives the drift of a heel: how horn is made, grows, wears, creeps and is loaded.

    Arrays make many laws at once; all fields broadcast. `steady_law` makes the law under
    which a heel keeps its angle.

    Parameters
    ----------
    band_angle_deg : array_like
        Angle to the ground at which the coronary band makes the heel's horn [deg], above 0
        and below 180; above 90 it is a number of the model only.
    growth_mm_day : array_like
        Growth along the wall [mm a day], above 0, at most 1.
    wear_mm_day : array_like
        Wear along the wall [mm a day], 0 to 1.
    creep_times : array_like
        How many times as strong the creep is as the other fields make it [no unit], 0 to
        100; 19 of 20 lie from 1/`CREEP_FACTOR` to `CREEP_FACTOR`.
    loss_tangent : array_like
        Loss tangent of the horn [no unit], 0 to 1.
    modulus_mpa : array_like
        Stiffness of the horn along the wall, measured in swings of 1 to 10 Hz or alike
        [MPa], above 0. The default is soaked horn; a heel is seldom as wet.
    force_n_mm, tilt_deg, thickness_mm, free_share : array_like
        Load and section of the heel [N/mm, deg, mm, no unit]. A strip of heel wall, 1 mm
        wide, held above and free below, carries its share of the ground force at its end.
        The default force is what a fore foot of 500 kg carries standing, some 1,400 N, if
        the wall bears all of it on about 290 mm of rim; at the trot peak it is about four
        times that. The lean is positive back (braking). The free share, the part of the
        wall's length below where soft tissue still holds it, is a choice.

    Raises
    ------
    ValueError
        If `band_angle_deg` is not above 0 and below 180, `growth_mm_day` not above 0 and at most
        1, `wear_mm_day`, `loss_tangent` or `free_share` not from 0 to 1, `creep_times` not from 0
        to 100, `modulus_mpa` or `thickness_mm` not above 0, `force_n_mm` below 0, `tilt_deg` not
        from -45 to 45, or shapes do not go together.

    References
    ----------
    Model of our own. Modulus: Bertram and Gosline 1987, J Exp Biol 130:121-136 (410 MPa,
    soaked). Loss tangent: Bonney, Pang, Meyers, Jasiuk 2024, Acta Biomater 184:264-272.
    Growth: Josseck, Zenker, Geyer 1995, Equine Vet J 27:175-182.

    Examples
    --------
    >>> HeelLaw(band_angle_deg=52).give_deg(40, 35)
    3.21
    """

    band_angle_deg: Result
    growth_mm_day: Result = GROWTH_MM_DAY
    wear_mm_day: Result = 0.0
    creep_times: Result = 1.0
    loss_tangent: Result = LOSS_TANGENT
    modulus_mpa: Result = 410.0
    force_n_mm: Result = 5.0
    tilt_deg: Result = 0.0
    thickness_mm: Result = 5.5
    free_share: Result = 1 / 3

    def __post_init__(self) -> None:
        limits: dict[str, dict[str, float]] = {
            "band_angle_deg": {"above": 0, "below": 180},
            "growth_mm_day": {"above": 0, "at_most": 1},
            "wear_mm_day": {"at_least": 0, "at_most": 1},
            "creep_times": {"at_least": 0, "at_most": 100},
            "loss_tangent": {"at_least": 0, "at_most": 1},
            "modulus_mpa": {"above": 0},
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

    def with_band_ends(self) -> HeelLaw:
        """This law, and the same with the lowest and the highest band angle of 19 in 20.

        Returns
        -------
        HeelLaw
            Three laws, in the order middle, low, high, along a last axis of their own; the
            ends lie 1.96 times `BAND_SD_DEG` away, the low one not below 1 degree.

        Raises
        ------
        ValueError
            If the highest `band_angle_deg` would be 180 degrees or more.

        References
        ----------
        Definition.

        Examples
        --------
        >>> HeelLaw(band_angle_deg=45).with_band_ends().band_angle_deg.round(1)
        array([45. , 34.4, 55.6])
        """
        off = ERRORS_FOR_95 * BAND_SD_DEG * np.array([0.0, -1.0, 1.0])
        wide = {name: np.asarray(getattr(self, name))[..., None] for name in _FIELDS}
        wide["band_angle_deg"] = np.maximum(wide["band_angle_deg"] + off, 1.0)
        return HeelLaw(**wide)

    @property
    def _power(self) -> FloatArray:
        """Power of time with which the horn creeps [no unit]."""
        return np.asarray(2.0 / np.pi * np.arctan(self.loss_tangent))

    @property
    def _give_per_mm2(self) -> FloatArray:
        """Give of the free part at once, for each mm2 of wall length squared [deg]."""
        # slope of the chord of a cantilever, P h^2/(3 E I), h = share l, I = t^3/12
        bent = 4.0 * self.force_n_mm * np.square(self.free_share)
        return np.asarray(
            np.degrees(self.creep_times * bent / (self.modulus_mpa * self.thickness_mm**3))
        )

    def _crept(self, length: FloatArray) -> FloatArray:
        """How many times its give at once horn has crept when it reaches the ground."""
        age = length / (self.growth_mm_day * _MEASURED_AT_DAYS)
        crept: FloatArray = age**self._power - 1.0
        return crept

    def give_deg(self, heel_angle_deg: ArrayLike, heel_length_mm: ArrayLike) -> Result:
        """How far the heel's horn has given way by creep when it reaches the ground.

        A constant loss angle means creep as a power of time: a give of 1 at the time of
        the measurement is t^n after t times that, n = 2/pi times the loss angle. Its rate
        falls as t^(n-1). The time is the age of the horn at the ground, length over
        growth; the give at once is that of the free part of the wall under the load
        across it, P h^2/(3 E I). It counts for the whole wall, which is the most it can
        be: a line from hairline to ground turns by the free share of it if the held part
        keeps its direction.

        Parameters
        ----------
        heel_angle_deg : array_like
            Angle of the heel wall to the ground [deg], 0 to 180.
        heel_length_mm : array_like
            Length of the heel wall [mm], above 0.

        Returns
        -------
        float or ndarray
            Give [deg]; positive when the heel is pushed flatter.

        Raises
        ------
        ValueError
            If `heel_angle_deg` is outside 0 to 180, `heel_length_mm` is not above 0, or
            shapes do not go together.

        References
        ----------
        Power law and loss angle: Lakes R. 2009, Viscoelastic Materials, Cambridge
        University Press (from memory). Its use for the heel: model of our own.

        Examples
        --------
        >>> HeelLaw(band_angle_deg=40).give_deg(40, [35, 49])
        array([3.21, 6.48])
        """
        angle, length, _ = together(
            heel_angle_deg=numbers("heel_angle_deg", heel_angle_deg, at_least=0, at_most=180),
            heel_length_mm=numbers("heel_length_mm", heel_length_mm, above=0),
            law=np.empty(self.shape),
        )
        across = np.cos(np.radians(angle + self.tilt_deg))
        return plain(self._give_per_mm2 * length**2 * self._crept(length) * across)


_FIELDS = tuple(HeelLaw.__dataclass_fields__)


def steady_law(
    heel_angle_deg: ArrayLike,
    heel_height_mm: ArrayLike,
    interval_days: ArrayLike = INTERVAL_DAYS,
    **fields: Any,
) -> HeelLaw:
    """The law under which a heel keeps its angle from visit to visit: the default.

    Solves for the angle at which the coronary band must make horn so that a heel, trimmed
    to the same height at each visit, comes back to the angle it has. Whether a real heel
    is steady is not known; see `BAND_SD_DEG`.

    Equation: a_band such that a heel of angle a is a again after one interval of `drift`.

    Parameters
    ----------
    heel_angle_deg : array_like
        Angle of the heel wall just trimmed [deg], above `FLOOR_DEG`, below 90.
    heel_height_mm : array_like
        Height of the heel's hairline just trimmed [mm], at least 1.
    interval_days : array_like
        Time from visit to visit [days], above 0, at most 1,000.
    **fields : array_like
        Any other field of `HeelLaw` by name.

    Returns
    -------
    HeelLaw
        The law, its band angle solved for [deg].

    Raises
    ------
    ValueError
        If `heel_angle_deg` is not above `FLOOR_DEG` and below 90, `heel_height_mm` below 1,
        `interval_days` not above 0 and at most 1,000, one of `fields` is no field of `HeelLaw` or
        not within its limits there, shapes do not go together, wear leaves less than 1 mm of heel,
        or no band angle below 180 degrees keeps the heel.

    References
    ----------
    Model of our own; roots by the secant method.

    Examples
    --------
    >>> law = steady_law(40, 22, 42)
    >>> law.band_angle_deg
    44.15
    >>> through_visits(40, 22, 42, 2, law).heel_angle_deg.round(2)
    array([40., 40., 40.])
    """
    for name in fields:
        choice("field", name, _FIELDS[1:])
    law = HeelLaw(90.0, **fields)
    angle, height, interval = _trimmed(heel_angle_deg, heel_height_mm, interval_days, law)
    band = _steady_band(angle, height, interval, law)
    refuse_where(
        ~(band < 180.0),
        "heel_angle_deg and heel_height_mm must be those of a heel that some band angle can "
        "keep: one of {angle:.1f} degrees, {height:.1f} mm high, gives way too much for any",
        angle=angle,
        height=height,
    )
    return replace(law, band_angle_deg=plain(band))


def _steady_band(
    angle: FloatArray, height: FloatArray, interval: FloatArray, law: HeelLaw
) -> FloatArray:
    """The band angle that keeps a heel; infinite where there is none."""

    def gain(band: FloatArray) -> FloatArray:
        moved = _follow(angle, height / np.sin(np.radians(angle)), interval, law, band)
        return np.asarray(moved[0] - angle)

    end = height / np.sin(np.radians(angle)) + (law.growth_mm_day - law.wear_mm_day) * interval
    first = angle + np.asarray(law.give_deg(angle, np.maximum(end, 1.0)))
    last, step = first, np.ones(np.shape(first))
    before = gain(last)
    for _ in range(30):
        last = last + step
        now = gain(last)
        change = now - before
        step = np.where(change == 0.0, 0.0, -now * step / np.where(change == 0.0, 1.0, change))
        before = now
        if np.all(np.abs(now) < 1e-11):
            break
    return np.where(np.abs(before) < 1e-7, last, np.inf)


def loop_gain(heel_angle_deg: ArrayLike, heel_height_mm: ArrayLike, law: HeelLaw) -> Result:
    """How much more a heel gives way for each degree that it is flatter, at the same height.

    A flatter heel of the same height is longer, so it gives way more: a loop. Whatever else
    turns the heel by 1 degree turns it by 1/(1 - gain) in the end. From 1 on there is no
    end: the heel runs away by itself. The gain is in proportion to the creep, so that 1/gain
    says how many times stronger the creep would have to be for that. The heel is taken as
    kept at its height at all times.

    Equation: gain = -d f(a, h/sin(a)) / da, with the give f at height h.

    Parameters
    ----------
    heel_angle_deg : array_like
        Angle of the heel wall to the ground [deg], above 0, below 180.
    heel_height_mm : array_like
        Height of the heel's hairline [mm], above 0.
    law : HeelLaw
        What drives the drift; its band angle and wear play no part.

    Returns
    -------
    float or ndarray
        Gain of the loop [no unit].

    Raises
    ------
    ValueError
        If `heel_angle_deg` is not above 0 and below 180, `heel_height_mm` is not above 0,
        or shapes do not go together.

    References
    ----------
    Derived: minus the slope of `HeelLaw.give_deg` over the angle at constant height.

    Examples
    --------
    >>> law = HeelLaw(band_angle_deg=45)
    >>> loop_gain([40, 30, 20], 24, law).round(2)
    array([0.21, 0.51, 1.78])
    """
    angle, height, _ = together(
        heel_angle_deg=numbers("heel_angle_deg", heel_angle_deg, above=0, below=180),
        heel_height_mm=numbers("heel_height_mm", heel_height_mm, above=0),
        law=np.empty(law.shape),
    )
    radians = np.radians(angle)
    across = radians + np.radians(law.tilt_deg)
    length = height / np.sin(radians)
    crept = law._crept(length)
    # f = K l^2 m(l) cos(a + tilt) with dl/da = -l cot a and l dm/dl = n (m + 1)
    by_length = (2.0 * crept + law._power * (crept + 1.0)) / np.tan(radians) * np.cos(across)
    slope = np.sin(across) * crept + by_length
    return plain(np.radians(law._give_per_mm2) * length**2 * slope)


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

    Solves da/dt = (g/l)(a_band - f(a, l) - a) with dl/dt = g - w. An illustration;
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
        If `heel_angle_deg` is not above `FLOOR_DEG` and below 90, `heel_length_mm` below 1,
        `days` not from 0 to 1,000, shapes do not go together, or wear leaves less than 1 mm of
        heel.

    References
    ----------
    Model of our own (`HeelLaw.give_deg`).

    Examples
    --------
    >>> drift(40, 35, 56, HeelLaw(band_angle_deg=40)).heel_angle_deg
    38.6
    >>> drift(40, 35, 56, steady_law(40, 22.5, 56)).heel_angle_deg
    40.0
    """
    angle, length, time, _ = together(
        heel_angle_deg=numbers("heel_angle_deg", heel_angle_deg, above=FLOOR_DEG, below=90),
        heel_length_mm=numbers("heel_length_mm", heel_length_mm, at_least=1),
        days=numbers("days", days, at_least=0, at_most=1000),
        law=np.empty(law.shape),
    )
    return _as_drift(*_follow(angle, length, time, law, np.asarray(law.band_angle_deg)))


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

    Equation: l = h/sin(a) at each visit, then `drift` over one interval.

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
        If `heel_angle_deg` is not above `FLOOR_DEG` and below 90, `heel_height_mm` below 1,
        `interval_days` not above 0 or above 1,000, `visits` no whole number of at least 1,
        shapes do not go together, or wear leaves less than 1 mm of heel.

    References
    ----------
    Model of our own.

    Examples
    --------
    >>> through_visits(40, 22, 42, 3, steady_law(40, 22, 42)).heel_angle_deg.round(2)
    array([40., 40., 40., 40.])
    >>> flatter_horn = HeelLaw(band_angle_deg=40)
    >>> through_visits(40, 22, 42, 3, flatter_horn).heel_angle_deg.round(1)
    array([40. , 39. , 38.2, 37.6])
    """
    angle, height, interval = _trimmed(heel_angle_deg, heel_height_mm, interval_days, law)
    count = int(numbers("visits", visits, at_least=1, whole=True))
    start = (angle, height / np.sin(np.radians(angle)), np.zeros(angle.shape, dtype=bool))
    states = [start]
    for _ in range(count):
        states.append(_next_visit(states[-1][0], height, interval, law))
    return Drift(*(np.stack(parts) for parts in zip(*states, strict=True)))


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
    Where a heel is steady by `steady_law`, its angle is one of them; whether it is a stable
    one, `loop_gain` says nearly as well.

    Equation: a(after one interval of `drift` from l = h/sin(a)) - a = 0.

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
        If `heel_height_mm` is below 1, `interval_days` not above 0 or above 1,000, either no
        single number, `law` more than one law, or wear leaves less than 1 mm of heel.

    References
    ----------
    Model of our own; roots by Brent's method.

    Examples
    --------
    >>> law = steady_law(40, 22, 42)
    >>> [(round(point.heel_angle_deg, 1), point.stable) for point in fixed_points(22, 42, law)]
    [(15.0, False), (40.0, True)]
    """
    from scipy.optimize import brentq

    _single(law)
    height = float(_one("heel_height_mm", heel_height_mm, at_least=1))
    interval = float(_one("interval_days", interval_days, above=0, at_most=1000))

    def gain(angle: FloatArray) -> FloatArray:
        angle = np.asarray(angle)
        return _next_visit(angle, np.array(height), np.array(interval), law)[0] - angle

    grid = np.linspace(FLOOR_DEG + 1e-6, 90.0 - 1e-6, 161)
    gains = gain(grid)
    found = []
    for k in np.flatnonzero(np.sign(gains[:-1]) != np.sign(gains[1:])):
        angle = brentq(gain, grid[k], grid[k + 1], xtol=1e-10)
        # gains above the point and below it turn a heel back to it
        found.append(FixedPoint(float(angle), stable=bool(gains[k] > 0.0)))
    return tuple(found)


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
        The same with the heel's drift: a heel that turns also tips the toe [deg].
    ran_away_share : ndarray, shape (n,)
        Part of the draws in which the heel has run away [no unit].

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
    interval_days: float = INTERVAL_DAYS,
    toe_wear_mm_day: float = 0.0,
    heel_wear_mm_day: float = 0.0,
    point_error_mm: float = 1.0,
    growth_sd_mm_day: float = GROWTH_SD_MM_DAY,
    creep_factor: float = CREEP_FACTOR,
    band_sd_deg: float = BAND_SD_DEG,
    level: float = 0.95,
    draws: int = 2000,
) -> Forecast:
    """How the foot will stand in so many days, with a band.

    Draws the landmarks within their error, growth, creep and band angle within their
    spread, and follows each draw. Growth and creep are drawn log-normally, so that they
    stay above 0. Without a law each drawn foot is taken as steady first, and its band angle
    drawn about that: the middle of the heel then stays, and the band says how far it may
    not. A heel that runs away in a draw counts as quite flat, 0 degrees, in the band, and
    its toe is left out; `ran_away_share` says how many there are.

    The band covers the points, growth, creep and band angle, each within a declared spread.
    It does not cover a model that is wrong, another hand, a lost shoe or illness.

    Equation: low, middle, high = (1 - level)/2, 1/2 and (1 + level)/2 quantiles over the draws
    of `grow` with `drift`.

    Parameters
    ----------
    profile : Profile
        One foot just trimmed, as measured; its heel below 90 degrees.
    days : array_like
        Time from now [days], 0 to 1,000; a number or a row.
    rng : numpy.random.Generator
        Source of the random numbers.
    law : HeelLaw, optional
        What drives the drift, with a band angle that was seen on the foot; its growth and
        wear also drive the geometry. Without it the heel is taken as steady.
    interval_days : float
        Time from visit to visit at which it is steady [days], above 0, at most 1,000; not
        used with a law.
    toe_wear_mm_day, heel_wear_mm_day : float
        Wear at toe and heel [mm a day], at least 0; at the toe 0 on a shod foot. With a law
        the heel's wear is the law's.
    point_error_mm : float
        Standard deviation of each coordinate of a landmark [mm], at least 0.
    growth_sd_mm_day : float
        Standard deviation of growth [mm a day], at least 0.
    creep_factor : float
        The creep is within a factor of this in 19 of 20 draws, at least 1.
    band_sd_deg : float
        Standard deviation of the band angle [deg], at least 0.
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
        If `days` is not from 0 to 1,000, a wear, `point_error_mm`, `growth_sd_mm_day` or
        `band_sd_deg` below 0, `creep_factor` or `draws` below 1, `level` not above 0 and below 1,
        `interval_days` not above 0 or above 1,000, `profile` or `law` holds several, the heel lies
        at `FLOOR_DEG` or below or at 90 degrees or above, or it runs away in every draw.

    References
    ----------
    `grow`, `drift` and `steady_law`; Monte Carlo propagation, JCGM 101:2008, Supplement 1
    to the Guide to the expression of uncertainty in measurement (from memory).

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> out = forecast(foot, [28, 56], np.random.default_rng(1), point_error_mm=0.5)
    >>> out.toe_geometry_deg[1].round(1)
    array([51.5, 50.9])
    """
    _drifting(profile, law)
    time = np.atleast_1d(numbers("days", days, at_least=0, at_most=1000))
    inside = float(_one("level", level, above=0, below=1))
    feet = with_error(profile, point_error_mm, draws, rng)
    spreads = (growth_sd_mm_day, creep_factor, band_sd_deg)
    given = law or HeelLaw(90.0, wear_mm_day=float(heel_wear_mm_day))
    interval = float(_one("interval_days", interval_days, above=0, at_most=1000))
    many = _drawn_laws(feet, given, None if law else interval, spreads, rng)
    rows = time[:, None]
    heel = drift(feet.heel_angle_deg, feet.heel_length_mm, rows, many)
    turn = np.asarray(heel.heel_angle_deg) - feet.heel_angle_deg
    rates = {
        "toe_growth_mm_day": many.growth_mm_day,
        "heel_growth_mm_day": many.growth_mm_day,
        "toe_wear_mm_day": toe_wear_mm_day,
        "heel_wear_mm_day": many.wear_mm_day,
    }
    lost = np.asarray(heel.ran_away) | _flat(feet, rows, turn, rates)
    refuse_where(
        np.all(lost, axis=-1),
        "days must be shorter for this heel: it runs away in every draw (got {days:g})",
        days=time,
    )
    plain_growth = grow(feet, rows, **rates)
    with_drift = grow(feet, rows, **rates, heel_drift_deg=np.where(lost, 0.0, turn))

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


def _drawn_laws(
    feet: Profile,
    law: HeelLaw,
    interval_days: float | None,
    spreads: tuple[float, float, float],
    rng: np.random.Generator,
) -> HeelLaw:
    """A law for each drawn foot; with an interval its band angle is first made steady."""
    spread = float(_one("growth_sd_mm_day", spreads[0], at_least=0))
    factor = float(_one("creep_factor", spreads[1], at_least=1))
    unsure = float(_one("band_sd_deg", spreads[2], at_least=0))
    count = feet.shape[0]
    growth = law.growth_mm_day * np.exp(spread / law.growth_mm_day * rng.standard_normal(count))
    creep = law.creep_times * factor ** (rng.standard_normal(count) / ERRORS_FOR_95)
    many = replace(law, growth_mm_day=growth, creep_times=np.minimum(creep, 100.0))
    band = np.asarray(many.band_angle_deg)
    if interval_days is not None:
        angle, height = np.asarray(feet.heel_angle_deg), np.asarray(feet.heel_height_mm)
        band = _steady_band(angle, height, np.asarray(interval_days), many)
    # horn is made between flat and backwards, even in the most unlikely draws
    band = np.clip(band + unsure * rng.standard_normal(count), 1.0, 179.0)
    return replace(many, band_angle_deg=band)


def _flat(
    feet: Profile, days: FloatArray, turn: FloatArray, rates: dict[str, Any]
) -> NDArray[np.bool_]:
    """True where a heel's hairline has come down to the line of the ground: no shape to draw."""
    toe_gain, heel_gain = (
        (np.asarray(rates[f"{end}_growth_mm_day"]) - rates[f"{end}_wear_mm_day"]) * days
        for end in ("toe", "heel")
    )
    toe, back = _grown_ends(feet, toe_gain, heel_gain, turn)
    along, up = toe - back, feet.heel_coronet - back
    flat: NDArray[np.bool_] = along[..., 0] * up[..., 1] - along[..., 1] * up[..., 0] <= 0.0
    return flat


def _follow(
    angle: FloatArray, length: FloatArray, days: FloatArray, law: HeelLaw, band: FloatArray
) -> tuple[FloatArray, FloatArray, NDArray[np.bool_]]:
    """Angle, length and whether it ran away, after one interval under some band angle.

    By the classical fourth-order Runge-Kutta method in equal steps, so that a heel's result
    does not depend on which others are computed with it. The rates are a few thousandths a
    day, so steps of some days are exact to nine digits.
    """
    end_length = np.asarray(length + (law.growth_mm_day - law.wear_mm_day) * days)
    refuse_where(
        end_length < 1.0,
        "wear_mm_day leaves less than 1 mm of heel (it would be {length:.1f} mm long)",
        length=end_length,
    )
    fastest = np.max(law.growth_mm_day * days / np.minimum(length, end_length), initial=0.0)
    steps = int(np.ceil(max(np.max(days, initial=0.0) / 3.5, 10.0 * fastest))) or 1
    step, longer = days / steps, (end_length - length) / steps

    # at the beginning, the middle and the end of each step
    shape = np.broadcast_shapes(np.shape(end_length), law.shape)
    times = np.arange(2 * steps + 1).reshape(-1, *(1 for _ in shape)) / 2
    lengths = length + times * longer
    renewals = law.growth_mm_day / lengths
    gives = law._give_per_mm2 * lengths**2 * law._crept(lengths)

    def rate(angle: FloatArray, at: int) -> FloatArray:
        give = gives[at] * np.cos(np.radians(angle + law.tilt_deg))
        return np.asarray(renewals[at] * (band - give - angle), dtype=np.float64)

    lost = np.zeros(np.shape(end_length), dtype=bool)
    for begin in range(0, 2 * steps, 2):
        middle, end = begin + 1, begin + 2
        k1 = rate(angle, begin)
        k2 = rate(angle + step / 2.0 * k1, middle)
        k3 = rate(angle + step / 2.0 * k2, middle)
        k4 = rate(angle + step * k3, end)
        angle = angle + step / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)
        lost = lost | (angle <= FLOOR_DEG)
        angle = np.where(lost, FLOOR_DEG, angle)
    return angle, end_length, lost


def _next_visit(
    angle: FloatArray, height: FloatArray, interval: FloatArray, law: HeelLaw
) -> tuple[FloatArray, FloatArray, NDArray[np.bool_]]:
    """A heel of that angle, trimmed to that height, one interval later."""
    length = height / np.sin(np.radians(angle))
    band = np.asarray(law.band_angle_deg)
    after, end_length, lost = _follow(angle, length, interval, law, band)
    # a heel that has run away stays so, whatever the next interval
    gone = angle <= FLOOR_DEG
    return np.where(gone, FLOOR_DEG, after), end_length, gone | lost


def _as_drift(angle: FloatArray, length: FloatArray, lost: NDArray[np.bool_]) -> Drift:
    return Drift(plain(angle), plain(length), plain(lost))


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


def _single(law: HeelLaw) -> None:
    if law.shape:
        raise ValueError(f"law must be a single law (got shape {law.shape})")


def _drifting(profile: Profile, law: HeelLaw | None) -> None:
    """Refuse several feet or laws, and a heel whose drift cannot be followed."""
    if profile.shape:
        raise ValueError(f"profile must hold one foot (got shape {profile.shape})")
    if law is not None:
        _single(law)
    angle = float(profile.heel_angle_deg)
    refuse_where(
        not FLOOR_DEG < angle < 90.0,
        "profile must have a heel above {floor:g} and below 90 degrees for its drift "
        "(got {angle:.1f})",
        floor=FLOOR_DEG,
        angle=angle,
    )


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

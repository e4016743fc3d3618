"""A foot from the side: landmarks to angles and lengths, and how far to trust them.

Axes: x forward (heel to toe), z up, in mm. A wall line runs from the ground up
and back. Its angle is measured from the *bearing surface*, the line through the
two ground points, and opens to the back, so that a heel parallel to the toe has
the toe's angle and a heel past upright has more than 90 degrees. A picture that
is not level therefore changes no measure: ground line and walls turn together
(what is left is the error of the two ground points). How far the ground line
leans in the picture is told by `Profile.bearing_tilt_deg`.

Assumptions: the landmarks lie in one upright plane through the middle of the
foot, and each wall is a straight line between its two landmarks. A dished or
bent wall is not described; nor is anything that only the front view, the sole
or a radiograph shows.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._inputs import (
    FloatArray,
    Result,
    choice,
    numbers,
    plain,
    points,
    refuse_where,
    together,
)

__all__ = [
    "EVERY_MEASURE",
    "MEASURES",
    "LineField",
    "Profile",
    "error_of",
    "line_angle_deg",
    "line_departures",
    "seen_points",
    "with_error",
]

#: The measures of a foot that need no optional landmark, in the order of a report.
MEASURES = (
    "toe_angle_deg",
    "heel_angle_deg",
    "angle_gap_deg",
    "coronet_angle_deg",
    "toe_length_mm",
    "heel_length_mm",
    "bearing_length_mm",
    "height_ratio",
)

_STEEPEST_GROUND_DEG = 45.0


@dataclass(frozen=True, eq=False)
class Profile:
    """The landmarks of one foot, or of many feet or draws, seen from the side.

    A foot looks forward along x; `Profile.from_points` takes one that faces left.
    Landmarks that no foot can show (crossed, toe behind heel, coronet below the
    ground, no length) are refused.

    Parameters
    ----------
    toe_ground, toe_coronet : array_like, shape (..., 2)
        Forward and up position [mm] of the toe at the ground and at the hairline.
    heel_ground, heel_coronet : array_like, shape (..., 2)
        The same of the heel: where it meets the ground, and the hairline above [mm].
    pastern_low, pastern_high : array_like, shape (..., 2), optional
        Two points on the middle line of the pastern [mm]; both or neither.
    bulb : array_like, shape (..., 2), optional
        Rearmost point of the heel bulb [mm].
    widest_point : array_like, shape (..., 2), optional
        Where the foot seen from below is widest [mm]; only its place along the
        bearing surface is used.

    Raises
    ------
    ValueError
        If a landmark is no pair of finite numbers, shapes do not go together, only
        one pastern point is given, or the landmarks are no possible foot.

    References
    ----------
    Definition. Dorsal hoof wall angle and heel angle to the bearing surface in the
    lateral view, opened to the back: common practice, no source.

    Examples
    --------
    >>> foot = Profile(
    ...     toe_ground=(110, 0), toe_coronet=(58, 67), heel_ground=(0, 0), heel_coronet=(-25, 24)
    ... )
    >>> foot.toe_angle_deg, foot.heel_angle_deg
    (52.18, 43.83)
    >>> foot.angle_gap_deg
    8.35
    """

    toe_ground: FloatArray
    toe_coronet: FloatArray
    heel_ground: FloatArray
    heel_coronet: FloatArray
    pastern_low: FloatArray | None = None
    pastern_high: FloatArray | None = None
    bulb: FloatArray | None = None
    widest_point: FloatArray | None = None

    def __post_init__(self) -> None:
        if (self.pastern_low is None) != (self.pastern_high is None):
            raise ValueError("pastern_low and pastern_high must be given together (got only one)")
        given = {name: points(name, value, 2) for name, value in self.landmarks.items()}
        for name, array in zip(given, together(**given), strict=True):
            array = array.copy()
            array.flags.writeable = False
            object.__setattr__(self, name, array)
        for wrong, message in _impossible(self.landmarks):
            refuse_where(wrong, message)

    @classmethod
    def from_points(cls, *, facing: str = "right", **landmarks: ArrayLike) -> Profile:
        """A profile from landmarks read off a picture in which the foot faces right or left.

        A foot that faces left is mirrored, so that its toe looks forward.

        Parameters
        ----------
        facing : str
            "right" if the toe is at the larger first coordinate, "left" if at the smaller.
        **landmarks : array_like, shape (..., 2)
            The landmarks of `Profile` by name [mm].

        Returns
        -------
        Profile
            The foot, facing forward.

        Raises
        ------
        ValueError
            If `facing` is neither, or as `Profile`.

        References
        ----------
        Definition.

        Examples
        --------
        >>> Profile.from_points(
        ...     facing="left", toe_ground=(-110, 0), toe_coronet=(-58, 67),
        ...     heel_ground=(0, 0), heel_coronet=(25, 24),
        ... ).toe_angle_deg
        52.18
        """
        choice("facing", facing, ("right", "left"))
        mirror = np.array([1.0 if facing == "right" else -1.0, 1.0])
        return cls(**{name: points(name, at, 2) * mirror for name, at in landmarks.items()})

    @classmethod
    def from_measures(
        cls,
        toe_angle_deg: ArrayLike,
        heel_angle_deg: ArrayLike,
        toe_length_mm: ArrayLike,
        heel_length_mm: ArrayLike,
        bearing_length_mm: ArrayLike,
    ) -> Profile:
        """The profile that has these angles and lengths, its heel's ground point at the origin.

        Parameters
        ----------
        toe_angle_deg, heel_angle_deg : array_like
            Angles of the two walls to the bearing surface [deg], above 0 and below 180.
        toe_length_mm, heel_length_mm : array_like
            Lengths of the two walls from ground to hairline [mm], above 0.
        bearing_length_mm : array_like
            Distance between the ground points of heel and toe [mm], above 0.

        Returns
        -------
        Profile
            The foot on level ground; its leading shape is that of the arguments together.

        Raises
        ------
        ValueError
            If an angle is not above 0 and below 180, a length is not above 0, shapes do not
            go together, or no foot has these measures together.

        References
        ----------
        Definition.

        Examples
        --------
        >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
        >>> foot.toe_coronet.round(1), foot.heel_coronet.round(1)
        (array([57.7, 67. ]), array([-26.8, 22.5]))
        """
        toe, heel, toe_length, heel_length, bearing = together(
            toe_angle_deg=numbers("toe_angle_deg", toe_angle_deg, above=0, below=180),
            heel_angle_deg=numbers("heel_angle_deg", heel_angle_deg, above=0, below=180),
            toe_length_mm=numbers("toe_length_mm", toe_length_mm, above=0),
            heel_length_mm=numbers("heel_length_mm", heel_length_mm, above=0),
            bearing_length_mm=numbers("bearing_length_mm", bearing_length_mm, above=0),
        )
        heel_ground = np.zeros((*bearing.shape, 2))
        toe_ground = np.stack([bearing, np.zeros_like(bearing)], axis=-1)
        return cls(
            toe_ground=toe_ground,
            toe_coronet=toe_ground + toe_length[..., None] * _up_and_back(toe),
            heel_ground=heel_ground,
            heel_coronet=heel_ground + heel_length[..., None] * _up_and_back(heel),
        )

    @property
    def landmarks(self) -> dict[str, FloatArray]:
        """The landmarks that are given, by name [mm], each of shape (..., 2)."""
        every = {field.name: getattr(self, field.name) for field in fields(self)}
        return {name: value for name, value in every.items() if value is not None}

    @property
    def shape(self) -> tuple[int, ...]:
        """Leading shape: () for one foot, (n,) for n feet or draws [no unit]."""
        return self.toe_ground.shape[:-1]

    def pick(self, index: Any) -> Profile:
        """One foot, or some of the feet, out of many.

        Parameters
        ----------
        index : int, slice or tuple of these
            Place in the leading axes.

        Returns
        -------
        Profile
            The foot or feet at that place.

        Raises
        ------
        ValueError
            If there is no foot at the place `index`.

        References
        ----------
        Definition.

        Examples
        --------
        >>> feet = Profile.from_measures([52, 48], [40, 30], 85, 35, 110)
        >>> feet.pick(1).toe_angle_deg
        48.0
        """
        try:
            place = (*(index if isinstance(index, tuple) else (index,)), ..., slice(None))
            return Profile(**{name: at[place] for name, at in self.landmarks.items()})
        except IndexError:
            raise ValueError(
                f"index must be a place in the feet's shape {self.shape} (got {index!r})"
            ) from None

    @property
    def toe_angle_deg(self) -> Result:
        """Angle of the toe wall to the bearing surface, opened to the back [deg]."""
        return _angle_to_bearing(self, self.toe_coronet - self.toe_ground)

    @property
    def heel_angle_deg(self) -> Result:
        """Angle of the heel wall to the bearing surface, opened to the back [deg]."""
        return _angle_to_bearing(self, self.heel_coronet - self.heel_ground)

    @property
    def angle_gap_deg(self) -> Result:
        """Toe angle minus heel angle [deg]; positive when the heel is flatter."""
        return self.toe_angle_deg - self.heel_angle_deg

    @property
    def coronet_angle_deg(self) -> Result:
        """Angle of the hairline from toe to heel [deg]; positive when it falls to the heel."""
        return -_angle_to_bearing(self, self.heel_coronet - self.toe_coronet)

    @property
    def toe_length_mm(self) -> Result:
        """Length of the toe wall from the ground to the hairline [mm]."""
        return _length(self.toe_coronet - self.toe_ground)

    @property
    def heel_length_mm(self) -> Result:
        """Length of the heel wall from the ground to the hairline [mm]."""
        return _length(self.heel_coronet - self.heel_ground)

    @property
    def bearing_length_mm(self) -> Result:
        """Distance between the ground points of heel and toe [mm]."""
        return _length(self.toe_ground - self.heel_ground)

    @property
    def toe_height_mm(self) -> Result:
        """Height of the toe's hairline above the bearing surface [mm]."""
        return plain(_along_up(self, self.toe_coronet)[1])

    @property
    def heel_height_mm(self) -> Result:
        """Height of the heel's hairline above the bearing surface [mm]."""
        return plain(_along_up(self, self.heel_coronet)[1])

    @property
    def height_ratio(self) -> Result:
        """Height of the heel's hairline over that of the toe's [no unit]."""
        return self.heel_height_mm / self.toe_height_mm

    @property
    def bearing_tilt_deg(self) -> Result:
        """How far the bearing surface leans in the given axes [deg]; positive with the toe up."""
        bearing = self.toe_ground - self.heel_ground
        return plain(np.degrees(np.arctan2(bearing[..., 1], bearing[..., 0])))

    @property
    def heel_overhang_mm(self) -> Result:
        """How far the heel's hairline hangs out behind its ground point, along the bearing [mm]."""
        return plain(-_along_up(self, self.heel_coronet)[0])

    @property
    def bulb_overhang_mm(self) -> Result:
        """How far the heel bulb hangs out behind the heel's ground point [mm]."""
        return plain(-_along_up(self, _needed("bulb", self.bulb))[0])

    @property
    def heel_support_mm(self) -> Result:
        """How far the heel's ground point lies behind the widest point of the foot [mm]."""
        return plain(_along_up(self, _needed("widest_point", self.widest_point))[0])

    @property
    def pastern_angle_deg(self) -> Result:
        """Angle of the pastern to the bearing surface, opened to the back [deg]."""
        high = _needed("pastern_high", self.pastern_high)
        return _angle_to_bearing(self, high - _needed("pastern_low", self.pastern_low))

    @property
    def axis_deviation_deg(self) -> Result:
        """Pastern minus toe angle [deg]: above 0 broken back (hoof flatter), below 0 forward."""
        return self.pastern_angle_deg - self.toe_angle_deg


def with_error(
    profile: Profile, point_error_mm: ArrayLike, draws: int, rng: np.random.Generator
) -> Profile:
    """The foot as it would be read `draws` times by a hand that errs by `point_error_mm`.

    Each coordinate of each landmark errs by itself, normally and without bias. What
    all points share (scale, camera, a ground line hidden in grass) is not in it: see
    `seen_points`.

    Equation: landmark + point error z, z standard normal for each coordinate and draw.

    Parameters
    ----------
    profile : Profile
        The foot or feet, leading shape (...).
    point_error_mm : array_like
        Standard deviation of each coordinate [mm], at least 0; a number or one per foot.
    draws : int
        How many times, at least 1.
    rng : numpy.random.Generator
        Source of the random numbers.

    Returns
    -------
    Profile
        Leading shape (draws, ...) [mm]; take `.toe_angle_deg.std(axis=0)` and the like.

    Raises
    ------
    ValueError
        If `point_error_mm` is below 0 or does not go with the feet, `draws` is no whole
        number of at least 1, or the error is so large for this foot that some draws are no
        possible foot.

    References
    ----------
    Monte Carlo propagation: JCGM 101:2008, Supplement 1 to the Guide to the expression of
    uncertainty in measurement, section 7 (from memory).

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> many = with_error(foot, 0.5, 4000, np.random.default_rng(1))
    >>> many.shape
    (4000,)
    >>> float(many.toe_angle_deg.std().round(1))
    0.5
    """
    sd = _per_foot("point_error_mm", point_error_mm, profile)
    count = int(numbers("draws", draws, at_least=1, whole=True))
    moved = {
        name: at + sd[..., None] * rng.standard_normal((count, *at.shape))
        for name, at in profile.landmarks.items()
    }
    try:
        return Profile(**moved)
    except ValueError:
        wrong = np.any([mask for mask, _ in _impossible(moved)], axis=0)
        raise ValueError(
            f"point_error_mm is too large for this foot: {np.count_nonzero(wrong)} of "
            f"{wrong.size} draws are no possible foot (got {np.max(sd):g})"
        ) from None


def error_of(profile: Profile, measure: str, point_error_mm: ArrayLike) -> Result:
    """Standard deviation of a measure from the error of the points, to first order.

    The sum of squares of the slopes of the measure in every coordinate, times the
    point error; the slopes by central differences. Holds while the point error is
    small beside the shortest line (1 % off at a tenth of it); beyond that use
    `with_error`.

    Equation: sd = point error sqrt(sum((d measure / d coordinate)^2)).

    Parameters
    ----------
    profile : Profile
        The foot or feet.
    measure : str
        Name of a property of `Profile`, such as "toe_angle_deg".
    point_error_mm : array_like
        Standard deviation of each coordinate of each landmark [mm], at least 0; a number
        or one per foot.

    Returns
    -------
    float or ndarray
        Standard deviation, in the unit of the measure; one per foot.

    Raises
    ------
    ValueError
        If `measure` is no measure of a foot, needs a landmark that is missing, or
        `point_error_mm` is negative.

    References
    ----------
    Law of propagation of uncertainty: JCGM 100:2008, Guide to the expression of uncertainty
    in measurement, eq. 10 (from memory).

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> error_of(foot, "toe_angle_deg", 1.0), error_of(foot, "heel_angle_deg", 1.0)
    (1.009, 2.685)
    """
    choice("measure", measure, EVERY_MEASURE)
    sd = _per_foot("point_error_mm", point_error_mm, profile)
    step = 1e-3  # mm: truncation and rounding both near 1e-9 of the slope
    names = list(profile.landmarks)
    count = 2 * len(names)
    # one foot per coordinate, moved by +step, then by -step
    shift = step * np.concatenate([np.eye(count), -np.eye(count)])
    lead = (1,) * len(profile.shape)
    moved = {
        name: profile.landmarks[name] + shift[:, 2 * k : 2 * k + 2].reshape(-1, *lead, 2)
        for k, name in enumerate(names)
    }
    value = np.asarray(getattr(Profile(**moved), measure))
    slope = (value[:count] - value[count:]) / (2.0 * step)
    return plain(sd * np.sqrt(np.sum(slope**2, axis=0)))


def seen_points(
    points_mm: ArrayLike,
    *,
    yaw_deg: ArrayLike = 0.0,
    look_down_deg: ArrayLike = 0.0,
    roll_deg: ArrayLike = 0.0,
    scale_error: ArrayLike = 0.0,
    distance_mm: ArrayLike | None = None,
    aim_mm: ArrayLike = (0.0, 0.0),
) -> FloatArray:
    """Where a photograph shows points of a foot when the camera is not square to it.

    A pinhole camera aimed at one point of the foot's middle plane, which keeps its
    coordinates. A camera that is only yawed makes lines look steeper, one that only looks
    down makes them look flatter. Roll turns ground line and walls alike and so changes no
    measure, only `Profile.bearing_tilt_deg`. Assumes an undistorted lens and all points in the
    middle plane.

    Equation: tan(seen) = tan(true)/cos(yaw), or tan(true) cos(look down), of a far camera.

    Parameters
    ----------
    points_mm : array_like, shape (..., 2)
        Forward and up positions [mm].
    yaw_deg : array_like
        How far the camera stands round towards the toe [deg], -80 to 80.
    look_down_deg : array_like
        How far the camera looks down on the foot [deg], -80 to 80; negative looks up.
    roll_deg : array_like
        How far the picture is turned, positive with the toe end up [deg], -45 to 45.
    scale_error : array_like
        By what part the picture's lengths come out too long [no unit], above -1;
        `angles.perspective_scale` minus 1 for a scale bar out of the foot's plane.
    distance_mm : array_like, optional
        Distance from the camera to the point it is aimed at [mm], above 0; without it
        the camera is far away (no perspective).
    aim_mm : array_like, shape (..., 2)
        Forward and up position of the point aimed at [mm]. With a far camera it moves the
        picture and changes no measure.

    Returns
    -------
    array, shape (..., 2)
        Positions as measured in the photograph [mm].

    Raises
    ------
    ValueError
        If `yaw_deg` or `look_down_deg` is outside -80 to 80, `roll_deg` outside -45 to 45,
        `scale_error` not above -1, `distance_mm` not above 0, `points_mm` or `aim_mm` no points,
        shapes do not go together, or a point is not in front of the camera.

    References
    ----------
    Pinhole projection: Hartley R., Zisserman A. 2004, Multiple View Geometry in Computer
    Vision, 2nd ed., chapter 6 (from memory).

    Examples
    --------
    >>> seen_points([(0, 0), (100, 0), (0, 100)], yaw_deg=60).round(1)
    array([[  0.,   0.],
           [ 50.,   0.],
           [  0., 100.]])
    """
    camera = _camera(yaw_deg, look_down_deg, roll_deg, scale_error, distance_mm, aim_mm)
    return _projected(points("points_mm", points_mm, 2), camera)


def line_angle_deg(profile: Profile, fraction: ArrayLike) -> Result:
    """Angle of the model's wall line at a place between toe and heel.

    The rule: seen from the side the direction of the horn turns from the toe's angle to
    the heel's in proportion to the way along the bearing surface. It is a choice, the
    simplest that meets both ends; `line_departures` holds it against the visible lines.

    Equation: angle = toe + fraction (heel - toe).

    Parameters
    ----------
    profile : Profile
        The foot or feet.
    fraction : array_like
        Place along the bearing surface [no unit]: 0 at the toe, 1 at the heel.

    Returns
    -------
    float or ndarray
        Angle of the line to the bearing surface, opened to the back [deg].

    Raises
    ------
    ValueError
        If `fraction` is outside 0 to 1 or its shape does not go with the feet.

    References
    ----------
    Model of our own; linear in the angle.

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> line_angle_deg(foot, 0.5)
    46.0
    """
    place = numbers("fraction", fraction, at_least=0, at_most=1)
    toe = np.asarray(profile.toe_angle_deg)
    heel = np.asarray(profile.heel_angle_deg)
    place, toe, heel = together(fraction=place, profile=toe, heel=heel)
    return plain(_turned(toe, heel, place))


@dataclass(frozen=True, eq=False)
class LineField:
    """Lines traced along the visible horn, beside the model's lines at the same places.

    Made by `line_departures`.

    Parameters
    ----------
    fraction : float or ndarray
        Place of each line along the bearing surface [no unit]: 0 at the toe, 1 at the heel.
    angle_deg : float or ndarray
        Angle of each traced line to the bearing surface, opened to the back [deg].
    model_deg : float or ndarray
        Angle of the model's line there [deg].
    error_deg : float or ndarray
        Standard deviation of the traced angle from its own two end points [deg].

    References
    ----------
    Definition.

    Examples
    --------
    >>> LineField(0.5, 44.0, 46.0, 1.0).departure_deg
    -2.0
    """

    fraction: Result
    angle_deg: Result
    model_deg: Result
    error_deg: Result

    @property
    def departure_deg(self) -> Result:
        """Traced angle minus the model's [deg]; negative when the horn lies flatter."""
        return self.angle_deg - self.model_deg


def line_departures(
    profile: Profile, start: ArrayLike, end: ArrayLike, point_error_mm: ArrayLike = 0.0
) -> LineField:
    """Short lines along the visible horn, held against the model's lines.

    Each line is compared with the model line that passes through its middle. The error
    counts the two end points of the trace only; that of the foot's own landmarks comes
    on top (`error_of`).

    Equation: departure = traced angle - model's angle; error = sqrt(2) point error / length.

    Parameters
    ----------
    profile : Profile
        One foot.
    start, end : array_like, shape (..., 2)
        Ends of each line [mm], in either order, in the axes of the foot.
    point_error_mm : array_like
        Standard deviation of each coordinate of the ends [mm], at least 0.

    Returns
    -------
    LineField
        Place, traced angle, model angle and error of each line, shape (...) [deg].

    Raises
    ------
    ValueError
        If a line from `start` to `end` has no length, lies more than a tenth of the bearing
        length outside the two walls or below the ground, `point_error_mm` is below 0, shapes do
        not go together, or `profile` holds several feet.

    References
    ----------
    Model of our own (`line_angle_deg`). Error of a line from its ends, sigma sqrt(2)/length:
    first-order propagation, derived.

    Examples
    --------
    >>> foot = Profile.from_measures(52, 40, 85, 35, 110)
    >>> lines = line_departures(foot, start=[(102, 10), (2, 5)], end=[(79, 40), (-10, 15)])
    >>> lines.angle_deg.round(1), lines.departure_deg.round(1)
    (array([52.5, 39.8]), array([ 0.5, -1. ]))
    """
    if profile.shape:
        raise ValueError(f"profile must hold one foot (got shape {profile.shape})")
    low, high = together(start=points("start", start, 2), end=points("end", end, 2))
    error = numbers("point_error_mm", point_error_mm, at_least=0)
    trace = high - low
    length = np.hypot(trace[..., 0], trace[..., 1])
    refuse_where(length == 0.0, "start and end must be two different points: a line has no length")
    # a line has no sense: point it up from the bearing surface
    angle = np.asarray(_angle_to_bearing(profile, trace)) % 180.0
    along, up = _along_up(profile, (low + high) / 2.0)
    fraction = _place_on_model(profile, along, up)
    toe, heel = np.asarray(profile.toe_angle_deg), np.asarray(profile.heel_angle_deg)
    return LineField(
        fraction=plain(fraction),
        angle_deg=plain(angle),
        model_deg=plain(_turned(toe, heel, fraction)),
        error_deg=plain(np.degrees(np.sqrt(2.0) * error / length)),
    )


def _up_and_back(angle_deg: FloatArray) -> FloatArray:
    """Unit vector(s) of a wall line from the ground up and back, shape (..., 2)."""
    angle = np.radians(angle_deg)
    return np.stack([-np.cos(angle), np.sin(angle)], axis=-1)


#: Every property of a foot that is a number with an error of its own.
EVERY_MEASURE = (
    *MEASURES,
    "toe_height_mm",
    "heel_height_mm",
    "bearing_tilt_deg",
    "heel_overhang_mm",
    "bulb_overhang_mm",
    "heel_support_mm",
    "pastern_angle_deg",
    "axis_deviation_deg",
)


def _turned(toe_deg: FloatArray, heel_deg: FloatArray, fraction: FloatArray) -> FloatArray:
    """The one rule by which the toe's direction turns into the heel's."""
    return toe_deg + fraction * (heel_deg - toe_deg)


def _place_on_model(profile: Profile, along: FloatArray, up: FloatArray) -> FloatArray:
    """Fraction of the model line through points given along (forward) and up the bearing."""
    bearing = float(profile.bearing_length_mm)
    toe, heel = np.asarray(profile.toe_angle_deg), np.asarray(profile.heel_angle_deg)
    margin = 0.1

    def behind(fraction: FloatArray) -> FloatArray:
        """How far behind the point the model line of that fraction passes."""
        slope = np.tan(np.radians(90.0 - _turned(toe, heel, fraction)))
        return fraction * bearing + up * slope - (bearing - along)

    front, rear = np.full_like(along, -margin), np.full_like(along, 1.0 + margin)
    refuse_where(
        (behind(front) > 0.0) | (behind(rear) < 0.0) | (up < -margin * bearing),
        "start and end must lie on the wall: a line is more than a tenth of the bearing "
        "length outside the foot",
    )
    # lines of one foot do not cross inside it, so there is one place: halve the bracket
    for _ in range(60):
        middle = (front + rear) / 2.0
        short = behind(middle) < 0.0
        front, rear = np.where(short, middle, front), np.where(short, rear, middle)
    return (front + rear) / 2.0


def _camera(
    yaw_deg: ArrayLike,
    look_down_deg: ArrayLike,
    roll_deg: ArrayLike,
    scale_error: ArrayLike,
    distance_mm: ArrayLike | None,
    aim_mm: ArrayLike,
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """View matrix, depth row, size, roll matrix, distance and aim of a camera."""
    yaw, down, roll = (
        np.radians(numbers("yaw_deg", yaw_deg, at_least=-80, at_most=80)),
        np.radians(numbers("look_down_deg", look_down_deg, at_least=-80, at_most=80)),
        np.radians(numbers("roll_deg", roll_deg, at_least=-45, at_most=45)),
    )
    size = 1.0 + numbers("scale_error", scale_error, above=-1)
    far = np.array(np.inf)
    if distance_mm is not None:
        far = numbers("distance_mm", distance_mm, above=0)
    yaw, down, roll, size, far = together(
        yaw_deg=yaw, look_down_deg=down, roll_deg=roll, scale_error=size, distance_mm=far
    )
    # Rows: the camera's right and up axes, in the foot's forward and up coordinates.
    view = _matrix(np.cos(yaw), np.zeros_like(yaw), -np.sin(yaw) * np.sin(down), np.cos(down))
    depth = np.stack([-np.sin(yaw) * np.cos(down), -np.sin(down)], axis=-1)
    turn = _matrix(np.cos(roll), -np.sin(roll), np.sin(roll), np.cos(roll))
    return view, depth, size[..., None], turn, far[..., None], points("aim_mm", aim_mm, 2)


def _projected(point: FloatArray, camera: tuple[FloatArray, ...]) -> FloatArray:
    """Points of the middle plane as the camera's picture shows them."""
    view, depth, size, turn, distance, aim = camera
    together(points_mm=point[..., 0], camera=depth[..., 0], aim_mm=aim[..., 0])
    away = point - aim
    # picture = size * turn * view * away / (1 + depth/distance)
    closeness: FloatArray = 1.0 + np.sum(depth * away, axis=-1, keepdims=True) / distance
    refuse_where(
        closeness[..., 0] <= 0.0, "distance_mm must keep the whole foot in front of the camera"
    )
    return np.asarray(aim + size * _apply(turn, _apply(view, away)) / closeness)


def _matrix(a: FloatArray, b: FloatArray, c: FloatArray, d: FloatArray) -> FloatArray:
    """Rows (a, b), (c, d) as an array of shape (..., 2, 2)."""
    return np.stack([np.stack([a, b], axis=-1), np.stack([c, d], axis=-1)], axis=-2)


def _apply(matrix: FloatArray, vector: FloatArray) -> FloatArray:
    """Matrix times vector over leading axes."""
    return np.asarray((matrix @ vector[..., None])[..., 0])


def _angle_to_bearing(profile: Profile, line: FloatArray) -> Result:
    """Angle of a line to the bearing surface, opened to the back, -180 to 180 [deg]."""
    bearing = profile.toe_ground - profile.heel_ground
    up = bearing[..., 0] * line[..., 1] - bearing[..., 1] * line[..., 0]
    forward = bearing[..., 0] * line[..., 0] + bearing[..., 1] * line[..., 1]
    # atan2 keeps full precision where acos would lose it
    return plain(np.degrees(np.arctan2(up, -forward)))


def _along_up(profile: Profile, point: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Place of a point along the bearing surface from the heel, and above it [mm]."""
    return _in_frame(profile.heel_ground, profile.toe_ground, point)


def _in_frame(
    heel: FloatArray, toe: FloatArray, point: FloatArray
) -> tuple[FloatArray, FloatArray]:
    bearing, away = toe - heel, point - heel
    length = np.hypot(bearing[..., 0], bearing[..., 1])
    along = (bearing[..., 0] * away[..., 0] + bearing[..., 1] * away[..., 1]) / length
    up = (bearing[..., 0] * away[..., 1] - bearing[..., 1] * away[..., 0]) / length
    return along, up


def _length(line: FloatArray) -> Result:
    return plain(np.hypot(line[..., 0], line[..., 1]))


def _needed(name: str, landmark: FloatArray | None) -> FloatArray:
    if landmark is None:
        raise ValueError(f"this measure needs the landmark {name}, which the profile does not have")
    return landmark


def _per_foot(name: str, value: ArrayLike, profile: Profile) -> FloatArray:
    """An error of at least 0 that goes with the feet's leading shape."""
    array = numbers(name, value, at_least=0)
    together(**{name: array, "profile": np.empty(profile.shape)})
    return array


def _impossible(landmarks: dict[str, FloatArray]) -> list[tuple[NDArray[np.bool_], str]]:
    """What no foot can show: masks over the feet, each with the sentence that says so."""
    toe, heel = landmarks["toe_ground"], landmarks["heel_ground"]
    toe_top, heel_top = landmarks["toe_coronet"], landmarks["heel_coronet"]
    bearing = toe - heel
    with np.errstate(invalid="ignore", divide="ignore"):  # a bearing of no length is refused first
        toe_along, toe_up = _in_frame(heel, toe, toe_top)
        heel_along, heel_up = _in_frame(heel, toe, heel_top)
    faults = [
        ((bearing == 0.0).all(axis=-1), "toe_ground and heel_ground must be two different points"),
        (
            (toe == toe_top).all(axis=-1),
            "toe_ground and toe_coronet must be two different points: the toe has no length",
        ),
        (
            (heel == heel_top).all(axis=-1),
            "heel_ground and heel_coronet must be two different points: the heel has no length",
        ),
        (
            bearing[..., 0] <= 0.0,
            "toe_ground must lie in front of heel_ground, at the larger forward coordinate; "
            "a foot that faces left is read by Profile.from_points(..., facing='left')",
        ),
        (
            np.abs(bearing[..., 1])
            > np.abs(bearing[..., 0]) * np.tan(np.radians(_STEEPEST_GROUND_DEG)),
            f"the line from heel_ground to toe_ground must lean less than "
            f"{_STEEPEST_GROUND_DEG:g} degrees: turn the picture level, or check the points",
        ),
        (
            toe_up <= 0.0,
            "toe_coronet must lie above the bearing surface; in a picture whose rows count "
            "downwards, change the sign of the up coordinate",
        ),
        (
            heel_up <= 0.0,
            "heel_coronet must lie above the bearing surface; in a picture whose rows count "
            "downwards, change the sign of the up coordinate",
        ),
        (
            toe_along <= heel_along,
            "toe_coronet must lie in front of heel_coronet: the two are crossed",
        ),
        (
            _cross(toe, toe_top, heel, heel_top),
            "the toe wall and the heel wall cross: check which points belong together",
        ),
    ]
    if "pastern_low" in landmarks:
        low_up = _in_frame(heel, toe, landmarks["pastern_low"])[1]
        high_up = _in_frame(heel, toe, landmarks["pastern_high"])[1]
        faults.append((high_up <= low_up, "pastern_high must lie above pastern_low"))
    return faults


def _cross(
    toe: FloatArray, toe_top: FloatArray, heel: FloatArray, heel_top: FloatArray
) -> NDArray[np.bool_]:
    """Where two walls cross: each has its ends on both sides of the other."""

    def side(a: FloatArray, b: FloatArray, c: FloatArray) -> FloatArray:
        """Above 0 where c lies to the left of the line from a to b."""
        u, v = b - a, c - a
        left: FloatArray = u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]
        return left

    apart_by_toe = side(toe, toe_top, heel) * side(toe, toe_top, heel_top)
    apart_by_heel = side(heel, heel_top, toe) * side(heel, heel_top, toe_top)
    return np.asarray((apart_by_toe <= 0.0) & (apart_by_heel <= 0.0))

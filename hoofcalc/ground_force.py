"""Which way, and how hard, the ground pushes while the foot stands on it.

Forces act on the foot: vertical positive up, fore-aft positive backward (braking), negative
forward (push-off). The tilt of the force is its lean from the vertical, positive backward.
Direction of travel is not direction of force: a foot may come in far forward while the force
through the stance stays within some degrees of upright.

What the curves rest on: the vertical impulse of all stances of a stride must carry the weight
through the stride, so a limb's mean force while it stands is its share of the weight divided by its
duty factor. Only the shape around that mean is a model. Masses are all that the legs
carry: horse, rider and tack together.

What the curves leave out: the impact. In the first 30 to 50 ms (``IMPACT_PHASE_S``) the foot
and the bones above it are stopped by the ground in sharp peaks of force, and the foot slips;
there the fore-aft force can rival the vertical. The curves here are smooth from the first
moment. Read them after the impact phase.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc import _inputs
from hoofcalc._constants import GRAVITY_M_S2
from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import FloatArray, Result

__all__ = [
    "DUTY_FACTORS",
    "FORE_PAIR_SHARES",
    "IMPACT_PHASE_S",
    "PEAK_ESTIMATE_ERROR",
    "DutyFactorRange",
    "EstimateError",
    "GallopTiming",
    "StanceForce",
    "gallop_timing",
    "limbs_of",
    "peak_vertical_n",
    "stance_force",
    "tilt_deg",
]

#: Shortest and longest figure for the impact phase at the start of a stance [s].
#: Johnston & Back 2006, Equine Veterinary Journal 38, 634-641, from memory, medium to low.
IMPACT_PHASE_S = (0.030, 0.050)

#: Part of the weight on the fore pair on level ground, by gait. Trot: 57:43 at 2.5-5 m/s (Dutto,
#: Hoyt, Cogger & Wickler 2004, J Exp Biol 207, 3507-3514, as quoted later); walk and canter take it
#: over. Gallop: "approximated to 50:50, and is variable with speed" (Self Davies, Spence & Wilson
#: 2019, J Exp Biol 222, jeb204107, force plates, 11.4 m/s, abstract); how it varies was not seen.
#: Textbooks say 0.60.
FORE_PAIR_SHARES = MappingProxyType({"walk": 0.57, "trot": 0.57, "canter": 0.57, "gallop": 0.50})

#: A force below this part of its peak has no direction worth stating.
_LOADED_PART = 0.05


@dataclass(frozen=True)
class DutyFactorRange:
    """Duty factors published for a gait, and those that ``stance_force`` still takes.

    Parameters
    ----------
    low, high : float
        Lowest and highest published duty factor [-].
    source : str
        Who published them, and how sure that is.

    References
    ----------
    Stands in `source`.

    Examples
    --------
    >>> DUTY_FACTORS["trot"].low, DUTY_FACTORS["trot"].least, DUTY_FACTORS["trot"].most
    (0.22, 0.165, 0.625)
    """

    low: float
    high: float
    source: str

    @property
    def least(self) -> float:
        """Lowest duty factor taken, a quarter below the lowest published one (our choice) [-]."""
        return 0.75 * self.low

    @property
    def most(self) -> float:
        """Highest duty factor taken, a quarter above the highest published one (our choice) [-]."""
        return 1.25 * self.high


_USUAL = "Robilliard, Pfau & Wilson 2007, J Exp Biol 210, 187-197, and others, from memory"
#: Duty factors by gait. What lies far outside them is no such gait, or a slip.
DUTY_FACTORS = MappingProxyType(
    {
        "walk": DutyFactorRange(0.60, 0.65, _USUAL),
        "trot": DutyFactorRange(
            0.22, 0.50, f"high: {_USUAL}; low: 100 of 455 ms at 12 m/s, Drevemo et al. 1980, read"
        ),
        "canter": DutyFactorRange(0.30, 0.45, _USUAL),
        "gallop": DutyFactorRange(
            0.18,
            0.33,
            "low: 77 of 419 ms fore at 17 m/s, Witte, Hirst & Wilson 2006, read; high: hind at"
            " 9 m/s, derived from figure 8 of Parsons, Pfau & Wilson 2008",
        ),
    }
)


@dataclass(frozen=True)
class EstimateError:
    """How far the peak from the duty factor was from the force plate, in one gait.

    Parameters
    ----------
    mean_n_kg : float
        Mean error, positive where the estimate is too high [N/kg].
    sem_n_kg : float
        Standard error of that mean [N/kg].
    percent : float
        The mean error as part of the measured peak [percent].
    count : int
        Number of stances compared.

    References
    ----------
    Witte, Knill & Wilson 2004, Journal of Experimental Biology 207, 3639-3648, abstract.

    Examples
    --------
    >>> round(PEAK_ESTIMATE_ERROR["trot"].spread_percent, 1)
    5.2
    """

    mean_n_kg: float
    sem_n_kg: float
    percent: float
    count: int

    @property
    def measured_n_kg(self) -> float:
        """The measured peak that the two forms of the error imply [N/kg]."""
        return self.mean_n_kg / self.percent * 100

    @property
    def spread_percent(self) -> float:
        """Standard deviation of the error of a single stance [percent of the measured peak]."""
        return 100 * self.sem_n_kg * float(np.sqrt(self.count)) / self.measured_n_kg


#: The published errors of ``peak_vertical_n`` by gait; in canter the fore limbs apart.
PEAK_ESTIMATE_ERROR = MappingProxyType(
    {
        "walk": EstimateError(0.8, 0.04, 13.0, 42),
        "trot": EstimateError(-0.3, 0.06, -3.0, 75),
        "canter trailing": EstimateError(-2.3, 0.27, -16.0, 18),
        "canter leading": EstimateError(2.1, 0.7, 19.0, 9),
    }
)


@dataclass(frozen=True)
class _Limb:
    """The few numbers that shape one limb's force.

    ``part`` is the limb's part of its pair's share. ``skew`` and ``hump`` are the second and third
    sine of the vertical force beside a first of one: `skew` lifts the earlier half, `hump` above
    1/9 makes two humps. ``swing`` is the size of the braking-then-pushing wave as part of the
    half-sine peak, ``net`` the fore-aft impulse over a stance as part of weight times stride
    (braking positive). ``spread`` is the standard deviation of the peak as part of it.
    """

    pair: str
    part: float
    skew: float
    hump: float
    swing: float
    net: float
    spread: float


# Vertical shape. Walk: two humps with a dip to 0.72 of the peak (hump 0.3: our choice), the second
# higher in front and the first behind (from memory, medium), by as much as makes the peak 1/1.13 of
# the half-sine's; trot: 1/0.97 of it (both Witte et al. 2004). Canter and gallop: half-sine. In
# canter the fore pair's share is split as the measured peaks, 9.74 leading to 11.96 trailing
# (McGuigan & Wilson 2003, table 2); the errors of Witte et al. 2004 put them further apart, at 0.71
# instead of 0.81, and say that the difference falls with speed. Behind, no such figure is known:
# halves. Fore-aft. Trot: swing and net fit the four peaks of Merkens et al. 1993 (at the duty
# factors at which its vertical peaks come out) within 1.2 %, with *one* net for fore and hind, so
# that the stride's fore-aft impulses cancel. Walk and gallop take over the trot's fore-aft numbers,
# an assumption. Canter: signs are Merkens et al. 1993 (Am J Vet Res), sizes an assumption that sums
# to zero.
# Spread, at a known duty factor. Walk and trot: of the estimate's error (Witte et al. 2004).
# Canter, fore: of that error (0.08 trailing, 0.19 leading) and the difference between the two
# sources, in squares; behind: as the leading fore, an assumption. Gallop: leading and trailing limb
# lie 9 % to each side (12.79 and 15.23 N/kg, McGuigan & Wilson 2003), a share of 0.57 instead of
# 0.50 is worth 14 %, the estimate errs by 5 % at trot; in squares 0.17, rounded up.
_SWING_FORE, _SWING_HIND, _NET = 0.0876, 0.0982, 0.00557
_TRAIL = 11.96 / (11.96 + 9.74)
_LIMBS = MappingProxyType(
    {
        ("walk", "fore"): _Limb("fore", 0.5, -0.0533, 0.3, _SWING_FORE, _NET, 0.042),
        ("walk", "hind"): _Limb("hind", 0.5, 0.0533, 0.3, _SWING_HIND, -_NET, 0.042),
        ("trot", "fore"): _Limb("fore", 0.5, 0.0, -0.0230, _SWING_FORE, _NET, 0.052),
        ("trot", "hind"): _Limb("hind", 0.5, 0.0, -0.0230, _SWING_HIND, -_NET, 0.052),
        ("canter", "leading fore"): _Limb("fore", 1 - _TRAIL, 0.0, 0.0, _SWING_FORE, 0.025, 0.20),
        ("canter", "trailing fore"): _Limb("fore", _TRAIL, 0.0, 0.0, _SWING_FORE, -0.020, 0.12),
        ("canter", "leading hind"): _Limb("hind", 0.5, 0.0, 0.0, _SWING_HIND, 0.015, 0.20),
        ("canter", "trailing hind"): _Limb("hind", 0.5, 0.0, 0.0, _SWING_HIND, -0.020, 0.20),
        ("gallop", "fore"): _Limb("fore", 0.5, 0.0, 0.0, _SWING_FORE, _NET, 0.20),
        ("gallop", "hind"): _Limb("hind", 0.5, 0.0, 0.0, _SWING_HIND, -_NET, 0.20),
    }
)
_GAITS = ("walk", "trot", "canter", "gallop")


@dataclass(frozen=True, eq=False)
class StanceForce:
    """The ground force on one foot through a stance.

    Parameters
    ----------
    moments : array, shape (k,)
        Part of the stance gone by, 0 = contact, 1 = lift-off [-].
    vertical_n : array, shape (..., k)
        Vertical force on the foot [N].
    fore_aft_n : array, shape (..., k)
        Fore-aft force on the foot, braking positive [N].
    mean_vertical_n : float or array, shape (...)
        Mean vertical force over the stance, exact [N]; times stance time it is the impulse.
    mean_fore_aft_n : float or array, shape (...)
        The same of the fore-aft force [N].
    spread : float
        Standard deviation of the peak at a known mass and duty factor, from one stance, horse and
        published source to another, as part of the peak [-]. Not in it: the error of the duty
        factor that was given.

    References
    ----------
    Definition.

    Examples
    --------
    >>> force = stance_force("trot", "fore", 500.0, 0.4, [0.25, 0.5, 0.75])
    >>> force.tilt_deg.round(2)
    array([ 8.29,  1.09, -6.05])
    """

    moments: FloatArray
    vertical_n: FloatArray
    fore_aft_n: FloatArray
    mean_vertical_n: Result
    mean_fore_aft_n: Result
    spread: float

    @property
    def peak_vertical_n(self) -> Result:
        """Largest vertical force among the moments asked for [N]."""
        return _inputs.plain(np.max(self.vertical_n, axis=-1))

    @property
    def how_sure(self) -> HowSure:
        """The peak of one stance with its 95 % interval [N]; several are refused."""
        peak = self.peak_vertical_n
        if np.ndim(peak):
            raise ValueError(f"how_sure tells of one stance (got shape {np.shape(peak)})")
        return HowSure.from_error(
            float(peak),
            self.spread * float(peak),
            "N",
            "one stance, one horse and one published source against another",
            "the error of mass and duty factor, and the impact",
        )

    @property
    def loaded(self) -> NDArray[np.bool_]:
        """Where the vertical force is at least 5 % of its peak among the moments, as true/false."""
        peak = np.max(self.vertical_n, axis=-1, keepdims=True)
        return np.asarray(self.vertical_n >= _LOADED_PART * peak)

    @property
    def tilt_deg(self) -> FloatArray:
        """Tilt of the force, positive backward [degrees]; refused near the ends, where unloaded."""
        if not self.loaded.all():
            idle = self.moments[~self.loaded.all(axis=tuple(range(self.vertical_n.ndim - 1)))]
            raise ValueError(
                f"tilt_deg has no meaning at moments {idle.min():g} to {idle.max():g}: the "
                f"vertical force there is below {_LOADED_PART:.0%} of its peak; ask for moments "
                "between 0.05 and 0.95, or pick those where `loaded` is true"
            )
        return np.asarray(tilt_deg(self.vertical_n, self.fore_aft_n))


@dataclass(frozen=True)
class GallopTiming:
    """Stance and stride at a gallop of given speed.

    Parameters
    ----------
    stance_s : float or array
        Time on the ground [s].
    stride_s : float or array
        Time of the whole stride [s].

    References
    ----------
    Definition.

    Examples
    --------
    >>> GallopTiming(0.077, 0.419).duty_factor
    0.1838
    """

    stance_s: Result
    stride_s: Result

    @property
    def duty_factor(self) -> Result:
        """Part of the stride on the ground [-]."""
        return self.stance_s / self.stride_s


def peak_vertical_n(mass_kg: ArrayLike, duty_factor: ArrayLike, pair_share: ArrayLike) -> Result:
    """Peak vertical force on one limb, from the duty factor and the share of its *pair*.

    The force is taken as half a sine over the stance, whose impulse must equal the limb's half of
    its pair's share of weight times stride time. A trot's force is nearly of that
    shape; a walk's has two humps, and in canter the two fore limbs share unequally. Against force
    plates the estimate erred by +13 % at walk, -3 % at trot, and in canter by -16 % on the
    trailing and +19 % on the leading fore limb (``PEAK_ESTIMATE_ERROR``).

    Equation: peak = pi m g share / (4 beta), with the pair's share and duty factor beta.

    Parameters
    ----------
    mass_kg : float or array
        Mass carried, rider and tack included [kg].
    duty_factor : float or array
        Part of the stride on the ground, between 0 and 1 [-]. No gait is known here, so any is
        taken; ``stance_force`` refuses what does not fit its gait.
    pair_share : float or array
        Part of the weight carried by the fore or hind pair, both limbs together [-].

    Returns
    -------
    float or array
        Peak vertical force on one limb [N].

    Raises
    ------
    ValueError
        If `mass_kg` is not above 0, `duty_factor` not above 0 and below 1, `pair_share` not above 0
        and at most 1, or the shapes do not go together.

    References
    ----------
    Alexander, Maloiy, Hunter, Jayes & Musinguzi 1979, Journal of Zoology 189, 135-144; for horses
    Witte, Knill & Wilson 2004, Journal of Experimental Biology 207, 3639-3648.

    Examples
    --------
    >>> peak_vertical_n(500.0, 0.4, 0.57)
    5489.6
    """
    mass, beta, share = _inputs.together(
        mass_kg=_inputs.numbers("mass_kg", mass_kg, above=0, copy=False),
        duty_factor=_inputs.numbers("duty_factor", duty_factor, above=0, below=1, copy=False),
        pair_share=_inputs.numbers("pair_share", pair_share, above=0, at_most=1, copy=False),
    )
    return _inputs.plain(np.pi / 4 * GRAVITY_M_S2 * mass * share / beta)


def gallop_timing(speed_m_s: ArrayLike, pair: str) -> GallopTiming:
    """Stance and stride time at a gallop, from the speed.

    Between the published ends the stance falls as a power of speed, the rest of the stride in
    a straight line; leading and trailing limb are pooled as in the source. Horses differ: six
    others stood about a fifth longer in front at 9 to 13 m/s (Parsons, Pfau & Wilson 2008, figure
    3), which makes the peaks a sixth lower. For other gaits no figures by speed are held here:
    measure the duty factor.

    Equation: stance = t9 (v/9)^p with p = ln(t17/t9) / ln(17/9); swing linear in v.

    Parameters
    ----------
    speed_m_s : float or array
        Speed, 9 to 17 [m/s].
    pair : str
        "fore" or "hind".

    Returns
    -------
    GallopTiming
        Stance and stride time [s] and duty factor [-].

    Raises
    ------
    ValueError
        If `speed_m_s` is not between 9 and 17, or `pair` is not "fore" or "hind".

    References
    ----------
    Witte, Hirst & Wilson 2006, Journal of Experimental Biology 209, 4389-4397, abstract: at 9 and
    17 m/s stance 131 and 77 ms fore, 143 and 94 ms hind; protraction 364 and 342 ms fore, 355 and
    326 ms hind. (The labels of the fits under its figure 3 look exchanged and are not used.)
    Parsons, Pfau & Wilson 2008, Journal of Experimental Biology 211, 935-944, figure 3, caption.

    Examples
    --------
    >>> gallop_timing(17.0, "fore").duty_factor
    0.1838
    """
    speed = _inputs.numbers("speed_m_s", speed_m_s, at_least=9, at_most=17, copy=False)
    _inputs.choice("pair", pair, ("fore", "hind"))
    stance, swing = {
        "fore": ((0.131, 0.077), (0.364, 0.342)),
        "hind": ((0.143, 0.094), (0.355, 0.326)),
    }[pair]
    power = np.log(stance[1] / stance[0]) / np.log(17 / 9)
    stance_s = stance[0] * (speed / 9) ** power
    swing_s = swing[0] + (swing[1] - swing[0]) * (speed - 9) / 8
    return GallopTiming(_inputs.plain(stance_s), _inputs.plain(stance_s + swing_s))


def limbs_of(gait: str) -> tuple[str, ...]:
    """Names of the limbs whose forces differ in a gait.

    Parameters
    ----------
    gait : str
        "walk", "trot", "canter" or "gallop".

    Returns
    -------
    tuple of str
        Names to give to ``stance_force``.

    Raises
    ------
    ValueError
        If `gait` is none of these.

    References
    ----------
    Definition. In gallop leading and trailing limbs are pooled, as in Witte, Hirst & Wilson 2006.

    Examples
    --------
    >>> limbs_of("canter")
    ('leading fore', 'trailing fore', 'leading hind', 'trailing hind')
    """
    _inputs.choice("gait", gait, _GAITS)
    return tuple(limb for name, limb in _LIMBS if name == gait)


def stance_force(
    gait: str,
    limb: str,
    mass_kg: ArrayLike,
    duty_factor: ArrayLike,
    moments: ArrayLike | None = None,
    fore_share: ArrayLike | None = None,
) -> StanceForce:
    """Vertical and fore-aft force on one foot through a stance, at constant speed on level ground.

    Vertical: a sum of sines of the first three orders, scaled so that its mean is exactly the
    limb's share of the weight over the duty factor: two humps at walk, a slightly pointed half-sine
    at trot, a half-sine at canter and gallop. Fore-aft: braking then push-off as one full
    sine, plus half a sine that carries the net impulse. The nets of the four limbs sum to exactly
    zero in every gait, so that the stride neither gains nor loses speed: fore limbs brake on
    balance, hind limbs push; in canter the leading limbs brake and the trailing limbs push.

    How sure, vertically, held against what others found, fore limbs, in N/kg:

    - walk: 6.16 +/- 0.53 measured on the force plate; here 6.27 at a duty factor of 0.62.
    - trot: 11.59 fore and 10.21 hind measured; here at duty factors 0.391 and 0.335. At equal duty
      factors the peaks would share as 57:43, not as the 53:47 measured: a share of peaks is not a
      share of weight.
    - canter: 9.74 +/- 1.40 leading and 11.96 +/- 0.66 trailing measured; the ratio of the two is
      taken over. Others found the two further apart; the difference falls with speed.
    - gallop at 11.4 m/s: 13.6 leading and 14.0 trailing measured on force plates; 16.1 predicted by
      others from the duty factor with a share of 0.57; 12.8 leading and 15.2 trailing at 12 m/s
      predicted from the angle of the fetlock on a treadmill. Here 16.7 with the times of
      ``gallop_timing`` and 14.1 with those of the second study named there; a share of 0.57 would
      make it 19.0.

    Fore-aft: trot peaks follow Merkens et al. 1993 within 1.2 %. Vertical and braking peak at
    different moments, so that the force leans further than the ratio of the peaks says (trot,
    fore: 8 degrees at the braking peak, where 1.13/11.59 is 5.6). The fore-aft curves of walk and
    gallop are the trot's taken over, canter's sizes assumed: trust their signs only. ``spread``
    is derived from the published errors (hind limbs at canter and gallop: taken over). The impact
    phase is not in the curves.

    Equation: up = mean (pi/2) (sin(x) + k sin(2 x) + h sin(3 x)) / (1 + h/3), with x = pi
    moment and mean = limb's share m g / beta; fore-aft = mean (pi/2) swing sin(2 x), and a
    half-sine for the net.

    Parameters
    ----------
    gait : str
        "walk", "trot", "canter" or "gallop".
    limb : str
        "fore" or "hind"; in canter "leading fore", "trailing fore", "leading hind" or
        "trailing hind".
    mass_kg : float or array, shape (...)
        Mass carried, rider and tack included [kg].
    duty_factor : float or array, shape (...)
        Part of the stride on the ground, of this limb [-]; inside the range of ``DUTY_FACTORS``
        for the gait, widened by a quarter to each side.
    moments : array, shape (k,), optional
        Part of the stance gone by, between 0 and 1 [-]; default 101 moments from 0 to 1.
    fore_share : float or array, shape (...), optional
        Part of the weight on the fore pair [-]; left out, ``FORE_PAIR_SHARES`` of the gait.
        Up a slope of 10 % it was 0.52 at trot (Dutto et al. 2004).

    Returns
    -------
    StanceForce
        Forces of shape (..., k) [N], their exact means [N] and the spread [-].

    Raises
    ------
    ValueError
        If `gait` or `limb` is unknown, `mass_kg` not above 0, `duty_factor` not one of that gait,
        `fore_share` not above 0 and below 1, `moments` not a row of numbers from 0 to 1, or the
        shapes do not go together.

    References
    ----------
    Shape of the vertical force: Alexander 1984, International Journal of Robotics Research 3(2),
    49-59 (first and third sine, from memory). Sizes: Witte, Knill & Wilson 2004, J Exp Biol 207,
    3639-3648; McGuigan & Wilson 2003, J Exp Biol 206, 1325, table 2 (walk, canter) and abstract
    (gallop); Merkens, Schamhardt, van Osch & van den Bogert 1993, Equine Vet J 25, 134-137 (trot)
    and Merkens et al. 1993, Am J Vet Res 54, 670-674 (signs at canter). Gallop: Self Davies, Spence
    & Wilson 2019, J Exp Biol 222, jeb204107, abstract; Parsons, Pfau & Wilson 2008, J Exp Biol 211,
    935-944, figure 8; Witte, Hirst & Wilson 2006, J Exp Biol 209, 4389-4397. The fit is our own.

    Examples
    --------
    >>> force = stance_force("trot", "fore", 500.0, 0.391)
    >>> round(force.peak_vertical_n / 500, 2)
    11.58
    >>> float(force.fore_aft_n.max()) / 500, float(force.fore_aft_n.min()) / 500
    (1.142, -0.832)
    """
    known = limbs_of(gait)
    shape = _LIMBS[gait, _inputs.choice("limb", limb, known)]
    mass, beta, fore = _inputs.together(
        mass_kg=_inputs.numbers("mass_kg", mass_kg, above=0),
        duty_factor=_duty_factor_of(gait, duty_factor),
        fore_share=_inputs.numbers(
            "fore_share",
            FORE_PAIR_SHARES[gait] if fore_share is None else fore_share,
            above=0,
            below=1,
        ),
    )
    if moments is None:
        moments = np.linspace(0, 1, 101)
    s = np.atleast_1d(_inputs.numbers("moments", moments, at_least=0, at_most=1))
    if s.ndim != 1:
        raise ValueError(f"moments must be a row of numbers (got shape {s.shape})")

    limb_share = shape.part * (fore if shape.pair == "fore" else 1 - fore)
    stance_weight = mass * GRAVITY_M_S2 / beta  # weight times stride time over stance time
    mean_vertical = limb_share * stance_weight
    mean_fore_aft = shape.net * stance_weight

    # sin(k pi s) for k = 1, 2, 3, exactly zero at both ends; their means are 2/pi, 0, 2/(3 pi)
    first = np.sin(np.pi * np.minimum(s, 1 - s))
    second = 2 * first * np.cos(np.pi * s)
    third = first * (3 - 4 * first**2)
    over_mean = np.pi / 2 / (1 + shape.hump / 3)
    vertical = over_mean * (first + shape.skew * second + shape.hump * third)
    wave = np.pi / 2 * shape.swing * second
    return StanceForce(
        moments=s,
        vertical_n=mean_vertical[..., None] * vertical,
        fore_aft_n=mean_vertical[..., None] * wave + mean_fore_aft[..., None] * (np.pi / 2 * first),
        mean_vertical_n=_inputs.plain(mean_vertical),
        mean_fore_aft_n=_inputs.plain(mean_fore_aft),
        spread=shape.spread,
    )


def _duty_factor_of(gait: str, duty_factor: ArrayLike) -> FloatArray:
    """The duty factor, if it can be one of that gait."""
    beta = _inputs.numbers("duty_factor", duty_factor, above=0, below=1)
    known = DUTY_FACTORS[gait]
    _inputs.refuse_where(
        (beta < known.least) | (beta > known.most),
        f"duty_factor must be between {known.least:.3g} and {known.most:.3g} for a {gait}, where "
        f"{known.low:.2f} to {known.high:.2f} is published (got {{beta:g}})",
        beta=beta,
    )
    return beta


def tilt_deg(vertical_n: ArrayLike, fore_aft_n: ArrayLike) -> Result:
    """Lean of the ground force from the vertical, positive backward (braking).

    A foot without load has no direction of force: the vertical force must be above zero. Near the
    ends of a stance small errors of either force swing the tilt about; ``StanceForce`` refuses
    it below 5 % of the peak.

    Equation: tilt = atan(fore-aft force / vertical force).

    Parameters
    ----------
    vertical_n : float or array
        Vertical force on the foot, above 0 [N].
    fore_aft_n : float or array
        Fore-aft force on the foot, braking positive [N].

    Returns
    -------
    float or array
        Tilt, between -90 and 90 [degrees].

    Raises
    ------
    ValueError
        If `vertical_n` is not above 0, `fore_aft_n` is not finite, or the shapes do not go
        together.

    References
    ----------
    Definition.

    Examples
    --------
    >>> tilt_deg(11.59, 1.13), tilt_deg(11.59, -0.84)
    (5.569, -4.145)
    """
    vertical, fore_aft = _inputs.together(
        vertical_n=_inputs.numbers("vertical_n", vertical_n, above=0, copy=False),
        fore_aft_n=_inputs.numbers("fore_aft_n", fore_aft_n, copy=False),
    )
    return _inputs.plain(np.degrees(np.arctan2(fore_aft, vertical)))

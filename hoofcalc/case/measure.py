"""A visit measured from its stored points: angles with their error, findings, film, load map.

Nothing here is random, so that the same files give the same numbers to the last digit. The
calculations are those of `hoofcalc.profile`, `reading`, `landing`, `ground_force` and `loadpath`;
what had to be assumed where a view is missing is said in `Measurement.remarks`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from functools import cache, cached_property
from pathlib import Path
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._constants import ERRORS_FOR_95, VET_CAUTION
from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.case.allowance import SOURCES
from hoofcalc.case.records import Case, Visit
from hoofcalc.case.several import compared
from hoofcalc.case.storage import VERSION, CaseError, as_csv, put_all, tables_as_toml, take_away
from hoofcalc.case.tracking import with_duty_factor
from hoofcalc.ground_force import StanceForce, stance_force
from hoofcalc.horn import Horn, horn_at
from hoofcalc.landing import COVERS, LEAVES_OUT, Track, contact_times, landing_vector
from hoofcalc.loadpath import Comparison as Against
from hoofcalc.loadpath import (
    along_across,
    compare_feet,
    force_vector,
    obliquity_deg,
    share_out,
    wall_stress,
    weakest_place,
    worked_parts,
)
from hoofcalc.profile import Profile, line_departures
from hoofcalc.reading import CAUTION, Comparison, Finding, HowSure, compare, read_foot

#: The last lines of what is printed or written of a foot.
CAUTIONS = ("", CAUTION, VET_CAUTION)
#: Moments of the stance at which the load map is drawn: braking, middle, pushing off [part].
MOMENTS = (0.25, 0.5, 0.75)
#: Where the push acts, from heels to toe [part]; a choice, as in the lessons.
CENTRE = 0.6
_PER_SIDE = 60
_DRAWS = 80
_HEADING = (
    "Written by measure: from right heel round the toe to left. A teaching model, no diagnosis."
)
_TAPER = 0.85
#: The rule on long toes covers these weights [kg].
_RULE_KG = (360.0, 575.0)
_SIZES = ". Do the known lengths fit each other (side.toml, front.toml, below.toml)?"


@dataclass(frozen=True, kw_only=True, eq=False)
class LoadMap:
    """The push of the ground round the rim at the moments of `MOMENTS`.

    Parameters
    ----------
    duty_factor
        Part of the stride on the ground [no unit].
    peak_vertical_n
        Greatest upward force of the stance [N].
    spread
        Its standard deviation from stance to stance and horse to horse, with the error of the
        duty factor where a film told that, as a part of it.
    vertical_n, tilt_deg
        Upward force [N] and lean, positive back [degrees], at each moment.
    along_n, across_n, obliquity_deg, times
        For each moment and strip: push along and across the tubules [N], the angle between
        them [degrees], and how many times as hard the horn is worked as in the heels of the
        yard's foot in line under the greatest push, straight up [no unit], shape (3, n).
    hardest
        Name of the strip worked hardest at each moment.
    heel_obliquity_deg
        Mean angle at the two heels in the middle of the stance [degrees].
    foot
        The foot in 3-D that carries it.
    """

    duty_factor: float
    peak_vertical_n: float
    spread: float
    vertical_n: FloatArray
    tilt_deg: FloatArray
    along_n: FloatArray
    across_n: FloatArray
    obliquity_deg: FloatArray
    times: FloatArray
    hardest: tuple[str, ...]
    heel_obliquity_deg: float
    foot: Capsule = field(repr=False)

    @cached_property
    def heel_against(self) -> Against:
        """How many times as hard the heels are worked as those of the yard's foot in line."""
        return heel_against(self.foot)

    def as_csv(self) -> bytes:
        """The map as a table, a row for each moment and strip."""
        parts = self.along_n, self.across_n, self.obliquity_deg, self.times
        rows = [
            (100 * moment, *strip, *by_strip)
            for moment, *by_moment in zip(MOMENTS, *parts, strict=True)
            for strip, *by_strip in zip(self.foot.ground[:, :2], *by_moment, strict=True)
        ]
        columns = (
            "stance_percent",
            "forward_mm",
            "left_mm",
            "along_n",
            "across_n",
            "obliquity_deg",
            "times_heel_in_line",
        )
        heels = f"The heels as a whole against that foot's: {self.heel_against.how_sure.in_words}."
        return as_csv(columns, rows, f"{_HEADING}\n{heels}\n{VET_CAUTION}")

    @property
    def push_how_sure(self) -> HowSure:
        """The greatest upward force with its interval [N]."""
        return HowSure.from_error(
            self.peak_vertical_n,
            self.spread * self.peak_vertical_n,
            "N",
            "one stance and one horse against another, and the duty factor where a film told it",
            "the error of the weight, a duty factor that was typed in, and the impact",
        )


@dataclass(frozen=True, kw_only=True, eq=False)
class Measurement:
    """One visit, measured.

    Parameters
    ----------
    case, visit
        What was measured.
    values, errors
        Each measure of the foot and its standard error, in the unit of its name.
    findings
        Rules of the trade held against the foot.
    film
        What the film tells, by name with unit; empty without a film.
    horn_lines
        Traced lines against the model's: region, angle, model and error [degrees].
    load
        The load map; None where the duty factor is not known.
    remarks
        What was assumed, and what could not be told, in plain sentences.
    """

    case: Case
    visit: Visit
    values: Mapping[str, float]
    errors: Mapping[str, float]
    findings: tuple[Finding, ...]
    film: Mapping[str, float]
    horn_lines: tuple[Mapping[str, Any], ...]
    load: LoadMap | None
    remarks: tuple[str, ...]

    @property
    def how_sure(self) -> Mapping[str, HowSure]:
        """Each result by name in the one form: value, 95 % interval, what is in it, what not."""
        found = {
            name: HowSure.from_error(
                value, self.errors[name], _in_words(name)[1], *_of_points(self.visit)
            )
            for name, value in self.values.items()
        }
        for name, value in self.film.items():
            if not name.endswith("_error"):
                unit = _in_words(name)[1]
                found[name] = HowSure.from_error(
                    value, self.film[f"{name}_error"], unit, COVERS, LEAVES_OUT
                )
        if self.load is not None:
            found["peak_vertical_n"] = self.load.push_how_sure
            found["heel_against_a_foot_in_line"] = self.load.heel_against.how_sure
        return found

    def as_toml(self) -> bytes:
        """All numbers to the last digit, as measured.toml holds them."""
        tables: dict[str, Any] = {
            "visit": {
                "version": VERSION,
                "horse": self.case.horse,
                "foot": self.case.foot,
                "date": self.visit.date,
                "moment": self.visit.moment,
                "invented": self.case.invented,
            },
            "measures": dict(self.values),
            "standard_errors": dict(self.errors),
            "findings": [asdict(finding) for finding in self.findings],
        }
        if self.visit.parts is not None:
            tables["parts_of_errors"] = [
                {"measure": name, **each} for name, each in self.visit.parts.items()
            ]
        if self.film:
            tables["film"] = dict(self.film)
        if self.horn_lines:
            tables["horn_lines"] = list(self.horn_lines)
        if self.load is not None:
            load = self.load
            tables["push"] = {
                "gait": self.case.gait,
                "duty_factor": load.duty_factor,
                "peak_vertical_n": load.peak_vertical_n,
                "peak_spread_percent": 100 * load.spread,
                "heel_obliquity_deg": load.heel_obliquity_deg,
            }
            tables["heel_against_a_foot_in_line"] = {
                name: float(getattr(load.heel_against, name))
                for name in ("ratio", "low", "high", "share")
            }
        tables["how_sure"] = [{"of": name, **asdict(sure)} for name, sure in self.how_sure.items()]
        to_know = (*self.remarks, self.visit.askew, CAUTION, VET_CAUTION)
        tables["remarks"] = [{"sentence": remark} for remark in to_know if remark]
        return tables_as_toml(tables, "Written by measure; change the points, not this file.")

    def _budget_in_words(self) -> list[str]:
        """Where the errors of the two angles come from: parts whose squares add up."""
        if self.visit.parts is None:
            return []
        lines = ["", "Where the errors come from (standard errors; their squares add up):"]
        for name in ("toe_angle_deg", "heel_angle_deg"):
            parts = sorted(self.visit.parts[name].items(), key=lambda part: -part[1])
            said = "; ".join(f"{SOURCES[key]} {size:.2f}" for key, size in parts if size >= 0.005)
            lines.append(f"  {_in_words(name)[0]}, {self.errors[name]:.2f} degrees: {said}")
        return lines

    def in_words(self) -> list[str]:
        """The measurement as lines to read."""
        lines = [
            f"{self.case.horse}, {self.case.foot}, {self.visit.date} ({self.visit.moment})"
            + (", invented" if self.case.invented else ""),
            "",
            f"{'measure':<22}{'value':>9}   19 times in 20 within",
        ]
        for name, value in self.values.items():
            words, unit, digits = _in_words(name)
            reach = ERRORS_FOR_95 * self.errors[name]
            within = f"{value - reach:.{digits}f} to {value + reach:.{digits}f}"
            lines.append(f"{words:<22}{value:>9.{digits}f}   {within} {unit}".rstrip())
        lines.append(f"  {self.how_sure['toe_angle_deg'].scope}.")
        lines += [self.visit.askew] if self.visit.askew else []
        lines += self._budget_in_words()
        lines += ["", "Rules of the trade:"]
        lines += [f"  {finding.sentence}" for finding in self.findings]
        if self.horn_lines:
            lines += ["", "Traced lines of the horn against the model's:"]
            lines += [
                f"  {line['region']}: {line['angle_deg']:.1f} degrees, model "
                f"{line['model_deg']:.1f} (error {line['error_deg']:.1f})"
                for line in self.horn_lines
            ]
        if self.film:
            lines += ["", "Film:"]
            told = {name: sure for name, sure in self.how_sure.items() if name in self.film}
            lines += [f"  {_in_words(name)[0]} {sure}" for name, sure in told.items()]
            lines += [
                f"  {scope}." for scope in dict.fromkeys(sure.scope for sure in told.values())
            ]
        if self.load is not None:
            lines += ["", *_load_in_words(self.load, self.case)]
        if self.remarks:
            lines += ["", "To know:", *(f"  {remark}" for remark in self.remarks)]
        return [*lines, *CAUTIONS]


def measure(case: Case, visit: Visit) -> Measurement:
    """One visit measured from its stored points.

    Parameters
    ----------
    case
        The horse and the foot.
    visit
        What is on file.

    Returns
    -------
    Measurement
        Values with errors, findings, film and load map. What the files do not give is left out,
        and a remark says why.

    Raises
    ------
    CaseError
        If the rules cannot be held against the foot, in words.
    """
    foot, error = visit.profile, visit.point_error_mm
    remarks = list(visit.remarks)
    if visit.errors is not None and not visit.placed_twice:
        remarks.append(
            f"Each point was placed once, so its error is the stated {error:g} mm. Place "
            "the points a second time to measure your own."
        )
    film = _film(visit, remarks)
    remarks += filter(None, [size_doubt(case, foot)])
    load = _load(case, visit, film, remarks)
    horn_lines = _horn_lines(visit, remarks)
    limb = case.foot.split()[-1]
    try:
        reading = read_foot(
            foot,
            error,
            limb=limb,
            scale_sd=visit.scale_error_percent / 100,
            errors=visit.errors,
            weight_kg=case.mass_kg if _RULE_KG[0] <= case.mass_kg <= _RULE_KG[1] else None,
            medial_height_mm=visit.medial_height_mm,
            lateral_height_mm=visit.lateral_height_mm,
            heel_obliquity_deg=None if load is None else load.heel_obliquity_deg,
        )
        same = compare(
            {"1": foot, "2": foot},
            error,
            scale_sd=visit.scale_error_percent / 100,
            errors=None if visit.errors is None else {"1": visit.errors},
        )
    except ValueError as problem:
        raise CaseError(f"visits/{visit.name}: {problem}") from problem
    return Measurement(
        case=case,
        visit=visit,
        values={name: each[0] for name, each in same.values.items()},
        errors={name: each[0] for name, each in same.errors.items()},
        findings=reading.findings,
        film=film,
        horn_lines=horn_lines,
        load=load,
        remarks=tuple(remarks),
    )


def _load(
    case: Case, visit: Visit, film: Mapping[str, float], remarks: list[str]
) -> LoadMap | None:
    """The load map, or a remark on why there is none."""
    beta = film.get("duty_factor", case.duty_factor)
    if beta is None:
        remarks.append(
            "No load map: it needs the part of a stride that the foot spends on "
            "the ground. Mark two stances in a film, or type it in the part Film (in case.toml: "
            "duty_factor); at trot it is about 0.35 (fast) to 0.5 (slow), at walk 0.60 to 0.65."
        )
        return None
    unsure = film.get("duty_factor_error", 0.0) / beta
    load = None
    try:
        load = _load_map(case, visit, beta, unsure, remarks)
    except CaseError as problem:  # the angles and lengths stand without it
        why = str(problem).removeprefix("the load map: ")
        remarks.append(f"No load map: {why}{'' if why[-1] in '.?' else '.'}")
    if "duty_factor" in film:
        remarks.append(f"The duty factor is the film's, which is taken to show {case.gait}.")
    return load


def size_doubt(case: Case, foot: Profile) -> str:
    """A sentence where a foot is far too small or large for its horse; empty where it fits.

    Lengths go with the cube root of the mass; 115 mm for 500 kg, and half as much again or two
    thirds of it still fit (common practice, no source).
    """
    usual = 115.0 * (case.mass_kg / 500.0) ** (1 / 3)
    length = float(foot.bearing_length_mm)
    if usual / 1.5 <= length <= usual * 1.5:
        return ""
    return (
        f"The foot comes out {length:.0f} mm long on the ground; for {case.mass_kg:g} kg one of "
        f"{usual / 1.5:.0f} to {usual * 1.5:.0f} mm is usual. Is the known length right?"
    )


def heel_against(foot: Capsule) -> Against:
    """How hard a foot's heels are worked against the yard's foot in line, under the same push.

    Parameters
    ----------
    foot
        The foot in 3-D.

    Returns
    -------
    hoofcalc.loadpath.Comparison
        Ratio and band; the same foot gives the same numbers.
    """
    return compare_feet(foot, in_line(), np.random.default_rng(0), draws=_DRAWS)


@cache
def in_line() -> Capsule:
    """The reference of every comparison: the yard's foot in line."""
    record = datasets.story_feet()["in line"]
    outline = datasets.outline(record.horse, record.foot)
    return build_capsule(Profile(**record.landmarks), outline, _TAPER, per_side=_PER_SIDE)


def centre_of(foot: Capsule) -> FloatArray:
    """Where the push is taken to act, forward and left [mm].

    Parameters
    ----------
    foot
        One foot in 3-D.

    Returns
    -------
    array
        On the mid-line, `CENTRE` of the way from the heels to the toe.
    """
    heel, toe = foot.ground[[0, len(foot.ground) // 2], 0]
    return np.array([heel + CENTRE * (toe - heel), 0.0])


def heel_in_line_mpa(push_n: float, horn: Horn) -> float:
    """How hard the heels of the yard's foot in line are worked: the measure of the load map.

    Parameters
    ----------
    push_n
        Push, straight up [N].
    horn
        The horn, taken to be the same.

    Returns
    -------
    float
        As `hoofcalc.loadpath.worked_parts` [MPa].
    """
    foot = in_line()
    strips = share_out(foot, force_vector(push_n, 0.0), centre_of(foot))
    return float(worked_parts(foot, strips, horn)[2])


def against_in_words(against: Against) -> str:
    """The comparison with the reference foot as a sentence."""
    sure = against.how_sure
    return (
        f"The horn of the heels is worked {sure.value:.1f} times as hard as in a foot in line "
        f"(invented, yard Brackenfold) under the same push, {sure.low:.1f} to {sure.high:.1f} "
        f"times 19 times in 20, and harder in {100 * float(against.share):.0f} of 100 draws; "
        f"{sure.scope}."
    )


def compare_visits(first: Visit, second: Visit) -> tuple[Comparison, list[str]]:
    """Two visits side by side: which differences exceed their error.

    Each visit brings its own errors: those of its placed points, or of its stated ones.

    Parameters
    ----------
    first, second
        The two visits.

    Returns
    -------
    Comparison
        Values, errors and differences.
    list of str
        The same in plain lines, with what to beware of.

    Raises
    ------
    CaseError
        If both are the same visit.
    """
    if first.name == second.name:
        raise CaseError(f"two different visits are needed (got {first.name} twice)")
    found = compared(
        {
            (visit.name if first.date == second.date else visit.date): visit
            for visit in (first, second)
        }
    )
    lines = []
    for title, exceeds in (
        ("More than their error:", True),
        ("Within their error, so perhaps no change:", False),
    ):
        said = [each.sentence for each in found.differences if each.exceeds == exceeds]
        lines += [title, *(f"  {line}" for line in said or ["none"])]
    if first.moment != second.moment:
        lines.append(
            f"Beware: {first.date} was measured {first.moment}, {second.date} {second.moment}. The "
            "trim itself is part of every difference."
        )
    lines.append(found.by_chance)
    askew = first.askew or second.askew
    if askew:
        lines.append(askew)
    elif first.errors is None or second.errors is None:
        lines.append(
            "What a camera that stood askew adds is not in the errors of points typed in mm."
        )
    lines += CAUTIONS
    return found, lines


def write_measurement(folder: Path, found: Measurement) -> list[str]:
    """Write measured.toml and load_map.csv beside the points; what stood there is kept.

    Parameters
    ----------
    folder
        The folder of the case.
    found
        The visit, measured.

    Returns
    -------
    list of str
        The files, relative to the case.
    """
    place = f"visits/{found.visit.name}"
    files = {f"{place}/measured.toml": found.as_toml()}
    if found.load is not None:
        files[f"{place}/load_map.csv"] = found.load.as_csv()
    else:
        take_away(folder, f"{place}/load_map.csv")  # one of before would not belong any more
    put_all(folder, files)
    return [*files]


def _film(visit: Visit, remarks: list[str]) -> dict[str, float]:
    """Contact, duty factor and landing with their standard errors; refusals become remarks.

    When the foot leaves the ground is not told by the path of a mark on its wall, which rises with
    the heel, 18 to 130 ms before the toe leaves (`tests/case/test_proof_films.py`). So stance
    and duty factor are those that a person marked; the path gives them only where no film is at
    hand to be marked, and then it is said.
    """
    found = dict(visit.film_times)
    track = visit.track
    if track is None:
        return found
    if "duty_factor" not in found:
        told: dict[str, float] = {}
        try:
            _contacts(track, told, leaving=not visit.film_placed)
        except ValueError as problem:
            remarks.append(f"The film does not tell everything about the contact: {problem}.")
        if "stride_s" in visit.film_times:
            remarks.append(_NO_HORSES)
        else:
            remarks.append(_UNMARKED if visit.film_placed else _BY_THE_PATH)
        found = {**told, **found}
    try:
        landing = landing_vector(track)
        found |= {
            "landing_speed_m_s": landing.speed_m_s,
            "landing_speed_m_s_error": landing.speed_error_m_s,
            "landing_descent_deg": landing.descent_deg,
            "landing_descent_deg_error": landing.descent_error_deg,
        }
    except ValueError as problem:
        remarks.append(f"The film does not tell how the foot lands: {problem}.")
    return found


def _contacts(track: Track, found: dict[str, float], *, leaving: bool) -> None:
    """Stride, with `leaving` stance and duty factor too, from the path alone, as far as it goes."""
    contacts = contact_times(track)
    if leaving:
        found["stance_s"] = float(contacts.stance_s[0])
        found["stance_s_error"] = float(contacts.stance_error_s[0])
    found["stride_s"] = float(contacts.stride_s[0])
    found["stride_s_error"] = float(contacts.stride_error_s[0])
    if leaving:
        found |= with_duty_factor(found)


_UNMARKED = (
    "Stance and duty factor are not told: a mark on the wall rises with the heel, before the toe "
    "leaves the ground. Mark in the film where the foot comes down and where it leaves, twice."
)
_NO_HORSES = (
    "The marked stance and stride do not go together as in any horse, so the duty factor is not "
    "told. Was a stance in between left out, or that of another foot marked?"
)
_BY_THE_PATH = (
    "Stance and duty factor come from the path of the mark alone. It rises before the toe leaves "
    "the ground, so both are too small: by about a fifteenth with the mark at the tip of the toe, "
    "by more elsewhere. The push is too large by as much."
)


def capsule_of(visit: Visit, per_side: int = _PER_SIDE) -> Capsule:
    """The foot of a visit in 3-D, from the views that it has.

    Parameters
    ----------
    visit
        What is on file.
    per_side
        Tubules from the toe to each heel.

    Returns
    -------
    Capsule
        Without an outline from below an even oval; without widths from the front 15 % narrower
        at the hairline.

    Raises
    ------
    CaseError
        If the views do not make a foot together, in words.
    """
    taper = _TAPER
    if visit.ground_width_mm is not None and visit.coronet_width_mm is not None:
        taper = visit.coronet_width_mm / visit.ground_width_mm
    try:
        return build_capsule(
            visit.profile,
            visit.outline_mm,
            taper,
            width_mm=visit.ground_width_mm,
            per_side=per_side,
        )
    except ValueError as problem:
        named = "outline.csv" if "outline" in str(problem) else "the load map"
        hint = "" if visit.errors is None else _SIZES
        raise CaseError(f"visits/{visit.name}, {named}: {problem}{hint}") from problem


def push_of(case: Case, beta: float, moments: Sequence[float] | None = None) -> StanceForce:
    """The push of the ground on this foot of this horse, at its gait.

    Parameters
    ----------
    case
        The horse, the foot, the gait and, at canter, the lead.
    beta
        Part of the stride that the foot spends on the ground [no unit].
    moments
        Parts of the stance; evenly spread where left out.

    Returns
    -------
    StanceForce
        Force upwards and its lean.

    Raises
    ------
    CaseError
        If there is no such push, in words.
    """
    side, limb = case.foot.split()
    if case.gait == "canter":
        limb = f"{'leading' if side == case.lead else 'trailing'} {limb}"
    try:
        return stance_force(case.gait, limb, case.mass_kg, beta, moments=moments)
    except ValueError as problem:
        raise CaseError(f"the load map: {problem}") from problem


def _load_map(case: Case, visit: Visit, beta: float, unsure: float, remarks: list[str]) -> LoadMap:
    """The push of this horse at its gait, shared out round the rim of this foot.

    `unsure` is the standard error of the duty factor `beta`, as a part of it.
    """
    whole = push_of(case, beta)
    push = push_of(case, beta, MOMENTS)
    foot = capsule_of(visit)
    horn = horn_at(water_percent=visit.horn_water_percent).central
    try:
        force = force_vector(push.vertical_n, push.tilt_deg)
        shares = share_out(foot, force, centre_of(foot))
        parts = along_across(foot, shares)
        angle = obliquity_deg(foot, force)
        worked = wall_stress(foot, shares, horn).worked_mpa
        times = worked / heel_in_line_mpa(float(whole.peak_vertical_n), horn)
    except ValueError as problem:
        raise CaseError(f"visits/{visit.name}, the load map: {problem}") from problem
    if visit.ground_width_mm is None:
        remarks.append(
            "No widths from the front: the hoof is taken to be 15 % narrower at the hairline."
        )
    if visit.outline_mm is None:
        remarks.append(
            "No outline from below: an even oval is taken, so the load map cannot tell left from "
            "right."
        )
    remarks.append(
        "The load map is for a level, firm ground, takes the push to act six tenths of the way "
        "from heels to toe, and leaves a fifth of it to frog, bars and sole."
    )
    names: Any = weakest_place(foot, times).name
    if visit.outline_mm is None:  # both sides are the same to the last digit or so
        names = [str(name).split()[-1] for name in names]
    return LoadMap(
        duty_factor=beta,
        peak_vertical_n=float(whole.peak_vertical_n),
        # the push goes with one over the duty factor, so it is unsure by the same part
        spread=float(np.hypot(whole.spread, unsure)),
        vertical_n=push.vertical_n,
        tilt_deg=push.tilt_deg,
        along_n=parts.along_n,
        across_n=parts.across_n,
        obliquity_deg=angle,
        times=times,
        hardest=tuple(str(name) for name in names),
        heel_obliquity_deg=float(angle[1, [0, -1]].mean()),
        foot=foot,
    )


def _horn_lines(visit: Visit, remarks: list[str]) -> tuple[Mapping[str, Any], ...]:
    """Each traced line beside the model's at the same place, or a remark on why not."""
    if visit.wall_lines_mm is None:
        return ()
    start, end = visit.wall_lines_mm[:, 0], visit.wall_lines_mm[:, 1]
    try:
        lines = line_departures(visit.profile, start, end, visit.point_error_mm)
    except ValueError as problem:
        remarks.append(f"No traced lines: visits/{visit.name}/wall_lines.csv: {problem}.")
        return ()
    columns = (lines.angle_deg, lines.model_deg, lines.error_deg)
    table = np.column_stack([np.broadcast_to(column, len(start)) for column in columns])
    return tuple(
        {"region": region, "angle_deg": float(a), "model_deg": float(b), "error_deg": float(c)}
        for region, (a, b, c) in zip(visit.wall_regions, table, strict=True)
    )


def _load_in_words(load: LoadMap, case: Case) -> list[str]:
    lines = [
        f"Push of the ground at {case.gait}, {case.mass_kg:g} kg, duty factor "
        f"{load.duty_factor:.2f}: up to {load.push_how_sure}; {load.push_how_sure.scope}",
        f"  {'moment of stance':<18}{'force N':>9}{'lean deg':>10}   worked hardest",
    ]
    for i, moment in enumerate(MOMENTS):
        lines.append(
            f"  {100 * moment:>14.0f} %  {load.vertical_n[i]:>9.0f}{load.tilt_deg[i]:>10.1f}   "
            f"{load.hardest[i]}"
        )
    lines.append(
        f"  In the middle of the stance the push meets the heel's tubules at "
        f"{load.heel_obliquity_deg:.0f} degrees (0 along them, 90 across)."
    )
    return [*lines, f"  {against_in_words(load.heel_against)}"]


def _of_points(visit: Visit) -> tuple[str, str]:
    """What the errors of a visit's measures cover, and what not."""
    rest = "how the foot stood, and whether the points mean the same to all"
    if visit.errors is None:
        return "the stated error of points and scale", f"how the camera stood, {rest}"
    covers = "placing the points, scale and level"
    if visit.askew:
        return covers, f"how the camera stood, {rest}"
    return f"{covers}, and how the camera stood", rest


def _in_words(name: str) -> tuple[str, str, int]:
    """A name in words, its unit and how many decimals to show."""
    units = {"_deg": "degrees", "_mm": "mm", "_m_s": "m/s", "_s": "s"}
    for ending, unit in units.items():
        if name.endswith(ending):
            return name.removesuffix(ending).replace("_", " "), unit, 1
    return name.replace("_", " "), "", 2

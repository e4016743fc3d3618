"""What is kept of a case and of a visit: each field declared once, with its unit and range.

Files, messages, the case's README.txt and the options of the command follow from these lines.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from hoofcalc.case.storage import fields_of, kept, optional

if TYPE_CHECKING:
    from hoofcalc._inputs import FloatArray
    from hoofcalc.landing import Track
    from hoofcalc.profile import Profile

FEET = ("left fore", "right fore", "left hind", "right hind")


@dataclass(frozen=True, kw_only=True)
class Case:
    """One foot of one horse, as in case.toml; each field says itself what it is."""

    horse: str = kept("What the horse is called.", "Otterby")
    foot: str = kept(f"Which foot: {', '.join(FEET)}.", "right fore", choices=FEET)
    mass_kg: float = kept("Mass carried, with rider and tack, in kg.", 505.0, between=(20, 1500))
    gait: str = kept(
        "Gait of the load map: walk, trot, canter or gallop.",
        "trot",
        choices=("walk", "trot", "canter", "gallop"),
        default="trot",
    )
    lead: str | None = optional(
        "At canter: which lead, left or right.", "left", choices=("left", "right")
    )
    duty_factor: float | None = optional(
        "Part of a stride that the foot spends on the ground, 0 to 1; not needed where a film "
        "tells it.",
        0.4,
        between=(0.05, 0.95),
    )
    invented: bool = optional("true if horse and figures are made up.", False, default=False)
    measured_by: str | None = optional("Who measures; stands on the owner's page.", "a trimmer")
    reached_by: str | None = optional(
        "How the owner reaches them; stands on the owner's page.", "the yard's board"
    )
    note: str | None = optional("Anything worth a line.", "shod all round")


@dataclass(frozen=True, kw_only=True, eq=False)
class Visit:
    """What is on file of one visit: the fields of visit.toml, and the tables.

    Parameters
    ----------
    profile
        The landmarks, foot looking forward [mm].
    wall_regions, wall_lines_mm
        Traced lines: names, and ends, shape (n, 2, 2), in the axes of the profile [mm].
    outline_mm
        Bearing edge from below, shape (n, 2) [mm].
    track
        The mark in the film.
    film_times
        Contact, stride and duty factor with their errors, where a person marked them in the film.
    film_placed
        Whether the track was followed in a film of the case, so that stances can be marked in it.
    name
        Name of the visit's folder; the day, where left out.
    errors
        Standard error of each measure of the foot, in the unit of its name, where its points
        were placed in a photograph; else None, and point and scale error tell them.
    parts
        The errors by their source (`hoofcalc.case.allowance.SOURCES`), for each measure; None
        where the points were typed in millimetres.
    askew
        What to say where a camera that stood askew is not corrected; empty where it is.
    placed_twice
        Whether the error of placing was told by placing points again, here or by `repeat`.
    lifted_mm
        By how much the nearer side was lifted on to the ground line (`SideView.lifted_mm`) [mm].
    remarks
        What is on file and could not be used, in plain sentences.
    """

    date: date = kept("Day of the photographs.", date(2026, 4, 7))
    moment: str = kept(
        "before trim or after trim.",
        "before trim",
        choices=("before trim", "after trim"),
        default="before trim",
    )
    facing: str = kept(
        "Which way the toe looks in the side picture: right or left.",
        "right",
        choices=("right", "left"),
        default="right",
    )
    point_error_mm: float = kept(
        "How finely the points were placed: standard deviation of each coordinate, in mm.",
        1.0,
        between=(0.05, 20),
        default=1.0,
    )
    scale_error_percent: float = kept(
        "How sure the scale is: standard deviation, in per cent of every length.",
        1.0,
        between=(0, 20),
        default=1.0,
    )
    medial_height_mm: float | None = optional(
        "Front view: hairline height, inner side.", 54.0, between=(5, 300)
    )
    lateral_height_mm: float | None = optional(
        "Front view: hairline height, outer side.", 56.0, between=(5, 300)
    )
    ground_width_mm: float | None = optional(
        "Front view: width at the ground.", 124.0, between=(20, 400)
    )
    coronet_width_mm: float | None = optional(
        "Front view: width at the hairline.", 105.0, between=(20, 400)
    )
    horn_water_percent: float = optional(
        "Water in the horn; 25 if not given.", 25.0, between=(10, 35), default=25.0
    )
    photograph_on_page: bool = optional(
        "true if the photograph from the side may stand on the owner's page.", False, default=False
    )
    film_ground_mm: float | None = optional(
        "Film: height of the mark while the foot stands; needed with a track.",
        10.0,
        between=(-100_000, 100_000),
    )
    film_point_error_mm: float | None = optional(
        "Film: standard deviation of each coordinate of the mark, in mm; needed with a track.",
        1.0,
        between=(0.01, 50),
    )
    note: str | None = optional("Anything worth a line.", "eleven weeks since the last trim")
    profile: Profile
    wall_regions: tuple[str, ...] = ()
    wall_lines_mm: FloatArray | None = None
    outline_mm: FloatArray | None = None
    track: Track | None = None
    film_times: Mapping[str, float] = field(default_factory=dict)
    film_placed: bool = False
    name: str = ""
    errors: Mapping[str, float] | None = None
    parts: Mapping[str, Mapping[str, float]] | None = None
    askew: str = ""
    placed_twice: bool = False
    lifted_mm: float = 0.0
    remarks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.name:
            object.__setattr__(self, "name", str(self.date))


CASE_FIELDS = fields_of(Case)
VISIT_FIELDS = fields_of(Visit)

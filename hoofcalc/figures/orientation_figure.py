"""Lesson 00's figure: one foot from the side, from below and from the front, and its parts.

Take hold of the toe or of the heel buttress and pull it along the ground: the hairline stays. The
feet are the three of the story (`hoofcalc.datasets.story_feet`), drawn by `hoofcalc.figures.foot`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._inputs import FloatArray, numbers
from hoofcalc.figures.foot import (
    below_series,
    foot_from_below,
    foot_from_front,
    foot_from_side,
    front_series,
    side_series,
    wall_pieces,
)
from hoofcalc.figures.scene import Narrow, Panel, Series, Style, scale_bar
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values
from hoofcalc.profile import Profile

#: A foot keeps at least so much ground between heel buttress and toe [mm].
_LEAST_GROUND_MM = 50.0
_VIEWS = ("side", "below", "front")
_STORIES = ("run under", "in line", "too upright")
_NOT_SEEN = {"side": "not seen from the side", "below": "not seen", "front": "not seen"}
#: Where a part's name stands in each view; behind the foot for parts at the back of it.
_NAME_AT = {"side": (196.0, 140.0), "below": (0.0, 0.0), "front": (0.0, 152.0)}
_NAME_BEHIND = (-104.0, 68.0)
_NAME_HIGHEST_MM = 184.0  # in the view from below; a very long foot carries its name upon it
_ALIGN = {"side": "right", "below": "centre", "front": "centre"}
_CORNER = 7.0 * np.column_stack(
    [np.cos(np.linspace(0.0, 2 * np.pi, 17)), np.sin(np.linspace(0.0, 2 * np.pi, 17))]
)
_PER_PX = 1.25  # pixels for each mm


@dataclass(frozen=True, slots=True)
class _Part:
    """A part of the foot: its name, what it is, and which outlines show it in each view."""

    name: str
    says: str
    side: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    front: tuple[str, ...] = ()
    behind: bool = False


@dataclass(frozen=True, eq=False)
class _Foot:
    """A foot of the story, level, its heel's ground point at the origin."""

    horse: str
    profile: Profile
    outline: FloatArray
    ground_mm: tuple[float, float]
    coronet_mm: tuple[float, float]


PARTS = (
    _Part(
        name="The whole foot",
        says="nothing is picked out.",
    ),
    _Part(
        name="Hoof wall",
        says="the hard horn round the outside, grown from above.",
        side=("side_wall",),
        below=("below_wall",),
        front=("front_wall",),
    ),
    _Part(
        name="Toe",
        says="the front of the wall, where it is thickest.",
        side=("side_toe",),
        below=("below_toe",),
        front=("front_toe",),
    ),
    _Part(
        name="Quarters",
        says="the sides of the wall, between toe and heels.",
        side=("side_quarter",),
        below=("below_quarter_right", "below_quarter_left"),
        front=("front_quarter_right", "front_quarter_left"),
    ),
    _Part(
        name="Heels",
        says="the two back ends of the wall, where it is thin.",
        side=("side_heel",),
        below=("below_heel_right", "below_heel_left"),
        behind=True,
    ),
    _Part(
        name="Heel buttress",
        says="the corner on the ground where wall turns into bar.",
        side=("side_buttress",),
        below=("below_buttress_right", "below_buttress_left"),
        behind=True,
    ),
    _Part(
        name="Coronary band",
        says="makes the wall's horn; its lower edge is the hairline.",
        side=("side_band",),
        front=("front_band",),
    ),
    _Part(
        name="Periople",
        says="a soft thin cover over the youngest wall.",
        side=("side_periople",),
        front=("front_periople",),
    ),
    _Part(
        name="Tubules",
        says="fine tubes of horn, hairline to ground; some are drawn.",
        side=("side_horn",),
        front=("front_horn",),
    ),
    _Part(
        name="White line",
        says="the softer horn that joins wall and sole.",
        below=("below_white_line",),
    ),
    _Part(
        name="Sole",
        says="the slightly hollow plate inside the white line.",
        below=("below_sole",),
    ),
    _Part(
        name="Frog",
        says="the springy wedge that points to the toe.",
        below=("below_frog",),
    ),
    _Part(
        name="Bars",
        says="the wall turned in at the heels, beside the frog.",
        below=("below_bar_right", "below_bar_left"),
    ),
    _Part(
        name="Frog grooves",
        says="the furrows between bar and frog, where dirt packs in.",
        below=("below_trench_right", "below_trench_left"),
    ),
    _Part(
        name="Heel bulbs",
        says="the two soft cushions behind and above the heels.",
        side=("side_bulb",),
        below=("below_bulb_right", "below_bulb_left"),
        behind=True,
    ),
    _Part(
        name="Pastern",
        says="the limb above the foot, to compare with the toe.",
        side=("side_pastern",),
        front=("front_pastern",),
    ),
)
_LAST = len(PARTS) - 1


def compute(
    *, story: str, part: float, toe_angle_deg: float, heel_angle_deg: float
) -> dict[str, Any]:
    """The foot in three views, the chosen part in each, and the two angles.

    Parameters
    ----------
    story
        Which foot: "run under", "in line" or "too upright".
    part
        Number of the part in `PARTS`.
    toe_angle_deg, heel_angle_deg
        Angles of toe and heel from the ground, opened to the back [degrees]. A heel lies no
        flatter than leaves the foot 50 mm of ground.

    Returns
    -------
    dict
        Points for every series [mm], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If the part is no whole number, or an angle gives no foot.
    """
    chosen = PARTS[int(numbers("Part", part, at_least=0, at_most=_LAST, whole=True))]
    own = _foot(story)
    toe_top, heel_top = own.profile.toe_coronet, own.profile.heel_coronet
    toe = _grounded(toe_top, toe_angle_deg)
    heel = _grounded(heel_top, heel_angle_deg)
    stopped = bool(heel[0] > toe[0] - _LEAST_GROUND_MM)
    if stopped:
        heel = toe - np.array([_LEAST_GROUND_MM, 0.0])
    foot = Profile(**{**own.profile.landmarks, "toe_ground": toe, "heel_ground": heel})
    lengthwise = float(foot.bearing_length_mm) / float(np.ptp(own.outline[:, 0]))
    outline = (own.outline - [own.outline[0, 0], 0.0]) * [lengthwise, 1.0] + [heel[0], 0.0]
    drawn = {
        **foot_from_side(foot, "side"),
        **foot_from_below(outline, "below", profile=foot, overhang_mm=foot.bulb_overhang_mm),
        **foot_from_front(foot, "front", ground_mm=own.ground_mm, coronet_mm=own.coronet_mm),
    }
    drawn |= wall_pieces(drawn)
    drawn |= _buttress(heel, drawn["below_wall"])
    at_heel = float(foot.heel_angle_deg)
    return {
        **drawn,
        **_spots(chosen, drawn),
        **_arc("toe", toe, toe_angle_deg, 40.0, 60.0),
        **_arc("heel", heel, at_heel, 26.0, 66.0),
        "toe_line": np.array([toe, toe_top]),
        "heel_line": np.array([heel, heel_top]),
        "toe_at": toe[None],
        "heel_at": heel[None],
        "toe_top": toe_top[None],
        "heel_top": heel_top[None],
        "toe_says": f"{toe_angle_deg:.0f} degrees from the ground",
        "heel_says": f"{at_heel:.0f} degrees from the ground",
        "part": chosen,
        "horse": own.horse,
        "stopped": stopped,
        "heel_deg": at_heel,
        "gap_deg": toe_angle_deg - at_heel,
        "ahead_mm": float(toe[0] - toe_top[0]),
        "hairline_mm": float(toe_top[1]),
        "toe_length_mm": float(foot.toe_length_mm),
        "bearing_length_mm": float(foot.bearing_length_mm),
        "axis_deg": float(foot.axis_deviation_deg),
    }


def sentence(values: Values, results: Results) -> str:
    """What the picture shows, in one sentence with one finding.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        At most 25 words; the finding stands between pairs of asterisks.
    """
    part: _Part = results["part"]
    toe, heel, horse = values["toe_angle_deg"], results["heel_deg"], results["horse"]
    gap = _gap_words(toe - heel)
    if part is PARTS[0]:
        if results["stopped"]:
            return (
                f"{horse}'s toe at {toe:.0f}° leaves the heel no room under {heel:.0f}°: "
                f"the heel is **{gap}**."
            )
        return (
            f"{horse}'s toe stands at {toe:.0f}°, its heel at {heel:.0f}°: the heel is **{gap}**."
        )
    return f"{part.name}: {part.says} {horse}'s heel is **{gap}**."


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers of the foot that is drawn.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        Angles and lengths; they are those drawn, so there is no interval.
    """
    axis = results["axis_deg"]
    beside = f"{abs(axis):.0f} {'flatter' if axis > 0 else 'steeper'}"
    return (
        Row("toe", f"{values['toe_angle_deg']:.0f}", unit="degrees"),
        Row("heel", f"{results['heel_deg']:.0f}", unit="degrees"),
        Row("gap, toe less heel", f"{results['gap_deg']:z.0f}", unit="degrees"),
        Row("hairline at the toe, above ground", f"{results['hairline_mm']:.0f}", unit="mm"),
        Row("toe ahead of its hairline", f"{results['ahead_mm']:.0f}", unit="mm"),
        Row("toe wall, hairline to ground", f"{results['toe_length_mm']:.0f}", unit="mm"),
        Row(
            "ground between heel buttress and toe", f"{results['bearing_length_mm']:.0f}", unit="mm"
        ),
        Row("toe against the pastern", beside, unit="degrees"),
    )


def alt(values: Values, results: Results) -> str:
    """What is drawn, for those who cannot see it.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        Two or three sentences.
    """
    part: _Part = results["part"]
    where = [view for view in _VIEWS if getattr(part, view)]
    words = {"side": "from the side", "below": "from below", "front": "from the front"}
    if where:
        seen = f"{part.name} picked out in blue " + " and ".join(words[view] for view in where)
    else:
        seen = "No part is picked out"
    return (
        f"{results['horse']}'s foot in true proportion, three times: from the side with its toe "
        f"to the right, from below with its toe up, and from the front. {seen}. In the side view "
        f"an arc at the toe opens {values['toe_angle_deg']:.0f} degrees from the ground to the "
        f"wall, and a dashed arc at the heel {results['heel_deg']:.0f} degrees."
    )


@cache
def _foot(story: str) -> _Foot:
    """A foot of the story at its last visit, turned level."""
    record = datasets.story_feet()[story]
    profile = Profile(**record.landmarks)
    forward = profile.toe_ground - profile.heel_ground
    forward = forward / np.hypot(*forward)
    frame = np.array([forward, [-forward[1], forward[0]]])
    marks = {n: frame @ (at - profile.heel_ground) for n, at in profile.landmarks.items()}
    seen = datasets.front_view(record.horse, record.foot)
    # the horse's right is the outside of a right foot, and the inside of a left one
    sides = ("lateral", "medial") if record.foot.startswith("right") else ("medial", "lateral")
    ground, coronet = (
        (seen[f"{sides[0]}_{edge}_mm"], seen[f"{sides[1]}_{edge}_mm"])
        for edge in ("ground", "coronet")
    )
    outline = datasets.outline(record.horse, record.foot)
    return _Foot(record.horse, Profile(**marks), outline, ground, coronet)


@cache
def _starts(story: str) -> tuple[float, float]:
    """Toe and heel as read, to the degree that the sliders have."""
    foot = _foot(story).profile
    return float(round(float(foot.toe_angle_deg))), float(round(float(foot.heel_angle_deg)))


def _grounded(top: FloatArray, angle_deg: float) -> FloatArray:
    """Where a wall of that angle meets the ground below and in front of its upper end."""
    return np.array([top[0] + top[1] / np.tan(np.radians(angle_deg)), 0.0])


def _gap_words(gap_deg: float) -> str:
    if abs(gap_deg) < 0.5:
        return "in line with the toe"
    return f"{abs(gap_deg):.0f}° {'flatter' if gap_deg > 0 else 'steeper'} than the toe"


def _buttress(heel: FloatArray, rim: FloatArray) -> dict[str, FloatArray]:
    """A spot on each corner where wall turns into bar."""
    outer, inner = rim[: len(rim) // 2], rim[len(rim) // 2 :][::-1]
    right, left = (outer[0] + inner[0]) / 2, (outer[-1] + inner[-1]) / 2
    return {
        "side_buttress": heel + np.array([2.0, 4.0]) + _CORNER,
        "below_buttress_right": right + _CORNER,
        "below_buttress_left": left + _CORNER,
    }


def _arc(
    name: str, corner: FloatArray, angle_deg: float, radius_mm: float, words_mm: float
) -> dict[str, Any]:
    """An arc from the ground behind a corner up to the wall, and the number."""
    turn = np.radians(np.linspace(0.0, angle_deg, 15))
    arc = corner + radius_mm * np.column_stack([-np.cos(turn), np.sin(turn)])
    half = np.radians(angle_deg / 2)
    return {
        f"{name}_arc": np.vstack([corner, arc, corner]),
        f"{name}_arc_at": (corner + words_mm * np.array([-np.cos(half), np.sin(half)]))[None],
        f"{name}_arc_words": f"{angle_deg:.0f}°",
    }


def _spots(part: _Part, drawn: Mapping[str, FloatArray]) -> dict[str, Any]:
    """The chosen part laid over each view, its name, and a line from the name to it."""
    none = np.empty((0, 2))
    found: dict[str, Any] = {}
    for view in _VIEWS:
        outlines = [drawn[name] for name in getattr(part, view)]
        lines = bool(outlines) and bool(np.isnan(outlines[0]).any())
        for at, letter in enumerate("ab"):
            here = at < len(outlines) and not lines
            found[f"{view}_spot_{letter}"] = outlines[at] if here else none
        found[f"{view}_spot_lines"] = outlines[0] if lines else none
        back = view == "side" and part.behind
        name_at = np.array(_NAME_BEHIND if back else _NAME_AT[view])
        if view == "below":
            name_at[1] = min(drawn["below_wall"][:, 1].max() + 20.0, _NAME_HIGHEST_MM)
        found[f"{view}_name"] = part.name if outlines else _NOT_SEEN[view]
        for kind, shown in (
            ("name_at", bool(outlines) and not back),
            ("name_behind_at", bool(outlines) and back),
            ("unseen_at", not outlines and part is not PARTS[0]),
        ):
            found[f"{view}_{kind}"] = name_at[None] if shown else none
        found[f"{view}_leader"] = none
        if outlines:
            start = name_at + np.array([6.0 if back else -30.0 if view == "side" else 0.0, -7.0])
            away = np.concatenate(outlines) - start
            # rounded, so that of two sides alike the first is taken on every machine
            nearest = np.nanargmin(np.round(np.hypot(away[:, 0], away[:, 1]), 6))
            found[f"{view}_leader"] = np.array([start, start + away[nearest]])
    return found


def _spot_series() -> tuple[Series, ...]:
    """The chosen part in blue: areas, lines, its name and the line from the name to it."""
    area = Style(colour="blue", fill="sky", fill_strength=0.75, width=3)
    rows: list[Series] = []
    for panel, view in enumerate(_VIEWS):
        rows += [
            Series("area", f"{view}_spot_{letter}", panel=panel, style=area) for letter in "ab"
        ]
        lines = {
            "spot_lines": Style(colour="blue", width=2.5),
            "leader": Style(colour="blue", width=1.5, dash=(2, 3)),
        }
        rows += [
            Series("line", f"{view}_{part}", panel=panel, style=style)
            for part, style in lines.items()
        ]
        for place, colour, align in (
            ("name_at", "ink", _ALIGN[view]),
            ("name_behind_at", "ink", "left"),
            ("unseen_at", "quiet", _ALIGN[view]),
        ):
            rows.append(
                Series(
                    "words",
                    f"{view}_{place}",
                    words=f"{view}_name",
                    panel=panel,
                    style=Style(colour=colour, size=15, align=align, bold=colour == "ink"),
                )
            )
    return tuple(rows)


def _angle_series() -> tuple[Series, ...]:
    """The two angles of the side view: full line at the toe, dashed at the heel."""
    looks = {"toe": ("blue", ()), "heel": ("vermillion", (8.0, 4.0))}
    words = Style(colour="ink", size=16, align="centre")
    rows: list[Series] = []
    for name, (colour, dash) in looks.items():
        arc = Style(colour=colour, width=2.0, dash=dash)
        wall = Style(colour=colour, width=5.0, dash=dash)
        rows += [
            Series("line", f"{name}_arc", style=arc),
            Series("line", f"{name}_line", style=wall),
            Series("words", f"{name}_arc_at", words=f"{name}_arc_words", style=words),
        ]
    return tuple(rows)


def _handle(end: str, label: str) -> Handle:
    """The lower end of a wall: pull it along the ground, and the wall turns about its hairline."""
    return Handle(
        name=f"{end}_end",
        label=label,
        kind="angle",
        x=f"{end}_angle_deg",
        at=f"{end}_at",
        about=f"{end}_top",
        says=f"{end}_says",
        turns=-1,
        level=True,
    )


def _panel(
    x_limits: tuple[float, float], y_limits: tuple[float, float], narrow: Narrow, **more: Any
) -> Panel:
    """A view at the scale that all three have."""
    return Panel(
        x_limits=x_limits,
        y_limits=y_limits,
        equal=True,
        axes=False,
        width=round(_PER_PX * (x_limits[1] - x_limits[0])),
        height=round(_PER_PX * (y_limits[1] - y_limits[0])),
        narrow=narrow,
        **more,
    )


ORIENTATION = Figure(
    name="orientation",
    title="One foot in three views: its parts, and the two angles that you can pull",
    sliders=(
        Slider(
            name="toe_angle_deg",
            label="Toe, from the ground",
            unit="degrees",
            minimum=30,
            maximum=70,
            step=1,
            start=_starts("run under")[0],
            says=lambda toe: f"{toe:g}°",
        ),
        Slider(
            name="heel_angle_deg",
            label="Heel, from the ground",
            unit="degrees",
            minimum=18,
            maximum=75,
            step=1,
            start=_starts("run under")[1],
            says=lambda heel: f"{heel:g}°",
        ),
        Slider(
            name="part",
            label="Part to pick out",
            unit=f"of {_LAST}",
            minimum=0,
            maximum=_LAST,
            step=1,
            start=0,
            says=lambda part: PARTS[round(part)].name if part else "none",
        ),
    ),
    choices={"story": "run under"},
    presets=tuple(
        Preset(
            label=_foot(story).horse,
            note=story,
            values=dict(
                zip(
                    ("story", "toe_angle_deg", "heel_angle_deg"),
                    (story, *_starts(story)),
                    strict=True,
                )
            ),
        )
        for story in _STORIES
    ),
    presets_label="Whose foot",
    handles=(_handle("toe", "Toe"), _handle("heel", "Heel buttress")),
    compute=compute,
    sentence=sentence,
    table=table,
    alt=alt,
    panels=(
        _panel(
            (-107, 201),
            (-62, 205),
            Narrow(height=212, x_limits=(-90, 190), share=0.6),
            fixed=scale_bar(135, -54, 50),
        ),
        _panel((-76, 76), (-62, 205), Narrow(height=212, share=0.4)),
        _panel((-72, 72), (-62, 205), Narrow(hide=True)),
    ),
    series=(
        *side_series(0, "side"),
        *below_series(1, "below"),
        *front_series(2, "front"),
        *_angle_series(),
        *_spot_series(),
    ),
    note=(
        "True proportions: lay a protractor on the screen and check. The feet are invented (yard "
        "Brackenfold, last visit). From below and from the front the horse's left is on your "
        "right. Where toe, quarter and heel meet is not fixed; here a quarter of the length is "
        "toe and a quarter heel. Frog, bars and bulbs are drawn after a common foot."
    ),
)

"""The drawn foot is the measured foot: landmarks and angles as given, outlines that a hand
could draw (closed, not crossing themselves), the same for every foot of the yard."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from hoofcalc import datasets
from hoofcalc.capsule import build_capsule
from hoofcalc.figures.foot import (
    BELOW_PARTS,
    FRONT_PARTS,
    SIDE_PARTS,
    below_series,
    foot_from_below,
    foot_from_front,
    foot_from_side,
    front_series,
    mirrored,
    outline_of,
    side_series,
    wall_pieces,
)
from hoofcalc.figures.scene import Panel
from hoofcalc.pictures import Drawing
from hoofcalc.profile import Profile, line_angle_deg

STORIES = datasets.story_feet()
#: Steep and flat, long and short, more than any foot of the yard; but no hairline that rises
#: towards the heel, which no foot has.
measures = st.builds(
    Profile.from_measures,
    toe_angle_deg=st.floats(42, 68),
    heel_angle_deg=st.floats(22, 80),
    toe_length_mm=st.floats(70, 105),
    heel_length_mm=st.floats(30, 50),
    bearing_length_mm=st.floats(100, 140),
).filter(lambda foot: foot.heel_height_mm <= foot.toe_height_mm)


def story(name):
    return Profile(**STORIES[name].landmarks)


def areas(parts, wanted, prefix):
    return {
        part: Polygon(parts[f"{prefix}_{part}"])
        for part, (kind, _) in wanted.items()
        if kind == "area"
    }


def sound(shape):
    return shape.is_valid and shape.area > 1.0


@pytest.mark.parametrize("name", STORIES)
def test_the_wall_passes_through_the_landmarks(name):
    foot = story(name)
    wall = foot_from_side(foot)["foot_wall"]
    for mark in ("toe_ground", "toe_coronet", "heel_ground", "heel_coronet"):
        assert np.min(np.hypot(*(wall - getattr(foot, mark)).T)) < 1e-9, mark
    bulb = LineString(foot_from_side(foot)["foot_bulb"])
    assert bulb.distance(Point(*foot.bulb)) < 1e-9


@given(foot=measures)
@settings(deadline=None, max_examples=60)
def test_drawn_angles_are_the_profiles_own(foot):
    wall = foot_from_side(foot)["foot_wall"]
    heel, toe = wall[0], wall[1]
    for low, high, angle in (
        (toe, wall[2], foot.toe_angle_deg),
        (heel, wall[-1], foot.heel_angle_deg),
    ):
        across, up = high - low
        assert np.degrees(np.arctan2(up, -across)) == pytest.approx(angle, abs=1e-9)


@given(foot=measures)
@settings(deadline=None, max_examples=60)
def test_lines_of_the_horn_run_from_ground_to_band_at_the_models_angle(foot):
    parts = foot_from_side(foot, horn_lines=7)
    band = LineString(parts["foot_wall"][2:])
    lines = parts["foot_horn"].reshape(-1)
    assert np.isnan(lines).sum() == 2 * 6  # seven lines, six breaks
    pieces = np.vstack([parts["foot_horn"], [[np.nan, np.nan]]]).reshape(7, 3, 2)
    for share, (low, high, _) in zip(np.arange(1, 8) / 8, pieces, strict=True):
        across, up = high - low
        angle = np.degrees(np.arctan2(up, -across))
        assert angle == pytest.approx(float(line_angle_deg(foot, share)), abs=1e-6)
        assert low == pytest.approx((1 - share) * foot.toe_ground + share * foot.heel_ground)
        assert band.distance(Point(*high)) < 0.05  # the band is drawn in 24 straight pieces


@given(foot=measures)
@settings(deadline=None, max_examples=60)
def test_closed_areas_do_not_cross_themselves(foot):
    views = (
        (foot_from_side(foot), SIDE_PARTS, "foot"),
        (foot_from_below(outline_of(foot), profile=foot), BELOW_PARTS, "below"),
        (foot_from_front(foot), FRONT_PARTS, "front"),
    )
    for parts, wanted, prefix in views:
        for part, shape in areas(parts, wanted, prefix).items():
            assert sound(shape), part


@pytest.mark.parametrize("visit", range(1, 6))
@pytest.mark.parametrize("name", STORIES)
def test_every_story_foot_can_be_drawn_at_every_visit(name, visit):
    record = datasets.story_feet(visit)[name]
    foot = Profile(**record.landmarks)
    side = areas(foot_from_side(foot), SIDE_PARTS, "foot")
    assert all(map(sound, side.values()))
    assert side["bulb"].bounds[1] > 0.0  # the bulb hangs above the ground
    outline = datasets.outline(record.horse, record.foot, visit)
    drawn = foot_from_below(outline, profile=foot, overhang_mm=foot.bulb_overhang_mm)
    below = areas(drawn, BELOW_PARTS, "below")
    assert all(map(sound, below.values()))


@given(foot=measures, bulb_mm=st.floats(15, 60))
@settings(deadline=None, max_examples=60)
def test_the_parts_below_lie_beside_each_other(foot, bulb_mm):
    outline = outline_of(foot)
    drawn = foot_from_below(outline, profile=foot, overhang_mm=bulb_mm)
    parts = areas(drawn, BELOW_PARTS, "below")
    for one, other in (
        ("frog", "sole"), ("frog", "bulb_left"), ("frog", "bar_right"), ("wall", "sole"),
        ("wall", "white_line"), ("trench_left", "frog"), ("bulb_left", "bulb_right"),
    ):  # fmt: skip
        shared = parts[one].intersection(parts[other]).area
        assert shared < 0.02 * min(parts[one].area, parts[other].area), (one, other)
    assert parts["groove"].within(parts["frog"].buffer(0.5))
    rear = min(parts["bulb_left"].bounds[1], parts["bulb_right"].bounds[1])
    assert -rear == pytest.approx(bulb_mm if bulb_mm > 0.15 * foot.bearing_length_mm else -rear)


def test_the_rim_passes_through_the_outline_and_thins_from_toe_to_heel():
    outline = datasets.outline("Fernlow", "left fore")
    wall = foot_from_below(outline)["below_wall"]
    outer, inner = wall[: len(wall) // 2], wall[len(wall) // 2 :][::-1]
    for point in outline[:, ::-1]:
        assert np.min(np.hypot(*(outer - point).T)) < 1e-9
    thick = np.hypot(*(outer - inner).T)
    # the two heels of this outline lie 0.5 mm apart lengthwise; thickness counts from their middle
    assert thick[0] == pytest.approx(5.5, abs=0.02)
    assert thick.max() == pytest.approx(10.0, abs=0.02)
    assert Polygon(inner).within(Polygon(outer))


def prints(wall):
    """Width of the wall on the ground, from the right heel round the toe to the left."""
    outer, inner = wall[: len(wall) // 2], wall[len(wall) // 2 :][::-1]
    return np.hypot(*(outer - inner).T)


@given(foot=measures)
@settings(deadline=None, max_examples=30)
def test_a_wall_prints_as_wide_as_it_lies_flat(foot):
    """As the capsule's wall does, whose thickness is square to its face as well."""
    outline = outline_of(foot)
    wide = prints(foot_from_below(outline, profile=foot)["below_wall"])
    assert wide[len(wide) // 2] == pytest.approx(10 / np.sin(np.radians(foot.toe_angle_deg)))
    capsule = build_capsule(foot, outline, taper=1.0, per_side=len(wide) // 2)
    # the capsule meets the same rim at other points
    at = np.searchsorted(np.linspace(0, 1, len(wide)), [0.1, 0.3, 0.7, 0.9])
    assert wide[at] == pytest.approx(capsule.thickness_mm[at], rel=0.05)


def test_the_flat_heel_prints_wider_than_the_one_in_line():
    heels = []
    for record in (STORIES["run under"], STORIES["in line"]):
        foot = Profile(**record.landmarks)
        heels.append(prints(foot_from_below(outline_of(foot), profile=foot)["below_wall"])[0])
    assert heels[0] > 1.2 * heels[1] > 1.2 * 5.5


@given(foot=measures)
@settings(deadline=None, max_examples=40)
def test_the_pieces_make_up_the_wall_without_overlap(foot):
    views = {
        **foot_from_side(foot, "side"),
        **foot_from_below(outline_of(foot), "below", profile=foot),
        **foot_from_front(foot, "front"),
    }
    pieces = wall_pieces(views)
    for view, bound in (("side", 0.02), ("below", 0.002), ("front", 0.02)):
        # side and front: the bowed band is cut into twelve straight pieces
        mine = [Polygon(shape) for name, shape in pieces.items() if name.startswith(view)]
        whole = Polygon(views[f"{view}_wall"]).area
        assert all(map(sound, mine))
        assert sum(shape.area for shape in mine) == pytest.approx(whole, rel=bound)
    side = np.array([pieces[f"side_{name}"][0, 0] for name in ("toe", "quarter", "heel")])
    length = foot.bearing_length_mm
    assert side == pytest.approx(np.array([1.0, 0.75, 0.25]) * length)
    # the same share of the length from below: the toe piece ends there
    assert pieces["below_toe"][:, 1].max() == pytest.approx(length, rel=1e-3)
    ends = pieces["below_toe"][[0, len(pieces["below_toe"]) // 2 - 1], 1]
    assert ends == pytest.approx(0.75 * length, abs=0.5)


def test_the_front_shows_the_flare():
    foot = story("in line")
    parts = foot_from_front(foot, ground_mm=(60, 72), coronet_mm=(52, 52))
    wall = parts["front_wall"]
    left, right = wall[[-1, -2]], wall[[0, 1]]
    up = (foot.toe_height_mm + foot.heel_height_mm) / 2
    assert left == pytest.approx(np.array([[72, 0], [52, up]]))
    assert right == pytest.approx(np.array([[-60, 0], [-52, up]]))
    assert wall[:, 1].max() == pytest.approx(foot.toe_height_mm)


def test_an_even_foot_is_its_own_mirror_image():
    foot = story("too upright")
    for parts, wanted, prefix in (
        (foot_from_below(outline_of(foot)), BELOW_PARTS, "below"),
        (foot_from_front(foot), FRONT_PARTS, "front"),
    ):
        other = mirrored(parts)
        swap = {"right": "left", "left": "right"}
        for part, shape in areas(parts, wanted, prefix).items():
            name, _, side = part.partition("_")
            twin = f"{name}_{swap[side]}" if side in swap else part
            if part == "pastern":
                continue  # its cut end is drawn as a wave
            assert (
                shape.symmetric_difference(Polygon(other[f"{prefix}_{twin}"])).area
                < 0.01 * shape.area
            ), part


def test_a_mirrored_foot_faces_the_other_way_with_the_same_angles():
    foot = story("run under")
    there = foot_from_side(foot)
    back = mirrored(mirrored(there))
    wall = mirrored(there)["foot_wall"]
    assert wall[1, 0] == -foot.toe_ground[0]
    again = Profile.from_points(
        facing="left", heel_ground=wall[0], toe_ground=wall[1],
        toe_coronet=wall[2], heel_coronet=wall[-1],
    )  # fmt: skip
    assert again.heel_angle_deg == pytest.approx(foot.heel_angle_deg)
    for name, place in there.items():
        assert np.array_equal(back[name], place, equal_nan=True)


def test_a_foot_turned_as_a_whole_is_drawn_turned():
    level = Profile.from_measures(52, 40, 85, 35, 110)
    turn = np.radians(7.0)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    tilted = Profile(**{name: at @ matrix for name, at in level.landmarks.items()})
    for name, place in foot_from_side(level).items():
        assert foot_from_side(tilted)[name] == pytest.approx(place @ matrix, nan_ok=True), name


def test_the_three_views_can_be_drawn_side_by_side():
    foot = story("in line")
    results = {
        **foot_from_side(foot),
        **foot_from_below(outline_of(foot)),
        **foot_from_front(foot),
    }
    panels = [
        Panel(title=title, x_limits=(-100, 150), y_limits=(-60, 180), equal=True, axes=False)
        for title in ("side", "below", "front")
    ]
    drawing = Drawing(panels, (*side_series(0), *below_series(1), *front_series(2)))
    empty = drawing.png()
    drawing.show(results)
    assert len(drawing.png()) > len(empty)


def test_what_cannot_be_drawn_is_refused_in_words():
    with pytest.raises(ValueError, match=r"heel_height_mm of profile must be at most 46\.8"):
        foot_from_front(Profile.from_measures(42, 70, 70, 50, 100))  # the hairline rises backward
    two = Profile.from_measures([52, 48], 40, 85, 35, 110)
    with pytest.raises(ValueError, match="profile must hold one foot"):
        foot_from_below(outline_of(story("in line")), profile=two)
    for view in (foot_from_side, foot_from_front, outline_of):
        with pytest.raises(ValueError, match="profile must hold one foot"):
            view(two)
    with pytest.raises(ValueError, match="at least 5 points"):
        foot_from_below([(0, -40), (100, 0), (0, 40)])
    foot = story("in line")
    with pytest.raises(ValueError, match="ground_mm must be two numbers"):
        foot_from_front(foot, ground_mm=(60,))

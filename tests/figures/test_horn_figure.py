"""Lesson 05's figure says and draws what the formulas say."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoofcalc.columns import (
    bundle_second_moment_mm4,
    euler_load_n,
    foundation_load_n,
    rod_section,
)
from hoofcalc.cycle import GROWTH_MM_DAY
from hoofcalc.figures.horn_figure import HORN
from hoofcalc.figures.horn_prediction import HORN_PREDICTION
from hoofcalc.figures.questions import load
from hoofcalc.horn import bundle_moduli, horn_at, modulus_at_deg, strength_at_deg

EDGES = ("low", "central", "high")


def at(**values: Any) -> Any:
    return HORN.frame(values)


def preset(label: str) -> Any:
    return at(**next(p.values for p in HORN.presets if p.label == label))


def outlines(place: np.ndarray) -> list[np.ndarray]:
    """The closed outlines that a NaN ends."""
    ends = np.flatnonzero(np.isnan(place[:, 0]))
    return [part[~np.isnan(part[:, 0])] for part in np.split(place, ends + 1)][:-1]


def area(outline: np.ndarray) -> float:
    x, y = outline.T
    return abs(float(x @ np.roll(y, 1) - y @ np.roll(x, 1))) / 2


@pytest.mark.parametrize("angle", [0.0, 17.0, 45.0, 90.0])
def test_with_all_its_glue_it_is_the_horn_of_the_library(angle: float) -> None:
    frame = at(bond=1.0, obliquity_deg=angle, water_percent=28.0, contrast=2.0, region="inner")
    band = horn_at(water_percent=28.0, contrast=2.0, region="inner")
    for edge in EDGES:
        horn = getattr(band, edge)
        assert frame.results["stiffness_mpa"][edge] == pytest.approx(modulus_at_deg(horn, angle))
        assert frame.results["strength_mpa"][edge] == pytest.approx(strength_at_deg(horn, angle))
    for name, value in (("stiff", "stiffness_mpa"), ("strong", "strength_mpa")):
        mark, curve = frame.results[f"{name}_mark"], frame.results[f"{name}_curve"]
        assert 10 ** mark[0, 1] == pytest.approx(frame.results[value]["central"])
        assert np.interp(angle, *curve.T) == pytest.approx(mark[0, 1], abs=1e-3)
        low, high = np.split(frame.results[f"{name}_band"], 2)
        assert np.all(low[:, 1] <= curve[:, 1])
        assert np.all(curve[:, 1] <= high[::-1, 1])


def test_missing_glue_weakens_as_the_bundle_formulas_say() -> None:
    left, whole = bundle_moduli(1, 1, 0.39, 0.1), bundle_moduli(1, 1, 0.39)
    for angle, part in ((0.0, "along_mpa"), (90.0, "across_mpa")):
        ratio = (
            at(bond=0.1, obliquity_deg=angle).results["stiffness_mpa"]["central"]
            / at(bond=1.0, obliquity_deg=angle).results["stiffness_mpa"]["central"]
        )
        assert ratio == pytest.approx(getattr(left, part) / getattr(whole, part))
    strong = [at(bond=b, obliquity_deg=90.0).results["strength_mpa"]["central"] for b in (0.1, 1)]
    assert strong[0] / strong[1] == pytest.approx(0.1)


def test_more_glue_never_makes_it_softer_or_weaker() -> None:
    for angle in (0.0, 30.0, 90.0):
        frames = [at(bond=b, obliquity_deg=angle).results for b in (0.01, 0.1, 0.4, 0.8, 1.0)]
        for name in ("stiffness_mpa", "strength_mpa"):
            values = [frame[name]["central"] for frame in frames]
            assert values == sorted(values)


def test_the_picture_of_strands_holds_only_with_next_to_no_glue() -> None:
    """What the lesson tells: a tenth of the glue already makes it half as stiff across."""

    def across_to_along(bond: float) -> float:
        results = at(bond=bond, obliquity_deg=90.0).results
        return float(results["stiffness_mpa"]["central"] / results["along_mpa"])

    assert across_to_along(0.02) < 0.15
    assert across_to_along(0.1) == pytest.approx(0.5, abs=0.01)
    assert across_to_along(1.0) == pytest.approx(1.0)


def test_loose_tubules_are_left_alone() -> None:
    along = at(bond=0.0, obliquity_deg=0.0)
    e = horn_at(water_percent=22.7).central.along_mpa
    alone = euler_load_n(e, rod_section(0.18).second_moment_mm4, 60.0)
    assert along.results["alone_n"] == pytest.approx(alone)
    assert "0.01 grams" in along.sentence
    assert along.results["along_mpa"] == pytest.approx(0.39 * e, rel=1e-5)
    slides = at(bond=0.0, obliquity_deg=30.0)
    assert not len(slides.results["strong_mark"]) + len(slides.results["stiff_mark"])
    assert not len(slides.results["glue"])
    assert slides.results["verdict"] == "gives way"
    bowed = outlines(along.results["tubes"])[0]
    assert np.ptp(bowed[:10, 0]) == pytest.approx(0.28, rel=0.1)


def test_the_verdict_goes_by_the_band() -> None:
    for bond in np.linspace(0.01, 1.0, 34):
        results = at(bond=float(bond), obliquity_deg=60.0).results
        low, high = (results["strength_mpa"][edge] for edge in ("low", "high"))
        expected = "gives way" if high < 2 else "holds" if low >= 2 else "may give way"
        assert results["verdict"] == expected
    assert {at(bond=b, obliquity_deg=60.0).results["verdict"] for b in (0.02, 0.1, 1.0)} == {
        "gives way",
        "may give way",
        "holds",
    }


def test_the_piece_is_drawn_as_it_is() -> None:
    # stiff horn, which moves little: 0.18 mm tubules at 0.27 mm, leaning back by the obliquity
    dry = {"bond": 1.0, "water_percent": 10.0, "region": "outer"}
    for angle in (0.0, 20.0, 90.0):
        results = at(obliquity_deg=angle, **dry).results
        tubes = outlines(results["tubes"])
        middle = max(tubes, key=area)
        edge = middle[1] - middle[0]
        leans = np.degrees(np.arctan2(-edge[0], edge[1])) % 180
        assert leans == pytest.approx(angle, abs=5)
        width = area(middle) / np.linalg.norm(edge)
        assert width == pytest.approx(0.18, rel=0.25)
        places = np.concatenate([*tubes, *outlines(results["glue"])])
        assert np.abs(places).max() < 1.35 * 1.2


def test_the_glued_part_of_the_gaps_is_the_share_of_glue() -> None:
    whole = sum(map(area, outlines(at(bond=1.0, obliquity_deg=0.0).results["glue"])))
    for bond in (0.2, 0.5, 0.9):
        drawn = sum(map(area, outlines(at(bond=bond, obliquity_deg=0.0).results["glue"])))
        assert drawn / whole == pytest.approx(bond, rel=0.05)


def test_loose_tubules_lie_flatter_under_the_push() -> None:
    for bond in (0.0, 0.05):
        corners = at(bond=bond, obliquity_deg=30.0).results["broken_edge"]
        assert corners[2, 0] < corners[1, 0] - 0.3, "the top moves the way the tubules lean"


def test_something_happens_at_both_ends_of_every_slider() -> None:
    def stiff(**values: Any) -> float:
        return float(at(bond=1.0, **values).results["stiffness_mpa"]["central"])

    dry, wet = (at(bond=1.0, water_percent=w).results["stiffness_mpa"] for w in (10.0, 35.0))
    assert dry["high"] / dry["central"] > 2 * wet["high"] / wet["central"] > 2
    assert wet["central"] / wet["low"] > 1.5 * dry["central"] / dry["low"]
    assert stiff(contrast=6.0, obliquity_deg=90.0) == pytest.approx(stiff(contrast=1.0) / 6)
    assert stiff(contrast=0.5, obliquity_deg=90.0) == pytest.approx(stiff(contrast=1.0) * 2)


def test_presets_are_natural_horn_of_one_study() -> None:
    """Hinterhofer, Stanek and Binder 1998 (read): modulus at the water it was measured at."""
    for label, modulus in (("Middle wall", 761.8), ("Sole", 230.0), ("Frog", 9.9)):
        assert preset(label).results["along_mpa"] == pytest.approx(modulus)


def test_the_curve_to_draw_is_the_figures() -> None:
    for bond in (0.1, 0.3, 1.0):
        across = at(bond=bond, obliquity_deg=90.0).results["stiffness_mpa"]["central"]
        assert HORN_PREDICTION.truth(np.array([bond]))[0] == pytest.approx(across)
    tenth, third, whole = HORN_PREDICTION.truth(np.array([0.1, 0.3, 1.0]))
    assert 0.2 < tenth / whole < 0.25, "a tenth of the glue gives more than a fifth"
    assert third / whole == pytest.approx(0.5, abs=0.03)


def test_the_lesson_tells_what_the_library_says() -> None:
    tubule = rod_section(0.18).second_moment_mm4
    alone = euler_load_n(762, tubule, 60)
    held = foundation_load_n(762, tubule, foundation_mpa=10)
    assert held / alone > 10_000
    assert 1000 * alone / 9.81 == pytest.approx(0.01, rel=0.15), "a hundredth of a gram"
    band = horn_at(water_percent=22.7)
    assert band.central.across_mpa == pytest.approx(band.central.along_mpa)
    assert bundle_second_moment_mm4(7, 3, 1) > 7 * bundle_second_moment_mm4(7, 3, 0)


def test_the_number_asked_for_is_right() -> None:
    asked = load("horn")
    ring = asked["remember_ring"]
    assert ring["truth"] == pytest.approx(30 / GROWTH_MM_DAY)
    slips = [slip["value"] for slip in ring["slips"]]
    assert slips[:3] == pytest.approx([30 * 0.25, 0.25 / 30, 30 / 0.25 / 7], abs=0.005)

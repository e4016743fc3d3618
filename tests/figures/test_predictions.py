"""A curve drawn by hand is told apart by its shape, and nobody is wrongly accused."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from hoofcalc import figures
from hoofcalc.figures import EVERY_PREDICTION, Prediction
from hoofcalc.figures.prediction import Shape, prediction_description

PREDICTIONS = list(EVERY_PREDICTION.values())
every_prediction = pytest.mark.parametrize("prediction", PREDICTIONS, ids=lambda one: one.name)
ACROSS = np.linspace(0.0, 1.0, 41)


def in_units(prediction: Prediction, heights: Any) -> list[float | None]:
    """Parts of the plane in the units of its axis, as the browser sends them."""
    first, second = prediction.y.limits
    return [float(first + part * (second - first)) for part in np.asarray(heights)]


def shaky_hand(meant: np.ndarray, rng: np.random.Generator, sway: float = 0.012) -> np.ndarray:
    """A curve as a hand would draw it: it sways, trembles, and lies too high or too steep."""
    across = np.linspace(0.0, 1.0, len(meant))
    turn = rng.uniform(0.0, 2 * np.pi, 3)
    swayed = sum(sway * np.sin(2 * np.pi * (n + 1) * across + turn[n]) for n in range(3))
    tremble = rng.normal(0.0, 0.012, len(meant))
    steeper = rng.uniform(0.8, 1.2)
    off = rng.uniform(-0.03, 0.03) + swayed + tremble
    return np.clip(meant[0] + steeper * (meant - meant[0]) + off, 0, 1)


def plain(heights: np.ndarray) -> np.ndarray:
    return heights


def moved(by: float) -> Callable[[np.ndarray], np.ndarray]:
    """Drawn so much of the plane too late; it goes on beyond its ends as it went."""

    def move(heights: np.ndarray) -> np.ndarray:
        beyond = len(heights) // 5
        on = np.pad(heights, beyond, mode="reflect", reflect_type="odd")
        places = (np.arange(len(on)) - beyond) / (len(heights) - 1)
        return np.clip(np.interp(np.linspace(0, 1, len(heights)) - by, places, on), 0, 1)

    return move


def scaled(by: float) -> Callable[[np.ndarray], np.ndarray]:
    return lambda heights: heights[0] + by * (heights - heights[0])


def five_taps(heights: np.ndarray) -> np.ndarray:
    """Five points with straight lines between."""
    across, taps = np.linspace(0, 1, len(heights)), np.linspace(0, 1, 5)
    return np.interp(across, taps, np.interp(taps, across, heights))


def true_heights(prediction: Prediction) -> np.ndarray:
    return np.clip(prediction.y.share(prediction.true_values), 0, 1)


@every_prediction
def test_two_hundred_right_curves_drawn_with_a_shaky_hand_are_right(
    prediction: Prediction,
) -> None:
    rng = np.random.default_rng(12)
    for number in range(200):
        drawn = in_units(prediction, shaky_hand(true_heights(prediction), rng))
        assert prediction.judge(drawn).name == "ours", f"hand {number}"


@pytest.mark.parametrize(
    ("sway", "meant", "drawn"),
    [
        pytest.param(0.02, plain, plain, id="shakier"),
        pytest.param(0.025, plain, plain, id="shakiest"),
        pytest.param(0.012, moved(-0.08), plain, id="early"),
        pytest.param(0.012, moved(0.08), plain, id="late"),
        pytest.param(0.012, scaled(0.9), plain, id="too flat"),
        pytest.param(0.012, scaled(1.1), plain, id="too steep"),
        pytest.param(0.012, plain, five_taps, id="five taps"),
    ],
)
@every_prediction
def test_nobody_is_accused_of_a_curve_drawn_badly(
    prediction: Prediction,
    sway: float,
    meant: Callable[[np.ndarray], np.ndarray],
    drawn: Callable[[np.ndarray], np.ndarray],
) -> None:
    """Five pixels of sway in 220, too early or late, too flat or steep, or five points only."""
    rng = np.random.default_rng(12)
    right = meant(true_heights(prediction))
    for number in range(200):
        hand = drawn(shaky_hand(right, rng, sway))
        found = prediction.judge(in_units(prediction, hand)).name
        assert found in ("ours", "other"), f"hand {number}: {found}"


@pytest.mark.parametrize("by", [-0.08, 0.08])
@every_prediction
def test_the_right_curve_a_little_early_or_late_is_right(prediction: Prediction, by: float) -> None:
    rng = np.random.default_rng(12)
    late = moved(by)(true_heights(prediction))
    hands = [in_units(prediction, shaky_hand(late, rng)) for _ in range(200)]
    assert sum(prediction.judge(hand).name == "ours" for hand in hands) >= 170


#: How many of 200 shaky hands at least are told their belief. A level line that sways three times
#: looks like shallow teeth; then no belief is named rather than a wrong one.
RECOGNISED = {("trim_cycle", "level"): 130}


@every_prediction
def test_typical_wrong_curves_are_named(prediction: Prediction) -> None:
    assert len(prediction.wrong) >= 5
    assert len({line.name for line in prediction.wrong}) == len(prediction.wrong)
    for line in prediction.wrong:
        rng = np.random.default_rng(8)
        meant = line.typical(np.linspace(0, 1, len(prediction.columns)))
        assert prediction.judge(in_units(prediction, meant)).name == line.name
        hands = [in_units(prediction, shaky_hand(meant, rng, 0.02)) for _ in range(200)]
        named = sum(prediction.judge(hand).name == line.name for hand in hands)
        least = RECOGNISED.get((prediction.name, line.name), 180)
        assert named >= least, f"{line.name}: {named} of 200"


@every_prediction
def test_a_cliff_is_one_wherever_it_is_drawn(prediction: Prediction) -> None:
    across = np.linspace(0, 1, len(prediction.columns))
    for line in prediction.wrong:
        if line.name in ("step", "cliff"):
            first, last = line.typical(across)[[0, -1]]
            for place in (0.35, 0.5, 0.65, 0.75):
                drawn = np.where(across < place, first, last)
                assert prediction.judge(in_units(prediction, drawn)).name == line.name


@every_prediction
def test_the_true_curve_lies_on_the_plane_and_nothing_is_cut(prediction: Prediction) -> None:
    low, high = sorted(prediction.y.limits)
    assert np.all((prediction.true_values >= low) & (prediction.true_values <= high))
    told = json.loads(json.dumps(prediction_description(prediction), allow_nan=False))
    assert len(told["columns"]) == len(told["truth"]) == len(prediction.columns)
    assert len(told["x"]["ticks"]) >= 3
    assert len(told["y"]["ticks"]) >= 3
    for words in (prediction.heading, prediction.ask, prediction.ours):
        assert words.strip()


@every_prediction
def test_messages_are_short_and_name_the_slip(prediction: Prediction) -> None:
    for line in prediction.wrong:
        assert 3 <= len(line.says.split()) <= 40
        assert 1 <= len(line.belief.split()) <= 8


def test_gaps_are_bridged_and_too_little_is_refused() -> None:
    prediction = PREDICTIONS[0]
    whole = in_units(prediction, prediction.y.share(prediction.true_values))
    some = [None if at % 6 == 5 else height for at, height in enumerate(whole)]
    assert prediction.judge(some).name == "ours"
    with pytest.raises(ValueError, match="four columns of five"):
        prediction.judge([None if at % 3 else height for at, height in enumerate(whole)])
    with pytest.raises(ValueError, match="must hold 41 heights"):
        prediction.judge(whole[:-1])
    with pytest.raises(ValueError, match="four columns of five"):
        prediction.judge([float("nan")] * len(whole))


def test_a_lesson_without_a_curve_says_so() -> None:
    assert figures.predict("underrun").name == "underrun"
    with pytest.raises(ValueError, match="lesson must be one of"):
        figures.predict("breakfast")


@pytest.mark.parametrize(
    ("curve", "is_one"),
    [
        (0.5 + 0 * ACROSS, "is_level"),
        (0.1 + 0.7 * ACROSS, "is_straight"),
        (0.9 - 0.7 * ACROSS, "is_straight"),
        (np.where(ACROSS < 0.5, 0.1, 0.8), "is_step"),
        (0.1 + 2.4 * ACROSS * (1 - ACROSS), "is_hump"),
        (0.9 - 2.4 * ACROSS * (1 - ACROSS), "is_dip"),
    ],
)
def test_a_shape_is_one_thing_and_none_of_the_others(curve: Any, is_one: str) -> None:
    tests = ("is_level", "is_straight", "is_step", "is_hump", "is_dip")
    found = [name for name in tests if getattr(Shape(curve), name)()]
    assert found == [is_one]

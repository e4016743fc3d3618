"""What a figure marks for a second: the numbers that changed, whatever else its sentence says."""

from __future__ import annotations

import json
import re
from collections import Counter

import pytest

from hoofcalc.figures import EVERY_FIGURE

NUMBER = re.compile(r"[-−]?\d+(?:[.,]\d+)*")
ANSWER = """
const answer = {
  marked: ([old, now]) => [...changedNumbers(old, now)].map((at) => now.split(NUMBER)[2 * at + 1]),
  was: ([was, result]) => whatItWas(was, result),
};
console.log(JSON.stringify(data.pairs.map(answer[data.what])));
"""


@pytest.fixture
def told(printed_by_node, figure_script):
    """What the figure's script says of each pair."""

    def say(what: str, pairs: list[tuple[str, str]]) -> list:
        return json.loads(printed_by_node(figure_script + ANSWER, {"what": what, "pairs": pairs}))

    return say


def test_the_words_around_a_number_tell_which_it_was(told) -> None:
    cases = {
        ("The heel is 23°, the toe 48°.", "The heel is 23°, the toe 48°."): [],
        ("The heel is 23°, the toe 48°.", "The heel is 24°, the toe 48°."): ["24"],
        # one more number, one fewer, and other words between
        ("Its heel at 23° works 1.9 times.", "After 1 visit its heel at 25° works 1.6 times."): [
            "1",
            "25",
            "1.6",
        ],
        ("After 1 visit its heel at 25° works 1.6 times.", "Its heel at 25° works 1.9 times."): [
            "1.9"
        ],
        ("It reads 39° and is 43.", "It reads 39° and is 43; the line leans 1°."): ["1"],
        ("Turned 35°, 20° from above: gap 5°.", "Turned 0°, level: gap 5°."): ["0"],
        # neither a comma nor a full stop behind it, but a sign before it and commas in it
        ("It is 1.9, then 4. The gap is 5°.", "It is 1.8, then 3. The gap is -5°."): [
            "1.8",
            "3",
            "-5",
        ],
        ("It bears 2,000 N, and 9.", "It bears 2,500 N, and 9."): ["2,500"],
        # where none was, it is new
        ("Nothing yet.", "It bears 2 N."): ["2"],
    }
    assert told("marked", list(cases)) == list(cases.values())


def test_every_figure_marks_what_one_press_or_choice_brings(told) -> None:
    pairs = []
    for figure in EVERY_FIGURE.values():
        start = figure.frame({})
        for slider in figure.sliders:
            places = list(slider.positions())
            after = [place for place in places if place > start.values[slider.name]]
            pairs.append((start.sentence, figure.frame({slider.name: after[0]}).sentence))
        before = start
        for preset in figure.presets:
            after = figure.frame({**before.values, **preset.values})
            pairs.append((before.sentence, after.sentence))
            before = after
    pairs = [(old, now) for old, now in pairs if now]
    assert len(pairs) > 80
    for (old, now), marked in zip(pairs, told("marked", pairs), strict=True):
        new = Counter(NUMBER.findall(now)) - Counter(NUMBER.findall(old))
        assert not new - Counter(marked), f"{old} | {now} | {marked}"
        if NUMBER.sub("", old) == NUMBER.sub("", now):
            both = zip(NUMBER.findall(old), NUMBER.findall(now), strict=True)
            assert marked == [number for was, number in both if number != was]


def test_what_it_was_is_said_in_the_same_unit_or_not_at_all(told) -> None:
    cases = {
        ("", "25°"): "",
        ("25°", "25°"): "",
        ("25°", "26°"): "25",
        ("over 2 times", "1.9 times"): "over 2",
        ("16° forward, ± 12°", "16° forward, ± 14°"): "16° forward, ± 12°",
        ("16° forward, ± 12°", "0.88 m/s down"): "",
        ("toe: 2.3 times", "toe: 2.2 times"): "2.3",
        ("toe: 2.3 times", "heel: 2.2 times"): "toe: 2.3 times",
        ("within the error of 3.7°", "more than the error of 4.5°"): "within the error of 3.7°",
        ("in line", "1.9 times"): "",
    }
    assert told("was", list(cases)) == list(cases.values())

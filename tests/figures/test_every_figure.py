"""What every living figure must do, whatever it shows. A new figure is found by its file's name."""

from __future__ import annotations

import gc
import itertools
import json
import re
import sys
import tracemalloc
from typing import Any

import numpy as np
import pytest
from ipywidgets.widgets import widget as registry
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_rgba
from matplotlib.lines import Line2D
from matplotlib.patches import FancyArrowPatch, Polygon

from hoofcalc.figures import EVERY_FIGURE, Figure
from hoofcalc.figures.scene import PLAIN, Series
from hoofcalc.figures.spec import Frame, Results
from hoofcalc.figures.wire import description, state
from hoofcalc.notebook.living import LivingFigure
from hoofcalc.pictures.drawing import drawing_of, series_points, series_text, tiles

#: A figure's sentence has no more words than this, and one finding.
MOST_WORDS = 25
#: No more sliders than this stand in sight; the rest wait under "More".
IN_SIGHT = 4

FIGURES = list(EVERY_FIGURE.values())
#: "-0" and its like: nothing, said as if it were less.
NOUGHT_BELOW = re.compile(r"(?<![\d.])[-\u2212]0(\.0+)?(?![\d.])")
every_figure = pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure.name)


def settings(figure: Figure, at_random: int) -> list[dict[str, Any]]:
    """Every corner of the sliders and random points between, for every set of choices."""
    rng = np.random.default_rng(4)
    choices = [dict(figure.choices)]
    for preset in figure.presets:
        chosen = {name: preset.values.get(name, at) for name, at in figure.choices.items()}
        if chosen not in choices:
            choices.append(chosen)
    names = [slider.name for slider in figure.sliders]
    corners = itertools.product(*[(slider.minimum, slider.maximum) for slider in figure.sliders])
    places = [dict(zip(names, corner, strict=True)) for corner in corners]
    found = [{**chosen, **place} for chosen in choices for place in places]
    for _ in range(at_random):
        place = {s.name: float(rng.choice(s.positions())) for s in figure.sliders}
        found.append({**choices[rng.integers(len(choices))], **place})
    return found


@every_figure
def test_every_corner_and_places_in_between_are_said_sent_and_drawn(figure: Figure) -> None:
    drawing = drawing_of(figure)
    for values in settings(figure, at_random=100):
        frame = figure.frame(values)
        assert not frame.refusal, f"{values}: {frame.refusal}"
        assert_said(frame)
        counts, row = figure.floats(frame.results)
        assert 2 * sum(counts) == len(row)
        assert row.nbytes <= 28_000, "more than a move should send"  # a foot in space: 27 kB
        drawing.show(frame.results)
        for item, artist in zip(figure.series, drawing.artists, strict=True):
            assert_drawn(item, artist, frame.results)
    drawing.png()


def assert_said(frame: Frame) -> None:
    """One sentence with one finding, all numbers in the table, and a description."""
    assert frame.sentence.strip().endswith((".", ")"))
    assert len(frame.sentence.split()) <= MOST_WORDS, frame.sentence
    assert frame.result, "no finding is marked"
    assert frame.result in frame.sentence
    assert "*" not in frame.sentence
    assert "nan" not in frame.sentence
    assert "inf" not in frame.sentence.split()
    assert not NOUGHT_BELOW.search(frame.sentence), frame.sentence
    assert frame.alt.strip().endswith(".")
    assert frame.table
    for row in frame.table:
        assert row.quantity
        assert row.value
        assert "nan" not in (row.value + row.interval).lower()
        assert not NOUGHT_BELOW.search(f"{row.value} {row.interval}"), row


def assert_drawn(item: Series, artist: Any, results: Results) -> None:
    """The still picture shows what was computed: the same places, words and colours."""
    place = series_points(item, results)
    assert artist.get_visible() == bool(len(place)), item.data
    if not len(place):
        return
    if isinstance(artist, Line2D):
        drawn = artist.get_xydata()
    elif isinstance(artist, Polygon):
        drawn = artist.get_xy()[: len(place)]
    elif isinstance(artist, FancyArrowPatch):
        drawn = np.array(artist._posA_posB)
    elif isinstance(artist, PolyCollection):
        outlines = tiles(place)
        assert [len(path.vertices) - 1 for path in artist.get_paths()] == list(map(len, outlines))
        drawn = np.concatenate([path.vertices[:-1] for path in artist.get_paths()])
        place = np.concatenate(outlines)
        assert item.scale is not None
        ramp = [to_rgba(colour) for colour in (*item.scale.colours, PLAIN)]
        wanted = [
            ramp[-1 if letter == "-" else ord(letter) - 48] for letter in series_text(item, results)
        ]
        assert np.array_equal(artist.get_facecolor(), wanted), item.data
    else:
        drawn = np.array([artist.get_position()])
        assert artist.get_text() == results[item.words]
        if item.style.apart:  # pushed aside by its neighbours, level only
            assert drawn[0, 1] == pytest.approx(place[0, 1]), item.data
            return
    assert np.array_equal(drawn, place, equal_nan=True), item.data


@every_figure
def test_the_sentence_changes_when_the_picture_does(figure: Figure) -> None:
    for setting in [figure.start, *({**figure.start, **p.values} for p in figure.presets)]:
        here = figure.frame(setting)
        for slider in figure.sliders:
            for end in (slider.minimum, slider.maximum):
                if end == setting[slider.name]:
                    continue
                there = figure.frame({**setting, slider.name: end})
                assert there.sentence != here.sentence, f"{slider.name} = {end}"
                moved = not np.array_equal(
                    figure.floats(here.results)[1], figure.floats(there.results)[1]
                ) or figure.texts(here.results) != figure.texts(there.results)
                assert moved, f"{slider.name} = {end} changes the sentence and not the picture"


@every_figure
def test_what_the_learner_reads_is_whole(figure: Figure) -> None:
    assert 2 <= len(figure.sliders) <= 8
    for slider in figure.sliders:
        assert slider.label
        assert slider.unit
        assert slider.start in [pytest.approx(at) for at in slider.positions()]
        assert 2 <= len(slider.positions()) <= 1000
    for panel in figure.panels:
        assert panel.title or figure.keeps_to_one_screen
        if panel.axes:
            for label in (panel.x_label, panel.y_label):
                assert "(" in label + panel.title, "an axis without its unit"


@every_figure
def test_few_controls_stand_in_sight_and_something_can_be_taken_hold_of(figure: Figure) -> None:
    assert len(figure.sliders) - len(figure.more) <= IN_SIGHT
    assert figure.handles
    for handle in figure.handles:
        if handle.kind == "angle":
            slider = next(slider for slider in figure.sliders if slider.name == handle.x)
            assert slider.maximum - slider.minimum < 360


@every_figure
def test_words_are_written_in_ink_and_not_in_the_colours_of_data(figure: Figure) -> None:
    plain = {"ink", "quiet", "black", "grey", "mine"}
    for series in figure.series:
        if series.kind == "words":
            assert series.style.colour in plain, series.data
            assert series.style.size >= 14


@every_figure
def test_what_the_browser_must_know_is_plain_data(figure: Figure) -> None:
    told = json.loads(json.dumps(description(figure), allow_nan=False))
    assert len(told["series"]) == len(figure.series)
    frame = state(figure, figure.frame({}))
    frame.pop("floats")
    json.dumps(frame, allow_nan=False)


#: Moves after each of which the memory is counted, and how often.
MOVES, ROUNDS = 20, 3


def blocks_kept(figure: Figure, keep: Any = lambda frame: None) -> int:
    """Blocks of memory that a round of moves leaves behind, when it leaves least.

    What is kept at every move shows in every round; what is filled once (caches, Python's own free
    lists) does not.
    """
    living = LivingFigure(figure)
    places = settings(figure, at_random=MOVES)[-MOVES:]
    living.png()
    counted = []
    for _ in range(1 + ROUNDS):
        for values in places:
            living.move(**values)
            keep(living.frame)
        gc.collect()
        counted.append(sys.getallocatedblocks())
    living.close()
    return int(np.diff(counted).min())


@every_figure
def test_moves_leave_nothing_behind(figure: Figure) -> None:
    assert blocks_kept(figure) < 5 * MOVES, "something is kept at every move"


def test_what_is_kept_at_each_move_would_be_found() -> None:
    kept: list[Any] = []
    assert blocks_kept(EVERY_FIGURE["orientation"], kept.append) > 10 * MOVES


@pytest.mark.slow
@pytest.mark.parametrize("name", ["landing", "load-path", "underrun"])  # the largest of each kind
def test_a_move_costs_less_than_two_kilobytes(name: str) -> None:
    figure = EVERY_FIGURE[name]
    living = LivingFigure(figure)
    places = settings(figure, at_random=15)[-15:]

    def moves(times: int) -> None:
        for number in range(times):
            living.move(**places[number % len(places)])
        gc.collect()

    living.png()
    moves(15)  # every place once, for what is kept of each on purpose
    tracemalloc.start()
    moves(8)
    before, _ = tracemalloc.get_traced_memory()
    moves(15)
    after, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    living.close()
    assert after - before < 15 * 2000


@every_figure
def test_a_closed_figure_is_forgotten(figure: Figure) -> None:
    before = len(registry._instances)
    for _ in range(3):
        living = LivingFigure(figure)
        living.close()
    assert len(registry._instances) == before

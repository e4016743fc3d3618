"""What every living figure must do, whatever it shows. A new figure is found by its file's name."""

from __future__ import annotations

import gc
import itertools
import sys
import tracemalloc
from typing import Any

import numpy as np
import pytest
from ipywidgets.widgets import widget as registry
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_hex
from matplotlib.lines import Line2D
from matplotlib.patches import FancyArrowPatch, Polygon

from hoofcalc.figures import EVERY_FIGURE, Figure
from hoofcalc.figures.scene import PLAIN
from hoofcalc.notebook.living import LivingFigure
from hoofcalc.pictures.drawing import drawing_of, series_points, series_text, tiles

FIGURES = list(EVERY_FIGURE.values())
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
def test_compute_and_draw_at_every_corner_and_in_between(figure: Figure) -> None:
    drawing = drawing_of(figure)
    for values in settings(figure, at_random=100):
        frame = figure.frame(values)
        assert not frame.refusal, f"{values}: {frame.refusal}"
        assert frame.sentence.strip().endswith((".", ")"))
        assert "nan" not in frame.sentence
        assert "inf" not in frame.sentence.split()
        assert frame.alt.strip().endswith(".")
        drawing.show(frame.results)
        counts, row = figure.floats(frame.results)
        assert 2 * sum(counts) == len(row)
        assert row.nbytes <= 16_000, "more than a move should send"
    drawing.png()


@every_figure
def test_the_still_picture_shows_the_computed_arrays(figure: Figure) -> None:
    drawing = drawing_of(figure)
    for values in settings(figure, at_random=5):
        results = figure.frame(values).results
        drawing.show(results)
        for item, artist in zip(figure.series, drawing.artists, strict=True):
            place = series_points(item, results)
            assert artist.get_visible() == bool(len(place))
            if not len(place):
                continue
            if isinstance(artist, Line2D):
                drawn = artist.get_xydata()
            elif isinstance(artist, Polygon):
                drawn = artist.get_xy()[: len(place)]
            elif isinstance(artist, FancyArrowPatch):
                drawn = np.array(artist._posA_posB)
            elif isinstance(artist, PolyCollection):
                outlines = tiles(place)
                assert len(artist.get_paths()) == len(outlines)
                for path, outline in zip(artist.get_paths(), outlines, strict=True):
                    np.testing.assert_array_equal(path.vertices[:-1], outline)
                ramp = [colour.lower() for colour in item.scale.colours]
                wanted = [
                    PLAIN.lower() if letter == "-" else ramp[int(letter)]
                    for letter in series_text(item, results)
                ]
                assert [to_hex(colour) for colour in artist.get_facecolor()] == wanted
                continue
            else:
                drawn = np.array([artist.get_position()])
                assert artist.get_text() == results[item.words]
            np.testing.assert_array_equal(drawn, place)


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
    assert 2 <= len(figure.sliders) <= 5
    for slider in figure.sliders:
        assert slider.label
        assert slider.unit
        assert slider.start in [pytest.approx(at) for at in slider.positions()]
        assert 2 <= len(slider.positions()) <= 1000
    for panel in figure.panels:
        assert panel.title
        if panel.axes:
            for label in (panel.x_label, panel.y_label):
                assert "(" in label + panel.title, "an axis without its unit"


@every_figure
def test_five_hundred_moves_leave_nothing_behind(figure: Figure) -> None:
    living = LivingFigure(figure)
    places = settings(figure, at_random=50)[-50:]

    def moves(times: int) -> None:
        for number in range(times):
            living.move(**places[number % len(places)])
        living.png()
        gc.collect()

    moves(100)
    blocks = sys.getallocatedblocks()
    moves(500)
    assert sys.getallocatedblocks() - blocks < 500, "something is kept at every move"
    living.close()


@pytest.mark.slow
@pytest.mark.parametrize("name", ["landing", "load-path", "underrun"])  # the largest of each kind
def test_a_move_costs_less_than_two_kilobytes(name: str) -> None:
    figure = EVERY_FIGURE[name]
    living = LivingFigure(figure)
    places = settings(figure, at_random=50)[-50:]
    for values in places:
        living.move(**values)
    living.png()
    gc.collect()
    tracemalloc.start()
    before, _ = tracemalloc.get_traced_memory()
    moves = 200
    for number in range(moves):
        living.move(**places[number % len(places)])
        if number % 100 == 0:
            living.png()
    gc.collect()
    after, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    living.close()
    assert after - before < moves * 2000


@every_figure
def test_a_closed_figure_is_forgotten(figure: Figure) -> None:
    before = len(registry._instances)
    for _ in range(3):
        living = LivingFigure(figure)
        living.close()
    assert len(registry._instances) == before

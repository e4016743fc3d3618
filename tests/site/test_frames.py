"""Frames calculated beforehand hold what the library says."""

from __future__ import annotations

import base64
import dataclasses
import json
import zlib

import numpy as np
import pytest

from hoofcalc.figures.column_figure import COLUMNS
from hoofcalc.site.frames import figure_data

ONE_THING = dataclasses.replace(COLUMNS, presets=COLUMNS.presets[:2])


def unpack(text: str) -> bytes:
    return zlib.decompress(base64.b64decode(text))


def test_every_frame_on_the_page_is_what_the_library_says() -> None:
    data = figure_data(ONE_THING, ["lean_deg", "load_n"], {"lean_deg": 3, "load_n": 4})
    table = json.loads(unpack(data["frames"]))
    levels = np.frombuffer(unpack(data["numbers"]), "<u2").astype(float)
    axes = {axis["name"]: axis["values"] for axis in data["grid"]["axes"]}
    assert {5.0} <= set(axes["lean_deg"]), "the presets' own lean must be on the page"
    assert (axes["lean_deg"][0], axes["lean_deg"][-1]) == (0, 45)
    frames, at, number = table["frames"], 0, 0
    for setting in data["grid"]["settings"]:
        for lean in axes["lean_deg"]:
            for load in axes["load_n"]:
                frame = COLUMNS.frame({**setting, "lean_deg": lean, "load_n": load})
                stored = frames[number]
                assert table["words"][stored["sentence"]] == frame.sentence
                assert table["words"][stored["alt"]] == frame.alt
                counts, row = COLUMNS.floats(frame.results)
                assert stored["counts"] == counts
                place = row.reshape(-1, 2).astype(float)
                panel = np.repeat([s.panel for s in COLUMNS.series], counts)
                low = np.array([[p.x_limits[0], p.y_limits[0]] for p in COLUMNS.panels])[panel]
                high = np.array([[p.x_limits[1], p.y_limits[1]] for p in COLUMNS.panels])[panel]
                steps = np.split(levels[at : at + len(row)].reshape(-1, 2), np.cumsum(counts)[:-1])
                part = np.concatenate([np.cumsum(step, axis=0) % 65536 for step in steps])
                shown = np.where(part == 65535, np.nan, low + (high - low) * (3 * part / 65534 - 1))
                inside = np.isnan(place) | ((place > 2 * low - high) & (place < 2 * high - low))
                off = np.abs(shown - place) / (high - low)
                assert np.array_equal(np.isnan(shown), np.isnan(place))
                assert np.nanmax(np.where(inside, off, 0)) < 1e-4, "a tenth of a pixel would show"
                at, number = at + len(row), number + 1
    assert number == len(frames)
    assert at == len(levels)


def test_without_python_only_the_named_sliders_move() -> None:
    data = figure_data(COLUMNS, ["lean_deg"], {"lean_deg": 5})
    assert [slider["name"] for slider in data["plain"]["sliders"]] == ["lean_deg"]
    assert len(data["spec"]["sliders"]) == len(COLUMNS.sliders), "Python moves them all"


@pytest.mark.parametrize(
    ("sliders", "says"),
    [
        ([], "one or two"),
        (["lean_deg", "load_n", "length_mm"], r"one or two of the figure's \(got 3\)"),
        (["angle"], "sliders must be one of .*'length_mm'.*got 'angle'"),
    ],
)
def test_a_page_that_cannot_be_is_refused_in_words(sliders: list[str], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        figure_data(COLUMNS, sliders)

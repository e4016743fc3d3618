"""A living figure on a page before Python wakes: settings calculated beforehand.

The page carries the same `figure.js` as the notebook. Along one or two sliders (and through the
presets) each setting's lines are stored as 16-bit steps over the panel's axes; the browser looks
the setting up and draws it.
"""

from __future__ import annotations

import base64
import itertools
import json
import zlib
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from hoofcalc._inputs import FloatArray, choice, numbers
from hoofcalc.figures.scene import series_points
from hoofcalc.figures.spec import Figure, Slider, Values
from hoofcalc.figures.wire import description, state

_LEVELS = 65534  # 65535 marks a break in a line


def figure_data(
    figure: Figure,
    sliders: Sequence[str],
    steps: Mapping[str, int] | None = None,
) -> dict[str, Any]:
    """What a page must know so that a figure stands at once and moves before Python wakes.

    Parameters
    ----------
    figure
        The figure.
    sliders
        Names of the one or two sliders that move on the page without Python.
    steps
        For a slider by name, into how many steps its way is cut; its own steps, at most 20, where
        nothing is said. The start and the presets always have their place.

    Returns
    -------
    dict
        `spec`, the figure with everything that Python can move; `plain`, what is otherwise where it
        does not wake; `grid`, `frames` and `numbers`, the settings calculated beforehand.

    Raises
    ------
    ValueError
        If there are none or more than two sliders, or one is not the figure's.
    """
    names = tuple(slider.name for slider in figure.sliders)
    if not 1 <= len(sliders) <= 2:
        raise ValueError(f"sliders must name one or two of the figure's (got {len(sliders)})")
    for name in sliders:
        choice("sliders", name, names)
    moved = [slider for slider in figure.sliders if slider.name in sliders]
    settings: list[Values] = [figure.start]
    settings += [{**figure.start, **preset.values} for preset in figure.presets]
    axes = {}
    for slider in moved:
        kept = {float(setting[slider.name]) for setting in settings}
        thinned = _positions(slider, (steps or {}).get(slider.name))
        axes[slider.name] = sorted(kept.union(thinned))
    fixed = [name for name in figure.start if name not in axes]
    # presets that differ on the sliders alone share their frames
    settings = [
        setting
        for at, setting in enumerate(settings)
        if all(any(setting[n] != other[n] for n in fixed) for other in settings[:at])
    ]
    frames: list[dict[str, Any]] = []
    blocks: list[FloatArray] = []
    words = _Words()
    for setting in settings:
        for place in itertools.product(*axes.values()):
            frame = figure.frame({**setting, **dict(zip(axes, place, strict=True))})
            if frame.refusal:
                frames.append({"refusal": frame.refusal, "counts": []})
                continue
            levels = [
                _levels(figure, index, series_points(item, frame.results))
                for index, item in enumerate(figure.series)
            ]
            blocks.extend(levels)
            known = state(figure, frame)
            del known["floats"], known["values"], known["serial"]
            known["counts"] = [len(part) // 2 for part in levels]
            known["texts"] = [words.number(text) for text in known["texts"]]
            for part in ("sentence", "result", "alt"):
                known[part] = words.number(known[part])
            known["table"] = [[words.number(word) for word in row] for row in known["table"]]
            frames.append(known)
    whole, plain = _descriptions(figure, axes, fixed)
    return {
        "spec": whole,
        "plain": plain,
        "grid": {
            "axes": [{"name": name, "values": values} for name, values in axes.items()],
            "fixed": fixed,
            "settings": [{name: setting[name] for name in fixed} for setting in settings],
        },
        "frames": _pack(json.dumps({"frames": frames, "words": words.all}, default=float).encode()),
        "numbers": _pack(np.concatenate(blocks).astype("<u2").tobytes() if blocks else b""),
    }


class _Words:
    """Texts kept once each, by number."""

    def __init__(self) -> None:
        self.all: list[str] = []
        self._where: dict[str, int] = {}

    def number(self, text: str) -> int:
        if text not in self._where:
            self._where[text] = len(self.all)
            self.all.append(text)
        return self._where[text]


def _positions(slider: Slider, steps: int | None) -> list[float]:
    """The settings of a slider on the page: its own, thinned to the wanted number of steps."""
    own = slider.positions()
    if steps is None:
        steps = min(len(own) - 1, 20)  # until Python wakes a coarse way will do
    numbers("steps", steps, at_least=1, whole=True)
    take = np.unique(np.round(np.linspace(0, len(own) - 1, steps + 1)).astype(int))
    return [own[place] for place in take]


def _levels(figure: Figure, index: int, place: FloatArray) -> FloatArray:
    """Points as whole steps over three times the panel's axes, each counted from the one before.

    Three times the axes, so that nothing near them is cut off.
    """
    panel = figure.panels[figure.series[index].panel]
    low = np.array([panel.x_limits[0], panel.y_limits[0]])
    span = np.array([panel.x_limits[1], panel.y_limits[1]]) - low
    level = np.clip(np.round(((place - low) / span + 1) / 3 * _LEVELS), 0, _LEVELS)
    level = np.where(np.isnan(level), _LEVELS + 1, level)
    # from point to point the steps are small, which packs into less than half the room
    return (np.diff(level, axis=0, prepend=0.0) % (_LEVELS + 2)).ravel()


def _descriptions(
    figure: Figure, axes: Mapping[str, list[float]], fixed: list[str]
) -> tuple[dict[str, Any], dict[str, Any]]:
    """What the browser must know where Python moves everything; what is otherwise without it."""
    whole = description(figure)
    without = {
        "sliders": [
            {**one, "positions": axes[one["name"]], "words": _said(figure, one["name"], axes)}
            for one in whole["sliders"]
            if one["name"] in axes
        ],
        "choices": fixed,
        "presets": [
            {**one, "values": {**figure.start, **one["values"]}} for one in whole["presets"]
        ],
        "more": [name for name in whole["more"] if name in axes],
        "play": whole["play"] if whole["play"] in axes else "",
        "oneScreen": False,
        "handles": [],  # every place of every point cannot be calculated beforehand
    }
    return whole, without


def _said(figure: Figure, name: str, axes: Mapping[str, list[float]]) -> list[str]:
    """How each setting of a slider is read, where the slider says it in words."""
    says = next(slider.says for slider in figure.sliders if slider.name == name)
    return [says(value) for value in axes[name]] if says else []


def _pack(block: bytes) -> str:
    """Compressed, and written in letters."""
    return base64.b64encode(zlib.compress(block, 9)).decode("ascii")

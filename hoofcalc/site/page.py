"""A living figure on a plain page, without Jupyter: every setting calculated beforehand.

The page carries the same `figure.js` as the notebook. Along one or two sliders (and through the
presets) each setting's lines are stored as 16-bit steps over the panel's axes; the browser looks
the setting up and draws it. Nothing is fetched from anywhere.
"""

from __future__ import annotations

import base64
import html
import itertools
import json
import zlib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from hoofcalc._inputs import FloatArray, choice, numbers
from hoofcalc.figures.scene import series_points
from hoofcalc.figures.spec import Figure, Slider, Values
from hoofcalc.figures.web import asset
from hoofcalc.figures.wire import description

_LEVELS = 65534  # 65535 marks a break in a line


def page_fragment(
    figure: Figure,
    sliders: Sequence[str],
    steps: Mapping[str, int] | None = None,
    *,
    presets: bool = True,
) -> str:
    """A piece of HTML in which the figure moves by itself, to be laid into any page.

    Parameters
    ----------
    figure
        The figure.
    sliders
        Names of the one or two sliders that move on the page.
    steps
        For a slider by name, into how many steps its way is cut; its own steps, at most 40, where
        nothing is said. The start and the presets always have their place.
    presets
        True to offer the presets too, each calculated along the sliders.

    Returns
    -------
    str
        HTML with the figure's drawing code, backgrounds and frames inside.

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
    if presets and figure.presets:
        settings = [{**figure.start, **preset.values} for preset in figure.presets]
    axes = {}
    for slider in moved:
        kept = {float(setting[slider.name]) for setting in (figure.start, *settings)}
        thinned = _positions(slider, (steps or {}).get(slider.name))
        axes[slider.name] = sorted(kept.union(thinned))
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
            frames.append(
                {
                    "counts": [len(part) // 2 for part in levels],
                    "texts": [words.number(text) for text in figure.texts(frame.results)],
                    "sentence": words.number(frame.sentence),
                    "result": words.number(frame.result),
                    "alt": words.number(frame.alt),
                }
            )
    fixed = [name for name in figure.start if name not in axes]
    data = {
        "spec": _page_description(figure, axes, fixed, presets=presets),
        "grid": {
            "axes": [{"name": name, "values": values} for name, values in axes.items()],
            "fixed": fixed,
            "settings": [{name: setting[name] for name in fixed} for setting in settings],
        },
        "frames": _pack(json.dumps({"frames": frames, "words": words.all}).encode()),
        "numbers": _pack(np.concatenate(blocks).astype("<u2").tobytes() if blocks else b""),
    }
    mark = f"hoofcalc-page-{figure.name}"
    still = html.escape(figure.frame(settings[0]).sentence)
    written = json.dumps(data).replace("</", "<\\/")  # no text may end the script
    code = asset("figure.js")
    return (
        f"<style>{asset('figure.css')}</style>\n"
        f'<div id="{mark}"><p>{still}</p></div>\n'
        f'<script type="application/json" id="{mark}-data">{written}</script>\n'
        f'<script type="module">\n{code}\n'
        f'mountFrames(document.getElementById("{mark}"), '
        f'JSON.parse(document.getElementById("{mark}-data").textContent));\n</script>\n'
    )


def write_page(
    path: Path | str,
    figure: Figure,
    sliders: Sequence[str],
    steps: Mapping[str, int] | None = None,
    *,
    presets: bool = True,
) -> Path:
    """A whole page of its own with one living figure, which opens from a file, offline.

    Parameters
    ----------
    path
        Where the page is written.
    figure, sliders, steps, presets
        As for `page_fragment`.

    Returns
    -------
    Path
        The written file.

    Raises
    ------
    ValueError
        As `page_fragment`.
    """
    title = html.escape(figure.title)
    body = page_fragment(figure, sliders, steps, presets=presets)
    written = Path(path)
    written.write_text(
        "<!doctype html>\n"
        f'<html lang="en"><head><meta charset="utf-8"><title>{title}</title>\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1"></head>\n'
        '<body style="margin:8px;background:#eef1f4">\n'
        f'<h1 style="font:bold 20px Verdana,sans-serif;margin:8px">{title}</h1>\n'
        f"{body}</body></html>\n",
        "utf-8",
    )
    return written


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
        steps = min(len(own) - 1, 40)
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


def _page_description(
    figure: Figure, axes: Mapping[str, list[float]], fixed: list[str], *, presets: bool
) -> dict[str, Any]:
    """What the browser must know, with the sliders that move on the page and no others."""
    spec = description(figure)
    spec["sliders"] = [
        {**one, "positions": axes[one["name"]], "words": _said(figure, one["name"], axes)}
        for one in spec["sliders"]
        if one["name"] in axes
    ]
    spec["choices"] = fixed
    spec["presets"] = [
        {"label": preset.label, "values": {**figure.start, **preset.values}}
        for preset in figure.presets
        if presets
    ]
    spec["more"] = [name for name in spec["more"] if name in axes]
    spec["play"] = spec["play"] if spec["play"] in axes else ""
    spec["oneScreen"] = False  # the table needs Python
    spec["handles"] = []  # every place of every point cannot be calculated beforehand
    others = [slider.label.lower() for slider in figure.sliders if slider.name not in axes]
    if figure.handles:
        others.append("the points in the picture")
    if others:
        more = f"In the notebook you can also move: {', '.join(others)}."
        spec["note"] = f"{spec['note']} {more}".strip()
    return spec


def _said(figure: Figure, name: str, axes: Mapping[str, list[float]]) -> list[str]:
    """How each setting of a slider is read, where the slider says it in words."""
    says = next(slider.says for slider in figure.sliders if slider.name == name)
    return [says(value) for value in axes[name]] if says else []


def _pack(block: bytes) -> str:
    """Compressed, and written in letters."""
    return base64.b64encode(zlib.compress(block, 9)).decode("ascii")

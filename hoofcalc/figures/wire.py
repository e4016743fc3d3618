"""What travels between a living figure and the browser that draws it, as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hoofcalc.figures.scene import COLOURS, PLAIN
from hoofcalc.figures.spec import Figure, Frame


def description(
    figure: Figure,
    boxes: Sequence[tuple[float, float, float, float]],
    images: Sequence[Any],
) -> dict[str, Any]:
    """Everything the browser must know once: controls, panels, backgrounds, series, looks.

    Parameters
    ----------
    figure
        The figure.
    boxes
        Where each panel's axes lie inside it: left, top, right, bottom [pixels].
    images
        What stands for each panel's background: a PNG file, or the words that name it.

    Returns
    -------
    dict
        Plain values, and bytes for the backgrounds.
    """
    return {
        "name": figure.name,
        "title": figure.title,
        "note": figure.note,
        "sliders": [
            {
                "name": slider.name,
                "label": slider.label,
                "unit": slider.unit,
                "positions": slider.positions(),
            }
            for slider in figure.sliders
        ],
        "handles": [
            {
                "name": handle.name,
                "label": handle.label,
                "panel": handle.panel,
                "step": handle.step,
                "x": {"name": handle.x, "limits": list(handle.x_limits)},
                "y": {"name": handle.y, "limits": list(handle.y_limits)},
            }
            for handle in figure.handles
        ],
        "presets": [
            {"label": preset.label, "values": dict(preset.values)} for preset in figure.presets
        ],
        "presets_label": figure.presets_label,
        "choices": list(figure.choices),
        "start": figure.start,
        "panels": [
            {
                "title": panel.title,
                "width": panel.width,
                "height": panel.height,
                "x": list(panel.x_limits),
                "y": list(panel.y_limits),
                "box": list(box),
                "image": picture,
            }
            for panel, box, picture in zip(figure.panels, boxes, images, strict=True)
        ],
        "series": [
            {
                "kind": item.kind,
                "panel": item.panel,
                "colour": COLOURS[item.style.colour],
                "width": item.style.width,
                "dash": list(item.style.dash),
                "fill": COLOURS.get(item.style.fill, ""),
                "fillStrength": item.style.fill_strength,
                "size": item.style.size,
                "mark": item.style.mark,
                "align": item.style.align,
                "ramp": list(item.scale.colours) if item.scale else [],
                "plain": PLAIN,
            }
            for item in figure.series
        ],
    }


def state(figure: Figure, frame: Frame, *, serial: str = "") -> dict[str, Any]:
    """What the browser must know at each move.

    Parameters
    ----------
    figure
        The figure.
    frame
        Its setting and results.
    serial
        The browser's number of the request that this answers.

    Returns
    -------
    dict
        Values, points per series, all points as one block of 32-bit floats, texts and words.
    """
    if frame.refusal:
        return {"serial": serial, "values": dict(frame.values), "refusal": frame.refusal}
    counts, row = figure.floats(frame.results)
    return {
        "serial": serial,
        "values": dict(frame.values),
        "counts": counts,
        "floats": row.tobytes(),
        "texts": figure.texts(frame.results),
        "handles": figure.places(frame.results),
        "sentence": frame.sentence,
        "alt": frame.alt,
        "refusal": "",
    }

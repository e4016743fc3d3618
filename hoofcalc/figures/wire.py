"""What travels between a living figure and the browser that draws it, as plain data."""

from __future__ import annotations

from typing import Any

from hoofcalc.figures.scene import PLAIN, Fixed, Scale, Series, Shades, Style, axis_ticks
from hoofcalc.figures.spec import Figure, Frame, Handle, Slider


def description(figure: Figure) -> dict[str, Any]:
    """Everything the browser must know once: controls, panels, what never moves, series, looks.

    Parameters
    ----------
    figure
        The figure.

    Returns
    -------
    dict
        Plain values.
    """
    return {
        "name": figure.name,
        "title": figure.title,
        "note": figure.note,
        "oneScreen": figure.keeps_to_one_screen,
        "more": list(figure.more),
        "play": figure.play,
        "sliders": [_slider(slider) for slider in figure.sliders],
        "handles": [_handle(handle) for handle in figure.handles],
        "presets": [
            {
                "label": preset.label,
                "values": dict(preset.values),
                "note": preset.note,
                "key": _style(preset.key) if preset.key else None,
            }
            for preset in figure.presets
        ],
        "presets_label": figure.presets_label,
        "choices": list(figure.choices),
        "start": figure.start,
        "panels": [_panel(figure, number) for number in range(len(figure.panels))],
        "series": [_series(item) for item in figure.series],
    }


def _slider(slider: Slider) -> dict[str, Any]:
    positions = slider.positions()
    return {
        "name": slider.name,
        "label": slider.label,
        "unit": slider.unit,
        "positions": positions,
        "words": [slider.says(value) for value in positions] if slider.says else [],
    }


def _handle(handle: Handle) -> dict[str, Any]:
    told: dict[str, Any] = {
        "name": handle.name,
        "label": handle.label,
        "panel": handle.panel,
        "kind": handle.kind,
        "step": handle.step,
        "x": {"name": handle.x, "limits": list(handle.x_limits)},
    }
    if handle.kind == "place":
        told["y"] = {"name": handle.y, "limits": list(handle.y_limits)}
    else:
        told |= {"per": handle.per, "zero": handle.zero_deg, "turns": handle.turns}
        told["level"] = handle.level
    return told


def _style(style: Style) -> dict[str, Any]:
    return {
        "colour": style.colour,
        "width": style.width,
        "dash": list(style.dash),
        "fill": style.fill,
        "fillStrength": style.fill_strength,
        "size": style.size,
        "mark": style.mark,
        "align": style.align,
        "rise": style.rise,
        "bold": style.bold,
        "hollow": style.hollow,
        "fade": style.fade,
        "apart": style.apart,
    }


def _fixed(thing: Fixed) -> dict[str, Any]:
    place = [part for point in thing.points for part in point]
    return {**_style(thing.style), "kind": thing.kind, "place": place, "text": thing.text}


def _series(item: Series) -> dict[str, Any]:
    return {
        **_style(item.style),
        "kind": item.kind,
        "panel": item.panel,
        "wideOnly": item.wide_only,
        "ramp": list(item.scale.colours) if item.scale else [],
        "ownEdge": isinstance(item.scale, Shades),
        "plain": PLAIN,
    }


def _panel(figure: Figure, number: int) -> dict[str, Any]:
    panel = figure.panels[number]
    told: dict[str, Any] = {
        "title": panel.title,
        "width": panel.width,
        "height": panel.height,
        "x": list(panel.x_limits),
        "y": list(panel.y_limits),
        "xLabel": panel.x_label,
        "yLabel": panel.y_label,
        "equal": panel.equal,
        "axes": panel.axes,
        "grid": panel.axes and panel.grid,
        "xTicks": axis_ticks(panel.x_ticks, panel.x_limits, panel.width) if panel.axes else [],
        "yTicks": axis_ticks(panel.y_ticks, panel.y_limits, panel.height, 45) if panel.axes else [],
        "fixed": [_fixed(thing) for thing in panel.fixed],
        "stretch": panel.stretch,
        "belongsTo": list(panel.belongs_to) if panel.belongs_to else None,
        "turnedBy": list(panel.turned_by) if panel.turned_by else None,
        "oldForm": not figure.keeps_to_one_screen,
        "legend": panel.legend,
        "keys": _keys(figure, number) if panel.legend else {"title": "", "lines": []},
    }
    if panel.narrow:
        told["narrow"] = {
            "height": panel.narrow.height,
            "x": list(panel.narrow.x_limits or panel.x_limits),
            "y": list(panel.narrow.y_limits or panel.y_limits),
            "hide": panel.narrow.hide,
            "share": panel.narrow.share,
        }
    return told


def _keys(figure: Figure, number: int) -> dict[str, Any]:
    """The key of a panel: what its lines, areas and colours stand for."""
    here = [item for item in figure.series if item.panel == number]
    lines: list[dict[str, Any]] = [
        {**_style(item.style), "kind": item.kind, "label": item.label}
        for item in here
        if item.label
    ]
    scales = [item.scale for item in here if isinstance(item.scale, Scale)]
    for scale in scales[:1]:
        lines += [
            {"kind": "tiles", "ramp": colour, "label": label}
            for colour, label in zip(scale.colours, scale.labels, strict=True)
        ]
    return {"title": scales[0].title if scales else "", "lines": lines}


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
        "result": frame.result,
        "table": [[row.quantity, row.value, row.interval, row.unit] for row in frame.table],
        "alt": frame.alt,
        "refusal": "",
    }

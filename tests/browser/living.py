"""A figure or a prediction alive in a page of its own; Python answers as a kernel would."""

from __future__ import annotations

from typing import Any

import numpy as np

from hoofcalc.figures import Figure, Prediction
from hoofcalc.figures.prediction import prediction_description
from hoofcalc.figures.web import asset
from hoofcalc.figures.wire import description, state

#: The inside of a notebook's cell beside the file browser, and a telephone.
NOTEBOOK, TELEPHONE = (1280, 800), (390, 844)
_CELL_PX = 810

_FIGURE = """async ([script, spec]) => {
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const { mount } = await import(url);
  const ask = async (values) => {
    const state = await window.kernel(values);
    if (state.floats) state.floats = Float32Array.from(state.floats, (x) => x ?? NaN);
    return state;
  };
  window.figure = mount(document.getElementById("figure"), spec, ask);
}"""
# a notebook whose kernel is slow: it answers what was asked when it is told to
_SLOW = """async ([script, spec]) => {
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const { default: { render } } = await import(url);
  const { setTimeout } = window;
  window.setTimeout = (does, ms) => setTimeout(does, ms / 50); // and its patience is short
  const answered = async ({ values, serial }) => {
    const state = await window.kernel(values);
    return { ...state, serial, floats: Float32Array.from(state.floats, (x) => x ?? NaN) };
  };
  const known = { spec, state: await answered({ values: spec.start, serial: "" }) };
  window.asked = [];
  window.answer = async (at) => {
    known.state = await answered(window.asked[at]);
    window.heard();
  };
  const model = {
    get: (name) => known[name],
    on: (_, does) => (window.heard = does),
    off() {},
    send: (message) => window.asked.push(message),
  };
  render({ model, el: document.getElementById("figure") });
}"""
_PREDICTION = """async ([script, spec]) => {
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const { mountPrediction } = await import(url);
  window.kept = {};
  const memory = {
    remember: (key, value) => (window.kept[key] = JSON.parse(JSON.stringify(value))),
    recall: (key) => window.kept[key],
  };
  mountPrediction(document.getElementById("figure"), spec, window.judge, memory);
}"""

#: Keeps a list of the words on each canvas, with their boxes, as they are written.
WORDS = """
(() => {
  const pen = CanvasRenderingContext2D.prototype;
  const { fillText, clearRect } = pen;
  pen.clearRect = function (...box) {
    this.canvas.words = [];
    return clearRect.apply(this, box);
  };
  pen.fillText = function (text, x, y) {
    const size = this.measureText(text);
    (this.canvas.words ||= []).push({
      text,
      left: x - size.actualBoundingBoxLeft, right: x + size.actualBoundingBoxRight,
      top: y - size.actualBoundingBoxAscent, bottom: y + size.actualBoundingBoxDescent,
    });
    return fillText.apply(this, arguments);
  };
})()
"""
#: Words that run over the edge of their panel, or into each other.
WORDS_IN_TROUBLE = """
() => [...document.querySelectorAll('.hoofcalc-figure .panel:not([hidden])')].flatMap((panel) => {
  const words = [...panel.querySelectorAll('canvas')].flatMap((canvas) => canvas.words || []);
  const within = (low, high, most) => low >= -1.5 && high <= most + 1.5;
  const out = words.filter((one) => !within(one.left, one.right, panel.clientWidth)
    || !within(one.top, one.bottom, panel.clientHeight)).map((one) => `${one.text} | edge`);
  words.forEach((one, at) => words.slice(at + 1).forEach((other) => {
    const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
    const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
    if (across > 1.5 && down > 1.5) out.push(`${one.text} | ${other.text}`);
  }));
  return out;
})
"""


def plain(answer: dict[str, Any]) -> dict[str, Any]:
    """A state whose numbers can cross into the page."""
    if "floats" in answer:
        row = np.frombuffer(answer["floats"], "<f4").astype(object).tolist()
        answer["floats"] = [None if np.isnan(one) else one for one in row]
    return answer


def _blank(page: Any, size: tuple[int, int], style: str, *, dark: bool, still: bool) -> None:
    """A page of that size with a place for the figure: as wide as a cell, or as the telephone."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.emulate_media(
        color_scheme="dark" if dark else "light",
        reduced_motion="reduce" if still else "no-preference",
    )
    wide = min(_CELL_PX, size[0] - 32)
    page.set_content(
        f"<!doctype html><meta name=viewport content='width=device-width'><style>{style}\n"
        f"body {{ margin: 0 16px; background: {'#14171a' if dark else '#f7f4ed'}; }}"
        f"#figure {{ width: {wide}px; }}</style><div id=figure></div>"
        "<div style='height: 1200px'></div>"
    )


def show_figure(
    page: Any,
    figure: Figure,
    size: tuple[int, int] = NOTEBOOK,
    *,
    dark: bool = False,
    still: bool = False,
    slow: bool = False,
) -> Any:
    """The figure in an empty page, or a slow notebook; returns its outermost element."""
    page.expose_function("kernel", lambda values: plain(state(figure, figure.frame(values))))
    _blank(page, size, asset("figure.css"), dark=dark, still=still)
    page.evaluate(_SLOW if slow else _FIGURE, [asset("figure.js"), description(figure)])
    page.wait_for_function(
        "document.querySelector('.hoofcalc-figure .sentence').textContent.length > 20"
    )
    return page.locator(".hoofcalc-figure")


def show_prediction(
    page: Any, prediction: Prediction, size: tuple[int, int] = TELEPHONE, *, dark: bool = False
) -> Any:
    """The card in an empty page; returns its outermost element."""
    page.expose_function("judge", lambda drawn: prediction.judge(drawn).told())
    _blank(page, size, asset("prediction.css"), dark=dark, still=False)
    page.evaluate(_PREDICTION, [asset("prediction.js"), prediction_description(prediction)])
    return page.locator(".hoofcalc-predict")

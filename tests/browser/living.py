"""A figure or a prediction alive in a page of its own; Python answers as a kernel would."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from hoofcalc.figures import EVERY_FIGURE, Figure, Prediction
from hoofcalc.figures.prediction import prediction_description
from hoofcalc.figures.web import asset
from hoofcalc.figures.wire import description, state

#: The inside of a notebook's cell beside the file browser, and a telephone.
NOTEBOOK, TELEPHONE = (1280, 800), (390, 844)
_CELL_PX = 810

# asks Python; numbers come as text, the one block that crosses quickly. `settled` waits until all
# that was asked is answered and drawn; `later` puts the page's clock forward
_ASK = """() => {
  let underway = 0;
  window.ask = async (values) => {
    underway += 1;
    const state = await window.kernel(values).finally(() => (underway -= 1));
    if (state.floats) state.floats = Uint8Array.from(atob(state.floats), (x) => x.charCodeAt(0));
    return state;
  };
  window.settled = async () => {
    do await new Promise((resolve) => setTimeout(resolve)); while (underway);
    await new Promise((resolve) => setTimeout(resolve));
  };
  const now = performance.now.bind(performance);
  let ahead = 0;
  performance.now = () => now() + ahead;
  window.later = (ms) => (ahead += ms);
}"""
_FIGURE = """async ([script, spec]) => {
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const { mount } = await import(url);
  window.figure = mount(document.getElementById("figure"), spec, window.ask);
}"""
# a notebook whose kernel is slow: it answers what was asked when it is told to, and what was asked
# ahead of time in a list of its own
_SLOW = """async ([script, spec]) => {
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const { default: { render } } = await import(url);
  const { setTimeout } = window;
  window.setTimeout = (does, ms) => setTimeout(does, ms / 50); // and its patience is short
  const answered = async ({ values, serial }) => {
    return { ...(await window.ask(values)), serial };
  };
  const known = { spec, state: await answered({ values: spec.start, serial: "" }) };
  window.asked = [];
  window.ahead = [];
  const heard = {};
  window.answer = async (at, changes = {}) => {
    known.state = { ...(await answered(window.asked[at])), ...changes };
    heard["change:state"]();
  };
  window.answerAhead = async (at) => {
    const { floats, ...words } = await answered(window.ahead.splice(at, 1)[0]);
    heard["msg:custom"](words, floats ? [new DataView(floats.buffer)] : []);
  };
  const model = {
    get: (name) => known[name],
    on: (name, does) => (heard[name] = does),
    off() {},
    send: (message) => (message.ahead ? window.ahead : window.asked).push(message),
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

#: Keeps a list of what is drawn on each canvas: words and marks with their boxes, thick lines.
WORDS = """
(() => {
  const pen = CanvasRenderingContext2D.prototype;
  const { fillText, clearRect, arc, rect, beginPath, moveTo, lineTo, stroke } = pen;
  pen.clearRect = function (...box) {
    Object.assign(this.canvas, { words: [], marks: [], lines: [] });
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
  const mark = (canvas, x, y, half) => half > 3 && half < 12 && (canvas.marks ||= [])
    .push({ text: "a mark", left: x - half, right: x + half, top: y - half, bottom: y + half });
  pen.arc = function (x, y, radius) {
    mark(this.canvas, x, y, radius);
    return arc.apply(this, arguments);
  };
  pen.rect = function (x, y, wide, high) {
    if (wide === high) mark(this.canvas, x + wide / 2, y + high / 2, wide / 2);
    return rect.apply(this, arguments);
  };
  pen.beginPath = function () {
    this.path = [];
    return beginPath.apply(this);
  };
  pen.moveTo = function (x, y) {
    (this.path ||= []).push([x, y, true]);
    return moveTo.apply(this, arguments);
  };
  pen.lineTo = function (x, y) {
    (this.path ||= []).push([x, y, false]);
    return lineTo.apply(this, arguments);
  };
  pen.stroke = function () {
    if (this.lineWidth >= 2) (this.canvas.lines ||= []).push(this.path || []);
    return stroke.apply(this, arguments);
  };
})()
"""
#: Words that run over the edge of their panel, into each other, onto a mark, a disc, what is said
#: of it, or, in the panels with axes, a thick line.
WORDS_IN_TROUBLE = """
(axes) => [...document.querySelectorAll('.panel:not([hidden])')].flatMap((panel) => {
  const canvases = [...panel.querySelectorAll('canvas')];
  const own = panel.getBoundingClientRect();
  const seen = (selector, inset, text) => [...panel.querySelectorAll(selector)]
    .filter((one) => one.checkVisibility())
    .map((one) => one.getBoundingClientRect()).map((box) => ({
      text, left: box.left - own.left + inset, right: box.right - own.left - inset,
      top: box.top - own.top + inset, bottom: box.bottom - own.top - inset,
    }));
  const pull = seen('.pull', 0, 'pull');
  const words = [...canvases.flatMap((canvas) => canvas.words || []), ...pull];
  const discs = seen('.disc', 12, 'a disc');
  const marks = [...canvases.flatMap((canvas) => canvas.marks || []), ...discs];
  const within = (low, high, most) => low >= -1.5 && high <= most + 1.5;
  const over = (one, other, by = 1.5) =>
    Math.min(one.right, other.right) - Math.max(one.left, other.left) > by &&
    Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top) > by;
  const out = words.filter((one) => !within(one.left, one.right, panel.clientWidth)
    || !within(one.top, one.bottom, panel.clientHeight)).map((one) => `${one.text} | edge`);
  words.forEach((one, at) => {
    for (const other of [...words.slice(at + 1), ...marks])
      if (over(one, other)) out.push(`${one.text} | ${other.text}`);
  });
  if (!axes.includes(Number(panel.dataset.panel))) return out;
  const lines = canvases.slice(1).flatMap((canvas) => canvas.lines || []);
  for (const one of words)
    if (lines.some((line) => line.some(([x, y, begins], at) => {
      if (begins || !at) return false;
      const [fromX, fromY] = line[at - 1];
      return Array.from({ length: 21 }, (_, step) => step / 20).some((part) => {
        const [right, down] = [fromX + (x - fromX) * part, fromY + (y - fromY) * part];
        return right > one.left && right < one.right
          && down > one.top + 1 && down < one.bottom - 1;
      });
    }))) out.push(`${one.text} | a line`);
  return out;
})
"""


@cache
def _answer(name: str, values: str) -> dict[str, Any]:
    """A state whose numbers can cross into the page."""
    figure = EVERY_FIGURE[name]
    found = state(figure, figure.frame(json.loads(values)))
    if "floats" in found:
        found["floats"] = base64.b64encode(found["floats"]).decode("ascii")
    return found


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
        "body { margin: 0 16px; background: #f7f4ed; }"
        "@media (prefers-color-scheme: dark) { body { background: #14171a; } }"
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
    page.expose_function("kernel", lambda values: _answer(figure.name, json.dumps(values)))
    _blank(page, size, asset("figure.css"), dark=dark, still=still)
    page.evaluate(_ASK)
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


# keep what is seen and said now, and ask whether it has become something else: dot by dot
KEEP = """
() => {
  window.said ||= () => document.querySelector('.sentence').textContent;
  window.pictures ||= () =>
    [...document.querySelectorAll('.panel:not([hidden]) canvas + canvas')].map((canvas) =>
      canvas.width ? new Uint32Array(canvas.getContext('2d')
        .getImageData(0, 0, canvas.width, canvas.height).data.buffer) : []);
  window.before = { said: window.said(), drawn: window.pictures() };
}
"""
IS_OTHER = """
(says) => {
  const told = window.said() !== window.before.said;
  if (says === null && told) return true;
  if (says && !told) return false;
  return window.pictures().some((dots, at) => {
    const before = window.before.drawn[at];
    return dots.length !== before.length || dots.some((dot, number) => dot !== before[number]);
  });
}
"""
# open all that is folded, and bring everything back to its start, as if nothing had been moved
AFRESH = """
async () => {
  for (const one of document.querySelectorAll('details.more')) one.open = true;
  const numbers = document.querySelector('.all-numbers');
  if (numbers) numbers.open = false;
  document.querySelector('.again').click();
  window.scrollTo(0, 0);
  await window.settled();
  return document.querySelector('.sentence').textContent;
}
"""


@dataclass
class Shown:
    """A figure alive in a page."""

    page: Any
    figure: Figure
    size: tuple[int, int]
    troubles: list[str]

    @property
    def on_telephone(self) -> bool:
        return self.size == TELEPHONE

    def afresh(self) -> None:
        """As it stands at first."""
        assert self.page.evaluate(AFRESH) == self.figure.frame({}).sentence

    def settled(self) -> None:
        """Wait until all that was asked is drawn."""
        self.page.evaluate("window.settled()")

    def changes(self, does: Callable[[], Any], *, says: bool | None = False) -> None:
        """The picture changes; with True the sentence too, with None one of them is enough."""
        self.page.evaluate(KEEP)
        does()
        self.settled()
        if not self.page.evaluate(IS_OTHER, says):
            self.page.wait_for_function(IS_OTHER, arg=says)

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """The hand takes hold, moves and lets go."""
        mouse = self.page.mouse
        mouse.move(*start)
        mouse.down()
        mouse.move(*end, steps=4)
        mouse.up()

    def knob(self, name: str) -> Any:
        """The slider of that name."""
        return self.page.locator(f"input[type=range][data-name={name}]")

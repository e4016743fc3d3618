// The browser's half of a living figure: sliders, presets, picture, sentence.
//
// mount(element, spec, source) draws it; source(values) answers with a state (a promise or the
// state itself). In a notebook the source asks the kernel, on a plain page it looks the state up
// among frames calculated beforehand. No other code is loaded.

const PATIENCE_MS = 5000;
let count = 0;

function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value !== false && value !== null) node.setAttribute(name, value);
  }
  // the notebook would take the arrow keys for itself; it looks at the control with the focus
  if (tag === "input" || tag === "button") node.setAttribute("data-lm-suppress-shortcuts", "true");
  node.append(...children);
  return node;
}

// A number as a reader wants it: three digits that count, no trailing zeros.
function plain(value) {
  return String(Number(Number(value).toPrecision(4)));
}

function nearest(positions, value) {
  let best = 0;
  positions.forEach((position, at) => {
    if (Math.abs(position - value) < Math.abs(positions[best] - value)) best = at;
  });
  return best;
}

function floatsOf(block) {
  // the block may start at an odd address, where a Float32Array cannot
  const bytes = block.buffer
    ? block.buffer.slice(block.byteOffset, block.byteOffset + block.byteLength)
    : block;
  return new Float32Array(bytes);
}

function within(value, [low, high]) {
  return Math.min(Math.max(value, low), high);
}

// ---------------------------------------------------------------- drawing

// Pixels of a panel for a unit of its data, and from data to pixels.
function mapping(panel) {
  const [left, top, right, bottom] = panel.box;
  const across = (right - left) / (panel.x[1] - panel.x[0]);
  const up = (bottom - top) / (panel.y[1] - panel.y[0]);
  return {
    across,
    up,
    px: (x) => left + (x - panel.x[0]) * across,
    py: (y) => bottom - (y - panel.y[0]) * up,
  };
}

function drawPanel(canvas, panel, number, spec, state, points, pale) {
  const shown = canvas.clientWidth;
  if (!shown) return;
  const scale = shown / panel.width;
  const dots = Math.min(window.devicePixelRatio || 1, 3);
  const width = Math.round(shown * dots);
  const height = Math.round(panel.height * scale * dots);
  if (canvas.width !== width) canvas.width = width;
  if (canvas.height !== height) canvas.height = height;
  const pen = canvas.getContext("2d");
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.clearRect(0, 0, canvas.width, canvas.height);
  pen.setTransform(scale * dots, 0, 0, scale * dots, 0, 0);
  pen.globalAlpha = pale ? 0.3 : 1;
  const [left, top, right, bottom] = panel.box;
  const { px, py } = mapping(panel);
  spec.series.forEach((series, index) => {
    const place = points[index];
    if (series.panel !== number || !place.length) return;
    pen.save();
    if (series.kind !== "words") {
      pen.beginPath();
      pen.rect(left, top, right - left, bottom - top);
      pen.clip();
    }
    pen.strokeStyle = pen.fillStyle = series.colour;
    pen.lineWidth = series.width;
    pen.lineJoin = "round";
    pen.lineCap = series.dash.length || series.kind === "arrow" ? "butt" : "round";
    pen.setLineDash(series.dash);
    DRAW[series.kind](pen, series, place, px, py, state.texts[index]);
    pen.restore();
  });
}

function trace(pen, place, px, py) {
  let down = false;
  pen.beginPath();
  for (let at = 0; at < place.length; at += 2) {
    const x = px(place[at]);
    const y = py(place[at + 1]);
    if (Number.isNaN(x) || Number.isNaN(y)) down = false;
    else if (down) pen.lineTo(x, y);
    else {
      pen.moveTo(x, y);
      down = true;
    }
  }
}

const DRAW = {
  line(pen, series, place, px, py) {
    trace(pen, place, px, py);
    pen.stroke();
  },
  area(pen, series, place, px, py) {
    trace(pen, place, px, py);
    pen.closePath();
    if (series.fill) {
      const before = pen.globalAlpha;
      pen.globalAlpha = before * series.fillStrength;
      pen.fillStyle = series.fill;
      pen.fill();
      pen.globalAlpha = before;
    }
    if (series.width > 0) pen.stroke();
  },
  points(pen, series, place, px, py) {
    const half = series.size / 2;
    for (let at = 0; at < place.length; at += 2) {
      const x = px(place[at]);
      const y = py(place[at + 1]);
      pen.beginPath();
      if (series.mark === "cross") {
        pen.moveTo(x - half, y - half);
        pen.lineTo(x + half, y + half);
        pen.moveTo(x - half, y + half);
        pen.lineTo(x + half, y - half);
        pen.stroke();
        continue;
      }
      if (series.mark === "ring") {
        pen.arc(x, y, half, 0, 2 * Math.PI);
        for (const [right, down] of [[1, 0], [0, 1], [-1, 0], [0, -1]]) {
          pen.moveTo(x + (right * half) / 4, y + (down * half) / 4);
          pen.lineTo(x + right * half, y + down * half);
        }
        const colour = pen.strokeStyle;
        pen.strokeStyle = "#ffffff";
        pen.lineWidth = series.width + 3;
        pen.stroke();
        pen.strokeStyle = colour;
        pen.lineWidth = series.width;
        pen.stroke();
        continue;
      }
      if (series.mark === "square") pen.rect(x - half, y - half, series.size, series.size);
      else pen.arc(x, y, half, 0, 2 * Math.PI);
      pen.fill();
      pen.strokeStyle = "#ffffff";
      pen.lineWidth = 1;
      pen.stroke();
    }
  },
  // outlines parted by NaN, one over the other; the text holds the class of each
  tiles(pen, series, place, px, py, classes) {
    let number = -1;
    let begun = false;
    const close = () => {
      if (!begun) return;
      pen.closePath();
      pen.fillStyle = series.ramp[classes[number]] || series.plain;
      pen.fill();
      if (series.width > 0) pen.stroke();
      begun = false;
    };
    for (let at = 0; at < place.length; at += 2) {
      const x = px(place[at]);
      const y = py(place[at + 1]);
      if (Number.isNaN(x) || Number.isNaN(y)) close();
      else if (begun) pen.lineTo(x, y);
      else {
        number += 1;
        begun = true;
        pen.beginPath();
        pen.moveTo(x, y);
      }
    }
    close();
  },
  arrow(pen, series, place, px, py) {
    const [x0, y0, x1, y1] = [px(place[0]), py(place[1]), px(place[2]), py(place[3])];
    const length = Math.hypot(x1 - x0, y1 - y0);
    if (!length) return;
    const head = Math.min(series.width * 3.5, length);
    const [ux, uy] = [(x1 - x0) / length, (y1 - y0) / length];
    const [bx, by] = [x1 - ux * head, y1 - uy * head];
    pen.beginPath();
    pen.moveTo(x0, y0);
    pen.lineTo(bx, by);
    pen.stroke();
    pen.setLineDash([]);
    pen.beginPath();
    pen.moveTo(x1, y1);
    pen.lineTo(bx - (uy * head) / 2, by + (ux * head) / 2);
    pen.lineTo(bx + (uy * head) / 2, by - (ux * head) / 2);
    pen.closePath();
    pen.fill();
  },
  words(pen, series, place, px, py, text) {
    pen.font = `bold ${series.size}px "DejaVu Sans", Verdana, system-ui, sans-serif`;
    pen.textAlign = series.align === "centre" ? "center" : series.align;
    pen.textBaseline = "middle";
    pen.lineWidth = 4;
    pen.lineJoin = "round";
    pen.strokeStyle = "#ffffff";
    pen.strokeText(text, px(place[0]), py(place[1]));
    pen.fillText(text, px(place[0]), py(place[1]));
  },
};

// ---------------------------------------------------------------- the figure

export function mount(el, spec, source, first) {
  const id = `hoofcalc-${(count += 1)}-${Math.random().toString(36).slice(2, 7)}`;
  const current = { ...spec.start, ...(first ? first.values : {}) };
  let last = null; // the last state with a picture
  let points = [];
  let refused = false;
  let busy = false;
  let wanted = null;
  let closed = false;

  const root = make("section", { class: "hoofcalc-figure", "aria-label": spec.title });
  const sentence = make("p", { class: "sentence", "aria-live": "polite" });
  const notice = make("p", { class: "notice", role: "alert" });
  // a picture with points to move in it is a group: what lies inside an image cannot be reached
  const panels = make("div", { class: "panels", role: spec.handles.length ? "group" : "img" });
  const shrink = Math.min(1, 330 / Math.max(...spec.panels.map((panel) => panel.width)));
  const canvases = spec.panels.map((panel) => {
    const canvas = make("canvas", { "aria-hidden": "true" });
    const image = make("img", { src: panel.image, alt: "", draggable: "false" });
    const box = make("div", { class: "panel" }, image, canvas);
    box.style.aspectRatio = `${panel.width} / ${panel.height}`;
    // all panels of a row shrink and grow alike, so that a length is the same in each
    box.style.flex = `${panel.width} 1 ${Math.round(panel.width * shrink)}px`;
    box.style.maxWidth = `${Math.round(panel.width * 1.15)}px`;
    panels.append(box);
    return canvas;
  });

  // one invisible grip over each point that can be moved; the point itself is drawn as a series
  const hint = make("p", { class: "hint" });
  const grips = spec.handles.map((handle, number) => {
    const panel = spec.panels[handle.panel];
    const knob = make("div", {
      class: "grip",
      role: "slider",
      tabindex: 0,
      "aria-label": handle.label,
      "aria-roledescription": "point to move",
      "aria-valuemin": handle.x.limits[0],
      "aria-valuemax": handle.x.limits[1],
      "data-handle": handle.name,
      "data-lm-suppress-shortcuts": "true", // arrow keys move the point, not the notebook
    });
    canvases[handle.panel].parentNode.append(knob);
    // where it would stand with both its numbers at 0, by the last picture
    const origin = () => {
      const [x, y] = last.handles[number].at;
      return [x - last.values[handle.x.name], y - last.values[handle.y.name]];
    };
    const show = () => {
      if (!last) return;
      const { px, py } = mapping(panel);
      const [x, y] = origin();
      knob.style.left = `${(100 * px(x + current[handle.x.name])) / panel.width}%`;
      knob.style.top = `${(100 * py(y + current[handle.y.name])) / panel.height}%`;
      const words = last.handles[number].says;
      knob.setAttribute("aria-valuenow", plain(current[handle.x.name]));
      knob.setAttribute("aria-valuetext", words);
      if (document.activeElement === knob) hint.textContent = `${handle.label}: ${words}.`;
    };
    const go = (x, y) => {
      if (!last) return;
      notice.textContent = "";
      const at = origin();
      const inside = [panel.x, panel.y].map((ends, axis) => ends.map((end) => end - at[axis]));
      const tidy = (value) => Math.round(value * 100) / 100;
      current[handle.x.name] = tidy(within(within(x, inside[0]), handle.x.limits));
      current[handle.y.name] = tidy(within(within(y, inside[1]), handle.y.limits));
      show();
      ask();
    };
    knob.addEventListener("keydown", (event) => {
      const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
      if (!way || event.ctrlKey || event.altKey || event.metaKey) return;
      event.preventDefault();
      const far = handle.step * (event.shiftKey ? 10 : 1);
      go(current[handle.x.name] + far * way[0], current[handle.y.name] + far * way[1]);
    });
    let held = null; // where pointer and point were when it was taken
    knob.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      knob.focus({ preventScroll: true });
      knob.setPointerCapture(event.pointerId);
      held = [event.clientX, event.clientY, current[handle.x.name], current[handle.y.name]];
    });
    knob.addEventListener("pointermove", (event) => {
      if (!held) return;
      const { across, up } = mapping(panel);
      const scale = canvases[handle.panel].clientWidth / panel.width;
      go(
        held[2] + (event.clientX - held[0]) / (scale * across),
        held[3] - (event.clientY - held[1]) / (scale * up),
      );
    });
    for (const end of ["pointerup", "pointercancel"]) knob.addEventListener(end, () => (held = null));
    knob.addEventListener("focus", show);
    knob.addEventListener("blur", howTo);
    return show;
  });
  function howTo() {
    hint.textContent =
      "Move the points with the mouse or a finger. Or go to one with the Tab key and use the arrow keys, with Shift for larger steps.";
  }
  howTo();

  // one row for each slider
  const rows = spec.sliders.map((slider) => {
    const name = `${id}-${slider.name}`;
    const ends = [slider.positions[0], slider.positions[slider.positions.length - 1]];
    const range = make("input", {
      type: "range",
      id: name,
      min: 0,
      max: slider.positions.length - 1,
      step: 1,
      "data-name": slider.name,
    });
    const number = make("input", {
      type: "text",
      inputmode: "decimal",
      autocomplete: "off",
      "aria-label": `${slider.label}, number from ${plain(ends[0])} to ${plain(ends[1])} ${slider.unit}`,
      "data-number": slider.name,
    });
    const show = (wish) => {
      const value = source.exact === false ? slider.positions[nearest(slider.positions, wish)] : wish;
      current[slider.name] = value;
      range.value = nearest(slider.positions, value);
      range.setAttribute("aria-valuetext", `${plain(value)} ${slider.unit}`);
      number.value = plain(value);
    };
    range.addEventListener("input", () => {
      notice.textContent = "";
      show(slider.positions[Number(range.value)]);
      ask();
    });
    const typed = () => {
      const text = number.value.trim().replace(",", ".");
      const value = Number(text);
      if (text === plain(current[slider.name])) return; // nothing new; a message may still stand
      if (text === "" || !Number.isFinite(value)) {
        notice.textContent = `${slider.label}: "${number.value}" is not a number. It stays at ${plain(current[slider.name])} ${slider.unit}.`;
      } else if (value < ends[0] || value > ends[1]) {
        notice.textContent = `${slider.label} goes from ${plain(ends[0])} to ${plain(ends[1])} ${slider.unit}; ${plain(value)} was not used.`;
      } else {
        const used = source.exact === false ? slider.positions[nearest(slider.positions, value)] : value;
        notice.textContent =
          used === value ? "" : `${slider.label}: the nearest setting on this page is ${plain(used)} ${slider.unit}.`;
        show(used);
        ask();
        return;
      }
      number.value = plain(current[slider.name]);
    };
    number.addEventListener("change", typed);
    number.addEventListener("keydown", (event) => {
      if (event.key === "Enter") typed();
    });
    show(current[slider.name]);
    const row = make(
      "div",
      { class: "row" },
      make("label", { for: name }, slider.label),
      range,
      make("span", { class: "value" }, number, make("span", { class: "unit" }, slider.unit)),
    );
    return { slider, show, row };
  });

  function settle(values) {
    Object.assign(current, values);
    rows.forEach(({ slider, show }) => show(current[slider.name]));
    grips.forEach((show) => show());
    mark();
  }

  // a preset is marked where its choices are the present ones
  const buttons = spec.presets.map((preset) =>
    make(
      "button",
      {
        type: "button",
        onclick: () => {
          notice.textContent = "";
          settle(preset.values);
          ask();
        },
      },
      preset.label,
    ),
  );
  function mark() {
    const fits = (preset, names) => names.every((name) => preset.values[name] === current[name]);
    let pressed = spec.presets.map((preset) => {
      const named = spec.choices.filter((name) => name in preset.values);
      return fits(preset, named.length ? named : Object.keys(preset.values));
    });
    // presets that differ in their sliders alone are told apart by these
    if (pressed.filter(Boolean).length > 1)
      pressed = spec.presets.map(
        (preset, at) => pressed[at] && fits(preset, Object.keys(preset.values)),
      );
    pressed.forEach((on, at) => buttons[at].setAttribute("aria-pressed", String(on)));
  }
  mark();
  const reset = make(
    "button",
    {
      type: "button",
      class: "reset",
      onclick: () => {
        notice.textContent = "";
        settle(spec.start);
        ask();
      },
    },
    "Reset",
  );

  // Ask for the present setting; while an answer is awaited only the newest wish is kept.
  async function ask() {
    wanted = { ...current };
    mark();
    if (busy) return;
    busy = true;
    try {
      while (wanted && !closed) {
        const values = wanted;
        wanted = null;
        const answer = source(values);
        draw(answer && typeof answer.then === "function" ? await answer : answer);
      }
    } catch (trouble) {
      notice.textContent = trouble.message;
    } finally {
      busy = false;
    }
  }

  function draw(state) {
    if (closed || !state || !state.values) return;
    refused = Boolean(state.refusal);
    if (refused) {
      sentence.textContent = state.refusal;
    } else {
      const row = floatsOf(state.floats);
      let from = 0;
      points = state.counts.map((number) => row.subarray(from, (from += 2 * number)));
      last = state;
      sentence.textContent = state.sentence;
      panels.setAttribute("aria-label", state.alt);
    }
    paint();
  }

  function paint() {
    if (!last) return;
    canvases.forEach((canvas, at) => drawPanel(canvas, spec.panels[at], at, spec, last, points, refused));
    grips.forEach((show) => show());
  }

  root.append(
    buttons.length
      ? make(
          "div",
          { class: "presets", role: "group", "aria-label": spec.presets_label },
          make("span", { class: "presets-label" }, spec.presets_label),
          ...buttons,
          reset,
        )
      : "",
    make("div", { class: "sliders" }, ...rows.map(({ row }) => row), buttons.length ? "" : reset),
    notice,
    // with points to move the picture comes first, so that it does not shift under the hand
    ...(grips.length ? [panels, hint, sentence] : [sentence, panels]),
    spec.note ? make("p", { class: "note" }, spec.note) : "",
  );
  el.replaceChildren(root);
  const watch = new ResizeObserver(paint);
  watch.observe(panels);
  if (first) draw(first);
  else ask();
  return {
    draw,
    settle,
    close() {
      closed = true;
      watch.disconnect();
    },
  };
}

// ---------------------------------------------------------------- in a notebook: ask the kernel

function imageAddress(block) {
  return URL.createObjectURL(new Blob([block], { type: "image/png" }));
}

function render({ model, el }) {
  const spec = structuredClone(model.get("spec"));
  spec.panels.forEach((panel) => (panel.image = imageAddress(panel.image)));
  const waiting = new Map();
  const source = (values) =>
    new Promise((resolve, reject) => {
      const serial = Math.random().toString(36).slice(2);
      const late = setTimeout(() => {
        waiting.delete(serial);
        reject(new Error("The notebook does not answer: it is busy or its kernel has stopped. Wait, or run this cell again."));
      }, PATIENCE_MS);
      waiting.set(serial, (state) => {
        clearTimeout(late);
        resolve(state);
      });
      model.send({ values, serial });
    });
  const figure = mount(el, spec, source, model.get("state"));
  const changed = () => {
    const state = model.get("state");
    const answer = waiting.get(state.serial);
    waiting.delete(state.serial);
    if (answer) answer(state);
    else {
      // moved from a code cell, or in another view of the same figure
      if (!state.refusal) figure.settle(state.values);
      figure.draw(state);
    }
  };
  model.on("change:state", changed);
  return () => {
    model.off("change:state", changed);
    figure.close();
    spec.panels.forEach((panel) => URL.revokeObjectURL(panel.image));
  };
}

export default { render };

// ---------------------------------------------------------------- on a plain page: frames

async function unpack(text) {
  const packed = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Response(stream).arrayBuffer();
}

// Frames are stored one after the other; a frame's number follows from the grid of settings.
export async function mountFrames(el, data) {
  const { spec, grid } = data;
  const { frames, words } = JSON.parse(new TextDecoder().decode(await unpack(data.frames)));
  const numbers = new Uint16Array(await unpack(data.numbers));
  const ends = spec.series.map((series) => spec.panels[series.panel]);
  const from = [];
  let sum = 0;
  for (const frame of frames) {
    from.push(sum);
    sum += 2 * frame.counts.reduce((a, b) => a + b, 0);
  }
  const find = (values) => {
    let at = grid.settings.findIndex((setting) => grid.fixed.every((name) => setting[name] === values[name]));
    at = Math.max(at, 0);
    for (const axis of grid.axes) at = at * axis.values.length + nearest(axis.values, values[axis.name]);
    return at;
  };
  const source = (values) => {
    const at = find(values);
    const frame = frames[at];
    if (frame.refusal) return { values, refusal: frame.refusal };
    let place = from[at];
    const row = new Float32Array(2 * frame.counts.reduce((a, b) => a + b, 0));
    let to = 0;
    frame.counts.forEach((number, series) => {
      const levels = [0, 0]; // each point is stored as its step from the one before
      for (let point = 0; point < 2 * number; point += 1) {
        const [low, high] = point % 2 ? ends[series].y : ends[series].x;
        const level = (levels[point % 2] = (levels[point % 2] + numbers[place++]) % 65536);
        // 65535 breaks a line; the rest spans three times the axis, so that nothing is cut short
        row[to++] = level === 65535 ? NaN : low + (high - low) * ((3 * level) / 65534 - 1);
      }
    });
    return {
      values,
      counts: frame.counts,
      floats: row,
      texts: frame.texts.map((number) => words[number]),
      sentence: words[frame.sentence],
      alt: words[frame.alt],
      refusal: "",
    };
  };
  source.exact = false;
  return mount(el, spec, source);
}

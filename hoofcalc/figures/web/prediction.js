// Draw it before you see it. mountPrediction(element, spec, judge, memory) shows the card;
// judge(heights) answers { name, belief, says } or a promise of it, as long as that may take;
// memory is { remember(key, value), recall(key) }, or nothing.

const PLANE_HIGH = 290;

export function mountPrediction(el, spec, judge, memory) {
  const many = spec.columns.length;
  const key = `predict/${spec.name}`;
  const fixed = spec.start === null ? 0 : 1; // the first column is given
  const [low, high] = spec.y.limits;
  const blank = () => spec.columns.map((_, at) => (fixed && at === 0 ? spec.start : null));
  let heights = blank();
  let column = fixed;
  let open = false;

  const root = make("section", { class: "hoofcalc hoofcalc-predict", "aria-label": spec.heading });
  const colour = paletteOf(root);
  const canvas = make("canvas", { "aria-hidden": "true" });
  const plane = make("div", {
    class: "plane", tabindex: 0, role: "application", "data-lm-suppress-shortcuts": "true",
    "aria-label": `${spec.y.label} over ${spec.x.label}. Draw a curve: left and right go from column to column, up and down set its height.`,
  }, canvas);
  const told = make("p", { class: "heard", "aria-live": "polite" });
  const rub = make("button", { type: "button", onclick: rubOut }, "Rub out");
  const show = make("button", { type: "button", class: "main", onclick: reveal }, "Show what is true");
  const nudge = (sign, says, arrow) => make("button", { type: "button", class: "nudge", "aria-label": says, onclick: () => press(arrow) }, sign);
  const reply = make("div", { class: "reply", "aria-live": "polite", hidden: "" });

  const shareX = (at) => at / (many - 1);
  let place = null; // from column and value to pixels
  const standing = () => {
    const width = canvas.clientWidth;
    const pen = canvas.getContext("2d");
    pen.font = "14px system-ui, sans-serif";
    const left = 14 + Math.max(...spec.y.ticks.map(([, words]) => pen.measureText(words).width));
    const [top, right, bottom] = [34, width - 14, PLANE_HIGH - 46];
    place = {
      width, left, top, right, bottom,
      x: (at) => left + shareX(at) * (right - left),
      y: (value) => bottom - ((value - low) / (high - low)) * (bottom - top),
      column: (x) => Math.round(within((x - left) / (right - left), [0, 1]) * (many - 1)),
      value: (y) => low + within((bottom - y) / (bottom - top), [0, 1]) * (high - low),
      // values along x need not be even: a tick stands between its columns
      tick: (value) => {
        const rises = spec.columns[many - 1] > spec.columns[0];
        const past = spec.columns.findIndex((own) => (rises ? own >= value : own <= value));
        if (past <= 0) return left + (past < 0 ? 1 : 0) * (right - left);
        const [a, b] = [spec.columns[past - 1], spec.columns[past]];
        return left + shareX(past - 1 + (value - a) / (b - a)) * (right - left);
      },
    };
  };

  function paint() {
    if (!canvas.clientWidth) return;
    standing();
    const dots = Math.min(window.devicePixelRatio || 1, 3);
    canvas.width = Math.round(place.width * dots);
    canvas.height = Math.round(PLANE_HIGH * dots);
    const pen = canvas.getContext("2d");
    pen.setTransform(dots, 0, 0, dots, 0, 0);
    pen.clearRect(0, 0, place.width, PLANE_HIGH);
    drawAxes(pen, spec, place, colour);
    const drawn = heights.filter((value) => value !== null).length;
    if (drawn < 3 && !open) {
      pen.font = "16px system-ui, sans-serif";
      pen.fillStyle = colour("quiet");
      pen.textAlign = "center";
      const upper = fixed && (spec.start - low) / (high - low) > 0.5;
      const hint = ["Draw here with your finger", (place.left + place.right) / 2, place.y(low + (upper ? 0.3 : 0.75) * (high - low))];
      pen.strokeStyle = colour("ground"); // the grid's lines end beside the words
      pen.lineWidth = 6;
      pen.strokeText(...hint);
      pen.fillText(...hint);
    }
    if (open) drawTruth(pen, spec, place, colour);
    drawCurve(pen, heights, place, { colour: colour("mine"), width: 4, dash: open ? [1, 8] : [] });
    if (fixed) drawStart(pen, spec, place, colour, !open);
    if (document.activeElement === plane && !open) drawCursor(pen, column, heights[column], place, colour);
    if (open) drawTelling(pen, spec, heights, place, colour);
    show.disabled = open || drawn < spec.enough * many;
    rub.disabled = drawn <= fixed && !open;
  }

  // ------------------------------------------------------------ drawing

  let stroke = null; // column and value of the last point of this stroke
  // From the last point to this one; a first point joins the nearest drawn one to its left.
  function draw(at, value) {
    at = Math.max(at, fixed);
    let from = stroke ? stroke.at : at;
    let height = stroke ? stroke.value : value;
    if (!stroke) {
      let left = at - 1;
      while (left >= 0 && heights[left] === null) left -= 1;
      if (left >= 0 && left < at) [from, height] = [left, heights[left]];
    }
    for (let one = Math.min(from, at); one <= Math.max(from, at); one += 1) {
      if (one < fixed) continue;
      heights[one] = one === at || from === at ? value : height + ((value - height) * (one - from)) / (at - from);
    }
    stroke = { at, value };
    column = at;
    paint();
  }
  const pointed = (event) => {
    const box = canvas.getBoundingClientRect();
    draw(place.column(event.clientX - box.left), place.value(event.clientY - box.top));
  };
  plane.addEventListener("pointerdown", (event) => {
    if (open || event.button !== 0) return;
    event.preventDefault();
    plane.focus({ preventScroll: true });
    plane.setPointerCapture(event.pointerId);
    stroke = null;
    pointed(event);
    plane.onpointermove = pointed;
  });
  for (const end of ["pointerup", "pointercancel"])
    plane.addEventListener(end, () => {
      plane.onpointermove = null;
      stroke = null;
      keep();
    });
  function press(arrow, far = 1) {
    if (open) return;
    if (arrow === "ArrowLeft" || arrow === "ArrowRight") {
      const before = heights[column];
      column = within(column + (arrow === "ArrowRight" ? far : -far), [fixed, many - 1]);
      if (heights[column] === null) {
        stroke = null;
        draw(column, before ?? heights[column - 1] ?? (low + high) / 2);
      }
    } else {
      const own = heights[column] ?? heights[column - 1] ?? (low + high) / 2;
      const step = (high - low) / 25;
      heights[column] = within(own + (arrow === "ArrowUp" ? far : -far) * step, [Math.min(low, high), Math.max(low, high)]);
    }
    stroke = null;
    told.textContent = `${read(spec.x, spec.columns[column])}: ${read(spec.y, heights[column] ?? low)}`;
    keep();
    paint();
  }
  plane.addEventListener("keydown", (event) => {
    if (!event.key.startsWith("Arrow") || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    press(event.key, event.shiftKey ? 5 : 1);
  });
  plane.addEventListener("focus", paint);
  plane.addEventListener("blur", paint);

  // ------------------------------------------------------------ the true curve, and the message

  function keep() {
    if (memory) memory.remember(key, { drawn: heights, shown: open });
  }
  function rubOut() {
    heights = blank();
    column = fixed;
    open = false;
    reply.hidden = true;
    reply.replaceChildren();
    keep();
    paint();
  }
  async function reveal() {
    open = true;
    keep();
    paint();
    reply.hidden = false;
    reply.replaceChildren(make("p", {}, "Your curve is kept. What it says comes in a moment."));
    const mine = heights.slice();
    let verdict;
    try {
      verdict = await judge(mine);
    } catch (trouble) {
      verdict = { name: "other", belief: "", says: trouble.message };
    }
    if (!open || mine.some((value, at) => value !== heights[at])) return; // rubbed out meanwhile
    reply.replaceChildren(
      verdict.belief ? make("p", { class: "belief" }, verdict.belief) : "",
      make("p", {}, verdict.says),
      spec.then ? make("p", {}, spec.then) : "",
    );
  }

  root.append(
    make("h3", {}, spec.heading),
    make("p", {}, spec.ask),
    plane,
    make("div", { class: "bar" },
      nudge("\u2190", "Column to the left", "ArrowLeft"), nudge("\u2193", "Lower", "ArrowDown"),
      nudge("\u2191", "Higher", "ArrowUp"), nudge("\u2192", "Column to the right", "ArrowRight"),
      rub, show),
    reply,
    make("p", { class: "note" }, `No mark for it. You may also tap point by point, or use the arrow keys. ${spec.note}`.trim()),
    told,
  );
  el.replaceChildren(root);
  const unwatch = followScheme(root, () => {
    colour.forget();
    paint();
  });
  const watch = new ResizeObserver(paint);
  watch.observe(plane);
  const recall = async () => {
    const kept = memory ? await memory.recall(key) : null;
    if (!kept || !Array.isArray(kept.drawn) || kept.drawn.length !== many) return;
    if (heights.filter((value) => value !== null).length > fixed) return; // already drawing
    heights = kept.drawn.map((value) => (Number.isFinite(value) ? within(value, [Math.min(low, high), Math.max(low, high)]) : null));
    if (fixed) heights[0] = spec.start;
    paint();
    if (kept.shown && heights.filter((value) => value !== null).length >= spec.enough * many) reveal();
  };
  recall();
  return {
    close() {
      watch.disconnect();
      unwatch();
    },
  };
}

function read(axis, value) {
  return `${axis.before}${Number(value).toFixed(axis.digits)}${axis.after}`;
}

function drawAxes(pen, spec, place, colour) {
  const straight = (x0, y0, x1, y1, name, width) => {
    pen.strokeStyle = colour(name);
    pen.lineWidth = width;
    pen.beginPath();
    pen.moveTo(x0, y0);
    pen.lineTo(x1, y1);
    pen.stroke();
  };
  const write = (words, x, y, align, name) => {
    pen.fillStyle = colour(name);
    pen.textAlign = align;
    pen.fillText(words, x, y);
  };
  pen.font = "14px system-ui, sans-serif";
  pen.textBaseline = "alphabetic";
  for (const [value, words] of spec.y.ticks) {
    straight(place.left, place.y(value), place.right, place.y(value), "hair", 1);
    write(words, place.left - 7, place.y(value) + 5, "right", "quiet");
  }
  for (const [value, words] of spec.x.ticks) {
    const x = place.tick(value);
    straight(x, place.bottom, x, place.bottom + 5, "edge", 1);
    const half = pen.measureText(words).width / 2;
    const inside = within(x, [half, place.width - half]); // a long word at the end is not cut
    write(words, inside, place.bottom + 20, "center", "quiet");
  }
  straight(place.left, place.bottom, place.right, place.bottom, "ink", 2);
  write(spec.x.label, place.right, PLANE_HIGH - 6, "right", "ink");
  write(spec.y.label, 6, 18, "left", "ink");
}

function drawCurve(pen, values, place, { colour, width, dash }) {
  pen.save();
  pen.strokeStyle = colour;
  pen.lineWidth = width;
  pen.lineJoin = pen.lineCap = "round";
  pen.setLineDash(dash);
  pen.beginPath();
  let down = false;
  values.forEach((value, at) => {
    if (value === null) down = false;
    else if (down) pen.lineTo(place.x(at), place.y(value));
    else {
      pen.moveTo(place.x(at), place.y(value));
      down = true;
    }
  });
  pen.stroke();
  pen.restore();
}

function drawTruth(pen, spec, place, colour) {
  if (spec.low.length) {
    pen.save();
    pen.globalAlpha = 0.18;
    pen.fillStyle = colour("act");
    pen.beginPath();
    spec.low.forEach((value, at) => pen.lineTo(place.x(at), place.y(value)));
    for (let at = spec.high.length - 1; at >= 0; at -= 1) pen.lineTo(place.x(at), place.y(spec.high[at]));
    pen.fill();
    pen.restore();
  }
  drawCurve(pen, spec.truth, place, { colour: colour("act"), width: 4, dash: [] });
}

function drawStart(pen, spec, place, colour, withWords) {
  const [x, y] = [place.x(0), place.y(spec.start)];
  pen.beginPath();
  pen.arc(x, y, 7, 0, 2 * Math.PI);
  pen.fillStyle = colour("white");
  pen.fill();
  pen.strokeStyle = colour("ink");
  pen.lineWidth = 2.5;
  pen.stroke();
  if (!withWords) return;
  pen.font = "bold 14px system-ui, sans-serif";
  pen.textAlign = "left";
  pen.fillStyle = colour("ink");
  pen.fillText(spec.startSays, x + 13, y < place.top + 20 ? y + 22 : y - 8);
}

function drawCursor(pen, column, value, place, colour) {
  const x = place.x(column);
  pen.save();
  pen.strokeStyle = colour("act");
  pen.lineWidth = 1.5;
  pen.setLineDash([3, 4]);
  pen.beginPath();
  pen.moveTo(x, place.top);
  pen.lineTo(x, place.bottom);
  pen.stroke();
  pen.restore();
  if (value === null) return;
  pen.beginPath();
  pen.arc(x, place.y(value), 6, 0, 2 * Math.PI);
  pen.fillStyle = colour("mine");
  pen.fill();
}

// One arrow from the hand's curve to the true one, at the telling place.
function drawTelling(pen, spec, heights, place, colour) {
  const mine = heights[spec.tell];
  if (mine === null) return;
  const [x, from, to] = [place.x(spec.tell), place.y(mine), place.y(spec.truth[spec.tell])];
  const way = to > from ? 1 : -1;
  pen.strokeStyle = pen.fillStyle = colour("ink");
  pen.lineWidth = 2;
  if (Math.abs(to - from) > 24) {
    pen.beginPath();
    pen.moveTo(x, from + 7 * way);
    pen.lineTo(x, to - 8 * way);
    pen.stroke();
    pen.beginPath();
    pen.moveTo(x, to - 3 * way);
    pen.lineTo(x - 5, to - 12 * way);
    pen.lineTo(x + 5, to - 12 * way);
    pen.fill();
  }
  const side = x > (place.left + place.right) / 2 ? "right" : "left";
  const across = (curve) => curve.flatMap((value, at) => (value === null ? [] : [[place.x(at), place.y(value)]]));
  const curves = [...[heights, spec.truth].map(across), [[x, from], [x, to]]].map((line) => ({ line, half: 3 }));
  const at = { width: place.right, height: place.bottom, taken: { boxes: [], lines: curves } };
  const say = (words, y, name) => {
    pen.font = "bold 15px system-ui, sans-serif";
    pen.textAlign = side;
    pen.lineWidth = 5;
    pen.strokeStyle = colour("ground");
    pen.fillStyle = colour(name);
    const wide = pen.measureText(words).width;
    const left = side === "left" ? x + 10 : x - 10 - wide;
    const down = within(y, [place.top + 14, place.bottom - 6]);
    const box = { left, right: left + wide, top: down - 13, bottom: down + 4 };
    const [right, lower] = clear(box, at, 90);
    at.taken.boxes.push(shifted(box, right, lower));
    const start = (side === "left" ? left : left + wide) + right;
    pen.strokeText(words, start, down + lower);
    pen.fillText(words, start, down + lower);
  };
  const near = Math.abs(to - from) < 34;
  say(`yours: ${read(spec.y, mine)}`, from - (near ? 14 : 9) * way + (way > 0 ? 0 : 12), "mine");
  say(`true: ${spec.trueSays}`, to + (near ? 24 : -8) * way + (way > 0 ? 0 : 12), "act-ink");
}

// ---------------------------------------------------------------- in a notebook: ask the kernel

function render({ model, el }) {
  const waiting = new Map();
  const judge = (drawn) =>
    new Promise((resolve) => {
      const serial = Math.random().toString(36).slice(2);
      waiting.set(serial, resolve);
      model.send({ drawn, serial });
    });
  const memory = {
    remember: (_key, value) => model.send({ keep: value }),
    recall: () => model.get("kept"),
  };
  const card = mountPrediction(el, model.get("spec"), judge, memory);
  const changed = () => {
    const verdict = model.get("verdict");
    waiting.get(verdict.serial)?.(verdict);
    waiting.delete(verdict.serial);
  };
  model.on("change:verdict", changed);
  return () => {
    model.off("change:verdict", changed);
    card.close();
  };
}

export default { render };

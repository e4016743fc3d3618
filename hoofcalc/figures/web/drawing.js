// Everything in a panel, drawn as lines and words: axes and what is fixed on one canvas, what
// moves on another above it. Widths and letters are pixels of the screen, whatever its size.

const LETTERS = "system-ui, sans-serif";
const LEAST = 14; // no letters are smaller

function font(size, bold) {
  return `${bold ? 700 : 400} ${Math.max(size, LEAST)}px ${LETTERS}`;
}

// How a panel stands: its height for a width, its limits, and where its axes lie.
function standing(panel, width, narrow, pen) {
  const other = narrow && panel.narrow ? panel.narrow : null;
  const x = other ? other.x : panel.x;
  const y = other ? other.y : panel.y;
  const shape = (width * panel.height) / panel.width;
  const height = Math.round((other && other.height) || (panel.stretch ? panel.height : shape));
  const heading = panel.title ? lines(panel.title, width - 8, pen, font(15, true)) : [];
  let [xLabel, yLabel] = [[], []];
  let [left, top, right, bottom] = [0, 22 * heading.length + (heading.length ? 6 : 0), width, height];
  if (panel.axes) {
    pen.font = font(14, false);
    left = 12 + Math.max(0, ...panel.yTicks.map(([, words]) => pen.measureText(words).width));
    yLabel = panel.yLabel ? lines(panel.yLabel, width, pen, font(14, false)) : [];
    top += yLabel.length ? 8 + 18 * yLabel.length : 8;
    xLabel = panel.xLabel ? lines(panel.xLabel, width - 14, pen, font(14, false)) : [];
    bottom -= xLabel.length ? 28 + 18 * xLabel.length : 26;
    right -= 14;
  } else if (panel.oldForm) [left, right, bottom] = [8, width - 8, height - 8];
  if (panel.equal) {
    const unit = Math.min((right - left) / (x[1] - x[0]), (bottom - top) / (y[1] - y[0]));
    const [spareX, spareY] = [right - left - unit * (x[1] - x[0]), bottom - top - unit * (y[1] - y[0])];
    [left, right, top, bottom] = [left + spareX / 2, right - spareX / 2, top + spareY / 2, bottom - spareY / 2];
  }
  const across = (right - left) / (x[1] - x[0]);
  const up = (bottom - top) / (y[1] - y[0]);
  return {
    width, height, box: [left, top, right, bottom], heading, xLabel, yLabel, across, up, x, y,
    px: (value) => left + (value - x[0]) * across,
    py: (value) => bottom - (value - y[0]) * up,
    dataAt: (right_, down) => [x[0] + (right_ - left) / across, y[0] + (bottom - down) / up],
  };
}

// Words broken into lines that fit.
function lines(words, width, pen, letters) {
  pen.font = letters;
  const found = [""];
  for (const word of words.split(" ")) {
    const longer = `${found[found.length - 1]} ${word}`.trim();
    if (found[found.length - 1] && pen.measureText(longer).width > width) found.push(word);
    else found[found.length - 1] = longer;
  }
  return found;
}

// A cleared pen on a canvas of the panel's size.
function penOn(canvas, { width, height }) {
  const dots = Math.min(window.devicePixelRatio || 1, 3);
  const [wide, high] = [Math.round(width * dots), Math.round(height * dots)];
  if (canvas.width !== wide) canvas.width = wide;
  if (canvas.height !== high) canvas.height = high;
  const pen = canvas.getContext("2d");
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.clearRect(0, 0, wide, high);
  pen.setTransform(dots, 0, 0, dots, 0, 0);
  return pen;
}

function clip(pen, [left, top, right, bottom]) {
  pen.beginPath();
  pen.rect(left, top, right - left, bottom - top);
  pen.clip();
}

// Axes, ticks, grid, key and what is fixed.
function drawFixed(canvas, panel, at, colour) {
  const pen = penOn(canvas, at);
  const [left, top, right, bottom] = at.box;
  const straight = (x0, y0, x1, y1, name, width = 1) => {
    pen.strokeStyle = colour(name);
    pen.lineWidth = width;
    pen.beginPath();
    pen.moveTo(x0, y0);
    pen.lineTo(x1, y1);
    pen.stroke();
  };
  const write = (words, x, y, align, name, letters = font(14, false)) => {
    pen.font = letters;
    pen.fillStyle = colour(name);
    pen.textAlign = align;
    pen.textBaseline = "alphabetic";
    pen.fillText(words, x, y);
  };
  at.heading.forEach((words, line) => write(words, panel.axes ? 0 : at.width / 2, 17 + 22 * line, panel.axes ? "left" : "center", "ink", font(15, true)));
  at.kept = []; // boxes of the numbers on the axes, which words keep clear of
  if (panel.axes) {
    pen.font = font(14, false);
    const marks = panel.xTicks.map(([value, words]) => {
      const half = pen.measureText(words).width / 2;
      return { x: at.px(value), words, half, middle: within(at.px(value), [half, at.width - half]) };
    });
    // where words would run into each other only each second, third, ... tick has its own
    const fit = (every) => marks.every((one, n) => n % every || n < every || one.middle - one.half > marks[n - every].middle + marks[n - every].half + 5);
    const every = [1, 2, 3, 4].find(fit) || 5;
    marks.forEach(({ x, words, half, middle }, n) => {
      if (panel.grid) straight(x, top, x, bottom, "pale");
      straight(x, bottom, x, bottom + 5, "edge");
      if (n % every) return;
      write(words, middle, bottom + 20, "center", "quiet");
      at.kept.push({ left: middle - half, right: middle + half, top: bottom + 8, bottom: bottom + 22 });
    });
    let free = Infinity;
    panel.yTicks.forEach(([value, words]) => {
      const y = at.py(value);
      if (panel.grid) straight(left, y, right, y, "pale");
      straight(left - 4, y, left, y, "edge");
      if (y > free) return;
      free = y - 16;
      write(words, left - 8, y + 5, "right", "quiet");
      at.kept.push({ left: 0, right: left - 8, top: y - 7, bottom: y + 7 });
    });
    straight(left, top, left, bottom, "edge");
    straight(left, bottom, right, bottom, "ink", 1.5);
    at.xLabel.forEach((words, line) => write(words, right, bottom + 40 + 18 * line, "right", "ink"));
    at.yLabel.forEach((words, line) => {
      const y = top - 10 - 18 * (at.yLabel.length - 1 - line);
      write(words, 0, y, "left", "ink");
      at.kept.push({ left: 0, right: pen.measureText(words).width, top: y - 12, bottom: y + 4 });
    });
  }
  for (const thing of panel.fixed) {
    if (thing.kind === "words") continue; // they make way for what moves, and are written with it
    pen.save();
    clip(pen, [left, top - 1, right, bottom + 1]);
    paintSeries(pen, thing, thing.place, at, colour, "");
    pen.restore();
  }
  if (panel.keys.lines.length) drawKey(pen, panel, at, colour);
}

// The old form's key. In the new one words stand at the thing.
function drawKey(pen, panel, at, colour) {
  const { title, lines: rows } = panel.keys;
  pen.font = font(14, false);
  const wide = 44 + Math.max(pen.measureText(title).width - 30, ...rows.map((row) => pen.measureText(row.label).width));
  const high = 20 * (rows.length + (title ? 1 : 0)) + 8;
  const [left, top, right, bottom] = at.box;
  const x = panel.legend.includes("left") ? left + 6 : panel.legend.includes("center") ? (left + right - wide) / 2 : right - wide - 2;
  let y = panel.legend.includes("lower") ? bottom - high - 6 : top + 4;
  pen.globalAlpha = 0.88;
  pen.fillStyle = colour("white");
  pen.fillRect(x, y, wide, high);
  pen.globalAlpha = 1;
  const write = (words, from) => {
    pen.fillStyle = colour("ink");
    pen.textAlign = "left";
    pen.textBaseline = "middle";
    pen.fillText(words, from, y + 14);
    y += 20;
  };
  if (title) write(title, x + 6);
  for (const row of rows) {
    pen.save();
    pen.strokeStyle = pen.fillStyle = colour(row.ramp || row.colour);
    pen.lineWidth = Math.min(row.width || 1, 4);
    pen.setLineDash(row.dash || []);
    if (row.kind === "area" || row.kind === "tiles") {
      pen.globalAlpha = row.fillStrength || 1;
      if (row.fill) pen.fillStyle = colour(row.fill);
      pen.fillRect(x + 6, y + 8, 24, 12);
    } else if (row.kind === "points") mark(pen, { ...row, size: 10 }, x + 18, y + 14, colour);
    else {
      pen.beginPath();
      pen.moveTo(x + 6, y + 14);
      pen.lineTo(x + 30, y + 14);
      pen.stroke();
    }
    pen.restore();
    write(row.label, x + 36);
  }
}

// What moves; words come last and keep clear of what they must not hide.
function drawMoving(canvas, number, spec, state, points, at, colour, narrow, pale) {
  const pen = penOn(canvas, at);
  pen.globalAlpha = pale ? 0.3 : 1;
  const panel = spec.panels[number];
  const words = panel.fixed.filter(({ kind }) => kind === "words").map((thing) => ({ series: thing, place: thing.place, text: thing.text }));
  at.taken = { boxes: [...at.kept, ...discs(spec, state, number, at)], lines: [] };
  const [left, , right, bottom] = at.box;
  if (panel.axes) at.taken.lines.push({ line: [[left, bottom], [right, bottom]], half: 1 });
  for (const thing of panel.fixed) if (thing.kind === "line" && thing.width >= 3) takeRoom(at, thing, thing.place, true); // a scale's bar
  spec.series.forEach((series, index) => {
    const place = points[index];
    if (series.panel !== number || !place.length || (narrow && series.wideOnly)) return;
    if (series.kind === "words") {
      words.push({ series, place, text: state.texts[index] });
      return;
    }
    takeRoom(at, series, place, panel.axes);
    pen.save();
    if (series.kind !== "points") clip(pen, at.box);
    paintSeries(pen, series, place, at, colour, state.texts[index]);
    pen.restore();
  });
  for (const { series, place, text } of words) {
    if (series.apart) continue;
    const box = boxOf(pen, series, place, at, text);
    const [right, down] = clear(box, at, 72);
    letters(pen, series, box.x + right, box.y + down, colour, text);
    at.taken.boxes.push(shifted(box, right, down));
  }
  drawApart(pen, words.filter(({ series }) => series.apart), at, colour);
}

// The length of an arrow's head, which is as broad as long.
function headOf(series) {
  return Math.max(series.width * 3.5, 9);
}

// Marks and full arrows, and in axes curves too, are what words keep clear of.
function takeRoom({ px, py, taken }, series, place, axes) {
  if (series.kind === "points") {
    const half = series.size / 2 + 1;
    for (let n = 0; n < place.length; n += 2) {
      const [x, y] = [px(place[n]), py(place[n + 1])];
      taken.boxes.push({ left: x - half, right: x + half, top: y - half, bottom: y + half });
    }
  } else if ((series.kind === "arrow" && !series.dash.length) || (axes && series.kind === "line" && series.width >= 2)) {
    const line = [];
    for (let n = 0; n < place.length; n += 2) line.push([px(place[n]), py(place[n + 1])]);
    taken.lines.push({ line, half: series.kind === "arrow" ? headOf(series) / 2 : series.width / 2 });
  }
}

// The boxes of the discs by which things in a panel are taken hold of.
function discs(spec, state, number, { px, py }) {
  return spec.handles.flatMap(({ panel, kind }, index) => {
    if (panel !== number || kind === "place") return [];
    const [x, y] = state.handles[index].at;
    return [{ left: px(x) - 14, right: px(x) + 14, top: py(y) - 14, bottom: py(y) + 14 }];
  });
}

// Words that push each other aside, and then up or down off what they would hide.
function drawApart(pen, loose, at, colour) {
  const labels = loose.map(({ series, place, text }) => {
    pen.font = font(series.size, series.bold);
    const own = within(at.px(place[0]), [at.box[0], at.box[2]]);
    const high = Math.max(series.size, LEAST) / 2 + 2;
    const hang = series.rise === "below" ? high : 0;
    const y = within(at.py(place[1]) + hang, [high, at.height - high]);
    return { series, text, own, x: own, y, first: y, high, half: pen.measureText(text).width / 2 + 5 };
  });
  labels.sort((a, b) => a.own - b.own);
  for (let round = 0; round < 30; round += 1) {
    for (let n = 1; n < labels.length; n += 1) {
      const [a, b] = [labels[n - 1], labels[n]];
      const over = a.half + b.half - (b.x - a.x);
      if (over > 0) [a.x, b.x] = [a.x - over / 2, b.x + over / 2];
    }
    for (const one of labels) one.x = within(one.x, [one.half - 5, at.width - one.half + 5]);
  }
  for (const one of labels) {
    const { x, y, high, half, series } = one;
    const box = { left: x - half + 5, right: x + half - 5, top: y - high, bottom: y + high };
    const [right, down] = clear(box, at, 72, series.rise === "below");
    [one.x, one.y] = [x + right, y + down];
    at.taken.boxes.push(shifted(box, right, down));
  }
  pen.strokeStyle = colour("quiet");
  pen.lineWidth = 1;
  pen.setLineDash([]);
  for (const { series, own, first, x, y, half } of labels) {
    const below = series.rise === "below"; // its thing lies above it
    if (Math.abs(x - own) <= (below ? half - 5 : 14) && Math.abs(y - first) <= 14) continue;
    pen.beginPath();
    pen.moveTo(x, below ? y - 9 : y + 9);
    pen.lineTo(own, below ? first - 9 : y + 14);
    pen.stroke();
  }
  for (const { series, text, x, y } of labels)
    letters(pen, { ...series, align: "centre", rise: "middle" }, x, y, colour, text);
}

function paintSeries(pen, series, place, at, colour, text) {
  pen.strokeStyle = pen.fillStyle = colour(series.colour);
  pen.lineWidth = series.width;
  pen.lineJoin = "round";
  pen.lineCap = series.dash.length || series.kind === "arrow" || series.width >= 6 ? "butt" : "round";
  pen.setLineDash(series.dash);
  DRAW[series.kind](pen, series, place, at, colour, text);
}

function trace(pen, place, { px, py }) {
  let down = false;
  pen.beginPath();
  for (let n = 0; n < place.length; n += 2) {
    const [x, y] = [px(place[n]), py(place[n + 1])];
    if (Number.isNaN(x) || Number.isNaN(y)) down = false;
    else if (down) pen.lineTo(x, y);
    else {
      pen.moveTo(x, y);
      down = true;
    }
  }
}

// One mark, told apart by its shape as well as its colour.
function mark(pen, series, x, y, colour) {
  const half = series.size / 2;
  pen.beginPath();
  if (series.mark === "cross") {
    pen.moveTo(x - half, y - half);
    pen.lineTo(x + half, y + half);
    pen.moveTo(x - half, y + half);
    pen.lineTo(x + half, y - half);
    pen.stroke();
    return;
  }
  if (series.mark === "ring") {
    pen.arc(x, y, half, 0, 2 * Math.PI);
    for (const [right, down] of [[1, 0], [0, 1], [-1, 0], [0, -1]]) {
      pen.moveTo(x + (right * half) / 4, y + (down * half) / 4);
      pen.lineTo(x + right * half, y + down * half);
    }
    pen.strokeStyle = colour("white");
    pen.lineWidth = series.width + 3;
    pen.stroke();
    pen.strokeStyle = colour(series.colour);
    pen.lineWidth = series.width;
    pen.stroke();
    return;
  }
  if (series.mark === "square") pen.rect(x - half, y - half, series.size, series.size);
  else if (series.mark === "triangle") {
    pen.moveTo(x, y - half - 1);
    pen.lineTo(x + half + 2, y + half);
    pen.lineTo(x - half - 2, y + half);
    pen.closePath();
  } else pen.arc(x, y, half, 0, 2 * Math.PI);
  if (series.hollow) pen.fillStyle = colour("white");
  pen.fill();
  pen.strokeStyle = colour(series.hollow ? series.colour : "white");
  pen.lineWidth = series.hollow ? 3 : 1;
  pen.stroke();
}

function letters(pen, series, x, y, colour, text) {
  pen.font = font(series.size, series.bold);
  pen.textAlign = series.align === "centre" ? "center" : series.align;
  pen.textBaseline = { above: "bottom", below: "top" }[series.rise] || "middle";
  pen.lineWidth = 4;
  pen.lineJoin = "round";
  pen.setLineDash([]);
  pen.strokeStyle = colour("white");
  pen.fillStyle = colour(series.colour);
  pen.strokeText(text, x, y);
  pen.fillText(text, x, y);
}

const DRAW = {
  line(pen, series, place, at) {
    trace(pen, place, at);
    pen.stroke();
  },
  area(pen, series, place, at, colour) {
    trace(pen, place, at);
    pen.closePath();
    if (series.fill) {
      const before = pen.globalAlpha;
      pen.globalAlpha = before * series.fillStrength;
      pen.fillStyle = series.fade ? fading(pen, place, at, colour(series.fill)) : colour(series.fill);
      pen.fill();
      pen.globalAlpha = before;
    }
    if (series.width > 0) pen.stroke();
  },
  ground(pen, series, place, { px, py }, colour) {
    const [x0, y, x1] = [px(place[0]), py(place[1]), px(place[place.length - 2])];
    pen.strokeStyle = colour("quiet");
    pen.lineWidth = 1;
    pen.beginPath();
    for (let x = x0 + 6; x < x1; x += 9) {
      pen.moveTo(x, y + 1);
      pen.lineTo(x - 6, y + 7);
    }
    pen.stroke();
    pen.strokeStyle = colour("ink");
    pen.lineWidth = 2;
    pen.beginPath();
    pen.moveTo(x0, y);
    pen.lineTo(x1, y);
    pen.stroke();
  },
  points(pen, series, place, { px, py }, colour) {
    for (let n = 0; n < place.length; n += 2) {
      pen.strokeStyle = pen.fillStyle = colour(series.colour);
      pen.lineWidth = series.width;
      mark(pen, series, px(place[n]), py(place[n + 1]), colour);
    }
  },
  // outlines parted by NaN, one over the other; the text holds a letter for the class of each
  tiles(pen, series, place, { px, py }, colour, classes) {
    let number = -1;
    let begun = false;
    const close = () => {
      if (!begun) return;
      pen.closePath();
      pen.fillStyle = series.ramp[classes.charCodeAt(number) - 48] || series.plain;
      if (series.ownEdge) pen.strokeStyle = pen.fillStyle;
      pen.fill();
      if (series.width > 0) pen.stroke();
      begun = false;
    };
    for (let n = 0; n < place.length; n += 2) {
      const [x, y] = [px(place[n]), py(place[n + 1])];
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
  arrow(pen, series, place, { px, py }) {
    const [x0, y0, x1, y1] = [px(place[0]), py(place[1]), px(place[2]), py(place[3])];
    const length = Math.hypot(x1 - x0, y1 - y0);
    if (!length) return;
    const head = Math.min(headOf(series), length);
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
};

// Where words stand; those that would run over the edge of the panel are moved back into it.
function boxOf(pen, series, place, { px, py, width, height }, text) {
  pen.font = font(series.size, series.bold);
  const wide = pen.measureText(text).width;
  const before = { left: 0, centre: wide / 2, right: wide }[series.align];
  const x = Math.max(Math.min(px(place[0]), width - (wide - before) - 2), before + 2);
  const high = Math.max(series.size, LEAST) + 2;
  const over = { above: high, middle: high / 2, below: 0 }[series.rise];
  const y = within(py(place[1]), [over, height - high + over]);
  const top = y - over;
  return { x, y, left: x - before, right: x - before + wide, top, bottom: top + high };
}

// A fill that is full in its lower half and gone at its top, or at the panel's.
function fading(pen, place, { py, box }, colour) {
  let [top, bottom] = [Infinity, -Infinity];
  for (let n = 1; n < place.length; n += 2) {
    const y = py(place[n]);
    if (y < top) top = y;
    if (y > bottom) bottom = y;
  }
  top = Math.max(top, box[1]);
  const fill = pen.createLinearGradient(0, top, 0, Math.max(bottom, top + 1));
  fill.addColorStop(0, `${colour}00`);
  fill.addColorStop(0.45, colour);
  return fill;
}

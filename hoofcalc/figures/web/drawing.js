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
  let [left, top, right, bottom] = [0, 22 * heading.length + (heading.length ? 6 : 0), width, height];
  if (panel.axes) {
    pen.font = font(14, false);
    left = 12 + Math.max(0, ...panel.yTicks.map(([, words]) => pen.measureText(words).width));
    top += panel.yLabel ? 26 : 8;
    bottom -= panel.xLabel ? 46 : 26;
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
    width, height, box: [left, top, right, bottom], heading, across, up, x, y,
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
  if (panel.axes) {
    let free = -Infinity; // ticks whose words would run into each other stay without
    panel.xTicks.forEach(([value, words]) => {
      const x = at.px(value);
      if (panel.grid) straight(x, top, x, bottom, "pale");
      straight(x, bottom, x, bottom + 5, "edge");
      pen.font = font(14, false);
      const half = pen.measureText(words).width / 2;
      if (x - half < free) return;
      free = x + half + 6;
      write(words, within(x, [half, at.width - half]), bottom + 20, "center", "quiet");
    });
    free = Infinity;
    panel.yTicks.forEach(([value, words]) => {
      const y = at.py(value);
      if (panel.grid) straight(left, y, right, y, "pale");
      straight(left - 4, y, left, y, "edge");
      if (y > free) return;
      free = y - 16;
      write(words, left - 8, y + 5, "right", "quiet");
    });
    straight(left, top, left, bottom, "edge");
    straight(left, bottom, right, bottom, "ink", 1.5);
    if (panel.xLabel) write(panel.xLabel, right, bottom + 40, "right", "ink");
    if (panel.yLabel) write(panel.yLabel, 0, top - 10, "left", "ink");
  }
  at.kept = []; // boxes of words that stay: what moves is written beside them
  for (const thing of panel.fixed) {
    pen.save();
    if (thing.kind === "words") {
      DRAW.words(pen, thing, thing.place, at, colour, thing.text);
      at.kept.push(boxOf(pen, thing, thing.place, at, thing.text));
    } else {
      clip(pen, [left, top - 1, right, bottom + 1]);
      paintSeries(pen, thing, thing.place, at, colour, "");
    }
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

// What moves.
function drawMoving(canvas, number, spec, state, points, at, colour, narrow, pale) {
  const pen = penOn(canvas, at);
  pen.globalAlpha = pale ? 0.3 : 1;
  const loose = []; // words that push each other aside
  spec.series.forEach((series, index) => {
    const place = points[index];
    if (series.panel !== number || !place.length || (narrow && series.wideOnly)) return;
    if (series.kind === "words" && series.apart) {
      loose.push({ series, place, text: state.texts[index] });
      return;
    }
    pen.save();
    if (series.kind !== "words" && series.kind !== "points") clip(pen, at.box);
    paintSeries(pen, series, place, at, colour, state.texts[index]);
    pen.restore();
  });
  drawApart(pen, loose, [...at.kept, ...discs(spec, state, number, at)], at, colour);
}

// The boxes of the discs by which things in a panel are taken hold of.
function discs(spec, state, number, { px, py }) {
  return spec.handles.flatMap(({ panel, kind }, index) => {
    if (panel !== number || kind === "place") return [];
    const [x, y] = state.handles[index].at;
    return [{ left: px(x) - 14, right: px(x) + 14, top: py(y) - 14, bottom: py(y) + 14 }];
  });
}

function drawApart(pen, loose, taken, at, colour) {
  const labels = loose.map(({ series, place, text }) => {
    pen.font = font(series.size, series.bold);
    const own = within(at.px(place[0]), [at.box[0], at.box[2]]);
    const high = Math.max(series.size, LEAST) / 2 + 2;
    const hang = series.rise === "below" ? high : 0;
    const y = within(at.py(place[1]) + hang, [high, at.height - high]);
    return { series, text, own, x: own, y, high, half: pen.measureText(text).width / 2 + 5 };
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
  // sideways they keep clear of each other, so those over what stays can go up or down
  for (const one of labels)
    for (const box of taken) {
      const aside = one.x + one.half < box.left || one.x - one.half > box.right;
      if (aside || one.y + one.high < box.top || one.y - one.high > box.bottom) continue;
      const [over, under] = [box.top - one.high, box.bottom + one.high];
      const nearer = one.y - over < under - one.y ? [over, under] : [under, over];
      one.y = nearer.find((y) => y > one.high && y < at.height - one.high) ?? over;
    }
  for (const { series, text, own, x, y } of labels) {
    pen.save();
    if (Math.abs(x - own) > 14) {
      pen.strokeStyle = colour("quiet");
      pen.lineWidth = 1;
      pen.beginPath();
      const way = series.rise === "below" ? -1 : 1; // towards its thing
      pen.moveTo(x, y + 9 * way);
      pen.lineTo(own, y + 14 * way);
      pen.stroke();
    }
    letters(pen, { ...series, align: "centre", rise: "middle" }, x, y, colour, text);
    pen.restore();
  }
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
    const head = Math.min(Math.max(series.width * 3.5, 9), length);
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
  words(pen, series, place, at, colour, text) {
    const { x, y } = boxOf(pen, series, place, at, text);
    letters(pen, series, x, y, colour, text);
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

// A photograph on which points are placed by mouse, finger or keyboard.
//
// The photograph is drawn on a canvas only when it is shown nearer or shifted; the points lie over
// it, so that a move costs no drawing of the photograph. Places are pixels of the original, as
// floats. Drawing never waits for the notebook: it hears of a point when that is let go.

const LENS_PX = 152; // side of the magnified spot
const NEAR_PX = { touch: 26, pen: 18, mouse: 14 }; // so near to a point it is taken hold of
const SLACK_PX = { touch: 7, pen: 4, mouse: 3 }; // so little movement is still no drag
const TELL_MS = 200; // the notebook hears of a drag at most so often
const SAME_NUDGE_MS = 1200; // arrow keys in such a row are undone together
const NEAREST = 6; // at most so many pixels of the screen for one of the photograph
const SVG = "http://www.w3.org/2000/svg";

function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value !== false && value !== null) node.setAttribute(name, value);
  }
  // the notebook would take keys for itself; it looks at the control with the focus
  if (tag === "button" || tag === "input" || "tabindex" in attributes)
    node.setAttribute("data-lm-suppress-shortcuts", "true");
  node.append(...children);
  return node;
}

function drawn(tag, attributes) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  return node;
}

const within = (value, low, high) => Math.min(Math.max(value, low), high);
const copied = (points) => Object.fromEntries(Object.entries(points).map(([name, at]) => [name, [...at]]));
function same(one, other) {
  const names = Object.keys(one);
  return (
    names.length === Object.keys(other).length &&
    names.every((name) => other[name] && one[name][0] === other[name][0] && one[name][1] === other[name][1])
  );
}

// ---------------------------------------------------------------- what is placed, shared by all views

function newDesk() {
  return { points: {}, skipped: [], current: "", undo: [], redo: [], views: new Set(), telling: false, nudge: null };
}

function stepsOf(model) {
  return model.get("steps") || [];
}

// The next point to place: the first open one after `name`, then from the start.
function nextOpen(desk, steps, name) {
  const from = steps.findIndex((step) => step.name === name) + 1;
  const open = [...steps.slice(from), ...steps.slice(0, from)].find(
    (step) => !desk.points[step.name] && !desk.skipped.includes(step.name),
  );
  return open ? open.name : "";
}

const snapshot = (desk) => ({ points: copied(desk.points), skipped: [...desk.skipped], current: desk.current });

function remember(desk) {
  desk.undo.push(snapshot(desk));
  desk.redo.length = 0;
  desk.nudge = null;
}

// Take over the points that Python has set: a new start has nothing to undo. Only when they were
// set: during a drag the notebook's points are older than these.
function adoptPoints(desk, model) {
  const points = model.get("points") || {};
  const wish = model.get("current");
  const asked = wish !== desk.current;
  if (same(points, desk.points)) return false;
  desk.points = copied(points);
  desk.undo.length = desk.redo.length = 0;
  desk.nudge = null;
  if (!Object.keys(points).length) desk.skipped = [];
  desk.current = asked ? wish : "";
  adoptNext(desk, model, desk.current);
  return true;
}

// What comes next: the wish where it is still to be placed, else the first open point.
function adoptNext(desk, model, wish) {
  const steps = stepsOf(model);
  desk.skipped = desk.skipped.filter((name) => !desk.points[name]);
  const fits = steps.some((step) => step.name === wish) && !desk.points[wish];
  desk.current = fits ? wish : nextOpen(desk, steps, "");
}

function adoptAll(desk, model) {
  desk.skipped = [...(model.get("skipped") || [])];
  adoptPoints(desk, model);
  adoptNext(desk, model, model.get("current"));
}

// Points that Python has not kept yet are held in the page's storage, under what they stand on.
const heldAs = (model) => `hoofcalc-held ${model.get("key")}`;
function hold(desk, model) {
  if (!model.get("key") || same(model.get("points") || {}, desk.points)) return;
  model.set("told", (desk.told = Math.max(desk.told || 0, model.get("kept")) + 1));
  try {
    localStorage.setItem(heldAs(model), JSON.stringify(desk.points));
  } catch {
    // a browser that holds nothing; the banner of a stopped program is all there is then
  }
}
function letGo(desk, model) {
  if (model.get("kept") >= (desk.told || 0)) localStorage.removeItem(heldAs(model));
}
function takeHeld(model) {
  try {
    return JSON.parse(localStorage.getItem(heldAs(model)));
  } catch {
    return null;
  }
}

function tell(desk, model) {
  desk.telling = true;
  hold(desk, model);
  model.set("points", copied(desk.points));
  model.set("skipped", [...desk.skipped]);
  model.set("current", desk.current);
  desk.telling = false;
  model.save_changes();
}

function tellNext(desk, model) {
  desk.telling = true;
  model.set("skipped", [...desk.skipped]);
  model.set("current", desk.current);
  desk.telling = false;
  model.save_changes();
}

// ---------------------------------------------------------------- one view

function render(desk, { model, el }) {
  let picture = null; // the photograph as decoded by the browser
  let size = [1, 1]; // of the original
  let shown = { fit: 1, zoom: 1, left: 0, top: 0, width: 0, height: 0 };
  let selected = ""; // the placed point that was last touched
  let spot = null; // where the next point goes by keyboard
  let spotMoved = false;
  let hover = null; // the mouse over the picture
  let press = null;
  let pinch = null;
  let lensRight = false;
  let closed = false;
  let queued = 0;
  let stale = {}; // what the next frame must do
  let timer = null;
  let marks = new Map();
  const fingers = new Map();

  const steps = () => stepsOf(model);
  const step = (name) => steps().find((one) => one.name === name);
  const perPx = () => shown.fit * shown.zoom; // pixels of the screen for one of the original
  const toScreen = ([right, down]) => [(right - shown.left) * perPx(), (down - shown.top) * perPx()];
  const toPicture = ([x, y]) => [
    within(x / perPx() + shown.left, 0, size[0]),
    within(y / perPx() + shown.top, 0, size[1]),
  ];

  // ---- the parts
  const sketch = make("div", { class: "sketch" });
  const nextWords = make("p", { class: "next-words" });
  const help = make("p", { class: "help" });
  const button = (words, click, more = {}) => make("button", { type: "button", onclick: click, ...more }, words);
  const leaveOut = button("Leave this one out", (event) => leave([desk.current], event));
  const thatIsAll = button("That is all", (event) => endRow(event));
  const oneMore = button("One more", (event) => moreInRow(event));
  const said = make("p", { class: "said", role: "status" });
  const photo = make("canvas", { class: "photo", role: "img", "aria-label": "The photograph" });
  const lines = drawn("svg", { class: "lines", "aria-hidden": "true" });
  const lens = make("canvas", { class: "lens", "aria-hidden": "true" });
  const cross = mark("spot");
  cross.classList.add("spot");
  const stage = make("div", { class: "stage", role: "group", "aria-label": "Photograph with its points" });
  stage.append(photo, lines, cross, lens);
  const room = make("div", { class: "room" }, stage);
  const undo = button("Undo", () => back(desk.undo, desk.redo, "Undone."), { title: "Ctrl+Z" });
  const again = button("Redo", () => back(desk.redo, desk.undo, "Redone."), { title: "Ctrl+Y" });
  const takeAway = button("Delete point", () => remove(selected));
  const closer = button("Zoom in", () => zoomBy(1.6));
  const farther = button("Zoom out", () => zoomBy(1 / 1.6));
  const whole = button("Whole picture", () => wholePicture());
  const shift = (words, sign, across, down) =>
    button(sign, () => shiftBy(across * shown.width * 0.25, down * shown.height * 0.25), {
      "aria-label": words,
      title: words,
      class: "arrow",
    });
  const arrows = make(
    "div",
    { class: "arrows", role: "group", "aria-label": "Shift the picture" },
    shift("Show more of the left", "←", -1, 0),
    shift("Show more of the top", "↑", 0, -1),
    shift("Show more of the bottom", "↓", 0, 1),
    shift("Show more of the right", "→", 1, 0),
  );
  const tools = make(
    "div",
    { class: "tools" },
    make("div", { class: "set", role: "group", "aria-label": "Points" }, undo, again, takeAway),
    make("div", { class: "set", role: "group", "aria-label": "Picture" }, closer, farther, whole),
    arrows,
  );
  const how = make(
    "details",
    { class: "how" },
    make("summary", {}, "How to place and move points"),
    make(
      "ul",
      {},
      make("li", {}, "Mouse: click where the point goes. To move a point, take hold of it and pull."),
      make(
        "li",
        {},
        "Finger: put it down, look at the magnified spot, move until the cross is right, lift. Two fingers zoom and shift the picture.",
      ),
      make(
        "li",
        {},
        "Keyboard: go to the picture with the Tab key. Arrow keys move the ring, with Shift in large steps, with Alt in very small ones. Enter places the point and goes to the next. Delete deletes a point. + and - zoom in and out, 0 shows all of it.",
      ),
      make("li", {}, "Ctrl+Z undoes, as often as you like; Ctrl+Y redoes."),
    ),
  );
  const list = make("ol", { class: "list", "aria-label": "All points" });
  const next = make(
    "div",
    { class: "next" },
    sketch,
    make("div", { class: "words" }, nextWords, help, make("div", { class: "set" }, leaveOut, thatIsAll, oneMore)),
  );
  const root = make("div", { class: "hoofcalc-placing" }, make("div", { class: "work" }, next, room, said, tools, list, how));
  el.replaceChildren(root);

  // A button that has nothing to do stays where the keyboard is; it does nothing.
  function able(node, can) {
    if (can) node.removeAttribute("aria-disabled");
    else node.setAttribute("aria-disabled", "true");
  }

  // A ring with an open middle, so that the spot itself stays in sight.
  function mark(name) {
    const node = make("div", {
      class: "mark",
      role: "slider",
      tabindex: 0,
      "aria-roledescription": "point to move",
      "aria-valuenow": 0,
      "aria-valuetext": "not placed yet",
      "data-point": name,
    });
    const ring = drawn("svg", { viewBox: "-22 -22 44 44", "aria-hidden": "true" });
    const ways = "M0-7V-17M0 7V17M-7 0H-17M7 0H17";
    for (const look of ["halo", "ink"]) {
      ring.append(drawn("circle", { r: 7, class: look }), drawn("path", { d: ways, class: look }));
    }
    node.append(ring);
    node.addEventListener("focus", () => {
      if (name !== "spot") selected = name;
      else if (!spot) spot = middleOfView();
      able(takeAway, at(selected));
      queue({ marks: true, lens: true });
    });
    node.addEventListener("blur", () => queue({ marks: true, lens: true }));
    node.addEventListener("keydown", (event) => onKey(event, name));
    return node;
  }

  const middleOfView = () => toPicture([shown.width / 2, shown.height / 2]);

  // ---- frames
  function queue(what) {
    Object.assign(stale, what);
    if (!queued && !closed) queued = requestAnimationFrame(frame);
  }
  function frame() {
    queued = 0;
    const { photo: all, marks: every, one, lens: magnified } = stale;
    stale = {};
    if (all) paintPhoto();
    if (all || every) placeMarks();
    else if (one) placeOne(one);
    if (all || every || one || magnified) paintLens();
  }

  function layout() {
    const wide = room.clientWidth;
    if (!wide || !picture) return;
    const high = Math.max(260, 0.82 * window.innerHeight);
    const fit = Math.min(wide / size[0], high / size[1]);
    const middle = shown.width ? middleOfView() : [size[0] / 2, size[1] / 2];
    Object.assign(shown, { fit, width: size[0] * fit, height: size[1] * fit });
    stage.style.width = `${shown.width}px`;
    stage.style.height = `${shown.height}px`;
    look(shown.zoom, middle, [shown.width / 2, shown.height / 2]);
  }

  // Show the picture so near, with this place of it at that place of the screen.
  function look(zoom, place, [x, y]) {
    shown.zoom = within(zoom, 1, Math.max(1, NEAREST / shown.fit));
    const k = perPx();
    shown.left = within(place[0] - x / k, 0, Math.max(0, size[0] - shown.width / k));
    shown.top = within(place[1] - y / k, 0, Math.max(0, size[1] - shown.height / k));
    arrows.hidden = shown.zoom <= 1.001;
    able(farther, shown.zoom > 1.001);
    able(whole, shown.zoom > 1.001);
    able(closer, k < NEAREST * 0.999);
    queue({ photo: true });
  }
  const focusPlace = () =>
    document.activeElement === cross && spot ? spot : desk.points[selected] || middleOfView();
  function zoomBy(times) {
    const place = focusPlace();
    const at = toScreen(place);
    const inside = at[0] >= 0 && at[1] >= 0 && at[0] <= shown.width && at[1] <= shown.height;
    if (inside) look(shown.zoom * times, place, at);
    else look(shown.zoom * times, middleOfView(), [shown.width / 2, shown.height / 2]);
  }
  function wholePicture() {
    look(1, [0, 0], [0, 0]);
  }
  function shiftBy(x, y) {
    look(shown.zoom, [shown.left, shown.top], [-x, -y]);
  }
  function bringIntoView(place) {
    const [x, y] = toScreen(place);
    const edge = 24;
    const inside = (value, whole) => value >= edge && value <= whole - edge;
    if (shown.zoom <= 1 || (inside(x, shown.width) && inside(y, shown.height))) return;
    // far in, so that the next move of a point need not shift the picture again
    const to = [
      inside(x, shown.width) ? x : within(x, 0.3 * shown.width, 0.7 * shown.width),
      inside(y, shown.height) ? y : within(y, 0.3 * shown.height, 0.7 * shown.height),
    ];
    look(shown.zoom, place, to);
  }

  function paintPhoto() {
    if (!picture || !shown.width) return;
    const dots = Math.min(window.devicePixelRatio || 1, 2);
    const [width, height] = [Math.round(shown.width * dots), Math.round(shown.height * dots)];
    if (photo.width !== width) photo.width = width;
    if (photo.height !== height) photo.height = height;
    const pen = photo.getContext("2d", { alpha: false });
    const r = picture.width / size[0];
    const s = picture.height / size[1];
    const k = perPx();
    pen.imageSmoothingQuality = "medium";
    pen.drawImage(
      picture,
      shown.left * r, shown.top * s, (shown.width / k) * r, (shown.height / k) * s,
      0, 0, width, height,
    );
  }

  // ---- the points over it
  const at = (name) => desk.points[name];
  function placeMarks() {
    const all = steps();
    for (const [name, node] of marks) {
      if (!at(name) || !all.some((one) => one.name === name)) {
        node.remove();
        marks.delete(name);
      }
    }
    let before = cross;
    all.forEach((one, number) => {
      if (!at(one.name)) return;
      let node = marks.get(one.name);
      if (!node) {
        node = mark(one.name);
        node.append(make("span", { class: "tag", "aria-hidden": "true" }));
        marks.set(one.name, node);
      }
      if (before.nextSibling !== node) before.after(node); // Tab goes through them in their order
      before = node;
      node.setAttribute("aria-label", one.label);
      node.classList.toggle("selected", one.name === selected);
      const plain = one.in_row && one.name !== selected; // too many for a number each
      node.classList.toggle("small", plain);
      node.querySelector(".tag").textContent = plain ? "" : tagOf(one, number, all);
      moveMark(one.name);
    });
    const doing = step(desk.current);
    cross.hidden = !doing;
    if (doing) cross.setAttribute("aria-label", `Next: ${doing.label}. Move the ring with the arrow keys, Enter places it`);
    if (spot) moveNode(cross, spot);
    lines.setAttribute("viewBox", `0 0 ${shown.width} ${shown.height}`);
    lines.replaceChildren();
    for (const one of all) {
      for (const other of one.joined || []) {
        for (const look of ["halo", "ink"]) {
          const line = drawn("line", { class: look, "data-a": one.name, "data-b": other });
          if (look === "ink") {
            line.style.stroke = one.colour;
            line.setAttribute("stroke-dasharray", (one.dash || []).join(" "));
          }
          lines.append(line);
        }
      }
    }
    moveLines();
    spreadTags();
  }
  function tagOf(one, number, all) {
    if (one.in_row) return one.label.split(" ").pop();
    return String(all.slice(0, number + 1).filter((other) => !other.in_row).length);
  }
  function moveNode(node, place) {
    const [x, y] = toScreen(place);
    node.style.transform = `translate(${x}px, ${y}px)`;
    const outside = x < -1 || y < -1 || x > shown.width + 1 || y > shown.height + 1;
    node.classList.toggle("outside", outside);
    node.setAttribute("aria-valuemin", 0);
    node.setAttribute("aria-valuemax", size[0]);
    node.setAttribute("aria-valuenow", Math.round(place[0] * 10) / 10);
    node.setAttribute("aria-valuetext", `${place[0].toFixed(1)} to the right, ${place[1].toFixed(1)} down`);
  }
  function moveMark(name) {
    if (marks.has(name)) moveNode(marks.get(name), at(name));
  }
  function moveLines(only) {
    for (const line of lines.children) {
      const { a, b } = line.dataset;
      if (!a || (only && a !== only && b !== only)) continue;
      line.style.display = at(a) && at(b) ? "" : "none";
      if (!at(a) || !at(b)) continue;
      const [[x1, y1], [x2, y2]] = [toScreen(at(a)), toScreen(at(b))];
      line.setAttribute("x1", x1);
      line.setAttribute("y1", y1);
      line.setAttribute("x2", x2);
      line.setAttribute("y2", y2);
    }
  }
  function placeOne(name) {
    if (name === "spot") moveNode(cross, spot);
    else {
      moveMark(name);
      moveLines(name);
    }
  }
  // Numbers stand where they hide neither each other nor a point.
  function spreadTags() {
    const taken = [];
    const rings = [...marks.keys()].map((name) => toScreen(at(name)));
    const order = [...marks].sort(([one], [other]) => (other === selected) - (one === selected));
    for (const [name, node] of order) {
      const tag = node.querySelector(".tag");
      if (!tag.textContent) continue;
      const [x, y] = toScreen(at(name));
      const wide = 12 + 9 * tag.textContent.length;
      const ways = [[1, -1], [-1, -1], [1, 1], [-1, 1], [1, 0], [-1, 0], [0, -1], [0, 1]];
      let best = null;
      for (const far of [1, 1.9]) {
        for (const [across, down] of ways) {
          const middle = [x + across * far * (12 + wide / 2), y + down * far * 22];
          const bad =
            taken.filter(([tx, ty, tw]) => Math.abs(tx - middle[0]) < (tw + wide) / 2 + 1 && Math.abs(ty - middle[1]) < 22).length * 2 +
            rings.filter(([rx, ry]) => Math.abs(rx - middle[0]) < wide / 2 + 8 && Math.abs(ry - middle[1]) < 19).length +
            (middle[0] < wide / 2 || middle[0] > shown.width - wide / 2 || middle[1] < 11 || middle[1] > shown.height - 11 ? 3 : 0);
          if (!best || bad < best.bad) best = { bad, middle };
        }
      }
      // where all is crowded the points count for more than their numbers
      tag.hidden = best.bad > 0 && name !== selected;
      if (tag.hidden) continue;
      taken.push([...best.middle, wide]);
      tag.style.transform = `translate(calc(-50% + ${best.middle[0] - x}px), calc(-50% + ${best.middle[1] - y}px))`;
    }
  }

  // ---- the magnified spot
  function lensPlace() {
    if (press && press.place) return press.place;
    const focused = document.activeElement;
    if (hover) return hover;
    if (focused === cross && spot) return spot;
    if (focused && focused.dataset && marks.get(focused.dataset.point) === focused) return at(focused.dataset.point);
    return null;
  }
  function paintLens() {
    const place = picture ? lensPlace() : null;
    lens.style.visibility = place ? "visible" : "hidden";
    if (!place) return;
    const side = Math.min(LENS_PX, shown.width * 0.42);
    const dots = Math.min(window.devicePixelRatio || 1, 2);
    const pixels = Math.round(side * dots);
    if (lens.width !== pixels) {
      lens.width = lens.height = pixels;
      lens.style.width = lens.style.height = `${side}px`;
    }
    // the corner changes only when the spot comes near, so that it does not jump
    const [x, y] = toScreen(place);
    const margin = side + 46;
    if (lensRight ? x > shown.width - margin && y < margin : x < margin && y < margin) lensRight = !lensRight;
    lens.style.left = `${lensRight ? shown.width - side - 4 : 4}px`;
    const r = picture.width / size[0];
    const s = picture.height / size[1];
    const times = Math.max(4 * perPx(), r); // four times as near, and a dot for each of the JPEG's
    const reach = side / times;
    const pen = lens.getContext("2d", { alpha: false });
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.fillStyle = "#5f6368";
    pen.fillRect(0, 0, pixels, pixels);
    pen.drawImage(
      picture,
      (place[0] - reach / 2) * r, (place[1] - reach / 2) * s, reach * r, reach * s,
      0, 0, pixels, pixels,
    );
    pen.setTransform(dots, 0, 0, dots, 0, 0);
    const half = side / 2;
    for (const [colour, width] of [["#ffffff", 3.5], ["#000000", 1.4]]) {
      pen.strokeStyle = colour;
      pen.lineWidth = width;
      pen.beginPath();
      for (const [across, down] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
        pen.moveTo(half + across * 7, half + down * 7);
        pen.lineTo(half + across * half, half + down * half);
      }
      pen.stroke();
    }
    pen.fillStyle = "#ffffff";
    pen.fillRect(half - 1.5, half - 1.5, 3, 3);
    pen.fillStyle = "#000000";
    pen.fillRect(half - 0.75, half - 0.75, 1.5, 1.5);
  }

  // ---- words
  function say(words) {
    // the same words twice are news as well
    said.textContent = said.textContent === words ? `${words}\u00a0` : words;
  }
  function refreshWords() {
    const all = steps();
    const doing = step(desk.current);
    const lone = all.filter((one) => !one.in_row);
    const rowOnes = all.filter((one) => one.in_row);
    const placedInRow = rowOnes.filter((one) => at(one.name)).length;
    const needed = all.filter((one) => !one.optional && !at(one.name));
    if (doing) {
      const count = doing.in_row
        ? `${placedInRow} in the row so far`
        : `${lone.indexOf(doing) + 1} of ${lone.length}`;
      nextWords.textContent = `Next: ${doing.label}`;
      nextWords.append(make("span", { class: "count" }, ` (${count}${doing.optional ? "; may be left out" : ""})`));
      help.textContent = doing.help;
      if (sketch.dataset.of !== doing.name || sketch.dataset.text !== doing.sketch) {
        sketch.innerHTML = doing.sketch;
        sketch.dataset.of = doing.name;
        sketch.dataset.text = doing.sketch;
      }
    } else if (!all.length) {
      nextWords.textContent = "No points are asked for yet.";
      help.textContent = "";
    } else {
      nextWords.textContent = needed.length
        ? `${needed.length} needed ${needed.length > 1 ? "points are" : "point is"} left out.`
        : "All points are placed.";
      help.textContent = needed.length
        ? "Choose it in the list and place it."
        : "Look at each once more: take hold of a point to move it.";
    }
    sketch.hidden = !doing;
    leaveOut.hidden = !(doing && doing.optional && !doing.in_row);
    thatIsAll.hidden = !(doing && doing.in_row && doing.optional);
    const openInRow = rowOnes.some((one) => !at(one.name));
    oneMore.hidden = !(openInRow && !(doing && doing.in_row) && placedInRow);
    able(undo, desk.undo.length);
    able(again, desk.redo.length);
    able(takeAway, at(selected));
    refreshList(all, lone, rowOnes);
  }
  function refreshList(all, lone, rowOnes) {
    const focused = list.contains(document.activeElement) ? document.activeElement.dataset.go : null;
    const entry = (one) => {
      const state = at(one.name)
        ? "placed"
        : desk.skipped.includes(one.name)
          ? "left out"
          : one.optional
            ? "may be left out"
            : "to do";
      const words = one.in_row
        ? [make("span", {}, tagOf(one, 0, all)), make("span", { class: "state", "aria-hidden": "true" }, at(one.name) ? "✓" : "…")]
        : [
            make("span", { class: "number" }, String(lone.indexOf(one) + 1)),
            make("span", { class: "label" }, one.label),
            make("span", { class: "state" }, at(one.name) ? "✓ placed" : state),
          ];
      const node = make("button", {
        type: "button",
        "data-go": one.name,
        "data-state": at(one.name) ? "placed" : state,
        "aria-current": one.name === desk.current ? "step" : null,
        "aria-label": one.in_row ? `${one.label}, ${state}` : null,
        onclick: (event) => goTo(one.name, event),
      }, ...words);
      return make("li", {}, node);
    };
    const nodes = lone.map(entry);
    if (rowOnes.length) {
      const shownOnes = rowOnes.filter((one) => at(one.name) || one.name === desk.current);
      const row = make("ol", { class: "row", "aria-label": "Points of the row" }, ...shownOnes.map(entry));
      const needed = rowOnes.filter((one) => !one.optional).length;
      const placed = rowOnes.filter((one) => at(one.name)).length;
      const name = rowOnes[0].label.replace(/ \d+$/, "");
      nodes.push(
        make("li", { class: "row-head" }, `${name}: ${placed} placed${placed < needed ? `, at least ${needed} needed` : ""}`, shownOnes.length ? row : ""),
      );
    }
    list.replaceChildren(...nodes);
    const now = list.querySelector("[aria-current]");
    if (now && list.scrollHeight > list.clientHeight + 4) {
      const [box, one] = [list.getBoundingClientRect(), now.getBoundingClientRect()];
      if (one.top < box.top) list.scrollTop += one.top - box.top - 8;
      else if (one.bottom > box.bottom) list.scrollTop += one.bottom - box.bottom + 60;
    }
    if (focused) list.querySelector(`[data-go="${focused}"]`)?.focus({ preventScroll: true });
  }

  // ---- acts
  function soon() {
    if (timer === null) timer = setTimeout(flush, TELL_MS);
  }
  function flush() {
    clearTimeout(timer);
    timer = null;
    tell(desk, model);
  }
  function changed() {
    for (const refresh of desk.views) refresh();
  }
  function nextPhrase() {
    const doing = step(desk.current);
    return doing ? `Next: ${doing.label}.` : "All points are placed or left out.";
  }
  function put(name, place) {
    const one = step(name);
    if (!one) return;
    remember(desk);
    desk.points[name] = place;
    desk.skipped = desk.skipped.filter((other) => other !== name);
    selected = name;
    desk.current = nextOpen(desk, steps(), name);
    changed();
    say(`Placed: ${one.label}. ${nextPhrase()}`);
    flush();
  }
  function remove(name) {
    const one = step(name);
    if (!one || !at(name)) return;
    remember(desk);
    const place = desk.points[name];
    delete desk.points[name];
    desk.current = name;
    selected = "";
    spot = place;
    spotMoved = false;
    changed();
    cross.hidden = false;
    cross.focus({ preventScroll: true });
    say(`Deleted: ${one.label}. Undo brings it back.`);
    flush();
  }
  function back(from, to, words) {
    if (!from.length || press) return;
    to.push(snapshot(desk));
    Object.assign(desk, from.pop());
    desk.nudge = null;
    if (!at(selected)) selected = "";
    const lost = document.activeElement && document.activeElement.classList.contains("mark");
    changed();
    placeMarks();
    if (lost && !root.contains(document.activeElement)) (cross.hidden ? stage.querySelector(".mark:not([hidden])") : cross)?.focus({ preventScroll: true });
    say(`${words} ${nextPhrase()}`);
    flush();
  }
  const byKeyboard = (event) => event && event.detail === 0;
  function toSpot(event) {
    queue({ marks: true });
    if (byKeyboard(event) && desk.current) {
      cross.hidden = false;
      cross.focus({ preventScroll: true });
    }
  }
  function leave(names, event) {
    remember(desk);
    const last = names[names.length - 1];
    desk.skipped = [...new Set([...desk.skipped, ...names])];
    desk.current = nextOpen(desk, steps(), last);
    changed();
    say(`Left out. ${nextPhrase()}`);
    flush();
    toSpot(event);
  }
  function endRow(event) {
    leave(steps().filter((one) => one.in_row && one.optional && !at(one.name)).map((one) => one.name), event);
  }
  function moreInRow(event) {
    const rowOnes = steps().filter((one) => one.in_row);
    const last = rowOnes.reduce((found, one, number) => (at(one.name) ? number : found), -1);
    const one = rowOnes.slice(last + 1).find((other) => !at(other.name)) || rowOnes.find((other) => !at(other.name));
    if (one) goTo(one.name, event);
  }
  function goTo(name, event) {
    if (at(name)) {
      selected = name;
      bringIntoView(at(name));
      changed();
      marks.get(name)?.focus({ preventScroll: true });
      say(`${step(name).label} is taken hold of. Move it with the mouse, a finger or the arrow keys.`);
      return;
    }
    desk.skipped = desk.skipped.filter((other) => other !== name);
    desk.current = name;
    changed();
    say(nextPhrase());
    flush();
    toSpot(event);
  }

  // ---- keyboard
  function onKey(event, name) {
    if (event.ctrlKey || event.metaKey) return;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    const isSpot = name === "spot";
    if (way) {
      const far = (event.shiftKey ? 10 : event.altKey ? 0.1 : 1) / perPx();
      const from = isSpot ? spot : at(name);
      if (!from) return;
      const to = [within(from[0] + way[0] * far, 0, size[0]), within(from[1] + way[1] * far, 0, size[1])];
      hover = null; // the magnified spot goes with the keys now
      if (isSpot) {
        spot = to;
        spotMoved = true;
      } else {
        const now = performance.now();
        const nudge = desk.nudge;
        if (!nudge || nudge.name !== name || now - nudge.at > SAME_NUDGE_MS) {
          remember(desk);
          refreshWords();
        }
        desk.nudge = { name, at: now };
        desk.points[name] = to;
        soon();
      }
      bringIntoView(to);
      queue({ one: name });
      for (const refresh of desk.views) if (refresh !== refreshView) refresh();
    } else if (event.key === "Enter" || event.key === " ") {
      if (isSpot) placeSpot();
      else if (desk.current) {
        cross.hidden = false;
        cross.focus({ preventScroll: true });
        say(nextPhrase());
      } else say(nextPhrase());
    } else if ((event.key === "Delete" || event.key === "Backspace") && !isSpot) remove(name);
    else if (event.key === "+" || event.key === "=") zoomBy(1.6);
    else if (event.key === "-") zoomBy(1 / 1.6);
    else if (event.key === "0") wholePicture();
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
  function placeSpot() {
    if (!desk.current) return;
    if (!spotMoved) {
      say("Move the ring with the arrow keys first, then press Enter.");
      return;
    }
    spotMoved = false; // a second Enter must not put the next point on top
    put(desk.current, [...spot]);
    if (!desk.current) marks.get(selected)?.focus({ preventScroll: true });
  }
  root.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) back(desk.undo, desk.redo, "Undone.");
    else if (key === "y" || (key === "z" && event.shiftKey)) back(desk.redo, desk.undo, "Redone.");
    else return;
    event.preventDefault();
    event.stopPropagation();
  });

  // ---- mouse, pen and finger
  const screenOf = (event) => {
    const box = stage.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  function nearPoint([x, y], kind) {
    let best = "";
    let least = NEAR_PX[kind] || NEAR_PX.mouse;
    for (const name of marks.keys()) {
      const [px, py] = toScreen(at(name));
      const far = Math.hypot(px - x, py - y);
      // of two as near the one that was touched last
      if (far < least || (far === least && name === selected)) [best, least] = [name, far];
    }
    return best;
  }
  stage.addEventListener("pointerdown", (event) => {
    if (!picture || (event.pointerType === "mouse" && event.button > 1)) return;
    event.preventDefault();
    const place = screenOf(event);
    stage.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, place);
    if (fingers.size === 2) {
      dropPress();
      const [one, other] = [...fingers.values()];
      const middle = [(one[0] + other[0]) / 2, (one[1] + other[1]) / 2];
      pinch = { apart: Math.hypot(one[0] - other[0], one[1] - other[1]), zoom: shown.zoom, place: toPicture(middle) };
      return;
    }
    if (fingers.size > 2 || pinch) return;
    const name = event.button === 1 ? "" : nearPoint(place, event.pointerType);
    const shifting = event.button === 1 || (!name && !desk.current);
    press = { id: event.pointerId, kind: event.pointerType, name, from: place, last: place, moved: false, shifting };
    hover = null;
    if (name) {
      press.start = [...at(name)];
      press.place = at(name);
      selected = name;
      marks.get(name).focus({ preventScroll: true });
      refreshWords();
    } else if (!shifting) {
      spot = toPicture(place);
      press.place = spot;
      cross.hidden = false;
      cross.focus({ preventScroll: true });
      queue({ one: "spot" });
    }
    queue({ marks: true, lens: true });
  });
  stage.addEventListener("mousedown", (event) => event.preventDefault()); // the point keeps the focus
  stage.addEventListener("pointermove", (event) => {
    if (!picture) return;
    const place = screenOf(event);
    if (fingers.has(event.pointerId)) fingers.set(event.pointerId, place);
    if (pinch && fingers.size >= 2) {
      const [one, other] = [...fingers.values()];
      const middle = [(one[0] + other[0]) / 2, (one[1] + other[1]) / 2];
      const apart = Math.hypot(one[0] - other[0], one[1] - other[1]);
      look((pinch.zoom * apart) / Math.max(pinch.apart, 1), pinch.place, middle);
      return;
    }
    if (press && press.id === event.pointerId) follow(place);
    else if (!fingers.size && event.pointerType === "mouse") {
      hover = toPicture(place);
      stage.style.cursor = nearPoint(place, "mouse") ? "grab" : desk.current ? "crosshair" : "move";
      queue({ lens: true });
    }
  });
  function follow(place) {
    if (!press.moved && Math.hypot(place[0] - press.from[0], place[1] - press.from[1]) < (SLACK_PX[press.kind] || 3) && press.name) return;
    const first = !press.moved;
    press.moved = true;
    if (press.shifting) {
      shiftBy(press.last[0] - place[0], press.last[1] - place[1]);
      press.last = place;
    } else if (press.name) {
      if (first) remember(desk);
      const k = perPx();
      const to = [
        within(press.start[0] + (place[0] - press.from[0]) / k, 0, size[0]),
        within(press.start[1] + (place[1] - press.from[1]) / k, 0, size[1]),
      ];
      desk.points[press.name] = press.place = to;
      queue({ one: press.name });
      soon();
    } else {
      spot = press.place = toPicture(place);
      queue({ one: "spot" });
    }
  }
  // A second finger or a call from the telephone: nothing has happened.
  function dropPress() {
    if (!press) return;
    if (press.name && press.moved) {
      desk.points[press.name] = press.start;
      desk.undo.pop();
      flush();
    }
    press = null;
    queue({ marks: true, lens: true });
    refreshWords();
  }
  stage.addEventListener("pointerup", (event) => {
    fingers.delete(event.pointerId);
    if (pinch) {
      if (!fingers.size) pinch = null; // the finger that stays must not place a point
      return;
    }
    if (!press || press.id !== event.pointerId) return;
    follow(screenOf(event));
    const { name, moved, shifting, place, kind } = press;
    press = null;
    if (name) {
      if (moved) {
        changed();
        say(`Moved: ${step(name).label}.`);
        flush();
      } else say(`${step(name).label} is taken hold of. Pull it, or move it with the arrow keys.`);
    } else if (!shifting) {
      spotMoved = false;
      const done = desk.current;
      put(done, place);
      placeMarks();
      marks.get(done)?.focus({ preventScroll: true }); // arrow keys now move what was just placed
    } else if (!moved) say("All points are placed. Take hold of a point to move it.");
    if (kind === "mouse") hover = toPicture(screenOf(event));
    queue({ marks: true, lens: true });
  });
  stage.addEventListener("pointercancel", (event) => {
    fingers.delete(event.pointerId);
    if (!fingers.size) pinch = null;
    if (press && press.id === event.pointerId) dropPress();
  });
  stage.addEventListener("pointerleave", () => {
    hover = null;
    queue({ lens: true });
  });
  stage.addEventListener(
    "wheel",
    (event) => {
      // the wheel alone scrolls the page; with Ctrl it zooms, as everywhere
      if (!picture || !event.ctrlKey) return;
      event.preventDefault();
      const place = screenOf(event);
      const lineHigh = event.deltaMode === 1 ? 16 : 1;
      look(shown.zoom * Math.exp(-event.deltaY * lineHigh * 0.0016), toPicture(place), place);
      hover = toPicture(place);
    },
    { passive: false },
  );

  // ---- from Python
  let loaded = null;
  async function load() {
    const wanted = model.get("picture") || {};
    if (wanted === loaded) return;
    loaded = wanted;
    const before = picture;
    if (!wanted.jpeg) {
      picture = null;
      stage.hidden = true;
      say("No photograph is chosen yet.");
      return;
    }
    try {
      const found = await createImageBitmap(new Blob([wanted.jpeg], { type: "image/jpeg" }));
      if (closed || loaded !== wanted) return found.close();
      picture = found;
    } catch {
      stage.hidden = true;
      say("The photograph cannot be shown. Is the file damaged?");
      return;
    }
    before?.close();
    size = [wanted.width_px, wanted.height_px];
    stage.hidden = false;
    selected = "";
    spot = hover = null;
    spotMoved = false;
    shown = { ...shown, zoom: 1, left: 0, top: 0, width: 0 };
    root.dataset.picture = "shown";
    layout();
    refreshWords();
    say(desk.current ? "Click or tap in the photograph where the ring stands in the little drawing." : "");
    const held = model.get("key") ? takeHeld(model) : null;
    if (!held || same(held, desk.points)) return;
    remember(desk);
    desk.points = held;
    desk.current = nextOpen(desk, steps(), "");
    changed();
    say("What you placed while the program was away is here again, and saved.");
    flush();
  }
  function refreshView() {
    if (!at(selected)) selected = "";
    placeMarks();
    refreshWords();
    queue({ marks: true, lens: true });
  }
  // What Python sets together arrives one by one, and is taken together.
  let heard = new Set();
  function takeHeard() {
    const all = heard;
    heard = new Set();
    if (closed) return;
    if (all.has("skipped")) desk.skipped = [...(model.get("skipped") || [])];
    if (all.has("points") && adoptPoints(desk, model)) {
      press = spot = null;
      spotMoved = false;
      say(nextPhrase());
    } else if (all.has("current") || all.has("steps")) adoptNext(desk, model, model.get("current"));
    // during a drag the notebook learns what comes next with the point itself
    if (timer === null && model.get("current") !== desk.current) tellNext(desk, model);
    refreshView();
    if (all.has("picture")) load();
  }
  const ears = ["picture", "steps", "points", "current", "skipped"].map((name) => [
    `change:${name}`,
    () => {
      if (desk.telling) return;
      if (!heard.size) queueMicrotask(takeHeard);
      heard.add(name);
    },
  ]);
  ears.push(["change:kept", () => letGo(desk, model)]);
  for (const [event, ear] of ears) model.on(event, ear);
  desk.views.add(refreshView);
  const watch = new ResizeObserver(layout);
  watch.observe(room);
  window.addEventListener("resize", layout);
  refreshView();
  load();
  return () => {
    closed = true;
    if (timer !== null) flush();
    cancelAnimationFrame(queued);
    desk.views.delete(refreshView);
    for (const [event, ear] of ears) model.off(event, ear);
    watch.disconnect();
    window.removeEventListener("resize", layout);
    picture?.close();
  };
}

// What can be undone outlives a view that is closed and opened again.
export default () => {
  const desk = newDesk();
  return {
    initialize({ model }) {
      adoptAll(desk, model);
    },
    render(context) {
      return render(desk, context);
    },
  };
};

// The browser's half of a living figure: choices, picture, sentence, controls, all numbers.
//
// mount(element, spec, source, first) draws it; source(values) answers with a state (a promise or
// the state itself). In a notebook the source asks the kernel; on a page it asks Python there, or
// looks the state up among frames calculated beforehand. source.ahead(settings), where there is
// one, is told what the next move may bring. No other code is loaded.

const NARROW_PX = 600;
const QUICK_MS = 1200;
const DEG_PER_PX = 0.7; // of a foot that is turned by dragging it
const MARKED_MS = 1000;
const STEP_MS = 700; // a step of what is played; a long way is played through in ten seconds
const COUNTED = ["No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight"];
let count = 0;

// A number as a reader wants it: the digits that count, no trailing zeros.
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

const stillWanted = () => window.matchMedia("(prefers-reduced-motion: reduce)").matches;

export function mount(el, spec, source, first) {
  const id = `hoofcalc-${(count += 1)}-${Math.random().toString(36).slice(2, 7)}`;
  const current = { ...spec.start, ...(first ? first.values : {}) };
  let last = null; // the last state with a picture
  let points = [];
  let refused = false;
  let busy = false;
  let wanted = null;
  let closed = false;
  let narrow = null;
  let was = ""; // the finding before the hand moved
  const past = []; // settings to go back to

  const root = make("section", { class: "hoofcalc hoofcalc-figure", "aria-label": spec.title });
  const colour = paletteOf(root);
  const sentence = make("p", { class: "sentence" });
  const heard = make("p", { class: "heard", "aria-live": "polite" });
  const notice = make("p", { class: "notice", role: "alert" });
  // a picture with things to take hold of is a group: what lies inside an image cannot be reached
  const picture = make("div", { class: "panels", role: spec.handles.length ? "group" : "img" });
  const panels = spec.panels.map((panel, number) => {
    const back = make("canvas", { "aria-hidden": "true" });
    const front = make("canvas", { "aria-hidden": "true" });
    const box = make("div", { class: "panel", "data-panel": number }, back, front);
    picture.append(box);
    return { panel, number, back, front, box, at: null };
  });
  const ruler = document.createElement("canvas").getContext("2d");

  const chosen = ({ belongsTo }) => !belongsTo || current[belongsTo[0]] === belongsTo[1];

  // Before the hand moves: keep the setting, and the finding to compare with. Keys and taps that
  // follow each other quickly are one move.
  let begun = -Infinity;
  function begin(apart = false) {
    notice.textContent = "";
    const quick = performance.now() - begun < QUICK_MS;
    begun = apart ? -Infinity : performance.now();
    if (!apart) root.querySelectorAll(".pull").forEach((word) => word.remove());
    if (quick && !apart) return;
    const top = past[past.length - 1];
    const same = (one) => one && Object.keys(current).every((name) => one[name] === current[name]);
    if (!same(top)) past.push({ ...current });
    if (past.length > 100) past.shift();
    if (last) was = last.result || "";
  }

  // What one more move of the control in use may bring; the source is asked ahead where it can be.
  let nearby = () => [];
  function foresee(near = nearby) {
    nearby = near;
    if (source.ahead) source.ahead(nearby().map((values) => ({ ...current, ...values })));
  }
  const foreseen = (node, near) => ["focusin", "pointerenter"].forEach((kind) => node.addEventListener(kind, () => foresee(near)));

  // ------------------------------------------------------------ sliders

  const rows = spec.sliders.map((slider) => {
    const name = `${id}-${slider.name}`;
    const { positions } = slider;
    const ends = [positions[0], positions[positions.length - 1]];
    const range = make("input", {
      type: "range", id: name, min: 0, max: positions.length - 1, step: 1, "data-name": slider.name,
    });
    const number = make("input", {
      type: "text", inputmode: "decimal", autocomplete: "off",
      "aria-label": `${slider.label}, number from ${plain(ends[0])} to ${plain(ends[1])} ${slider.unit}`,
      "data-number": slider.name,
    });
    const words = make("output", { for: name });
    const snap = (value) => (source.exact === false || slider.words.length ? positions[nearest(positions, value)] : value);
    const show = (wish) => {
      const value = snap(wish);
      const at = nearest(positions, value);
      current[slider.name] = value;
      range.value = at;
      const says = slider.words[at] || `${plain(value)} ${slider.unit}`;
      range.setAttribute("aria-valuetext", says);
      number.value = plain(value);
      words.textContent = slider.words[at] || "";
    };
    const beside = (by) => within(nearest(positions, current[slider.name]) + by, [0, positions.length - 1]);
    let way = 1; // the last move, in positions
    const near = () => {
      const one = Math.sign(way);
      return [way, way + one, way - one, -one].map((by) => ({ [slider.name]: positions[beside(by)] }));
    };
    const go = (value) => {
      way = nearest(positions, value) - beside(0) || way;
      nearby = near;
      show(value);
      ask();
    };
    const step = (by) => {
      const at = beside(by);
      go(positions[at]);
      return at;
    };
    range.addEventListener("pointerdown", () => begin());
    range.addEventListener("keydown", (event) => {
      if (!event.repeat && (event.key.startsWith("Arrow") || ["Home", "End", "PageUp", "PageDown"].includes(event.key))) begin();
    });
    range.addEventListener("input", () => {
      stop();
      go(positions[Number(range.value)]);
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
        begin();
        const used = snap(value);
        if (used !== value) notice.textContent = `${slider.label}: the nearest setting on this page is ${plain(used)} ${slider.unit}.`;
        go(used);
        return;
      }
      number.value = plain(current[slider.name]);
    };
    number.addEventListener("change", typed);
    number.addEventListener("keydown", (event) => {
      if (event.key === "Enter") typed();
    });
    const press = (by, sign, says) =>
      make("button", { type: "button", class: "step", "aria-label": `${slider.label}: ${says}`, "data-step": by, onclick: () => { begin(); stop(); step(by); } }, sign);
    const head = make("label", { for: name }, slider.label);
    const value = slider.words.length
      ? words
      : make("span", { class: "value" }, number, make("span", { class: "unit" }, slider.unit));
    const row = make("div", { class: "row", "data-row": slider.name }, head, value,
      make("div", { class: "way" }, press(-1, "\u2212", "less"), range, press(1, "+", "more")));
    show(current[slider.name]);
    foreseen(row, near);
    return { slider, show, step, go, near, row };
  });
  const rowOf = Object.fromEntries(rows.map((row) => [row.slider.name, row]));

  // ------------------------------------------------------------ play, stop, step

  let timer = 0;
  let play = null;
  function stop() {
    if (!timer) return;
    clearInterval(timer);
    timer = 0;
    play.textContent = "\u25B6";
    play.setAttribute("aria-label", `Play: ${rowOf[spec.play].slider.label}`);
  }
  if (spec.play && rowOf[spec.play]) {
    const { slider, step, show, row } = rowOf[spec.play];
    const end = slider.positions.length - 1;
    const go = () => { if (step(1) >= end) stop(); };
    play = make("button", {
      type: "button", class: "step play", "aria-label": `Play: ${slider.label}`,
      onclick: () => {
        if (timer) return stop();
        begin();
        if (nearest(slider.positions, current[slider.name]) >= end) show(slider.positions[0]);
        if (stillWanted()) return go(); // one step at each press; nothing moves by itself
        play.textContent = "\u25A0";
        play.setAttribute("aria-label", `Stop: ${slider.label}`);
        go();
        timer = setInterval(go, within(10000 / end, [60, STEP_MS]));
      },
    }, "\u25B6");
    row.querySelector(".way").append(play);
  }

  // ------------------------------------------------------------ things to take hold of

  const tidy = (value) => Math.round(value * 100) / 100;
  let chosenHandle = null;
  const grips = spec.handles.map((handle, number) => {
    const host = panels[handle.panel];
    const two = handle.kind === "place";
    const limits = two ? handle.x.limits : rowOf[handle.x.name]?.slider.positions;
    const pull = make("span", { class: "pull", "aria-hidden": "true" }, "pull");
    const knob = make("div", {
      class: two ? "grip" : "grip disc", role: "slider", tabindex: 0, "aria-label": handle.label,
      "aria-roledescription": "thing to take hold of",
      "aria-valuemin": limits?.[0], "aria-valuemax": limits?.[limits.length - 1],
      "data-handle": handle.name,
      "data-lm-suppress-shortcuts": "true", // arrow keys move the point, not the notebook
    }, two ? "" : make("span", { class: handle.kind === "along y" ? "arrows up" : "arrows" }), pull);
    host.box.append(knob);
    const told = () => last.handles[number];
    // where it stands now; a place moves at once, before Python has answered
    const stands = () => {
      const [x, y] = told().at;
      if (!two) return [x, y];
      return [x + current[handle.x.name] - last.values[handle.x.name], y + current[handle.y.name] - last.values[handle.y.name]];
    };
    const show = () => {
      knob.hidden = !host.at || !chosen(host.panel);
      if (!last || knob.hidden) return;
      const [x, y] = stands();
      const [right, down] = [host.at.px(x), host.at.py(y)];
      knob.style.left = `${within(right, [0, host.at.width])}px`;
      knob.style.top = `${within(down, [0, host.at.height])}px`;
      knob.setAttribute("aria-valuenow", plain(current[handle.x.name]));
      knob.setAttribute("aria-valuetext", told().says);
    };
    // the numbers that a place in the picture means, in data units
    const numbersAt = (x, y) => {
      if (two) {
        const [ox, oy] = told().at;
        const from = [ox - last.values[handle.x.name], oy - last.values[handle.y.name]];
        const inside = [host.at.x, host.at.y].map((ends, axis) => ends.map((end) => end - from[axis]));
        return {
          [handle.x.name]: tidy(within(within(x - from[0], inside[0]), handle.x.limits)),
          [handle.y.name]: tidy(within(within(y - from[1], inside[1]), handle.y.limits)),
        };
      }
      const { positions } = rowOf[handle.x.name].slider;
      const value = numberAt(handle, told(), last.values[handle.x.name], x, y, positions);
      return { [handle.x.name]: positions[nearest(positions, value)] };
    };
    const go = (x, y) => {
      if (!last) return;
      pull.remove();
      const numbers = numbersAt(x, y);
      if (!two) return rowOf[handle.x.name].go(numbers[handle.x.name]);
      Object.assign(current, numbers);
      show();
      ask();
    };
    let way = [1, 0]; // the last key, in steps
    const beside = ([right, up]) => {
      const [x, y] = stands();
      return [x + right * handle.step, y + up * handle.step];
    };
    const near = () => {
      if (!two) return rowOf[handle.x.name].near();
      const ways = last && host.at ? [way, way.map((by) => 2 * by), [1, 0], [-1, 0], [0, 1], [0, -1]] : [];
      return ways.map((by) => numbersAt(...beside(by)));
    };
    foreseen(knob, near);
    const nudge = (key, far) => {
      pull.remove();
      if (two) {
        way = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, far], ArrowDown: [0, -far] }[key];
        nearby = near;
        go(...beside(way));
      } else rowOf[handle.x.name].step(far * signOf(key, handle, told()));
    };
    knob.addEventListener("keydown", (event) => {
      if (!event.key.startsWith("Arrow") || event.ctrlKey || event.altKey || event.metaKey) return;
      event.preventDefault();
      if (!event.repeat) begin();
      stop();
      nudge(event.key, event.shiftKey ? 10 : 1);
    });
    let held = null; // how far the thing lies off the pointer, and where it was taken to
    const pointer = (event) => {
      const box = host.front.getBoundingClientRect();
      return host.at.dataAt(event.clientX - box.left, event.clientY - box.top);
    };
    knob.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || !last) return;
      event.preventDefault();
      begin();
      stop();
      knob.focus({ preventScroll: true });
      knob.setPointerCapture(event.pointerId);
      if (two) foresee(() => []);
      const [x, y] = pointer(event);
      const [sx, sy] = stands();
      held = { off: [sx - x, sy - y], at: [sx, sy] };
    });
    knob.addEventListener("pointermove", (event) => {
      if (!held) return;
      const at = pointer(event).map((part, axis) => part + held.off[axis]);
      const next = at.map((part, axis) => 2 * part - held.at[axis]); // a hand that goes on as it goes
      held.at = at;
      go(...at);
      foresee(() => [numbersAt(...next), ...(two ? [] : near())]);
    });
    for (const end of ["pointerup", "pointercancel"]) knob.addEventListener(end, () => { held = null; foresee(near); });
    knob.addEventListener("focus", () => { chosenHandle = number; choose(); });
    return { handle, host, show, go, nudge, numbersAt, stands, two, knob, pull };
  });

  // "pull" is said once, beside the first thing that is seen, where it hides nothing.
  function sayPull() {
    const seen = grips.find(({ knob, host }) => !knob.hidden && !host.panel.turnedBy);
    grips.forEach((grip) => (grip.pull.hidden = grip !== seen));
    if (!seen || !last || !seen.pull.isConnected) return;
    const { host: { at }, stands, pull } = seen;
    const [x, y] = [at.px(stands()[0]), at.py(stands()[1])];
    const [half, high] = [pull.offsetWidth / 2, pull.offsetHeight];
    const box = { left: x - half, right: x + half, top: y - 14 - high, bottom: y - 14 };
    const [right, down] = clear(box, at, 100);
    pull.style.left = `${24 + right}px`;
    pull.style.top = `${10 - high + down}px`;
  }

  // A tap on the picture: what was taken last goes there, or the nearest.
  panels.forEach((host) => {
    const mine = grips.filter((grip) => grip.host === host);
    if (!mine.length) return;
    host.box.classList.add("takes-taps");
    const tapped = (event) => {
      if (!last || event.target.closest(".grip") || !chosen(host.panel)) return null;
      const { clientX, clientY } = event;
      const box = host.front.getBoundingClientRect();
      const [x, y] = host.at.dataAt(clientX - box.left, clientY - box.top);
      const far = (grip) => Math.hypot(grip.stands()[0] - x, grip.stands()[1] - y);
      const taken = grips[chosenHandle];
      return { x, y, clientX, clientY, grip: mine.includes(taken) ? taken : mine.reduce((a, b) => (far(b) < far(a) ? b : a)) };
    };
    let down = null; // where the finger came down; it counts, though lifting it slips a little
    host.box.addEventListener("pointerdown", (event) => {
      down = tapped(event);
      if (!down) return;
      const numbers = down.grip.numbersAt(down.x, down.y);
      foresee(() => [numbers]);
    });
    host.box.addEventListener("click", (event) => {
      const tap = tapped(event);
      if (!tap) return;
      begin();
      stop();
      const slip = down ? Math.hypot(tap.clientX - down.clientX, tap.clientY - down.clientY) : Infinity;
      const { grip, x, y } = slip < 5 ? down : tap;
      grip.go(x, y);
    });
  });

  // A foot in space is turned by dragging it: across and up each move a slider.
  panels.forEach(({ panel, box }) => {
    if (!panel.turnedBy) return;
    const ways = panel.turnedBy.map((name) => rowOf[name]);
    let from = null; // where the hand took hold, and how the foot stood
    box.classList.add("turns");
    box.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || event.target.closest(".grip")) return;
      event.preventDefault();
      begin();
      stop();
      box.setPointerCapture(event.pointerId);
      from = { at: [event.clientX, event.clientY], stood: panel.turnedBy.map((name) => current[name]) };
    });
    box.addEventListener("pointermove", (event) => {
      if (!from) return;
      [event.clientX, event.clientY].forEach((at, way) => {
        const { positions } = ways[way].slider;
        const [least, most] = [positions[0], positions[positions.length - 1]];
        let value = from.stood[way] + (at - from.at[way]) * (way ? DEG_PER_PX : -DEG_PER_PX);
        if (most - least > 340) value -= 360 * Math.floor((value - least) / 360); // all the way round
        ways[way].show(positions[nearest(positions, within(value, [least, most]))]);
      });
      ask();
    });
    for (const end of ["pointerup", "pointercancel"]) box.addEventListener(end, () => (from = null));
  });

  // A tap on a panel of another choice chooses it.
  panels.forEach(({ panel, box }) => {
    if (!panel.belongsTo) return;
    box.classList.add("takes-taps");
    box.addEventListener("click", () => {
      const [name, value] = panel.belongsTo;
      if (!chosen(panel)) buttons[spec.presets.findIndex((preset) => preset.values[name] === value)]?.click();
    });
  });

  // Points with two numbers have no slider: four buttons move the one that was taken last.
  const pad = make("div", { class: "pad", role: "group", "aria-label": "Move a point" });
  const pads = grips.filter((grip) => grip.two);
  const which = make("select", { "aria-label": "Point to move", onchange: () => (chosenHandle = Number(which.value)) });
  if (pads.length) {
    grips.forEach((grip, at) => {
      if (grip.two) which.append(make("option", { value: at }, grip.handle.label));
    });
    const arrows = [["ArrowLeft", "\u2190", "left"], ["ArrowUp", "\u2191", "up"], ["ArrowDown", "\u2193", "down"], ["ArrowRight", "\u2192", "right"]];
    pad.append(which, ...arrows.map(([key, sign, says]) =>
      make("button", { type: "button", class: "step", "aria-label": `Point ${says}`, onclick: () => {
        if (!last) return;
        begin();
        grips[Number(which.value)].nudge(key, 1);
      } }, sign)));
  }
  function choose() {
    if (pads.includes(grips[chosenHandle])) which.value = chosenHandle;
  }

  // ------------------------------------------------------------ choices, Undo, Start again

  function settle(values) {
    stop();
    Object.assign(current, values);
    rows.forEach(({ slider, show }) => show(current[slider.name]));
    grips.forEach(({ show }) => show());
    markChoices();
  }
  const buttons = spec.presets.map((preset) => {
    const key = preset.key ? keyLine(preset.key) : "";
    const words = make("span", {}, make("b", {}, preset.label), preset.note ? make("span", { class: "note-of" }, preset.note) : "");
    const button = make("button", { type: "button", onclick: () => { begin(true); was = ""; settle(preset.values); ask(); } }, key, words);
    foreseen(button, () => [preset.values]);
    return button;
  });
  // a preset is marked where its choices are the present ones
  function markChoices() {
    const fits = (preset, names) => names.every((name) => preset.values[name] === current[name]);
    let pressed = spec.presets.map((preset) => {
      const named = spec.choices.filter((name) => name in preset.values);
      return fits(preset, named.length ? named : Object.keys(preset.values));
    });
    // presets that differ in their sliders alone are told apart by these
    if (pressed.filter(Boolean).length > 1)
      pressed = spec.presets.map((preset, at) => pressed[at] && fits(preset, Object.keys(preset.values)));
    pressed.forEach((on, at) => buttons[at].setAttribute("aria-pressed", String(on)));
  }
  markChoices();
  const undo = make("button", { type: "button", class: "plain undo", onclick: () => {
    let back = past.pop();
    while (back && Object.keys(current).every((name) => back[name] === current[name])) back = past.pop();
    if (!back) return;
    begun = -Infinity;
    notice.textContent = "";
    was = last ? last.result || "" : "";
    settle(back);
    ask();
  } }, "Undo");
  const again = make("button", { type: "button", class: "plain again", onclick: () => {
    begin(true);
    was = "";
    settle(spec.start);
    ask();
  } }, "Start again");

  // ------------------------------------------------------------ asking and showing

  // Ask for the present setting; while an answer is awaited only the newest wish is kept. One that
  // fails is told, and the wish after it is asked for all the same.
  let failed = false;
  async function ask() {
    wanted = { ...current };
    markChoices();
    if (busy) return;
    busy = true;
    while (wanted && !closed) {
      const values = wanted;
      wanted = null;
      try {
        const answer = source(values);
        draw(answer && typeof answer.then === "function" ? await answer : answer);
      } catch (trouble) {
        notice.textContent = trouble.message;
        failed = true;
      }
    }
    busy = false;
    foresee();
  }

  function draw(state) {
    if (closed || !state || !state.values) return;
    if (failed) notice.textContent = "";
    failed = false;
    refused = Boolean(state.refusal);
    if (refused) sentence.textContent = state.refusal;
    else {
      const row = floatsOf(state.floats);
      let from = 0;
      points = state.counts.map((number) => row.subarray(from, (from += 2 * number)));
      speak(sentence, state, last, was);
      keepRoom();
      const before = last;
      last = state;
      picture.setAttribute("aria-label", state.alt);
      if (allNumbers.open) fillTable(before);
    }
    paint();
    clearTimeout(hearing);
    hearing = setTimeout(() => (heard.textContent = state.refusal || state.sentence), 500);
  }
  let hearing = 0;

  // A sentence that once took a line more keeps its room, so that no control moves under a finger.
  let tallest = 0;
  function keepRoom() {
    if (!narrow || sentence.offsetHeight <= tallest) return;
    tallest = sentence.offsetHeight;
    sentence.style.minHeight = `${tallest}px`;
  }

  const allNumbers = make("details", { class: "all-numbers", ontoggle: () => fillTable() }, make("summary", {}, "All numbers"));
  const table = make("div", { class: "table" });
  allNumbers.append(table);
  function fillTable(before = last) {
    if (!allNumbers.open || !last || !last.table) return;
    const head = ["Quantity", "Value", "Interval", "Unit"].map((words) => make("th", { scope: "col" }, words));
    table.replaceChildren(make("table", {}, make("thead", {}, make("tr", {}, ...head)), make("tbody", {}, ...rowsOf(last.table, before && before.table))),
      spec.note ? make("p", { class: "note" }, spec.note) : "");
  }

  // Lay the panels out for the width there is, and draw what never moves.
  function arrange() {
    let wide = picture.clientWidth;
    if (!wide) return;
    if (narrow !== (wide < NARROW_PX)) {
      narrow = wide < NARROW_PX;
      tallest = 0;
      sentence.style.minHeight = "";
      root.classList.toggle("narrow", narrow);
      fold();
      wide = picture.clientWidth;
    }
    const gap = 11;
    const shareOf = ({ panel }) => panel.narrow?.share || 1;
    const shown = panels.filter(({ panel, box }) => {
      const mine = chosen(panel);
      box.classList.toggle("chosen", Boolean(panel.belongsTo) && mine);
      box.hidden = narrow && (!mine || Boolean(panel.narrow && panel.narrow.hide));
      return !box.hidden;
    });
    // rows from left to right; a panel that stretches stands alone
    const lines_ = [[]];
    let used = 0;
    for (const host of shown) {
      const own = Math.min(host.panel.width, wide);
      const row = lines_[lines_.length - 1];
      // panels of the old form shrink a little rather than go below each other
      const room = host.panel.oldForm ? 1.5 * wide : wide + 2;
      const beside = narrow
        ? row.length === 1 && Math.max(shareOf(row[0]), shareOf(host)) < 1
        : row.length && !host.panel.stretch && !row[0].panel.stretch && used + gap + own <= room;
      if (row.length && !beside) {
        lines_.push([host]);
        used = own;
      } else {
        used += own + (row.length ? gap : 0);
        row.push(host);
      }
    }
    for (const row of lines_) {
      const room = wide - gap * (row.length - 1);
      const own = ({ panel }) => (narrow ? shareOf({ panel }) : panel.width);
      const sum = row.reduce((total, host) => total + own(host), 0);
      // on a narrow screen panels take the whole width, on a wide one not more than their own
      const scale = row[0] && (row[0].panel.stretch || narrow) ? room / sum : Math.min(1, room / sum);
      for (const host of row) {
        host.at = standing(host.panel, Math.floor(own(host) * scale), narrow, ruler);
        host.box.style.width = `${host.at.width}px`;
        host.box.style.height = `${host.at.height}px`;
      }
    }
    panels.forEach((host) => {
      if (host.box.hidden) host.at = null;
      else drawFixed(host.back, host.panel, host.at, colour);
    });
  }

  // On a narrow screen one control stands in reach and the others wait under "More".
  const inSight = make("div", { class: "sliders" });
  const moreHead = make("summary");
  const moreBody = make("div", { class: "sliders" });
  const more = make("details", { class: "more" }, moreHead, moreBody);
  function fold() {
    const open = rows.filter(({ slider }, at) => (narrow ? at < 1 : !spec.more.includes(slider.name)));
    const folded = rows.filter((row) => !open.includes(row));
    inSight.replaceChildren(...open.map(({ row }) => row));
    inSight.dataset.many = Math.min(open.length, 4);
    moreBody.replaceChildren(...folded.map(({ row }) => row));
    moreHead.textContent = `${COUNTED[folded.length]} more to move: ${folded.map(({ slider }) => slider.label.toLowerCase()).join(", ")}`;
    more.hidden = !folded.length;
  }

  let standingOn = "";
  function paint() {
    // what is shown, and how, changes with width and choice only
    const now = `${picture.clientWidth} ${spec.choices.map((name) => current[name])} ${root.className}`;
    if (now !== standingOn) {
      arrange();
      standingOn = `${picture.clientWidth} ${spec.choices.map((name) => current[name])} ${root.className}`;
    }
    if (!last) return;
    for (const { front, at, number } of panels)
      if (at) drawMoving(front, number, spec, last, points, at, colour, narrow, refused);
    grips.forEach(({ show }) => show());
    sayPull();
  }

  const label = spec.presets_label;
  const choices = buttons.length
    ? make("div", { class: "presets", role: "group", "aria-label": label, "data-many": buttons.length }, ...buttons)
    : "";
  root.append(
    choices,
    make("div", { class: "picture" }, picture, sentence),
    notice,
    make("div", { class: "controls" }, inSight, pads.length ? pad : "", more),
    make("div", { class: "end" }, spec.oneScreen ? allNumbers : "", undo, again),
    spec.note && !spec.oneScreen ? make("p", { class: "note" }, spec.note) : "",
    heard,
  );
  el.replaceChildren(root);
  const unwatch = followScheme(root, () => {
    colour.forget();
    buttons.forEach((button, at) => spec.presets[at].key && button.firstChild.replaceWith(keyLine(spec.presets[at].key)));
    standingOn = "";
    paint();
  });
  const watch = new ResizeObserver(paint);
  watch.observe(picture);
  if (first) draw(first);
  else ask();
  return {
    draw,
    settle,
    close() {
      closed = true;
      stop();
      clearTimeout(hearing);
      watch.disconnect();
      unwatch();
    },
  };
}

// The number that a handle with one number takes at a place of the picture.
function numberAt(handle, told, value, x, y, positions) {
  if (handle.kind === "along x") return value + (x - told.at[0]) / handle.per;
  if (handle.kind === "along y") return value + (y - told.at[1]) / handle.per;
  if (handle.level) y = told.at[1];
  const angle = (Math.atan2(y - told.about[1], x - told.about[0]) * 180) / Math.PI;
  const turned = handle.turns * (angle - handle.zero);
  const middle = (positions[0] + positions[positions.length - 1]) / 2;
  return turned - 360 * Math.round((turned - middle) / 360); // the turn nearest to the slider's middle
}

// Whether an arrow key makes the number larger: left and right as the thing moves on the screen.
function signOf(key, handle, told) {
  if (key === "ArrowUp" || key === "ArrowDown") {
    const up = handle.kind === "along y" ? Math.sign(handle.per) : 1;
    return key === "ArrowUp" ? up : -up;
  }
  let across = handle.kind === "along x" ? handle.per : 1;
  if (handle.kind === "angle") across = -handle.turns * (told.at[1] - told.about[1]);
  return (key === "ArrowRight" ? 1 : -1) * (across < 0 ? -1 : 1);
}

// A short line as it stands in the picture.
function keyLine(style) {
  const namespace = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(namespace, "svg");
  const line = document.createElementNS(namespace, "path");
  for (const [name, value] of [["viewBox", "0 0 30 6"], ["class", "key"], ["aria-hidden", "true"]]) svg.setAttribute(name, value);
  line.setAttribute("d", "M0 3h30");
  line.setAttribute("stroke-width", 6);
  line.setAttribute("stroke-dasharray", style.dash.join(" "));
  line.style.stroke = `var(--hc-${style.colour})`;
  svg.append(line);
  return svg;
}

// A number underlined for a second; by a clock, for an animation would be drawn sixty times.
function marked(number) {
  const mark = make("span", { class: "changed" }, number);
  setTimeout(() => (mark.className = ""), MARKED_MS);
  return mark;
}

// A number as a sentence or a cell has it; a full stop or comma behind it is none of it.
const NUMBER = /([-\u2212]?\d+(?:[.,]\d+)*)/;

// The places of the new sentence's numbers that are not what they were. Which number was which, the
// words around them tell: the two sentences are laid side by side so that most of both agrees.
function changedNumbers(old, now) {
  const [a, b] = [old, now].map((text) => text.split(NUMBER).flatMap((part, at) =>
    at % 2 ? { number: part } : part.toLowerCase().match(/[^\s.,:;]+/g)?.map((word) => ({ word })) || []));
  const agree = (one, other) => {
    if (one.word || other.word) return one.word === other.word ? 2 : 0;
    return one.number === other.number ? 2 : 1;
  };
  // most[i][j]: how far what follows place i of the old and place j of the new can agree
  const most = [...a, 0].map(() => Array(b.length + 1).fill(0));
  for (let i = a.length - 1; i >= 0; i--)
    for (let j = b.length - 1; j >= 0; j--) {
      const both = agree(a[i], b[j]);
      most[i][j] = Math.max(most[i + 1][j], most[i][j + 1], both && both + most[i + 1][j + 1]);
    }
  const same = new Set();
  for (let i = 0, j = 0; i < a.length && j < b.length; ) {
    const both = agree(a[i], b[j]);
    if (both && most[i][j] === both + most[i + 1][j + 1]) {
      if (both === 2) same.add(b[j]);
      i++, j++;
    } else if (most[i][j] === most[i + 1][j]) i++;
    else j++;
  }
  const numbers = b.filter(({ number }) => number);
  return new Set([...numbers.keys()].filter((at) => !same.has(numbers[at])));
}

// The sentence: its finding marked, what it was before, and for a second each number that changed.
function speak(node, state, before, was) {
  const { sentence, result } = state;
  const old = (before && before.sentence) || "";
  const changed = old ? changedNumbers(old, sentence) : new Set();
  let number = -1;
  const parts = (text) =>
    text.split(NUMBER).map((part, at) => {
      if (at % 2 === 0) return part;
      number += 1;
      return changed.has(number) ? marked(part) : part;
    });
  if (!result) {
    node.replaceChildren(...parts(sentence));
    return;
  }
  const from = sentence.indexOf(result);
  const earlier = whatItWas(was, result);
  node.replaceChildren(
    ...parts(sentence.slice(0, from)),
    make("mark", {}, ...parts(result)),
    earlier ? make("span", { class: "was" }, ` (was ${earlier})`) : "",
    ...parts(sentence.slice(from + result.length)),
  );
}

// What a finding was before, if it was counted in the same unit: the number alone where that is all.
function whatItWas(was, result) {
  if (!was || was === result) return "";
  const round = /(?:over |under |about )?[-\u2212]?\d+(?:[.,]\d+)*/g;
  const [then, now] = [was, result].map((text) => text.split(round));
  if (then.length < 2 || now.length < 2 || then.at(-1) !== now.at(-1)) return "";
  return then.length === 2 && then[0] === now[0] ? was.match(round)[0] : was;
}

// The table of all numbers; for a second each value and interval that is not what it was in the row
// of that name.
function rowsOf(cells, before) {
  const old = new Map();
  const beside = ([name], seen) => `${name} ${seen.set(name, (seen.get(name) || 0) + 1).get(name)}`;
  const [then, now] = [new Map(), new Map()];
  for (const row of before || cells) old.set(beside(row, then), row);
  return cells.map((row) => {
    const was = old.get(beside(row, now)) || [];
    return make("tr", {}, ...row.map((words, at) => {
      if (at === 0) return make("th", { scope: "row" }, words);
      return make("td", { class: at === 1 ? "number" : null }, at < 3 && words && words !== was[at] ? marked(words) : words);
    }));
  });
}

// ---------------------------------------------------------------- in a notebook: ask the kernel

function render({ model, el }) {
  const road = foreseeing((message) => model.send(message), (state) => figure.draw(state), model.get("state"));
  const figure = mount(el, model.get("spec"), road.source, model.get("state"));
  const changed = () => {
    const state = model.get("state");
    if (road.heard(state)) return;
    // moved from a code cell, or in another view of the same figure
    road.forget(state);
    if (!state.refusal) figure.settle(state.values);
    figure.draw(state);
  };
  const ahead = (state, [floats]) => road.heard({ ...state, floats });
  model.on("change:state", changed);
  model.on("msg:custom", ahead);
  return () => {
    model.off("change:state", changed);
    model.off("msg:custom", ahead);
    figure.close();
  };
}

export default { render };

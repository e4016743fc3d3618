// A lesson's page: figures that stand at once and come alive, questions that are remembered.
(() => {
  "use strict";
  const { keep, python, figure, question, prediction } = window.hoofcalc;
  const main = document.querySelector("main");
  const lesson = main.dataset.record; // as the record calls it

  // ---------------------------------------------------------------- frames calculated beforehand

  async function unpack(text) {
    const packed = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
    return new Response(stream).arrayBuffer();
  }

  function nearest(values, wish) {
    let best = 0;
    values.forEach((value, at) => {
      if (Math.abs(value - wish) < Math.abs(values[best] - wish)) best = at;
    });
    return best;
  }

  // Frames lie one after the other; a frame's number follows from the grid of settings.
  async function framesOf({ spec, grid, frames: packedFrames, numbers: packedNumbers }) {
    const { frames, words } = JSON.parse(new TextDecoder().decode(await unpack(packedFrames)));
    const numbers = new Uint16Array(await unpack(packedNumbers));
    const ends = spec.series.map((series) => spec.panels[series.panel]);
    const from = [];
    let sum = 0;
    for (const frame of frames) {
      from.push(sum);
      sum += 2 * frame.counts.reduce((a, b) => a + b, 0);
    }
    const settingOf = (values) =>
      grid.settings.findIndex((setting) => grid.fixed.every((name) => setting[name] === values[name]));
    const look = (values) => {
      let at = Math.max(settingOf(values), 0);
      for (const axis of grid.axes) at = at * axis.values.length + nearest(axis.values, values[axis.name]);
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
        ...frame,
        values,
        floats: row,
        texts: frame.texts.map((number) => words[number]),
        sentence: words[frame.sentence],
        result: words[frame.result],
        table: frame.table.map((row) => row.map((number) => words[number])),
        alt: words[frame.alt],
        refusal: "",
      };
    };
    return { look, holds: (values) => settingOf(values) >= 0 };
  }

  // ---------------------------------------------------------------- a figure

  async function figureOnPage(place) {
    const data = JSON.parse(place.querySelector("script").textContent);
    const word = place.querySelector(".alive");
    const button = place.querySelector(".wake");
    const stage = place.querySelector(".stage");
    const frames = await framesOf(data);
    let wish = data.spec.start;
    let last = frames.look(wish);
    let missed = false;
    const source = (values) => {
      wish = values;
      if (python.state() === "awake") return python.ask("figure", { name: data.spec.name, values });
      missed = !frames.holds(values);
      if (missed) {
        word.textContent = "This one moves as soon as Python is awake.";
        return last;
      }
      last = frames.look(values);
      return last;
    };
    let view = figure.mount(stage, data.spec, source, last);
    python.listen(async (state, why) => {
      place.dataset.python = state;
      if (state === "awake") {
        word.textContent = "Alive: everything moves.";
        view.draw(await python.ask("figure", { name: data.spec.name, values: wish }));
      } else if (state === "failed") {
        const still = (values) => frames.look(values);
        still.exact = false;
        view.close();
        view = figure.mount(stage, { ...data.spec, ...data.plain }, still);
        word.textContent = `The main slider moves. Python, which moves the rest, does not wake here: ${why}.`;
      } else if (why === "scipy") word.textContent = "Fetching one more part of the library.";
      else if (state === "waking") word.textContent = "The main slider moves; the rest wakes up.";
      else word.textContent = "The main slider moves.";
    });
    python.wakeSoon(button);
  }

  // ---------------------------------------------------------------- questions

  const answers = []; // cards that take up a prediction again

  // What a card knows of the world: as in a notebook, but kept on this device.
  function modelOf(data) {
    const name = `answer/${data.lesson}/${data.name}`;
    const listening = [];
    return {
      get(what) {
        if (what === "kept") return data.part === "answer" ? null : keep.get(name);
        const { chosen } = keep.get(name);
        return data.part === "answer" ? data.specs[Number.isInteger(chosen) ? chosen + 1 : 0] || data.specs[0] : data.spec;
      },
      set(what, answer) {
        if (what === "kept") keep.change(name, (kept) => answered(kept, answer));
      },
      save_changes() {
        answers.filter((card) => card.name === name).forEach((card) => card.tell());
      },
      name,
      on: (_name, tell) => listening.push(tell),
      off() {},
      tell: () => listening.forEach((tell) => tell()),
    };
  }

  // Each time one is asked counts once: the first answer of a day, as far as it can be right.
  function answered(kept, answer) {
    const day = new Date().toISOString().slice(0, 10);
    const times = Array.isArray(kept.times) ? kept.times : [];
    if (answer.right !== null && times.every((one) => one.day !== day)) times.push({ day, right: answer.right });
    Object.assign(kept, answer, { times });
  }

  function cardOnPage(place) {
    const data = JSON.parse(place.querySelector("script").textContent);
    const model = modelOf(data);
    const stage = place.querySelector(".stage");
    question.render({ model, el: stage });
    if (data.part === "answer") answers.push(model);
  }

  // ---------------------------------------------------------------- a curve to draw

  // Judged by the library, so it waits for Python; what was drawn is kept.
  function drawnOnPage(place) {
    const data = JSON.parse(place.querySelector("script").textContent);
    const word = place.querySelector(".alive");
    const memory = {
      recall: (key) => (Array.isArray(keep.get(key).drawn) ? keep.get(key) : null),
      remember: keep.set,
    };
    const judge = (heights) => python.ask("judge", { name: data.name, drawn: heights });
    prediction.mountPrediction(place.querySelector(".stage"), data, judge, memory);
    python.listen((state, why) => {
      if (state === "failed") word.textContent = `Your curve is kept; Python, which looks at it, does not wake here: ${why}.`;
      else word.textContent = state === "awake" ? "" : "Python is waking; you can begin to draw.";
    });
  }

  // ---------------------------------------------------------------- the place one stopped at

  function rememberPlace() {
    if (!lesson) return;
    const headings = [...main.querySelectorAll("h2[id]")];
    const note = () => {
      const above = headings.filter((one) => one.getBoundingClientRect().top < innerHeight / 2);
      const here = above[above.length - 1];
      keep.set(`place/${lesson}`, { part: here ? here.textContent.trim() : "", id: here ? here.id : "" });
      if (here && here === headings[headings.length - 1]) keep.set(`read/${lesson}`, { read: true });
    };
    let later = 0;
    addEventListener("scroll", () => {
      clearTimeout(later);
      later = setTimeout(note, 400);
    });
    note();
  }

  document.querySelectorAll(".on-page.figure").forEach((place) => {
    figureOnPage(place).catch((trouble) => {
      place.querySelector(".alive").textContent = `The picture does not move here: ${trouble.message}.`;
    });
  });
  document.querySelectorAll(".on-page.question").forEach(cardOnPage);
  document.querySelectorAll(".on-page.prediction").forEach(drawnOnPage);
  rememberPlace();
})();

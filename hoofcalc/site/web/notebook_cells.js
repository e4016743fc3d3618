// Answers to cells of the handed-out notebook and back again: pure, without page or Python.
(() => {
  "use strict";

  // ---------------------------------------------------------------- a number as people write it

  // What one unit is worth in another; only units of the same kind stand in a row.
  const KINDS = [
    { mm: 1, cm: 10, m: 1000 },
    { n: 1, kn: 1000 },
    { mpa: 1, kpa: 0.001, gpa: 1000 },
    { s: 1, ms: 0.001 },
    { kg: 1, g: 0.001 },
    { degrees: 1 },
    { "%": 1 },
    { "nmm": 1, "nm": 1000 },
    { "mm2": 1, "cm2": 100 },
    { "mm3": 1, "cm3": 1000 },
    { "m/s": 1 },
  ];
  const SPELT = {
    "°": "degrees", deg: "degrees", degree: "degrees", degrees: "degrees",
    newton: "n", newtons: "n", kilonewton: "kn", "n/mm2": "mpa", megapascal: "mpa",
    millimetre: "mm", millimetres: "mm", centimetre: "cm", centimetres: "cm", metre: "m", metres: "m",
    second: "s", seconds: "s", sec: "s", millisecond: "ms", milliseconds: "ms",
    kilogram: "kg", kilograms: "kg", gram: "g", grams: "g",
    percent: "%", "percent.": "%", ccm: "cm3", cubiccentimetres: "cm3", cubicmillimetres: "mm3",
    squaremillimetres: "mm2",
  };

  function unitOf(text) {
    const bare = text.toLowerCase().replace(/[\s·.]/g, "").replace("²", "2").replace("³", "3").replace("per cent", "%");
    return SPELT[bare] || bare;
  }

  // A number with decimal comma or point, with or without a unit: its value in the unit asked for.
  function readNumber(typed, asked = "") {
    const text = typed.replace(/[−–]/g, "-").replace(/[\u00a0\u2009\u202f]/g, " ").trim();
    const found = text.match(/^([+-]?\s*(?:\d[\d .,'’]*|[.,]\d+)(?:\s*[eE]\s*[+-]?\d+)?)\s*(.*)$/);
    if (!found) return { trouble: "There is no number in it. Write figures only, like 12.5 or 12,5." };
    const parted = found[1].match(/^(.*?)(?:[eE]\s*([+-]?\d+))?$/);
    let digits = parted[1].replace(/[ '’]/g, "").replace(/[.,]$/, "");
    const commas = (digits.match(/,/g) || []).length;
    const points = (digits.match(/\./g) || []).length;
    if (commas && points) {
      const decimal = digits.lastIndexOf(",") > digits.lastIndexOf(".") ? "," : ".";
      if ((decimal === "," ? commas : points) > 1) return { trouble: "There are two decimal signs in it. Write one number." };
      digits = digits.replaceAll(decimal === "," ? "." : ",", "").replace(",", ".");
    } else if (commas > 1 || points > 1) {
      if (!/^[+-]?\d{1,3}([.,]\d{3})+$/.test(digits)) return { trouble: "There are two decimal signs in it. Write one number." };
      digits = digits.replace(/[.,]/g, "");
    } else if (/^[+-]?[1-9]\d{0,2},\d{3}$/.test(digits)) {
      const [whole, rest] = digits.split(",");
      return { trouble: `${digits} may mean ${whole}${rest} or ${whole}.${rest}. Write it in one of these two ways.`, mark: digits };
    } else digits = digits.replace(",", ".");
    let value = Number(digits + (parted[2] ? `e${parted[2]}` : ""));
    if (!Number.isFinite(value)) return { trouble: "There is no number in it. Write figures only, like 12.5 or 12,5." };
    const written = found[2].trim();
    if (!written) return { value };
    if (/\d/.test(written.replace(/(mm|cm)[23]/i, ""))) return { trouble: "There is more than one number in it. Write one.", mark: written };
    const unit = unitOf(written);
    const wanted = unitOf(asked);
    if (unit === wanted) return { value };
    const kind = KINDS.find((one) => unit in one);
    if (!kind) return { trouble: `${written} is no unit that is known here. Write figures only${asked ? "; the unit stands beside" : ""}.`, mark: written };
    if (!wanted) return { trouble: `${written} does not belong here: what is asked for has no unit.`, mark: written };
    if (!(wanted in kind)) return { trouble: `${written} does not fit: the answer is asked for in ${asked}.`, mark: written };
    value = Number(((value * kind[unit]) / kind[wanted]).toPrecision(14));
    return { value, turned: `${value} ${asked}` };
  }

  // ---------------------------------------------------------------- a cell's source

  const begins = (name) => new RegExp(`^${name} = (.*?)(\\s*#.*)?$`, "m");
  const quoted = (text) => JSON.stringify(text);

  // Whether the stub asks for one number and nothing else, so that a field can take it.
  function isField(card) {
    if (card.kind !== "number") return false;
    const lines = card.stub.split("\n").filter((line) => line.trim() && !/^(import|from) /.test(line));
    return lines.length === 1 && /^answer_\w+ = \.\.\.$/.test(lines[0].trim());
  }

  function numberSource(card, typed) {
    if (!typed.trim()) return card.stub;
    const read = readNumber(typed, card.unit);
    const written = read.trouble ? quoted(typed) : String(read.value);
    const note = !read.trouble && written !== typed.trim() ? `  # typed: ${typed.trim().replace(/\n/g, " ")}` : "";
    return card.stub.replace(begins(card.answers[0]), () => `${card.answers[0]} = ${written}${note}`);
  }

  function choiceSource(card, letters) {
    let source = card.stub;
    card.answers.forEach((name, at) => {
      source = source.replace(begins(name), (_line, _old, note) => `${name} = ${quoted(letters[at] || "")}${note || ""}`);
    });
    return source;
  }

  // The source of a card's cell: what a learner in a notebook would have written there.
  function sourceOf(card, kept = {}) {
    if (kept.mode === "code") return kept.code === undefined ? card.stub : kept.code;
    if (card.kind === "written") return kept.text && kept.text.trim() ? kept.text : card.stub;
    if (card.kind === "choice") return choiceSource(card, kept.letters || []);
    if (isField(card)) return numberSource(card, kept.text || "");
    return kept.code === undefined ? card.stub : kept.code;
  }

  // And back: what a cell's source says, as a card shows it.
  function keptOf(card, source) {
    if (source.trim() === card.stub.trim()) return {};
    if (card.kind === "written") return { text: source };
    if (card.kind === "choice") {
      const letters = card.answers.map((name) => (source.match(new RegExp(`^${name} = "([^"\\\\]*)"`, "m")) || [])[1]);
      const kept = { letters: letters.map((letter) => (letter || "").trim().toUpperCase()) };
      const known = kept.letters.every((letter, at) => !letter || (at ? card.reasons : card.options).some(([one]) => one === letter));
      if (letters.every((letter) => letter !== undefined) && known && choiceSource(card, letters) === source) return kept;
    }
    if (isField(card)) {
      const found = source.match(begins(card.answers[0]));
      const note = found && found[2] && found[2].match(/# typed: (.*)$/);
      const typed = note ? note[1] : found && found[1].trim();
      if (typed) {
        const plain = /^"/.test(typed) ? unquoted(typed) : typed;
        if (plain !== null && numberSource(card, plain) === source) return { text: plain };
      }
    }
    return { mode: "code", code: source };
  }

  function unquoted(text) {
    try {
      return String(JSON.parse(text));
    } catch {
      return null;
    }
  }

  // ---------------------------------------------------------------- the notebook

  const gradeId = (cell) => ((cell.metadata || {}).nbgrader || {}).grade_id || cell.id || "";
  const textOf = (cell) => (Array.isArray(cell.source) ? cell.source.join("") : String(cell.source || ""));
  const linesOf = (text) => text.split(/(?<=\n)/);

  // The handed-out notebook (or the one that came back, with the learner's own cells) filled in.
  function handIn(exercise, kept, id) {
    const notebook = structuredClone(kept.base || exercise.notebook);
    const sources = Object.fromEntries(exercise.cards.map((card) => [card.cell, sourceOf(card, (kept.cards || {})[card.question])]));
    const there = new Set();
    for (const cell of notebook.cells) {
      const name = gradeId(cell);
      if (name === exercise.idCell) cell.source = [`my_id = ${quoted(id)}`];
      else if (name in sources) {
        // an answer that was split over two cells goes into the first
        cell.source = there.has(name) ? [] : linesOf(sources[name]);
        there.add(name);
      }
      if (cell.cell_type === "code") Object.assign(cell, { outputs: [], execution_count: null });
    }
    return notebook;
  }

  // What a notebook file says; throws words where it is none of this exercise.
  function bringBack(exercise, text) {
    let notebook;
    try {
      notebook = JSON.parse(text);
    } catch {
      throw new Error("This is not a notebook file (.ipynb), or it is damaged.");
    }
    if (!notebook || !Array.isArray(notebook.cells)) throw new Error("This is not a notebook file (.ipynb).");
    const of = ((notebook.metadata || {}).hoofcalc || {}).exercise;
    if (of && of !== exercise.name) throw new Error(`This file is the exercise ${of}. Open that one and bring it back there.`);
    const sources = {};
    for (const cell of notebook.cells) {
      const name = gradeId(cell);
      if (textOf(cell).trim()) sources[name] = sources[name] ? `${sources[name]}\n\n${textOf(cell)}` : textOf(cell);
    }
    const known = exercise.cards.filter((card) => card.cell in sources);
    if (!known.length) throw new Error(`Nothing of this exercise (${exercise.name}) is in that file.`);
    const cards = Object.fromEntries(known.map((card) => [card.question, keptOf(card, sources[card.cell])]));
    const id = ((sources[exercise.idCell] || "").match(/my_id = (?:"([^"]*)"|'([^']*)')/) || []).slice(1).find(Boolean) || "";
    const whole = exercise.cards.every((card) => notebook.cells.some((cell) => gradeId(cell) === card.cell));
    return { id, cards, base: whole ? notebook : undefined };
  }

  const cells = { readNumber, isField, sourceOf, keptOf, handIn, bringBack };
  globalThis.hoofcalc = globalThis.hoofcalc || {};
  globalThis.hoofcalc.cells = cells;
})();

// What stays on this device: guesses, answers, the place one stopped at. Nothing is sent anywhere.
//
// It is kept in the form of hoofcalc/figures/record.py, the same as in a learner's own folder: each
// thing lies under its own name with the time it was put there, so that two tabs do not write over
// each other, and a file from the one place is read in the other. Where the browser keeps nothing,
// it is kept while the page is open, and that is said.
(() => {
  "use strict";
  const FRONT = "hoofcalc/";
  const VERSION = 1;
  const lent = new Map(); // where the browser keeps nothing
  const listeners = [];
  let why = "";

  function fails(trouble) {
    const full = /quota/i.test(trouble.name) || trouble.code === 22;
    why = full
      ? "This browser has no room left: from here on nothing is kept. Take your work along as a file before you close the page."
      : "This browser keeps nothing when the page is closed. Take your work along as a file before you close it.";
    document.querySelectorAll(".keeps-nothing").forEach((place) => {
      place.textContent = why;
      place.hidden = false;
    });
  }

  const plain = (thing) => thing !== null && typeof thing === "object" && !Array.isArray(thing);
  const whole = (entry) => plain(entry) && "value" in entry && typeof entry.when === "string";

  // What lies under a name, with its time; null for nothing.
  function entry(name) {
    if (lent.has(name)) return structuredClone(lent.get(name));
    try {
      const found = JSON.parse(localStorage.getItem(FRONT + name));
      return whole(found) ? found : null;
    } catch {
      return null;
    }
  }

  function get(name) {
    const found = entry(name);
    return found && plain(found.value) ? found.value : {};
  }

  function put(name, found) {
    try {
      localStorage.setItem(FRONT + name, JSON.stringify(found));
      lent.delete(name);
    } catch (trouble) {
      lent.set(name, structuredClone(found));
      fails(trouble);
    }
  }

  function set(name, value) {
    put(name, { value, when: new Date().toISOString().replace(/\.\d+Z/, "Z") });
  }

  // Change what lies there now, not what lay there when the page was opened.
  function change(name, how) {
    const value = get(name);
    how(value);
    set(name, value);
    return value;
  }

  function names() {
    const found = new Set(lent.keys());
    try {
      for (let at = 0; at < localStorage.length; at += 1) {
        const name = localStorage.key(at);
        if (name.startsWith(FRONT) && entry(name.slice(FRONT.length))) found.add(name.slice(FRONT.length));
      }
    } catch {
      // nothing is kept
    }
    return [...found].sort();
  }

  // Everything as one record, and a record added: of what stands in both, the later is kept.
  function all() {
    return { hoofcalc: VERSION, entries: Object.fromEntries(names().map((name) => [name, entry(name)])) };
  }

  function add(record) {
    if (!plain(record) || !plain(record.entries) || typeof record.hoofcalc !== "number") throw new Error("This file was not written by the course, or it is damaged. Nothing was changed.");
    if (record.hoofcalc > VERSION) throw new Error("This file was written by a newer course. Nothing was changed.");
    const found = Object.entries(record.entries);
    if (!found.every(([, one]) => whole(one))) throw new Error("This file is damaged. Nothing was changed.");
    for (const [name, one] of found) {
      const mine = entry(name);
      if (!mine || mine.when < one.when) put(name, one);
    }
  }

  function clear() {
    for (const name of names()) {
      lent.delete(name);
      try {
        localStorage.removeItem(FRONT + name);
      } catch {
        // nothing is kept
      }
    }
  }

  window.addEventListener("storage", (event) => {
    if (event.key && event.key.startsWith(FRONT))
      listeners.forEach((tell) => tell(event.key.slice(FRONT.length)));
  });
  try {
    localStorage.setItem(`${FRONT}try`, "1");
    localStorage.removeItem(`${FRONT}try`);
  } catch (trouble) {
    window.addEventListener("DOMContentLoaded", () => fails(trouble));
  }

  window.hoofcalc = window.hoofcalc || {};
  window.hoofcalc.keep = { get, set, change, all, add, clear, elsewhere: (tell) => listeners.push(tell) };
})();

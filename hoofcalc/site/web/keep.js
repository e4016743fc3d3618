// What stays on this device: guesses, answers, the place one stopped at. Nothing is sent anywhere.
//
// Each lesson and exercise has a drawer of its own, so that two tabs do not write over each other.
// Where the browser keeps nothing, it is kept while the page is open, and that is said.
(() => {
  "use strict";
  const FRONT = "hoofcalc/";
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

  function get(name) {
    if (lent.has(name)) return structuredClone(lent.get(name));
    try {
      return JSON.parse(localStorage.getItem(FRONT + name)) || {};
    } catch {
      return {};
    }
  }

  function set(name, value) {
    try {
      localStorage.setItem(FRONT + name, JSON.stringify(value));
      lent.delete(name);
    } catch (trouble) {
      lent.set(name, structuredClone(value));
      fails(trouble);
    }
  }

  // Change a drawer by what lies in it now, not by what lay in it when the page was opened.
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
        if (name.startsWith(FRONT)) found.add(name.slice(FRONT.length));
      }
    } catch {
      // nothing is kept
    }
    return [...found].sort();
  }

  function all() {
    return Object.fromEntries(names().map((name) => [name, get(name)]));
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
  window.hoofcalc.keep = { get, set, change, all, clear, elsewhere: (tell) => listeners.push(tell), why: () => why };
})();

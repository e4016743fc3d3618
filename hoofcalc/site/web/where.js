// Where I am: what was done, what was remembered, and the file to take it along.
(() => {
  "use strict";
  const { keep } = window.hoofcalc;
  const place = document.getElementById("where-data");
  if (!place) return;
  const course = JSON.parse(place.textContent);
  const says = document.querySelector(".file-says");

  function make(tag, attributes = {}, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
    node.append(...children);
    return node;
  }

  function goOn() {
    const here = keep.get("here");
    const box = document.querySelector(".go");
    const name = here.lesson || here.exercise;
    if (!name) return;
    const lesson = course.find((one) => one.name === name);
    if (!lesson) return;
    const target = here.exercise ? lesson.exercisePage : `${lesson.page}${here.id ? `#${here.id}` : ""}`;
    box.querySelector(".at").textContent = here.exercise
      ? `${lesson.exerciseTitle}`
      : `${lesson.title}${here.title && here.id ? `, at ${headingOf(here)}` : ""}`;
    box.querySelector("a").href = target;
    box.querySelector("a").textContent = "Go on";
  }
  const headingOf = (here) => (keep.get(`lesson/${here.lesson}`).place || {}).title || "the beginning";

  function stateOf(lesson) {
    const kept = keep.get(`lesson/${lesson.name}`);
    const work = keep.get(`exercise/${lesson.name}`);
    const hold = Object.values(work.cards || {}).filter((one) => one.message && one.message.look === "holds" && !one.message.old).length;
    const words = [];
    if (kept.read) words.push("read");
    else if (kept.seen) words.push(`begun${kept.place && kept.place.title ? `, at ${kept.place.title}` : ""}`);
    if (work.handedIn) words.push(`exercise written to a file on ${new Date(work.handedIn).toLocaleDateString()}`);
    else if (work.cards) words.push(`exercise begun, ${hold} of ${lesson.tasks} hold`);
    return { words: words.join("; "), past: kept.read || Boolean(work.handedIn), begun: Boolean(kept.seen || work.cards) };
  }

  function chain() {
    const here = keep.get("here");
    document.querySelectorAll(".path .link").forEach((row, at) => {
      const lesson = course[at];
      const state = stateOf(lesson);
      const now = here.lesson === lesson.name || here.exercise === lesson.name;
      row.className = `link ${now ? "here" : state.past ? "past" : state.begun ? "begun" : "todo"}`;
      row.querySelector(".how-far").textContent = now ? `you are here${state.words ? `; ${state.words}` : ""}` : state.words;
    });
  }

  function remembered() {
    const list = document.querySelector(".remembered");
    const rows = [];
    for (const lesson of course) {
      const answered = keep.get(`lesson/${lesson.name}`).answered || {};
      for (const question of lesson.questions) {
        const times = answered[question.name] || [];
        if (!times.length) continue;
        const words = times.map((one) => (one.right ? "had it" : "did not")).join(", ");
        rows.push(
          make("li", { class: "idea" },
            make("a", { href: lesson.page }, question.ask),
            make("span", { class: "turns", role: "img", "aria-label": words }, ...times.slice(-6).map((one) => make("i", { class: one.right ? "y" : "n" }))),
            make("span", { class: "small quiet" }, `lesson ${lesson.name.slice(0, 2)}`)),
        );
      }
    }
    if (rows.length) list.replaceChildren(...rows);
  }

  function show() {
    goOn();
    chain();
    remembered();
    const id = keep.get("id").id;
    document.querySelector(".under").textContent = id ? `under ${id}` : "";
  }

  document.querySelector(".take").addEventListener("click", () => {
    const text = JSON.stringify({ hoofcalc: "where I am", version: 1, when: new Date().toISOString(), kept: keep.all() }, null, 1);
    const address = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    make("a", { href: address, download: `hoofcalc-${new Date().toISOString().slice(0, 10)}.json` }).click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    says.textContent = "The file was written. Bring it back here, or in another browser.";
  });

  document.querySelector(".bring-back").addEventListener("change", async (event) => {
    const [file] = event.target.files;
    event.target.value = "";
    if (!file) return;
    try {
      const data = JSON.parse(await file.text());
      if (data.hoofcalc !== "where I am" || typeof data.kept !== "object") throw new Error("other");
      if (Object.keys(keep.all()).length && !confirm("What is kept here is replaced by what is in the file. Go on?")) return;
      keep.clear();
      for (const [name, value] of Object.entries(data.kept)) keep.set(name, value);
      says.textContent = `Everything from ${file.name} is back.`;
      show();
    } catch {
      says.textContent = "This file was not written here, or it is damaged. Nothing was changed.";
    }
  });

  document.querySelector(".forget").addEventListener("click", () => {
    if (!confirm("All guesses, answers and places on this device are deleted. They cannot be brought back. Go on?")) return;
    keep.clear();
    says.textContent = "Everything is deleted.";
    location.reload();
  });

  keep.elsewhere(show);
  show();
})();

// Where I am: what was done, what was remembered, and the file to take it along.
// The notebook has a page of its own, drawn by figures/where.py from the same record. This one must
// stand where Python does not wake, and knows the exercises, which a notebook's record does not; so
// there are two, and a test holds what both say to be the same.
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

  // Where the learner was last: a lesson's part, or an exercise.
  function whereLast() {
    const [kind, name] = keep.latest("place/", "exercise/").split("/");
    const lesson = course.find((one) => (kind === "exercise" ? one.name : one.record) === name);
    return { kind, lesson };
  }

  function goOn() {
    const { kind, lesson } = whereLast();
    const box = document.querySelector(".go");
    if (!lesson) return;
    const { part, id } = keep.get(`place/${lesson.record}`);
    const inLesson = kind !== "exercise";
    box.querySelector(".at").textContent = inLesson ? `${lesson.title}${part ? `, at ${part}` : ""}` : lesson.exerciseTitle;
    const link = box.querySelector("a");
    link.href = inLesson ? `${lesson.page}${id ? `#${id}` : ""}` : lesson.exercisePage;
    link.textContent = "Go on";
  }

  function stateOf(lesson) {
    const { part } = keep.get(`place/${lesson.record}`);
    const { read } = keep.get(`read/${lesson.record}`);
    const work = keep.get(`exercise/${lesson.name}`);
    const hold = Object.values(work.cards || {}).filter((one) => one.message && one.message.look === "holds" && !one.message.old).length;
    const words = [];
    if (read) words.push("read");
    else if (part !== undefined) words.push(`begun${part ? `, at ${part}` : ""}`);
    if (work.handedIn) words.push(`exercise written to a file on ${new Date(work.handedIn).toLocaleDateString()}`);
    else if (work.cards) words.push(`exercise begun, ${hold} of ${lesson.tasks} hold`);
    return { words: words.join("; "), past: read || Boolean(work.handedIn), begun: part !== undefined || Boolean(work.cards) };
  }

  function chain() {
    const last = whereLast().lesson;
    document.querySelectorAll(".path .link").forEach((row, at) => {
      const lesson = course[at];
      const state = stateOf(lesson);
      const now = lesson === last;
      row.className = `link ${now ? "here" : state.past ? "past" : state.begun ? "begun" : "todo"}`;
      row.querySelector(".how-far").textContent = now ? `you are here${state.words ? `; ${state.words}` : ""}` : state.words;
    });
  }

  function remembered() {
    const list = document.querySelector(".remembered");
    const rows = [];
    for (const lesson of course) {
      for (const question of lesson.questions) {
        const kept = keep.get(`answer/${question.name}`).times;
        const times = Array.isArray(kept) ? kept.filter((one) => one && one.day) : [];
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
    const address = URL.createObjectURL(new Blob([`${JSON.stringify(keep.all(), null, 1)}\n`], { type: "application/json" }));
    make("a", { href: address, download: "my-course.json" }).click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    says.textContent = "The file my-course.json was written. Bring it back here, in another browser, or in your own copy of the course.";
  });

  document.querySelector(".bring-back").addEventListener("change", async (event) => {
    const [file] = event.target.files;
    event.target.value = "";
    if (!file) return;
    try {
      keep.add(parsed(await file.text()));
      says.textContent = `Everything from ${file.name} is here; where both knew something, the later stays.`;
      show();
    } catch (trouble) {
      says.textContent = trouble.message;
    }
  });
  function parsed(text) {
    try {
      return JSON.parse(text);
    } catch {
      return null; // said by what takes it in
    }
  }

  document.querySelector(".forget").addEventListener("click", () => {
    if (!confirm("All guesses, answers and places on this device are deleted. They cannot be brought back. Go on?")) return;
    keep.clear();
    says.textContent = "Everything is deleted.";
    location.reload();
  });

  keep.elsewhere(show);
  show();
})();

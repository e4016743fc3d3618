// An exercise as cards: own numbers, a field for each answer, the check, and the file to hand in.
(() => {
  "use strict";
  const { keep, python, cells } = window.hoofcalc;
  const place = document.getElementById("exercise-data");
  if (!place) return;
  const exercise = JSON.parse(place.textContent);
  const drawer = `exercise/${exercise.name}`;
  const PATIENCE_MS = 10_000; // as long as a cell may take when it is marked
  const hung = new Map(); // question -> the source that never came to an end
  const idField = document.getElementById("my-id");
  const tally = document.querySelector(".tally");
  const dots = document.querySelector(".dots");
  const says = document.querySelector(".file-says");
  const ICONS = {
    none: '<circle cx="14" cy="14" r="9" stroke-dasharray="1 5"/>',
    unread: '<rect x="3" y="5" width="22" height="18" rx="4" stroke-dasharray="4 3"/><path d="M11 11a3 3 0 1 1 3.500 3v1.500M14.500 19v.1"/>',
    slip: '<path d="M21 8a9 9 0 1 0 2 8"/><path d="M22 3v6h-6"/>',
    holds: '<circle cx="14" cy="12" r="8" fill="currentColor" stroke="none"/><path d="M3 24h22"/>',
    open: '<path d="M6 22l2-6L19 5l4 4-11 11z"/>',
  };
  const LOOKS = { "not begun": "none", "keep going": "slip", nearly: "slip", right: "holds", waiting: "open" };

  function make(tag, attributes = {}, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
      else if (value !== false && value !== null && value !== undefined) node.setAttribute(name, value);
    }
    node.append(...children);
    return node;
  }

  function icon(look) {
    const holder = document.createElement("template");
    holder.innerHTML = `<svg viewBox="0 0 28 28" aria-hidden="true">${ICONS[look]}</svg>`;
    return holder.content.firstChild;
  }

  const id = () => idField.value.trim();
  const keptOf = (card) => (keep.get(drawer).cards || {})[card.question] || {};
  function change(card, how) {
    keep.change(drawer, (kept) => {
      kept.cards = kept.cards || {};
      const one = kept.cards[card.question] || {};
      how(one);
      kept.cards[card.question] = one;
    });
  }

  // ---------------------------------------------------------------- one card

  function buildCard(card) {
    const root = document.querySelector(`[data-question="${card.question}"]`);
    const entry = root.querySelector(".entry");
    const state = root.querySelector(".state");
    const printed = root.querySelector(".printed");
    const button = root.querySelector(".check");
    const stop = root.querySelector(".stop");
    const toggle = root.querySelector(".as-code");
    let running = null;

    function show(message) {
      const look = message ? message.look : card.kind === "written" ? "open" : "none";
      state.className = `state ${look}`;
      const heading = message ? message.heading : card.kind === "written" ? "A person reads this" : "Not tried yet";
      const words = make("div", {}, make("strong", { class: "h" }, heading));
      if (message && message.words) words.append(make("span", {}, message.words));
      if (message && message.note) words.append(make("em", { class: "small" }, message.note));
      if (message && message.old) words.append(make("em", { class: "small" }, "You have changed your answer since."));
      state.replaceChildren(icon(look), words);
      printed.hidden = !(message && message.printed);
      printed.textContent = (message && message.printed) || "";
      count();
    }

    function changed(how) {
      change(card, (kept) => {
        how(kept);
        if (kept.message) kept.message.old = true;
      });
      show(keptOf(card).message);
    }

    function field() {
      const kept = keptOf(card);
      const name = `answer-${card.question}`;
      const input = make("input", {
        type: "text", id: name, inputmode: "decimal", autocomplete: "off",
        "aria-describedby": `${name}-read`,
      });
      input.value = kept.text || "";
      const read = make("p", { class: "small quiet", id: `${name}-read` });
      const tell = () => {
        const found = input.value.trim() ? cells.readNumber(input.value, card.unit) : {};
        read.textContent = found.turned ? `Read as ${found.turned}.` : "";
      };
      input.addEventListener("input", () => {
        changed((one) => (one.text = input.value));
        tell();
      });
      input.addEventListener("keydown", (event) => {
        if (event.key === "Enter") check();
      });
      tell();
      entry.replaceChildren(
        make("label", { for: name, class: "quiet" }, "Your answer"),
        make("div", { class: "num" }, input, make("span", { class: "unit" }, card.unit)),
        read,
      );
    }

    function group(title, options, at) {
      const kept = keptOf(card);
      const letters = kept.letters || [];
      const buttons = options.map(([letter, words]) =>
        make(
          "button",
          {
            type: "button",
            "data-letter": letter,
            "aria-pressed": String(letters[at] === letter),
            onclick: () => {
              changed((one) => {
                one.letters = one.letters || [];
                one.letters[at] = letter;
              });
              buttons.forEach((one) => one.setAttribute("aria-pressed", String(one.dataset.letter === letter)));
            },
          },
          make("strong", {}, letter), " ", words,
        ),
      );
      return make("div", { class: "opts", role: "group", "aria-label": title }, ...buttons);
    }

    function choice() {
      entry.replaceChildren(
        group("Your choice", card.options, 0),
        make("p", {}, make("strong", {}, "because")),
        group("Your reason", card.reasons, 1),
      );
    }

    function words() {
      const area = make("textarea", { id: `answer-${card.question}`, rows: 7 });
      area.value = keptOf(card).text || "";
      area.placeholder = card.stub.replaceAll("*", "").trim();
      area.addEventListener("input", () => changed((one) => (one.text = area.value)));
      entry.replaceChildren(make("label", { for: area.id, class: "quiet" }, "Your words"), area);
    }

    function editor() {
      const area = make("textarea", {
        id: `answer-${card.question}`, spellcheck: "false", autocapitalize: "off", autocomplete: "off",
        autocorrect: "off", wrap: "off", class: "code-text",
      });
      area.value = cells.sourceOf(card, keptOf(card));
      const lines = make("div", { class: "line-numbers", "aria-hidden": "true" });
      const size = () => {
        const count = area.value.split("\n").length;
        lines.textContent = Array.from({ length: count }, (_, at) => at + 1).join("\n");
        area.rows = Math.max(count, 4);
      };
      area.addEventListener("input", () => {
        changed((one) => (one.code = area.value));
        size();
      });
      area.addEventListener("keydown", (event) => {
        // four blanks for the Tab key; Escape first gives Tab back to moving on
        if (event.key === "Escape") area.dataset.tab = "moves";
        else if (event.key === "Tab" && area.dataset.tab !== "moves" && !event.shiftKey) {
          event.preventDefault();
          area.setRangeText("    ", area.selectionStart, area.selectionEnd, "end");
          area.dispatchEvent(new Event("input"));
        } else if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) check();
      });
      area.addEventListener("blur", () => delete area.dataset.tab);
      size();
      entry.replaceChildren(
        make("label", { for: area.id, class: "quiet" }, "Your code (Escape, then Tab, leaves the box)"),
        make("div", { class: "editor" }, lines, area),
      );
    }

    function fill() {
      const kept = keptOf(card);
      const code = kept.mode === "code" || (card.kind !== "written" && card.kind !== "choice" && !cells.isField(card));
      if (code) editor();
      else if (card.kind === "written") words();
      else if (card.kind === "choice") choice();
      else field();
      if (toggle) toggle.textContent = kept.mode === "code" ? "A field for the number instead" : "Work it out in code instead";
      show(kept.message);
    }

    if (toggle)
      toggle.addEventListener("click", () => {
        changed((one) => {
          if (one.mode === "code") {
            one.mode = "";
            const back = cells.keptOf(card, one.code || card.stub);
            if (back.text !== undefined) one.text = back.text;
          } else {
            one.code = cells.sourceOf(card, { text: one.text });
            one.mode = "code";
          }
        });
        fill();
        entry.querySelector("input, textarea").focus();
      });

    function tell(message) {
      change(card, (kept) => (kept.message = message));
      show(message);
    }

    async function check() {
      if (running || card.kind === "written") return;
      const kept = keptOf(card);
      if (kept.mode !== "code" && cells.isField(card) && (kept.text || "").trim()) {
        const read = cells.readNumber(kept.text, card.unit);
        if (read.trouble) {
          tell({ look: "unread", heading: "This cannot be read", words: `${read.trouble} It is kept as you typed it.` });
          return;
        }
      }
      const source = cells.sourceOf(card, kept);
      const above = exercise.cards.slice(0, exercise.cards.indexOf(card));
      const before = above
        .map((one) => [one, cells.sourceOf(one, keptOf(one))])
        .filter(([one, text]) => one.kind !== "written" && hung.get(one.question) !== text)
        .map(([, text]) => text);
      button.setAttribute("aria-disabled", "true"); // a button that is switched off would lose the focus
      button.textContent = python.state() === "awake" ? "Looking …" : "Python is waking …";
      stop.hidden = false;
      running = python.ask(
        "check",
        { exercise: exercise.name, id: id(), hints: exercise.hints, before, source, question: card.question, answers: card.answers },
        PATIENCE_MS,
      );
      try {
        const found = await running;
        tell({
          look: found.trouble ? "unread" : LOOKS[found.state],
          heading: found.trouble ? "This stops" : found.heading,
          words: found.words, note: found.note, printed: found.printed, state: found.state,
        });
      } catch (trouble) {
        if (trouble.stopped) hung.set(card.question, source);
        tell({ look: "unread", heading: trouble.stopped ? "Stopped" : "Python does not answer", words: wordsOf(trouble) });
      } finally {
        running = null;
        button.removeAttribute("aria-disabled");
        button.textContent = "Check";
        if (document.activeElement === stop) button.focus();
        stop.hidden = true;
      }
    }

    function wordsOf(trouble) {
      if (trouble.stopped === "late")
        return `It ran for ${PATIENCE_MS / 1000} seconds and was ended. Is there a loop that never comes to its end? Your text is kept.`;
      if (trouble.stopped === "ended") return "Your code ended Python itself. Leave that line out; your text is kept.";
      if (trouble.stopped) return "You stopped it. Your text is kept.";
      return `${trouble.message}. Your text is kept, and you can hand it in as it is.`;
    }

    if (button) button.addEventListener("click", check);
    if (stop) stop.addEventListener("click", () => python.stop("stopped"));
    return { card, fill };
  }

  // ---------------------------------------------------------------- the whole

  function count() {
    const looks = exercise.cards.map((card) => {
      const message = keptOf(card).message;
      if (card.kind === "written") return "open";
      return message && !message.old ? message.look : "none";
    });
    dots.replaceChildren(...looks.map((look) => make("i", { class: look })));
    const hold = looks.filter((look) => look === "holds").length;
    const read = looks.filter((look) => look === "open").length;
    tally.textContent = `${hold} of ${looks.length - read} hold` + (read ? `, ${read} ${read > 1 ? "are" : "is"} read by a person` : "");
  }

  let asked = 0;
  async function ownNumbers() {
    const mine = (asked += 1);
    const who = document.querySelector(".whose");
    who.textContent = id()
      ? `Your own numbers, ${id()}. Your neighbour has others: compare ways, not digits.`
      : "No id yet, so these are numbers to practise with.";
    try {
      const found = await python.ask("numbers", { exercise: exercise.name, id: id(), hints: exercise.hints });
      if (mine !== asked) return;
      document.querySelectorAll("[data-number-of]").forEach((one) => (one.textContent = found[one.dataset.numberOf]));
    } catch (trouble) {
      if (!trouble.stopped) who.textContent = `Your numbers cannot be drawn here: ${trouble.message}.`;
      else if (mine === asked) ownNumbers();
    }
  }

  const cards = exercise.cards.map(buildCard);
  const fillAll = () => {
    idField.value = keep.get("id").id || "";
    cards.forEach((one) => one.fill());
    ownNumbers();
  };

  let later = 0;
  idField.addEventListener("input", () => {
    keep.set("id", { id: idField.value });
    clearTimeout(later);
    later = setTimeout(() => {
      keep.change(drawer, (kept) => Object.values(kept.cards || {}).forEach((one) => one.message && (one.message.old = true)));
      cards.forEach(({ fill, card }) => card.kind !== "written" && !document.activeElement.closest(`[data-question="${card.question}"]`) && fill());
      ownNumbers();
    }, 400);
  });

  document.querySelector(".hand-in").addEventListener("click", () => {
    const owner = id();
    if (!owner) {
      says.textContent = "Type your id at the top first: the file is called by it.";
      idField.focus();
      return;
    }
    if (/[\\/:*?"<>|]/.test(owner) || owner.startsWith(".")) {
      says.textContent = "Your id holds a sign that cannot stand in a file's name. Ask who gave it to you.";
      return;
    }
    const notebook = cells.handIn(exercise, keep.get(drawer), owner);
    const address = URL.createObjectURL(new Blob([`${JSON.stringify(notebook, null, 1)}\n`], { type: "application/x-ipynb+json" }));
    const link = make("a", { href: address, download: `${owner}.ipynb` });
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    const now = new Date();
    keep.change(drawer, (kept) => (kept.handedIn = now.toISOString()));
    says.textContent = `The file ${owner}.ipynb was written at ${now.toTimeString().slice(0, 5)}: give it to your instructor. Nothing was sent.`;
  });

  document.querySelector(".bring-back").addEventListener("change", async (event) => {
    const [file] = event.target.files;
    event.target.value = "";
    if (!file) return;
    try {
      const found = cells.bringBack(exercise, await file.text());
      const now = keep.get(drawer);
      const mine = Object.keys(now.cards || {}).length;
      if (mine && !confirm("The answers on this page are replaced by those in the file. Go on?")) return;
      keep.set(drawer, { ...now, cards: { ...now.cards, ...found.cards }, base: found.base });
      if (found.id) keep.set("id", { id: found.id });
      fillAll();
      says.textContent = `The answers from ${file.name} are back.`;
    } catch (trouble) {
      says.textContent = trouble.message;
    }
  });

  // another tab wrote: show it, unless a hand is just at work here
  keep.elsewhere((name) => {
    if (name === "id") idField.value = keep.get("id").id || "";
    if (name !== drawer) return;
    cards.forEach(({ card, fill }) => {
      const here = document.activeElement && document.activeElement.closest(`[data-question="${card.question}"]`);
      if (!here) fill();
    });
  });

  const word = document.querySelector(".python-word");
  python.listen((state, why) => {
    document.documentElement.dataset.python = state;
    if (state === "awake") word.textContent = "Python is awake: answers are looked at.";
    else if (state === "failed") word.textContent = `Python does not wake here: ${why}. Your answers are kept and can be handed in; they are looked at when they are marked.`;
    else word.textContent = "Python is waking; you can begin to write.";
  });
  keep.change(drawer, () => {}); // the latest place is here
  fillAll();
})();

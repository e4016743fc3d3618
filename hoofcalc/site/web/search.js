// Search over lessons and glossary, in an index written with the site.
(() => {
  "use strict";
  const list = document.querySelector(".found");
  if (!list) return;
  const index = window.hoofcalcIndex || [];
  const field = document.querySelector("main input[type=search]");
  const says = document.querySelector(".found-says");
  const bare = (text) => text.toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f]/g, "");
  const wordsOf = (text) => bare(text).match(/[a-z0-9]+/g) || [];

  function score(entry, wanted) {
    const heading = wordsOf(`${entry.heading} ${entry.title}`);
    const text = wordsOf(entry.text);
    let sum = 0;
    for (const word of wanted) {
      const inHeading = heading.filter((one) => one.startsWith(word)).length;
      const inText = text.filter((one) => one.startsWith(word)).length;
      if (!inHeading && !inText) return 0;
      sum += 8 * inHeading + Math.min(inText, 5) + (heading.includes(word) ? 6 : 0);
    }
    return sum * (entry.page === "glossary.html" ? 1.5 : 1);
  }

  function piece(text, wanted) {
    const at = Math.max(0, bare(text).indexOf(wanted[0]) - 60);
    const cut = text.slice(at, at + 180);
    const line = document.createElement("span");
    if (at) line.append("… ");
    for (const part of cut.split(/(\s+)/)) {
      const hit = wordsOf(part).some((one) => wanted.some((word) => one.startsWith(word)));
      if (hit) line.append(Object.assign(document.createElement("mark"), { textContent: part }));
      else line.append(part);
    }
    line.append(" …");
    return line;
  }

  // how many letters to change, add or leave out to make one word of another
  function apart(one, other) {
    let row = [...Array(other.length + 1).keys()];
    for (let i = 1; i <= one.length; i++) {
      const next = [i];
      for (let j = 1; j <= other.length; j++)
        next.push(Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (one[i - 1] !== other[j - 1])));
      row = next;
    }
    return row[other.length];
  }

  // words of the course written much like one that it does not know, the nearest first
  function alike(word) {
    const known = new Set(index.flatMap(({ heading }) => wordsOf(heading)));
    return [...known]
      .map((one) => ({ one, letters: apart(word, one) }))
      .filter(({ one, letters }) => letters <= Math.min(2, one.length / 3) && letters < word.length)
      .sort((a, b) => a.letters - b.letters)
      .slice(0, 3)
      .map(({ one }) => one);
  }

  function offer(wanted) {
    says.textContent = `Nothing about “${field.value}”. `;
    const unknown = wanted.filter((word) => !index.some((entry) => score(entry, [word])));
    const others = unknown.flatMap(alike);
    if (others.length) says.append("Did you mean: ");
    else says.append("Try another word, or the beginning of one.");
    for (const other of others) {
      const press = document.createElement("button");
      press.textContent = other;
      press.addEventListener("click", () => {
        field.value = other;
        show();
        field.focus();
      });
      says.append(press, " ");
    }
  }

  function show() {
    const wanted = [...new Set(wordsOf(field.value))];
    if (!wanted.length) {
      list.replaceChildren();
      says.textContent = "";
      return;
    }
    const found = index
      .map((entry) => ({ entry, points: score(entry, wanted) }))
      .filter(({ points }) => points)
      .sort((a, b) => b.points - a.points)
      .slice(0, 25);
    if (found.length) says.textContent = `${found.length} ${found.length > 1 ? "places" : "place"}, the best first`;
    else offer(wanted);
    list.replaceChildren(
      ...found.map(({ entry }) => {
        const row = document.createElement("li");
        const link = document.createElement("a");
        link.href = `${entry.page}${entry.place ? `#${entry.place}` : ""}`;
        link.textContent = entry.heading === entry.title ? entry.title : `${entry.heading} (${entry.title})`;
        row.append(link, document.createElement("br"), piece(entry.text, wanted));
        return row;
      }),
    );
  }

  field.value = new URLSearchParams(location.search).get("q") || "";
  field.addEventListener("input", show);
  field.form.addEventListener("submit", (event) => event.preventDefault());
  show();
})();

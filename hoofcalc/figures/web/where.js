// "Where I am", in a notebook and on a page: the way on, how far each lesson is, what is remembered,
// and the file to take along, bring back or delete. Deleting asks once more.
//
// The model holds "course", what there is, and "record", the text of the learner's file. It hears
// {bring, named} and {forget}, and answers with {says}.

function render({ model, el }) {
  const course = model.get("course");
  let entries = {};

  const at = make("p", { class: "at" });
  const on = make("a", { class: "on" });
  const path = make("ol", { class: "path" });
  const remembered = make("ul", { class: "remembered" });
  const says = make("p", { class: "file-says", role: "status" });
  const file = make("input", { type: "file", accept: ".json,application/json", onchange: bringBack });
  const sure = make("span", { hidden: "" },
    make("button", { type: "button", onclick: () => tell({ forget: true }) }, "Yes, delete it"),
    make("button", { type: "button", onclick: leave }, "No, keep it"));

  function value(name) {
    const found = entries[name]?.value;
    return found && typeof found === "object" && !Array.isArray(found) ? found : {};
  }

  // Where the learner was last: a lesson, or its exercise where there is a page of it.
  function whereLast() {
    const places = course.lessons.flatMap((lesson) => [
      { lesson, name: `place/${lesson.record}` },
      ...(lesson.exercise ? [{ lesson, exercise: lesson.exercise, name: `exercise/${lesson.name}` }] : []),
    ]);
    const been = places.filter(({ name }) => name in entries);
    return been.reduce((best, one) => (best && entries[best.name].when >= entries[one.name].when ? best : one), null);
  }

  function goOn(last) {
    at.textContent = "Nothing begun yet";
    on.textContent = last ? "Go on" : "Begin";
    on.href = course.lessons[0].page;
    if (!last) return;
    const { part, id } = value(last.name);
    const anchor = course.anchors === "id" ? id : part && String(part).replaceAll(" ", "-");
    at.textContent = last.exercise ? last.exercise.title : `${last.lesson.title}${part ? `, at ${part}` : ""}`;
    on.href = last.exercise ? last.exercise.page : `${last.lesson.page}${anchor ? `#${anchor}` : ""}`;
  }

  function stateOf(lesson) {
    const { part } = value(`place/${lesson.record}`);
    const { read } = value(`read/${lesson.record}`);
    const work = value(`exercise/${lesson.name}`);
    const answers = lesson.questions.map((name) => value(`answer/${name}`)).filter((one) => Object.keys(one).length);
    const guesses = [`predict/${lesson.record}`, `answer/${lesson.record}/predict`];
    const guessed = guesses.some((name) => Object.keys(value(name)).length);
    const words = [];
    if (read) words.push("read");
    else if (part !== undefined) words.push(`begun${part ? `, at ${part}` : ""}`);
    if (guessed) words.push("guess made");
    if (answers.length) {
      const right = answers.filter((one) => one.right === true).length;
      words.push(`${answers.length} of ${lesson.questions.length} answered, ${right} right`);
    }
    if (work.handedIn) words.push(`exercise written to a file on ${new Date(work.handedIn).toLocaleDateString()}`);
    else if (work.cards) words.push(workOn(work.cards, lesson.exercise));
    return { words: words.join("; "), past: read || Boolean(work.handedIn), begun: words.length > 0 };
  }

  function workOn(cards, exercise) {
    const hold = Object.values(cards).filter((one) => one?.message?.look === "holds" && !one.message.old);
    return exercise ? `exercise begun, ${hold.length} of ${exercise.tasks} hold` : "exercise begun";
  }

  function link(lesson, here) {
    const state = stateOf(lesson);
    const picture = make("span", { class: "pic" });
    picture.innerHTML = `<svg viewBox="0 0 28 28" aria-hidden="true">${lesson.picture}</svg>`;
    const ways = [make("a", { href: lesson.page }, lesson.title)];
    if (lesson.exercise) ways.push(make("a", { href: lesson.exercise.page }, "exercise"));
    const words = [here ? "you are here" : "", state.words].filter(Boolean).join("; ");
    const how = here ? "here" : state.past ? "past" : state.begun ? "begun" : "todo";
    return make("li", { class: `link ${how}` }, picture, make("div", { class: "les" }, ...ways), make("span", { class: "how-far" }, words));
  }

  // Every time an idea was asked, the earliest first.
  function timesOf(idea) {
    const times = idea.asked.flatMap((name) => value(`answer/${name}`).times || []);
    return times.filter((one) => one && typeof one.day === "string").sort((one, other) => (one.day < other.day ? -1 : 1));
  }

  function row(idea) {
    const times = timesOf(idea);
    const words = times.map((one) => (one.right ? "had it" : "did not")).join(", ");
    const bars = times.slice(-6).map((one) => make("i", { class: one.right ? "y" : "n" }));
    return make("li", { class: "idea" },
      make("span", {}, idea.name),
      make("span", { class: "turns", role: "img", "aria-label": words }, ...bars),
      make("span", { class: "quiet" }, `lessons ${idea.lessons.join(", ")}`));
  }

  function show() {
    entries = JSON.parse(model.get("record")).entries;
    const last = whereLast();
    goOn(last);
    path.replaceChildren(...course.lessons.map((lesson) => link(lesson, last !== null && lesson === last.lesson)));
    const asked = course.ideas.filter((idea) => timesOf(idea).length);
    remembered.replaceChildren(...(asked.length ? asked.map(row) : [make("li", {}, "Nothing asked yet: answer a question in a lesson.")]));
  }

  function take() {
    const address = URL.createObjectURL(new Blob([model.get("record")], { type: "application/json" }));
    make("a", { href: address, download: "my-course.json" }).click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    says.textContent = "The file my-course.json was written. Bring it back here, in a browser, or in your own copy of the course.";
  }

  async function bringBack() {
    const [one] = file.files;
    if (one) tell({ bring: await one.text(), named: one.name });
    file.value = "";
  }

  function tell(message) {
    leave();
    model.send(message);
  }

  function ask() {
    sure.hidden = false;
    says.textContent = "All guesses, answers and places are deleted. They cannot be brought back.";
    sure.firstChild.focus();
  }

  function leave() {
    sure.hidden = true;
    says.textContent = "";
  }

  const heard = (message) => (says.textContent = message.says);
  const root = make("section", { class: "hoofcalc hoofcalc-where", "aria-label": "Where I am" },
    make("div", { class: "box go" }, make("div", {}, make("p", { class: "quiet" }, "Go on where you stopped"), at), on),
    make("div", { class: "sides" },
      make("div", {}, make("h2", {}, "The chain"), path),
      make("div", {},
        make("h2", {}, "What you remember"),
        remembered,
        make("p", { class: "quiet" }, "Each bar is one day you were asked. ", make("b", {}, "Full:"), " you had it. ", make("b", {}, "Hatched:"), " you did not. Guesses before a figure do not count."),
        make("h2", {}, "Take it along"),
        make("div", { class: "box" },
          make("p", {}, "All that is kept fits into one small file, my-course.json: guesses, answers, work on the exercises, your place. Nothing of it is sent anywhere."),
          make("p", { class: "ways" },
            make("button", { type: "button", onclick: take }, "Write the file"),
            make("label", {}, "Bring a file back ", file),
            make("button", { type: "button", onclick: ask }, "Delete everything"), sure),
          says))));
  show();
  model.on("change:record", show);
  model.on("msg:custom", heard);
  el.replaceChildren(root);
  const unwatch = followScheme(root, () => {});
  return () => {
    unwatch();
    model.off("change:record", show);
    model.off("msg:custom", heard);
  };
}

export default { render };

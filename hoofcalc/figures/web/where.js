// "Where I am" in a notebook: the page as Python wrote it, and the file to take along, bring back
// or delete. Deleting asks once more.

function render({ model, el }) {
  const root = make("section", { class: "hoofcalc hoofcalc-card hoofcalc-where", "aria-label": "Where I am" });
  const page = make("div", {});
  const says = make("p", { class: "reply", role: "status" });
  const file = make("input", { type: "file", accept: ".json,application/json", onchange: bringBack });
  const forget = make("button", { type: "button", onclick: ask }, "Delete everything");
  const sure = make("span", { hidden: "" },
    make("button", { type: "button", onclick: () => tell({ forget: true }) }, "Yes, delete it"),
    make("button", { type: "button", onclick: leave }, "No, keep it"));

  function take() {
    const address = URL.createObjectURL(new Blob([model.get("record")], { type: "application/json" }));
    make("a", { href: address, download: "my-course.json" }).click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    says.textContent = "The file my-course.json was written. Bring it back here or on the page.";
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

  const show = () => (page.innerHTML = model.get("page"));
  const heard = (message) => (says.textContent = message.says);
  root.append(
    page,
    make("h3", {}, "Take it along"),
    make("p", {}, "All that is kept fits into one small file in your own folder, my-course.json. Nothing of it is sent anywhere."),
    make("p", { class: "ways" },
      make("button", { type: "button", onclick: take }, "Write the file"),
      make("label", {}, "Bring a file back ", file),
      forget, sure),
    says,
  );
  show();
  model.on("change:page", show);
  model.on("msg:custom", heard);
  el.replaceChildren(root);
  const unwatch = followScheme(root, () => {});
  return () => {
    unwatch();
    model.off("change:page", show);
    model.off("msg:custom", heard);
  };
}

export default { render };

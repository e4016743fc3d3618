// A question: choose or type, and be answered at once. No kernel is needed for that. What was
// answered is set as the model's "kept" ({ chosen | typed | sorts, right }), and a card that finds
// it there when it opens stands as it was left.

// A hoof from the side; the words beside it say the same.
function drawnFoot(outline) {
  const namespace = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(namespace, "svg");
  svg.setAttribute("viewBox", "-30 8 134 60");
  svg.setAttribute("aria-hidden", "true");
  const [ground, hoof] = ["polyline", "polygon"].map((kind) => document.createElementNS(namespace, kind));
  ground.setAttribute("points", "-30,60 104,60");
  hoof.setAttribute("points", outline);
  svg.append(hoof, ground);
  return svg;
}

// The reply to a typed number: right, a known slip, or which way it is wrong.
export function judge(spec, text) {
  const value = Number(text.trim().replace(",", "."));
  if (text.trim() === "" || !Number.isFinite(value)) {
    return { right: false, says: `"${text}" is not a number. Write digits only, for example 12.5` };
  }
  const close = (target) => Math.abs(value - target) <= spec.tolerance * Math.abs(target);
  if (close(spec.truth)) return { right: true, says: spec.reply };
  const slip = spec.slips.find((one) => close(one.value));
  if (slip) return { right: false, says: slip.says };
  return { right: false, says: `${value < spec.truth ? "Too small." : "Too large."} ${spec.hint}` };
}

function render({ model, el }) {
  const root = make("section", { class: "hoofcalc hoofcalc-card" });
  const reply = make("p", { class: "reply", role: "status" });
  const id = Math.random().toString(36).slice(2);
  const kept = model.get("kept") || {};

  function keep(answered) {
    model.set("kept", answered);
    model.save_changes();
  }

  function say(right, says) {
    const sign = right === null ? "" : right ? "✓ Yes. " : "→ Not yet. ";
    reply.textContent = sign + says;
    reply.className = `reply ${right === null ? "" : right ? "right" : "wrong"}`;
  }

  function choice(spec) {
    const options = spec.options.map((option, at) => {
      const radio = make("input", {
        type: "radio",
        name: id,
        value: at,
        onchange: () => {
          keep({ chosen: at, right: spec.predict ? null : Boolean(option.right) });
          say(spec.predict ? null : option.right, option.reply);
        },
      });
      radio.checked = kept.chosen === at;
      return make("label", { class: "option" }, radio, make("span", {}, option.says));
    });
    root.append(make("fieldset", {}, make("legend", {}, spec.ask), ...options), reply);
    const before = spec.options[kept.chosen];
    if (before) say(spec.predict ? null : before.right, before.reply);
  }

  function number(spec) {
    const box = make("input", { type: "text", inputmode: "decimal", autocomplete: "off", id });
    const check = () => {
      const found = judge(spec, box.value);
      say(found.right, found.says);
      keep({ typed: box.value, right: found.right });
    };
    box.addEventListener("keydown", (event) => {
      if (event.key === "Enter") {
        event.preventDefault();
        check();
      }
    });
    root.append(
      make("label", { class: "ask", for: id }, spec.ask),
      make("span", { class: "typed" }, box, ` ${spec.unit} `, make("button", { type: "button", onclick: check }, "Check")),
      reply,
    );
    if (typeof kept.typed === "string") {
      box.value = kept.typed;
      const found = judge(spec, kept.typed);
      say(found.right, found.says);
    }
  }

  // a mixed row: several feet, one choice each, the reason as soon as it is right
  function row(spec) {
    const choices = [];
    const sorts = () => choices.map((one) => one.value);
    const right = () => (sorts().every(Boolean) ? spec.feet.every((foot, at) => choices[at].value === foot.right) : null);
    const feet = spec.feet.map((foot, at) => {
      const told = make("p", { class: "reply", role: "status" });
      const choose = make(
        "select",
        { id: `${id}-${at}` },
        make("option", { value: "" }, "choose"),
        ...spec.options.map((sort) => make("option", { value: sort }, sort)),
      );
      choices.push(choose);
      const tell = () => {
        const fits = choose.value === foot.right;
        told.textContent = !choose.value ? "" : fits ? `✓ Yes. ${foot.reply}` : `→ Not yet. ${foot.look}`;
        told.className = `reply ${fits ? "right" : "wrong"}`;
      };
      choose.addEventListener("change", () => {
        tell();
        keep({ sorts: sorts(), right: right() });
      });
      const before = (kept.sorts || [])[at];
      if (spec.options.includes(before)) {
        choose.value = before;
        tell();
      }
      const words = make("label", { for: `${id}-${at}` }, `${at + 1}. ${foot.says}`);
      return make("li", {}, drawnFoot(foot.outline), make("div", {}, words, choose, told));
    });
    root.append(make("p", { class: "ask" }, spec.ask), make("ul", { class: "feet" }, ...feet));
  }

  function answer() {
    const spec = model.get("spec");
    root.replaceChildren(
      make("p", { class: "ask" }, spec.heading),
      ...spec.paragraphs.map((text) => make("p", {}, text)),
    );
  }

  const spec = model.get("spec");
  if (spec.kind === "answer") {
    answer();
    model.on("change:spec", answer);
  } else if (spec.kind === "number") number(spec);
  else if (spec.kind === "row") row(spec);
  else choice(spec);
  el.replaceChildren(root);
  const unwatch = followScheme(root, () => {});
  return () => {
    unwatch();
    model.off("change:spec", answer);
  };
}

export default { render };

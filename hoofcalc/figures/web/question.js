// A question in a notebook: choose or type, and be answered at once. No kernel is needed for the
// answer; the choice is told to Python so that a later card can come back to it.

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
          model.set("chosen", at);
          model.save_changes();
          say(spec.predict ? null : option.right, option.reply);
        },
      });
      radio.checked = model.get("chosen") === at;
      return make("label", { class: "option" }, radio, make("span", {}, option.says));
    });
    root.append(make("fieldset", {}, make("legend", {}, spec.ask), ...options), reply);
    const at = model.get("chosen");
    if (at >= 0) say(spec.predict ? null : spec.options[at].right, spec.options[at].reply);
  }

  function number(spec) {
    const box = make("input", { type: "text", inputmode: "decimal", autocomplete: "off", id });
    const check = () => {
      const found = judge(spec, box.value);
      say(found.right, found.says);
      root.dispatchEvent(new CustomEvent("hoofcalc-answered", { bubbles: true, detail: found }));
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
  }

  // a mixed row: several feet, one choice each, the reason as soon as it is right
  function row(spec) {
    const feet = spec.feet.map((foot, at) => {
      const told = make("p", { class: "reply", role: "status" });
      const choose = make(
        "select",
        { id: `${id}-${at}` },
        make("option", { value: "" }, "choose"),
        ...spec.options.map((sort) => make("option", { value: sort }, sort)),
      );
      choose.addEventListener("change", () => {
        const right = choose.value === foot.right;
        told.textContent = !choose.value ? "" : right ? `✓ Yes. ${foot.reply}` : `→ Not yet. ${foot.look}`;
        told.className = `reply ${right ? "right" : "wrong"}`;
      });
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

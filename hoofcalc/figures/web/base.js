// What every script of the course shares: making nodes, and the light or dark scheme.

function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value !== false && value !== null) node.setAttribute(name, value);
  }
  // the notebook would take the arrow keys for itself; it looks at the control with the focus
  if (["input", "button", "select", "summary"].includes(tag)) node.setAttribute("data-lm-suppress-shortcuts", "true");
  node.append(...children);
  return node;
}

function within(value, [low, high]) {
  return Math.min(Math.max(value, low), high);
}

// Colours by name as the style sheet has them now; read once and again after `forget`.
function paletteOf(root) {
  let known = new Map();
  const colour = (name) => {
    if (!known.has(name)) {
      const value = getComputedStyle(root).getPropertyValue(`--hc-${name}`).trim();
      if (!value) return name; // a plain colour
      known.set(name, value);
    }
    return known.get(name);
  };
  colour.forget = () => (known = new Map());
  return colour;
}

// Keeps the class "dark" on the root: the notebook's own theme where there is one, else the
// reader's preference. `changed` is called after each change; the answer ends the watch.
function followScheme(root, changed) {
  const wish = window.matchMedia("(prefers-color-scheme: dark)");
  const set = () => {
    const theme = document.body?.getAttribute("data-jp-theme-light");
    root.classList.toggle("dark", theme ? theme === "false" : wish.matches);
    changed();
  };
  const watch = new MutationObserver(set);
  if (document.body) watch.observe(document.body, { attributeFilter: ["data-jp-theme-light"] });
  wish.addEventListener("change", set);
  set();
  return () => {
    watch.disconnect();
    wish.removeEventListener("change", set);
  };
}

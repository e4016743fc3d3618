// One command for JupyterLab: run all cells, and leave the reader where they were. JupyterLab's own
// goes to the last cell. It needs nothing of JupyterLab's modules, so it is not built: this is the
// container that JupyterLab asks for the extension.
(() => {
  "use strict";

  async function makeAlive(app) {
    const panel = app.shell.currentWidget;
    const notebook = panel && panel.content;
    const page = panel && panel.node.querySelector(".jp-WindowedPanel-outer");
    if (!page || !notebook.widgets) return undefined;
    const [cell, top] = [notebook.activeCellIndex, page.scrollTop];
    const ran = app.commands.execute("notebook:run-all-cells");
    const back = () => {
      notebook.activeCellIndex = cell;
      page.scrollTop = top;
    };
    // the jump to the end comes at once or with one of the next frames; a hand on the page ends it
    const until = performance.now() + 1500;
    let free = false;
    const letGo = () => (free = true);
    const hands = ["wheel", "touchstart", "pointerdown", "keydown"];
    hands.forEach((kind) => page.addEventListener(kind, letGo, { once: true, passive: true }));
    const hold = () => {
      if (free || performance.now() > until) return;
      if (notebook.activeCellIndex !== cell || page.scrollTop !== top) back();
      requestAnimationFrame(hold);
    };
    hold();
    return ran;
  }

  const plugin = {
    id: "hoofcalc-alive:plugin",
    autoStart: true,
    activate: (app) => {
      app.commands.addCommand("hoofcalc:make-alive", {
        label: "Make it alive",
        execute: () => makeAlive(app),
      });
    },
  };
  const extension = { __esModule: true, default: plugin };
  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB["hoofcalc-alive"] = { init: () => {}, get: async () => () => extension };
})();

// Two things for JupyterLab. One command: run all cells, and leave the reader where they were;
// JupyterLab's own goes to the last cell. One style: what a fold works out is shown with the fold.
// It needs nothing of JupyterLab's modules, so it is not built: this is the container that
// JupyterLab asks for the extension.
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

  // Cells whose code is folded, behind a text that ends in a closed fold: they belong to it. One
  // that is reached by keys shows itself.
  function foldSums() {
    const fold = ".jp-RenderedMarkdown > details:last-child:not([open])";
    const cell = " + .jp-CodeCell:has(.jp-InputPlaceholder)";
    const behind = [1, 2, 3, 4, 5, 6, 7, 8].map(
      (many) => `.jp-MarkdownCell:has(${fold})${cell.repeat(many)}:not(.jp-mod-active)`,
    );
    const style = document.createElement("style");
    style.textContent = `${behind.join(",\n")} { display: none; }`;
    document.head.append(style);
  }

  const plugin = {
    id: "hoofcalc-alive:plugin",
    autoStart: true,
    activate: (app) => {
      foldSums();
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

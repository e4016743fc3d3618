// Five things for JupyterLab. Two commands: run all cells, and leave the reader where they were
// (JupyterLab's own goes to the last cell); and the full view, on and off. Two styles: what a fold
// works out is shown with the fold, and of folded code nothing but that it is there; and the chain
// at the top is drawn. And what a picture shows, in words, for those who cannot see it. It needs
// nothing of JupyterLab's modules, so it is not built: this is the container that JupyterLab asks
// for the extension.
(() => {
  "use strict";
  const folder = document.currentScript.src;

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
    addStyle(`${behind.join(",\n")} { display: none; }`);
  }

  // Of folded code JupyterLab shows the first line; a word is enough to find it by.
  function foldCode() {
    const folded = ".jp-InputPlaceholder";
    addStyle(`
      ${folded} .jp-PlaceholderText { display: none; }
      ${folded} .jp-Placeholder-content { flex: none; padding: 0 6px; border-color: transparent; background: none; }
      ${folded} .jp-Placeholder-contentContainer { align-items: center; }
      ${folded} .jp-Placeholder-contentContainer::before {
        content: "code"; color: var(--jp-ui-font-color2); font-size: var(--jp-ui-font-size1);
      }`);
  }

  function addStyle(rules) {
    const style = document.createElement("style");
    style.textContent = rules;
    document.head.append(style);
  }

  // The chain at the top of a lesson, drawn: a small picture over each of its links.
  async function drawChain(folder) {
    const chain = await (await fetch(new URL("chain.json", folder))).json();
    const line = ".jp-RenderedMarkdown h1 + p:has(> em > strong):has(a[href*='where.ipynb']) > em";
    // you are here: that has no link, and stands behind the lesson before or in front of the next
    const link = (number) => `a[href*='/${String(number).padStart(2, "0")}-']`;
    const here = (number) => (number > 1 ? `${link(number - 1)} + strong` : `strong:has(+ ${link(2)})`);
    const pictures = chain.map(({ lesson, picture }) => {
      const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 28 28" fill="none" stroke="black"
        stroke-width="2" stroke-linecap="round" stroke-linejoin="round">${picture}</svg>`;
      return `${line} > :is(${link(Number(lesson))}, ${here(Number(lesson))})::before {
        content: ""; width: 28px; height: 28px; background: currentColor;
        mask: url("data:image/svg+xml,${encodeURIComponent(svg)}") center / contain no-repeat; }`;
    });
    addStyle(`
      ${line} { display: flex; flex-wrap: wrap; align-items: end; gap: 4px; font-style: normal; }
      ${line} > :is(a, strong) { display: grid; justify-items: center; gap: 2px; }
      ${line} > strong { box-shadow: 0 3px; }
      ${pictures.join("\n")}`);
  }

  // A picture in a notebook has its words beside it in the file; JupyterLab draws it without them.
  function describePictures(registry) {
    const notebooks = registry.getWidgetFactory("Notebook");
    if (!notebooks) return false;
    const pictures = notebooks.rendermime.getFactory("image/png");
    const { createRenderer } = pictures;
    pictures.createRenderer = (options) => {
      const shown = createRenderer(options);
      const { renderModel } = shown;
      shown.renderModel = async function (model) {
        await renderModel.call(this, model);
        const about = model.metadata[options.mimeType];
        const picture = this.node.querySelector("img");
        if (picture && about && about.alt) picture.alt = about.alt;
      };
      return shown;
    };
    return true;
  }

  // At once where notebooks can be opened already, else as soon as they can.
  function describeAllPictures(registry) {
    if (describePictures(registry)) return;
    const more = () => {
      if (describePictures(registry)) registry.changed.disconnect(more);
    };
    registry.changed.connect(more);
  }

  // A lesson is opened alone, without files beside it and without the bar that moves and deletes
  // its cells (JupyterLab's own setting for that bar fails for a notebook opened later).
  function addFullView({ commands, shell, restored }) {
    const name = "hoofcalc:full-view";
    const full = () => shell.mode === "multiple-document";
    let lesson = null; // that was read when the view was changed
    addStyle("[data-shell-mode=single-document] .jp-cell-toolbar { display: none; }");
    commands.addCommand(name, {
      label: "Full view",
      caption: "All of JupyterLab: files, tabs and a bar for each cell. Once more: the lesson alone",
      isToggled: full,
      execute: () => {
        lesson = shell.currentWidget;
        return commands.execute("application:toggle-mode");
      },
    });
    restored.then(() => full() || shell.collapseLeft()); // whatever stood there the last time
    shell.modeChanged.connect(() => {
      commands.notifyCommandChanged(name);
      if (full()) shell.expandLeft();
      else shell.collapseLeft();
    });
    // with what stood there the last time JupyterLab may lose the lesson that is being read
    shell.layoutModified.connect(() => {
      if (!lesson || lesson.isDisposed || lesson.parent) return;
      shell.add(lesson, "main");
      shell.activateById(lesson.id);
    });
  }

  const plugin = {
    id: "hoofcalc-alive:plugin",
    autoStart: true,
    activate: (app) => {
      foldSums();
      foldCode();
      drawChain(folder).catch(() => {}); // its words stand there in any case
      describeAllPictures(app.docRegistry);
      addFullView(app);
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

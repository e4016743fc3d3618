// The page's end of Python: wakes it in a Web Worker, asks it, and stops it.
(() => {
  "use strict";
  const settings = JSON.parse(document.getElementById("hoofcalc-site").textContent);
  const listeners = [];
  const waiting = new Map();
  let worker = null;
  let state = "asleep"; // asleep, waking, awake, failed
  let why = "";
  let serial = 0;
  let again = 0;

  function become(next, reason = "") {
    state = next;
    why = reason;
    listeners.forEach((tell) => tell(state, why));
  }

  function cannot() {
    if (typeof WebAssembly !== "object" || typeof Worker !== "function") return "this browser is too old for it";
    if (typeof DecompressionStream !== "function") return "this browser is too old for it";
    if (location.protocol === "file:" && !settings.carried)
      return "the page was opened as a file; it needs to come from a web server, or to be the one-file page";
    return "";
  }

  // Where the runtime travels in the page itself, its bytes stand in data blocks.
  async function carriedFiles() {
    const files = {};
    for (const block of document.querySelectorAll("script[data-carried]")) {
      const letters = atob(block.textContent);
      const packed = new Uint8Array(letters.length);
      for (let at = 0; at < letters.length; at += 1) packed[at] = letters.charCodeAt(at);
      const zipped = packed[0] === 0x1f && packed[1] === 0x8b;
      const stream = zipped && new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
      files[block.dataset.carried] = zipped ? new Uint8Array(await new Response(stream).arrayBuffer()) : packed;
    }
    return files;
  }

  async function start() {
    const made = ({ data }) => heard(data);
    if (!settings.carried) {
      worker = new Worker(settings.worker);
      worker.onmessage = made;
      worker.onerror = (event) => failed(event.message || "its script did not load");
      worker.postMessage({ wake: { base: new URL(settings.runtime, location.href).href, archives: settings.archives } });
      return;
    }
    const carried = await carriedFiles();
    const scripts = ["pyodide.asm.js", "pyodide.js", "worker.js"].map((name) => carried[name]);
    const address = URL.createObjectURL(new Blob(scripts.flatMap((one) => [one, "\n"]), { type: "text/javascript" }));
    worker = new Worker(address);
    worker.onmessage = made;
    worker.onerror = (event) => failed(event.message || "its script did not load");
    worker.postMessage({ wake: { carried, archives: settings.archives } });
  }

  function failed(reason) {
    if (state === "awake") return; // a slip in one answer does not end it
    const words = /memory|allocat/i.test(reason) ? "this device has too little memory free" : reason;
    become("failed", words);
    waiting.forEach(({ reject }) => reject(new Error(words)));
    waiting.clear();
  }

  function wake() {
    if (state !== "asleep") return;
    const reason = cannot();
    if (reason) {
      become("failed", reason);
      return;
    }
    become("waking");
    start().catch((trouble) => failed(trouble.message));
  }

  function heard(data) {
    if (data.stage === "awake") become("awake");
    else if (data.stage === "failed") failed(data.why);
    else if (data.stage) listeners.forEach((tell) => tell(state, data.stage));
    else {
      const asked = waiting.get(data.serial);
      if (!asked) return;
      if (data.began) {
        if (asked.patience) asked.timer = setTimeout(() => stop("late"), asked.patience);
        return;
      }
      clearTimeout(asked.timer);
      if (data.over && state === "awake") {
        stop("ended");
        return;
      }
      waiting.delete(data.serial);
      if (data.why !== undefined) asked.reject(new Error(data.why));
      else {
        if (data.floats) data.result.floats = data.floats;
        asked.resolve(data.result);
      }
    }
  }

  // Ask; with a patience [ms] it is ended when it takes longer, and wakes anew.
  function ask(name, words, patience = 0) {
    if (state === "failed") return Promise.reject(new Error(why));
    wake();
    serial += 1;
    const number = serial;
    return new Promise((resolve, reject) => {
      waiting.set(number, { resolve, reject, patience });
      if (worker) worker.postMessage({ serial: number, ask: name, words });
      else {
        // the files are still being unpacked
        const until = setInterval(() => {
          if (!worker && state === "waking") return;
          clearInterval(until);
          if (worker) worker.postMessage({ serial: number, ask: name, words });
        }, 50);
      }
    });
  }

  // End what runs, and wake Python anew for the next question.
  function stop(reason = "stopped") {
    if (!worker) return;
    worker.terminate();
    worker = null;
    const open = [...waiting.values()];
    waiting.clear();
    open.forEach(({ reject, timer }) => {
      clearTimeout(timer);
      reject(Object.assign(new Error(reason), { stopped: reason }));
    });
    again += 1;
    state = "asleep";
    wake();
  }

  // Wait for a quiet moment; who pays for each megabyte is asked first.
  function wakeSoon(button) {
    const sparing = navigator.connection && navigator.connection.saveData;
    if (sparing && button) {
      button.hidden = false;
      button.textContent = `Wake Python (${settings.megabytes} MB)`;
      button.addEventListener("click", () => {
        button.hidden = true;
        wake();
      });
      return;
    }
    if ("requestIdleCallback" in window) requestIdleCallback(wake, { timeout: 1500 });
    else setTimeout(wake, 300);
  }

  window.hoofcalc = window.hoofcalc || {};
  window.hoofcalc.python = {
    ask,
    stop,
    wake,
    wakeSoon,
    listen(tell) {
      listeners.push(tell);
      tell(state, why);
    },
    state: () => state,
    restarts: () => again,
  };
})();

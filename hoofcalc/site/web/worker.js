// Python in a Web Worker: hoofcalc's own code, answering one question at a time.
//
// The page says where the files are (a folder beside it, or the bytes themselves), then asks.
// What needs scipy gets it when it is first needed. To stop it, the page ends the worker.
"use strict";

const FIRST = ["pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json"];
const TYPES = { wasm: "application/wasm", json: "application/json" };
const fetchFrom = self.fetch.bind(self);
let carried = null; // bytes by name, where the page brought them along
let base = "";
let awake = null;
let pyodide = null;
let python = null;

const SITE = "/lib/python3.12/site-packages";
const coming = new Map(); // what has been asked for already

// Some servers unpack on the way, so look at the bytes and not at the name.
async function unpacked(answer) {
  const reader = answer.body.getReader();
  const first = await reader.read();
  const rest = new ReadableStream({
    start: (end) => (first.done ? end.close() : end.enqueue(first.value)),
    async pull(end) {
      const { done, value } = await reader.read();
      if (done) end.close();
      else end.enqueue(value);
    },
  });
  const zipped = !first.done && first.value[0] === 0x1f && first.value[1] === 0x8b;
  return zipped ? rest.pipeThrough(new DecompressionStream("gzip")) : rest;
}

async function contentOf(name) {
  if (carried && carried[name]) return carried[name];
  if (!base) throw new Error(`${name} is not on this page`);
  const answer = await (coming.get(name) || fetchFrom(`${base}${name}.bin`));
  coming.delete(name);
  if (!answer.ok) throw new Error(`${name} does not come (${answer.status})`);
  return unpacked(answer);
}

// Whatever Pyodide fetches comes from our own files, and from nowhere else.
self.fetch = async (address) => {
  const name = String(address.url || address).split(/[?#]/)[0].split("/").pop();
  const ending = name.split(".").pop();
  return new Response(await contentOf(name), {
    headers: { "Content-Type": TYPES[ending] || "application/octet-stream" },
  });
};

async function wake(order) {
  carried = order.carried || null;
  base = order.base || "";
  // everything travels while the first parts are being read
  if (base) for (const name of [...FIRST, ...order.archives]) coming.set(name, fetchFrom(`${base}${name}.bin`));
  coming.forEach((one) => one.catch(() => {})); // told where it is waited for
  if (typeof loadPyodide !== "function") importScripts(`${base}pyodide.asm.js`, `${base}pyodide.js`);
  const nowhere = () => {}; // what is printed is caught before, by the cell that prints it
  pyodide = await loadPyodide({
    indexURL: base || "https://carried.invalid/",
    stdin: () => null,
    stdout: nowhere,
    stderr: nowhere,
  });
  for (const name of order.archives) {
    self.postMessage({ stage: name });
    pyodide.FS.writeFile("/tmp/archive.zip", new Uint8Array(await new Response(await contentOf(name)).arrayBuffer()));
    pyodide.runPython(`import zipfile; zipfile.ZipFile("/tmp/archive.zip").extractall("${SITE}")`);
  }
  pyodide.FS.unlink("/tmp/archive.zip");
  pyodide.runPython("import importlib; importlib.invalidate_caches()");
  python = pyodide.pyimport("hoofcalc.site.in_browser");
}

function call(name, words) {
  const found = python[name](JSON.stringify(words));
  const [text, floats] = found.toJs();
  found.destroy();
  return { result: JSON.parse(text), floats: floats && floats.length ? floats : null };
}

async function answer(name, words) {
  try {
    return call(name, words);
  } catch (trouble) {
    // what needs scipy gets it when it is first needed
    if (trouble.type !== "ModuleNotFoundError" || !/named 'scipy/.test(trouble.message)) throw trouble;
    self.postMessage({ stage: "scipy" });
    await pyodide.loadPackage("scipy", { checkIntegrity: false, messageCallback: () => {} });
    return call(name, words);
  }
}

// What an error says at its end; the lines above are for programmers.
function lastLine(trouble) {
  return String((trouble && trouble.message) || trouble).trim().split("\n").pop();
}

// One after the other: Python is one.
let line = Promise.resolve();
self.onmessage = ({ data }) => {
  if (data.wake) {
    awake = wake(data.wake);
    awake.then(
      () => self.postMessage({ stage: "awake" }),
      (trouble) => self.postMessage({ stage: "failed", why: lastLine(trouble) }),
    );
    return;
  }
  line = line.then(async () => {
    try {
      await awake;
      self.postMessage({ serial: data.serial, began: true });
      const { result, floats } = await answer(data.ask, data.words);
      self.postMessage({ serial: data.serial, result, floats }, floats ? [floats.buffer] : []);
    } catch (trouble) {
      const over = pyodide !== null && trouble.name !== "PythonError"; // Python itself has ended
      self.postMessage({ serial: data.serial, why: lastLine(trouble), over });
    }
  });
};

// Python in a Web Worker: hoofcalc's own code, answering one question at a time.
//
// The page says where the files are (a folder beside it, or the bytes themselves), then asks.
// What needs scipy gets it when it is first needed. To stop it, the page ends the worker.
"use strict";

const TYPES = { wasm: "application/wasm", json: "application/json" };
const fetchFrom = self.fetch.bind(self);
let carried = null; // bytes by name, where the page brought them along
let base = "";
let awake = null;
let pyodide = null;
let python = null;

async function unpacked(answer) {
  const bytes = new Uint8Array(await answer.arrayBuffer());
  // some servers unpack on the way, so look at the bytes and not at the name
  if (bytes[0] !== 0x1f || bytes[1] !== 0x8b) return bytes;
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

async function bytesOf(name) {
  if (carried && carried[name]) return carried[name];
  if (!base) throw new Error(`${name} is not on this page`);
  const answer = await fetchFrom(`${base}${name}.bin`);
  if (!answer.ok) throw new Error(`${name} does not come (${answer.status})`);
  return unpacked(answer);
}

// Whatever Pyodide fetches comes from our own files, and from nowhere else.
self.fetch = async (address) => {
  const name = String(address.url || address).split(/[?#]/)[0].split("/").pop();
  const ending = name.split(".").pop();
  return new Response(await bytesOf(name), {
    headers: { "Content-Type": TYPES[ending] || "application/octet-stream" },
  });
};

async function wake(order) {
  carried = order.carried || null;
  base = order.base || "";
  if (typeof loadPyodide !== "function") importScripts(`${base}pyodide.asm.js`, `${base}pyodide.js`);
  const nowhere = () => {}; // what is printed is caught before, by the cell that prints it
  pyodide = await loadPyodide({
    indexURL: base || "https://carried.invalid/",
    stdin: () => null,
    stdout: nowhere,
    stderr: nowhere,
  });
  self.postMessage({ stage: "python" });
  const quiet = { messageCallback: () => {}, errorCallback: () => {}, checkIntegrity: false };
  await pyodide.loadPackage("numpy", quiet);
  self.postMessage({ stage: "numpy" });
  pyodide.unpackArchive((await bytesOf(order.package)).slice().buffer, "zip", {
    extractDir: "/lib/python3.12/site-packages",
  });
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

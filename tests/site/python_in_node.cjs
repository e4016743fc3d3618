// Python for the browser in Node: reads a line of JSON, answers with a line of JSON.
// Started with the folder that holds the runtime's files and hoofcalc.zip.
const fs = require("fs");
const path = require("path");
const readline = require("readline");

const folder = path.resolve(process.argv[2]);
const { loadPyodide } = require(path.join(folder, "pyodide.js"));

(async () => {
  const pyodide = await loadPyodide({ indexURL: `${folder}/`, stdin: () => null, stdout: () => {}, stderr: () => {} });
  await pyodide.loadPackage("numpy", { messageCallback: () => {} });
  const zip = fs.readFileSync(path.join(folder, "hoofcalc.zip"));
  pyodide.unpackArchive(zip.buffer.slice(zip.byteOffset, zip.byteOffset + zip.byteLength), "zip", {
    extractDir: "/lib/python3.12/site-packages",
  });
  const python = pyodide.pyimport("hoofcalc.site.in_browser");
  process.stdout.write("awake\n");
  for await (const line of readline.createInterface({ input: process.stdin })) {
    const { ask, words } = JSON.parse(line);
    let answer;
    try {
      const found = python[ask](JSON.stringify(words));
      const [text, floats] = found.toJs();
      found.destroy();
      answer = { text, floats: Buffer.from(floats).toString("base64") };
    } catch (trouble) {
      if (!/named 'scipy/.test(trouble.message)) answer = { trouble: trouble.message };
      else {
        await pyodide.loadPackage("scipy", { messageCallback: () => {} });
        const found = python[ask](JSON.stringify(words));
        const [text, floats] = found.toJs();
        answer = { text, floats: Buffer.from(floats).toString("base64"), scipy: true };
      }
    }
    process.stdout.write(`${JSON.stringify(answer)}\n`);
  }
})();

// Python for the browser in Node: reads a line of JSON, answers with a line of JSON.
// Started with the folder that holds the runtime's files, hoofcalc.zip, and in archives.json what is
// unpacked.
const fs = require("fs");
const path = require("path");
const readline = require("readline");

const folder = path.resolve(process.argv[2]);
const { loadPyodide } = require(path.join(folder, "pyodide.js"));

(async () => {
  const pyodide = await loadPyodide({ indexURL: `${folder}/`, stdin: () => null, stdout: () => {}, stderr: () => {} });
  // as the worker of the page does it
  for (const name of JSON.parse(fs.readFileSync(path.join(folder, "archives.json")))) {
    pyodide.FS.writeFile("/tmp/archive.zip", fs.readFileSync(path.join(folder, name)));
    pyodide.runPython('import zipfile; zipfile.ZipFile("/tmp/archive.zip").extractall("/lib/python3.12/site-packages")');
  }
  pyodide.runPython("import importlib; importlib.invalidate_caches()");
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

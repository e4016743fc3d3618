// "Where I am" on a page: the record is what this browser keeps.
(() => {
  "use strict";
  const { keep, where } = window.hoofcalc;
  const tellers = {};
  const record = () => `${JSON.stringify(keep.all(), null, 1)}\n`;

  const model = {
    get: (name) => (name === "course" ? JSON.parse(document.getElementById("where-data").textContent) : record()),
    on: (name, tell) => (tellers[name] = tell),
    off() {},
    send({ bring, named, forget }) {
      let says = "Everything is deleted.";
      if (forget) keep.clear();
      else says = broughtBack(bring, named);
      show();
      tellers["msg:custom"]({ says });
    },
  };

  function broughtBack(text, named) {
    try {
      keep.add(parsed(text));
      return `Everything from ${named} is here; where both knew something, the later stays.`;
    } catch (trouble) {
      return trouble.message;
    }
  }

  function parsed(text) {
    try {
      return JSON.parse(text);
    } catch {
      return null; // said by what takes it in
    }
  }

  function show() {
    tellers["change:record"]();
    nameWho();
  }

  function nameWho() {
    const { id } = keep.get("id");
    document.querySelector(".under").textContent = id ? `under ${id}` : "";
  }

  where.render({ model, el: document.querySelector("main .where") });
  nameWho();
  keep.elsewhere(show);
})();

// Answers ahead of time: while nothing else is under way, the kernel is asked, one by one, for the
// settings that the next move may bring. A move to one of them is drawn at once and the kernel is
// told of it; what it then answers is drawn only if it differs. An answer is a function of its
// setting alone, so the store is kept until the figure is moved by somebody else.

const KEPT = 60; // a few kilobytes each
const PATIENCE_MS = 5000;

// send(message) goes to the kernel, draw(state) shows what nobody waits for, first stands now.
function foreseeing(send, draw, first) {
  const known = new Map(); // answers by setting, the one used last at the end
  const asked = new Map(); // what is under way, by serial
  let [likely, untold, newest] = [[], null, ""];

  function keep(key, state) {
    known.delete(key);
    if (!state.refusal) known.set(key, state);
    if (known.size > KEPT) known.delete(known.keys().next().value);
  }
  // one: its key; ahead, where it is for the store; drawn, what is shown already; answer, who waits
  function ask(values, one) {
    const serial = Math.random().toString(36).slice(2);
    asked.set(serial, one);
    send({ values, serial, ahead: Boolean(one.ahead) });
  }
  function onward() {
    if (asked.size) return;
    likely = likely.filter((values) => !known.has(JSON.stringify(values)));
    const values = !untold && likely.shift();
    if (untold) ask(...untold);
    else if (values) ask(values, { key: JSON.stringify(values), ahead: true });
    untold = null;
  }
  const later = () => setTimeout(onward); // the picture first

  function source(values) {
    const key = JSON.stringify(values);
    const state = known.get(key);
    untold = state && (key !== newest || untold) ? [values, { key, drawn: state }] : null;
    newest = key;
    likely = [];
    if (state) {
      keep(key, state);
      later();
      return state;
    }
    return new Promise((resolve, reject) => {
      const one = { key, answer: resolve };
      const patience = setTimeout(() => {
        one.answer = (answer) => one.key === newest && draw(answer); // else the hand has gone on
        reject(new Error("The notebook does not answer: it is busy or its kernel has stopped. Wait, or run this cell again."));
      }, PATIENCE_MS);
      one.answer = (answer) => {
        clearTimeout(patience);
        one.drawn = answer;
        resolve(answer);
      };
      ask(values, one);
    });
  }
  source.ahead = (settings) => {
    likely = settings;
    later();
  };

  // Whether this is an answer to something asked here.
  function heard(state) {
    const one = asked.get(state.serial);
    if (!one) return false;
    for (const serial of asked.keys()) {
      asked.delete(serial);
      if (serial === state.serial) break; // answers keep their order: what was asked before is lost
    }
    keep(one.key, state);
    if (one.ahead) {
      // the move may have come while it was under way
      for (const other of asked.values()) if (other.key === one.key && !state.refusal) other.answer(state);
    } else if (!one.drawn) one.answer(state);
    else if (one.key === newest && !alike(one.drawn, state)) draw(state);
    later();
    return true;
  }
  // Moved from elsewhere: what is under way and not waited for is no longer ours.
  function forget(state) {
    known.clear();
    keep(JSON.stringify(state.values), state);
    [likely, untold, newest] = [[], null, ""];
    for (const [serial, one] of asked) if (one.ahead || one.drawn) asked.delete(serial);
  }
  forget(first);
  return { source, heard, forget };
}

function alike(one, other) {
  const words = ({ serial, floats, ...rest }) => JSON.stringify(rest);
  const numbers = ({ floats }) => (floats ? new Uint32Array(floatsOf(floats).buffer) : []);
  const [these, those] = [numbers(one), numbers(other)];
  return words(one) === words(other) && these.length === those.length && these.every((bits, at) => bits === those[at]);
}

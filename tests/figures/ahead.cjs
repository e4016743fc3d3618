// A kernel that answers when it is told to, and a learner who moves; see test_ahead.py.
const assert = require("node:assert");
const wait = setTimeout;
globalThis.setTimeout = (does, ms) => (ms ? wait(does, ms) : setImmediate(does)); // no time is lost
const turn = () => new Promise((resolve) => setTimeout(resolve)); // what was put off is done

// the answer to a setting, a function of it alone; above 90 it is refused
const answerTo = ({ x }, serial = "") =>
  x > 90 ? { serial, values: { x }, refusal: `${x} is too much` }
    : { serial, values: { x }, counts: [1], floats: new Uint8Array(new Float32Array([x, x * x]).buffer), sentence: `It is ${x}.`, refusal: "" };

// As a figure asks: one at a time, and then for the newest; like `ask` in figure.js.
function learner(first = { x: 0 }) {
  const all = { sent: [], queue: [], drawn: [], trouble: [] };
  const show = (state) => all.drawn.push(state.refusal || state.sentence);
  const road = foreseeing((message) => { all.sent.push(message); all.queue.push(message); }, show, answerTo(first));
  let [busy, wanted] = [false, null];
  async function move(x) {
    wanted = { x };
    if (busy) return;
    busy = true;
    while (wanted) {
      const values = wanted;
      wanted = null;
      try {
        const answer = road.source(values);
        show(typeof answer.then === "function" ? await answer : answer);
      } catch (trouble) {
        all.trouble.push(trouble.message);
      }
    }
    busy = false;
  }
  all.told = { x: first.x }; // where Python stands
  async function answer(changes = {}) {
    const { values, serial, ahead } = all.queue.shift();
    if (!ahead) all.told = values;
    const found = road.heard({ ...answerTo(values, serial), ...changes });
    await turn();
    return found;
  }
  const rest = async () => { for (await turn(); all.queue.length; ) await answer(); };
  const real = () => all.sent.filter((one) => !one.ahead).map((one) => one.values.x);
  const ahead = (...places) => road.source.ahead(places.map((x) => ({ x })));
  return Object.assign(all, { road, move, answer, rest, real, ahead });
}

const checks = {
  async "what was asked ahead is drawn at once, and the kernel is told"() {
    const one = learner();
    one.ahead(1, 2);
    await one.rest();
    assert.deepEqual(one.drawn, []);
    assert.deepEqual(one.told, { x: 0 }, "asking ahead moves nothing");
    one.move(1);
    assert.deepEqual(one.drawn, ["It is 1."]);
    await one.rest();
    assert.deepEqual(one.told, { x: 1 });
    assert.deepEqual(one.drawn, ["It is 1."], "the same again is not drawn again");
  },
  async "what the kernel then answers is drawn where it differs"() {
    const one = learner();
    one.ahead(1);
    await one.rest();
    one.move(1);
    await turn();
    await one.answer({ sentence: "It is one." });
    assert.deepEqual(one.drawn, ["It is 1.", "It is one."]);
    const numbers = learner();
    numbers.ahead(1);
    await numbers.rest();
    numbers.move(1);
    await turn();
    await numbers.answer({ floats: new DataView(new Float32Array([1, 3]).buffer) });
    assert.equal(numbers.drawn.length, 2);
    const gone = learner();
    gone.ahead(1, 2);
    await gone.rest();
    gone.move(1);
    await turn();
    gone.move(2);
    await gone.answer({ sentence: "It is one." });
    assert.deepEqual(gone.drawn, ["It is 1.", "It is 2."], "the hand has gone on");
  },
  async "one question ahead at a time, and a move does not wait for it"() {
    const one = learner();
    one.ahead(1, 2, 3);
    await turn();
    assert.equal(one.queue.length, 1);
    one.move(7);
    assert.deepEqual(one.queue.map(({ values }) => values.x), [1, 7], "sent at once");
    await one.rest();
    assert.deepEqual(one.drawn, ["It is 7."]);
    assert.deepEqual(one.sent.map(({ values }) => values.x), [1, 7], "what was near before is not asked any more");
  },
  async "a question that is lost holds nothing up"() {
    const one = learner();
    one.ahead(1);
    await turn();
    one.queue.shift();
    one.move(7);
    await one.rest();
    one.ahead(8);
    await one.rest();
    one.move(8);
    assert.deepEqual(one.drawn, ["It is 7.", "It is 8."]);
    await one.rest();
    assert.deepEqual(one.told, { x: 8 });
  },
  async "a move to what is under way ahead is drawn by whichever answer comes first"() {
    const one = learner();
    one.ahead(1);
    await turn();
    one.move(1);
    await one.answer();
    assert.deepEqual(one.drawn, ["It is 1."]);
    await one.answer({ sentence: "It is one." });
    assert.deepEqual(one.drawn, ["It is 1.", "It is one."], "the second only where it differs");
    assert.deepEqual(one.told, { x: 1 });
  },
  async "moved from elsewhere, nothing kept is drawn"() {
    const one = learner();
    one.ahead(1, 2);
    await one.rest();
    one.move(1);
    await turn(); // told, and not answered
    one.road.forget(answerTo({ x: 50 }));
    assert.equal(await one.answer(), false, "an answer for whoever keeps Python and picture alike");
    one.move(2);
    assert.deepEqual(one.drawn, ["It is 1."]);
    await one.rest();
    assert.deepEqual(one.drawn, ["It is 1.", "It is 2."]);
  },
  async "a refusal is asked for each time, and shown once"() {
    const one = learner({ x: 90 });
    one.ahead(91);
    await one.rest();
    one.move(91);
    assert.deepEqual(one.drawn, []);
    await one.rest();
    assert.deepEqual(one.drawn, ["91 is too much"]);
    one.move(90);
    assert.deepEqual(one.drawn, ["91 is too much", "It is 90."]);
    await one.rest();
    assert.deepEqual(one.real(), [91, 90]);
  },
  async "an answer that comes too late is shown only where the hand still is"() {
    for (const to of [5, 1]) {
      const one = learner();
      one.ahead(1);
      await one.rest();
      const { setTimeout } = globalThis;
      globalThis.setTimeout = (does, ms) => setTimeout(does, (ms || 0) / 1000);
      one.move(5);
      await new Promise((resolve) => setTimeout(resolve, 30));
      globalThis.setTimeout = setTimeout;
      assert.match(one.trouble[0], /does not answer/);
      if (to === 1) one.move(1); // known, and drawn before the kernel wakes
      await one.rest();
      assert.deepEqual(one.drawn, [`It is ${to}.`]);
      assert.deepEqual(one.told, { x: to });
    }
  },
  async "no more than a few dozen are kept"() {
    const one = learner();
    for (let x = 1; x <= 90; x += 1) {
      one.ahead(x);
      await one.rest();
    }
    one.move(90);
    one.move(2);
    assert.deepEqual(one.drawn, ["It is 90."]);
    assert.deepEqual(one.queue.map(({ values }) => values.x), [2]);
  },
  async "forty hasty learners end where their hands are, picture and Python alike"() {
    let seed = 20261;
    const chance = (most) => (seed = (seed * 48271) % 2147483647) % most;
    let [foreseen, moved] = [0, 0];
    for (let number = 0; number < 40; number += 1) {
      const one = learner({ x: 40 });
      let x = 40;
      for (let turns = 0; turns < 40; turns += 1) {
        if (chance(3)) {
          x = Math.max(0, Math.min(95, x + (chance(9) ? (chance(4) ? 1 : -1) : chance(20) - 10)));
          const seen = one.drawn.length;
          one.move(x);
          moved += 1;
          if (one.drawn.length > seen) {
            foreseen += 1;
            assert.equal(one.drawn[seen], answerTo({ x }).sentence, "drawn at once: for this setting");
          }
          one.ahead(x + 1, x - 1, x + 2);
        }
        if (chance(2)) await turn();
        if (chance(3) && one.queue.length) await one.answer();
        assert.ok(one.queue.filter(({ ahead }) => ahead).length <= 1);
        assert.ok(one.queue.length <= 3);
      }
      await one.rest();
      const { refusal, sentence } = answerTo({ x });
      assert.equal(one.drawn.at(-1) || "It is 40.", refusal || sentence);
      assert.equal(one.told.x, x);
    }
    assert.ok(foreseen > 0.2 * moved, `${foreseen} of ${moved}`);
  },
};

(async () => {
  for (const [name, check] of Object.entries(checks)) {
    await check().catch((trouble) => { throw new Error(`${name}: ${trouble.stack}`); });
    console.log(name);
  }
  process.exit(); // nobody's patience need run out
})();

// @ts-check
// Workers for whole answers, apart from those of the knobs: one keeps the comparison, all cut lathes.

/** Lathes of a piece. */
const SIXTEEN = 16;
/** Lathes that a way's plan is played on as a rule. */
const A_WAY = 544;

/** @typedef {{of: object, alike: number, turn: object, from: number, to: number}} Wanted */

/** One worker: a question at a time, in order. */
class Worked {
  /** @param {ArrayBuffer} bytes @param {string} address */
  constructor(bytes, address) {
    this.worker = new Worker(address);
    /** @type {{question: object, good: (answer: any) => void, bad: (why: Error) => void}[]} */
    this.waiting = [];
    this.ready = false;
    this.busy = false;
    this.worker.onerror = (why) => this.failed(new Error(why.message));
    this.worker.onmessage = ({ data }) => {
      if (!this.ready) {
        if (!data.ready) return this.failed(new Error(data.failed));
        this.ready = true;
      } else {
        const one = this.waiting.shift();
        this.busy = false;
        const answer = data.answer ? JSON.parse(data.answer) : { fault: data.failed };
        if (answer?.fault) one?.bad(new Error(answer.fault));
        else one?.good(answer);
      }
      this.next();
    };
    this.worker.postMessage({ bytes });
  }

  /** @param {object} question @returns {Promise<any>} */
  ask(question) {
    return new Promise((good, bad) => {
      this.waiting.push({ question, good, bad });
      this.next();
    });
  }

  next() {
    if (!this.ready || this.busy || this.waiting.length === 0) return;
    this.busy = true;
    this.worker.postMessage({ id: 0, question: JSON.stringify(this.waiting[0].question) });
  }

  /** @param {Error} why */
  failed(why) {
    for (const one of this.waiting.splice(0)) one.bad(why);
  }

  end() {
    this.worker.terminate();
    this.failed(new Error("given up"));
  }
}

export class Pool {
  /** @param {ArrayBuffer} bytes the module @param {string} address of what a worker runs */
  constructor(bytes, address) {
    this.bytes = bytes;
    this.address = address;
    this.count = Math.min(Math.max(navigator.hardwareConcurrency || 2, 2), 8);
    /** @type {Worked[]} */
    this.hands = [];
    /** The work of forms and files, which no run stops. */
    this.desk = new Worked(bytes, address);
    this.running = false;
    /** @type {Worked | undefined} */
    this.own = undefined;
  }

  /** A question on texts: quick, and never given up.
   * @param {object} question @returns {Promise<any>} */
  one(question) {
    return this.desk.ask(question);
  }

  /** A question that takes its time, by a worker of its own: its answer may be given up.
   * @param {object} question @returns {Promise<any>} */
  alone(question) {
    this.own ??= new Worked(this.bytes, this.address);
    return this.own.ask(question);
  }

  /** Gives up what a worker of its own is at. */
  give() {
    this.own?.end();
    this.own = undefined;
  }

  /** What comes of the plan, its lathes shared among the workers in pieces; a run before is given up.
   * @param {object} texts @param {string} what
   * @param {(done: number, all: number) => void} progress @returns {Promise<any>} */
  async answer(texts, what, progress) {
    if (this.running) this.cancel();
    while (this.hands.length < this.count) this.hands.push(new Worked(this.bytes, this.address));
    const hands = [...this.hands];
    const first = hands[0];
    this.running = true;
    try {
      /** @type {[Wanted, any[]][]} */
      let found = [];
      let done = 0;
      let all = 0;
      for (;;) {
        const answer = await first.ask({ ask: "answer", what, ...texts, found });
        if (!answer.wanted) return answer;
        /** @type {Wanted[]} */
        const wanted = answer.wanted;
        const more = wanted.reduce((sum, one) => sum + one.to - one.from, 0);
        all = Math.max(all, done + more, new Set(wanted.map((one) => JSON.stringify(one.of))).size * A_WAY);
        found = wanted.map((one) => [one, []]);
        const pieces = wanted.flatMap((one, at) => {
          const each = [];
          for (let from = one.from; from < one.to; from += SIXTEEN) each.push({ at, from, to: Math.min(from + SIXTEEN, one.to) });
          return each;
        });
        /** @type {any[][][]} */
        const cut = wanted.map(() => []);
        await Promise.all(hands.map(async (hand) => {
          for (let piece = pieces.shift(); piece; piece = pieces.shift()) {
            const { at, from, to } = piece;
            cut[at][(from - wanted[at].from) / SIXTEEN] = await hand.ask({ ask: "cut", ...texts, wanted: { ...wanted[at], from, to } });
            done += to - from;
            progress(done, Math.max(all, done));
          }
        }));
        found = wanted.map((one, at) => [one, cut[at].flat()]);
      }
    } finally {
      if (hands[0] === this.hands[0]) this.running = false;
    }
  }

  /** Gives a run up: its workers are stopped, so nothing of it comes any more. */
  cancel() {
    for (const hand of this.hands.splice(0)) hand.end();
    this.running = false;
  }
}

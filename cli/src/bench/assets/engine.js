// @ts-check
// The engine in workers: the newest question alone while a knob turns, ranges of lathes in pieces.

/** Lathes of a piece. */
const PIECE = 16;
const WORKERS = 2;

/** @typedef {{worker: Worker, free: boolean, ready: boolean, done: ((answer: any, failed?: string) => void) | null, run: object | null}} Hand */
/** @typedef {{question: object, from: number, to: number, next: number, pieces: any[], got: number, progress: (done: number, all: number) => void, done: (trials: any[]) => void}} Run */

export class Engine {
  /** @param {string} base64 the module, gzipped @param {string} script what a worker runs
   * @param {(count: number) => void} counted told of every message to a worker */
  constructor(base64, script, counted) {
    this.base64 = base64;
    this.script = script;
    this.counted = counted;
    this.sent = 0;
    /** @type {Hand[]} */
    this.hands = [];
    /** By who asks. @type {Map<object, {questions: object[], done: (answers: any[], failed?: string) => void}>} */
    this.newest = new Map();
    /** @type {{questions: object[], done: (answers: any[], failed?: string) => void, next: number, answers: any[], failed?: string} | null} */
    this.asked = null;
    /** @type {Run | null} */
    this.run = null;
  }

  /** Unpacks the module and starts the workers; fails where a browser has none of it. */
  async start() {
    const packed = Uint8Array.from(atob(this.base64.trim()), (letter) => letter.charCodeAt(0));
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
    this.bytes = await new Response(stream).arrayBuffer();
    this.address = URL.createObjectURL(new Blob([this.script], { type: "text/javascript" }));
    const ready = Array.from({ length: WORKERS }, () => this.hire());
    await Promise.any(ready);
  }

  /** @returns {Promise<void>} */
  hire() {
    const worker = new Worker(this.address ?? "");
    /** @type {Hand} */
    const hand = { worker, free: false, ready: false, done: null, run: null };
    this.hands.push(hand);
    return new Promise((good, bad) => {
      worker.onerror = (why) => bad(new Error(why.message));
      worker.onmessage = ({ data }) => {
        if (!hand.ready) {
          if (!data.ready) return bad(new Error(data.failed));
          hand.ready = hand.free = true;
          good();
        } else {
          const { done } = hand;
          hand.free = true;
          hand.done = hand.run = null;
          if (data.failed) this.replace(hand);
          done?.(data.answer ? JSON.parse(data.answer) : null, data.failed);
        }
        this.work();
      };
      worker.postMessage({ bytes: this.bytes });
    });
  }

  /** @param {Hand} hand @param {object} question @param {(answer: any, failed?: string) => void} done */
  give(hand, question, done) {
    hand.free = false;
    hand.done = done;
    this.sent += 1;
    this.counted(this.sent);
    hand.worker.postMessage({ id: this.sent, question: JSON.stringify(question) });
  }

  /** Asks what belongs together, shared among the workers; what waits is forgotten for what is newer
   * of the same bench.
   * @param {object[]} questions @param {(answers: any[], failed?: string) => void} done @param {object} of */
  ask(questions, done, of = this) {
    this.newest.set(of, { questions, done });
    this.work();
  }

  work() {
    const [next] = this.newest;
    if (next && !this.asked) {
      const [of, { questions, done }] = next;
      this.newest.delete(of);
      this.asked = { questions, done, next: 0, answers: [], failed: undefined };
    }
    const { asked } = this;
    while (asked && asked.next < asked.questions.length) {
      const hand = this.hands.find((one) => one.free);
      if (!hand) break;
      const at = asked.next;
      asked.next += 1;
      this.give(hand, asked.questions[at], (answer, failed) => {
        asked.answers[at] = answer;
        asked.failed ??= failed;
        if (Object.keys(asked.answers).length < asked.questions.length) return;
        this.asked = null;
        asked.done(asked.answers, asked.failed);
      });
    }
    const { run } = this;
    if (!run) return;
    // One worker stays for the knobs.
    const busy = this.hands.filter((one) => one.run).length;
    const hand = this.hands.find((one) => one.free);
    if (!hand || run.next >= run.to || busy + 1 > Math.max(this.hands.length - 1, 1)) return;
    const from = run.next;
    const to = Math.min(from + PIECE, run.to);
    run.next = to;
    hand.run = run;
    this.give(hand, { ...run.question, from, to }, (trials) => {
      if (this.run !== run) return;
      run.pieces[(from - run.from) / PIECE] = trials;
      run.got += to - from;
      run.progress(run.got, run.to - run.from);
      if (run.got === run.to - run.from) {
        this.run = null;
        run.done(run.pieces.flat());
      }
    });
  }

  /** Tries lathes, joined in order; a run before is given up.
   * @param {object} question @param {number} from @param {number} to
   * @param {(done: number, all: number) => void} progress @param {(trials: any[]) => void} done */
  lathes(question, from, to, progress, done) {
    this.cancel();
    this.run = { question, from, to, next: from, pieces: [], got: 0, progress, done };
    this.work();
  }

  /** Gives a run of lathes up; its workers are stopped, so nothing of it comes any more. */
  cancel() {
    const { run } = this;
    this.run = null;
    if (!run) return;
    for (const hand of this.hands.filter((one) => one.run === run)) this.replace(hand);
  }

  /** Another worker in the place of one that is given up, or that failed and can't be relied on.
   * @param {Hand} hand */
  replace(hand) {
    hand.worker.terminate();
    this.hands.splice(this.hands.indexOf(hand), 1);
    this.hire().catch(() => {});
  }
}

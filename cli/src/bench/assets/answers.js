// @ts-check
// What the command line would say of job and lathe as they stand now: the first screen, the sheet to
// print, which test next, worked out anew after every change; thread, preload and changes, worked out
// when they are asked for. Marked while it is of the state before.

import { make } from "./bench.js";
import { Pool } from "./pool.js";

/** Stands still so long before anything is worked out, ms. */
const SETTLED = 600;
/** @type {[string, string][]} */
const VIEWS = [["compare", "What to do"], ["sheet", "Sheet to print"], ["thread", "The thread"], ["next", "Which test next"], ["preload", "Hold the slide"], ["modify", "What changes buy"]];
const OLD = "These words are of the state before the change.";
/** Views that take long and wait till somebody asks. */
const ASKED = ["thread", "preload", "modify"];

export class Answers {
  /** @param {HTMLElement} place @param {Pool} pool @param {() => Promise<object>} texts as they stand now */
  constructor(place, pool, texts) {
    this.place = place;
    this.pool = pool;
    this.texts = texts;
    this.view = "compare";
    this.timer = 0;
    this.turn = 0;
    this.seen = false;
    this.ticking = 0;
    this.doing = "";
    /** Of what stands now: true, as the file was written with it. @type {Record<string, boolean>} */
    this.fresh = { compare: true };
    this.sheet = /** @type {HTMLIFrameElement} */ (make("iframe", { class: "sheet", title: "Setup sheet", hidden: true }));
    /** What is told in each view but the sheet. @type {Record<string, HTMLElement>} */
    this.told = { compare: /** @type {HTMLElement} */ (place.querySelector(".told")) };
    for (const view of ["next", ...ASKED]) this.told[view] = make("div", { class: "told", "data-told": view, hidden: true });
    this.status = make("span", { role: "status" });
    this.bar = /** @type {HTMLProgressElement} */ (make("progress", { hidden: true, "aria-label": "Lathes tried" }));
    this.stop = make("button", { type: "button", hidden: true }, "Stop");
    this.again = make("button", { type: "button", hidden: true }, "Work it out");
    this.print = make("button", { type: "button", hidden: true }, "Print the sheet");
    this.stop.addEventListener("click", () => this.halt());
    this.again.addEventListener("click", () => this.work(true));
    this.print.addEventListener("click", () => this.sheet.contentWindow?.print());
    this.buttons = VIEWS.map(([view, words]) => {
      const button = make("button", { type: "button", "data-view": view }, words);
      button.addEventListener("click", () => this.show(view, true));
      return button;
    });
    const head = make("div", { class: "row answer-head" }, ...this.buttons, this.print, this.status, this.bar, this.stop, this.again);
    place.prepend(head);
    place.append(this.sheet, ...Object.values(this.told).slice(1));
    // Worked out where somebody looks.
    new IntersectionObserver(([entry]) => {
      this.seen = entry.isIntersecting;
      if (this.seen) this.work();
    }).observe(place);
    this.show("compare");
  }

  /** Which views there are: a thread's where the job has one. @param {boolean} threaded */
  offer(threaded) {
    for (const button of this.buttons) if (button.dataset.view === "thread") button.hidden = !threaded;
    if (!threaded && this.view === "thread") this.show("compare");
  }

  /** @param {string} view @param {boolean} [asked] by a hand */
  show(view, asked) {
    this.view = view;
    for (const button of this.buttons) button.setAttribute("aria-pressed", String(button.dataset.view === view));
    for (const [of, told] of Object.entries(this.told)) told.hidden = of !== view;
    this.sheet.hidden = this.print.hidden = view !== "sheet";
    this.work(asked);
  }

  /** Job or lathe changed: what stands here is of the state before. */
  changed() {
    this.fresh = {};
    if (this.pool.running) this.pool.cancel();
    this.turn += 1;
    this.tell(OLD, false);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.work(), SETTLED);
  }

  halt() {
    this.turn += 1;
    this.pool.cancel();
    this.tell("Stopped: these words are of the state before.", false);
    this.again.hidden = false;
  }

  /** What is told, and beside it the seconds that it takes.
   * @param {string} words @param {boolean} working */
  tell(words, working) {
    clearInterval(this.ticking);
    if (working) {
      const begun = performance.now();
      this.doing = words;
      this.ticking = setInterval(() => (this.status.textContent = `${this.doing}, ${Math.round((performance.now() - begun) / 1000)} s`), 1000);
    }
    const old = !this.fresh[this.view];
    this.place.classList.toggle("is-old", old);
    this.place.dataset.state = working ? "working" : old ? "old" : "fresh";
    this.status.textContent = words;
    this.bar.hidden = this.stop.hidden = !working;
    this.again.hidden = true;
  }

  /** @param {boolean} [asked] by a hand */
  async work(asked) {
    const { view } = this;
    if (this.fresh[view]) return this.tell("", false);
    if (ASKED.includes(view) && !asked) {
      this.tell(this.told[view].hasChildNodes() ? OLD : "", false);
      this.again.hidden = false;
      return;
    }
    if (!asked && !this.seen && this.place.dataset.always === undefined) return;
    if (this.pool.running) this.pool.cancel();
    const turn = (this.turn += 1);
    const begun = performance.now();
    this.tell("Working it out on lathes like yours", true);
    this.bar.removeAttribute("value");
    try {
      const texts = await this.texts();
      if (turn !== this.turn) return;
      const question = view === "preload" ? { ...texts, bare: true } : texts;
      const answer = await this.pool.answer(question, view === "next" ? "compare" : view, (done, all) => {
        if (turn !== this.turn) return;
        this.bar.max = all;
        this.bar.value = done;
        this.doing = `Working it out: ${done} of about ${all} lathes cut`;
        this.status.textContent = this.doing;
      });
      if (turn !== this.turn) return;
      this.take(view, answer);
      this.place.dataset.took = String(Math.round(performance.now() - begun));
      this.tell("", false);
    } catch (why) {
      if (turn !== this.turn) return;
      this.tell(`No answer: ${/** @type {Error} */ (why).message}`, false);
    }
  }

  /** @param {string} view @param {any} answer */
  take(view, answer) {
    if (view === "sheet") {
      if (answer.sheet) this.sheet.srcdoc = answer.sheet;
      else this.sheet.srcdoc = `<p style="font-family:sans-serif">${String(answer.none).replace(/[<&]/g, "")}</p>`;
    } else if (ASKED.includes(view)) {
      this.told[view].innerHTML = answer.said;
    } else {
      this.told.compare.innerHTML = answer.compare;
      this.told.next.innerHTML = answer.next ?? "<p>No way with the attachment is advised: no test of it changes that.</p>";
      this.place.dataset.expect = JSON.stringify(answer.expect);
      this.fresh.compare = this.fresh.next = true;
    }
    this.fresh[view] = true;
  }
}

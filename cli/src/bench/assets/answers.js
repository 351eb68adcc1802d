// @ts-check
// What the command line would say of job and lathe as they stand now: the first screen, the sheet to
// print, which test next; worked out anew after every change, and marked while it is of the state before.

import { make } from "./bench.js";
import { Pool } from "./pool.js";

/** Stands still so long before anything is worked out, ms. */
const SETTLED = 600;
/** @type {[string, string][]} */
const VIEWS = [["compare", "What to do"], ["sheet", "Sheet to print"], ["next", "Which test next"]];

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
    /** Of what stands now: true, as the file was written with it. @type {Record<string, boolean>} */
    this.fresh = { compare: true };
    this.body = /** @type {HTMLElement} */ (place.querySelector(".told"));
    this.sheet = /** @type {HTMLIFrameElement} */ (make("iframe", { class: "sheet", title: "Setup sheet", hidden: true }));
    this.next = make("div", { class: "next", hidden: true });
    this.status = make("span", { role: "status" });
    this.bar = /** @type {HTMLProgressElement} */ (make("progress", { hidden: true, "aria-label": "Lathes tried" }));
    this.stop = make("button", { type: "button", hidden: true }, "Stop");
    this.again = make("button", { type: "button", hidden: true }, "Work it out");
    this.print = make("button", { type: "button", hidden: true }, "Print the sheet");
    this.stop.addEventListener("click", () => this.halt());
    this.again.addEventListener("click", () => this.work());
    this.print.addEventListener("click", () => this.sheet.contentWindow?.print());
    this.buttons = VIEWS.map(([view, words]) => {
      const button = make("button", { type: "button", "data-view": view }, words);
      button.addEventListener("click", () => this.show(view));
      return button;
    });
    const head = make("div", { class: "row answer-head" }, ...this.buttons, this.print, this.status, this.bar, this.stop, this.again);
    place.prepend(head);
    place.append(this.sheet, this.next);
    // Worked out where somebody looks.
    new IntersectionObserver(([entry]) => {
      this.seen = entry.isIntersecting;
      if (this.seen) this.work();
    }).observe(place);
    this.show("compare");
  }

  /** @param {string} view */
  show(view) {
    this.view = view;
    for (const button of this.buttons) button.setAttribute("aria-pressed", String(button.dataset.view === view));
    this.body.hidden = view !== "compare";
    this.sheet.hidden = view !== "sheet";
    this.next.hidden = view !== "next";
    this.print.hidden = view !== "sheet";
    this.work();
  }

  /** Job or lathe changed: what stands here is of the state before. */
  changed() {
    this.fresh = {};
    if (this.pool.running) this.pool.cancel();
    this.turn += 1;
    this.tell("These words are of the state before the change.", false);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.work(), SETTLED);
  }

  halt() {
    this.turn += 1;
    this.pool.cancel();
    this.tell("Stopped: these words are of the state before.", false);
    this.again.hidden = false;
  }

  /** @param {string} words @param {boolean} working */
  tell(words, working) {
    const old = !this.fresh[this.view];
    this.place.classList.toggle("is-old", old);
    this.place.dataset.state = working ? "working" : old ? "old" : "fresh";
    this.status.textContent = words;
    this.bar.hidden = this.stop.hidden = !working;
    this.again.hidden = true;
  }

  async work() {
    const { view } = this;
    if (this.fresh[view]) return this.tell("", false);
    if (!this.seen && this.place.dataset.always === undefined) return;
    if (this.pool.running) this.pool.cancel();
    const turn = (this.turn += 1);
    const begun = performance.now();
    this.tell("Working it out on lathes like yours", true);
    this.bar.removeAttribute("value");
    try {
      const texts = await this.texts();
      if (turn !== this.turn) return;
      const answer = await this.pool.answer(texts, view === "sheet" ? "sheet" : "compare", (done, all) => {
        if (turn !== this.turn) return;
        this.bar.max = all;
        this.bar.value = done;
        this.status.textContent = `Working it out: ${done} of about ${all} lathes cut`;
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
    } else {
      this.body.innerHTML = answer.compare;
      this.next.innerHTML = answer.next ?? "<p>No way with the attachment is advised: no test of it changes that.</p>";
      this.place.dataset.expect = JSON.stringify(answer.expect);
      this.fresh.compare = this.fresh.next = true;
    }
    this.fresh[view] = true;
  }
}

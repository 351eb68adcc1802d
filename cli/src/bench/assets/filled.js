// @ts-check
// A form beside job and lathe: shop tests, readings of the guide, a finished piece, a gauging sum. What
// it tells stands beside it, in the command's own words, and each fault beside its field.

import { make } from "./bench.js";
import { folded, row, tell } from "./forms.js";
import { Pool } from "./pool.js";

/** @typedef {{path: string, words: string, kind: string, choices: [string, string][], example: string, rare: boolean}} Entry */
/** @typedef {{words: string, open: boolean, entries: Entry[]}} Group */
/** @typedef {{job: string, lathe: string, seed: number, units: string}} Asked */
/** @typedef {{of: string, about: string, waits?: boolean, into?: string}} Kind of form: its name, what it is for,
 *   whether it waits till somebody asks, what the button says that puts its numbers into the lathe */

export class Filled {
  /** @param {HTMLElement} place @param {Pool} pool @param {() => Promise<Asked>} texts @param {Kind} kind
   * @param {(text: string) => void} kept hears the form when something is typed
   * @param {(lathe: string) => void} [taken] hears the lathe with the numbers in it */
  constructor(place, pool, texts, kind, kept, taken) {
    this.pool = pool;
    this.texts = texts;
    this.kind = kind;
    this.kept = kept;
    this.text = "";
    /** As it began: nothing is told of it. */
    this.blank = "";
    this.lathe = "";
    this.turn = 0;
    /** @type {{path: string, input: HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement, fault: HTMLElement, part: HTMLElement, rare: HTMLDetailsElement | null}[]} */
    this.parts = [];
    // One after another, so that no field is written over by the answer to the one before.
    this.order = Promise.resolve();
    this.form = make("div", { class: "columns" });
    this.said = make("div", { class: "told" });
    this.loose = make("p", { class: "fault", hidden: true });
    this.status = make("span", { role: "status" });
    const button = (words, what) => {
      const made = /** @type {HTMLButtonElement} */ (make("button", { type: "button" }, words));
      made.addEventListener("click", what);
      return made;
    };
    this.go = button("Work it out", () => this.work());
    this.stop = button("Stop", () => this.halt());
    this.into = button(kind.into ?? "", () => taken?.(this.lathe));
    this.clear = button("Empty the form", () => this.begin().then(() => kept("")));
    this.into.disabled = true;
    this.into.hidden = !kind.into;
    this.go.hidden = !kind.waits;
    this.stop.hidden = true;
    place.append(make("p", {}, kind.about),
      make("div", { class: "two" }, this.form,
        make("div", { class: "beside" }, make("div", { class: "row" }, this.into, this.go, this.stop, this.clear, this.status), this.loose, this.said)));
  }

  /** A form to begin with: with what job and lathe say already, or one that was typed before.
   * @param {string} [typed] */
  async begin(typed) {
    this.halt();
    const { of } = this.kind;
    const { job, lathe, units } = await this.texts();
    const { text, groups, values } = await this.pool.one({ ask: "form", of, units, job, lathe });
    this.blank = text;
    this.text = typed || text;
    this.parts = [];
    this.form.replaceChildren(...groups.map((group) => this.group(group)));
    this.show(values);
    if (typed) await this.fill();
    else {
      this.said.replaceChildren();
      this.faults([]);
      this.into.disabled = true;
    }
  }

  /** @param {Group} group */
  group({ words, open, entries }) {
    const of = (rare) => entries.filter((entry) => entry.rare === rare);
    return folded(words, open, of(false), of(true), (entry, rare) => {
      const { path, kind, choices, example } = entry;
      const field = row(`${this.kind.of}-${path.replaceAll(".", "-")}`, { words: entry.words, kind, choices, example });
      field.input.addEventListener("change", () => (this.order = this.order.then(() => this.fill(path, field.input.value))));
      this.parts.push({ path, ...field, rare });
      return field.part;
    }).fold;
  }

  /** @param {Record<string, string>} values @param {string} [typed] the field that was */
  show(values, typed) {
    for (const { path, input } of this.parts) {
      if (typed && path !== typed) continue;
      const value = values[path] ?? "";
      if (input.value !== value) input.value = value;
    }
  }

  /** @param {string} [path] @param {string} [typed] */
  async fill(path, typed) {
    const { of } = this.kind;
    try {
      const { text, values } = await this.pool.one({ ask: "fill", of, text: this.text, put: path ? [[path, typed]] : [] });
      this.text = text;
      this.show(values, path);
    } catch (why) {
      return this.faults([{ severity: "error", path: path ?? "", message: /** @type {Error} */ (why).message, hint: "" }]);
    }
    this.kept(this.text);
    if (this.kind.waits) this.old();
    else await this.work();
  }

  /** What is told is of the state before. */
  old() {
    this.halt();
    this.said.classList.toggle("is-past", this.said.hasChildNodes());
    this.status.textContent = this.said.hasChildNodes() ? "These words are of the state before the change." : "";
  }

  halt() {
    this.turn += 1;
    if (!this.stop.hidden) this.pool.give();
    clearInterval(this.ticking);
    this.stop.hidden = true;
    this.go.hidden = !this.kind.waits;
    this.status.textContent = "";
  }

  /** Job or lathe changed: what nobody typed into begins anew, the rest is told again. */
  async changed() {
    if (this.text === this.blank) {
      const { job, lathe, units } = await this.texts();
      const { text } = await this.pool.one({ ask: "form", of: this.kind.of, units, job, lathe });
      return text === this.blank ? undefined : this.begin();
    }
    if (this.kind.waits) this.old();
    else await this.work();
  }

  async work() {
    this.halt();
    const turn = this.turn;
    const { of, waits } = this.kind;
    const texts = await this.texts();
    if (waits) {
      const begun = performance.now();
      const tick = () => (this.status.textContent = `Working it out, ${Math.round((performance.now() - begun) / 1000)} s`);
      tick();
      this.ticking = setInterval(tick, 1000);
      this.stop.hidden = false;
      this.go.hidden = true;
    }
    try {
      const question = { ask: "told", of, text: this.text, ...texts };
      const told = await (waits ? this.pool.alone(question) : this.pool.one(question));
      if (turn !== this.turn) return;
      this.halt();
      this.lathe = told.lathe ?? "";
      this.said.innerHTML = told.said ?? "";
      this.said.classList.remove("is-past");
      this.into.disabled = !told.numbers;
      this.faults(told.faults);
    } catch (why) {
      if (turn !== this.turn) return;
      this.halt();
      this.faults([{ severity: "error", path: "", message: /** @type {Error} */ (why).message, hint: "" }]);
    }
  }

  /** @param {import("./forms.js").Wrong[]} faults */
  faults(faults) {
    const told = new Set();
    for (const { path, input, fault, part, rare } of this.parts) {
      const own = faults.filter((one) => one.path === path);
      own.forEach((one) => told.add(one));
      tell({ input, fault, part }, own);
      if (rare && own.length) rare.open = true;
    }
    const rest = faults.filter((one) => !told.has(one));
    tell({ fault: this.loose }, rest);
  }
}

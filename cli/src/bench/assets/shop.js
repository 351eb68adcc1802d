// @ts-check
// Shop tests as a form: what the readings tell stands beside them at once, and goes into the lathe.

import { make } from "./bench.js";
import { Pool } from "./pool.js";

export class ShopTests {
  /** @param {HTMLElement} place @param {Pool} pool @param {() => Promise<any>} texts
   * @param {(lathe: string) => void} taken hears the lathe with the numbers in it
   * @param {(tests: string) => void} kept hears the form when it changes */
  constructor(place, pool, texts, taken, kept) {
    this.place = place;
    this.pool = pool;
    this.texts = texts;
    this.kept = kept;
    this.tests = "";
    this.lathe = "";
    // One after another, so that no field is written over by the answer to the one before.
    this.order = Promise.resolve();
    this.form = make("div", { class: "columns" });
    this.said = make("div", { class: "told", role: "status" });
    this.into = /** @type {HTMLButtonElement} */ (make("button", { type: "button", disabled: true }, "Put these numbers into the lathe"));
    this.into.addEventListener("click", () => taken(this.lathe));
    place.append(
      make("p", {}, "Machine stopped and main switch off for all but the cut. Type what you read, every repeat with its unit, separated with commas; leave empty what wasn't done."),
      make("div", { class: "two" }, this.form, make("div", { class: "beside" }, this.into, this.said)));
  }

  /** A form to begin with: empty, in these units, or one that was typed before.
   * @param {string} units @param {string} [typed] */
  async begin(units, typed) {
    const { text, groups } = await this.pool.one({ ask: "form", units });
    this.tests = typed || text;
    /** @type {Map<string, HTMLInputElement>} */
    this.inputs = new Map();
    this.form.replaceChildren(...groups.map(({ words, keys }) => make("details", { class: "group-of-fields", ...(words.includes("*") ? { open: true } : {}) },
      make("summary", {}, words.replace(" *", ", one of the least to do")),
      make("div", { class: "fields" }, ...keys.map(([path, about, value]) => {
        const id = `tests-${path.replaceAll(".", "-")}`;
        const input = /** @type {HTMLInputElement} */ (make("input", { id, type: "text", spellcheck: "false", autocomplete: "off", placeholder: "not done" }));
        input.value = value === "not done" ? "" : value;
        input.addEventListener("change", () => (this.order = this.order.then(() => this.fill(path, input.value))));
        this.inputs?.set(path, input);
        return make("div", { class: "field" }, make("label", { for: id }, about), input);
      })))));
    if (typed) await this.fill();
  }

  /** @param {string} [path] @param {string} [typed] */
  async fill(path, typed) {
    try {
      const put = path ? [[path, typed]] : [];
      const { tests, values } = await this.pool.one({ ask: "fill", tests: this.tests, put });
      this.tests = tests;
      for (const [key, input] of this.inputs ?? []) {
        const value = values[key] ?? "";
        if (key === path || !path) input.value = value === "not done" ? "" : value;
      }
      const { lathe } = await this.texts();
      const told = await this.pool.one({ ask: "tests", tests, lathe });
      this.lathe = told.lathe;
      this.said.innerHTML = told.said;
      this.into.disabled = told.numbers === 0;
    } catch (why) {
      this.said.textContent = `Not like that: ${/** @type {Error} */ (why).message}.`;
      this.into.disabled = true;
    }
    this.kept(this.tests);
  }
}

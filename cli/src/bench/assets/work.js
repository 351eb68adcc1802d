// @ts-check
// Below the bench: what to do, the job, the lathe, shop tests and files, all of the same two texts.

import { Answers } from "./answers.js";
import { make } from "./bench.js";
import { Files } from "./files.js";
import { Form } from "./forms.js";
import { Pool } from "./pool.js";
import { ShopTests } from "./shop.js";

/** @typedef {{job: string, lathe: string, names: string[], side: string, rotation: string, seed: number,
 *   units: string | null}} Texts */
/** @typedef {{texts: () => Texts, set: () => [string, string][], take: (changed: {job: string, lathe: string, names?: string[]}) => void,
 *   units: (units: string) => void, tests: (typed: string) => void}} Owner of the texts */

/** @type {[string, string][]} */
const PANELS = [["answers", "Answers"], ["job", "The job"], ["lathe", "The lathe"], ["tests", "Shop tests"], ["files", "Files"]];
/** Knobs rest so long before forms and answers follow, ms. */
const RESTED = 250;

export class Work {
  /** @param {HTMLElement} place @param {Pool} pool @param {Owner} owner */
  constructor(place, pool, owner) {
    this.place = place;
    this.pool = pool;
    this.owner = owner;
    this.shown = "";
    this.timer = 0;
    /** @type {{key: string, texts: Texts} | null} */
    this.turned = null;
    const answers = /** @type {HTMLElement} */ (place.querySelector("#answers"));
    this.panels = new Map(PANELS.map(([id]) => [id, id === "answers" ? answers : make("section", { id: `panel-${id}`, class: "panel", hidden: true })]));
    this.tabs = PANELS.map(([id, words]) => {
      const panel = /** @type {HTMLElement} */ (this.panels.get(id));
      const tab = make("button", { type: "button", role: "tab", id: `tab-${id}`, "aria-controls": panel.id }, words);
      panel.setAttribute("role", "tabpanel");
      panel.setAttribute("aria-labelledby", tab.id);
      tab.addEventListener("click", () => {
        this.choose(id);
        place.scrollIntoView({ block: "start", behavior: "smooth" });
      });
      return tab;
    });
    this.units = ["inch", "metric"].map((units) => {
      const button = make("button", { type: "button", "data-units": units }, units === "inch" ? "in" : "mm");
      button.addEventListener("click", () => owner.units(units));
      return button;
    });
    const nav = make("div", { class: "places" }, make("div", { role: "tablist", "aria-label": "Answers and files" }, ...this.tabs),
      make("div", { class: "group", role: "group", "aria-label": "Units" }, ...this.units));
    place.prepend(nav);
    place.append(...[...this.panels.values()].filter((panel) => panel !== answers));
    this.answers = new Answers(answers, pool, async () => {
      const { job, lathe, seed, units } = await this.effective();
      return { job, lathe, seed, units };
    });
    this.files = new Files(this.panel("files"), () => this.effective(), (opened) => owner.take(opened), (tests) => {
      this.shop.begin(this.unitsShown(), tests);
      this.choose("tests");
    });
    this.shop = new ShopTests(this.panel("tests"), pool, () => this.effective(), async (lathe) => {
      owner.take({ ...(await this.effective()), lathe });
      this.choose("lathe");
    }, (typed) => owner.tests(typed));
    nav.addEventListener("keydown", (event) => {
      const at = this.tabs.indexOf(/** @type {HTMLElement} */ (event.target));
      const by = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0;
      if (at < 0 || !by) return;
      const next = (at + by + PANELS.length) % PANELS.length;
      this.choose(PANELS[next][0]);
      this.tabs[next].focus();
    });
    this.choose("answers");
  }

  /** @param {string} id */
  panel(id) {
    return /** @type {HTMLElement} */ (this.panels.get(id));
  }

  /** The forms, from the engine's table, and what stands in them.
   * @param {string} typed shop tests from before */
  async begin(typed) {
    const fields = await this.pool.one({ ask: "fields" });
    this.forms = ["job", "lathe"].map((file) => new Form(this.panel(file), file, fields.filter((field) => field.file === file), (path, text) => this.put(file, path, text)));
    await this.refresh(true);
    await this.shop.begin(this.unitsShown(), typed);
    this.place.dataset.ready = "yes";
  }

  unitsShown() {
    return this.owner.texts().units ?? this.look?.reads?.units ?? "inch";
  }

  /** @param {string} id */
  choose(id) {
    for (const [at, [other]] of PANELS.entries()) {
      this.tabs[at].setAttribute("aria-selected", String(other === id));
      this.tabs[at].tabIndex = other === id ? 0 : -1;
      this.panel(other).hidden = other !== id;
    }
  }

  /** The texts with the knobs turned in them. @returns {Promise<Texts>} */
  async effective() {
    const texts = this.owner.texts();
    const set = this.owner.set();
    if (set.length === 0) return texts;
    const key = JSON.stringify([texts.job, texts.lathe, set]);
    if (this.turned?.key !== key) {
      const { names, units, seed, ...asked } = texts;
      const { job, lathe } = await this.pool.one({ ask: "turned", ...asked, set });
      this.turned = { key, texts: { ...texts, job, lathe } };
    }
    return { ...this.turned.texts, units: texts.units };
  }

  /** A field was typed: its line of the text is changed, and nothing else.
   * @param {string} file @param {string} path @param {string} typed */
  async put(file, path, typed) {
    try {
      const { job, lathe } = await this.effective();
      const changed = await this.pool.one({ ask: "edit", job, lathe, put: [[file, path, typed]] });
      this.owner.take(changed);
    } catch (why) {
      this.files.say(`Not changed: ${/** @type {Error} */ (why).message}`);
    }
  }

  /** Knobs were turned, or the texts are others. */
  changed() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.refresh(), RESTED);
  }

  /** @param {boolean} [first] as the file was written */
  async refresh(first) {
    let now;
    try {
      now = await this.effective();
    } catch {
      now = this.owner.texts();
    }
    const key = JSON.stringify([now.job, now.lathe, now.units, now.seed]);
    if (key === this.shown) return;
    this.shown = key;
    const { job, lathe, units } = now;
    this.look = /** @type {import("./forms.js").Look} */ (await this.pool.one({ ask: "look", job, lathe, units }));
    for (const form of this.forms ?? []) form.show(this.look, this.unitsShown());
    for (const button of this.units) button.setAttribute("aria-pressed", String(button.dataset.units === this.unitsShown()));
    const faulty = (file) => this.look?.faults.some((one) => one.file === file && one.severity === "error");
    for (const [at, [id, words]] of PANELS.entries()) this.tabs[at].textContent = faulty(id) ? `${words} !` : words;
    this.files.show(now);
    this.answers.offer(this.look.threaded);
    if (this.look.reads) document.title = this.look.reads.name;
    this.place.dataset.shown = String(Number(this.place.dataset.shown ?? 0) + 1);
    if (!first) this.answers.changed();
  }
}

// @ts-check
// Below the bench: what to do, the job, the lathe, the forms beside them and files, all of the same two
// texts.

import { Answers } from "./answers.js";
import { make } from "./bench.js";
import { Files } from "./files.js";
import { Filled } from "./filled.js";
import { Form } from "./forms.js";
import { Pool } from "./pool.js";

/** @typedef {{job: string, lathe: string, names: string[], side: string, rotation: string, seed: number,
 *   units: string | null}} Texts */
/** @typedef {{texts: () => Texts, set: () => [string, string][], take: (changed: {job: string, lathe: string, names?: string[]}) => void,
 *   units: (units: string) => void, typed: (of: string, text: string) => void}} Owner of the texts */

/** @type {[string, string][]} */
const PANELS = [["answers", "Answers"], ["job", "The job"], ["lathe", "The lathe"], ["tests", "Shop tests"], ["gauging", "Gauging"], ["guide", "Guide"], ["piece", "Finished piece"], ["files", "Files"]];
/** Sums of gauging, each a form of its own. @type {[string, string, string][]} */
const SUMS = [
  ["standoff", "Standoff", "How far a ring or plug gauge stands off, and what is still to come off."],
  ["blue", "Blue", "Where the gauge bears, and which way and how far to nudge the guide."],
  ["diameters", "Two diameters", "The taper from two diameters and how far apart they are."],
  ["rolls", "Rolls", "The taper of outside work standing on a plate, over two rolls at two heights."],
  ["balls", "Balls", "The taper of a bore, mouth up, from the depths of two balls."],
];
const GAUGED = " Spindle stopped, tool clear, work cool and clean. Each number with its unit.";
/** @type {[string, import("./filled.js").Kind][]} */
const FORMS = [
  ["tests", { of: "tests", into: "Put these numbers into the lathe", about: "Machine stopped and main switch off for all but the cut. Type what you read, every repeat with its unit, separated with commas; leave empty what wasn't done." }],
  ["guide", { of: "readings", about: "Spindle stopped, tool clear. Run the carriage one way, take up the slack, read at four places; then back the same way. Rows may be pasted." }],
  ["piece", { of: "piece", waits: true, about: "The job at hand, cut and gauged: what most likely went wrong. Cool, chips and burrs off; what wasn't gauged stays empty." }],
];
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
      this.filled.get("tests")?.begin(tests);
      this.choose("tests");
    });
    const asked = async () => {
      const { job, lathe, seed } = await this.effective();
      return { job, lathe, seed, units: this.unitsShown() };
    };
    const taken = async (lathe) => {
      owner.take({ ...(await this.effective()), lathe });
      this.choose("lathe");
    };
    /** @type {Map<string, Filled>} */
    this.filled = new Map();
    const form = (panel, kind) => this.filled.set(kind.of, new Filled(panel, pool, asked, kind, (text) => owner.typed(kind.of, text), taken));
    for (const [panel, kind] of FORMS) form(this.panel(panel), kind);
    const sums = SUMS.map(([of, words, about]) => {
      const section = make("section", { "aria-label": words, hidden: true });
      form(section, { of, about: about + GAUGED });
      const button = make("button", { type: "button", "data-sum": of }, words);
      button.addEventListener("click", () => shown(of));
      return { of, section, button };
    });
    const shown = (sum) => {
      for (const { of, section, button } of sums) {
        section.hidden = of !== sum;
        button.setAttribute("aria-pressed", String(of === sum));
      }
    };
    this.panel("gauging").append(make("div", { class: "row", role: "group", "aria-label": "Gauged with" }, ...sums.map(({ button }) => button)), ...sums.map(({ section }) => section));
    shown(SUMS[0][0]);
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
   * @param {Record<string, string>} typed forms from before */
  async begin(typed) {
    const fields = await this.pool.one({ ask: "fields" });
    this.forms = ["job", "lathe"].map((file) => new Form(this.panel(file), file, fields.filter((field) => field.file === file), (path, text) => this.put(file, path, text)));
    await this.refresh(true);
    await this.refill(typed);
    this.place.dataset.ready = "yes";
  }

  /** The forms beside job and lathe, as they were typed before. @param {Record<string, string>} typed */
  async refill(typed) {
    for (const [of, form] of this.filled) await form.begin(typed[of]);
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
    if (first) return;
    this.answers.changed();
    for (const form of this.filled.values()) form.changed();
  }
}

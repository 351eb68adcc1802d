// @ts-check
// Job and lathe in and out: dropped or chosen, and saved under their names, comments kept.

import { make } from "./bench.js";

const MOST = 120 * 1024;

/** What a text is. @param {string} text */
export function kindOf(text) {
  const opens = (names) => new RegExp(`^\\s*\\[(${names})[\\].]`, "m").test(text);
  if (/^\s*lathe\s*=/m.test(text) || opens("work")) return "job";
  if (opens("steps|reversal|two_way_cut|parts")) return "tests";
  return opens("attachment|slide|spindle|posts|readout|top_slide|tailstock") || /^\s*condition\s*=/m.test(text) ? "lathe" : "none";
}

/** The lathe file that a job names. @param {string} job */
export function latheNamed(job) {
  return /^\s*lathe\s*=\s*["']([^"']+)["']/m.exec(job)?.[1] ?? "";
}

const bare = (name) => name.split(/[\\/]/).pop() ?? name;

export class Files {
  /** @param {HTMLElement} place
   * @param {() => Promise<{job: string, lathe: string, names: string[]}>} now
   * @param {(opened: {job: string, lathe: string, names: string[]}) => void} opened
   * @param {(tests: string) => void} tests hears a form of shop tests */
  constructor(place, now, opened, tests) {
    this.now = now;
    this.opened = opened;
    this.tests = tests;
    /** @type {{name: string, text: string} | null} a job that waits for its lathe */
    this.waits = null;
    this.status = make("p", { role: "status", class: "files-status" });
    const choose = /** @type {HTMLInputElement} */ (make("input", { type: "file", id: "open", multiple: true, accept: ".toml,.tests,text/plain" }));
    choose.addEventListener("change", () => this.take([...(choose.files ?? [])]).finally(() => (choose.value = "")));
    this.anyway = make("button", { type: "button", hidden: true }, "Cut it on the lathe that is here");
    this.anyway.addEventListener("click", async () => {
      const { lathe, names } = await this.now();
      if (this.waits) this.give(this.waits, { name: names[1], text: lathe });
    });
    this.saves = ["job", "lathe"].map((which, at) => {
      const button = make("button", { type: "button", id: `save-${which}` });
      const belongs = make("span", { class: "belongs" });
      button.addEventListener("click", async () => {
        const now = await this.now();
        const link = make("a", { href: URL.createObjectURL(new Blob([which === "job" ? now.job : now.lathe], { type: "text/plain" })), download: bare(now.names[at]) });
        link.click();
      });
      return { button, belongs, line: make("div", { class: "row" }, button, belongs) };
    });
    this.texts = ["job", "lathe"].map((which) => make("pre", { id: `${which}-text`, tabindex: "0" }));
    place.append(
      make("p", {}, "Drop a job and its lathe anywhere on this page, or choose them:"),
      make("div", { class: "row" }, make("label", { class: "button", for: "open" }, "Choose files"), choose, this.anyway), this.status,
      ...this.saves.map(({ line }) => line),
      ...this.texts.map((text, at) => make("details", {}, make("summary", {}, at ? "The lathe file as it would be saved" : "The job file as it would be saved"), text)));
    document.addEventListener("dragover", (event) => event.preventDefault());
    document.addEventListener("drop", (event) => {
      event.preventDefault();
      this.take([...(event.dataTransfer?.files ?? [])]);
    });
  }

  /** @param {{job: string, lathe: string, names: string[]}} now */
  show({ job, lathe, names }) {
    const [ofJob, ofLathe] = this.saves;
    ofJob.button.textContent = `Save ${bare(names[0])}`;
    ofLathe.button.textContent = `Save ${bare(names[1])}`;
    ofJob.belongs.textContent = `the job; it belongs in the folder of ${bare(names[1])}, in place of the one there`;
    const named = latheNamed(job);
    ofLathe.belongs.textContent = `the lathe; the job looks for it as ${named || bare(names[1])}, seen from its own folder`;
    this.texts[0].textContent = job;
    this.texts[1].textContent = lathe;
  }

  /** @param {File[]} files */
  async take(files) {
    /** @type {{name: string, text: string}[]} */
    const read = [];
    for (const file of files) {
      if (file.size > MOST) return this.say(`${file.name} is too long for a job or a lathe.`);
      read.push({ name: file.name, text: await file.text() });
    }
    const of = (kind) => read.filter(({ text }) => kindOf(text) === kind);
    const [jobs, lathes, tests, none] = ["job", "lathe", "tests", "none"].map(of);
    if (none.length) return this.say(`${none[0].name} is neither a job nor a lathe.`);
    if (jobs.length > 1) return this.say("Two jobs at once: drop one, with its lathe.");
    if (tests.length) this.tests(tests[0].text);
    const job = jobs[0] ?? (lathes.length ? this.waits : null);
    if (!job) {
      if (lathes.length !== 1) return this.say(tests.length ? "Shop tests taken." : "Drop a job, a lathe, or both.");
      // A lathe alone takes the place of the one that is here.
      const now = await this.now();
      return this.give({ name: now.names[0], text: now.job }, lathes[0]);
    }
    const named = bare(latheNamed(job.text));
    const own = lathes.find(({ name }) => name === named) ?? (lathes.length === 1 && this.waits ? lathes[0] : undefined);
    if (own) return this.give(job, own);
    const now = await this.now();
    if (lathes.length === 0 && named === bare(now.names[1])) return this.give(job, { name: now.names[1], text: now.lathe });
    this.waits = job;
    this.anyway.hidden = false;
    this.say(`${job.name} is cut on ${named || "a lathe that it doesn't name"}: choose or drop that file too.`);
  }

  /** @param {{name: string, text: string}} job @param {{name: string, text: string}} lathe */
  give(job, lathe) {
    this.waits = null;
    this.anyway.hidden = true;
    this.say(`${job.name} on ${lathe.name}.`);
    this.opened({ job: job.text, lathe: lathe.text, names: [job.name, lathe.name] });
  }

  /** @param {string} words */
  say(words) {
    this.status.textContent = words;
  }
}

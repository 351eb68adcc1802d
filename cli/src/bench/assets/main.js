// @ts-check
// Starts the page: the first picture from the record in the file, then the engine, then the state.
// A lesson has several benches, each begun when it is wanted; one engine serves them all.

import { Engine } from "./engine.js";
import { TwoCuts, make } from "./bench.js";
import { menu } from "./menu.js";
import { Pool } from "./pool.js";
import { packed, unpacked } from "./state.js";
import { stillsForPaper } from "./stills.js";
import { Work } from "./work.js";

const inFile = (id) => document.getElementById(id)?.textContent ?? "";
const hosts = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("#bench, [data-part]")]);
/** Whether it is a part of another page: that page's address, keys and saving are its own. */
const part = hosts[0].dataset.part !== undefined;
// As it was written, to be saved with another state.
const asWritten = part ? "" : `<!DOCTYPE html>\n${document.documentElement.outerHTML}`;

/** @type {Promise<Engine> | null} */
let started = null;

/** The engine, started by the first who wants it.
 * @param {(count: number) => void} counted */
function engineOf(counted) {
  started ??= (async () => {
    const engine = new Engine(inFile("engine"), inFile("worker"), counted);
    await engine.start();
    return engine;
  })();
  return started;
}

/** Where it is drawn: as a part in a shadow root, with its own look.
 * @param {HTMLElement} host */
function placed(host) {
  if (!part) return host;
  const place = make("div", { id: "bench", class: host.dataset.waits === undefined ? "part" : "part asks" });
  host.attachShadow({ mode: "open" }).append(make("style", {}, inFile("bench-look")), place);
  return place;
}

const FACTORS_KNOWN = [1, 5, 20];
const NO_BENCH = "There is no bench to show: it is of the taper attachment, and this lathe has none fitted, or job and lathe can't be read. What to do, the forms and the files are below.";

/** @param {HTMLElement} host @param {boolean} [printing] begun for the stills on paper */
function start(host, printing = false) {
  const place = placed(host);
  const file = JSON.parse(inFile("record"));
  // Shown to readers who know nothing: `#mute`, the sides swapped or the lathe seen in a mirror.
  const muted = !part && (location.search.includes("mute") || location.hash.startsWith("#mute"));
  document.documentElement.classList.toggle("mute", muted);
  for (const turned of ["swapped", "mirrored"]) document.documentElement.classList.toggle(turned, muted && location.hash.includes(turned));
  let now = { job: file.job, lathe: file.lathe, names: file.names, side: file.side, rotation: file.rotation, seed: file.seed, units: /** @type {string | null} */ (null) };
  /** What was typed into the forms beside job and lathe. @type {Record<string, string>} */
  let forms = {};
  /** @type {Engine | null} */
  let engine = null;
  /** @type {Work | null} */
  let work = null;
  /** @type {TwoCuts | null} */
  let bench = null;
  let ready = false;
  let waiting = false;
  const question = (set) => {
    const { names, ...texts } = now;
    return { ask: "bench", ...texts, set };
  };
  const ask = (set) => {
    work?.changed();
    if (!ready) {
      waiting = true;
      return;
    }
    const asked = question(set);
    engine?.ask([{ ...asked, only: 0 }, { ...asked, only: 1 }], ([pulled, drawn], failed) => {
      const fault = failed ?? pulled.fault ?? drawn.fault;
      const record = fault ? null : { ...pulled, cuts: [...pulled.cuts, ...drawn.cuts] };
      if (!bench && record) laid(record);
      else if (fault) bench?.wrong(fault.replace(/\.$/, ""));
      else bench?.take(record);
      place.dataset.answers = String(Number(place.dataset.answers ?? 0) + 1);
    }, place);
  };
  let timer = 0;
  const set = () => /** @type {[string, string][]} */ ([...(bench?.set ?? [])]);
  const state = () => ({
    v: 1, ...now, ...(Object.keys(forms).length ? { forms } : {}), set: set(), fed: bench?.fed ?? null, factor: bench?.factor ?? 1, high: bench?.high ?? null, shown: bench?.shown ?? 0, knob: bench?.knob ?? "slack",
  });
  const changed = () => {
    clearTimeout(timer);
    if (part) return;
    timer = setTimeout(async () => history.replaceState(null, "", `#${await packed(state())}`), 300);
  };
  const status = make("span", { class: "status", role: "status" });

  /** @param {import("./record.js").Bench} record */
  function laid(record) {
    place.classList.remove("empty");
    bench = new TwoCuts(place, record, ask, changed);
    if (host.id === "bench") stillsForPaper(bench, part, printing);
    menu(bench, status, state, restore, asWritten);
  }

  /** Other texts: a field that was typed, files that were opened.
   * @param {{job: string, lathe: string, names?: string[]}} texts */
  function take({ job, lathe, names }) {
    now = { ...now, job, lathe, names: names ?? now.names };
    bench?.set.clear();
    ask([]);
    changed();
  }

  /** @param {import("./state.js").State} old */
  function restore(old) {
    const other = old.job !== now.job || old.lathe !== now.lathe || old.side !== now.side || old.rotation !== now.rotation || (old.units ?? null) !== now.units;
    now = { job: old.job, lathe: old.lathe, names: old.names, side: old.side, rotation: old.rotation, seed: old.seed, units: old.units ?? null };
    forms = { ...old.forms };
    if (place.dataset.engine) work?.refill(forms);
    if (!bench) return ask(old.set);
    bench.set = new Map(old.set);
    if (FACTORS_KNOWN.includes(old.factor)) bench.factor = old.factor;
    if (typeof old.high === "number") bench.high = old.high;
    if (typeof old.fed === "number") bench.fed = old.fed;
    bench.choose(old.shown === 1 ? 1 : 0, old.knob);
    if (other || old.set.length || bench.set.size) ask([...bench.set]);
    else bench.go(bench.fed);
  }

  /** Below the bench, where there is anything. @param {Engine} engine */
  function below({ bytes, address }) {
    const below = document.getElementById("work");
    if (part || !below || !bytes) return;
    const pool = new Pool(bytes, address ?? "");
    work = new Work(below, pool, {
      texts: () => now,
      set,
      take,
      units: async (units) => {
        // What the knobs typed is in the units before.
        const texts = await work?.effective();
        now = { ...now, units };
        take(texts ?? now);
      },
      typed: (of, text) => {
        if (text) forms[of] = text;
        else delete forms[of];
        changed();
      },
    });
    Object.assign(below, { work });
    const first = place.dataset.restored === undefined;
    work.begin(forms).then(() => first || work?.answers.changed());
  }

  const begin = async () => {
    const saved = inFile("state");
    const old = part ? null : (await unpacked(location.hash)) ?? (saved ? await unpacked(saved) : null);
    if (old) {
      place.dataset.restored = "";
      restore(old);
    }
    try {
      engine = await engineOf((sent) => (place.dataset.asked = String(sent)));
      ready = true;
      place.dataset.engine = "ready";
      Object.assign(place, { engine });
      if (waiting) ask(set());
      below(engine);
    } catch (why) {
      place.dataset.engine = "none";
      status.textContent = "This browser can't run the engine: the picture stays as it was written.";
      bench?.knobs.querySelectorAll("input").forEach((input) => (input.disabled = true));
    }
  };
  if (file.bench) laid(file.bench);
  else place.replaceChildren(make("h1", {}, file.names[0]), make("p", { class: "no-bench" }, NO_BENCH));
  if (host.dataset.knob) bench?.choose(0, host.dataset.knob);
  if (host.dataset.set && bench) {
    // Beside the cut as it stands in the file.
    bench.before = file.bench.cuts;
    bench.set = new Map(JSON.parse(host.dataset.set));
    bench.tellKnobs();
    ask(set());
  }
  place.classList.toggle("empty", !file.bench);
  place.dataset.drawn = "file";
  if (host.dataset.waits === undefined) begin();
  else {
    // Before the cut, where nothing is told yet.
    bench?.go(bench.moments()[0]);
    place.inert = true;
    host.addEventListener("guessed", () => {
      delete host.dataset.waits;
      place.inert = false;
      begin();
    }, { once: true });
  }
}

for (const host of hosts) {
  const fold = host.closest("details");
  if (!part || !fold || fold.open) {
    start(host);
    continue;
  }
  let begun = false;
  const first = (printing = false) => {
    if (!begun) start(host, printing);
    begun = true;
  };
  fold.addEventListener("toggle", () => first(), { once: true });
  // On paper the stills stand, whether it was opened or not.
  if (host.id !== "bench") continue;
  addEventListener("beforeprint", () => {
    first(true);
    if (fold.open) return;
    fold.open = true;
    addEventListener("afterprint", () => (fold.open = false), { once: true });
  });
}

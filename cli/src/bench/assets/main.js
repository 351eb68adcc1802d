// @ts-check
// Starts the page: the first picture from the record in the file, then the engine, then the state.

import { Engine } from "./engine.js";
import { TwoCuts, make } from "./bench.js";
import { packed, unpacked } from "./state.js";
import { stillsForPaper } from "./stills.js";

const inFile = (id) => document.getElementById(id)?.textContent ?? "";
const host = /** @type {HTMLElement} */ (document.getElementById("bench"));
/** Whether it is a part of another page: that page's address, keys and saving are its own. */
const part = host.dataset.part !== undefined;
// As it was written, to be saved with another state.
const asWritten = part ? "" : `<!DOCTYPE html>\n${document.documentElement.outerHTML}`;

/** Where it is drawn: as a part in a shadow root, with its own look. */
function placed() {
  if (!part) return host;
  const place = make("div", { id: "bench", class: host.dataset.waits === undefined ? "part" : "part asks" });
  host.attachShadow({ mode: "open" }).append(make("style", {}, inFile("bench-look")), place);
  return place;
}

function start() {
  const place = placed();
  const file = JSON.parse(inFile("record"));
  const muted = !part && (location.search.includes("mute") || location.hash === "#mute");
  document.documentElement.classList.toggle("mute", muted);
  let now = { job: file.job, lathe: file.lathe, names: file.names, side: file.side, rotation: file.rotation, seed: file.seed };
  /** @type {Engine | null} */
  let engine = null;
  let ready = false;
  let waiting = false;
  const question = (set) => {
    const { names, ...texts } = now;
    return { ask: "bench", ...texts, set };
  };
  const ask = (set) => {
    if (!ready) {
      waiting = true;
      return;
    }
    const asked = question(set);
    engine?.ask([{ ...asked, only: 0 }, { ...asked, only: 1 }], ([pulled, drawn], failed) => {
      const fault = failed ?? pulled.fault ?? drawn.fault;
      if (fault) bench.wrong(fault.replace(/\.$/, ""));
      else bench.take({ ...pulled, cuts: [...pulled.cuts, ...drawn.cuts] });
      place.dataset.answers = String(Number(place.dataset.answers ?? 0) + 1);
    });
  };
  let timer = 0;
  const state = () => ({
    v: 1, ...now, set: /** @type {[string, string][]} */ ([...bench.set]), fed: bench.fed, factor: bench.factor, high: bench.high, shown: bench.shown, knob: bench.knob,
  });
  const changed = () => {
    clearTimeout(timer);
    if (part) return;
    timer = setTimeout(async () => history.replaceState(null, "", `#${await packed(state())}`), 300);
  };
  const bench = new TwoCuts(place, file.bench, ask, changed);
  place.dataset.drawn = "file";
  stillsForPaper(bench);
  const status = make("span", { class: "status", role: "status" });
  menu(bench, status, state, restore);

  /** @param {import("./state.js").State} old */
  function restore(old) {
    const other = old.job !== now.job || old.lathe !== now.lathe || old.side !== now.side || old.rotation !== now.rotation;
    now = { job: old.job, lathe: old.lathe, names: old.names, side: old.side, rotation: old.rotation, seed: old.seed };
    bench.set = new Map(old.set);
    if (FACTORS_KNOWN.includes(old.factor)) bench.factor = old.factor;
    if (typeof old.high === "number") bench.high = old.high;
    if (typeof old.fed === "number") bench.fed = old.fed;
    bench.choose(old.shown === 1 ? 1 : 0, old.knob);
    if (other || old.set.length || bench.set.size) ask([...bench.set]);
    else bench.go(bench.fed);
  }

  const begin = async () => {
    const saved = inFile("state");
    const old = part ? null : (await unpacked(location.hash)) ?? (saved ? await unpacked(saved) : null);
    if (old) restore(old);
    try {
      engine = new Engine(inFile("engine"), inFile("worker"), (sent) => (place.dataset.asked = String(sent)));
      await engine.start();
      ready = true;
      place.dataset.engine = "ready";
      Object.assign(place, { engine });
      if (waiting) ask([...bench.set]);
    } catch (why) {
      place.dataset.engine = "none";
      status.textContent = "This browser can't run the engine: the picture stays as it was written.";
      bench.knobs.querySelectorAll("input").forEach((input) => (input.disabled = true));
    }
  };
  if (host.dataset.waits === undefined) begin();
  else {
    // Before the cut, where nothing is told yet.
    bench.go(bench.moments()[0]);
    place.inert = true;
    host.addEventListener("guessed", () => {
      delete host.dataset.waits;
      place.inert = false;
      begin();
    }, { once: true });
  }
}

const FACTORS_KNOWN = [1, 5, 20];

/** Copy, paste and save, behind a fold.
 * @param {TwoCuts} bench @param {HTMLElement} status @param {() => import("./state.js").State} state
 * @param {(old: import("./state.js").State) => void} restore */
function menu(bench, status, state, restore) {
  const paste = /** @type {HTMLTextAreaElement} */ (make("textarea", { rows: 2, "aria-label": "State, to copy or paste", spellcheck: "false" }));
  const button = (words, what) => {
    const made = make("button", { type: "button" }, words);
    made.addEventListener("click", what);
    return made;
  };
  const copy = button("Copy state", async () => {
    paste.value = await packed(state());
    paste.select();
    try {
      await navigator.clipboard.writeText(paste.value);
      status.textContent = "Copied: paste it into any such page.";
    } catch {
      status.textContent = "Copy the text that is marked.";
    }
  });
  const take = button("Take pasted state", async () => {
    const old = await unpacked(paste.value);
    status.textContent = old ? "Taken." : "That is no state of such a page.";
    if (old) restore(old);
  });
  const save = button("Save page", async () => {
    const text = await packed(state());
    const with_ = asWritten.replace(/<script type="text\/plain" id="state">[^<]*<\/script>/, "")
      .replace(/<\/body>(?![\s\S]*<\/body>)/, `<script type="text/plain" id="state">${text}<\/script></body>`);
    const link = make("a", { href: URL.createObjectURL(new Blob([with_], { type: "text/html" })), download: "bench.html" });
    link.click();
  });
  const many = lathes(bench, status, state);
  const fold = make("details", { class: "fold" }, make("summary", {}, "More"),
    make("div", { class: "folded" },
      make("p", {}, "All slack together, part by part from the guide:"), bench.parts,
      ...many, make("div", { class: "row" }, copy, take, ...(part ? [] : [save])), paste, status));
  bench.menu.replaceChildren(fold);
}

/** Lathes like the one described, in pieces, with progress; to be given up.
 * @param {TwoCuts} bench @param {HTMLElement} status @param {() => import("./state.js").State} state */
function lathes(bench, status, state) {
  const go = make("button", { type: "button" }, "Try 64 lathes like yours");
  const stop = make("button", { type: "button", hidden: true }, "Stop");
  const told = make("p", { class: "lathes", "aria-live": "polite" });
  const over = (words) => {
    stop.hidden = true;
    go.hidden = false;
    told.textContent = words;
  };
  go.addEventListener("click", () => {
    const engine = /** @type {any} */ (bench.place).engine;
    if (!engine) return;
    const { job, lathe, set, side, rotation, seed } = state();
    go.hidden = true;
    stop.hidden = false;
    told.textContent = "0 of 64 tried";
    const question = { ask: "lathes", job, lathe, set, bench: [side, rotation], seed };
    engine.lathes(question, 1, 65, (done, all) => (told.textContent = `${done} of ${all} tried`), (trials) => {
      const hold = [0, 1].map((way) => trials.filter((trial) => trial.ways[way].seat_margin > 0).length);
      bench.place.dataset.tried = String(trials.length);
      over(`Of ${trials.length} lathes like yours the pin stays tight on ${hold[0]} pulled in, on ${hold[1]} drawn away.`);
    });
  });
  stop.addEventListener("click", () => {
    /** @type {any} */ (bench.place).engine?.cancel();
    over("Stopped.");
  });
  return [make("div", { class: "row" }, go, stop), told];
}

const fold = host.closest("details");
if (part && fold && !fold.open) fold.addEventListener("toggle", start, { once: true });
else start();

// @ts-check
// The bench's menu: its parts, lathes tried, the state copied, pasted and saved with the page.

import { TwoCuts, make } from "./bench.js";
import { packed, unpacked } from "./state.js";

/** Copy, paste and save, behind a fold.
 * @param {TwoCuts} bench @param {HTMLElement} status @param {() => import("./state.js").State} state
 * @param {(old: import("./state.js").State) => void} restore @param {string} asWritten the page's own text;
 *   none of a part of another page */
export function menu(bench, status, state, restore, asWritten) {
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
    const link = make("a", { href: URL.createObjectURL(new Blob([with_], { type: "text/html" })), download: `${(state().names[0].split(/[\\/]/).pop() ?? "tautway").replace(/\.toml$/, "")}.page.html` });
    link.click();
  });
  const many = lathes(bench, status, state);
  const fold = make("details", { class: "fold" }, make("summary", {}, "More"),
    make("div", { class: "folded" },
      make("p", {}, "All slack together, part by part from the guide:"), bench.parts,
      ...many, make("div", { class: "row" }, copy, take, ...(asWritten ? [save] : [])), paste, status));
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

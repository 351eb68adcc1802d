// @ts-check
// Stills of the two cuts for paper: run-in, entry, mid length, exit.

import { fedWords } from "./says.js";

/** A card on paper, px: two stand side by side, so that letters keep their size. */
const PAPER = { wide: 345, plan: 190, edge: 104 };
/** The same on a hand-out, where there is more to read. */
const HAND_OUT = { wide: 345, plan: 128, edge: 72 };

/** Puts the stills below the bench when it is printed.
 * @param {import("./bench.js").TwoCuts} bench @param {boolean} part of another page
 * @param {boolean} now it is being printed already */
export function stillsForPaper(bench, part, now) {
  const place = document.createElement("div");
  place.className = "stills";
  bench.place.after(place);
  const made = () => {
    const { fed } = bench;
    bench.lay(part ? HAND_OUT : PAPER);
    const names = ["Run-in", "Entry", "Mid length", "Exit"];
    const stills = bench.moments().map((moment, at) => {
      bench.fed = moment;
      bench.show();
      const still = document.createElement("figure");
      const words = document.createElement("figcaption");
      words.textContent = `${names[at]}: ${fedWords(bench.bench, moment)}.`;
      const cards = document.createElement("div");
      // Names of clips and patterns are told apart, or all stills would be clipped as the first.
      cards.innerHTML = bench.cards.innerHTML.replace(/(id="|url\(#|url\(&quot;#)([a-z]+-[pe][01])/g, `$1$2-${at}`);
      for (const held of cards.querySelectorAll(".hold")) held.remove();
      still.append(words, cards);
      return still;
    });
    place.replaceChildren(...stills);
    bench.fed = fed;
    bench.lay();
  };
  addEventListener("beforeprint", made);
  addEventListener("afterprint", () => place.replaceChildren());
  if (now) made();
}

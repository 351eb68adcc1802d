// @ts-check
// Stills of the two cuts for paper: run-in, entry, mid length, exit.

import { fedWords } from "./says.js";

/** @param {import("./bench.js").TwoCuts} bench */
export function stillsForPaper(bench) {
  const place = document.createElement("div");
  place.className = "stills";
  bench.place.after(place);
  addEventListener("beforeprint", () => {
    const { fed } = bench;
    const names = ["Run-in", "Entry", "Mid length", "Exit"];
    bench.moments().forEach((moment, at) => {
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
      place.append(still);
    });
    bench.fed = fed;
    bench.show();
  });
  addEventListener("afterprint", () => place.replaceChildren());
}

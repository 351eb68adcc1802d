// @ts-check
// What is said of a cut, in the shop's words. Every number is the record's.

import { force, height, travel } from "./ink.js";

/** @typedef {import("./record.js").Bench} Bench */
/** @typedef {import("./record.js").Cut} Cut */
/** @typedef {import("./record.js").Standing} Standing */

/** @param {number} which */
export const nameOf = (which) => ["Pulled in", "Drawn away"][which];

/** @param {Cut} cut */
export function holds(cut) {
  return cut.seat !== "floating" && cut.seat_margin > 0;
}

/** @param {Bench} bench @param {Cut} cut */
export function fedFrom(bench, cut) {
  const toBig = cut.feed === bench.big_end;
  return toBig ? "fed from the small end to the big end" : "fed from the big end to the small end";
}

/** What goes on at this place.
 * @param {Bench} bench @param {Cut} cut @param {Standing} at */
export function now(bench, cut, at) {
  const { units } = bench;
  if (at.done) return result(bench, cut);
  if (!at.begun) {
    return at.held
      ? "In air: the slack is taken up, the slide follows."
      : `In air: the slide stands still until ${travel(cut.lost, units)} of carriage travel is used up.`;
  }
  if (!at.cutting) {
    const within = at.z > 0.05 * bench.length && at.z < 0.95 * bench.length;
    return within ? "The tool is pushed right off the work: nothing is cut." : "At the edge of the work: nothing is being cut.";
  }
  if (at.held === 1) return `Pin tight: the guide pushes the tool in with ${force(Math.abs(at.guide), units)}.`;
  if (at.held === 2) return `Pin tight on the back of the slack: the tool is held back with ${force(Math.abs(at.guide), units)}.`;
  if (at.mostRub < 0.5) return "Pin touches nothing, and nothing drags: the cut pushes the tool off.";
  return "Pin touches nothing: only drag keeps the tool where it is.";
}

/** What came of the cut, in short.
 * @param {Bench} bench @param {Cut} cut */
export function leaves(bench, cut) {
  const { units } = bench;
  const stands = -cut.size_error;
  const off = height(Math.abs(stands), units);
  const size = Number.parseFloat(off) === 0 ? "to size" : stands > 0 ? `${off} left on` : `${off} too deep`;
  return `${size}, waves ${height(cut.waves, units)}`;
}

/** The same with what was set.
 * @param {Bench} bench @param {Cut} cut */
export function result(bench, cut) {
  return `Set ${height(bench.set, bench.units)}: ${leaves(bench, cut)}.`;
}

/** Both cuts in one sentence, and what forbids one.
 * @param {Bench} bench */
export function both(bench) {
  const [pulled, drawn] = bench.cuts;
  const loses = (cut) => (cut.seat === "floating" ? "the slide floats in its slack" : "the pin changes walls on the way");
  let said = `Neither holds: pulled in ${loses(pulled)}, drawn away ${loses(drawn)}.`;
  if (holds(pulled) && holds(drawn)) said = "Both hold: the pin stays tight on one wall from end to end.";
  else if (holds(pulled))
    said = `Pulled in holds: cut and drag both press the pin on one wall. Drawn away they work against each other, and ${loses(drawn)}.`;
  else if (holds(drawn)) said = `Drawn away holds: the pin stays tight on one wall. Pulled in ${loses(pulled)}.`;
  const cant = bench.cuts.map((cut) => cut.out.length > 0);
  /** @type {string[]} */
  const out = [];
  if (cant[0] && cant[1]) out.push("But neither can be cut as it is shown here.");
  else if (cant[0] || cant[1]) out.push(`But ${nameOf(cant[0] ? 0 : 1).toLowerCase()} can't be cut on this lathe.`);
  if (pulled.preload < -1)
    out.unshift("The preload pushes the tool into the cut: if anything lets go, it digs in. Never rely on that.");
  return [said, ...out].filter(Boolean).join(" ");
}

/** @param {Bench} bench @param {number} fed */
export function fedWords(bench, fed) {
  const words = travel(Math.abs(fed), bench.units);
  return fed < 0 ? `${words} before the cut, in air` : `${words} fed since the cut began, in both`;
}

/** The drawing's state for who does not see it.
 * @param {Bench} bench @param {number} which @param {Standing} at */
export function spoken(bench, which, at) {
  const { units } = bench;
  const cut = bench.cuts[which];
  return [
    `${nameOf(which)}, ${fedFrom(bench, cut)}.`,
    fedWords(bench, at.fed).replace(", in both", "."),
    now(bench, cut, at),
    `Cut pushes off ${force(at.push, units)}, drag ${force(at.rub, units)}, guide holds ${force(at.guide, units)}.`,
    result(bench, cut),
  ].join(" ");
}

// @ts-check
// What is said of a cut, in the shop's words. Every number is the record's.

import { force, height, travel } from "../../page/assets/ink.js";

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
      : "In air: the carriage moves, the slide stands still until the slack is taken up.";
  }
  if (!at.cutting) return "At the edge of the work: nothing is being cut.";
  if (at.held === 1) return `Pin tight: the guide pushes the tool in with ${force(Math.abs(at.guide), units)}.`;
  if (at.held === 2) return `Pin tight on the back of the slack: the guide holds the tool back with ${force(Math.abs(at.guide), units)}.`;
  return "Pin touches nothing: only drag keeps the tool where it is.";
}

/** What came of the cut, in short.
 * @param {Bench} bench @param {Cut} cut */
export function leaves(bench, cut) {
  const { units } = bench;
  const stands = -cut.size_error;
  const size = stands >= 0 ? `${height(stands, units)} left on` : `${height(-stands, units)} too deep`;
  return `${size}, waves ${height(cut.waves, units)}`;
}

/** The same with what was set.
 * @param {Bench} bench @param {Cut} cut */
export function result(bench, cut) {
  return `Set ${height(bench.set, bench.units)}: ${leaves(bench, cut)}.`;
}

/** Both cuts in one sentence.
 * @param {Bench} bench */
export function both(bench) {
  const [pulled, drawn] = bench.cuts.map(holds);
  const out = bench.cuts.findIndex((cut) => cut.out.length > 0);
  const note = out < 0 ? "" : ` ${bench.cuts.every((cut) => cut.out.length > 0) ? "Neither can be cut on this lathe" : `${nameOf(out)} can't be cut on this lathe`}: ${bench.cuts[out].out[0]}.`;
  const said =
    pulled && drawn
      ? "Both hold: the pin stays tight on one wall from end to end."
      : pulled
        ? "Pulled in holds: cut and drag both press the pin on one wall. Drawn away they cancel, and the slide floats in its slack."
        : drawn
          ? "Drawn away holds, pulled in does not."
          : "Neither holds: the slide floats in the slack.";
  return said + note;
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

// @ts-check
// What the record of the bench holds, and where everything stands at a length fed.

/**
 * @typedef {{fed: number[], z: number[], edge: number[], before: number[], open: number[],
 *   held: number[], cutting: number[], push_off: number[], rub: number[], preload: number[],
 *   guide: number[], most_rub: number[]}} Places lists of the record: um, nm, 0.01 N
 * @typedef {{pull: number, feed: string, out: string[], lost: number, run_in: number, preload: number,
 *   taken: number, size_error: number, waves: number, seat: string, seat_margin: number,
 *   push_off: number[], drag: number[], entry: number[] | null, exit: number[] | null,
 *   at: Places, surface: {z: number[], height: number[]}}} Cut
 * @typedef {{id: string, words: string, unit: string, si: number, at: number, range: number[],
 *   turns: number[], step: number, decimals: number}} Knob
 * @typedef {{name: string, lathe: string, units: string, kind: string, big_end: string, side: string,
 *   into_is_operator: number, lean: number, length: number, diameters: number[], blank: number,
 *   from_jaws: number, beyond: number, centre: boolean, between_centres: boolean,
 *   bar: number[] | null, slack: number, gaps: [string, number][], set: number, knobs: Knob[],
 *   cuts: [Cut, Cut]}} Bench
 * @typedef {{fed: number, z: number, edge: number, before: number, open: number, held: number,
 *   cutting: boolean, push: number, rub: number, preload: number, guide: number, mostRub: number,
 *   begun: boolean, done: boolean}} Standing in m and N
 */

const MICRO = 1e-6;
const NANO = 1e-9;
const HUNDREDTH = 1e-2;

/** Where a list that goes up passes a value: the place at or before it.
 * @param {number[]} list @param {number} value */
export function placeBefore(list, value) {
  let [low, high] = [0, list.length - 1];
  while (low < high) {
    const mid = (low + high + 1) >> 1;
    if (list[mid] <= value) low = mid;
    else high = mid - 1;
  }
  return low;
}

/** Where everything of a cut stands when so much was fed since it began.
 * @param {Cut} cut @param {number} fed @returns {Standing} */
export function standing(cut, fed) {
  const { at } = cut;
  const last = at.fed.length - 1;
  const um = fed / MICRO;
  const i = placeBefore(at.fed, um);
  const j = Math.min(i + 1, last);
  const span = at.fed[j] - at.fed[i];
  const part = span > 0 ? Math.min(Math.max((um - at.fed[i]) / span, 0), 1) : 0;
  /** @param {number[]} list */
  const between = (list) => list[i] + part * (list[j] - list[i]);
  const near = part < 0.5 ? i : j;
  // Forces are those of one place, so that they add up.
  return {
    fed,
    z: between(at.z) * MICRO,
    edge: between(at.edge) * NANO,
    before: at.before[near] * NANO,
    open: (at.held[i] === at.held[j] ? between(at.open) : at.open[near]) * NANO,
    held: at.held[near],
    cutting: at.cutting[near] === 1,
    push: at.push_off[near] * HUNDREDTH,
    rub: at.rub[near] * HUNDREDTH,
    preload: at.preload[near] * HUNDREDTH,
    guide: at.guide[near] * HUNDREDTH,
    mostRub: at.most_rub[near] * HUNDREDTH,
    begun: um >= 0,
    done: um >= at.fed[last],
  };
}

/** From where to where the clock runs, m.
 * @param {Bench} bench */
export function clock(bench) {
  const lists = bench.cuts.map((cut) => cut.at.fed);
  const from = Math.min(...lists.map((fed) => fed[0])) * MICRO;
  const to = Math.max(...lists.map((fed) => fed[fed.length - 1])) * MICRO;
  return { from, to };
}

/** Reach of both tips along the axis, m.
 * @param {Bench} bench */
export function reachOf(bench) {
  const all = bench.cuts.flatMap((cut) => [cut.at.z[0], cut.at.z[cut.at.z.length - 1]]);
  return { least: Math.min(...all) * MICRO, most: Math.max(...all) * MICRO };
}

/** The finished surface as places along the axis and stock left, m, up for more.
 * @param {Cut} cut @returns {[number, number][]} */
export function left(cut) {
  return cut.surface.z.map((z, i) => [z * MICRO, -cut.surface.height[i] * NANO]);
}

/** The stock before the cut, as even as it is on the whole: what the pass before left of waves would make
 * the two cuts look unlike before either has begun.
 * @param {Cut} cut @param {number} length @returns {[number, number][]} */
export function stock(cut, length) {
  const { z, before, cutting } = cut.at;
  const heights = before.filter((_, i) => cutting[i] && z[i] >= 0 && z[i] * MICRO <= length);
  if (heights.length === 0) return [];
  const up = (-heights.reduce((sum, one) => sum + one, 0) / heights.length) * NANO;
  return [[0, up], [length, up]];
}

/** How far the forces of both cuts reach head to tail, out of the cut and into it, N, and the most
 * of any one.
 * @param {Bench} bench */
export function forceRange(bench) {
  const range = { out: 1, into: 0, most: 1 };
  for (const { at } of bench.cuts) {
    at.guide.forEach((guide, i) => {
      let sum = 0;
      for (const one of [at.push_off[i], at.rub[i], at.preload[i]]) {
        sum += one * HUNDREDTH;
        range.out = Math.max(range.out, sum);
        range.into = Math.max(range.into, -sum);
        range.most = Math.max(range.most, Math.abs(one) * HUNDREDTH);
      }
      range.most = Math.max(range.most, Math.abs(guide) * HUNDREDTH);
    });
  }
  return range;
}

/** Held by a wall, floating, or not cutting yet.
 * @param {Standing} at */
export function stateOf(at) {
  if (at.held) return "held";
  return at.begun ? "floats" : "air";
}

// @ts-check
// The forces on the slide: thin arrows where they act, and beside the picture the same head to tail.
//
// Out of the cut they go against the way into it: the cut pushes off, the ways' friction helps or
// hinders, the guide holds what is left. Signs are the record's.

import { along, arrow, change, force, ink, label } from "./ink.js";

const NAMES = /** @type {const} */ (["push", "rub", "preload", "guide"]);
const WORDS = { push: "cut", rub: "drag", guide: "guide" };

export class Forces {
  /** @param {SVGElement} svg @param {any} plan @param {boolean} narrow */
  constructor(svg, plan, narrow) {
    this.plan = plan;
    this.narrow = narrow;
    this.out = -plan.into;
    // Weight, spring or air.
    const preload = plan.bench.knobs.find((knob) => knob.id === "weight")?.words.split(" ")[0] ?? "weight";
    /** @type {Record<string, string>} */
    this.words = { ...WORDS, preload };
    const x = plan.width - plan.forcesWide;
    this.columns = narrow ? [x + 30, x + 58] : [x + 58, x + 94];
    this.at = Object.fromEntries(NAMES.map((name) => [name, ink("path", { class: `force ${name}` })]));
    this.stacked = Object.fromEntries(NAMES.map((name) => [name, ink("path", { class: `force ${name}` })]));
    this.told = Object.fromEntries(NAMES.map((name) => [name, label(0, 0, "", { class: `told ${name}` })]));
    this.zero = ink("circle", { r: 4, class: "force-zero" });
    this.line = ink("path", { class: "force-line" });
    svg.append(this.line, ...Object.values(this.at), ...Object.values(this.stacked), ...Object.values(this.told), this.zero);
  }

  /** @param {{out: number, into: number, most: number}} range of both cuts, N */
  scale(range) {
    const tall = this.plan.height;
    this.px = Math.min((tall - 74) / (range.out + range.into), (0.5 * tall) / range.most);
    this.partsPx = Math.min(this.px, (this.plan.bore ? 92 : 70) / range.most);
    const [out, into] = [range.out * this.px, range.into * this.px];
    const base = 0.5 * (tall - out - into);
    this.base = this.out < 0 ? base + out : tall - base - out;
  }

  /** @param {import("./record.js").Standing} at
   * @param {{tipX: number, tipY: number, pinX: number, pinY: number, wayY: number}} where */
  show(at, where) {
    const { plan, out, px } = this;
    const small = this.partsPx;
    /** From a place, so much out of the cut. */
    const from = (x, y, n, scale) => (Math.abs(n) * scale < 2.5 ? "" : arrow(x, y, x, y + out * n * scale, 9));
    change(this.at.push, { d: from(where.tipX, where.tipY, at.push, small) });
    // Friction lies along both flanks of the slide, half on either: beside it, it was read as movement.
    const rub = out * at.rub * small;
    const flank = (side) => along(where.pinX + side * (0.5 * plan.slideWide + 2), where.wayY - 0.5 * rub, where.wayY + 0.5 * rub, side);
    change(this.at.rub, { d: Math.abs(rub) < 2.5 ? "" : flank(1) + flank(-1) });
    change(this.at.preload, { d: from(where.pinX - 0.5 * plan.slideWide + 9, where.wayY - 0.5 * out * at.preload * small, at.preload, small) });
    // Along the rod, toward the pin or from it.
    const up = out * at.guide > 0;
    change(this.at.guide, { d: from(where.pinX, where.pinY + (up ? Math.abs(at.guide) * small + 9 : 0), -at.guide, small) });
    const [a, b] = this.columns;
    const { base } = this;
    const place = (n) => base + out * n * px;
    let sum = 0;
    let column = 0;
    let last = 0;
    /** @type {number[]} */
    const taken = [];
    for (const name of /** @type {const} */ (["push", "rub", "preload"])) {
      const n = at[name];
      const shown = Math.abs(n) * px >= 2.5;
      // What works against the one before goes back beside it.
      if (shown && last && Math.sign(n) !== last) column += 1;
      if (shown) last = Math.sign(n);
      const x = a + 14 * column;
      change(this.stacked[name], { d: shown ? arrow(x, place(sum), x, place(sum + n), 10) : "" });
      let y = 0.5 * (place(sum) + place(sum + n));
      while (shown && taken.some((other) => Math.abs(other - y) < 15)) y += 15;
      if (shown) taken.push(y);
      this.tell(name, n, a, y, shown);
      sum += n;
    }
    const held = Math.abs(at.guide) * px >= 2.5;
    change(this.stacked.guide, { d: held ? arrow(b, place(sum), b, place(sum - at.guide), 12) : "" });
    this.tell("guide", at.guide, b, held ? 0.5 * (place(sum) + place(0)) : base, held || at.cutting);
    change(this.zero, { cx: b, cy: place(0), visibility: held || !at.cutting ? "hidden" : "visible" });
    change(this.line, { d: at.cutting ? `M${a - 16} ${base}H${b + 16}` : "" });
  }

  /** @param {string} name @param {number} n @param {number} x @param {number} y @param {boolean} shown */
  tell(name, n, x, y, shown) {
    const text = this.told[name];
    const [number] = force(Math.abs(n), this.plan.bench.units).split(" ");
    text.textContent = shown ? (this.narrow ? number : `${this.words[name]} ${number}`) : "";
    const guide = name === "guide";
    change(text, { x: guide ? x + 9 : x - 7, y: y + 4, "text-anchor": guide ? "start" : "end" });
  }
}

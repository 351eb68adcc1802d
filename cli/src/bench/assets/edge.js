// @ts-check
// The window at the edge: what is left on the wall along the work, and the surface growing behind
// the tool. Up is stock left, in every direction of cut and for every way.

import { change, ink, label, path } from "./ink.js";
import { left, stateOf, stock } from "./record.js";

const RIGHT = 12;
const TOP = 8;
const BOTTOM = 8;

/** A height that one reads off a scale: 1, 2 or 5 and noughts.
 * @param {number} value */
export function even(value) {
  const ten = 10 ** Math.floor(Math.log10(Math.max(value, 1e-12)));
  return ten * ([1, 2, 5, 10].find((n) => n * ten >= value * 0.999) ?? 10);
}

export class Edge {
  /** @param {SVGSVGElement} svg @param {string} id */
  constructor(svg, id) {
    this.svg = svg;
    this.id = id;
  }

  /** Lays it out.
   * @param {import("./record.js").Bench} bench @param {number} which
   * @param {number} width @param {number} height
   * @param {{high: number, deep: number, unit: number}} window height above and depth below the wanted line, m
   * @param {import("./record.js").Cut | null} before the cut before a knob was turned
   * @param {string} name what is written in it where the card's head isn't seen */
  layout(bench, which, width, height, window, before, name) {
    /** @type {SVGElement | null} */
    this.otherWord = null;
    this.bench = bench;
    this.width = width;
    this.height = height;
    this.cut = bench.cuts[which];
    this.other = bench.cuts[1 - which];
    this.window = window;
    this.narrow = width < 420 || height < 100;
    const LEFT = this.narrow ? 40 : 54;
    this.from = LEFT;
    const { svg } = this;
    svg.replaceChildren();
    change(svg, { viewBox: `0 0 ${width} ${height}`, width, height });
    this.px = (height - TOP - BOTTOM) / (window.high + window.deep);
    this.perM = (width - LEFT - RIGHT) / bench.length;
    const clips = ["done", "rest", "ghost"].map((kind) => {
      const rect = ink("rect", { y: 0, height });
      return { kind, rect, node: ink("clipPath", { id: `${kind}-${this.id}` }, rect) };
    });
    const frame = ink("clipPath", { id: `frame-${this.id}` }, ink("rect", { x: LEFT, y: 1, width: width - LEFT - RIGHT, height: height - 2 }));
    const hatch = ink("pattern", { id: `mass-${this.id}`, width: 8, height: 8, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, ink("path", { d: "M0 0V8", class: "metal" }));
    const air = ink("pattern", { id: `loose-${this.id}`, width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(-45)" }, ink("path", { d: "M0 0V6", class: "air" }));
    svg.append(ink("defs", {}, frame, hatch, air, ...clips.map(({ node }) => node)));
    this.clips = Object.fromEntries(clips.map(({ kind, rect }) => [kind, rect]));
    const within = ink("g", { "clip-path": `url(#frame-${this.id})` });
    svg.append(ink("rect", { class: "edge-back", x: LEFT, y: 1, width: width - LEFT - RIGHT, height: height - 2 }), within);
    const put = (kind, d, more = {}) => {
      const made = ink("path", { class: kind, d, ...more });
      within.append(made);
      return made;
    };
    const lines = (points) => path(points.map(([z, up]) => [this.x(z), this.y(up)]));
    const filled = (points) =>
      points.length ? `${lines(points)}L${this.x(points[points.length - 1][0])} ${this.y(0)}L${this.x(points[0][0])} ${this.y(0)}Z` : "";
    const mine = left(this.cut);
    const ahead = stock(this.cut, bench.length);
    this.stockUp = ahead[0]?.[1] ?? 0;
    const [done, rest, ghost] = ["done", "rest", "ghost"].map((kind) => ({ "clip-path": `url(#${kind}-${this.id})` }));
    // The finished piece, and what still stands on it.
    put("edge-work", `M${this.x(0)} ${this.y(0)}H${this.x(bench.length)}V${height}H${this.x(0)}Z`);
    put("edge-hatch", `M${this.x(0)} ${this.y(0)}H${this.x(bench.length)}V${height}H${this.x(0)}Z`, { fill: `url(#mass-${this.id})` });
    put("edge-stock", filled(ahead), rest);
    put("edge-left held", this.runs(mine, true, true), done);
    put("edge-left floats", this.runs(mine, false, true), done);
    put("edge-stock-line", lines(ahead), rest);
    put("edge-wanted", path([[this.x(0), this.y(0)], [this.x(bench.length), this.y(0)]]));
    if (before) put("edge-before", lines(left(before)));
    put("edge-other", lines(left(this.other)), ghost);
    this.surfaceHeld = put("edge-surface held", this.runs(mine, true), done);
    this.surfaceLoose = put("edge-surface floats", this.runs(mine, false), done);
    this.chip = put("edge-chip", "");
    this.shank = put("edge-shank", "");
    this.tip = put("edge-tip", "");
    this.ticks();
    this.over = ink("path", { class: "edge-over" });
    svg.append(this.over);
    if (name) svg.append(label(LEFT + 8, 18, name, { class: "word edge-name" }));
    if (this.narrow) return;
    const what = bench.units === "metric" ? "µm left on" : "thou left on";
    svg.append(label(0, 0, what, { class: "word", "text-anchor": "middle", transform: `translate(12 ${0.5 * height}) rotate(-90)` }));
    // Where the other tool began, if there is room over its line.
    const line = left(this.other);
    const tail = this.other.feed === "tailstock";
    const begun = line.slice(tail ? 0 : Math.floor(0.7 * line.length), tail ? Math.ceil(0.3 * line.length) : undefined);
    const top = Math.max(...begun.map(([, up]) => up));
    this.otherWord = label(tail ? this.x(0) + 8 : width - RIGHT - 8, Math.max(this.y(top) - 6, 14), "the other cut", { class: "word", "text-anchor": tail ? "start" : "end" });
    svg.append(this.otherWord);
    if (!before) return;
    const [x, anchor, near] = tail ? [width - RIGHT - 8, "end", 0.7] : [this.x(0) + 8, "start", 0];
    const old = left(before).filter(([z]) => z >= near * bench.length && z <= (near + 0.3) * bench.length);
    const high = Math.max(...old.map(([, up]) => up));
    svg.append(label(x, Math.max(this.y(high) - 6, 14), "before", { class: "word", "text-anchor": anchor }));
  }

  /** The surface where the pin was held, or where it floated as it was cut.
   * @param {[number, number][]} points @param {boolean} held @param {boolean} filled down to the wanted line */
  runs(points, held, filled = false) {
    const { at } = this.cut;
    const order = at.z.map((z, i) => [z * 1e-6, at.held[i] ? 1 : 0, at.cutting[i]]).filter(([, , cutting]) => cutting).sort((a, b) => a[0] - b[0]);
    let i = 0;
    let d = "";
    let pen = false;
    for (const [z, up] of points) {
      while (i + 1 < order.length && Math.abs(order[i + 1][0] - z) <= Math.abs(order[i][0] - z)) i += 1;
      const is = order.length ? order[i][1] === 1 : false;
      const spot = `${this.x(z).toFixed(1)} ${this.y(up).toFixed(2)}`;
      const foot = `${this.x(z).toFixed(1)} ${this.y(0).toFixed(2)}`;
      if (is === held) {
        if (!pen) d += filled ? `M${foot}L${spot}` : `M${spot}`;
        else d += `L${spot}`;
        pen = true;
      } else {
        if (pen) d += filled ? `L${spot}L${foot}Z` : `L${spot}`;
        pen = false;
      }
    }
    if (pen && filled) d += `L${this.x(points[points.length - 1][0]).toFixed(1)} ${this.y(0).toFixed(2)}Z`;
    return d;
  }

  /** @param {number} z */
  x(z) {
    return this.from + this.perM * z;
  }

  /** @param {number} up stock left, m */
  y(up) {
    return TOP + (this.window.high - up) * this.px;
  }

  ticks() {
    const { window, from: LEFT } = this;
    const { unit } = window;
    const most = Math.max(Math.floor((this.height - TOP - BOTTOM) / 22), 2);
    let step = even((window.high + window.deep) / unit / most) * unit;
    if (step <= 0) step = unit;
    const digits = Math.max(0, -Math.floor(Math.log10(step / unit) + 1e-9));
    for (let up = Math.ceil((-window.deep + 1e-12) / step) * step; up <= window.high * 1.0001; up += step) {
      const zero = Math.abs(up) < step / 2;
      const words = zero ? "0" : (up / unit).toFixed(digits).replace("-", "−");
      this.svg.append(
        ink("path", { class: "edge-tick", d: `M${LEFT - 4} ${this.y(up)}H${LEFT}` }),
        label(LEFT - 7, this.y(up) + 4, words, { class: "word edge-number", "text-anchor": "end" }),
      );
    }
  }

  /** Shows the surface as far as the tool has come.
   * @param {import("./record.js").Standing} at @param {number} otherZ where the other tool is
   * @param {boolean} otherBegun */
  show(at, otherZ, otherBegun) {
    const x = Math.min(Math.max(this.x(at.z), 10), this.width + 30);
    const tail = this.cut.feed === "tailstock";
    const split = (rect, here, forward) => change(rect, forward ? { x: -50, width: Math.max(here + 50, 0) } : { x: here, width: 5000 });
    split(this.clips.done, x, tail);
    split(this.clips.rest, x, !tail);
    const there = this.x(otherZ);
    split(this.clips.ghost, otherBegun ? there : tail ? 5000 : -5000, !tail);
    if (this.otherWord) {
      // Not over what this tool has come to.
      const clear = otherBegun && (tail ? at.z < 0.62 * this.bench.length : at.z > 0.38 * this.bench.length) && Math.abs(otherZ - this.bench.length * (tail ? 1 : 0)) > 0.22 * this.bench.length;
      change(this.otherWord, { visibility: clear ? "visible" : "hidden" });
    }
    const tipUp = -at.edge;
    const y = Math.min(Math.max(this.y(tipUp), -20), this.height - 3);
    change(this.tip, { d: `M${x} ${y}L${x - 8} ${y - 17}H${x + 8}Z`, "data-up": tipUp.toExponential(4) });
    change(this.shank, { d: `M${x - 8} ${y - 17}V-40H${x + 8}V${y - 17}Z` });
    // Off the scale: where to, until the person changes it.
    const off = !at.begun ? 0 : tipUp > this.window.high ? -1 : tipUp < -this.window.deep ? 1 : 0;
    const brim = off < 0 ? 4 : this.height - 4;
    change(this.over, { d: off ? [0, 9].map((by) => `M${x + 14} ${brim - off * (9 + by)}l8 ${off * 9}l8 ${-off * 9}`).join("") : "" });
    change(this.chip, { d: at.cutting ? `M${x} ${y}V${this.y(this.stockUp)}` : "" });
    this.svg.dataset.state = stateOf(at);
  }
}

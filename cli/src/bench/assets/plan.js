// @ts-check
// The lathe from above, as the person at it sees it: chuck left, operator below, guide at the back.
//
// Along the bed and across the work one scale; across the bed all that the slack moves, and the
// stock, is drawn larger by the person's factor. What moves with the slide is one tint.

import { arrow, change, ink, label, path } from "./ink.js";
import { left, reachOf, stateOf, stock } from "./record.js";
import { Forces } from "./forces.js";

const PIN = 9;
const RAIL = 9;
/** Room that only what presses fills: the pin is seen to touch, or to have air all round. */
const PAD = 8;
const CHUCK = 34;
const EDGE_ROOM = 8;
/** How many times a taper is drawn steeper, so that it is seen to be one. */
const STEEPER = [1, 2, 3, 5, 8];

/** @param {number} x0 @param {number} y0 @param {number} x1 @param {number} y1 */
function box(x0, y0, x1, y1) {
  return `${path([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])}Z`;
}

export class Plan {
  /** @param {SVGSVGElement} svg @param {string} id */
  constructor(svg, id) {
    this.svg = svg;
    this.id = id;
  }

  /** Lays the parts out for a record, a size and a factor.
   * @param {import("./record.js").Bench} bench @param {number} which
   * @param {number} width @param {number} height @param {number} factor */
  layout(bench, which, width, height, factor) {
    this.bench = bench;
    this.width = width;
    this.height = height;
    this.cut = bench.cuts[which];
    const bore = bench.kind === "inside";
    this.bore = bore;
    this.into = bench.into_is_operator;
    this.sgn = bench.side === "front" ? 1 : -1;
    const slope = Math.abs(bench.lean);
    this.steeper = STEEPER.find((times) => times * slope >= 0.04) ?? 8;
    const narrow = width < 460;
    this.forcesWide = narrow ? 86 : 164;
    this.slideWide = narrow ? 40 : 62;
    const room = width - this.forcesWide;
    const reach = reachOf(bench);
    const { length, from_jaws: jaws, beyond } = bench;
    const ends = bench.diameters;
    const thick = Math.max(...ends);
    const far = length + beyond;
    const spread = reach.most - reach.least;
    const lean = this.steeper * slope * spread;
    const fixed = CHUCK + this.slideWide + 2 * EDGE_ROOM;
    const along = bore
      ? jaws + reach.most + far + 0.06 * length
      : jaws + Math.max(far, reach.most);
    let s = Math.max((room - fixed - (bore ? 0 : 4)) / along, 1);
    const front = bore ? 16 : this.sgn < 0 ? 8 : 52;
    const back = !bore && this.sgn < 0 ? 56 : bore ? 18 : 26;
    const slotRoom = () => bench.slack * factor * s + 2 * (PIN + PAD + RAIL) + lean * s + 6;
    const wall = () => Math.min(0.5 * (bench.blank - thick) * s, narrow ? 13 : 20);
    for (let again = 0; again < 12; again += 1) {
      const needs = slotRoom() + back + front + thick * s + (bore ? 2 * Math.max(wall(), 8) : 0);
      if (needs <= height) break;
      s *= Math.max(0.8, (height / needs) ** 1.2);
    }
    this.s = s;
    // What is left over goes half to each side.
    const used = slotRoom() + back + front + thick * s + (bore ? 2 * Math.max(wall(), 8) : 0);
    const top = Math.max(0.5 * (height - used), 0);
    this.wall = bore ? Math.max(wall(), 8) : 0;
    this.slotTop = top;
    this.axis = top + slotRoom() + back + this.wall + 0.5 * thick * s;
    const usedWide = fixed + along * s;
    this.x0 = EDGE_ROOM + CHUCK + jaws * s + Math.max(0.5 * (room - usedWide), 0);
    this.reach = bore ? s * (far + 0.06 * length) + 0.5 * this.slideWide : 0;
    const mid = 0.5 * (reach.least + reach.most);
    this.slotMid = { x: this.x(mid) + this.reach, y: top + 0.5 * slotRoom() };
    this.across = factor * s;
    this.reachZ = reach;
    // From the tip to the top of the slide: the same all along, as guide and wall are parallel.
    const tip = this.wallY(mid);
    this.slideUp = this.slotMid.y + 0.5 * bench.slack * this.across + PIN + PAD + RAIL + 12 - tip;
    this.draw(narrow);
  }

  /** @param {number} z */
  x(z) {
    return this.x0 + this.s * z;
  }

  /** Finished radius, drawn as steep as it is drawn, px.
   * @param {number} z */
  radius(z) {
    const [head, tail] = this.bench.diameters;
    const { length } = this.bench;
    const mid = 0.25 * (head + tail);
    const r = mid + (this.steeper * 0.5 * (tail - head) * (z - 0.5 * length)) / length;
    return Math.max(r, 0.05 * mid) * this.s;
  }

  /** The finished wall that the tip cuts.
   * @param {number} z */
  wallY(z) {
    return this.axis + this.sgn * this.radius(z);
  }

  /** Middle of the slot.
   * @param {number} x */
  slotY(x) {
    return this.slotMid.y + this.steeper * this.bench.lean * (x - this.slotMid.x);
  }

  /** @param {boolean} narrow */
  draw(narrow) {
    const { svg, bench } = this;
    svg.replaceChildren();
    change(svg, { viewBox: `0 0 ${this.width} ${this.height}`, width: this.width, height: this.height });
    const hatch = (name, size, turn) =>
      ink("pattern", { id: `${name}-${this.id}`, width: size, height: size, patternUnits: "userSpaceOnUse", patternTransform: `rotate(${turn})` },
        ink("path", { d: `M0 0V${size}`, class: name }));
    const clip = ink("clipPath", { id: `cut-${this.id}` });
    const rest = ink("clipPath", { id: `rest-${this.id}` });
    this.clipCut = ink("rect", { y: 0, height: this.height });
    this.clipRest = ink("rect", { y: 0, height: this.height });
    clip.append(this.clipCut);
    rest.append(this.clipRest);
    svg.append(ink("defs", {}, hatch("metal", 7, 45), clip, rest));
    /** @param {SVGElement} parent @param {string} kind */
    const put = (parent, kind, extra = {}) => {
      const made = ink("path", { class: kind, ...extra });
      parent.append(made);
      return made;
    };
    const under = ink("g");
    svg.append(under);
    this.saddle = put(under, "saddle");
    this.ways = put(under, "ways");
    this.drawSlot(put);
    this.slide = put(svg, "moves");
    this.drawWork(put);
    this.tool = put(svg, "moves tool-body");
    this.bit = put(svg, "bit");
    this.rod = put(svg, "moves");
    this.pinGlow = put(svg, "glow");
    // The shoe is there whether it touches or not: else one would take it for what is missing.
    this.shoe = put(svg, "shoe");
    this.contact = put(svg, "contact");
    this.apart = put(svg, "apart");
    this.pin = ink("circle", { r: PIN, class: "pin" });
    svg.append(this.pin);
    this.feedArrow = put(svg, "feed-arrow");
    this.forces = new Forces(svg, this, narrow);
    if (!narrow) {
      const word = (x, y, words, more = {}) => svg.append(label(x, y, words, { class: "word", ...more }));
      const end = this.x(this.reachZ.least) + this.reach - 32;
      if (end > 106) word(end, this.slotY(end) - 0.5 * bench.slack * this.across - PIN - PAD, "guide, at the back", { "text-anchor": "end" });
      if (this.bore) {
        this.slideWord = label(0, 0, "slide", { class: "word", "text-anchor": "middle" });
        svg.append(this.slideWord);
      } else this.slideWord = null;
      if (this.steeper > 1) word(this.width - 6, this.height - 6, `taper drawn x${this.steeper}`, { "text-anchor": "end" });
    }
    // What the hand takes hold of lies over all of it.
    this.holdSlot = put(svg, "hold hold-slot", { "data-hold": "slack" });
    this.holdTip = ink("circle", { r: 18, class: "hold hold-tip", "data-hold": "depth" });
    svg.append(this.holdTip);
    change(this.holdSlot, { d: this.slotShape(0, 3) });
  }

  /** A band along the slot, from its middle out to the rails, and so much more.
   * @param {number} from @param {number} more */
  slotShape(from, more) {
    const half = 0.5 * this.bench.slack * this.across + PIN + PAD;
    const [a, b] = [this.x(this.reachZ.least) + this.reach - 24, this.x(this.reachZ.most) + this.reach + 24];
    const y = (x, off) => this.slotY(x) + off;
    const out = half + more;
    if (from === 0) return `${path([[a, y(a, -out)], [b, y(b, -out)], [b, y(b, out)], [a, y(a, out)]])}Z`;
    return [-1, 1].map((t) => `${path([[a, y(a, t * half)], [b, y(b, t * half)], [b, y(b, t * out)], [a, y(a, t * out)]])}Z`).join("");
  }

  /** @param {(parent: SVGElement, kind: string, extra?: object) => SVGElement} put */
  drawSlot(put) {
    this.air = put(this.svg, "slot", { d: this.slotShape(0, 0) });
    this.rails = put(this.svg, "rail", { d: this.slotShape(1, RAIL) });
  }

  /** @param {(parent: SVGElement, kind: string, extra?: object) => SVGElement} put */
  drawWork(put) {
    const { svg, bench, axis } = this;
    const { length, from_jaws: jaws, beyond } = bench;
    const [x0, x1, end, jaw] = [this.x(0), this.x(length), this.x(length + beyond), this.x(-jaws)];
    const [r0, r1] = [this.radius(0), this.radius(length)];
    const metal = { fill: `url(#metal-${this.id})` };
    const outer = Math.max(r0, r1) + this.wall;
    if (bench.between_centres) {
      put(svg, "chuck", { d: `${path([[jaw - 26, axis - 10], [jaw - 10, axis - 10], [jaw, axis], [jaw - 10, axis + 10], [jaw - 26, axis + 10]])}Z` });
    } else {
      const chuckR = (this.bore ? outer : Math.max(r0, r1)) + 10;
      const hole = this.bore ? r0 + 4 : 0;
      if (hole) for (const t of [-1, 1]) put(svg, "chuck", { d: box(jaw - CHUCK, axis + t * hole, jaw - 10, axis + t * chuckR) });
      else put(svg, "chuck", { d: box(jaw - CHUCK, axis - chuckR, jaw - 10, axis + chuckR) });
      for (const t of [-1, 1]) {
        const at = axis + t * (this.bore ? outer : r0);
        put(svg, "chuck", { d: box(jaw - 10, at - (t < 0 ? 8 : 0), jaw + (this.bore ? 8 : 2), at + (t > 0 ? 8 : 0)) });
      }
    }
    if (this.bore) {
      for (const t of [-1, 1]) {
        const wall = `${path([[jaw, axis + t * outer], [end, axis + t * outer], [end, axis + t * r1], [x1, axis + t * r1], [x0, axis + t * r0], [jaw, axis + t * r0]])}Z`;
        put(svg, "work", { d: wall });
        put(svg, "work-cut", { d: wall, ...metal });
      }
      put(svg, "work-line", { d: path([[end, axis - r1], [end, axis + r1]]) + path([[jaw, axis - r0], [jaw, axis + r0]]) });
    } else {
      const shape = `${path([[jaw - 4, axis - r0], [x0, axis - r0], [x1, axis - r1], [end, axis - r1], [end, axis + r1], [x1, axis + r1], [x0, axis + r0], [jaw - 4, axis + r0]])}Z`;
      put(svg, "work", { d: shape });
      put(svg, "work-cut", { d: shape, ...metal });
    }
    if (bench.centre) put(svg, "chuck", { d: `${path([[end, axis], [end + 12, axis - 9], [end + 26, axis - 9], [end + 26, axis + 9], [end + 12, axis + 9]])}Z` });
    // What stands on the finished cone, on both walls: before the tool and behind it.
    const band = (points) => {
      if (points.length < 2) return "";
      const side = (t) => {
        const at = ([z, up]) => [this.x(z), this.axis + t * (this.radius(z) + (this.bore ? -1 : 1) * up * this.across)];
        const wall = points.map(([z]) => [this.x(z), this.axis + t * this.radius(z)]);
        return `${path([...points.map(at), ...wall.reverse()])}Z`;
      };
      return side(1) + side(-1);
    };
    put(svg, "stock", { d: band(stock(this.cut, length)), "clip-path": `url(#rest-${this.id})` });
    this.left = put(svg, "left", { d: band(left(this.cut)), "clip-path": `url(#cut-${this.id})` });
    put(svg, "axis", { d: path([[Math.max(jaw - CHUCK - 4, 0), axis], [Math.min(end + 40, this.width - this.forcesWide), axis]]) });
  }

  /** Shows everything where it stands.
   * @param {import("./record.js").Standing} at */
  show(at) {
    const { into, across, bench } = this;
    const tipX = this.x(at.z);
    // In air the tip is shown near its path: drawn so large, the lost motion would take it through the work.
    const off = at.edge * across;
    const tipY = this.wallY(at.z) + into * (at.cutting ? off : Math.min(Math.max(off, -10), 4));
    const pinX = tipX + this.reach;
    const pinY = this.slotY(pinX) + into * (at.open - 0.5 * bench.slack) * across;
    const state = stateOf(at);
    this.svg.dataset.state = state;
    Object.assign(this.svg.dataset, { tipX: tipX.toFixed(2), tipY: tipY.toFixed(2), pinX: pinX.toFixed(2), pinY: pinY.toFixed(2) });
    this.showBody(tipX, tipY, pinX, pinY);
    const way = this.cut.feed === "tailstock" ? 1 : -1;
    const begin = pinX + way * (0.5 * this.slideWide + 14);
    change(this.feedArrow, { d: at.done ? "" : arrow(begin, this.height - 9, begin + way * 46, this.height - 9, 13) });
    change(this.pin, { cx: pinX, cy: pinY });
    // The wall that the pin is pressed on: the first pushes into the cut, so it stands behind it.
    const wall = at.held === 1 ? -into : into;
    const lean = this.steeper * bench.lean;
    const face = (x, side) => pinY + side * PIN + lean * (x - pinX);
    const band = (side, long, from, to) =>
      `${path([[pinX - long, face(pinX - long, side) + side * from], [pinX + long, face(pinX + long, side) + side * from], [pinX + long, face(pinX + long, side) + side * to], [pinX - long, face(pinX - long, side) + side * to]])}Z`;
    // Thinner than what presses: air is seen on either side.
    change(this.shoe, { d: band(wall, 13, -1, 0.3 * PAD) + band(-wall, 13, -1, 0.3 * PAD) });
    change(this.contact, { d: at.held ? band(wall, 16, -1, PAD) : "" });
    // Free on both sides: how far to either wall. A hatch would be taken for metal.
    const reachTo = (side) => {
      const from = pinY + side * (PIN + 5);
      const to = this.slotY(pinX) + side * (0.5 * bench.slack * across + PIN + PAD - 2);
      if (side * (to - from) < 3) return "";
      return `${path([[pinX, from], [pinX, to]])}${path([[pinX - 7, to], [pinX + 7, to]])}`;
    };
    change(this.apart, { d: at.held ? "" : reachTo(1) + reachTo(-1) });
    change(this.pinGlow, { d: at.held ? band(wall, 34, PAD, PAD + RAIL) : "" });
    const gone = this.cut.feed === "tailstock" ? [-99, tipX + 99] : [tipX, 4000];
    const rest = this.cut.feed === "tailstock" ? [tipX, 4000] : [-99, tipX + 99];
    change(this.clipCut, { x: gone[0], width: gone[1] });
    change(this.clipRest, { x: rest[0], width: rest[1] });
    this.left.classList.toggle("floats", at.held === 0);
    change(this.holdTip, { cx: tipX, cy: tipY });
    this.forces.show(at, { tipX, tipY, pinX, pinY, wayY: this.wayY });
  }

  /** @param {number} tipX @param {number} tipY @param {number} pinX @param {number} pinY */
  showBody(tipX, tipY, pinX, pinY) {
    const { into, sgn } = this;
    const half = 0.5 * this.slideWide;
    const top = tipY + this.slideUp;
    const bit = 15;
    const back = tipY - into * bit;
    let bottom;
    if (this.bore) {
      const barR = Math.min(Math.max(0.5 * (this.bench.bar?.[0] ?? 0.3 * Math.min(...this.bench.diameters)) * this.s, 6), 0.28 * Math.min(this.radius(0), this.radius(this.bench.length)) * 2);
      const mid = back - into * barR;
      bottom = Math.max(mid + barR + 12, top + 40);
      change(this.tool, { d: box(tipX - 5, mid - barR, pinX - half, mid + barR) + box(pinX - half - 4, mid - barR - 7, pinX + half - 10, mid + barR + 7) });
    } else {
      const post = 17;
      const from = back - into * 8;
      bottom = sgn > 0 ? from + 2 * post : Math.max(from, top + 34);
      const near = sgn > 0 ? from : from - 2 * post;
      change(this.tool, { d: box(tipX - 6, Math.min(back, from), tipX + 6, Math.max(back, from)) + box(tipX - post, near, tipX + post, near + 2 * post) });
    }
    change(this.slide, { d: box(pinX - half, top, pinX + half, bottom) });
    change(this.bit, { d: `${path([[tipX, tipY], [tipX - 7, back], [tipX + 7, back]])}Z` });
    change(this.rod, { d: box(pinX - 4, pinY, pinX + 4, top + 4) });
    // The saddle goes along the bed with the carriage and never across it.
    const saddle = this.height - 2;
    const [a, b] = [pinX - half - 9, pinX + half + 9];
    const fixed = this.slotMid.y + 0.5 * this.bench.slack * this.across + PIN + PAD + RAIL + 8 + 0.5 * this.steeper * Math.abs(this.bench.lean) * (this.reachZ.most - this.reachZ.least) * this.s;
    change(this.saddle, { d: box(a, fixed, b, saddle) });
    let marks = path([[a + 9, fixed], [a + 9, saddle]]) + path([[b - 9, fixed], [b - 9, saddle]]);
    for (let y = fixed + 4; y < saddle - 3; y += 9) marks += path([[a, y + 5], [a + 9, y]]) + path([[b - 9, y + 5], [b, y]]);
    change(this.ways, { d: marks });
    // Beside what is seen of the slide.
    const seenFrom = this.bore || sgn < 0 ? Math.max(top, fixed) : this.axis + this.radius(0.5 * this.bench.length);
    this.wayY = 0.5 * (seenFrom + Math.min(bottom, saddle));
    if (this.slideWord) change(this.slideWord, { x: pinX, y: Math.max(top, fixed) + 17 });
  }
}

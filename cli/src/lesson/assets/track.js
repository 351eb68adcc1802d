// Draws the lathe from above with the carriage on its way, and below it, on the same scale along
// the bed, where in its slack the slide sits; from the same record as the drive.

import { change, height, ink, label, path, travel } from "./ink.js";
import { held } from "./drive.js";

const PLAN = 150;
const GAP = 74;
const TRACE = 160;

/** Carriage, guide and work from above, and the trace of the slide in its slack. */
export class Track {
  constructor(stage, width, letter) {
    Object.assign(this, { stage, width, letter });
    const { motion, frames } = stage;
    const travels = frames.map((frame) => frame.travel);
    const ends = [Math.min(...travels, 0), Math.max(...travels, motion.length)].map((t) => stage.z(t));
    this.ends = [Math.min(...ends), Math.max(...ends)];
    this.left = 16;
    this.right = width - 16;
    this.size = letter * 0.86;
    this.node = ink("g");
    this.height = PLAN + GAP + TRACE + 62;
    this.plan();
    this.trace();
  }

  put(element) {
    this.node.append(element);
    return element;
  }

  words(x, y, text, attributes = {}) {
    return this.put(label(x, y, text, { "font-size": this.size, ...attributes }));
  }

  /** x of a place along the axis. */
  x(z) {
    const [low, high] = this.ends;
    return this.left + ((z - low) / (high - low)) * (this.right - this.left);
  }

  /** The lathe from above; angles larger than life, slack not shown. */
  plan() {
    const { stage } = this;
    const { record, motion } = stage;
    const tilt = (stage.side * motion.pull * (motion.feed === "headstock" ? -1 : 1) * 22) / (this.ends[1] - this.ends[0]);
    const middle = 0.5 * (this.ends[0] + this.ends[1]);
    this.lean = (z) => tilt * (z - middle);
    const rail = (z) => 38 + this.lean(z);
    const [a, b] = this.ends.map((z) => [this.x(z), rail(z)]);
    this.rail = rail;
    this.put(ink("path", { class: "fill fill-even edge-thin", d: path([[a[0] - 8, a[1] - 6], [b[0] + 8, b[1] - 6], [b[0] + 8, b[1] + 6], [a[0] - 8, a[1] + 6]]) + "Z" }));
    this.words(stage.along > 0 ? this.right + 8 : this.left - 8, 14 + 0 * tilt, "guide bar", { class: "name", "text-anchor": stage.along > 0 ? "end" : "start" });
    const under = PLAN + 18;
    this.words(this.left - 8, under, "headstock", { class: "name" });
    this.words(this.right + 8, under, "tailstock", { class: "name", "text-anchor": "end" });
    // The wall that is cut, on the tool's side of the axis, with the work behind it.
    const wall = (z) => 104 + this.lean(z) * 0.8;
    this.wall = wall;
    const [zs, ze] = [0, motion.length];
    const behind = stage.side * 22;
    const deep = 104 + stage.side * 9 + behind;
    this.carriage = this.put(ink("path", { class: "fill fill-slide edge-thin" }));
    this.put(ink("path", { class: "work", d: path([[this.x(zs), wall(zs)], [this.x(ze), wall(ze)], [this.x(ze), deep], [this.x(zs), deep]]) + "Z" }));
    const inside = record.kind === "inside";
    this.words(this.x(0.5 * ze), deep - stage.side * 6 + (stage.side > 0 ? 0 : this.size * 0.7), inside ? "wall of the bore" : "work", { class: "name on", "text-anchor": "middle" });
    this.point = this.put(ink("path", { class: "tool" }));
    this.shoe = this.put(ink("path", { class: "fill fill-odd edge-thin" }));
    const toHead = motion.feed === "headstock";
    const mid = 0.5 * (this.left + this.right);
    this.words(mid, under, toHead ? "← feed" : "feed →", { class: "name strong", "text-anchor": "middle" });
  }

  /** The slide between the two faces of its slack, along the bed. */
  trace() {
    const { stage } = this;
    const { frames, motion } = stage;
    const top = PLAN + GAP;

    const reach = Math.max(stage.total, 0.3 * Math.abs(motion.set), 1e-5);
    const span = TRACE / (1.35 * reach);
    const centre = top + 0.5 * TRACE;
    this.y = (frame, at) => centre + stage.side * span * (at - frame.guide);
    const half = 0.5 * stage.total;
    const [x0, x1] = [this.left, this.right];
    const [first, far] = [-half, half].map((at) => centre + stage.side * span * at);
    this.put(ink("path", { class: "gap", d: path([[x0, first], [x1, first], [x1, far], [x0, far]]) + "Z" }));
    this.put(ink("path", { class: "face first", d: path([[x0, first], [x1, first]]) }));
    this.put(ink("path", { class: "face other", d: path([[x0, far], [x1, far]]) }));
    const outward = (y, upper) => (upper ? y - 5 : y + this.size + 2);
    this.words(x0, outward(first, first < far), "against the guide", { class: "name first" });
    this.words(x0, outward(far, far < first), "far face", { class: "name other" });
    this.words(x0, top - 28, "Where in its slack the slide sits", { class: "name strong" });
    for (const z of [0, motion.length])
      this.put(ink("path", { class: "bound", d: path([[this.x(z), top - 12], [this.x(z), top + TRACE + 6]]) }));
    this.words(0.5 * (this.x(0) + this.x(motion.length)), top + TRACE + this.size + 4, `the taper, ${travel(motion.length, stage.units)}`, { class: "name", "text-anchor": "middle" });
    this.faint = this.put(ink("path", { class: "trace faint", d: path(frames.map((frame) => [this.x(stage.z(frame.travel)), this.y(frame, frame.slide)])) }));
    this.done = ["back", "first", "other", "floats", "air"].map((state) => [state, this.put(ink("path", { class: `trace ${state}` }))]);
    this.cursor = this.put(ink("path", { class: "cursor" }));
    this.dot = this.put(ink("circle", { class: "dot", r: 5 }));
    this.numbers = this.words(0.5 * (x0 + x1), top + TRACE + 2.5 * this.size + 4, "", { class: "number", "text-anchor": "middle" });
    this.top = top;

  }

  show(index) {
    const { stage } = this;
    const frame = stage.frames[index];
    const x = this.x(stage.z(frame.travel));
    const at = (z) => this.rail(z);
    const z = stage.z(frame.travel);
    const y = at(z);
    const tip = this.wall(z);
    const s = stage.side;
    const base = s > 0 ? tip - 34 : tip + 34;
    change(this.carriage, { d: path([[x - 15, y + 10], [x + 15, y + 10], [x + 15, Math.max(base, y + 26)], [x - 15, Math.max(base, y + 26)]]) + "Z" });
    change(this.shoe, { d: path([[x - 13, y - 10], [x + 13, y - 10], [x + 13, y + 10], [x - 13, y + 10]]) + "Z" });
    const from = s > 0 ? Math.max(base, y + 26) : base;
    change(this.point, { d: path([[x - 5, from], [x + 5, from], [x + 5, tip - s * 8], [x, tip], [x - 5, tip - s * 8]]) + "Z" });
    const parts = { back: "", first: "", other: "", floats: "", air: "" };
    let last = null;
    for (let i = 0; i <= index; i += 1) {
      const f = stage.frames[i];
      const state = f.phase === "back" ? "back" : f.phase === "cut" ? held(f) : "air";
      const p = [this.x(stage.z(f.travel)), this.y(f, f.slide)];
      if (last) parts[state] += path([last, p]);
      last = p;
    }
    for (const [state, line] of this.done) change(line, { d: parts[state] });
    change(this.cursor, { d: path([[x, 8], [x, this.top + TRACE + 4]]) });
    change(this.dot, { cx: x, cy: this.y(frame, frame.slide), class: `dot ${frame.phase === "cut" ? held(frame) : "air"}` });
    const before = frame.travel < 0 ? `${travel(-frame.travel, stage.units)} before the taper` : `${travel(frame.travel, stage.units)} along it`;
    const cut = frame.depth > 0 ? `, taking ${height(frame.depth, stage.units)}` : "";
    this.numbers.textContent = before + cut;
  }
}

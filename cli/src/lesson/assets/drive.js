// Draws the drive of a lathe with a taper attachment, gap by gap, from a record of its motion; the
// record is all it needs: no server, no page around it.
//
// The record is that of the engine's `motion`: lengths in m, forces in N, heights along n (into
// the cut) relative to the finished cone. On the sheet down is toward the operator. Run-in and
// reversal are seen from the ways, the cut is seen from the guide.

import { arrow, broken, change, force, ink, label, lines, path, slack } from "./ink.js";

const CSS_INCH = 96 / 0.0254;
const LARGER = [1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 300];
// Sizes of the parts on the sheet, px.
const PLATE = 13;
const TONGUE = 15;
const SPINE = 13;
const STEP = 14;

/** Parts of the drive from guide to slide, by the names of the gaps between them. */
function partsOf(gaps) {
  if (gaps.length === 3) return ["guide bar", "shoe", "screw", "nut and slide"];
  if (gaps.length === 2) return ["guide bar", "shoe and slide", "top slide"];
  return ["guide bar", ...gaps.slice(1).map((gap) => gap.name), "shoe and slide"];
}

/** Frames from their columns: whole steps of a nanometre and of a hundredth of a newton, each from the
 * frame before; words with how often they follow each other. */
export function framesOf({ lengths, forces, open, phase, seat }) {
  const summed = (steps, per) => {
    let now = 0;
    return steps.map((step) => (now += step) / per);
  };
  const words = (runs) => runs.flatMap(([word, times]) => Array(times).fill(word));
  const named = [...lengths.map(([name, steps]) => [name, summed(steps, 1e9)]), ...forces.map(([name, steps]) => [name, summed(steps, 1e2)]), ["phase", words(phase)], ["seat", words(seat)]];
  const gaps = open.map((steps) => summed(steps, 1e9));
  return named[0][1].map((_, at) => ({ ...Object.fromEntries(named.map(([name, list]) => [name, list[at]])), open: gaps.map((list) => list[at]) }));
}

/** What the record says, in the terms of the sheet. */
class Stage {
  constructor(record) {
    const motion = record.motion;
    Object.assign(this, { record, motion, units: record.units, frames: motion.frames });
    this.side = motion.into_is_operator;
    this.rise = motion.pull * motion.slope;
    this.total = motion.gaps.reduce((sum, gap) => sum + gap.slack, 0);
    this.firstCut = this.frames.findIndex((frame) => frame.phase === "cut");
    const begin = this.frames[Math.max(this.firstCut, 0)];
    this.begin = { travel: begin.travel, guide: begin.guide };
    this.along = motion.feed === "headstock" ? -1 : 1;
  }

  /** Place along the axis of a carriage travel, from the headstock-side end. */
  z(travelled) {
    return this.along > 0 ? travelled : this.motion.length - travelled;
  }

  /** How far into the cut a height is seen, from the guide as the cut begins. */
  seen(frame, at) {
    const moved = frame.phase === "cut" ? 0 : this.rise * (frame.travel - this.begin.travel);
    return at - this.begin.guide + moved;
  }

  /** How far the ways have gone by, seen from the same place. */
  ways(frame) {
    return frame.phase === "cut" ? -this.rise * (frame.travel - this.begin.travel) : 0;
  }

  /** Where each part stands: guide, the parts between, slide. */
  places(frame) {
    const places = [this.seen(frame, frame.guide)];
    for (const open of frame.open) places.push(places[places.length - 1] - open);
    return places;
  }

  /** Whether the slide stands still on its ways at this frame. */
  stands(index) {
    const [now, last] = [this.frames[index], this.frames[Math.max(index - 1, 0)]];
    const place = (frame) => frame.slide + this.rise * frame.travel;
    const moved = Math.abs(this.rise * (now.travel - last.travel));
    return Math.abs(place(now) - place(last)) < 0.25 * moved;
  }

  /** What is going on, in one sentence. */
  words(index) {
    const frame = this.frames[index];
    const of = (n) => force(Math.abs(n), this.units);
    const half = 0.5 * this.motion.foot;
    const stands = this.stands(index);
    switch (frame.phase) {
      case "back":
        if (stands) return "The carriage goes back and the slide stands still: slack is being taken up.";
        return frame.drive > 0
          ? "The carriage goes back; the slide stays against the guide."
          : "The carriage goes back, and the far face draws the slide along.";
      case "run-in":
        if (this.motion.foot > 0 && Math.abs(frame.bar - half) > 1e-9)
          return "The carriage has turned round. The guide bar rides along until its foot stops it.";
        if (stands) return "The guide moves and the slide stands still: the slack is being taken up.";
        return "All of the slack is taken up: the slide follows the guide.";
      case "by-hand":
        return "No room to take it up: spindle stopped, tool clear, a hand brings the slide to its face.";
      default:
        if (frame.depth <= 0) return "At the edge of the work: nothing is being cut.";
        if (frame.seat === "first")
          return `Cutting. The slide sits hard against the guide, held by ${of(frame.drive)}.`;
        if (frame.seat === "other")
          return `Cutting. The drag keeps the slide against the far face, held by ${of(frame.drive)}.`;
        return "Cutting, and the slide floats in its slack: drag alone decides where it stands.";
    }
  }
}

/** A colour class by what holds the slide. */
function held(frame) {
  if (frame.seat === "first") return "first";
  return frame.seat === "other" ? "other" : "floats";
}

/** The parts and gaps in a column, the tool beside them. */
class Chain {
  /** For a sheet of this width and letter size, px; drawn `scale` times as large. */
  constructor(stage, wide, letters, scale = 1) {
    const { motion } = stage;
    const [width, letter] = [wide / scale, letters / scale];
    this.stage = stage;
    const joints = motion.gaps.length;
    const shift = 1.3 * Math.abs(stage.rise) * -Math.min(0, stage.frames[0].travel);
    const reach = Math.max(stage.total, 1e-6);
    const inch = CSS_INCH / scale;
    this.larger = [...LARGER].reverse().find((n) => n * inch * reach <= 76 && n * inch * shift <= 120) ?? 1;
    this.px = this.larger * inch;
    const room = this.px * shift;
    const narrow = width < 420;
    this.labels = letter * (narrow ? 7.4 : 8.2);
    this.x = this.labels + 66;
    this.toolX = Math.min(width - 46, this.x + (narrow ? 122 : 150));
    const top = 62 + (stage.side * stage.rise > 0 ? room : 0);
    let y = top;
    this.rows = motion.gaps.map((gap, at) => {
      const row = y + PLATE + 0.5 * this.px * gap.slack;
      // Plates one above the other belong to parts that come nearer by half of both slacks.
      const next = motion.gaps[at + 1]?.slack ?? 0;
      y += 2 * PLATE + TONGUE + this.px * (gap.slack + 0.5 * (gap.slack + next)) + STEP;
      return row;
    });
    this.slideY = y + 18;
    // Above the tool stands the work, and above that the guide.
    if (stage.side < 0) this.slideY = Math.max(this.slideY, this.rows[0] + 158 + 0.5 * this.px * stage.total);
    const below = stage.side > 0 ? 118 : 40;
    this.tip = this.slideY + stage.side * 62;
    this.height = this.slideY + below + 0.5 * this.px * stage.total + (stage.side * stage.rise > 0 ? 0 : room) + 14;
    this.letter = letter;
    this.width = width;
    this.node = ink("g", { transform: `scale(${scale})` });
    this.draw(joints, narrow);
    this.height *= scale;
  }

  /** Draws what never changes and keeps what does. */
  draw(joints, narrow) {
    const { stage, x } = this;
    const names = partsOf(stage.motion.gaps);
    const put = (element) => {
      this.node.append(element);
      return element;
    };
    this.waysMarks = put(ink("path", { class: "ways" }));
    this.gapFills = stage.motion.gaps.map(() => put(ink("path", { class: "gap" })));
    this.parts = names.slice(0, joints + 1).map((_, at) => {
      const kind = at === joints ? "slide" : at % 2 ? "odd" : "even";
      // An outline below and a filling above it: boxes of one part join without a seam.
      return [put(ink("path", { class: "edge" })), put(ink("path", { class: `fill fill-${kind}` }))];
    });
    this.stock = put(ink("path", { class: "work" }));
    this.cone = put(ink("path", { class: "cone" }));
    this.tool = put(ink("path", { class: "tool" }));
    this.faces = stage.motion.gaps.map(() => put(ink("path", { class: "bears" })));
    this.push = put(ink("path", { class: "arrow push" }));
    const size = this.letter * 0.86;
    this.size = size;
    this.gapWords = stage.motion.gaps.map((gap, at) => {
      const name = broken(gap.name, narrow ? 10 : 13);
      put(lines(this.labels - 8, this.rows[at] + TONGUE / 2 - 4, name, { class: "name", "text-anchor": "end", "font-size": size }));
      const y = this.rows[at] + TONGUE / 2 - 4 + (0.6 * name.length + 0.75) * size;
      return put(label(this.labels - 8, y, "", { class: "number", "text-anchor": "end", "font-size": size }));
    });
    this.partWords = names.slice(0, joints + 1).map((name, at) =>
      at === 0
        ? put(label(x + 62, 0, name, { class: "name", "font-size": size }))
        : at === joints
          ? put(label(x, 0, name, { class: "name on", "text-anchor": "middle", "font-size": (name.length > 10 ? 0.88 : 1) * size }))
          : put(ink("text")));
    this.workWords = put(label(this.toolX, 0, "work", { class: "name", "text-anchor": "middle", "font-size": size }));
    this.foot(put, size);
  }

  /** The foot on the bed, whose gap lies along the bed. */
  foot(put, size) {
    this.footAt = [this.width - 58, 24];
    const [x, y] = this.footAt;
    const half = 14 + 0.5 * this.px * this.stage.motion.foot;
    put(ink("path", { class: "gap", d: path([[x - half, y - 9], [x + half, y - 9], [x + half, y + 9], [x - half, y + 9]]) + "Z" }));
    put(ink("path", { class: "part part-bed", d: [-1, 1].map((s) => path([[x + s * half, y - 14], [x + s * (half + 9), y - 14], [x + s * (half + 9), y + 14], [x + s * half, y + 14]]) + "Z").join("") }));
    this.footBar = put(ink("path", { class: "part part-even" }));
    this.footFace = put(ink("path", { class: "bears" }));
    put(label(x - half - 16, y + 4, "foot on the bed", { class: "name", "text-anchor": "end", "font-size": size }));
  }

  /** Shows one frame. */
  show(index) {
    const { stage, x, px, rows, toolX } = this;
    const frame = stage.frames[index];
    const down = (n) => stage.side * px * n;
    const places = stage.places(frame).map(down);
    const joints = rows.length;
    const state = held(frame);
    const box = (x0, y0, x1, y1) => path([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]) + "Z";
    const mid = (at) => rows[at] + TONGUE / 2;
    const shapes = places.map(() => []);
    stage.motion.gaps.forEach((gap, at) => {
      const tongueIsUp = at % 2 === 0;
      const [tongue, jaw] = tongueIsUp ? [at, at + 1] : [at + 1, at];
      const clear = 0.5 * (TONGUE + px * gap.slack);
      const [ty, jy] = [mid(at) + places[tongue], mid(at) + places[jaw]];
      const right = tongue === 0 ? this.width - 6 : x + 58;
      shapes[tongue].push([x - 34, ty - TONGUE / 2, right, ty + TONGUE / 2]);
      shapes[jaw].push([x - 58, jy - clear - PLATE, x + 34, jy - clear], [x - 58, jy + clear, x + 34, jy + clear + PLATE]);
      shapes[jaw].push([x - 58, jy - clear - PLATE, x - 58 + SPINE, jy + clear + PLATE]);
      change(this.gapFills[at], { d: box(x - 45, jy - clear, x + 34, jy + clear) });
      const open = frame.open[at] ?? 0;
      const touches = Math.abs(Math.abs(open) - 0.5 * gap.slack) < 1e-8 && Math.abs(frame.drive) > 1e-6;
      // The tongue bears on the jaw's plate toward which it is pushed.
      const toward = Math.sign(ty - jy) || Math.sign(stage.side * (tongueIsUp ? 1 : -1) * frame.drive);
      const fy = ty + (toward * TONGUE) / 2;
      change(this.faces[at], { class: `bears ${state}`, d: touches ? path([[x - 34, fy], [x + 34, fy]]) : "" });
      const [first, far] = [0.5 * gap.slack - open, 0.5 * gap.slack + open];
      const left = Math.max(Math.min(first, far), 0);
      this.gapWords[at].textContent = touches
        ? `open ${slack(gap.slack, stage.units)}`
        : `${slack(left, stage.units).split(" ")[0]} | ${slack(gap.slack - left, stage.units)}`;
    });
    // Spines join what belongs to one part.
    for (let part = 1; part < joints; part += 1) {
      const left = part % 2 === 1;
      const [from, to] = [mid(part - 1) + places[part], mid(part) + places[part]];
      shapes[part].push(left ? [x - 58, from, x - 58 + SPINE, to] : [x + 45, from - TONGUE / 2, x + 58, to + TONGUE / 2]);
    }
    const slideY = this.slideY + places[joints];
    const leftLast = joints % 2 === 1;
    shapes[joints].push(leftLast ? [x - 58, mid(joints - 1) + places[joints], x - 45, slideY] : [x + 45, mid(joints - 1) + places[joints], x + 58, slideY]);
    shapes[joints].push([x - 58, slideY - 17, x + 66, slideY + 17]);
    shapes.forEach((boxes, part) => this.parts[part].forEach((layer) => change(layer, { d: boxed(boxes) })));
    change(this.partWords[0], { y: mid(0) + places[0] - TONGUE / 2 - 5 });
    change(this.partWords[joints], { y: slideY + 5 });
    this.showWays(frame, slideY);
    this.showTool(frame, slideY, down);
    this.showFoot(frame, state);
  }

  /** The ways with marks that go by, so that a slide that stands still is seen to. */
  showWays(frame, slideY) {
    const { x, px, stage } = this;
    const gap = 14;
    const from = stage.side * px * stage.ways(frame);
    const [top, bottom] = [this.slideY - 46, this.slideY + 46];
    let marks = path([[x - 66, top], [x - 66, bottom]]) + path([[x + 74, top], [x + 74, bottom]]);
    for (let y = top + ((((from - top) % gap) + gap) % gap); y <= bottom; y += gap)
      marks += path([[x - 66, y], [x - 72, y]]) + path([[x + 74, y], [x + 80, y]]);
    change(this.waysMarks, { d: marks });
  }

  /** Tool, stock and the cone that is wanted. */
  showTool(frame, slideY, down) {
    const { x, toolX, stage } = this;
    const s = stage.side;
    const edge = this.tip + down(stage.seen(frame, frame.edge));
    const set = stage.motion.set;
    const surface = frame.depth > 0 ? frame.edge - frame.depth : -set;
    const [face, done] = [surface, 0].map((at) => this.tip + down(stage.seen(frame, at)));
    const deep = this.tip + s * 52;
    const right = Math.min(toolX + 40, this.width - 2);
    const left = toolX - 40;
    change(this.stock, { d: path([[left, face], [right, face], [right, deep + s * 4], [left, deep + s * 4]]) + "Z" });
    change(this.cone, { d: path([[left, done], [right, done]]) });
    const back = edge - s * 26;
    const arm = s * 9;
    change(this.tool, {
      d: path([[x + 66, slideY - arm], [toolX + 9, slideY - arm], [toolX + 9, back], [toolX, edge], [toolX - 9, back], [toolX - 9, slideY + arm], [x + 66, slideY + arm]]) + "Z",
    });
    // Beside the tool only in the cut: before it, the work is further along the bed.
    const there = frame.phase === "cut";
    change(this.stock, { class: there ? "work" : "work away" });
    change(this.cone, { class: there ? "cone" : "cone away" });
    change(this.workWords, { y: deep + (s > 0 ? -6 : 16) });
    this.workWords.textContent = there ? "work" : "";
    const long = Math.min(46, 0.18 * frame.push_off);
    change(this.push, { d: long > 2 ? arrow(toolX + 22, edge, toolX + 22, edge - s * (8 + long)) : "" });
  }

  showFoot(frame, state) {
    const [x, y] = this.footAt;
    const { motion, along } = this.stage;
    const at = x + along * this.px * frame.bar;
    change(this.footBar, { d: path([[at - 14, y - 8], [at + 14, y - 8], [at + 14, y + 8], [at - 14, y + 8]]) + "Z" });
    const side = Math.sign(along * frame.bar) || along;
    const touches = Math.abs(Math.abs(frame.bar) - 0.5 * motion.foot) < 1e-8;
    change(this.footFace, { class: `bears ${state === "floats" ? "first" : state}`, d: touches ? path([[at + side * 14, y - 8], [at + side * 14, y + 8]]) : "" });
  }
}

/** Boxes as path data. */
function boxed(boxes) {
  return boxes
    .map(([x0, y0, x1, y1]) => {
      const [top, bottom] = [Math.min(y0, y1), Math.max(y0, y1)];
      return path([[x0, top], [x1, top], [x1, bottom], [x0, bottom]]) + "Z";
    })
    .join("");
}

export { Chain, Stage, held };

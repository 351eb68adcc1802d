// Plays the drive's motion: one sheet with the drive and its track, a scrubber, a play button and
// a sentence that says what goes on. Needs a record and a place to stand, no server.

import { force, ink, change } from "./ink.js";
import { Chain, Stage } from "./drive.js";
import { Track } from "./track.js";

const SECONDS = { air: 6, cut: 7 };
const STATIONS = 14;

/** An HTML element with its attributes and children. */
function html(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

/** A player in `host`; `show(record)` puts a record on it, keeping the moment that is looked at. A
 * `name` keeps several players of one page apart. */
export class Player {
  constructor(host, name = "") {
    this.host = host;
    this.name = name;
    this.at = 0.72;
    this.sheet = html("div", { class: "drive-sheet" });
    this.play = html("button", { type: "button", class: "play", id: `${name}play` }, "Play");
    this.scrub = html("input", { type: "range", id: `${name}scrub`, min: 0, max: 1000, step: 1, "aria-label": "Moment of the run-in and the cut" });
    this.words = html("p", { class: "drive-words", id: `${name}drive-words` });
    this.forces = html("div", { class: "forces", id: `${name}forces` });
    this.larger = html("p", { class: "small", id: `${name}larger` });
    host.replaceChildren(this.words, html("div", { class: "transport" }, this.play, this.scrub), this.sheet, this.forces, this.larger);
    this.play.addEventListener("click", () => (this.running ? this.stop() : this.start()));
    this.scrub.addEventListener("input", () => {
      this.stop();
      this.seek(Number(this.scrub.value) / 1000);
    });
    this.width = 0;
    new ResizeObserver(() => {
      if (this.record && Math.abs(this.sheet.clientWidth - this.width) > 1) this.draw();
    }).observe(this.sheet);
  }

  /** Puts a record on the sheet, or says why there is none. */
  show(record, why = "") {
    this.record = record;
    this.play.disabled = this.scrub.disabled = !record;
    if (record) return this.draw();
    this.stop();
    this.sheet.replaceChildren(html("p", { class: "empty" }, why));
    this.forces.replaceChildren();
    this.words.textContent = this.larger.textContent = "";
    return undefined;
  }

  draw() {
    this.stage = new Stage(this.record);
    this.width = this.sheet.clientWidth || 640;
    const letter = parseFloat(getComputedStyle(this.sheet).fontSize) || 16;
    const beside = this.width >= 700;
    const left = beside ? 0.56 * this.width : this.width;
    // As large as the window lets it be: the people at the back have to see it too.
    const plain = new Chain(this.stage, left, letter).height;
    const most = beside ? Math.max(1, (innerHeight - 410) / plain) : letter / 13;
    const scale = Math.max(1, Math.min(left / 430, most));
    this.chain = new Chain(this.stage, left, letter, scale);
    this.track = new Track(this.stage, beside ? this.width - left - 24 : this.width, letter);
    change(this.track.node, { transform: beside ? `translate(${left + 24} ${Math.max(0, (this.chain.height - this.track.height) / 2)})` : `translate(0 ${this.chain.height + 8})` });
    const tall = beside ? Math.max(this.chain.height, this.track.height) : this.chain.height + this.track.height + 8;
    const svg = ink("svg", { viewBox: `0 0 ${this.width} ${tall}`, width: this.width, height: tall, role: "img", "aria-labelledby": `${this.name}drive-title`, "aria-describedby": `${this.name}drive-words` },
      ink("title", { id: `${this.name}drive-title` }, "The drive from guide to tool with its gaps, and where in its slack the slide sits"),
      this.chain.node, this.track.node);
    this.sheet.replaceChildren(svg);
    this.larger.textContent = `Slack shown ×${this.chain.larger}. Run-in seen from the ways, the cut seen from the guide. Which of several open gaps is open where: a part in an open gap stays until it is pushed.`;
    this.seek(this.at);
  }

  /** Frame at a share of the playing time. */
  frame(share) {
    const { frames, firstCut } = this.stage;
    const cut = firstCut < 0 ? frames.length : firstCut;
    const mark = SECONDS.air / (SECONDS.air + SECONDS.cut);
    const at = share < mark ? (share / mark) * cut : cut + ((share - mark) / (1 - mark)) * (frames.length - 1 - cut);
    return Math.max(0, Math.min(frames.length - 1, Math.round(at)));
  }

  seek(share) {
    this.at = Math.max(0, Math.min(1, share));
    const index = this.frame(this.at);
    this.index = index;
    this.chain.show(index);
    this.track.show(index);
    const words = this.stage.words(index);
    if (this.words.textContent !== words) this.words.textContent = words;
    this.scrub.value = String(Math.round(1000 * this.at));
    this.scrub.setAttribute("aria-valuetext", words);
    this.showForces(this.stage.frames[index]);
  }

  /** Push-off against drag, as bars with their numbers. */
  showForces(frame) {
    const { units } = this.record;
    const hold = this.stage.motion.preload;
    const rows = [["push-off", frame.push_off, "push"], ["drag", frame.drag, "drag"]];
    if (hold !== 0) rows.push([hold > 0 ? "preload, out of the cut" : "preload, into the cut", Math.abs(hold), "preload"]);
    const most = Math.max(...this.stage.frames.map((f) => Math.max(f.push_off, f.drag)), Math.abs(hold), 1e-9);
    this.forces.replaceChildren(...rows.map(([name, value, kind]) => {
      const bar = ink("svg", { class: `bar ${kind}`, viewBox: "0 0 100 10", preserveAspectRatio: "none", "aria-hidden": "true" }, ink("rect", { width: (100 * value) / most, height: 10 }));
      return html("div", { class: "force" }, html("span", { class: "force-name" }, name), bar, html("span", { class: "force-value" }, force(value, units)));
    }));
  }

  start() {
    if (!this.record) return;
    if (this.at >= 0.999) this.seek(0);
    this.running = true;
    this.play.textContent = "Pause";
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    if (calm) return void this.station();
    let last = null;
    const tick = (now) => {
      if (!this.running) return;
      const passed = last === null ? 0 : (now - last) / 1000;
      last = now;
      this.seek(this.at + passed / (SECONDS.air + SECONDS.cut));
      if (this.at >= 1) this.stop();
      else this.timer = requestAnimationFrame(tick);
    };
    this.timer = requestAnimationFrame(tick);
  }

  /** Without movement: from still to still. */
  station() {
    if (!this.running) return;
    this.seek((Math.floor(this.at * STATIONS + 1e-6) + 1) / STATIONS);
    if (this.at >= 1) this.stop();
    else this.still = setTimeout(() => this.station(), 1500);
  }

  stop() {
    this.running = false;
    this.play.textContent = "Play";
    cancelAnimationFrame(this.timer ?? 0);
    clearTimeout(this.still ?? 0);
  }
}

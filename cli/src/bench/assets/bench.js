// @ts-check
// The two cuts on one clock: cards, carriage, slot and tool to be dragged, knobs in sight.
//
// Dragging the carriage reads the record alone; a turned knob asks the engine, and the newest
// value alone is computed.

import { clock, forceRange, left, standing, stateOf } from "./record.js";
import { Plan } from "./plan.js";
import { Edge, even } from "./edge.js";
import { both, fedFrom, fedWords, leaves, nameOf, now, spoken } from "./says.js";

const FACTORS = [1, 5, 20];
/** Seconds in which a whole cut is played. */
const PLAYED = 9;
/** After so long without a turn the next one begins anew, with the cut as it stands as the one before. */
const REST = 1500;

/** @param {string} tag @param {object} [about] @param {...(Node | string)} within */
export function make(tag, about = {}, ...within) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(about)) {
    if (value !== undefined && value !== null && value !== false) made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(...within);
  return made;
}

const OF_SVG = "http://www.w3.org/2000/svg";

export class TwoCuts {
  /** @param {HTMLElement} place @param {import("./record.js").Bench} bench
   * @param {(set: [string, string][]) => void} turned @param {() => void} changed */
  constructor(place, bench, turned, changed) {
    this.place = place;
    this.bench = bench;
    this.turned = turned;
    this.changed = changed;
    /** @type {Map<string, string>} */
    this.set = new Map();
    /** @type {[import("./record.js").Cut, import("./record.js").Cut] | null} */
    this.before = null;
    this.lastTurn = -Infinity;
    this.shown = 0;
    this.knob = "slack";
    this.high = this.usualHigh();
    const fits = FACTORS.filter((factor) => factor * bench.slack <= 0.66 * Math.max(...bench.diameters));
    this.factor = fits[fits.length - 1] ?? 1;
    this.fed = 0.6 * clock(bench).to;
    this.still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    this.build();
    new ResizeObserver(() => this.lay()).observe(this.cards);
    this.lay();
  }

  /** The depth that is set, on a round scale. */
  usualHigh() {
    return 1.12 * Math.max(this.bench.set, 1e-6);
  }

  build() {
    const svg = (kind) => {
      const made = /** @type {SVGSVGElement} */ (document.createElementNS(OF_SVG, "svg"));
      made.setAttribute("class", kind);
      made.setAttribute("role", "img");
      return made;
    };
    this.title = make("h1", {}, this.bench.name);
    this.says = make("p", { id: "says", "aria-live": "polite" });
    this.trouble = make("p", { class: "trouble", role: "alert", hidden: true });
    const factors = FACTORS.map((factor) => {
      const button = make("button", { type: "button", "data-factor": factor }, `x${factor}`);
      button.addEventListener("click", () => this.magnify(factor));
      return button;
    });
    this.factorButtons = factors;
    this.menu = make("div", { class: "menu" });
    this.parts = make("ul");
    const head = make("header", { class: "top" },
      make("div", { class: "title" }, this.title, this.says, this.trouble),
      make("div", { class: "group", role: "group", "aria-label": "Slack and stock drawn larger" }, make("span", { class: "word" }, "slack drawn"), ...factors),
      this.menu);
    this.tabs = [0, 1].map((which) => {
      const tab = make("button", { type: "button" }, nameOf(which));
      tab.addEventListener("click", () => this.choose(which));
      return tab;
    });
    this.cardParts = [0, 1].map((which) => {
      const [plan, edge] = [svg("plan"), svg("edge")];
      const told = make("p", { class: "told-now" });
      const cant = make("p", { class: "cant", hidden: true });
      const fed = make("span", { class: "fed" });
      const outcome = make("span", { class: "outcome" });
      const way = make("span", { class: "way-arrow", "aria-hidden": "true" });
      const card = make("article", { class: "card", "data-cut": which },
        make("header", { class: "card-head" }, make("h2", {}, nameOf(which)), way, fed, outcome, told, cant), plan, edge);
      this.hold(plan, which);
      this.holdEdge(edge, which);
      return { card, plan, edge, shown: false, told, cant, fed, outcome, way, drawnPlan: new Plan(plan, `p${which}`), drawnEdge: new Edge(edge, `e${which}`) };
    });
    this.cards = make("div", { class: "cards" }, ...this.cardParts.map(({ card }) => card));
    this.range = /** @type {HTMLInputElement} */ (make("input", { type: "range", min: 0, max: 1000, step: 1, "aria-label": "Length fed since the cut began" }));
    this.range.addEventListener("input", () => {
      const { from, to } = clock(this.bench);
      this.go(from + (Number(this.range.value) / 1000) * (to - from));
    });
    this.fedOut = make("output", { class: "fed-out" });
    this.playButton = make("button", { type: "button", class: "play" });
    this.playButton.addEventListener("click", () => this.play());
    const taller = make("button", { type: "button", "aria-label": "Edge windows taller scale" }, "+");
    const lower = make("button", { type: "button", "aria-label": "Edge windows lower scale" }, "−");
    taller.addEventListener("click", () => this.zoom(0.5));
    lower.addEventListener("click", () => this.zoom(2));
    const clockRow = make("div", { class: "clock" }, this.playButton, this.range, this.fedOut,
      make("div", { class: "group", role: "group", "aria-label": "Height of the edge windows" }, make("span", { class: "word" }, "edge"), taller, lower));
    this.knobs = make("form", { class: "knobs", autocomplete: "off" });
    this.knobs.addEventListener("submit", (event) => event.preventDefault());
    this.place.replaceChildren(head, make("div", { class: "tabs" }, ...this.tabs), this.cards, clockRow, this.knobs);
    this.buildKnobs();
    this.keys();
    this.playing(false);
  }

  buildKnobs() {
    const choice = /** @type {HTMLSelectElement} */ (make("select", { class: "which-knob", "aria-label": "Which knob" },
      ...this.bench.knobs.map((knob) => make("option", { value: knob.id }, knob.words))));
    choice.addEventListener("change", () => this.choose(this.shown, choice.value));
    this.choice = choice;
    this.knobParts = this.bench.knobs.map((knob) => {
      const range = /** @type {HTMLInputElement} */ (make("input", { type: "range", id: `knob-${knob.id}`, min: knob.turns[0], max: knob.turns[1], step: knob.step }));
      const out = make("output", { for: `knob-${knob.id}` });
      range.addEventListener("input", () => this.turn(knob.id, Number(range.value)));
      const part = make("div", { class: "knob", "data-knob": knob.id }, make("label", { for: `knob-${knob.id}` }, knob.words), out, range);
      return { knob, range, out, part, name: /** @type {HTMLElement} */ (part.firstElementChild) };
    });
    this.knobs.replaceChildren(choice, ...this.knobParts.map(({ part }) => part));
    this.tellKnobs();
  }

  tellKnobs() {
    for (const { knob, range, out, part, name } of this.knobParts) {
      const now = this.bench.knobs.find((one) => one.id === knob.id) ?? knob;
      const typed = this.set.get(knob.id);
      if (name.textContent !== now.words) name.textContent = now.words;
      const at = typed === undefined ? now.at : typed === "" ? 0 : Number.parseFloat(typed);
      const number = (value) => value.toFixed(now.decimals);
      const spread = typed === undefined && now.range[1] > now.range[0] * 1.001;
      out.textContent =
        knob.id === "weight" && at <= 0 ? (at < 0 ? `${number(-at)} ${now.unit} into the cut` : "none") : spread ? `${number(now.range[0])} to ${number(now.range[1])} ${now.unit}` : `${number(at)} ${now.unit}`;
      if (document.activeElement !== range || Math.abs(Number(range.value) - at) > now.step) range.value = String(at);
      range.setAttribute("aria-valuetext", out.textContent);
      part.classList.toggle("chosen", knob.id === this.knob);
    }
    this.choice.value = this.knob;
  }

  /** Turns a knob to a number in its unit.
   * @param {string} id @param {number} value */
  turn(id, value) {
    const knob = this.bench.knobs.find((one) => one.id === id);
    if (!knob) return;
    const clamped = Math.min(Math.max(value, knob.turns[0]), knob.turns[1]);
    const notched = Math.round(clamped / knob.step) * knob.step;
    const text = id === "weight" && notched <= 0 ? "" : `${notched.toFixed(Math.max(knob.decimals, 4)).replace(/\.?0+$/, "") || "0"} ${knob.unit}`;
    if (this.set.get(id) === text) return;
    const at = performance.now();
    if (at - this.lastTurn > REST) this.before = this.bench.cuts;
    this.lastTurn = at;
    this.set.delete(id);
    this.set.set(id, text);
    this.knob = id;
    this.tellKnobs();
    this.turned([...this.set]);
    this.changed();
  }

  /** A new record takes the place of the last; the carriage stays at its share of the way.
   * @param {import("./record.js").Bench} bench */
  take(bench) {
    this.bench = bench;
    // Another job may have come with a pasted state.
    this.title.textContent = bench.name;
    const alike = ({ knob }, at) => knob.unit === bench.knobs[at].unit && knob.turns.join() === bench.knobs[at].turns.join();
    if (!this.knobParts.every(alike)) this.buildKnobs();
    const { from, to } = clock(bench);
    this.fed = Math.min(Math.max(this.fed, from), to);
    this.wrong("");
    this.lay();
    this.tellKnobs();
  }

  /** @param {string} why */
  wrong(why) {
    this.trouble.textContent = why ? `Not like that: ${why}. The picture is of the cut before.` : "";
    this.trouble.hidden = !why;
    this.place.classList.toggle("is-wrong", why !== "");
  }

  window() {
    const { bench } = this;
    const inch = bench.units !== "metric";
    const deepest = Math.max(0, ...bench.cuts.flatMap((cut) => left(cut).map(([, up]) => -up)));
    return { high: this.high, deep: Math.min(Math.max(0.14 * this.high, 1.15 * deepest), 0.5 * this.high), unit: inch ? 0.0254e-3 : 1e-6 };
  }

  /** Lays everything out for the room there is, or for a sheet of paper.
   * @param {{wide: number, plan: number, edge: number}} [paper] px of a card on it */
  lay(paper) {
    const forces = forceRange(this.bench);
    const window = this.window();
    for (const [which, part] of this.cardParts.entries()) {
      const room = (element, high) => (paper ? { width: paper.wide, height: high } : { width: Math.floor(element.clientWidth), height: Math.floor(element.clientHeight) });
      const [p, e] = [room(part.plan, paper?.plan), room(part.edge, paper?.edge)];
      part.shown = p.width > 40 && p.height > 40;
      if (part.shown) {
        part.drawnPlan.layout(this.bench, which, p.width, p.height, this.factor);
        part.drawnPlan.forces.scale(forces);
      }
      if (e.width > 40 && e.height > 20) {
        part.drawnEdge.layout(this.bench, which, e.width, e.height, window, this.before?.[which] ?? null, nameOf(which));
      }
      const why = this.bench.cuts[which].out.join("; ");
      part.cant.textContent = why ? `Can't be cut here: ${why}.` : "";
      part.cant.title = why;
      part.cant.hidden = !why;
      part.outcome.textContent = leaves(this.bench, this.bench.cuts[which]);
      part.fed.textContent = fedFrom(this.bench, this.bench.cuts[which]);
      part.way.textContent = this.bench.cuts[which].feed === "tailstock" ? "→" : "←";
    }
    for (const button of this.factorButtons) button.setAttribute("aria-pressed", String(Number(button.dataset.factor) === this.factor));
    this.tabs.forEach((tab, which) => tab.setAttribute("aria-pressed", String(which === this.shown)));
    this.cardParts.forEach(({ card }, which) => card.classList.toggle("chosen", which === this.shown));
    const { unit, si, decimals } = this.bench.knobs[0];
    this.parts.replaceChildren(...this.bench.gaps.map(([name, slack]) => make("li", {}, `${name}: ${(slack / si).toFixed(decimals)} ${unit}`)));
    const said = both(this.bench);
    if (this.says.textContent !== said) this.says.textContent = said;
    this.show();
  }

  /** Shows both cuts at the length fed. */
  show() {
    const at = this.bench.cuts.map((cut) => standing(cut, this.fed));
    for (const [which, part] of this.cardParts.entries()) {
      if (part.drawnPlan.forces && part.shown) part.drawnPlan.show(at[which]);
      if (part.drawnEdge.clips) part.drawnEdge.show(at[which], at[1 - which].z, at[1 - which].begun);
      part.told.textContent = now(this.bench, this.bench.cuts[which], at[which]);
      part.card.dataset.state = stateOf(at[which]);
      part.plan.setAttribute("aria-label", spoken(this.bench, which, at[which]));
      part.edge.setAttribute("aria-label", `What is left on the wall, ${nameOf(which).toLowerCase()}: up is stock left.`);
    }
    const { from, to } = clock(this.bench);
    this.range.value = String(Math.round((1000 * (this.fed - from)) / (to - from)));
    const words = fedWords(this.bench, this.fed);
    this.range.setAttribute("aria-valuetext", words);
    this.fedOut.textContent = words;
    this.place.dataset.fed = this.fed.toFixed(6);
  }

  /** @param {number} fed */
  go(fed) {
    const { from, to } = clock(this.bench);
    this.fed = Math.min(Math.max(fed, from), to);
    this.show();
    this.changed();
  }

  /** @param {number} factor */
  magnify(factor) {
    this.factor = factor;
    this.lay();
    this.changed();
  }

  /** @param {number} times */
  zoom(times) {
    this.high = Math.min(Math.max(this.high * times, 2e-6), 5e-3);
    this.lay();
    this.changed();
  }

  /** @param {number} which @param {string} [knob] */
  choose(which, knob) {
    this.shown = which;
    if (knob) this.knob = knob;
    this.lay();
    this.tellKnobs();
    this.changed();
  }

  /** Four moments that tell the cut: run-in, entry, mid length, exit. */
  moments() {
    const { from, to } = clock(this.bench);
    return [0.5 * from, 0.03 * to, 0.5 * to, to];
  }

  play() {
    const { from, to } = clock(this.bench);
    if (this.still) {
      const next = this.moments().find((moment) => moment > this.fed + 1e-6);
      return this.go(next ?? this.moments()[0]);
    }
    if (this.frame) return this.playing(false);
    if (this.fed >= to - 1e-9) this.fed = from;
    let last = performance.now();
    const step = (at) => {
      this.go(this.fed + ((to - from) * (at - last)) / 1000 / PLAYED);
      last = at;
      if (this.fed >= to - 1e-9) return this.playing(false);
      this.frame = requestAnimationFrame(step);
    };
    this.frame = requestAnimationFrame(step);
    this.playing(true);
  }

  /** @param {boolean} is */
  playing(is) {
    if (!is && this.frame) cancelAnimationFrame(this.frame);
    if (!is) this.frame = 0;
    this.playButton.textContent = this.still ? "▸ next" : is ? "❚❚" : "▶";
    this.playButton.setAttribute("aria-label", this.still ? "Next moment" : is ? "Stop" : "Play");
  }

  keys() {
    // As a part of a page it leaves the page's own keys alone.
    const within = this.place.getRootNode() === document ? document : this.place;
    within.addEventListener("keydown", (/** @type {any} */ event) => {
      const on = /** @type {HTMLElement} */ (event.target);
      const typing = on.closest?.("textarea, select, input:not([type=range]), summary, a, [role=tablist], pre");
      // Scrolled past, it leaves the keys to the page.
      const past = this.place.getBoundingClientRect().bottom < 120;
      if (typing || past || event.ctrlKey || event.metaKey || event.altKey) return;
      const { from, to } = clock(this.bench);
      if (event.key === " " && !(on instanceof HTMLButtonElement)) {
        event.preventDefault();
        this.play();
      } else if ((event.key === "ArrowRight" || event.key === "ArrowLeft") && !on.closest?.(".knobs")) {
        event.preventDefault();
        this.go(this.fed + ((event.key === "ArrowRight" ? 1 : -1) * (to - from)) / (event.shiftKey ? 20 : 200));
      }
    });
  }

  /** The carriage, and by what is taken hold of across the bed, slack and depth.
   * @param {SVGSVGElement} plan @param {number} which */
  hold(plan, which) {
    plan.addEventListener("pointerdown", (down) => {
      if (down.button > 0) return;
      this.playing(false);
      plan.setPointerCapture(down.pointerId);
      const kind = /** @type {Element} */ (down.target).getAttribute("data-hold");
      const drawn = this.cardParts[which].drawnPlan;
      const begin = { fed: this.fed, slack: this.bench.slack, set: this.bench.set, across: drawn.across };
      const forward = this.bench.cuts[which].feed === "tailstock" ? 1 : -1;
      /** @type {string | null} */
      let axis = kind ? null : "along";
      const move = (event) => {
        const [dx, dy] = [event.clientX - down.clientX, event.clientY - down.clientY];
        if (!axis && Math.hypot(dx, dy) > 5) axis = Math.abs(dy) > Math.abs(dx) ? "across" : "along";
        if (axis === "along") this.go(begin.fed + (forward * dx) / drawn.s);
        else if (axis === "across") {
          const by = dy / begin.across;
          const from = down.clientY - plan.getBoundingClientRect().top < drawn.slotY(drawn.slotMid.x) ? -1 : 1;
          const si = kind === "slack" ? begin.slack + 2 * from * by : begin.set + drawn.into * by;
          const knob = this.bench.knobs.find((one) => one.id === kind);
          if (knob) this.turn(knob.id, si / knob.si);
        }
      };
      const up = () => {
        plan.removeEventListener("pointermove", move);
        plan.removeEventListener("pointerup", up);
        plan.removeEventListener("pointercancel", up);
      };
      plan.addEventListener("pointermove", move);
      plan.addEventListener("pointerup", up);
      plan.addEventListener("pointercancel", up);
    });
  }

  /** @param {SVGSVGElement} edge @param {number} which */
  holdEdge(edge, which) {
    const move = (event) => {
      const drawn = this.cardParts[which].drawnEdge;
      const z = (event.clientX - edge.getBoundingClientRect().left - drawn.x(0)) / drawn.perM;
      const cut = this.bench.cuts[which];
      const begin = cut.at.z[cut.at.fed.findIndex((fed) => fed >= 0)] * 1e-6;
      this.go(cut.feed === "tailstock" ? z - begin : begin - z);
    };
    edge.addEventListener("pointerdown", (down) => {
      if (down.button > 0) return;
      this.playing(false);
      edge.setPointerCapture(down.pointerId);
      move(down);
      edge.addEventListener("pointermove", move);
      const up = () => edge.removeEventListener("pointermove", move);
      edge.addEventListener("pointerup", up, { once: true });
      edge.addEventListener("pointercancel", up, { once: true });
    });
  }
}

// Before and after: an answer is pinned, and what has changed against it is told, knob by knob and
// number by number, in the words that the server gave for both.

const el = (tag, attributes = {}, ...children) => {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
};

const NUMBERS = [
  ["seat", "What holds the slide"],
  ["size", "Size"],
  ["finish", "Finish"],
  ["taper", "Taper"],
  ["push_off", "Push-off"],
  ["drag", "Drag while cutting"],
];

/** The pinned answer and the button that pins it. */
export class Before {
  constructor(host, button, changed) {
    Object.assign(this, { host, button, changed, pinned: null });
    button.addEventListener("click", () => {
      this.pinned = this.pinned ? null : this.now;
      this.show(this.now.answer, this.now.settings);
      this.changed();
    });
    this.now = null;
  }

  /** The pinned answer, if there is one. */
  get answer() {
    return this.pinned?.answer ?? null;
  }

  show(answer, settings) {
    this.now = { answer, settings };
    this.button.textContent = this.pinned ? "Let go of “before”" : "Pin as “before”";
    this.button.setAttribute("aria-pressed", String(Boolean(this.pinned)));
    if (!this.pinned) {
      this.host.replaceChildren(el("p", { class: "small" }, "Pin this answer as “before”, then turn a knob: what changes is listed here, and the old surface stays in the drawing."));
      return;
    }
    const old = this.pinned;
    const rows = [];
    const was = new Map(old.settings.map(([id, , value]) => [id, value]));
    for (const [id, words, value] of settings)
      if (was.get(id) !== value) rows.push(["turned", words, was.get(id) ?? "–", value]);
    const chosen = [old.answer.chosen, answer.chosen];
    if (chosen[0].key !== chosen[1].key) rows.push(["found", "The way", chosen[0].short, chosen[1].short]);
    for (const [name, words] of NUMBERS) {
      const [a, b] = chosen.map((way) => way.numbers?.[name] ?? "not cut");
      if (a !== b) rows.push(["found", words, a, b]);
    }
    const order = (of) => of.ways.filter((way) => !way.out.length && !way.forbidden).map((way) => way.short);
    const [a, b] = [order(old.answer), order(answer)];
    if (a.join() !== b.join()) rows.push(["found", "Ranking", a.map((w, i) => `${i + 1}. ${w}`).join("; ") || "none", b.map((w, i) => `${i + 1}. ${w}`).join("; ") || "none"]);
    if (!rows.length) {
      this.host.replaceChildren(el("p", {}, "Nothing has changed yet against “before”."));
      return;
    }
    const body = el("tbody", {}, ...rows.map(([kind, words, from, to]) => el("tr", { class: kind }, el("th", { scope: "row" }, words), el("td", { "data-label": "Before" }, from), el("td", { "data-label": "Now" }, to))));
    const head = el("thead", {}, el("tr", {}, el("td"), el("th", { scope: "col" }, "Before"), el("th", { scope: "col" }, "Now")));
    this.host.replaceChildren(el("table", { class: "changes" }, el("caption", { class: "hidden" }, "What changed against before"), head, body));
  }
}

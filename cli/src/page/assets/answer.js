// Shows an answer in the words of the command line: which way, what can hurt, what to expect, and
// the ways ranked with their reasons.

const el = (tag, attributes = {}, ...children) => {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
};

const plain = (label) => label.trim().replace(/:$/, "");

/** Labels that stand big at the top, and those that the table of ways says instead. */
const TOP = ["CUT IT THIS WAY", "MAKE IT THIS WAY", "THIS WAY", "OUT"];
const LATER = ["Note", "Mind"];

/** Shows what the screen says. */
export function showWords(host, answer, said) {
  const labelled = said.filter(({ label }) => plain(label) !== "-" && plain(label) !== "");
  const list = el("dl", { class: "said" });
  const nothing = said.find(({ label, text }) => label === "" && text.startsWith("NO WAY"));
  const big = labelled.find(({ label }) => TOP.includes(plain(label)));
  const head = el("p", { class: "way-head" });
  if (nothing) head.append(el("strong", {}, nothing.text));
  else if (big) head.append(el("span", { class: "way-label" }, plain(big.label)), el("strong", {}, big.text));
  const stop = labelled.find(({ label }) => plain(label) === "STOP IF");
  const mind = labelled.find(({ label }) => plain(label) === "Also watch");
  const hurt = el("div", { class: "hurt" });
  if (stop) hurt.append(el("p", {}, el("strong", {}, "STOP IF "), stop.text));
  if (mind) hurt.append(el("p", { class: "mind" }, el("strong", {}, "Also watch: "), mind.text));
  for (const { label, text } of labelled) {
    const name = plain(label);
    if ([...TOP, ...LATER, "STOP IF", "Also watch", "Lost on reversal, carriage travel", "Spring at the tip"].includes(name)) continue;
    list.append(el("dt", {}, name), el("dd", {}, text));
  }
  const notes = labelled.filter(({ label }) => LATER.includes(plain(label)));
  host.replaceChildren(head);
  if (stop || mind) host.append(hurt);
  host.append(list, ...notes.map(({ label, text }) => el("p", { class: "small" }, plain(label) === "Note" ? text : `${plain(label)}: ${text}`)));
}

function verdict(way) {
  if (way.out.length) return ["out", "can't be cut"];
  if (way.forbidden) return ["never", "never"];
  return way.met ? ["met", "drawing met"] : ["missed", "drawing missed"];
}

/** The ranking; `choose(key)` hears which way is to be looked at. */
export function showWays(host, answer, trials, choose) {
  const body = el("tbody");
  answer.ways.forEach((way, at) => {
    const looked = way.key === answer.chosen.key;
    const [kind, words] = verdict(way);
    const tried = trials?.find((trial) => trial.key === way.key);
    const button = el("button", { type: "button", class: "look-at", "aria-pressed": String(looked) }, way.short);
    button.addEventListener("click", () => choose(looked && !answer.is_best ? "" : way.key));
    const why = [way.out.length ? `out: ${way.out.join("; ")}` : way.cost, way.cautions.length ? `mind: ${way.cautions.join(", ")}` : ""].filter(Boolean);
    const numbers = way.numbers;
    const looks = `${kind}${looked ? " looked" : ""}`;
    const cells = [["Size off, per side", numbers?.size_error], ["Waves", numbers?.waves], ["Taper", numbers?.taper]];
    const row = el("tr", { class: looks, "data-key": way.key },
      el("td", { class: "rank" }, way.out.length || way.forbidden ? "–" : String(at + 1)),
      el("th", { scope: "row" }, button),
      el("td", { class: "verdict", "data-label": "Drawing" }, el("span", { class: `mark ${kind}` }, words), ...(tried ? [el("span", { class: "small also" }, `met on ${tried.met} lathes`)] : [])),
      ...cells.map(([name, value]) => el("td", { class: "num", "data-label": name }, value ?? "–")));
    if (way.also.length) why.push(`same cut: ${way.also.join("; ")}`);
    const reasons = el("tr", { class: `why-row ${looks}` }, el("td", { class: "blank" }), el("td", { class: "why", colspan: "5" }, ...why.map((line) => el("span", {}, line))));
    body.append(row, reasons);
  });
  const head = el("tr", {}, ...["", "Way", "Drawing", "Size off, per side", "Waves", "Taper"].map((name) => (name ? el("th", { scope: "col" }, name) : el("td", {}))));
  const table = el("table", { class: "ways" }, el("caption", { class: "hidden" }, "Every way of making the cut, best first"), el("thead", {}, head), body);
  host.replaceChildren(table);
}

/** The ways without the attachment, as the screen lists them. */
export function showMethods(host, said, answer) {
  host.replaceChildren();
  const heading = answer.without ? "Other ways without the attachment" : "Without the attachment";
  if (said.length) host.append(el("h3", {}, heading), el("ul", {}, ...said.map(({ text }) => el("li", {}, text))));
}

/** An answer with its way in sight run again: that way's row, picture and words; another way's
 * words are its own. */
export function renewed(answer, first) {
  const { chosen } = first;
  const same = chosen.key === answer.chosen.key;
  const row = (way) => (way.key === chosen.key ? { ...chosen, cost: way.cost, also: way.also } : way);
  const words = (paragraph) => {
    const name = plain(paragraph.label);
    const fixed = !name || name === "-" || TOP.includes(name) || LATER.includes(name);
    return fixed ? paragraph : (first.said.find(({ label }) => label === paragraph.label) ?? paragraph);
  };
  // A way without the attachment stands at the top: those words are not this way's.
  const said = answer.without && answer.is_best ? answer.said : same ? answer.said.map(words) : first.said;
  return { ...answer, ...first, said, is_best: answer.is_best && same, ways: answer.ways.map(row), chosen: same ? { ...chosen, cost: answer.chosen.cost, also: answer.chosen.also } : chosen };
}

/** The line that stays in sight. */
export function statusOf(answer) {
  const { chosen } = answer;
  if (answer.without && answer.is_best) {
    const made = answer.said.find(({ label }) => plain(label) === "MAKE IT THIS WAY");
    if (made) return { kind: "met", words: `Make it without the attachment: ${made.text}` };
  }
  if (answer.none && answer.is_best === false && chosen.out.length) return { kind: "out", words: "No way of cutting this can be advised" };
  const lead = answer.is_best ? "Cut it" : "Looking at";
  const seat = chosen.numbers ? chosen.numbers.seat : `out: ${chosen.out[0] ?? ""}`;
  const [kind] = verdict(chosen);
  return { kind, words: `${lead}: ${chosen.short}. ${seat[0].toUpperCase()}${seat.slice(1)}.` };
}

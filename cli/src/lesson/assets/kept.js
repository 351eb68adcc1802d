// @ts-check
// What the learner types: kept in the browser for this job alone, held against what is expected when
// asked, and given away as text.

/** @typedef {{within: number, blanks: [string, string][]}} Rule what a step's blanks should say, and how near */
/** @typedef {{key: string, about: string, steps: Record<string, Rule>}} Checked */
/** @typedef {{key: string, step: string, label: string, expected: string, within: number,
 *   inputs: HTMLInputElement[]}} Field */
/** @typedef {{value: number, kind: string, unit: string, digits: number, per: number}} Told a number in SI */

/** @type {Record<string, [string, number]>} */
const UNITS = {
  in: ["length", 0.0254], '"': ["length", 0.0254], thou: ["length", 2.54e-5], mm: ["length", 1e-3], "µm": ["length", 1e-6], um: ["length", 1e-6],
  lbf: ["force", 4.4482216152605], lb: ["force", 4.4482216152605], n: ["force", 1], "in/ft": ["taper", 1 / 12],
};
/** As near as a hand measures at the lathe, in the unit. */
const BY_HAND = /** @type {Record<string, number>} */ ({ in: 0.001, mm: 0.02, lbf: 2, N: 10 });
const NUMBER = /(?:(\d+)[ -])?(\d+)\/(\d+)(?![.\d])|[+\-−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)/g;

/** The numbers in a text.
 * @param {string} text @returns {Told[]} */
export function numbers(text) {
  const ratios = [...text.matchAll(/1\s*:\s*(\d+(?:[.,]\d+)?)/g)];
  if (ratios.length) return ratios.map(([, to]) => ({ value: 1 / Number(to.replace(",", ".")), kind: "taper", unit: "", digits: 4, per: 1 }));
  return [...text.matchAll(NUMBER)].map((found) => {
    const [whole, ones, over, under] = found;
    const plain = whole.replace(",", ".").replace("−", "-");
    const n = under ? Number(ones ?? 0) + Number(over) / Number(under) : Number(plain);
    const after = /^\s*(in\/ft|thou|µm|um|mm|in|"|lbf|lb|n)(?![a-z])/i.exec(text.slice((found.index ?? 0) + whole.length));
    const [kind, per] = after ? UNITS[after[1].toLowerCase()] : ["", 1];
    return { value: n * per, kind, unit: after ? after[1] : "", digits: (plain.split(".")[1] ?? "").length, per };
  });
}

/** Whether what was typed is what is expected, and by how much it is off; nothing where it can't be told.
 * @param {string} expected @param {string} typed @param {number} within share that is counted right
 * @returns {{right: boolean, words: string} | null} */
export function judged(expected, typed, within) {
  const wanted = numbers(expected);
  const said = typed.trim().toLowerCase();
  if (wanted.length === 0) {
    const none = expected.startsWith("none");
    if (none && numbers(typed).some(({ value }) => value !== 0)) return { right: false, words: `off: ${expected} is expected` };
    const right = none ? /\b(none|no|0)\b/.test(said) : said.includes(expected.toLowerCase());
    return { right, words: right ? "right" : none ? `off: ${expected} is expected` : "not that one" };
  }
  const got = numbers(typed);
  if (got.length === 0) return { right: false, words: "no number in it" };
  const pairs = got.length === 1 && wanted.length > 1
    ? [[wanted.reduce((near, one) => (Math.abs(one.value - got[0].value * (got[0].unit ? 1 : one.per)) < Math.abs(near.value - got[0].value * (got[0].unit ? 1 : near.per)) ? one : near)), got[0]]]
    : wanted.slice(0, got.length).map((one, at) => [one, got[at]]);
  let worst = { share: -1, words: "", right: true };
  for (const [want, have] of pairs) {
    if (have.kind && have.kind !== want.kind) return { right: false, words: `that is a ${have.kind}; a ${want.kind || "bare number"} is expected` };
    // A number without a unit is meant in the unit that is expected.
    const off = (have.kind ? have.value : have.value * want.per) - want.value;
    const least = Math.max(0.51 * 10 ** -want.digits, within > 0.05 ? BY_HAND[want.unit] ?? 0 : 10 ** -want.digits) * want.per;
    const right = Math.abs(off) <= Math.max(within * Math.abs(want.value), least) * 1.0001;
    const share = Math.abs(off) / Math.max(Math.abs(want.value), least);
    if (share < worst.share) continue;
    const by = `${off < 0 ? "−" : "+"}${Math.abs(off / want.per).toFixed(want.digits)}${want.unit && ` ${want.unit}`}`;
    const part = want.value === 0 ? "" : ` (${Math.round((100 * Math.abs(off)) / Math.abs(want.value))} %)`;
    worst = { share, right, words: right ? "right" : `off by ${by}${part}` };
  }
  return worst;
}

/** How near is counted right, in plain words.
 * @param {number} within @param {boolean} metric */
export function nearness(within, metric) {
  const share = `${Math.round(100 * within)} %`;
  if (within <= 0.05) return `Right is within ${share}, or one of the last digit: this can be reckoned, or read off a readout.`;
  return `Right is within ${share} of what is expected, or ${metric ? "0.02 mm, 10 N" : "0.001 in, 2 lbf"} where that is more: a hand at the lathe measures no finer. What stays off after a second measuring is the lathe telling you something.`;
}

/** The blanks and boxes of the page.
 * @param {Checked} checked @returns {Field[]} */
export function fieldsOf(checked) {
  /** @type {Map<string, Field>} */
  const fields = new Map();
  const groups = /** @type {Map<string, string>} */ (new Map());
  for (const input of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll("input:is([type=text], [type=radio], [type=checkbox])"))) {
    const step = input.closest(".step, .card")?.id ?? (input.closest(".who") ? "who" : "");
    if (!step) continue;
    const legend = input.type === "radio" ? input.closest("fieldset")?.querySelector("legend")?.textContent : null;
    const row = input.closest(".measures tr")?.children;
    const label = (legend ?? row?.[0].textContent ?? input.getAttribute("aria-label") ?? input.labels?.[0]?.textContent ?? "").trim();
    const rule = checked.steps[step];
    const old = legend ? groups.get(input.name) : undefined;
    if (old) {
      fields.get(old)?.inputs.push(input);
      continue;
    }
    let key = `${step}/${label}`;
    for (let again = 2; fields.has(key); again += 1) key = `${step}/${label}/${again}`;
    if (legend) groups.set(input.name, key);
    const expected = rule?.blanks.find(([asked]) => asked === label)?.[1] ?? row?.[1].textContent ?? "";
    fields.set(key, { key, step, label, expected, within: rule?.within ?? 0.2, inputs: [input] });
  }
  return [...fields.values()];
}

/** What stands in a field, as text.
 * @param {Field} field */
export function saidIn({ inputs }) {
  const [first] = inputs;
  if (first.type === "radio") return inputs.find((one) => one.checked)?.labels?.[0]?.textContent?.trim() ?? "";
  return first.type === "checkbox" ? (first.checked ? "done" : "") : first.value.trim();
}

/** @param {Field} field @param {string} said */
function fillIn({ inputs }, said) {
  const [first] = inputs;
  if (first.type === "text") first.value = said;
  else for (const one of inputs) one.checked = first.type === "checkbox" ? said !== "" : one.labels?.[0]?.textContent?.trim() === said;
}

/** Keeps every field, holds a step's against what is expected, and gives all of it away.
 * @param {Checked} checked */
export function keeping(checked) {
  const fields = fieldsOf(checked);
  const status = /** @type {HTMLElement} */ (document.getElementById("kept-status"));
  /** @type {Map<string, string>} what was said of a field */
  const told = new Map();
  const all = () => Object.fromEntries(fields.map((field) => [field.key, saidIn(field)]).filter(([, said]) => said));
  const keep = () => {
    try {
      const now = all();
      if (Object.keys(now).length) localStorage.setItem(checked.key, JSON.stringify(now));
      else localStorage.removeItem(checked.key);
    } catch {
      status.textContent = "This browser keeps nothing here; save or print your answers.";
    }
  };
  try {
    const old = JSON.parse(localStorage.getItem(checked.key) ?? "{}");
    for (const field of fields) if (typeof old[field.key] === "string") fillIn(field, old[field.key]);
  } catch {
    status.textContent = "What was kept can't be read.";
  }
  const unsay = (field) => {
    told.delete(field.key);
    field.inputs[0].closest("td, p, fieldset")?.querySelector(".held-against")?.remove();
  };
  for (const field of fields) {
    for (const input of field.inputs) {
      input.addEventListener("input", () => {
        unsay(field);
        keep();
      });
    }
  }
  const metric = document.documentElement.dataset.units === "metric";
  for (const step of new Set(fields.map((field) => field.step))) {
    const mine = fields.filter((field) => field.step === step && field.expected);
    const button = document.querySelector(`#${step} .hold-against`);
    if (!(button instanceof HTMLElement)) continue;
    button.hidden = mine.length === 0;
    button.addEventListener("click", () => {
      let [right, off] = [0, 0];
      for (const field of mine) {
        unsay(field);
        const said = saidIn(field);
        const found = said ? judged(field.expected, said, field.within) : null;
        if (!found) continue;
        if (found.right) right += 1;
        else off += 1;
        told.set(field.key, found.words);
        const mark = document.createElement("span");
        mark.className = `held-against ${found.right ? "right" : "off"}`;
        mark.textContent = `${found.right ? "✓" : "✗"} ${found.words}`;
        field.inputs[0].closest("td, p, fieldset")?.append(mark);
      }
      const empty = mine.length - right - off;
      const out = /** @type {HTMLElement} */ (document.querySelector(`#${step} .held-all`));
      out.textContent = `${right} right, ${off} off, ${empty} still empty. ${nearness(mine[0].within, metric)}`;
    });
  }
  const text = () => {
    const lines = [checked.about];
    let last = "who";
    for (const field of fields) {
      const said = saidIn(field);
      if (!said) continue;
      if (field.step !== last) lines.push("", document.getElementById(`title-${field.step}`)?.textContent?.trim() ?? field.step);
      last = field.step;
      const words = told.get(field.key);
      lines.push(`  ${field.label.replace(/[:?]$/, "")}: ${said}${words ? ` (${words})` : ""}`);
    }
    return `${lines.join("\n")}\n`;
  };
  document.getElementById("copy-kept")?.addEventListener("click", async () => {
    const area = /** @type {HTMLTextAreaElement} */ (document.getElementById("kept-text"));
    area.hidden = false;
    area.value = text();
    area.select();
    try {
      await navigator.clipboard.writeText(area.value);
      status.textContent = "Copied.";
    } catch {
      status.textContent = "Copy the text that is marked.";
    }
  });
  document.getElementById("save-kept")?.addEventListener("click", () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text()], { type: "text/plain" }));
    link.download = "lesson-answers.txt";
    link.click();
  });
  document.getElementById("clear-kept")?.addEventListener("click", () => {
    if (!confirm("Clear all that is typed and marked in this lesson?")) return;
    for (const field of fields) {
      unsay(field);
      fillIn(field, "");
    }
    for (const out of document.querySelectorAll(".held-all")) out.textContent = "";
    keep();
  });
}

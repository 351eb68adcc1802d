// @ts-check
// Job and lathe as forms, made of the engine's table of numbers; each fault stands beside its field.

import { make } from "./bench.js";

/** @typedef {{file: string, path: string, group: string, words: string, kind: string, words_known: string[],
 *   usual: [string, string] | null, left_out: [string, string][] | null, test: string | null,
 *   required: boolean, common: boolean}} Field */
/** @typedef {{severity: string, file: string, line: number, path: string, message: string, hint: string}} Fault */
/** @typedef {{severity: string, path: string, message: string, hint: string}} Wrong */
/** @typedef {{job: Record<string, string>, lathe: Record<string, string>, faults: Fault[],
 *   threaded: boolean, reads: {name: string, lathe: string, units: string, fitted: boolean, condition: string} | null}} Look */

const CONDITIONS = ["good", "ordinary", "worn", "junk"];

export class Form {
  /** @param {HTMLElement} place @param {string} file @param {Field[]} fields
   * @param {(path: string, typed: string) => void} typed */
  constructor(place, file, fields, typed) {
    this.file = file;
    /** @type {{field: Field, input: HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement, hint: HTMLElement, fault: HTMLElement, part: HTMLElement}[]} */
    this.parts = [];
    /** @type {{group: string, fold: HTMLDetailsElement, rare: HTMLDetailsElement | null, wrong: HTMLElement, tables: Set<string>}[]} */
    this.groups = [];
    this.loose = make("ul", { class: "faults" });
    place.append(this.loose);
    const groups = [...new Set(fields.map(({ group }) => group))];
    for (const group of groups) {
      const own = fields.filter((field) => field.group === group);
      const common = own.filter((field) => field.common);
      const rare = common.length ? own.filter((field) => !field.common) : [];
      const { fold, wrong, more } = folded(group, false, common.length ? common : own, rare, (field) => this.row(field, typed));
      place.append(fold);
      this.groups.push({ group, fold, rare: more, wrong, tables: new Set(own.map(({ path }) => (path.includes(".") ? path.split(".")[0] : ""))) });
    }
  }

  /** @param {Field} field @param {(path: string, typed: string) => void} typed */
  row(field, typed) {
    const made = row(`${this.file}-${field.path.replaceAll(".", "-")}`, field);
    made.input.addEventListener("change", () => typed(field.path, made.input.value));
    this.parts.push({ field, ...made });
    return made.part;
  }

  /** Shows what stands in the text, and what is wrong with it.
   * @param {Look} look @param {string} units */
  show(look, units) {
    const values = this.file === "job" ? look.job : look.lathe;
    const condition = CONDITIONS.indexOf(look.reads?.condition ?? "ordinary");
    const system = units === "metric" ? 1 : 0;
    const faults = look.faults.filter(({ file }) => file === this.file);
    const told = new Set();
    for (const { field, input, hint, fault, part } of this.parts) {
      const value = values[field.path] ?? "";
      if (document.activeElement !== input || input.dataset.was !== value) input.value = value === "yes" ? "true" : value === "no" ? "false" : value;
      input.dataset.was = value;
      const usual = field.usual ? `usual: ${field.usual[system]}` : "";
      const left = field.left_out?.[Math.max(condition, 0)];
      const taken = value === "" && left ? `left out: I'll assume ${left[system]}` : "";
      const test = field.test && value === "" ? `${field.test} gives it` : "";
      hint.textContent = [taken || usual, test].filter(Boolean).join("; ");
      if (input instanceof HTMLInputElement) input.placeholder = value ? "" : field.required ? "needed" : ["text", "list"].includes(field.kind) ? "" : "don't know";
      const own = faults.filter(({ path }) => path === field.path);
      own.forEach((one) => told.add(one));
      tell({ input, fault, part }, own);
    }
    for (const { fold, rare, wrong, tables } of this.groups) {
      const own = faults.filter((one) => !told.has(one) && one.path !== "" && tables.has(one.path.split(".")[0]));
      own.forEach((one) => told.add(one));
      tell({ fault: wrong }, own);
      if (own.length || fold.querySelector(".is-fault")) fold.open = true;
      if (rare?.querySelector(".is-fault")) rare.open = true;
      // What says something is open from the beginning.
      const filled = [...fold.querySelectorAll("input, select")].some((input) => /** @type {HTMLInputElement} */ (input).dataset.was);
      if (fold.dataset.shown === undefined) fold.open ||= filled;
      const rarely = rare && [...rare.querySelectorAll("input, select")].some((input) => /** @type {HTMLInputElement} */ (input).dataset.was);
      if (rare && fold.dataset.shown === undefined) rare.open ||= Boolean(rarely);
      fold.dataset.shown = "";
    }
    const rest = faults.filter((one) => !told.has(one));
    this.loose.replaceChildren(...rest.map((one) => make("li", {}, `line ${one.line}: ${said(one)}`)));
    this.loose.hidden = rest.length === 0;
  }
}

/** @param {Wrong} fault */
function said({ severity, message, hint }) {
  return `${severity === "warning" ? "check: " : ""}${message}${hint ? ` (${hint})` : ""}.`;
}

/** What is wrong, where it is told and on the field it is of.
 * @param {{fault: HTMLElement, input?: Element, part?: HTMLElement}} where @param {Wrong[]} own */
export function tell({ fault, input, part }, own) {
  fault.hidden = own.length === 0;
  fault.textContent = own.map(said).join(" ");
  const wrong = own.some(({ severity }) => severity === "error");
  part?.classList.toggle("is-fault", wrong);
  input?.setAttribute("aria-invalid", String(wrong));
}

/** A field with its label, what may stand there, and what is wrong with it.
 * @param {string} id
 * @param {{words: string, kind: string, words_known?: string[], choices?: [string, string][], example?: string}} about */
export function row(id, { words, kind, words_known, choices, example }) {
  /** @type {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} */
  let input;
  const beside = [];
  const listed = kind === "flag" ? [["true", "yes"], ["false", "no"]] : (choices ?? []);
  if (listed.length) {
    input = /** @type {HTMLSelectElement} */ (make("select", { id }, make("option", { value: "" }, kind === "flag" ? "don't know" : "not said"),
      ...listed.map(([value, read]) => make("option", { value }, read))));
  } else if (kind === "lines") {
    input = /** @type {HTMLTextAreaElement} */ (make("textarea", { id, rows: 7, spellcheck: "false", autocomplete: "off" }));
  } else {
    input = /** @type {HTMLInputElement} */ (make("input", { id, type: "text", spellcheck: "false", autocomplete: "off" }));
    if (kind === "word") {
      input.setAttribute("list", `${id}-words`);
      beside.push(make("datalist", { id: `${id}-words` }, ...(words_known ?? []).map((word) => make("option", { value: word }))));
    }
  }
  if (example) input.setAttribute("placeholder", example);
  const hint = make("small", { class: "hint", id: `${id}-hint` });
  const fault = make("small", { class: "fault", id: `${id}-fault`, hidden: true });
  input.setAttribute("aria-describedby", `${id}-hint ${id}-fault`);
  const part = make("div", { class: kind === "lines" ? "field lines" : "field" }, make("label", { for: id }, words), input, ...beside, hint, fault);
  return { input, hint, fault, part };
}

/** A group of fields behind a fold, those seldom needed behind another.
 * @template T @param {string} words @param {boolean} open @param {T[]} common @param {T[]} rare
 * @param {(field: T, rare: HTMLDetailsElement | null) => HTMLElement} of */
export function folded(words, open, common, rare, of) {
  const wrong = make("p", { class: "fault", hidden: true });
  const more = rare.length && common.length
    ? /** @type {HTMLDetailsElement} */ (make("details", { class: "rare" }, make("summary", {}, `${rare.length} more, seldom needed`))) : null;
  const fold = /** @type {HTMLDetailsElement} */ (make("details", { class: "group-of-fields", open }, make("summary", {}, words), wrong));
  fold.append(make("div", { class: "fields" }, ...(common.length ? common : rare).map((field) => of(field, common.length ? null : fold))));
  if (more) {
    more.append(make("div", { class: "fields" }, ...rare.map((field) => of(field, more))));
    fold.append(more);
  }
  return { fold, wrong, more };
}

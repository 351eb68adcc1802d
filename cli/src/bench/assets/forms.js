// @ts-check
// Job and lathe as forms, made of the engine's table of numbers; each fault stands beside its field.

import { make } from "./bench.js";

/** @typedef {{file: string, path: string, group: string, words: string, kind: string, words_known: string[],
 *   usual: [string, string] | null, left_out: [string, string][] | null, test: string | null,
 *   required: boolean, common: boolean}} Field */
/** @typedef {{severity: string, file: string, line: number, path: string, message: string, hint: string}} Fault */
/** @typedef {{job: Record<string, string>, lathe: Record<string, string>, faults: Fault[],
 *   threaded: boolean, reads: {name: string, lathe: string, units: string, fitted: boolean, condition: string} | null}} Look */

const CONDITIONS = ["good", "ordinary", "worn", "junk"];

export class Form {
  /** @param {HTMLElement} place @param {string} file @param {Field[]} fields
   * @param {(path: string, typed: string) => void} typed */
  constructor(place, file, fields, typed) {
    this.file = file;
    /** @type {{field: Field, input: HTMLInputElement | HTMLSelectElement, hint: HTMLElement, fault: HTMLElement, part: HTMLElement}[]} */
    this.parts = [];
    /** @type {{group: string, fold: HTMLDetailsElement, rare: HTMLDetailsElement | null, wrong: HTMLElement, tables: Set<string>}[]} */
    this.groups = [];
    this.loose = make("ul", { class: "faults" });
    place.append(this.loose);
    const groups = [...new Set(fields.map(({ group }) => group))];
    for (const group of groups) {
      const own = fields.filter((field) => field.group === group);
      const wrong = make("p", { class: "fault", hidden: true });
      const fold = /** @type {HTMLDetailsElement} */ (make("details", { class: "group-of-fields" }, make("summary", {}, group), wrong));
      const rare = own.filter((field) => !field.common);
      const common = own.filter((field) => field.common);
      const grid = make("div", { class: "fields" }, ...(common.length ? common : rare).map((field) => this.row(field, typed)));
      fold.append(grid);
      let more = null;
      if (common.length && rare.length) {
        more = /** @type {HTMLDetailsElement} */ (make("details", { class: "rare" }, make("summary", {}, `${rare.length} more, seldom needed`),
          make("div", { class: "fields" }, ...rare.map((field) => this.row(field, typed)))));
        fold.append(more);
      }
      place.append(fold);
      this.groups.push({ group, fold, rare: more, wrong, tables: new Set(own.map(({ path }) => (path.includes(".") ? path.split(".")[0] : ""))) });
    }
  }

  /** @param {Field} field @param {(path: string, typed: string) => void} typed */
  row(field, typed) {
    const id = `${this.file}-${field.path.replaceAll(".", "-")}`;
    /** @type {HTMLInputElement | HTMLSelectElement} */
    let input;
    const beside = [];
    if (field.kind === "flag") {
      input = /** @type {HTMLSelectElement} */ (make("select", { id }, make("option", { value: "" }, "don't know"), make("option", { value: "true" }, "yes"), make("option", { value: "false" }, "no")));
    } else {
      input = /** @type {HTMLInputElement} */ (make("input", { id, type: "text", spellcheck: "false", autocomplete: "off" }));
      if (field.kind === "word") {
        input.setAttribute("list", `${id}-words`);
        beside.push(make("datalist", { id: `${id}-words` }, ...field.words_known.map((word) => make("option", { value: word }))));
      }
    }
    const hint = make("small", { class: "hint", id: `${id}-hint` });
    const fault = make("small", { class: "fault", id: `${id}-fault`, hidden: true });
    input.setAttribute("aria-describedby", `${id}-hint ${id}-fault`);
    input.addEventListener("change", () => typed(field.path, input.value));
    const part = make("div", { class: "field" }, make("label", { for: id }, field.words), input, ...beside, hint, fault);
    this.parts.push({ field, input, hint, fault, part });
    return part;
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
      fault.hidden = own.length === 0;
      fault.textContent = own.map(said).join(" ");
      part.classList.toggle("is-fault", own.some(({ severity }) => severity === "error"));
      input.setAttribute("aria-invalid", String(own.some(({ severity }) => severity === "error")));
    }
    for (const { fold, rare, wrong, tables } of this.groups) {
      const own = faults.filter((one) => !told.has(one) && one.path !== "" && tables.has(one.path.split(".")[0]));
      own.forEach((one) => told.add(one));
      wrong.hidden = own.length === 0;
      wrong.textContent = own.map(said).join(" ");
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

/** @param {Fault} fault */
function said({ severity, message, hint }) {
  return `${severity === "warning" ? "check: " : ""}${message}${hint ? ` (${hint})` : ""}.`;
}

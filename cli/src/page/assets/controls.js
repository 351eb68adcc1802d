// The knobs: each a typed value with its unit and a slider, filled from the texts and never the
// other way round. What is typed goes to the server as it stands, and comes back right or pointed
// at.

const GROUPS = {
  way: "Which way",
  slack: "Slack",
  drag: "Drag",
  cut: "The cut: push-off",
  taper: "Taper and start",
  preload: "Preload",
};

/** Choices that are no key of the two texts. */
const WAYS = [
  ["side", "Tool", [["", "best"], ["front", "in front / front wall"], ["rear", "behind / rear wall"]]],
  ["feed-way", "Feed", [["", "best"], ["headstock", "toward the headstock"], ["tailstock", "toward the tailstock"]]],
  ["rotation", "Spindle", [["", "best"], ["forward", "forward"], ["reverse", "reversed"]]],
];

const el = (tag, attributes = {}, ...children) => {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
};

/** Sets a value unless the person is typing in it. */
function fill(input, value) {
  if (document.activeElement !== input || input.dataset.told === input.value) input.value = value;
  input.dataset.told = value;
}

/** The form of all knobs; `turned(set)` hears what was turned, `chose()` that a way was chosen. */
export class Controls {
  constructor(host, turned, chose) {
    Object.assign(this, { host, turned, chose, fields: new Map(), groups: new Map() });
    const wide = matchMedia("(min-width: 700px)").matches;
    for (const [id, words] of Object.entries(GROUPS)) {
      const body = el("div", { class: "knob-group", role: "group", "aria-label": words });
      const folder = el("details", { class: "folder", id: `group-${id}` }, el("summary", {}, words), body);
      if (wide || id === "slack") folder.open = true;
      this.groups.set(id, body);
      host.append(folder);
    }
    for (const [id, words, options] of WAYS) this.picker("way", id, words, options, () => this.chose());
    this.picker("slack", "slack-by", "Say it", [["total", "as a whole"], ["parts", "part by part"]], (value) => this.turned([["slack-by", value]]));
    this.picker("preload", "preload-by", "Held by", [["none", "nothing"], ["weight", "a weight on a cord"], ["air", "an air cylinder"]], (value) => this.turned([["preload-by", value]]));
    const start = this.typed("taper", "start", "Start before the taper", () => this.chose());
    start.input.placeholder = "as far as it needs";
    const seed = this.typed("way", "seed", "Random seed", () => this.chose());
    seed.input.placeholder = "1";
    seed.input.inputMode = "numeric";
    seed.input.title = "Hard spots of the piece and the lathes tried are drawn from it: the same seed, the same numbers";
  }

  picker(group, id, words, options, chosen) {
    const select = el("select", { id }, ...options.map(([value, told]) => el("option", { value }, told)));
    select.addEventListener("change", () => chosen(select.value));
    const row = el("div", { class: "knob" }, el("label", { for: id }, words), select, this.fault(id));
    this.groups.get(group).append(row);
    const field = { select, row };
    this.fields.set(id, field);
    return field;
  }

  fault(id) {
    return el("p", { class: "fault", id: `${id}-fault`, hidden: "" });
  }

  typed(group, id, words, entered) {
    const input = el("input", { id, type: "text", autocomplete: "off", spellcheck: "false", "aria-describedby": `${id}-fault` });
    input.addEventListener("change", () => entered(input.value));
    const row = el("div", { class: "knob" }, el("label", { for: id }, words), input, this.fault(id));
    this.groups.get(group).append(row);
    const field = { input, row };
    this.fields.set(id, field);
    return field;
  }

  /** Makes a control the first time it is told of. */
  make(told) {
    const turn = (value) => this.turned([[told.id, value]]);
    if (told.kind === "word") return this.picker(told.group, told.id, told.words, told.options, turn);
    if (told.kind === "flag") return this.picker(told.group, told.id, told.words, [["", "don't know"], ["true", "yes"], ["false", "no"]], turn);
    const field = this.typed(told.group, told.id, told.words, turn);
    if (told.kind === "material") {
      field.input.setAttribute("list", "materials");
      field.row.append(el("datalist", { id: "materials" }, ...told.options.map(([value]) => el("option", { value }))));
      return field;
    }
    if (told.slider) {
      field.range = el("input", { type: "range", class: "range", id: `${told.id}-slider`, "aria-label": `${told.words}, slider` });
      field.input.after(field.range);
      field.range.addEventListener("input", () => {
        const value = this.asText(field);
        field.input.value = value;
        field.input.dataset.told = value;
        turn(value);
      });
    }
    return field;
  }

  /** A slider's place as typed: with the unit, and the range that was given with it. */
  asText(field) {
    const { slider, half } = field.told;
    const unit = slider.unit ? ` ${slider.unit}` : "";
    const number = Number(field.range.value).toFixed(slider.decimals);
    const spread = half ? ` +- ${half.toFixed(slider.decimals + 1)}${unit}` : "";
    return `${number}${unit}${spread}`;
  }

  /** Shows what the texts say now. */
  show(answer) {
    const right = Boolean(answer.slack_by);
    for (const told of answer.controls) {
      const field = this.fields.get(told.id) ?? this.make(told);
      // Texts that are not right say nothing of ranges and units: those stay as they were.
      if (right || !field.told) field.told = told;
      this.fields.set(told.id, field);
      if (field.select) {
        field.select.value = told.text;
        if (field.select.value !== told.text) field.select.value = "";
      } else {
        fill(field.input, told.text);
        if (!right) continue;
        field.input.placeholder = told.assumed ? `assumed ${told.assumed.split(" (")[0]}` : "not given";
        field.input.title = told.assumed ? `assumed ${told.assumed}` : "";
      }
      const { slider, number } = told;
      if (field.range && slider) {
        Object.assign(field.range, { min: slider.min, max: slider.max, step: slider.step });
        if (number !== undefined && document.activeElement !== field.range) field.range.value = number;
        field.range.setAttribute("aria-valuetext", told.text || told.assumed || "not given");
      }
    }
    if (answer.slack_by) {
      this.fields.get("slack-by").select.value = answer.slack_by;
      const parts = answer.slack_by === "parts";
      this.visible(["slack"], !parts);
      this.visible(["shoe"], parts);
      this.visible(["thrust", "nut"], parts && answer.attachment !== "plain");
    }
    if (answer.preload_by) {
      this.fields.get("preload-by").select.value = answer.preload_by;
      this.visible(["toward"], answer.preload_by !== "none");
      this.visible(["weight"], answer.preload_by === "weight");
      this.visible(["bore", "pressure"], answer.preload_by === "air");
    }
    this.showFaults(answer.faults);
  }

  visible(ids, shown) {
    for (const id of ids) {
      const field = this.fields.get(id);
      if (field) field.row.hidden = !shown;
    }
  }

  showFaults(faults) {
    for (const [id, field] of this.fields) {
      const mine = faults.filter((fault) => fault.control === id);
      const place = field.row.querySelector(".fault");
      place.hidden = mine.length === 0;
      place.textContent = mine.map((fault) => [fault.message, fault.hint].filter(Boolean).join(": ")).join(". ");
      const wrong = mine.some((fault) => fault.severity === "error");
      (field.input ?? field.select).toggleAttribute("aria-invalid", wrong);
      if (wrong) (field.input ?? field.select).setAttribute("aria-invalid", "true");
      field.row.classList.toggle("wrong", wrong);
      if (wrong) field.row.closest("details").open = true;
    }
  }

  /** Which way is looked at, and where the cut starts. */
  get choice() {
    const value = (id) => this.fields.get(id).select.value || undefined;
    return { side: value("side"), feed: value("feed-way"), rotation: value("rotation"), start: this.fields.get("start").input.value || undefined, seed: this.fields.get("seed").input.value };
  }

  /** Chooses a way by its three words; nothing for the best. */
  choose(key = "") {
    const [side = "", feed = "", rotation = ""] = key.split(" ");
    this.fields.get("side").select.value = side;
    this.fields.get("feed-way").select.value = feed;
    this.fields.get("rotation").select.value = rotation;
  }

  /** What every knob says, for the comparison of before and after. */
  settings() {
    const out = [];
    for (const [id, field] of this.fields) {
      if (field.row.hidden) continue;
      const words = field.row.querySelector("label").textContent;
      const value = field.select ? field.select.selectedOptions[0]?.textContent : field.input.value || field.input.placeholder;
      out.push([id, words, value ?? ""]);
    }
    return out;
  }
}

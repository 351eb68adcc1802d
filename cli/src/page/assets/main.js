// Puts the page together: knobs, answer, picture, ranking, before and after.

import { Refused, begin, figure, first, refine, run } from "./ask.js";
import { Controls } from "./controls.js";
import { Files } from "./files.js";
import { renewed, showMethods, showWays, showWords, statusOf } from "./answer.js";
import { Before } from "./before.js";
import { map, surface } from "./charts.js";
import { Player } from "./player.js";

const find = (id) => document.getElementById(id);

let texts = null;
let asked = null;
let last = null;
let trials = null;
let mapped = null;
let pending = new Map();
let timer = 0;
let resting = 0;
let busy = false;
let again = false;

const player = new Player(find("player"));
const controls = new Controls(find("knobs"), turn, () => ask());
const files = new Files(document.body, open, trouble);
const before = new Before(find("changes"), find("pin"), () => drawCharts());

/** Milliseconds that turns are gathered for, and that a page rests before lathes are tried. */
const MOMENT = 20;
const REST = 250;

/** Gathers what is turned for a moment, the newest of each knob. */
function turn(set) {
  for (const [id, value] of set) {
    pending.delete(id);
    pending.set(id, value);
  }
  timer ||= setTimeout(ask, MOMENT);
}

function open(opened) {
  texts = opened;
  last = null;
  pending = new Map();
  controls.choose();
  return ask();
}

function trouble(words) {
  find("trouble").textContent = words;
  find("trouble").hidden = !words;
}

/** Asks for what the knobs now say: first the way in sight by itself, then every way. */
async function ask() {
  clearTimeout(timer);
  clearTimeout(resting);
  timer = 0;
  if (busy) {
    again = true;
    return;
  }
  document.body.classList.add("asking");
  try {
    if (last) {
      busy = true;
      const wrong = await askFirst().finally(() => (busy = false));
      if (again || timer) {
        again = false;
        return void (timer ||= setTimeout(ask, 0));
      }
      if (wrong) return answered();
    }
    const [question, set] = [{ ...texts, set: [...pending], ...controls.choice }, [...pending]];
    const told = await run(question);
    if (!told) return;
    taken(told, set);
    show(told);
    answered();
    if (told.answer) resting = setTimeout(news, REST, asked);
  } catch (fault) {
    document.body.classList.remove("asking");
    trouble(fault instanceof Refused ? fault.message : "The page's program has been closed: start it again.");
    if (again) timer ||= setTimeout(ask, MOMENT);
    again = false;
  }
}

/** The way in sight by itself; true where the texts are not right, so that no way can be run. */
async function askFirst() {
  const set = [...pending];
  const before = texts;
  const { side, feed, rotation } = controls.choice;
  const sight = side || feed || rotation ? {} : last.chosen;
  const told = await first({ ...texts, set, ...controls.choice, ...(sight.key ? { side: sight.side, feed: sight.feed, rotation: sight.rotation } : {}) });
  // Other files were opened meanwhile: this answer is of the old ones.
  if (texts !== before) return false;
  taken(told, set);
  if (told.faults.some((fault) => fault.severity === "error")) {
    show(told);
    return true;
  }
  if (told.answer) showFirst(told);
  return false;
}

/** Takes the texts with the knobs turned; what was turned meanwhile stays to be asked. */
function taken(told, set) {
  trouble("");
  for (const [id, value] of set) if (pending.get(id) === value) pending.delete(id);
  texts = { job: told.job, lathe: told.lathe };
  asked = { ...texts, ...controls.choice };
}

/** An answer is whole. */
function answered() {
  document.body.classList.remove("asking");
  document.body.dataset.answers = String(Number(document.body.dataset.answers ?? 0) + 1);
}

/** Tells what takes longer, as it comes. */
async function news(question) {
  const tried = find("tried");
  tried.textContent = "looking how sure this is";
  try {
    await refine(question, (event, value) => {
      if (value.said) showWords(find("words"), last, value.said);
      if (value.methods) showMethods(find("methods"), value.methods, last);
      if (event === "map") {
        mapped = value;
        drawMap();
      }
      if (event === "spread") {
        tried.textContent = `${value.tried} lathes like this one tried so far`;
        if (value.ways) {
          trials = value.ways;
          showWays(find("ways"), last, trials, look);
        }
      }
      if (event === "done") {
        const count = value.spread?.outlook?.trials ?? null;
        tried.textContent = value.why ?? (count ? `${count} lathes like this one tried` : tried.textContent.replace(" so far", ""));
        document.body.dataset.settled = "yes";
      }
    });
  } catch (fault) {
    if (fault instanceof Refused) tried.textContent = fault.message;
  }
}

function look(key) {
  controls.choose(key);
  ask();
}

/** Shows the way in sight, renewed; the others stay as they were until they are run. */
function showFirst(told) {
  controls.show(told);
  files.show(texts);
  document.body.classList.remove("stale");
  last = renewed(last, told.answer);
  trials = null;
  delete document.body.dataset.settled;
  find("tried").textContent = "";
  const status = statusOf(last);
  find("status").dataset.kind = status.kind;
  find("status-words").textContent = status.words;
  showWords(find("words"), last, last.said);
  showWays(find("ways"), last, null, look);
  player.show(last.drive, whyStill(last));
  drawCharts();
  before.show(last, controls.settings());
  document.body.dataset.firsts = String(Number(document.body.dataset.firsts ?? 0) + 1);
}

function whyStill(answer) {
  return answer.chosen.out.length ? `This way can't be cut: ${answer.chosen.out.join("; ")}.` : "Nothing to show.";
}

function show(told) {
  controls.show(told);
  files.show(texts);
  const wrong = told.faults.some((fault) => fault.severity === "error");
  const drawn = find("faults");
  drawn.hidden = told.drawn === "";
  drawn.textContent = told.drawn.trimEnd();
  document.body.classList.toggle("stale", !told.answer);
  if (!told.answer) {
    const first = told.faults.find((fault) => fault.severity === "error");
    find("status").dataset.kind = "wrong";
    find("status-words").textContent = wrong && first ? `Not right: ${first.message}` : "There is no such way: choose another side, feed or rotation.";
    if (wrong) find("folder-texts").open = told.faults.some((fault) => fault.severity === "error" && !fault.control) || find("folder-texts").open;
    return;
  }
  last = told.answer;
  last.units = told.units;
  trials = null;
  delete document.body.dataset.settled;
  find("job-name").textContent = last.name;
  find("on-lathe").textContent = `on ${last.lathe}`;
  find("note").textContent = last.note ?? "";
  find("note").hidden = !last.note;
  document.title = `${last.name} – tautway`;
  const status = statusOf(last);
  find("status").dataset.kind = status.kind;
  find("status-words").textContent = status.words;
  showWords(find("words"), last, last.said);
  showWays(find("ways"), last, null, look);
  showMethods(find("methods"), last.methods, last);
  find("terminal").textContent = last.text;
  const job = /\s/.test(texts.job.name) ? `"${texts.job.name}"` : texts.job.name;
  find("command").textContent = `tautway compare ${job}${last.seed === 1 ? "" : ` --seed ${last.seed}`}`;
  player.show(last.drive, whyStill(last));
  showPlan();
  drawCharts();
  before.show(last, controls.settings());
  for (const folder of document.querySelectorAll("details.figure[open]")) showFigure(folder);
}

/** An SVG document as an element. */
function drawing(svg) {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  parsed.removeAttribute("width");
  parsed.removeAttribute("height");
  return document.importNode(parsed, true);
}

function drawCharts() {
  if (!last) return;
  surface(find("surface"), last.surface, before.answer?.surface, last.units, last.setup.kind === "inside");
  drawMap();
}

/** The map stays while a knob moves; the job's place on it goes along. */
function drawMap() {
  const host = find("map");
  const folder = find("map-box");
  folder.hidden = !mapped?.map;
  if (!mapped?.map) return;
  const now = last.on_map ?? mapped.map.job;
  find("map-words").textContent = map(host, mapped, now, before.answer?.on_map ?? null);
}

/** The set-up from above, which a few knobs change: drawn when the rest is shown. */
async function showPlan() {
  const mine = asked;
  try {
    const told = await figure("plan", mine);
    if (asked !== mine) return;
    find("plan").replaceChildren(drawing(told.svg));
    find("plan-words").textContent = `${told.title}. ${told.caption}`;
  } catch (fault) {
    if (fault instanceof Refused) find("plan-words").textContent = fault.message;
  }
}

/** A figure of the command line, drawn when it is looked at. */
async function showFigure(folder) {
  const host = folder.querySelector(".paper");
  try {
    const told = await figure(folder.dataset.figure, asked);
    host.replaceChildren(drawing(told.svg));
    host.setAttribute("tabindex", "0");
  } catch (fault) {
    host.textContent = fault instanceof Refused ? fault.message : "The page's program has been closed.";
  }
}

for (const folder of document.querySelectorAll("details.figure"))
  folder.addEventListener("toggle", () => {
    if (folder.open && last) showFigure(folder);
  });

let width = innerWidth;
addEventListener("resize", () => {
  if (innerWidth === width) return;
  width = innerWidth;
  drawCharts();
});

begin()
  .then((told) => {
    files.offer(told.examples, async (id) => open(await begin(`/api/example/${id}`)));
    find("version").textContent = told.version;
    return open({ job: told.job, lathe: told.lathe });
  })
  .catch((fault) => trouble(String(fault.message ?? fault)));

// Draws what the tool leaves along the work, before and after, and the map of drag and slack with
// the job's own place on it.

import { height, ink, label, lines, path, travel } from "./ink.js";

/** A round step that gives some four marks. */
function step(span) {
  const raw = span / 4;
  const power = 10 ** Math.floor(Math.log10(raw));
  return [1, 2, 5, 10].map((n) => n * power).find((n) => n >= raw);
}

function frame(host) {
  const width = host.clientWidth || 600;
  const letter = (parseFloat(getComputedStyle(host).fontSize) || 16) * 0.86;
  return { width, letter };
}

/** The surface along the work: now, and before where an answer is pinned. */
export function surface(host, now, before, units, inside) {
  if (!now) {
    host.textContent = "This way is not cut.";
    return;
  }
  const { width, letter } = frame(host);
  const narrow = width < 460;
  const [left, right, top, tall] = [letter * 5.2, width - 10, letter * 2.4, 190];
  const per = units === "metric" ? 1e-3 : 0.0254;
  const all = [...now.mean, ...(before?.mean ?? []), 0];
  let [low, high] = [Math.min(...all), Math.max(...all)];
  const least = 0.001 * 0.0254;
  if (high - low < least) [low, high] = [0.5 * (low + high) - 0.6 * least, 0.5 * (low + high) + 0.6 * least];
  const pad = 0.12 * (high - low);
  [low, high] = [low - pad, high + pad];
  const length = Math.max(now.z[now.z.length - 1], before ? before.z[before.z.length - 1] : 0);
  const x = (z) => left + (z / length) * (right - left);
  const y = (h) => top + ((high - h) / (high - low)) * tall;
  const children = [];
  const gap = step((high - low) / per);
  for (let n = Math.ceil(low / per / gap); n * gap <= high / per; n += 1) {
    const at = y(n * gap * per);
    children.push(ink("path", { class: n === 0 ? "zero" : "grid", d: path([[left, at], [right, at]]) }));
    children.push(label(left - 6, at + letter * 0.35, n === 0 ? "0" : height(n * gap * per, units).split(" ")[0], { class: "number", "text-anchor": "end", "font-size": letter }));
  }
  const unit = units === "metric" ? "mm" : "in";
  children.push(label(0, letter, narrow ? `${unit} per side: up too deep, down stock left` : `Off the finished size, ${unit} per side: up is too deep, down is stock left`, { class: "name", "font-size": letter }));
  const bottom = top + tall;
  children.push(label(left, bottom + letter + 6, "headstock end", { class: "name", "font-size": letter }));
  children.push(label(right, bottom + letter + 6, "tailstock end", { class: "name", "text-anchor": "end", "font-size": letter }));
  if (!narrow) children.push(label(0.5 * (left + right), bottom + letter + 6, travel(length, units), { class: "name", "text-anchor": "middle", "font-size": letter }));
  const curve = (of, kind) => ink("path", { class: `curve ${kind}`, d: path(of.z.map((z, i) => [x(z), y(of.mean[i])])) });
  if (before) children.push(curve(before, "before"));
  children.push(curve(now, "now"));
  let total = bottom + letter + 14;
  if (before) {
    total += letter + 8;
    const ky = total - 8;
    children.push(ink("path", { class: "curve before", d: path([[left, ky - 4], [left + 30, ky - 4]]) }), label(left + 36, ky, "before", { class: "name", "font-size": letter }));
    children.push(ink("path", { class: "curve now", d: path([[left + 120, ky - 4], [left + 150, ky - 4]]) }), label(left + 156, ky, "now", { class: "name", "font-size": letter }));
  }
  const title = inside ? "What the tool leaves along the bore" : "What the tool leaves along the work";
  host.replaceChildren(ink("svg", { viewBox: `0 0 ${width} ${total}`, width, height: total, role: "img", "aria-label": `${title}: from ${height(Math.min(...now.mean), units)} to ${height(Math.max(...now.mean), units)} off the finished size` }, ...children));
}

/** Shades by the share of the set depth that is left standing. */
const SHADES = [0.02, 0.1, 0.3, 0.6];

/** The map, with the job's place now and before. */
export function map(host, told, now, before) {
  const { width, letter } = frame(host);
  const record = told.map;
  const [left, right, top] = [letter * 3.6, width - 10, letter + 14];
  const tall = Math.min(300, 0.62 * width);
  const [cols, rows] = [record.drag_over_push_off, record.slack_over_depth];
  const edge = (values) => values[values.length - 1] + 0.5 * (values[1] - values[0]);
  const [dMost, sMost] = [edge(cols), edge(rows)];
  const x = (d) => left + (Math.min(d, dMost) / dMost) * (right - left);
  const y = (s) => top + tall - (Math.min(s, sMost) / sMost) * tall;
  const children = [];
  const [dw, dh] = [(right - left) / cols.length, tall / rows.length];
  rows.forEach((slack, r) => cols.forEach((drag, c) => {
    const loss = record.size_loss[r][c];
    const shade = SHADES.findIndex((limit) => loss <= limit);
    const kind = shade < 0 ? SHADES.length : shade;
    if (kind > 0) children.push(ink("rect", { class: `shade shade-${kind}`, x: left + c * dw, y: y(slack) - 0.5 * dh, width: dw + 0.4, height: dh + 0.4 }));
  }));
  children.push(ink("path", { class: "axis", d: path([[left, top], [left, top + tall], [right, top + tall], [right, top]]) + "Z" }));
  children.push(ink("path", { class: "boundary", d: path([[x(1), top], [x(1), top + tall]]) }));
  const again = record.seats_again.map((d, i) => [d, rows[i]]).filter(([d]) => d > 0 && d < dMost);
  if (again.length > 1) children.push(ink("path", { class: "boundary dashed", d: path(again.map(([d, s]) => [x(d), y(s)])) }));
  const say = (d, s, words, anchor = "middle") => children.push(lines(x(d), y(s), words, { class: "name halo", "text-anchor": anchor, "font-size": letter }));
  say(0.5 * (1 + dMost), 0.55 * sMost, ["stays steady:", "drag beats push-off"]);
  say(0.68, 0.72 * sMost, ["floats"]);
  if (again.some(([d]) => d > 0.35)) say(0.03, 0.12 * sMost, ["pushed back", "on its face"], "start");
  for (const n of [0, 0.5, 1, 1.5, 2]) if (n <= dMost) children.push(label(x(n), top + tall + letter + 3, String(n), { class: "number", "text-anchor": "middle", "font-size": letter }));
  for (const n of [0, 0.5, 1, 1.5]) if (n <= sMost) children.push(label(left - 6, y(n) + letter * 0.35, String(n), { class: "number", "text-anchor": "end", "font-size": letter }));
  children.push(label(left, letter, "slack over depth set", { class: "name", "font-size": letter }));
  children.push(label(right, top + tall + 2.3 * letter + 4, "drag over push-off", { class: "name", "text-anchor": "end", "font-size": letter }));
  const spot = (at, kind, words) => {
    const off = at[0] > dMost || at[1] > sMost;
    const [px, py] = [x(at[0]), y(at[1])];
    children.push(ink("circle", { class: `spot ${kind}`, cx: px, cy: py, r: 8 }));
    const end = px > 0.5 * (left + right);
    children.push(label(px + (end ? -13 : 13), Math.max(py, top + letter) + 0.35 * letter, off ? `${words} (off the map)` : words, { class: "strong halo", "text-anchor": end ? "end" : "start", "font-size": letter }));
  };
  if (before) spot(before, "before", "before");
  if (before && now) children.push(ink("path", { class: "moved", d: path([[x(before[0]), y(before[1])], [x(now[0]), y(now[1])]]) }));
  if (now) spot(now, "now", "this job");
  const total = top + tall + 2.8 * letter + 6;
  const where = now ? `This job: drag ${now[0].toFixed(2)} times its push-off, slack ${now[1].toFixed(2)} times its depth.` : "";
  host.replaceChildren(ink("svg", { viewBox: `0 0 ${width} ${total}`, width, height: total, role: "img", "aria-label": `What drag and slack do to a cut that is drawn away. ${where}` }, ...children));
  return where;
}

// Draws SVG elements and writes numbers as the shop says them. Needs nothing but a document.

const SVG = "http://www.w3.org/2000/svg";

/** An SVG element with its attributes and children. */
export function ink(tag, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  change(element, attributes);
  element.append(...children);
  return element;
}

/** Sets attributes; numbers to a hundredth of a pixel. */
export function change(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined) continue;
    element.setAttribute(name, typeof value === "number" ? String(Math.round(value * 100) / 100) : value);
  }
  return element;
}

/** Words at a place. */
export function label(x, y, words, attributes = {}) {
  return ink("text", { x, y, ...attributes }, words);
}

/** Words in several lines, the middle one at y. */
export function lines(x, y, words, attributes = {}, height = 1.15) {
  const text = ink("text", { x, y, ...attributes });
  words.forEach((line, at) => {
    const dy = at === 0 ? `${-0.5 * height * (words.length - 1)}em` : `${height}em`;
    text.append(ink("tspan", { x, dy }, line));
  });
  return text;
}

/** Points as path data. */
export function path(points) {
  return points.map(([x, y], at) => `${at ? "L" : "M"}${x.toFixed(2)} ${y.toFixed(2)}`).join("");
}

/** A line with a head at its end, as path data. */
export function arrow(x0, y0, x1, y1, head = 7) {
  const long = Math.hypot(x1 - x0, y1 - y0);
  if (long < 0.5) return "";
  const [ux, uy] = [(x1 - x0) / long, (y1 - y0) / long];
  const h = Math.min(head, long);
  const [bx, by] = [x1 - h * ux, y1 - h * uy];
  return (
    `M${x0.toFixed(1)} ${y0.toFixed(1)}L${bx.toFixed(1)} ${by.toFixed(1)}` +
    `M${(bx - 0.5 * h * uy).toFixed(1)} ${(by + 0.5 * h * ux).toFixed(1)}L${x1.toFixed(1)} ${y1.toFixed(1)}` +
    `L${(bx + 0.5 * h * uy).toFixed(1)} ${(by - 0.5 * h * ux).toFixed(1)}Z`
  );
}

/** A force along a face: a line with half a head on the side away from the face, as path data. */
export function along(x, y0, y1, side, head = 9) {
  const way = Math.sign(y1 - y0);
  const h = Math.min(head, Math.abs(y1 - y0));
  return `M${x.toFixed(1)} ${y0.toFixed(1)}L${x.toFixed(1)} ${y1.toFixed(1)}L${(x + side * 0.6 * h).toFixed(1)} ${(y1 - way * h).toFixed(1)}L${x.toFixed(1)} ${(y1 - way * h).toFixed(1)}Z`;
}

/** Words broken into lines of at most so many letters. */
export function broken(words, letters) {
  const out = [""];
  for (const word of words.split(" ")) {
    const last = out[out.length - 1];
    if (last && last.length + 1 + word.length > letters) out.push(word);
    else out[out.length - 1] = last ? `${last} ${word}` : word;
  }
  return out;
}

const INCH = 0.0254;
const POUND = 4.4482216152605;

/** A small height: to 0.0001 in or 0.001 mm. */
export function height(m, units) {
  return units === "metric" ? `${(m * 1e3).toFixed(3)} mm` : `${(m / INCH).toFixed(4)} in`;
}

/** A slack: to a thou or 0.01 mm. */
export function slack(m, units) {
  return units === "metric" ? `${(m * 1e3).toFixed(2)} mm` : `${(m / INCH).toFixed(3)} in`;
}

/** A carriage travel: to 0.01 in or 0.1 mm. */
export function travel(m, units) {
  return units === "metric" ? `${(m * 1e3).toFixed(1)} mm` : `${(m / INCH).toFixed(2)} in`;
}

/** A force: to a pound or a newton; a small one to a tenth. */
export function force(n, units) {
  const [value, unit] = units === "metric" ? [n, "N"] : [n / POUND, "lbf"];
  const digits = Math.abs(value) < 0.95 && value !== 0 ? 1 : 0;
  const text = value.toFixed(digits);
  return `${Number(text) === 0 ? "0" : text} ${unit}`;
}

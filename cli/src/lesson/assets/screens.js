// @ts-check
// One step a screen for the projector, with keys; letters for the people at the back.

/** Starts the bar and the keys.
 * @param {() => void} redraw the pictures, for letters of another size */
export function screens(redraw) {
  const root = document.documentElement;
  const bar = /** @type {HTMLElement} */ (document.getElementById("screen-bar"));
  const all = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("main > :is(.step, .card):not(#answers)")]);
  const [back, on] = /** @type {HTMLButtonElement[]} */ (["screen-back", "screen-on"].map((id) => document.getElementById(id)));
  let at = 0;
  /** @param {number} to */
  const go = (to) => {
    at = Math.min(Math.max(to, 0), all.length - 1);
    all.forEach((one, place) => one.classList.toggle("on-screen-now", place === at));
    back.disabled = at === 0;
    on.disabled = at === all.length - 1;
    const said = /** @type {HTMLElement} */ (document.getElementById("screen-at"));
    said.textContent = `${at + 1} of ${all.length}`;
    scrollTo(0, 0);
  };
  const showing = () => root.classList.contains("screens");
  /** @param {boolean} is */
  const show = (is) => {
    const was = all[at];
    // Where the reader is now.
    const seen = all.findIndex((one) => one.getBoundingClientRect().bottom > 80);
    root.classList.toggle("screens", is);
    bar.hidden = !is;
    if (is) go(Math.max(seen, 0));
    else was.scrollIntoView({ block: "start" });
  };
  for (const button of document.querySelectorAll(".turn-screens")) button.addEventListener("click", () => show(!showing()));
  for (const button of document.querySelectorAll(".turn-large")) {
    button.addEventListener("click", () => {
      const large = root.classList.toggle("large");
      for (const one of document.querySelectorAll(".turn-large")) one.setAttribute("aria-pressed", String(large));
      redraw();
    });
  }
  back.addEventListener("click", () => go(at - 1));
  on.addEventListener("click", () => go(at + 1));
  document.addEventListener("keydown", (event) => {
    if (!showing() || event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
    const where = /** @type {Element} */ (event.target);
    // The bench, a scrubber and what is typed in have arrows of their own.
    const wide = where.closest?.(".wide");
    const own = where.closest?.("input, textarea, select, [data-part]") || (wide && wide.scrollWidth > wide.clientWidth);
    if (own && event.key.startsWith("Arrow")) return;
    // A clicker pages; what is longer than the screen is read to its end first.
    const deep = root.scrollHeight - innerHeight;
    if ((event.key === "PageDown" && scrollY < deep - 40) || (event.key === "PageUp" && scrollY > 40)) return;
    const by = /** @type {Record<string, number>} */ ({ ArrowRight: 1, PageDown: 1, ArrowLeft: -1, PageUp: -1 })[event.key];
    if (!by) {
      if (event.key === "Escape") show(false);
      return;
    }
    event.preventDefault();
    go(at + by);
  });
}

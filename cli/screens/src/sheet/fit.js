// The largest drawing and letters with which the page is still one, whatever letters this machine
// has. Without this the size reckoned beforehand stands.
(function () {
  "use strict";
  var page = document.querySelector("main");
  var root = document.documentElement;
  var spare = 6;
  var high = parseFloat(getComputedStyle(root).getPropertyValue("--high")) * 96 / 25.4 - spare;
  if (window.matchMedia("(max-width: 700px)").matches) { return; }
  function fits(type, drawing) {
    root.style.setProperty("--type", type.toFixed(1) + "pt");
    root.style.setProperty("--drawing", drawing + "%");
    // A small drawing stands beside its words.
    root.classList.toggle("beside", drawing <= 62);
    return page.getBoundingClientRect().height <= high;
  }
  // The largest drawing that leaves letters of 9 points, then the largest letters beside it.
  var drawings = [100, 92, 84, 76, 70, 62, 56];
  for (var at = 0; at < drawings.length; at += 1) {
    for (var type = 10; type > 8.95; type -= 0.1) {
      if (fits(type, drawings[at])) { return; }
    }
  }
  for (var small = 8.9; small > 5; small -= 0.1) {
    if (fits(small, 56)) { return; }
  }
})();

// The largest letters with which the page is still one, whatever letters this machine has. Without
// this the size reckoned beforehand stands.
(function () {
  "use strict";
  var page = document.querySelector("main");
  var root = document.documentElement;
  var spare = 6;
  var high = parseFloat(getComputedStyle(root).getPropertyValue("--high")) * 96 / 25.4 - spare;
  if (window.matchMedia("(max-width: 700px)").matches) { return; }
  for (var type = 9.5; type > 5; type -= 0.1) {
    root.style.setProperty("--type", type.toFixed(1) + "pt");
    if (page.getBoundingClientRect().height <= high) { return; }
  }
})();

// Another machine's letters may be wider than reckoned with: smaller type until the page is one.
(function () {
  "use strict";
  var page = document.querySelector("main");
  var root = document.documentElement;
  var high = parseFloat(getComputedStyle(root).getPropertyValue("--high")) * 96 / 25.4;
  var type = parseFloat(getComputedStyle(root).getPropertyValue("--type"));
  if (window.matchMedia("screen and (max-width: 700px)").matches) { return; }
  while (type > 5 && page.getBoundingClientRect().height > high) {
    type -= 0.1;
    root.style.setProperty("--type", type.toFixed(1) + "pt");
  }
})();

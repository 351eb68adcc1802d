(function () {
  "use strict";
  var form = document.getElementById("sum");
  if (!form) { return; }
  var taper = Number(form.dataset.taper);
  var digits = Number(form.dataset.digits);
  var standoff = document.getElementById("standoff");
  var dial = document.getElementById("dial");
  form.hidden = false;
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.addEventListener("input", function () {
    var given = Number(standoff.value);
    dial.textContent = standoff.value === "" || !isFinite(given)
      ? "\u2013"
      : "take " + (given * taper).toFixed(digits) + " on diameter, " +
        (given * taper / 2).toFixed(digits) + " per side";
  });
})();

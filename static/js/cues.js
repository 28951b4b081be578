/* Cue cards by the keyboard's arrows, or by a clicker that sends them. The links do the same without a script. */
(function () {
  "use strict";

  const WAYS = { ArrowLeft: "back", PageUp: "back", ArrowRight: "next", PageDown: "next" };

  document.addEventListener("keydown", function (event) {
    if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const way = WAYS[event.key] && document.querySelector("[data-cue-" + WAYS[event.key] + "]");
    if (!way) return;
    event.preventDefault();
    way.click();
  });
})();

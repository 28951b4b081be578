/* Second Pull in the browser: focus the error summary, let a pressed button say what it does, and after a swap say what
   was saved and go on at what comes next.
   Everything works without this file; nothing is ever disabled. */
(function () {
  "use strict";

  const PATIENCE_MS = 10000; // after this a page that stayed put (a download) gives its button back

  function focusSummary(root) {
    const summary = root.querySelector("[data-error-summary]");
    if (summary && summary.querySelector("li, .sum")) summary.focus();
  }

  function say(words) {
    const region = document.getElementById("busy");
    if (region) region.textContent = words;
  }

  function rest(button) {
    if (!button || button.dataset.busyNow === undefined) return;
    button.replaceChildren(...button.restingNodes);
    button.style.minWidth = "";
    delete button.dataset.busyNow;
    delete button.restingNodes;
    say("");
  }

  // A swap takes away the button that was pressed, and with it where the keys stand: they go on at what comes next.
  function goOn() {
    const here = document.activeElement;
    if (here && here !== document.body) return;
    const next = document.querySelector("[data-next]") || document.getElementById("main");
    if (next) next.focus({ preventScroll: true });
  }

  function restAll() {
    document.querySelectorAll("[data-busy-now]").forEach(rest);
  }

  // The button keeps its place and width; only its words change. The second press of a busy form is dropped here,
  // and a third that gets through is the same record on the server (the form key).
  document.addEventListener("submit", function (event) {
    const form = event.target;
    const button = event.submitter;
    if (Array.from(form.elements).some((part) => part.dataset.busyNow !== undefined)) {
      event.preventDefault();
      return;
    }
    if (!button || button.tagName !== "BUTTON") return;
    const words = button.dataset.busy || (form.method === "post" ? "Saving" : "");
    if (!words) return;
    button.style.minWidth = button.getBoundingClientRect().width + "px";
    button.restingNodes = Array.from(button.childNodes);
    button.replaceChildren(words);
    button.dataset.busyNow = "";
    say(words);
    window.setTimeout(rest, PATIENCE_MS, button);
  });

  // What a press did, or that nothing came of it, always stands where it can be seen (.status sticks to the top).
  function tell(words) {
    const region = document.getElementById("status");
    if (!region) return;
    const line = document.createElement("p");
    line.textContent = words;
    region.replaceChildren(line);
  }

  document.addEventListener("htmx:sendError", function () {
    tell("Not saved: there was no answer. What you typed is still here. Press again once you are connected.");
  });
  document.addEventListener("htmx:responseError", function () {
    tell("Not saved: something went wrong on our side. What you typed is still here. Press again, or load the page anew.");
  });

  document.addEventListener("htmx:afterRequest", restAll);
  document.addEventListener("htmx:afterSwap", function () {
    focusSummary(document);
    goOn();
    const told = document.getElementById("status");
    if (told) say(told.textContent.trim());
  });
  window.addEventListener("pageshow", restAll);

  document.addEventListener("keydown", function (event) {
    const open = document.querySelector(".menu[open]");
    if (event.key !== "Escape" || !open) return;
    open.removeAttribute("open");
    open.querySelector("summary").focus();
  });

  focusSummary(document);
})();

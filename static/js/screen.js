/* The screen at the bench: wiped without a press being taken for one, and kept on while somebody works.
   Both need a script; the page does the rest of its work without them. */
(function () {
  "use strict";

  const WIPE_MS = 10000;
  const KEPT_ON = "screen kept on";
  let lock = null;

  // Wiping: a modal sheet over everything. Touch does nothing on it; a keyboard can leave it with Escape.

  function wipe() {
    const sheet = document.createElement("dialog");
    const left = document.createElement("p");
    const how = document.createElement("p");
    const ends = Date.now() + WIPE_MS;
    sheet.className = "wiped";
    sheet.setAttribute("aria-label", "Wipe the screen");
    how.textContent = "Wipe now: touch does nothing. On a keyboard, Escape ends it.";
    sheet.append(left, how);
    document.body.append(sheet);
    sheet.addEventListener("close", function () { sheet.remove(); });
    sheet.showModal();
    count(sheet, left, ends);
  }

  function count(sheet, left, ends) {
    const seconds = Math.ceil((ends - Date.now()) / 1000);
    if (!sheet.open) return;
    if (seconds <= 0) return sheet.close();
    left.textContent = seconds + " s";
    window.setTimeout(count, 200, sheet, left, ends);
  }

  // Kept on: asked for again whenever the page comes back into view, for the browser lets go when it is hidden.

  function wanted() {
    return sessionStorage.getItem(KEPT_ON) !== null;
  }

  function show() {
    document.querySelectorAll("[data-bench-tools]").forEach(function (tools) {
      const held = holds();
      tools.querySelector("[data-wake]").setAttribute("aria-pressed", String(wanted()));
      tools.querySelector("[data-wake-on]").hidden = !held;
      tools.querySelector("[data-wake-off]").hidden = held;
      const said = tools.querySelector("[data-wake-said]");
      const words = held ? "It stays on." : "It may go dark" + (wanted() ? ": this browser does not hold it." : ".");
      if (said.textContent !== words) said.textContent = words;
      tools.hidden = false; // last: words of a page just opened are no news to be spoken
    });
  }

  function holds() {
    return lock !== null && !lock.released;
  }

  function hold() {
    if (holds() || !wanted() || document.visibilityState !== "visible" || !navigator.wakeLock) return show();
    navigator.wakeLock.request("screen").then(function (got) {
      lock = got;
      got.addEventListener("release", show);
      if (!wanted()) got.release();
      show();
    }, show);
  }

  function turn() {
    if (!wanted()) {
      sessionStorage.setItem(KEPT_ON, "");
      return hold();
    }
    sessionStorage.removeItem(KEPT_ON);
    if (lock) lock.release();
    lock = null;
    show();
  }

  document.addEventListener("click", function (event) {
    if (event.target.closest("[data-wipe]")) wipe();
    if (event.target.closest("[data-wake]")) turn();
  });
  document.addEventListener("visibilitychange", hold);
  document.addEventListener("htmx:afterSwap", show);
  hold();
})();

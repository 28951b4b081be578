/* The shot timer: Start, First drip, Stop; what it measured goes into the form's own boxes.
   The clock is the wall clock at each press, kept in the tab, so that a sleeping phone, a locked screen or a page
   loaded anew lose nothing: what is shown while it runs is only a look at that clock. */
(function () {
  "use strict";

  const LOOK_MS = 100;
  const TYPED = { drip: "first_drip_s", stop: "time_s" };
  const page = performance.timeOrigin; // another page load cannot compare its own running clock with ours
  let looking = 0;

  function box() {
    return document.querySelector("[data-timer]");
  }

  function keyOf(timer) {
    return "timer:" + timer.closest("form").getAttribute("action");
  }

  function read(timer) {
    return JSON.parse(sessionStorage.getItem(keyOf(timer)) || "{}");
  }

  function keep(timer, run) {
    sessionStorage.setItem(keyOf(timer), JSON.stringify(run));
  }

  // Asleep, a page's own clock may stand still; put back by its owner or the network, the wall clock loses time: the
  // longer of the two is right. A wall clock put forward in mid-shot cannot be told from sleep.
  function since(run) {
    const wall = Date.now() - run.wall;
    return Math.max(wall, run.page === page ? performance.now() - run.own : 0);
  }

  function tenths(ms) {
    return (Math.round(ms / 100) / 10).toFixed(1);
  }

  function runs(run) {
    return run.wall !== undefined && run.stop === undefined;
  }

  function show(timer) {
    const run = read(timer);
    const ms = runs(run) ? since(run) : run.stop || 0;
    timer.querySelector("[data-timer-face]").textContent = tenths(ms);
    timer.classList.toggle("timer-runs", runs(run));
    if (runs(run)) look();
  }

  function look() {
    window.clearTimeout(looking);
    looking = window.setTimeout(function () { if (box()) show(box()); }, LOOK_MS);
  }

  function say(timer, words) {
    timer.querySelector("[data-timer-said]").textContent = words;
  }

  function fill(timer, what, ms) {
    const input = timer.closest("form").elements[TYPED[what]];
    input.value = tenths(ms);
    input.dispatchEvent(new Event("input", { bubbles: true })); // a draft keeps it as it keeps what is typed
  }

  // A wet thumb presses twice: only the first press of each counts, and a running timer is not begun anew.
  const PRESSES = {
    start: function (timer, run) {
      if (runs(run)) return say(timer, "runs already");
      keep(timer, { wall: Date.now(), own: performance.now(), page });
      say(timer, "runs");
    },
    drip: function (timer, run) {
      if (!runs(run)) return say(timer, "press Start first");
      if (run.drip !== undefined) return say(timer, "first drip after " + tenths(run.drip) + " s");
      run.drip = since(run);
      keep(timer, run);
      fill(timer, "drip", run.drip);
      say(timer, "first drip after " + tenths(run.drip) + " s");
    },
    stop: function (timer, run) {
      if (run.wall === undefined) return say(timer, "press Start first");
      if (!runs(run)) return say(timer, "stopped");
      run.stop = since(run);
      keep(timer, run);
      fill(timer, "stop", run.stop);
      say(timer, "stopped");
    },
  };

  // What was measured is dropped once its shot is recorded: a page that does not answer a refused press.
  function begin() {
    const timer = box();
    if (!timer) return;
    const run = read(timer);
    const refused = "posted" in document.getElementById("main").dataset;
    timer.hidden = false;
    if (run.sent && !refused) sessionStorage.removeItem(keyOf(timer));
    else if (run.wall !== undefined) carryOn(timer, run);
    show(timer);
  }

  function carryOn(timer, run) {
    delete run.sent;
    keep(timer, run);
    say(timer, runs(run) ? "runs" : "stopped");
    Object.keys(TYPED).forEach(function (what) {
      const input = timer.closest("form").elements[TYPED[what]];
      if (run[what] !== undefined && !input.value) fill(timer, what, run[what]);
    });
  }

  function sent(form, is) {
    const timer = form.querySelector && form.querySelector("[data-timer]");
    if (!timer || read(timer).stop === undefined) return;
    keep(timer, Object.assign(read(timer), { sent: is }));
  }

  document.addEventListener("click", function (event) {
    const button = event.target.closest("[data-timer-press]");
    if (!button) return;
    PRESSES[button.dataset.timerPress](box(), read(box()));
    show(box());
  });
  document.addEventListener("submit", function (event) { sent(event.target, true); });
  document.addEventListener("htmx:sendError", function (event) { sent(event.target, false); });
  document.addEventListener("htmx:responseError", function (event) { sent(event.target, false); });
  document.addEventListener("htmx:afterSwap", begin);
  document.addEventListener("visibilitychange", function () { if (box()) show(box()); });
  begin();
})();

/* Does it count? The first shot after the grinder was moved is pressed in as such, until a person presses otherwise. */
(function () {
  "use strict";

  function plain(setting) {
    return setting.trim().toLowerCase().replace(",", ".");
  }

  function press(setting) {
    const answers = Array.from(setting.form.elements.counts || []);
    if (!setting.dataset.last || answers.some((each) => "pressed" in each.dataset)) return;
    const moved = plain(setting.value) !== plain(setting.dataset.last);
    answers.forEach((each) => { each.checked = each.value === (moved ? "AFTER_CHANGE" : "YES"); });
  }

  function begin() {
    const setting = document.querySelector("[data-last]");
    if (setting && !Array.from(setting.form.elements.counts).some((each) => each.checked)) press(setting);
  }

  document.addEventListener("input", function (event) {
    if (event.target.name === "counts") event.target.dataset.pressed = "";
    else if (event.target.matches("[data-last]")) press(event.target);
  });
  document.addEventListener("htmx:afterSwap", begin);
  begin();
})();

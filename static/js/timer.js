/* The shot timer: Start, First drip, Stop; what it measured goes into the form's own boxes.
   The clock is the wall clock at each press, kept in the tab, so that a sleeping phone, a locked screen or a page
   loaded anew lose nothing: what is shown while it runs is only a look at that clock. */
(function () {
  "use strict";

  const LOOK_MS = 100;
  const TYPED = { drip: "first_drip_s", stop: "time_s" };
  const page = performance.timeOrigin; // another page load cannot compare its own running clock with ours
  // House policy: no shot runs so long, so a timer that does was forgotten and begins anew at one press.
  const FORGOTTEN_MS = 180000;
  const THUMB_MS = 1000; // a wet thumb's second touch comes within this
  const ARMED_MS = 5000; // a second press within this begins a running timer anew
  let looking = 0;
  let armed = 0;

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
    timer.classList.toggle("timer-dripped", runs(run) && run.drip !== undefined);
    name(timer.querySelector("[data-timer-press=start]"), runs(run) ? "Start anew" : "Start");
    if (runs(run)) look();
  }

  function name(button, words) {
    if (button.textContent !== words) button.textContent = words;
  }

  function look() {
    window.clearTimeout(looking);
    looking = window.setTimeout(function () { if (box()) show(box()); }, LOOK_MS);
  }

  function say(timer, words) {
    timer.querySelector("[data-timer-said]").textContent = words;
  }

  function input(timer, what) {
    return timer.closest("form").elements[TYPED[what]];
  }

  function put(box, words) {
    box.value = words;
    box.dispatchEvent(new Event("input", { bubbles: true })); // a draft keeps it as it keeps what is typed
  }

  function fill(timer, what, ms) {
    put(input(timer, what), tenths(ms));
  }

  // What the timer put in a box is the last shot's; what a person typed there stays.
  function empty(timer, run) {
    Object.keys(TYPED).forEach(function (what) {
      const box = input(timer, what);
      if (run[what] !== undefined && box.value === tenths(run[what])) put(box, "");
    });
  }

  // A running timer begins anew at once where it was forgotten, else at a second press.
  function anew(timer, run) {
    if (since(run) > FORGOTTEN_MS) return true;
    if (since(run) < THUMB_MS) return false;
    const again = armed && performance.now() - armed < ARMED_MS;
    armed = again ? 0 : performance.now();
    if (!again) say(timer, "runs: press again to start anew");
    return again;
  }

  // A wet thumb presses twice: only the first press of each counts.
  const PRESSES = {
    start: function (timer, run) {
      if (runs(run) && !anew(timer, run)) return;
      empty(timer, run);
      keep(timer, { wall: Date.now(), own: performance.now(), page });
      say(timer, "runs");
    },
    drip: function (timer, run) {
      if (!runs(run)) return say(timer, "press Start first");
      if (since(run) > FORGOTTEN_MS) return say(timer, "over 3 minutes: press Start anew");
      if (run.drip !== undefined) return say(timer, "runs, first drip after " + tenths(run.drip) + " s");
      run.drip = since(run);
      keep(timer, run);
      fill(timer, "drip", run.drip);
      say(timer, "runs, first drip after " + tenths(run.drip) + " s");
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
    else if (run.wall !== undefined) carryOn(timer, run, refused);
    show(timer);
  }

  function carryOn(timer, run, refused) {
    delete run.sent;
    keep(timer, run);
    if (!runs(run)) say(timer, "stopped");
    else say(timer, refused ? "still runs, nothing recorded" : "runs");
    Object.keys(TYPED).forEach(function (what) {
      if (run[what] !== undefined && !input(timer, what).value) fill(timer, what, run[what]);
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
    if (button.dataset.timerPress !== "start") armed = 0;
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

/* Drafts: what is typed into a form goes to the server when typing pauses and when the page is left, and is offered
   when the page is opened again. It never fills a page opened anew by itself; the Back button brings it back.
   The tab holds what the server has not confirmed yet. A field marked data-no-draft is left out. */
(function () {
  "use strict";

  const PAUSE_MS = 2000;
  const RINGS_MS = 100; // a live region speaks of words that come after it
  const KINDS = ["text", "search", "tel", "email", "url", "number", "date", "time", "datetime-local", "month",
    "textarea", "select-one", "checkbox", "radio"];
  const door = document.body.dataset.drafts;
  if (!door) return; // nobody is signed in
  const HELD = "draft:" + document.body.dataset.writer + " ";
  const FROM = "from:"; // an address that only takes presses -> the page its form stands on
  const known = new Map(); // place -> what was kept before: { fields, offered }
  const calls = new Map(); // place -> the call on its way
  const left = new Map(); // place -> what was sent on leaving
  let timer = 0;
  let looks = 0;
  let failing = false;

  // The form: what was typed into it, and which it is

  function boxes(form) {
    return Array.from(form.elements).filter((part) => part.name && KINDS.includes(part.type) && !("noDraft" in part.dataset));
  }

  function groups(form) {
    const found = new Map();
    boxes(form).forEach((part) => found.set(part.name, (found.get(part.name) || []).concat(part)));
    return found;
  }

  function forms() {
    return Array.from(document.querySelectorAll("form[method=post]")).filter((form) => boxes(form).length);
  }

  function ticks(part) {
    return part.type === "checkbox" || part.type === "radio";
  }

  function changed(part) {
    if (ticks(part)) return part.checked !== part.defaultChecked;
    if (part.type !== "select-one") return part.value !== part.defaultValue;
    const first = Array.from(part.options).findIndex((option) => option.defaultSelected);
    return part.selectedIndex !== Math.max(first, 0);
  }

  function valuesOf(parts) {
    return parts.filter((part) => !ticks(part) || part.checked).map((part) => part.value);
  }

  function same(one, other) {
    return JSON.stringify(one) === JSON.stringify(other);
  }

  // A page that answers a press holds what was typed, and may stand at an address that cannot be opened.
  function answersAPress() {
    return "posted" in document.getElementById("main").dataset;
  }

  function page() {
    const here = location.pathname + location.search;
    return (answersAPress() && sessionStorage.getItem(FROM + location.pathname)) || here;
  }

  function target(form, button) {
    const action = (button && button.getAttribute("formaction")) || form.getAttribute("action") || "";
    return new URL(action, location.href).pathname;
  }

  function placeOf(form) {
    const to = target(form);
    const nth = forms().filter((other) => target(other) === to).indexOf(form);
    return page() + " " + to + (nth > 0 ? "#" + (nth + 1) : "");
  }

  // Only what was typed: the page's own values may have changed by the time a draft is put back.
  function typedIn(form, place) {
    const before = known.get(place);
    const typed = {};
    groups(form).forEach(function (parts, name) {
      if (parts.some(changed)) typed[name] = valuesOf(parts);
      else if (before && name in before.fields) typed[name] = before.offered ? before.fields[name] : valuesOf(parts);
    });
    return typed;
  }

  // The tab: what the server has not confirmed yet

  function read(place) {
    return JSON.parse(sessionStorage.getItem(HELD + place));
  }

  function hold(place, entry) {
    sessionStorage.setItem(HELD + place, JSON.stringify(entry));
  }

  function places() {
    return Object.keys(sessionStorage).filter((key) => key.startsWith(HELD)).map((key) => key.slice(HELD.length));
  }

  function waiting() {
    return places().filter((place) => !read(place).sent);
  }

  // The server

  function bodyOf(place) {
    const [from, form] = place.split(" ");
    const token = JSON.parse(document.body.getAttribute("hx-headers"))["X-CSRFToken"];
    return new URLSearchParams({ csrfmiddlewaretoken: token, page: from, form, typed: JSON.stringify(read(place).fields) });
  }

  function send(place) {
    if (!navigator.onLine) {
      failing = true;
      return;
    }
    const sending = sessionStorage.getItem(HELD + place);
    const call = new AbortController();
    if (calls.has(place)) calls.get(place).abort(); // what comes later stands
    calls.set(place, call);
    fetch(door, { method: "POST", body: bodyOf(place), keepalive: true, redirect: "manual", signal: call.signal })
      .then(function (answer) {
        failing = answer.status !== 204;
        if (failing || sessionStorage.getItem(HELD + place) !== sending) return;
        sayKept(place, read(place));
        sessionStorage.removeItem(HELD + place);
      })
      .catch(function () { failing = !call.signal.aborted; });
  }

  function sendAll() {
    waiting().forEach(send);
  }

  function sendOnLeaving() {
    waiting().forEach(function (place) {
      const sending = sessionStorage.getItem(HELD + place);
      if (left.get(place) !== sending && navigator.sendBeacon(door, bodyOf(place))) left.set(place, sending);
    });
  }

  // Typing, pressing, leaving

  function keep(form) {
    const place = placeOf(form);
    hold(place, { fields: typedIn(form, place), at: Date.now() });
    window.clearTimeout(timer);
    timer = window.setTimeout(sendAll, PAUSE_MS);
  }

  document.addEventListener("input", function (event) {
    const form = event.target.form;
    if (form && forms().includes(form) && boxes(form).includes(event.target)) keep(form);
  });

  // The press carries the name of its draft, so that the server drops the one with taking the other.
  document.addEventListener("formdata", function (event) {
    if (forms().includes(event.target)) event.formData.set("draft", placeOf(event.target));
  });

  document.addEventListener("submit", function (event) {
    const form = event.target;
    if (target(form).endsWith("/sign-out/")) {
      sendOnLeaving();
      sessionStorage.clear();
    }
    if (!forms().includes(form)) return;
    const place = placeOf(form);
    const entry = read(place);
    if (entry) hold(place, { ...entry, sent: true });
    if (calls.has(place)) calls.get(place).abort();
    const to = target(form, event.submitter);
    if (to !== location.pathname) sessionStorage.setItem(FROM + to, page());
    else if (!answersAPress()) sessionStorage.removeItem(FROM + to);
  });

  // The answer to a press is here: its typing was taken, or is still to be kept.
  function settle(taken) {
    places().filter((place) => read(place).sent).forEach(function (place) {
      if (taken) sessionStorage.removeItem(HELD + place);
      else hold(place, { ...read(place), sent: false });
    });
    sendAll();
  }

  document.addEventListener("htmx:afterRequest", function (event) {
    if (!event.detail.successful && event.detail.elt.tagName === "FORM") settle(false);
  });

  document.addEventListener("htmx:afterSettle", function (event) {
    const swapped = event.detail.target;
    if (!swapped || swapped.id !== "main") return;
    settle(!answersAPress());
    look(false);
  });

  document.addEventListener("htmx:historyRestore", function () { look(true); });
  document.addEventListener("visibilitychange", function () {
    if (document.visibilityState === "hidden") sendOnLeaving();
  });
  window.addEventListener("pagehide", sendOnLeaving);
  window.addEventListener("online", sendAll);
  window.addEventListener("beforeunload", function (event) {
    if (failing && waiting().length) event.preventDefault();
  });

  // What is said at the form

  function clock(at) {
    const time = new Date(at);
    const hours = String(time.getHours()).padStart(2, "0") + ":" + String(time.getMinutes()).padStart(2, "0");
    if (time.toDateString() === new Date().toDateString()) return "at " + hours;
    return "on " + time.toLocaleDateString("en-GB", { day: "numeric", month: "long" }) + " at " + hours;
  }

  function saying(className) {
    const line = document.createElement("p");
    line.className = className;
    line.setAttribute("role", "status");
    return line;
  }

  // Heard once: the time that follows is for the eye.
  function sayKept(place, entry) {
    const form = forms().find((one) => placeOf(one) === place);
    if (!form) return;
    const there = form.nextElementSibling;
    const old = there && there.classList.contains("draft-kept") ? there : null;
    const line = old || saying("draft-kept");
    if (old) old.removeAttribute("role");
    else form.after(line);
    const words = Object.keys(entry.fields).length ? "Draft kept " + clock(entry.at).replace("at ", "") : "";
    window.setTimeout(() => line.replaceChildren(words), RINGS_MS);
  }

  function button(words, press) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "button-quiet";
    made.textContent = words;
    made.addEventListener("click", press);
    return made;
  }

  function unfold(part) {
    for (let fold = part.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  }

  // A box that was typed into meanwhile is left as it is.
  function fill(form, fields) {
    const filled = [];
    groups(form).forEach(function (parts, name) {
      if (!(name in fields) || parts.some((part) => changed(part) && (ticks(part) || part.value))) return;
      parts.forEach(function (part, nth) {
        if (ticks(part)) part.checked = fields[name].includes(part.value);
        else if (nth in fields[name]) part.value = fields[name][nth];
      });
      filled.push(parts.find((part) => part.checked) || parts[0]);
    });
    filled.forEach(unfold);
    return filled[0];
  }

  function offer(form, place, draft) {
    const line = document.createElement("div");
    const words = saying("");
    line.className = "draft-offer";
    line.tabIndex = -1;
    const back = button("Put it back", function () {
      const first = fill(form, draft.fields);
      known.get(place).offered = false;
      unfold(form);
      line.remove();
      (first || boxes(form)[0]).focus();
    });
    const drop = button("Drop it", function () {
      known.delete(place);
      keep(form);
      sendAll();
      presses.remove();
      window.clearTimeout(ring);
      words.textContent = "Dropped.";
      line.focus();
    });
    const presses = document.createElement("div");
    presses.className = "draft-presses";
    presses.append(back, drop);
    line.append(words, presses);
    let spot = form;
    for (let fold = form.closest("details"); fold; fold = fold.parentElement.closest("details")) if (!fold.open) spot = fold;
    spot.before(line);
    const ring = window.setTimeout(() => { words.textContent = "You typed here " + clock(draft.at) + " and left."; }, RINGS_MS);
  }

  function meet(form, drafts, back) {
    const place = placeOf(form);
    const draft = drafts.get(place);
    if (!draft || !Object.keys(draft.fields).length) return;
    known.set(place, { fields: draft.fields, offered: false });
    const now = groups(form);
    const names = Object.keys(draft.fields).filter((name) => now.has(name));
    if (names.every((name) => same(draft.fields[name], valuesOf(now.get(name))))) return;
    if (back) {
      fill(form, draft.fields);
    } else {
      known.get(place).offered = true;
      offer(form, place, draft);
    }
  }

  async function ask(from) {
    if (!navigator.onLine) return [];
    try {
      const answer = await fetch(door + "?page=" + encodeURIComponent(from));
      return answer.ok ? (await answer.json()).drafts : [];
    } catch (error) {
      return []; // no answer: the tab's own must do
    }
  }

  async function look(back) {
    looks += 1;
    const mine = looks;
    known.clear();
    if (!forms().length) return;
    const from = page();
    const held = waiting().map((place) => [place, read(place)]);
    const kept = (await ask(from)).map((row) => [from + " " + row.form, row]);
    if (mine !== looks) return; // another page came meanwhile
    document.querySelectorAll(".draft-offer").forEach((line) => line.remove());
    const drafts = new Map(kept.concat(held));
    forms().forEach((form) => meet(form, drafts, back));
  }

  Object.keys(sessionStorage)
    .filter((key) => key.startsWith("draft:") && !key.startsWith(HELD))
    .forEach((key) => sessionStorage.removeItem(key)); // somebody else's, whose session ended in this tab
  const arrival = performance.getEntriesByType("navigation")[0];
  const cameBack = Boolean(arrival && arrival.type === "back_forward");
  settle(!answersAPress() && !cameBack);
  look(cameBack);
})();

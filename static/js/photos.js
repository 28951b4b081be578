/* Photos on their way: each chosen photo is sent on its own, at once, and its line says sending, kept, or refused
   because. A photo that is kept travels in the form as a signed word; one that is not stays in the file input, so the
   form itself brings it. Without this file the form brings them all. */
(function () {
  "use strict";

  const PATIENCE_MS = 120000; // a 12 MP photo over a slow link takes a minute
  const NOT_SENT = "Not sent. Check the connection, then send it again.";
  const boxes = new WeakMap();

  function stateOf(box) {
    if (!boxes.has(box)) boxes.set(box, { waiting: [], queue: Promise.resolve() });
    return boxes.get(box);
  }

  function kept(box) {
    return box.closest("form").querySelector('input[name="kept"]');
  }

  function words(box) {
    return kept(box).value.split(" ").filter(Boolean);
  }

  function say(box, text) {
    box.querySelector("[data-upload-said]").textContent = text;
  }

  // The input holds what is not kept yet: a press in between, or after a failure, sends it with the form.
  function refill(box, input) {
    const left = new DataTransfer();
    stateOf(box).waiting.filter((one) => one.input === input).forEach((one) => left.items.add(one.file));
    input.files = left.files;
  }

  function make(tag, className, text) {
    const element = document.createElement(tag);
    if (className) element.className = className;
    if (text) element.textContent = text;
    return element;
  }

  function lineFor(box, file) {
    const line = make("li");
    const state = make("span", "soft", "waiting");
    line.append(make("span", "upload-name", file.name), state);
    const list = box.querySelector("[data-upload-rows]");
    list.hidden = false;
    list.append(line);
    return { line, state };
  }

  function button(one, text, press) {
    const control = make("button", "button-quiet", text);
    control.type = "button";
    control.append(make("span", "hidden", ": " + one.file.name));
    control.addEventListener("click", press);
    one.line.append(control);
    return control;
  }

  function bare(one) {
    one.line.querySelectorAll("progress, button, img").forEach((part) => part.remove());
    one.state.className = "soft";
  }

  function drop(box, one) {
    const state = stateOf(box);
    state.waiting = state.waiting.filter((other) => other !== one);
    refill(box, one.input);
  }

  function leave(box, one) {
    drop(box, one);
    if (one.word) kept(box).value = words(box).filter((word) => word !== one.word).join(" ");
    one.line.remove();
    say(box, one.file.name + " left out");
  }

  function keep(box, one, answer) {
    const most = Number(box.dataset.most);
    const others = most === 1 ? [] : words(box);
    if (most === 1) box.querySelectorAll("[data-kept-line]").forEach((line) => line.remove());
    one.word = answer.kept;
    kept(box).value = others.concat(answer.kept).join(" ");
    drop(box, one);
    bare(one);
    one.line.dataset.keptLine = "";
    const picture = make("img");
    picture.src = answer.thumb;
    picture.alt = "";
    one.line.prepend(picture);
    one.state.textContent = "kept";
    button(one, "Leave out", () => leave(box, one));
    say(box, one.file.name + " kept");
  }

  function refuse(box, one, sentence) {
    drop(box, one); // the form must not bring it again: the answer would be the same
    bare(one);
    one.state.className = "upload-wrong";
    one.state.textContent = "Not kept: " + sentence;
    say(box, one.file.name + " not kept: " + sentence);
  }

  function fail(box, one) {
    bare(one);
    one.state.className = "upload-wrong";
    one.state.textContent = NOT_SENT;
    button(one, "Send again", () => enqueue(box, one));
    button(one, "Leave out", () => leave(box, one));
    say(box, one.file.name + ": " + NOT_SENT);
  }

  function answerOf(request) {
    try {
      return JSON.parse(request.responseText);
    } catch (error) {
      return {}; // signed out meanwhile, or not our server
    }
  }

  function send(box, one) {
    return new Promise(function (done) {
      if (!one.line.isConnected) return done(); // left out while it waited
      const bar = make("progress");
      bar.max = 1;
      bar.value = 0;
      bar.setAttribute("aria-label", "Sending " + one.file.name);
      bare(one);
      one.line.append(bar);
      one.state.textContent = "sending";
      const data = new FormData();
      data.append("photo", one.file);
      const request = new XMLHttpRequest();
      request.open("POST", box.dataset.keepUrl);
      request.timeout = PATIENCE_MS;
      request.setRequestHeader("X-CSRFToken", box.closest("form").querySelector('[name="csrfmiddlewaretoken"]').value);
      request.upload.addEventListener("progress", function (event) {
        if (event.lengthComputable) bar.value = event.loaded / event.total;
      });
      request.addEventListener("loadend", function () {
        const answer = answerOf(request);
        if (request.status === 200 && answer.kept) keep(box, one, answer);
        else if (request.status === 422 && answer.refused) refuse(box, one, answer.refused);
        else fail(box, one);
        done();
      });
      request.send(data);
    });
  }

  function enqueue(box, one) {
    const state = stateOf(box);
    bare(one);
    one.state.textContent = "waiting";
    state.queue = state.queue.then(() => send(box, one)); // one after another: they are numbered as they were chosen
  }

  document.addEventListener("change", function (event) {
    const input = event.target;
    const box = input.type === "file" && input.closest("[data-keep-url]");
    if (!box || !input.files.length) return;
    const state = stateOf(box);
    Array.from(input.files).forEach(function (file) {
      const one = { file, input, ...lineFor(box, file) };
      if (Number(box.dataset.most) > 1 && words(box).length + state.waiting.length >= Number(box.dataset.most)) {
        refuse(box, one, "at most " + box.dataset.most + " photos at once. Add these first.");
        return;
      }
      state.waiting.push(one);
      enqueue(box, one);
    });
    refill(box, input);
  });
})();

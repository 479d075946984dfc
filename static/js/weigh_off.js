// Weights of keys at typing speed: a number, Enter, the next box in the order chosen. On a touch screen a pad of
// large keys does the same. With data-live every weight goes to the shop as it is typed, through the outbox.
"use strict";

(() => {
  const form = document.querySelector("form[data-weigh]");
  if (!form) return;
  const live = "live" in form.dataset;
  const boxes = [...form.querySelectorAll(".weigh-row input")];
  const pad = form.querySelector(".weigh-pad");
  const count = document.querySelector("[data-weigh-count]");
  const NUMBER = /^\d{1,3}([.,]\d)?$/;
  const NO_RETURN = /^[-–—x]$/i;
  const sideOf = (box) => box.name.replace(/\d+/, "");
  const rowOf = (box) => box.closest(".weigh-row");
  const partners = new Map(boxes.map((box) => [box, rowOf(box).querySelector(`input:not([name="${box.name}"])`)]));
  const partner = (box) => partners.get(box);
  const figure = (box) => (NO_RETURN.test(box.value.trim()) ? 0 : Number(box.value.trim().replace(",", ".")));
  let at = null; // the box that is written into
  let typing = false; // somebody has begun
  const kept = new Map(boxes.map((box) => [box, box.defaultValue.trim()]));

  // The order ----------------------------------------------------------------------------------------------

  const chosen = (name) => form.querySelector(`[data-order="${name}"]:checked`)?.value;
  function inOrder() {
    const sharp = (box) => Number(rowOf(box).classList.contains("sharp"));
    const order = boxes.map((box, place) => ({ box, place }));
    const by = [];
    if (chosen("sides") === "downs") by.push(({ box }) => Number(sideOf(box) === "up"));
    if (chosen("keys") === "naturals") by.push(({ box }) => sharp(box));
    const rank = (one, other) => by.map((of) => of(one) - of(other)).find((difference) => difference) || one.place - other.place;
    return order.sort(rank).map(({ box }) => box);
  }
  let order = inOrder();
  for (const choice of form.querySelectorAll("[data-order]")) {
    const name = `weigh-${choice.dataset.order}`;
    try { if (localStorage.getItem(name) === choice.value) choice.checked = true; } catch { /* no store: the usual order */ }
    choice.addEventListener("change", () => {
      order = inOrder();
      try { localStorage.setItem(name, choice.value); } catch { /* the choice holds for this page */ }
    });
  }
  order = inOrder();
  form.querySelector(".weigh-order")?.removeAttribute("hidden");

  function go(from, steps) {
    const next = order[order.indexOf(from) + steps];
    if (!next) return;
    at = next; // a page that is not in front yet tells of the focus only later
    next.focus({ preventScroll: true });
    next.select();
    const room = next.getBoundingClientRect();
    const low = innerHeight - (pad && !pad.hidden ? pad.offsetHeight : 0) - 96;
    if (room.top < 96 || room.bottom > low) rowOf(next).scrollIntoView({ block: "center" });
  }

  // On to the next box, unless the weight in this one cannot be: then its sentence comes into sight.
  function step(from, steps) {
    if (commit(from)) return go(from, steps);
    from.select();
    rowOf(from).scrollIntoView({ block: "center" });
  }

  // What is wrong with a weight, in words; nothing when it is right -----------------------------------------------

  function wrongWith(box) {
    const typed = box.value.trim();
    if (!typed) return "";
    const isDash = NO_RETURN.test(typed);
    if (!NUMBER.test(typed) && !(isDash && sideOf(box) === "up")) return "a number of grams, such as 52 or 52.5";
    if (figure(box) > 300) return "more than 300 g";
    const other = partner(box);
    const [down, up] = sideOf(box) === "down" ? [box, other] : [other, box];
    if (sideOf(box) === "up" && !down.value.trim()) return "the down-weight comes first";
    if (down.value.trim() && up.value.trim() && figure(up) > figure(down)) return "more up than down. Are they the wrong way round?";
    return "";
  }

  const said = new Map(); // what is wrong with a box, as long as it is
  function show(box, state, words = "") {
    const row = rowOf(box);
    if (state) box.dataset.state = state;
    else delete box.dataset.state;
    if (words) box.setAttribute("aria-invalid", "true");
    else box.removeAttribute("aria-invalid");
    said.set(box, words);
    const sentence = words || said.get(partner(box)) || "";
    row.classList.toggle("wrong", Boolean(sentence));
    let line = row.querySelector(".weigh-wrong");
    if (!sentence) return line?.remove();
    if (!line) {
      line = row.appendChild(document.createElement("p"));
      line.className = "weigh-wrong";
      line.setAttribute("role", "alert");
    }
    const told = `${row.dataset.note}: ${sentence}`;
    if (line.textContent !== told) line.textContent = told;
  }

  // True when the weight is right, or empty; then it is kept.
  function commit(box) {
    const typed = box.value.trim();
    const words = wrongWith(box);
    show(box, words ? "wrong" : box.dataset.state === "wrong" ? "" : box.dataset.state, words);
    if (words) return false;
    const other = partner(box);
    if (other.dataset.state === "wrong" && other.value.trim() && !wrongWith(other)) commit(other);
    if (!live || !typed || typed === kept.get(box)) return true;
    kept.set(box, typed);
    show(box, "waiting");
    send([[box.name, typed]]);
    return true;
  }

  // Keeping and sending ------------------------------------------------------------------------------------

  const box = window.outbox;
  const group = live ? form.dataset.live : "";
  let turn = Promise.resolve();
  function send(fields) {
    tally();
    if (!box?.usable) return; // then the button of the form sends them
    const entry = { group, fields: [["live", "1"], ...fields], what: form.dataset.outbox, page: location.pathname, url: location.pathname };
    box.add(entry).then(() => { box.flush(); }, () => {});
  }

  // What is on its way is written back into the boxes, and marked until it has arrived. A page opened without a
  // connection is older than what was sent since: that is written back as well.
  async function overlay(first) {
    const drafts = (await box.mine()).filter((draft) => draft.group === group);
    const waiting = new Map(drafts.filter(({ state }) => state !== "sent").flatMap(({ fields }) => fields));
    const sent = new Map(drafts.filter(({ state }) => state === "sent").flatMap(({ fields }) => fields));
    let arrived = false;
    for (const one of boxes) {
      const value = waiting.get(one.name) ?? (navigator.onLine && one.value ? undefined : sent.get(one.name));
      if (first && value !== undefined && one.value.trim() === kept.get(one)) { one.value = value; kept.set(one, value); }
      const was = one.dataset.state;
      if (was === "wrong") continue;
      if (waiting.get(one.name) === kept.get(one)) { if (was !== "waiting") show(one, "waiting"); }
      else if (was === "waiting" && !waiting.has(one.name)) { show(one, "saved"); arrived = true; }
    }
    tally();
    if (arrived) soFar ||= setTimeout(showSoFar, 2000);
  }

  // What is so far follows while somebody types on, not only once they rest.
  let soFar = 0;
  function showSoFar() {
    soFar = 0;
    document.querySelector("#so-far")?.dispatchEvent(new Event("weighed"));
  }

  function tally() {
    if (!count) return;
    const full = boxes.filter((one) => sideOf(one) === "up" && kept.get(one) && kept.get(partner(one))).length;
    const waiting = boxes.filter((one) => one.dataset.state === "waiting").length;
    count.textContent = `${full} of ${boxes.length / 2} keys have both weights${waiting ? `; ${waiting} weights not sent yet` : ""}.`;
    const nothing = document.querySelector("[data-nothing-yet]");
    if (nothing && [...kept.values()].some(Boolean)) nothing.textContent = nothing.dataset.nothingYet;
    const closing = document.querySelector("form[data-weigh-close]");
    if (!closing) return;
    const missing = boxes.length / 2 - full;
    if (missing) Object.assign(closing.dataset, { confirm: `${missing} ${missing === 1 ? "key lacks" : "keys lack"} a weight. Close it as it stands?`, confirmYes: "Close it" });
    else delete closing.dataset.confirm;
  }

  if (live && box) {
    box.begun.then((usable) => {
      if (!usable) return;
      form.dataset.kept = "";
      overlay(true).then(() => { if (!typing) toFirstEmpty(); });
      let soon = 0;
      document.addEventListener("outbox:changed", () => {
        clearTimeout(soon);
        soon = setTimeout(() => { turn = turn.then(() => overlay(false)).catch(() => {}); }, 80);
      });
    });
  }

  // Typing -------------------------------------------------------------------------------------------------

  const isBox = (target) => kept.has(target);
  form.addEventListener("pointerdown", () => { typing = true; });
  form.addEventListener("keydown", (event) => {
    typing = true;
    if (!isBox(event.target) || event.key !== "Enter") return;
    event.preventDefault();
    step(event.target, event.shiftKey ? -1 : 1);
  });
  form.addEventListener("change", (event) => { if (isBox(event.target)) commit(event.target); });
  form.addEventListener("focusin", (event) => {
    if (!isBox(event.target)) return;
    form.querySelector(".weigh-row.now")?.classList.remove("now");
    rowOf(event.target).classList.add("now");
  });

  // A column copied from elsewhere runs down the keys from the box it is pasted into; two columns fill both sides.
  form.addEventListener("paste", (event) => {
    const lines = (event.clipboardData?.getData("text") || "").trim().split(/\r?\n/);
    if (!isBox(event.target) || lines.length < 2) return;
    event.preventDefault();
    const side = sideOf(event.target);
    let position = Number(event.target.name.match(/\d+/)[0]);
    let last = event.target;
    for (const line of lines) {
      const words = line.trim().split(/[\s;|]+/).filter(Boolean).slice(-2);
      const into = words.length === 2 ? ["down", "up"] : [side];
      into.forEach((name, place) => {
        const one = form.elements[name + position];
        if (!one || !words[place]) return;
        one.value = words[place];
        commit(one);
        last = one;
      });
      position += 1;
    }
    last.focus();
  });

  // The pad ------------------------------------------------------------------------------------------------

  let usesPad = false;
  const toFirstEmpty = () => go(null, 1 + order.findIndex((one) => !one.value));
  form.addEventListener("focusin", (event) => {
    if (!isBox(event.target)) return;
    at = event.target;
    if (pad) pad.hidden = !usesPad;
  });
  form.addEventListener("focusout", (event) => { if (pad && !isBox(event.relatedTarget)) pad.hidden = true; });
  function usePad(on) {
    usesPad = on;
    if (pad) pad.hidden = true;
    boxes.forEach((one) => { one.inputMode = on ? "none" : "decimal"; });
  }
  // On touching, not on letting go: a tap is never lost to a page that is just moving. A click that no finger made
  // comes from a keyboard or a screen reader.
  let touched = -Infinity;
  pad?.addEventListener("pointerdown", (event) => {
    event.preventDefault(); // the box keeps the cursor
    touched = event.timeStamp;
    press(event);
  });
  pad?.addEventListener("click", (event) => { if (event.timeStamp - touched > 800) press(event); });
  function press(event) {
    const key = event.target.closest("[data-press]")?.dataset.press;
    const one = at || order[0];
    if (key === undefined) return;
    typing = true;
    if (key === "next") step(one, 1);
    else if (key === "back") { commit(one); go(one, -1); }
    else if (key === "rub") one.value = one.value.slice(0, -1);
    else if (one.selectionStart !== one.selectionEnd && document.activeElement === one) { one.value = key; one.setSelectionRange(9, 9); }
    else one.value += key;
  }
  const asksForPad = form.querySelector("[data-pad]");
  if (asksForPad) {
    asksForPad.checked = matchMedia("(pointer: coarse)").matches;
    asksForPad.addEventListener("change", () => { usePad(asksForPad.checked); toFirstEmpty(); });
    usePad(asksForPad.checked);
  }
  tally();
  if (live) toFirstEmpty();
})();

// Signed in for so long without a page: ten minutes before that ends it is said, and one press keeps it going.
// What was typed stays where it is, also when it has ended: whoever signs in again elsewhere goes on here.
"use strict";

(() => {
  const place = document.getElementById("stay");
  if (!place) return;
  const WARN_MS = 600000, LOOK_MS = 15000;
  const shared = "BroadcastChannel" in window ? new BroadcastChannel("stay") : null;
  let ends = 0, dialog = null, shown = "", warned = 0, isOver = false;

  const clock = (moment) => new Date(moment).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  const element = (tag, text, className = "") => Object.assign(document.createElement(tag), { textContent: text, className });

  // Once it has ended, another sign-in elsewhere does not make this page's forms good: who typed goes on by a press.
  function longer(until) {
    isOver ||= ends > 0 && ends <= Date.now();
    ends = Math.max(ends, until);
    if (isOver || ends - Date.now() <= WARN_MS) return;
    shown = "";
    dialog?.close();
  }

  // The server was asked for something: every page of this browser has that much longer.
  function saw(seconds) {
    const until = Date.now() + Number(seconds) * 1000;
    shared?.postMessage(until);
    longer(until);
  }

  // Forms that stand open go on under the new sign-in: each carries the mark of the old one.
  function renew(token) {
    document.querySelectorAll("input[name=csrfmiddlewaretoken]").forEach((input) => { input.value = token; });
    document.body.setAttribute("hx-headers", JSON.stringify({ "X-CSRFToken": token }));
  }

  async function stay(event) {
    const said = dialog.querySelector("[role=status]");
    event.target.disabled = true;
    try {
      const answer = await fetch(place.dataset.stay, { headers: { Accept: "application/json" }, cache: "no-store" });
      if (answer.redirected || !answer.ok) {
        if (shown === "ended") said.textContent = "Nobody is signed in yet.";
        else { isOver = true; show("ended"); }
        return;
      }
      const told = await answer.json();
      if (String(told.user) !== place.dataset.user) { said.textContent = "Somebody else is signed in now. Sign in as yourself first."; return; }
      renew(told.token);
      isOver = false;
      ends = 0;
      saw(told.seconds);
      warned = ends - Date.now() > WARN_MS ? 0 : ends; // after seven days nothing makes it longer
      dialog?.close();
    } catch {
      said.textContent = "No answer came back. Look at the connection and press again.";
    } finally {
      event.target.disabled = false;
    }
  }

  const WORDS = {
    soon: () => [`You will be signed out at ${clock(ends)}`, "No page has been opened for a long time. What you typed stays on this page.", "Stay signed in"],
    ended: () => ["You have been signed out", "What you typed is still on this page. Sign in again in a new tab, then go on here.", "Go on"],
  };

  function show(what) {
    const before = dialog ? dialog.before : document.activeElement;
    if (dialog) { dialog.before = null; dialog.close(); }
    const [heading, line, press] = WORDS[what]();
    shown = what;
    dialog = element("dialog", "", "ask");
    dialog.before = before;
    const name = element("h2", heading);
    name.id = "stay-heading";
    dialog.setAttribute("aria-labelledby", name.id);
    const yes = element("button", press, "button"), later = element("button", "Not now", "button quiet");
    const actions = element("p", "", "actions"), said = element("p", "", "note");
    yes.type = later.type = "button";
    said.setAttribute("role", "status");
    if (what === "ended") {
      const link = element("a", "Sign in again", "button quiet");
      Object.assign(link, { href: place.dataset.signIn, target: "_blank", rel: "noopener" });
      link.append(element("span", " in a new tab", "visually-hidden"));
      actions.append(link);
    }
    actions.append(yes, later);
    dialog.append(name, element("p", line), said, actions);
    document.body.append(dialog);
    yes.addEventListener("click", stay);
    const mine = dialog;
    later.addEventListener("click", () => mine.close());
    mine.addEventListener("close", () => {
      mine.remove();
      if (dialog === mine) dialog = null;
      mine.before?.focus();
    });
    mine.showModal();
    yes.focus();
  }

  // Once for each end: whoever says "not now" is told again only when it has ended.
  function look() {
    const left = ends - Date.now();
    isOver ||= left <= 0;
    if (document.hidden || (left > WARN_MS && !isOver)) return;
    if (isOver && shown !== "ended") show("ended");
    else if (!isOver && warned !== ends && !dialog?.open) { warned = ends; show("soon"); }
  }

  if (shared) shared.onmessage = ({ data }) => longer(data);
  document.addEventListener("htmx:afterOnLoad", ({ detail }) => { if (detail.xhr.status < 400) saw(place.dataset.seconds); });
  document.addEventListener("visibilitychange", look);
  setInterval(look, LOOK_MS);
  saw(place.dataset.seconds);
})();

// Forms that go through the outbox: <form method="post" data-outbox="Walk-round of 2026-014"> with a form token.
// What is typed is kept as it is typed; a press on the button hands the form over; the page's head counts what waits.
// data-outbox-returns: what was left unfinished stands in it again by itself, where others ask first.
"use strict";

(() => {
  const box = window.outbox;
  if (!box?.user) return;
  const handed = new Map(); // form -> id of the draft it handed over
  const takenBack = new Map(); // form -> id of the draft it was given back; it may be on its way all the same
  const timers = new Map();
  const filesChanged = new Set();
  let turn = Promise.resolve();
  const inTurn = (act) => (turn = turn.then(act, act));
  const here = () => location.pathname + location.search;
  const isOurs = (form) => "outbox" in form.dataset && form.getAttribute("method") === "post" && form.elements.form_token;
  const ours = () => [...document.querySelectorAll("form[data-outbox]")].filter(isOurs);

  function made(tag, text, className = "") {
    const element = document.createElement(tag);
    element.textContent = text;
    element.className = className;
    return element;
  }
  function button(text, act, className = "button quiet") {
    const pressed = made("button", text, className);
    pressed.type = "button";
    pressed.addEventListener("click", act);
    return pressed;
  }
  function when(at) {
    const time = new Date(at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
    if (new Date(at).toDateString() === new Date().toDateString()) return `at ${time}`;
    return `on ${new Date(at).toLocaleDateString("en-GB", { day: "numeric", month: "long" })} at ${time}`;
  }

  // From form to draft -----------------------------------------------------------------------------------

  // A token that was handed over already belongs to that draft: the page came out of the browser's own store.
  async function tokenOf(form) {
    const input = form.elements.form_token;
    const draft = await box.get(input.value);
    if (draft && ["waiting", "sent"].includes(draft.state)) input.value = box.newToken();
    hold(input.value);
    return input.value;
  }

  function fieldsOf(form, submitter) {
    const isEmptyFile = (value) => value instanceof File && !value.name && !value.size;
    const fields = [...new FormData(form)].filter(([name, value]) => name !== "csrfmiddlewaretoken" && !isEmptyFile(value));
    if (submitter?.name) fields.push([submitter.name, submitter.value]);
    return fields;
  }

  function draftOf(form, state, id, submitter) {
    const action = new URL(submitter?.getAttribute("formaction") || form.getAttribute("action") || here(), location.href);
    return { id, state, what: form.dataset.outbox, page: here(), url: action.pathname + action.search, fields: fieldsOf(form, submitter) };
  }

  // The words are noted at once, since the page may be left at this moment; all of it is put away in its turn.
  let isLeft = false; // signed out: nothing is kept any more
  const isKept = (form) => !isLeft && !handed.has(form) && form.isConnected;
  function keep(form) {
    clearTimeout(timers.get(form));
    timers.delete(form);
    if (!isKept(form)) return;
    if (box.jot(draftOf(form, "unfinished", form.elements.form_token.value)) && !filesChanged.has(form)) form.dataset.kept = "";
    inTurn(async () => {
      if (!isKept(form)) return;
      const files = filesChanged.delete(form);
      await box.put(draftOf(form, "unfinished", await tokenOf(form)), { files });
      form.dataset.kept = "";
    }).catch(() => { delete form.dataset.kept; }); // a full device: the page itself still holds what was typed
  }
  const keepAll = () => [...timers.keys()].forEach(keep);

  for (const kind of ["input", "change"]) {
    document.addEventListener(kind, (event) => {
      const form = event.target.form;
      const isFile = event.target.type === "file";
      if (!box.usable || !form || !isOurs(form) || "live" in form.dataset) return; // live: kept field by field
      if (!event.isTrusted && !isFile) return; // a script's own doing is no typing
      if (!event.target.name) return; // it opens something and is not sent
      delete form.dataset.kept;
      if (isFile) filesChanged.add(form);
      clearTimeout(timers.get(form));
      if (kind === "change") keep(form); // the field was left
      else timers.set(form, setTimeout(keep, 400, form));
    });
  }
  // A script that pressed something for somebody says so: form:changed on the form.
  document.addEventListener("form:changed", ({ target }) => {
    if (!box.usable || !isOurs(target)) return;
    delete target.dataset.kept;
    keep(target);
  });
  addEventListener("pagehide", keepAll);
  document.addEventListener("visibilitychange", () => { if (document.hidden) keepAll(); });
  document.addEventListener("click", ({ target }) => { if (target.closest?.("a[href]")) keepAll(); });

  // As long as this page is open its draft is nobody else's to take up.
  const held = new Set();
  function hold(id) {
    if (held.has(id)) return;
    held.add(id);
    navigator.locks?.request(`draft:${id}`, { ifAvailable: true }, () => new Promise(() => {}));
  }
  async function openElsewhere() {
    const locks = navigator.locks ? (await navigator.locks.query()).held : [];
    return new Set(locks.map((lock) => lock.name.replace("draft:", "")).filter((id) => !held.has(id)));
  }

  // Handing over -----------------------------------------------------------------------------------------

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || !box.usable) return;
    if ("signsOut" in form.dataset) {
      event.preventDefault();
      signOut(form);
    } else if (isOurs(form) && !event.submitter?.formNoValidate) {
      event.preventDefault();
      inTurn(() => handOver(form, event.submitter));
    }
  });

  // What is not sent is asked about first (data-confirm, by app.js), also when it was kept a moment ago.
  async function signOut(form) {
    const asked = "confirm" in form.dataset;
    keepAll();
    await turn.catch(() => {});
    await render();
    if (!asked && "confirm" in form.dataset) return form.requestSubmit();
    isLeft = true;
    await box.clear().catch(() => {});
    return native(form);
  }

  function native(form, submitter) {
    if (submitter?.name) {
      const value = form.appendChild(document.createElement("input"));
      Object.assign(value, { type: "hidden", name: submitter.name, value: submitter.value });
    }
    HTMLFormElement.prototype.submit.call(form);
  }

  async function handOver(form, submitter) {
    clearTimeout(timers.get(form));
    timers.delete(form);
    const draft = draftOf(form, "waiting", await tokenOf(form), submitter);
    try {
      await box.put(draft);
    } catch {
      return native(form, submitter);
    }
    handed.set(form, draft.id);
    takenBack.delete(form);
    form.dataset.kept = "";
    const slow = setTimeout(() => showKept(form, draft), 8000);
    box.flush().finally(() => { clearTimeout(slow); follow(form, submitter); });
  }

  // What became of a form that was handed over: its page goes where the answer says, as a browser would.
  async function follow(form, submitter) {
    const id = handed.get(form);
    const draft = id && (await box.get(id));
    if (!id || handed.get(form) !== id) return;
    if (!draft) return release(form);
    if (draft.state === "sent") return go(draft.to);
    if (draft.state === "refused") {
      handed.delete(form);
      form.inert = false;
      return native(form, submitter); // it was refused in words: let the browser fetch and show them
    }
    showKept(form, draft);
  }

  let isGoing = false; // a second page asked for would find the words of the first one read already
  addEventListener("pageshow", () => { isGoing = false; });
  function go(to) {
    if (isGoing) return;
    isGoing = true;
    const target = new URL(to, location.href);
    if (target.pathname + target.search !== here()) return location.assign(target);
    history.replaceState(null, "", target);
    location.reload();
  }

  function release(form) {
    handed.delete(form);
    form.inert = false;
    noteOf(form).remove();
    form.dispatchEvent(new CustomEvent("form:released", { bubbles: true }));
  }

  function noteOf(form) {
    const before = form.previousElementSibling;
    if (before?.classList.contains("outbox-note")) return before;
    const note = made("section", "", "callout mild outbox-note");
    note.setAttribute("role", "status");
    form.before(note);
    return note;
  }

  function showKept(form, draft) {
    const why = draft.why === "sign-in" ? "You are signed out. " : draft.why ? `${draft.why} ` : "";
    const line = made("p", `${why}It goes by itself when it can, once. You may close this page.`);
    const actions = made("div", "", "actions");
    if (draft.why === "sign-in") actions.append(signIn());
    actions.append(
      button("Send it now", () => box.flush()),
      button("Change it", async () => {
        await box.change(draft.id, (found) => (found?.state === "waiting" ? { ...found, state: "unfinished" } : undefined));
        const now = await box.get(draft.id);
        if (now?.state === "sent") return go(now.to);
        takenBack.set(form, draft.id);
        release(form);
      }),
      button("Fill in another", () => { form.reset(); release(form); }),
    );
    form.inert = true;
    noteOf(form).replaceChildren(made("strong", `Kept on this device ${when(draft.at)}, not sent yet.`), line, actions);
  }

  function signIn() {
    const link = made("a", "Sign in again", "button");
    link.href = `${box.place.dataset.signIn}?next=${encodeURIComponent(here())}`;
    return link;
  }

  // Taking up again --------------------------------------------------------------------------------------

  function fill(form, draft) {
    const values = new Map();
    for (const [name, value] of draft.fields) values.set(name, [...(values.get(name) || []), value]);
    for (const element of [...form.elements]) {
      const { name, type } = element;
      if (!name || name === "csrfmiddlewaretoken" || ["submit", "button", "reset"].includes(type)) continue;
      const wanted = values.get(name) || [];
      if (type === "radio" || type === "checkbox") element.checked = wanted.includes(element.value);
      else if (type === "file") putFiles(element, wanted);
      else if (type === "select-multiple") for (const option of element.options) option.selected = wanted.includes(option.value);
      else if (wanted.length) element.value = wanted.shift();
      else if (type !== "hidden" && !draft.group) element.value = ""; // a group is a part of its form
      if (type === "file" ? element.files.length : element.localName === "textarea") element.dispatchEvent(new Event(type === "file" ? "change" : "input", { bubbles: true }));
    }
    for (const [name, wanted] of values) {
      if (form.elements[name]) continue; // first, so that a choice fetched later stands above it
      form.prepend(...wanted.filter((value) => !(value instanceof File)).map((value) => Object.assign(document.createElement("input"), { type: "hidden", name, value })));
    }
    form.elements.form_token.value = draft.id;
    form.dataset.kept = "";
    hold(draft.id);
    form.dispatchEvent(new CustomEvent("outbox:restored", { bubbles: true }));
  }

  function putFiles(input, wanted) {
    if (!wanted.length || (!input.multiple && [...input.form.elements].some((other) => other !== input && other.name === input.name && other.multiple))) return;
    const chosen = new DataTransfer();
    for (const file of wanted.splice(0, input.multiple ? wanted.length : 1)) chosen.items.add(file);
    input.files = chosen.files;
  }

  function takeUp(form, draft) {
    fill(form, draft);
    const note = noteOf(form);
    if (draft.state === "refused") note.replaceChildren(made("strong", "It was not taken as it stands."), made("p", draft.why));
    else note.remove();
    form.scrollIntoView({ block: "start" });
    render();
  }

  async function offer() {
    const elsewhere = await openElsewhere();
    const asked = location.hash.replace("#outbox-", "");
    const left = (await box.mine()).reverse().filter((draft) => ["unfinished", "refused"].includes(draft.state) && draft.page === here());
    const drafts = await Promise.all(left.map(box.whole));
    for (const form of ours()) {
      const own = drafts.filter(({ id, what }) => what === form.dataset.outbox && !held.has(id));
      const wanted = own.find(({ id }) => id === asked);
      const free = own.find(({ id }) => !elsewhere.has(id));
      if (wanted) {
        history.replaceState(null, "", here());
        takeUp(form, wanted);
      } else if (free && "outboxReturns" in form.dataset) {
        giveBack(form, free);
      } else if (free) {
        ask(form, free);
      }
    }
  }

  // A form one comes back to while a longer task goes on stands as it was left, and says that it is not saved.
  function giveBack(form, draft) {
    fill(form, draft);
    const said = draft.state === "refused" ? `This was not taken ${when(draft.at)}. ${draft.why}` : `You left this unfinished ${when(draft.at)}.`;
    const away = button("Throw it away", async () => { await box.drop(draft.id); location.reload(); });
    const actions = made("div", "", "actions");
    actions.append(away);
    noteOf(form).replaceChildren(made("p", `${said} It stands below again, not saved yet.`), actions);
    render();
  }

  function ask(form, draft) {
    const actions = made("div", "", "actions");
    actions.append(
      button("Take it up again", () => takeUp(form, draft), "button"),
      button("Throw it away", async () => { await box.drop(draft.id); noteOf(form).remove(); offer(); }),
    );
    const said = draft.state === "refused" ? `This was not taken ${when(draft.at)}. ${draft.why}` : `You left this unfinished ${when(draft.at)}.`;
    noteOf(form).replaceChildren(made("p", said), actions);
  }

  // The head of the page ---------------------------------------------------------------------------------

  const wasWaiting = new Set();
  const [count, list] = [box.place.querySelector("[role=status]"), box.place.querySelector("details")];

  function lineOf(draft) {
    const line = made("form", "", "outbox-line");
    const states = { waiting: draft.why === "sign-in" ? "sign in again, then it goes" : draft.why || "on its way", refused: `not taken: ${draft.why}`, unfinished: "left unfinished" };
    const open = made("a", "Open", "button quiet");
    open.href = `${draft.page}#outbox-${draft.id}`;
    const away = made("button", "Throw away", "button quiet");
    Object.assign(line.dataset, { throwAway: draft.id, confirm: `Throw away “${draft.what}”, written ${when(draft.at)}? It has not been sent.`, confirmYes: "Throw it away" });
    line.append(made("span", `${draft.what}, ${when(draft.at)}: ${states[draft.state]}`), ...(draft.state === "waiting" ? [] : [open]), away);
    return line;
  }

  async function render() {
    const [all, elsewhere] = [await box.everybody(), await openElsewhere()];
    const onThisPage = new Set(ours().filter((form) => !handed.has(form)).map((form) => form.elements.form_token.value));
    const own = all.filter(({ id, user, state }) => user === box.user && (state === "waiting" || (state !== "sent" && !onThisPage.has(id) && !elsewhere.has(id))));
    own.sort((a, b) => a.at - b.at);
    const arrived = all.filter(({ id, state }) => state === "sent" && wasWaiting.has(id));
    own.forEach(({ id, state, group }) => { if (state === "waiting" && !group) wasWaiting.add(id); });
    const numberOf = (state) => own.filter((draft) => draft.state === state).length;
    const words = [[numberOf("waiting"), "waiting to send"], [numberOf("refused"), "not taken"], [numberOf("unfinished"), "left unfinished"], [arrived.length, "sent"]];
    const said = words.filter(([number]) => number).map(([number, what]) => `${number} ${what}`).join(", ");
    if (count.textContent !== said) count.textContent = said;
    const lines = own.map(lineOf);
    if (own.some((draft) => draft.why === "sign-in")) lines.push(signIn());
    else if (numberOf("waiting")) lines.push(button("Send now", () => box.flush()));
    for (const draft of arrived) {
      const line = made("p", `${draft.what}: sent. `, "outbox-line");
      line.append(Object.assign(made("a", "See it"), { href: draft.to }));
      lines.push(line);
    }
    if (all.some((draft) => draft.user !== box.user && draft.state === "waiting")) lines.push(made("p", "Something of somebody else waits on this device; it goes when they sign in.", "basis"));
    list.hidden = !lines.length;
    list.querySelector("div").replaceChildren(...lines);
    const unsent = all.filter((draft) => draft.user === box.user && draft.state !== "sent").length;
    for (const form of document.querySelectorAll("form[data-signs-out]")) {
      if (!unsent) { delete form.dataset.confirm; continue; }
      Object.assign(form.dataset, { confirm: `${unsent} ${unsent === 1 ? "form has" : "forms have"} not been sent from this device. Sign out and lose ${unsent === 1 ? "it" : "them"}?`, confirmYes: "Sign out and throw away" });
    }
  }

  document.addEventListener("submit", (event) => {
    const id = event.target.dataset.throwAway;
    if (!id || event.defaultPrevented) return;
    event.preventDefault();
    box.drop(id);
  });

  let soon = 0;
  document.addEventListener("outbox:changed", () => {
    if (!box.usable) return;
    for (const form of handed.keys()) if (form.inert) follow(form);
    for (const id of takenBack.values()) box.get(id).then((draft) => { if (draft?.state === "sent") go(draft.to); });
    clearTimeout(soon);
    soon = setTimeout(render, 60);
  });
  addEventListener("hashchange", offer);

  box.begun.then((usable) => {
    if (!usable) return;
    ours().forEach((form) => hold(form.elements.form_token.value));
    offer();
    render();
  });
})();

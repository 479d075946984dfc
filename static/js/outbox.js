// The device's outbox. What is written here is kept on the device before anything is sent, and goes once:
// each draft carries its form's own token, and the server answers the same token the same way.
// A draft: {id, user, what, page, url, state, why, at, fields: [[name, text or File]], group, sealed, to}
// Its files lie beside it under "<id>/files", so that words typed later do not write megabytes again.
// state: "unfinished" (typed, not sent), "waiting" (sent as soon as it can be), "refused" (needs a person),
// "sent" (nothing left but its address, so that a page kept by the browser does not use its token again).
"use strict";

window.outbox = (() => {
  const place = document.getElementById("outbox");
  const user = place ? place.dataset.user : "";
  const PATIENCE_MS = { words: 30000, files: 300000 };
  const FORGET = { sent: 3, unfinished: 30 }; // days; what waits is never forgotten
  const DAY_MS = 86400000;
  const shared = "BroadcastChannel" in window ? new BroadcastChannel("outbox") : null;
  let usable = false;
  let running = null;
  let queued = null;
  let pause = 4000;
  let alarm = 0;

  const ready = new Promise((resolve, reject) => {
    const opening = indexedDB.open("wrestplank", 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("drafts", { keyPath: "id" });
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });

  async function inStore(mode, act) {
    const db = await ready;
    return new Promise((resolve, reject) => {
      const transaction = db.transaction("drafts", mode, { durability: "strict" });
      const asked = act(transaction.objectStore("drafts"));
      transaction.oncomplete = () => resolve(asked.result);
      transaction.onerror = transaction.onabort = () => reject(transaction.error);
    });
  }

  const everybody = async () => (await inStore("readonly", (store) => store.getAll())).filter((draft) => draft.state !== "files");
  const mine = async () => (await everybody()).filter((draft) => draft.user === user).sort((a, b) => a.at - b.at);
  const get = (id) => inStore("readonly", (store) => store.get(id));
  const filesOf = (id) => `${id}/files`;
  const isFile = ([, value]) => value instanceof Blob;
  // A draft with the files that belong to it.
  const whole = async (draft) => ({ ...draft, fields: [...draft.fields, ...((await get(filesOf(draft.id)))?.fields || [])] });
  const newToken = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

  // Read and write in one transaction: `edit` gets the draft and returns it changed, null to drop it, or
  // undefined to leave it. Answers what is there afterwards.
  async function change(id, edit) {
    let after;
    await inStore("readwrite", (store) => {
      const asked = store.get(id);
      asked.onsuccess = () => {
        after = asked.result;
        const edited = edit(asked.result);
        if (edited === undefined) return;
        after = edited || undefined;
        if (edited) store.put(edited);
        else store.delete(id);
        if (!edited || edited.state === "sent") store.delete(filesOf(id));
      };
      return asked;
    });
    tell();
    return after;
  }

  // Put one away, in place of another if that is named; with { files: false } those that lie there already stay.
  async function put(draft, { insteadOf, files = true } = {}) {
    const kept = { user, at: Date.now(), why: "", ...draft, fields: draft.fields.filter((field) => !isFile(field)) };
    const chosen = draft.fields.filter(isFile);
    await inStore("readwrite", (store) => {
      if (insteadOf) store.delete(insteadOf);
      if (files && chosen.length) store.put({ id: filesOf(kept.id), user, at: kept.at, state: "files", fields: chosen });
      else if (files) store.delete(filesOf(kept.id));
      const asked = store.put(kept);
      store.transaction.commit?.(); // it is written though the page is left now
      return asked;
    });
    note((noted) => noted.filter((each) => each.draft?.id !== kept.id || each.draft.at > kept.at));
    tell();
  }

  // What is added is noted at once, in a store that does not keep a page waiting, until it is put away.
  const JOURNAL = "outbox-journal";
  function note(edit) {
    try {
      localStorage.setItem(JOURNAL, JSON.stringify(edit(JSON.parse(localStorage.getItem(JOURNAL) || "[]"))));
      return true;
    } catch { return false; } // no such store: then only what was put away outlives the page
  }

  // The words of a draft, noted before they are put away: the page may be left at this moment. True when they are.
  function jot(draft) {
    const kept = { user, at: Date.now(), why: "", ...draft, fields: draft.fields.filter((field) => !isFile(field)) };
    return note((noted) => [...noted.filter((each) => each.draft?.id !== kept.id), { user, draft: kept }]);
  }

  // Fields join what waits in the same group, as long as nothing of it was sent yet: a sealed draft never changes.
  async function add({ group, fields, what, page, url }) {
    const [entry, mark] = [{ what, page, url }, newToken()];
    note((noted) => [...noted, { group, fields, what, page, url, user, mark }]);
    await inStore("readwrite", (store) => {
      const asked = store.getAll();
      asked.onsuccess = () => {
        const open = asked.result.find((draft) => draft.group === group && draft.user === user && draft.state === "waiting" && !draft.sealed);
        const id = newToken();
        store.put(open ? { ...open, ...entry, fields: [...open.fields, ...fields] }
          : { ...entry, id, user, group, at: Date.now(), why: "", state: "waiting", fields: [["form_token", id], ...fields] });
      };
      return asked;
    });
    note((noted) => noted.filter((each) => each.mark !== mark));
    tell();
  }

  async function addWhatWasNoted() {
    let left = [];
    note((noted) => { left = noted.filter((each) => each.user === user); return noted.filter((each) => each.user !== user || each.draft); });
    for (const each of left) await (each.draft ? putJotted(each.draft) : add(each));
  }

  // What was put away or handed over since is newer, and stays.
  async function putJotted(draft) {
    await change(draft.id, (found) => (found && (found.at > draft.at || ["waiting", "sent"].includes(found.state)) ? undefined : draft));
    note((noted) => noted.filter((each) => each.draft?.id !== draft.id || each.draft.at > draft.at));
  }

  const drop = (id) => change(id, () => null);

  async function clear() {
    for (const draft of await mine()) await drop(draft.id);
    note((noted) => noted.filter((each) => each.user !== user));
    if ("caches" in window) for (const name of await caches.keys()) await caches.delete(name);
    tell();
  }

  // Sending ----------------------------------------------------------------------------------------------

  const cookie = (name) => document.cookie.split("; ").find((part) => part.startsWith(`${name}=`))?.slice(name.length + 1) || "";

  async function post(draft) {
    const { fields } = await whole(draft);
    const body = new FormData();
    for (const [name, value] of fields) body.append(name, value);
    const hasFiles = fields.some(isFile);
    const limit = new AbortController();
    const patience = setTimeout(() => limit.abort(), hasFiles ? PATIENCE_MS.files : PATIENCE_MS.words);
    try {
      const headers = { "X-CSRFToken": cookie("__Host-csrftoken") || cookie("csrftoken"), "X-Outbox": user };
      const answer = await fetch(draft.url, { method: "POST", body, headers, signal: limit.signal });
      const became = answer.headers.get("X-Outbox-Answer");
      if (!became) return { became: "lost" }; // somebody else's answer: a hotel's sign-in page, a proxy
      const to = answer.headers.get("X-Outbox-Location") || "";
      return { became, to, status: answer.status, page: became === "refused" ? await answer.text() : "" };
    } catch {
      return { became: "lost" };
    } finally {
      clearTimeout(patience);
    }
  }

  function reasons(page, status) {
    const read = new DOMParser().parseFromString(page, "text/html");
    const lines = [...read.querySelectorAll("#content .form-errors li, #content .error li")].map((line) => line.textContent.trim());
    const head = read.querySelector("#content h1")?.textContent.trim() || "";
    return (status === 200 ? [...new Set(lines)].slice(0, 3).join(" ") : head) || "The shop’s machine did not take it.";
  }

  // What arrived of a group stays in one piece, so that a page opened without a connection can show it.
  async function folded({ group, what, page, fields }) {
    const before = (await get(group))?.fields || [];
    return { id: group, group, what, page, state: "sent", fields: [...new Map([...before, ...fields])] };
  }

  // True when the next one may go: what waits keeps its order, since a later reading corrects an earlier one.
  async function deliver(id) {
    const draft = await change(id, (found) => (found?.state === "waiting" ? { ...found, sealed: true } : undefined));
    if (draft?.state !== "waiting") return true;
    const { became, to, status, page } = await post(draft);
    const { user: whose, what, group, page: from, at } = draft;
    if (became === "done" && group) await put(await folded(draft), { insteadOf: id });
    else if (became === "done") await change(id, () => ({ id, user: whose, what, page: from, at, state: "sent", to, fields: [] }));
    if (became === "refused") await change(id, (found) => found && { ...found, state: "refused", status, why: reasons(page, status) });
    if (became === "sign-in") await change(id, (found) => found && { ...found, why: "sign-in" });
    if (became === "later") await change(id, (found) => found && { ...found, why: "The shop’s machine could not take it just now." });
    if (became === "lost") await change(id, (found) => found && { ...found, why: "No connection." });
    if (became === "done") pause = 4000;
    return became === "done" || became === "refused";
  }

  async function work() {
    clearTimeout(alarm);
    for (;;) {
      const next = (await mine()).find((draft) => draft.state === "waiting");
      if (!next) return;
      if (!(await deliver(next.id))) break;
    }
    pause = Math.min(pause * 2, 60000);
    alarm = setTimeout(flush, pause);
  }

  // One sender at a time, over all tabs where the browser has locks. Whoever asks while one is at work gets the
  // next round, and knows afterwards what became of a draft.
  function flush() {
    if (!usable || !user) return Promise.resolve();
    if (running) return (queued ||= running.then(() => { queued = null; return flush(); }));
    running = (navigator.locks ? navigator.locks.request("outbox", work) : work()).finally(() => { running = null; });
    return running;
  }

  // Telling ----------------------------------------------------------------------------------------------

  function tell(fromAfar = false) {
    document.dispatchEvent(new CustomEvent("outbox:changed"));
    if (!fromAfar) shared?.postMessage("changed");
  }
  if (shared) shared.onmessage = () => tell(true);

  async function begin() {
    await ready;
    usable = true;
    await addWhatWasNoted();
    const now = Date.now();
    for (const draft of await everybody()) {
      if (now - draft.at > DAY_MS * (FORGET[draft.state] || Infinity)) await drop(draft.id);
    }
    addEventListener("online", flush);
    addEventListener("focus", flush);
    document.addEventListener("visibilitychange", () => { if (!document.hidden) flush(); });
    tell(true);
    flush();
  }
  const begun = user ? begin().then(() => true, () => false) : Promise.resolve(false);

  return { place, user, begun, get usable() { return usable; }, mine, everybody, get, whole, put, jot, add, change, drop, clear, flush, newToken };
})();

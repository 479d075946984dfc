// What pages do beyond plain links and forms. Every page works without it.
"use strict";

(() => {
  const confirmed = new WeakSet();
  const guarded = new Set();
  const words = (tag, text, className = "") => {
    const element = document.createElement(tag);
    element.textContent = text;
    element.className = className;
    return element;
  };

  function say(text) {
    const place = document.getElementById("said");
    if (!place || !text) return;
    place.textContent = "";
    setTimeout(() => { place.textContent = text; }, 60);
  }

  // A form (or its button) with data-confirm="Delete the photo of the frame?" asks first.
  // data-confirm-yes="Delete" names the answer.
  function ask(form, button, question) {
    const dialog = words("dialog", "", "ask");
    const line = words("p", question);
    line.id = "ask-question";
    dialog.setAttribute("aria-labelledby", line.id);
    const yes = words("button", button?.dataset.confirmYes || form.dataset.confirmYes || button?.textContent.trim() || "Yes", "button");
    const no = words("button", "Leave it as it is", "button quiet");
    const actions = words("div", "", "actions");
    actions.append(yes, no);
    dialog.append(line, actions);
    document.body.append(dialog);
    no.addEventListener("click", () => dialog.close());
    yes.addEventListener("click", () => {
      dialog.close();
      confirmed.add(form);
      form.requestSubmit(button || undefined);
    });
    dialog.addEventListener("close", () => { dialog.remove(); button?.focus(); });
    dialog.showModal();
    no.focus();
  }

  // Capture: this must come before htmx's own listener on the form.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    const question = event.submitter?.dataset.confirm || form.dataset.confirm;
    if (!question || confirmed.delete(form)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    ask(form, event.submitter, question);
  }, true);

  // A second press of the same button sends nothing twice.
  // Asked of the attribute: a box named "method" (paid by card, by transfer) hides the form's own.
  const isPost = (form) => form.getAttribute("method")?.toLowerCase() === "post";
  const buttonsOf = (form) => [...form.elements].filter((element) => element.type === "submit");
  function hold(form) {
    form.setAttribute("aria-busy", "true");
    // After this turn, so that the pressed button's own name still goes with the form.
    setTimeout(() => buttonsOf(form).forEach((button) => { button.disabled = true; button.dataset.held = ""; }), 0);
  }
  function release(form) {
    form.removeAttribute("aria-busy");
    buttonsOf(form).filter((button) => "held" in button.dataset).forEach((button) => {
      button.disabled = false;
      delete button.dataset.held;
    });
  }
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || !isPost(form)) return;
    guarded.delete(form);
    hold(form);
    setTimeout(() => release(form), 20000); // an answer may be a download, which leaves the page standing
  });
  addEventListener("pageshow", () => document.querySelectorAll("form[aria-busy]").forEach(release));

  document.addEventListener("form:released", (event) => release(event.target)); // the outbox gives it back

  // A form with data-guard warns before what was typed is left behind, unless the outbox has it (data-kept).
  document.addEventListener("input", (event) => {
    const form = event.target.form;
    if (form && event.target.name && "guard" in form.dataset) guarded.add(form);
    if (event.target.localName === "textarea") grow(event.target);
  });
  addEventListener("beforeunload", (event) => {
    if ([...guarded].some((form) => form.isConnected && !("kept" in form.dataset))) event.preventDefault();
  });

  function grow(area) {
    if (CSS.supports("field-sizing", "content")) return;
    area.style.height = "auto";
    area.style.height = `${area.scrollHeight + 2}px`;
  }

  // Chosen photographs are shown with their number and size; data-max-bytes flags one that is too large.
  const isNoPicture = (input, file) => /^image\/[^,]+(,|$)/.test(input.accept) && file.type && !file.type.startsWith("image/");
  function preview(input) {
    const old = input.parentElement.querySelector(".previews");
    old?.querySelectorAll("img").forEach((image) => URL.revokeObjectURL(image.src));
    old?.remove();
    input.parentElement.querySelector(".previews-count")?.remove();
    const files = [...input.files];
    if (!files.length) return;
    const most = Number(input.dataset.maxBytes || Infinity);
    const list = words("ul", "", "previews");
    for (const file of files) {
      const item = document.createElement("li");
      if (/^(image\/(jpeg|png|webp|avif|hei[cf]))$/.test(file.type)) {
        const image = document.createElement("img");
        image.alt = "";
        image.addEventListener("error", () => image.remove());
        image.src = URL.createObjectURL(file);
        item.append(image);
      }
      const wrong = file.size > most ? ": too large" : isNoPicture(input, file) ? ": not a photograph" : "";
      item.append(words("span", file.name + wrong, wrong && "out"));
      list.append(item);
    }
    const megabytes = files.reduce((sum, file) => sum + file.size, 0) / 1e6;
    const count = `${files.length} ${files.length === 1 ? "file" : "files"} chosen, ${megabytes.toFixed(1)} MB`;
    input.after(words("p", count, "help previews-count"), list);
    say(count);
  }
  document.addEventListener("change", ({ target }) => {
    if (target.type === "file") preview(target);
  });

  function settle(root) {
    root.querySelectorAll("textarea").forEach(grow);
    const errors = root.querySelector(".form-errors");
    if (errors) { errors.tabIndex = -1; errors.focus(); }
  }

  // Enter in a box that finds (a field of includes/find_choice.html) finds, and sends nothing.
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !window.htmx || !("finds" in event.target.dataset)) return;
    event.preventDefault();
    event.target.dispatchEvent(new Event("find"));
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest("button[name=find]");
    if (!button || !window.htmx) return;
    event.preventDefault();
    button.closest("fieldset").querySelector("[data-finds]").dispatchEvent(new Event("find"));
  });

  // After htmx has put something in place: focus what asks for it, say what was done.
  document.addEventListener("htmx:afterSettle", ({ detail: { elt } }) => {
    const root = elt || document.body;
    settle(root);
    const here = (name) => (root.matches(`[${name}]`) ? root : root.querySelector(`[${name}]`));
    here("data-focus")?.focus();
    say(here("data-say")?.dataset.say);
  });
  // Such a list goes at once: htmx would tell each part, and nothing listens.
  document.addEventListener("htmx:beforeSwap", ({ detail: { shouldSwap, target } }) => {
    if (shouldSwap && "onlyWords" in target.dataset) target.replaceChildren();
  });
  document.addEventListener("htmx:beforeRequest", ({ detail: { elt } }) => {
    if (elt.localName === "form") { guarded.delete(elt); hold(elt); }
  });
  document.addEventListener("htmx:afterRequest", ({ detail: { elt } }) => {
    if (elt.localName === "form") release(elt);
  });
  document.addEventListener("htmx:responseError", ({ detail: { xhr } }) => {
    const words = xhr.status === 503 ? new DOMParser().parseFromString(xhr.responseText, "text/html").querySelector(".lede") : null;
    say(words?.textContent || "That was refused or failed, and nothing was changed. Please try again.");
  });
  for (const silence of ["htmx:sendError", "htmx:timeout"]) {
    document.addEventListener(silence, () => say("No answer came back. Look whether it was done before you try again."));
  }

  document.addEventListener("DOMContentLoaded", () => settle(document.body));
})();

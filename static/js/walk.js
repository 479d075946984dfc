// The walk-round: "all of this group sound" presses the choices of every part nobody looked at yet, but for those
// with a fault on file (the server marks the open ones, data-open), and can be taken back before it is saved. Without this file the button sends the form, and the server does the same.
"use strict";

(() => {
  const form = document.querySelector("form[data-walk]");

  // What the outbox brought back is opened, so that it is seen before it is sent.
  form?.addEventListener("outbox:restored", () => {
    for (const part of form.querySelectorAll("[data-part]")) {
      const isChanged = [...part.querySelectorAll("[name]")].some((field) => (/radio|checkbox/.test(field.type)
        ? field.checked !== field.defaultChecked : field.type !== "hidden" && field.value !== (field.defaultValue ?? "")));
      const opener = part.querySelector(".walk-open, .walk-more-open");
      if (isChanged && opener) opener.checked = true;
    }
  });

  const all = form?.querySelector("[data-all-sound]");
  if (!all) return;
  const heads = [all.textContent, all.dataset.undo];
  let pressed = [];

  function press(choices, isSound) {
    choices.forEach((choice) => { choice.checked = isSound; });
    pressed = isSound ? choices : [];
    all.textContent = heads[pressed.length ? 1 : 0];
    // The page asks before it is left, and the outbox keeps it, as if a thumb had pressed each.
    choices[0].dispatchEvent(new Event("input", { bubbles: true }));
    form.dispatchEvent(new CustomEvent("form:changed", { bubbles: true }));
  }

  all.addEventListener("click", (event) => {
    event.preventDefault();
    if (pressed.length) return press(pressed, false);
    const open = [...form.querySelectorAll("[data-part][data-open]")]
      .filter((part) => !part.querySelector("[name$='-condition']:checked"))
      .map((part) => part.querySelector("[value='sound']"));
    if (open.length) press(open, true);
  });
})();

// A drawn keyboard of boxes: one stop for Tab, arrows from key to key, Shift for a run of keys.
"use strict";

document.querySelectorAll("[data-key-strip]").forEach((strip) => {
  const boxes = [...strip.querySelectorAll("input")];
  const said = strip.closest("fieldset")?.querySelector("[data-key-said]");
  let anchor = 0; // where a run begins
  let run = new Set(); // the boxes that the run has pressed by itself

  const moves = (here) => ({
    ArrowLeft: here - 1, ArrowRight: here + 1, ArrowDown: here - 12, ArrowUp: here + 12, Home: 0, End: boxes.length - 1,
  });

  function tell() {
    const names = boxes.filter((box) => box.checked).map((box) => box.dataset.name);
    const first = names.slice(0, 12).join(", ");
    said.textContent = names.length
      ? `${names.length} ${names.length === 1 ? "key" : "keys"} pressed: ${first}${names.length > 12 ? " …" : ""}` : "";
  }

  function stopAt(box) {
    boxes.forEach((other) => { other.tabIndex = other === box ? 0 : -1; });
  }

  // Everything from the anchor to this key is pressed; what the run had pressed beyond it is let go again.
  function stretch(to) {
    const [low, high] = [Math.min(anchor, to), Math.max(anchor, to)];
    run.forEach((box) => { box.checked = false; });
    run = new Set(boxes.slice(low, high + 1).filter((box) => !box.checked));
    run.forEach((box) => { box.checked = true; });
    strip.dispatchEvent(new Event("input", { bubbles: true }));
    tell();
  }

  function begin(at) {
    anchor = at;
    run = new Set();
  }

  strip.addEventListener("keydown", (event) => {
    const here = boxes.indexOf(event.target);
    const wanted = moves(here)[event.key];
    if (here < 0 || wanted === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const to = Math.max(0, Math.min(boxes.length - 1, wanted));
    if (event.shiftKey) stretch(to);
    else begin(to);
    stopAt(boxes[to]);
    boxes[to].focus();
  });

  strip.addEventListener("click", (event) => {
    const at = boxes.indexOf(event.target);
    if (at < 0) return;
    if (event.shiftKey) {
      event.target.checked = true;
      stretch(at);
    } else begin(at);
    stopAt(event.target);
  });

  strip.addEventListener("change", tell); // a draft put back into the form presses keys as well
  stopAt(boxes.find((box) => box.checked) || boxes[0]);
  tell();
});

// In a list of boxes, Enter goes to the next one instead of sending the form half filled; Shift and Enter go back.
"use strict";

document.addEventListener("keydown", (event) => {
  const list = event.target.closest("[data-enter-next]");
  if (!list || event.key !== "Enter") return;
  event.preventDefault();
  const boxes = [...list.querySelectorAll("input")];
  const next = boxes[boxes.indexOf(event.target) + (event.shiftKey ? -1 : 1)];
  if (!next) return;
  next.focus();
  next.select();
});

// What stands after the # of a link is sent to nobody: it is put into its box here, and taken off the address.
"use strict";

{
  const box = document.querySelector("[data-from-fragment]");
  const proof = location.hash.slice(1);
  if (box && proof) {
    box.value = proof;
    history.replaceState(null, "", location.pathname);
  }
  if (box?.value && !box.hasAttribute("aria-invalid")) {
    const field = box.closest(".field");
    box.type = "hidden";
    field.before(box);
    field.remove();
  }
}

// A listing's editor: where a sentence comes from, on hover and focus; counts of characters; a copy of the notice.
"use strict";

(() => {
  // Without script every source stands under its sentence. With it, a sentence is a button that shows its own.
  document.querySelectorAll("[data-sentences]").forEach((list) => {
    list.classList.add("live");
    list.querySelectorAll("li").forEach((item) => {
      const words = item.querySelector(".sentence");
      const button = document.createElement("button");
      button.type = "button";
      button.className = "sentence";
      button.textContent = words.textContent;
      button.setAttribute("aria-describedby", item.querySelector(".sentence-source").id);
      words.replaceWith(button);
      button.addEventListener("click", () => { item.classList.remove("shut"); button.focus(); });
      item.addEventListener("keydown", (event) => { if (event.key === "Escape") item.classList.add("shut"); });
      item.addEventListener("mouseleave", () => item.classList.remove("shut"));
      item.addEventListener("focusout", (event) => {
        if (!item.contains(event.relatedTarget)) item.classList.remove("shut");
      });
    });
  });
  addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    document.querySelectorAll("[data-sentences] li:hover").forEach((item) => item.classList.add("shut"));
  });

  document.querySelectorAll("textarea[data-count]").forEach((area) => {
    const place = document.getElementById(area.dataset.count);
    if (!place) return;
    const most = place.dataset.most;
    const tell = () => {
      const length = [...area.value.replace(/\s+/g, " ").trim()].length;
      place.textContent = `${length}${most ? ` of ${most}` : ""} characters`;
      place.classList.toggle("out", Boolean(most) && length > Number(most));
    };
    area.addEventListener("input", tell);
    tell();
  });

  document.querySelectorAll("button[data-copy]").forEach((button) => {
    const area = document.getElementById(button.dataset.copy);
    if (!area || !navigator.clipboard) return;
    button.hidden = false;
    button.addEventListener("click", async () => {
      await navigator.clipboard.writeText(area.value);
      button.textContent = "Copied";
    });
  });
})();

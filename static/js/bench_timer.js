// Keeps the elapsed time of a running timer right while its page is open. The shop's own computer counts the
// minutes; this only shows them between two loadings of the page, and by the device's clock only from the one on.
"use strict";

(() => {
  const loaded = Date.now();
  const words = (minutes) => {
    const hours = Math.floor(minutes / 60);
    const rest = minutes % 60;
    if (!hours) return `${rest} min`;
    return rest ? `${hours} h ${String(rest).padStart(2, "0")}` : `${hours} h`;
  };
  function tell() {
    for (const place of document.querySelectorAll("[data-elapsed]")) {
      const seconds = Number(place.dataset.elapsed) + (Date.now() - loaded) / 1000;
      const said = words(Math.max(0, Math.floor(seconds / 60 + 0.5)));
      if (place.textContent !== said) place.textContent = said;
    }
  }
  setInterval(tell, 5000);
  document.addEventListener("visibilitychange", tell);
})();

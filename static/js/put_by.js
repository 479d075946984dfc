// Pages that open again on this device without a connection: one whose form says data-outbox-offline is put by,
// with those that its links of the same word lead to (offline_worker.js serves them).
"use strict";

(() => {
  const box = window.outbox;
  if (!box?.user) return;
  const MOST_PAGES = 12;
  const here = location.pathname + location.search;
  // Nobody reads what is put by now: the server keeps for the next page what it has to say.
  const putBy = (address) => new Request(address, { headers: { "X-Puts-By": "yes" } });

  async function keepPage() {
    for (const name of "caches" in window ? await caches.keys() : []) if (name !== `pages-${box.user}`) await caches.delete(name);
    if (!navigator.onLine || !("serviceWorker" in navigator) || !document.querySelector("form[data-outbox-offline]")) return;
    await navigator.serviceWorker.register(box.place.dataset.worker);
    const cache = await caches.open(`pages-${box.user}`);
    const page = await fetch(putBy(here));
    if (!page.ok || page.redirected) return;
    await cache.put(here, page);
    const parts = [...document.querySelectorAll("link[rel=stylesheet], link[rel=preload], script[src]")].map((part) => part.href || part.src);
    for (const part of parts) if (!(await cache.match(part))) await cache.add(part);
    // The pages one goes on to, such as the other stations of a walk.
    for (const link of document.querySelectorAll("a[data-outbox-offline]")) if (!(await cache.match(link.href))) await cache.add(putBy(link.href));
    const pages = (await cache.keys()).filter((kept) => !parts.includes(kept.url) && !/\.\w+$/.test(new URL(kept.url).pathname));
    for (const old of pages.slice(0, -MOST_PAGES)) await cache.delete(old);
    box.place.dataset.offline = "ready";
  }

  // Without a secure address there is no worker, and nothing else is lost.
  box.begun.then((usable) => { if (usable) keepPage().catch(() => {}); });
})();

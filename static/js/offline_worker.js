// Opens a page again that was put by (see put_by.js) when the shop cannot be reached. Never in the way otherwise.
"use strict";

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(clients.claim()));
addEventListener("fetch", (event) => {
  const { method, destination } = event.request;
  if (method !== "GET" || !["document", "script", "style", "font"].includes(destination)) return;
  event.respondWith(fetch(event.request).catch(async (failure) => {
    const kept = await caches.match(event.request, { ignoreVary: true });
    if (!kept) throw failure;
    return kept;
  }));
});

// The files of this site are kept in the browser, so that it works without a network. They are asked for once; a new edition has
// another name, and takes the place of the one before at the next visit.
"use strict";
addEventListener("install", (e) => e.waitUntil(caches.open(kept).then((c) => c.addAll(files.map((f) => new Request(f, { cache: "reload" })))).then(() => skipWaiting())));
addEventListener("activate", (e) => e.waitUntil(caches.keys().then((all) => Promise.all(all.filter((k) => k.startsWith("advisor-") && k !== kept).map((k) => caches.delete(k)))).then(() => clients.claim())));
addEventListener("fetch", (e) => {
  if (e.request.method !== "GET" || !e.request.url.startsWith(registration.scope)) return;
  e.respondWith(caches.open(kept).then((c) => c.match(e.request, { ignoreSearch: true })).then((have) => have || fetch(e.request)));
});

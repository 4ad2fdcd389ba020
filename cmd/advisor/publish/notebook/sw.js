// Whatever is asked of this folder is answered here, by the program, in the browser: nothing of it goes to a server. What was changed is
// kept before the answer is given, since a browser may end this worker at any time.
"use strict";
importScripts("advisor/disk.js", "advisor/wasm_exec.js");
const base = new URL(registration.scope).pathname.slice(0, -1), place = "advisor notebook " + base;
const here = (name) => new URL(name, registration.scope).href;

addEventListener("install", (e) => e.waitUntil(caches.open(place + edition).then((c) => c.addAll(files.map((f) => new Request(here(f), { cache: "reload" })))).then(() => skipWaiting())));
addEventListener("activate", (e) => e.waitUntil(caches.keys().then((all) => Promise.all(all.filter((k) => k.startsWith(place + " ") && k !== place + edition).map((k) => caches.delete(k)))).then(() => clients.claim())));
const kept = async (request) => await (await caches.open(place + edition)).match(request) || fetch(request);

let program;
const begin = async () => {
  await disk.load(place);
  const packed = (await kept(here("advisor/engine.wasm.gz"))).body.pipeThrough(new DecompressionStream("gzip"));
  const go = new Go();
  go.argv = ["page", base, await disk.secret()];
  const { instance } = await WebAssembly.instantiateStreaming(new Response(packed, { headers: { "Content-Type": "application/wasm" } }), go.importObject);
  const started = new Promise((done) => { globalThis.started = done; });
  const over = go.run(instance).then(() => { throw new Error("the program has ended"); });
  const answer = await Promise.race([started, over]);
  program = (...asked) => Promise.race([answer(...asked), over]);
};

// One request after the other, in all tabs.
const turn = (request, body) => navigator.locks.request(place, async () => {
  if (!program || !await disk.current()) await begin();
  try {
    const said = await program(request.method, request.url.slice(registration.scope.length - 1), [...request.headers].flat(), body);
    await disk.keep();
    return said;
  } catch (fault) {
    program = undefined; // what it knows is not what is kept
    throw fault;
  }
});

const reply = async (request) => {
  try {
    const said = await turn(request, new Uint8Array(await request.arrayBuffer()));
    const headers = new Headers(said.headers), to = headers.get("Location");
    if (to) return Response.redirect(new URL(to, request.url), said.status);
    return new Response(said.status === 204 ? null : said.body, { status: said.status, headers });
  } catch (fault) {
    return new Response(`This could not be done, and nothing was saved: ${fault.message || fault}. Go back, and try again. If it stays so, the browser lets this page keep nothing, or has no room left.`,
      { status: 500, headers: { "Content-Type": "text/plain; charset=utf-8" } });
  }
};

addEventListener("fetch", (e) => {
  if (!e.request.url.startsWith(registration.scope)) return;
  const path = new URL(e.request.url).pathname.slice(base.length + 1);
  if (path === "sw.js") return;
  if (path === "index.html") return e.respondWith(Response.redirect(registration.scope));
  e.respondWith(path.startsWith("advisor/") ? kept(e.request) : reply(e.request));
});

// The engine in a worker. It is sent its program once, compressed, as bytes or as where they are; then {id, what, text}, and answers
// {id, text} or {id, error}.
"use strict";
let ready;
const start = async (engine) => {
  const packed = typeof engine === "string" ? (await fetch(engine)).body : new Blob([engine]).stream();
  const program = packed.pipeThrough(new DecompressionStream("gzip"));
  const go = new Go();
  const made = await WebAssembly.instantiateStreaming(new Response(program, { headers: { "Content-Type": "application/wasm" } }), go.importObject);
  go.run(made.instance);
};
onmessage = async (e) => {
  const { id, what, text, engine } = e.data;
  try {
    if (engine) ready = start(engine);
    await ready;
    postMessage({ id, ...(what ? advise(what, text) : {}) });
  } catch (fault) {
    postMessage({ id, error: String(fault) });
  }
};

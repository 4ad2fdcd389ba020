// The page asks the engine in a worker as one types, and shows what it says. Nothing is sent anywhere, and nothing is kept.
"use strict";
(() => {
  const at = (id) => document.getElementById(id);
  const words = JSON.parse(at("words").textContent), form = at("form"), status = at("status"), said = at("said");
  const bytes = (id) => Uint8Array.from(atob(at(id).textContent), (c) => c.charCodeAt(0));
  const inside = at("engine") !== null;
  if (!inside && location.protocol === "file:") { // no browser starts a worker there
    status.textContent = words.disk;
    return;
  }

  const worker = new Worker(inside ? URL.createObjectURL(new Blob([bytes("worker")], { type: "text/javascript" })) : "advisor/worker.js");
  const waiting = new Map();
  let last = 0;
  const ask = (what, text, engine) => new Promise((done, fail) => {
    waiting.set(++last, { done, fail });
    worker.postMessage({ id: last, what, text, engine });
  });
  worker.onmessage = ({ data }) => {
    const w = waiting.get(data.id);
    waiting.delete(data.id);
    if (data.error === undefined) w.done(data.text); else w.fail(new Error(data.error));
  };
  worker.onerror = (e) => { for (const w of waiting.values()) w.fail(new Error(e.message || "the engine is not there")); };

  const today = () => { const d = new Date(); return [d.getFullYear(), d.getMonth() + 1, d.getDate()].map((n) => String(n).padStart(2, "0")).join("-"); };
  const asked = () => {
    const body = {};
    for (const f of form.querySelectorAll("[data-measure]")) if (f.value.trim()) body[f.dataset.measure] = f.value.trim();
    let stretch = at("stretch").value.trim();
    if (/^[\d.,]+$/.test(stretch)) stretch += " %";
    const chosen = (name) => form.querySelector(`input[name=${name}]:checked`).value;
    return { body, stretch, ease: chosen("ease"), units: chosen("units"), today: today() };
  };

  const notes = (all) => {
    for (const slot of document.querySelectorAll(".notes")) slot.replaceChildren();
    for (const f of form.querySelectorAll("[aria-invalid]")) f.removeAttribute("aria-invalid");
    for (const n of all || []) {
      const p = document.createElement("p");
      p.className = n.wrong ? "note wrong" : "note";
      p.textContent = n.text;
      (at("n-" + (n.field || "")) || at("n-")).append(p);
      const field = at("m_" + n.field) || at(n.field || "");
      if (n.wrong && field) field.setAttribute("aria-invalid", "true");
    }
  };
  const show = (reply) => {
    const open = at("whole") && at("whole").open;
    said.innerHTML = reply.html; // which the engine escaped; the policy lets nothing in it run
    if (open && at("whole")) at("whole").open = true;
    at("sheet").innerHTML = reply.sheet || "";
    at("to-sheet").hidden = !reply.sheet;
    notes(reply.notes);
  };

  // A screen reader says the size, which everybody else sees.
  const say = (text, unseen) => { status.textContent = text; status.className = unseen ? "unseen" : "note"; };
  let turn = 0, timer;
  const answer = async () => {
    const mine = ++turn, q = asked();
    if (!Object.keys(q.body).length) {
      show({ html: "" });
      say(words.empty);
    } else {
      const reply = JSON.parse(await ask("ask", JSON.stringify(q)));
      if (mine !== turn) return;
      show(reply);
      say(reply.size ? `${words.answer}: ${reply.size}` : "", true);
    }
    document.documentElement.dataset.turn = mine;
    grown();
  };
  const failed = (fault) => { say(`${words.failed} (${fault.message})`); document.documentElement.dataset.failed = fault.message; };
  const soon = () => { clearTimeout(timer); timer = setTimeout(() => answer().catch(failed), 60); };

  // A page that is framed tells the page around it how high it is, and nothing else.
  const grown = () => { if (parent !== window) parent.postMessage({ advisor: "height", height: document.documentElement.scrollHeight }, "*"); };
  new ResizeObserver(grown).observe(document.body);

  form.addEventListener("submit", (e) => e.preventDefault());
  form.addEventListener("input", soon);
  at("print").addEventListener("click", () => print());
  addEventListener("beforeprint", () => { const s = at("sheet"); s.hidden = !s.innerHTML; });
  addEventListener("afterprint", () => { at("sheet").hidden = true; });

  // For those who try the page: the bytes of an answer, and how long things took.
  window.advisor = { open: (p) => ask("open", JSON.stringify(p)), json: (q) => ask("json", JSON.stringify(q)), ask: async (q) => JSON.parse(await ask("ask", JSON.stringify(q))) };
  const began = performance.now();
  ask("", "", inside ? bytes("engine") : new URL("advisor/engine.wasm.gz", location.href).href)
    .then(() => ask("open", at("published").textContent))
    .then(() => { document.documentElement.dataset.ready = Math.round(performance.now() - began); })
    .then(answer).catch(failed);
  if (!inside && "serviceWorker" in navigator && location.protocol.startsWith("http")) navigator.serviceWorker.register("sw.js").catch(() => {});
})();

// The answer follows as one types: a moment after the last key the form is sent, and what comes back replaces the answer
// and what is said at the fields. Without this script the buttons do the same.
"use strict";
(() => {
  // The light that was chosen stays so, on this machine.
  const lights = [...document.querySelectorAll("input[name=light]")];
  const kept = localStorage.getItem("light");
  for (const l of lights) {
    if (l.value === kept) l.checked = true;
    l.addEventListener("change", () => localStorage.setItem("light", l.value));
  }

  // What is typed of how a garment came out is kept as it is typed.
  for (const keeps of document.querySelectorAll("form[data-keeps]")) {
    let later;
    keeps.addEventListener("input", () => {
      clearTimeout(later);
      later = setTimeout(() => {
        const data = new URLSearchParams(new FormData(keeps));
        data.set("do", "keep");
        fetch(keeps.action, { method: "POST", body: data, keepalive: true }).catch(() => {});
      }, 40);
    });
  }

  const form = document.getElementById("form"), answer = document.getElementById("answer");
  if (!form) return;
  const pause = 40; // milliseconds without a key
  let timer, asking;
  document.documentElement.classList.add("follows");

  // What is open and where the focus is stay so.
  const place = (e) => e && answer.contains(e) ? [e.tagName, e.id, e.name, e.value].join("|") : null;
  const opened = () => [...answer.querySelectorAll("details")].map((d) => d.open);

  const show = (html) => {
    const focus = place(document.activeElement), open = opened();
    answer.innerHTML = html;
    const details = [...answer.querySelectorAll("details")];
    if (details.length === open.length) details.forEach((d, i) => { d.open = open[i]; });
    if (focus) {
      const same = [...answer.querySelectorAll("button, input, summary, [tabindex]")].find((e) => place(e) === focus);
      (same || answer).focus({ preventScroll: true });
    }
    const told = answer.querySelector(".told");
    for (const slot of form.querySelectorAll(".notes")) {
      const note = told.querySelector(`[data-note="${CSS.escape(slot.id.slice(2))}"]`);
      const text = note ? note.innerHTML : "";
      if (slot.innerHTML !== text) slot.innerHTML = text;
      const field = document.getElementById(slot.id.slice(2));
      if (field && field.matches("input, textarea")) {
        if (note && note.dataset.wrong) field.setAttribute("aria-invalid", "true"); else field.removeAttribute("aria-invalid");
      }
    }
    told.remove();
    const peek = document.getElementById("peek"), result = answer.querySelector(".result");
    if (peek) peek.textContent = !result ? "" : result.dataset.size ? "Size " + result.dataset.size : "No size as it is";
  };

  // What is asked with: the form, the button that was pressed, and what is typed into "What if" once that is whole.
  const typed = (pressed, whole) => {
    const data = new FormData(form);
    if (pressed) data.append(pressed.name, pressed.value);
    if (!whole) data.delete("what_if");
    return new URLSearchParams(data);
  };
  // A button that is being pressed stays where it is until it is let go.
  let held;
  answer.addEventListener("pointerdown", () => {
    held = new Promise((free) => ["pointerup", "pointercancel"].forEach((end) => addEventListener(end, () => setTimeout(free), { once: true })));
  });

  const failed = (e) => { if (e.name !== "AbortError") answer.textContent = "The program does not answer. Is it still running?"; };
  const turned = () => { answer.dataset.turn = Number(answer.dataset.turn || 0) + 1; };
  let drawing = false, late; // what was asked while the page was being drawn anew

  const ask = async (pressed, whole) => {
    clearTimeout(timer);
    if (drawing) { late = { pressed: pressed || late && late.pressed, whole: whole || Boolean(late && late.whole) }; return; }
    if (asking) asking.abort();
    const mine = asking = new AbortController(), began = performance.now(), data = typed(pressed, whole);
    try {
      const reply = await fetch(form.dataset.asks, { method: "POST", body: data, signal: mine.signal });
      const text = await reply.text();
      await held;
      if (mine !== asking) return;
      if (reply.ok) show(text); else answer.textContent = text;
      // A change that could be read stands among those that are tried, and no longer in its field.
      const field = document.getElementById("what_if");
      if (field && field.value === data.get("what_if") && !field.hasAttribute("aria-invalid")) field.value = "";
      answer.dataset.took = (performance.now() - began).toFixed(1);
      turned();
    } catch (e) {
      failed(e);
    }
  };

  // Another file, or another type, has other fields. All of the page is asked for and taken over element by element, so
  // that whoever is choosing or typing goes on where they are; what was typed since it was asked for stays.
  const state = (e) => e.type === "checkbox" || e.type === "radio" ? e.checked : e.value;
  const put = (e, value) => {
    if (typeof value === "boolean") e.checked = value; else if (e.value !== value) e.value = value;
  };
  const named = () => [...form.elements].filter((e) => e.id && e.matches("input, select, textarea"));
  const known = (n) => [n.nodeName, n.id, n.name].join("|");
  const takeOver = (old, fresh) => {
    for (const a of fresh.attributes) if (old.getAttribute(a.name) !== a.value) old.setAttribute(a.name, a.value);
    for (const a of [...old.attributes]) if (a.name !== "open" && a.name !== "style" && !fresh.hasAttribute(a.name)) old.removeAttribute(a.name);
    if (old.matches("textarea")) return;
    let at = old.firstChild;
    const dropTo = (end) => { while (at !== end) { const gone = at; at = at.nextSibling; gone.remove(); } };
    for (const child of [...fresh.childNodes]) {
      let same = at;
      while (same && known(same) !== known(child)) same = same.nextSibling;
      if (!same) { old.insertBefore(child, at); continue; }
      dropTo(same);
      at = same.nextSibling;
      if (child.nodeType === Node.ELEMENT_NODE) takeOver(same, child); else same.nodeValue = child.nodeValue;
    }
    dropTo(null);
  };
  const draw = async (pressed) => {
    clearTimeout(timer);
    if (asking) asking.abort();
    asking = null;
    const sent = new Map(named().map((e) => [e.id, state(e)]));
    const reply = await fetch(form.action, { method: "POST", body: typed(pressed, false) });
    const page = new DOMParser().parseFromString(await reply.text(), "text/html");
    await held;
    const values = new Map([...page.querySelectorAll(".asked :is(input, select, textarea)")].filter((e) => e.id).map((e) => [e.id, state(e)]));
    for (const e of named()) {
      if (e.id === "what_if" || sent.has(e.id) && sent.get(e.id) !== state(e)) values.set(e.id, state(e));
    }
    const focus = document.activeElement, caret = focus.matches("input:not([type]), textarea") && [focus.selectionStart, focus.selectionEnd];
    takeOver(form.querySelector(".asked"), page.querySelector(".asked"));
    answer.replaceChildren(...page.getElementById("answer").childNodes);
    document.getElementById("peek").replaceChildren(...page.getElementById("peek").childNodes);
    for (const e of named()) {
      if (values.has(e.id)) put(e, values.get(e.id));
      if (e.matches("#chart, #finished")) columns(e);
    }
    const same = focus.id && document.getElementById(focus.id);
    if (same && same !== document.activeElement) {
      same.focus({ preventScroll: true });
      if (caret) same.setSelectionRange(...caret);
    }
    turned();
  };
  const wanted = new Set();
  const redraw = async (id) => {
    wanted.add(id);
    if (drawing) return;
    drawing = true;
    try {
      for (const next of wanted) {
        wanted.delete(next);
        await draw(document.getElementById(next));
      }
    } catch (e) {
      failed(e);
    }
    drawing = false;
    if (late) {
      const { pressed, whole } = late;
      late = null;
      ask(pressed, whole);
    }
  };
  const soon = (e) => {
    clearTimeout(timer);
    const changed = e.type === "change", opens = e.target.dataset.opens;
    if (e.target.id === "what_if") return void (changed && ask(null, true));
    if (changed && opens) return redraw("open-" + opens);
    if (changed && e.target.matches("#recipe, #kept_recipe, [name=units]")) return redraw("redraw");
    timer = setTimeout(ask, changed ? 0 : pause);
  };
  // A line of a recipe that is spoken of is led to.
  answer.addEventListener("click", (e) => {
    const line = e.target.closest("a[data-line]"), text = document.getElementById("text");
    if (!line || !text) return;
    e.preventDefault();
    const lines = text.value.split("\n"), n = Number(line.dataset.line) - 1;
    const from = lines.slice(0, n).join("\n").length + (n ? 1 : 0);
    text.focus();
    text.setSelectionRange(from, from + lines[n].length);
  });
  // Each size stays above its column as a table is typed or pasted.
  const columns = (table) => {
    const rows = table.value.split("\n").map((row) => row.split("\t")).filter((row) => row.length > 1);
    table.style.tabSize = rows.length ? Math.min(40, Math.max(8, 2 + Math.max(...rows.flat().map((cell) => cell.length)))) : "";
  };
  form.addEventListener("input", (e) => { if (e.target.matches("#chart, #finished")) columns(e.target); });
  form.addEventListener("input", soon);
  form.addEventListener("change", soon);
  form.addEventListener("submit", (e) => {
    const b = e.submitter;
    if (b && !(b.name === "do" && b.value === "answer") && b.value !== "check" && b.name !== "with" && b.name !== "why_not") return;
    e.preventDefault();
    ask(b && { name: b.name, value: b.value }, true);
  });
})();

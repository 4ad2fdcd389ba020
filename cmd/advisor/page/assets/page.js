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

  const ask = async (button) => {
    clearTimeout(timer);
    if (asking) asking.abort();
    const mine = asking = new AbortController(), began = performance.now();
    try {
      const reply = await fetch(form.dataset.asks || "/answer", { method: "POST", body: new URLSearchParams(new FormData(form, button)), signal: mine.signal });
      const text = await reply.text();
      if (mine !== asking) return;
      if (reply.ok) show(text); else answer.textContent = text;
      answer.dataset.took = (performance.now() - began).toFixed(1);
      answer.dataset.turn = Number(answer.dataset.turn || 0) + 1;
    } catch (e) {
      if (e.name !== "AbortError") answer.textContent = "The program does not answer. Is it still running?";
    }
  };
  // Another file, or another type, has other fields: all of the page is asked for, and taken over where it stands.
  const redraw = async (button) => {
    clearTimeout(timer);
    if (asking) asking.abort();
    const mine = asking = new AbortController();
    try {
      const reply = await fetch("/", { method: "POST", body: new URLSearchParams(new FormData(form, button)), signal: mine.signal });
      const page = new DOMParser().parseFromString(await reply.text(), "text/html");
      if (mine !== asking) return;
      const asked = form.querySelector(".asked"), focus = document.activeElement && document.activeElement.id;
      const open = [...asked.querySelectorAll("details[id]")].filter((d) => d.open).map((d) => d.id);
      asked.replaceChildren(...page.querySelector(".asked").childNodes);
      answer.replaceChildren(...page.getElementById("answer").childNodes);
      document.getElementById("peek").replaceChildren(...page.getElementById("peek").childNodes);
      for (const id of open) { const d = document.getElementById(id); if (d) d.open = true; }
      if (focus && document.getElementById(focus)) document.getElementById(focus).focus({ preventScroll: true });
      answer.dataset.turn = Number(answer.dataset.turn || 0) + 1;
    } catch (e) {
      if (e.name !== "AbortError") answer.textContent = "The program does not answer. Is it still running?";
    }
  };
  const soon = (e) => {
    clearTimeout(timer);
    const opens = e.target.dataset.opens;
    if (opens && e.type === "change") return redraw(document.getElementById("open-" + opens));
    if (e.target.matches("#recipe, #kept_recipe") && e.type === "change") return redraw(document.getElementById("redraw"));
    timer = setTimeout(ask, e.type === "change" ? 0 : pause);
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
  form.addEventListener("input", soon);
  form.addEventListener("change", soon);
  form.addEventListener("submit", (e) => {
    const b = e.submitter;
    if (b && !(b.name === "do" && b.value === "answer") && b.value !== "check" && b.name !== "with" && b.name !== "why_not") return;
    e.preventDefault();
    ask(b);
  });
})();

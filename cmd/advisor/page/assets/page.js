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

  // A bookmark finds its way to where the page is at this start.
  const base = document.documentElement.dataset.base;
  if (base) try { localStorage.setItem("door", base); } catch { /* it may not be kept */ }

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

  // Garments are found as a word is typed.
  const find = document.getElementById("find");
  if (find) {
    find.addEventListener("input", () => {
      const wants = find.value.toLowerCase().split(/[\s-]+/).filter(Boolean);
      let any = false;
      for (const item of document.querySelectorAll("[data-words]")) {
        const words = (item.dataset.words + " " + item.textContent.toLowerCase()).split(/[\s,-]+/);
        item.hidden = !wants.every((w) => words.some((x) => x.startsWith(w) || w.startsWith(x) && x.length > 3 && w.length - x.length < 3));
        any = any || !item.hidden;
      }
      for (const group of document.querySelectorAll(".group")) group.hidden = !group.querySelector("li:not([hidden])");
      document.getElementById("none").textContent = any ? "" : "No garment is called so here. Try a shorter word, or choose the nearest.";
    });
    find.form.addEventListener("submit", (e) => {
      e.preventDefault();
      const one = document.querySelectorAll("[data-words]:not([hidden]) button");
      if (find.value && one.length) one[0].focus();
    });
  }

  const form = document.getElementById("form"), answer = document.getElementById("answer");
  if (!form) return;
  const pause = 40; // milliseconds without a key
  let timer, asking;
  document.documentElement.classList.add("follows");

  // What is open and where the focus is stay so.
  const place = (e) => e && answer.contains(e) ? [e.tagName, e.id, e.name, e.value].join("|") : null;
  const opened = () => new Map([...answer.querySelectorAll("details[id]")].map((d) => [d.id, d.open]));
  let typing; // the field in which one is typing, until it is left

  // The form of a recipe follows its text, and the text the form.
  const takeForm = () => {
    const fresh = document.getElementById("fresh"), words = document.getElementById("in-words"), text = document.getElementById("text");
    if (!fresh || !words) return;
    if (fresh.dataset.set) text.value = fresh.querySelector("textarea").value;
    const form = fresh.querySelector("template").content;
    if (!words.contains(document.activeElement)) {
      const open = new Map([...words.querySelectorAll("details[id]")].map((d) => [d.id, d.open]));
      words.replaceChildren(form);
      for (const d of words.querySelectorAll("details[id]")) d.open = Boolean(open.get(d.id));
    } else {
      for (const was of form.querySelectorAll("input[name^='was.']")) {
        const old = words.querySelector(`[name="${CSS.escape(was.name)}"]`);
        if (old) old.value = was.value;
      }
    }
    fresh.remove();
  };

  const show = (html) => {
    const focus = place(document.activeElement), open = opened();
    const fresh = document.createElement("template");
    fresh.innerHTML = html;
    // The last good answer stays, dimmed, while something is being put right.
    if (!fresh.content.querySelector(".result") && answer.querySelector(".result")) {
      answer.classList.add("stale");
      answer.append(fresh.content.querySelector(".told"));
    } else {
      answer.classList.remove("stale");
      answer.replaceChildren(fresh.content);
      for (const d of answer.querySelectorAll("details[id]")) if (open.get(d.id)) d.open = true;
    }
    if (focus) {
      const same = [...answer.querySelectorAll("button, input, summary, [tabindex]")].find((e) => place(e) === focus);
      (same || answer).focus({ preventScroll: true });
    }
    takeForm();
    const told = answer.querySelector(".told");
    for (const slot of form.querySelectorAll(".notes")) {
      if (typing && "n-" + typing.id === slot.id && !slot.textContent) continue; // say what is wrong once the field is left
      const note = told.querySelector(`[data-note="${CSS.escape(slot.id.slice(2))}"]`);
      const text = note ? note.innerHTML : "";
      if (slot.innerHTML !== text) slot.innerHTML = text;
      const field = document.getElementById(slot.id.slice(2));
      if (field && field.matches("input, textarea")) {
        if (note && note.dataset.wrong) field.setAttribute("aria-invalid", "true"); else field.removeAttribute("aria-invalid");
      }
    }
    for (const read of told.querySelectorAll("[data-read]")) {
      const wrong = new Set([...read.querySelectorAll("[data-cell]")].map((c) => c.dataset.cell)), chart = document.getElementById("grid-" + read.dataset.read);
      document.getElementById("read-" + read.dataset.read).textContent = read.textContent;
      for (const cell of chart.querySelectorAll(".cells input[id]")) {
        if (wrong.has(cell.id) && cell !== typing) cell.setAttribute("aria-invalid", "true"); else cell.removeAttribute("aria-invalid");
      }
    }
    told.remove();
    says();
  };

  // In one sentence what the answer is, and its size beside the way to it.
  const says = () => {
    const peek = document.getElementById("peek"), status = document.getElementById("status"), result = answer.querySelector(".result");
    if (!peek) return;
    const size = !answer.classList.contains("stale") && result && result.dataset.size || "";
    peek.textContent = size;
    const line = answer.classList.contains("stale") ? "Something has to be put right first." : size ? "Cut size " + size + "." : result ? "No size can be cut as it is." : "";
    if (status.textContent !== line) status.textContent = line;
  };

  // One screen after the other; going back goes back.
  const go = (to, kept) => {
    form.dataset.at = document.getElementById("at").value = to;
    for (const b of form.querySelectorAll(".stages button")) if (b.value === to) b.setAttribute("aria-current", "step"); else b.removeAttribute("aria-current");
    if (!kept) history.pushState({ at: to }, "");
    scrollTo(0, 0);
    const head = to === "answer" ? answer : document.querySelector("#step-" + to + " h2");
    if (head) head.focus({ preventScroll: true });
  };
  addEventListener("popstate", (e) => { if (e.state && e.state.at && form.dataset.at) go(e.state.at, true); });
  if (form.dataset.at) {
    if (history.state && history.state.at) go(history.state.at, true); else history.replaceState({ at: form.dataset.at }, "");
  }

  // The figure shows where the tape goes, and quarters can be tapped.
  const keys = document.createElement("div");
  keys.className = "keys";
  const keyOf = (label, text) => {
    const b = document.createElement("button");
    b.type = "button"; b.textContent = label; b.tabIndex = -1;
    b.addEventListener("pointerdown", (e) => e.preventDefault());
    b.addEventListener("click", () => {
      const f = keys.previousElementSibling;
      f.value = f.value.trimEnd() + text;
      f.focus();
      f.dispatchEvent(new Event("input", { bubbles: true }));
    });
    keys.append(b);
  };
  const offer = (field) => {
    keys.replaceChildren();
    if (document.getElementById("body_units").value === "in") for (const q of ["1/4", "1/2", "3/4", "1/8"]) keyOf(q, " " + q);
    keyOf("and again", "; ");
    if (keys.previousElementSibling !== field) field.after(keys);
  };
  form.addEventListener("focusin", (e) => {
    const measure = e.target.dataset && e.target.dataset.measure;
    if (!measure) return;
    for (const t of form.querySelectorAll(".tape")) t.classList.toggle("on", t.dataset.of === measure);
    offer(e.target);
  });

  // A ruler of 10 cm to pull.
  const reach = (from) => {
    const across = document.getElementById("across"), out = document.getElementById("pulled"), far = Number(from.value);
    out.textContent = far > 10 ? `10 cm reach ${far} cm: it stretches ${Math.round((far - 10) * 10)} %` : "It does not give";
    return [across, far > 10 ? `10 cm to ${far} cm` : "0 %"];
  };
  form.addEventListener("input", (e) => {
    if (e.target.id !== "pull") return;
    const [across, text] = reach(e.target);
    across.value = text;
  });

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
      if (reply.ok) show(text); else { answer.textContent = text; says(); }
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
    const open = opened();
    answer.replaceChildren(...page.getElementById("answer").childNodes);
    answer.classList.remove("stale");
    for (const d of answer.querySelectorAll("details[id]")) if (open.get(d.id)) d.open = true;
    says();
    for (const e of named()) {
      if (values.has(e.id)) put(e, values.get(e.id));
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
    typing = e.type === "input" ? e.target : undefined;
    if (e.target.id === "at") return;
    if (e.target.matches(".paste textarea")) return void (e.type === "change" && e.target.value.trim() && redraw("redraw"));
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
    text.closest("details").open = true;
    const lines = text.value.split("\n"), n = Number(line.dataset.line) - 1;
    const from = lines.slice(0, n).join("\n").length + (n ? 1 : 0);
    text.focus();
    text.setSelectionRange(from, from + lines[n].length);
  });
  // A table that is pasted into a cell is a table.
  form.addEventListener("paste", (e) => {
    const chart = e.target.closest && e.target.closest(".chart"), text = e.clipboardData && e.clipboardData.getData("text/plain");
    if (!chart || !text || !(e.target.matches("textarea") || /[\t\n;]|\S\s+\S+\s+\S/.test(text.trim()))) return;
    e.preventDefault();
    chart.querySelector("textarea").value = text;
    redraw("redraw");
  });
  // Arrows and Enter go from cell to cell.
  form.addEventListener("keydown", (e) => {
    if (!e.target.closest || !e.target.closest(".cells") || e.key !== "Enter" && e.key !== "ArrowDown" && e.key !== "ArrowUp") return;
    e.preventDefault();
    const [chart, line, column] = e.target.id.split("."), to = Number(line) + (e.key === "ArrowUp" ? -1 : 1);
    const next = document.getElementById([chart, to, column].join("."));
    if (next) next.focus();
  });
  form.addEventListener("input", soon);
  form.addEventListener("change", soon);
  form.addEventListener("submit", (e) => {
    const b = e.submitter;
    if (b && b.name === "go") {
      e.preventDefault();
      return go(b.value);
    }
    if (b && /^(size|row)-/.test(b.value)) {
      e.preventDefault();
      return redraw(b.id);
    }
    if (b && b.name === "wish") document.getElementById("ease").value = b.value;
    if (b && !(b.name === "do" && b.value === "answer") && b.value !== "check" && b.name !== "with" && b.name !== "why_not" && b.name !== "wish") return;
    e.preventDefault();
    ask(b && { name: b.name, value: b.value }, true);
  });
})();

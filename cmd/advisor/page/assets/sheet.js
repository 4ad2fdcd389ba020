// Boxes that remember, on this machine, and the plan one step at a time for the cutting table.
"use strict";
(() => {
  const main = document.querySelector("main.cut"), key = "cut " + main.dataset.key;
  const boxes = [...main.querySelectorAll(".ticks input")];
  const how = [...main.querySelectorAll(".page ~ ol > li")]; // each step again, with how it is done
  const kept = () => { try { return JSON.parse(localStorage.getItem(key)) || []; } catch { return []; } };
  const keep = () => { try { localStorage.setItem(key, JSON.stringify(boxes.map((b) => b.checked))); } catch { /* it may not be kept */ } };
  kept().forEach((on, i) => { if (boxes[i]) boxes[i].checked = on; });
  main.addEventListener("change", keep);

  const at = main.querySelector(".at"), tools = main.querySelector(".tools");
  let now = 0, awake;
  const stay = async () => { try { awake = await navigator.wakeLock.request("screen"); } catch { /* it goes dark as it is used to */ } };
  const show = () => {
    const label = boxes[now].closest("label");
    at.querySelector(".count").textContent = `Step ${now + 1} of ${boxes.length}`;
    at.querySelector(".step").textContent = label.querySelector("span").textContent;
    at.querySelector(".how").replaceChildren(...[...how[now].querySelectorAll("small")].flatMap((line) => [line.textContent, document.createElement("br")]));
    at.querySelector("input").checked = boxes[now].checked;
    at.querySelector(".back").disabled = now === 0;
    at.querySelector(".on").disabled = now === boxes.length - 1;
  };
  const go = (to) => { now = Math.max(0, Math.min(boxes.length - 1, to)); show(); };
  if (boxes.length) {
    tools.hidden = false;
    main.querySelector(".begin").addEventListener("click", () => {
      document.documentElement.classList.add("table");
      go(Math.max(0, boxes.findIndex((b) => !b.checked)));
      at.querySelector(".on").focus();
      stay();
    });
    at.querySelector("input").addEventListener("change", (e) => {
      boxes[now].checked = e.target.checked;
      keep();
      if (e.target.checked && now < boxes.length - 1) go(now + 1);
    });
    at.querySelector(".back").addEventListener("click", () => go(now - 1));
    at.querySelector(".on").addEventListener("click", () => go(now + 1));
    at.querySelector(".end").addEventListener("click", () => {
      document.documentElement.classList.remove("table");
      if (awake) awake.release();
    });
    document.addEventListener("visibilitychange", () => { if (!document.hidden && document.documentElement.classList.contains("table")) stay(); });
  }
  for (const b of main.querySelectorAll(".print")) b.addEventListener("click", () => print());
})();

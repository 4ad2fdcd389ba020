// A bookmark of an earlier start leads to the same place of this one, in a browser that was let in: page.js keeps where.
"use strict";
(() => {
  let door;
  try { door = localStorage.getItem("door"); } catch { return; }
  const [, old, ...rest] = location.pathname.split("/");
  if (/^\/[A-Z2-7]{26}$/.test(door) && "/" + old !== door) location.replace(door + "/" + rest.join("/") + (old ? location.search : ""));
})();

// A browser ends a worker that had nothing to do for half a minute, and to start it again takes a moment. While the page is looked at, it is
// asked for a small thing now and then, so that an answer never waits for that.
"use strict";
{
  const small = new URL("../assets/icon.svg", document.currentScript.src);
  setInterval(() => { if (!document.hidden) fetch(small).catch(() => {}); }, 20000);
}

// The first visit: the worker that answers for this folder from then on is fetched, and the page opened.
"use strict";
(async () => {
  const status = document.getElementById("status"), begin = document.getElementById("begin");
  const cannot = (why) => { status.textContent = why; status.className = "note wrong"; };
  if (location.protocol === "file:") return cannot("This page works on a site, not from a disk. `advisor page` is the same page for your own machine.");
  if (!isSecureContext) return cannot("A browser keeps nothing for a page that comes by http. Open its address with https.");
  if (!("serviceWorker" in navigator)) return cannot("This browser keeps nothing for a page here. A private window is one reason; open an ordinary one, or use a newer browser.");
  begin.addEventListener("click", async () => {
    begin.disabled = true;
    try { await navigator.storage.persist(); } catch { /* then it may forget sooner */ }
    location.href = "./new";
  });
  try {
    const here = await navigator.serviceWorker.register("sw.js", { updateViaCache: "none" });
    const worker = here.active || here.waiting || here.installing;
    await new Promise((done, fail) => {
      const see = () => {
        if (worker.state === "activated") done();
        if (worker.state === "redundant") fail(new Error("not all of it came"));
      };
      worker.addEventListener("statechange", see);
      see();
    });
    status.textContent = "The page is here. From now on it works without a network too.";
    begin.hidden = false;
  } catch (fault) {
    cannot(`This browser did not take the page (${fault.message}). A private window is one reason: open an ordinary one. Or look whether the network is there, and open the page again.`);
  }
})();

// The line to the shop: pages kept for when there is none, and a screen that stays on.
// Both are extras that a browser allows only on this laptop or behind a certificate.
"use strict";

const line = document.currentScript.dataset;

if (line.worker === "yes" && navigator.serviceWorker) {
  navigator.serviceWorker.register("/worker.js").catch(() => {});
}

// A page out of the phone's own keeping says so, and gives its forms new ids: what was typed on
// it before may be on its way already.
document.addEventListener("DOMContentLoaded", () => {
  const kept = document.documentElement.dataset.keptAt;
  const says = document.getElementById("kept-page");
  if (!kept || !says) return;
  const at = new Date(kept);
  const pad = (value) => String(value).padStart(2, "0");
  const day = `${at.getFullYear()}-${pad(at.getMonth() + 1)}-${pad(at.getDate())}`;
  const when = `${day} ${pad(at.getHours())}:${pad(at.getMinutes())}`;
  says.textContent = says.dataset.says.replace("{when}", when);
  says.hidden = false;
  for (const id of document.querySelectorAll("form input[type=hidden][name=id]")) id.value = uuid();
});

// Keep the screen on: pressed once, it holds until it is pressed again or the page is left.
let held = null;
let wanted = false;

async function hold(key) {
  try {
    held = wanted && document.visibilityState === "visible"
      ? await navigator.wakeLock.request("screen") : held;
  } catch {
    wanted = false; // a phone that saves its battery says no
  }
  key.setAttribute("aria-pressed", String(wanted));
}

document.addEventListener("DOMContentLoaded", () => {
  const key = document.getElementById("awake");
  if (!key || !navigator.wakeLock) return;
  key.hidden = false;
  key.addEventListener("click", async () => {
    wanted = !wanted;
    if (!wanted) await held?.release();
    await hold(key);
  });
  document.addEventListener("visibilitychange", () => wanted && hold(key));
});

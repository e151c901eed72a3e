// An extra: without this file the page of a catalogue loads itself again, plainly.
"use strict";

const pricing = document.getElementById("progress");
let seenDone = null;

// What is there so far stands on the page as it comes, but not under a finger or a key.
async function catchUp() {
  const live = document.getElementById("live");
  if (!live || live.contains(document.activeElement) || live.matches(":hover") || live.querySelector("details[open]")) return;
  const answer = await fetch(location.href);
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const made = page.getElementById("live");
  if (made) live.replaceChildren(...made.childNodes);
}

async function lookOn() {
  try {
    const answer = await fetch(pricing.dataset.asks, { headers: { Accept: "application/json" } });
    const { going: goes, share, words, done } = await answer.json();
    if (!goes) {
      location.reload();
      return;
    }
    pricing.querySelector("progress").value = share;
    const says = pricing.querySelector("[role=status]");
    if (says.textContent !== words) says.textContent = words; // said once, not each second
    if (seenDone !== null && done !== seenDone) await catchUp();
    seenDone = done;
  } catch {
    // no connection: the next look may come through
  }
  setTimeout(lookOn, 1500);
}

if (pricing) setTimeout(lookOn, 700);

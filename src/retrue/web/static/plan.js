// An extra: without this file the page of a plan that is being made loads itself again, plainly.
"use strict";

const progress = document.getElementById("progress");

async function look() {
  try {
    const answer = await fetch("/fix/plan/progress", { headers: { Accept: "application/json" } });
    const { going, share, words } = await answer.json();
    if (!going) {
      location.reload();
      return;
    }
    progress.querySelector("progress").value = share;
    const says = progress.querySelector("[role=status]");
    if (says.textContent !== words) says.textContent = words; // said once, not each second
  } catch {
    // no connection: the next look may come through
  }
  setTimeout(look, 700);
}

if (progress) setTimeout(look, 300);

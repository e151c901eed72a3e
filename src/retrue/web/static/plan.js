// An extra: without this file a page of something that is being made loads itself again, plainly.
"use strict";

const progress = document.getElementById("progress");

async function look() {
  try {
    const answer = await fetch(progress.dataset.asks || "/fix/plan/progress", { headers: { Accept: "application/json" } });
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

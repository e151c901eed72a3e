// Extras only: the shutter stays open. A photograph is made smaller, put into this device's outbox
// under an id of its own, and sent from there; a tick likewise. Uses retrue.js and outbox.js.
"use strict";

const cameras = () => [...document.querySelectorAll("form[data-camera]")];
let film = Promise.resolve(); // photographs are made smaller one after the other
let shooting = 0; // on their way into the outbox

function bump(selector, by) {
  for (const each of document.querySelectorAll(selector)) {
    each.textContent = String(Math.max(0, Number(each.textContent) + by));
  }
}

// The place a form shoots at: a pressed key, or the one it was made for.
function placeOf(form) {
  const key = form.querySelector("input[name=place]:checked, input[name=place][type=hidden]");
  return key ? key.value : "";
}

function keyOf(form, place) {
  return form.querySelector(`[data-place="${CSS.escape(place)}"]`);
}

function aheadOf(key) {
  return key ? JSON.parse(key.dataset.next) : [];
}

// One line names what the shutter takes next; cautions of the place stand beside it.
function tellNext(form) {
  const says = form.querySelector(".takes");
  if (!says) return;
  const place = placeOf(form);
  const ahead = aheadOf(keyOf(form, place));
  says.querySelector("b").textContent = ahead.length ? ahead[0].text : says.dataset.free;
  for (const cautions of form.querySelectorAll("[data-of]")) {
    cautions.hidden = cautions.dataset.of !== place;
  }
}

// Counts and the line of what comes next, after one photograph more, or one less.
function counted(form, place, entry, by) {
  const kind = form.dataset.camera;
  bump(`[data-count="${CSS.escape(kind)}:${CSS.escape(place)}"]`, by);
  bump(`[data-total="${CSS.escape(kind)}"]`, by);
  form.dataset.kept = String(Number(form.dataset.kept || 0) + by);
  const fresh = form.querySelector(".fresh");
  if (fresh) fresh.textContent = fresh.dataset.says.replace("{count}", form.dataset.kept);
  const wipe = form.querySelector(".wipekey");
  wipe?.classList.toggle("done", Number(wipe.querySelector("[data-count]").textContent) > 0);
  const key = keyOf(form, place);
  const stays = form.querySelector("[data-stay]");
  if (key && entry && by > 0 && !(stays && stays.checked)) {
    key.dataset.next = JSON.stringify(aheadOf(key).filter((one) => one.id !== entry));
  }
  tellNext(form);
}

function parcelOf(form, place, entry, id) {
  const body = new FormData();
  for (const [name, value] of new FormData(form)) {
    if (typeof value === "string") body.set(name, value);
  }
  body.set("id", id);
  body.set("place", place);
  if (entry) body.set("entry", entry);
  body.set("observed_at", moment());
  return body;
}

let inOutbox = 0;
let refused = 0; // photographs and ticks that the shop did not take; they stay here until thrown away
let missed = ""; // the name of a photograph that could not be kept anywhere

function tellWaiting() {
  const says = document.getElementById("shots-wait");
  const count = inOutbox + shooting;
  if (says) {
    says.textContent = missed ? says.dataset.lost.replace("{name}", missed)
      : count ? says.dataset.waits.replace("{count}", String(count))
      : refused ? says.dataset.refused.replace("{count}", String(refused)) : says.dataset.none;
  } else if (missed) {
    alert(document.getElementById("outbox").dataset.lost.replace("{name}", missed));
    missed = "";
  }
}

// Into the outbox first; where this device keeps nothing, straight to the shop.
async function keepShot(form, body, file) {
  const small = await scaled(file);
  body.set("picture", small, small.name);
  if (await keepHere(form.action, body, false).catch(() => null)) { // it may be full
    sendAll(); // the next photograph does not wait for the network
    return;
  }
  const answer = await fetch(form.action, {
    method: "POST", body, headers: { Accept: "application/json" },
  });
  if (!answer.ok) throw new Error((await answer.json()).reason);
}

function shoot(form, file) {
  const place = placeOf(form);
  const ahead = aheadOf(keyOf(form, place));
  const entry = ahead.length ? ahead[0].id : form.querySelector("input[name=entry]")?.value || "";
  const body = parcelOf(form, place, entry, uuid());
  counted(form, place, entry, 1);
  shooting += 1;
  tellWaiting();
  film = film.then(async () => {
    try {
      await keepShot(form, body, file);
    } catch {
      counted(form, place, entry, -1);
      missed = file.name;
    }
    shooting -= 1;
    tellWaiting();
  });
}

document.addEventListener("change", (event) => {
  const input = event.target;
  const form = input.form;
  if (!form || !form.matches("form[data-camera]")) return;
  if (input.name === "place") tellNext(form);
  if (input.type !== "file") return;
  missed = "";
  for (const file of input.files) shoot(form, file);
  input.value = ""; // the same photograph may be chosen again; the shutter is ready
});

// A photograph that is not yet in the outbox would be lost with the page.
window.addEventListener("beforeunload", (event) => {
  if (shooting) event.preventDefault();
});

function press(form, record) {
  const key = form.querySelector(".tick");
  form.querySelector("input[name=record]").value = record;
  key.setAttribute("aria-pressed", record ? "true" : "false");
  if (!record) key.querySelector(".at")?.remove();
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("form[data-tick]")) return;
  event.preventDefault();
  const body = new FormData(form);
  const id = uuid();
  body.set("id", id);
  const undone = body.get("record");
  press(form, undone ? "" : id);
  shooting += 1;
  tellWaiting();
  keepHere(form.action, body, false).catch(() => null).then((kept) => {
    shooting -= 1;
    tellWaiting();
    if (kept) sendAll();
    else {
      press(form, undone); // the form says again what was pressed
      form.submit(); // this device keeps nothing: straight to the shop
    }
  });
});

// The tick or the shutter of this page that something in the outbox came from.
function sourceOf(item, said) {
  if (said.list) {
    return [...document.querySelectorAll("form[data-tick]")].find((one) =>
      one.action === item.action && one.querySelector("input[name=item]").value === said.item);
  }
  return cameras().find((one) => one.action === item.action
    && one.dataset.camera === (said.kind || "shot")
    && (keyOf(one, said.place) || placeOf(one) === said.place));
}

// One more on this page, or (refused) one less.
function count(item, by) {
  const said = Object.fromEntries(item.entries.filter(([, value]) => typeof value === "string"));
  const form = sourceOf(item, said);
  if (!form) return;
  if (said.list) press(form, (by > 0) === Boolean(said.record) ? "" : said.record || said.id);
  else if (said.place) counted(form, said.place, said.entry || "", by);
}

// What still waits from before this page was opened is counted on it.
async function countWaiting() {
  for (const item of await waiting()) count(item, 1);
}

document.addEventListener("outbox-refused", (event) => {
  count(event.detail, -1);
  freshenSoon();
});

document.addEventListener("outbox-told", (event) => {
  inOutbox = event.detail.waiting;
  refused = event.detail.refused;
  tellWaiting();
});

// The field whose camera is open: it is told of the photograph only if it is still there then.
let aiming = null;
document.addEventListener("click", (event) => {
  aiming = event.target.closest("input[type=file]") || (event.target.closest("label") ? aiming : null);
});
for (const ended of ["change", "cancel"]) {
  document.addEventListener(ended, (event) => { if (event.target === aiming) aiming = null; });
}
document.addEventListener("cancel", freshenSoon); // what stayed as it was is asked anew

// When everything has arrived, the parts of the page that follow from it are asked anew; what
// somebody types in, stands at, or takes a photograph for, stays as it is.
function touched(part) {
  const fields = [...part.querySelectorAll("input[type=text]")];
  return part.contains(document.activeElement) || part.contains(aiming)
    || fields.some((one) => one.value !== one.defaultValue);
}

// The shop's own counts: what was in the outbox may have been in the shop as well.
function recount(page) {
  for (const each of document.querySelectorAll("[data-count], [data-total]")) {
    const name = each.dataset.count ? "count" : "total";
    const now = page.querySelector(`[data-${name}="${CSS.escape(each.dataset[name])}"]`);
    if (now) each.textContent = now.textContent;
  }
  for (const key of document.querySelectorAll("[data-place]")) {
    const now = page.querySelector(`[data-place="${CSS.escape(key.dataset.place)}"]`);
    if (now) key.dataset.next = now.dataset.next;
  }
  for (const form of cameras()) tellNext(form);
}

async function freshen() {
  const answer = await fetch(location.href);
  if (!answer.ok) return;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  if (shooting || inOutbox) return; // the next photograph is under way, and asks again
  recount(page);
  for (const old of document.querySelectorAll("[data-fresh]")) {
    const now = page.getElementById(old.id);
    if (now && !touched(old)) old.replaceWith(now);
  }
}

let asked = 0;
function freshenSoon() {
  clearTimeout(asked);
  if (!document.querySelector("[data-fresh]")) return;
  if (document.activeElement?.matches("input[type=file]")) document.activeElement.blur();
  asked = setTimeout(() => freshen().catch(() => {}), 1500);
}
document.addEventListener("outbox-empty", freshenSoon);

document.addEventListener("DOMContentLoaded", () => {
  for (const form of cameras()) tellNext(form);
  countWaiting();
});

// What is tapped or noted without a connection waits on this device and is sent when it is back.
// A note carries an id made before it was sent, so that sending twice keeps it once; a tap that
// is sent twice says the same thing twice, which changes nothing.
"use strict";

const AGAIN = 15000; // milliseconds between two tries

const opened = new Promise((done) => {
  if (!window.indexedDB) return done(null);
  const asked = indexedDB.open("retrue", 1);
  asked.onupgradeneeded = () =>
    asked.result.createObjectStore("outbox", { keyPath: "number", autoIncrement: true });
  asked.onsuccess = () => done(asked.result);
  asked.onerror = () => done(null);
}).catch(() => null); // a browser may forbid it

async function shelf(mode, act) {
  const base = await opened;
  if (!base) return mode === "readonly" ? [] : null;
  return new Promise((done, fail) => {
    const deal = base.transaction("outbox", mode);
    const asked = act(deal.objectStore("outbox"));
    deal.oncomplete = () => done(asked.result); // before that a full device may still say no
    deal.onerror = deal.onabort = () => fail(deal.error || asked.error);
  });
}

let lasting = false; // the browser was asked not to clear away what waits here
function askToLast() {
  if (lasting) return;
  lasting = true;
  navigator.storage?.persist?.().catch(() => {});
}

function moment() {
  const now = new Date();
  const minutes = -now.getTimezoneOffset();
  const pad = (value) => String(value).padStart(2, "0");
  const ahead = `${pad(Math.floor(Math.abs(minutes) / 60))}:${pad(Math.abs(minutes) % 60)}`;
  const local = new Date(now.getTime() + minutes * 60000).toISOString().slice(0, 19);
  return local + (minutes < 0 ? "-" : "+") + ahead;
}

let cut = false; // a try to send did not come through, and not everything has gone out since

// Its number on the shelf; null where this device keeps nothing.
async function keepHere(action, body, failed = true) {
  const entries = [...body.entries()].filter(([, value]) => typeof value === "string" || value.size);
  if (!entries.some(([name]) => name === "observed_at")) entries.push(["observed_at", moment()]);
  askToLast();
  const number = await shelf("readwrite", (store) => store.add({ action, entries }));
  if (failed) cut = true;
  await tell();
  return number;
}

async function waiting() {
  const items = await shelf("readonly", (store) => store.getAll());
  return items.filter((item) => !item.refused);
}

async function tell() {
  const line = document.getElementById("outbox");
  if (!line) return;
  const items = await shelf("readonly", (store) => store.getAll());
  const refused = items.filter((item) => item.refused);
  const count = items.length - refused.length;
  const shown = cut ? count : 0; // what is on its way is not worth a word
  line.hidden = refused.length + shown === 0;
  document.getElementById("outbox-waits").textContent =
    shown ? line.dataset.waits.replace("{count}", String(shown)) : "";
  const reasons = [...new Set(refused.map((item) => item.refused)), ...(shown && barred ? [barred] : [])];
  document.getElementById("outbox-refused").textContent = reasons.join(" ");
  document.getElementById("outbox-drop").hidden = refused.length === 0;
  const detail = { waiting: count, refused: refused.length, cut };
  document.dispatchEvent(new CustomEvent("outbox-told", { detail }));
}

async function drop() {
  for (const item of await shelf("readonly", (store) => store.getAll())) {
    if (item.refused) await shelf("readwrite", (store) => store.delete(item.number));
  }
  await tell();
}

function uuid() { // on plain http a browser offers no randomUUID
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

function parcel(entries) {
  const body = new FormData();
  for (const [name, value] of entries) body.append(name, value);
  return body;
}

const PATIENCE = 90000; // milliseconds for one photograph over a poor connection
const AWAY = new Set([401, 403, 429]); // not this parcel is refused, but this device, for now
const LINE_IS_DEAD = 2; // parcels in a row that did not reach the shop

// One parcel: what became of it. All but "gone" and "refused" leave it here for the next round.
async function sendOne(item) {
  const headers = { Accept: "application/json" }; // a refusal then says its reason alone
  const signal = AbortSignal.timeout ? AbortSignal.timeout(PATIENCE) : undefined;
  const body = parcel(item.entries);
  let answer;
  try {
    answer = await fetch(item.action, { method: "POST", body, headers, signal });
  } catch {
    return "cut";
  }
  if (answer.ok) {
    await shelf("readwrite", (store) => store.delete(item.number));
    return "gone";
  }
  if (answer.status >= 500) return "trouble"; // the laptop fails at this one
  const { reason, remedy } = await answer.json();
  if (AWAY.has(answer.status)) {
    barred = `${reason}. ${remedy}`;
    return "barred";
  }
  item.refused = reason;
  await shelf("readwrite", (store) => store.put(item));
  document.dispatchEvent(new CustomEvent("outbox-refused", { detail: item }));
  return "refused";
}

const said = (item, name) => item.entries.find(([one]) => one === name)?.[1];

// Every parcel once: one that the laptop fails at keeps none of the others back, except what
// takes that one back.
async function sendRound() {
  const stuck = new Set();
  let [sent, left, failed] = [0, 0, 0];
  for (const item of await waiting()) {
    let became = "trouble";
    if (!stuck.has(said(item, "record"))) became = await sendOne(item).catch(() => "trouble");
    if (became === "gone") sent += 1;
    failed = became === "cut" ? failed + 1 : 0;
    if (became === "cut" || became === "trouble") {
      left += 1;
      if (said(item, "id")) stuck.add(said(item, "id"));
    }
    await tell();
    if (became === "barred" || failed === LINE_IS_DEAD) return { sent, left: left + 1, dead: true };
    if (became !== "cut" && became !== "trouble") barred = "";
  }
  return { sent, left, dead: failed > 0 };
}

let barred = ""; // why the shop takes nothing from this device
let sending = false;
let more = false; // something was put in while sending
async function sendAll() {
  more = true;
  if (sending) return;
  sending = true;
  let sent = 0;
  try {
    while (more) {
      more = false;
      const round = await sendRound();
      sent += round.sent;
      cut = round.left > 0; // what did not come through stays here
      if (round.dead) break;
    }
  } catch {
    cut = true; // this device does not even say what waits
  }
  sending = false;
  await tell();
  if (sent && !cut) document.dispatchEvent(new CustomEvent("outbox-empty", { detail: { sent } }));
  if (sent && document.querySelector("#price-line, #reading-form")) location.reload();
}

// A tap that htmx could not send.
document.addEventListener("htmx:error", (event) => {
  const request = event.detail?.ctx?.request;
  if (!request?.body || event.detail.ctx.response) return;
  keepHere(request.action, request.body);
});

// What a form says, with the key that was pressed: not every browser puts it in by itself.
function bodyOf(form, key) {
  const body = new FormData(form);
  if (key?.name) body.append(key.name, key.value);
  return body;
}

const plainly = new WeakSet(); // forms that the browser itself sends this once
function sendPlainly(form, key) {
  plainly.add(form);
  if (form.requestSubmit) form.requestSubmit(key?.form === form ? key : null);
  else form.submit();
}

async function keepNote(form, key, body) {
  if (!(await keepHere(form.action, body).catch(() => null))) {
    sendPlainly(form, key); // this device keeps nothing: the browser says what is wrong
    return;
  }
  form.reset();
  const id = form.querySelector("input[name=id]");
  if (id) id.value = uuid(); // the next note is another one
  form.dispatchEvent(new CustomEvent("kept-here", { bubbles: true, detail: body }));
}

// A note: sent by hand, so that it can wait here.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || !form.matches("form[data-outbox]") || plainly.delete(form)) return;
  event.preventDefault();
  const key = event.submitter;
  const body = bodyOf(form, key);
  fetch(form.action, { method: "POST", body }).then(
    (answer) => (answer.ok ? location.assign(answer.url) : sendPlainly(form, key)), // shows why not
    () => keepNote(form, key, body),
  );
});

document.addEventListener("click", (event) => {
  if (event.target.id === "outbox-drop") drop();
});
window.addEventListener("online", sendAll);
document.addEventListener("DOMContentLoaded", () => tell().then(sendAll));
setInterval(sendAll, AGAIN);

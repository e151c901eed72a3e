// What is tapped, read or noted without a connection waits on this device and is sent when it is
// back. Each has an id made before it was sent, so that sending twice keeps it once.
"use strict";

const AGAIN = 15000; // milliseconds between two tries
const SOON = 3000; // while something waits and the page is in front

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
    deal.commit?.(); // nothing more is asked of it: it need not wait for this page
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
async function shelve(action, body, more) {
  const entries = [...body.entries()].filter(([, value]) => typeof value === "string" || value.size);
  if (!entries.some(([name]) => name === "observed_at")) entries.push(["observed_at", moment()]);
  if (!entries.some(([name]) => name === "id")) entries.push(["id", uuid()]);
  askToLast();
  const item = { action, entries, page: location.pathname, ...more };
  return shelf("readwrite", (store) => store.add(item));
}

async function keepHere(action, body, failed = true, says = "") {
  const number = await shelve(action, body, { says });
  if (failed) cut = true;
  await tell();
  return number;
}

const ITSELF = 10000; // milliseconds in which the page that shelved a parcel sends it itself
const SLOW = 30000; // the same, with a photograph in it
const FORBIDS = 2000; // milliseconds that a browser may take to put it there
const PAGE = uuid();

// What a page is about to send stands on the shelf before: if the line hangs, or the page is closed
// meanwhile, the next page sends it. The same id keeps it once. Its number there, once it stands.
function keepFirst(action, body, says = "") {
  if (!body.get("id")) body.set("id", uuid());
  const until = Date.now() + patience(body) + SOON;
  return shelve(action, body, { says, held: { page: PAGE, tab: TAB, until } }).catch(() => null);
}

// A browser that says nothing keeps nothing: what is to be sent does not wait for it.
function inTime(promise) {
  return Promise.race([promise, new Promise((done) => setTimeout(done, FORBIDS))]);
}

function patience(body) {
  return [...body.values()].some((value) => value.size) ? SLOW : ITSELF;
}

const TAB = (() => {
  try {
    return (sessionStorage["retrue-tab"] ||= uuid());
  } catch {
    return PAGE; // a browser may forbid it
  }
})();

// Whether a page that is still there sends it; its own tab has left the page that has another name.
function isHeld({ held }) {
  if (!held || held.page === PAGE) return Boolean(held);
  const left = held.until - Date.now();
  return held.tab !== TAB && left > 0 && left < 2 * SLOW; // more: the clock was set back
}

// The page could not send it: from now on it waits like all others. False: it does not stand there.
async function letGo(number) {
  if (!number) return false;
  const item = await shelf("readonly", (store) => store.get(number));
  if (item) { // else another page has sent it
    delete item.held;
    await shelf("readwrite", (store) => store.put(item));
  }
  cut = true;
  await tell();
  return true;
}

async function takeOff(number) {
  if (number) await shelf("readwrite", (store) => store.delete(number));
}

// All that is not on its way from an open page.
async function shelved() {
  const items = await shelf("readonly", (store) => store.getAll());
  return items.filter((item) => !isHeld(item));
}

async function waiting() {
  return (await shelved()).filter((item) => !item.refused);
}

let left = 0; // parcels that wait, as last told
const ofPage = new Set(); // those of them that were typed on this page
let owed = false; // one of them has gone out, by this page or by another: its list is out of date

function tellOwed(items) {
  const here = items.filter((item) => item.says && item.page === location.pathname);
  for (const number of ofPage) {
    if (here.some((item) => item.number === number)) continue;
    ofPage.delete(number);
    owed = true;
  }
  for (const item of here) if (!item.refused) ofPage.add(item.number);
}

async function tell() {
  const line = document.getElementById("outbox");
  if (!line) return;
  const items = await shelved();
  const refused = items.filter((item) => item.refused);
  const count = items.length - refused.length;
  left = count;
  tellOwed(items);
  const shown = cut ? count : 0; // what is on its way is not worth a word
  line.hidden = refused.length + shown === 0 && !tellLate(line);
  document.getElementById("outbox-waits").textContent =
    shown ? (shown === 1 ? line.dataset.waitsOne : line.dataset.waits).replace("{count}", String(shown)) : "";
  const reasons = [...new Set(refused.map((item) => item.refused)), ...(shown && barred ? [barred] : [])];
  document.getElementById("outbox-refused").textContent = reasons.join(" ");
  document.getElementById("outbox-drop").hidden = refused.length === 0;
  tellStays(items);
  const detail = { waiting: count, refused: refused.length, cut };
  document.dispatchEvent(new CustomEvent("outbox-told", { detail }));
}

// What of this page waits on this device, in the words it was typed in.
function tellStays(items) {
  for (const old of document.querySelectorAll("ul.stays")) old.remove();
  for (const item of cut ? items.filter((one) => one.page === location.pathname && one.says) : []) {
    const form = [...document.querySelectorAll("form[data-stays]")].find((one) => one.action === item.action);
    if (!form) continue;
    let list = form.nextElementSibling;
    if (!list?.matches("ul.stays")) {
      list = document.createElement("ul");
      list.className = "stays small";
      form.after(list);
    }
    const row = document.createElement("li");
    row.textContent = form.dataset.stays.replace("{what}", item.says);
    list.append(row);
  }
}

// What came late and met something newer: said until it was looked at, on every page of this tab.
const LATE = "retrue-late";
const lateSoFar = () => JSON.parse(sessionStorage.getItem(LATE) || "null");

function noteLate(sent, told) {
  const before = lateSoFar() || { sent: 0, aside: 0 };
  const aside = before.aside + (told.aside || 0);
  if (!aside) return;
  const words = { says: told.says || before.says, see: told.see || before.see };
  sessionStorage.setItem(LATE, JSON.stringify({ sent: before.sent + sent, aside, ...words }));
}

function tellLate(line) {
  const late = lateSoFar();
  if (late?.see === location.pathname) sessionStorage.removeItem(LATE);
  if (!late || late.see === location.pathname) return false;
  let says = document.getElementById("outbox-late");
  if (!says) {
    says = document.createElement("p");
    says.id = "outbox-late";
    says.append(document.createElement("a"));
    line.append(says);
  }
  const link = says.firstChild;
  link.href = late.see;
  link.textContent = late.says.replace("{count}", late.sent).replace("{aside}", late.aside);
  return true;
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
const AWAY = new Set([401, 403, 408, 429]); // not this parcel is refused, but this device, for now
const LINE_IS_DEAD = 2; // parcels in a row that did not reach the shop

// One parcel: what became of it. All but "gone" and "refused" leave it here for the next round.
async function sendOne(item) {
  // a refusal then says its reason alone, and no page is fetched that nobody looks at
  const headers = { Accept: "application/json", "Retrue-Onward": "yes" };
  const signal = AbortSignal.timeout ? AbortSignal.timeout(PATIENCE) : undefined;
  const body = parcel(item.entries);
  let answer;
  try {
    answer = await fetch(item.action, { method: "POST", body, headers, signal });
  } catch {
    return "cut";
  }
  if (answer.ok) {
    const json = answer.headers.get("content-type")?.startsWith("application/json");
    const told = json ? await answer.json().catch(() => ({})) : {};
    await shelf("readwrite", (store) => store.delete(item.number));
    answers.told.push(told);
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

// What a parcel speaks of: the point of a set, the line of a list. What corrects it goes after it.
const OF = ["cell", "entry", "item", "step", "check", "question", "record", "start", "key"];
function subjects(item) {
  const of = OF.flatMap((name) => (said(item, name) ? [`${item.action} ${name} ${said(item, name)}`] : []));
  return [said(item, "id"), said(item, "record"), ...of].filter(Boolean);
}

const answers = { told: [] }; // what the shop answered

// Every parcel once: one that the laptop fails at keeps none of the others back, except what
// speaks of the same thing.
async function sendRound() {
  const stuck = new Set();
  answers.told = [];
  let [sent, left, failed] = [0, 0, 0];
  for (const item of await waiting()) {
    let became = "trouble";
    if (!subjects(item).some((one) => stuck.has(one))) {
      became = await sendOne(item).catch(() => "trouble");
    }
    if (became === "gone") sent += 1;
    failed = became === "cut" ? failed + 1 : 0;
    if (became === "cut" || became === "trouble") {
      left += 1;
      for (const one of subjects(item)) stuck.add(one);
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
  // of two pages of one device one sends; where a browser has no such lock the ids keep it once
  try {
    if (navigator.locks) {
      await navigator.locks.request("retrue-outbox", { ifAvailable: true }, (lock) => lock && sendEach());
    } else await sendEach();
  } finally {
    sending = false;
  }
  await tell().catch(() => {});
  if (owed && !cut) await renew().catch(() => {});
}

// What was typed here has been kept: the page says so itself. Of a page on which something is being
// typed only its lists are looked up again, so that nothing typed is lost.
async function renew() {
  owed = false;
  const lists = document.querySelectorAll("[data-renewed][id]");
  if (lists.length) {
    const answer = await fetch(location.href, { cache: "no-store" });
    if (!answer.ok || answer.redirected) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const list of lists) {
      const newer = fresh.getElementById(list.id);
      if (newer && !list.contains(document.activeElement)) list.replaceChildren(...newer.childNodes);
    }
  } else if (!isTyped()) location.reload();
}

// Whether something on this page was typed, picked or is being typed.
function isTyped() {
  const at = document.activeElement;
  if (at?.matches("input:not([type=hidden]), textarea, select")) return true;
  return [...document.querySelectorAll("input, textarea, option")].some((one) => {
    if (one.type === "hidden") return false;
    if (one.tagName === "OPTION") return one.selected !== one.defaultSelected && one.closest("select").value;
    if (/^(radio|checkbox)$/.test(one.type)) return one.checked !== one.defaultChecked;
    return one.type === "file" ? one.files.length > 0 : one.value !== one.defaultValue;
  });
}

async function sendEach() {
  let [sent, dead] = [0, false];
  try {
    while (more) {
      more = false;
      const done = await sendRound();
      sent += done.sent;
      cut = done.left > 0; // what did not come through stays here
      const asides = answers.told.filter((one) => one.aside);
      noteLate(done.sent, { ...asides[0], aside: asides.length });
      dead = done.dead;
      if (dead) break;
    }
  } catch {
    [cut, dead] = [true, true]; // this device does not even say what waits
  }
  await tell().catch(() => {});
  if (sent && !cut) document.dispatchEvent(new CustomEvent("outbox-empty", { detail: { sent } }));
  // what follows from it is looked up again; never while the laptop is away: the page would be gone
  if (sent && !dead && document.querySelector("#price-line, #reading-form")) location.reload();
}

document.addEventListener("click", (event) => {
  if (event.target.id === "outbox-drop") drop();
});
window.addEventListener("online", sendAll);
document.addEventListener("DOMContentLoaded", () => tell().then(sendAll));
document.addEventListener("visibilitychange", () => document.hidden || sendAll());
setInterval(() => left && !document.hidden && sendAll(), SOON);
setInterval(sendAll, AGAIN);

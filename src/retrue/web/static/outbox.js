// What is tapped or noted without a connection waits on this device and is sent when it is back.
// A note carries an id made before it was sent, so that sending twice keeps it once; a tap that
// is sent twice says the same thing twice, which changes nothing.
"use strict";

const AGAIN = 15000; // milliseconds between two tries

const opened = new Promise((done) => {
  const asked = indexedDB.open("retrue", 1);
  asked.onupgradeneeded = () =>
    asked.result.createObjectStore("outbox", { keyPath: "number", autoIncrement: true });
  asked.onsuccess = () => done(asked.result);
  asked.onerror = () => done(null);
});

async function shelf(mode, act) {
  const base = await opened;
  if (!base) return mode === "readonly" ? [] : null;
  return new Promise((done, fail) => {
    const asked = act(base.transaction("outbox", mode).objectStore("outbox"));
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
}

function moment() {
  const now = new Date();
  const minutes = -now.getTimezoneOffset();
  const pad = (value) => String(value).padStart(2, "0");
  const ahead = `${pad(Math.floor(Math.abs(minutes) / 60))}:${pad(Math.abs(minutes) % 60)}`;
  const local = new Date(now.getTime() + minutes * 60000).toISOString().slice(0, 19);
  return local + (minutes < 0 ? "-" : "+") + ahead;
}

async function keepHere(action, body) {
  const entries = [...body.entries()].filter(([, value]) => typeof value === "string" || value.size);
  if (!entries.some(([name]) => name === "observed_at")) entries.push(["observed_at", moment()]);
  await shelf("readwrite", (store) => store.add({ action, entries }));
  await tell();
}

async function tell() {
  const line = document.getElementById("outbox");
  if (!line) return;
  const items = await shelf("readonly", (store) => store.getAll());
  const refused = items.filter((item) => item.refused);
  const waiting = items.length - refused.length;
  line.hidden = items.length === 0;
  document.getElementById("outbox-waits").textContent =
    waiting ? line.dataset.waits.replace("{count}", String(waiting)) : "";
  document.getElementById("outbox-refused").textContent = refused.map((item) => item.refused).join(" ");
  document.getElementById("outbox-drop").hidden = refused.length === 0;
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

let sending = false;
async function sendAll() {
  if (sending) return;
  sending = true;
  let sent = 0;
  try {
    for (const item of await shelf("readonly", (store) => store.getAll())) {
      if (item.refused) continue;
      const headers = { Accept: "application/json" }; // a refusal then says its reason alone
      const body = parcel(item.entries);
      const answer = await fetch(item.action, { method: "POST", body, headers });
      if (answer.status >= 500) break; // the laptop is in trouble: keep it here
      if (answer.ok) {
        await shelf("readwrite", (store) => store.delete(item.number));
        sent += 1;
      } else {
        item.refused = (await answer.json()).reason;
        await shelf("readwrite", (store) => store.put(item));
      }
    }
  } catch {
    // still no connection: everything stays here
  }
  sending = false;
  await tell();
  if (sent && document.querySelector("#price-line, #reading-form")) location.reload();
}

// A tap that htmx could not send.
document.addEventListener("htmx:error", (event) => {
  const request = event.detail?.ctx?.request;
  if (!request?.body || event.detail.ctx.response) return;
  keepHere(request.action, request.body);
});

// A note: sent by hand, so that it can wait here.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || !form.matches("form[data-outbox]")) return;
  event.preventDefault();
  const body = new FormData(form);
  fetch(form.action, { method: "POST", body }).then(
    (answer) => (answer.ok ? location.assign(answer.url) : form.submit()), // submit shows why not
    () => keepHere(form.action, body).then(() => {
      form.reset();
      const id = form.querySelector("input[name=id]");
      if (id) id.value = uuid(); // the next note is another one
      form.dispatchEvent(new CustomEvent("kept-here", { bubbles: true, detail: body }));
    }),
  );
});

document.addEventListener("click", (event) => {
  if (event.target.id === "outbox-drop") drop();
});
window.addEventListener("online", sendAll);
document.addEventListener("DOMContentLoaded", () => tell().then(sendAll));
setInterval(sendAll, AGAIN);

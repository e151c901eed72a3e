// Keeps the pages a paired device has looked at, so that they open without a connection.
// The shop is always asked first; what is shown from here says when it is from. A device that is
// turned away loses everything kept here.
"use strict";

const PAGES = "pages-1";
const FILES = "files-1";
const MOST = { [PAGES]: 80, [FILES]: 400 };
const PATIENCE = 8000; // milliseconds until a dead line is taken for one
const NOWHERE = "/offline";

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(PAGES).then((kept) => kept.add(NOWHERE)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches.keys()
      .then((names) => Promise.all(names.filter((name) => !(name in MOST)).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

async function keep(name, request, answer) {
  const kept = await caches.open(name);
  await kept.delete(request); // so that it is the newest
  await kept.put(request, answer);
  const all = await kept.keys();
  const over = all.filter((one) => new URL(one.url).pathname !== NOWHERE).slice(0, Math.max(0, all.length - MOST[name]));
  await Promise.all(over.map((one) => kept.delete(one)));
}

const forget = () => Promise.all(Object.keys(MOST).map((name) => caches.delete(name)));

// The page with the moment it was kept, for the page's own script to say.
async function marked(answer) {
  const headers = new Headers(answer.headers);
  const at = headers.get("x-kept-at");
  const text = (await answer.text()).replace("<html ", `<html data-kept-at="${at}" `);
  return new Response(text, { status: 200, headers });
}

async function stamped(answer) {
  const headers = new Headers(answer.headers);
  headers.set("x-kept-at", new Date().toISOString());
  return new Response(await answer.blob(), { status: 200, headers });
}

// First power is never shown from yesterday: what is open, and what a watch says, is of this moment.
const live = (address) => /\/wake(\/|$)/.test(new URL(address).pathname);

async function page(event) {
  const { request } = event;
  try {
    const late = new Promise((_, dead) => setTimeout(dead, PATIENCE));
    const answer = await Promise.race([fetch(request), late]);
    const whole = answer.ok && answer.type === "basic" && !answer.redirected && !live(request.url);
    if (whole && answer.headers.get("content-type")?.startsWith("text/html")) {
      const copy = answer.clone();
      event.waitUntil(stamped(copy).then((one) => keep(PAGES, request.url, one)).catch(() => {}));
    }
    if (answer.status === 401 || answer.status === 403) event.waitUntil(forget());
    return answer;
  } catch {
    const kept = await caches.match(request.url, { cacheName: PAGES });
    if (kept) return marked(kept);
    return (await caches.match(NOWHERE, { cacheName: PAGES })) ?? Response.error();
  }
}

// A file out of the keeping at once; of what is kept for whoever is paired the shop is asked first,
// for it knows whether this device may still see it.
async function file(event, asks) {
  const { request } = event;
  const kept = await caches.match(request, { cacheName: FILES });
  if (kept && !asks) return kept;
  let answer;
  try {
    const late = new Promise((_, dead) => setTimeout(dead, PATIENCE));
    answer = await (kept ? Promise.race([fetch(request), late]) : fetch(request));
  } catch {
    return kept ?? Response.error();
  }
  if (answer.status >= 400 && answer.status < 500) {
    event.waitUntil(caches.open(FILES).then((files) => files.delete(request)));
  }
  if (answer.status === 200 && answer.type === "basic") {
    const copy = answer.clone();
    event.waitUntil(keep(FILES, request, copy).catch(() => {}));
  }
  return answer;
}

// Static files carry the hash of their content in their address, and are anybody's.
const lasting = (url) => url.pathname.startsWith("/static/") && url.search;
const shown = (url) => /^\/files\/[^/]+\/shown\//.test(url.pathname);

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin === self.location.origin && url.pathname.startsWith("/pair")) {
    event.waitUntil(forget()); // whoever pairs this device now sees nothing of who had it before
  }
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(event));
  else if (lasting(url) || shown(url)) event.respondWith(file(event, shown(url)));
});

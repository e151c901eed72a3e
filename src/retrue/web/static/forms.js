// Forms without a connection: one that may wait is put into the outbox; one that may not says that it
// needs the laptop, and keeps what was typed in it. Uses outbox.js.
"use strict";

// Two quick taps of one page are two things said: each with an id of its own, or the second
// would count as the first one sent twice.
document.addEventListener("htmx:config:request", (event) => {
  const body = event.detail?.ctx?.request?.body;
  if (body?.has("id")) body.set("id", uuid());
});

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

// What a form says in the words that stand in it: the fields one sees, and the key.
function wordsOf(form, key) {
  const seen = [...form.elements].filter((one) => one.name && one.value && one.type !== "hidden"
    && !/^(BUTTON|FIELDSET)$/.test(one.tagName) && (!/^(radio|checkbox)$/.test(one.type) || one.checked));
  const words = seen.map((one) => {
    if (one.type === "file") return [...one.files].map((file) => file.name).join(", ");
    if (/^(radio|checkbox)$/.test(one.type)) return one.labels?.[0]?.textContent.trim() || one.value;
    return one.tagName === "SELECT" ? one.selectedOptions[0].textContent.trim() : one.value;
  });
  if (key?.name) words.push(key.textContent.trim());
  return [...words, moment().slice(11, 16)].join(", ");
}

// One line of the form itself that says what became of what was typed.
function sayIn(form, words) {
  let says = form.querySelector(".says-away");
  if (!says) {
    says = document.createElement("p");
    says.className = "caution says-away";
    says.setAttribute("role", "alert");
    form.append(says);
  }
  says.textContent = words;
  says.hidden = !words;
}

// It waits here now: the form is ready for the next one.
function cleared(form, body) {
  sayIn(form, "");
  form.reset();
  const id = form.querySelector("input[name=id]");
  if (id) id.value = uuid(); // the next note is another one
  form.dispatchEvent(new CustomEvent("kept-here", { bubbles: true, detail: body }));
}

// Where the shop sends the page on: also if only the place on it is another one.
function goTo(address) {
  const there = new URL(address, location.href);
  const same = there.pathname + there.search === location.pathname + location.search;
  location.assign(there);
  if (same && there.hash) location.reload();
}

const onWay = new WeakSet(); // forms that are on their way: a second press is no second form

// A note stands on this device before it is sent, so that it is not lost with a line that hangs.
async function sendNote(form, key) {
  const body = bodyOf(form, key);
  const kept = keepFirst(form.action, body, wordsOf(form, key));
  const stands = await inTime(kept);
  const signal = AbortSignal.timeout && stands !== null ? AbortSignal.timeout(patience(body)) : undefined;
  const headers = { "Retrue-Onward": "yes" };
  const answer = await fetch(form.action, { method: "POST", body, headers, signal }).catch(() => null);
  if (!answer) {
    if (await letGo(await kept).catch(() => false)) cleared(form, body);
    else sayIn(form, form.dataset.full); // what was typed stays in the form
    return;
  }
  await inTime(kept.then(takeOff).catch(() => {}));
  if (answer.ok) goTo(answer.headers.get("retrue-to") || answer.url);
  else sendPlainly(form, key); // shows why not
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || !form.matches("form[data-outbox]") || plainly.delete(form)) return;
  event.preventDefault();
  if (onWay.has(form)) return;
  onWay.add(form);
  sendNote(form, event.submitter).finally(() => onWay.delete(form));
});

const THERE = 5000; // milliseconds the laptop may take to answer at all

// A form that may not wait: it goes the browser's own way, once the laptop has answered.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || !form.matches("form[data-laptop]") || plainly.delete(form)) return;
  event.preventDefault();
  const key = event.submitter;
  const signal = AbortSignal.timeout ? AbortSignal.timeout(THERE) : undefined;
  fetch("/static/mark.svg", { method: "HEAD", cache: "no-store", signal }).then(
    () => { sayIn(form, ""); sendPlainly(form, key); },
    () => sayIn(form, form.dataset.laptop),
  );
});

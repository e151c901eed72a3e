// The run-in watch on the screen beside the machine: one state that is asked for every two seconds,
// an alarm that is heard before the start, and typed readings that wait here without a connection.
// The alarm does not need the server: it sounds by itself when no reading came in time.
// Uses outbox.js. Nothing here reaches the machine.
"use strict";

const ASK = 2000; // milliseconds between two questions
const PATIENT = 4000; // milliseconds for one answer
const DRAW = 3; // seconds between two pictures of what is new
const QUIET = 6; // seconds without an answer before the page says so
const HEARD_FOR = 1500; // milliseconds the alarm sounds before "I heard it" opens
const ALARMS = new Set(["stop", "no_reading"]);

const board = () => document.getElementById("watch");
const part = (id) => document.getElementById(id);

// ---- sound ----------------------------------------------------------------------------------
// Two tones, 2 a second, rich below 1500 Hz so that muffs let them through (ISO 7731, danger
// signals; from memory). Looped by the sound system itself: no timer of the page can stop it.
let speaker = null; // AudioContext
let siren = null; // the looped alarm while it sounds

function awaken() {
  if (!window.AudioContext) return Promise.resolve(false);
  speaker ??= new AudioContext();
  return speaker.resume().then(() => audible(), () => false);
}

const audible = () => Boolean(speaker) && speaker.state === "running";

function pattern() {
  const rate = speaker.sampleRate;
  const buffer = speaker.createBuffer(1, rate, rate); // one second
  const wave = buffer.getChannelData(0);
  for (let n = 0; n < rate; n += 1) {
    const [half, t] = [n < rate / 2, (n % (rate / 2)) / rate];
    const edge = Math.min(1, t / 0.005, Math.max(0, (0.4 - t) / 0.005)); // 0.4 s of each half
    const tone = Math.sin(2 * Math.PI * (half ? 800 : 1200) * t);
    wave[n] = 0.9 * edge * Math.tanh(4 * tone); // nearly square: rich in overtones
  }
  return buffer;
}

function sound(on) {
  if (on && !siren && speaker) {
    siren = speaker.createBufferSource();
    siren.buffer = pattern();
    siren.loop = true;
    siren.connect(speaker.destination);
    siren.start();
  } else if (!on && siren) {
    siren.stop();
    siren.disconnect();
    siren = null;
  }
}

// ---- before the start -----------------------------------------------------------------------
let heard = false;
let trying = 0; // the timer of the trial

// An alarm that did not sound was not heard: its key opens once it did.
for (const said of document.querySelectorAll("input[name=heard][value=yes]")) {
  said.disabled = !said.checked;
}

async function soundOnce() {
  if (!(await awaken())) {
    part("no-audio").hidden = false;
    return;
  }
  sound(true);
  clearTimeout(trying);
  trying = setTimeout(() => { part("heard-it").disabled = false; }, HEARD_FOR);
}

function itWasHeard() {
  sound(false);
  heard = true;
  part("heard-it").setAttribute("aria-pressed", "true");
  const said = document.querySelector("input[name=heard][value=yes]"); // of a stage: its key
  if (said) [said.disabled, said.checked] = [false, true];
  else part("heard").value = "yes";
  part("start-it")?.removeAttribute("disabled");
  part("start-it")?.focus();
}

// Started without leaving the page: a new one would begin without its sound.
async function start(form, key) {
  await awaken();
  const answer = await fetch(form.action, {
    method: "POST", body: bodyOf(form, key), headers: { Accept: "application/json" },
  }).catch(() => null);
  if (!answer?.ok) return sendPlainly(form, key); // the page then says what was wrong
  const { id } = await answer.json();
  const address = `${form.dataset.watches}/${id}`;
  const page = await fetch(address).then((one) => (one.ok ? one.text() : null), () => null);
  if (!page) return location.assign(address);
  const fresh = new DOMParser().parseFromString(page, "text/html");
  part("page").replaceWith(fresh.getElementById("page"));
  document.title = fresh.title;
  history.pushState({}, "", address);
  scrollTo(0, 0);
  begin();
}
window.addEventListener("popstate", () => location.reload());

// ---- the state ------------------------------------------------------------------------------
let state = null; // as the server said it last
let answered = null; // when, by this device's two clocks
let since = ""; // the same, for people
let skew = 0; // milliseconds the server's clock is ahead of this one
let silenced = ""; // the call whose alarm was answered here

const clocks = () => ({ steady: performance.now(), day: Date.now() });

// Seconds since then: the day's clock goes on while a laptop sleeps, the steady one never jumps back.
function passed(then) {
  const now = clocks();
  return Math.max(now.steady - then.steady, now.day - then.day, 0) / 1000;
}

function take(said) {
  const turned = state && said.call !== state.call;
  const changed = state && said.mark !== shown;
  shown ||= said.mark;
  state = said;
  answered = clocks();
  since = new Date().toTimeString().slice(0, 8);
  skew = Date.parse(said.now) - Date.now();
  if (turned || (changed && passed(drawn) > DRAW)) freshenWatch(said.mark).catch(() => {});
}

let asking = false;
async function ask() {
  if (asking || !board() || state?.ended) return;
  asking = true;
  const signal = AbortSignal.timeout ? AbortSignal.timeout(PATIENT) : undefined;
  try {
    const answer = await fetch(board().dataset.state, {
      headers: { Accept: "application/json" }, cache: "no-store", signal,
    });
    if (answer.ok) take(await answer.json());
  } catch {
    // no word; the tick says since when
  }
  asking = false;
  show();
}

// Table, picture and numbers, when there is something new in them.
let shown = ""; // the mark of what table and picture show
let drawn = clocks(); // when they were asked for
async function freshenWatch(mark) {
  [shown, drawn] = [mark, clocks()];
  const answer = await fetch(location.href);
  if (!answer.ok) return;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const old of document.querySelectorAll("[data-news]")) {
    const now = page.getElementById(old.id);
    if (now) old.replaceWith(now);
  }
}

function spell(seconds) {
  const whole = Math.max(0, Math.round(seconds));
  const minutes = Math.floor(whole / 60);
  return minutes ? `${minutes} min ${String(whole % 60).padStart(2, "0")} s` : `${whole} s`;
}

// What stands on the screen now: the server's word, unless the time for a reading has run out here.
function standing() {
  const silence = passed(answered);
  const due = state.due_s === null ? null : state.due_s - silence;
  const late = due !== null && due <= 0 && !state.ended && !ALARMS.has(state.call);
  return { silence, due, call: late ? "no_reading" : state.call, late };
}

function show() {
  const here = board();
  if (!here || !state) return;
  const { silence, due, call, late } = standing();
  const cut = silence > QUIET && !state.ended;
  const big = part("state");
  const blind = cut && !ALARMS.has(call);
  big.dataset.call = blind ? "no_word" : call;
  part("state-shape").className = `mark ${blind ? "open" : late ? "bad" : state.shape}`;
  const words = blind ? here.dataset.noWord : late ? here.dataset.noReading : state.words;
  if (part("state-words").textContent !== words) part("state-words").textContent = words;
  document.title = `${words} · ${here.dataset.title}`;
  part("late").hidden = !late;
  part("due").hidden = due === null || state.ended;
  if (due !== null) part("due-in").textContent = spell(due);
  part("cut").hidden = !cut;
  if (cut) {
    part("cut-since").textContent = here.dataset.cut.replace("{time}", since).replace("{for}", spell(silence));
  }
  part("trouble").textContent = state.trouble;
  part("trouble").hidden = !state.trouble;
  if (here.dataset.screen === "yes") alarm(state.ended ? "" : call);
}

function alarm(call) {
  const loud = ALARMS.has(call);
  if (!loud || call !== silenced) silenced = "";
  const wanted = loud && silenced !== call;
  part("alarm").hidden = !wanted;
  const mute = part("nosound"); // a watch that has ended says nothing of sound
  if (mute) mute.hidden = audible() || state.ended;
  sound(wanted && audible());
}

function silence() {
  if (part("alarm")?.hidden !== false) return;
  silenced = part("state").dataset.call;
  show();
}

// ---- keys and taps --------------------------------------------------------------------------
async function backToSound() {
  if (audible() || board()?.dataset.screen !== "yes") return;
  await awaken();
  show();
  if (audible() && !siren) { // one short word of it: it can be heard again
    sound(true);
    setTimeout(() => { sound(false); show(); }, 300);
  }
}

document.addEventListener("keydown", (event) => {
  if (!board()) return;
  if (event.key === "Escape" && audible()) silence(); // else the key only brings the sound back
  backToSound();
});
document.addEventListener("pointerdown", backToSound);
document.addEventListener("click", (event) => {
  const act = { "sound-it": soundOnce, "heard-it": itWasHeard, stands: silence }[event.target.id];
  if (act) act();
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.matches("form[data-watches]") && event.submitter?.id === "start-it" && heard
      && !plainly.delete(form)) {
    event.preventDefault();
    start(form, event.submitter);
  } else if (form.matches("form[data-kept]") && !plainly.delete(form)) {
    event.preventDefault();
    sendHere(form, event.submitter);
  }
});

// ---- typed readings -------------------------------------------------------------------------
// What a form says is sent without leaving the page: it would lose its sound. A reading waits here
// where there is no connection; what is said of a logger or taken back is pressed again then.
async function sendHere(form, key) {
  const tell = (words) => { form.querySelector(".says-kept").textContent = words; };
  const body = bodyOf(form, key);
  body.set("id", uuid());
  body.set("observed_at", new Date(Date.now() + skew).toISOString()); // by the server's clock
  const stands = form.dataset.waits ? keepFirst(form.action, body) : Promise.resolve(null);
  await inTime(stands);
  const signal = AbortSignal.timeout ? AbortSignal.timeout(PATIENT) : undefined;
  const headers = { Accept: "application/json" };
  const answer = await fetch(form.action, { method: "POST", body, headers, signal }).catch(() => null);
  if (answer && (answer.ok || answer.status < 500)) await inTime(stands.then(takeOff).catch(() => {}));
  if (answer && !answer.ok && answer.status < 500) {
    const { reason, remedy, problems } = await answer.json();
    return tell([...problems.map((one) => `${one.what}. ${one.remedy}`), reason, remedy].join(" "));
  }
  const waits = form.dataset.waits && !answer?.ok;
  const done = answer?.ok || (waits && (await letGo(await stands).catch(() => false)));
  if (!done) return sendPlainly(form, key); // this device keeps nothing, or it cannot wait
  form.reset();
  tell(waits ? form.dataset.waits : form.dataset.kept);
  form.querySelector("input[type=text]")?.focus();
  drawn.steady = -Infinity; // what was said is looked for at once
  return ask();
}
document.addEventListener("outbox-empty", ask);

// ---- this page is the watch -----------------------------------------------------------------
let lock = null;
async function stayAwake() {
  if (board()?.dataset.screen !== "yes" || document.visibilityState !== "visible") return;
  lock = await navigator.wakeLock?.request("screen").catch(() => null);
  part("dark").hidden = Boolean(lock);
}
document.addEventListener("visibilitychange", stayAwake);

let ticks = 0;
function tick() {
  ticks += 1;
  show();
  if (ticks % (ASK / 1000) === 0) ask();
}

let ticking = false;
function begin() {
  if (!board()) return;
  shown = "";
  take(JSON.parse(board().dataset.now));
  if (!ticking) {
    ticking = true;
    const clock = new Worker(board().dataset.tick);
    clock.onmessage = tick;
    clock.onerror = () => setInterval(tick, 1000);
  }
  if (board().dataset.screen === "yes") awaken(); // some browsers wait for a key, and so does the page
  stayAwake();
  show();
}
document.addEventListener("DOMContentLoaded", begin);
// What is being watched is not left by mistake: without this page nothing sounds here.
let leaving = false;
document.addEventListener("submit", (event) => { leaving = !event.defaultPrevented; });
window.addEventListener("beforeunload", (event) => {
  if (board()?.dataset.screen === "yes" && state && !state.ended && !leaving) event.preventDefault();
});

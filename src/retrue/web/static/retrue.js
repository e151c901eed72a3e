// Extras only: every page works as a plain form without this file.
"use strict";

const LONG_SIDE = 2000; // pixels: enough to read a name plate
const SMALL = 900000; // bytes: below this a photograph is sent as it is

async function scaled(file) {
  if (!/^image\/(jpeg|png|webp)$/.test(file.type) || file.size < SMALL) return file;
  try {
    const picture = await createImageBitmap(file);
    const share = Math.min(1, LONG_SIDE / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(picture.width * share);
    canvas.height = Math.round(picture.height * share);
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.88));
    if (!blob || blob.size >= file.size) return file;
    return new File([blob], "scaled-" + file.name.replace(/\.\w+$/, "") + ".jpg", { type: "image/jpeg" });
  } catch {
    return file; // the server will say what is wrong with it
  }
}

async function scale(input) {
  const form = input.form;
  const whole = form.querySelector("input[name=whole]");
  if (whole && whole.checked) return;
  const says = document.getElementById(input.id + "-says");
  if (says) says.dataset.empty ??= says.textContent;
  const parcel = new DataTransfer();
  let done = 0;
  for (const file of input.files) {
    if (says) says.textContent = `${++done} / ${input.files.length}`;
    parcel.items.add(await scaled(file));
  }
  input.files = parcel.files;
  if (says) says.textContent = readyWords(says.dataset, parcel.files.length);
}

function readyWords(words, count) {
  if (!count) return words.empty;
  return count === 1 && words.one ? words.one : words.ready.replace("{count}", String(count));
}

// An emptied form has no photograph ready any more.
document.addEventListener("reset", (event) => {
  for (const says of event.target.querySelectorAll("[data-ready][data-empty]")) {
    says.textContent = says.dataset.empty;
  }
});

let working = Promise.resolve();
const begun = new WeakSet(); // fields whose photographs are scaled, or about to be
document.addEventListener("change", (event) => {
  const input = event.target;
  if (input.matches("input[type=file][data-scale]")) {
    begun.add(input);
    working = scale(input);
  }
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.dataset.ready === "yes" || !form.querySelector("input[type=file][data-scale]")) return;
  event.preventDefault(); // until the photographs are scaled
  for (const input of form.querySelectorAll("input[type=file][data-scale]")) {
    if (begun.has(input)) continue; // else they were picked before this file was here
    begun.add(input);
    working = working.then(() => scale(input));
  }
  const presser = event.submitter;
  const send = () => {
    form.dataset.ready = "yes";
    form.requestSubmit(presser || undefined);
    form.dataset.ready = "";
  };
  working.then(() => setTimeout(send)); // a form cannot be sent while its sending is asked about
});

// The number pad stands below the number field that was touched, and types into it.
const FINGERS = matchMedia("(pointer: coarse)");
let typing = null;
document.addEventListener("focusin", (event) => {
  const pad = document.querySelector(".pad");
  if (!pad || !FINGERS.matches || !event.target.matches("input[inputmode]")) return;
  typing = event.target;
  typing.closest(".field").after(pad);
  pad.classList.add("here");
  pad.scrollIntoView({ block: "nearest" });
});

document.addEventListener("click", (event) => {
  const pad = event.target.closest("[data-pad]");
  if (pad && typing) {
    const sign = pad.dataset.pad;
    typing.value = sign === "back" ? typing.value.slice(0, -1) : typing.value + sign;
    typing.focus({ preventScroll: true });
  }
  const choose = event.target.closest("[data-select]");
  if (choose) {
    const field = document.getElementById(choose.dataset.select);
    field.focus();
    field.select();
    if (navigator.clipboard) navigator.clipboard.writeText(field.value).catch(() => {});
  }
});

function whenShown() {
  document.documentElement.classList.add("js");
  if (document.querySelector(".pad") && FINGERS.matches) {
    // our own pad leaves the photograph in sight; the telephone's would cover it
    for (const field of document.querySelectorAll("input[inputmode=decimal]")) field.inputMode = "none";
  }
  for (const field of document.querySelectorAll("textarea[data-selected]")) field.select();
  const refused = document.getElementById("refused");
  if (refused) refused.scrollIntoView({ block: "center" });
}
document.addEventListener("DOMContentLoaded", whenShown);

document.addEventListener("htmx:before:request", () => {
  document.getElementById("price-line")?.setAttribute("aria-busy", "true");
});
document.addEventListener("htmx:finally:request", () => {
  document.getElementById("price-line")?.removeAttribute("aria-busy");
});

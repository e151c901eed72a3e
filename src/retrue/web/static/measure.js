// Extras only: number after number without a connection, and a typed sign that presses its key.
"use strict";

function signKey(form, value) {
  return form.querySelector(`input[name=sign][value=${value}]`);
}

// "-3" typed with the keyboard presses the minus key and leaves 3 in the field.
function pressSign(field) {
  const form = field.form;
  if (field.id !== "reading" || !form || document.getElementById("sign").hidden) return;
  const typed = field.value.match(/^\s*([+\-\u2212])(.*)$/);
  if (!typed) return;
  signKey(form, typed[1] === "+" ? "plus" : "minus").checked = true;
  field.value = typed[2].trim();
}
document.addEventListener("input", (event) => pressSign(event.target));

// After the sign was pressed the number is next.
document.addEventListener("change", (event) => {
  if (event.target.name === "sign") document.getElementById("reading")?.focus();
});

// The number waits on this device: ask for the one after it.
document.addEventListener("kept-here", (event) => {
  const form = event.target;
  if (!form.matches("form[data-measure]")) return;
  const next = document.querySelector("#ahead li");
  const note = document.getElementById("waits-note");
  const question = document.getElementById("question");
  if (question) question.remove();
  note.hidden = false;
  if (!next) {
    form.querySelector(".acts").hidden = true;
    return;
  }
  document.getElementById("cell").value = next.dataset.id;
  document.getElementById("prompt").textContent = next.textContent;
  document.getElementById("unit").textContent = next.dataset.unit;
  document.getElementById("group").textContent = " " + next.dataset.group;
  document.getElementById("sign").hidden = next.dataset.signed !== "yes";
  const sign = event.detail.get("sign");
  if (sign) signKey(form, sign).checked = true; // it stays as it was pressed last
  const count = document.getElementById("number-now");
  count.textContent = String(Number(count.textContent) + 1);
  next.remove();
  const field = document.getElementById("reading");
  field.value = "";
  field.focus();
});

// What was kept already stands marked, so that typing replaces it; a quick hand may have typed
// before this file was here.
document.addEventListener("DOMContentLoaded", () => {
  const field = document.getElementById("reading");
  if (!field) return;
  if (field.value === field.defaultValue) field.select();
  else pressSign(field);
});

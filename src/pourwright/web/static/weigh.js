// The number pad of the scale, and what a figure means while it is typed, in words and on its line.

import { fetchPage } from "./page.js";

const field = document.getElementById("f-mass"), form = field.form;
const verdict = document.getElementById("verdict"), said = verdict.textContent;
let asked = 0;

/** Have the studio say what stands in the field, once nothing was typed for a moment. */
function ask() {
  clearTimeout(asked);
  asked = setTimeout(async () => {
    const told = new URLSearchParams({ mass: field.value, "mass.unit": form.elements["mass.unit"].value });
    const fresh = await fetchPage(`${location.pathname}?${told}`).catch(() => null);
    if (!fresh) verdict.textContent = said;
    else for (const part of form.querySelectorAll("[data-told]")) part.replaceChildren(...fresh.getElementById(part.id).childNodes);
  }, 300);
}

// a phone shows our pad in the place of its own
const pad = form.querySelector("[data-keys]");
if (matchMedia("(max-width: 56.24rem)").matches) {
  pad.hidden = false;
  field.inputMode = "none";
}
pad.addEventListener("click", event => {
  const key = event.target.closest("[data-key]")?.dataset.key;
  if (key === undefined) return;
  if (key) field.value += key;
  else field.value = field.value.slice(0, -1);
  ask();
});
form.addEventListener("input", ask);

if (matchMedia("(min-width: 56.25rem)").matches) field.focus();

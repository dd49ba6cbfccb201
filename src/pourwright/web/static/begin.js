// One question a screen: Enter goes on, what has a default may be skipped, and nothing is sent before the last.

import { make } from "./page.js";

const form = document.querySelector(".questions form");
const steps = [...form.querySelectorAll(":scope > .fields > .field, :scope > .rest")];
const send = form.querySelector(".form-foot button");
const count = make("p", { class: "kicker", role: "status" });
const next = make("button", { type: "button", class: "button", click: go }, "Next");
const before = make("button", { type: "button", class: "button quiet", click: () => show(at - 1) }, "Back");
let at = Math.max(0, steps.findIndex(one => one.querySelector(".error")));

const fieldOf = step => step.querySelector("input:not([type=hidden]), textarea, select");
const isMissing = step => !step.matches(".rest") && fieldOf(step).getAttribute("aria-required") === "true" && !fieldOf(step).value.trim();

/** Show one question, and nothing of the others. */
function show(place) {
  at = Math.min(Math.max(place, 0), steps.length - 1);
  for (const [n, one] of steps.entries()) one.hidden = n !== at;
  const isLast = at === steps.length - 1;
  count.textContent = isLast ? "That is all" : `Question ${at + 1} of ${steps.length - 1}`;
  before.hidden = at === 0;
  next.hidden = isLast;
  send.hidden = steps.some(isMissing) && !isLast;
  send.classList.toggle("quiet", !isLast);
  say();
  if (!isLast) fieldOf(steps[at]).focus();
  else send.focus({ preventScroll: true });
}

/** Say on the button whether an empty field is skipped. */
function say() {
  const field = fieldOf(steps[at]);
  next.textContent = field.type === "text" && !field.value.trim() && !isMissing(steps[at]) ? "Skip" : "Next";
}

function go() {
  if (isMissing(steps[at])) fieldOf(steps[at]).focus();
  else show(at + 1);
}

form.addEventListener("input", () => { say(); send.hidden = steps.some(isMissing); });
form.addEventListener("keydown", event => {
  if (event.key !== "Enter" || !event.target.matches("input") || at === steps.length - 1) return;
  event.preventDefault();
  go();
});

form.prepend(count);
send.before(next, " ", before, " ");
form.classList.add("asking");
show(at);

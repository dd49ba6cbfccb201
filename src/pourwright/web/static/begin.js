// One question a screen: Enter goes on, what has a default may be skipped, and nothing is sent before the last.

import { make } from "./page.js";

const form = document.querySelector(".questions form");
const steps = [...form.querySelectorAll(":scope > .fields > .field, :scope > .rest")];
const send = form.querySelector(".form-foot button");
const count = make("p", { class: "kicker", role: "status" });
const next = make("button", { type: "button", class: "button", click: go }, "Next");
const before = make("button", { type: "button", class: "button quiet", click: () => show(at - 1) }, "Back");
let at = Math.max(0, steps.findIndex(one => one.querySelector(".error")));

const fieldOf = step => step.querySelector("input:checked") ?? step.querySelector("input:not([type=hidden]), textarea, select");
const either = { water: "dry_mass", dry_mass: "water" };
/** Whether another answer tells a question already: of water and dry mass one is enough. */
const isTold = step => {
  const field = fieldOf(step), other = either[field?.name];
  return Boolean(other) && !field.value.trim() && form.elements[other].value.trim() !== "";
};
const isMissing = step => !step.matches(".rest") && fieldOf(step).getAttribute("aria-required") === "true" && !fieldOf(step).value.trim();

/** Show one question, and nothing of the others. */
function show(place) {
  const way = place < at ? -1 : 1;
  at = Math.min(Math.max(place, 0), steps.length - 1);
  if (isTold(steps[at])) at += way;
  for (const [n, one] of steps.entries()) one.hidden = n !== at;
  const isLast = at === steps.length - 1;
  count.textContent = isLast ? "That is all" : `Question ${asked(steps.slice(0, at + 1))} of ${asked(steps) - 1}`;
  before.hidden = at === 0;
  next.hidden = isLast;
  send.hidden = steps.some(isMissing) && !isLast;
  send.classList.toggle("quiet", !isLast);
  say();
  if (!isLast) fieldOf(steps[at]).focus();
  else send.focus({ preventScroll: true });
}

const asked = some => some.filter(one => !isTold(one)).length;

/** Say on the button whether an empty field is skipped. */
function say() {
  const field = fieldOf(steps[at]);
  next.textContent = field.type === "text" && !field.value.trim() && !isMissing(steps[at]) ? "Skip" : "Next";
}

/** Go on, if the answer can be used; where it is read as something else than was typed, that is seen first. */
async function go() {
  const here = at, field = fieldOf(steps[at]);
  if (isMissing(steps[at])) field.focus();
  else if (await isRead(field) && here === at) show(at + 1);
}

/** Show under a field how its answer is understood or what is wrong with it; return whether that was seen. */
async function isRead(field) {
  if (field.type !== "text" || field.name === "name") return true;
  const query = new URLSearchParams({ key: field.name, text: field.value, units: form.elements.units?.value || form.parentElement.dataset.units });
  const told = await fetch(`/begin/answer?${query}`).then(answer => answer.json()).catch(() => ({}));
  const line = field.parentElement.querySelector(".read-back") ?? make("p", { role: "status" });
  const said = told.wrong ?? told.read ?? "", wasSeen = line.textContent === said;
  line.className = told.wrong ? "read-back error" : "read-back hint";
  line.textContent = said;
  field.after(line);
  field.setAttribute("aria-invalid", String(Boolean(told.wrong)));
  return !told.wrong && (wasSeen || !said);
}

let soon = 0;
form.addEventListener("input", event => {
  say();
  send.hidden = steps.some(isMissing);
  clearTimeout(soon);
  if (event.target.name === "deadline") soon = setTimeout(isRead, 300, event.target);
});
form.addEventListener("keydown", event => {
  if (event.key !== "Enter" || !event.target.matches("input") || at === steps.length - 1) return;
  event.preventDefault();
  go();
});

form.prepend(count);
send.before(next, " ", before, " ");
form.classList.add("asking");
show(at);

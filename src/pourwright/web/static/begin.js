// An edition takes shape as it is told: what is asked is drawn beside its field, and what is told stands on
// the board and can be pressed to tell it otherwise. Enter goes on, and nothing is sent before the last.

import { fetchPage, make } from "./page.js";

const form = document.querySelector(".questions form");
const steps = [...form.querySelectorAll(":scope > .fields > .field, :scope > .rest")];
const board = document.getElementById("taking-shape");
const things = [...board.querySelectorAll("[data-of]")];
const drawn = document.getElementById("asked");
const send = form.querySelector(".form-foot button");
const all = make("p", { class: "lead", role: "status" });
const next = make("button", { type: "button", class: "button", click: go });
let at = Math.max(0, steps.findIndex(one => one.querySelector(".error")));

const PARTS = /[;\n]|(?<=[A-Za-z]) *, *(?=[0-9.])(?![0-9./ ]*(?:oz|ounce))/;
const fieldOf = step => step.querySelector("input:checked") ?? step.querySelector("input:not([type=hidden]), textarea, select");
const told = step => (step.matches(".rest") ? "" : fieldOf(step).value.trim());
const isMissing = step => !step.matches(".rest") && fieldOf(step).getAttribute("aria-required") === "true" && !told(step);

const either = { water: "dry_mass", dry_mass: "water" };
/** Whether another answer tells a question already: of water and dry mass one is enough. */
const isSpared = step => {
  const other = step.matches(".rest") ? "" : either[fieldOf(step).name];
  return Boolean(other) && !told(step) && form.elements[other].value.trim() !== "";
};

/** Draw what is told of a thing: its figure, and so many parts of water. */
function draw(step, thing) {
  const text = told(step), parts = text.split(PARTS).filter(one => one.trim()).length;
  const on = thing.querySelector(".on"), isShort = text.length <= 4;
  const figure = thing.dataset.of === "pieces" && text ? `1/${text}` : text;
  thing.querySelector("g").classList.toggle("is-untold", !text && !step.matches(".rest"));
  thing.querySelector("b").textContent = on && isShort ? "" : step.dataset.read || text;
  if (on) on.textContent = isShort ? figure : "";
  for (const [n, seam] of [...thing.querySelectorAll(".seam")].entries()) seam.toggleAttribute("hidden", n + 1 >= parts);
}

/** Ask for one thing, and for no other; behind the last, for none. */
function show(place) {
  at = Math.min(Math.max(place, 0), steps.length);
  if (at < steps.length && isSpared(steps[at])) at += 1;
  const isLast = at >= steps.length - (steps.at(-1).matches(".rest") ? 1 : 0);
  for (const [n, one] of steps.entries()) {
    one.hidden = n !== at;
    if (n === at) things[n].setAttribute("aria-current", "step");
    else things[n].removeAttribute("aria-current");
  }
  all.textContent = isLast ? "That is enough: it stands on the board. Press a thing to tell it otherwise." : "";
  drawn.toggleAttribute("hidden", at === steps.length || steps[at].matches("fieldset"));
  if (at < steps.length) drawn.querySelector("use").setAttribute("href", `#thing-${things[at].dataset.of}`);
  next.hidden = isLast;
  send.classList.toggle("quiet", !isLast);
  say();
  const wrong = steps[at]?.querySelector("[aria-invalid=true]");
  if (wrong) showWrong(wrong);
  else if (isLast) send.focus({ preventScroll: true });
  else fieldOf(steps[at]).focus();
}

/** Bring a field that is wrong into view, with what is wrong under it. */
function showWrong(wrong) {
  (wrong.matches("fieldset") ? wrong.querySelector("input") : wrong).focus({ preventScroll: true });
  wrong.closest(".field").scrollIntoView({ block: "center" });
}

/** Say on the button what becomes of the answer, and offer the plan once nothing is missing. */
function say() {
  for (const [n, one] of steps.entries()) {
    draw(one, things[n]);
    const isAhead = things[n].dataset.of === "dry_mass" && n > at && !told(one);
    things[n].parentElement.hidden = isSpared(one) || isAhead;
  }
  send.hidden = steps.some(isMissing);
  if (at < steps.length) next.textContent = told(steps[at]) || isMissing(steps[at]) ? "Put it on the board" : "Leave it out";
}

/** Go on, if the answer can be used; how it is read stands on the board. */
async function go() {
  const here = at, field = fieldOf(steps[at]);
  if (isMissing(steps[at])) field.focus();
  else if (await isRead(field)) { if (here === at) show(at + 1); }
  else if (here === at) field.focus(); // what is typed next mends it
}

const unitsNow = () => form.elements.units?.value || form.parentElement.dataset.units;

/** Ask for what each part takes by what is there: only a master can be filled with water. */
async function askByWhatIsThere() {
  const query = new URLSearchParams({ have: form.elements.have.value, units: unitsNow() });
  const fresh = await fetchPage(`/begin?${query}`).catch(() => null);
  for (const part of ["label[for=f-water]", "#h-water"]) {
    const words = fresh?.querySelector(part)?.childNodes;
    if (words) form.querySelector(part).replaceChildren(...words);
  }
}

/** Show under a field how its answer is understood or what is wrong with it; return whether it can be used. */
async function isRead(field) {
  if (field.type !== "text" || field.name === "name") return true;
  const query = new URLSearchParams({ key: field.name, text: field.value, units: unitsNow(), have: form.elements.have.value });
  const found = await fetch(`/begin/answer?${query}`).then(answer => answer.json()).catch(() => ({}));
  const line = field.parentElement.querySelector(".read-back") ?? make("p", { role: "status" });
  if (found.read) field.parentElement.dataset.read = found.read;
  line.className = found.wrong ? "read-back error" : "read-back hint";
  line.textContent = found.wrong ?? (found.read ? `That is ${found.read}.` : "");
  field.after(line);
  field.setAttribute("aria-invalid", String(Boolean(found.wrong)));
  return !found.wrong;
}

let soon = 0;
form.addEventListener("change", event => {
  if (["have", "units"].includes(event.target.name)) askByWhatIsThere();
});
form.addEventListener("input", event => {
  delete event.target.closest(".field").dataset.read;
  say();
  clearTimeout(soon);
  if (event.target.name === "deadline") soon = setTimeout(isRead, 300, event.target);
});
form.addEventListener("keydown", event => {
  if (event.key !== "Enter" || !event.target.matches("input") || next.hidden) return;
  event.preventDefault();
  go();
});
for (const [n, thing] of things.entries()) thing.addEventListener("click", () => show(n));

// the phone knows where it is
if (form.elements.zone) form.elements.zone.value ||= Intl.DateTimeFormat().resolvedOptions().timeZone ?? "";

askByWhatIsThere();
form.prepend(drawn, all);
send.before(next, " ");
form.classList.add("asking");
board.hidden = false;
show(at);

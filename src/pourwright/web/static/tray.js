// A tray of feet: pressed or swept, and one dock with what can be done with all that are chosen.

const boxes = form => [...form.querySelectorAll("input[type=checkbox]")];
const named = names => (names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`);
let kept = null; // the tray as it was and the key that stays chosen after an act, once the tray is shown anew
const held = new Map(); // by tray, the keys that are chosen in it
let tapped = ""; // the tap that was made last
let sent = null; // what was chosen and told for the last act, in case the book refuses it

/** Show what can be done with what is chosen, and nothing else. */
function show(form) {
  const chosen = boxes(form).filter(one => one.checked);
  held.set(form.getAttribute("id"), chosen.map(one => one.dataset.key));
  const dock = form.querySelector("[data-chosen]");
  const names = chosen.map(one => one.closest("label").querySelector("b").textContent);
  const words = new Set(chosen.map(one => one.closest("label").querySelector(".unseen").textContent));
  dock.classList.toggle("dock", chosen.length > 0);
  dock.querySelector("[data-chosen-names]").textContent = named(names);
  const [first = [], ...others] = chosen.map(one => one.dataset.acts.split("|").filter(Boolean));
  const shared = first.filter(act => others.every(acts => acts.includes(act)));
  dock.querySelector("[data-chosen-what]").textContent =
    words.size === 1 ? [...words][0] : shared.length ? "chosen" : "chosen; nothing can be done with all of them";
  const unsold = names.filter((_, n) => chosen[n].dataset.acts.split("|").includes("unsold"));
  for (const act of dock.querySelectorAll("[data-act]")) {
    const name = act.dataset.act;
    const can = name === "story" ? chosen.length === 1 : name === "unsold" ? unsold.length > 0 && shared.includes("ship") : shared.includes(name) && !(name === "again shown" && shared.includes("again"));
    act.hidden = !can;
    if (act.matches("details") && !can) act.open = false;
    for (const one of [act, ...act.querySelectorAll("button, input")]) one.disabled = !can;
  }
  const whose = dock.querySelector('[data-act="unsold"] b');
  whose.textContent = unsold.length < names.length ? `${named(unsold)}: ` : ""; // of several, some may be sold
  document.body.style.setProperty("--dock", `${document.querySelector(".chosen.dock")?.offsetHeight ?? 0}px`);
  for (const button of dock.querySelectorAll("[data-verb]")) button.dataset.words = `${button.dataset.verb} ${named(names)}`;
}

/** Choose in one tray only: what is done is done to numbers or to proofs. */
function chosenIn(form) {
  for (const other of document.querySelectorAll("form[data-tray]")) {
    if (other !== form && boxes(other).some(one => one.checked)) other.reset();
  }
  show(form);
}

function showAll() {
  for (const form of document.querySelectorAll("form[data-tray]")) show(form);
}

document.addEventListener("change", event => {
  const form = event.target.closest("form");
  if (event.target.matches("[data-tray] input[type=checkbox]")) chosenIn(form);
  // a camera's photo is sent at once
  if (event.target.matches(".photo-act input[type=file]") && event.target.files.length) {
    form.requestSubmit(event.target.closest(".photo-act").querySelector("button"));
  }
});

document.addEventListener("reset", event => {
  if (event.target.matches("[data-tray]")) setTimeout(() => show(event.target));
});

document.addEventListener("toggle", event => {
  // what one act needs is no matter of the others of the same form
  if (event.target.matches(".tray-form details")) for (const field of event.target.querySelectorAll("[aria-required]")) field.required = event.target.open;
  if (!event.target.matches("[data-tray] details")) return;
  showAll(); // the dock is higher or lower now
  const chosen = boxes(event.target.closest("form")).filter(one => one.checked).at(-1);
  if (event.target.open) chosen?.closest("label").scrollIntoView({ block: "nearest" });
}, true);

// Enter means the act beside the field; on a foot it chooses, as Space does.
document.addEventListener("keydown", event => {
  const field = event.target;
  if (event.key !== "Enter" || !field.matches(".tray-form input")) return;
  event.preventDefault();
  if (field.type === "checkbox") field.click();
  else field.closest(".can-more")?.querySelector("button").click();
});

// --- sweeping: a finger or a mouse that goes over feet chooses them all

let sweep = null;

const footAt = event => document.elementFromPoint(event.clientX, event.clientY)?.closest("[data-tray] .tray label")?.querySelector("input");

document.addEventListener("pointerdown", event => {
  const first = event.button === 0 ? footAt(event) : null;
  sweep = first && { first, to: !first.checked, over: new Set() };
});

document.addEventListener("pointermove", event => {
  const foot = sweep && footAt(event);
  if (!foot || foot.form !== sweep.first.form || (foot === sweep.first && sweep.over.size === 0)) return;
  for (const one of [sweep.first, foot]) {
    if (!sweep.over.has(one)) {
      sweep.over.add(one);
      one.checked = sweep.to;
    }
  }
  chosenIn(foot.form);
});

for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, () => { setTimeout(() => { sweep = null; }); });
}

// a mouse that comes back to the foot where it began presses it once more
document.addEventListener("click", event => {
  if (sweep?.over.size && event.target.closest("[data-tray] .tray label")) event.preventDefault();
}, true);

// --- after an act

document.addEventListener("submit", event => {
  const form = event.target;
  if (!form.matches(".tray-form") || !event.submitter?.formAction.includes("/do/")) return;
  // of several that stayed chosen, a press meant to choose one would leave it out; one alone is at hand to be made again
  const chosen = boxes(form).filter(one => one.checked).map(one => one.dataset.key);
  const stays = event.submitter.matches("[data-stays]") && form.matches("[data-tray]") && chosen.length === 1;
  kept = stays ? { form, key: chosen[0] } : null;
  const panel = event.submitter.closest("details");
  const told = [...panel?.querySelectorAll("input[type=text]") ?? []].map(one => [one.id, one.value]);
  sent = { tap: tapped, form: form.getAttribute("id"), chosen, panel: panel?.id, told };
  setTimeout(() => { // the outbox has read it by then
    const first = boxes(form).find(one => one.checked);
    for (const one of form.querySelectorAll("details[open]")) one.open = false;
    form.reset();
    first?.focus({ preventScroll: true });
  });
});

document.addEventListener("studio:tapped", event => { tapped = event.detail.id; });

// what the book refuses stays chosen and told, to be mended
document.addEventListener("studio:answered", ({ detail: { tap, answer } }) => {
  const form = sent?.tap === tap.id && !answer.ok && !answer.already && document.getElementById(sent.form);
  if (!form) return;
  kept = null;
  if (boxes(form).some(one => one.checked)) return;
  for (const box of boxes(form)) box.checked = sent.chosen.includes(box.dataset.key);
  for (const [id, value] of sent.told) document.getElementById(id).value = value;
  if (sent.panel) document.getElementById(sent.panel).open = true;
  showAll();
});

document.addEventListener("studio:refreshed", () => {
  // other parts of the page may be shown anew before the tray: what the act left is chosen where it can be seen
  if (kept && !kept.form.isConnected) {
    held.set(kept.form.getAttribute("id"), [kept.key]);
    kept = null;
  }
  for (const form of document.querySelectorAll("form[data-tray]")) {
    for (const box of boxes(form)) box.checked = held.get(form.getAttribute("id"))?.includes(box.dataset.key) ?? false;
  }
  showAll();
});

// a page that was gone back to may have feet that are chosen
addEventListener("pageshow", showAll);
showAll();

// Ware piece by piece: a foot is pressed, then its cause. Of a load each is a tap of its own, kept
// on this phone until it is written down; the load is then counted by what all phones saw. Of ware
// that is inspected the lists behind the feet hold what is sent.

import * as outbox from "./outbox.js";

const form = document.querySelector("[data-load]");
const load = form.dataset.load; // empty where ware is inspected
const panel = form.querySelector("[data-causes]");
const title = document.getElementById("happened-title");
const own = document.getElementById("own-cause");
const stands = new Map(); // by piece, the causes that stand by the ids of their taps
let lists = [];
let of = null; // the list whose foot is pressed
let lastThing = "";
let written = ""; // the tap that wrote the load down

const nameOf = list => list.getAttribute("aria-label").split(",")[0];

/** Show what is chosen on the feet, in the panel and on the button. */
function show() {
  for (const list of lists) {
    const press = list.parentElement.querySelector(".foot-press");
    press.setAttribute("aria-label", `${nameOf(list)}, ${list.value || "good"}`);
    press.setAttribute("aria-expanded", String(list === of));
    press.textContent = list.value || "good";
  }
  panel.hidden = of === null;
  if (of) {
    title.textContent = `${nameOf(of)}: what happened?`;
    for (const tile of panel.querySelectorAll(".cause-tile")) tile.setAttribute("aria-pressed", String(tile.dataset.cause === of.value));
  }
  const lost = lists.filter(list => list.value).length, good = lists.length - lost;
  form.querySelector("[data-count]").textContent = lost ? `${good} good, ${lost} lost` : `all ${good} good`;
}

/** Choose a cause of a list; one that is missing there is added to all, and stays. */
function choose(list, cause) {
  for (const one of lists) {
    if (![...one.options].some(option => option.value === cause)) one.add(new Option(cause || "good", cause));
  }
  list.value = cause;
}

/** Say what became of the piece that is pressed. */
function say(cause) {
  const list = of, press = list.parentElement.querySelector(".foot-press");
  of = null;
  lastThing = list.dataset.thing;
  if (load) tell(list, cause);
  else choose(list, cause);
  show();
  press.focus();
}

/** Keep what was seen of a piece: what was said of it before is taken back by its id. */
function tell(list, cause) {
  if (list.value === cause) return;
  const what = list.dataset.thing, about = { edition: form.elements.edition.value, what, step: "lost" };
  for (const id of [...stands.get(what).keys()]) {
    outbox.add({ do: "undo-step", ...about, undoes: id }, { words: `${nameOf(list)} is good`, undoes: id });
  }
  if (cause) outbox.add({ do: "start-step", ...about, cause }, { words: `${nameOf(list)}: ${cause}` });
}

/** Take a tap in: of a piece, or that the load is written down. */
function take(tap) {
  const { do: verb, what, step, cause, undoes } = tap.command;
  if (verb === "unload" && tap.command.load === load) written = tap.id;
  if (tap.undoes === written) written = "";
  const list = step === "lost" && lists.find(one => one.dataset.thing === what);
  if (list) {
    const seen = stands.get(what);
    if (verb === "start-step") seen.set(tap.id, cause);
    else seen.delete(undoes);
    choose(list, [...seen.values()][0] ?? "");
  }
  show();
  showWritten();
}

function showWritten() {
  if (!load) return;
  form.querySelector(".dock-acts > button").hidden = written !== "";
  const done = form.querySelector("[data-done]"), isKept = outbox.waiting().some(tap => tap.id === written);
  done.hidden = written === "";
  done.querySelector("small").textContent = isKept ? "kept on this phone" : "written down";
}

/** Let feet be pressed: as the page comes, and again when what stands there was exchanged. */
function begin() {
  lists = [...form.querySelectorAll(".kiln-shelf select")];
  of &&= lists.find(list => list.dataset.thing === of.dataset.thing) ?? null;
  for (const list of lists) {
    if (load) {
      list.removeAttribute("name"); // what was seen is told by taps
      const ids = list.dataset.stands.split(" ").filter(Boolean);
      stands.set(list.dataset.thing, new Map(ids.map(id => [id, list.value])));
    }
    const press = document.createElement("button");
    press.type = "button";
    press.className = "foot-press";
    press.addEventListener("click", () => {
      of = of === list ? null : list;
      show();
      if (of) panel.scrollIntoView({ block: "nearest" });
    });
    list.hidden = true;
    list.after(press);
  }
  show();
}

panel.addEventListener("click", event => {
  const cause = event.target.closest("[data-cause]")?.dataset.cause;
  if (cause !== undefined) say(cause);
  else if (event.target.closest("[data-own]") && own.value.trim()) say(own.value.trim().toLowerCase());
});
own.addEventListener("keydown", event => {
  if (event.key !== "Enter") return;
  event.preventDefault();
  if (own.value.trim()) say(own.value.trim().toLowerCase());
});
begin();
if (load) {
  form.action = "/do/unload";
  form.dataset.tap = load;
  for (const tap of outbox.waiting()) take(tap); // kept from before a reload
  document.addEventListener("studio:tapped", event => take(event.detail));
  document.addEventListener("studio:answered", ({ detail: { tap, answer } }) => {
    if (tap.id === written && !answer.ok && !answer.already) written = "";
    showWritten();
  });
  document.addEventListener("studio:refreshed", () => {
    if (form.querySelector(".foot-press")) return;
    begin();
    const last = lists.find(list => list.dataset.thing === lastThing);
    if (document.activeElement === document.body) last?.parentElement.querySelector(".foot-press").focus({ preventScroll: true });
  });
}

// Cones are pressed until they stand as they were seen; what is typed beside them stays.

const cones = form.querySelector("[data-cones]"), seen = document.getElementById("f-cones");
const STATES = ["down", "soft", "stands", undefined];

function sayCone(cone, state) {
  if (state) cone.dataset.state = state;
  else delete cone.dataset.state;
  cone.querySelector("[data-stands]").textContent = state ?? "not seen";
}

cones?.addEventListener("click", event => {
  const cone = event.target.closest("[data-cone]");
  if (!cone) return;
  sayCone(cone, STATES[(STATES.indexOf(cone.dataset.state) + 1) % STATES.length]);
  const mine = [...cones.querySelectorAll("[data-cone]")];
  const others = seen.value.split(",").map(one => one.trim())
    .filter(one => one && !mine.some(each => one.startsWith(`${each.dataset.cone} `)));
  const told = mine.filter(one => one.dataset.state).map(one => `${one.dataset.cone} ${one.dataset.state}`);
  seen.value = [...told, ...others].join(", ");
});

if (cones) {
  cones.hidden = false;
  for (const part of seen.value.split(",")) { // of a form that was refused
    const [name, state] = part.trim().split(" ");
    const cone = [...cones.querySelectorAll("[data-cone]")].find(one => one.dataset.cone === name);
    if (cone && STATES.includes(state)) sayCone(cone, state);
  }
}

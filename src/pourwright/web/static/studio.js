// What every page does: says whether it is in step, keeps taps, offers to undo, shows what
// was refused, and exchanges its living parts when something changed.

import { ask as askTime, redraw } from "./clock.js";
import { unlock } from "./alarm.js";
import { isBehind, make, outdate, refresh, whole } from "./page.js";
import * as outbox from "./outbox.js";
import "./leaving.js";
import * as stream from "./stream.js";

const line = document.getElementById("step-line");
const kept = document.getElementById("kept");
const UNDO_MS = 15000, UNDONE_MS = 6000;
const AGAIN_MS = 2000;
let again = 0;

const taps = count => (count === 1 ? "1 tap" : `${count} taps`);

function sayStep() {
  const count = outbox.waiting().length;
  const state = stream.state === "ended" || outbox.state === "ended" ? "ended" : stream.state;
  line.dataset.state = state;
  const keep = count ? ` Kept on this phone: ${taps(count)}.` : "";
  if (state === "ended") {
    line.replaceChildren(`This phone is no longer paired.${keep} `, make("a", { href: "/pair" }, "Pair it again"));
  } else if (state === "away") {
    line.textContent = `${stream.awayWords()}${stream.why ? "" : " Clocks go on."}${keep}`;
  } else if (state === "step") {
    line.textContent = count ? `Sending ${taps(count)}` : "All sent";
  } else {
    line.textContent = "";
  }
}

function showRefused() {
  const found = outbox.refused();
  kept.hidden = found.length === 0 && outbox.isKept();
  kept.replaceChildren(...found.map(refusedTap));
  if (!outbox.isKept()) {
    kept.prepend(make("div", { class: "kept" }, make("p", {},
      "This phone's store is full, so taps are kept only while this page stays open.")));
  }
}

function refusedTap(tap) {
  const fields = new URLSearchParams({ back: location.pathname, at: new Date(tap.made).toISOString() });
  for (const [name, value] of Object.entries(tap.command)) {
    if (name !== "do") fields.set(name, Array.isArray(value) ? value.join(", ") : value);
  }
  return make("div", { class: "kept no", role: "alert" },
    make("p", {}, make("strong", {}, notDone(tap))),
    ...tap.sentences.map(sentence => make("p", {}, sentence)),
    make("p", { class: "row" },
      ...(tap.asks ? [make("button", { type: "button", class: "button", click: () => outbox.goOn(tap) }, "Go on all the same")] : []),
      make("a", { class: "button quiet", href: `/do/${encodeURIComponent(tap.command.do)}?${fields}` }, "Write it by hand"),
      make("button", { type: "button", class: "button quiet", click: () => outbox.forget(tap.id) }, "Leave it out")));
}

/** Say what was taken back, where no card turns back to show it. */
function sayUndone(tap) {
  if (document.getElementById("dock")) return;
  const bar = make("div", { id: "undone", class: "undo", role: "status" }, make("p", {}, ...whole(`Taken back: ${tap.words}.`)));
  document.body.append(bar);
  setTimeout(() => bar.remove(), UNDONE_MS);
}

function offerUndo(tap) {
  for (const old of document.querySelectorAll("#undo, #undone, #refusal")) old.remove();
  for (const older of document.querySelectorAll(".said form")) older.remove(); // it would undo what was written before
  const words = make("span", { class: "undo-words" }, ...whole(tap.words));
  const { what = "", step = "" } = tap.command;
  const isOff = what.startsWith("batch ") && /^(open$|failed: )/.test(step);
  const done = isOff ? "clock stopped, not yet in the book" : "written down";
  const bar = make("div", { id: "undo", class: "undo", role: "status", "data-tap": tap.id, "data-done": done },
    make("p", {}, words, make("span", { class: "undo-state" })),
    make("button", { type: "button", class: "button quiet undo-button", click: () => {
      bar.remove();
      if (!outbox.undo(tap)) return;
      document.dispatchEvent(new CustomEvent("studio:undone", { detail: tap }));
      sayUndone(tap);
    } }, "Undo"));
  atThumb(bar);
  setTimeout(() => bar.remove(), UNDO_MS);
  sayUndo();
}

function atThumb(bar) {
  const dock = document.getElementById("dock");
  if (dock) dock.hidden = false; // it would come up under a strip of its own
  (dock ?? document.body).append(bar);
}

const notDone = tap => `Not written down${tap.asks ? " yet" : ""}: ${tap.words || tap.command.do}`;

/** Say at the thumb what the book refused, if the top of the page, where it is mended, is out of view. */
function sayRefused(tap) {
  const { top } = kept.getBoundingClientRect();
  if (top >= 0 && top < innerHeight / 2) return;
  document.getElementById("undo")?.remove(); // a later tap's: both buttons have one place in the dock
  atThumb(make("div", { id: "refusal", class: "undo has-news", "data-tap": tap.id },
    make("p", {}, make("span", { class: "undo-words" }, ...whole(notDone(tap))), make("span", { class: "undo-state" }, tap.sentences.join(" "))),
    make("button", { type: "button", class: "button quiet undo-button", click: () => {
      document.getElementById("refusal").remove();
      kept.scrollIntoView({ block: "center" });
    } }, "Show it")));
}

function sayUndo() {
  const bar = document.getElementById("undo");
  if (!bar) return;
  if (outbox.refused().some(tap => tap.id === bar.dataset.tap)) { bar.remove(); return; }
  const isWaiting = outbox.waiting().some(tap => tap.id === bar.dataset.tap);
  const news = (outbox.answerTo(bar.dataset.tap)?.news ?? []).join(" ");
  bar.querySelector(".undo-state").textContent = isWaiting ? "kept on this phone" : news || bar.dataset.done;
  bar.classList.toggle("has-news", news !== "");
}

/** What a form tells the book, pressed by one of its buttons: as the server reads it when it is posted. */
function commandOf(form, submitter) {
  const verb = (submitter?.getAttribute("formaction") ?? form.getAttribute("action")).split("/").pop();
  const sent = new FormData(form, submitter), command = { do: verb };
  for (const name of new Set(sent.keys())) {
    const [verbOf, rest] = name.includes(".") ? name.split(/\.(.*)/) : [verb, name];
    if (verbOf !== verb || ["id", "back"].includes(rest) || rest.endsWith(".unit")) continue;
    const values = sent.getAll(name).filter(value => typeof value === "string" && value.trim());
    const unit = sent.get(`${name}.unit`);
    const whole = values.map(value => (unit && /^[0-9]+([.][0-9]+|,[0-9]{1,2})?$/.test(value.trim())
      ? `${value.trim().replace(",", ".")} ${unit}` : value));
    if (whole.length) command[rest] = whole.length > 1 ? whole : whole[0];
  }
  return command;
}

// A form with data-tap writes through the outbox; without scripts it is posted like any other.
document.addEventListener("submit", event => {
  const form = event.target;
  const isTap = form.matches("form[data-tap]") && !event.submitter?.matches("[formmethod], [formenctype]");
  if (!isTap) {
    if (!event.defaultPrevented) form.dataset.sent = "";
    form.querySelector("button:not([name])")?.setAttribute("aria-busy", "true");
    return;
  }
  event.preventDefault();
  unlock();
  const command = commandOf(form, event.submitter);
  const card = form.dataset.tap || form.closest("[data-card]")?.dataset.card || "";
  const words = event.submitter?.dataset.words || form.dataset.words || (event.submitter ?? form.querySelector("button")).textContent.trim();
  outbox.add(command, { card, words });
});

// Counts are stepped by thumb; without scripts they are typed.
document.addEventListener("click", event => {
  const step = event.target.closest?.("[data-step]");
  if (!step) return;
  const count = step.parentElement.querySelector("input");
  count.value = Math.max(0, (Number(count.value) || 0) + Number(step.dataset.step));
});

function showSteps() {
  for (const step of document.querySelectorAll("[data-step][hidden]")) step.hidden = false;
}

function toldOf(tap) {
  document.dispatchEvent(new CustomEvent("studio:tapped", { detail: tap }));
  redraw();
}

outbox.onChange(({ added, answered, answer, state }) => {
  if (state === "away" && stream.state === "step") stream.ask();
  if (added) {
    toldOf(added);
    if (!added.undoes) offerUndo(added);
  }
  if (answered) {
    document.dispatchEvent(new CustomEvent("studio:answered", { detail: { tap: answered, answer } }));
    outdate();
  }
  sayStep();
  sayUndo();
  showRefused();
  const no = outbox.refused();
  const bar = document.getElementById("refusal");
  if (!no.some(tap => tap.id === bar?.dataset.tap)) bar?.remove();
  const refused = no.find(tap => tap.id === answered?.id);
  if (refused) sayRefused(refused);
  bringUpToDate();
});

stream.onNews(({ state, changed }) => {
  if (state === "step") outbox.send();
  if (changed) outdate();
  sayStep();
  bringUpToDate();
});

// What is newer is shown once nobody is at its part and the studio answers: tried until then.
async function bringUpToDate() {
  clearTimeout(again);
  if (!isBehind() || outbox.waiting().length > 0 || document.hidden) return;
  if (await refresh()) {
    redraw();
    showSteps();
  }
  clearTimeout(again);
  if (isBehind()) again = setTimeout(bringUpToDate, AGAIN_MS);
}
document.addEventListener("visibilitychange", bringUpToDate);

// A page that was gone back to can be written in again.
addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
});

// What is pressed to be told is written into at once.
document.addEventListener("toggle", event => {
  if (event.target.matches(".later[open]:focus-within")) event.target.querySelector(".field :is(input:not([type=hidden]), select, textarea)")?.focus();
}, true);

// A page that was reloaded shows again what it has kept.
for (const tap of outbox.waiting()) toldOf(tap);
outbox.send();
askTime().catch(() => {});
sayStep();
showRefused();
showSteps();
const wrong = document.querySelector("[aria-invalid]");
(document.getElementById("faults") ?? wrong?.querySelector("input") ?? wrong)?.focus();

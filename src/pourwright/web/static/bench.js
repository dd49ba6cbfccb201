// The bench's cards: a tap turns its card to the next phase at once, an undo turns it back.
// Late clocks ring until somebody hushes them or taps the card; the room's laptop stays awake.

import { ageOf, leftOn, now, redraw, timeOfDay, unitOf } from "./clock.js";
import { canStayAwake, hush, isOn, keepRinging, stayAwake, turnSound, unlock } from "./alarm.js";
import { make, openSheets, whole } from "./page.js";
import * as outbox from "./outbox.js";

const before = new Map();
const hushed = new Set();
let lastCard = "";

const cardOf = name => document.getElementById(`card-${name}`);
const panelOf = (card, phase) => card.querySelector(`:scope > .phase[data-phase="${CSS.escape(phase)}"]`);

// --- a tap turns the card

function stateOf(card) {
  const clock = panelOf(card, card.dataset.phase)?.querySelector(".clock");
  const topped = card.querySelector(".topped");
  return { phase: card.dataset.phase, start: clock?.dataset.start ?? "", topped: topped?.dataset.count ?? "" };
}

function show(card, phase, start) {
  const panel = panelOf(card, phase);
  if (!panel) return;
  const hadFocus = card.contains(document.activeElement);
  for (const other of card.querySelectorAll(":scope > .phase")) {
    other.hidden = other !== panel;
    if (other !== panel) delete other.querySelector(".clock")?.dataset.start;
  }
  const clock = panel.querySelector(".clock");
  if (clock && start) clock.dataset.start = start;
  card.dataset.phase = phase;
  card.dataset.due = "";
  if (hadFocus) panel.querySelector("button")?.focus({ preventScroll: true });
}

function topUp(card, count) {
  const said = card.querySelector(".topped");
  if (!said) return;
  if (said.dataset.count !== String(count)) card.querySelector(".top-up-at")?.remove();
  said.dataset.count = count;
  said.textContent = count ? ` Topped up ${count} ${count === 1 ? "time" : "times"}.` : "";
  const next = panelOf(card, "fill").querySelector('input[name="step"][value^="top up"]');
  if (next) next.value = `top up ${count + 1}`;
}

/** The cards that a tap turns: its own, or those of all the molds that one tap casts. */
const cardsOf = tap => (tap.card === "all" ? tap.command.molds.split(", ") : [tap.card]).map(cardOf).filter(Boolean);

function turn(tap) {
  if (tap.undoes) return;
  for (const sheet of openSheets()) sheet.hidePopover();
  before.set(tap.id, new Map(cardsOf(tap).map(card => [card.dataset.card, stateOf(card)])));
  for (const card of cardsOf(tap)) turnCard(card, tap);
  tickTheRound();
}

/** Fold what lay open in a card or a form away, once something in it was done. */
function foldAway(part) {
  for (const one of part.querySelectorAll("details[open]")) one.open = false;
}

function turnCard(card, tap) {
  foldAway(card);
  const { do: verb, step = "" } = tap.command;
  hushed.delete(card.dataset.card);
  lastCard = card.dataset.card;
  if (verb === "cast") show(card, tap.command.lost ? "idle" : "done", "");
  else if (verb === "end-step") show(card, "idle", "");
  else if (step.startsWith("top up ")) topUp(card, Number(step.slice(7)));
  else if (step.startsWith("failed: ")) show(card, "failed", "");
  else if (verb === "start-step") {
    const was = stateOf(card).start, keeps = was && panelOf(card, step)?.hasAttribute("data-keeps");
    show(card, step, keeps ? was : String(Math.round(now() - ageOf(tap.stamp))));
  }
}

function turnBack(tap) {
  for (const [name, was] of before.get(tap.id) ?? []) {
    const card = cardOf(name);
    if (!card) continue;
    if (was.topped !== "") topUp(card, Number(was.topped));
    show(card, was.phase, was.start);
  }
  tickTheRound();
  redraw();
}


document.addEventListener("studio:tapped", event => turn(event.detail));
document.addEventListener("studio:undone", event => turnBack(event.detail));
for (const tap of outbox.waiting()) turn(tap); // kept from before a reload

document.addEventListener("studio:refreshed", () => {
  ringOrNot();
  if (document.activeElement === document.body && lastCard) {
    cardOf(lastCard)?.querySelector(".phase:not([hidden]) button")?.focus({ preventScroll: true });
  }
});

// --- what spoils first is said in the head and offered at the thumb, and the next mold to fill

const dock = document.getElementById("dock");
const firstLine = document.getElementById("first");

const actOf = card => card.querySelector(".phase:not([hidden]) .tap > .act"); // what it was lost to is no next step

/** What is left on a tile's clock; later still where it has no target. [s] */
function leftOf(card) {
  const clock = panelOf(card, card.dataset.phase)?.querySelector(".clock[data-start]");
  if (!clock) return null;
  const target = Number(clock.dataset.targetS);
  return target > 0 ? Number(clock.dataset.start) / 1000 + target - now() / 1000 : 1e9 + Number(clock.dataset.start) / 1e6;
}

/** How long a tile is still to be left alone; 0 if it is all but due, or nothing tells when. [s] */
function earlyS(card) {
  const clock = panelOf(card, card.dataset.phase)?.querySelector(":scope[data-waits] .clock[data-start][data-target-s]");
  const left = clock ? leftOf(card) : 0;
  return left > Math.max(60, Number(clock?.dataset.targetS) / 10) ? left : 0;
}

/** The masters that a batch fills: part, how many of it, how many there are. */
const fillsOf = card => (card.dataset.fills ?? "").split("|").filter(Boolean)
  .map(one => /^(\d+) of (\d+) (.+)$/.exec(one)).map(([, count, masters, part]) => ({ part, count: Number(count), masters: Number(masters) }));

/** What is left until a batch that stands in its masters, or is on its way there, may be opened. [s] */
function opensInS(card) {
  const left = leftOf(card) ?? 0, own = panelOf(card, card.dataset.phase).querySelector(".clock");
  const setS = Number(panelOf(card, "set").querySelector(".clock").dataset.targetS ?? 0);
  const isPoured = panelOf(card, card.dataset.phase).matches("[data-waits]");
  return isPoured ? left - Number(own.dataset.targetS ?? 0) + setS : Math.max(0, left) + setS;
}

/** How long the masters of a batch that is to be weighed are still full; null if enough of them are free. [s] */
function mastersFullS(card) {
  if (card.dataset.phase !== "weigh") return null;
  const full = [...document.querySelectorAll(`.batches > [data-fills][data-edition="${CSS.escape(card.dataset.edition)}"]`)]
    .filter(one => !["weigh", "open", "failed"].includes(one.dataset.phase))
    .map(one => ({ opensS: opensInS(one), fills: fillsOf(one) })).sort((one, other) => one.opensS - other.opensS);
  const holds = (one, part) => one.fills.find(fill => fill.part === part)?.count ?? 0;
  const waits = fillsOf(card).flatMap(({ part, count, masters }) => {
    let free = masters - full.reduce((sum, one) => sum + holds(one, part), 0);
    const until = free < count && full.find(one => { free += holds(one, part); return free >= count; });
    return until ? [until.opensS] : [];
  });
  return waits.length ? Math.max(...waits) : null;
}

/** How long plaster has been in the water, as a batch's tap tells it that calls it poured unsoaked; else empty. */
function unsoaked(card) {
  const clock = card.dataset.phase === "sift" ? panelOf(card, "sift").querySelector(".clock[data-start]") : null;
  if (!clock) return "";
  if (passedSOf(clock) >= parseInt(clock.dataset.marks, 10)) return ""; // until when it soaks stands first
  return `${passedWords(clock)} after the water, not soaked`;
}

/** How long ago a cast was drained, if nobody has timed here how long it stands and it cannot be firm yet; else empty. */
function stillShines(card) {
  const clock = panelOf(card, card.dataset.phase)?.querySelector(".clock[data-start]");
  if (!["drain", "stiffen"].includes(card.dataset.phase) || !clock || Number(clock.dataset.targetS) || mayBeOpen(card)) return "";
  return `Drained ${passedWords(clock)} ago, its shine is hardly gone`;
}

/** How long a clock has run. [s] */
const passedSOf = clock => (now() - Number(clock.dataset.start)) / 1000;

/** Whether a batch is still soaked and mixed: the last stretch of its clock is the one it pours in. */
function isMixed(card) {
  const clock = panelOf(card, card.dataset.phase).querySelector(".clock[data-start][data-marks]");
  return clock !== null && passedSOf(clock) < parseInt(clock.dataset.marks.split("|").at(-2), 10);
}

function passedWords(clock) {
  const passedS = passedSOf(clock);
  return passedS < 60 ? `${Math.round(passedS)} s` : `${Math.floor(passedS / 60)} min`;
}

/** Why a tile is still to be left alone; empty if it is not. */
function whyNotYet(card) {
  const early = earlyS(card), full = mastersFullS(card), soon = unsoaked(card) || stillShines(card);
  if (card.dataset.phase === "idle") return card.dataset.asks ?? "";
  if (soon) return soon;
  if (full !== null) return full > 0 ? `Masters full for ${Math.ceil(full / 60)} min more` : "Its masters are still full";
  return early > 0 ? `${Math.round(early / 60)} min early` : "";
}

/** Whether a bucket carries its clock and its act itself, so that head and dock do not repeat them. */
const isBucket = card => card.closest(".batches") && !panelOf(card, card.dataset.phase).matches("[data-waits]");

/** A bucket sinks from its rim as its time runs out, and says why it is still to be left alone. */
function drawBucket(card, why) {
  const clock = panelOf(card, card.dataset.phase)?.querySelector(".clock[data-start]");
  const left = clock ? leftOf(card) / Number(clock.dataset.targetS) : 1;
  card.style.setProperty("--level", String(Math.min(Math.max(left || 0, 0.06), 1)));
  const place = card.querySelector(".masters-full");
  if (place.textContent !== why) place.textContent = why;
}

/** Each batch that runs tells its time in the head too, the nearest first: one bucket fills a screen. */
function drawPails(tiles) {
  const running = tiles.map(card => ({ card, clock: panelOf(card, card.dataset.phase).querySelector(".clock[data-start]") }))
    .filter(one => one.clock).sort((one, other) => (leftOn(one.clock) ?? 1e9) - (leftOn(other.clock) ?? 1e9));
  for (const pail of document.querySelectorAll(".pails > li")) {
    const place = running.findIndex(one => one.card.dataset.card === pail.dataset.of);
    const clock = running[place]?.clock, said = pail.querySelector(".pail-clock");
    pail.style.order = clock ? place : running.length;
    pail.dataset.due = clock ? running[place].card.dataset.due : "";
    if (said.textContent !== (clock?.textContent ?? "")) said.textContent = clock?.textContent ?? "";
  }
}

/** Whether the tap of a tile is not what a thumb is to find: it is early, or only counts up. */
const mayWait = card => earlyS(card) > 0 || (leftOf(card) >= 1e8 && panelOf(card, card.dataset.phase).matches("[data-waits]"));

const NOTES = { fill: "spoils first", drain: "next to open", stiffen: "next to open", open: "write it down" };

/** What stands small under the act at the foot: what is in a batch; of a mold, why it is the first. */
const noteOf = card => card?.closest(".batches") ? card.querySelector(".mold-of").textContent.trim() : NOTES[card?.dataset.phase] ?? "";

function offer(button, card, note) {
  button.hidden = !card;
  const said = card ? actOf(card)?.textContent.trim() ?? "" : "";
  if (!card || button.dataset.said === said + note) return;
  button.replaceChildren(make("span", {}, ...whole(said), make("small", {}, note)));
  button.dataset.said = said + note;
  button.dataset.for = card.dataset.card;
}

/** The button that writes a pour day into the book, at the thumb once a batch is open and none is due. */
function offerWriting(isDue, isMore) {
  const act = document.getElementById("write-act");
  if (!act) return;
  const form = document.querySelector('[data-live="write"] form:not([data-sent])');
  act.hidden = !form || isDue;
  act.classList.toggle("quiet", isMore);
  const said = form?.querySelector(".form-foot .button").textContent.trim() ?? "";
  if (act.hidden || act.dataset.said === said) return;
  act.replaceChildren(make("span", {}, ...whole(said), make("small", {}, "into the book")));
  act.dataset.said = said;
}

function sayFirst() {
  askOn();
  const tiles = [...document.querySelectorAll(".bench-cards > [data-card]")];
  const open = tiles.filter(card => card.dataset.phase === "open" && actOf(card));
  const timed = tiles.filter(card => leftOf(card) !== null && actOf(card)).sort((one, other) => leftOf(one) - leftOf(other));
  const first = timed[0] && leftOf(timed[0]) < 1e8 ? timed[0] : open[0] ?? timed[0];
  const ready = tiles.filter(card => ["idle", "weigh"].includes(card.dataset.phase) && card.hasAttribute("data-ready"));
  const next = ready.find(card => mastersFullS(card) === null) ?? ready[0];
  const full = next ? mastersFullS(next) : null;
  const due = first && !mayWait(first) ? first : open[0] ?? (next ? undefined : first);
  firstLine.hidden = !first || first.closest(".batches") !== null;
  drawPails(tiles);
  for (const card of tiles) {
    const isDark = card.closest(".batches") ? isBucket(card) && card === (due ?? next) && !isMixed(card) : true;
    card.toggleAttribute("data-next", card === next);
    card.toggleAttribute("data-in-head", card === first && timed.length === 1 && !firstLine.hidden);
    panelOf(card, card.dataset.phase)?.querySelector(":scope:not([data-phase='idle'], [data-phase='done']) > .tap .act")
      ?.classList.toggle("quiet", !isDark || whyNotYet(card) !== "");
  }
  const round = theRound();
  const all = document.getElementById("all-act");
  if (all) {
    const isEarly = tiles.some(card => card.dataset.phase === "fill" || (round.includes(card.dataset.card) && !mayBeOpen(card)));
    all.hidden = next !== undefined || round.length < 2 || isEarly;
    const said = saidOfAll(round);
    if (!all.hidden && all.dataset.said !== said) {
      all.replaceChildren(make("span", {}, said, make("small", {}, "write them down")));
      all.dataset.said = said;
    }
  }
  const isDue = due && !isBucket(due), hasNext = next && !isBucket(next);
  dock.hidden = !isDue && !hasNext && !document.querySelector('[data-live="write"] form') && !dock.querySelector("#undo, #ask");
  const firstAct = document.getElementById("first-act"), nextAct = document.getElementById("next-act");
  firstAct.classList.toggle("quiet", due !== undefined && earlyS(due) > 0);
  nextAct.classList.toggle("quiet", due !== undefined);
  offer(firstAct, isDue ? due : undefined, noteOf(due));
  offerWriting(due !== undefined && earlyS(due) === 0, next !== undefined);
  const until = full > 0 ? `Masters full until ${timeOfDay(now() + 1000 * full)}` : "Once its masters are open";
  offer(nextAct, hasNext ? next : undefined, "next to fill");
  for (const card of tiles.filter(isBucket)) drawBucket(card, card === next && full !== null ? until : "");
  if (firstLine.hidden) return;
  const panel = panelOf(first, first.dataset.phase);
  const clock = panel.querySelector(".clock[data-start]");
  const words = panel.dataset.says
    ? `${panel.querySelector(".phase-words").textContent}: ${panel.dataset.says}`
    : actOf(first)?.textContent.trim() ?? "";
  const then = timed.find(card => card !== first);
  const said = then ? `then ${actOf(then).textContent.trim()}` : "";
  for (const [id, text] of [["first-words", words], ["first-clock", clock?.textContent ?? ""], ["then-words", said]]) {
    const place = document.getElementById(id);
    if (place.textContent !== text) place.textContent = text;
  }
  const head = document.getElementById("first-clock");
  head.dataset.unit = unitOf(head.textContent);
  head.toggleAttribute("data-counts-up", clock !== null && leftOn(clock) === null);
  firstLine.dataset.due = first.dataset.due;
}

const OPENED_S = 600; // no mold is opened sooner after its draining; common practice, no source

/** Whether a drained cast may have been looked at: its mold was opened, or has stood as long as it does here. */
function mayBeOpen(card) {
  const clock = panelOf(card, card.dataset.phase)?.querySelector(".clock[data-start]");
  return !clock || (now() - Number(clock.dataset.start)) / 1000 >= (Number(clock.dataset.targetS) || OPENED_S);
}

/** What one tap writes down of all drained casts: of a mold's first ones that they are thrown away. */
function saidOfAll(round) {
  const thrown = round.filter(name => cardOf(name).hasAttribute("data-thrown")).length, good = round.length - thrown;
  const are = count => `${count} ${count === 1 ? "is" : "are"}`;
  if (thrown === 0) return `All ${good} are good`;
  return good === 0 ? `All ${thrown} are thrown away` : `${are(good)} good, ${are(thrown)} thrown away`;
}

// The molds whose casts are drained and still in them: one tap writes them all down.
function theRound() {
  return [...document.querySelectorAll('.tiles > :is([data-phase="drain"], [data-phase="stiffen"], [data-phase="open"])')]
    .map(card => card.dataset.card);
}

// A cast that is drained too early is lost: that tap asks, and a button elsewhere does it. Wet hands press
// twice, press what is brightest and where they pressed before: so the safe answer is dark, and none lies there,
// where Undo stands or over a clock that is read for the answer: it stands at the foot, else just above what was
// pressed. It stands until it is answered, its time has come or another button is pressed.
const TWICE_MS = 700;
let agreed = false; // whether what was asked is pressed
let atFoot = null; // the button at the foot that presses a card's own

const overlap = (one, other) => one.bottom > other.top && other.bottom > one.top;

const wordsOfAsk = (why, press) => whole(`${why}: ${press[0].toLowerCase()}${press.slice(1)}?`);

function ask(card, button, why) {
  document.getElementById("ask")?.remove();
  const { card: name, phase } = card.dataset, since = performance.now();
  const press = button.textContent.trim();
  const does = { weigh: "mix", sift: "poured" }[phase] ?? press.split(" ")[0].toLowerCase();
  const agree = event => {
    if (performance.now() - since <= TWICE_MS) {
      event.currentTarget.textContent = `Yes, ${does}: press again`;
      return;
    }
    bar.remove();
    const now = cardOf(name); // news may have exchanged it
    if (now?.dataset.phase !== phase) return;
    agreed = true;
    actOf(now)?.click();
    agreed = false;
  };
  const leave = () => {
    bar.remove();
    const now = cardOf(name);
    if (now) actOf(now)?.focus({ preventScroll: true });
  };
  const bar = make("div", { id: "ask", class: "ask", role: "group", "aria-labelledby": "ask-words", "data-asked": name, "data-phase": phase, "data-press": press },
    make("p", { id: "ask-words" }, ...wordsOfAsk(why, press)),
    make("button", { type: "button", class: "button quiet", click: agree }, `Yes, ${does}`),
    make("button", { type: "button", class: "button", click: leave }, "Not yet"));
  // what is asked of a batch tells the time itself, so it may cover its clock
  const clock = card.closest(".batches") ? null : panelOf(card, phase).querySelector(".clock");
  const kept = [atFoot ?? button, clock].filter(Boolean).map(one => one.getBoundingClientRect()); // before the foot grows
  dock.hidden = false; // a question is seen whatever else stands at the foot
  dock.append(bar);
  if (kept.some(one => overlap(bar.getBoundingClientRect(), one))) {
    bar.classList.add("high");
    bar.style.bottom = `${Math.min(innerHeight - Math.min(...kept.map(one => one.top)) + 8, innerHeight - bar.offsetHeight)}px`;
  }
  bar.lastChild.focus({ preventScroll: true });
}

/** Count on in a question that stands; it goes once its time has come. */
function askOn() {
  const bar = document.getElementById("ask");
  if (!bar) return;
  const card = cardOf(bar.dataset.asked);
  const why = card?.dataset.phase === bar.dataset.phase ? whyNotYet(card) : "";
  if (why) bar.querySelector("p").replaceChildren(...wordsOfAsk(why, bar.dataset.press));
  else bar.remove();
}

document.addEventListener("click", event => {
  if (event.target.closest("button, a, summary") && !event.target.closest("#ask")) document.getElementById("ask")?.remove();
}, true);

document.addEventListener("submit", event => {
  const card = event.target.closest(".bench-cards > [data-card]"), button = event.submitter;
  if (!card || agreed || button !== actOf(card)) return;
  const why = whyNotYet(card);
  if (why === "") return;
  event.preventDefault();
  event.stopPropagation();
  ask(card, button, why);
}, true);

function tickTheRound() {
  const round = theRound();
  for (const box of document.querySelectorAll('form.cast-all:not([data-touched]) [name="out"]')) {
    if (!round.length) return;
    box.checked = box.defaultChecked = !round.includes(box.value);
  }
}

document.addEventListener("change", event => {
  const form = event.target.closest("form.cast-all");
  if (form) form.dataset.touched = "";
});

if (dock) {
  document.getElementById("all-act")?.addEventListener("click", () => {
    for (const form of document.querySelectorAll("form.cast-all")) {
      const round = theRound();
      if ([...form.querySelectorAll('[name="out"]')].some(box => round.includes(box.value))) form.requestSubmit();
    }
  });
  document.getElementById("write-act")?.addEventListener("click", () => {
    document.querySelector('[data-live="write"] form .form-foot .button').click();
  });
  // what a press changes there may bring another button under the thumb: a double press is one
  let pressedAt = -Infinity;
  dock.querySelector(".dock-acts").addEventListener("click", event => {
    const since = performance.now() - pressedAt;
    if (since < TWICE_MS) event.stopPropagation();
    else pressedAt = performance.now();
  }, true);
  dock.addEventListener("click", event => {
    atFoot = event.target.closest("[data-for]");
    if (atFoot) actOf(cardOf(atFoot.dataset.for))?.click();
    atFoot = null;
  });
  // the foot that comes up with Undo covers no half of the bucket's act that is next; nor does that act come under the thumb
  let pressedY = 0;
  document.addEventListener("pointerdown", event => { pressedY = event.clientY; }, true);
  document.addEventListener("studio:tapped", () => requestAnimationFrame(() => {
    const next = document.querySelector(".batches > [data-next]"), act = next ? actOf(next)?.getBoundingClientRect() : null;
    if (!act || dock.hidden) return;
    const covered = act.bottom - dock.getBoundingClientRect().top;
    const comesUnder = act.top - covered <= pressedY && pressedY <= act.bottom - covered;
    if (covered > 0 && covered < act.height && !comesUnder) scrollBy(0, covered + 8);
  }));
  setInterval(sayFirst, 250);
  for (const moment of ["studio:tapped", "studio:undone", "studio:refreshed"]) document.addEventListener(moment, sayFirst);
  sayFirst();
  // a pour day opens at the bucket that is at hand, below the batches that set
  const bucket = [...document.querySelectorAll(".batches > [data-card]")].find(card => card.checkVisibility() && isBucket(card) && actOf(card));
  if (bucket && scrollY === 0 && !location.hash) actOf(bucket).scrollIntoView({ block: "nearest" });
}

// --- the room's alarm

const words = document.getElementById("alarm-words");
const tools = document.getElementById("bench-tools");
const sound = document.getElementById("sound");

function ringOrNot() {
  const late = [...document.querySelectorAll('[data-card][data-due="late"]')];
  const loud = late.filter(card => !hushed.has(card.dataset.card));
  const names = loud.map(card => card.querySelector("h2").textContent).join(", ");
  const said = loud.length ? `${names}: time is up` : "";
  if (words.textContent !== said) words.textContent = said;
  if (loud.length) keepRinging();
  else hush();
}

function saySound() {
  const said = isOn() ? "Sound is on: silence" : "Sound is off: turn on";
  if (sound.textContent !== said) sound.textContent = said;
}

document.addEventListener("studio:due", ringOrNot);
sound.addEventListener("click", () => {
  const wasOn = isOn();
  turnSound(!wasOn);
  if (!wasOn) stayAwake();
  // what is late was heard; it shakes the phone no more, and rings again if the sound is turned on
  for (const card of wasOn ? document.querySelectorAll('[data-card][data-due="late"]') : []) hushed.add(card.dataset.card);
  if (!wasOn) hushed.clear();
  ringOrNot();
});
document.addEventListener("studio:sound", saySound);
document.addEventListener("studio:tapped", stayAwake);
document.addEventListener("visibilitychange", stayAwake);
stayAwake();
if (navigator.userActivation?.hasBeenActive) unlock(); // by a tap on the page that led here
tools.hidden = false;
document.getElementById("awake").hidden = canStayAwake();
ringOrNot();
saySound();

// --- "all except" goes through the outbox too, so that it can be written without wifi

document.addEventListener("submit", event => {
  const form = event.target;
  if (!form.matches("form.cast-all")) return;
  const out = [...form.querySelectorAll('[name="out"]:checked')].map(box => box.value);
  const molds = form.querySelector('[name="of"]').value.split(", ").filter(label => !out.includes(label));
  if (!molds.length) return; // the studio says what is missing
  event.preventDefault();
  event.stopPropagation();
  const lost = [...form.querySelectorAll("[data-cause]")].filter(field => field.value.trim())
    .map(field => `${field.value.trim()} ${field.dataset.cause}`);
  const command = { do: "cast", edition: form.dataset.edition, molds: molds.join(", ") };
  const lot = form.querySelector('[name="lot"]')?.value;
  if (lot) command.lot = lot;
  if (lost.length) command.lost = lost.join(", ");
  outbox.add(command, { card: "all", words: `Cast ${command.molds}${lost.length ? `, lost ${lost.join(", ")}` : ""}` });
  form.reset();
  foldAway(form);
}, true);

// The studio's time in a page, whatever the phone's own clock says or does.
//
// The time runs on performance.now(), which nobody can set, from an anchor that the server
// gave. Some systems stop performance.now() while they sleep; so the steps of both clocks are
// compared, and when they part by 1.5 s the server is asked again.

const PARTED_MS = 1500;
const SAMPLES = 4;
const DRAW_MS = 250;
const life = Math.random().toString(36).slice(2);

const told = JSON.parse(document.getElementById("studio-data").textContent);
const loaded = performance.getEntriesByType("navigation")[0];
/** Whether this is the studio's own computer, which needs no wifi. */
export const isHere = told.here;
/** Who taps here, and in which zone: they stay with a tap, whatever the phone is called later. */
export const tapped = told.by ? { by: told.by, zone: told.zone } : {};

let anchor = { server: told.now_ms, perf: loaded ? loaded.responseStart : performance.now() };
let last = { date: Date.now(), perf: performance.now(), hidden: document.hidden };
let epoch = 0;
let certain = true;
let asking = null;

/** The studio's time. [ms since 1970] */
export function now() {
  return anchor.server + (performance.now() - anchor.perf);
}

/** Compare the steps of both clocks since the last look. */
export function look() {
  const date = Date.now(), perf = performance.now();
  const parted = date - last.date - (perf - last.perf);
  const slept = last.hidden || document.hidden;
  last = { date, perf, hidden: document.hidden };
  if (Math.abs(parted) < PARTED_MS) return;
  epoch += 1;
  certain = false;
  // While hidden a step forward is a sleep, in which performance.now() may have stood still.
  // While it is looked at, or backward, somebody set the phone's clock: leave it alone.
  if (parted > 0 && slept) anchor.server += parted;
  ask().catch(() => {});
}

/** Ask the server for the time; the quickest of several answers counts. */
export function ask() {
  asking ??= sample().finally(() => { asking = null; });
  return asking;
}

async function sample() {
  let best = Infinity;
  const began = epoch;
  for (let n = 0; n < SAMPLES; n += 1) {
    const sent = performance.now();
    const answer = await fetch("/api/clock", { cache: "no-store", signal: AbortSignal.timeout(5000) });
    if (answer.status === 401) throw new Ended();
    if (!answer.ok) throw new Error("no time");
    const body = await answer.json(), back = performance.now();
    if (back - sent < best) {
      best = back - sent;
      anchor = { server: body.now_ms + best / 2, perf: back };
    }
    last = { date: Date.now(), perf: performance.now(), hidden: document.hidden };
    if (best < 30) break;
  }
  certain = epoch === began;
}

/** The server no longer knows this phone. */
export class Ended extends Error {}

/** A message of the stream brought the time: ask anew if it is far from ours. */
export function hear(serverNow) {
  if (Math.abs(serverNow - now()) > PARTED_MS) ask().catch(() => {});
}

/** Make sure that the time is the server's. */
export async function sure() {
  look();
  if (asking) await asking;
  if (!certain) await ask();
}

/** When a tap was made, in a form that outlives a reload and a clock that is set. */
export function stamp() {
  look();
  return { date: Date.now(), perf: performance.now(), life, epoch, server: certain ? now() : null };
}

/** How long ago a stamp was made. Call sure() before. [ms] */
export function ageOf(made) {
  if (made.server !== null) return now() - made.server;
  if (made.life === life && made.epoch === epoch) return performance.now() - made.perf;
  return Date.now() - made.date;
}

/** The time of day in the studio, such as 14:32. */
export function timeOfDay(ms) {
  return new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", timeZone: told.zone }).format(ms);
}

const DAY_S = 86400;

/** Minutes and seconds, hours before them where there are any; whole days from the first on. */
export function words(seconds) {
  const whole = Math.floor(Math.abs(seconds));
  const days = Math.round(whole / DAY_S);
  if (whole >= DAY_S) return days === 1 ? "1 day" : `${days} days`;
  const s = String(whole % 60).padStart(2, "0");
  const m = Math.floor(whole / 60) % 60, h = Math.floor(whole / 3600);
  return h ? `${h}:${String(m).padStart(2, "0")}:${s}` : `${m}:${s}`;
}

/** The unit of what a clock reads, so that it is no time of day; none after days. */
export const unitOf = text => ["", "min", "h"][text.split(":").length - 1];

/** How a clock reads: counting down to its target, or up; late with a plus. */
function reading(startMs, targetS, at = now()) {
  const passed = Math.max(0, (at - startMs) / 1000);
  if (!(targetS > 0)) return { text: words(passed), due: "" };
  const left = targetS - passed;
  if (left <= 0) return { text: `${-left < DAY_S ? "+" : ""}${words(-left)}`, due: "late" };
  return { text: words(Math.ceil(left)), due: left <= 60 ? "soon" : "" };
}

/** What is left on a clock as it is read: until the end of its stretch; null if it counts up. [s] */
export function leftOn(clock) {
  const untilS = clock.dataset.marks ? stretch(clock).untilS : Number(clock.dataset.targetS);
  return untilS > 0 ? Number(clock.dataset.start) / 1000 + untilS - now() / 1000 : null;
}

/** The stretch that a clock is in: "180 Soak|540 Pour" goes on to its next mark; null behind the last. */
function stretch(clock) {
  const passed = (now() - Number(clock.dataset.start)) / 1000;
  const marks = clock.dataset.marks.split("|").map(one => [parseInt(one, 10), one.slice(one.indexOf(" ") + 1)]);
  const [untilS, words] = marks.find(([end]) => passed < end) ?? marks.at(-1);
  return { untilS, words, isLast: untilS === marks.at(-1)[0] };
}

function draw() {
  look();
  for (const clock of document.querySelectorAll("[data-start]")) {
    const part = clock.dataset.marks ? stretch(clock) : null;
    const { text, due: soonOrLate } = reading(Number(clock.dataset.start), part ? part.untilS : Number(clock.dataset.targetS));
    const due = part && !part.isLast ? "" : soonOrLate;
    if (clock.textContent !== text) clock.textContent = text;
    clock.dataset.unit = unitOf(text);
    const said = part && clock.closest(".phase, .running > li")?.querySelector(".phase-words, .stretch");
    if (said && said.textContent !== part.words) said.textContent = part.words;
    const card = clock.closest("[data-card]");
    if (card && (card.dataset.due ?? "") !== due) {
      card.dataset.due = due;
      card.dispatchEvent(new CustomEvent("studio:due", { bubbles: true, detail: { due } }));
    }
  }
}

/** Draw now, after the page changed. */
export const redraw = draw;

setInterval(draw, DRAW_MS);
for (const moment of ["pageshow", "visibilitychange", "focus", "online"]) {
  addEventListener(moment, () => { look(); if (!document.hidden) ask().catch(() => {}); }, true);
}
draw();
